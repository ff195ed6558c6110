//! Another place for an anchor under its beam, and one more anchor.

use super::search::{self, Found};
use super::tries::{Sizer, Trial, told};
use super::{Change, FoundBy, Proposal};
use crate::checks::{Verdict, alone};
use crate::model::{Anchor, Beam, BeamSupport, Carrier, Point, Seat, Stem};
use crate::units::{Angle, Length, Show, si, us};
use std::convert::Infallible;

/// The most that a bar is turned in its stem to bring its load point to another place.
const MOST_TURN: Angle = si::degrees(30.0);
/// Seats of one beam nearer than this are one place.
const APART: Length = si::metres(0.3);
/// Arms of an added anchor, over that of the failing one, beyond which none is tried (1).
const LONG_ARM: f64 = 2.0;
/// Turns from square at which a second anchor in the same stem is tried (degrees, either way).
const TURNS: [f64; 4] = [45.0, -45.0, 60.0, -60.0];

/// The one seat of an anchor on a beam: places of the beam and of the support.
type SeatOf = (usize, usize);

impl Sizer<'_> {
    /// The one beam on the anchor; none, or why there is no such.
    fn one_seat(&self) -> Result<SeatOf, String> {
        let beams = self.platform.beams().iter().enumerate();
        let seats = beams.flat_map(|(k, beam)| {
            let on = beam.supports.iter().enumerate();
            on.filter(|(_, own)| own.carrier == Carrier::Anchor(self.index))
                .map(move |(seat, _)| (k, seat))
        });
        let seats: Vec<SeatOf> = seats.collect();
        let braced = self
            .platform
            .braces()
            .iter()
            .any(|brace| brace.anchor == self.index);
        match seats.as_slice() {
            [] => Err("no beam lies on it".into()),
            [_] if braced => Err("a brace stands on it".into()),
            [seat] => Ok(*seat),
            _ => Err("more than one beam lies on it".into()),
        }
    }

    /// Steps of places along a beam: 1/2 in or 10 mm.
    fn place_step(&self) -> Length {
        match self.show {
            Show::Us => us::inches(0.5),
            Show::Si => si::millimetres(10.0),
        }
    }

    pub(super) fn move_anchor(&self) -> Result<Proposal, String> {
        let (beam, seat) = self.one_seat()?;
        if self.anchor().rod.is_some() {
            return Err("it is an end of a through-rod".into());
        }
        let mut nearest: Option<(u32, Trial)> = None;
        for way in [1.0, -1.0] {
            let at = |k: u32| self.moved(beam, seat, self.place_step() * (way * f64::from(k)));
            let steps = (0..1000).take_while(|k| at(k + 1).is_ok()).count();
            let steps = u32::try_from(steps).unwrap_or(0);
            let mut passes = |k: u32| Ok::<_, Infallible>(k > 0 && self.tried(at(k)));
            let Ok(found) = search::looked_for(0, steps, &mut passes);
            if let Found::First(k) = found
                && nearest.as_ref().is_none_or(|(least, _)| k < *least)
            {
                nearest = Some((k, at(k)?));
            }
        }
        match nearest {
            Some((_, trial)) => self.whole(trial, FoundBy::Looking),
            None => Err(self.why_not("no place that its bar can reach makes it pass")),
        }
    }

    /// The anchor with its load point moved along its beam, the bar turned about the stem's axis.
    fn moved(&self, beam: usize, seat: usize, by: Length) -> Result<Trial, String> {
        let own = &self.platform.beams()[beam];
        let from = own.supports[seat].station;
        let to = from + by;
        let near =
            |(k, other): (usize, &BeamSupport)| k != seat && (other.station - to).abs() < APART;
        if to.value < 0.0 || to > own.length() || own.supports.iter().enumerate().any(near) {
            return Err("the beam has no room there".into());
        }
        let (drawn, stem) = (self.anchor(), self.stem());
        let there = own.at(to);
        let faces = stem.at.bearing(there);
        let turn = turn(drawn.faces, faces);
        if turn.abs() > MOST_TURN {
            return Err("the bar would turn by more than 30 degrees".into());
        }
        let arm = arm_to(stem, there) / drawn.tilt.value.cos();
        let anchor = Anchor {
            faces,
            arm,
            ..drawn.clone()
        };
        let platform = self.platform.with_parts(|parts| {
            parts.anchors[self.index] = anchor;
            parts.beams[beam].supports[seat].station = to;
        });
        Ok(Trial {
            change: Change::MoveAnchor {
                beam: own.id.clone(),
                from,
                to,
                faces,
                arm,
                turn,
            },
            platform: platform.map_err(|faults| told(&faults))?,
            notes: Vec::new(),
        })
    }

    pub(super) fn add_anchor(&self) -> Result<Proposal, String> {
        let (beam, seat) = self.one_seat()?;
        let own = &self.platform.beams()[beam];
        let places: Vec<(usize, Point)> = self.places(own);
        let trials: Vec<Trial> = places
            .into_iter()
            .filter_map(|(stem, place)| self.added(beam, seat, stem, place))
            .collect();
        if trials.is_empty() {
            return Err(format!(
                "no stem of the layout reaches beam {} at another place",
                own.id
            ));
        }
        let count = trials.len();
        for trial in trials {
            if self.passes(&trial.platform) && self.new_one_passes(&trial) {
                return self.whole(trial, FoundBy::Turns);
            }
        }
        let tried = match count {
            1 => "one place".to_owned(),
            count => format!("{count} places"),
        };
        Err(self.why_not(&format!(
            "tried at {tried} under beam {}, it does not make both anchors pass",
            own.id
        )))
    }

    /// Places of a beam that stems could reach: square to each other stem, and beside the anchor in its own.
    fn places(&self, beam: &Beam) -> Vec<(usize, Point)> {
        let foot = |stem: &Stem| stem.at.along(beam.start, beam.end);
        let mut places = Vec::new();
        let mut seen: Vec<&str> = vec![&self.stem().id];
        for (k, stem) in self.platform.stems().iter().enumerate() {
            if !seen.contains(&stem.id.as_str()) {
                seen.push(&stem.id);
                places.push((k, beam.at(foot(stem).0)));
            }
        }
        let (station, aside) = foot(self.stem());
        for turn in TURNS {
            let along = aside.abs() * si::degrees(turn).value.tan();
            places.push((self.anchor().stem, beam.at(station + along)));
        }
        places
    }

    /// One more anchor of the same size in a stem, under a beam at a place; none where it can not be.
    fn added(&self, beam: usize, seat: usize, stem: usize, place: Point) -> Option<Trial> {
        let own = &self.platform.beams()[beam];
        let (station, _) = place.along(own.start, own.end);
        let within = station.value >= 0.0 && station <= own.length();
        let mut taken = own.supports.iter();
        let in_stem = &self.platform.stems()[stem];
        let (arm, drawn) = (arm_to(in_stem, place), self.anchor());
        let near = in_stem.bark + own.timber.width / 2.0;
        let reaches = arm >= near && arm <= drawn.arm * LONG_ARM;
        if !within || !reaches || taken.any(|other| (other.station - station).abs() < APART) {
            return None;
        }
        let same_stem = in_stem.id == self.stem().id;
        let anchor = Anchor {
            id: format!("{} again", drawn.id),
            stem,
            faces: in_stem.at.bearing(place),
            arm,
            rod: None,
            ..drawn.clone()
        };
        let change = Change::AddAnchor {
            beam: own.id.clone(),
            station,
            tree: in_stem.id.clone(),
            faces: anchor.faces,
            arm,
            size: drawn.size.id.clone(),
        };
        let old = own.supports[seat];
        let platform = self.platform.with_parts(|parts| {
            let carrier = Carrier::Anchor(parts.anchors.len());
            parts.anchors.push(anchor);
            let supports = &mut parts.beams[beam].supports;
            supports.push(BeamSupport {
                carrier,
                station,
                // Stems must be free to sway: a seat on another one slides.
                seat: if same_stem { old.seat } else { Seat::Sliding },
                ..old
            });
            supports.sort_by(|a, b| a.station.value.total_cmp(&b.station.value));
        });
        Some(Trial {
            change,
            platform: platform.ok()?,
            notes: Vec::new(),
        })
    }

    /// Whether the added anchor, the last one, passes.
    fn new_one_passes(&self, trial: &Trial) -> bool {
        self.count();
        let last = trial.platform.anchors().len() - 1;
        match alone(&trial.platform, self.criteria, last, 1.0) {
            Ok(new) => new.verdict() == Verdict::Pass,
            Err(error) => self.stopped(error.to_string()),
        }
    }
}

/// From the wood surface of a stem to a point in plan.
fn arm_to(stem: &Stem, point: Point) -> Length {
    stem.at.distance(point) - stem.wood_radius()
}

/// From one bearing to another, the short way.
fn turn(from: Angle, to: Angle) -> Angle {
    let (sin, cos) = (to - from).value.sin_cos();
    si::radians(sin.atan2(cos))
}
