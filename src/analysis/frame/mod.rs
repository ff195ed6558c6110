//! Linear frames in space: straight members on springs, links and fixed supports.
//!
//! Plain `f64` in SI units (N, m, rad); small displacements. A frame is put together with [`Frame`], brought into a
//! solvable form once by [`Frame::factorize`], and asked for any number of load cases, influence values and changes
//! of springs through [`Factored`].
//!
//! # Conventions
//!
//! - Global x and y are level, z is up. Six directions at a node: [`Dof`].
//! - Local axes of a member: x from its start to its end; z = x × up, level; y = z × x, upwards. For a plumb member
//!   z is global y. `iz` bends in the plane of local x and y (about z), `iy` about y.
//! - Forces at the ends of a member are those of the nodes on the member, in local axes: N, Vy, Vz, T, My, Mz.
//! - Reactions are the forces of supports and springs on the frame, in global axes.
//!
//! ```rust
//! use barkline::analysis::frame::{Dof, Frame, LoadCase, Releases, Section};
//!
//! let mut frame = Frame::new();
//! let [left, right] = [0.0, 4.0].map(|x| frame.node([x, 0.0, 0.0]));
//! let section = frame.section(Section { e: 11e9, g: 0.69e9, a: 0.03, iy: 25e-6, iz: 225e-6, j: 79e-6, shear_y: None, shear_z: None });
//! let beam = frame.member(left, right, section, Releases::NONE)?;
//! for dof in [Dof::Ux, Dof::Uy, Dof::Rx, Dof::Rz] {
//!     frame.fix_all(dof);
//! }
//! frame.spring(left, Dof::Uz, 8e6);
//! frame.spring(right, Dof::Uz, 8e6);
//!
//! let mut loads = LoadCase::new();
//! loads.uniform(beam, [0.0, 0.0, -3000.0]);
//! let solution = frame.factorize()?.solve(&loads)?;
//! assert!((solution.reaction(left)?[2] - 6000.0).abs() < 1e-6);
//! assert!((solution.internal(beam, 2.0)?.mz - 6000.0).abs() < 1e-6);
//! # Ok::<(), barkline::analysis::frame::FrameError>(())
//! ```

mod along;
mod change;
mod element;
mod error;
mod factored;
mod influence;
mod load;
mod numbering;
mod solution;
#[cfg(test)]
mod tests;

use std::fmt;

use nalgebra::DMatrix;

pub use along::{Along, LoadsByMember};
pub use change::{Probe, Probes, Variant};
pub use error::{Balance, FrameError, Mode, Motion};
pub use factored::{Factored, Sparse};
pub use influence::Influence;
pub use load::LoadCase;
pub use solution::{Diagram, GroupExtremes, Internal, Solution};

use element::{Element, Vector, cross, minus, unit};

/// A stiffness matrix may differ from its transpose by this fraction of its largest entry: rounding.
const SYMMETRY: f64 = 1e-9;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident, $word:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub(crate) usize);

        impl $name {
            /// Its place in the order of creation, from 0.
            pub fn index(self) -> usize {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!($word, " {}"), self.0)
            }
        }
    };
}

id!(
    /// A node of a frame.
    NodeId, "node"
);
id!(
    /// A section of a frame.
    SectionId, "section"
);
id!(
    /// A member of a frame.
    MemberId, "member"
);
id!(
    /// A spring or a link of a frame.
    SpringId, "spring"
);
id!(
    /// A stiffness matrix on some directions of a frame.
    CouplingId, "coupling"
);

/// A direction of movement at a node: along, or about, a global axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dof {
    /// Along x.
    Ux,
    /// Along y.
    Uy,
    /// Along z, upwards.
    Uz,
    /// About x.
    Rx,
    /// About y.
    Ry,
    /// About z.
    Rz,
}

impl Dof {
    /// All six, in order.
    pub const ALL: [Self; 6] = [Self::Ux, Self::Uy, Self::Uz, Self::Rx, Self::Ry, Self::Rz];

    /// Its place among the six.
    pub fn index(self) -> usize {
        self as usize
    }
}

impl fmt::Display for Dof {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(
            [
                "x",
                "y",
                "z",
                "rotation about x",
                "rotation about y",
                "rotation about z",
            ][self.index()],
        )
    }
}

/// Material and section of a member.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Modulus of elasticity E (Pa).
    pub e: f64,
    /// Shear modulus G (Pa).
    pub g: f64,
    /// Area (m²).
    pub a: f64,
    /// Second moment of area about local y: bending sideways (m⁴).
    pub iy: f64,
    /// Second moment of area about local z: bending up and down (m⁴).
    pub iz: f64,
    /// Torsion constant (m⁴).
    pub j: f64,
    /// Shear area κA for shear along local y (m²); none leaves out the shear flexibility.
    pub shear_y: Option<f64>,
    /// The same along local z.
    pub shear_z: Option<f64>,
}

impl Section {
    fn check(&self) -> Result<(), FrameError> {
        let positive = [
            (self.e, "E"),
            (self.g, "G"),
            (self.a, "A"),
            (self.iy, "Iy"),
            (self.iz, "Iz"),
            (self.j, "J"),
        ];
        let shear = [
            (self.shear_y, "the shear area along y"),
            (self.shear_z, "the shear area along z"),
        ];
        let shear = shear
            .into_iter()
            .filter_map(|(value, name)| value.map(|value| (value, name)));
        positive
            .into_iter()
            .chain(shear)
            .try_for_each(|(value, name)| check_positive(value, || format!("{name} of a section")))
    }
}

/// What an end of a member does not pass on to its node.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct End {
    /// The moment about local y.
    pub about_y: bool,
    /// The moment about local z.
    pub about_z: bool,
    /// The torque.
    pub torsion: bool,
}

impl End {
    /// A hinge: no moment about local y or z.
    pub const HINGE: Self = Self {
        about_y: true,
        about_z: true,
        torsion: false,
    };
}

/// The releases of both ends of a member.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Releases {
    /// At its start.
    pub i: End,
    /// At its end.
    pub j: End,
}

impl Releases {
    /// Both ends pass on everything.
    pub const NONE: Self = Self {
        i: End {
            about_y: false,
            about_z: false,
            torsion: false,
        },
        j: End {
            about_y: false,
            about_z: false,
            torsion: false,
        },
    };
    /// Both ends are hinges; torque passes.
    pub const HINGED: Self = Self {
        i: End::HINGE,
        j: End::HINGE,
    };
    /// Both ends are hinges and no torque passes: a bar of a truss.
    pub const BAR: Self = Self {
        i: End {
            torsion: true,
            ..End::HINGE
        },
        j: End::HINGE,
    };
}

/// The sense in which a spring or a link acts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Acts {
    /// Both ways.
    #[default]
    Both,
    /// Only against movement in the negative direction, as a bearing against downward movement; a link only in
    /// compression.
    Push,
    /// Only against movement in the positive direction; a link only in tension.
    Pull,
}

#[derive(Clone, Debug)]
struct Member {
    a: NodeId,
    b: NodeId,
    element: Element,
}

/// An elastic tie between a node and the ground, or between two nodes, along one direction.
#[derive(Clone, Debug)]
struct Spring {
    a: NodeId,
    /// The other end, and what of the movement of `a` counts against it.
    b: Option<(NodeId, [f64; 6])>,
    /// Its stretch is this times the movement of `a` against the ground, or of `b` less what `a` counts.
    direction: [f64; 6],
    k: f64,
    acts: Acts,
}

impl Spring {
    /// Nonzero coefficients of its stretch, by slot (six slots for each node).
    fn terms(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        let ends = match &self.b {
            None => [Some((self.a, &self.direction, 1.0)), None],
            Some((b, near)) => [Some((self.a, near, -1.0)), Some((*b, &self.direction, 1.0))],
        };
        ends.into_iter().flatten().flat_map(|(node, along, sign)| {
            along
                .iter()
                .enumerate()
                .map(move |(c, d)| (6 * node.0 + c, sign * d))
                .filter(|(_, d)| *d != 0.0)
        })
    }
}

#[derive(Clone, Debug)]
struct Coupling {
    slots: Vec<usize>,
    matrix: DMatrix<f64>,
    /// Whether its forces are those of a support.
    grounded: bool,
}

/// A frame being put together.
#[derive(Clone, Debug, Default)]
pub struct Frame {
    nodes: Vec<Vector>,
    sections: Vec<Section>,
    members: Vec<Member>,
    fixed: Vec<(NodeId, Dof)>,
    fixed_everywhere: [bool; 6],
    springs: Vec<Spring>,
    couplings: Vec<Coupling>,
    ties: Vec<(NodeId, NodeId, Dof)>,
    drop_idle: bool,
    /// Moments of the whole are taken about this place; set when the frame is factorized.
    middle: Vector,
}

impl Frame {
    /// A frame of nothing.
    pub fn new() -> Self {
        Self::default()
    }

    /// A node at a place (m).
    pub fn node(&mut self, place: [f64; 3]) -> NodeId {
        self.nodes.push(place);
        NodeId(self.nodes.len() - 1)
    }

    /// A section for members.
    pub fn section(&mut self, section: Section) -> SectionId {
        self.sections.push(section);
        SectionId(self.sections.len() - 1)
    }

    /// A straight member from `a` to `b`.
    ///
    /// # Errors
    /// Nodes or a section of another frame, a section that is not positive, two nodes at one place.
    pub fn member(
        &mut self,
        a: NodeId,
        b: NodeId,
        section: SectionId,
        releases: Releases,
    ) -> Result<MemberId, FrameError> {
        let section = self
            .sections
            .get(section.0)
            .ok_or_else(|| FrameError::Unknown(section.to_string()))?;
        section.check()?;
        let (from, to) = (self.place(a)?, self.place(b)?);
        let element =
            Element::new(from, to, section, releases).ok_or(FrameError::ZeroLength { a, b })?;
        self.members.push(Member { a, b, element });
        Ok(MemberId(self.members.len() - 1))
    }

    /// Holds a node in one direction.
    pub fn fix(&mut self, node: NodeId, dof: Dof) {
        self.fixed.push((node, dof));
    }

    /// Holds every node in one direction.
    pub fn fix_all(&mut self, dof: Dof) {
        self.fixed_everywhere[dof.index()] = true;
    }

    /// A spring to the ground in one direction (N/m, N·m/rad).
    pub fn spring(&mut self, node: NodeId, dof: Dof, k: f64) -> SpringId {
        let mut direction = [0.0; 6];
        direction[dof.index()] = 1.0;
        self.push_spring(Spring {
            a: node,
            b: None,
            direction,
            k,
            acts: Acts::Both,
        })
    }

    /// A spring to the ground along an axis of any length but zero (N/m).
    pub fn spring_along(&mut self, node: NodeId, axis: [f64; 3], k: f64) -> SpringId {
        let [x, y, z] = unit(axis).0;
        self.push_spring(Spring {
            a: node,
            b: None,
            direction: [x, y, z, 0.0, 0.0, 0.0],
            k,
            acts: Acts::Both,
        })
    }

    /// A spring to the ground against rotation about an axis of any length but zero (N·m/rad).
    pub fn rotation_spring_about(&mut self, node: NodeId, axis: [f64; 3], k: f64) -> SpringId {
        let [x, y, z] = unit(axis).0;
        self.push_spring(Spring {
            a: node,
            b: None,
            direction: [0.0, 0.0, 0.0, x, y, z],
            k,
            acts: Acts::Both,
        })
    }

    /// An axial spring between two nodes (N/m); positive stretch is tension.
    ///
    /// # Errors
    /// Nodes of another frame, or two nodes at one place.
    pub fn link(&mut self, a: NodeId, b: NodeId, k: f64) -> Result<SpringId, FrameError> {
        let ([x, y, z], length) = unit(minus(self.place(b)?, self.place(a)?));
        if length > 0.0 {
            let along = [x, y, z, 0.0, 0.0, 0.0];
            Ok(self.push_spring(Spring {
                a,
                b: Some((b, along)),
                direction: along,
                k,
                acts: Acts::Both,
            }))
        } else {
            Err(FrameError::ZeroLength { a, b })
        }
    }

    /// A spring along an axis of any length but zero between `b` and the place of `b` on a rigid arm from `a` (N/m): it
    /// stretches as `b` moves away from where `a` would carry it. The two may be at one place.
    ///
    /// # Errors
    /// Nodes of another frame.
    pub fn spring_on_arm(
        &mut self,
        a: NodeId,
        b: NodeId,
        axis: [f64; 3],
        k: f64,
    ) -> Result<SpringId, FrameError> {
        let (along, _) = unit(axis);
        let arm = cross(minus(self.place(b)?, self.place(a)?), along);
        let ([x, y, z], [p, q, r]) = (along, arm);
        Ok(self.push_spring(Spring {
            a,
            b: Some((b, [x, y, z, p, q, r])),
            direction: [x, y, z, 0.0, 0.0, 0.0],
            k,
            acts: Acts::Both,
        }))
    }

    /// Gives a spring or a link another stiffness.
    ///
    /// # Errors
    /// A spring of another frame.
    pub fn stiffen(&mut self, spring: SpringId, k: f64) -> Result<(), FrameError> {
        let own = self
            .springs
            .get_mut(spring.0)
            .ok_or_else(|| FrameError::Unknown(spring.to_string()))?;
        own.k = k;
        Ok(())
    }

    /// The stiffness of a spring or a link.
    ///
    /// # Errors
    /// A spring of another frame.
    pub fn stiffness_of(&self, spring: SpringId) -> Result<f64, FrameError> {
        Ok(self.spring_of(spring)?.k)
    }

    /// Lets a spring or a link act in one sense only; it opens in the other.
    ///
    /// # Errors
    /// A spring of another frame.
    pub fn one_way(&mut self, spring: SpringId, acts: Acts) -> Result<(), FrameError> {
        let spring = self
            .springs
            .get_mut(spring.0)
            .ok_or_else(|| FrameError::Unknown(spring.to_string()))?;
        spring.acts = acts;
        Ok(())
    }

    /// A spring to the ground in all six directions at once, with their couplings. Its forces are reactions.
    pub fn spring_matrix(&mut self, node: NodeId, matrix: &[[f64; 6]; 6]) -> CouplingId {
        let slots = (0..6).map(|c| 6 * node.0 + c).collect();
        let matrix = DMatrix::from_fn(6, 6, |r, c| matrix[r][c]);
        self.push_coupling(Coupling {
            slots,
            matrix,
            grounded: true,
        })
    }

    /// The stiffness of a part worked out elsewhere, on the given directions in the order of its rows.
    pub fn coupling(&mut self, dofs: &[(NodeId, Dof)], matrix: &DMatrix<f64>) -> CouplingId {
        let slots = dofs.iter().map(|(node, dof)| slot(*node, *dof)).collect();
        self.push_coupling(Coupling {
            slots,
            matrix: matrix.clone(),
            grounded: false,
        })
    }

    /// Makes two nodes move alike in some directions.
    pub fn tie(&mut self, a: NodeId, b: NodeId, dofs: &[Dof]) {
        self.ties.extend(dofs.iter().map(|dof| (a, b, *dof)));
    }

    /// Leaves out directions that nothing stiffens, such as the rotation of a node where only hinges meet, instead of
    /// reporting them. A load on one is still an error.
    pub fn drop_idle(&mut self) {
        self.drop_idle = true;
    }

    /// The length of a member (m).
    ///
    /// # Errors
    /// A member of another frame.
    pub fn length(&self, member: MemberId) -> Result<f64, FrameError> {
        Ok(self.element(member)?.length)
    }

    /// Numbers the unknowns, assembles and factorizes the stiffness.
    ///
    /// # Errors
    /// Input that is not finite or not positive, directions that nothing stiffens, a structure that can move.
    pub fn factorize(&self) -> Result<Factored, FrameError> {
        self.check()?;
        Factored::new(self)
    }

    fn push_spring(&mut self, spring: Spring) -> SpringId {
        self.springs.push(spring);
        SpringId(self.springs.len() - 1)
    }

    fn push_coupling(&mut self, coupling: Coupling) -> CouplingId {
        self.couplings.push(coupling);
        CouplingId(self.couplings.len() - 1)
    }

    fn place(&self, node: NodeId) -> Result<Vector, FrameError> {
        self.nodes
            .get(node.0)
            .copied()
            .ok_or_else(|| FrameError::Unknown(node.to_string()))
    }

    fn element(&self, member: MemberId) -> Result<&Element, FrameError> {
        let found = self
            .members
            .get(member.0)
            .ok_or_else(|| FrameError::Unknown(member.to_string()))?;
        Ok(&found.element)
    }

    fn spring_of(&self, spring: SpringId) -> Result<&Spring, FrameError> {
        self.springs
            .get(spring.0)
            .ok_or_else(|| FrameError::Unknown(spring.to_string()))
    }

    fn check(&self) -> Result<(), FrameError> {
        for (k, place) in self.nodes.iter().enumerate() {
            if !place.iter().all(|c| c.is_finite()) {
                return Err(FrameError::NotFinite(format!("the place of {}", NodeId(k))));
            }
        }
        let held = self.fixed.iter().map(|(node, _)| *node);
        let tied = self.ties.iter().flat_map(|(a, b, _)| [*a, *b]);
        held.chain(tied)
            .try_for_each(|node| self.place(node).map(|_| ()))?;
        self.springs
            .iter()
            .enumerate()
            .try_for_each(|(k, spring)| self.check_spring(SpringId(k), spring))?;
        self.couplings
            .iter()
            .enumerate()
            .try_for_each(|(k, coupling)| self.check_coupling(CouplingId(k), coupling))
    }

    fn check_spring(&self, id: SpringId, spring: &Spring) -> Result<(), FrameError> {
        self.place(spring.a)?;
        if !spring.direction.iter().all(|c| c.is_finite()) {
            return Err(FrameError::NotFinite(format!("the direction of {id}")));
        }
        // A spring of no stiffness holds nothing, but is no mistake.
        if spring.k == 0.0 {
            Ok(())
        } else {
            check_positive(spring.k, || format!("the stiffness of {id}"))
        }
    }

    fn check_coupling(&self, id: CouplingId, coupling: &Coupling) -> Result<(), FrameError> {
        let Coupling { slots, matrix, .. } = coupling;
        slots
            .iter()
            .try_for_each(|slot| self.place(NodeId(slot / 6)).map(|_| ()))?;
        if !matrix.iter().all(|c| c.is_finite()) {
            return Err(FrameError::NotFinite(format!("the stiffness of {id}")));
        }
        let square = matrix.nrows() == slots.len() && matrix.ncols() == slots.len();
        if square && (matrix - matrix.transpose()).amax() <= SYMMETRY * matrix.amax() {
            Ok(())
        } else {
            Err(FrameError::NotSymmetric(id.to_string()))
        }
    }
}

/// The place of a direction of a node in vectors with six entries for each node.
fn slot(node: NodeId, dof: Dof) -> usize {
    6 * node.0 + dof.index()
}

fn check_positive(value: f64, name: impl Fn() -> String) -> Result<(), FrameError> {
    if !value.is_finite() {
        Err(FrameError::NotFinite(name()))
    } else if value > 0.0 {
        Ok(())
    } else {
        Err(FrameError::NotPositive(name()))
    }
}
