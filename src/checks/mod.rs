//! Limit states of every attachment: demands from the analysis against mechanics, tables and criteria.
//!
//! `limit_states` has one module for each that hangs on loads, `fit` those that hang on place and size.

mod context;
mod elastic;
mod explain;
mod fit;
mod limit_states;
mod result;
mod strength;
#[cfg(test)]
mod tests;
pub mod trace;

pub use elastic::Fit;
pub use result::{Attachment, CheckResult, Measure, Reaction, Results, Verdict};
pub use trace::Explanation;

use crate::analysis::platform::{self, AnalysisError, AnchorForces, Lift, PlatformForces};
use crate::mechanics::MechanicsError;
use crate::model::{
    Anchor, Case, Combination, Criteria, Group, LimitState, Platform, Standing, Stem,
};
use crate::units::si;
use context::{Aspect, Context, Demand, Loads, Use};
use limit_states::{Over, RULES, Rule};
use trace::Silent;

/// Why a platform could not be checked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CheckError {
    /// The analysis has no answer.
    #[error(transparent)]
    Analysis(#[from] AnalysisError),
    /// The criteria lack something that the checks read.
    #[error("the criteria have no usable {}; start from the standard ones", .0.join(", "))]
    Criteria(Vec<&'static str>),
    /// The platform has no anchor of this id.
    #[error("there is no anchor {0}")]
    NoAnchor(String),
    /// The mechanics of an anchor have no answer.
    #[error("anchor {anchor}: {error}")]
    Anchor {
        /// The anchor.
        anchor: String,
        /// Why.
        error: MechanicsError,
    },
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
        let forces = platform::solve(self)?;
        let combinations = criteria.distinct_for(&forces.total);
        let attachments = self
            .anchors()
            .iter()
            .zip(&forces.anchors)
            .map(|(anchor, forces)| {
                attachment(self, anchor, forces, criteria, &combinations).map_err(|error| {
                    CheckError::Anchor {
                        anchor: anchor.id.clone(),
                        error,
                    }
                })
            })
            .collect::<Result<Vec<_>, _>>()?;
        Ok(results(self, criteria, attachments, forces))
    }
}

fn results(
    platform: &Platform,
    criteria: &Criteria,
    attachments: Vec<Attachment>,
    forces: PlatformForces,
) -> Results {
    let mut unassessed = platform.unassessed().to_vec();
    for lift in forces
        .lifts
        .iter()
        .filter_map(|lift| lifting(lift, criteria))
    {
        if !unassessed.contains(&lift) {
            unassessed.push(lift);
        }
    }
    let mut cautions = result::standing_cautions();
    cautions.extend(
        unassessed
            .iter()
            .map(|part| format!("Not assessed: {part}.")),
    );
    cautions.extend(platform.cautions().iter().cloned());
    Results {
        title: platform.title.clone(),
        criteria: criteria.clone(),
        attachments,
        cautions,
        decks: forces.decks,
        total: forces.total,
        imbalance: forces.imbalance,
        unassessed,
    }
}

/// A lift this small beside what bears on the seat is rounding (1).
const NO_LIFT: f64 = 1e-9;

/// What to say of a seat between members that lifts in a combination and is not said to be tied.
fn lifting(lift: &Lift, criteria: &Criteria) -> Option<String> {
    let bears = |row: &Combination| {
        let parts = row
            .factors
            .iter()
            .zip(&lift.bears)
            .map(|(factor, force)| factor * force);
        parts.fold((0.0, 0.0), |(sum, size), part| {
            (sum + part, size + part.abs())
        })
    };
    criteria
        .combinations
        .iter()
        .find(|row| {
            let (sum, size) = bears(row);
            sum < -NO_LIFT * size
        })
        .map(|row| {
            format!(
                "{} lifts under {} and nothing says that it is tied",
                lift.part, row.name
            )
        })
}

/// The loads of an anchor and what its checks share.
struct Prepared<'a> {
    /// Every load.
    all: Vec<Demand>,
    context: Context<'a>,
}

impl<'a> Prepared<'a> {
    fn new(
        anchor: &'a Anchor,
        stem: &'a Stem,
        forces: &AnchorForces,
        criteria: &'a Criteria,
        combinations: &[usize],
    ) -> Result<Self, MechanicsError> {
        let all = demands(anchor, stem, forces, criteria, combinations);
        let durations = all.iter().map(|demand| demand.duration);
        let context = Context::new(anchor, stem, criteria, durations)?;
        Ok(Self { all, context })
    }

    /// The bar under all demands that can govern.
    fn loads(&self) -> Result<Loads<'_>, MechanicsError> {
        self.context.loads(&self.all)
    }
}

/// Everything about one attachment.
fn attachment(
    platform: &Platform,
    anchor: &Anchor,
    forces: &AnchorForces,
    criteria: &Criteria,
    combinations: &[usize],
) -> Result<Attachment, MechanicsError> {
    let stem = platform.stem_of(anchor);
    let prepared = Prepared::new(anchor, stem, forces, criteria, combinations)?;
    let (all, context) = (&prepared.all, &prepared.context);
    let loads = prepared.loads()?;
    let mut checks = RULES
        .iter()
        .map(|rule| judge(rule, context, &loads))
        .collect::<Result<Vec<_>, _>>()?;
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
    let deflection = loads
        .of(Aspect::Sinking)
        .iter()
        .map(|loaded| limit_states::sinking(loaded, &mut Silent))
        .fold(0.0, f64::max);
    let mut attachment = Attachment {
        anchor: anchor.id.clone(),
        tree: stem.id.clone(),
        checks,
        reactions: reactions(all, criteria),
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
        deflection: si::metres(deflection),
        load_factor: None,
        softened_margin: softened(anchor, stem, criteria, all)?,
    };
    attachment.governing_load = governing_load(&attachment);
    attachment.load_factor = load_factor(&attachment, context, &loads)?;
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
    loads: &Loads<'_>,
) -> Result<Option<f64>, MechanicsError> {
    let Some((state, used)) = attachment
        .most_used()
        .and_then(|check| Some((check.limit_state, check.utilization?)))
        .filter(|(_, used)| *used > 0.0)
    else {
        return Ok(None);
    };
    let bends = |rule: &&Rule| rule.limit_state == state && rule.over != Over::Demand;
    let Some(rule) = RULES.iter().find(bends).filter(|_| context.has_clearance()) else {
        return Ok(Some(1.0 / used));
    };
    let loaded = loads.of(rule.aspect());
    let Some(worst) = worst(rule, context, loaded)? else {
        return Ok(Some(1.0 / used));
    };
    let demand = loaded[worst.loaded].demand;
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
        let scaled = [context.loaded(rule.aspect(), demand.times(next))?];
        let used =
            self::worst(rule, context, &scaled)?.map_or(0.0, |worst| worst.found.utilization);
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

/// Loads on an anchor in every combination and state, with the side load that every anchor must bear.
fn demands(
    anchor: &Anchor,
    stem: &Stem,
    forces: &AnchorForces,
    criteria: &Criteria,
    combinations: &[usize],
) -> Vec<Demand> {
    let axes = anchor.axes(stem);
    let notional = criteria.factor("notional_side");
    let mut demands = Vec::new();
    for &combination in combinations {
        let row = &criteria.combinations[combination];
        for state in &forces.states {
            let part = |case: Case| row.factors[case as usize] * state[case as usize];
            let vertical: f64 = Case::ALL.iter().map(|case| part(*case)).sum();
            let present = || Case::ALL.into_iter().filter(|case| part(*case) != 0.0);
            // A load straight down in the axes of the anchor: all of it along the grain, unless the stem leans.
            let down = -vertical * axes.down.z;
            let side = (vertical * axes.side.z).abs().max(notional * down.abs());
            demands.push(Demand {
                combination,
                down,
                side,
                out: -vertical * axes.out.z,
                torque: 0.0,
                range: [0.0; 2],
                duration: criteria.duration(present()),
                permanent: present().all(|case| case == Case::Dead),
                permanent_share: if vertical == 0.0 {
                    0.0
                } else {
                    (part(Case::Dead) / vertical).clamp(0.0, 1.0)
                },
            });
        }
    }
    demands
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

/// The worst use of a rule, and where it is.
struct Worst {
    /// Among the demands.
    loaded: usize,
    /// Among the states of the rule.
    state: usize,
    found: Use,
}

/// The worst use of a rule over demands and states of the bar.
fn worst(
    rule: &Rule,
    context: &Context<'_>,
    all: &[context::Loaded<'_>],
) -> Result<Option<Worst>, MechanicsError> {
    let mut worst: Option<Worst> = None;
    for (index, loaded) in all.iter().enumerate() {
        for (at, state) in rule.states(loaded).iter().enumerate() {
            let Some(found) = (rule.utilization)(context, loaded, state, &mut Silent)? else {
                continue;
            };
            if !found.utilization.is_finite() {
                return Err(MechanicsError::NotFinite {
                    what: rule.limit_state.words(),
                });
            }
            if worst
                .as_ref()
                .is_none_or(|worst| found.utilization > worst.found.utilization)
            {
                worst = Some(Worst {
                    loaded: index,
                    state: at,
                    found,
                });
            }
        }
    }
    Ok(worst)
}

fn judge(
    rule: &Rule,
    context: &Context<'_>,
    loads: &Loads<'_>,
) -> Result<CheckResult, MechanicsError> {
    let ground = (rule.ground)(context);
    let loaded = loads.of(rule.aspect());
    let found = worst(rule, context, loaded)?.map(|worst| {
        let demand = &loaded[worst.loaded].demand;
        (demand.combination, worst.found)
    });
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
    let durations = demands.iter().map(|demand| demand.duration);
    let context = Context::new(anchor, &stem, criteria, durations)?;
    let loads = context.loads_on_wood(demands)?;
    let mut used = 0.0_f64;
    for rule in RULES
        .iter()
        .filter(|rule| rule.limit_state.group() == Group::Wood)
    {
        let worst = worst(rule, &context, loads.of(rule.aspect()))?;
        used = worst.map_or(used, |worst| used.max(worst.found.utilization));
    }
    Ok((used > 0.0).then(|| 1.0 / used - 1.0))
}

/// Every limit state that an attachment's checks name, for those who list them.
pub fn limit_states() -> &'static [LimitState] {
    LimitState::ALL
}
