//! Sampling of many limit states at once, on any number of threads, with the same result on each.

use super::error::{NumericsError, between};
use super::estimate::{Bins, Estimate, Manner, Tally, Total};
use super::sampling::{BATCHES, Method, Plan, Points};
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
    let threads = settings.threads();
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

    fn threads(&self) -> usize {
        if cfg!(target_family = "wasm") {
            1
        } else if self.threads == 0 {
            std::thread::available_parallelism().map_or(1, usize::from)
        } else {
            self.threads
        }
    }
}

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
            let batch = (state.added % BATCHES as u64) as usize;
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
