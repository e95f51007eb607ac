//! The pages of the bench, as a browser asks for them: every formula, whatever is typed, from a car and onto its record.

#![allow(clippy::unwrap_used, clippy::panic)]

use axum::http::StatusCode;
use support::{Pages, encoded};

mod support;

/// The fields of a formula's example, lists cell by cell.
fn example(formula: &bench::Formula) -> Vec<(&'static str, String)> {
    let given = formula.inputs.iter().filter(|input| input.need != bench::Need::Alternative);
    given
        .flat_map(|input| {
            let all = input.example();
            let items: Vec<String> =
                if input.list() { all.split("; ").map(str::to_owned).collect() } else { vec![all] };
            items.into_iter().map(|item| (input.key, item))
        })
        .collect()
}

fn query(fields: &[(&'static str, String)]) -> String {
    let fields: Vec<(&str, &str)> = fields.iter().map(|(key, text)| (*key, text.as_str())).collect();
    encoded(&fields)
}

const BELT: &str = "/bench/belt-span-tension";
const TYPED: [(&str, &str); 3] =
    [("mass-per-length", "0,1"), ("span", "172 ± 1 mm"), ("frequency", "150 Hz")];

#[tokio::test]
async fn every_formula_has_its_page_its_drawing_and_its_answer() {
    let pages = Pages::of_the_guide();
    let list = pages.get("/bench").await;
    for formula in bench::formulas() {
        let at = format!("/bench/{}", formula.id);
        assert!(list.html.contains(&format!("href=\"{at}\"")), "{at} is not in the list");
        let empty = pages.get(&at).await;
        assert_eq!(empty.status, StatusCode::OK, "{at}");
        assert!(empty.html.contains("<svg class=\"diagram\"") || empty.html.contains("diagram"), "{at}");
        let worked = pages.get(&format!("{at}?{}", query(&example(formula)))).await;
        assert_eq!(worked.status, StatusCode::OK, "{at}");
        assert!(worked.html.contains("class=\"results\""), "{at} does not work its example out");
        assert!(!worked.html.contains("NaN"), "{at}");
    }
}

#[tokio::test]
async fn whatever_is_typed_into_any_field_is_answered_or_refused_in_words() {
    let pages = Pages::of_the_guide();
    let odd = [
        "<script>alert(1)</script>",
        "∞",
        "1e308",
        "-1",
        "12,5",
        "0.49 in",
        "1/0",
        "± 3",
        "5 ± -1 mm",
        "NaN",
        "1 2 3",
        "\u{0}",
        "٣ mm",
        "1..2",
        "1 mm\n2 mm",
        "9999999999999999999999 km",
    ];
    let mut nth = 0;
    for formula in bench::formulas() {
        for input in &formula.inputs {
            let mut fields = example(formula);
            for (_, text) in fields.iter_mut().filter(|(key, _)| *key == input.key).take(1) {
                odd[nth % odd.len()].clone_into(text);
            }
            nth += 1;
            let at = format!("/bench/{}/answer?{}", formula.id, query(&fields));
            let page = pages.get(&at).await;
            assert_eq!(page.status, StatusCode::OK, "{at}");
            assert!(!page.html.contains("<script>"), "{at}");
            // A name may be "NaN"; a number never is.
            let told = page.html.replace("`NaN`", "").replace("value=\"NaN\"", "");
            assert!(
                input.scale().is_none() || !told.contains("NaN") && !told.contains(">inf"),
                "{at}: {told}"
            );
            let answered = page.html.contains("data-worked");
            let refused = page.html.contains("No answer yet") || page.html.contains("Still to fill in");
            assert!(answered != refused, "{at}: {}", page.html);
        }
    }
}

#[tokio::test]
async fn every_problem_is_told_beside_its_field_and_what_was_typed_is_kept() {
    let pages = Pages::of_the_guide();
    let at =
        format!("{BELT}?{}", encoded(&[("span", "172 <N>"), ("frequency", "9000 Hz"), ("do_it", "work")]));
    let html = pages.get(&at).await.html;
    for says in [
        "172 &lt;N&gt;",
        "9000 Hz; the formula holds from 5 Hz to 600 Hz",
        "Mass per length of the belt is missing",
    ] {
        assert!(html.contains(says), "{says}");
    }
    assert_eq!(html.matches("aria-invalid=\"true\"").count(), 3);
}

#[tokio::test]
async fn what_a_spreadsheet_pastes_fills_the_table_without_script() {
    let pages = Pages::of_the_guide();
    let pasted = encoded(&[
        ("paste_lengths", "42,0\t170\r\n38,0\t290\r\n34,0\t425"),
        ("installed-height", "40"),
        ("lift", "5,5"),
        ("do_it", "paste"),
    ]);
    let page = pages.get(&format!("/bench/valve-spring-load-table?{pasted}")).await;
    let page = pages.get(&page.to).await;
    // On the line from 170 N at 42 mm to 290 N at 38 mm, 40 mm is half way: 230 N, by hand.
    assert!(page.html.contains("230 N"), "{}", page.html);
}

#[tokio::test]
async fn a_cars_readings_fill_in_what_its_data_sheet_says_they_are() {
    let pages = Pages::of_the_guide();
    let loaded = pages.get(&format!("{BELT}?at_car=pip&do_it=load")).await;
    assert_eq!(loaded.status, StatusCode::SEE_OTHER, "{}", loaded.html);
    let page = pages.get(&loaded.to).await;
    assert!(page.html.contains("value=\"310 mm\"") && page.html.contains("From the data sheet of Pip."));
    assert!(page.html.contains("From Pip: ") && page.html.contains(", 4 May 2026."), "{}", page.html);
    assert!(page.html.contains("class=\"results\""));
    let nothing = pages.get("/bench/displacement?at_car=pip&do_it=load").await;
    assert!(nothing.html.contains("does not say which of its readings"));
    let nobody = pages.get(&format!("{BELT}?at_car=pap&do_it=load")).await;
    assert!(nobody.html.contains("The book has no car “pap”"));
}

#[tokio::test]
async fn an_answer_is_kept_on_a_cars_record_once() {
    let pages = Pages::of_the_guide();
    let before = pages.entries();
    let draft = [("draft", "d1"), ("at_car", "pip"), ("a_note", "Cold <belt>")];
    let fields = [&draft[..], &TYPED[..]].concat();
    for _ in 0..2 {
        let page = pages.post(BELT, &fields).await;
        assert_eq!(
            (page.status, page.to.as_str()),
            (StatusCode::SEE_OTHER, "/cars/pip#worked-out"),
            "{}",
            page.html
        );
    }
    assert_eq!(pages.entries(), before + 1);
    let car = pages.get("/cars/pip").await.html;
    // u = 2 T / L · 1 mm: 3.1 N of 266.3 N, by hand.
    for says in
        ["266.3 ± 3.1 N", "Cold &lt;belt&gt;", "/bench/belt-span-tension?mass-per-length=0%2C1&amp;span="]
    {
        assert!(car.contains(says), "{says}");
    }
}

#[tokio::test]
async fn what_cannot_be_kept_comes_back_as_it_was_typed() {
    let pages = Pages::of_the_guide();
    let before = pages.entries();
    let without_car = pages.post(BELT, &[&[("a_note", "Cold")][..], &TYPED[..]].concat()).await;
    assert_eq!(without_car.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(without_car.html.contains("Choose the car") && without_car.html.contains(">Cold</textarea>"));
    let wrong = pages.post(BELT, &[("at_car", "pip"), ("span", "172 N")]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.html.contains("value=\"172 N\"") && wrong.html.contains("must be a length"));
    let nobody = pages.post_as("", BELT, &[&[("at_car", "pip")][..], &TYPED[..]].concat()).await;
    assert!(
        nobody.to.starts_with("/sign?then=%2Fbench%2Fbelt-span-tension%3Fmass-per-length"),
        "{}",
        nobody.to
    );
    assert_eq!(pages.entries(), before);
}

#[tokio::test]
async fn formulas_are_found_by_words() {
    let pages = Pages::of_the_guide();
    let found = pages.get("/bench?find=belt+note").await.html;
    assert!(
        found.contains("href=\"/bench/belt-span-tension\"")
            && !found.contains("href=\"/bench/displacement\"")
    );
    let nothing = pages.get("/bench?find=%3Cb%3Ewarp").await;
    assert!(nothing.html.contains("No formula speaks of “&lt;b&gt;warp”"));
    assert_eq!(pages.get("/bench/belt-span-tensoin").await.status, StatusCode::NOT_FOUND);
}
