//! What may be behind a finding, on the car's page and on the finding's.

#![allow(clippy::unwrap_used, clippy::panic)]

use axum::http::StatusCode;
use sheet::SourceFile;
use support::{Pages, file};

mod support;

const QUESTION: &str = r#"
[question.hose-opens]
title     = "Why does the hose open?"
raised-by = [{ check = "front-hose-look" }]
source    = "invented"

[explanation.hose-aged]
question  = "hose-opens"
title     = "It has aged"
says      = "Rubber of these years opens where it bends."
prior     = 0.5
shows     = [{ check = "front-hose-look", states = { cracked = "nearly-always" } }, { check = "fan-belt-look", states = { crazed = "usually" } }]
source    = "invented"

[explanation.hose-rubbed]
question  = "hose-opens"
title     = "It has rubbed"
prior     = 0.5
shows     = [{ check = "front-hose-look", states = { cracked = "half" } }, { check = "fan-belt-look", states = { clean = "usually" } }]
source    = "invented"
"#;

fn pages(question: &str) -> Pages {
    let sheet = [
        SourceFile::new("sheet.toml", file("tallow-nuthatch/sheet.toml")),
        SourceFile::new("work.toml", file("tallow-nuthatch/work.toml")),
        SourceFile::new("questions.toml", question),
    ];
    let visit = "[visit]\ncar = \"pip\"\ndate = 2026-05-04\nodometer = \"71240 km\"\nby = \"ida\"\n[looks]\nfront-hose-look = { \"front.right\" = \"cracked\", \"front.left\" = \"smooth\" }\n";
    Pages::with(&sheet, &[file("workshop.toml"), file("pip.toml"), visit.into()])
}

async fn page(pages: &Pages, address: &str) -> String {
    let page = pages.get(address).await;
    assert_eq!(page.status, StatusCode::OK, "{address}");
    page.html
}

/// The part of a page that tells it.
fn behind(page: &str) -> Option<&str> {
    page.split_once("<h2>What may be behind it</h2>")
        .map(|(_, rest)| rest.split_once("</section>").unwrap().0)
}

#[tokio::test]
async fn each_explanation_is_told_with_its_grounds_and_the_next_check_is_a_stop_of_the_walk() {
    let pages = pages(QUESTION);
    let car = page(&pages, "/cars/pip").await;
    let told = behind(&car).unwrap();
    for words in [
        "Why does the hose open?",
        "It has aged",
        "Rubber of these years opens where it bends.",
        "probably, ",
        "in 100",
        "“A crack opens when it is bent”",
        "Beforehand ",
        "None of these",
        "Look next: ",
    ] {
        assert!(told.contains(words), "{words} in {told}");
    }
    assert!(told.contains("href=\"/cars/pip/walk/fan-belt-look/single\""), "{told}");
    assert!(told.contains("let it cool"), "the caution of the next check: {told}");
    assert!(told.contains("href=\"/cars/pip/findings/front-hose-look/front.right\""));
}

#[tokio::test]
async fn it_stands_on_the_finding_that_raises_it_and_on_no_other() {
    let pages = pages(QUESTION);
    let raising = page(&pages, "/cars/pip/findings/front-hose-look/front.right").await;
    assert!(behind(&raising).is_some());
    let other = page(&pages, "/cars/pip/findings/front-hose-look/front.left").await;
    assert!(behind(&other).is_none());
}

#[tokio::test]
async fn without_a_question_nothing_is_said() {
    assert!(behind(&page(&pages(""), "/cars/pip").await).is_none());
}

#[tokio::test]
async fn when_none_fits_that_is_what_is_said() {
    let never = QUESTION.replace("cracked = \"nearly-always\"", "cracked = \"never\"");
    let never = never.replace("cracked = \"half\"", "cracked = \"never\"");
    let car = page(&pages(&never), "/cars/pip").await;
    let told = behind(&car).unwrap();
    assert!(told.contains("None of its explanations fits what was found."), "{told}");
}
