//! One anchor once more: its bar by elements, its limit load by a linear programme, and by both the use of each limit
//! state under the load that the checks found worst.

use super::OpinionError;
use super::bar::{Acting, Bar, Bent, Piece};
use super::plastic;
use crate::model::{Anchor, Basis, Bound, Criteria, LimitState, SafetyFormat, Segment, Stem};
use std::f64::consts::PI;
use std::rc::Rc;

/// Line modulus across the grain over that along it (1).
const ACROSS: f64 = 1.0 / 3.0;
/// Creep of what is permanent, over the elastic deflection (1).
const CREEP: f64 = 2.0;
/// An inch (m) and a pound-force per square inch (Pa): the units of the equations for dowels and threads.
const INCH: f64 = 0.0254;
const PSI: f64 = 4.448_221_615_260_5 / (INCH * INCH);
/// The thickest thread of the equation of withdrawal (in).
const THICKEST_THREAD: f64 = 1.25;

/// The load and the state under which a limit state is worked out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Under {
    /// Down, side and out (N).
    pub(super) load: [f64; 3],
    /// Range of down and side load (N).
    pub(super) range: [f64; 2],
    /// Duration factor (1).
    pub(super) duration: f64,
    pub(super) permanent: bool,
    pub(super) permanent_share: f64,
    /// Bound of the foundation, and whether the boss is loose; none where the bar has no one state.
    pub(super) state: Option<(Bound, bool)>,
}

/// What the wood bears: down and side axis (Pa).
#[derive(Debug, Clone, Copy)]
struct Strength {
    limit: [f64; 2],
    allowed: [f64; 2],
}

/// What a section of the bar bears, before any factor.
#[derive(Debug, Clone, Copy)]
struct Section {
    moment: f64,
    shear: f64,
    pull: f64,
    modulus: f64,
}

/// Both planes of the bar in one state, and what multiplies each.
#[derive(Debug, Clone)]
struct Planes {
    bars: [Rc<Bar>; 2],
    bent: [Rc<Bent>; 2],
    scale: [f64; 2],
    beds: [f64; 2],
    gap: f64,
}

/// An anchor with what its limit states share.
#[derive(Debug)]
pub(super) struct Second<'a> {
    anchor: &'a Anchor,
    stem: &'a Stem,
    criteria: &'a Criteria,
    outside: Vec<Segment>,
    inside: Vec<Segment>,
    snug: Vec<Snug>,
}

/// A snug bar under one newton, by multiple of the foundation and plane.
type Snug = ((u64, usize), (Rc<Bar>, Rc<Bent>));

fn both([a, b]: [f64; 2]) -> f64 {
    a.hypot(b)
}

/// A relation of Hankinson between strengths or moduli along and across the grain.
fn between(along: f64, across: f64, angle: f64) -> f64 {
    let (sin, cos) = angle.sin_cos();
    along * across / (along * sin * sin + across * cos * cos)
}

impl<'a> Second<'a> {
    pub(super) fn new(anchor: &'a Anchor, stem: &'a Stem, criteria: &'a Criteria) -> Self {
        Self {
            anchor,
            stem,
            criteria,
            outside: anchor.outside(stem),
            inside: anchor.inside(stem),
            snug: Vec::new(),
        }
    }

    fn factor(&self, key: &str) -> f64 {
        self.criteria.factor(key)
    }

    /// The angle between the grain and the down axis (rad).
    fn grain(&self) -> f64 {
        self.anchor.axes(self.stem).grain.value
    }

    /// Line modulus in a plane at a multiple of the central foundation (Pa).
    fn bed(&self, plane: usize, multiple: f64) -> f64 {
        let along = self.stem.wood.foundation_modulus().value * multiple;
        match plane {
            0 => between(along, along * ACROSS, self.grain()),
            _ => along * ACROSS,
        }
    }

    fn pieces(&self) -> impl Iterator<Item = &Segment> {
        self.outside.iter().chain(&self.inside)
    }

    /// Whether the boss has a step behind it, so that it can be loose in its hole.
    fn clearance(&self) -> f64 {
        let stepped =
            self.anchor.sound_boss(self.stem).value > 0.0 && !self.anchor.size.shank.is_empty();
        if stepped {
            self.factor("boss_clearance").max(0.0)
        } else {
            0.0
        }
    }

    fn bar(&self, plane: usize, multiple: f64, gap: f64) -> Bar {
        let bed = self.bed(plane, multiple);
        let outside = self.outside.len();
        let pieces = self.pieces().enumerate().map(|(k, segment)| Piece {
            length: segment.length.value,
            rigidity: segment.steel.modulus.value * PI * segment.resists.value.powi(4) / 64.0,
            bed: if k < outside { 0.0 } else { bed },
            gap: if k == outside { gap } else { 0.0 },
        });
        Bar::new(pieces.collect(), outside)
    }

    /// The snug bar under a newton.
    fn unit(&mut self, plane: usize, multiple: f64) -> Result<(Rc<Bar>, Rc<Bent>), OpinionError> {
        let key = (multiple.to_bits(), plane);
        if let Some((_, known)) = self.snug.iter().find(|(known, _)| *known == key) {
            return Ok(known.clone());
        }
        let bar = self.bar(plane, multiple, 0.0);
        let bent = bar.bend(1.0)?;
        let solved = (Rc::new(bar), Rc::new(bent));
        self.snug.push((key, solved.clone()));
        Ok(solved)
    }

    /// Force per deflection at the load point, down and side (N/m).
    pub(super) fn stiffness(&mut self, multiple: f64) -> Result<[f64; 2], OpinionError> {
        let mut of = |plane| {
            let (_, bent) = self.unit(plane, multiple)?;
            Ok::<_, OpinionError>(1.0 / Bar::sinking(&bent))
        };
        Ok([of(0)?, of(1)?])
    }

    /// The bar under a load across it, at a multiple of the foundation, snug or loose.
    fn planes(
        &mut self,
        load: [f64; 2],
        multiple: f64,
        loose: bool,
    ) -> Result<Planes, OpinionError> {
        let gap = if loose { self.clearance() } else { 0.0 };
        let load = load.map(f64::abs);
        let mut of = |plane: usize| {
            if gap == 0.0 {
                return Ok::<_, OpinionError>((self.unit(plane, multiple)?, load[plane]));
            }
            let bar = self.bar(plane, multiple, gap);
            let bent = bar.bend(load[plane])?;
            Ok(((Rc::new(bar), Rc::new(bent)), 1.0))
        };
        let (((bar_down, down), by_down), ((bar_side, side), by_side)) = (of(0)?, of(1)?);
        Ok(Planes {
            bars: [bar_down, bar_side],
            bent: [down, side],
            scale: [by_down, by_side],
            beds: [self.bed(0, multiple), self.bed(1, multiple)],
            gap,
        })
    }

    /// Strengths of the wood under a duration factor.
    fn strength(&self, duration: f64) -> Strength {
        let (wood, angle) = (&self.stem.wood, self.grain());
        let spread = self.factor("exclusion") * wood.crushing_variation();
        let green = self.factor("embedment_along") * wood.crushing().value * (1.0 - spread);
        let (mut along, mut across) = (green, wood.across().value);
        if self.criteria.basis == Basis::DowelBearing {
            let (gravity, wet) = (wood.dry_gravity().0, self.factor("dowel_bearing_wet"));
            let thickest = self
                .inside
                .iter()
                .map(|own| own.bears.value)
                .fold(0.0, f64::max);
            along = along.min(11_200.0 * gravity * PSI * wet);
            let dowel = 6_100.0 * gravity.powf(1.45) / (thickest / INCH).sqrt();
            across = across.min(dowel * PSI * wet);
        }
        let lasting = along * duration;
        let allowed_across = across / self.factor("boss_bearing_across");
        Strength {
            limit: [between(lasting, across, angle), across],
            allowed: [
                between(lasting / self.factor("boss_bearing"), allowed_across, angle),
                allowed_across,
            ],
        }
    }

    fn sections(&self) -> Vec<Section> {
        let section = |segment: &Segment| {
            let (d, yields) = (segment.resists.value, segment.steel.yield_strength.value);
            let (modulus, area) = (PI * d * d * d / 32.0, PI * d * d / 4.0);
            Section {
                moment: yields * (d * d * d / 6.0).min(1.6 * modulus),
                shear: 0.6 * yields * area,
                pull: yields * area,
                modulus,
            }
        };
        self.pieces().map(section).collect()
    }

    /// The use of a limit state under a load; none where no second route leads to it.
    pub(super) fn utilization(
        &mut self,
        limit_state: LimitState,
        under: &Under,
    ) -> Result<Option<f64>, OpinionError> {
        Ok(Some(match limit_state {
            LimitState::LimitLoad => self.limit_load(under)?,
            LimitState::PullAndSide => self.pull_and_side(under)?,
            LimitState::Deflection => self.deflection(under)?,
            _ => {
                let Some((bound, loose)) = under.state else {
                    return Ok(None);
                };
                let load = match limit_state {
                    LimitState::SteelFatigue => under.range,
                    _ => [under.load[0], under.load[1]],
                };
                let planes = self.planes(load, bound.factor(), loose)?;
                match self.elastic(limit_state, under, &planes) {
                    Some(used) => used,
                    None => return Ok(None),
                }
            }
        }))
    }

    fn elastic(&self, limit_state: LimitState, under: &Under, planes: &Planes) -> Option<f64> {
        let strength = self.strength(under.duration);
        let sections = self.sections();
        let all = 0..sections.len();
        let over = |f: &dyn Fn(&Section, [Acting; 2]) -> f64| {
            all.clone()
                .map(|k| planes.largest(k, |at| f(&sections[k], at)))
                .fold(0.0, f64::max)
        };
        let moment = |at: [Acting; 2]| both(at.map(|at| at.moment));
        let shear = |at: [Acting; 2]| both(at.map(|at| at.shear));
        let [embedded, cut] = ["steel_bending_embedded", "steel_shear"].map(|key| self.factor(key));
        Some(match limit_state {
            LimitState::BossBearing => self.boss(&strength, planes),
            LimitState::ShankBearing => self.shank(&strength, planes)?,
            LimitState::FirstCrushing => self.crushing(under, &strength, planes),
            LimitState::SteelBendingBarkLine => self.bark_line(&sections, planes),
            LimitState::SteelBendingEmbedded => over(&|own, at| moment(at) * embedded / own.moment),
            LimitState::SteelShear => over(&|own, at| shear(at) * cut / own.shear),
            LimitState::SteelInteraction => {
                let pull = under.load[2].abs() * self.factor("steel_interaction");
                over(&|own, at| {
                    let bends = pull / own.pull + moment(at) * embedded / own.moment;
                    both([bends, shear(at) * cut / own.shear])
                })
            }
            LimitState::SteelFatigue => {
                let allowed = self.factor("steel_fatigue");
                over(&|own, at| moment(at) / own.modulus / allowed)
            }
            _ => return None,
        })
    }

    fn boss(&self, strength: &Strength, planes: &Planes) -> f64 {
        let t = self.anchor.sound_boss(self.stem).value;
        let area = t * self.anchor.size.boss.bears.value;
        let outside = self.outside.len();
        let taken = planes.at(outside, 0.0).map(|at| at.shear);
        let left = planes.at(outside, t).map(|at| at.shear);
        let share = |k: usize| (taken[k] - left[k]) / area / strength.allowed[k];
        both([share(0), share(1)])
    }

    fn shank(&self, strength: &Strength, planes: &Planes) -> Option<f64> {
        let diameter = self.anchor.size.shank.first()?.bears.value;
        let low = self.anchor.sound_boss(self.stem).value.max(0.0);
        let end = self.anchor.sound_length(self.stem).value;
        let length = diameter.min(end - low);
        let factors = [
            self.factor("boss_bearing") / self.factor("shank_bearing"),
            self.factor("boss_bearing_across") / self.factor("shank_bearing_across"),
        ];
        let per: [f64; 2] =
            std::array::from_fn(|k| 1.0 / (diameter * length * strength.allowed[k] * factors[k]));
        let [a, b] = planes.scale;
        let f = |taken: [f64; 2]| both([taken[0] * a * per[0], taken[1] * b * per[1]]);
        let (bars, bent) = (planes.bars.each_ref(), planes.bent.each_ref());
        let window = [low, end - length, length];
        Some(Bar::largest_taken(
            bars.map(Rc::as_ref),
            bent.map(Rc::as_ref),
            window,
            f,
        ))
    }

    fn crushing(&self, under: &Under, strength: &Strength, planes: &Planes) -> f64 {
        let factor = self.factor(if under.permanent {
            "first_crushing_permanent"
        } else {
            "first_crushing"
        });
        let outside = self.outside.len();
        let of = |(k, segment): (usize, &Segment)| {
            let gap = if k == 0 { planes.gap } else { 0.0 };
            planes.largest(outside + k, |at| {
                let share = |plane: usize| {
                    let pressed = (at[plane].deflection.abs() - gap).max(0.0);
                    planes.beds[plane] * pressed / segment.bears.value * factor
                        / strength.limit[plane]
                };
                both([share(0), share(1)])
            })
        };
        self.inside.iter().enumerate().map(of).fold(0.0, f64::max)
    }

    /// The moment at the wood surface, by statics alone, against the weaker of the sections that meet there.
    fn bark_line(&self, sections: &[Section], planes: &Planes) -> f64 {
        let outside = self.outside.len();
        let from = outside.saturating_sub(1);
        let meet = &sections[from..(outside + 1).min(sections.len())];
        let weakest = meet
            .iter()
            .map(|own| own.moment)
            .fold(f64::INFINITY, f64::min);
        let moment = both(planes.at(outside, 0.0).map(|at| at.moment));
        moment * self.factor("steel_bending_bark_line") / weakest
    }

    fn deflection(&mut self, under: &Under) -> Result<f64, OpinionError> {
        let load = [under.load[0], under.load[1]];
        let mut sinks = |bound: Bound, loose: bool| {
            let planes = self.planes(load, bound.factor(), loose)?;
            let sinks = |k: usize| planes.scale[k] * Bar::sinking(&planes.bent[k]);
            Ok::<_, OpinionError>(both([sinks(0), sinks(1)]))
        };
        // Without clearance the loose bar is the snug one.
        let soft = sinks(Bound::Soft, false)?.max(sinks(Bound::Soft, true)?);
        let (snug, loose) = (sinks(Bound::Central, false)?, sinks(Bound::Central, true)?);
        let creeps = snug * (1.0 + CREEP * under.permanent_share) + (loose - snug).max(0.0);
        let arm = self.anchor.sound_arm(self.stem).value;
        let allowed = arm * self.factor("deflection_share");
        Ok(soft.max(creeps) / allowed.max(self.factor("deflection_floor")))
    }

    /// The limit load with a strength of the wood (N).
    fn limit(&self, strength: f64) -> Result<f64, OpinionError> {
        let outside = self.outside.len();
        let pieces = self
            .pieces()
            .enumerate()
            .map(|(k, segment)| plastic::Piece {
                length: segment.length.value,
                resists: if k < outside {
                    0.0
                } else {
                    strength * segment.bears.value
                },
                yields: segment.steel.yield_strength.value * segment.resists.value.powi(3) / 6.0,
            });
        plastic::limit(&pieces.collect::<Vec<_>>())
    }

    fn limit_load(&self, under: &Under) -> Result<f64, OpinionError> {
        let strength = self.strength(under.duration);
        let share = |plane: usize| match under.load[plane] {
            0.0 => Ok(0.0),
            load => Ok::<_, OpinionError>(load / self.limit(strength.limit[plane])?),
        };
        Ok(self.factor("limit_load") * both([share(0)?, share(1)?]))
    }

    fn pull_and_side(&self, under: &Under) -> Result<f64, OpinionError> {
        let across = both([under.load[0], under.load[1]]);
        let pull = under.load[2];
        let allowed_pull = self.withdrawal(under.duration);
        let allowed_across = across / self.limit_load(under)?;
        let load = both([across, pull]);
        let angle = pull.atan2(across);
        let (sin, cos) = angle.sin_cos();
        let together =
            allowed_pull * allowed_across / (allowed_pull * cos * cos + allowed_across * sin * sin);
        Ok((load / together)
            .max(pull / allowed_pull)
            .max(across / allowed_across))
    }

    /// The pull that the thread takes, or the boss at the other end of a through-rod (N).
    fn withdrawal(&self, duration: f64) -> f64 {
        let size = &self.anchor.size;
        if self.anchor.rod.is_some() {
            let hole = size.shank.first().map_or(0.0, |own| own.bears.value);
            let ring = PI / 4.0 * (size.boss.bears.value.powi(2) - hole * hole);
            return ring * self.stem.wood.across().value / self.factor("push");
        }
        let thickest = || {
            self.inside
                .iter()
                .map(|own| own.bears.value)
                .fold(0.0, f64::max)
        };
        let outside = size
            .shank
            .first()
            .map_or_else(thickest, |own| own.bears.value);
        let inches = (outside / INCH).min(THICKEST_THREAD);
        let gravity = self.stem.wood.dry_gravity().0;
        let per_inch = 1_800.0 * gravity.powf(1.5) * inches.powf(0.75) * PSI * INCH * INCH;
        let lasts = match self.criteria.format {
            SafetyFormat::Asd => duration,
            _ => 1.0,
        };
        per_inch * size.thread_length.value / INCH * self.factor("withdrawal_wet") * lasts
    }
}

impl Planes {
    /// What acts at a place of a piece, in both planes.
    fn at(&self, piece: usize, x: f64) -> [Acting; 2] {
        std::array::from_fn(|k| {
            self.bars[k]
                .at(&self.bent[k], piece, x)
                .times(self.scale[k])
        })
    }

    /// The largest of something over a piece.
    fn largest(&self, piece: usize, f: impl Fn([Acting; 2]) -> f64) -> f64 {
        self.bars[0].largest(piece, |x| f(self.at(piece, x)))
    }
}
