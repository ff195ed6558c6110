//! The tree of a JSON text, strictly by RFC 8259; keys that stand twice are found.

use super::{Code, Entry, Node, Problems, SCHEMA_KEY, Value, whole};
use jsonc_parser::ast::{self, ObjectProp};
use jsonc_parser::common::Ranged;
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};
use std::ops::Range;

const STRICT: ParseOptions = ParseOptions {
    allow_comments: false,
    allow_loose_object_property_names: false,
    allow_trailing_commas: false,
    allow_missing_commas: false,
    allow_single_quoted_strings: false,
    allow_hexadecimal_numbers: false,
    allow_unary_plus_numbers: false,
};

pub(super) fn parse(text: &str, problems: &mut Problems<'_>) -> Option<Node> {
    let parsed = match parse_to_ast(text, &CollectOptions::default(), &STRICT) {
        Ok(parsed) => parsed,
        Err(error) => {
            let range = error.range();
            let range = whole(text, range.start)..whole(text, range.end);
            syntax(range, &error.kind().to_string(), problems);
            return None;
        }
    };
    let mut root = parsed
        .value
        .as_ref()
        .and_then(|value| node(value, 0, problems));
    if let Some(root) = &mut root {
        take_schema(root, problems);
    }
    // The parser that knows the places is the more lenient of the two.
    if let (Err(error), true) = (
        serde_json::from_str::<serde::de::IgnoredAny>(text),
        problems.found.is_empty(),
    ) {
        let before: usize = text
            .split_inclusive('\n')
            .take(error.line().saturating_sub(1))
            .map(str::len)
            .sum();
        let at = whole(text, before + error.column().saturating_sub(1));
        let message = error.to_string();
        syntax(
            at..at,
            message.split(" at line ").next().unwrap_or(&message),
            problems,
        );
        return None;
    }
    root
}

/// Takes out what tells an editor the schema of the file: it is no part of the layout.
fn take_schema(root: &mut Node, problems: &mut Problems<'_>) {
    let Value::Table(entries) = &mut root.value else {
        return;
    };
    let Some(at) = entries.iter().position(|entry| entry.key == SCHEMA_KEY) else {
        return;
    };
    let entry = entries.remove(at);
    if !matches!(entry.node.value, Value::Text(_)) {
        let message = format!(
            "`{SCHEMA_KEY}` is {}, but names a schema",
            entry.node.value.is()
        );
        let mend = "write text in quotes, such as \"./barkline.schema.json\", or leave the key out";
        problems.report_at(Code::WrongType, entry.node.span, &message, mend);
    }
}

fn syntax(range: Range<usize>, message: &str, problems: &mut Problems<'_>) {
    let message = format!("this is not JSON: {message}");
    problems.report(
        Code::Syntax,
        range,
        &message,
        "write strict JSON: no comments, no comma after the last entry",
    );
}

fn node(value: &ast::Value<'_>, depth: usize, problems: &mut Problems<'_>) -> Option<Node> {
    let range = value.start()..value.end();
    let span = problems.span(range.clone());
    let value = match value {
        ast::Value::StringLit(text) => Value::Text(text.value.clone().into_owned()),
        ast::Value::NumberLit(number) => Value::Number(number.value.parse().unwrap_or(f64::NAN)),
        ast::Value::BooleanLit(flag) => Value::Flag(flag.value),
        ast::Value::NullKeyword(_) => Value::Null,
        ast::Value::Array(list) => {
            if !problems.shallow(depth, range.clone()) || !problems.fits(list.elements.len(), range)
            {
                return None;
            }
            Value::List(
                list.elements
                    .iter()
                    .filter_map(|value| node(value, depth + 1, problems))
                    .collect(),
            )
        }
        ast::Value::Object(object) => table(&object.properties, range, depth, problems)?,
    };
    Some(Node { span, value })
}

fn table(
    properties: &[ObjectProp<'_>],
    range: Range<usize>,
    depth: usize,
    problems: &mut Problems<'_>,
) -> Option<Value> {
    if !problems.shallow(depth, range.clone()) || !problems.fits(properties.len(), range) {
        return None;
    }
    let mut seen = std::collections::HashSet::new();
    let mut entries = Vec::with_capacity(properties.len());
    for property in properties {
        let range = property.name.start()..property.name.end();
        let key = property.name.as_str();
        if !seen.insert(key) {
            problems.report(
                Code::DuplicateKey,
                range,
                "this key is already set",
                "keep one of the two",
            );
            continue;
        }
        let span = problems.span(range);
        if let Some(node) = node(&property.value, depth + 1, problems) {
            entries.push(Entry {
                key: key.to_owned(),
                span,
                node,
            });
        }
    }
    Some(Value::Table(entries))
}
