//! A table before it takes a form.

use crate::checks::Measure;
use crate::tables::{Reference, Source, Standing};
use crate::units::kind::{self, About, Kind};
use crate::units::{self, Show};

/// The kinds of quantity that stand in sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// A force.
    Force,
    /// A moment.
    Moment,
    /// A stress or a strength.
    Stress,
    /// A modulus of elasticity.
    Modulus,
    /// A length.
    Length,
    /// A weight per volume.
    Weight,
    /// A load per area.
    AreaLoad,
    /// A speed.
    Speed,
}

impl Quantity {
    /// The end of a key whose value is in SI base units.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Force => "n",
            Self::Moment => "n_m",
            Self::Stress | Self::Modulus | Self::AreaLoad => "pa",
            Self::Length => "m",
            Self::Weight => "n_per_m3",
            Self::Speed => "m_per_s",
        }
    }

    /// The name of the unit in which it is shown.
    pub fn unit(self, show: Show) -> &'static str {
        self.shown(show).name
    }

    /// A value given in SI base units, in the unit in which it is shown.
    pub fn in_unit(self, si: f64, show: Show) -> f64 {
        si / self.shown(show).si()
    }

    fn shown(self, show: Show) -> kind::Unit {
        let about = self.about();
        match show {
            Show::Us => about.us,
            Show::Si => about.si,
        }
    }

    fn about(self) -> &'static About {
        match self {
            Self::Force => kind::Force::ABOUT,
            Self::Moment => kind::Moment::ABOUT,
            Self::Stress => kind::Stress::ABOUT,
            Self::Modulus => kind::Modulus::ABOUT,
            Self::Length => kind::Length::ABOUT,
            Self::Weight => kind::UnitWeight::ABOUT,
            Self::AreaLoad => kind::AreaLoad::ABOUT,
            Self::Speed => kind::Speed::ABOUT,
        }
    }
}

/// A cell of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing is known or due here.
    Blank,
    /// Words.
    Text(String),
    /// A fixed word of files, such as `from_memory`; in print the same with blanks.
    Word(&'static str),
    /// Several words or names.
    List(Vec<String>),
    /// A source: in full for files and cards, its id alone in tables.
    Source {
        /// Id and place.
        citation: String,
        /// Id.
        id: String,
    },
    /// Yes or no.
    Flag(bool),
    /// A pure number (1).
    Number(f64),
    /// A utilization or a margin (1), with the word or the rounded number that people read.
    Rounded(Option<f64>, String),
    /// A value in SI base units, and what it is.
    Value(f64, Quantity),
}

impl Cell {
    /// Words.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// Words, where there are any.
    pub fn maybe_text(text: Option<impl Into<String>>) -> Self {
        text.map_or(Self::Blank, Self::text)
    }

    /// The source of a row of a table.
    pub fn source(reference: &Reference) -> Self {
        Self::Source {
            citation: reference.citation(),
            id: reference.source().id.clone(),
        }
    }

    /// A quantity, where there is one.
    pub fn value(si: Option<f64>, quantity: Quantity) -> Self {
        si.map_or(Self::Blank, |si| Self::Value(si, quantity))
    }

    /// A pure number, where there is one (1).
    pub fn number(number: Option<f64>) -> Self {
        number.map_or(Self::Blank, Self::Number)
    }

    /// As people read it, without a unit.
    pub fn bare(&self, show: Show) -> String {
        match self {
            Self::Blank => "–".to_owned(),
            Self::Text(text) | Self::Rounded(_, text) => text.clone(),
            Self::Word(word) => word.replace('_', " "),
            Self::Source { id, .. } => id.clone(),
            Self::List(words) if words.is_empty() => Self::Blank.bare(show),
            Self::List(words) => words.join("; "),
            Self::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
            Self::Number(number) => units::engineering(*number),
            Self::Value(si, quantity) => units::engineering(quantity.in_unit(*si, show)),
        }
    }

    /// As people read it where there is room: a quantity with its unit, a source with the place in it.
    pub fn with_unit(&self, show: Show) -> String {
        match self {
            Self::Source { citation, .. } => citation.clone(),
            Self::Value(_, quantity) => format!("{} {}", self.bare(show), quantity.unit(show)),
            _ => self.bare(show),
        }
    }
}

impl From<Measure> for Cell {
    fn from(measure: Measure) -> Self {
        let quantity = match measure {
            Measure::Force(_) => Quantity::Force,
            Measure::Moment(_) => Quantity::Moment,
            Measure::Stress(_) => Quantity::Stress,
            Measure::Length(_) => Quantity::Length,
            Measure::Speed(_) => Quantity::Speed,
            Measure::Number(number) => return Self::Number(number),
        };
        Self::Value(measure.si(), quantity)
    }
}

/// The word by which files call a standing.
pub const fn standing_id(standing: Standing) -> &'static str {
    match standing {
        Standing::Published => "published",
        Standing::Extended => "extended",
        Standing::FromMemory => "from_memory",
        Standing::Practice => "practice",
    }
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Holds {
    Words,
    Numbers,
    One(Quantity),
    Mixed(&'static [Quantity]),
}

/// A column of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    pub(super) key: &'static str,
    pub(super) head: &'static str,
    pub(super) holds: Holds,
    pub(super) detail: bool,
}

impl Column {
    /// A column of words: its key in files and its head in print.
    pub const fn words(key: &'static str, head: &'static str) -> Self {
        Self::new(key, head, Holds::Words)
    }

    /// A column of pure numbers.
    pub const fn numbers(key: &'static str, head: &'static str) -> Self {
        Self::new(key, head, Holds::Numbers)
    }

    /// A column of one kind of quantity; the unit stands in its head.
    pub const fn of(key: &'static str, head: &'static str, quantity: Quantity) -> Self {
        Self::new(key, head, Holds::One(quantity))
    }

    /// A column whose cells differ in kind, pure numbers or one of `kinds`; in print each cell has its unit.
    pub const fn mixed(key: &'static str, head: &'static str, kinds: &'static [Quantity]) -> Self {
        Self::new(key, head, Holds::Mixed(kinds))
    }

    /// The same column, left out of printed tables.
    #[must_use]
    pub const fn in_files_only(mut self) -> Self {
        self.detail = true;
        self
    }

    const fn new(key: &'static str, head: &'static str, holds: Holds) -> Self {
        Self {
            key,
            head,
            holds,
            detail: false,
        }
    }

    /// The head in print.
    pub fn head(&self) -> &'static str {
        self.head
    }

    /// The unit in the head in print, where all cells share one.
    pub fn unit(&self, show: Show) -> Option<&'static str> {
        match self.holds {
            Holds::One(quantity) => Some(quantity.unit(show)),
            Holds::Words | Holds::Numbers | Holds::Mixed(_) => None,
        }
    }

    /// Whether printed tables leave it out.
    pub fn is_detail(&self) -> bool {
        self.detail
    }

    /// Whether its cells are figures, which print to the right.
    pub fn is_figures(&self) -> bool {
        self.holds != Holds::Words
    }

    /// A cell of this column in print.
    pub fn print(&self, cell: &Cell, show: Show) -> String {
        match self.holds {
            Holds::Mixed(_) => cell.with_unit(show),
            Holds::Words | Holds::Numbers | Holds::One(_) => cell.bare(show),
        }
    }
}

/// A table before it takes a form.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Name and number of the form of its JSON, such as `barkline/woods/1`.
    pub schema: &'static str,
    /// The title in print.
    pub title: String,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows, each with one cell for a column.
    pub rows: Vec<Vec<Cell>>,
    /// The sources that the rows cite, for forms that cite by id alone.
    pub sources: Vec<&'static Source>,
    /// What the reader of every form must be told.
    pub cautions: Vec<String>,
}

impl Sheet {
    /// The sources in words, one line for each: id, title, edition.
    pub fn source_lines(&self) -> Vec<String> {
        let line = |source: &&Source| match source.edition.as_str() {
            "none" => format!("{}: {}", source.id, source.title),
            edition => format!("{}: {}, {edition}", source.id, source.title),
        };
        self.sources.iter().map(line).collect()
    }
}

/// The sources of references, each once, in the order in which they are first cited.
pub fn cited<'a>(references: impl Iterator<Item = &'a Reference>) -> Vec<&'static Source> {
    let mut sources: Vec<&'static Source> = Vec::new();
    for reference in references {
        let source = reference.source();
        if !sources.iter().any(|own| own.id == source.id) {
            sources.push(source);
        }
    }
    sources
}
