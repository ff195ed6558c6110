//! The bar as a chain of rigid links, with joints of steel between them and springs of wood along them.
//!
//! The angle of a joint is φ = (v₋ − v)/h₋ − (v − v₊)/h₊; its moment M(φ) acts on the half links beside it. Every link
//! rests on two springs at its Gauss points, so that both sides of a step yield by themselves and a straight link is
//! carried exactly; the errors of links and springs cancel to the fourth order within an elastic segment. A step of
//! deflection is the minimum of a convex energy, found by Newton's method with a line search.

use super::banded::Banded;
use super::law::{Answer, FibreSection, Joint, Slider};
use super::{PushoverSegment, SteelLaw};
use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use std::f64::consts::PI;

/// Links over the embedded length; [`PushoverBar::follow`](super::PushoverBar::follow) says what finer ones change.
const EMBEDDED_LINKS: f64 = 200.0;
/// Links in a segment: at least, and at most where it is arm.
const LINKS: [f64; 2] = [4.0, 100.0];

/// Newton steps at most in one step of deflection before it is halved.
const MOST_STEPS: usize = 40;
/// Halvings at most of one step.
const MOST_HALVINGS: u32 = 16;
/// A step is in equilibrium when no node is out of balance by more than this share of the forces that meet there.
const BALANCE: f64 = 1e-11;
/// The tangent of what has yielded, as a share of its elastic stiffness: it keeps the equations solvable when a
/// mechanism forms, and enters no force.
const YIELDED: f64 = 1e-10;
/// Accuracy of the line search, as a share of the slope at its beginning.
const SEARCH: f64 = 0.02;
/// Trials at most in one line search.
const MOST_TRIALS: usize = 60;

/// A spring of wood along a link.
#[derive(Debug, Clone, Copy)]
struct Spring {
    /// The node at the outer end of its link.
    node: usize,
    /// How much of the deflections of the outer and the inner end it feels.
    shares: [f64; 2],
    wood: Slider,
}

#[derive(Debug, Clone)]
pub(super) struct Chain {
    /// Where the nodes are; the first is the load point.
    x: Vec<f64>,
    shape: Shape,
    /// The last change of the shape.
    last_move: Shape,
    /// One for each inner node.
    joints: Vec<Joint>,
    springs: Vec<Spring>,
    /// The node at the face.
    face: usize,
    /// The largest force that ever took part: what balance is measured by when the bar comes back to rest.
    scale: f64,
}

/// The deflections of the nodes and the angles of the joints. The angles follow from the deflections, but are kept:
/// far from rest, small angles would drown in the rounding of large deflections.
#[derive(Debug, Clone)]
struct Shape {
    v: Vec<f64>,
    angles: Vec<f64>,
}

impl Shape {
    /// The shape with these deflections of the nodes at `x`.
    fn of(v: Vec<f64>, x: &[f64]) -> Self {
        let angle = |(x, v): (&[f64], &[f64])| weights(x).iter().zip(v).map(|(w, v)| w * v).sum();
        let angles = x.windows(3).zip(v.windows(3)).map(angle).collect();
        Self { v, angles }
    }

    /// This shape and `t` times another.
    fn plus(&self, t: f64, other: &Self) -> Self {
        let sum =
            |one: &[f64], other: &[f64]| one.iter().zip(other).map(|(a, b)| a + t * b).collect();
        Self {
            v: sum(&self.v, &other.v),
            angles: sum(&self.angles, &other.angles),
        }
    }

    fn load_point(&self) -> f64 {
        self.v.first().copied().unwrap_or_default()
    }

    /// The deflection of a spring.
    fn at(&self, spring: &Spring) -> f64 {
        let ends = self.v.get(spring.node..).unwrap_or_default();
        spring
            .shares
            .iter()
            .zip(ends)
            .map(|(share, v)| share * v)
            .sum()
    }
}

/// What meets at the nodes.
#[derive(Debug, Default)]
struct Forces {
    /// The force out of balance at each node; at the first, the load that holds it.
    residual: Vec<f64>,
    /// The largest force that takes part.
    scale: f64,
    /// The moment of each joint.
    moments: Vec<f64>,
}

impl Forces {
    fn clear(&mut self, nodes: usize, scale: f64) {
        self.residual.clear();
        self.residual.resize(nodes, 0.0);
        self.moments.clear();
        self.scale = scale;
    }

    fn add(&mut self, node: usize, force: f64) {
        if let Some(place) = self.residual.get_mut(node) {
            *place += force;
            self.scale = self.scale.max(force.abs());
        }
    }

    /// Whether every node but the first is in balance.
    fn balanced(&self) -> bool {
        self.residual
            .iter()
            .skip(1)
            .all(|force| force.abs() <= BALANCE * self.scale)
    }
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
    /// A chain; `refinement` multiplies the usual number of links.
    pub(super) fn new(
        arm: &[PushoverSegment],
        embedded: &[PushoverSegment],
        law: SteelLaw,
        refinement: f64,
    ) -> Result<Self, MechanicsError> {
        let total: f64 = embedded.iter().map(|segment| segment.length.value).sum();
        let mut x = vec![-arm.iter().map(|segment| segment.length.value).sum::<f64>()];
        let (mut links, mut springs, mut face) = (Vec::new(), Vec::new(), 0);
        for (index, segment) in arm.iter().chain(embedded).enumerate() {
            let length = segment
                .length
                .positive("the length of a bar segment")?
                .value;
            let most = if index < arm.len() {
                LINKS[1]
            } else {
                EMBEDDED_LINKS
            };
            let links_here = (EMBEDDED_LINKS * length / total).clamp(LINKS[0], most);
            let count = (refinement * links_here).ceil();
            let (h, start) = (length / count, x.last().copied().unwrap_or_default());
            let woods = [springs_of(segment, h)?; 2];
            // At least four, and no more than the numbers above allow.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            for link in 1..=count as usize {
                let node = x.len() - 1;
                springs.extend(woods.iter().zip(GAUSS).map(|(wood, shares)| Spring {
                    node,
                    shares,
                    wood: *wood,
                }));
                links.push((h, segment));
                x.push(start + h * link as f64);
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
        let rest = Shape::of(vec![0.0; x.len()], &x);
        Ok(Self {
            shape: rest.clone(),
            last_move: rest,
            x,
            joints,
            springs,
            face,
            scale: f64::MIN_POSITIVE,
        })
    }

    /// Moves the load point to `deflection` and brings the rest into equilibrium, in halves if need be.
    pub(super) fn push(&mut self, deflection: f64) -> Result<Reading, MechanicsError> {
        self.push_in_parts(deflection, MOST_HALVINGS)
    }

    fn push_in_parts(&mut self, deflection: f64, halvings: u32) -> Result<Reading, MechanicsError> {
        if let Some((shape, forces)) = self.balance(deflection) {
            return self.settle(shape, &forces);
        }
        let halvings = halvings.checked_sub(1).ok_or(MechanicsError::NoSolution {
            what: "the path of the bar could not be followed",
        })?;
        self.push_in_parts(0.5 * (self.shape.load_point() + deflection), halvings)?;
        self.push_in_parts(deflection, halvings)
    }

    /// The shape in equilibrium with the load point at `deflection`, if it is found.
    fn balance(&self, deflection: f64) -> Option<(Shape, Forces)> {
        let (mut matrix, mut forces) = (Banded::default(), Forces::default());
        let mut shape = self.foresee(deflection, &mut matrix, &mut forces);
        for _ in 0..MOST_STEPS {
            self.answer(&shape, &mut forces, Some(&mut matrix));
            if forces.balanced() {
                return Some((shape, forces));
            }
            // Only the nodes beyond the load point move.
            let mut direction: Vec<f64> = forces.residual.iter().map(|force| -force).collect();
            set_first(&mut direction, 0.0);
            matrix.solve(&mut direction);
            shape = self.search(&shape, &Shape::of(direction, &self.x), &mut forces);
        }
        None
    }

    /// A first guess of the shape at `deflection`: on as before, or the elastic answer where the path begins or turns
    /// back.
    fn foresee(&self, deflection: f64, matrix: &mut Banded, forces: &mut Forces) -> Shape {
        let (step, before) = (
            deflection - self.shape.load_point(),
            self.last_move.load_point(),
        );
        if step * before > 0.0 {
            return self.shape.plus(step / before, &self.last_move);
        }
        self.answer(&self.shape, forces, Some(matrix));
        let mut direction = vec![0.0; self.x.len()];
        if let Some(joint) = self.joints.first() {
            // The load point, moved by the step, turns the first joint, which pulls on the nodes beside it.
            let weights = weights(&self.x);
            let moment = joint.stiffness() * weights[0] * step;
            for (place, weight) in direction.iter_mut().zip(weights) {
                *place = -weight * moment;
            }
        }
        set_first(&mut direction, 0.0);
        matrix.solve(&mut direction);
        set_first(&mut direction, step);
        self.shape.plus(1.0, &Shape::of(direction, &self.x))
    }

    /// The shape along `direction` where the energy is least, or near enough.
    fn search(&self, shape: &Shape, direction: &Shape, forces: &mut Forces) -> Shape {
        let mut slope = |shape: &Shape| -> f64 {
            self.answer(shape, forces, None);
            forces
                .residual
                .iter()
                .zip(&direction.v)
                .map(|(r, d)| r * d)
                .sum()
        };
        let start = slope(shape);
        let mut trial = shape.plus(1.0, direction);
        let (mut low, mut high) = ((0.0, start), (1.0, slope(&trial)));
        let enough = SEARCH * start.abs();
        for _ in 0..MOST_TRIALS {
            if high.1 <= enough {
                break;
            }
            // Regula falsi, kept off the ends of the bracket.
            let share = (low.1 / (low.1 - high.1)).clamp(0.05, 0.95);
            let t = low.0 + share * (high.0 - low.0);
            trial = shape.plus(t, direction);
            let here = (t, slope(&trial));
            if here.1.abs() <= enough {
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

    /// The forces at the nodes for a shape, and their tangent with the first node held.
    fn answer(&self, shape: &Shape, forces: &mut Forces, mut matrix: Option<&mut Banded>) {
        forces.clear(self.x.len(), self.scale);
        let mut moments = std::mem::take(&mut forces.moments);
        if let Some(matrix) = matrix.as_deref_mut() {
            matrix.clear(self.x.len());
            matrix.add(0, 0, 1.0);
        }
        let mut meet = |node: usize, weights: &[f64], answer: Answer, elastic: f64| {
            let tangent = answer.tangent.max(YIELDED * elastic);
            for (row, weight) in weights.iter().enumerate() {
                forces.add(node + row, weight * answer.value);
                let Some(matrix) = matrix.as_deref_mut() else {
                    continue;
                };
                for (column, other) in weights
                    .iter()
                    .enumerate()
                    .take(row + 1)
                    .skip(usize::from(node == 0))
                {
                    matrix.add(node + row, row - column, weight * other * tangent);
                }
            }
        };
        for spring in &self.springs {
            let answer = spring.wood.answer(shape.at(spring));
            meet(spring.node, &spring.shares, answer, spring.wood.stiffness);
        }
        for (node, ((x, angle), joint)) in self
            .x
            .windows(3)
            .zip(&shape.angles)
            .zip(&self.joints)
            .enumerate()
        {
            let answer = joint.answer(*angle);
            moments.push(answer.value);
            meet(node, &weights(x), answer, joint.stiffness());
        }
        forces.moments = moments;
    }

    /// Takes a shape as reached.
    fn settle(&mut self, shape: Shape, forces: &Forces) -> Result<Reading, MechanicsError> {
        for spring in &mut self.springs {
            spring.wood.settle(shape.at(spring));
        }
        for (angle, joint) in shape.angles.iter().zip(&mut self.joints) {
            joint.settle(*angle);
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
        self.last_move = shape.plus(-1.0, &self.shape);
        self.shape = shape;
        self.scale = forces.scale;
        let number = |value: Option<&f64>| {
            value
                .copied()
                .unwrap_or_default()
                .finite("the answer of the bar")
        };
        Ok(Reading {
            force: number(forces.residual.first())?,
            face: number(self.shape.v.get(self.face))?,
            tip: number(self.shape.v.last())?,
            moment: number(Some(&moment))?,
            moment_at,
        })
    }
}

/// How much the two Gauss points of a link feel of its ends: (1 ± 1/√3)/2.
const GAUSS: [[f64; 2]; 2] = [[NEAR, 1.0 - NEAR], [1.0 - NEAR, NEAR]];
const NEAR: f64 = 0.788_675_134_594_812_9;

/// Each of the two springs of a link of length h.
fn springs_of(segment: &PushoverSegment, h: f64) -> Result<Slider, MechanicsError> {
    let stiffness = segment
        .foundation
        .not_negative("the foundation modulus")?
        .value;
    let limit = segment
        .resistance
        .not_negative("the resistance of the wood")?
        .value;
    Ok(Slider::new(stiffness * h / 2.0, limit * h / 2.0))
}

/// A round section of steel.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Steel {
    diameter: f64,
    modulus: f64,
    strength: f64,
}

impl Steel {
    fn new(law: SteelLaw, segment: &PushoverSegment) -> Result<Self, MechanicsError> {
        Ok(Self {
            diameter: segment
                .bending_diameter
                .positive("the bending diameter of a bar segment")?
                .value,
            modulus: segment
                .modulus
                .positive("the modulus of elasticity of a bar")?
                .value,
            strength: match law {
                SteelLaw::Elastic => f64::INFINITY,
                _ => {
                    segment
                        .yield_strength
                        .positive("the yield strength of a bar")?
                        .value
                }
            },
        })
    }

    fn plastic_moment(&self) -> f64 {
        self.strength * self.diameter.powi(3) / 6.0
    }

    /// E·I.
    fn stiffness(&self) -> f64 {
        self.modulus * PI * self.diameter.powi(4) / 64.0
    }

    fn fibres(&self) -> FibreSection {
        FibreSection::new(self.diameter, self.modulus, self.strength)
    }
}

/// The joint between two links, each given by its length and its segment.
fn joint(
    law: SteelLaw,
    outer: (f64, &PushoverSegment),
    inner: (f64, &PushoverSegment),
) -> Result<Joint, MechanicsError> {
    let (h1, one) = (outer.0 / 2.0, Steel::new(law, outer.1)?);
    let (h2, other) = (inner.0 / 2.0, Steel::new(law, inner.1)?);
    Ok(match law {
        SteelLaw::Fibre if one == other => Joint::Fibres(vec![(h1 + h2, one.fibres())]),
        SteelLaw::Fibre => Joint::Fibres(vec![(h1, one.fibres()), (h2, other.fibres())]),
        SteelLaw::Elastic | SteelLaw::MomentCurvature => {
            let stiffness = 1.0 / (h1 / one.stiffness() + h2 / other.stiffness());
            let limit = one.plastic_moment().min(other.plastic_moment());
            Joint::Slider(Slider::new(
                stiffness.finite("the stiffness of the bar")?,
                limit,
            ))
        }
    })
}

/// The angle of a joint per deflection of the node before it, of its own, and of the node after it.
fn weights(x: &[f64]) -> [f64; 3] {
    let (Some(before), Some(here), Some(after)) = (x.first(), x.get(1), x.get(2)) else {
        return [0.0; 3];
    };
    let (outer, inner) = (1.0 / (here - before), 1.0 / (after - here));
    [outer, -(outer + inner), inner]
}

fn set_first(values: &mut [f64], value: f64) {
    if let Some(first) = values.first_mut() {
        *first = value;
    }
}
