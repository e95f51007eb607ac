//! The page of the plan: wishes in the address, everything wrong told at once, and figures behind each decision.

#![allow(clippy::unwrap_used)]

use axum::{
    Router,
    body::{Body, to_bytes},
    http::{Request, StatusCode},
};
use book::{Book, Clock};
use jiff::civil::date;
use sheet::SourceFile;
use std::{path::Path, sync::Arc};
use tempfile::TempDir;
use tower::ServiceExt;

struct Pages {
    _folder: TempDir,
    router: Router,
}

impl Pages {
    /// The van of the guide, looked over in the morning.
    fn new() -> Self {
        let file = |name: &str| {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/example").join(name);
            SourceFile::new(name, std::fs::read_to_string(path).unwrap())
        };
        let folder = tempfile::tempdir().unwrap();
        let clock = Clock::on(date(2026, 5, 4));
        let book = Book::open_or_make(folder.path()).unwrap();
        let sheet = [file("tallow-nuthatch/sheet.toml"), file("tallow-nuthatch/work.toml")];
        book.adopt(&sheet, "ida", &clock).unwrap();
        book.record(&["workshop.toml", "pip.toml", "pip-2026-05-04.toml"].map(file)).unwrap();
        Self { _folder: folder, router: web::router(Arc::new(book), clock) }
    }

    async fn plan(&self, wishes: &str) -> String {
        let request = Request::get(format!("/cars/pip/plan?{wishes}")).body(Body::empty()).unwrap();
        let answer = self.router.clone().oneshot(request).await.unwrap();
        assert_eq!(answer.status(), StatusCode::OK, "{wishes}");
        String::from_utf8(to_bytes(answer.into_body(), 1 << 22).await.unwrap().to_vec()).unwrap()
    }
}

/// The part of a page between two headings.
fn under<'p>(page: &'p str, heading: &str) -> &'p str {
    let rest = page.split_once(&format!("<h2>{heading}</h2>")).unwrap().1;
    rest.split_once("<h2>").map_or(rest, |(part, _)| part)
}

#[tokio::test]
async fn wishes_are_kept_and_shown_again() {
    let pages = Pages::new();
    let page = pages.plan("").await;
    assert!(!under(&page, "Now").contains("Engine oil and filter"));
    let wishes =
        "budget=600&hours=8&at=2026-11-02&horizon=2029-01-01&must=change-engine-oil&not=renew-fan-belt";
    let page = pages.plan(wishes).await;
    assert!(under(&page, "Now").contains("Engine oil and filter"));
    for typed in ["value=\"600\"", "value=\"8\"", "value=\"2026-11-02\"", "value=\"2029-01-01\""] {
        assert!(page.contains(typed), "{typed}");
    }
    assert!(page.contains("value=\"change-engine-oil\" checked"));
    assert!(page.contains("value=\"renew-fan-belt\" checked"));
}

#[tokio::test]
async fn everything_wrong_with_wishes_is_told_at_once_and_the_plan_still_shows() {
    let page = Pages::new().plan("budget=much&hours=-3&at=soon&horizon=2026-13-40").await;
    for text in ["much", "-3", "soon", "2026-13-40"] {
        assert!(page.contains(&format!("“{text}” is no ")), "{text}");
        assert!(page.contains(&format!("value=\"{text}\"")), "{text} is still there");
    }
    assert!(page.contains("<h2>Now</h2>"));
}

#[tokio::test]
async fn a_clash_is_told_in_words() {
    let page = Pages::new().plan("not=renew-front-hose").await;
    let clash = under(&page, "No plan keeps all of that");
    for rule in ["Front brake hose, front right: it must not wait", "Front brake hose, front right: not now"]
    {
        assert!(clash.contains(rule), "{rule} in {clash}");
    }
    assert!(page.contains("id=\"budget\""), "other wishes can still be told");
}

#[tokio::test]
async fn decisions_have_their_figures_and_failures_their_drawing() {
    let page = Pages::new().plan("budget=600").await;
    assert!(page.contains("of 40 plans with other estimates"));
    assert!(under(&page, "How firm it is").contains("Firm"));
    let fails = under(&page, "If it fails first");
    assert!(fails.contains("role=\"img\"") && fails.contains("beyond the repair"), "{fails}");
}
