//! Pages as one file of HTML that needs nothing else: in print one page to a sheet, large type, grey only.

use super::page::{Block, Page, Row, Tone};

/// How it looks; on A4 and on Letter alike.
const STYLE: &str = include_str!("work.css");

/// Pages as HTML.
pub fn pages_html(title: &str, pages: &[Page]) -> String {
    let title = escaped(title);
    let body: String = pages.iter().map(one).collect();
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n{body}</body>\n</html>\n"
    )
}

fn one(page: &Page) -> String {
    let banner = page
        .banner
        .as_ref()
        .map_or_else(String::new, |(words, tone)| {
            format!(
                "<p class=\"banner {}\">{}</p>\n",
                class(*tone),
                escaped(words)
            )
        });
    let lead = page.lead.iter().map(|line| {
        let line = escaped(line);
        ["<p class=\"lead\">", line.as_str(), "</p>\n"].concat()
    });
    let lead: String = lead.collect();
    let blocks: String = page
        .blocks
        .iter()
        .filter(|block| !block.is_empty())
        .map(section)
        .collect();
    format!(
        "<article>\n<header>\n<h1>{}</h1>\n{banner}{lead}</header>\n<div class=\"blocks\">\n{blocks}</div>\n\
         <footer>{}</footer>\n</article>\n",
        escaped(&page.title),
        escaped(&page.foot)
    )
}

const fn class(tone: Tone) -> &'static str {
    match tone {
        Tone::Plain => "plain",
        Tone::Look => "look",
        Tone::Stop => "stop",
    }
}

fn section(block: &Block) -> String {
    let kind = match block {
        Block::Numbers(..) => "numbers",
        Block::Steps(..) => "steps",
        Block::Notes(..) => "notes",
        Block::Table(..) => "table",
        Block::Blanks(..) => "blanks",
    };
    format!(
        "<section class=\"{kind}\">\n<h2>{}</h2>\n{}</section>\n",
        escaped(block.head()),
        body(block)
    )
}

fn body(block: &Block) -> String {
    match block {
        Block::Numbers(_, rows) => wrapped("table", &rows.iter().map(number).collect::<String>()),
        Block::Steps(_, steps) => wrapped("ol", &items(steps)),
        Block::Notes(_, notes) => wrapped("ul", &items(notes)),
        Block::Table(_, heads, rows) => {
            let head = record("th", heads);
            let rows: String = rows.iter().map(|row| record("td", row)).collect();
            wrapped("table", &(head + &rows))
        }
        Block::Blanks(_, blanks) => {
            let row = |[key, what]: &[String; 2]| {
                format!(
                    "<tr><th><code>{}</code></th><td class=\"blank\"></td><td class=\"beside\">{}</td></tr>\n",
                    escaped(key),
                    escaped(what)
                )
            };
            wrapped("table", &blanks.iter().map(row).collect::<String>())
        }
    }
}

fn number(row: &Row) -> String {
    format!(
        "<tr><th>{}</th><td class=\"number\">{}</td><td class=\"beside\">{}</td></tr>\n",
        escaped(&row.what),
        escaped(&row.number),
        escaped(&row.beside)
    )
}

fn record(cell: &str, cells: &[String]) -> String {
    let cells = cells
        .iter()
        .map(|text| format!("<{cell}>{}</{cell}>", escaped(text)));
    format!("<tr>{}</tr>\n", cells.collect::<String>())
}

fn items(lines: &[String]) -> String {
    let item = |line: &String| ["<li>", &escaped(line), "</li>\n"].concat();
    lines.iter().map(item).collect()
}

fn wrapped(tag: &str, inside: &str) -> String {
    format!("<{tag}>\n{inside}</{tag}>\n")
}

/// Text that HTML would read as its own, escaped.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
