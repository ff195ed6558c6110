//! The platform as a frame: beams, seats, braces, posts and decks on anchor springs, and stems behind those.
//!
//! All that bears on one another lies in one plane, the level of its beams' axes; only braces and hangers leave it.

use super::AnalysisError;
use crate::analysis::deck::DeckParts;
use crate::analysis::frame::{Dof, Frame, MemberId, NodeId, Releases, Section, SpringId};
use crate::model::{
    Anchor, Beam, BeamSupport, Carrier, Criteria, Crossing, Diaphragm, Platform, Seat, plan,
};
use crate::units::si;
use nalgebra::Vector3;

/// Supports closer than this along a beam are one node (m): a tenth of a millimetre.
const SAME_PLACE: f64 = 1e-4;
/// Whatever else meets a beam within this share of its depth from a node meets it there (1): a shorter piece would be so
/// stiff beside the anchors that rounding spoils the balance, and a seat is longer.
const SEAT_SHARE: f64 = 0.1;
/// Modulus of elasticity over shear modulus of a sawn beam (from memory); it enters by torsion only, which seats prevent.
const E_OVER_G: f64 = 16.0;
/// A seat of one member on another, and a rod that hangs a beam (N/m): stiff beside any anchor, soft enough for full
/// precision.
const SEAT: f64 = 1e9;
/// A stem of which nothing is known but its diameter does not move (N/m).
const STILL: f64 = 1e10;
/// A post of which no stiffness is given (N/m).
const POST: f64 = 1e8;
/// Levels of one stem within this height move as one (m).
const ONE_LEVEL: f64 = 0.1;

/// A foundation for all anchors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Base {
    /// Half the central modulus.
    Soft,
    /// Twice the central modulus.
    Stiff,
    /// No give at all.
    Rigid,
    /// Wood that has crept under the dead load.
    Crept,
}

impl Base {
    pub(super) const ALL: [Self; 4] = [Self::Soft, Self::Stiff, Self::Rigid, Self::Crept];
}

/// Stiffness along the axes of an anchor: down, side, out (N/m), on each [`Base`].
pub(super) type Stiffness = [[f64; 3]; 4];

/// A direction in which an anchor holds what is on it.
#[derive(Debug, Clone)]
pub(super) struct Grip {
    pub(super) spring: SpringId,
    /// Its unit vector.
    pub(super) axis: Vector3<f64>,
    /// Its stiffness on each base (N/m).
    pub(super) stiffness: [f64; 4],
}

/// A beam of the frame: its nodes and members in order.
#[derive(Debug)]
pub(super) struct Run {
    pub(super) stations: Vec<f64>,
    pub(super) nodes: Vec<NodeId>,
    pub(super) members: Vec<MemberId>,
    /// East and north along it.
    pub(super) along: [f64; 2],
}

impl Run {
    pub(super) fn node(&self, station: f64) -> NodeId {
        let nearest = (0..self.stations.len()).min_by(|a, b| {
            (self.stations[*a] - station)
                .abs()
                .total_cmp(&(self.stations[*b] - station).abs())
        });
        self.nodes[nearest.unwrap_or(0)]
    }
}

/// A seat, a brace or a post, whose force is asked for.
#[derive(Debug, Clone)]
pub(super) struct Joint {
    pub(super) kind: JointKind,
    pub(super) name: String,
    pub(super) spring: SpringId,
    /// Plus or minus one: what turns its tension into its pressing.
    pub(super) presses: f64,
}

/// What a joint is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum JointKind {
    /// A member that bears on another; nothing ties it down.
    Bears,
    /// A member that bears on another and is tied down.
    Tied,
    /// A brace that only pushes.
    Pushes,
    /// A brace or a hanger that only pulls: its pull counts as pressing.
    Pulls,
    /// A brace that does both: its push counts as pressing.
    Both,
    /// A post.
    Post,
}

/// A stem at a level: what moves with it.
#[derive(Debug, Clone)]
pub(super) struct Trunk {
    pub(super) stem: usize,
    pub(super) level: f64,
    /// Whether anything gives that level.
    pub(super) is_level_known: bool,
    pub(super) node: NodeId,
    /// Its springs to the ground, east and north, and their stiffness.
    pub(super) springs: [SpringId; 2],
    pub(super) stiffness: f64,
}

/// A sliding seat: the beam's node, the anchor, the direction of sliding.
#[derive(Debug, Clone)]
pub(super) struct Slider {
    pub(super) anchor: usize,
    pub(super) node: NodeId,
    pub(super) along: Vector3<f64>,
}

/// A platform as a frame, its loads still to come.
#[derive(Debug)]
pub(super) struct Model<'a> {
    pub(super) platform: &'a Platform,
    pub(super) decks: Vec<DeckParts>,
    pub(super) frame: Frame,
    pub(super) runs: Vec<Run>,
    /// By anchor; empty where nothing is on it but loads.
    pub(super) grips: Vec<Vec<Grip>>,
    pub(super) joints: Vec<Joint>,
    pub(super) trunks: Vec<Trunk>,
    /// By anchor.
    pub(super) trunk_of: Vec<usize>,
    pub(super) sliders: Vec<Slider>,
    /// By deck: the node that stands for its plate.
    pub(super) plates: Vec<Option<NodeId>>,
    /// By joist, in the order of the decks; none for a joist on two supports.
    pub(super) couplings: Vec<Option<crate::analysis::frame::CouplingId>>,
    /// By beam: the level of its plane (m).
    pub(super) planes: Vec<f64>,
}

impl<'a> Model<'a> {
    pub(super) fn new(
        platform: &'a Platform,
        decks: Vec<DeckParts>,
        criteria: &Criteria,
    ) -> Result<Self, AnalysisError> {
        let mut model = Self {
            platform,
            decks,
            frame: Frame::new(),
            runs: Vec::new(),
            grips: vec![Vec::new(); platform.anchors().len()],
            joints: Vec::new(),
            trunks: Vec::new(),
            trunk_of: Vec::new(),
            sliders: Vec::new(),
            plates: Vec::new(),
            couplings: Vec::new(),
            planes: planes(platform),
        };
        model.frame.drop_idle();
        model.trunks();
        for (k, stations) in model.stations().into_iter().enumerate() {
            let run = lay(
                &mut model.frame,
                &platform.beams()[k],
                model.planes[k],
                stations,
            )?;
            model.runs.push(run);
        }
        for anchor in 0..platform.anchors().len() {
            model.support(anchor, &stiffness(platform, anchor, criteria)?)?;
        }
        model.posts();
        model.cross()?;
        model.couple();
        model.plate()?;
        Ok(model)
    }

    /// The height at which an anchor is taken to act: that of the plane of what bears on it, or its own.
    fn height(&self, anchor: usize) -> f64 {
        let bears = self
            .seats(anchor)
            .find(|(_, support)| support.seat != Seat::Hung);
        let own = || {
            self.platform.anchors()[anchor]
                .level
                .map_or(0.0, |level| level.value)
        };
        bears.map_or_else(own, |(beam, _)| self.planes[beam])
    }

    /// Beams on an anchor, with their seats.
    fn seats(&self, anchor: usize) -> impl Iterator<Item = (usize, &'a BeamSupport)> + use<'a> {
        let beams = self.platform.beams().iter().enumerate();
        beams.flat_map(move |(k, beam)| {
            let on = beam.supports.iter();
            on.filter(move |support| support.carrier == Carrier::Anchor(anchor))
                .map(move |support| (k, support))
        })
    }

    /// Stems at the levels of their anchors.
    fn trunks(&mut self) {
        for (k, anchor) in self.platform.anchors().iter().enumerate() {
            let stem = self.platform.stem_of(anchor);
            let height = self.height(k);
            let known = self.trunks.iter().position(|trunk| {
                self.platform.stems()[trunk.stem].id == stem.id
                    && (trunk.level - height).abs() < ONE_LEVEL
            });
            let index = known.unwrap_or_else(|| {
                let [x, y] = stem.at.metres();
                let node = self.frame.node([x, y, height]);
                for dof in [Dof::Uz, Dof::Rx, Dof::Ry, Dof::Rz] {
                    self.frame.fix(node, dof);
                }
                let known = anchor
                    .level
                    .and_then(|_| stem.side_stiffness(si::metres(height)));
                let stiffness = known.map_or(STILL, |stiffness| stiffness.value);
                let springs = [Dof::Ux, Dof::Uy].map(|dof| self.frame.spring(node, dof, stiffness));
                self.trunks.push(Trunk {
                    stem: anchor.stem,
                    level: height,
                    is_level_known: anchor.level.is_some(),
                    node,
                    springs,
                    stiffness,
                });
                self.trunks.len() - 1
            });
            self.trunk_of.push(index);
        }
    }

    /// Where each beam needs a node: supports, beams and braces it carries, ends, joists on three beams or more.
    fn stations(&self) -> Vec<Vec<f64>> {
        let beams = self.platform.beams();
        let mut exact: Vec<Vec<f64>> = vec![Vec::new(); beams.len()];
        let mut near: Vec<Vec<f64>> = vec![Vec::new(); beams.len()];
        for (beam, own) in beams.iter().zip(&mut exact) {
            own.extend(beam.supports.iter().map(|support| support.station.value));
        }
        for brace in self.platform.braces() {
            exact[brace.beam].push(brace.station.value);
        }
        for support in beams.iter().flat_map(|beam| &beam.supports) {
            if let Carrier::Beam { beam, station } = support.carrier {
                near[beam].push(station.value);
            }
        }
        for (beam, own) in beams.iter().zip(&mut near) {
            own.extend([0.0, beam.length().value]);
        }
        let joists = self.decks.iter().flat_map(|part| &part.joists);
        for joist in joists.filter(|joist| joist.stiffness.is_some()) {
            for (beam, station) in &joist.seats {
                near[*beam].push(*station);
            }
        }
        let lists = exact.iter().zip(&near);
        beams
            .iter()
            .zip(lists)
            .map(|(beam, (exact, near))| nodes_of(beam, exact, near))
            .collect()
    }

    /// Puts everything that is on an anchor on its springs: one seat alone straight, several by way of a node.
    fn support(&mut self, index: usize, stiffness: &Stiffness) -> Result<(), AnalysisError> {
        let platform = self.platform;
        let anchor = &platform.anchors()[index];
        let seats: Vec<(usize, &BeamSupport)> = self.seats(index).collect();
        let braces: Vec<_> = platform
            .braces()
            .iter()
            .filter(|brace| brace.anchor == index)
            .collect();
        if let ([(beam, support)], []) = (seats.as_slice(), braces.as_slice())
            && support.seat != Seat::Hung
        {
            let node = self.runs[*beam].node(support.station.value);
            let slides = (support.seat == Seat::Sliding).then(|| self.slide(index, *beam, node));
            return self.grip(index, node, stiffness, slides);
        }
        if seats.is_empty() && braces.is_empty() {
            return Ok(());
        }
        let [x, y] = anchor.load_point(platform.stem_of(anchor)).metres();
        let node = self.frame.node([x, y, self.height(index)]);
        self.grip(index, node, stiffness, None)?;
        for (beam, support) in seats {
            let seat = self.runs[beam].node(support.station.value);
            let name = format!("beam {} on anchor {}", platform.beams()[beam].id, anchor.id);
            let slides = (support.seat == Seat::Sliding).then(|| self.slide(index, beam, seat));
            if support.seat == Seat::Hung {
                self.hang(seat, node, self.height(index) - self.planes[beam], name)?;
            } else {
                self.rest(seat, node, slides, support.held_down, &name)?;
            }
        }
        for brace in braces {
            let end = self.runs[brace.beam].node(brace.station.value);
            self.brace(brace, node, end)?;
        }
        Ok(())
    }

    /// Notes a sliding seat and returns its direction.
    fn slide(&mut self, anchor: usize, beam: usize, node: NodeId) -> Vector3<f64> {
        let [east, north] = self.runs[beam].along;
        let along = Vector3::new(east, north, 0.0);
        self.sliders.push(Slider {
            anchor,
            node,
            along,
        });
        along
    }

    /// The springs of an anchor between its stem and a node; none along a direction of sliding.
    fn grip(
        &mut self,
        index: usize,
        node: NodeId,
        stiffness: &Stiffness,
        slides: Option<Vector3<f64>>,
    ) -> Result<(), AnalysisError> {
        let anchor = &self.platform.anchors()[index];
        let axes = anchor.axes(self.platform.stem_of(anchor));
        let own = [axes.down, axes.side, axes.out];
        let held: Vec<Vector3<f64>> = match slides {
            None => own.to_vec(),
            Some(along) => {
                let down = (axes.down - along * along.dot(&axes.down)).normalize();
                vec![down, along.cross(&down)]
            }
        };
        let trunk = self.trunks[self.trunk_of[index]].node;
        for axis in held {
            let along = |k: &[f64; 3]| {
                let give = own.iter().zip(k).map(|(own, k)| own.dot(&axis).powi(2) / k);
                1.0 / give.sum::<f64>()
            };
            let stiffness = stiffness.each_ref().map(along);
            let spring = self
                .frame
                .spring_on_arm(trunk, node, axis.into(), stiffness[0])
                .map_err(AnalysisError::Frame)?;
            self.grips[index].push(Grip {
                spring,
                axis,
                stiffness,
            });
        }
        Ok(())
    }

    /// A node of a beam on another node: up and down, and in plan but along a direction of sliding.
    fn rest(
        &mut self,
        beam: NodeId,
        on: NodeId,
        slides: Option<Vector3<f64>>,
        held_down: bool,
        name: &str,
    ) -> Result<(), AnalysisError> {
        let up = Vector3::z();
        let level = match slides {
            Some(along) => vec![along.cross(&up)],
            None => vec![Vector3::x(), Vector3::y()],
        };
        for axis in std::iter::once(up).chain(level) {
            let spring = self
                .frame
                .spring_on_arm(beam, on, axis.into(), SEAT)
                .map_err(AnalysisError::Frame)?;
            if axis == up {
                // It stretches as the upper part sinks into the lower.
                self.joints.push(Joint {
                    kind: if held_down {
                        JointKind::Tied
                    } else {
                        JointKind::Bears
                    },
                    name: name.to_owned(),
                    spring,
                    presses: 1.0,
                });
            }
        }
        Ok(())
    }

    /// A beam that hangs from an anchor by a rod: no hold in plan but by its slope. Where levels are not known it hangs
    /// plumb.
    fn hang(
        &mut self,
        beam: NodeId,
        from: NodeId,
        drop: f64,
        name: String,
    ) -> Result<(), AnalysisError> {
        let spring = if drop > SAME_PLACE {
            self.frame.link(from, beam, SEAT)
        } else {
            self.frame.spring_on_arm(from, beam, [0.0, 0.0, -1.0], SEAT)
        }
        .map_err(AnalysisError::Frame)?;
        self.joints.push(Joint {
            kind: JointKind::Pulls,
            name,
            spring,
            presses: 1.0,
        });
        Ok(())
    }

    fn brace(
        &mut self,
        brace: &crate::model::Brace,
        from: NodeId,
        to: NodeId,
    ) -> Result<(), AnalysisError> {
        use crate::model::Carries;
        let length = self.brace_length(brace);
        let area = (brace.timber.width * brace.timber.depth).value;
        let stiffness = brace.timber.modulus.value * area / length;
        let spring = self
            .frame
            .link(from, to, stiffness)
            .map_err(AnalysisError::Frame)?;
        let (kind, presses) = match brace.carries {
            Carries::Push => (JointKind::Pushes, -1.0),
            Carries::Pull => (JointKind::Pulls, 1.0),
            Carries::Both => (JointKind::Both, -1.0),
        };
        self.joints.push(Joint {
            kind,
            name: format!("brace {}", brace.id),
            spring,
            presses,
        });
        Ok(())
    }

    /// Length of a brace from its anchor's load point to the axis of its beam (m).
    pub(super) fn brace_length(&self, brace: &crate::model::Brace) -> f64 {
        let anchor = &self.platform.anchors()[brace.anchor];
        let from = anchor.load_point(self.platform.stem_of(anchor));
        let to = self.platform.beams()[brace.beam].at(brace.station);
        let rise = self.planes[brace.beam] - self.height(brace.anchor);
        from.distance(to).value.hypot(rise)
    }

    fn posts(&mut self) {
        for (beam, run) in self.platform.beams().iter().zip(&self.runs) {
            for support in &beam.supports {
                if let Carrier::Post(post) = support.carrier {
                    let post = &self.platform.posts()[post];
                    let stiffness = post.stiffness.map_or(POST, |stiffness| stiffness.value);
                    let node = run.node(support.station.value);
                    let spring = self.frame.spring(node, Dof::Uz, stiffness);
                    self.joints.push(Joint {
                        kind: JointKind::Post,
                        name: format!("beam {} on post {}", beam.id, post.id),
                        spring,
                        presses: -1.0,
                    });
                }
            }
        }
    }

    /// Beams on beams.
    fn cross(&mut self) -> Result<(), AnalysisError> {
        let beams = self.platform.beams();
        for (k, beam) in beams.iter().enumerate() {
            for support in &beam.supports {
                let Carrier::Beam {
                    beam: below,
                    station,
                } = support.carrier
                else {
                    continue;
                };
                let (own, on) = (
                    self.runs[k].node(support.station.value),
                    self.runs[below].node(station.value),
                );
                let [east, north] = self.runs[k].along;
                let slides =
                    (support.seat == Seat::Sliding).then(|| Vector3::new(east, north, 0.0));
                let name = format!("beam {} on beam {}", beam.id, beams[below].id);
                self.rest(own, on, slides, support.held_down, &name)?;
            }
        }
        Ok(())
    }

    fn couple(&mut self) {
        for joist in self.decks.iter().flat_map(|part| &part.joists) {
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

    /// A deck that holds its beams together in plan as one plate.
    fn plate(&mut self) -> Result<(), AnalysisError> {
        for (deck, part) in self.platform.decks().iter().zip(&self.decks) {
            if deck.diaphragm == Diaphragm::Flexible {
                self.plates.push(None);
                continue;
            }
            let [x, y] = part.centre;
            let plane = deck.beams.first().map_or(0.0, |beam| self.planes[*beam]);
            let plate = self.frame.node([x, y, plane]);
            for dof in [Dof::Uz, Dof::Rx, Dof::Ry] {
                self.frame.fix(plate, dof);
            }
            for beam in &deck.beams {
                let nodes = &self.runs[*beam].nodes;
                for node in [nodes.first(), nodes.last()].into_iter().flatten() {
                    for axis in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]] {
                        self.frame
                            .spring_on_arm(plate, *node, axis, SEAT)
                            .map_err(AnalysisError::Frame)?;
                    }
                }
            }
            self.plates.push(Some(plate));
        }
        Ok(())
    }

    /// Springs that carry a beam at a node, each with what turns its tension into a force of the beam downward.
    pub(super) fn seats_at(&self, beam: usize, node: NodeId) -> Vec<(SpringId, f64)> {
        let own = &self.platform.beams()[beam];
        let here = |support: &&BeamSupport| self.runs[beam].node(support.station.value) == node;
        let mut springs = Vec::new();
        for support in own.supports.iter().filter(here) {
            let name = |on: String| format!("beam {} on {on}", own.id);
            let name = match support.carrier {
                Carrier::Anchor(anchor) => {
                    name(format!("anchor {}", self.platform.anchors()[anchor].id))
                }
                Carrier::Post(post) => name(format!("post {}", self.platform.posts()[post].id)),
                Carrier::Beam { beam, .. } => {
                    name(format!("beam {}", self.platform.beams()[beam].id))
                }
            };
            match self.joints.iter().find(|joint| joint.name == name) {
                Some(joint) => springs.push((joint.spring, joint.presses)),
                // Alone on its anchor, it sits on the anchor's own springs.
                None => {
                    if let Carrier::Anchor(anchor) = support.carrier {
                        let grips = self.grips[anchor].iter();
                        springs.extend(grips.map(|grip| (grip.spring, -grip.axis.z)));
                    }
                }
            }
        }
        springs
    }

    /// Height of a deck's boards over the plane of its beams (m).
    pub(super) fn boards(&self, deck: usize) -> f64 {
        let own = &self.platform.decks()[deck];
        let joists = match own.joists.set {
            Crossing::OnTop => own.joists.timber.depth.value,
            Crossing::Flush => 0.0,
        };
        own.beams.first().map_or(joists, |beam| {
            let carrier = &self.platform.beams()[*beam];
            let level = carrier
                .level
                .map_or(self.planes[*beam], |level| level.value);
            level - self.planes[*beam] + carrier.timber.depth.value / 2.0 + joists
        })
    }
}

/// The level of the plane of each beam: one for all that bear on one another (m).
fn planes(platform: &Platform) -> Vec<f64> {
    let beams = platform.beams();
    let mut group: Vec<usize> = (0..beams.len()).collect();
    let mut join = |a: usize, b: usize| {
        let (from, to) = (group[a].max(group[b]), group[a].min(group[b]));
        group
            .iter_mut()
            .filter(|own| **own == from)
            .for_each(|own| *own = to);
    };
    let mut on: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
    for (k, beam) in beams.iter().enumerate() {
        for support in &beam.supports {
            match support.carrier {
                Carrier::Beam { beam, .. } => join(k, beam),
                Carrier::Anchor(anchor) if support.seat != Seat::Hung => {
                    join(k, *on.entry(anchor).or_insert(k));
                }
                _ => {}
            }
        }
    }
    for deck in platform.decks() {
        deck.beams
            .windows(2)
            .for_each(|pair| join(pair[0], pair[1]));
    }
    let bears_on_anchor = |beam: &&Beam| {
        let mut supports = beam.supports.iter();
        supports.any(|support| matches!(support.carrier, Carrier::Anchor(_)))
    };
    let level = |of: usize| {
        let own = || {
            beams
                .iter()
                .enumerate()
                .filter(|(k, _)| group[*k] == of)
                .map(|(_, beam)| beam)
        };
        let first = own()
            .filter(bears_on_anchor)
            .chain(own())
            .find_map(|beam| beam.level);
        first.map_or(0.0, |level| level.value)
    };
    group.iter().map(|of| level(*of)).collect()
}

/// Stiffness of an anchor along its axes on every base.
fn stiffness(
    platform: &Platform,
    index: usize,
    criteria: &Criteria,
) -> Result<Stiffness, AnalysisError> {
    let anchor = &platform.anchors()[index];
    let stem = platform.stem_of(anchor);
    let on = |factor: f64| {
        let [down, side] =
            anchor
                .stiffness_on(stem, factor)
                .map_err(|error| AnalysisError::Anchor {
                    anchor: anchor.id.clone(),
                    error,
                })?;
        Ok::<_, AnalysisError>([down.value, side.value])
    };
    let pull = steel_along(anchor, platform);
    let (soft, stiff) = (on(0.5)?, on(2.0)?);
    let crept = on(criteria.factor("foundation_creep"))?;
    // How far the thread gives along the bar is not known: from as much as the bar gives sideways to the steel alone.
    Ok([
        [soft[0], soft[1], soft[1].min(pull)],
        [stiff[0], stiff[1], pull.max(stiff[1])],
        [
            stiff[0] * super::RIGID,
            stiff[1] * super::RIGID,
            pull.max(stiff[1]) * super::RIGID,
        ],
        [crept[0], crept[1], soft[1].min(pull)],
    ])
}

/// Stiffness of the steel along the bar, from the load to the middle of what is in the wood (N/m).
fn steel_along(anchor: &Anchor, platform: &Platform) -> f64 {
    let stem = platform.stem_of(anchor);
    let thinnest = anchor.size.shank.first().unwrap_or(&anchor.size.boss);
    let area = std::f64::consts::FRAC_PI_4 * thinnest.resists.value.powi(2);
    let length = anchor.sound_arm(stem).value + anchor.sound_length(stem).value / 2.0;
    thinnest.steel.modulus.value * area / length
}

/// Stations of a beam's nodes: its supports where they are, and everything else unless it is as good as there.
fn nodes_of(beam: &Beam, exact: &[f64], near: &[f64]) -> Vec<f64> {
    let length = beam.length().value;
    let mut nodes: Vec<f64> = Vec::new();
    let mut add = |station: f64, apart: f64| {
        let station = station.clamp(0.0, length);
        if nodes.iter().all(|node| (node - station).abs() > apart) {
            nodes.push(station);
        }
    };
    let seat = (SEAT_SHARE * beam.timber.depth.value).min(length / 4.0);
    for station in exact {
        add(*station, SAME_PLACE.min(length / 4.0));
    }
    for station in near {
        add(*station, seat);
    }
    nodes.sort_by(f64::total_cmp);
    nodes
}

/// The torsion constant of a rectangle (m⁴), by the thin-plate formula with the loss at both ends: exact for a plate, an
/// eighth low for a square.
fn torsion_constant(width: f64, depth: f64) -> f64 {
    let (short, long) = (width.min(depth), width.max(depth));
    long * short.powi(3) / 3.0 * (1.0 - 0.63 * short / long)
}

fn lay(
    frame: &mut Frame,
    beam: &Beam,
    plane: f64,
    stations: Vec<f64>,
) -> Result<Run, AnalysisError> {
    let (width, depth, e) = (
        beam.timber.width.value,
        beam.timber.depth.value,
        beam.timber.modulus.value,
    );
    let section = frame.section(Section {
        e,
        g: e / E_OVER_G,
        a: width * depth,
        iy: depth * width.powi(3) / 12.0,
        iz: width * depth.powi(3) / 12.0,
        j: torsion_constant(width, depth),
        shear_y: None,
        shear_z: None,
    });
    let [east, north] = plan::unit(beam.start.bearing(beam.end));
    let upright = e * width * depth.powi(3) / 12.0 / beam.length().value;
    let mut nodes = Vec::with_capacity(stations.len());
    for station in &stations {
        let [x, y] = beam.start.metres();
        let node = frame.node([x + east * station, y + north * station, plane]);
        // Joists and seats hold it upright.
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

#[cfg(test)]
mod tests {
    use super::torsion_constant;

    /// J/(long · short³) of rectangles: Timoshenko and Goodier, Theory of Elasticity, table of the twist of rectangular
    /// bars; from memory.
    #[test]
    fn rectangles_twist_as_in_the_table() {
        for (ratio, expected) in [
            (2.0, 0.229),
            (3.0, 0.263),
            (4.0, 0.281),
            (5.0, 0.291),
            (10.0, 0.312),
        ] {
            for (width, depth) in [(0.1, 0.1 * ratio), (0.1 * ratio, 0.1)] {
                let found = torsion_constant(width, depth) / (0.1 * ratio * 0.1_f64.powi(3));
                assert!((found - expected).abs() < 1e-3, "{ratio}: {found}");
            }
        }
    }
}
