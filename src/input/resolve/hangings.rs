//! Braces, posts, guards, swings and hammocks: what hangs on beams and anchors, or stands below them.

use super::anchors::Drafts;
use super::beams::Drawn;
use super::{Resolver, point, timber};
use crate::input::diagnostic::Code;
use crate::input::layout::{self, Place};
use crate::input::source::At;
use crate::model::{Brace, Carries, Deck, Guard, Hammock, Hold, LoadPlace, Post, Swing, Wind};
use crate::tables::{WindEdition, WindExposure};
use crate::units::{Show, kind, print, si};

/// Solid share of a guard's face where none is given: open balusters (common practice, no source).
const OPEN_GUARD: f64 = 0.5;
/// How far a swing goes from plumb where nothing is said (common practice, no source).
const SWINGS_TO: f64 = 60.0;

impl<'a> Resolver<'a> {
    pub(super) fn posts(&self) -> Vec<Post> {
        let posts = self.layout.post.iter();
        posts
            .filter_map(|post| {
                Some(Post {
                    id: post.id.as_str().to_owned(),
                    at: point(post.at.as_ref()?),
                    stiffness: post.stiffness.as_ref().map(|stiffness| ***stiffness),
                })
            })
            .collect()
    }

    pub(super) fn braces(&mut self, drafts: &Drafts, beams: &Drawn) -> Vec<Brace> {
        let layout = self.layout;
        layout
            .brace
            .iter()
            .filter_map(|brace| self.brace(brace, drafts, beams))
            .collect()
    }

    fn brace(&mut self, brace: &'a layout::Brace, drafts: &Drafts, beams: &Drawn) -> Option<Brace> {
        let id = brace.id.as_str();
        let anchor = drafts.index(&brace.from.value);
        if anchor.is_none()
            && !self
                .layout
                .anchor
                .iter()
                .any(|anchor| anchor.id.value == brace.from.value)
        {
            let known = self.layout.anchor.iter().map(|anchor| anchor.id.as_str());
            self.unknown_id("anchor", &brace.from, known);
        }
        let timber = self.timber(&timber::Keys {
            part: format!("brace {id}"),
            span: brace.id.span,
            size: brace.size.as_ref(),
            width: brace.width.as_ref(),
            depth: brace.depth.as_ref(),
            plies: brace.plies.as_ref().map_or(1, |plies| plies.value),
            wood: brace.wood.as_ref(),
            grade: brace.grade.as_ref(),
            modulus: brace.modulus.as_ref(),
            allowable: brace.allowable.as_ref(),
        });
        let place = self.load_on(brace.to.as_ref()?, drafts, beams)?;
        let LoadPlace::Beam { beam, station } = place else {
            let message = format!("brace {id} goes to an anchor, not to a beam");
            let span = brace.to.as_ref().and_then(|to| to.span);
            self.error(
                Code::BadPlace,
                span,
                message,
                "write to = \"a beam at 3 ft\"",
            );
            return None;
        };
        let anchor = anchor?;
        if drafts.0[anchor].level.is_none() || beams.all()[beam].level.is_none() {
            let message = format!("the slope of brace {id} is not known");
            let mend = "give level (or height) to its anchor and to an anchor of its beam";
            self.error(Code::MissingKey, brace.id.span, message, mend);
            return None;
        }
        Some(Brace {
            id: id.to_owned(),
            anchor,
            beam,
            station,
            carries: match brace.carries.as_ref().map(|word| word.value) {
                Some(layout::Carries::Pull) => Carries::Pull,
                Some(layout::Carries::Both) => Carries::Both,
                _ => Carries::Push,
            },
            timber: timber?,
        })
    }

    pub(super) fn guards(&mut self, decks: &[Deck]) -> Vec<Guard> {
        let layout = self.layout;
        let mut guards = Vec::new();
        for guard in &layout.guard {
            let Some(deck) = decks.iter().position(|deck| deck.id == guard.deck.as_str()) else {
                if !layout
                    .deck
                    .iter()
                    .any(|deck| deck.id.value == guard.deck.value)
                {
                    self.unknown_id(
                        "deck",
                        &guard.deck,
                        layout.deck.iter().map(|deck| deck.id.as_str()),
                    );
                }
                continue;
            };
            let (Some([a, b]), Some(height)) = (&guard.along, &guard.height) else {
                continue;
            };
            if guard.solidity.is_none() {
                let message = format!("guard {}: taken as half solid", guard.id.as_str());
                self.assumed(
                    guard.id.span,
                    message,
                    "give solidity = the solid share of its face",
                );
            }
            guards.push(Guard {
                id: guard.id.as_str().to_owned(),
                deck,
                along: [point(a), point(b)],
                height: ***height,
                solidity: guard
                    .solidity
                    .as_ref()
                    .map_or(OPEN_GUARD, |share| share.value.value),
            });
        }
        guards
    }

    pub(super) fn swings(&mut self, drafts: &Drafts, beams: &Drawn) -> Vec<Swing> {
        let layout = self.layout;
        let mut swings = Vec::new();
        for swing in &layout.swing {
            let (Some(on), Some(rider)) = (&swing.on, &swing.rider) else {
                continue;
            };
            let Some(Hold::Beam { beam, station }) = self.hold(on, drafts, beams) else {
                if drafts.index(&on.on).is_some() {
                    let message = format!("swing {} hangs on an anchor itself", swing.id.as_str());
                    self.error(
                        Code::BadPlace,
                        on.span,
                        message,
                        "hang it from a place on a beam",
                    );
                }
                continue;
            };
            let to = swing.to.as_ref().map(|to| ***to);
            if to.is_none() {
                let message = format!(
                    "swing {}: taken to go to {SWINGS_TO} degrees from plumb",
                    swing.id.as_str()
                );
                self.assumed(
                    swing.id.span,
                    message,
                    "give to = the angle that it is kept to",
                );
            }
            let own = &beams.all()[beam];
            let across = own.start.bearing(own.end) + si::degrees(90.0);
            swings.push(Swing {
                id: swing.id.as_str().to_owned(),
                beam,
                station,
                rider: ***rider,
                to: to.unwrap_or(si::degrees(SWINGS_TO)),
                along: swing.swings.as_ref().map_or(across, |axis| axis.value.0.0),
            });
        }
        swings
    }

    pub(super) fn hammocks(&mut self, drafts: &Drafts, beams: &Drawn) -> Vec<Hammock> {
        let layout = self.layout;
        let mut hammocks = Vec::new();
        for hammock in &layout.hammock {
            let (Some([a, b]), Some(weight), Some(sag)) =
                (&hammock.ends, &hammock.weight, &hammock.sag)
            else {
                continue;
            };
            let ends = (self.hold(a, drafts, beams), self.hold(b, drafts, beams));
            if let (Some(a), Some(b)) = ends {
                hammocks.push(Hammock {
                    id: hammock.id.as_str().to_owned(),
                    ends: [a, b],
                    weight: ***weight,
                    sag: ***sag,
                });
            }
        }
        hammocks
    }

    fn hold(&mut self, on: &'a At<Place>, drafts: &Drafts, beams: &Drawn) -> Option<Hold> {
        match self.load_on(on, drafts, beams)? {
            LoadPlace::Anchor(anchor) => Some(Hold::Anchor(anchor)),
            LoadPlace::Beam { beam, station } => Some(Hold::Beam { beam, station }),
            _ => None,
        }
    }

    /// Wind of the site, of the edition of the combinations.
    pub(super) fn wind(&mut self) -> Option<Wind> {
        let site = self.layout.site.as_ref()?;
        let speed = site.wind.as_ref()?;
        let exposure = site.exposure.as_ref().map(|exposure| exposure.value);
        if exposure.is_none() {
            let shown = print::<kind::Speed>(***speed, Show::Us);
            let message = format!("wind {shown} is taken in exposure B, among trees and buildings");
            self.assumed(speed.span, message, "give exposure = \"B\", \"C\" or \"D\"");
        }
        let set = self
            .layout
            .criteria
            .as_ref()
            .and_then(|criteria| criteria.combinations.as_ref());
        if set.is_some_and(|set| set.value.word().starts_with("en")) {
            let part = "wind by EN 1991 on guards and edges (no force coefficients of that standard are carried)";
            self.not_assessed(speed.span, part);
            return None;
        }
        let old = set.is_some_and(|set| set.value.word().starts_with("asce7-16"));
        Some(Wind {
            speed: ***speed,
            exposure: match exposure {
                Some(layout::Exposure::C) => WindExposure::C,
                Some(layout::Exposure::D) => WindExposure::D,
                _ => WindExposure::B,
            },
            edition: if old {
                WindEdition::Asce716
            } else {
                WindEdition::Asce722
            },
        })
    }
}
