//! The package as one HTML file: no script, no network, nothing beside it. Written so that it parses as XML as well.

use super::drawing;
use super::markup::{Element, decimal};
use super::package::block::{Block, Figure, Grid, Holds, Row, Section, Worked};
use super::package::{Package, sections};
use super::work;
use crate::checks::Verdict;

/// The look on screen and on paper.
const STYLE: &str = include_str!("style.css");

/// The longest text (letters) of a list of facts that stands in two columns.
const SHORT: usize = 44;

/// How much is used where a bar in a table ends (1): one, the limit, is at two thirds of it.
const BAR: f64 = 1.5;

/// A table of this many columns scrolls on a narrow screen, and is not squeezed into it.
const WIDE: usize = 4;

/// The calculation package as HTML, for screen and print.
///
/// ```rust
/// use barkline::report::{CheckDocument, Package, Project, Provenance, package_html};
/// use barkline::{Layout, units::Show};
/// let text = include_str!("../../../docs/examples/two-stems.toml");
/// let layout = Layout::from_toml(text)?;
/// let platform = layout.resolve()?.platform;
/// let results = platform.check()?;
/// let html = package_html(&Package {
///     platform: &platform,
///     results: &results,
///     document: &CheckDocument::new(&results, Provenance::of(text.as_bytes()), Vec::new()),
///     trees: None,
///     drill: None,
///     reliability: None,
///     project: &layout.project.as_ref().map_or_else(Project::default, Project::from),
///     layout: text,
///     show: Show::Us,
/// });
/// assert!(html.starts_with("<!DOCTYPE html>"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn package_html(package: &Package<'_>) -> String {
    let sections = sections(package);
    let page = Element::new("html")
        .with("lang", "en")
        .holding(head(package))
        .holding(body(package, &sections));
    format!("<!DOCTYPE html>\n{}\n", page.write())
}

fn head(package: &Package<'_>) -> Element {
    let meta = |name, content| {
        Element::new("meta")
            .with("name", name)
            .with("content", content)
    };
    Element::new("head")
        .holding(Element::new("meta").with("charset", "utf-8"))
        .holding(meta("viewport", "width=device-width, initial-scale=1"))
        .holding(meta(
            "generator",
            &format!("barkline {}", package.document.program),
        ))
        .holding(Element::new("title").saying(format!("{}: calculation package", package.title())))
        .holding(Element::new("style").holding_markup(format!(
            "{STYLE}{}\n{}{}",
            drawing::STYLE,
            work::STYLE,
            running(package)
        )))
}

/// The foot of every printed sheet, where the browser prints the boxes of a page's margin.
fn running(package: &Package<'_>) -> String {
    format!(
        "@page{{@bottom-left{{content:{}}}}}",
        quoted(&package.stamp())
    )
}

/// A string of a style sheet that neither ends early nor is read as markup.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            c if c.is_alphanumeric() || " .,·:…-()/".contains(c) => out.push(c),
            c => {
                use std::fmt::Write as _;
                // Writing to a string can not fail.
                let _ = write!(out, "\\{:x} ", u32::from(c));
            }
        }
    }
    out.push('"');
    out
}

fn body(package: &Package<'_>, sections: &[Section]) -> Element {
    let stamp = package.stamp();
    let header = Element::new("header")
        .holding(
            Element::new("p")
                .with("class", "kind")
                .saying("Calculation package: anchors in living trees"),
        )
        .holding(Element::new("h1").saying(package.title()));
    let main = Element::new("main")
        .holding(header)
        .holding_all(sections.iter().enumerate().map(|(index, own)| {
            let section = section(own, &stamp);
            // The contents stand on the cover, after the verdict.
            if index == 0 {
                section.holding(contents(sections))
            } else {
                section
            }
        }))
        .holding(footer(package));
    let foot = Element::new("p")
        .with("class", "foot")
        .with("aria-hidden", "true")
        .saying(stamp);
    Element::new("body").holding(main).holding(foot)
}

fn contents(sections: &[Section]) -> Element {
    let item = |section: &Section| {
        Element::new("li").holding(
            Element::new("a")
                .with("href", format!("#{}", section.id))
                .saying(&section.title),
        )
    };
    Element::new("nav")
        .with("aria-label", "Contents")
        .holding(Element::new("h3").saying("Contents"))
        .holding(Element::new("ol").holding_all(sections.iter().skip(1).map(item)))
}

fn footer(package: &Package<'_>) -> Element {
    Element::new("footer").holding(Element::new("p").saying(format!(
        "{}, layout SHA-256 {}. To print, or to save as PDF, use the browser's own print command: A4 or Letter, upright, scale 100 %, \
         background graphics on.",
        format_args!("barkline {}", package.document.program),
        package.document.layout_sha256
    )))
}

fn section(section: &Section, stamp: &str) -> Element {
    let heading = format!("{}-heading", section.id);
    let own = Element::new("section").with("id", section.id.as_str());
    let own = match (section.new_sheet, section.tight) {
        (true, true) => own.with("class", "sheet tight"),
        (true, false) => own.with("class", "sheet"),
        (false, true) => own.with("class", "tight"),
        (false, false) => own,
    };
    own.with("aria-labelledby", heading.as_str())
        .holding(Element::new("p").with("class", "stamp").saying(stamp))
        .holding(
            Element::new("h2")
                .with("id", heading.as_str())
                .saying(&section.title),
        )
        .holding_all(section.blocks.iter().map(block))
}

fn block(block: &Block) -> Element {
    match block {
        Block::Heading(text) => Element::new("h3").saying(text),
        Block::Words(text) => Element::new("p").saying(text),
        Block::Verdict(verdict, text) => judged(*verdict, text),
        Block::List(items) => {
            let item = |item: &String| Element::new("li").saying(item);
            Element::new("ul").holding_all(items.iter().map(item))
        }
        Block::Facts(facts) => {
            let fact = |(name, text): &(String, String)| {
                Element::new("div")
                    .holding(Element::new("dt").saying(name))
                    .holding(Element::new("dd").saying(text))
            };
            let list = Element::new("dl").holding_all(facts.iter().map(fact));
            if facts.iter().any(|(_, text)| text.chars().count() > SHORT) {
                list.with("class", "long")
            } else {
                list
            }
        }
        Block::Table(grid) => table(grid),
        Block::Figure(drawn) | Block::Drawn(drawn, _) => figure(drawn),
        Block::Steps(steps) => Element::new("ol")
            .with("class", "steps")
            .holding_all(steps.iter().map(worked)),
        Block::Blanks(blanks) => {
            let row = |(name, lines): &(&str, usize)| {
                let height = format!("height:{}mm", 8 * lines);
                Element::new("tr")
                    .holding(Element::new("th").with("scope", "row").saying(*name))
                    .holding(Element::new("td").with("style", height))
            };
            Element::new("table")
                .with("class", "blanks")
                .holding(Element::new("caption").saying("Blank, for the reviewer"))
                .holding(Element::new("tbody").holding_all(blanks.iter().map(row)))
        }
        Block::Verbatim(text) => Element::new("pre")
            .with("tabindex", "0")
            .holding(Element::new("code").saying(text)),
        Block::Page(page) => work::article(page, work::Headings::IN_SECTION),
    }
}

/// A step: what it finds, its lines, where it comes from.
fn worked(step: &Worked) -> Element {
    let code = match step.lines.as_slice() {
        [lines @ .., result] if !lines.is_empty() => Element::new("code")
            .saying(format!("{} ", lines.join(" ")))
            .holding(Element::new("b").saying(result)),
        lines => Element::new("code").saying(lines.join(" ")),
    };
    Element::new("li")
        .holding(Element::new("span").saying(&step.title))
        .saying(" ")
        .holding(Element::new("small").saying(format!("[{}]", step.source)))
        .holding(code)
}

fn judged(verdict: Verdict, text: &str) -> Element {
    let class = match verdict {
        Verdict::Pass => "verdict pass",
        Verdict::Fail => "verdict fail",
        Verdict::Review | Verdict::NotNeeded => "verdict review",
    };
    Element::new("p")
        .with("class", class)
        .holding(Element::new("strong").saying(verdict.word().to_uppercase()))
        .saying(" ")
        .holding(Element::new("span").saying(text))
}

/// A drawing that scrolls in its own frame where the screen is narrow.
fn figure(figure: &Figure) -> Element {
    let frame = Element::new("div")
        .with("class", "scroll")
        .with("tabindex", "0")
        .with("role", "group")
        .with("aria-label", "drawing")
        .holding_markup(figure.svg.replacen(&drawing::style().write(), "", 1));
    let caption =
        (!figure.caption.is_empty()).then(|| Element::new("figcaption").saying(&figure.caption));
    Element::new("figure").holding(frame).holding_all(caption)
}

fn table(grid: &Grid) -> Element {
    let head = |(name, holds): &(String, Holds)| {
        let th = Element::new("th").with("scope", "col");
        of_class(th, *holds).saying(name)
    };
    let heads = Element::new("thead")
        .holding(Element::new("tr").holding_all(grid.columns.iter().map(head)));
    let table = Element::new("table");
    let detailed = grid.rows.iter().any(|row| row.detail.is_some());
    let table = match (detailed, grid.columns.len() >= WIDE) {
        (true, _) => table.with("class", "detailed wide"),
        (false, true) => table.with("class", "wide"),
        (false, false) => table,
    };
    let rows = grid.rows.iter().map(|own| lines(own, &grid.columns));
    let body = || Element::new("tbody");
    let table = table
        .holding(Element::new("caption").saying(&grid.caption))
        .holding(heads);
    // What is written under a row stays with it.
    let table = if detailed {
        table.holding_all(rows.map(|lines| body().holding_all(lines)))
    } else {
        table.holding(body().holding_all(rows.flatten()))
    };
    Element::new("div")
        .with("class", "scroll")
        .with("tabindex", "0")
        .with("role", "group")
        .with("aria-label", "table")
        .holding(table)
}

/// A cell with the class of its column.
fn of_class(cell: Element, holds: Holds) -> Element {
    match holds {
        Holds::Words => cell,
        Holds::Figures => cell.with("class", "n"),
        Holds::Keys => cell.with("class", "k"),
        Holds::Used => cell.with("class", "n u"),
    }
}

/// A bar beside a figure: the line across it is the limit; what is longer than the bar is cut off.
fn bar((used, verdict): (f64, Verdict)) -> Element {
    let share = (used / BAR * 100.0).clamp(0.0, 100.0);
    let class = match verdict {
        Verdict::Fail => "bar fail",
        Verdict::Review => "bar review",
        Verdict::Pass | Verdict::NotNeeded => "bar",
    };
    let length = format!("width:{}%", decimal((share * 10.0).round() / 10.0));
    Element::new("i")
        .with("class", class)
        .holding(Element::new("b").with("style", length))
}

/// A row, and what is written under it.
fn lines(row: &Row, columns: &[(String, Holds)]) -> Vec<Element> {
    let cell = |(k, text): (usize, &String)| {
        let cell = if k == 0 {
            let head = Element::new("th").with("scope", "row");
            if row.detail.is_some() {
                head.with("rowspan", "2")
            } else {
                head
            }
        } else {
            Element::new("td")
        };
        let holds = columns.get(k).map_or(Holds::Words, |column| column.1);
        let cell = of_class(cell, holds).saying(text);
        match (holds, row.used) {
            (Holds::Used, Some(used)) => cell.holding(bar(used)),
            _ => cell,
        }
    };
    let line = |class: &'static str| match (row.strong, class) {
        (true, "") => Element::new("tr").with("class", "strong"),
        (true, class) => Element::new("tr").with("class", format!("strong {class}")),
        (false, "") => Element::new("tr"),
        (false, class) => Element::new("tr").with("class", class),
    };
    let mut lines = vec![line("").holding_all(row.cells.iter().enumerate().map(cell))];
    lines.extend(row.detail.as_ref().map(|detail| {
        let width = columns.len().saturating_sub(1).max(1).to_string();
        line("detail").holding(Element::new("td").with("colspan", width).saying(detail))
    }));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_string_of_the_style_sheet_never_ends_early() {
        assert_eq!(
            quoted("a\"}</style>\\"),
            "\"a\\22 \\7d \\3c /style\\3e \\5c \""
        );
    }
}
