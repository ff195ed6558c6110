//! Distributions of one variable, from the moments that tables give.
//!
//! A value is drawn through its *normal score* z: x = F⁻¹(Φ(z)). For z > 0 the probability of more, Φ(−z), is used in the
//! place of Φ(z), so that both tails keep all digits.

use super::error::{NumericsError, between, finite};
use super::normal;
use statrs::function::gamma::{gamma_lr, gamma_ur};
use std::f64::consts::PI;

/// Euler's constant γ.
const EULER: f64 = 0.577_215_664_901_532_9;

/// A coefficient of variation beyond this is no description of a variable of a structure.
const WIDEST: f64 = 5.0;

/// The narrowest gamma and Weibull distributions; below this the gamma function loses digits. Narrower than the thickness
/// of a tape line: take a normal distribution or none.
const NARROWEST: f64 = 0.01;

/// How one variable varies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Distribution(Kind);

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Deterministic {
        value: f64,
    },
    Normal {
        mean: f64,
        deviation: f64,
    },
    /// Mean and deviation of the logarithm.
    Lognormal {
        mean: f64,
        deviation: f64,
    },
    Gumbel {
        mode: f64,
        scale: f64,
    },
    Gamma {
        shape: f64,
        scale: f64,
    },
    Uniform {
        low: f64,
        high: f64,
    },
    Triangular {
        low: f64,
        mode: f64,
        high: f64,
    },
    Weibull {
        shape: f64,
        scale: f64,
    },
}

use Kind::{Deterministic, Gamma, Gumbel, Lognormal, Normal, Triangular, Uniform, Weibull};

/// Constructors. Each refuses what is not finite or has no meaning.
impl Distribution {
    /// Always the same value.
    ///
    /// # Errors
    /// If it is not finite.
    pub fn deterministic(value: f64) -> Result<Self, NumericsError> {
        let value = finite("a value", value)?;
        Ok(Self(Deterministic { value }))
    }

    /// Normal. A deviation of 0 is [deterministic](Self::deterministic).
    ///
    /// # Errors
    /// If a number is not finite or the deviation negative.
    pub fn normal(mean: f64, standard_deviation: f64) -> Result<Self, NumericsError> {
        let mean = finite("a mean", mean)?;
        let deviation = deviation(standard_deviation)?;
        Ok(Self(if deviation == 0.0 {
            Deterministic { value: mean }
        } else {
            Normal { mean, deviation }
        }))
    }

    /// Lognormal, from its mean and its coefficient of variation. One of 0 is [deterministic](Self::deterministic).
    ///
    /// # Errors
    /// If the mean is not positive, or the coefficient of variation not in 0 to 5.
    pub fn lognormal(mean: f64, variation: f64) -> Result<Self, NumericsError> {
        let mean = positive("the mean of a lognormal variable", mean)?;
        let variance = variation_of(variation, 0.0)?.powi(2).ln_1p();
        Self::lognormal_median(mean * (-0.5 * variance).exp(), variance.sqrt())
    }

    /// Lognormal, from its median and the standard deviation of its natural logarithm: ln 2 for "a factor of two, at one
    /// deviation". A deviation of 0 is [deterministic](Self::deterministic).
    ///
    /// # Errors
    /// If the median is not positive, or the deviation not in 0 to 2.
    pub fn lognormal_median(median: f64, deviation: f64) -> Result<Self, NumericsError> {
        let median = positive("the median of a lognormal variable", median)?;
        let deviation = between("the deviation of a logarithm", deviation, 0.0, 2.0)?;
        Ok(Self(if deviation == 0.0 {
            Deterministic { value: median }
        } else {
            Lognormal {
                mean: median.ln(),
                deviation,
            }
        }))
    }

    /// Gumbel's distribution of largest values (type I). A deviation of 0 is [deterministic](Self::deterministic).
    ///
    /// # Errors
    /// If a number is not finite or the deviation negative.
    pub fn gumbel(mean: f64, standard_deviation: f64) -> Result<Self, NumericsError> {
        let mean = finite("a mean", mean)?;
        let scale = deviation(standard_deviation)? * 6.0_f64.sqrt() / PI;
        Ok(Self(if scale == 0.0 {
            Deterministic { value: mean }
        } else {
            Gumbel {
                mode: mean - EULER * scale,
                scale,
            }
        }))
    }

    /// Gamma, from its mean and its coefficient of variation.
    ///
    /// # Errors
    /// If the mean is not positive, or the coefficient of variation not in 0.01 to 5.
    pub fn gamma(mean: f64, variation: f64) -> Result<Self, NumericsError> {
        let mean = positive("the mean of a gamma variable", mean)?;
        let square = variation_of(variation, NARROWEST)?.powi(2);
        Ok(Self(Gamma {
            shape: 1.0 / square,
            scale: mean * square,
        }))
    }

    /// The same density everywhere between two bounds.
    ///
    /// # Errors
    /// If a bound is not finite, or they do not stand in order.
    pub fn uniform(low: f64, high: f64) -> Result<Self, NumericsError> {
        ordered(("the lower bound", low), ("the upper bound", high))?;
        Ok(Self(Uniform { low, high }))
    }

    /// A density that rises linearly from one bound to the mode and falls linearly to the other.
    ///
    /// # Errors
    /// If a number is not finite, or the bounds do not stand in order with the mode between them.
    pub fn triangular(low: f64, mode: f64, high: f64) -> Result<Self, NumericsError> {
        ordered(("the lower bound", low), ("the upper bound", high))?;
        between("the mode", mode, low, high)?;
        Ok(Self(Triangular { low, mode, high }))
    }

    /// Weibull's distribution of smallest values (type III) above 0, from its mean and its coefficient of variation.
    ///
    /// # Errors
    /// If the mean is not positive, or the coefficient of variation not in 0.01 to 5.
    pub fn weibull(mean: f64, variation: f64) -> Result<Self, NumericsError> {
        let mean = positive("the mean of a Weibull variable", mean)?;
        let shape = weibull_shape(variation_of(variation, NARROWEST)?);
        Ok(Self(Weibull {
            shape,
            scale: mean / gamma_function(1.0 + 1.0 / shape),
        }))
    }
}

/// What a distribution says.
impl Distribution {
    /// Its name, as the trade has it.
    pub fn name(&self) -> &'static str {
        match self.0 {
            Deterministic { .. } => "deterministic",
            Normal { .. } => "normal",
            Lognormal { .. } => "lognormal",
            Gumbel { .. } => "Gumbel",
            Gamma { .. } => "gamma",
            Uniform { .. } => "uniform",
            Triangular { .. } => "triangular",
            Weibull { .. } => "Weibull",
        }
    }

    /// Whether it does not vary.
    pub fn is_deterministic(&self) -> bool {
        matches!(self.0, Deterministic { .. })
    }

    /// The mean.
    pub fn mean(&self) -> f64 {
        match self.0 {
            Deterministic { value } => value,
            Normal { mean, .. } => mean,
            Lognormal { mean, deviation } => (mean + 0.5 * deviation * deviation).exp(),
            Gumbel { mode, scale } => mode + EULER * scale,
            Gamma { shape, scale } => shape * scale,
            Uniform { low, high } => low + 0.5 * (high - low),
            Triangular { low, mode, high } => (low + mode + high) / 3.0,
            Weibull { shape, scale } => scale * gamma_function(1.0 + 1.0 / shape),
        }
    }

    /// The standard deviation.
    pub fn standard_deviation(&self) -> f64 {
        match self.0 {
            Deterministic { .. } => 0.0,
            Normal { deviation, .. } => deviation,
            Lognormal { deviation, .. } => self.mean() * (deviation * deviation).exp_m1().sqrt(),
            Gumbel { scale, .. } => scale * PI / 6.0_f64.sqrt(),
            Gamma { shape, scale } => shape.sqrt() * scale,
            Uniform { low, high } => (high - low) / 12.0_f64.sqrt(),
            Triangular { low, mode, high } => {
                let (rise, fall) = (mode - low, high - mode);
                ((rise * rise + rise * fall + fall * fall) / 18.0).sqrt()
            }
            Weibull { shape, .. } => self.mean() * weibull_variation(shape),
        }
    }

    /// F(x), the probability of no more than x.
    pub fn cdf(&self, x: f64) -> f64 {
        self.tails(x).0
    }

    /// 1 − F(x), the probability of more than x, without loss where it is small.
    pub fn survival(&self, x: f64) -> f64 {
        self.tails(x).1
    }

    /// The probability of no more than x, and of more.
    fn tails(&self, x: f64) -> (f64, f64) {
        match self.0 {
            Deterministic { value } if x < value => (0.0, 1.0),
            Deterministic { .. } => (1.0, 0.0),
            Normal { .. } | Lognormal { .. } => {
                let z = self.to_standard_normal(x);
                (normal::cdf(z), normal::survival(z))
            }
            Gumbel { mode, scale } => {
                let rate = ((mode - x) / scale).exp();
                ((-rate).exp(), -(-rate).exp_m1())
            }
            Weibull { .. } if x <= 0.0 => (0.0, 1.0),
            Gamma { shape, scale } => gamma_tails(shape, x / scale),
            Uniform { low, high } => {
                let x = x.clamp(low, high);
                ((x - low) / (high - low), (high - x) / (high - low))
            }
            Triangular { low, mode, high } => {
                let x = x.clamp(low, high);
                let width = high - low;
                if x < mode {
                    let p = (x - low).powi(2) / (width * (mode - low));
                    (p, 1.0 - p)
                } else if high > mode {
                    let q = (high - x).powi(2) / (width * (high - mode));
                    (1.0 - q, q)
                } else {
                    (1.0, 0.0)
                }
            }
            Weibull { shape, scale } => {
                let rate = (x / scale).powf(shape);
                (-(-rate).exp_m1(), (-rate).exp())
            }
        }
    }

    /// The probability density; 0 for what does not vary, which has none.
    pub fn density(&self, x: f64) -> f64 {
        match self.0 {
            Deterministic { .. } => 0.0,
            Normal { mean, deviation } => normal::density((x - mean) / deviation) / deviation,
            Gamma { .. } | Weibull { .. } | Lognormal { .. } if x <= 0.0 => 0.0,
            Lognormal { mean, deviation } => {
                normal::density((x.ln() - mean) / deviation) / (x * deviation)
            }
            Gumbel { mode, scale } => {
                let y = (x - mode) / scale;
                (-y - (-y).exp()).exp() / scale
            }
            Gamma { shape, scale } => {
                let t = x / scale;
                ((shape - 1.0) * t.ln() - t - libm::lgamma(shape)).exp() / scale
            }
            Uniform { low, high } | Triangular { low, high, .. } if x < low || x > high => 0.0,
            Uniform { low, high } => 1.0 / (high - low),
            Triangular { low, mode, high } if x < mode => {
                2.0 * (x - low) / ((high - low) * (mode - low))
            }
            Triangular { low, mode, high } if x > mode => {
                2.0 * (high - x) / ((high - low) * (high - mode))
            }
            Triangular { low, high, .. } => 2.0 / (high - low),
            Weibull { shape, scale } => {
                let t = x / scale;
                shape / scale * t.powf(shape - 1.0) * (-t.powf(shape)).exp()
            }
        }
    }

    /// F⁻¹(p), for p between 0 and 1.
    ///
    /// # Errors
    /// If p does not lie between 0 and 1, or is one of them.
    pub fn inverse_cdf(&self, p: f64) -> Result<f64, NumericsError> {
        let p = between(
            "a probability",
            p,
            f64::MIN_POSITIVE,
            1.0 - f64::EPSILON / 2.0,
        )?;
        Ok(self.from_standard_normal(normal::quantile(p)))
    }

    /// F⁻¹(Φ(z)): the value whose normal score is z. Never falls as z grows. Scores beyond
    /// ±[`normal::LIMIT`] count as that.
    pub fn from_standard_normal(&self, z: f64) -> f64 {
        let z = z.clamp(-normal::LIMIT, normal::LIMIT);
        match self.0 {
            Deterministic { value } => value,
            Normal { mean, deviation } => mean + deviation * z,
            Lognormal { mean, deviation } => (mean + deviation * z).exp(),
            Gumbel { mode, scale } => mode - scale * (-normal::ln_cdf(z)).ln(),
            Gamma { shape, scale } => scale * gamma_from_score(shape, z),
            Uniform { low, high } if z < 0.0 => low + (high - low) * normal::cdf(z),
            Uniform { low, high } => high - (high - low) * normal::survival(z),
            Triangular { low, mode, high } => {
                let (p, width) = (normal::cdf(z), high - low);
                if p * width < mode - low {
                    low + (p * width * (mode - low)).sqrt()
                } else {
                    high - (normal::survival(z) * width * (high - mode)).sqrt()
                }
            }
            Weibull { shape, scale } => scale * (-normal::ln_cdf(-z)).powf(1.0 / shape),
        }
    }

    /// Φ⁻¹(F(x)): the normal score of x; infinite outside of what is possible, 0 for what does not vary.
    pub fn to_standard_normal(&self, x: f64) -> f64 {
        match self.0 {
            Deterministic { .. } => 0.0,
            Normal { mean, deviation } => (x - mean) / deviation,
            Lognormal { .. } if x <= 0.0 => f64::NEG_INFINITY,
            Lognormal { mean, deviation } => (x.ln() - mean) / deviation,
            _ => {
                let (p, q) = self.tails(x);
                normal::score(p, q)
            }
        }
    }

    /// Standard deviation of the logarithm of a lognormal variable.
    pub(super) fn deviation_of_logarithm(&self) -> Option<f64> {
        match self.0 {
            Lognormal { deviation, .. } => Some(deviation),
            _ => None,
        }
    }

    /// Whether it is normal.
    pub(super) fn is_normal(&self) -> bool {
        matches!(self.0, Normal { .. })
    }
}

fn positive(what: &'static str, value: f64) -> Result<f64, NumericsError> {
    between(what, value, f64::MIN_POSITIVE, f64::MAX)
}

fn deviation(value: f64) -> Result<f64, NumericsError> {
    between("a standard deviation", value, 0.0, f64::MAX)
}

fn variation_of(value: f64, least: f64) -> Result<f64, NumericsError> {
    between("a coefficient of variation", value, least, WIDEST)
}

fn ordered(
    (first, low): (&'static str, f64),
    (second, high): (&'static str, f64),
) -> Result<(), NumericsError> {
    if finite(first, low)? < finite(second, high)? {
        finite("the distance of two bounds", high - low)?;
        Ok(())
    } else {
        Err(NumericsError::Order { first, second })
    }
}

fn gamma_function(x: f64) -> f64 {
    libm::tgamma(x)
}

/// The coefficient of variation of a Weibull variable, which falls as its shape grows.
fn weibull_variation(shape: f64) -> f64 {
    let second = libm::lgamma(1.0 + 2.0 / shape) - 2.0 * libm::lgamma(1.0 + 1.0 / shape);
    second.exp_m1().sqrt()
}

/// The shape of a Weibull variable by bisection of its logarithm, between variations of 0.005 and 250.
fn weibull_shape(variation: f64) -> f64 {
    let (mut low, mut high) = ((0.2_f64).ln(), (250.0_f64).ln());
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if weibull_variation(middle.exp()) > variation {
            low = middle;
        } else {
            high = middle;
        }
    }
    (0.5 * (low + high)).exp()
}

/// The probability of no more than `t`, and of more, of a standard gamma variable.
fn gamma_tails(shape: f64, t: f64) -> (f64, f64) {
    if t <= 0.0 {
        (0.0, 1.0)
    } else if t == f64::INFINITY {
        (1.0, 0.0)
    } else {
        (gamma_lr(shape, t), gamma_ur(shape, t))
    }
}

/// The standard gamma variable with normal score z.
///
/// Newton's method on the logarithm of the smaller tail over the logarithm of the variable. That curve is concave, so every
/// step from the low side stays there and closes in; the first may come from the high side.
fn gamma_from_score(shape: f64, z: f64) -> f64 {
    let lower = z < 0.0;
    let target = normal::cdf(-z.abs()).ln();
    let ln_gamma = libm::lgamma(shape);
    let tail = |t: f64| {
        let (p, q) = gamma_tails(shape, t);
        if lower { p } else { q }
    };
    let mut s = gamma_start(shape, z);
    if s < SERIES {
        return s.exp();
    }
    for _ in 0..60 {
        let t = s.exp();
        let p = tail(t);
        if p <= 0.0 {
            // Beyond what a number holds: back towards the middle.
            s = 0.5 * (s + shape.ln());
            continue;
        }
        let slope = (shape * s - t - ln_gamma).exp() / p;
        let step = (p.ln() - target) / if lower { -slope } else { slope };
        s += step.clamp(-2.0, 2.0);
        if step.abs() <= 4.0 * f64::EPSILON * s.abs().max(1.0) {
            break;
        }
    }
    s.exp()
}

/// Below this logarithm of a gamma variable the first term of the series is all there is.
const SERIES: f64 = -600.0;

/// A first guess of its logarithm: the cube root of a gamma variable is nearly normal (Wilson and Hilferty); far down, where
/// that ends, the first term of the series of its distribution.
fn gamma_start(shape: f64, z: f64) -> f64 {
    let ninth = 1.0 / (9.0 * shape);
    let root = 1.0 - ninth + z * ninth.sqrt();
    let tail = || (normal::cdf(z).ln() + libm::lgamma(shape + 1.0)) / shape;
    if root > 0.3 {
        shape.ln() + 3.0 * root.ln()
    } else {
        tail()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]
    #![allow(
        clippy::approx_constant,
        clippy::excessive_precision,
        reason = "as the other program printed them"
    )]

    use super::*;
    use proptest::prelude::*;

    /// One of each kind.
    fn all() -> Vec<Distribution> {
        vec![
            Distribution::normal(10.0, 2.0).unwrap(),
            Distribution::lognormal(40.0, 0.25).unwrap(),
            Distribution::lognormal_median(3.0, 2.0_f64.ln()).unwrap(),
            Distribution::gumbel(10.0, 2.0).unwrap(),
            Distribution::gamma(1.0, 0.3).unwrap(),
            Distribution::gamma(5.0, 2.0).unwrap(),
            Distribution::uniform(-1.0, 3.0).unwrap(),
            Distribution::triangular(0.0, 1.0, 4.0).unwrap(),
            Distribution::triangular(0.0, 0.0, 4.0).unwrap(),
            Distribution::triangular(0.0, 4.0, 4.0).unwrap(),
            Distribution::weibull(5.0, 0.2).unwrap(),
        ]
    }

    fn near(found: f64, expected: f64, relative: f64) {
        let off = (found / expected - 1.0).abs();
        assert!(off < relative, "{found} for {expected}: {off:e}");
    }

    /// x at z for variables of mean 1 and this variation, worked out with 40 digits (mpmath).
    const GAMMA: [(f64, f64, f64); 28] = [
        (0.3, -8.0, 0.019_415_722_160_907_16),
        (0.3, -3.0, 0.332_055_978_963_794_46),
        (0.3, -0.5, 0.830_187_483_777_685),
        (0.3, 0.0, 0.970_165_292_441_933_1),
        (0.3, 1.0, 1.295_551_427_929_895_2),
        (0.3, 4.0, 2.669_717_743_075_098_7),
        (0.3, 8.0, 5.531_902_171_477_112),
        (1.0, -8.0, 6.220_960_574_271_786e-16),
        (1.0, -3.0, 0.001_350_809_964_748_193_8),
        (1.0, -0.5, 0.368_946_415_288_656_4),
        (1.0, 0.0, 0.693_147_180_559_945_3),
        (1.0, 1.0, 1.841_021_645_009_263_6),
        (1.0, 4.0, 10.360_101_486_527_292),
        (1.0, 8.0, 35.013_437_159_914_55),
        (0.05, -8.0, 0.650_815_328_685_797_5),
        (0.05, -3.0, 0.856_643_531_631_540_9),
        (0.05, -0.5, 0.974_386_828_830_522_3),
        (0.05, 0.0, 0.999_166_790_236_161),
        (0.05, 1.0, 1.049_979_211_639_984_2),
        (0.05, 4.0, 1.212_618_522_932_431_3),
        (0.05, 8.0, 1.453_988_703_462_981_7),
        (2.0, -8.0, 4.043_655_252_586_673e-61),
        (2.0, -3.0, 8.964_956_414_647_057e-12),
        (2.0, -0.5, 0.024_587_233_014_993_996),
        (2.0, 0.0, 0.174_695_209_411_493_63),
        (2.0, 1.0, 1.928_531_924_734_075_3),
        (2.0, 4.0, 29.907_423_161_915_98),
        (2.0, 8.0, 124.495_279_685_140_1),
    ];

    /// A relative error of 1e-12 in a probability is the most that the gamma function brings (400 terms of it); in the
    /// far lower tail of a wide distribution x is its fourth power.
    #[test]
    fn gamma_values_keep_their_digits() {
        for (variation, z, x) in GAMMA {
            let gamma = Distribution::gamma(1.0, variation).unwrap();
            near(gamma.from_standard_normal(z), x, 1e-12);
            assert!((gamma.to_standard_normal(x) - z).abs() < 1e-11, "{z}");
        }
        let exponential = Distribution::gamma(2.0, 1.0).unwrap();
        near(exponential.survival(30.0), (-15.0_f64).exp(), 1e-13);
    }

    #[test]
    fn gumbel_and_weibull_values_keep_their_digits() {
        let gumbel = Distribution::gumbel(10.0, 2.0).unwrap();
        for (z, x) in [
            (-8.0, 3.555_107_997_564_409_4),
            (-2.0, 7.025_017_365_638_29),
            (0.0, 9.671_431_488_485_283),
            (3.0, 19.402_886_477_937_617),
            (8.0, 63.699_623_492_472_018),
        ] {
            near(gumbel.from_standard_normal(z), x, 1e-14);
        }
        let weibull = Distribution::weibull(5.0, 0.2).unwrap();
        for (z, x) in [
            (-8.0, 0.012_866_468_234_533_079),
            (-2.0, 2.817_334_895_103_339_5),
            (0.0, 5.069_062_408_775_648),
            (3.0, 7.478_862_047_442_063),
            (8.0, 9.971_272_949_883_395),
        ] {
            near(weibull.from_standard_normal(z), x, 1e-12);
        }
    }

    #[test]
    fn lognormal_values_by_hand() {
        let variable = Distribution::lognormal(40.0, 0.25).unwrap();
        let deviation = 1.0625_f64.ln().sqrt();
        near(
            variable.from_standard_normal(0.0),
            40.0 / 1.0625_f64.sqrt(),
            1e-15,
        );
        let up = 40.0 / 1.0625_f64.sqrt() * (3.0 * deviation).exp();
        near(variable.from_standard_normal(3.0), up, 1e-14);
        let factor = Distribution::lognormal_median(3.0, 2.0_f64.ln()).unwrap();
        near(factor.from_standard_normal(1.0), 6.0, 1e-15);
        near(factor.from_standard_normal(-1.0), 1.5, 1e-15);
    }

    /// Integrates f over the normal scores with steps of 0.01: the error of the mean of a kinked or wide variable is
    /// below a millionth.
    fn over_scores(f: impl Fn(f64) -> f64) -> f64 {
        (-1000..=1000)
            .map(|k| 0.01 * f64::from(k))
            .map(|z| 0.01 * normal::density(z) * f(z))
            .sum()
    }

    #[test]
    fn moments_are_those_asked_for() {
        for variable in all() {
            let mean = over_scores(|z| variable.from_standard_normal(z));
            let square = over_scores(|z| (variable.from_standard_normal(z) - mean).powi(2));
            near(variable.mean(), mean, 1e-6);
            near(variable.standard_deviation(), square.sqrt(), 1e-5);
        }
        let given = |d: Result<Distribution, NumericsError>| {
            let d = d.unwrap();
            (d.mean(), d.standard_deviation())
        };
        for (mean, deviation) in [
            given(Distribution::lognormal(7.0, 0.4)),
            given(Distribution::gumbel(7.0, 2.8)),
            given(Distribution::gamma(7.0, 0.4)),
            given(Distribution::weibull(7.0, 0.4)),
            given(Distribution::normal(7.0, 2.8)),
        ] {
            near(mean, 7.0, 1e-12);
            near(deviation, 2.8, 1e-12);
        }
    }

    /// In the upper tail of a bounded variable x − bound has no more digits than x itself: scores up to 5.
    #[test]
    fn scores_and_values_are_inverse() {
        for variable in all() {
            for k in -50..=50 {
                let z = 0.1 * f64::from(k);
                let x = variable.from_standard_normal(z);
                let back = variable.to_standard_normal(x);
                assert!((back - z).abs() < 1e-8, "{variable:?}: {z} → {x} → {back}");
                near(variable.cdf(x), normal::cdf(z), 1e-7);
                near(variable.survival(x), normal::survival(z), 1e-7);
            }
        }
    }

    #[test]
    fn the_density_is_the_slope_of_the_distribution() {
        for variable in all() {
            for z in [-2.0, -0.7, 0.1, 1.3, 2.5] {
                let x = variable.from_standard_normal(z);
                let step = 1e-5 * variable.standard_deviation().min(0.1 * x.abs());
                let slope = (variable.cdf(x + step) - variable.cdf(x - step)) / (2.0 * step);
                near(variable.density(x), slope, 1e-5);
            }
            let far = variable.mean() - 100.0 * variable.standard_deviation();
            assert!(variable.density(far) < 1e-6, "{variable:?}");
        }
    }

    #[test]
    fn outside_of_what_is_possible() {
        let uniform = Distribution::uniform(-1.0, 3.0).unwrap();
        assert_eq!(uniform.to_standard_normal(-1.5), f64::NEG_INFINITY);
        assert_eq!(uniform.to_standard_normal(3.5), f64::INFINITY);
        assert_eq!((uniform.density(3.5), uniform.cdf(3.5)), (0.0, 1.0));
        for variable in [
            Distribution::lognormal(1.0, 0.2).unwrap(),
            Distribution::gamma(1.0, 0.2).unwrap(),
            Distribution::weibull(1.0, 0.2).unwrap(),
        ] {
            assert_eq!(variable.cdf(-1.0), 0.0);
            assert_eq!(variable.density(-1.0), 0.0);
            assert_eq!(variable.to_standard_normal(0.0), f64::NEG_INFINITY);
            assert!(variable.cdf(1e300) == 1.0 && variable.cdf(1e-300) >= 0.0);
        }
    }

    #[test]
    fn nothing_that_has_no_meaning_is_taken() {
        let refused = [
            Distribution::deterministic(f64::NAN),
            Distribution::normal(f64::INFINITY, 1.0),
            Distribution::normal(1.0, -1.0),
            Distribution::normal(1.0, f64::NAN),
            Distribution::lognormal(0.0, 0.2),
            Distribution::lognormal(-1.0, 0.2),
            Distribution::lognormal(1.0, -0.2),
            Distribution::lognormal(1.0, 6.0),
            Distribution::lognormal_median(1.0, 3.0),
            Distribution::gumbel(1.0, -0.1),
            Distribution::gamma(1.0, 0.001),
            Distribution::gamma(-1.0, 0.2),
            Distribution::weibull(1.0, 0.0),
            Distribution::weibull(f64::NAN, 0.2),
            Distribution::uniform(1.0, 1.0),
            Distribution::uniform(2.0, 1.0),
            Distribution::uniform(-f64::MAX, f64::MAX),
            Distribution::triangular(0.0, 2.0, 1.0),
            Distribution::triangular(0.0, -1.0, 1.0),
        ];
        for (k, distribution) in refused.iter().enumerate() {
            assert!(distribution.is_err(), "{k}: {distribution:?}");
        }
        let variable = Distribution::normal(1.0, 1.0).unwrap();
        for p in [0.0, 1.0, -0.1, 1.1, f64::NAN] {
            assert!(variable.inverse_cdf(p).is_err(), "{p}");
        }
        assert!((variable.inverse_cdf(0.5).unwrap() - 1.0).abs() < 1e-15);
    }

    #[test]
    fn no_deviation_is_no_variable() {
        for variable in [
            Distribution::normal(3.0, 0.0).unwrap(),
            Distribution::lognormal(3.0, 0.0).unwrap(),
            Distribution::gumbel(3.0, 0.0).unwrap(),
            Distribution::deterministic(3.0).unwrap(),
        ] {
            assert!(variable.is_deterministic());
            near(variable.from_standard_normal(5.0), 3.0, 1e-15);
            near(variable.mean(), 3.0, 1e-15);
            assert_eq!(variable.standard_deviation(), 0.0);
            assert_eq!(variable.to_standard_normal(4.0), 0.0);
        }
    }

    proptest! {
        #[test]
        fn values_never_fall_as_the_score_grows(a in -40.0_f64..40.0, b in -40.0_f64..40.0) {
            for variable in all() {
                let (low, high) = (a.min(b), a.max(b));
                let (x, y) = (variable.from_standard_normal(low), variable.from_standard_normal(high));
                prop_assert!(x.is_finite() && y.is_finite(), "{variable:?}: {x} {y}");
                // Two values next to each other may differ by the rounding of the root finder.
                prop_assert!(x <= y + 1e-12 * y.abs(), "{variable:?}: {x} > {y}");
            }
        }

        #[test]
        fn gamma_of_any_width_is_found(variation in 0.01_f64..5.0, z in -37.0_f64..37.0) {
            let gamma = Distribution::gamma(1.0, variation).unwrap();
            let x = gamma.from_standard_normal(z);
            prop_assert!(x.is_finite() && x >= 0.0);
            // Where x is no longer told from 0, its score is not either.
            if x > 1e-250 && z.abs() < 8.0 {
                prop_assert!((gamma.to_standard_normal(x) - z).abs() < 1e-8, "{x}");
            }
        }
    }
}
