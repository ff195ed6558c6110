//! A second opinion: every attachment solved once more by routes that share no code with the first, and both answers
//! side by side.
//!
//! | asked | first | second |
//! |---|---|---|
//! | the elastic bar | exact functions of each piece | `bar`: cubic elements on a bed of springs |
//! | the limit load | the least of all mechanisms | `plastic`: a linear programme over states of balance |
//! | what comes to each anchor | a sparse factorization, loads by influence | `frame`: one dense matrix for each state |
//!
//! The routes read the model, the loads with a direction and the sticks that decks are cut into; beyond those they take
//! nothing from the rooms that they judge. What is not compared is named: [`Opinion::not_compared`].

mod anchor;
mod banded;
mod bar;
mod frame;
mod joist;
mod plastic;
#[cfg(test)]
mod tests;

use crate::analysis::platform::{self, AnalysisError, Solved, State};
use crate::checks::{Attachment, Fit, Results, Worst};
use crate::loads::{self, LoadError};
use crate::model::{Action, Bound, Case, Criteria, LimitState, Platform, Presence};
use anchor::{Second, Under};
use frame::{Brought, Frame};
use joist::Joist;
use serde::Serialize;

/// How far two uses of the elastic bar may lie apart (1): elements and the parabolas through them are good to about
/// 1e-7, the search of the checks for the worst place to about as much.
const BAR: f64 = 1e-6;
/// How far two limit loads may lie apart (1): the programme cuts its slices until a cut is worth less than 1e-9, and its
/// simplex steps leave about as much.
const LIMIT: f64 = 1e-6;
/// How far two forces on an anchor may lie apart, as a fraction of the load (1): seats a thousand times as stiff as
/// anchors, and rigid anchors a thousand times as stiff again, leave ten of sixteen digits of a dense matrix.
const FRAME: f64 = 1e-6;
/// The most unknowns with which the states of single anchors are solved too: each asks for matrices of its own.
const FEW: usize = 700;

/// Why there is no second opinion.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OpinionError {
    /// A second route has no answer.
    #[error("no second opinion: {what} has no answer")]
    NoAnswer {
        /// The route.
        what: &'static str,
    },
    /// The results are those of another platform.
    #[error("no second opinion: the results are of another platform, which has no anchor {0}")]
    NoAnchor(String),
    /// The first analysis has no answer.
    #[error(transparent)]
    Analysis(#[from] AnalysisError),
    /// A load has no meaning.
    #[error("a load can not be worked out: {0}")]
    Loads(#[from] LoadError),
}

/// One value from both routes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Id of the anchor.
    pub anchor: String,
    /// What was compared.
    pub what: String,
    /// The value of the checks (SI, or 1).
    pub first: f64,
    /// The value of the second route (SI, or 1).
    pub second: f64,
    /// How far they lie apart, as a fraction of the larger, or of the load that brings a force (1).
    pub difference: f64,
    /// How far they may lie apart (1).
    pub tolerance: f64,
    /// Where the tolerance comes from.
    pub because: &'static str,
}

impl Comparison {
    fn of(anchor: &str, what: impl Into<String>, [first, second]: [f64; 2], route: Route) -> Self {
        let size = first.abs().max(second.abs());
        Self::by(
            anchor,
            what,
            [first, second],
            (first - second).abs(),
            size,
            route,
        )
    }

    fn by(
        anchor: &str,
        what: impl Into<String>,
        [first, second]: [f64; 2],
        off: f64,
        size: f64,
        route: Route,
    ) -> Self {
        let (tolerance, because) = route.tolerance();
        Self {
            anchor: anchor.to_owned(),
            what: what.into(),
            first,
            second,
            difference: if off == 0.0 { 0.0 } else { off / size },
            tolerance,
            because,
        }
    }

    /// Whether both are near enough; what is no number never is.
    pub fn agrees(&self) -> bool {
        self.difference <= self.tolerance
    }
}

/// By what a value was found again.
#[derive(Debug, Clone, Copy)]
enum Route {
    Bar,
    Limit,
    Frame,
}

impl Route {
    const fn tolerance(self) -> (f64, &'static str) {
        match self {
            Self::Bar => (BAR, "fourth-order elements and parabolas at the largest"),
            Self::Limit => (LIMIT, "slices cut until a cut is worth less than 1e-9"),
            Self::Frame => (FRAME, "digits that stiff seats leave in a dense matrix"),
        }
    }
}

/// Both answers side by side.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Opinion {
    /// Every value that was found again.
    pub comparisons: Vec<Comparison>,
    /// What was not compared, and why.
    pub not_compared: Vec<String>,
}

impl Opinion {
    /// Values that lie farther apart than they may.
    pub fn differing(&self) -> impl Iterator<Item = &Comparison> {
        self.comparisons.iter().filter(|own| !own.agrees())
    }

    /// Whether something was compared and nothing differs.
    pub fn agrees(&self) -> bool {
        !self.comparisons.is_empty() && self.differing().next().is_none()
    }

    /// The comparison that lies farthest apart beside its tolerance.
    pub fn largest(&self) -> Option<&Comparison> {
        let share = |own: &Comparison| own.difference / own.tolerance;
        let all = self.comparisons.iter();
        all.max_by(|a, b| share(a).total_cmp(&share(b)))
    }

    /// What it says, in one sentence.
    pub fn words(&self) -> String {
        let count = self.comparisons.len();
        let differing = self.differing().count();
        match self.largest() {
            None => "second opinion: nothing could be compared".to_owned(),
            Some(_) if differing > 0 => {
                format!("second opinion: {differing} of {count} values differ")
            }
            Some(own) => format!(
                "second opinion: {count} values compared, largest difference {:.0e}",
                own.difference
            ),
        }
    }
}

impl Platform {
    /// Solves every attachment once more by other routes and compares with the results of a check of this platform.
    ///
    /// # Errors
    /// A route without an answer, or results of another platform. That values differ is no error here:
    /// [`Opinion::differing`] names them.
    pub fn second_opinion(&self, results: &Results) -> Result<Opinion, OpinionError> {
        let mut opinion = Opinion::default();
        let criteria = results.criteria();
        for attachment in results.attachments() {
            let place = self.place_of(attachment)?;
            let anchor = &self.anchors()[place];
            let mut second = Second::new(anchor, self.stem_of(anchor), criteria);
            bars(&mut opinion, attachment, &mut second)?;
        }
        self.forces(&mut opinion, results)?;
        opinion.not_compared.extend(NOT_COMPARED.map(str::to_owned));
        Ok(opinion)
    }

    fn place_of(&self, attachment: &Attachment) -> Result<usize, OpinionError> {
        let id = attachment.anchor();
        let place = self.anchors().iter().position(|anchor| anchor.id == id);
        place.ok_or_else(|| OpinionError::NoAnchor(id.to_owned()))
    }

    /// What comes to each anchor, from both frames.
    fn forces(&self, opinion: &mut Opinion, results: &Results) -> Result<(), OpinionError> {
        let criteria = results.criteria();
        let actions = loads::actions(self, criteria)?;
        let solved = platform::solve(self, &actions, criteria)?;
        let frame = self.frame(&solved, &actions, criteria)?;
        if frame.size() > frame::MOST {
            opinion.not_compared.push(format!(
                "forces on anchors: {} unknowns are more than the {} that a dense matrix is worth",
                frame.size(),
                frame::MOST
            ));
            return Ok(());
        }
        let states = States::new(self, &frame)?;
        if !states.single {
            opinion.not_compared.push(format!(
                "forces on anchors of which one alone is softer or stiffer: {} unknowns are more than {FEW}",
                frame.size()
            ));
        }
        for (place, anchor) in self.anchors().iter().enumerate() {
            for first in &solved.anchor(place)?.states {
                let Some(second) = states.of(place, first.state) else {
                    continue;
                };
                let first_of = |load: usize| whole(&solved, &first.columns, load, actions.len());
                for (load, brought) in second.iter().enumerate().filter(|(_, own)| own.size > 0.0) {
                    let own = first_of(load);
                    let off = norm(std::array::from_fn(|c| own[c] - brought.triple[c]));
                    let name = match load.checked_sub(Case::ALL.len()) {
                        None => format!("case {}", Case::ALL[load].symbol()),
                        Some(action) => actions[action].name.clone(),
                    };
                    let what = format!("force from {name}, {}", state_words(first.state));
                    let sizes = [norm(own), norm(brought.triple)];
                    opinion.comparisons.push(Comparison::by(
                        &anchor.id,
                        what,
                        sizes,
                        off,
                        brought.size,
                        Route::Frame,
                    ));
                }
            }
        }
        if states.single {
            for attachment in results.attachments() {
                let place = self.place_of(attachment)?;
                reactions(opinion, attachment, &states, place, criteria, &actions);
            }
        }
        Ok(())
    }

    fn frame(
        &self,
        solved: &Solved<'_>,
        actions: &[Action],
        criteria: &Criteria,
    ) -> Result<Frame<'_>, OpinionError> {
        let springs = self.anchors().iter().map(|anchor| {
            let mut second = Second::new(anchor, self.stem_of(anchor), criteria);
            let bars = [
                second.stiffness(Bound::Soft.factor())?,
                second.stiffness(Bound::Stiff.factor())?,
            ];
            Ok(frame::springs(self, anchor, bars))
        });
        let springs = springs.collect::<Result<Vec<_>, OpinionError>>()?;
        let joists = solved.sticks().into_iter().map(|stick| {
            let timber = &self.decks()[stick.deck].joists.timber;
            let rigidity = timber.modulus.value * timber.second_moment().value;
            Joist::new(&stick, rigidity)
        });
        let joists = joists.collect::<Result<Vec<_>, _>>()?;
        Ok(Frame::new(
            self,
            &springs,
            &joists,
            &solved.centres(),
            actions,
        ))
    }
}

/// What no second route leads to.
const NOT_COMPARED: [&str; 6] = [
    "splitting, push, withdrawal, torsion, uplift and what hangs on place and size: closed equations and plain measures",
    "which arrangement of loads is worst: both routes take the one that the checks found",
    "forces from seats out of level, moving stems, friction and creep",
    "joints, members, trees and the loss of attachments",
    "how decks are cut into joists, which strip of boards each carries and what headers hand on",
    "strengths, factors, stiffnesses of trees and the sizes of wind and people: read by both from the same tables",
];

/// Limit states to which a second route leads.
const COMPARED: [(LimitState, Route); 11] = [
    (LimitState::BossBearing, Route::Bar),
    (LimitState::ShankBearing, Route::Bar),
    (LimitState::FirstCrushing, Route::Bar),
    (LimitState::LimitLoad, Route::Limit),
    (LimitState::SteelBendingBarkLine, Route::Bar),
    (LimitState::SteelBendingEmbedded, Route::Bar),
    (LimitState::SteelShear, Route::Bar),
    (LimitState::SteelInteraction, Route::Bar),
    (LimitState::SteelFatigue, Route::Bar),
    (LimitState::PullAndSide, Route::Limit),
    (LimitState::Deflection, Route::Bar),
];

fn bars(
    opinion: &mut Opinion,
    attachment: &Attachment,
    second: &mut Second<'_>,
) -> Result<(), OpinionError> {
    let id = attachment.anchor();
    let own = attachment.stiffness().map(|stiffness| stiffness.value);
    let other = second.stiffness(Bound::Central.factor())?;
    for (k, plane) in ["down", "side"].into_iter().enumerate() {
        let what = format!("stiffness {plane}");
        let values = [own[k], other[k]];
        opinion
            .comparisons
            .push(Comparison::of(id, what, values, Route::Bar));
    }
    for (limit_state, route) in COMPARED {
        let check = attachment.check(limit_state);
        let (Some(worst), Some(first)) = (
            attachment.worst(limit_state),
            check.and_then(|check| check.utilization),
        ) else {
            continue;
        };
        let found = second.utilization(limit_state, &Under::from(worst))?;
        let Some(found) = found else {
            let what = format!(
                "anchor {id}: {} has no one state of the bar",
                limit_state.id()
            );
            opinion.not_compared.push(what);
            continue;
        };
        let what = format!("use of {}", limit_state.id());
        opinion
            .comparisons
            .push(Comparison::of(id, what, [first, found], route));
    }
    Ok(())
}

impl From<&Worst> for Under {
    fn from(worst: &Worst) -> Self {
        Self {
            load: worst.load_n,
            range: worst.range_n,
            duration: worst.duration,
            permanent: worst.permanent,
            permanent_share: worst.permanent_share,
            state: worst.state.map(|(bound, fit)| (bound, fit == Fit::Loose)),
        }
    }
}

/// What comes to every anchor in every state of the foundation.
struct States {
    /// On soft, stiff and rigid wood: by anchor and load.
    bases: [Vec<Vec<Brought>>; 3],
    /// By anchor: it alone stiff, it alone soft.
    alone: Vec<[Vec<Brought>; 2]>,
    single: bool,
}

impl States {
    fn new(platform: &Platform, frame: &Frame<'_>) -> Result<Self, OpinionError> {
        let bases = [
            frame.solve(0, None)?,
            frame.solve(1, None)?,
            frame.solve(2, None)?,
        ];
        let single = frame.size() <= FEW;
        let mut alone = Vec::new();
        for anchor in (0..platform.anchors().len()).filter(|_| single) {
            let of = |base: usize, other: usize| {
                let mut all = frame.solve(base, Some((anchor, other)))?;
                Ok::<_, OpinionError>(all.swap_remove(anchor))
            };
            alone.push([of(0, 1)?, of(1, 0)?]);
        }
        Ok(Self {
            bases,
            alone,
            single,
        })
    }

    fn of(&self, anchor: usize, state: State) -> Option<&[Brought]> {
        Some(match state {
            State::AllSoft => &self.bases[0][anchor],
            State::AllStiff => &self.bases[1][anchor],
            State::Rigid => &self.bases[2][anchor],
            State::StiffAmongSoft => &self.alone.get(anchor)?[0],
            State::SoftAmongStiff => &self.alone.get(anchor)?[1],
        })
    }
}

const fn state_words(state: State) -> &'static str {
    match state {
        State::AllSoft => "all anchors soft",
        State::AllStiff => "all anchors stiff",
        State::StiffAmongSoft => "stiff among soft",
        State::SoftAmongStiff => "soft among stiff",
        State::Rigid => "all anchors rigid",
    }
}

fn norm(triple: [f64; 3]) -> f64 {
    triple.iter().map(|part| part * part).sum::<f64>().sqrt()
}

/// Whether a load is there as a whole with its case.
fn is_whole(case: Case, presence: Presence) -> bool {
    match presence {
        Presence::Always => true,
        Presence::OnOff => case == Case::Live,
        Presence::OneOf(_) | Presence::Turning => false,
    }
}

/// Of the columns of the first route, what belongs to a load of the second: a case without the actions, or an action.
fn whole(solved: &Solved<'_>, columns: &[[f64; 3]], load: usize, actions: usize) -> [f64; 3] {
    let own = columns.len() - actions;
    if let Some(action) = load.checked_sub(Case::ALL.len()) {
        return columns[own + action];
    }
    let mut sum = [0.0; 3];
    let kinds = solved.columns()[..own].iter();
    let belong = kinds
        .zip(columns)
        .filter(|(kind, _)| kind.case == Case::ALL[load] && is_whole(kind.case, kind.presence));
    for (_, column) in belong {
        (0..3).for_each(|c| sum[c] += column[c]);
    }
    sum
}

/// The reactions that the results show, with the live load everywhere.
fn reactions(
    opinion: &mut Opinion,
    attachment: &Attachment,
    states: &States,
    place: usize,
    criteria: &Criteria,
    actions: &[Action],
) {
    for reaction in attachment.full_reactions() {
        let Some(factors) = frame::factors(criteria, &reaction.combination) else {
            continue;
        };
        let mut worst = ([0.0; 3], -1.0, 0.0);
        for loads in State::ALL
            .iter()
            .filter_map(|state| states.of(place, *state))
        {
            let (mut sum, mut size) = ([0.0; 3], 0.0);
            for (load, brought) in loads.iter().enumerate() {
                let factor = match load.checked_sub(Case::ALL.len()) {
                    None => factors[load],
                    Some(k) if is_whole(actions[k].case, actions[k].presence) => {
                        factors[actions[k].case as usize]
                    }
                    Some(_) => 0.0,
                };
                (0..3).for_each(|c| sum[c] += factor * brought.triple[c]);
                size += factor.abs() * brought.size;
            }
            let across = sum[0].hypot(sum[1]);
            if across > worst.1 {
                worst = (sum, across, size);
            }
        }
        let (sum, _, size) = worst;
        // States that load an anchor alike may change places by rounding: what crosses the bar is compared.
        let first = reaction.down_n.hypot(reaction.side_n);
        let second = sum[0].hypot(sum[1]);
        if size > 0.0 {
            opinion.comparisons.push(Comparison::by(
                attachment.anchor(),
                format!("load across the bar, {}", reaction.combination),
                [first, second],
                (first - second).abs(),
                size,
                Route::Frame,
            ));
        }
    }
}
