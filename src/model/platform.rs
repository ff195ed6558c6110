//! The platform: every part of it, checked together.

use super::{
    Anchor, AsBuilt, Beam, Brace, Carrier, Criteria, Deck, Guard, Hammock, Hold, Load, LoadPlace,
    MemberStrength, Point, Post, Stem, Swing, Timber, Uncertainty, Wind, plan,
};
use crate::units::{Angle, Length};

/// The farthest that anything may lie from the origin of the plan.
const FARTHEST: Length = crate::units::si::metres(1000.0);

/// No level lies higher, even where the site's zero is the sea.
const HIGHEST: Length = crate::units::si::metres(10_000.0);

/// The least area of a deck, of an opening in it or of a load (m²): less is a line, or a slip of the pen.
const LEAST_AREA: f64 = 1e-4;
/// The most that a bar is tilted from level: beyond it the hole is another one than was meant (common practice, no source).
pub const MOST_TILT: Angle = crate::units::si::degrees(20.0);

/// Everything that a platform is made of; references are places in these lists.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Parts {
    /// Title of the layout.
    pub title: String,
    /// The stems.
    pub stems: Vec<Stem>,
    /// The anchors.
    pub anchors: Vec<Anchor>,
    /// The beams.
    pub beams: Vec<Beam>,
    /// The braces.
    pub braces: Vec<Brace>,
    /// The posts.
    pub posts: Vec<Post>,
    /// The decks.
    pub decks: Vec<Deck>,
    /// Guards of the decks.
    pub guards: Vec<Guard>,
    /// Loads beside those of decks and members.
    pub loads: Vec<Load>,
    /// Swings.
    pub swings: Vec<Swing>,
    /// Hammocks.
    pub hammocks: Vec<Hammock>,
    /// Wind of the site.
    pub wind: Option<Wind>,
    /// What was measured after drilling.
    pub as_built: Vec<AsBuilt>,
    /// What is not known exactly.
    pub uncertainty: Uncertainty,
}

/// A platform that is sound enough to be analysed: finite, positive where it must be, every reference resolved.
#[derive(Debug, Clone, PartialEq)]
pub struct Platform {
    /// Title of the layout.
    pub title: String,
    parts: Parts,
    criteria: Criteria,
    cautions: Vec<String>,
    unassessed: Vec<String>,
}

/// Why parts do not make a platform.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{part}: {reason}")]
pub struct PlatformError {
    /// The part, by kind and id.
    pub part: String,
    /// What is wrong with it and how to mend it.
    pub reason: String,
}

impl Platform {
    /// Puts a platform together.
    ///
    /// # Errors
    /// Every fault of every part at once.
    pub fn new(mut parts: Parts, criteria: Criteria) -> Result<Self, Vec<PlatformError>> {
        let platform = Self {
            title: std::mem::take(&mut parts.title),
            parts,
            criteria,
            cautions: Vec::new(),
            unassessed: Vec::new(),
        };
        let faults = platform.faults();
        if faults.is_empty() {
            Ok(platform)
        } else {
            Err(faults)
        }
    }

    /// The same platform with its parts changed.
    ///
    /// # Errors
    /// Every fault of every part at once.
    pub fn with_parts(&self, change: impl FnOnce(&mut Parts)) -> Result<Self, Vec<PlatformError>> {
        let mut changed = self.clone();
        change(&mut changed.parts);
        let faults = changed.faults();
        if faults.is_empty() {
            Ok(changed)
        } else {
            Err(faults)
        }
    }

    /// The same platform with another anchor in the place of one; beams stay where they are.
    ///
    /// # Errors
    /// Every fault of every part at once.
    pub fn with_anchor(&self, index: usize, anchor: Anchor) -> Result<Self, Vec<PlatformError>> {
        if index >= self.parts.anchors.len() {
            return Err(vec![PlatformError {
                part: format!("anchor {}", anchor.id),
                reason: "it stands in the place of none".into(),
            }]);
        }
        self.with_parts(|parts| parts.anchors[index] = anchor)
    }

    /// The same platform by other criteria.
    #[must_use]
    pub fn with_criteria(mut self, criteria: Criteria) -> Self {
        self.criteria = criteria;
        self
    }

    /// The same platform with one anchor, by its place, and its stem changed: other anchors keep the stem that they have.
    ///
    /// # Errors
    /// Every fault of the platform so changed.
    pub fn with_anchor_in(
        &self,
        index: usize,
        anchor: Anchor,
        stem: Stem,
    ) -> Result<Self, Vec<PlatformError>> {
        let mut platform = self.clone();
        let parts = &mut platform.parts;
        let place = parts.stems.len();
        if let Some(known) = parts.anchors.get_mut(index) {
            *known = Anchor {
                stem: place,
                ..anchor
            };
            parts.stems.push(stem);
        }
        let faults = platform.faults();
        if faults.is_empty() {
            Ok(platform)
        } else {
            Err(faults)
        }
    }

    /// Adds what the reader of every result must be told about this platform.
    #[must_use]
    pub fn with_cautions(mut self, cautions: Vec<String>) -> Self {
        self.cautions = cautions;
        self
    }

    /// Names parts of the platform that nothing here assesses: with any, no verdict is a pass.
    #[must_use]
    pub fn with_unassessed(mut self, unassessed: Vec<String>) -> Self {
        self.unassessed = unassessed;
        self
    }

    /// Parts of the platform that nothing here assesses.
    pub fn unassessed(&self) -> &[String] {
        &self.unassessed
    }
    /// The stems.
    pub fn stems(&self) -> &[Stem] {
        &self.parts.stems
    }
    /// The anchors.
    pub fn anchors(&self) -> &[Anchor] {
        &self.parts.anchors
    }
    /// The beams.
    pub fn beams(&self) -> &[Beam] {
        &self.parts.beams
    }
    /// The braces.
    pub fn braces(&self) -> &[Brace] {
        &self.parts.braces
    }
    /// The posts.
    pub fn posts(&self) -> &[Post] {
        &self.parts.posts
    }
    /// The decks.
    pub fn decks(&self) -> &[Deck] {
        &self.parts.decks
    }
    /// The guards of the decks.
    pub fn guards(&self) -> &[Guard] {
        &self.parts.guards
    }
    /// The loads beside those of decks and members.
    pub fn loads(&self) -> &[Load] {
        &self.parts.loads
    }
    /// The swings.
    pub fn swings(&self) -> &[Swing] {
        &self.parts.swings
    }
    /// The hammocks.
    pub fn hammocks(&self) -> &[Hammock] {
        &self.parts.hammocks
    }
    /// Wind of the site, where it is given.
    pub fn wind(&self) -> Option<&Wind> {
        self.parts.wind.as_ref()
    }
    /// What was measured after drilling.
    pub fn as_built(&self) -> &[AsBuilt] {
        &self.parts.as_built
    }
    /// What is not known exactly.
    pub fn uncertainty(&self) -> &Uncertainty {
        &self.parts.uncertainty
    }
    /// The criteria of the layout.
    pub fn criteria(&self) -> &Criteria {
        &self.criteria
    }
    /// What the reader of every result must be told about this platform.
    pub fn cautions(&self) -> &[String] {
        &self.cautions
    }
    /// The stem of an anchor.
    pub fn stem_of(&self, anchor: &Anchor) -> &Stem {
        &self.parts.stems[anchor.stem]
    }

    fn faults(&self) -> Vec<PlatformError> {
        let mut faults = Faults::default();
        let parts = &self.parts;
        for stem in &parts.stems {
            faults.stem(stem);
        }
        for anchor in &parts.anchors {
            faults.anchor(anchor, parts);
        }
        for beam in &parts.beams {
            faults.beam(beam, parts);
        }
        for brace in &parts.braces {
            faults.brace(brace, parts);
        }
        for post in &parts.posts {
            faults.post(post);
        }
        for deck in &parts.decks {
            faults.deck(deck, parts.beams.len());
        }
        for guard in &parts.guards {
            faults.guard(guard, parts.decks.len());
        }
        for load in &parts.loads {
            faults.load(load, parts);
        }
        for swing in &parts.swings {
            faults.swing(swing, parts);
        }
        for hammock in &parts.hammocks {
            faults.hammock(hammock, parts);
        }
        for row in &parts.as_built {
            faults.as_built(row, parts.anchors.len());
        }
        if let Some(wind) = &parts.wind {
            faults.not_negative("site", "wind speed", wind.speed.value);
        }
        for (variable, mend) in parts.uncertainty.faults() {
            faults.add(
                variable.map_or_else(
                    || "reliability".to_owned(),
                    |variable| format!("random variable {}", variable.id()),
                ),
                mend,
            );
        }
        if parts.anchors.is_empty() {
            faults.add("platform", "it has no anchor: nothing can be checked");
        }
        if self.criteria.combinations.is_empty() {
            faults.add(
                "criteria",
                "there is no combination of loads: nothing can be checked",
            );
        }
        faults.0
    }
}

#[derive(Default)]
struct Faults(Vec<PlatformError>);

impl Faults {
    fn add(&mut self, part: impl Into<String>, reason: impl Into<String>) {
        self.0.push(PlatformError {
            part: part.into(),
            reason: reason.into(),
        });
    }

    fn positive(&mut self, part: &str, what: &str, value: f64) {
        if !(value.is_finite() && value > 0.0) {
            self.add(
                part,
                format!("its {what} must be more than zero and finite"),
            );
        }
    }

    fn not_negative(&mut self, part: &str, what: &str, value: f64) {
        if !(value.is_finite() && value >= 0.0) {
            self.add(part, format!("its {what} must be zero or more, and finite"));
        }
    }

    /// A platform is nowhere near this wide; beyond it the arithmetic would lose the seats.
    fn near(&mut self, part: &str, point: Point) {
        let far = |length: Length| !(length.is_finite() && length.abs() <= FARTHEST);
        if far(point.east) || far(point.north) {
            self.add(
                part,
                "it lies more than 1 km from the origin of the plan: check its units",
            );
        }
    }

    fn level(&mut self, part: &str, what: &str, level: Option<Length>) {
        // Not a number is no level either.
        if level.is_some_and(|level| !(-HIGHEST..=HIGHEST).contains(&level)) {
            self.add(
                part,
                format!("its {what} is more than 10 km from the site's zero: check its units"),
            );
        }
    }

    fn stem(&mut self, stem: &Stem) {
        let part = format!("tree {}", stem.id);
        self.positive(&part, "diameter", stem.diameter.value);
        self.not_negative(&part, "bark", stem.bark.value);
        self.not_negative(&part, "soft outer layer", stem.soft.value);
        self.positive(
            &part,
            "diameter under bark and soft wood",
            (stem.wood_radius() - stem.soft).value,
        );
        self.near(&part, stem.at);
        if !(0.0..std::f64::consts::FRAC_PI_3).contains(&stem.lean.value) {
            self.add(&part, "its lean must be from 0 to below 60 degrees");
        }
        if let Some(shell) = stem.shell {
            self.positive(&part, "shell", shell.value);
        }
        let whole = stem.whole.as_ref();
        self.level(&part, "ground", whole.map(|whole| whole.ground));
        if let Some(sway) = whole.and_then(|whole| whole.measured_sway) {
            self.not_negative(&part, "sway", sway.value);
        }
        if let Some(growth) = whole.and_then(|whole| whole.growth.as_ref()) {
            self.not_negative(&part, "growth in a year", growth.yearly.value);
        }
    }

    fn anchor(&mut self, anchor: &Anchor, parts: &Parts) {
        let part = format!("anchor {}", anchor.id);
        let Some(stem) = parts.stems.get(anchor.stem) else {
            return self.add(part, "its tree does not exist");
        };
        for (what, segment) in std::iter::once(("boss", &anchor.size.boss))
            .chain(anchor.size.shank.iter().map(|piece| ("shank", piece)))
        {
            self.positive(&part, &format!("{what} length"), segment.length.value);
            self.positive(&part, &format!("{what} diameter"), segment.resists.value);
            self.positive(
                &part,
                &format!("{what} bearing diameter"),
                segment.bears.value,
            );
            self.positive(&part, "yield strength", segment.steel.yield_strength.value);
            self.positive(&part, "steel modulus", segment.steel.modulus.value);
        }
        self.not_negative(&part, "thread length", anchor.size.thread_length.value);
        self.not_negative(&part, "arm", anchor.arm.value);
        self.not_negative(&part, "boss in sound wood", anchor.sound_boss(stem).value);
        self.positive(
            &part,
            "length in sound wood",
            anchor.sound_length(stem).value,
        );
        if anchor.embedded > anchor.size.boss.length {
            self.add(
                &part,
                "more of the boss is in the wood than the boss is long",
            );
        }
        if !anchor.faces.is_finite() {
            self.add(&part, "its direction must be finite");
        }
        // Not a number is no tilt either.
        if !(-MOST_TILT..=MOST_TILT).contains(&anchor.tilt) {
            self.add(&part, "its tilt must be from -20 to 20 degrees");
        }
        self.not_negative(&part, "empty hole behind the tip", anchor.empty.value);
        self.level(&part, "level", anchor.level);
        if anchor.rod.is_some_and(|other| {
            parts
                .anchors
                .get(other)
                .and_then(|other| parts.stems.get(other.stem))
                .is_none_or(|other| other.id != stem.id)
        }) {
            self.add(
                &part,
                "the other end of its rod must be an anchor of the same stem",
            );
        }
    }

    fn as_built(&mut self, row: &AsBuilt, anchors: usize) {
        if row.anchor >= anchors {
            self.add("as built", "one of its anchors does not exist");
        }
    }

    fn strength(&mut self, part: &str, design: &MemberStrength) {
        let stresses = [
            ("allowable bending stress", design.bending),
            ("allowable shear stress", design.shear),
            ("allowable stress across the grain", design.across),
            ("allowable compression stress", design.compression),
            ("allowable tension stress", design.tension),
            ("modulus for stability", Some(design.modulus_min)),
        ];
        for (what, stress) in stresses {
            if let Some(stress) = stress {
                self.positive(part, what, stress.value);
            }
        }
        let size = [
            design.size.bending,
            design.size.tension,
            design.size.compression,
        ];
        let wet = design.wet.iter().flat_map(|wet| {
            [
                wet.bending,
                wet.shear,
                wet.across,
                wet.compression,
                wet.tension,
                wet.modulus,
            ]
        });
        for factor in size.into_iter().chain(wet) {
            self.positive(part, "factor on a stress", factor);
        }
    }

    fn timber(&mut self, part: &str, timber: &Timber) {
        self.positive(part, "width", timber.width.value);
        self.positive(part, "depth", timber.depth.value);
        self.positive(part, "modulus", timber.modulus.value);
        self.not_negative(part, "unit weight", timber.unit_weight.value);
        if timber.plies == 0 {
            self.add(part, "it needs at least one ply");
        }
        if let Some(design) = &timber.design {
            self.strength(part, design);
        }
    }

    fn beam(&mut self, beam: &Beam, parts: &Parts) {
        let part = format!("beam {}", beam.id);
        self.positive(&part, "length", beam.length().value);
        self.near(&part, beam.start);
        self.near(&part, beam.end);
        self.timber(&part, &beam.timber);
        self.not_negative(&part, "rise over the seat", beam.seat_rise.value);
        self.level(&part, "level", beam.level);
        if beam.supports.is_empty() {
            self.add(
                &part,
                "it has no support: name its anchors or beams in `on`",
            );
        }
        let within = |station: Length, length: Length| {
            station.is_finite() && (-1e-6..=length.value + 1e-6).contains(&station.value)
        };
        for support in &beam.supports {
            if let Some(travel) = support.travel {
                self.not_negative(&part, "travel", travel.value);
            }
            if !within(support.station, beam.length()) {
                self.add(&part, "one of its supports lies beyond its ends");
            }
            match support.carrier {
                Carrier::Anchor(index) if index >= parts.anchors.len() => {
                    self.add(&part, "one of its anchors does not exist");
                }
                Carrier::Post(index) if index >= parts.posts.len() => {
                    self.add(&part, "one of its posts does not exist");
                }
                Carrier::Beam {
                    beam: index,
                    station,
                } => match parts.beams.get(index) {
                    None => self.add(&part, "the beam that carries it does not exist"),
                    Some(carrier) if !within(station, carrier.length()) => {
                        self.add(&part, format!("it sits beyond the end of {}", carrier.id));
                    }
                    Some(_) => {}
                },
                Carrier::Anchor(_) | Carrier::Post(_) => {}
            }
        }
    }

    fn deck(&mut self, deck: &Deck, beams: usize) {
        let part = format!("deck {}", deck.id);
        self.timber(&part, &deck.joists.timber);
        self.positive(&part, "joist spacing", deck.joists.spacing.value);
        for (what, load) in [
            ("dead load", deck.dead),
            ("live load", deck.live),
            ("snow load", deck.snow),
        ] {
            self.not_negative(&part, what, load.value);
        }
        if let Some(concentrated) = deck.concentrated {
            self.not_negative(&part, "concentrated load", concentrated.value);
        }
        if deck.outline.len() < 3 {
            self.add(&part, "its outline needs at least three corners");
        }
        if deck
            .outline
            .iter()
            .chain(deck.openings.iter().flatten())
            .any(|p| !(p.east.is_finite() && p.north.is_finite()))
        {
            self.add(&part, "its corners must be finite");
        }
        self.outline(&part, "its outline", &deck.outline);
        for opening in &deck.openings {
            self.outline(&part, "an opening", opening);
        }
        if deck.beams.is_empty() || deck.beams.iter().any(|&index| index >= beams) {
            self.add(&part, "it must name beams that exist in `on`");
        }
    }

    /// An outline goes once round an area.
    fn outline(&mut self, part: &str, what: &str, corners: &[Point]) {
        if plan::crosses_itself(corners) {
            let message = format!("{what} crosses itself: its corners must be in order round it");
            self.add(part, message);
        } else if corners.len() > 2 && plan::area(corners) < LEAST_AREA {
            self.add(part, format!("{what} has no area"));
        }
    }

    fn load(&mut self, load: &Load, parts: &Parts) {
        let part = format!("load {}", load.id);
        let finite = load
            .magnitudes
            .iter()
            .all(|magnitude| magnitude.is_finite());
        let push = load
            .push
            .is_none_or(|(push, toward)| push.is_finite() && toward.is_finite());
        if !(finite && load.uplift.is_finite() && push) {
            self.add(&part, "its magnitudes must be finite");
        }
        match load.place {
            LoadPlace::Anchor(index) => self.hold(&part, Hold::Anchor(index), parts),
            LoadPlace::Beam { beam, station } => {
                self.hold(&part, Hold::Beam { beam, station }, parts)
            }
            LoadPlace::Area(ref corners) => self.outline(&part, "its area", corners),
            LoadPlace::Point(_) | LoadPlace::Line(..) => {}
        }
    }

    /// Something hangs or stands on an anchor or on a place of a beam.
    fn hold(&mut self, part: &str, hold: Hold, parts: &Parts) {
        match hold {
            Hold::Anchor(index) if index >= parts.anchors.len() => {
                self.add(part, "its anchor does not exist");
            }
            Hold::Beam { beam, station } => {
                let within =
                    |beam: &Beam| (0.0..=beam.length().value + 1e-6).contains(&station.value);
                if !parts.beams.get(beam).is_some_and(within) {
                    self.add(part, "it must act on a beam, within its length");
                }
            }
            Hold::Anchor(_) => {}
        }
    }

    fn brace(&mut self, brace: &Brace, parts: &Parts) {
        let part = format!("brace {}", brace.id);
        self.timber(&part, &brace.timber);
        self.hold(&part, Hold::Anchor(brace.anchor), parts);
        let beam = Hold::Beam {
            beam: brace.beam,
            station: brace.station,
        };
        self.hold(&part, beam, parts);
        let levels = (
            parts
                .anchors
                .get(brace.anchor)
                .and_then(|anchor| anchor.level),
            parts.beams.get(brace.beam).and_then(|beam| beam.level),
        );
        match levels {
            (Some(from), Some(to)) if (to - from).abs().value > 1e-3 => {}
            (Some(_), Some(_)) => self.add(&part, "its anchor and its beam are at one level"),
            _ => self.add(
                &part,
                "the levels of its anchor and of its beam must be known: give level to the anchors of both",
            ),
        }
    }

    fn post(&mut self, post: &Post) {
        let part = format!("post {}", post.id);
        self.near(&part, post.at);
        if let Some(stiffness) = post.stiffness {
            self.positive(&part, "stiffness", stiffness.value);
        }
    }

    fn guard(&mut self, guard: &Guard, decks: usize) {
        let part = format!("guard {}", guard.id);
        self.positive(&part, "height", guard.height.value);
        self.positive(
            &part,
            "length",
            guard.along[0].distance(guard.along[1]).value,
        );
        guard.along.iter().for_each(|end| self.near(&part, *end));
        if !(0.0..=1.0).contains(&guard.solidity) {
            self.add(&part, "its solid share must be from 0 to 1");
        }
        if guard.deck >= decks {
            self.add(&part, "its deck does not exist");
        }
    }

    fn swing(&mut self, swing: &Swing, parts: &Parts) {
        let part = format!("swing {}", swing.id);
        let beam = Hold::Beam {
            beam: swing.beam,
            station: swing.station,
        };
        self.hold(&part, beam, parts);
        self.positive(&part, "rider's weight", swing.rider.value);
        if !(0.0..=std::f64::consts::FRAC_PI_2 + 1e-9).contains(&swing.to.value) {
            self.add(&part, "it must swing from 0 to 90 degrees from plumb");
        }
        if !swing.along.is_finite() {
            self.add(&part, "its direction must be finite");
        }
    }

    fn hammock(&mut self, hammock: &Hammock, parts: &Parts) {
        let part = format!("hammock {}", hammock.id);
        for end in hammock.ends {
            self.hold(&part, end, parts);
        }
        if hammock.ends[0] == hammock.ends[1] {
            self.add(&part, "its two ends are one place");
        }
        self.positive(&part, "weight", hammock.weight.value);
        self.positive(&part, "sag", hammock.sag.value);
    }
}
