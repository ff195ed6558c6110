//! Elastic–plastic paths of stepped bars: they begin with the exact elastic stiffness, end at the exact limit load,
//! never exceed it, and come back.

use barkline::mechanics::MechanicsError;
use barkline::mechanics::foundation::{BarSegment, BeamTheory, FoundationBar};
use barkline::mechanics::mechanism::{PlasticBar, PlasticSegment};
use barkline::mechanics::pushover::{LoadPath, PathPoint, PushoverBar, PushoverSegment, SteelLaw};
use barkline::units::Length;
use barkline::units::si::{
    gigapascals, megapascals, metres, newton_metres, newtons, newtons_per_metre, pascals,
};
use proptest::prelude::*;

/// The chain against the exact elastic solution: links of 1/200 of the embedment, shorter in short segments.
const LINKS: f64 = 1e-3;
/// A path may exceed the limit load by what a link between two joints lets the moment bulge, and by rounding.
const BULGE: f64 = 2e-3;
/// How near a path comes to the limit load when pushed far.
const FAR: f64 = 0.01;
/// What must come out the same.
const SAME: f64 = 1e-6;

#[derive(Debug, Clone)]
struct Bar {
    arm: Vec<PushoverSegment>,
    embedded: Vec<PushoverSegment>,
}

fn segment() -> impl Strategy<Value = PushoverSegment> {
    (0.02..0.15, 0.02..0.06, 200.0..400.0, 8.3..9.3, 10.0..40.0).prop_map(
        |(length, d, strength, k, f): (f64, f64, f64, f64, f64)| PushoverSegment {
            length: metres(length),
            bending_diameter: metres(d),
            modulus: gigapascals(205.0),
            yield_strength: megapascals(strength),
            foundation: pascals(10f64.powf(k)),
            resistance: megapascals(f) * metres(d),
        },
    )
}

fn bars() -> impl Strategy<Value = Bar> {
    let arm = prop::collection::vec(segment(), 0..3).prop_map(|mut arm| {
        for segment in &mut arm {
            segment.foundation = pascals(0.0);
            segment.resistance = newtons_per_metre(0.0);
        }
        arm
    });
    (arm, prop::collection::vec(segment(), 1..4)).prop_map(|(arm, embedded)| Bar { arm, embedded })
}

fn laws() -> impl Strategy<Value = SteelLaw> {
    prop_oneof![Just(SteelLaw::MomentCurvature), Just(SteelLaw::Fibre)]
}

impl Bar {
    fn follow(&self, law: SteelLaw, path: &[f64]) -> LoadPath {
        let path: Vec<Length> = path.iter().map(|deflection| metres(*deflection)).collect();
        PushoverBar::new(&self.arm, &self.embedded, law)
            .unwrap()
            .follow(&path)
            .unwrap()
    }

    fn limit(&self) -> f64 {
        let plastic = |segments: &[PushoverSegment]| -> Vec<PlasticSegment> {
            let segment = |s: &PushoverSegment| {
                let d = s.bending_diameter;
                PlasticSegment {
                    length: s.length,
                    resistance: s.resistance,
                    plastic_moment: s.yield_strength * (d * d * d / 6.0),
                }
            };
            segments.iter().map(segment).collect()
        };
        let bar = PlasticBar::new(&plastic(&self.arm), &plastic(&self.embedded)).unwrap();
        bar.limit(newtons(1.0), newton_metres(0.0)).unwrap().factor
    }

    /// Deflection of the load point per force, elastic.
    fn flexibility(&self) -> f64 {
        let elastic = |segments: &[PushoverSegment]| -> Vec<BarSegment> {
            let segment = |s: &PushoverSegment| BarSegment {
                length: s.length,
                bending_diameter: s.bending_diameter,
                bearing_diameter: s.bending_diameter,
                modulus: s.modulus,
                foundation: s.foundation,
            };
            segments.iter().map(segment).collect()
        };
        let bar = FoundationBar::new(
            &elastic(&self.arm),
            &elastic(&self.embedded),
            BeamTheory::EulerBernoulli,
        );
        bar.unwrap().solve().unwrap().load_point_flexibility()[0][0]
    }

    /// The deflection that the elastic bar would have at its limit load.
    fn reach(&self) -> f64 {
        self.limit() * self.flexibility()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    #[test]
    fn a_path_begins_elastic_and_ends_at_the_limit_load(bar in bars(), law in laws()) {
        let (limit, reach) = (bar.limit(), bar.reach());
        let path: Vec<f64> = [1e-3, 0.3, 0.6, 1.0, 2.0, 4.0, 10.0, 50.0, 200.0].map(|share| share * reach).to_vec();
        let followed = bar.follow(law, &path);
        let stiffness = followed.initial_stiffness().unwrap().value;
        prop_assert!((stiffness * bar.flexibility() - 1.0).abs() < LINKS, "{}", stiffness * bar.flexibility());
        let mut before = 0.0;
        for point in &followed.points {
            let force = point.force.value;
            prop_assert!(force <= limit * (1.0 + BULGE), "{force} above {limit}");
            prop_assert!(force <= point.deflection.value / bar.flexibility() * (1.0 + LINKS));
            prop_assert!(force >= before * (1.0 - SAME), "{force} after {before}");
            before = force;
        }
        prop_assert!(before >= limit * (1.0 - FAR), "{before} far from {limit}");
    }

    #[test]
    fn what_stayed_elastic_comes_back(bar in bars(), law in laws()) {
        // First yield of the wood lies well above a hundredth of the limit load.
        let there = 0.01 * bar.reach();
        let followed = bar.follow(law, &[there, 0.0, -there]);
        let [out, back, other] = [0, 1, 2].map(|i| followed.points[i].force.value);
        prop_assert!(back.abs() < SAME * out);
        prop_assert!((other + out).abs() < SAME * out);
    }

    #[test]
    fn the_other_way_is_the_mirror(bar in bars(), law in laws()) {
        let reach = bar.reach();
        let path = [0.5, 2.0, 5.0, 1.0, -3.0].map(|share| share * reach);
        let (one, other) = (bar.follow(law, &path), bar.follow(law, &path.map(|deflection| -deflection)));
        for (one, other) in one.points.iter().zip(&other.points) {
            prop_assert!((one.force + other.force).value.abs() < SAME * bar.limit());
            prop_assert!((one.tip_deflection + other.tip_deflection).value.abs() < SAME * 5.0 * reach);
        }
    }

    #[test]
    fn unloading_is_stiff_and_a_cycle_takes_work(bar in bars(), law in laws()) {
        let reach = bar.reach();
        let path = [2.0, 4.0, 4.0 - 1e-3, 3.0, 0.0, -4.0, 0.0, 2.0, 4.0].map(|share| share * reach);
        let followed = bar.follow(law, &path);
        let [on_the_way, top, after] = [0, 1, 2].map(|i| followed.points[i]);
        let between = |one: PathPoint, other: PathPoint| {
            (other.force - one.force).value / (other.deflection - one.deflection).value * bar.flexibility()
        };
        // Never stiffer than elastic; softer where a spring is still being loaded as the bar turns back.
        let (loading, unloading) = (between(on_the_way, top), between(top, after));
        prop_assert!(unloading < 1.0 + LINKS && unloading > 0.5 && unloading > loading, "{loading} {unloading}");
        // From 4 out, through −4, back to 4: the work done is lost.
        let cycle: f64 = followed.points[1..]
            .windows(2)
            .map(|pair| 0.5 * (pair[0].force + pair[1].force).value * (pair[1].deflection - pair[0].deflection).value)
            .sum();
        prop_assert!(cycle > 0.0, "{cycle}");
    }

    #[test]
    fn steel_that_yields_sooner_takes_less_work(bar in bars()) {
        // At each angle a fibre joint has taken no more work than a plastic one, and that no more than an elastic one;
        // so the whole bar, which finds the least work, takes no more either. (The force itself may cross over.)
        let (step, limit) = (0.2 * bar.reach(), bar.limit());
        let path: Vec<f64> = (1..=20).map(|count| step * f64::from(count)).collect();
        let work = |law| -> Vec<f64> {
            let (mut done, mut before) = (0.0, 0.0);
            let points = bar.follow(law, &path).points.into_iter();
            points.map(|point| {
                done += 0.5 * (before + point.force.value) * step;
                before = point.force.value;
                done
            }).collect()
        };
        let [fibres, whole, elastic] =
            [SteelLaw::Fibre, SteelLaw::MomentCurvature, SteelLaw::Elastic].map(work);
        for ((fibres, whole), elastic) in fibres.iter().zip(&whole).zip(&elastic) {
            // The sum over the path cuts a knee between two points by at most an eighth of step · step · stiffness.
            let cut = step / 8.0 * 0.2 * limit * (1.0 + LINKS);
            prop_assert!(*fibres <= whole + cut && *whole <= elastic + cut, "{fibres} {whole} {elastic}");
        }
    }

    #[test]
    fn splitting_a_segment_changes_little(bar in bars(), law in laws(), share in 0.2..0.8) {
        let split = |segments: &[PushoverSegment]| -> Vec<PushoverSegment> {
            let halves = |s: &PushoverSegment| [share, 1.0 - share].map(|part| PushoverSegment { length: s.length * part, ..*s });
            segments.iter().flat_map(halves).collect()
        };
        let other = Bar { arm: split(&bar.arm), embedded: split(&bar.embedded) };
        let path = [0.5, 1.0, 3.0, 2.0, 0.0].map(|share| share * bar.reach());
        let (one, two) = (bar.follow(law, &path), other.follow(law, &path));
        for (one, two) in one.points.iter().zip(&two.points) {
            prop_assert!((one.force - two.force).value.abs() < 2.0 * LINKS * bar.limit(), "{one:?} {two:?}");
        }
    }
}

#[test]
fn what_has_no_path() {
    let good = PushoverSegment {
        length: metres(0.1),
        bending_diameter: metres(0.03),
        modulus: gigapascals(200.0),
        yield_strength: megapascals(300.0),
        foundation: megapascals(500.0),
        resistance: newtons_per_metre(1e6),
    };
    let bar = |segment| PushoverBar::new(&[], &[segment], SteelLaw::MomentCurvature);
    assert!(bar(good).is_ok());
    for idle in [
        PushoverSegment {
            foundation: pascals(0.0),
            ..good
        },
        PushoverSegment {
            resistance: newtons_per_metre(0.0),
            ..good
        },
    ] {
        assert!(matches!(bar(idle), Err(MechanicsError::NoSolution { .. })));
    }
    assert!(matches!(
        PushoverBar::new(&[], &[], SteelLaw::Elastic),
        Err(MechanicsError::NoSolution { .. })
    ));
    for wrong in [
        PushoverSegment {
            length: metres(0.0),
            ..good
        },
        PushoverSegment {
            bending_diameter: metres(0.0),
            ..good
        },
        PushoverSegment {
            modulus: pascals(-1.0),
            ..good
        },
        PushoverSegment {
            yield_strength: pascals(0.0),
            ..good
        },
    ] {
        assert!(
            matches!(bar(wrong), Err(MechanicsError::NotPositive { .. })),
            "{wrong:?}"
        );
    }
    let elastic = PushoverSegment {
        yield_strength: pascals(0.0),
        ..good
    };
    assert!(PushoverBar::new(&[], &[elastic], SteelLaw::Elastic).is_ok());
    let nowhere = bar(good).unwrap().follow(&[metres(f64::NAN)]);
    assert!(matches!(nowhere, Err(MechanicsError::NotFinite { .. })));
}

/// A slightly pushed bar has an initial stiffness but no offset load yet; a bar left alone has neither.
#[test]
fn a_short_path_has_no_offset_load() {
    let segment = PushoverSegment {
        length: metres(0.1),
        bending_diameter: metres(0.06),
        modulus: gigapascals(200.0),
        yield_strength: megapascals(300.0),
        foundation: megapascals(1500.0),
        resistance: newtons_per_metre(1.5e6),
    };
    let bar = PushoverBar::new(&[], &[segment], SteelLaw::Elastic).unwrap();
    let short = bar.follow(&[1e-4, 2e-4].map(metres)).unwrap();
    assert!(short.initial_stiffness().is_some() && short.offset_load(metres(1e-3)).is_none());
    let rest = bar.follow(&[metres(0.0)]).unwrap();
    assert_eq!(rest.points[0].force.value, 0.0);
    assert!(rest.initial_stiffness().is_none() && rest.offset_load(metres(1e-3)).is_none());
}
