//! Limit states of beams, joists and headers: what the analysis finds inside them against what sawn wood may bear.
//!
//! One module for each limit state, each with one [`Rule`]. The joists of a deck share a section, so a deck gets one
//! result for its joists and one for its headers, each the worst of all pieces.

mod axial;
mod bearing;
mod bending;
mod deflection;
mod shear;
mod strength;
#[cfg(test)]
mod tests;

use super::demands::factor;
use super::result::{CheckResult, Measure, MemberKind, MemberResult, Verdict};
use crate::analysis::platform::{Envelope, MemberActions, MemberPart};
use crate::mechanics::MechanicsError;
use crate::model::{Case, Criteria, Magnitudes, MemberLimitState, Platform, Standing, Timber};
use strength::Strength;

/// A member with all that its checks need.
pub(super) struct Member<'a> {
    pub(super) platform: &'a Platform,
    pub(super) criteria: &'a Criteria,
    pub(super) actions: &'a MemberActions,
    pub(super) timber: &'a Timber,
    pub(super) strength: Strength<'a>,
    /// Its forces in each combination.
    pub(super) loaded: Vec<Loaded>,
}

/// What a combination does to a member.
pub(super) struct Loaded {
    /// Index of the combination.
    pub(super) combination: usize,
    /// Duration factor on strengths (1).
    pub(super) duration: f64,
    pub(super) envelope: Envelope,
}

/// What one check finds.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub(super) combination: Option<usize>,
    pub(super) demand: Measure,
    pub(super) allowable: Measure,
    pub(super) utilization: f64,
    /// Standing of what was used beside the strength.
    pub(super) standing: Standing,
    /// Where it is, and what else must be known.
    pub(super) note: String,
}

/// The answer of a rule.
pub(super) enum Answer {
    /// There is nothing to check.
    NotNeeded,
    /// A stress is not known: what is missing.
    Unknown(&'static str),
    /// Judged.
    Judged(Found),
}

/// A limit state and how it is worked out.
pub(super) struct Rule {
    pub(super) limit_state: MemberLimitState,
    pub(super) judge: fn(&Member<'_>) -> Result<Answer, MechanicsError>,
    /// Keys of the criteria that it reads.
    pub(super) keys: &'static [&'static str],
}

/// Every rule of beams, joists and headers, in the order of the listing.
const RULES: &[Rule] = &[
    bending::RULE,
    shear::RULE,
    bearing::RULE,
    deflection::RULE,
    axial::COMBINED,
    axial::BUCKLING,
    axial::TENSION,
];

/// Those that only an axial force asks for: without one they are left out.
const AXIAL: [MemberLimitState; 3] = [
    MemberLimitState::Combined,
    MemberLimitState::Buckling,
    MemberLimitState::Tension,
];

/// Whether anything is known to judge a member by.
pub(super) fn is_known(platform: &Platform, part: MemberPart) -> bool {
    timber(platform, part).design.is_some()
}

/// The results of every beam, and of the joists and the headers of every deck, in the order of the layout.
pub(super) fn check(
    platform: &Platform,
    actions: &[MemberActions],
    criteria: &Criteria,
    combinations: &[usize],
) -> Result<Vec<MemberResult>, (String, MechanicsError)> {
    let mut results: Vec<MemberResult> = Vec::new();
    for own in actions {
        let (id, kind) = name(platform, own.part);
        let checks = one(platform, own, criteria, combinations)
            .map_err(|error| (format!("{} {id}", kind.words()), error))?;
        let result = MemberResult {
            member: id,
            kind,
            pieces: 1,
            checks,
        };
        match results
            .iter_mut()
            .find(|other| kind.is_many() && other.is(&result.member, kind))
        {
            Some(known) => known.take_worse(result),
            None => results.push(result),
        }
    }
    Ok(results)
}

fn name(platform: &Platform, part: MemberPart) -> (String, MemberKind) {
    let deck = |deck: usize| platform.decks()[deck].id.clone();
    match part {
        MemberPart::Beam(beam) => (platform.beams()[beam].id.clone(), MemberKind::Beam),
        MemberPart::Joist { deck: k, .. } => (deck(k), MemberKind::Joists),
        MemberPart::Header { deck: k, .. } => (deck(k), MemberKind::Headers),
        MemberPart::Brace(brace) => (platform.braces()[brace].id.clone(), MemberKind::Brace),
    }
}

fn timber(platform: &Platform, part: MemberPart) -> &Timber {
    match part {
        MemberPart::Beam(beam) => &platform.beams()[beam].timber,
        MemberPart::Joist { deck, .. } | MemberPart::Header { deck, .. } => {
            &platform.decks()[deck].joists.timber
        }
        MemberPart::Brace(brace) => &platform.braces()[brace].timber,
    }
}

fn one(
    platform: &Platform,
    actions: &MemberActions,
    criteria: &Criteria,
    combinations: &[usize],
) -> Result<Vec<CheckResult<MemberLimitState>>, MechanicsError> {
    let timber = timber(platform, actions.part);
    let Some(design) = &timber.design else {
        return Ok(RULES.iter().filter_map(not_known).collect());
    };
    let factors_of = |combination: &usize| {
        let row = &criteria.combinations[*combination];
        Case::ALL.map(|case| factor(row, criteria, case))
    };
    let rows: Vec<Magnitudes> = combinations.iter().map(factors_of).collect();
    let envelopes = actions.envelopes(&rows);
    let loaded =
        combinations
            .iter()
            .zip(&rows)
            .zip(envelopes)
            .map(|((&combination, factors), envelope)| {
                let acts = |case: &Case| {
                    let group = |group: &crate::analysis::platform::Group| group.case == *case;
                    factors[*case as usize] != 0.0 && actions.groups.iter().any(group)
                };
                Loaded {
                    combination,
                    duration: criteria.duration(Case::ALL.into_iter().filter(acts)),
                    envelope,
                }
            });
    let member = Member {
        platform,
        criteria,
        actions,
        timber,
        strength: Strength::new(timber, design, actions, platform, criteria),
        loaded: loaded.collect(),
    };
    let mut checks = Vec::with_capacity(RULES.len());
    for rule in RULES {
        let check = member.result(rule)?;
        if !(AXIAL.contains(&rule.limit_state) && check.verdict == Verdict::NotNeeded) {
            checks.push(check);
        }
    }
    Ok(checks)
}

/// The result where neither grade nor stresses are known.
fn not_known(rule: &Rule) -> Option<CheckResult<MemberLimitState>> {
    (!AXIAL.contains(&rule.limit_state)).then(|| {
        review(
            rule,
            "neither its grade nor its allowable stresses are known: give grade = \"No. 2\" with its wood, or allowable",
        )
    })
}

fn review(rule: &Rule, why: &str) -> CheckResult<MemberLimitState> {
    CheckResult {
        limit_state: rule.limit_state,
        verdict: Verdict::Review,
        standing: Standing::Published,
        combination: None,
        demand: None,
        allowable: None,
        utilization: None,
        source: String::new(),
        note: Some(why.to_owned()),
    }
}

impl Member<'_> {
    fn result(&self, rule: &Rule) -> Result<CheckResult<MemberLimitState>, MechanicsError> {
        let standing = rule
            .keys
            .iter()
            .fold(self.strength.design.standing(), |worst, key| {
                worst.worse(self.criteria.standing(key))
            });
        Ok(match (rule.judge)(self)? {
            Answer::Unknown(what) => review(rule, &format!("its {what} is not known")),
            Answer::NotNeeded => CheckResult {
                verdict: Verdict::NotNeeded,
                standing,
                source: self.source(rule),
                note: None,
                ..review(rule, "")
            },
            Answer::Judged(found) if !found.utilization.is_finite() => {
                return Err(MechanicsError::NotFinite {
                    what: rule.limit_state.words(),
                });
            }
            Answer::Judged(found) => CheckResult {
                limit_state: rule.limit_state,
                verdict: if found.utilization <= 1.0 {
                    Verdict::Pass
                } else {
                    Verdict::Fail
                },
                standing: standing.worse(found.standing),
                combination: found
                    .combination
                    .map(|index| self.criteria.combinations[index].name.clone()),
                demand: Some(found.demand),
                allowable: Some(found.allowable),
                utilization: Some(found.utilization),
                source: self.source(rule),
                note: Some(found.note),
            },
        })
    }

    fn source(&self, rule: &Rule) -> String {
        let design = self.strength.design;
        let mut list = vec![design.origin.source.clone()];
        if let Some(wet) = &design.wet {
            list.push(wet.origin.source.clone());
        }
        for key in rule.keys {
            if let Some(factor) = self.criteria.factors.get(*key) {
                list.push(factor.origin.source.clone());
            }
        }
        list.dedup();
        list.join("; ")
    }

    /// The judgement of the worst combination.
    fn worst(
        &self,
        judge: impl Fn(&Loaded) -> Result<Option<Found>, MechanicsError>,
    ) -> Result<Answer, MechanicsError> {
        let mut worst: Option<Found> = None;
        for loaded in &self.loaded {
            if let Some(found) = judge(loaded)?
                && worst
                    .as_ref()
                    .is_none_or(|worst| found.utilization > worst.utilization)
            {
                worst = Some(found);
            }
        }
        Ok(worst.map_or(Answer::NotNeeded, Answer::Judged))
    }

    /// Where along the member a section is.
    fn place(&self, x: f64) -> String {
        let at = crate::units::si::metres(x);
        let along = crate::units::print::<crate::units::kind::Length>(at, crate::units::Show::Us);
        match self.actions.part {
            MemberPart::Beam(_) | MemberPart::Brace(_) => {
                format!("{along} ({x:.2} m) from its first end")
            }
            MemberPart::Joist { at: [e, n], .. } | MemberPart::Header { at: [e, n], .. } => {
                format!("the piece whose middle is {e:.2} m east, {n:.2} m north of the origin")
            }
        }
    }
}
