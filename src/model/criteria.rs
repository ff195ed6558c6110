//! By what a platform is judged. Criteria travel as values; nothing reads them from elsewhere.

use super::{Case, Magnitudes, Origin, Standing};
use crate::tables::{self, Format, LookupError, SnowLevel};
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

macro_rules! member_limit_states {
    ($($(#[$doc:meta])* $name:ident = $id:literal, $words:literal;)*) => {
        /// A limit state of a beam, a joist or a brace.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        pub enum MemberLimitState {
            $($(#[$doc])* #[serde(rename = $id)] $name,)*
        }

        impl MemberLimitState {
            /// Every one, in the order of every listing.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The stable id of files and results.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$name => $id,)* }
            }

            /// Its name in words.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)* }
            }
        }
    };
}

member_limit_states! {
    /// Bending stress, with buckling sideways.
    Bending = "member_bending", "bending";
    /// Shear along the grain.
    Shear = "member_shear", "shear";
    /// Bearing across the grain at a seat.
    Bearing = "member_bearing", "bearing at a seat";
    /// Deflection of a span or an overhang.
    Deflection = "member_deflection", "deflection";
    /// Axial force and bending together.
    Combined = "member_combined", "axial force and bending together";
    /// Compression of a brace that may buckle.
    Buckling = "brace_buckling", "buckling";
    /// Tension of a brace.
    Tension = "brace_tension", "tension";
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
pub const NOT_READ: &[&str] = &["lumber_stress", "lumber_across", "lumber_stability"];

/// Keys of the factors that divide a strength.
const STRENGTH_FACTORS: &[&str] = &[
    "boss_bearing",
    "boss_bearing_across",
    "shank_bearing",
    "shank_bearing_across",
    "first_crushing",
    "first_crushing_permanent",
    "limit_load",
    "splitting",
    "splitting_permanent",
    "push",
    "steel_bending_bark_line",
    "steel_bending_embedded",
    "steel_shear",
    "steel_interaction",
];

/// A combination of load cases.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Combination {
    /// As it is written, such as `D + 0.75L`.
    pub name: String,
    /// Factor for each case (1).
    pub factors: Magnitudes,
    /// Factor on the movement of the stems (1); without one, movement goes with people and wind.
    #[serde(skip)]
    pub movement: Option<f64>,
    /// The level of snow load its factor expects.
    #[serde(skip)]
    pub snow_level: Option<SnowLevel>,
    /// Where it comes from.
    pub origin: Origin,
}

/// A factor with its source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Criterion {
    /// The value (1, m, m/s or Pa as its key says).
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
    /// The format of safety, of the combinations and of the factors alike.
    pub format: Format,
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
    /// Duration factor for each case, over that of the live load and before the rule (1).
    pub duration_factors: Magnitudes,
}

impl Criteria {
    /// The defaults, with a set of combinations of the table such as `asce7-22-asd`, and the factors and the load
    /// duration of the format that the set is written in.
    ///
    /// # Errors
    /// When the set is not in the table.
    pub fn standard(set: &str) -> Result<Self, LookupError> {
        let combinations = tables::combinations(set)?;
        let format = combinations.first().map_or(Format::Asd, |row| row.format);
        let mut factors = allowable_factors();
        for row in tables::resistance_factors()
            .iter()
            .filter(|row| row.format == format)
        {
            if let Some(criterion) = factors.get_mut(&row.key) {
                criterion.value = row.value;
                criterion.origin = Origin::from(row.reference());
            }
        }
        Ok(Self {
            format,
            combinations: distinct(combinations.into_iter().map(Combination::from)),
            basis: Basis::default(),
            duration: DurationRule::default(),
            extended_is_review: false,
            factors,
            duration_factors: duration_factors(format)?,
        })
    }

    /// A factor by its key (1, m, m/s or Pa); not a number where there is no such key, which [`Criteria::faults`] names.
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

    /// The same without safety: every factor on strength is one, as when an attachment is lost and the rest must only hold.
    #[must_use]
    pub fn without_safety(&self) -> Self {
        let mut bare = self.clone();
        for key in STRENGTH_FACTORS {
            if let Some(criterion) = bare.factors.get_mut(*key) {
                criterion.value = 1.0;
            }
        }
        bare
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
            movement: None,
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

/// Every default, in the allowable format.
fn allowable_factors() -> BTreeMap<String, Criterion> {
    let criterion = |row: &tables::Factor| {
        let value = row
            .number()
            .or(row.length().map(|length| length.value))
            .or(row.stress().map(|stress| stress.value))
            .or(row.area_load().map(|load| load.value))
            .or(row.speed().map(|speed| speed.value))?;
        let criterion = Criterion {
            value,
            title: row.title.clone(),
            origin: Origin::from(row.reference()),
            changed: false,
        };
        Some((row.id.clone(), criterion))
    };
    tables::safety_factors()
        .iter()
        .filter_map(criterion)
        .collect()
}

/// The system of duration factors of a format, and the class of every case in it, in the order of [`Case::ALL`].
const fn durations(format: Format) -> (&'static str, [&'static str; Case::ALL.len()]) {
    match format {
        Format::Asd => (
            "nds",
            [
                "permanent",
                "occupancy",
                "construction",
                "snow",
                "snow",
                "wind",
                "wind",
                "wind",
            ],
        ),
        // One factor for a case, whether it leads or accompanies: that of accompanying wind, the smaller.
        Format::Lrfd => (
            "nds-lrfd",
            [
                "permanent",
                "occupancy",
                "snow",
                "snow",
                "snow",
                "companion",
                "wind",
                "companion",
            ],
        ),
        Format::Partial => (
            "ec5-wet",
            [
                "permanent",
                "medium",
                "medium",
                "medium",
                "medium",
                "short",
                "instantaneous",
                "short",
            ],
        ),
    }
}

/// Duration factors over that of the live load, which stands in the factors of the format already.
fn duration_factors(format: Format) -> Result<Magnitudes, LookupError> {
    let (system, classes) = durations(format);
    let mut factors = [1.0; Case::ALL.len()];
    for (factor, class) in factors.iter_mut().zip(classes) {
        *factor = tables::load_duration(system, class)?.factor;
    }
    let live = factors[Case::Live as usize];
    Ok(factors.map(|factor| factor / live))
}
