//! Points in u, by number: the same seed gives the same points, on any number of threads.
//!
//! Points come in chunks. Every chunk draws from its own stream of a counter-based generator (ChaCha with 8 rounds), so
//! it can be made by itself and in any order; nothing is kept of it but sums.
//!
//! | method | chunk | error from |
//! |---|---|---|
//! | crude | independent points | the count |
//! | Latin hypercube | one hypercube: in every coordinate, one point in each of as many equal strata | scatter of [`BATCHES`] batches |
//! | Sobol | a block of one of [`BATCHES`] scramblings | scatter of the scramblings |
//! | importance | independent points round given centres | the scatter of the weights |

use super::error::NumericsError;
use super::importance::Mixture;
use super::{normal, sobol};
use rand::rngs::ChaCha8Rng;
use rand::seq::SliceRandom;
use rand::{Rng, SeedableRng};

/// How points are chosen.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Method {
    /// Independent, as chance has it.
    #[default]
    Crude,
    /// Latin hypercubes.
    LatinHypercube,
    /// Sobol's points in the first 64 coordinates, independent ones in further coordinates. The number of samples is rounded
    /// up to 16 times a power of 2.
    Sobol,
    /// Independent, round the origin and round these points of u: design points.
    Importance {
        /// The points, each [`Space::normals`](super::Space::normals) long.
        centres: Vec<Vec<f64>>,
    },
}

/// Batches of chunks whose scatter gives the error where points are not independent.
pub const BATCHES: usize = 16;

/// Points in a chunk.
pub const CHUNK: u32 = 1024;

/// The batch of a chunk.
#[allow(clippy::cast_possible_truncation, reason = "less than BATCHES")]
pub(super) fn batch(chunk: u64) -> usize {
    (chunk % BATCHES as u64) as usize
}

/// The points of a run: how many chunks, and what is in each.
#[derive(Debug)]
pub(super) struct Plan {
    seed: u64,
    normals: usize,
    samples: u64,
    chunk: u32,
    kind: Kind,
}

#[derive(Debug)]
enum Kind {
    Crude,
    Latin,
    Sobol(Vec<sobol::Replicate>),
    Importance(Mixture),
}

impl Plan {
    pub(super) fn new(
        method: &Method,
        normals: usize,
        samples: u64,
        seed: u64,
    ) -> Result<Self, NumericsError> {
        let (mut samples, mut chunk) = (samples, CHUNK);
        let kind = match method {
            Method::Crude => Kind::Crude,
            Method::LatinHypercube => {
                // Short runs have a hypercube for each batch as well.
                let each = samples.div_ceil(BATCHES as u64);
                chunk = u32::try_from(each).map_or(CHUNK, |each| each.clamp(1, CHUNK));
                Kind::Latin
            }
            Method::Importance { centres } => Kind::Importance(Mixture::new(centres, normals)?),
            Method::Sobol => {
                let batches = BATCHES as u64;
                let each = samples.div_ceil(batches).next_power_of_two();
                let each = each.min(sobol::POINTS);
                samples = each * batches;
                chunk = u32::try_from(each).map_or(CHUNK, |each| each.min(CHUNK));
                let coordinates = normals.min(sobol::DIMENSIONS);
                let replicate = |k| {
                    // Streams from the far end: those from 0 on belong to the chunks.
                    let mut random = stream(seed, u64::MAX - k);
                    sobol::Replicate::new(coordinates, &mut random)
                };
                Kind::Sobol((0..batches).map(replicate).collect())
            }
        };
        Ok(Self {
            seed,
            normals,
            samples,
            chunk,
            kind,
        })
    }

    /// The number of points.
    pub(super) fn samples(&self) -> u64 {
        self.samples
    }

    /// The number of chunks.
    pub(super) fn chunks(&self) -> u64 {
        self.samples.div_ceil(u64::from(self.chunk))
    }

    /// Whether the error follows from batches of chunks: chunk k belongs to batch k mod [`BATCHES`].
    pub(super) fn in_batches(&self) -> bool {
        matches!(self.kind, Kind::Latin | Kind::Sobol(_))
    }

    /// Whether points have weights other than 1.
    pub(super) fn is_weighted(&self) -> bool {
        matches!(self.kind, Kind::Importance(_))
    }

    /// Working memory for one thread.
    pub(super) fn points(&self) -> Points<'_> {
        Points {
            plan: self,
            random: stream(self.seed, 0),
            batch: 0,
            index: 0,
            next: 0,
            end: 0,
            strata: Vec::new(),
            digits: Vec::new(),
        }
    }
}

/// The random digits of one stream of a seed.
fn stream(seed: u64, stream: u64) -> ChaCha8Rng {
    let mut key = [0; 32];
    key[..8].copy_from_slice(&seed.to_le_bytes());
    let mut random = ChaCha8Rng::from_seed(key);
    random.set_stream(stream);
    random
}

/// A fraction of one of so many equal strata, as 64 binary digits: (stratum + fraction)/strata.
#[allow(
    clippy::cast_possible_truncation,
    reason = "a stratum is below their number"
)]
fn stratified(stratum: u32, strata: u32, fraction: u64) -> u64 {
    let place = u128::from(stratum) << 64 | u128::from(fraction);
    (place / u128::from(strata)) as u64
}

/// A standard normal.
pub(super) fn normal_from(random: &mut impl Rng) -> f64 {
    normal::from_fraction(random.next_u64())
}

/// The points of one chunk, one after the other.
#[derive(Debug)]
pub(super) struct Points<'a> {
    plan: &'a Plan,
    random: ChaCha8Rng,
    /// The replicate of Sobol's points, and the number of the chunk's first point in it.
    batch: usize,
    index: u64,
    next: u32,
    end: u32,
    /// The stratum of each point in each coordinate, coordinate by coordinate.
    strata: Vec<u32>,
    /// The present Sobol point.
    digits: Vec<u32>,
}

impl Points<'_> {
    /// Goes to the beginning of a chunk.
    pub(super) fn start(&mut self, chunk: u64) {
        let plan = self.plan;
        let size = u64::from(plan.chunk);
        let rest = plan.samples.saturating_sub(chunk * size);
        self.random = stream(plan.seed, chunk);
        self.next = 0;
        self.end = u32::try_from(rest).map_or(plan.chunk, |rest| rest.min(plan.chunk));
        match &plan.kind {
            Kind::Crude | Kind::Importance(_) => {}
            Kind::Latin => self.shuffle(),
            Kind::Sobol(replicates) => {
                self.batch = batch(chunk);
                self.index = chunk / BATCHES as u64 * size;
                self.digits.resize(plan.normals.min(sobol::DIMENSIONS), 0);
                replicates[self.batch].point(self.index, &mut self.digits);
            }
        }
    }

    /// Every stratum once in every coordinate, in random order.
    fn shuffle(&mut self) {
        self.strata.clear();
        for _ in 0..self.plan.normals {
            let from = self.strata.len();
            self.strata.extend(0..self.end);
            self.strata[from..].shuffle(&mut self.random);
        }
    }

    /// Writes the next point into `u` and returns its weight; none at the end of the chunk.
    pub(super) fn next(&mut self, u: &mut [f64]) -> Option<f64> {
        if self.next == self.end {
            return None;
        }
        let mut weight = 1.0;
        match &self.plan.kind {
            Kind::Crude => u.fill_with(|| normal_from(&mut self.random)),
            Kind::Latin => self.latin(u),
            Kind::Sobol(_) => self.sobol(u),
            Kind::Importance(mixture) => weight = mixture.draw(&mut self.random, u),
        }
        self.next += 1;
        Some(weight)
    }

    fn latin(&mut self, u: &mut [f64]) {
        let (next, end) = (self.next as usize, self.end as usize);
        let strata = self.strata.iter().skip(next).step_by(end);
        for (value, stratum) in u.iter_mut().zip(strata) {
            *value = normal::from_fraction(stratified(*stratum, self.end, self.random.next_u64()));
        }
    }

    fn sobol(&mut self, u: &mut [f64]) {
        for (k, value) in u.iter_mut().enumerate() {
            let random = self.random.next_u64();
            *value = normal::from_fraction(match self.digits.get(k) {
                // Random digits fill the step of the point.
                Some(digits) => u64::from(*digits) << 32 | random >> 32,
                None => random,
            });
        }
        self.advance();
    }

    fn advance(&mut self) {
        if let Kind::Sobol(replicates) = &self.plan.kind {
            let index = self.index + u64::from(self.next);
            replicates[self.batch].advance(index, &mut self.digits);
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    #![allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "strata by number"
    )]

    use super::*;

    fn chunk(plan: &Plan, normals: usize, number: u64) -> Vec<(Vec<f64>, f64)> {
        let mut points = plan.points();
        points.start(number);
        let mut u = vec![0.0; normals];
        let mut all = Vec::new();
        while let Some(weight) = points.next(&mut u) {
            all.push((u.clone(), weight));
        }
        all
    }

    fn methods() -> [Method; 4] {
        let centres = vec![vec![2.0; 70]];
        [
            Method::Crude,
            Method::LatinHypercube,
            Method::Sobol,
            Method::Importance { centres },
        ]
    }

    #[test]
    fn a_chunk_is_the_same_whatever_came_before() {
        for method in methods() {
            let plan = Plan::new(&method, 70, 50_000, 3).unwrap();
            let mut points = plan.points();
            let mut u = vec![0.0; 70];
            points.start(1);
            points.next(&mut u);
            points.start(5);
            points.next(&mut u);
            assert_eq!(u, chunk(&plan, 70, 5)[0].0, "{method:?}");
        }
    }

    #[test]
    fn seeds_and_chunks_differ() {
        for method in methods() {
            let plan = |seed| Plan::new(&method, 70, 50_000, seed).unwrap();
            let first = chunk(&plan(3), 70, 0);
            assert_ne!(first[0].0, chunk(&plan(4), 70, 0)[0].0, "{method:?}");
            assert_ne!(first[0].0, chunk(&plan(3), 70, 1)[0].0, "{method:?}");
            assert_ne!(first[0].0[0], first[0].0[1], "{method:?}");
        }
    }

    #[test]
    fn chunks_add_up_to_the_samples() {
        for method in methods() {
            for asked in [1, 15, 1000, 1024, 20_000, 33_333] {
                let plan = Plan::new(&method, 70, asked, 3).unwrap();
                let made: usize = (0..plan.chunks()).map(|k| chunk(&plan, 70, k).len()).sum();
                assert_eq!(made as u64, plan.samples(), "{method:?} {asked}");
                if method == Method::Sobol {
                    assert!(made as u64 >= asked && plan.samples().is_power_of_two());
                    assert!(plan.samples() < 2 * asked.max(BATCHES as u64));
                } else {
                    assert_eq!(made as u64, asked);
                }
            }
        }
    }

    #[test]
    fn a_latin_hypercube_has_one_point_in_each_stratum() {
        let latin = |samples| Plan::new(&Method::LatinHypercube, 5, samples, 3).unwrap();
        let plan = latin(17 * 1024 + 100);
        assert_eq!(chunk(&latin(1600), 5, 15).len(), 100);
        for (number, size) in [(0, 1024), (16, 1024), (17, 100)] {
            let points = chunk(&plan, 5, number);
            for k in 0..5 {
                let mut strata: Vec<usize> = points
                    .iter()
                    .map(|(u, _)| (normal::cdf(u[k]) * size as f64) as usize)
                    .collect();
                strata.sort_unstable();
                assert_eq!(strata, (0..size).collect::<Vec<_>>());
            }
        }
        let order = |k: usize| -> Vec<bool> {
            let points = chunk(&plan, 5, 0);
            points.iter().map(|(u, _)| u[k] > 0.0).collect()
        };
        assert_ne!(order(0), order(1));
    }

    #[test]
    fn all_points_of_a_scrambling_fill_the_strata_of_every_coordinate() {
        let plan = Plan::new(&Method::Sobol, 70, 16 * 4096, 3).unwrap();
        for k in [0, 1, 20, 63] {
            let mut strata = vec![0; 4096];
            for block in 0..4 {
                for (u, _) in chunk(&plan, 70, 16 * block + 5) {
                    strata[(normal::cdf(u[k]) * 4096.0) as usize] += 1;
                }
            }
            assert!(strata.iter().all(|count| *count == 1), "coordinate {k}");
        }
    }

    /// Mean 0 and deviation 1 within five standard errors, in every coordinate, with 32 768 points.
    #[test]
    fn coordinates_are_standard_normals() {
        for method in &methods()[..3] {
            let plan = Plan::new(method, 70, 32_768, 3).unwrap();
            let points: Vec<_> = (0..plan.chunks())
                .flat_map(|k| chunk(&plan, 70, k))
                .collect();
            let count = points.len() as f64;
            for k in [0, 1, 40, 63, 64, 69] {
                let mean = points.iter().map(|(u, _)| u[k]).sum::<f64>() / count;
                let square = points.iter().map(|(u, _)| u[k] * u[k]).sum::<f64>() / count;
                assert!(mean.abs() < 5.0 / count.sqrt(), "{method:?} {k}: {mean}");
                let error = (2.0 / count).sqrt();
                assert!(
                    (square - 1.0).abs() < 5.0 * error,
                    "{method:?} {k}: {square}"
                );
            }
            assert!(points.iter().all(|(_, weight)| *weight == 1.0));
        }
    }
}
