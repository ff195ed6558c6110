//! An anchor: a stepped bar of steel, its thick first piece (the boss) half sunk in sound wood.
//!
//! ```text
//!   load ↓        bark   wood surface, x = 0
//!        ●━━━━━━▓▓▓▓▓▓▓▓│▓▓▓▓▓▓▓─────────────────→ x
//!        │← arm e ─────→│← t →│← embedded shank →│
//! ```

use super::wood::FOUNDATION_ACROSS;
use super::{Origin, Point, Steel, Stem, plan};
use crate::mechanics::MechanicsError;
use crate::mechanics::embedment::{COMPRESSION_EXPONENT, hankinson};
use crate::mechanics::foundation::{BarSegment, BeamTheory, FoundationBar};
use crate::tables;
use crate::units::{Angle, FoundationModulus, Length, Stiffness, si};
use nalgebra::Vector3;

/// One coaxial piece of an anchor.
#[derive(Debug, Clone, PartialEq)]
pub struct Segment {
    /// Its length.
    pub length: Length,
    /// The diameter that resists bending: of a thread, its root.
    pub resists: Length,
    /// The diameter that bears on wood: of a thread, its outside.
    pub bears: Length,
    /// Its steel.
    pub steel: Steel,
}

/// A size of anchor.
#[derive(Debug, Clone, PartialEq)]
pub struct AnchorSize {
    /// Its id.
    pub id: String,
    /// Pieces from the outer end inward; the first is the boss, the others are the shank.
    pub boss: Segment,
    /// The shank.
    pub shank: Vec<Segment>,
    /// Length of full thread that goes into the wood.
    pub thread_length: Length,
    /// Where the sizes come from.
    pub origin: Origin,
}

/// An anchor in its stem.
#[derive(Debug, Clone, PartialEq)]
pub struct Anchor {
    /// Its id.
    pub id: String,
    /// Its stem, by its place in the platform.
    pub stem: usize,
    /// Compass bearing toward which it points.
    pub faces: Angle,
    /// Height above the site's zero, where it is given.
    pub level: Option<Length>,
    /// Its size.
    pub size: AnchorSize,
    /// Boss in the wood, from the wood surface under the bark.
    pub embedded: Length,
    /// From the wood surface, under the bark, to the line of the load.
    pub arm: Length,
    /// The anchor at the other end of its through-rod, by its place in the platform.
    pub rod: Option<usize>,
    /// How the bar is kept from turning about its axis, in words; none where nothing says that it is.
    pub locked: Option<String>,
    /// How far its outer end is tilted up from level.
    pub tilt: Angle,
    /// Hole behind its tip that it does not fill.
    pub empty: Length,
}

impl AnchorSize {
    /// A size of the table in its own steel; none where the tables lack that steel or its modulus.
    pub fn from_table(row: &tables::AnchorSize) -> Option<Self> {
        let steel = |diameter| Steel::from_table(tables::steel(&row.steel, diameter).ok()?);
        Some(Self {
            id: row.id.clone(),
            boss: Segment {
                length: row.boss_length,
                resists: row.boss_diameter,
                bears: row.boss_diameter,
                steel: steel(row.boss_diameter)?,
            },
            shank: vec![Segment {
                length: row.shank_length,
                resists: row.root_diameter,
                bears: thread_bears(row.shank_diameter, row.root_diameter, row.pilot_diameter),
                steel: steel(row.shank_diameter)?,
            }],
            thread_length: row.thread_length,
            origin: Origin::from(row.reference()),
        })
    }
}

/// A thread bears on its outside if the pilot is no larger than the root, otherwise on its root.
pub fn thread_bears(outside: Length, root: Length, pilot: Length) -> Length {
    if pilot <= root { outside } else { root }
}

/// A bound of the foundation modulus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Bound {
    /// Half the central value.
    Soft,
    /// The central value.
    Central,
    /// Twice the central value.
    Stiff,
}

impl Bound {
    /// Both bounds that every result is taken at.
    pub const BOTH: [Self; 2] = [Self::Soft, Self::Stiff];

    /// The multiple of the central value (1): a factor of two either way (derived, docs/method.md).
    pub const fn factor(self) -> f64 {
        match self {
            Self::Soft => 0.5,
            Self::Central => 1.0,
            Self::Stiff => 2.0,
        }
    }
}

/// A plane in which an anchor bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Plane {
    /// Through the grain direction a1: down and up.
    Along,
    /// Across it, a2: sideways.
    Across,
}

/// The unit vectors (east, north, up) of an anchor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axes {
    /// Along the grain direction projected on the bar's cross-section, downward.
    pub down: Vector3<f64>,
    /// Across, clockwise seen from above.
    pub side: Vector3<f64>,
    /// Along the bar, outward.
    pub out: Vector3<f64>,
    /// Angle between the grain and the down axis.
    pub grain: Angle,
}

impl Anchor {
    /// The plan point in which the load acts.
    pub fn load_point(&self, stem: &Stem) -> Point {
        let arm = self.arm * self.tilt.value.cos();
        stem.at.toward(self.faces, stem.wood_radius() + arm)
    }

    /// The arm from sound wood: the given arm and the soft layer.
    pub fn sound_arm(&self, stem: &Stem) -> Length {
        self.arm + stem.soft
    }

    /// The boss in sound wood, t.
    pub fn sound_boss(&self, stem: &Stem) -> Length {
        self.embedded - stem.soft
    }

    /// Everything that is in sound wood, L.
    pub fn sound_length(&self, stem: &Stem) -> Length {
        self.size
            .shank
            .iter()
            .fold(self.sound_boss(stem), |sum, piece| sum + piece.length)
    }

    /// The depth of its hole in sound wood.
    pub fn hole(&self, stem: &Stem) -> Length {
        self.sound_length(stem) + self.empty
    }

    /// The axes in which its loads are given.
    pub fn axes(&self, stem: &Stem) -> Axes {
        let [east, north] = plan::unit(self.faces);
        let (rise, level) = self.tilt.value.sin_cos();
        let out = Vector3::new(east * level, north * level, rise);
        let [lean_east, lean_north] = plan::unit(stem.leans);
        let (sin, cos) = stem.lean.value.sin_cos();
        let grain = Vector3::new(sin * lean_east, sin * lean_north, cos);
        let across_bar = grain - out * grain.dot(&out);
        let up = across_bar.normalize();
        Axes {
            down: -up,
            side: out.cross(&up),
            out,
            grain: si::radians(across_bar.norm().clamp(0.0, 1.0).acos()),
        }
    }

    /// The line modulus K in a plane at a bound.
    ///
    /// # Errors
    /// When the wood's moduli leave the range of Hankinson's relation.
    pub fn foundation_modulus(
        &self,
        stem: &Stem,
        plane: Plane,
        bound: Bound,
    ) -> Result<FoundationModulus, MechanicsError> {
        self.modulus_on(stem, plane, bound.factor())
    }

    /// The line modulus K in a plane, at a multiple of its central value (1).
    fn modulus_on(
        &self,
        stem: &Stem,
        plane: Plane,
        factor: f64,
    ) -> Result<FoundationModulus, MechanicsError> {
        let along = stem.wood.foundation_modulus() * factor;
        let across = along * FOUNDATION_ACROSS;
        match plane {
            Plane::Along => hankinson(along, across, self.axes(stem).grain, COMPRESSION_EXPONENT),
            Plane::Across => Ok(across),
        }
    }

    /// Pieces outside sound wood, from the load point inward: what is left of the boss, and beyond it the shank's section.
    pub fn outside(&self, stem: &Stem) -> Vec<Segment> {
        let arm = self.sound_arm(stem);
        let boss = (self.size.boss.length - self.sound_boss(stem))
            .max(si::metres(0.0))
            .min(arm);
        let beyond = self.size.shank.first().unwrap_or(&self.size.boss);
        [(arm - boss, beyond), (boss, &self.size.boss)]
            .into_iter()
            .filter(|(length, _)| length.value > 0.0)
            .map(|(length, piece)| Segment {
                length,
                ..piece.clone()
            })
            .collect()
    }

    /// Pieces in sound wood, from its surface inward.
    pub fn inside(&self, stem: &Stem) -> Vec<Segment> {
        let boss = Segment {
            length: self.sound_boss(stem),
            ..self.size.boss.clone()
        };
        std::iter::once(boss)
            .filter(|piece| piece.length.value > 0.0)
            .chain(self.size.shank.iter().cloned())
            .collect()
    }

    /// The bar on its elastic foundation in a plane.
    ///
    /// # Errors
    /// When a length, diameter or modulus is not usable.
    pub fn bar(
        &self,
        stem: &Stem,
        plane: Plane,
        bound: Bound,
    ) -> Result<FoundationBar, MechanicsError> {
        self.bar_on(stem, plane, bound.factor())
    }

    /// The bar on a multiple of the central foundation (1).
    fn bar_on(
        &self,
        stem: &Stem,
        plane: Plane,
        factor: f64,
    ) -> Result<FoundationBar, MechanicsError> {
        let modulus = self.modulus_on(stem, plane, factor)?;
        let piece = |segment: &Segment, foundation| BarSegment {
            length: segment.length,
            bending_diameter: segment.resists,
            bearing_diameter: segment.bears,
            modulus: segment.steel.modulus,
            foundation,
        };
        let outside = self.outside(stem);
        let inside = self.inside(stem);
        let arm: Vec<_> = outside
            .iter()
            .map(|segment| piece(segment, si::pascals(0.0)))
            .collect();
        let embedded: Vec<_> = inside
            .iter()
            .map(|segment| piece(segment, modulus))
            .collect();
        FoundationBar::new(&arm, &embedded, BeamTheory::EulerBernoulli)
    }

    /// Force per deflection at the load point: down and side.
    ///
    /// # Errors
    /// As [`Anchor::bar`].
    pub fn stiffness(&self, stem: &Stem, bound: Bound) -> Result<[Stiffness; 2], MechanicsError> {
        self.stiffness_on(stem, bound.factor())
    }

    /// The same on a multiple of the central foundation (1), such as that of wood that has crept.
    ///
    /// # Errors
    /// As [`Anchor::bar`].
    pub fn stiffness_on(&self, stem: &Stem, factor: f64) -> Result<[Stiffness; 2], MechanicsError> {
        let of = |plane| {
            let [[flexibility, _], _] = self
                .bar_on(stem, plane, factor)?
                .solve()?
                .load_point_flexibility();
            Ok::<_, MechanicsError>(si::newtons_per_metre(1.0 / flexibility))
        };
        Ok([of(Plane::Along)?, of(Plane::Across)?])
    }
}
