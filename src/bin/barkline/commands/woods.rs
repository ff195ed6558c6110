//! `woods`: clear wood, green and at 12 % moisture.

use super::{NOT_APPROVAL, deliver_sheet};
use crate::args::{Common, Form};
use crate::stop::{Status, Stop};
use crate::{output, render};
use barkline::report::{Cell, Column, Finding, Quantity, Sheet, cited, standing_id};
use barkline::tables::{self, GreenWood, LookupError, Reference, Region, Species, WoodClass};
use barkline::units::{Force, Show, Stress};

const CLEAR: &str = "Means of small clear specimens: knots, slope of grain, juvenile wood and decay are not in them, and half of all trees of a species are weaker.";
const SEASONED: &str = "Values at 12 % moisture are for sawn members, never for a living stem.";

pub(super) fn run(name: Option<&str>, common: &Common) -> Result<Status, Stop> {
    let Some(name) = name else {
        let rows = tables::green_woods().iter().map(green).collect();
        return deliver_sheet(&sheet("Woods, green", rows, &[CLEAR, NOT_APPROVAL]), common);
    };
    let rows = rows(name)?;
    let sheet = sheet("Woods", rows, &[CLEAR, SEASONED, NOT_APPROVAL]);
    if common.format != Form::Table {
        return deliver_sheet(&sheet, common);
    }
    let show = common.show.map_or(Show::default(), Show::from);
    output::deliver(&render::cards(&sheet, show, output::width()), common)?;
    Ok(Status::Pass)
}

/// The rows that a name fits, green and at 12 % moisture; several where it fits several woods.
fn rows(name: &str) -> Result<Vec<Vec<Cell>>, Stop> {
    let green_rows = all(name, |name| tables::find_green_wood(name).map(green));
    let dry_rows = all(name, |name| tables::find_seasoned_wood(name).map(seasoned));
    match (green_rows, dry_rows) {
        (Err(unknown), Err(_)) => Err(Stop::given(Finding::error(
            "unknown-wood",
            unknown.to_string(),
            "`barkline woods` lists every wood",
        ))),
        (green, dry) => Ok(green
            .unwrap_or_default()
            .into_iter()
            .chain(dry.unwrap_or_default())
            .collect()),
    }
}

fn all(
    name: &str,
    find: impl Fn(&str) -> Result<Vec<Cell>, LookupError>,
) -> Result<Vec<Vec<Cell>>, LookupError> {
    match find(name) {
        Ok(row) => Ok(vec![row]),
        Err(LookupError::Ambiguous { candidates, .. }) => {
            candidates.iter().map(|name| find(name)).collect()
        }
        Err(error) => Err(error),
    }
}

fn sheet(title: &str, rows: Vec<Vec<Cell>>, cautions: &[&str]) -> Sheet {
    Sheet {
        schema: "barkline/woods/1",
        title: title.to_owned(),
        columns: columns(),
        rows,
        sources: cited(tables::green_woods().iter().map(GreenWood::reference)),
        cautions: cautions.iter().map(|&caution| caution.to_owned()).collect(),
    }
}

fn columns() -> Vec<Column> {
    vec![
        Column::words("wood", "wood"),
        Column::words("state", "state").in_files_only(),
        Column::words("id", "id").in_files_only(),
        Column::words("scientific_name", "scientific name").in_files_only(),
        Column::words("other_names", "other names").in_files_only(),
        Column::words("region", "grown in").in_files_only(),
        Column::words("class", "class").in_files_only(),
        Column::numbers("specific_gravity", "specific gravity"),
        Column::of("crushing", "crushing along", Quantity::Stress),
        Column::of("across", "crushing across", Quantity::Stress),
        Column::of("shear", "shear along", Quantity::Stress).in_files_only(),
        Column::of("tension_across", "tension across", Quantity::Stress).in_files_only(),
        Column::of("rupture", "bending rupture", Quantity::Stress),
        Column::of("modulus", "modulus in bending", Quantity::Modulus),
        Column::of("side_hardness", "side hardness", Quantity::Force).in_files_only(),
        Column::words("source", "source"),
        Column::words("edition", "edition").in_files_only(),
        Column::words("standing", "standing").in_files_only(),
        Column::words("note", "note").in_files_only(),
    ]
}

/// The values that both kinds of clear wood have.
struct Values {
    gravity: Option<f64>,
    rupture: Stress,
    modulus: Stress,
    crushing: Stress,
    across: Option<Stress>,
    shear: Option<Stress>,
    tension_across: Option<Stress>,
    side_hardness: Option<Force>,
}

/// One wood of either type: the two share their columns.
macro_rules! values {
    ($wood:expr, $gravity:expr) => {
        Values {
            gravity: $gravity,
            rupture: $wood.rupture,
            modulus: $wood.modulus,
            crushing: $wood.crushing,
            across: $wood.across,
            shear: $wood.shear,
            tension_across: $wood.tension_across,
            side_hardness: $wood.side_hardness,
        }
    };
}

fn green(wood: &GreenWood) -> Vec<Cell> {
    let values = values!(wood, Some(wood.specific_gravity));
    row(&wood.species, "green", &values, wood.reference())
}

fn seasoned(wood: &tables::SeasonedWood) -> Vec<Cell> {
    let values = values!(wood, wood.specific_gravity);
    row(&wood.species, "12 % moisture", &values, wood.reference())
}

fn row(species: &Species, state: &str, values: &Values, reference: &Reference) -> Vec<Cell> {
    let stress = |stress: Option<Stress>| Cell::value(stress.map(|s| s.value), Quantity::Stress);
    vec![
        Cell::text(&species.common_name),
        Cell::text(state),
        Cell::text(&species.id),
        Cell::text(&species.scientific_name),
        Cell::List(species.other_names.clone()),
        Cell::text(match species.region {
            Region::Us => "United States",
            Region::Canada => "Canada",
            Region::Imported => "elsewhere",
        }),
        Cell::text(match species.class {
            WoodClass::Hardwood => "hardwood",
            WoodClass::Softwood => "softwood",
        }),
        Cell::number(values.gravity),
        stress(Some(values.crushing)),
        stress(values.across),
        stress(values.shear),
        stress(values.tension_across),
        stress(Some(values.rupture)),
        Cell::Value(values.modulus.value, Quantity::Modulus),
        Cell::value(
            values.side_hardness.map(|force| force.value),
            Quantity::Force,
        ),
        Cell::source(reference),
        Cell::text(&reference.source().edition),
        Cell::Word(standing_id(reference.standing())),
        Cell::maybe_text(reference.note()),
    ]
}
