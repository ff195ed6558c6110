//! Builders that several system tests share: one anchor in code, a platform as the text of a layout.
#![allow(dead_code, unreachable_pub, clippy::unwrap_used, clippy::panic)]

use barkline::Layout;
use barkline::analysis::platform::{AnalysisError, DeckTotals, MemberActions, Solved, solve};
use barkline::checks::{Attachment, Results};
use barkline::input::Diagnostics;
use barkline::model::{
    Anchor, AnchorSize, Case, Criteria, LimitState, LivingWood, Load, LoadPlace, Origin, OwnWood,
    Parts, Platform, Point, Presence, Segment, Standing, Steel, Stem,
};
use barkline::tables;
use barkline::units::{si, us};
use std::fmt::Write as _;

/// One anchor, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    pub boss: f64,
    pub boss_length: f64,
    pub shank: f64,
    pub root: f64,
    pub shank_length: f64,
    pub embedded: f64,
    pub arm: f64,
}

/// The bar of the reference allowables.
pub const REFERENCE: Bar = Bar {
    boss: 64.0,
    boss_length: 155.0,
    shank: 38.0,
    root: 33.0,
    shank_length: 135.0,
    embedded: 55.0,
    arm: 100.0,
};

/// A stem of 600 mm over 20 mm of bark, upright.
pub fn stem(wood: LivingWood) -> Stem {
    Stem {
        id: "t".into(),
        wood,
        at: Point::new(si::metres(0.0), si::metres(0.0)),
        diameter: si::millimetres(600.0),
        bark: si::millimetres(20.0),
        soft: si::metres(0.0),
        shell: None,
        lean: si::degrees(0.0),
        leans: si::degrees(0.0),
        whole: None,
    }
}

/// A green wood of the table, with the variation of the crushing strength that the checks take.
pub fn wood(name: &str) -> LivingWood {
    LivingWood::from_table(tables::find_green_wood(name).unwrap(), 0.18).unwrap()
}

/// White oak with every strength and modulus times a factor (1).
pub fn scaled_wood(strength: f64, modulus: f64) -> LivingWood {
    let oak = wood("white oak");
    LivingWood::own(OwnWood {
        name: "scaled".into(),
        crushing: oak.crushing() * strength,
        across: oak.across() * strength,
        modulus: oak.modulus() * modulus,
        specific_gravity: oak.specific_gravity(),
        variation: 0.18,
        foundation_modulus: None,
        source: "test".into(),
    })
    .unwrap()
}

/// The bar in steel A36, facing east.
pub fn anchor(bar: &Bar) -> Anchor {
    let steel = Steel {
        name: "A36".into(),
        yield_strength: us::ksi(36.0),
        modulus: us::ksi(29_000.0),
        origin: Origin::new("test", Standing::Published),
    };
    let piece = |length, resists, bears| Segment {
        length: si::millimetres(length),
        resists: si::millimetres(resists),
        bears: si::millimetres(bears),
        steel: steel.clone(),
    };
    Anchor {
        id: "a".into(),
        stem: 0,
        faces: si::degrees(90.0),
        level: None,
        size: AnchorSize {
            id: "test".into(),
            boss: piece(bar.boss_length, bar.boss, bar.boss),
            shank: vec![piece(bar.shank_length, bar.root, bar.shank)],
            thread_length: si::millimetres(bar.shank_length - 15.0),
            origin: Origin::new("test", Standing::Practice),
        },
        embedded: si::millimetres(bar.embedded),
        arm: si::millimetres(bar.arm),
        rod: None,
        tilt: si::degrees(0.0),
        empty: si::metres(0.0),
        locked: None,
    }
}

/// Criteria without the notional side load, the boss snug in its counterbore.
pub fn plain_criteria() -> Criteria {
    let mut criteria = Criteria::standard("asce7-22-asd").unwrap();
    assert!(criteria.change("boss_clearance", 0.0));
    assert!(criteria.change("notional_side", 0.0));
    criteria
}

/// A platform of one anchor with loads straight on it (N, positive down).
pub fn one(anchor: Anchor, stem: Stem, loads: &[(Case, f64)], criteria: Criteria) -> Platform {
    let mut magnitudes = [0.0; Case::ALL.len()];
    for (case, force) in loads {
        magnitudes[*case as usize] += force;
    }
    let parts = Parts {
        title: "one".into(),
        stems: vec![stem],
        anchors: vec![anchor],
        loads: vec![Load::down("p", LoadPlace::Anchor(0), magnitudes)],
        ..Parts::default()
    };
    Platform::new(parts, criteria).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// The only attachment of a platform.
pub fn only(platform: &Platform) -> Attachment {
    platform.check().unwrap().attachments()[0].clone()
}

/// How much of a limit state is used; zero where nothing asks for it.
pub fn used(attachment: &Attachment, limit_state: LimitState) -> f64 {
    attachment
        .check(limit_state)
        .unwrap()
        .utilization
        .unwrap_or(0.0)
}

/// A platform as the text of a layout, in metres; the plan may be turned, mirrored and written in feet.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// Clockwise (degrees).
    pub turn: f64,
    pub mirror: bool,
    pub us: bool,
    /// Put before every id.
    pub prefix: &'static str,
    pub criteria: String,
    pub tables: Vec<String>,
}

impl Plan {
    fn id(&self, id: &str) -> String {
        format!("\"{}{id}\"", self.prefix)
    }

    pub fn length(&self, metres: f64) -> String {
        if self.us {
            format!("\"{:.12} ft\"", metres / 0.3048)
        } else {
            format!("\"{metres:.12} m\"")
        }
    }

    pub fn point(&self, [x, y]: [f64; 2]) -> String {
        let x = if self.mirror { -x } else { x };
        let (sin, cos) = self.turn.to_radians().sin_cos();
        let (east, north) = (x * cos + y * sin, y * cos - x * sin);
        format!("[{}, {}]", self.length(east), self.length(north))
    }

    fn points(&self, points: &[[f64; 2]]) -> String {
        let list: Vec<String> = points.iter().map(|p| self.point(*p)).collect();
        format!("[{}]", list.join(", "))
    }

    pub fn bearing(&self, degrees: f64) -> String {
        let degrees = if self.mirror { -degrees } else { degrees };
        format!("\"{:.12} deg\"", (degrees + self.turn).rem_euclid(360.0))
    }

    fn pressure(&self, kilopascals: f64) -> String {
        if self.us {
            format!("\"{:.12} psf\"", kilopascals * 1e3 / 47.880_258_980_335_84)
        } else {
            format!("\"{kilopascals:.12} kPa\"")
        }
    }

    fn force(&self, kilonewtons: f64) -> String {
        if self.us {
            format!("\"{:.12} lbf\"", kilonewtons * 1e3 / 4.448_221_615_260_5)
        } else {
            format!("\"{kilonewtons:.12} kN\"")
        }
    }

    /// An anchor in a tree of its own, whose load point is the place given; it faces a bearing.
    pub fn anchor_facing(&mut self, id: &str, [x, y]: [f64; 2], faces: f64) -> &mut Self {
        let (sin, cos) = faces.to_radians().sin_cos();
        let centre = self.point([x - 0.5 * sin, y - 0.5 * cos]);
        let tree = self.id(&format!("t-{id}"));
        self.tables.push(format!(
            "[[tree]]\nid = {tree}\nspecies = \"white oak\"\nat = {centre}\ndiameter = {}\nbark = {}\n",
            self.length(0.84),
            self.length(0.02),
        ));
        self.tables.push(format!(
            "[[anchor]]\nid = {}\ntree = {tree}\nfaces = {}\nsize = \"102x152/51\"\narm = {}\n",
            self.id(id),
            self.bearing(faces),
            self.length(0.1),
        ));
        self
    }

    /// An anchor with its tree to the west of it, or to the east if it lies east of 1 m: beside the decks of these plans.
    pub fn anchor(&mut self, id: &str, at: [f64; 2]) -> &mut Self {
        self.anchor_facing(id, at, if at[0] > 1.0 { 270.0 } else { 90.0 })
    }

    /// A beam of 90 × 235 mm; `more` are further keys.
    pub fn beam(&mut self, id: &str, on: &[&str], line: [[f64; 2]; 2], more: &str) -> &mut Self {
        let on: Vec<String> = on.iter().map(|on| self.id(on)).collect();
        let section = if more.contains("width") {
            String::new()
        } else {
            format!(
                "width = {}\ndepth = {}\n",
                self.length(0.09),
                self.length(0.235)
            )
        };
        self.tables.push(format!(
            "[[beam]]\nid = {}\non = [{}]\nline = {}\n{section}modulus = \"11 GPa\"\n{more}\n",
            self.id(id),
            on.join(", "),
            self.points(&line),
        ));
        self
    }

    /// A deck of live load only (kPa), joists along a bearing.
    pub fn deck(
        &mut self,
        id: &str,
        on: &[&str],
        outline: &[[f64; 2]],
        run: f64,
        live: f64,
        more: &str,
    ) -> &mut Self {
        let on: Vec<String> = on.iter().map(|on| self.id(on)).collect();
        self.tables.push(format!(
            "[[deck]]\nid = {}\non = [{}]\noutline = {}\njoists = {{ run = {}, spacing = {}, width = {}, depth = {}, modulus = \"11 GPa\" }}\ndead = {}\nlive = {}\n{more}\n",
            self.id(id),
            on.join(", "),
            self.points(outline),
            self.bearing(run),
            self.length(0.4),
            self.length(0.045),
            self.length(0.145),
            self.pressure(0.0),
            self.pressure(live),
        ));
        self
    }

    /// A live load (kN, kN/m or kPa by its place): `place` is such as `at = …`.
    pub fn load(&mut self, id: &str, place: &str, live: &str) -> &mut Self {
        self.tables.push(format!(
            "[[load]]\nid = {}\n{place}\nlive = {live}\n",
            self.id(id)
        ));
        self
    }

    pub fn point_load(&mut self, id: &str, at: [f64; 2], kilonewtons: f64) -> &mut Self {
        let (at, live) = (format!("at = {}", self.point(at)), self.force(kilonewtons));
        self.load(id, &at, &live)
    }

    pub fn line_load(
        &mut self,
        id: &str,
        ends: [[f64; 2]; 2],
        kilonewtons_per_metre: f64,
    ) -> &mut Self {
        let along = format!("along = {}", self.points(&ends));
        self.load(id, &along, &format!("\"{kilonewtons_per_metre} kN/m\""))
    }

    pub fn area_load(&mut self, id: &str, corners: &[[f64; 2]], kilopascals: f64) -> &mut Self {
        let (over, live) = (
            format!("over = {}", self.points(corners)),
            self.pressure(kilopascals),
        );
        self.load(id, &over, &live)
    }

    /// A load at a distance along a beam.
    pub fn beam_load(&mut self, id: &str, beam: &str, metres: f64, kilonewtons: f64) -> &mut Self {
        let at = self.length(metres);
        let on = format!("on = \"{}{beam} at {}\"", self.prefix, at.trim_matches('"'));
        let live = self.force(kilonewtons);
        self.load(id, &on, &live)
    }

    pub fn text(&self) -> String {
        let mut text = format!("title = \"test\"\n{}\n", self.criteria);
        for table in &self.tables {
            writeln!(text, "{table}").unwrap();
        }
        text
    }

    pub fn platform(&self) -> Result<Platform, Diagnostics> {
        Layout::from_toml(&self.text())?
            .resolve()
            .map(|resolved| resolved.platform)
    }

    pub fn try_solve(&self) -> Result<PlatformForces, AnalysisError> {
        let platform = self
            .platform()
            .unwrap_or_else(|found| panic!("{found}\n{}", self.text()));
        let solved = solve(&platform, &[], platform.criteria())?;
        PlatformForces::new(&solved)
    }

    pub fn solve(&self) -> PlatformForces {
        self.try_solve()
            .unwrap_or_else(|error| panic!("{error}\n{}", self.text()))
    }

    pub fn check(&self) -> Results {
        self.platform()
            .unwrap_or_else(|found| panic!("{found}\n{}", self.text()))
            .check()
            .unwrap()
    }

    /// Live reactions of a state on the anchors in the order of the file (kN).
    pub fn live(&self, state: usize) -> Vec<f64> {
        reactions(&self.solve(), Case::Live, state)
    }
}

/// Down force on an anchor by state and case, the live load whole (N).
#[derive(Debug, Clone, PartialEq)]
pub struct DownForces {
    pub states: Vec<[f64; Case::ALL.len()]>,
}

/// Down forces on all anchors.
#[derive(Debug, Clone, PartialEq)]
pub struct PlatformForces {
    pub anchors: Vec<DownForces>,
    pub decks: Vec<DeckTotals>,
    pub members: Vec<MemberActions>,
    pub total: [f64; Case::ALL.len()],
    pub imbalance: f64,
}

impl PlatformForces {
    fn new(solved: &Solved<'_>) -> Result<Self, AnalysisError> {
        let down = |index: usize| {
            let states = solved.anchor(index)?.states.into_iter().map(|state| {
                let mut down = [0.0; Case::ALL.len()];
                for (column, force) in solved.columns().iter().zip(&state.columns) {
                    if matches!(column.presence, Presence::Always | Presence::OnOff) {
                        down[column.case as usize] += force[0];
                    }
                }
                down
            });
            Ok::<_, AnalysisError>(DownForces {
                states: states.collect(),
            })
        };
        Ok(Self {
            anchors: (0..solved.platform().anchors().len())
                .map(down)
                .collect::<Result<_, _>>()?,
            decks: solved.decks(),
            members: solved.members()?,
            total: *solved.total(),
            imbalance: solved.imbalance(),
        })
    }
}

/// All anchors at half the central stiffness.
pub const SOFT: usize = 0;
/// All anchors at twice the central stiffness.
pub const STIFF: usize = 1;
/// All supports rigid.
pub const RIGID: usize = 4;

/// Reactions of a case in a state, in kN.
pub fn reactions(forces: &PlatformForces, case: Case, state: usize) -> Vec<f64> {
    forces
        .anchors
        .iter()
        .map(|anchor| anchor.states[state][case as usize] / 1e3)
        .collect()
}

/// Compares two lists within a tolerance.
#[track_caller]
pub fn close(found: &[f64], expected: &[f64], tolerance: f64) {
    assert_eq!(found.len(), expected.len());
    for (one, other) in found.iter().zip(expected) {
        assert!(
            (one - other).abs() <= tolerance,
            "{found:?}\nexpected {expected:?}"
        );
    }
}
