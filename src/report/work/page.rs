//! A page of words and numbers before it takes a form.

/// How a page is headed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Nothing stands in the way.
    Plain,
    /// Somebody must look first.
    Look,
    /// Do not do it.
    Stop,
}

/// A line of numbers: what it is, the number, the same in the other system or a remark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What it is.
    pub what: String,
    /// The number, large.
    pub number: String,
    /// The same in the other system of units, or a remark.
    pub beside: String,
}

/// A part of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// Numbers, one to a line.
    Numbers(&'static str, Vec<Row>),
    /// Steps in their order.
    Steps(&'static str, Vec<String>),
    /// Sentences, one to a line.
    Notes(&'static str, Vec<String>),
    /// A table: heads and rows.
    Table(&'static str, Vec<String>, Vec<Vec<String>>),
    /// Blanks to fill in, each with what goes into it.
    Blanks(&'static str, Vec<[String; 2]>),
}

impl Block {
    /// What stands over it.
    pub fn head(&self) -> &'static str {
        match self {
            Self::Numbers(head, _)
            | Self::Steps(head, _)
            | Self::Notes(head, _)
            | Self::Table(head, ..)
            | Self::Blanks(head, _) => head,
        }
    }

    /// Whether there is nothing in it.
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Numbers(_, rows) => rows.is_empty(),
            Self::Steps(_, lines) | Self::Notes(_, lines) => lines.is_empty(),
            Self::Table(_, _, rows) => rows.is_empty(),
            Self::Blanks(_, blanks) => blanks.is_empty(),
        }
    }
}

/// A page: what it is of, a banner, and its parts in the order in which they are worked through.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// What it is of.
    pub title: String,
    /// The banner beside the title, and its tone.
    pub banner: Option<(String, Tone)>,
    /// What stands under the title.
    pub lead: Vec<String>,
    /// Its parts.
    pub blocks: Vec<Block>,
    /// What stands at its foot.
    pub foot: String,
}

impl Row {
    /// A row of a number in two systems of units.
    pub(super) fn both(what: impl Into<String>, [number, beside]: [String; 2]) -> Self {
        Self {
            what: what.into(),
            number,
            beside,
        }
    }

    /// A row of one number or word, with a remark.
    pub(super) fn one(
        what: impl Into<String>,
        number: impl Into<String>,
        beside: impl Into<String>,
    ) -> Self {
        Self {
            what: what.into(),
            number: number.into(),
            beside: beside.into(),
        }
    }
}
