//! The table of `check` and the sentences below it.

use super::table::{cautions, table};
use super::wrap::wrapped;
use anstyle::{AnsiColor, Style};
use barkline::checks::Verdict;
use barkline::report::{
    CheckDocument, attachment_sheet, growth_sheet, loss_sheet, loss_words, member_sheet,
    member_summary, opinion_words, reviews, standings, summary, tree_words,
};
use barkline::units::Show;
use std::fmt::Write as _;

/// From this width on the utilizations of the four groups fit beside the words (columns).
const WIDE: usize = 96;
/// Columns that hold the tree of each anchor beside the groups.
const ROOMY: usize = 108;
/// From this width on the trees fit (columns).
const MIDDLE: usize = 64;

/// A check in print.
pub(crate) fn check(document: &CheckDocument, show: Show, width: usize) -> String {
    let mut text = String::new();
    if !document.title.is_empty() {
        text.push_str(&wrapped(&document.title, width, 0));
        text.push('\n');
    }
    text.push_str(&painted(&attachments(document, show, width)));
    text.push('\n');
    text.push_str(&wrapped(&summary(document, show), width, 0));
    if let Some(members) = member_summary(document, show) {
        text.push('\n');
        text.push_str(&painted(&member_table(document, show, width)));
        text.push('\n');
        text.push_str(&wrapped(&members, width, 0));
    }
    for line in reviews(document, show) {
        text.push_str(&wrapped(&format!("- {line}"), width, 2));
    }
    for line in tree_words(document) {
        text.push_str(&wrapped(&format!("- {line}"), width, 2));
    }
    if let Some(sheet) = growth_sheet(document) {
        let _ = write!(text, "\n{}\n", wrapped(&sheet.title, width, 0).trim_end());
        text.push_str(&table(&sheet, show, width, |_| true));
    }
    if let Some(sheet) = loss_sheet(document) {
        let _ = write!(text, "\n{}\n", wrapped(&sheet.title, width, 0).trim_end());
        text.push_str(&table(&sheet, show, width, |_| true));
        text.push_str(&wrapped(
            &loss_words(document).unwrap_or_default(),
            width,
            0,
        ));
    }
    let standings = standings(document);
    if !standings.is_empty() {
        text.push('\n');
    }
    for line in standings {
        text.push_str(&wrapped(&line, width, 2));
    }
    let opinion = opinion_words(document);
    if !opinion.is_empty() {
        text.push('\n');
    }
    for line in opinion {
        text.push_str(&wrapped(&line, width, 2));
    }
    text.push_str(&cautions(&document.cautions, width));
    text
}

/// The table, without the columns that a narrow screen can not hold.
fn attachments(document: &CheckDocument, show: Show, width: usize) -> String {
    let groups = ["wood", "steel", "pull-out", "fit"];
    table(
        &attachment_sheet(document),
        show,
        width,
        |column| match column.head() {
            "tree" => (MIDDLE..WIDE).contains(&width) || width >= ROOMY,
            head if groups.contains(&head) => width >= WIDE,
            _ => true,
        },
    )
}

/// The members, without the utilizations of each check that a narrow screen can not hold.
fn member_table(document: &CheckDocument, show: Show, width: usize) -> String {
    let checks = ["bending", "shear", "bearing", "deflection"];
    table(&member_sheet(document), show, width, |column| {
        width >= WIDE || !checks.contains(&column.head())
    })
}

/// The verdicts at the ends of lines in colour; the word says the same without it.
fn painted(table: &str) -> String {
    let mut out = String::new();
    for line in table.lines() {
        match [Verdict::Fail, Verdict::Review, Verdict::Pass]
            .into_iter()
            .find_map(|verdict| Some((line.strip_suffix(verdict.word())?, verdict)))
        {
            Some((front, verdict)) => {
                let style = style(verdict);
                let _ = write!(out, "{front}{style}{}{style:#}", verdict.word());
            }
            None => out.push_str(line),
        }
        out.push('\n');
    }
    out
}

fn style(verdict: Verdict) -> Style {
    let color = match verdict {
        Verdict::Fail => AnsiColor::Red,
        Verdict::Review => AnsiColor::Yellow,
        Verdict::Pass | Verdict::NotNeeded => AnsiColor::Green,
    };
    color.on_default().bold()
}
