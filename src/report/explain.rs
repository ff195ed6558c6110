//! The hand calculation of one anchor: its record, its steps as lines, its diagrams in plain characters.

use super::document::{CheckPart, Provenance};
use super::json::{ReportError, pretty};
use super::markdown::escaped;
use super::standing_id;
use crate::checks::trace::{Amount, Diagram, Dimension, Explained, Explanation, Governing, Step};
use crate::checks::{Fit, Verdict};
use crate::model::{Bound, LimitState, Standing};
use crate::units::Show;
use serde::Serialize;
use std::fmt::Write as _;

/// Name and number of the form of an explanation's JSON.
pub const EXPLAIN_SCHEMA: &str = "barkline/explain/1";

/// Of the places along each piece, one in so many is a line of a diagram.
const EVERY: usize = 4;

/// The record of a hand calculation. Numbers are in SI, the unit in the key or beside it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExplainDocument {
    /// [`EXPLAIN_SCHEMA`].
    pub schema: &'static str,
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the layout.
    pub layout_sha256: String,
    /// Id of the anchor.
    pub anchor: String,
    /// Id of its tree.
    pub tree: String,
    /// The worst verdict of its checks.
    pub verdict: Verdict,
    /// The check that governs.
    pub governing: Option<LimitState>,
    /// What several checks share.
    pub shared: Vec<SharedPart>,
    /// The checks.
    pub checks: Vec<ExplainedPart>,
    /// Pressure, shear and moment along the anchor.
    pub diagram: Option<DiagramPart>,
    /// What the reader must be told.
    pub cautions: Vec<String>,
}

/// Steps that several checks share.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SharedPart {
    /// What they are about.
    pub title: String,
    /// The steps.
    pub steps: Vec<StepPart>,
}

/// A check with its calculation.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExplainedPart {
    /// The check.
    #[serde(flatten)]
    pub check: CheckPart,
    /// Its load and state.
    pub load: Option<LoadPart>,
    /// The steps.
    pub steps: Vec<StepPart>,
}

/// The load and the state of the bar in which a check was made.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadPart {
    /// The combination.
    pub combination: String,
    /// Down (N).
    pub down_n: f64,
    /// Sideways (N).
    pub side_n: f64,
    /// Out along the bar (N).
    pub out_n: f64,
    /// The duration factor (1).
    pub duration: f64,
    /// The bound of the foundation, where it plays a part.
    pub bound: Option<Bound>,
    /// The fit of the boss, where it plays a part.
    pub fit: Option<Fit>,
}

impl From<&Governing> for LoadPart {
    fn from(governing: &Governing) -> Self {
        Self {
            combination: governing.combination.clone(),
            down_n: governing.down,
            side_n: governing.side,
            out_n: governing.out,
            duration: governing.duration,
            bound: governing.state.map(|(bound, _)| bound),
            fit: governing.state.map(|(_, fit)| fit),
        }
    }
}

/// A step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepPart {
    /// The symbol of its result.
    pub symbol: String,
    /// What it is.
    pub title: String,
    /// The equation in symbols.
    pub equation: Option<String>,
    /// What goes in.
    pub values: Vec<ValuePart>,
    /// How it was found where no equation gives it.
    pub method: Option<String>,
    /// The result.
    pub result: Amount,
    /// Where it comes from.
    pub source: String,
    /// How well founded it is.
    pub standing: Standing,
}

/// A value that goes into a step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ValuePart {
    /// Its symbol.
    pub symbol: String,
    /// The value.
    #[serde(flatten)]
    pub amount: Amount,
}

impl From<&Step> for StepPart {
    fn from(step: &Step) -> Self {
        let value = |(symbol, amount): &(String, Amount)| ValuePart {
            symbol: symbol.clone(),
            amount: *amount,
        };
        Self {
            symbol: step.symbol.clone(),
            title: step.title.clone(),
            equation: step.equation.clone(),
            values: step.values.iter().map(value).collect(),
            method: step.method.clone(),
            result: step.result,
            source: step.source.clone(),
            standing: step.standing,
        }
    }
}

/// Values along the anchor; of each pair the first is down, the second sideways.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DiagramPart {
    /// The check whose state it shows.
    pub check: LimitState,
    /// Load and state.
    pub load: LoadPart,
    /// Places from the wood surface inward (m).
    pub x_m: Vec<f64>,
    /// Bearing pressure (Pa).
    pub pressure_pa: Vec<[f64; 2]>,
    /// Shear (N).
    pub shear_n: Vec<[f64; 2]>,
    /// Moment (N·m).
    pub moment_n_m: Vec<[f64; 2]>,
}

impl ExplainDocument {
    /// The record of an explanation.
    pub fn new(explanation: &Explanation, provenance: Provenance) -> Self {
        let steps = |steps: &[Step]| steps.iter().map(StepPart::from).collect();
        let attachment = &explanation.attachment;
        Self {
            schema: EXPLAIN_SCHEMA,
            program: provenance.program,
            layout_sha256: provenance.layout_sha256,
            anchor: attachment.anchor().to_owned(),
            tree: attachment.tree().to_owned(),
            verdict: attachment.verdict(),
            governing: attachment.governing().map(|check| check.limit_state),
            shared: explanation
                .shared
                .iter()
                .map(|shared| SharedPart {
                    title: shared.title.clone(),
                    steps: steps(&shared.steps),
                })
                .collect(),
            checks: explanation
                .checks
                .iter()
                .map(|explained| ExplainedPart {
                    check: CheckPart(explained.check.clone()),
                    load: explained.governing.as_ref().map(LoadPart::from),
                    steps: steps(&explained.steps),
                })
                .collect(),
            diagram: explanation.diagram.as_ref().map(|diagram| DiagramPart {
                check: diagram.limit_state,
                load: LoadPart::from(&diagram.governing),
                x_m: diagram.x.clone(),
                pressure_pa: diagram.pressure.clone(),
                shear_n: diagram.shear.clone(),
                moment_n_m: diagram.moment.clone(),
            }),
            cautions: explanation.cautions.clone(),
        }
    }
}

/// An explanation as JSON.
///
/// # Errors
/// When it can not be serialized.
pub fn explain_json(document: &ExplainDocument) -> Result<String, ReportError> {
    pretty(document)
}

/// A step as lines: the equation, the substitution, the result; or the result with how it was found.
pub fn step_lines(step: &Step, show: Show) -> Vec<String> {
    let units = step.shown_in(show);
    let result = step.result.result(units);
    match (&step.equation, step.substitution(show)) {
        (Some(equation), Some(substitution)) => vec![
            format!("{} = {equation}", step.symbol),
            format!("= {substitution}"),
            format!("= {result}"),
        ],
        _ => {
            let given: Vec<String> = step
                .values
                .iter()
                .map(|(name, amount)| match name.split_once(' ') {
                    Some(_) => format!("{name} {}", amount.result(units)),
                    None => format!("{name} = {}", amount.result(units)),
                })
                .collect();
            let method = step.method.as_deref().unwrap_or_default();
            let mut line = format!("{} = {result}   by {method}", step.symbol);
            if !given.is_empty() {
                let _ = write!(line, ": {}", given.join(", "));
            }
            vec![line]
        }
    }
}

/// Where a step comes from, and how well founded that is.
pub fn step_source(step: &Step) -> String {
    let standing = standing_id(step.standing).replace('_', " ");
    format!("{}; {standing}", step.source)
}

/// The load and the state of a check in words.
pub fn governing_words(governing: &Governing, show: Show) -> String {
    let force = |si: f64| {
        let dimension = Dimension::Force;
        Amount { si, dimension }.result(show)
    };
    let mut words = format!(
        "under {}: V = {} down, H = {} sideways",
        governing.combination,
        force(governing.down),
        force(governing.side)
    );
    if governing.out != 0.0 {
        let _ = write!(words, ", N = {} out", force(governing.out));
    }
    if let Some((bound, fit)) = governing.state {
        let bound = match bound {
            Bound::Soft => "K/2",
            Bound::Central => "K",
            Bound::Stiff => "2K",
        };
        let fit = match fit {
            Fit::Snug => "snug",
            Fit::Loose => "loose",
        };
        let _ = write!(words, "; foundation {bound}, boss {fit}");
    }
    words
}

/// A check in one line: its name, its verdict, what is used.
pub fn explained_words(explained: &Explained) -> String {
    let check = &explained.check;
    let name = check.limit_state.words();
    match check.utilization {
        Some(used) => format!("{name}: {}, utilization {used:.4}", check.verdict.word()),
        None => format!("{name}: {}", check.verdict.word()),
    }
}

/// Pressure, shear and moment along the anchor in plain characters, a line for each place from the load point inward:
/// `#` from the axis to the value down, `o` at the value sideways.
pub fn diagram_lines(diagram: &Diagram, show: Show, width: usize) -> Vec<String> {
    let panels = [
        Panel::new("pressure", &diagram.pressure, Dimension::Stress),
        Panel::new("shear", &diagram.shear, Dimension::Force),
        Panel::new("moment", &diagram.moment, Dimension::Moment),
    ];
    let depth = Dimension::Length;
    let room = width.saturating_sub(9 + 2 * panels.len()) / panels.len();
    let room = room.clamp(11, 35);
    let mut head = format!("{:>8} ", format!("x {}", depth.unit(show)));
    let mut scale = " ".repeat(9);
    for panel in &panels {
        let limit = Amount {
            si: panel.largest,
            dimension: panel.dimension,
        };
        let _ = write!(head, "  {:^room$}", panel.name);
        let _ = write!(scale, "  {:^room$}", format!("± {}", limit.result(show)));
    }
    let mut lines = vec![head.trim_end().to_owned(), scale.trim_end().to_owned()];
    for (i, x) in diagram.x.iter().enumerate() {
        // Every piece has one place more than it has intervals.
        if !(i % (4 * EVERY + 1)).is_multiple_of(EVERY) {
            continue;
        }
        let place = Amount {
            si: *x,
            dimension: depth,
        };
        let mut line = format!("{:>8.2} ", place.in_unit(show));
        for panel in &panels {
            line.push_str("  ");
            line.push_str(&panel.row(i, room));
        }
        lines.push(line.trim_end().to_owned());
    }
    lines
}

/// One quantity along the anchor.
struct Panel<'a> {
    name: &'static str,
    values: &'a [[f64; 2]],
    dimension: Dimension,
    largest: f64,
}

impl<'a> Panel<'a> {
    fn new(name: &'static str, values: &'a [[f64; 2]], dimension: Dimension) -> Self {
        let sizes = values.iter().flatten().map(|value| value.abs());
        Self {
            name,
            values,
            dimension,
            largest: sizes.fold(0.0, f64::max),
        }
    }

    fn row(&self, i: usize, room: usize) -> String {
        let [down, side] = self.values.get(i).copied().unwrap_or_default();
        let half = room / 2;
        let mut row = vec![' '; 2 * half + 1];
        let column = |value: f64| {
            let share = if self.largest > 0.0 {
                value / self.largest
            } else {
                0.0
            };
            // Between zero and twice the half width.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let column = (half as f64 * (1.0 + share)).round() as usize;
            column.min(2 * half)
        };
        let end = column(down);
        for (at, c) in row.iter_mut().enumerate() {
            if at >= end.min(half) && at <= end.max(half) {
                *c = '#';
            }
        }
        if let Some(axis) = row.get_mut(half) {
            *axis = '|';
        }
        let mark = column(side);
        if mark != half
            && let Some(c) = row.get_mut(mark)
        {
            *c = 'o';
        }
        let text: String = row.into_iter().collect();
        format!("{text:<room$}")
    }
}

/// What the diagrams show, in words.
pub fn diagram_words(diagram: &Diagram, show: Show) -> String {
    format!(
        "Along the anchor in the state of {} ({}); x from the wood surface inward; # down, o sideways.",
        diagram.limit_state.words(),
        governing_words(&diagram.governing, show)
    )
}

/// An explanation as Markdown.
pub fn explain_markdown(explanation: &Explanation, provenance: &Provenance, show: Show) -> String {
    let attachment = &explanation.attachment;
    let mut text = format!(
        "# {} in {}\n\nVerdict: **{}**\n",
        escaped(attachment.anchor()),
        escaped(attachment.tree()),
        attachment.verdict().word()
    );
    for shared in &explanation.shared {
        let _ = write!(text, "\n## {}\n", escaped(&shared.title));
        markdown_steps(&mut text, &shared.steps, show);
    }
    for explained in &explanation.checks {
        let _ = write!(text, "\n## {}\n", escaped(&explained_words(explained)));
        if let Some(governing) = &explained.governing {
            let _ = write!(text, "\n{}\n", escaped(&governing_words(governing, show)));
        }
        if let Some(note) = &explained.check.note {
            let _ = write!(text, "\n{}\n", escaped(note));
        }
        markdown_steps(&mut text, &explained.steps, show);
    }
    if let Some(diagram) = &explanation.diagram {
        let _ = write!(
            text,
            "\n## Diagrams\n\n{}\n\n```text\n",
            escaped(&diagram_words(diagram, show))
        );
        for line in diagram_lines(diagram, show, 100) {
            let _ = writeln!(text, "{line}");
        }
        text.push_str("```\n");
    }
    if !explanation.cautions.is_empty() {
        text.push_str("\n## Cautions\n\n");
    }
    for caution in &explanation.cautions {
        let _ = writeln!(text, "- {}", escaped(caution));
    }
    let _ = write!(
        text,
        "\nbarkline {}; layout SHA-256 `{}`\n",
        provenance.program, provenance.layout_sha256
    );
    text
}

fn markdown_steps(text: &mut String, steps: &[Step], show: Show) {
    for step in steps {
        let _ = write!(text, "\n{}\n\n```text\n", escaped(&step.title));
        for (i, line) in step_lines(step, show).iter().enumerate() {
            let indent = if i == 0 {
                0
            } else {
                step.symbol.chars().count() + 1
            };
            let _ = writeln!(text, "{:indent$}{line}", "");
        }
        let _ = write!(text, "```\n\n*{}*\n", escaped(&step_source(step)));
    }
}
