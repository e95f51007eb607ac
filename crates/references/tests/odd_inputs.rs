//! Odd inputs are answered or refused; nothing panics.

#![allow(clippy::unwrap_used)] // helpers of tests

use serde_json::{Value, json};
use std::{fs, path::Path};

fn odd_values() -> Vec<Value> {
    vec![
        Value::Null,
        json!(""),
        json!("inf"),
        json!("-inf"),
        json!("gamma shape -1 scale 0"),
        json!("normal mean 0 sd 0"),
        json!("a/(b-b)"),
        json!(0),
        json!(-1),
        json!(1e308),
        json!(1e-308),
        json!([]),
        json!([0, 0]),
        json!([1, "inf"]),
        json!({}),
        json!({ "normal_sd": -1.0 }),
        json!({ "x": 1e308, "u": 1e308 }),
        json!(true),
    ]
}

fn each_input_made_odd(topic: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference").join(topic);
    let file: Value = serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
    let mut tried = 0;
    for row in file["checks"].as_array().unwrap() {
        for name in row["inputs"].as_object().unwrap().keys() {
            let mut variants: Vec<Value> = Vec::new();
            let mut missing = row.clone();
            missing["inputs"].as_object_mut().unwrap().remove(name);
            variants.push(missing);
            // A million trials an odd value are a waste; a missing input is enough there.
            if row["formula"] != "mc" {
                variants.extend(odd_values().into_iter().map(|odd| {
                    let mut row = row.clone();
                    row["inputs"][name] = odd;
                    row
                }));
            }
            tried += variants.len();
            let text = json!({ "topic": "odd", "checks": variants, "data": file["data"] }).to_string();
            assert!(!references::run(&text).unwrap().is_empty());
        }
    }
    assert!(tried > 100);
}

#[test]
fn metrology_takes_odd_inputs_without_a_panic() {
    each_input_made_odd("metrology.json");
}

#[test]
fn conformity_takes_odd_inputs_without_a_panic() {
    each_input_made_odd("conformity.json");
}

#[test]
fn planning_takes_odd_inputs_without_a_panic() {
    each_input_made_odd("planning.json");
}
