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
mod steel;
mod withdrawal;

pub(super) use deflection::deflection;

use super::context::{Context, Demand, Use};
use super::elastic::Elastic;
use crate::mechanics::{MechanicsError, embedment};
use crate::model::{LimitState, Standing};

/// A limit state: how it is worked out, and what that rests on.
pub(super) struct Rule {
    pub(super) limit_state: LimitState,
    /// The use under one demand at one bound of the foundation; none without a demand.
    pub(super) utilization:
        fn(&Context<'_>, &Demand, &Elastic) -> Result<Option<Use>, MechanicsError>,
    pub(super) ground: fn(&Context<'_>) -> Ground,
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
    push::RULE,
    steel::BARK_LINE,
    steel::EMBEDDED,
    steel::SHEAR,
    steel::INTERACTION,
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
    let mut sources: Vec<String> = Vec::new();
    for piece in &context.elastic[1].pieces {
        let origin = &piece.segment.steel.origin;
        standing = standing.worse(origin.standing);
        if !sources.contains(&origin.source) {
            sources.push(origin.source.clone());
        }
    }
    sources.push(factor_source(context, key));
    Ground {
        standing,
        extended: None,
        source: sources.join("; "),
        note: None,
    }
}

fn sources(context: &Context<'_>, keys: &[&str]) -> String {
    let mut list = vec![context.stem.wood.origin().source.clone()];
    list.extend(keys.iter().map(|key| factor_source(context, key)));
    list.join("; ")
}

fn factor_source(context: &Context<'_>, key: &str) -> String {
    context
        .criteria
        .factors
        .get(key)
        .map_or_else(|| key.to_owned(), |factor| factor.origin.source.clone())
}
