//! Beams, joists, headers and braces: all at a glance, then every check of each.

use super::Package;
use super::block::{Block, Figure, Grid, Row, Section};
use crate::checks::{CheckResult, Measure};
use crate::model::MemberLimitState;
use crate::report::attachments::{down, up};
use crate::report::drawing::{self, Bar};
use crate::report::{Cell, MemberPart, member_summary, standing_id, worst_members_first};
use crate::units::Show;

/// The members; none where the platform has no member.
pub(super) fn section(package: &Package<'_>) -> Option<Section> {
    let members = worst_members_first(package.document);
    if members.is_empty() {
        return None;
    }
    let mut section = Section::new("members", "Members").on_new_sheet().tightly();
    if let Some(words) = member_summary(package.document, package.show) {
        section = section.saying(words);
    }
    let section = section
        .with(Block::Table(at_a_glance(&members, package.show)))
        .with(Block::Figure(Figure {
            svg: drawing::bars("Utilization of the members", &bars(&members)),
            caption: "How much of each member is used by its most used check; one is the limit."
                .to_owned(),
        }))
        .with(Block::Table(checks(&members, package.show)));
    Some(section.saying(
        "Every check is that of the worst of so many pieces, at its worst place, under the worst arrangement of the live load. \
         Connections, notches, holes and vibration are not in it.",
    ))
}

fn governing(part: &MemberPart) -> Option<&CheckResult<MemberLimitState>> {
    let state = part.governing?;
    let mut checks = part.checks.iter().map(|check| &check.0);
    checks.find(|check| check.limit_state == state)
}

fn measure(measure: Option<Measure>, show: Show) -> String {
    measure.map_or_else(dash, |measure| Cell::from(measure).with_unit(show))
}

fn dash() -> String {
    "–".to_owned()
}

/// One line for each member, worst first.
fn at_a_glance(members: &[&MemberPart], show: Show) -> Grid {
    let row = |part: &&MemberPart| {
        let check = governing(part);
        Row {
            cells: vec![
                part.member.clone(),
                part.kind.words().to_owned(),
                part.pieces.to_string(),
                check.map_or_else(dash, |check| check.limit_state.words().to_owned()),
                measure(check.and_then(|check| check.demand), show),
                measure(check.and_then(|check| check.allowable), show),
                part.utilization.map_or_else(dash, up),
                part.margin.map_or_else(dash, down),
                check
                    .and_then(|check| check.combination.clone())
                    .unwrap_or_else(dash),
                part.verdict.word().to_owned(),
            ],
            used: part.utilization.map(|used| (used, part.verdict)),
            ..Row::default()
        }
    };
    Grid::new(
        "Members, worst first: the check that governs each.",
        &[
            "member",
            "kind",
            "#pieces",
            "governed by",
            "#demand",
            "#allowable",
            "#used",
            "#margin",
            "combination",
            "=verdict",
        ],
    )
    .with_rows(members.iter().map(row))
}

fn bars(members: &[&MemberPart]) -> Vec<Bar> {
    let bar = |part: &&MemberPart| Bar {
        name: part.name(),
        group: "",
        utilization: part.utilization,
        verdict: part.verdict,
        governs: false,
    };
    members.iter().map(bar).collect()
}

/// Every check of each member, with its source.
fn checks(members: &[&MemberPart], show: Show) -> Grid {
    let rows = members.iter().flat_map(|part| {
        part.checks.iter().map(|check| {
            let check = &check.0;
            let governs = part.governing == Some(check.limit_state);
            row(part, check, governs, show)
        })
    });
    Grid::new(
        "Every check of each member; under each, where strength and factor come from.",
        &[
            "member",
            "check",
            "=verdict",
            "#demand",
            "#allowable",
            "%used",
            "#margin",
            "combination",
            "standing",
        ],
    )
    .with_rows(rows)
}

fn row(part: &MemberPart, check: &CheckResult<MemberLimitState>, governs: bool, show: Show) -> Row {
    let name = check.limit_state.words();
    Row {
        cells: vec![
            part.name(),
            if governs {
                format!("{name} (governs)")
            } else {
                name.to_owned()
            },
            check.verdict.word().to_owned(),
            measure(check.demand, show),
            measure(check.allowable, show),
            check.utilization.map_or_else(dash, up),
            check.margin().map_or_else(dash, down),
            check.combination.clone().unwrap_or_else(dash),
            standing_id(check.standing).replace('_', " "),
        ],
        strong: governs,
        detail: Some(match &check.note {
            Some(note) => format!("{}. {}.", check.source, note.trim_end_matches('.')),
            None => format!("{}.", check.source),
        }),
        used: check.utilization.map(|used| (used, check.verdict)),
    }
}
