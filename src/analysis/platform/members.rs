//! What happens inside the members: moment, shear, axial force, deflection and the forces on their seats, for each load
//! that can come or stay away by itself.
//!
//! The live load of a deck is not all there or all gone. The live load on each span and each overhang of each joist is a
//! [`Group`] of its own (with that of its neighbours, where there are very many), and so is each live load on a beam. At
//! every section the groups that make things worse are on and the others off: for beams and for joists on two seats
//! that is the worst of all such arrangements, exactly. A joist on three beams and more takes its own loads on seats that stay;
//! that they settle under the whole live load counts where it makes things worse.
//!
//! Sections: both sides of every place where a load acts, a support stands or the member ends, and between them at least
//! every [`STEPS`]th of the length.

use super::{AnalysisError, Model, Run};
use crate::analysis::deck::{JoistLine, SolvedPiece};
use crate::analysis::frame::{Diagram, LoadCase, Solution};
use crate::analysis::span::{Extreme, SpanLoad};
use crate::model::{Beam, Carrier, Case, LoadPlace, Magnitudes};

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
}

/// What a member sits on at a support.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeatOn {
    /// An anchor.
    Anchor(usize),
    /// A beam.
    Beam(usize),
    /// A joist or a header that it meets level.
    Hanger,
}

/// Loads that act together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Group {
    /// Their case.
    pub case: Case,
    /// Whether they may stay away while others of the case are there.
    pub free: bool,
}

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
        let mut envelope = Envelope {
            reactions: vec![0.0; self.supports.len()],
            ..Envelope::default()
        };
        for state in &self.states {
            for (k, (x, _)) in self.sections.iter().enumerate() {
                let both = |of: fn(&Response) -> &Vec<f64>| {
                    self.range(state, factors, |response| at(of(response), k))
                        .map(|value| Extreme { value, x: *x })
                };
                let [low, high] = both(|response| &response.moment);
                envelope.sagging = envelope.sagging.max(high);
                envelope.hogging = envelope.hogging.min(low);
                let [low, high] = both(|response| &response.axial);
                envelope.tension = envelope.tension.max(high);
                envelope.compression = envelope.compression.min(low);
                for value in both(|response| &response.shear) {
                    envelope.shear = wider(envelope.shear, value);
                }
                for value in both(|response| &response.sideways) {
                    envelope.sideways = wider(envelope.sideways, value);
                }
            }
            for (k, most) in envelope.reactions.iter_mut().enumerate() {
                let [_, high] = self.range(state, factors, |response| at(&response.reactions, k));
                *most = most.max(high);
            }
        }
        envelope
    }

    /// The largest deflection down of each stretch under factors on the cases (1), and where (m).
    pub fn deflections(&self, factors: &Magnitudes) -> Vec<Extreme> {
        let mut most = vec![Extreme::default(); self.stretches.len()];
        for state in &self.states {
            for (k, (x, stretch)) in self.sections.iter().enumerate() {
                let [low, _] = self.range(state, factors, |response| at(&response.deflection, k));
                most[*stretch] = most[*stretch].max(Extreme { value: -low, x: *x });
            }
        }
        most
    }

    /// The least and the greatest sum, the free groups on where they serve and off where they do not.
    fn range(
        &self,
        state: &[Response],
        factors: &Magnitudes,
        value: impl Fn(&Response) -> f64,
    ) -> [f64; 2] {
        let mut range = [0.0; 2];
        for (group, response) in self.groups.iter().zip(state) {
            let factor = factors[group.case as usize];
            if factor == 0.0 {
                continue;
            }
            let part = factor * value(response);
            range[0] += if group.free { part.min(0.0) } else { part };
            range[1] += if group.free { part.max(0.0) } else { part };
        }
        range
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
pub(super) struct FrameGroup {
    group: Group,
    loads: LoadCase,
}

impl FrameGroup {
    pub(super) fn loads(&self) -> &LoadCase {
        &self.loads
    }
}

impl Model<'_> {
    /// The groups of loads on the beams: every case whole, but for the live load, joist by joist and span by span.
    pub(super) fn groups(&self) -> Result<Vec<FrameGroup>, AnalysisError> {
        let whole = self
            .cases
            .iter()
            .filter(|(case, ..)| *case != Case::Live)
            .map(|(case, loads, _)| FrameGroup {
                group: Group {
                    case: *case,
                    free: false,
                },
                loads: loads.clone(),
            });
        Ok(whole.chain(self.live_groups()?).collect())
    }

    fn live_groups(&self) -> Result<Vec<FrameGroup>, AnalysisError> {
        let live = Case::Live as usize;
        let group = Group {
            case: Case::Live,
            free: true,
        };
        let mut groups = Vec::new();
        let joists = self.parts.iter().flat_map(|part| &part.joists);
        let joists: Vec<(&JoistLine, Vec<Vec<SpanLoad>>)> = joists
            .map(|joist| (joist, joist.piece.by_stretch(Case::Live)))
            .collect();
        let most = joists
            .iter()
            .map(|(_, parts)| parts.len())
            .max()
            .unwrap_or(0);
        let bundle = (joists.len() * most).div_ceil(MOST_GROUPS).max(1);
        for bundle in joists.chunks(bundle) {
            for stretch in 0..most {
                let mut loads = LoadCase::new();
                let mut any = false;
                for (joist, parts) in bundle {
                    let Some(own) = parts.get(stretch).filter(|own| !own.is_empty()) else {
                        continue;
                    };
                    any = true;
                    let forces = joist.piece.line.support_forces(own);
                    let forces = forces.map_err(AnalysisError::Line)?;
                    for ((_, seat), force) in joist.piece.places.iter().zip(forces) {
                        if let Some((beam, station)) = seat.and_then(|seat| joist.seats.get(seat)) {
                            self.runs[*beam].push(&mut loads, *station, -force);
                        }
                    }
                }
                if any {
                    groups.push(FrameGroup { group, loads });
                }
            }
        }
        for load in self.platform.loads() {
            if let LoadPlace::Beam { beam, station } = load.place
                && load.magnitudes[live] != 0.0
            {
                let mut loads = LoadCase::new();
                self.runs[beam].push(&mut loads, station.value, load.magnitudes[live]);
                groups.push(FrameGroup { group, loads });
            }
        }
        Ok(groups)
    }

    /// The actions on every beam, joist and header, from the solutions of each group in each state.
    pub(super) fn members(
        &self,
        groups: &[FrameGroup],
        states: &[Vec<Solution>],
    ) -> Result<Vec<MemberActions>, AnalysisError> {
        let mut members = Vec::new();
        for k in 0..self.runs.len() {
            members.push(self.beam_actions(k, groups, states)?);
        }
        let mut couplings = self.couplings.iter();
        for (deck, part) in self.parts.iter().enumerate() {
            for joist in &part.joists {
                let coupled = couplings.next().is_some_and(Option::is_some);
                let settled = if coupled {
                    self.settlements(joist, groups, states)?
                } else {
                    vec![[(); Case::ALL.len()].map(|()| vec![0.0; joist.piece.places.len()])]
                };
                let at = joist.piece.at;
                members.push(piece_actions(
                    MemberPart::Joist { deck, at },
                    &joist.piece,
                    &joist.seats,
                    &settled,
                )?);
            }
            for header in &part.headers {
                let still = [(); Case::ALL.len()].map(|()| vec![0.0; header.places.len()]);
                let part = MemberPart::Header {
                    deck,
                    at: header.at,
                };
                members.push(piece_actions(part, header, &[], &[still])?);
            }
        }
        Ok(members)
    }

    fn beam_actions(
        &self,
        k: usize,
        groups: &[FrameGroup],
        states: &[Vec<Solution>],
    ) -> Result<MemberActions, AnalysisError> {
        let (beam, run) = (&self.platform.beams()[k], &self.runs[k]);
        let held = self.on_top(k);
        let supports = beam.supports.iter().map(|support| {
            let on = match support.carrier {
                Carrier::Anchor(anchor) => SeatOn::Anchor(anchor),
                Carrier::Beam { beam, .. } => SeatOn::Beam(beam),
            };
            (support.station.value, on)
        });
        let loads = self.platform.loads().iter().filter_map(|load| {
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
        for solutions in states {
            let row = solutions
                .iter()
                .map(|solution| self.along_beam(k, &actions, solution))
                .collect::<Result<_, _>>()?;
            actions.states.push(row);
        }
        Ok(actions)
    }

    /// Stations of a beam on which joists and other beams sit.
    fn on_top(&self, k: usize) -> Vec<f64> {
        let joists = self
            .parts
            .iter()
            .flat_map(|part| &part.joists)
            .flat_map(|joist| &joist.seats)
            .filter(|(beam, _)| *beam == k)
            .map(|(_, station)| *station);
        let beams = self
            .platform
            .beams()
            .iter()
            .flat_map(|beam| &beam.supports)
            .filter_map(|support| match support.carrier {
                Carrier::Beam { beam, station } if beam == k => Some(station.value),
                _ => None,
            });
        joists.chain(beams).collect()
    }

    fn along_beam(
        &self,
        k: usize,
        actions: &MemberActions,
        solution: &Solution,
    ) -> Result<Response, AnalysisError> {
        let (beam, run) = (&self.platform.beams()[k], &self.runs[k]);
        let diagrams = run
            .members
            .iter()
            .map(|member| solution.diagram(*member))
            .collect::<Result<Vec<_>, _>>()
            .map_err(AnalysisError::Frame)?;
        let along = Along {
            run,
            diagrams: &diagrams,
        };
        let mut response = Response::default();
        let mut up = Vec::with_capacity(actions.sections.len());
        for (x, _) in &actions.sections {
            let here = along.at(*x);
            response.moment.push(here[0]);
            response.sideways.push(here[1]);
            response.shear.push(here[2]);
            response.axial.push(here[3]);
            up.push(here[4]);
        }
        response.deflection = actions.relative(&up, |x| along.at(x)[4]);
        response.reactions = actions
            .supports
            .iter()
            .map(|(station, _)| self.bears(beam, run, *station, solution, 0))
            .collect::<Result<_, _>>()?;
        Ok(response)
    }

    /// What a beam puts down on its support at a station: what supports and ties put on the node, and with it what the
    /// beams that sit on the beam there bring.
    fn bears(
        &self,
        beam: &Beam,
        run: &Run,
        station: f64,
        solution: &Solution,
        depth: usize,
    ) -> Result<f64, AnalysisError> {
        let node = run.node(station);
        let tie = solution.tie_force(node).map_err(AnalysisError::Frame)?;
        let spring = solution.reaction(node).map_err(AnalysisError::Frame)?;
        let mut force = tie[2] + spring[2];
        if depth > self.runs.len() {
            return Ok(force);
        }
        for (other, above) in self.platform.beams().iter().zip(&self.runs) {
            for support in &other.supports {
                if let Carrier::Beam { beam: on, station } = support.carrier
                    && self.platform.beams()[on].id == beam.id
                    && run.node(station.value) == node
                {
                    let place = support.station.value;
                    force += self.bears(other, above, place, solution, depth + 1)?;
                }
            }
        }
        Ok(force)
    }

    /// How the seats of a joist settle, by state and case (m, up).
    fn settlements(
        &self,
        joist: &JoistLine,
        groups: &[FrameGroup],
        states: &[Vec<Solution>],
    ) -> Result<Vec<[Vec<f64>; Case::ALL.len()]>, AnalysisError> {
        let mut all = Vec::with_capacity(states.len());
        for solutions in states {
            let mut by_case = [(); Case::ALL.len()].map(|()| vec![0.0; joist.seats.len()]);
            for (group, solution) in groups.iter().zip(solutions) {
                let settled = &mut by_case[group.group.case as usize];
                for (up, (beam, station)) in settled.iter_mut().zip(&joist.seats) {
                    let node = self.runs[*beam].node(*station);
                    *up += solution.displacement(node).map_err(AnalysisError::Frame)?[2];
                }
            }
            all.push(by_case);
        }
        Ok(all)
    }
}

/// The diagrams along a beam.
struct Along<'a> {
    run: &'a Run,
    diagrams: &'a [Diagram],
}

impl Along<'_> {
    /// Moment upright and sideways, shear, axial force and movement up at a station. On the stub beyond the last node there
    /// is nothing to speak of, and it moves with the node.
    fn at(&self, x: f64) -> [f64; 5] {
        let stations = &self.run.stations;
        let after = stations.partition_point(|station| *station <= x);
        let member = after
            .saturating_sub(1)
            .min(self.diagrams.len().saturating_sub(1));
        let (Some(diagram), Some(from), Some(to)) = (
            self.diagrams.get(member),
            stations.get(member),
            stations.get(member + 1),
        ) else {
            return [0.0; 5];
        };
        let local = (x - from).clamp(0.0, to - from);
        let up = diagram.upright.deflection.at(local);
        if x < *from || x > *to {
            return [0.0, 0.0, 0.0, 0.0, up];
        }
        [
            diagram.upright.moment.at(local),
            diagram.sideways.moment.at(local),
            diagram.upright.shear.at(local),
            diagram.axial.at(local),
            up,
        ]
    }
}

/// The actions on a joist or a header: its own loads on its seats, and the seats' settlements by state and case.
fn piece_actions(
    part: MemberPart,
    piece: &SolvedPiece,
    seats: &[(usize, f64)],
    settled: &[[Vec<f64>; Case::ALL.len()]],
) -> Result<MemberActions, AnalysisError> {
    let [from, to] = piece.ends;
    let supports = piece.places.iter().map(|(x, seat)| {
        let on = seat
            .and_then(|seat| seats.get(seat))
            .map_or(SeatOn::Hanger, |(beam, _)| SeatOn::Beam(*beam));
        (x - from, on)
    });
    let places = piece.loads.iter().flatten().flat_map(|load| match *load {
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
    let still = vec![0.0; piece.places.len()];
    let mut parts: Vec<(Group, Vec<SpanLoad>, bool)> = Vec::new();
    for case in Case::ALL {
        let free = case == Case::Live;
        let group = Group { case, free };
        if free {
            let own = piece.by_stretch(case).into_iter();
            parts.extend(own.map(|own| (group, own, false)));
            parts.push((group, Vec::new(), true));
        } else {
            parts.push((group, piece.loads[case as usize].clone(), true));
        }
    }
    parts.retain(|(group, loads, moves)| {
        let moved = |state: &[Vec<f64>; Case::ALL.len()]| {
            state[group.case as usize].iter().any(|up| *up != 0.0)
        };
        !loads.is_empty() || (*moves && settled.iter().any(moved))
    });
    actions.groups = parts.iter().map(|(group, ..)| *group).collect();
    for state in settled {
        let mut row = Vec::with_capacity(parts.len());
        for (group, loads, moves) in &parts {
            let moved = if *moves {
                &state[group.case as usize]
            } else {
                &still
            };
            row.push(along_piece(&actions, piece, loads, moved)?);
        }
        actions.states.push(row);
    }
    Ok(actions)
}

impl SolvedPiece {
    /// The loads of a case on each span and overhang by themselves.
    fn by_stretch(&self, case: Case) -> Vec<Vec<SpanLoad>> {
        let mut cuts: Vec<f64> = self.places.iter().map(|(x, _)| *x).collect();
        cuts.insert(0, f64::NEG_INFINITY);
        cuts.push(f64::INFINITY);
        let loads = &self.loads[case as usize];
        let own = |pair: &[f64]| -> Vec<SpanLoad> {
            let own = loads
                .iter()
                .filter_map(|load| load.between(pair[0], pair[1]));
            own.collect()
        };
        cuts.windows(2).map(own).collect()
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
