//! The numerics of reliability against each other and against published probabilities: sampling, its intervals, and the
//! first-order method.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::reliability::numerics::{
    Correlation, Distribution, FormOptions, Function, Method, NumericsError, Response, Sampled,
    Settings, Space, form, normal, run,
};
use std::f64::consts::SQRT_2;
use std::sync::atomic::AtomicBool;

type Margin = fn(&[f64]) -> f64;

fn response(margin: Margin) -> impl Response {
    Function::new(1, move |x: &[f64], g: &mut [f64]| g[0] = margin(x))
}

fn sample(space: &Space, margin: Margin, settings: &Settings) -> Sampled {
    let never = AtomicBool::new(false);
    run::run(space, &response(margin), settings, &never, &mut |_| ()).unwrap()
}

fn standard(normals: usize) -> Space {
    Space::new(vec![Distribution::normal(0.0, 1.0).unwrap(); normals], None).unwrap()
}

/// The design points of a margin, for importance sampling.
fn centres(space: &Space, margin: Margin) -> Vec<Vec<f64>> {
    let options = FormOptions {
        design_points: 4,
        ..FormOptions::default()
    };
    let form = form::search(space, &response(margin), 0, &options).unwrap();
    form.points.into_iter().map(|point| point.u).collect()
}

fn methods(space: &Space, margin: Margin) -> [Method; 4] {
    let centres = centres(space, margin);
    [
        Method::Crude,
        Method::LatinHypercube,
        Method::Sobol,
        Method::Importance { centres },
    ]
}

/// The confidence at which a published value must lie in an interval: with some forty intervals below, one in 25 suites of
/// tests with other seeds would fail by chance. The seeds are fixed.
const SURE: f64 = 0.999;

/// A problem with a probability that others have worked out.
struct Problem {
    name: &'static str,
    space: Space,
    margin: Margin,
    probability: f64,
    /// Half the last digit printed, or the error that the source gives.
    tolerance: f64,
}

fn lognormal(mean: f64, deviation: f64) -> Distribution {
    Distribution::lognormal(mean, deviation / mean).unwrap()
}

fn rp14() -> Space {
    let variables = vec![
        Distribution::uniform(70.0, 80.0).unwrap(),
        Distribution::normal(39.0, 0.1).unwrap(),
        Distribution::gumbel(1500.0, 350.0).unwrap(),
        Distribution::normal(400.0, 0.1).unwrap(),
        Distribution::normal(250_000.0, 35_000.0).unwrap(),
    ];
    Space::new(variables, None).unwrap()
}

fn rp8() -> Space {
    let mut variables = vec![lognormal(120.0, 12.0); 4];
    variables.extend([lognormal(50.0, 10.0), lognormal(40.0, 8.0)]);
    Space::new(variables, None).unwrap()
}

/// Ten bars in the truss of Marelli and Sudret: two moduli, two areas, six loads.
fn truss() -> Space {
    let mut variables = vec![
        lognormal(2.1e11, 2.1e10),
        lognormal(2.1e11, 2.1e10),
        lognormal(2e-3, 2e-4),
        lognormal(1e-3, 1e-4),
    ];
    variables.extend([Distribution::gumbel(5e4, 7.5e3).unwrap(); 6]);
    Space::new(variables, None).unwrap()
}

fn deflection(x: &[f64]) -> f64 {
    let chords = [36.0, 100.0, 140.0, 140.0, 100.0, 36.0];
    let diagonals = [2.0, 6.0, 10.0, 10.0, 6.0, 2.0];
    let loads = &x[4..];
    let sum = |by: [f64; 6]| by.iter().zip(loads).map(|(a, p)| a * p).sum::<f64>();
    sum(chords) / (x[0] * x[2]) + SQRT_2 * sum(diagonals) / (x[1] * x[3])
}

fn four_branches(x: &[f64]) -> f64 {
    let (sum, difference) = ((x[0] + x[1]) / SQRT_2, x[0] - x[1]);
    let curved = 3.0 + 0.1 * difference * difference;
    let straight = 7.0 / SQRT_2;
    (curved - sum)
        .min(curved + sum)
        .min(straight + difference)
        .min(straight - difference)
}

/// RP: the repository of reliability problems of Rózsás and Slobbe (black-box reliability challenge, TNO 2019), as carried by an
/// open implementation (openturns/otbenchmark), which has mended some of its probabilities; RP22, 24, 25, 31, 33, 75 and 107 were
/// integrated again apart from this library (mpmath, SciPy), and agree with it to the digits printed, but for RP33 (0.00257 there)
/// and RP107 (whose closed form is Φ(−5)). RP8 and RP14: by sampling there. Four branches: Waarts 2000, in the same place,
/// integrated again. Truss: Marelli and Sudret 2018, section 3.2, a million crude samples (second-hand, tests of pystra).
fn problems() -> Vec<Problem> {
    let problem = |name, space, margin, probability, tolerance| Problem {
        name,
        space,
        margin,
        probability,
        tolerance,
    };
    vec![
        problem(
            "RP8",
            rp8(),
            |x| x[0] + 2.0 * x[1] + 2.0 * x[2] + x[3] - 5.0 * x[4] - 5.0 * x[5],
            7.84e-4,
            0.5e-6,
        ),
        problem(
            "RP14",
            rp14(),
            |x| {
                let torsion = (x[2] * x[3] / 4.0).hypot(x[4]);
                x[0] - 32.0 * torsion / (std::f64::consts::PI * x[1].powi(3))
            },
            7.7285e-4,
            0.5e-8,
        ),
        problem(
            "RP22",
            standard(2),
            |x| 2.5 - (x[0] + x[1]) / SQRT_2 + 0.1 * (x[0] - x[1]).powi(2),
            4.207_305_511_299_618e-3,
            0.0,
        ),
        problem(
            "RP24",
            Space::new(vec![Distribution::normal(10.0, 3.0).unwrap(); 2], None).unwrap(),
            |x| 2.5 - 0.2357 * (x[0] - x[1]) + 0.00463 * (x[0] + x[1] - 20.0).powi(4),
            2.859_945_687_539_836e-3,
            0.0,
        ),
        problem(
            "RP25",
            standard(2),
            |x| (x[0].powi(2) - 8.0 * x[1] + 16.0).max(32.0 - 16.0 * x[0] + x[1]),
            4.148_566_293_759_747e-5,
            0.0,
        ),
        problem(
            "RP31",
            standard(2),
            |x| 2.0 - x[1] + 256.0 * x[0].powi(4),
            3.226_681_209_587_691e-3,
            0.0,
        ),
        problem(
            "RP33",
            standard(3),
            |x| (3.0 * 3.0_f64.sqrt() - x[0] - x[1] - x[2]).min(3.0 - x[2]),
            2.575_597_790_800_259e-3,
            0.0,
        ),
        problem(
            "RP75",
            standard(2),
            |x| 3.0 - x[0] * x[1],
            9.819_298_721_546_89e-3,
            0.0,
        ),
        problem(
            "RP107",
            standard(10),
            |x| 5.0 * 10.0_f64.sqrt() - x.iter().sum::<f64>(),
            2.866_515_719e-7,
            0.0,
        ),
        problem(
            "four branches",
            standard(2),
            four_branches,
            2.222_795_066_194_44e-3,
            0.0,
        ),
        // 1.52e-3 by a million samples: 4e-5 is one standard error of theirs.
        problem("truss", truss(), |x| 0.12 - deflection(x), 1.52e-3, 8e-5),
    ]
}

/// A probability is in an interval, give or take what is uncertain in it.
fn assert_inside(what: &str, (low, high): (f64, f64), problem: &Problem) {
    let (p, tolerance) = (problem.probability, problem.tolerance);
    assert!(
        (low - tolerance..=high + tolerance).contains(&p),
        "{} by {what}: {p:e} not in {low:e} to {high:e}",
        problem.name
    );
}

#[test]
fn published_probabilities_lie_in_every_interval() {
    for problem in problems() {
        for method in methods(&problem.space, problem.margin) {
            let what = format!("{method:?}");
            let settings = Settings {
                method,
                samples: 40_000,
                confidence: SURE,
                ..Settings::default()
            };
            let found = sample(&problem.space, problem.margin, &settings);
            assert_inside(&what, found.limit_states[0].interval, &problem);
        }
    }
}

/// Importance sampling finds small probabilities to a few percent where crude sampling finds a few failures.
#[test]
fn importance_sampling_needs_far_fewer_samples() {
    for problem in problems() {
        let centres = centres(&problem.space, problem.margin);
        let settings = Settings {
            method: Method::Importance { centres },
            samples: 20_000,
            confidence: SURE,
            ..Settings::default()
        };
        let found = &sample(&problem.space, problem.margin, &settings).limit_states[0];
        assert_inside("importance", found.interval, &problem);
        let width = (found.interval.1 - found.interval.0) / found.probability;
        let crude = 2.0 * 3.29 / (20_000.0 * problem.probability).sqrt();
        assert!(width < 0.5 * crude, "{}: {width} {crude}", problem.name);
        assert!(found.effective_failures > 500.0, "{}", problem.name);
    }
}

/// A plane in five correlated variables: the first-order probability is exact, however it is sampled.
#[test]
fn sampling_agrees_with_the_first_order_method_on_a_plane() {
    let mut correlation = Correlation::of_values(5);
    correlation.set(0, 1, 0.6).unwrap();
    correlation.set(1, 3, -0.3).unwrap();
    correlation.set(2, 4, 1.0).unwrap();
    let variables = vec![Distribution::normal(2.0, 0.5).unwrap(); 5];
    let space = Space::new(variables, Some(&correlation)).unwrap();
    let margin: Margin = |x| 2.0 * x[0] + x[1] + x[2] - x[3] - 0.5 * x[4] - 1.0;
    let form = form::search(&space, &response(margin), 0, &FormOptions::default()).unwrap();
    let point = &form.points[0];
    for method in methods(&space, margin) {
        let settings = Settings {
            method: method.clone(),
            samples: 60_000,
            confidence: SURE,
            ..Settings::default()
        };
        let found = &sample(&space, margin, &settings).limit_states[0];
        let (low, high) = found.interval;
        let p = point.probability();
        assert!(
            low < p && p < high,
            "{method:?}: {p} not in {:?}",
            found.interval
        );
        // Given failure, a variable's score goes with its correlation with the margin: E[zᵢ|F] = −ρᵢ·φ(β)/Φ(−β).
        let ratio = normal::density(point.beta) / p;
        let scores = found.at_failure.as_ref().unwrap();
        for (i, score) in scores.iter().enumerate() {
            // Scores are linear in u: the share of α in each.
            let expected = ratio * space.score(i, &point.alpha);
            assert!(
                (score - expected).abs() < 0.2,
                "{method:?} {i}: {score} {expected}"
            );
        }
    }
}

/// Crude sampling itself, as far as a count goes: the first-order method is not asked.
#[test]
fn importance_and_crude_sampling_agree() {
    let space = truss();
    let margin: Margin = |x| 0.115 - deflection(x);
    let by = |method, samples| {
        let settings = Settings {
            method,
            samples,
            confidence: SURE,
            ..Settings::default()
        };
        sample(&space, margin, &settings).limit_states[0].clone()
    };
    let crude = by(Method::Crude, 200_000);
    let centres = centres(&space, margin);
    let importance = by(Method::Importance { centres }, 20_000);
    assert!(crude.interval.0 < importance.interval.1);
    assert!(importance.interval.0 < crude.interval.1);
    let difference = importance.probability / crude.probability - 1.0;
    assert!(difference.abs() < 0.1, "{difference}");
}

/// How many of 200 intervals hold the truth. At 90 % between 166 and 193 do (three standard errors); exact intervals of
/// counts may do so more often.
fn holding(method: &Method, samples: u64, space: &Space, margin: Margin, truth: f64) -> usize {
    let holds = |seed: &u64| {
        let settings = Settings {
            method: method.clone(),
            samples,
            seed: *seed,
            threads: 1,
            confidence: 0.9,
            ..Settings::default()
        };
        let (low, high) = sample(space, margin, &settings).limit_states[0].interval;
        low <= truth && truth <= high
    };
    (0..200).filter(holds).count()
}

#[test]
fn intervals_hold_the_truth_as_often_as_they_say() {
    let space = standard(3);
    let margin: Margin = |x| 2.0 - x[0] - x[1] - x[2];
    let truth = normal::survival(2.0 / 3.0_f64.sqrt());
    let centres = centres(&space, margin);
    for (method, samples, most) in [
        (Method::Crude, 200, 200),
        (Method::LatinHypercube, 2048, 193),
        (Method::Sobol, 2048, 193),
        (Method::Importance { centres }, 200, 193),
    ] {
        let held = holding(&method, samples, &space, margin, truth);
        assert!((166..=most).contains(&held), "{method:?}: {held} of 200");
    }
}

const SAMPLES: u64 = 8192;

/// The mean square error over 40 seeds against that of crude sampling.
fn error(method: &Method, space: &Space, margin: Margin, truth: f64) -> f64 {
    let square = |seed| {
        let settings = Settings {
            method: method.clone(),
            samples: SAMPLES,
            seed,
            threads: 1,
            ..Settings::default()
        };
        let p = sample(space, margin, &settings).limit_states[0].probability;
        (p - truth).powi(2)
    };
    let mean = (0..40).map(square).sum::<f64>() / 40.0;
    mean / (truth * (1.0 - truth) / SAMPLES as f64)
}

#[test]
fn even_points_err_less_than_chance() {
    let space = standard(3);
    let margin: Margin = |x| 2.0 - x[0] - x[1] - x[2];
    let truth = normal::survival(2.0 / 3.0_f64.sqrt());
    let crude = error(&Method::Crude, &space, margin, truth);
    let latin = error(&Method::LatinHypercube, &space, margin, truth);
    let sobol = error(&Method::Sobol, &space, margin, truth);
    // 40 squares scatter by √(2/40) = 22 %. What even points gain hangs on the margin; here theirs is at most half.
    assert!((0.4..1.7).contains(&crude), "{crude}");
    assert!(latin < 0.8 * crude, "{latin}");
    assert!(sobol < 0.5 * crude && sobol < latin, "{sobol}");
}

/// Wholly dependent, independent, and between: 1 − Φ(β), its square, and more than either says.
#[test]
fn dependence_of_two_limit_states_has_its_limits() {
    let both = |rho: f64| {
        let mut correlation = Correlation::of_values(2);
        correlation.set(0, 1, rho).unwrap();
        let variables = vec![Distribution::lognormal(1.0, 0.3).unwrap(); 2];
        let space = Space::new(variables, Some(&correlation)).unwrap();
        let pair = Function::new(2, |x: &[f64], g: &mut [f64]| {
            g[0] = 1.4 - x[0];
            g[1] = 1.4 - x[1];
        });
        let settings = Settings {
            method: Method::Sobol,
            samples: 65_536,
            systems: vec![vec![0, 1]],
            ..Settings::default()
        };
        let never = AtomicBool::new(false);
        let found = run::run(&space, &pair, &settings, &never, &mut |_| ()).unwrap();
        (
            found.limit_states[0].probability,
            found.systems[0].probability,
        )
    };
    let (p, whole) = both(1.0);
    assert!((p - whole).abs() < 1e-15);
    let (q, apart) = both(0.0);
    assert!((apart - (2.0 * q - q * q)).abs() < 1e-3);
    let (_, between) = both(0.6);
    assert!(whole + 0.01 < between && between + 0.01 < apart);
}

#[test]
fn correlated_samples_have_the_correlation_that_was_asked_for() {
    let mut correlation = Correlation::of_values(3);
    correlation.set(0, 1, 0.7).unwrap();
    correlation.set(0, 2, -0.4).unwrap();
    let variables = vec![
        Distribution::gumbel(10.0, 3.0).unwrap(),
        Distribution::lognormal(5.0, 0.4).unwrap(),
        Distribution::uniform(0.0, 1.0).unwrap(),
    ];
    let space = Space::new(variables, Some(&correlation)).unwrap();
    // The mean of a product through the probability that a uniform variable lies below it is no way to find it:
    // products are summed by a response that keeps them.
    let sums = std::sync::Mutex::new([0.0; 9]);
    let keep = Function::new(1, |x: &[f64], g: &mut [f64]| {
        let mut sums = sums.lock().unwrap();
        for (sum, value) in sums.iter_mut().zip([
            1.0,
            x[0],
            x[1],
            x[2],
            x[0] * x[0],
            x[1] * x[1],
            x[2] * x[2],
            x[0] * x[1],
            x[0] * x[2],
        ]) {
            *sum += value;
        }
        g[0] = 1.0;
    });
    let settings = Settings {
        method: Method::Sobol,
        samples: 65_536,
        threads: 1,
        ..Settings::default()
    };
    run::run(
        &space,
        &keep,
        &settings,
        &AtomicBool::new(false),
        &mut |_| (),
    )
    .unwrap();
    let sums = sums.into_inner().unwrap();
    let mean = |k: usize| sums[k] / sums[0];
    let deviation = |k: usize| (mean(3 + k) - mean(k).powi(2)).sqrt();
    let rho = |product, k| (mean(product) - mean(1) * mean(k)) / (deviation(1) * deviation(k));
    assert!((rho(7, 2) - 0.7).abs() < 0.005, "{}", rho(7, 2));
    assert!((rho(8, 3) + 0.4).abs() < 0.005, "{}", rho(8, 3));
    assert!((mean(1) - 10.0).abs() < 0.01 && (deviation(2) - 2.0).abs() < 0.02);
}

/// Dimensions beyond Sobol's are filled by chance.
#[test]
fn many_variables_are_borne() {
    let space = standard(100);
    let margin: Margin = |x| 20.0 - x.iter().sum::<f64>();
    let truth = normal::survival(2.0);
    for method in [Method::Crude, Method::LatinHypercube, Method::Sobol] {
        let settings = Settings {
            method: method.clone(),
            samples: 20_000,
            confidence: SURE,
            ..Settings::default()
        };
        let (low, high) = sample(&space, margin, &settings).limit_states[0].interval;
        assert!(low < truth && truth < high, "{method:?}");
    }
}

#[test]
fn errors_say_what_and_where() {
    let mut correlation = Correlation::of_values(2);
    correlation.set(0, 1, 1.0).unwrap();
    let variables = vec![
        Distribution::lognormal(1.0, 1.0).unwrap(),
        Distribution::gumbel(1.0, 0.1).unwrap(),
    ];
    let error = Space::new(variables, Some(&correlation)).unwrap_err();
    assert!(matches!(error, NumericsError::OutOfReach { .. }));
    let text = error.to_string();
    assert!(
        text.starts_with("variables 0 and 1 cannot have a correlation of 1:"),
        "{text}"
    );
    let error = Distribution::lognormal(-2.0, 0.1).unwrap_err().to_string();
    assert!(
        error.starts_with("the mean of a lognormal variable must lie between"),
        "{error}"
    );
}
