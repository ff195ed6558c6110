//! What must hold for any frame: balance, reciprocity, superposition, and indifference to how it is described.

use proptest::prelude::*;

use super::*;

/// Movements of frames with a stiffness ratio of up to 1e6 between their softest and stiffest parts.
const LOOSE: f64 = 1e-7;

/// A spring this many times stiffer than the members is as good as fixed, to `NEARLY`.
const RIGID: f64 = 1e14;
const NEARLY: f64 = 1e-4;

/// From and to as fractions of a length, the load at both, and a point load.
type Along = ([f64; 2], [[f64; 3]; 2], [f64; 3]);

/// A frame in space: a chain of members braced by further ones, held at one end, on springs at the other.
#[derive(Clone, Debug)]
struct Sketch {
    places: Vec<[f64; 3]>,
    sections: Vec<[f64; 6]>,
    shear: bool,
    releases: Vec<u8>,
    springs: [f64; 3],
    axis: [f64; 3],
    nodal: Vec<[f64; 6]>,
    along: Vec<Along>,
    settlement: f64,
}

prop_compose! {
    fn sketch()(count in 3..6_usize)(
        offsets in prop::collection::vec(prop::array::uniform3(-0.6..0.6), count),
        sections in prop::collection::vec(prop::array::uniform6(0.3..1.0), 2 * count),
        shear in any::<bool>(),
        releases in prop::collection::vec(0..64_u8, count),
        springs in prop::array::uniform3(1e5..1e7),
        axis in prop::array::uniform3(0.1..1.0),
        nodal in prop::collection::vec(prop::array::uniform6(-1e3..1e3), count),
        along in prop::collection::vec((
            prop::array::uniform2(0.0..0.45),
            prop::array::uniform2(prop::array::uniform3(-2e3..2e3)),
            prop::array::uniform3(-2e3..2e3),
        ), 2 * count),
        settlement in -5e-3..5e-3,
    ) -> Sketch {
        let place = |(k, o): (usize, &[f64; 3])| [1.5 * k as f64 + o[0], o[1], o[2]];
        let places = offsets.iter().enumerate().map(place).collect();
        Sketch { places, sections, shear, releases, springs, axis, nodal, along, settlement }
    }
}

/// A frame built from a sketch, turned about z by an angle, its first member cut in two at a fraction of its length.
struct Built {
    frame: Frame,
    nodes: Vec<NodeId>,
    members: Vec<MemberId>,
    /// The second half of the first member.
    half: Option<MemberId>,
    springs: Vec<SpringId>,
    turn: f64,
}

fn turned([x, y, z]: [f64; 3], angle: f64) -> [f64; 3] {
    let (sin, cos) = angle.sin_cos();
    [cos * x - sin * y, sin * x + cos * y, z]
}

fn turned_six(six: [f64; 6], angle: f64) -> [f64; 6] {
    let [a, b, c, d, e, f] = six;
    let ([a, b, c], [d, e, f]) = (turned([a, b, c], angle), turned([d, e, f], angle));
    [a, b, c, d, e, f]
}

impl Sketch {
    fn pairs(&self) -> Vec<(usize, usize, Releases)> {
        let chain = (1..self.places.len()).map(|k| (k - 1, k, Releases::NONE));
        let end = |bits: u8| End {
            about_y: bits & 1 > 0,
            about_z: bits & 2 > 0,
            torsion: bits & 4 > 0,
        };
        let braces = (2..self.places.len()).zip(&self.releases);
        let braces = braces.map(|(k, bits)| {
            (
                k - 2,
                k,
                Releases {
                    i: end(*bits),
                    j: end(bits >> 3),
                },
            )
        });
        chain.chain(braces).collect()
    }

    fn build(&self, turn: f64, cut: Option<f64>) -> Built {
        let mut frame = Frame::new();
        let nodes: Vec<NodeId> = self
            .places
            .iter()
            .map(|place| frame.node(turned(*place, turn)))
            .collect();
        let (mut members, mut half) = (Vec::new(), None);
        for (k, (a, b, releases)) in self.pairs().into_iter().enumerate() {
            let [p, q, r, s, t, u] = self.sections[k];
            let shear = |k: f64| self.shear.then_some(0.02 * k);
            let section = Section {
                e: 11e9 * p,
                g: 0.7e9 * q,
                a: 0.03 * r,
                iy: 3e-5 * s,
                iz: 2e-4 * t,
                j: 8e-5 * u,
                shear_y: shear(q),
                shear_z: shear(r),
            };
            let section = frame.section(section);
            let (a, mut b) = (nodes[a], nodes[b]);
            if let (0, Some(t)) = (k, cut) {
                let between = |c: usize| frame.nodes[a.0][c] * (1.0 - t) + frame.nodes[b.0][c] * t;
                let middle = frame.node([between(0), between(1), between(2)]);
                half = Some(frame.member(middle, b, section, releases).unwrap());
                b = middle;
            }
            members.push(frame.member(a, b, section, releases).unwrap());
        }
        Dof::ALL.iter().for_each(|dof| frame.fix(nodes[0], *dof));
        let last = *nodes.last().unwrap();
        let axis = turned(self.axis, turn);
        let springs = vec![
            frame.spring(last, Dof::Uz, self.springs[0]),
            frame.spring_along(last, axis, self.springs[1]),
            frame.rotation_spring_about(last, axis, self.springs[2]),
            frame.link(nodes[0], last, self.springs[2]).unwrap(),
        ];
        Built {
            frame,
            nodes,
            members,
            half,
            springs,
            turn,
        }
    }

    /// Some of the loads: forces on nodes, loads along members, movements of supports.
    fn loads(&self, built: &Built, kinds: [bool; 3]) -> LoadCase {
        let mut loads = LoadCase::new();
        let turn = built.turn;
        for (node, six) in built.nodes.iter().zip(&self.nodal).filter(|_| kinds[0]) {
            Dof::ALL
                .into_iter()
                .zip(turned_six(*six, turn))
                .for_each(|(dof, value)| _ = loads.node(*node, dof, value));
        }
        for (k, member) in built.members.iter().enumerate().filter(|_| kinds[1]) {
            let ([from, to], [start, end], point) = self.along[k];
            let first = built.frame.length(*member).unwrap();
            let second = built
                .half
                .filter(|_| k == 0)
                .map_or(0.0, |half| built.frame.length(half).unwrap());
            let length = first + second;
            let (from, to) = (from * length, (to + 0.5) * length);
            let [start, end, point] = [start, end, point].map(|w| turned(w, turn));
            let at = |x: f64| {
                std::array::from_fn(|c| start[c] + (end[c] - start[c]) * (x - from) / (to - from))
            };
            // Parts on a cut member go to its halves.
            let mut part = |member, shift: f64, x: [f64; 2]| {
                if x[0] < x[1] {
                    loads.trapezoid(member, x.map(|x| x - shift), x.map(at));
                }
            };
            part(*member, 0.0, [from, to.min(first)]);
            if let Some(half) = built.half.filter(|_| k == 0) {
                part(half, first, [from.max(first), to]);
            }
            match built.half.filter(|_| k == 0 && to > first) {
                Some(half) => loads.point(half, to - first, point),
                None => loads.point(*member, to, point),
            };
        }
        if kinds[2] {
            let way = turned(
                [self.settlement, 2.0 * self.settlement, -self.settlement],
                turn,
            );
            [Dof::Ux, Dof::Uy, Dof::Uz]
                .into_iter()
                .zip(way)
                .for_each(|(dof, value)| _ = loads.settle(built.nodes[0], dof, value));
            loads
                .settle_spring(built.springs[1], -self.settlement)
                .settle_spring(built.springs[3], self.settlement);
        }
        loads
    }

    fn solve(&self, turn: f64, cut: Option<f64>) -> (Built, Solution) {
        let built = self.build(turn, cut);
        let loads = self.loads(&built, [true; 3]);
        let solution = built.frame.factorize().unwrap().solve(&loads).unwrap();
        (built, solution)
    }
}

/// Movements, reactions and end forces of all nodes and whole members, one after another, by kind.
fn everything(built: &Built, solution: &Solution) -> [Vec<f64>; 5] {
    let mut all: [Vec<f64>; 5] = Default::default();
    for node in &built.nodes {
        let (moved, reaction) = (
            solution.displacement(*node).unwrap(),
            solution.reaction(*node).unwrap(),
        );
        all[0].extend(&moved[..3]);
        all[1].extend(&moved[3..]);
        all[2].extend(&reaction[..3]);
        all[3].extend(&reaction[3..]);
    }
    for (k, member) in built.members.iter().enumerate() {
        let mut ends = solution.end_forces(*member).unwrap();
        if let Some(half) = built.half.filter(|_| k == 0) {
            ends[1] = solution.end_forces(half).unwrap()[1];
        }
        all[4].extend(ends.as_flattened());
    }
    all
}

#[track_caller]
fn same(own: &[Vec<f64>; 5], other: &[Vec<f64>; 5]) {
    own.iter()
        .zip(other)
        .for_each(|(own, other)| all_close(own, other, LOOSE));
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn reactions_balance_the_loads(sketch in sketch()) {
        let (built, solution) = sketch.solve(0.0, None);
        let mut sum = [0.0; 6];
        let mut add = |place: [f64; 3], force: [f64; 3], moment: [f64; 3]| {
            let turning = cross(place, force);
            for c in 0..3 {
                sum[c] += force[c];
                sum[c + 3] += moment[c] + turning[c];
            }
        };
        for (node, load) in built.nodes.iter().zip(&sketch.nodal) {
            let six: [f64; 6] = std::array::from_fn(|c| load[c] + solution.reaction(*node).unwrap()[c]);
            add(built.frame.nodes[node.0], [six[0], six[1], six[2]], [six[3], six[4], six[5]]);
        }
        for (member, ([from, to], [start, end], point)) in built.members.iter().zip(&sketch.along) {
            let element = built.frame.element(*member).unwrap();
            let start_of = built.frame.nodes[built.frame.members[member.0].a.0];
            let place = |x: f64| std::array::from_fn(|c| start_of[c] + element.axes[0][c] * x * element.length);
            // Simpson's rule is exact for the parabola that load times arm is.
            let (from, to) = (*from, to + 0.5);
            for (s, weight) in [(0.0, 1.0), (0.5, 4.0), (1.0, 1.0)] {
                let w = std::array::from_fn(|c| (start[c] + (end[c] - start[c]) * s) * weight / 6.0 * (to - from) * element.length);
                add(place(from + s * (to - from)), w, [0.0; 3]);
            }
            add(place(to), *point, [0.0; 3]);
        }
        for value in sum {
            close(value, 0.0, LOOSE, 1e4);
        }
        prop_assert!(solution.balance().residual < 1e-9 && solution.balance().worst() < 1e-9);
    }

    #[test]
    fn displacements_are_reciprocal(sketch in sketch(), a in 0..6_usize, b in 0..6_usize) {
        let built = sketch.build(0.0, None);
        let factored = built.frame.factorize().unwrap();
        let (last, first) = (built.nodes[built.nodes.len() - 1], built.nodes[1]);
        let one = factored.unit_displacements(last, Dof::ALL[a]).unwrap()[first.0][b];
        let other = factored.unit_displacements(first, Dof::ALL[b]).unwrap()[last.0][a];
        let scale = factored.unit_displacements(first, Dof::ALL[b]).unwrap()[first.0][b].abs();
        close(one, other, LOOSE, scale.max(one.abs()));
    }

    #[test]
    fn cases_add_up(sketch in sketch(), factors in prop::array::uniform3(-2.0..2.0)) {
        let built = sketch.build(0.0, None);
        let factored = built.frame.factorize().unwrap();
        let kinds = [[true, false, false], [false, true, false], [false, false, true]];
        let mut sum: [Vec<f64>; 5] = everything(&built, &factored.solve(&LoadCase::new()).unwrap());
        let mut loads = LoadCase::new();
        for (kind, factor) in kinds.into_iter().zip(factors) {
            let case = sketch.loads(&built, kind);
            loads.add(factor, &case);
            let own = everything(&built, &factored.solve(&case).unwrap());
            for (sum, own) in sum.iter_mut().zip(&own) {
                sum.iter_mut().zip(own).for_each(|(sum, own)| *sum += factor * own);
            }
        }
        same(&everything(&built, &factored.solve(&loads).unwrap()), &sum);
    }

    #[test]
    fn a_cut_through_a_member_changes_nothing(sketch in sketch(), t in 0.05..0.95) {
        let (whole, solution) = sketch.solve(0.0, None);
        let (cut, halves) = sketch.solve(0.0, Some(t));
        same(&everything(&cut, &halves), &everything(&whole, &solution));
        // Inside the member: the state at the cut, and beyond it.
        let x = t * whole.frame.length(whole.members[0]).unwrap();
        let (diagram, half) = (solution.diagram(whole.members[0]).unwrap(), cut.half.unwrap());
        let moved = halves.displacement(cut.frame.members[half.0].a).unwrap();
        all_close(&diagram.displacement(x), &moved[..3], LOOSE);
        let beyond = 0.37 * cut.frame.length(half).unwrap();
        let (one, other) = (diagram.internal(x + beyond), halves.internal(half, beyond).unwrap());
        all_close(&[one.n, one.vy, one.vz, one.t, one.my, one.mz], &[other.n, other.vy, other.vz, other.t, other.my, other.mz], LOOSE);
        let (group, parts) = (solution.extremes(&whole.members[..1]).unwrap(), halves.extremes(&[cut.members[0], half]).unwrap());
        let values = |g: &GroupExtremes| [g.sagging, g.hogging, g.sideways, g.shear, g.side_shear, g.torque, g.tension, g.compression].map(|e| e.value);
        all_close(&values(&group), &values(&parts), LOOSE);
        all_close(&[group.up.value, group.down.value], &[parts.up.value, parts.down.value], LOOSE);
    }

    #[test]
    fn turning_the_plan_turns_the_results(sketch in sketch(), angle in -3.0..3.0) {
        let (plain, one) = sketch.solve(0.0, None);
        let (turned, other) = sketch.solve(angle, None);
        for (a, b) in plain.nodes.iter().zip(&turned.nodes) {
            let (moved, reaction) = (turned_six(one.displacement(*a).unwrap(), angle), turned_six(one.reaction(*a).unwrap(), angle));
            all_close(&other.displacement(*b).unwrap()[..3], &moved[..3], LOOSE);
            all_close(&other.displacement(*b).unwrap()[3..], &moved[3..], LOOSE);
            all_close(&other.reaction(*b).unwrap(), &reaction, LOOSE);
        }
        for (a, b) in plain.members.iter().zip(&turned.members) {
            all_close(other.end_forces(*b).unwrap().as_flattened(), one.end_forces(*a).unwrap().as_flattened(), LOOSE);
        }
    }

    #[test]
    fn extremes_bound_every_place(sketch in sketch(), t in 0.0..1.0) {
        let (built, solution) = sketch.solve(0.0, None);
        for member in &built.members {
            let (diagram, extremes) = (solution.diagram(*member).unwrap(), solution.extremes(&[*member]).unwrap());
            let x = t * built.frame.length(*member).unwrap();
            let (here, moved) = (diagram.internal(x), diagram.local_displacement(x)[1]);
            // At the far end the forces inside are those that its node puts on it.
            let far = diagram.internal(built.frame.length(*member).unwrap());
            let end = solution.end_forces(*member).unwrap()[1];
            all_close(&[far.n, far.vy, far.vz, far.t, far.my, far.mz], &end, LOOSE);
            let slack = 1e-9 * extremes.sagging.value.abs().max(extremes.hogging.value.abs()).max(1.0);
            prop_assert!(here.mz <= extremes.sagging.value + slack && here.mz >= extremes.hogging.value - slack);
            prop_assert!(here.my.abs() <= extremes.sideways.value.abs() + slack && here.vy.abs() <= extremes.shear.value.abs() + slack);
            prop_assert!(here.n <= extremes.tension.value + slack && here.n >= extremes.compression.value - slack);
            prop_assert!(moved <= extremes.up.value + 1e-12 && moved >= extremes.down.value - 1e-12);
            let reached = diagram.internal(extremes.sideways.x).my;
            // A shear that jumps at its extreme is reached on one side of the jump.
            let beside = |x: f64| [x - 1e-9, x].map(|x| diagram.internal(x).vz.abs()).into_iter().fold(0.0, f64::max);
            close(beside(extremes.side_shear.x), extremes.side_shear.value.abs(), 1e-5, extremes.side_shear.value.abs().max(1.0));
            prop_assert!(here.vz.abs() <= extremes.side_shear.value.abs() + slack);
            close(reached.abs(), extremes.sideways.value.abs(), LOOSE, extremes.sideways.value.abs().max(1.0));
        }
    }

    #[test]
    fn influence_is_the_worth_of_loads(sketch in sketch(), at in 0..6_usize) {
        let built = sketch.build(0.0, None);
        let factored = built.frame.factorize().unwrap();
        let loads = sketch.loads(&built, [true; 3]);
        let solution = factored.solve(&loads).unwrap();
        let node = built.nodes[built.nodes.len() - 1];
        let moved = solution.displacement(node).unwrap();
        let worth = factored.influence_on_displacement(node, Dof::ALL[at]).unwrap().of(&loads).unwrap();
        close(worth, moved[at], LOOSE, moved.iter().fold(0.0, |m, u| u.abs().max(m)));
        let reaction = solution.reaction(built.nodes[0]).unwrap();
        let worth = factored.influence_on_reaction(built.nodes[0], Dof::ALL[at]).unwrap().of(&loads).unwrap();
        close(worth, reaction[at], LOOSE, reaction.iter().fold(0.0, |m, u| u.abs().max(m)));
        for spring in &built.springs {
            let worth = factored.influence_on_tension(*spring).unwrap().of(&loads).unwrap();
            close(worth, solution.tension(*spring).unwrap(), LOOSE, 1e4);
        }
    }

    #[test]
    fn a_stiff_spring_is_a_support(sketch in sketch()) {
        let mut built = sketch.build(0.0, None);
        let loads = sketch.loads(&built, [true; 3]);
        let node = *built.nodes.last().unwrap();
        let mut fixed = built.frame.clone();
        fixed.fix(node, Dof::Uy);
        built.frame.spring(node, Dof::Uy, RIGID);
        let (spring, fixed) = (built.frame.factorize().unwrap(), fixed.factorize().unwrap());
        let [own, other] = [spring, fixed].map(|factored| factored.solve(&loads).unwrap().reaction(node).unwrap());
        own.iter().zip(other).for_each(|(a, b)| close(*a, b, NEARLY, 1e4));
    }

    #[test]
    fn a_released_end_is_a_hinge(t in 0.2..0.8, w in -5e3..5e3) {
        // Left of the hinge a cantilever, right of it a propped one: once by a release, once by two nodes that only
        // share their height.
        let build = |released: bool| {
            let (mut frame, nodes, _) = level_beam(&[0.0, 4.0 * t], PLANK);
            let far = frame.node([4.0, 0.0, 0.0]);
            let section = frame.section(PLANK);
            let hinge = Releases { i: End { about_z: true, ..End::default() }, ..Releases::NONE };
            let right = if released {
                frame.member(nodes[1], far, section, hinge).unwrap()
            } else {
                let twin = frame.node([4.0 * t, 0.0, 0.0]);
                frame.tie(nodes[1], twin, &[Dof::Uz]);
                frame.member(twin, far, section, Releases::NONE).unwrap()
            };
            for node in [nodes[0], far] {
                [Dof::Uz, Dof::Ry].iter().for_each(|dof| frame.fix(node, *dof));
            }
            let mut loads = LoadCase::new();
            loads.uniform(right, down(w)).node(nodes[1], Dof::Ry, 300.0);
            let solution = frame.factorize().unwrap().solve(&loads).unwrap();
            let [a, b] = [nodes[0], far].map(|node| solution.reaction(node).unwrap());
            (vec![a[2], a[4], b[2], b[4]], solution.end_forces(right).unwrap()[0])
        };
        let ((own, end), (other, _)) = (build(true), build(false));
        all_close(&own, &other, LOOSE);
        prop_assert_eq!(end[5], 0.0);
    }

    #[test]
    fn a_symmetric_frame_answers_symmetrically(offset in 0.3..2.0_f64, load in 1.0..1e4, k in 1e4..1e8) {
        let (mut frame, nodes, members) = level_beam(&[-3.0, -offset, offset, 3.0], PLANK);
        nodes.iter().for_each(|node| _ = frame.spring(*node, Dof::Uz, k));
        let mut loads = LoadCase::new();
        loads.uniform(members[0], down(load)).uniform(members[2], down(load)).point(members[1], offset, down(load));
        let solution = frame.factorize().unwrap().solve(&loads).unwrap();
        let moved = |node: usize| solution.displacement(nodes[node]).unwrap();
        for (left, right) in [(0, 3), (1, 2)] {
            close(moved(left)[2], moved(right)[2], LOOSE, moved(0)[2].abs());
            close(moved(left)[4], -moved(right)[4], LOOSE, moved(0)[4].abs());
        }
    }
}
