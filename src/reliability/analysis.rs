//! The reliability of a platform: each attachment by itself, then all together.

use super::ReliabilityError;
use super::attachment::{Attachment, Components, Outcome, Scratch, attachments};
use super::draws::{Links, NORMALS, variable};
use super::load::{Lead, Levels};
use super::numerics::form::{self, DesignPoint, FormOptions};
use super::numerics::run::run;
use super::numerics::{
    self, Bins, Distribution, NumericsError, Progress, Response, Sampled, Settings, Space,
};
use super::result::{
    AttachmentReliability, Chance, FirstOrder, Importance, Method, OutcomeReliability, Reliability,
    Worth,
};
use crate::model::{Platform, Uncertain, Uncertainty};
use std::sync::atomic::{AtomicBool, Ordering};

/// How a reliability analysis is made.
#[derive(Debug, Clone, PartialEq)]
pub struct ReliabilityOptions {
    /// The method.
    pub method: Method,
    /// Samples for each attachment, and for the platform.
    pub samples: u64,
    /// What they are drawn from: the same seed gives the same result, on any number of threads.
    pub seed: u64,
    /// Threads; 0 for one on each processor.
    pub threads: usize,
}

impl Default for ReliabilityOptions {
    fn default() -> Self {
        Self {
            method: Method::default(),
            samples: 20_000,
            seed: 1,
            threads: 0,
        }
    }
}

/// How far an analysis is.
#[derive(Debug, Clone, PartialEq)]
pub struct Step<'a> {
    /// What is being worked on: an anchor, or the platform.
    pub part: &'a str,
    /// Evaluations of one attachment that are done.
    pub done: u64,
    /// Evaluations in all.
    pub of: u64,
}

/// Bins of the histograms of the margin: from e⁻¹ to e³ in hundredths of an octave or so.
const BINS: Bins = Bins {
    low: -1.0,
    high: 3.0,
    count: 80,
};

/// A design point of one limit state.
struct Found {
    limit_state: usize,
    point: DesignPoint,
}

/// A design point counts if its β lies above the smallest by no more than this: beyond, its probability is below a hundredth.
const FAR: f64 = 2.0;
/// Design points of the platform about which it is sampled at most: beyond, each would get too few samples.
const CENTRES: usize = 12;
/// What is less likely than the likeliest design point by this factor adds nothing that samples would show (1).
const FAINT: f64 = 1e-3;
/// Effective failures below which an interval of weighted samples is not to be relied on.
const FEW: f64 = 30.0;

impl Platform {
    /// How likely it is that strength is exceeded, of each attachment and of any.
    ///
    /// # Errors
    /// A platform that can not be analysed, or options that mean nothing.
    pub fn reliability(
        &self,
        options: &ReliabilityOptions,
    ) -> Result<Reliability, ReliabilityError> {
        self.reliability_until(options, &AtomicBool::new(false), &mut |_| ())
    }

    /// The same, until `cancel` is set: then what is finished, marked partial. `progress` hears how far it is.
    ///
    /// # Errors
    /// As [`Platform::reliability`].
    pub fn reliability_until(
        &self,
        options: &ReliabilityOptions,
        cancel: &AtomicBool,
        progress: &mut (dyn FnMut(&Step<'_>) + Send),
    ) -> Result<Reliability, ReliabilityError> {
        let attachments = attachments(self)?;
        let analysis = Analysis {
            platform: self,
            options,
            cancel,
            space: standard(NORMALS)?,
        };
        analysis.run(&attachments, progress)
    }
}

/// Independent standard normals.
fn standard(count: usize) -> Result<Space, NumericsError> {
    let one = Distribution::normal(0.0, 1.0)?;
    Space::new(vec![one; count], None)
}

struct Analysis<'a> {
    platform: &'a Platform,
    options: &'a ReliabilityOptions,
    cancel: &'a AtomicBool,
    space: Space,
}

/// A listener to progress, with what was done before.
struct Listener<'p, 'f> {
    progress: &'p mut (dyn FnMut(&Step<'_>) + Send + 'f),
    done: u64,
    of: u64,
}

impl Listener<'_, '_> {
    fn say(&mut self, part: &str, done: u64) {
        (self.progress)(&Step {
            part,
            done: self.done + done,
            of: self.of,
        });
    }
}

impl Analysis<'_> {
    fn run(
        &self,
        attachments: &[Attachment],
        progress: &mut (dyn FnMut(&Step<'_>) + Send),
    ) -> Result<Reliability, ReliabilityError> {
        let samples = self.options.samples;
        let count = attachments.len() as u64;
        let loaded = attachments.iter().filter(|own| own.is_loaded()).count() as u64;
        let sampled = self.options.method != Method::Form;
        let together = count > 1 && sampled;
        let mut listener = Listener {
            progress,
            done: 0,
            of: if sampled {
                samples * (loaded + if together { count } else { 0 })
            } else {
                0
            },
        };
        let mut found = Vec::with_capacity(attachments.len());
        let mut partial = false;
        for (anchor, attachment) in self.platform.anchors().iter().zip(attachments) {
            let mut outcomes = Vec::new();
            if self.is_cancelled() {
                partial = true;
            } else if attachment.is_loaded() {
                let (own, broken) = self.attachment(&anchor.id, attachment, &mut listener)?;
                outcomes = own;
                partial |= broken;
            }
            found.push(AttachmentReliability {
                anchor: anchor.id.clone(),
                tree: self.platform.stem_of(anchor).id.clone(),
                outcomes,
            });
        }
        partial |= self.is_cancelled();
        let any = if partial {
            None
        } else {
            self.together(attachments, &found, &mut listener)?
        };
        if let Some((_, broken)) = &any {
            partial |= *broken;
        }
        let [any_collapse, any_damage] = any.map_or([None, None], |(any, _)| any.map(Some));
        let under = |lead| attachments.iter().any(|own| own.is_under(lead));
        let loads = [under(Lead::Snow), under(Lead::Wind)];
        Ok(self.results(found, [any_collapse, any_damage], loads, partial))
    }

    fn is_cancelled(&self) -> bool {
        self.cancel.load(Ordering::Relaxed)
    }

    /// Both outcomes of an attachment, and whether sampling was broken off.
    fn attachment(
        &self,
        id: &str,
        attachment: &Attachment,
        listener: &mut Listener<'_, '_>,
    ) -> Result<(Vec<OutcomeReliability>, bool), ReliabilityError> {
        let found = self.design_points(attachment);
        let views = Outcome::BOTH.map(|outcome| match &found {
            Ok(found) => self
                .first_order(attachment, found, outcome)
                .ok_or_else(|| "none within any distance that counts".to_owned()),
            Err(error) => Err(error.to_string()),
        });
        if let (Method::Form, [Ok(collapse), Ok(damage)]) = (self.options.method, &views) {
            let chances =
                [collapse, damage].map(|view| Chance::first_order(view.probability, None));
            let outcomes = Outcome::BOTH.into_iter().zip(chances).zip(views);
            let outcomes =
                outcomes.map(|((outcome, chance), view)| outcome_of(outcome, chance, view, None));
            return Ok((outcomes.collect(), false));
        }
        // Without a design point first order has no answer, and samples are counted.
        let mut outcomes = Vec::with_capacity(views.len());
        let centres: Vec<Vec<f64>> = views
            .iter()
            .flatten()
            .flat_map(|view| view.centres.clone())
            .collect();
        let sampled = self.sample(&self.space, attachment, centres, |done| {
            listener.say(id, done);
        })?;
        listener.done += self.options.samples;
        let Some((method, sampled)) = sampled else {
            return Ok((Vec::new(), true));
        };
        let estimates = sampled.limit_states.iter();
        for ((outcome, view), estimate) in Outcome::BOTH.into_iter().zip(views).zip(estimates) {
            let chance = Chance::of(method, sampled.samples, estimate);
            outcomes.push(outcome_of(
                outcome,
                chance,
                view,
                estimate.histogram.clone(),
            ));
        }
        Ok((outcomes, sampled.is_partial()))
    }

    /// Samples a response by the method of the options, about centres if there are any; none where it was cancelled before
    /// the first sample. With no design point to sample about, importance sampling is crude sampling.
    fn sample<R: Response>(
        &self,
        space: &Space,
        response: &R,
        centres: Vec<Vec<f64>>,
        mut said: impl FnMut(u64) + Send,
    ) -> Result<Option<(Method, Sampled)>, NumericsError> {
        let (method, points) = match self.options.method {
            Method::Importance if centres.is_empty() => (Method::Crude, numerics::Method::Crude),
            Method::Importance => (Method::Importance, numerics::Method::Importance { centres }),
            Method::LatinHypercube => (Method::LatinHypercube, numerics::Method::LatinHypercube),
            Method::Sobol => (Method::Sobol, numerics::Method::Sobol),
            Method::Crude | Method::Form => (Method::Crude, numerics::Method::Crude),
        };
        let count = response.limit_states();
        let systems = (0..Outcome::BOTH.len())
            .map(|outcome| (outcome..count).step_by(Outcome::BOTH.len()).collect())
            .collect();
        let settings = Settings {
            method: points,
            samples: self.options.samples,
            seed: self.options.seed,
            threads: self.options.threads,
            systems,
            histogram: Some(BINS),
            ..Settings::default()
        };
        if self.is_cancelled() {
            return Ok(None);
        }
        let mut hear = |progress: Progress| said(progress.samples);
        match run(space, response, &settings, self.cancel, &mut hear) {
            Ok(sampled) => Ok(Some((method, sampled))),
            Err(_) if self.is_cancelled() => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// The design points of the limit states that the loads at the means bring about, one search for each.
    fn design_points(&self, attachment: &Attachment) -> Result<Vec<Found>, NumericsError> {
        let components = Components(attachment);
        let options = FormOptions {
            design_points: 1,
            ..FormOptions::default()
        };
        let mut found = Vec::new();
        let mut failed = None;
        for (limit_state, used) in attachment.uses_at_means().into_iter().enumerate() {
            if used <= 0.0 {
                continue;
            }
            match form::search(&self.space, &components, limit_state, &options) {
                Ok(form) => found.extend(
                    form.points
                        .into_iter()
                        .map(|point| Found { limit_state, point }),
                ),
                // Too far for its probability to be a number that counts.
                Err(NumericsError::Remote { .. } | NumericsError::Flat { .. }) => {}
                Err(error) => failed = Some(error),
            }
        }
        match failed {
            Some(error) if found.is_empty() => Err(error),
            _ => Ok(found),
        }
    }

    /// The first-order view of an outcome: the nearest design point of its limit states.
    fn first_order(
        &self,
        attachment: &Attachment,
        found: &[Found],
        outcome: Outcome,
    ) -> Option<FirstOrder> {
        let count = outcome.limit_states().len();
        let mut own: Vec<&Found> = found.iter().filter(|own| own.limit_state < count).collect();
        own.sort_by(|one, other| one.point.beta.total_cmp(&other.point.beta));
        let nearest = own.first()?;
        let uncertainty = self.platform.uncertainty();
        let (point, limit_state) = (&nearest.point, nearest.limit_state);
        let near = |own: &&Found| own.point.beta <= point.beta + FAR;
        Some(FirstOrder {
            beta: point.beta,
            probability: point.probability(),
            limit_state: outcome.limit_states().get(limit_state).copied(),
            lead: attachment.lead(&point.u, limit_state).map(Lead::words),
            importance: importance(uncertainty, point),
            worth: worth(uncertainty, point),
            design_points: own.len(),
            centres: own
                .iter()
                .copied()
                .filter(near)
                .map(|own| own.point.u.clone())
                .collect(),
        })
    }

    /// Collapse and damage of any attachment, and whether sampling was broken off; none where it was cancelled before.
    fn together(
        &self,
        attachments: &[Attachment],
        found: &[AttachmentReliability],
        listener: &mut Listener<'_, '_>,
    ) -> Result<Option<([Chance; 2], bool)>, ReliabilityError> {
        if let [only] = found
            && let [collapse, damage] = only.outcomes.as_slice()
        {
            return Ok(Some((
                [collapse.chance.clone(), damage.chance.clone()],
                false,
            )));
        }
        if self.options.method == Method::Form {
            return Ok(Some((
                Outcome::BOTH.map(|outcome| bounds(found, outcome)),
                false,
            )));
        }
        let stems: Vec<(usize, &str)> = self
            .platform
            .anchors()
            .iter()
            .map(|anchor| (anchor.stem, self.platform.stem_of(anchor).wood.name()))
            .collect();
        let links = Links::new(self.platform.uncertainty(), &stems);
        let all = Together {
            attachments,
            links: &links,
        };
        let space = standard(links.normals)?;
        let count = attachments.len() as u64;
        let sampled = self.sample(&space, &all, centres(found, &links), |done| {
            listener.say("the platform", done * count);
        })?;
        let Some((method, sampled)) = sampled else {
            return Ok(None);
        };
        let [collapse, damage] = sampled.systems.as_slice() else {
            return Ok(None);
        };
        let chances =
            [collapse, damage].map(|estimate| Chance::of(method, sampled.samples, estimate));
        Ok(Some((chances, sampled.is_partial())))
    }

    fn results(
        &self,
        attachments: Vec<AttachmentReliability>,
        [any_collapse, any_damage]: [Option<Chance>; 2],
        loads: [bool; 2],
        partial: bool,
    ) -> Reliability {
        let uncertainty = self.platform.uncertainty();
        let mut results = Reliability {
            title: self.platform.title.clone(),
            years: uncertainty.years,
            target: uncertainty.target,
            method: self.options.method,
            samples: self.options.samples,
            seed: self.options.seed,
            partial,
            attachments,
            any_collapse,
            any_damage,
            variables: uncertainty.spreads.clone(),
            cautions: Vec::new(),
        };
        results.cautions = self.cautions(&results, loads);
        results
    }

    /// What the reader must be told.
    fn cautions(&self, results: &Reliability, [snow, wind]: [bool; 2]) -> Vec<String> {
        let mut cautions: Vec<String> = CAUTIONS.iter().map(|&words| words.to_owned()).collect();
        if results.partial {
            cautions.insert(
                0,
                "This run was broken off: what is missing was not worked out.".to_owned(),
            );
        }
        let levels = Levels::new(self.platform.criteria());
        for (variable, words, there) in [
            (Uncertain::Snow, "snow", snow),
            (Uncertain::Wind, "wind", wind),
        ] {
            if there && levels.is_strength(variable) {
                cautions.push(format!(
                    "The {words} load is taken to be of strength level, as the combinations have it: 1.6 times the load of fifty \
                     years' return that the statistics are of."
                ));
            }
        }
        for own in &results.attachments {
            if own.outcomes.is_empty() {
                cautions.push(format!(
                    "Anchor {}: not worked out ({}).",
                    own.anchor,
                    if results.partial {
                        "broken off"
                    } else {
                        "no load of the model acts on it"
                    }
                ));
            }
            for outcome in &own.outcomes {
                cautions.extend(doubts(&own.anchor, outcome));
            }
        }
        cautions.extend(
            self.platform
                .unassessed()
                .iter()
                .map(|part| format!("Not assessed: {part}.")),
        );
        cautions.extend(self.platform.cautions().iter().cloned());
        cautions
    }
}

/// What holds for every reliability.
const CAUTIONS: [&str; 6] = [
    "Nominal probabilities, for comparing one layout with another: they hang on statistics that are from memory or common \
     practice in part, and on a rule of bearing that no test of bars of this size confirms.",
    "Errors of people, decay, a wrong species, fatigue, fire and falling trees are not in them.",
    "Live loads of buildings stand for people on platforms, who were not surveyed: a party may load every square foot at once.",
    "The boss is taken to sit snug in its counterbore; loads go by their worst place at the means; earthquake is left out.",
    "Loads are shared between anchors at half and at twice their stiffness: anchors that do not give at all, and wood that crept \
     under dead load, which the checks look at, are not in it.",
    "Beams, joists, braces, joints and the trees themselves are not part of it.",
];

/// What is to be said against the number of an outcome.
fn doubts(anchor: &str, outcome: &OutcomeReliability) -> Vec<String> {
    let mut doubts = Vec::new();
    let word = outcome.outcome.word();
    let chance = &outcome.chance;
    if let Some(why) = &outcome.no_design_point {
        doubts.push(format!("Anchor {anchor}, {word}: no design point ({why})."));
    }
    if chance.unusable > 0 {
        doubts.push(format!(
            "Anchor {anchor}, {word}: {} of {} samples had no answer and count as exceeded.",
            chance.unusable, chance.samples
        ));
    }
    if chance.method != Method::Form && chance.effective < FEW {
        doubts.push(format!(
            "Anchor {anchor}, {word}: few samples count; the interval is not to be relied on. Take more samples."
        ));
    }
    doubts
}

fn outcome_of(
    outcome: Outcome,
    chance: Chance,
    view: Result<FirstOrder, String>,
    histogram: Option<numerics::Histogram>,
) -> OutcomeReliability {
    let (first_order, no_design_point) = match view {
        Ok(view) => (Some(view), None),
        Err(why) => (None, Some(why)),
    };
    OutcomeReliability {
        outcome,
        chance,
        first_order,
        no_design_point,
        histogram,
    }
}

/// The shares of the parts of the model, the largest first.
fn importance(uncertainty: &Uncertainty, point: &DesignPoint) -> Vec<Importance> {
    let mut parts: Vec<Importance> = Vec::new();
    for (normal, share) in point.importance.iter().enumerate() {
        let Some(spread) = uncertainty.of(variable(normal)) else {
            continue;
        };
        match parts.iter_mut().find(|own| own.part == spread.part) {
            Some(own) => own.share += share,
            None => parts.push(Importance {
                part: spread.part.clone(),
                share: *share,
            }),
        }
    }
    parts.sort_by(|one, other| other.share.total_cmp(&one.share));
    parts
}

/// What a millimetre is worth: the index grows with the mean of a normal variable by −α over its deviation.
fn worth(uncertainty: &Uncertainty, point: &DesignPoint) -> Vec<Worth> {
    const MILLIMETRE: f64 = 1e-3;
    [Uncertain::Depth, Uncertain::Arm, Uncertain::Bark]
        .into_iter()
        .filter_map(|variable| {
            let spread = uncertainty.of(variable)?;
            let alpha = point.alpha.get(variable as usize)?;
            let beta_per_mm = -alpha / spread.deviation * MILLIMETRE;
            beta_per_mm.is_finite().then(|| Worth {
                dimension: spread.title.clone(),
                beta_per_mm,
            })
        })
        .collect()
}

/// A system in first order: at least as likely as its likeliest attachment, at most as if all were independent.
fn bounds(found: &[AttachmentReliability], outcome: Outcome) -> Chance {
    let each = found
        .iter()
        .filter_map(|own| Some(own.outcome(outcome)?.chance.probability));
    let (mut most, mut none) = (0.0_f64, 1.0);
    for probability in each {
        most = most.max(probability);
        none *= 1.0 - probability;
    }
    Chance::first_order(1.0 - none, Some([most, 1.0 - none]))
}

/// The likeliest design points of all attachments, in normals of the platform.
fn centres(found: &[AttachmentReliability], links: &Links) -> Vec<Vec<f64>> {
    let mut all: Vec<(f64, Vec<f64>)> = Vec::new();
    for outcome in Outcome::BOTH {
        let mut own: Vec<(f64, Vec<f64>)> = found
            .iter()
            .enumerate()
            .filter_map(|(anchor, own)| {
                let view = own.outcome(outcome)?.first_order.as_ref()?;
                let centre = view.centres.first()?;
                Some((view.probability, links.back(anchor, centre)))
            })
            .collect();
        own.sort_by(|one, other| other.0.total_cmp(&one.0));
        let likeliest = own.first().map_or(0.0, |(probability, _)| *probability);
        own.retain(|(probability, _)| *probability >= FAINT * likeliest);
        own.truncate(CENTRES / 2);
        all.extend(own);
    }
    all.into_iter().map(|(_, centre)| centre).collect()
}

/// All attachments at once.
struct Together<'a> {
    attachments: &'a [Attachment],
    links: &'a Links,
}

impl Response for Together<'_> {
    type Scratch = Vec<Scratch>;

    fn scratch(&self) -> Vec<Scratch> {
        self.attachments.iter().map(Response::scratch).collect()
    }

    fn limit_states(&self) -> usize {
        self.attachments.len() * Outcome::BOTH.len()
    }

    fn evaluate(&self, u: &[f64], scratch: &mut Vec<Scratch>, g: &mut [f64]) {
        let parts = self.attachments.iter().zip(scratch);
        for (index, ((attachment, scratch), g)) in
            parts.zip(g.chunks_mut(Outcome::BOTH.len())).enumerate()
        {
            let own = self.links.of(index, u);
            attachment.margins(&own, scratch, g);
        }
    }
}
