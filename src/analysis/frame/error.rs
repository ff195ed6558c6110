//! Why a frame has no answer, in words that name the part.

use std::fmt;

use super::{Dof, MemberId, NodeId, Probe, SpringId};

/// Nodes named in a message before it says how many more there are.
const NAMED: usize = 6;

/// How one node takes part in a motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// The node.
    pub node: NodeId,
    /// Its translation.
    pub translation: [f64; 3],
    /// Its rotation (per metre, if any node of the motion translates).
    pub rotation: [f64; 3],
}

/// A motion of the structure that nothing resists, scaled to a largest translation of 1 (or rotation, if none
/// translates). Nodes that stay put are left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Mode(pub Vec<Motion>);

/// How well a solution balances, as fractions of the loads.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Balance {
    /// The largest force or moment left over at any node.
    pub residual: f64,
    /// Loads plus reactions of the whole: three forces, then three moments about the middle of the nodes.
    pub equilibrium: [f64; 6],
    /// Sum of the loads' forces (N).
    pub loads: [f64; 3],
    /// Sum of the sizes of the loads' forces, moments counted over the extent of the frame (N).
    pub size: f64,
}

/// Why a frame cannot be solved.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FrameError {
    /// Infinity or not a number.
    #[error("{0} is not a finite number")]
    NotFinite(String),
    /// A stiffness or a dimension below zero, or zero where that has no meaning.
    #[error("{0} is not positive")]
    NotPositive(String),
    /// A stiffness matrix of the wrong size or not symmetric.
    #[error("the stiffness matrix of {0} is not symmetric and of its size")]
    NotSymmetric(String),
    /// Both ends of a member or a link are at one place.
    #[error("a member from {a} to {b} has no length")]
    ZeroLength {
        /// Its start.
        a: NodeId,
        /// Its end.
        b: NodeId,
    },
    /// A node, section, member, spring or coupling that belongs to another frame.
    #[error("{0} does not belong to this frame")]
    Unknown(String),
    /// Nothing stiffens or holds these.
    #[error("nothing holds {}", list(.0, |(node, dof)| format!("{node} in {dof}")))]
    Idle(Vec<(NodeId, Dof)>),
    /// A load on a degree of freedom that nothing stiffens and that was dropped.
    #[error("{node} carries a load in {dof}, which nothing holds")]
    LoadOnIdle {
        /// The node.
        node: NodeId,
        /// The direction.
        dof: Dof,
    },
    /// The structure can move.
    #[error("the structure can move: {}", list(.0, ToString::to_string))]
    Mechanism(Vec<Mode>),
    /// A coupling or a spring matrix pushes instead of holding.
    #[error("the stiffness is negative against this motion: {0}")]
    NegativeStiffness(Mode),
    /// A member load lies beyond the member's ends, or ends before it begins.
    #[error("a load from {} m to {} m does not lie on {member}, {length} m long", .x[0], .x[1])]
    LoadOffMember {
        /// The member.
        member: MemberId,
        /// From and to.
        x: [f64; 2],
        /// The member's length.
        length: f64,
    },
    /// A movement is prescribed where nothing is fixed, or twice with different values.
    #[error(
        "the movement prescribed for {node} in {dof} needs a fixed support there, and one value"
    )]
    Settlement {
        /// The node.
        node: NodeId,
        /// The direction.
        dof: Dof,
    },
    /// A change of stiffness, or the influence on a movement, was asked for at a fixed support.
    #[error("{node} is fixed in {dof}")]
    Fixed {
        /// The node.
        node: NodeId,
        /// The direction.
        dof: Dof,
    },
    /// A place for a change of stiffness was asked for twice.
    #[error("{0} is asked for twice")]
    Repeated(Probe),
    /// One-way springs did not settle into holding or open.
    #[error("one-way supports did not settle in {steps} steps; still in doubt: {}", list(.doubtful, ToString::to_string))]
    LiftOff {
        /// Steps tried.
        steps: usize,
        /// Springs that hold against their sense, or are open and overlap.
        doubtful: Vec<SpringId>,
    },
    /// The numbers do not balance well enough to be believed.
    #[error("the solution does not balance (residual {:e}, equilibrium {:e} of the loads)", .0.residual, .0.worst())]
    Equilibrium(Balance),
}

impl Balance {
    /// The largest fraction out of balance in any of the six directions.
    pub fn worst(&self) -> f64 {
        self.equilibrium
            .iter()
            .fold(0.0, |worst, e| worst.max(e.abs()))
    }
}

fn list<T>(items: &[T], show: impl Fn(&T) -> String) -> String {
    let mut words: Vec<String> = items.iter().take(NAMED).map(show).collect();
    if items.len() > NAMED {
        words.push(format!("and {} more", items.len() - NAMED));
    }
    words.join(", ")
}

impl fmt::Display for Mode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", list(&self.0, ToString::to_string))
    }
}

impl fmt::Display for Motion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts = self.translation.iter().chain(&self.rotation).zip(Dof::ALL);
        let moves: Vec<String> = parts
            .filter(|(v, _)| v.abs() > f64::EPSILON)
            .map(|(v, dof)| format!("{v:+.2} in {dof}"))
            .collect();
        write!(f, "{} by {}", self.node, moves.join(" and "))
    }
}
