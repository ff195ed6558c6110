//! The elastic bar of an anchor at one bound of the foundation, and what a demand does along it.

use crate::mechanics::MechanicsError;
use crate::mechanics::foundation::{BarSolution, ClearanceBar, ClearanceResponse, Side, UnitState};
use crate::model::{Anchor, Bound, Plane, Segment, Stem};
use crate::units::{Length, Moment, si};
use serde::Serialize;
use std::rc::Rc;

/// Intervals in which each piece is looked through before the largest is refined. A piece is a few λ⁻¹ long, so that
/// no peak hides between two of these places.
pub(crate) const INTERVALS: usize = 16;
/// Parabola steps after that, at most.
const REFINEMENTS: usize = 8;
/// A step that changes the largest by this share of it is the last (1): the next would change it by far less, and no
/// printed digit.
const REFINED: f64 = 1e-11;
/// Between two of these places nothing rises by a fifth: a piece whose best place is below that share of the largest of
/// all places is not refined.
pub(crate) const BETWEEN: f64 = 0.8;
/// A peak between two of these places rises above them by less than this leaves of the largest: every place that is
/// higher than both beside it, and this near to the largest, is climbed from, since another peak may be the higher one.
const NEARLY: f64 = 0.95;
/// Halvings of the first interval from an end of a range in search of a peak next to it: down to a sixtieth of it.
const HALVINGS: usize = 6;
/// The share of that interval at which it is tried whether anything rises from the end at all: that of the last halving.
const CLOSE: f64 = 1.0 / 64.0;

/// A piece of the bar between two places, x from the sound wood inward.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    /// Its outer end (m).
    pub(super) from: f64,
    /// Its inner end (m).
    pub(super) to: f64,
    /// Its section.
    pub(super) segment: Segment,
    /// Whether it is in the wood.
    pub(super) inside: bool,
    /// Per unit load, at equal distances from end to end.
    samples: [Acting; INTERVALS + 1],
}

impl Piece {
    fn place(&self, i: usize) -> f64 {
        match i {
            INTERVALS => self.to,
            _ => self.from + (self.to - self.from) * (i as f64 / INTERVALS as f64),
        }
    }
}

/// Part of the shank over which bearing is averaged, wherever it begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Window {
    /// Where it begins first (m).
    pub(super) low: f64,
    /// Where it begins last (m).
    pub(super) high: f64,
    /// Its length (m).
    pub(super) length: f64,
}

/// What acts at one place of the bar: down and side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Acting {
    /// Bending (N·m).
    pub(super) moment: [f64; 2],
    /// Shear (N).
    pub(super) shear: [f64; 2],
    /// Bearing pressure (Pa).
    pub(super) pressure: [f64; 2],
}

/// What acts where nothing does.
const NOTHING: [Acting; INTERVALS + 1] = [Acting {
    moment: [0.0; 2],
    shear: [0.0; 2],
    pressure: [0.0; 2],
}; INTERVALS + 1];

impl Acting {
    /// Takes what acts in one plane.
    fn set(&mut self, plane: usize, state: &UnitState) {
        self.moment[plane] = state.moment;
        self.shear[plane] = state.shear;
        self.pressure[plane] = state.bearing_pressure;
    }

    fn of(down: &UnitState, side: &UnitState) -> Self {
        Self {
            moment: [down.moment, side.moment],
            shear: [down.shear, side.shear],
            pressure: [down.bearing_pressure, side.bearing_pressure],
        }
    }

    fn times(&self, [down, side]: [f64; 2]) -> Self {
        let scaled = |of: &[f64; 2]| [down * of[0], side * of[1]];
        Self {
            moment: scaled(&self.moment),
            shear: scaled(&self.shear),
            pressure: scaled(&self.pressure),
        }
    }
}

/// The vector sum of both planes.
pub(crate) fn both([down, side]: [f64; 2]) -> f64 {
    (down * down + side * side).sqrt()
}

/// The largest of something along the bar, and where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Peak {
    pub(super) value: f64,
    /// The place (m).
    pub(super) x: f64,
    /// The piece, by its index.
    pub(super) piece: usize,
}

/// The elastic bar at one bound.
#[derive(Debug, Clone)]
pub(super) struct Elastic {
    pub(super) bound: Bound,
    /// Down and side.
    snug: [BarSolution; 2],
    /// The same with the boss loose in its counterbore; none without clearance, boss in sound wood, or shank: a bar of
    /// one piece fills its hole.
    loose: Option<[ClearanceBar; 2]>,
    pub(super) pieces: Vec<Piece>,
    /// Where the shank's mean bearing is looked for; none without a shank.
    pub(super) window: Option<Window>,
    /// What the wood takes over the window per unit load, at equal distances (N).
    taken: [[f64; 2]; INTERVALS + 1],
}

impl Elastic {
    /// Solves the bar in both planes; the boss has this radial clearance.
    pub(super) fn new(
        anchor: &Anchor,
        stem: &Stem,
        bound: Bound,
        clearance: Length,
    ) -> Result<Self, MechanicsError> {
        let bars = [
            anchor.bar(stem, Plane::Along, bound)?,
            anchor.bar(stem, Plane::Across, bound)?,
        ];
        let snug = [bars[0].solve()?, bars[1].solve()?];
        let stepped = anchor.sound_boss(stem).value > 0.0 && !anchor.size.shank.is_empty();
        let loose = if clearance.value > 0.0 && stepped {
            Some([
                bars[0].with_clearance(clearance)?,
                bars[1].with_clearance(clearance)?,
            ])
        } else {
            None
        };
        let mut solved = Self {
            bound,
            snug,
            loose,
            pieces: Vec::new(),
            window: window(anchor, stem),
            taken: [[0.0; 2]; INTERVALS + 1],
        };
        let mut from = -anchor.sound_arm(stem).value;
        for (inside, segments) in [(false, anchor.outside(stem)), (true, anchor.inside(stem))] {
            if inside {
                from = 0.0;
            }
            for segment in segments {
                let mut piece = Piece {
                    from,
                    to: from + segment.length.value,
                    segment,
                    inside,
                    samples: NOTHING,
                };
                for (plane, bar) in solved.snug.iter().enumerate() {
                    let (from, to) = (si::metres(piece.from), si::metres(piece.to));
                    bar.unit_force_along(from, to, INTERVALS, |i, state| {
                        piece.samples[i].set(plane, &state);
                    })?;
                }
                from = piece.to;
                solved.pieces.push(piece);
            }
        }
        if let Some(window) = solved.window {
            for (plane, bar) in solved.snug.iter().enumerate() {
                for [from, to, sign] in window.ends() {
                    let (from, to) = (si::metres(from), si::metres(to));
                    bar.unit_force_along(from, to, INTERVALS, |i, state| {
                        solved.taken[i][plane] += sign * state.shear;
                    })?;
                }
            }
        }
        Ok(solved)
    }

    /// Whether its boss has clearance.
    pub(super) fn is_loose(&self) -> bool {
        self.loose.is_some()
    }

    /// Deflection of the load point per newton, down and side, of the snug bar (m/N).
    pub(super) fn flexibility(&self) -> [f64; 2] {
        [0, 1].map(|plane: usize| self.snug[plane].load_point_flexibility()[0][0])
    }

    /// What unit loads do at a place.
    fn unit(&self, x: f64, side: Side) -> Result<Acting, MechanicsError> {
        let x = si::metres(x);
        Ok(Acting::of(
            &self.snug[0].unit_force_state(x, side)?,
            &self.snug[1].unit_force_state(x, side)?,
        ))
    }

    /// What the foundation takes from a place on, over a length, per unit load: the shear that leaves the bar (N).
    fn unit_taken(&self, from: f64, length: f64) -> Result<[f64; 2], MechanicsError> {
        let (outer, inner) = (
            self.unit(from, Side::Inner)?,
            self.unit(from + length, Side::Outer)?,
        );
        Ok([
            outer.shear[0] - inner.shear[0],
            outer.shear[1] - inner.shear[1],
        ])
    }
}

impl Window {
    /// The ranges over which its two ends move, each with the sign of the shear there in what the wood takes.
    fn ends(&self) -> [[f64; 3]; 2] {
        [
            [self.low, self.high, 1.0],
            [self.low + self.length, self.high + self.length, -1.0],
        ]
    }

    fn place(&self, i: usize) -> f64 {
        match i {
            INTERVALS => self.high,
            _ => self.low + (self.high - self.low) * (i as f64 / INTERVALS as f64),
        }
    }
}

fn window(anchor: &Anchor, stem: &Stem) -> Option<Window> {
    let diameter = anchor.size.shank.first()?.bears.value;
    let low = anchor.sound_boss(stem).value.max(0.0);
    let end = anchor.sound_length(stem).value;
    let length = diameter.min(end - low);
    Some(Window {
        low,
        high: end - length,
        length,
    })
}

/// How the boss sits in its counterbore.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fit {
    /// It touches all round.
    Snug,
    /// It has the radial clearance of the criteria.
    Loose,
}

/// The bar under one demand, at one bound and one fit of the boss. Loads count by their size: the bar is the same either way.
#[derive(Debug, Clone)]
pub(super) struct State<'a> {
    pub(super) elastic: &'a Elastic,
    load: [f64; 2],
    loose: Option<Loose>,
}

#[derive(Debug, Clone)]
struct Loose {
    planes: [Rc<LoosePlane>; 2],
}

/// One plane of the bar with its boss loose, under the load in that plane.
#[derive(Debug)]
struct LoosePlane {
    response: ClearanceResponse,
    /// By piece: what acts at equal distances from end to end; empty where only the load point is looked at.
    samples: Vec<[UnitState; INTERVALS + 1]>,
    /// What the wood takes over the window, at equal distances (N).
    taken: [f64; INTERVALS + 1],
}

impl<'a> State<'a> {
    /// The bar with its boss snug in the counterbore.
    pub(super) fn snug(elastic: &'a Elastic, [down, side]: [f64; 2]) -> Self {
        Self {
            elastic,
            load: [down.abs(), side.abs()],
            loose: None,
        }
    }

    /// The bar with its boss loose in the counterbore, looked at `along` the bar or at the load point alone; none where
    /// there is no clearance. A state of the same bar, looked at alike, helps to find it sooner; a plane under the same
    /// load is shared.
    pub(super) fn loose(
        elastic: &'a Elastic,
        load: [f64; 2],
        along: bool,
        near: Option<&Self>,
    ) -> Result<Option<Self>, MechanicsError> {
        let Some(bars) = &elastic.loose else {
            return Ok(None);
        };
        let mut state = Self::snug(elastic, load);
        let near = near.and_then(|near| Some((near.load, near.loose.as_ref()?)));
        let of = |plane: usize| {
            let load = state.load[plane];
            match near {
                Some((near, loose)) if near[plane].total_cmp(&load).is_eq() => {
                    Ok(Rc::clone(&loose.planes[plane]))
                }
                _ => {
                    let near = near.map(|(_, loose)| &loose.planes[plane].response);
                    let response =
                        bars[plane].respond_near(si::newtons(load), Moment::default(), near)?;
                    LoosePlane::new(response, elastic, along).map(Rc::new)
                }
            }
        };
        let planes = [of(0)?, of(1)?];
        state.loose = Some(Loose { planes });
        Ok(Some(state))
    }

    /// How the boss sits.
    pub(super) fn fit(&self) -> Fit {
        if self.loose.is_some() {
            Fit::Loose
        } else {
            Fit::Snug
        }
    }

    /// Deflection of the load point (m).
    pub(super) fn deflection(&self) -> f64 {
        match &self.loose {
            Some(loose) => both(
                loose
                    .planes
                    .each_ref()
                    .map(|plane| plane.response.load_point_deflection().value),
            ),
            None => {
                let [down, side] = self.elastic.flexibility();
                both([self.load[0] * down, self.load[1] * side])
            }
        }
    }

    /// What acts at a place.
    pub(super) fn at(&self, x: f64, side: Side) -> Result<Acting, MechanicsError> {
        match &self.loose {
            Some(loose) => loose.at(x, side),
            None => Ok(self.elastic.unit(x, side)?.times(self.load)),
        }
    }

    /// What the wood takes from a place on, over a length: down and side (N).
    pub(super) fn taken(&self, from: f64, length: f64) -> Result<[f64; 2], MechanicsError> {
        match &self.loose {
            Some(loose) => loose.taken(from, length),
            None => {
                let [down, side] = self.elastic.unit_taken(from, length)?;
                Ok([self.load[0] * down, self.load[1] * side])
            }
        }
    }

    /// What acts along the bar, at equal distances on each piece from end to end: a place of a step comes twice.
    pub(super) fn along(&self) -> impl Iterator<Item = (f64, Acting)> {
        let pieces = self.elastic.pieces.iter().enumerate();
        pieces.flat_map(move |(index, piece)| {
            (0..=INTERVALS).map(move |i| (piece.place(i), self.sample(index, i)))
        })
    }

    fn sample(&self, piece: usize, i: usize) -> Acting {
        match &self.loose {
            Some(loose) => {
                let [down, side] = &loose.planes;
                Acting::of(&down.samples[piece][i], &side.samples[piece][i])
            }
            None => self.elastic.pieces[piece].samples[i].times(self.load),
        }
    }

    /// The largest value of `f`, given a piece's index and what acts at a place of it, over the pieces that `pick`
    /// takes; none if it takes none.
    pub(super) fn largest(
        &self,
        pick: impl Fn(&Piece) -> bool,
        f: impl Fn(usize, &Acting) -> f64,
    ) -> Result<Option<Peak>, MechanicsError> {
        let mut largest: Option<Peak> = None;
        let mut looked: Vec<(usize, [f64; INTERVALS + 1])> =
            Vec::with_capacity(self.elastic.pieces.len());
        let mut offer = |value: f64, x: f64, piece: usize| {
            if largest.is_none_or(|peak| value > peak.value) {
                largest = Some(Peak { value, x, piece });
            }
        };
        let all = self.elastic.pieces.iter().enumerate();
        for (index, piece) in all.filter(|(_, piece)| pick(piece)) {
            let value = |i: usize| f(index, &self.sample(index, i));
            if piece.inside {
                let values: [f64; INTERVALS + 1] = std::array::from_fn(value);
                for (i, value) in values.iter().enumerate() {
                    offer(*value, piece.place(i), index);
                }
                looked.push((index, values));
            } else {
                // Outside the wood everything is largest at an end: a vector sum of linear moments is convex.
                for i in [0, INTERVALS] {
                    offer(value(i), piece.place(i), index);
                }
            }
        }
        let Some(found) = largest else {
            return Ok(None);
        };
        for (index, values) in looked {
            let best = values.iter().copied().fold(f64::MIN, f64::max);
            if best >= BETWEEN * found.value {
                let piece = &self.elastic.pieces[index];
                let at = |x: f64| Ok(f(index, &self.at(x, Side::Outer)?));
                let (x, value) = climb(|i| piece.place(i), &values, at)?;
                if largest.is_none_or(|peak| value > peak.value) {
                    largest = Some(Peak {
                        value,
                        x,
                        piece: index,
                    });
                }
            }
        }
        Ok(largest)
    }

    /// The largest value of `f`, given what the wood takes over the window wherever it begins; none without a shank.
    pub(super) fn largest_taken(
        &self,
        f: impl Fn([f64; 2]) -> f64,
    ) -> Result<Option<Peak>, MechanicsError> {
        let Some(window) = self.elastic.window else {
            return Ok(None);
        };
        let mut values = [0.0; INTERVALS + 1];
        for (i, value) in values.iter_mut().enumerate() {
            let taken = match &self.loose {
                Some(loose) => loose.planes.each_ref().map(|plane| plane.taken[i]),
                None => [0, 1].map(|plane| self.load[plane] * self.elastic.taken[i][plane]),
            };
            *value = f(taken);
        }
        let (x, value) = if window.high > window.low {
            let at = |x: f64| Ok(f(self.taken(x, window.length)?));
            climb(|i| window.place(i), &values, at)?
        } else {
            (window.low, values[0])
        };
        Ok(Some(Peak { value, x, piece: 0 }))
    }
}

impl LoosePlane {
    fn new(
        response: ClearanceResponse,
        elastic: &Elastic,
        along: bool,
    ) -> Result<Self, MechanicsError> {
        let mut plane = Self {
            response,
            samples: Vec::new(),
            taken: [0.0; INTERVALS + 1],
        };
        if along {
            plane.look(elastic)?;
        }
        Ok(plane)
    }

    /// Takes samples along the bar.
    fn look(&mut self, elastic: &Elastic) -> Result<(), MechanicsError> {
        self.samples = vec![[UnitState::default(); INTERVALS + 1]; elastic.pieces.len()];
        for (piece, row) in elastic.pieces.iter().zip(&mut self.samples) {
            let (from, to) = (si::metres(piece.from), si::metres(piece.to));
            self.response
                .along(from, to, INTERVALS, |i, state| row[i] = state)?;
        }
        for [from, to, sign] in elastic.window.iter().flat_map(Window::ends) {
            let (from, to) = (si::metres(from), si::metres(to));
            let taken = &mut self.taken;
            self.response.along(from, to, INTERVALS, |i, state| {
                taken[i] += sign * state.shear;
            })?;
        }
        Ok(())
    }
}

impl Loose {
    fn at(&self, x: f64, side: Side) -> Result<Acting, MechanicsError> {
        let x = si::metres(x);
        let [down, side] = [
            self.planes[0].response.unit_state(x, side)?,
            self.planes[1].response.unit_state(x, side)?,
        ];
        Ok(Acting::of(&down, &side))
    }

    fn taken(&self, from: f64, length: f64) -> Result<[f64; 2], MechanicsError> {
        let (outer, inner) = (
            self.at(from, Side::Inner)?,
            self.at(from + length, Side::Outer)?,
        );
        Ok([
            outer.shear[0] - inner.shear[0],
            outer.shear[1] - inner.shear[1],
        ])
    }
}

/// The largest of a function known at equal distances, and its place: from the best of these, and from others nearly as
/// high, by parabolas.
pub(crate) fn climb(
    place: impl Fn(usize) -> f64,
    values: &[f64; INTERVALS + 1],
    f: impl Fn(f64) -> Result<f64, MechanicsError>,
) -> Result<(f64, f64), MechanicsError> {
    let at = |i: usize| (place(i), values[i]);
    let most = values.iter().copied().fold(f64::MIN, f64::max);
    let mut top = (place(0), f64::MIN);
    for i in 0..=INTERVALS {
        let (before, after) = (i.checked_sub(1), values.get(i + 1));
        let rises = before.is_none_or(|k| values[k] < values[i]);
        let falls = after.is_none_or(|after| *after <= values[i]);
        if !(rises && falls && values[i] >= NEARLY * most) {
            continue;
        }
        let found = match i {
            0 => beside_end(at(0), at(1), &f)?,
            INTERVALS => beside_end(at(INTERVALS), at(INTERVALS - 1), &f)?,
            _ => refine([at(i - 1), at(i), at(i + 1)], &f)?,
        };
        if found.1 > top.1 {
            top = found;
        }
    }
    Ok(top)
}

/// Where an end is the highest of the places, the function may still rise from there before it falls: then it is higher
/// close to the end already, and the halves of the way to there find a place from which to climb.
fn beside_end(
    end: (f64, f64),
    mut next: (f64, f64),
    f: &impl Fn(f64) -> Result<f64, MechanicsError>,
) -> Result<(f64, f64), MechanicsError> {
    let close = end.0 + (next.0 - end.0) * CLOSE;
    if f(close)? <= end.1 {
        return Ok(end);
    }
    for _ in 0..HALVINGS {
        let x = f64::midpoint(end.0, next.0);
        let middle = (x, f(x)?);
        if middle.1 > end.1 {
            let mut three = [end, middle, next];
            three.sort_by(|a, b| a.0.total_cmp(&b.0));
            return refine(three, f);
        }
        next = middle;
    }
    Ok(end)
}

/// Climbs by parabolas through three places of which the middle one is highest.
fn refine(
    three: [(f64, f64); 3],
    f: &impl Fn(f64) -> Result<f64, MechanicsError>,
) -> Result<(f64, f64), MechanicsError> {
    let (mut x, mut y) = (three.map(|place| place.0), three.map(|place| place.1));
    for _ in 0..REFINEMENTS {
        let (left, right) = (x[1] - x[0], x[2] - x[1]);
        let (rise, fall) = ((y[1] - y[0]) / left, (y[2] - y[1]) / right);
        let curvature = fall - rise;
        if curvature >= 0.0 {
            break;
        }
        let step = -(rise * right + fall * left) / (2.0 * curvature);
        let top = (x[1] + step).clamp(x[0], x[2]);
        let value = f(top)?;
        let change = (value - y[1]).abs();
        // The higher of the two stays in the middle, the lower becomes the end on its side.
        (x, y) = match (value > y[1], top > x[1]) {
            (true, true) => ([x[1], top, x[2]], [y[1], value, y[2]]),
            (true, false) => ([x[0], top, x[1]], [y[0], value, y[1]]),
            (false, true) => ([x[0], x[1], top], [y[0], y[1], value]),
            (false, false) => ([top, x[1], x[2]], [value, y[1], y[2]]),
        };
        if change <= REFINED * y[1] || x[0] >= x[1] || x[1] >= x[2] {
            break;
        }
    }
    Ok((x[1], y[1]))
}
