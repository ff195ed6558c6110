//! Placing words where they cover little: each in turn takes the best of a few places.

use super::pen::{self, Pen, Stand};
use crate::report::markup::Element;

/// Directions that are tried round a point.
const DIRECTIONS: u32 = 16;
/// Distances that are tried (mm).
const DISTANCES: [f64; 5] = [2.6, 5.0, 8.0, 12.0, 17.0];
/// What a millimetre of distance costs, beside a square millimetre of overlap (1).
const FAR: f64 = 0.1;
/// What a direction straight against the wanted one costs, beside a square millimetre of overlap (1).
const TURNED: f64 = 1.0;
/// What a square millimetre beyond the paper costs, beside one of overlap (1).
const OFF: f64 = 50.0;
/// The widest words (mm).
const WIDEST: f64 = 30.0;
/// Height of a line of words over the height of the letters (1).
const LINE: f64 = 1.25;

/// Strips in which a disc is kept clear.
const SLICES: u32 = 12;

/// A box on the paper: least and greatest corner (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area(pub(super) [f64; 2], pub(super) [f64; 2]);

impl Area {
    /// A box round a point.
    pub(super) fn round([x, y]: [f64; 2], half: f64) -> Self {
        Self([x - half, y - half], [x + half, y + half])
    }

    fn overlap(&self, other: &Self) -> f64 {
        let side = |k: usize| (self.1[k].min(other.1[k]) - self.0[k].max(other.0[k])).max(0.0);
        side(0) * side(1)
    }

    fn size(&self) -> f64 {
        (self.1[0] - self.0[0]) * (self.1[1] - self.0[1])
    }
}

/// The words placed so far, and what they must not cover.
#[derive(Debug)]
pub(super) struct Labels {
    paper: Area,
    taken: Vec<Area>,
}

impl Labels {
    /// No words yet, on a piece of paper.
    pub(super) const fn new(paper: Area) -> Self {
        Self {
            paper,
            taken: Vec::new(),
        }
    }

    /// Something that words should not cover.
    pub(super) fn keep_clear(&mut self, area: Area) {
        self.taken.push(area);
    }

    /// A strip that words should not cover: half as wide as `half` says, on both sides of a line.
    pub(super) fn keep_line_clear(&mut self, a: [f64; 2], b: [f64; 2], half: f64) {
        let half = half.max(0.5);
        let length = (b[0] - a[0]).hypot(b[1] - a[1]);
        let mut along = 0.0;
        while along < length {
            let share = (along + half).min(length) / length;
            let at = [0, 1].map(|k| a[k] + (b[k] - a[k]) * share);
            self.keep_clear(Area::round(at, half));
            along += 2.0 * half;
        }
    }

    /// A disc that words should not cover.
    pub(super) fn keep_round_clear(&mut self, [x, y]: [f64; 2], radius: f64) {
        let slice = 2.0 * radius / f64::from(SLICES);
        for k in 0..SLICES {
            let top = -radius + slice * f64::from(k);
            let middle = top + slice / 2.0;
            let half = (radius * radius - middle * middle).max(0.0).sqrt();
            self.keep_clear(Area([x - half, y + top], [x + half, y + top + slice]));
        }
    }

    /// Lines of words near a point, in a wanted direction (on paper, x right, y down) if it is free.
    pub(super) fn place(
        &mut self,
        lines: &[&str],
        height: f64,
        point: [f64; 2],
        wanted: [f64; 2],
    ) -> Element {
        let lines: Vec<String> = lines
            .iter()
            .map(|line| pen::fitted(line, height, WIDEST))
            .collect();
        let size = [
            lines
                .iter()
                .map(|line| pen::width(line, height))
                .fold(0.0, f64::max),
            height * LINE * lines.len() as f64,
        ];
        let mut best: Option<(f64, [f64; 2], f64, Area)> = None;
        for distance in DISTANCES {
            for k in 0..DIRECTIONS {
                let angle = std::f64::consts::TAU * f64::from(k) / f64::from(DIRECTIONS);
                let toward = [angle.cos(), angle.sin()];
                let area = beside(point, toward, distance, size);
                let cost = self.cost(&area)
                    + FAR * distance
                    + TURNED * (1.0 - toward[0] * wanted[0] - toward[1] * wanted[1]) / 2.0;
                if best.as_ref().is_none_or(|best| cost < best.0) {
                    best = Some((cost, toward, distance, area));
                }
            }
        }
        let mut group = Element::new("g");
        if let Some((_, toward, distance, area)) = best {
            if distance > DISTANCES[1] {
                let end = [
                    point[0] + toward[0] * (distance - 0.6),
                    point[1] + toward[1] * (distance - 0.6),
                ];
                group = group.holding(pen::line(point, end, Pen::FAINT));
            }
            group = group
                .holding(pen::ground(area.0, area.1))
                .holding_all(written(&lines, height, &area));
            self.taken.push(area);
        }
        group
    }

    fn cost(&self, area: &Area) -> f64 {
        let covered: f64 = self.taken.iter().map(|other| area.overlap(other)).sum();
        covered + OFF * (area.size() - area.overlap(&self.paper))
    }
}

/// A box of a size whose near side is at a distance from a point in a direction.
fn beside(point: [f64; 2], toward: [f64; 2], distance: f64, size: [f64; 2]) -> Area {
    let centre = [0, 1].map(|k| point[k] + toward[k] * (distance + size[k] / 2.0));
    Area(
        [centre[0] - size[0] / 2.0, centre[1] - size[1] / 2.0],
        [centre[0] + size[0] / 2.0, centre[1] + size[1] / 2.0],
    )
}

fn written(lines: &[String], height: f64, area: &Area) -> Vec<Element> {
    let middle = f64::midpoint(area.0[0], area.1[0]);
    lines
        .iter()
        .enumerate()
        .map(|(k, line)| {
            let y = area.0[1] + height * (LINE * k as f64 + 0.95);
            let at = [middle, y];
            if k == 0 {
                pen::bold(line, at, height, Stand::Middle)
            } else {
                pen::words(line, at, height, Stand::Middle)
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paper() -> Area {
        Area([0.0, 0.0], [100.0, 100.0])
    }

    #[test]
    fn words_stand_where_they_are_wanted_when_it_is_free() {
        let mut labels = Labels::new(paper());
        let _ = labels.place(&["N1"], 3.0, [50.0, 50.0], [-1.0, 0.0]);
        let area = labels.taken[0];
        assert!(
            area.1[0] < 50.0 && area.0[1] < 50.0 && area.1[1] > 50.0,
            "{area:?}"
        );
    }

    #[test]
    fn words_do_not_cover_each_other_while_there_is_room() {
        let mut labels = Labels::new(paper());
        for _ in 0..6 {
            let _ = labels.place(&["anchor", "0.71"], 3.0, [50.0, 50.0], [1.0, 0.0]);
        }
        for (k, area) in labels.taken.iter().enumerate() {
            for other in &labels.taken[k + 1..] {
                assert!(area.overlap(other) < 1e-9, "{area:?} {other:?}");
            }
        }
    }

    #[test]
    fn words_in_a_corner_stay_on_the_paper() {
        let mut labels = Labels::new(paper());
        for _ in 0..6 {
            let _ = labels.place(&["anchor", "0.71"], 3.0, [98.0, 2.0], [1.0, 0.0]);
        }
        for area in &labels.taken {
            let on_paper = area.overlap(&paper());
            assert!((on_paper - area.size()).abs() < 1e-9, "{area:?}");
        }
    }
}
