//! The drilling cards in words: a first page with the tools and the cautions, then one page to a card.

use super::drilling::{Card, Density, Depth, DrillDocument, Guide, Room, Tool, ToolKind, Turn};
use super::marks::{Mark, Rounding, ordered};
use super::page::{Block, Page, Row, Tone};
use crate::checks::Verdict;
use crate::model::Seat;
use crate::units::{Show, si, us};

/// Tools that every card needs.
const ALWAYS: &str = "Also: drill with a side handle or stand; spirit level and angle finder; water level or laser; string, \
                      tape and rule; probe for bark and for sound wood; tape or paint for the marks; wax; brush.";

/// An anchor this near to the string line is on it (m): half a millimetre.
const ON_THE_LINE: f64 = 5e-4;

/// The cards as pages.
pub fn drill_pages(document: &DrillDocument, show: Show) -> Vec<Page> {
    let cards = document.cards.iter();
    std::iter::once(overview(document, show))
        .chain(cards.map(|card| page(card, document, show)))
        .collect()
}

fn foot(document: &DrillDocument) -> String {
    let hash: String = document.layout_sha256.chars().take(12).collect();
    format!("barkline {}; layout SHA-256 {hash}…", document.program)
}

fn overview(document: &DrillDocument, show: Show) -> Page {
    let withheld = document.withheld.iter().map(|anchor| {
        let why = anchor.governing.unwrap_or("no check");
        format!(
            "{} fails in {why}: its card is withheld. Change the layout; `barkline drill LAYOUT --despite` prints it all the same.",
            anchor.anchor
        )
    });
    let cards = document.cards.iter().map(|card| {
        let used = card.utilization.map_or_else(String::new, percent);
        vec![
            card.anchor.clone(),
            card.tree.clone(),
            card.verdict.word().to_owned(),
            used,
        ]
    });
    let heads = ["anchor", "tree", "verdict", "used"].map(str::to_owned);
    let notes = document
        .diagnostics
        .iter()
        .map(|finding| finding.message.clone());
    let mut tools: Vec<String> = document
        .tools
        .iter()
        .map(|tool| words(tool, show))
        .collect();
    tools.push(ALWAYS.to_owned());
    Page {
        title: format!("Drilling: {}", document.title),
        banner: Some(banner(document.verdict)),
        lead: vec![format!("FIRST: {}", super::drilling::FIRST)],
        blocks: vec![
            Block::Notes("Without a card", withheld.collect()),
            Block::Table("Cards", heads.to_vec(), cards.collect()),
            Block::Notes("Bits and tools", tools),
            Block::Notes("Cautions", document.cautions.clone()),
            Block::Notes("Of this layout", notes.collect()),
        ],
        foot: foot(document),
    }
}

fn percent(share: f64) -> String {
    format!("{:.0} %", (share * 100.0 - 1e-6).ceil() + 0.0)
}

fn banner(verdict: Verdict) -> (String, Tone) {
    match verdict {
        Verdict::Pass => ("PASSES".to_owned(), Tone::Plain),
        Verdict::NotNeeded | Verdict::Review => ("REVIEW first".to_owned(), Tone::Look),
        Verdict::Fail => ("FAILS: do not drill".to_owned(), Tone::Stop),
    }
}

/// The banner of a card: a hole that passes may still move while the platform does not.
fn card_banner(card: &Card, document: &DrillDocument) -> (String, Tone) {
    match (card.verdict, document.verdict) {
        (Verdict::Pass, Verdict::Fail) => (
            "passes, but the platform FAILS: wait".to_owned(),
            Tone::Look,
        ),
        (Verdict::Pass, Verdict::NotNeeded | Verdict::Review) => {
            ("passes, the platform: REVIEW first".to_owned(), Tone::Look)
        }
        (own, _) => banner(own),
    }
}

fn words(tool: &Tool, show: Show) -> String {
    let bit = tool.bit.as_ref().map_or_else(String::new, |bit| {
        let [own, other] = bit.both(show);
        format!("{own} ({other})")
    });
    let reach = tool.reach.map_or_else(String::new, |reach| {
        format!(", to reach {}", pair(reach.both(show)))
    });
    let text = match tool.kind {
        ToolKind::PilotBit => format!("Pilot bit {bit}{reach}"),
        ToolKind::CounterboreBit => {
            let guide = tool.guide.map_or_else(String::new, |guide| {
                let [own, other] = guide_words(guide, show);
                format!(", guide {own} ({other})")
            });
            format!("Counterbore bit {bit}{guide}{reach}")
        }
        ToolKind::TorqueWrench => {
            let torque = tool.torque_n_m.unwrap_or(0.0);
            format!("Torque wrench to {}", moment(torque, show)[0])
        }
    };
    format!("{text}: {}", tool.anchors.join(", "))
}

fn pair([own, other]: [String; 2]) -> String {
    format!("{own} ({other})")
}

fn guide_words(guide: Guide, show: Show) -> [String; 2] {
    ordered(
        show,
        format!("{:.3} in", guide.guide_in),
        format!("{:.1} mm", guide.guide_mm),
    )
}

fn moment(newton_metres: f64, show: Show) -> [String; 2] {
    let pound_feet = newton_metres / us::pound_feet(1.0).value;
    ordered(
        show,
        format!("{pound_feet:.0} lbf·ft"),
        format!("{newton_metres:.0} N·m"),
    )
}

fn page(card: &Card, document: &DrillDocument, show: Show) -> Page {
    let mut lead = vec![
        format!("FIRST: {} Signed: __________", card.first),
        format!(
            "{}. Tree {}, {}. Anchor size {}.",
            document.title, card.tree, card.wood, card.size
        ),
    ];
    lead.extend(card.rod.as_ref().map(|other| {
        format!("Through-rod with {other}: one hole from bark to bark; both cards hold for their own end.")
    }));
    lead.extend(card.governing.map(|governing| {
        let used = card.utilization.map_or_else(String::new, |used| {
            format!("; {} of what it may carry is used", percent(used))
        });
        format!("Governed by {governing}{used}.")
    }));
    Page {
        title: format!("Anchor {}", card.anchor),
        banner: Some(card_banner(card, document)),
        lead,
        blocks: vec![
            depths(card, show),
            Block::Numbers("Where", place(card, show)),
            Block::Numbers("Bits", bits(card, show)),
            Block::Numbers("Wood", wood(card, show)),
            Block::Steps("Order", steps(card, show)),
            Block::Numbers("Driving, an estimate", torque(card, show)),
            Block::Notes("Stop", card.stop_rules.map(str::to_owned).to_vec()),
            Block::Numbers("Seat", seats(card, show)),
            Block::Numbers("You may miss by, one at a time", miss(card, show)),
            Block::Blanks("Write down: keys of [[as_built]]", blanks(card)),
            Block::Notes("Cautions", card.cautions.map(str::to_owned).to_vec()),
        ],
        foot: foot(document),
    }
}

fn place(card: &Card, show: Show) -> Vec<Row> {
    let level = card.level.map_or_else(
        || Row::one("Height over zero", "not given", "set it by its beam"),
        |level| Row::both("Height over zero", level.long(show)),
    );
    let tolerance = card.level_tolerance.both(show);
    let around = &card.around;
    let from = match &around.string_to {
        Some(tree) => (
            tree.as_str(),
            format!("its centre, {:.0}° from north", around.string_deg),
        ),
        None => ("north", "no other tree".to_owned()),
    };
    let hand = match (around.distance.exact_m < ON_THE_LINE, around.clockwise) {
        (true, _) => "on the line",
        (false, true) => "to your LEFT",
        (false, false) => "to your RIGHT",
    };
    let [distance, other] = around.distance.both(show);
    vec![
        level,
        Row::one(
            "Same on its beam",
            format!("± {}", tolerance[0]),
            tolerance[1].clone(),
        ),
        Row::one(
            "Points toward",
            format!("{:.0}°", card.faces_deg),
            format!("from north, ± {:.0}°", card.faces_tolerance_deg),
        ),
        Row::one("Round the bark", distance, format!("{other}, {hand}")),
        Row::one("String line to", from.0, from.1),
        Row::one(
            "Axis of the hole",
            "level",
            format!("± {:.1}°, through the pith", card.axis_tolerance_deg),
        ),
    ]
}

fn bits(card: &Card, show: Show) -> Vec<Row> {
    let mut rows: Vec<Row> = card
        .pilots
        .iter()
        .map(|pilot| {
            let density = match pilot.density {
                Density::Light => "light",
                Density::Medium => "medium",
                Density::Dense => "dense",
            };
            Row::both(format!("Pilot bit, {density} wood"), pilot.bit.both(show))
        })
        .collect();
    if let Some(counterbore) = &card.counterbore {
        rows.push(Row::both("Counterbore bit", counterbore.bit.both(show)));
    }
    if let Some(guide) = card.guide {
        rows.push(Row::both(
            "Guide on it, in the pilot",
            guide_words(guide, show),
        ));
    }
    rows
}

/// The marks of both bits, from every face.
fn depths(card: &Card, show: Show) -> Block {
    let soft = card.soft.exact_m > 0.0;
    let mut heads = vec!["mark on the bit".to_owned(), "from the bark".to_owned()];
    if soft {
        heads.push("from the wood surface".to_owned());
    }
    heads.push(
        if soft {
            "from sound wood"
        } else {
            "from sound wood, bark off"
        }
        .to_owned(),
    );
    let row = |what: &str, depth: &Depth| {
        let mut cells = vec![what.to_owned(), pair(depth.from_bark.both(show))];
        if soft {
            cells.push(pair(depth.from_wood.both(show)));
        }
        cells.push(pair(depth.from_sound.both(show)));
        cells
    };
    let mut rows = Vec::new();
    for pilot in &card.pilots {
        rows.push(row("Pilot", &pilot.depth));
        rows.push(row("Pilot, at the deepest", &pilot.deepest));
    }
    if let Some(counterbore) = &card.counterbore {
        rows.push(row("Counterbore", &counterbore.depth));
    }
    Block::Table("Depths", heads, rows)
}

fn wood(card: &Card, show: Show) -> Vec<Row> {
    let mut rows = vec![Row::both("Bark, as drawn", card.bark.both(show))];
    if card.soft.exact_m > 0.0 {
        rows.push(Row::both(
            "Soft wood under it, as drawn",
            card.soft.both(show),
        ));
    }
    rows.push(Row::both(
        "Sound wood needed on axis",
        card.sound_needed.both(show),
    ));
    let [there, other] = card.sound_there.both(show);
    let short = card.sound_there.exact_m < card.sound_needed.exact_m;
    let beside = if short {
        format!("{other}: LESS than needed")
    } else {
        other
    };
    rows.push(Row::one("Sound wood as drawn", there, beside));
    rows.push(if card.beyond_sound {
        Row::one(
            "Left behind the hole",
            "none",
            "the bar is LONGER than the sound wood: do not drill",
        )
    } else {
        Row::both("Left behind the hole", card.left_behind.both(show))
    });
    rows
}

fn steps(card: &Card, show: Show) -> Vec<String> {
    let level = format!("level within {:.1}°", card.axis_tolerance_deg);
    let mut steps = vec![
        "Mark the height and the place on the bark, left and right as you face the stem; check the level against the other anchors.".to_owned(),
        "Probe bark and sound wood at the place. Bark differs from the drawing: measure from the sound wood.".to_owned(),
        "Mark every bit at its depth before drilling, from its cutting edge, not from its lead screw.".to_owned(),
    ];
    for pilot in &card.pilots {
        let [bit, _] = pilot.bit.both(show);
        let [depth, _] = pilot.depth.from_bark.both(show);
        steps.push(format!(
            "PILOT: {bit} bit, to the mark: {depth} from the bark. Look at the level at the start and often on the way: {level}. Clear the chips."
        ));
    }
    if let (Some(counterbore), Some(_)) = (&card.counterbore, card.guide) {
        let [bit, _] = counterbore.bit.both(show);
        let [depth, _] = counterbore.depth.from_bark.both(show);
        steps.push(format!(
            "COUNTERBORE: {bit} bit with its guide in the pilot, to the mark: {depth} from the bark, never less. Look at the level again."
        ));
    }
    steps.extend([
        "Brush both holes out; measure both depths from sound wood.".to_owned(),
        "Wax the thread. Drive the bar slowly until the boss sits on the bottom of its counterbore all round.".to_owned(),
        "Measure, write down, check the anchor as built.".to_owned(),
    ]);
    steps
}

fn torque(card: &Card, show: Show) -> Vec<Row> {
    let Some(torque) = &card.torque else {
        return Vec::new();
    };
    let [middle, other] = moment(torque.middle_n_m, show);
    let [least, _] = moment(torque.least_n_m, show);
    let [most, _] = moment(torque.most_n_m, show);
    let [stop, also] = moment(torque.stop_n_m, show);
    let [bar, _] = moment(torque.yield_n_m, show);
    let mut rows = vec![
        Row::one("Expect", middle, format!("({other}); {least} to {most}")),
        Row::one(
            "Stop at",
            stop,
            format!("({also}); the bar yields at {bar}"),
        ),
    ];
    if torque.most_n_m > torque.stop_n_m {
        rows.push(Row::one("It may twist", "wax it", "open the pilot"));
    }
    rows
}

fn seats(card: &Card, show: Show) -> Vec<Row> {
    let mut rows = vec![
        Row::both("Load line from the bark", card.arm_from_bark.both(show)),
        Row::both("… from the wood surface", card.arm.both(show)),
    ];
    let end = card.arm_from_boss;
    let size = Mark {
        exact_m: end.exact_m.abs(),
        mark_in: end.mark_in.abs(),
        mark_mm: end.mark_mm.abs(),
    };
    rows.push(Row::both(
        if end.exact_m < 0.0 {
            "… on the boss, from its end"
        } else {
            "… beyond the end of the boss"
        },
        size.both(show),
    ));
    for seat in &card.seats {
        let [number, beside] = match (seat.seat, seat.each_way) {
            (Some(Seat::Sliding), Some(way)) => {
                let [own, other] = way.both(show);
                [own, format!("{other} free: in the middle")]
            }
            (Some(Seat::Sliding), None) => {
                ["sliding", "travel not given: in the middle"].map(str::to_owned)
            }
            (Some(Seat::Hung), _) => ["hung", ""].map(str::to_owned),
            (Some(Seat::Fixed), _) => ["fixed", ""].map(str::to_owned),
            (None, _) => ["brace", ""].map(str::to_owned),
        };
        let what = match (seat.seat, seat.each_way) {
            (Some(Seat::Sliding), Some(_)) => format!("Slider of {}, each way", seat.part),
            _ => format!("Seat of {}", seat.part),
        };
        rows.push(Row::one(what, number, beside));
    }
    rows
}

fn miss(card: &Card, show: Show) -> Vec<Row> {
    let miss = &card.may_miss;
    let mut rows = vec![
        room("Arm longer by", &miss.arm, show),
        room("Boss less in wood by", &miss.boss_in_wood, show),
        room("Bark thicker by, boss as drawn", &miss.bark, show),
        turn("Outer end up by", &miss.tilt_up),
        turn("Outer end down by", &miss.tilt_down),
    ];
    if card.verdict == Verdict::Review {
        rows.push(Row::one(
            "Counted from",
            "review",
            "no check gets worse than it is",
        ));
    }
    rows
}

/// How far a length may go from what is drawn, rounded down.
fn room(what: &str, room: &Room, show: Show) -> Row {
    let Some(passes) = room.passes_m else {
        return Row::one(what, "nothing", "it fails as drawn");
    };
    let way = Mark::new(si::metres((passes - room.drawn_m).abs()), Rounding::Down);
    let edge = Mark::new(
        si::metres(passes),
        if passes < room.drawn_m {
            Rounding::Up
        } else {
            Rounding::Down
        },
    );
    let [own, other] = way.both(show);
    let [limit, _] = edge.both(show);
    let end = if room.fails_m.is_some() {
        format!("({other}) to {limit}")
    } else {
        format!("({other}) and more")
    };
    Row::one(what, own, end)
}

fn turn(what: &str, turn: &Turn) -> Row {
    let down = |degrees: f64| (degrees * 10.0 + 1e-6).floor() / 10.0;
    match (turn.passes_deg, turn.fails_deg) {
        (None, _) => Row::one(what, "nothing", "it fails as drawn"),
        (Some(passes), Some(_)) => Row::one(what, format!("{:.1}°", down(passes)), ""),
        (Some(passes), None) => Row::one(what, format!("{:.1}°", down(passes)), "and more"),
    }
}

/// What goes under each key.
fn blanks(card: &Card) -> Vec<[String; 2]> {
    let about = |key: &str| match key {
        "depth" => "hole, in sound wood",
        "hole_over" => "empty behind the tip",
        "boss_in_wood" => "in sound wood",
        "bark" => "thickness found",
        "arm" => "wood surface to load",
        "tilt" => "outer end up: +",
        "level" => "from the site's zero",
        "refused" => "true: not driven home",
        "note" => "driller, date, torque",
        _ => "",
    };
    card.as_built
        .iter()
        .map(|key| [(*key).to_owned(), about(key).to_owned()])
        .collect()
}
