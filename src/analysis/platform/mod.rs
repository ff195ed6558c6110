//! A platform as a frame in space on anchor springs, and the force on every attachment by load, in every state of the
//! foundation that bounds it.
//!
//! `build` makes the frame, `columns` the loads, `solved` answers for anchors and joints, `lose` takes an attachment
//! away, `moving` names what can move.

mod build;
mod columns;
mod lose;
mod members;
mod moving;
mod solved;

pub use build::{Base, JointKind};
pub use columns::Column;
pub use lose::Loss;
pub use members::{Envelope, Group, MemberActions, MemberPart, Response, SeatOn, Stretch};
pub use solved::{AnchorForces, JointForces, Solved, State, StateForces, Stick, Triple};

use super::deck::{DeckError, take_apart};
use super::frame::FrameError;
use super::line::LineError;
use crate::mechanics::MechanicsError;
use crate::model::{Action, Criteria, Load, LoadPlace, Magnitudes, Platform, Point, plan};

/// A rigid support, over twice the central stiffness: far beyond any bound, near enough for full precision.
const RIGID: f64 = 1e3;
/// Reactions equal loads to this fraction of them, or the run stops.
pub const BALANCE: f64 = 1e-9;

/// Why a platform can not be analysed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AnalysisError {
    /// A part of the platform can move: nothing holds it.
    #[error("the platform can move: {0}")]
    Mechanism(String),
    /// A deck can not be taken apart.
    #[error(transparent)]
    Deck(#[from] DeckError),
    /// A point, line or area load has no deck to act on.
    #[error("load {0} acts on no deck; move it onto one, or onto a beam with `on`")]
    NoDeck(String),
    /// The frame has no answer.
    #[error("the frame can not be solved: {0}")]
    Frame(FrameError),
    /// A joist or a header has no answer.
    #[error("a joist or a header can not be worked out: {0}")]
    Line(LineError),
    /// An anchor's bar has no answer.
    #[error("anchor {anchor}: {error}")]
    Anchor {
        /// The anchor.
        anchor: String,
        /// Why.
        error: MechanicsError,
    },
    /// Reactions and loads differ: a fault of the program.
    #[error("reactions and loads differ by {0:.1e} of the loads; nothing of this run can be used")]
    Unbalanced(f64),
}

/// What a deck comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct DeckTotals {
    /// Its id.
    pub id: String,
    /// Loaded area (m²).
    pub area: f64,
    /// Number of pieces of joist.
    pub joists: usize,
    /// Load by case, joists included, positive down (N).
    pub total: Magnitudes,
}

/// Analyses a platform under its own loads and under actions with a direction.
///
/// # Errors
/// A platform that can move, a deck or load that can not be placed, loads and reactions that differ.
pub fn solve<'a>(
    platform: &'a Platform,
    actions: &[Action],
    criteria: &Criteria,
) -> Result<Solved<'a>, AnalysisError> {
    let loads = share_out(platform)?;
    let decks = platform
        .decks()
        .iter()
        .zip(&loads)
        .map(|(deck, loads)| take_apart(deck, platform.beams(), loads))
        .collect::<Result<Vec<_>, _>>()?;
    let model = build::Model::new(platform, decks, criteria)?;
    Solved::new(model, actions)
}

/// The loads that act on each deck: those on boards go to the first deck whose outline holds them, or the nearest.
fn share_out(platform: &Platform) -> Result<Vec<Vec<&Load>>, AnalysisError> {
    let mut by_deck: Vec<Vec<&Load>> = vec![Vec::new(); platform.decks().len()];
    for load in platform.loads() {
        let place = match &load.place {
            LoadPlace::Point(point) => *point,
            LoadPlace::Line(a, b) => a.between(*b, 0.5),
            LoadPlace::Area(corners) => match corners.first() {
                Some(corner) => centre(corners, *corner),
                None => continue,
            },
            LoadPlace::Anchor(_) | LoadPlace::Beam { .. } => continue,
        };
        let nearest = platform
            .decks()
            .iter()
            .enumerate()
            .map(|(k, deck)| (k, distance(place, &deck.outline)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        match nearest {
            Some((deck, _)) => by_deck[deck].push(load),
            None => return Err(AnalysisError::NoDeck(load.id.clone())),
        }
    }
    Ok(by_deck)
}

fn centre(corners: &[Point], first: Point) -> Point {
    let count = corners.len() as f64;
    let sum = corners.iter().skip(1).fold(first, |sum, c| {
        Point::new(sum.east + c.east, sum.north + c.north)
    });
    Point::new(sum.east / count, sum.north / count)
}

/// Zero inside an outline, otherwise the distance to its nearest edge (m).
fn distance(point: Point, outline: &[Point]) -> f64 {
    if plan::inside(outline, point) {
        return 0.0;
    }
    let [x, y] = point.metres();
    plan::edges(outline)
        .map(|(a, b)| {
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let along = (x - a[0]) * dx + (y - a[1]) * dy;
            let share = (along / (dx * dx + dy * dy)).clamp(0.0, 1.0);
            (x - a[0] - share * dx).hypot(y - a[1] - share * dy)
        })
        .fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_beside_an_outline_is_as_far_as_its_nearest_edge() {
        let at = |[east, north]: [f64; 2]| {
            Point::new(
                crate::units::si::metres(east),
                crate::units::si::metres(north),
            )
        };
        let outline = [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0]].map(at);
        for (place, expected) in [
            ([3.0, 1.0], 0.0),
            ([0.0, 3.0], 2.4),
            ([1.0, 2.0], 1.0),
            ([6.0, 1.0], 2.0),
            ([1.0, -0.5], 0.5),
            ([5.0, -1.0], 2.0_f64.sqrt()),
            ([-3.0, -4.0], 5.0),
        ] {
            let found = distance(at(place), &outline);
            assert!(
                (found - expected).abs() < 1e-12,
                "{place:?}: {found} is not {expected}"
            );
        }
    }
}
