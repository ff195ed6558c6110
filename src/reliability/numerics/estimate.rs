//! What samples say: sums that grow by one sample at a time, and the estimates from them.

use super::error::{NumericsError, between};
use super::sampling::BATCHES;
use super::{Space, interval, normal};

/// Equal bins for a histogram of margins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bins {
    /// Where the first begins.
    pub low: f64,
    /// Where the last ends.
    pub high: f64,
    /// How many.
    pub count: usize,
}

/// Bins at most: more than a drawing can show.
const MOST_BINS: usize = 10_000;

impl Bins {
    pub(super) fn check(&self) -> Result<(), NumericsError> {
        let (low, high) = (self.low, self.high);
        between("the lower end of a histogram", low, -f64::MAX, f64::MAX)?;
        between("the upper end of a histogram", high, -f64::MAX, f64::MAX)?;
        between(
            "the number of bins",
            self.count as f64,
            1.0,
            MOST_BINS as f64,
        )?;
        if low < high && (high - low).is_finite() {
            Ok(())
        } else {
            Err(NumericsError::Order {
                first: "the lower end of a histogram",
                second: "its upper end",
            })
        }
    }

    /// The place of a margin: 0 below the bins (or no number), 1… in them, `count + 1` above. The lower edge belongs to a bin.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of 0 to 1 of at most MOST_BINS"
    )]
    fn place(&self, margin: f64) -> usize {
        let share = (margin - self.low) / (self.high - self.low);
        if share >= 1.0 {
            self.count + 1
        } else if share >= 0.0 {
            1 + ((share * self.count as f64) as usize).min(self.count - 1)
        } else {
            0
        }
    }
}

/// How often margins fell into which bin, as shares of all samples: with what lies outside they add to 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Histogram {
    /// The bins.
    pub bins: Bins,
    /// The share in each bin; the lower edge belongs to it.
    pub shares: Vec<f64>,
    /// The share below the bins, with margins that are no number.
    pub below: f64,
    /// The share above the bins.
    pub above: f64,
}

/// The probability that a limit state is exceeded, as samples have it.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// Samples in which it was exceeded. Under importance sampling that is far more than the probability.
    pub failures: u64,
    /// Samples among these whose margin was no number.
    pub unusable: u64,
    /// The probability.
    pub probability: f64,
    /// Its confidence interval; from 0 to 1 if weighted samples found no failure.
    pub interval: (f64, f64),
    /// The number of failures in crude sampling that would weigh as much: (Σw)²/Σw². Below about 30 the interval of weighted
    /// samples is not to be relied on.
    pub effective_failures: f64,
    /// The mean normal score of each variable when exceeded: how far from its median, in standard deviations, it then is.
    /// None without a failure.
    pub at_failure: Option<Vec<f64>>,
    /// The margins, if bins were asked for.
    pub histogram: Option<Histogram>,
}

impl Estimate {
    /// β = −Φ⁻¹(p); none if p is 0 or 1.
    pub fn beta(&self) -> Option<f64> {
        normal::reliability_index(self.probability)
    }

    /// β at the upper and at the lower end of the interval of the probability, lower first; none where infinite.
    pub fn beta_interval(&self) -> (Option<f64>, Option<f64>) {
        let (low, high) = self.interval;
        (
            normal::reliability_index(high),
            normal::reliability_index(low),
        )
    }
}

/// Sums over the samples of one limit state.
#[derive(Clone, Debug)]
pub(super) struct Tally {
    failures: u64,
    unusable: u64,
    weight: f64,
    squares: f64,
    /// Σ weight × normal score, for each variable, over failures.
    scores: Vec<f64>,
    /// Weights by bin, with those below first and those above last; empty without a histogram.
    places: Vec<f64>,
}

impl Tally {
    pub(super) fn new(variables: usize, bins: Option<Bins>) -> Self {
        Self {
            failures: 0,
            unusable: 0,
            weight: 0.0,
            squares: 0.0,
            scores: vec![0.0; variables],
            places: vec![0.0; bins.map_or(0, |bins| bins.count + 2)],
        }
    }

    pub(super) fn clear(&mut self) {
        (self.failures, self.unusable) = (0, 0);
        (self.weight, self.squares) = (0.0, 0.0);
        self.scores.fill(0.0);
        self.places.fill(0.0);
    }

    /// Counts one sample with this margin. What is not above 0 is exceeded, and so is what is no number.
    pub(super) fn count(
        &mut self,
        margin: f64,
        weight: f64,
        u: &[f64],
        space: &Space,
        bins: Option<Bins>,
    ) {
        if let Some(bins) = bins {
            self.places[bins.place(margin)] += weight;
        }
        if margin > 0.0 {
            return;
        }
        self.failures += 1;
        self.unusable += u64::from(margin.is_nan());
        self.weight += weight;
        self.squares += weight * weight;
        for (i, sum) in self.scores.iter_mut().enumerate() {
            *sum += weight * space.score(i, u);
        }
    }

    /// Adds the sums of another part.
    fn add(&mut self, other: &Self) {
        self.failures += other.failures;
        self.unusable += other.unusable;
        self.weight += other.weight;
        self.squares += other.squares;
        let add = |(sum, part): (&mut f64, &f64)| *sum += part;
        self.scores.iter_mut().zip(&other.scores).for_each(add);
        self.places.iter_mut().zip(&other.places).for_each(add);
    }
}

/// Sums over all chunks so far, with those of each batch.
#[derive(Clone, Debug)]
pub(super) struct Total {
    tally: Tally,
    /// Failures of each batch.
    batches: [u64; BATCHES],
}

/// How estimates are made of the sums.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    pub(super) samples: u64,
    /// Samples of each batch, if batches give the error.
    pub(super) batches: Option<[u64; BATCHES]>,
    pub(super) weighted: bool,
    pub(super) confidence: f64,
    pub(super) bins: Option<Bins>,
}

/// Fewer failures than this scatter too unevenly over the batches to give an error.
const SCATTER: u64 = 100;

impl Total {
    pub(super) fn new(variables: usize, bins: Option<Bins>) -> Self {
        Self {
            tally: Tally::new(variables, bins),
            batches: [0; BATCHES],
        }
    }

    /// Adds the sums of a chunk of this batch.
    pub(super) fn add(&mut self, chunk: &Tally, batch: usize) {
        self.batches[batch] += chunk.failures;
        self.tally.add(chunk);
    }

    pub(super) fn estimate(&self, manner: &Manner) -> Estimate {
        let tally = &self.tally;
        let samples = manner.samples as f64;
        let failed = tally.weight > 0.0;
        Estimate {
            failures: tally.failures,
            unusable: tally.unusable,
            probability: (tally.weight / samples).min(1.0),
            interval: self.interval(manner),
            effective_failures: if failed {
                tally.weight * tally.weight / tally.squares
            } else {
                0.0
            },
            at_failure: failed.then(|| tally.scores.iter().map(|s| s / tally.weight).collect()),
            histogram: manner.bins.map(|bins| tally.histogram(bins)),
        }
    }

    /// Weighted samples: from the scatter of the weights. Batches: from their scatter, if there are enough failures and no
    /// batch is without samples; otherwise the count, which is right for independent points and wide for better ones.
    fn interval(&self, manner: &Manner) -> (f64, f64) {
        let tally = &self.tally;
        let samples = manner.samples as f64;
        if manner.weighted {
            if tally.failures == 0 {
                return (0.0, 1.0);
            }
            let mean = tally.weight / samples;
            let variance = (tally.squares / samples - mean * mean).max(0.0);
            let error = (variance / (samples - 1.0).max(1.0)).sqrt();
            return interval::of_weights(mean, error, manner.confidence);
        }
        if let Some(counts) = manner.batches.filter(|b| b.iter().all(|n| *n > 0))
            && tally.failures.min(manner.samples - tally.failures) >= SCATTER
        {
            let means: Vec<f64> = (self.batches.iter().zip(counts))
                .map(|(failures, samples)| *failures as f64 / samples as f64)
                .collect();
            return interval::of_means(&means, manner.confidence);
        }
        interval::of_counts(tally.failures, manner.samples, manner.confidence)
    }
}

impl Tally {
    fn histogram(&self, bins: Bins) -> Histogram {
        let all: f64 = self.places.iter().sum();
        let share = |weight: &f64| if all > 0.0 { weight / all } else { 0.0 };
        Histogram {
            bins,
            shares: self.places[1..=bins.count].iter().map(share).collect(),
            below: share(&self.places[0]),
            above: share(&self.places[bins.count + 1]),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]

    use super::*;
    use crate::reliability::numerics::Distribution;

    const BINS: Bins = Bins {
        low: -1.0,
        high: 1.0,
        count: 4,
    };

    fn space() -> Space {
        Space::new(vec![Distribution::normal(0.0, 1.0).unwrap(); 2], None).unwrap()
    }

    fn manner(samples: u64) -> Manner {
        Manner {
            samples,
            batches: None,
            weighted: false,
            confidence: 0.95,
            bins: Some(BINS),
        }
    }

    /// Margins and weights; u is (margin, 1).
    fn total(samples: &[(f64, f64)]) -> Total {
        let space = space();
        let mut tally = Tally::new(2, Some(BINS));
        for (margin, weight) in samples {
            let u = [if margin.is_nan() { 0.0 } else { *margin }, 1.0];
            tally.count(*margin, *weight, &u, &space, Some(BINS));
        }
        let mut total = Total::new(2, Some(BINS));
        total.add(&tally, 3);
        total
    }

    #[test]
    fn exceeded_is_what_is_not_above_zero() {
        let found = total(&[
            (1.0, 1.0),
            (0.0, 1.0),
            (-0.4, 1.0),
            (f64::NAN, 1.0),
            (f64::INFINITY, 1.0),
            (f64::NEG_INFINITY, 1.0),
        ])
        .estimate(&manner(6));
        assert_eq!((found.failures, found.unusable), (4, 1));
        assert!((found.probability - 4.0 / 6.0).abs() < 1e-15);
        assert_eq!(found.effective_failures, 4.0);
    }

    #[test]
    fn every_sample_is_in_one_place_of_the_histogram() {
        let found = total(&[
            (-1.0, 1.0),
            (-0.5, 2.0),
            (0.0, 1.0),
            (0.999, 1.0),
            (1.0, 1.0),
            (-1.001, 0.5),
            (f64::NAN, 0.5),
            (7.0, 3.0),
        ])
        .estimate(&manner(8));
        let histogram = found.histogram.unwrap();
        assert_eq!(histogram.shares, [0.1, 0.2, 0.1, 0.1]);
        assert_eq!((histogram.below, histogram.above), (0.1, 0.4));
    }

    #[test]
    fn the_mean_score_at_failure_is_weighted() {
        let found = total(&[(-1.0, 1.0), (-2.0, 3.0), (5.0, 9.0)]).estimate(&manner(3));
        assert_eq!(found.at_failure, Some(vec![-1.75, 1.0]));
        assert_eq!(total(&[(5.0, 9.0)]).estimate(&manner(1)).at_failure, None);
    }

    #[test]
    fn weighted_samples_have_the_error_of_their_weights() {
        let samples: Vec<(f64, f64)> = (0..1000)
            .map(|k| {
                (
                    if k % 4 == 0 { -1.0 } else { 1.0 },
                    if k % 8 == 0 { 0.02 } else { 0.01 },
                )
            })
            .collect();
        let weighted = Manner {
            weighted: true,
            ..manner(1000)
        };
        let found = total(&samples).estimate(&weighted);
        assert!((found.probability - 3.75e-3).abs() < 1e-15);
        // Σw² = 125·(4 + 1)e-4; the variance by hand.
        let error = ((0.0625e-3 - 3.75e-3_f64.powi(2)) / 999.0).sqrt();
        let factor = (1.959_963_985 * error / 3.75e-3).exp();
        assert!((found.interval.0 * factor / 3.75e-3 - 1.0).abs() < 1e-9);
        assert!((found.interval.1 / factor / 3.75e-3 - 1.0).abs() < 1e-9);
        assert!((found.effective_failures - 3.75_f64.powi(2) / 0.0625).abs() < 1e-9);
        assert!(found.beta().unwrap() > 2.6);
        let none = total(&[(1.0, 0.5)]).estimate(&weighted);
        assert_eq!((none.probability, none.interval), (0.0, (0.0, 1.0)));
        assert_eq!(none.beta(), None);
        assert_eq!(none.beta_interval(), (None, None));
    }

    #[test]
    fn few_failures_do_not_trust_the_scatter_of_batches() {
        let mut batches = Total::new(2, None);
        for k in 0..BATCHES {
            let mut tally = Tally::new(2, None);
            for n in 0..100 {
                let margin = if n < 5 + k % 2 { -1.0 } else { 1.0 };
                tally.count(margin, 1.0, &[0.0, 0.0], &space(), None);
            }
            batches.add(&tally, k);
        }
        let scattered = Manner {
            batches: Some([100; BATCHES]),
            bins: None,
            ..manner(1600)
        };
        let crude = batches.estimate(&manner_without_bins(1600)).interval;
        // 88 failures: by count. With 12 more: by the scatter, which is far smaller here.
        assert_eq!(batches.estimate(&scattered).interval, crude);
        let mut more = Tally::new(2, None);
        more.count(-1.0, 1.0, &[0.0, 0.0], &space(), None);
        for k in 0..12 {
            batches.add(&more, k);
        }
        let by_scatter = batches.estimate(&scattered).interval;
        let by_count = batches.estimate(&manner_without_bins(1600)).interval;
        assert!(by_scatter.1 - by_scatter.0 < 0.9 * (by_count.1 - by_count.0));
        let unfinished = Manner {
            batches: Some([0; BATCHES]),
            ..scattered
        };
        assert_eq!(batches.estimate(&unfinished).interval, by_count);
    }

    fn manner_without_bins(samples: u64) -> Manner {
        Manner {
            bins: None,
            ..manner(samples)
        }
    }

    #[test]
    fn bins_must_have_a_width() {
        let bins = |low, high, count| Bins { low, high, count }.check();
        assert!(bins(0.0, 1.0, 10).is_ok());
        assert!(bins(1.0, 1.0, 10).is_err());
        assert!(bins(0.0, 1.0, 0).is_err());
        assert!(bins(0.0, 1.0, 1_000_000).is_err());
        assert!(bins(f64::NAN, 1.0, 10).is_err());
        assert!(bins(-f64::MAX, f64::MAX, 10).is_err());
    }

    #[test]
    fn the_index_falls_as_the_probability_grows() {
        let estimate = total(&[(-1.0, 1.0), (1.0, 1.0), (1.0, 1.0)]).estimate(&manner(3));
        let (low, high) = estimate.beta_interval();
        let beta = estimate.beta().unwrap();
        assert!(low.unwrap() < beta && beta < high.unwrap());
        assert!((beta - 0.430_727_3).abs() < 1e-6);
    }
}
