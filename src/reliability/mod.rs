//! How likely it is that an attachment's strength is exceeded, and what that hangs on.
//!
//! [`numerics`] is plain arithmetic on variables that vary: it knows no trees, no tables and no units. [`attachments`] makes
//! of every attachment of a platform a function of independent normals, through the mechanics of the checks.

mod analysis;
mod attachment;
mod bar;
mod draws;
mod load;
mod marginal;
pub mod numerics;
mod result;
#[cfg(test)]
mod tests;

pub use analysis::{ReliabilityOptions, Step};
pub use attachment::{Attachment, Outcome, attachments};
pub use result::{
    AttachmentReliability, Chance, FirstOrder, Importance, Method, OutcomeReliability, Reliability,
    Worth,
};

use crate::checks::CheckError;
use crate::mechanics::MechanicsError;
use crate::model::Criteria;
use crate::tables::LookupError;
use numerics::NumericsError;

/// Why there is no reliability.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReliabilityError {
    /// The platform can not be analysed.
    #[error(transparent)]
    Check(#[from] CheckError),
    /// The mechanics of an anchor have no answer at nominal values.
    #[error("anchor {anchor}: {error}")]
    Mechanics {
        /// The anchor.
        anchor: String,
        /// Why.
        error: MechanicsError,
    },
    /// The numbers have no answer.
    #[error(transparent)]
    Numerics(#[from] NumericsError),
    /// A table of the program is broken.
    #[error(transparent)]
    Table(#[from] LookupError),
}

/// Keys of the criteria that hold strengths and limits of the allowable format, not what is there.
const OF_SAFETY: [&str; 2] = ["exclusion", "boss_clearance"];

/// Criteria of the same layout that leave out all safety: factors of one, means in the place of exclusion values, and load
/// duration as the allowable format has it, whatever the format of the layout.
fn criteria_of(layout: &Criteria) -> Result<Criteria, LookupError> {
    let mut criteria = Criteria::standard("asce7-22-asd")?;
    criteria.combinations.clone_from(&layout.combinations);
    (criteria.basis, criteria.duration) = (layout.basis, layout.duration);
    for (key, factor) in layout.factors.iter().filter(|(_, factor)| factor.changed) {
        criteria.factors.insert(key.clone(), factor.clone());
    }
    let mut bare = criteria.without_safety();
    for key in OF_SAFETY {
        bare.change(key, 0.0);
    }
    Ok(bare)
}
