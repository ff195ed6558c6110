//! Structures that cannot be solved must say why, and must never come out as a number.

use proptest::prelude::*;

use super::*;

/// The force that a named motion raises in any member or spring, against what the same movements raise at random.
const NO_FORCE: f64 = 1e-6;

#[track_caller]
fn modes(frame: &Frame) -> Vec<Mode> {
    match frame.factorize() {
        Err(FrameError::Mechanism(modes)) => {
            modes.iter().for_each(|mode| costs_nothing(frame, mode));
            modes
        }
        Err(other) => panic!("{other}"),
        Ok(factored) => panic!("solved with {} unknowns", factored.order()),
    }
}

/// A named motion moves no support and strains no member and no spring.
#[track_caller]
fn costs_nothing(frame: &Frame, mode: &Mode) {
    assert!(!mode.0.is_empty());
    let mut movements = vec![0.0; 6 * frame.nodes.len()];
    for motion in &mode.0 {
        let six = motion.translation.iter().chain(&motion.rotation);
        six.enumerate()
            .for_each(|(c, v)| movements[6 * motion.node.0 + c] = *v);
    }
    let greatest = movements.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
    assert!(greatest >= 1.0 - 1e-12, "{mode:?}");
    for member in &frame.members {
        let six = |node: NodeId| &movements[6 * node.0..6 * node.0 + 6];
        let forces = member
            .element
            .forces(&member.element.deformation(six(member.a), six(member.b)));
        let scale = |c: usize| {
            (0..12)
                .map(|mode| member.element.forces(&member.element.modes()[mode])[c].abs())
                .fold(0.0, f64::max)
        };
        (0..6).for_each(|c| close(forces[c], 0.0, NO_FORCE * greatest, scale(c)));
    }
    for spring in &frame.springs {
        close(
            spring.terms().map(|(slot, d)| d * movements[slot]).sum(),
            0.0,
            NO_FORCE,
            greatest,
        );
    }
    let fixed = frame.fixed.iter().map(|(node, dof)| slot(*node, *dof));
    fixed.for_each(|slot| assert_eq!(movements[slot], 0.0));
    movements
        .iter()
        .enumerate()
        .filter(|(slot, _)| frame.fixed_everywhere[slot % 6])
        .for_each(|(_, v)| assert_eq!(*v, 0.0));
}

#[test]
fn nothing_holds_a_frame_in_space() {
    let mut frame = Frame::new();
    let section = frame.section(PLANK);
    let nodes: Vec<NodeId> = [[0.0, 0.0, 0.0], [2.0, 0.3, 0.1], [3.0, 2.0, -0.5]]
        .map(|place| frame.node(place))
        .to_vec();
    nodes.windows(2).for_each(|pair| {
        _ = frame
            .member(pair[0], pair[1], section, Releases::NONE)
            .unwrap()
    });
    assert_eq!(modes(&frame).len(), 6);
    Dof::ALL[..3]
        .iter()
        .for_each(|dof| frame.fix(nodes[0], *dof));
    assert_eq!(modes(&frame).len(), 3);
}

#[test]
fn a_platform_that_slides_says_which_way() {
    let mut frame = Frame::new();
    let section = frame.section(PLANK);
    let nodes = [[0.0, 0.0, 3.0], [4.0, 0.0, 3.0]].map(|place| frame.node(place));
    frame
        .member(nodes[0], nodes[1], section, Releases::NONE)
        .unwrap();
    for node in nodes {
        [Dof::Uy, Dof::Uz, Dof::Rx]
            .iter()
            .for_each(|dof| frame.fix(node, *dof));
    }
    let modes = modes(&frame);
    let motion = |node| Motion {
        node,
        translation: [1.0, 0.0, 0.0],
        rotation: [0.0; 3],
    };
    assert_eq!(modes, [Mode(nodes.map(motion).to_vec())]);
    assert_eq!(
        FrameError::Mechanism(modes).to_string(),
        "the structure can move: node 0 by +1.00 in x, node 1 by +1.00 in x"
    );
}

#[test]
fn a_beam_on_one_support_tips() {
    let (mut frame, nodes, _) = level_beam(&[-1.0, 0.0, 3.0], PLANK);
    frame.spring(nodes[1], Dof::Uz, 1e6);
    let modes = modes(&frame);
    assert_eq!(modes.len(), 1);
    let heights: Vec<f64> = modes[0]
        .0
        .iter()
        .map(|motion| motion.translation[2])
        .collect();
    all_close(
        &heights,
        &[-1.0 / 3.0, 0.0, 1.0].map(|h| h * heights[2]),
        ROUNDING,
    );
}

#[test]
fn two_hinges_in_a_span() {
    let (mut frame, nodes, _) = level_beam(&[0.0, 1.0], PLANK);
    let section = frame.section(PLANK);
    let more = [2.5, 4.0].map(|x| frame.node([x, 0.0, 0.0]));
    frame
        .member(nodes[1], more[0], section, Releases::HINGED)
        .unwrap();
    frame
        .member(more[0], more[1], section, Releases::NONE)
        .unwrap();
    for node in [nodes[0], more[1]] {
        frame.fix(node, Dof::Uz);
    }
    assert_eq!(modes(&frame).len(), 2);
    frame.fix(nodes[0], Dof::Ry);
    assert_eq!(modes(&frame).len(), 1);
    frame.fix(more[1], Dof::Ry);
    assert!(frame.factorize().is_ok());
}

#[test]
fn a_pinned_square_without_a_diagonal_leans() {
    let mut frame = Frame::new();
    frame.drop_idle();
    let section = frame.section(PLANK);
    let corners = [
        [0.0, 0.0, 0.0],
        [0.0, 0.0, 2.0],
        [2.0, 0.0, 2.0],
        [2.0, 0.0, 0.0],
    ]
    .map(|place| frame.node(place));
    corners.windows(2).for_each(|pair| {
        _ = frame
            .member(pair[0], pair[1], section, Releases::BAR)
            .unwrap()
    });
    frame.fix_all(Dof::Uy);
    for foot in [corners[0], corners[3]] {
        [Dof::Ux, Dof::Uz]
            .iter()
            .for_each(|dof| frame.fix(foot, *dof));
    }
    let modes = modes(&frame);
    assert_eq!(modes.len(), 1);
    assert_eq!(modes[0].0.len(), 2, "both upper corners");
    frame
        .member(corners[0], corners[2], section, Releases::BAR)
        .unwrap();
    assert!(frame.factorize().is_ok());
}

#[test]
fn a_hinged_brace_spins_about_itself() {
    let mut frame = Frame::new();
    let section = frame.section(PLANK);
    let (foot, top) = (frame.node([0.0; 3]), frame.node([1.0, 0.7, 1.3]));
    frame.member(foot, top, section, Releases::HINGED).unwrap();
    for node in [foot, top] {
        [Dof::Ux, Dof::Uy, Dof::Uz]
            .iter()
            .for_each(|dof| frame.fix(node, *dof));
    }
    // Three turns of each node, of which only a twist of one against the other is resisted.
    assert_eq!(modes(&frame).len(), 5);
}

#[test]
fn a_loose_piece_is_named_apart() {
    let (mut frame, nodes, _) = level_beam(&[0.0, 2.0], PLANK);
    let section = frame.section(PLANK);
    let loose = [5.0, 6.0].map(|x| frame.node([x, 1.0, 0.0]));
    frame
        .member(loose[0], loose[1], section, Releases::NONE)
        .unwrap();
    nodes.iter().for_each(|node| frame.fix(*node, Dof::Uz));
    let modes = modes(&frame);
    assert_eq!(modes.len(), 2);
    assert!(
        modes
            .iter()
            .flat_map(|mode| &mode.0)
            .all(|motion| loose.contains(&motion.node))
    );
}

#[test]
fn ties_alone_hold_nothing() {
    let (mut frame, nodes, _) = level_beam(&[0.0, 2.0, 4.0], PLANK);
    frame.tie(nodes[0], nodes[2], &[Dof::Uz]);
    frame.fix(nodes[1], Dof::Ry);
    assert_eq!(modes(&frame).len(), 1);
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn a_long_chain_on_one_hinge_swings(pieces in 2..60_usize, length in 0.05..20.0, at in 0..60_usize, stiff in -3.0..6.0) {
        let places: Vec<f64> = (0..=pieces).map(|k| length * k as f64).collect();
        let section = Section { e: 11e9 * 10_f64.powf(stiff), ..PLANK };
        let (mut frame, nodes, _) = level_beam(&places, section);
        let held = at.min(pieces);
        frame.fix(nodes[held], Dof::Uz);
        prop_assert_eq!(modes(&frame).len(), 1);
        // However soft, a second support makes it a structure.
        frame.spring(nodes[(held + pieces / 2 + 1) % (pieces + 1)], Dof::Uz, 1e4);
        let factored = frame.factorize();
        prop_assert!(factored.is_ok() || stiff > 2.0 || pieces > 20 || length < 0.5, "{:?}", factored.err());
    }

    #[test]
    fn a_frame_on_a_ball_turns(places in prop::collection::vec(prop::array::uniform3(-0.4..0.4), 3..12), size in 0.1..100.0) {
        let mut frame = Frame::new();
        let section = frame.section(Section { shear_y: Some(0.02), ..PLANK });
        let place = |(k, o): (usize, &[f64; 3])| [k as f64 + o[0], o[1], o[2]].map(|c| c * size);
        let nodes: Vec<NodeId> = places.iter().enumerate().map(|(k, o)| frame.node(place((k, o)))).collect();
        nodes.windows(2).for_each(|pair| _ = frame.member(pair[0], pair[1], section, Releases::NONE).unwrap());
        let ball = nodes[nodes.len() / 2];
        Dof::ALL[..3].iter().for_each(|dof| frame.fix(ball, *dof));
        prop_assert_eq!(modes(&frame).len(), 3);
    }
}

#[test]
fn directions_that_nothing_stiffens_are_listed_or_dropped() {
    // Two bars in a plane: the tip sinks by PL/2EA sin²α, and turns freely.
    let mut frame = Frame::new();
    let section = frame.section(PLANK);
    let [left, tip, right] =
        [[-3.0, 0.0, 4.0], [0.0; 3], [3.0, 0.0, 4.0]].map(|place| frame.node(place));
    [left, right]
        .iter()
        .for_each(|foot| _ = frame.member(*foot, tip, section, Releases::BAR).unwrap());
    frame.fix_all(Dof::Uy);
    for foot in [left, right] {
        Dof::ALL.iter().for_each(|dof| frame.fix(foot, *dof));
    }
    let turns = [Dof::Rx, Dof::Ry, Dof::Rz].map(|dof| (tip, dof));
    assert_eq!(
        frame.factorize().unwrap_err(),
        FrameError::Idle(turns.to_vec())
    );
    frame.drop_idle();
    let factored = frame.factorize().unwrap();
    let mut loads = LoadCase::new();
    loads.node(tip, Dof::Uz, -1e4);
    let solution = factored.solve(&loads).unwrap();
    let exact = -1e4 * 5.0 / (2.0 * PLANK.e * PLANK.a * 0.64);
    all_close(
        &solution.displacement(tip).unwrap(),
        &[0.0, 0.0, exact, 0.0, 0.0, 0.0],
        ROUNDING,
    );
    loads.node(tip, Dof::Ry, 1.0);
    assert_eq!(
        factored.solve(&loads).unwrap_err(),
        FrameError::LoadOnIdle {
            node: tip,
            dof: Dof::Ry
        }
    );
}

#[test]
fn a_node_of_nothing_is_idle_in_all_six() {
    let (mut frame, nodes, _) = level_beam(&[0.0, 2.0], PLANK);
    nodes.iter().for_each(|node| frame.fix(*node, Dof::Uz));
    let stray = frame.node([9.0, 9.0, 0.0]);
    assert_eq!(
        frame.factorize().unwrap_err(),
        FrameError::Idle(vec![(stray, Dof::Uz), (stray, Dof::Ry)])
    );
}

#[test]
fn numbers_that_do_not_balance_are_refused() {
    // Springs 1e9 times softer than the member leave too few digits for the forces inside it.
    let (mut frame, nodes, members) = level_beam(&[0.0, 0.1], Section { e: 2e11, ..PLANK });
    nodes
        .iter()
        .for_each(|node| _ = frame.spring(*node, Dof::Uz, 1e2));
    let mut loads = LoadCase::new();
    loads.point(members[0], 0.03, down(1e3));
    match frame.factorize().unwrap().solve(&loads) {
        Err(FrameError::Equilibrium(balance)) => assert!(balance.residual > 1e-9),
        other => panic!("{other:?}"),
    }
}

#[test]
fn neither_residual_nor_imbalance_passes() {
    let (mut frame, nodes, members) = level_beam(&[0.0, 2.0], PLANK);
    nodes
        .iter()
        .for_each(|node| _ = frame.spring(*node, Dof::Uz, 1e6));
    let mut loads = LoadCase::new();
    loads.uniform(members[0], down(1e3));
    let factored = frame.factorize().unwrap();
    let movements = factored.solve(&loads).unwrap().movements;
    let finish = |residual: f64, pull: f64| {
        let prepared = load::Prepared::new(&factored.frame, &loads).unwrap();
        let size = prepared.size;
        let mut state = factored.evaluate(&movements, &prepared, &factored.stiffness());
        state.ground[2] += pull;
        factored
            .finish(&loads, prepared, size, movements.clone(), state, residual)
            .map(|_| ())
    };
    finish(0.0, 0.0).unwrap();
    assert!(matches!(finish(2e-9, 0.0), Err(FrameError::Equilibrium(_))));
    assert!(matches!(
        finish(f64::NAN, 0.0),
        Err(FrameError::Equilibrium(_))
    ));
    assert!(matches!(finish(0.0, 1e-5), Err(FrameError::Equilibrium(_))));
}

#[test]
fn unbalanced_results_are_seen() {
    let (mut frame, nodes, members) = level_beam(&[0.0, 2.0], PLANK);
    nodes
        .iter()
        .for_each(|node| _ = frame.spring(*node, Dof::Uz, 1e6));
    let mut loads = LoadCase::new();
    loads.uniform(members[0], down(1e3));
    let factored = frame.factorize().unwrap();
    let prepared = load::Prepared::new(&factored.frame, &loads).unwrap();
    let mut external = vec![0.0; 12];
    external[2] = 1000.0;
    external[8] = 1000.0;
    let fair = factored.balance(&prepared, prepared.size, &external, 0.0);
    assert!(fair.worst() < 1e-15);
    external[8] += 1e-5;
    let foul = factored.balance(&prepared, prepared.size, &external, 0.0);
    close(foul.equilibrium[2], 1e-5 / 2000.0, 1e-6, 5e-9);
    close(foul.equilibrium[4], -1e-5 / 4000.0, 1e-6, 5e-9);
}

#[track_caller]
fn unknown(error: &FrameError) {
    assert!(matches!(error, FrameError::Unknown(_)), "{error}");
}

#[track_caller]
fn infinite(error: &FrameError) {
    assert!(matches!(error, FrameError::NotFinite(_)), "{error}");
}

fn simple_beam() -> (Frame, Vec<NodeId>, Vec<MemberId>) {
    let (mut frame, nodes, members) = level_beam(&[0.0, 2.0], PLANK);
    nodes.iter().for_each(|node| frame.fix(*node, Dof::Uz));
    (frame, nodes, members)
}

#[test]
fn bad_members_are_named() {
    let (mut frame, nodes, _) = simple_beam();
    let section = frame.section(PLANK);
    let (a, b) = (nodes[0], nodes[0]);
    let none = Releases::NONE;
    assert_eq!(
        frame.member(a, b, section, none).unwrap_err(),
        FrameError::ZeroLength { a, b }
    );
    assert_eq!(
        frame.link(a, b, 1.0).unwrap_err(),
        FrameError::ZeroLength { a, b }
    );
    unknown(&frame.member(a, NodeId(9), section, none).unwrap_err());
    unknown(&frame.member(a, nodes[1], SectionId(9), none).unwrap_err());
    unknown(&frame.one_way(SpringId(0), Acts::Push).unwrap_err());
    let flat = frame.section(Section { iz: 0.0, ..PLANK });
    let error = frame.member(a, nodes[1], flat, none).unwrap_err();
    assert_eq!(error.to_string(), "Iz of a section is not positive");
    let hollow = frame.section(Section {
        shear_y: Some(f64::NAN),
        ..PLANK
    });
    infinite(&frame.member(a, nodes[1], hollow, none).unwrap_err());
}

#[test]
fn bad_loads_are_named() {
    let (frame, nodes, members) = simple_beam();
    let factored = frame.factorize().unwrap();
    let solve = |change: fn(&mut LoadCase, NodeId, MemberId)| {
        let mut loads = LoadCase::new();
        change(&mut loads, nodes[0], members[0]);
        factored.solve(&loads).unwrap_err()
    };
    unknown(&solve(|loads, _, _| {
        _ = loads.node(NodeId(9), Dof::Uz, 1.0)
    }));
    unknown(&solve(|loads, _, _| _ = loads.uniform(MemberId(9), DOWN)));
    unknown(&solve(|loads, _, _| {
        _ = loads.settle(NodeId(9), Dof::Uz, 1.0)
    }));
    unknown(&solve(|loads, _, _| {
        _ = loads.settle_spring(SpringId(9), 1.0)
    }));
    infinite(&solve(|loads, node, _| {
        _ = loads.node(node, Dof::Uz, f64::NAN)
    }));
    infinite(&solve(|loads, _, member| {
        _ = loads.uniform(member, [0.0, f64::INFINITY, 0.0])
    }));
    infinite(&solve(|loads, node, _| {
        _ = loads.settle(node, Dof::Uz, f64::NAN)
    }));
    let off =
        |error: FrameError| assert!(matches!(error, FrameError::LoadOffMember { .. }), "{error}");
    off(solve(|loads, _, member| _ = loads.point(member, 2.1, DOWN)));
    off(solve(|loads, _, member| {
        _ = loads.trapezoid(member, [1.0, 0.5], [DOWN; 2])
    }));
    let free = solve(|loads, node, _| _ = loads.settle(node, Dof::Ry, 1.0));
    assert_eq!(
        free,
        FrameError::Settlement {
            node: nodes[0],
            dof: Dof::Ry
        }
    );
}

#[test]
fn bad_supports_are_named() {
    let (frame, nodes, _) = simple_beam();
    let refused = |change: fn(&mut Frame, NodeId)| {
        let mut frame = frame.clone();
        change(&mut frame, nodes[0]);
        frame.factorize().unwrap_err()
    };
    let stray = NodeId(7);
    assert_eq!(stray.index(), 7);
    unknown(&refused(|frame, _| frame.fix(NodeId(7), Dof::Ux)));
    unknown(&refused(|frame, node| {
        frame.tie(node, NodeId(7), &[Dof::Ux])
    }));
    unknown(&refused(|frame, _| {
        _ = frame.spring(NodeId(7), Dof::Ux, 1.0)
    }));
    let one = |frame: &mut Frame, node, k| {
        _ = frame.coupling(&[(node, Dof::Ry)], &DMatrix::from_element(1, 1, k))
    };
    let with = |node, k| {
        let mut frame = frame.clone();
        one(&mut frame, node, k);
        frame.factorize().unwrap_err()
    };
    unknown(&with(stray, 1.0));
    infinite(&with(nodes[0], f64::NAN));
    assert!(matches!(
        with(nodes[0], -1e9),
        FrameError::NegativeStiffness(_)
    ));
    infinite(&refused(|frame, node| {
        _ = frame.spring_along(node, [0.0; 3], 1.0)
    }));
    infinite(&refused(|frame, node| {
        _ = frame.spring(node, Dof::Uz, f64::INFINITY)
    }));
    infinite(&refused(|frame, _| _ = frame.node([f64::NAN, 0.0, 0.0])));
    let soft = refused(|frame, node| _ = frame.spring(node, Dof::Uz, -1.0));
    assert_eq!(
        soft.to_string(),
        "the stiffness of spring 0 is not positive"
    );
    let skew = refused(|frame, node| {
        let matrix = DMatrix::from_row_slice(2, 2, &[1.0, 2.0, 0.0, 1.0]);
        frame.coupling(&[(node, Dof::Uz), (node, Dof::Ry)], &matrix);
    });
    assert!(matches!(skew, FrameError::NotSymmetric(_)));
}
