//! The invented sheets of the project, looked through.

#![allow(clippy::panic)]

use sheet::{Sheet, check_dir};
use std::path::PathBuf;

fn sheet(folder: &str) -> Sheet {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..").join(folder);
    check_dir(&folder).unwrap_or_else(|problems| panic!("{problems}"))
}

#[test]
fn the_demonstration_has_no_problem() {
    sheet("sheets/quarrow-lanner");
}

/// A motorcycle: other places, other systems, another walk; nothing is tied to the first sheet.
#[test]
fn a_sheet_of_another_kind_of_vehicle_has_no_problem() {
    let sheet = sheet("sheets/ottermere-fell");
    assert!(sheet.checks.len() >= 40, "{}", sheet.checks.len());
    assert!(!sheet.operations.is_empty() && !sheet.access.is_empty() && !sheet.obligations.is_empty());
    let trail = sheet.walk(Some(&"trail".into()));
    let road = sheet.walk(Some(&"road".into()));
    assert!(trail.iter().any(|stop| *stop.check == "linkage-feel".into()));
    assert!(!road.iter().any(|stop| *stop.check == "linkage-feel".into()));
}

#[test]
fn the_example_of_the_guide_has_no_problem() {
    sheet("crates/sheet/tests/sheets/tern-courier");
}

#[test]
fn the_example_of_the_documentation_has_no_problem() {
    sheet("docs/example/tallow-nuthatch");
}
