//! Sawn sections: size and wood by name, or given.

use super::Resolver;
use crate::input::diagnostic::Code;
use crate::input::layout::{Length as LengthKey, Modulus, Text};
use crate::input::source::Span;
use crate::model::{Origin, Standing, Timber};
use crate::tables;
use crate::units::{Length, Stress, UnitWeight, si};

/// Moisture of a member in the open, for its weight (19 %, common practice, no source).
const MOISTURE: f64 = 0.19;
/// Weight of wood of which only a modulus is known: wet softwood (common practice, no source).
const UNKNOWN_WEIGHT: UnitWeight = si::newtons_per_cubic_metre(7500.0);

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
    pub(super) modulus: Option<&'a Modulus>,
}

impl Resolver<'_> {
    pub(super) fn timber(&mut self, keys: &Keys<'_>) -> Option<Timber> {
        let [width, depth] = self.section(keys)?;
        let (modulus, unit_weight, origin) = self.material(keys, width, depth)?;
        Some(Timber {
            width: width * f64::from(keys.plies),
            depth,
            modulus,
            unit_weight,
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

    fn material(
        &mut self,
        keys: &Keys<'_>,
        width: Length,
        depth: Length,
    ) -> Option<(Stress, UnitWeight, Origin)> {
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
            return Some((
                modulus,
                UNKNOWN_WEIGHT,
                Origin::new("the layout", Standing::Published),
            ));
        };
        let grade = keys.grade.map_or("No. 2", |grade| grade.as_str());
        let graded = tables::design_wood(wood, grade, width, depth);
        let seasoned = tables::find_seasoned_wood(wood);
        match (graded, seasoned) {
            (Ok(row), _) => {
                if keys.grade.is_none() && given.is_none() {
                    self.assumed(
                        keys.span,
                        format!("{}: grade taken as {grade}", keys.part),
                        "give its grade",
                    );
                }
                let weight = si::newtons_per_cubic_metre(wet_weight(row.specific_gravity));
                Some((
                    given.unwrap_or(row.modulus),
                    weight,
                    Origin::from(row.reference()),
                ))
            }
            (Err(_), Ok(row)) if keys.grade.is_none() => {
                let weight = row.unit_weight().unwrap_or(UNKNOWN_WEIGHT);
                if given.is_none() {
                    let message = format!(
                        "{}: modulus taken as the mean of clear wood at 12 % moisture",
                        keys.part
                    );
                    self.assumed(keys.span, message, "give a grade or a modulus");
                }
                Some((
                    given.unwrap_or(row.modulus),
                    weight,
                    Origin::from(row.reference()),
                ))
            }
            (Err(error), _) => {
                self.lookup(Code::UnknownWood, wood.span, &error);
                None
            }
        }
    }
}

/// Weight per volume from the gravity on the ovendry volume: 9810·G/(1 + 0.009·G·m)·(1 + m/100), m in % (NDS
/// Supplement 3.1.3, from memory) (N/m³).
fn wet_weight(gravity: f64) -> f64 {
    let percent = 100.0 * MOISTURE;
    1000.0 * si::STANDARD_GRAVITY * gravity / (1.0 + 0.009 * gravity * percent) * (1.0 + MOISTURE)
}
