//! Every row of every file under `reference/` holds.

use std::{fs, path::Path};

#[test]
fn every_row_of_every_reference_file_holds() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference");
    let mut paths: Vec<_> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
        .collect();
    paths.sort();
    assert!(!paths.is_empty(), "no reference files in {}", folder.display());

    let mut wrong = String::new();
    for path in paths {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let outcomes = references::run(&fs::read_to_string(&path).unwrap())
            .unwrap_or_else(|error| panic!("{name} is no file of check values: {error}"));
        assert!(!outcomes.is_empty(), "{name} has no rows");
        for row in outcomes.iter().filter(|row| row.result != references::Result::Holds) {
            let remark = if row.result == references::Result::NotCovered {
                format!("no room answers the formula `{}`", row.formula)
            } else {
                row.remark.clone()
            };
            wrong += &format!(
                "\n{name} `{}`: {remark}\n  got {}\n  want {}\n  source: {} ({})\n",
                row.id, row.got, row.want, row.source, row.provenance
            );
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}
