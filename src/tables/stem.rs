//! Whole trees: stems, crowns and roots by species, taper, growth, bark.
//!
//! A row names the rows of the green table that are the same species. Where a wood has none, the row of its genus or of all conifers
//! or hardwoods stands in, and [`Fit`] says so.

use super::lookup::Named;
use super::reader::{self, Lazy, TableError, list, optional, positive};
use super::source::{Kind, Reference, Standing};
use super::wood::{GreenWood, WoodClass};
use crate::units::si::{
    gigapascals, kilograms_per_cubic_metre, megapascals, metres, metres_per_second, millimetres,
    newton_metres_per_kilogram,
};
use crate::units::{Density, Length, MomentPerMass, Speed, Stress};
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// How near a row is to the wood that asked for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fit {
    /// The row is of the same species.
    Species,
    /// Of another species of the genus, or of a group that has it.
    Genus,
    /// Of any conifer, or any hardwood.
    Class,
}

impl Fit {
    /// The standing of a row of some standing once it stands in for another wood.
    #[must_use]
    pub fn standing(self, own: Standing) -> Standing {
        match self {
            Self::Species => own,
            Self::Genus | Self::Class => own.worse(Standing::Extended),
        }
    }
}

/// Soil by its grip on roots, from free-draining mineral soil to deep peat.
const SOILS: usize = 4;
/// Rooting, from shallow to deep.
const ROOTINGS: usize = 3;

/// The stem, the crown and the roots of a species: means of forest trees.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct StemSpecies {
    /// The id, such as `sitka_spruce`.
    pub id: String,
    /// The common name.
    pub common_name: String,
    /// Hardwood or softwood.
    pub class: WoodClass,
    /// Ids of the green woods that are this species.
    pub woods: Vec<String>,
    /// The genus for whose other species this row stands in.
    pub genus: Option<String>,
    /// Mass of the green stem per volume.
    pub stem_density: Density,
    /// Mass of the crown per volume of its outline.
    pub crown_density: Density,
    /// Modulus of rupture of the green stem; none in the rows of any conifer and any hardwood.
    pub rupture: Option<Stress>,
    /// Modulus of elasticity of the green stem; as the rupture.
    pub modulus: Option<Stress>,
    /// Reduction of the rupture for knots (1).
    pub knot_factor: f64,
    /// Drag: `C` (1, with the wind in m/s).
    pub drag_constant: f64,
    /// Drag: `N` (1).
    pub drag_exponent: f64,
    /// The wind up to which the drag was measured.
    pub drag_limit: Speed,
    crown_width: [f64; 2],
    crown_depth: [f64; 2],
    anchorage: [[MomentPerMass; ROOTINGS]; SOILS],
    reference: Reference,
}

impl StemSpecies {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }

    /// Width of the crown of a forest tree of a diameter at breast height.
    pub fn crown_width(&self, breast_diameter: Length) -> Length {
        let [constant, factor] = self.crown_width;
        metres((constant + factor * breast_diameter.value * 100.0).max(0.0))
    }

    /// Depth of the crown of a forest tree of a height; never more than that.
    pub fn crown_depth(&self, height: Length) -> Length {
        let [constant, factor] = self.crown_depth;
        metres((constant + factor * height.value).max(0.0)).min(height)
    }

    /// Overturning moment per mass of the stem by soil (1 to 4) and rooting (1 to 3).
    pub fn anchorage(&self, soil: usize, rooting: usize) -> Option<MomentPerMass> {
        let row = self.anchorage.get(soil.checked_sub(1)?)?;
        row.get(rooting.checked_sub(1)?).copied()
    }

    /// The least of all soils and rootings: what may be counted on where neither is known.
    pub fn least_anchorage(&self) -> MomentPerMass {
        let all = self.anchorage.iter().flatten().copied();
        all.fold(newton_metres_per_kilogram(f64::MAX), MomentPerMass::min)
    }
}

impl Named for StemSpecies {
    fn id(&self) -> &str {
        &self.id
    }
    fn label(&self) -> &str {
        &self.common_name
    }
}

/// How a species of stem tapers, by a fit to its taper equation at one size.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct StemTaper {
    /// The id.
    pub id: String,
    /// The species.
    pub species: String,
    /// Ids of the green woods that are this species.
    pub woods: Vec<String>,
    /// Exponent of the distance from the top (1).
    pub exponent: f64,
    /// Size and diameters of the tree of the fit; none in the row of any other species.
    pub tree: Option<TaperedTree>,
    reference: Reference,
}

/// A tree as a taper equation draws it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TaperedTree {
    /// Diameter at breast height that the equation was given.
    pub breast_diameter: Length,
    /// Height.
    pub height: Length,
    /// Height and diameter over bark, by the equation.
    pub diameters: [(Length, Length); 4],
}

impl StemTaper {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

/// The constants of growth of a species.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RadialGrowth {
    /// The id.
    pub id: String,
    /// The species, or a group.
    pub species: String,
    /// Ids of the green woods that are this species or in this group.
    pub woods: Vec<String>,
    /// `B₁` (1).
    pub b1: f64,
    /// `B₂` (1).
    pub b2: f64,
    /// `B₃`, of competition (1).
    pub b3: f64,
    reference: Reference,
}

impl RadialGrowth {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }

    /// Whether the row is of a group of species.
    fn is_group(&self) -> bool {
        self.reference.note().is_some()
    }
}

/// The bark of a species.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct BarkRatio {
    /// The id.
    pub id: String,
    /// The species, as the source names it.
    pub species: String,
    /// Ids of the green woods that are this species.
    pub woods: Vec<String>,
    /// Thickness on one side over the diameter at breast height (1).
    pub ratio: f64,
    reference: Reference,
}

impl BarkRatio {
    /// Where the row comes from.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawSpecies {
    id: String,
    common_name: String,
    class: WoodClass,
    woods: String,
    genus: String,
    stem_density_kg_per_m3: f64,
    crown_density_kg_per_m3: f64,
    rupture_mpa: Option<f64>,
    modulus_gpa: Option<f64>,
    knot_factor: f64,
    drag_constant: f64,
    drag_exponent: f64,
    drag_limit_m_per_s: f64,
    crown_width_m: f64,
    crown_width_factor: f64,
    crown_depth_m: f64,
    crown_depth_factor: f64,
    anchorage_soil_1_rooting_1_n_m_per_kg: f64,
    anchorage_soil_1_rooting_2_n_m_per_kg: f64,
    anchorage_soil_1_rooting_3_n_m_per_kg: f64,
    anchorage_soil_2_rooting_1_n_m_per_kg: f64,
    anchorage_soil_2_rooting_2_n_m_per_kg: f64,
    anchorage_soil_2_rooting_3_n_m_per_kg: f64,
    anchorage_soil_3_rooting_1_n_m_per_kg: f64,
    anchorage_soil_3_rooting_2_n_m_per_kg: f64,
    anchorage_soil_3_rooting_3_n_m_per_kg: f64,
    anchorage_soil_4_rooting_1_n_m_per_kg: f64,
    anchorage_soil_4_rooting_2_n_m_per_kg: f64,
    anchorage_soil_4_rooting_3_n_m_per_kg: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawSpecies {
    fn anchorage(&self) -> Result<[[MomentPerMass; ROOTINGS]; SOILS], String> {
        let numbers = [
            [
                self.anchorage_soil_1_rooting_1_n_m_per_kg,
                self.anchorage_soil_1_rooting_2_n_m_per_kg,
                self.anchorage_soil_1_rooting_3_n_m_per_kg,
            ],
            [
                self.anchorage_soil_2_rooting_1_n_m_per_kg,
                self.anchorage_soil_2_rooting_2_n_m_per_kg,
                self.anchorage_soil_2_rooting_3_n_m_per_kg,
            ],
            [
                self.anchorage_soil_3_rooting_1_n_m_per_kg,
                self.anchorage_soil_3_rooting_2_n_m_per_kg,
                self.anchorage_soil_3_rooting_3_n_m_per_kg,
            ],
            [
                self.anchorage_soil_4_rooting_1_n_m_per_kg,
                self.anchorage_soil_4_rooting_2_n_m_per_kg,
                self.anchorage_soil_4_rooting_3_n_m_per_kg,
            ],
        ];
        for number in numbers.iter().flatten() {
            positive(*number, "anchorage", |number| number)?;
        }
        Ok(numbers.map(|row| row.map(newton_metres_per_kilogram)))
    }

    fn build(self) -> Result<StemSpecies, String> {
        let number = |number, column| positive(number, column, |number| number);
        if self.knot_factor > 1.0 {
            return Err("knot_factor is above 1".into());
        }
        Ok(StemSpecies {
            anchorage: self.anchorage()?,
            woods: list(&self.woods),
            genus: Some(self.genus).filter(|genus| !genus.is_empty()),
            stem_density: positive(
                self.stem_density_kg_per_m3,
                "stem_density_kg_per_m3",
                kilograms_per_cubic_metre,
            )?,
            crown_density: positive(
                self.crown_density_kg_per_m3,
                "crown_density_kg_per_m3",
                kilograms_per_cubic_metre,
            )?,
            rupture: optional(self.rupture_mpa, "rupture_mpa", megapascals)?,
            modulus: optional(self.modulus_gpa, "modulus_gpa", gigapascals)?,
            knot_factor: number(self.knot_factor, "knot_factor")?,
            drag_constant: number(self.drag_constant, "drag_constant")?,
            drag_exponent: number(self.drag_exponent, "drag_exponent")?,
            drag_limit: positive(
                self.drag_limit_m_per_s,
                "drag_limit_m_per_s",
                metres_per_second,
            )?,
            crown_width: [
                self.crown_width_m,
                number(self.crown_width_factor, "crown_width_factor")?,
            ],
            crown_depth: [
                self.crown_depth_m,
                number(self.crown_depth_factor, "crown_depth_factor")?,
            ],
            id: self.id,
            common_name: self.common_name,
            class: self.class,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawTaper {
    id: String,
    species: String,
    woods: String,
    breast_diameter_mm: Option<f64>,
    height_m: Option<f64>,
    diameter_1_3_m_mm: Option<f64>,
    diameter_3_m_mm: Option<f64>,
    diameter_5_m_mm: Option<f64>,
    diameter_8_m_mm: Option<f64>,
    taper_exponent: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

impl RawTaper {
    fn tree(&self) -> Option<TaperedTree> {
        Some(TaperedTree {
            breast_diameter: millimetres(self.breast_diameter_mm?),
            height: metres(self.height_m?),
            diameters: [
                (metres(1.3), millimetres(self.diameter_1_3_m_mm?)),
                (metres(3.0), millimetres(self.diameter_3_m_mm?)),
                (metres(5.0), millimetres(self.diameter_5_m_mm?)),
                (metres(8.0), millimetres(self.diameter_8_m_mm?)),
            ],
        })
    }

    fn build(self) -> Result<StemTaper, String> {
        Ok(StemTaper {
            tree: self.tree(),
            woods: list(&self.woods),
            exponent: positive(self.taper_exponent, "taper_exponent", |exponent| exponent)?,
            id: self.id,
            species: self.species,
            reference: Reference::new(&self.source, self.locator, self.kind, self.note)?,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawGrowth {
    id: String,
    species: String,
    woods: String,
    b1_factor: f64,
    b2_factor: f64,
    b3_factor: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawBark {
    id: String,
    species: String,
    woods: String,
    bark_factor: f64,
    source: String,
    locator: String,
    kind: Kind,
    note: String,
}

static SPECIES: Lazy<StemSpecies> = LazyLock::new(|| {
    reader::read(
        "stem_species.csv",
        include_str!("../../data/stem_species.csv"),
        RawSpecies::build,
    )
});

static TAPERS: Lazy<StemTaper> = LazyLock::new(|| {
    reader::read(
        "stem_taper.csv",
        include_str!("../../data/stem_taper.csv"),
        RawTaper::build,
    )
});

static GROWTHS: Lazy<RadialGrowth> = LazyLock::new(|| {
    reader::read(
        "radial_growth.csv",
        include_str!("../../data/radial_growth.csv"),
        |raw: RawGrowth| {
            let number = |number, column| positive(number, column, |number| number);
            Ok(RadialGrowth {
                id: raw.id,
                species: raw.species,
                woods: list(&raw.woods),
                b1: number(raw.b1_factor, "b1_factor")?,
                b2: number(raw.b2_factor, "b2_factor")?,
                b3: number(raw.b3_factor, "b3_factor")?,
                reference: Reference::new(&raw.source, raw.locator, raw.kind, raw.note)?,
            })
        },
    )
});

static BARKS: Lazy<BarkRatio> = LazyLock::new(|| {
    reader::read(
        "bark_ratio.csv",
        include_str!("../../data/bark_ratio.csv"),
        |raw: RawBark| {
            Ok(BarkRatio {
                id: raw.id,
                species: raw.species,
                woods: list(&raw.woods),
                ratio: positive(raw.bark_factor, "bark_factor", |ratio| ratio)?,
                reference: Reference::new(&raw.source, raw.locator, raw.kind, raw.note)?,
            })
        },
    )
});

/// Every species of stem.
pub fn stem_species_rows() -> &'static [StemSpecies] {
    reader::rows(&SPECIES)
}

/// The stem of a wood: of its species, else of its genus, else of any conifer or hardwood.
///
/// ```rust
/// use barkline::tables::{self, Fit};
///
/// let of = |name: &str| {
///     let wood = tables::find_green_wood(name)?;
///     Ok::<_, tables::LookupError>(tables::stem_species(wood).map(|(row, fit)| (row.common_name.as_str(), fit)))
/// };
/// assert_eq!(of("western hemlock")?, Some(("Western hemlock", Fit::Species)));
/// assert_eq!(of("western larch")?, Some(("European larch", Fit::Genus)));
/// assert_eq!(of("red maple")?, Some(("Hardwood, any", Fit::Class)));
/// # Ok::<(), tables::LookupError>(())
/// ```
pub fn stem_species(wood: &GreenWood) -> Option<(&'static StemSpecies, Fit)> {
    let rows = stem_species_rows();
    let species = &wood.species;
    if let Some(row) = rows.iter().find(|row| row.woods.contains(&species.id)) {
        return Some((row, Fit::Species));
    }
    let genus = species.scientific_name.split(' ').next();
    if let Some(row) = rows
        .iter()
        .find(|row| row.genus.is_some() && row.genus.as_deref() == genus)
    {
        return Some((row, Fit::Genus));
    }
    any_stem(species.class).map(|row| (row, Fit::Class))
}

/// The row of any conifer, or of any hardwood.
pub fn any_stem(class: WoodClass) -> Option<&'static StemSpecies> {
    let id = match class {
        WoodClass::Softwood => "any_conifer",
        WoodClass::Hardwood => "any_hardwood",
    };
    stem_species_rows().iter().find(|row| row.id == id)
}

/// Every fit of taper.
pub fn stem_tapers() -> &'static [StemTaper] {
    reader::rows(&TAPERS)
}

/// The taper of a wood: of its fits the one that tapers most, which moves most and is thinnest above; else that of any species.
pub fn stem_taper(wood: Option<&GreenWood>) -> Option<(&'static StemTaper, Fit)> {
    let of = wood.and_then(|wood| {
        stem_tapers()
            .iter()
            .filter(|row| row.woods.contains(&wood.species.id))
            .max_by(|a, b| a.exponent.total_cmp(&b.exponent))
    });
    let any = || stem_tapers().iter().find(|row| row.tree.is_none());
    of.map(|row| (row, Fit::Species))
        .or_else(|| any().map(|row| (row, Fit::Class)))
}

/// Every species of growth.
pub fn radial_growths() -> &'static [RadialGrowth] {
    reader::rows(&GROWTHS)
}

/// The growth of a wood: of its species or group, else of other softwoods or hardwoods.
pub fn growth(wood: &GreenWood) -> Option<(&'static RadialGrowth, Fit)> {
    let rows = radial_growths();
    if let Some(row) = rows.iter().find(|row| row.woods.contains(&wood.species.id)) {
        let fit = if row.is_group() {
            Fit::Genus
        } else {
            Fit::Species
        };
        return Some((row, fit));
    }
    let other = match wood.species.class {
        WoodClass::Softwood => "other_softwoods",
        WoodClass::Hardwood => "other_hardwoods",
    };
    let row = rows.iter().find(|row| row.id == other)?;
    Some((row, Fit::Class))
}

/// Every species of bark.
pub fn bark_ratios() -> &'static [BarkRatio] {
    reader::rows(&BARKS)
}

/// The bark of a wood; none where its species is not in the table.
///
/// ```rust
/// use barkline::tables;
///
/// let fir = tables::find_green_wood("coast Douglas-fir")?;
/// assert_eq!(tables::bark_ratio(fir).map(|row| row.ratio), Some(0.063));
/// # Ok::<(), tables::LookupError>(())
/// ```
pub fn bark_ratio(wood: &GreenWood) -> Option<&'static BarkRatio> {
    bark_ratios()
        .iter()
        .find(|row| row.woods.contains(&wood.species.id))
}

pub(super) fn verify() -> Result<(), TableError> {
    reader::sound(&SPECIES)?;
    reader::sound(&TAPERS)?;
    reader::sound(&GROWTHS)?;
    reader::sound(&BARKS)
}
