//! The letter as an owner reads it, of the guide's invented van: in the morning, after the work, and a year later.

#![allow(clippy::unwrap_used, clippy::panic)]

use book::{Book, Clock, OpenCar};
use jiff::civil::{Date, date};
use letter::{Answers, body, page};
use maud::html;
use sheet::SourceFile;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use workshop::letter::Letter;
use workshop::plan::{Wishes, plan};

const MORNING: Date = date(2026, 5, 4);

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/example").join(name)
}

/// The van after these files.
fn pip(files: &[&str], today: Date) -> OpenCar {
    let folder = tempfile::tempdir().unwrap();
    let book = Book::open_or_make(folder.path()).unwrap();
    let sheet = sheet::files_in(&example("tallow-nuthatch")).unwrap();
    book.adopt(&sheet, "ida", &Clock::on(today)).unwrap();
    for name in [&["workshop.toml", "pip.toml"], files].concat() {
        let file = SourceFile::new(name, std::fs::read_to_string(example(name)).unwrap());
        book.record(&[file]).unwrap_or_else(|error| panic!("{error}"));
    }
    book.open_car("pip", today).unwrap()
}

fn letter_of(car: &OpenCar) -> Letter {
    let judge = car.judge();
    let assessment = judge.assess();
    let plan = plan(&judge, &assessment, &Wishes::default()).unwrap();
    workshop::letter::letter(&judge, judge.car.last_visit().unwrap(), &assessment, &plan)
}

/// The words of a page, a line for each block; a drawing is what it is called for those who do not see it.
fn as_read(html: &str) -> String {
    const BLOCKS: [&str; 13] = [
        "<h1",
        "<h2",
        "<h3",
        "<p",
        "<li",
        "<div",
        "<section",
        "<footer",
        "<fieldset",
        "<label",
        "<button",
        "<form",
        "<svg",
    ];
    let mut text = String::new();
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        text += &rest[..at];
        let end = rest[at..].find('>').map_or(rest.len(), |end| at + end + 1);
        let tag = &rest[at..end];
        if BLOCKS.iter().any(|block| tag.starts_with(block)) {
            text.push('\n');
        } else if tag.starts_with("<span") {
            text.push(' ');
        }
        rest = &rest[end..];
        if tag.starts_with("<svg") {
            let label = tag.split("aria-label=\"").nth(1).and_then(|label| label.split('"').next());
            text += &label.map(|label| format!("[{label}]")).unwrap_or_default();
            rest = rest.split_once("</svg>").map_or("", |(_, rest)| rest);
        }
    }
    text += rest;
    let text = text.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.collect::<Vec<_>>().join("\n")
}

fn to_send<'a>(action: &'a str, typed: &'a BTreeMap<String, String>) -> Answers<'a> {
    Answers::ToSend { action, unseen: html! {}, typed, problem: None }
}

fn snapshot(name: &str, letter: &Letter, answers: Answers<'_>) {
    let mut settings = insta::Settings::clone_current();
    settings.set_omit_expression(true);
    settings.set_prepend_module_to_snapshot(false);
    settings.bind(|| insta::assert_snapshot!(name, as_read(&body(letter, answers).into_string())));
}

#[test]
fn in_the_morning() {
    let car = pip(&["pip-2026-05-04.toml"], MORNING);
    snapshot("morning", &letter_of(&car), Answers::ToWrite);
}

#[test]
fn after_the_work() {
    let car = pip(&["pip-2026-05-04.toml", "pip-2026-05-04-work.toml"], MORNING);
    snapshot("after_the_work", &letter_of(&car), Answers::Given);
}

#[test]
fn a_year_later() {
    let files = ["pip-2026-05-04.toml", "pip-2026-05-04-work.toml", "pip-2027-05-10.toml"];
    let car = pip(&files, date(2027, 5, 10));
    snapshot("a_year_later", &letter_of(&car), to_send("/answers", &BTreeMap::new()));
}

#[test]
fn good_news_comes_first() {
    let html = body(&letter_of(&pip(&["pip-2026-05-04.toml"], MORNING)), Answers::ToWrite).into_string();
    let at = |heading: &str| html.find(heading).unwrap_or_else(|| panic!("{heading} is missing"));
    let order = ["What is fine", "What we found", "What we suggest", "What we left", "Next time"].map(at);
    assert!(order.is_sorted(), "{order:?}");
}

#[test]
fn work_at_several_places_is_answered_once() {
    let mut letter = letter_of(&pip(&["pip-2026-05-04.toml"], MORNING));
    let hose = letter.suggestions.iter().find(|line| line.operation.as_str() == "renew-front-hose").unwrap();
    let left = workshop::letter::Suggestion { title: "Front brake hose, front left".into(), ..hose.clone() };
    letter.suggestions.push(left);
    let html = body(&letter, to_send("/answers", &BTreeMap::new())).into_string();
    assert_eq!(html.matches("name=\"answer.renew-front-hose\"").count(), 3, "yes, not now, ask me");
    assert!(as_read(&html).contains("Goes with your answer on: Front brake hose, front right"));
}

#[test]
fn the_file_stands_by_itself() {
    let html = page(&letter_of(&pip(&["pip-2026-05-04.toml"], MORNING)));
    for outside in ["<script", "<link", "src=", "http:", "https:", "@import", " on"] {
        let found = html.match_indices(outside).map(|(at, _)| &html[at..html.floor_char_boundary(at + 60)]);
        let found: Vec<&str> = found.filter(|found| outside != " on" || is_handler(found)).collect();
        assert_eq!(found, [""; 0], "{outside}");
    }
    for url in html.split("url(").skip(1) {
        assert!(url.starts_with("data:") || url.starts_with('#'), "{}", &url[..60.min(url.len())]);
    }
}

/// ` onclick="…"`, not a word that begins so.
fn is_handler(text: &str) -> bool {
    let name: String = text.trim_start().chars().take_while(char::is_ascii_alphabetic).collect();
    text.trim_start()[name.len()..].starts_with('=')
}

/// Every text that a person can have typed, in every place where the letter shows it.
#[test]
fn hostile_text_stays_text() {
    const HOSTILE: &str = "\"><script>alert(1)</script><i x='&";
    let mut letter = letter_of(&pip(&["pip-2026-05-04.toml"], MORNING));
    let mut spoilt = 0;
    let mut spoil = |text: &mut String| {
        *text = HOSTILE.into();
        spoilt += 1;
    };
    if let Some(costs) = &mut letter.costs {
        [&mut costs.together, &mut costs.apart, &mut costs.hours].into_iter().for_each(&mut spoil);
        costs.access.iter_mut().chain(&mut costs.saved).chain(&mut costs.ceiling).for_each(&mut spoil);
    }
    [&mut letter.workshop, &mut letter.car, &mut letter.odometer, &mut letter.in_short]
        .into_iter()
        .for_each(&mut spoil);
    letter.asked_for.iter_mut().chain(&mut letter.says).chain(&mut letter.next_visit).for_each(&mut spoil);
    letter.done.push(String::new());
    letter.done.iter_mut().chain(&mut letter.next_time).for_each(&mut spoil);
    for fine in &mut letter.fine {
        spoil(&mut fine.system);
        for item in &mut fine.items {
            spoil(&mut item.title);
            spoil(&mut item.detail);
            item.why.iter_mut().for_each(&mut spoil);
        }
    }
    for found in &mut letter.found {
        [&mut found.title, &mut found.check, &mut found.says, &mut found.means]
            .into_iter()
            .for_each(&mut spoil);
    }
    for suggestion in &mut letter.suggestions {
        [&mut suggestion.title, &mut suggestion.by_when, &mut suggestion.cost, &mut suggestion.why]
            .into_iter()
            .for_each(&mut spoil);
        suggestion.operation = HOSTILE.into();
        suggestion.answer = Some((journal::Answer::Yes, HOSTILE.into()));
    }
    for left in &mut letter.left {
        [&mut left.title, &mut left.why].into_iter().for_each(&mut spoil);
    }
    assert!(spoilt > 30, "{spoilt} texts are not what a letter has");
    let typed = BTreeMap::from([("name".to_owned(), HOSTILE.to_owned())]);
    let again = Answers::ToSend { action: HOSTILE, unseen: html! {}, typed: &typed, problem: Some(HOSTILE) };
    for html in
        [page(&letter), body(&letter, again).into_string(), body(&letter, Answers::Given).into_string()]
    {
        assert!(!html.contains("<script") && !html.contains("\"><script") && !html.contains("<i x"));
        assert!(html.matches("&quot;&gt;&lt;script&gt;").count() >= spoilt / 2);
    }
}
