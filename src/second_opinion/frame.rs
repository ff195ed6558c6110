//! The platform as a frame with every unknown in one dense matrix: elements of twelve freedoms, springs as they come,
//! nothing condensed, nothing carried over from another solution.

use super::OpinionError;
use super::joist::Joist;
use crate::model::{
    Action, ActionPart, ActionPlace, Anchor, Beam, BeamSupport, Carrier, Case, Criteria, Crossing,
    Diaphragm, LoadPlace, Platform, Seat, plan,
};
use crate::units::si;
use nalgebra::{DMatrix, DVector, Vector3};

/// Supports closer than this along a beam are one (m).
const SAME_PLACE: f64 = 1e-4;
/// What meets a beam within this share of its depth from a node meets it there (1).
const SEAT_SHARE: f64 = 0.1;
/// E/G of sawn wood.
const E_OVER_G: f64 = 16.0;
/// A seat of one member on another (N/m).
const SEAT: f64 = 1e9;
/// A stem that does not move (N/m).
const STILL: f64 = 1e10;
/// A post of which nothing is said (N/m).
const POST: f64 = 1e8;
/// Levels of a stem that are one (m).
const ONE_LEVEL: f64 = 0.1;
/// A rigid support over a stiff one (1).
const RIGID: f64 = 1e3;
/// Seats that spread less than this have no arm (m²).
const NO_ARM: f64 = 1e-6;
/// Freedoms of a node.
const FREEDOMS: usize = 6;
/// The most unknowns that are worth a dense matrix.
pub(super) const MOST: usize = 1_500;

/// A foundation: soft, stiff, rigid.
pub(super) type Base = usize;
/// Stiffness of an anchor down, side and out, by [`Base`] (N/m).
pub(super) type Springs = [[f64; 3]; 3];

/// A spring between unknowns: what each adds to its stretch, and its stiffness.
#[derive(Debug, Clone)]
struct Spring {
    terms: Vec<(usize, f64)>,
    stiffness: f64,
}

/// A direction in which an anchor holds.
#[derive(Debug, Clone)]
struct Grip {
    terms: Vec<(usize, f64)>,
    axis: Vector3<f64>,
    /// By base (N/m).
    stiffness: [f64; 3],
}

/// A beam in the frame.
#[derive(Debug, Clone)]
struct Run {
    stations: Vec<f64>,
    nodes: Vec<usize>,
    along: Vector3<f64>,
}

/// A load: forces on the unknowns, and what goes straight to anchors.
#[derive(Debug, Clone)]
struct Load {
    forces: DVector<f64>,
    direct: Vec<(usize, Vector3<f64>)>,
}

/// What one load brings to an anchor, along its axes, and the size of that load (N).
#[derive(Debug, Clone, Copy)]
pub(super) struct Brought {
    pub(super) triple: [f64; 3],
    pub(super) size: f64,
}

/// The platform as a frame.
#[derive(Debug)]
pub(super) struct Frame<'a> {
    platform: &'a Platform,
    nodes: Vec<Vector3<f64>>,
    fixed: Vec<usize>,
    stiffness: DMatrix<f64>,
    springs: Vec<Spring>,
    grips: Vec<Vec<Grip>>,
    runs: Vec<Run>,
    planes: Vec<f64>,
    trunks: Vec<(usize, f64, usize)>,
    trunk_of: Vec<usize>,
    plates: Vec<Option<usize>>,
    loads: Vec<Load>,
}

fn freedom(node: usize, axis: usize) -> usize {
    FREEDOMS * node + axis
}

fn on_plan(bearing_from: &Beam) -> Vector3<f64> {
    let [east, north] = plan::unit(bearing_from.start.bearing(bearing_from.end));
    Vector3::new(east, north, 0.0)
}

impl<'a> Frame<'a> {
    /// The frame of a platform on anchors of these springs, under its own cases and then under each action.
    pub(super) fn new(
        platform: &'a Platform,
        springs: &[Springs],
        joists: &[Joist],
        decks: &[[f64; 2]],
        actions: &[Action],
    ) -> Self {
        let mut frame = Self {
            platform,
            nodes: Vec::new(),
            fixed: Vec::new(),
            stiffness: DMatrix::zeros(0, 0),
            springs: Vec::new(),
            grips: vec![Vec::new(); platform.anchors().len()],
            runs: Vec::new(),
            planes: planes(platform),
            trunks: Vec::new(),
            trunk_of: Vec::new(),
            plates: Vec::new(),
            loads: Vec::new(),
        };
        frame.stand_trunks();
        frame.lay_beams(joists);
        for (anchor, springs) in springs.iter().enumerate() {
            frame.hold(anchor, springs);
        }
        frame.cross_and_post();
        frame.plate(decks);
        let size = FREEDOMS * frame.nodes.len();
        frame.stiffness = DMatrix::zeros(size, size);
        frame.assemble(joists);
        frame.load(joists, decks, actions);
        frame
    }

    /// How many unknowns it has.
    pub(super) fn size(&self) -> usize {
        self.stiffness.nrows()
    }

    fn node(&mut self, place: [f64; 3]) -> usize {
        self.nodes.push(Vector3::from(place));
        self.nodes.len() - 1
    }

    fn spring(&mut self, terms: Vec<(usize, f64)>, stiffness: f64) {
        self.springs.push(Spring { terms, stiffness });
    }

    fn seats(&self, anchor: usize) -> Vec<(usize, &'a BeamSupport)> {
        let beams = self.platform.beams().iter().enumerate();
        beams
            .flat_map(|(k, beam)| beam.supports.iter().map(move |support| (k, support)))
            .filter(|(_, support)| support.carrier == Carrier::Anchor(anchor))
            .collect()
    }

    /// The height at which an anchor acts.
    fn height(&self, anchor: usize) -> f64 {
        let seats = self.seats(anchor);
        let bears = seats.iter().find(|(_, support)| support.seat != Seat::Hung);
        let level = self.platform.anchors()[anchor].level;
        bears.map_or(level.map_or(0.0, |level| level.value), |(beam, _)| {
            self.planes[*beam]
        })
    }

    fn stand_trunks(&mut self) {
        for (k, anchor) in self.platform.anchors().iter().enumerate() {
            let (stem, height) = (self.platform.stem_of(anchor), self.height(k));
            let stems = self.platform.stems();
            let known = self.trunks.iter().position(|(other, level, _)| {
                stems[*other].id == stem.id && (level - height).abs() < ONE_LEVEL
            });
            let index = known.unwrap_or_else(|| {
                let [x, y] = stem.at.metres();
                let node = self.node([x, y, height]);
                self.fixed
                    .extend((2..FREEDOMS).map(|axis| freedom(node, axis)));
                let moves = anchor
                    .level
                    .and_then(|_| stem.side_stiffness(si::metres(height)));
                for axis in 0..2 {
                    self.spring(
                        vec![(freedom(node, axis), 1.0)],
                        moves.map_or(STILL, |moves| moves.value),
                    );
                }
                self.trunks.push((anchor.stem, height, node));
                self.trunks.len() - 1
            });
            self.trunk_of.push(index);
        }
    }

    fn lay_beams(&mut self, joists: &[Joist]) {
        for (index, beam) in self.platform.beams().iter().enumerate() {
            let stations = stations(self.platform, index, joists);
            let along = on_plan(beam);
            let [x, y] = beam.start.metres();
            let nodes = stations
                .iter()
                .map(|station| {
                    self.node([
                        x + along.x * station,
                        y + along.y * station,
                        self.planes[index],
                    ])
                })
                .collect();
            self.runs.push(Run {
                stations,
                nodes,
                along,
            });
        }
    }

    /// The node of a beam nearest to a station.
    fn nearest(&self, beam: usize, station: f64) -> usize {
        let run = &self.runs[beam];
        let off = |k: usize| (run.stations[k] - station).abs();
        let nearest = (0..run.nodes.len()).fold(0, |a, b| if off(b) < off(a) { b } else { a });
        run.nodes[nearest]
    }

    fn hold(&mut self, index: usize, springs: &Springs) {
        let platform = self.platform;
        let anchor = &platform.anchors()[index];
        let seats = self.seats(index);
        let braces: Vec<_> = platform
            .braces()
            .iter()
            .filter(|brace| brace.anchor == index)
            .collect();
        if seats.len() == 1 && braces.is_empty() && seats[0].1.seat != Seat::Hung {
            let (beam, support) = seats[0];
            let node = self.nearest(beam, support.station.value);
            let slides = (support.seat == Seat::Sliding).then(|| self.runs[beam].along);
            return self.grip(index, node, springs, slides);
        }
        if seats.is_empty() && braces.is_empty() {
            return;
        }
        let [x, y] = anchor.load_point(platform.stem_of(anchor)).metres();
        let height = self.height(index);
        let node = self.node([x, y, height]);
        self.grip(index, node, springs, None);
        for (beam, support) in seats {
            let seat = self.nearest(beam, support.station.value);
            if support.seat != Seat::Hung {
                let slides = (support.seat == Seat::Sliding).then(|| self.runs[beam].along);
                self.rest(seat, node, slides);
            } else if height - self.planes[beam] > SAME_PLACE {
                self.rod(node, seat, SEAT);
            } else {
                self.on_arm(node, seat, -Vector3::z(), SEAT);
            }
        }
        for brace in braces {
            let end = self.nearest(brace.beam, brace.station.value);
            let area = brace.timber.width.value * brace.timber.depth.value;
            let stiffness = brace.timber.modulus.value * area / self.brace_length(brace);
            self.rod(node, end, stiffness);
        }
    }

    /// Length of a brace, from the load point of its anchor to the axis of its beam (m).
    fn brace_length(&self, brace: &crate::model::Brace) -> f64 {
        let anchor = &self.platform.anchors()[brace.anchor];
        let [x, y] = anchor.load_point(self.platform.stem_of(anchor)).metres();
        let [u, v] = self.platform.beams()[brace.beam].at(brace.station).metres();
        let rise = self.planes[brace.beam] - self.height(brace.anchor);
        Vector3::new(u - x, v - y, rise).norm()
    }

    /// The springs of an anchor, between its stem and a node.
    fn grip(&mut self, index: usize, node: usize, springs: &Springs, slides: Option<Vector3<f64>>) {
        let own = axes(self.platform, &self.platform.anchors()[index]);
        let held = match slides {
            None => own.to_vec(),
            Some(along) => {
                let down = (own[0] - along * along.dot(&own[0])).normalize();
                vec![down, along.cross(&down)]
            }
        };
        let trunk = self.trunks[self.trunk_of[index]].2;
        for axis in held {
            let stiffness = springs.map(|base| {
                let gives: f64 = (0..3).map(|c| own[c].dot(&axis).powi(2) / base[c]).sum();
                1.0 / gives
            });
            let terms = [(node, 1.0), (trunk, -1.0)];
            let terms = terms
                .into_iter()
                .flat_map(|(node, sign)| (0..3).map(move |c| (freedom(node, c), sign * axis[c])));
            let terms = terms.collect();
            self.grips[index].push(Grip {
                terms,
                axis,
                stiffness,
            });
        }
    }

    /// A spring along an axis between a node and its place on a rigid arm from another.
    fn on_arm(&mut self, from: usize, to: usize, axis: Vector3<f64>, stiffness: f64) {
        let arm = self.nodes[to] - self.nodes[from];
        let mut terms = Vec::with_capacity(9);
        for c in 0..3 {
            terms.push((freedom(to, c), axis[c]));
            terms.push((freedom(from, c), -axis[c]));
            // The arm turns with its node: θ × r along the axis.
            terms.push((freedom(from, 3 + c), -arm.cross(&axis)[c]));
        }
        self.spring(terms, stiffness);
    }

    /// A bar between two nodes that takes axial force alone.
    fn rod(&mut self, from: usize, to: usize, stiffness: f64) {
        let axis = (self.nodes[to] - self.nodes[from]).normalize();
        let ends = [(to, 1.0), (from, -1.0)];
        let terms = ends
            .iter()
            .flat_map(|(node, sign)| (0..3).map(move |c| (freedom(*node, c), sign * axis[c])));
        let terms = terms.collect();
        self.spring(terms, stiffness);
    }

    /// A beam's node on another node.
    fn rest(&mut self, beam: usize, on: usize, slides: Option<Vector3<f64>>) {
        let up = Vector3::z();
        self.on_arm(beam, on, up, SEAT);
        let level = match slides {
            Some(along) => vec![along.cross(&up)],
            None => vec![Vector3::x(), Vector3::y()],
        };
        for axis in level {
            self.on_arm(beam, on, axis, SEAT);
        }
    }

    fn cross_and_post(&mut self) {
        for (k, beam) in self.platform.beams().iter().enumerate() {
            for support in &beam.supports {
                let own = self.nearest(k, support.station.value);
                match support.carrier {
                    Carrier::Anchor(_) => {}
                    Carrier::Post(post) => {
                        let given = self.platform.posts()[post].stiffness;
                        let stiffness = given.map_or(POST, |stiffness| stiffness.value);
                        self.spring(vec![(freedom(own, 2), 1.0)], stiffness);
                    }
                    Carrier::Beam { beam, station } => {
                        let on = self.nearest(beam, station.value);
                        let slides = (support.seat == Seat::Sliding).then(|| self.runs[k].along);
                        self.rest(own, on, slides);
                    }
                }
            }
        }
    }

    fn plate(&mut self, decks: &[[f64; 2]]) {
        for (deck, [x, y]) in self.platform.decks().iter().zip(decks) {
            if deck.diaphragm == Diaphragm::Flexible {
                self.plates.push(None);
                continue;
            }
            let plane = deck.beams.first().map_or(0.0, |beam| self.planes[*beam]);
            let plate = self.node([*x, *y, plane]);
            self.fixed
                .extend([2, 3, 4].map(|axis| freedom(plate, axis)));
            for beam in &deck.beams {
                let nodes = self.runs[*beam].nodes.clone();
                for node in nodes.first().into_iter().chain(nodes.last()) {
                    self.on_arm(plate, *node, Vector3::x(), SEAT);
                    self.on_arm(plate, *node, Vector3::y(), SEAT);
                }
            }
            self.plates.push(Some(plate));
        }
    }

    /// Everything but the anchors' own springs.
    fn assemble(&mut self, joists: &[Joist]) {
        for (beam, run) in self.platform.beams().iter().zip(&self.runs) {
            let upright =
                beam.timber.modulus.value * beam.timber.second_moment().value / beam.length().value;
            for node in &run.nodes {
                let terms: Vec<_> = (0..3)
                    .map(|c| (freedom(*node, 3 + c), run.along[c]))
                    .collect();
                add_spring(&mut self.stiffness, &terms, upright);
            }
            for k in 1..run.nodes.len() {
                let length = run.stations[k] - run.stations[k - 1];
                let matrix = in_space(&element(beam, length), run.along);
                let places = freedoms([run.nodes[k - 1], run.nodes[k]]);
                for (row, at) in places.iter().enumerate() {
                    for (column, to) in places.iter().enumerate() {
                        self.stiffness[(*at, *to)] += matrix[(row, column)];
                    }
                }
            }
        }
        for spring in &self.springs {
            add_spring(&mut self.stiffness, &spring.terms, spring.stiffness);
        }
        for joist in joists {
            let Some(matrix) = &joist.stiffness else {
                continue;
            };
            let places: Vec<usize> = joist
                .seats
                .iter()
                .map(|(beam, station)| freedom(self.nearest(*beam, *station), 2))
                .collect();
            for (row, at) in places.iter().enumerate() {
                for (column, to) in places.iter().enumerate() {
                    self.stiffness[(*at, *to)] += matrix[(row, column)];
                }
            }
        }
    }

    fn blank(&self) -> Load {
        Load {
            forces: DVector::zeros(self.size()),
            direct: Vec::new(),
        }
    }

    fn load(&mut self, joists: &[Joist], decks: &[[f64; 2]], actions: &[Action]) {
        let mut loads = vec![self.blank(); Case::ALL.len()];
        self.weigh(&mut loads[Case::Dead as usize]);
        for joist in joists {
            for ((beam, station), down) in joist.seats.iter().zip(&joist.bears) {
                for (load, down) in loads.iter_mut().zip(down) {
                    self.push(load, *beam, *station, Vector3::new(0.0, 0.0, -down));
                }
            }
        }
        for given in self.platform.loads() {
            for (load, down) in loads.iter_mut().zip(given.magnitudes) {
                let force = Vector3::new(0.0, 0.0, -down);
                match given.place {
                    LoadPlace::Beam { beam, station } => {
                        self.push(load, beam, station.value, force);
                    }
                    LoadPlace::Anchor(anchor) => load.direct.push((anchor, force)),
                    _ => {}
                }
            }
        }
        for action in actions {
            let mut load = self.blank();
            for part in &action.parts {
                self.act(&mut load, part, joists, decks);
            }
            loads.push(load);
        }
        self.loads = loads;
    }

    fn weigh(&self, dead: &mut Load) {
        for (index, beam) in self.platform.beams().iter().enumerate() {
            let weight = beam.timber.line_weight().value;
            // Even weight on a cubic is that of two Gauss places and more; stubs beyond the last nodes hang on those.
            let mut places = self.runs[index].stations.clone();
            places.insert(0, 0.0);
            places.push(beam.length().value);
            for pair in places.windows(2).filter(|pair| pair[1] > pair[0]) {
                let (middle, half) = (f64::midpoint(pair[0], pair[1]), (pair[1] - pair[0]) / 2.0);
                let off = half / 3.0_f64.sqrt();
                for station in [middle - off, middle + off] {
                    let force = Vector3::new(0.0, 0.0, -weight * half);
                    self.push(dead, index, station, force);
                }
            }
        }
        for brace in self.platform.braces() {
            let half = brace.timber.line_weight().value * self.brace_length(brace) / 2.0;
            let force = Vector3::new(0.0, 0.0, -half);
            self.push(dead, brace.beam, brace.station.value, force);
            dead.direct.push((brace.anchor, force));
        }
    }

    /// A force at a station of a beam, on the nodes beside it by the element's own functions.
    fn push(&self, load: &mut Load, beam: usize, station: f64, force: Vector3<f64>) {
        let run = &self.runs[beam];
        let last = run.stations.len() - 1;
        let (first_station, last_station) = (run.stations[0], run.stations[last]);
        if station < first_station || station > last_station || last == 0 {
            let end = if station > last_station { last } else { 0 };
            let moment = (run.along * (station - run.stations[end])).cross(&force);
            for c in 0..3 {
                load.forces[freedom(run.nodes[end], c)] += force[c];
                load.forces[freedom(run.nodes[end], 3 + c)] += moment[c];
            }
            return;
        }
        let k = run.stations[1..last].partition_point(|place| *place < station);
        let length = run.stations[k + 1] - run.stations[k];
        let s = (station - run.stations[k]) / length;
        let (s2, s3) = (s * s, s * s * s);
        let axial = run.along * run.along.dot(&force);
        let across = force - axial;
        let moves = [1.0 - 3.0 * s2 + 2.0 * s3, 3.0 * s2 - 2.0 * s3];
        let turns = [length * (s - 2.0 * s2 + s3), length * (s3 - s2)];
        for (end, share) in [1.0 - s, s].into_iter().enumerate() {
            let node = run.nodes[k + end];
            let own = axial * share + across * moves[end];
            // Work through the slope w' = θ × along.
            let moment = run.along.cross(&across) * turns[end];
            for c in 0..3 {
                load.forces[freedom(node, c)] += own[c];
                load.forces[freedom(node, 3 + c)] += moment[c];
            }
        }
    }

    fn act(&self, load: &mut Load, part: &ActionPart, joists: &[Joist], decks: &[[f64; 2]]) {
        let force = Vector3::from(part.force);
        match part.on {
            ActionPlace::Anchor(anchor) => load.direct.push((anchor, force)),
            ActionPlace::Beam { beam, station } => self.push(load, beam, station.value, force),
            ActionPlace::Deck { deck, at, height } => {
                let [x, y] = at.metres();
                let at = Vector3::new(x, y, 0.0);
                let centre = Vector3::new(decks[deck][0], decks[deck][1], 0.0);
                let level = Vector3::new(force.x, force.y, 0.0);
                self.aside(load, deck, at, centre, level);
                let lever = self.boards(deck) + height.value;
                let mut couple = (Vector3::z() * lever).cross(&level);
                couple += (at - centre).cross(&Vector3::new(0.0, 0.0, force.z));
                self.field(load, deck, joists, centre, force.z, couple);
            }
        }
    }

    /// Height of the boards over the plane of the beams (m).
    fn boards(&self, deck: usize) -> f64 {
        let deck = &self.platform.decks()[deck];
        let joists = match deck.joists.set {
            Crossing::OnTop => deck.joists.timber.depth.value,
            Crossing::Flush => 0.0,
        };
        let Some(first) = deck.beams.first() else {
            return joists;
        };
        let (beam, plane) = (&self.platform.beams()[*first], self.planes[*first]);
        let level = beam.level.map_or(plane, |level| level.value);
        level - plane + beam.timber.depth.value / 2.0 + joists
    }

    /// A level force on a deck: on its plate, or in equal parts on its beams.
    fn aside(
        &self,
        load: &mut Load,
        deck: usize,
        at: Vector3<f64>,
        centre: Vector3<f64>,
        force: Vector3<f64>,
    ) {
        if let Some(plate) = self.plates[deck] {
            load.forces[freedom(plate, 0)] += force.x;
            load.forces[freedom(plate, 1)] += force.y;
            load.forces[freedom(plate, 5)] += (at - centre).cross(&force).z;
            return;
        }
        let beams = &self.platform.decks()[deck].beams;
        for beam in beams {
            let own = &self.platform.beams()[*beam];
            let [x, y] = own.start.metres();
            let station = (at - Vector3::new(x, y, 0.0)).dot(&self.runs[*beam].along);
            let station = station.clamp(0.0, own.length().value);
            self.push(load, *beam, station, force / beams.len() as f64);
        }
    }

    /// A force up through the centre of a deck and a couple, as forces up on the seats of its joists that are linear over
    /// the plan: the plane that has the same resultants.
    fn field(
        &self,
        load: &mut Load,
        deck: usize,
        joists: &[Joist],
        centre: Vector3<f64>,
        up: f64,
        couple: Vector3<f64>,
    ) {
        if up == 0.0 && couple.x == 0.0 && couple.y == 0.0 {
            return;
        }
        let seats: Vec<(usize, f64, Vector3<f64>)> = joists
            .iter()
            .filter(|joist| joist.deck == deck)
            .flat_map(|joist| &joist.seats)
            .map(|(beam, station)| {
                let [x, y] = self.platform.beams()[*beam].start.metres();
                let at = Vector3::new(x, y, 0.0) + self.runs[*beam].along * *station;
                (*beam, *station, at - centre)
            })
            .collect();
        // Σ f = up, Σ y f = couple about east, −Σ x f = couple about north, with f = a + b x + c y.
        let mut sums = nalgebra::Matrix3::zeros();
        for (_, _, at) in &seats {
            let row = Vector3::new(1.0, at.x, at.y);
            sums += row * row.transpose();
        }
        let meant = Vector3::new(up, -couple.y, couple.x);
        let plane = match sums.lu().solve(&meant) {
            Some(plane) if !in_line(&seats) => plane,
            // Seats in one line have no arm for a couple.
            _ => Vector3::new(up / seats.len() as f64, 0.0, 0.0),
        };
        for (beam, station, at) in seats {
            let force = plane.dot(&Vector3::new(1.0, at.x, at.y));
            self.push(load, beam, station, Vector3::new(0.0, 0.0, force));
        }
    }

    /// What every load brings to the anchors, on one base for all but one anchor: by anchor and load.
    pub(super) fn solve(
        &self,
        base: Base,
        other: Option<(usize, Base)>,
    ) -> Result<Vec<Vec<Brought>>, OpinionError> {
        let stiffness_of = |anchor: usize, grip: &Grip| match other {
            Some((own, base)) if own == anchor => grip.stiffness[base],
            _ => grip.stiffness[base],
        };
        let mut matrix = self.stiffness.clone();
        for (anchor, grips) in self.grips.iter().enumerate() {
            for grip in grips {
                add_spring(&mut matrix, &grip.terms, stiffness_of(anchor, grip));
            }
        }
        // A freedom that nothing stiffens, where only hinges meet, is no unknown.
        let free: Vec<usize> = (0..self.size())
            .filter(|k| matrix[(*k, *k)] != 0.0 && !self.fixed.contains(k))
            .collect();
        let reduced = DMatrix::from_fn(free.len(), free.len(), |r, c| matrix[(free[r], free[c])]);
        let acting: Vec<usize> = (0..self.loads.len())
            .filter(|load| self.loads[*load].forces.iter().any(|force| *force != 0.0))
            .collect();
        let right = DMatrix::from_fn(free.len(), acting.len(), |r, c| {
            self.loads[acting[c]].forces[free[r]]
        });
        let moved = if free.is_empty() {
            right
        } else {
            let factored = reduced.cholesky().ok_or(OpinionError::NoAnswer {
                what: "the frame as one dense matrix",
            })?;
            factored.solve(&right)
        };
        let mut back: Vec<Option<usize>> = vec![None; self.size()];
        free.iter()
            .enumerate()
            .for_each(|(k, at)| back[*at] = Some(k));
        let all = self.grips.iter().enumerate().map(|(anchor, grips)| {
            let own = axes(self.platform, &self.platform.anchors()[anchor]);
            let of = |load: usize| {
                let mut force: Vector3<f64> = grips
                    .iter()
                    .map(|grip| {
                        let terms = grip.terms.iter();
                        let column = acting.iter().position(|own| *own == load);
                        let moves = |(at, c): &(usize, f64)| match (back[*at], column) {
                            (Some(row), Some(column)) => c * moved[(row, column)],
                            _ => 0.0,
                        };
                        let stretch: f64 = terms.map(moves).sum();
                        grip.axis * (stretch * stiffness_of(anchor, grip))
                    })
                    .sum();
                let direct = self.loads[load].direct.iter();
                force += direct
                    .filter(|(to, _)| *to == anchor)
                    .map(|(_, force)| force)
                    .sum::<Vector3<f64>>();
                Brought {
                    triple: own.map(|axis| axis.dot(&force)),
                    size: self.size_of(load),
                }
            };
            (0..self.loads.len()).map(of).collect()
        });
        Ok(all.collect())
    }

    /// The size of a load: all its forces together (N).
    fn size_of(&self, load: usize) -> f64 {
        let load = &self.loads[load];
        let own = load.forces.iter().enumerate();
        let forces: f64 = own
            .filter(|(k, _)| k % FREEDOMS < 3)
            .map(|(_, force)| force.abs())
            .sum();
        forces
            + load
                .direct
                .iter()
                .map(|(_, force)| force.norm())
                .sum::<f64>()
    }
}

/// Stiffness of the springs of an anchor on soft, stiff and rigid wood, from those of its bar.
pub(super) fn springs(platform: &Platform, anchor: &Anchor, bars: [[f64; 2]; 2]) -> Springs {
    let stem = platform.stem_of(anchor);
    let thinnest = anchor.size.shank.first().unwrap_or(&anchor.size.boss);
    let d = thinnest.resists.value;
    let reach = anchor.sound_arm(stem).value + anchor.sound_length(stem).value / 2.0;
    let steel = thinnest.steel.modulus.value * std::f64::consts::PI * d * d / 4.0 / reach;
    let [soft, stiff] = bars;
    let tight = [stiff[0], stiff[1], steel.max(stiff[1])];
    [
        [soft[0], soft[1], steel.min(soft[1])],
        tight,
        tight.map(|k| k * RIGID),
    ]
}

/// Whether places in plan spread over less than a line's width (m²).
fn in_line(seats: &[(usize, f64, Vector3<f64>)]) -> bool {
    let count = seats.len() as f64;
    let middle: Vector3<f64> = seats.iter().map(|(.., at)| at / count).sum();
    let [xx, xy, yy] = seats.iter().fold([0.0; 3], |[xx, xy, yy], (.., at)| {
        let [x, y] = [at.x - middle.x, at.y - middle.y];
        [xx + x * x, xy + x * y, yy + y * y]
    });
    xx * yy - xy * xy < NO_ARM * (xx + yy)
}

/// The axes of an anchor: down, side, out.
fn axes(platform: &Platform, anchor: &Anchor) -> [Vector3<f64>; 3] {
    let axes = anchor.axes(platform.stem_of(anchor));
    [axes.down, axes.side, axes.out]
}

fn add_spring(matrix: &mut DMatrix<f64>, terms: &[(usize, f64)], stiffness: f64) {
    for (row, a) in terms {
        for (column, b) in terms {
            matrix[(*row, *column)] += stiffness * a * b;
        }
    }
}

fn freedoms(nodes: [usize; 2]) -> [usize; 12] {
    std::array::from_fn(|k| freedom(nodes[k / FREEDOMS], k % FREEDOMS))
}

/// The matrix of a beam's element on its own axes: along, across level, up.
fn element(beam: &Beam, l: f64) -> DMatrix<f64> {
    let (b, d, e) = (
        beam.timber.width.value,
        beam.timber.depth.value,
        beam.timber.modulus.value,
    );
    let (thin, thick) = (b.min(d), b.max(d));
    let torsion = thick * thin.powi(3) / 3.0 * (1.0 - 0.63 * thin / thick);
    let mut k = DMatrix::zeros(12, 12);
    let mut pair = |[a, b]: [usize; 2], stiffness: f64| {
        k[(a, a)] += stiffness;
        k[(b, b)] += stiffness;
        k[(a, b)] -= stiffness;
        k[(b, a)] -= stiffness;
    };
    pair([0, 6], e * b * d / l);
    pair([3, 9], e / E_OVER_G * torsion / l);
    // Up with turning about the level axis, which tips it down; across with turning about the upright one.
    for ([move_a, turn_a, move_b, turn_b], inertia, sign) in [
        ([2, 4, 8, 10], b * d.powi(3) / 12.0, -1.0),
        ([1, 5, 7, 11], d * b.powi(3) / 12.0, 1.0),
    ] {
        let c = e * inertia / l.powi(3);
        let places = [move_a, turn_a, move_b, turn_b];
        let rows = [
            [12.0, 6.0 * l * sign, -12.0, 6.0 * l * sign],
            [6.0 * l * sign, 4.0 * l * l, -6.0 * l * sign, 2.0 * l * l],
            [-12.0, -6.0 * l * sign, 12.0, -6.0 * l * sign],
            [6.0 * l * sign, 2.0 * l * l, -6.0 * l * sign, 4.0 * l * l],
        ];
        for (row, at) in places.iter().enumerate() {
            for (column, to) in places.iter().enumerate() {
                k[(*at, *to)] += c * rows[row][column];
            }
        }
    }
    k
}

/// A matrix on a beam's axes, on those of space.
fn in_space(matrix: &DMatrix<f64>, along: Vector3<f64>) -> DMatrix<f64> {
    let (across, up) = (Vector3::z().cross(&along), Vector3::z());
    let rows = [along, across, up];
    let turn = DMatrix::from_fn(12, 12, |r, c| {
        if r / 3 == c / 3 {
            rows[r % 3][c % 3]
        } else {
            0.0
        }
    });
    turn.transpose() * matrix * turn
}

/// Where a beam has nodes.
fn stations(platform: &Platform, index: usize, joists: &[Joist]) -> Vec<f64> {
    let beam = &platform.beams()[index];
    let length = beam.length().value;
    let mut nodes: Vec<f64> = Vec::new();
    let mut add = |station: f64, apart: f64| {
        let station = station.clamp(0.0, length);
        if !nodes.iter().any(|node| (node - station).abs() <= apart) {
            nodes.push(station);
        }
    };
    let together = SAME_PLACE.min(length / 4.0);
    for support in &beam.supports {
        add(support.station.value, together);
    }
    for brace in platform.braces().iter().filter(|brace| brace.beam == index) {
        add(brace.station.value, together);
    }
    let seat = (SEAT_SHARE * beam.timber.depth.value).min(length / 4.0);
    for support in platform.beams().iter().flat_map(|beam| &beam.supports) {
        if let Carrier::Beam { beam, station } = support.carrier
            && beam == index
        {
            add(station.value, seat);
        }
    }
    add(0.0, seat);
    add(length, seat);
    for joist in joists.iter().filter(|joist| joist.stiffness.is_some()) {
        for (_, station) in joist.seats.iter().filter(|(beam, _)| *beam == index) {
            add(*station, seat);
        }
    }
    nodes.sort_by(f64::total_cmp);
    nodes
}

/// The level of the plane of each beam: those that bear on one another share that of the first on an anchor that has one.
fn planes(platform: &Platform) -> Vec<f64> {
    let beams = platform.beams();
    // Two beams are side by side in a plane where one bears on the other, both on one anchor, or one deck on both.
    let mut beside: Vec<[usize; 2]> = Vec::new();
    let mut first_on = vec![None; platform.anchors().len()];
    for (k, beam) in beams.iter().enumerate() {
        for support in &beam.supports {
            match support.carrier {
                Carrier::Beam { beam, .. } => beside.push([k, beam]),
                Carrier::Anchor(anchor) if support.seat != Seat::Hung => {
                    beside.push([k, *first_on[anchor].get_or_insert(k)]);
                }
                _ => {}
            }
        }
    }
    for deck in platform.decks() {
        beside.extend(deck.beams.windows(2).map(|pair| [pair[0], pair[1]]));
    }
    let mut plane: Vec<usize> = (0..beams.len()).collect();
    for _ in 0..beams.len() {
        for [a, b] in &beside {
            let least = plane[*a].min(plane[*b]);
            (plane[*a], plane[*b]) = (least, least);
        }
    }
    let level = |of: usize| {
        let own: Vec<&Beam> = (0..beams.len())
            .filter(|k| plane[*k] == of)
            .map(|k| &beams[k])
            .collect();
        let on_anchor = |beam: &&&Beam| {
            let mut on = beam.supports.iter();
            on.any(|support| matches!(support.carrier, Carrier::Anchor(_)))
        };
        let first = own.iter().filter(on_anchor).chain(&own);
        first
            .filter_map(|beam| beam.level)
            .map(|level| level.value)
            .next()
            .unwrap_or(0.0)
    };
    plane.iter().map(|of| level(*of)).collect()
}

/// The factor of a case in a combination: people's sway takes that of the live load where no combination has one.
pub(super) fn factors(criteria: &Criteria, name: &str) -> Option<[f64; Case::ALL.len()]> {
    let rows = &criteria.combinations;
    let row = rows.iter().find(|row| row.name == name)?;
    let sway = Case::Sway as usize;
    let mut factors = row.factors;
    if rows.iter().all(|row| row.factors[sway] == 0.0) {
        factors[sway] = factors[Case::Live as usize];
    }
    Some(factors)
}
