//! The actions of a platform: forces with a direction, and how they meet each other.

use crate::model::{
    Action, ActionPart, ActionPlace, Case, Criteria, Deck, Guard, Hammock, Hold, Load, LoadPlace,
    Platform, Point, Presence, Swing, plan,
};
use crate::tables;
use crate::units::{Length, si};

/// Everything with a direction that acts on a platform.
pub fn actions(platform: &Platform, criteria: &Criteria) -> Vec<Action> {
    let mut groups = 0;
    let mut actions = Vec::new();
    for (k, deck) in platform.decks().iter().enumerate() {
        actions.extend(people(k, deck, criteria.factor("people_side")));
    }
    actions.extend(
        platform
            .loads()
            .iter()
            .filter_map(|load| push(load, platform)),
    );
    let leaning = tables::live_load("guard").ok().and_then(|row| row.line);
    let leaning = leaning.map_or(0.0, |line| line.value);
    for guard in platform.guards() {
        actions.push(lean_on(
            guard,
            &platform.decks()[guard.deck],
            leaning,
            groups,
        ));
    }
    groups += usize::from(!platform.guards().is_empty());
    for swing in platform.swings() {
        actions.extend(swinging(swing, groups));
        groups += 1;
    }
    actions.extend(
        platform
            .hammocks()
            .iter()
            .map(|hammock| taut(hammock, platform)),
    );
    actions
}

/// People who sway together: a level force on the whole deck that may point anywhere.
fn people(index: usize, deck: &Deck, per_area: f64) -> Vec<Action> {
    let (area, centre) = area(deck);
    let force = per_area * area;
    if force == 0.0 {
        return Vec::new();
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
    vec![part([force, 0.0, 0.0]), part([0.0, force, 0.0])]
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

/// People who lean on one guard, outward at its top.
fn lean_on(guard: &Guard, deck: &Deck, per_length: f64, group: usize) -> Action {
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
    let force = outward * per_length * a.distance(b).value;
    Action {
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
    }
}

/// A swing at its lowest point, and where it pulls sideways most, both ways.
fn swinging(swing: &Swing, group: usize) -> Vec<Action> {
    let (weight, to) = (swing.rider.value, swing.to.value);
    let tension = |angle: f64| weight * (3.0 * angle.cos() - 2.0 * to.cos());
    let angle = steepest(to);
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
    let (level, down) = (tension(angle) * angle.sin(), tension(angle) * angle.cos());
    vec![
        part(0.0, tension(0.0)),
        part(level, down),
        part(-level, down),
    ]
}

/// The angle from plumb at which a swing that goes to `to` pulls sideways most (rad).
fn steepest(to: f64) -> f64 {
    // d/dθ (3 cos θ − 2 cos θ₀) sin θ = 0 is 6 cos²θ − 2 cos θ₀ cos θ − 3 = 0.
    let cos = (to.cos() + (to.cos().powi(2) + 18.0).sqrt()) / 6.0;
    cos.clamp(-1.0, 1.0).acos().min(to)
}

/// A taut line with a weight at its middle: half of it on each end, and the pull of the line.
fn taut(hammock: &Hammock, platform: &Platform) -> Action {
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
    let pull = weight * span.value / (4.0 * hammock.sag.value);
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
    Action {
        name: format!("hammock {}", hammock.id),
        case: Case::Live,
        presence: Presence::OnOff,
        parts: vec![part(0), part(1)],
    }
}
