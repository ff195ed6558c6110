//! One joist on its beams, by elements: what bears on each beam while beams stay where they are, and how it resists
//! their movement.

use super::OpinionError;
use crate::analysis::platform::Stick;
use crate::analysis::span::SpanLoad;
use crate::model::{Case, Magnitudes};
use nalgebra::{DMatrix, DVector};

/// Places of a joist closer than this are one (m).
const SAME_PLACE: f64 = 1e-9;
/// Places and weights of Gauss on (0, 1), three points: exact to degree 5, and a cubic times a ramp has four.
const GAUSS: [[f64; 2]; 3] = [
    [0.112_701_665_379_258_31, 5.0 / 18.0],
    [0.5, 4.0 / 9.0],
    [0.887_298_334_620_741_7, 5.0 / 18.0],
];

/// A joist as its beams see it.
#[derive(Debug, Clone)]
pub(super) struct Joist {
    /// Its deck.
    pub(super) deck: usize,
    /// Beam and station of each seat.
    pub(super) seats: Vec<(usize, f64)>,
    /// What bears down on each seat by case (N).
    pub(super) bears: Vec<Magnitudes>,
    /// Its stiffness on the upward movement of its seats; none where statics alone decides.
    pub(super) stiffness: Option<DMatrix<f64>>,
}

impl Joist {
    /// Solves a stick of bending stiffness E I (N·m²).
    pub(super) fn new(stick: &Stick, rigidity: f64) -> Result<Self, OpinionError> {
        let failed = OpinionError::NoAnswer {
            what: "a joist by elements",
        };
        let mut places = vec![stick.ends[0], stick.ends[1]];
        places.extend(stick.supports.iter().map(|(x, _)| *x));
        places.sort_by(f64::total_cmp);
        places.dedup_by(|a, b| (*a - *b).abs() < SAME_PLACE);
        let size = 2 * places.len();
        let mut matrix = DMatrix::zeros(size, size);
        let mut loads = DMatrix::zeros(size, Case::ALL.len());
        for (k, pair) in places.windows(2).enumerate() {
            let own = bending(rigidity, pair[1] - pair[0]);
            for (row, entries) in own.iter().enumerate() {
                for (column, entry) in entries.iter().enumerate() {
                    matrix[(2 * k + row, 2 * k + column)] += entry;
                }
            }
        }
        for (case, load) in &stick.loads {
            spread(load, &places, &mut loads, *case as usize);
        }
        let held: Vec<usize> = stick
            .supports
            .iter()
            .filter_map(|(x, _)| {
                let mut own = places.iter();
                own.position(|place| (place - x).abs() < 2.0 * SAME_PLACE)
            })
            .map(|k| 2 * k)
            .collect();
        let free: Vec<usize> = (0..size).filter(|k| !held.contains(k)).collect();
        let part = |rows: &[usize], columns: &[usize]| {
            DMatrix::from_fn(rows.len(), columns.len(), |r, c| {
                matrix[(rows[r], columns[c])]
            })
        };
        let inner = part(&free, &free).cholesky().ok_or(failed)?;
        let across = part(&held, &free);
        let on_free = DMatrix::from_fn(free.len(), Case::ALL.len(), |r, c| loads[(free[r], c)]);
        let on_held = DMatrix::from_fn(held.len(), Case::ALL.len(), |r, c| loads[(held[r], c)]);
        let upward = &across * inner.solve(&on_free) - on_held;
        let resists = part(&held, &held) - &across * inner.solve(&across.transpose());
        let on_beams: Vec<(usize, (usize, f64))> = stick
            .supports
            .iter()
            .enumerate()
            .filter_map(|(k, (_, seat))| Some((k, (*seat)?)))
            .collect();
        let bears = |k: usize| -> DVector<f64> { upward.row(k).transpose() };
        Ok(Self {
            deck: stick.deck,
            bears: on_beams
                .iter()
                .map(|(k, _)| std::array::from_fn(|case| bears(*k)[case]))
                .collect(),
            stiffness: (on_beams.len() > 2).then_some(resists),
            seats: on_beams.into_iter().map(|(_, seat)| seat).collect(),
        })
    }
}

fn bending(rigidity: f64, l: f64) -> [[f64; 4]; 4] {
    let c = rigidity / l.powi(3);
    [
        [12.0 * c, 6.0 * c * l, -12.0 * c, 6.0 * c * l],
        [6.0 * c * l, 4.0 * c * l * l, -6.0 * c * l, 2.0 * c * l * l],
        [-12.0 * c, -6.0 * c * l, 12.0 * c, -6.0 * c * l],
        [6.0 * c * l, 2.0 * c * l * l, -6.0 * c * l, 4.0 * c * l * l],
    ]
}

/// Brings a load to the nodes by the work that it does.
fn spread(load: &SpanLoad, places: &[f64], loads: &mut DMatrix<f64>, case: usize) {
    let mut point = |x: f64, force: f64, k: usize| {
        let l = places[k + 1] - places[k];
        let s = (x - places[k]) / l;
        let (s2, s3) = (s * s, s * s * s);
        let shapes = [
            1.0 - 3.0 * s2 + 2.0 * s3,
            l * (s - 2.0 * s2 + s3),
            3.0 * s2 - 2.0 * s3,
            l * (s3 - s2),
        ];
        for (row, shape) in shapes.into_iter().enumerate() {
            loads[(2 * k + row, case)] += force * shape;
        }
    };
    match *load {
        SpanLoad::Point { x, force } => {
            let k = places[1..places.len() - 1].partition_point(|place| *place <= x);
            point(x, force, k);
        }
        SpanLoad::Ramp {
            from,
            to,
            start,
            end,
        } => {
            for (k, pair) in places.windows(2).enumerate() {
                let (low, high) = (from.max(pair[0]), to.min(pair[1]));
                if high <= low {
                    continue;
                }
                for [s, weight] in GAUSS {
                    let x = low + s * (high - low);
                    let size = start + (end - start) * (x - from) / (to - from);
                    point(x, size * weight * (high - low), k);
                }
            }
        }
    }
}
