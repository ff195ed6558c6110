//! Beams with known answers, through the frame and through the condensed line.

use super::*;
use crate::analysis::line::Line;
use crate::analysis::span::SpanLoad;

/// Coefficients of continuous beams under uniform load, by the three-moment equation: exact fractions of wL and wL²,
/// the largest moments within spans to four decimals.
struct Row {
    spans: &'static [f64],
    loaded: &'static [f64],
    reactions: &'static [(i32, i32)],
    support_moments: &'static [(i32, i32)],
    span_moments: &'static [f64],
}

/// The printed rounding of the moments within spans.
const FOUR_DECIMALS: f64 = 0.000_05;

const ROWS: [Row; 11] = [
    Row {
        spans: &[1.0, 1.0],
        loaded: &[1.0, 1.0],
        reactions: &[(3, 8), (5, 4), (3, 8)],
        support_moments: &[(-1, 8)],
        span_moments: &[0.0703, 0.0703],
    },
    Row {
        spans: &[1.0, 1.0],
        loaded: &[1.0, 0.0],
        reactions: &[(7, 16), (5, 8), (-1, 16)],
        support_moments: &[(-1, 16)],
        span_moments: &[0.0957, 0.0],
    },
    Row {
        spans: &[1.0, 1.0, 1.0],
        loaded: &[1.0, 1.0, 1.0],
        reactions: &[(2, 5), (11, 10), (11, 10), (2, 5)],
        support_moments: &[(-1, 10), (-1, 10)],
        span_moments: &[0.08, 0.025, 0.08],
    },
    Row {
        spans: &[1.0, 1.0, 1.0],
        loaded: &[1.0, 0.0, 1.0],
        reactions: &[(9, 20), (11, 20), (11, 20), (9, 20)],
        support_moments: &[(-1, 20), (-1, 20)],
        span_moments: &[0.1013, -0.05, 0.1013],
    },
    Row {
        spans: &[1.0, 1.0, 1.0],
        loaded: &[1.0, 1.0, 0.0],
        reactions: &[(23, 60), (6, 5), (9, 20), (-1, 30)],
        support_moments: &[(-7, 60), (-1, 30)],
        span_moments: &[0.0735, 0.0535, 0.0],
    },
    Row {
        spans: &[1.0, 1.0, 1.0],
        loaded: &[0.0, 1.0, 0.0],
        reactions: &[(-1, 20), (11, 20), (11, 20), (-1, 20)],
        support_moments: &[(-1, 20), (-1, 20)],
        span_moments: &[0.0, 0.075, 0.0],
    },
    Row {
        spans: &[1.0, 1.0, 1.0],
        loaded: &[1.0, 0.0, 0.0],
        reactions: &[(13, 30), (13, 20), (-1, 10), (1, 60)],
        support_moments: &[(-1, 15), (1, 60)],
        span_moments: &[0.0939, 0.0167, 0.0167],
    },
    Row {
        spans: &[1.0, 1.0, 1.0, 1.0],
        loaded: &[1.0, 1.0, 1.0, 1.0],
        reactions: &[(11, 28), (8, 7), (13, 14), (8, 7), (11, 28)],
        support_moments: &[(-3, 28), (-1, 14), (-3, 28)],
        span_moments: &[0.0772, 0.0364, 0.0364, 0.0772],
    },
    Row {
        spans: &[1.0, 1.0, 1.0, 1.0],
        loaded: &[1.0, 1.0, 0.0, 1.0],
        reactions: &[(85, 224), (137, 112), (5, 14), (67, 112), (99, 224)],
        support_moments: &[(-27, 224), (-1, 56), (-13, 224)],
        span_moments: &[0.072, 0.0611, -0.0179, 0.0977],
    },
    Row {
        spans: &[1.0, 1.0, 1.0, 1.0],
        loaded: &[0.0, 1.0, 1.0, 0.0],
        reactions: &[(-1, 28), (13, 28), (8, 7), (13, 28), (-1, 28)],
        support_moments: &[(-1, 28), (-3, 28), (-1, 28)],
        span_moments: &[0.0, 0.0561, 0.0561, 0.0],
    },
    Row {
        spans: &[1.0, 1.5],
        loaded: &[1.0, 1.0],
        reactions: &[(9, 32), (155, 96), (29, 48)],
        support_moments: &[(-7, 32)],
        span_moments: &[0.0396, 0.1825],
    },
];

fn fractions(of: &[(i32, i32)]) -> Vec<f64> {
    of.iter()
        .map(|(n, d)| f64::from(*n) / f64::from(*d))
        .collect()
}

fn places(spans: &[f64]) -> Vec<f64> {
    let ends = spans.iter().scan(0.0, |x, span| {
        *x += span;
        Some(*x)
    });
    [0.0].into_iter().chain(ends).collect()
}

#[test]
fn continuous_beams_by_the_frame() {
    for row in &ROWS {
        let (mut frame, nodes, members) = level_beam(&places(row.spans), PLANK);
        nodes.iter().for_each(|node| frame.fix(*node, Dof::Uz));
        let mut loads = LoadCase::new();
        members
            .iter()
            .zip(row.loaded)
            .for_each(|(member, w)| _ = loads.uniform(*member, down(*w)));
        let solution = frame.factorize().unwrap().solve(&loads).unwrap();
        let reactions: Vec<f64> = nodes
            .iter()
            .map(|node| solution.reaction(*node).unwrap()[2])
            .collect();
        all_close(&reactions, &fractions(row.reactions), ROUNDING);
        let supports: Vec<f64> = members[1..]
            .iter()
            .map(|member| solution.internal(*member, 0.0).unwrap().mz)
            .collect();
        all_close(&supports, &fractions(row.support_moments), ROUNDING);
        for (member, moment) in members.iter().zip(row.span_moments) {
            close(
                solution.extremes(&[*member]).unwrap().sagging.value,
                *moment,
                FOUR_DECIMALS,
                1.0,
            );
        }
    }
}

#[test]
fn continuous_beams_by_the_line() {
    for row in &ROWS {
        let x = places(row.spans);
        let line = Line::new([0.0, x[x.len() - 1]], &x, 2.5e6, None).unwrap();
        let ramp = |(pair, w): (&[f64], &f64)| SpanLoad::Ramp {
            from: pair[0],
            to: pair[1],
            start: -w,
            end: -w,
        };
        let loads: Vec<SpanLoad> = x.windows(2).zip(row.loaded).map(ramp).collect();
        let loaded = line.recover(&loads, &vec![0.0; x.len()]).unwrap();
        all_close(&loaded.reactions, &fractions(row.reactions), ROUNDING);
        let forces: Vec<f64> = line
            .support_forces(&loads)
            .unwrap()
            .iter()
            .map(|f| -f)
            .collect();
        assert_eq!(forces, loaded.reactions);
        let supports: Vec<f64> = x[1..x.len() - 1]
            .iter()
            .map(|x| loaded.bending.moment.at(*x))
            .collect();
        all_close(&supports, &fractions(row.support_moments), ROUNDING);
    }
}

#[test]
fn an_overhanging_beam() {
    // Statics: span 10, overhang 3, w = 200 over all of it: w(l² − a²)/2l = 910 and w(l + a)²/2l = 1690; −wa²/2 = −900.
    let (mut frame, nodes, members) = level_beam(&[0.0, 10.0, 13.0], PLANK);
    nodes[..2].iter().for_each(|node| frame.fix(*node, Dof::Uz));
    let mut loads = LoadCase::new();
    members
        .iter()
        .for_each(|member| _ = loads.uniform(*member, down(200.0)));
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    close(
        solution.reaction(nodes[0]).unwrap()[2],
        910.0,
        ROUNDING,
        1e3,
    );
    close(
        solution.reaction(nodes[1]).unwrap()[2],
        1690.0,
        ROUNDING,
        1e3,
    );
    let extremes = solution.extremes(&members).unwrap();
    close(extremes.hogging.value, -900.0, ROUNDING, 1e3);
    close(extremes.hogging.x, 10.0, ROUNDING, 10.0);
    close(extremes.sagging.x, 4.55, ROUNDING, 10.0);

    let line = Line::new([0.0, 13.0], &[0.0, 10.0], 2.5e6, None).unwrap();
    let tip = [SpanLoad::Ramp {
        from: 10.0,
        to: 13.0,
        start: -200.0,
        end: -200.0,
    }];
    all_close(
        &line.support_forces(&tip).unwrap(),
        &[90.0, -690.0],
        ROUNDING,
    );
}

#[test]
fn two_spans_on_equal_springs() {
    // R_B = wL(5/24 + α)/(1/6 + 3α/2), α = EI/(kL³) = 0.1: 3894.7 lb of 8000, ends 2052.6, to the printed decimal.
    let (length, w) = (10.0, 400.0);
    let k = PLANK.e * PLANK.iz / (0.1 * length * length * length);
    let (mut frame, nodes, members) = level_beam(&[0.0, length, 2.0 * length], PLANK);
    nodes
        .iter()
        .for_each(|node| _ = frame.spring(*node, Dof::Uz, k));
    let mut loads = LoadCase::new();
    members
        .iter()
        .for_each(|member| _ = loads.uniform(*member, down(w)));
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    let reactions: Vec<f64> = nodes
        .iter()
        .map(|node| solution.reaction(*node).unwrap()[2])
        .collect();
    [2052.6, 3894.7, 2052.6]
        .iter()
        .zip(&reactions)
        .for_each(|(printed, own)| close(*own, *printed, 0.05, 1.0));
    close(
        reactions[1],
        w * length * (5.0 / 24.0 + 0.1) / (1.0 / 6.0 + 0.15),
        ROUNDING,
        4e3,
    );
}

/// Deflection and largest moment of McGuire's beam, W8x35 (I = 128.5 in⁴, E = 29000 ksi), 240 in between pins, with
/// 40 kip at its middle, on springs of 1.5 ksi times their spacing.
fn mcguire(pieces: u32) -> (f64, f64) {
    let steel = Section {
        e: 29_000.0,
        g: 11_200.0,
        a: 10.3,
        iy: 42.6,
        iz: 128.5,
        j: 0.77,
        shear_y: None,
        shear_z: None,
    };
    let spacing = 240.0 / f64::from(pieces);
    let stations: Vec<f64> = (0..=pieces).map(|k| spacing * f64::from(k)).collect();
    let (mut frame, nodes, members) = level_beam(&stations, steel);
    let (last, middle) = (nodes.len() - 1, nodes.len() / 2);
    [nodes[0], nodes[last]]
        .iter()
        .for_each(|node| frame.fix(*node, Dof::Uz));
    nodes[1..last]
        .iter()
        .for_each(|node| _ = frame.spring(*node, Dof::Uz, 1.5 * spacing));
    let mut loads = LoadCase::new();
    loads.node(nodes[middle], Dof::Uz, -40.0);
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    (
        -solution.displacement(nodes[middle]).unwrap()[2],
        solution.extremes(&members).unwrap().sagging.value,
    )
}

#[test]
fn a_beam_on_closely_spaced_springs() {
    // McGuire, Gallagher, Ziemian, Matrix Structural Analysis, 2nd ed., Example 4.15 (read second-hand): springs of
    // 22.5 k/in every 15 in; 0.238 in and 547 kip·in printed. The moment is that of the springs, to its rounding; the
    // deflection is 4 % low (an endless beam has Pλ/2k = 0.2375 in).
    const MOMENT: f64 = 0.5;
    const DEFLECTION: f64 = 0.04;
    const LAST_DIGIT: f64 = 0.5;
    let (deflection, moment) = mcguire(16);
    close(moment, 547.0, MOMENT, 1.0);
    close(deflection, 0.238, DEFLECTION, 0.238);
    // The same on a continuous foundation, computed apart: 0.2463 in, 553.6 kip·in.
    let (deflection, moment) = mcguire(160);
    close(deflection, 0.246_3, LAST_DIGIT * 1e-4, 1.0);
    close(moment, 553.6, LAST_DIGIT * 0.1, 1.0);
}

#[test]
fn a_cantilever_with_shear() {
    // PL³/3EI + PL/κGA, and wL⁴/8EI + wL²/2κGA.
    let section = Section {
        shear_y: Some(0.025),
        ..PLANK
    };
    let (ei, kga, length) = (section.e * section.iz, section.g * 0.025, 1.3);
    let (mut frame, nodes, members) = level_beam(&[0.0, length], section);
    [Dof::Uz, Dof::Ry]
        .iter()
        .for_each(|dof| frame.fix(nodes[0], *dof));
    let factored = frame.factorize().unwrap();
    let tip = |loads: &LoadCase| {
        -factored
            .solve(loads)
            .unwrap()
            .displacement(nodes[1])
            .unwrap()[2]
    };
    let mut point = LoadCase::new();
    point.node(nodes[1], Dof::Uz, -1.0);
    close(
        tip(&point) / (length.powi(3) / (3.0 * ei) + length / kga),
        1.0,
        ROUNDING,
        1.0,
    );
    let mut uniform = LoadCase::new();
    uniform.uniform(members[0], down(1.0));
    close(
        tip(&uniform) / (length.powi(4) / (8.0 * ei) + length.powi(2) / (2.0 * kga)),
        1.0,
        ROUNDING,
        1.0,
    );
}

#[test]
fn a_cantilever_bends_and_shears_sideways() {
    // HL³/3EI + HL/κGA with Iy and the shear area along z, which differ from those along y.
    let section = Section {
        shear_y: Some(0.02),
        shear_z: Some(0.005),
        ..PLANK
    };
    let mut frame = Frame::new();
    let (root, tip) = (frame.node([0.0; 3]), frame.node([0.9, 0.0, 0.0]));
    let id = frame.section(section);
    let member = frame.member(root, tip, id, Releases::NONE).unwrap();
    Dof::ALL.iter().for_each(|dof| frame.fix(root, *dof));
    let mut loads = LoadCase::new();
    loads.node(tip, Dof::Uy, 1e3);
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    let exact =
        1e3 * (0.9_f64.powi(3) / (3.0 * section.e * section.iy) + 0.9 / (section.g * 0.005));
    close(
        solution.displacement(tip).unwrap()[1],
        exact,
        ROUNDING,
        exact,
    );
    // Local z is south, so the part beyond the root pulls it towards −z.
    let root = solution.internal(member, 0.0).unwrap();
    close(root.vz, -1e3, ROUNDING, 1e3);
    close(root.my.abs(), 900.0, ROUNDING, 900.0);
}

#[test]
fn a_strut_loaded_along_its_axis_alone() {
    // Nothing across it: wL²/2EA along a skew axis, and the balance is measured by what acts along it.
    let mut frame = Frame::new();
    let axis = [0.3, 0.7, 1.1];
    let (foot, top) = (frame.node([0.1; 3]), frame.node(axis.map(|c| c + 0.1)));
    let section = frame.section(PLANK);
    let member = frame.member(foot, top, section, Releases::NONE).unwrap();
    Dof::ALL.iter().for_each(|dof| frame.fix(foot, *dof));
    let length = frame.length(member).unwrap();
    let mut loads = LoadCase::new();
    loads.uniform(member, axis.map(|c| -170.3 * c / length));
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    let exact = 170.3 * length / (2.0 * PLANK.e * PLANK.a);
    all_close(
        &solution.displacement(top).unwrap()[..3],
        &axis.map(|c| -c * exact),
        1e-7,
    );
    close(
        solution.internal(member, 1.0).unwrap().n,
        -170.3 * (length - 1.0),
        ROUNDING,
        170.3,
    );
    assert!(solution.balance().residual < 1e-12 && solution.balance().worst() < 1e-12);
}

#[test]
fn a_short_line_with_shear_shares_like_its_members() {
    // Two unequal spans, the deflections of the middle by bending and shear made equal by the reaction.
    let (ei, kga) = (2.475e6, 1.7e7);
    let x = [0.2, 1.0, 2.3];
    let line = Line::new([0.0, 2.5], &x, ei, Some(kga)).unwrap();
    let section = Section {
        e: 11e9,
        iz: ei / 11e9,
        g: 1e9,
        shear_y: Some(kga / 1e9),
        ..PLANK
    };
    let (mut frame, nodes, members) = level_beam(&[0.0, 0.2, 1.0, 2.3, 2.5], section);
    nodes[1..4]
        .iter()
        .for_each(|node| frame.fix(*node, Dof::Uz));
    let loads = [
        SpanLoad::Ramp {
            from: 0.1,
            to: 1.7,
            start: -3e3,
            end: -5e3,
        },
        SpanLoad::Point {
            x: 2.45,
            force: -900.0,
        },
    ];
    let mut same = LoadCase::new();
    let w = |x: f64| down(3e3 + 2e3 * (x - 0.1) / 1.6);
    same.trapezoid(members[0], [0.1, 0.2], [w(0.1), w(0.2)]);
    same.trapezoid(members[1], [0.0, 0.8], [w(0.2), w(1.0)]);
    same.trapezoid(members[2], [0.0, 0.7], [w(1.0), w(1.7)]);
    same.point(members[3], 0.15, down(900.0));
    let moved = [-1e-3, 2e-3, 0.5e-3];
    nodes[1..4]
        .iter()
        .zip(moved)
        .for_each(|(node, value)| _ = same.settle(*node, Dof::Uz, value));
    let solution = frame.factorize().unwrap().solve(&same).unwrap();
    let loaded = line.recover(&loads, &moved).unwrap();
    let reactions: Vec<f64> = nodes[1..4]
        .iter()
        .map(|node| solution.reaction(*node).unwrap()[2])
        .collect();
    all_close(&loaded.reactions, &reactions, ROUNDING);
    for (start, member) in [0.0, 0.2, 1.0, 2.3].into_iter().zip(&members) {
        let diagram = solution.diagram(*member).unwrap();
        for s in [0.01, 0.07, 0.149, 0.16, 0.19] {
            close(
                loaded.bending.moment.at(start + s),
                diagram.internal(s).mz,
                ROUNDING,
                1e4,
            );
            close(
                loaded.bending.shear.at(start + s),
                -diagram.internal(s).vy,
                ROUNDING,
                1e4,
            );
            close(
                loaded.bending.deflection.at(start + s),
                diagram.displacement(s)[2],
                ROUNDING,
                1e-3,
            );
        }
    }
    // The condensed stiffness gives the same change of reactions.
    let still = line.recover(&loads, &[0.0; 3]).unwrap().reactions;
    let by_stiffness = line.stiffness() * nalgebra::DVector::from_column_slice(&moved);
    let change: Vec<f64> = loaded
        .reactions
        .iter()
        .zip(&still)
        .map(|(a, b)| a - b)
        .collect();
    all_close(by_stiffness.as_slice(), &change, ROUNDING);
}

#[test]
fn settlement_of_a_middle_support() {
    // Two spans L, the middle support down by δ: it loses 6EIδ/L³.
    let (length, drop) = (3.0, 4e-3);
    let (mut frame, nodes, _) = level_beam(&[0.0, length, 2.0 * length], PLANK);
    nodes.iter().for_each(|node| frame.fix(*node, Dof::Uz));
    let mut loads = LoadCase::new();
    loads.settle(nodes[1], Dof::Uz, -drop);
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    let lost = 6.0 * PLANK.e * PLANK.iz * drop / length.powi(3);
    close(
        solution.reaction(nodes[1]).unwrap()[2],
        -lost,
        ROUNDING,
        lost,
    );
    close(
        solution.reaction(nodes[0]).unwrap()[2],
        lost / 2.0,
        ROUNDING,
        lost,
    );
}

#[test]
fn a_plumb_member_bends_about_both_axes() {
    // A post fixed below with a sideways force at its top: HL³/3EI with Iz along x and Iy along y.
    let mut frame = Frame::new();
    let (foot, top) = (frame.node([0.0; 3]), frame.node([0.0, 0.0, 2.0]));
    let section = frame.section(PLANK);
    frame.member(foot, top, section, Releases::NONE).unwrap();
    Dof::ALL.iter().for_each(|dof| frame.fix(foot, *dof));
    let mut loads = LoadCase::new();
    loads
        .node(top, Dof::Ux, 100.0)
        .node(top, Dof::Uy, 100.0)
        .node(top, Dof::Uz, -500.0)
        .node(top, Dof::Rz, 7.0);
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    let bent = |inertia: f64| 100.0 * 8.0 / (3.0 * PLANK.e * inertia);
    let [x, y, z, _, _, turn] = solution.displacement(top).unwrap();
    all_close(&[x, y], &[bent(PLANK.iz), bent(PLANK.iy)], ROUNDING);
    close(z, -500.0 * 2.0 / (PLANK.e * PLANK.a), ROUNDING, z.abs());
    close(turn, 7.0 * 2.0 / (PLANK.g * PLANK.j), ROUNDING, turn);
}

#[test]
fn along_a_member_it_is_as_in_the_solution() {
    let section = Section {
        shear_y: Some(0.025),
        shear_z: Some(0.025),
        ..PLANK
    };
    let mut frame = Frame::new();
    let places = [[0.0, 0.0, 0.0], [2.0, 0.5, 0.3], [4.5, 0.0, 0.1]];
    let nodes = places.map(|place| frame.node(place));
    let section = frame.section(section);
    let members: Vec<MemberId> = nodes
        .windows(2)
        .map(|pair| {
            frame
                .member(pair[0], pair[1], section, Releases::NONE)
                .unwrap()
        })
        .collect();
    for dof in Dof::ALL {
        frame.fix(nodes[0], dof);
    }
    frame.spring(nodes[2], Dof::Uz, 1e6);
    let factored = frame.factorize().unwrap();
    let mut loads = LoadCase::new();
    loads
        .node(nodes[2], Dof::Uy, 700.0)
        .node(nodes[1], Dof::Rx, 40.0)
        .point(members[0], 0.7, [30.0, -20.0, -900.0])
        .uniform(members[0], [0.0, 15.0, -400.0]);
    let solution = factored.solve(&loads).unwrap();
    let forces = factored.forces(&loads).unwrap();
    let (movements, moved) = factored.movements_together([&Sparse::new(), &forces].into_iter());
    assert!(moved.contains(&(factored.order() / 2)) && moved.end <= factored.order());
    let mut own = LoadsByMember::default();
    own.add(&loads);
    assert!(
        factored
            .along_member(members[0], &movements, 0, &LoadsByMember::default())
            .unwrap()
            .is_none()
    );
    for member in members {
        let along = factored
            .along_member(member, &movements, 1, &own)
            .unwrap()
            .unwrap();
        let diagram = solution.diagram(member).unwrap();
        for k in 0..=20 {
            let x = f64::from(k) / 20.0 * frame.length(member).unwrap();
            let exact = [
                diagram.upright.moment.at(x),
                diagram.sideways.moment.at(x),
                diagram.upright.shear.at(x),
                diagram.axial.at(x),
                diagram.upright.deflection.at(x),
            ];
            let scale = [4e3, 4e3, 1e3, 1e3, 0.1];
            for ((found, exact), scale) in along.at(x).iter().zip(exact).zip(scale) {
                assert!(
                    (found - exact).abs() <= ROUNDING * scale,
                    "{found} {exact} at {x}"
                );
            }
        }
    }
}
