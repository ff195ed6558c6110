//! The frame solved on every base, and what each anchor and joint owes to each load.
//!
//! What a load does to one anchor comes from one solution under unit forces at that anchor (Betti), so every load, every
//! part of the live load and every change of the anchor's own springs is worth a few products.

use super::build::{Base, Grip, Joint, JointKind, Model};
use super::columns::{Column, Loading, columns};
use super::{AnalysisError, BALANCE, DeckTotals};
use crate::analysis::deck::{FIRST_PART, Part};
use crate::analysis::frame::{Factored, LoadCase, Solution, Sparse, SpringId};
use crate::analysis::skyline::TOGETHER;
use crate::analysis::span::SpanLoad;
use crate::model::{Action, Carrier, Case, Magnitudes, Platform, Presence};
use nalgebra::{DMatrix, Vector3};
use std::ops::Range;

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

/// A stick of joist as it is loaded and carried: what its deck comes to, before anything of it is solved.
#[derive(Debug, Clone, PartialEq)]
pub struct Stick {
    /// Place of its deck.
    pub deck: usize,
    /// Where it begins and ends along its line (m).
    pub ends: [f64; 2],
    /// Place of each support along its line (m); beam and station of those on beams (m), none on a header.
    pub supports: Vec<(f64, Option<(usize, f64)>)>,
    /// Loads of whole cases along it, positive up.
    pub loads: Vec<(Case, SpanLoad)>,
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
    sources: Sources,
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
            sources: Sources::default(),
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
        this.sources = Sources::new(&this.model, &this.columns, &this.footings[0].factored)?;
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

    /// Centre of the loaded area of each deck in plan (m).
    pub fn centres(&self) -> Vec<[f64; 2]> {
        self.model.decks.iter().map(|deck| deck.centre).collect()
    }

    /// Every stick of joist, with the loads of the whole cases.
    pub fn sticks(&self) -> Vec<Stick> {
        let decks = self.model.decks.iter().enumerate();
        let all = decks.flat_map(|(deck, part)| {
            part.joists.iter().map(move |joist| {
                let place = |(x, seat): &(f64, Option<usize>)| (*x, seat.map(|k| joist.seats[k]));
                let whole = |(column, load): &(usize, SpanLoad)| match column
                    .checked_sub(FIRST_PART)
                    .map(|part_of_live| part.parts[part_of_live])
                {
                    None => Some((Case::ALL[*column], *load)),
                    Some(Part::OnOff) => Some((Case::Live, *load)),
                    Some(Part::Anywhere | Part::Uplift) => None,
                };
                Stick {
                    deck,
                    ends: joist.piece.ends,
                    supports: joist.piece.places.iter().map(place).collect(),
                    loads: joist.piece.loads.iter().filter_map(whole).collect(),
                }
            })
        });
        all.collect()
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
        Ok(self.anchors(index..index + 1)?.swap_remove(0))
    }

    /// The same for several anchors that follow one another, with one reading of the factors for all.
    ///
    /// # Errors
    /// As [`Solved::anchor`].
    pub fn anchors(&self, which: Range<usize>) -> Result<Vec<AnchorForces>, AnalysisError> {
        let mut all = which
            .clone()
            .map(|index| self.without_frame(index))
            .collect::<Result<Vec<_>, _>>()?;
        for base in [Base::Soft, Base::Stiff, Base::Rigid] {
            let Some(footing) = self.footing_on(base) else {
                continue;
            };
            let own = self.own(footing, which.clone())?;
            for (own, forces) in own
                .iter()
                .zip(&mut all)
                .filter(|(own, _)| !own.grips.is_empty())
            {
                for state in State::ALL
                    .into_iter()
                    .filter(|state| state.bases().0 == base)
                {
                    forces.states[state as usize] = own.state(self, state)?;
                }
            }
        }
        Ok(all)
    }

    /// What comes to an anchor straight, and its dead load once the wood has crept.
    fn without_frame(&self, index: usize) -> Result<AnchorForces, AnalysisError> {
        let direct = self.direct_columns(index);
        let state = |state| StateForces {
            state,
            columns: direct.clone(),
            level: Vec::new(),
            movement: Vec::new(),
            friction: Vec::new(),
        };
        let mut crept = self.direct(index, Case::Dead as usize);
        for (case, solution) in self.solutions(Base::Crept) {
            for grip in self.model.grips[index]
                .iter()
                .filter(|_| case == Case::Dead)
            {
                let tension = solution
                    .tension(grip.spring)
                    .map_err(AnalysisError::Frame)?;
                crept = plus(crept, self.on_axes(index, grip.axis * tension));
            }
        }
        Ok(AnchorForces {
            states: State::ALL.map(state).into(),
            crept,
            held_down: self.held_down(index),
            seat_height: self.seat_height(index),
        })
    }

    /// What each column puts straight on an anchor.
    fn direct_columns(&self, index: usize) -> Vec<Triple> {
        let columns = self.columns.iter();
        columns
            .map(|loading| self.sum_direct(index, &loading.direct))
            .collect()
    }

    fn sum_direct(&self, index: usize, direct: &[(usize, Vector3<f64>)]) -> Triple {
        if direct.is_empty() {
            return [0.0; 3];
        }
        let own = direct.iter().filter(|(anchor, _)| *anchor == index);
        self.on_axes(index, own.map(|(_, force)| force).sum())
    }

    /// What a column puts straight on an anchor.
    pub(super) fn direct(&self, index: usize, column: usize) -> Triple {
        self.sum_direct(index, &self.columns[column].direct)
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
        self.joints_that(|_| true)
    }

    /// What presses on some of the joints.
    pub(super) fn joints_that(
        &self,
        wanted: impl Fn(&JointForces) -> bool,
    ) -> Result<Vec<JointForces>, AnalysisError> {
        let named = |joint: &Joint| JointForces {
            kind: joint.kind,
            name: joint.name.clone(),
            presses: [Vec::new(), Vec::new()],
        };
        let all = self.model.joints.iter().map(|joint| (joint, named(joint)));
        let (own, mut forces): (Vec<&Joint>, Vec<JointForces>) =
            all.filter(|(_, joint)| wanted(joint)).unzip();
        for (place, base) in [Base::Soft, Base::Stiff].into_iter().enumerate() {
            let Some(footing) = self.footing_on(base) else {
                continue;
            };
            let factored = &footing.factored;
            for (joints, forces) in own.chunks(TOGETHER).zip(forces.chunks_mut(TOGETHER)) {
                let terms = stretches_of(factored, joints.iter().map(|joint| joint.spring))?;
                let (movements, moved) = factored.movements_together(terms.iter());
                let columns = 0..self.columns.len();
                let worths = self.sources.worths(&movements, &moved, columns);
                for (k, (joint, force)) in joints.iter().zip(forces).enumerate() {
                    let stiffness = factored.frame().stiffness_of(joint.spring);
                    let factor = joint.presses * stiffness.map_err(AnalysisError::Frame)?;
                    force.presses[place] = worths.iter().map(|worth| factor * worth[k]).collect();
                }
            }
        }
        Ok(forces)
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

    pub(super) fn sources(&self) -> &Sources {
        &self.sources
    }

    pub(super) fn factored(&self, base: Base) -> Option<&Factored> {
        self.footing_on(base).map(|footing| &footing.factored)
    }
}

/// Everything that stretches the grips of anchors, as forces on the unknowns: the same on every base.
#[derive(Debug, Default)]
pub(super) struct Sources {
    /// Where each begins in `terms`; one more entry marks the end.
    start: Vec<usize>,
    terms: Sparse,
    /// By source, its first and its last unknown.
    between: Vec<[usize; 2]>,
    /// First of the seats out of level, of the stems that move, of the sliding seats: before them are the columns.
    parts: [usize; 3],
    /// By anchor, the stretch of each of its grips.
    grips: Vec<Vec<Sparse>>,
}

impl Sources {
    fn new(
        model: &Model<'_>,
        columns: &[Loading],
        factored: &Factored,
    ) -> Result<Self, AnalysisError> {
        let mut this = Self {
            start: vec![0],
            ..Self::default()
        };
        for loading in columns {
            this.push(
                &factored
                    .forces(&loading.loads)
                    .map_err(AnalysisError::Frame)?,
            );
        }
        this.parts[0] = this.len();
        for grips in &model.grips {
            let own = stretches_of(factored, grips.iter().map(|grip| grip.spring))?;
            this.push(own.first().unwrap_or(&Sparse::new()));
            this.grips.push(own);
        }
        this.parts[1] = this.len();
        for trunk in &model.trunks {
            for terms in stretches_of(factored, trunk.springs.into_iter())? {
                this.push(&terms);
            }
        }
        this.parts[2] = this.len();
        for slider in &model.sliders {
            this.push(&slider_forces(model, factored, slider)?);
        }
        Ok(this)
    }

    fn push(&mut self, terms: &Sparse) {
        let unknowns = terms.iter().map(|(unknown, _)| *unknown);
        let none = [usize::MAX, 0];
        self.between
            .push(unknowns.fold(none, |[first, last], unknown| {
                [first.min(unknown), last.max(unknown)]
            }));
        self.terms.extend_from_slice(terms);
        self.start.push(self.terms.len());
    }

    fn len(&self) -> usize {
        self.start.len().saturating_sub(1)
    }

    /// The forces of one of them.
    pub(super) fn of(&self, source: usize) -> &[(usize, f64)] {
        &self.terms[self.start[source]..self.start[source + 1]]
    }

    /// The stretches of the grips of an anchor.
    pub(super) fn grips(&self, anchor: usize) -> &[Sparse] {
        &self.grips[anchor]
    }

    /// What each of some is worth under several movements, none of which is beyond the unknowns that moved.
    fn worths(
        &self,
        movements: &[[f64; TOGETHER]],
        moved: &Range<usize>,
        which: Range<usize>,
    ) -> Vec<[f64; TOGETHER]> {
        let one = |source: usize| {
            let [first, last] = self.between[source];
            if last < moved.start || moved.end <= first {
                [0.0; TOGETHER]
            } else {
                worth(movements, self.of(source))
            }
        };
        which.map(one).collect()
    }
}

/// What of each unknown stretches each of some springs.
pub(super) fn stretches_of(
    factored: &Factored,
    springs: impl Iterator<Item = SpringId>,
) -> Result<Vec<Sparse>, AnalysisError> {
    let terms = springs.map(|spring| factored.stretch_of(spring));
    terms
        .collect::<Result<_, _>>()
        .map_err(AnalysisError::Frame)
}

/// One anchor on one base: its stretch under everything.
struct Own<'a> {
    grips: &'a [Grip],
    /// Along each grip and anchor's axis: cosines, by grip.
    axes: Vec<Triple>,
    base: Base,
    index: usize,
    /// Movement along each grip by a unit force along each: with the anchor's own springs in place.
    flexibility: DMatrix<f64>,
    /// By grip: under each of the sources.
    stretches: Vec<Vec<f64>>,
}

impl Solved<'_> {
    /// Anchors that follow one another, on a base.
    fn own(&self, footing: &Footing, which: Range<usize>) -> Result<Vec<Own<'_>>, AnalysisError> {
        let mut all: Vec<Own<'_>> = which
            .map(|index| Own::bare(self, footing.base, index))
            .collect();
        // Grips of one direction together: what is felt near by dies away in all of them at once.
        let most = all.iter().map(|own| own.grips.len()).max().unwrap_or(0);
        let with = |grip: usize| {
            let own = all.iter().enumerate();
            own.filter(move |(_, own)| grip < own.grips.len())
                .map(move |(place, _)| [place, grip])
        };
        let places: Vec<[usize; 2]> = (0..most).flat_map(with).collect();
        for block in places.chunks(TOGETHER) {
            let terms = |[place, grip]: &[usize; 2]| &self.sources.grips(all[*place].index)[*grip];
            let (movements, moved) = footing.factored.movements_together(block.iter().map(terms));
            let sources = 0..self.sources.len();
            let worths = self.sources.worths(&movements, &moved, sources);
            for (k, [place, grip]) in block.iter().enumerate() {
                let own = &mut all[*place];
                own.stretches[*grip] = worths.iter().map(|worth| worth[k]).collect();
                for (other, terms) in self.sources.grips(own.index).iter().enumerate() {
                    own.flexibility[(other, *grip)] = worth(&movements, terms)[k];
                }
            }
        }
        for own in &mut all {
            own.agrees(self, footing)?;
            own.scale(self);
        }
        Ok(all)
    }
}

impl<'a> Own<'a> {
    fn bare(solved: &'a Solved<'_>, base: Base, index: usize) -> Self {
        let grips = &solved.model.grips[index];
        let n = grips.len();
        Self {
            axes: grips
                .iter()
                .map(|grip| solved.on_axes(index, grip.axis))
                .collect(),
            flexibility: DMatrix::zeros(n, n),
            stretches: vec![Vec::new(); n],
            grips,
            base,
            index,
        }
    }

    /// Seats that sink and stems that move push with the stiffness that they have on the base.
    fn scale(&mut self, solved: &Solved<'_>) {
        let [level, movement, friction] = solved.sources.parts;
        let model = &solved.model;
        for stretches in &mut self.stretches {
            for (stretch, grips) in stretches[level..movement].iter_mut().zip(&model.grips) {
                *stretch *= grips
                    .first()
                    .map_or(0.0, |grip| grip.stiffness[self.base as usize]);
            }
            let moved = stretches[movement..friction].chunks_exact_mut(2);
            for (pair, trunk) in moved.zip(&model.trunks) {
                for stretch in pair.iter_mut() {
                    *stretch *= trunk.stiffness;
                }
            }
        }
    }

    /// The whole cases come out the same by the solutions of the loads.
    fn agrees(&self, solved: &Solved<'_>, footing: &Footing) -> Result<(), AnalysisError> {
        for (stretches, grip) in self.stretches.iter().zip(self.grips) {
            let mut sums = [0.0; Case::ALL.len()];
            for (loading, stretch) in solved.columns.iter().zip(stretches) {
                let case = loading.column.case;
                if belongs(loading, case) {
                    sums[case as usize] += stretch;
                }
            }
            for (case, solution) in solved.cases.iter().zip(&footing.solutions) {
                let size = solution.balance().size;
                let tension = solution
                    .tension(grip.spring)
                    .map_err(AnalysisError::Frame)?;
                let own = sums[*case as usize] * grip.stiffness[self.base as usize];
                let off = (own - tension).abs();
                if off > BALANCE * size {
                    return Err(AnalysisError::Unbalanced(off / size));
                }
            }
        }
        Ok(())
    }

    /// What turns stretches of the grips into forces along the anchor's axes, itself on another base than the others.
    fn forces_by_stretch(&self, to: Base) -> Result<Vec<Triple>, AnalysisError> {
        let n = self.grips.len();
        let stiffness = |k: usize, base: Base| self.grips[k].stiffness[base as usize];
        let mut system = DMatrix::<f64>::identity(n, n);
        for k in 0..n {
            let change = stiffness(k, to) - stiffness(k, self.base);
            for row in 0..n {
                system[(row, k)] += self.flexibility[(row, k)] * change;
            }
        }
        let Some(inverse) = system.try_inverse() else {
            return Err(AnalysisError::Unbalanced(1.0));
        };
        let along = |k: usize, c: usize| -> f64 {
            let rows = self.axes.iter().enumerate();
            rows.map(|(row, axes)| axes[c] * stiffness(row, to) * inverse[(row, k)])
                .sum()
        };
        Ok((0..n)
            .map(|k| std::array::from_fn(|c| along(k, c)))
            .collect())
    }

    /// The anchor itself on another base than the others.
    fn state(&self, solved: &Solved<'_>, state: State) -> Result<StateForces, AnalysisError> {
        let to = state.bases().1;
        let by_stretch = self.forces_by_stretch(to)?;
        let forces = |range: Range<usize>| -> Vec<Triple> {
            let mut sums = vec![[0.0; 3]; range.len()];
            for (stretches, factors) in self.stretches.iter().zip(&by_stretch) {
                for (sum, stretch) in sums.iter_mut().zip(&stretches[range.clone()]) {
                    (0..3).for_each(|c| sum[c] += factors[c] * stretch);
                }
            }
            sums
        };
        let [first_level, first_movement, first_friction] = solved.sources.parts;
        let mut columns = forces(0..first_level);
        for (sum, loading) in columns.iter_mut().zip(&solved.columns) {
            *sum = plus(*sum, solved.sum_direct(self.index, &loading.direct));
        }
        let mut level = forces(first_level..first_movement);
        level[self.index] = self.own_seat(&by_stretch, to);
        let movement = forces(first_movement..first_friction);
        let mut friction = forces(first_friction..solved.sources.len());
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

    /// Its own seat: the ground of its first grip goes down by one.
    fn own_seat(&self, by_stretch: &[Triple], to: Base) -> Triple {
        let own = self.grips[0].stiffness[to as usize];
        let mut sum = [0.0; 3];
        for (k, factors) in by_stretch.iter().enumerate() {
            let stretch = self.flexibility[(k, 0)] * own;
            (0..3).for_each(|c| sum[c] += factors[c] * stretch);
        }
        (0..3).for_each(|c| sum[c] -= self.axes[0][c] * own);
        sum
    }
}

/// A newton of friction on a beam, along it, and the same on the stem that its seat stands on, the other way.
fn slider_forces(
    model: &Model<'_>,
    factored: &Factored,
    slider: &super::build::Slider,
) -> Result<Sparse, AnalysisError> {
    use crate::analysis::frame::Dof;
    let trunk = model.trunks[model.trunk_of[slider.anchor]].node;
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

/// What forces are worth under several movements.
pub(super) fn worth(movements: &[[f64; TOGETHER]], forces: &[(usize, f64)]) -> [f64; TOGETHER] {
    let mut worth = [0.0; TOGETHER];
    for (at, force) in forces {
        for (sum, moved) in worth.iter_mut().zip(&movements[*at]) {
            *sum += moved * force;
        }
    }
    worth
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
