//! Geometry in plan: east (x) and north (y), angles as a compass reads them.

use crate::units::{Angle, Length, si};

/// A point in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// East.
    pub east: Length,
    /// North.
    pub north: Length,
}

impl Point {
    /// A point from its two coordinates.
    pub const fn new(east: Length, north: Length) -> Self {
        Self { east, north }
    }

    /// The point at `distance` in the direction of a compass `bearing`.
    #[must_use]
    pub fn toward(self, bearing: Angle, distance: Length) -> Self {
        let [east, north] = unit(bearing);
        Self {
            east: self.east + distance * east,
            north: self.north + distance * north,
        }
    }

    /// The straight distance to another point.
    pub fn distance(self, other: Self) -> Length {
        (other.east - self.east).hypot(other.north - self.north)
    }

    /// The compass bearing of another point, clockwise from north.
    pub fn bearing(self, other: Self) -> Angle {
        si::radians(
            (other.east - self.east)
                .value
                .atan2((other.north - self.north).value),
        )
    }

    /// The point a given share of the way to another.
    #[must_use]
    pub fn between(self, other: Self, share: f64) -> Self {
        Self {
            east: self.east + (other.east - self.east) * share,
            north: self.north + (other.north - self.north) * share,
        }
    }

    /// Plain coordinates in metres.
    pub fn metres(self) -> [f64; 2] {
        [self.east.value, self.north.value]
    }

    /// The distance from the start of the line `from` → `to` along it, and the offset to its right.
    pub fn along(self, from: Self, to: Self) -> (Length, Length) {
        let [dx, dy] = unit(from.bearing(to));
        let (x, y) = (self.east - from.east, self.north - from.north);
        (x * dx + y * dy, x * dy - y * dx)
    }
}

/// The edges of an outline, the last corner joined to the first (m).
pub fn edges(outline: &[Point]) -> impl Iterator<Item = ([f64; 2], [f64; 2])> + '_ {
    let next = outline.iter().cycle().skip(1);
    outline
        .iter()
        .zip(next)
        .map(|(a, b)| (a.metres(), b.metres()))
}

/// The area within an outline that does not cross itself (m²).
pub fn area(outline: &[Point]) -> f64 {
    let Some(first) = outline.first().map(|corner| corner.metres()) else {
        return 0.0;
    };
    // From the first corner: far from the zero of the plan the products would swallow the area.
    let from_first = |p: [f64; 2]| [p[0] - first[0], p[1] - first[1]];
    let twice = edges(outline).map(|(a, b)| {
        let (a, b) = (from_first(a), from_first(b));
        a[0] * b[1] - a[1] * b[0]
    });
    (twice.sum::<f64>() / 2.0).abs()
}

/// Whether two edges of an outline cross each other; edges that only touch do not.
pub fn crosses_itself(outline: &[Point]) -> bool {
    let edges: Vec<_> = edges(outline).collect();
    let after = |i: usize| edges.iter().enumerate().skip(i + 2);
    let neighbours = |i: usize, j: usize| i == 0 && j + 1 == edges.len();
    edges
        .iter()
        .enumerate()
        .any(|(i, one)| after(i).any(|(j, other)| !neighbours(i, j) && cross(*one, *other)))
}

fn cross((a, b): ([f64; 2], [f64; 2]), (c, d): ([f64; 2], [f64; 2])) -> bool {
    let side = |p: [f64; 2], q: [f64; 2], r: [f64; 2]| {
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Whether a point lies inside an outline, by the even–odd rule.
pub fn inside(outline: &[Point], point: Point) -> bool {
    let [x, y] = point.metres();
    let east_of = |(a, b): &([f64; 2], [f64; 2])| {
        ((a[1] <= y) != (b[1] <= y)) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    };
    edges(outline).filter(east_of).count() % 2 == 1
}

/// The unit vector (east, north) of a compass bearing.
pub fn unit(bearing: Angle) -> [f64; 2] {
    let (sin, cos) = bearing.value.sin_cos();
    // A quarter turn has no exact sine in floating point: what is nothing in building terms is nothing here.
    [sin, cos].map(|part| if part.abs() < 1e-15 { 0.0 } else { part })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::metres;

    #[test]
    fn a_bow_tie_crosses_itself_and_a_line_has_no_area() {
        let outline = |corners: &[(f64, f64)]| {
            let corners = corners.iter();
            corners
                .map(|&(east, north)| Point::new(metres(east), metres(north)))
                .collect::<Vec<_>>()
        };
        let bow_tie = outline(&[(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)]);
        let l = outline(&[
            (0.0, 0.0),
            (4.0, 0.0),
            (4.0, 1.0),
            (2.0, 1.0),
            (2.0, 3.0),
            (0.0, 3.0),
        ]);
        let line = outline(&[(0.0, 0.0), (2.0, 2.0), (1.0, 1.0)]);
        assert!(crosses_itself(&bow_tie) && !crosses_itself(&l) && !crosses_itself(&line));
        assert!((area(&l) - 8.0).abs() < 1e-12 && area(&line).abs() < 1e-12);
        let away: Vec<Point> = l
            .iter()
            .map(|p| Point::new(p.east + metres(900.0), p.north))
            .collect();
        assert!((area(&away) - 8.0).abs() < 1e-9);
        assert!(area(&[]).abs() < 1e-12);
    }

    #[test]
    fn inside_is_where_the_outline_goes_round() {
        let corner = |east, north| Point::new(metres(east), metres(north));
        let l = [
            (0.0, 0.0),
            (4.0, 0.0),
            (4.0, 1.0),
            (2.0, 1.0),
            (2.0, 3.0),
            (0.0, 3.0),
        ];
        let l = l.map(|(east, north)| corner(east, north));
        for (east, north, expected) in [
            (1.0, 2.0, true),
            (3.0, 0.5, true),
            (3.0, 2.0, false),
            (-1.0, 0.5, false),
        ] {
            assert_eq!(inside(&l, corner(east, north)), expected, "{east}, {north}");
        }
    }
}
