//! The JSON Schema of the layout file, from the very shapes by which it is read.

use super::document::SCHEMA_KEY;
use super::layout::Layout;
use super::reader::{Key, MOST, Shape};
use serde_json::{Map, Value, json};

/// The dialect of the schema.
const DIALECT: &str = "https://json-schema.org/draft/2020-12/schema";

/// A number and then a unit. Looser than the reader: what the units are, and how feet and inches go together, is said in words.
const QUANTITY: &str = r#"^\s*[-−+]?\s*[.0-9½⅓⅔¼¾⅛⅜⅝⅞].*[A-Za-z%°º"'″”′’]"#;

/// The schema of the layout file (JSON Schema, draft 2020-12), so that editors complete keys and mark slips.
///
/// It holds for JSON, and for TOML as editors see it. A layout that it refuses is refused by [`Layout::from_text`] too; not
/// the other way round: ids, names and geometry are beyond a schema.
///
/// # Example
/// ```rust
/// let schema = barkline::input::schema();
/// let tree = &schema["$defs"]["tree"];
/// assert_eq!(tree["required"], serde_json::json!(["id"]));
/// assert_eq!(tree["properties"]["leans"]["type"], "string");
/// ```
pub fn schema() -> Value {
    let mut tables = Map::new();
    let Shape::Table(_, keys) = Layout::SHAPE else {
        return Value::Bool(true);
    };
    let mut root = table(keys, &mut tables);
    if let Some(Value::Object(properties)) = root.get_mut("properties") {
        let about = "Where this schema is, for editors. In JSON only; not read.";
        let schema = json!({ "type": "string", "description": about });
        properties.insert(SCHEMA_KEY.to_owned(), schema);
    }
    let mut whole = Map::new();
    whole.insert("$schema".to_owned(), json!(DIALECT));
    whole.insert("title".to_owned(), json!("Layout of barkline"));
    whole.extend(root);
    whole.insert("$defs".to_owned(), Value::Object(tables));
    Value::Object(whole)
}

/// A table of these keys and no others.
fn table(keys: &[Key], tables: &mut Map<String, Value>) -> Map<String, Value> {
    let mut table = Map::new();
    table.insert("type".to_owned(), json!("object"));
    let properties = keys
        .iter()
        .map(|key| (key.name.to_owned(), Value::Object(property(key, tables))));
    let properties: Map<String, Value> = properties.collect();
    table.insert("properties".to_owned(), Value::Object(properties));
    let required = keys.iter().filter(|key| key.required);
    let required: Vec<&str> = required.map(|key| key.name).collect();
    if !required.is_empty() {
        table.insert("required".to_owned(), json!(required));
    }
    table.insert("additionalProperties".to_owned(), json!(false));
    table
}

/// The value of a key, with what it means; a required one is not empty.
fn property(key: &Key, tables: &mut Map<String, Value>) -> Map<String, Value> {
    let mut property = shape(&key.shape, tables);
    match key.shape {
        Shape::Text if key.required => {
            property.insert("pattern".to_owned(), json!(r"\S"));
        }
        Shape::List(_) if key.required => {
            property.insert("minItems".to_owned(), json!(1));
        }
        _ => {}
    }
    let about = match words(&key.shape) {
        Some(due) => format!("{} {due}", key.about),
        None => key.about.to_owned(),
    };
    property.insert("description".to_owned(), json!(about));
    property
}

/// What is due where the type alone does not say it, as a sentence.
fn words(shape: &Shape) -> Option<String> {
    let due = match shape {
        Shape::Small(_) | Shape::Quantity(_) => shape.due(),
        Shape::Pair(of) | Shape::List(of) => {
            let due = words(of)?;
            let due = due.trim_end_matches('.');
            let many = if matches!(shape, Shape::Pair(_)) {
                "Two"
            } else {
                "A list"
            };
            return Some(format!("{many}, each: {}.", lower_first(due)));
        }
        _ => return None,
    };
    let mut letters = due.trim_end_matches([',', ';']).chars();
    let first = letters.next()?.to_uppercase();
    Some(format!("{}{}.", first, letters.as_str()))
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

fn shape(shape: &Shape, tables: &mut Map<String, Value>) -> Map<String, Value> {
    let value = match shape {
        Shape::Text | Shape::Small(_) => json!({ "type": "string" }),
        Shape::Flag => json!({ "type": "boolean" }),
        Shape::Number => json!({ "type": "number" }),
        Shape::Count => json!({ "type": "integer", "minimum": 1, "maximum": MOST }),
        Shape::Quantity(_) => json!({ "type": "string", "pattern": QUANTITY }),
        Shape::Words(words) => json!({ "type": "string", "enum": words }),
        Shape::List(of) => json!({ "type": "array", "items": self::shape(of, tables) }),
        Shape::Pair(of) => json!({
            "type": "array", "items": self::shape(of, tables), "minItems": 2, "maxItems": 2
        }),
        Shape::Numbers(names) => numbers(names),
        Shape::FileOr(of) => json!({ "anyOf": [{ "type": "string" }, self::shape(of, tables)] }),
        Shape::Table(title, keys) => reference(title, keys, tables),
    };
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}

fn numbers(names: &[&str]) -> Value {
    let positive = json!({ "type": "number", "exclusiveMinimum": 0 });
    let properties: Map<String, Value> = names
        .iter()
        .map(|&name| (name.to_owned(), positive.clone()))
        .collect();
    json!({ "type": "object", "properties": properties, "additionalProperties": false })
}

/// The place of a table among the definitions, where it is written once.
fn reference(title: &str, keys: &[Key], tables: &mut Map<String, Value>) -> Value {
    let name = title.trim_matches(['[', ']']);
    if !tables.contains_key(name) {
        let definition = table(keys, tables);
        tables.insert(name.to_owned(), Value::Object(definition));
    }
    json!({ "$ref": format!("#/$defs/{name}") })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use std::collections::BTreeMap;

    /// Every table of the shape with its keys, as often as it stands there.
    fn collect(shape: &Shape, out: &mut Vec<(&'static str, &'static [Key])>) {
        match shape {
            Shape::List(of) | Shape::Pair(of) | Shape::FileOr(of) => collect(of, out),
            Shape::Table(title, keys) => {
                out.push((title, keys));
                keys.iter().for_each(|key| collect(&key.shape, out));
            }
            _ => {}
        }
    }

    #[test]
    fn tables_of_one_name_are_one_table() {
        let mut found = Vec::new();
        collect(&Layout::SHAPE, &mut found);
        let mut names = BTreeMap::new();
        for (title, keys) in &found {
            let name = title.trim_matches(['[', ']']);
            assert_eq!(names.entry(name).or_insert(*keys), keys, "{title}");
        }
        // The layout itself is the root.
        let defined = schema()["$defs"].as_object().unwrap().len();
        assert_eq!(defined, names.len() - 1);
    }

    #[test]
    fn what_is_due_is_said_in_sentences() {
        let schema = schema();
        let about = |table: &str, key: &str| {
            let about = &schema["$defs"][table]["properties"][key]["description"];
            about.as_str().unwrap().to_owned()
        };
        assert_eq!(
            about("tree", "bark"),
            "The thickness of the bark. A length in quotes with its unit (mm, cm, m, in, ft)."
        );
        assert_eq!(
            about("tree", "leans"),
            "The direction in which it leans. A direction in quotes, such as \"S\" or \"35 deg\"."
        );
        assert_eq!(
            about("beam", "overhang"),
            "Its overhangs past the first and last support, in place of `line`. \
             Two, each: a length in quotes with its unit (mm, cm, m, in, ft)."
        );
        assert_eq!(
            about("beam", "held_down"),
            "Whether the seats hold it down."
        );
    }
}
