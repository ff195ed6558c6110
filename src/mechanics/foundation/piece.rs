//! One uniform piece of bar: its differential equation, solved in closed form.
//!
//! With `s` measured outward from the inner end of the piece, the deflection obeys
//!
//! ```text
//! v'''' = p v'' − q v        q = K/(E·I),  p = K/(κ·G·A)  (0 in Euler–Bernoulli theory)
//! ```
//!
//! and everything follows from `h₃`, the solution with h₃(0) = h₃'(0) = h₃''(0) = 0, h₃'''(0) = 1, and its
//! derivatives h₂ = h₃', h₁ = h₂', h₀ = h₁'. Going outward is the direction in which a state carried from the inner
//! end stays accurate for bars of any length: what decays into the wood grows outward, and nothing cancels.

use super::{BarSegment, BeamTheory};
use crate::mechanics::MechanicsError;
use crate::mechanics::guard::Guard;
use std::f64::consts::PI;

/// A 2×2 matrix by rows.
pub(super) type Block = [[f64; 2]; 2];

/// Below this `a·s` the power series of the basis is used: the closed form would lose digits to cancellation.
const SERIES_LIMIT: f64 = 0.5;
/// Terms of that series: the first one left out is below 1e-16 of the sum for `a·s` ≤ [`SERIES_LIMIT`].
const SERIES_TERMS: usize = 9;
/// j!/(j + 4n)! for j = 0…3, n = 1…3: the coefficients of that series in powers of −q s⁴.
const SHORT: [[f64; 3]; 4] = [
    [1.0 / 24.0, 1.0 / 40_320.0, 1.0 / 479_001_600.0],
    [1.0 / 120.0, 1.0 / 362_880.0, 1.0 / 6_227_020_800.0],
    [2.0 / 720.0, 2.0 / 3_628_800.0, 2.0 / 87_178_291_200.0],
    [6.0 / 5_040.0, 6.0 / 39_916_800.0, 6.0 / 1_307_674_368_000.0],
];
/// A piece grows by no more than exp(16) outward: far from overflow, and 1e-16·exp(16) loses no digit that counts.
const LONGEST_GROWTH: f64 = 16.0;
/// Where both roots are real, their growths may differ by no more than exp(4) in a piece, or digits are lost.
const WIDEST_SPREAD: f64 = 2.0;
/// A segment is cut into at most this many pieces; the bar beyond sees less than exp(−16 000) of the load.
const MOST_PIECES: f64 = 1000.0;

/// Deflection, rotation, shear and moment of one section, plain SI numbers.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Section {
    pub(super) v: f64,
    pub(super) theta: f64,
    pub(super) shear: f64,
    pub(super) moment: f64,
}

impl Section {
    /// `self`·a + `other`·b.
    pub(super) fn combine(self, a: f64, other: Self, b: f64) -> Self {
        Self {
            v: a * self.v + b * other.v,
            theta: a * self.theta + b * other.theta,
            shear: a * self.shear + b * other.shear,
            moment: a * self.moment + b * other.moment,
        }
    }
}

/// The basis over a length.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stride([f64; 4]);

/// The states at equal distances from `from` to `to` of a bar laid in parts, found from the tip outward, the direction
/// in which a state stays accurate: one stride after another within a part. Both ends belong to the parts between them.
/// `part` gives a part and the state of its inner end; `last` is the part in which `to` lies.
pub(super) fn walk<'p>(
    part: impl Fn(usize) -> Option<(&'p Piece, Section)>,
    last: usize,
    [from, to]: [f64; 2],
    intervals: usize,
    mut found: impl FnMut(usize, usize, &Piece, Section),
) {
    let width = (to - from) / intervals as f64;
    let mut index = last;
    let Some((mut piece, mut state)) = part(index) else {
        return;
    };
    state = piece.outward((piece.end - to).clamp(0.0, piece.length()), state);
    found(intervals, index, piece, state);
    let mut stride = piece.stride(width);
    for i in (0..intervals).rev() {
        let x = if i == 0 {
            from
        } else {
            from + i as f64 * width
        };
        // The outer end of a part, but for rounding, is still of that part.
        let slack = 1e-9 * width;
        if x >= piece.start - slack {
            state = piece.step(&stride, state);
        } else {
            while index > 0 && x < piece.start - slack {
                index -= 1;
                let Some(next) = part(index) else { return };
                (piece, state) = next;
            }
            state = piece.outward((piece.end - x).clamp(0.0, piece.length()), state);
            stride = piece.stride(width);
        }
        found(i, index, piece, state);
    }
}

/// The constants of a uniform piece between `start` and `end` (x, inward).
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    pub(super) start: f64,
    pub(super) end: f64,
    /// Index in the list of all segments, arm first.
    pub(super) segment: usize,
    pub(super) foundation: f64,
    pub(super) bearing_diameter: f64,
    /// 1/(E·I).
    flexibility: f64,
    /// 1/(κ·G·A), 0 in Euler–Bernoulli theory.
    shear_flexibility: f64,
    p: f64,
    q: f64,
    /// The real part of the characteristic root.
    a: f64,
    /// The square of its imaginary part; negative where all roots are real.
    b_squared: f64,
}

impl Piece {
    /// The constants of `segment`, laid from x = `start` to `end`.
    pub(super) fn new(
        segment: &BarSegment,
        theory: BeamTheory,
        index: usize,
        [start, end]: [f64; 2],
    ) -> Result<Self, MechanicsError> {
        segment.length.positive("the length of a bar segment")?;
        let diameter = segment
            .bending_diameter
            .positive("the bending diameter of a bar segment")?
            .value;
        let modulus = segment
            .modulus
            .positive("the modulus of elasticity of a bar")?
            .value;
        let flexibility = 64.0 / (PI * diameter.powi(4) * modulus);
        let shear_flexibility = theory.shear_flexibility(diameter)?;
        let foundation = segment
            .foundation
            .not_negative("the foundation modulus")?
            .value;
        let (p, q) = (foundation * shear_flexibility, foundation * flexibility);
        Ok(Self {
            start,
            end,
            segment: index,
            foundation,
            bearing_diameter: segment
                .bearing_diameter
                .positive("the bearing diameter of a bar segment")?
                .value,
            flexibility: flexibility.finite("the flexibility of a bar segment")?,
            shear_flexibility,
            p,
            q,
            a: (0.5 * q.sqrt() + 0.25 * p).sqrt(),
            b_squared: 0.5 * q.sqrt() - 0.25 * p,
        })
    }

    /// This piece cut into equal parts short enough to be carried without loss.
    pub(super) fn cut(self) -> Result<impl Iterator<Item = Self>, MechanicsError> {
        let length = self.length();
        let spread = (-self.b_squared).max(0.0).sqrt();
        let parts = (self.a / LONGEST_GROWTH).max(spread / WIDEST_SPREAD) * length;
        let parts = parts.ceil().max(1.0);
        if parts > MOST_PIECES {
            return Err(MechanicsError::NoSolution {
                what: "a bar segment is too long for the stiffness of its foundation",
            });
        }
        let place = move |share: f64| {
            if share < 1.0 {
                self.start + share * length
            } else {
                self.end
            }
        };
        // At most MOST_PIECES, a whole number: the conversion is exact.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let count = parts as usize;
        Ok((0..count).map(move |i| Self {
            start: place(i as f64 / parts),
            end: place((i + 1) as f64 / parts),
            ..self
        }))
    }

    /// The same piece between other places.
    pub(super) fn between(self, start: f64, end: f64) -> Self {
        Self { start, end, ..self }
    }

    /// The same piece with nothing that bears.
    pub(super) fn unsupported(self) -> Self {
        Self {
            foundation: 0.0,
            p: 0.0,
            q: 0.0,
            a: 0.0,
            b_squared: 0.0,
            ..self
        }
    }

    pub(super) fn length(&self) -> f64 {
        self.end - self.start
    }

    /// How many cells of at most an eighth of a half wave the piece has, at least four: no wave slips through.
    pub(super) fn cells(&self) -> usize {
        let wave = self.b_squared.max(0.0).sqrt().max(0.5 * self.a);
        // A piece is at most LONGEST_GROWTH long: fewer than fifty cells.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let cells = (self.length() * wave * 8.0 / PI).ceil() as usize;
        cells.max(4)
    }

    /// h₀, h₁, h₂, h₃ at `s`.
    fn basis(&self, s: f64) -> [f64; 4] {
        if self.q == 0.0 {
            return [1.0, s, s * s / 2.0, s * s * s / 6.0];
        }
        if self.a * s < SERIES_LIMIT {
            if self.p == 0.0 {
                self.short(s)
            } else {
                self.series(s)
            }
        } else {
            self.closed(s)
        }
    }

    /// The same series without shear: every fourth term is left, and with u = q s⁴ < 1/4 the first one left out,
    /// u⁴/16!, is below 2e-16.
    fn short(&self, s: f64) -> [f64; 4] {
        let s2 = s * s;
        let u = -self.q * s2 * s2;
        let sum = |[a, b, c]: [f64; 3]| 1.0 + u * (a + u * (b + u * c));
        [
            sum(SHORT[0]),
            s * sum(SHORT[1]),
            0.5 * s2 * sum(SHORT[2]),
            s * s2 / 6.0 * sum(SHORT[3]),
        ]
    }

    /// h₃ = Σ cₙ sⁿ/n! with cₙ₊₄ = p cₙ₊₂ − q cₙ, c₁ = 0, c₃ = 1, and its derivatives.
    fn series(&self, s: f64) -> [f64; 4] {
        let (p, q, s2) = (self.p, self.q, s * s);
        let (mut before, mut coefficient) = (0.0, 1.0);
        let (mut power, mut n) = (1.0, 0.0);
        let mut h = [0.0; 4];
        for _ in 0..SERIES_TERMS {
            let term = coefficient * power;
            h[0] += term;
            h[1] += term * s / (n + 1.0);
            h[2] += term * s2 / ((n + 1.0) * (n + 2.0));
            h[3] += term * s2 * s / ((n + 1.0) * (n + 2.0) * (n + 3.0));
            (before, coefficient) = (coefficient, p * coefficient - q * before);
            power *= s2 / ((n + 1.0) * (n + 2.0));
            n += 2.0;
        }
        h
    }

    /// The same from h₃ = [cosh(as)·sin(bs)/b − sinh(as)·cos(bs)/a] / 2(a² + b²).
    fn closed(&self, s: f64) -> [f64; 4] {
        let a = self.a;
        let growth = (a * s).exp();
        let (ch, sh) = (0.5 * (growth + 1.0 / growth), 0.5 * (growth - 1.0 / growth));
        let (cs, sn) = self.wave(s);
        [
            ch * cs + self.p / (4.0 * a) * sh * sn,
            0.5 * (ch * sn + sh * cs / a),
            sh * sn / (2.0 * a),
            (ch * sn - sh * cs / a) / (2.0 * self.q.sqrt()),
        ]
    }

    /// cos(bs) and sin(bs)/b, continued to b² ≤ 0.
    fn wave(&self, s: f64) -> (f64, f64) {
        let b = self.b_squared.abs().sqrt();
        let angle = b * s;
        if angle < 1e-4 {
            let square = self.b_squared * s * s;
            (1.0 - square / 2.0, s * (1.0 - square / 6.0))
        } else if self.b_squared > 0.0 {
            (angle.cos(), angle.sin() / b)
        } else {
            (angle.cosh(), angle.sinh() / b)
        }
    }

    /// The state at `s` outward of the inner end, whose state is `inner`.
    pub(super) fn outward(&self, s: f64, inner: Section) -> Section {
        self.carry(&self.basis(s), inner)
    }

    /// How a state is carried over a length, ready to be used again and again.
    pub(super) fn stride(&self, length: f64) -> Stride {
        Stride(self.basis(length))
    }

    /// The state one stride further outward.
    pub(super) fn step(&self, stride: &Stride, inner: Section) -> Section {
        self.carry(&stride.0, inner)
    }

    /// The states at `s` of two load cases at once.
    pub(super) fn outward_pair(&self, s: f64, inner: [Section; 2]) -> [Section; 2] {
        let basis = self.basis(s);
        inner.map(|state| self.carry(&basis, state))
    }

    /// dv/ds = θ + V/(κGA), and its first two derivatives in s.
    pub(super) fn slope(&self, section: &Section) -> [f64; 3] {
        let slope = section.theta + self.shear_flexibility * section.shear;
        [
            slope,
            self.flexibility * section.moment + self.p * section.v,
            self.p * slope - self.flexibility * section.shear,
        ]
    }

    fn carry(&self, h: &[f64; 4], inner: Section) -> Section {
        let (k, q, i, c) = (
            self.foundation,
            self.q,
            self.flexibility,
            self.shear_flexibility,
        );
        let Section {
            v,
            theta,
            shear,
            moment,
        } = inner;
        let bent = h[0] - self.p * h[2];
        Section {
            v: h[0] * v + h[1] * theta + (c * h[1] - i * h[3]) * shear + i * h[2] * moment,
            theta: bent * theta - q * h[3] * v - i * h[2] * shear
                + i * (h[1] - self.p * h[3]) * moment,
            shear: k * (h[1] * v + h[2] * theta) + h[0] * shear + q * h[3] * moment,
            moment: bent * moment - k * (h[2] * v + h[3] * theta) - h[1] * shear,
        }
    }

    /// The blocks of the outward transfer over the whole piece, displacements (v, θ) and forces (V, M):
    /// dₒ = A dᵢ + B fᵢ, fₒ = C dᵢ + D fᵢ.
    pub(super) fn transfer(&self) -> [Block; 4] {
        let h = self.basis(self.length());
        let unit = |v, theta, shear, moment| {
            self.carry(
                &h,
                Section {
                    v,
                    theta,
                    shear,
                    moment,
                },
            )
        };
        let [v, t] = [unit(1.0, 0.0, 0.0, 0.0), unit(0.0, 1.0, 0.0, 0.0)];
        let [s, m] = [unit(0.0, 0.0, 1.0, 0.0), unit(0.0, 0.0, 0.0, 1.0)];
        [
            [[v.v, t.v], [v.theta, t.theta]],
            [[s.v, m.v], [s.theta, m.theta]],
            [[v.shear, t.shear], [v.moment, t.moment]],
            [[s.shear, m.shear], [s.moment, m.moment]],
        ]
    }

    /// The flexibility at the outer end of an unsupported piece, from that at its inner end: the rest of the bar
    /// moves it rigidly, and it bends as a cantilever. Both add, so nothing cancels.
    pub(super) fn lengthen(&self, inner: Block) -> Block {
        let (l, i) = (self.length(), self.flexibility);
        let [[vv, vt], [tv, tt]] = inner;
        let across = vt + l * tt + i * l * l / 2.0;
        [
            [
                vv + l * (vt + tv) + l * l * tt + self.shear_flexibility * l + i * l * l * l / 3.0,
                across,
            ],
            [across, tt + i * l],
        ]
    }
}

/// `x`·`y`.
pub(super) fn product(x: Block, y: Block) -> Block {
    let row = |r: [f64; 2]| {
        [
            r[0] * y[0][0] + r[1] * y[1][0],
            r[0] * y[0][1] + r[1] * y[1][1],
        ]
    };
    [row(x[0]), row(x[1])]
}

/// `x` + `y`.
pub(super) fn sum(x: Block, y: Block) -> Block {
    [
        [x[0][0] + y[0][0], x[0][1] + y[0][1]],
        [x[1][0] + y[1][0], x[1][1] + y[1][1]],
    ]
}

/// The inverse of `x`, if it has a finite one.
pub(super) fn inverse(x: Block) -> Result<Block, MechanicsError> {
    let [[a, b], [c, d]] = x;
    let determinant = a * d - b * c;
    if determinant == 0.0 || !determinant.is_normal() {
        return Err(MechanicsError::NoSolution {
            what: "nothing holds the bar in place",
        });
    }
    Ok([
        [d / determinant, -b / determinant],
        [-c / determinant, a / determinant],
    ])
}

/// `x`·(u, w).
pub(super) fn times(x: Block, u: [f64; 2]) -> [f64; 2] {
    [
        x[0][0] * u[0] + x[0][1] * u[1],
        x[1][0] * u[0] + x[1][1] * u[1],
    ]
}
