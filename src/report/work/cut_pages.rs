//! The shop sheet in words: an overview, a page to each beam, braces, decks, loads on joints.

use super::cutting::{BeamPart, BracePart, CutDocument, DeckCut, MarkPart, SectionPart, What};
use super::marks::{Mark, Rounding, ordered};
use super::page::{Block, Page, Row, Tone};
use crate::checks::Verdict;
use crate::model::{Carries, Seat};
use crate::units::kind::Force;
use crate::units::si::STANDARD_GRAVITY;
use crate::units::{Show, print, si};

/// What the sheet cannot know.
const NOTES: [&str; 4] = [
    "Marks are from the first end of each beam, to the centre of what is there.",
    "Brackets, washers and hangers are not drawn here: take their sizes off where they stand between faces.",
    "Measure between the anchors as drilled before cutting a beam: an anchor that was missed moves its mark.",
    "Weights are those of the calculation; fresh or treated lumber may weigh half as much again.",
];

/// The shop sheet as pages.
pub fn cut_pages(document: &CutDocument, show: Show) -> Vec<Page> {
    let mut pages = vec![overview(document, show)];
    pages.extend(
        document
            .beams
            .iter()
            .map(|beam| beam_page(beam, document, show)),
    );
    if !document.braces.is_empty() {
        pages.push(braces(document, show));
    }
    pages.extend(
        document
            .decks
            .iter()
            .map(|deck| deck_page(deck, document, show)),
    );
    pages.push(joints(document, show));
    pages
}

fn page(document: &CutDocument, title: String, lead: Vec<String>, blocks: Vec<Block>) -> Page {
    let hash: String = document.layout_sha256.chars().take(12).collect();
    Page {
        title,
        banner: None,
        lead,
        blocks,
        foot: format!("barkline {}; layout SHA-256 {hash}…", document.program),
    }
}

fn pair([own, other]: [String; 2]) -> String {
    format!("{own} ({other})")
}

fn heads<const N: usize>(heads: [&str; N]) -> Vec<String> {
    heads.map(str::to_owned).to_vec()
}

fn force(newtons: f64, show: Show) -> String {
    print::<Force>(si::newtons(newtons), show)
}

/// A weight as one lifts it.
fn weight(newtons: f64, show: Show) -> [String; 2] {
    ordered(
        show,
        format!("{:.0} lb", newtons / crate::units::us::POUND_FORCE),
        format!("{:.0} kg", newtons / STANDARD_GRAVITY),
    )
}

/// Width and depth of a section, the unit once.
fn section(section: &SectionPart, show: Show) -> [String; 2] {
    let inch = section.width.inch();
    let width = inch.trim_end_matches(" in");
    ordered(
        show,
        format!("{width} × {}", section.depth.inch()),
        format!("{} × {}", section.width.mark_mm, section.depth.metric()),
    )
}

fn overview(document: &CutDocument, show: Show) -> Page {
    let rows = document.lifts.iter().map(|lift| {
        let [own, other] = weight(lift.weight_n, show);
        vec![lift.part.clone(), lift.count.to_string(), own, other]
    });
    let failing: Vec<&str> = document
        .anchors
        .iter()
        .filter(|anchor| anchor.verdict != Verdict::Pass)
        .map(|anchor| anchor.anchor.as_str())
        .collect();
    let mut own = page(
        document,
        format!("Shop sheet: {}", document.title),
        Vec::new(),
        vec![
            Block::Table(
                "To lift",
                heads(["part", "pieces", "each", ""]),
                rows.collect(),
            ),
            Block::Notes("Before cutting", NOTES.map(str::to_owned).to_vec()),
            Block::Notes("Cautions", document.cautions.clone()),
            Block::Notes(
                "Of this layout",
                document
                    .diagnostics
                    .iter()
                    .map(|finding| finding.message.clone())
                    .collect(),
            ),
        ],
    );
    if !failing.is_empty() {
        let words = format!("do not cut yet: {} not passed", failing.join(", "));
        own.banner = Some((words, Tone::Stop));
    }
    own
}

fn beam_page(beam: &BeamPart, document: &CutDocument, show: Show) -> Page {
    let [east, north] = beam
        .first_end_m
        .map(|metres| Mark::new(si::metres(metres), Rounding::Nearest).long(show));
    let numbers = vec![
        Row::both("Length", beam.length.long(show)),
        Row::both("Section, width × depth", section(&beam.section, show)),
        beam.underside.map_or_else(
            || Row::one("Underside over the site's zero", "not given", ""),
            |level| Row::both("Underside over the site's zero", level.long(show)),
        ),
        Row::both("Weight", weight(beam.weight_n, show)),
        Row::both("First end, east", east),
        Row::both("First end, north", north),
        Row::one(
            "Runs toward",
            format!("{:.0}°", beam.runs_deg),
            "from north",
        ),
    ];
    let marks = beam.marks.iter().map(|mark| {
        let [own, other] = mark.at.long(show);
        vec![own, other, there(mark), seat(mark, show)]
    });
    let joists = beam.joists.iter().enumerate().map(|(at, joist)| {
        let [own, other] = joist.long(show);
        vec![(at + 1).to_string(), own, other]
    });
    page(
        document,
        format!("Beam {}", beam.beam),
        Vec::new(),
        vec![
            Block::Table(
                "Marks from the first end",
                heads(["at", "", "what", "seat"]),
                marks.collect(),
            ),
            Block::Numbers("The stick", numbers),
            Block::Table(
                "Joists land on it",
                heads(["joist", "at", ""]),
                joists.collect(),
            ),
        ],
    )
}

fn there(mark: &MarkPart) -> String {
    let part = &mark.part;
    match mark.what {
        What::OnAnchor if mark.seat == Some(Seat::Hung) => format!("hangs from anchor {part}"),
        What::OnAnchor => format!("on anchor {part}"),
        What::OnPost => format!("on post {part}"),
        What::OnBeam => format!("on top of beam {part}"),
        What::FlushWithBeam => format!("flush with beam {part}"),
        What::Carries => format!("carries beam {part}"),
        What::Brace => format!("brace {part}"),
        What::Swing => format!("swing {part}"),
        What::Hammock => format!("hammock {part}"),
    }
}

fn seat(mark: &MarkPart, show: Show) -> String {
    let mut words = Vec::new();
    match mark.seat {
        Some(Seat::Fixed) => words.push("fixed".to_owned()),
        Some(Seat::Sliding) => words.push(mark.travel.map_or_else(
            || "sliding".to_owned(),
            |travel| format!("sliding, {} travel", travel.both(show)[0]),
        )),
        Some(Seat::Hung) | None => {}
    }
    words.extend(
        mark.packing
            .map(|packing| format!("PACK {}", pair(packing.both(show)))),
    );
    words.extend(
        mark.hanger
            .map(|hanger| format!("hanger {}", pair(hanger.long(show)))),
    );
    if !mark.levels_known {
        words.push("packing not known: no levels".to_owned());
    }
    if mark.held_down == Some(true) {
        words.push("tied down".to_owned());
    }
    words.join(", ")
}

fn braces(document: &CutDocument, show: Show) -> Page {
    let allowance = pair(document.brace_allowance.both(show));
    let lead = format!(
        "Cut lengths are {allowance} longer than between the faces of bar and beam: fit them, then trim."
    );
    let blocks = document
        .braces
        .iter()
        .flat_map(|brace| brace_blocks(brace, show));
    page(document, "Braces".to_owned(), vec![lead], blocks.collect())
}

fn brace_blocks(brace: &BracePart, show: Show) -> [Block; 2] {
    let carries = match brace.carries {
        Carries::Push => "push only",
        Carries::Pull => "pull only",
        Carries::Both => "push and pull",
    };
    let name = format!(
        "Brace {}: anchor {} to beam {}",
        brace.brace, brace.anchor, brace.beam
    );
    let mut rows = vec![
        Row::both("Cut to", brace.cut_length.long(show)),
        Row::both("Between faces", brace.face_length.long(show)),
        Row::both("Axis to axis", brace.axis_length.long(show)),
        Row::one(
            "Slope from level",
            format!("{:.1}°", brace.from_level_deg),
            format!("{:.1}° from plumb", brace.from_plumb_deg),
        ),
        Row::one(
            "Saw at the beam, level cut",
            format!("{:.1}°", brace.saw_at_beam_deg),
            "from square",
        ),
        Row::one(
            "Saw at the anchor, plumb cut",
            format!("{:.1}°", brace.saw_at_anchor_deg),
            "from square",
        ),
    ];
    if brace.skew_deg > 0.5 {
        rows.push(Row::one(
            "Out of the line of the beam",
            format!("{:.1}°", brace.skew_deg),
            "in plan: bevel both ends",
        ));
    }
    rows.extend([
        Row::both("On the beam, from its first end", brace.station.long(show)),
        Row::both("Section, width × depth", section(&brace.section, show)),
        Row::one("Carries", carries, ""),
        Row::both("Weight", weight(brace.weight_n, show)),
    ]);
    [
        Block::Notes("Brace", vec![name]),
        Block::Numbers("Cut", rows),
    ]
}

fn deck_page(deck: &DeckCut, document: &CutDocument, show: Show) -> Page {
    let list = deck.list.iter().map(|stick| {
        let what = if stick.header { "header" } else { "joist" };
        let [length, other] = stick.length.long(show);
        vec![
            stick.count.to_string(),
            what.to_owned(),
            length,
            other,
            weight(stick.weight_n, show)[0].clone(),
        ]
    });
    let lay = deck.joists.iter().map(|joist| {
        let seats = joist
            .seats
            .iter()
            .map(|seat| format!("{} at {}", seat.beam, seat.along.both(show)[0]));
        let cut = match joist.cut {
            [false, false] => "",
            [true, true] => "both ends at a hole",
            _ => "one end at a hole",
        };
        vec![
            joist.number.to_string(),
            joist.offset.long(show)[0].clone(),
            joist.length.long(show)[0].clone(),
            seats.collect::<Vec<_>>().join(", "),
            cut.to_owned(),
        ]
    });
    let spacing = pair(deck.spacing.both(show));
    page(
        document,
        format!("Deck {}", deck.deck),
        vec![format!(
            "Joists and headers {}; spacing {spacing}, centre to centre.",
            pair(section(&deck.section, show))
        )],
        vec![
            Block::Table(
                "Cut",
                heads(["pieces", "what", "length", "", "each"]),
                list.collect(),
            ),
            Block::Table(
                "Lay, in order across the deck",
                heads([
                    "joist",
                    "from the first",
                    "length",
                    "beams, from its first end",
                    "",
                ]),
                lay.collect(),
            ),
        ],
    )
}

fn joints(document: &CutDocument, show: Show) -> Page {
    let anchors = document.anchors.iter().map(|anchor| {
        vec![
            anchor.anchor.clone(),
            force(anchor.down_n, show),
            force(anchor.side_n, show),
            force(anchor.out_n, show),
            anchor.combination.clone(),
        ]
    });
    let joints = document.joints.iter().map(|joint| {
        vec![
            joint.joint.clone(),
            force(joint.most_n, show),
            force(joint.least_n, show),
            joint.most_under.clone(),
        ]
    });
    page(
        document,
        "Loads at every joint".to_owned(),
        vec![
            "Below zero a joint acts the other way: a seat lifts, a brace pulls where it pushed."
                .to_owned(),
        ],
        vec![
            Block::Table(
                "Anchors, in the combination that governs",
                heads(["anchor", "down", "side", "out", "under"]),
                anchors.collect(),
            ),
            Block::Table(
                "Joints of members",
                heads(["joint", "most", "least", "most under"]),
                joints.collect(),
            ),
        ],
    )
}
