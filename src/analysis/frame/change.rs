//! Other springs on the same frame without factorizing again, and springs that act one way.
//!
//! With C the directions of m springs, W = K⁻¹·C and S = Cᵀ·W found once, a change Δ of their stiffness turns the
//! stretches z₀ of the unchanged frame into z = (I + S·Δ)⁻¹·z₀ and its movements u₀ into u₀ − W·Δ·z
//! (Woodbury's identity). An open one-way spring is one whose stiffness has been taken away.

use std::fmt;
use std::sync::Arc;

use nalgebra::{DMatrix, DVector, Dyn, LU};

use super::factored::{Factored, State, TOLERANCE};
use super::load::{LoadCase, Prepared};
use super::solution::Solution;
use super::{Acts, Dof, Frame, FrameError, NodeId, SpringId, slot};

/// Where the smallest singular value of I + S·Δ, its columns scaled to their stiffness, falls below this, the changed
/// frame can move: half the digits of the flexibility S are lost there.
const SINGULAR: f64 = 1e-8;

/// A one-way spring may hold against its sense by this fraction of the largest stretch that the loads ask for: rounding.
const SLACK: f64 = 1e-10;

/// What prescribed movements do is measured by this fraction of the forces that they would ask of neighbours kept in
/// place: the frame gives way to most of them, and rounding leaves 1e-13 of them behind.
const RELIEVED: f64 = 1e-3;

/// What an open spring keeps of its stiffness while the others settle: far above the rounding of `SINGULAR`.
const TRACE: f64 = 1e-6;

/// Steps that may fail to reduce the number of springs in doubt before one is changed at a time.
const PATIENCE: usize = 3;

/// Steps allowed for springs to settle, and more for each.
const STEPS: (usize, usize) = (20, 10);

/// A place where stiffness may be changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Probe {
    /// A spring or a link of the frame.
    Spring(SpringId),
    /// A direction of a node, against the ground.
    At(NodeId, Dof),
}

impl fmt::Display for Probe {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Spring(spring) => write!(f, "{spring}"),
            Self::At(node, dof) => write!(f, "{node} in {dof}"),
        }
    }
}

/// A [`Probe`] with all that is needed of it.
#[derive(Clone, Debug)]
struct Direction {
    probe: Probe,
    terms: Vec<(usize, f64)>,
    k: f64,
    acts: Acts,
    grounded: bool,
}

/// Places where stiffness may be changed, with what a unit force at each does to the frame.
#[derive(Clone, Debug, Default)]
pub struct Probes {
    /// The frame that they belong to.
    frame: Arc<Frame>,
    /// First those asked for, then the one-way springs among the rest.
    directions: Vec<Direction>,
    asked: usize,
    /// Movements of the unknowns by a unit force along each direction.
    columns: Vec<Vec<f64>>,
    flexibility: DMatrix<f64>,
}

/// A frame with other springs.
#[derive(Clone, Debug)]
pub struct Variant<'a> {
    factored: &'a Factored,
    probes: &'a Probes,
    change: DMatrix<f64>,
}

/// Springs that have settled: the change with the open ones taken away, its solver, and the stretches.
struct Settled {
    change: DMatrix<f64>,
    solver: Option<LU<f64, Dyn, Dyn>>,
    stretches: DVector<f64>,
    open: Vec<bool>,
}

impl Probes {
    /// The number of places asked for.
    pub fn len(&self) -> usize {
        self.asked
    }

    /// Whether none was asked for.
    pub fn is_empty(&self) -> bool {
        self.asked == 0
    }

    /// Movement along each place asked for by a unit force along each (m/N).
    pub fn flexibility(&self) -> DMatrix<f64> {
        self.flexibility
            .view((0, 0), (self.asked, self.asked))
            .into_owned()
    }

    fn order(&self) -> usize {
        self.directions.len()
    }

    /// Takes away the movements that forces along the directions make.
    fn relieve(&self, unknowns: &mut [f64], forces: &DVector<f64>) {
        for (column, force) in self.columns.iter().zip(forces.iter()) {
            unknowns
                .iter_mut()
                .zip(column)
                .for_each(|(u, w)| *u -= w * force);
        }
    }

    /// The stiffness across the directions: of the springs there and of the change.
    fn total(&self, change: &DMatrix<f64>) -> DMatrix<f64> {
        let mut total = change.clone();
        self.directions
            .iter()
            .enumerate()
            .for_each(|(k, direction)| total[(k, k)] += direction.k);
        total
    }

    /// Stretches along all directions, less the movements of the far ends of springs.
    fn stretches(&self, movements: &[f64], prepared: &Prepared) -> DVector<f64> {
        let stretch = |direction: &Direction| {
            let moved = match direction.probe {
                Probe::Spring(spring) => prepared.springs[spring.0],
                Probe::At(..) => 0.0,
            };
            direction
                .terms
                .iter()
                .map(|(slot, d)| d * movements[*slot])
                .sum::<f64>()
                - moved
        };
        DVector::from_iterator(self.order(), self.directions.iter().map(stretch))
    }
}

impl Factored {
    /// Finds once what a unit force at each place does, for any number of changes there.
    ///
    /// # Errors
    /// Springs or nodes of another frame; a direction that is fixed; a place asked for twice.
    pub fn probes(&self, places: &[Probe]) -> Result<Probes, FrameError> {
        let mut directions = Vec::with_capacity(places.len());
        for (k, probe) in places.iter().enumerate() {
            if places[..k].contains(probe) {
                return Err(FrameError::Repeated(*probe));
            }
            directions.push(self.direction(*probe)?);
        }
        let springs = self.frame.springs.iter().enumerate();
        for (k, _) in springs.filter(|(_, spring)| spring.acts != Acts::Both) {
            let probe = Probe::Spring(SpringId(k));
            if !places.contains(&probe) {
                directions.push(self.direction(probe)?);
            }
        }
        let columns: Vec<Vec<f64>> = directions
            .iter()
            .map(|direction| self.column(&direction.terms))
            .collect();
        let order = directions.len();
        let flexibility = DMatrix::from_fn(order, order, |r, c| {
            self.along(&directions[r].terms, &columns[c])
        });
        Ok(Probes {
            frame: Arc::clone(&self.frame),
            directions,
            asked: places.len(),
            columns,
            flexibility,
        })
    }

    /// The frame with the stiffness at each place changed by so much.
    ///
    /// # Errors
    /// As many changes as places are needed, and finite ones.
    pub fn with_springs<'a>(
        &'a self,
        probes: &'a Probes,
        changes: &[f64],
    ) -> Result<Variant<'a>, FrameError> {
        self.with_matrix(
            probes,
            &DMatrix::from_diagonal(&DVector::from_column_slice(changes)),
        )
    }

    /// The frame with a symmetric stiffness added across the places.
    ///
    /// # Errors
    /// Probes of another frame, a matrix that is not finite or not symmetric, or not of the places' number, one that
    /// takes more from a spring than it has.
    pub fn with_matrix<'a>(
        &'a self,
        probes: &'a Probes,
        added: &DMatrix<f64>,
    ) -> Result<Variant<'a>, FrameError> {
        let named = || "a change of springs".to_owned();
        if !added.iter().all(|c| c.is_finite()) {
            return Err(FrameError::NotFinite(named()));
        }
        let fits = added.nrows() == probes.asked && added.ncols() == probes.asked;
        if !fits || (added - added.transpose()).amax() > super::SYMMETRY * added.amax() {
            return Err(FrameError::NotSymmetric(named()));
        }
        self.check_own(probes)?;
        for (k, direction) in probes.directions[..probes.asked].iter().enumerate() {
            if let (Probe::Spring(spring), true) = (direction.probe, added[(k, k)] < -direction.k) {
                return Err(FrameError::NotPositive(format!(
                    "the changed stiffness of {spring}"
                )));
            }
        }
        let mut variant = Variant::unchanged(self, probes);
        variant
            .change
            .view_mut((0, 0), added.shape())
            .copy_from(added);
        Ok(variant)
    }

    /// Stretches of the unchanged frame along the probes under a load case, one-way springs holding: what
    /// [`Variant::forces`] starts from.
    ///
    /// # Errors
    /// Probes of another frame, loads that are not finite or have no place.
    pub fn stretches(&self, probes: &Probes, loads: &LoadCase) -> Result<Vec<f64>, FrameError> {
        self.check_own(probes)?;
        let prepared = Prepared::new(&self.frame, loads)?;
        let driven = self.drive(loads, &prepared)?;
        let mut unknowns = driven.forces.clone();
        self.apply_inverse(&mut unknowns);
        let movements = driven.movements(self, &unknowns);
        Ok(probes.stretches(&movements, &prepared).as_slice().to_vec())
    }

    fn check_own(&self, probes: &Probes) -> Result<(), FrameError> {
        if Arc::ptr_eq(&self.frame, &probes.frame) {
            Ok(())
        } else {
            Err(FrameError::Unknown("a set of probes".to_owned()))
        }
    }

    /// Movements of the unknowns by a unit force along some directions.
    fn column(&self, terms: &[(usize, f64)]) -> Vec<f64> {
        let mut forces = vec![0.0; self.order()];
        for (slot, d) in terms {
            if let Some(equation) = self.unknowns.equation[*slot] {
                forces[equation] += d;
            }
        }
        self.apply_inverse(&mut forces);
        forces
    }

    fn direction(&self, probe: Probe) -> Result<Direction, FrameError> {
        match probe {
            Probe::Spring(id) => {
                let spring = self.frame.spring_of(id)?;
                let terms = spring.terms().collect();
                Ok(Direction {
                    probe,
                    terms,
                    k: spring.k,
                    acts: spring.acts,
                    grounded: spring.b.is_none(),
                })
            }
            Probe::At(node, dof) => {
                self.frame.place(node)?;
                if self.unknowns.equation[slot(node, dof)].is_none() {
                    return Err(FrameError::Fixed { node, dof });
                }
                let terms = vec![(slot(node, dof), 1.0)];
                Ok(Direction {
                    probe,
                    terms,
                    k: 0.0,
                    acts: Acts::Both,
                    grounded: true,
                })
            }
        }
    }

    /// Movement along some directions.
    fn along(&self, terms: &[(usize, f64)], unknowns: &[f64]) -> f64 {
        terms
            .iter()
            .filter_map(|(slot, d)| self.unknowns.equation[*slot].map(|e| d * unknowns[e]))
            .sum()
    }

    /// Forces on the unknowns from the loads and the prescribed movements.
    pub(super) fn drive(
        &self,
        loads: &LoadCase,
        prepared: &Prepared,
    ) -> Result<Driven, FrameError> {
        let imposed = self.imposed(loads)?;
        let state = self.evaluate(&imposed, prepared, &self.stiffness());
        let mut size = prepared.size;
        if !loads.settlements.is_empty() || !loads.spring_settlements.is_empty() {
            for (slot, force) in state.nodal.iter().enumerate() {
                size[slot % 6 / 3] += RELIEVED * force.abs();
            }
        }
        let forces = self.left_over(prepared, &state);
        self.check_idle(&forces, size)?;
        Ok(Driven {
            imposed,
            forces,
            size,
        })
    }

    /// The solution, if it balances.
    pub(super) fn finish(
        &self,
        loads: &LoadCase,
        prepared: Prepared,
        size: [f64; 2],
        movements: Vec<f64>,
        state: State,
        residual: f64,
    ) -> Result<Solution, FrameError> {
        let held = |slot: usize| state.nodal[slot] - prepared.nodal[slot];
        let mut reactions = state.ground;
        for (slot, _) in self
            .unknowns
            .equation
            .iter()
            .enumerate()
            .filter(|(_, equation)| equation.is_none())
        {
            reactions[slot] += held(slot);
        }
        let tied = |slot: &usize| {
            if self.unknowns.equation[*slot].is_some() {
                held(*slot)
            } else {
                0.0
            }
        };
        let ties: Vec<f64> = self.unknowns.tied.iter().map(tied).collect();
        let mut external = reactions.clone();
        self.unknowns
            .tied
            .iter()
            .zip(&ties)
            .for_each(|(slot, force)| external[*slot] += force);
        for coupling in self
            .frame
            .couplings
            .iter()
            .filter(|coupling| !coupling.grounded)
        {
            coupling
                .slots
                .iter()
                .zip(coupling.forces(&movements))
                .for_each(|(slot, force)| external[*slot] += force);
        }
        let balance = self.balance(&prepared, size, &external, residual);
        if !(balance.residual <= TOLERANCE
            && balance.worst() <= TOLERANCE
            && movements.iter().all(|u| u.is_finite()))
        {
            return Err(FrameError::Equilibrium(balance));
        }
        Ok(Solution {
            frame: Arc::clone(&self.frame),
            unknowns: Arc::clone(&self.unknowns),
            loads: loads.clone(),
            loaded: prepared.members,
            movements,
            members: state.members,
            reactions,
            ties,
            springs: state.springs,
            open: Vec::new(),
            balance,
        })
    }

    /// Of every spring, as the frame has them.
    pub(super) fn stiffness(&self) -> Vec<f64> {
        self.frame.springs.iter().map(|spring| spring.k).collect()
    }
}

impl<'a> Variant<'a> {
    pub(super) fn unchanged(factored: &'a Factored, probes: &'a Probes) -> Self {
        Self {
            factored,
            probes,
            change: DMatrix::zeros(probes.order(), probes.order()),
        }
    }

    /// Displacements, reactions and member forces under a load case.
    ///
    /// # Errors
    /// As [`Factored::solve`]; also a change that lets the structure go.
    pub fn solve(&self, loads: &LoadCase) -> Result<Solution, FrameError> {
        let Self {
            factored, probes, ..
        } = *self;
        let prepared = Prepared::new(&factored.frame, loads)?;
        let driven = factored.drive(loads, &prepared)?;
        let mut unknowns = driven.forces.clone();
        factored.apply_inverse(&mut unknowns);
        let settled =
            self.settle(&probes.stretches(&driven.movements(factored, &unknowns), &prepared))?;
        probes.relieve(&mut unknowns, &(&settled.change * &settled.stretches));
        let mut movements = driven.movements(factored, &unknowns);
        let total = probes.total(&settled.change);
        let (state, residual) = factored.refine(
            &prepared,
            driven.size,
            &mut movements,
            |movements| self.evaluate(movements, &prepared, &total),
            |forces| self.apply_inverse(&settled, forces),
        );
        let solution = factored.finish(loads, prepared, driven.size, movements, state, residual)?;
        Ok(Solution {
            open: self.open(&settled),
            ..solution
        })
    }

    /// Forces along the places asked for, on their nodes, from the stretches of the unchanged frame: without the
    /// movements of the rest. For a link, its force on its second node.
    ///
    /// # Errors
    /// Stretches that are not finite or not as many as [`Factored::stretches`] gives; one-way springs that do not
    /// settle; a change that lets the structure go.
    pub fn forces(&self, stretches: &[f64]) -> Result<Vec<f64>, FrameError> {
        if stretches.len() != self.probes.order() || !stretches.iter().all(|z| z.is_finite()) {
            return Err(FrameError::NotFinite(
                "the stretches of the unchanged frame".to_owned(),
            ));
        }
        let settled = self.settle(&DVector::from_column_slice(stretches))?;
        let tension = self.probes.total(&settled.change) * &settled.stretches;
        Ok(tension
            .iter()
            .take(self.probes.asked)
            .map(|tension| -tension)
            .collect())
    }

    fn open(&self, settled: &Settled) -> Vec<SpringId> {
        let pairs = self.probes.directions.iter().zip(&settled.open);
        pairs
            .filter_map(|(direction, open)| match direction.probe {
                Probe::Spring(spring) if *open => Some(spring),
                _ => None,
            })
            .collect()
    }

    /// The state of the changed frame: springs at the probes leave their own stiffness for the total one there.
    fn evaluate(&self, movements: &[f64], prepared: &Prepared, total: &DMatrix<f64>) -> State {
        let mut stiffness = self.factored.stiffness();
        for direction in &self.probes.directions {
            if let Probe::Spring(spring) = direction.probe {
                stiffness[spring.0] = 0.0;
            }
        }
        let mut state = self.factored.evaluate(movements, prepared, &stiffness);
        let tensions = total * self.probes.stretches(movements, prepared);
        for (direction, tension) in self.probes.directions.iter().zip(tensions.iter()) {
            for (slot, d) in &direction.terms {
                state.nodal[*slot] += d * tension;
                if direction.grounded {
                    state.ground[*slot] -= d * tension;
                }
            }
            if let Probe::Spring(spring) = direction.probe {
                state.springs[spring.0] = *tension;
            }
        }
        state
    }

    fn apply_inverse(&self, settled: &Settled, forces: &mut [f64]) {
        self.factored.apply_inverse(forces);
        let Some(solver) = &settled.solver else {
            return;
        };
        let along = |direction: &Direction| self.factored.along(&direction.terms, forces);
        let stretches = DVector::from_iterator(
            self.probes.order(),
            self.probes.directions.iter().map(along),
        );
        if let Some(stretches) = solver.solve(&stretches) {
            self.probes.relieve(forces, &(&settled.change * stretches));
        }
    }

    /// Finds which one-way springs hold. Open ones first keep a trace of their stiffness, so that no combination on the
    /// way lets the structure go; then none, and what moves now is what the loads tip over.
    fn settle(&self, first: &DVector<f64>) -> Result<Settled, FrameError> {
        let settled = self.pivot(first, vec![false; self.probes.order()], TRACE)?;
        if settled.open.contains(&true) {
            self.pivot(first, settled.open, 0.0)
        } else {
            Ok(settled)
        }
    }

    /// Springs in doubt are turned over together as long as that helps, then singly: block pivoting with a least-index
    /// rule, which ends for a positive definite frame.
    fn pivot(
        &self,
        first: &DVector<f64>,
        open: Vec<bool>,
        trace: f64,
    ) -> Result<Settled, FrameError> {
        let slack = SLACK * first.amax();
        let limit = STEPS.0 + STEPS.1 * self.probes.order();
        let (mut fewest, mut patience) = (usize::MAX, PATIENCE);
        let mut settled = self.trial(first, open, trace)?;
        for _ in 0..limit {
            let doubtful = self.doubtful(&settled, slack);
            let Some(&last) = doubtful.last() else {
                return Ok(settled);
            };
            if doubtful.len() < fewest {
                (fewest, patience) = (doubtful.len(), PATIENCE);
            } else {
                patience = patience.saturating_sub(1);
            }
            let mut open = settled.open;
            let turned = if patience > 0 { doubtful } else { vec![last] };
            for k in turned {
                open[k] = !open[k];
            }
            settled = self.trial(first, open, trace)?;
        }
        let doubtful = self.doubtful(&settled, slack).into_iter();
        let named = doubtful.filter_map(|k| match self.probes.directions[k].probe {
            Probe::Spring(spring) => Some(spring),
            Probe::At(..) => None,
        });
        Err(FrameError::LiftOff {
            steps: limit,
            doubtful: named.collect(),
        })
    }

    /// One-way springs that hold against their sense or are open and overlap.
    fn doubtful(&self, settled: &Settled, slack: f64) -> Vec<usize> {
        let wrong = |k: &usize| {
            let stretch = match self.probes.directions[*k].acts {
                Acts::Both => return false,
                Acts::Push => settled.stretches[*k],
                Acts::Pull => -settled.stretches[*k],
            };
            if settled.open[*k] {
                stretch < -slack
            } else {
                stretch > slack
            }
        };
        (0..self.probes.order()).filter(wrong).collect()
    }

    /// The frame with some one-way springs open but for a trace of their stiffness.
    fn trial(
        &self,
        first: &DVector<f64>,
        open: Vec<bool>,
        trace: f64,
    ) -> Result<Settled, FrameError> {
        let mut change = self.change.clone();
        for (k, _) in open.iter().enumerate().filter(|(_, open)| **open) {
            change.row_mut(k).fill(0.0);
            change.column_mut(k).fill(0.0);
            change[(k, k)] = (trace - 1.0) * self.probes.directions[k].k;
        }
        if change.iter().all(|c| *c == 0.0) {
            return Ok(Settled {
                change,
                solver: None,
                stretches: first.clone(),
                open,
            });
        }
        let matrix = DMatrix::identity(open.len(), open.len()) + &self.probes.flexibility * &change;
        self.check_held(&matrix, &change)?;
        let solver = matrix.lu();
        if solver.determinant() < 0.0 {
            return Err(FrameError::NotPositive("the changed stiffness".to_owned()));
        }
        let stretches = solver
            .solve(first)
            .filter(|z| z.iter().all(|z| z.is_finite()));
        let stretches =
            stretches.ok_or_else(|| FrameError::NotFinite("the change of springs".to_owned()))?;
        Ok(Settled {
            change,
            solver: Some(solver),
            stretches,
            open,
        })
    }

    /// Names what moves if the change lets the structure go: stretches z with z + S·Δ·z = 0, movements W·Δ·z.
    fn check_held(&self, matrix: &DMatrix<f64>, change: &DMatrix<f64>) -> Result<(), FrameError> {
        let scale = DVector::from_iterator(
            matrix.ncols(),
            matrix
                .column_iter()
                .map(|column| 1.0 / column.norm().max(1.0)),
        );
        let scaled = matrix * DMatrix::from_diagonal(&scale);
        let svd = scaled.svd(false, true);
        let Some(directions) = &svd.v_t else {
            return Ok(());
        };
        let mut modes = Vec::new();
        for (k, _) in svd
            .singular_values
            .iter()
            .enumerate()
            .filter(|(_, value)| **value < SINGULAR)
        {
            let stretches = directions.row(k).transpose().component_mul(&scale);
            let mut movements = vec![0.0; self.factored.order()];
            self.probes.relieve(&mut movements, &(change * stretches));
            modes.push(self.factored.mode(&movements));
        }
        if modes.is_empty() {
            Ok(())
        } else {
            Err(FrameError::Mechanism(modes))
        }
    }
}

/// Loads brought to the unknowns.
pub(super) struct Driven {
    imposed: Vec<f64>,
    forces: Vec<f64>,
    /// The sizes of the forces and of the moments that drive the frame.
    pub(super) size: [f64; 2],
}

impl Driven {
    fn movements(&self, factored: &Factored, unknowns: &[f64]) -> Vec<f64> {
        let mut movements = factored.unknowns.spread(unknowns);
        movements
            .iter_mut()
            .zip(&self.imposed)
            .for_each(|(m, imposed)| *m += imposed);
        movements
    }
}
