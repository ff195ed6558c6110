//! Loads: what acts, by case; what each attachment bears, by combination; the live load in people.

use super::Package;
use super::block::{Block, Grid, Holds, Row, Section};
use crate::checks::Reaction;
use crate::loads;
use crate::model::{Action, Case, Deck, Load, LoadPlace, Magnitudes, Presence};
use crate::report::Quantity;
use crate::units::{Show, engineering, kind, print, si, us};

/// The weight of one person in the count of people (lbf): an assumption of this page, no source.
const PERSON: f64 = 175.0;

/// A load smaller than this is none (N).
const NOTHING: f64 = 1e-6;

/// What the sum of forces that cancel may leave (1).
const ROUNDING: f64 = 1e-9;

/// The loads.
pub(super) fn section(package: &Package<'_>) -> Section {
    let section = Section::new("loads", "Loads").on_new_sheet();
    let section = if package.platform.decks().is_empty() {
        section
    } else {
        section.with(Block::Table(decks(package)))
    };
    let section = if package.platform.loads().is_empty() {
        section
    } else {
        section.with(Block::Table(given(package)))
    };
    let section = match loads::actions(package.platform, package.results.criteria()) {
        Ok(actions) if actions.is_empty() => section,
        Ok(actions) => section.with(Block::Table(directed(package, &actions))),
        Err(error) => section.saying(format!(
            "The loads with a direction can not be listed: {error}."
        )),
    };
    section
        .with(Block::Table(by_case(package)))
        .with(Block::Heading("The live load in people".to_owned()))
        .with(Block::List(people(package)))
        .with(Block::Table(by_combination(package)))
        .saying(format!(
            "Loads and reactions of every case and state agree to {:.0e} of the loads or better.",
            package.results.imbalance().max(1e-16)
        ))
}

fn force(newtons: f64, show: Show) -> String {
    let newtons = if newtons.abs() < NOTHING {
        0.0
    } else {
        newtons
    };
    engineering(Quantity::Force.in_unit(newtons, show))
}

fn unit(show: Show) -> &'static str {
    Quantity::Force.unit(show)
}

/// Loads per area and sizes of each deck.
fn decks(package: &Package<'_>) -> Grid {
    let show = package.show;
    let area_load = |load| print::<kind::AreaLoad>(load, show);
    let rows = package.platform.decks().iter().map(|deck| {
        let joists = &deck.joists;
        let found = package.results.decks().iter().find(|d| d.id == deck.id);
        vec![
            deck.id.clone(),
            found.map_or_else(String::new, |found| area(found.area, show)),
            format!(
                "{} at {}, {} × {}",
                found.map_or(0, |found| found.joists),
                print::<kind::Length>(joists.spacing, show),
                print::<kind::Length>(joists.timber.width, show),
                print::<kind::Length>(joists.timber.depth, show),
            ),
            area_load(deck.dead),
            area_load(deck.live),
            area_load(deck.snow),
        ]
    });
    Grid::new(
        "Decks. Weights of joists and beams are added from their sections and woods.",
        &["deck", "#area", "joists", "#dead", "#live", "#snow"],
    )
    .with_rows(rows)
}

fn area(square_metres: f64, show: Show) -> String {
    match show {
        Show::Us => format!("{} ft²", engineering(square_metres / us::FOOT.powi(2))),
        Show::Si => format!("{} m²", engineering(square_metres)),
    }
}

/// Loads that the layout names, one row each.
fn given(package: &Package<'_>) -> Grid {
    let rows = package.platform.loads().iter().map(|load| {
        vec![
            load.id.clone(),
            place(package, load),
            magnitudes(load, package.show),
        ]
    });
    Grid::new("Further loads", &["load", "where", "how much"]).with_rows(rows)
}

fn place(package: &Package<'_>, load: &Load) -> String {
    let platform = package.platform;
    match &load.place {
        LoadPlace::Point(_) => "at a point of a deck".to_owned(),
        LoadPlace::Line(..) => "along a line of a deck".to_owned(),
        LoadPlace::Area(_) => "over an area of a deck".to_owned(),
        LoadPlace::Anchor(index) => match platform.anchors().get(*index) {
            Some(anchor) => format!("straight on anchor {}", anchor.id),
            None => String::new(),
        },
        LoadPlace::Beam { beam, station } => match platform.beams().get(*beam) {
            Some(beam) => format!(
                "on beam {}, {} from its first end",
                beam.id,
                print::<kind::Length>(*station, package.show)
            ),
            None => String::new(),
        },
    }
}

fn magnitudes(load: &Load, show: Show) -> String {
    let one = |value: f64| match load.place {
        LoadPlace::Line(..) => print::<kind::LineLoad>(si::newtons_per_metre(value), show),
        LoadPlace::Area(_) => print::<kind::AreaLoad>(si::pascals(value), show),
        LoadPlace::Point(_) | LoadPlace::Anchor(_) | LoadPlace::Beam { .. } => {
            print::<kind::Force>(si::newtons(value), show)
        }
    };
    let acting = acting(&load.magnitudes);
    let parts = acting.map(|(case, value)| format!("{} {}", case.symbol(), one(value)));
    parts.collect::<Vec<_>>().join(", ")
}

/// The cases in which something acts.
fn acting(magnitudes: &Magnitudes) -> impl Iterator<Item = (Case, f64)> + '_ {
    Case::ALL
        .into_iter()
        .zip(magnitudes.iter().copied())
        .filter(|(_, value)| value.abs() >= NOTHING)
}

/// People who push and sway, wind, swings, hammocks: every force with a direction.
fn directed(package: &Package<'_>, actions: &[Action]) -> Grid {
    let show = package.show;
    let unit = unit(show);
    let mut rows = Vec::new();
    let mut turning = false;
    for action in actions {
        // The second component of a force that may point anywhere says nothing more than the first.
        turning = action.presence == Presence::Turning && !turning;
        if action.presence == Presence::Turning && !turning {
            continue;
        }
        rows.push(directed_row(action, show));
    }
    let heads = [
        "load".to_owned(),
        "case".to_owned(),
        "when".to_owned(),
        format!("#sideways ({unit})"),
        "toward".to_owned(),
        format!("#most at one place ({unit})"),
        format!("#down ({unit})"),
    ];
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    Grid::new(
        "Loads with a direction. Beside them every attachment takes the least sideways load of the criteria.",
        &heads,
    )
    .with_rows(rows)
}

fn directed_row(action: &Action, show: Show) -> Vec<String> {
    let mut sum = [0.0; 3];
    let mut most = 0.0_f64;
    for part in &action.parts {
        let [east, north, up] = part.force;
        sum = [sum[0] + east, sum[1] + north, sum[2] + up];
        most = most.max(east.hypot(north));
    }
    let [east, north, up] = sum;
    let level = east.hypot(north);
    // Forces that cancel leave rounding.
    let level = if level <= ROUNDING * most { 0.0 } else { level };
    let toward = match action.presence {
        Presence::Turning => "any way".to_owned(),
        _ if level == 0.0 => "–".to_owned(),
        _ => {
            let degrees = east.atan2(north).to_degrees().rem_euclid(360.0).round();
            format!("{:.0}°", if degrees >= 360.0 { 0.0 } else { degrees })
        }
    };
    let when = match action.presence {
        Presence::Always => "always",
        Presence::OnOff | Presence::Turning => "there or not",
        Presence::OneOf(_) => "one at a time",
    };
    vec![
        action.name.clone(),
        action.case.symbol().to_owned(),
        when.to_owned(),
        force(level, show),
        toward,
        force(most, show),
        force(-up, show),
    ]
}

/// What acts in each case: on each deck, on beams and anchors alone, on everything.
fn by_case(package: &Package<'_>) -> Grid {
    let total = package.results.total();
    let cases: Vec<Case> = acting(total).map(|(case, _)| case).collect();
    let row = |name: String, loads: &Magnitudes| {
        let cells = cases
            .iter()
            .map(|case| force(loads[*case as usize], package.show));
        Row::from(std::iter::once(name).chain(cells).collect::<Vec<_>>())
    };
    let mut rest = *total;
    let mut rows = Vec::new();
    for deck in package.results.decks() {
        for (rest, own) in rest.iter_mut().zip(&deck.total) {
            *rest -= own;
        }
        rows.push(row(
            format!("deck {}, its joists and the loads on it", deck.id),
            &deck.total,
        ));
    }
    rows.push(row(
        "beams, and loads straight on beams and anchors".to_owned(),
        &rest,
    ));
    let mut all = row("everything".to_owned(), total);
    all.strong = true;
    rows.push(all);
    let heads = cases
        .iter()
        .map(|case| format!("#{} ({})", case.symbol(), unit(package.show)));
    let heads: Vec<String> = std::iter::once("part".to_owned()).chain(heads).collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    Grid::new(
        "Loads by case, downward: D weight, L people and use, Lr roof, S snow, R rain, W wind, E earthquake, Z people who sway.",
        &heads,
    )
    .with_rows(rows)
}

/// How many people each live load comes to.
fn people(package: &Package<'_>) -> Vec<String> {
    let live = Case::Live as usize;
    let person = us::pounds_force(PERSON);
    let count = |newtons: f64| (newtons / person.value + 1e-9).floor();
    let mut said: Vec<String> = package
        .platform
        .decks()
        .iter()
        .filter_map(|deck: &Deck| {
            let found = package.results.decks().iter().find(|d| d.id == deck.id)?;
            let load = deck.live.value * found.area;
            (load >= NOTHING).then(|| {
                format!(
                    "Deck {}: {} over {} is {} {}, as much as {:.0} people, {} for each.",
                    deck.id,
                    print::<kind::AreaLoad>(deck.live, package.show),
                    area(found.area, package.show),
                    force(load, package.show),
                    unit(package.show),
                    count(load),
                    area(person.value / deck.live.value, package.show),
                )
            })
        })
        .collect();
    let total = package.results.total()[live];
    said.push(format!(
        "All live load: {} {}, as much as {:.0} people.",
        force(total, package.show),
        unit(package.show),
        count(total)
    ));
    said.push(format!(
        "Counted with {} each, an assumption of this page without a source. It is the load of the calculation, not a \
         number of people that is allowed: moving, dancing and crowding to one side load attachments more.",
        print::<kind::Force>(person, package.show)
    ));
    said
}

/// The largest load of each attachment in each combination.
fn by_combination(package: &Package<'_>) -> Grid {
    let show = package.show;
    let rows = package.results.attachments().iter().flat_map(|own| {
        own.reactions().iter().map(move |reaction| {
            let governs = reaction.combination == own.load().combination;
            let mut full = own.full_reactions().iter();
            let full = full.find(|full| full.combination == reaction.combination);
            row(own.anchor(), reaction, full, governs, show)
        })
    });
    let unit = unit(show);
    Grid {
        columns: [
            ("anchor".to_owned(), Holds::Words),
            ("combination".to_owned(), Holds::Words),
            (format!("down ({unit})"), Holds::Figures),
            (format!("side ± ({unit})"), Holds::Figures),
            (format!("out ({unit})"), Holds::Figures),
            (format!("together ({unit})"), Holds::Figures),
            ("full: down".to_owned(), Holds::Figures),
            ("side".to_owned(), Holds::Figures),
            ("out".to_owned(), Holds::Figures),
        ]
        .to_vec(),
        ..Grid::new(
            "Load on each attachment by combination, the largest over all bounds of the foundation: down along the grain, \
             across either way, along the bar pulling out. Full: the same with all of the live load everywhere and nothing that \
             points sideways.",
            &[],
        )
    }
    .with_rows(rows)
}

fn row(
    anchor: &str,
    reaction: &Reaction,
    full: Option<&Reaction>,
    governs: bool,
    show: Show,
) -> Row {
    let full = |part: fn(&Reaction) -> f64| {
        full.map_or_else(|| "–".to_owned(), |full| force(part(full), show))
    };
    let name = &reaction.combination;
    let name = if governs {
        format!("{name} (governs)")
    } else {
        name.clone()
    };
    Row {
        cells: vec![
            anchor.to_owned(),
            name,
            force(reaction.down_n, show),
            force(reaction.side_n.abs(), show),
            force(reaction.out_n, show),
            force(reaction.resultant(), show),
            full(|full| full.down_n),
            full(|full| full.side_n.abs()),
            full(|full| full.out_n),
        ],
        strong: governs,
        ..Row::default()
    }
}
