//! Spreadsheets (CSV) as rows of the layout: one row for each tree, anchor or drilled hole, heads that name the keys.
//!
//! The library reads no files: [`Layout::spreadsheets`] says what is wanted, and [`Layout::with_spreadsheets`] asks the
//! caller for it. A cell becomes the value that the key would have in the layout file, and is read by the same reader.

mod cells;
mod columns;

use super::diagnostic::{Code, Diagnostic, Diagnostics};
use super::document::{Entry, MAX_BYTES, MAX_LIST, Node, Value};
use super::layout::{Anchor, AsBuilt, AsBuiltRows, Layout, Text, Tree, merge};
use super::reader::{Found, Key, Read, Reader, Shape};
use super::source::{BYTE_ORDER_MARK, CellAt, Sources, Span};
use cells::{Fault, MOST_CELLS, Row};
use columns::{Column, is_whole, put, targets};
use std::ops::Range;
use std::path::Path;

impl Layout {
    /// The names of the spreadsheets that the layout wants and does not have yet.
    ///
    /// # Example
    /// ```rust
    /// let layout = barkline::Layout::from_toml("trees = \"trees.csv\"\n[[tree]]\nid = \"south\"\n")?;
    /// assert_eq!(layout.spreadsheets(), ["trees.csv"]);
    /// let layout = layout.with_spreadsheets(|_| Ok::<_, String>(b"id,diameter [in]\nnorth,22\n".to_vec()))?;
    /// assert_eq!(layout.tree[1].diameter, Some(barkline::units::us::inches(22.0).into()));
    /// assert!(layout.spreadsheets().is_empty());
    /// # Ok::<(), barkline::Diagnostics>(())
    /// ```
    pub fn spreadsheets(&self) -> Vec<&str> {
        self.wanted().map(|(_, name)| name.as_str()).collect()
    }

    /// The keys that name a spreadsheet, with the name.
    pub(super) fn wanted(&self) -> impl Iterator<Item = (&'static str, &Text)> {
        let as_built = match &self.as_built {
            Some(AsBuiltRows::File(name)) => Some(name),
            _ => None,
        };
        [
            ("trees", self.trees.as_ref()),
            ("anchors", self.anchors.as_ref()),
            ("as_built", as_built),
        ]
        .into_iter()
        .filter_map(|(key, name)| Some((key, name?)))
    }

    /// The layout with the rows of its spreadsheets behind those of its own tables; `read` gives the bytes of a file.
    ///
    /// The keys `trees` and `anchors` are taken out, `as_built` holds the rows: what is written then reads back equal.
    ///
    /// # Errors
    /// Every problem of every spreadsheet, each with its row and column and how to mend it.
    pub fn with_spreadsheets<E: std::fmt::Display>(
        mut self,
        mut read: impl FnMut(&str) -> Result<Vec<u8>, E>,
    ) -> Result<Self, Diagnostics> {
        let mut sources = std::mem::take(&mut self.sources);
        let mut found = Vec::new();
        let mut sheets = Vec::new();
        for (key, name) in self.wanted() {
            let taken = read(name).map_err(|error| error.to_string());
            match taken.and_then(decoded) {
                Ok(text) => sheets.push(Sheet::new(key, name, &text, &mut sources)),
                Err(why) => found.push(unreadable(name, &why, &sources)),
            }
        }
        let mut reader = Reader::new(&sources);
        for sheet in &sheets {
            match sheet.key {
                "trees" => self.tree.extend(sheet.read::<Tree>(&mut reader)),
                "anchors" => self.anchor.extend(sheet.read::<Anchor>(&mut reader)),
                _ => self.as_built = Some(AsBuiltRows::Rows(sheet.read::<AsBuilt>(&mut reader))),
            }
        }
        (self.trees, self.anchors) = (None, None);
        found.extend(reader.found());
        if found.is_empty() {
            return Ok(Self { sources, ..self });
        }
        Err(merge(Vec::new(), found, &sources))
    }
}

fn decoded(bytes: Vec<u8>) -> Result<String, String> {
    String::from_utf8(bytes).map_err(|error| {
        let sound = error.utf8_error().valid_up_to();
        let before = error.as_bytes().get(..sound).unwrap_or_default();
        let line = before.split(|&byte| byte == b'\n').count();
        format!("its line {line} is not UTF-8 text; save it as \"CSV UTF-8\"")
    })
}

/// A spreadsheet that the caller could not give, told at the key that names it.
fn unreadable(name: &Text, why: &str, sources: &Sources) -> (Span, Diagnostic) {
    let layout = name.span.and_then(|span| sources.name(span.source));
    let shown = beside(layout, name);
    let message = format!("the spreadsheet {shown} could not be read: {why}");
    let mend = "check the file, and its name, which counts from the folder of the layout";
    // A name that was made in code stands nowhere.
    let nowhere = Span {
        source: u32::MAX,
        start: 0,
        end: 0,
    };
    let place = name.span.and_then(|span| sources.position(span));
    let diagnostic = Diagnostic::error(Code::Unreadable, message, mend).at(place);
    (name.span.unwrap_or(nowhere), diagnostic)
}

/// The name of a spreadsheet as the reader of a message finds it: beside the layout.
fn beside(layout: Option<&str>, name: &str) -> String {
    let folder = layout.and_then(|layout| Path::new(layout).parent());
    folder.map_or_else(
        || name.to_owned(),
        |folder| folder.join(name).display().to_string(),
    )
}

/// A spreadsheet cut into cells.
struct Sheet {
    /// The key of the layout that names it.
    key: &'static str,
    source: u32,
    bytes: usize,
    rows: Vec<Row>,
    faults: Vec<Fault>,
}

impl Sheet {
    fn new(key: &'static str, name: &Text, text: &str, sources: &mut Sources) -> Self {
        let text = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text);
        let (rows, faults) = if text.len() > MAX_BYTES {
            (Vec::new(), Vec::new())
        } else {
            cells::rows(text, cells::separator(text))
        };
        let layout = name.span.and_then(|span| sources.name(span.source));
        let places = rows.iter().flat_map(|row| {
            let columns = row.cells.iter().enumerate();
            columns.map(|(column, cell)| CellAt {
                range: cell.range.clone(),
                row: row.number,
                column: cells::letters(column),
            })
        });
        let shown = beside(layout, name);
        let source = sources.add_spreadsheet(shown, text, places.collect());
        Self {
            key,
            source,
            bytes: text.len(),
            rows,
            faults,
        }
    }

    fn span(&self, range: Range<usize>) -> Span {
        Span {
            source: self.source,
            start: range.start,
            end: range.end,
        }
    }

    /// The rows as values of a table of the layout; what is wrong goes to the reader.
    fn read<T: Read>(&self, reader: &mut Reader<'_>) -> Vec<T> {
        let Shape::Table(title, keys) = T::SHAPE else {
            return Vec::new();
        };
        if !self.is_sound(reader) {
            return Vec::new();
        }
        let mut rows = self.rows.iter().filter(|row| !row.is_blank()).peekable();
        let (Some(head), true) = (rows.next(), rows.peek().is_some()) else {
            let message = format!("the spreadsheet has no row of {title} below its head");
            let mend = format!(
                "give a head and rows, or take `{}` out of the layout",
                self.key
            );
            reader.report(Code::Syntax, self.span(0..0), message, mend);
            return Vec::new();
        };
        let columns = self.columns(head, title, keys, reader);
        let of_the_head = reader.count();
        let read = rows.filter_map(|row| {
            let node = self.node(row, &columns, reader)?;
            T::read(Found(&node), reader)
        });
        let read = read.collect();
        // What stands under a wrong head is not missing.
        if columns.contains(&Column::Wrong) {
            reader.forget(Code::MissingKey, of_the_head);
        }
        read
    }

    /// Whether it can be cut into rows, and not too many.
    fn is_sound(&self, reader: &mut Reader<'_>) -> bool {
        let start = self.span(0..0);
        let cells: usize = self.rows.iter().map(|row| row.cells.len()).sum();
        if self.bytes > MAX_BYTES || self.rows.len() > MAX_LIST || cells > MOST_CELLS {
            let message = "the spreadsheet is larger than any layout needs";
            let mend = format!(
                "give no more than {MAX_LIST} rows, {MOST_CELLS} cells and {MAX_BYTES} bytes"
            );
            reader.report(Code::TooLarge, start, message, mend);
            return false;
        }
        for fault in &self.faults {
            let (at, message) = match *fault {
                Fault::Open(at) => (at..at + 1, "this quotation mark is never closed"),
                Fault::After(at) => (at..at, "something stands behind the closing quotation mark"),
            };
            let mend = "quote a whole cell, and write a quotation mark in it twice: \"6' 4\"\"\"";
            reader.report(Code::Syntax, self.span(at), message, mend);
        }
        self.faults.is_empty()
    }

    /// What each column holds; what is wrong with its head goes to the reader.
    fn columns(
        &self,
        head: &Row,
        title: &str,
        keys: &'static [Key],
        reader: &mut Reader<'_>,
    ) -> Vec<Column> {
        let targets = targets(keys);
        let mut columns: Vec<Column> = Vec::new();
        for cell in &head.cells {
            let column = Column::of(cell, title, &targets);
            let twice = |column: &Column| columns.iter().any(|other| other.is_like(column));
            let column = match column {
                Ok(column) if twice(&column) => {
                    let message = format!("the column \"{}\" stands here twice", cell.text);
                    Err((
                        Code::DuplicateKey,
                        message,
                        "keep one of the two".to_owned(),
                    ))
                }
                other => other,
            };
            columns.push(column.unwrap_or_else(|(code, message, mend)| {
                reader.report(code, self.span(cell.range.clone()), message, mend);
                Column::Wrong
            }));
        }
        let has = |key: &Key| columns.iter().any(|column| column.is_of(key.name));
        let missing = keys.iter().find(|key| key.required && !has(key));
        if let (Some(key), false) = (missing, columns.contains(&Column::Wrong)) {
            let message = format!("{title} needs the column `{}`", key.name);
            let mend = "name it in the first row, and fill it in every other";
            reader.report(Code::MissingKey, self.span(head.range()), message, mend);
            columns.push(Column::Wrong);
        }
        columns
    }

    /// A row as the table that it would be in the layout.
    fn node(&self, row: &Row, columns: &[Column], reader: &mut Reader<'_>) -> Option<Node> {
        let span = self.span(row.range());
        if row.cells.len() != self.width() {
            let (number, cells) = (row.number, row.cells.len());
            let message = format!(
                "row {number} has {cells} cells, the head has {}",
                self.width()
            );
            let mend = "quote cells that hold the separator, and write a decimal point: 22.5";
            reader.report(Code::Syntax, span, message, mend);
            return None;
        }
        let mut entries: Vec<Entry> = Vec::new();
        let filled = row
            .cells
            .iter()
            .zip(columns)
            .filter(|(cell, _)| !cell.text.is_empty());
        for (cell, column) in filled {
            let span = self.span(cell.range.clone());
            match column.value(&cell.text) {
                Ok(Some((target, value))) => put(&mut entries, target, Node { span, value }),
                Ok(None) => {}
                Err((code, message, mend)) => reader.report(code, span, message, mend),
            }
        }
        entries.retain(|entry| is_whole(entry, reader));
        Some(Node {
            span,
            value: Value::Table(entries),
        })
    }

    /// How many cells the head has.
    fn width(&self) -> usize {
        let head = self.rows.iter().find(|row| !row.is_blank());
        head.map_or(0, |head| head.cells.len())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;
    use crate::units::{si, us};
    use proptest::prelude::*;

    fn read(key: &str, text: &str) -> Result<Layout, Diagnostics> {
        let layout = Layout::from_toml(&format!("{key} = \"a.csv\"")).unwrap();
        layout.with_spreadsheets(|_| Ok::<_, String>(text.as_bytes().to_vec()))
    }

    fn codes(key: &str, text: &str) -> Vec<(Code, Option<String>)> {
        let found = read(key, text).expect_err("it has problems");
        let place = |one: &Diagnostic| one.place.as_ref().and_then(|place| place.cell.clone());
        found.iter().map(|one| (one.code, place(one))).collect()
    }

    fn at(code: Code, cell: &str) -> (Code, Option<String>) {
        (code, Some(cell.to_owned()))
    }

    #[test]
    fn rows_are_the_tables_that_they_stand_for() {
        let csv = "id,species,east [ft],north [ft],diameter [in],bark [mm],leans [deg],lean,crown.base [ft],crown.spread\n\
                   a,\"Douglas-fir, coast\",1,-3-1/2,22,20,35,3 deg,30,6 m\n\
                   \n\
                   b,oak,0,0,56 cm,0.8 in,NE,,,\n";
        let toml = "[[tree]]\nid = \"a\"\nspecies = \"Douglas-fir, coast\"\nat = [\"1 ft\", \"-3-1/2 ft\"]\n\
                    diameter = \"22 in\"\nbark = \"20 mm\"\nleans = \"35 deg\"\nlean = \"3 deg\"\n\
                    crown = { base = \"30 ft\", spread = \"6 m\" }\n\
                    [[tree]]\nid = \"b\"\nspecies = \"oak\"\nat = [\"0 ft\", \"0 ft\"]\n\
                    diameter = \"56 cm\"\nbark = \"0.8 in\"\nleans = \"NE\"\n";
        assert_eq!(
            read("trees", csv).unwrap(),
            Layout::from_toml(toml).unwrap()
        );
    }

    #[test]
    fn rows_come_behind_the_tables_of_the_layout() {
        let text = "trees = \"t.csv\"\nanchors = \"a.csv\"\nas_built = \"b.csv\"\n[[tree]]\nid = \"one\"\n";
        let layout = Layout::from_toml(text).unwrap();
        assert_eq!(layout.spreadsheets(), ["t.csv", "a.csv", "b.csv"]);
        let layout = layout
            .with_spreadsheets(|name| {
                match name {
                    "t.csv" => Ok("id\ntwo\n"),
                    "a.csv" => Ok("id;tree;size\nN;one;64x114/34\n"),
                    "b.csv" => Ok("anchor\trefused\thole_over [in]\nN\tYES\t1/2\n"),
                    other => Err(format!("no {other}")),
                }
                .map(|text| text.as_bytes().to_vec())
            })
            .unwrap();
        let ids: Vec<&str> = layout.tree.iter().map(|tree| tree.id.as_str()).collect();
        assert_eq!(ids, ["one", "two"]);
        assert_eq!(layout.anchor[0].tree.as_str(), "one");
        let Some(AsBuiltRows::Rows(rows)) = &layout.as_built else {
            unreachable!("rows were given")
        };
        assert_eq!(rows[0].refused, Some(true.into()));
        assert_eq!(rows[0].hole_over, Some(us::inches(0.5).into()));
        assert!(layout.spreadsheets().is_empty());
        let again = Layout::from_toml(&toml::to_string(&layout).unwrap()).unwrap();
        assert_eq!(again, layout);
    }

    #[test]
    fn a_mark_of_order_line_ends_and_separators_change_nothing() {
        let plain = read("trees", "id,diameter [mm]\na,560\n").unwrap();
        for text in [
            "\u{feff}id,diameter [mm]\r\na,560\r\n",
            "id;diameter [mm]\na;560\n;\n",
            "id\tdiameter [mm]\r\n\r\na\t560",
            "\"id\",\"diameter [mm]\"\n\"a\",\"560\"\n",
            "id,diameter [mm],\na,560,\n",
        ] {
            assert_eq!(read("trees", text).unwrap(), plain, "{text}");
        }
        assert_eq!(plain.tree[0].diameter, Some(si::millimetres(560.0).into()));
    }

    #[test]
    fn columns_may_stand_in_any_order() {
        let plain = read(
            "trees",
            "id,east,north,crown.base,crown.spread\na,1 ft,2 ft,3 m,4 m\n",
        )
        .unwrap();
        let turned = read(
            "trees",
            "crown.spread,north,crown.base,east,id\n4 m,2 ft,3 m,1 ft,a\n",
        )
        .unwrap();
        assert_eq!(turned, plain);
        assert_eq!(plain.tree[0].at.unwrap().north(), us::feet(2.0));
    }

    #[test]
    fn places_are_rows_and_columns() {
        let cell = |text: &str| codes("trees", text);
        assert_eq!(
            cell("id,bark\na,3\n"),
            [at(Code::BareNumber, "row 2, column B")]
        );
        assert_eq!(
            cell("id,bark [in]\n\na,\"3,5\"\n"),
            [at(Code::BadQuantity, "row 3, column B")]
        );
        assert_eq!(
            cell("id,brak\na,3\n"),
            [at(Code::UnknownKey, "row 1, column B")]
        );
        assert_eq!(
            cell("id,bark [psi]\na,3\n"),
            [at(Code::BadQuantity, "row 1, column B")]
        );
        assert_eq!(
            cell("id [in]\na\n"),
            [at(Code::BadQuantity, "row 1, column A")]
        );
        assert_eq!(
            cell("id,id\na,b\n"),
            [at(Code::DuplicateKey, "row 1, column B")]
        );
        assert_eq!(
            cell("bark [in],lean\n1 in,\n"),
            [at(Code::MissingKey, "row 1")]
        );
        assert_eq!(cell("id,bark [in]\n,1\n"), [at(Code::MissingKey, "row 2")]);
        assert_eq!(
            cell("id,bark [in],lean\na,3\n"),
            [at(Code::Syntax, "row 2")]
        );
        assert_eq!(
            cell("id,bark [in]\na,3,5 in\n"),
            [at(Code::Syntax, "row 2")]
        );
        assert_eq!(
            cell("id,\na,x\n"),
            [at(Code::UnknownKey, "row 2, column B")]
        );
        assert_eq!(
            cell("id,east [ft]\na,1\n"),
            [at(Code::MissingKey, "row 2, column B")]
        );
        assert_eq!(
            cell("id,bark\na,\"1\n"),
            [at(Code::Syntax, "row 2, column B")]
        );
    }

    #[test]
    fn a_wrong_head_hides_no_other_problem_and_makes_none() {
        let cell = |text: &str| codes("trees", text);
        assert_eq!(
            cell("ID,bark [in]\na,3\n"),
            [at(Code::UnknownKey, "row 1, column A")]
        );
        assert_eq!(
            cell("id,nroth [ft],east [ft],bark\na b,1,2,3\n"),
            [
                at(Code::UnknownKey, "row 1, column B"),
                at(Code::BadId, "row 2, column A"),
                at(Code::BareNumber, "row 2, column D"),
            ]
        );
    }

    #[test]
    fn the_unit_of_a_head_is_for_bare_numbers_only() {
        let bark = |cell: &str| {
            read("trees", &format!("id,bark [in]\na,{cell}\n")).map(|layout| layout.tree[0].bark)
        };
        for (cell, inches) in [
            ("3", 3.0),
            ("3-1/2", 3.5),
            ("½", 0.5),
            ("-2", -2.0),
            ("1e1", 10.0),
            ("1 ft", 12.0),
        ] {
            assert_eq!(
                bark(cell).unwrap(),
                Some(us::inches(inches).into()),
                "{cell}"
            );
        }
        for cell in ["6 ft 4", "3 psi", "three", "NaN", "1e999", "3 in in"] {
            assert!(bark(cell).is_err(), "{cell}");
        }
    }

    #[test]
    fn what_is_too_large_or_no_text_is_refused() {
        for text in [
            format!("id\n{}", "a\n".repeat(MAX_LIST)),
            ",".repeat(MOST_CELLS + 10),
            "a".repeat(MAX_BYTES + 1),
        ] {
            let found = codes("trees", &text);
            assert_eq!((found.len(), found[0].0), (1, Code::TooLarge));
        }
        let layout = Layout::from_toml("trees = \"a.csv\"").unwrap();
        let found = layout
            .with_spreadsheets(|_| Ok::<_, String>(b"id\n\xff\n".to_vec()))
            .unwrap_err();
        let said = found.to_string();
        assert!(
            said.contains("a.csv could not be read: its line 2 is not UTF-8 text"),
            "{said}"
        );
        assert!(said.contains("layout:1:9"), "{said}");
    }

    #[test]
    fn a_file_is_named_beside_its_layout() {
        assert_eq!(
            beside(Some("survey/layout.toml"), "trees.csv"),
            "survey/trees.csv"
        );
        assert_eq!(beside(Some("layout"), "trees.csv"), "trees.csv");
        assert_eq!(
            beside(Some("survey/layout.toml"), "/a/trees.csv"),
            "/a/trees.csv"
        );
        assert_eq!(beside(None, "trees.csv"), "trees.csv");
    }

    proptest! {
        #[test]
        fn arbitrary_bytes_are_read_or_refused(
            bytes in prop::collection::vec(any::<u8>(), 0..200),
            text in "((id|bark|east|crown.base)? ?(\\[(in|deg|)\\])?[,;\t]?){0,6}[\r\n]{1,2}[\",;\t\r\n a1é%]{0,60}",
        ) {
            for key in ["trees", "anchors", "as_built"] {
                for bytes in [&bytes, text.as_bytes()] {
                    let layout = Layout::from_toml(&format!("{key} = \"a.csv\"")).unwrap();
                    if let Err(found) = layout.with_spreadsheets(|_| Ok::<_, String>(bytes.to_vec())) {
                        prop_assert!(!found.is_empty());
                        for one in &found {
                            prop_assert!(one.place.is_some() && !one.mend.is_empty(), "{}", one);
                        }
                    }
                }
            }
        }
    }
}
