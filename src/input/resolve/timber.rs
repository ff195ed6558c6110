//! Sawn sections: size and wood by name, or given.

use super::Resolver;
use crate::input::diagnostic::Code;
use crate::input::layout::{Allowable, Length as LengthKey, Modulus, Text};
use crate::input::source::Span;
use crate::model::{MemberStrength, Origin, SizeFactors, Standing, Timber, WetFactors};
use crate::tables::{self, DesignWood, LookupError, LumberForm};
use crate::units::{Length, Stress, UnitWeight, si};

/// Moisture of a member in the open, for its weight (19 %, common practice, no source).
const MOISTURE: f64 = 0.19;
/// Weight of wood of which only a modulus is known: wet softwood (common practice, no source).
const UNKNOWN_WEIGHT: UnitWeight = si::newtons_per_cubic_metre(7500.0);

/// Modulus for stability over modulus: 1.03 (1 − 1.645 · 0.25)/1.66 of visually graded lumber (NDS 2018 appendix D, from
/// memory).
const STABILITY: f64 = 1.03 * (1.0 - 1.645 * 0.25) / 1.66;

/// The keys of a section that beams and joists share.
pub(super) struct Keys<'a> {
    pub(super) part: String,
    pub(super) span: Option<Span>,
    pub(super) size: Option<&'a Text>,
    pub(super) width: Option<&'a LengthKey>,
    pub(super) depth: Option<&'a LengthKey>,
    pub(super) plies: u32,
    pub(super) wood: Option<&'a Text>,
    pub(super) grade: Option<&'a Text>,
    pub(super) allowable: Option<&'a Allowable>,
    pub(super) modulus: Option<&'a Modulus>,
}

/// What the keys of the material come to.
struct Material {
    modulus: Stress,
    unit_weight: UnitWeight,
    design: Option<MemberStrength>,
    origin: Origin,
}

impl Resolver<'_> {
    pub(super) fn timber(&mut self, keys: &Keys<'_>) -> Option<Timber> {
        let [width, depth] = self.section(keys)?;
        let Material {
            modulus,
            unit_weight,
            design,
            origin,
        } = self.material(keys, width, depth)?;
        let given = self.given(keys, modulus);
        Some(Timber {
            width: width * f64::from(keys.plies),
            depth,
            plies: keys.plies,
            modulus,
            unit_weight,
            design: given.or(design),
            origin,
        })
    }

    fn section(&mut self, keys: &Keys<'_>) -> Option<[Length; 2]> {
        match (keys.size, keys.width, keys.depth) {
            (Some(size), None, None) => match tables::lumber_size(size) {
                Ok(row) => Some([row.width, row.depth]),
                Err(error) => {
                    self.lookup(Code::UnknownSize, size.span, &error);
                    None
                }
            },
            (None, Some(width), Some(depth)) => Some([***width, ***depth]),
            (Some(size), ..) => {
                self.error(
                    Code::Conflict,
                    size.span,
                    "size and width or depth are both given",
                    "keep size, or width and depth",
                );
                None
            }
            _ => {
                let message = format!("{} has no section", keys.part);
                self.error(
                    Code::MissingKey,
                    keys.span,
                    message,
                    "add size = \"2x10\", or width and depth",
                );
                None
            }
        }
    }

    /// Allowable stresses of the layout: of this size, service and setting, at normal load duration.
    fn given(&mut self, keys: &Keys<'_>, modulus: Stress) -> Option<MemberStrength> {
        let allowable = keys.allowable?;
        if let Some(grade) = keys.grade {
            self.error(
                Code::Conflict,
                grade.span,
                "grade and allowable are both given",
                "keep one: the stresses of the grade, or your own",
            );
            return None;
        }
        let own = || Origin::new("the layout", Standing::Published);
        let stress = |key: &Option<crate::input::layout::Stress>| key.as_ref().map(|key| ***key);
        Some(MemberStrength {
            bending: stress(&allowable.bending),
            shear: stress(&allowable.shear),
            across: stress(&allowable.bearing),
            compression: stress(&allowable.compression),
            tension: stress(&allowable.tension),
            modulus_min: modulus * STABILITY,
            size: SizeFactors {
                bending: 1.0,
                tension: 1.0,
                compression: 1.0,
                origin: own(),
            },
            wet: None,
            repetitive: false,
            origin: own(),
        })
    }

    fn material(&mut self, keys: &Keys<'_>, width: Length, depth: Length) -> Option<Material> {
        let given = keys.modulus.map(|modulus| ***modulus);
        let Some(wood) = keys.wood else {
            let Some(modulus) = given else {
                let message = format!("{} has no wood", keys.part);
                self.error(
                    Code::MissingKey,
                    keys.span,
                    message,
                    "add wood = \"Douglas-fir, coast\" and a grade, or a modulus",
                );
                return None;
            };
            self.assumed(
                keys.span,
                format!(
                    "{}: weight taken as 7.5 kN/m³ (48 pcf), since its wood is not named",
                    keys.part
                ),
                "name its wood",
            );
            return Some(Material {
                modulus,
                unit_weight: UNKNOWN_WEIGHT,
                design: None,
                origin: Origin::new("the layout", Standing::Published),
            });
        };
        let grade = keys.grade.map_or("No. 2", |grade| grade.as_str());
        // Clear wood stands in where no grade is asked for.
        let clear = || {
            keys.grade
                .is_none()
                .then(|| tables::find_seasoned_wood(wood))
        };
        match tables::design_wood(wood, grade, width, depth) {
            Ok(row) => {
                if keys.grade.is_none() && given.is_none() {
                    self.assumed(
                        keys.span,
                        format!("{}: grade taken as {grade}", keys.part),
                        "give its grade",
                    );
                }
                let design = graded_strength(row, width, depth);
                Some(Material {
                    modulus: given.unwrap_or(row.modulus),
                    unit_weight: si::newtons_per_cubic_metre(wet_weight(row.specific_gravity)),
                    design: keys.grade.and(design.ok()),
                    origin: Origin::from(row.reference()),
                })
            }
            Err(error) => {
                let Some(Ok(row)) = clear() else {
                    self.lookup(Code::UnknownWood, wood.span, &error);
                    return None;
                };
                let weight = row.unit_weight().unwrap_or(UNKNOWN_WEIGHT);
                if given.is_none() {
                    let message = format!(
                        "{}: modulus taken as the mean of clear wood at 12 % moisture",
                        keys.part
                    );
                    self.assumed(keys.span, message, "give a grade or a modulus");
                }
                Some(Material {
                    modulus: given.unwrap_or(row.modulus),
                    unit_weight: weight,
                    design: None,
                    origin: Origin::from(row.reference()),
                })
            }
        }
    }
}

/// The stresses of a grade with the factors of a size, in the wet: a platform among trees is out in the weather.
fn graded_strength(
    row: &DesignWood,
    width: Length,
    depth: Length,
) -> Result<MemberStrength, LookupError> {
    let size = tables::size_factor(&row.combination, width, depth)?;
    let wet = tables::wet_service(LumberForm::of(width, depth))?;
    let free = |value: Stress, limit: Option<Stress>, factor| {
        if limit.is_some_and(|limit| value <= limit) {
            1.0
        } else {
            factor
        }
    };
    Ok(MemberStrength {
        bending: Some(row.bending),
        shear: Some(row.shear),
        across: Some(row.across),
        compression: Some(row.compression),
        tension: Some(row.tension),
        modulus_min: row.modulus_min,
        size: SizeFactors {
            bending: size.bending,
            tension: size.tension,
            compression: size.compression,
            origin: Origin::from(size.reference()),
        },
        wet: Some(WetFactors {
            bending: free(row.bending * size.bending, wet.bending_free, wet.bending),
            shear: wet.shear,
            across: wet.across,
            compression: free(
                row.compression * size.compression,
                wet.compression_free,
                wet.compression,
            ),
            tension: wet.tension,
            modulus: wet.modulus,
            origin: Origin::from(wet.reference()),
        }),
        repetitive: true,
        origin: Origin::from(row.reference()),
    })
}

/// Weight per volume from the gravity on the ovendry volume: 9810·G/(1 + 0.009·G·m)·(1 + m/100), m in % (NDS
/// Supplement 3.1.3, from memory) (N/m³).
fn wet_weight(gravity: f64) -> f64 {
    let percent = 100.0 * MOISTURE;
    1000.0 * si::STANDARD_GRAVITY * gravity / (1.0 + 0.009 * gravity * percent) * (1.0 + MOISTURE)
}
