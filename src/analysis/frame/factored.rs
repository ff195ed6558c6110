//! A frame with its stiffness factorized: the unknowns, their order, and the step from loads to a checked solution.

use std::ops::Range;
use std::sync::Arc;

use super::change::{Probes, Variant};
use super::element::{Element, Natural, cross, minus, part};
use super::load::{LoadCase, Particular, Prepared};
use super::numbering;
use super::solution::Solution;
use super::{
    Balance, Coupling, Dof, Frame, FrameError, Member, Mode, Motion, NodeId, SpringId, slot,
};
use crate::analysis::skyline::{Factors, Singular, Skyline, TOGETHER};

/// What a solution may leave unbalanced, as a fraction of its loads.
pub(super) const TOLERANCE: f64 = 1e-9;

/// A solution this far within the tolerance is not refined further.
const REFINED: f64 = 1e-3 * TOLERANCE;

/// Corrections of a solution by its own residual before it is judged.
const REFINEMENTS: usize = 3;

/// A diagonal entry below this fraction of the greatest of its kind is rounding: axes skew by 1e-12 leave so much.
const NOTHING: f64 = 1e-24;

/// Movements below this fraction of the greatest are left out of a mode.
const STILL: f64 = 1e-9;

/// Which unknown each direction of each node is.
#[derive(Clone, Debug)]
pub(super) struct Unknowns {
    /// None for directions that are held.
    pub(super) equation: Vec<Option<usize>>,
    /// Slots that share their movement with another node.
    pub(super) tied: Vec<usize>,
    /// For each slot the slot that stands for all that are tied to it.
    leader: Vec<usize>,
    /// Unknowns that nothing stiffens.
    idle: Vec<usize>,
    order: usize,
}

impl Unknowns {
    fn new(frame: &Frame) -> Self {
        let slots = 6 * frame.nodes.len();
        let mut leader: Vec<usize> = (0..slots).collect();
        for (a, b, dof) in &frame.ties {
            let (a, b) = (
                find(&mut leader, slot(*a, *dof)),
                find(&mut leader, slot(*b, *dof)),
            );
            leader[a.max(b)] = a.min(b);
        }
        let mut tied = Vec::new();
        if !frame.ties.is_empty() {
            (0..slots).for_each(|slot| leader[slot] = find(&mut leader, slot));
            let mut shared = vec![false; slots];
            (0..slots)
                .filter(|slot| leader[*slot] != *slot)
                .for_each(|slot| shared[leader[slot]] = true);
            tied = (0..slots).filter(|slot| shared[leader[*slot]]).collect();
        }
        let mut held: Vec<bool> = (0..slots)
            .map(|slot| frame.fixed_everywhere[slot % 6])
            .collect();
        (0..slots)
            .filter(|slot| frame.fixed_everywhere[slot % 6])
            .for_each(|slot| held[leader[slot]] = true);
        frame
            .fixed
            .iter()
            .for_each(|(node, dof)| held[leader[slot(*node, *dof)]] = true);

        let mut this = Self {
            equation: vec![None; slots],
            tied,
            leader,
            idle: Vec::new(),
            order: 0,
        };
        for node in numbering::order(frame.nodes.len(), &edges(frame)) {
            for slot in 6 * node..6 * node + 6 {
                let leader = this.leader[slot];
                if !held[leader] && this.equation[leader].is_none() {
                    this.equation[leader] = Some(this.order);
                    this.order += 1;
                }
                this.equation[slot] = this.equation[leader];
            }
        }
        this
    }

    fn of_member(&self, member: &Member) -> [Option<usize>; 12] {
        std::array::from_fn(|c| {
            self.equation[if c < 6 {
                6 * member.a.0 + c
            } else {
                6 * member.b.0 + c - 6
            }]
        })
    }

    /// The directions that an unknown stands for.
    fn directions(&self, equation: usize) -> impl Iterator<Item = (NodeId, Dof)> + '_ {
        let slots = self
            .equation
            .iter()
            .enumerate()
            .filter(move |(_, e)| **e == Some(equation));
        slots.map(|(slot, _)| (NodeId(slot / 6), Dof::ALL[slot % 6]))
    }

    /// Movements of all slots from those of the unknowns.
    pub(super) fn spread(&self, values: &[f64]) -> Vec<f64> {
        self.equation
            .iter()
            .map(|equation| equation.map_or(0.0, |e| values[e]))
            .collect()
    }
}

fn find(leader: &mut [usize], mut slot: usize) -> usize {
    while leader[slot] != slot {
        leader[slot] = leader[leader[slot]];
        slot = leader[slot];
    }
    slot
}

/// Pairs of nodes whose movements meet in one equation.
fn edges(frame: &Frame) -> Vec<(usize, usize)> {
    let members = frame.members.iter().map(|member| (member.a.0, member.b.0));
    let links = frame
        .springs
        .iter()
        .filter_map(|spring| spring.b.map(|(b, _)| (spring.a.0, b.0)));
    let ties = frame.ties.iter().map(|(a, b, _)| (a.0, b.0));
    let mut edges: Vec<(usize, usize)> = members.chain(links).chain(ties).collect();
    for Coupling { slots, .. } in &frame.couplings {
        let mut nodes: Vec<usize> = slots.iter().map(|slot| slot / 6).collect();
        nodes.sort_unstable();
        nodes.dedup();
        let pairs = nodes
            .iter()
            .enumerate()
            .flat_map(|(k, a)| nodes[..k].iter().map(move |b| (*b, *a)));
        edges.extend(pairs);
    }
    edges
}

/// A vector of the unknowns, of which most are zero: place and value.
pub type Sparse = Vec<(usize, f64)>;

/// A frame ready to be solved.
#[derive(Clone, Debug)]
pub struct Factored {
    pub(super) frame: Arc<Frame>,
    pub(super) unknowns: Arc<Unknowns>,
    factors: Factors,
    /// The length that compares forces with moments: the extent of the frame.
    extent: f64,
    /// The springs that act one way; empty in most frames.
    one_way: Probes,
}

/// The forces of a frame under given movements.
pub(super) struct State {
    pub(super) members: Vec<Natural>,
    /// What the nodes need to be held in place, before the loads on them.
    pub(super) nodal: Vec<f64>,
    /// Tension of each spring.
    pub(super) springs: Vec<f64>,
    /// Forces of springs and spring matrices to the ground on the nodes.
    pub(super) ground: Vec<f64>,
}

impl Factored {
    pub(super) fn new(frame: &Frame) -> Result<Self, FrameError> {
        let mut frame = frame.clone();
        let extent;
        (frame.middle, extent) = middle_and_extent(&frame);
        let mut unknowns = Unknowns::new(&frame);
        let mut stiffness = Skyline::zeros(profile(&frame, &unknowns));
        assemble(&frame, &unknowns, &mut stiffness);
        brace_idle(&frame, &mut unknowns, &mut stiffness)?;
        let factors = stiffness.factorize().map_err(|singular| match singular {
            Singular::Null(vectors) => {
                FrameError::Mechanism(vectors.iter().map(|v| mode(&unknowns, v, extent)).collect())
            }
            Singular::Negative(vector) => {
                FrameError::NegativeStiffness(mode(&unknowns, &vector, extent))
            }
        })?;
        let mut this = Self {
            frame: Arc::new(frame),
            unknowns: Arc::new(unknowns),
            factors,
            extent,
            one_way: Probes::default(),
        };
        this.one_way = this.probes(&[])?;
        Ok(this)
    }

    /// The frame as it was factorized.
    pub fn frame(&self) -> &Frame {
        &self.frame
    }

    /// The number of unknowns.
    pub fn order(&self) -> usize {
        self.unknowns.order
    }

    /// Displacements, reactions and member forces under a load case. Springs and links that act one way open where
    /// they would be pulled.
    ///
    /// # Errors
    /// Loads that are not finite or have no place, one-way springs that do not settle or let the structure go, a
    /// solution that does not balance to 1e-9 of its loads.
    pub fn solve(&self, loads: &LoadCase) -> Result<Solution, FrameError> {
        Variant::unchanged(self, &self.one_way).solve(loads)
    }

    /// Forces on the unknowns to which a load case comes, members and springs brought to their ends. Only what is
    /// loaded is looked at.
    ///
    /// # Errors
    /// Loads that are not finite or have no place, or on what nothing stiffens.
    pub fn forces(&self, loads: &LoadCase) -> Result<Sparse, FrameError> {
        let (by_slot, size) = loads.on_slots(&self.frame)?;
        let mut forces = Sparse::new();
        for (slot, force) in by_slot {
            if let Some(equation) = self.unknowns.equation[slot] {
                forces.push((equation, force));
            }
        }
        gather(&mut forces);
        if !self.unknowns.idle.is_empty() {
            let mut all = vec![0.0; self.unknowns.order];
            for (k, force) in &forces {
                all[*k] = *force;
            }
            self.check_idle(&all, size)?;
        }
        Ok(forces)
    }

    /// What of each unknown stretches a spring.
    ///
    /// # Errors
    /// A spring of another frame.
    pub fn stretch_of(&self, spring: SpringId) -> Result<Sparse, FrameError> {
        let mut terms = Sparse::new();
        for (slot, d) in self.frame.spring_of(spring)?.terms() {
            if let Some(equation) = self.unknowns.equation[slot] {
                match terms.iter_mut().find(|(known, _)| *known == equation) {
                    Some((_, sum)) => *sum += d,
                    None => terms.push((equation, d)),
                }
            }
        }
        Ok(terms)
    }

    /// Movements of all unknowns under forces on some, without regard to springs that act one way.
    pub fn movements(&self, forces: &Sparse) -> Vec<f64> {
        let mut movements = vec![0.0; self.unknowns.order];
        for (place, force) in forces {
            movements[*place] += force;
        }
        self.apply_inverse(&mut movements);
        movements
    }

    /// The same for up to [`TOGETHER`] sets of forces at once: by unknown, the movement under each; and beyond which
    /// unknowns none moves.
    pub fn movements_together<'f>(
        &self,
        sets: impl Iterator<Item = &'f Sparse>,
    ) -> (Vec<[f64; TOGETHER]>, Range<usize>) {
        let mut movements = vec![[0.0; TOGETHER]; self.unknowns.order];
        for (k, forces) in sets.take(TOGETHER).enumerate() {
            for (place, force) in forces {
                movements[*place][k] += force;
            }
        }
        let moved = self.factors.solve_together(&mut movements);
        (movements, moved)
    }

    /// Displacements of the unknowns under forces on them, in place.
    pub(super) fn apply_inverse(&self, forces: &mut [f64]) {
        self.factors.solve(forces);
    }

    pub(super) fn mode(&self, vector: &[f64]) -> Mode {
        mode(&self.unknowns, vector, self.extent)
    }

    /// Prescribed movements of held directions, zero elsewhere.
    pub(super) fn imposed(&self, loads: &LoadCase) -> Result<Vec<f64>, FrameError> {
        let Unknowns {
            equation,
            leader,
            tied,
            ..
        } = &*self.unknowns;
        let mut movements = vec![0.0; equation.len()];
        for &(node, dof, value) in &loads.settlements {
            self.frame.place(node)?;
            if !value.is_finite() {
                return Err(FrameError::NotFinite(format!("a movement of {node}")));
            }
            if equation[slot(node, dof)].is_some() {
                return Err(FrameError::Settlement { node, dof });
            }
            movements[slot(node, dof)] += value;
        }
        for &(node, dof, _) in &loads.settlements {
            let here = slot(node, dof);
            for &other in tied.iter().filter(|other| leader[**other] == leader[here]) {
                if movements[other] != 0.0 && (movements[other] - movements[here]).abs() > 0.0 {
                    return Err(FrameError::Settlement { node, dof });
                }
                movements[other] = movements[here];
            }
        }
        Ok(movements)
    }

    /// Forces on the unknowns that a state leaves over.
    pub(super) fn left_over(&self, prepared: &Prepared, state: &State) -> Vec<f64> {
        let mut rest = vec![0.0; self.unknowns.order];
        let terms = self
            .unknowns
            .equation
            .iter()
            .zip(prepared.nodal.iter().zip(&state.nodal));
        for (equation, (load, needed)) in terms {
            if let Some(equation) = equation {
                rest[*equation] += load - needed;
            }
        }
        rest
    }

    /// Refuses forces on unknowns that nothing stiffens.
    pub(super) fn check_idle(&self, forces: &[f64], size: [f64; 2]) -> Result<(), FrameError> {
        let scale = self.scales(size);
        for &equation in &self.unknowns.idle {
            let loaded = |dof: &Dof| ratio(forces[equation], scale[dof.index() / 3]) > REFINED;
            let mut directions = self.unknowns.directions(equation);
            if let Some((node, dof)) = directions.next().filter(|(_, dof)| loaded(dof)) {
                return Err(FrameError::LoadOnIdle { node, dof });
            }
        }
        Ok(())
    }

    /// Corrects movements by what they leave over, until they balance as well as the numbers allow.
    pub(super) fn refine(
        &self,
        prepared: &Prepared,
        size: [f64; 2],
        movements: &mut [f64],
        evaluate: impl Fn(&[f64]) -> State,
        apply_inverse: impl Fn(&mut [f64]),
    ) -> (State, f64) {
        let mut state = evaluate(movements);
        let mut rest = self.left_over(prepared, &state);
        let mut worst = self.relative(&rest, size);
        for _ in 0..REFINEMENTS {
            if worst <= REFINED {
                break;
            }
            apply_inverse(&mut rest);
            let better: Vec<f64> = movements
                .iter()
                .zip(self.unknowns.spread(&rest))
                .map(|(old, correction)| old + correction)
                .collect();
            let next = evaluate(&better);
            rest = self.left_over(prepared, &next);
            let now = self.relative(&rest, size);
            if now >= worst {
                break;
            }
            movements.copy_from_slice(&better);
            (state, worst) = (next, now);
        }
        (state, worst)
    }

    /// Forces of members, springs and couplings under movements of all slots.
    pub(super) fn evaluate(
        &self,
        movements: &[f64],
        prepared: &Prepared,
        stiffness: &[f64],
    ) -> State {
        let frame = &*self.frame;
        let mut nodal = vec![0.0; movements.len()];
        let mut ground = vec![0.0; movements.len()];
        let mut members = Vec::with_capacity(frame.members.len());
        for (k, member) in frame.members.iter().enumerate() {
            members.push(hold(member, prepared.members.get(k), movements, &mut nodal));
        }
        let mut springs = Vec::with_capacity(frame.springs.len());
        for ((spring, k), moved) in frame.springs.iter().zip(stiffness).zip(&prepared.springs) {
            let tension = k
                * (spring
                    .terms()
                    .map(|(slot, d)| d * movements[slot])
                    .sum::<f64>()
                    - moved);
            for (slot, d) in spring.terms() {
                nodal[slot] += d * tension;
                if spring.b.is_none() {
                    ground[slot] -= d * tension;
                }
            }
            springs.push(tension);
        }
        for coupling in &frame.couplings {
            for (slot, force) in coupling.slots.iter().zip(coupling.forces(movements)) {
                nodal[*slot] -= force;
                if coupling.grounded {
                    ground[*slot] += force;
                }
            }
        }
        State {
            members,
            nodal,
            springs,
            ground,
        }
    }

    /// The largest of some forces and moments on the unknowns against the sizes of the loads' forces and moments.
    fn relative(&self, rest: &[f64], size: [f64; 2]) -> f64 {
        let scale = self.scales(size);
        let slots = self.unknowns.equation.iter().enumerate();
        let worst = slots
            .filter_map(|(slot, equation)| equation.map(|e| ratio(rest[e], scale[slot % 6 / 3])));
        worst.fold(0.0, f64::max)
    }

    fn scales(&self, [forces, moments]: [f64; 2]) -> [f64; 2] {
        [
            forces + moments / self.extent,
            moments + forces * self.extent,
        ]
    }

    /// Loads and reactions of the whole, against the size of the loads.
    pub(super) fn balance(
        &self,
        prepared: &Prepared,
        size: [f64; 2],
        external: &[f64],
        residual: f64,
    ) -> Balance {
        let mut sum = prepared.resultant;
        for (place, forces) in self.frame.nodes.iter().zip(external.chunks_exact(6)) {
            let force = part(forces, 0);
            let turning = cross(minus(*place, self.frame.middle), force);
            for c in 0..3 {
                sum[c] += force[c];
                sum[c + 3] += forces[c + 3] + turning[c];
            }
        }
        let scale = self.scales(size);
        Balance {
            residual,
            equilibrium: std::array::from_fn(|c| sum[c].signum() * ratio(sum[c], scale[c / 3])),
            loads: part(&prepared.resultant, 0),
            size: scale[0],
        }
    }
}

/// Adds up what is at one place, leaves out what is nothing.
fn gather(terms: &mut Sparse) {
    terms.sort_by_key(|(place, _)| *place);
    terms.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        kept.1 += if same { next.1 } else { 0.0 };
        same
    });
    terms.retain(|(_, force)| *force != 0.0);
}

impl Coupling {
    /// Its forces on the nodes.
    pub(super) fn forces<'a>(&'a self, movements: &'a [f64]) -> impl Iterator<Item = f64> + 'a {
        let row = move |r| {
            self.slots
                .iter()
                .enumerate()
                .map(|(c, slot)| -self.matrix[(r, c)] * movements[*slot])
                .sum()
        };
        (0..self.slots.len()).map(row)
    }
}

/// |a|/b, zero where both are, and never more than a number can hold.
fn ratio(a: f64, b: f64) -> f64 {
    if a == 0.0 {
        0.0
    } else {
        (a.abs() / b).min(f64::MAX)
    }
}

/// The forces of one member; what they ask of its nodes is added to `nodal`.
fn hold(
    member: &Member,
    loaded: Option<&Particular>,
    movements: &[f64],
    nodal: &mut [f64],
) -> Natural {
    let Member { a, b, element } = member;
    let (i, j) = (6 * a.0, 6 * b.0);
    let (start, end) = (&movements[i..i + 6], &movements[j..j + 6]);
    let still = start.iter().chain(end).all(|m| *m == 0.0);
    let mut deformation = if still {
        Natural::default()
    } else {
        element.deformation(start, end)
    };
    if let Some(loaded) = loaded {
        deformation
            .iter_mut()
            .zip(loaded.free)
            .for_each(|(d, free)| *d -= free);
    }
    let natural = element.forces(&deformation);
    let mut ends = element.end_forces(&natural);
    if let Some(loaded) = loaded {
        ends.iter_mut()
            .zip(loaded.held)
            .for_each(|(end, held)| (0..3).for_each(|c| end[c] += held[c]));
    }
    for (at, end) in [(i, ends[0]), (j, ends[1])] {
        let (force, moment) = (element.global(part(&end, 0)), element.global(part(&end, 3)));
        for c in 0..3 {
            nodal[at + c] += force[c];
            nodal[at + c + 3] += moment[c];
        }
    }
    natural
}

fn middle_and_extent(frame: &Frame) -> ([f64; 3], f64) {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for place in &frame.nodes {
        for c in 0..3 {
            low[c] = low[c].min(place[c]);
            high[c] = high[c].max(place[c]);
        }
    }
    let extent = (0..3)
        .map(|c| (high[c] - low[c]).max(0.0))
        .fold(0.0, f64::hypot);
    if frame.nodes.is_empty() {
        return ([0.0; 3], 1.0);
    }
    (
        std::array::from_fn(|c| f64::midpoint(low[c], high[c])),
        if extent > 0.0 { extent } else { 1.0 },
    )
}

/// The first row of each column of the stiffness.
fn profile(frame: &Frame, unknowns: &Unknowns) -> Vec<usize> {
    let mut first: Vec<usize> = (0..unknowns.order).collect();
    let mut meet = |equations: &[Option<usize>]| {
        if let Some(least) = equations.iter().flatten().min() {
            equations
                .iter()
                .flatten()
                .for_each(|e| first[*e] = first[*e].min(*least));
        }
    };
    frame
        .members
        .iter()
        .for_each(|member| meet(&unknowns.of_member(member)));
    for spring in &frame.springs {
        meet(
            &spring
                .terms()
                .map(|(slot, _)| unknowns.equation[slot])
                .collect::<Vec<_>>(),
        );
    }
    for coupling in &frame.couplings {
        meet(
            &coupling
                .slots
                .iter()
                .map(|slot| unknowns.equation[*slot])
                .collect::<Vec<_>>(),
        );
    }
    first
}

fn assemble(frame: &Frame, unknowns: &Unknowns, stiffness: &mut Skyline) {
    for member in &frame.members {
        assemble_member(&member.element, &unknowns.of_member(member), stiffness);
    }
    for spring in &frame.springs {
        for (r, dr) in spring.terms() {
            for (c, dc) in spring.terms().filter(|(c, _)| *c <= r) {
                scatter(
                    stiffness,
                    (unknowns.equation[r], unknowns.equation[c]),
                    r == c,
                    spring.k * dr * dc,
                );
            }
        }
    }
    for Coupling { slots, matrix, .. } in &frame.couplings {
        for (r, row) in slots.iter().enumerate() {
            for (c, column) in slots[..=r].iter().enumerate() {
                scatter(
                    stiffness,
                    (unknowns.equation[*row], unknowns.equation[*column]),
                    r == c,
                    matrix[(r, c)],
                );
            }
        }
    }
}

fn assemble_member(element: &Element, equations: &[Option<usize>; 12], stiffness: &mut Skyline) {
    let modes = element.modes();
    for (c, column) in equations.iter().enumerate().filter(|(_, e)| e.is_some()) {
        let forces = element.forces(&modes[c]);
        for (r, row) in equations[..=c]
            .iter()
            .enumerate()
            .filter(|(_, e)| e.is_some())
        {
            let work: f64 = modes[r].iter().zip(forces).map(|(d, f)| d * f).sum();
            scatter(stiffness, (*row, *column), r == c, work);
        }
    }
}

/// Adds an entry and its mirror image, which are two entries of the diagonal where different slots are one unknown.
fn scatter(stiffness: &mut Skyline, place: (Option<usize>, Option<usize>), same: bool, value: f64) {
    if let (Some(row), Some(column)) = place {
        stiffness.add(
            row,
            column,
            if row == column && !same {
                2.0 * value
            } else {
                value
            },
        );
    }
}

/// Finds unknowns that nothing stiffens; holds them if they are to be dropped.
fn brace_idle(
    frame: &Frame,
    unknowns: &mut Unknowns,
    stiffness: &mut Skyline,
) -> Result<(), FrameError> {
    let mut kind = vec![0; unknowns.order];
    let free = unknowns
        .equation
        .iter()
        .enumerate()
        .filter_map(|(slot, equation)| equation.map(|e| (slot, e)));
    free.for_each(|(slot, equation)| kind[equation] = slot % 6 / 3);
    let mut greatest = [0.0_f64; 2];
    kind.iter()
        .enumerate()
        .for_each(|(e, kind)| greatest[*kind] = greatest[*kind].max(stiffness.diagonal(e)));
    let weak = |e: &usize| stiffness.diagonal(*e).abs() <= NOTHING * greatest[kind[*e]];
    unknowns.idle = (0..unknowns.order).filter(weak).collect();
    if !frame.drop_idle && !unknowns.idle.is_empty() {
        return Err(FrameError::Idle(
            unknowns
                .idle
                .iter()
                .flat_map(|e| unknowns.directions(*e))
                .collect(),
        ));
    }
    for &equation in &unknowns.idle {
        let stiff = greatest[kind[equation]];
        stiffness.add(equation, equation, if stiff > 0.0 { stiff } else { 1.0 });
    }
    Ok(())
}

/// A motion of the unknowns as one of the nodes.
fn mode(unknowns: &Unknowns, vector: &[f64], extent: f64) -> Mode {
    let mut moved = unknowns.spread(vector);
    let greatest = |kind: usize, moved: &[f64]| {
        moved
            .iter()
            .enumerate()
            .filter(|(slot, _)| slot % 6 / 3 == kind)
            .fold(0.0_f64, |most, (_, v)| most.max(v.abs()))
    };
    let (translation, rotation) = (greatest(0, &moved), greatest(1, &moved));
    let scale = if translation > STILL * rotation * extent {
        translation
    } else {
        rotation
    };
    for v in &mut moved {
        *v = if v.abs() > STILL * scale {
            *v / scale
        } else {
            0.0
        };
    }
    let motions = moved
        .chunks_exact(6)
        .enumerate()
        .filter(|(_, six)| six.iter().any(|v| *v != 0.0));
    let motion = |(node, six): (usize, &[f64])| Motion {
        node: NodeId(node),
        translation: part(six, 0),
        rotation: part(six, 3),
    };
    Mode(motions.map(motion).collect())
}
