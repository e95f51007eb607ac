//! What the guide says of the format is what is read.

#![allow(clippy::unwrap_used)]

use sheet::{SheetFault, SourceFile, read, table::TableFault};
use std::{collections::BTreeSet, fs, path::PathBuf};

mod support;

fn guide() -> String {
    fs::read_to_string(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs/data-sheets.md")).unwrap()
}

#[test]
fn every_line_it_shows_stands_in_an_example_that_reads() {
    let bare = |text: &str| -> Vec<String> {
        let lines = text.lines().map(|line| line.split(" # ").next().unwrap_or_default());
        lines.map(|line| line.split_whitespace().collect::<Vec<_>>().join(" ")).collect()
    };
    let layer = sheet::files_in(&support::folder().join("../tern-workshop")).unwrap();
    let files = support::files().into_iter().chain(layer);
    let example: BTreeSet<String> = files.flat_map(|file| bare(&file.text)).collect();
    let guide = guide();
    let blocks = guide.split("```toml\n").skip(1).filter_map(|rest| rest.split("```").next());
    let shown: Vec<String> = blocks.flat_map(bare).filter(|line| !line.is_empty()).collect();
    assert!(shown.len() > 100);
    let missing: Vec<_> = shown.into_iter().filter(|line| !example.contains(line)).collect();
    assert!(missing.is_empty(), "in the guide, but not in the example: {missing:#?}");
    assert!(sheet::read_dir(&support::folder()).is_ok());
}

/// What an empty table with one strange key gives away: the keys it must have, and those it may.
fn keys(header: &str) -> (Vec<&'static str>, Vec<&'static str>) {
    let text = format!("[{header}]\nno-such-key-anywhere = 0\n");
    let problems = read(&[SourceFile::new("table.toml", text)]).unwrap_err();
    let (mut must, mut known) = (Vec::new(), Vec::new());
    for problem in problems {
        match problem.fault {
            SheetFault::Table(TableFault::MissingKey { key, .. }) => must.push(key),
            SheetFault::NoSource { .. } => must.push("source"),
            SheetFault::Table(TableFault::UnknownKey { known: keys, .. }) => known = keys,
            _ => {}
        }
    }
    must.sort_by_key(|key| known.iter().position(|k| k == key));
    let may = known.into_iter().filter(|key| !must.contains(key)).collect();
    (must, may)
}

#[test]
fn its_list_of_keys_is_complete() {
    let list = |keys: Vec<&str>| keys.iter().map(|key| format!("`{key}`")).collect::<Vec<_>>().join(" ");
    let kinds = [
        "sheet",
        "variant.…",
        "system.…",
        "station.…",
        "component.…",
        "check.…",
        "instrument.…",
        "fluid.…",
        "part.…",
        "access.…",
        "operation.…",
        "obligation.…",
        "consequence.…",
        "fastener.…",
        "while-apart.…",
        "question.…",
        "explanation.…",
        "look-alike.…",
        "glossary.…",
    ];
    let rows = kinds.map(|kind| {
        let (must, may) = keys(&kind.replace('…', "x"));
        format!("| `[{kind}]` | {} | {} |\n", list(must), list(may))
    });
    let rows = rows.concat();
    assert!(guide().contains(&rows), "the guide is to say:\n{rows}");
}
