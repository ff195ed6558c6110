//! The states of the foundation that bound the forces on the anchors, all from one factorization; their equilibrium;
//! and the seats between members, which may lift.

use super::{AnalysisError, BALANCE, Lift, MemberActions, Model, PlatformForces, RIGID};
use crate::analysis::frame::{Factored, Probe, Probes, Solution};
use crate::model::{Carrier, Case, Magnitudes};

/// What every change of the anchors' stiffness starts from.
struct Start<'a> {
    factored: &'a Factored,
    probes: &'a Probes,
    /// By case.
    stretches: Vec<Vec<f64>>,
    /// Where each anchor with a seat stands in plan (m).
    places: Vec<[f64; 2]>,
    /// Force and moments of the central reactions, by case.
    central: Vec<[f64; 3]>,
    /// The largest difference of a state's reactions from those, as a fraction (1).
    imbalance: f64,
}

impl Start<'_> {
    /// Upward force on each anchor's seat, by case, with the stiffness of each changed.
    fn state(&mut self, changes: &[f64]) -> Result<Vec<Vec<f64>>, AnalysisError> {
        let variant = self
            .factored
            .with_springs(self.probes, changes)
            .map_err(AnalysisError::Frame)?;
        let mut by_case = Vec::with_capacity(self.stretches.len());
        for (stretches, central) in self.stretches.iter().zip(&self.central) {
            let up = variant.forces(stretches).map_err(AnalysisError::Frame)?;
            let difference = self.difference(&up, *central);
            self.imbalance = self.imbalance.max(difference);
            by_case.push(up);
        }
        Ok(by_case)
    }

    /// Vertical force and its two moments about the first place.
    fn resultant(&self, up: &[f64]) -> [f64; 3] {
        let first = self.places.first().copied().unwrap_or_default();
        up.iter()
            .zip(&self.places)
            .fold([0.0; 3], |[force, east, north], (up, place)| {
                [
                    force + up,
                    east + up * (place[0] - first[0]),
                    north + up * (place[1] - first[1]),
                ]
            })
    }

    /// How far reactions are from balancing what the central ones balance, as a fraction of them (1).
    fn difference(&self, up: &[f64], central: [f64; 3]) -> f64 {
        let first = self.places.first().copied().unwrap_or_default();
        let reach = self
            .places
            .iter()
            .map(|place| (place[0] - first[0]).hypot(place[1] - first[1]));
        let reach = reach.fold(f64::MIN_POSITIVE, f64::max);
        let size: f64 = up
            .iter()
            .map(|force| force.abs())
            .sum::<f64>()
            .max(f64::MIN_POSITIVE);
        let [force, east, north] = self.resultant(up);
        let off = [
            force - central[0],
            (east - central[1]) / reach,
            (north - central[2]) / reach,
        ];
        off.iter()
            .fold(0.0_f64, |worst, part| worst.max(part.abs()))
            / size
    }
}

impl Model<'_> {
    /// Forces in every state of the foundation.
    pub(super) fn forces(&self) -> Result<PlatformForces, AnalysisError> {
        let mut forces = self.without_beams();
        if self.platform.beams().is_empty() {
            return Ok(forces);
        }
        let factored = self.frame.factorize().map_err(|error| self.name(error))?;
        let solutions = self
            .cases
            .iter()
            .map(|(_, loads, _)| factored.solve(loads))
            .collect::<Result<Vec<_>, _>>()
            .map_err(AnalysisError::Frame)?;
        forces.imbalance = balance(&solutions);
        forces.lifts = self.lifts(&solutions)?;
        let springs: Vec<Probe> = self
            .springs
            .iter()
            .flatten()
            .map(|spring| Probe::Spring(*spring))
            .collect();
        let probes = factored.probes(&springs).map_err(AnalysisError::Frame)?;
        let mut start = self.start(&factored, &probes)?;
        self.states(&mut start, &mut forces)?;
        forces.members = self.member_actions(&factored, &probes)?;
        forces.imbalance = forces.imbalance.max(start.imbalance);
        if forces.imbalance <= BALANCE {
            Ok(forces)
        } else {
            Err(AnalysisError::Unbalanced(forces.imbalance))
        }
    }

    /// What is known before any beam is solved: totals, decks, loads straight on anchors.
    fn without_beams(&self) -> PlatformForces {
        let mut total = [0.0; Case::ALL.len()];
        for (case, _, on_beams) in &self.cases {
            let direct: f64 = self
                .direct
                .iter()
                .map(|magnitudes| magnitudes[*case as usize])
                .sum();
            total[*case as usize] = on_beams + direct;
        }
        PlatformForces {
            anchors: (0..self.springs.len()).map(|k| self.anchor(k)).collect(),
            decks: self.decks(),
            members: Vec::new(),
            lifts: Vec::new(),
            total,
            imbalance: 0.0,
        }
    }

    /// Anchors that carry a beam.
    fn seats(&self) -> Vec<usize> {
        (0..self.springs.len())
            .filter(|k| self.springs[*k].is_some())
            .collect()
    }

    fn start<'a>(
        &self,
        factored: &'a Factored,
        probes: &'a Probes,
    ) -> Result<Start<'a>, AnalysisError> {
        let place = |anchor: usize| {
            let on =
                |support: &&crate::model::BeamSupport| support.carrier == Carrier::Anchor(anchor);
            let mut beams = self.platform.beams().iter();
            let seat = beams
                .find_map(|beam| Some(beam.at(beam.supports.iter().find(on)?.station).metres()));
            seat.unwrap_or_default()
        };
        let stretches = self
            .cases
            .iter()
            .map(|(_, loads, _)| factored.stretches(probes, loads))
            .collect::<Result<Vec<_>, _>>()
            .map_err(AnalysisError::Frame)?;
        let places: Vec<[f64; 2]> = self.seats().into_iter().map(place).collect();
        let mut start = Start {
            factored,
            probes,
            stretches,
            places,
            central: Vec::new(),
            imbalance: 0.0,
        };
        let unchanged = factored
            .with_springs(probes, &vec![0.0; start.places.len()])
            .map_err(AnalysisError::Frame)?;
        for (stretches, (_, _, total)) in start.stretches.iter().zip(&self.cases) {
            let up = unchanged.forces(stretches).map_err(AnalysisError::Frame)?;
            let resultant = start.resultant(&up);
            let size = up
                .iter()
                .map(|force| force.abs())
                .fold(total.abs(), f64::max)
                .max(f64::MIN_POSITIVE);
            start.imbalance = start.imbalance.max((resultant[0] - total).abs() / size);
            start.central.push(resultant);
        }
        Ok(start)
    }

    /// All soft, all stiff, each stiff among soft, each soft among stiff, all rigid.
    fn states(
        &self,
        start: &mut Start<'_>,
        forces: &mut PlatformForces,
    ) -> Result<(), AnalysisError> {
        let seats = self.seats();
        let all = |bound: usize| {
            seats
                .iter()
                .map(|k| self.stiffness[*k][bound])
                .collect::<Vec<_>>()
        };
        let (soft, central, stiff) = (all(0), all(1), all(2));
        let rigid: Vec<f64> = stiff.iter().map(|k| k * RIGID).collect();
        let less = |target: &[f64]| {
            target
                .iter()
                .zip(&central)
                .map(|(k, base)| k - base)
                .collect::<Vec<_>>()
        };
        let common = [
            start.state(&less(&soft))?,
            start.state(&less(&stiff))?,
            start.state(&less(&rigid))?,
        ];
        for (place, anchor) in seats.iter().enumerate() {
            let mixed = |among: &[f64], own: f64| {
                let mut mix = among.to_vec();
                mix[place] = own;
                less(&mix)
            };
            let own = [
                start.state(&mixed(&soft, stiff[place]))?,
                start.state(&mixed(&stiff, soft[place]))?,
            ];
            let states = [&common[0], &common[1], &own[0], &own[1], &common[2]];
            forces.anchors[*anchor].states = states
                .iter()
                .map(|by_case| self.row(*anchor, place, by_case))
                .collect();
        }
        Ok(())
    }

    /// What happens inside the members with all anchors soft, all stiff, all rigid.
    fn member_actions(
        &self,
        factored: &Factored,
        probes: &Probes,
    ) -> Result<Vec<MemberActions>, AnalysisError> {
        let groups = self.groups()?;
        let seats = self.seats();
        let mut states = Vec::new();
        for (bound, times) in [(0, 1.0), (2, 1.0), (2, RIGID)] {
            let changes: Vec<f64> = seats
                .iter()
                .map(|k| self.stiffness[*k][bound] * times - self.stiffness[*k][1])
                .collect();
            let variant = factored
                .with_springs(probes, &changes)
                .map_err(AnalysisError::Frame)?;
            let solutions = groups.iter().map(|group| variant.solve(group.loads()));
            states.push(
                solutions
                    .collect::<Result<Vec<_>, _>>()
                    .map_err(AnalysisError::Frame)?,
            );
        }
        self.members(&groups, &states)
    }

    fn row(&self, anchor: usize, place: usize, by_case: &[Vec<f64>]) -> Magnitudes {
        let mut row = self.direct[anchor];
        for ((case, ..), up) in self.cases.iter().zip(by_case) {
            row[*case as usize] += up[place];
        }
        row
    }

    /// Seats between members that the layout does not say are tied, with what bears on them at the central foundation.
    fn lifts(&self, solutions: &[Solution]) -> Result<Vec<Lift>, AnalysisError> {
        let mut lifts = self.beam_seats(solutions)?;
        lifts.extend(self.joist_seats(solutions)?);
        Ok(lifts)
    }

    /// Beams on beams, and beams that share an anchor: a beam alone on an anchor is judged there.
    fn beam_seats(&self, solutions: &[Solution]) -> Result<Vec<Lift>, AnalysisError> {
        let beams = self.platform.beams();
        let shared = |carrier: Carrier| {
            let on = beams
                .iter()
                .flat_map(|beam| &beam.supports)
                .filter(|other| other.carrier == carrier);
            on.count() > 1
        };
        let mut lifts = Vec::new();
        for (beam, run) in beams.iter().zip(&self.runs) {
            for support in beam.supports.iter().filter(|support| !support.held_down) {
                let on = match support.carrier {
                    Carrier::Beam { beam, .. } => format!("beam {}", beams[beam].id),
                    Carrier::Anchor(anchor) if shared(support.carrier) => {
                        format!("anchor {}", self.platform.anchors()[anchor].id)
                    }
                    Carrier::Anchor(_) => continue,
                };
                let node = run.node(support.station.value);
                let mut bears = [0.0; Case::ALL.len()];
                for (solution, (case, ..)) in solutions.iter().zip(&self.cases) {
                    let tie = solution.tie_force(node).map_err(AnalysisError::Frame)?;
                    let spring = solution.reaction(node).map_err(AnalysisError::Frame)?;
                    bears[*case as usize] = tie[2] + spring[2];
                }
                lifts.push(Lift {
                    part: format!("beam {} on {on}", beam.id),
                    bears,
                });
            }
        }
        Ok(lifts)
    }

    fn joist_seats(&self, solutions: &[Solution]) -> Result<Vec<Lift>, AnalysisError> {
        let mut lifts = Vec::new();
        let joists = self
            .parts
            .iter()
            .zip(self.platform.decks())
            .flat_map(|(part, deck)| part.joists.iter().map(move |joist| (joist, deck)));
        for ((joist, deck), coupling) in joists.zip(&self.couplings) {
            let mut bears = vec![[0.0; Case::ALL.len()]; joist.seats.len()];
            for (solution, (case, ..)) in solutions.iter().zip(&self.cases) {
                let bent = match coupling {
                    Some(coupling) => solution
                        .coupling_forces(*coupling)
                        .map_err(AnalysisError::Frame)?,
                    None => vec![0.0; joist.seats.len()],
                };
                for ((bears, loaded), bent) in bears.iter_mut().zip(&joist.forces).zip(bent) {
                    bears[*case as usize] = -(loaded[*case as usize] + bent);
                }
            }
            lifts.extend(
                joist
                    .seats
                    .iter()
                    .zip(bears)
                    .map(|((beam, _), bears)| Lift {
                        part: format!(
                            "a joist of deck {} on beam {}",
                            deck.id,
                            self.platform.beams()[*beam].id
                        ),
                        bears,
                    }),
            );
        }
        Ok(lifts)
    }
}

/// The largest part of what is left over, in all six directions and at any node, over all cases (1).
fn balance(solutions: &[Solution]) -> f64 {
    let worst = |solution: &Solution| {
        let balance = solution.balance();
        balance
            .equilibrium
            .iter()
            .fold(balance.residual.abs(), |worst, part| worst.max(part.abs()))
    };
    solutions.iter().map(worst).fold(0.0, f64::max)
}
