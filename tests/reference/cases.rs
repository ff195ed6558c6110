//! Frames and their results read from a file of cases: N and mm there, N and m here.

use std::collections::BTreeMap;

use barkline::analysis::frame::{
    Acts, Dof, End, Frame, LoadCase, MemberId, NodeId, Releases, Section, SectionId, Solution,
    SpringId,
};
use serde_json::Value;

pub(crate) const MM: f64 = 1e-3;
const MPA: f64 = 1e6;

/// The two programs that made the files agree to 1e-8 of the largest value of a kind, by their own `agreement`.
const EXACT: f64 = 1e-7;

/// Moments at a place between two of the file's sampling points: 1.4e-5 between 20 and 40 points (GR-01), 4e-6
/// between the two programs.
const SAMPLED: f64 = 2e-5;

/// Deflections between two sampling points: 3e-7 between the two programs (GR-01).
const DEFLECTION: f64 = 1e-6;

/// Places are printed to nine digits (m).
const PLACE: f64 = 1e-6;

/// What counts as a length where a moment is nothing but rounding (m).
const ARM: f64 = 1.0;

pub(crate) struct Case {
    pub(crate) json: Value,
    pub(crate) frame: Frame,
    pub(crate) nodes: BTreeMap<String, NodeId>,
    pub(crate) members: BTreeMap<String, MemberId>,
    /// Members of each group in order, with their starts along it (m).
    pub(crate) groups: BTreeMap<String, Vec<MemberId>>,
    /// Springs to the ground by node and direction.
    pub(crate) springs: BTreeMap<(String, String), SpringId>,
}

pub(crate) fn dof(name: &str) -> Dof {
    let names = ["UX", "UY", "UZ", "RX", "RY", "RZ"];
    let forces = ["FX", "FY", "FZ", "MX", "MY", "MZ"];
    let found = names
        .iter()
        .position(|n| *n == name)
        .or_else(|| forces.iter().position(|n| *n == name));
    Dof::ALL[found.unwrap_or_else(|| panic!("no direction {name}"))]
}

pub(crate) fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

pub(crate) fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("no text: {value}"))
}

pub(crate) fn entries(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().into_iter().flatten()
}

pub(crate) fn read(file: &str) -> Vec<Case> {
    let json: Value = serde_json::from_str(file).unwrap();
    list(&json["cases"])
        .iter()
        .map(|case| Case::new(case.clone()))
        .collect()
}

impl Case {
    fn new(json: Value) -> Self {
        let mut frame = Frame::new();
        let mut nodes = BTreeMap::new();
        for (name, place) in entries(&json["nodes"]) {
            let place = std::array::from_fn(|c| number(&place[c]) * MM);
            nodes.insert(name.clone(), frame.node(place));
        }
        let sections: BTreeMap<String, SectionId> = entries(&json["sections"])
            .map(|(name, s)| (name.clone(), frame.section(section(s))))
            .collect();
        let (mut members, mut groups) = (BTreeMap::new(), BTreeMap::<String, Vec<MemberId>>::new());
        for member in list(&json["members"]) {
            let [i, j] = ["i", "j"].map(|end| nodes[text(&member[end])]);
            let [ri, rj] = ["i", "j"].map(|end| end_of(&member["releases"][end]));
            let id = frame
                .member(
                    i,
                    j,
                    sections[text(&member["section"])],
                    Releases { i: ri, j: rj },
                )
                .unwrap();
            members.insert(text(&member["id"]).to_owned(), id);
            groups
                .entry(text(&member["group"]).to_owned())
                .or_default()
                .push(id);
        }
        let springs = supports(&json, &mut frame, &nodes);
        Self {
            json,
            frame,
            nodes,
            members,
            groups,
            springs,
        }
    }

    pub(crate) fn id(&self) -> &str {
        text(&self.json["id"])
    }

    pub(crate) fn loads(&self, rows: &Value) -> LoadCase {
        let mut loads = LoadCase::new();
        for row in list(rows) {
            let along = dof(text(&row["dir"]));
            let force = |name: &str, unit: f64| {
                let mut force = [0.0; 3];
                force[along.index()] = number(&row[name]) * unit;
                force
            };
            match text(&row["type"]) {
                "node" => {
                    let unit = if along.index() < 3 { 1.0 } else { MM };
                    loads.node(
                        self.nodes[text(&row["node"])],
                        along,
                        number(&row["value"]) * unit,
                    );
                }
                "member_point" => {
                    loads.point(
                        self.members[text(&row["member"])],
                        number(&row["x"]) * MM,
                        force("value", 1.0),
                    );
                }
                "member_udl" => {
                    let x = ["x1", "x2"].map(|x| number(&row[x]) * MM);
                    let w = force("w", 1.0 / MM);
                    loads.trapezoid(self.members[text(&row["member"])], x, [w, w]);
                }
                other => panic!("no load {other}"),
            }
        }
        loads
    }

    fn combination(&self, factors: &Value) -> LoadCase {
        let mut loads = LoadCase::new();
        for (name, factor) in entries(factors) {
            loads.add(number(factor), &self.loads(&self.json["load_cases"][name]));
        }
        loads
    }

    /// Every number of the file's results against the solver's.
    pub(crate) fn check(&self) {
        let factored = self.frame.factorize().unwrap();
        let mut checked = 0;
        for (name, factors) in entries(&self.json["combinations"]) {
            let solution = factored.solve(&self.combination(factors)).unwrap();
            let results = &self.json["results"][name];
            let mut compared = Compared {
                name: format!("{} {name}", self.id()),
                rows: Vec::new(),
            };
            self.collect(results, &solution, &mut compared);
            checked += compared.check();
        }
        assert!(checked > 50, "{}: {checked} numbers", self.id());
    }

    fn collect(&self, results: &Value, solution: &Solution, compared: &mut Compared) {
        for (node, forces) in entries(&results["reactions"]) {
            let own = solution.reaction(self.nodes[node]).unwrap();
            for (name, value) in entries(forces) {
                let c = dof(name).index();
                let (kind, unit) = if c < 3 {
                    (Kind::Force, 1.0)
                } else {
                    (Kind::Moment, MM)
                };
                compared.push(
                    kind,
                    format!("reaction {node} {name}"),
                    own[c],
                    number(value) * unit,
                );
            }
        }
        for (node, movements) in entries(&results["displacements"]) {
            let own = solution.displacement(self.nodes[node]).unwrap();
            for (name, value) in entries(movements) {
                let c = dof(name).index();
                let (kind, unit) = if c < 3 {
                    (Kind::Movement, MM)
                } else {
                    (Kind::Turn, 1.0)
                };
                compared.push(
                    kind,
                    format!("displacement {node} {name}"),
                    own[c],
                    number(value) * unit,
                );
            }
        }
        for (member, ends) in entries(&results["member_end_forces"]) {
            let own = solution.end_forces(self.members[member]).unwrap();
            for (own, end) in own.iter().zip(["i", "j"]) {
                for (c, value) in list(&ends[end]).iter().enumerate() {
                    let (kind, unit) = if c < 3 {
                        (Kind::EndForce, 1.0)
                    } else {
                        (Kind::EndMoment, MM)
                    };
                    compared.push(
                        kind,
                        format!("{member} {end} {c}"),
                        own[c],
                        number(value) * unit,
                    );
                }
            }
        }
        for (group, values) in entries(&results["groups"]) {
            self.collect_group(group, values, solution, compared);
        }
        let total = entries(&results["applied_total"])
            .map(|(name, value)| (dof(name).index(), number(value)));
        for (c, value) in total {
            let reactions: f64 = self
                .nodes
                .values()
                .map(|node| solution.reaction(*node).unwrap()[c])
                .sum();
            compared.push(Kind::Force, format!("total {c}"), -reactions, value);
        }
    }

    fn collect_group(
        &self,
        group: &str,
        values: &Value,
        solution: &Solution,
        compared: &mut Compared,
    ) {
        let members = &self.groups[group];
        let own = solution.extremes(members).unwrap();
        let middle = |member: &MemberId| {
            let half = self.frame.length(*member).unwrap() / 2.0;
            solution.internal(*member, half).unwrap().n
        };
        let middles: Vec<f64> = members.iter().map(middle).collect();
        let most = |f: fn(f64, f64) -> f64| middles.iter().copied().reduce(f).unwrap();
        let fields = [
            ("M_sag_max", Kind::Sampled, own.sagging.value, MM),
            ("M_hog_min", Kind::Sampled, own.hogging.value, MM),
            ("My_abs_max", Kind::Sampled, own.sideways.value.abs(), MM),
            (
                "local_down_deflection_max",
                Kind::Deflection,
                -own.down.value,
                MM,
            ),
            (
                "local_up_deflection_max",
                Kind::Deflection,
                own.up.value,
                MM,
            ),
            ("N_mid_max", Kind::Axial, most(f64::max), 1.0),
            ("N_mid_min", Kind::Axial, most(f64::min), 1.0),
        ];
        for (name, kind, own, unit) in fields {
            compared.push(
                kind,
                format!("{group} {name}"),
                own,
                number(&values[name]) * unit,
            );
        }
        // Where a maximum is: the solver's own curve there must reach the maximum.
        self.collect_place(
            group,
            &values["M_sag_max_x"],
            solution,
            own.sagging.value,
            compared,
        );
        self.collect_place(
            group,
            &values["M_hog_min_x"],
            solution,
            own.hogging.value,
            compared,
        );
        let deflection = |member, x| solution.diagram(member).unwrap().local_displacement(x)[1];
        let x = number(&values["local_down_deflection_max_x"]) * MM;
        compared.push(
            Kind::Deflection,
            format!("{group} down at its place"),
            self.nearest(group, x, own.down.value, deflection),
            own.down.value,
        );
    }

    fn collect_place(
        &self,
        group: &str,
        x: &Value,
        solution: &Solution,
        extreme: f64,
        compared: &mut Compared,
    ) {
        let moment = |member, x| solution.internal(member, x).unwrap().mz;
        let there = self.nearest(group, number(x) * MM, extreme, moment);
        compared.push(
            Kind::Sampled,
            format!("{group} moment at its place"),
            there,
            extreme,
        );
    }

    /// The value at a place along a group that comes nearest to another: at a joint there may be two.
    fn nearest(
        &self,
        group: &str,
        x: f64,
        wanted: f64,
        value: impl Fn(MemberId, f64) -> f64,
    ) -> f64 {
        let here = self
            .at(group, x)
            .into_iter()
            .map(|(member, x)| value(member, x));
        here.min_by(|a, b| (a - wanted).abs().total_cmp(&(b - wanted).abs()))
            .unwrap()
    }

    /// The members of a group at a place along it, and the place from the start of each.
    pub(crate) fn at(&self, group: &str, mut x: f64) -> Vec<(MemberId, f64)> {
        let mut found = Vec::new();
        for member in &self.groups[group] {
            let length = self.frame.length(*member).unwrap();
            if x >= -PLACE && x <= length + PLACE {
                found.push((*member, x));
            }
            x -= length;
        }
        found
    }
}

fn section(s: &Value) -> Section {
    let n = |name: &str| number(&s[name]);
    let (e, g, a) = (n("E") * MPA, n("G") * MPA, n("A") * MM.powi(2));
    let [iy, iz, j] = ["Iy", "Iz", "J"].map(|name| n(name) * MM.powi(4));
    Section {
        e,
        g,
        a,
        iy,
        iz,
        j,
        shear_y: None,
        shear_z: None,
    }
}

fn end_of(releases: &Value) -> End {
    let has = |name: &str| list(releases).iter().any(|r| text(r) == name);
    End {
        about_y: has("Ry"),
        about_z: has("Rz"),
        torsion: false,
    }
}

fn supports(
    json: &Value,
    frame: &mut Frame,
    nodes: &BTreeMap<String, NodeId>,
) -> BTreeMap<(String, String), SpringId> {
    for name in list(&json["restrain_all_nodes"]) {
        frame.fix_all(dof(text(name)));
    }
    let mut springs = BTreeMap::new();
    for support in list(&json["supports"]) {
        let name = text(&support["node"]);
        for d in list(&support["fixed"]) {
            frame.fix(nodes[name], dof(text(d)));
        }
        for (d, k) in entries(&support["springs"]) {
            let unit = if dof(d).index() < 3 { 1.0 / MM } else { MM };
            let spring = frame.spring(nodes[name], dof(d), number(k) * unit);
            if list(&support["one_way"]).iter().any(|one| text(one) == d) {
                frame.one_way(spring, Acts::Push).unwrap();
            }
            springs.insert((name.to_owned(), d.clone()), spring);
        }
    }
    for absent in ["links", "imposed"] {
        assert!(json[absent].is_null(), "{absent} are read by no case");
    }
    springs
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Force,
    Moment,
    Movement,
    Turn,
    EndForce,
    EndMoment,
    Sampled,
    Deflection,
    Axial,
}

/// Numbers side by side.
struct Compared {
    name: String,
    rows: Vec<(Kind, String, f64, f64)>,
}

impl Compared {
    fn push(&mut self, kind: Kind, what: String, own: f64, theirs: f64) {
        self.rows.push((kind, what, own, theirs));
    }

    /// Each against the largest of its kind; returns how many.
    fn check(&self) -> usize {
        let largest = |kind: Kind| {
            self.rows
                .iter()
                .filter(|row| row.0 == kind)
                .map(|row| row.3.abs())
                .fold(0.0, f64::max)
        };
        for (kind, what, own, theirs) in &self.rows {
            let scale = match kind {
                Kind::Moment => largest(*kind).max(ARM * largest(Kind::Force)),
                Kind::EndMoment | Kind::Sampled => {
                    largest(*kind).max(ARM * largest(Kind::EndForce))
                }
                _ => largest(*kind),
            };
            let tolerance = match kind {
                Kind::Sampled => SAMPLED,
                Kind::Deflection => DEFLECTION,
                _ => EXACT,
            };
            assert!(
                (own - theirs).abs() <= tolerance * scale,
                "{} {kind:?} {what}: {own} against {theirs}",
                self.name
            );
        }
        self.rows.len()
    }
}
