//! Links, ties, spring matrices and condensed parts.

use super::*;
use crate::analysis::line::Line;
use crate::analysis::span::SpanLoad;

/// Two beams at right angles, crossing at their middles, one above the other; the nodes at the crossing.
fn crossing(lengths: [f64; 2]) -> (Frame, [NodeId; 2]) {
    let mut frame = Frame::new();
    [Dof::Ux, Dof::Uy, Dof::Rz]
        .iter()
        .for_each(|dof| frame.fix_all(*dof));
    let section = frame.section(PLANK);
    let mut beam = |length: f64, along: [f64; 3], height: f64| {
        let nodes = [-0.5, 0.0, 0.5]
            .map(|t| frame.node([along[0] * t * length, along[1] * t * length, height]));
        nodes.windows(2).for_each(|pair| {
            _ = frame
                .member(pair[0], pair[1], section, Releases::NONE)
                .unwrap()
        });
        for end in [nodes[0], nodes[2]] {
            [Dof::Uz, if along[0] > 0.0 { Dof::Rx } else { Dof::Ry }]
                .iter()
                .for_each(|dof| frame.fix(end, *dof));
        }
        nodes[1]
    };
    let middles = [
        beam(lengths[0], [1.0, 0.0, 0.0], 0.0),
        beam(lengths[1], [0.0, 1.0, 0.0], 0.3),
    ];
    (frame, middles)
}

#[test]
fn a_beam_tied_onto_another_shares_its_load() {
    let (mut frame, [lower, upper]) = crossing([4.0, 3.0]);
    frame.tie(lower, upper, &[Dof::Uz]);
    let mut loads = LoadCase::new();
    loads.node(upper, Dof::Uz, -1000.0);
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    // Stiffness at the middle 48EI/L³: the load divides as 1/64 to 1/27.
    let share = 1000.0 * 27.0 / (27.0 + 64.0);
    close(
        solution.tie_force(lower).unwrap()[2],
        -share,
        ROUNDING,
        share,
    );
    close(
        solution.tie_force(upper).unwrap()[2],
        share,
        ROUNDING,
        share,
    );
    assert_eq!(
        solution.displacement(lower).unwrap()[2],
        solution.displacement(upper).unwrap()[2]
    );
    assert_eq!(solution.reaction(lower).unwrap()[2], 0.0);
}

#[test]
fn a_link_between_two_beams() {
    let (mut frame, [lower, upper]) = crossing([4.0, 3.0]);
    let k = 3e6;
    let link = frame.link(lower, upper, k).unwrap();
    let mut loads = LoadCase::new();
    loads.node(upper, Dof::Uz, -1000.0);
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    let stiff = |length: f64| 48.0 * PLANK.e * PLANK.iz / length.powi(3);
    let below = 1.0 / (1.0 / k + 1.0 / stiff(4.0));
    close(
        solution.tension(link).unwrap(),
        -1000.0 * below / (below + stiff(3.0)),
        ROUNDING,
        1e3,
    );
    assert_eq!(solution.reaction(lower).unwrap(), [0.0; 6]);
}

#[test]
fn tied_supports_settle_together_or_not_at_all() {
    let (mut frame, nodes, _) = level_beam(&[0.0, 2.0, 4.0], PLANK);
    frame.tie(nodes[0], nodes[2], &[Dof::Uz]);
    nodes.iter().for_each(|node| frame.fix(*node, Dof::Uz));
    let factored = frame.factorize().unwrap();
    let mut loads = LoadCase::new();
    loads
        .settle(nodes[2], Dof::Uz, 1e-3)
        .settle(nodes[2], Dof::Uz, 1e-3);
    let solution = factored.solve(&loads).unwrap();
    [nodes[0], nodes[2]]
        .iter()
        .for_each(|node| assert_eq!(solution.displacement(*node).unwrap()[2], 2e-3));
    loads.settle(nodes[0], Dof::Uz, 5e-3);
    assert!(matches!(
        factored.solve(&loads),
        Err(FrameError::Settlement { .. })
    ));
}

#[test]
fn a_frame_without_unknowns_has_its_reactions() {
    let (mut frame, nodes, members) = level_beam(&[0.0, 3.0], PLANK);
    for node in &nodes {
        [Dof::Uz, Dof::Ry]
            .iter()
            .for_each(|dof| frame.fix(*node, *dof));
    }
    let mut loads = LoadCase::new();
    loads.uniform(members[0], down(800.0));
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    // wL/2 and wL²/12; a moment that turns the left end down is positive about y.
    all_close(
        &solution.reaction(nodes[0]).unwrap(),
        &[0.0, 0.0, 1200.0, 0.0, -600.0, 0.0],
        ROUNDING,
    );
    let diagram = solution.diagram(members[0]).unwrap();
    close(diagram.internal(1.5).mz, 300.0, ROUNDING, 600.0);
    close(diagram.internal(f64::NAN).mz, -600.0, ROUNDING, 600.0);
    close(diagram.internal(9.0).vy, diagram.internal(3.0).vy, 0.0, 1.0);
}

#[test]
fn both_ends_of_a_beam_tied_move_as_one() {
    // Two springs carry it together however the load stands; the tie carries the couple that is left.
    let (mut frame, nodes, members) = level_beam(&[0.0, 2.0], PLANK);
    frame.tie(nodes[0], nodes[1], &[Dof::Uz]);
    frame.spring(nodes[0], Dof::Uz, 2e6);
    frame.spring(nodes[1], Dof::Uz, 1e6);
    frame.fix(nodes[0], Dof::Ry);
    let mut loads = LoadCase::new();
    loads.point(members[0], 0.4, down(900.0));
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    for (node, share) in nodes.iter().zip([600.0, 300.0]) {
        close(
            solution.displacement(*node).unwrap()[2],
            -900.0 / 3e6,
            ROUNDING,
            3e-4,
        );
        close(solution.reaction(*node).unwrap()[2], share, ROUNDING, 900.0);
    }
    let [left, right] = [nodes[0], nodes[1]].map(|node| solution.tie_force(node).unwrap()[2]);
    close(left + right, 0.0, ROUNDING, 900.0);
    assert!(left.abs() > 100.0);
}

#[test]
fn fixing_any_of_tied_nodes_fixes_all() {
    for fixed in [0, 2] {
        let (mut frame, nodes, members) = level_beam(&[0.0, 2.0, 4.0], PLANK);
        frame.tie(nodes[0], nodes[2], &[Dof::Uz]);
        frame.fix(nodes[fixed], Dof::Uz);
        let mut loads = LoadCase::new();
        members
            .iter()
            .for_each(|member| _ = loads.uniform(*member, down(100.0)));
        let solution = frame.factorize().unwrap().solve(&loads).unwrap();
        for end in [0, 2] {
            assert_eq!(solution.displacement(nodes[end]).unwrap()[2], 0.0);
            close(
                solution.reaction(nodes[end]).unwrap()[2],
                200.0,
                ROUNDING,
                200.0,
            );
        }
    }
}

#[test]
fn a_spring_matrix_is_its_springs() {
    let build = |matrix: bool| {
        let (mut frame, nodes, members) = level_beam(&[0.0, 2.0], PLANK);
        let (kz, kr) = (2e6, 3e5);
        for node in &nodes {
            if matrix {
                let mut stiffness = [[0.0; 6]; 6];
                stiffness[2][2] = kz;
                stiffness[4][4] = kr;
                frame.spring_matrix(*node, &stiffness);
            } else {
                frame.spring(*node, Dof::Uz, kz);
                frame.rotation_spring_about(*node, [0.0, -2.0, 0.0], kr);
            }
        }
        let mut loads = LoadCase::new();
        loads.point(members[0], 0.4, down(1e3));
        let solution = frame.factorize().unwrap().solve(&loads).unwrap();
        nodes
            .iter()
            .flat_map(|node| solution.reaction(*node).unwrap())
            .collect::<Vec<_>>()
    };
    let (own, other) = (build(true), build(false));
    all_close(&own, &other, ROUNDING);
    assert!(other[4].abs() > 1.0 && other[2] > 500.0);
}

#[test]
fn a_spring_matrix_couples_its_directions() {
    // A spring at the end of a rigid arm below the node: lateral movement by turning is what couples x with Ry.
    let (k, arm) = (4e5, 0.2);
    let mut frame = Frame::new();
    let (node, far) = (frame.node([0.0; 3]), frame.node([0.0, 0.0, 1.0]));
    let section = frame.section(PLANK);
    frame.member(node, far, section, Releases::NONE).unwrap();
    [Dof::Uy, Dof::Rx, Dof::Rz]
        .iter()
        .for_each(|dof| frame.fix_all(*dof));
    frame.fix(node, Dof::Uz);
    frame.spring(node, Dof::Ry, 1e5);
    let mut stiffness = [[0.0; 6]; 6];
    (
        stiffness[0][0],
        stiffness[0][4],
        stiffness[4][0],
        stiffness[4][4],
    ) = (k, -k * arm, -k * arm, k * arm * arm);
    frame.spring_matrix(node, &stiffness);
    let mut loads = LoadCase::new();
    loads.node(far, Dof::Ux, 100.0);
    let solution = frame.factorize().unwrap().solve(&loads).unwrap();
    let [x, _, _, _, turn, _] = solution.displacement(node).unwrap();
    close(k * (x - arm * turn), 100.0, ROUNDING, 100.0);
    close(1e5 * turn, 100.0 * (1.0 + arm), ROUNDING, 100.0);
    close(solution.reaction(node).unwrap()[0], -100.0, ROUNDING, 100.0);
}

/// Three beams along y on corner springs; joists along x on all three, overhanging.
struct Deck {
    frame: Frame,
    /// By beam, then by joist.
    seats: Vec<Vec<NodeId>>,
}

const BEAMS: [f64; 3] = [0.5, 2.0, 4.2];
const DECK: [f64; 2] = [0.0, 4.6];
const JOIST: Section = Section {
    e: 9e9,
    g: 0.6e9,
    a: 0.0067,
    iy: 8e-7,
    iz: 1.8e-5,
    j: 2.5e-6,
    shear_y: Some(0.0056),
    shear_z: None,
};

fn deck() -> Deck {
    let mut frame = Frame::new();
    [Dof::Ux, Dof::Uy, Dof::Rz]
        .iter()
        .for_each(|dof| frame.fix_all(*dof));
    let section = frame.section(PLANK);
    let mut seats = Vec::new();
    for x in BEAMS {
        let nodes: Vec<NodeId> = (0..4)
            .map(|k| frame.node([x, 0.8 * f64::from(k), 0.0]))
            .collect();
        nodes.windows(2).for_each(|pair| {
            _ = frame
                .member(pair[0], pair[1], section, Releases::NONE)
                .unwrap()
        });
        [nodes[0], nodes[3]]
            .iter()
            .for_each(|node| _ = frame.spring(*node, Dof::Uz, 1e6 * (1.0 + x)));
        [nodes[0]].iter().for_each(|node| frame.fix(*node, Dof::Ry));
        seats.push(nodes);
    }
    Deck { frame, seats }
}

#[test]
fn condensed_joists_are_joists() {
    let w = 700.0;
    let Deck { mut frame, seats } = deck();
    // Once as members on nodes of their own, tied to the beams in height only.
    let section = frame.section(JOIST);
    let mut explicit = LoadCase::new();
    for k in 0..4 {
        let places = [DECK[0], BEAMS[0], BEAMS[1], BEAMS[2], DECK[1]];
        let nodes = places.map(|x| frame.node([x, 0.8 * k as f64, 0.2]));
        nodes.iter().for_each(|node| frame.fix(*node, Dof::Rx));
        seats
            .iter()
            .zip(&nodes[1..4])
            .for_each(|(seats, node)| frame.tie(*node, seats[k], &[Dof::Uz]));
        for pair in nodes.windows(2) {
            let member = frame
                .member(pair[0], pair[1], section, Releases::NONE)
                .unwrap();
            explicit.uniform(member, down(w));
        }
    }
    let full = frame.factorize().unwrap().solve(&explicit).unwrap();
    // Once condensed to their seats.
    let Deck { mut frame, seats } = deck();
    let line = Line::new(
        DECK,
        &BEAMS,
        JOIST.e * JOIST.iz,
        JOIST.shear_y.map(|a| a * JOIST.g),
    )
    .unwrap();
    let load = [SpanLoad::Ramp {
        from: DECK[0],
        to: DECK[1],
        start: -w,
        end: -w,
    }];
    let forces = line.support_forces(&load).unwrap();
    let mut loads = LoadCase::new();
    for k in 0..4 {
        let dofs: Vec<(NodeId, Dof)> = seats.iter().map(|beam| (beam[k], Dof::Uz)).collect();
        frame.coupling(&dofs, &line.stiffness());
        dofs.iter()
            .zip(&forces)
            .for_each(|((node, dof), force)| _ = loads.node(*node, *dof, *force));
    }
    let condensed = frame.factorize().unwrap().solve(&loads).unwrap();
    for node in seats.iter().flatten() {
        all_close(
            &condensed.displacement(*node).unwrap(),
            &full.displacement(*node).unwrap(),
            ROUNDING,
        );
        all_close(
            &condensed.reaction(*node).unwrap(),
            &full.reaction(*node).unwrap(),
            1e-8,
        );
    }
    // What the joist does between its seats is recovered.
    let heights: Vec<f64> = seats
        .iter()
        .map(|beam| condensed.displacement(beam[1]).unwrap()[2])
        .collect();
    let joist = line.recover(&load, &heights).unwrap();
    let members: Vec<MemberId> = (9 + 4..9 + 8).map(MemberId).collect();
    let extremes = full.extremes(&members).unwrap();
    let (low, high) = joist.bending.moment.extremes();
    all_close(
        &[low.value, high.value, low.x, high.x],
        &[
            extremes.hogging.value,
            extremes.sagging.value,
            extremes.hogging.x,
            extremes.sagging.x,
        ],
        1e-7,
    );
    let (down, _) = joist.bending.deflection.extremes();
    close(down.value, extremes.down.value, 1e-7, 1e-2);
    let tied: Vec<f64> = seats
        .iter()
        .map(|beam| full.tie_force(beam[1]).unwrap()[2])
        .collect();
    all_close(
        &joist.reactions,
        &tied.iter().map(|f| -f).collect::<Vec<_>>(),
        ROUNDING,
    );
    let coupled = condensed.coupling_forces(CouplingId(1)).unwrap();
    let through: Vec<f64> = coupled.iter().zip(&forces).map(|(c, f)| c + f).collect();
    all_close(&through, &tied, ROUNDING);
}

#[test]
fn a_line_on_two_supports_has_no_stiffness_of_its_own() {
    let line = Line::new([0.0, 5.0], &[0.4, 4.4], 1e6, None).unwrap();
    assert!(line.stiffness().iter().all(|k| *k == 0.0));
    let loaded = line
        .recover(
            &[SpanLoad::Point {
                x: 4.4,
                force: -10.0,
            }],
            &[0.0, 1.0],
        )
        .unwrap();
    assert_eq!(loaded.reactions, [0.0, 10.0]);
    close(loaded.bending.deflection.at(0.0), -0.1, ROUNDING, 1.0);
}

#[test]
fn a_line_refuses_what_it_cannot_carry() {
    use crate::analysis::line::LineError;
    let line = |supports: &[f64]| {
        Line::new([0.0, 5.0], supports, 1e6, None)
            .map(|_| ())
            .unwrap_err()
    };
    assert_eq!(line(&[]), LineError::TooFewSupports(0));
    assert_eq!(line(&[1.0]), LineError::TooFewSupports(1));
    assert_eq!(line(&[1.0, 1.0]), LineError::TooFewSupports(1));
    assert_eq!(line(&[1.0, 2.0, 2.0]), LineError::NotAscending(2));
    assert_eq!(line(&[3.0, 2.0]), LineError::NotAscending(1));
    assert_eq!(line(&[1.0, 5.1]), LineError::SupportOffBeam(1));
    assert_eq!(
        line(&[1.0, f64::NAN]),
        LineError::NotFinite("a place along the line")
    );
    assert_eq!(
        Line::new([0.0, 5.0], &[1.0, 2.0], 0.0, None)
            .map(|_| ())
            .unwrap_err(),
        LineError::NotPositive("EI")
    );
    assert_eq!(
        Line::new([0.0, 5.0], &[1.0, 2.0], 1.0, Some(-1.0))
            .map(|_| ())
            .unwrap_err(),
        LineError::NotPositive("the shear stiffness")
    );
    let good = Line::new([0.0, 5.0], &[1.0, 2.0], 1e6, None).unwrap();
    let point = |x, force| [SpanLoad::Point { x, force }];
    assert_eq!(
        good.support_forces(&point(5.5, 1.0)).unwrap_err(),
        LineError::LoadOffBeam(0)
    );
    assert_eq!(
        good.support_forces(&point(1.0, f64::NAN)).unwrap_err(),
        LineError::NotFinite("a load")
    );
    assert_eq!(
        good.recover(&[], &[0.0]).unwrap_err(),
        LineError::Displacements {
            supports: 2,
            given: 1
        }
    );
    assert_eq!(
        good.recover(&[], &[0.0, f64::NAN]).unwrap_err(),
        LineError::NotFinite("a displacement")
    );
}
