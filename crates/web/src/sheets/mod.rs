//! Sheets: what do we know about this type? Everything a data sheet of the book says, in plain words, with where it comes from.

mod changes;
mod draft;
mod facts;
mod kinds;
mod merge;
mod overview;
mod preview;
mod revisions;
mod text;
mod thing;
mod told;

pub use draft::LONGEST;
pub use revisions::get as revisions;
pub use text::{get as text, look, post};
pub use told::ToldSheets;

use crate::{app::App, error::PageError, layout::Shell, routes, sign::Signer};
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Redirect, Response},
};
use maud::{Markup, html};
use serde::Deserialize;
use sheet::SheetId;
use std::sync::Arc;
use told::Told;
use workshop::{Revision, Shop, words};

#[derive(Deserialize)]
pub struct Find {
    #[serde(default)]
    find: String,
}

/// All sheets; the only one opens at once.
pub async fn get(State(app): State<App>, signer: Signer) -> Result<Response, PageError> {
    app.ask(move |app| {
        let shop = app.book.shop()?;
        let ids: Vec<&SheetId> = shop.sheet_ids().collect();
        if let [only] = ids[..]
            && shop.sheet(only).is_some()
        {
            return Ok(Redirect::to(&routes::sheet(only.as_str())).into_response());
        }
        let shell = shell(app, &signer, "Sheets")?;
        Ok(shell.page(all(&shop, &ids)).into_response())
    })
    .await
}

fn all(shop: &Shop, ids: &[&SheetId]) -> Markup {
    html! {
        h1 { "Sheets" }
        p.lead { "What your workshop knows of each type of car." }
        @if ids.is_empty() {
            section.panel {
                h2 { "No data sheet yet" }
                p { "A data sheet says what can wear on a type of car, how to look, where the limits are and what the work takes. Begin one, write the maker’s data into it, and add it to this book:" }
                ol {
                    li { code { "witnessmark sheet new my-car" } " begins a small one that is in order." }
                    li { code { "witnessmark sheet check my-car" } " names everything that is wrong, with the line." }
                    li { code { "witnessmark sheet add my-car --book …" } " puts it here; from then on it can be changed on these pages." }
                }
            }
        }
        ul.sheets {
            @for id in ids {
                @let sheet = shop.sheet(id);
                li {
                    a href=(if sheet.is_some() { routes::sheet(id.as_str()) } else { routes::sheet_text(id.as_str()) }) { (sheet.as_ref().map_or(id.as_str(), |sheet| &sheet.title)) }
                    @match &sheet {
                        Some(sheet) => p.quiet {
                            (words::count(sheet.checks.len(), "check", "checks")) " on " (words::count(sheet.components.len(), "component", "components"))
                            ", " (words::count(sheet.operations.len(), "operation", "operations"))
                            @if let Some(says) = &sheet.says { ". " (says) }
                        },
                        None => p.problem { "It no longer reads: open its text to see what is wrong." },
                    }
                }
            }
        }
    }
}

/// One sheet: its systems and kinds, and what a search finds.
pub async fn sheet(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Query(find): Query<Find>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let open = Open::of(app, &id)?;
        let shell = shell(app, &signer, &open.told.sheet.title)?;
        Ok(shell.page(overview::view(&open, &shell.people, find.find.trim())))
    })
    .await
}

/// All things of a kind.
pub async fn kind(
    State(app): State<App>,
    signer: Signer,
    Path((id, kind)): Path<(String, String)>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let open = Open::of(app, &id)?;
        let kind = kinds::of(&kind).ok_or_else(|| not_on(&open.told, &kind))?;
        let shell = shell(app, &signer, kind.many)?;
        Ok(shell.page(overview::of_kind(&open.told, kind)))
    })
    .await
}

/// One thing.
pub async fn thing(
    State(app): State<App>,
    signer: Signer,
    Path((id, kind, thing)): Path<(String, String, String)>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let open = Open::of(app, &id)?;
        let found = kinds::of(&kind).zip(open.told.thing(&kind, &thing));
        let (kind, thing) = found.ok_or_else(|| not_on(&open.told, &thing))?;
        let shell = shell(app, &signer, &thing.title)?;
        Ok(shell.page(thing::view(&open.told, kind, thing)))
    })
    .await
}

fn not_on(told: &Told, what: &str) -> PageError {
    let near = sheet::table::nearest(what, told.things.iter().map(|thing| thing.id.as_str()));
    let near = near.map(|near| format!(" Did you mean “{near}”?")).unwrap_or_default();
    PageError::NotThere(format!("The sheet of the {} has no “{what}”.{near}", told.sheet.title))
}

fn shell(app: &App, signer: &Signer, title: &str) -> Result<Shell, PageError> {
    Ok(Shell::new(app, signer, title)?.here(routes::SHEETS).with_sheets())
}

/// A sheet of the book, as it is in use.
struct Open {
    shop: Arc<Shop>,
    id: SheetId,
    told: Arc<Told>,
}

impl Open {
    fn of(app: &App, id: &str) -> Result<Self, PageError> {
        let shop = app.book.shop()?;
        let id = SheetId::from(id);
        let Some(revision) = shop.revisions(&id).last() else {
            return Err(PageError::NotThere(format!("The book has no data sheet “{id}”.")));
        };
        let told = app.told.of(revision).ok_or_else(|| {
            PageError::NotThere(format!(
                "The data sheet “{id}” no longer reads, and cannot be told in words."
            ))
        })?;
        Ok(Self { shop, id, told })
    }

    fn revisions(&self) -> &[Revision] {
        self.shop.revisions(&self.id)
    }
}

/// The way to where one is.
fn way(told: &Told, on: &[(String, &str)]) -> Markup {
    html! {
        nav.way aria-label="Way here" {
            a href=(routes::sheet(told.sheet.id.as_str())) { (told.sheet.title) }
            @for (address, name) in on { " › " a href=(address) { (name) } }
        }
    }
}
