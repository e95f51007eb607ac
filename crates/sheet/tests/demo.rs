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

#[test]
fn the_example_of_the_guide_has_no_problem() {
    sheet("crates/sheet/tests/sheets/tern-courier");
}

#[test]
fn the_example_of_the_documentation_has_no_problem() {
    sheet("docs/example/tallow-nuthatch");
}
