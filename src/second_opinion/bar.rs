//! The elastic bar as a numerical boundary-value problem: Hermite elements on a consistent bed of springs, the moments
//! and shears from statics on what the bed takes.
//!
//! The bed is cut where the bar begins to touch, so that the integrals are those of smooth functions; Newton's method
//! on the out-of-balance forces finds where that is.

use super::OpinionError;
use super::banded::Banded;

/// An element is no longer than this over λ = (K/4EI)^¼ (1): the error of cubic elements is of the order of its fourth
/// power over 400, about 2e-8, and rounding on so many elements stays as small.
const FINE: f64 = 0.05;
/// The same where a boss is loose: what it presses with is the small difference of deflection and clearance, and its
/// share of the error so much larger.
const FINER: f64 = 0.02;
/// The fewest elements of a piece.
const FEWEST: usize = 8;
/// The most elements of a piece.
const MOST: usize = 400;
/// Rounds of Newton's method.
const ROUNDS: usize = 200;
/// Rounds with full steps; where they go to and fro, half ones follow.
const FULL_STEPS: usize = 30;
/// The bar has settled when a step is this share of the movement (1): the next would be its square, far below rounding.
const SETTLED: f64 = 1e-7;
/// Parts of the elements beside the best node in which the largest is looked for.
const PARTS: usize = 16;
/// Parts of a range in which the worst place of a window is looked for.
const PLACES: usize = 64;
/// Places and weights of Gauss on (0, 1), four points: exact to degree 7.
const GAUSS: [[f64; 2]; 4] = [
    [0.069_431_844_202_973_71, 0.173_927_422_568_726_93],
    [0.330_009_478_207_571_87, 0.326_072_577_431_273_07],
    [0.669_990_521_792_428_1, 0.326_072_577_431_273_07],
    [0.930_568_155_797_026_3, 0.173_927_422_568_726_93],
];

/// A piece of the bar.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    /// Its length (m).
    pub(super) length: f64,
    /// Bending stiffness E I (N·m²).
    pub(super) rigidity: f64,
    /// Line modulus of the bed, zero outside the wood (Pa).
    pub(super) bed: f64,
    /// Radial clearance in its hole (m).
    pub(super) gap: f64,
}

/// An element between two places, x from the wood surface inward.
#[derive(Debug, Clone, Copy)]
struct Element {
    from: f64,
    length: f64,
    piece: usize,
}

/// A bar cut into elements.
#[derive(Debug, Clone)]
pub(super) struct Bar {
    pieces: Vec<Piece>,
    elements: Vec<Element>,
}

/// What acts at a place: deflection (m), moment (N·m), shear (N).
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Acting {
    pub(super) deflection: f64,
    pub(super) moment: f64,
    pub(super) shear: f64,
}

impl Acting {
    pub(super) fn times(self, factor: f64) -> Self {
        Self {
            deflection: self.deflection * factor,
            moment: self.moment * factor,
            shear: self.shear * factor,
        }
    }
}

/// A bar under a force at its outer end.
#[derive(Debug, Clone)]
pub(super) struct Bent {
    /// Deflection and slope by node.
    moved: Vec<f64>,
    /// Moment and shear at each node.
    nodes: Vec<[f64; 2]>,
}

/// Hermite's functions of an element at a share of its length.
fn shapes(s: f64, h: f64) -> [f64; 4] {
    let (s2, s3) = (s * s, s * s * s);
    [
        1.0 - 3.0 * s2 + 2.0 * s3,
        h * (s - 2.0 * s2 + s3),
        3.0 * s2 - 2.0 * s3,
        h * (s3 - s2),
    ]
}

fn dot(a: [f64; 4], b: [f64; 4]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + a[3] * b[3]
}

/// What the bed gives back at a deflection, per unit of K, and whether it touches.
fn pressed(v: f64, gap: f64) -> (f64, bool) {
    if v > gap {
        (v - gap, true)
    } else if v < -gap {
        (v + gap, true)
    } else {
        (0.0, false)
    }
}

impl Bar {
    /// A bar of pieces from the load inward; the surface of the wood is where `outside` of them end.
    pub(super) fn new(pieces: Vec<Piece>, outside: usize) -> Self {
        let arm: f64 = pieces[..outside].iter().map(|piece| piece.length).sum();
        let mut from = -arm;
        let loose = pieces.iter().any(|piece| piece.gap > 0.0);
        let fine = if loose { FINER } else { FINE };
        let mut elements = Vec::new();
        for (index, piece) in pieces.iter().enumerate() {
            let lambda = (piece.bed / (4.0 * piece.rigidity)).powf(0.25);
            // The count is between the two bounds.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let count = ((piece.length * lambda / fine).ceil() as usize).clamp(FEWEST, MOST);
            let count = if piece.bed > 0.0 { count } else { 1 };
            let start = if index == outside { 0.0 } else { from };
            let length = piece.length / count as f64;
            elements.extend((0..count).map(|k| Element {
                from: start + length * k as f64,
                length,
                piece: index,
            }));
            from = start + piece.length;
        }
        Self { pieces, elements }
    }

    /// The bar under a force at its outer end.
    pub(super) fn bend(&self, force: f64) -> Result<Bent, OpinionError> {
        let size = 2 * self.elements.len() + 2;
        let mut moved = vec![0.0; size];
        if force == 0.0 {
            return Ok(self.bent(moved, force));
        }
        for round in 0..ROUNDS {
            let (stiffness, mut left) = self.out_of_balance(&moved);
            left[0] += force;
            let step = stiffness.solve(left).ok_or(OpinionError::NoAnswer {
                what: "the bar by elements",
            })?;
            let relax = if round < FULL_STEPS { 1.0 } else { 0.5 };
            for (own, step) in moved.iter_mut().zip(&step) {
                *own += relax * step;
            }
            let most = |values: &[f64]| {
                let moves = values.iter().step_by(2);
                moves.fold(0.0_f64, |most, v| most.max(v.abs()))
            };
            if most(&step) <= SETTLED * most(&moved) {
                return Ok(self.bent(moved, force));
            }
        }
        Err(OpinionError::NoAnswer {
            what: "the bar by elements, where it touches its hole",
        })
    }

    /// Stiffness as the bar touches now, and minus what bar and bed give back.
    fn out_of_balance(&self, moved: &[f64]) -> (Banded, Vec<f64>) {
        let mut stiffness = Banded::new(moved.len());
        let mut left = vec![0.0; moved.len()];
        for (index, element) in self.elements.iter().enumerate() {
            let piece = &self.pieces[element.piece];
            let own = ends(moved, index);
            let mut matrix = bending(piece.rigidity, element.length);
            let mut force: [f64; 4] = std::array::from_fn(|row| dot(matrix[row], own));
            if piece.bed > 0.0 {
                for [from, to] in cuts(own, element.length, piece.gap) {
                    for [s, weight] in GAUSS {
                        let n = shapes(from + s * (to - from), element.length);
                        let (pushes, touches) = pressed(dot(n, own), piece.gap);
                        let weight = weight * (to - from) * element.length * piece.bed;
                        for row in 0..4 {
                            force[row] += weight * pushes * n[row];
                            if touches || piece.gap == 0.0 {
                                for column in 0..4 {
                                    matrix[row][column] += weight * n[row] * n[column];
                                }
                            }
                        }
                    }
                }
            }
            stiffness.add(2 * index, &matrix);
            for (left, force) in left[2 * index..].iter_mut().zip(force) {
                *left -= force;
            }
        }
        (stiffness, left)
    }

    /// Moments and shears by statics: what the bed takes, from the outer end inward.
    fn bent(&self, moved: Vec<f64>, force: f64) -> Bent {
        let mut nodes = Vec::with_capacity(self.elements.len() + 1);
        let (mut moment, mut shear) = (0.0, force);
        nodes.push([moment, shear]);
        for index in 0..self.elements.len() {
            [moment, shear] = self.passed(&moved, index, 1.0, [moment, shear]);
            nodes.push([moment, shear]);
        }
        Bent { moved, nodes }
    }

    /// Moment and shear at a share of an element, from those at its start.
    fn passed(&self, moved: &[f64], index: usize, share: f64, [m, q]: [f64; 2]) -> [f64; 2] {
        let element = &self.elements[index];
        let (piece, h) = (&self.pieces[element.piece], element.length);
        let x = share * h;
        let (mut taken, mut about) = (0.0, 0.0);
        if piece.bed > 0.0 {
            let own = ends(moved, index);
            for [from, to] in cuts(own, h, piece.gap) {
                let to = to.min(share);
                if to <= from {
                    continue;
                }
                for [s, weight] in GAUSS {
                    let at = from + s * (to - from);
                    let (pushes, _) = pressed(dot(shapes(at, h), own), piece.gap);
                    let part = weight * (to - from) * h * piece.bed * pushes;
                    taken += part;
                    about += part * (x - at * h);
                }
            }
        }
        [m + q * x - about, q - taken]
    }

    /// What acts at a place of a piece.
    pub(super) fn at(&self, bent: &Bent, piece: usize, x: f64) -> Acting {
        let own = |index: &usize| self.elements[*index].piece == piece;
        let mut index = self.elements.partition_point(|element| element.from <= x);
        index = index.saturating_sub(1);
        while !own(&index) && self.elements[index].piece > piece && index > 0 {
            index -= 1;
        }
        while !own(&index) && self.elements[index].piece < piece && index + 1 < self.elements.len()
        {
            index += 1;
        }
        let element = &self.elements[index];
        let share = ((x - element.from) / element.length).clamp(0.0, 1.0);
        self.in_element(bent, index, share)
    }

    fn in_element(&self, bent: &Bent, index: usize, share: f64) -> Acting {
        let deflection = dot(
            shapes(share, self.elements[index].length),
            ends(&bent.moved, index),
        );
        let [moment, shear] = self.passed(&bent.moved, index, share, bent.nodes[index]);
        Acting {
            deflection,
            moment,
            shear,
        }
    }

    /// The largest of something over a piece, looked for at the nodes of this bar and closer beside the best.
    pub(super) fn largest(&self, piece: usize, f: impl Fn(f64) -> f64) -> f64 {
        let mut own = self
            .elements
            .iter()
            .filter(|element| element.piece == piece);
        let mut places: Vec<f64> = own.clone().map(|element| element.from).collect();
        let last = own.next_back();
        places.extend(last.map(|element| element.from + element.length));
        let values: Vec<f64> = places.iter().map(|x| f(*x)).collect();
        let best = highest(&values);
        let (from, to) = (best.saturating_sub(1), (best + 1).min(places.len() - 1));
        closer(places[from], places[to], f).max(values[best])
    }

    /// The largest of what the beds of two planes take over a length, wherever from `low` to `high` it begins.
    pub(super) fn largest_taken(
        bars: [&Self; 2],
        bent: [&Bent; 2],
        [low, high, length]: [f64; 3],
        f: impl Fn([f64; 2]) -> f64,
    ) -> f64 {
        let shear = |plane: usize, x: f64| {
            let elements = &bars[plane].elements;
            let after = elements.partition_point(|element| element.from <= x);
            let piece = elements[after.saturating_sub(1)].piece;
            bars[plane].at(bent[plane], piece, x).shear
        };
        let at = |x: f64| f([0, 1].map(|plane| shear(plane, x) - shear(plane, x + length)));
        if high <= low {
            return at(low);
        }
        let step = (high - low) / PLACES as f64;
        let values: Vec<f64> = (0..=PLACES).map(|k| at(low + step * k as f64)).collect();
        let best = highest(&values);
        let from = low + step * best.saturating_sub(1) as f64;
        let to = (low + step * (best + 1) as f64).min(high);
        closer(from, to, at).max(values[best])
    }

    /// Deflection of the load point (m).
    pub(super) fn sinking(bent: &Bent) -> f64 {
        bent.moved[0]
    }
}

/// Deflection and slope at both ends of an element.
fn ends(moved: &[f64], index: usize) -> [f64; 4] {
    std::array::from_fn(|k| moved[2 * index + k])
}

fn bending(rigidity: f64, h: f64) -> [[f64; 4]; 4] {
    let c = rigidity / (h * h * h);
    let (a, b, d, e) = (12.0 * c, 6.0 * c * h, 4.0 * c * h * h, 2.0 * c * h * h);
    [[a, b, -a, b], [b, d, -b, e], [-a, -b, a, -b], [b, e, -b, d]]
}

/// The parts of an element, as shares of it, in each of which the bar touches all over or not at all.
fn cuts(own: [f64; 4], h: f64, gap: f64) -> Vec<[f64; 2]> {
    if gap == 0.0 {
        return vec![[0.0, 1.0]];
    }
    let mut places = vec![0.0];
    for level in [gap, -gap] {
        let over = |s: f64| dot(shapes(s, h), own) - level;
        let (mut low, mut high) = (0.0, 1.0);
        let rises = over(low) < 0.0;
        if rises == (over(high) < 0.0) {
            continue;
        }
        for _ in 0..52 {
            let middle = f64::midpoint(low, high);
            if (over(middle) < 0.0) == rises {
                low = middle;
            } else {
                high = middle;
            }
        }
        places.push(f64::midpoint(low, high));
    }
    places.push(1.0);
    places.sort_by(f64::total_cmp);
    places.windows(2).map(|pair| [pair[0], pair[1]]).collect()
}

/// The largest of a function between two places, by values at equal distances and the parabola at the best.
fn closer(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    let step = (to - from) / PARTS as f64;
    let values: Vec<f64> = (0..=PARTS).map(|k| f(from + step * k as f64)).collect();
    top(&values)
}

/// The place of the largest, the first of equal ones.
fn highest(values: &[f64]) -> usize {
    (0..values.len()).fold(0, |a, b| if values[b] > values[a] { b } else { a })
}

/// The largest of values at equal distances: with the top of the parabola through the best and its neighbours.
fn top(values: &[f64]) -> f64 {
    let best = highest(values);
    let peak = values.get(best).copied().unwrap_or(0.0);
    let (Some(before), Some(after)) = (
        best.checked_sub(1).and_then(|k| values.get(k)),
        values.get(best + 1),
    ) else {
        return peak;
    };
    let bow = 2.0 * peak - before - after;
    if bow > 0.0 {
        peak + (after - before) * (after - before) / (8.0 * bow)
    } else {
        peak
    }
}
