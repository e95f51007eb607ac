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
    let page = plan("budget=much&hours=-3&at=soon&horizon=2026-13-40&lacking=TN-0").await;
    for (text, says) in [
        ("much", "Write money as a number"),
        ("-3", "Hours are a number from 0 up"),
        ("soon", "“soon” is no "),
        ("2026-13-40", "“2026-13-40” is no "),
        ("TN-0", "“TN-0” is no "),
    ] {
        assert!(page.contains(says), "{text}");
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

/// While one types the plan comes before what stands behind it, and is the same plan.
#[tokio::test]
async fn the_first_answer_is_the_plan_without_what_is_behind_it() {
    let (whole, first) = (plan("budget=600").await, plan("budget=600&first=yes").await);
    let in_short = |page: &str| {
        let rest = page.split_once("role=\"status\">").unwrap().1;
        rest.split_once("</p>").unwrap().0.to_owned()
    };
    assert_eq!(in_short(&whole), in_short(&first));
    assert_eq!(
        under(&whole, "Now").matches("<li><div class=\"what\">").count(),
        under(&first, "Now").matches("<li><div class=\"what\">").count()
    );
    assert!(whole.contains("How firm it is") && !first.contains("How firm it is"));
    assert_eq!(whole.matches("data-later").count(), first.matches("data-later").count());
}

#[tokio::test]
async fn decisions_have_their_figures_and_failures_their_drawing() {
    let page = plan("budget=600").await;
    assert!(page.contains("of 100 plans drawn from what is believed"));
    assert!(under(&page, "How firm it is").contains("Firm"));
    let fails = under(&page, "If it fails first");
    assert!(fails.contains("role=\"img\"") && fails.contains("beyond the repair"), "{fails}");
}

#[tokio::test]
async fn what_is_wrong_stands_beside_its_field_and_the_rate_is_a_wish() {
    let page = plan("rate=dear&at=2020-01-01").await;
    let beside = |field: &str| {
        let rest = page.split_once(&format!("data-problem=\"{field}\"")).unwrap().1;
        rest.split_once("</div>").unwrap().0.to_owned()
    };
    assert!(beside("rate").contains("Write money as a number"));
    assert!(beside("at").contains("1 January 2020 is past"));
    assert!(!beside("hours").contains("problem\""));
    assert!(page.contains("<h2>Now</h2>"), "the plan still shows");
    let now = |page: &str| under(page, "Now").split_once("</b>").unwrap().0.to_owned();
    assert_ne!(now(&plan("rate=10").await), now(&plan("rate=200").await));
}

#[tokio::test]
async fn work_is_agreed_on_carried_and_settled() {
    let pages = Pages::of_the_guide();
    let at = "/cars/pip/plan";
    let wrong = pages.post(at, &[("act", "agree"), ("on", "2020-01-01")]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    for says in ["Tick at least one piece of work.", "Write a day that is still to come.", "Say who agreed"] {
        assert!(wrong.html.contains(says), "{says}");
    }
    let form = [
        ("act", "agree"),
        ("operations", "change-engine-oil"),
        ("on", "2026-09-14"),
        ("name", "The owner"),
        ("words", "In autumn"),
    ];
    assert_eq!(pages.post(at, &form).await.status, StatusCode::SEE_OTHER);
    let page = pages.get(at).await.html;
    assert!(
        under(&page, "On 14 September 2026, as agreed").contains("Agreed for 14 September 2026 by The owner")
    );
    let again = pages.post(at, &form).await;
    assert!(again.html.contains("agreed already"), "a second agreement on the same is no agreement");
    let car = pages.get("/cars/pip").await.html;
    assert!(car.contains("Agreed with the owner") && car.contains("“In autumn”"));
    let weeks = pages.get("/weeks").await.html;
    assert!(weeks.contains("Weeks ahead") && weeks.contains("in now"), "{weeks}");
    let of = car_job(&pages.get(at).await.html);
    let refused = pages.post(at, &[("act", "settle"), ("of", &of), ("reason", "")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    let settled = pages.post(at, &[("act", "settle"), ("of", &of), ("reason", "Sold")]).await;
    assert_eq!(settled.status, StatusCode::SEE_OTHER);
    assert!(!pages.get("/cars/pip").await.html.contains("Agreed with the owner"));
}

/// The id of the long job that a page would settle.
fn car_job(page: &str) -> String {
    let rest = page.split_once("value=\"settle\"").unwrap().1;
    rest.split_once("name=\"of\" value=\"").unwrap().1.split_once('"').unwrap().0.to_owned()
}
