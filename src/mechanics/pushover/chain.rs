//! The bar as a chain of rigid links, joints of steel between them and springs of wood at their ends.
//!
//! The angle of a joint is φ = (v₋ − v)/h₋ − (v − v₊)/h₊, its moment M(φ) acts on the half links beside it. Every
//! link has a spring at each of its ends, for half its length, so that both sides of a step yield by themselves. The
//! error is of second order in the length of the links. A step of deflection is the minimum of a convex energy,
//! found by Newton's method with a line search.

use super::banded::Banded;
use super::law::{Answer, FibreSection, Joint, Slider};
use super::{PushoverSegment, SteelLaw};
use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use std::f64::consts::PI;

/// Newton steps at most in one step of deflection; some dozens are usual.
const MOST_STEPS: usize = 400;
/// A step is in equilibrium when no node is out of balance by more than this share of the forces that meet there.
const BALANCE: f64 = 1e-9;
/// The tangent of what has yielded, as a share of its elastic stiffness: it keeps the equations solvable when a
/// mechanism forms, and enters no force.
const YIELDED: f64 = 1e-10;
/// Accuracy of the line search, as a share of the slope at its beginning.
const SEARCH: f64 = 0.02;
/// Trials at most in one line search.
const MOST_TRIALS: usize = 60;

/// A spring of wood at a node.
#[derive(Debug, Clone, Copy)]
struct Spring {
    node: usize,
    wood: Slider,
}

#[derive(Debug, Clone)]
pub(super) struct Chain {
    /// Where the nodes are; the first is the load point.
    x: Vec<f64>,
    v: Vec<f64>,
    /// One for each inner node.
    joints: Vec<Joint>,
    springs: Vec<Spring>,
    /// The node at the face.
    face: usize,
}

/// What meets at the nodes.
#[derive(Debug, Default)]
struct Forces {
    /// The force out of balance at each node; at the first, the load that holds it.
    residual: Vec<f64>,
    /// The largest force that takes part.
    scale: f64,
    moments: Vec<f64>,
}

/// What is read off a chain.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reading {
    pub(super) force: f64,
    pub(super) face: f64,
    pub(super) tip: f64,
    pub(super) moment: f64,
    pub(super) moment_at: f64,
}

impl Chain {
    /// A chain whose links are about `link` long.
    pub(super) fn new(
        arm: &[PushoverSegment],
        embedded: &[PushoverSegment],
        law: SteelLaw,
        link: f64,
    ) -> Result<Self, MechanicsError> {
        let mut x = vec![-arm.iter().map(|segment| segment.length.value).sum::<f64>()];
        let (mut links, mut springs, mut face) = (Vec::new(), Vec::new(), 0);
        for (index, segment) in arm.iter().chain(embedded).enumerate() {
            let length = segment
                .length
                .positive("the length of a bar segment")?
                .value;
            let stiffness = segment
                .foundation
                .not_negative("the foundation modulus")?
                .value;
            let limit = segment
                .resistance
                .not_negative("the resistance of the wood")?
                .value;
            let count = (length / link).ceil().max(2.0);
            let (h, start) = (length / count, x.last().copied().unwrap_or_default());
            // At least two, and bounded by the number of links asked for.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            for step in 1..=count as usize {
                let node = x.len();
                x.push(start + h * step as f64);
                links.push((h, segment));
                for node in [node - 1, node] {
                    let wood = Slider::new(stiffness * h / 2.0, limit * h / 2.0);
                    springs.push(Spring { node, wood });
                }
            }
            if index + 1 == arm.len() {
                face = x.len() - 1;
            }
        }
        springs.retain(|spring| spring.wood.stiffness > 0.0 && spring.wood.limit > 0.0);
        if springs.is_empty() {
            return Err(MechanicsError::NoSolution {
                what: "nothing resists the bar",
            });
        }
        let pairs = links
            .windows(2)
            .filter_map(|pair| <&[_; 2]>::try_from(pair).ok());
        let joints = pairs
            .map(|[outer, inner]| joint(law, *outer, *inner))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            v: vec![0.0; x.len()],
            x,
            joints,
            springs,
            face,
        })
    }

    /// Moves the load point to `deflection` and brings the rest into equilibrium.
    pub(super) fn push(&mut self, deflection: f64) -> Result<Reading, MechanicsError> {
        let mut v = self.v.clone();
        if let Some(first) = v.first_mut() {
            *first = deflection;
        }
        let (mut matrix, mut forces) = (Banded::default(), Forces::default());
        for _ in 0..MOST_STEPS {
            self.answer(&v, &mut forces, Some(&mut matrix));
            let free = forces.residual.get(1..).unwrap_or_default();
            let worst = free
                .iter()
                .fold(0.0, |worst: f64, force| worst.max(force.abs()));
            if worst <= BALANCE * forces.scale {
                return self.settle(v, &forces);
            }
            // Only the nodes beyond the load point move.
            let mut direction: Vec<f64> = forces.residual.iter().map(|force| -force).collect();
            if let Some(first) = direction.first_mut() {
                *first = 0.0;
            }
            matrix.solve(&mut direction);
            v = self.search(&v, &direction, &mut forces);
        }
        Err(MechanicsError::NoSolution {
            what: "the path of the bar could not be followed",
        })
    }

    /// The deflections along `direction` where the energy is least, or near enough.
    fn search(&self, v: &[f64], direction: &[f64], forces: &mut Forces) -> Vec<f64> {
        let at = |t: f64| -> Vec<f64> { v.iter().zip(direction).map(|(v, d)| v + t * d).collect() };
        let mut slope = |v: &[f64]| -> f64 {
            self.answer(v, forces, None);
            forces
                .residual
                .iter()
                .zip(direction)
                .map(|(r, d)| r * d)
                .sum()
        };
        let start = slope(v);
        let (mut low, mut high) = ((0.0, start), (1.0, slope(&at(1.0))));
        let mut trial = at(1.0);
        for _ in 0..MOST_TRIALS {
            if high.1 <= SEARCH * start.abs() {
                break;
            }
            // Regula falsi, kept off the ends of the bracket.
            let share = (low.1 / (low.1 - high.1)).clamp(0.05, 0.95);
            let t = low.0 + share * (high.0 - low.0);
            trial = at(t);
            let here = (t, slope(&trial));
            if here.1.abs() <= SEARCH * start.abs() {
                break;
            }
            if here.1 > 0.0 {
                high = here;
            } else {
                low = here;
            }
        }
        trial
    }

    /// The forces at the nodes for the deflections `v`, and their tangent with the first node held.
    fn answer(&self, v: &[f64], forces: &mut Forces, mut matrix: Option<&mut Banded>) {
        forces.residual.clear();
        forces.residual.resize(v.len(), 0.0);
        forces.moments.clear();
        forces.scale = f64::MIN_POSITIVE;
        if let Some(matrix) = matrix.as_deref_mut() {
            matrix.clear(v.len());
            matrix.add(0, 0, 1.0);
        }
        for spring in &self.springs {
            let node = spring.node;
            let Answer { value, tangent } =
                spring.wood.answer(v.get(node).copied().unwrap_or_default());
            add(&mut forces.residual, node, value);
            forces.scale = forces.scale.max(value.abs());
            if let Some(matrix) = matrix.as_deref_mut().filter(|_| node > 0) {
                matrix.add(node, 0, tangent.max(YIELDED * spring.wood.stiffness));
            }
        }
        let places = self
            .x
            .windows(3)
            .zip(v.windows(3))
            .zip(&self.joints)
            .enumerate();
        for (node, ((x, v), joint)) in places {
            let weights = weights(x);
            let angle = weights.iter().zip(v).map(|(weight, v)| weight * v).sum();
            let Answer { value, tangent } = joint.answer(angle);
            let tangent = tangent.max(YIELDED * joint.stiffness());
            forces.moments.push(value);
            for (row, weight) in weights.iter().enumerate() {
                add(&mut forces.residual, node + row, weight * value);
                forces.scale = forces.scale.max((weight * value).abs());
                for (column, other) in weights.iter().enumerate().take(row + 1) {
                    if let Some(matrix) = matrix.as_deref_mut().filter(|_| node + column > 0) {
                        matrix.add(node + row, row - column, weight * other * tangent);
                    }
                }
            }
        }
    }

    /// Takes the deflections as reached.
    fn settle(&mut self, v: Vec<f64>, forces: &Forces) -> Result<Reading, MechanicsError> {
        for spring in &mut self.springs {
            spring
                .wood
                .settle(v.get(spring.node).copied().unwrap_or_default());
        }
        for ((x, v), joint) in self.x.windows(3).zip(v.windows(3)).zip(&mut self.joints) {
            joint.settle(weights(x).iter().zip(v).map(|(weight, v)| weight * v).sum());
        }
        let moments = forces
            .moments
            .iter()
            .copied()
            .zip(self.x.iter().copied().skip(1));
        let start = (0.0_f64, self.x.first().copied().unwrap_or_default());
        let (moment, moment_at) = moments.fold(start, |best, here| {
            if here.0.abs() > best.0.abs() {
                here
            } else {
                best
            }
        });
        self.v = v;
        Ok(Reading {
            force: forces
                .residual
                .first()
                .copied()
                .unwrap_or_default()
                .finite("the force on the bar")?,
            face: self
                .v
                .get(self.face)
                .copied()
                .unwrap_or_default()
                .finite("the deflection of the bar")?,
            tip: self
                .v
                .last()
                .copied()
                .unwrap_or_default()
                .finite("the deflection of the bar")?,
            moment: moment.finite("the moment in the bar")?,
            moment_at,
        })
    }
}

/// The joint between two links, each given by its length and its segment.
fn joint(
    law: SteelLaw,
    outer: (f64, &PushoverSegment),
    inner: (f64, &PushoverSegment),
) -> Result<Joint, MechanicsError> {
    let section = |segment: &PushoverSegment| {
        let d = segment
            .bending_diameter
            .positive("the bending diameter of a bar segment")?
            .value;
        let modulus = segment
            .modulus
            .positive("the modulus of elasticity of a bar")?
            .value;
        let strength = match law {
            SteelLaw::Elastic => f64::INFINITY,
            _ => {
                segment
                    .yield_strength
                    .positive("the yield strength of a bar")?
                    .value
            }
        };
        Ok::<_, MechanicsError>((d, modulus, strength))
    };
    let halves = [
        (outer.0 / 2.0, section(outer.1)?),
        (inner.0 / 2.0, section(inner.1)?),
    ];
    if law == SteelLaw::Fibre {
        let [(h1, one), (h2, other)] = halves;
        let fibres = |(d, modulus, strength)| FibreSection::new(d, modulus, strength);
        return Ok(Joint::Fibres(if one == other {
            vec![(h1 + h2, fibres(one))]
        } else {
            vec![(h1, fibres(one)), (h2, fibres(other))]
        }));
    }
    let flexibility: f64 = halves
        .iter()
        .map(|(h, (d, modulus, _))| h * 64.0 / (PI * d.powi(4) * modulus))
        .sum();
    let plastic = halves.map(|(_, (d, _, strength))| strength * d.powi(3) / 6.0);
    let stiffness = (1.0 / flexibility).finite("the stiffness of the bar")?;
    Ok(Joint::Slider(Slider::new(
        stiffness,
        plastic[0].min(plastic[1]),
    )))
}

/// The angle of a joint per deflection of its node and of the nodes beside it.
fn weights(x: &[f64]) -> [f64; 3] {
    let (Some(before), Some(here), Some(after)) = (x.first(), x.get(1), x.get(2)) else {
        return [0.0; 3];
    };
    let (outer, inner) = (1.0 / (here - before), 1.0 / (after - here));
    [outer, -(outer + inner), inner]
}

fn add(forces: &mut [f64], node: usize, force: f64) {
    if let Some(place) = forces.get_mut(node) {
        *place += force;
    }
}
