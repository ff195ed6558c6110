//! The frame solved on every base, and what each anchor and joint owes to each load.
//!
//! What a load does to one anchor comes from one solution under unit forces at that anchor (Betti), so every load, every
//! part of the live load and every change of the anchor's own springs is worth a few products.

use super::build::{Base, Grip, Joint, JointKind, Model};
use super::columns::{Column, Loading, columns};
use super::{AnalysisError, BALANCE, DeckTotals};
use crate::analysis::frame::{Factored, LoadCase, Solution, Sparse};
use crate::model::{Action, Carrier, Case, Magnitudes, Platform, Presence};
use nalgebra::{DMatrix, DVector, Vector3};

/// A state of the foundation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Every anchor at half the central modulus.
    AllSoft,
    /// Every anchor at twice the central modulus.
    AllStiff,
    /// This anchor at twice, the others at half.
    StiffAmongSoft,
    /// This anchor at half, the others at twice.
    SoftAmongStiff,
    /// No anchor gives.
    Rigid,
}

impl State {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::AllSoft,
        Self::AllStiff,
        Self::StiffAmongSoft,
        Self::SoftAmongStiff,
        Self::Rigid,
    ];

    /// The base of the others and the base of the anchor itself.
    const fn bases(self) -> (Base, Base) {
        match self {
            Self::AllSoft => (Base::Soft, Base::Soft),
            Self::AllStiff => (Base::Stiff, Base::Stiff),
            Self::StiffAmongSoft => (Base::Soft, Base::Stiff),
            Self::SoftAmongStiff => (Base::Stiff, Base::Soft),
            Self::Rigid => (Base::Rigid, Base::Rigid),
        }
    }
}

/// Down, side, out (N), or those per unit of what causes them.
pub type Triple = [f64; 3];

/// What an anchor owes to each load in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct StateForces {
    /// The state.
    pub state: State,
    /// By column of the loads (N).
    pub columns: Vec<Triple>,
    /// By seat that is out of level, per metre of sinking (N/m).
    pub level: Vec<Triple>,
    /// By stem that moves, per metre east and north (N/m).
    pub movement: Vec<[Triple; 2]>,
    /// By sliding seat, per newton of friction on its beam (1).
    pub friction: Vec<Triple>,
}

/// Everything that loads put on one anchor.
#[derive(Debug, Clone, PartialEq)]
pub struct AnchorForces {
    /// By state.
    pub states: Vec<StateForces>,
    /// The dead load once the wood of all anchors has crept (N).
    pub crept: Triple,
    /// Whether every beam on it is tied down against lifting.
    pub held_down: bool,
    /// Greatest height of a seat that holds it sideways over the axis of the bar (m).
    pub seat_height: f64,
}

/// What presses on a joint, by column, on soft and on stiff anchors (N); negative where it would have to pull.
#[derive(Debug, Clone, PartialEq)]
pub struct JointForces {
    /// What it is.
    pub kind: JointKind,
    /// Its name in words.
    pub name: String,
    /// By base and column.
    pub presses: [Vec<f64>; 2],
}

/// A frame on one base.
#[derive(Debug)]
struct Footing {
    base: Base,
    factored: Factored,
    /// Of the cases that are present, whole.
    solutions: Vec<Solution>,
}

/// A platform that was analysed.
#[derive(Debug)]
pub struct Solved<'a> {
    pub(super) model: Model<'a>,
    columns: Vec<Loading>,
    /// By deck, where the parts of its live load begin among the columns.
    pub(super) first_parts: Vec<usize>,
    kinds: Vec<Column>,
    /// By column.
    pub(super) forces: Vec<Sparse>,
    footings: Vec<Footing>,
    /// Cases that are present.
    cases: Vec<Case>,
    total: Magnitudes,
    imbalance: f64,
}

impl<'a> Solved<'a> {
    pub(super) fn new(model: Model<'a>, actions: &[Action]) -> Result<Self, AnalysisError> {
        let (columns, first_parts) = columns(&model, actions);
        let mut total = totals(&model);
        for action in actions {
            let whole = whole_with(action.presence, action.case);
            let down: f64 = action.parts.iter().map(|part| -part.force[2]).sum();
            total[action.case as usize] += if whole { down } else { 0.0 };
        }
        let cases: Vec<Case> = Case::ALL
            .into_iter()
            .filter(|case| present(&columns, *case))
            .collect();
        let mut this = Self {
            kinds: columns.iter().map(|loading| loading.column).collect(),
            model,
            columns,
            first_parts,
            forces: Vec::new(),
            footings: Vec::new(),
            cases,
            total,
            imbalance: 0.0,
        };
        if this.model.runs.is_empty() {
            return Ok(this);
        }
        for base in Base::ALL {
            let footing = this.footing(base)?;
            this.footings.push(footing);
        }
        let factored = &this.footings[0].factored;
        this.forces = this
            .columns
            .iter()
            .map(|loading| factored.forces(&loading.loads))
            .collect::<Result<_, _>>()
            .map_err(AnalysisError::Frame)?;
        let own = this.footings.iter().flat_map(|footing| &footing.solutions);
        this.imbalance = own.map(balance).fold(this.vertical(), f64::max);
        if this.imbalance <= BALANCE {
            Ok(this)
        } else {
            Err(AnalysisError::Unbalanced(this.imbalance))
        }
    }

    /// The frame on a base: factorized, its whole cases solved.
    fn footing(&self, base: Base) -> Result<Footing, AnalysisError> {
        let mut frame = self.model.frame.clone();
        for grip in self.model.grips.iter().flatten() {
            frame
                .stiffen(grip.spring, grip.stiffness[base as usize])
                .map_err(AnalysisError::Frame)?;
        }
        let factored = frame.factorize().map_err(|error| self.model.name(error))?;
        let whole = |case: &Case| {
            let mut loads = LoadCase::new();
            for loading in self
                .columns
                .iter()
                .filter(|loading| belongs(loading, *case))
            {
                loads.add(1.0, &loading.loads);
            }
            factored.solve(&loads).map_err(AnalysisError::Frame)
        };
        let solutions = self.cases.iter().map(whole).collect::<Result<_, _>>()?;
        Ok(Footing {
            base,
            factored,
            solutions,
        })
    }

    /// How far the loads that were placed are from those that were meant, as a fraction (1).
    fn vertical(&self) -> f64 {
        let mut worst = 0.0_f64;
        for (case, solution) in self.cases.iter().zip(&self.footings[0].solutions) {
            let direct: f64 = self
                .columns
                .iter()
                .filter(|loading| belongs(loading, *case))
                .flat_map(|loading| &loading.direct)
                .map(|(_, force)| -force.z)
                .sum();
            let placed = -solution.balance().loads[2] + direct;
            let meant = self.total[*case as usize];
            let size = placed.abs().max(meant.abs()).max(solution.balance().size);
            if size > 0.0 {
                worst = worst.max((placed - meant).abs() / size);
            }
        }
        worst
    }

    /// The platform.
    pub fn platform(&self) -> &'a Platform {
        self.model.platform
    }

    /// What each column of the loads is.
    pub fn columns(&self) -> &[Column] {
        &self.kinds
    }

    pub(super) fn loadings(&self) -> impl Iterator<Item = (Column, &LoadCase)> {
        self.columns
            .iter()
            .map(|loading| (loading.column, &loading.loads))
    }

    /// Load by case on everything, positive down (N).
    pub fn total(&self) -> &Magnitudes {
        &self.total
    }

    /// The largest difference of loads and reactions over all cases and bases, as a fraction of the loads (1).
    pub fn imbalance(&self) -> f64 {
        self.imbalance
    }

    /// The decks: area, joists, loads.
    pub fn decks(&self) -> Vec<DeckTotals> {
        let decks = self.model.platform.decks().iter().zip(&self.model.decks);
        decks
            .map(|(deck, part)| DeckTotals {
                id: deck.id.clone(),
                area: part.area,
                joists: part.joists.len(),
                total: part.total,
            })
            .collect()
    }

    /// Stems that move, in the order of [`StateForces::movement`]: place among the platform's stems, and the level, where
    /// anything gives it (m).
    pub fn trunks(&self) -> impl Iterator<Item = (usize, Option<f64>)> + '_ {
        let trunks = self.model.trunks.iter();
        trunks.map(|trunk| (trunk.stem, trunk.is_level_known.then_some(trunk.level)))
    }

    /// Sliding seats, in the order of [`StateForces::friction`]: the anchor, and the size of the down load on it by case,
    /// the greater of soft and stiff anchors (N).
    ///
    /// # Errors
    /// A frame without an answer.
    pub fn sliders(&self) -> Result<Vec<(usize, Magnitudes)>, AnalysisError> {
        let mut sliders = Vec::new();
        for slider in &self.model.sliders {
            let mut bears = [0.0_f64; Case::ALL.len()];
            for base in [Base::Soft, Base::Stiff] {
                for (case, solution) in self.solutions(base) {
                    if let Some(grip) = self.model.grips[slider.anchor].first() {
                        let force = solution
                            .tension(grip.spring)
                            .map_err(AnalysisError::Frame)?;
                        let own = &mut bears[case as usize];
                        *own = own.max(force.abs());
                    }
                }
            }
            sliders.push((slider.anchor, bears));
        }
        Ok(sliders)
    }

    fn footing_on(&self, base: Base) -> Option<&Footing> {
        self.footings.iter().find(|footing| footing.base == base)
    }

    /// What every load puts on an anchor.
    ///
    /// # Errors
    /// The two ways of working out a whole case differ: a fault of the program.
    pub fn anchor(&self, index: usize) -> Result<AnchorForces, AnalysisError> {
        let mut forces = AnchorForces {
            states: Vec::new(),
            crept: self.direct(index, Case::Dead as usize),
            held_down: self.held_down(index),
            seat_height: self.seat_height(index),
        };
        let own = |base: Base| {
            let footing = self.footing_on(base)?;
            (!self.model.grips[index].is_empty()).then(|| Own::new(self, footing, index))
        };
        for base in [Base::Soft, Base::Stiff, Base::Rigid] {
            let own = own(base).transpose()?;
            for state in State::ALL
                .into_iter()
                .filter(|state| state.bases().0 == base)
            {
                let to = state.bases().1;
                forces.states.push(match &own {
                    Some(own) => own.state(self, state, to)?,
                    None => self.only_direct(index, state),
                });
            }
        }
        forces.states.sort_by_key(|state| state.state as usize);
        if let Some(crept) = own(Base::Crept).transpose()? {
            let dead = Case::Dead as usize;
            forces.crept = plus(
                forces.crept,
                crept.triple(&crept.stretches.column(dead).into(), Base::Crept),
            );
        }
        Ok(forces)
    }

    fn only_direct(&self, index: usize, state: State) -> StateForces {
        StateForces {
            state,
            columns: (0..self.columns.len())
                .map(|column| self.direct(index, column))
                .collect(),
            level: Vec::new(),
            movement: Vec::new(),
            friction: Vec::new(),
        }
    }

    /// What a column puts straight on an anchor.
    pub(super) fn direct(&self, index: usize, column: usize) -> Triple {
        let force: Vector3<f64> = self.columns[column]
            .direct
            .iter()
            .filter(|(anchor, _)| *anchor == index)
            .map(|(_, force)| force)
            .sum();
        self.on_axes(index, force)
    }

    /// A force on an anchor along its axes.
    pub(super) fn on_axes(&self, index: usize, force: Vector3<f64>) -> Triple {
        let anchor = &self.model.platform.anchors()[index];
        let axes = anchor.axes(self.model.platform.stem_of(anchor));
        [
            axes.down.dot(&force),
            axes.side.dot(&force),
            axes.out.dot(&force),
        ]
    }

    fn held_down(&self, index: usize) -> bool {
        let beams = self
            .model
            .platform
            .beams()
            .iter()
            .flat_map(|beam| &beam.supports);
        let mut seats = beams.filter(|support| support.carrier == Carrier::Anchor(index));
        seats.all(|support| support.held_down)
    }

    fn seat_height(&self, index: usize) -> f64 {
        let beams = self.model.platform.beams().iter();
        let on = |beam: &&crate::model::Beam| {
            let mut supports = beam.supports.iter();
            supports.any(|support| {
                support.carrier == Carrier::Anchor(index)
                    && support.seat != crate::model::Seat::Hung
            })
        };
        beams
            .filter(on)
            .map(|beam| beam.seat_rise.value)
            .fold(0.0, f64::max)
    }

    /// What presses on every joint.
    ///
    /// # Errors
    /// A frame without an answer.
    pub fn joints(&self) -> Result<Vec<JointForces>, AnalysisError> {
        let joints = self.model.joints.iter();
        joints.map(|joint| self.joint(joint)).collect()
    }

    fn joint(&self, joint: &Joint) -> Result<JointForces, AnalysisError> {
        let on = |base: Base| -> Result<Vec<f64>, AnalysisError> {
            let Some(footing) = self.footing_on(base) else {
                return Ok(Vec::new());
            };
            let terms = footing
                .factored
                .stretch_of(joint.spring)
                .map_err(AnalysisError::Frame)?;
            let movements = footing.factored.movements(&terms);
            let k = joint.presses
                * footing
                    .factored
                    .frame()
                    .stiffness_of(joint.spring)
                    .map_err(AnalysisError::Frame)?;
            Ok(self
                .forces
                .iter()
                .map(|force| k * dot(&movements, force))
                .collect())
        };
        Ok(JointForces {
            kind: joint.kind,
            name: joint.name.clone(),
            presses: [on(Base::Soft)?, on(Base::Stiff)?],
        })
    }

    /// Seats of joists that nothing ties down: what bears on each by case, the live load whole, on soft anchors (N).
    ///
    /// # Errors
    /// A frame without an answer.
    pub fn joist_seats(&self) -> Result<Vec<(String, Magnitudes)>, AnalysisError> {
        let Some(footing) = self.footing_on(Base::Soft) else {
            return Ok(Vec::new());
        };
        let joists = self
            .model
            .decks
            .iter()
            .zip(self.model.platform.decks())
            .flat_map(|(part, deck)| part.joists.iter().map(move |joist| (joist, deck)));
        let mut seats = Vec::new();
        for ((joist, deck), coupling) in joists.zip(&self.model.couplings) {
            let mut bears = vec![[0.0; Case::ALL.len()]; joist.seats.len()];
            for (own, forces) in bears.iter_mut().zip(&joist.forces) {
                for (column, force) in forces {
                    own[case_of(*column) as usize] -= force;
                }
            }
            for (solution, case) in footing.solutions.iter().zip(&self.cases) {
                if let Some(coupling) = coupling {
                    let bent = solution
                        .coupling_forces(*coupling)
                        .map_err(AnalysisError::Frame)?;
                    for (own, bent) in bears.iter_mut().zip(bent) {
                        own[*case as usize] -= bent;
                    }
                }
            }
            let beams = self.model.platform.beams();
            let name =
                |beam: usize| format!("a joist of deck {} on beam {}", deck.id, beams[beam].id);
            seats.extend(
                joist
                    .seats
                    .iter()
                    .zip(bears)
                    .map(|((beam, _), bears)| (name(*beam), bears)),
            );
        }
        Ok(seats)
    }

    /// Cases that are present, with their whole solutions on a base.
    pub(super) fn solutions(&self, base: Base) -> impl Iterator<Item = (Case, &Solution)> {
        let solutions = self
            .footing_on(base)
            .into_iter()
            .flat_map(|footing| &footing.solutions);
        self.cases.iter().copied().zip(solutions)
    }

    pub(super) fn factored(&self, base: Base) -> Option<&Factored> {
        self.footing_on(base).map(|footing| &footing.factored)
    }
}

/// One anchor on one base: its stretch under every load.
struct Own<'a> {
    grips: &'a [Grip],
    /// Along each grip and anchor's axis: cosines, by grip.
    axes: Vec<Triple>,
    base: Base,
    index: usize,
    /// Movement along each grip by a unit force along each: with the anchor's own springs in place.
    flexibility: DMatrix<f64>,
    /// By grip and column.
    stretches: DMatrix<f64>,
    level: DMatrix<f64>,
    movement: DMatrix<f64>,
    friction: DMatrix<f64>,
}

impl<'a> Own<'a> {
    fn new(solved: &'a Solved<'_>, footing: &Footing, index: usize) -> Result<Self, AnalysisError> {
        let (factored, base) = (&footing.factored, footing.base);
        let stretch_of = |spring| factored.stretch_of(spring).map_err(AnalysisError::Frame);
        let grips = &solved.model.grips[index];
        let terms = grips
            .iter()
            .map(|grip| stretch_of(grip.spring))
            .collect::<Result<Vec<_>, _>>()?;
        let influence: Vec<Vec<f64>> = terms
            .iter()
            .map(|terms| factored.movements(terms))
            .collect();
        let across = |forces: &[Sparse]| {
            DMatrix::from_fn(grips.len(), forces.len(), |grip, k| {
                dot(&influence[grip], &forces[k])
            })
        };
        let scaled = |terms: Sparse, k: f64| {
            terms
                .into_iter()
                .map(|(at, d)| (at, d * k))
                .collect::<Sparse>()
        };
        let mut level = Vec::new();
        for grips in &solved.model.grips {
            level.push(match grips.first() {
                Some(grip) => scaled(stretch_of(grip.spring)?, grip.stiffness[base as usize]),
                None => Sparse::new(),
            });
        }
        let mut movement = Vec::new();
        for trunk in &solved.model.trunks {
            for spring in trunk.springs {
                movement.push(scaled(stretch_of(spring)?, trunk.stiffness));
            }
        }
        let friction = solved
            .model
            .sliders
            .iter()
            .map(|slider| slider_forces(solved, factored, slider))
            .collect::<Result<Vec<_>, _>>()?;
        let own = Self {
            axes: grips
                .iter()
                .map(|grip| solved.on_axes(index, grip.axis))
                .collect(),
            flexibility: across(&terms),
            stretches: across(&solved.forces),
            level: across(&level),
            movement: across(&movement),
            friction: across(&friction),
            grips,
            base,
            index,
        };
        own.agrees(solved, footing)?;
        Ok(own)
    }

    /// The whole cases come out the same by the solutions of the loads.
    fn agrees(&self, solved: &Solved<'_>, footing: &Footing) -> Result<(), AnalysisError> {
        for (case, solution) in solved.cases.iter().zip(&footing.solutions) {
            let size = solution.balance().size;
            for (row, grip) in self.grips.iter().enumerate() {
                let parts = solved.columns.iter().enumerate();
                let parts = parts.filter(|(_, loading)| belongs(loading, *case));
                let stretch: f64 = parts.map(|(column, _)| self.stretches[(row, column)]).sum();
                let tension = solution
                    .tension(grip.spring)
                    .map_err(AnalysisError::Frame)?;
                let off = (stretch * grip.stiffness[self.base as usize] - tension).abs();
                if off > BALANCE * size {
                    return Err(AnalysisError::Unbalanced(off / size));
                }
            }
        }
        Ok(())
    }

    /// Forces along the anchor's axes under stretches of its grips.
    fn triple(&self, stretch: &DVector<f64>, base: Base) -> Triple {
        let mut sum = [0.0; 3];
        for ((grip, axes), stretch) in self.grips.iter().zip(&self.axes).zip(stretch.iter()) {
            let force = grip.stiffness[base as usize] * stretch;
            (0..3).for_each(|c| sum[c] += axes[c] * force);
        }
        sum
    }

    /// The anchor itself on another base than the others.
    fn state(
        &self,
        solved: &Solved<'_>,
        state: State,
        to: Base,
    ) -> Result<StateForces, AnalysisError> {
        let n = self.grips.len();
        let change = |k: usize| {
            self.grips[k].stiffness[to as usize] - self.grips[k].stiffness[self.base as usize]
        };
        let mut system = DMatrix::identity(n, n);
        for k in 0..n {
            for row in 0..n {
                system[(row, k)] += self.flexibility[(row, k)] * change(k);
            }
        }
        let Some(inverse) = system.try_inverse() else {
            return Err(AnalysisError::Unbalanced(1.0));
        };
        let of = |stretches: &DMatrix<f64>| -> Vec<Triple> {
            let moved = &inverse * stretches;
            moved
                .column_iter()
                .map(|column| self.triple(&column.into(), to))
                .collect()
        };
        let columns = of(&self.stretches)
            .into_iter()
            .enumerate()
            .map(|(column, triple)| plus(triple, solved.direct(self.index, column)))
            .collect();
        let mut level = of(&self.level);
        // Its own seat: the ground of its first grip goes down by one.
        let own = self.grips[0].stiffness[to as usize];
        let mut stretch = &inverse * self.flexibility.column(0) * own;
        stretch[0] -= 1.0;
        level[self.index] = self.triple(&stretch, to);
        let movement = of(&self.movement);
        let mut friction = of(&self.friction);
        for (slider, triple) in solved.model.sliders.iter().zip(&mut friction) {
            if slider.anchor == self.index {
                *triple = plus(*triple, solved.on_axes(self.index, -slider.along));
            }
        }
        Ok(StateForces {
            state,
            columns,
            level,
            movement: movement
                .chunks_exact(2)
                .map(|pair| [pair[0], pair[1]])
                .collect(),
            friction,
        })
    }
}

/// A newton of friction on a beam, along it, and the same on the stem that its seat stands on, the other way.
fn slider_forces(
    solved: &Solved<'_>,
    factored: &Factored,
    slider: &super::build::Slider,
) -> Result<Sparse, AnalysisError> {
    use crate::analysis::frame::Dof;
    let trunk = solved.model.trunks[solved.model.trunk_of[slider.anchor]].node;
    let mut loads = LoadCase::new();
    for (dof, along) in [(Dof::Ux, slider.along.x), (Dof::Uy, slider.along.y)] {
        loads.node(slider.node, dof, along).node(trunk, dof, -along);
    }
    factored.forces(&loads).map_err(AnalysisError::Frame)
}

/// The case of a column of a deck.
fn case_of(column: usize) -> Case {
    Case::ALL.get(column).copied().unwrap_or(Case::Live)
}

/// Whether a column is part of its case as a whole: not one of several, not turning, not wind that lifts.
fn belongs(loading: &Loading, case: Case) -> bool {
    loading.column.case == case && whole_with(loading.column.presence, case)
}

fn whole_with(presence: Presence, case: Case) -> bool {
    match presence {
        Presence::Always => true,
        Presence::OnOff => case == Case::Live,
        Presence::OneOf(_) | Presence::Turning => false,
    }
}

fn present(columns: &[Loading], case: Case) -> bool {
    columns.iter().any(|loading| {
        belongs(loading, case) && (loading.loads != LoadCase::new() || !loading.direct.is_empty())
    })
}

/// Load by case, positive down (N), from what the platform says and not from where it was placed.
fn totals(model: &Model<'_>) -> Magnitudes {
    let mut total = [0.0; Case::ALL.len()];
    for beam in model.platform.beams() {
        total[Case::Dead as usize] += (beam.timber.line_weight() * beam.length()).value;
    }
    for brace in model.platform.braces() {
        total[Case::Dead as usize] += brace.timber.line_weight().value * model.brace_length(brace);
    }
    let decks = model.decks.iter().map(|deck| deck.total);
    let on_members = model.platform.loads().iter().filter(|load| {
        use crate::model::LoadPlace::{Anchor, Beam};
        matches!(load.place, Anchor(_) | Beam { .. })
    });
    for own in decks.chain(on_members.map(|load| load.magnitudes)) {
        total.iter_mut().zip(own).for_each(|(sum, own)| *sum += own);
    }
    total
}

pub(super) fn dot(movements: &[f64], forces: &Sparse) -> f64 {
    forces
        .iter()
        .map(|(at, force)| movements[*at] * force)
        .sum()
}

pub(super) fn plus(a: Triple, b: Triple) -> Triple {
    std::array::from_fn(|c| a[c] + b[c])
}

/// The largest part of what is left over, in all six directions and at any node (1).
fn balance(solution: &Solution) -> f64 {
    let balance = solution.balance();
    balance
        .equilibrium
        .iter()
        .fold(balance.residual.abs(), |worst, part| worst.max(part.abs()))
}
