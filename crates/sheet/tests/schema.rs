//! The JSON Schema says what the reader reads, and an ordinary library for JSON Schema takes the project's sheets.

#![allow(clippy::unwrap_used, clippy::panic)]

use jsonschema::Validator;
use serde_json::{Value, json};
use sheet::{
    SheetFault, SourceFile, files_in, read,
    schema::{Part, schema},
    table::TableFault,
};
use std::{collections::BTreeSet, path::PathBuf};

fn validator(part: Part) -> Validator {
    jsonschema::draft202012::new(&schema(part)).unwrap()
}

fn files(folder: &str) -> Vec<SourceFile> {
    files_in(&PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..").join(folder)).unwrap()
}

fn in_json(file: &SourceFile) -> Value {
    toml::from_str(&file.text).unwrap_or_else(|error| panic!("{}: {error}", file.name))
}

#[test]
fn it_is_a_schema() {
    for part in [Part::Sheet, Part::Layer] {
        assert!(jsonschema::meta::is_valid(&schema(part)));
    }
}

#[test]
fn it_takes_every_file_of_the_sheets_of_the_project() {
    let validator = validator(Part::Sheet);
    for folder in
        ["sheets/quarrow-lanner", "docs/example/tallow-nuthatch", "crates/sheet/tests/sheets/tern-courier"]
    {
        for file in files(folder) {
            let wrong: Vec<_> = validator
                .iter_errors(&in_json(&file))
                .map(|error| format!("{folder}/{}: {}: {error}", file.name, error.instance_path()))
                .collect();
            assert!(wrong.is_empty(), "{wrong:#?}");
        }
    }
}

#[test]
fn a_layer_need_not_say_everything() {
    let layer = &files("crates/sheet/tests/sheets/tern-workshop")[0];
    assert_eq!(layer.name, "ours.toml");
    assert!(validator(Part::Layer).is_valid(&in_json(layer)));
    assert!(!validator(Part::Sheet).is_valid(&in_json(layer)));
}

#[test]
fn it_refuses_what_the_reader_refuses() {
    let validator = validator(Part::Sheet);
    for text in [
        "[access.lift]\ntitle = \"Lift\"\n",
        "[access.lift]\ntitle = \"Lift\"\nhours = -1\n",
        "[access.lift]\ntitle = \"Lift\"\nhours = \"1\"\n",
        "[access.lift]\ntitle = \"Lift\"\nhours = 1\nneed = [\"wheels-off\"]\n",
        "[access.\"my lift\"]\ntitle = \"Lift\"\nhours = 1\n",
        "[chek.again]\ntitle = \"Again\"\n",
        "[check.again]\ncomponent = \"disc\"\ntitle = \"Again\"\n",
        "[check.again]\ncomponent = \"disc\"\ntitle = \"Again\"\nderived = { formula = \"belt-span-tensoin\", unit = \"N\", inputs = {} }\n",
        "[fastener.bolt]\ntitle = \"Bolt\"\nreuse = \"twice\"\ntorque = \"20 N.m\"\nsource = \"invented\"\n",
        "[fastener.bolt]\ntitle = \"Bolt\"\nreuse = \"never\"\nsource = \"invented\"\n",
        "[component.belt]\ntitle = \" \"\nsystem = \"engine\"\ncriticality = \"comfort\"\nages-by = { km = 1 }\n",
    ] {
        let file = SourceFile::new("a.toml", text);
        assert!(!validator.is_valid(&in_json(&file)), "{text}");
        assert!(read(&[file]).is_err(), "{text}");
    }
}

/// A way from a file to a table in it.
#[derive(Clone)]
enum Step {
    Key(String),
    Element,
}

/// Every table of the schema with the way to it; `$ref`s are followed.
fn tables(schema: &Value, node: &Value, way: Vec<Step>, out: &mut Vec<(Vec<Step>, Value)>) {
    if let Some(name) = node.get("$ref").and_then(|to| to.as_str()?.strip_prefix("#/$defs/")) {
        return tables(schema, &schema["$defs"][name], way, out);
    }
    for shape in node["anyOf"].as_array().into_iter().flatten() {
        tables(schema, shape, way.clone(), out);
    }
    let then = |step: Step| [way.clone(), vec![step]].concat();
    if node["items"].is_object() {
        tables(schema, &node["items"], then(Step::Element), out);
    }
    if node["additionalProperties"].is_object() {
        tables(schema, &node["additionalProperties"], then(Step::Key("x".into())), out);
    }
    if let Some(properties) = node["properties"].as_object() {
        if node["additionalProperties"] == json!(false) {
            out.push((way.clone(), node.clone()));
        }
        for (key, value) in properties {
            tables(schema, value, then(Step::Key(key.clone())), out);
        }
    }
}

/// A file with nothing in it but a strange key in that table.
fn planted(way: &[Step]) -> String {
    let inner = "{ no-such-key-anywhere = 0 }".to_owned();
    let (Some(Step::Key(first)), rest) = (way.first(), way.get(1..).unwrap_or_default()) else {
        panic!("a table of a file has a name")
    };
    let value = rest.iter().rev().fold(inner, |inner, step| match step {
        Step::Key(key) => format!("{{ {key} = {inner} }}"),
        Step::Element => format!("[{inner}]"),
    });
    format!("{first} = {value}\n")
}

#[test]
fn it_has_the_keys_that_the_reader_has() {
    let schema = schema(Part::Sheet);
    let mut found = Vec::new();
    tables(&schema, &schema, vec![], &mut found);
    let mut seen = 0;
    for (way, table) in found.into_iter().filter(|(way, _)| !way.is_empty()) {
        let text = planted(&way);
        // What a sign lets one read is read once its check is known, by one way of three: held together elsewhere.
        if text.contains("reads = ") {
            continue;
        }
        let (mut known, mut needed) = (BTreeSet::new(), BTreeSet::new());
        let problems = read(&[SourceFile::new("a.toml", text.clone())]).unwrap_err();
        for problem in &problems {
            match &problem.fault {
                SheetFault::Table(TableFault::UnknownKey { key, known: keys, .. })
                    if key == "no-such-key-anywhere" =>
                {
                    known.extend(keys.iter().copied());
                    let of_this = problems.iter().filter_map(|other| match &other.fault {
                        SheetFault::Table(TableFault::MissingKey { key, .. }) => Some((*key, &other.at)),
                        SheetFault::NoSource { .. } => Some(("source", &other.at)),
                        _ => None,
                    });
                    // The innermost table begins last.
                    let start = of_this.clone().map(|(_, at)| at.bytes().start).max();
                    needed.extend(
                        of_this.filter(|(_, at)| Some(at.bytes().start) == start).map(|(key, _)| key),
                    );
                }
                _ => {}
            }
        }
        let keys: BTreeSet<&str> =
            table["properties"].as_object().unwrap().keys().map(String::as_str).collect();
        assert_eq!(known, keys, "{text}\n{problems}");
        let required: BTreeSet<&str> =
            table["required"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
        if !required.is_empty() {
            assert_eq!(needed, required, "{text}\n{problems}");
        }
        seen += 1;
    }
    assert!(seen > 60, "{seen}");
}

/// The words of the schema are those of the reader: each is taken, and another is refused with all of them.
#[test]
fn it_has_the_words_that_the_reader_has() {
    let schema = schema(Part::Sheet);
    let words = |way: &str| -> Vec<String> {
        let node = schema.pointer(&format!("/$defs/{way}")).unwrap();
        node["enum"].as_array().unwrap().iter().map(|word| word.as_str().unwrap().to_owned()).collect()
    };
    for (way, text) in [
        ("component/properties/criticality", "[component.x]\ncriticality = \"?\"\n"),
        ("fastener/properties/reuse", "[fastener.x]\nreuse = \"?\"\n"),
        ("obligation/properties/guards", "[obligation.x]\nguards = \"?\"\n"),
        ("check/properties/states/items/properties/means", "[check.x]\nstates = [{ means = \"?\" }]\n"),
        ("places/properties/scheme/anyOf/0/properties/kind", "[places.x]\nscheme = { kind = \"?\" }\n"),
    ] {
        let problems = read(&[SourceFile::new("a.toml", text)]).unwrap_err();
        let told = problems.iter().find_map(|problem| match &problem.fault {
            SheetFault::Table(TableFault::UnknownWord { words, .. }) => Some(words.clone()),
            _ => None,
        });
        assert_eq!(told.unwrap(), words(way), "{text}");
    }
}
