//! One anchor by hand, in code.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use barkline::model::{
    Anchor, AnchorSize, Criteria, LimitState, LivingWood, Load, LoadPlace, Origin, Platform, Point,
    Segment, Standing, Steel, Stem,
};
use barkline::tables;
use barkline::units::{si, us};

fn platform(wood: &str, force: f64) -> Platform {
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
    let stem = Stem {
        id: "t".into(),
        wood: LivingWood::from_table(tables::find_green_wood(wood).unwrap(), 0.18).unwrap(),
        at: Point::new(si::metres(0.0), si::metres(0.0)),
        diameter: si::millimetres(600.0),
        bark: si::millimetres(20.0),
        soft: si::metres(0.0),
        shell: None,
        lean: si::degrees(0.0),
        leans: si::degrees(0.0),
    };
    let anchor = Anchor {
        id: "a".into(),
        stem: 0,
        faces: si::degrees(90.0),
        level: None,
        size: AnchorSize {
            id: "64".into(),
            boss: piece(110.0, 64.0, 64.0),
            shank: vec![piece(135.0, 33.0, 38.0)],
            thread_length: si::millimetres(120.0),
            origin: Origin::new("test", Standing::Practice),
        },
        embedded: si::millimetres(55.0),
        arm: si::millimetres(100.0),
    };
    let mut criteria = Criteria::standard("asce7-22-asd").unwrap();
    assert!(criteria.change("notional_side", 0.0));
    let load = Load {
        id: "p".into(),
        place: LoadPlace::Anchor(0),
        magnitudes: [0.0, force, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    };
    Platform::new(
        "one",
        vec![stem],
        vec![anchor],
        vec![],
        vec![],
        vec![load],
        criteria,
    )
    .unwrap()
}

#[test]
fn allowables() {
    for wood in ["white oak", "western redcedar"] {
        let results = platform(wood, 1000.0).check().unwrap();
        for check in results.attachments()[0].checks() {
            println!(
                "{wood} {:?} {:?} {:?} kN",
                check.limit_state,
                check.verdict,
                check.utilization.map(|u| 1.0 / u)
            );
        }
        assert!(
            results.attachments()[0]
                .check(LimitState::LimitLoad)
                .is_some()
        );
    }
}
