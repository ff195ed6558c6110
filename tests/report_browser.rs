//! The calculation package in a real browser: how it lies on screens of three widths, and how it prints.
//!
//! Needs a Chromium and the PDF tools of poppler. Without them the tests say so and are left out, unless `CI` is set: then
//! they fail.
#![cfg(feature = "cli")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// The examples, and a layout with one of everything.
const EXAMPLES: [&str; 5] = ["two-stems", "four-stems", "one-anchor", "fails", EVERYTHING];

/// A layout of the tests: braces, a post, a guard, a swing, a hammock.
const EVERYTHING: &str = "everything";

/// Widths of a telephone, of a sheet of A4 and of a desk (CSS pixels).
const WIDTHS: [u32; 3] = [360, 794, 1280];

/// Sizes of paper (points): width and height.
const PAPERS: [(&str, f64, f64); 2] = [("A4", 595.3, 841.9), ("letter", 612.0, 792.0)];

/// How far the size of a printed page may be off (points): browsers round to whole pixels.
const PAPER_ROUNDING: f64 = 1.5;

/// The fewest millimetres of paper that stay white at every edge.
const LEAST_MARGIN: f64 = 5.0;

/// Measures the page in frames of each width: what is wider than the frame, and what is drawn beyond its edge outside
/// of a box that scrolls.
const MEASURE: &str = r#"
<script>
function measure(frame) {
  const doc = frame.contentDocument, root = doc.documentElement, wide = root.clientWidth;
  const astray = [];
  for (const element of doc.body.querySelectorAll('*')) {
    if (element.closest('svg') && element.tagName !== 'svg') continue;
    if (element.parentElement.closest('.scroll, pre')) continue;
    if (element.getBoundingClientRect().right > wide + 0.5)
      astray.push(element.tagName + '.' + element.className);
  }
  return [frame.width, wide, root.scrollWidth, root.scrollHeight, astray.length, astray[0] || 'none'].join(',');
}
window.addEventListener('load', () => {
  const frames = [...document.querySelectorAll('iframe')];
  document.body.innerHTML = '<pre id="measured">' + frames.map(measure).join(';') + '</pre>';
});
</script>"#;

/// A program of the machine, or none where the test may be left out.
fn tool(names: &[&str]) -> Option<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let found = std::env::split_paths(&path)
        .flat_map(|folder| names.iter().map(move |name| folder.join(name)))
        .find(|path| path.is_file());
    if found.is_none() {
        let said = format!("no {} on this machine", names.join(", no "));
        assert!(
            std::env::var_os("CI").is_none(),
            "{said}: install it, the package must be seen in a browser"
        );
        eprintln!("left out: {said}");
    }
    found
}

/// A browser without a window, in a folder of its own.
struct Browser {
    program: PathBuf,
    folder: TempDir,
}

impl Browser {
    fn find() -> Option<Self> {
        let program = tool(&["chromium", "chromium-browser", "google-chrome"])?;
        Some(Self {
            program,
            folder: TempDir::new().unwrap(),
        })
    }

    fn run(&self, page: &Path, more: &[&str]) -> Output {
        let profile = TempDir::new().unwrap();
        let output = Command::new(&self.program)
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-quic",
                "--disable-dev-shm-usage",
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-sync",
                "--enable-logging=stderr",
                "--v=0",
            ])
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .args(more)
            .arg(format!("file://{}", page.display()))
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", text(&output.stderr));
        output
    }

    /// Writes a page and gives its place.
    fn page(&self, name: &str, html: &str) -> PathBuf {
        let path = self.folder.path().join(name);
        std::fs::write(&path, html).unwrap();
        path
    }
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// What the console of the browser says.
fn console(output: &Output) -> Vec<String> {
    let said = text(&output.stderr);
    let lines = said.lines().filter(|line| line.contains("CONSOLE"));
    lines.map(str::to_owned).collect()
}

/// The package of an example, as the program writes it.
fn package(browser: &Browser, name: &str) -> String {
    let folder = if name == EVERYTHING {
        "tests/common"
    } else {
        "docs/examples"
    };
    let layout = format!("{}/{folder}/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let file = browser.folder.path().join(format!("{name}-package.html"));
    let run = Command::new(env!("CARGO_BIN_EXE_barkline"))
        .args(["report", &layout, "--quiet", "--force", "-o"])
        .arg(&file)
        .output()
        .unwrap();
    assert!(run.status.code().is_some_and(|code| code <= 1), "{run:?}");
    std::fs::read_to_string(file).unwrap()
}

/// A page that shows another in frames of each width, and measures it there.
fn frames(html: &str) -> String {
    let inner = html.replace('&', "&amp;").replace('"', "&quot;");
    let frame = |width: u32| {
        format!(
            "<iframe width=\"{width}\" height=\"900\" style=\"border:0\" srcdoc=\"{inner}\"></iframe>"
        )
    };
    let frames: String = WIDTHS.into_iter().map(frame).collect();
    format!("<!DOCTYPE html><html><body>{MEASURE}{frames}</body></html>")
}

/// Frame, inner width, width of what is in it, its height, how many elements stick out, the first of them.
fn measured(browser: &Browser, html: &str) -> (Vec<[String; 6]>, Vec<String>) {
    let page = browser.page("frames.html", &frames(html));
    let output = browser.run(&page, &["--window-size=1400,1000", "--dump-dom"]);
    let dom = text(&output.stdout);
    let (_, rest) = dom.split_once("<pre id=\"measured\">").expect(&dom);
    let (rows, _) = rest.split_once("</pre>").unwrap();
    let row = |row: &str| -> [String; 6] {
        let cells: Vec<String> = row.split(',').map(str::to_owned).collect();
        cells.try_into().unwrap()
    };
    (rows.split(';').map(row).collect(), console(&output))
}

#[test]
fn no_screen_is_too_narrow_and_the_console_is_silent() {
    let Some(browser) = Browser::find() else {
        return;
    };
    for name in EXAMPLES {
        let html = package(&browser, name);
        let (rows, console) = measured(&browser, &html);
        assert!(console.is_empty(), "{name}: {console:?}");
        assert_eq!(rows.len(), WIDTHS.len());
        for ([frame, inner, scroll, height, astray, first], width) in rows.iter().zip(WIDTHS) {
            assert_eq!(frame, &width.to_string());
            let [inner, scroll, height] =
                [inner, scroll, height].map(|number| number.parse::<u32>().unwrap());
            assert!(height > 5000, "{name}: the page is not there");
            assert!(scroll <= inner, "{name} at {width}: {scroll} > {inner}");
            assert_eq!(astray, "0", "{name} at {width}: {first}");
        }
    }
}

/// The tests above would see what they look for.
#[test]
fn a_page_that_is_too_wide_and_one_that_complains_are_found_out() {
    let Some(browser) = Browser::find() else {
        return;
    };
    let bad = "<!DOCTYPE html><html><body><div style=\"width:900px;height:6000px\">x</div>\
               <script>console.error('oh')</script></body></html>";
    let (rows, console) = measured(&browser, bad);
    assert!(!console.is_empty());
    assert_eq!(rows[0][4], "1");
    assert!(rows[0][2].parse::<u32>().unwrap() > WIDTHS[0]);
    assert_eq!(rows[2][4], "0");
}

/// Prints a page to PDF on a paper.
fn printed(browser: &Browser, name: &str, html: &str, paper: &str) -> PathBuf {
    let sized = html.replacen(
        "</head>",
        &format!("<style>@page{{size:{paper}}}</style></head>"),
        1,
    );
    assert_ne!(sized, html);
    let page = browser.page(&format!("{name}-{paper}.html"), &sized);
    let pdf = page.with_extension("pdf");
    let to = format!("--print-to-pdf={}", pdf.display());
    let output = browser.run(&page, &["--no-pdf-header-footer", &to]);
    assert!(console(&output).is_empty(), "{:?}", console(&output));
    pdf
}

/// A word of a printed page: least and greatest corner (points).
type Word = [f64; 4];

/// Pages of a PDF: their size (points), and where each word stands.
fn pages(tool: &Path, pdf: &Path) -> Vec<([f64; 2], Vec<Word>)> {
    let output = Command::new(tool)
        .arg("-bbox")
        .arg(pdf)
        .arg("-")
        .output()
        .unwrap();
    let attribute = |line: &str, name: &str| -> f64 {
        let (_, rest) = line.split_once(&format!("{name}=\"")).unwrap();
        rest.split('"').next().unwrap().parse().unwrap()
    };
    let mut pages = Vec::new();
    for line in text(&output.stdout).lines().map(str::trim_start) {
        if line.starts_with("<page ") {
            let size = ["width", "height"].map(|name| attribute(line, name));
            pages.push((size, Vec::new()));
        } else if line.starts_with("<word ") {
            let word = ["xMin", "yMin", "xMax", "yMax"].map(|name| attribute(line, name));
            pages.last_mut().unwrap().1.push(word);
        }
    }
    pages
}

fn words(tool: &Path, pdf: &Path) -> Vec<String> {
    let output = Command::new(tool)
        .arg("-layout")
        .arg(pdf)
        .arg("-")
        .output()
        .unwrap();
    let all = text(&output.stdout);
    let pages = all.trim_end_matches('\u{c}').split('\u{c}');
    pages.map(str::to_owned).collect()
}

/// The heading of a sheet's first page: it follows the stamp.
fn heading(page: &str) -> &str {
    let mut lines = page.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.nth(1).unwrap_or_default()
}

#[test]
fn it_prints_on_both_papers_with_every_sheet_identified() {
    let (Some(browser), Some(tool)) = (Browser::find(), tool(&["pdftotext"])) else {
        return;
    };
    for name in ["two-stems", "one-anchor", EVERYTHING] {
        let html = package(&browser, name);
        let anchors = html.matches("id=\"anchor-").count() / 2;
        for (paper, width, height) in PAPERS {
            let pdf = printed(&browser, name, &html, paper);
            let pages = pages(&tool, &pdf);
            assert!(pages.len() >= 9 + anchors, "{name}: {} pages", pages.len());
            let least = LEAST_MARGIN / 25.4 * 72.0;
            for (k, (size, words)) in pages.iter().enumerate() {
                let off = (size[0] - width).abs().max((size[1] - height).abs());
                assert!(off < PAPER_ROUNDING, "{name} {paper}: {size:?}");
                assert!(words.len() > 10, "{name} {paper}: page {} is empty", k + 1);
                for [x, y, right, foot] in words {
                    let inside = *x >= least
                        && *y >= least
                        && *right <= width - least
                        && *foot <= height - least;
                    assert!(inside, "{name} {paper}: page {}, {x} {y} {right}", k + 1);
                }
            }
        }
    }
}

#[test]
fn what_is_printed_says_what_was_written() {
    let (Some(browser), Some(tool)) = (Browser::find(), tool(&["pdftotext"])) else {
        return;
    };
    let html = package(&browser, "two-stems");
    let (_, rest) = html.split_once("layout SHA-256 ").unwrap();
    let stamp = &rest[..16];
    let version = format!("barkline {}", env!("CARGO_PKG_VERSION"));
    let pages = words(&tool, &printed(&browser, "two-stems", &html, "A4"));
    for (k, page) in pages.iter().enumerate() {
        assert!(
            page.contains(stamp) && page.contains(&version),
            "page {}",
            k + 1
        );
        let number = format!("{} / {}", k + 1, pages.len());
        assert!(page.contains(&number), "page {}: {page}", k + 1);
    }
    for anchor in ["SW", "SE", "NW", "NE"] {
        let own = |page: &&String| heading(page).starts_with(&format!("Anchor {anchor} in "));
        let page = pages.iter().find(own).unwrap();
        // Section and diagrams stand on the first page of the anchor.
        for said in [
            "boss in wood",
            "depth from the bark",
            "Bearing pressure p",
            "Moment M",
        ] {
            assert!(page.contains(said), "{anchor}: {said} in {page}");
        }
    }
    let plan = pages
        .iter()
        .find(|page| page.contains("Scale 1:32"))
        .unwrap();
    for said in ["tree south", "beam west", "8 ft", "5 ft", "SW"] {
        assert!(plan.contains(said), "{said} in {plan}");
    }
}

#[test]
fn each_drilling_card_prints_on_a_sheet_of_its_own() {
    let (Some(browser), Some(tool)) = (Browser::find(), tool(&["pdftotext"])) else {
        return;
    };
    for name in ["two-stems", EVERYTHING] {
        let html = package(&browser, name);
        let cards = html.matches("<article ").count();
        for (paper, ..) in PAPERS {
            let pages = words(&tool, &printed(&browser, name, &html, paper));
            let first = pages
                .iter()
                .position(|page| heading(page) == "Drilling cards");
            let sheets: Vec<usize> = (first.unwrap()..pages.len())
                .take_while(|k| heading(&pages[*k]) != "Sources")
                .filter(|k| pages[*k].contains("FIRST: A qualified arborist"))
                .collect();
            assert_eq!(sheets.len(), cards, "{name} {paper}");
            for pair in sheets.windows(2) {
                let [before, after] = [pair[0], pair[1]];
                assert_eq!(after - before, 1, "{name} {paper}: page {}", before + 1);
            }
            for card in &sheets[1..] {
                // Its banner, its last lines, and what it is of.
                for said in [
                    "Anchor ",
                    "STOP",
                    "WRITE DOWN",
                    "Check it as built before anything",
                ] {
                    assert!(pages[*card].contains(said), "{name} {paper}: {said}");
                }
            }
        }
    }
}

/// How far a printed length may be off (points): words are placed by their boxes.
const PRINTED: f64 = 1.0;

/// The middles of the words of a page that are `word` (points).
fn middles(tool: &Path, pdf: &Path, page: usize, word: &str) -> Vec<[f64; 2]> {
    let page = page.to_string();
    let output = Command::new(tool)
        .args(["-bbox", "-f", &page, "-l", &page])
        .arg(pdf)
        .arg("-")
        .output()
        .unwrap();
    let own = format!(">{word}</word>");
    let number = |line: &str, name: &str| -> f64 {
        let (_, rest) = line.split_once(&format!("{name}=\"")).unwrap();
        rest.split('"').next().unwrap().parse().unwrap()
    };
    let all = text(&output.stdout);
    let lines = all.lines().filter(|line| line.ends_with(&own));
    lines
        .map(|line| {
            let x = f64::midpoint(number(line, "xMin"), number(line, "xMax"));
            [x, f64::midpoint(number(line, "yMin"), number(line, "yMax"))]
        })
        .collect()
}

/// A table that is too wide would make the browser shrink every sheet, and every scale would lie.
#[test]
fn drawings_print_at_the_scale_that_they_name_and_an_anchor_takes_two_pages() {
    let (Some(browser), Some(tool)) = (Browser::find(), tool(&["pdftotext"])) else {
        return;
    };
    for name in ["two-stems", EVERYTHING] {
        let html = package(&browser, name);
        for (paper, ..) in PAPERS {
            let pdf = printed(&browser, name, &html, paper);
            let pages = words(&tool, &pdf);
            let at = pages
                .iter()
                .position(|page| page.contains("Plan, north up"))
                .unwrap();
            // The scale bar of the plan: from 0 to 1 ft is its first part.
            let (_, scale) = pages[at].split_once("Scale 1:").unwrap();
            let ratio: f64 = scale.split(' ').next().unwrap().parse().unwrap();
            let ones = middles(&tool, &pdf, at + 1, "1");
            let foot = 12.0 * 72.0 / ratio;
            let zeros = middles(&tool, &pdf, at + 1, "0");
            let fits = |zero: &[f64; 2]| {
                ones.iter().any(|one| {
                    (one[1] - zero[1]).abs() < PRINTED && (one[0] - zero[0] - foot).abs() < PRINTED
                })
            };
            assert!(
                zeros.iter().any(fits),
                "{name} {paper}: {zeros:?} {ones:?} {foot}"
            );
            let starts: Vec<usize> = (0..pages.len())
                .filter(|k| heading(&pages[*k]).starts_with("Anchor "))
                .collect();
            assert_eq!(
                starts.len(),
                html.matches("id=\"anchor-").count() / 2,
                "{name} {paper}"
            );
            for pair in starts.windows(2) {
                assert!(
                    pair[1] - pair[0] <= 2,
                    "{name} {paper}: page {}",
                    pair[0] + 1
                );
            }
        }
    }
}
