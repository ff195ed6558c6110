//! Decks: outline, holes, joists, loads per area.

use super::beams::Drawn;
use super::stems::{Obstacle, Stems};
use super::{Resolver, point, timber};
use crate::input::diagnostic::Code;
use crate::input::layout::{self, SnowBasis};
use crate::input::source::{At, Span};
use crate::mechanics::{MechanicsError, snow};
use crate::model::{Criteria, Crossing, Deck, Diaphragm, Joists, Point, plan};
use crate::tables::{self, SnowLevel};
use crate::units::{Angle, AreaLoad, Length, Show, kind, print, si, us};

/// Room round a stem in a deck where none is given (common practice, no source).
const STEM_CLEAR: Length = us::inches(2.0);

impl<'a> Resolver<'a> {
    pub(super) fn decks(
        &mut self,
        _stems: &Stems,
        obstacles: &[Obstacle],
        beams: &Drawn,
        criteria: Option<&Criteria>,
    ) -> Vec<Deck> {
        let layout = self.layout;
        layout
            .deck
            .iter()
            .filter_map(|deck| self.deck(deck, obstacles, beams, criteria))
            .collect()
    }

    fn deck(
        &mut self,
        deck: &'a layout::Deck,
        obstacles: &[Obstacle],
        beams: &Drawn,
        criteria: Option<&Criteria>,
    ) -> Option<Deck> {
        let layout = self.layout;
        let id = deck.id.as_str();
        if deck.outline.len() < 3 {
            self.error(
                Code::OutOfRange,
                deck.id.span,
                format!("deck {id} has no outline"),
                "give at least three corners, in order round it",
            );
            return None;
        }
        let mut carriers = Vec::new();
        let mut complete = true;
        for on in &deck.on {
            match beams.find(&on.value) {
                Some((beam, _)) => carriers.push(beam),
                None => {
                    complete = false;
                    if !layout.beam.iter().any(|beam| beam.id.value == on.value) {
                        self.unknown_id(
                            "beam",
                            on,
                            layout.beam.iter().map(|beam| beam.id.as_str()),
                        );
                    }
                }
            }
        }
        let outline: Vec<Point> = deck.outline.iter().map(point).collect();
        let joists = self.joists(deck, beams, carriers.first().copied());
        let (openings, stem_holes) = self.holes(deck, &outline, obstacles);
        let dead = self.area_load(
            deck,
            "dead",
            deck.dead.as_ref(),
            us::psf(10.0),
            "the prescriptive weight of a wood deck",
        );
        let live = self.area_load(
            deck,
            "live",
            deck.live.as_ref(),
            us::psf(60.0),
            "one and a half times that of a dwelling",
        );
        let snow = self.snow(deck, criteria);
        let joists = joists?;
        complete.then_some(Deck {
            id: id.to_owned(),
            beams: carriers,
            outline,
            openings,
            stem_holes,
            joists,
            dead,
            live,
            snow,
            concentrated: deck.concentrated.as_ref().map(|force| ***force),
            diaphragm: match deck.diaphragm.as_ref().map(|word| word.value) {
                Some(layout::Diaphragm::Flexible) => Diaphragm::Flexible,
                _ => Diaphragm::Rigid,
            },
        })
    }

    fn area_load(
        &mut self,
        deck: &layout::Deck,
        what: &str,
        given: Option<&layout::AreaLoad>,
        value: AreaLoad,
        why: &str,
    ) -> AreaLoad {
        given.map_or_else(
            || {
                let shown = print::<kind::AreaLoad>(value, Show::Us);
                let message = format!(
                    "deck {}: {what} load taken as {shown}, {why}",
                    deck.id.as_str()
                );
                self.assumed(
                    deck.id.span,
                    message,
                    format!("give {what} = the load your authority adopts"),
                );
                value
            },
            |given| ***given,
        )
    }

    fn joists(
        &mut self,
        deck: &'a layout::Deck,
        beams: &Drawn,
        first: Option<usize>,
    ) -> Option<Joists> {
        let keys = deck.joists.as_ref()?;
        let timber = self.timber(&timber::Keys {
            part: format!("the joists of deck {}", deck.id.as_str()),
            span: deck.id.span,
            size: keys.size.as_ref(),
            width: keys.width.as_ref(),
            depth: keys.depth.as_ref(),
            plies: 1,
            wood: keys.wood.as_ref(),
            grade: keys.grade.as_ref(),
            allowable: keys.allowable.as_ref(),
            modulus: keys.modulus.as_ref(),
        });
        let across = |beam: usize| {
            let beam = &beams.all()[beam];
            beam.start.bearing(beam.end) + si::degrees(90.0)
        };
        let run: Angle = match (&keys.run, first) {
            (Some(run), _) => run.value.0.0,
            (None, Some(beam)) => across(beam),
            (None, None) => return None,
        };
        let spacing = ***keys.spacing.as_ref()?;
        let set = match keys.set.as_ref().map(|set| set.value) {
            Some(layout::Set::Flush) => Crossing::Flush,
            _ => Crossing::OnTop,
        };
        Some(Joists {
            run,
            spacing,
            set,
            timber: timber?,
        })
    }

    /// Openings by outline, and round holes for every stem that stands in the deck.
    #[allow(clippy::type_complexity, reason = "two plain lists")]
    fn holes(
        &mut self,
        deck: &'a layout::Deck,
        outline: &[Point],
        obstacles: &[Obstacle],
    ) -> (Vec<Vec<Point>>, Vec<(Point, Length)>) {
        let layout = self.layout;
        let clear = deck
            .stem_clear
            .as_ref()
            .map_or(STEM_CLEAR, |clear| ***clear);
        let mut openings = Vec::new();
        let mut rooms: Vec<(&str, Length)> = Vec::new();
        for hole in &deck.holes {
            match (&hole.around, hole.outline.as_slice()) {
                (Some(around), []) => {
                    if obstacles.iter().any(|tree| tree.id == around.as_str()) {
                        rooms.push((
                            around.as_str(),
                            hole.clear.as_ref().map_or(clear, |clear| ***clear),
                        ));
                    } else if !layout.tree.iter().any(|tree| tree.id.value == around.value) {
                        self.unknown_id(
                            "tree",
                            around,
                            layout.tree.iter().map(|tree| tree.id.as_str()),
                        );
                    }
                }
                (None, corners @ [_, _, _, ..]) => {
                    openings.push(corners.iter().map(point).collect());
                }
                _ => {
                    let message = format!(
                        "a hole of deck {} is neither around a tree nor an outline",
                        deck.id.as_str()
                    );
                    self.error(
                        Code::Conflict,
                        deck.id.span,
                        message,
                        "give around = a tree's id, or an outline of three corners or more",
                    );
                }
            }
        }
        let inside = obstacles
            .iter()
            .filter(|tree| plan::inside(outline, tree.at));
        let round = inside.map(|tree| {
            let own = rooms
                .iter()
                .find(|(id, _)| *id == tree.id)
                .map_or(clear, |(_, clear)| *clear);
            (tree.at, tree.radius + own)
        });
        (openings, round.collect())
    }

    /// Snow on a deck: given, or from the ground snow of the site; of the level that the combinations expect.
    fn snow(&mut self, deck: &layout::Deck, criteria: Option<&Criteria>) -> AreaLoad {
        let site = self.layout.site.as_ref();
        let ground = site.and_then(|site| site.ground_snow.as_ref());
        if deck.snow.is_none() && ground.is_none() {
            return si::pascals(0.0);
        }
        let span = deck.snow.as_ref().or(ground).and_then(|snow| snow.span);
        let basis = site.and_then(|site| site.snow_basis.as_ref());
        self.snow_level(basis, span, criteria);
        if let Some(snow) = &deck.snow {
            return ***snow;
        }
        let ground = ground.map_or(si::pascals(0.0), |ground| ***ground);
        let basis = basis.map_or(SnowBasis::Asce722, |basis| basis.value);
        let (load, how) = self.snow_from_ground(ground, basis, span);
        let shown = print::<kind::AreaLoad>(load, Show::Us);
        let message = format!(
            "deck {}: snow {shown} from the ground snow, {how}; no drift",
            deck.id.as_str()
        );
        self.assumed(
            span,
            message,
            "give snow on the deck, or snow_exposure, snow_thermal and snow_importance of the site",
        );
        load
    }

    /// Snow on a deck under trees, in open air, of the ordinary risk category unless the site says otherwise; and how it came.
    fn snow_from_ground(
        &mut self,
        ground: AreaLoad,
        basis: SnowBasis,
        span: Option<Span>,
    ) -> (AreaLoad, String) {
        let site = self.layout.site.as_ref();
        let given = |key: fn(&layout::Site) -> &Option<layout::Number>| {
            site.and_then(|site| key(site).as_ref())
                .map(|number| number.value)
        };
        let [exposure, thermal, importance] = [
            given(|site| &site.snow_exposure),
            given(|site| &site.snow_thermal),
            given(|site| &site.snow_importance),
        ];
        let (flat, ce, ct, least) = match basis {
            SnowBasis::Asce722 => (
                "flat-7-22",
                "ce-b-sheltered",
                "ct-open",
                "minimum-ground-7-22",
            ),
            SnowBasis::Asce716 => ("flat-7-16", "ce-b-sheltered", "ct-open", "minimum-ground"),
            SnowBasis::En1991 => ("mu1-flat", "en-ce-sheltered", "en-ct", ""),
        };
        let flat = self.snow_factor(flat, span);
        let exposure = exposure.unwrap_or_else(|| self.snow_factor(ce, span));
        let thermal = thermal.unwrap_or_else(|| self.snow_factor(ct, span));
        if basis == SnowBasis::En1991 {
            let load = snow::surface_snow(ground, flat, exposure, thermal);
            return (
                self.snow_load(load, span),
                format!("mu {flat} × Ce {exposure} × Ct {thermal}"),
            );
        }
        // The map of 7-22 holds the risk category itself.
        let importance = match basis {
            SnowBasis::Asce716 => importance.unwrap_or_else(|| self.snow_factor("is-2", span)),
            _ => 1.0,
        };
        let factors = snow::FlatSnow {
            flat,
            exposure,
            thermal,
            importance,
        };
        let most = tables::snow_factor(least)
            .ok()
            .and_then(tables::Factor::area_load);
        let most = most.unwrap_or_else(|| si::pascals(f64::NAN));
        let load = snow::flat_snow(ground, factors)
            .and_then(|flat| Ok(flat.max(snow::least_snow(ground, importance, most)?)));
        (
            self.snow_load(load, span),
            format!(
                "{flat} × Ce {exposure} × Ct {thermal} × Is {importance}, not below the least load"
            ),
        )
    }

    /// A snow load, or why there is none.
    fn snow_load(
        &mut self,
        load: Result<AreaLoad, MechanicsError>,
        span: Option<Span>,
    ) -> AreaLoad {
        load.unwrap_or_else(|error| {
            self.error(
                Code::SnowLevel,
                span,
                error.to_string(),
                "give snow on the deck itself",
            );
            si::pascals(0.0)
        })
    }

    /// A factor of the snow table; without it the layout does not resolve.
    fn snow_factor(&mut self, id: &str, span: Option<Span>) -> f64 {
        let found = tables::snow_factor(id)
            .ok()
            .and_then(tables::Factor::number);
        found.unwrap_or_else(|| {
            let message = format!("the tables have no snow factor {id}");
            self.error(
                Code::SnowLevel,
                span,
                message,
                "give snow on the deck itself",
            );
            f64::NAN
        })
    }

    /// Snow is of the level that the combinations expect.
    pub(super) fn snow_level(
        &mut self,
        basis: Option<&At<SnowBasis>>,
        span: Option<Span>,
        criteria: Option<&Criteria>,
    ) {
        let Some(basis) = basis else {
            let mend = "add to [site]: snow_basis = \"asce7-22\" (map of strength-level loads), \"asce7-16\" (nominal loads) or \"en1991\" (characteristic loads)";
            return self.error(
                Code::SnowLevel,
                span,
                "snow is given, and its level is not said",
                mend,
            );
        };
        let level = match basis.value {
            SnowBasis::Asce722 => SnowLevel::Strength,
            SnowBasis::Asce716 => SnowLevel::Nominal,
            SnowBasis::En1991 => SnowLevel::Characteristic,
        };
        let expected = criteria
            .into_iter()
            .flat_map(|criteria| &criteria.combinations)
            .find_map(|row| row.snow_level);
        if expected.is_some_and(|expected| expected != level) {
            let message = "the snow load is of another level than the combinations expect";
            self.error(
                Code::SnowLevel,
                basis.span,
                message,
                "use combinations and snow of one edition of one standard",
            );
        }
    }
}
