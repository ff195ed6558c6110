//! What a reliability analysis says.

use super::attachment::Outcome;
use super::numerics::{Estimate, Histogram, normal};
use crate::model::{LimitState, Spread};
use serde::Serialize;

/// How a probability was worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// First order, from the nearest design points; no sampling.
    Form,
    /// Independent samples.
    Crude,
    /// Samples about the design points.
    #[default]
    Importance,
    /// Latin hypercubes.
    LatinHypercube,
    /// Scrambled Sobol points.
    Sobol,
}

impl Method {
    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Form => "first-order reliability method",
            Self::Crude => "crude Monte Carlo sampling",
            Self::Importance => "importance sampling about the design points",
            Self::LatinHypercube => "Latin hypercube sampling",
            Self::Sobol => "scrambled Sobol points",
        }
    }
}

/// How likely an outcome is in the period.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chance {
    /// The method; first order where sampling found none.
    pub method: Method,
    /// The probability (1).
    pub probability: f64,
    /// Bounds of it (1): 95 % confidence of samples; of a system in first order, one and all independent.
    pub interval: Option<[f64; 2]>,
    /// β = −Φ⁻¹(p); none where the probability is 0 or 1.
    pub beta: Option<f64>,
    /// Samples made.
    pub samples: u64,
    /// Samples in which it came about.
    pub exceeded: u64,
    /// Samples among these in which the mechanics had no answer.
    pub unusable: u64,
    /// The number of crude samples with that outcome that would weigh as much (1).
    pub effective: f64,
}

impl Chance {
    pub(super) fn of(method: Method, samples: u64, estimate: &Estimate) -> Self {
        let (low, high) = estimate.interval;
        Self {
            method,
            probability: estimate.probability,
            interval: Some([low, high]),
            beta: estimate.beta(),
            samples,
            exceeded: estimate.failures,
            unusable: estimate.unusable,
            effective: estimate.effective_failures,
        }
    }

    pub(super) fn first_order(probability: f64, interval: Option<[f64; 2]>) -> Self {
        Self {
            method: Method::Form,
            probability,
            interval,
            beta: normal::reliability_index(probability),
            samples: 0,
            exceeded: 0,
            unusable: 0,
            effective: 0.0,
        }
    }

    /// β at both ends of the interval, the lower first; none where the interval has no finite ends.
    pub fn beta_interval(&self) -> Option<[f64; 2]> {
        let [low, high] = self.interval?;
        Some([
            normal::reliability_index(high)?,
            normal::reliability_index(low)?,
        ])
    }
}

/// How much of the first-order probability hangs on a part of the model.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Importance {
    /// The part, in words.
    pub part: String,
    /// Its share: α² of its variables (1).
    pub share: f64,
}

/// What a dimension is worth.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Worth {
    /// The dimension, in words.
    pub dimension: String,
    /// By how much β grows with each millimetre more (1/mm).
    pub beta_per_mm: f64,
}

/// The first-order view of an outcome.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FirstOrder {
    /// The reliability index: the distance of the nearest design point.
    pub beta: f64,
    /// Φ(−β).
    pub probability: f64,
    /// The limit state that is met at the design point.
    pub limit_state: Option<LimitState>,
    /// The load that leads there, in words.
    pub lead: Option<&'static str>,
    /// Every part of the model by its share, the largest first.
    pub importance: Vec<Importance>,
    /// What a longer dimension does.
    pub worth: Vec<Worth>,
    /// Design points that were found.
    pub design_points: usize,
    #[serde(skip)]
    pub(super) centres: Vec<Vec<f64>>,
}

/// The reliability of an attachment against one outcome.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OutcomeReliability {
    /// The outcome.
    pub outcome: Outcome,
    /// How likely it is.
    pub chance: Chance,
    /// The first-order view; none where no design point was found.
    pub first_order: Option<FirstOrder>,
    /// Why there is none.
    pub no_design_point: Option<String>,
    /// How the margin is spread over the samples; none in first order.
    #[serde(skip)]
    pub histogram: Option<Histogram>,
}

impl OutcomeReliability {
    /// What matters most, in words; none without a design point.
    pub fn words(&self) -> Option<String> {
        let parts = &self.first_order.as_ref()?.importance;
        let [first, second, third, ..] = parts.as_slice() else {
            return None;
        };
        let percent = |part: &Importance| format!("{:.0} %", part.share * 100.0);
        Some(format!(
            "the {} matters most ({}), more than the {} ({}) and the {} ({})",
            first.part,
            percent(first),
            second.part,
            percent(second),
            third.part,
            percent(third),
        ))
    }
}

/// The reliability of an attachment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AttachmentReliability {
    /// The anchor.
    pub anchor: String,
    /// Its tree.
    pub tree: String,
    /// Collapse and damage; empty where no load of the model acts on it, or where the run was broken off before it.
    pub outcomes: Vec<OutcomeReliability>,
}

impl AttachmentReliability {
    /// One outcome; none where it was not worked out.
    pub fn outcome(&self, outcome: Outcome) -> Option<&OutcomeReliability> {
        self.outcomes.iter().find(|own| own.outcome == outcome)
    }
}

/// The reliability of a platform.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reliability {
    /// Title of the layout.
    pub title: String,
    /// Years for which probabilities are given.
    pub years: f64,
    /// The index that is aimed at, where the layout names one.
    pub target: Option<f64>,
    /// The method.
    pub method: Method,
    /// Samples that were asked for.
    pub samples: u64,
    /// What they are drawn from.
    pub seed: u64,
    /// Whether the run was broken off.
    pub partial: bool,
    /// Every attachment, in the order of the layout.
    pub attachments: Vec<AttachmentReliability>,
    /// How likely it is that any attachment collapses, sampled together; none where the run was broken off before it.
    pub any_collapse: Option<Chance>,
    /// How likely it is that any attachment is damaged.
    pub any_damage: Option<Chance>,
    /// The variables, as used.
    pub variables: Vec<Spread>,
    /// What the reader must be told.
    pub cautions: Vec<String>,
}

impl Reliability {
    /// Attachments and outcomes that are below the target: collapse only; damage has no published target.
    pub fn below_target(&self) -> Vec<&AttachmentReliability> {
        let Some(target) = self.target else {
            return Vec::new();
        };
        let below = |own: &&AttachmentReliability| {
            own.outcome(Outcome::Collapse).is_some_and(|collapse| {
                let index = collapse.chance.beta;
                index.map_or(collapse.chance.probability > 0.5, |beta| beta < target)
            })
        };
        self.attachments.iter().filter(below).collect()
    }
}
