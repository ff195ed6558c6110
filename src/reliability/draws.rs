//! From independent normals to the values of a draw: dependence within a piece of wood, between anchors of one tree, of
//! one species, of one platform.
//!
//! The normal score of a variable at an anchor is a sum, one part for each that it has in common with others,
//!
//! ```text
//! z = √site · z_site + √(species − site) · z_species + √(tree − species) · z_tree + √(1 − tree) · z_anchor
//! ```
//!
//! so that two anchors of one tree correlate by `tree`, two of one species by `species`, any two by `site`. One anchor by
//! itself needs one normal for each variable.

use super::bar::Draw;
use super::marginal::Marginal;
use super::numerics::NumericsError;
use crate::model::{Stem, UNCERTAIN, Uncertain, Uncertainty, uncertainty::PERIOD};
use crate::tables;

/// Normals of one anchor: one for each variable, and what the stiffness of all anchors has in common.
pub(super) const NORMALS: usize = UNCERTAIN + 1;
/// The place of the latter.
pub(super) const STIFFNESS_OF_ALL: usize = UNCERTAIN;

/// Variables that hang together in one piece of wood.
const WOOD: [Uncertain; 4] = [
    Uncertain::Crushing,
    Uncertain::Across,
    Uncertain::Gravity,
    Uncertain::Splitting,
];

/// The variable that a normal belongs to.
pub(super) fn variable(normal: usize) -> Uncertain {
    *Uncertain::ALL.get(normal).unwrap_or(&Uncertain::Foundation)
}

/// What loads and analysis come to in a draw, over their nominal values (1).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Acting {
    pub(super) dead: f64,
    pub(super) live: f64,
    pub(super) live_now: f64,
    pub(super) snow: f64,
    pub(super) snow_now: f64,
    pub(super) wind: f64,
    pub(super) load_effect: f64,
    /// Foundation modulus of the anchor itself and of the others, over its central value.
    pub(super) foundation: [f64; 2],
}

/// How the variables of the anchors of one stem follow from normals.
#[derive(Debug, Clone)]
pub(super) struct Draws {
    marginals: Vec<Marginal>,
    means: Vec<f64>,
    /// Rows of the lower triangle that makes independent normals hang together as the properties of wood do.
    wood: [[f64; WOOD.len()]; WOOD.len()],
    /// Shares, as roots, of what all anchors have in common in stiffness, and of the rest (1).
    stiffness: [f64; 2],
}

impl Draws {
    /// The variables of anchors in a stem; a spread of its own crushing strength counts unless the layout changed it.
    pub(super) fn new(uncertainty: &Uncertainty, stem: &Stem) -> Result<Self, NumericsError> {
        let marginals = uncertainty
            .spreads
            .iter()
            .map(|spread| {
                let mut spread = spread.clone();
                if spread.variable == Uncertain::Crushing
                    && !spread.changed
                    && spread.deviation > 0.0
                {
                    spread.deviation = stem.wood.crushing_variation();
                }
                let years = uncertainty.years;
                Marginal::new(&spread, years, PERIOD)
            })
            .collect::<Result<Vec<_>, _>>()?;
        let common = uncertainty
            .of(Uncertain::Foundation)
            .map_or(0.0, |spread| spread.shared[2]);
        Ok(Self {
            marginals,
            means: uncertainty
                .spreads
                .iter()
                .map(|spread| spread.mean)
                .collect(),
            wood: triangle()?,
            stiffness: [common.sqrt(), (1.0 - common).sqrt()],
        })
    }

    /// Every variable at its mean.
    pub(super) fn means(&self) -> (Draw, Acting) {
        let common = self.mean(Uncertain::Foundation);
        Self::values(|variable| self.mean(variable), common)
    }

    fn mean(&self, variable: Uncertain) -> f64 {
        self.means
            .get(variable as usize)
            .copied()
            .unwrap_or(f64::NAN)
    }

    /// The values at [`NORMALS`] independent normals.
    pub(super) fn at(&self, u: &[f64; NORMALS]) -> (Draw, Acting) {
        let mut z = *u;
        for (row, own) in self.wood.iter().zip(WOOD) {
            let parts = row.iter().zip(WOOD);
            z[own as usize] = parts.map(|(part, other)| part * u[other as usize]).sum();
        }
        let common = self.stiffness[0] * u[STIFFNESS_OF_ALL];
        z[Uncertain::Foundation as usize] =
            common + self.stiffness[1] * u[Uncertain::Foundation as usize];
        let value = |variable: Uncertain, z: f64| self.marginals[variable as usize].at(z);
        Self::values(
            |variable| value(variable, z[variable as usize]),
            value(Uncertain::Foundation, common),
        )
    }

    fn values(of: impl Fn(Uncertain) -> f64, others: f64) -> (Draw, Acting) {
        let foundation = of(Uncertain::Foundation);
        let draw = Draw {
            crushing: of(Uncertain::Crushing),
            across: of(Uncertain::Across),
            gravity: of(Uncertain::Gravity),
            splitting: of(Uncertain::Splitting),
            duration: of(Uncertain::Duration),
            foundation,
            yield_strength: of(Uncertain::Yield),
            depth: of(Uncertain::Depth),
            bark: of(Uncertain::Bark),
            arm: of(Uncertain::Arm),
            tilt: of(Uncertain::Tilt),
            bearing_model: of(Uncertain::BearingModel),
            steel_model: of(Uncertain::SteelModel),
            withdrawal_model: of(Uncertain::WithdrawalModel),
        };
        let acting = Acting {
            dead: of(Uncertain::Dead),
            live: of(Uncertain::Live),
            live_now: of(Uncertain::LiveNow),
            snow: of(Uncertain::Snow),
            snow_now: of(Uncertain::SnowNow),
            wind: of(Uncertain::Wind),
            load_effect: of(Uncertain::LoadEffect),
            foundation: [foundation, others],
        };
        (draw, acting)
    }
}

/// The lower triangle of the correlations between properties of wood.
fn triangle() -> Result<[[f64; WOOD.len()]; WOOD.len()], NumericsError> {
    let mut matrix = [[0.0; WOOD.len()]; WOOD.len()];
    for (i, one) in WOOD.iter().enumerate() {
        matrix[i][i] = 1.0;
        for (j, other) in WOOD.iter().enumerate() {
            let row = tables::random_correlations()
                .iter()
                .find(|row| row.between[0] == one.id() && row.between[1] == other.id());
            if let Some(row) = row {
                matrix[i][j] = row.correlation;
                matrix[j][i] = row.correlation;
            }
        }
    }
    let mut triangle = [[0.0; WOOD.len()]; WOOD.len()];
    for i in 0..WOOD.len() {
        for j in 0..=i {
            let done: f64 = (0..j).map(|k| triangle[i][k] * triangle[j][k]).sum();
            let rest = matrix[i][j] - done;
            triangle[i][j] = if i == j {
                if rest <= 0.0 {
                    return Err(NumericsError::NotPositiveDefinite { variable: i });
                }
                rest.sqrt()
            } else {
                rest / triangle[j][j]
            };
        }
    }
    Ok(triangle)
}

/// How the normals of each anchor follow from those of the whole platform.
#[derive(Debug, Clone)]
pub(super) struct Links {
    /// Normals of the platform.
    pub(super) normals: usize,
    /// By anchor and normal of it, the normals of the platform with their weights (1).
    parts: Vec<Vec<Vec<(usize, f64)>>>,
}

impl Links {
    /// The links of anchors, each in a stem (by its place) of a species (by its name).
    pub(super) fn new(uncertainty: &Uncertainty, anchors: &[(usize, &str)]) -> Self {
        let mut normals = 0;
        let mut parts = vec![vec![Vec::new(); NORMALS]; anchors.len()];
        let mut species: Vec<&str> = anchors.iter().map(|(_, name)| *name).collect();
        species.sort_unstable();
        species.dedup();
        let place = |name: &str| species.iter().position(|own| *own == name).unwrap_or(0);
        for spread in &uncertainty.spreads {
            let variable = spread.variable as usize;
            let [tree, kind, site] = spread.shared;
            let mut common = |share: f64, normal: usize, of: &dyn Fn(usize) -> usize| {
                if share <= 0.0 {
                    return;
                }
                let mut known: Vec<(usize, usize)> = Vec::new();
                for (anchor, parts) in parts.iter_mut().enumerate() {
                    let group = of(anchor);
                    let found = known.iter().find(|(own, _)| *own == group);
                    let at = found.map_or(normals, |(_, at)| *at);
                    if found.is_none() {
                        known.push((group, at));
                        normals += 1;
                    }
                    parts[normal].push((at, share.sqrt()));
                }
            };
            let by_species = |anchor: usize| place(anchors[anchor].1);
            let by_tree = |anchor: usize| anchors[anchor].0;
            if spread.variable == Uncertain::Foundation {
                // Its common part is a normal of its own, since the others' stiffness depends on it too.
                common(1.0, STIFFNESS_OF_ALL, &|_| 0);
                let rest = 1.0 - site;
                if rest > 0.0 {
                    common((kind - site) / rest, variable, &by_species);
                    common((tree - kind) / rest, variable, &by_tree);
                    common((1.0 - tree) / rest, variable, &|anchor| anchor);
                }
            } else {
                common(site, variable, &|_| 0);
                common(kind - site, variable, &by_species);
                common(tree - kind, variable, &by_tree);
                common(1.0 - tree, variable, &|anchor| anchor);
            }
        }
        Self { normals, parts }
    }

    /// The normals of an anchor.
    pub(super) fn of(&self, anchor: usize, platform: &[f64]) -> [f64; NORMALS] {
        let mut own = [0.0; NORMALS];
        for (own, parts) in own.iter_mut().zip(&self.parts[anchor]) {
            *own = parts
                .iter()
                .map(|(at, weight)| weight * platform[*at])
                .sum();
        }
        own
    }

    /// The nearest normals of the platform in which an anchor has these normals.
    pub(super) fn back(&self, anchor: usize, own: &[f64]) -> Vec<f64> {
        let mut platform = vec![0.0; self.normals];
        for (own, parts) in own.iter().zip(&self.parts[anchor]) {
            for (at, weight) in parts {
                platform[*at] += weight * own;
            }
        }
        platform
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use std::collections::BTreeMap;

    /// Two anchors in one oak, one in another oak, one in a fir.
    const ANCHORS: [(usize, &str); 4] = [(0, "oak"), (0, "oak"), (1, "oak"), (2, "fir")];

    /// The correlation of one normal of two anchors: the sum of products of what they have in common.
    fn correlation(links: &Links, normal: usize, one: usize, other: usize) -> f64 {
        let weights: BTreeMap<usize, f64> = links.parts[one][normal].iter().copied().collect();
        let parts = links.parts[other][normal].iter();
        parts
            .map(|(at, weight)| weights.get(at).copied().unwrap_or(0.0) * weight)
            .sum()
    }

    #[test]
    fn anchors_correlate_as_the_table_says() {
        let uncertainty = Uncertainty::default();
        let links = Links::new(&uncertainty, &ANCHORS);
        for spread in &uncertainty.spreads {
            let normal = spread.variable as usize;
            let [tree, species, site] = spread.shared;
            let of = |one, other| {
                let own = correlation(&links, normal, one, other);
                if spread.variable == Uncertain::Foundation {
                    // Of the common part and of the rest.
                    site * correlation(&links, STIFFNESS_OF_ALL, one, other) + (1.0 - site) * own
                } else {
                    own
                }
            };
            for (one, other, expected) in [
                (0, 0, 1.0),
                (3, 3, 1.0),
                (0, 1, tree),
                (0, 2, species),
                (1, 3, site),
                (2, 3, site),
            ] {
                let found = of(one, other);
                assert!(
                    (found - expected).abs() < 1e-12,
                    "{:?} {one} {other}: {found} {expected}",
                    spread.variable
                );
            }
        }
    }

    #[test]
    fn the_way_back_leads_to_where_it_came_from() {
        let links = Links::new(&Uncertainty::default(), &ANCHORS);
        let own: [f64; NORMALS] = std::array::from_fn(|i| i as f64 / 10.0 - 1.0);
        for anchor in 0..ANCHORS.len() {
            let platform = links.back(anchor, &own);
            let again = links.of(anchor, &platform);
            for (a, b) in own.iter().zip(again) {
                assert!((a - b).abs() < 1e-12, "{anchor}: {a} {b}");
            }
        }
    }

    #[test]
    fn properties_of_one_piece_of_wood_correlate_as_the_table_says() {
        let rows = triangle().unwrap();
        for row in tables::random_correlations() {
            let place = |id: &str| WOOD.iter().position(|own| own.id() == id).unwrap();
            let [one, other] = [place(&row.between[0]), place(&row.between[1])];
            let found: f64 = rows[one].iter().zip(rows[other]).map(|(a, b)| a * b).sum();
            assert!((found - row.correlation).abs() < 1e-12, "{:?}", row.between);
        }
    }
}
