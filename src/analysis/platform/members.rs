//! What happens inside the members: moment, shear, axial force, deflection and the forces on their seats, for each load
//! that can come or stay away by itself.
//!
//! Every column of the loads is a [`Group`] of its own, but that the parts of a live load are taken together with their
//! neighbours where there are very many. At every section the groups that make things worse are on and the others off: for
//! beams and for joists on two seats that is the worst of all arrangements, exactly. A joist on three beams and more
//! takes its own loads on seats that stay; that they settle under the whole live load counts where it makes things worse.
//!
//! Sections: both sides of every place where a load acts, a support stands or the member ends, and between them at least
//! every [`STEPS`]th of the length.

use super::build::{Base, Run};
use super::columns::Column;
use super::solved::{Solved, worth};
use super::{AnalysisError, JointForces};
use crate::analysis::deck::{FIRST_PART, JoistLine, SolvedPiece};
use crate::analysis::frame::{Factored, LoadCase, LoadsByMember, NodeId, Sparse, SpringId};
use crate::analysis::skyline::TOGETHER;
use crate::analysis::span::{Extreme, SpanLoad};
use crate::model::{Carrier, Case, LoadPlace, Magnitudes, Presence};
use std::collections::BTreeMap;

/// Steps along a member between places that are sections anyway. A parabola's top is missed by less than one part in
/// 64² of its height.
const STEPS: f64 = 64.0;
/// The most live loads that may come and go by themselves; with more, neighbouring joists are taken together.
const MOST_GROUPS: usize = 96;
/// A section beside a jump stands off from it by this share of the stretch to the next one: far above rounding, far below
/// anything that shows.
const ASIDE: f64 = 1e-7;
/// A span or an overhang shorter than this is none (m): a tenth of a millimetre.
const NO_SPAN: f64 = 1e-4;

/// A member of a platform.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MemberPart {
    /// A beam, by its place in the platform.
    Beam(usize),
    /// A piece of joist of a deck.
    Joist {
        /// The deck, by its place in the platform.
        deck: usize,
        /// Its middle in plan (m).
        at: [f64; 2],
    },
    /// A header of a deck, between two joists.
    Header {
        /// The deck, by its place in the platform.
        deck: usize,
        /// Its middle in plan (m).
        at: [f64; 2],
    },
    /// A brace, by its place in the platform.
    Brace(usize),
}

/// What a member sits on at a support.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeatOn {
    /// An anchor.
    Anchor(usize),
    /// A post.
    Post(usize),
    /// A beam.
    Beam(usize),
    /// A joist or a header that it meets level.
    Hanger,
}

/// Loads that act together: their case, and how they meet others of it.
pub type Group = Column;

/// What a group does along a member, section by section, and at its supports.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Response {
    /// Moment in the upright plane, sagging positive (N·m).
    pub moment: Vec<f64>,
    /// Moment sideways (N·m).
    pub sideways: Vec<f64>,
    /// Shear in the upright plane (N).
    pub shear: Vec<f64>,
    /// Axial force, tension positive (N).
    pub axial: Vec<f64>,
    /// Deflection up from the line through the two supports of its span, of an overhang from that line carried on (m).
    pub deflection: Vec<f64>,
    /// Force of the member down on each support (N).
    pub reactions: Vec<f64>,
}

/// A stretch between two supports, or beyond the last one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Where it begins (m).
    pub from: f64,
    /// Where it ends (m).
    pub to: f64,
    /// Whether one end is free.
    pub overhang: bool,
}

/// Everything that the loads do to one member.
#[derive(Debug, Clone, PartialEq)]
pub struct MemberActions {
    /// The member.
    pub part: MemberPart,
    /// Its length (m).
    pub length: f64,
    /// Its supports in order: distance from its start (m), and what is there.
    pub supports: Vec<(f64, SeatOn)>,
    /// Places where something sits on it and holds its top (m).
    pub held: Vec<f64>,
    /// Its spans and overhangs.
    pub stretches: Vec<Stretch>,
    /// Sections: distance from the start (m), and the stretch.
    pub sections: Vec<(f64, usize)>,
    /// The groups of loads.
    pub groups: Vec<Group>,
    /// For each state of the foundation (soft, stiff, rigid; one where it plays no part), for each group.
    pub states: Vec<Vec<Response>>,
}

/// The extremes of a member under one combination, over all states and all arrangements of what may stay away.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Envelope {
    /// Largest sagging moment (N·m), not below zero.
    pub sagging: Extreme,
    /// Largest hogging moment, negative (N·m), not above zero.
    pub hogging: Extreme,
    /// Sideways moment of the largest size (N·m).
    pub sideways: Extreme,
    /// Shear of the largest size (N).
    pub shear: Extreme,
    /// Largest tension (N), not below zero.
    pub tension: Extreme,
    /// Largest compression, negative (N), not above zero.
    pub compression: Extreme,
    /// Largest force down on each support (N).
    pub reactions: Vec<f64>,
}

impl MemberActions {
    /// The extremes under factors on the cases (1).
    pub fn envelope(&self, factors: &Magnitudes) -> Envelope {
        self.envelopes(std::slice::from_ref(factors)).swap_remove(0)
    }

    /// The extremes under each of several sets of factors on the cases (1).
    pub fn envelopes(&self, rows: &[Magnitudes]) -> Vec<Envelope> {
        let bare = Envelope {
            reactions: vec![0.0; self.supports.len()],
            ..Envelope::default()
        };
        let mut envelopes = vec![bare; rows.len()];
        for state in &self.states {
            for (k, (x, _)) in self.sections.iter().enumerate() {
                let ranges = |of: fn(&Response) -> &Vec<f64>| {
                    self.ranges(state, |response| at(of(response), k))
                };
                let (moment, axial, shear, sideways) = (
                    ranges(|response| &response.moment),
                    ranges(|response| &response.axial),
                    ranges(|response| &response.shear),
                    ranges(|response| &response.sideways),
                );
                for (envelope, factors) in envelopes.iter_mut().zip(rows) {
                    let both =
                        |ranges: &Ranges| ranges.sum(factors).map(|value| Extreme { value, x: *x });
                    let [low, high] = both(&moment);
                    envelope.sagging = envelope.sagging.max(high);
                    envelope.hogging = envelope.hogging.min(low);
                    let [low, high] = both(&axial);
                    envelope.tension = envelope.tension.max(high);
                    envelope.compression = envelope.compression.min(low);
                    for value in both(&shear) {
                        envelope.shear = wider(envelope.shear, value);
                    }
                    for value in both(&sideways) {
                        envelope.sideways = wider(envelope.sideways, value);
                    }
                }
            }
            for k in 0..self.supports.len() {
                let ranges = self.ranges(state, |response| at(&response.reactions, k));
                for (envelope, factors) in envelopes.iter_mut().zip(rows) {
                    let most = &mut envelope.reactions[k];
                    *most = most.max(ranges.sum(factors)[1]);
                }
            }
        }
        envelopes
    }

    /// The largest deflection down of each stretch under each of several sets of factors on the cases (1), and where (m).
    pub fn deflections(&self, rows: &[Magnitudes]) -> Vec<Vec<Extreme>> {
        let mut all = vec![vec![Extreme::default(); self.stretches.len()]; rows.len()];
        for state in &self.states {
            for (k, (x, stretch)) in self.sections.iter().enumerate() {
                let ranges = self.ranges(state, |response| at(&response.deflection, k));
                for (most, factors) in all.iter_mut().zip(rows) {
                    let [low, _] = ranges.sum(factors);
                    most[*stretch] = most[*stretch].max(Extreme { value: -low, x: *x });
                }
            }
        }
        all
    }

    /// By case the least and the greatest sum, with what may stay away on where it serves and off where it does not.
    /// Loads of which only one is there are of one case.
    fn ranges(&self, state: &[Response], value: impl Fn(&Response) -> f64) -> Ranges {
        let mut ranges = Ranges::default();
        let mut choices: Vec<(Case, [f64; 2])> = Vec::new();
        let mut turning: Option<f64> = None;
        for (group, response) in self.groups.iter().zip(state) {
            let part = value(response);
            let [low, high] = match group.presence {
                Presence::Always => [part; 2],
                Presence::OnOff => [part.min(0.0), part.max(0.0)],
                Presence::OneOf(choice) => {
                    if choices.len() <= choice {
                        choices.resize(choice + 1, (group.case, [0.0; 2]));
                    }
                    let [low, high] = choices[choice].1;
                    choices[choice] = (group.case, [low.min(part), high.max(part)]);
                    continue;
                }
                Presence::Turning => match turning.take() {
                    None => {
                        turning = Some(part);
                        continue;
                    }
                    Some(first) => [-first.hypot(part), first.hypot(part)],
                },
            };
            ranges.add(group.case, [low, high]);
        }
        for (case, range) in choices {
            ranges.add(case, range);
        }
        ranges
    }

    /// The longest part of the top that nothing holds (m).
    pub fn unheld_top(&self) -> f64 {
        let supports = self.supports.iter().map(|(x, _)| *x);
        let mut held: Vec<f64> = supports.chain(self.held.iter().copied()).collect();
        held.extend([0.0, self.length]);
        held.sort_by(f64::total_cmp);
        held.windows(2)
            .map(|pair| pair[1] - pair[0])
            .fold(0.0, f64::max)
    }

    /// The longest stretch (m): the underside is held at the supports only.
    pub fn unheld_bottom(&self) -> f64 {
        self.stretches
            .iter()
            .map(|stretch| stretch.to - stretch.from)
            .fold(0.0, f64::max)
    }

    /// A member of which nothing is asked.
    fn unknown(part: MemberPart) -> Self {
        Self {
            part,
            length: 0.0,
            supports: Vec::new(),
            held: Vec::new(),
            stretches: Vec::new(),
            sections: Vec::new(),
            groups: Vec::new(),
            states: Vec::new(),
        }
    }

    /// A member without its responses: supports in order, places where loads act.
    fn bare(
        part: MemberPart,
        length: f64,
        supports: Vec<(f64, SeatOn)>,
        held: Vec<f64>,
        places: impl Iterator<Item = f64>,
    ) -> Self {
        let stretches = stretches(length, &supports);
        let mut cuts: Vec<f64> = places
            .chain(supports.iter().map(|(x, _)| *x))
            .chain([0.0, length])
            .map(|x| x.clamp(0.0, length))
            .collect();
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| *a - *b < NO_SPAN);
        let sections = sections(length, &cuts, &stretches);
        Self {
            part,
            length,
            supports,
            held,
            stretches,
            sections,
            groups: Vec::new(),
            states: Vec::new(),
        }
    }

    /// Takes the chord of each stretch from deflections along the member.
    fn relative(&self, up: &[f64], along: impl Fn(f64) -> f64) -> Vec<f64> {
        let last = self.supports.len().saturating_sub(1);
        let chord = |stretch: &Stretch| {
            let near = |x: f64| (stretch.from - NO_SPAN..=stretch.to + NO_SPAN).contains(&x);
            let first = self
                .supports
                .iter()
                .position(|(x, _)| near(*x))
                .unwrap_or(0);
            let a = first.min(last.saturating_sub(1));
            let [a, b] = [a, (a + 1).min(last)].map(|k| {
                let x = self.supports.get(k).map_or(0.0, |(x, _)| *x);
                (x, along(x))
            });
            let tilt = if b.0 > a.0 {
                (b.1 - a.1) / (b.0 - a.0)
            } else {
                0.0
            };
            (a.0, a.1, tilt)
        };
        let chords: Vec<_> = self.stretches.iter().map(chord).collect();
        self.sections
            .iter()
            .zip(up)
            .map(|((x, stretch), up)| {
                let (x0, v0, tilt) = chords[*stretch];
                up - v0 - tilt * (x - x0)
            })
            .collect()
    }
}

/// By case, between what a sum lies.
#[derive(Debug, Default)]
struct Ranges {
    by_case: [[f64; 2]; Case::ALL.len()],
    /// The cases that are there, in the order in which they came.
    cases: [usize; Case::ALL.len()],
    count: usize,
}

impl Ranges {
    fn add(&mut self, case: Case, [low, high]: [f64; 2]) {
        let case = case as usize;
        if !self.cases[..self.count].contains(&case) {
            self.cases[self.count] = case;
            self.count += 1;
        }
        let [least, most] = &mut self.by_case[case];
        *least += low;
        *most += high;
    }

    /// All cases times their factors.
    fn sum(&self, factors: &Magnitudes) -> [f64; 2] {
        let cases = self.cases[..self.count].iter();
        cases.fold([0.0; 2], |[least, most], case| {
            let [low, high] = self.by_case[*case].map(|end| end * factors[*case]);
            [least + low.min(high), most + low.max(high)]
        })
    }
}

fn at(list: &[f64], k: usize) -> f64 {
    list.get(k).copied().unwrap_or(0.0)
}

fn wider(a: Extreme, b: Extreme) -> Extreme {
    if b.value.abs() > a.value.abs() { b } else { a }
}

fn stretches(length: f64, supports: &[(f64, SeatOn)]) -> Vec<Stretch> {
    let mut cuts: Vec<f64> = supports.iter().map(|(x, _)| *x).collect();
    cuts.insert(0, 0.0);
    cuts.push(length);
    let last = cuts.len() - 2;
    let parts = cuts
        .windows(2)
        .enumerate()
        .map(|(k, pair)| Stretch {
            from: pair[0],
            to: pair[1],
            overhang: k == 0 || k == last,
        })
        .filter(|part| part.to - part.from > NO_SPAN);
    parts.collect()
}

fn sections(length: f64, cuts: &[f64], stretches: &[Stretch]) -> Vec<(f64, usize)> {
    let mut sections = Vec::new();
    for pair in cuts.windows(2) {
        let (from, gap) = (pair[0], pair[1] - pair[0]);
        let middle = from + gap / 2.0;
        let Some(stretch) = stretches
            .iter()
            .position(|part| part.from <= middle && middle <= part.to)
        else {
            continue;
        };
        let steps = (gap / length * STEPS).ceil().max(2.0);
        let inner = (1_u32..)
            .map(f64::from)
            .take_while(|k| *k < steps)
            .map(|k| k / steps);
        let shares = std::iter::once(ASIDE)
            .chain(inner)
            .chain(std::iter::once(1.0 - ASIDE));
        sections.extend(shares.map(|share| (from + share * gap, stretch)));
    }
    sections
}

/// A group of loads on the frame.
struct FrameGroup {
    group: Group,
    /// The forces on the unknowns.
    forces: Sparse,
    /// What acts between the ends of members.
    along: LoadsByMember,
}

/// A base, and how the groups of loads move the frame on it.
struct OnBase<'a> {
    base: Base,
    factored: &'a Factored,
    /// As many groups at a time as are solved together.
    movements: Vec<Vec<[f64; TOGETHER]>>,
}

/// Where the sections of a beam lie on its members.
struct Place {
    member: usize,
    /// Distance from the member's start (m).
    local: f64,
    /// Whether it is on a member, not on the stub beyond the last node.
    on: bool,
}

impl Solved<'_> {
    /// The groups of loads on the beams: every column, those of a live load with their neighbours where there are many.
    fn groups(&self) -> Vec<FrameGroup> {
        let free =
            |column: &Column| column.presence == Presence::OnOff && column.case == Case::Live;
        let many = self.columns().iter().filter(|column| free(column)).count();
        let bundle = many.div_ceil(MOST_GROUPS).max(1);
        let mut groups: Vec<FrameGroup> = Vec::new();
        let mut in_bundle = 0;
        for (index, (column, loads)) in self.loadings().enumerate() {
            let forces = self.sources().of(index);
            if loads == &LoadCase::new() && column.presence == Presence::Always {
                continue;
            }
            let goes_on = free(&column) && in_bundle > 0 && in_bundle < bundle;
            match groups
                .last_mut()
                .filter(|last| goes_on && free(&last.group))
            {
                Some(last) => {
                    last.forces.extend_from_slice(forces);
                    last.along.add(loads);
                    in_bundle += 1;
                }
                None => {
                    let mut along = LoadsByMember::default();
                    along.add(loads);
                    groups.push(FrameGroup {
                        group: column,
                        forces: forces.to_vec(),
                        along,
                    });
                    in_bundle = usize::from(free(&column));
                }
            }
        }
        groups
    }

    /// The actions on every beam, joist, header and brace.
    ///
    /// # Errors
    /// A frame or a line without an answer.
    pub fn members(&self) -> Result<Vec<MemberActions>, AnalysisError> {
        self.members_that(|_| true)
    }

    /// The actions on every beam, joist, header and brace; of those that are not wanted their places alone.
    ///
    /// # Errors
    /// A frame or a line without an answer.
    pub fn members_that(
        &self,
        wanted: impl Fn(MemberPart) -> bool,
    ) -> Result<Vec<MemberActions>, AnalysisError> {
        let beams = 0..self.model.runs.len();
        let asked = beams.clone().any(|k| wanted(MemberPart::Beam(k)));
        let groups = if asked { self.groups() } else { Vec::new() };
        let bases: Vec<OnBase<'_>> = [Base::Soft, Base::Stiff, Base::Rigid]
            .into_iter()
            .filter_map(|base| {
                let factored = self.factored(base)?;
                let some = |groups: &[FrameGroup]| {
                    let forces = groups.iter().map(|group| &group.forces);
                    factored.movements_together(forces).0
                };
                Some(OnBase {
                    base,
                    factored,
                    movements: groups.chunks(TOGETHER).map(some).collect(),
                })
            })
            .collect();
        let mut members = Vec::new();
        for k in beams {
            members.push(if wanted(MemberPart::Beam(k)) {
                self.beam_actions(k, &groups, &bases)?
            } else {
                MemberActions::unknown(MemberPart::Beam(k))
            });
        }
        let mut couplings = self.model.couplings.iter();
        for (deck, part) in self.model.decks.iter().enumerate() {
            for joist in &part.joists {
                let coupled = couplings.next().is_some_and(Option::is_some);
                let at = joist.piece.at;
                let own = MemberPart::Joist { deck, at };
                if !wanted(own) {
                    members.push(MemberActions::unknown(own));
                    continue;
                }
                let settled = if coupled {
                    self.settlements(joist, &bases)?
                } else {
                    vec![[(); Case::ALL.len()].map(|()| vec![0.0; joist.piece.places.len()])]
                };
                members.push(self.piece_actions(own, &joist.piece, &joist.seats, &settled)?);
            }
            for header in &part.headers {
                let still = [(); Case::ALL.len()].map(|()| vec![0.0; header.places.len()]);
                let own = MemberPart::Header {
                    deck,
                    at: header.at,
                };
                if !wanted(own) {
                    members.push(MemberActions::unknown(own));
                    continue;
                }
                members.push(self.piece_actions(own, header, &[], &[still])?);
            }
        }
        let joints = self.joints_that(|joint| joint.name.starts_with("brace "))?;
        for (k, brace) in self.platform().braces().iter().enumerate() {
            let name = format!("brace {}", brace.id);
            if let Some(joint) = joints.iter().find(|joint| joint.name == name) {
                members.push(self.brace_actions(k, joint));
            }
        }
        Ok(members)
    }

    /// The actions on a brace: axial force only.
    fn brace_actions(&self, k: usize, joint: &JointForces) -> MemberActions {
        let length = self.model.brace_length(&self.platform().braces()[k]);
        let pushes = joint.kind != super::JointKind::Pulls;
        let response = |presses: &f64| Response {
            axial: vec![if pushes { -presses } else { *presses }; 2],
            ..Response::default()
        };
        let state = |presses: &Vec<f64>| presses.iter().map(response).collect();
        MemberActions {
            part: MemberPart::Brace(k),
            length,
            supports: Vec::new(),
            held: Vec::new(),
            stretches: vec![Stretch {
                from: 0.0,
                to: length,
                overhang: false,
            }],
            sections: vec![(0.0, 0), (length, 0)],
            groups: self.columns().to_vec(),
            states: joint.presses.iter().map(state).collect(),
        }
    }

    fn beam_actions(
        &self,
        k: usize,
        groups: &[FrameGroup],
        bases: &[OnBase<'_>],
    ) -> Result<MemberActions, AnalysisError> {
        let (beam, run) = (&self.platform().beams()[k], &self.model.runs[k]);
        let held = self.on_top(k);
        let supports = beam.supports.iter().map(|support| {
            let on = match support.carrier {
                Carrier::Anchor(anchor) => SeatOn::Anchor(anchor),
                Carrier::Post(post) => SeatOn::Post(post),
                Carrier::Beam { beam, .. } => SeatOn::Beam(beam),
            };
            (support.station.value, on)
        });
        let loads = self.platform().loads().iter().filter_map(|load| {
            let LoadPlace::Beam { beam, station } = load.place else {
                return None;
            };
            (beam == k).then_some(station.value)
        });
        let places: Vec<f64> = run
            .stations
            .iter()
            .chain(&held)
            .copied()
            .chain(loads)
            .collect();
        let mut ordered: Vec<(f64, SeatOn)> = supports.collect();
        ordered.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut actions = MemberActions::bare(
            MemberPart::Beam(k),
            beam.length().value,
            ordered,
            held,
            places.into_iter(),
        );
        actions.groups = groups.iter().map(|group| group.group).collect();
        let places: Vec<Place> = actions
            .sections
            .iter()
            .map(|(x, _)| run.place(*x))
            .collect();
        let seats = actions
            .supports
            .iter()
            .map(|(station, _)| self.bears(k, run.node(*station)))
            .collect::<Result<Vec<_>, _>>()?;
        for on in bases {
            let seats = seats
                .iter()
                .map(|seats| on.tensions(seats))
                .collect::<Result<Vec<_>, _>>()?;
            let mut row = Vec::with_capacity(groups.len());
            for (number, group) in groups.iter().enumerate() {
                let movements = &on.movements[number / TOGETHER];
                let under = Under {
                    run,
                    movements,
                    set: number % TOGETHER,
                };
                row.push(under.response(on.factored, group, &actions, &places, &seats)?);
            }
            actions.states.push(row);
        }
        Ok(actions)
    }

    /// Stations of a beam on which joists and other beams sit.
    fn on_top(&self, k: usize) -> Vec<f64> {
        let joists = self
            .model
            .decks
            .iter()
            .flat_map(|part| &part.joists)
            .flat_map(|joist| &joist.seats)
            .filter(|(beam, _)| *beam == k)
            .map(|(_, station)| *station);
        let beams = self
            .platform()
            .beams()
            .iter()
            .flat_map(|beam| &beam.supports)
            .filter_map(|support| match support.carrier {
                Carrier::Beam { beam, station } if beam == k => Some(station.value),
                _ => None,
            });
        joists.chain(beams).collect()
    }

    /// The springs that carry a beam at a node, each with its stretches and what turns its tension into a force down.
    fn bears(&self, beam: usize, node: NodeId) -> Result<Vec<Seat>, AnalysisError> {
        let Some(factored) = self.factored(Base::Soft) else {
            return Ok(Vec::new());
        };
        let seats = self.model.seats_at(beam, node).into_iter();
        seats
            .map(|(spring, down)| {
                let terms = factored.stretch_of(spring);
                Ok(Seat {
                    spring,
                    down,
                    terms: terms.map_err(AnalysisError::Frame)?,
                })
            })
            .collect()
    }

    /// How the seats of a joist settle under whole cases, by state and case (m, up).
    fn settlements(
        &self,
        joist: &JoistLine,
        bases: &[OnBase<'_>],
    ) -> Result<Vec<[Vec<f64>; Case::ALL.len()]>, AnalysisError> {
        let mut all = Vec::with_capacity(bases.len());
        for on in bases {
            let mut by_case = [(); Case::ALL.len()].map(|()| vec![0.0; joist.seats.len()]);
            for (case, solution) in self.solutions(on.base) {
                let settled = &mut by_case[case as usize];
                for (up, (beam, station)) in settled.iter_mut().zip(&joist.seats) {
                    let node = self.model.runs[*beam].node(*station);
                    *up += solution.displacement(node).map_err(AnalysisError::Frame)?[2];
                }
            }
            all.push(by_case);
        }
        Ok(all)
    }
}

/// A spring that carries a beam.
struct Seat {
    spring: SpringId,
    /// What turns its tension into a force of the beam down (1).
    down: f64,
    terms: Sparse,
}

impl OnBase<'_> {
    /// The forces on the unknowns whose worth under a movement is the force of a beam down on some seats.
    fn tensions(&self, seats: &[Seat]) -> Result<Sparse, AnalysisError> {
        let mut all = Sparse::new();
        for seat in seats {
            let stiffness = self.factored.frame().stiffness_of(seat.spring);
            let factor = seat.down * stiffness.map_err(AnalysisError::Frame)?;
            all.extend(seat.terms.iter().map(|(at, term)| (*at, term * factor)));
        }
        Ok(all)
    }
}

impl Run {
    /// Where a station lies. On the stub beyond the last node there is nothing to speak of, and it moves with the node.
    fn place(&self, x: f64) -> Place {
        let after = self.stations.partition_point(|station| *station <= x);
        let last = self.members.len().saturating_sub(1);
        let member = after.saturating_sub(1).min(last);
        let [from, to] = [self.stations[member], self.stations[member + 1]];
        Place {
            member,
            local: (x - from).clamp(0.0, to - from),
            on: (from..=to).contains(&x),
        }
    }
}

/// A beam under a group of loads.
struct Under<'a> {
    run: &'a Run,
    movements: &'a [[f64; TOGETHER]],
    set: usize,
}

impl Under<'_> {
    fn response(
        &self,
        factored: &Factored,
        group: &FrameGroup,
        actions: &MemberActions,
        places: &[Place],
        seats: &[Sparse],
    ) -> Result<Response, AnalysisError> {
        let members = self.run.members.iter();
        let along = members
            .map(|member| factored.along_member(*member, self.movements, self.set, &group.along))
            .collect::<Result<Vec<_>, _>>()
            .map_err(AnalysisError::Frame)?;
        if along.iter().all(Option::is_none) {
            return Ok(Response::default());
        }
        let at = |place: &Place| {
            let here = along[place.member].as_ref();
            here.map_or([0.0; 5], |along| along.at(place.local))
        };
        let list = || Vec::with_capacity(places.len());
        let mut response = Response {
            moment: list(),
            sideways: list(),
            shear: list(),
            axial: list(),
            ..Response::default()
        };
        let mut movement = list();
        for place in places {
            let [moment, sideways, shear, axial, up] = at(place);
            let inside = f64::from(u8::from(place.on));
            response.moment.push(moment * inside);
            response.sideways.push(sideways * inside);
            response.shear.push(shear * inside);
            response.axial.push(axial * inside);
            movement.push(up);
        }
        response.deflection = actions.relative(&movement, |x| at(&self.run.place(x))[4]);
        let seats = seats.iter();
        response.reactions = seats
            .map(|seats| worth(self.movements, seats)[self.set])
            .collect();
        Ok(response)
    }
}

impl Solved<'_> {
    /// The actions on a joist or a header: its own loads on its seats, and the seats' settlements by state and case.
    fn piece_actions(
        &self,
        part: MemberPart,
        piece: &SolvedPiece,
        seats: &[(usize, f64)],
        settled: &[[Vec<f64>; Case::ALL.len()]],
    ) -> Result<MemberActions, AnalysisError> {
        let deck = match part {
            MemberPart::Joist { deck, .. } | MemberPart::Header { deck, .. } => deck,
            MemberPart::Beam(_) | MemberPart::Brace(_) => 0,
        };
        let [from, to] = piece.ends;
        let supports = piece.places.iter().map(|(x, seat)| {
            let on = seat
                .and_then(|seat| seats.get(seat))
                .map_or(SeatOn::Hanger, |(beam, _)| SeatOn::Beam(*beam));
            (x - from, on)
        });
        let places = piece.loads.iter().flat_map(|(_, load)| match *load {
            SpanLoad::Point { x, .. } => [x, x],
            SpanLoad::Ramp { from, to, .. } => [from, to],
        });
        let mut actions = MemberActions::bare(
            part,
            to - from,
            supports.collect(),
            Vec::new(),
            places.map(|x| x - from),
        );
        let mut by_column: BTreeMap<usize, Vec<SpanLoad>> = BTreeMap::new();
        for (column, load) in &piece.loads {
            by_column.entry(*column).or_default().push(*load);
        }
        let still = vec![0.0; piece.places.len()];
        let mut parts: Vec<(Group, Vec<SpanLoad>, Option<Case>)> = by_column
            .into_iter()
            .map(|(column, loads)| (self.column_of(deck, column), loads, None))
            .collect();
        for case in Case::ALL {
            let moved = |state: &[Vec<f64>; Case::ALL.len()]| {
                state[case as usize].iter().any(|up| *up != 0.0)
            };
            if settled.iter().any(moved) {
                // That its seats settle under a whole live load may be there or not.
                let presence = match case {
                    Case::Live => Presence::OnOff,
                    _ => Presence::Always,
                };
                parts.push((Group { case, presence }, Vec::new(), Some(case)));
            }
        }
        actions.groups = parts.iter().map(|(group, ..)| *group).collect();
        for state in settled {
            let mut row = Vec::with_capacity(parts.len());
            for (_, loads, case) in &parts {
                let moved = case.map_or(&still, |case| &state[case as usize]);
                row.push(along_piece(&actions, piece, loads, moved)?);
            }
            actions.states.push(row);
        }
        Ok(actions)
    }

    /// What a column of a deck is among all.
    fn column_of(&self, deck: usize, column: usize) -> Column {
        let index = match column.checked_sub(FIRST_PART) {
            Some(part) => self.first_parts[deck] + part,
            None => column,
        };
        self.columns()[index]
    }
}

fn along_piece(
    actions: &MemberActions,
    piece: &SolvedPiece,
    loads: &[SpanLoad],
    settled: &[f64],
) -> Result<Response, AnalysisError> {
    let loaded = piece
        .line
        .recover(loads, settled)
        .map_err(AnalysisError::Line)?;
    let bending = &loaded.bending;
    let at = |x: &f64| bending.deflection.at(*x);
    let xs = || actions.sections.iter().map(|(x, _)| x);
    let up: Vec<f64> = xs().map(at).collect();
    Ok(Response {
        moment: xs().map(|x| bending.moment.at(*x)).collect(),
        shear: xs().map(|x| bending.shear.at(*x)).collect(),
        deflection: actions.relative(&up, |x| at(&x)),
        reactions: loaded.reactions,
        ..Response::default()
    })
}
