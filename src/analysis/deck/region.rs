//! Areas in a deck's own axes: x along the joists, y across them.

/// Areas that differ by less than this share are the same (1): rounding.
const SAME_AREA: f64 = 1e-9;

/// A closed outline; the last corner joins the first.
pub(super) type Ring = Vec<[f64; 2]>;

/// An outline with openings in it, by the even–odd rule.
#[derive(Debug, Clone, Default)]
pub(super) struct Region(pub(super) Vec<Ring>);

/// A load per length that runs linearly from `start` at `from` to `end` at `to`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ramp {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) start: f64,
    pub(super) end: f64,
}

impl Ramp {
    /// Its value at a place inside it.
    fn at(&self, x: f64) -> f64 {
        self.start + (self.end - self.start) * (x - self.from) / (self.to - self.from)
    }

    /// The part of it between two places; none if nothing is left.
    pub(super) fn clip(&self, low: f64, high: f64) -> Option<Self> {
        let (from, to) = (self.from.max(low), self.to.min(high));
        (to > from).then(|| Self {
            from,
            to,
            start: self.at(from),
            end: self.at(to),
        })
    }

    /// Its total and the place of its resultant.
    pub(super) fn resultant(&self) -> (f64, f64) {
        let length = self.to - self.from;
        let total = length * (self.start + self.end) / 2.0;
        let share = if total == 0.0 {
            0.5
        } else {
            (self.start + 2.0 * self.end) / (3.0 * (self.start + self.end))
        };
        (total, self.from + share * length)
    }
}

impl Region {
    fn edges(&self) -> impl Iterator<Item = ([f64; 2], [f64; 2])> + '_ {
        self.0.iter().flat_map(|ring| {
            ring.iter()
                .enumerate()
                .map(move |(k, corner)| (*corner, ring[(k + 1) % ring.len()]))
        })
    }

    /// Places along x where a line y = const goes in and out of the region.
    pub(super) fn along(&self, y: f64) -> Vec<[f64; 2]> {
        let crossing = |a: [f64; 2], b: [f64; 2]| {
            ((a[1] <= y) != (b[1] <= y)).then(|| a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
        };
        pairs(self.edges().filter_map(|(a, b)| crossing(a, b)).collect())
    }

    /// How much of the line x = const between two y lies inside.
    fn width(&self, x: f64, band: [f64; 2]) -> f64 {
        let crossing = |a: [f64; 2], b: [f64; 2]| {
            ((a[0] <= x) != (b[0] <= x)).then(|| a[1] + (x - a[0]) / (b[0] - a[0]) * (b[1] - a[1]))
        };
        let inside = pairs(self.edges().filter_map(|(a, b)| crossing(a, b)).collect());
        inside
            .iter()
            .map(|[low, high]| (high.min(band[1]) - low.max(band[0])).max(0.0))
            .sum()
    }

    /// The width of the region inside a band of y, along x: linear between the places where an edge begins, ends or
    /// leaves the band, so that the ramps are exact.
    pub(super) fn widths(&self, band: [f64; 2]) -> Vec<Ramp> {
        let mut places: Vec<f64> = self.0.iter().flatten().map(|corner| corner[0]).collect();
        for (a, b) in self.edges() {
            places.extend(
                band.iter()
                    .filter(|y| (a[1] <= **y) != (b[1] <= **y))
                    .map(|y| a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])),
            );
        }
        // Two edges that cross inside the band would bend the width too: outlines that cross themselves are refused.
        places.sort_by(f64::total_cmp);
        places.dedup_by(|a, b| (*a - *b).abs() < 1e-12);
        places
            .windows(2)
            .filter_map(|pair| {
                let (from, to) = (pair[0], pair[1]);
                let third = (to - from) / 3.0;
                let (one, two) = (self.width(from + third, band), self.width(to - third, band));
                let ramp = Ramp {
                    from,
                    to,
                    start: (2.0 * one - two).max(0.0),
                    end: (2.0 * two - one).max(0.0),
                };
                (one + two > 0.0).then_some(ramp)
            })
            .collect()
    }

    /// Smallest and largest x and y.
    pub(super) fn bounds(&self) -> ([f64; 2], [f64; 2]) {
        let corners = || self.0.iter().flatten();
        let span = |k: usize| {
            corners().fold([f64::INFINITY, f64::NEG_INFINITY], |s, c| {
                [s[0].min(c[k]), s[1].max(c[k])]
            })
        };
        (span(0), span(1))
    }

    /// Area inside (each ring counted once, openings taken off by their order).
    pub(super) fn area(&self) -> f64 {
        let (_, y) = self.bounds();
        self.widths(y).iter().map(|ramp| ramp.resultant().0).sum()
    }

    /// Centre of the area inside, openings taken off.
    pub(super) fn centroid(&self) -> [f64; 2] {
        let mut sums = [0.0; 3];
        for (k, ring) in self.0.iter().enumerate() {
            let [mut area, mut east, mut north] = [0.0; 3];
            let first = ring.first().copied().unwrap_or_default();
            for (i, a) in ring.iter().enumerate() {
                let b = ring[(i + 1) % ring.len()];
                let [ax, ay, bx, by] = [
                    a[0] - first[0],
                    a[1] - first[1],
                    b[0] - first[0],
                    b[1] - first[1],
                ];
                let twice = ax * by - bx * ay;
                area += twice / 2.0;
                east += (ax + bx) * twice / 6.0;
                north += (ay + by) * twice / 6.0;
            }
            let sign = if (area > 0.0) == (k == 0) { 1.0 } else { -1.0 };
            sums[0] += sign * area;
            sums[1] += sign * (east + first[0] * area);
            sums[2] += sign * (north + first[1] * area);
        }
        [sums[1] / sums[0], sums[2] / sums[0]]
    }

    /// Whether a point lies inside.
    pub(super) fn holds(&self, [x, y]: [f64; 2]) -> bool {
        self.along(y)
            .iter()
            .any(|[low, high]| (*low..=*high).contains(&x))
    }

    /// Whether two edges of a ring cross each other.
    pub(super) fn crosses_itself(&self) -> bool {
        self.0.iter().any(|ring| {
            let edge = |k: usize| (ring[k], ring[(k + 1) % ring.len()]);
            let n = ring.len();
            (0..n).any(|i| (i + 2..n).any(|j| !(i == 0 && j == n - 1) && cross(edge(i), edge(j))))
        })
    }
}

impl Region {
    /// Whether openings (every ring but the first) reach out of the outline or into each other: their areas do not
    /// simply come off it then.
    pub(super) fn openings_stray(&self) -> bool {
        let n = self.0.len();
        let edges = |ring: &Ring| {
            let next = ring.iter().cycle().skip(1);
            ring.iter().copied().zip(next.copied()).collect::<Vec<_>>()
        };
        let meet = |one: &Ring, other: &Ring| {
            let others = edges(other);
            edges(one)
                .into_iter()
                .any(|edge| others.iter().any(|other| cross(edge, *other)))
        };
        let areas = self.0.iter().map(|ring| Self(vec![ring.clone()]).area());
        let left = areas.reduce(|outline, opening| outline - opening);
        (0..n).any(|i| (i + 1..n).any(|j| meet(&self.0[i], &self.0[j])))
            || left.is_some_and(|left| self.area() - left > SAME_AREA * self.area())
    }
}

fn cross((a, b): ([f64; 2], [f64; 2]), (c, d): ([f64; 2], [f64; 2])) -> bool {
    let side = |p: [f64; 2], q: [f64; 2], r: [f64; 2]| {
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

fn pairs(mut places: Vec<f64>) -> Vec<[f64; 2]> {
    places.sort_by(f64::total_cmp);
    places
        .chunks_exact(2)
        .map(|pair| [pair[0], pair[1]])
        .filter(|[low, high]| high > low)
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp)]
    use super::*;

    fn l_shape() -> Region {
        Region(vec![vec![
            [0.0, 0.0],
            [4.0, 0.0],
            [4.0, 1.0],
            [2.0, 1.0],
            [2.0, 3.0],
            [0.0, 3.0],
        ]])
    }

    #[test]
    fn an_l_has_its_area_in_any_bands() {
        let total: f64 = [[0.0, 0.7], [0.7, 1.9], [1.9, 3.0]]
            .iter()
            .flat_map(|band| l_shape().widths(*band))
            .map(|r| r.resultant().0)
            .sum();
        assert!((total - 8.0).abs() < 1e-12 && (l_shape().area() - 8.0).abs() < 1e-12);
    }

    #[test]
    fn a_triangle_has_linear_widths_and_its_centroid() {
        let triangle = Region(vec![vec![[0.0, 0.0], [3.0, 0.0], [3.0, 3.0]]]);
        let ramps = triangle.widths([0.0, 3.0]);
        let (total, moment) = ramps
            .iter()
            .map(Ramp::resultant)
            .fold((0.0, 0.0), |s, (t, x)| (s.0 + t, s.1 + t * x));
        assert!((total - 4.5).abs() < 1e-12 && (moment / total - 2.0).abs() < 1e-12);
    }

    #[test]
    fn the_centroid_is_that_of_the_strips() {
        let mut region = Region(vec![l_shape().0[0].clone()]);
        region
            .0
            .push(vec![[0.5, 0.25], [0.5, 0.75], [1.0, 0.75], [1.0, 0.25]]);
        let strips = region.widths(region.bounds().1);
        let (area, moment) = strips
            .iter()
            .map(Ramp::resultant)
            .fold((0.0, 0.0), |(a, m), (area, x)| (a + area, m + area * x));
        assert!((region.centroid()[0] - moment / area).abs() < 1e-12);
        let turned = Region(
            region
                .0
                .iter()
                .map(|ring| ring.iter().map(|[x, y]| [*y, *x]).collect())
                .collect(),
        );
        assert!((turned.centroid()[0] - region.centroid()[1]).abs() < 1e-12);
    }

    #[test]
    fn openings_are_taken_off_and_cut_lines() {
        let mut region = l_shape();
        region
            .0
            .push(vec![[0.5, 0.25], [1.0, 0.25], [1.0, 0.75], [0.5, 0.75]]);
        assert!((region.area() - 7.75).abs() < 1e-12);
        assert_eq!(region.along(0.5), vec![[0.0, 0.5], [1.0, 4.0]]);
        assert!(!region.holds([0.75, 0.5]) && region.holds([1.5, 0.5]));
    }

    #[test]
    fn openings_stay_inside_and_apart() {
        let square = |x: f64, y: f64| vec![[x, y], [x + 1.0, y], [x + 1.0, y + 1.0], [x, y + 1.0]];
        let with = |openings: &[Ring]| {
            let outline = vec![[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]];
            Region(
                std::iter::once(outline)
                    .chain(openings.iter().cloned())
                    .collect(),
            )
        };
        assert!(!with(&[]).openings_stray());
        // Beside each other, and at the edge.
        assert!(!with(&[square(1.0, 1.0), square(2.0, 1.0), square(0.0, 3.0)]).openings_stray());
        assert!(with(&[square(3.5, 1.0)]).openings_stray());
        assert!(with(&[square(5.0, 1.0)]).openings_stray());
        assert!(with(&[square(1.0, 1.0), square(1.5, 1.5)]).openings_stray());
        assert!(with(&[square(1.0, 1.0), square(1.0, 1.0)]).openings_stray());
        // Over the whole of an edge, and beyond it.
        assert!(with(&[vec![[3.0, 0.0], [5.0, 0.0], [5.0, 4.0], [3.0, 4.0]]]).openings_stray());
    }

    #[test]
    fn a_bow_tie_crosses_itself() {
        assert!(
            Region(vec![vec![[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]]]).crosses_itself()
        );
        assert!(!l_shape().crosses_itself());
    }
}
