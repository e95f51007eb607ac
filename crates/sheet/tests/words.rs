//! A sheet in plain words, what a new one begins with, and what is different between two.

#![allow(clippy::unwrap_used, clippy::panic)]

use proptest::prelude::*;
use sheet::{
    Sheet, SourceFile, changes, check, described, read,
    schema::{Part, schema},
    starter, starter_over, write,
};
use std::collections::BTreeSet;
use support::files;

mod support;

fn example() -> Sheet {
    read(&files()).unwrap()
}

/// Nothing that a table says is missing from the words about it.
#[test]
fn every_key_that_is_written_is_said() {
    let sheet = example();
    let written: toml::Table = write(&sheet).parse().unwrap();
    let described = described(&sheet);
    for (kind, things) in written.iter().filter(|(kind, _)| *kind != "places" && *kind != "sheet") {
        for (id, table) in things.as_table().unwrap() {
            let said = described.iter().find(|thing| (thing.kind, &thing.id) == (kind.as_str(), id));
            let said = said.unwrap_or_else(|| panic!("{kind} {id}"));
            let mut said: BTreeSet<&str> = said.facts.iter().map(|fact| fact.key).collect();
            // These are said together with what they qualify.
            said.extend(["title", "reuse-if", "changed", "both-ways"]);
            let keys: BTreeSet<&str> = table.as_table().unwrap().keys().map(String::as_str).collect();
            let missing: Vec<_> = keys.difference(&said).collect();
            assert!(missing.is_empty(), "{kind} {id}: {missing:?}");
        }
    }
}

#[test]
fn the_words_can_be_read_aloud() {
    let text: Vec<String> = described(&example())
        .iter()
        .map(|thing| {
            let facts = thing.facts.iter().map(|fact| {
                let item = fact.item.as_ref().map(|item| format!(" {item}")).unwrap_or_default();
                format!("  {}{item}: {}\n", fact.key, fact.says)
            });
            format!("{} {}: {}\n{}", thing.kind, thing.id, thing.title, facts.collect::<String>())
        })
        .collect();
    insta::with_settings!({ omit_expression => true }, { insta::assert_snapshot!(text.join("\n")) });
}

fn changed(edit: impl Fn(&str) -> String) -> Vec<String> {
    let before = example();
    let files: Vec<_> =
        files().iter().map(|file| SourceFile::new(file.name.clone(), edit(&file.text))).collect();
    let after = read(&files).unwrap_or_else(|problems| panic!("{problems}"));
    changes(&before, &after).iter().map(ToString::to_string).collect()
}

#[test]
fn nothing_is_told_of_what_is_only_written_otherwise() {
    assert!(changed(|text| format!("# a comment\n{text}")).is_empty());
    assert!(changed(|text| text.replace("\"20.0 mm\"", "\"2.00 cm\"")).is_empty());
}

/// Files count in the order of their names: another name is another walk.
#[test]
fn another_order_is_told() {
    let mut files = files();
    files
        .iter_mut()
        .filter(|file| file.name == "engine.toml")
        .for_each(|file| file.name = "about.toml".into());
    let after = read(&files).unwrap();
    let told: Vec<_> = changes(&example(), &after).iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        [
            "the sheet: every component is there, in another order",
            "the sheet: every check is there, in another order"
        ]
    );
}

#[test]
fn a_change_is_told_in_words() {
    let told = changed(|text| {
        text.replace("\"20.0 mm\", source", "\"20.5 mm\", source")
            .replace("settled   = { min", "# settled   = { min")
            .replace("[glossary.preload]", "[glossary.pre-load]")
            .replace("Damp again after one turn", "Damp again after two turns")
            .replace("title  = \"On the lift\"", "title  = \"On a lift\"")
            .replace("title   = \"On the lift\"", "title   = \"On a lift\"")
    });
    insta::assert_snapshot!(told.join("\n"));
}

/// The example with one character of a value, a digit or a letter, another.
fn with_a_slip(files: &[SourceFile], index: usize) -> Vec<SourceFile> {
    let spots = files.iter().enumerate().flat_map(|(file, of)| {
        let lines = of.text.lines().map(|line| line.as_ptr() as usize - of.text.as_ptr() as usize);
        let values = of
            .text
            .lines()
            .zip(lines)
            .filter_map(|(line, start)| Some(start + line.find(" = ")?..start + line.len()));
        values.flatten().map(move |at| (file, at))
    });
    let fits = |(file, at): &(usize, usize)| files[*file].text.as_bytes()[*at].is_ascii_alphanumeric();
    let spots: Vec<_> = spots.filter(fits).collect();
    let (file, at) = spots[index % spots.len()];
    let mut slipped = files.to_vec();
    let other = match slipped[file].text.as_bytes()[at] {
        b'9' => "0".to_owned(),
        b'z' | b'Z' => "a".to_owned(),
        byte => char::from(byte + 1).to_string(),
    };
    slipped[file].text.replace_range(at..=at, &other);
    slipped
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever character of a value is another: if the sheet is another, something is told.
    #[test]
    fn no_change_goes_untold(index in any::<usize>()) {
        let before = example();
        if let Ok(after) = read(&with_a_slip(&files(), index)) {
            let after = Sheet { revision: before.revision.clone(), ..after };
            let (was, now) = (write(&before), write(&after));
            let lines = was.lines().zip(now.lines()).find(|(was, now)| was != now);
            prop_assert_eq!(changes(&before, &after).is_empty(), before == after, "{:?}", lines);
        }
    }
}

#[test]
fn a_new_sheet_is_in_order_whatever_it_is_called() {
    for title in ["Tern Courier", "The \"fast\" one \\ two", "Über"] {
        let files: Vec<_> =
            starter("my-car", title).into_iter().filter(|file| file.name.ends_with(".toml")).collect();
        let sheet = check(&files).unwrap_or_else(|problems| panic!("{problems}"));
        assert_eq!((sheet.id, sheet.title.as_str()), ("my-car".into(), title));
        let validator = jsonschema::draft202012::new(&schema(Part::Sheet)).unwrap();
        for file in files {
            assert!(validator.is_valid(&toml::from_str(&file.text).unwrap()), "{}", file.name);
        }
    }
}

#[test]
fn a_new_layer_is_in_order_over_its_sheet() {
    let below = files().into_iter().map(|file| SourceFile::new(format!("../base/{}", file.name), file.text));
    let above = starter_over("../base", "Ours").into_iter().filter(|file| file.name.ends_with(".toml"));
    let sheet =
        check(&above.chain(below).collect::<Vec<_>>()).unwrap_or_else(|problems| panic!("{problems}"));
    assert!(changes(&example(), &sheet).is_empty());
}
