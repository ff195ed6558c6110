//! Limit states of every attachment: demands from the analysis against mechanics, tables and criteria.
//!
//! `limit_states` has one module for each that hangs on loads, `fit` those that hang on place and size.

mod bisect;
mod context;
mod demands;
mod elastic;
mod fit;
mod joints;
mod limit_states;
mod lose;
mod miss;
mod result;
mod strength;
#[cfg(test)]
mod tests;

pub use bisect::Edge;
pub use joints::JointLoad;
pub use lose::{Exceeded, Going, LostOne};
pub use miss::{Deviation, MayMiss};
pub use result::{Attachment, CheckResult, Measure, Reaction, Results, Verdict};

use crate::analysis::platform::{
    self, AnalysisError, AnchorForces, JointForces, JointKind, Solved,
};
use crate::loads;
use crate::mechanics::MechanicsError;
use crate::model::{
    Anchor, Combination, Criteria, Group, LimitState, Magnitudes, Platform, PlatformError,
    Presence, Standing, Stem,
};
use crate::units::si;
use context::{Context, Demand, Lens, Use};
use demands::{Demands, Surroundings};
use limit_states::{RULES, Rule};

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
    /// The mechanics of an anchor have no answer.
    #[error("anchor {anchor}: {error}")]
    Anchor {
        /// The anchor.
        anchor: String,
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
        let faults = criteria.faults();
        if !faults.is_empty() {
            return Err(CheckError::Criteria(faults));
        }
        let actions = loads::actions(self, criteria)?;
        let solved = platform::solve(self, &actions, criteria)?;
        let run = Run::new(self, criteria, &solved)?;
        let attachments = (0..self.anchors().len())
            .map(|index| run.attachment(index))
            .collect::<Result<Vec<_>, _>>()?;
        run.results(attachments)
    }
}

/// What all attachments share.
struct Run<'a> {
    platform: &'a Platform,
    criteria: &'a Criteria,
    solved: &'a Solved<'a>,
    around: Surroundings,
    /// Places of the combinations that differ under the loads that are present.
    combinations: Vec<usize>,
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
        let sway = solved.trunks().map(|_| 0.0).collect();
        Ok(Self {
            platform,
            criteria,
            solved,
            around: Surroundings::new(solved, sway)?,
            combinations: criteria.distinct_for(&total),
        })
    }

    fn attachment(&self, index: usize) -> Result<Attachment, CheckError> {
        let anchor = &self.platform.anchors()[index];
        let forces = self.solved.anchor(index)?;
        let demands = self.demands(&forces);
        attachment(self.platform, anchor, &forces, self.criteria, &demands)
            .map_err(|error| self.fault(index, error))
    }

    /// The loads that the checks of an anchor must bear.
    fn demands(&self, forces: &AnchorForces) -> Demands {
        demands::demands(
            forces,
            self.solved,
            &self.around,
            self.criteria,
            &self.combinations,
        )
    }

    /// Mechanics of an anchor without an answer.
    fn fault(&self, index: usize, error: MechanicsError) -> CheckError {
        let anchor = self.platform.anchors().get(index);
        CheckError::Anchor {
            anchor: anchor.map_or_else(String::new, |anchor| anchor.id.clone()),
            error,
        }
    }

    fn results(&self, attachments: Vec<Attachment>) -> Result<Results, CheckError> {
        let mut unassessed = self.platform.unassessed().to_vec();
        let mut add = |part: String| {
            if !unassessed.contains(&part) {
                unassessed.push(part);
            }
        };
        for (part, bears) in self.solved.joist_seats()? {
            lifting(&part, &bears, self.criteria)
                .into_iter()
                .for_each(&mut add);
        }
        for joint in self.solved.joints()? {
            slack(&joint, self).into_iter().for_each(&mut add);
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
            cautions,
            decks: self.solved.decks(),
            total: *self.solved.total(),
            imbalance: self.solved.imbalance(),
            unassessed,
        })
    }
}

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

/// What to say of a joint that would have to act the other way than it can, by the worst of all that may be there.
fn slack(joint: &JointForces, run: &Run<'_>) -> Option<String> {
    let how = match joint.kind {
        JointKind::Tied | JointKind::Both => return None,
        JointKind::Bears | JointKind::Post => "lifts",
        JointKind::Pushes => "would have to pull",
        JointKind::Pulls => "would have to push",
    };
    let row = run
        .combinations
        .iter()
        .map(|k| &run.criteria.combinations[*k])
        .find(|row| {
            joint.presses.iter().any(|presses| {
                let (least, size) =
                    demands::least(presses, run.solved.columns(), row, run.criteria);
                least < -NO_LIFT * size
            })
        })?;
    let mend = match joint.kind {
        JointKind::Bears | JointKind::Post => "and nothing says that it is tied",
        _ => "and is not said to carry both",
    };
    Some(format!("{} {how} under {} {mend}", joint.name, row.name))
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
    let all = &demands.all;
    let hardest = Hardest::new(all);
    let context = Context::new(
        anchor,
        stem,
        criteria,
        hardest.strength.iter().map(|demand| demand.duration),
    )?;
    let mut checks = RULES
        .iter()
        .map(|rule| judge(rule, &context, hardest.of(rule.limit_state)))
        .collect::<Result<Vec<_>, _>>()?;
    checks.push(fit::hole_size(anchor, stem, criteria));
    checks.push(fit::penetration(anchor, stem, criteria));
    checks.push(fit::tips_clear(platform, anchor, criteria));
    checks.push(fit::spacing(platform, anchor, criteria));
    let lift = all.iter().min_by(|a, b| a.down.total_cmp(&b.down));
    let named = lift.map(|demand| criteria.combinations[demand.combination].name.as_str());
    checks.push(fit::uplift(
        lift.map_or(0.0, |demand| -demand.down),
        named,
        forces.held_down,
    ));
    let deflection = hardest
        .sinking
        .iter()
        .map(|demand| limit_states::deflection(&context, demand))
        .fold(si::metres(0.0), crate::units::Length::max);
    let mut attachment = Attachment {
        anchor: anchor.id.clone(),
        tree: stem.id.clone(),
        checks,
        reactions: reactions(all, criteria),
        full_reactions: reactions(&demands.full, criteria),
        governing_load: Reaction {
            combination: String::new(),
            down_n: 0.0,
            side_n: 0.0,
            out_n: 0.0,
        },
        stiffness: anchor.stiffness(stem, crate::model::Bound::Central)?,
        deflection,
        softened_margin: softened(anchor, stem, criteria, &hardest.strength)?,
    };
    attachment.governing_load = governing_load(&attachment);
    Ok(attachment)
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

/// By lens, those demands that no other one covers.
struct Hardest {
    strength: Vec<Demand>,
    sinking: Vec<Demand>,
    torque: Vec<Demand>,
    range: Vec<Demand>,
}

impl Hardest {
    fn new(all: &[Demand]) -> Self {
        let [strength, sinking, torque, range] =
            [Lens::Strength, Lens::Sinking, Lens::Torque, Lens::Range]
                .map(|lens| hardest(all, lens));
        Self {
            strength,
            sinking,
            torque,
            range,
        }
    }

    fn of(&self, limit_state: LimitState) -> &[Demand] {
        match limit_state {
            LimitState::Deflection => &self.sinking,
            _ => &self.strength,
        }
    }
}

/// Those demands that no other one covers.
fn hardest(all: &[Demand], lens: Lens) -> Vec<Demand> {
    let mut kept: Vec<Demand> = Vec::new();
    for demand in all {
        if !kept.iter().any(|other| other.covers(demand, lens)) {
            kept.retain(|other| !demand.covers(other, lens));
            kept.push(*demand);
        }
    }
    kept
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

/// The worst use of a rule over demands and bounds.
fn worst(
    rule: &Rule,
    context: &Context<'_>,
    demands: &[Demand],
) -> Result<Option<(usize, Use)>, MechanicsError> {
    let mut worst: Option<(usize, Use)> = None;
    for demand in demands {
        for elastic in context.bounds() {
            if let Some(found) = (rule.utilization)(context, demand, elastic)? {
                if !found.utilization.is_finite() {
                    return Err(MechanicsError::NotFinite {
                        what: rule.limit_state.words(),
                    });
                }
                if worst
                    .as_ref()
                    .is_none_or(|(_, worst)| found.utilization > worst.utilization)
                {
                    worst = Some((demand.combination, found));
                }
            }
        }
    }
    Ok(worst)
}

fn judge(
    rule: &Rule,
    context: &Context<'_>,
    demands: &[Demand],
) -> Result<CheckResult, MechanicsError> {
    let ground = (rule.ground)(context);
    let found = worst(rule, context, demands)?;
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
    Ok(CheckResult {
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
    })
}

/// The margin of the worst wood check if the outer wood softens; none where nothing would be left to bear.
fn softened(
    anchor: &Anchor,
    stem: &Stem,
    criteria: &Criteria,
    demands: &[Demand],
) -> Result<Option<f64>, MechanicsError> {
    let stem = Stem {
        soft: stem.soft + criteria.length("softened_depth"),
        ..stem.clone()
    };
    if anchor.sound_length(&stem).value <= 0.0 || anchor.sound_boss(&stem).value <= 0.0 {
        return Ok(None);
    }
    let context = Context::new(
        anchor,
        &stem,
        criteria,
        demands.iter().map(|demand| demand.duration),
    )?;
    let mut used = 0.0_f64;
    for rule in RULES
        .iter()
        .filter(|rule| rule.limit_state.group() == Group::Wood)
    {
        used =
            worst(rule, &context, demands)?.map_or(used, |(_, found)| used.max(found.utilization));
    }
    Ok((used > 0.0).then(|| 1.0 / used - 1.0))
}

/// Every limit state that an attachment's checks name, for those who list them.
pub fn limit_states() -> &'static [LimitState] {
    LimitState::ALL
}
