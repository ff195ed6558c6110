//! Reliability of attachments: what must hold whatever the numbers are.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::Layout;
use barkline::input::Code;
use barkline::model::Platform;
use barkline::reliability::{
    Chance, Method, Outcome, OutcomeReliability, Reliability, ReliabilityOptions,
};
use std::sync::atomic::{AtomicBool, Ordering};

const TREE: &str = r#"
[[tree]]
id = "t"
species = "white oak"
at = ["0 ft", "0 ft"]
diameter = "26 in"
bark = "0.8 in"
"#;

fn anchor(id: &str, faces: &str, live: &str) -> String {
    format!(
        r#"
[[anchor]]
id = "{id}"
tree = "t"
faces = "{faces}"
size = "89x127/44"
arm = "3 in"
[[load]]
id = "p{id}"
on = "{id}"
dead = "400 lbf"
live = "{live}"
"#
    )
}

fn read(text: &str) -> Platform {
    let layout = Layout::from_toml(text).unwrap_or_else(|found| panic!("{found}"));
    let resolved = layout.resolve().unwrap_or_else(|found| panic!("{found}"));
    resolved.platform
}

/// One anchor under a live load, with more keys.
fn single(live: &str, more: &str) -> Platform {
    read(&format!("{TREE}{}{more}", anchor("a", "S", live)))
}

fn by(method: Method, samples: u64) -> ReliabilityOptions {
    ReliabilityOptions {
        method,
        samples,
        threads: 1,
        ..ReliabilityOptions::default()
    }
}

fn first(results: &Reliability, outcome: Outcome) -> &OutcomeReliability {
    results.attachments[0].outcome(outcome).unwrap()
}

/// β of the first anchor in first order.
fn beta(platform: &Platform, outcome: Outcome) -> f64 {
    let results = platform.reliability(&by(Method::Form, 1)).unwrap();
    first(&results, outcome).first_order.as_ref().unwrap().beta
}

fn meet(one: &Chance, other: &Chance) -> bool {
    let ([low, high], [from, to]) = (one.interval.unwrap(), other.interval.unwrap());
    low <= to && from <= high
}

/// A load under which collapse is met in some tenths of all samples: crude sampling sees it.
const HEAVY: &str = "5000 lbf";
/// A load that is well borne.
const LIGHT: &str = "2000 lbf";

#[test]
fn first_order_importance_and_crude_sampling_agree_on_an_attachment() {
    let platform = single(HEAVY, "");
    let crude = platform.reliability(&by(Method::Crude, 1000)).unwrap();
    let importance = platform.reliability(&by(Method::Importance, 600)).unwrap();
    for outcome in Outcome::BOTH {
        let (crude, weighted) = (first(&crude, outcome), first(&importance, outcome));
        assert_eq!(crude.chance.unusable, 0);
        assert!(
            meet(&crude.chance, &weighted.chance),
            "{outcome:?}: {:?} {:?}",
            crude.chance,
            weighted.chance
        );
    }
    // The limit states of collapse are less curved than damage, which has several near ones.
    let collapse = first(&crude, Outcome::Collapse);
    let view = collapse.first_order.as_ref().unwrap();
    let sampled = collapse.chance.beta.unwrap();
    assert!(
        (0.3..2.5).contains(&sampled),
        "{sampled}: choose another load"
    );
    assert!(
        (view.beta - sampled).abs() < 0.25,
        "{} {sampled}",
        view.beta
    );
}

#[test]
fn every_kind_of_points_gives_the_same_probability() {
    let platform = single(HEAVY, "");
    let of = |method| {
        let results = platform.reliability(&by(method, 512)).unwrap();
        first(&results, Outcome::Collapse).chance.clone()
    };
    let crude = of(Method::Crude);
    for method in [Method::LatinHypercube, Method::Sobol] {
        assert!(meet(&crude, &of(method)), "{method:?}");
    }
}

#[test]
fn more_load_and_more_spread_give_less_reliability() {
    let usual = beta(&single(LIGHT, ""), Outcome::Collapse);
    assert!(beta(&single("3000 lbf", ""), Outcome::Collapse) < usual);
    for id in ["live", "bearing_model", "load_effect"] {
        let wider = format!(
            "[[random_variable]]\nid = \"{id}\"\nvariation = \"45 %\"\nsource = \"test\"\n"
        );
        let found = beta(&single(LIGHT, &wider), Outcome::Collapse);
        assert!(found < usual, "{id}: {found} is not below {usual}");
    }
}

#[test]
fn longer_periods_give_less_reliability() {
    let of = |years: u32| {
        let keys = format!("[reliability]\nyears = {years}\n");
        beta(&single(LIGHT, &keys), Outcome::Collapse)
    };
    assert!(of(10) > of(50) && of(50) > of(100));
}

#[test]
fn damage_is_never_less_likely_than_collapse() {
    let results = single(HEAVY, "")
        .reliability(&by(Method::Crude, 200))
        .unwrap();
    let [collapse, damage] =
        Outcome::BOTH.map(|outcome| first(&results, outcome).chance.probability);
    assert!(damage >= collapse && collapse > 0.0);
}

#[test]
fn the_same_seed_gives_the_same_result_on_any_number_of_threads() {
    let text = format!(
        "{TREE}{}{}",
        anchor("a", "S", HEAVY),
        anchor("b", "N", HEAVY)
    );
    let platform = read(&text);
    let on = |threads, seed| {
        let options = ReliabilityOptions {
            threads,
            seed,
            ..by(Method::Importance, 300)
        };
        platform.reliability(&options).unwrap()
    };
    let alone = on(1, 7);
    assert_eq!(alone, on(2, 7));
    assert_ne!(alone.any_collapse, on(2, 8).any_collapse);
    // Any is at least as likely as the likelier, and at most as both together.
    let each = alone
        .attachments
        .iter()
        .map(|own| own.outcome(Outcome::Collapse).unwrap().chance.clone());
    let [one, other] = each.collect::<Vec<_>>().try_into().unwrap();
    let any = alone.any_collapse.unwrap();
    let [_, high] = any.interval.unwrap();
    assert!(high >= one.interval.unwrap()[0].max(other.interval.unwrap()[0]));
    assert!(any.interval.unwrap()[0] <= one.interval.unwrap()[1] + other.interval.unwrap()[1]);
}

#[test]
fn a_run_that_is_broken_off_gives_what_is_finished_and_says_so() {
    let text = format!(
        "{TREE}{}{}",
        anchor("a", "S", HEAVY),
        anchor("b", "N", HEAVY)
    );
    let platform = read(&text);
    let before = AtomicBool::new(true);
    let nothing = platform
        .reliability_until(&by(Method::Crude, 5000), &before, &mut |_| ())
        .unwrap();
    assert!(
        nothing.partial
            && nothing
                .attachments
                .iter()
                .all(|own| own.outcomes.is_empty())
    );
    assert!(nothing.cautions[0].contains("broken off"));

    let cancel = AtomicBool::new(false);
    let mut heard = 0;
    let partial = platform
        .reliability_until(&by(Method::Crude, 50_000), &cancel, &mut |step| {
            heard += 1;
            assert!(step.done <= step.of && step.part == "a");
            cancel.store(true, Ordering::Relaxed);
        })
        .unwrap();
    assert!(heard > 0 && partial.partial && partial.any_collapse.is_none());
    let chance = &first(&partial, Outcome::Collapse).chance;
    assert!(chance.samples > 0 && chance.samples < 50_000);
    assert!(partial.attachments[1].outcomes.is_empty());
}

#[test]
fn without_spread_nothing_is_left_to_chance() {
    let spreads = &single(LIGHT, "").uncertainty().spreads.clone();
    let fixed = spreads.iter().map(|spread| {
        let id = spread.variable.id();
        format!("[[random_variable]]\nid = \"{id}\"\ndistribution = \"fixed\"\nsource = \"test\"\n")
    });
    let keys: String = fixed.collect();
    let of = |live| {
        let results = single(live, &keys)
            .reliability(&by(Method::Crude, 64))
            .unwrap();
        first(&results, Outcome::Collapse).chance.probability
    };
    assert!(of(LIGHT) == 0.0 && (of("300000 lbf") - 1.0).abs() < f64::EPSILON);
}

#[test]
fn what_the_layout_changes_is_used_and_named() {
    let keys = "[reliability]\ntarget = 8\n[[random_variable]]\nid = \"depth\"\ntolerance = \"10 mm\"\nsource = \"my drill\"\n";
    let platform = single(LIGHT, keys);
    let depth = platform
        .uncertainty()
        .spreads
        .iter()
        .find(|own| own.variable.id() == "depth")
        .unwrap();
    assert!(depth.changed && (depth.deviation - 0.005).abs() < 1e-12);
    assert_eq!(depth.origin.source, "my drill");
    let results = platform.reliability(&by(Method::Form, 1)).unwrap();
    assert_eq!(results.below_target().len(), 1);
}

/// What is wrong with the keys of reliability, one at a time, and the code that must say so.
const WRONG: &[(&str, Code)] = &[
    ("[reliability]\nyears = 0", Code::OutOfRange),
    ("[reliability]\nyears = 500", Code::OutOfRange),
    ("[reliability]\ntarget = 9", Code::OutOfRange),
    ("[reliability]\ntarget = -1", Code::OutOfRange),
];

/// The same of a random variable: id, keys.
const WRONG_VARIABLES: &[(&str, &str, Code)] = &[
    ("nothing", "", Code::UnknownId),
    ("live", "mean = 0", Code::OutOfRange),
    ("live", "mean = -1", Code::OutOfRange),
    ("live", "mean = 100", Code::OutOfRange),
    ("live", "variation = \"400 %\"", Code::OutOfRange),
    ("live", "distribution = \"round\"", Code::UnknownWord),
    ("live", "tolerance = \"3 mm\"", Code::Conflict),
    ("live", "tolerance_angle = \"3 deg\"", Code::Conflict),
    ("dead", "variation = \"60 %\"", Code::OutOfRange),
    ("depth", "variation = \"10 %\"", Code::Conflict),
    ("depth", "mean = 1", Code::Conflict),
    ("depth", "tolerance = \"3 ft\"", Code::OutOfRange),
    ("depth", "distribution = \"lognormal\"", Code::OutOfRange),
    ("tilt", "tolerance = \"3 mm\"", Code::Conflict),
    ("tilt", "tolerance_angle = \"80 deg\"", Code::OutOfRange),
    ("crushing", "same_tree = 1.5", Code::OutOfRange),
    ("crushing", "same_tree = 0.1", Code::OutOfRange),
    ("crushing", "same_species = 0.9", Code::OutOfRange),
    ("crushing", "same_site = 0.5", Code::OutOfRange),
];

#[test]
fn every_parameter_without_meaning_is_refused_with_its_mend() {
    let rows = WRONG_VARIABLES.iter().map(|(id, keys, code)| {
        let row = format!("[[random_variable]]\nid = \"{id}\"\n{keys}\nsource = \"test\"");
        (row, *code)
    });
    let all = WRONG.iter().map(|(keys, code)| ((*keys).to_owned(), *code));
    for (keys, code) in all.chain(rows) {
        let text = format!("{TREE}{}{keys}\n", anchor("a", "S", LIGHT));
        let found = match Layout::from_toml(&text) {
            Err(found) => found,
            Ok(layout) => layout.resolve().expect_err(&keys),
        };
        let codes: Vec<Code> = found.iter().map(|one| one.code).collect();
        assert!(codes.contains(&code), "{keys}: {codes:?}");
    }
}

#[test]
fn a_variable_is_given_once() {
    let row = "[[random_variable]]\nid = \"live\"\nmean = 1.1\nsource = \"test\"\n";
    let text = format!("{TREE}{}{row}{row}", anchor("a", "S", LIGHT));
    let found = Layout::from_toml(&text).unwrap().resolve().unwrap_err();
    assert!(found.iter().any(|one| one.code == Code::DuplicateId));
}
