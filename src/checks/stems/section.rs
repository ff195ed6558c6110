//! The stem at a drilled section: what hole and cavity take, and the stress of platform and wind together. Stress is reported, not judged;
//! a large loss of section asks for somebody to look.

use super::Question;
use super::movement::{storm_sway, worst_side};
use crate::checks::Verdict;
use crate::mechanics::stem::{Bore, cavity_strength_loss, stepped_hole_strength_loss};
use crate::mechanics::{MechanicsError, round_bar};
use crate::model::{Anchor, Criteria, Platform, Standing, Stem, Sway};
use crate::units::{Length, Moment, Stress, si};

/// A stem at the level of an anchor.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionResult {
    /// The anchor.
    pub anchor: String,
    /// Share of the bending strength that the hole takes, with others at the same level, in the plane of bending (1).
    pub hole_loss: f64,
    /// Share that the cavity takes (1); none in a stem that is not said to be hollow.
    pub cavity_loss: Option<f64>,
    /// Share that both take (1).
    pub loss: f64,
    /// Bending moment of the platform's loads here, those of one side together.
    pub platform_moment: Moment,
    /// Bending moment of the service wind here, where it can be estimated.
    pub wind_moment: Option<Moment>,
    /// Stress of both in what is left of the section; nothing where nothing is left.
    pub stress: Option<Stress>,
    /// The same with the storm in place of the service wind.
    pub storm_stress: Option<Stress>,
    /// The stress over the mean rupture of the green stem with its knots (1).
    pub share_of_rupture: Option<f64>,
    /// `review` where the loss is beyond what arborists act on; never a judgement of the stress.
    pub verdict: Verdict,
    /// How well founded the limit on the loss is.
    pub standing: Standing,
    /// What is to be seen to.
    pub note: Option<String>,
}

pub(super) fn sections(
    platform: &Platform,
    criteria: &Criteria,
    question: &Question<'_>,
    anchors: &[(usize, &Anchor)],
) -> Result<Vec<SectionResult>, MechanicsError> {
    anchors
        .iter()
        .map(|(_, anchor)| section(platform, criteria, question, anchor, anchors))
        .collect()
}

fn section(
    platform: &Platform,
    criteria: &Criteria,
    question: &Question<'_>,
    anchor: &Anchor,
    of_tree: &[(usize, &Anchor)],
) -> Result<SectionResult, MechanicsError> {
    let stem = platform.stem_of(anchor);
    let hole_loss = holes_at(platform, anchor, of_tree)?.min(1.0);
    let cavity_loss = cavity(stem)?;
    let left = (1.0 - hole_loss) * (1.0 - cavity_loss.unwrap_or(0.0));
    let platform_moment = worst_side(platform, question.loads, &at_or_above(anchor, of_tree));
    let of_wind = |sway: Option<Sway>| sway.and_then(|sway| sway.estimate).map(|e| e.moment);
    let wind_moment = of_wind(stem.sway(anchor.level, &question.winds.service));
    let storm = question
        .winds
        .storm
        .and_then(|storm| storm_sway(stem, anchor.level, &storm));
    let modulus = round_bar::elastic_modulus(sound_diameter(stem))? * left;
    let stress = |wind: Moment| (left > 0.0).then(|| (platform_moment + wind) / modulus);
    let service = stress(wind_moment.unwrap_or_default());
    let loss = 1.0 - left;
    let allowed = criteria.factor("section_loss");
    let beyond = loss > allowed;
    Ok(SectionResult {
        anchor: anchor.id.clone(),
        hole_loss,
        cavity_loss,
        loss,
        platform_moment,
        wind_moment,
        stress: service,
        storm_stress: of_wind(storm).and_then(stress),
        share_of_rupture: service.zip(rupture(stem)).map(|(stress, rupture)| (stress / rupture).value),
        verdict: if beyond {
            Verdict::Review
        } else {
            Verdict::Pass
        },
        standing: criteria.standing("section_loss"),
        note: beyond.then(|| {
            format!(
                "hole and cavity take {:.0} % of the strength of the stem at {}, more than the {:.0} % at which arborists act",
                loss * 100.0,
                anchor.id,
                allowed * 100.0
            )
        }),
    })
}

/// Diameter of the sound wood.
fn sound_diameter(stem: &Stem) -> Length {
    (stem.wood_radius() - stem.soft) * 2.0
}

/// Mean rupture of the green stem with its knots.
fn rupture(stem: &Stem) -> Option<Stress> {
    let parts = stem.whole.as_ref()?.mechanics.as_ref()?.parts();
    Some(parts.rupture? * parts.knot_factor)
}

/// What a cavity takes; a wall as thick as the radius is no cavity.
fn cavity(stem: &Stem) -> Result<Option<f64>, MechanicsError> {
    let d = sound_diameter(stem);
    stem.shell
        .map(|shell| cavity_strength_loss(d, shell.min(d / 2.0)))
        .transpose()
}

/// What the hole of an anchor and those beside it at its level take together.
fn holes_at(
    platform: &Platform,
    anchor: &Anchor,
    of_tree: &[(usize, &Anchor)],
) -> Result<f64, MechanicsError> {
    let mut sum = 0.0;
    for (_, other) in of_tree {
        let reach = (anchor.size.boss.bears + other.size.boss.bears) / 2.0;
        let apart = match (anchor.level, other.level) {
            (Some(own), Some(theirs)) => (own - theirs).abs(),
            // Two that are not known to lie apart are taken as at one level.
            _ => si::metres(0.0),
        };
        if other.id == anchor.id || apart < reach {
            sum += hole(other, platform.stem_of(other))?;
        }
    }
    Ok(sum)
}

/// What the hole of one anchor takes: a counterbore for the boss and a bore for the thread.
fn hole(anchor: &Anchor, stem: &Stem) -> Result<f64, MechanicsError> {
    let d = sound_diameter(stem);
    let shank = anchor.size.shank.iter().map(|piece| piece.bears);
    let widest = shank.reduce(Length::max).unwrap_or(anchor.size.boss.bears);
    let deep = anchor.sound_length(stem).min(d);
    let boss = anchor.sound_boss(stem).min(d);
    if boss.value <= 0.0 {
        return crate::mechanics::stem::hole_strength_loss(d, widest, deep);
    }
    let counterbore = Bore {
        diameter: anchor.size.boss.bears,
        depth: boss,
    };
    let bore = Bore {
        diameter: widest,
        depth: deep,
    };
    stepped_hole_strength_loss(d, counterbore, bore)
}

/// The anchors of its tree at this level or above it, which bend the stem here; those without a level count.
fn at_or_above<'a>(anchor: &Anchor, of_tree: &[(usize, &'a Anchor)]) -> Vec<(usize, &'a Anchor)> {
    let above = |other: &Anchor| match (anchor.level, other.level) {
        (Some(own), Some(theirs)) => theirs >= own,
        _ => true,
    };
    let all = of_tree.iter().copied();
    all.filter(|(_, other)| above(other)).collect()
}
