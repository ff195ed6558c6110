//! The tables of the layout file, in the order in which a designer meets them.

use super::small::{Amount, Axis, Bearing, Id, Place, Point, Runs};
use super::words::{
    Basis, Carries, CombinationSet, Diaphragm, Distribution, Duration, Exposure, Extended, Seat,
    Set, SnowBasis,
};
use crate::input::reader::{Field, Fields, Found, Key, Read, Reader, Shape};
use crate::input::source::{At, Sources};
use crate::units::{Show, Written, kind};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Free text.
pub type Text = At<String>;
/// `true` or `false`.
pub type Flag = At<bool>;
/// A number without a unit.
pub type Number = At<f64>;
/// A length.
pub type Length = At<Written<kind::Length>>;
/// A force.
pub type Force = At<Written<kind::Force>>;
/// A stress or a strength.
pub type Stress = At<Written<kind::Stress>>;
/// A modulus of elasticity.
pub type Modulus = At<Written<kind::Modulus>>;
/// A load per area.
pub type AreaLoad = At<Written<kind::AreaLoad>>;
/// An angle.
pub type Angle = At<Written<kind::Angle>>;
/// A part of a whole.
pub type Ratio = At<Written<kind::Ratio>>;
/// The two ends of a line in plan.
pub type Line = [At<Point>; 2];

/// One struct for each table: its keys, whether they are required, what they mean.
macro_rules! tables {
    ($(
        $(#[doc = $about:literal])*
        $name:ident $title:literal {
            $($(#[doc = $doc:literal])* $need:ident $key:ident: $type:ty,)*
        }
        $([$(#[$kept_about:meta])* $kept:ident: $kept_type:ty])?
    )*) => {$(
        $(#[doc = $about])*
        #[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
        #[serde(default, deny_unknown_fields)]
        pub struct $name {
            $($(#[doc = $doc])* #[serde(skip_serializing_if = "Field::is_absent")] pub $key: $type,)*
            $($(#[$kept_about])* #[serde(skip)] pub $kept: $kept_type,)?
        }

        impl $name {
            /// The keys of the table.
            pub const KEYS: &'static [Key] = &[$(Key {
                name: stringify!($key),
                about: concat!($($doc),*).trim_ascii(),
                required: tables!(@ $need),
                shape: <$type as Field>::SHAPE,
            }),*];
        }

        impl Read for $name {
            const SHAPE: Shape = Shape::Table($title, Self::KEYS);
            fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
                let fields: Fields<'_> = reader.table(value, $title, Self::KEYS)?;
                Some(Self {
                    $($key: fields.field(stringify!($key), reader),)*
                    $($kept: <$kept_type>::default(),)?
                })
            }
        }
    )*};
    (@ required) => { true };
    (@ optional) => { false };
}

tables! {
    /// A layout: the trees, the anchors, what hangs on them, and by what rules it is checked.
    Layout "the layout" {
        /// The title of every report.
        optional title: Option<Text>,
        /// The units of printed results: "us" or "si"; JSON results are always SI.
        optional show: Option<At<Show>>,
        /// The title block.
        optional project: Option<Project>,
        /// Snow and wind of the site; zero of all levels.
        optional site: Option<Site>,
        /// The rules of the check.
        optional criteria: Option<Criteria>,
        /// The trees.
        optional tree: Vec<Tree>,
        /// The name of a spreadsheet of trees, one row each, units in the column heads.
        optional trees: Option<Text>,
        /// The anchors in the trees.
        optional anchor: Vec<Anchor>,
        /// The name of a spreadsheet of anchors, one row each, units in the column heads.
        optional anchors: Option<Text>,
        /// The beams on the anchors.
        optional beam: Vec<Beam>,
        /// The braces between anchors and beams.
        optional brace: Vec<Brace>,
        /// The posts that stand on the ground.
        optional post: Vec<Post>,
        /// The decks on the beams.
        optional deck: Vec<Deck>,
        /// The guards of the decks, for wind and people's push.
        optional guard: Vec<Guard>,
        /// Further loads.
        optional load: Vec<Load>,
        /// The swings.
        optional swing: Vec<Swing>,
        /// The hammocks.
        optional hammock: Vec<Hammock>,
        /// Woods of one's own.
        optional wood: Vec<Wood>,
        /// Steels of one's own.
        optional steel: Vec<Steel>,
        /// Sizes of anchors of one's own.
        optional anchor_size: Vec<AnchorSize>,
        /// Combinations of loads of one's own.
        optional combination: Vec<Combination>,
        /// What was measured after drilling: tables, or the name of a spreadsheet.
        optional as_built: Option<AsBuiltRows>,
        /// For how long reliability is worked out, and what is aimed at.
        optional reliability: Option<Reliability>,
        /// Distributions of one's own for what is not known exactly.
        optional random_variable: Vec<RandomVariable>,
    }
    [
        /// What it was read from.
        sources: Sources
    ]

    /// The title block: free text.
    Project "[project]" {
        /// Where it is.
        optional site: Option<Text>,
        /// For whom it is.
        optional client: Option<Text>,
        /// Who drew it.
        optional drawn_by: Option<Text>,
        /// Which revision it is.
        optional revision: Option<Text>,
        /// The date of the drawing.
        optional date: Option<Text>,
        /// The number of the permit.
        optional permit: Option<Text>,
    }

    /// The site: zero is the level that everything is measured from.
    Site "[site]" {
        /// The ground snow load.
        optional ground_snow: Option<AreaLoad>,
        /// What the ground snow load is: "asce7-22" (strength level), "asce7-16" (nominal) or "en1991" (characteristic).
        optional snow_basis: Option<At<SnowBasis>>,
        /// The exposure factor C_e of snow.
        optional snow_exposure: Option<Number>,
        /// The thermal factor C_t of snow.
        optional snow_thermal: Option<Number>,
        /// The importance factor I_s of snow, ASCE 7-16 only.
        optional snow_importance: Option<Number>,
        /// The basic wind speed.
        optional wind: Option<At<Written<kind::Speed>>>,
        /// The exposure to wind: "B", "C" or "D".
        optional exposure: Option<At<Exposure>>,
    }

    /// The rules of the check; what is left out has the default that the program names with its source.
    Criteria "[criteria]" {
        /// The combinations of loads, and with them the format of safety: "asce7-22-asd", "asce7-16-asd", "asce7-22-lrfd",
        /// "asce7-16-lrfd", "en1990", or "own" for the `[[combination]]` tables, which are of the allowable format.
        optional combinations: Option<At<CombinationSet>>,
        /// What bearing strength is taken from: "green-clear-wood" or "dowel-bearing".
        optional basis: Option<At<Basis>>,
        /// The lower exclusion limit on tabulated mean strengths.
        optional exclusion: Option<Ratio>,
        /// How the duration of load counts: "capped", "nds" or "off".
        optional duration: Option<At<Duration>>,
        /// The sideways load of people, per area of deck.
        optional people_side: Option<AreaLoad>,
        /// The friction of sliding seats.
        optional seat_friction: Option<Number>,
        /// The largest deflection of an anchor at its load.
        optional deflection: Option<Length>,
        /// What a check outside its published range becomes: "note" or "review".
        optional extended: Option<At<Extended>>,
        /// One factor for each limit state.
        optional safety_factor: Option<SafetyFactors>,
    }

    /// A tree; without anchors it is an obstacle, and gets a hole in the deck and a check of its clearance.
    Tree "[[tree]]" {
        /// Its id.
        required id: At<Id>,
        /// Its species: a common or scientific name, the id of a row of the table, or of a `[[wood]]`.
        optional species: Option<Text>,
        /// The centre of the stem in plan at the level of the anchors: east, north.
        optional at: Option<At<Point>>,
        /// The tree that distance and bearing are measured from, in place of `at`.
        optional from: Option<At<Id>>,
        /// The distance from that tree, centre to centre.
        optional distance: Option<Length>,
        /// The bearing from that tree.
        optional bearing: Option<At<Bearing>>,
        /// The diameter over bark at the anchors.
        optional diameter: Option<Length>,
        /// The girth over bark at the anchors, in place of `diameter`.
        optional girth: Option<Length>,
        /// The thickness of the bark.
        optional bark: Option<Length>,
        /// The height of the tree.
        optional height: Option<Length>,
        /// The ground at this stem, from the site's zero.
        optional ground: Option<Length>,
        /// The diameter at breast height.
        optional diameter_breast: Option<Length>,
        /// The lean of the stem from plumb.
        optional lean: Option<Angle>,
        /// The direction in which it leans.
        optional leans: Option<At<Bearing>>,
        /// The sound wall of a hollow stem.
        optional shell: Option<Length>,
        /// The unsound outer layer of the wood.
        optional soft: Option<Length>,
        /// The crown, for sway.
        optional crown: Option<Crown>,
        /// The measured peak movement at the anchors.
        optional sway: Option<Length>,
        /// The growth of the radius in a year.
        optional radial_growth: Option<Length>,
    }

    /// The crown of a tree.
    Crown "crown" {
        /// The height of its base above the ground.
        required base: Option<Length>,
        /// Its greatest width.
        required spread: Option<Length>,
    }

    /// An anchor in a tree.
    Anchor "[[anchor]]" {
        /// Its id.
        required id: At<Id>,
        /// The tree it stands in.
        required tree: At<Id>,
        /// The direction it faces.
        optional faces: Option<At<Bearing>>,
        /// The tree it aims at, in place of `faces`.
        optional toward: Option<At<Id>>,
        /// The turn from that aim, clockwise seen from above.
        optional turn: Option<Angle>,
        /// Its level from the site's zero.
        optional level: Option<Length>,
        /// Its height above its own ground, in place of `level`.
        optional height: Option<Length>,
        /// A row of the table of sizes, or the id of an `[[anchor_size]]`.
        required size: Text,
        /// The length of boss in sound wood.
        optional embedded: Option<Length>,
        /// From the wood surface, under the bark, to the line of the load, along the bar.
        optional arm: Option<Length>,
        /// From the bark to the near face of the beam, in place of `arm`.
        optional gap: Option<Length>,
        /// The word that the two ends of one through-rod share.
        optional rod: Option<At<Id>>,
        /// The diameter over bark at this anchor, where it differs from the tree's.
        optional diameter: Option<Length>,
        /// The girth over bark at this anchor, in place of `diameter`.
        optional girth: Option<Length>,
        /// The thickness of the bark at this anchor, where it differs from the tree's.
        optional bark: Option<Length>,
        /// The diameter of the hole for the thread.
        optional pilot: Option<Length>,
        /// How the bar is kept from turning, if it is.
        optional locked: Option<Text>,
    }

    /// A beam on anchors, or on other beams.
    Beam "[[beam]]" {
        /// Its id.
        required id: At<Id>,
        /// Its supports in order: anchors, posts, or places on beams.
        required on: Vec<At<Place>>,
        /// How each support holds it: "fixed", "sliding" or "hung".
        optional seats: Vec<At<Seat>>,
        /// The travel of sliding seats, from stop to stop.
        optional travel: Option<Length>,
        /// Whether the seats hold it down.
        optional held_down: Option<Flag>,
        /// Its two ends in plan.
        optional line: Option<Line>,
        /// Its overhangs past the first and last support, in place of `line`.
        optional overhang: Option<[Length; 2]>,
        /// The way it runs from its one support: "out" or a direction.
        optional runs: Option<At<Runs>>,
        /// Its nominal size, such as "2x12".
        optional size: Option<Text>,
        /// Its width, in place of `size`.
        optional width: Option<Length>,
        /// Its depth, in place of `size`.
        optional depth: Option<Length>,
        /// How many pieces it is made of, side by side.
        optional plies: Option<At<u32>>,
        /// Its wood.
        optional wood: Option<Text>,
        /// Its grade.
        optional grade: Option<Text>,
        /// Its allowable stresses, in place of `grade`.
        optional allowable: Option<Allowable>,
        /// Its modulus of elasticity, in place of `grade`.
        optional modulus: Option<Modulus>,
        /// How it meets the beams it stands on: "on top" or "flush".
        optional set: Option<At<Set>>,
        /// From the axis of the bar to the underside of the beam.
        optional seat_rise: Option<Length>,
    }

    /// Allowable stresses of a member.
    Allowable "allowable" {
        /// In bending.
        optional bending: Option<Stress>,
        /// In shear along the grain.
        optional shear: Option<Stress>,
        /// In bearing across the grain.
        optional bearing: Option<Stress>,
        /// In compression along the grain.
        optional compression: Option<Stress>,
        /// In tension along the grain.
        optional tension: Option<Stress>,
    }

    /// A brace from an anchor to a beam.
    Brace "[[brace]]" {
        /// Its id.
        required id: At<Id>,
        /// The anchor it stands on or hangs from.
        required from: At<Id>,
        /// The place on a beam that it goes to.
        required to: Option<At<Place>>,
        /// What it carries: "push", "pull" or "both".
        optional carries: Option<At<Carries>>,
        /// Its nominal size, such as "4x4".
        optional size: Option<Text>,
        /// Its width, in place of `size`.
        optional width: Option<Length>,
        /// Its depth, in place of `size`.
        optional depth: Option<Length>,
        /// How many pieces it is made of, side by side.
        optional plies: Option<At<u32>>,
        /// Its wood.
        optional wood: Option<Text>,
        /// Its grade.
        optional grade: Option<Text>,
        /// Its allowable stresses, in place of `grade`.
        optional allowable: Option<Allowable>,
        /// Its modulus of elasticity, in place of `grade`.
        optional modulus: Option<Modulus>,
    }

    /// A post: a support on the ground.
    Post "[[post]]" {
        /// Its id.
        required id: At<Id>,
        /// Its place in plan.
        required at: Option<At<Point>>,
        /// Its stiffness up and down.
        optional stiffness: Option<At<Written<kind::Stiffness>>>,
    }

    /// A deck on joists.
    Deck "[[deck]]" {
        /// Its id.
        required id: At<Id>,
        /// The beams that carry its joists.
        required on: Vec<At<Id>>,
        /// Its outline in plan.
        required outline: Vec<At<Point>>,
        /// The clearance around every stem inside the outline.
        optional stem_clear: Option<Length>,
        /// Further holes.
        optional holes: Vec<Hole>,
        /// Its joists.
        required joists: Option<Joists>,
        /// The dead load of boards and finishes.
        optional dead: Option<AreaLoad>,
        /// The live load.
        optional live: Option<AreaLoad>,
        /// The snow load on the deck, in place of the site's.
        optional snow: Option<AreaLoad>,
        /// A live load that may stand anywhere on it, in place of the spread one or beside it.
        optional concentrated: Option<Force>,
        /// How it holds its beams together in plan: "rigid" or "flexible".
        optional diaphragm: Option<At<Diaphragm>>,
    }

    /// A guard along a line of a deck: wind blows on it and people lean on it.
    Guard "[[guard]]" {
        /// Its id.
        required id: At<Id>,
        /// The deck it stands on.
        required deck: At<Id>,
        /// Its two ends in plan.
        required along: Option<Line>,
        /// Its height above the boards.
        required height: Option<Length>,
        /// The solid share of its face; 1 for a wall.
        optional solidity: Option<Ratio>,
    }

    /// A hole in a deck: around a tree, or with an outline of its own.
    Hole "hole" {
        /// The tree it is around.
        optional around: Option<At<Id>>,
        /// Its clearance around that tree.
        optional clear: Option<Length>,
        /// Its outline in plan, in place of `around`.
        optional outline: Vec<At<Point>>,
    }

    /// The joists of a deck.
    Joists "joists" {
        /// The line along which they run, such as "E-W".
        optional run: Option<At<Axis>>,
        /// Their spacing, centre to centre.
        required spacing: Option<Length>,
        /// How they meet the beams: "on top" or "flush".
        optional set: Option<At<Set>>,
        /// Their nominal size, such as "2x8".
        optional size: Option<Text>,
        /// Their width, in place of `size`.
        optional width: Option<Length>,
        /// Their depth, in place of `size`.
        optional depth: Option<Length>,
        /// Their wood.
        optional wood: Option<Text>,
        /// Their grade.
        optional grade: Option<Text>,
        /// Their allowable stresses, in place of `grade`.
        optional allowable: Option<Allowable>,
        /// Their modulus of elasticity, in place of `grade`.
        optional modulus: Option<Modulus>,
    }

    /// A load: at a point, along a line, over an area, or at a place on a beam.
    Load "[[load]]" {
        /// Its id.
        required id: At<Id>,
        /// The point it stands on, in plan.
        optional at: Option<At<Point>>,
        /// The line it lies along.
        optional along: Option<Line>,
        /// The outline of the area it lies over.
        optional over: Vec<At<Point>>,
        /// The place on a beam that it stands on.
        optional on: Option<At<Place>>,
        /// What of it is always there.
        optional dead: Option<At<Amount>>,
        /// What of it is people and things.
        optional live: Option<At<Amount>>,
        /// What of it is snow.
        optional snow: Option<At<Amount>>,
        /// What of it is wind, downwards.
        optional wind: Option<At<Amount>>,
        /// What of it is wind, upwards.
        optional uplift: Option<At<Amount>>,
        /// What of it is sideways.
        optional push: Option<At<Amount>>,
        /// The direction of the sideways load.
        optional toward: Option<At<Bearing>>,
    }

    /// A swing.
    Swing "[[swing]]" {
        /// Its id.
        required id: At<Id>,
        /// The place it hangs on.
        required on: Option<At<Place>>,
        /// The weight of the rider.
        required rider: Option<Force>,
        /// How far it swings, from plumb.
        optional to: Option<Angle>,
        /// The line along which it swings, such as "N-S".
        optional swings: Option<At<Axis>>,
    }

    /// A hammock.
    Hammock "[[hammock]]" {
        /// Its id.
        required id: At<Id>,
        /// The two places it hangs on.
        required ends: Option<[At<Place>; 2]>,
        /// The weight in it.
        required weight: Option<Force>,
        /// How far its lowest point hangs below its ends.
        required sag: Option<Length>,
    }

    /// A wood of one's own: means of green wood.
    Wood "[[wood]]" {
        /// Its id, for `species`.
        required id: Text,
        /// Where its values come from; every report repeats it.
        required source: Text,
        /// The crushing strength along the grain.
        required crushing: Option<Stress>,
        /// The compression across the grain at the proportional limit.
        required across: Option<Stress>,
        /// The modulus of elasticity.
        required modulus: Option<Modulus>,
        /// The specific gravity.
        required specific_gravity: Option<Number>,
        /// The coefficient of variation of the crushing strength.
        optional variation: Option<Ratio>,
        /// The line modulus of the wood as a foundation of the bar, along the grain.
        optional foundation_modulus: Option<At<Written<kind::FoundationModulus>>>,
        /// Whether it is a hardwood.
        optional hardwood: Option<Flag>,
    }

    /// A steel of one's own.
    Steel "[[steel]]" {
        /// Its id, for `steel`.
        required id: Text,
        /// Where its values come from; every report repeats it.
        required source: Text,
        /// The yield strength.
        required yield_strength: Option<Stress>,
        /// The tensile strength.
        optional tensile_strength: Option<Stress>,
        /// The modulus of elasticity.
        optional modulus: Option<Modulus>,
    }

    /// A size of anchor of one's own: a boss and a shank, or any number of segments.
    AnchorSize "[[anchor_size]]" {
        /// Its id, for `size`.
        required id: Text,
        /// Where its sizes come from; every report repeats it.
        required source: Text,
        /// The boss.
        optional boss: Option<Boss>,
        /// The shank.
        optional shank: Option<Shank>,
        /// Its steel.
        optional steel: Option<Text>,
        /// Its segments from the outer end inwards, in place of `boss` and `shank`.
        optional segments: Vec<Segment>,
    }

    /// The boss of an anchor.
    Boss "boss" {
        /// Its diameter.
        required diameter: Option<Length>,
        /// Its length.
        required length: Option<Length>,
    }

    /// The threaded shank of an anchor.
    Shank "shank" {
        /// Its outside diameter.
        required diameter: Option<Length>,
        /// Its root diameter.
        required root: Option<Length>,
        /// Its length.
        required length: Option<Length>,
    }

    /// One segment of a bar.
    Segment "segment" {
        /// Its length.
        required length: Option<Length>,
        /// The diameter that bears on the wood.
        required bears: Option<Length>,
        /// The diameter that resists bending.
        required resists: Option<Length>,
        /// Its steel, where it differs from the size's.
        optional steel: Option<Text>,
    }

    /// A combination of loads of one's own.
    Combination "[[combination]]" {
        /// Its id, as results name it.
        required id: Text,
        /// The factor of each load: D dead, L live, S snow, W wind, Z people's side load, T movement of the stems.
        required factors: Option<LoadFactors>,
        /// Where it comes from; every report repeats it.
        required source: Text,
    }

    /// For how long reliability is worked out, and what is aimed at.
    Reliability "[reliability]" {
        /// The years for which probabilities are given.
        optional years: Option<Number>,
        /// The reliability index that is aimed at for these years.
        optional target: Option<Number>,
    }

    /// Another distribution for a random variable; what is left out stays as in the table.
    RandomVariable "[[random_variable]]" {
        /// The id of the variable, such as "foundation" or "live".
        required id: At<Id>,
        /// The shape: "normal", "lognormal", "gumbel", "gamma", "uniform" or "fixed".
        optional distribution: Option<At<Distribution>>,
        /// The mean of a variable that multiplies, over the nominal value.
        optional mean: Option<Number>,
        /// The standard deviation of a variable that multiplies, over its mean.
        optional variation: Option<Ratio>,
        /// How far a length may be off, either way: two standard deviations.
        optional tolerance: Option<Length>,
        /// How far an angle may be off, either way: two standard deviations.
        optional tolerance_angle: Option<Angle>,
        /// The correlation between anchors of one tree.
        optional same_tree: Option<Number>,
        /// The correlation between trees of one species.
        optional same_species: Option<Number>,
        /// The correlation between all anchors of the platform.
        optional same_site: Option<Number>,
        /// Where it comes from; every report repeats it.
        required source: Text,
    }

    /// What was measured on one anchor after drilling.
    AsBuilt "[[as_built]]" {
        /// The anchor.
        required anchor: At<Id>,
        /// The depth of the hole in sound wood.
        optional depth: Option<Length>,
        /// How much deeper the hole was drilled than the bar fills it: empty depth behind the tip.
        optional hole_over: Option<Length>,
        /// The length of boss in sound wood.
        optional boss_in_wood: Option<Length>,
        /// The thickness of the bark.
        optional bark: Option<Length>,
        /// From the wood surface, under the bark, to the line of the load.
        optional arm: Option<Length>,
        /// The tilt of the bar, outer end up.
        optional tilt: Option<Angle>,
        /// The level of the bar.
        optional level: Option<Length>,
        /// Whether the anchor refused: it could not be driven to its depth.
        optional refused: Option<Flag>,
        /// Whatever was seen.
        optional note: Option<Text>,
    }
}

/// The limit states that have a factor of their own.
pub const LIMIT_STATES: &[&str] = &[
    "boss_bearing",
    "shank_bearing",
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
    "steel_fatigue",
    "withdrawal",
    "pull_and_side",
];

/// The loads that combine: dead, live, snow, wind, people's side load, movement of the stems.
pub const LOAD_SYMBOLS: &[&str] = &["D", "L", "S", "W", "Z", "T"];

macro_rules! numbers {
    ($($(#[$about:meta])* $name:ident $title:literal $names:ident;)*) => {$(
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub BTreeMap<String, Number>);

        impl Read for $name {
            const SHAPE: Shape = Shape::Numbers($names);
            fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
                reader.numbers(value, $title, $names).map(|numbers| Self(numbers.into_iter().collect()))
            }
        }
    )*};
}

numbers! {
    /// A factor of safety for each of some of the [`LIMIT_STATES`].
    SafetyFactors "[criteria.safety_factor]" LIMIT_STATES;
    /// A factor for each of some of the [`LOAD_SYMBOLS`].
    LoadFactors "factors" LOAD_SYMBOLS;
}

/// What was measured after drilling: here, or in a spreadsheet.
#[derive(Debug, Clone, PartialEq)]
pub enum AsBuiltRows {
    /// The name of a spreadsheet, one row for each anchor, units in the column heads.
    File(Text),
    /// The rows.
    Rows(Vec<AsBuilt>),
}

impl Read for AsBuiltRows {
    const SHAPE: Shape = Shape::FileOr(&<Vec<AsBuilt> as Field>::SHAPE);
    fn read(value: Found<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        if value.is_text() {
            Read::read(value, reader).map(Self::File)
        } else if value.is_list() {
            Some(Self::Rows(Field::read_field(value, reader)))
        } else {
            reader.wrong_type(value, &Self::SHAPE)
        }
    }
}

impl Serialize for AsBuiltRows {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::File(name) => name.serialize(serializer),
            Self::Rows(rows) => rows.serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for AsBuiltRows {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(FileOrRows)
    }
}

struct FileOrRows;

impl<'de> serde::de::Visitor<'de> for FileOrRows {
    type Value = AsBuiltRows;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("the name of a file, or a list of tables")
    }

    fn visit_str<E: serde::de::Error>(self, name: &str) -> Result<AsBuiltRows, E> {
        Ok(AsBuiltRows::File(name.into()))
    }

    fn visit_seq<A: serde::de::SeqAccess<'de>>(self, rows: A) -> Result<AsBuiltRows, A::Error> {
        Vec::deserialize(serde::de::value::SeqAccessDeserializer::new(rows)).map(AsBuiltRows::Rows)
    }
}
