//! The commands of data sheets, and a book on a second type of vehicle.

#![allow(clippy::unwrap_used, clippy::panic)]

use serde_json::{Value, json};
use std::{fs, path::Path};
use support::{Desk, path};

mod support;

fn sheets(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sheets").join(name).to_str().unwrap().to_owned()
}

fn snapshot(name: &str, told: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_omit_expression(true);
    settings.set_prepend_module_to_snapshot(false);
    settings.bind(|| insta::assert_snapshot!(name, told));
}

#[test]
fn a_new_sheet_is_in_order_and_is_never_written_over_another() {
    let desk = Desk::bare();
    desk.done(&["sheet", "new", "my-tern", "--title", "Tern Courier"]);
    let checked = desk.json(&["sheet", "check", "my-tern"]);
    assert_eq!(
        (checked["sheet"].as_str(), checked["title"].as_str()),
        (Some("my-tern"), Some("Tern Courier"))
    );
    let schema = fs::read_to_string(desk.path("my-tern/sheet.schema.json")).unwrap();
    assert_eq!(schema, desk.done(&["sheet", "schema"]));
    let told = desk.run(&["sheet", "new", "my-tern"]);
    assert_eq!((told.code, &*told.stdout), (2, ""));
    assert!(told.stderr.contains("my-tern already holds 00-sheet.toml"), "{}", told.stderr);
}

#[test]
fn a_new_layer_is_in_order_over_its_sheet() {
    let desk = Desk::bare();
    desk.done(&["sheet", "new", "base"]);
    desk.done(&["sheet", "new", "ours", "--over", "../base", "--title", "Ours"]);
    assert_eq!(desk.json(&["sheet", "check", "ours"])["sheet"], "base");
    let layer = "[layer]\ntitle = \"Ours\"\nover = \"../base\"\n\n[check.front-disc-thickness]\nlimit = { min = \"20.5 mm\", source = \"own cars\" }\n";
    desk.file("ours/ours.toml", layer);
    snapshot("sheet_show_layered", &desk.done(&["sheet", "show", "ours", "front-disc-thickness"]));
    let shown = desk.json(&["sheet", "show", "ours", "check.front-disc-thickness"]);
    let facts = shown[0]["facts"].as_array().unwrap();
    let limit = facts.iter().find(|fact| fact["key"] == "limit").unwrap();
    assert_eq!(
        (&limit["layer"], &limit["file"], &limit["line"]),
        (&json!("Ours"), &json!("ours.toml"), &json!(6))
    );
    assert_eq!(limit["instead_of"]["file"], "../base/10-brakes.toml");
    assert_eq!(
        desk.done(&["sheet", "diff", "base", "ours"]),
        "check `front-disc-thickness` (Thickness at the thinnest of eight points): `limit` was \"at least 20 mm (source: an example: read it off the disc)\", is now \"at least 20.5 mm (source: own cars)\"\n"
    );
}

#[test]
fn a_layered_sheet_is_taken_into_a_book_with_what_it_lies_over() {
    let desk = Desk::bare();
    desk.done(&["sheet", "new", "base"]);
    desk.done(&["sheet", "new", "ours", "--over", "../base"]);
    desk.done(&["sheet", "add", "ours", "--book", "book"]);
    fs::remove_dir_all(desk.path("base")).unwrap();
    desk.file("car.toml", "[car]\nid = \"one\"\ntitle = \"One\"\nsheet = \"base\"\n");
    desk.done(&["record", path("workshop.toml").as_str(), "car.toml"]);
    assert_eq!(desk.json(&["cars"]).as_array().unwrap().len(), 1);
}

#[test]
fn a_sheet_is_shown_in_plain_words() {
    let desk = Desk::bare();
    let fell = sheets("ottermere-fell");
    snapshot("sheet_show", &desk.done(&["sheet", "show", &fell, "chain-stretch"]));
    let list = desk.done(&["sheet", "show", &fell]);
    assert!(list.starts_with("sheet\n  Ottermere Fell 600\nvariant (2)\n"), "{list}");
    let told = desk.run(&["sheet", "show", &fell, "chain-strech"]);
    assert_eq!(told.code, 2);
    assert!(told.stderr.contains("did you mean `chain-stretch`?"), "{}", told.stderr);
}

/// A motorcycle of an invented make, never seen before.
const PLOVER: &str = r#"
[car]
id      = "plover"
title   = "Plover"
sheet   = "ottermere-fell"
variant = "road"
"#;

const VISIT: &str = r#"
[visit]
car       = "plover"
date      = 2026-04-20
odometer  = "31200 km"
by        = "ida"
asked-for = "It wanders on the motorway."

[readings]
front-disc-thickness = { "front.left" = "4.71 mm", "front.right" = "4.74 mm" }
front-pad-thickness  = { "front.left" = "3.1 mm", "front.right" = "3.2 mm" }
rear-pad-thickness   = "2.4 mm"
front-tyre-tread     = "3.4 mm"
rear-tyre-tread      = "1.4 mm"
front-tyre-pressure  = "1.90 bar"
rear-tyre-pressure   = "2.60 bar"
chain-slack          = "34 mm"
chain-stretch        = ["323.9 mm", "324.4 mm", "324.6 mm"]
rear-sag-ridden      = "32 mm"
battery-rest-voltage = "12.61 V"

[looks]
steering-head-feel = "smooth"
rear-tyre-look     = "flat"
brake-hose-look    = { front = "dull", rear = "crazed" }
fork-seal-damp     = { "leg.left" = "ring", "leg.right" = "film" }
sprocket-teeth     = { "sprocket.gearbox" = "lean", "sprocket.wheel" = "shine" }
stand-switch       = "stops"
"#;

fn with_plover() -> Desk {
    let desk = Desk::bare();
    desk.done(&["sheet", "add", &sheets("ottermere-fell"), "--book", "book"]);
    desk.file("plover.toml", PLOVER);
    desk.file("visit.toml", VISIT);
    let workshop = fs::read_to_string(path("workshop.toml")).unwrap();
    let workshop = workshop.split("[[instrument]]").next().unwrap().to_owned();
    desk.file("workshop.toml", &workshop);
    desk.done(&["record", "workshop.toml", "plover.toml", "visit.toml"]);
    desk
}

const ON_THE_DAY: [&str; 2] = ["--today", "2026-04-20"];

#[test]
fn a_motorcycle_is_assessed_and_planned() {
    let desk = with_plover();
    let assessed = desk.json(&[&["assess", "plover"][..], &ON_THE_DAY].concat());
    let verdict = |check: &str, place: &str| -> String {
        let findings = assessed["findings"].as_array().unwrap();
        let found = findings.iter().find(|finding| finding["check"] == check && finding["place"] == place);
        found.unwrap_or_else(|| panic!("{check} {place}"))["verdict"].as_str().unwrap().to_owned()
    };
    for (check, place, expected) in [
        ("front-disc-thickness", "front.left", "sound"),
        ("rear-tyre-tread", "single", "stays-put"), // past its limit, and safety
        ("rear-tyre-look", "single", "settled"),
        ("brake-hose-look", "rear", "plan"),
        ("fork-seal-damp", "leg.left", "plan"),
        ("sprocket-teeth", "sprocket.gearbox", "plan"),
        ("stand-switch", "single", "sound"),
    ] {
        assert_eq!(verdict(check, place), expected, "{check} {place}");
    }
    let frequency =
        assessed["findings"].as_array().unwrap().iter().find(|f| f["check"] == "rear-frequency").unwrap();
    // 1/(2π) · √(9.80665 m/s² ÷ 0.032 m) = 2.786 Hz: a mass on a spring, elementary physics.
    assert!((frequency["value"].as_f64().unwrap() - 2.786).abs() < 0.001, "{frequency}");

    let plan = desk.json(&[&["plan", "plover"][..], &ON_THE_DAY].concat());
    assert_eq!(plan["proven"], true);
    let now: Vec<&str> = plan["items"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|item| item["occasion"] == "now")
        .map(|item| item["operation"].as_str().unwrap())
        .collect();
    assert!(now.contains(&"renew-rear-tyre"), "{plan}");
    // Chain and sprockets are not worth doing apart.
    assert_eq!(now.contains(&"renew-chain"), now.contains(&"renew-sprockets"), "{plan}");
}

#[test]
fn another_limit_says_which_verdicts_it_would_change() {
    let desk = with_plover();
    fs::create_dir(desk.path("fell")).unwrap();
    for file in fs::read_dir(sheets("ottermere-fell")).unwrap() {
        let file = file.unwrap().path();
        let text = fs::read_to_string(&file).unwrap();
        let text = text.replace(
            "new       = \"5.0 mm\"\nlimit     = { min = \"1.5 mm\"",
            "new       = \"5.0 mm\"\nlimit     = { min = \"3.0 mm\"",
        );
        fs::write(desk.path("fell").join(file.file_name().unwrap()), text).unwrap();
    }
    let diff = |more: &[&str]| {
        [&["sheet", "diff", &sheets("ottermere-fell"), "fell"][..], more]
            .concat()
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
    };
    let arguments = diff(&[&["--book", "book"][..], &ON_THE_DAY].concat());
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    snapshot("sheet_diff", &desk.done(&arguments));
    let told: Value = desk.json(&arguments);
    assert_eq!(told["changes"].as_array().unwrap().len(), 1);
    assert_eq!(told["changes"][0]["change"], "says");
    let verdicts = &told["cars"][0]["verdicts"];
    assert_eq!(verdicts.as_array().unwrap().len(), 1, "{verdicts}");
    assert_eq!(
        (&verdicts[0]["check"], &verdicts[0]["now"]),
        (&json!("rear-pad-thickness"), &json!("stays-put"))
    );
}
