//! The tree of a TOML text, with every error of syntax that the parser can name.

use super::{Code, Entry, Node, Problems, Value};
use ::toml::Spanned;
use ::toml::de::{DeTable, DeValue};
use std::collections::HashSet;
use std::ops::Range;

pub(super) fn parse(text: &str, problems: &mut Problems<'_>) -> Option<Node> {
    let (root, errors) = DeTable::parse_recoverable(text);
    let mut lines: HashSet<usize> = HashSet::new();
    for error in errors {
        let range = error.span().unwrap_or(text.len()..text.len());
        // One error in a line makes others: the first says enough.
        if lines.insert(problems.line(range.start)) {
            report(error.message(), range, problems);
        }
    }
    let value = table(root.into_inner(), 0..0, 0, problems)?;
    Some(Node {
        span: problems.span(0..0),
        value,
    })
}

fn report(message: &str, range: Range<usize>, problems: &mut Problems<'_>) {
    if message.starts_with("duplicate key") {
        problems.report(
            Code::DuplicateKey,
            range,
            "this key is already set",
            "keep one of the two",
        );
        return;
    }
    let mend = if message.contains("quoted") {
        "write text and quantities in quotes, as in arm = \"3-1/2 in\""
    } else {
        "write `key = value`, one to a line; text and quantities in quotes, lists in [ ]"
    };
    problems.report(
        Code::Syntax,
        range,
        &format!("this is not TOML: {message}"),
        mend,
    );
}

fn node(value: Spanned<DeValue<'_>>, depth: usize, problems: &mut Problems<'_>) -> Option<Node> {
    let range = value.span();
    let span = problems.span(range.clone());
    let value = match value.into_inner() {
        DeValue::String(text) => Value::Text(text.into_owned()),
        DeValue::Integer(number) => Value::Number(integer(number.as_str(), number.radix())),
        DeValue::Float(number) => Value::Number(number.as_str().parse().unwrap_or(f64::NAN)),
        DeValue::Boolean(flag) => Value::Flag(flag),
        DeValue::Datetime(date) => Value::Date(date.to_string()),
        DeValue::Array(list) => {
            if !problems.shallow(depth, range.clone()) || !problems.fits(list.len(), range) {
                return None;
            }
            Value::List(
                list.into_iter()
                    .filter_map(|value| node(value, depth + 1, problems))
                    .collect(),
            )
        }
        DeValue::Table(entries) => table(entries, range, depth, problems)?,
    };
    Some(Node { span, value })
}

/// A whole number; beyond 2^53 to the nearest number that the machine holds.
fn integer(digits: &str, radix: u32) -> f64 {
    let whole = if radix == 10 {
        None
    } else {
        i64::from_str_radix(digits, radix).ok()
    };
    whole.map_or_else(|| digits.parse().unwrap_or(f64::NAN), |whole| whole as f64)
}

fn table(
    entries: DeTable<'_>,
    range: Range<usize>,
    depth: usize,
    problems: &mut Problems<'_>,
) -> Option<Value> {
    if !problems.shallow(depth, range.clone()) || !problems.fits(entries.len(), range) {
        return None;
    }
    let entries: Vec<Entry> = entries
        .into_iter()
        .filter_map(|(key, value)| {
            let span = problems.span(key.span());
            Some(Entry {
                key: key.into_inner().into_owned(),
                span,
                node: node(value, depth + 1, problems)?,
            })
        })
        .collect();
    Some(Value::Table(entries))
}
