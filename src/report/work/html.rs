//! Pages as HTML that needs nothing else: in print one page to a sheet, large type, grey only. They stand in a file of
//! their own, or in the calculation package.

use super::super::markup::Element;
use super::page::{Block, Page, Row, Tone};

/// How a page looks, wherever it stands; on A4 and on Letter alike.
pub(in crate::report) const STYLE: &str = include_str!("work.css");

/// What a file of pages alone needs besides.
const ALONE: &str = "@page { size: auto; margin: 8mm 10mm; }\n:root { color: #111; background: #fff; }\nbody { margin: 0; }\n";

/// The elements of the headings of a page and of its parts, by where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) struct Headings {
    page: &'static str,
    part: &'static str,
}

impl Headings {
    /// In a file of its own.
    const ALONE: Self = Self {
        page: "h1",
        part: "h2",
    };
    /// In a section of the package.
    pub(in crate::report) const IN_SECTION: Self = Self {
        page: "h3",
        part: "h4",
    };
}

/// Pages as HTML.
pub fn pages_html(title: &str, pages: &[Page]) -> String {
    let viewport = Element::new("meta")
        .with("name", "viewport")
        .with("content", "width=device-width, initial-scale=1");
    let head = Element::new("head")
        .holding(Element::new("meta").with("charset", "utf-8"))
        .holding(viewport)
        .holding(Element::new("title").saying(title))
        .holding(Element::new("style").holding_markup([ALONE, STYLE].concat()));
    let pages = pages.iter().map(|page| article(page, Headings::ALONE));
    let body = Element::new("body").holding_all(pages);
    let html = Element::new("html")
        .with("lang", "en")
        .holding(head)
        .holding(body);
    format!("<!DOCTYPE html>\n{}\n", html.write())
}

/// A page as an element.
pub(in crate::report) fn article(page: &Page, headings: Headings) -> Element {
    let banner = page.banner.as_ref().map(|(words, tone)| {
        Element::new("p")
            .with("class", class(*tone))
            .saying(words.as_str())
    });
    let lead = |line: &String| {
        Element::new("p")
            .with("class", "lead")
            .saying(line.as_str())
    };
    let header = Element::new("header")
        .holding(Element::new(headings.page).saying(page.title.as_str()))
        .holding_all(banner)
        .holding_all(page.lead.iter().map(lead));
    let blocks = page.blocks.iter().filter(|block| !block.is_empty());
    let blocks = Element::new("div")
        .with("class", "blocks")
        .holding_all(blocks.map(|block| part(block, headings)));
    Element::new("article")
        .with("class", "work")
        .holding(header)
        .holding(blocks)
        .holding(Element::new("footer").saying(page.foot.as_str()))
}

const fn class(tone: Tone) -> &'static str {
    match tone {
        Tone::Plain => "banner plain",
        Tone::Look => "banner look",
        Tone::Stop => "banner stop",
    }
}

/// A part of a page: the heading of a table is its caption too.
fn part(block: &Block, headings: Headings) -> Element {
    let heading = Element::new(headings.part).saying(block.head());
    let table = |rows: Vec<Element>| {
        Element::new("table")
            .holding(Element::new("caption").holding(heading.clone()))
            .holding(Element::new("tbody").holding_all(rows))
    };
    let own = |kind| Element::new("section").with("class", kind);
    match block {
        Block::Numbers(_, rows) => own("numbers").holding(table(rows.iter().map(number).collect())),
        Block::Steps(_, steps) => own("steps").holding(heading).holding(items("ol", steps)),
        Block::Notes(_, notes) => own("notes").holding(heading).holding(items("ul", notes)),
        Block::Table(_, heads, rows) => {
            let head = Element::new("tr").holding_all(heads.iter().map(|head| of(head, "col")));
            own("table").holding(table(
                std::iter::once(head)
                    .chain(rows.iter().map(|row| record(row)))
                    .collect(),
            ))
        }
        Block::Blanks(_, blanks) => {
            own("blanks").holding(table(blanks.iter().map(blank).collect()))
        }
    }
}

/// A cell that heads a row or a column.
fn of(text: &str, scope: &'static str) -> Element {
    Element::new("th").with("scope", scope).saying(text)
}

fn cell(text: &str) -> Element {
    Element::new("td").saying(text)
}

fn number(row: &Row) -> Element {
    Element::new("tr")
        .holding(of(&row.what, "row"))
        .holding(cell(&row.number))
        .holding(cell(&row.beside))
}

fn blank([key, what]: &[String; 2]) -> Element {
    let key = Element::new("code").saying(key.as_str());
    Element::new("tr")
        .holding(Element::new("th").with("scope", "row").holding(key))
        .holding(cell(""))
        .holding(cell(what))
}

fn record(cells: &[String]) -> Element {
    Element::new("tr").holding_all(cells.iter().map(|text| cell(text)))
}

fn items(list: &'static str, lines: &[String]) -> Element {
    let item = |line: &String| Element::new("li").saying(line.as_str());
    Element::new(list).holding_all(lines.iter().map(item))
}
