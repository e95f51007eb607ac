//! The shapes that values of a sheet have, as JSON Schema.

use serde_json::{Map, Value, json};

/// A key of a table: its name, whether it must be there, what it holds.
pub(super) struct Key(&'static str, bool, Value);

pub(super) fn need(key: &'static str, value: Value) -> Key {
    Key(key, true, value)
}

pub(super) fn may(key: &'static str, value: Value) -> Key {
    Key(key, false, value)
}

/// The same key where it may be left out.
pub(super) fn optional(key: Key) -> Key {
    Key(key.0, false, key.2)
}

/// A table with these keys and no others.
pub(super) fn table(says: &str, keys: impl IntoIterator<Item = Key>) -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    for Key(key, needed, value) in keys {
        properties.insert(key.into(), value);
        required.extend(needed.then_some(key));
    }
    json!({
        "type": "object",
        "description": says,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

/// A table that must have one of these keys, and only one.
pub(super) fn with_one_of(keys: &[&str], mut table: Value) -> Value {
    table["oneOf"] = keys.iter().map(|key| json!({ "required": [key] })).collect();
    table
}

/// A table that must have at least one of these keys.
pub(super) fn with_some_of(keys: &[&str], mut table: Value) -> Value {
    table["anyOf"] = keys.iter().map(|key| json!({ "required": [key] })).collect();
    table
}

/// A table whose keys are chosen by the writer.
pub(super) fn any_keys(says: &str, value: Value) -> Value {
    json!({ "type": "object", "description": says, "additionalProperties": value })
}

/// Tables by ids that the writer chooses.
pub(super) fn by_id(says: &str, capitals: bool, entry: &str) -> Value {
    let pattern = if capitals { "^[A-Za-z0-9_.-]+$" } else { "^[a-z0-9_.-]+$" };
    json!({
        "type": "object",
        "description": says,
        "propertyNames": { "pattern": pattern },
        "additionalProperties": { "$ref": format!("#/$defs/{entry}") },
    })
}

pub(super) fn text(says: &str) -> Value {
    json!({ "type": "string", "pattern": "\\S", "description": says })
}

/// Text by an example of it.
pub(super) fn such_as(says: &str, example: &str) -> Value {
    json!({ "type": "string", "pattern": "\\S", "description": says, "examples": [example] })
}

/// A number with its unit, by an example of it.
pub(super) fn measure(says: &str, example: &str) -> Value {
    json!({ "type": "string", "pattern": "[0-9]", "description": says, "examples": [example] })
}

/// The same, or a plain number of the usual unit.
pub(super) fn plain(says: &str, example: &str) -> Value {
    either(says, [measure("With its unit.", example), above(0.0, "A plain number.")])
}

pub(super) fn money(says: &str) -> Value {
    json!({ "type": "string", "pattern": "^[0-9][0-9.]*$", "description": says, "examples": ["84.50"] })
}

/// The id of something else on the sheet.
pub(super) fn id(says: &str) -> Value {
    json!({ "type": "string", "pattern": "^[A-Za-z0-9_.-]+$", "description": says })
}

pub(super) fn ids(says: &str) -> Value {
    list(says, id("an id"))
}

pub(super) fn not_negative(says: &str) -> Value {
    json!({ "type": "number", "minimum": 0, "description": says })
}

pub(super) fn above(least: f64, says: &str) -> Value {
    json!({ "type": "number", "exclusiveMinimum": least, "description": says })
}

/// A number from 0 to 1.
pub(super) fn share(says: &str) -> Value {
    json!({ "type": "number", "minimum": 0, "maximum": 1, "description": says })
}

pub(super) fn count(says: &str) -> Value {
    json!({ "type": "integer", "minimum": 1, "maximum": 1_000_000, "description": says })
}

pub(super) fn flag(says: &str) -> Value {
    json!({ "type": "boolean", "description": says })
}

pub(super) fn word<'w>(says: &str, words: impl IntoIterator<Item = &'w str>) -> Value {
    json!({ "enum": words.into_iter().collect::<Vec<_>>(), "description": says })
}

pub(super) fn list(says: &str, item: Value) -> Value {
    json!({ "type": "array", "description": says, "items": item })
}

pub(super) fn list_of_some(says: &str, least: usize, item: Value) -> Value {
    json!({ "type": "array", "description": says, "items": item, "minItems": least })
}

/// One of several shapes.
pub(super) fn either(says: &str, shapes: impl IntoIterator<Item = Value>) -> Value {
    json!({ "description": says, "anyOf": shapes.into_iter().collect::<Vec<_>>() })
}
