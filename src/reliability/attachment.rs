//! One attachment as a function of independent normals: how far it is from collapse, and from damage.

use super::bar::{Bar, COLLAPSES, Draw, Force, Look, STRENGTHS, Uses};
use super::draws::{Acting, Draws, NORMALS};
use super::load::{self, Lead, Levels, Push};
use super::numerics::Response;
use super::{ReliabilityError, criteria_of};
use crate::checks::Effect;
use crate::mechanics::MechanicsError;
use crate::model::{Anchor, Criteria, LimitState, Platform};

/// What is exceeded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// The attachment gives way: limit load, shear, splitting, pull.
    Collapse,
    /// It is lasting worse for it, collapse included: crushing, bearing at the proportional limit, a plastic hinge.
    Damage,
}

impl Outcome {
    /// Both, in the order of the margins.
    pub const BOTH: [Self; 2] = [Self::Collapse, Self::Damage];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Collapse => "collapse",
            Self::Damage => "damage",
        }
    }

    /// The limit states of strength that belong to it.
    pub fn limit_states(self) -> &'static [LimitState] {
        match self {
            Self::Collapse => &STRENGTHS[..COLLAPSES],
            Self::Damage => &STRENGTHS,
        }
    }

    fn largest(self, uses: &Uses) -> f64 {
        let count = self.limit_states().len();
        uses.iter().take(count).copied().fold(0.0, f64::max)
    }
}

/// A use below this is none (1): the margin is its logarithm.
const LEAST_USE: f64 = 1e-9;

/// The margin of a use: zero where it is one (1).
fn margin(used: f64) -> f64 {
    -used.max(LEAST_USE).ln()
}

/// An attachment.
#[derive(Debug, Clone)]
pub struct Attachment {
    bar: Bar,
    draws: Draws,
    pushes: Vec<Push>,
    notional_side: f64,
}

/// What one thread writes on.
#[derive(Debug, Clone)]
pub struct Scratch {
    bar: Bar,
    forces: Vec<Force>,
}

impl Attachment {
    fn new(
        platform: &Platform,
        anchor: &Anchor,
        effects: &[Effect],
        criteria: &Criteria,
        levels: Levels,
    ) -> Result<Self, ReliabilityError> {
        let fault = |error| ReliabilityError::Mechanics {
            anchor: anchor.id.clone(),
            error,
        };
        let stem = platform.stem_of(anchor);
        let each = Lead::ALL.map(|lead| load::duration(criteria, lead));
        let mut durations = each.to_vec();
        durations.sort_by(f64::total_cmp);
        durations.dedup();
        let bar = Bar::new(anchor, stem, criteria, &durations).map_err(fault)?;
        let mut attachment = Self {
            bar,
            draws: Draws::new(platform.uncertainty(), stem)?,
            pushes: Vec::new(),
            notional_side: criteria.factor("notional_side"),
        };
        for (lead, own) in Lead::ALL.into_iter().zip(each) {
            let duration = durations
                .iter()
                .position(|known| known.total_cmp(&own).is_eq())
                .unwrap_or(0);
            let all: Vec<Push> = effects
                .iter()
                .filter_map(|effect| Push::new(effect, lead, levels, duration))
                .collect();
            let kept = attachment.hardest(&all).map_err(fault)?;
            attachment.pushes.extend(kept);
        }
        Ok(attachment)
    }

    /// Of pushes in all directions, those that are the worst for some limit state at the means.
    fn hardest(&mut self, all: &[Push]) -> Result<Vec<Push>, MechanicsError> {
        let (draw, acting) = self.draws.means();
        self.bar.set(&draw)?;
        let mut kept: Vec<usize> = Vec::new();
        let uses = all
            .iter()
            .map(|push| {
                self.bar
                    .uses(&[push.force(&acting, self.notional_side)], Look::Quick)
            })
            .collect::<Result<Vec<_>, _>>()?;
        for state in 0..STRENGTHS.len() {
            let worst = uses
                .iter()
                .enumerate()
                .map(|(push, uses)| (push, uses[state]))
                .filter(|(_, used)| *used > 0.0)
                .max_by(|one, other| one.1.total_cmp(&other.1).then(other.0.cmp(&one.0)));
            if let Some((push, _)) = worst
                && !kept.contains(&push)
            {
                kept.push(push);
            }
        }
        Ok(kept
            .into_iter()
            .filter_map(|push| all.get(push).copied())
            .collect())
    }

    /// What each limit state comes to in a draw, under the worst of all loads.
    fn uses(&self, u: &[f64; NORMALS], scratch: &mut Scratch) -> Result<Uses, MechanicsError> {
        let (draw, acting) = self.draws.at(u);
        self.under(&draw, &acting, scratch)
    }

    fn under(
        &self,
        draw: &Draw,
        acting: &Acting,
        scratch: &mut Scratch,
    ) -> Result<Uses, MechanicsError> {
        scratch.bar.set(draw)?;
        scratch.forces.clear();
        let force = |push: &Push| push.force(acting, self.notional_side);
        scratch.forces.extend(self.pushes.iter().map(force));
        scratch.bar.uses(&scratch.forces, Look::Quick)
    }

    /// Writes the margins of collapse and of damage; none, which counts as exceeded, where the mechanics have no answer.
    pub(super) fn margins(&self, u: &[f64; NORMALS], scratch: &mut Scratch, g: &mut [f64]) {
        let Ok(uses) = self.uses(u, scratch) else {
            return;
        };
        for (g, outcome) in g.iter_mut().zip(Outcome::BOTH) {
            *g = margin(outcome.largest(&uses));
        }
    }

    /// The load that is the worst for a limit state, by its place, at a point.
    pub(super) fn lead(&self, u: &[f64], limit_state: usize) -> Option<Lead> {
        let u: &[f64; NORMALS] = u.try_into().ok()?;
        let mut scratch = self.scratch();
        let (draw, acting) = self.draws.at(u);
        scratch.bar.set(&draw).ok()?;
        let used = |push: &Push| {
            let force = push.force(&acting, self.notional_side);
            let uses = scratch.bar.uses(&[force], Look::Quick).ok()?;
            Some((*uses.get(limit_state)?, push.lead()))
        };
        let all = self.pushes.iter().filter_map(used);
        let worst = all.max_by(|one, other| one.0.total_cmp(&other.0));
        worst.map(|(_, lead)| lead)
    }

    /// Whether a load leads in any of its pushes.
    pub(super) fn is_under(&self, lead: Lead) -> bool {
        self.pushes.iter().any(|push| push.lead() == lead)
    }

    /// Whether any load acts on it.
    pub(super) fn is_loaded(&self) -> bool {
        !self.pushes.is_empty()
    }

    /// Which limit state comes to what at the means (1); nothing where the mechanics have no answer there.
    pub(super) fn uses_at_means(&self) -> Uses {
        let (draw, acting) = self.draws.means();
        self.under(&draw, &acting, &mut self.scratch())
            .unwrap_or_default()
    }
}

impl Response for Attachment {
    type Scratch = Scratch;

    fn scratch(&self) -> Scratch {
        Scratch {
            bar: self.bar.clone(),
            forces: Vec::with_capacity(self.pushes.len()),
        }
    }

    fn limit_states(&self) -> usize {
        Outcome::BOTH.len()
    }

    fn evaluate(&self, u: &[f64], scratch: &mut Scratch, g: &mut [f64]) {
        if let Ok(u) = u.try_into() {
            self.margins(u, scratch, g);
        }
    }
}

/// The limit states of an attachment, each by itself.
#[derive(Debug, Clone, Copy)]
pub(super) struct Components<'a>(pub(super) &'a Attachment);

impl Response for Components<'_> {
    type Scratch = Scratch;

    fn scratch(&self) -> Scratch {
        self.0.scratch()
    }

    fn limit_states(&self) -> usize {
        STRENGTHS.len()
    }

    fn evaluate(&self, u: &[f64], scratch: &mut Scratch, g: &mut [f64]) {
        let Ok(u) = u.try_into() else { return };
        if let Ok(uses) = self.0.uses(u, scratch) {
            for (g, used) in g.iter_mut().zip(uses) {
                *g = margin(used);
            }
        }
    }
}

/// Every attachment of a platform, ready to be evaluated.
///
/// # Errors
/// A platform that can not be analysed, or an anchor whose mechanics have no answer.
pub fn attachments(platform: &Platform) -> Result<Vec<Attachment>, ReliabilityError> {
    let criteria = criteria_of(platform.criteria())?;
    let levels = Levels::new(platform.criteria());
    let effects = crate::checks::effects(platform, &criteria)?;
    platform
        .anchors()
        .iter()
        .zip(&effects)
        .map(|(anchor, effects)| Attachment::new(platform, anchor, effects, &criteria, levels))
        .collect()
}
