//! The `check-values` program tells row by row, in words and in JSON, and its exit code says how it went.

#![allow(clippy::unwrap_used)] // helpers of tests

use serde_json::{Value, json};
use std::{
    path::Path,
    process::{Command, Output},
};

/// Three rows about one formula: half-width 3 gives a standard uncertainty of √3 = 1.732 051 (arithmetic).
fn three_rows() -> String {
    let row = |id: &str, formula: &str, u: f64| {
        json!({ "id": id, "formula": formula, "inputs": { "a": 3.0 }, "expected": { "u": u },
                "tolerance": { "abs": 1e-6 }, "source": "arithmetic", "provenance": "exact-identity" })
    };
    json!({ "topic": "metrology", "checks": [
        row("right", "rect", 1.732_051), row("wrong", "rect", 1.8), row("unheard-of", "no-such-formula", 0.0),
    ] })
    .to_string()
}

fn check_values(folder: &Path, words: &[&str]) -> (Output, String, String) {
    let output =
        Command::new(env!("CARGO_BIN_EXE_check-values")).args(words).current_dir(folder).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    let (told, errors) = (text(&output.stdout), text(&output.stderr));
    (output, told, errors)
}

fn folder_with(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    files.iter().for_each(|(name, text)| std::fs::write(folder.path().join(name), text).unwrap());
    folder
}

#[test]
fn json_gives_each_row_with_what_came_of_it() {
    let folder = folder_with(&[("rows.json", &three_rows())]);
    let (output, told, _) = check_values(folder.path(), &["--json", "rows.json"]);
    assert_eq!(output.status.code(), Some(1));
    let rows: Value = serde_json::from_str(&told).unwrap();
    let results: Vec<_> =
        rows.as_array().unwrap().iter().map(|row| row["result"].as_str().unwrap()).collect();
    assert_eq!(results, ["holds", "differs", "not-covered"]);
    for name in ["id", "topic", "formula", "got", "want", "tolerance", "provenance"] {
        assert!(rows[0].get(name).is_some(), "{name}");
    }
    assert_eq!(rows[1]["want"]["u"], 1.8);
    assert!((rows[1]["got"]["u"].as_f64().unwrap() - 1.732_051).abs() < 1e-6);
    assert_eq!(rows[2]["got"], Value::Null);
}

#[test]
fn words_tell_got_want_and_tolerance_where_a_row_differs() {
    let folder = folder_with(&[("rows.json", &three_rows())]);
    let (_, told, _) = check_values(folder.path(), &["."]);
    assert!(
        told.contains("holds        metrology / right")
            && told.contains("not covered  metrology / unheard-of")
    );
    assert!(told.contains("want {\"u\":1.8}") && told.contains("tolerance 0.000001 absolute"), "{told}");
    assert!(told.contains("3 rows: 1 hold, 1 differ, 1 not covered"), "{told}");
}

#[test]
fn a_row_that_is_not_covered_is_no_failure() {
    let rows = three_rows().replace("1.8", "1.732051");
    let folder = folder_with(&[("rows.json", &rows)]);
    assert_eq!(check_values(folder.path(), &["rows.json"]).0.status.code(), Some(0));
}

#[test]
fn everything_that_cannot_be_read_is_told_and_the_rest_is_run() {
    let folder = folder_with(&[("rows.json", &three_rows()), ("odd.json", "{ \"topic\": 3")]);
    let (output, told, errors) = check_values(folder.path(), &["odd.json", "missing.json", "rows.json"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        errors.contains("odd.json: no file of check values") && errors.contains("missing.json"),
        "{errors}"
    );
    assert!(told.contains("3 rows"));
    let (output, _, errors) = check_values(folder.path(), &["--jsn"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(errors.contains("`--jsn`"));
}
