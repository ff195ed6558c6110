//! The platform: every part of it, checked together.

use super::{
    Anchor, Beam, Carrier, Criteria, Deck, Load, LoadPlace, MemberStrength, Point, Stem, Timber,
};
use crate::units::Length;

/// The farthest that anything may lie from the origin of the plan.
const FARTHEST: Length = crate::units::si::metres(1000.0);

/// A platform that is sound enough to be analysed: finite, positive where it must be, every reference resolved.
#[derive(Debug, Clone, PartialEq)]
pub struct Platform {
    /// Title of the layout.
    pub title: String,
    stems: Vec<Stem>,
    anchors: Vec<Anchor>,
    beams: Vec<Beam>,
    decks: Vec<Deck>,
    loads: Vec<Load>,
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
    pub fn new(
        title: impl Into<String>,
        stems: Vec<Stem>,
        anchors: Vec<Anchor>,
        beams: Vec<Beam>,
        decks: Vec<Deck>,
        loads: Vec<Load>,
        criteria: Criteria,
    ) -> Result<Self, Vec<PlatformError>> {
        let platform = Self {
            title: title.into(),
            stems,
            anchors,
            beams,
            decks,
            loads,
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
        &self.stems
    }
    /// The anchors.
    pub fn anchors(&self) -> &[Anchor] {
        &self.anchors
    }
    /// The beams.
    pub fn beams(&self) -> &[Beam] {
        &self.beams
    }
    /// The decks.
    pub fn decks(&self) -> &[Deck] {
        &self.decks
    }
    /// The loads beside those of decks and members.
    pub fn loads(&self) -> &[Load] {
        &self.loads
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
        &self.stems[anchor.stem]
    }

    fn faults(&self) -> Vec<PlatformError> {
        let mut faults = Faults::default();
        for stem in &self.stems {
            faults.stem(stem);
        }
        for anchor in &self.anchors {
            faults.anchor(anchor, &self.stems);
        }
        for beam in &self.beams {
            faults.beam(beam, self.anchors.len(), &self.beams);
        }
        for deck in &self.decks {
            faults.deck(deck, self.beams.len());
        }
        for load in &self.loads {
            faults.load(load, self.anchors.len(), &self.beams);
        }
        if self.anchors.is_empty() {
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
    }

    fn anchor(&mut self, anchor: &Anchor, stems: &[Stem]) {
        let part = format!("anchor {}", anchor.id);
        let Some(stem) = stems.get(anchor.stem) else {
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

    fn beam(&mut self, beam: &Beam, anchors: usize, beams: &[Beam]) {
        let part = format!("beam {}", beam.id);
        self.positive(&part, "length", beam.length().value);
        self.near(&part, beam.start);
        self.near(&part, beam.end);
        self.timber(&part, &beam.timber);
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
            if !within(support.station, beam.length()) {
                self.add(&part, "one of its supports lies beyond its ends");
            }
            match support.carrier {
                Carrier::Anchor(index) if index >= anchors => {
                    self.add(&part, "one of its anchors does not exist");
                }
                Carrier::Beam {
                    beam: index,
                    station,
                } => match beams.get(index) {
                    None => self.add(&part, "the beam that carries it does not exist"),
                    Some(carrier) if !within(station, carrier.length()) => {
                        self.add(&part, format!("it sits beyond the end of {}", carrier.id));
                    }
                    Some(_) => {}
                },
                Carrier::Anchor(_) => {}
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
        if deck.beams.is_empty() || deck.beams.iter().any(|&index| index >= beams) {
            self.add(&part, "it must name beams that exist in `on`");
        }
    }

    fn load(&mut self, load: &Load, anchors: usize, beams: &[Beam]) {
        let part = format!("load {}", load.id);
        if load
            .magnitudes
            .iter()
            .any(|magnitude| !magnitude.is_finite())
        {
            self.add(&part, "its magnitudes must be finite");
        }
        if matches!(load.place, LoadPlace::Anchor(index) if index >= anchors) {
            self.add(&part, "its anchor does not exist");
        }
        if let LoadPlace::Beam { beam, station } = load.place
            && beams
                .get(beam)
                .is_none_or(|beam| !(0.0..=beam.length().value + 1e-6).contains(&station.value))
        {
            self.add(&part, "it must act on a beam, within its length");
        }
    }
}
