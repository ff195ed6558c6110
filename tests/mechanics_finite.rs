//! Whatever numbers go into an equation, a result is finite or an error: no NaN and no infinity comes out, and no panic.
#![allow(clippy::unwrap_used, clippy::many_single_char_names)]

use barkline::mechanics::eurocode5::{self, DoubleShear, WoodKind};
use barkline::mechanics::general_dowel::{self, Member};
use barkline::mechanics::group_action::{Joined, group_action_factor, load_slip_modulus};
use barkline::mechanics::statics::{self, Point, Span, SpringSupport};
use barkline::mechanics::stem::Bore;
use barkline::mechanics::sway::taper::TaperedStem;
use barkline::mechanics::sway::{pair, roots, taper, vibration, wind};
use barkline::mechanics::yield_modes::{self, Joint, Mode, ModeLoads};
use barkline::mechanics::{
    MechanicsError, driving, embedment, exclusion, growth, modulus, round_bar, stem, withdrawal,
};
use barkline::units::si::{
    kilograms, kilograms_per_cubic_metre, metres, metres_per_second, newton_metres,
    newton_metres_per_kilogram, newtons, newtons_per_metre, pascals, per_second, radians,
    square_metres,
};
use proptest::prelude::*;

/// Everything an equation returns, as plain numbers, or its error.
type Outcome = Result<Vec<f64>, MechanicsError>;

/// Numbers of every size, ordinary ones most often, and those that are none.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 0.0..2.0_f64,
        2 => (-320.0..308.0_f64).prop_map(|e| 10_f64.powf(e)),
        1 => prop::num::f64::ANY,
        1 => prop::sample::select(vec![0.0, -0.0, -1.0, f64::MAX, f64::MIN_POSITIVE, f64::INFINITY, f64::NAN]),
    ]
}

fn loads(loads: Result<ModeLoads, MechanicsError>) -> Outcome {
    Ok(loads?.iter().map(|(_, load)| load.value).collect())
}

fn wood(n: [f64; 8]) -> Vec<Outcome> {
    let [a, b, c, d, ..] = n;
    let one = |r: Result<f64, MechanicsError>| r.map(|v| vec![v]);
    vec![
        embedment::from_crushing(pascals(a)).map(|v| vec![v.value]),
        embedment::dowel_bearing_along(a).map(|v| vec![v.value]),
        embedment::dowel_bearing_across(a, metres(b)).map(|v| vec![v.value]),
        embedment::dowel_bearing_small(a).map(|v| vec![v.value]),
        embedment::hankinson(pascals(a), pascals(b), radians(c), d).map(|v| vec![v.value]),
        embedment::never_above_green(pascals(a), pascals(b)).map(|v| vec![v.value]),
        one(embedment::ovendry_gravity(a)),
        exclusion::lower_exclusion_limit(pascals(a), b, c).map(|v| vec![v.value]),
        one(exclusion::normal_quantile(a)),
        withdrawal::lag_withdrawal(a, metres(b)).map(|v| vec![v.value]),
        withdrawal::lag_withdrawal_maximum(a, metres(b), metres(c)).map(|v| vec![v.value]),
        withdrawal::nail_withdrawal(a, metres(b)).map(|v| vec![v.value]),
        withdrawal::combined_lateral_withdrawal(newtons(a), newtons(b), radians(c))
            .map(|v| vec![v.value]),
        modulus::longitudinal(pascals(a)).map(|v| vec![v.value]),
        modulus::along(pascals(a)).map(|v| vec![v.value]),
        modulus::across(pascals(a)).map(|v| vec![v.value]),
        modulus::from_slip_modulus(
            newtons_per_metre(a),
            pascals(b) * (square_metres(c) * square_metres(d)),
        )
        .map(|v| vec![v.value]),
        one(stem::cavity_area_loss(metres(a), metres(b))),
        one(stem::cavity_strength_loss(metres(a), metres(b))),
        one(stem::hole_strength_loss(metres(a), metres(b), metres(c))),
        one(stem::hole_loss_on_neutral_axis(metres(a), metres(b))),
        stem::eccentric_stress(newtons(a), metres(b), metres(c)).map(|v| vec![v.value]),
    ]
}

fn steel(n: [f64; 8]) -> Vec<Outcome> {
    let [a, b, c, ..] = n;
    let modulus = square_metres(a) * metres(b);
    vec![
        driving::friction_torque(metres(a), b, pascals(c), metres(b)).map(|v| vec![v.value]),
        driving::yield_torque(metres(a), pascals(b)).map(|v| vec![v.value]),
        round_bar::area(metres(a)).map(|v| vec![v.value]),
        round_bar::elastic_modulus(metres(a)).map(|v| vec![v.value]),
        round_bar::plastic_modulus(metres(a)).map(|v| vec![v.value]),
        round_bar::second_moment(metres(a)).map(|v| vec![v.value]),
        round_bar::plastic_moment(pascals(a), metres(b)).map(|v| vec![v.value]),
        round_bar::nominal_moment(pascals(a), metres(b)).map(|v| vec![v.value]),
        round_bar::nominal_moment_rectangle(pascals(a), metres(b), metres(c))
            .map(|v| vec![v.value]),
        round_bar::nominal_shear(pascals(a), square_metres(b)).map(|v| vec![v.value]),
        round_bar::pin_shear(square_metres(a), pascals(b)).map(|v| vec![v.value]),
        round_bar::pin_moment(modulus, pascals(c)).map(|v| vec![v.value]),
        round_bar::pin_moment_replaceable(modulus, pascals(c)).map(|v| vec![v.value]),
        round_bar::pin_interaction(a, b).map(|v| vec![v]),
        round_bar::elastic_interaction(a, b, c).map(|v| vec![v]),
    ]
}

fn dowels(n: [f64; 8], count: u32) -> Vec<Outcome> {
    let [a, b, c, d, e, f, g, h] = n;
    let joint = Joint {
        diameter: metres(a),
        main_length: metres(b),
        side_length: metres(c),
        main_bearing: pascals(d),
        side_bearing: pascals(e),
        bending_yield: pascals(f),
    };
    let main = Member {
        bearing: newtons_per_metre(a),
        length: metres(b),
        moment: newton_metres(c),
    };
    let side = Member {
        bearing: newtons_per_metre(d),
        length: metres(e),
        moment: newton_metres(f),
    };
    let term =
        |mode| yield_modes::reduction_term(mode, metres(a), metres(b), radians(c)).map(|v| vec![v]);
    let reduced = yield_modes::single_shear(&joint)
        .and_then(|y| yield_modes::reference_values(&y, metres(a), metres(g), radians(h)));
    let group = group_action_factor(
        count,
        newtons_per_metre(a),
        metres(b),
        newtons(c),
        newtons(d),
    );
    vec![
        loads(yield_modes::single_shear(&joint)),
        loads(yield_modes::double_shear(&joint)),
        loads(reduced),
        loads(general_dowel::single_shear(&main, &side, metres(g))),
        loads(general_dowel::double_shear(&main, &side, metres(g))),
        term(Mode::Im),
        term(Mode::II),
        term(Mode::IV),
        load_slip_modulus(metres(a), Joined::WoodToMetal).map(|v| vec![v.value]),
        group.map(|v| vec![v]),
    ]
}

fn eurocode(n: [f64; 8], count: u32) -> Vec<Outcome> {
    let [a, b, c, d, e, f, g, h] = n;
    let (rho, diameter) = (kilograms_per_cubic_metre(a), metres(b));
    let modes = eurocode5::double_shear(&DoubleShear {
        diameter: metres(a),
        side_length: metres(b),
        middle_length: metres(c),
        side_embedment: pascals(d),
        middle_embedment: pascals(e),
        yield_moment: newton_metres(f),
        axial: newtons(g),
        rope_share: h,
    });
    vec![
        eurocode5::yield_moment(pascals(a), diameter).map(|v| vec![v.value]),
        eurocode5::embedment_along(rho, diameter).map(|v| vec![v.value]),
        eurocode5::embedment(rho, diameter, radians(c), WoodKind::Hardwood).map(|v| vec![v.value]),
        eurocode5::joint_density(rho, kilograms_per_cubic_metre(b)).map(|v| vec![v.value]),
        eurocode5::slip_modulus(rho, diameter).map(|v| vec![v.value]),
        eurocode5::effective_number(count, metres(a), diameter).map(|v| vec![v]),
        eurocode5::washer_resistance(pascals(a), square_metres(b)).map(|v| vec![v.value]),
        eurocode5::splitting(metres(a), metres(b), metres(c), d).map(|v| vec![v.value]),
        modes.map(|m| {
            vec![
                m.g.value,
                m.h.value,
                m.j.value,
                m.k.value,
                m.governing().value,
            ]
        }),
    ]
}

fn platforms(n: [f64; 8]) -> Vec<Outcome> {
    let [a, b, c, d, e, f, g, h] = n;
    let (w, l) = (newtons_per_metre(a), metres(b));
    let span = |length, load| Span {
        length: metres(length),
        load: newtons_per_metre(load),
    };
    let at = |x, y| Point {
        x: metres(x),
        y: metres(y),
    };
    let spring = |x, y| SpringSupport {
        at: at(x, y),
        stiffness: newtons_per_metre(h),
    };
    let beam = statics::continuous_beam(&[span(a, b), span(c, d), span(e, f)]);
    let springs = [spring(a, b), spring(c, d), spring(e, f), spring(0.3, 0.7)];
    vec![
        beam.map(|beam| {
            let moments = beam
                .support_moments
                .iter()
                .chain(&beam.span_moments)
                .map(|m| m.value);
            beam.reactions
                .iter()
                .map(|r| r.value)
                .chain(moments)
                .collect()
        }),
        statics::two_spans_on_springs(
            w,
            l,
            pascals(c) * (square_metres(d) * square_metres(1.0)),
            newtons_per_metre(e),
        )
        .map(|r| r.map(|r| r.value).to_vec()),
        statics::overhanging_beam(w, l, metres(c)).map(|r| r.map(|r| r.value).to_vec()),
        statics::loaded_overhang(w, l, metres(c)).map(|r| r.map(|r| r.value).to_vec()),
        statics::three_supports([at(a, b), at(c, d), at(e, f)], at(g, h)).map(|r| r.to_vec()),
        statics::rigid_platform(&springs, newtons(g), at(h, g))
            .map(|r| r.iter().map(|r| r.value).collect()),
    ]
}

fn trees(n: [f64; 8]) -> Vec<Outcome> {
    let [a, b, c, d, e, f, g, h] = n;
    let stem = TaperedStem {
        height: metres(a),
        stiffness: newtons(b) * square_metres(1.0),
        taper: c,
    };
    let moved = |weight, length| (newtons(weight), metres(length));
    let one = |r: Result<f64, MechanicsError>| r.map(|v| vec![v]);
    let bore = |diameter, depth| Bore {
        diameter: metres(diameter),
        depth: metres(depth),
    };
    vec![
        taper::diameter_at(metres(a), metres(b), metres(c), metres(d), e).map(|v| vec![v.value]),
        taper::base_diameter(metres(a), metres(b)).map(|v| vec![v.value]),
        taper::stem_volume(metres(a), metres(b), c).map(|v| vec![v.value]),
        taper::deflection(&stem, newtons(d), metres(e), metres(f)).map(|v| vec![v.value]),
        taper::slope(&stem, newtons(d), metres(e), metres(f)).map(|v| vec![v.value]),
        taper::prismatic_deflection(stem.stiffness, newtons(d), metres(e), metres(f))
            .map(|v| vec![v.value]),
        roots::anchorage_moment(newton_metres_per_kilogram(a), kilograms(b)).map(|v| vec![v.value]),
        roots::breaking_moment(pascals(a), b, metres(c)).map(|v| vec![v.value]),
        roots::root_stiffness(newton_metres(a)).map(|v| vec![v.value]),
        roots::root_rotation(newton_metres(a), newton_metres(b)).map(|v| vec![v.value]),
        roots::root_movement(metres(c), newton_metres(a), newton_metres(b)).map(|v| vec![v.value]),
        roots::side_stiffness(&stem, newton_metres(g), metres(f)).map(|v| vec![v.value]),
        one(wind::drag_coefficient(
            a,
            b,
            metres_per_second(c),
            metres_per_second(d),
        )),
        wind::crown_drag(
            kilograms_per_cubic_metre(a),
            square_metres(b),
            metres_per_second(c),
            d,
        )
        .map(|v| vec![v.value]),
        wind::turning_moment_in_stand(metres(a), metres(b), metres_per_second(c))
            .map(|v| vec![v.value]),
        one(wind::self_weight_factor(
            newton_metres(a),
            moved(b, c),
            moved(d, e),
        )),
        vibration::conifer_frequency(metres(a), metres(b)).map(|v| vec![v.value]),
        one(vibration::damping_ratio(per_second(a), per_second(b))),
        vibration::greenhill_height(pascals(a), kilograms_per_cubic_metre(b), metres(c))
            .map(|v| vec![v.value]),
        pair::relative_movement(metres(a), metres(b))
            .map(|v| vec![v.in_phase.value, v.uncorrelated.value, v.opposed.value]),
        pair::locked_in_force(metres(a), &[newtons_per_metre(b), newtons_per_metre(c)])
            .map(|v| vec![v.value]),
        growth::radial_growth(a, b, metres(c), metres(d), e).map(|v| vec![v.value]),
        growth::bark_thickness(a, metres(b)).map(|v| vec![v.value]),
        growth::new_wood(metres(a), b).map(|v| vec![v.value]),
        one(growth::years_to_contact(metres(a), metres(b), metres(c))),
        one(stem::stepped_hole_strength_loss(
            metres(a),
            bore(b, c),
            bore(d, h),
        )),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    #[test]
    fn every_equation_answers_with_finite_numbers_or_an_error(
        n in prop::array::uniform8(number()), count in prop_oneof![0..5_u32, Just(u32::MAX)],
    ) {
        let families =
            [wood(n), steel(n), dowels(n, count), eurocode(n, count), platforms(n), trees(n)];
        for (family, outcomes) in families.iter().enumerate() {
            for (place, outcome) in outcomes.iter().enumerate() {
                let fine = outcome.as_ref().map_or(true, |values| values.iter().all(|v| v.is_finite()));
                prop_assert!(fine, "family {family}, equation {place}: {outcome:?} from {n:?}");
            }
        }
    }
}

#[test]
fn ordinary_numbers_are_answered_by_every_equation() {
    let n = [0.9, 0.05, 0.04, 0.5, 0.6, 0.7, 0.2, 0.3];
    let answered = |outcomes: Vec<Outcome>| outcomes.iter().filter(|o| o.is_ok()).count();
    assert!(answered(wood(n)) >= 20 && answered(steel(n)) == 15 && answered(dowels(n, 3)) == 10);
    assert!(answered(eurocode(n, 3)) >= 8 && answered(platforms(n)) == 6);
    assert!(answered(trees(n)) >= 22, "{}", answered(trees(n)));
}
