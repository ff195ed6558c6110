//! From what an anchor owes to each load to the loads that its checks must bear: every combination, every state of the
//! foundation, the worst arrangement of what may be there or not.
//!
//! A combination comes to a base, which is always there, and to parts that may be there, turn or point either way. For
//! each of a set of directions in the space of down, side and out, the parts are chosen that push farthest that way: the
//! corners of all that can happen at once. The extremes of down, side and out alone are among them exactly.

use super::context::Demand;
use crate::analysis::platform::{AnalysisError, AnchorForces, Solved, StateForces, Triple};
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

/// What an axis weighs in a direction that leaves it open (1): far over rounding, far below any load that counts. What
/// has no part in the direction is then chosen for the other axes, either way, and not by the last digit.
const OPEN: f64 = 1e-6;

/// Directions in which corners are sought: every sign of every axis, one axis at least in full.
fn directions() -> Vec<Triple> {
    let weights = [-1.0, -OPEN, OPEN, 1.0];
    let mut all = Vec::with_capacity(56);
    for down in weights {
        for side in weights {
            for out in weights {
                let direction: Triple = [down, side, out];
                if direction.iter().any(|part| part.abs() > OPEN) {
                    all.push(direction);
                }
            }
        }
    }
    all
}

/// Works out the demands of an anchor.
pub(super) fn demands(
    forces: &AnchorForces,
    solved: &Solved<'_>,
    around: &Surroundings,
    criteria: &Criteria,
    combinations: &[usize],
) -> Demands {
    let mut demands = Demands {
        all: Vec::new(),
        full: Vec::new(),
    };
    let directions = directions();
    for state in &forces.states {
        let parts = Parts::new(state, solved, &directions);
        for &combination in combinations {
            let row = Row {
                index: combination,
                row: &criteria.combinations[combination],
                criteria,
                forces,
                state,
                parts: &parts,
                around,
            };
            demands
                .full
                .push(row.demand(row.base(), row.whole_live(), [0.0; 3], true));
            for (k, direction) in directions.iter().enumerate() {
                row.corners(k, *direction, &mut demands.all);
            }
        }
    }
    demands
}

/// What of each case is always there, and by direction what of it is chosen.
struct Parts {
    always: [Triple; Case::ALL.len()],
    /// The live load as a whole.
    whole: Triple,
    chosen: Vec<[Triple; Case::ALL.len()]>,
}

impl Parts {
    fn new(state: &StateForces, solved: &Solved<'_>, directions: &[Triple]) -> Self {
        let mut parts = Self {
            always: [[0.0; 3]; Case::ALL.len()],
            whole: [0.0; 3],
            chosen: vec![[[0.0; 3]; Case::ALL.len()]; directions.len()],
        };
        let columns = solved.columns();
        for (column, force) in columns.iter().zip(&state.columns) {
            match column.presence {
                Presence::Always => add(&mut parts.always[column.case as usize], *force, 1.0),
                Presence::OnOff if column.case == Case::Live => add(&mut parts.whole, *force, 1.0),
                _ => {}
            }
        }
        for (direction, chosen) in directions.iter().zip(&mut parts.chosen) {
            choose(solved, state, *direction, chosen);
        }
        parts
    }
}

/// Of all that may be there, what pushes in a direction.
fn choose(
    solved: &Solved<'_>,
    state: &StateForces,
    direction: Triple,
    chosen: &mut [Triple; Case::ALL.len()],
) {
    let columns = solved.columns();
    let mut best: Vec<Option<(f64, usize)>> = Vec::new();
    let mut turning: Option<Triple> = None;
    for (k, (column, force)) in columns.iter().zip(&state.columns).enumerate() {
        let along = dot(*force, direction);
        match column.presence {
            Presence::Always => {}
            Presence::OnOff if along > 0.0 => add(&mut chosen[column.case as usize], *force, 1.0),
            Presence::OnOff => {}
            Presence::OneOf(group) => {
                if best.len() <= group {
                    best.resize(group + 1, None);
                }
                if along > best[group].map_or(0.0, |(most, _)| most) {
                    best[group] = Some((along, k));
                }
            }
            Presence::Turning => match turning.take() {
                None => turning = Some(*force),
                Some(first) => add(
                    &mut chosen[column.case as usize],
                    turned(first, *force, direction),
                    1.0,
                ),
            },
        }
    }
    for (_, k) in best.into_iter().flatten() {
        add(&mut chosen[columns[k].case as usize], state.columns[k], 1.0);
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

/// One combination in one state.
struct Row<'a> {
    index: usize,
    row: &'a Combination,
    criteria: &'a Criteria,
    forces: &'a AnchorForces,
    state: &'a StateForces,
    parts: &'a Parts,
    around: &'a Surroundings,
}

impl Row<'_> {
    fn factor(&self, case: Case) -> f64 {
        factor(self.row, self.criteria, case)
    }

    /// Whether people or wind move the stems.
    fn moves(&self) -> f64 {
        let people_or_wind = [Case::Live, Case::Wind, Case::Sway]
            .into_iter()
            .any(|case| self.factor(case) != 0.0);
        self.row
            .movement
            .unwrap_or(f64::from(u8::from(people_or_wind)))
    }

    /// By case, what is always there.
    fn base(&self) -> [Triple; Case::ALL.len()] {
        let mut base = self.parts.always;
        for case in Case::ALL {
            base[case as usize] = base[case as usize].map(|force| force * self.factor(case));
        }
        base
    }

    fn whole_live(&self) -> [Triple; Case::ALL.len()] {
        let mut live = [[0.0; 3]; Case::ALL.len()];
        live[Case::Live as usize] = self
            .parts
            .whole
            .map(|force| force * self.factor(Case::Live));
        live
    }

    /// The corner in a direction, with the dead load as it falls at first and once the wood has crept.
    fn corners(&self, k: usize, direction: Triple, out: &mut Vec<Demand>) {
        let mut chosen = self.parts.chosen[k];
        for case in Case::ALL {
            chosen[case as usize] = chosen[case as usize].map(|force| force * self.factor(case));
        }
        let extra = self.extra(direction);
        let base = self.base();
        out.push(self.demand(base, chosen, extra, false));
        let dead = self.factor(Case::Dead);
        let crept = self.forces.crept.map(|force| force * dead);
        let change: Triple = std::array::from_fn(|c| crept[c] - base[Case::Dead as usize][c]);
        if dot(change, direction) > 0.0 {
            let mut base = base;
            base[Case::Dead as usize] = crept;
            out.push(self.demand(base, chosen, extra, false));
        }
    }

    /// A seat out of level, stems that move and friction of sliding seats, as they push in a direction.
    fn extra(&self, direction: Triple) -> Triple {
        let mut sum = [0.0; 3];
        let off = self.criteria.factor("seat_level");
        let level = self
            .state
            .level
            .iter()
            .map(|force| (dot(*force, direction), force));
        if let Some((along, force)) = level.max_by(|a, b| a.0.abs().total_cmp(&b.0.abs())) {
            add(&mut sum, *force, off * along.signum());
        }
        let moves = self.moves();
        if moves == 0.0 {
            return sum;
        }
        for ([east, north], sway) in self.state.movement.iter().zip(&self.around.sway) {
            add(
                &mut sum,
                turned(*east, *north, direction),
                moves * sway.unwrap_or(0.0),
            );
        }
        for (force, rub) in self
            .state
            .friction
            .iter()
            .zip(self.rubbing(|case| self.factor(case)))
        {
            add(&mut sum, *force, rub * dot(*force, direction).signum());
        }
        sum
    }

    /// Friction of each sliding seat under factors on the cases (N).
    fn rubbing(&self, factor: impl Fn(Case) -> f64) -> impl Iterator<Item = f64> {
        let friction = self.criteria.factor("seat_friction");
        self.around.sliders.iter().map(move |bears| {
            let down: f64 = Case::ALL
                .iter()
                .map(|case| factor(*case) * bears[*case as usize])
                .sum();
            friction * down.abs()
        })
    }

    /// How far down and side load run to and fro as stems move and seats slide, year in, year out: the seats under the
    /// dead load alone, since the design load of people is there too seldom to tire steel (N).
    fn range(&self) -> [f64; 2] {
        let moves = self.moves();
        if moves == 0.0 {
            return [0.0; 2];
        }
        std::array::from_fn(|c| {
            let sway = self.state.movement.iter().zip(&self.around.sway);
            let sway: f64 = sway
                .map(|([east, north], sway)| east[c].hypot(north[c]) * sway.unwrap_or(0.0) * moves)
                .sum();
            let rub: f64 = self
                .state
                .friction
                .iter()
                .zip(self.rubbing(|case| f64::from(u8::from(case == Case::Dead))))
                .map(|(force, rub)| force[c].abs() * rub)
                .sum();
            2.0 * (sway + rub)
        })
    }

    fn demand(
        &self,
        base: [Triple; Case::ALL.len()],
        chosen: [Triple; Case::ALL.len()],
        extra: Triple,
        whole: bool,
    ) -> Demand {
        let mut sum = extra;
        let mut size = size_of(extra);
        let parts: Vec<Triple> = base
            .iter()
            .zip(&chosen)
            .map(|(a, b)| [a[0] + b[0], a[1] + b[1], a[2] + b[2]])
            .collect();
        for part in &parts {
            add(&mut sum, *part, 1.0);
            size = size.max(size_of(*part));
        }
        let present = || {
            Case::ALL
                .into_iter()
                .filter(|case| size_of(parts[*case as usize]) > NOTHING * size)
        };
        let [down, side, out] = sum.map(|force| {
            if force.abs() > NOTHING * size {
                force
            } else {
                0.0
            }
        });
        let dead = parts[Case::Dead as usize][0];
        let lasting = present().all(|case| case == Case::Dead);
        Demand {
            combination: self.index,
            down,
            side: if whole {
                side
            } else {
                // Every anchor bears some side load, whatever the analysis says.
                let least = self.criteria.factor("notional_side") * down.abs();
                if side.abs() < least {
                    least.copysign(side)
                } else {
                    side
                }
            },
            out,
            duration: self.criteria.duration(present()),
            permanent: lasting,
            permanent_share: if down == 0.0 {
                0.0
            } else {
                (dead / down).clamp(0.0, 1.0)
            },
            torque: side.abs() * self.forces.seat_height,
            range: self.range(),
        }
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
    for (force, column) in presses.iter().zip(columns) {
        let own = force * factor(row, criteria, column.case);
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
