//! The changes that a builder can make, and how much each asks for.

use crate::units::{Angle, AreaLoad, Length, Stress};

/// A kind of change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ChangeKind {
    /// More of the boss in the wood.
    BossInWood,
    /// A shorter arm.
    ShorterArm,
    /// A longer shank.
    LongerShank,
    /// A stronger steel.
    StrongerSteel,
    /// A larger size of the table.
    LargerSize,
    /// The anchor at another place of its beam.
    MoveAnchor,
    /// Less live load.
    LessLive,
    /// One more anchor under the same beam.
    AddAnchor,
}

impl ChangeKind {
    /// Every kind.
    pub const ALL: &'static [Self] = &[
        Self::BossInWood,
        Self::ShorterArm,
        Self::LongerShank,
        Self::StrongerSteel,
        Self::LargerSize,
        Self::MoveAnchor,
        Self::LessLive,
        Self::AddAnchor,
    ];

    /// The stable word of files.
    pub const fn id(self) -> &'static str {
        match self {
            Self::BossInWood => "boss_in_wood",
            Self::ShorterArm => "shorter_arm",
            Self::LongerShank => "longer_shank",
            Self::StrongerSteel => "stronger_steel",
            Self::LargerSize => "larger_size",
            Self::MoveAnchor => "move_anchor",
            Self::LessLive => "less_live",
            Self::AddAnchor => "add_anchor",
        }
    }

    /// Its name in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::BossInWood => "more of the boss in the wood",
            Self::ShorterArm => "a shorter arm",
            Self::LongerShank => "a longer shank",
            Self::StrongerSteel => "a stronger steel",
            Self::LargerSize => "a larger size of the table",
            Self::MoveAnchor => "the anchor moved along its beam",
            Self::LessLive => "less live load",
            Self::AddAnchor => "one more anchor",
        }
    }
}

/// A change, from what it is to what it would be.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Boss in the wood, from the wood surface under the bark.
    BossInWood {
        /// As it is.
        from: Length,
        /// As it would be.
        to: Length,
        /// Length of the boss.
        boss: Length,
    },
    /// Arm, from the wood surface to the line of the load.
    ShorterArm {
        /// As it is.
        from: Length,
        /// As it would be.
        to: Length,
    },
    /// Shank in the wood, thread with it.
    LongerShank {
        /// As it is.
        from: Length,
        /// As it would be.
        to: Length,
    },
    /// Steel of the whole bar.
    StrongerSteel {
        /// As it is.
        from: String,
        /// As it would be.
        to: String,
        /// The lowest yield strength of a piece, as it is.
        yield_from: Stress,
        /// The same, as it would be.
        yield_to: Stress,
    },
    /// Size of the anchor.
    LargerSize {
        /// As it is.
        from: String,
        /// As it would be.
        to: String,
        /// Its boss in the wood.
        embedded: Length,
        /// Section of the new boss over that of the old (1).
        section: f64,
    },
    /// Place of the anchor: its load point goes along the beam, the bar turns with it.
    MoveAnchor {
        /// The beam.
        beam: String,
        /// From the beam's first end, as it is.
        from: Length,
        /// As it would be.
        to: Length,
        /// Bearing of the bar, as it would be.
        faces: Angle,
        /// Its arm, as it would be.
        arm: Length,
        /// How far the bar turns.
        turn: Angle,
    },
    /// All live load, in proportion.
    LessLive {
        /// What of it stays (1).
        share: f64,
        /// By deck: its id, its live load as it is and as it would be.
        decks: Vec<(String, AreaLoad, AreaLoad)>,
    },
    /// One more anchor of the same size.
    AddAnchor {
        /// The beam that gets one more seat.
        beam: String,
        /// From its first end.
        station: Length,
        /// The stem.
        tree: String,
        /// Bearing of the bar.
        faces: Angle,
        /// Its arm.
        arm: Length,
        /// Its size.
        size: String,
    },
}

/// A turn of the bar that asks as much as a new bar does (rad): 30 degrees.
const FULL_TURN: f64 = std::f64::consts::PI / 6.0;

impl Change {
    /// Its kind.
    pub const fn kind(&self) -> ChangeKind {
        match self {
            Self::BossInWood { .. } => ChangeKind::BossInWood,
            Self::ShorterArm { .. } => ChangeKind::ShorterArm,
            Self::LongerShank { .. } => ChangeKind::LongerShank,
            Self::StrongerSteel { .. } => ChangeKind::StrongerSteel,
            Self::LargerSize { .. } => ChangeKind::LargerSize,
            Self::MoveAnchor { .. } => ChangeKind::MoveAnchor,
            Self::LessLive { .. } => ChangeKind::LessLive,
            Self::AddAnchor { .. } => ChangeKind::AddAnchor,
        }
    }

    /// How much it asks for (1): the scale of docs/sizing.md, common practice, no source. Setting the same bar otherwise
    /// asks least, then another bar in the same place, another place, less use, one more hole in a stem.
    pub fn ask(&self) -> f64 {
        match self {
            Self::BossInWood { from, to, boss } => ((*to - *from) / *boss).value,
            Self::ShorterArm { from, to } => 1.5 * ((*from - *to) / *from).value,
            Self::LongerShank { from, to } => (*to / *from).value,
            Self::StrongerSteel {
                yield_from,
                yield_to,
                ..
            } => 1.0 + 0.5 * ((*yield_to / *yield_from).value - 1.0),
            Self::LargerSize { section, .. } => 0.5 + section,
            Self::MoveAnchor { turn, .. } => 1.0 + turn.value.abs() / FULL_TURN,
            Self::LessLive { share, .. } => 2.0 + 3.0 * (1.0 - share),
            Self::AddAnchor { .. } => 4.0,
        }
    }
}
