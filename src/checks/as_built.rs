//! The platform as drawn and as built, side by side.

use super::{Attachment, CheckError, Results, Verdict};
use crate::model::{AsBuilt, BuiltChange, Criteria, Platform, PlatformError, Unmeasured};

/// A check of the drawing beside one of what was built.
#[derive(Debug, Clone, PartialEq)]
pub struct AsBuiltResults {
    /// As drawn.
    pub designed: Results,
    /// As built; without the anchors that refused it may not stand: then why.
    pub built: Result<Results, String>,
    /// What differs, anchor by anchor.
    pub changes: Vec<BuiltChange>,
    /// What was not measured.
    pub missing: Vec<Unmeasured>,
    /// Ids of the anchors that refused.
    pub refused: Vec<String>,
    /// What was seen at each anchor: its id, the note.
    pub notes: Vec<(String, String)>,
    /// How the measurements were understood.
    pub remarks: Vec<String>,
}

/// Why there is no check of what was built.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AsBuiltError {
    /// Nothing was measured.
    #[error("the layout has no measurements as built")]
    NotMeasured,
    /// The measurements make no platform.
    #[error("as built: {}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Platform(Vec<PlatformError>),
    /// The analysis has no answer.
    #[error(transparent)]
    Check(#[from] CheckError),
}

impl AsBuiltResults {
    /// The verdict on what was built: fail where it can not stand, and never better than review with an anchor that
    /// refused or was not measured.
    pub fn verdict(&self) -> Verdict {
        match &self.built {
            Ok(built) if self.refused.is_empty() => built.verdict(),
            Ok(built) => built.verdict().max(Verdict::Review),
            Err(_) => Verdict::Fail,
        }
    }

    /// An attachment as built.
    pub fn attachment(&self, anchor: &str) -> Option<&Attachment> {
        let built = self.built.as_ref().ok()?;
        built
            .attachments()
            .iter()
            .find(|own| own.anchor() == anchor)
    }
}

impl Platform {
    /// Checks the platform as drawn and as built, by its own criteria.
    ///
    /// # Errors
    /// No measurements, measurements that make no platform, or an analysis without an answer. A platform that can not
    /// stand without the anchors that refused is no error: it fails.
    pub fn check_as_built(&self) -> Result<AsBuiltResults, AsBuiltError> {
        self.check_as_built_with(self.criteria())
    }

    /// The same by other criteria.
    ///
    /// # Errors
    /// As [`Platform::check_as_built`].
    pub fn check_as_built_with(&self, criteria: &Criteria) -> Result<AsBuiltResults, AsBuiltError> {
        if self.as_built().is_empty() {
            return Err(AsBuiltError::NotMeasured);
        }
        let designed = self.check_with(criteria)?;
        let id = |row: &AsBuilt| self.anchors()[row.anchor].id.clone();
        let rows = self.as_built().iter();
        let refused: Vec<String> = rows.clone().filter(|row| row.refused).map(id).collect();
        let notes = rows.filter_map(|row| Some((id(row), row.note.clone()?)));
        let mut results = AsBuiltResults {
            designed,
            built: Err(String::new()),
            changes: Vec::new(),
            missing: Vec::new(),
            refused,
            notes: notes.collect(),
            remarks: Vec::new(),
        };
        let falls = |refused: &[String], why: String| {
            format!("without {} it can not stand: {why}", refused.join(", "))
        };
        let built = match self.built() {
            Ok(built) => built,
            Err(faults) if results.refused.is_empty() => {
                return Err(AsBuiltError::Platform(faults));
            }
            Err(faults) => {
                let why: Vec<String> = faults.iter().map(ToString::to_string).collect();
                results.built = Err(falls(&results.refused, why.join("; ")));
                return Ok(results);
            }
        };
        results.changes = built.changes;
        results.missing = built.missing;
        results.remarks = built.remarks;
        results.built = match built.platform.check_with(criteria) {
            Ok(checked) => Ok(checked),
            Err(error) if results.refused.is_empty() => return Err(error.into()),
            Err(error) => Err(falls(&results.refused, error.to_string())),
        };
        Ok(results)
    }
}
