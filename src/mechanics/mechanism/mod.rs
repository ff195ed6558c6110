//! Plastic limit load of a stepped bar in wood: exact for rectangular bearing blocks and plastic hinges.
//!
//! The wood resists with a constant line load q on the side it is pushed, the steel with a plastic moment M_p at any
//! section. By the kinematic theorem the limit load is the least of
//!
//! ```text
//! λ = ( ∫ q·|w| dx + Σ M_p·|Δθ| ) / ( P·w₀ + M·θ₀ )      w piecewise linear, kinked at hinges
//! ```
//!
//! over all shapes w with a positive denominator. The work of a sum of two shapes is no more than the sum of their
//! works, and it is equal where the shapes nowhere move against each other and no hinge turns against the other's.
//! Between two neighbouring zeros of w, every shape is such a sum of shapes with a single hinge there; outside of the
//! outermost zero it is a sum of shapes without a hinge, and of shapes that turn about the load point. So the least λ
//! is reached by one of these:
//!
//! ```text
//! outer part turns rigidly about a centre c, and then
//!   ─ the bar turns as a whole to its tip (rigid rotation), or
//!   ─ a hinge at c itself, the inner part still, or
//!   ─ a hinge further in, the part beyond pushed the other way about its own centre, and so on inward
//! ```
//!
//! A hinge of the last kind lies where the reaction bends the moment line away from M_p, so only at a step. With the
//! largest moment M_max(c) that the bar inside of c can take when pinned there, and the largest shear W(h) with which
//! it can be pushed back beyond a hinge at h,
//!
//! ```text
//! λ        = min over c ≥ x₀ of [ ∫ q(c − x) dx from x₀ + M_max(c) ] / | P·(c − x₀) + M |
//! M_max(c) = min of  M_p(c),  ∫ q(x − c) dx to the tip,  M_p(h) + ∫ q(x − c) dx to h + (h − c)·W(h)  for steps h > c
//! W(h)     = min over c > h of [ M_p(h) + ∫ q(c − x) dx from h + M_max(c) ] / (c − h)
//! ```
//!
//! each a quotient of a quadratic and a linear function on each segment, whose minimum is one square root. All that
//! does not depend on the load is found once, from the tip outward.
//!
//! Signs and axis as in [`foundation`](super::foundation). Closed forms for one segment stand in [`one_segment`], for
//! two in [`two_segments`].

pub mod one_segment;
mod quotient;
pub mod two_segments;

use super::MechanicsError;
use super::guard::Guard;
use crate::units::si::metres;
use crate::units::{Force, Length, LineLoad, Moment};
use quotient::Quotient;

/// A hinge closer to a boundary of segments than this share of the bar's length is named as being there.
const AT_STEP: f64 = 1e-9;

/// A uniform length of bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlasticSegment {
    /// Its length along the bar.
    pub length: Length,
    /// What the wood resists at most per length: bearing strength times bearing diameter; zero where nothing bears.
    pub resistance: LineLoad,
    /// The plastic moment of the steel.
    pub plastic_moment: Moment,
}

/// How the bar gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mechanism {
    /// The whole bar turns about a centre in the wood; the steel does not yield.
    RigidRotation,
    /// A hinge along the arm, or at the load point outside the wood; what lies inside does not move.
    HingeOutside,
    /// A hinge at the face of the wood; what lies inside does not move.
    HingeAtFace,
    /// A hinge at a step of the embedded bar, on its weaker side; what lies inside does not move.
    HingeAtStep,
    /// A hinge within an embedded segment; what lies inside does not move.
    HingeInWood,
    /// A hinge between two segments, and the part inside of it is pushed back: it moves against the load.
    InnerPushedBack,
}

/// A rigid part of a mechanism.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MovingPart {
    /// Its outer end.
    pub from: Length,
    /// Its inner end: a hinge, or the tip.
    pub to: Length,
    /// Whether it ends in a hinge.
    pub hinge: bool,
    /// The place about which it turns.
    pub centre: Length,
}

/// A plastic limit load.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitLoad {
    /// The factor λ (pure number) by which the given force and moment together reach the limit.
    pub factor: f64,
    /// How the bar gives way.
    pub mechanism: Mechanism,
    /// The centre about which the loaded part turns.
    pub centre: Length,
    /// The hinge nearest to the load, if there is one.
    pub hinge: Option<Length>,
    /// All moving parts, from the load inward; each turns against the one before it.
    pub parts: Vec<MovingPart>,
}

/// Where a moving part ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    /// In a hinge at its own centre; the bar beyond is still.
    Still,
    /// At the boundary of this index: a hinge, or the tip.
    Boundary(usize),
}

/// A centre and the end of the part that turns about it: the best of a search, and its value.
#[derive(Debug, Clone, Copy)]
struct Turn {
    value: f64,
    centre: f64,
    end: End,
}

/// Shear and moment at a section, of a bar pushed back with all it can resist.
#[derive(Debug, Clone, Copy, Default)]
struct Pushed {
    shear: f64,
    moment: f64,
}

#[derive(Debug, Clone, Default)]
struct Segment {
    /// Its place in the list, arm first; also the number of the boundary at its outer end.
    index: usize,
    start: f64,
    end: f64,
    q: f64,
    plastic_moment: f64,
    /// At the inner end of this segment, the bar pushed back as far as each boundary from there to the tip.
    pushed: Vec<Pushed>,
}

impl Segment {
    fn length(&self) -> f64 {
        self.end - self.start
    }

    /// The moment that turns the bar inside of the point at `s` from this segment's inner end, pinned there and pushed
    /// back as far as the boundary that `pushed` belongs to.
    fn pinned(&self, pushed: Pushed, s: f64) -> f64 {
        pushed.moment + pushed.shear * s + self.q * s * s / 2.0
    }
}

/// A bar of coaxial segments that can yield: an arm outside, an embedded length inside.
#[derive(Debug, Clone, Default)]
pub struct PlasticBar {
    segments: Vec<Segment>,
    /// For each boundary between segments, the part beyond pushed back (its `value` is the shear W); the outermost
    /// and the innermost entries are not used.
    back: Vec<Option<Turn>>,
    /// Where the bar beyond is kept while it is pushed back from the tip outward.
    pushed: Vec<Pushed>,
}

impl PlasticBar {
    /// A bar from `arm`, listed from the load point inward, and `embedded`, listed from the face inward. A resistance
    /// given along the arm counts.
    ///
    /// # Errors
    ///
    /// A length or a plastic moment that is not a positive finite number, a negative resistance, or a bar on which no
    /// segment resists.
    pub fn new(
        arm: &[PlasticSegment],
        embedded: &[PlasticSegment],
    ) -> Result<Self, MechanicsError> {
        let mut bar = Self::default();
        bar.lay(arm, embedded)?;
        Ok(bar)
    }

    /// Makes this bar one of other segments, in the room that it has already. After an error nothing can be asked of it
    /// until it is laid again.
    ///
    /// # Errors
    ///
    /// As [`PlasticBar::new`].
    pub fn lay(
        &mut self,
        arm: &[PlasticSegment],
        embedded: &[PlasticSegment],
    ) -> Result<(), MechanicsError> {
        let mut start = -arm.iter().map(|segment| segment.length.value).sum::<f64>();
        let count = arm.len() + embedded.len();
        self.segments.resize_with(count, Segment::default);
        for (index, (segment, laid)) in arm
            .iter()
            .chain(embedded)
            .zip(&mut self.segments)
            .enumerate()
        {
            let length = segment
                .length
                .positive("the length of a bar segment")?
                .value;
            let end = if index + 1 == arm.len() {
                0.0
            } else {
                start + length
            };
            *laid = Segment {
                index,
                start,
                end,
                q: segment
                    .resistance
                    .not_negative("the resistance of the wood")?
                    .value,
                plastic_moment: segment.plastic_moment.positive("the plastic moment")?.value,
                pushed: std::mem::take(&mut laid.pushed),
            };
            start = end;
        }
        if !self.segments.iter().any(|segment| segment.q > 0.0) {
            return Err(MechanicsError::NoSolution {
                what: "nothing resists the bar",
            });
        }
        push_back(&mut self.segments, &mut self.pushed, &mut self.back)
    }

    /// The limit load under `force` and `moment` at the load point, which grow together.
    ///
    /// # Errors
    ///
    /// A load that is not finite, no load at all, or numbers too large to compute with.
    pub fn limit(&self, force: Force, moment: Moment) -> Result<LimitLoad, MechanicsError> {
        Ok(self.describe(self.first_turn(force, moment)?))
    }

    /// The factor of [`PlasticBar::limit`] alone, without the mechanism that it belongs to (pure number).
    ///
    /// # Errors
    ///
    /// As [`PlasticBar::limit`].
    pub fn limit_factor(&self, force: Force, moment: Moment) -> Result<f64, MechanicsError> {
        Ok(self.first_turn(force, moment)?.value)
    }

    /// The turn of the loaded part at the limit load.
    fn first_turn(&self, force: Force, moment: Moment) -> Result<Turn, MechanicsError> {
        let force = force.finite("the force on the bar")?.value;
        let moment = moment.finite("the moment on the bar")?.value;
        // Turning with the load or, where the moment opposes the force, against the force.
        let best = [
            Pushed {
                shear: force,
                moment,
            },
            Pushed {
                shear: -force,
                moment: -moment,
            },
        ]
        .into_iter()
        .filter_map(|load| least_turn(&self.segments, load, 0.0))
        .min_by(|one, other| one.value.total_cmp(&other.value))
        .ok_or(MechanicsError::NoSolution {
            what: "a bar without load has no limit load",
        })?;
        best.value.finite("the limit load")?;
        Ok(best)
    }

    /// The mechanism that begins with this turn of the loaded part.
    fn describe(&self, first: Turn) -> LimitLoad {
        let mut parts = Vec::with_capacity(2);
        let mut from = self.boundary(0);
        let mut turn = Some(first);
        while let Some(Turn { centre, end, .. }) = turn {
            let (to, hinge) = match end {
                End::Still => (centre, true),
                End::Boundary(at) => (self.boundary(at), at < self.segments.len()),
            };
            parts.push(MovingPart {
                from: metres(from),
                to: metres(to),
                hinge,
                centre: metres(centre),
            });
            from = to;
            turn = match end {
                End::Boundary(at) => self.back.get(at).copied().flatten(),
                End::Still => None,
            };
        }
        let hinge = parts.first().filter(|part| part.hinge).map(|part| part.to);
        let mechanism = match hinge {
            None => Mechanism::RigidRotation,
            Some(_) if first.end != End::Still => Mechanism::InnerPushedBack,
            Some(place) => self.still_hinge(place.value),
        };
        LimitLoad {
            factor: first.value,
            mechanism,
            centre: metres(first.centre),
            hinge,
            parts,
        }
    }

    /// The name of the mechanism with a hinge at `place` and the bar beyond still.
    fn still_hinge(&self, place: f64) -> Mechanism {
        let span = self.boundary(self.segments.len()) - self.boundary(0);
        let at = |x: f64| (place - x).abs() <= AT_STEP * span;
        if at(0.0) {
            Mechanism::HingeAtFace
        } else if place < 0.0 {
            Mechanism::HingeOutside
        } else if self.segments.iter().any(|segment| at(segment.start)) {
            Mechanism::HingeAtStep
        } else {
            Mechanism::HingeInWood
        }
    }

    fn boundary(&self, at: usize) -> f64 {
        self.segments
            .get(at)
            .or(self.segments.last())
            .map_or(0.0, |segment| {
                if at < self.segments.len() {
                    segment.start
                } else {
                    segment.end
                }
            })
    }
}

/// Fills, from the tip outward, what each segment must know of the bar inside of it, and for each boundary the part
/// beyond it pushed back.
fn push_back(
    segments: &mut [Segment],
    pushed: &mut Vec<Pushed>,
    back: &mut Vec<Option<Turn>>,
) -> Result<(), MechanicsError> {
    back.clear();
    back.resize(segments.len() + 1, None);
    pushed.clear();
    pushed.push(Pushed::default());
    for k in (0..segments.len()).rev() {
        let (outside, inside) = segments.split_at_mut(k);
        let Some(segment) = inside.first_mut() else {
            break;
        };
        segment.pushed.clone_from(pushed);
        let Some(outer) = outside.last() else { break };
        let hinge = outer.plastic_moment.min(segment.plastic_moment);
        let (q, length) = (segment.q, segment.length());
        let turn = least_turn(
            inside,
            Pushed {
                shear: 1.0,
                moment: 0.0,
            },
            hinge,
        )
        .ok_or(MechanicsError::NoSolution {
            what: "the resistances are too large to compute with",
        })?;
        for end in pushed.iter_mut() {
            end.moment += (end.shear + q * length / 2.0) * length;
            end.shear += q * length;
        }
        pushed.insert(
            0,
            Pushed {
                shear: turn.value,
                moment: hinge,
            },
        );
        if let Some(place) = back.get_mut(k) {
            *place = Some(turn);
        }
    }
    Ok(())
}

/// The least, over all centres on `segments`, of the work of the turning part, plus `work`, per work of `load` at the
/// outer end of the first segment.
fn least_turn(segments: &[Segment], load: Pushed, work: f64) -> Option<Turn> {
    let mut best: Option<Turn> = None;
    let mut offer = |quotient: Quotient, segment: &Segment, end: End| {
        let Some((value, t)) = quotient.least(segment.length()) else {
            return;
        };
        if best.is_none_or(|best| value < best.value) {
            let centre = segment.start + t;
            // A centre at the hinge itself does not move the bar beyond.
            let at_hinge = t >= segment.length() * (1.0 - AT_STEP);
            let end = match end {
                End::Boundary(at) if at_hinge && at == segment.index + 1 => End::Still,
                end => end,
            };
            best = Some(Turn { value, centre, end });
        }
    };
    // Work of the resistance and of the load as the centre stands at the outer end of a segment, and its growth there.
    let (mut resisted, mut growth, mut done) = (work, 0.0, load.moment);
    for segment in segments {
        let (q, length) = (segment.q, segment.length());
        let quotient = Quotient {
            constant: resisted + segment.plastic_moment,
            linear: growth,
            square: q / 2.0,
            divisor: done,
            divisor_growth: load.shear,
        };
        offer(quotient, segment, End::Still);
        for (boundary, pushed) in (segment.index + 1..).zip(&segment.pushed) {
            let quotient = Quotient {
                constant: resisted + segment.pinned(*pushed, length),
                linear: growth - pushed.shear - q * length,
                square: q,
                ..quotient
            };
            offer(quotient, segment, End::Boundary(boundary));
        }
        resisted += (growth + q * length / 2.0) * length;
        growth += q * length;
        done += load.shear * length;
    }
    best
}
