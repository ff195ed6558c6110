//! One attachment lost: what the others must then carry, against strengths without safety factors.

use super::CheckError;
use super::context::{Context, Demand};
use super::elastic::both;
use super::limit_states::{RULES, Rule};
use super::parallel::each;
use super::worst::{Aspect, Loads};
use crate::analysis::platform::{self, Loss, Triple};
use crate::loads;
use crate::mechanics::MechanicsError;
use crate::model::{Case, Combination, Criteria, Group, LimitState, Origin, Platform, Standing};
use serde::Serialize;

/// How an attachment goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Going {
    /// At once: what it carried falls on the others.
    Sudden,
    /// Slowly: it hands its load on.
    Gradual,
}

/// An attachment that is exceeded when another is lost.
#[derive(Debug, Clone, PartialEq)]
pub struct Exceeded {
    /// The anchor.
    pub anchor: String,
    /// Its limit state that is exceeded most.
    pub limit_state: LimitState,
    /// Demand over strength (1).
    pub utilization: f64,
}

/// What follows when one attachment is lost.
#[derive(Debug, Clone, PartialEq)]
pub struct LostOne {
    /// The anchor that is lost.
    pub anchor: String,
    /// Whether anything else holds what it held; if not, the platform or a part of it falls.
    pub held: bool,
    /// The most used of the others when it goes suddenly and gradually: the anchor, its limit state, demand over strength.
    pub hardest: [Option<Exceeded>; 2],
    /// Those that are exceeded when it goes suddenly and gradually.
    pub exceeded: [Vec<Exceeded>; 2],
}

impl LostOne {
    /// Whether the platform stands after such a loss: nothing falls and no other attachment is exceeded.
    pub fn stands(&self, going: Going) -> bool {
        self.held && self.exceeded[going as usize].is_empty()
    }
}

impl Platform {
    /// Takes away each attachment in turn, under the dead load and a share of the live load, with the others at their
    /// strength without safety factors.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn lose_each(&self) -> Result<Vec<LostOne>, CheckError> {
        self.lose_each_with(self.criteria())
    }

    /// The same by other criteria.
    ///
    /// # Errors
    /// As [`Platform::check`].
    pub fn lose_each_with(&self, criteria: &Criteria) -> Result<Vec<LostOne>, CheckError> {
        let faults = criteria.faults();
        if !faults.is_empty() {
            return Err(CheckError::Criteria(faults));
        }
        let actions = loads::actions(self, criteria)?;
        let solved = platform::solve(self, &actions, criteria)?;
        judged(self, &solved.lose_each()?, criteria, true)
    }
}

/// What follows from each loss; `bounded` leaves out what bounds show not to matter.
fn judged(
    platform: &Platform,
    losses: &[Loss],
    criteria: &Criteria,
    bounded: bool,
) -> Result<Vec<LostOne>, CheckError> {
    let bare = accidental(criteria);
    let others = each(platform.anchors().len(), |index| {
        Other::new(platform, index, losses, &bare)
    });
    let others = others.into_iter().collect::<Result<Vec<_>, _>>()?;
    // First those that a loss hits: what they bear tells of whom no more need be known.
    let mut found: Vec<[Uses; 2]> = losses.iter().map(|_| [Vec::new(), Vec::new()]).collect();
    answer(&others, &mut found, |other, number, _| other.hit[number])?;
    let most: Vec<[f64; 2]> = found
        .iter()
        .map(|uses| uses.each_ref().map(|uses| most_used(uses).min(1.0)))
        .collect();
    answer(&others, &mut found, |other, number, going| {
        let matters = !bounded || !other.is_below(going, most[number][going]);
        !other.hit[number] && matters
    })?;
    let all = losses.iter().zip(found);
    Ok(all
        .map(|(loss, found)| lost(platform, loss, found))
        .collect())
}

/// Uses of attachments after a loss: place among the anchors, the most used strength.
type Uses = Vec<(usize, Exceeded)>;

fn most_used(uses: &Uses) -> f64 {
    let uses = uses.iter().map(|(_, used)| used.utilization);
    uses.fold(0.0, f64::max)
}

/// Works out those uses that are asked for: of whom, after which loss, how it goes.
fn answer(
    others: &[Other<'_>],
    found: &mut [[Uses; 2]],
    asked: impl Fn(&Other<'_>, usize, usize) -> bool + Sync,
) -> Result<(), CheckError> {
    let answers = each(others.len(), |place| {
        let other = &others[place];
        other.answers(|number, going| asked(other, number, going))
    });
    for (place, answers) in answers.into_iter().enumerate() {
        for (number, going, used) in answers? {
            found[number][going].push((place, used));
        }
    }
    Ok(())
}

/// Strengths without safety, and the two combinations of a loss.
fn accidental(criteria: &Criteria) -> Criteria {
    let mut bare = criteria.without_safety();
    let live = criteria.factor("lose_one_live");
    bare.combinations = ["lose_one_sudden", "lose_one_gradual"]
        .map(|key| {
            let factor = criteria.factor(key);
            let mut factors = [0.0; Case::ALL.len()];
            factors[Case::Dead as usize] = factor;
            factors[Case::Live as usize] = factor * live;
            Combination {
                name: format!("{factor:.1} (D + {live} L)"),
                factors,
                movement: Some(0.0),
                snow_level: None,
                origin: Origin::new("this-project", Standing::Practice),
            }
        })
        .to_vec();
    bare
}

/// Losses that raise the loads of an anchor by less than this share are judged together first (1).
const MILD: f64 = 0.1;
/// A bound must lie this far below what it is compared with before it speaks for a use: rounding of the contact (1).
const SURE: f64 = 1e-6;

/// Loads that differ by less than this share of the largest are the same (1): no use differs by more than some of that.
const SAME: f64 = 1e-9;

/// An attachment that others leave their load to: its use after each loss, worked out where it can matter.
///
/// Every use grows with the size of each load across the bar, and with a pull or a push along it. So the largest of each
/// over some losses bounds the use after any of them, and where the bound shows that an attachment is neither exceeded
/// nor the most used, nothing more need be known.
struct Other<'a> {
    anchor: &'a str,
    context: Context<'a>,
    /// By loss and by how it goes, on soft and on stiff anchors; none for its own loss and where the platform falls.
    demands: Vec<Option<[[Demand; 2]; 2]>>,
    /// Whether the loss raises its loads much.
    hit: Vec<bool>,
    /// Over the losses that do not: no use is larger.
    bound: [f64; 2],
}

impl<'a> Other<'a> {
    fn new(
        platform: &'a Platform,
        index: usize,
        losses: &[Loss],
        bare: &'a Criteria,
    ) -> Result<Self, CheckError> {
        let anchor = &platform.anchors()[index];
        let named = |error| CheckError::Anchor {
            anchor: anchor.id.clone(),
            error,
        };
        let stem = platform.stem_of(anchor);
        let context = Context::new(anchor, stem, bare, std::iter::once(1.0)).map_err(named)?;
        let on = |loss: &Loss| {
            let forces = loss.forces.as_ref().filter(|_| loss.lost != index)?;
            let demands =
                |going| [0, 1].map(|base: usize| demand(&forces[base][index], going, bare));
            Some([Going::Sudden, Going::Gradual].map(demands))
        };
        let demands: Vec<_> = losses.iter().map(on).collect();
        let size = |demands: &[[Demand; 2]; 2]| {
            let sizes = demands[0]
                .iter()
                .map(|demand| both([demand.across_bar(), demand.out]));
            sizes.fold(0.0, f64::max)
        };
        let least = demands
            .iter()
            .flatten()
            .map(size)
            .fold(f64::INFINITY, f64::min);
        let is_hit = |demands: &[[Demand; 2]; 2]| size(demands) > (1.0 + MILD) * least;
        let mut other = Self {
            anchor: &anchor.id,
            hit: demands
                .iter()
                .map(|own| own.as_ref().is_some_and(is_hit))
                .collect(),
            context,
            demands,
            bound: [f64::INFINITY; 2],
        };
        for going in [0, 1] {
            other.bound[going] = other.bound_of(going).map_err(named)?;
        }
        Ok(other)
    }

    /// The use under the largest of all loads that losses leave that do not raise them much.
    fn bound_of(&self, going: usize) -> Result<f64, MechanicsError> {
        let mild = self.demands.iter().zip(&self.hit).filter(|(_, hit)| !**hit);
        let mild = mild.filter_map(|(own, _)| own.as_ref());
        let all: Vec<Demand> = mild.flat_map(|own| own[going]).collect();
        let Some(first) = all.first() else {
            return Ok(0.0);
        };
        let largest = |of: fn(&Demand) -> f64| all.iter().map(of).fold(0.0, f64::max);
        let around = |out: f64| Demand {
            down: largest(|demand| demand.down.abs()),
            side: largest(|demand| demand.side.abs()),
            out,
            ..*first
        };
        let pair = [
            around(largest(|demand| demand.out)),
            around(-largest(|demand| -demand.out)),
        ];
        Ok(self.hardest(&pair)?.map_or(0.0, |found| found.utilization))
    }

    /// Whether the use after a loss that does not hit it is surely below so much.
    fn is_below(&self, going: usize, used: f64) -> bool {
        self.bound[going] < used * (1.0 - SURE)
    }

    /// The most used strength after each loss that is asked for: loss, how it goes, the use. What a loss leaves as it was
    /// is not worked out again.
    fn answers(
        &self,
        asked: impl Fn(usize, usize) -> bool,
    ) -> Result<Vec<(usize, usize, Exceeded)>, CheckError> {
        let mut known: Vec<([Demand; 2], Option<Exceeded>)> = Vec::new();
        let mut answers = Vec::new();
        for (number, demands) in self.demands.iter().enumerate() {
            let Some(demands) = demands else { continue };
            for going in [0, 1].into_iter().filter(|going| asked(number, *going)) {
                let own = &demands[going];
                let same = known.iter().find(|(known, _)| is_same(known, own));
                let used = match same {
                    Some((_, used)) => used.clone(),
                    None => {
                        let used = self.hardest(own).map_err(|error| CheckError::Anchor {
                            anchor: self.anchor.to_owned(),
                            error,
                        })?;
                        known.push((*own, used.clone()));
                        used
                    }
                };
                answers.extend(used.map(|used| (number, going, used)));
            }
        }
        Ok(answers)
    }

    /// The most used strength under loads, on soft and on stiff anchors.
    fn hardest(&self, demands: &[Demand; 2]) -> Result<Option<Exceeded>, MechanicsError> {
        let mut most: Option<Exceeded> = None;
        let mut loads = Loads::new(&self.context, demands);
        let strength = |rule: &&Rule| {
            rule.aspect() == Aspect::Strength && rule.limit_state.group() != Group::Fit
        };
        for rule in RULES.iter().filter(strength) {
            let Some(found) = loads.worst(rule)?.map(|worst| worst.found) else {
                continue;
            };
            if most
                .as_ref()
                .is_none_or(|most| most.utilization < found.utilization)
            {
                most = Some(Exceeded {
                    anchor: self.anchor.to_owned(),
                    limit_state: rule.limit_state,
                    utilization: found.utilization,
                });
            }
        }
        Ok(most)
    }
}

/// Whether two pairs of demands are the same but for rounding.
fn is_same(one: &[Demand; 2], other: &[Demand; 2]) -> bool {
    one.iter().zip(other).all(|(one, other)| {
        let [a, b] = [one, other].map(|demand| [demand.down, demand.side, demand.out]);
        let size = a.iter().fold(0.0_f64, |size, part| size.max(part.abs()));
        one.combination == other.combination
            && a.iter().zip(b).all(|(a, b)| (a - b).abs() <= SAME * size)
    })
}

fn lost(platform: &Platform, loss: &Loss, found: [Uses; 2]) -> LostOne {
    let mut one = LostOne {
        anchor: platform.anchors()[loss.lost].id.clone(),
        held: loss.forces.is_some(),
        hardest: [None, None],
        exceeded: [Vec::new(), Vec::new()],
    };
    for (going, mut found) in found.into_iter().enumerate() {
        found.sort_by_key(|(place, _)| *place);
        for (_, found) in found {
            if found.utilization > 1.0 {
                one.exceeded[going].push(found.clone());
            }
            if one.hardest[going]
                .as_ref()
                .is_none_or(|most| most.utilization < found.utilization)
            {
                one.hardest[going] = Some(found);
            }
        }
    }
    one
}

fn demand(forces: &[Triple; 2], going: Going, bare: &Criteria) -> Demand {
    let row = &bare.combinations[going as usize];
    let sum = |c: usize| {
        row.factors[Case::Dead as usize] * forces[0][c]
            + row.factors[Case::Live as usize] * forces[1][c]
    };
    let [down, side, out] = [sum(0), sum(1), sum(2)];
    let least = bare.factor("notional_side") * down.abs();
    Demand {
        combination: going as usize,
        down,
        side: if side.abs() < least { least } else { side },
        out,
        duration: 1.0,
        permanent: false,
        permanent_share: 0.0,
        torque: 0.0,
        range: [0.0; 2],
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;
    use crate::input::Layout;
    use std::fmt::Write as _;

    /// Anchors in a row under one beam, with loads that leave some of them exceeded and some not.
    fn row(live: f64) -> Platform {
        let mut text = String::new();
        let on: Vec<String> = (0..7).map(|k| format!("\"a{k}\"")).collect();
        for k in 0..7 {
            let _ = write!(
                text,
                "[[tree]]\nid = \"t{k}\"\nspecies = \"white oak\"\nat = [\"{} m\", \"0 m\"]\ndiameter = \"900 mm\"\nbark = \"20 mm\"\n[[anchor]]\nid = \"a{k}\"\ntree = \"t{k}\"\nfaces = \"N\"\nsize = \"102x152/51\"\narm = \"100 mm\"\n[[load]]\nid = \"p{k}\"\non = \"b at {} m\"\nlive = \"{} kN\"\n",
                3 * k,
                2.0 * f64::from(k) + 0.9,
                live * (1.0 + 0.3 * f64::from(k % 3))
            );
        }
        let _ = write!(
            text,
            "[[beam]]\nid = \"b\"\non = [{}]\nheld_down = true\nwidth = \"100 mm\"\ndepth = \"240 mm\"\nmodulus = \"11 GPa\"\noverhang = [\"500 mm\", \"500 mm\"]\n",
            on.join(", ")
        );
        let layout = Layout::from_toml(&text).unwrap_or_else(|found| panic!("{found}"));
        layout
            .resolve()
            .unwrap_or_else(|found| panic!("{found}"))
            .platform
    }

    #[test]
    fn bounds_leave_nothing_out_that_matters() {
        for live in [2.0, 8.0, 30.0] {
            let platform = row(live);
            let criteria = platform.criteria();
            let solved = platform::solve(&platform, &[], criteria).unwrap();
            let losses = solved.lose_each().unwrap();
            let [some, all] =
                [true, false].map(|bounded| judged(&platform, &losses, criteria, bounded).unwrap());
            assert_eq!(some, all);
        }
    }
}
