//! What size and moisture in service make of the reference values of sawn lumber.

use super::lookup::{LookupError, Named};
use super::lumber::LumberForm;
use super::reader::{self, Lazy, TableError, optional, positive};
use super::source::{Kind, Reference};
use crate::units::us::{inches, psi};
use crate::units::{Length, Stress};
use serde::Deserialize;
use std::sync::LazyLock;

/// Sizes rounded to whole millimetres still count as the dressed size they stand for.
const SIZE_ROUNDING: Length = crate::units::si::millimetres(1.0);

/// Factors for the size of a piece.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SizeFactor {
    /// The id.
    pub id: String,
    /// The form of lumber.
    pub form: LumberForm,
    /// The combination it is for; none for every other.
    pub combination: Option<String>,
    /// Thickest dressed piece of the row; none for any.
    pub thickness_to: Option<Length>,
    /// Deepest dressed piece of the row; none for any.
    pub depth_to: Option<Length>,
    /// On bending (1).
    pub bending: f64,
    /// On tension along the grain (1).
    pub tension: f64,
    /// On compression along the grain (1).
    pub compression: f64,
    reference: Reference,
}

impl SizeFactor {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for SizeFactor {
    fn id(&self) -> &str {
        &self.id
    }
}

/// Factors for service above 19 % moisture.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct WetService {
    /// The id.
    pub id: String,
    /// The form of lumber.
    pub form: LumberForm,
    /// On bending (1).
    pub bending: f64,
    /// Bending value times size factor up to which nothing is taken off.
    pub bending_free: Option<Stress>,
    /// On tension along the grain (1).
    pub tension: f64,
    /// On shear (1).
    pub shear: f64,
    /// On compression across the grain (1).
    pub across: f64,
    /// On compression along the grain (1).
    pub compression: f64,
    /// Compression value times size factor up to which nothing is taken off.
    pub compression_free: Option<Stress>,
    /// On both moduli (1).
    pub modulus: f64,
    reference: Reference,
}

impl WetService {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

impl Named for WetService {
    fn id(&self) -> &str {
        &self.id
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawSizeFactor {
    id: String,
    form: LumberForm,
    combination: String,
    thickness_to_in: Option<f64>,
    depth_to_in: Option<f64>,
    bending_factor: f64,
    tension_factor: f64,
    compression_factor: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

fn factor(number: f64, column: &str) -> Result<f64, String> {
    positive(number, column, |factor| factor)
}

impl RawSizeFactor {
    fn build(self) -> Result<SizeFactor, String> {
        Ok(SizeFactor {
            id: self.id,
            form: self.form,
            combination: (!self.combination.is_empty()).then_some(self.combination),
            thickness_to: optional(self.thickness_to_in, "thickness_to_in", inches)?,
            depth_to: optional(self.depth_to_in, "depth_to_in", inches)?,
            bending: factor(self.bending_factor, "bending_factor")?,
            tension: factor(self.tension_factor, "tension_factor")?,
            compression: factor(self.compression_factor, "compression_factor")?,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawWet {
    id: String,
    form: LumberForm,
    bending_factor: f64,
    bending_free_psi: Option<f64>,
    tension_factor: f64,
    shear_factor: f64,
    across_factor: f64,
    compression_factor: f64,
    compression_free_psi: Option<f64>,
    modulus_factor: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawWet {
    fn build(self) -> Result<WetService, String> {
        Ok(WetService {
            id: self.id,
            form: self.form,
            bending: factor(self.bending_factor, "bending_factor")?,
            bending_free: optional(self.bending_free_psi, "bending_free_psi", psi)?,
            tension: factor(self.tension_factor, "tension_factor")?,
            shear: factor(self.shear_factor, "shear_factor")?,
            across: factor(self.across_factor, "across_factor")?,
            compression: factor(self.compression_factor, "compression_factor")?,
            compression_free: optional(self.compression_free_psi, "compression_free_psi", psi)?,
            modulus: factor(self.modulus_factor, "modulus_factor")?,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

static SIZES: Lazy<SizeFactor> = LazyLock::new(|| {
    reader::read(
        "size_factors.csv",
        include_str!("../../data/size_factors.csv"),
        RawSizeFactor::build,
    )
});
static WET: Lazy<WetService> = LazyLock::new(|| {
    reader::read(
        "wet_service.csv",
        include_str!("../../data/wet_service.csv"),
        RawWet::build,
    )
});

/// Every size factor, in the order of depth for each form.
pub fn size_factors() -> &'static [SizeFactor] {
    reader::rows(&SIZES)
}

/// The size factor of a combination in a dressed size; of several plies, the size of one.
///
/// # Errors
///
/// [`LookupError::Broken`] when the table does not parse; [`LookupError::Unknown`] when it has no row for the size.
///
/// ```rust
/// use barkline::{tables::size_factor, units::us::inches};
///
/// assert_eq!(size_factor("Hem-Fir", inches(1.5), inches(7.25))?.bending, 1.2);
/// # Ok::<(), barkline::tables::LookupError>(())
/// ```
pub fn size_factor(
    combination: &str,
    width: Length,
    depth: Length,
) -> Result<&'static SizeFactor, LookupError> {
    let rows = reader::checked(&SIZES)?;
    let form = LumberForm::of(width, depth);
    let (thin, deep) = if width < depth {
        (width, depth)
    } else {
        (depth, width)
    };
    let own = |row: &&SizeFactor| row.combination.as_deref() == Some(combination);
    let special = rows.iter().any(|row| row.form == form && own(&row));
    let fits = |limit: Option<Length>, side: Length| {
        limit.is_none_or(|limit| side <= limit + SIZE_ROUNDING)
    };
    rows.iter()
        .filter(|row| row.form == form && (row.combination.is_none() || own(row)))
        .filter(|row| own(row) == special)
        .find(|row| fits(row.thickness_to, thin) && fits(row.depth_to, deep))
        .ok_or_else(|| LookupError::Unknown {
            table: "size factor".to_owned(),
            name: combination.to_owned(),
            near: Vec::new(),
        })
}

/// Every set of wet service factors.
pub fn wet_services() -> &'static [WetService] {
    reader::rows(&WET)
}

/// The wet service factors of a form of lumber.
///
/// # Errors
///
/// [`LookupError::Broken`] when the table does not parse; [`LookupError::Unknown`] when it lacks the form.
pub fn wet_service(form: LumberForm) -> Result<&'static WetService, LookupError> {
    reader::checked(&WET)?
        .iter()
        .find(|row| row.form == form)
        .ok_or_else(|| LookupError::Unknown {
            table: "wet service factor".to_owned(),
            name: format!("{form:?}"),
            near: Vec::new(),
        })
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&SIZES)?;
    reader::sound(&WET)
}
