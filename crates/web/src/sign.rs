//! Who signs: the person whose name stands under what is written here.

use crate::{
    app::App,
    error::PageError,
    layout::{self, Shell},
    routes,
};
use axum::{
    Form,
    extract::{FromRequestParts, Query, State},
    http::request::Parts,
    response::{IntoResponse, Redirect, Response},
};
use axum_extra::extract::cookie::{Cookie, CookieJar, SameSite};
use journal::Person;
use maud::{Markup, html};
use serde::Deserialize;
use std::convert::Infallible;

const COOKIE: &str = "signer";

/// The person who signs on this device, by id; `None` until somebody said so.
#[derive(Debug, Clone)]
pub struct Signer(pub Option<String>);

impl<S: Send + Sync> FromRequestParts<S> for Signer {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Infallible> {
        let jar = CookieJar::from_headers(&parts.headers);
        Ok(Self(jar.get(COOKIE).map(|cookie| cookie.value().to_owned())))
    }
}

impl Signer {
    /// The signer, if the book still knows the person.
    pub fn known(&self, people: &[Person]) -> Option<Person> {
        let id = self.0.as_ref()?;
        people.iter().find(|person| person.id == *id && may_sign(person)).cloned()
    }
}

/// What a person is called; an id that the book no longer knows stays as it is.
pub fn name<'a>(people: &'a [Person], id: &'a str) -> &'a str {
    people.iter().find(|person| person.id == id).map_or(id, |person| &person.name)
}

/// Owners of cars answer; they do not sign for the workshop.
fn may_sign(person: &Person) -> bool {
    person.role != "owner"
}

#[derive(Deserialize)]
pub struct Then {
    #[serde(default)]
    then: String,
}

pub async fn get(
    State(app): State<App>,
    signer: Signer,
    Query(then): Query<Then>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let people = app.book.people()?;
        let shell = Shell::new(app, &signer, "Who signs")?;
        Ok(shell.page(html! {
            h1 { "Who signs?" }
            p.lead { "What is written on this device stands under this name until somebody else signs." }
            (form(&people, &then.then, signer.known(&people).map(|person| person.id).as_deref()))
        }))
    })
    .await
}

/// One button a person.
pub fn form(people: &[Person], then: &str, now: Option<&str>) -> Markup {
    html! {
        form.people method="post" action="/sign" {
            input type="hidden" name="then" value=(then);
            @for person in people.iter().filter(|person| may_sign(person)) {
                button name="person" value=(person.id) aria-pressed=(now == Some(&*person.id)) {
                    b { (person.name) } small { (person.role) }
                }
            }
            @if !people.iter().any(may_sign) {
                p { "The book knows nobody who could sign. Record a file with a " code { "[[person]]" } " first." }
            }
        }
    }
}

#[derive(Deserialize)]
pub struct Signed {
    person: String,
    #[serde(default)]
    then: String,
}

pub async fn post(
    State(app): State<App>,
    jar: CookieJar,
    Form(signed): Form<Signed>,
) -> Result<Response, PageError> {
    let known = app.ask(|app| Ok(app.book.people()?)).await?;
    if !known.iter().any(|person| person.id == signed.person && may_sign(person)) {
        return Err(PageError::NotThere("The book does not know this person.".into()));
    }
    let cookie = Cookie::build((COOKIE, signed.person))
        .path("/")
        .http_only(true)
        .same_site(SameSite::Strict)
        .permanent();
    Ok((jar.add(cookie), Redirect::to(inside(&signed.then))).into_response())
}

/// Only addresses of our own are gone on to.
fn inside(then: &str) -> &str {
    let ours = then.starts_with('/') && !then.starts_with("//") && !then.contains('\\');
    if ours { then } else { routes::TODAY }
}

/// Shown in place of a form while nobody has signed.
pub fn ask(people: &[Person], then: &str) -> Markup {
    layout::panel(
        "Who signs?",
        html! {
            p { "What you write is kept under your name. Who are you?" }
            (form(people, then, None))
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nobody_is_sent_elsewhere_after_signing() {
        assert_eq!(inside("/cars/a"), "/cars/a");
        for elsewhere in ["//evil.example", "https://evil.example", "", "/\\evil.example"] {
            assert_eq!(inside(elsewhere), "/");
        }
    }
}
