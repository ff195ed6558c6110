//! The numbers of the shop sheet: beams with their marks, braces with their ends, joists and headers, what presses on
//! every joint, what there is to lift.
//!
//! Marks are counted from the first end of a beam, braces go from the axis of the bar to the axis of the beam as the
//! analysis takes them. Levels that nothing gives leave a blank: no packing is made up.

use super::super::{Finding, Provenance};
use super::marks::{Mark, Rounding};
use crate::analysis::deck::{DeckError, JoistPiece, framing};
use crate::analysis::platform::JointKind;
use crate::checks::{JointLoad, Results};
use crate::model::{
    Beam, BeamSupport, Brace, Carrier, Carries, Deck, Hold, Platform, Seat, Timber,
};
use crate::tables::{self, LookupError};
use crate::units::{Force, Length, si};
use serde::Serialize;

/// Name and number of the form of the JSON. A new field leaves the number; a renamed one raises it.
pub const CUT_SCHEMA: &str = "barkline/cut/1";

/// Packing below this is none (m): half of what a shim can be.
const NO_PACKING: f64 = 5e-4;
/// Tops of two beams within this height are flush (m).
const FLUSH: f64 = 5e-4;

/// Why no shop sheet could be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CutError {
    /// The table of rules has no such rule.
    #[error(transparent)]
    Lookup(#[from] LookupError),
    /// A deck can not be taken apart.
    #[error(transparent)]
    Deck(#[from] DeckError),
}

/// The shop sheet of a layout. Numbers are in SI, the unit in the key; marks are in inches and millimetres.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CutDocument {
    /// [`CUT_SCHEMA`].
    pub schema: &'static str,
    /// Version of the program.
    pub program: String,
    /// SHA-256 of the layout.
    pub layout_sha256: String,
    /// Title of the layout.
    pub title: String,
    /// What the reader must be told.
    pub cautions: Vec<String>,
    /// The beams.
    pub beams: Vec<BeamPart>,
    /// The braces.
    pub braces: Vec<BracePart>,
    /// By how much a brace is left longer than between its faces.
    pub brace_allowance: Mark,
    /// The decks: joists and headers.
    pub decks: Vec<DeckCut>,
    /// What presses on the joints between members.
    pub joints: Vec<JointPart>,
    /// What hangs on the anchors.
    pub anchors: Vec<AnchorPart>,
    /// What there is to lift, heaviest first.
    pub lifts: Vec<Lift>,
    /// What is worth knowing of the layout.
    pub diagnostics: Vec<Finding>,
}

/// A section: width and depth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SectionPart {
    /// Width of the whole, all plies together.
    pub width: Mark,
    /// Depth.
    pub depth: Mark,
}

/// A beam.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BeamPart {
    /// The beam.
    pub beam: String,
    /// Its section.
    pub section: SectionPart,
    /// Its length.
    pub length: Mark,
    /// Its first end in plan: east and north (m).
    pub first_end_m: [f64; 2],
    /// Compass bearing from the first end to the last (deg).
    pub runs_deg: f64,
    /// Its underside over the site's zero; none where no level is given.
    pub underside: Option<Mark>,
    /// Marks in order from the first end.
    pub marks: Vec<MarkPart>,
    /// Joists that land on it: distances from the first end.
    pub joists: Vec<Mark>,
    /// Its weight (N).
    pub weight_n: f64,
}

/// A mark on a beam.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MarkPart {
    /// From the first end, centre of what is there.
    pub at: Mark,
    /// What is there.
    pub what: What,
    /// The anchor, post, beam, brace or swing.
    pub part: String,
    /// How the beam sits on it.
    pub seat: Option<Seat>,
    /// Whether the levels of both are known: if not, nobody knows what must be packed.
    pub levels_known: bool,
    /// Packing under the beam; none where nothing is packed, or levels are not known.
    pub packing: Option<Mark>,
    /// Length of the hanger of a hung beam, from the axis of the bar to the underside.
    pub hanger: Option<Mark>,
    /// Travel of a sliding seat.
    pub travel: Option<Mark>,
    /// Whether it is tied down.
    pub held_down: Option<bool>,
}

/// What a mark is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// It sits on an anchor.
    OnAnchor,
    /// It sits on a post.
    OnPost,
    /// It sits on top of a beam.
    OnBeam,
    /// It meets a beam with the tops level.
    FlushWithBeam,
    /// It carries a beam.
    Carries,
    /// A brace meets it.
    Brace,
    /// A swing hangs from it.
    Swing,
    /// A hammock is tied to it.
    Hammock,
}

/// A brace.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BracePart {
    /// The brace.
    pub brace: String,
    /// Its anchor.
    pub anchor: String,
    /// Its beam.
    pub beam: String,
    /// On the beam, from the first end.
    pub station: Mark,
    /// What it carries.
    pub carries: Carries,
    /// Its section.
    pub section: SectionPart,
    /// From the axis of the bar to the axis of the beam.
    pub axis_length: Mark,
    /// From the face of the bar to the face of the beam, along its axis.
    pub face_length: Mark,
    /// What to cut: that and the allowance.
    pub cut_length: Mark,
    /// Its slope from level (deg).
    pub from_level_deg: f64,
    /// Its slope from plumb (deg).
    pub from_plumb_deg: f64,
    /// Saw from square for the end at the beam, against its level face (deg).
    pub saw_at_beam_deg: f64,
    /// Saw from square for the end at the anchor, if it is to be plumb (deg).
    pub saw_at_anchor_deg: f64,
    /// In plan, its line from that of the beam, from 0 to 90 (deg): above zero the ends are cut on the skew as well.
    pub skew_deg: f64,
    /// Its weight (N).
    pub weight_n: f64,
}

/// Joists and headers of a deck.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DeckCut {
    /// The deck.
    pub deck: String,
    /// Section of joists and headers.
    pub section: SectionPart,
    /// Spacing of the joists, centre to centre.
    pub spacing: Mark,
    /// How many of each length.
    pub list: Vec<Stick>,
    /// Every joist in order across the deck.
    pub joists: Vec<JoistPart>,
    /// Every header.
    pub headers: Vec<HeaderPart>,
}

/// Sticks of one length.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stick {
    /// Whether it is a header.
    pub header: bool,
    /// How many.
    pub count: usize,
    /// Their length, rounded up.
    pub length: Mark,
    /// Weight of one (N).
    pub weight_n: f64,
}

/// A joist where it lies.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JoistPart {
    /// Its number across the deck.
    pub number: usize,
    /// From the first joist, centre to centre.
    pub offset: Mark,
    /// Its length.
    pub length: Mark,
    /// Whether each end is cut at a hole.
    pub cut: [bool; 2],
    /// Where it crosses beams, from its first end.
    pub seats: Vec<JoistOn>,
    /// Its ends in plan: east and north (m).
    pub ends_m: [[f64; 2]; 2],
}

/// Where a joist crosses a beam.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JoistOn {
    /// The beam.
    pub beam: String,
    /// From the joist's first end.
    pub along: Mark,
}

/// A header where it lies.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeaderPart {
    /// Its length between the faces of its joists.
    pub length: Mark,
    /// Its ends in plan, on the axes of its joists: east and north (m).
    pub ends_m: [[f64; 2]; 2],
}

/// What presses on a joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JointPart {
    /// The joint.
    pub joint: String,
    /// What it is; none for the seats of joists.
    pub kind: Option<JointKind>,
    /// The most that presses (N).
    pub most_n: f64,
    /// In this combination.
    pub most_under: String,
    /// The least (N); below zero it acts the other way.
    pub least_n: f64,
    /// In this combination.
    pub least_under: String,
}

/// What hangs on an anchor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AnchorPart {
    /// The anchor.
    pub anchor: String,
    /// Its verdict.
    pub verdict: crate::checks::Verdict,
    /// Down, of the combination that governs (N).
    pub down_n: f64,
    /// Sideways (N).
    pub side_n: f64,
    /// Out along the bar (N).
    pub out_n: f64,
    /// The combination.
    pub combination: String,
}

/// Something to lift.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lift {
    /// What it is.
    pub part: String,
    /// How many.
    pub count: usize,
    /// Weight of one, by the unit weight of the analysis (N).
    pub weight_n: f64,
}

impl CutDocument {
    /// The shop sheet of a platform that was checked.
    ///
    /// # Errors
    /// A deck that can not be taken apart; a rule that is not there.
    pub fn new(
        platform: &Platform,
        results: &Results,
        joints: &[JointLoad],
        provenance: Provenance,
        diagnostics: Vec<Finding>,
    ) -> Result<Self, CutError> {
        let over = tables::drilling_rule("brace-over")?
            .length()
            .unwrap_or_default();
        let decks = platform.decks().iter().map(|deck| deck_cut(platform, deck));
        let decks = decks.collect::<Result<Vec<_>, _>>()?;
        let beams = platform.beams().iter().enumerate();
        let beams = beams.map(|(index, beam)| beam_part(platform, index, beam));
        let beams = beams.collect::<Result<Vec<_>, _>>()?;
        let braces = platform.braces().iter();
        let braces: Vec<_> = braces
            .filter_map(|brace| brace_part(platform, brace, over))
            .collect();
        Ok(Self {
            schema: CUT_SCHEMA,
            program: provenance.program,
            layout_sha256: provenance.layout_sha256,
            title: results.title().to_owned(),
            cautions: results.cautions().to_vec(),
            lifts: lifts(&beams, &braces, &decks),
            beams,
            braces,
            brace_allowance: Mark::new(over, Rounding::Nearest),
            decks,
            joints: joints.iter().map(JointPart::from).collect(),
            anchors: anchors(results),
            diagnostics,
        })
    }
}

fn nearest(length: Length) -> Mark {
    Mark::new(length, Rounding::Nearest)
}

fn section(timber: &Timber) -> SectionPart {
    SectionPart {
        width: nearest(timber.width),
        depth: nearest(timber.depth),
    }
}

fn weight(timber: &Timber, length: Length) -> f64 {
    (timber.line_weight() * length).value
}

/// The underside of a beam over the site's zero.
fn underside(beam: &Beam) -> Option<Length> {
    beam.level.map(|axis| axis - beam.timber.depth / 2.0)
}

fn beam_part(platform: &Platform, index: usize, beam: &Beam) -> Result<BeamPart, CutError> {
    let mut marks: Vec<MarkPart> = beam
        .supports
        .iter()
        .map(|support| seat(platform, beam, support))
        .collect();
    marks.extend(carried(platform, index));
    marks.extend(hangings(platform, index));
    marks.sort_by(|a, b| a.at.exact_m.total_cmp(&b.at.exact_m));
    let mut joists = Vec::new();
    for deck in platform.decks() {
        let sticks = framing(deck, platform.beams())?.joists;
        let seats = sticks.iter().flat_map(|joist| &joist.seats);
        joists.extend(
            seats
                .filter(|seat| seat.beam == index)
                .map(|seat| nearest(seat.station)),
        );
    }
    joists.sort_by(|a, b| a.exact_m.total_cmp(&b.exact_m));
    Ok(BeamPart {
        beam: beam.id.clone(),
        section: section(&beam.timber),
        length: Mark::new(beam.length(), Rounding::Up),
        first_end_m: beam.start.metres(),
        runs_deg: beam
            .start
            .bearing(beam.end)
            .value
            .to_degrees()
            .rem_euclid(360.0),
        underside: underside(beam).map(nearest),
        marks,
        joists,
        weight_n: weight(&beam.timber, beam.length()),
    })
}

/// A support of a beam: how it sits, and what is packed under it.
fn seat(platform: &Platform, beam: &Beam, support: &BeamSupport) -> MarkPart {
    let under = underside(beam);
    let mut mark = MarkPart {
        at: nearest(support.station),
        what: What::OnPost,
        part: String::new(),
        seat: Some(support.seat),
        levels_known: false,
        packing: None,
        hanger: None,
        travel: support
            .travel
            .map(|travel| Mark::new(travel, Rounding::Down)),
        held_down: Some(support.held_down),
    };
    let packed = |gap: Length| (gap.value > NO_PACKING).then(|| nearest(gap));
    match support.carrier {
        Carrier::Anchor(index) => {
            let Some(anchor) = platform.anchors().get(index) else {
                return mark;
            };
            mark.what = What::OnAnchor;
            mark.part.clone_from(&anchor.id);
            if let (Some(under), Some(level)) = (under, anchor.level) {
                mark.levels_known = true;
                if support.seat == Seat::Hung {
                    mark.hanger = Some(nearest(level - under));
                } else {
                    mark.packing = packed(under - (level + beam.seat_rise));
                }
            }
        }
        Carrier::Beam { beam: below, .. } => {
            let Some(below) = platform.beams().get(below) else {
                return mark;
            };
            mark.part.clone_from(&below.id);
            let tops = |beam: &Beam| beam.level.map(|axis| axis + beam.timber.depth / 2.0);
            let flush = matches!((tops(beam), tops(below)), (Some(a), Some(b)) if (a - b).abs().value < FLUSH);
            mark.what = if flush {
                What::FlushWithBeam
            } else {
                What::OnBeam
            };
            if let (Some(under), Some(top)) = (under, tops(below)) {
                mark.levels_known = true;
                mark.packing = packed(under - top).filter(|_| !flush);
            }
        }
        Carrier::Post(index) => {
            if let Some(post) = platform.posts().get(index) {
                mark.part.clone_from(&post.id);
            }
        }
    }
    mark
}

fn plain(at: Length, what: What, part: &str) -> MarkPart {
    MarkPart {
        at: nearest(at),
        what,
        part: part.to_owned(),
        seat: None,
        levels_known: true,
        packing: None,
        hanger: None,
        travel: None,
        held_down: None,
    }
}

/// Beams and braces that a beam carries or is carried by.
fn carried(platform: &Platform, index: usize) -> Vec<MarkPart> {
    let mut marks = Vec::new();
    for other in platform.beams() {
        for support in &other.supports {
            if let Carrier::Beam { beam, station } = support.carrier
                && beam == index
            {
                marks.push(plain(station, What::Carries, &other.id));
            }
        }
    }
    let braces = platform.braces().iter().filter(|brace| brace.beam == index);
    marks.extend(braces.map(|brace| plain(brace.station, What::Brace, &brace.id)));
    marks
}

fn hangings(platform: &Platform, index: usize) -> Vec<MarkPart> {
    let swings = platform.swings().iter().filter(|swing| swing.beam == index);
    let mut marks: Vec<_> = swings
        .map(|swing| plain(swing.station, What::Swing, &swing.id))
        .collect();
    for hammock in platform.hammocks() {
        for end in hammock.ends {
            if let Hold::Beam { beam, station } = end
                && beam == index
            {
                marks.push(plain(station, What::Hammock, &hammock.id));
            }
        }
    }
    marks
}

/// A brace; none where a level is missing, which the platform refuses.
fn brace_part(platform: &Platform, brace: &Brace, over: Length) -> Option<BracePart> {
    let anchor = platform.anchors().get(brace.anchor)?;
    let beam = platform.beams().get(brace.beam)?;
    let from = anchor.load_point(platform.stem_of(anchor));
    let to = beam.at(brace.station);
    let rise = (beam.level? - anchor.level?).abs();
    let run = from.distance(to);
    let slope = rise.value.atan2(run.value);
    let axis = rise.hypot(run);
    // Along its axis it ends at the level face of the beam and at the round of the bar.
    let at_beam = beam.timber.depth / 2.0 / slope.sin();
    let face = (axis - at_beam - anchor.size.boss.bears / 2.0).max(si::metres(0.0));
    let turn = (from.bearing(to) - beam.start.bearing(beam.end))
        .value
        .sin();
    let skew = if run.value > 1e-6 {
        turn.abs().clamp(0.0, 1.0).asin()
    } else {
        0.0
    };
    let slope_deg = slope.to_degrees();
    Some(BracePart {
        brace: brace.id.clone(),
        anchor: anchor.id.clone(),
        beam: beam.id.clone(),
        station: nearest(brace.station),
        carries: brace.carries,
        section: section(&brace.timber),
        axis_length: nearest(axis),
        face_length: nearest(face),
        cut_length: Mark::new(face + over, Rounding::Up),
        from_level_deg: slope_deg,
        from_plumb_deg: 90.0 - slope_deg,
        saw_at_beam_deg: 90.0 - slope_deg,
        saw_at_anchor_deg: slope_deg,
        skew_deg: skew.to_degrees(),
        weight_n: weight(&brace.timber, axis),
    })
}

fn deck_cut(platform: &Platform, deck: &Deck) -> Result<DeckCut, CutError> {
    let framing = framing(deck, platform.beams())?;
    let timber = &deck.joists.timber;
    let mut list: Vec<Stick> = Vec::new();
    let joists = framing.joists.iter().map(|joist| (false, joist.length));
    let headers = framing.headers.iter().map(|header| (true, header.length));
    for (header, length) in joists.chain(headers) {
        let mark = Mark::new(length, Rounding::Up);
        let same = |known: &&mut Stick| {
            known.header == header && known.length.mark_mm.total_cmp(&mark.mark_mm).is_eq()
        };
        match list.iter_mut().find(same) {
            Some(known) => known.count += 1,
            None => list.push(Stick {
                header,
                count: 1,
                length: mark,
                weight_n: weight(timber, length),
            }),
        }
    }
    list.sort_by(|a, b| {
        let longer = b.length.exact_m.total_cmp(&a.length.exact_m);
        a.header.cmp(&b.header).then(longer)
    });
    let joists = framing.joists.iter().enumerate();
    Ok(DeckCut {
        deck: deck.id.clone(),
        section: section(timber),
        spacing: nearest(deck.joists.spacing),
        list,
        joists: joists
            .map(|(at, joist)| joist_part(platform, at + 1, joist))
            .collect(),
        headers: framing
            .headers
            .iter()
            .map(|header| HeaderPart {
                length: Mark::new(header.length, Rounding::Up),
                ends_m: header.ends.map(crate::model::Point::metres),
            })
            .collect(),
    })
}

fn joist_part(platform: &Platform, number: usize, joist: &JoistPiece) -> JoistPart {
    let on = joist.seats.iter().filter_map(|seat| {
        let beam = platform.beams().get(seat.beam)?;
        Some(JoistOn {
            beam: beam.id.clone(),
            along: nearest(seat.along),
        })
    });
    JoistPart {
        number,
        offset: nearest(joist.offset),
        length: Mark::new(joist.length, Rounding::Up),
        cut: joist.cut,
        seats: on.collect(),
        ends_m: joist.ends.map(crate::model::Point::metres),
    }
}

impl From<&JointLoad> for JointPart {
    fn from(load: &JointLoad) -> Self {
        let newtons = |(force, under): &(Force, String)| (force.value + 0.0, under.clone());
        let ((most_n, most_under), (least_n, least_under)) =
            (newtons(&load.most), newtons(&load.least));
        Self {
            joint: load.name.clone(),
            kind: load.kind,
            most_n,
            most_under,
            least_n,
            least_under,
        }
    }
}

fn anchors(results: &Results) -> Vec<AnchorPart> {
    let part = |attachment: &crate::checks::Attachment| {
        let load = attachment.load();
        AnchorPart {
            anchor: attachment.anchor().to_owned(),
            verdict: attachment.verdict(),
            down_n: load.down_n,
            side_n: load.side_n,
            out_n: load.out_n,
            combination: load.combination.clone(),
        }
    };
    results.attachments().iter().map(part).collect()
}

/// Everything to lift, heaviest first.
fn lifts(beams: &[BeamPart], braces: &[BracePart], decks: &[DeckCut]) -> Vec<Lift> {
    let one = |part: String, weight_n: f64| Lift {
        part,
        count: 1,
        weight_n,
    };
    let mut lifts: Vec<Lift> = Vec::new();
    lifts.extend(
        beams
            .iter()
            .map(|beam| one(format!("beam {}", beam.beam), beam.weight_n)),
    );
    lifts.extend(
        braces
            .iter()
            .map(|brace| one(format!("brace {}", brace.brace), brace.weight_n)),
    );
    for deck in decks {
        lifts.extend(deck.list.iter().map(|stick| Lift {
            part: format!(
                "{} of deck {}, {}",
                if stick.header { "header" } else { "joist" },
                deck.deck,
                stick.length.metric()
            ),
            count: stick.count,
            weight_n: stick.weight_n,
        }));
    }
    lifts.sort_by(|a, b| b.weight_n.total_cmp(&a.weight_n));
    lifts
}
