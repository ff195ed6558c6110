//! Bearing across the grain at each seat: the force over the area of contact against F_c⊥ C_M C_b, of the member and of
//! the beam under it.
//!
//! Load duration never touches it. A layout does not say how long a bracket or a hanger is: there the length is a
//! criterion, common practice, and the note says so.

use super::{Answer, Found, Loaded, Member, Rule};
use crate::analysis::platform::{MemberPart, SeatOn};
use crate::checks::result::Measure;
use crate::mechanics::MechanicsError;
use crate::mechanics::timber_member::{END_DISTANCE, bearing_area_factor, bearing_stress};
use crate::model::{Crossing, MemberLimitState, MemberStrength, Standing, Timber};
use crate::units::{Force, Length, Show, Stress, kind, print, si};

pub(super) const RULE: Rule = Rule {
    limit_state: MemberLimitState::Bearing,
    judge,
    keys: &[],
};

/// The key of the length of a seat on an anchor.
const ANCHOR_SEAT: &str = "member_seat_length";

/// A seat: how long it is along a member that runs on over it, and what lies under it.
struct Seat<'a> {
    length: Length,
    /// Whether a member that ends over it bears on less of it.
    centred: bool,
    /// The beam under it.
    under: Option<&'a Timber>,
    standing: Standing,
    note: String,
}

fn judge(member: &Member<'_>) -> Result<Answer, MechanicsError> {
    let Some(value) = member.strength.design.across() else {
        return Ok(Answer::Unknown("allowable stress across the grain"));
    };
    member.worst(|loaded| worst_seat(member, loaded, value))
}

fn worst_seat(
    member: &Member<'_>,
    loaded: &Loaded,
    value: Stress,
) -> Result<Option<Found>, MechanicsError> {
    let mut worst: Option<Found> = None;
    for ((x, on), force) in member
        .actions
        .supports
        .iter()
        .zip(&loaded.envelope.reactions)
    {
        if *force <= 0.0 {
            continue;
        }
        let seat = seat(member, *on);
        let found = at_seat(member, loaded, *x, si::newtons(*force), &seat, value)?;
        if worst
            .as_ref()
            .is_none_or(|worst| found.utilization > worst.utilization)
        {
            worst = Some(found);
        }
    }
    Ok(worst)
}

fn at_seat(
    member: &Member<'_>,
    loaded: &Loaded,
    x: f64,
    force: Force,
    seat: &Seat<'_>,
    value: Stress,
) -> Result<Found, MechanicsError> {
    let width = member.timber.width;
    let half = seat.length / 2.0;
    let past = [x, member.actions.length - x].map(|past| si::metres(past.max(0.0)));
    let length = if seat.centred {
        past[0].min(half) + past[1].min(half)
    } else {
        seat.length
    };
    let stress = bearing_stress(force, width, length)?;
    let area_factor = if past[0].min(past[1]) - half >= END_DISTANCE {
        bearing_area_factor(length)?
    } else {
        1.0
    };
    let mut allowable = value * area_factor;
    let mut note = format!("{}; {}", member.place(x), seat.note);
    // The beam under it: the width of the member is the length of its bearing; it runs on on both sides or not, which
    // is not known here, so nothing is gained.
    let under = seat.under.and_then(|timber| timber.design.as_ref());
    if let Some(under) = under.and_then(MemberStrength::across)
        && under < allowable
    {
        allowable = under;
        note.push_str("; the wood under it governs");
    }
    Ok(Found {
        combination: Some(loaded.combination),
        demand: Measure::Stress(stress),
        allowable: Measure::Stress(allowable),
        utilization: (stress / allowable).value,
        standing: seat.standing,
        note,
    })
}

fn seat<'a>(member: &Member<'a>, on: SeatOn) -> Seat<'a> {
    let flush = match member.actions.part {
        MemberPart::Joist { deck, .. } => {
            member.platform.decks()[deck].joists.set == Crossing::Flush
        }
        MemberPart::Beam(_) | MemberPart::Header { .. } | MemberPart::Brace(_) => false,
    };
    match on {
        SeatOn::Beam(beam) if !flush => {
            let under = &member.platform.beams()[beam].timber;
            Seat {
                length: under.width,
                centred: true,
                under: Some(under),
                standing: Standing::Published,
                note: format!("on beam {}", member.platform.beams()[beam].id),
            }
        }
        SeatOn::Beam(_) | SeatOn::Hanger => assumed(member, "member_hanger_length", "a hanger"),
        SeatOn::Anchor(_) => assumed(member, ANCHOR_SEAT, "its anchor"),
        SeatOn::Post(_) => assumed(member, ANCHOR_SEAT, "its post"),
    }
}

fn assumed<'a>(member: &Member<'_>, key: &str, what: &str) -> Seat<'a> {
    let length = member.criteria.length(key);
    Seat {
        length,
        centred: key == ANCHOR_SEAT,
        under: None,
        standing: member.criteria.standing(key),
        note: format!(
            "a seat of {} ({:.0} mm) on {what} assumed, common practice",
            print::<kind::Length>(length, Show::Us),
            length.value * 1e3
        ),
    }
}
