//! A form as it was sent. A double tap, a page loaded again, a phone that did not hear the answer: it is written once.
//!
//! Every page has a draft of its own, which its forms carry. The ids of what is written are made of everything that was sent:
//! the same again has the same ids, and a form that was changed and sent again from the same page is another.

use crate::{app::App, error::PageError};
use axum::{
    body::{Body, Bytes},
    extract::{FromRequest, Request},
    response::{IntoResponse, Response},
};
use axum_extra::extract::Form;
use journal::EntryId;
use maud::{Markup, html};
use serde::de::DeserializeOwned;

/// The name of the field that carries a page's draft.
pub const DRAFT: &str = "draft";

/// The field that every form carries.
pub fn draft_field(draft: &str) -> Markup {
    html! { input type="hidden" name=(DRAFT) value=(draft); }
}

/// What was typed, and the message that it came in.
pub struct Sent<T> {
    pub typed: T,
    pub message: Message,
}

/// Everything that was sent, and where to; nothing when it carries no draft, so that every sending counts.
#[derive(Clone)]
pub struct Message(Option<Vec<u8>>);

impl Message {
    /// The id of the `nth` entry that is made of it.
    pub fn id(&self, nth: usize, app: &App) -> EntryId {
        self.0.as_ref().map_or_else(|| app.clock.new_id(), |message| EntryId::of_message(message, nth))
    }

    /// Whether it was written down already. To be asked once everything else has been read: of two that come at once, the
    /// later may find the earlier one's entries there before it finds that they are its own.
    pub fn is_written(&self, app: &App) -> Result<bool, PageError> {
        Ok(self.0.is_some() && app.book.has(self.id(0, app))?)
    }
}

impl<T: DeserializeOwned, S: Send + Sync> FromRequest<S> for Sent<T> {
    type Rejection = Response;

    async fn from_request(request: Request, state: &S) -> Result<Self, Response> {
        let (parts, body) = request.into_parts();
        let to = parts.uri.path().as_bytes().to_vec();
        let request = Request::from_parts(parts.clone(), body);
        let bytes = Bytes::from_request(request, state).await.map_err(IntoResponse::into_response)?;
        let carries_draft = bytes.split(|byte| *byte == b'&').any(|field| {
            field
                .strip_prefix(DRAFT.as_bytes())
                .is_some_and(|value| value.starts_with(b"=") && value.len() > 1)
        });
        let message = carries_draft.then(|| [&to[..], b"\n", &bytes].concat());
        let request = Request::from_parts(parts, Body::from(bytes));
        let Form(typed) = Form::from_request(request, state).await.map_err(IntoResponse::into_response)?;
        Ok(Self { typed, message: Message(message) })
    }
}
