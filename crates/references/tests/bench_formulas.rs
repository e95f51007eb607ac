//! Every formula of the bench is held against the world outside, and odd rows are refused with words.

#![allow(clippy::unwrap_used)] // helpers of tests

use serde_json::{Value, json};
use std::{collections::BTreeMap, fs, path::Path};

/// The rows of all files under `reference/` that the bench answers.
fn rows() -> Vec<Value> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference");
    let mut paths: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "json"));
    paths.sort();
    let mut rows = vec![];
    for path in paths {
        let file: Value = serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
        rows.extend(file["checks"].as_array().unwrap().iter().cloned());
    }
    rows.retain(|row| references::bench_formula(row["formula"].as_str().unwrap()).is_some());
    rows
}

/// What the formula itself gives when another program evaluates it shows that it is written down right, not that it is
/// right: such rows do not count here.
#[test]
fn every_formula_has_two_checks_from_outside() {
    const KINDS: [&str; 6] =
        ["published", "reference-library", "exact-identity", "computed", "common-practice", "memory"];
    let mut checks: BTreeMap<&str, usize> = bench::formulas().iter().map(|formula| (formula.id, 0)).collect();
    for row in rows() {
        if let Some(id) = references::bench_formula(row["formula"].as_str().unwrap()) {
            let source = row["source"].as_str().unwrap();
            assert!(!source.is_empty(), "{row}");
            assert!(KINDS.contains(&row["provenance"].as_str().unwrap()), "{row}");
            if !source.contains("from the formula") {
                *checks.get_mut(id).unwrap() += 1;
            }
        }
    }
    let few: Vec<_> = checks.iter().filter(|(_, count)| **count < 2).collect();
    assert!(few.is_empty(), "fewer than two outside checks: {few:?}");
}

#[test]
fn an_odd_row_is_refused_with_words() {
    let odd = [
        Value::Null,
        json!(""),
        json!("inf"),
        json!(0),
        json!(-1),
        json!(1e308),
        json!([]),
        json!([0, 0]),
        json!({}),
        json!(true),
        json!("12 parsecs"),
    ];
    let mut variants = vec![];
    for row in rows() {
        for name in row["inputs"].as_object().unwrap().keys() {
            let mut missing = row.clone();
            missing["inputs"].as_object_mut().unwrap().remove(name);
            variants.push(missing);
            variants.extend(odd.iter().map(|odd| {
                let mut row = row.clone();
                row["inputs"][name] = odd.clone();
                row
            }));
        }
    }
    assert!(variants.len() > 1000);
    let outcomes = references::run(&json!({ "topic": "odd", "checks": variants }).to_string()).unwrap();
    for outcome in outcomes {
        let answered = !outcome.got.is_null() || !outcome.remark.is_empty();
        assert!(answered && !outcome.got.to_string().contains("NaN"), "{}: {}", outcome.id, outcome.remark);
    }
}
