//! Sawn lumber: dressed sizes, design values by combination and grade, European strength classes.

use super::gravity::combination_gravities;
use super::lookup::{self, LookupError, Named, Rows};
use super::reader::{self, Lazy, TableError, either, list, optional, positive};
use super::source::{Kind, Reference};
use super::wood::find_green_wood;
use crate::units::si::{kilograms_per_cubic_metre, megapascals, millimetres};
use crate::units::us::{inches, psi};
use crate::units::{Density, Length, Stress};
use serde::Deserialize;
use std::sync::LazyLock;

/// Timbers start at this dressed thickness: 5 in nominal.
const TIMBER_THICKNESS: Length = inches(4.5);
/// A timber deeper than its thickness by more than this is a beam or stringer.
const STRINGER_EXCESS: Length = inches(2.0);
/// Sizes rounded to whole millimetres still count as the dressed size they stand for.
const SIZE_ROUNDING: Length = millimetres(1.0);

/// A dressed size of sawn lumber.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LumberSize {
    /// The id, such as `2x12`.
    pub id: String,
    /// Other names.
    pub names: Vec<String>,
    /// The smaller side.
    pub width: Length,
    /// The larger side.
    pub depth: Length,
    reference: Reference,
}

impl LumberSize {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for LumberSize {
    fn id(&self) -> &str {
        &self.id
    }
    fn names(&self) -> Vec<String> {
        self.names.clone()
    }
}

/// The forms of sawn lumber that are graded by different rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LumberForm {
    /// 2 to 4 in nominal thickness.
    Dimension,
    /// 5 in and thicker, about square.
    PostsTimbers,
    /// 5 in and thicker, deeper than thick by more than 2 in.
    BeamsStringers,
}

impl LumberForm {
    /// The form of a piece of a dressed size.
    pub fn of(width: Length, depth: Length) -> Self {
        let (thin, deep) = if width < depth {
            (width, depth)
        } else {
            (depth, width)
        };
        if thin + SIZE_ROUNDING < TIMBER_THICKNESS {
            Self::Dimension
        } else if deep - thin > STRINGER_EXCESS + SIZE_ROUNDING {
            Self::BeamsStringers
        } else {
            Self::PostsTimbers
        }
    }
}

/// Reference design values of a combination and grade: allowable stresses at normal duration, dry, before size and other adjustments.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct DesignWood {
    /// The id.
    pub id: String,
    /// The commercial combination.
    pub combination: String,
    /// The grade.
    pub grade: String,
    /// The form of lumber the row holds for.
    pub form: LumberForm,
    /// The row holds for depths over the first, up to the second; every depth where there is none.
    pub depths: Option<(Length, Length)>,
    /// Bending F_b.
    pub bending: Stress,
    /// Tension along the grain F_t.
    pub tension: Stress,
    /// Shear along the grain F_v.
    pub shear: Stress,
    /// Compression across the grain F_c⊥.
    pub across: Stress,
    /// Compression along the grain F_c.
    pub compression: Stress,
    /// Modulus of elasticity E.
    pub modulus: Stress,
    /// Modulus for stability E_min.
    pub modulus_min: Stress,
    /// Specific gravity, ovendry mass over ovendry volume (1).
    pub specific_gravity: f64,
    reference: Reference,
}

impl DesignWood {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }

    fn holds_for(&self, depth: Length) -> bool {
        self.depths
            .is_none_or(|(over, to)| over + SIZE_ROUNDING < depth && depth <= to + SIZE_ROUNDING)
    }
}

/// A combination, as the first of its rows stands for it in look-ups.
struct CombinationName(&'static str);

impl Named for CombinationName {
    const ANY_ORDER: bool = true;

    fn id(&self) -> &str {
        self.0
    }
}

/// A European strength class: characteristic (5 %) strengths, mean stiffness.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct StrengthClass {
    /// The class, such as `C24`.
    pub id: String,
    /// Bending f_m,k.
    pub bending: Stress,
    /// Tension along the grain f_t,0,k.
    pub tension: Stress,
    /// Compression along the grain f_c,0,k.
    pub compression: Stress,
    /// Compression across the grain f_c,90,k.
    pub across: Stress,
    /// Shear f_v,k.
    pub shear: Stress,
    /// Mean modulus E_0,mean.
    pub modulus: Stress,
    /// 5 % modulus E_0,05.
    pub modulus_5_percent: Stress,
    /// 5 % density ρ_k.
    pub density_5_percent: Density,
    /// Mean density ρ_mean.
    pub density: Density,
    reference: Reference,
}

impl StrengthClass {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for StrengthClass {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawSize {
    id: String,
    names: String,
    width_in: Option<f64>,
    depth_in: Option<f64>,
    width_mm: Option<f64>,
    depth_mm: Option<f64>,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawSize {
    fn build(self) -> Result<LumberSize, String> {
        let side = |us, si, what: &str| {
            either(
                optional(us, what, inches)?,
                optional(si, what, millimetres)?,
                what,
            )?
            .ok_or(format!("{what} is blank"))
        };
        Ok(LumberSize {
            id: self.id,
            names: list(&self.names),
            width: side(self.width_in, self.width_mm, "width")?,
            depth: side(self.depth_in, self.depth_mm, "depth")?,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawDesign {
    id: String,
    combination: String,
    grade: String,
    form: LumberForm,
    depth_over_in: Option<f64>,
    depth_to_in: Option<f64>,
    bending_psi: f64,
    tension_psi: f64,
    shear_psi: f64,
    across_psi: f64,
    compression_psi: f64,
    modulus_1e6_psi: f64,
    modulus_min_1e6_psi: f64,
    specific_gravity: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawDesign {
    fn build(self) -> Result<DesignWood, String> {
        let millions = |number: f64| psi(number * 1e6);
        Ok(DesignWood {
            id: self.id,
            combination: self.combination,
            grade: self.grade,
            form: self.form,
            depths: self.depth_over_in.map(inches).zip(optional(
                self.depth_to_in,
                "depth_to_in",
                inches,
            )?),
            bending: positive(self.bending_psi, "bending_psi", psi)?,
            tension: positive(self.tension_psi, "tension_psi", psi)?,
            shear: positive(self.shear_psi, "shear_psi", psi)?,
            across: positive(self.across_psi, "across_psi", psi)?,
            compression: positive(self.compression_psi, "compression_psi", psi)?,
            modulus: positive(self.modulus_1e6_psi, "modulus_1e6_psi", millions)?,
            modulus_min: positive(self.modulus_min_1e6_psi, "modulus_min_1e6_psi", millions)?,
            specific_gravity: positive(self.specific_gravity, "specific_gravity", |gravity| {
                gravity
            })?,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawClass {
    id: String,
    bending_mpa: f64,
    tension_mpa: f64,
    compression_mpa: f64,
    across_mpa: f64,
    shear_mpa: f64,
    modulus_mpa: f64,
    modulus_5_percent_mpa: f64,
    density_5_percent_kg_per_m3: f64,
    density_kg_per_m3: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawClass {
    fn build(self) -> Result<StrengthClass, String> {
        let density = |number, column| positive(number, column, kilograms_per_cubic_metre);
        Ok(StrengthClass {
            id: self.id,
            bending: positive(self.bending_mpa, "bending_mpa", megapascals)?,
            tension: positive(self.tension_mpa, "tension_mpa", megapascals)?,
            compression: positive(self.compression_mpa, "compression_mpa", megapascals)?,
            across: positive(self.across_mpa, "across_mpa", megapascals)?,
            shear: positive(self.shear_mpa, "shear_mpa", megapascals)?,
            modulus: positive(self.modulus_mpa, "modulus_mpa", megapascals)?,
            modulus_5_percent: positive(
                self.modulus_5_percent_mpa,
                "modulus_5_percent_mpa",
                megapascals,
            )?,
            density_5_percent: density(
                self.density_5_percent_kg_per_m3,
                "density_5_percent_kg_per_m3",
            )?,
            density: density(self.density_kg_per_m3, "density_kg_per_m3")?,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

static SIZES: Lazy<LumberSize> = LazyLock::new(|| {
    reader::read(
        "lumber_sizes.csv",
        include_str!("../../data/lumber_sizes.csv"),
        RawSize::build,
    )
});
static DESIGN: Lazy<DesignWood> = LazyLock::new(|| {
    reader::read(
        "design_woods.csv",
        include_str!("../../data/design_woods.csv"),
        RawDesign::build,
    )
});
static CLASSES: Lazy<StrengthClass> = LazyLock::new(|| {
    reader::read(
        "strength_classes.csv",
        include_str!("../../data/strength_classes.csv"),
        RawClass::build,
    )
});

/// Every dressed size.
pub fn lumber_sizes() -> &'static [LumberSize] {
    reader::rows(&SIZES)
}

/// The dressed size of a name, such as "2x12" or "45 x 195 mm".
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest sizes.
pub fn lumber_size(name: &str) -> Result<&'static LumberSize, LookupError> {
    lookup::find("lumber size", reader::checked(&SIZES)?, name)
}

/// Every row of design values.
pub fn design_woods() -> &'static [DesignWood] {
    reader::rows(&DESIGN)
}

/// The design values of a wood and grade in a dressed size. The wood is a commercial combination, or a wood that is sold as one.
///
/// # Errors
///
/// [`LookupError::Unknown`] for a wood, or for a grade that the wood is not listed in; [`LookupError::Ambiguous`] for a wood sold as
/// several combinations; [`LookupError::NoSize`] for a depth without a row.
///
/// ```rust
/// use barkline::{tables::design_wood, units::us::{inches, psi}};
///
/// let joist = design_wood("Douglas-fir, coast", "No. 2", inches(1.5), inches(7.25))?;
/// assert_eq!((joist.combination.as_str(), joist.modulus), ("Douglas Fir-Larch", psi(1.6e6)));
/// # Ok::<(), barkline::tables::LookupError>(())
/// ```
pub fn design_wood(
    wood: &str,
    grade: &str,
    width: Length,
    depth: Length,
) -> Result<&'static DesignWood, LookupError> {
    let rows = reader::checked(&DESIGN)?;
    let combination = combination_of(rows, wood)?;
    let form = LumberForm::of(width, depth);
    let of_wood: Vec<_> = rows
        .iter()
        .filter(|row| row.combination == combination && row.form == form)
        .collect();
    let asked = grade_key(grade);
    let graded: Vec<_> = of_wood
        .iter()
        .filter(|row| grade_key(&row.grade) == asked)
        .collect();
    if graded.is_empty() {
        let mut near: Vec<_> = of_wood.iter().map(|row| row.grade.clone()).collect();
        near.dedup();
        return Err(LookupError::Unknown {
            table: format!("grade of {combination} in this size"),
            name: grade.to_owned(),
            near,
        });
    }
    let depth = if width < depth { depth } else { width };
    graded
        .iter()
        .find(|row| row.holds_for(depth))
        .map(|row| **row)
        .ok_or_else(|| LookupError::NoSize {
            name: format!("{combination} {grade}"),
            size: depth,
            ranges: graded.iter().filter_map(|row| row.depths).collect(),
        })
}

/// The combination that a name means: its own, or that of a wood which is sold as it.
fn combination_of(rows: &'static [DesignWood], name: &str) -> Result<&'static str, LookupError> {
    let mut names: Vec<_> = rows.iter().map(|row| row.combination.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let names: Vec<_> = names.into_iter().map(CombinationName).collect();
    let names = Rows::from(names);
    if let Some(found) = lookup::known(&names, name) {
        return Ok(found.0);
    }
    // Its error says what is near; that is only worked out where it is told.
    let unknown = || lookup::find("lumber combination", &names, name).map(|found| found.0);
    let Ok(wood) = find_green_wood(name) else {
        return unknown();
    };
    let sold_as = |combination: &str| {
        combination_gravities()
            .iter()
            .any(|row| row.combination == combination && row.members.contains(&wood.species.id))
    };
    match names
        .iter()
        .filter(|own| sold_as(own.0))
        .collect::<Vec<_>>()
        .as_slice()
    {
        [] => unknown(),
        [one] => Ok(one.0),
        several => Err(LookupError::Ambiguous {
            table: "lumber combination".to_owned(),
            name: name.to_owned(),
            candidates: several.iter().map(|own| own.0.to_owned()).collect(),
        }),
    }
}

/// A grade without punctuation and with its usual short forms written alike.
fn grade_key(grade: &str) -> String {
    let letters: String = grade
        .to_lowercase()
        .replace("better", "btr")
        .chars()
        .filter(|c| c.is_alphanumeric())
        .collect();
    match letters.as_str() {
        "ss" => "selectstructural".to_owned(),
        _ => letters
            .trim_start_matches("number")
            .trim_start_matches("no")
            .to_owned(),
    }
}

/// Every strength class.
pub fn strength_classes() -> &'static [StrengthClass] {
    reader::rows(&CLASSES)
}

/// The strength class of a name, such as "C24".
///
/// # Errors
///
/// [`LookupError::Unknown`] with the nearest classes.
pub fn strength_class(name: &str) -> Result<&'static StrengthClass, LookupError> {
    lookup::find("strength class", reader::checked(&CLASSES)?, name)
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&SIZES)?;
    reader::sound(&DESIGN)?;
    reader::sound(&CLASSES)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_depth_of_southern_pine_has_one_row() {
        for depth in 30..=286 {
            let depth = millimetres(f64::from(depth));
            let holds = |row: &&DesignWood| {
                row.combination == "Southern Pine" && row.grade == "No. 2" && row.holds_for(depth)
            };
            assert_eq!(design_woods().iter().filter(holds).count(), 1, "{depth:?}");
        }
    }
}
