//! Limit states of every attachment: demands from the analysis against mechanics, tables and criteria.
//!
//! `limit_states` has one module for each that hangs on loads, `fit` those that hang on place and size.

mod as_built;
mod bisect;
mod context;
mod demands;
mod elastic;
mod explain;
mod fit;
mod joints;
mod limit_states;
mod lose;
mod members;
mod miss;
mod parallel;
mod result;
mod size;
pub mod stems;
mod strength;
#[cfg(test)]
mod tests;
pub mod trace;
mod worst;

pub(crate) use demands::effects::Effect;

pub use as_built::{AsBuiltError, AsBuiltResults};
pub use bisect::Edge;
pub use elastic::Fit;
pub(crate) use elastic::{BETWEEN, INTERVALS, both, climb};
pub use joints::JointLoad;
pub use lose::{Exceeded, Going, LostOne};
pub use miss::{Deviation, MayMiss};
pub use result::{
    Attachment, CheckResult, JointResult, LoadRange, Measure, MemberKind, MemberResult, Reaction,
    Results, Verdict, Worst,
};
pub use size::{
    Change, ChangeKind, FoundBy, NotProposed, Proposal, SizeResults, Sizing, Spare, SpareValue,
    Worse,
};
pub use trace::Explanation;

use crate::analysis::platform::{
    self, AnalysisError, AnchorForces, JointForces, JointKind, Solved, Triple,
};
use crate::loads;
use crate::mechanics::MechanicsError;
use crate::model::{
    Anchor, Combination, Criteria, Group, LimitState, Magnitudes, Platform, PlatformError,
    Presence, Standing, Stem,
};
use crate::units::{Length, si};
use context::{Context, Demand};
use demands::{Demands, Surroundings};
use limit_states::{Over, RULES, Rule};
use stems::{AnchorLoad, Question, Trees, Winds};
use worst::{Aspect, Governing, Loads, worst_state};

/// Why a platform could not be checked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CheckError {
    /// The analysis has no answer.
    #[error(transparent)]
    Analysis(#[from] AnalysisError),
    /// A load has no meaning.
    #[error("a load can not be worked out: {0}")]
    Loads(#[from] loads::LoadError),
    /// The criteria lack something that the checks read.
    #[error("the criteria have no usable {}; start from the standard ones", .0.join(", "))]
    Criteria(Vec<&'static str>),
    /// The platform has no anchor of this id.
    #[error("there is no anchor {0}")]
    NoAnchor(String),
    /// The mechanics of a tree have no answer.
    #[error("the trees: {0}")]
    Trees(MechanicsError),
    /// The mechanics of an anchor have no answer.
    #[error("anchor {anchor}: {error}")]
    Anchor {
        /// The anchor.
        anchor: String,
        /// Why.
        error: MechanicsError,
    },
    /// The mechanics of a member have no answer.
    #[error("{member}: {error}")]
    Member {
        /// The member.
        member: String,
        /// Why.
        error: MechanicsError,
    },
    /// There is no anchor at this place of the platform.
    #[error("the platform has no anchor at place {0}")]
    NoSuchAnchor(usize),
    /// A change leaves no sound platform.
    #[error("with this change the platform is not sound: {}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Platform(Vec<PlatformError>),
}

impl Platform {
    /// Checks every attachment by the platform's own criteria.
    ///
    /// # Errors
    /// A platform that can move, or mechanics without an answer.
    pub fn check(&self) -> Result<Results, CheckError> {
        self.check_with(self.criteria())
    }

    /// Checks every attachment by other criteria.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn check_with(&self, criteria: &Criteria) -> Result<Results, CheckError> {
        self.check_after(criteria, 0)
    }

    /// Checks every attachment, and looks ahead at growth: when stems touch what is near them, and what is then left of
    /// their room. Strengths are those of the wood of today.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn check_after(&self, criteria: &Criteria, years: u32) -> Result<Results, CheckError> {
        let faults = criteria.faults();
        if !faults.is_empty() {
            return Err(CheckError::Criteria(faults));
        }
        let actions = loads::actions(self, criteria)?;
        let solved = platform::solve(self, &actions, criteria)?;
        let run = Run {
            years,
            ..Run::new(self, criteria, &solved)?
        };
        let (attachments, members) = parallel::both(|| run.attachments(), || run.members());
        run.results(attachments?, members?)
    }
}

/// What each load case does to every anchor, in each direction in which demands are sought.
pub(crate) fn effects(
    platform: &Platform,
    criteria: &Criteria,
) -> Result<Vec<Vec<Effect>>, CheckError> {
    let faults = criteria.faults();
    if !faults.is_empty() {
        return Err(CheckError::Criteria(faults));
    }
    let actions = loads::actions(platform, criteria)?;
    let solved = platform::solve(platform, &actions, criteria)?;
    let run = Run::new(platform, criteria, &solved)?;
    let of = |index: usize| {
        let forces = solved.anchor(index)?;
        Ok(demands::effects::effects(
            &forces,
            &solved,
            &run.around,
            criteria,
        ))
    };
    (0..platform.anchors().len()).map(of).collect()
}

/// A demand as plain numbers: down, side and out (N), its combination and its duration factor (1).
#[cfg(test)]
pub(crate) type PlainDemand = (Triple, usize, f64);

/// The demands of every anchor.
#[cfg(test)]
pub(crate) fn plain_demands(
    platform: &Platform,
    criteria: &Criteria,
) -> Result<Vec<Vec<PlainDemand>>, CheckError> {
    let actions = loads::actions(platform, criteria)?;
    let solved = platform::solve(platform, &actions, criteria)?;
    let run = Run::new(platform, criteria, &solved)?;
    let plain = |demand: &Demand| {
        let force = [demand.down, demand.side, demand.out];
        (force, demand.combination, demand.duration)
    };
    let of = |index: usize| Ok(run.demands(index)?.1.all.iter().map(plain).collect());
    (0..platform.anchors().len()).map(of).collect()
}

/// One attachment of a platform, with every load on it times a factor (1).
fn alone(
    platform: &Platform,
    criteria: &Criteria,
    index: usize,
    factor: f64,
) -> Result<Attachment, CheckError> {
    let actions = loads::actions(platform, criteria)?;
    let solved = platform::solve(platform, &actions, criteria)?;
    Ok(Run::new(platform, criteria, &solved)?
        .attachment_under(index, factor)?
        .0)
}

/// Anchors whose forces are worked out together: three grips each fill whole lines of right-hand sides.
const ANCHORS_TOGETHER: usize = 8;

/// Parts in which even few anchors are worked out, so that more than one processor has something to do.
const FEWEST_PARTS: usize = 4;

/// What all attachments share.
struct Run<'a> {
    platform: &'a Platform,
    criteria: &'a Criteria,
    solved: &'a Solved<'a>,
    around: Surroundings,
    /// Places of the combinations that differ under the loads that are present.
    combinations: Vec<usize>,
    /// Winds in which the trees move.
    winds: Winds,
    /// Years of growth to look ahead.
    years: u32,
}

impl<'a> Run<'a> {
    fn new(
        platform: &'a Platform,
        criteria: &'a Criteria,
        solved: &'a Solved<'a>,
    ) -> Result<Self, CheckError> {
        let mut total = *solved.total();
        for column in solved
            .columns()
            .iter()
            .filter(|column| column.presence != Presence::Always)
        {
            // Whatever may be there makes its case one to go through.
            total[column.case as usize] += 1.0;
        }
        let winds = Winds::new(criteria, platform.wind().map(|wind| wind.speed));
        let moves = |(stem, level): (usize, Option<f64>)| {
            let stem = &platform.stems()[stem];
            Some(
                stem.sway(level.map(si::metres), &winds.service)?
                    .movement
                    .value,
            )
        };
        let sway = solved.trunks().map(moves).collect();
        Ok(Self {
            platform,
            criteria,
            solved,
            around: Surroundings::new(solved, sway)?,
            combinations: criteria.distinct_for(&total),
            winds,
            years: 0,
        })
    }

    /// What an anchor owes to each load, and what its checks must bear.
    fn demands(&self, index: usize) -> Result<(AnchorForces, Demands), CheckError> {
        let forces = self.solved.anchor(index)?;
        let demands = self.bears(&forces);
        Ok((forces, demands))
    }

    /// The loads that the checks of an anchor must bear.
    fn bears(&self, forces: &AnchorForces) -> Demands {
        demands::demands(
            forces,
            self.solved,
            &self.around,
            self.criteria,
            &self.combinations,
        )
    }

    /// Every attachment, some at a time.
    fn attachments(&self) -> Result<Vec<(Attachment, Vec<String>)>, CheckError> {
        let count = self.platform.anchors().len();
        let together = ANCHORS_TOGETHER.min(count.div_ceil(FEWEST_PARTS)).max(1);
        let some = |part: usize| {
            let first = part * together;
            let which = first..count.min(first + together);
            let forces = self.solved.anchors(which.clone())?;
            let each = which.zip(&forces);
            each.map(|(index, forces)| self.under(index, forces, 1.0))
                .collect::<Result<Vec<_>, _>>()
        };
        let all = parallel::each(count.div_ceil(together), some).into_iter();
        Ok(all.collect::<Result<Vec<_>, _>>()?.concat())
    }

    /// Mechanics of an anchor without an answer.
    fn fault(&self, index: usize, error: MechanicsError) -> CheckError {
        let anchor = self.platform.anchors().get(index);
        CheckError::Anchor {
            anchor: anchor.map_or_else(String::new, |anchor| anchor.id.clone()),
            error,
        }
    }

    /// An attachment with every load on it times a factor (1), and what of it can not be assessed.
    fn attachment_under(
        &self,
        index: usize,
        factor: f64,
    ) -> Result<(Attachment, Vec<String>), CheckError> {
        self.under(index, &self.solved.anchor(index)?, factor)
    }

    fn under(
        &self,
        index: usize,
        forces: &AnchorForces,
        factor: f64,
    ) -> Result<(Attachment, Vec<String>), CheckError> {
        let anchor = &self.platform.anchors()[index];
        let mut demands = self.bears(forces);
        demands.scale(factor);
        let unknown = self.locked_in(forces, &demands);
        let attachment = attachment(self.platform, anchor, forces, self.criteria, &demands);
        Ok((
            attachment.map_err(|error| self.fault(index, error))?,
            unknown,
        ))
    }

    /// Stems whose movement would load an anchor notably, and is not known.
    fn locked_in(&self, forces: &AnchorForces, demands: &Demands) -> Vec<String> {
        let most = demands
            .full
            .iter()
            .map(Demand::across_bar)
            .fold(0.0, f64::max);
        let notable = |per_metre: &[Triple; 2]| {
            let most_of = |c: usize| per_metre[0][c].hypot(per_metre[1][c]) * TRIAL;
            (0..3).any(|c| most_of(c) > NOTABLE * most)
        };
        let mut named = Vec::new();
        for state in &forces.states {
            for (k, (stem, _)) in self.solved.trunks().enumerate() {
                if self.around.sway[k].is_none() && state.movement.get(k).is_some_and(notable) {
                    let stem = &self.platform.stems()[stem].id;
                    named.push(format!(
                        "the force that the movement of tree {stem} locks in (let seats slide, measure its sway, or give \
                         height, crown and the levels of its anchors)"
                    ));
                }
            }
        }
        named
    }

    /// What the trees do.
    fn trees(&self, attachments: &[Attachment]) -> Result<Trees, CheckError> {
        let load = |attachment: &Attachment| {
            let rows = attachment.reactions().iter();
            let worst = rows.max_by(|a, b| a.resultant().total_cmp(&b.resultant()));
            worst.map_or_else(AnchorLoad::default, |row| AnchorLoad {
                down: si::newtons(row.down_n),
                side: si::newtons(row.side_n),
                out: si::newtons(row.out_n),
            })
        };
        let loads: Vec<AnchorLoad> = attachments.iter().map(load).collect();
        let question = Question {
            winds: self.winds,
            loads: &loads,
            years: self.years,
            travel: &|support| support.travel,
        };
        self.platform
            .trees(self.criteria, &question)
            .map_err(CheckError::Trees)
    }

    /// The least and the most that presses on a joint, over all combinations and both bounds.
    fn joint(&self, joint: &JointForces) -> JointResult {
        let mut result = JointResult {
            name: joint.name.clone(),
            kind: joint.kind,
            least: (f64::INFINITY, String::new()),
            most: (f64::NEG_INFINITY, String::new()),
        };
        for row in self
            .combinations
            .iter()
            .map(|k| &self.criteria.combinations[*k])
        {
            for presses in &joint.presses {
                let found = demands::pressing(presses, self.solved.columns(), row, self.criteria);
                let sound = |force: f64| {
                    if force.abs() <= NO_LIFT * found.size {
                        0.0
                    } else {
                        force
                    }
                };
                let (least, most) = (sound(found.least), sound(found.most));
                if least < result.least.0 {
                    result.least = (least, row.name.clone());
                }
                if most > result.most.0 {
                    result.most = (most, row.name.clone());
                }
            }
        }
        result
    }

    /// What every member bears.
    fn members(&self) -> Result<Vec<MemberResult>, CheckError> {
        let known = |part| members::is_known(self.platform, part);
        let actions = self.solved.members_that(known)?;
        members::check(self.platform, &actions, self.criteria, &self.combinations)
            .map_err(|(member, error)| CheckError::Member { member, error })
    }

    fn results(
        &self,
        found: Vec<(Attachment, Vec<String>)>,
        members: Vec<MemberResult>,
    ) -> Result<Results, CheckError> {
        let (attachments, unknown): (Vec<_>, Vec<_>) = found.into_iter().unzip();
        let trees = self.trees(&attachments)?;
        let mut unassessed = self.platform.unassessed().to_vec();
        let mut add = |part: String| {
            if !unassessed.contains(&part) {
                unassessed.push(part);
            }
        };
        unknown.into_iter().flatten().for_each(&mut add);
        for (part, bears) in self.solved.joist_seats()? {
            lifting(&part, &bears, self.criteria)
                .into_iter()
                .for_each(&mut add);
        }
        let mut joints = Vec::new();
        for joint in self.solved.joints()? {
            let result = self.joint(&joint);
            slack(&joint, &result).into_iter().for_each(&mut add);
            joints.push(result);
        }
        let mut cautions = result::standing_cautions();
        cautions.extend(
            unassessed
                .iter()
                .map(|part| format!("Not assessed: {part}.")),
        );
        cautions.extend(self.platform.cautions().iter().cloned());
        Ok(Results {
            title: self.platform.title.clone(),
            criteria: self.criteria.clone(),
            attachments,
            members,
            joints,
            trees,
            lost: None,
            cautions,
            decks: self.solved.decks(),
            total: *self.solved.total(),
            imbalance: self.solved.imbalance(),
            unassessed,
        })
    }
}

/// A movement of a stem by which it is tried whether it would lock force in (m).
const TRIAL: f64 = 0.010;
/// A force of that movement below this share of the load is none (1).
const NOTABLE: f64 = 0.01;

/// A lift this small beside what bears on the seat is rounding (1).
const NO_LIFT: f64 = 1e-9;

/// What to say of a joist's seat that lifts in a combination and is not said to be tied.
fn lifting(part: &str, bears: &Magnitudes, criteria: &Criteria) -> Option<String> {
    let on = |row: &Combination| {
        let parts = row
            .factors
            .iter()
            .zip(bears)
            .map(|(factor, force)| factor * force);
        parts.fold((0.0, 0.0), |(sum, size), part| {
            (sum + part, size + part.abs())
        })
    };
    let row = criteria.combinations.iter().find(|row| {
        let (sum, size) = on(row);
        sum < -NO_LIFT * size
    })?;
    Some(format!(
        "{part} lifts under {} and nothing says that it is tied",
        row.name
    ))
}

/// What to say of a joint that would have to act the other way than it can.
fn slack(joint: &JointForces, result: &JointResult) -> Option<String> {
    let how = match joint.kind {
        JointKind::Tied | JointKind::Both => return None,
        JointKind::Bears | JointKind::Post => "lifts",
        JointKind::Pushes => "would have to pull",
        JointKind::Pulls => "would have to push",
    };
    let mend = match joint.kind {
        JointKind::Bears | JointKind::Post => "and nothing says that it is tied",
        _ => "and is not said to carry both",
    };
    (result.least.0 < 0.0).then(|| format!("{} {how} under {} {mend}", joint.name, result.least.1))
}

/// The loads of an anchor and what its checks share.
struct Prepared<'a> {
    /// Every load.
    all: &'a [Demand],
    context: Context<'a>,
}

impl<'a> Prepared<'a> {
    fn new(
        anchor: &'a Anchor,
        stem: &'a Stem,
        criteria: &'a Criteria,
        all: &'a [Demand],
    ) -> Result<Self, MechanicsError> {
        let durations = all.iter().map(|demand| demand.duration);
        let context = Context::new(anchor, stem, criteria, durations)?;
        Ok(Self { all, context })
    }

    /// The bar under all demands.
    fn loads(&self) -> Loads<'_> {
        Loads::new(&self.context, self.all)
    }
}

/// Everything about one attachment.
fn attachment(
    platform: &Platform,
    anchor: &Anchor,
    forces: &AnchorForces,
    criteria: &Criteria,
    demands: &Demands,
) -> Result<Attachment, MechanicsError> {
    let stem = platform.stem_of(anchor);
    let prepared = Prepared::new(anchor, stem, criteria, &demands.all)?;
    let (all, context) = (prepared.all, &prepared.context);
    let mut loads = prepared.loads();
    let worst = RULES
        .iter()
        .map(|rule| Ok((rule, loads.worst(rule)?)))
        .collect::<Result<Vec<_>, MechanicsError>>()?;
    let under = worst.iter().filter_map(|(rule, found)| {
        let found = found.as_ref()?;
        Some((rule.limit_state, found.under(rule, context)))
    });
    let under = under.collect();
    let judged = worst.iter();
    let mut checks: Vec<_> = judged
        .map(|(rule, worst)| judge(rule, context, worst.as_ref()))
        .collect();
    let name = |demand: &Demand| criteria.combinations[demand.combination].name.as_str();
    let turned = all
        .iter()
        .max_by(|a, b| a.torque.abs().total_cmp(&b.torque.abs()));
    checks.push(fit::torsion(
        anchor,
        turned.map_or(0.0, |demand| demand.torque.abs()),
        turned.map(name),
    ));
    checks.push(fit::hole_size(anchor, stem, criteria));
    checks.push(fit::penetration(anchor, stem, criteria));
    checks.push(fit::tips_clear(platform, anchor, criteria));
    checks.push(fit::spacing(platform, anchor, criteria));
    let lift = all.iter().min_by(|a, b| a.down.total_cmp(&b.down));
    checks.push(fit::uplift(
        lift.map_or(0.0, |demand| -demand.down),
        lift.map(name),
        forces.held_down,
    ));
    checks.sort_by_key(|check| check.limit_state);
    let mut attachment = Attachment {
        anchor: anchor.id.clone(),
        tree: stem.id.clone(),
        checks,
        worst: under,
        reactions: reactions(all, criteria),
        full_reactions: reactions(&demands.full, criteria),
        ranges: ranges(all, criteria),
        governing_load: Reaction {
            combination: String::new(),
            down_n: 0.0,
            side_n: 0.0,
            out_n: 0.0,
        },
        stiffness: context
            .central
            .flexibility()
            .map(|flexibility| si::newtons_per_metre(1.0 / flexibility)),
        deflection: sinking(&worst),
        load_factor: None,
        softened_margin: softened(
            anchor,
            stem,
            criteria,
            &loads.hardest(Aspect::Strength),
            &worst,
        )?,
    };
    attachment.governing_load = governing_load(&attachment);
    attachment.load_factor = load_factor(&attachment, context, &worst)?;
    Ok(attachment)
}

/// Steps in search of the load that just passes: along chords, so that the error soon falls fast.
const LOAD_STEPS: usize = 12;
/// That load is known well enough when the utilization is this near to one.
const LOAD_TOLERANCE: f64 = 1e-6;

/// The factor that takes the load of the most used check to its limit: the reciprocal of the utilization where the
/// check grows in step with its load; with clearance it does not quite, and the factor is found by trying.
fn load_factor(
    attachment: &Attachment,
    context: &Context<'_>,
    worst: &[(&Rule, Option<Governing>)],
) -> Result<Option<f64>, MechanicsError> {
    let Some((state, used)) = attachment
        .most_used()
        .and_then(|check| Some((check.limit_state, check.utilization?)))
        .filter(|(_, used)| *used > 0.0)
    else {
        return Ok(None);
    };
    let bends = |rule: &Rule| rule.limit_state == state && rule.over != Over::Demand;
    let of_its_own = worst.iter().find(|(rule, _)| bends(rule));
    let Some((rule, Some(worst))) = of_its_own.filter(|_| context.has_clearance()) else {
        return Ok(Some(1.0 / used));
    };
    let (mut before, mut last) = ([0.0, 0.0], [1.0, used]);
    for _ in 0..LOAD_STEPS {
        let [factor, now] = last;
        if (now - 1.0).abs() <= LOAD_TOLERANCE {
            break;
        }
        // Along the chord through the last two loads; the first is no load.
        let chord = factor + (1.0 - now) * (factor - before[0]) / (now - before[1]);
        let next = if chord.is_finite() && chord > 0.0 {
            chord
        } else {
            factor / now
        };
        let scaled = context.loaded(rule.aspect(), worst.demand.times(next))?;
        let used = worst_state(rule, context, &scaled)?;
        let used = used.map_or(0.0, |worst| worst.found.utilization);
        (before, last) = (last, [next, used]);
    }
    let [factor, now] = last;
    Ok(Some(factor / now.max(1.0)))
}

/// The reaction in the combination of the governing check, or the largest of all.
fn governing_load(attachment: &Attachment) -> Reaction {
    let named = attachment
        .governing()
        .and_then(|check| check.combination.as_deref());
    let largest = attachment
        .reactions
        .iter()
        .max_by(|a, b| a.resultant().total_cmp(&b.resultant()));
    attachment
        .reactions
        .iter()
        .find(|reaction| Some(reaction.combination.as_str()) == named)
        .or(largest)
        .cloned()
        .unwrap_or_else(|| attachment.governing_load.clone())
}

/// The largest load in each combination over all states.
fn reactions(all: &[Demand], criteria: &Criteria) -> Vec<Reaction> {
    criteria
        .combinations
        .iter()
        .enumerate()
        .filter_map(|(index, combination)| {
            let own = all.iter().filter(|demand| demand.combination == index);
            let largest = own.max_by(|a, b| a.across_bar().total_cmp(&b.across_bar()))?;
            Some(Reaction {
                combination: combination.name.clone(),
                down_n: largest.down,
                side_n: largest.side,
                out_n: largest.out,
            })
        })
        .collect()
}

/// The least and the most of each part of the load, by combination.
fn ranges(all: &[Demand], criteria: &Criteria) -> Vec<LoadRange> {
    let range = |of: fn(&Demand) -> f64, own: &[&Demand]| {
        own.iter()
            .map(|demand| of(demand))
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], part| {
                [low.min(part), high.max(part)]
            })
    };
    let rows = criteria.combinations.iter().enumerate();
    rows.filter_map(|(index, row)| {
        let own: Vec<&Demand> = all.iter().filter(|own| own.combination == index).collect();
        (!own.is_empty()).then(|| LoadRange {
            combination: row.name.clone(),
            down_n: range(|demand| demand.down, &own),
            side_n: range(|demand| demand.side, &own),
            out_n: range(|demand| demand.out, &own),
        })
    })
    .collect()
}

/// How far the load point sinks under the worst demand.
fn sinking(worst: &[(&Rule, Option<Governing>)]) -> Length {
    let found = worst.iter().find_map(|(rule, worst)| {
        let is_it = rule.limit_state == LimitState::Deflection;
        Some(worst.as_ref().filter(|_| is_it)?.found.demand.si())
    });
    si::metres(found.unwrap_or(0.0))
}

/// What a limit state comes to under its worst demand.
fn judge(rule: &Rule, context: &Context<'_>, worst: Option<&Governing>) -> CheckResult {
    let ground = (rule.ground)(context);
    let found = worst.map(|worst| (worst.demand.combination, worst.found));
    let verdict = match &found {
        None => Verdict::NotNeeded,
        Some(_) if ground.extended.is_some() && context.criteria.extended_is_review => {
            Verdict::Review
        }
        Some((_, found)) if found.utilization <= 1.0 => Verdict::Pass,
        Some(_) => Verdict::Fail,
    };
    let remembered = ground.extended.is_some() && ground.standing > Standing::Extended;
    let remembered =
        remembered.then(|| format!("exclusion limit or safety factor {}", ground.standing));
    let notes: Vec<String> = ground
        .extended
        .iter()
        .cloned()
        .chain(remembered)
        .chain(ground.note)
        .collect();
    CheckResult {
        limit_state: rule.limit_state,
        verdict,
        standing: if ground.extended.is_some() {
            Standing::Extended
        } else {
            ground.standing
        },
        combination: found
            .as_ref()
            .map(|(index, _)| context.criteria.combinations[*index].name.clone()),
        demand: found.as_ref().map(|(_, found)| found.demand),
        allowable: found.as_ref().map(|(_, found)| found.allowable),
        utilization: found.as_ref().map(|(_, found)| found.utilization),
        source: ground.source,
        note: (!notes.is_empty()).then(|| notes.join("; ")),
    }
}

/// The margin of the worst wood check if the outer wood softens; none where nothing would be left to bear.
fn softened(
    anchor: &Anchor,
    stem: &Stem,
    criteria: &Criteria,
    demands: &[Demand],
    sound: &[(&Rule, Option<Governing>)],
) -> Result<Option<f64>, MechanicsError> {
    let stem = Stem {
        soft: stem.soft + criteria.length("softened_depth"),
        ..stem.clone()
    };
    if anchor.sound_length(&stem).value <= 0.0 || anchor.sound_boss(&stem).value <= 0.0 {
        return Ok(None);
    }
    let durations = demands.iter().map(|demand| demand.duration);
    let context = Context::new(anchor, &stem, criteria, durations)?;
    let mut loads = Loads::new(&context, demands);
    // What is used most in sound wood is likely to be so in softened wood: then the others need only a glance.
    let of_wood = sound
        .iter()
        .filter(|(rule, _)| rule.limit_state.group() == Group::Wood);
    let mut rules: Vec<_> = of_wood
        .map(|(rule, worst)| (worst.map_or(0.0, |worst| worst.found.utilization), *rule))
        .collect();
    rules.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    let mut used = 0.0;
    for (_, rule) in rules {
        if let Some(worst) = loads.worst_above(rule, used)? {
            used = worst.found.utilization;
        }
    }
    Ok((used > 0.0).then(|| 1.0 / used - 1.0))
}

/// Every limit state that an attachment's checks name, for those who list them.
pub fn limit_states() -> &'static [LimitState] {
    LimitState::ALL
}
