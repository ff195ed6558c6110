//! Bearings that lift, ropes that slacken.

use proptest::prelude::*;

use super::*;

/// A beam on bearings: springs that only push up.
fn on_bearings(places: &[f64], k: f64) -> (Frame, Vec<NodeId>, Vec<SpringId>) {
    let (mut frame, nodes, _) = level_beam(places, PLANK);
    let springs: Vec<SpringId> = nodes
        .iter()
        .map(|node| frame.spring(*node, Dof::Uz, k))
        .collect();
    springs
        .iter()
        .for_each(|spring| frame.one_way(*spring, Acts::Push).unwrap());
    (frame, nodes, springs)
}

/// The same beam on some of its bearings as plain springs.
fn with_some(places: &[f64], k: f64, holding: u32, loads: &LoadCase) -> Option<Vec<f64>> {
    let (mut frame, nodes, _) = level_beam(places, PLANK);
    nodes
        .iter()
        .enumerate()
        .filter(|(bit, _)| holding >> bit & 1 == 1)
        .for_each(|(_, node)| _ = frame.spring(*node, Dof::Uz, k));
    let solution = frame.factorize().ok()?.solve(loads).ok()?;
    Some(
        nodes
            .iter()
            .map(|node| solution.displacement(*node).unwrap()[2])
            .collect(),
    )
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn bearings_settle_as_every_subset_tried_in_turn(
        gaps in prop::collection::vec(0.5..3.0, 2..6),
        forces in prop::collection::vec(-4e3..1e4, 6),
        k in 1e5..1e8,
    ) {
        let places: Vec<f64> = std::iter::once(0.0).chain(gaps.iter().scan(0.0, |x, gap| { *x += gap; Some(*x) })).collect();
        let (frame, nodes, springs) = on_bearings(&places, k);
        let mut loads = LoadCase::new();
        nodes.iter().zip(&forces).for_each(|(node, force): (_, &f64)| _ = loads.node(*node, Dof::Uz, -*force));
        let fits = |bits: u32| with_some(&places, k, bits, &loads).filter(|heights| {
            heights.iter().enumerate().all(|(bit, z)| if bits >> bit & 1 == 1 { *z <= 0.0 } else { *z >= 0.0 })
        });
        let possible: Vec<(u32, Vec<f64>)> = (0..1_u32 << places.len()).filter_map(|bits| fits(bits).map(|z| (bits, z))).collect();
        match frame.factorize().unwrap().solve(&loads) {
            Ok(solution) => {
                let heights: Vec<f64> = nodes.iter().map(|node| solution.displacement(*node).unwrap()[2]).collect();
                prop_assert_eq!(possible.len(), 1);
                all_close(&heights, &possible[0].1, 1e-7);
                let closed = |bit: usize| possible[0].0 >> bit & 1 == 1;
                let open: Vec<SpringId> = springs.iter().enumerate().filter(|(bit, _)| !closed(*bit)).map(|(_, s)| *s).collect();
                prop_assert_eq!(solution.open(), open);
                for (spring, node) in springs.iter().zip(&nodes) {
                    let up = -solution.tension(*spring).unwrap();
                    prop_assert!(up >= 0.0 && up == solution.reaction(*node).unwrap()[2]);
                }
            }
            Err(FrameError::Mechanism(_)) => prop_assert_eq!(possible.len(), 0),
            Err(other) => prop_assert!(false, "{}", other),
        }
    }
}

#[test]
fn a_load_outside_its_three_bearings_tips_the_frame() {
    // Supports at (0,0), (10,0), (3,8); a load at (9,6) asks for uplift at the first.
    let mut frame = Frame::new();
    [Dof::Ux, Dof::Uy, Dof::Rz]
        .iter()
        .for_each(|dof| frame.fix_all(*dof));
    let section = frame.section(PLANK);
    let feet = [[0.0, 0.0, 0.0], [10.0, 0.0, 0.0], [3.0, 8.0, 0.0]].map(|place| frame.node(place));
    let tip = frame.node([9.0, 6.0, 0.0]);
    let springs = feet.map(|foot| frame.spring(foot, Dof::Uz, 1e7));
    feet.iter()
        .for_each(|foot| _ = frame.member(*foot, tip, section, Releases::NONE).unwrap());
    let mut loads = LoadCase::new();
    loads.node(tip, Dof::Uz, -1000.0);
    let reactions = |frame: &Frame| {
        let solution = frame.factorize().unwrap().solve(&loads)?;
        Ok::<_, FrameError>(feet.map(|foot| solution.reaction(foot).unwrap()[2]))
    };
    all_close(
        &reactions(&frame).unwrap(),
        &[-425.0, 675.0, 750.0],
        ROUNDING,
    );
    springs
        .iter()
        .for_each(|spring| frame.one_way(*spring, Acts::Push).unwrap());
    let Err(FrameError::Mechanism(modes)) = reactions(&frame) else {
        panic!("tips, and was not said to")
    };
    // It turns about the line through the two feet that hold.
    let height = |node: NodeId| {
        modes[0]
            .0
            .iter()
            .find(|motion| motion.node == node)
            .map_or(0.0, |motion| motion.translation[2])
    };
    close(height(feet[1]), 0.0, ROUNDING, 1.0);
    close(height(feet[2]), 0.0, ROUNDING, 1.0);
    assert!(height(feet[0]) * height(tip) < 0.0);
}

#[test]
fn a_rope_slackens_and_the_other_carries() {
    // A post on a hinge between two ropes, pushed sideways: only one rope works, and it works alone.
    let answer = |ropes: &[f64], acts: Acts| {
        let mut frame = Frame::new();
        frame.drop_idle();
        let section = frame.section(PLANK);
        let (foot, top) = (frame.node([0.0; 3]), frame.node([0.0, 0.0, 3.0]));
        frame.member(foot, top, section, Releases::BAR).unwrap();
        frame.fix_all(Dof::Uy);
        Dof::ALL.iter().for_each(|dof| frame.fix(foot, *dof));
        let mut springs = Vec::new();
        for x in ropes {
            let peg = frame.node([*x, 0.0, 0.0]);
            Dof::ALL.iter().for_each(|dof| frame.fix(peg, *dof));
            let rope = frame.link(peg, top, 2e6).unwrap();
            frame.one_way(rope, acts).unwrap();
            springs.push(rope);
        }
        let mut loads = LoadCase::new();
        loads.node(top, Dof::Ux, 900.0);
        let solution = frame.factorize().unwrap().solve(&loads).unwrap();
        (
            solution.displacement(top).unwrap(),
            springs
                .iter()
                .map(|s| solution.tension(*s).unwrap())
                .collect::<Vec<_>>(),
        )
    };
    let (both, tensions) = answer(&[-4.0, 4.0], Acts::Pull);
    let (one, tension) = answer(&[-4.0], Acts::Both);
    all_close(&both, &one, ROUNDING);
    assert_eq!(tensions[1], 0.0);
    close(tensions[0], tension[0], ROUNDING, 1e3);
    close(tensions[0], 900.0 * 5.0 / 4.0, ROUNDING, 1e3);
    let (_, props) = answer(&[-4.0, 4.0], Acts::Push);
    all_close(&props, &[0.0, -900.0 * 5.0 / 4.0], ROUNDING);
}

#[test]
fn a_seat_that_is_low_stays_open() {
    // Three bearings, the middle one 20 mm low: the beam spans over it; 1 mm low: it touches.
    for (low, touches) in [(20e-3, false), (1e-3, true)] {
        let (frame, nodes, springs) = on_bearings(&[0.0, 3.0, 6.0], 1e8);
        let mut loads = LoadCase::new();
        (0..2).for_each(|k| _ = loads.uniform(MemberId(k), down(1500.0)));
        loads.settle_spring(springs[1], -low);
        let solution = frame.factorize().unwrap().solve(&loads).unwrap();
        assert_eq!(solution.open().is_empty(), touches);
        let middle = solution.displacement(nodes[1]).unwrap()[2];
        let free = 5.0 * 1500.0 * 6_f64.powi(4) / (384.0 * PLANK.e * PLANK.iz) + 4500.0 / 1e8;
        if touches {
            close(
                solution.reaction(nodes[1]).unwrap()[2],
                1e8 * (-low - middle),
                ROUNDING,
                1e4,
            );
        } else {
            close(middle, -free, ROUNDING, free);
            assert_eq!(solution.reaction(nodes[1]).unwrap()[2], 0.0);
        }
    }
}
