//! How far each tree moves where the platform hangs on it, how stiff it is, what the platform adds at its roots.

use super::section::{SectionResult, sections};
use super::{AnchorLoad, Question, by_tree};
use crate::mechanics::MechanicsError;
use crate::model::{Anchor, Case, Criteria, Platform, Stem, Sway, TreeWind, plan};
use crate::units::{Force, Length, Moment, Speed, Stiffness, si};

/// The winds in which movement is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Winds {
    /// A wind in which people are still on the platform.
    pub service: TreeWind,
    /// The wind of the site, with nobody on the platform.
    pub storm: Option<TreeWind>,
}

impl Winds {
    /// The service wind of the criteria; the storm from the basic wind speed of the site, a 3 s gust in open country.
    ///
    /// The load factor of wind in the combinations brings a basic speed of strength level down to the level of the allowable stresses;
    /// a force goes with the square of the speed.
    pub fn new(criteria: &Criteria, basic: Option<Speed>) -> Self {
        let ratio = criteria.factor("sway_gust");
        let mean = si::metres_per_second(criteria.factor("sway_wind"));
        let factors = criteria.combinations.iter();
        let largest = factors
            .map(|row| row.factors[Case::Wind as usize])
            .fold(0.0, f64::max);
        let level = if largest > 0.0 { largest.sqrt() } else { 1.0 };
        Self {
            service: TreeWind {
                mean,
                gust: mean * ratio,
            },
            storm: basic.map(|basic| TreeWind {
                mean: basic * level / ratio,
                gust: basic * level,
            }),
        }
    }
}

/// How a tree moves at one anchor.
#[derive(Debug, Clone, PartialEq)]
pub struct AnchorMovement {
    /// The anchor.
    pub anchor: String,
    /// Its level above the site's zero.
    pub level: Option<Length>,
    /// In the service wind; nothing where it is neither measured nor can be estimated.
    pub service: Option<Sway>,
    /// In the storm.
    pub storm: Option<Sway>,
    /// Force per movement of the tree there.
    pub side_stiffness: Option<Stiffness>,
}

/// What is known of a tree under the platform.
#[derive(Debug, Clone, PartialEq)]
pub struct TreeResult {
    /// The tree.
    pub tree: String,
    /// Its movement at each of its anchors.
    pub movement: Vec<AnchorMovement>,
    /// The stem at each of its anchors.
    pub sections: Vec<SectionResult>,
    /// Moment that the loads of the platform bring to the roots, all on the worst side; reported, not judged. Sideways loads are in it
    /// only where every anchor has a level.
    pub root_moment: Moment,
    /// Whether the sideways loads are in it.
    pub root_moment_is_whole: bool,
    /// Moment at which the mean tree overturns, by its estimate.
    pub overturning: Option<Moment>,
    /// Moment at which the mean sound stem breaks, by its estimate.
    pub breaking: Option<Moment>,
    /// Bark that the species has on average at this size.
    pub usual_bark: Option<Length>,
    /// Why there is no estimate of its movement.
    pub unknown: Option<String>,
    /// What was assumed.
    pub notes: Vec<String>,
}

pub(super) fn trees(
    platform: &Platform,
    criteria: &Criteria,
    question: &Question<'_>,
) -> Result<Vec<TreeResult>, MechanicsError> {
    by_tree(platform)
        .into_iter()
        .map(|(stem, anchors)| tree(platform, criteria, question, stem, &anchors))
        .collect()
}

fn tree(
    platform: &Platform,
    criteria: &Criteria,
    question: &Question<'_>,
    stem: &Stem,
    anchors: &[(usize, &Anchor)],
) -> Result<TreeResult, MechanicsError> {
    let whole = stem.whole.as_ref();
    let mechanics = whole.and_then(|whole| whole.mechanics.as_ref());
    let movement = anchors
        .iter()
        .map(|(_, anchor)| AnchorMovement {
            anchor: anchor.id.clone(),
            level: anchor.level,
            service: stem.sway(anchor.level, &question.winds.service),
            storm: question
                .winds
                .storm
                .and_then(|storm| storm_sway(stem, anchor.level, &storm)),
            side_stiffness: anchor.level.and_then(|level| stem.side_stiffness(level)),
        })
        .collect();
    let (root_moment, root_moment_is_whole) = root_moment(platform, question.loads, anchors);
    Ok(TreeResult {
        tree: stem.id.clone(),
        movement,
        sections: sections(platform, criteria, question, anchors)?,
        root_moment,
        root_moment_is_whole,
        overturning: mechanics.map(crate::model::StemMechanics::overturning),
        breaking: mechanics.and_then(crate::model::StemMechanics::breaking),
        usual_bark: whole.and_then(|whole| whole.usual_bark),
        unknown: unknown(stem, &question.winds, anchors),
        notes: whole.map_or_else(Vec::new, |whole| whole.notes.clone()),
    })
}

/// Why a movement is not known: of the tree, or of one of its anchors.
fn unknown(stem: &Stem, winds: &Winds, anchors: &[(usize, &Anchor)]) -> Option<String> {
    let Some(whole) = &stem.whole else {
        return Some("nothing is known of the tree as a whole".into());
    };
    if whole.mechanics.is_none() {
        return whole.unknown.clone();
    }
    anchors.iter().find_map(|(_, anchor)| {
        let Some(level) = anchor.level else {
            return Some(format!("anchor {} has no level", anchor.id));
        };
        if stem.height_of(level).is_none() {
            return Some(format!("anchor {} lies below the ground", anchor.id));
        }
        let found = stem.estimated_sway(level, &winds.service);
        found
            .err()
            .map(|error| format!("anchor {}: {error}", anchor.id))
    })
}

/// In a storm a tree moves as far as it is estimated to, and no less than was measured on an ordinary day.
pub(super) fn storm_sway(stem: &Stem, level: Option<Length>, storm: &TreeWind) -> Option<Sway> {
    let found = stem.sway(level, storm)?;
    let estimate = found.estimate.map(|estimate| estimate.movement)?;
    Some(Sway {
        movement: found.movement.max(estimate),
        measured: found.measured && found.movement >= estimate,
        ..found
    })
}

/// The moment of the loads of these anchors about the roots, those of one side together; whether sideways loads are in it.
fn root_moment(
    platform: &Platform,
    loads: &[AnchorLoad],
    anchors: &[(usize, &Anchor)],
) -> (Moment, bool) {
    let eccentric = worst_side(platform, loads, anchors);
    let sideways = anchors
        .iter()
        .map(|(place, anchor)| {
            let load = loads.get(*place).copied().unwrap_or_default();
            let height = platform.stem_of(anchor).height_of(anchor.level?)?;
            Some(load.side.hypot(load.out) * height)
        })
        .try_fold(Moment::default(), |sum, moment| Some(sum + moment?));
    (eccentric + sideways.unwrap_or_default(), sideways.is_some())
}

/// Compass degrees that are tried for the side on which the loads bend a stem most; between two of them nothing changes by more than
/// four parts in a hundred thousand.
const SIDES: u16 = 360;

/// The bending moment of loads that hang beside a stem when those of one side act and the others do not.
pub(super) fn worst_side(
    platform: &Platform,
    loads: &[AnchorLoad],
    anchors: &[(usize, &Anchor)],
) -> Moment {
    let arms: Vec<_> = anchors
        .iter()
        .map(|(place, anchor)| {
            let stem = platform.stem_of(anchor);
            let down = loads.get(*place).map_or(Force::default(), |load| load.down);
            (
                plan::unit(anchor.faces),
                down * (stem.wood_radius() + anchor.arm),
            )
        })
        .collect();
    let toward = |side: u16| {
        let [east, north] = plan::unit(si::degrees(f64::from(side)));
        let part = |([e, n], moment): &([f64; 2], Moment)| {
            (*moment * (e * east + n * north)).max(Moment::default())
        };
        arms.iter()
            .fold(Moment::default(), |sum, arm| sum + part(arm))
    };
    (0..SIDES).map(toward).fold(Moment::default(), Moment::max)
}
