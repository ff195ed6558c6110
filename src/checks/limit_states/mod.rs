//! The limit states that hang on loads: one module each, each with one [`Rule`].
//!
//! To add one: a variant of [`LimitState`], a module here with its `RULE`, a line in [`RULES`], its factor in
//! `data/safety_factors.csv`, its row in `docs/checks.md`.

mod boss_bearing;
mod deflection;
mod first_crushing;
mod limit_load;
mod pull_and_side;
mod push;
mod shank_bearing;
mod splitting;
mod steel;
mod steel_fatigue;
mod withdrawal;

use super::context::{Context, Loaded, Use};
use super::elastic::{Fit, State};
use super::trace::{Amount, Silent, Step, Trace, newtons, number};
use super::worst::Aspect;
use crate::mechanics::{MechanicsError, embedment};
use crate::model::{Bound, LimitState, Standing};

/// How the use under a demand is worked out in a state of the bar, what goes on being written down on the way; none
/// without a demand.
pub(super) type Work<R> =
    fn(&Context<'_>, &Loaded<'_>, &State<'_>, &mut R) -> Result<Option<Use>, MechanicsError>;

/// In which states of the bar a limit state is worked out under each demand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Over {
    /// The elastic bar has no part in it.
    Demand,
    /// Each bound of the foundation, snug and loose.
    Bounds,
    /// The same under the range of the load.
    Range,
    /// All states of the load point at once.
    Sinking,
}

/// A limit state: how it is worked out, and what that rests on.
pub(super) struct Rule {
    pub(super) limit_state: LimitState,
    pub(super) over: Over,
    pub(super) utilization: Work<Silent>,
    /// The same with every step kept.
    pub(super) traced: Work<Trace>,
    pub(super) ground: fn(&Context<'_>) -> Ground,
}

impl Rule {
    /// What its demands are sorted out for.
    pub(super) fn aspect(&self) -> Aspect {
        match self.over {
            Over::Demand | Over::Bounds => Aspect::Strength,
            Over::Range => Aspect::Sway,
            Over::Sinking => Aspect::Sinking,
        }
    }

    /// The states in which it is worked out under a demand.
    pub(super) fn states<'l, 'e>(&self, loaded: &'l Loaded<'e>) -> &'l [State<'e>] {
        match self.over {
            Over::Demand | Over::Sinking => loaded.states.get(..1).unwrap_or_default(),
            Over::Bounds | Over::Range => &loaded.states,
        }
    }
}

/// What a check rests on.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    /// Standing of its sources and factors.
    pub(super) standing: Standing,
    /// Why it is outside the range of its source, if it is.
    pub(super) extended: Option<String>,
    /// Sources of strength and factor.
    pub(super) source: String,
    /// What else the reader must know.
    pub(super) note: Option<String>,
}

/// Every rule, in the order of [`LimitState::ALL`].
pub(super) const RULES: &[Rule] = &[
    boss_bearing::RULE,
    shank_bearing::RULE,
    first_crushing::RULE,
    limit_load::RULE,
    splitting::RULE,
    push::RULE,
    steel::BARK_LINE,
    steel::EMBEDDED,
    steel::SHEAR,
    steel::INTERACTION,
    steel_fatigue::RULE,
    withdrawal::RULE,
    pull_and_side::RULE,
    deflection::RULE,
];

/// The ground of every check against green bearing strength.
fn bearing_ground(context: &Context<'_>, key: &str) -> Ground {
    let wood = context.stem.wood.origin();
    let largest = context.largest_bearing();
    let extended = (!embedment::TESTED_DIAMETERS.contains(largest)).then(|| {
        format!(
            "embedment tests end at {:.0} mm, this bar bears on {:.0} mm",
            embedment::TESTED_DIAMETERS.high.value * 1e3,
            largest.value * 1e3
        )
    });
    Ground {
        standing: wood
            .standing
            .worse(context.criteria.standing(key))
            .worse(context.criteria.standing("exclusion")),
        extended,
        source: sources(context, &[key, "embedment_along"]),
        note: None,
    }
}

/// The ground of every check of the bar.
fn steel_ground(context: &Context<'_>, key: &str) -> Ground {
    let mut standing = context.criteria.standing(key);
    let mut sources: Vec<&str> = Vec::new();
    for piece in context.pieces() {
        let origin = &piece.segment.steel.origin;
        standing = standing.worse(origin.standing);
        if !sources.contains(&origin.source.as_str()) {
            sources.push(&origin.source);
        }
    }
    let own = context.criteria.source(key);
    sources.push(&own);
    Ground {
        standing,
        extended: None,
        source: sources.join("; "),
        note: None,
    }
}

fn sources(context: &Context<'_>, keys: &[&str]) -> String {
    let mut list = vec![context.stem.wood.origin().source.clone()];
    list.extend(keys.iter().map(|key| context.criteria.source(key)));
    list.join("; ")
}

/// In words, which solution of the bar a value comes from.
fn solution(state: &State<'_>) -> String {
    let bound = match state.elastic.bound {
        Bound::Soft => "K/2",
        Bound::Central => "K",
        Bound::Stiff => "2K",
    };
    let fit = match state.fit() {
        Fit::Snug => "boss snug",
        Fit::Loose => "boss loose in its hole",
    };
    format!("elastic bar on its foundation at {bound}, {fit}")
}

/// A value that the elastic solution gives at a place.
fn solved(
    state: &State<'_>,
    symbol: &str,
    title: &str,
    values: &[(&str, Amount)],
    result: Amount,
) -> Step {
    Step::method(symbol, title, solution(state), values, result)
        .from("method 1.4", Standing::Published)
}

/// The last step of a check: the use of two planes by squares.
fn by_squares(
    names: [&str; 4],
    [down, down_allowed, side, side_allowed]: [Amount; 4],
    used: f64,
) -> Step {
    let [a, b, c, d] = names;
    Step::equation(
        "U",
        "utilization, both planes by squares",
        format!("√(({a}/{b})² + ({c}/{d})²)"),
        &[(a, down), (b, down_allowed), (c, side), (d, side_allowed)],
        number(used),
    )
    .from("method 1.6", Standing::Published)
}

/// The last step of a check: demand over allowable.
fn ratio(name: &str, demand: Amount, allowed_name: &str, allowed: Amount, used: f64) -> Step {
    Step::equation(
        "U",
        "utilization",
        format!("{name}/{allowed_name}"),
        &[(name, demand), (allowed_name, allowed)],
        number(used),
    )
    .from("demand over allowable", Standing::Published)
}

/// Both loads across the bar, by their size.
fn loads(loaded: &Loaded<'_>) -> [(&'static str, Amount); 2] {
    [
        ("V", newtons(loaded.demand.down.abs())),
        ("H", newtons(loaded.demand.side.abs())),
    ]
}
