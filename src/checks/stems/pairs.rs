//! Two trees and what joins them: how far they part, whether the sliding seats let them, and the force where nothing slides.

use super::movement::storm_sway;
use super::{Question, by_tree};
use crate::checks::Verdict;
use crate::mechanics::MechanicsError;
use crate::mechanics::sway::pair::{RelativeMovement, locked_in_force, relative_movement};
use crate::model::{Anchor, Beam, BeamSupport, Bound, Carrier, Criteria, Platform, Seat, Stem};
use crate::units::{Force, Length, Stiffness, si};
use std::collections::{BTreeSet, HashMap};

/// Two trees that the platform joins.
#[derive(Debug, Clone, PartialEq)]
pub struct PairResult {
    /// One tree.
    pub first: String,
    /// The other.
    pub second: String,
    /// The beam that lies on anchors of both; none where other beams or a deck join them.
    pub beam: Option<String>,
    /// How far they move against each other in the service wind.
    pub service: Option<RelativeMovement>,
    /// In the storm.
    pub storm: Option<RelativeMovement>,
    /// Growth of both toward each other over the years asked for.
    pub growth: Length,
    /// Travel that the beam needs, from stop to stop.
    pub travel_needed: Option<Length>,
    /// Travel that its seats have, from stop to stop.
    pub travel_given: Option<Length>,
    /// What happens where both ends are fixed.
    pub locked_in: Option<LockedIn>,
    /// Whether the travel is enough.
    pub verdict: Verdict,
    /// Why.
    pub note: String,
}

/// The force in a beam that ties two trees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LockedIn {
    /// In the service wind, the stems opposed.
    pub service: Option<Force>,
    /// In the storm.
    pub storm: Option<Force>,
}

pub(super) fn pairs(
    platform: &Platform,
    criteria: &Criteria,
    question: &Question<'_>,
) -> Result<Vec<PairResult>, MechanicsError> {
    let trees = by_tree(platform);
    let groups = joined(platform);
    let beams = beams_between(platform);
    let mut found = Vec::new();
    for (at, (first, ours)) in trees.iter().enumerate() {
        for (after, (second, theirs)) in trees[at + 1..].iter().enumerate() {
            if group_of(&groups, ours) != group_of(&groups, theirs) {
                continue;
            }
            let beams = beams.get(&[at, at + 1 + after]);
            let beams = beams.map_or(&[][..], Vec::as_slice);
            let pair = Pair {
                platform,
                criteria,
                question,
                stems: [first, second],
                anchors: [ours, theirs],
            };
            for beam in beams {
                found.push(pair.on(beam)?);
            }
            if beams.is_empty() {
                found.push(pair.loose()?);
            }
        }
    }
    Ok(found)
}

/// The place of each anchor's tree among the trees that carry anchors.
fn tree_of_each(platform: &Platform) -> Vec<usize> {
    let mut places = vec![0; platform.anchors().len()];
    for (tree, (_, anchors)) in by_tree(platform).iter().enumerate() {
        for (anchor, _) in anchors {
            places[*anchor] = tree;
        }
    }
    places
}

/// By two trees, the earlier first: the beams that lie on anchors of both, in the order of the layout.
fn beams_between(platform: &Platform) -> HashMap<[usize; 2], Vec<&Beam>> {
    let tree_of = tree_of_each(platform);
    let mut between: HashMap<[usize; 2], Vec<&Beam>> = HashMap::new();
    for beam in platform.beams() {
        let carried = beam
            .supports
            .iter()
            .filter_map(|support| match support.carrier {
                Carrier::Anchor(anchor) => Some(tree_of[anchor]),
                Carrier::Beam { .. } | Carrier::Post(_) => None,
            });
        let trees: BTreeSet<usize> = carried.collect();
        for one in &trees {
            for other in trees.iter().filter(|other| *other > one) {
                between.entry([*one, *other]).or_default().push(beam);
            }
        }
    }
    between
}

fn is_on(support: &BeamSupport, anchors: &[(usize, &Anchor)]) -> bool {
    matches!(support.carrier, Carrier::Anchor(place) if anchors.iter().any(|(own, _)| *own == place))
}

/// For every anchor, the part of the platform that it belongs to: parts share beams, trees or decks, however far round.
fn joined(platform: &Platform) -> Vec<usize> {
    let trees = tree_of_each(platform);
    let beams = platform.beams();
    // Nodes: beams first, then trees.
    let tree_of = |anchor: usize| beams.len() + trees[anchor];
    let count = trees.iter().max().map_or(0, |last| last + 1);
    let mut part: Vec<usize> = (0..beams.len() + count).collect();
    let mut join = |a: usize, b: usize| {
        if let (Some(&from), Some(&to)) = (part.get(a), part.get(b)) {
            part.iter_mut()
                .filter(|own| **own == from)
                .for_each(|own| *own = to);
        }
    };
    for (place, beam) in beams.iter().enumerate() {
        for support in &beam.supports {
            match support.carrier {
                Carrier::Anchor(anchor) => join(place, tree_of(anchor)),
                Carrier::Beam { beam, .. } => join(place, beam),
                Carrier::Post(_) => {}
            }
        }
    }
    for deck in platform.decks() {
        for pair in deck.beams.windows(2) {
            if let [a, b] = pair {
                join(*a, *b);
            }
        }
    }
    (0..platform.anchors().len())
        .map(|anchor| part.get(tree_of(anchor)).copied().unwrap_or(usize::MAX))
        .collect()
}

fn group_of(groups: &[usize], anchors: &[(usize, &Anchor)]) -> Option<usize> {
    let (place, _) = anchors.first()?;
    groups.get(*place).copied()
}

/// Two trees that are joined.
struct Pair<'a> {
    platform: &'a Platform,
    criteria: &'a Criteria,
    question: &'a Question<'a>,
    stems: [&'a Stem; 2],
    anchors: [&'a [(usize, &'a Anchor)]; 2],
}

impl Pair<'_> {
    /// The movement of both at these levels, in the service wind and in the storm.
    fn movement(
        &self,
        levels: [Option<Length>; 2],
    ) -> Result<[Option<RelativeMovement>; 2], MechanicsError> {
        let winds = &self.question.winds;
        let [a, b] = self.stems;
        let both = |one: Option<Length>, other: Option<Length>| {
            one.zip(other)
                .map(|(one, other)| relative_movement(one, other))
                .transpose()
        };
        let service = |stem: &Stem, level| stem.sway(level, &winds.service).map(|s| s.movement);
        let storm = |stem: &Stem, level| {
            let wind = winds.storm?;
            storm_sway(stem, level, &wind).map(|sway| sway.movement)
        };
        Ok([
            both(service(a, levels[0]), service(b, levels[1]))?,
            both(storm(a, levels[0]), storm(b, levels[1]))?,
        ])
    }

    /// Growth of both over the years, at their surface.
    fn growth(&self) -> Length {
        let years = f64::from(self.question.years);
        let of = |stem: &Stem| super::growth::surface_growth(stem).unwrap_or_default() * years;
        of(self.stems[0]) + of(self.stems[1])
    }

    /// Travel from stop to stop: the opposed movement with its reserve either way, or that of the storm as it is, and growth.
    fn needed(&self, [service, storm]: [Option<RelativeMovement>; 2]) -> Option<Length> {
        let reserve = self.criteria.factor("slider_reserve");
        let each_way = service?.opposed * reserve;
        let each_way = storm.map_or(each_way, |storm| each_way.max(storm.opposed));
        Some(each_way * 2.0 + self.growth())
    }

    /// The level of the highest anchor of each, where all are known.
    fn highest(&self) -> [Option<Length>; 2] {
        self.anchors.map(|anchors| {
            let levels = anchors.iter().map(|(_, anchor)| anchor.level);
            levels.reduce(|a, b| Some(a?.max(b?))).flatten()
        })
    }

    /// Trees that no one beam joins.
    fn loose(&self) -> Result<PairResult, MechanicsError> {
        let movement = self.movement(self.highest())?;
        let (verdict, note) = tied(movement[0], "other beams or a deck join them");
        Ok(self.result(None, movement, None, None, verdict, note))
    }

    /// Trees that one beam joins.
    fn on(&self, beam: &Beam) -> Result<PairResult, MechanicsError> {
        let supports = self.anchors.map(|anchors| {
            let own = beam
                .supports
                .iter()
                .filter(|support| is_on(support, anchors));
            own.collect::<Vec<_>>()
        });
        let levels = [0, 1].map(|side| self.level(&supports[side]));
        let movement = self.movement(levels)?;
        let fixed = supports
            .each_ref()
            .map(|own| own.iter().any(|support| support.seat == Seat::Fixed));
        if fixed == [true, true] {
            let locked = self.locked(beam, &supports, levels, movement)?;
            let (verdict, note) = tied(movement[0], "both ends are fixed");
            return Ok(self.result(Some(beam), movement, None, Some(locked), verdict, note));
        }
        let given = self.given(&supports);
        let (verdict, note) = judge(movement[0], self.needed(movement), given);
        Ok(self.result(Some(beam), movement, given, None, verdict, note))
    }

    fn result(
        &self,
        beam: Option<&Beam>,
        [service, storm]: [Option<RelativeMovement>; 2],
        travel_given: Option<Length>,
        locked_in: Option<LockedIn>,
        verdict: Verdict,
        note: String,
    ) -> PairResult {
        PairResult {
            first: self.stems[0].id.clone(),
            second: self.stems[1].id.clone(),
            beam: beam.map(|beam| beam.id.clone()),
            service,
            storm,
            growth: self.growth(),
            travel_needed: self.needed([service, storm]),
            travel_given,
            locked_in,
            verdict,
            note,
        }
    }

    /// The highest level of the anchors under these supports; nothing where one is not known.
    fn level(&self, supports: &[&BeamSupport]) -> Option<Length> {
        let levels = supports.iter().map(|support| self.anchor(support)?.level);
        levels.reduce(|a, b| Some(a?.max(b?))).flatten()
    }

    fn anchor(&self, support: &BeamSupport) -> Option<&Anchor> {
        match support.carrier {
            Carrier::Anchor(place) => self.platform.anchors().get(place),
            Carrier::Beam { .. } | Carrier::Post(_) => None,
        }
    }

    /// Travel of both ends together: none at an end that is fixed, the least of its seats at one that slides; nothing where it is not said.
    fn given(&self, supports: &[Vec<&BeamSupport>; 2]) -> Option<Length> {
        let end = |own: &Vec<&BeamSupport>| {
            if own.iter().any(|support| support.seat == Seat::Fixed) {
                return Some(Length::default());
            }
            let travels = own.iter().map(|support| match support.seat {
                Seat::Sliding => (self.question.travel)(support),
                // How far a hanger swings is not said.
                Seat::Hung | Seat::Fixed => None,
            });
            travels.reduce(|a, b| Some(a?.min(b?))).flatten()
        };
        Some(end(&supports[0])? + end(&supports[1])?)
    }

    /// The force in a beam that is fixed to both.
    fn locked(
        &self,
        beam: &Beam,
        supports: &[Vec<&BeamSupport>; 2],
        levels: [Option<Length>; 2],
        movement: [Option<RelativeMovement>; 2],
    ) -> Result<LockedIn, MechanicsError> {
        let mut chain: Vec<Stiffness> = Vec::new();
        let mut whole = true;
        for side in [0, 1] {
            match levels[side].and_then(|level| self.stems[side].side_stiffness(level)) {
                Some(stem) => chain.push(stem),
                None => whole = false,
            }
            let fixed = supports[side]
                .iter()
                .find(|support| support.seat == Seat::Fixed);
            if let Some(anchor) = fixed.and_then(|support| self.anchor(support)) {
                chain.extend(self.along(beam, anchor)?);
            }
        }
        let force = |movement: Option<RelativeMovement>| {
            movement
                .filter(|_| whole)
                .map(|movement| locked_in_force(movement.opposed, &chain))
                .transpose()
        };
        Ok(LockedIn {
            service: force(movement[0])?,
            storm: force(movement[1])?,
        })
    }

    /// The stiffness of an anchor along a beam: that across the bar where the beam runs across it; along itself the bar does not give.
    fn along(&self, beam: &Beam, anchor: &Anchor) -> Result<Option<Stiffness>, MechanicsError> {
        let turn = beam.start.bearing(beam.end) - anchor.faces;
        let across = turn.value.sin().powi(2);
        let [_, side] = anchor.stiffness(self.platform.stem_of(anchor), Bound::Stiff)?;
        Ok((across > ALONG_THE_BAR).then(|| side / across))
    }
}

/// Below this square of the sine (half a degree) a beam runs along the bar (1).
const ALONG_THE_BAR: f64 = 1e-4;

/// Trees that are tied: what their movement locks in is a load of every anchor, as far as the movement is known.
fn tied(service: Option<RelativeMovement>, how: &str) -> (Verdict, String) {
    match service {
        Some(_) => {
            let note =
                format!("{how}: the force that their movement locks in is a load of the anchors");
            (Verdict::Pass, note)
        }
        None => {
            let note = format!(
                "{how}, and how far the trees move is not known: measure it, or give height, crown and the levels of the anchors"
            );
            (Verdict::Review, note)
        }
    }
}

/// Travel against travel: enough, too little for the movement itself, or in between, where only the reserve is short.
fn judge(
    service: Option<RelativeMovement>,
    needed: Option<Length>,
    given: Option<Length>,
) -> (Verdict, String) {
    let (Some(service), Some(needed)) = (service, needed) else {
        let note = "how far the trees move is not known: measure it, or give height, crown and the levels of the anchors";
        return (Verdict::Review, note.into());
    };
    let millimetres = |length: Length| (length / si::millimetres(1.0)).value;
    let Some(given) = given else {
        let note = format!(
            "give the travel of the seats: {:.0} mm are needed from stop to stop",
            millimetres(needed)
        );
        return (Verdict::Review, note);
    };
    let asked = format!(
        "{:.0} mm of travel are needed from stop to stop, {:.0} mm are there",
        millimetres(needed),
        millimetres(given)
    );
    if given >= needed {
        (Verdict::Pass, asked)
    } else if given >= service.opposed * 2.0 {
        (Verdict::Review, format!("{asked}: the reserve is short"))
    } else {
        (
            Verdict::Fail,
            format!("{asked}: less than the trees move against each other"),
        )
    }
}
