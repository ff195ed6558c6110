//! Rows and cells of a text, RFC 4180, each with the bytes where it stands.
//!
//! Written here because every problem of a cell is shown at its place, which readers that hand out values do not keep.

use std::ops::Range;

/// A cell: its bytes, quotes included, and what it says without them and without blanks round it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cell {
    pub(super) range: Range<usize>,
    pub(super) text: String,
}

/// A row: its cells, and its number in the spreadsheet, from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    pub(super) number: usize,
    pub(super) cells: Vec<Cell>,
}

impl Row {
    pub(super) fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| cell.text.is_empty())
    }

    pub(super) fn range(&self) -> Range<usize> {
        let start = self.cells.first().map_or(0, |cell| cell.range.start);
        let end = self.cells.last().map_or(start, |cell| cell.range.end);
        start..end
    }
}

/// What is wrong with quotes, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    /// A quoted cell has no closing quote.
    Open(usize),
    /// Something stands between a closing quote and the end of its cell.
    After(usize),
}

/// What may stand between cells, in the order in which they are preferred.
const SEPARATORS: [u8; 3] = [b',', b';', b'\t'];

/// The separator of a text: that which stands most often in its head, outside quotes.
pub(super) fn separator(text: &str) -> u8 {
    let head = text.lines().find(|line| !line.trim().is_empty());
    let head = head.unwrap_or_default().as_bytes();
    let count = |separator: u8| {
        let mut quoted = false;
        let outside = head.iter().filter(|&&byte| {
            quoted ^= byte == b'"';
            !quoted && byte == separator
        });
        outside.count()
    };
    // Of equals the last is the largest.
    let preferred = SEPARATORS.into_iter().rev();
    preferred.max_by_key(|&one| count(one)).unwrap_or(b',')
}

/// The most cells that are read: more than any spreadsheet of a layout has.
pub(super) const MOST_CELLS: usize = 200_000;

/// Every row of a text, and what is wrong with its quotes; not all of a text with more than the most cells.
pub(super) fn rows(text: &str, separator: u8) -> (Vec<Row>, Vec<Fault>) {
    let mut scan = Scan {
        text,
        at: 0,
        separator,
        faults: Vec::new(),
    };
    let mut rows = Vec::new();
    // One more than the most, so that it can be seen that there are more.
    let mut left = MOST_CELLS + 1;
    while scan.at < text.len() && left > 0 {
        let mut row = Row {
            number: rows.len() + 1,
            cells: vec![scan.cell()],
        };
        while scan.peek() == Some(separator) && row.cells.len() <= left {
            scan.at += 1;
            row.cells.push(scan.cell());
        }
        left = left.saturating_sub(row.cells.len());
        // A line feed, after what a carriage return left.
        scan.at += 1;
        rows.push(row);
    }
    (rows, scan.faults)
}

/// A place in the text that moves to its end. What it looks for is ASCII, so that it stops at whole characters only.
struct Scan<'a> {
    text: &'a str,
    at: usize,
    separator: u8,
    faults: Vec<Fault>,
}

impl Scan<'_> {
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn skip_to(&mut self, stop: impl Fn(u8) -> bool) {
        while self.peek().is_some_and(|byte| !stop(byte)) {
            self.at += 1;
        }
    }

    fn slice(&self, range: Range<usize>) -> &str {
        self.text.get(range).unwrap_or_default()
    }

    /// The cell from here to its separator or the end of its line, which is not passed.
    fn cell(&mut self) -> Cell {
        let separator = self.separator;
        let ends = move |byte| byte == separator || byte == b'\n';
        let start = self.at;
        self.skip_to(|byte| ends(byte) || !matches!(byte, b' ' | b'\t'));
        if self.peek() == Some(b'"') {
            return self.quoted(ends);
        }
        self.skip_to(ends);
        let (all, trimmed) = (
            self.slice(start..self.at),
            self.slice(start..self.at).trim(),
        );
        let from = start + (all.len() - all.trim_start().len());
        Cell {
            range: from..from + trimmed.len(),
            text: trimmed.to_owned(),
        }
    }

    fn quoted(&mut self, ends: impl Fn(u8) -> bool) -> Cell {
        let open = self.at;
        loop {
            self.at += 1;
            self.skip_to(|byte| byte == b'"');
            if self.peek().is_none() {
                self.faults.push(Fault::Open(open));
                break;
            }
            self.at += 1;
            if self.peek() != Some(b'"') {
                break;
            }
        }
        let range = open..self.at;
        let inside = self.slice(open + 1..self.at.saturating_sub(1).max(open + 1));
        let text = inside.replace("\"\"", "\"").trim().to_owned();
        let after = self.at;
        self.skip_to(ends);
        if !self.slice(after..self.at).trim().is_empty() {
            self.faults.push(Fault::After(after));
        }
        Cell { range, text }
    }
}

/// The letters that spreadsheets give to a column, from 0: A … Z, AA …
pub(super) fn letters(column: usize) -> String {
    let mut letters = String::new();
    let mut rest = column + 1;
    while rest > 0 {
        rest -= 1;
        letters.insert(0, char::from(b'A' + u8::try_from(rest % 26).unwrap_or(0)));
        rest /= 26;
    }
    letters
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    fn texts(text: &str) -> Vec<Vec<String>> {
        let (rows, faults) = rows(text, separator(text));
        assert!(faults.is_empty(), "{faults:?}");
        let cells = |row: Row| row.cells.into_iter().map(|cell| cell.text).collect();
        rows.into_iter().map(cells).collect()
    }

    #[test]
    fn cells_are_those_of_rfc_4180() {
        assert_eq!(texts("a,b\r\n1,2\r\n"), [["a", "b"], ["1", "2"]]);
        assert_eq!(texts("a,b\n1,2"), [["a", "b"], ["1", "2"]]);
        assert_eq!(texts("\"a,\"\"b\"\"\",\" c \"\n"), [["a,\"b\"", "c"]]);
        assert_eq!(texts("\"two\nlines\",x\n"), [["two\nlines", "x"]]);
        assert_eq!(texts("a,,\n"), [["a", "", ""]]);
        assert_eq!(texts("\n  a , \"b\" \n"), [vec![""], vec!["a", "b"]]);
        assert_eq!(texts("6' 4\",b\n"), [["6' 4\"", "b"]]);
        assert_eq!(texts(""), Vec::<Vec<String>>::new());
    }

    #[test]
    fn the_separator_is_the_one_of_the_head() {
        assert_eq!(separator("a;b,c;d\n"), b';');
        assert_eq!(separator("a\tb\n1,2,3\n"), b'\t');
        assert_eq!(separator("\"a;b;c\",d\n"), b',');
        assert_eq!(separator("\n\na;b\n"), b';');
        assert_eq!(separator("a\n"), b',');
        assert_eq!(texts("a\tb\n1\t\n"), [["a", "b"], ["1", ""]]);
    }

    #[test]
    fn faults_of_quotes_are_found() {
        assert_eq!(rows("a,\"b\n1,2\n", b',').1, [Fault::Open(2)]);
        assert_eq!(rows("a,\"b\"c,d\n", b',').1, [Fault::After(5)]);
        let (found, _) = rows("a,\"b\"c,d\n", b',');
        assert_eq!(found[0].cells.len(), 3);
    }

    #[test]
    fn ranges_are_those_of_the_text() {
        let text = "ä , \"b\"\"c\"\n";
        let (found, _) = rows(text, b',');
        let at = |i: usize| text.get(found[0].cells[i].range.clone()).unwrap();
        assert_eq!((at(0), at(1)), ("ä", "\"b\"\"c\""));
    }

    #[test]
    fn what_is_cut_off_is_more_than_the_most() {
        let cells = |text: &str| -> usize {
            let (rows, _) = rows(text, b',');
            rows.iter().map(|row| row.cells.len()).sum()
        };
        for row in ["a\n", "a,b\n", "a,b,c\n"] {
            let width = row.len() / 2;
            let most = MOST_CELLS / width;
            assert_eq!(cells(&row.repeat(most)), most * width);
            assert!(cells(&row.repeat(most + 1)) > MOST_CELLS);
        }
        assert!((MOST_CELLS + 1..MOST_CELLS + 5).contains(&cells(&",".repeat(3 * MOST_CELLS))));
    }

    #[test]
    fn columns_have_letters() {
        let of = [0, 25, 26, 51, 52, 701, 702].map(letters);
        assert_eq!(of, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }

    proptest! {
        #[test]
        fn any_text_has_rows_within_it(text in "[\",;\t\r\n aé木]*") {
            let separator = separator(&text);
            let (rows, _) = rows(&text, separator);
            let mut last = 0;
            for cell in rows.iter().flat_map(|row| &row.cells) {
                prop_assert!(cell.range.start >= last && text.get(cell.range.clone()).is_some());
                last = cell.range.end;
            }
        }

        #[test]
        fn what_is_quoted_reads_back(cells in prop::collection::vec("[\",;\n a-c]{0,6}", 1..5)) {
            let quoted: Vec<String> = cells.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\""))).collect();
            let (rows, faults) = rows(&quoted.join(","), b',');
            prop_assert!(faults.is_empty());
            let read: Vec<&str> = rows[0].cells.iter().map(|cell| cell.text.as_str()).collect();
            let due: Vec<&str> = cells.iter().map(|cell| cell.trim()).collect();
            prop_assert_eq!(read, due);
        }
    }
}
