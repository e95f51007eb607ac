//! Sheets that lie over others: what is said above counts, what is not said stays, and each value knows its place.

#![allow(clippy::unwrap_used, clippy::panic)]

use proptest::prelude::*;
use sheet::*;
use std::{fs, path::PathBuf};

fn folder(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/sheets").join(name)
}

fn layered() -> Sheet {
    check_dir(&folder("tern-workshop")).unwrap_or_else(|problems| panic!("{problems}"))
}

fn limit(sheet: &Sheet, check: &str) -> Limit {
    sheet.checks[check].scale().unwrap().limit.clone().unwrap()
}

#[test]
fn what_the_layer_says_counts_and_the_rest_stays() {
    let (base, ours) = (read_dir(&folder("tern-courier")).unwrap(), layered());
    assert_eq!((ours.id.clone(), ours.title.clone()), (base.id.clone(), base.title.clone()));
    assert_ne!(ours.revision, base.revision);
    assert_eq!(limit(&base, "front-disc-thickness").min, Some(20.0));
    assert_eq!(limit(&ours, "front-disc-thickness").min, Some(20.5));
    let (disc, its) = (&base.checks["front-disc-thickness"], &ours.checks["front-disc-thickness"]);
    assert_eq!(
        (&its.how, &its.needs, its.scale().unwrap().new.clone()),
        (&disc.how, &disc.needs, disc.scale().unwrap().new.clone())
    );
    assert!(its.scale().unwrap().settled.is_none(), "it is left out");
    assert!(!ours.checks.contains_key("belt-squeal"), "it is left out");
    assert!(ours.checks.contains_key("glow-plug-resistance"));
    assert!(base.components["timing-belt"].life.is_none() && ours.components["timing-belt"].life.is_some());
}

#[test]
fn things_keep_their_order_and_new_ones_come_after_them() {
    let checks: Vec<_> = layered().checks.keys().map(ToString::to_string).collect();
    assert_eq!(checks.first().map(String::as_str), Some("front-disc-thickness"));
    assert_eq!(checks.last().map(String::as_str), Some("glow-plug-resistance"));
}

#[test]
fn the_files_by_their_names_are_enough() {
    let files = files_in(&folder("tern-workshop")).unwrap();
    let names: Vec<_> = files.iter().map(|file| file.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "ours.toml",
            "../tern-courier/00-sheet.toml",
            "../tern-courier/brakes.toml",
            "../tern-courier/driveline.toml",
            "../tern-courier/engine.toml"
        ]
    );
    assert_eq!(read(&files).unwrap(), layered());
    let backwards: Vec<_> = files.into_iter().rev().collect();
    assert_eq!(read(&backwards).unwrap(), layered());
}

#[test]
fn each_value_knows_where_it_comes_from() {
    let origins = origins(&files_in(&folder("tern-workshop")).unwrap());
    assert_eq!(origins.layers, ["Tern Courier", "Our own, after nine vans"]);
    let of = |key: &str| origins.of("check", "front-disc-thickness", key).unwrap();
    let limit = of("limit");
    assert_eq!((limit.layer, limit.at.file(), limit.at.line()), (1, "ours.toml", 9));
    let below = limit.instead_of.as_ref().unwrap();
    assert_eq!((below.layer, below.at.file()), (0, "../tern-courier/brakes.toml"));
    assert_eq!(below.written, r#"{ min = "20.0 mm", source = "stamped on the disc" }"#);
    let how = of("how");
    assert_eq!((how.layer, how.at.file(), how.instead_of.clone()), (0, "../tern-courier/brakes.toml", None));
    assert!(origins.of("check", "front-disc-thickness", "settled").is_none());
    assert_eq!(origins.of("operation", "renew-glow-plug", "hours").unwrap().layer, 1);
    // Every key of every thing has a place, and its line holds the key.
    let mut count = 0;
    for (kind, id) in origins.things() {
        for (key, origin) in origins.keys(kind, id).unwrap() {
            assert!(origin.at.line_text().contains(key.as_str()), "{kind} {id} {key}: {:?}", origin.at);
            count += 1;
        }
    }
    assert!(count > 300, "{count}");
}

fn told(files: &[(&str, &str)]) -> String {
    let files: Vec<_> = files.iter().map(|(name, text)| SourceFile::new(*name, *text)).collect();
    check(&files).unwrap_err().to_string()
}

/// The example with these files over it.
fn told_over(files: &[(&str, &str)]) -> String {
    let below = files_in(&folder("tern-courier")).unwrap();
    let below = below.iter().map(|file| (format!("../tern-courier/{}", file.name), file.text.clone()));
    let above = files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned()));
    let all: Vec<_> = above.chain(below).collect();
    told(&all.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect::<Vec<_>>())
}

const OVER: &str = "[layer]\ntitle = \"Ours\"\nover = \"../tern-courier\"\n";

#[test]
fn a_fault_in_a_layer_is_told_at_its_own_line() {
    insta::assert_snapshot!(told_over(&[(
        "ours.toml",
        &format!("{OVER}\n[check.front-disc-thickness]\nlimit = {{ min = \"24.0 mm\", source = \"ours\" }}\nhwo = \"Again\"\n")
    )]), @r#"
    the new value of `front-disc-thickness` is 22 mm, already at or past its `min` of 24 mm
    ../tern-courier/brakes.toml:34:13   new       = { value = "22.0 mm", tolerance = "0.1 mm" }
                                                    ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ is the limit a `max`?
    ours.toml:6:9   limit = { min = "24.0 mm", source = "ours" }
                            ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ the limit

    `settled` of check `front-disc-thickness` reaches 20.8 mm, past the `min` of 24 mm
    ../tern-courier/brakes.toml:36:13   settled   = { min = "20.8 mm", max = "21.6 mm", why = "The disc has bedded in; it loses hard…
                                                    ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ what is past the limit cannot be settled
    ours.toml:6:9   limit = { min = "24.0 mm", source = "ours" }
                            ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ the limit

    check `front-disc-thickness` has no key `hwo`
    ours.toml:7:1   hwo = "Again"
                    ^^^ did you mean `how`?

    3 problems
    "#);
}

#[test]
fn what_is_wrong_with_layers_is_told() {
    let wrong = [
        told(&[("ours.toml", OVER)]),
        told(&[("ours.toml", "[layer]\ntitle = \"Ours\"\nover = \"/srv/sheets/tern\"\n")]),
        told(&[
            ("ours.toml", "[layer]\ntitle = \"Ours\"\nover = \"../theirs\"\n"),
            ("../theirs/a.toml", "[layer]\ntitle = \"Theirs\"\nover = \"../theirs\"\n"),
        ]),
        told_over(&[("ours.toml", &format!("{OVER}drops = [\"check.belt-sqeal\", \"nothing\"]\n"))]),
        told_over(&[("ours.toml", OVER), ("more.toml", OVER)]),
        told_over(&[
            ("more.toml", "[check.belt-squeal]\ntitle = \"Squeals\"\n"),
            ("ours.toml", &format!("{OVER}\n[check.belt-squeal]\ntitle = \"Squeals\"\n")),
        ]),
        told_over(&[("ours.toml", OVER), ("elsewhere/a.toml", "[system.seats]\ntitle = \"Seats\"\n")]),
    ];
    insta::assert_snapshot!(wrong.join("\n----\n"));
}

#[test]
fn three_layers_lie_over_each_other() {
    let base = files_in(&folder("tern-workshop")).unwrap();
    let mut files: Vec<_> = base
        .into_iter()
        .map(|file| {
            let name = if file.name.starts_with("..") {
                file.name
            } else {
                format!("../tern-workshop/{}", file.name)
            };
            SourceFile { name, ..file }
        })
        .collect();
    files.push(SourceFile::new(
        "mine.toml",
        "[layer]\ntitle = \"Mine\"\nover = \"../tern-workshop\"\n\n[check.front-disc-thickness]\nlimit = { min = \"21.0 mm\", source = \"mine\" }\n",
    ));
    let sheet = check(&files).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(limit(&sheet, "front-disc-thickness").min, Some(21.0));
    assert!(sheet.checks.contains_key("glow-plug-resistance"));
    let origins = origins(&files);
    assert_eq!(origins.layers, ["Tern Courier", "Our own, after nine vans", "Mine"]);
    let limit = origins.of("check", "front-disc-thickness", "limit").unwrap();
    assert_eq!((limit.layer, limit.instead_of.as_ref().map(|below| below.layer)), (2, Some(1)));
}

/// A folder of a layer is read with what it lies over, wherever both stand.
#[test]
fn a_layer_is_found_from_its_own_folder() {
    let place = tempfile::tempdir().unwrap();
    for (name, from) in [("below/base", "tern-courier"), ("above", "tern-workshop")] {
        fs::create_dir_all(place.path().join(name)).unwrap();
        for file in files_in(&folder(from)).unwrap().iter().filter(|file| !file.name.contains('/')) {
            let text = file.text.replace("../tern-courier", "../below/./base");
            fs::write(place.path().join(name).join(&file.name), text).unwrap();
        }
    }
    let sheet = read_dir(&place.path().join("above")).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(limit(&sheet, "front-disc-thickness").min, Some(20.5));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// Slips in a layer are read or told; nothing is ever told at a place that is not there.
    #[test]
    fn a_layer_with_slips_is_read_or_told_what_is_wrong(
        slips in prop::collection::vec((any::<prop::sample::Index>(), prop::sample::select(vec!["\"", "[", "]", "{", "}", "=", "\n", "[check.", "drops"])), 0..5),
    ) {
        let mut files = files_in(&folder("tern-workshop")).unwrap();
        for (at, piece) in slips {
            let text = &mut files[0].text;
            let at = text.floor_char_boundary(at.index(text.len()));
            text.insert_str(at, piece);
        }
        let origins = origins(&files);
        prop_assert!(origins.layers.len() <= 3);
        if let Err(problems) = check(&files) {
            for problem in &problems {
                prop_assert!(problem.at.line() >= 1 && problem.at.column() >= 1);
                prop_assert!(!problem.to_string().is_empty());
            }
        }
    }
}
