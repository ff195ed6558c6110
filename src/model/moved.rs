//! Beams that follow an anchor's load point when it moves.

use super::{Anchor, Beam, Carrier, Parts, Platform, PlatformError, Point};
use crate::units::{Length, si};

/// Steps of a load point below this leave beams where they are (m).
const NO_STEP: f64 = 1e-9;
/// Supports nearer than this along a beam are one place, about which it can not turn (m).
const ONE_PLACE: f64 = 0.1;

impl Platform {
    /// The same platform with another anchor in the place of one, and its beams moved with its load point; and what
    /// could not follow, in words.
    ///
    /// A beam on two supports turns about the other one, a beam on this anchor alone moves over, and a beam with more
    /// supports keeps its line.
    ///
    /// # Errors
    /// Every fault of every part at once.
    pub fn with_anchor_moved(
        &self,
        index: usize,
        anchor: Anchor,
    ) -> Result<(Self, Vec<String>), Vec<PlatformError>> {
        let Some(drawn) = self.anchors().get(index) else {
            return self
                .with_anchor(index, anchor)
                .map(|platform| (platform, Vec::new()));
        };
        let from = drawn.load_point(self.stem_of(drawn));
        let mut kept = Vec::new();
        let moved = self.with_parts(|parts| {
            let to = parts
                .stems
                .get(anchor.stem)
                .map(|stem| anchor.load_point(stem));
            parts.anchors[index] = anchor;
            kept = parts.seats_follow(index, from, to.unwrap_or(from));
        })?;
        Ok((moved, kept))
    }
}

impl Parts {
    /// Whether a beam sits on an anchor.
    pub(super) fn carries_beam(&self, anchor: usize) -> bool {
        let mut supports = self.beams.iter().flat_map(|beam| &beam.supports);
        supports.any(|support| support.carrier == Carrier::Anchor(anchor))
    }

    /// Moves the seats of an anchor with its load point; says which beams keep their lines.
    pub(super) fn seats_follow(&mut self, anchor: usize, from: Point, to: Point) -> Vec<String> {
        let step = [to.east - from.east, to.north - from.north];
        if step[0].value.abs().max(step[1].value.abs()) <= NO_STEP {
            return Vec::new();
        }
        let mut kept = Vec::new();
        for beam in &mut self.beams {
            let on = |carrier: Carrier| carrier == Carrier::Anchor(anchor);
            let seat = beam.supports.iter().position(|own| on(own.carrier));
            let Some(seat) = seat else { continue };
            let to = beam.at(beam.supports[seat].station);
            let to = Point::new(to.east + step[0], to.north + step[1]);
            if let Some(aside) = follow(beam, seat, to) {
                kept.push(format!(
                    "beam {} keeps its line, {:.1} mm from the load point: it has more supports than it can turn about",
                    beam.id,
                    aside.abs().value * 1e3
                ));
            }
        }
        kept
    }
}

/// Moves a beam so that one of its seats comes to a point; if it can not, the seat goes along the beam only and what is
/// left aside comes back.
fn follow(beam: &mut Beam, seat: usize, to: Point) -> Option<Length> {
    let (station, aside) = to.along(beam.start, beam.end);
    if aside.value.abs() <= NO_STEP {
        beam.supports[seat].station = station;
        return None;
    }
    let own = beam.supports[seat].station;
    let away = |other: Length| (other - own).value.abs() > ONE_PLACE;
    let mut others: Vec<Length> = beam.supports.iter().map(|own| own.station).collect();
    others.retain(|other| away(*other));
    others.dedup_by(|a, b| (*a - *b).value.abs() <= ONE_PLACE);
    let length = beam.length();
    match others.as_slice() {
        [] => {
            let right = beam.start.bearing(beam.end) + si::degrees(90.0);
            beam.start = beam.start.toward(right, aside);
            beam.end = beam.end.toward(right, aside);
            beam.supports[seat].station = station;
            None
        }
        [pivot] => {
            let about = beam.at(*pivot);
            let reach = about.distance(to);
            let (bearing, new) = if own > *pivot {
                (about.bearing(to), *pivot + reach)
            } else {
                (to.bearing(about), *pivot - reach)
            };
            beam.start = about.toward(bearing, -*pivot);
            beam.end = beam.start.toward(bearing, length);
            beam.supports[seat].station = new;
            None
        }
        _ => {
            beam.supports[seat].station = station;
            Some(aside)
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::{BeamSupport, Origin, Seat, Standing, Timber};
    use super::*;
    use crate::units::si::{metres, pascals};

    fn point(east: f64, north: f64) -> Point {
        Point::new(metres(east), metres(north))
    }

    /// A beam of 5 m due north with seats on anchors at some stations.
    fn beam(stations: &[f64]) -> Beam {
        Beam {
            id: "b".into(),
            start: point(0.0, 0.0),
            end: point(0.0, 5.0),
            timber: Timber {
                width: metres(0.1),
                depth: metres(0.2),
                modulus: pascals(1e10),
                unit_weight: si::newtons_per_cubic_metre(0.0),
                origin: Origin::new("test", Standing::Practice),
                design: None,
                plies: 1,
            },
            supports: stations
                .iter()
                .enumerate()
                .map(|(k, station)| BeamSupport {
                    carrier: Carrier::Anchor(k),
                    station: metres(*station),
                    seat: Seat::Fixed,
                    held_down: false,
                    travel: None,
                })
                .collect(),
            seat_rise: metres(0.0),
            level: None,
        }
    }

    fn parts(stations: &[f64]) -> Parts {
        Parts {
            beams: vec![beam(stations)],
            ..Parts::default()
        }
    }

    fn near(found: Point, east: f64, north: f64) {
        let away = found.distance(point(east, north)).value;
        assert!(away < 1e-12, "{found:?} is not {east}, {north}");
    }

    #[test]
    fn a_beam_on_two_supports_turns_about_the_other() {
        let mut parts = parts(&[1.0, 4.0]);
        let kept = parts.seats_follow(1, point(0.0, 4.0), point(0.3, 4.0));
        assert!(kept.is_empty());
        let beam = &parts.beams[0];
        near(beam.at(beam.supports[0].station), 0.0, 1.0);
        near(beam.at(beam.supports[1].station), 0.3, 4.0);
        assert!((beam.length().value - 5.0).abs() < 1e-12);
        assert!((beam.supports[1].station.value - 1.0 - 3.0_f64.hypot(0.3)).abs() < 1e-12);
    }

    #[test]
    fn the_first_seat_moves_as_the_last_does() {
        let mut parts = parts(&[1.0, 4.0]);
        parts.seats_follow(0, point(0.0, 1.0), point(-0.2, 0.9));
        let beam = &parts.beams[0];
        near(beam.at(beam.supports[0].station), -0.2, 0.9);
        near(beam.at(beam.supports[1].station), 0.0, 4.0);
    }

    #[test]
    fn along_the_beam_only_the_seat_moves() {
        let mut parts = parts(&[1.0, 2.5, 4.0]);
        let kept = parts.seats_follow(1, point(0.0, 2.5), point(0.0, 2.8));
        assert!(kept.is_empty());
        assert!((parts.beams[0].supports[1].station.value - 2.8).abs() < 1e-12);
        near(parts.beams[0].start, 0.0, 0.0);
    }

    #[test]
    fn a_beam_on_three_keeps_its_line_and_says_so() {
        let mut parts = parts(&[1.0, 2.5, 4.0]);
        let kept = parts.seats_follow(1, point(0.0, 2.5), point(0.05, 2.5));
        assert!(
            kept[0].contains("beam b keeps its line, 50.0 mm"),
            "{kept:?}"
        );
        near(parts.beams[0].end, 0.0, 5.0);
    }

    #[test]
    fn a_beam_on_one_moves_over() {
        let mut parts = parts(&[2.0]);
        parts.seats_follow(0, point(0.0, 2.0), point(0.1, 2.0));
        near(parts.beams[0].start, 0.1, 0.0);
        near(parts.beams[0].end, 0.1, 5.0);
    }
}
