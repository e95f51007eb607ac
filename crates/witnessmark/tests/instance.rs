//! `plan --instance`: the check values of the room *planner*, asked as a program asks them, and what cannot be planned.

#![allow(clippy::unwrap_used)]

use serde_json::{Value, json};
use std::{fs, path::Path};
use support::Desk;

mod support;

fn reference() -> Value {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference/planning.json");
    serde_json::from_str(&fs::read_to_string(file).unwrap()).unwrap()
}

/// What a row asks, as a file: its data, with the fields that it replaces.
fn asked(reference: &Value, row: &Value) -> Value {
    let inputs = &row["inputs"];
    let named = inputs["data"].as_str().map(|name| &reference["data"][name]);
    let mut asked = named.unwrap_or(inputs).clone();
    if let Some(replace) = inputs.get("replace") {
        asked["replace"] = replace.clone();
    }
    asked
}

fn row<'a>(reference: &'a Value, id: &str) -> &'a Value {
    reference["checks"].as_array().unwrap().iter().find(|row| row["id"] == id).unwrap()
}

#[test]
fn the_plans_of_the_reference_come_out() {
    let desk = Desk::bare();
    let reference = reference();
    let mut planned = 0;
    for row in reference["checks"].as_array().unwrap() {
        let expected = &row["expected"];
        if row["formula"] != "plan" || expected.get("pick").is_none() {
            continue;
        }
        planned += 1;
        desk.file("asked.json", &asked(&reference, row).to_string());
        let plan = desk.json(&["plan", "--instance", "asked.json"]);
        let off = plan["objective"].as_f64().unwrap() - expected["cost"].as_f64().unwrap();
        assert!(off.abs() <= row["tolerance"]["abs"].as_f64().unwrap(), "{}: off by {off}", row["id"]);
        assert_eq!(plan["choice"], expected["pick"], "{}", row["id"]);
        if let Some(access) = expected.get("access") {
            assert_eq!(plan["access"], *access, "{}", row["id"]);
        }
        assert_eq!((&plan["proven"], &plan["gap"]), (&json!(true), &json!(0.0)), "{}", row["id"]);
    }
    assert_eq!(planned, 4);
}

#[test]
fn a_plan_is_told_in_words_too() {
    let desk = Desk::bare();
    let reference = reference();
    desk.file("asked.json", &asked(&reference, row(&reference, "three-visits")).to_string());
    assert_eq!(
        desk.done(&["plan", "--instance", "asked.json"]),
        "now: hoses\n  opens coolant-out, undertray-off\n\
         spring: radiator, tensioner, timing-belt, water-pump\n  \
         opens belt-cover-off, coolant-out, front-off, undertray-off\n\
         left: fan\nExpected cost 435.\n"
    );
}

#[test]
fn rules_that_clash_are_named_and_exit_with_1() {
    let desk = Desk::bare();
    let reference = reference();
    desk.file("asked.json", &asked(&reference, row(&reference, "infeasible")).to_string());
    let told = desk.run(&["plan", "--instance", "asked.json", "--json"]);
    assert_eq!((told.code, &*told.stdout), (1, ""));
    let error: Value = serde_json::from_str(&told.stderr).unwrap();
    // The pads must be done now: 120, and 30 for the wheels, of 100.
    let clash = json!([{ "message": "`pads` is due by `now`" }, { "message": "`now` has 100 in cash" }]);
    assert_eq!(error["problems"], clash);
    let told = desk.run(&["plan", "--instance", "asked.json"]);
    assert_eq!(told.code, 1);
    assert!(told.stderr.starts_with("`pads` is due by `now`\n`now` has 100 in cash\n"), "{}", told.stderr);

    // A clash that is seen without a search.
    let pins = json!({
        "occasions": [{ "id": "now", "at": 0 }],
        "jobs": [{ "id": "pads", "cost": { "now": 1, "leave": 2 } }],
        "pins": [
            { "job": "pads", "choice": "now", "rule": "must" },
            { "job": "pads", "choice": "leave", "rule": "must" },
        ],
    });
    desk.file("asked.json", &pins.to_string());
    let told = desk.run(&["plan", "--instance", "asked.json"]);
    assert_eq!(told.code, 1);
    assert!(told.stderr.starts_with("`pads` must be `now`\n`pads` must be `leave`\n"), "{}", told.stderr);
}

#[test]
fn everything_wrong_with_a_file_is_told_at_once_and_exits_with_2() {
    let desk = Desk::bare();
    let wrong = json!({
        "occasions": [{ "id": "now", "at": 0 }],
        "access": [{ "id": "wheels-off", "cost": 30, "needs": ["car-up"] }],
        "jobs": [{ "id": "pads", "needs": ["wheels-of"], "cost": { "now": -1, "leave": "dear" }, "hour": 1 }],
    });
    desk.file("asked.json", &wrong.to_string());
    desk.file("broken.json", "{ \"occasions\": [");
    let told = desk.run(&["plan", "--instance", "asked.json", "--json"]);
    assert_eq!((told.code, &*told.stdout), (2, ""));
    let error: Value = serde_json::from_str(&told.stderr).unwrap();
    let problems: Vec<&str> =
        error["problems"].as_array().unwrap().iter().map(|one| one["message"].as_str().unwrap()).collect();
    for part in ["`car-up`", "`wheels-of`", "cost of job `pads` on `now` is -1", "cost, leave", "`hour`"] {
        assert!(problems.iter().any(|says| says.contains(part)), "{part} in {problems:#?}");
    }
    assert_eq!(problems.len(), 5);
    for arguments in [
        &["plan", "--instance", "broken.json"][..],
        &["plan", "--instance", "nowhere.json"],
        &["plan", "--instance", "asked.json", "--budget", "3"],
        &["plan"],
    ] {
        let told = desk.run(arguments);
        assert_eq!((told.code, &*told.stdout), (2, ""), "{arguments:?}");
    }
}
