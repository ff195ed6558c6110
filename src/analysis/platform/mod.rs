//! A platform as a frame: beams on anchor springs, joists condensed onto them, and the force on every anchor in every
//! load case and every state of the foundation.
//!
//! Loads are vertical here, so plan movements and twist of the beams are held: beams bend about level axes only, and a
//! seat holds its beam upright.

mod members;
mod states;

pub use members::{Envelope, Group, MemberActions, MemberPart, Response, SeatOn, Stretch};

use super::deck::{DeckError, DeckParts, take_apart};
use super::frame::{
    CouplingId, Dof, Frame, FrameError, LoadCase, Mode, NodeId, Releases, Section, SpringId,
};
use super::line::LineError;
use crate::mechanics::MechanicsError;
use crate::model::{
    Anchor, Beam, Bound, Carrier, Case, Load, LoadPlace, Magnitudes, Platform, Point, plan,
};

/// Supports closer than this along a beam are one node (m): a tenth of a millimetre.
const SAME_PLACE: f64 = 1e-4;
/// Whatever else meets a beam within this share of its depth from a node meets it there (1): a shorter piece would be so
/// stiff beside the anchors that rounding spoils the balance, and a seat is longer.
const SEAT_SHARE: f64 = 0.1;
/// Modulus of elasticity over shear modulus of a sawn beam (from memory); no result here depends on it.
const E_OVER_G: f64 = 16.0;
/// A rigid support, over twice the central stiffness: far beyond any bound, near enough for full precision.
const RIGID: f64 = 1e4;
/// Reactions equal loads to this fraction of them, or the run stops.
pub const BALANCE: f64 = 1e-9;

/// Why a platform can not be analysed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AnalysisError {
    /// A part of the platform can move: nothing holds it.
    #[error("the platform can move: {0}")]
    Mechanism(String),
    /// A deck can not be taken apart.
    #[error(transparent)]
    Deck(#[from] DeckError),
    /// A point, line or area load has no deck to act on.
    #[error("load {0} acts on no deck; move it onto one, or onto a beam with `on`")]
    NoDeck(String),
    /// The frame has no answer.
    #[error("the frame can not be solved: {0}")]
    Frame(FrameError),
    /// A joist or a header has no answer.
    #[error("a joist or a header can not be worked out: {0}")]
    Line(LineError),
    /// An anchor's bar has no answer.
    #[error("anchor {anchor}: {error}")]
    Anchor {
        /// The anchor.
        anchor: String,
        /// Why.
        error: MechanicsError,
    },
    /// Reactions and loads differ: a fault of the program.
    #[error("reactions and loads differ by {0:.1e} of the loads; nothing of this run can be used")]
    Unbalanced(f64),
}

/// The force on one anchor, by case, positive down (N), in the states of the foundation that bound it.
#[derive(Debug, Clone, PartialEq)]
pub struct AnchorForces {
    /// One row for each state: all soft, all stiff, this one stiff among soft, this one soft among stiff, all rigid.
    pub states: Vec<Magnitudes>,
    /// Whether every beam on it is tied down against lifting.
    pub held_down: bool,
}

/// What a deck comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct DeckTotals {
    /// Its id.
    pub id: String,
    /// Loaded area (m²).
    pub area: f64,
    /// Number of pieces of joist.
    pub joists: usize,
    /// Load by case, joists included, positive down (N).
    pub total: Magnitudes,
}

/// A seat of one member on another, or of one beam among several on an anchor, that nothing says is tied.
#[derive(Debug, Clone, PartialEq)]
pub struct Lift {
    /// What sits on what.
    pub part: String,
    /// What bears on it by case, positive down (N).
    pub bears: Magnitudes,
}

/// The forces on every attachment.
#[derive(Debug, Clone, PartialEq)]
pub struct PlatformForces {
    /// By anchor.
    pub anchors: Vec<AnchorForces>,
    /// By deck.
    pub decks: Vec<DeckTotals>,
    /// What happens inside every beam, joist and header.
    pub members: Vec<MemberActions>,
    /// Seats between members that nothing says are tied.
    pub lifts: Vec<Lift>,
    /// Load by case on everything, positive down (N).
    pub total: Magnitudes,
    /// The largest difference of loads and reactions over all cases and states, as a fraction of the loads (1).
    pub imbalance: f64,
}

/// Works out the force on every anchor.
///
/// # Errors
/// A platform that can move, a deck or load that can not be placed, loads and reactions that differ.
pub fn solve(platform: &Platform) -> Result<PlatformForces, AnalysisError> {
    let loads = share_out(platform)?;
    let parts = platform
        .decks()
        .iter()
        .zip(&loads)
        .map(|(deck, loads)| take_apart(deck, platform.beams(), loads))
        .collect::<Result<Vec<_>, _>>()?;
    let model = Model::new(platform, &parts)?;
    let forces = model.forces()?;
    Ok(forces)
}

/// The loads that act on each deck: those on boards go to the first deck whose outline holds them, or the nearest.
fn share_out(platform: &Platform) -> Result<Vec<Vec<&Load>>, AnalysisError> {
    let mut by_deck: Vec<Vec<&Load>> = vec![Vec::new(); platform.decks().len()];
    for load in platform.loads() {
        let place = match &load.place {
            LoadPlace::Point(point) => *point,
            LoadPlace::Line(a, b) => a.between(*b, 0.5),
            LoadPlace::Area(corners) => match corners.first() {
                Some(corner) => centre(corners, *corner),
                None => continue,
            },
            LoadPlace::Anchor(_) | LoadPlace::Beam { .. } => continue,
        };
        let nearest = platform
            .decks()
            .iter()
            .enumerate()
            .map(|(k, deck)| (k, distance(place, &deck.outline)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        match nearest {
            Some((deck, _)) => by_deck[deck].push(load),
            None => return Err(AnalysisError::NoDeck(load.id.clone())),
        }
    }
    Ok(by_deck)
}

fn centre(corners: &[Point], first: Point) -> Point {
    let count = corners.len() as f64;
    let sum = corners.iter().skip(1).fold(first, |sum, c| {
        Point::new(sum.east + c.east, sum.north + c.north)
    });
    Point::new(sum.east / count, sum.north / count)
}

/// Zero inside an outline, otherwise the distance to its nearest edge (m).
fn distance(point: Point, outline: &[Point]) -> f64 {
    if plan::inside(outline, point) {
        return 0.0;
    }
    let [x, y] = point.metres();
    plan::edges(outline)
        .map(|(a, b)| {
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let along = (x - a[0]) * dx + (y - a[1]) * dy;
            let share = (along / (dx * dx + dy * dy)).clamp(0.0, 1.0);
            (x - a[0] - share * dx).hypot(y - a[1] - share * dy)
        })
        .fold(f64::INFINITY, f64::min)
}

/// A beam of the frame: its nodes and members in order.
struct Run {
    stations: Vec<f64>,
    nodes: Vec<NodeId>,
    members: Vec<super::frame::MemberId>,
    /// East and north along it.
    along: [f64; 2],
}

impl Run {
    fn node(&self, station: f64) -> NodeId {
        let nearest = (0..self.stations.len()).min_by(|a, b| {
            (self.stations[*a] - station)
                .abs()
                .total_cmp(&(self.stations[*b] - station).abs())
        });
        self.nodes[nearest.unwrap_or(0)]
    }

    /// A force down at a station (N).
    fn push(&self, case: &mut LoadCase, station: f64, force: f64) {
        let (first, last) = (0, self.stations.len() - 1);
        for end in [first, last] {
            let past = station - self.stations[end];
            if (end == first && past < 0.0) || (end == last && past > 0.0) {
                // On the stub beyond the last node: the force and its moment.
                let [east, north] = self.along;
                case.node(self.nodes[end], Dof::Uz, -force)
                    .node(self.nodes[end], Dof::Rx, -past * north * force)
                    .node(self.nodes[end], Dof::Ry, past * east * force);
                return;
            }
        }
        let member = self
            .stations
            .windows(2)
            .position(|pair| station <= pair[1])
            .unwrap_or(self.members.len() - 1);
        let length = self.stations[member + 1] - self.stations[member];
        let x = (station - self.stations[member]).clamp(0.0, length);
        case.point(self.members[member], x, [0.0, 0.0, -force]);
    }

    /// A load down along the whole of a beam of some length (N/m).
    fn spread(&self, case: &mut LoadCase, length: f64, load: f64) {
        for member in &self.members {
            case.uniform(*member, [0.0, 0.0, -load]);
        }
        let (first, last) = (self.stations[0], self.stations[self.stations.len() - 1]);
        for [from, to] in [[0.0, first], [last, length]] {
            if to > from {
                self.push(case, f64::midpoint(from, to), load * (to - from));
            }
        }
    }
}

struct Model<'a> {
    platform: &'a Platform,
    parts: &'a [DeckParts],
    frame: Frame,
    runs: Vec<Run>,
    springs: Vec<Option<SpringId>>,
    /// By joist, in the order of the decks; none for a joist on two supports.
    couplings: Vec<Option<CouplingId>>,
    /// Central vertical stiffness of each anchor and its ratios at the bounds.
    stiffness: Vec<[f64; 3]>,
    cases: Vec<(Case, LoadCase, f64)>,
    direct: Vec<Magnitudes>,
}

impl<'a> Model<'a> {
    fn new(platform: &'a Platform, parts: &'a [DeckParts]) -> Result<Self, AnalysisError> {
        let mut model = Self {
            platform,
            parts,
            frame: Frame::new(),
            runs: Vec::new(),
            springs: vec![None; platform.anchors().len()],
            couplings: Vec::new(),
            stiffness: Vec::new(),
            cases: Vec::new(),
            direct: vec![[0.0; Case::ALL.len()]; platform.anchors().len()],
        };
        for dof in [Dof::Ux, Dof::Uy, Dof::Rz] {
            model.frame.fix_all(dof);
        }
        for anchor in platform.anchors() {
            model.stiffness.push(stiffness(platform, anchor)?);
        }
        let stations = model.stations();
        for (beam, stations) in platform.beams().iter().zip(stations) {
            let run = lay(&mut model.frame, beam, stations)?;
            model.runs.push(run);
        }
        model.support();
        model.couple();
        model.load();
        Ok(model)
    }

    /// Where each beam needs a node: supports, beams it carries, ends, joists on three beams or more.
    fn stations(&self) -> Vec<Vec<f64>> {
        let beams = self.platform.beams();
        let mut carried: Vec<Vec<f64>> = vec![Vec::new(); beams.len()];
        for support in beams.iter().flat_map(|beam| &beam.supports) {
            if let Carrier::Beam { beam, station } = support.carrier {
                carried[beam].push(station.value);
            }
        }
        let joists = self.parts.iter().flat_map(|part| &part.joists);
        let mut crossed: Vec<Vec<f64>> = vec![Vec::new(); beams.len()];
        for joist in joists.filter(|joist| joist.stiffness.is_some()) {
            for (beam, station) in &joist.seats {
                crossed[*beam].push(*station);
            }
        }
        let lists = carried.iter().zip(&crossed);
        beams
            .iter()
            .zip(lists)
            .map(|(beam, (carried, crossed))| nodes_of(beam, carried, crossed))
            .collect()
    }

    fn support(&mut self) {
        let mut seats: Vec<Option<NodeId>> = vec![None; self.springs.len()];
        for (k, beam) in self.platform.beams().iter().enumerate() {
            for support in &beam.supports {
                let node = self.runs[k].node(support.station.value);
                match support.carrier {
                    Carrier::Anchor(anchor) => match seats[anchor] {
                        Some(first) => self.frame.tie(first, node, &[Dof::Uz]),
                        None => {
                            seats[anchor] = Some(node);
                            let spring =
                                self.frame.spring(node, Dof::Uz, self.stiffness[anchor][1]);
                            self.springs[anchor] = Some(spring);
                        }
                    },
                    Carrier::Beam { beam, station } => {
                        let carrier = self.runs[beam].node(station.value);
                        self.frame.tie(carrier, node, &[Dof::Uz]);
                    }
                }
            }
        }
    }

    fn couple(&mut self) {
        for joist in self.parts.iter().flat_map(|part| &part.joists) {
            let seats = joist.seats.iter();
            let dofs: Vec<_> = seats
                .map(|(beam, station)| (self.runs[*beam].node(*station), Dof::Uz))
                .collect();
            let coupling = joist
                .stiffness
                .as_ref()
                .map(|stiffness| self.frame.coupling(&dofs, stiffness));
            self.couplings.push(coupling);
        }
    }

    fn load(&mut self) {
        for case in Case::ALL {
            let mut loads = LoadCase::new();
            let mut total = 0.0;
            if case == Case::Dead {
                for (beam, run) in self.platform.beams().iter().zip(&self.runs) {
                    let weight = beam.timber.line_weight().value;
                    run.spread(&mut loads, beam.length().value, weight);
                    total += weight * beam.length().value;
                }
            }
            for part in self.parts {
                total += part.total[case as usize];
                for joist in &part.joists {
                    for ((beam, station), force) in joist.seats.iter().zip(&joist.forces) {
                        self.runs[*beam].push(&mut loads, *station, -force[case as usize]);
                    }
                }
            }
            for load in self.platform.loads() {
                let magnitude = load.magnitudes[case as usize];
                match load.place {
                    LoadPlace::Beam { beam, station } => {
                        self.runs[beam].push(&mut loads, station.value, magnitude);
                        total += magnitude;
                    }
                    LoadPlace::Anchor(anchor) => self.direct[anchor][case as usize] += magnitude,
                    _ => {}
                }
            }
            let present = total != 0.0
                || self
                    .parts
                    .iter()
                    .any(|part| part.total[case as usize] != 0.0);
            if present
                || self
                    .platform
                    .loads()
                    .iter()
                    .any(|load| load.magnitudes[case as usize] != 0.0)
            {
                self.cases.push((case, loads, total));
            }
        }
    }

    fn anchor(&self, index: usize) -> AnchorForces {
        let beams = self.platform.beams().iter().flat_map(|beam| &beam.supports);
        let mut seats = beams.filter(|support| support.carrier == Carrier::Anchor(index));
        AnchorForces {
            states: vec![self.direct[index]],
            held_down: seats.all(|support| support.held_down),
        }
    }

    fn decks(&self) -> Vec<DeckTotals> {
        let decks = self.platform.decks().iter().zip(self.parts);
        decks
            .map(|(deck, part)| DeckTotals {
                id: deck.id.clone(),
                area: part.area,
                joists: part.joists.len(),
                total: part.total,
            })
            .collect()
    }

    /// A frame error in the words of the platform.
    fn name(&self, error: FrameError) -> AnalysisError {
        match error {
            FrameError::Mechanism(modes) => {
                let mut parts: Vec<String> = Vec::new();
                for part in modes.iter().flat_map(|mode| self.moving(mode)) {
                    if !parts.contains(&part) {
                        parts.push(part);
                    }
                }
                AnalysisError::Mechanism(parts.join("; "))
            }
            other => AnalysisError::Frame(other),
        }
    }

    fn moving(&self, mode: &Mode) -> Vec<String> {
        let part = |k: usize| {
            let (run, beam) = (&self.runs[k], &self.platform.beams()[k]);
            let falls = |node: &NodeId| {
                mode.0
                    .iter()
                    .find(|motion| motion.node == *node)
                    .map_or(0.0, |motion| motion.translation[2])
            };
            let ends = [run.nodes.first()?, run.nodes.last()?].map(falls);
            (ends.iter().any(|fall| fall.abs() > 1e-6)).then(|| {
                let how = if ends[0].abs() < 1e-6 || ends[1].abs() < 1e-6 || ends[0] * ends[1] < 0.0 {
                    "turns up and down about its support"
                } else {
                    "goes up and down as a whole"
                };
                let supports = beam.supports.len();
                format!("beam {} {how} (it has {supports} of its own): give it another anchor or beam in `on`", beam.id)
            })
        };
        (0..self.runs.len()).filter_map(part).collect()
    }
}

/// Vertical stiffness of an anchor's seat: soft, central, stiff (N/m). Of a leaning stem, the vertical part.
fn stiffness(platform: &Platform, anchor: &Anchor) -> Result<[f64; 3], AnalysisError> {
    let stem = platform.stem_of(anchor);
    let axes = anchor.axes(stem);
    let mut along = [0.0; 3];
    for (value, bound) in along
        .iter_mut()
        .zip([Bound::Soft, Bound::Central, Bound::Stiff])
    {
        let [down, side] =
            anchor
                .stiffness(stem, bound)
                .map_err(|error| AnalysisError::Anchor {
                    anchor: anchor.id.clone(),
                    error,
                })?;
        *value = down.value * axes.down.z.powi(2) + side.value * axes.side.z.powi(2);
    }
    Ok(along)
}

/// Stations of a beam's nodes: its supports where they are, and everything else unless it is as good as there.
fn nodes_of(beam: &Beam, carried: &[f64], crossed: &[f64]) -> Vec<f64> {
    let length = beam.length().value;
    let mut nodes: Vec<f64> = Vec::new();
    let mut add = |station: f64, apart: f64| {
        let station = station.clamp(0.0, length);
        if nodes.iter().all(|node| (node - station).abs() > apart) {
            nodes.push(station);
        }
    };
    let seat = (SEAT_SHARE * beam.timber.depth.value).min(length / 4.0);
    for support in &beam.supports {
        add(support.station.value, SAME_PLACE.min(length / 4.0));
    }
    for station in carried.iter().chain(&[0.0, length]).chain(crossed) {
        add(*station, seat);
    }
    nodes.sort_by(f64::total_cmp);
    nodes
}

fn lay(frame: &mut Frame, beam: &Beam, stations: Vec<f64>) -> Result<Run, AnalysisError> {
    let (width, depth, e) = (
        beam.timber.width.value,
        beam.timber.depth.value,
        beam.timber.modulus.value,
    );
    let (short, long) = (width.min(depth), width.max(depth));
    let section = frame.section(Section {
        e,
        g: e / E_OVER_G,
        a: width * depth,
        iy: depth * width.powi(3) / 12.0,
        iz: width * depth.powi(3) / 12.0,
        j: long * short.powi(3) / 3.0 * (1.0 - 0.63 * short / long),
        shear_y: None,
        shear_z: None,
    });
    let [east, north] = plan::unit(beam.start.bearing(beam.end));
    let upright = e * width * depth.powi(3) / 12.0 / beam.length().value;
    let mut nodes = Vec::with_capacity(stations.len());
    for station in &stations {
        let [x, y] = beam.start.metres();
        let node = frame.node([x + east * station, y + north * station, 0.0]);
        frame.rotation_spring_about(node, [east, north, 0.0], upright);
        nodes.push(node);
    }
    let members = nodes
        .windows(2)
        .map(|pair| frame.member(pair[0], pair[1], section, Releases::default()))
        .collect::<Result<_, _>>()
        .map_err(AnalysisError::Frame)?;
    Ok(Run {
        stations,
        nodes,
        members,
        along: [east, north],
    })
}
