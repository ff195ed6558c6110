//! What acts on a frame: forces at nodes and along members, and movements of the ground.

use super::element::{Element, Natural, Vector, cross, dot, minus, part, plus, scaled};
use super::{Dof, Frame, FrameError, Member, MemberId, NodeId, SpringId};
use crate::analysis::span::{SimplyHeld, SpanLoad};

/// Loads may overshoot a member by this fraction of its length.
const OVERSHOOT: f64 = 1e-9;

/// One load case: loads in global directions (N, N·m, N/m of member), prescribed movements (m, rad).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LoadCase {
    pub(super) nodal: Vec<(NodeId, [f64; 6])>,
    pub(super) members: Vec<MemberLoad>,
    pub(super) settlements: Vec<(NodeId, Dof, f64)>,
    pub(super) spring_settlements: Vec<(SpringId, f64)>,
}

/// A force on a member.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct MemberLoad {
    pub(super) member: MemberId,
    kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    /// A force at a place.
    Point(f64, Vector),
    /// The same force per length everywhere.
    Whole(Vector),
    /// A force per length between two places.
    Part([f64; 2], [Vector; 2]),
}

impl LoadCase {
    /// No load.
    pub fn new() -> Self {
        Self::default()
    }

    /// A force (N) or a moment (N·m) on a node.
    pub fn node(&mut self, node: NodeId, dof: Dof, value: f64) -> &mut Self {
        let mut load = [0.0; 6];
        load[dof.index()] = value;
        self.nodal.push((node, load));
        self
    }

    /// A force per length over a whole member.
    pub fn uniform(&mut self, member: MemberId, force: [f64; 3]) -> &mut Self {
        self.members.push(MemberLoad {
            member,
            kind: Kind::Whole(force),
        });
        self
    }

    /// A force per length over a part of a member, from its start, linear between its ends.
    pub fn trapezoid(&mut self, member: MemberId, x: [f64; 2], force: [[f64; 3]; 2]) -> &mut Self {
        self.members.push(MemberLoad {
            member,
            kind: Kind::Part(x, force),
        });
        self
    }

    /// A force at a distance from a member's start.
    pub fn point(&mut self, member: MemberId, x: f64, force: [f64; 3]) -> &mut Self {
        self.members.push(MemberLoad {
            member,
            kind: Kind::Point(x, force),
        });
        self
    }

    /// A movement of the fixed support of a node.
    pub fn settle(&mut self, node: NodeId, dof: Dof, value: f64) -> &mut Self {
        self.settlements.push((node, dof, value));
        self
    }

    /// A movement of the far end of a spring along its direction: of the ground, or of an end of a link that is too
    /// long by so much.
    pub fn settle_spring(&mut self, spring: SpringId, value: f64) -> &mut Self {
        self.spring_settlements.push((spring, value));
        self
    }

    /// Adds another case, multiplied by a factor.
    pub fn add(&mut self, factor: f64, other: &Self) -> &mut Self {
        self.nodal.extend(
            other
                .nodal
                .iter()
                .map(|(node, load)| (*node, load.map(|c| c * factor))),
        );
        self.members
            .extend(other.members.iter().map(|load| load.times(factor)));
        self.settlements.extend(
            other
                .settlements
                .iter()
                .map(|(node, dof, value)| (*node, *dof, value * factor)),
        );
        self.spring_settlements.extend(
            other
                .spring_settlements
                .iter()
                .map(|(spring, value)| (*spring, value * factor)),
        );
        self
    }
}

/// Forces by slot, and the sums of the sizes of forces and of moments.
pub(super) type OnSlots = (Vec<(usize, f64)>, [f64; 2]);

impl LoadCase {
    /// What the loads come to in the directions of the nodes that they touch, each as often as it is touched, and the
    /// sums of the sizes of forces and of moments. Ground does not move.
    pub(super) fn on_slots(&self, frame: &Frame) -> Result<OnSlots, FrameError> {
        let (mut slots, mut size) = (Vec::new(), [0.0; 2]);
        for (node, load) in &self.nodal {
            frame.place(*node)?;
            if !load.iter().all(|c| c.is_finite()) {
                return Err(FrameError::NotFinite(format!("a load on {node}")));
            }
            for (c, value) in load.iter().enumerate() {
                slots.push((6 * node.0 + c, *value));
                size[c / 3] += value.abs();
            }
        }
        for load in &self.members {
            load.check(frame)?;
            let Member { a, b, element } = &frame.members[load.member.0];
            let mut particular = Particular::default();
            size[0] += load.bring(element, &mut particular);
            for (node, end) in [a, b].into_iter().zip(particular.end_forces(element)) {
                let (force, moment) =
                    (element.global(part(&end, 0)), element.global(part(&end, 3)));
                let six = force.into_iter().chain(moment).enumerate();
                slots.extend(six.map(|(c, value)| (6 * node.0 + c, -value)));
            }
        }
        for (id, moved) in &self.spring_settlements {
            let spring = frame.spring_of(*id)?;
            if !moved.is_finite() {
                return Err(FrameError::NotFinite(format!("a movement of {id}")));
            }
            slots.extend(spring.terms().map(|(slot, d)| (slot, d * spring.k * moved)));
        }
        Ok((slots, size))
    }
}

impl Particular {
    /// Local forces on the ends of a member that keep them from moving.
    fn end_forces(&self, element: &Element) -> [[f64; 6]; 2] {
        let natural = element.forces(&self.free.map(|free| -free));
        let mut ends = element.end_forces(&natural);
        for (end, held) in ends.iter_mut().zip(self.held) {
            (0..3).for_each(|c| end[c] += held[c]);
        }
        ends
    }
}

impl MemberLoad {
    fn times(&self, factor: f64) -> Self {
        let kind = match self.kind {
            Kind::Point(x, force) => Kind::Point(x, scaled(force, factor)),
            Kind::Whole(force) => Kind::Whole(scaled(force, factor)),
            Kind::Part(x, force) => Kind::Part(x, force.map(|w| scaled(w, factor))),
        };
        Self { kind, ..*self }
    }

    /// The load across the span along one local axis: 0 along it, 1 upwards, 2 sideways.
    pub(super) fn along(&self, element: &Element, axis: usize) -> SpanLoad {
        let component = |w: Vector| dot(element.axes[axis], w);
        let ramp = |[from, to]: [f64; 2], [start, end]: [Vector; 2]| {
            let (start, end) = (component(start), component(end));
            SpanLoad::Ramp {
                from,
                to,
                start,
                end,
            }
        };
        match self.kind {
            Kind::Point(x, force) => SpanLoad::Point {
                x,
                force: component(force),
            },
            Kind::Whole(force) => ramp([0.0, element.length], [force, force]),
            Kind::Part(x, force) => ramp(x, force),
        }
    }

    /// Adds what it does to its member, simply held; gives its size.
    pub(super) fn bring(&self, element: &Element, particular: &mut Particular) -> f64 {
        let mut size = 0.0;
        let along = self.along(element, 0);
        if !along.is_nothing() {
            for (x, force) in along.points() {
                particular.held[0][0] -= force;
                particular.free[0] += force * x / element.ea;
                size += force.abs();
            }
        }
        // Upward slope is a positive turn about z, and a negative one about y.
        for (axis, sign, at) in [(1, 1.0, 2), (2, -1.0, 4)] {
            let along = self.along(element, axis);
            if along.is_nothing() {
                continue;
            }
            let mut held = SimplyHeld::default();
            held.add(element.length, &along);
            let ei = element.flexural[axis - 1].ei;
            for end in 0..2 {
                particular.held[end][axis] += held.reactions[end];
                particular.free[at + end] += sign * held.rotations[end] / ei;
            }
            size += along
                .points()
                .iter()
                .map(|(_, force)| force.abs())
                .sum::<f64>();
        }
        size
    }

    /// Its resultant and the sum of force times distance from the start, by components.
    fn resultant(&self, length: f64) -> [Vector; 2] {
        let ([from, to], [start, end]) = match self.kind {
            Kind::Point(x, force) => return [force, scaled(force, x)],
            Kind::Whole(force) => ([0.0, length], [force, force]),
            Kind::Part(x, force) => (x, force),
        };
        let total = scaled(plus(start, end), (to - from) / 2.0);
        let beyond = scaled(
            plus(start, scaled(end, 2.0)),
            (to - from) * (to - from) / 6.0,
        );
        [total, plus(scaled(total, from), beyond)]
    }

    fn check(&self, frame: &Frame) -> Result<(), FrameError> {
        let length = frame.element(self.member)?.length;
        let (x, force) = match self.kind {
            Kind::Point(x, force) => ([x, x], [force; 2]),
            Kind::Whole(force) => ([0.0, length], [force; 2]),
            Kind::Part(x, force) => (x, force),
        };
        if !x.iter().chain(force.as_flattened()).all(|n| n.is_finite()) {
            return Err(FrameError::NotFinite(format!("a load on {}", self.member)));
        }
        let slack = OVERSHOOT * length;
        if x[0] < -slack || x[1] > length + slack || x[0] > x[1] {
            return Err(FrameError::LoadOffMember {
                member: self.member,
                x,
                length,
            });
        }
        Ok(())
    }
}

/// What loads do to one member whose ends are simply held, its start keeping it from sliding.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Particular {
    /// The deformation.
    pub(super) free: Natural,
    /// Local forces on both ends that hold it.
    pub(super) held: [Vector; 2],
}

/// A load case brought to the nodes.
#[derive(Clone, Debug)]
pub(super) struct Prepared {
    /// Six for each node.
    pub(super) nodal: Vec<f64>,
    /// One for each member, or none at all.
    pub(super) members: Vec<Particular>,
    /// Movement of the far end of each spring.
    pub(super) springs: Vec<f64>,
    /// The resultant: forces, moments about the middle of the nodes.
    pub(super) resultant: [f64; 6],
    /// Sums of the sizes of forces and of moments.
    pub(super) size: [f64; 2],
}

impl Prepared {
    pub(super) fn new(frame: &Frame, loads: &LoadCase) -> Result<Self, FrameError> {
        let mut this = Self {
            nodal: vec![0.0; 6 * frame.nodes.len()],
            members: Vec::new(),
            springs: vec![0.0; frame.springs.len()],
            resultant: [0.0; 6],
            size: [0.0; 2],
        };
        for (node, load) in &loads.nodal {
            this.add_nodal(frame, *node, load)?;
        }
        if !loads.members.is_empty() {
            this.members = vec![Particular::default(); frame.members.len()];
        }
        for load in &loads.members {
            this.add_member(frame, load)?;
        }
        for (spring, value) in &loads.spring_settlements {
            frame.spring_of(*spring)?;
            if !value.is_finite() {
                return Err(FrameError::NotFinite(format!("a movement of {spring}")));
            }
            this.springs[spring.0] += value;
        }
        Ok(this)
    }

    fn add_nodal(
        &mut self,
        frame: &Frame,
        node: NodeId,
        load: &[f64; 6],
    ) -> Result<(), FrameError> {
        let place = frame.place(node)?;
        if !load.iter().all(|c| c.is_finite()) {
            return Err(FrameError::NotFinite(format!("a load on {node}")));
        }
        self.nodal[6 * node.0..6 * node.0 + 6]
            .iter_mut()
            .zip(load)
            .for_each(|(sum, c)| *sum += c);
        let (force, moment) = (part(load, 0), part(load, 3));
        self.size[0] += force.iter().map(|c| c.abs()).sum::<f64>();
        self.size[1] += moment.iter().map(|c| c.abs()).sum::<f64>();
        self.add_resultant(minus(place, frame.middle), force, moment);
        Ok(())
    }

    fn add_member(&mut self, frame: &Frame, load: &MemberLoad) -> Result<(), FrameError> {
        load.check(frame)?;
        let member = &frame.members[load.member.0];
        let element = &member.element;
        self.size[0] += load.bring(element, &mut self.members[load.member.0]);
        let [force, beyond] = load.resultant(element.length);
        let start = minus(frame.nodes[member.a.0], frame.middle);
        self.add_resultant(start, force, cross(element.axes[0], beyond));
        Ok(())
    }

    fn add_resultant(&mut self, arm: Vector, force: Vector, moment: Vector) {
        let turned = plus(cross(arm, force), moment);
        for c in 0..3 {
            self.resultant[c] += force[c];
            self.resultant[c + 3] += turned[c];
        }
    }
}
