//! The actions of a platform: forces with a direction, and how they meet each other.

use super::LoadError;
use super::people::{guard_push, side_force, swing_pulls};
use super::wind::{Guard as Screen, WindSite, edge_wind, guard_wind};
use crate::mechanics::dynamics::taut_line;
use crate::model::{
    Action, ActionPart, ActionPlace, Case, Criteria, Crossing, Deck, Guard, Hammock, Hold, Load,
    LoadPlace, Platform, Point, Presence, Swing, plan,
};
use crate::units::{Angle, Length, si};

/// Compass directions that wind is taken from.
const WINDS: u32 = 8;

/// Everything with a direction that acts on a platform.
///
/// # Errors
/// When a number has no meaning, or a table is broken.
pub fn actions(platform: &Platform, criteria: &Criteria) -> Result<Vec<Action>, LoadError> {
    let mut groups = 0;
    let mut actions = Vec::new();
    for (k, deck) in platform.decks().iter().enumerate() {
        actions.extend(people(k, deck, criteria)?);
    }
    actions.extend(
        platform
            .loads()
            .iter()
            .filter_map(|load| push(load, platform)),
    );
    for guard in platform.guards() {
        actions.push(lean_on(guard, &platform.decks()[guard.deck], groups)?);
    }
    groups += usize::from(!platform.guards().is_empty());
    for swing in platform.swings() {
        actions.extend(swinging(swing, criteria, groups)?);
        groups += 1;
    }
    for hammock in platform.hammocks() {
        actions.push(taut(hammock, platform)?);
    }
    if let Some(wind) = platform.wind() {
        let site = WindSite::new(wind.speed, wind.exposure, wind.edition);
        for direction in 0..WINDS {
            let toward = si::degrees(360.0 * f64::from(direction) / f64::from(WINDS));
            actions.push(blow(platform, &site, toward, groups)?);
        }
    }
    Ok(actions)
}

/// Wind from one direction on all guards and edges: none shelters another.
fn blow(
    platform: &Platform,
    site: &WindSite,
    toward: Angle,
    group: usize,
) -> Result<Action, LoadError> {
    let [east, north] = plan::unit(toward);
    let mut parts = Vec::new();
    for guard in platform.guards() {
        let boards = boards(platform, &platform.decks()[guard.deck]);
        let screen = Screen {
            length: guard.along[0].distance(guard.along[1]),
            height: guard.height,
            solidity: guard.solidity,
            level: boards.max(si::metres(0.0)),
        };
        let force = guard_wind(site, &screen)?;
        // What blows across it pushes along its normal.
        let [x, y] = plan::unit(guard.along[0].bearing(guard.along[1]) + si::degrees(90.0));
        let across = force.total.value * (x * east + y * north);
        parts.push(ActionPart {
            on: ActionPlace::Deck {
                deck: guard.deck,
                at: guard.along[0].between(guard.along[1], 0.5),
                height: force.above_foot,
            },
            force: [across * x, across * y, 0.0],
        });
    }
    for (k, deck) in platform.decks().iter().enumerate() {
        parts.extend(edge(platform, site, (k, deck), [east, north])?);
    }
    Ok(Action {
        name: format!("wind toward {:.0}°", toward.value.to_degrees()),
        case: Case::Wind,
        presence: Presence::OneOf(group),
        parts,
    })
}

/// Wind on the edge of a deck, joists and beams: one solid panel as wide as the deck across the wind.
fn edge(
    platform: &Platform,
    site: &WindSite,
    (index, deck): (usize, &Deck),
    [east, north]: [f64; 2],
) -> Result<Option<ActionPart>, LoadError> {
    let across = deck.outline.iter().map(|corner| {
        let [x, y] = corner.metres();
        x * north - y * east
    });
    let (least, most) = across.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
        (low.min(x), high.max(x))
    });
    let joists = match deck.joists.set {
        Crossing::OnTop => deck.joists.timber.depth,
        Crossing::Flush => si::metres(0.0),
    };
    let beams = deck
        .beams
        .iter()
        .map(|beam| platform.beams()[*beam].timber.depth);
    let depth = joists + beams.fold(si::metres(0.0), Length::max);
    if most <= least {
        return Ok(None);
    }
    let level = (boards(platform, deck) - depth).max(si::metres(0.0));
    let force = edge_wind(site, si::metres(most - least), depth, level)?;
    let (_, centre) = area(deck);
    Ok(Some(ActionPart {
        on: ActionPlace::Deck {
            deck: index,
            at: centre,
            height: force.above_foot - depth,
        },
        force: [force.total.value * east, force.total.value * north, 0.0],
    }))
}

/// Height of a deck's boards over the site's zero, where its beams have a level; else zero, where wind is least but for
/// the floor of the profile.
fn boards(platform: &Platform, deck: &Deck) -> Length {
    let beams = deck.beams.iter().map(|beam| &platform.beams()[*beam]);
    let tops = beams.filter_map(|beam| Some(beam.level? + beam.timber.depth / 2.0));
    let joists = match deck.joists.set {
        Crossing::OnTop => deck.joists.timber.depth,
        Crossing::Flush => si::metres(0.0),
    };
    tops.reduce(Length::max)
        .map_or(si::metres(0.0), |top| top + joists)
}

/// People who sway together: a level force on the whole deck that may point anywhere.
fn people(index: usize, deck: &Deck, criteria: &Criteria) -> Result<Vec<Action>, LoadError> {
    let (area, centre) = area(deck);
    let pressure = si::pascals(criteria.factor("people_side"));
    let force = side_force(si::square_metres(area), pressure)?.value;
    if force == 0.0 {
        return Ok(Vec::new());
    }
    let part = |force| Action {
        name: format!("people's side load on deck {}", deck.id),
        case: Case::Sway,
        presence: Presence::Turning,
        parts: vec![ActionPart {
            on: ActionPlace::Deck {
                deck: index,
                at: centre,
                height: si::metres(0.0),
            },
            force,
        }],
    };
    Ok(vec![part([force, 0.0, 0.0]), part([0.0, force, 0.0])])
}

/// Area of a deck less its openings (m²), and its centre.
fn area(deck: &Deck) -> (f64, Point) {
    let mut sums = [0.0; 3];
    let rings =
        std::iter::once((&deck.outline, 1.0)).chain(deck.openings.iter().map(|ring| (ring, -1.0)));
    for (ring, sign) in rings {
        let [area, east, north] = ring_sums(ring);
        let sign = sign * area.signum();
        sums[0] += sign * area;
        sums[1] += sign * east;
        sums[2] += sign * north;
    }
    let [area, east, north] = sums;
    (
        area,
        Point::new(si::metres(east / area), si::metres(north / area)),
    )
}

/// Signed area of a ring, and its moments.
fn ring_sums(ring: &[Point]) -> [f64; 3] {
    plan::edges(ring).fold([0.0; 3], |[area, east, north], (a, b)| {
        let twice = a[0] * b[1] - a[1] * b[0];
        [
            area + twice / 2.0,
            east + (a[0] + b[0]) * twice / 6.0,
            north + (a[1] + b[1]) * twice / 6.0,
        ]
    })
}

/// The sideways part of a load.
fn push(load: &Load, platform: &Platform) -> Option<Action> {
    let (amount, toward) = load.push?;
    let [east, north] = plan::unit(toward);
    let on_deck = |at: Point| {
        let decks = platform.decks().iter();
        let deck = decks
            .clone()
            .position(|deck| plan::inside(&deck.outline, at))
            .unwrap_or(0);
        ActionPlace::Deck {
            deck,
            at,
            height: si::metres(0.0),
        }
    };
    let (on, force) = match &load.place {
        LoadPlace::Anchor(anchor) => (ActionPlace::Anchor(*anchor), amount),
        LoadPlace::Beam { beam, station } => (
            ActionPlace::Beam {
                beam: *beam,
                station: *station,
            },
            amount,
        ),
        LoadPlace::Point(at) => (on_deck(*at), amount),
        LoadPlace::Line(a, b) => (on_deck(a.between(*b, 0.5)), amount * a.distance(*b).value),
        LoadPlace::Area(ring) => {
            let [area, x, y] = ring_sums(ring);
            let centre = Point::new(si::metres(x / area), si::metres(y / area));
            (on_deck(centre), amount * area.abs())
        }
    };
    Some(Action {
        name: format!("the push of load {}", load.id),
        case: Case::Live,
        presence: Presence::OnOff,
        parts: vec![ActionPart {
            on,
            force: [force * east, force * north, 0.0],
        }],
    })
}

/// People who lean on one guard, outward at its top: along it, or on one spot if that is more.
fn lean_on(guard: &Guard, deck: &Deck, group: usize) -> Result<Action, LoadError> {
    let push = guard_push()?;
    let [a, b] = guard.along;
    let middle = a.between(b, 0.5);
    let [east, north] = plan::unit(a.bearing(b) + si::degrees(90.0));
    let (_, centre) = area(deck);
    let [x, y] = [
        (middle.east - centre.east).value,
        (middle.north - centre.north).value,
    ];
    let outward = if x * east + y * north < 0.0 {
        -1.0
    } else {
        1.0
    };
    let force = outward * (push.line * a.distance(b)).max(push.point).value;
    Ok(Action {
        name: format!("people leaning on guard {}", guard.id),
        case: Case::Live,
        presence: Presence::OneOf(group),
        parts: vec![ActionPart {
            on: ActionPlace::Deck {
                deck: guard.deck,
                at: middle,
                height: guard.height,
            },
            force: [force * east, force * north, 0.0],
        }],
    })
}

/// A swing at its lowest point, and where it pulls sideways most, both ways.
fn swinging(swing: &Swing, criteria: &Criteria, group: usize) -> Result<Vec<Action>, LoadError> {
    let pulls = swing_pulls(swing.rider, swing.to, criteria.factor("swing_jerk"))?;
    let [east, north] = plan::unit(swing.along);
    let part = |level: f64, down: f64| Action {
        name: format!("swing {}", swing.id),
        case: Case::Live,
        presence: Presence::OneOf(group),
        parts: vec![ActionPart {
            on: ActionPlace::Beam {
                beam: swing.beam,
                station: swing.station,
            },
            force: [level * east, level * north, -down],
        }],
    };
    let level = pulls.side.horizontal.value;
    let down = pulls.side.tension.value * pulls.side.from_plumb.value.cos();
    Ok(vec![
        part(0.0, pulls.down.tension.value),
        part(level, down),
        part(-level, down),
    ])
}

/// A taut line with a weight at its middle: half of it on each end, and the pull of the line.
fn taut(hammock: &Hammock, platform: &Platform) -> Result<Action, LoadError> {
    let place = |hold: Hold| match hold {
        Hold::Anchor(anchor) => {
            let own = &platform.anchors()[anchor];
            (
                ActionPlace::Anchor(anchor),
                own.load_point(platform.stem_of(own)),
            )
        }
        Hold::Beam { beam, station } => (
            ActionPlace::Beam { beam, station },
            platform.beams()[beam].at(station),
        ),
    };
    let ends = hammock.ends.map(place);
    let span = ends[0].1.distance(ends[1].1);
    let weight = hammock.weight.value;
    let pull = taut_line(hammock.weight, span, hammock.sag)?
        .horizontal
        .value;
    let part = |own: usize| {
        let ((on, from), (_, to)) = (ends[own], ends[1 - own]);
        let [east, north] = if span > Length::default() {
            plan::unit(from.bearing(to))
        } else {
            [0.0; 2]
        };
        ActionPart {
            on,
            force: [pull * east, pull * north, -weight / 2.0],
        }
    };
    Ok(Action {
        name: format!("hammock {}", hammock.id),
        case: Case::Live,
        presence: Presence::OnOff,
        parts: vec![part(0), part(1)],
    })
}
