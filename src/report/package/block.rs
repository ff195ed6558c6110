//! What a section is made of, before it takes a form: words, lists, tables, figures, blanks to fill in.

use crate::checks::Verdict;
use crate::report::work::Page;
use crate::report::{Cell, Sheet};
use crate::units::Show;

/// A section of the package.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Section {
    /// Its id, a word of the program, unique in the package.
    pub(in crate::report) id: String,
    /// Its heading.
    pub(in crate::report) title: String,
    /// Whether it begins on a new sheet.
    pub(in crate::report) new_sheet: bool,
    /// Whether it is printed closely.
    pub(in crate::report) tight: bool,
    /// What is in it.
    pub(in crate::report) blocks: Vec<Block>,
}

impl Section {
    /// A section with nothing in it.
    pub(super) fn new(id: impl Into<String>, title: impl Into<String>) -> Self {
        Self {
            id: id.into(),
            title: title.into(),
            new_sheet: false,
            tight: false,
            blocks: Vec::new(),
        }
    }

    /// The same, beginning on a new sheet.
    pub(super) fn on_new_sheet(mut self) -> Self {
        self.new_sheet = true;
        self
    }

    /// The same, printed closely.
    pub(super) fn tightly(mut self) -> Self {
        self.tight = true;
        self
    }

    /// The same with one more block.
    pub(super) fn with(mut self, block: Block) -> Self {
        self.blocks.push(block);
        self
    }

    /// The same with a paragraph.
    pub(super) fn saying(self, words: impl Into<String>) -> Self {
        self.with(Block::Words(words.into()))
    }
}

/// A part of a section.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) enum Block {
    /// A heading within the section.
    Heading(String),
    /// A paragraph.
    Words(String),
    /// A verdict and what is to be said of it.
    Verdict(Verdict, String),
    /// A list.
    List(Vec<String>),
    /// Names and what stands for them.
    Facts(Vec<(String, String)>),
    /// A table.
    Table(Grid),
    /// A drawing.
    Figure(Figure),
    /// A drawing, and the table that stands in its place where there are no drawings.
    Drawn(Figure, Grid),
    /// Steps of a calculation, in their order.
    Steps(Vec<Worked>),
    /// Blanks to fill in by hand: what goes there, and how many lines it needs.
    Blanks(Vec<(&'static str, usize)>),
    /// A text that stands as it was written.
    Verbatim(String),
    /// A page of the work, as it stands in a file of its own.
    Page(Page),
}

/// A step of a calculation in words.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Worked {
    /// What it finds.
    pub(in crate::report) title: String,
    /// The equation in symbols and with numbers, or how it was found.
    pub(in crate::report) lines: Vec<String>,
    /// Source and standing.
    pub(in crate::report) source: String,
}

/// A drawing and its caption.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Figure {
    /// The drawing as SVG.
    pub(in crate::report) svg: String,
    /// What it shows.
    pub(in crate::report) caption: String,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) enum Holds {
    /// Words.
    Words,
    /// Figures, which stand to the right.
    Figures,
    /// Words of the program, which are not broken.
    Keys,
    /// How much is used, in figures and as a bar.
    Used,
}

/// A table in words: the first cell of every row is its head.
#[derive(Debug, Clone, PartialEq, Default)]
pub(in crate::report) struct Grid {
    /// What the table holds.
    pub(in crate::report) caption: String,
    /// The heads of the columns, and what they hold.
    pub(in crate::report) columns: Vec<(String, Holds)>,
    /// The rows.
    pub(in crate::report) rows: Vec<Row>,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Default)]
pub(in crate::report) struct Row {
    /// Its cells.
    pub(in crate::report) cells: Vec<String>,
    /// Whether it stands out: it governs, or was changed. Its cells say so too.
    pub(in crate::report) strong: bool,
    /// What is written under it, over the whole width.
    pub(in crate::report) detail: Option<String>,
    /// What its bar shows, where it has a column for one: how much is used, and the verdict.
    pub(in crate::report) used: Option<(f64, Verdict)>,
}

impl From<Vec<String>> for Row {
    fn from(cells: Vec<String>) -> Self {
        Self {
            cells,
            ..Self::default()
        }
    }
}

impl Grid {
    /// A table without rows. A column whose head begins with `#` holds figures, with `=` keys, with
    /// `%` what is used.
    pub(super) fn new(caption: impl Into<String>, columns: &[&str]) -> Self {
        let head = |name: &&str| {
            let kinds = [
                ('#', Holds::Figures),
                ('=', Holds::Keys),
                ('%', Holds::Used),
            ];
            let marked = kinds
                .into_iter()
                .find_map(|(mark, holds)| Some((name.strip_prefix(mark)?.to_owned(), holds)));
            marked.unwrap_or_else(|| ((*name).to_owned(), Holds::Words))
        };
        Self {
            caption: caption.into(),
            columns: columns.iter().map(head).collect(),
            rows: Vec::new(),
        }
    }

    /// The same with rows.
    pub(super) fn with_rows<R: Into<Row>>(mut self, rows: impl IntoIterator<Item = R>) -> Self {
        self.rows.extend(rows.into_iter().map(R::into));
        self
    }

    /// A sheet as people read it.
    pub(super) fn of(sheet: &Sheet, caption: impl Into<String>, show: Show) -> Self {
        let shown: Vec<_> = sheet
            .columns
            .iter()
            .enumerate()
            .filter(|(_, column)| !column.is_detail())
            .collect();
        let head = |column: &crate::report::Column| match column.unit(show) {
            Some(unit) => format!("{} ({unit})", column.head()),
            None => column.head().to_owned(),
        };
        let cells = |row: &Vec<Cell>| {
            let cells = shown.iter().map(|(k, column)| {
                row.get(*k)
                    .map_or_else(String::new, |cell| column.print(cell, show))
            });
            Row::from(cells.collect::<Vec<_>>())
        };
        Self {
            caption: caption.into(),
            columns: shown
                .iter()
                .map(|(_, column)| {
                    let figures = column.is_figures();
                    let holds = if figures {
                        Holds::Figures
                    } else {
                        Holds::Words
                    };
                    (head(column), holds)
                })
                .collect(),
            rows: sheet.rows.iter().map(cells).collect(),
        }
    }
}
