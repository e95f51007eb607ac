//! Pages for what goes wrong: what happened, that nothing is lost, and ways on.

use crate::{layout, routes};
use axum::{
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};
use book::BookError;
use journal::StoreError;
use maud::html;

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
pub enum PageError {
    #[error("{0}")]
    NotThere(String),
    #[error("something else was written meanwhile")]
    Moved,
    #[error("{0}")]
    Ours(String),
}

impl From<BookError> for PageError {
    fn from(error: BookError) -> Self {
        match &error {
            BookError::NoCar { id, nearest } => Self::NotThere(match nearest {
                Some(near) => format!("The book has no car “{id}”. Did you mean “{near}”?"),
                None => format!("The book has no car “{id}”."),
            }),
            BookError::Store(StoreError::Moved { .. }) => Self::Moved,
            other => Self::Ours(other.to_string()),
        }
    }
}

impl IntoResponse for PageError {
    fn into_response(self) -> Response {
        match self {
            Self::NotThere(says) => short(StatusCode::NOT_FOUND, "Not here", &says),
            Self::Moved => short(
                StatusCode::CONFLICT,
                "Look again",
                "Somebody wrote in this car’s book while you were here. Nothing of theirs is lost, and yours was not written \
                 yet: go back, look at what is new, and send it again.",
            ),
            Self::Ours(cause) => {
                tracing::error!(%cause, "a page could not be made");
                ours()
            }
        }
    }
}

/// What broke is ours; it was logged.
pub fn ours() -> Response {
    short(
        StatusCode::INTERNAL_SERVER_ERROR,
        "That did not work",
        "The fault is ours, not yours. What was confirmed before is safe in the book; what you just sent may not have been \
         written. Go back and send it again; if it happens twice, look at what the program printed.",
    )
}

/// A form that another site's page has sent.
pub fn from_elsewhere() -> Response {
    short(
        StatusCode::FORBIDDEN,
        "Not from here",
        "This was sent from a page of another site, and nothing was written. Open the page here and send it again.",
    )
}

/// A form longer than is read.
pub fn too_long() -> Response {
    short(
        StatusCode::PAYLOAD_TOO_LARGE,
        "Too long",
        "This is more text than is read at once, and nothing was written. Go back: your browser still has what you typed. Save \
         less at a time; a file of a data sheet has at most 1 MiB.",
    )
}

/// An address that leads nowhere.
pub async fn nothing_here() -> Response {
    short(StatusCode::NOT_FOUND, "Not here", "Nothing is at this address.")
}

fn short(status: StatusCode, title: &str, says: &str) -> Response {
    let page = layout::bare(
        title,
        html! {
            h1 { (title) }
            p { (says) }
            p.acts { a.button href=(routes::TODAY) { "Today" } a.button href=(routes::CARS) { "Cars" } }
        },
    );
    (status, Html(page.into_string())).into_response()
}
