//! The plastic limit load of bar and wood: factor of safety times V/P₁ and H/P₂, combined by squares.

use super::{Ground, Over, Rule, bearing_ground};
use crate::checks::context::{Context, Demand, Loaded, Use, force};
use crate::checks::elastic::{State, both};
use crate::checks::trace::{
    Amount, Recorder, Step, metres, newton_metres, newtons, newtons_per_metre, number, pascals,
};
use crate::mechanics::MechanicsError;
use crate::mechanics::mechanism::{LimitLoad, Mechanism, MovingPart, PlasticSegment};
use crate::model::{LimitState, Standing};
use crate::units::Stress;

pub(super) const RULE: Rule = Rule {
    limit_state: LimitState::LimitLoad,
    over: Over::Demand,
    utilization,
    traced: utilization,
    ground,
};

fn ground(context: &Context<'_>) -> Ground {
    bearing_ground(context, "limit_load")
}

fn utilization<R: Recorder>(
    context: &Context<'_>,
    loaded: &Loaded<'_>,
    _: &State<'_>,
    record: &mut R,
) -> Result<Option<Use>, MechanicsError> {
    let demand = &loaded.demand;
    let Some(allowed) = allowable(context, demand)? else {
        return Ok(None);
    };
    let used = demand.across_bar() / allowed;
    record_steps(context, demand, used, record)?;
    Ok(Some(Use::of(used, allowed, force)))
}

/// The resultant that may act across the bar in the direction of a demand (N); none without one.
pub(super) fn allowable(
    context: &Context<'_>,
    demand: &Demand,
) -> Result<Option<f64>, MechanicsError> {
    let load = demand.across_bar();
    if load <= 0.0 {
        return Ok(None);
    }
    let [down, side] = context.row(demand)?.limits;
    let used = context.factors.limit_load * both([demand.down / down, demand.side / side]);
    Ok(Some(load / used))
}

fn record_steps<R: Recorder>(
    context: &Context<'_>,
    demand: &Demand,
    used: f64,
    record: &mut R,
) -> Result<(), MechanicsError> {
    let row = context.row(demand)?;
    if R::KEEPS {
        for (symbol, name, strength) in [
            ("P_V", "f_V", row.strength.along),
            ("P_H", "f⊥", row.strength.across),
        ] {
            let limit = context.limit(strength)?;
            Bar::new(context, strength)?.write(symbol, name, strength, &limit, record);
        }
    }
    let [down, side] = row.limits;
    record.step(|| {
        Step::equation(
            "U",
            "utilization: factor of safety times the share of the limit load, both planes by squares",
            "n·√((V/P_V)² + (H/P_H)²)",
            &[
                ("n", number(context.factors.limit_load)),
                ("V", newtons(demand.down.abs())),
                ("P_V", newtons(down)),
                ("H", newtons(demand.side.abs())),
                ("P_H", newtons(side)),
            ],
            number(used),
        )
        .from(
            context.criteria.source("limit_load"),
            context.criteria.standing("limit_load"),
        )
    });
    Ok(())
}

/// A piece of the bar between two places, with the resistance of its wood and its plastic moment.
struct Piece {
    from: f64,
    to: f64,
    q: f64,
    plastic_moment: f64,
}

/// The bar as a mechanism is read off it.
struct Bar(Vec<Piece>);

impl Bar {
    fn new(context: &Context<'_>, strength: Stress) -> Result<Self, MechanicsError> {
        let [outside, inside] = context.plastic(strength)?;
        let arm: f64 = outside.iter().map(|piece| piece.length.value).sum();
        let mut from = -arm;
        let piece = |segment: &PlasticSegment| {
            let to = from + segment.length.value;
            let piece = Piece {
                from,
                to,
                q: segment.resistance.value,
                plastic_moment: segment.plastic_moment.value,
            };
            from = to;
            piece
        };
        Ok(Self(outside.iter().chain(&inside).map(piece).collect()))
    }

    /// The blocks of resistance between two places, each cut at `centre`: resistance, length, lever about the centre.
    fn blocks(&self, from: f64, to: f64, centre: f64) -> Vec<[f64; 3]> {
        let cuts = [[from, centre.min(to)], [centre.max(from), to]];
        let within = |piece: &Piece| {
            cuts.map(|[low, high]| {
                let (low, high) = (low.max(piece.from), high.min(piece.to));
                [
                    piece.q,
                    high - low,
                    (f64::midpoint(low, high) - centre).abs(),
                ]
            })
        };
        let all = self.0.iter().flat_map(within);
        all.filter(|[q, length, _]| *q > 0.0 && *length > 0.0)
            .collect()
    }

    /// The plastic moment at a place: of the weaker side at a step.
    fn plastic_moment(&self, x: f64) -> f64 {
        let touching = self
            .0
            .iter()
            .filter(|piece| (piece.from - 1e-9..=piece.to + 1e-9).contains(&x));
        touching
            .map(|piece| piece.plastic_moment)
            .fold(f64::INFINITY, f64::min)
    }

    /// Every moving part as one balance of moments about its centre, from the innermost outward.
    fn write<R: Recorder>(
        &self,
        symbol: &str,
        strength_name: &str,
        strength: Stress,
        limit: &LimitLoad,
        record: &mut R,
    ) {
        record.step(|| {
            let values: Vec<(&str, Amount)> =
                std::iter::once((strength_name, pascals(strength.value)))
                    .chain(limit.hinge.map(|hinge| ("hinge at", metres(hinge.value))))
                    .chain([("centre at", metres(limit.centre.value))])
                    .collect();
            Step::method(
                symbol,
                "plastic limit load",
                format!(
                    "the least of all mechanisms; here {}",
                    words(limit.mechanism)
                ),
                &values,
                newtons(limit.factor),
            )
            .from("method 1.5", Standing::Published)
        });
        let mut beyond: Option<f64> = None;
        for (index, part) in limit.parts.iter().enumerate().rev() {
            let force = self.force(part, index, beyond);
            record.step(|| self.balance(symbol, index, part, beyond, force));
            beyond = Some(force);
        }
    }

    /// The force at the outer end of a part that its balance of moments about its centre asks for.
    fn force(&self, part: &MovingPart, index: usize, beyond: Option<f64>) -> f64 {
        let (centre, from) = (part.centre.value, part.from.value);
        let wood: f64 = self
            .blocks(from, part.to.value, centre)
            .iter()
            .map(|[q, length, lever]| q * length * lever)
            .sum();
        let outer = if index > 0 {
            self.plastic_moment(from)
        } else {
            0.0
        };
        let inner = if part.hinge {
            self.plastic_moment(part.to.value)
        } else {
            0.0
        };
        let pushed = beyond.unwrap_or(0.0) * (part.to.value - centre);
        (wood + outer + inner + pushed) / (centre - from)
    }

    fn balance(
        &self,
        symbol: &str,
        index: usize,
        part: &MovingPart,
        beyond: Option<f64>,
        force: f64,
    ) -> Step {
        let (centre, from) = (part.centre.value, part.from.value);
        let mut terms = Vec::new();
        let mut values: Vec<(String, Amount)> = Vec::new();
        for (i, [q, length, lever]) in (1..).zip(self.blocks(from, part.to.value, centre)) {
            terms.push(format!("q{i}·l{i}·r{i}"));
            values.push((format!("q{i}"), newtons_per_metre(q)));
            values.push((format!("l{i}"), metres(length)));
            values.push((format!("r{i}"), metres(lever)));
        }
        if index > 0 {
            terms.push("M_o".into());
            values.push(("M_o".into(), newton_metres(self.plastic_moment(from))));
        }
        if part.hinge {
            terms.push("M_i".into());
            values.push((
                "M_i".into(),
                newton_metres(self.plastic_moment(part.to.value)),
            ));
        }
        if let Some(beyond) = beyond {
            terms.push("W·b".into());
            values.push(("W".into(), newtons(beyond)));
            values.push(("b".into(), metres(part.to.value - centre)));
        }
        values.push(("a".into(), metres(centre - from)));
        let borrowed: Vec<(&str, Amount)> = values
            .iter()
            .map(|(name, amount)| (name.as_str(), *amount))
            .collect();
        let (symbol, title) = if index == 0 {
            (
                symbol,
                "the same from moments about the centre: blocks of wood q·l at their levers r, hinge moments, load at a",
            )
        } else {
            (
                "W",
                "shear that pushes back the part beyond the hinge, from moments about the centre of that part",
            )
        };
        Step::equation(
            symbol,
            title,
            format!("({})/a", terms.join(" + ")),
            &borrowed,
            newtons(force),
        )
        .from("statics", Standing::Published)
    }
}

const fn words(mechanism: Mechanism) -> &'static str {
    match mechanism {
        Mechanism::RigidRotation => "the whole bar turns in the wood, the steel does not yield",
        Mechanism::HingeOutside => "a hinge outside the wood",
        Mechanism::HingeAtFace => "a hinge at the wood surface",
        Mechanism::HingeAtStep => "a hinge at the step, the shank still",
        Mechanism::HingeInWood => "a hinge in the wood, the bar beyond it still",
        Mechanism::InnerPushedBack => "a hinge at a step, the part beyond it pushed back",
    }
}
