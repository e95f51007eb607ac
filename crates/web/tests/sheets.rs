//! Data sheets on the pages: read in plain words, searched, changed as text, and saved as a new revision.

#![allow(clippy::unwrap_used, clippy::panic)]

use axum::http::StatusCode;
use sheet::SourceFile;
use support::{Pages, file};

mod support;

const SHEET: &str = "/sheets/tallow-nuthatch";

fn sheet_files() -> Vec<SourceFile> {
    ["sheet.toml", "work.toml"]
        .map(|name| SourceFile::new(name, file(&format!("tallow-nuthatch/{name}"))))
        .into()
}

/// Pip is in the house and was looked over.
fn of_pip() -> Pages {
    Pages::with(&sheet_files(), &[file("workshop.toml"), file("pip.toml"), file("pip-2026-05-04.toml")])
}

#[tokio::test]
async fn the_only_sheet_opens_at_once() {
    let page = of_pip().get("/sheets").await;
    assert_eq!((page.status, page.to.as_str()), (StatusCode::SEE_OTHER, SHEET));
}

#[tokio::test]
async fn a_book_without_a_sheet_says_what_to_do_first() {
    let page = Pages::with(&[], &[]).get("/sheets").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.html.contains("witnessmark sheet new"), "{}", page.html);
}

#[tokio::test]
async fn every_thing_of_the_sheet_has_its_page_and_every_link_leads_somewhere() {
    let pages = of_pip();
    let sheet = sheet::read(&sheet_files()).unwrap();
    for thing in sheet::described(&sheet).iter().filter(|thing| thing.kind != "sheet") {
        let page = pages.get(&format!("{SHEET}/{}/{}", thing.kind, thing.id)).await;
        assert_eq!(page.status, StatusCode::OK, "{} {}", thing.kind, thing.id);
        for to in page.html.split("href=\"/sheets").skip(1).map(|rest| rest.split('"').next().unwrap()) {
            let to = format!("/sheets{}", to.replace("&amp;", "&"));
            assert_ne!(pages.get(&to).await.status, StatusCode::NOT_FOUND, "{} leads to {to}", thing.id);
        }
        assert_eq!(pages.get(&format!("{SHEET}/{}", thing.kind)).await.status, StatusCode::OK);
    }
}

#[tokio::test]
async fn a_thing_is_told_with_its_source_and_what_names_it() {
    let page = of_pip().get(&format!("{SHEET}/check/front-lining-thickness")).await;
    for told in ["at least 2 mm", "Source: invented for the guide", "written in sheet.toml, line 9"] {
        assert!(page.html.contains(told), "{told}\n{}", page.html);
    }
    let page = of_pip().get(&format!("{SHEET}/component/front-lining")).await;
    assert!(page.html.contains("Where it counts") && page.html.contains("/operation/renew-front-linings"));
}

#[tokio::test]
async fn a_search_finds_ids_titles_and_words_and_says_when_it_finds_nothing() {
    let pages = of_pip();
    for find in ["front-lining-thickness", "LINING", "wheel%20nuts"] {
        let page = pages.get(&format!("{SHEET}?find={find}")).await;
        assert!(page.html.contains("<ul class=\"things\"><li>"), "{find}\n{}", page.html);
    }
    let page = pages.get(&format!("{SHEET}?find=%3Cb%3Ezeppelin")).await;
    assert!(page.html.contains("Nothing on this sheet speaks of “&lt;b&gt;zeppelin”"), "{}", page.html);
}

#[tokio::test]
async fn what_is_not_on_the_sheet_is_said_with_what_is_near() {
    let pages = of_pip();
    let page = pages.get(&format!("{SHEET}/check/front-lining-thicknes")).await;
    assert_eq!(page.status, StatusCode::NOT_FOUND);
    assert!(page.html.contains("Did you mean “front-lining-thickness”?"), "{}", page.html);
    for nothing in ["/sheets/none", "/sheets/none/check/a", &format!("{SHEET}/zeppelin")] {
        assert_eq!(pages.get(nothing).await.status, StatusCode::NOT_FOUND, "{nothing}");
    }
}

#[tokio::test]
async fn a_finding_leads_to_its_check_on_the_sheet() {
    let page = of_pip().get("/cars/pip/findings/front-lining-thickness/front.left").await;
    assert!(page.html.contains(&format!("href=\"{SHEET}/check/front-lining-thickness\"")), "{}", page.html);
}
