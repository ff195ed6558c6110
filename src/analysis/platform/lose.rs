//! One attachment taken away: the forces on the others, from the factorization of the whole.
//!
//! With F the flexibility between the grips of all anchors and k their stiffness, the loss of anchor j turns stretches s
//! into s + F_·j (1/k_j − F_jj)⁻¹ s_j.

use super::AnalysisError;
use super::build::Base;
use super::solved::{Solved, Triple, dot, plus};
use crate::analysis::frame::Sparse;
use crate::model::{Case, Presence};
use nalgebra::{DMatrix, DVector};

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
            .collect::<Result<Vec<_>, _>>()?;
        let [Some(soft), Some(stiff)] = [&bases[0], &bases[1]] else {
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
}

impl Whole {
    fn new(solved: &Solved<'_>, base: Base) -> Result<Option<Self>, AnalysisError> {
        let Some(factored) = solved.factored(base) else {
            return Ok(None);
        };
        let mut first = vec![0];
        let mut terms: Vec<Sparse> = Vec::new();
        for grips in &solved.model.grips {
            for grip in grips {
                terms.push(
                    factored
                        .stretch_of(grip.spring)
                        .map_err(AnalysisError::Frame)?,
                );
            }
            first.push(terms.len());
        }
        let loads = [Case::Dead, Case::Live].map(|case| whole(solved, case));
        let influence: Vec<Vec<f64>> = terms
            .iter()
            .map(|terms| factored.movements(terms))
            .collect();
        let n = terms.len();
        Ok(Some(Self {
            base,
            first,
            flexibility: DMatrix::from_fn(n, n, |row, column| dot(&influence[row], &terms[column])),
            stretches: DMatrix::from_fn(n, 2, |row, k| dot(&influence[row], &loads[k])),
        }))
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
        let mut forces = vec![[[0.0; 3]; 2]; self.first.len() - 1];
        for k in 0..2 {
            let scaled =
                DVector::from_fn(count, |row, _| roots[row] * self.stretches[(from + row, k)]);
            let released = &inverse * scaled;
            for (anchor, force) in forces.iter_mut().enumerate() {
                if anchor != lost {
                    force[k] = self.on(solved, anchor, k, |row| {
                        (0..count)
                            .map(|c| self.flexibility[(row, from + c)] * roots[c] * released[c])
                            .sum()
                    });
                }
            }
        }
        Some(forces)
    }

    /// Force on an anchor under the dead (0) or the live load (1), with what else stretches its grips.
    fn on(
        &self,
        solved: &Solved<'_>,
        anchor: usize,
        k: usize,
        more: impl Fn(usize) -> f64,
    ) -> Triple {
        let case = [Case::Dead, Case::Live][k];
        let mut force = [0.0; 3];
        for (column, kind) in solved.columns().iter().enumerate() {
            if kind.case == case && matches!(kind.presence, Presence::Always | Presence::OnOff) {
                force = plus(force, solved.direct(anchor, column));
            }
        }
        for (place, grip) in solved.model.grips[anchor].iter().enumerate() {
            let row = self.first[anchor] + place;
            let tension =
                grip.stiffness[self.base as usize] * (self.stretches[(row, k)] + more(row));
            force = plus(force, solved.on_axes(anchor, grip.axis * tension));
        }
        force
    }
}

/// A case as a whole, on the unknowns.
fn whole(solved: &Solved<'_>, case: Case) -> Sparse {
    let columns = solved.columns().iter().zip(&solved.forces);
    columns
        .filter(|(kind, _)| {
            kind.case == case && matches!(kind.presence, Presence::Always | Presence::OnOff)
        })
        .flat_map(|(_, forces)| forces.iter().copied())
        .collect()
}
