//! The revisions of a sheet: who wrote them, when, and what changed.

use super::{changes, way};
use crate::{
    app::App,
    error::PageError,
    routes,
    sign::{Signer, name},
};
use axum::extract::{Path, Query, State};
use book::Clock;
use journal::Person;
use maud::{Markup, html};
use serde::Deserialize;
use workshop::{Revision, words};

#[derive(Deserialize)]
pub struct Which {
    /// The one that is opened; the newest unless said.
    #[serde(default)]
    of: String,
}

pub async fn get(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Query(which): Query<Which>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let open = super::Open::of(app, &id)?;
        let shell = super::shell(app, &signer, "Revisions")?;
        let revisions = open.revisions();
        let known = revisions.iter().rposition(|revision| revision.id == which.of);
        let opened = known.unwrap_or(revisions.len().saturating_sub(1));
        Ok(shell.page(html! {
            (way(&open.told, &[]))
            h1 { "Revisions" }
            p.lead { "Every visit keeps the revision that judged it; the next visit of a car takes the newest." }
            ol.revisions reversed {
                @for (at, revision) in revisions.iter().enumerate().rev() {
                    li { (line(&id, revisions, at, at == opened, revision, &shell.people)) }
                }
            }
        }))
    })
    .await
}

fn line(
    id: &str,
    revisions: &[Revision],
    at: usize,
    opened: bool,
    revision: &Revision,
    people: &[Person],
) -> Markup {
    let day = words::day(Clock::day_of(revision.at));
    html! {
        p {
            b { "Revision " (at + 1) } ", " (day) ", by " (name(people, &revision.by))
            @if at + 1 == revisions.len() { " " span.done { "in use" } }
            @if !opened && at > 0 { " " a href=(routes::revision(id, &revision.id)) { "What changed" } }
        }
        @if at == 0 { p.quiet { "The first." } } @else if opened { (changed(&revisions[at - 1], revision)) }
    }
}

fn changed(before: &Revision, after: &Revision) -> Markup {
    html! {
        @match before.sheet().zip(after.sheet()) {
            None => p.quiet { "One of the two no longer reads, so that they cannot be compared." },
            Some((before, after)) => {
                @match changes::view(&before, &after) {
                    Some(changes) => (changes),
                    None => p.quiet { "It says the same; only comments, spaces or the cut into files are others." },
                }
            }
        }
    }
}
