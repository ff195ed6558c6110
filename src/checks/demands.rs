//! From what an anchor owes to each load to the loads that its checks must bear: every combination, every state of the
//! foundation, the worst arrangement of what may be there or not.
//!
//! A combination comes to a base, which is always there, and to parts that may be there, turn or point either way. For
//! each of a set of directions in the space of down, side and out, the parts are chosen that push farthest that way: the
//! corners of all that can happen at once. The extremes of down, side and out alone are among them exactly.

pub(super) mod effects;

use super::context::Demand;
use crate::analysis::platform::{AnalysisError, AnchorForces, Solved, State, StateForces, Triple};
use crate::model::{Case, Combination, Criteria, Magnitudes, Presence};

/// Forces below this share of the largest are rounding (1).
const NOTHING: f64 = 1e-9;

/// What the whole platform says about movement, for the demands of every anchor.
#[derive(Debug)]
pub(super) struct Surroundings {
    /// By sliding seat: size of the down load by case (N).
    sliders: Vec<Magnitudes>,
    /// By stem at a level: how far it moves either way, where that is known (m).
    pub(super) sway: Vec<Option<f64>>,
}

impl Surroundings {
    pub(super) fn new(solved: &Solved<'_>, sway: Vec<Option<f64>>) -> Result<Self, AnalysisError> {
        let sliders = solved.sliders()?;
        Ok(Self {
            sliders: sliders.into_iter().map(|(_, bears)| bears).collect(),
            sway,
        })
    }
}

/// The demands of one anchor.
#[derive(Debug)]
pub(super) struct Demands {
    /// Every corner.
    pub(super) all: Vec<Demand>,
    /// The whole load in every combination and state.
    pub(super) full: Vec<Demand>,
}

impl Demands {
    /// Makes every load so many times as large.
    pub(super) fn scale(&mut self, factor: f64) {
        for demand in self.all.iter_mut().chain(&mut self.full) {
            for load in [
                &mut demand.down,
                &mut demand.side,
                &mut demand.out,
                &mut demand.torque,
            ] {
                *load *= factor;
            }
            demand.range = demand.range.map(|load| load * factor);
        }
    }
}

/// What an axis weighs in a direction that leaves it open (1): far over rounding, far below any load that counts. What
/// has no part in the direction is then chosen for the other axes, either way, and not by the last digit.
const OPEN: f64 = 1e-6;

/// A column whose force is below this share of the largest is not felt any more (1): what a load far along a platform
/// leaves is below the last digit of what acts here.
const FADED: f64 = 1e-17;

/// Number of directions in which corners are sought: four weights on three axes, less those that leave all axes open.
const DIRECTIONS: usize = 56;

/// Directions in which corners are sought: every sign of every axis, one axis at least in full. The opposite of one stands
/// as far from the end as it stands from the beginning.
fn directions() -> [Triple; DIRECTIONS] {
    const WEIGHTS: [f64; 4] = [-1.0, -OPEN, OPEN, 1.0];
    let mut all = [[0.0; 3]; DIRECTIONS];
    let points = (0..64).map(|k: usize| [k / 16, k / 4 % 4, k % 4].map(|digit| WEIGHTS[digit]));
    let pointed = points.filter(|direction| direction.iter().any(|part| part.abs() > OPEN));
    for (slot, direction) in all.iter_mut().zip(pointed) {
        *slot = direction;
    }
    all
}

fn opposite(k: usize) -> usize {
    DIRECTIONS - 1 - k
}

/// By case.
type ByCase = [Triple; Case::ALL.len()];

/// Works out the demands of an anchor.
pub(super) fn demands(
    forces: &AnchorForces,
    solved: &Solved<'_>,
    around: &Surroundings,
    criteria: &Criteria,
    combinations: &[usize],
) -> Demands {
    let directions = directions();
    let rows: Vec<Row> = combinations
        .iter()
        .map(|index| Row::new(*index, criteria, around))
        .collect();
    let count = forces.states.len() * rows.len();
    let mut demands = Demands {
        all: Vec::with_capacity(count * DIRECTIONS),
        full: Vec::with_capacity(count),
    };
    let mut maker = Maker {
        criteria,
        seat_height: forces.seat_height,
        notional_side: criteria.factor("notional_side"),
        durations: vec![None; 1 << Case::ALL.len()],
    };
    for state in &forces.states {
        let parts = Parts::new(state, solved, around, criteria, &directions);
        for row in &rows {
            let range = parts.range(row);
            let base = row.times(&parts.always);
            let mut live = [[0.0; 3]; Case::ALL.len()];
            live[Case::Live as usize] = parts.whole;
            let whole = maker.demand(row, &base, &row.times(&live), [0.0; 3], range, true);
            demands.full.push(whole);
            for (direction, corner) in directions.iter().zip(&parts.corners) {
                let chosen = row.times(&corner.chosen);
                let extra = parts.extra(row, corner, *direction);
                let mut offer = |base: &ByCase| {
                    let demand = maker.demand(row, base, &chosen, extra, range, false);
                    demands.all.push(demand);
                };
                offer(&base);
                if let Some(base) = row.crept(&base, forces.crept, *direction) {
                    offer(&base);
                }
            }
        }
    }
    demands
}

/// What pushes in a direction, before the factors of a combination.
#[derive(Debug, Clone, Copy, Default)]
struct Corner {
    /// Of all that may be there.
    chosen: ByCase,
    /// The seat out of level that pushes most.
    level: Triple,
    /// Stems that move.
    sway: Triple,
}

/// What of each case is always there, and by direction what of it is chosen.
struct Parts<'a> {
    always: ByCase,
    /// The live load as a whole.
    whole: Triple,
    corners: [Corner; DIRECTIONS],
    /// Sliding seats whose friction is felt here: place, force by newton.
    friction: Vec<(usize, Triple)>,
    /// How far down and side load go as stems move by their sway (N).
    swing: [f64; 2],
    state: &'a StateForces,
}

impl<'a> Parts<'a> {
    fn new(
        state: &'a StateForces,
        solved: &Solved<'_>,
        around: &Surroundings,
        criteria: &Criteria,
        directions: &[Triple; DIRECTIONS],
    ) -> Self {
        let mut parts = Self {
            always: [[0.0; 3]; Case::ALL.len()],
            whole: [0.0; 3],
            corners: [Corner::default(); DIRECTIONS],
            friction: Vec::new(),
            swing: [0.0; 2],
            state,
        };
        parts.choose(solved, directions);
        // Supports that do not give at all stand for reactions under load. What is forced on them would grow without bound.
        if state.state != State::Rigid {
            parts.seat(criteria.factor("seat_level"), directions);
            parts.sway(around, directions);
        }
        let felt = |(_, force): &(usize, Triple)| size_of(*force) > 0.0;
        parts.friction = state
            .friction
            .iter()
            .copied()
            .enumerate()
            .filter(felt)
            .collect();
        parts
    }

    /// Of all that may be there, what pushes in each direction.
    fn choose(&mut self, solved: &Solved<'_>, directions: &[Triple; DIRECTIONS]) {
        let columns = solved.columns();
        let sizes = self.state.columns.iter().map(|force| size_of(*force));
        let faded = FADED * sizes.fold(0.0, f64::max);
        // By group and direction, what pushes most of those of which only one is there.
        let mut best: Vec<[Option<(f64, usize)>; DIRECTIONS]> = Vec::new();
        let mut turning: Option<Triple> = None;
        for (k, (column, force)) in columns.iter().zip(&self.state.columns).enumerate() {
            let case = column.case as usize;
            let is_nothing = size_of(*force) <= faded;
            match column.presence {
                Presence::Always => add(&mut self.always[case], *force, 1.0),
                Presence::Turning => match turning.take() {
                    None => turning = Some(*force),
                    Some(first) => {
                        for (corner, direction) in self.corners.iter_mut().zip(directions) {
                            let sum = turned(first, *force, *direction);
                            add(&mut corner.chosen[case], sum, 1.0);
                        }
                    }
                },
                _ if is_nothing => {}
                Presence::OnOff => {
                    if column.case == Case::Live {
                        add(&mut self.whole, *force, 1.0);
                    }
                    for (d, direction) in directions[..DIRECTIONS / 2].iter().enumerate() {
                        let along = dot(*force, *direction);
                        let towards = if along < 0.0 { opposite(d) } else { d };
                        if along != 0.0 {
                            add(&mut self.corners[towards].chosen[case], *force, 1.0);
                        }
                    }
                }
                Presence::OneOf(group) => {
                    if best.len() <= group {
                        best.resize(group + 1, [None; DIRECTIONS]);
                    }
                    for (best, direction) in best[group].iter_mut().zip(directions) {
                        let along = dot(*force, *direction);
                        if along > best.map_or(0.0, |(most, _)| most) {
                            *best = Some((along, k));
                        }
                    }
                }
            }
        }
        for best in best {
            for (corner, (_, k)) in self
                .corners
                .iter_mut()
                .zip(best)
                .filter_map(|(corner, best)| Some((corner, best?)))
            {
                add(
                    &mut corner.chosen[columns[k].case as usize],
                    self.state.columns[k],
                    1.0,
                );
            }
        }
    }

    /// The seat that is out of level (m).
    fn seat(&mut self, off: f64, directions: &[Triple; DIRECTIONS]) {
        let level = self.state.level.iter();
        let felt: Vec<&Triple> = level.filter(|force| size_of(**force) > 0.0).collect();
        for (corner, direction) in self.corners.iter_mut().zip(directions) {
            let level = felt.iter();
            let level = level.map(|force| (dot(**force, *direction), force));
            if let Some((along, force)) = level.max_by(|a, b| a.0.abs().total_cmp(&b.0.abs())) {
                corner.level = force.map(|force| force * off * along.signum());
            }
        }
    }

    /// Stems that move by their sway.
    fn sway(&mut self, around: &Surroundings, directions: &[Triple; DIRECTIONS]) {
        let pairs = self.state.movement.iter().zip(&around.sway);
        let known = pairs.filter_map(|(per_metre, sway)| Some((per_metre, (*sway)?)));
        let felt = known.filter(|([east, north], _)| size_of(*east) + size_of(*north) > 0.0);
        for ([east, north], sway) in felt {
            for (corner, direction) in self.corners.iter_mut().zip(directions) {
                add(&mut corner.sway, turned(*east, *north, *direction), sway);
            }
            for (c, swing) in self.swing.iter_mut().enumerate() {
                *swing += east[c].hypot(north[c]) * sway;
            }
        }
    }

    /// A seat out of level, stems that move and friction of sliding seats, as they push in a direction.
    fn extra(&self, row: &Row, corner: &Corner, direction: Triple) -> Triple {
        let mut sum = corner.level;
        if row.moves != 0.0 {
            add(&mut sum, corner.sway, row.moves);
            for (slider, force) in &self.friction {
                let rub = row.rubs[*slider];
                add(&mut sum, *force, rub * dot(*force, direction).signum());
            }
        }
        sum
    }

    /// How far down and side load run to and fro as stems move and seats slide, year in, year out: the seats under the
    /// dead load alone, since the design load of people is there too seldom to tire steel (N).
    fn range(&self, row: &Row) -> [f64; 2] {
        if row.moves == 0.0 {
            return [0.0; 2];
        }
        std::array::from_fn(|c| {
            let friction = self.friction.iter();
            let rub: f64 = friction
                .map(|(slider, force)| force[c].abs() * row.usual_rubs[*slider])
                .sum();
            2.0 * (self.swing[c] * row.moves + rub)
        })
    }
}

/// Of two forces that come from east and north, the turn between them that pushes farthest in a direction.
fn turned(east: Triple, north: Triple, direction: Triple) -> Triple {
    let (a, b) = (dot(east, direction), dot(north, direction));
    let size = a.hypot(b);
    let mut sum = [0.0; 3];
    if size > 0.0 {
        add(&mut sum, east, a / size);
        add(&mut sum, north, b / size);
    }
    sum
}

/// One combination.
struct Row {
    /// Its place in the criteria.
    index: usize,
    /// The factors of the cases (1).
    factors: [f64; Case::ALL.len()],
    /// Whether, or how much, people or wind move the stems (1).
    moves: f64,
    /// Friction of each sliding seat (N).
    rubs: Vec<f64>,
    /// The same under the dead load alone (N).
    usual_rubs: Vec<f64>,
}

impl Row {
    fn new(index: usize, criteria: &Criteria, around: &Surroundings) -> Self {
        let row = &criteria.combinations[index];
        let factors = Case::ALL.map(|case| factor(row, criteria, case));
        let people_or_wind = [Case::Live, Case::Wind, Case::Sway]
            .into_iter()
            .any(|case| factors[case as usize] != 0.0);
        let friction = criteria.factor("seat_friction");
        let rub = |bears: &Magnitudes| {
            let down: f64 = factors
                .iter()
                .zip(bears)
                .map(|(factor, bears)| factor * bears)
                .sum();
            friction * down.abs()
        };
        Self {
            index,
            factors,
            moves: row.movement.unwrap_or(f64::from(u8::from(people_or_wind))),
            rubs: around.sliders.iter().map(rub).collect(),
            usual_rubs: around
                .sliders
                .iter()
                .map(|bears| friction * bears[Case::Dead as usize].abs())
                .collect(),
        }
    }

    fn times(&self, forces: &ByCase) -> ByCase {
        std::array::from_fn(|case| forces[case].map(|force| force * self.factors[case]))
    }

    /// The base with the dead load as it falls once the wood has crept, if that pushes farther in a direction.
    fn crept(&self, base: &ByCase, crept: Triple, direction: Triple) -> Option<ByCase> {
        let dead = Case::Dead as usize;
        let crept = crept.map(|force| force * self.factors[dead]);
        let change: Triple = std::array::from_fn(|c| crept[c] - base[dead][c]);
        (dot(change, direction) > 0.0).then(|| {
            let mut base = *base;
            base[dead] = crept;
            base
        })
    }
}

/// What makes demands of what adds up to them.
struct Maker<'a> {
    criteria: &'a Criteria,
    seat_height: f64,
    notional_side: f64,
    /// By the cases that are there, one bit each.
    durations: Vec<Option<f64>>,
}

impl Maker<'_> {
    fn demand(
        &mut self,
        row: &Row,
        base: &ByCase,
        chosen: &ByCase,
        extra: Triple,
        range: [f64; 2],
        whole: bool,
    ) -> Demand {
        let (mut sum, mut size) = (extra, size_of(extra));
        let parts: ByCase = std::array::from_fn(|case| {
            let (a, b) = (base[case], chosen[case]);
            [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
        });
        for part in &parts {
            add(&mut sum, *part, 1.0);
            size = size.max(size_of(*part));
        }
        let present = parts.iter().enumerate().fold(0, |present, (case, part)| {
            present | (usize::from(size_of(*part) > NOTHING * size) << case)
        });
        let [down, side, out] = sum.map(|force| {
            if force.abs() > NOTHING * size {
                force
            } else {
                0.0
            }
        });
        let dead = parts[Case::Dead as usize];
        let across = down * down + side * side;
        Demand {
            combination: row.index,
            down,
            side: if whole {
                side
            } else {
                // Every anchor bears some side load, whatever the analysis says.
                let least = self.notional_side * down.abs();
                if side.abs() < least {
                    least.copysign(side)
                } else {
                    side
                }
            },
            out,
            duration: self.duration(present),
            permanent: present & !(1 << Case::Dead as usize) == 0,
            // What of the load across the bar lasts, along that load.
            permanent_share: if across == 0.0 {
                0.0
            } else {
                ((dead[0] * down + dead[1] * side) / across).clamp(0.0, 1.0)
            },
            torque: side.abs() * self.seat_height,
            range,
        }
    }

    /// The duration factor where these cases are there.
    fn duration(&mut self, present: usize) -> f64 {
        let criteria = self.criteria;
        let there = |case: &Case| present >> *case as usize & 1 == 1;
        *self.durations[present]
            .get_or_insert_with(|| criteria.duration(Case::ALL.into_iter().filter(there)))
    }
}

/// What presses on a joint in a combination: the least and the most of all that may be there, and the size of the parts.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Pressing {
    pub(super) least: f64,
    pub(super) most: f64,
    pub(super) size: f64,
}

/// What presses on a joint in a combination (N).
pub(super) fn pressing(
    presses: &[f64],
    columns: &[crate::analysis::platform::Column],
    row: &Combination,
    criteria: &Criteria,
) -> Pressing {
    let mut sum = Pressing::default();
    let mut groups: Vec<[f64; 2]> = Vec::new();
    let mut turning: Option<f64> = None;
    let factors = Case::ALL.map(|case| factor(row, criteria, case));
    for (force, column) in presses.iter().zip(columns) {
        let own = force * factors[column.case as usize];
        sum.size += own.abs();
        let mut may = |low: f64, high: f64| {
            sum.least += low;
            sum.most += high;
        };
        match column.presence {
            Presence::Always => may(own, own),
            Presence::OnOff => may(own.min(0.0), own.max(0.0)),
            Presence::OneOf(group) => {
                if groups.len() <= group {
                    groups.resize(group + 1, [0.0; 2]);
                }
                let [low, high] = groups[group];
                groups[group] = [low.min(own), high.max(own)];
            }
            Presence::Turning => match turning.take() {
                None => turning = Some(own),
                Some(first) => may(-first.hypot(own), first.hypot(own)),
            },
        }
    }
    for [low, high] in groups {
        sum.least += low;
        sum.most += high;
    }
    sum
}

/// The factor of a case in a combination. Sets without a term for people's side load leave it to the live load.
pub(super) fn factor(row: &Combination, criteria: &Criteria, case: Case) -> f64 {
    let none = |case: Case| {
        let rows = criteria.combinations.iter();
        rows.clone().all(|row| row.factors[case as usize] == 0.0)
    };
    if case == Case::Sway && none(case) {
        row.factors[Case::Live as usize]
    } else {
        row.factors[case as usize]
    }
}

fn add(sum: &mut Triple, force: Triple, factor: f64) {
    for (sum, part) in sum.iter_mut().zip(force) {
        *sum += part * factor;
    }
}

fn dot(a: Triple, b: Triple) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn size_of(force: Triple) -> f64 {
    force.iter().fold(0.0, |most, part| most.max(part.abs()))
}
