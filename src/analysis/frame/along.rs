//! What happens along a member under movements of the unknowns, without a solution of its own.

use std::collections::BTreeMap;

use super::element::{Element, part};
use super::load::{LoadCase, MemberLoad, Particular};
use super::solution::Diagram;
use super::{Factored, FrameError, MemberId, NodeId};
use crate::analysis::skyline::TOGETHER;

/// Loads along members, by member.
#[derive(Clone, Debug, Default)]
pub struct LoadsByMember(BTreeMap<usize, Vec<MemberLoad>>);

impl LoadsByMember {
    /// Adds those of a load case.
    pub fn add(&mut self, loads: &LoadCase) {
        for load in &loads.members {
            self.0.entry(load.member.0).or_default().push(*load);
        }
    }

    fn of(&self, member: MemberId) -> &[MemberLoad] {
        self.0.get(&member.0).map_or(&[], Vec::as_slice)
    }
}

/// Moments, shear, axial force and movement up along a member.
#[derive(Clone, Debug)]
pub enum Along {
    /// Nothing acts between its ends.
    Free {
        /// Moment upright at the start and its slope, the shear.
        moment: [f64; 2],
        /// Moment sideways at the start and its slope.
        sideways: [f64; 2],
        /// Tension.
        axial: f64,
        /// Movement up: coefficients of 1, x, x², x³.
        up: [f64; 4],
    },
    /// With loads between its ends.
    Loaded(Box<Diagram>),
}

impl Factored {
    /// Along a member under one of several sets of movements, with its own loads; none where nothing of all that is there.
    ///
    /// # Errors
    /// A member of another frame.
    pub fn along_member(
        &self,
        member: MemberId,
        movements: &[[f64; TOGETHER]],
        set: usize,
        loads: &LoadsByMember,
    ) -> Result<Option<Along>, FrameError> {
        let element = self.frame.element(member)?;
        let six = |node: NodeId| -> [f64; 6] {
            std::array::from_fn(|c| {
                let equation = self.unknowns.equation[6 * node.0 + c];
                equation.map_or(0.0, |equation| movements[equation][set])
            })
        };
        let own = &self.frame.members[member.0];
        let (i, j) = (six(own.a), six(own.b));
        let loads = loads.of(member);
        let still = |end: &[f64; 6]| end.iter().all(|part| part.abs() <= 0.0);
        if loads.is_empty() && still(&i) && still(&j) {
            return Ok(None);
        }
        let mut particular = Particular::default();
        for load in loads {
            load.bring(element, &mut particular);
        }
        let mut deformation = element.deformation(&i, &j);
        for (deformed, free) in deformation.iter_mut().zip(particular.free) {
            *deformed -= free;
        }
        let mut ends = element.end_forces(&element.forces(&deformation));
        for (end, held) in ends.iter_mut().zip(particular.held) {
            (0..3).for_each(|c| end[c] += held[c]);
        }
        let moved = [i, j].map(|six| element.local(part(&six, 0)));
        Ok(Some(if loads.is_empty() {
            Along::free(element, ends[0], [moved[0][1], moved[1][1]])
        } else {
            Along::Loaded(Box::new(Diagram::new(element, ends, moved, loads)))
        }))
    }
}

impl Along {
    /// From the forces on the start and the movements up of both ends: EI·v″ = M, less the shear's share.
    fn free(element: &Element, [n, vy, vz, _, my, mz]: [f64; 6], [start, end]: [f64; 2]) -> Self {
        let flexural = element.flexural[0];
        let (m, length) = (-mz, element.length);
        let (bent, sheared) = (
            (m / 2.0 + vy * length / 6.0) * length / flexural.ei,
            flexural.shear * vy,
        );
        let tilt = (end - start) / length - bent + sheared;
        Self::Free {
            moment: [m, vy],
            sideways: [my, vz],
            axial: -n,
            up: [
                start,
                tilt - sheared,
                m / (2.0 * flexural.ei),
                vy / (6.0 * flexural.ei),
            ],
        }
    }

    /// Moment upright and sideways, shear, axial force and movement up at a distance from the member's start.
    pub fn at(&self, x: f64) -> [f64; 5] {
        match self {
            Self::Free {
                moment,
                sideways,
                axial,
                up: [a, b, c, d],
            } => [
                moment[0] + moment[1] * x,
                sideways[0] + sideways[1] * x,
                moment[1],
                *axial,
                a + x * (b + x * (c + x * d)),
            ],
            Self::Loaded(diagram) => [
                diagram.upright.moment.at(x),
                diagram.sideways.moment.at(x),
                diagram.upright.shear.at(x),
                diagram.axial.at(x),
                diagram.upright.deflection.at(x),
            ],
        }
    }
}
