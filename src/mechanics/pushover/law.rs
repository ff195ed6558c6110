//! How a spring of wood and a joint of steel answer, and what they remember.

use std::f64::consts::FRAC_PI_4;

/// A force, or a moment, and its growth with what causes it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Answer {
    pub(super) value: f64,
    pub(super) tangent: f64,
}

/// Elastic up to a limit in both senses, then plastic: a slip that stays.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slider {
    pub(super) stiffness: f64,
    /// The largest force; infinite for a spring that never yields.
    pub(super) limit: f64,
    slip: f64,
}

impl Slider {
    pub(super) fn new(stiffness: f64, limit: f64) -> Self {
        Self {
            stiffness,
            limit,
            slip: 0.0,
        }
    }

    pub(super) fn answer(&self, place: f64) -> Answer {
        let elastic = self.stiffness * (place - self.slip);
        // What has just yielded turns back elastically.
        if elastic.abs() <= self.limit * (1.0 + f64::EPSILON * 8.0) {
            Answer {
                value: elastic,
                tangent: self.stiffness,
            }
        } else {
            Answer {
                value: self.limit.copysign(elastic),
                tangent: 0.0,
            }
        }
    }

    /// Takes `place` as reached.
    pub(super) fn settle(&mut self, place: f64) {
        if self.stiffness > 0.0 {
            self.slip = place - self.answer(place).value / self.stiffness;
        }
    }
}

/// A place at which a section turned back.
#[derive(Debug, Clone, Copy)]
struct Turn {
    curvature: f64,
    moment: f64,
    /// Whether the curvature was growing before.
    upper: bool,
}

/// A round section of elastic–perfectly plastic fibres, infinitely many of them.
///
/// Its first loading is known in closed form; every later branch is the same curve twice as large, begun where the
/// section turned back (Masing's rule, exact for elastic–perfectly plastic fibres). A branch that reaches the turn
/// before the last closes a loop, and the branch before that goes on.
#[derive(Debug, Clone)]
pub(super) struct FibreSection {
    radius: f64,
    modulus: f64,
    strength: f64,
    turns: Vec<Turn>,
    curvature: f64,
}

impl FibreSection {
    pub(super) fn new(diameter: f64, modulus: f64, strength: f64) -> Self {
        Self {
            radius: diameter / 2.0,
            modulus,
            strength,
            turns: Vec::new(),
            curvature: 0.0,
        }
    }

    /// E·I.
    pub(super) fn stiffness(&self) -> f64 {
        self.modulus * FRAC_PI_4 * self.radius.powi(4)
    }

    fn first_yield(&self) -> f64 {
        self.strength / (self.modulus * self.radius)
    }

    /// First loading. With η = κ_y/κ the elastic core reaches to ηR:
    /// M = (4/3)·F_y·R³·(1 − η²)^(3/2) + κ·E·I_core, I_core = (R⁴/2)·[asin η − η·√(1 − η²)·(1 − 2η²)].
    fn first_loading(&self, curvature: f64) -> Answer {
        let elastic = self.first_yield();
        if curvature.abs() <= elastic {
            let tangent = self.stiffness();
            return Answer {
                value: tangent * curvature,
                tangent,
            };
        }
        let eta = elastic / curvature.abs();
        let beside = (1.0 - eta * eta).sqrt();
        let core =
            self.radius.powi(4) / 2.0 * (eta.asin() - eta * beside * (1.0 - 2.0 * eta * eta));
        let tangent = self.modulus * core;
        let plastic = 4.0 / 3.0 * self.strength * self.radius.powi(3) * beside.powi(3);
        Answer {
            value: plastic.copysign(curvature) + tangent * curvature,
            tangent,
        }
    }

    fn branch(&self, from: Option<Turn>, curvature: f64) -> Answer {
        from.map_or_else(
            || self.first_loading(curvature),
            |turn| {
                let half = self.first_loading((curvature - turn.curvature) / 2.0);
                Answer {
                    value: turn.moment + 2.0 * half.value,
                    tangent: half.tangent,
                }
            },
        )
    }

    /// The turn that going to `curvature` would add: the place reached, if the section turns back from a branch on
    /// which it has yielded.
    fn new_turn(&self, curvature: f64) -> Option<Turn> {
        let last = self.turns.last().copied();
        let upper = last.map_or(self.curvature > 0.0, |turn| !turn.upper);
        let reach = last.map_or(self.curvature, |turn| {
            (self.curvature - turn.curvature) / 2.0
        });
        let back = if upper {
            curvature < self.curvature
        } else {
            curvature > self.curvature
        };
        (back && reach.abs() > self.first_yield()).then(|| Turn {
            curvature: self.curvature,
            moment: self.branch(last, self.curvature).value,
            upper,
        })
    }

    /// How many of the turns, the new one counted, are left behind when `curvature` is reached.
    fn open_turns(&self, new: Option<Turn>, curvature: f64) -> usize {
        let at = |index: usize| self.turns.get(index).copied().or(new);
        let mut count = self.turns.len() + usize::from(new.is_some());
        while let Some(turn) = count.checked_sub(1).and_then(at) {
            let before = count
                .checked_sub(2)
                .and_then(at)
                .map_or(-turn.curvature, |turn| turn.curvature);
            let open = turn.curvature.min(before)..=turn.curvature.max(before);
            if open.contains(&curvature) {
                break;
            }
            count -= 1;
        }
        count
    }

    pub(super) fn answer(&self, curvature: f64) -> Answer {
        let new = self.new_turn(curvature);
        let open = self.open_turns(new, curvature);
        let from = open
            .checked_sub(1)
            .and_then(|index| self.turns.get(index).copied().or(new));
        self.branch(from, curvature)
    }

    /// Takes `curvature` as reached.
    pub(super) fn settle(&mut self, curvature: f64) {
        let new = self.new_turn(curvature);
        let open = self.open_turns(new, curvature);
        self.turns.extend(new);
        self.turns.truncate(open);
        self.curvature = curvature;
    }
}

/// Steel between the middles of two links: turned by an angle, it answers with a moment.
#[derive(Debug, Clone)]
pub(super) enum Joint {
    /// Elastic, or elastic–perfectly plastic.
    Slider(Slider),
    /// Fibres, on the length given of each section; two at a step.
    Fibres(Vec<(f64, FibreSection)>),
}

impl Joint {
    /// The elastic stiffness.
    pub(super) fn stiffness(&self) -> f64 {
        match self {
            Self::Slider(slider) => slider.stiffness,
            Self::Fibres(parts) => {
                1.0 / parts
                    .iter()
                    .map(|(length, section)| length / section.stiffness())
                    .sum::<f64>()
            }
        }
    }

    pub(super) fn answer(&self, angle: f64) -> Answer {
        match self {
            Self::Slider(slider) => slider.answer(angle),
            Self::Fibres(parts) => match parts.as_slice() {
                [(length, section)] => {
                    let answer = section.answer(angle / length);
                    Answer {
                        tangent: answer.tangent / length,
                        ..answer
                    }
                }
                [one, other] => in_series(one, other, angle).0,
                _ => Answer {
                    value: 0.0,
                    tangent: 0.0,
                },
            },
        }
    }

    pub(super) fn settle(&mut self, angle: f64) {
        match self {
            Self::Slider(slider) => slider.settle(angle),
            Self::Fibres(parts) => match parts.as_mut_slice() {
                [(length, section)] => section.settle(angle / *length),
                [one, other] => {
                    let (_, [first, second]) = in_series(one, other, angle);
                    one.1.settle(first);
                    other.1.settle(second);
                }
                _ => {}
            },
        }
    }
}

/// Bisections that bring a bracket below rounding.
const HALVINGS: usize = 60;

/// Two sections in series under a common angle: the moment that both carry, and their curvatures.
fn in_series(
    one: &(f64, FibreSection),
    other: &(f64, FibreSection),
    angle: f64,
) -> (Answer, [f64; 2]) {
    let second = |first: f64| (angle - one.0 * first) / other.0;
    // The excess of the first moment over the second grows with the first curvature.
    let excess = |first: f64| one.1.answer(first).value - other.1.answer(second(first)).value;
    let start = one.1.curvature;
    let mut reach = (angle / one.0).abs() + one.1.first_yield();
    let (mut low, mut high) = (start - reach, start + reach);
    while excess(low) > 0.0 && reach < f64::MAX / 4.0 {
        reach *= 2.0;
        low = start - reach;
    }
    while excess(high) < 0.0 && reach < f64::MAX / 4.0 {
        reach *= 2.0;
        high = start + reach;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if excess(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let first = 0.5 * (low + high);
    let answers = [one.1.answer(first), other.1.answer(second(first))];
    let flexibility = one.0 / answers[0].tangent + other.0 / answers[1].tangent;
    let answer = Answer {
        value: answers[0].value,
        tangent: 1.0 / flexibility,
    };
    (answer, [first, second(first)])
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::{FibreSection, Slider};

    #[test]
    fn a_slider_keeps_its_slip() {
        let mut slider = Slider::new(10.0, 5.0);
        slider.settle(2.0);
        assert!((slider.answer(2.0).value - 5.0).abs() < 1e-12);
        assert!((slider.answer(1.5).value - 0.0).abs() < 1e-12);
        assert!((slider.answer(1.0).value + 5.0).abs() < 1e-12);
        assert!((slider.answer(-3.0).value + 5.0).abs() < 1e-12);
    }

    /// The closed form and Masing's rule against many thin strips that each remember their own slip.
    #[test]
    fn fibres_answer_like_many_strips() {
        let (diameter, modulus, strength) = (0.032, 205e9, 345e6);
        let mut section = FibreSection::new(diameter, modulus, strength);
        let yielding = section.first_yield();
        let (radius, count) = (diameter / 2.0, 4000);
        let width = diameter / f64::from(count);
        let mut strips: Vec<(f64, f64, Slider)> = (0..count)
            .map(|i| {
                let y = -radius + (f64::from(i) + 0.5) * width;
                (
                    y,
                    2.0 * (radius * radius - y * y).sqrt() * width,
                    Slider::new(modulus, strength),
                )
            })
            .collect();
        let plastic = strength * diameter.powi(3) / 6.0;
        // Loops within loops, a loop closed and left, a return beyond all turns to both sides.
        let path = [
            0.5, 2.0, 3.0, 1.0, -0.5, 0.5, -1.0, 2.5, 3.5, -3.0, -5.0, -4.0, -4.5, -2.0, -6.0, 4.0,
            8.0, 0.0,
        ];
        for target in path {
            let from = section.curvature;
            for step in 1..=20 {
                let curvature = from + (target * yielding - from) * f64::from(step) / 20.0;
                let sum: f64 = strips
                    .iter()
                    .map(|(y, area, strip)| y * area * strip.answer(y * curvature).value)
                    .sum();
                let moment = section.answer(curvature).value;
                assert!(
                    (moment - sum).abs() < 1e-5 * plastic,
                    "{target}: {moment} {sum}"
                );
                section.settle(curvature);
                for (y, _, strip) in &mut strips {
                    strip.settle(*y * curvature);
                }
                // And the tangent is the slope of what follows.
                let (step, here) = (1e-5 * yielding, section.answer(curvature));
                let ahead = section.answer(curvature + step.copysign(target * yielding - from));
                let slope = (ahead.value - here.value) / step.copysign(target * yielding - from);
                assert!((slope - ahead.tangent).abs() < 1e-4 * section.stiffness());
            }
        }
        assert!(section.turns.len() < 4, "{:?}", section.turns);
    }
}
