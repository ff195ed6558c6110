//! The hand calculation of one anchor: its checks once more, with everything written down on the way.

use super::context::{Context, Demand, Loaded};
use super::limit_states::{Over, RULES, Rule};
use super::strength::Strength;
use super::trace::{
    Amount, Diagram, Explained, Explanation, Governing, Shared, Step, Trace, angle, cubic_metres,
    metres, newton_metres, newtons, number, pascals, square_metres,
};
use super::worst::Loads;
use super::{CheckError, CheckResult, Prepared, Run, attachment, result};
use crate::analysis::platform;
use crate::loads;
use crate::mechanics::{MechanicsError, round_bar};
use crate::model::wood::{FOUNDATION_ACROSS, FOUNDATION_SHARE, TRUE_MODULUS};
use crate::model::{Bound, LimitState, Plane, Platform, Segment, Standing};

impl Platform {
    /// The hand calculation of an anchor by the platform's own criteria: each check in its governing combination.
    ///
    /// # Errors
    /// No such anchor; otherwise as [`Platform::check`].
    pub fn explain(&self, anchor: &str) -> Result<Explanation, CheckError> {
        let criteria = self.criteria();
        let faults = criteria.faults();
        if !faults.is_empty() {
            return Err(CheckError::Criteria(faults));
        }
        let index = self
            .anchors()
            .iter()
            .position(|known| known.id == anchor)
            .ok_or_else(|| CheckError::NoAnchor(anchor.to_owned()))?;
        let actions = loads::actions(self, criteria)?;
        let solved = platform::solve(self, &actions, criteria)?;
        let run = Run::new(self, criteria, &solved)?;
        let own = &self.anchors()[index];
        let (forces, demands) = run.demands(index)?;
        let explained = || {
            let attachment = attachment(self, own, &forces, criteria, &demands)?;
            let stem = self.stem_of(own);
            let prepared = Prepared::new(own, stem, criteria, &demands.all)?;
            let mut loads = prepared.loads();
            let context = &prepared.context;
            let checks = attachment
                .checks()
                .iter()
                .map(|check| explained(check, context, &mut loads))
                .collect::<Result<Vec<_>, _>>()?;
            let governing = attachment.governing().map(|check| check.limit_state);
            let diagram = diagram(governing, context, &mut loads)?;
            let shared = shared(context, &checks)?;
            let mut cautions = result::standing_cautions();
            cautions.extend(self.cautions().iter().cloned());
            Ok(Explanation {
                attachment,
                shared,
                checks,
                diagram,
                cautions,
            })
        };
        explained().map_err(|error| CheckError::Anchor {
            anchor: anchor.to_owned(),
            error,
        })
    }
}

/// A check in its governing demand and state, worked out once more with its steps kept.
fn explained(
    check: &CheckResult,
    context: &Context<'_>,
    loads: &mut Loads<'_>,
) -> Result<Explained, MechanicsError> {
    let rule = RULES
        .iter()
        .find(|rule| rule.limit_state == check.limit_state);
    let mut found = Explained {
        check: check.clone(),
        governing: None,
        steps: Vec::new(),
    };
    let Some(rule) = rule else {
        found.steps.extend(compared(check));
        return Ok(found);
    };
    if let Some(worst) = loads.worst(rule)? {
        let loaded = context.loaded(rule.aspect(), worst.demand)?;
        let state = &rule.states(&loaded)[worst.state];
        let mut trace = Trace::default();
        (rule.traced)(context, &loaded, state, &mut trace)?;
        found.governing = Some(governing(rule, context, &loaded, worst.state));
        found.steps = trace.0;
    }
    Ok(found)
}

/// The one step of a check of size or place.
fn compared(check: &CheckResult) -> Option<Step> {
    let (demand, allowable) = (check.demand?, check.allowable?);
    let used = check.utilization?;
    let step = Step::equation(
        "U",
        "utilization",
        "d/a",
        &[("d", demand.into()), ("a", allowable.into())],
        number(used),
    );
    Some(step.from(check.source.clone(), check.standing))
}

fn governing(rule: &Rule, context: &Context<'_>, loaded: &Loaded<'_>, state: usize) -> Governing {
    let Demand {
        combination,
        down,
        side,
        out,
        duration,
        ..
    } = loaded.demand;
    let elastic = matches!(rule.over, Over::Bounds | Over::Range);
    let state = rule.states(loaded).get(state).filter(|_| elastic);
    Governing {
        combination: context.criteria.combinations[combination].name.clone(),
        down,
        side,
        out,
        duration,
        state: state.map(|state| (state.elastic.bound, state.fit())),
    }
}

/// Pressure, shear and moment along the bar in the state that governs, or in that of the largest bending.
fn diagram(
    governs: Option<LimitState>,
    context: &Context<'_>,
    loads: &mut Loads<'_>,
) -> Result<Option<Diagram>, MechanicsError> {
    let of = |wanted: LimitState| {
        let rule = RULES.iter().find(|rule| rule.limit_state == wanted);
        rule.filter(|rule| rule.over == Over::Bounds)
    };
    let Some(rule) = governs
        .and_then(of)
        .or_else(|| of(LimitState::SteelBendingEmbedded))
    else {
        return Ok(None);
    };
    let Some(worst) = loads.worst(rule)? else {
        return Ok(None);
    };
    let loaded = context.loaded(rule.aspect(), worst.demand)?;
    let state = &rule.states(&loaded)[worst.state];
    let sign = loaded.demand.down.signum();
    let signed = |[down, side]: [f64; 2]| [sign * down, side];
    let (x, acting): (Vec<f64>, Vec<_>) = state.along().unzip();
    Ok(Some(Diagram {
        limit_state: rule.limit_state,
        governing: governing(rule, context, &loaded, worst.state),
        x,
        pressure: acting.iter().map(|at| signed(at.pressure)).collect(),
        shear: acting.iter().map(|at| signed(at.shear)).collect(),
        moment: acting.iter().map(|at| signed(at.moment)).collect(),
    }))
}

/// What several checks share: the foundation, the wood under each duration that governs, the sections of the bar.
fn shared(context: &Context<'_>, checks: &[Explained]) -> Result<Vec<Shared>, MechanicsError> {
    let mut shared = vec![Shared {
        title: "Foundation".into(),
        steps: foundation(context)?,
    }];
    let mut durations: Vec<f64> = Vec::new();
    for governing in checks.iter().filter_map(|check| check.governing.as_ref()) {
        if !durations
            .iter()
            .any(|known| known.total_cmp(&governing.duration).is_eq())
        {
            durations.push(governing.duration);
        }
    }
    for duration in durations {
        let mut trace = Trace::default();
        Strength::new(
            context.anchor,
            context.stem,
            context.criteria,
            duration,
            context.largest_bearing(),
            &mut trace,
        )?;
        shared.push(Shared {
            title: format!("Wood: {}, C_D = {duration}", context.stem.wood.name()),
            steps: trace.0,
        });
    }
    let mut seen: Vec<&Segment> = Vec::new();
    for piece in context.pieces() {
        let same = |other: &&Segment| {
            other.resists == piece.segment.resists && other.steel == piece.segment.steel
        };
        if !seen.iter().any(same) {
            seen.push(&piece.segment);
            shared.push(section(context, &piece.segment)?);
        }
    }
    Ok(shared)
}

fn foundation(context: &Context<'_>) -> Result<Vec<Step>, MechanicsError> {
    let wood = &context.stem.wood;
    let along = wood.foundation_modulus().value;
    let printed = wood.modulus().value;
    let mut steps = Vec::new();
    if wood.has_own_foundation() {
        steps.push(
            Step::method(
                "K_0",
                "line modulus along the grain",
                "as given",
                &[],
                pascals(along),
            )
            .from(wood.origin().source.clone(), wood.origin().standing),
        );
    } else {
        let factors = [
            ("k", number(FOUNDATION_SHARE)),
            ("m", number(TRUE_MODULUS)),
            ("E", pascals(printed)),
        ];
        steps.push(
            Step::equation(
                "K_0",
                "line modulus along the grain, from the printed green modulus E",
                "k·m·E",
                &factors,
                pascals(along),
            )
            .from(
                format!("{}; method 1.4", wood.origin().source),
                wood.origin().standing,
            ),
        );
    }
    let modulus = |plane| {
        let modulus = context
            .anchor
            .foundation_modulus(context.stem, plane, Bound::Central)?;
        Ok::<_, MechanicsError>(pascals(modulus.value))
    };
    let (down, side) = (modulus(Plane::Along)?, modulus(Plane::Across)?);
    let grain = context.anchor.axes(context.stem).grain.value;
    let share = ("c", number(FOUNDATION_ACROSS));
    steps.push(
        Step::equation(
            "K_H",
            "line modulus sideways",
            "c·K_0",
            &[share, ("K_0", pascals(along))],
            side,
        )
        .from("method 1.4", Standing::Published),
    );
    steps.push(
        Step::equation(
            "K_V",
            "line modulus down, at the angle θ to the grain; every result at half and at twice both",
            "K_0·K_H/(K_0·sin²(θ) + K_H·cos²(θ))",
            &[("K_0", pascals(along)), ("K_H", side), ("θ", angle(grain))],
            down,
        )
        .from("Hankinson's relation with exponent 2", Standing::Published),
    );
    Ok(steps)
}

/// What a section of the bar may carry.
fn section(context: &Context<'_>, segment: &Segment) -> Result<Shared, MechanicsError> {
    let d = segment.resists;
    let mut steps = geometry(segment)?;
    steps.extend(bending(context, segment)?);
    steps.extend(shear_and_pull(context, segment)?);
    Ok(Shared {
        title: format!(
            "Section of {:.1} mm ({:.3} in), steel {}",
            d.value * 1e3,
            d.value / 0.0254,
            segment.steel.name
        ),
        steps,
    })
}

fn geometry(segment: &Segment) -> Result<Vec<Step>, MechanicsError> {
    let d = segment.resists;
    let diameter = [("d", metres(d.value))];
    let plastic = cubic_metres(round_bar::plastic_modulus(d)?.value);
    let elastic = cubic_metres(round_bar::elastic_modulus(d)?.value);
    let area = square_metres(round_bar::area(d)?.value);
    let steps = [
        Step::equation("Z", "plastic modulus", "d³/6", &diameter, plastic),
        Step::equation("S", "elastic modulus", "π·d³/32", &diameter, elastic),
        Step::equation("A", "area", "π·d²/4", &diameter, area),
    ];
    Ok(steps
        .map(|step| step.from("geometry of a round", Standing::Published))
        .into())
}

/// A nominal value over its factor of safety.
fn allowed(
    context: &Context<'_>,
    key: &str,
    [symbol, title, nominal]: [&str; 3],
    value: Amount,
    factor: f64,
    result: Amount,
) -> Step {
    Step::equation(
        symbol,
        title,
        format!("{nominal}/n"),
        &[(nominal, value), ("n", number(factor))],
        result,
    )
    .from(context.criteria.source(key), context.criteria.standing(key))
}

fn bending(context: &Context<'_>, segment: &Segment) -> Result<[Step; 2], MechanicsError> {
    let (d, steel) = (segment.resists, &segment.steel);
    let nominal = newton_metres(round_bar::nominal_moment(steel.yield_strength, d)?.value);
    let found = context.section(segment)?;
    Ok([
        Step::equation(
            "M_n",
            "nominal moment",
            "min(F_y·Z, 1.6·F_y·S)",
            &[
                ("F_y", pascals(steel.yield_strength.value)),
                ("Z", cubic_metres(round_bar::plastic_modulus(d)?.value)),
                ("S", cubic_metres(round_bar::elastic_modulus(d)?.value)),
            ],
            nominal,
        )
        .from(
            format!("aisc-360-22:F11; {}", steel.origin.source),
            steel.origin.standing,
        ),
        allowed(
            context,
            "steel_bending_embedded",
            ["M_a", "moment allowed", "M_n"],
            nominal,
            context.factors.steel_bending_embedded,
            newton_metres(found.moment),
        ),
    ])
}

fn shear_and_pull(context: &Context<'_>, segment: &Segment) -> Result<[Step; 3], MechanicsError> {
    let steel = &segment.steel;
    let area = round_bar::area(segment.resists)?;
    let nominal = newtons(round_bar::nominal_shear(steel.yield_strength, area)?.value);
    let found = context.section(segment)?;
    let values = [
        ("F_y", pascals(steel.yield_strength.value)),
        ("A", square_metres(area.value)),
        ("n", number(context.factors.steel_interaction)),
    ];
    Ok([
        Step::equation("V_n", "nominal shear", "0.6·F_y·A", &values[..2], nominal).from(
            format!("aisc-360-22:G; {}", steel.origin.source),
            steel.origin.standing,
        ),
        allowed(
            context,
            "steel_shear",
            ["V_a", "shear allowed", "V_n"],
            nominal,
            context.factors.steel_shear,
            newtons(found.shear),
        ),
        Step::equation(
            "N_a",
            "axial force allowed",
            "F_y·A/n",
            &values,
            newtons(found.pull),
        )
        .from(
            context.criteria.source("steel_interaction"),
            context.criteria.standing("steel_interaction"),
        ),
    ])
}
