//! A solved load case: movements, reactions, and what happens along the members.

use std::sync::Arc;

use super::element::{Element, Natural, Vector, part, plus};
use super::factored::Unknowns;
use super::load::{LoadCase, MemberLoad, Particular};
use super::{Balance, CouplingId, Frame, FrameError, MemberId, NodeId, SpringId};
use crate::analysis::span::{Bending, Curve, Extreme, axial};

/// A solved load case.
#[derive(Clone, Debug)]
pub struct Solution {
    pub(super) frame: Arc<Frame>,
    pub(super) unknowns: Arc<Unknowns>,
    pub(super) loads: LoadCase,
    pub(super) loaded: Vec<Particular>,
    pub(super) movements: Vec<f64>,
    pub(super) members: Vec<Natural>,
    /// Forces of fixed supports, springs and spring matrices on the nodes.
    pub(super) reactions: Vec<f64>,
    /// Forces of ties on the nodes, one for each tied slot.
    pub(super) ties: Vec<f64>,
    pub(super) springs: Vec<f64>,
    pub(super) open: Vec<SpringId>,
    pub(super) balance: Balance,
}

/// Forces inside a member at a place: those of the part beyond it on the part before it, in local axes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Internal {
    /// Axial force, tension positive (N).
    pub n: f64,
    /// Shear along local y (N).
    pub vy: f64,
    /// Shear along local z (N).
    pub vz: f64,
    /// Torque (N·m).
    pub t: f64,
    /// Moment about local y (N·m).
    pub my: f64,
    /// Moment about local z, positive sagging (N·m).
    pub mz: f64,
}

/// Everything along one member.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagram {
    axes: [Vector; 3],
    /// Axial force, tension positive, along the member.
    pub axial: Curve,
    /// Movement along the member's axis.
    pub stretch: Curve,
    /// Torque, the same everywhere.
    pub torque: f64,
    /// Bending up and down; its moment is Mz.
    pub upright: Bending,
    /// Bending sideways, towards local z; its moment is −My.
    pub sideways: Bending,
}

/// The extreme values along a line of members, each at its distance from the line's start.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GroupExtremes {
    /// Largest moment about local z: sagging.
    pub sagging: Extreme,
    /// Smallest moment about local z: hogging, if negative.
    pub hogging: Extreme,
    /// Moment about local y of the largest size.
    pub sideways: Extreme,
    /// Shear along local y of the largest size.
    pub shear: Extreme,
    /// Shear along local z of the largest size.
    pub side_shear: Extreme,
    /// Torque of the largest size.
    pub torque: Extreme,
    /// Largest tension.
    pub tension: Extreme,
    /// Smallest tension: compression, if negative.
    pub compression: Extreme,
    /// Largest movement along local y.
    pub up: Extreme,
    /// Smallest movement along local y: down, if negative.
    pub down: Extreme,
}

impl Solution {
    /// Movements of a node in the six global directions.
    ///
    /// # Errors
    /// A node of another frame.
    pub fn displacement(&self, node: NodeId) -> Result<[f64; 6], FrameError> {
        self.six(&self.movements, node)
    }

    /// What fixed supports, springs and spring matrices put on a node, in the six global directions.
    ///
    /// # Errors
    /// A node of another frame.
    pub fn reaction(&self, node: NodeId) -> Result<[f64; 6], FrameError> {
        self.six(&self.reactions, node)
    }

    /// What ties to other nodes put on a node, in the six global directions.
    ///
    /// # Errors
    /// A node of another frame.
    pub fn tie_force(&self, node: NodeId) -> Result<[f64; 6], FrameError> {
        self.frame.place(node)?;
        let mut six = [0.0; 6];
        let here = self
            .unknowns
            .tied
            .iter()
            .zip(&self.ties)
            .filter(|(slot, _)| *slot / 6 == node.0);
        here.for_each(|(slot, force)| six[slot % 6] = *force);
        Ok(six)
    }

    /// The tension of a spring or a link: its force on its node is this against its direction.
    ///
    /// # Errors
    /// A spring of another frame.
    pub fn tension(&self, spring: SpringId) -> Result<f64, FrameError> {
        self.springs
            .get(spring.0)
            .copied()
            .ok_or_else(|| FrameError::Unknown(spring.to_string()))
    }

    /// What a coupling puts on its nodes, in the order of its directions.
    ///
    /// # Errors
    /// A coupling of another frame.
    pub fn coupling_forces(&self, coupling: CouplingId) -> Result<Vec<f64>, FrameError> {
        let found = self
            .frame
            .couplings
            .get(coupling.0)
            .ok_or_else(|| FrameError::Unknown(coupling.to_string()))?;
        Ok(found.forces(&self.movements).collect())
    }

    /// One-way springs that have opened.
    pub fn open(&self) -> &[SpringId] {
        &self.open
    }

    /// How well the solution balances.
    pub fn balance(&self) -> &Balance {
        &self.balance
    }

    /// The load case it answers.
    pub fn loads(&self) -> &LoadCase {
        &self.loads
    }

    /// Forces of the nodes on both ends of a member, in local axes: N, Vy, Vz, T, My, Mz.
    ///
    /// # Errors
    /// A member of another frame.
    pub fn end_forces(&self, member: MemberId) -> Result<[[f64; 6]; 2], FrameError> {
        let element = self.frame.element(member)?;
        let mut ends = element.end_forces(&self.members[member.0]);
        if let Some(loaded) = self.loaded.get(member.0) {
            ends.iter_mut()
                .zip(loaded.held)
                .for_each(|(end, held)| (0..3).for_each(|c| end[c] += held[c]));
        }
        Ok(ends)
    }

    /// Forces inside a member at a distance from its start; where they jump, just beyond the jump.
    ///
    /// # Errors
    /// A member of another frame.
    pub fn internal(&self, member: MemberId, x: f64) -> Result<Internal, FrameError> {
        Ok(self.diagram(member)?.internal(x))
    }

    /// Everything along a member.
    ///
    /// # Errors
    /// A member of another frame.
    pub fn diagram(&self, member: MemberId) -> Result<Diagram, FrameError> {
        let element = self.frame.element(member)?;
        let [a, b] = [
            self.frame.members[member.0].a,
            self.frame.members[member.0].b,
        ];
        let moved = [a, b].map(|node| element.local(part(&self.movements[6 * node.0..], 0)));
        let own = self.loads.members.iter();
        let own: Vec<MemberLoad> = own.filter(|load| load.member == member).copied().collect();
        Ok(Diagram::new(element, self.end_forces(member)?, moved, &own))
    }

    /// The extreme values along members that form a line, exactly for loads that are linear by pieces.
    ///
    /// # Errors
    /// A member of another frame.
    pub fn extremes(&self, members: &[MemberId]) -> Result<GroupExtremes, FrameError> {
        let mut group: Option<GroupExtremes> = None;
        let mut start = 0.0;
        for &member in members {
            let own = self.diagram(member)?.extremes(start);
            group = Some(group.map_or(own, |group| group.with(&own)));
            start += self.frame.element(member)?.length;
        }
        Ok(group.unwrap_or_default())
    }

    fn six(&self, values: &[f64], node: NodeId) -> Result<[f64; 6], FrameError> {
        self.frame.place(node)?;
        Ok(std::array::from_fn(|c| values[6 * node.0 + c]))
    }
}

impl Diagram {
    /// From the forces on both ends of a member, their movements in local axes, and its loads.
    pub(super) fn new(
        element: &Element,
        [[n, vy, vz, _, my, mz], [_, _, _, torque, _, _]]: [[f64; 6]; 2],
        [start, end]: [Vector; 2],
        loads: &[MemberLoad],
    ) -> Self {
        let along = |axis| {
            let loads = loads.iter().map(|load| load.along(element, axis));
            loads.collect::<Vec<_>>()
        };
        let bending = |axis: usize, moment, force| {
            let held = [(0.0, start[axis]), (element.length, end[axis])];
            Bending::new(
                element.flexural[axis - 1],
                element.length,
                [moment, force],
                held,
                &along(axis),
            )
        };
        let (axial, stretch) = axial(element.length, element.ea, -n, start[0], &along(0));
        Self {
            axes: element.axes,
            axial,
            stretch,
            torque,
            upright: bending(1, -mz, vy),
            sideways: bending(2, my, vz),
        }
    }

    /// Forces inside the member at a distance from its start.
    pub fn internal(&self, x: f64) -> Internal {
        Internal {
            n: self.axial.at(x),
            vy: -self.upright.shear.at(x),
            vz: -self.sideways.shear.at(x),
            t: self.torque,
            my: -self.sideways.moment.at(x),
            mz: self.upright.moment.at(x),
        }
    }

    /// Movement of the member's axis at a distance from its start, along local x, y and z.
    pub fn local_displacement(&self, x: f64) -> [f64; 3] {
        [
            self.stretch.at(x),
            self.upright.deflection.at(x),
            self.sideways.deflection.at(x),
        ]
    }

    /// The same along global x, y and z.
    pub fn displacement(&self, x: f64) -> [f64; 3] {
        let local = self.local_displacement(x);
        let parts = std::array::from_fn::<Vector, 3, _>(|k| self.axes[k].map(|c| c * local[k]));
        plus(plus(parts[0], parts[1]), parts[2])
    }

    fn extremes(&self, start: f64) -> GroupExtremes {
        let both = |curve: &Curve| curve.extremes();
        let widest = |curve: &Curve| {
            let (low, high) = curve.extremes();
            wider(high, low)
        };
        let (hogging, sagging) = both(&self.upright.moment);
        let (compression, tension) = both(&self.axial);
        let (down, up) = both(&self.upright.deflection);
        let negated = |e: Extreme| Extreme {
            value: -e.value,
            ..e
        };
        GroupExtremes {
            sagging,
            hogging,
            sideways: negated(widest(&self.sideways.moment)),
            shear: negated(widest(&self.upright.shear)),
            side_shear: negated(widest(&self.sideways.shear)),
            torque: Extreme {
                value: self.torque,
                x: 0.0,
            },
            tension,
            compression,
            up,
            down,
        }
        .map(|e| Extreme {
            x: e.x + start,
            ..e
        })
    }
}

/// The greater in size.
fn wider(a: Extreme, b: Extreme) -> Extreme {
    if b.value.abs() > a.value.abs() { b } else { a }
}

impl GroupExtremes {
    fn map(self, f: impl Fn(Extreme) -> Extreme) -> Self {
        Self {
            sagging: f(self.sagging),
            hogging: f(self.hogging),
            sideways: f(self.sideways),
            shear: f(self.shear),
            side_shear: f(self.side_shear),
            torque: f(self.torque),
            tension: f(self.tension),
            compression: f(self.compression),
            up: f(self.up),
            down: f(self.down),
        }
    }

    fn with(self, other: &Self) -> Self {
        Self {
            sagging: self.sagging.max(other.sagging),
            hogging: self.hogging.min(other.hogging),
            sideways: wider(self.sideways, other.sideways),
            shear: wider(self.shear, other.shear),
            side_shear: wider(self.side_shear, other.side_shear),
            torque: wider(self.torque, other.torque),
            tension: self.tension.max(other.tension),
            compression: self.compression.min(other.compression),
            up: self.up.max(other.up),
            down: self.down.min(other.down),
        }
    }
}
