//! What can move, in the words of the platform.

use super::AnalysisError;
use super::build::Model;
use crate::analysis::frame::{FrameError, Mode, NodeId};

/// A movement below this share of the largest is none (1).
const STILL: f64 = 1e-6;

impl Model<'_> {
    /// A frame error in the words of the platform.
    pub(super) fn name(&self, error: FrameError) -> AnalysisError {
        match error {
            FrameError::Mechanism(modes) => {
                let mut parts: Vec<String> = Vec::new();
                for part in modes.iter().flat_map(|mode| self.moving(mode)) {
                    if !parts.contains(&part) {
                        parts.push(part);
                    }
                }
                if parts.is_empty() {
                    return AnalysisError::Frame(FrameError::Mechanism(modes));
                }
                AnalysisError::Mechanism(parts.join("; "))
            }
            other => AnalysisError::Frame(other),
        }
    }

    fn moving(&self, mode: &Mode) -> Vec<String> {
        (0..self.runs.len())
            .filter_map(|k| self.moving_beam(mode, k))
            .collect()
    }

    fn moving_beam(&self, mode: &Mode, k: usize) -> Option<String> {
        let (run, beam) = (&self.runs[k], &self.platform.beams()[k]);
        let moves = |node: &NodeId| {
            let mut motions = mode.0.iter();
            motions
                .find(|motion| motion.node == *node)
                .map_or([0.0; 3], |motion| motion.translation)
        };
        let ends = [run.nodes.first()?, run.nodes.last()?].map(moves);
        let falls = ends.map(|[_, _, up]| up);
        let supports = beam.supports.len();
        if falls.iter().any(|fall| fall.abs() > STILL) {
            let turns = falls.iter().any(|fall| fall.abs() < STILL) || falls[0] * falls[1] < 0.0;
            let how = if turns {
                "turns up and down about its support"
            } else {
                "goes up and down as a whole"
            };
            return Some(format!(
                "beam {} {how} (it has {supports} of its own): give it another anchor or beam in `on`",
                beam.id
            ));
        }
        let [east, north] = run.along;
        let [along, aside] = [
            ends.map(|[x, y, _]| x * east + y * north),
            ends.map(|[x, y, _]| y * east - x * north),
        ];
        let large = |parts: [f64; 2]| parts.iter().any(|part| part.abs() > STILL);
        let how = match (large(along), large(aside)) {
            (true, false) => "slides along itself",
            (false, true) => "swings sideways",
            (true, true) => "moves freely in plan",
            (false, false) => return None,
        };
        Some(format!(
            "beam {} {how}: nothing holds it that way; let one of its seats be fixed, or tie it by a deck or a beam that is held",
            beam.id
        ))
    }
}
