//! The numbers of the drilling cards: what to drill, how deep, with what, and by how much it may be missed.
//!
//! Depths are taken from sound wood, where the calculation begins, and carried out to the wood surface and to the bark.
//! A counterbore or a pilot is marked up to the next sixteenth, since less of either leaves the boss with less wood than
//! was calculated or the bar on the bottom of its hole; never beyond the sound wood there is on the axis. What is left
//! behind, and what may be missed, is rounded down. Rules of the trade come from `data/drilling.csv`.

use super::super::{Finding, Provenance};
use super::bits::Bit;
use super::marks::{Mark, Rounding};
use crate::checks::{Attachment, Edge, MayMiss, Results, Verdict};
use crate::input::layout::AsBuilt;
use crate::mechanics::{MechanicsError, driving};
use crate::model::{Anchor, Carrier, Platform, Seat, Segment, Stem};
use crate::tables::{self, LookupError};
use crate::units::{Angle, Length, si, us};
use serde::Serialize;

/// Name and number of the form of the JSON. A new field leaves the number; a renamed one raises it.
pub const DRILL_SCHEMA: &str = "barkline/drill/1";

/// What comes before anything else.
pub const FIRST: &str = "A qualified arborist examines this stem, here, before any drilling.";

/// When to stop.
pub const STOP_RULES: [&str; 5] = [
    "Shavings turn soft, dark or wet: stop, call the arborist.",
    "Bit or bar suddenly turns easily: stop, call the arborist.",
    "Bar passes the torque to stop at: back it out, wax it, open the pilot. No impact wrench.",
    "Pilot out of its tolerance: stop before the counterbore.",
    "Nothing drilled can be undone. In doubt, stop.",
];

/// The cautions of every card, short enough to stand on it; all of them in full stand on the first page.
pub const CARD_CAUTIONS: [&str; 4] = [
    "Not a design approval: engineer, local code, permits first.",
    "Means of small clear wood: decay, knots, work are not seen.",
    "Work at height: guard, fall arrest, a plan of rescue.",
    "Check it as built before anything hangs on it.",
];

/// Why no card could be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DrillError {
    /// The table of rules has no such rule.
    #[error(transparent)]
    Lookup(#[from] LookupError),
    /// A rule of the table has no value of the kind that is needed.
    #[error("the drilling rule {0} has no usable value")]
    Rule(&'static str),
    /// The torque can not be worked out.
    #[error("anchor {anchor}: {error}")]
    Torque {
        /// The anchor.
        anchor: String,
        /// Why.
        error: MechanicsError,
    },
}

/// The drilling cards of a layout. Numbers are in SI, the unit in the key; marks are in inches and millimetres.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrillDocument {
    /// [`DRILL_SCHEMA`].
    pub schema: &'static str,
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the layout.
    pub layout_sha256: String,
    /// Title of the layout.
    pub title: String,
    /// The worst verdict of the platform.
    pub verdict: Verdict,
    /// Whether anchors that fail have cards as well.
    pub despite: bool,
    /// What the reader must be told.
    pub cautions: Vec<String>,
    /// The cards, in the order of the layout.
    pub cards: Vec<Card>,
    /// Anchors that fail and have no card.
    pub withheld: Vec<Withheld>,
    /// Bits and tools of all cards.
    pub tools: Vec<Tool>,
    /// What is worth knowing of the layout.
    pub diagnostics: Vec<Finding>,
}

/// An anchor that has no card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Withheld {
    /// The anchor.
    pub anchor: String,
    /// Its verdict.
    pub verdict: Verdict,
    /// The check that governs, in words.
    pub governing: Option<&'static str>,
}

/// The card of one anchor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Card {
    /// The anchor.
    pub anchor: String,
    /// Its tree.
    pub tree: String,
    /// The wood of the tree.
    pub wood: String,
    /// Size of the anchor.
    pub size: String,
    /// The anchor at the other end of its through-rod.
    pub rod: Option<String>,
    /// What its checks say.
    pub verdict: Verdict,
    /// The check that governs, in words.
    pub governing: Option<&'static str>,
    /// Demand over allowable of the most used check that hangs on loads (1).
    pub utilization: Option<f64>,
    /// What comes first.
    pub first: &'static str,
    /// Height of the bar's axis over the site's zero; none where nothing gives it.
    pub level: Option<Mark>,
    /// By how much the levels of the anchors of one beam may differ.
    pub level_tolerance: Mark,
    /// Compass bearing toward which the bar points out of the stem (deg).
    pub faces_deg: f64,
    /// Tolerance of that bearing, either way (deg).
    pub faces_tolerance_deg: f64,
    /// Tolerance of the axis from level, either way: of the trade, or what may be missed if that is less (deg).
    pub axis_tolerance_deg: f64,
    /// Where it is on the bark.
    pub around: Around,
    /// Thickness of the bark, as drawn.
    pub bark: Mark,
    /// Unsound outer wood under the bark.
    pub soft: Mark,
    /// Pilot holes, the deepest first; more than one for a stepped shank.
    pub pilots: Vec<Pilot>,
    /// The counterbore for the boss; none where no boss is in the wood.
    pub counterbore: Option<Counterbore>,
    /// The guide on the counterbore bit that runs in the pilot.
    pub guide: Option<Guide>,
    /// Sound wood to be found by probing on the axis, from the face of the sound wood.
    pub sound_needed: Mark,
    /// Sound wood that there is on the axis, as drawn.
    pub sound_there: Mark,
    /// Sound wood left behind the deepest pilot; zero where the hole uses all of it.
    pub left_behind: Mark,
    /// Whether the bar is longer than the sound wood on its axis.
    pub beyond_sound: bool,
    /// The torque of driving.
    pub torque: Option<Torque>,
    /// What sits on the bar, and where.
    pub seats: Vec<SeatPart>,
    /// From the wood surface, under the bark, to the line of the load.
    pub arm: Mark,
    /// From the bark to the line of the load; below zero where the bark would reach beyond it.
    pub arm_from_bark: Mark,
    /// From the outer end of the boss to the line of the load; below zero where it lies on the boss.
    pub arm_from_boss: Mark,
    /// By how much it may be missed, one thing at a time.
    pub may_miss: MissPart,
    /// When to stop.
    pub stop_rules: [&'static str; 5],
    /// Cautions of the card.
    pub cautions: [&'static str; 4],
    /// The keys of `[[as_built]]` under which to write down what was done.
    pub as_built: Vec<&'static str>,
}

/// A depth, by where it is measured from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Depth {
    /// From the face of the sound wood.
    pub from_sound: Mark,
    /// From the wood surface, under the bark.
    pub from_wood: Mark,
    /// From the bark.
    pub from_bark: Mark,
}

/// A pilot hole.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pilot {
    /// Its diameter.
    pub bit: Bit,
    /// Root of the thread (m).
    pub root_m: f64,
    /// Density of the wood by the classes of lead holes.
    pub density: Density,
    /// Its depth: what the bar fills.
    pub depth: Depth,
    /// The deepest that it may be.
    pub deepest: Depth,
}

/// Density of a wood by the classes of lead holes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Density {
    /// Light.
    Light,
    /// Between.
    Medium,
    /// Dense.
    Dense,
}

/// The counterbore for the boss.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Counterbore {
    /// Its diameter.
    pub bit: Bit,
    /// Diameter of the boss (m).
    pub boss_m: f64,
    /// Its depth.
    pub depth: Depth,
}

/// The guide of a counterbore bit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Guide {
    /// Its diameter in a pilot of the inch bit (in).
    pub guide_in: f64,
    /// Its diameter in a pilot of the metric bit (mm).
    pub guide_mm: f64,
}

/// Where on the bark an anchor is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Around {
    /// The tree to whose centre the string line is drawn; none where there is no other: then from north.
    pub string_to: Option<String>,
    /// Compass bearing of the string line (deg).
    pub string_deg: f64,
    /// From the string round the bark.
    pub distance: Mark,
    /// Clockwise seen from above: to the left of whoever faces the stem.
    pub clockwise: bool,
}

/// The torque of driving, an estimate.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Torque {
    /// With all that lowers it (N·m).
    pub least_n_m: f64,
    /// In the middle (N·m).
    pub middle_n_m: f64,
    /// With all that raises it (N·m).
    pub most_n_m: f64,
    /// At which the bar yields (N·m).
    pub yield_n_m: f64,
    /// At which to stop (N·m).
    pub stop_n_m: f64,
}

/// What sits on the bar.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeatPart {
    /// The beam or brace.
    pub part: String,
    /// How a beam sits.
    pub seat: Option<Seat>,
    /// Travel from stop to stop, where it is said.
    pub travel: Option<Mark>,
    /// The set position of a slider: its way to either stop.
    pub each_way: Option<Mark>,
}

/// By how much an anchor may be missed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MissPart {
    /// The longest arm from the wood surface.
    pub arm: Room,
    /// The least boss in the wood, from the wood surface.
    pub boss_in_wood: Room,
    /// The thickest bark.
    pub bark: Room,
    /// The largest tilt with the outer end up.
    pub tilt_up: Turn,
    /// The largest tilt with the outer end down.
    pub tilt_down: Turn,
}

/// A length as drawn, and how far it may go.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Room {
    /// As drawn (m).
    pub drawn_m: f64,
    /// The last that was seen to pass (m); none where the anchor fails as drawn.
    pub passes_m: Option<f64>,
    /// The first that was seen not to (m); none where all that was tried pass.
    pub fails_m: Option<f64>,
}

/// An angle from level, and how far it may go.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Turn {
    /// The last that was seen to pass (deg); none where the anchor fails as drawn.
    pub passes_deg: Option<f64>,
    /// The first that was seen not to (deg); none where all that was tried pass.
    pub fails_deg: Option<f64>,
}

/// A bit or a tool.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tool {
    /// What it is.
    pub kind: ToolKind,
    /// Its diameter; none for a wrench.
    pub bit: Option<Bit>,
    /// Its guide.
    pub guide: Option<Guide>,
    /// What it must reach: the deepest hole from the bark.
    pub reach: Option<Mark>,
    /// Torque that it must show (N·m).
    pub torque_n_m: Option<f64>,
    /// The anchors that it is for.
    pub anchors: Vec<String>,
}

/// What a tool is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ToolKind {
    /// A bit for a pilot.
    PilotBit,
    /// A bit for a counterbore, with its guide.
    CounterboreBit,
    /// A wrench that shows its torque.
    TorqueWrench,
}

impl DrillDocument {
    /// The cards of a platform that was checked; of anchors that fail only where that is asked for.
    ///
    /// # Errors
    /// Rules that are not there, a torque without an answer.
    pub fn new(
        platform: &Platform,
        results: &Results,
        may_miss: &[MayMiss],
        despite: bool,
        provenance: Provenance,
        diagnostics: Vec<Finding>,
    ) -> Result<Self, DrillError> {
        let mut cards = Vec::new();
        let mut withheld = Vec::new();
        let attachments = results.attachments().iter().enumerate();
        for ((index, attachment), miss) in attachments.zip(may_miss) {
            let verdict = attachment.verdict();
            if verdict == Verdict::Fail && !despite {
                withheld.push(Withheld {
                    anchor: attachment.anchor().to_owned(),
                    verdict,
                    governing: governing(attachment),
                });
            } else if let Some(anchor) = platform.anchors().get(index) {
                let stem = platform.stem_of(anchor);
                let drawn = Drawn {
                    platform,
                    index,
                    anchor,
                    stem,
                };
                cards.push(drawn.card(results, attachment, miss)?);
            }
        }
        Ok(Self {
            schema: DRILL_SCHEMA,
            program: provenance.program,
            layout_sha256: provenance.layout_sha256,
            title: results.title().to_owned(),
            verdict: results.verdict(),
            despite,
            cautions: results.cautions().to_vec(),
            tools: tools(&cards),
            cards,
            withheld,
            diagnostics,
        })
    }
}

fn governing(attachment: &Attachment) -> Option<&'static str> {
    attachment
        .governing()
        .map(|check| check.limit_state.words())
}

fn number(id: &'static str) -> Result<f64, DrillError> {
    tables::drilling_rule(id)?
        .number()
        .ok_or(DrillError::Rule(id))
}

fn length(id: &'static str) -> Result<Length, DrillError> {
    tables::drilling_rule(id)?
        .length()
        .ok_or(DrillError::Rule(id))
}

fn angle(id: &'static str) -> Result<Angle, DrillError> {
    tables::drilling_rule(id)?
        .angle()
        .ok_or(DrillError::Rule(id))
}

fn degrees(angle: Angle) -> f64 {
    angle.value.to_degrees()
}

fn nearest(length: Length) -> Mark {
    Mark::new(length, Rounding::Nearest)
}

/// An anchor as drawn.
struct Drawn<'a> {
    platform: &'a Platform,
    index: usize,
    anchor: &'a Anchor,
    stem: &'a Stem,
}

impl Drawn<'_> {
    fn card(
        &self,
        results: &Results,
        attachment: &Attachment,
        miss: &MayMiss,
    ) -> Result<Card, DrillError> {
        let (anchor, stem) = (self.anchor, self.stem);
        let may_miss = MissPart::new(miss, anchor, stem);
        let pilots = self.pilots()?;
        let deepest = anchor.sound_length(stem) + length("pilot-over")?;
        let thickest = anchor.size.shank.first().unwrap_or(&anchor.size.boss).bears;
        let needed = anchor.sound_length(stem) + thickest * number("sound-beyond")?;
        let left = (self.sound() - deepest).max(si::metres(0.0));
        Ok(Card {
            anchor: anchor.id.clone(),
            tree: stem.id.clone(),
            wood: stem.wood.name().to_owned(),
            size: anchor.size.id.clone(),
            rod: anchor
                .rod
                .and_then(|other| self.platform.anchors().get(other))
                .map(|other| other.id.clone()),
            verdict: attachment.verdict(),
            governing: governing(attachment),
            utilization: attachment.utilization(),
            first: FIRST,
            level: anchor.level.map(nearest),
            level_tolerance: nearest(results.criteria().length("seat_level")),
            faces_deg: degrees(anchor.faces).rem_euclid(360.0),
            faces_tolerance_deg: degrees(angle("bearing-tolerance")?),
            axis_tolerance_deg: may_miss.tilt_within(degrees(angle("axis-tolerance")?)),
            around: self.around(),
            bark: nearest(stem.bark),
            soft: Mark::new(stem.soft, Rounding::Up),
            guide: self.guide(&pilots)?,
            counterbore: self.counterbore()?,
            pilots,
            sound_needed: Mark::new(needed, Rounding::Up),
            sound_there: Mark::new(self.sound(), Rounding::Down),
            left_behind: Mark::new(left, Rounding::Down),
            beyond_sound: anchor.sound_length(stem) > self.sound(),
            torque: self.torque()?,
            seats: self.seats(),
            arm: nearest(anchor.arm),
            arm_from_bark: nearest(anchor.arm - stem.bark),
            arm_from_boss: nearest(anchor.arm - (anchor.size.boss.length - anchor.embedded)),
            may_miss,
            stop_rules: STOP_RULES,
            cautions: CARD_CAUTIONS,
            as_built: AsBuilt::KEYS
                .iter()
                .map(|key| key.name)
                .filter(|key| *key != "anchor")
                .collect(),
        })
    }

    /// Sound wood on the axis: the wall of a hollow stem, or all the way through.
    fn sound(&self) -> Length {
        let through = 2.0 * (self.stem.wood_radius() - self.stem.soft);
        self.stem.shell.map_or(through, |shell| shell.min(through))
    }

    /// A depth from sound wood, with its marks from the other faces.
    fn depth(&self, depth: Length, mark: impl Fn(Length, Length) -> Mark) -> Depth {
        let from = |face: Length| mark(depth + face, self.sound() + face);
        Depth {
            from_sound: from(si::metres(0.0)),
            from_wood: from(self.stem.soft),
            from_bark: from(self.stem.soft + self.stem.bark),
        }
    }

    fn pilots(&self) -> Result<Vec<Pilot>, DrillError> {
        let mut depth = self.anchor.sound_boss(self.stem);
        let over = length("pilot-over")?;
        let mut pilots: Vec<Pilot> = Vec::new();
        for piece in &self.anchor.size.shank {
            depth += piece.length;
            let pilot = self.pilot(piece, depth, over)?;
            if pilots.first().is_some_and(|known| known.bit == pilot.bit) {
                pilots.remove(0);
            }
            pilots.insert(0, pilot);
        }
        Ok(pilots)
    }

    fn pilot(&self, piece: &Segment, depth: Length, over: Length) -> Result<Pilot, DrillError> {
        let gravity = self.stem.wood.dry_gravity().0;
        let (density, least, most) = if gravity <= number("light-gravity")? {
            (Density::Light, "pilot-light-least", "pilot-light-most")
        } else if gravity <= number("dense-gravity")? {
            (Density::Medium, "pilot-medium-least", "pilot-medium-most")
        } else {
            (Density::Dense, "pilot-dense-least", "pilot-dense-most")
        };
        let root = piece.resists;
        // A thread that is taken to bear on its outside has a pilot no larger than its root.
        let share = if piece.bears > root {
            number(most)?.min(1.0)
        } else {
            number(most)?
        };
        let most = root * share;
        let least = (root * number(least)?).min(most - length("pilot-under")?);
        Ok(Pilot {
            bit: Bit::largest(least, most),
            root_m: root.value,
            density,
            depth: self.depth(depth, Mark::up_to),
            deepest: self.depth((depth + over).min(self.sound()), |depth, most| {
                Mark::new(depth.min(most), Rounding::Down)
            }),
        })
    }

    fn counterbore(&self) -> Result<Option<Counterbore>, DrillError> {
        let boss = self.anchor.size.boss.bears;
        let depth = self.anchor.sound_boss(self.stem);
        let most = boss + length("counterbore-over")?;
        Ok((depth.value > 0.0).then(|| Counterbore {
            bit: Bit::smallest(boss, most),
            boss_m: boss.value,
            depth: self.depth(depth, Mark::up_to),
        }))
    }

    /// The guide runs in the pilot next to the counterbore.
    fn guide(&self, pilots: &[Pilot]) -> Result<Option<Guide>, DrillError> {
        let under = length("guide-under")?;
        let Some(pilot) = pilots
            .last()
            .filter(|_| self.anchor.sound_boss(self.stem).value > 0.0)
        else {
            return Ok(None);
        };
        let most = si::metres(pilot.bit.most_m);
        let inch = pilot.bit.take_in.map_or(most, us::inches);
        let metric = pilot.bit.take_mm.map_or(most, si::millimetres);
        let down = |length: Length, step: Length| ((length / step).value + 1e-6).floor();
        Ok(Some(Guide {
            guide_in: down(inch - under, us::inches(0.005)) / 200.0,
            guide_mm: down(metric - under, si::millimetres(0.1)) / 10.0,
        }))
    }

    fn torque(&self) -> Result<Option<Torque>, DrillError> {
        let size = &self.anchor.size;
        let Some(thread) = size
            .shank
            .first()
            .filter(|_| size.thread_length.value > 0.0)
        else {
            return Ok(None);
        };
        let fault = |error| DrillError::Torque {
            anchor: self.anchor.id.clone(),
            error,
        };
        let mean = (thread.bears + thread.resists) / 2.0;
        let with = |friction: f64, grip: f64| {
            let pressure = self.stem.wood.across() * grip;
            let torque = driving::friction_torque(mean, friction, pressure, size.thread_length);
            torque.map(|torque| torque.value).map_err(fault)
        };
        let mut bar = f64::INFINITY;
        for piece in &size.shank {
            let own = driving::yield_torque(piece.resists, piece.steel.yield_strength);
            bar = bar.min(own.map_err(fault)?.value);
        }
        Ok(Some(Torque {
            least_n_m: with(number("friction-least")?, number("grip-least")?)?,
            middle_n_m: with(number("friction")?, number("grip")?)?,
            most_n_m: with(number("friction-most")?, number("grip-most")?)?,
            yield_n_m: bar,
            stop_n_m: bar * number("torque-share")?,
        }))
    }

    /// Beams and braces on this anchor.
    fn seats(&self) -> Vec<SeatPart> {
        let mut seats = Vec::new();
        for beam in self.platform.beams() {
            let own = Carrier::Anchor(self.index);
            for support in beam
                .supports
                .iter()
                .filter(|support| support.carrier == own)
            {
                let travel = support.travel.filter(|_| support.seat == Seat::Sliding);
                seats.push(SeatPart {
                    part: format!("beam {}", beam.id),
                    seat: Some(support.seat),
                    travel: travel.map(|travel| Mark::new(travel, Rounding::Down)),
                    each_way: travel.map(|travel| Mark::new(travel / 2.0, Rounding::Down)),
                });
            }
        }
        let braces = self.platform.braces().iter();
        seats.extend(
            braces
                .filter(|brace| brace.anchor == self.index)
                .map(|brace| SeatPart {
                    part: format!("brace {}", brace.id),
                    seat: None,
                    travel: None,
                    each_way: None,
                }),
        );
        seats
    }

    /// The stem that the string line goes to: the nearest on a beam with this anchor, or the nearest of all.
    fn string_to(&self) -> Option<&Stem> {
        let on = |index: usize| {
            self.platform.beams().iter().any(|beam| {
                let holds = |index| {
                    let mut supports = beam.supports.iter();
                    supports.any(|support| support.carrier == Carrier::Anchor(index))
                };
                holds(self.index) && holds(index)
            })
        };
        let others = self.platform.anchors().iter().enumerate();
        let others = others.map(|(index, anchor)| (on(index), self.platform.stem_of(anchor)));
        let all = self.platform.stems().iter().map(|stem| (false, stem));
        others
            .chain(all)
            .filter(|(_, stem)| stem.id != self.stem.id && stem.at != self.stem.at)
            .min_by(|(joined, a), (also, b)| {
                let near = |stem: &Stem| stem.at.distance(self.stem.at).value;
                also.cmp(joined).then(near(a).total_cmp(&near(b)))
            })
            .map(|(_, stem)| stem)
    }

    fn around(&self) -> Around {
        let to = self.string_to();
        let string = to.map_or(si::radians(0.0), |stem| self.stem.at.bearing(stem.at));
        let (sin, cos) = (self.anchor.faces - string).value.sin_cos();
        let turn = sin.atan2(cos);
        Around {
            string_to: to.map(|stem| stem.id.clone()),
            string_deg: degrees(string).rem_euclid(360.0),
            distance: nearest(self.stem.diameter / 2.0 * turn.abs()),
            clockwise: turn >= 0.0,
        }
    }
}

impl MissPart {
    fn new(miss: &MayMiss, anchor: &Anchor, stem: &Stem) -> Self {
        let room = |drawn: Length, edge: Edge<Length>| Room {
            drawn_m: drawn.value,
            passes_m: edge.holds().map(|length| length.value),
            fails_m: fails(edge).map(|length| length.value),
        };
        let turn = |edge: Edge<Angle>| Turn {
            passes_deg: edge.holds().map(degrees),
            fails_deg: fails(edge).map(degrees),
        };
        Self {
            arm: room(anchor.arm, miss.arm),
            boss_in_wood: room(anchor.embedded, miss.boss_in_wood),
            bark: room(stem.bark, miss.bark),
            tilt_up: turn(miss.tilt_up),
            tilt_down: turn(miss.tilt_down),
        }
    }

    /// A tolerance of tilt, or what may be missed where that is less (deg), in tenths.
    fn tilt_within(&self, tolerance: f64) -> f64 {
        let passes = [self.tilt_up, self.tilt_down].map(|turn| turn.passes_deg);
        let least = passes.into_iter().flatten().fold(tolerance, f64::min);
        (least * 10.0 + 1e-6).floor() / 10.0
    }
}

fn fails<Q>(edge: Edge<Q>) -> Option<Q> {
    match edge {
        Edge::Between { fails, .. } => Some(fails),
        Edge::NotAtStart | Edge::Beyond(_) => None,
    }
}

/// Bits and wrenches of all cards, each once.
fn tools(cards: &[Card]) -> Vec<Tool> {
    let mut tools: Vec<Tool> = Vec::new();
    for card in cards {
        for pilot in &card.pilots {
            let bit = Some(pilot.bit.clone());
            add(
                &mut tools,
                tool(ToolKind::PilotBit, bit, None, Some(pilot.deepest), card),
            );
        }
        if let Some(counterbore) = &card.counterbore {
            let (bit, depth) = (Some(counterbore.bit.clone()), Some(counterbore.depth));
            add(
                &mut tools,
                tool(ToolKind::CounterboreBit, bit, card.guide, depth, card),
            );
        }
        if let Some(torque) = &card.torque {
            let mut wrench = tool(ToolKind::TorqueWrench, None, None, None, card);
            wrench.torque_n_m = Some(torque.stop_n_m);
            add(&mut tools, wrench);
        }
    }
    tools.sort_by_key(|tool| tool.kind as usize);
    tools
}

fn tool(
    kind: ToolKind,
    bit: Option<Bit>,
    guide: Option<Guide>,
    depth: Option<Depth>,
    card: &Card,
) -> Tool {
    Tool {
        kind,
        bit,
        guide,
        reach: depth.map(|depth| depth.from_bark),
        torque_n_m: None,
        anchors: vec![card.anchor.clone()],
    }
}

/// Adds a tool to those of its kind and diameter.
fn add(tools: &mut Vec<Tool>, new: Tool) {
    let same = |known: &&mut Tool| {
        (known.kind, &known.bit, &known.guide) == (new.kind, &new.bit, &new.guide)
    };
    let Some(known) = tools.iter_mut().find(same) else {
        return tools.push(new);
    };
    if let (Some(reach), Some(own)) = (new.reach, &mut known.reach)
        && reach.exact_m > own.exact_m
    {
        *own = reach;
    }
    if let (Some(torque), Some(own)) = (new.torque_n_m, &mut known.torque_n_m) {
        *own = own.max(torque);
    }
    for anchor in new.anchors {
        if !known.anchors.contains(&anchor) {
            known.anchors.push(anchor);
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    use super::*;
    use crate::input::Layout;

    #[test]
    fn each_edge_that_was_found_stands_in_its_place() {
        let text = include_str!("../../../docs/examples/two-stems.toml");
        let platform = Layout::from_toml(text).unwrap().resolve().unwrap().platform;
        let anchor = &platform.anchors()[0];
        let between = |holds: f64| Edge::Between {
            holds: si::metres(holds),
            fails: si::metres(holds + 0.001),
        };
        let found = MayMiss {
            anchor: anchor.id.clone(),
            arm: between(0.2),
            boss_in_wood: between(0.03),
            bark: Edge::NotAtStart,
            tilt_up: Edge::Beyond(si::degrees(10.0)),
            tilt_down: Edge::Between {
                holds: si::degrees(3.0),
                fails: si::degrees(3.5),
            },
        };
        let part = MissPart::new(&found, anchor, platform.stem_of(anchor));
        assert_eq!(
            (part.arm.passes_m, part.arm.fails_m),
            (Some(0.2), Some(0.201))
        );
        assert_eq!(part.boss_in_wood.passes_m, Some(0.03));
        assert_eq!((part.bark.passes_m, part.bark.fails_m), (None, None));
        let degrees =
            |turn: Turn| [turn.passes_deg, turn.fails_deg].map(|side| side.map(f64::round));
        assert_eq!(degrees(part.tilt_up), [Some(10.0), None]);
        assert_eq!(
            part.tilt_down.passes_deg.map(|own| (own * 2.0).round()),
            Some(6.0)
        );
        assert_eq!(
            part.tilt_down.fails_deg.map(|own| (own * 2.0).round()),
            Some(7.0)
        );
    }

    #[test]
    fn the_axis_is_held_to_what_may_be_missed_where_that_is_less() {
        let room = Room {
            drawn_m: 0.0,
            passes_m: None,
            fails_m: None,
        };
        let turn = |passes_deg| Turn {
            passes_deg,
            fails_deg: None,
        };
        let miss = |up, down| MissPart {
            arm: room,
            boss_in_wood: room,
            bark: room,
            tilt_up: turn(up),
            tilt_down: turn(down),
        };
        assert_eq!(miss(Some(10.0), Some(4.0)).tilt_within(1.0), 1.0);
        assert_eq!(miss(Some(10.0), Some(0.47)).tilt_within(1.0), 0.4);
        assert_eq!(miss(Some(0.38), Some(0.9)).tilt_within(1.0), 0.3);
        assert_eq!(miss(None, Some(0.2)).tilt_within(1.0), 0.2);
    }
}
