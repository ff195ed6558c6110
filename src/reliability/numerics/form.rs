//! The first-order reliability method: the nearest point in u at which a limit state is exceeded.
//!
//! **Search.** The improved method of Hasofer, Lind, Rackwitz and Fiessler (Zhang and Der Kiureghian 1995): the step leads to
//! the point of the tangent plane nearest to the origin, and is halved until the merit |u|²/2 + c·|G| falls as it promises
//! (Armijo). Gradients are central differences in u. Where a step does not help at any length, the search has run into an
//! edge between two branches of the limit state; the full step is then taken a few times, which crosses over to the other
//! branch.
//!
//! **More than one design point.** A limit state that is the least of several margins has one for each. After every search
//! a bulge is put on the limit state round the point found, and the search begins anew (Der Kiureghian and Dakessian 1998); what
//! it finds is searched again without bulges. Nothing proves that all are found: sampling is the check.
//!
//! **Importance.** α is the unit vector of falling margin at the design point, in u. Where variables are correlated, its
//! components belong to no variable; the importance of variable i is (∂g/∂zᵢ)²/Σ(∂g/∂z)², the share of its own
//! normal score with all other variables held (the squared γ of Der Kiureghian and Liu). Independent: α².

use super::error::{NumericsError, between};
use super::{Response, Space, normal};

/// How a design point is searched.
#[derive(Clone, Debug, PartialEq)]
pub struct FormOptions {
    /// The margin at the design point over that at the medians, and the distance in u from where the gradient leads.
    pub tolerance: f64,
    /// Steps of one search.
    pub iterations: usize,
    /// Design points looked for at most.
    pub design_points: usize,
    /// A further design point counts if its β lies above the smallest by no more than this: at 2 its probability is below
    /// a hundredth, for any β above 1.5.
    pub margin: f64,
    /// Half the distance in u over which differences are taken.
    pub difference: f64,
    /// The distance in u beyond which nothing is looked for.
    pub farthest: f64,
}

impl Default for FormOptions {
    fn default() -> Self {
        Self {
            tolerance: 1e-6,
            iterations: 100,
            design_points: 3,
            margin: 2.0,
            difference: 1e-4,
            farthest: 20.0,
        }
    }
}

impl FormOptions {
    fn check(&self) -> Result<(), NumericsError> {
        between("the tolerance of the search", self.tolerance, 1e-12, 0.1)?;
        between("the step of differences", self.difference, 1e-8, 0.1)?;
        between(
            "the farthest design point",
            self.farthest,
            1.0,
            normal::LIMIT,
        )?;
        between("the margin of β", self.margin, 0.0, normal::LIMIT)?;
        Ok(())
    }
}

/// What the first-order method found of one limit state.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// The design points, nearest first; never empty.
    pub points: Vec<DesignPoint>,
    /// How often the limit states were evaluated.
    pub evaluations: u64,
}

/// A nearest point at which a limit state is exceeded.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignPoint {
    /// The reliability index: the distance from the origin of u, negative if the limit state is exceeded there.
    pub beta: f64,
    /// The point, in independent standard normals.
    pub u: Vec<f64>,
    /// The point, in the variables.
    pub x: Vec<f64>,
    /// The unit vector of falling margin, in u; u = β·α.
    pub alpha: Vec<f64>,
    /// The importance of each variable; they add to 1.
    pub importance: Vec<f64>,
    /// The falling of the margin with each variable's own normal score, over the length of all: positive if more of the
    /// variable is worse. Its squares are the importance.
    pub gamma: Vec<f64>,
    /// Steps of the search.
    pub iterations: usize,
}

impl DesignPoint {
    /// The first-order probability Φ(−β).
    pub fn probability(&self) -> f64 {
        normal::survival(self.beta)
    }
}

/// Searches the design points of one limit state.
///
/// # Errors
/// If there is no such limit state, if it does not change or is not reached, if its margin is not finite on the way, or if
/// the search does not settle.
pub fn search<R: Response>(
    space: &Space,
    response: &R,
    limit_state: usize,
    options: &FormOptions,
) -> Result<Form, NumericsError> {
    options.check()?;
    let count = response.limit_states();
    if limit_state >= count {
        return Err(NumericsError::NoSuch {
            what: "limit state",
            index: limit_state,
            count,
        });
    }
    let mut surface = Surface::new(space, response, limit_state, options)?;
    let origin = vec![0.0; space.normals()];
    let mut points = vec![surface.design_point(&origin)?];
    for _ in 1..options.design_points {
        match surface.another(&points) {
            Some(point) => points.push(point),
            None => break,
        }
    }
    points.sort_by(|a, b| a.beta.total_cmp(&b.beta));
    Ok(Form {
        points,
        evaluations: surface.evaluations,
    })
}

/// Where a search ended.
struct Found {
    u: Vec<f64>,
    gradient: Vec<f64>,
    iterations: usize,
}

/// Something that keeps a search from a design point that is known.
struct Bulge {
    centre: Vec<f64>,
    /// Its radius in u, squared.
    square: f64,
    /// Its height over the fourth power of the radius.
    steepness: f64,
}

impl Bulge {
    /// Radius 1.1·β and, at 0.75·β from its centre, enough height to lift the tangent plane clear of the point
    /// (Der Kiureghian and Dakessian 1998).
    fn on(point: &Found) -> Self {
        let beta = norm(&point.u).max(LEAST);
        let square = (1.1 * beta).powi(2);
        Self {
            centre: point.u.clone(),
            square,
            steepness: 0.75 * beta * norm(&point.gradient)
                / (square - (0.75 * beta).powi(2)).powi(2),
        }
    }

    fn at(&self, u: &[f64]) -> f64 {
        let away: f64 = self
            .centre
            .iter()
            .zip(u)
            .map(|(c, u)| (c - u).powi(2))
            .sum();
        if away < self.square {
            self.steepness * (self.square - away).powi(2)
        } else {
            0.0
        }
    }
}

/// A β below this has no direction of its own to put a bulge on.
const LEAST: f64 = 0.1;

/// One limit state as a function of u, in units of its margin at the origin.
struct Surface<'a, R: Response> {
    space: &'a Space,
    response: &'a R,
    limit_state: usize,
    options: &'a FormOptions,
    scratch: R::Scratch,
    x: Vec<f64>,
    g: Vec<f64>,
    scale: f64,
    bulges: Vec<Bulge>,
    evaluations: u64,
}

impl<'a, R: Response> Surface<'a, R> {
    fn new(
        space: &'a Space,
        response: &'a R,
        limit_state: usize,
        options: &'a FormOptions,
    ) -> Result<Self, NumericsError> {
        let mut surface = Self {
            space,
            response,
            limit_state,
            options,
            scratch: response.scratch(),
            x: vec![0.0; space.variables()],
            g: vec![0.0; response.limit_states()],
            scale: 1.0,
            bulges: Vec::new(),
            evaluations: 0,
        };
        let origin = vec![0.0; space.normals()];
        let margin = surface.margin(&origin).abs();
        if !margin.is_finite() {
            return Err(NumericsError::NotFinite {
                what: "the margin at the medians",
            });
        }
        if margin > 0.0 {
            surface.scale = margin;
        }
        Ok(surface)
    }

    /// The margin at `self.x`.
    fn evaluate(&mut self) -> f64 {
        self.evaluations += 1;
        self.g.fill(f64::NAN);
        self.response
            .evaluate(&self.x, &mut self.scratch, &mut self.g);
        self.g[self.limit_state] / self.scale
    }

    /// The margin at `u`, with the bulges.
    fn margin(&mut self, u: &[f64]) -> f64 {
        self.space.physical(u, &mut self.x);
        self.evaluate() + self.bulges.iter().map(|bulge| bulge.at(u)).sum::<f64>()
    }

    /// Central differences of the margin.
    fn gradient(&mut self, u: &[f64]) -> Result<Vec<f64>, NumericsError> {
        let step = self.options.difference;
        let mut there = u.to_vec();
        let mut gradient = Vec::with_capacity(u.len());
        for i in 0..u.len() {
            there[i] = u[i] + step;
            let above = self.margin(&there);
            there[i] = u[i] - step;
            let below = self.margin(&there);
            there[i] = u[i];
            gradient.push((above - below) / (2.0 * step));
        }
        if gradient.iter().any(|slope| !slope.is_finite()) {
            return Err(NumericsError::NotFinite {
                what: "the margin near a point of the search",
            });
        }
        Ok(gradient)
    }

    /// The design point that a search from `start` leads to.
    fn design_point(&mut self, start: &[f64]) -> Result<DesignPoint, NumericsError> {
        let found = self.walk(start)?;
        self.describe(found)
    }

    /// The search itself.
    fn walk(&mut self, start: &[f64]) -> Result<Found, NumericsError> {
        let mut u = start.to_vec();
        let mut margin = self.margin(&u);
        let mut crossings = CROSSINGS;
        for iterations in 0..self.options.iterations {
            let gradient = self.gradient(&u)?;
            let slope = norm(&gradient);
            let distance = norm(&u);
            if slope <= f64::MIN_POSITIVE.sqrt() {
                return Err(self.flat(distance));
            }
            let plane = (dot(&gradient, &u) - margin) / (slope * slope);
            let step: Vec<f64> = gradient
                .iter()
                .zip(&u)
                .map(|(g, u)| plane * g - u)
                .collect();
            let ahead = norm(&step);
            if margin.abs() <= self.options.tolerance
                && ahead <= self.options.tolerance * distance.max(1.0)
            {
                return Ok(Found {
                    u,
                    gradient,
                    iterations,
                });
            }
            if distance > self.options.farthest {
                return Err(self.remote());
            }
            let penalty = 2.0 * self.least_penalty(&u, &step, margin, slope);
            match self.shortened(&u, margin, &gradient, &step, penalty) {
                Some((next, there)) => (u, margin) = (next, there),
                None if crossings > 0 => {
                    crossings -= 1;
                    u = along(&u, &step, 1.0);
                    margin = self.margin(&u);
                    if !margin.is_finite() {
                        return Err(self.unsettled(iterations));
                    }
                }
                None => return Err(self.unsettled(iterations)),
            }
        }
        Err(self.unsettled(self.options.iterations))
    }

    /// The weight of the margin above which the merit falls along the step: from the slope of the merit, and from what the
    /// full step would bring on a plane (Zhang and Der Kiureghian 1995).
    fn least_penalty(&self, u: &[f64], step: &[f64], margin: f64, slope: f64) -> f64 {
        let least = norm(u) / slope;
        if margin.abs() < self.options.tolerance {
            return least;
        }
        let target = along(u, step, 1.0);
        least.max(0.5 * dot(&target, &target) / margin.abs())
    }

    /// The point along the step, and its margin, at which the merit has fallen enough.
    fn shortened(
        &mut self,
        u: &[f64],
        margin: f64,
        gradient: &[f64],
        step: &[f64],
        penalty: f64,
    ) -> Option<(Vec<f64>, f64)> {
        let merit = |u: &[f64], margin: f64| 0.5 * dot(u, u) + penalty * margin.abs();
        let here = merit(u, margin);
        let promise = dot(u, step) + penalty * margin.signum() * dot(gradient, step);
        let mut length = 1.0;
        for _ in 0..HALVINGS {
            let next = along(u, step, length);
            let there = self.margin(&next);
            // Rounding: near the design point the merit changes in its last digits only.
            let slack = 1e-14 * here.abs();
            if merit(&next, there) <= here + ENOUGH * length * promise + slack {
                return Some((next, there));
            }
            length *= 0.5;
        }
        None
    }

    /// A design point that is not among those known, if the next search finds one that counts.
    fn another(&mut self, known: &[DesignPoint]) -> Option<DesignPoint> {
        let nearest = known.iter().map(|p| p.beta).fold(f64::INFINITY, f64::min);
        let last = known.last()?;
        let gradient = self.gradient(&last.u).ok()?;
        self.bulges.push(Bulge::on(&Found {
            u: last.u.clone(),
            gradient,
            iterations: 0,
        }));
        let origin = vec![0.0; last.u.len()];
        let apart = self.walk(&origin);
        let bulges = std::mem::take(&mut self.bulges);
        let point = apart.and_then(|found| self.design_point(&found.u));
        self.bulges = bulges;
        let point = point.ok()?;
        let new = known.iter().all(|other| {
            let between = norm(&along(&point.u, &other.u, -1.0));
            between > 0.1 * other.beta.abs().max(LEAST)
        });
        (new && point.beta <= nearest + self.options.margin).then_some(point)
    }

    /// The point in the variables, with what it hangs on.
    fn describe(&mut self, found: Found) -> Result<DesignPoint, NumericsError> {
        let Found {
            u,
            gradient,
            iterations,
        } = found;
        let slope = norm(&gradient);
        let alpha: Vec<f64> = gradient.iter().map(|g| -g / slope).collect();
        self.space.physical(&u, &mut self.x);
        let x = self.x.clone();
        let own = self.own_slopes(&u, &x);
        let length = norm(&own);
        if !(length.is_finite() && length > 0.0) {
            return Err(self.flat(norm(&u)));
        }
        let gamma: Vec<f64> = own.iter().map(|slope| -slope / length).collect();
        Ok(DesignPoint {
            beta: dot(&alpha, &u),
            x,
            importance: gamma.iter().map(|gamma| gamma * gamma).collect(),
            gamma,
            alpha,
            u,
            iterations,
        })
    }

    /// The slope of the margin with each variable's own normal score, the others held.
    fn own_slopes(&mut self, u: &[f64], x: &[f64]) -> Vec<f64> {
        let step = self.options.difference;
        let mut slopes = Vec::with_capacity(x.len());
        for (i, distribution) in self.space.distributions().iter().enumerate() {
            if distribution.is_deterministic() {
                slopes.push(0.0);
                continue;
            }
            let score = self.space.score(i, u);
            self.x.copy_from_slice(x);
            self.x[i] = distribution.from_standard_normal(score + step);
            let above = self.evaluate();
            self.x[i] = distribution.from_standard_normal(score - step);
            let below = self.evaluate();
            slopes.push((above - below) / (2.0 * step));
        }
        slopes
    }

    fn flat(&self, distance: f64) -> NumericsError {
        NumericsError::Flat {
            limit_state: self.limit_state,
            distance,
        }
    }

    fn remote(&self) -> NumericsError {
        NumericsError::Remote {
            limit_state: self.limit_state,
            distance: self.options.farthest,
        }
    }

    fn unsettled(&self, iterations: usize) -> NumericsError {
        NumericsError::NotConverged {
            limit_state: self.limit_state,
            iterations,
        }
    }
}

/// How often a search may step over an edge.
const CROSSINGS: usize = 5;

/// Halvings of a step before it counts as no help.
const HALVINGS: usize = 30;

/// The share of the promised fall of the merit that a step must bring.
const ENOUGH: f64 = 0.1;

fn along(u: &[f64], step: &[f64], length: f64) -> Vec<f64> {
    u.iter().zip(step).map(|(u, s)| u + length * s).collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn norm(a: &[f64]) -> f64 {
    dot(a, a).sqrt()
}
