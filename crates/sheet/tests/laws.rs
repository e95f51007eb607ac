//! What holds for every sheet.

#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use sheet::*;
use std::collections::BTreeSet;
use support::files;

mod support;

/// The tables of all files, each with its header; a blank line parts them.
fn tables() -> Vec<String> {
    let all: Vec<String> = files().into_iter().map(|file| file.text).collect();
    all.join("\n\n")
        .split("\n\n")
        .filter(|table| table.contains('['))
        .map(|table| format!("{table}\n\n"))
        .collect()
}

fn ids(sheet: &Sheet) -> BTreeSet<String> {
    let mut ids = BTreeSet::new();
    macro_rules! add {
        ($($kind:ident)*) => {$(
            ids.extend(sheet.$kind.keys().map(|id| format!("{} {id}", stringify!($kind))));
        )*};
    }
    add!(variants systems places stations components checks instruments fluids parts access operations obligations
        consequences);
    ids
}

/// Every reference leads somewhere, and every number is one that the rooms above can work with.
fn whole(sheet: &Sheet) {
    for component in sheet.components.values() {
        assert!(sheet.systems.contains_key(&component.system));
        assert!(
            component
                .places
                .iter()
                .all(|place| *place == Place::single() || sheet.places.contains_key(place))
        );
        assert!((0.0..=1.0).contains(&component.ages_by.share_km));
        assert!(component.fails_as.iter().all(|id| sheet.consequences.contains_key(id)));
        assert!(component.life.iter().all(|life| life.median > 0.0 && life.spread > 1.0 && life.sure > 1.0));
    }
    for (id, check) in &sheet.checks {
        assert!(sheet.components.contains_key(&check.component));
        assert!(check.needs.iter().all(|step| sheet.access.contains_key(step)));
        assert!(check.only.variants.iter().all(|variant| sheet.variants.contains_key(variant)));
        let (scale, looked_at) = match &check.kind {
            CheckKind::Reading(reading) => {
                assert!(sheet.instruments.contains_key(&reading.instrument) && reading.repeats > 0);
                (Some(&reading.scale), true)
            }
            CheckKind::Derived(derived) => {
                assert!(bench::formula(&derived.formula).is_ok());
                let inputs = derived.inputs.values();
                assert!(inputs.into_iter().all(|input| match input {
                    Input::Check { check, .. } => sheet.checks.contains_key(check),
                    Input::Value(_) | Input::Word(_) => true,
                }));
                (Some(&derived.scale), false)
            }
            CheckKind::Observation(states) => {
                assert!(!states.is_empty() && states.iter().all(|state| state.means.of_states()));
                (None, true)
            }
            CheckKind::Interval(interval) => {
                assert!(interval.km.is_some() || interval.years.is_some());
                (None, false)
            }
        };
        let stops = sheet.walk(None).iter().filter(|stop| stop.check == id).count();
        assert!(!looked_at || stops == sheet.places_of(id).len());
        let limit = scale.and_then(|scale| scale.limit.as_ref());
        assert!(limit.and_then(|limit| limit.min.zip(limit.max)).is_none_or(|(min, max)| min < max));
    }
    for (id, step) in &sheet.access {
        assert!(step.hours >= 0.0);
        let closure = sheet.access_closure(std::slice::from_ref(id));
        assert_eq!(closure.last(), Some(&id));
        for (n, open) in closure.iter().enumerate() {
            assert!(sheet.access[*open].needs.iter().all(|need| closure[..n].contains(&need)));
        }
    }
    for part in sheet.parts.keys() {
        assert!(sheet.parts.values().all(|other| other.replaces.as_ref() != Some(sheet.successor(part))));
    }
    for consequence in sheet.consequences.values() {
        assert!(
            consequence
                .then
                .iter()
                .all(|(to, p)| sheet.consequences.contains_key(to) && (0.0..=1.0).contains(p))
        );
    }
    for operation in sheet.operations.values() {
        assert!(sheet.components.contains_key(&operation.component));
        assert!(operation.parts.iter().all(|needed| sheet.parts.contains_key(&needed.part)));
        assert!(operation.fluids.iter().all(|needed| sheet.fluids.contains_key(&needed.fluid)));
        assert!(operation.with.iter().all(|other| sheet.operations.contains_key(other)));
        assert!(operation.obliges.iter().all(|id| sheet.obligations.contains_key(id)));
    }
    for instrument in sheet.instruments.values() {
        assert_eq!(instrument.statement.problems(), []);
    }
}

/// Reads, and uses everything that reading gives.
fn read_and_use(files: &[SourceFile]) {
    match read(files) {
        Ok(sheet) => whole(&sheet),
        Err(problems) => {
            let text = problems.to_string();
            assert!(text.lines().count() >= 2 * problems.count());
            let json = serde_json::to_value(&problems).unwrap();
            assert_eq!(json.as_array().map(Vec::len), Some(problems.count()));
            for problem in &problems {
                let message = problem.message();
                assert!(!message.is_empty() && !message.ends_with('.'), "{message}");
                assert!(problem.at.line() >= 1 && problem.at.column() >= 1);
            }
        }
    }
}

/// What a slip of the hand or of a program does to a text.
#[derive(Debug, Clone)]
enum Slip {
    Cut { at: usize, length: usize },
    Insert { at: usize, what: &'static str },
    SwapLines { a: usize, b: usize },
    RepeatLine { at: usize, again: usize },
}

fn slip() -> impl Strategy<Value = Slip> {
    let pieces = vec![
        "\"",
        "'",
        "[",
        "]",
        "{",
        "}",
        "=",
        ",",
        "\n",
        "#",
        "\r",
        "\"\"\"",
        "[[check]]\n",
        "[check]\n",
        "[check.x]\n",
        "component = \"front-disc\"\n",
        "µ",
        "日本",
        "\u{feff}",
        "\u{0}",
        "-1",
        "1e999",
        "nan",
        "true",
        "2024-04-12",
        "9999999999999999999999",
        "0.5",
        "title = \"\"\n",
        "states = []\n",
        "places = 3\n",
        "single",
        ".",
        "\\u",
        "[component.front-disc.life]\n",
        "\"22.0 mm\"",
        "\"65 Nm\"",
        "\"-3 mm\"",
        "needs = [\"front-calipers-off\"]\n",
    ];
    let at = any::<prop::sample::Index>;
    prop_oneof![
        (at(), 0usize..40).prop_map(|(at, length)| Slip::Cut { at: at.index(100_000), length }),
        (at(), prop::sample::select(pieces))
            .prop_map(|(at, what)| Slip::Insert { at: at.index(100_000), what }),
        (at(), at()).prop_map(|(a, b)| Slip::SwapLines { a: a.index(1000), b: b.index(1000) }),
        (at(), at()).prop_map(|(a, b)| Slip::RepeatLine { at: a.index(1000), again: b.index(1000) }),
    ]
}

fn slipped(text: &str, slip: &Slip) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    let place = |at: usize| text.floor_char_boundary(at % (text.len() + 1));
    match *slip {
        Slip::Cut { at, length } => {
            let start = place(at);
            let end = text.ceil_char_boundary((start + length).min(text.len()));
            format!("{}{}", &text[..start], &text[end..])
        }
        Slip::Insert { at, what } => {
            let (before, after) = text.split_at(place(at));
            format!("{before}{what}{after}")
        }
        Slip::SwapLines { a, b } => {
            let count = lines.len().max(1);
            if !lines.is_empty() {
                lines.swap(a % count, b % count);
            }
            lines.join("\n")
        }
        Slip::RepeatLine { at, again } => {
            if let Some(line) = lines.get(at % lines.len().max(1)).copied() {
                lines.insert(again % (lines.len() + 1), line);
            }
            lines.join("\n")
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_tables_and_files_changes_no_id(
        shuffled in Just(tables()).prop_shuffle(),
        cuts in prop::collection::vec(0usize..70, 0..4),
    ) {
        let mut shuffled_files: Vec<SourceFile> = Vec::new();
        for (n, table) in shuffled.iter().enumerate() {
            if n == 0 || cuts.contains(&n) {
                shuffled_files.push(SourceFile::new(format!("{n:02}.toml"), ""));
            }
            shuffled_files.last_mut().unwrap().text.push_str(table);
        }
        let sheet = read(&shuffled_files).map_err(|problems| TestCaseError::fail(problems.to_string()))?;
        whole(&sheet);
        prop_assert_eq!(ids(&sheet), ids(&read(&files()).unwrap()));
    }

    #[test]
    fn a_sheet_with_slips_is_read_or_told_what_is_wrong(
        slips in prop::collection::vec((0usize..4, slip()), 1..6),
    ) {
        let mut slipped_files = files();
        for (file, slip) in &slips {
            slipped_files[*file].text = slipped(&slipped_files[*file].text, slip);
        }
        read_and_use(&slipped_files);
    }

    #[test]
    fn any_text_is_told_what_is_wrong(text in "\\PC{0,200}|([\\[\\]{}=\"'a-z#.,\n\r 0-9-]){0,300}") {
        read_and_use(&[SourceFile::new("any.toml", text)]);
    }
}
