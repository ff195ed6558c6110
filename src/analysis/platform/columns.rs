//! Loads by column: the cases, as far as they are always whole; then each part of the live load that may be there or
//! not; then the actions with a direction. What acts together is for the criteria to say.

use super::build::{Model, Run};
use crate::analysis::deck::{FIRST_PART, Part};
use crate::analysis::frame::{Dof, LoadCase};
use crate::model::{Action, ActionPart, ActionPlace, Case, LoadPlace, Presence};
use nalgebra::Vector3;

/// Loads whose seats spread less than this have no arm to carry an overturning moment (m²).
const NO_ARM: f64 = 1e-6;

/// What a column is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its case.
    pub case: Case,
    /// How it meets the others.
    pub presence: Presence,
}

/// One column: what it is, what it puts on the frame and what straight on anchors.
#[derive(Debug)]
pub(super) struct Loading {
    pub(super) column: Column,
    pub(super) loads: LoadCase,
    /// Force on anchors that no part of the frame passes on: anchor, east, north, up (N).
    pub(super) direct: Vec<(usize, Vector3<f64>)>,
}

impl Loading {
    fn new(case: Case, presence: Presence) -> Self {
        Self {
            column: Column { case, presence },
            loads: LoadCase::new(),
            direct: Vec::new(),
        }
    }
}

/// Every column of a platform, and for each deck where its parts begin.
pub(super) fn columns(model: &Model<'_>, actions: &[Action]) -> (Vec<Loading>, Vec<usize>) {
    let mut columns: Vec<Loading> = Case::ALL
        .iter()
        .map(|case| Loading::new(*case, Presence::Always))
        .collect();
    let mut groups = actions
        .iter()
        .filter_map(|action| match action.presence {
            Presence::OneOf(group) => Some(group + 1),
            _ => None,
        })
        .max()
        .unwrap_or(0);
    weigh(model, &mut columns[Case::Dead as usize]);
    let first_parts = decks(model, &mut columns, &mut groups);
    single(model, &mut columns);
    for action in actions {
        let mut column = Loading::new(action.case, action.presence);
        for part in &action.parts {
            act(model, &mut column, part);
        }
        columns.push(column);
    }
    (columns, first_parts)
}

/// The weight of beams and braces.
fn weigh(model: &Model<'_>, dead: &mut Loading) {
    for (beam, run) in model.platform.beams().iter().zip(&model.runs) {
        run.spread(
            &mut dead.loads,
            beam.length().value,
            beam.timber.line_weight().value,
        );
    }
    for brace in model.platform.braces() {
        let half = brace.timber.line_weight().value * model.brace_length(brace) / 2.0;
        model.runs[brace.beam].push(&mut dead.loads, brace.station.value, half);
        dead.direct
            .push((brace.anchor, Vector3::new(0.0, 0.0, -half)));
    }
}

/// What joists bring to beams.
fn decks(model: &Model<'_>, columns: &mut Vec<Loading>, groups: &mut usize) -> Vec<usize> {
    let mut first_parts = Vec::new();
    for deck in &model.decks {
        let first = columns.len();
        first_parts.push(first);
        for part in &deck.parts {
            columns.push(match part {
                Part::OnOff => Loading::new(Case::Live, Presence::OnOff),
                Part::Anywhere => Loading::new(Case::Live, Presence::OneOf(*groups)),
                Part::Uplift => Loading::new(Case::Wind, Presence::OnOff),
            });
        }
        *groups += usize::from(deck.parts.contains(&Part::Anywhere));
        for joist in &deck.joists {
            for ((beam, station), forces) in joist.seats.iter().zip(&joist.forces) {
                for (column, force) in forces {
                    let index = match column.checked_sub(FIRST_PART) {
                        Some(part) => first + part,
                        None => *column,
                    };
                    model.runs[*beam].push(&mut columns[index].loads, *station, -force);
                }
            }
        }
    }
    first_parts
}

/// Loads on beams and straight on anchors.
fn single(model: &Model<'_>, columns: &mut Vec<Loading>) {
    for load in model.platform.loads() {
        let place = |column: &mut Loading, down: f64| match load.place {
            LoadPlace::Beam { beam, station } => {
                model.runs[beam].push(&mut column.loads, station.value, down);
            }
            LoadPlace::Anchor(anchor) => {
                column.direct.push((anchor, Vector3::new(0.0, 0.0, -down)))
            }
            _ => {}
        };
        if !matches!(load.place, LoadPlace::Beam { .. } | LoadPlace::Anchor(_)) {
            continue;
        }
        for case in Case::ALL {
            let down = load.magnitudes[case as usize];
            if down == 0.0 {
                continue;
            }
            if case == Case::Live {
                let mut own = Loading::new(Case::Live, Presence::OnOff);
                place(&mut own, down);
                columns.push(own);
            } else {
                place(&mut columns[case as usize], down);
            }
        }
        if load.uplift > 0.0 {
            let mut own = Loading::new(Case::Wind, Presence::OnOff);
            place(
                &mut own,
                -load.uplift - load.magnitudes[Case::Wind as usize],
            );
            columns.push(own);
        }
    }
}

/// Puts a part of an action where it acts.
fn act(model: &Model<'_>, column: &mut Loading, part: &ActionPart) {
    let [east, north, up] = part.force;
    match part.on {
        ActionPlace::Anchor(anchor) => column.direct.push((anchor, Vector3::from(part.force))),
        ActionPlace::Beam { beam, station } => {
            let (run, station) = (&model.runs[beam], station.value);
            run.point(&mut column.loads, station, part.force);
        }
        ActionPlace::Deck { deck, at, height } => {
            let lever = model.boards(deck) + height.value;
            aside(model, column, deck, at.metres(), [east, north]);
            overturn(model, column, deck, [-lever * north, lever * east]);
            if up != 0.0 {
                // Spread over the seats as a plate would: straight down at its centre, and the couples about it.
                let centre = model.decks[deck].centre;
                let [x, y] = at.metres();
                lift(model, column, deck, up);
                overturn(
                    model,
                    column,
                    deck,
                    [(y - centre[1]) * up, -(x - centre[0]) * up],
                );
            }
        }
    }
}

/// A level force on a deck: on its plate, or shared by its beams where it is no plate.
fn aside(
    model: &Model<'_>,
    column: &mut Loading,
    deck: usize,
    [x, y]: [f64; 2],
    [east, north]: [f64; 2],
) {
    if let Some(plate) = model.plates[deck] {
        let centre = model.decks[deck].centre;
        let turn = (x - centre[0]) * north - (y - centre[1]) * east;
        column
            .loads
            .node(plate, Dof::Ux, east)
            .node(plate, Dof::Uy, north)
            .node(plate, Dof::Rz, turn);
        return;
    }
    let beams = &model.platform.decks()[deck].beams;
    let share = 1.0 / beams.len() as f64;
    for beam in beams {
        let own = &model.platform.beams()[*beam];
        let (start, run) = (own.start.metres(), &model.runs[*beam]);
        let station = (x - start[0]) * run.along[0] + (y - start[1]) * run.along[1];
        let station = station.clamp(0.0, own.length().value);
        run.point(
            &mut column.loads,
            station,
            [east * share, north * share, 0.0],
        );
    }
}

/// Seats of a deck's joists: beam, station, place in plan.
fn seats(model: &Model<'_>, deck: usize) -> Vec<(usize, f64, [f64; 2])> {
    let joists = model.decks[deck].joists.iter();
    joists
        .flat_map(|joist| &joist.seats)
        .map(|(beam, station)| {
            let (start, [east, north]) = (
                model.platform.beams()[*beam].start.metres(),
                model.runs[*beam].along,
            );
            (
                *beam,
                *station,
                [start[0] + station * east, start[1] + station * north],
            )
        })
        .collect()
}

/// Moments about east and north, as forces up and down on the seats that vary linearly over the plan.
fn overturn(
    model: &Model<'_>,
    column: &mut Loading,
    deck: usize,
    [about_east, about_north]: [f64; 2],
) {
    let seats = seats(model, deck);
    let count = seats.len() as f64;
    let middle = seats.iter().fold([0.0; 2], |[x, y], (.., at)| {
        [x + at[0] / count, y + at[1] / count]
    });
    let arms: Vec<[f64; 2]> = seats
        .iter()
        .map(|(.., at)| [at[0] - middle[0], at[1] - middle[1]])
        .collect();
    let [xx, xy, yy] = arms.iter().fold([0.0; 3], |[xx, xy, yy], [x, y]| {
        [xx + x * x, xy + x * y, yy + y * y]
    });
    let determinant = xx * yy - xy * xy;
    if determinant < NO_ARM * (xx + yy) {
        return;
    }
    // Σ y·f is the moment about east, −Σ x·f that about north.
    let slope = [
        (-about_north * yy - about_east * xy) / determinant,
        (about_east * xx + about_north * xy) / determinant,
    ];
    for ((beam, station, _), [x, y]) in seats.iter().zip(&arms) {
        let up = slope[0] * x + slope[1] * y;
        model.runs[*beam].push(&mut column.loads, *station, -up);
    }
}

/// A force up at the centre of a deck: as the linear field of its seats that has no couple about it.
fn lift(model: &Model<'_>, column: &mut Loading, deck: usize, up: f64) {
    let seats = seats(model, deck);
    let share = up / seats.len() as f64;
    let centre = model.decks[deck].centre;
    let mut couple = [0.0; 2];
    for (beam, station, [x, y]) in &seats {
        model.runs[*beam].push(&mut column.loads, *station, -share);
        couple[0] -= (y - centre[1]) * share;
        couple[1] += (x - centre[0]) * share;
    }
    overturn(model, column, deck, couple);
}

impl Run {
    /// A force down at a station (N).
    pub(super) fn push(&self, case: &mut LoadCase, station: f64, force: f64) {
        self.point(case, station, [0.0, 0.0, -force]);
    }

    /// A force at a station (N).
    pub(super) fn point(&self, case: &mut LoadCase, station: f64, force: [f64; 3]) {
        let last = self.stations.len() - 1;
        for end in [0, last] {
            let past = station - self.stations[end];
            if (end == 0 && past < 0.0) || (end == last && past > 0.0) {
                return self.beyond(case, end, past, force);
            }
        }
        let member = self
            .stations
            .windows(2)
            .position(|pair| station <= pair[1])
            .unwrap_or(self.members.len() - 1);
        let length = self.stations[member + 1] - self.stations[member];
        let x = (station - self.stations[member]).clamp(0.0, length);
        case.point(self.members[member], x, force);
    }

    /// On the stub beyond the last node: the force and its moment.
    fn beyond(&self, case: &mut LoadCase, end: usize, past: f64, force: [f64; 3]) {
        let [east, north] = self.along;
        let arm = Vector3::new(past * east, past * north, 0.0);
        let moment = arm.cross(&Vector3::from(force));
        let all = force.iter().chain(moment.iter());
        for (dof, value) in Dof::ALL.into_iter().zip(all) {
            case.node(self.nodes[end], dof, *value);
        }
    }

    /// A load down along the whole of a beam of some length (N/m).
    pub(super) fn spread(&self, case: &mut LoadCase, length: f64, load: f64) {
        for member in &self.members {
            case.uniform(*member, [0.0, 0.0, -load]);
        }
        let (first, last) = (self.stations[0], self.stations[self.stations.len() - 1]);
        for [from, to] in [[0.0, first], [last, length]] {
            if to > from {
                self.push(case, f64::midpoint(from, to), load * (to - from));
            }
        }
    }
}
