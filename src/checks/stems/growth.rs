//! Anchors over the years: the bar stays in the old wood, the stem comes out to it.

use crate::checks::Verdict;
use crate::mechanics::MechanicsError;
use crate::mechanics::growth::{new_wood, years_to_contact};
use crate::model::{Anchor, Beam, Carrier, Platform, Standing, Stem};
use crate::units::{Length, si};

/// An anchor over the years.
#[derive(Debug, Clone, PartialEq)]
pub struct GrowthResult {
    /// The anchor.
    pub anchor: String,
    /// Its tree.
    pub tree: String,
    /// Growth of the radius in a year.
    pub yearly: Option<Length>,
    /// Whether it was measured on this tree.
    pub measured: bool,
    /// How well founded the growth is.
    pub standing: Standing,
    /// From the bark to the near face of the beam on it, now; none without a beam.
    pub gap: Option<Length>,
    /// Years until the bark touches the beam (1).
    pub years_to_contact: Option<f64>,
    /// Year by year, from now.
    pub rows: Vec<GrowthRow>,
}

impl GrowthResult {
    /// `review` where the stem touches the beam within the years asked for.
    pub fn verdict(&self) -> Verdict {
        let last = self.rows.last().and_then(|row| row.gap);
        match last {
            Some(gap) if gap.value < 0.0 => Verdict::Review,
            _ => Verdict::NotNeeded,
        }
    }
}

/// An anchor after some years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrowthRow {
    /// Years from now.
    pub year: u32,
    /// Thickness of the wood that has grown over the old surface.
    pub new_wood: Length,
    /// From the new surface of the wood to the load: it shortens, down to nothing.
    pub arm: Length,
    /// From the old surface to the load: what strength is reckoned with, since new wood against the bar is not counted.
    pub arm_for_strength: Length,
    /// In wood, from the new surface.
    pub embedment: Length,
    /// In the wood of today.
    pub embedment_for_strength: Length,
    /// From the bark to the near face of the beam; negative once the stem has reached it.
    pub gap: Option<Length>,
}

pub(super) fn over_years(
    platform: &Platform,
    years: u32,
) -> Result<Vec<GrowthResult>, MechanicsError> {
    platform
        .anchors()
        .iter()
        .enumerate()
        .map(|(place, anchor)| over(platform, place, anchor, years))
        .collect()
}

fn over(
    platform: &Platform,
    place: usize,
    anchor: &Anchor,
    years: u32,
) -> Result<GrowthResult, MechanicsError> {
    let stem = platform.stem_of(anchor);
    let growth = stem.whole.as_ref().and_then(|whole| whole.growth.as_ref());
    let gap = gap(platform, place, anchor, stem);
    let surface = surface_growth(stem);
    let zero = si::metres(0.0);
    let years_to_contact = match (gap, surface) {
        (Some(gap), Some(surface)) if surface.value > 0.0 => {
            Some(years_to_contact(gap.max(zero), zero, surface)?)
        }
        _ => None,
    };
    let rows = match (growth, surface) {
        (Some(growth), Some(surface)) => (0..=years)
            .map(|year| {
                row(
                    anchor,
                    stem,
                    year,
                    growth.yearly,
                    gap.map(|gap| (gap, surface)),
                )
            })
            .collect::<Result<_, _>>()?,
        _ => Vec::new(),
    };
    Ok(GrowthResult {
        anchor: anchor.id.clone(),
        tree: stem.id.clone(),
        yearly: growth.map(|growth| growth.yearly),
        measured: growth.is_some_and(|growth| growth.measured),
        standing: growth.map_or(Standing::Practice, |growth| growth.origin.standing),
        gap,
        years_to_contact,
        rows,
    })
}

fn row(
    anchor: &Anchor,
    stem: &Stem,
    year: u32,
    yearly: Length,
    gap: Option<(Length, Length)>,
) -> Result<GrowthRow, MechanicsError> {
    let grown = new_wood(yearly, f64::from(year))?;
    let embedded = anchor.sound_length(stem);
    Ok(GrowthRow {
        year,
        new_wood: grown,
        arm: (anchor.arm - grown).max(si::metres(0.0)),
        arm_for_strength: anchor.arm,
        embedment: embedded + grown,
        embedment_for_strength: embedded,
        gap: gap.map(|(gap, surface)| gap - surface * f64::from(year)),
    })
}

/// How much the bark comes out in a year. A measured growth is of wood, and bark thickens with it; the estimate is over bark already.
pub(super) fn surface_growth(stem: &Stem) -> Option<Length> {
    let growth = stem.whole.as_ref()?.growth.as_ref()?;
    if !growth.measured {
        return Some(growth.yearly);
    }
    let under_bark = (stem.wood_radius() * 2.0 / stem.diameter).value;
    Some(growth.yearly / under_bark)
}

/// From the bark to the near face of the widest beam on an anchor.
fn gap(platform: &Platform, place: usize, anchor: &Anchor, stem: &Stem) -> Option<Length> {
    let on = |beam: &&Beam| {
        let here = |carrier: &Carrier| *carrier == Carrier::Anchor(place);
        beam.supports.iter().any(|support| here(&support.carrier))
    };
    let widths = platform
        .beams()
        .iter()
        .filter(on)
        .map(|beam| beam.timber.width);
    let widest = widths.reduce(Length::max)?;
    Some(anchor.arm - stem.bark - widest / 2.0)
}
