//! One anchor, ready to be judged again and again: its bar, its wood and its loads with other values each time, through
//! the mechanics of the checks, without a safety factor, a table or a string on the way.
//!
//! It is laid once ([`Bar::new`]); [`Bar::set`] gives it the values of a draw, [`Bar::uses`] what its limit states come to
//! under some loads. Nothing is allocated after the first draw. The boss sits snug in its counterbore.

use crate::checks::{BETWEEN, INTERVALS, both, climb};
use crate::mechanics::foundation::{
    BarSegment, BarSolution, BeamTheory, FoundationBar, Side, UnitState,
};
use crate::mechanics::mechanism::{PlasticBar, PlasticSegment};
use crate::mechanics::withdrawal::{LAG_DIAMETERS, combined_lateral_withdrawal, lag_withdrawal};
use crate::mechanics::{MechanicsError, embedment, eurocode5, round_bar};
use crate::model::{Anchor, Basis, Criteria, LimitState, Plane, SafetyFormat, Segment, Stem, plan};
use crate::units::{Length, Moment, Stress, si};

/// Limit states of strength, those of collapse before those of damage.
pub(super) const STRENGTHS: [LimitState; 12] = [
    LimitState::LimitLoad,
    LimitState::SteelShear,
    LimitState::Splitting,
    LimitState::Withdrawal,
    LimitState::PullAndSide,
    LimitState::BossBearing,
    LimitState::ShankBearing,
    LimitState::FirstCrushing,
    LimitState::Push,
    LimitState::SteelBendingBarkLine,
    LimitState::SteelBendingEmbedded,
    LimitState::SteelInteraction,
];
/// How many of them are of collapse.
pub(super) const COLLAPSES: usize = 5;

/// Demand over resistance of each limit state (1); zero without a demand.
pub(super) type Uses = [f64; STRENGTHS.len()];

/// Places of limit states in [`STRENGTHS`].
mod at {
    pub(super) const LIMIT_LOAD: usize = 0;
    pub(super) const SHEAR: usize = 1;
    pub(super) const SPLITTING: usize = 2;
    pub(super) const WITHDRAWAL: usize = 3;
    pub(super) const PULL_AND_SIDE: usize = 4;
    pub(super) const BOSS: usize = 5;
    pub(super) const SHANK: usize = 6;
    pub(super) const CRUSHING: usize = 7;
    pub(super) const PUSH: usize = 8;
    pub(super) const BARK_LINE: usize = 9;
    pub(super) const BENDING: usize = 10;
    pub(super) const INTERACTION: usize = 11;
}

/// The values of one draw: what multiplies (1), and what adds to dimensions (m, rad).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Draw {
    pub(super) crushing: f64,
    pub(super) across: f64,
    pub(super) gravity: f64,
    pub(super) splitting: f64,
    pub(super) duration: f64,
    pub(super) foundation: f64,
    pub(super) yield_strength: f64,
    pub(super) depth: f64,
    pub(super) bark: f64,
    pub(super) arm: f64,
    pub(super) tilt: f64,
    pub(super) bearing_model: f64,
    pub(super) steel_model: f64,
    pub(super) withdrawal_model: f64,
}

impl Draw {
    /// Every value as the checks take it.
    pub(super) const NOMINAL: Self = Self {
        crushing: 1.0,
        across: 1.0,
        gravity: 1.0,
        splitting: 1.0,
        duration: 1.0,
        foundation: 1.0,
        yield_strength: 1.0,
        depth: 0.0,
        bark: 0.0,
        arm: 0.0,
        tilt: 0.0,
        bearing_model: 1.0,
        steel_model: 1.0,
        withdrawal_model: 1.0,
    };
}

/// A load on an anchor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Force {
    /// Down, along a1 (N).
    pub(super) down: f64,
    /// Sideways (N).
    pub(super) side: f64,
    /// Out along the bar (N).
    pub(super) out: f64,
    /// Place of its duration factor among those that the bar was laid for.
    pub(super) duration: usize,
}

impl Force {
    /// What both loads do together, of what one newton of each does, as vectors.
    fn of(&self, each: &[f64; 2]) -> f64 {
        both([self.down * each[0], self.side * each[1]])
    }

    fn across(&self) -> f64 {
        both([self.down, self.side])
    }
}

/// How a bar is looked along.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Look {
    /// From samples, with a parabola through the highest of them: some thousandths of the truth.
    Quick,
    /// As the checks look.
    #[cfg_attr(
        not(test),
        expect(dead_code, reason = "what the quick look is held against")
    )]
    Fine,
}

/// (a·x)² + (b·y)².
fn square_sum([a, b]: [f64; 2], [x, y]: [f64; 2]) -> f64 {
    let (one, other) = (a * x, b * y);
    one * one + other * other
}

/// Takes the largest root of values known at equal distances, if it is larger than what is there; where they are smooth,
/// of the parabola through the highest value and those beside it.
fn offer(most: &mut f64, squares: &[f64; INTERVALS + 1], smooth: bool) {
    let mut best = 0;
    for (i, square) in squares.iter().enumerate() {
        if *square > squares[best] {
            best = i;
        }
    }
    let mut top = squares[best];
    if top <= *most * *most * NEARLY {
        return;
    }
    if smooth && best > 0 && best < INTERVALS {
        let (before, after) = (squares[best - 1], squares[best + 1]);
        let curvature = 2.0 * top - before - after;
        if curvature > 0.0 {
            let slope = after - before;
            top += slope * slope / (8.0 * curvature);
        }
    }
    *most = most.max(top.sqrt());
}

/// Between two samples the square of nothing rises by so much (1).
const NEARLY: f64 = 0.8;

/// A section of the bar and what it is made of.
#[derive(Debug, Clone, Copy)]
struct Stock {
    resists: Length,
    bears: Length,
    modulus: Stress,
    yield_strength: Stress,
}

impl Stock {
    fn of(segment: &Segment) -> Self {
        Self {
            resists: segment.resists,
            bears: segment.bears,
            modulus: segment.steel.modulus,
            yield_strength: segment.steel.yield_strength,
        }
    }
}

/// What is given and does not change from draw to draw.
#[derive(Debug, Clone)]
struct Given {
    boss: Stock,
    boss_length: Length,
    shank: Vec<(Stock, Length)>,
    /// Arm from sound wood, and boss in it, as drawn (m).
    arm: f64,
    sound_boss: f64,
    /// Radius of sound wood (m).
    radius: f64,
    /// Level part of the grain along the bar's heading, and its plumb part (1); tilt of the bar (rad).
    grain: [f64; 2],
    tilt: f64,
    crushing: Stress,
    across: Stress,
    foundation: Stress,
    gravity: f64,
    embedment_share: f64,
    basis: Basis,
    dowel_wet: f64,
    withdrawal_wet: f64,
    /// Whether load duration enters withdrawal.
    withdrawal_duration: bool,
    rod: bool,
    thread: Length,
    largest_bearing: Length,
}

/// One piece of the bar as a draw lays it.
#[derive(Debug, Clone, Copy)]
struct Piece {
    from: f64,
    to: f64,
    inside: bool,
    stock: Stock,
    /// What the section bears: bending (N·m), shear and pull (N).
    moment: f64,
    shear: f64,
    pull: f64,
    stations: [Station; INTERVALS + 1],
}

impl Piece {
    fn place(&self, i: usize) -> f64 {
        match i {
            INTERVALS => self.to,
            _ => self.from + (self.to - self.from) * (i as f64 / INTERVALS as f64),
        }
    }

    /// Outside the wood everything is largest at an end.
    fn step(&self) -> usize {
        if self.inside { 1 } else { INTERVALS }
    }
}

/// What unit loads, down and side, do at one place: bending (N·m), shear (N), pressure (Pa).
#[derive(Debug, Clone, Copy, Default)]
struct Station {
    moment: [f64; 2],
    shear: [f64; 2],
    pressure: [f64; 2],
}

impl Station {
    fn set(&mut self, plane: usize, state: &UnitState) {
        self.moment[plane] = state.moment;
        self.shear[plane] = state.shear;
        self.pressure[plane] = state.bearing_pressure;
    }
}

/// Wood strengths and limit loads under one duration factor.
#[derive(Debug, Clone, Copy, Default)]
struct Row {
    duration: f64,
    /// Bearing strength on the down axis (Pa).
    along: f64,
    /// Limit load down (N).
    limit: f64,
}

/// Where the mean bearing of the shank is looked for (m), and what the wood takes there per unit load.
#[derive(Debug, Clone, Copy, Default)]
struct Window {
    low: f64,
    high: f64,
    length: f64,
    taken: [[f64; 2]; INTERVALS + 1],
}

impl Window {
    fn place(&self, i: usize) -> f64 {
        match i {
            INTERVALS => self.high,
            _ => self.low + (self.high - self.low) * (i as f64 / INTERVALS as f64),
        }
    }
}

/// The anchor with the values of a draw.
#[derive(Debug, Clone)]
pub(super) struct Bar {
    given: Given,
    draw: Draw,
    pieces: Vec<Piece>,
    arm_segments: Vec<BarSegment>,
    wood_segments: Vec<BarSegment>,
    plastic: [Vec<PlasticSegment>; 2],
    yielding: PlasticBar,
    elastic: FoundationBar,
    solved: [BarSolution; 2],
    rows: Vec<Row>,
    /// Strength across the grain (Pa), limit load sideways (N).
    across: f64,
    limit_across: f64,
    /// Boss in sound wood (m).
    boss: f64,
    window: Option<Window>,
    /// What the wood may take of a pull, a push and a side load, before their duration (N).
    withdrawal: f64,
    ring: f64,
    splitting: f64,
    bark_line: f64,
}

/// An arm or depth is never less than this (m): a tenth of a millimetre.
const LEAST: f64 = 1e-4;

impl Bar {
    /// Lays the bar of an anchor with nominal values, for loads of these duration factors (1).
    pub(super) fn new(
        anchor: &Anchor,
        stem: &Stem,
        criteria: &Criteria,
        durations: &[f64],
    ) -> Result<Self, MechanicsError> {
        let given = Given::new(anchor, stem, criteria);
        let mut bar = Self {
            elastic: anchor.bar(stem, Plane::Along, crate::model::Bound::Central)?,
            solved: [Plane::Along, Plane::Across].map(|_| BarSolution::empty()),
            given,
            draw: Draw::NOMINAL,
            pieces: Vec::new(),
            arm_segments: Vec::new(),
            wood_segments: Vec::new(),
            plastic: [Vec::new(), Vec::new()],
            yielding: PlasticBar::default(),
            rows: durations
                .iter()
                .map(|duration| Row {
                    duration: *duration,
                    ..Row::default()
                })
                .collect(),
            across: 0.0,
            limit_across: 0.0,
            boss: 0.0,
            window: None,
            withdrawal: 0.0,
            ring: 0.0,
            splitting: 0.0,
            bark_line: 0.0,
        };
        bar.set(&Draw::NOMINAL)?;
        Ok(bar)
    }

    /// Gives the bar the values of a draw.
    pub(super) fn set(&mut self, draw: &Draw) -> Result<(), MechanicsError> {
        self.draw = *draw;
        self.lay()?;
        self.strengths()?;
        self.solve()?;
        self.pulls()
    }

    /// The pieces from the load point inward, and what their sections bear.
    fn lay(&mut self) -> Result<(), MechanicsError> {
        let (given, draw) = (&self.given, &self.draw);
        // What is measured from the outside of the bark moves with its thickness.
        let arm = (given.arm + draw.arm + draw.bark).max(LEAST);
        let boss = given.sound_boss + draw.depth - draw.bark;
        let outside = (given.boss_length.value - boss).max(0.0).min(arm);
        let beyond = given.shank.first().map_or(given.boss, |(stock, _)| *stock);
        self.boss = boss;
        self.pieces.clear();
        let mut from = -arm;
        let mut add = |stock: Stock, length: f64, inside: bool| {
            if length > 0.0 {
                self.pieces.push(Piece {
                    from,
                    to: from + length,
                    inside,
                    stock,
                    moment: 0.0,
                    shear: 0.0,
                    pull: 0.0,
                    stations: [Station::default(); INTERVALS + 1],
                });
                from += length;
            }
        };
        add(beyond, arm - outside, false);
        add(given.boss, outside, false);
        add(given.boss, boss, true);
        for (stock, length) in &given.shank {
            add(*stock, length.value, true);
        }
        for piece in &mut self.pieces {
            let d = piece.stock.resists;
            let strength = piece.stock.yield_strength * (draw.yield_strength * draw.steel_model);
            let area = round_bar::area(d)?;
            piece.moment = round_bar::nominal_moment(strength, d)?.value;
            piece.shear = round_bar::nominal_shear(strength, area)?.value;
            piece.pull = (area * strength).value;
        }
        let touches = |piece: &&Piece| piece.from.abs() < 1e-12 || piece.to.abs() < 1e-12;
        self.bark_line = self
            .pieces
            .iter()
            .filter(touches)
            .map(|piece| piece.moment)
            .fold(f64::INFINITY, f64::min);
        Ok(())
    }

    /// Bearing strengths and limit loads.
    fn strengths(&mut self) -> Result<(), MechanicsError> {
        let (along, across) = self.given.green(&self.draw)?;
        let grain = self.given.grain_angle(self.draw.tilt);
        let turned = |p, q| embedment::hankinson(p, q, grain, embedment::COMPRESSION_EXPONENT);
        for k in 0..self.rows.len() {
            let lasting = along * (self.rows[k].duration * self.draw.duration);
            let strength = turned(lasting, across)?;
            self.rows[k].along = strength.value;
            self.rows[k].limit = self.limit(strength)?;
        }
        self.across = across.value;
        self.limit_across = self.limit(across)?;
        Ok(())
    }

    /// The plastic limit load with a bearing strength on every piece in the wood (N).
    fn limit(&mut self, strength: Stress) -> Result<f64, MechanicsError> {
        for part in &mut self.plastic {
            part.clear();
        }
        for piece in &self.pieces {
            let strength_of_steel =
                piece.stock.yield_strength * (self.draw.yield_strength * self.draw.steel_model);
            self.plastic[usize::from(piece.inside)].push(PlasticSegment {
                length: si::metres(piece.to - piece.from),
                resistance: if piece.inside {
                    strength * piece.stock.bears
                } else {
                    si::newtons_per_metre(0.0)
                },
                plastic_moment: round_bar::plastic_moment(strength_of_steel, piece.stock.resists)?,
            });
        }
        let [outside, inside] = &self.plastic;
        self.yielding.lay(outside, inside)?;
        self.yielding
            .limit_factor(si::newtons(1.0), Moment::default())
    }

    /// The elastic bar in both planes, and what unit loads do along it.
    fn solve(&mut self) -> Result<(), MechanicsError> {
        let along = self.given.foundation * self.draw.foundation;
        let across = along * crate::model::wood::FOUNDATION_ACROSS;
        let grain = self.given.grain_angle(self.draw.tilt);
        let moduli = [
            embedment::hankinson(along, across, grain, embedment::COMPRESSION_EXPONENT)?,
            across,
        ];
        for (plane, modulus) in moduli.into_iter().enumerate() {
            self.arm_segments.clear();
            self.wood_segments.clear();
            for piece in &self.pieces {
                let segment = BarSegment {
                    length: si::metres(piece.to - piece.from),
                    bending_diameter: piece.stock.resists,
                    bearing_diameter: piece.stock.bears,
                    modulus: piece.stock.modulus,
                    foundation: if piece.inside {
                        modulus
                    } else {
                        si::pascals(0.0)
                    },
                };
                if piece.inside {
                    self.wood_segments.push(segment);
                } else {
                    self.arm_segments.push(segment);
                }
            }
            self.elastic.lay(
                &self.arm_segments,
                &self.wood_segments,
                BeamTheory::EulerBernoulli,
            )?;
            self.elastic.solve_into(&mut self.solved[plane])?;
        }
        self.look()
    }

    /// Takes samples along the bar.
    fn look(&mut self) -> Result<(), MechanicsError> {
        for (plane, solved) in self.solved.iter().enumerate() {
            for piece in &mut self.pieces {
                let step = piece.step();
                let (from, to) = (si::metres(piece.from), si::metres(piece.to));
                let stations = &mut piece.stations;
                solved.unit_force_along(from, to, INTERVALS / step, |i, state| {
                    stations[i * step].set(plane, &state);
                })?;
            }
        }
        let Some((first, _)) = self.given.shank.first() else {
            self.window = None;
            return Ok(());
        };
        let low = self.boss.max(0.0);
        let end = self.pieces.last().map_or(low, |piece| piece.to);
        let length = first.bears.value.min(end - low);
        let mut window = Window {
            low,
            high: end - length,
            length,
            taken: [[0.0; 2]; INTERVALS + 1],
        };
        for (plane, solved) in self.solved.iter().enumerate() {
            for (shift, sign) in [(0.0, 1.0), (length, -1.0)] {
                let (from, to) = (si::metres(low + shift), si::metres(window.high + shift));
                let taken = &mut window.taken;
                solved.unit_force_along(from, to, INTERVALS, |i, state| {
                    taken[i][plane] += sign * state.shear;
                })?;
            }
        }
        self.window = Some(window);
        Ok(())
    }

    /// What a pull, a push and a wedging side load meet.
    fn pulls(&mut self) -> Result<(), MechanicsError> {
        let (given, draw) = (&self.given, &self.draw);
        let boss = given.boss.bears.value;
        let hole = given
            .shank
            .first()
            .map_or(0.0, |(shank, _)| shank.bears.value);
        let ring = std::f64::consts::FRAC_PI_4 * (boss * boss - hole * hole);
        self.ring = ring * given.across.value * draw.across * draw.bearing_model;
        self.withdrawal = if given.rod {
            self.ring
        } else {
            let shank = given.shank.first();
            let diameter = shank.map_or(given.largest_bearing, |(shank, _)| shank.bears);
            let per_length = lag_withdrawal(
                given.gravity * draw.gravity,
                diameter.min(LAG_DIAMETERS.high),
            )?;
            (per_length * given.thread).value
                * given.withdrawal_wet
                * draw.withdrawal_model
                * draw.duration
        };
        let thickness = if self.boss > 0.0 {
            self.boss
        } else {
            let end = self.pieces.last().map_or(0.0, |piece| piece.to);
            given.largest_bearing.value.min(end)
        };
        let radius = given.radius - draw.bark;
        let rest = radius - (thickness / 2.0).min(radius);
        let edge = si::metres((radius * radius - rest * rest).sqrt());
        self.splitting = eurocode5::splitting(si::metres(thickness), edge, 2.0 * edge, 1.0)?.value
            * draw.splitting
            * draw.duration;
        Ok(())
    }

    /// What each limit state comes to under the worst of some loads.
    pub(super) fn uses(&self, forces: &[Force], look: Look) -> Result<Uses, MechanicsError> {
        let mut uses = [0.0; STRENGTHS.len()];
        for force in forces {
            self.direct(force, &mut uses)?;
        }
        self.along_the_bar(forces, look, &mut uses)?;
        for used in &uses {
            if !used.is_finite() {
                return Err(MechanicsError::NotFinite {
                    what: "the use of an anchor",
                });
            }
        }
        Ok(uses)
    }

    /// Limit states in which the elastic bar has no part.
    fn direct(&self, force: &Force, uses: &mut Uses) -> Result<(), MechanicsError> {
        let mut offer = |place: usize, value: f64| uses[place] = uses[place].max(value);
        let row = &self.rows[force.duration];
        let across = force.across();
        let limit = both([force.down / row.limit, force.side / self.limit_across]);
        offer(at::LIMIT_LOAD, limit);
        offer(at::SPLITTING, force.side.abs() / self.splitting);
        if force.out < 0.0 {
            offer(at::PUSH, -force.out / self.ring);
        }
        if force.out > 0.0 {
            let duration = if self.given.withdrawal_duration && !self.given.rod {
                row.duration
            } else {
                1.0
            };
            let pull = self.withdrawal * duration;
            offer(at::WITHDRAWAL, force.out / pull);
            if across > 0.0 {
                let allowed = across / limit;
                let angle = si::radians(force.out.atan2(across));
                let both_ways =
                    combined_lateral_withdrawal(si::newtons(pull), si::newtons(allowed), angle)?;
                let used = both([across, force.out]) / both_ways.value;
                offer(at::PULL_AND_SIDE, used.max(force.out / pull).max(limit));
            }
        }
        Ok(())
    }

    /// Limit states of the elastic bar.
    fn along_the_bar(
        &self,
        forces: &[Force],
        look: Look,
        uses: &mut Uses,
    ) -> Result<(), MechanicsError> {
        match look {
            Look::Quick => self.quickly(forces, uses),
            Look::Fine => self.finely(forces, uses)?,
        }
        let face = self.pieces.iter().find(|piece| piece.inside);
        for force in forces {
            let Some(face) = face else { break };
            let first = &face.stations[0];
            let bent = force.of(&first.moment) / self.bark_line;
            uses[at::BARK_LINE] = uses[at::BARK_LINE].max(bent);
            if self.boss > 0.0 {
                let last = &face.stations[INTERVALS];
                let area = self.given.boss.bears.value * self.boss;
                let mean =
                    [0, 1].map(|plane: usize| (first.shear[plane] - last.shear[plane]) / area);
                uses[at::BOSS] = uses[at::BOSS].max(self.pressed(force, &mean));
            }
        }
        Ok(())
    }

    /// Pressure over strength, both planes by squares.
    fn pressed(&self, force: &Force, of: &[f64; 2]) -> f64 {
        let along = self.rows[force.duration].along;
        both([force.down * of[0] / along, force.side * of[1] / self.across])
    }

    /// Limit states that look along the bar, as the checks look: between the samples too.
    fn finely(&self, forces: &[Force], uses: &mut Uses) -> Result<(), MechanicsError> {
        let everywhere = |_: &Piece| true;
        uses[at::SHEAR] = self.largest(forces, everywhere, |force, piece, station| {
            force.of(&station.shear) / piece.shear
        })?;
        uses[at::BENDING] = self.largest(forces, everywhere, |force, piece, station| {
            force.of(&station.moment) / piece.moment
        })?;
        uses[at::INTERACTION] = self.largest(forces, everywhere, |force, piece, station| {
            let axial = force.out.abs() / piece.pull + force.of(&station.moment) / piece.moment;
            both([axial, force.of(&station.shear) / piece.shear])
        })?;
        uses[at::CRUSHING] = self.largest(
            forces,
            |piece| piece.inside,
            |force, _, station| self.pressed(force, &station.pressure),
        )?;
        uses[at::SHANK] = self.shank(forces)?;
        Ok(())
    }

    /// The same from the samples alone, by squares, with a parabola through the highest of them.
    fn quickly(&self, forces: &[Force], uses: &mut Uses) {
        for force in forces {
            let pressures = {
                let along = self.rows[force.duration].along;
                [force.down / along, force.side / self.across]
            };
            let sides = [force.down, force.side];
            for piece in &self.pieces {
                let inverse = [1.0 / piece.moment, 1.0 / piece.shear];
                let axial = force.out.abs() / piece.pull;
                let mut values = [[0.0; INTERVALS + 1]; 4];
                for (i, station) in piece.stations.iter().enumerate().step_by(piece.step()) {
                    let moment = square_sum(sides, station.moment) * inverse[0] * inverse[0];
                    let shear = square_sum(sides, station.shear) * inverse[1] * inverse[1];
                    let bent = axial + moment.sqrt();
                    values[0][i] = shear;
                    values[1][i] = moment;
                    values[2][i] = bent * bent + shear;
                    values[3][i] = square_sum(pressures, station.pressure);
                }
                for (place, values) in [at::SHEAR, at::BENDING, at::INTERACTION, at::CRUSHING]
                    .into_iter()
                    .zip(&values)
                {
                    if place != at::CRUSHING || piece.inside {
                        offer(&mut uses[place], values, piece.inside);
                    }
                }
            }
            let (Some(window), Some((first, _))) = (&self.window, self.given.shank.first()) else {
                continue;
            };
            let area = window.length * first.bears.value;
            let pressures = pressures.map(|pressure| pressure / area);
            let values = window.taken.map(|taken| square_sum(pressures, taken));
            offer(&mut uses[at::SHANK], &values, window.high > window.low);
        }
    }

    /// The largest value of `f` over some loads and the pieces that `pick` takes; the worst load and piece are looked at
    /// between the samples too.
    fn largest(
        &self,
        forces: &[Force],
        pick: impl Fn(&Piece) -> bool,
        f: impl Fn(&Force, &Piece, &Station) -> f64,
    ) -> Result<f64, MechanicsError> {
        let mut largest = 0.0_f64;
        let mut worst: Option<&Force> = None;
        for force in forces {
            for piece in self.pieces.iter().filter(|piece| pick(piece)) {
                for station in piece.stations.iter().step_by(piece.step()) {
                    let value = f(force, piece, station);
                    if value > largest {
                        (largest, worst) = (value, Some(force));
                    }
                }
            }
        }
        let Some(force) = worst else {
            return Ok(largest);
        };
        let found = largest;
        for piece in self
            .pieces
            .iter()
            .filter(|piece| piece.inside && pick(piece))
        {
            let values: [f64; INTERVALS + 1] =
                std::array::from_fn(|i| f(force, piece, &piece.stations[i]));
            if values.iter().copied().fold(f64::MIN, f64::max) >= BETWEEN * found {
                let at = |x: f64| Ok(f(force, piece, &self.station(x)?));
                let (_, value) = climb(|i| piece.place(i), &values, at)?;
                largest = largest.max(value);
            }
        }
        Ok(largest)
    }

    /// The largest mean bearing of the shank over its window.
    fn shank(&self, forces: &[Force]) -> Result<f64, MechanicsError> {
        let (Some(window), Some((first, _))) = (&self.window, self.given.shank.first()) else {
            return Ok(0.0);
        };
        let area = window.length * first.bears.value;
        let share = |force: &Force, taken: [f64; 2]| {
            let along = self.rows[force.duration].along;
            both([
                force.down * taken[0] / area / along,
                force.side * taken[1] / area / self.across,
            ])
        };
        let worst = |force: &&Force| {
            let values = window.taken.iter().map(|taken| share(force, *taken));
            values.fold(0.0, f64::max)
        };
        let Some(force) = forces
            .iter()
            .max_by(|one, other| worst(one).total_cmp(&worst(other)))
        else {
            return Ok(0.0);
        };
        let values: [f64; INTERVALS + 1] = std::array::from_fn(|i| share(force, window.taken[i]));
        if window.high <= window.low {
            return Ok(values[0]);
        }
        let at = |x: f64| {
            let mut taken = [0.0; 2];
            for (plane, solved) in self.solved.iter().enumerate() {
                let from = solved.unit_force_state(si::metres(x), Side::Inner)?;
                let to = solved.unit_force_state(si::metres(x + window.length), Side::Outer)?;
                taken[plane] = from.shear - to.shear;
            }
            Ok(share(force, taken))
        };
        let (_, value) = climb(|i| window.place(i), &values, at)?;
        Ok(value)
    }

    /// What unit loads do at a place.
    fn station(&self, x: f64) -> Result<Station, MechanicsError> {
        let mut station = Station::default();
        for (plane, solved) in self.solved.iter().enumerate() {
            station.set(plane, &solved.unit_force_state(si::metres(x), Side::Outer)?);
        }
        Ok(station)
    }
}

impl Given {
    fn new(anchor: &Anchor, stem: &Stem, criteria: &Criteria) -> Self {
        let size = &anchor.size;
        let [east, north] = plan::unit(anchor.faces);
        let [lean_east, lean_north] = plan::unit(stem.leans);
        let (sin, cos) = stem.lean.value.sin_cos();
        let bears = anchor.inside(stem).into_iter().map(|piece| piece.bears);
        Self {
            boss: Stock::of(&size.boss),
            boss_length: size.boss.length,
            shank: size
                .shank
                .iter()
                .map(|piece| (Stock::of(piece), piece.length))
                .collect(),
            arm: anchor.sound_arm(stem).value,
            sound_boss: anchor.sound_boss(stem).value,
            radius: (stem.wood_radius() - stem.soft).value,
            grain: [sin * (lean_east * east + lean_north * north), cos],
            tilt: anchor.tilt.value,
            crushing: stem.wood.crushing(),
            across: stem.wood.across(),
            foundation: stem.wood.foundation_modulus(),
            gravity: stem.wood.dry_gravity().0,
            embedment_share: criteria.factor("embedment_along"),
            basis: criteria.basis,
            dowel_wet: criteria.factor("dowel_bearing_wet"),
            withdrawal_wet: criteria.factor("withdrawal_wet"),
            withdrawal_duration: criteria.format == SafetyFormat::Asd,
            rod: anchor.rod.is_some(),
            thread: size.thread_length,
            largest_bearing: bears.fold(si::metres(0.0), Length::max),
        }
    }

    /// Bearing strengths along and across the grain, in a test.
    fn green(&self, draw: &Draw) -> Result<(Stress, Stress), MechanicsError> {
        let green = self.crushing * (self.embedment_share * draw.crushing * draw.bearing_model);
        let across = self.across * (draw.across * draw.bearing_model);
        if self.basis == Basis::GreenClearWood {
            return Ok((green, across));
        }
        let gravity = self.gravity * draw.gravity;
        let wet = self.dowel_wet * draw.bearing_model;
        let along = embedment::dowel_bearing_along(gravity)? * wet;
        let dowel_across = embedment::dowel_bearing_across(gravity, self.largest_bearing)? * wet;
        Ok((
            embedment::never_above_green(along, green)?,
            embedment::never_above_green(dowel_across, across)?,
        ))
    }

    /// Angle between the grain and the cross-section of the bar, tilted by so much more.
    fn grain_angle(&self, more: f64) -> crate::units::Angle {
        let (rise, level) = (self.tilt + more).sin_cos();
        let along_bar = self.grain[0] * level + self.grain[1] * rise;
        si::radians(along_bar.abs().clamp(0.0, 1.0).asin())
    }
}
