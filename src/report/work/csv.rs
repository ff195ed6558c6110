//! Cards and shop sheet as rows, for spreadsheets.

use super::cutting::CutDocument;
use super::drilling::{Card, DrillDocument};
use crate::report::{Cell, Column, Quantity, Sheet};

fn length(metres: f64) -> Cell {
    Cell::Value(metres, Quantity::Length)
}

fn maybe(metres: Option<f64>) -> Cell {
    Cell::value(metres, Quantity::Length)
}

/// The cards as rows, one for each anchor; depths are exact, without rounding to a mark.
pub fn drill_sheet(document: &DrillDocument) -> Sheet {
    let of = |key, head| Column::of(key, head, Quantity::Length);
    Sheet {
        schema: "barkline/drill-rows/1",
        title: document.title.clone(),
        columns: vec![
            Column::words("anchor", "anchor"),
            Column::words("tree", "tree"),
            Column::words("verdict", "verdict"),
            of("level", "level"),
            Column::numbers("faces_deg", "faces (deg)"),
            of("round_bark", "round the bark"),
            Column::words("string_to", "string to"),
            Column::words("clockwise", "clockwise"),
            of("bark", "bark"),
            of("pilot_least", "pilot, least"),
            of("pilot_most", "pilot, most"),
            of("pilot_sound", "pilot from sound wood"),
            of("pilot_bark", "pilot from bark"),
            of("counterbore", "counterbore"),
            of("counterbore_sound", "counterbore from sound wood"),
            of("counterbore_bark", "counterbore from bark"),
            of("left_behind", "left behind"),
            Column::of("torque_stop", "stop at", Quantity::Moment),
            of("arm", "arm"),
            of("arm_most", "longest arm"),
            of("boss_least", "least boss"),
            of("bark_most", "thickest bark"),
            Column::numbers("tilt_up_deg", "tilt up (deg)"),
            Column::numbers("tilt_down_deg", "tilt down (deg)"),
        ],
        rows: document.cards.iter().map(card).collect(),
        sources: Vec::new(),
        cautions: document.cautions.clone(),
    }
}

fn card(card: &Card) -> Vec<Cell> {
    let pilot = card.pilots.first();
    let bore = card.counterbore.as_ref();
    let miss = &card.may_miss;
    vec![
        Cell::text(&card.anchor),
        Cell::text(&card.tree),
        Cell::text(card.verdict.word()),
        maybe(card.level.map(|level| level.exact_m)),
        Cell::Number(card.faces_deg),
        length(card.around.distance.exact_m),
        Cell::maybe_text(card.around.string_to.as_ref()),
        Cell::Flag(card.around.clockwise),
        length(card.bark.exact_m),
        maybe(pilot.map(|pilot| pilot.bit.least_m)),
        maybe(pilot.map(|pilot| pilot.bit.most_m)),
        maybe(pilot.map(|pilot| pilot.depth.from_sound.exact_m)),
        maybe(pilot.map(|pilot| pilot.depth.from_bark.exact_m)),
        maybe(bore.map(|bore| bore.boss_m)),
        maybe(bore.map(|bore| bore.depth.from_sound.exact_m)),
        maybe(bore.map(|bore| bore.depth.from_bark.exact_m)),
        length(card.left_behind.exact_m),
        Cell::value(card.torque.map(|torque| torque.stop_n_m), Quantity::Moment),
        length(card.arm.exact_m),
        maybe(miss.arm.passes_m),
        maybe(miss.boss_in_wood.passes_m),
        maybe(miss.bark.passes_m),
        Cell::number(miss.tilt_up.passes_deg),
        Cell::number(miss.tilt_down.passes_deg),
    ]
}

/// The shop sheet as rows: every stick, and every mark on it.
pub fn cut_sheet(document: &CutDocument) -> Sheet {
    let mut rows = Vec::new();
    for beam in &document.beams {
        let size = [beam.section.width.exact_m, beam.section.depth.exact_m];
        rows.push(stick(
            ("beam", &beam.beam),
            1,
            beam.length.exact_m,
            size,
            beam.weight_n,
        ));
        for mark in &beam.marks {
            rows.push(vec![
                Cell::Word("mark"),
                Cell::text(&beam.beam),
                Cell::text(&mark.part),
                Cell::Blank,
                length(mark.at.exact_m),
                Cell::Blank,
                Cell::Blank,
                Cell::Blank,
                maybe(mark.packing.map(|packing| packing.exact_m)),
                Cell::Blank,
            ]);
        }
    }
    for brace in &document.braces {
        let size = [brace.section.width.exact_m, brace.section.depth.exact_m];
        let mut row = stick(
            ("brace", &brace.brace),
            1,
            brace.face_length.exact_m,
            size,
            brace.weight_n,
        );
        if let Some(slope) = row.last_mut() {
            *slope = Cell::Number(brace.from_level_deg);
        }
        rows.push(row);
    }
    for deck in &document.decks {
        let size = [deck.section.width.exact_m, deck.section.depth.exact_m];
        for piece in &deck.list {
            let kind = if piece.header { "header" } else { "joist" };
            rows.push(stick(
                (kind, &deck.deck),
                piece.count,
                piece.length.exact_m,
                size,
                piece.weight_n,
            ));
        }
    }
    let of = |key, head| Column::of(key, head, Quantity::Length);
    Sheet {
        schema: "barkline/cut-rows/1",
        title: document.title.clone(),
        columns: vec![
            Column::words("kind", "kind"),
            Column::words("part", "part"),
            Column::words("at_part", "at"),
            Column::numbers("count", "count"),
            of("length", "length, or mark from the first end"),
            of("width", "width"),
            of("depth", "depth"),
            Column::of("weight", "weight of one", Quantity::Force),
            of("packing", "packing"),
            Column::numbers("slope_deg", "slope from level (deg)"),
        ],
        rows,
        sources: Vec::new(),
        cautions: document.cautions.clone(),
    }
}

fn stick(
    (kind, part): (&'static str, &str),
    count: usize,
    metres: f64,
    [width, depth]: [f64; 2],
    newtons: f64,
) -> Vec<Cell> {
    vec![
        Cell::Word(kind),
        Cell::text(part),
        Cell::Blank,
        Cell::Number(count as f64),
        length(metres),
        length(width),
        length(depth),
        Cell::Value(newtons, Quantity::Force),
        Cell::Blank,
        Cell::Blank,
    ]
}
