//! The statics of one span of a straight beam: what its loads do when its ends are simply held, and the moment and
//! deflection along it once its end forces are known.
//!
//! Signs: x from the start, everything transverse positive upwards; moments positive sagging, so that EI·v″ = M and
//! M′ = S, where S is the sum of the upward forces before x. With shear flexibility 1/(κGA) the deflection is
//! v = ∬M/EI − M/(κGA) with the two constants from the ends.

/// A load across a span (N, N/m, m), positive along the direction in question.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SpanLoad {
    /// A force at one place.
    Point {
        /// Its place.
        x: f64,
        /// Its size.
        force: f64,
    },
    /// A force per length that runs linearly from `start` at `from` to `end` at `to`.
    Ramp {
        /// Where it begins.
        from: f64,
        /// Where it ends.
        to: f64,
        /// Its size where it begins.
        start: f64,
        /// Its size where it ends.
        end: f64,
    },
}

/// Nodes and weights of Gauss–Legendre on (0, 1), three points: exact to degree 5.
const GAUSS: [(f64, f64); 3] = [
    (0.112_701_665_379_258_31, 5.0 / 18.0),
    (0.5, 4.0 / 9.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];

impl SpanLoad {
    /// Point forces (x, force) that do the same work on any deflection of degree 4 or less.
    pub(crate) fn points(&self) -> [(f64, f64); 3] {
        match *self {
            Self::Point { x, force } => [(x, force), (x, 0.0), (x, 0.0)],
            Self::Ramp {
                from,
                to,
                start,
                end,
            } => GAUSS.map(|(s, weight)| {
                (
                    from + s * (to - from),
                    weight * (to - from) * (start + s * (end - start)),
                )
            }),
        }
    }

    /// Whether it is no load at all: most loads act along one axis only.
    pub(crate) fn is_nothing(&self) -> bool {
        match *self {
            Self::Point { force, .. } => force == 0.0,
            Self::Ramp { start, end, .. } => start == 0.0 && end == 0.0,
        }
    }

    /// Whether all its numbers are finite.
    pub(crate) fn is_finite(&self) -> bool {
        match *self {
            Self::Point { x, force } => x.is_finite() && force.is_finite(),
            Self::Ramp {
                from,
                to,
                start,
                end,
            } => [from, to, start, end].iter().all(|n| n.is_finite()),
        }
    }

    /// Whether it lies between two places and does not end before it begins.
    pub(crate) fn lies_within(&self, low: f64, high: f64) -> bool {
        let [from, to] = self.places();
        low <= from && from <= to && to <= high
    }

    /// The same load with its places shifted and its sizes multiplied.
    pub(crate) fn moved(&self, shift: f64, factor: f64) -> Self {
        match *self {
            Self::Point { x, force } => Self::Point {
                x: x + shift,
                force: factor * force,
            },
            Self::Ramp {
                from,
                to,
                start,
                end,
            } => Self::Ramp {
                from: from + shift,
                to: to + shift,
                start: factor * start,
                end: factor * end,
            },
        }
    }

    /// The part between two places, if any. A point load on the seam belongs to the part that it begins.
    pub(crate) fn between(&self, low: f64, high: f64) -> Option<Self> {
        match *self {
            Self::Point { x, .. } => (low <= x && x < high).then_some(*self),
            Self::Ramp {
                from,
                to,
                start,
                end,
            } => {
                let (a, b) = (from.max(low), to.min(high));
                let at = |x: f64| start + (end - start) * (x - from) / (to - from);
                (a < b).then(|| Self::Ramp {
                    from: a,
                    to: b,
                    start: at(a),
                    end: at(b),
                })
            }
        }
    }

    fn places(&self) -> [f64; 2] {
        match *self {
            Self::Point { x, .. } => [x, x],
            Self::Ramp { from, to, .. } => [from, to],
        }
    }
}

/// What point forces do to a span with both ends simply held.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct SimplyHeld {
    /// Upward forces of the ends on the span.
    pub(crate) reactions: [f64; 2],
    /// EI × slope at both ends; shear flexibility does not change it.
    pub(crate) rotations: [f64; 2],
}

impl SimplyHeld {
    /// Adds one load: a force P at a from the start and b from the end gives the slopes P·a·b(L + b)/6L and
    /// −P·a·b(L + a)/6L.
    pub(crate) fn add(&mut self, length: f64, load: &SpanLoad) {
        let per_length = length.recip();
        for (a, force) in load.points() {
            let b = length - a;
            let (near, far) = (force * b * per_length, force * a * per_length);
            self.reactions[0] -= near;
            self.reactions[1] -= far;
            let product = near * a / 6.0;
            self.rotations[0] += product * (length + b);
            self.rotations[1] -= product * (length + a);
        }
    }
}

/// What a beam bends and shears by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Flexural {
    pub(crate) ei: f64,
    /// 1/(κGA), zero without shear flexibility.
    pub(crate) shear: f64,
}

/// The bending of a span in one plane, exactly for loads that are linear by pieces.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bending {
    /// S = M′: the sum of the upward forces before x.
    pub shear: Curve,
    /// M, sagging positive.
    pub moment: Curve,
    /// v, upwards positive.
    pub deflection: Curve,
}

impl Bending {
    /// From the moment and the upward force at the start, and the deflections of two places.
    pub(crate) fn new(
        flexural: Flexural,
        length: f64,
        start: [f64; 2],
        held: [(f64, f64); 2],
        loads: &[SpanLoad],
    ) -> Self {
        let moment = moments(length, start, loads);
        let deflection = deflections(flexural, &moment, held);
        Self {
            shear: moment.slope(),
            moment,
            deflection,
        }
    }
}

/// A place and a value.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Extreme {
    /// The value.
    pub value: f64,
    /// Where it is.
    pub x: f64,
}

impl Extreme {
    /// The greater of two, the earlier of equals.
    pub(crate) fn max(self, other: Self) -> Self {
        if other.value > self.value {
            other
        } else {
            self
        }
    }

    /// The lesser of two, the earlier of equals.
    pub(crate) fn min(self, other: Self) -> Self {
        if other.value < self.value {
            other
        } else {
            self
        }
    }
}

/// Halvings that exhaust the 53 bits of a place, should Newton's steps never serve.
const STEPS: usize = 60;

/// A function along a span: a polynomial on each piece.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Curve {
    pieces: Vec<Piece>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    x: f64,
    length: f64,
    polynomial: Polynomial,
}

/// Coefficients of 1, s, s², … s⁵.
type Polynomial = [f64; 6];

impl Curve {
    fn piece(&self, x: f64) -> Option<&Piece> {
        let after = self.pieces.partition_point(|piece| piece.x <= x);
        self.pieces.get(after.saturating_sub(1))
    }

    /// The value at x; where it jumps, the value just after. A place outside the span counts as its nearer end, what is
    /// no number as its start.
    pub fn at(&self, x: f64) -> f64 {
        let Some(piece) = self.piece(x) else {
            return 0.0;
        };
        let s = x - piece.x;
        value(
            &piece.polynomial,
            if s > 0.0 { s.min(piece.length) } else { 0.0 },
        )
    }

    /// The derivative, piece by piece.
    fn slope(&self) -> Self {
        let pieces = self.pieces.iter().map(|p| Piece {
            polynomial: derivative(&p.polynomial),
            ..*p
        });
        Self {
            pieces: pieces.collect(),
        }
    }

    /// The least and the greatest value, exactly; where they stand first.
    pub fn extremes(&self) -> (Extreme, Extreme) {
        let first = Extreme {
            value: self.at(0.0),
            x: 0.0,
        };
        let (mut low, mut high) = (first, first);
        for piece in &self.pieces {
            let inside = roots(&derivative(&piece.polynomial), 4, piece.length);
            for s in [0.0].into_iter().chain(inside).chain([piece.length]) {
                let here = Extreme {
                    value: value(&piece.polynomial, s),
                    x: piece.x + s,
                };
                low = low.min(here);
                high = high.max(here);
            }
        }
        (low, high)
    }
}

/// A stretch of span without a jump in its load.
struct Stretch {
    x: f64,
    length: f64,
    /// Load at its start and its slope.
    load: [f64; 2],
    /// Point force at its start.
    force: f64,
}

fn stretches(length: f64, loads: &[SpanLoad]) -> Vec<Stretch> {
    let mut places: Vec<f64> = loads
        .iter()
        .flat_map(SpanLoad::places)
        .chain([0.0, length])
        .collect();
    places.sort_by(f64::total_cmp);
    places.dedup();
    let mut all = Vec::with_capacity(places.len());
    for pair in places.windows(2) {
        let (x, length) = (pair[0], pair[1] - pair[0]);
        let mut stretch = Stretch {
            x,
            length,
            load: [0.0; 2],
            force: 0.0,
        };
        for load in loads {
            match *load {
                SpanLoad::Point { x: place, force } if x <= place && place < pair[1] => {
                    stretch.force += force;
                }
                SpanLoad::Ramp {
                    from,
                    to,
                    start,
                    end,
                } if from <= x && x < to => {
                    let slope = (end - start) / (to - from);
                    stretch.load[0] += start + slope * (x - from);
                    stretch.load[1] += slope;
                }
                _ => {}
            }
        }
        all.push(stretch);
    }
    all
}

fn moments(length: f64, [mut moment, mut shear]: [f64; 2], loads: &[SpanLoad]) -> Curve {
    let mut pieces = Vec::new();
    for Stretch {
        x,
        length: s,
        load: [q, dq],
        force,
    } in stretches(length, loads)
    {
        shear += force;
        let polynomial = [moment, shear, q / 2.0, dq / 6.0, 0.0, 0.0];
        moment = value(&polynomial, s);
        shear += s * (q + s * dq / 2.0);
        pieces.push(Piece {
            x,
            length: s,
            polynomial,
        });
    }
    Curve { pieces }
}

fn deflections(
    flexural: Flexural,
    moments: &Curve,
    [(x0, v0), (x1, v1)]: [(f64, f64); 2],
) -> Curve {
    let (mut bend, mut slope) = (0.0, 0.0);
    let mut curve = moments.clone();
    for piece in &mut curve.pieces {
        let m = piece.polynomial;
        let bending = [
            bend,
            slope,
            m[0] / 2.0,
            m[1] / 6.0,
            m[2] / 12.0,
            m[3] / 20.0,
        ];
        (bend, slope) = (
            value(&bending, piece.length),
            value(&derivative(&bending), piece.length),
        );
        piece.polynomial =
            std::array::from_fn(|k| bending[k] / flexural.ei - flexural.shear * m[k]);
    }
    let offset = v0 - curve.at(x0);
    let tilt = (v1 - curve.at(x1) - offset) / (x1 - x0);
    for piece in &mut curve.pieces {
        piece.polynomial[0] += offset + tilt * (piece.x - x0);
        piece.polynomial[1] += tilt;
    }
    curve
}

/// Force along the axis (tension positive) and axial movement, from the tension at the start and the start's movement.
pub(crate) fn axial(
    length: f64,
    ea: f64,
    mut tension: f64,
    mut movement: f64,
    loads: &[SpanLoad],
) -> (Curve, Curve) {
    let (mut forces, mut movements) = (Vec::new(), Vec::new());
    for Stretch {
        x,
        length: s,
        load: [q, dq],
        force,
    } in stretches(length, loads)
    {
        tension -= force;
        let polynomial = [tension, -q, -dq / 2.0, 0.0, 0.0, 0.0];
        let stretch = [
            0.0,
            tension / ea,
            -q / (2.0 * ea),
            -dq / (6.0 * ea),
            0.0,
            0.0,
        ];
        let moved: Polynomial = std::array::from_fn(|k| if k == 0 { movement } else { stretch[k] });
        tension = value(&polynomial, s);
        movement = value(&moved, s);
        forces.push(Piece {
            x,
            length: s,
            polynomial,
        });
        movements.push(Piece {
            x,
            length: s,
            polynomial: moved,
        });
    }
    (Curve { pieces: forces }, Curve { pieces: movements })
}

fn value(polynomial: &Polynomial, s: f64) -> f64 {
    polynomial.iter().rev().fold(0.0, |sum, c| sum * s + c)
}

fn derivative(polynomial: &Polynomial) -> Polynomial {
    std::array::from_fn(|k| polynomial.get(k + 1).map_or(0.0, |c| c * (k + 1) as f64))
}

/// Places inside (0, length) where a polynomial changes sign: between the turning points it has at most one each.
fn roots(polynomial: &Polynomial, degree: usize, length: f64) -> Vec<f64> {
    if degree == 0 || polynomial[1..].iter().all(|c| *c == 0.0) {
        return Vec::new();
    }
    let mut turns = roots(&derivative(polynomial), degree - 1, length);
    turns.insert(0, 0.0);
    turns.push(length);
    turns
        .windows(2)
        .filter_map(|pair| bracketed(polynomial, pair[0], pair[1]))
        .collect()
}

/// The sign change between two places, by Newton's steps kept inside the bracket.
fn bracketed(polynomial: &Polynomial, mut low: f64, mut high: f64) -> Option<f64> {
    let rising = value(polynomial, high) > 0.0;
    if rising == (value(polynomial, low) > 0.0) {
        return None;
    }
    let slope = derivative(polynomial);
    let mut x = f64::midpoint(low, high);
    for _ in 0..STEPS {
        let y = value(polynomial, x);
        if (y > 0.0) == rising {
            high = x;
        } else {
            low = x;
        }
        let newton = x - y / value(&slope, x);
        let next = if low < newton && newton < high {
            newton
        } else {
            f64::midpoint(low, high)
        };
        if (next - x).abs() <= f64::EPSILON * high {
            return Some(next);
        }
        x = next;
    }
    Some(x)
}
