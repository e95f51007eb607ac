//! The format as a JSON Schema: for editors that complete and underline while one writes, and for other programs.
//!
//! It says what each file of a sheet may hold. What lies between tables (ids that exist, units that fit, limits the
//! right way round) only [`check`](crate::check) tells. A test holds it against the reader, key by key.

mod checks;
mod head;
mod questions;
mod shapes;
mod stock;
mod work;

use serde_json::{Value, json};
use shapes::*;

/// What a file is part of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// A sheet of its own: each table has what it must have.
    Sheet,
    /// A layer over another sheet: a table may say no more than what is to be different.
    Layer,
}

/// The JSON Schema, draft 2020-12, of a file.
pub fn schema(part: Part) -> Value {
    let mut defs = json!({});
    let mut properties = json!({});
    for (key, says, capitals, entry) in tables() {
        defs[key] = if part == Part::Layer { loosened(entry) } else { entry };
        properties[key] = by_id(says, capitals, key);
    }
    let sheet = head::sheet();
    properties["sheet"] = if part == Part::Layer { loosened(sheet) } else { sheet };
    properties["layer"] = head::layer();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A file of a data sheet",
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
        "$defs": defs,
    })
}

/// A table that may leave everything out.
fn loosened(mut table: Value) -> Value {
    if let Some(table) = table.as_object_mut() {
        ["required", "oneOf", "anyOf"].iter().for_each(|key| _ = table.remove(*key));
    }
    table
}

/// The tables `[key.id]`: key, what they are, whether ids may have capitals, what is in one.
fn tables() -> [(&'static str, &'static str, bool, Value); 19] {
    [
        ("variant", "The forms in which the type of car was made.", false, head::variant()),
        ("system", "The systems of the car, in the order of pages and letter.", false, head::system()),
        ("places", "Sets of places where components sit.", false, head::places()),
        ("station", "The stops of the walk, in their order.", false, head::station()),
        ("component", "Things that can wear.", false, checks::component()),
        ("check", "Ways to look at or measure a component.", false, checks::check()),
        ("instrument", "Kinds of instruments and what to believe of them.", false, checks::instrument()),
        ("fluid", "What is filled in.", false, stock::fluid()),
        ("fastener", "Bolts, nuts and plugs, and how they are tightened.", false, stock::fastener()),
        ("part", "Parts by their numbers.", true, stock::part()),
        ("access", "What has to come off to reach something else.", false, work::access()),
        ("operation", "Work on a component.", false, work::operation()),
        ("obligation", "Checks that work done makes necessary.", false, work::obligation()),
        ("consequence", "What a failure leads to.", false, work::consequence()),
        ("while-apart", "What is worth doing while something is apart anyway.", false, work::while_apart()),
        ("question", "Things to be explained.", false, questions::question()),
        ("explanation", "What may be behind what was found.", false, questions::explanation()),
        ("look-alike", "What looks alike and is not the same.", false, questions::look_alike()),
        ("glossary", "Words of the trade, in words of owners.", false, questions::owners_word()),
    ]
}

/// `only` and `model-years`.
fn only() -> [Key; 2] {
    [may("only", ids("The variants that are meant; all of them unless said.")), may("model-years", years())]
}

fn years() -> Value {
    let year = |says| json!({ "type": "integer", "minimum": 1880, "maximum": 2200, "description": says });
    with_some_of(
        &["from", "to"],
        table(
            "The model years, first and last included.",
            [may("from", year("The first.")), may("to", year("The last."))],
        ),
    )
}

fn source() -> Key {
    need("source", such_as("Where it comes from.", "maker's manual"))
}

fn title() -> Key {
    need("title", text("What people call it."))
}

fn caution() -> Key {
    may("caution", text("Where it can hurt someone; shown where the work is done."))
}

/// When something falls due.
fn trigger(says: &str) -> Value {
    with_some_of(
        &["km", "years", "event"],
        table(
            says,
            [
                may("km", plain("After this distance.", "2000 km")),
                may("years", plain("After this time.", "1 year")),
                may("event", such_as("At this event.", "next oil change")),
            ],
        ),
    )
}
