//! `reliability`: how likely it is that strength is exceeded, and what that hangs on.

use super::{csv, loaded, not_completed};
use crate::args::{Common, Form, Sampling};
use crate::source::Source;
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::model::Platform;
use barkline::reliability::{Reliability, ReliabilityOptions, Step};
use barkline::report::{
    Finding, Provenance, ReliabilityDocument, reliability_json, reliability_markdown,
    reliability_sheet,
};
use barkline::units::Show;
use std::io::{IsTerminal as _, Write as _};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

pub(super) fn run(layout: &Path, sampling: &Sampling, common: &Common) -> Result<Status, Stop> {
    if common.format == Form::Html {
        return Err(super::no_such_form("a reliability"));
    }
    let (source, resolved, cautions) = loaded(layout, false, common)?;
    let show = common.show.map_or(resolved.show, Show::from);
    let results = worked_out(&resolved.platform, &source, &sampling.options(), common)?;
    let status = status_of(&results);
    let document = ReliabilityDocument::new(results, Provenance::of(&source.bytes()), cautions);
    let text = match common.format {
        Form::Json => reliability_json(&document)?,
        Form::Csv => csv(&reliability_sheet(&document), show)?,
        Form::Markdown => reliability_markdown(&document, show),
        Form::Table | Form::Html => render::reliability(&document, show, output::width()),
    };
    output::deliver(&text, common)?;
    Ok(status)
}

/// The analysis, with a line of progress, until it is done or interrupted.
pub(super) fn worked_out(
    platform: &Platform,
    source: &Source,
    options: &ReliabilityOptions,
    common: &Common,
) -> Result<Reliability, Stop> {
    let cancel = cancelled_by_keyboard()?;
    let mut line = Line::new(common);
    let results = platform
        .reliability_until(options, &cancel, &mut |step| line.say(step))
        .map_err(|error| not_completed(source, &error))?;
    line.clear();
    Ok(results)
}

impl Sampling {
    fn options(&self) -> ReliabilityOptions {
        ReliabilityOptions {
            method: self.method.into(),
            samples: self.samples,
            seed: self.seed,
            threads: self.threads,
        }
    }
}

/// A run that was broken off is not completed; a target that is missed, or an attachment that was not worked out where one
/// is named, is no pass.
pub(super) fn status_of(results: &Reliability) -> Status {
    let missing = |results: &Reliability| {
        results
            .attachments
            .iter()
            .any(|own| own.outcomes.is_empty())
    };
    if results.partial {
        Status::NotCompleted
    } else if results.target.is_some() && (missing(results) || !results.below_target().is_empty()) {
        Status::NotPass
    } else {
        Status::Pass
    }
}

/// A flag that is set when the run is interrupted: what is finished is then printed. A second time ends it at once.
fn cancelled_by_keyboard() -> Result<Arc<AtomicBool>, Stop> {
    const BY_SIGNAL: i32 = 130;
    let cancel = Arc::new(AtomicBool::new(false));
    let seen = Arc::clone(&cancel);
    let asked = move || {
        if seen.swap(true, Ordering::Relaxed) {
            std::process::exit(BY_SIGNAL);
        }
    };
    ctrlc::set_handler(asked).map_err(|error| {
        Stop::Analysis(Box::new(Finding::error(
            "not-completed",
            format!("interrupts can not be heard: {error}"),
            "run it where signals are allowed",
        )))
    })?;
    Ok(cancel)
}

/// Between two prints of the line.
const OFTEN: Duration = Duration::from_millis(200);
/// Width of the bar (columns).
const BAR: usize = 24;

/// A line of progress on standard error, on a terminal only.
struct Line {
    shown: bool,
    begun: Instant,
    last: Option<Instant>,
}

impl Line {
    fn new(common: &Common) -> Self {
        Self {
            shown: std::io::stderr().is_terminal() && !common.quiet,
            begun: Instant::now(),
            last: None,
        }
    }

    fn say(&mut self, step: &Step<'_>) {
        let now = Instant::now();
        let soon = self.last.is_some_and(|last| now - last < OFTEN);
        if !self.shown || soon || step.of == 0 {
            return;
        }
        self.last = Some(now);
        let text = progress(step, (now - self.begun).as_secs_f64());
        // Where standard error is gone there is nobody to tell.
        let _ = write!(std::io::stderr(), "\r\x1b[K{text}");
        let _ = std::io::stderr().flush();
    }

    fn clear(&self) {
        if self.last.is_some() {
            let _ = write!(std::io::stderr(), "\r\x1b[K");
        }
    }
}

/// A bar, the rate and the time left after so many seconds.
fn progress(step: &Step<'_>, seconds: f64) -> String {
    let share = step.done as f64 / step.of as f64;
    // A share of the bar: no more than BAR, and not negative.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let full = ((share * BAR as f64) as usize).min(BAR);
    let rate = step.done as f64 / seconds.max(1e-3);
    let left = (step.of.saturating_sub(step.done)) as f64 / rate.max(1e-3);
    format!(
        "[{}{}] {:3.0} %  {rate:.0} evaluations/s  {left:.0} s left  {}",
        "=".repeat(full),
        " ".repeat(BAR - full),
        share * 100.0,
        step.part
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_says_share_rate_and_time_left() {
        let step = Step {
            part: "N1",
            done: 500,
            of: 2000,
        };
        let line = progress(&step, 2.0);
        assert_eq!(
            line,
            "[======                  ]  25 %  250 evaluations/s  6 s left  N1"
        );
    }
}
