//! One attachment taken away: the forces on the others, from the factorization of the whole.
//!
//! With F the flexibility between the grips of all anchors and k their stiffness, the loss of anchor j turns stretches s
//! into s + F_·j (1/k_j − F_jj)⁻¹ s_j.

use super::AnalysisError;
use super::build::Base;
use super::solved::{Solved, Triple, plus, worth};
use crate::analysis::frame::Sparse;
use crate::analysis::skyline::TOGETHER;
use crate::model::{Case, Presence};
use nalgebra::DMatrix;

/// A stiffness that falls below this share of an anchor's own is none (1): the anchor was the only hold of something.
const NO_HOLD: f64 = 1e-6;

/// What is left when an attachment goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Loss {
    /// The anchor that went.
    pub lost: usize,
    /// By anchor, on soft and on stiff anchors: the dead load and the whole live load (N). None where the platform falls.
    pub forces: Option<[Vec<[Triple; 2]>; 2]>,
}

impl Solved<'_> {
    /// Takes away each attachment in turn.
    ///
    /// # Errors
    /// A frame without an answer.
    pub fn lose_each(&self) -> Result<Vec<Loss>, AnalysisError> {
        let anchors = self.model.grips.len();
        let bases = [Base::Soft, Base::Stiff]
            .into_iter()
            .map(|base| Whole::new(self, base))
            .collect::<Vec<_>>();
        let [Some(soft), Some(stiff)] = bases.as_slice() else {
            return Ok(Vec::new());
        };
        let one = |lost: usize| Loss {
            lost,
            forces: soft
                .without(self, lost)
                .zip(stiff.without(self, lost))
                .map(|(soft, stiff)| [soft, stiff]),
        };
        let carries = (0..anchors).filter(|lost| !self.model.grips[*lost].is_empty());
        Ok(carries.map(one).collect())
    }
}

/// All anchors on one base.
struct Whole {
    base: Base,
    /// First grip of each anchor; one more entry marks the end.
    first: Vec<usize>,
    flexibility: DMatrix<f64>,
    /// Stretches by grip under the dead load and the whole live load.
    stretches: DMatrix<f64>,
    /// By anchor: what comes to it straight under both.
    direct: Vec<[Triple; 2]>,
    /// By grip: force along its anchor's axes per metre of stretch.
    pull: Vec<Triple>,
}

impl Whole {
    fn new(solved: &Solved<'_>, base: Base) -> Option<Self> {
        let factored = solved.factored(base)?;
        let (mut first, mut pull) = (vec![0], Vec::new());
        let mut terms: Vec<&Sparse> = Vec::new();
        for (anchor, grips) in solved.model.grips.iter().enumerate() {
            terms.extend(solved.sources().grips(anchor));
            for grip in grips {
                let unit = grip.axis * grip.stiffness[base as usize];
                pull.push(solved.on_axes(anchor, unit));
            }
            first.push(terms.len());
        }
        let loads = [Case::Dead, Case::Live].map(|case| whole(solved, case));
        let n = terms.len();
        let mut flexibility = DMatrix::zeros(n, n);
        let mut stretches = DMatrix::zeros(n, 2);
        for (block, own) in terms.chunks(TOGETHER).enumerate() {
            let (movements, _) = factored.movements_together(own.iter().copied());
            let rows = block * TOGETHER..block * TOGETHER + own.len();
            for (column, terms) in terms.iter().enumerate() {
                let worth = worth(&movements, terms);
                for (row, worth) in rows.clone().zip(worth) {
                    flexibility[(row, column)] = worth;
                }
            }
            for (k, load) in loads.iter().enumerate() {
                for (row, worth) in rows.clone().zip(worth(&movements, load)) {
                    stretches[(row, k)] = worth;
                }
            }
        }
        let direct = |anchor| [Case::Dead, Case::Live].map(|case| straight(solved, anchor, case));
        Some(Self {
            base,
            direct: (0..first.len() - 1).map(direct).collect(),
            first,
            flexibility,
            stretches,
            pull,
        })
    }

    /// Forces on all anchors without one; none where nothing else holds what it held.
    fn without(&self, solved: &Solved<'_>, lost: usize) -> Option<Vec<[Triple; 2]>> {
        let (from, count) = (self.first[lost], self.first[lost + 1] - self.first[lost]);
        let own = &solved.model.grips[lost];
        let roots: Vec<f64> = own
            .iter()
            .map(|grip| grip.stiffness[self.base as usize].sqrt())
            .collect();
        // What of each unit of the anchor's own stiffness the rest can take over.
        let rest = DMatrix::from_fn(count, count, |row, column| {
            let unit = f64::from(u8::from(row == column));
            unit - roots[row] * self.flexibility[(from + row, from + column)] * roots[column]
        });
        let least = rest.clone().symmetric_eigenvalues().min();
        if least < NO_HOLD {
            return None;
        }
        let inverse = rest.try_inverse()?;
        // What it held lets the others stretch more.
        let held = DMatrix::from_fn(count, 2, |row, k| {
            roots[row] * self.stretches[(from + row, k)]
        });
        let released = inverse * held;
        let released = DMatrix::from_fn(count, 2, |row, k| roots[row] * released[(row, k)]);
        let more = self.flexibility.columns(from, count) * released;
        let on = |anchor: usize| {
            if anchor == lost {
                return [[0.0; 3]; 2];
            }
            std::array::from_fn(|k| {
                let mut force = self.direct[anchor][k];
                for row in self.first[anchor]..self.first[anchor + 1] {
                    let stretch = self.stretches[(row, k)] + more[(row, k)];
                    force = plus(force, self.pull[row].map(|pull| pull * stretch));
                }
                force
            })
        };
        Some((0..self.first.len() - 1).map(on).collect())
    }
}

/// Columns of a case as a whole.
fn columns_of(solved: &Solved<'_>, case: Case) -> impl Iterator<Item = usize> {
    let columns = solved.columns().iter().enumerate();
    columns
        .filter(move |(_, kind)| {
            kind.case == case && matches!(kind.presence, Presence::Always | Presence::OnOff)
        })
        .map(|(column, _)| column)
}

/// A case as a whole, on the unknowns.
fn whole(solved: &Solved<'_>, case: Case) -> Sparse {
    columns_of(solved, case)
        .flat_map(|column| solved.sources().of(column).iter().copied())
        .collect()
}

/// What a case as a whole puts straight on an anchor.
fn straight(solved: &Solved<'_>, anchor: usize, case: Case) -> Triple {
    columns_of(solved, case).fold([0.0; 3], |sum, column| {
        plus(sum, solved.direct(anchor, column))
    })
}
