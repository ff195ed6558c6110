//! From the raw layout to a platform: ids looked up, defaults named, geometry worked out, every problem at once.

mod anchors;
mod as_built;
mod beams;
mod criteria;
mod decks;
mod hangings;
mod random;
mod stems;
mod timber;
mod trees;

use super::diagnostic::{Code, Diagnostic, Diagnostics, Severity};
use super::layout::{Along, Amount, Id, Layout, SHOWN, Text, more_than_shown};
use super::source::{At, Span};
use crate::model::{Case, Criteria, Load, LoadPlace, Magnitudes, Parts, Platform, Point};
use crate::tables::LookupError;
use crate::units::{Angle, Show, nearest};
use std::collections::HashMap;

/// A layout that makes sense: its platform, the units to show, and what the reader must know.
#[derive(Debug, Clone)]
pub struct Resolved {
    /// The platform.
    pub platform: Platform,
    /// The units in which the layout wants its results printed.
    pub show: Show,
    /// Cautions: values that were assumed, parts that are not assessed.
    pub diagnostics: Diagnostics,
}

impl Layout {
    /// Looks everything up and works the geometry out.
    ///
    /// # Errors
    /// Every problem that was found, each with its place, its reason and a mend.
    pub fn resolve(&self) -> Result<Resolved, Diagnostics> {
        Resolver::new(self).run()
    }
}

/// A load this much past the end of a beam is at its end (m): the rounding of a length that was worked out.
const END: f64 = 1e-3;
/// The most anchors, beams or other parts of one kind: beyond any platform, and what is still analysed in seconds.
const MOST_PARTS: usize = 500;
/// The most trees or loads: obstacles and loads cost less.
const MOST_SMALL: usize = 1000;

/// Work in progress: what was found so far.
struct Resolver<'a> {
    layout: &'a Layout,
    found: Vec<(Option<Span>, Diagnostic)>,
    unassessed: Vec<String>,
}

impl<'a> Resolver<'a> {
    fn new(layout: &'a Layout) -> Self {
        Self {
            layout,
            found: Vec::new(),
            unassessed: Vec::new(),
        }
    }

    fn run(mut self) -> Result<Resolved, Diagnostics> {
        self.numbers();
        if self.has_errors() {
            return Err(self.report());
        }
        self.unique_ids();
        self.set_aside();
        let criteria = self.criteria();
        let (stems, obstacles) = self.stems(criteria.as_ref());
        let drafts = self.anchors(&stems);
        let posts = self.posts();
        let (anchors, beams) = self.beams(&stems, drafts, &posts);
        let braces = self.braces(&anchors, &beams);
        let decks = self.decks(&stems, &obstacles, &beams, criteria.as_ref());
        let guards = self.guards(&decks);
        self.snow_of_loads(criteria.as_ref());
        let loads = self.loads(&anchors, &beams);
        let swings = self.swings(&anchors, &beams);
        let hammocks = self.hammocks(&anchors, &beams);
        let wind = self.wind();
        let as_built = self.as_built(&anchors);
        let uncertainty = self.uncertainty();
        let (Some(criteria), false) = (criteria, self.has_errors()) else {
            return Err(self.report());
        };
        let title = self.layout.title.as_ref();
        let (stems, anchors) = anchors.built(stems);
        let parts = Parts {
            title: title
                .map_or("untitled layout", |title| title.as_str())
                .to_owned(),
            stems,
            anchors,
            beams: beams.built(),
            braces,
            posts,
            decks,
            guards,
            loads,
            swings,
            hammocks,
            wind,
            as_built,
            uncertainty,
        };
        match Platform::new(parts, criteria) {
            Ok(platform) => {
                let unassessed = std::mem::take(&mut self.unassessed);
                let show = self
                    .layout
                    .show
                    .as_ref()
                    .map_or(Show::Us, |show| show.value);
                let diagnostics = self.report();
                let cautions = diagnostics
                    .iter()
                    .filter(|caution| caution.code == Code::Assumed)
                    .map(|caution| caution.message.clone())
                    .collect();
                let platform = platform.with_cautions(cautions).with_unassessed(unassessed);
                Ok(Resolved {
                    platform,
                    show,
                    diagnostics,
                })
            }
            Err(faults) => {
                for fault in faults {
                    let span = self.part(&fault.part);
                    let mend = "change its table, or one that it refers to";
                    self.error(Code::Unsound, span, fault.to_string(), mend);
                }
                Err(self.report())
            }
        }
    }

    fn error(
        &mut self,
        code: Code,
        span: Option<Span>,
        message: impl AsRef<str>,
        mend: impl AsRef<str>,
    ) {
        self.found
            .push((span, Diagnostic::error(code, message, mend)));
    }

    fn assumed(&mut self, span: Option<Span>, message: impl AsRef<str>, mend: impl AsRef<str>) {
        self.found
            .push((span, Diagnostic::caution(Code::Assumed, message, mend)));
    }

    fn not_assessed(&mut self, span: Option<Span>, part: impl Into<String>) {
        let part = part.into();
        let message = format!("{part}: not assessed, so the verdict can not be better than review");
        let mend = "have it assessed by hand, or take it out of this layout";
        self.found
            .push((span, Diagnostic::caution(Code::NotAssessed, message, mend)));
        self.unassessed.push(part);
    }

    fn lookup(&mut self, code: Code, span: Option<Span>, error: &LookupError) {
        let mend = match error {
            LookupError::Unknown { near, .. } if near.is_empty() => {
                "choose one of the table".to_owned()
            }
            LookupError::Unknown { near, .. } => format!("did you mean {}?", near.join(", or ")),
            LookupError::Ambiguous { candidates, .. } => {
                format!("name one: {}", candidates.join("; "))
            }
            _ => "choose one that the table has".to_owned(),
        };
        let reason = match error {
            LookupError::Unknown { table, name, .. } => {
                format!("there is no {table} called \"{name}\"")
            }
            LookupError::Ambiguous { table, name, .. } => {
                format!("\"{name}\" may be several rows of the {table} table")
            }
            other => other.to_string(),
        };
        self.error(code, span, reason, mend);
    }

    fn unknown_id(&mut self, what: &str, id: &At<Id>, known: impl Iterator<Item = &'a str>) {
        let mend = match nearest(id.as_str(), known) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("write a {what} with this id, or name one that exists"),
        };
        self.error(
            Code::UnknownId,
            id.span,
            format!("there is no {what} \"{}\"", id.as_str()),
            mend,
        );
    }

    /// Where a part of the platform stands in the layout, from its kind and id.
    fn part(&self, name: &str) -> Option<Span> {
        let layout = self.layout;
        let (kind, id) = name.split_once(' ')?;
        let ids: Vec<&At<Id>> = match kind {
            "tree" => layout.tree.iter().map(|tree| &tree.id).collect(),
            "anchor" => layout.anchor.iter().map(|anchor| &anchor.id).collect(),
            "beam" => layout.beam.iter().map(|beam| &beam.id).collect(),
            "deck" => layout.deck.iter().map(|deck| &deck.id).collect(),
            "load" => layout.load.iter().map(|load| &load.id).collect(),
            "brace" => layout.brace.iter().map(|brace| &brace.id).collect(),
            "post" => layout.post.iter().map(|post| &post.id).collect(),
            "guard" => layout.guard.iter().map(|guard| &guard.id).collect(),
            "swing" => layout.swing.iter().map(|swing| &swing.id).collect(),
            "hammock" => layout.hammock.iter().map(|hammock| &hammock.id).collect(),
            _ => return None,
        };
        ids.into_iter().find(|known| known.as_str() == id)?.span
    }

    fn has_errors(&self) -> bool {
        self.found
            .iter()
            .any(|(_, diagnostic)| diagnostic.severity == Severity::Error)
    }

    /// All that was found, in the order of the file: every caution, and no more errors than can be read.
    fn report(&mut self) -> Diagnostics {
        let sources = &self.layout.sources;
        let mut found = std::mem::take(&mut self.found);
        found.sort_by_key(|(span, _)| *span);
        let mut errors = 0;
        found.retain_mut(|(_, diagnostic)| {
            let error = diagnostic.severity == Severity::Error;
            errors += usize::from(error);
            if error && errors == SHOWN + 1 {
                *diagnostic = more_than_shown();
            }
            !error || errors <= SHOWN + 1
        });
        let placed = found.into_iter().map(|(span, diagnostic)| {
            let place = span.and_then(|span| sources.position(span));
            diagnostic.at(place)
        });
        placed.collect()
    }

    /// No more parts than can be analysed in a time that anybody waits.
    fn numbers(&mut self) {
        let layout = self.layout;
        let last = |ids: &[&At<Id>]| (ids.len(), ids.last().and_then(|id| id.span));
        macro_rules! of {
            ($table:ident) => {
                last(&layout.$table.iter().map(|own| &own.id).collect::<Vec<_>>())
            };
        }
        for (what, (count, span), most) in [
            ("trees", of!(tree), MOST_SMALL),
            ("anchors", of!(anchor), MOST_PARTS),
            ("beams", of!(beam), MOST_PARTS),
            ("braces", of!(brace), MOST_PARTS),
            ("posts", of!(post), MOST_PARTS),
            ("decks", of!(deck), MOST_PARTS),
            ("guards", of!(guard), MOST_PARTS),
            ("loads", of!(load), MOST_SMALL),
            ("swings", of!(swing), MOST_PARTS),
            ("hammocks", of!(hammock), MOST_PARTS),
        ] {
            if count > most {
                let message =
                    format!("there are {count} {what}, and no more than {most} are analysed");
                let mend = "divide the layout into platforms that stand by themselves";
                self.error(Code::TooMany, span, message, mend);
            }
        }
    }

    /// Ids are unique over all tables.
    fn unique_ids(&mut self) {
        let layout = self.layout;
        let mut seen: HashMap<&Id, Option<Span>> = HashMap::new();
        let ids = layout
            .tree
            .iter()
            .map(|t| &t.id)
            .chain(layout.anchor.iter().map(|a| &a.id));
        let ids = ids
            .chain(layout.beam.iter().map(|b| &b.id))
            .chain(layout.brace.iter().map(|b| &b.id));
        let ids = ids
            .chain(layout.post.iter().map(|p| &p.id))
            .chain(layout.deck.iter().map(|d| &d.id));
        let ids = ids
            .chain(layout.guard.iter().map(|g| &g.id))
            .chain(layout.load.iter().map(|l| &l.id))
            .chain(layout.swing.iter().map(|s| &s.id));
        for id in ids.chain(layout.hammock.iter().map(|h| &h.id)) {
            match seen.get(&id.value) {
                Some(first) => self.taken(id.as_str(), id.span, *first),
                None => _ = seen.insert(&id.value, id.span),
            }
        }
        self.unique_names(layout.wood.iter().map(|wood| &wood.id));
        self.unique_names(layout.steel.iter().map(|steel| &steel.id));
        self.unique_names(layout.anchor_size.iter().map(|size| &size.id));
        self.unique_names(layout.combination.iter().map(|row| &row.id));
    }

    /// Woods, steels, sizes and combinations have names of their own, unique in their table whatever their case.
    fn unique_names(&mut self, names: impl Iterator<Item = &'a Text>) {
        let mut seen: Vec<&Text> = Vec::new();
        for name in names {
            match seen.iter().find(|other| other.eq_ignore_ascii_case(name)) {
                Some(first) => self.taken(name, name.span, first.span),
                None => seen.push(name),
            }
        }
    }

    fn taken(&mut self, id: &str, span: Option<Span>, first: Option<Span>) {
        if self.has_errors() && self.found.len() > SHOWN {
            return;
        }
        let place = first.and_then(|first| self.layout.sources.position(first));
        let mend = "give one of the two another id";
        let message = format!("the id \"{id}\" is taken");
        let diagnostic =
            Diagnostic::error(Code::DuplicateId, message, mend).related("the first one", place);
        self.found.push((span, diagnostic));
    }

    /// Parts of the format that this version reads and does not assess.
    fn set_aside(&mut self) {
        let layout = self.layout;
        for (key, name) in layout.wanted() {
            let message = format!(
                "`{key}` names the spreadsheet \"{}\", which was not given",
                name.as_str()
            );
            let mend = "give its rows with `Layout::with_spreadsheets`, or write them as tables";
            self.error(Code::Unreadable, name.span, message, mend);
        }
    }

    /// Snow on single loads is of the same level as that on decks.
    fn snow_of_loads(&mut self, criteria: Option<&Criteria>) {
        let layout = self.layout;
        let basis = layout
            .site
            .as_ref()
            .and_then(|site| site.snow_basis.as_ref());
        for snow in layout.load.iter().filter_map(|load| load.snow.as_ref()) {
            self.snow_level(basis, snow.span, criteria);
        }
    }

    fn loads(&mut self, anchors: &anchors::Drafts, beams: &beams::Drawn) -> Vec<Load> {
        let layout = self.layout;
        layout
            .load
            .iter()
            .filter_map(|load| self.load(load, anchors, beams))
            .collect()
    }

    fn load(
        &mut self,
        load: &'a super::layout::Load,
        anchors: &anchors::Drafts,
        beams: &beams::Drawn,
    ) -> Option<Load> {
        let places = [
            load.at.is_some(),
            load.along.is_some(),
            !load.over.is_empty(),
            load.on.is_some(),
        ];
        if places.iter().filter(|given| **given).count() != 1 {
            let message = format!("load {} has no place, or more than one", load.id.as_str());
            self.error(
                Code::Conflict,
                load.id.span,
                message,
                "give one of at, along, over, on",
            );
            return None;
        }
        let place = if let Some(at) = &load.at {
            LoadPlace::Point(point(at))
        } else if let Some([a, b]) = &load.along {
            if point(a) == point(b) {
                let message = format!("load {} covers no length", load.id.as_str());
                let mend = "give two ends that differ in `along`, or `at` for a point";
                self.error(Code::OutOfRange, load.id.span, message, mend);
            }
            LoadPlace::Line(point(a), point(b))
        } else if let Some(on) = &load.on {
            self.load_on(on, anchors, beams)?
        } else {
            if load.over.len() < 3 {
                let message = format!("load {} covers no area", load.id.as_str());
                self.error(
                    Code::OutOfRange,
                    load.id.span,
                    message,
                    "give at least three corners in `over`",
                );
            }
            LoadPlace::Area(load.over.iter().map(point).collect())
        };
        let mut magnitudes: Magnitudes = [0.0; Case::ALL.len()];
        for (case, amount) in [
            (Case::Dead, &load.dead),
            (Case::Live, &load.live),
            (Case::Snow, &load.snow),
            (Case::Wind, &load.wind),
        ] {
            if let Some(amount) = amount {
                magnitudes[case as usize] = self.amount(amount, &place).unwrap_or(0.0);
            }
        }
        let uplift = load.uplift.as_ref().and_then(|up| self.amount(up, &place));
        Some(Load {
            id: load.id.as_str().to_owned(),
            push: self.push(load, &place),
            place,
            magnitudes,
            uplift: uplift.unwrap_or(0.0),
        })
    }

    /// The sideways part of a load, with its direction.
    fn push(&mut self, load: &super::layout::Load, place: &LoadPlace) -> Option<(f64, Angle)> {
        let push = load.push.as_ref()?;
        let amount = self.amount(push, place)?;
        let Some(toward) = &load.toward else {
            let message = format!("the push of load {} has no direction", load.id.as_str());
            self.error(
                Code::MissingKey,
                push.span,
                message,
                "add toward = \"N\", or degrees clockwise from north",
            );
            return None;
        };
        Some((amount, toward.value.0))
    }

    fn load_on(
        &mut self,
        on: &'a At<super::layout::Place>,
        anchors: &anchors::Drafts,
        beams: &beams::Drawn,
    ) -> Option<LoadPlace> {
        let id = At {
            value: on.on.clone(),
            span: on.span,
        };
        if let (Some(anchor), Along::Crossing) = (anchors.index(&id), on.along) {
            return Some(LoadPlace::Anchor(anchor));
        }
        let Some((beam, length)) = beams.find(&id) else {
            // One that is written but could not be made has its own error.
            if !self.known_supports().any(|known| known == id.as_str()) {
                self.unknown_id("beam or anchor", &id, self.known_supports());
            }
            return None;
        };
        let station = match on.along {
            Along::At(distance) => *distance,
            Along::Start => crate::units::si::metres(0.0),
            Along::End => length,
            Along::Crossing => {
                let message = format!("\"{}\" does not say where on the beam", id.as_str());
                self.error(
                    Code::BadPlace,
                    on.span,
                    message,
                    format!("write \"{} at 4 ft\"", id.as_str()),
                );
                return None;
            }
        };
        let past = (station - length).max(-station);
        if past.value > END {
            let message = format!(
                "{:.3} m is beyond the beam, which is {:.3} m long",
                station.value, length.value
            );
            self.error(
                Code::Misplaced,
                on.span,
                message,
                "give a distance from its first end, within its length",
            );
            return None;
        }
        let station = station.max(crate::units::si::metres(0.0)).min(length);
        Some(LoadPlace::Beam { beam, station })
    }

    fn known_supports(&self) -> impl Iterator<Item = &'a str> + Clone + use<'a> {
        let layout = self.layout;
        layout
            .anchor
            .iter()
            .map(|anchor| anchor.id.as_str())
            .chain(layout.post.iter().map(|post| post.id.as_str()))
            .chain(layout.beam.iter().map(|beam| beam.id.as_str()))
    }

    fn amount(&mut self, amount: &At<Amount>, place: &LoadPlace) -> Option<f64> {
        let (value, due) = match (amount.value, place) {
            (
                Amount::Force(force),
                LoadPlace::Point(_) | LoadPlace::Beam { .. } | LoadPlace::Anchor(_),
            ) => (Some(force.value), ""),
            (Amount::Line(load), LoadPlace::Line(..)) => (Some(load.value), ""),
            (Amount::Area(load), LoadPlace::Area(_)) => (Some(load.value), ""),
            (_, LoadPlace::Line(..)) => (
                None,
                "along a line a load per length is due: plf, lbf/ft, kN/m, N/m",
            ),
            (_, LoadPlace::Area(_)) => {
                (None, "over an area a load per area is due: psf, kPa, kN/m2")
            }
            _ => (None, "at a point a force is due: lbf, kip, N, kN"),
        };
        if value.is_none() {
            self.error(
                Code::BadQuantity,
                amount.span,
                format!("{amount} does not fit the place of its load"),
                due,
            );
        }
        value.filter(|value| {
            let fits = *value >= 0.0;
            if !fits {
                self.error(
                    Code::OutOfRange,
                    amount.span,
                    "a load is positive down",
                    "write uplift with its own key",
                );
            }
            fits
        })
    }
}

fn point(at: &At<super::layout::Point>) -> Point {
    Point::new(at.east(), at.north())
}
