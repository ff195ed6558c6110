//! The words that some keys choose from.

use crate::input::diagnostic::Code;
use crate::input::reader::{Found, Read, Reader, Shape, TextError};
use crate::units::{Show, nearest};
use serde::{Deserialize, Serialize};
use std::fmt;

macro_rules! words {
    ($($(#[$about:meta])* $name:ident { $($(#[$doc:meta])* $variant:ident = $word:literal,)* })*) => {$(
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
        pub enum $name {
            $($(#[$doc])* #[serde(rename = $word)] $variant,)*
        }

        impl $name {
            /// The words, in the order of the variants.
            pub const WORDS: &'static [&'static str] = &[$($word),*];

            /// The word as it stands in the file.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.word())
            }
        }

        impl std::str::FromStr for $name {
            type Err = TextError;
            fn from_str(text: &str) -> Result<Self, TextError> {
                match text {
                    $($word => Ok(Self::$variant),)*
                    _ => Err(unknown(text, Self::WORDS)),
                }
            }
        }

        impl Read for $name {
            const SHAPE: Shape = Shape::Words(Self::WORDS);
            fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
                reader.small(value, &Self::SHAPE)
            }
        }
    )*};
}

fn unknown(text: &str, words: &'static [&'static str]) -> TextError {
    let due = Shape::Words(words).due();
    let mend = match nearest(text, words.iter().copied()) {
        Some(word) => format!("did you mean \"{word}\"? {due} is due"),
        None => format!("{due} is due"),
    };
    TextError {
        code: Code::UnknownWord,
        message: format!("\"{text}\" is not a word that it takes"),
        mend,
        range: 0..text.len(),
    }
}

words! {
    /// The shape of a distribution.
    Distribution {
        /// Normal.
        Normal = "normal",
        /// Lognormal.
        Lognormal = "lognormal",
        /// Gumbel, of largest values.
        Gumbel = "gumbel",
        /// Gamma.
        Gamma = "gamma",
        /// Uniform.
        Uniform = "uniform",
        /// One value.
        Fixed = "fixed",
    }
    /// How a seat holds a beam.
    Seat {
        /// It holds in every direction but rotation.
        Fixed = "fixed",
        /// It lets the beam travel along its own axis.
        Sliding = "sliding",
        /// It hangs: it holds down only.
        Hung = "hung",
    }
    /// How a deck holds its beams together in plan.
    Diaphragm {
        /// As one stiff plate.
        Rigid = "rigid",
        /// Not at all.
        Flexible = "flexible",
    }
    /// How a member meets the beams below it.
    Set {
        /// It lies on them.
        OnTop = "on top",
        /// It is hung between them, tops in one plane.
        Flush = "flush",
    }
    /// What a brace carries.
    Carries {
        /// Compression only.
        Push = "push",
        /// Tension only.
        Pull = "pull",
        /// Compression and tension.
        Both = "both",
    }
    /// What the ground snow load is.
    SnowBasis {
        /// The strength-level load of the maps of ASCE 7-22.
        Asce722 = "asce7-22",
        /// The nominal load of the maps of ASCE 7-16.
        Asce716 = "asce7-16",
        /// The characteristic load of EN 1991-1-3.
        En1991 = "en1991",
    }
    /// The exposure of the site to wind, ASCE 7.
    Exposure {
        /// Woods, suburbs, towns.
        B = "B",
        /// Open country with scattered obstructions.
        C = "C",
        /// Flat shores.
        D = "D",
    }
    /// The combinations of loads.
    CombinationSet {
        /// Allowable stress design, ASCE 7-22 section 2.4.
        Asce722Asd = "asce7-22-asd",
        /// Allowable stress design, ASCE 7-16 section 2.4.
        Asce716Asd = "asce7-16-asd",
        /// Load and resistance factors, ASCE 7-22 section 2.3.
        Asce722Lrfd = "asce7-22-lrfd",
        /// Load and resistance factors, ASCE 7-16 section 2.3.
        Asce716Lrfd = "asce7-16-lrfd",
        /// Partial factors, EN 1990, strength and equilibrium.
        En1990 = "en1990",
        /// The `[[combination]]` rows of the file.
        Own = "own",
    }
    /// What the bearing strength of the wood is taken from.
    Basis {
        /// Green clear wood: crushing along the grain, compression across it.
        GreenClearWood = "green-clear-wood",
        /// The dowel bearing strength of the NDS, wet, never above the former.
        DowelBearing = "dowel-bearing",
    }
    /// How the duration of load counts.
    Duration {
        /// By the factors of the format, but never above that of the live load.
        Capped = "capped",
        /// By the factors of the format: C_D, λ or k_mod.
        Nds = "nds",
        /// Every load as the live load.
        Off = "off",
    }
    /// What a check outside its published range becomes.
    Extended {
        /// A note beside its verdict.
        Note = "note",
        /// No verdict: it is to be reviewed.
        Review = "review",
    }
}

impl Read for Show {
    const SHAPE: Shape = Shape::Words(&["us", "si"]);
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        reader
            .small::<ShowWord>(value, &Self::SHAPE)
            .map(|word| word.0)
    }
}

/// The word for a system of units.
struct ShowWord(Show);

impl std::str::FromStr for ShowWord {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        match text {
            "us" => Ok(Self(Show::Us)),
            "si" => Ok(Self(Show::Si)),
            _ => Err(unknown(text, &["us", "si"])),
        }
    }
}
