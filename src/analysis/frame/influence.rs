//! Influence functions: the worth of any load for one displacement or one reaction, from a single solution.

use std::sync::Arc;

use super::change::{Probes, Variant};
use super::element::{dot, part};
use super::factored::Factored;
use super::load::{LoadCase, Particular, Prepared};
use super::{Dof, Frame, FrameError, Member, NodeId, SpringId, slot};

/// What one displacement or one reaction of a frame owes to its loads, by the theorem of Betti: the work of the loads
/// on the movements that a unit force there, or a unit movement of the support there, makes. One-way springs hold both
/// ways.
#[derive(Clone, Debug)]
pub struct Influence {
    frame: Arc<Frame>,
    movements: Vec<f64>,
    /// Forces that hold each slot in place under those movements.
    held: Vec<f64>,
    /// A spring whose own far end counts, and what it counts for.
    own: Option<(SpringId, f64)>,
}

impl Factored {
    /// The influence on the displacement of a node; its movements are those under a unit force there.
    ///
    /// # Errors
    /// A node of another frame, or a direction that is fixed or that nothing stiffens.
    pub fn influence_on_displacement(
        &self,
        node: NodeId,
        dof: Dof,
    ) -> Result<Influence, FrameError> {
        self.frame.place(node)?;
        if self.unknowns.equation[slot(node, dof)].is_none() {
            return Err(FrameError::Fixed { node, dof });
        }
        let mut loads = LoadCase::new();
        loads.node(node, dof, 1.0);
        self.influence(&loads, 1.0)
    }

    /// The influence on the reaction of a fixed support; its movements are those under a unit movement of the support
    /// away from the reaction.
    ///
    /// # Errors
    /// A node of another frame, or a direction that is not fixed.
    pub fn influence_on_reaction(&self, node: NodeId, dof: Dof) -> Result<Influence, FrameError> {
        let mut loads = LoadCase::new();
        loads.settle(node, dof, 1.0);
        self.influence(&loads, -1.0)
    }

    /// The influence on the tension of a spring or a link.
    ///
    /// # Errors
    /// A spring of another frame.
    pub fn influence_on_tension(&self, spring: SpringId) -> Result<Influence, FrameError> {
        let k = self.frame.spring_of(spring)?.k;
        let mut loads = LoadCase::new();
        loads.settle_spring(spring, 1.0);
        // A movement of its far end by 1 pushes the frame along the spring with k.
        let influence = self.influence(&loads, 1.0)?;
        Ok(Influence {
            own: Some((spring, -k)),
            ..influence
        })
    }

    /// Displacements of all nodes under a unit force on one direction of one node.
    ///
    /// # Errors
    /// A node of another frame, or a direction that nothing stiffens.
    pub fn unit_displacements(&self, node: NodeId, dof: Dof) -> Result<Vec<[f64; 6]>, FrameError> {
        let influence = self.influence_on_displacement(node, dof)?;
        let nodes = influence.movements.chunks_exact(6);
        Ok(nodes.map(|six| std::array::from_fn(|c| six[c])).collect())
    }

    fn influence(&self, loads: &LoadCase, sign: f64) -> Result<Influence, FrameError> {
        let solution = Variant::unchanged(self, &Probes::default()).solve(loads)?;
        let prepared = Prepared::new(&self.frame, loads)?;
        let state = self.evaluate(&solution.movements, &prepared, &self.stiffness());
        Ok(Influence {
            frame: Arc::clone(&self.frame),
            movements: solution.movements.iter().map(|u| sign * u).collect(),
            held: state.nodal.iter().map(|f| sign * f).collect(),
            own: None,
        })
    }
}

impl Influence {
    /// What a unit load on a node is worth, in the six global directions.
    ///
    /// # Errors
    /// A node of another frame.
    pub fn at(&self, node: NodeId) -> Result<[f64; 6], FrameError> {
        self.frame.place(node)?;
        Ok(std::array::from_fn(|c| self.movements[6 * node.0 + c]))
    }

    /// What a load case contributes, its prescribed movements included (these must be of fixed supports).
    ///
    /// # Errors
    /// Loads that are not finite or have no place.
    pub fn of(&self, loads: &LoadCase) -> Result<f64, FrameError> {
        let prepared = Prepared::new(&self.frame, loads)?;
        let mut worth: f64 = prepared
            .nodal
            .iter()
            .zip(&self.movements)
            .map(|(f, u)| f * u)
            .sum();
        worth += self
            .frame
            .members
            .iter()
            .zip(&prepared.members)
            .map(|(member, loaded)| self.on_member(member, loaded))
            .sum::<f64>();
        for &(node, dof, value) in &loads.settlements {
            worth -= self.held[slot(node, dof)] * value;
        }
        for (spring, moved) in self.frame.springs.iter().zip(&prepared.springs) {
            worth += spring.k
                * moved
                * spring
                    .terms()
                    .map(|(slot, d)| d * self.movements[slot])
                    .sum::<f64>();
        }
        if let Some((spring, factor)) = self.own {
            worth += factor * prepared.springs[spring.0];
        }
        if worth.is_finite() {
            Ok(worth)
        } else {
            Err(FrameError::NotFinite("an influence".to_owned()))
        }
    }

    /// Work of the loads along a member, brought to its ends as they would be if these were held.
    fn on_member(&self, member: &Member, loaded: &Particular) -> f64 {
        let Member { a, b, element } = member;
        let [i, j] = [a, b].map(|node| &self.movements[6 * node.0..6 * node.0 + 6]);
        let forces = element.forces(&loaded.free);
        let bent: f64 = element
            .deformation(i, j)
            .iter()
            .zip(forces)
            .map(|(d, f)| d * f)
            .sum();
        let carried = |six: &[f64], held| dot(element.local(part(six, 0)), held);
        bent - carried(i, loaded.held[0]) - carried(j, loaded.held[1])
    }
}
