//! Changed springs by the shortcut against the same frame factorized again.

use nalgebra::DVector;
use proptest::prelude::*;

use super::*;

/// The shortcut loses digits where a change makes a frame much softer: these keep 1e-7.
const SHORTCUT: f64 = 1e-7;

const SPRINGS: [f64; 4] = [2e6, 3e6, 1.5e6, 2.5e6];

/// A rectangle of beams on four corner springs, braced in plan by nothing: plane grillage.
struct Corner {
    frame: Frame,
    nodes: [NodeId; 5],
    springs: Vec<SpringId>,
    members: Vec<MemberId>,
}

fn rectangle(k: &[f64], acts: Acts) -> Corner {
    let mut frame = Frame::new();
    [Dof::Ux, Dof::Uy, Dof::Rz]
        .iter()
        .for_each(|dof| frame.fix_all(*dof));
    let section = frame.section(Section {
        shear_y: Some(0.025),
        ..PLANK
    });
    let nodes = [[0.0, 0.0], [4.0, 0.0], [4.5, 3.0], [-0.5, 3.0], [2.0, 1.4]]
        .map(|[x, y]| frame.node([x, y, 0.0]));
    let mut members = Vec::new();
    for k in 0..4 {
        members.push(
            frame
                .member(nodes[k], nodes[(k + 1) % 4], section, Releases::NONE)
                .unwrap(),
        );
        members.push(
            frame
                .member(nodes[k], nodes[4], section, Releases::NONE)
                .unwrap(),
        );
    }
    let springs: Vec<SpringId> = nodes
        .iter()
        .zip(k)
        .map(|(node, k)| frame.spring(*node, Dof::Uz, *k))
        .collect();
    springs
        .iter()
        .for_each(|spring| frame.one_way(*spring, acts).unwrap());
    Corner {
        frame,
        nodes,
        springs,
        members,
    }
}

fn loads(corner: &Corner, w: &[f64]) -> LoadCase {
    let mut loads = LoadCase::new();
    corner
        .members
        .iter()
        .zip(w)
        .for_each(|(member, w)| _ = loads.uniform(*member, down(*w)));
    loads.settle_spring(corner.springs[1], -2e-3);
    loads
}

fn numbers(corner: &Corner, solution: &Solution) -> Vec<f64> {
    let nodes = corner
        .nodes
        .iter()
        .flat_map(|node| solution.displacement(*node).unwrap().map(|u| u * 1e6));
    let reactions = corner
        .nodes
        .iter()
        .flat_map(|node| solution.reaction(*node).unwrap());
    nodes.chain(reactions).collect()
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn changed_springs_are_as_if_factorized_again(
        factors in prop::array::uniform4(0.2..30.0),
        middle in 0.0..1e7,
        w in prop::collection::vec(0.0..3e3, 8),
        one_way in any::<bool>(),
    ) {
        let acts = if one_way { Acts::Push } else { Acts::Both };
        let corner = rectangle(&SPRINGS, acts);
        let factored = corner.frame.factorize().unwrap();
        let places: Vec<Probe> = corner.springs.iter().map(|s| Probe::Spring(*s)).chain([Probe::At(corner.nodes[4], Dof::Uz)]).collect();
        let probes = factored.probes(&places).unwrap();
        let changed: Vec<f64> = SPRINGS.iter().zip(factors).map(|(k, f)| k * f).collect();
        let changes: Vec<f64> = changed.iter().zip(SPRINGS).map(|(new, old)| new - old).chain([middle]).collect();
        let variant = factored.with_springs(&probes, &changes).unwrap();

        let mut again = rectangle(&changed, acts);
        again.frame.spring(again.nodes[4], Dof::Uz, middle);
        let loads = loads(&corner, &w);
        let (own, other) = (variant.solve(&loads).unwrap(), again.frame.factorize().unwrap().solve(&loads).unwrap());
        all_close(&numbers(&corner, &own), &numbers(&again, &other), SHORTCUT);
        prop_assert_eq!(own.open(), other.open());
        for member in &corner.members {
            let (own, other) = (own.end_forces(*member).unwrap(), other.end_forces(*member).unwrap());
            all_close(own.as_flattened(), other.as_flattened(), 10.0 * SHORTCUT);
        }
        // The short way to the forces alone.
        let forces = variant.forces(&factored.stretches(&probes, &loads).unwrap()).unwrap();
        let reactions: Vec<f64> = corner.nodes.iter().map(|node| own.reaction(*node).unwrap()[2]).collect();
        all_close(&forces, &reactions, SHORTCUT);
        let tensions: Vec<f64> = corner.springs.iter().map(|spring| -own.tension(*spring).unwrap()).collect();
        all_close(&tensions, &forces[..4], SHORTCUT);
    }

    #[test]
    fn springs_not_asked_for_still_lift(w in prop::collection::vec(-2e3..3e3, 8), k in 1e5..1e8) {
        let corner = rectangle(&SPRINGS, Acts::Push);
        let factored = corner.frame.factorize().unwrap();
        let probes = factored.probes(&[Probe::At(corner.nodes[4], Dof::Uz)]).unwrap();
        let loads = loads(&corner, &w);
        let mut again = corner.frame.clone();
        again.spring(corner.nodes[4], Dof::Uz, k);
        let again = again.factorize().unwrap().solve(&loads);
        let variant = factored.with_springs(&probes, &[k]).unwrap().solve(&loads);
        match (variant, again) {
            (Ok(own), Ok(other)) => all_close(&numbers(&corner, &own), &numbers(&corner, &other), SHORTCUT),
            (Err(FrameError::Mechanism(_)), Err(FrameError::Mechanism(_))) => {}
            (own, other) => prop_assert!(false, "{:?} {:?}", own.err(), other.err()),
        }
    }
}

#[test]
fn a_matrix_across_places() {
    let corner = rectangle(&SPRINGS, Acts::Both);
    let factored = corner.frame.factorize().unwrap();
    let dofs = [
        (corner.nodes[4], Dof::Uz),
        (corner.nodes[4], Dof::Ry),
        (corner.nodes[0], Dof::Uz),
    ];
    let probes = factored
        .probes(&dofs.map(|(node, dof)| Probe::At(node, dof)))
        .unwrap();
    let matrix = DMatrix::from_row_slice(3, 3, &[4e6, 1e5, -2e6, 1e5, 3e5, 0.0, -2e6, 0.0, 5e6]);
    let mut again = corner.frame.clone();
    again.coupling(&dofs, &matrix);
    let loads = loads(&corner, &[1e3; 8]);
    let own = factored
        .with_matrix(&probes, &matrix)
        .unwrap()
        .solve(&loads)
        .unwrap();
    let other = again.factorize().unwrap().solve(&loads).unwrap();
    for node in corner.nodes {
        all_close(
            &own.displacement(node).unwrap(),
            &other.displacement(node).unwrap(),
            SHORTCUT,
        );
    }
    // Unit forces at the places move them by the flexibility.
    let flexibility = probes.flexibility();
    for (r, (node, dof)) in dofs.iter().enumerate() {
        let moved = factored.unit_displacements(*node, *dof).unwrap();
        dofs.iter().enumerate().for_each(|(c, (at, dof))| {
            close(
                flexibility[(r, c)],
                moved[at.0][dof.index()],
                ROUNDING,
                flexibility[(r, r)],
            )
        });
    }
}

#[test]
fn an_open_spring_takes_its_couplings_with_it() {
    // The matrix couples two bearings; where the first lifts, only the other's own stiffness is left.
    let corner = rectangle(&SPRINGS, Acts::Push);
    let factored = corner.frame.factorize().unwrap();
    let probes = factored
        .probes(&[0, 1].map(|k| Probe::Spring(corner.springs[k])))
        .unwrap();
    let added = DMatrix::from_row_slice(2, 2, &[1e6, -0.5e6, -0.5e6, 2e6]);
    let mut loads = LoadCase::new();
    loads
        .node(corner.nodes[0], Dof::Uz, 6e3)
        .node(corner.nodes[1], Dof::Uz, -2e4)
        .node(corner.nodes[3], Dof::Uz, -2e4);
    loads.node(corner.nodes[2], Dof::Uz, -2e4);
    let own = factored
        .with_matrix(&probes, &added)
        .unwrap()
        .solve(&loads)
        .unwrap();
    assert_eq!(own.open(), [corner.springs[0]]);
    let again = rectangle(&[0.0, 5e6, SPRINGS[2], SPRINGS[3]], Acts::Both);
    let other = again.frame.factorize().unwrap().solve(&loads).unwrap();
    all_close(&numbers(&corner, &own), &numbers(&again, &other), SHORTCUT);
}

#[test]
fn losing_one_support_of_four_and_then_another() {
    let corner = rectangle(&SPRINGS, Acts::Both);
    let factored = corner.frame.factorize().unwrap();
    let places: Vec<Probe> = corner.springs.iter().map(|s| Probe::Spring(*s)).collect();
    let probes = factored.probes(&places).unwrap();
    let lose = |lost: &[usize]| {
        let changes: Vec<f64> = SPRINGS
            .iter()
            .enumerate()
            .map(|(k, stiff)| if lost.contains(&k) { -stiff } else { 0.0 })
            .collect();
        factored
            .with_springs(&probes, &changes)
            .unwrap()
            .solve(&loads(&corner, &[800.0; 8]))
    };
    for lost in 0..4 {
        let stiff = std::array::from_fn::<f64, 4, _>(|k| if k == lost { 0.0 } else { SPRINGS[k] });
        let again = rectangle(&stiff, Acts::Both);
        let other = again
            .frame
            .factorize()
            .unwrap()
            .solve(&loads(&again, &[800.0; 8]))
            .unwrap();
        let own = lose(&[lost]).unwrap();
        all_close(&numbers(&corner, &own), &numbers(&again, &other), SHORTCUT);
        close(
            own.reaction(corner.nodes[lost]).unwrap()[2],
            0.0,
            ROUNDING,
            1e4,
        );
    }
    // On two springs it turns about the line between them; on one, two ways; on none, three.
    for (lost, count) in [(vec![0, 1], 1), (vec![0, 1, 2], 2), (vec![0, 1, 2, 3], 3)] {
        let Err(FrameError::Mechanism(modes)) = lose(&lost) else {
            panic!("{lost:?} hold nothing")
        };
        assert_eq!(modes.len(), count);
        for mode in &modes {
            for motion in &mode.0 {
                let held = (0..4).any(|k| !lost.contains(&k) && corner.nodes[k] == motion.node);
                assert!(!held || motion.translation[2].abs() < 1e-6, "{mode}");
            }
        }
    }
}

#[test]
fn no_change_changes_nothing_and_bad_changes_are_refused() {
    let corner = rectangle(&SPRINGS, Acts::Both);
    let factored = corner.frame.factorize().unwrap();
    let probes = factored
        .probes(&[Probe::Spring(corner.springs[0])])
        .unwrap();
    assert_eq!((probes.len(), probes.is_empty()), (1, false));
    let loads = loads(&corner, &[1e3; 8]);
    let own = factored
        .with_springs(&probes, &[0.0])
        .unwrap()
        .solve(&loads)
        .unwrap();
    all_close(
        &numbers(&corner, &own),
        &numbers(&corner, &factored.solve(&loads).unwrap()),
        ROUNDING,
    );
    assert!(matches!(
        factored.with_springs(&probes, &[1.0, 2.0]),
        Err(FrameError::NotSymmetric(_))
    ));
    assert!(matches!(
        factored.with_springs(&probes, &[f64::NAN]),
        Err(FrameError::NotFinite(_))
    ));
    let (node, dof) = (corner.nodes[0], Dof::Ux);
    assert_eq!(
        factored.probes(&[Probe::At(node, dof)]).unwrap_err(),
        FrameError::Fixed { node, dof }
    );
    assert!(matches!(
        factored.probes(&[Probe::Spring(SpringId(77))]),
        Err(FrameError::Unknown(_))
    ));
    let twice = Probe::At(corner.nodes[1], Dof::Uz);
    assert_eq!(
        factored.probes(&[twice, twice]).unwrap_err(),
        FrameError::Repeated(twice)
    );
    let over = factored
        .with_springs(&probes, &[-2.1e6])
        .map(|_| ())
        .unwrap_err();
    assert_eq!(
        over.to_string(),
        "the changed stiffness of spring 0 is not positive"
    );
    let at = factored.probes(&[twice]).unwrap();
    let over = factored
        .with_springs(&at, &[-1e9])
        .unwrap()
        .solve(&loads)
        .unwrap_err();
    assert_eq!(over.to_string(), "the changed stiffness is not positive");
    let again = corner.frame.factorize().unwrap();
    assert!(matches!(
        again.with_springs(&probes, &[0.0]),
        Err(FrameError::Unknown(_))
    ));
    assert!(matches!(
        again.stretches(&probes, &loads),
        Err(FrameError::Unknown(_))
    ));
    let variant = factored.with_springs(&probes, &[5e5]).unwrap();
    assert!(matches!(variant.forces(&[]), Err(FrameError::NotFinite(_))));
    let skew = DMatrix::from_row_slice(1, 1, &[f64::INFINITY]);
    assert!(matches!(
        factored.with_matrix(&probes, &skew),
        Err(FrameError::NotFinite(_))
    ));
    assert_eq!(
        DVector::<f64>::from_vec(
            variant
                .forces(&factored.stretches(&probes, &loads).unwrap())
                .unwrap()
        )
        .len(),
        1
    );
}
