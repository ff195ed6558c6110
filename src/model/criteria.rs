//! By what a platform is judged. Criteria travel as values; nothing reads them from elsewhere.

use super::{Case, Magnitudes, Origin, Standing};
use crate::tables::{self, LookupError, SnowLevel};
use crate::units::{Length, si};
use serde::Serialize;
use std::collections::BTreeMap;

/// A group of limit states, as the table of `check` shows them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// Wood under bearing.
    Wood,
    /// The steel bar.
    Steel,
    /// Pulling out.
    PullOut,
    /// Size, place and movement.
    Fit,
}

impl Group {
    /// The groups in the order of the table.
    pub const ALL: [Self; 4] = [Self::Wood, Self::Steel, Self::PullOut, Self::Fit];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wood => "wood",
            Self::Steel => "steel",
            Self::PullOut => "pull-out",
            Self::Fit => "fit",
        }
    }
}

macro_rules! limit_states {
    ($($(#[$doc:meta])* $name:ident = $id:literal, $group:ident, $words:literal;)*) => {
        /// A limit state of an anchor.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        pub enum LimitState {
            $($(#[$doc])* #[serde(rename = $id)] $name,)*
        }

        impl LimitState {
            /// Every limit state, in the order of every listing.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The stable id of files and results.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$name => $id,)* }
            }

            /// Its group.
            pub const fn group(self) -> Group {
                match self { $(Self::$name => Group::$group,)* }
            }

            /// Its name in words.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)* }
            }
        }
    };
}

limit_states! {
    /// Mean bearing of the boss over its part in the wood.
    BossBearing = "boss_bearing", Wood, "bearing of the boss";
    /// Largest mean bearing of the shank over one of its diameters.
    ShankBearing = "shank_bearing", Wood, "bearing of the shank";
    /// Largest bearing pressure anywhere.
    FirstCrushing = "first_crushing", Wood, "first crushing of the wood";
    /// Plastic limit load of bar and wood together.
    LimitLoad = "limit_load", Wood, "yielding of bar and wood together";
    /// Splitting of the stem by a side load.
    Splitting = "splitting", Wood, "splitting of the stem";
    /// Inward push on the ring of wood under the boss.
    Push = "push", Wood, "inward push of the boss";
    /// Bending of the bar at the wood surface.
    SteelBendingBarkLine = "steel_bending_bark_line", Steel, "bending at the wood surface";
    /// Largest bending of the bar anywhere.
    SteelBendingEmbedded = "steel_bending_embedded", Steel, "bending of the bar";
    /// Shear of the bar.
    SteelShear = "steel_shear", Steel, "shear of the bar";
    /// Axial force, bending and shear of the bar together.
    SteelInteraction = "steel_interaction", Steel, "pull, bending and shear of the bar together";
    /// Range of stress at the root of the thread.
    SteelFatigue = "steel_fatigue", Steel, "fatigue of the thread";
    /// Pull along the bar against the thread.
    Withdrawal = "withdrawal", PullOut, "withdrawal of the thread";
    /// Pull and side load together.
    PullAndSide = "pull_and_side", PullOut, "pull and side load together";
    /// Turning of the bar about its axis.
    Torsion = "torsion", PullOut, "turning of the bar";
    /// Sinking of the load point.
    Deflection = "deflection", Fit, "sinking of the seat";
    /// Counterbore against the stem.
    HoleSize = "hole_size", Fit, "size of the hole in the stem";
    /// Depth against the stem.
    Penetration = "penetration", Fit, "depth in the stem";
    /// Clear distance of bars inside the stem.
    TipsClear = "tips_clear", Fit, "distance between bars inside the stem";
    /// Distance along one grain line.
    Spacing = "spacing", Fit, "distance along the grain";
    /// A seat that lifts.
    Uplift = "uplift", Fit, "lifting of the seat";
}

/// What bearing strength rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// Crushing strength of green clear wood.
    #[default]
    GreenClearWood,
    /// Dowel-bearing strength of NDS, never above the green clear-wood value.
    DowelBearing,
}

/// How load duration enters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DurationRule {
    /// The duration factors, but never above 1.
    #[default]
    Capped,
    /// The duration factors as published.
    Nds,
    /// No duration factor.
    Off,
}

/// Keys of the criteria that no check of this version reads: they stand ready for parts that are not assessed yet.
pub const NOT_READ: &[&str] = &[
    "people_side",
    "foundation_creep",
    "seat_level",
    "lose_one_sudden",
    "lose_one_gradual",
    "lose_one_live",
];

/// A combination of load cases.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Combination {
    /// As it is written, such as `D + 0.75L`.
    pub name: String,
    /// Factor for each case (1).
    pub factors: Magnitudes,
    /// The level of snow load its factor expects.
    #[serde(skip)]
    pub snow_level: Option<SnowLevel>,
    /// Where it comes from.
    pub origin: Origin,
}

/// A factor with its source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Criterion {
    /// The value (1, m, or Pa as its key says).
    pub value: f64,
    /// What it is, in words.
    pub title: String,
    /// Where it comes from; of a changed one, the layout.
    pub origin: Origin,
    /// Whether the layout changed the default.
    pub changed: bool,
}

/// The criteria of a check.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Criteria {
    /// Combinations to go through.
    pub combinations: Vec<Combination>,
    /// What bearing strength rests on.
    pub basis: Basis,
    /// How load duration enters.
    pub duration: DurationRule,
    /// Whether a check outside its published range becomes `review`.
    pub extended_is_review: bool,
    /// Safety factors, model constants and limits by their key, in SI.
    pub factors: BTreeMap<String, Criterion>,
    /// Duration factor for each case, before the rule (1).
    pub duration_factors: Magnitudes,
}

impl Criteria {
    /// The defaults, with a set of combinations of the table such as `asce7-22-asd`.
    ///
    /// # Errors
    /// When the set is not in the table.
    pub fn standard(set: &str) -> Result<Self, LookupError> {
        let combinations = tables::combinations(set)?;
        let factors = tables::safety_factors().iter().filter_map(|row| {
            let value = row
                .number()
                .or(row.length().map(|length| length.value))
                .or(row.stress().map(|stress| stress.value))
                .or(row.area_load().map(|load| load.value))?;
            let criterion = Criterion {
                value,
                title: row.title.clone(),
                origin: Origin::from(row.reference()),
                changed: false,
            };
            Some((row.id.clone(), criterion))
        });
        Ok(Self {
            combinations: distinct(combinations.into_iter().map(Combination::from)),
            basis: Basis::default(),
            duration: DurationRule::default(),
            extended_is_review: false,
            factors: factors.collect(),
            duration_factors: duration_factors()?,
        })
    }

    /// A factor by its key (1, m or Pa); not a number where there is no such key, which [`Criteria::faults`] names.
    pub fn factor(&self, key: &str) -> f64 {
        self.factors
            .get(key)
            .map_or(f64::NAN, |criterion| criterion.value)
    }

    /// Keys that a check reads and that are missing, not finite or below zero: with one, nothing can be judged.
    pub fn faults(&self) -> Vec<&'static str> {
        let keys = tables::safety_factors().iter().map(|row| row.id.as_str());
        let fit = |key: &&str| {
            self.factors
                .get(*key)
                .is_some_and(|known| known.value.is_finite() && known.value >= 0.0)
        };
        keys.filter(|key| !NOT_READ.contains(key) && !fit(key))
            .collect()
    }

    /// A limit that is a length.
    pub fn length(&self, key: &str) -> Length {
        si::metres(self.factor(key))
    }

    /// The standing of a factor.
    pub fn standing(&self, key: &str) -> Standing {
        self.factors
            .get(key)
            .map_or(Standing::Practice, |criterion| criterion.origin.standing)
    }

    /// Where a factor comes from.
    pub fn source(&self, key: &str) -> String {
        self.factors
            .get(key)
            .map_or_else(|| key.to_owned(), |factor| factor.origin.source.clone())
    }

    /// Changes a factor of the defaults; false, and no change, when there is no such key.
    pub fn change(&mut self, key: &str, value: f64) -> bool {
        let Some(criterion) = self.factors.get_mut(key) else {
            return false;
        };
        *criterion = Criterion {
            value,
            title: std::mem::take(&mut criterion.title),
            origin: Origin::new("the layout", Standing::Practice),
            changed: true,
        };
        true
    }

    /// The combinations that differ once only some cases carry load; of those that come to the same, the first.
    #[must_use]
    pub fn distinct_for(&self, total: &Magnitudes) -> Vec<usize> {
        let acting = |row: &Combination| {
            let carries = |case: Case| total[case as usize] != 0.0;
            let factor = |case: Case| {
                if carries(case) {
                    row.factors[case as usize]
                } else {
                    0.0
                }
            };
            Case::ALL.map(|case| factor(case).to_bits())
        };
        let mut kept: Vec<usize> = Vec::new();
        for (index, row) in self.combinations.iter().enumerate() {
            if !kept
                .iter()
                .any(|other| acting(&self.combinations[*other]) == acting(row))
            {
                kept.push(index);
            }
        }
        kept
    }

    /// The duration factor on wood strengths under the cases that are present (1).
    pub fn duration(&self, present: impl Iterator<Item = Case>) -> f64 {
        let shortest = present
            .map(|case| self.duration_factors[case as usize])
            .fold(self.duration_factors[0], f64::max);
        match self.duration {
            DurationRule::Off => 1.0,
            DurationRule::Nds => shortest,
            DurationRule::Capped => shortest.min(self.factor("duration_cap")),
        }
    }
}

impl From<&tables::Combination> for Combination {
    fn from(row: &tables::Combination) -> Self {
        Self {
            name: row.label(),
            factors: Case::ALL.map(|case| row.factor(case)),
            snow_level: Some(row.snow_level),
            origin: Origin::from(row.reference()),
        }
    }
}

fn distinct(rows: impl Iterator<Item = Combination>) -> Vec<Combination> {
    let mut kept: Vec<Combination> = Vec::new();
    for row in rows {
        if !kept.iter().any(|other| other.name == row.name) {
            kept.push(row);
        }
    }
    kept
}

fn duration_factors() -> Result<Magnitudes, LookupError> {
    let mut factors = [1.0; Case::ALL.len()];
    for (case, class) in [
        (Case::Dead, "permanent"),
        (Case::Live, "occupancy"),
        (Case::RoofLive, "construction"),
        (Case::Snow, "snow"),
        (Case::Rain, "snow"),
        (Case::Wind, "wind"),
        (Case::Seismic, "wind"),
        (Case::Sway, "wind"),
    ] {
        factors[case as usize] = tables::load_duration("nds", class)?.factor;
    }
    Ok(factors)
}
