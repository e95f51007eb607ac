//! The page of the plan: wishes in the address, everything wrong told at once, and figures behind each decision.

#![allow(clippy::unwrap_used, clippy::panic)]

use axum::http::StatusCode;
use support::Pages;

mod support;

async fn plan(wishes: &str) -> String {
    let page = Pages::of_the_guide().get(&format!("/cars/pip/plan?{wishes}")).await;
    assert_eq!(page.status, StatusCode::OK, "{wishes}");
    page.html
}

/// The part of a page between two headings.
fn under<'p>(page: &'p str, heading: &str) -> &'p str {
    let rest = page.split_once(&format!("<h2>{heading}</h2>")).unwrap().1;
    rest.split_once("<h2>").map_or(rest, |(part, _)| part)
}

#[tokio::test]
async fn wishes_are_kept_and_shown_again() {
    let page = plan("").await;
    assert!(!under(&page, "Now").contains("Engine oil and filter"));
    let wishes =
        "budget=600&hours=8&at=2026-11-02&horizon=2029-01-01&must=change-engine-oil&not=renew-fan-belt";
    let page = plan(wishes).await;
    assert!(under(&page, "Now").contains("Engine oil and filter"));
    for typed in ["value=\"600\"", "value=\"8\"", "value=\"2026-11-02\"", "value=\"2029-01-01\""] {
        assert!(page.contains(typed), "{typed}");
    }
    assert!(page.contains("value=\"change-engine-oil\" checked"));
    assert!(page.contains("value=\"renew-fan-belt\" checked"));
}

#[tokio::test]
async fn everything_wrong_with_wishes_is_told_at_once_and_the_plan_still_shows() {
    let page = plan("budget=much&hours=-3&at=soon&horizon=2026-13-40").await;
    for text in ["much", "-3", "soon", "2026-13-40"] {
        assert!(page.contains(&format!("“{text}” is no ")), "{text}");
        assert!(page.contains(&format!("value=\"{text}\"")), "{text} is still there");
    }
    assert!(page.contains("<h2>Now</h2>"));
}

#[tokio::test]
async fn a_clash_is_told_in_words() {
    let page = plan("not=renew-front-hose").await;
    let clash = under(&page, "No plan keeps all of that");
    for rule in ["Front brake hose, front right: it must not wait", "Front brake hose, front right: not now"]
    {
        assert!(clash.contains(rule), "{rule} in {clash}");
    }
    assert!(page.contains("id=\"budget\""), "other wishes can still be told");
}

#[tokio::test]
async fn decisions_have_their_figures_and_failures_their_drawing() {
    let page = plan("budget=600").await;
    assert!(page.contains("of 40 plans with other estimates"));
    assert!(under(&page, "How firm it is").contains("Firm"));
    let fails = under(&page, "If it fails first");
    assert!(fails.contains("role=\"img\"") && fails.contains("beyond the repair"), "{fails}");
}
