//! Beams: where they lie, what carries them, and with that the arms of anchors that left them open.

use super::anchors::Drafts;
use super::stems::Stems;
use super::{Resolver, point, timber};
use crate::input::diagnostic::Code;
use crate::input::layout::{self, Along, Id, Place, Runs};
use crate::input::source::At;
use crate::model::{Beam, BeamSupport, Carrier, Crossing, Point, Post, Seat, plan};
use crate::units::{Length, si};

/// A beam may lie beside its anchor's load point by this much and still be over it (m): common practice, no source.
const BESIDE: f64 = 0.010;
/// Sine of the angle below which a bar and a beam count as parallel.
const PARALLEL: f64 = 0.02;

/// Beams that could be drawn.
pub(super) struct Drawn(Vec<Beam>);

impl Drawn {
    pub(super) fn find(&self, id: &Id) -> Option<(usize, Length)> {
        let index = self.0.iter().position(|beam| beam.id == id.as_str())?;
        Some((index, self.0[index].length()))
    }

    pub(super) fn all(&self) -> &[Beam] {
        &self.0
    }

    pub(super) fn built(self) -> Vec<Beam> {
        self.0
    }
}

impl<'a> Resolver<'a> {
    /// Draws every beam, those that carry others first.
    pub(super) fn beams(
        &mut self,
        _stems: &Stems,
        mut drafts: Drafts,
        posts: &[Post],
    ) -> (Drafts, Drawn) {
        let layout = self.layout;
        let mut drawn: Vec<Beam> = Vec::new();
        let mut failed: Vec<&Id> = Vec::new();
        let mut waiting: Vec<&layout::Beam> = layout.beam.iter().collect();
        self.known_carriers(&drafts);
        self.idle_posts();
        while !waiting.is_empty() {
            let next = waiting.iter().position(|beam| {
                beam.on
                    .iter()
                    .all(|on| !waiting.iter().any(|other| other.id.value == on.on))
            });
            let Some(next) = next else {
                let carried = |beam: &layout::Beam| in_ring(&layout.beam, beam);
                for beam in waiting.into_iter().filter(|beam| carried(beam)) {
                    let message = format!(
                        "beam {} rests on a beam that rests on it in turn",
                        beam.id.as_str()
                    );
                    self.error(
                        Code::Circle,
                        beam.id.span,
                        message,
                        "let one of them rest on anchors only",
                    );
                }
                break;
            };
            let beam = waiting.remove(next);
            let on_failed = beam.on.iter().any(|on| failed.contains(&&on.on));
            match if on_failed {
                None
            } else {
                self.beam(beam, &mut drafts, posts, &drawn)
            } {
                Some(beam) => drawn.push(beam),
                None => failed.push(&beam.id.value),
            }
        }
        self.arms(&mut drafts);
        // The order of the file, whatever the order of drawing.
        let place = |id: &str| layout.beam.iter().position(|beam| beam.id.as_str() == id);
        let mut order: Vec<usize> = (0..drawn.len()).collect();
        order.sort_by_key(|k| place(&drawn[*k].id));
        let moved = |old: usize| order.iter().position(|k| *k == old).unwrap_or(old);
        let sorted = order.iter().map(|k| {
            let mut beam = drawn[*k].clone();
            for support in &mut beam.supports {
                if let Carrier::Beam { beam, .. } = &mut support.carrier {
                    *beam = moved(*beam);
                }
            }
            beam
        });
        let sorted = sorted.collect();
        (drafts, Drawn(sorted))
    }

    fn known_carriers(&mut self, drafts: &Drafts) {
        let layout = self.layout;
        for on in layout.beam.iter().flat_map(|beam| &beam.on) {
            let id = &on.on;
            let known = layout.anchor.iter().any(|anchor| anchor.id.value == *id)
                || layout.beam.iter().any(|beam| beam.id.value == *id)
                || layout.post.iter().any(|post| post.id.value == *id)
                || drafts.index(id).is_some();
            if !known {
                let at = At {
                    value: id.clone(),
                    span: on.span,
                };
                self.unknown_id("anchor, post or beam", &at, self.known_supports());
            }
        }
        for anchor in &layout.anchor {
            let used = layout
                .beam
                .iter()
                .any(|beam| beam.on.iter().any(|on| on.on == anchor.id.value))
                || layout
                    .load
                    .iter()
                    .any(|load| load.on.as_ref().is_some_and(|on| on.on == anchor.id.value))
                || layout
                    .brace
                    .iter()
                    .any(|brace| brace.from.value == anchor.id.value)
                || layout.hammock.iter().any(|hammock| {
                    let ends = hammock.ends.iter().flatten();
                    ends.into_iter().any(|end| end.on == anchor.id.value)
                });
            if !used {
                let message = format!("anchor {} carries nothing", anchor.id.as_str());
                let mend = "name it in the `on` of a beam or a load, or take it out";
                self.error(Code::Unsound, anchor.id.span, message, mend);
            }
        }
    }

    /// A post below nothing is a slip.
    fn idle_posts(&mut self) {
        let layout = self.layout;
        let places = layout.beam.iter().flat_map(|beam| &beam.on);
        let idle = layout.post.iter().filter(|post| {
            let mut on = places.clone();
            !on.any(|on| on.on == post.id.value)
        });
        for post in idle {
            let message = format!("post {} carries nothing", post.id.as_str());
            let mend = "name it in the `on` of a beam, or take it out";
            self.error(Code::Unsound, post.id.span, message, mend);
        }
    }

    /// Every anchor has an arm by now, or a reason why not.
    fn arms(&mut self, drafts: &mut Drafts) {
        for draft in &drafts.0 {
            if draft.arm.is_none() && !self.has_errors() {
                let message = format!("anchor {} has no arm, and no beam gives it one", draft.id);
                self.error(
                    Code::MissingKey,
                    draft.span,
                    message,
                    "add arm = \"3-1/2 in\" (wood surface to the line of the load), or gap",
                );
            }
        }
    }

    #[allow(
        clippy::too_many_lines,
        reason = "one key after the other, in the order of the table"
    )]
    fn beam(
        &mut self,
        beam: &'a layout::Beam,
        drafts: &mut Drafts,
        posts: &[Post],
        drawn: &[Beam],
    ) -> Option<Beam> {
        let id = beam.id.as_str();
        let timber = self.timber(&timber::Keys {
            part: format!("beam {id}"),
            span: beam.id.span,
            size: beam.size.as_ref(),
            width: beam.width.as_ref(),
            depth: beam.depth.as_ref(),
            plies: beam.plies.as_ref().map_or(1, |plies| plies.value),
            wood: beam.wood.as_ref(),
            grade: beam.grade.as_ref(),
            allowable: beam.allowable.as_ref(),
            modulus: beam.modulus.as_ref(),
        })?;
        if !beam.seats.is_empty() && beam.seats.len() != beam.on.len() {
            let message = format!(
                "beam {id} names {} in `on` and {} in `seats`",
                beam.on.len(),
                beam.seats.len()
            );
            self.error(
                Code::Conflict,
                beam.seats[0].span,
                message,
                "give one seat for each entry of `on`, in its order",
            );
            return None;
        }
        for on in &beam.on {
            if let Some(k) = drafts.index(&on.on)
                && drafts.0[k].arm.is_none()
                && let Some(gap) = drafts.0[k].gap
            {
                drafts.0[k].arm = Some(drafts.0[k].stem.bark + gap + timber.width / 2.0);
            }
        }
        let (start, end) = self.axis(beam, drafts, posts, drawn)?;
        let mut supports = Vec::new();
        for (k, on) in beam.on.iter().enumerate() {
            let seat = beam
                .seats
                .get(k)
                .map_or(Seat::Fixed, |seat| match seat.value {
                    layout::Seat::Fixed => Seat::Fixed,
                    layout::Seat::Sliding => Seat::Sliding,
                    layout::Seat::Hung => Seat::Hung,
                });
            let held_down = beam.held_down.as_ref().is_some_and(|held| held.value);
            let travel = (seat == Seat::Sliding)
                .then(|| beam.travel.as_ref().map(|travel| ***travel))
                .flatten();
            let post = posts.iter().position(|post| post.id == on.on.as_str());
            let (carrier, station) = match (drafts.index(&on.on), post) {
                (Some(anchor), _) => (
                    Carrier::Anchor(anchor),
                    match seat {
                        Seat::Hung => hung_from(drafts, anchor, [start, end])?,
                        _ => {
                            self.over_anchor(beam, on, drafts, anchor, [start, end], timber.width)?
                        }
                    },
                ),
                (None, Some(post)) => (
                    Carrier::Post(post),
                    self.over_post(beam, on, &posts[post], [start, end], timber.width)?,
                ),
                (None, None) => self.over_beam(beam, on, drawn, [start, end])?,
            };
            supports.push(BeamSupport {
                carrier,
                station,
                seat,
                held_down,
                travel,
            });
        }
        supports.sort_by(|a, b| a.station.value.total_cmp(&b.station.value));
        let length = start.distance(end);
        for support in &mut supports {
            if support.station.value < -BESIDE || support.station.value > length.value + BESIDE {
                let by = (-support.station.value).max(support.station.value - length.value);
                let message = format!(
                    "a support of beam {id} lies {:.0} mm beyond its end",
                    by * 1e3
                );
                self.error(
                    Code::Misplaced,
                    beam.id.span,
                    message,
                    "make the line longer, or move the anchor",
                );
                return None;
            }
            support.station = support.station.max(si::metres(0.0)).min(length);
        }
        let seat_rise = beam
            .seat_rise
            .as_ref()
            .map_or_else(|| seat_radius(&supports, drafts), |rise| ***rise);
        let level = self.level_of(
            beam,
            &supports,
            drafts,
            drawn,
            [seat_rise, timber.depth / 2.0],
        );
        Some(Beam {
            id: id.to_owned(),
            start,
            end,
            timber,
            supports,
            seat_rise,
            level,
        })
    }

    /// The level of a beam's axis, from the highest of its anchors or from the beam that carries it. Anchors of it
    /// without a level get the one that it needs.
    fn level_of(
        &mut self,
        beam: &layout::Beam,
        supports: &[BeamSupport],
        drafts: &mut Drafts,
        drawn: &[Beam],
        [seat_rise, half]: [Length; 2],
    ) -> Option<Length> {
        let rise = seat_rise + half;
        let flush = beam
            .set
            .as_ref()
            .is_some_and(|set| set.value == layout::Set::Flush);
        let crossing = if flush {
            Crossing::Flush
        } else {
            Crossing::OnTop
        };
        let bears = |support: &&BeamSupport| support.seat != Seat::Hung;
        let from = |support: &BeamSupport| match support.carrier {
            Carrier::Anchor(anchor) => Some(drafts.0[anchor].level? + rise),
            Carrier::Beam { beam, .. } => {
                let below = &drawn[beam];
                let top = below.level? + below.timber.depth / 2.0;
                Some(match crossing {
                    Crossing::OnTop => top + half,
                    Crossing::Flush => top - half,
                })
            }
            Carrier::Post(_) => None,
        };
        let levels: Vec<Length> = supports.iter().filter(bears).filter_map(from).collect();
        let highest = levels.iter().copied().reduce(Length::max)?;
        let lowest = levels.iter().copied().fold(highest, Length::min);
        if highest - lowest > si::metres(BESIDE) {
            let message = format!(
                "the supports of beam {} differ in level by {:.0} mm; it is taken as level on the highest, packed up on the others",
                beam.id.as_str(),
                (highest - lowest).value * 1e3
            );
            self.assumed(beam.id.span, message, "set its anchors to one level");
        }
        for support in supports.iter().filter(bears) {
            if let Carrier::Anchor(anchor) = support.carrier {
                let draft = &mut drafts.0[anchor];
                draft.level = draft.level.or(Some(highest - rise));
            }
        }
        Some(highest)
    }

    /// The ends of a beam: given, or from its supports and overhangs.
    fn axis(
        &mut self,
        beam: &'a layout::Beam,
        drafts: &Drafts,
        posts: &[Post],
        drawn: &[Beam],
    ) -> Option<(Point, Point)> {
        let id = beam.id.as_str();
        if let Some([a, b]) = &beam.line {
            if let Some(overhang) = &beam.overhang {
                self.error(
                    Code::Conflict,
                    overhang[0].span,
                    "line and overhang are both given",
                    "keep one: the line already has its ends",
                );
                return None;
            }
            return Some((point(a), point(b)));
        }
        let overhang = beam
            .overhang
            .as_ref()
            .map_or([si::metres(0.0); 2], |[a, b]| [***a, ***b]);
        let known: Vec<Point> = beam
            .on
            .iter()
            .filter_map(|on| fixed_place(on, drafts, posts, drawn))
            .collect();
        match (known.as_slice(), &beam.runs) {
            ([only], Some(runs)) => {
                let bearing = match runs.value {
                    Runs::Toward(bearing) => bearing.0,
                    Runs::Out => drafts.0[drafts.index(&beam.on.first()?.on)?].faces,
                };
                Some((
                    only.toward(bearing, -overhang[0]),
                    only.toward(bearing, overhang[1]),
                ))
            }
            ([first, .., last], None) => {
                let bearing = first.bearing(*last);
                Some((
                    first.toward(bearing, -overhang[0]),
                    last.toward(bearing, overhang[1]),
                ))
            }
            ([_, _, ..], Some(runs)) => {
                self.error(
                    Code::Conflict,
                    runs.span,
                    format!("beam {id} has two supports and `runs`"),
                    "leave out runs: its supports give its direction",
                );
                None
            }
            _ => {
                let message = format!("it can not be told where beam {id} lies");
                let mend = "give its line, or arms (or gaps) of two of its anchors, or runs for a beam on one support";
                if !self.has_errors() || beam.on.iter().all(|on| drafts.index(&on.on).is_some()) {
                    self.error(Code::Misplaced, beam.id.span, message, mend);
                }
                None
            }
        }
    }

    /// Station of a beam over an anchor; the arm follows where it is open, and is held to the line where it is given.
    fn over_anchor(
        &mut self,
        beam: &layout::Beam,
        on: &At<Place>,
        drafts: &mut Drafts,
        anchor: usize,
        [start, end]: [Point; 2],
        width: Length,
    ) -> Option<Length> {
        let draft = &mut drafts.0[anchor];
        let surface = draft.at(si::metres(0.0));
        let [bar_east, bar_north] = plan::unit(draft.faces);
        let (from, offset) = surface.along(start, end);
        let along = start.bearing(end);
        let [beam_east, beam_north] = plan::unit(along);
        // How fast a step outward along the bar moves to the right of the beam, and along it.
        let aside = bar_east * beam_north - bar_north * beam_east;
        let ahead = bar_east * beam_east + bar_north * beam_north;
        let arm = match draft.arm {
            Some(arm) => arm,
            None if aside.abs() > PARALLEL => -offset / aside,
            None => {
                let message = format!(
                    "beam {} runs along the bar of anchor {}, which has no arm",
                    beam.id.as_str(),
                    draft.id
                );
                self.error(Code::MissingKey, on.span, message, "give the anchor an arm");
                return None;
            }
        };
        if arm.value < 0.0 {
            let message = format!(
                "beam {} passes {:.0} mm inside the wood surface at anchor {}",
                beam.id.as_str(),
                -arm.value * 1e3,
                draft.id
            );
            self.error(
                Code::Misplaced,
                on.span,
                message,
                "move the beam out, or let the anchor face it",
            );
            return None;
        }
        let miss = (offset + arm * aside).abs();
        if miss.value > width.value / 2.0 + BESIDE {
            let message = format!(
                "beam {} misses the load point of anchor {} by {:.0} mm",
                beam.id.as_str(),
                draft.id,
                miss.value * 1e3
            );
            self.error(
                Code::Misplaced,
                on.span,
                message,
                "move its line, turn the anchor, or leave its arm open so that the line gives it",
            );
            return None;
        }
        if draft.arm.is_none() {
            draft.arm = Some(arm);
        }
        Some(from + arm * ahead)
    }

    /// Station of a beam over a post.
    fn over_post(
        &mut self,
        beam: &layout::Beam,
        on: &At<Place>,
        post: &Post,
        [start, end]: [Point; 2],
        width: Length,
    ) -> Option<Length> {
        let (station, miss) = post.at.along(start, end);
        if miss.abs().value > width.value / 2.0 + BESIDE {
            let message = format!(
                "beam {} misses post {} by {:.0} mm",
                beam.id.as_str(),
                post.id,
                miss.abs().value * 1e3
            );
            self.error(
                Code::Misplaced,
                on.span,
                message,
                "move its line, or the post",
            );
            return None;
        }
        Some(station)
    }

    /// Station of a beam over another beam.
    fn over_beam(
        &mut self,
        beam: &layout::Beam,
        on: &At<Place>,
        drawn: &[Beam],
        [start, end]: [Point; 2],
    ) -> Option<(Carrier, Length)> {
        let index = drawn.iter().position(|other| other.id == on.on.as_str())?;
        let carrier = &drawn[index];
        let station = match on.along {
            Along::At(distance) => *distance,
            Along::Start => si::metres(0.0),
            Along::End => carrier.length(),
            Along::Crossing => match crossing([start, end], [carrier.start, carrier.end]) {
                Some(station) => station,
                None => {
                    let message = format!(
                        "beams {} and {} are parallel and do not cross",
                        beam.id.as_str(),
                        carrier.id
                    );
                    self.error(
                        Code::Misplaced,
                        on.span,
                        message,
                        format!("write \"{} at 4 ft\"", carrier.id),
                    );
                    return None;
                }
            },
        };
        if station.value < -BESIDE || station > carrier.length() + si::metres(BESIDE) {
            let message = format!(
                "{:.3} m is beyond the ends of {}, which is {:.3} m long",
                station.value,
                carrier.id,
                carrier.length().value
            );
            self.error(
                Code::Misplaced,
                on.span,
                message,
                "give a place within its length",
            );
            return None;
        }
        let (own, miss) = carrier.at(station).along(start, end);
        if miss.abs().value > carrier.timber.width.value / 2.0 + BESIDE {
            let message = format!(
                "beam {} misses that place on {} by {:.0} mm",
                beam.id.as_str(),
                carrier.id,
                miss.abs().value * 1e3
            );
            self.error(
                Code::Misplaced,
                on.span,
                message,
                "move its line, or name the place where they cross",
            );
            return None;
        }
        Some((
            Carrier::Beam {
                beam: index,
                station,
            },
            own,
        ))
    }
}

/// Where a hanger meets a beam: as near as may be below its anchor, of which the arm must be given; it may slope.
fn hung_from(drafts: &Drafts, anchor: usize, [start, end]: [Point; 2]) -> Option<Length> {
    let draft = &drafts.0[anchor];
    let (station, _) = draft.at(draft.arm?).along(start, end);
    Some(station.max(si::metres(0.0)).min(start.distance(end)))
}

/// Where nothing is said the beam lies on top of the bar: its boss is half its diameter high (common practice, no source).
fn seat_radius(supports: &[BeamSupport], drafts: &Drafts) -> Length {
    let bosses = supports.iter().filter_map(|support| match support.carrier {
        Carrier::Anchor(anchor) => Some(drafts.0[anchor].size.boss.bears / 2.0),
        _ => None,
    });
    bosses.fold(si::metres(0.0), Length::max)
}

/// Whether a beam carries itself by way of others.
fn in_ring(beams: &[layout::Beam], beam: &layout::Beam) -> bool {
    let below =
        |one: &layout::Beam, other: &layout::Beam| one.on.iter().any(|on| on.on == other.id.value);
    let mut reached = vec![beam];
    let mut next = 0;
    while let Some(one) = reached.get(next).copied() {
        for other in beams.iter().filter(|other| below(one, other)) {
            if other.id.value == beam.id.value {
                return true;
            }
            if !reached.iter().any(|known| known.id.value == other.id.value) {
                reached.push(other);
            }
        }
        next += 1;
    }
    false
}

/// A support whose place in plan does not wait for this beam.
fn fixed_place(on: &At<Place>, drafts: &Drafts, posts: &[Post], drawn: &[Beam]) -> Option<Point> {
    if let Some(post) = posts.iter().find(|post| post.id == on.on.as_str()) {
        return Some(post.at);
    }
    if let Some(anchor) = drafts.index(&on.on) {
        let draft = &drafts.0[anchor];
        return draft.arm.map(|arm| draft.at(arm));
    }
    let carrier = drawn.iter().find(|beam| beam.id == on.on.as_str())?;
    match on.along {
        Along::At(distance) => Some(carrier.at(*distance)),
        Along::Start => Some(carrier.start),
        Along::End => Some(carrier.end),
        Along::Crossing => None,
    }
}

/// Where one line crosses another, along the second.
fn crossing([a, b]: [Point; 2], [c, d]: [Point; 2]) -> Option<Length> {
    let (start, rise) = (c.along(a, b), d.along(a, b));
    let turn = rise.1 - start.1;
    let length = c.distance(d);
    ((turn / length).value.abs() > PARALLEL).then(|| length * (-start.1 / turn).value)
}
