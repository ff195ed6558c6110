//! Changed platforms, and the search through them.

use super::search::{self, Found};
use super::{Change, ChangeKind, FoundBy, Proposal, Worse, acceptable};
use crate::checks::{Attachment, Results, Verdict, alone};
use crate::model::{
    Anchor, AnchorSize, Carrier, Case, Criteria, LimitState, Parts, Platform, PlatformError,
    Segment, Steel, Stem,
};
use crate::tables;
use crate::units::{Length, Show, Stress, si, us};
use std::cell::{Cell, RefCell};
use std::convert::Infallible;

/// What is this near to a step is on it (1).
const ON_STEP: f64 = 1e-6;
/// Steps by which the live load is lessened: hundredths of it.
const HUNDREDTHS: u32 = 100;
/// The least of the live load that is worth asking about: none at all is no platform.
const LEAST_LIVE: u32 = 1;

/// A change with the platform that it makes, and what else goes with it.
pub(super) struct Trial {
    pub(super) change: Change,
    pub(super) platform: Platform,
    pub(super) notes: Vec<String>,
}

/// One attachment of a platform, and what was tried on it.
pub(super) struct Sizer<'a> {
    pub(super) platform: &'a Platform,
    pub(super) criteria: &'a Criteria,
    pub(super) show: Show,
    pub(super) before: &'a Results,
    pub(super) index: usize,
    tries: Cell<usize>,
    /// Why the last try could not be checked.
    obstacle: RefCell<Option<String>>,
    /// Of the tries that fail, the nearest to passing.
    nearest: Cell<Option<(LimitState, f64)>>,
}

impl<'a> Sizer<'a> {
    pub(super) fn new(
        platform: &'a Platform,
        criteria: &'a Criteria,
        show: Show,
        before: &'a Results,
        index: usize,
    ) -> Self {
        Self {
            platform,
            criteria,
            show,
            before,
            index,
            tries: Cell::new(0),
            obstacle: RefCell::new(None),
            nearest: Cell::new(None),
        }
    }

    /// How many checks it took so far.
    pub(super) fn tries(&self) -> usize {
        self.tries.get()
    }

    pub(super) fn count(&self) {
        self.tries.set(self.tries.get() + 1);
    }

    pub(super) fn anchor(&self) -> &'a Anchor {
        &self.platform.anchors()[self.index]
    }

    pub(super) fn stem(&self) -> &'a Stem {
        self.platform.stem_of(self.anchor())
    }

    pub(super) fn attachment(&self) -> &'a Attachment {
        &self.before.attachments()[self.index]
    }

    /// What lengths are stepped by: 1/16 in or 1 mm.
    pub(super) fn step(&self) -> Length {
        match self.show {
            Show::Us => us::inches(1.0 / 16.0),
            Show::Si => si::millimetres(1.0),
        }
    }

    /// The smallest change of a kind that makes the attachment pass, or why there is none.
    pub(super) fn propose(&self, kind: ChangeKind) -> Result<Proposal, String> {
        self.obstacle.replace(None);
        self.nearest.set(None);
        match kind {
            ChangeKind::BossInWood => self.boss_in_wood(),
            ChangeKind::ShorterArm => self.shorter_arm(),
            ChangeKind::LongerShank => self.longer_shank(),
            ChangeKind::StrongerSteel => self.stronger_steel(),
            ChangeKind::LargerSize => self.larger_size(),
            ChangeKind::MoveAnchor => self.move_anchor(),
            ChangeKind::LessLive => self.less_live(),
            ChangeKind::AddAnchor => self.add_anchor(),
        }
    }

    /// Whether the attachment passes on a changed platform.
    pub(super) fn passes(&self, platform: &Platform) -> bool {
        self.count();
        match alone(platform, self.criteria, self.index, 1.0) {
            Ok(after) => acceptable(self.attachment(), &after) || self.short(&after),
            Err(error) => self.stopped(error.to_string()),
        }
    }

    /// Of the tries of a kind that fail, the nearest to passing: its limit state, demand over allowable (1).
    pub(super) fn nearest(&self) -> Option<(LimitState, f64)> {
        self.nearest.get()
    }

    /// Notes by how much a try falls short: then it does not pass.
    fn short(&self, after: &Attachment) -> bool {
        let fails = after
            .checks()
            .iter()
            .filter(|check| check.verdict == Verdict::Fail);
        let used = fails.filter_map(|check| Some((check.limit_state, check.utilization?)));
        let worst = used.max_by(|a, b| a.1.total_cmp(&b.1));
        match (worst, after.governing()) {
            (Some(own), _) if self.nearest().is_none_or(|known| own.1 < known.1) => {
                self.nearest.set(Some(own));
            }
            (None, Some(check)) if check.verdict == Verdict::Review => {
                let words = check.limit_state.words();
                return self.stopped(format!("where nothing fails, {words} is to be reviewed"));
            }
            _ => {}
        }
        false
    }

    /// Notes why something could not be checked: then it does not pass.
    pub(super) fn stopped(&self, why: String) -> bool {
        self.obstacle.replace(Some(why));
        false
    }

    /// Whether the attachment passes in a trial that may not be possible.
    pub(super) fn tried(&self, trial: Result<Trial, String>) -> bool {
        match trial {
            Ok(trial) => self.passes(&trial.platform),
            Err(why) => self.stopped(why),
        }
    }

    /// The trial of the fewest steps that passes; the design as it stands, none of them, is known to fail.
    fn fewest(
        &self,
        steps: u32,
        found_by: FoundBy,
        at: impl Fn(u32) -> Result<Trial, String>,
    ) -> Result<Proposal, String> {
        let mut passes = |k: u32| Ok::<_, Infallible>(k > 0 && self.tried(at(k)));
        let Ok(found) = match found_by {
            FoundBy::Halving => search::first(0, steps, &mut passes),
            FoundBy::Looking | FoundBy::Turns => search::looked_for(0, steps, &mut passes),
        };
        match found {
            Found::First(k) => self.whole(at(k)?, found_by),
            Found::Fewest | Found::None => Err(self.why_not("none that was tried makes it pass")),
        }
    }

    /// Why nothing passes: what stood in the way of the last try, or that it was not enough.
    pub(super) fn why_not(&self, otherwise: &str) -> String {
        self.obstacle.take().map_or_else(
            || otherwise.to_owned(),
            |why| format!("{otherwise} ({why})"),
        )
    }

    /// Checks the whole platform after a change.
    pub(super) fn whole(&self, trial: Trial, found_by: FoundBy) -> Result<Proposal, String> {
        self.count();
        let after = trial
            .platform
            .check_with(self.criteria)
            .map_err(|error| error.to_string())?;
        let own = after
            .attachments()
            .get(self.index)
            .filter(|own| acceptable(self.attachment(), own))
            .ok_or("the whole platform does not bear it out")?;
        let mut proposal = Proposal {
            ask: trial.change.ask(),
            change: trial.change,
            found_by,
            verdict: own.verdict(),
            utilization: own.utilization(),
            worse: Vec::new(),
            mends: Vec::new(),
            notes: trial.notes,
        };
        for (before, now) in self.before.attachments().iter().zip(after.attachments()) {
            proposal
                .worse
                .extend(worse(now.anchor(), before.verdict(), now.verdict()));
            let mended = before.verdict() == Verdict::Fail && now.verdict() != Verdict::Fail;
            if mended && now.anchor() != self.attachment().anchor() {
                proposal.mends.push(now.anchor().to_owned());
            }
        }
        for (before, now) in self.before.members().iter().zip(after.members()) {
            proposal
                .worse
                .extend(worse(now.member(), before.verdict(), now.verdict()));
        }
        let new = after
            .unassessed()
            .iter()
            .filter(|part| !self.before.unassessed().contains(part));
        proposal
            .notes
            .extend(new.map(|part| format!("newly not assessed: {part}")));
        Ok(proposal)
    }

    /// A trial with one anchor changed in its place.
    fn with(&self, change: Change, edit: impl FnOnce(&mut Anchor)) -> Result<Trial, String> {
        let mut anchor = self.anchor().clone();
        edit(&mut anchor);
        let platform = self.platform.with_anchor(self.index, anchor);
        Ok(Trial {
            change,
            platform: platform.map_err(|faults| told(&faults))?,
            notes: Vec::new(),
        })
    }

    fn boss_in_wood(&self) -> Result<Proposal, String> {
        let (from, boss) = (self.anchor().embedded, self.anchor().size.boss.length);
        let grid = Grid::up(from, boss, self.step()).ok_or("all of it is in the wood")?;
        self.fewest(grid.steps, FoundBy::Looking, |k| {
            let to = grid.at(k);
            self.with(Change::BossInWood { from, to, boss }, |anchor| {
                anchor.embedded = to;
            })
        })
    }

    fn longer_shank(&self) -> Result<Proposal, String> {
        let (anchor, stem) = (self.anchor(), self.stem());
        if anchor.size.shank.is_empty() {
            return Err("it has no shank".into());
        }
        let pieces = anchor.size.shank.iter().map(|piece| piece.length);
        let from = pieces.fold(si::metres(0.0), |sum, length| sum + length);
        let through = self.criteria.factor("penetration") * 2.0 * stem.wood_radius();
        let deepest = stem.shell.map_or(through, |shell| shell.min(through));
        let most = from + deepest - anchor.hole(stem);
        let grid =
            Grid::up(from, most, self.step()).ok_or("its hole is as deep as the stem allows")?;
        self.fewest(grid.steps, FoundBy::Halving, |k| {
            let to = grid.at(k);
            self.with(Change::LongerShank { from, to }, |anchor| {
                if let Some(last) = anchor.size.shank.last_mut() {
                    last.length += to - from;
                }
                anchor.size.thread_length += to - from;
            })
        })
    }

    fn shorter_arm(&self) -> Result<Proposal, String> {
        let (from, stem) = (self.anchor().arm, self.stem());
        let near_face = self.half_beam();
        let grid = Grid::down(from, stem.bark + near_face, self.step())
            .ok_or("the beam is as near as the bark lets it be")?;
        self.fewest(grid.steps, FoundBy::Halving, |k| {
            self.with_arm(grid.at(k), |to| Change::ShorterArm { from, to })
        })
    }

    /// A trial with another arm, the beams following.
    pub(super) fn with_arm(
        &self,
        to: Length,
        change: impl FnOnce(Length) -> Change,
    ) -> Result<Trial, String> {
        let anchor = Anchor {
            arm: to,
            ..self.anchor().clone()
        };
        let (platform, notes) = self
            .platform
            .with_anchor_moved(self.index, anchor)
            .map_err(|faults| told(&faults))?;
        Ok(Trial {
            change: change(to),
            platform,
            notes,
        })
    }

    /// Half the width, along the bar, of the widest beam on the anchor.
    fn half_beam(&self) -> Length {
        let axes = self.anchor().axes(self.stem());
        let on = |carrier: Carrier| carrier == Carrier::Anchor(self.index);
        let beams = self.platform.beams().iter();
        beams
            .filter(|beam| beam.supports.iter().any(|own| on(own.carrier)))
            .map(|beam| {
                let [east, north] = crate::model::plan::unit(beam.start.bearing(beam.end));
                let across = (axes.out.x * north - axes.out.y * east).abs();
                beam.timber.width / 2.0 * across
            })
            .fold(si::metres(0.0), Length::max)
    }

    fn stronger_steel(&self) -> Result<Proposal, String> {
        let size = &self.anchor().size;
        let yield_from = weakest(size);
        let mut ids: Vec<&str> = tables::steels().iter().map(|row| row.id.as_str()).collect();
        ids.dedup();
        let mut sizes: Vec<AnchorSize> = ids
            .into_iter()
            .filter_map(|id| in_steel(size, id))
            .collect();
        sizes.retain(|own| weakest(own) > yield_from);
        sizes.sort_by(|a, b| weakest(a).value.total_cmp(&weakest(b).value));
        let trials = sizes.into_iter().map(|stronger| {
            let change = Change::StrongerSteel {
                from: size.boss.steel.name.clone(),
                to: stronger.boss.steel.name.clone(),
                yield_from,
                yield_to: weakest(&stronger),
            };
            self.with(change, |anchor| anchor.size = stronger)
        });
        self.in_turn(trials, "no stronger steel of the table makes it pass")
    }

    fn larger_size(&self) -> Result<Proposal, String> {
        let own = &self.anchor().size;
        let share = (self.anchor().embedded / own.boss.length).value;
        let thread = |size: &AnchorSize| size.shank.first().unwrap_or(&size.boss).bears;
        let mut sizes: Vec<AnchorSize> = tables::anchor_sizes()
            .iter()
            .filter_map(AnchorSize::from_table)
            .filter(|size| size.boss.bears >= own.boss.bears && thread(size) >= thread(own))
            .filter(|size| size.boss.bears > own.boss.bears || thread(size) > thread(own))
            .collect();
        sizes.sort_by(|a, b| {
            let by_boss = a.boss.bears.value.total_cmp(&b.boss.bears.value);
            by_boss.then(thread(a).value.total_cmp(&thread(b).value))
        });
        let trials = sizes.into_iter().map(|size| {
            let least = size.boss.length * share;
            let embedded = (least / self.step()).value - ON_STEP;
            let embedded = (self.step() * embedded.ceil()).min(size.boss.length);
            let change = Change::LargerSize {
                from: own.id.clone(),
                to: size.id.clone(),
                embedded,
                section: (size.boss.resists / own.boss.resists).value.powi(2),
            };
            self.with(change, |anchor| {
                anchor.size = size;
                anchor.embedded = embedded;
            })
        });
        self.in_turn(trials, "no larger size of the table makes it pass")
    }

    /// The first trial that passes.
    pub(super) fn in_turn(
        &self,
        trials: impl Iterator<Item = Result<Trial, String>>,
        otherwise: &str,
    ) -> Result<Proposal, String> {
        for trial in trials {
            match trial {
                Ok(trial) if self.passes(&trial.platform) => {
                    return self.whole(trial, FoundBy::Turns);
                }
                Ok(_) => {}
                Err(why) => {
                    self.stopped(why);
                }
            }
        }
        Err(self.why_not(otherwise))
    }

    fn less_live(&self) -> Result<Proposal, String> {
        if !has_live(self.platform) {
            return Err("there is no live load".into());
        }
        self.fewest(HUNDREDTHS - LEAST_LIVE, FoundBy::Halving, |k| {
            let share = f64::from(HUNDREDTHS - k) / f64::from(HUNDREDTHS);
            let decks = self.platform.decks().iter();
            let decks = decks.filter(|deck| deck.live.value > 0.0);
            let change = Change::LessLive {
                share,
                decks: decks
                    .map(|deck| (deck.id.clone(), deck.live, deck.live * share))
                    .collect(),
            };
            let platform = with_live(self.platform, share).map_err(|faults| told(&faults))?;
            Ok(Trial {
                change,
                platform,
                notes: Vec::new(),
            })
        })
    }
}

/// A part whose verdict is worse than it was.
fn worse(part: &str, before: Verdict, now: Verdict) -> Option<Worse> {
    (now > before).then(|| Worse {
        part: part.to_owned(),
        verdict: now,
    })
}

/// Every live load times a factor (1): of decks, of loads, riders of swings and the weight in hammocks.
pub(super) fn with_live(platform: &Platform, factor: f64) -> Result<Platform, Vec<PlatformError>> {
    platform.with_parts(|parts: &mut Parts| {
        for deck in &mut parts.decks {
            deck.live *= factor;
            deck.concentrated = deck.concentrated.map(|load| load * factor);
        }
        for load in &mut parts.loads {
            load.magnitudes[Case::Live as usize] *= factor;
        }
        // A rider or a hammock without weight is none.
        parts.swings.retain(|_| factor > 0.0);
        parts.hammocks.retain(|_| factor > 0.0);
        for swing in &mut parts.swings {
            swing.rider *= factor;
        }
        for hammock in &mut parts.hammocks {
            hammock.weight *= factor;
        }
    })
}

/// Whether anything of the live load is there.
pub(super) fn has_live(platform: &Platform) -> bool {
    let decks = platform.decks().iter();
    let on_decks = decks
        .map(|deck| deck.live.value + deck.concentrated.map_or(0.0, |load| load.value))
        .sum::<f64>();
    let loads = platform.loads().iter();
    let live = loads.map(|load| load.magnitudes[Case::Live as usize].abs());
    on_decks + live.sum::<f64>() > 0.0
        || !platform.swings().is_empty()
        || !platform.hammocks().is_empty()
}

/// Faults of a platform in one line.
pub(super) fn told(faults: &[PlatformError]) -> String {
    let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
    faults.join("; ")
}

/// The lowest yield strength of a bar's pieces.
fn weakest(size: &AnchorSize) -> Stress {
    let shank = size.shank.iter().map(|piece| piece.steel.yield_strength);
    shank.fold(size.boss.steel.yield_strength, Stress::min)
}

/// The same bar in a steel of the table; none where that steel is not made so thick.
fn in_steel(size: &AnchorSize, id: &str) -> Option<AnchorSize> {
    let piece = |own: &Segment| {
        let row = tables::steel(id, own.bears.max(own.resists)).ok()?;
        Some(Segment {
            steel: Steel::from_table(row)?,
            ..own.clone()
        })
    };
    Some(AnchorSize {
        boss: piece(&size.boss)?,
        shank: size.shank.iter().map(piece).collect::<Option<_>>()?,
        ..size.clone()
    })
}

/// Lengths that a builder can set, from one that stands to a bound.
pub(super) struct Grid {
    /// Steps of it before the first.
    base: f64,
    /// Plus or minus one step.
    step: Length,
    /// How many there are.
    pub(super) steps: u32,
}

impl Grid {
    /// Multiples of a step over `from`, up to a bound; none if there is none.
    pub(super) fn up(from: Length, bound: Length, step: Length) -> Option<Self> {
        let base = ((from / step).value + ON_STEP).floor();
        let last = ((bound / step).value + ON_STEP).floor();
        Self::of(base, step, last - base)
    }

    /// Multiples of a step under `from`, down to a bound; none if there is none.
    pub(super) fn down(from: Length, bound: Length, step: Length) -> Option<Self> {
        let base = ((from / step).value - ON_STEP).ceil();
        let last = ((bound / step).value - ON_STEP).ceil();
        Self::of(base, -step, base - last)
    }

    fn of(base: f64, step: Length, steps: f64) -> Option<Self> {
        if !(1.0..1e6).contains(&steps) {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "whole, from one to a million"
        )]
        let steps = steps as u32;
        Some(Self { base, step, steps })
    }

    /// The length after some steps.
    pub(super) fn at(&self, k: u32) -> Length {
        self.step.abs() * self.base + self.step * f64::from(k)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::millimetres;

    #[test]
    fn grids_begin_beside_what_stands_and_end_within_the_bound() {
        let mm = millimetres(1.0);
        let grid = Grid::up(millimetres(50.8), millimetres(53.2), mm)
            .map(|grid| (grid.at(1), grid.at(grid.steps)));
        assert!(grid.is_some_and(|(first, last)| {
            (first.value - 0.051).abs() < 1e-12 && (last.value - 0.053).abs() < 1e-12
        }));
        let grid = Grid::down(millimetres(50.0), millimetres(47.5), mm)
            .map(|grid| (grid.at(1), grid.at(grid.steps)));
        assert!(grid.is_some_and(|(first, last)| {
            (first.value - 0.049).abs() < 1e-12 && (last.value - 0.048).abs() < 1e-12
        }));
        assert!(Grid::up(millimetres(50.0), millimetres(50.9), mm).is_none());
    }
}
