//! What the columns of a spreadsheet hold: keys of a table, parts of keys, units; and how cells make up a row.

use super::cells::Cell;
use crate::input::diagnostic::Code;
use crate::input::document::{Entry, Node, Value};
use crate::input::layout::Bearing;
use crate::input::reader::{Key, Read, Reader, Shape};
use crate::units::kind::{self, About};
use crate::units::{Kind as _, is_bare, nearest};

/// The heads of the two columns of a point in plan.
const PLAN: [&str; 2] = ["east", "north"];

/// Whether a point has both of its cells; says so where it has one.
pub(super) fn is_whole(entry: &Entry, reader: &mut Reader<'_>) -> bool {
    let [east, north] = PLAN;
    match &entry.node.value {
        Value::List(list) if list.len() < PLAN.len() => {
            let message = format!("`{}` has one of `{east}` and `{north}`", entry.key);
            reader.report(
                Code::MissingKey,
                entry.span,
                message,
                "give both, or neither",
            );
            false
        }
        _ => true,
    }
}

/// Puts a value where its key, and its part of the key, belong.
pub(super) fn put(entries: &mut Vec<Entry>, target: &Target, node: Node) {
    let span = node.span;
    let named = |key: &str, value| Entry {
        key: key.to_owned(),
        span,
        node: Node { span, value },
    };
    let at = entries.iter_mut().find(|entry| entry.key == target.key);
    match (target.part, at.map(|entry| &mut entry.node.value)) {
        (Part::Plan(place), Some(Value::List(list))) => list.insert(place.min(list.len()), node),
        (Part::Inner(inner), Some(Value::Table(table))) => table.push(named(inner, node.value)),
        (Part::Plan(_), _) => entries.push(named(target.key, Value::List(vec![node]))),
        (Part::Inner(inner), _) => {
            let table = Value::Table(vec![named(inner, node.value)]);
            entries.push(named(target.key, table));
        }
        (Part::Whole, _) => entries.push(named(target.key, node.value)),
    }
}

/// Which part of the value of a key a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    /// All of it.
    Whole,
    /// One coordinate of a point: 0 east, 1 north.
    Plan(usize),
    /// This key of the table.
    Inner(&'static str),
}

/// What a column may be.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Target {
    name: String,
    key: &'static str,
    part: Part,
    shape: &'static Shape,
}

/// Every head that a spreadsheet of these keys may have.
pub(super) fn targets(keys: &'static [Key]) -> Vec<Target> {
    let mut targets = Vec::new();
    for key in keys {
        let target = |name: String, part, shape| Target {
            name,
            key: key.name,
            part,
            shape,
        };
        match &key.shape {
            Shape::Pair(of) => {
                let plan = PLAN.iter().enumerate();
                targets.extend(plan.map(|(i, &name)| target(name.to_owned(), Part::Plan(i), of)));
            }
            Shape::Table(_, inner) => targets.extend(inner.iter().map(|inner| {
                let name = format!("{}.{}", key.name, inner.name);
                target(name, Part::Inner(inner.name), &inner.shape)
            })),
            shape => targets.push(target(key.name.to_owned(), Part::Whole, shape)),
        }
    }
    targets
}

/// A column.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Column {
    /// Without a head: nothing may stand in it.
    Blank,
    /// With a head that was refused: nothing of it is read.
    Wrong,
    /// What it holds, and the unit that its head names.
    Of(Target, Option<String>),
}

/// Why a head or a cell cannot be taken: code, message, mend.
type Refused = (Code, String, String);

impl Column {
    /// The column of a head such as `diameter [in]`.
    pub(super) fn of(head: &Cell, title: &str, targets: &[Target]) -> Result<Self, Refused> {
        if head.text.is_empty() {
            return Ok(Self::Blank);
        }
        let in_brackets = head
            .text
            .strip_suffix(']')
            .and_then(|text| text.split_once('['));
        let (name, unit) = match in_brackets {
            Some((name, unit)) => (name.trim(), Some(unit.trim())),
            None => (head.text.as_str(), None),
        };
        let names = || targets.iter().map(|target| target.name.as_str());
        let Some(target) = targets.iter().find(|target| target.name == name) else {
            let mend = match nearest(name, names()) {
                Some(near) => format!("did you mean `{near}`? A unit stands behind it in [ ]"),
                None => format!("its columns are {}", names().collect::<Vec<_>>().join(", ")),
            };
            let message = format!("`{name}` is not a key of {title}");
            return Err((Code::UnknownKey, message, mend));
        };
        if let Some(unit) = unit {
            target.takes(unit)?;
        }
        Ok(Self::Of(target.clone(), unit.map(str::to_owned)))
    }

    pub(super) fn is_of(&self, key: &str) -> bool {
        matches!(self, Self::Of(target, _) if target.key == key)
    }

    /// Whether both hold the same thing.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Of(one, _), Self::Of(other, _)) => one == other,
            _ => false,
        }
    }

    /// What a cell says, as the layout file would say it; nothing under a wrong head.
    pub(super) fn value(&self, cell: &str) -> Result<Option<(&Target, Value)>, Refused> {
        let (target, unit) = match self {
            Self::Of(target, unit) => (target, unit),
            Self::Wrong => return Ok(None),
            Self::Blank => {
                let message = format!("\"{cell}\" stands in a column without a head");
                return Err((
                    Code::UnknownKey,
                    message,
                    "name its key in the first row".to_owned(),
                ));
            }
        };
        let word = cell.to_ascii_lowercase();
        let value = match (target.shape, word.as_str()) {
            (Shape::Flag, "true" | "yes") => Value::Flag(true),
            (Shape::Flag, "false" | "no") => Value::Flag(false),
            (shape, _) if is_bare(cell) => match (quantity(shape), unit) {
                (Some(about), None) => return Err(target.bare(cell, about)),
                (_, Some(unit)) => Value::Text(format!("{cell} {unit}")),
                _ => Value::Text(cell.to_owned()),
            },
            _ => Value::Text(cell.to_owned()),
        };
        Ok(Some((target, value)))
    }
}

impl Target {
    /// Says whether it takes a unit.
    fn takes(&self, unit: &str) -> Result<(), Refused> {
        let name = &self.name;
        let Some(about) = quantity(self.shape) else {
            let message = format!("`{name}` takes no unit");
            return Err((
                Code::BadQuantity,
                message,
                format!("write the head as `{name}`"),
            ));
        };
        if about.unit(unit).is_none() {
            let message = format!("`{unit}` is not a unit of {}", about.name);
            let mend = format!("one of {} is due", about.accepted());
            return Err((Code::BadQuantity, message, mend));
        }
        Ok(())
    }

    /// A number that has its unit neither in its cell nor in its head.
    fn bare(&self, cell: &str, about: &About) -> Refused {
        let (name, unit) = (&self.name, about.us.name);
        let mend = format!(
            "write its unit in the head, as `{name} [{unit}]`, or here, as {cell} {unit}: {}",
            about.accepted()
        );
        (Code::BareNumber, format!("`{name}` is a bare number"), mend)
    }
}

/// The kind of quantity of a column, directions in degrees among them.
fn quantity(shape: &Shape) -> Option<&'static About> {
    match shape {
        Shape::Quantity(about) => Some(about),
        direction if *direction == <Bearing as Read>::SHAPE => Some(kind::Angle::ABOUT),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::layout::{Anchor, AsBuilt, Tree};

    #[test]
    fn the_heads_of_every_spreadsheet_are_unique() {
        for keys in [Tree::KEYS, Anchor::KEYS, AsBuilt::KEYS] {
            let mut names: Vec<String> = targets(keys)
                .into_iter()
                .map(|target| target.name)
                .collect();
            let all = names.len();
            names.sort();
            names.dedup();
            assert_eq!((names.len(), all >= keys.len()), (all, true));
        }
    }
}
