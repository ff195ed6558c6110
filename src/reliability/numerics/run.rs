//! Sampling of many limit states at once, on any number of threads, with the same result on each.

use super::error::{NumericsError, between};
use super::estimate::{Bins, Estimate, Manner, Tally, Total};
use super::sampling::{BATCHES, Method, Plan, Points, batch};
use super::{Response, Space};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

/// What is sampled, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// How points are chosen.
    pub method: Method,
    /// How many points.
    pub samples: u64,
    /// What the points are drawn from: the same seed gives the same points.
    pub seed: u64,
    /// Threads; 0 for one on each processor. On the web there is one.
    pub threads: usize,
    /// The confidence of the intervals.
    pub confidence: f64,
    /// Systems: each is exceeded if any of these limit states is.
    pub systems: Vec<Vec<usize>>,
    /// Bins of the histograms; none are kept without.
    pub histogram: Option<Bins>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            method: Method::Crude,
            samples: 100_000,
            seed: 1,
            threads: 0,
            confidence: 0.95,
            systems: Vec::new(),
            histogram: None,
        }
    }
}

/// How far a run is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Samples done.
    pub samples: u64,
    /// Samples in all.
    pub of: u64,
}

/// What a run found.
#[derive(Clone, Debug, PartialEq)]
pub struct Sampled {
    /// Samples that were made.
    pub samples: u64,
    /// Samples that were to be made.
    pub planned: u64,
    /// One for each limit state.
    pub limit_states: Vec<Estimate>,
    /// One for each system.
    pub systems: Vec<Estimate>,
}

impl Sampled {
    /// Whether the run was broken off.
    pub fn is_partial(&self) -> bool {
        self.samples < self.planned
    }
}

/// Samples all limit states of a response, until it is done or `cancel` is set: then what was begun is finished, and the
/// result is partial. `progress` is called after each chunk, by one thread at a time.
///
/// The sums of the chunks are added in their order. Memory does not grow with the number of samples.
///
/// # Errors
/// If a setting has no meaning, or if it was cancelled before any sample was made.
pub fn run<R: Response>(
    space: &Space,
    response: &R,
    settings: &Settings,
    cancel: &AtomicBool,
    progress: &mut (dyn FnMut(Progress) + Send),
) -> Result<Sampled, NumericsError> {
    let limit_states = response.limit_states();
    settings.check(limit_states)?;
    let plan = Plan::new(
        &settings.method,
        space.normals(),
        settings.samples,
        settings.seed,
    )?;
    let job = Job {
        space,
        response,
        plan: &plan,
        systems: &settings.systems,
        bins: settings.histogram,
        cancel,
    };
    let threads = settings.threads(plan.chunks());
    let merger = Merger::new(&job, threads, progress);
    if threads == 1 {
        job.work(&merger);
    } else {
        std::thread::scope(|scope| {
            for _ in 0..threads {
                scope.spawn(|| job.work(&merger));
            }
        });
    }
    merger.finish(&job, settings.confidence)
}

impl Settings {
    fn check(&self, limit_states: usize) -> Result<(), NumericsError> {
        between("the number of samples", self.samples as f64, 1.0, 1e12)?;
        between("the confidence", self.confidence, 0.5, 0.9999)?;
        for &index in self.systems.iter().flatten() {
            if index >= limit_states {
                return Err(NumericsError::NoSuch {
                    what: "limit state of a system",
                    index,
                    count: limit_states,
                });
            }
        }
        self.histogram.as_ref().map_or(Ok(()), Bins::check)
    }

    /// Threads to start: no more than there are chunks, and never a number that no machine has.
    fn threads(&self, chunks: u64) -> usize {
        let most = usize::try_from(chunks).map_or(MOST_THREADS, |chunks| chunks.min(MOST_THREADS));
        let asked = if cfg!(target_family = "wasm") {
            1
        } else if self.threads == 0 {
            std::thread::available_parallelism().map_or(1, usize::from)
        } else {
            self.threads
        };
        asked.clamp(1, most.max(1))
    }
}

/// Threads at most.
const MOST_THREADS: usize = 256;

/// What every thread works on.
struct Job<'a, R> {
    space: &'a Space,
    response: &'a R,
    plan: &'a Plan,
    systems: &'a [Vec<usize>],
    bins: Option<Bins>,
    cancel: &'a AtomicBool,
}

impl<R: Response> Job<'_, R> {
    /// Limit states and systems.
    fn margins(&self) -> usize {
        self.response.limit_states() + self.systems.len()
    }

    fn tallies(&self) -> Vec<Tally> {
        let tally = Tally::new(self.space.variables(), self.bins);
        vec![tally; self.margins()]
    }

    /// Takes chunks until there are none left.
    fn work(&self, merger: &Merger<'_>) {
        let mut hands = Hands {
            points: self.plan.points(),
            scratch: self.response.scratch(),
            u: vec![0.0; self.space.normals()],
            x: vec![0.0; self.space.variables()],
            g: vec![0.0; self.margins()],
        };
        let mut tallies = self.tallies();
        let _alarm = Alarm(merger);
        while let Some(chunk) = merger.take(self) {
            tallies.iter_mut().for_each(Tally::clear);
            let samples = self.sample(chunk, &mut hands, &mut tallies);
            tallies = merger.hand_in(self, chunk, samples, tallies);
        }
    }

    /// Samples one chunk and returns how many points it has.
    fn sample(&self, chunk: u64, hands: &mut Hands<'_, R>, tallies: &mut [Tally]) -> u64 {
        let Hands {
            points,
            scratch,
            u,
            x,
            g,
        } = hands;
        let limit_states = self.response.limit_states();
        let mut samples = 0;
        points.start(chunk);
        while let Some(weight) = points.next(u) {
            samples += 1;
            self.space.physical(u, x);
            let (own, joint) = g.split_at_mut(limit_states);
            own.fill(f64::NAN);
            self.response.evaluate(x, scratch, own);
            for (least, members) in joint.iter_mut().zip(self.systems) {
                *least = weakest(own, members);
            }
            for (tally, margin) in tallies.iter_mut().zip(&*g) {
                tally.count(*margin, weight, u, self.space, self.bins);
            }
        }
        samples
    }
}

/// Lets the other threads go if one falls out of its work by a panic: its chunk will never come.
struct Alarm<'m, 'a>(&'m Merger<'a>);

impl Drop for Alarm<'_, '_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            self.0.lock().broken = true;
            self.0.added.notify_all();
        }
    }
}

/// The least margin of the members; no number if any is none, unless another is exceeded.
fn weakest(margins: &[f64], members: &[usize]) -> f64 {
    let least = members
        .iter()
        .map(|&k| margins[k])
        .fold(f64::INFINITY, f64::min);
    if least > 0.0 && members.iter().any(|&k| margins[k].is_nan()) {
        f64::NAN
    } else {
        least
    }
}

/// What one thread writes on.
struct Hands<'a, R: Response> {
    points: Points<'a>,
    scratch: R::Scratch,
    u: Vec<f64>,
    x: Vec<f64>,
    g: Vec<f64>,
}

/// Chunks that may be done out of turn, for each thread.
const AHEAD: u64 = 4;

/// Gives out chunks and adds their sums in order.
struct Merger<'a> {
    state: Mutex<State<'a>>,
    /// Told whenever a chunk was added.
    added: Condvar,
    window: u64,
}

struct State<'a> {
    next: u64,
    added: u64,
    broken: bool,
    samples: u64,
    batches: [u64; BATCHES],
    totals: Vec<Total>,
    /// Chunks done out of turn.
    waiting: BTreeMap<u64, (u64, Vec<Tally>)>,
    /// Tallies that are not in use.
    spare: Vec<Vec<Tally>>,
    progress: &'a mut (dyn FnMut(Progress) + Send),
}

impl<'a> Merger<'a> {
    fn new<R: Response>(
        job: &Job<'_, R>,
        threads: usize,
        progress: &'a mut (dyn FnMut(Progress) + Send),
    ) -> Self {
        let total = Total::new(job.space.variables(), job.bins);
        Self {
            state: Mutex::new(State {
                next: 0,
                added: 0,
                broken: false,
                samples: 0,
                batches: [0; BATCHES],
                totals: vec![total; job.margins()],
                waiting: BTreeMap::new(),
                spare: Vec::new(),
                progress,
            }),
            added: Condvar::new(),
            window: AHEAD * threads as u64,
        }
    }

    fn lock(&self) -> MutexGuard<'_, State<'a>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The next chunk, if there is one and the run goes on; waits for a chunk that lags far behind.
    fn take<R: Response>(&self, job: &Job<'_, R>) -> Option<u64> {
        let mut state = self.lock();
        let stop = |state: &State<'_>| state.broken || job.cancel.load(Ordering::Relaxed);
        while state.next >= state.added + self.window && !stop(&state) {
            state = (self.added.wait(state)).unwrap_or_else(PoisonError::into_inner);
        }
        let goes_on = state.next < job.plan.chunks() && !stop(&state);
        goes_on.then(|| {
            state.next += 1;
            state.next - 1
        })
    }

    /// Adds what can be added in order, and returns tallies to go on with.
    fn hand_in<R: Response>(
        &self,
        job: &Job<'_, R>,
        chunk: u64,
        samples: u64,
        tallies: Vec<Tally>,
    ) -> Vec<Tally> {
        let mut guard = self.lock();
        let state = &mut *guard;
        state.waiting.insert(chunk, (samples, tallies));
        while let Some((samples, tallies)) = state.waiting.remove(&state.added) {
            let batch = batch(state.added);
            for (total, tally) in state.totals.iter_mut().zip(&tallies) {
                total.add(tally, batch);
            }
            state.added += 1;
            state.samples += samples;
            state.batches[batch] += samples;
            state.spare.push(tallies);
            (state.progress)(Progress {
                samples: state.samples,
                of: job.plan.samples(),
            });
        }
        self.added.notify_all();
        state.spare.pop().unwrap_or_else(|| job.tallies())
    }

    fn finish<R: Response>(
        self,
        job: &Job<'_, R>,
        confidence: f64,
    ) -> Result<Sampled, NumericsError> {
        let state = self
            .state
            .into_inner()
            .unwrap_or_else(PoisonError::into_inner);
        if state.samples == 0 {
            return Err(NumericsError::OutOfRange {
                what: "the number of samples made",
                value: 0.0,
                low: 1.0,
                high: job.plan.samples() as f64,
            });
        }
        let manner = Manner {
            samples: state.samples,
            batches: job.plan.in_batches().then_some(state.batches),
            weighted: job.plan.is_weighted(),
            confidence,
            bins: job.bins,
        };
        let mut estimates: Vec<Estimate> = (state.totals.iter())
            .map(|total| total.estimate(&manner))
            .collect();
        let systems = estimates.split_off(job.response.limit_states());
        Ok(Sampled {
            samples: state.samples,
            planned: job.plan.samples(),
            limit_states: estimates,
            systems,
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp, clippy::panic)]

    use super::*;
    use crate::reliability::numerics::{Distribution, Function};
    use std::sync::atomic::AtomicU64;

    fn space() -> Space {
        let load = Distribution::gumbel(1.0, 0.25).unwrap();
        let strength = Distribution::lognormal(2.5, 0.2).unwrap();
        Space::new(vec![strength, load, strength, load], None).unwrap()
    }

    fn pairs(x: &[f64], g: &mut [f64]) {
        g[0] = x[0] - x[1];
        g[1] = x[2] - x[3];
    }

    fn settings(method: Method, samples: u64) -> Settings {
        Settings {
            method,
            samples,
            systems: vec![vec![0, 1], vec![1]],
            histogram: Some(Bins {
                low: -1.0,
                high: 4.0,
                count: 25,
            }),
            ..Settings::default()
        }
    }

    fn sample(settings: &Settings) -> Sampled {
        let never = AtomicBool::new(false);
        run(
            &space(),
            &Function::new(2, pairs),
            settings,
            &never,
            &mut |_| (),
        )
        .unwrap()
    }

    fn methods() -> [Method; 4] {
        let centres = vec![vec![-2.0, 1.5, 0.0, 0.0], vec![0.0, 0.0, -2.0, 1.5]];
        [
            Method::Crude,
            Method::LatinHypercube,
            Method::Sobol,
            Method::Importance { centres },
        ]
    }

    #[test]
    fn any_number_of_threads_gives_the_same_result() {
        for method in methods() {
            let on = |threads| {
                sample(&Settings {
                    threads,
                    ..settings(method.clone(), 30_500)
                })
            };
            let one = on(1);
            for threads in [2, 3, 7, 0, usize::MAX] {
                assert_eq!(on(threads), one, "{method:?} on {threads}");
            }
            assert_eq!(format!("{:?}", on(7)), format!("{one:?}"));
        }
    }

    #[test]
    fn seeds_give_different_results() {
        for method in methods() {
            let seeded = |seed| {
                sample(&Settings {
                    seed,
                    ..settings(method.clone(), 5_000)
                })
            };
            assert_ne!(seeded(1), seeded(2), "{method:?}");
            assert_eq!(seeded(1), seeded(1));
        }
    }

    #[test]
    fn a_system_is_exceeded_with_any_of_its_members() {
        for method in methods() {
            let found = sample(&settings(method, 20_000));
            let [first, second] = &found.limit_states[..] else {
                panic!("two limit states")
            };
            let [any, alone] = &found.systems[..] else {
                panic!("two systems")
            };
            assert_eq!(alone, second);
            assert!(any.failures <= first.failures + second.failures);
            assert!(any.failures >= first.failures.max(second.failures));
            assert!(any.probability <= first.probability + second.probability + 1e-15);
            // Two that do not depend on each other and are alike.
            let p = 0.5 * (first.probability + second.probability);
            let error = any.interval.1 - any.interval.0;
            assert!((any.probability - (2.0 * p - p * p)).abs() < error);
        }
    }

    #[test]
    fn shares_of_all_bins_add_to_one() {
        for method in methods() {
            let found = sample(&settings(method, 8_000));
            for estimate in found.limit_states.iter().chain(&found.systems) {
                let histogram = estimate.histogram.as_ref().unwrap();
                let sum = histogram.shares.iter().sum::<f64>() + histogram.below + histogram.above;
                assert!((sum - 1.0).abs() < 1e-12);
                assert_eq!(histogram.shares.len(), 25);
            }
        }
    }

    #[test]
    fn the_histogram_holds_the_failures() {
        let found = sample(&settings(Method::Crude, 8_000));
        // Bins of 0.2 from −1: the first five lie below 0.
        let histogram = found.limit_states[0].histogram.as_ref().unwrap();
        let failed = histogram.below + histogram.shares[..5].iter().sum::<f64>();
        assert!((failed - found.limit_states[0].probability).abs() < 1e-12);
    }

    #[test]
    fn progress_comes_in_order_and_ends_at_the_end() {
        let mut seen = Vec::new();
        let never = AtomicBool::new(false);
        let asked = Settings {
            threads: 3,
            ..settings(Method::Crude, 10_000)
        };
        let response = Function::new(2, pairs);
        run(&space(), &response, &asked, &never, &mut |p| seen.push(p)).unwrap();
        assert!(
            seen.windows(2)
                .all(|pair| pair[0].samples < pair[1].samples)
        );
        let end = Progress {
            samples: 10_000,
            of: 10_000,
        };
        assert_eq!((seen.len(), seen.last()), (10, Some(&end)));
    }

    #[test]
    fn a_cancelled_run_gives_what_is_finished() {
        for threads in [1, 2] {
            let cancel = AtomicBool::new(false);
            let asked = Settings {
                threads,
                ..settings(Method::Sobol, 1_000_000)
            };
            let mut stop = |progress: Progress| {
                if progress.samples >= 20 * 1024 {
                    cancel.store(true, Ordering::Relaxed);
                }
            };
            let response = Function::new(2, pairs);
            let found = run(&space(), &response, &asked, &cancel, &mut stop).unwrap();
            assert!(found.is_partial() && found.planned == 1 << 20);
            assert!(
                (20 * 1024..=40 * 1024).contains(&found.samples),
                "{}",
                found.samples
            );
            let p = found.limit_states[0].probability;
            assert!((0.002..0.03).contains(&p), "{p}");
        }
    }

    #[test]
    fn what_is_finished_of_a_cancelled_run_is_the_beginning_of_the_whole() {
        let cancel = AtomicBool::new(false);
        let asked = settings(Method::Crude, 100_000);
        let mut stop = |_| cancel.store(true, Ordering::Relaxed);
        let response = Function::new(2, pairs);
        let part = run(&space(), &response, &asked, &cancel, &mut stop).unwrap();
        let short = sample(&settings(Method::Crude, part.samples));
        assert_eq!(part.limit_states, short.limit_states);
    }

    #[test]
    fn nothing_done_is_no_result() {
        let cancelled = AtomicBool::new(true);
        let asked = settings(Method::Crude, 1_000);
        let response = Function::new(2, pairs);
        assert!(run(&space(), &response, &asked, &cancelled, &mut |_| ()).is_err());
    }

    #[test]
    fn a_margin_that_cannot_be_had_is_exceeded_and_counted() {
        let response = Function::new(2, |x: &[f64], g: &mut [f64]| {
            // The second is left as it comes.
            g[0] = if x[0] > 2.5 { f64::NAN } else { 1.0 };
        });
        let never = AtomicBool::new(false);
        let asked = settings(Method::Crude, 4_000);
        let found = run(&space(), &response, &asked, &never, &mut |_| ()).unwrap();
        let [first, second] = &found.limit_states[..] else {
            panic!("two limit states")
        };
        assert!(first.unusable == first.failures && first.failures > 1000);
        assert_eq!((second.unusable, second.failures), (4_000, 4_000));
        assert_eq!(found.systems[0].unusable, 4_000);
        assert_eq!(second.probability, 1.0);
    }

    #[test]
    fn the_weakest_member_counts() {
        let margins = [2.0, -1.0, f64::NAN, 0.5];
        assert_eq!(weakest(&margins, &[0, 3]), 0.5);
        assert_eq!(weakest(&margins, &[0, 1, 2]), -1.0);
        assert!(weakest(&margins, &[0, 2]).is_nan());
        assert_eq!(weakest(&margins, &[]), f64::INFINITY);
    }

    #[test]
    fn settings_without_a_meaning_are_refused() {
        let good = settings(Method::Crude, 1_000);
        let bad = [
            Settings {
                samples: 0,
                ..good.clone()
            },
            Settings {
                confidence: 1.0,
                ..good.clone()
            },
            Settings {
                confidence: f64::NAN,
                ..good.clone()
            },
            Settings {
                systems: vec![vec![2]],
                ..good.clone()
            },
            Settings {
                method: Method::Importance {
                    centres: vec![vec![1.0; 3]],
                },
                ..good.clone()
            },
            Settings {
                histogram: Some(Bins {
                    low: 1.0,
                    high: 0.0,
                    count: 3,
                }),
                ..good
            },
        ];
        let never = AtomicBool::new(false);
        let response = Function::new(2, pairs);
        for settings in bad {
            let refused = run(&space(), &response, &settings, &never, &mut |_| ());
            assert!(refused.is_err(), "{settings:?}");
        }
    }

    /// While one chunk lags behind, the others go on by no more than is bounded: what waits for it is kept.
    #[test]
    fn no_thread_runs_far_ahead_of_a_chunk_that_lags() {
        let (first, counted) = (AtomicBool::new(true), AtomicU64::new(0));
        let ahead = AtomicU64::new(0);
        let response = Function::new(2, |x: &[f64], g: &mut [f64]| {
            if first.swap(false, Ordering::Relaxed) {
                std::thread::sleep(std::time::Duration::from_millis(300));
                ahead.store(counted.load(Ordering::Relaxed), Ordering::Relaxed);
            }
            counted.fetch_add(1, Ordering::Relaxed);
            pairs(x, g);
        });
        let never = AtomicBool::new(false);
        let asked = Settings {
            threads: 2,
            histogram: None,
            ..settings(Method::Crude, 200_000)
        };
        run(&space(), &response, &asked, &never, &mut |_| ()).unwrap();
        let most = 2 * AHEAD * 1024;
        assert!(ahead.load(Ordering::Relaxed) <= most, "{ahead:?}");
        assert_eq!(counted.load(Ordering::Relaxed), 200_000);
    }

    /// One thread falls out of its work; the others, which wait for its chunk, must not wait for ever.
    #[test]
    fn a_panic_in_one_thread_ends_the_run() {
        let (ended, end) = std::sync::mpsc::channel();
        std::thread::spawn(move || {
            let first = AtomicBool::new(true);
            let response = Function::new(2, move |x: &[f64], g: &mut [f64]| {
                assert!(!first.swap(false, Ordering::Relaxed), "on purpose");
                pairs(x, g);
            });
            let never = AtomicBool::new(false);
            let asked = Settings {
                threads: 4,
                ..settings(Method::Crude, 1_000_000)
            };
            let run = || run(&space(), &response, &asked, &never, &mut |_| ());
            let panicked = std::panic::catch_unwind(std::panic::AssertUnwindSafe(run)).is_err();
            ended.send(panicked).unwrap();
        });
        let minute = std::time::Duration::from_secs(60);
        assert_eq!(end.recv_timeout(minute), Ok(true));
    }

    /// A response whose scratch counts what one thread has evaluated.
    struct Counting;

    impl Response for Counting {
        type Scratch = u64;

        fn scratch(&self) -> u64 {
            0
        }

        fn limit_states(&self) -> usize {
            1
        }

        fn evaluate(&self, x: &[f64], count: &mut u64, g: &mut [f64]) {
            *count += 1;
            g[0] = if *count > 0 { x[0] - x[1] } else { f64::NAN };
        }
    }

    #[test]
    fn threads_have_scratch_of_their_own() {
        let never = AtomicBool::new(false);
        let asked = Settings {
            systems: Vec::new(),
            ..settings(Method::Crude, 5_000)
        };
        let found = run(&space(), &Counting, &asked, &never, &mut |_| ()).unwrap();
        let plain = sample(&settings(Method::Crude, 5_000));
        assert_eq!(found.limit_states[0], plain.limit_states[0]);
    }
}
