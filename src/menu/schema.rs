//! JSON Schemas (draft 2020-12) from the key tables.

use serde_json::{Map, Value, json};

use super::keys::{Absent, Kind, Table};
use super::read::{LONGEST_NAME, LONGEST_TEXT, MOST_STEPS};

/// The `$schema` of draft 2020-12, from memory (checks row T25).
const DRAFT: &str = "https://json-schema.org/draft/2020-12/schema";

/// The schema of a file that holds this table at its top.
pub fn of(table: &'static Table) -> Value {
    let mut schema = object(table);
    schema.insert("$schema".into(), json!(DRAFT));
    schema.insert("title".into(), json!(format!("mealtide: {}", table.name)));
    Value::Object(schema)
}

fn object(table: &'static Table) -> Map<String, Value> {
    let properties: Map<String, Value> = table
        .keys
        .iter()
        .map(|key| {
            let mut value = kind(&key.kind);
            if let Value::Object(map) = &mut value {
                map.insert("description".into(), json!(key.doc));
                if let Absent::Means(text) = key.absent
                    && let Some(default) = default(text)
                {
                    map.insert("default".into(), default);
                }
            }
            (key.name.to_owned(), value)
        })
        .collect();
    let required: Vec<&str> = table
        .keys
        .iter()
        .filter(|key| key.absent == Absent::Error)
        .map(|key| key.name)
        .collect();
    let mut object = Map::new();
    object.insert("type".into(), json!("object"));
    object.insert("description".into(), json!(table.doc));
    object.insert("properties".into(), Value::Object(properties));
    object.insert("required".into(), json!(required));
    object.insert("additionalProperties".into(), json!(false));
    object
}

/// The TOML text of a default as JSON.
fn default(text: &str) -> Option<Value> {
    let table: toml::Table = format!("value = {text}").parse().ok()?;
    serde_json::to_value(table.get("value")?).ok()
}

fn text(most: usize) -> Value {
    json!({ "type": "string", "minLength": 1, "maxLength": most })
}

fn kind(kind: &Kind) -> Value {
    let pattern = |pattern: &str| json!({ "type": "string", "pattern": pattern });
    match kind {
        Kind::Text => text(LONGEST_TEXT),
        Kind::Id => {
            json!({ "type": "string", "minLength": 1, "maxLength": LONGEST_NAME, "pattern": "^[^/]+$" })
        }
        Kind::Ids => {
            json!({ "type": "array", "items": { "type": "string", "pattern": "^[^/]+$" } })
        }
        Kind::Texts => json!({ "type": "array", "items": text(LONGEST_NAME) }),
        Kind::Steps => {
            json!({ "type": "array", "items": { "type": "string", "pattern": "^[^/]+(/[^/]+)?$" } })
        }
        Kind::Count(least, most) => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Kind::Number(least, most) => {
            json!({ "type": "number", "minimum": least, "maximum": most })
        }
        Kind::List(each, least, most) => {
            json!({ "type": "array", "items": self::kind(each), "minItems": least, "maxItems": most })
        }
        Kind::Positive => {
            json!({ "type": ["number", "string"], "exclusiveMinimum": 0, "maximum": 10_000 })
        }
        Kind::Amount => json!({ "type": ["string", "number"] }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Duration => {
            json!({ "type": ["string", "integer"], "examples": ["15 min", "1 h 15 min", "2 days", "PT15M", 0] })
        }
        Kind::DurationRange => {
            json!({ "type": "string", "examples": ["8 min", "70 to 90 min", "PT15M"] })
        }
        Kind::Volume => json!({ "type": "string", "examples": ["2.4 L", "500 ml"] }),
        Kind::OvenSetting => {
            json!({ "type": "string", "examples": ["220 C", "425 F", "gas 7", "fan 200 C", "180 to 200 C", "off"] })
        }
        Kind::Temperature => json!({ "type": "string", "examples": ["74 C", "165 F"] }),
        Kind::Difference => json!({ "type": "string", "examples": ["10 C", "0 C"] }),
        Kind::Rate => json!({ "type": "string", "examples": ["10 C/min"] }),
        Kind::Moment => json!({ "type": "string", "examples": ["19:30", "2026-12-21 19:30"] }),
        Kind::Share => json!({ "type": ["string", "number"], "examples": ["90 %"] }),
        Kind::Hands => pattern("^([Oo][Nn]|[Oo][Ff][Ff]|[Cc]heck every .+)$"),
        Kind::Choice(words) => json!({ "enum": words }),
        Kind::Hours => pattern("^$|^.+( to |-).+$"),
        Kind::FileOr(table) => {
            json!({ "anyOf": [text(LONGEST_NAME), Value::Object(object(table))] })
        }
        Kind::Table(table) => Value::Object(object(table)),
        Kind::Tables(table) => {
            json!({ "type": "array", "maxItems": MOST_STEPS, "items": Value::Object(object(table)) })
        }
        Kind::Names => json!({
            "type": "object",
            "additionalProperties": {
                "anyOf": [{ "type": "string" }, { "type": "array", "items": { "type": "string" } }]
            }
        }),
    }
}
