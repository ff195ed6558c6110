//! A deck taken apart: joists cut by its outline and its holes, what each carries, and what each asks of its beams.
//!
//! Joists lie at the spacing from one edge of the outline, and one at the other edge. Boards carry loads halfway to
//! the next joist that passes there. A joist cut by a hole rests on a header between the joists beside the hole; that header carries
//! to them as a simple beam. Every joist is a continuous line on the beams it crosses.

mod region;

use super::line::{Line, LineError};
use super::span::SpanLoad;
use crate::model::plan::unit;
use crate::model::{Beam, Case, Deck, Load, LoadPlace, Magnitudes, Point};
use crate::units::Length;
use crate::units::si::metres;
use nalgebra::DMatrix;
use region::{Ramp, Region};
use std::collections::BTreeMap;

/// Places closer than this along a joist or a beam are one place (m): a tenth of a millimetre.
const SAME_PLACE: f64 = 1e-4;
/// Ends of joists closer than this part an area no further (m): what a strip as thin as that carries is rounding.
const SAME_END: f64 = 1e-9;
/// Line loads are spread in pieces no longer than this (m).
const LINE_STEP: f64 = 0.25;

/// Why a deck can not be taken apart.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DeckError {
    /// An outline crosses itself.
    #[error("deck {deck}: an outline crosses itself; give its corners in order round it")]
    Crossed {
        /// The deck.
        deck: String,
    },
    /// A hole reaches beyond the outline or into another hole.
    #[error(
        "deck {deck}: a hole reaches beyond the outline or into another hole; draw it within, or draw the two as one"
    )]
    StrayHole {
        /// The deck.
        deck: String,
    },
    /// The area of a load crosses itself.
    #[error("load {load}: its area crosses itself; give its corners in order round it")]
    CrossedLoad {
        /// The load.
        load: String,
    },
    /// A joist rests on fewer than two things.
    #[error(
        "deck {deck}: the joist at ({:.2} m, {:.2} m) has {supports} support, not two; \
         reach a second beam with it, or name one more beam of the deck in `on`",
        .at[0], .at[1]
    )]
    Unsupported {
        /// The deck.
        deck: String,
        /// The middle of the joist in plan (m).
        at: [f64; 2],
        /// How many supports it has.
        supports: usize,
    },
    /// A header has no joist beside the hole to rest on.
    #[error(
        "deck {deck}: at the hole near ({:.2} m, {:.2} m) no whole joist passes on both sides to carry the header; \
         move the hole from the edge or the joists closer",
        .at[0], .at[1]
    )]
    NoTrimmer {
        /// The deck.
        deck: String,
        /// Where the header would stand in plan (m).
        at: [f64; 2],
    },
    /// A load acts where there is no joist.
    #[error("load {load} acts off the deck, at ({:.2} m, {:.2} m); move it onto the deck or onto a beam", .at[0], .at[1])]
    LoadOffDeck {
        /// The load.
        load: String,
        /// Where in plan (m).
        at: [f64; 2],
    },
    /// There are more joists than any platform has.
    #[error(
        "deck {deck}: {joists:.0} joists are more than the {MOST_JOISTS} that can be analysed; check its size and spacing"
    )]
    TooMany {
        /// The deck.
        deck: String,
        /// How many joists there would be.
        joists: f64,
    },
    /// A joist line can not be worked out.
    #[error("deck {deck}: {error}")]
    Line {
        /// The deck.
        deck: String,
        /// Why.
        error: LineError,
    },
}

/// The most joists of one deck.
pub const MOST_JOISTS: usize = 5_000;

/// A load in one column: the first columns are the cases, as far as they are always whole; each further one is a part
/// of the live load that may be there or not.
pub(super) type Column = usize;

/// The first column that is not a case.
pub(super) const FIRST_PART: Column = Case::ALL.len();

/// Amounts by column.
type Amounts = Vec<(Column, f64)>;

/// How a part of the live load meets the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// There or not.
    OnOff,
    /// A place of the load that may stand anywhere: at one of these at most.
    Anywhere,
    /// Wind that lifts, in place of wind that presses.
    Uplift,
}

/// The parts of the live load.
#[derive(Debug, Default)]
struct Columns {
    parts: Vec<Part>,
    /// Those of the boards, by piece of joist and bay.
    boards: BTreeMap<(usize, usize), Column>,
}

impl Columns {
    fn part(&mut self, part: Part) -> Column {
        self.parts.push(part);
        FIRST_PART + self.parts.len() - 1
    }

    fn of_board(&mut self, piece: usize, bay: usize) -> Column {
        match self.boards.get(&(piece, bay)) {
            Some(column) => *column,
            None => {
                let column = self.part(Part::OnOff);
                self.boards.insert((piece, bay), column);
                column
            }
        }
    }
}

/// Amounts by column, the live one in a column of its own.
fn amounts(magnitudes: &Magnitudes, live: Column) -> Amounts {
    let place = |case: usize| {
        if case == Case::Live as usize {
            live
        } else {
            case
        }
    };
    let cases = magnitudes.iter().enumerate();
    cases
        .filter(|(_, amount)| **amount != 0.0)
        .map(|(case, amount)| (place(case), *amount))
        .collect()
}

/// What one joist asks of the beams under it.
#[derive(Debug, Clone)]
pub(super) struct JoistLine {
    /// Beam and station (m) of each support, in order.
    pub(super) seats: Vec<(usize, f64)>,
    /// Stiffness on the seats' upward displacements; none for a joist on two supports.
    pub(super) stiffness: Option<DMatrix<f64>>,
    /// Upward force on each seat, by column (N).
    pub(super) forces: Vec<Amounts>,
    /// The piece itself, for what happens along it.
    pub(super) piece: SolvedPiece,
    /// The stick itself.
    pub(super) stick: JoistPiece,
}

/// A piece of joist or a header by itself: its line, its supports and what loads it.
#[derive(Debug, Clone)]
pub(super) struct SolvedPiece {
    pub(super) line: Line,
    /// Where it begins and ends.
    pub(super) ends: [f64; 2],
    /// Place of each support, and the seat it is; none for a header or a hanger.
    pub(super) places: Vec<(f64, Option<usize>)>,
    /// Loads along it by column, positive up.
    pub(super) loads: Vec<(Column, SpanLoad)>,
    /// Its middle in plan (m).
    pub(super) at: [f64; 2],
}

/// A stick of joist as it is cut and laid.
#[derive(Debug, Clone, PartialEq)]
pub struct JoistPiece {
    /// Its ends in plan.
    pub ends: [Point; 2],
    /// Its length.
    pub length: Length,
    /// From the first joist of the deck, centre to centre across the joists.
    pub offset: Length,
    /// Whether each end is cut at a hole.
    pub cut: [bool; 2],
    /// Where it crosses beams.
    pub seats: Vec<JoistSeat>,
}

/// Where a joist crosses a beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JoistSeat {
    /// The beam, by its place in the platform.
    pub beam: usize,
    /// Distance from the joist's first end.
    pub along: Length,
    /// Distance from the beam's first end.
    pub station: Length,
}

/// A header between two joists, at a hole.
#[derive(Debug, Clone, PartialEq)]
pub struct Header {
    /// Its ends in plan, on the centre lines of the joists that carry it.
    pub ends: [Point; 2],
    /// Its length between the faces of those joists.
    pub length: Length,
}

/// The sticks of a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct Framing {
    /// The joists, in order across the deck.
    pub joists: Vec<JoistPiece>,
    /// The headers.
    pub headers: Vec<Header>,
}

/// The joists and headers of a deck, as the analysis takes them.
///
/// # Errors
/// A deck that can not be taken apart.
pub fn framing(deck: &Deck, beams: &[Beam]) -> Result<Framing, DeckError> {
    let parts = take_apart(deck, beams, &[])?;
    let mut joists: Vec<JoistPiece> = parts.joists.into_iter().map(|joist| joist.stick).collect();
    let first = |joist: &JoistPiece| (joist.offset.value, joist.ends[0].metres());
    joists.sort_by(|a, b| {
        let ((own, [x, y]), (other, [u, v])) = (first(a), first(b));
        let place = own.total_cmp(&other);
        place.then(x.total_cmp(&u)).then(y.total_cmp(&v))
    });
    Ok(Framing {
        joists,
        headers: parts.sticks,
    })
}

/// A deck taken apart.
#[derive(Debug, Clone)]
pub(super) struct DeckParts {
    pub(super) joists: Vec<JoistLine>,
    pub(super) headers: Vec<SolvedPiece>,
    /// The same headers as sticks.
    pub(super) sticks: Vec<Header>,
    /// The parts of the live load, from [`FIRST_PART`].
    pub(super) parts: Vec<Part>,
    /// Centre of the loaded area in plan (m).
    pub(super) centre: [f64; 2],
    /// Loaded area (m²).
    pub(super) area: f64,
    /// Total load by case, joists included (N, down).
    pub(super) total: Magnitudes,
}

/// A piece of joist between two cuts.
#[derive(Debug, Clone)]
struct Piece {
    y: f64,
    from: f64,
    to: f64,
    /// Place along the joist, beam, station.
    seats: Vec<(f64, usize, f64)>,
    /// Ends that are cut by a hole.
    cut: [bool; 2],
    loads: Vec<(Column, SpanLoad)>,
}

struct Frame2 {
    origin: [f64; 2],
    along: [f64; 2],
}

impl Frame2 {
    fn local(&self, point: Point) -> [f64; 2] {
        let [e, n] = point.metres();
        let (dx, dy) = (e - self.origin[0], n - self.origin[1]);
        [
            dx * self.along[0] + dy * self.along[1],
            dx * self.along[1] - dy * self.along[0],
        ]
    }

    fn plan(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [a, b] = self.along;
        [
            self.origin[0] + x * a + y * b,
            self.origin[1] + x * b - y * a,
        ]
    }

    fn point(&self, place: [f64; 2]) -> Point {
        let [east, north] = self.plan(place);
        Point::new(metres(east), metres(north))
    }
}

/// Where the pieces of joist of a deck lie in plan, each from end to end, cut by its outline and its holes.
///
/// # Errors
/// An outline that crosses itself, a hole that strays, more joists than any platform has.
pub fn joist_lines(deck: &Deck, beams: &[Beam]) -> Result<Vec<[Point; 2]>, DeckError> {
    let (axes, _, loaded) = laid_out(deck)?;
    let point = |at: [f64; 2]| {
        let [east, north] = axes.plan(at).map(metres);
        Point::new(east, north)
    };
    let pieces = cut(deck, beams, &axes, &loaded)?;
    Ok(pieces
        .iter()
        .map(|piece| [piece.from, piece.to].map(|x| point([x, piece.y])))
        .collect())
}

/// The axes along and across the joists, the outline in them, and the same with the openings.
fn laid_out(deck: &Deck) -> Result<(Frame2, Region, Region), DeckError> {
    let axes = Frame2 {
        origin: deck.outline[0].metres(),
        along: unit(deck.joists.run),
    };
    let ring = |points: &[Point]| {
        points
            .iter()
            .map(|point| axes.local(*point))
            .collect::<Vec<_>>()
    };
    let outline = Region(vec![ring(&deck.outline)]);
    let mut loaded = outline.clone();
    loaded
        .0
        .extend(deck.openings.iter().map(|opening| ring(opening)));
    if loaded.crosses_itself() {
        return Err(DeckError::Crossed {
            deck: deck.id.clone(),
        });
    }
    if loaded.openings_stray() {
        return Err(DeckError::StrayHole {
            deck: deck.id.clone(),
        });
    }
    Ok((axes, outline, loaded))
}

/// Takes a deck apart.
pub(super) fn take_apart(
    deck: &Deck,
    beams: &[Beam],
    loads: &[&Load],
) -> Result<DeckParts, DeckError> {
    let (axes, outline, loaded) = laid_out(deck)?;
    let mut pieces = cut(deck, beams, &axes, &loaded)?;
    let mut total = [0.0; Case::ALL.len()];
    let areas = Areas {
        deck,
        axes: &axes,
        loaded: &loaded,
        outline: &outline,
    };
    let mut columns = Columns::default();
    areas.spread(&mut pieces, loads, &mut columns, &mut total)?;
    if let Some(force) = deck.concentrated {
        anywhere(&mut pieces, force.value, &mut columns);
    }
    let (joists, headers) = carry(deck, &axes, pieces, &mut total)?;
    Ok(DeckParts {
        joists,
        sticks: headers
            .iter()
            .map(|header| header.stick(deck, &axes))
            .collect(),
        headers: headers
            .into_iter()
            .map(|header| header.solve(deck, &axes))
            .collect::<Result<_, _>>()?,
        parts: columns.parts,
        centre: axes.plan(loaded.centroid()),
        area: loaded.area(),
        total,
    })
}

/// Places along each bay of a joist where a load that may stand anywhere is tried.
const PLACES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// A load that may stand anywhere is worst on a joist: boards only share it between two.
fn anywhere(pieces: &mut [Piece], force: f64, columns: &mut Columns) {
    for piece in pieces {
        let bays = piece.bays();
        for [from, to] in bays {
            for share in PLACES {
                let x = from + share * (to - from);
                let column = columns.part(Part::Anywhere);
                piece.add(column, SpanLoad::Point { x, force: -force });
            }
        }
    }
}

/// Offsets of the joists from the lowest y: one just inside each edge, the others at the spacing.
fn offsets(deck: &Deck, [low, high]: [f64; 2]) -> Result<Vec<f64>, DeckError> {
    let (spacing, half) = (
        deck.joists.spacing.value,
        deck.joists.timber.width.value / 2.0,
    );
    let count = (high - low) / spacing;
    if !(count.is_finite() && count < MOST_JOISTS as f64) {
        return Err(DeckError::TooMany {
            deck: deck.id.clone(),
            joists: count,
        });
    }
    let inner = (1..)
        .map(|k| low + spacing * f64::from(k))
        .take_while(|y| high - y > spacing.min(4.0 * half) / 2.0);
    Ok(std::iter::once(low + half)
        .chain(inner)
        .chain(std::iter::once(high - half))
        .collect())
}

fn cut(
    deck: &Deck,
    beams: &[Beam],
    axes: &Frame2,
    loaded: &Region,
) -> Result<Vec<Piece>, DeckError> {
    let mut holes = loaded.clone();
    // A stem's round hole is framed square to the joists.
    let boxes: Vec<([f64; 2], f64)> = deck
        .stem_holes
        .iter()
        .map(|(centre, radius)| (axes.local(*centre), radius.value))
        .collect();
    holes.0.retain(|ring| ring.len() > 2);
    let mut pieces = Vec::new();
    for y in offsets(deck, loaded.bounds().1)? {
        let mut intervals = holes.along(y);
        for ([x, centre], radius) in &boxes {
            if (y - centre).abs() < *radius {
                intervals = intervals
                    .iter()
                    .flat_map(|part| without(*part, [x - radius, x + radius]))
                    .collect();
            }
        }
        let ends = loaded
            .0
            .first()
            .map(|ring| Region(vec![ring.clone()]).along(y))
            .unwrap_or_default();
        let outer = |x: f64| {
            ends.iter()
                .flatten()
                .any(|end| (end - x).abs() < SAME_PLACE)
        };
        for [from, to] in intervals
            .into_iter()
            .filter(|[from, to]| to - from > SAME_PLACE)
        {
            let mut piece = Piece {
                y,
                from,
                to,
                seats: Vec::new(),
                cut: [!outer(from), !outer(to)],
                loads: Vec::new(),
            };
            for &index in &deck.beams {
                piece.seat(index, &beams[index], axes);
            }
            piece.seats.sort_by(|a, b| a.0.total_cmp(&b.0));
            piece.seats.dedup_by(|a, b| (a.0 - b.0).abs() < SAME_PLACE);
            pieces.push(piece);
        }
    }
    Ok(pieces)
}

fn without([from, to]: [f64; 2], [low, high]: [f64; 2]) -> Vec<[f64; 2]> {
    [[from, to.min(low)], [from.max(high), to]]
        .into_iter()
        .filter(|[a, b]| b > a)
        .collect()
}

impl Piece {
    /// Finds where this piece crosses a beam; an edge beam may stand out by half its width.
    fn seat(&mut self, index: usize, beam: &Beam, axes: &Frame2) {
        let (a, b) = (axes.local(beam.start), axes.local(beam.end));
        let rise = b[1] - a[1];
        if rise.abs() < SAME_PLACE {
            return;
        }
        let reach = beam.timber.width.value / 2.0 + SAME_PLACE;
        let share = (self.y - a[1]) / rise;
        let x = a[0] + share * (b[0] - a[0]);
        let length = beam.length().value;
        let station = share * length;
        let on_beam = (-reach..=length + reach).contains(&station);
        if on_beam && (self.from - reach..=self.to + reach).contains(&x) {
            (self.from, self.to) = (self.from.min(x), self.to.max(x));
            self.seats.push((x, index, station.clamp(0.0, length)));
        }
    }

    fn add(&mut self, column: Column, load: SpanLoad) {
        self.loads.push((column, load));
    }

    /// The stick itself; `first` is the place of the first joist across the deck.
    fn stick(&self, axes: &Frame2, first: f64) -> JoistPiece {
        let seats = self.seats.iter().map(|(x, beam, station)| JoistSeat {
            beam: *beam,
            along: metres(x - self.from),
            station: metres(*station),
        });
        JoistPiece {
            ends: [self.from, self.to].map(|x| axes.point([x, self.y])),
            length: metres(self.to - self.from),
            offset: metres(self.y - first),
            cut: self.cut,
            seats: seats.collect(),
        }
    }

    /// Its parts between seats, and beyond the first and the last.
    fn bays(&self) -> Vec<[f64; 2]> {
        let within = |x: &f64| *x - self.from > SAME_PLACE && self.to - *x > SAME_PLACE;
        let mut places = vec![self.from];
        places.extend(self.seats.iter().map(|(x, ..)| *x).filter(within));
        places.push(self.to);
        places.windows(2).map(|pair| [pair[0], pair[1]]).collect()
    }

    /// Whether it passes a place along the joists.
    fn passes(&self, x: f64) -> bool {
        (self.from..=self.to).contains(&x)
    }

    /// A ramp of width times a pressure (Pa).
    fn ramp(&mut self, width: &Ramp, column: Column, pressure: f64) {
        let load = SpanLoad::Ramp {
            from: width.from.max(self.from),
            to: width.to.min(self.to),
            start: -pressure * width.start,
            end: -pressure * width.end,
        };
        self.add(column, load);
    }

    /// Forces down at a place (N).
    fn point(&mut self, amounts: &[(Column, f64)], x: f64, share: f64) {
        let x = x.clamp(self.from, self.to);
        for (column, force) in amounts {
            let force = -force * share;
            self.add(*column, SpanLoad::Point { x, force });
        }
    }
}

/// A load per area (Pa): what has columns already, and the live load of boards, which has one for each bay.
struct Pressure {
    fixed: Amounts,
    live: f64,
}

impl Pressure {
    /// Puts it on a width of a piece.
    fn lay(&self, pieces: &mut [Piece], index: usize, width: &Ramp, columns: &mut Columns) {
        let piece = &mut pieces[index];
        for (column, pressure) in &self.fixed {
            piece.ramp(width, *column, *pressure);
        }
        if self.live == 0.0 {
            return;
        }
        for (bay, [from, to]) in piece.bays().into_iter().enumerate() {
            if let Some(part) = width.clip(from, to) {
                piece.ramp(&part, columns.of_board(index, bay), self.live);
            }
        }
    }

    /// Puts it on the nearest end of a piece.
    fn pile(&self, pieces: &mut [Piece], index: usize, [area, x]: [f64; 2], columns: &mut Columns) {
        let piece = &mut pieces[index];
        let mut all = self.fixed.clone();
        if self.live != 0.0 {
            let bay = if x > f64::midpoint(piece.from, piece.to) {
                piece.bays().len().saturating_sub(1)
            } else {
                0
            };
            all.push((columns.of_board(index, bay), self.live));
        }
        let forces: Amounts = all.iter().map(|(column, p)| (*column, p * area)).collect();
        piece.point(&forces, x, 1.0);
    }
}

struct Areas<'a> {
    deck: &'a Deck,
    axes: &'a Frame2,
    loaded: &'a Region,
    outline: &'a Region,
}

impl Areas<'_> {
    /// Puts every load on the joists and adds it to the total.
    fn spread(
        &self,
        pieces: &mut [Piece],
        loads: &[&Load],
        columns: &mut Columns,
        total: &mut Magnitudes,
    ) -> Result<(), DeckError> {
        let deck = self.deck;
        let mut pressure = [0.0; Case::ALL.len()];
        pressure[Case::Dead as usize] = deck.dead.value;
        pressure[Case::Snow as usize] = deck.snow.value;
        let boards = Pressure {
            fixed: amounts(&pressure, FIRST_PART),
            live: deck.live.value,
        };
        pressure[Case::Live as usize] = deck.live.value;
        sum(total, &pressure, self.loaded.area());
        Self::area(pieces, self.loaded, &boards, columns);
        self.weight(pieces, total);
        for load in loads {
            let live = columns.part(Part::OnOff);
            let mut all = amounts(&load.magnitudes, live);
            if load.uplift > 0.0 {
                let up = -load.uplift - load.magnitudes[Case::Wind as usize];
                all.push((columns.part(Part::Uplift), up));
            }
            match &load.place {
                LoadPlace::Area(corners) => {
                    let ring: Vec<_> = corners
                        .iter()
                        .map(|corner| self.axes.local(*corner))
                        .collect();
                    if let Some(corner) = ring.iter().find(|corner| !self.near_outline(**corner)) {
                        return Err(self.off(load, *corner));
                    }
                    let region = Region(vec![ring]);
                    if region.crosses_itself() {
                        return Err(DeckError::CrossedLoad {
                            load: load.id.clone(),
                        });
                    }
                    sum(total, &load.magnitudes, region.area());
                    let pressure = Pressure {
                        fixed: all,
                        live: 0.0,
                    };
                    Self::area(pieces, &region, &pressure, columns);
                }
                LoadPlace::Point(point) => {
                    sum(total, &load.magnitudes, 1.0);
                    self.point(pieces, load, self.axes.local(*point), &all)?;
                }
                LoadPlace::Line(a, b) => {
                    sum(total, &load.magnitudes, a.distance(*b).value);
                    self.line(pieces, load, [*a, *b], &all)?;
                }
                LoadPlace::Anchor(_) | LoadPlace::Beam { .. } => {}
            }
        }
        Ok(())
    }

    fn off(&self, load: &Load, place: [f64; 2]) -> DeckError {
        DeckError::LoadOffDeck {
            load: load.id.clone(),
            at: self.axes.plan(place),
        }
    }

    /// Whether a point is inside the outline or within a joist's width of it.
    fn near_outline(&self, [x, y]: [f64; 2]) -> bool {
        let reach = self.deck.joists.timber.width.value.max(0.02);
        [
            [0.0, 0.0],
            [reach, 0.0],
            [-reach, 0.0],
            [0.0, reach],
            [0.0, -reach],
        ]
        .iter()
        .any(|[dx, dy]| self.outline.holds([x + dx, y + dy]))
    }

    fn weight(&self, pieces: &mut [Piece], total: &mut Magnitudes) {
        let weight = self.deck.joists.timber.line_weight().value;
        for piece in pieces.iter_mut().filter(|_| weight > 0.0) {
            let (from, to) = (piece.from, piece.to);
            piece.add(
                Case::Dead as usize,
                SpanLoad::Ramp {
                    from,
                    to,
                    start: -weight,
                    end: -weight,
                },
            );
            total[Case::Dead as usize] += weight * (to - from);
        }
    }

    /// A load per area (Pa): every place loads the nearest joist that passes there.
    fn area(pieces: &mut [Piece], region: &Region, pressure: &Pressure, columns: &mut Columns) {
        let ([least, most], _) = region.bounds();
        let mut cuts: Vec<f64> = pieces.iter().flat_map(|p| [p.from, p.to]).collect();
        cuts.retain(|x| (least..=most).contains(x));
        cuts.extend([least, most]);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| (*a - *b).abs() < SAME_END);
        let mut order: Vec<usize> = (0..pieces.len()).collect();
        order.sort_by(|a, b| pieces[*a].y.total_cmp(&pieces[*b].y));
        for place in 0..order.len() {
            for ([from, to], band) in strips(pieces, &order, place, &cuts) {
                for part in region
                    .widths(band)
                    .iter()
                    .filter_map(|ramp| ramp.clip(from, to))
                {
                    pressure.lay(pieces, order[place], &part, columns);
                }
            }
        }
        let bare = cuts.windows(2).filter(|pair| {
            let x = f64::midpoint(pair[0], pair[1]);
            !pieces.iter().any(|piece| piece.passes(x))
        });
        for pair in bare.map(|pair| [pair[0], pair[1]]).collect::<Vec<_>>() {
            beyond(pieces, &order, region, pair, pressure, columns);
        }
    }

    fn line(
        &self,
        pieces: &mut [Piece],
        load: &Load,
        ends: [Point; 2],
        amounts: &[(Column, f64)],
    ) -> Result<(), DeckError> {
        let [a, b] = ends.map(|end| self.axes.local(end));
        let length = (b[0] - a[0]).hypot(b[1] - a[1]);
        let mut cuts: Vec<f64> = pieces
            .iter()
            .map(|piece| (piece.y - a[1]) / (b[1] - a[1]))
            .collect();
        let steps = (length / LINE_STEP).ceil().clamp(1.0, 10_000.0);
        cuts.extend(
            (0_u32..)
                .map(|k| f64::from(k) / steps)
                .take_while(|share| *share <= 1.0),
        );
        cuts.retain(|share| (0.0..=1.0).contains(share));
        cuts.sort_by(f64::total_cmp);
        // Two Gauss places of each piece carry its resultant exactly, wherever it acts between two joists.
        let gauss = 0.5 / 3.0_f64.sqrt();
        for pair in cuts.windows(2).filter(|pair| pair[1] > pair[0]) {
            let half: Amounts = amounts
                .iter()
                .map(|(column, per_length)| {
                    (*column, per_length * length * (pair[1] - pair[0]) / 2.0)
                })
                .collect();
            for place in [0.5 - gauss, 0.5 + gauss] {
                let share = pair[0] + place * (pair[1] - pair[0]);
                self.point(
                    pieces,
                    load,
                    [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])],
                    &half,
                )?;
            }
        }
        Ok(())
    }

    /// A force on the boards goes to the joists on both sides by the lever rule.
    fn point(
        &self,
        pieces: &mut [Piece],
        load: &Load,
        [x, y]: [f64; 2],
        amounts: &[(Column, f64)],
    ) -> Result<(), DeckError> {
        if !self.near_outline([x, y]) {
            return Err(self.off(load, [x, y]));
        }
        let covers = |piece: &Piece| (piece.from - SAME_PLACE..=piece.to + SAME_PLACE).contains(&x);
        let nearest = |above: bool| {
            (0..pieces.len())
                .filter(|k| covers(&pieces[*k]) && (pieces[*k].y >= y) == above)
                .min_by(|a, b| {
                    (pieces[*a].y - y)
                        .abs()
                        .total_cmp(&(pieces[*b].y - y).abs())
                })
        };
        match (nearest(false), nearest(true)) {
            (Some(below), Some(above)) => {
                let share = (y - pieces[below].y) / (pieces[above].y - pieces[below].y);
                pieces[below].point(amounts, x, 1.0 - share);
                pieces[above].point(amounts, x, share);
            }
            (Some(only), None) | (None, Some(only)) => pieces[only].point(amounts, x, 1.0),
            (None, None) => return Err(self.off(load, [x, y])),
        }
        Ok(())
    }
}

/// Where along a joist which band of y is nearer to it than to any other joist that passes there.
fn strips(
    pieces: &[Piece],
    order: &[usize],
    place: usize,
    cuts: &[f64],
) -> Vec<([f64; 2], [f64; 2])> {
    let own = &pieces[order[place]];
    let mut strips: Vec<([f64; 2], [f64; 2])> = Vec::new();
    for pair in cuts.windows(2) {
        let x = f64::midpoint(pair[0], pair[1]);
        if !own.passes(x) {
            continue;
        }
        let halfway = |other: &usize| {
            let other = &pieces[*other];
            other.passes(x).then(|| f64::midpoint(other.y, own.y))
        };
        let low = order[..place].iter().rev().find_map(halfway);
        let high = order[place + 1..].iter().find_map(halfway);
        let band = [
            low.unwrap_or(f64::NEG_INFINITY),
            high.unwrap_or(f64::INFINITY),
        ];
        match strips.last_mut() {
            Some(([_, to], same))
                if *to >= pair[0] && same.map(f64::to_bits) == band.map(f64::to_bits) =>
            {
                *to = pair[1];
            }
            _ => strips.push(([pair[0], pair[1]], band)),
        }
    }
    strips
}

/// Loads on boards past the ends of all joists go to the ends that are nearest along them.
fn beyond(
    pieces: &mut [Piece],
    order: &[usize],
    region: &Region,
    [from, to]: [f64; 2],
    pressure: &Pressure,
    columns: &mut Columns,
) {
    let x = f64::midpoint(from, to);
    let gap = |k: usize| (pieces[k].from - x).max(x - pieces[k].to);
    let least = order.iter().map(|k| gap(*k)).fold(f64::INFINITY, f64::min);
    let rows: Vec<usize> = order
        .iter()
        .copied()
        .filter(|k| gap(*k) - least < SAME_PLACE)
        .collect();
    for (i, k) in rows.iter().enumerate() {
        let halfway = |other: &usize| f64::midpoint(pieces[*other].y, pieces[*k].y);
        let low = i.checked_sub(1).and_then(|i| rows.get(i)).map(halfway);
        let high = rows.get(i + 1).map(halfway);
        let band = [
            low.unwrap_or(f64::NEG_INFINITY),
            high.unwrap_or(f64::INFINITY),
        ];
        for part in region
            .widths(band)
            .iter()
            .filter_map(|ramp| ramp.clip(from, to))
        {
            let (area, x) = part.resultant();
            pressure.pile(pieces, *k, [area, x], columns);
        }
    }
}

/// Works every joist out, those that rest on headers first, since they load their neighbours.
fn carry(
    deck: &Deck,
    axes: &Frame2,
    mut pieces: Vec<Piece>,
    total: &mut Magnitudes,
) -> Result<(Vec<JoistLine>, Vec<Across>), DeckError> {
    let first = pieces
        .iter()
        .map(|piece| piece.y)
        .fold(f64::INFINITY, f64::min);
    let mut waiting: Vec<usize> = (0..pieces.len()).collect();
    // Tails first; a trimmer that is a tail itself waits for those that rest on it.
    waiting.sort_by_key(|k| pieces[*k].seats.len() >= 2);
    let mut joists = Vec::new();
    let mut headers: Vec<Across> = Vec::new();
    while !waiting.is_empty() {
        let rests_on = |k: usize, pieces: &[Piece]| {
            tail_ends(&pieces[k])
                .iter()
                .filter_map(|x| trimmers(pieces, k, *x))
                .collect::<Vec<_>>()
        };
        let ready = waiting.iter().position(|k| {
            !waiting.iter().any(|other| {
                other != k
                    && pieces[*other].seats.len() < 2
                    && rests_on(*other, &pieces)
                        .iter()
                        .any(|pair| pair.contains(k))
            })
        });
        let k = waiting.remove(ready.unwrap_or(0));
        let tail = pieces[k].clone();
        let ends = tail_ends(&tail);
        let at = axes.plan([f64::midpoint(tail.from, tail.to), tail.y]);
        if tail.seats.len() + ends.len() < 2 || (ready.is_none() && !ends.is_empty()) {
            return Err(DeckError::Unsupported {
                deck: deck.id.clone(),
                at,
                supports: tail.seats.len(),
            });
        }
        let mut places: Vec<(f64, Option<usize>)> = tail
            .seats
            .iter()
            .enumerate()
            .map(|(seat, (x, ..))| (*x, Some(seat)))
            .collect();
        places.extend(ends.iter().map(|x| (*x, None)));
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (line, forces) = solve(deck, &tail, &places)?;
        for ((x, seat), upward) in places.iter().zip(&forces) {
            if seat.is_none() {
                let pair = trimmers(&pieces, k, *x).ok_or_else(|| DeckError::NoTrimmer {
                    deck: deck.id.clone(),
                    at: axes.plan([*x, tail.y]),
                })?;
                let down: Amounts = upward
                    .iter()
                    .map(|(column, force)| (*column, -force))
                    .collect();
                rest_on(&mut pieces, pair, tail.y, *x, &down);
                let known = |other: &Across| other.pair == pair && (other.x - x).abs() < SAME_PLACE;
                if !headers.iter().any(known) {
                    headers.push(Across::new(deck, &pieces, pair, *x));
                    header_weight(deck, &mut pieces, pair, *x, total);
                }
                for header in headers.iter_mut().filter(|other| known(other)) {
                    header.rest(tail.y, upward);
                }
            }
        }
        let on_beams: Vec<usize> = (0..places.len())
            .filter(|p| places[*p].1.is_some())
            .collect();
        joists.push(JoistLine {
            seats: tail
                .seats
                .iter()
                .map(|(_, beam, station)| (*beam, *station))
                .collect(),
            stiffness: (places.len() > 2).then(|| line.stiffness()),
            forces: on_beams.iter().map(|p| forces[*p].clone()).collect(),
            stick: tail.stick(axes, first),
            piece: SolvedPiece {
                line,
                ends: [tail.from, tail.to],
                places,
                loads: tail.loads,
                at,
            },
        });
    }
    Ok((joists, headers))
}

/// A header across the ends of cut joists, between two whole ones.
struct Across {
    pair: [usize; 2],
    x: f64,
    /// The joists that carry it.
    ends: [f64; 2],
    loads: Vec<(Column, SpanLoad)>,
}

impl Across {
    fn new(deck: &Deck, pieces: &[Piece], pair: [usize; 2], x: f64) -> Self {
        let ends = pair.map(|k| pieces[k].y);
        let weight = deck.joists.timber.line_weight().value;
        let own = SpanLoad::Ramp {
            from: ends[0],
            to: ends[1],
            start: -weight,
            end: -weight,
        };
        Self {
            pair,
            x,
            ends,
            loads: vec![(Case::Dead as usize, own)],
        }
    }

    /// A joist rests on it: the upward force at its end, by column.
    fn rest(&mut self, y: f64, up: &[(Column, f64)]) {
        for (column, force) in up.iter().filter(|(_, up)| *up != 0.0) {
            let force = *force;
            self.loads.push((*column, SpanLoad::Point { x: y, force }));
        }
    }

    /// It as a stick, on the centre lines of the joists that carry it.
    fn stick(&self, deck: &Deck, axes: &Frame2) -> Header {
        Header {
            ends: self.ends.map(|y| axes.point([self.x, y])),
            length: metres(self.ends[1] - self.ends[0]) - deck.joists.timber.width,
        }
    }

    fn solve(self, deck: &Deck, axes: &Frame2) -> Result<SolvedPiece, DeckError> {
        let timber = &deck.joists.timber;
        let rigidity = (timber.modulus * timber.second_moment()).value;
        let line =
            Line::new(self.ends, &self.ends, rigidity, None).map_err(|error| DeckError::Line {
                deck: deck.id.clone(),
                error,
            })?;
        Ok(SolvedPiece {
            line,
            ends: self.ends,
            places: self.ends.map(|y| (y, None)).to_vec(),
            loads: self.loads,
            at: axes.plan([self.x, f64::midpoint(self.ends[0], self.ends[1])]),
        })
    }
}

/// Places where a piece that reaches fewer than two beams rests on headers: never more than it needs.
fn tail_ends(piece: &Piece) -> Vec<f64> {
    let ends: Vec<f64> = [(piece.cut[0], piece.from), (piece.cut[1], piece.to)]
        .into_iter()
        .filter_map(|(cut, x)| cut.then_some(x))
        .collect();
    match (piece.seats.as_slice(), ends.as_slice()) {
        ([], _) => ends,
        ([seat], _) => ends
            .into_iter()
            .max_by(|a, b| (a - seat.0).abs().total_cmp(&(b - seat.0).abs()))
            .into_iter()
            .collect(),
        _ => Vec::new(),
    }
}

/// The nearest whole joists on both sides of a cut piece at a place along it.
fn trimmers(pieces: &[Piece], tail: usize, x: f64) -> Option<[usize; 2]> {
    let y = pieces[tail].y;
    let nearest = |above: bool| {
        (0..pieces.len())
            .filter(|k| {
                let piece = &pieces[*k];
                (if above { piece.y > y } else { piece.y < y })
                    && piece.from + SAME_PLACE < x
                    && x < piece.to - SAME_PLACE
            })
            .min_by(|a, b| {
                (pieces[*a].y - y)
                    .abs()
                    .total_cmp(&(pieces[*b].y - y).abs())
            })
    };
    Some([nearest(false)?, nearest(true)?])
}

/// Puts a force at (x, y) on a header between two joists.
fn rest_on(
    pieces: &mut [Piece],
    [below, above]: [usize; 2],
    y: f64,
    x: f64,
    down: &[(Column, f64)],
) {
    let share = (y - pieces[below].y) / (pieces[above].y - pieces[below].y);
    pieces[below].point(down, x, 1.0 - share);
    pieces[above].point(down, x, share);
}

fn header_weight(
    deck: &Deck,
    pieces: &mut [Piece],
    pair: [usize; 2],
    x: f64,
    total: &mut Magnitudes,
) {
    let length = pieces[pair[1]].y - pieces[pair[0]].y;
    let weight = deck.joists.timber.line_weight().value * length;
    total[Case::Dead as usize] += weight;
    let middle = f64::midpoint(pieces[pair[0]].y, pieces[pair[1]].y);
    rest_on(pieces, pair, middle, x, &[(Case::Dead as usize, weight)]);
}

/// The condensed line of a piece and the upward forces on its supports, by support and column.
fn solve(
    deck: &Deck,
    piece: &Piece,
    places: &[(f64, Option<usize>)],
) -> Result<(Line, Vec<Amounts>), DeckError> {
    let fault = |error| DeckError::Line {
        deck: deck.id.clone(),
        error,
    };
    let timber = &deck.joists.timber;
    let rigidity = (timber.modulus * timber.second_moment()).value;
    let supports: Vec<f64> = places.iter().map(|(x, _)| *x).collect();
    let line = Line::new([piece.from, piece.to], &supports, rigidity, None).map_err(fault)?;
    let mut by_column: BTreeMap<Column, Vec<SpanLoad>> = BTreeMap::new();
    for (column, load) in &piece.loads {
        by_column.entry(*column).or_default().push(*load);
    }
    let mut forces = vec![Amounts::new(); places.len()];
    for (column, loads) in by_column {
        let supports = line.support_forces(&loads).map_err(fault)?;
        for (amounts, force) in forces.iter_mut().zip(supports) {
            amounts.push((column, force));
        }
    }
    Ok((line, forces))
}

fn sum(total: &mut Magnitudes, magnitudes: &Magnitudes, size: f64) {
    for (sum, amount) in total.iter_mut().zip(magnitudes) {
        *sum += amount * size;
    }
}
