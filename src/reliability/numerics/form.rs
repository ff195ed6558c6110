//! The first-order reliability method: the nearest point in u at which a limit state is exceeded.
//!
//! **Search.** The improved method of Hasofer, Lind, Rackwitz and Fiessler (Zhang and Der Kiureghian 1995): the step leads to
//! the point of the tangent plane nearest to the origin, and is halved until the merit |u|²/2 + c·|G| falls as it promises
//! (Armijo). Gradients are central differences in u. Where a step does not help at any length, the search has run into an
//! edge between two branches of the limit state; the full step is then taken a few times, which crosses over to the other
//! branch.
//!
//! If no step helps there either, several branches are exceeded only together, as at the edge of max(g₁, g₂) = 0; cutting
//! planes then lead to the nearest point of the edge, whose importance factors are a mean of both sides.
//!
//! **More than one design point.** A limit state that is the least of several margins has one for each. Searches begin at the
//! medians, and at the points on the axes of u, at the distance β, where the margin is lowest. Then a bulge is put on the limit
//! state round every point found, and the search begins anew (Der Kiureghian and Dakessian 1998); what it finds is searched again
//! without bulges. Nothing proves that all are found: sampling is the check.
//!
//! **Importance.** α is the unit vector of falling margin at the design point, in u. Where variables are correlated, its
//! components belong to no variable; the importance of variable i is (∂g/∂zᵢ)²/Σ(∂g/∂z)², the share of its own
//! normal score with all other variables held (the squared γ of Der Kiureghian and Liu). Independent: α².

use super::error::{NumericsError, between};
use super::{Response, Space, normal};

/// How a design point is searched.
#[derive(Clone, Debug, PartialEq)]
pub struct FormOptions {
    /// The distance in u from where the tangent plane leads; its square is what remains of β.
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
            tolerance: 1e-5,
            iterations: 200,
            design_points: 3,
            margin: 2.0,
            difference: 1e-3,
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
    let first = surface.design_point(&origin);
    let mut points: Vec<DesignPoint> = first.iter().cloned().collect();
    if options.design_points > 1 || points.is_empty() {
        let distance = points.first().map_or(DISTANCE, |point| point.beta.abs());
        for start in surface.starts(distance.max(1.0)) {
            if let Ok(point) = surface.design_point(&start) {
                admit(&mut points, point);
            }
        }
    }
    while (1..options.design_points).contains(&points.len()) {
        let new = surface.beyond(&points);
        if !new.is_some_and(|point| admit(&mut points, point)) {
            break;
        }
    }
    if points.is_empty() {
        first?;
    }
    points.sort_by(|a, b| a.beta.total_cmp(&b.beta));
    let farthest = points
        .first()
        .map_or(0.0, |nearest| nearest.beta + options.margin);
    points.retain(|point| point.beta <= farthest);
    points.truncate(options.design_points.max(1));
    Ok(Form {
        points,
        evaluations: surface.evaluations,
    })
}

/// Adds a point that is none of those known.
fn admit(points: &mut Vec<DesignPoint>, point: DesignPoint) -> bool {
    let new = points.iter().all(|other| {
        let between = norm(&along(&point.u, &other.u, -1.0));
        between > APART * other.beta.abs().max(1.0)
    });
    if new {
        points.push(point);
    }
    new
}

/// Where a search ended.
struct Found {
    u: Vec<f64>,
    gradient: Vec<f64>,
    iterations: usize,
}

/// The half-space gradient·u ≤ reach.
struct Plane {
    gradient: Vec<f64>,
    reach: f64,
}

/// The point of all half-spaces nearest to the origin, by Hildreth's method: u = −Σ pull·gradient, each pull in turn as large
/// as its plane needs.
fn nearest_beyond(planes: &[Plane], normals: usize) -> Vec<f64> {
    let mut pulls = vec![0.0_f64; planes.len()];
    let mut u = vec![0.0; normals];
    for _ in 0..SWEEPS {
        let mut moved = 0.0_f64;
        for (plane, pull) in planes.iter().zip(&mut pulls) {
            let square = dot(&plane.gradient, &plane.gradient);
            let more = ((dot(&plane.gradient, &u) - plane.reach) / square).max(-*pull);
            *pull += more;
            u = along(&u, &plane.gradient, -more);
            moved = moved.max(more.abs() * square.sqrt());
        }
        if moved < 1e-12 {
            break;
        }
    }
    u
}

/// Tangent planes of one edge, and sweeps over them.
const PLANES: usize = 40;
const SWEEPS: usize = 2000;

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
    fn on(point: &[f64], slope: f64) -> Self {
        let beta = norm(point).max(LEAST);
        let square = (1.1 * beta).powi(2);
        Self {
            centre: point.to_vec(),
            square,
            steepness: 0.75 * beta * slope / (square - (0.75 * beta).powi(2)).powi(2),
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
            if distance > self.options.farthest {
                return Err(self.remote());
            }
            if ahead <= self.options.tolerance * distance.max(1.0) {
                return Ok(Found {
                    u: along(&u, &step, 1.0),
                    gradient,
                    iterations,
                });
            }
            let penalty = 2.0 * Self::least_penalty(&u, &step, margin, slope);
            match self.shortened(&u, margin, &gradient, &step, penalty) {
                Some((next, there)) => (u, margin) = (next, there),
                None if ahead <= ROUGH * distance.max(1.0) => {
                    return Ok(Found {
                        u: along(&u, &step, 1.0),
                        gradient,
                        iterations,
                    });
                }
                None if crossings > 0 => {
                    crossings -= 1;
                    u = along(&u, &step, 1.0);
                    margin = self.margin(&u);
                    if !margin.is_finite() {
                        return Err(self.unsettled(iterations));
                    }
                }
                None => return self.edge(&u).ok_or_else(|| self.unsettled(iterations)),
            }
        }
        self.edge(&u)
            .ok_or_else(|| self.unsettled(self.options.iterations))
    }

    /// The nearest point of an edge at which several branches of the limit state are exceeded together, by cutting planes:
    /// each step goes to the point nearest to the origin beyond all tangent planes so far.
    fn edge(&mut self, start: &[f64]) -> Option<Found> {
        let mut planes: Vec<Plane> = Vec::new();
        let mut u = start.to_vec();
        for iterations in 0..PLANES {
            let margin = self.margin(&u);
            let gradient = self.gradient(&u).ok()?;
            let near = self.options.tolerance * norm(&gradient);
            if margin.abs() <= near && !planes.is_empty() {
                if self.one_is_enough(&planes) {
                    return None;
                }
                // At the nearest point the gradients together point back at the origin.
                let scale = -norm(&gradient) / norm(&u);
                let gradient = u.iter().map(|u| scale * u).collect();
                return Some(Found {
                    u,
                    gradient,
                    iterations,
                });
            }
            let reach = dot(&gradient, &u) - margin;
            planes.push(Plane { gradient, reach });
            u = nearest_beyond(&planes, u.len());
            if norm(&u) > self.options.farthest {
                return None;
            }
        }
        None
    }

    /// Whether the foot of one plane is exceeded already: then the planes are branches of which any counts, and the point
    /// where they meet is not the nearest.
    fn one_is_enough(&mut self, planes: &[Plane]) -> bool {
        planes.iter().any(|plane| {
            let share = plane.reach / dot(&plane.gradient, &plane.gradient);
            let foot: Vec<f64> = plane.gradient.iter().map(|g| share * g).collect();
            // Not the foot of a curved branch, which its plane touches: clearly inside.
            self.margin(&foot) < -ROUGH
        })
    }

    /// The weight of the margin above which the merit falls along the step: from the slope of the merit, and from what the
    /// full step would bring on a plane (Zhang and Der Kiureghian 1995).
    fn least_penalty(u: &[f64], step: &[f64], margin: f64, slope: f64) -> f64 {
        let least = norm(u) / slope;
        if margin.abs() < NEAR {
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

    /// Points on the axes of u from which to search: those with the lowest margins at this distance.
    fn starts(&mut self, distance: f64) -> Vec<Vec<f64>> {
        let normals = self.space.normals();
        let mut starts: Vec<(f64, Vec<f64>)> = Vec::with_capacity(2 * normals);
        for k in 0..normals {
            for side in [distance, -distance] {
                let mut u = vec![0.0; normals];
                u[k] = side;
                starts.push((self.margin(&u), u));
            }
        }
        starts.retain(|(margin, _)| margin.is_finite());
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        starts.truncate(2 * self.options.design_points.max(1));
        starts.into_iter().map(|(_, u)| u).collect()
    }

    /// The design point found with a bulge on each that is known.
    fn beyond(&mut self, known: &[DesignPoint]) -> Option<DesignPoint> {
        for point in known {
            let slope = norm(&self.gradient(&point.u).ok()?);
            self.bulges.push(Bulge::on(&point.u, slope));
        }
        // Off every axis and every diagonal, where symmetry can leave no slope.
        let side = |k: usize| if k.is_multiple_of(2) { OFFSET } else { -OFFSET };
        let start: Vec<f64> = (0..self.space.normals())
            .map(|k| side(k) / (1.0 + 0.1 * k as f64))
            .collect();
        let found = self.walk(&start);
        self.bulges.clear();
        found.and_then(|found| self.design_point(&found.u)).ok()
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

/// Margins below this, in units of that at the medians, are near enough to the surface to move along it.
const NEAR: f64 = 1e-2;

/// Points nearer to each other than this share of β are one.
const APART: f64 = 0.1;

/// Where to start on the axes if the search from the medians led nowhere.
const DISTANCE: f64 = 3.0;

/// How far from the medians a search among bulges begins, in each normal.
const OFFSET: f64 = 0.1;

/// A step that no longer helps ends the search if it is shorter than this share of the distance: what is left is rounding in
/// the margin. It leaves its square in β.
const ROUGH: f64 = 1e-3;

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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::float_cmp)]

    use super::*;
    use crate::reliability::numerics::{Correlation, Distribution, Function};

    /// What the tolerance of the search leaves of β, which is of the second order in it.
    const BETA: f64 = 1e-7;

    /// What it leaves of a component of the design point.
    const PLACE: f64 = 1e-4;

    fn standard(normals: usize) -> Space {
        Space::new(vec![Distribution::normal(0.0, 1.0).unwrap(); normals], None).unwrap()
    }

    fn find(space: &Space, g: impl Fn(&[f64]) -> f64 + Sync) -> Result<Form, NumericsError> {
        let response = Function::new(1, |x: &[f64], out: &mut [f64]| out[0] = g(x));
        search(space, &response, 0, &FormOptions::default())
    }

    #[test]
    fn a_plane_is_found_in_one_step() {
        let space = Space::new(
            vec![
                Distribution::normal(10.0, 1.5).unwrap(),
                Distribution::normal(5.0, 1.0).unwrap(),
            ],
            None,
        )
        .unwrap();
        let form = find(&space, |x| x[0] - x[1]).unwrap();
        let point = &form.points[0];
        assert_eq!((form.points.len(), point.iterations), (1, 1));
        let length = 3.25_f64.sqrt();
        assert!((point.beta - 5.0 / length).abs() < BETA);
        assert!((point.x[0] - point.x[1]).abs() < 1e-6);
        assert!((point.alpha[0] + 1.5 / length).abs() < BETA);
        assert!((point.alpha[1] - 1.0 / length).abs() < BETA);
        assert!((point.importance[0] - 2.25 / 3.25).abs() < BETA);
        assert!((point.probability() - normal::cdf(-5.0 / length)).abs() < 1e-9);
    }

    #[test]
    fn lognormal_strength_and_load_have_a_closed_form() {
        for (r, s, vr, vs) in [
            (3.0, 1.0, 0.2, 0.3),
            (1.0, 3.0, 0.2, 0.3),
            (20.0, 1.0, 0.25, 0.5),
        ] {
            let space = Space::new(
                vec![
                    Distribution::lognormal(r, vr).unwrap(),
                    Distribution::lognormal(s, vs).unwrap(),
                ],
                None,
            )
            .unwrap();
            let (qr, qs) = (1.0 + vr * vr, 1.0_f64 + vs * vs);
            let beta = (r / s * (qs / qr).sqrt()).ln() / (qr * qs).ln().sqrt();
            for form in [
                find(&space, |x| x[0] - x[1]),
                find(&space, |x| 1.0 - x[1] / x[0]),
            ] {
                let point = &form.unwrap().points[0];
                assert!(
                    (point.beta - beta).abs() < BETA,
                    "{} for {beta}",
                    point.beta
                );
                let share = qr.ln() / (qr * qs).ln();
                assert!((point.importance[0] - share).abs() < PLACE);
            }
        }
    }

    #[test]
    fn where_the_medians_fail_the_index_is_negative() {
        let form = find(&standard(2), |x| -1.5 - x[0]).unwrap();
        assert!((form.points[0].beta + 1.5).abs() < BETA);
        assert!((form.points[0].u[0] + 1.5).abs() < PLACE);
        let touching = find(&standard(2), |x| -x[0]).unwrap();
        assert!(touching.points[0].beta.abs() < BETA);
    }

    /// Correlated normals: β = (μR − μS)/√(σR² + σS² − 2ρσRσS), γ as the variables' own deviations.
    #[test]
    fn importance_belongs_to_the_variables_not_to_the_normals() {
        for rho in [-1.0, -0.7, 0.0, 0.5, 0.99, 1.0] {
            let mut correlation = Correlation::of_values(2);
            correlation.set(0, 1, rho).unwrap();
            let variables = vec![
                Distribution::normal(10.0, 1.5).unwrap(),
                Distribution::normal(5.0, 1.0).unwrap(),
            ];
            let space = Space::new(variables, Some(&correlation)).unwrap();
            let point = &find(&space, |x| x[0] - x[1]).unwrap().points[0];
            let deviation = (3.25 - 3.0 * rho).sqrt();
            assert!(
                (point.beta - 5.0 / deviation).abs() < 1e-6,
                "{rho}: {}",
                point.beta
            );
            assert!((point.importance[0] - 2.25 / 3.25).abs() < 1e-6);
            assert!(point.gamma[0] < 0.0 && point.gamma[1] > 0.0);
        }
    }

    #[test]
    fn importance_adds_to_one_and_nothing_falls_to_the_fixed() {
        let variables = vec![
            Distribution::lognormal(3.0, 0.2).unwrap(),
            Distribution::deterministic(1.2).unwrap(),
            Distribution::gumbel(1.0, 0.3).unwrap(),
        ];
        let space = Space::new(variables, None).unwrap();
        let point = &find(&space, |x| x[0] - x[1] * x[2]).unwrap().points[0];
        assert!((point.importance.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!((point.importance[1], point.x[1]), (0.0, 1.2));
        assert_eq!((point.u.len(), point.alpha.len()), (2, 2));
        // Independent: the importance is α².
        assert!((point.importance[0] - point.alpha[0].powi(2)).abs() < 1e-6);
    }

    /// A product: each slope hangs on where the other variables are, which is the design point.
    #[test]
    fn importance_is_that_of_the_design_point() {
        let variables = vec![Distribution::lognormal(3.0, 0.4).unwrap(); 3];
        let space = Space::new(variables, None).unwrap();
        let margin = |x: &[f64]| x[0] * (1.0 + x[1] * x[1]) + x[1] - 2.0 * x[2];
        let point = &find(&space, margin).unwrap().points[0];
        for (importance, alpha) in point.importance.iter().zip(&point.alpha) {
            assert!((importance - alpha * alpha).abs() < PLACE);
        }
    }

    #[test]
    fn every_branch_of_a_least_margin_is_found() {
        let ends = |x: &[f64]| (3.0 - x[0]).min(3.4 + x[0]).min(3.2 - x[1]);
        let form = find(&standard(2), ends).unwrap();
        let betas: Vec<f64> = form.points.iter().map(|p| p.beta).collect();
        assert_eq!(betas.len(), 3);
        for (beta, expected) in betas.iter().zip([3.0, 3.2, 3.4]) {
            assert!((beta - expected).abs() < BETA, "{betas:?}");
        }
    }

    #[test]
    fn branches_far_behind_do_not_count() {
        let form = find(&standard(2), |x| (3.0 - x[0]).min(5.5 + x[0])).unwrap();
        assert_eq!(form.points.len(), 1);
        let options = FormOptions {
            design_points: 1,
            ..FormOptions::default()
        };
        let near = Function::new(1, |x: &[f64], g: &mut [f64]| {
            g[0] = (3.0 - x[0]).min(3.1 + x[0])
        });
        let one = search(&standard(2), &near, 0, &options).unwrap();
        assert_eq!(one.points.len(), 1);
        assert!(one.evaluations < 40);
    }

    /// The search begins where one branch is the lower, and the nearest point lies on the other.
    #[test]
    fn an_edge_on_the_way_is_crossed() {
        let form = find(&standard(2), |x| (6.0 - 2.0 * x[0]).min(5.0 - x[1])).unwrap();
        assert!((form.points[0].beta - 3.0).abs() < BETA);
        let steep = find(&standard(2), |x| (4.0 - x[0]).min(20.0 * (3.0 - x[1]))).unwrap();
        assert!((steep.points[0].beta - 3.0).abs() < BETA, "{steep:?}");
    }

    /// max(g₁, g₂) ≤ 0: both planes at once, at √(9/1.09 + 4) from the origin. Differences across the edge blunt it.
    #[test]
    fn an_edge_where_both_branches_are_exceeded_is_found() {
        let both = |x: &[f64]| (3.0 - x[0] - 0.3 * x[2]).max(2.0 - x[1]);
        let form = find(&standard(3), both).unwrap();
        let expected = (9.0_f64 / 1.09 + 4.0).sqrt();
        let point = &form.points[0];
        assert!(
            (point.beta - expected).abs() < 1e-3,
            "{} for {expected}",
            point.beta
        );
        assert!((point.u[1] - 2.0).abs() < 1e-3);
    }

    /// RP25 of the repository of reliability problems: a parabola and a line meet at (2.1615, 2.5840), worked out apart.
    #[test]
    fn an_edge_that_is_curved_is_found() {
        let both = |x: &[f64]| (x[0].powi(2) - 8.0 * x[1] + 16.0).max(32.0 - 16.0 * x[0] + x[1]);
        let point = &find(&standard(2), both).unwrap().points[0];
        assert!((point.beta - 3.368_856_797).abs() < 1e-3, "{}", point.beta);
        assert!((point.u[0] - 2.161_500_665).abs() < 1e-3);
    }

    /// 3 − x·y has no slope at the medians.
    #[test]
    fn a_saddle_at_the_medians_is_left() {
        let form = find(&standard(2), |x| 3.0 - x[0] * x[1]).unwrap();
        assert_eq!(form.points.len(), 2);
        assert!(
            form.points
                .iter()
                .all(|p| (p.beta - 6.0_f64.sqrt()).abs() < BETA)
        );
    }

    /// What a solver leaves in its last digits does not keep the search from settling.
    #[test]
    fn rounding_in_the_margin_is_borne() {
        let smooth = |x: &[f64]| 2.0 - x[1] - 0.1 * x[0].powi(2) + 0.3 * x[0];
        let beta = find(&standard(2), smooth).unwrap().points[0].beta;
        // Steps of the margin, and what they leave in β.
        for (step, left) in [(1e-9, BETA), (1e-7, 1e-6), (1e-6, 1e-5)] {
            let rough = move |x: &[f64]| (smooth(x) / step).round() * step;
            let found = find(&standard(2), rough).unwrap().points[0].beta;
            assert!((found - beta).abs() < left, "{step}: {found} for {beta}");
        }
    }

    #[test]
    fn the_scale_of_the_margin_does_not_matter() {
        let betas = [1e-9, 1.0, 1e12].map(|scale| {
            let margin = move |x: &[f64]| scale * (2.0 - x[1] - 0.1 * x[0].powi(2) + 0.3 * x[0]);
            find(&standard(2), margin).unwrap().points[0].beta
        });
        assert!((betas[0] - betas[1]).abs() < 1e-12 && (betas[2] - betas[1]).abs() < 1e-12);
    }

    #[test]
    fn the_limit_state_asked_for_is_searched() {
        let response = Function::new(2, |x: &[f64], g: &mut [f64]| {
            g[0] = 3.0 - x[0];
            g[1] = 4.0 - x[1];
        });
        let options = FormOptions::default();
        let beta = |k| search(&standard(2), &response, k, &options).map(|f| f.points[0].beta);
        assert!((beta(0).unwrap() - 3.0).abs() < BETA);
        assert!((beta(1).unwrap() - 4.0).abs() < BETA);
        assert!(matches!(
            beta(2),
            Err(NumericsError::NoSuch { index: 2, .. })
        ));
    }

    #[test]
    fn what_is_never_reached_is_said() {
        let flat = find(&standard(2), |_| 1.0);
        assert!(matches!(flat, Err(NumericsError::Flat { .. })), "{flat:?}");
        let remote = find(&standard(2), |x| 30.0 - x[0]);
        assert!(
            matches!(remote, Err(NumericsError::Remote { .. })),
            "{remote:?}"
        );
        let level = find(&standard(1), |x| 1.0 + (-x[0]).exp());
        assert!(level.is_err(), "{level:?}");
        let undefined = find(&standard(1), |_| f64::NAN);
        assert!(matches!(undefined, Err(NumericsError::NotFinite { .. })));
        let partly = find(
            &standard(1),
            |x| if x[0] > 0.5 { f64::NAN } else { 1.0 - x[0] },
        );
        assert!(partly.is_err(), "{partly:?}");
    }

    #[test]
    fn options_without_a_meaning_are_refused() {
        let response = Function::new(1, |x: &[f64], g: &mut [f64]| g[0] = 3.0 - x[0]);
        let good = FormOptions::default();
        for bad in [
            FormOptions {
                tolerance: 0.0,
                ..good.clone()
            },
            FormOptions {
                difference: 1.0,
                ..good.clone()
            },
            FormOptions {
                farthest: 50.0,
                ..good.clone()
            },
            FormOptions {
                margin: f64::NAN,
                ..good.clone()
            },
        ] {
            assert!(search(&standard(1), &response, 0, &bad).is_err(), "{bad:?}");
        }
    }
}
