//! The pages. A handler takes the request apart, asks the `workshop` room through a [`book::Book`], and shows a view; no rule
//! of the trade lives here.
//!
//! Every page works without script; what script there is only makes the walk quicker. Forms that are refused come back as
//! they were typed, with every problem named. Nothing is stored in the browser but who signs.
//!
//! **Adding a page:** a file with `get` (and `post`), a line in [`router`], a link built in `routes.rs`. What a form writes
//! comes in as [`sent::Sent`], and the form carries the draft of its page, so that it is written once however often it is sent.

mod app;
mod assets;
mod behind;
mod bench;
mod calendar;
mod car;
mod cars;
mod chart;
mod error;
mod finding;
mod keys;
mod layout;
mod letter;
mod marking;
mod of_car;
mod plan;
mod promises;
mod routes;
mod sent;
mod sheets;
mod sign;
mod today;
mod visit;
mod walk;

use app::App;
use axum::{
    Router,
    extract::DefaultBodyLimit,
    http::{HeaderName, HeaderValue, StatusCode},
    response::IntoResponse,
    routing::{get, post},
};
use book::{Book, Clock};
use std::{sync::Arc, time::Duration};
use tower_http::{
    catch_panic::CatchPanicLayer, compression::CompressionLayer, csrf::CsrfLayer,
    set_header::SetResponseHeaderLayer, timeout::TimeoutLayer, trace::TraceLayer,
};

/// Longest form that is read, in bytes: a few pages of text.
const LONGEST_FORM: usize = 256 * 1024;
/// Longest time an answer may take.
const PATIENCE: Duration = Duration::from_secs(30);

/// Serves the pages of a book until the process is told to stop.
///
/// # Errors
/// When the listener fails.
pub async fn serve(listener: tokio::net::TcpListener, book: Arc<Book>, clock: Clock) -> std::io::Result<()> {
    axum::serve(listener, router(book, clock)).with_graceful_shutdown(told_to_stop()).await
}

/// All pages.
pub fn router(book: Arc<Book>, clock: Clock) -> Router {
    let pages = Router::new()
        .route("/", get(today::get))
        .route("/weeks", get(calendar::get))
        .route("/cars", get(cars::get))
        .route("/cars/{car}", get(car::get))
        .route("/cars/{car}/visit", get(visit::get).post(visit::post))
        .route("/cars/{car}/walk", get(walk::get))
        .route("/cars/{car}/walk/{check}/{place}", get(walk::stop::get).post(walk::stop::post))
        .route("/cars/{car}/walk/{check}/{place}/voice", get(walk::voice::get))
        .route("/cars/{car}/findings/{check}/{place}", get(finding::get).post(finding::post))
        .route("/cars/{car}/marking", get(marking::get).post(marking::post))
        .route("/cars/{car}/plan", get(plan::get).post(plan::agree::post))
        .route("/cars/{car}/letter", get(letter::get))
        .route("/cars/{car}/letter/send", post(letter::send))
        .route("/cars/{car}/letter/answers", post(letter::answers))
        .route("/cars/{car}/keys", get(keys::get).post(keys::post))
        .route("/bench", get(bench::get))
        .route("/bench/{formula}", get(bench::formula).post(bench::post))
        .route("/bench/{formula}/answer", get(bench::fragment))
        .route("/sheets", get(sheets::get))
        .route("/sheets/{sheet}", get(sheets::sheet))
        .route("/sheets/{sheet}/revisions", get(sheets::revisions))
        .route(
            "/sheets/{sheet}/edit",
            get(sheets::text).post(sheets::post).layer(DefaultBodyLimit::max(sheets::LONGEST)),
        )
        .route("/sheets/{sheet}/edit/look", post(sheets::look).layer(DefaultBodyLimit::max(sheets::LONGEST)))
        .route("/sheets/{sheet}/{kind}", get(sheets::kind))
        .route("/sheets/{sheet}/{kind}/{id}", get(sheets::thing))
        .route("/sign", get(sign::get).post(sign::post))
        .route("/assets/{name}", get(assets::get))
        .fallback(error::nothing_here)
        .with_state(App { book, clock, told: Arc::default() });
    let header = |name: &'static str, value: &'static str| {
        SetResponseHeaderLayer::if_not_present(HeaderName::from_static(name), HeaderValue::from_static(value))
    };
    pages
        .layer(DefaultBodyLimit::max(LONGEST_FORM))
        .layer(TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, PATIENCE))
        .layer(CompressionLayer::new())
        .layer(CsrfLayer::new().with_rejection_response(|_| error::from_elsewhere()))
        .layer(CatchPanicLayer::custom(|_| error::ours().into_response()))
        .layer(header(
            "content-security-policy",
            "default-src 'none'; style-src 'self'; script-src 'self'; font-src 'self'; img-src 'self' data:; \
             connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
        ))
        .layer(header("x-content-type-options", "nosniff"))
        .layer(header("referrer-policy", "same-origin"))
        .layer(TraceLayer::new_for_http())
}

/// Ends when the process is interrupted or asked to end.
async fn told_to_stop() {
    let interrupted = async { _ = tokio::signal::ctrl_c().await };
    #[cfg(unix)]
    let asked = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut signal) => _ = signal.recv().await,
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let asked = std::future::pending::<()>();
    tokio::select! { () = interrupted => {}, () = asked => {} }
}
