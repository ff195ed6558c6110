//! The command line.

use barkline::units::Show;
use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use std::path::{Path, PathBuf};

/// Where everything goes.
pub(crate) const STREAMS: &str =
    "Results go to standard output, everything else to standard error.";

/// What the exit status of every command means.
pub(crate) const EXIT_STATUS: &str = "\
Exit status:
  0  all attachments pass, or the command did what it was asked
  1  an attachment fails or needs review
  2  the input is wrong: a layout, a name, an option, a file
  3  the analysis or the output was not completed, or a fault of the program";

/// Checks steel anchors in living trees, and the platforms that hang on them.
#[derive(Debug, Parser)]
#[command(
    version,
    name = "barkline",
    max_term_width = 100,
    disable_help_subcommand = true,
    after_help = format!("{STREAMS}\n\n{EXIT_STATUS}")
)]
pub(crate) struct Args {
    #[command(subcommand)]
    pub(crate) command: Command,
    #[command(flatten)]
    pub(crate) common: Common,
}

/// What every command takes.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct Common {
    /// Form of the results
    #[arg(long, global = true, value_enum, default_value_t, value_name = "FORM")]
    pub(crate) format: Form,
    /// Units of printed results; those of the layout if not given. JSON is always SI
    #[arg(long, global = true, value_enum, value_name = "SYSTEM")]
    pub(crate) show: Option<System>,
    /// Write the results to FILE, whole or not at all; a file that exists is kept
    #[arg(short, long, global = true, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
    /// Replace FILE if it exists
    #[arg(long, global = true)]
    pub(crate) force: bool,
    /// Print errors only: the exit status says the rest, --output takes the results
    #[arg(short, long, global = true)]
    pub(crate) quiet: bool,
    /// Colour: `auto` is on terminals only, and heeds NO_COLOR and CLICOLOR_FORCE
    #[arg(long, global = true, value_enum, default_value_t, value_name = "WHEN")]
    pub(crate) color: When,
}

/// What the exit status of `reliability` means.
const RELIABILITY_STATUS: &str = "\
Exit status:
  0  worked out; the target is reached, if the layout names one
  1  an attachment is below the target of the layout, or could not be worked out
  2  the input is wrong: a layout, an option, a file
  3  the analysis was not completed: interrupted (what is finished is printed), or a fault";

/// How reliability is worked out.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct Sampling {
    /// The method; `importance` samples about the design points
    #[arg(long, value_enum, default_value_t, value_name = "METHOD")]
    pub(crate) method: Method,
    /// Samples for each attachment, and for the platform
    #[arg(long, value_name = "COUNT", default_value_t = 20_000, value_parser = clap::value_parser!(u64).range(1..=1_000_000_000))]
    pub(crate) samples: u64,
    /// What samples are drawn from: the same seed gives the same result
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub(crate) seed: u64,
    /// Threads; 0 is one on each processor. The result does not depend on it
    #[arg(long, value_name = "COUNT", default_value_t = 0)]
    pub(crate) threads: usize,
}

/// A method of reliability.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum Method {
    Form,
    Crude,
    #[default]
    Importance,
    LatinHypercube,
    Sobol,
}

impl From<Method> for barkline::reliability::Method {
    fn from(method: Method) -> Self {
        match method {
            Method::Form => Self::Form,
            Method::Crude => Self::Crude,
            Method::Importance => Self::Importance,
            Method::LatinHypercube => Self::LatinHypercube,
            Method::Sobol => Self::Sobol,
        }
    }
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Check every attachment of a layout: load, governing check, margin; pass, fail or review
    #[command(after_help = EXIT_STATUS)]
    Check {
        /// The layout, TOML or JSON; `-` is standard input
        layout: PathBuf,
        /// Check what was built beside what was drawn, by the `as_built` rows of the layout
        #[arg(long, conflicts_with_all = ["lose_one", "after"])]
        as_built: bool,
        /// Also take away each attachment in turn: what then fails, and whether the platform stands
        #[arg(long)]
        lose_one: bool,
        /// Also look ahead at growth over so many years
        #[arg(long, value_name = "YEARS", value_parser = clap::value_parser!(u32).range(1..=200))]
        after: Option<u32>,
        /// Also solve every attachment by other routes; if the answers differ, that is a fault: both go to FILE, to be
        /// sent in
        #[arg(
            long,
            value_name = "FILE",
            num_args = 0..=1,
            require_equals = true,
            default_missing_value = "barkline-second-opinion.json",
            conflicts_with = "as_built"
        )]
        second_opinion: Option<PathBuf>,
    },
    /// Find the smallest changes that make each failing attachment pass, and what the others could still take
    #[command(after_help = EXIT_STATUS)]
    Size {
        /// The layout, TOML or JSON; `-` is standard input
        layout: PathBuf,
    },
    /// Find how likely collapse and damage of each attachment are, and what that hangs on
    #[command(after_help = RELIABILITY_STATUS)]
    Reliability {
        /// The layout, TOML or JSON; `-` is standard input
        layout: PathBuf,
        #[command(flatten)]
        sampling: Sampling,
    },
    /// Write the calculation package: an .html with drawings, which prints, or an .md without them
    Report {
        /// The layout, TOML or JSON; `-` is standard input. Give `-o FILE.html` or `-o FILE.md`
        layout: PathBuf,
        /// Also work out how likely collapse and damage are, with drawings of the margins and of what matters; takes longer
        #[arg(long)]
        reliability: bool,
    },
    /// The hand calculation of one anchor: every equation, its numbers, its result and its source
    Explain {
        /// The layout, TOML or JSON; `-` is standard input
        layout: PathBuf,
        /// Id of the anchor
        anchor: String,
        /// This check alone, by its id such as `limit_load`
        #[arg(long, value_name = "ID")]
        check: Option<String>,
    },
    /// Drilling cards, one for each anchor, and a list of bits and tools
    #[command(after_help = EXIT_STATUS)]
    Drill {
        /// The layout, TOML or JSON; `-` is standard input
        layout: PathBuf,
        /// Print the card of an anchor that fails as well, with its verdict on it
        #[arg(long)]
        despite: bool,
    },
    /// The shop sheet: marks of beams, braces, joists and headers, loads at joints, weights
    #[command(after_help = EXIT_STATUS)]
    Cut {
        /// The layout, TOML or JSON; `-` is standard input
        layout: PathBuf,
    },
    /// The woods: green means of small clear specimens; with NAME, every value, green and at 12 % moisture
    Woods {
        /// Common name, scientific name or id; spelling and word order are forgiven
        name: Option<String>,
    },
    /// The steels of bars, by grade and diameter
    Steels,
    /// The sizes of anchors
    Sizes,
    /// The defaults by which a platform is judged
    Criteria,
    /// The documents that values and checks come from
    Sources {
        /// The part of a source before the colon, such as `fpl-gtr-282`
        id: Option<String>,
    },
    /// Write a starter layout that checks as it stands
    New {
        /// Where to; standard output if not given
        file: Option<PathBuf>,
    },
    /// Print the JSON Schema of the layout, by which editors complete keys
    Schema,
    /// Print a script that completes commands and options in a shell
    Completions {
        /// The shell
        shell: Shell,
    },
    /// Print the manual page, in the language of man
    Manual,
}

impl Command {
    /// The layout that the command reads.
    pub(crate) fn layout(&self) -> Option<&Path> {
        match self {
            Self::Check { layout, .. }
            | Self::Size { layout }
            | Self::Explain { layout, .. }
            | Self::Reliability { layout, .. }
            | Self::Report { layout, .. }
            | Self::Drill { layout, .. }
            | Self::Cut { layout } => Some(layout),
            Self::Woods { .. }
            | Self::Steels
            | Self::Sizes
            | Self::Criteria
            | Self::Sources { .. }
            | Self::New { .. }
            | Self::Schema
            | Self::Completions { .. }
            | Self::Manual => None,
        }
    }
}

/// The form of results.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum Form {
    #[default]
    Table,
    Json,
    Csv,
    Markdown,
    Html,
}

/// A system of units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum System {
    Us,
    Si,
}

impl From<System> for Show {
    fn from(system: System) -> Self {
        match system {
            System::Us => Self::Us,
            System::Si => Self::Si,
        }
    }
}

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum When {
    #[default]
    Auto,
    Always,
    Never,
}

impl From<When> for anstream::ColorChoice {
    fn from(when: When) -> Self {
        match when {
            When::Auto => Self::Auto,
            When::Always => Self::Always,
            When::Never => Self::Never,
        }
    }
}
