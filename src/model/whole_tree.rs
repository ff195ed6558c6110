//! A tree as a whole: what it takes to say how far it moves in the wind where a platform hangs on it, and how it grows.
//!
//! Estimates of a mean tree. What was measured stands above them.

use super::Origin;
use crate::mechanics::MechanicsError;
use crate::mechanics::sway::taper::{TaperedStem, base_diameter, deflection, slope, stem_volume};
use crate::mechanics::sway::{roots, wind};
use crate::units::{
    Angle, Density, Force, Length, Moment, MomentPerMass, RotationalStiffness, Speed, Stiffness,
    Stress, si,
};
use std::f64::consts::PI;

/// What a diameter drawn from another height by the taper keeps (1): fits of 16 species draw the stem up to 8 % too thick at 3 to 5 m,
/// where the swell of the roots still counts at breast height (derived; a test holds it against the fits).
pub const DRAWN_DIAMETER: f64 = 0.92;

/// Density of air: that of EN 1991-1-4.
const AIR: Density = si::kilograms_per_cubic_metre(1.25);

/// A tree as a whole, as far as it is known.
#[derive(Debug, Clone, PartialEq)]
pub struct WholeTree {
    /// The ground at the stem, from the site's zero.
    pub ground: Length,
    /// Peak movement at the anchors, where it was measured.
    pub measured_sway: Option<Length>,
    /// Growth of the radius, measured or estimated.
    pub growth: Option<Growth>,
    /// The bark that its species has on average at this size.
    pub usual_bark: Option<Length>,
    /// What its movement is estimated from.
    pub mechanics: Option<StemMechanics>,
    /// Why there is no estimate of its movement.
    pub unknown: Option<String>,
    /// What was assumed, and how far it can be trusted.
    pub notes: Vec<String>,
}

/// Growth of the radius of a stem.
#[derive(Debug, Clone, PartialEq)]
pub struct Growth {
    /// In a year.
    pub yearly: Length,
    /// Whether it was measured on this tree.
    pub measured: bool,
    /// Where it comes from.
    pub origin: Origin,
}

/// The wind at a tree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TreeWind {
    /// Mean of the hour at the top of the canopy.
    pub mean: Speed,
    /// The gust in it.
    pub gust: Speed,
}

/// How the wind's force on a tree was found: the larger of the two counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WindRoute {
    /// The regression for trees inside a stand.
    Stand,
    /// The drag of the crown in a gust.
    Crown,
}

/// How far a stem moves at a level.
#[derive(Debug, Clone, PartialEq)]
pub struct Sway {
    /// Peak movement to one side.
    pub movement: Length,
    /// Whether it was measured.
    pub measured: bool,
    /// The estimate, where there is one.
    pub estimate: Option<SwayEstimate>,
}

/// How far a stem moves at a level, by its estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwayEstimate {
    /// Peak movement to one side: stem and roots, with the tree's own weight.
    pub movement: Length,
    /// The part from the bending of the stem.
    pub stem: Length,
    /// The part from the turn of the roots.
    pub roots: Length,
    /// The slope of the stem there.
    pub turn: Angle,
    /// Moment at the ground.
    pub ground_moment: Moment,
    /// Moment in the stem at the level.
    pub moment: Moment,
    /// What the tree's own weight adds, as a factor (1).
    pub weight_factor: f64,
    /// How the force was found.
    pub route: WindRoute,
    /// Whether the wind would overturn or break the mean tree: all values then stand at that moment.
    pub limited: bool,
}

/// The drag of a crown that streamlines.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drag {
    /// `C` (1, with the wind in m/s).
    pub constant: f64,
    /// `N` (1).
    pub exponent: f64,
    /// The wind up to which it was measured.
    pub limit: Speed,
}

/// The sizes and properties of a tree from which its movement is estimated.
#[derive(Debug, Clone, PartialEq)]
pub struct TreeParts {
    /// Height above its ground.
    pub height: Length,
    /// Diameter at breast height, over bark.
    pub breast_diameter: Length,
    /// Exponent of the taper (1).
    pub taper: f64,
    /// Modulus of elasticity of the green stem.
    pub modulus: Stress,
    /// Modulus of rupture of the green stem.
    pub rupture: Option<Stress>,
    /// Reduction of the rupture for knots (1).
    pub knot_factor: f64,
    /// Mass of the green stem per volume.
    pub stem_density: Density,
    /// Mass of the crown per volume of its outline.
    pub crown_density: Density,
    /// Overturning moment per mass of the stem.
    pub anchorage: MomentPerMass,
    /// Drag of the crown.
    pub drag: Drag,
    /// Base of the crown above the ground.
    pub crown_base: Length,
    /// Greatest width of the crown.
    pub crown_width: Length,
    /// Share of the bending strength and stiffness that a cavity takes, all along the stem (1).
    pub cavity_loss: f64,
}

/// A tree whose movement can be estimated.
#[derive(Debug, Clone, PartialEq)]
pub struct StemMechanics {
    parts: TreeParts,
    stem: TaperedStem,
    roots: RotationalStiffness,
    overturning: Moment,
    breaking: Option<Moment>,
    stem_weight: Force,
    crown_weight: Force,
    wind_height: Length,
    /// Where its properties come from.
    pub origins: Vec<Origin>,
}

impl StemMechanics {
    /// Works out what all levels share.
    ///
    /// # Errors
    /// When a size or a property means nothing.
    pub fn new(parts: TreeParts, origins: Vec<Origin>) -> Result<Self, MechanicsError> {
        let crown_depth = parts.height - parts.crown_base;
        if !(crown_depth.value > 0.0 && parts.crown_base.value >= 0.0) {
            return Err(MechanicsError::NoSolution {
                what: "the base of the crown lies between the ground and the top of the tree",
            });
        }
        if parts.crown_width.value < 0.0 {
            return Err(MechanicsError::Negative {
                what: "the width of the crown",
                value: parts.crown_width.value,
                unit: " m",
            });
        }
        let wind_height = parts.height - crown_depth / 2.0;
        let base = base_diameter(parts.breast_diameter, wind_height)?;
        let sound = 1.0 - parts.cavity_loss;
        let second = PI / 64.0 * base * base * base * base * sound;
        let mass = parts.stem_density * stem_volume(base, parts.height, parts.taper)?;
        let overturning = roots::anchorage_moment(parts.anchorage, mass)?;
        let cone = PI / 12.0 * parts.crown_width * parts.crown_width * crown_depth;
        let weight = |mass: crate::units::Mass| si::newtons(mass.value * si::STANDARD_GRAVITY);
        let crown_weight = weight(parts.crown_density * cone);
        if !crown_weight.is_finite() {
            return Err(MechanicsError::NotFinite {
                what: "the weight of the crown",
            });
        }
        let breaking = parts
            .rupture
            .map(|rupture| roots::breaking_moment(rupture * sound, parts.knot_factor, base))
            .transpose()?;
        let tree = Self {
            stem: TaperedStem {
                height: parts.height,
                stiffness: parts.modulus * second,
                taper: parts.taper,
            },
            roots: roots::root_stiffness(overturning)?,
            overturning,
            breaking,
            stem_weight: weight(mass),
            crown_weight,
            wind_height,
            parts,
            origins,
        };
        // Every number that a level could meet has now been asked for once.
        tree.flexibility(wind_height)?;
        Ok(tree)
    }

    /// The sizes and properties it was made from.
    pub fn parts(&self) -> &TreeParts {
        &self.parts
    }
    /// The moment at the ground that overturns the mean tree.
    pub fn overturning(&self) -> Moment {
        self.overturning
    }
    /// The moment at the ground that breaks the mean stem, less what a cavity takes.
    pub fn breaking(&self) -> Option<Moment> {
        self.breaking
    }
    /// The stiffness of the roots against turning.
    pub fn root_stiffness(&self) -> RotationalStiffness {
        self.roots
    }
    /// Height at which the wind acts.
    pub fn wind_height(&self) -> Length {
        self.wind_height
    }

    /// The sideways stiffness at a height above the ground.
    ///
    /// # Errors
    /// When the height is not on the stem.
    pub fn side_stiffness(&self, height: Length) -> Result<Stiffness, MechanicsError> {
        roots::side_stiffness(&self.stem, self.roots, height)
    }

    /// Movement and slope at a height for a force of one newton where the wind acts: stem, roots, slope of both.
    fn flexibility(&self, height: Length) -> Result<(Length, Length, Angle), MechanicsError> {
        let force = si::newtons(1.0);
        let moment = force * self.wind_height;
        Ok((
            deflection(&self.stem, force, self.wind_height, height)?,
            roots::root_movement(height, moment, self.roots)?,
            slope(&self.stem, force, self.wind_height, height)?
                + roots::root_rotation(moment, self.roots)?,
        ))
    }

    /// What the wind pushes with, where it acts.
    fn push(&self, wind: &TreeWind) -> Result<(Force, WindRoute), MechanicsError> {
        let parts = &self.parts;
        let stand = wind::turning_moment_in_stand(parts.breast_diameter, parts.height, wind.mean)?
            / self.wind_height;
        let Drag {
            constant,
            exponent,
            limit,
        } = parts.drag;
        let coefficient = wind::drag_coefficient(constant, exponent, limit, wind.gust)?;
        // Seen from the side, an ellipse.
        let area = PI / 4.0 * parts.crown_width * (parts.height - parts.crown_base);
        let crown = wind::crown_drag(AIR, area, wind.gust, coefficient)?;
        Ok(if crown > stand {
            (crown, WindRoute::Crown)
        } else {
            (stand, WindRoute::Stand)
        })
    }

    /// What the weight of the tree adds to every movement (1).
    fn weight_factor(&self) -> Result<f64, MechanicsError> {
        let moved = |height: Length| {
            let (stem, roots, _) = self.flexibility(height)?;
            Ok::<_, MechanicsError>(stem + roots)
        };
        // For a moment of one newton metre per metre: the factor does not depend on the size of the force.
        wind::self_weight_factor(
            si::newtons(1.0) * self.wind_height,
            (self.crown_weight, moved(self.wind_height)?),
            (self.stem_weight, moved(self.parts.height / 4.0)?),
        )
    }

    /// The moment at the ground at which the mean tree goes, by its roots or by its stem.
    pub fn resistance(&self) -> Moment {
        self.breaking
            .map_or(self.overturning, |breaking| breaking.min(self.overturning))
    }

    /// How far it moves at a height above the ground in a wind.
    ///
    /// # Errors
    /// When the height is not on the stem, the wind means nothing, or the tree would fall by its own weight.
    pub fn sway(&self, height: Length, wind: &TreeWind) -> Result<SwayEstimate, MechanicsError> {
        let (push, route) = self.push(wind)?;
        let weight_factor = self.weight_factor()?;
        let asked = push * weight_factor;
        let most = self.resistance() / self.wind_height;
        let force = asked.min(most);
        let (stem, roots, turn) = self.flexibility(height)?;
        let newtons = force.value;
        let (stem, roots) = (stem * newtons, roots * newtons);
        let above = (self.wind_height - height).max(si::metres(0.0));
        if !(stem + roots).is_finite() {
            return Err(MechanicsError::NotFinite {
                what: "movement of the tree",
            });
        }
        Ok(SwayEstimate {
            movement: stem + roots,
            stem,
            roots,
            turn: turn * newtons,
            ground_moment: force * self.wind_height,
            moment: force * above,
            weight_factor,
            route,
            limited: asked > most,
        })
    }
}
