//! A sheet as text: its files, with what the checker says beside them. Everything works without script.

use super::{
    changes,
    draft::{BASE, DO, Draft, NEW_NAME, OPEN, TEXT},
    preview,
};
use crate::{
    app::App,
    error::{self, PageError},
    layout::Shell,
    routes,
    sent::{Sent, draft_field},
    sign::{self, Signer, name},
};
use axum::{
    extract::{Path, Query, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use book::{BookError, Clock, Signed};
use maud::{Markup, html};
use serde::Deserialize;
use sheet::{LookedThrough, SheetFault, SheetId, diagnostic::Problem, look_through};
use std::sync::Arc;
use workshop::{Revision, Shop, words};

/// What is wrong is told one by one; from here on, how many more there are.
const TOLD: usize = 100;

#[derive(Deserialize)]
pub struct Where {
    file: Option<String>,
    line: Option<usize>,
}

type Fields = Vec<(String, String)>;

pub async fn get(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Query(at): Query<Where>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let desk = Desk::of(app, &signer, &id)?;
        let draft = Draft::of(desk.in_use(), at.file.as_deref(), at.line);
        if desk.shell.signer.is_none() {
            let ask = sign::ask(&desk.shell.people, &routes::sheet_text(&id));
            return Ok(desk.shell.page(html! { h1 { "Change the data sheet" } (ask) }));
        }
        Ok(desk.page(&draft, &[]))
    })
    .await
}

/// What the checker says, while one types.
pub async fn look(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    sent: Result<Sent<Fields>, Response>,
) -> Result<Response, PageError> {
    let Ok(Sent { typed, .. }) = sent else { return Ok(error::too_long()) };
    app.ask(move |app| {
        let desk = Desk::of(app, &signer, &id)?;
        if desk.shell.signer.is_none() {
            return Ok(StatusCode::FORBIDDEN.into_response());
        }
        let draft = Draft::sent(desk.base(&typed), &typed);
        let problems = look_through(&draft.sources()).problems;
        let fragment = html! {
            div data-into="checked" { (in_short(&problems)) }
            div data-into="told" { (told(&draft, &problems)) }
        };
        Ok(fragment.into_response())
    })
    .await
}

pub async fn post(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    sent: Result<Sent<Fields>, Response>,
) -> Result<Response, PageError> {
    let Sent { typed, message } = match sent {
        Ok(sent) => sent,
        Err(refused) if refused.status() == StatusCode::PAYLOAD_TOO_LARGE => return Ok(error::too_long()),
        Err(refused) => return Ok(refused),
    };
    app.ask(move |app| {
        let desk = Desk::of(app, &signer, &id)?;
        let mut draft = Draft::sent(desk.base(&typed), &typed);
        let act = typed.iter().find(|(field, _)| field == DO).map_or("look", |(_, act)| act);
        let Some(by) = desk.shell.signer.clone() else {
            let wrong = "nobody signs on this device yet: choose who in another tab, then send this again";
            return Ok(desk.refused(&draft, &[wrong.into()]));
        };
        match act {
            "add" => {
                if let Err(wrong) = draft.add() {
                    return Ok(desk.refused(&draft, &[wrong]));
                }
            }
            "remove" if draft.after.len() > 1 => draft.remove(),
            "undo" => draft.undo(),
            "onto" => {
                let both = draft.onto(desk.in_use());
                let told: Vec<String> = both.iter().map(|file| format!(
                    "both of you changed the same lines of {file}: the text here is yours, and theirs is not in it; what they changed stands under Revisions"
                )).collect();
                return Ok(desk.page(&draft, &told).into_response());
            }
            "preview" | "save" => {
                if act == "save" && message.is_written(app)? {
                    return Ok(Redirect::to(&routes::revisions(&id)).into_response());
                }
                return desk.preview_or_save(app, &draft, (act == "save").then(|| Signed {
                    id: message.id(0, app),
                    by: &by.id,
                    device: "page",
                }));
            }
            _ => {}
        }
        Ok(desk.page(&draft, &[]).into_response())
    })
    .await
}

/// Where a sheet is written: its revisions, and who writes.
struct Desk {
    shell: Shell,
    shop: Arc<Shop>,
    id: SheetId,
}

impl Desk {
    fn of(app: &App, signer: &Signer, id: &str) -> Result<Self, PageError> {
        let shop = app.book.shop()?;
        let id = SheetId::from(id);
        if shop.revisions(&id).is_empty() {
            return Err(PageError::NotThere(format!("The book has no data sheet “{id}”.")));
        }
        Ok(Self { shell: super::shell(app, signer, "Change a sheet")?, shop, id })
    }

    fn revisions(&self) -> &[Revision] {
        self.shop.revisions(&self.id)
    }

    /// The newest; a desk has at least one.
    fn in_use(&self) -> &Revision {
        let revisions = self.revisions();
        &revisions[revisions.len() - 1]
    }

    /// The revision that a form began from; the newest where it names none that is known.
    fn base(&self, typed: &Fields) -> &Revision {
        let named = typed.iter().find(|(field, _)| field == BASE);
        let known =
            named.and_then(|(_, base)| self.revisions().iter().rfind(|revision| revision.id == *base));
        known.unwrap_or_else(|| self.in_use())
    }

    fn preview_or_save(
        &self,
        app: &App,
        draft: &Draft,
        save: Option<Signed<'_>>,
    ) -> Result<Response, PageError> {
        let sources = draft.sources();
        let LookedThrough { sheet, problems } = look_through(&sources);
        let mut wrong = draft.too_long();
        if !draft.is_changed() {
            wrong.push("nothing is changed yet".into());
        }
        let Some(after) = sheet else {
            let errors = problems.iter().filter(|problem| !problem.fault.is_a_doubt()).count();
            wrong.push(format!(
                "{} be put right before it can be used: see beside the text",
                words::count(errors, "thing has to", "things have to")
            ));
            return Ok(self.refused(draft, &wrong));
        };
        if after.id != self.id {
            let other = BookError::OtherSheet { is: self.id.to_string(), found: after.id.to_string() };
            wrong.push(format!("{other}: {}", other.help().unwrap_or_default()));
        }
        if draft.base != self.in_use().id {
            return Ok((StatusCode::CONFLICT, self.page(draft, &wrong)).into_response());
        }
        if !wrong.is_empty() {
            return Ok(self.refused(draft, &wrong));
        }
        match save {
            Some(signed) => match app.book.revise(&self.id, &draft.base, &sources, signed, &app.clock) {
                Ok(_) => Ok(Redirect::to(&routes::revisions(self.id.as_str())).into_response()),
                Err(BookError::SheetMoved { .. }) => {
                    let moved =
                        Self { shop: app.book.shop()?, shell: self.shell.clone(), id: self.id.clone() };
                    Ok((StatusCode::CONFLICT, moved.page(draft, &[])).into_response())
                }
                Err(error) if error.is_yours() => Ok(self.refused(draft, &[error.to_string()])),
                Err(error) => Err(error.into()),
            },
            None => {
                let before = self.base(&vec![(BASE.into(), draft.base.clone())]).sheet();
                let page = preview::view(app, &self.shell, draft, before.as_deref(), &after, problems.len())?;
                Ok(self.shell.page(page).into_response())
            }
        }
    }

    fn refused(&self, draft: &Draft, wrong: &[String]) -> Response {
        (StatusCode::UNPROCESSABLE_ENTITY, self.page(draft, wrong)).into_response()
    }

    fn page(&self, draft: &Draft, wrong: &[String]) -> Markup {
        let looked = look_through(&draft.sources());
        let id = self.id.as_str();
        let title = self.in_use().sheet().map_or(id.to_owned(), |sheet| sheet.title.clone());
        self.shell.page(html! {
            nav.way aria-label="Way here" { a href=(routes::sheet(id)) { (title) } }
            h1 { "Change the sheet" }
            p.quiet { "It is text: " b { "Look it through" } " as often as you like, then see what would change, then save. " a href="#how" { "How it works" } }
            @if !wrong.is_empty() {
                div.problems role="alert" {
                    p { b { "Not saved." } " What you typed is still here." }
                    ul { @for wrong in wrong { li { (wrong) } } }
                }
            }
            (self.moved(draft))
            form.sheet-text #sheet-text method="post" action=(routes::sheet_text(id)) data-look={ (routes::sheet_text(id)) "/look" } data-unsaved[draft.is_changed()] {
                // What Enter in a field does.
                button hidden name=(DO) value="look" { "Look it through" }
                (draft_field(&self.shell.draft))
                (draft.hidden())
                (files(draft, &looked.problems))
                div.editor {
                    div.written {
                        label for="text" { (draft.open) @if draft.is_other(&draft.open) { " " span.done { "changed" } } }
                        div.numbered {
                            pre.numbers aria-hidden="true" {}
                            // A browser leaves out the first line break of a text.
                            textarea id="text" name=(TEXT) wrap="off" spellcheck="false" autocomplete="off" autocapitalize="off"
                                data-file=(draft.open) data-line=[draft.line] { "\n" (draft.text()) }
                        }
                        p.acts {
                            button name=(DO) value="look" { "Look it through" }
                            button.go name=(DO) value="preview" { "See what would change" }
                        }
                    }
                    section.beside-text aria-labelledby="says" {
                        h2 id="says" { "The checker" }
                        div #beside {
                            p #checked role="status" { (in_short(&looked.problems)) }
                            div #told { (told(draft, &looked.problems)) }
                        }
                    }
                }
                details {
                    summary { "Files: add one, leave one out, take back" }
                    div.line {
                        label for="new-name" { "Begin another file" }
                        input id="new-name" name=(NEW_NAME) value=(draft.new_name) placeholder="45-brakes.toml" autocomplete="off" autocapitalize="off";
                        button name=(DO) value="add" { "Begin it" }
                    }
                    p.acts {
                        @if draft.is_other(&draft.open) { button name=(DO) value="undo" { "Make " (draft.open) " what it was" } }
                        @if draft.after.len() > 1 { button name=(DO) value="remove" { "Leave " (draft.open) " out" } }
                    }
                    @for gone in draft.gone() { p.quiet { (gone) " is left out. Begin it again to have it back." } }
                }
            }
            section #how {
                h2 { "How it works" }
                p { "Take limits, torques, capacities and intervals from the maker’s data for the car in hand, and write where each comes from as its " code { "source" } ": what stands here decides whether a car leaves." }
                p { "What the checker says has to be put right before the sheet can be used; what does not come together can be saved, and should be put right before you rely on it. Saving makes a new revision: the ones before stay, and every visit keeps the one that judged it." }
            }
        })
    }

    /// That somebody else has saved meanwhile, with what they changed.
    fn moved(&self, draft: &Draft) -> Markup {
        let theirs = self.in_use();
        let base = self.revisions().iter().rfind(|revision| revision.id == draft.base);
        html! {
            @if theirs.id != draft.base {
                section.problems role="alert" {
                    h2 { (name(&self.shell.people, &theirs.by)) " saved a new revision while you were here" }
                    p { "On " (words::day(Clock::day_of(theirs.at))) ". Your text is still here, and nothing of it is saved. This is what they changed:" }
                    @if let Some((before, after)) = base.and_then(Revision::sheet).zip(theirs.sheet()) {
                        @match changes::view(&before, &after) { Some(changes) => (changes), None => p.quiet { "Only comments, spaces or the cut into files." } }
                    }
                    p.acts { button.go form="sheet-text" name=(DO) value="onto" { "Put yours on top of theirs" } }
                }
            }
        }
    }
}

/// The files, each with whether it is changed and how much is wrong in it.
fn files(draft: &Draft, problems: &[Problem<SheetFault>]) -> Markup {
    let changed = draft.after.keys().filter(|name| draft.is_other(name)).count();
    let wrong = |name: &str| problems.iter().filter(|problem| problem.at.file() == name).count();
    html! {
        details.files {
            summary { (words::count(draft.after.len(), "file", "files")) @if changed > 0 { ", " (changed) " changed" } }
            ul {
                @for name in draft.after.keys() {
                    @let wrong = wrong(name);
                    li {
                        button name=(OPEN) value=(name) aria-current=[(*name == draft.open).then_some("true")] {
                            (name)
                            @if draft.is_other(name) { small { "changed" } }
                            @if wrong > 0 { small { (wrong) " to look at" } }
                        }
                    }
                }
            }
        }
    }
}

/// Whether the sheet can be used, in a sentence.
fn in_short(problems: &[Problem<SheetFault>]) -> Markup {
    let doubts = problems.iter().filter(|problem| problem.fault.is_a_doubt()).count();
    html! {
        @match (problems.len() - doubts, doubts) {
            (0, 0) => "Nothing is wrong.",
            (0, n) => { "It can be used. " (words::count(n, "thing does", "things do")) " not come together." },
            (n, _) => { b { (words::count(n, "thing has", "things have")) " to be put right." } }
        }
    }
}

/// What the checker says of the whole sheet: what has to be put right first, that of the open file before the others.
fn told(draft: &Draft, problems: &[Problem<SheetFault>]) -> Markup {
    let mut told: Vec<&Problem<SheetFault>> = problems.iter().collect();
    told.sort_by_key(|problem| (problem.fault.is_a_doubt(), problem.at.file() != draft.open));
    html! {
        ol.told {
            @for problem in told.iter().take(TOLD) {
                li.doubt[problem.fault.is_a_doubt()] { (told_of(draft, problem)) }
            }
        }
        @if told.len() > TOLD { p.quiet { "And " (told.len() - TOLD) " more." } }
    }
}

fn told_of(draft: &Draft, problem: &Problem<SheetFault>) -> Markup {
    let at = &problem.at;
    let line = at.line();
    let (before, within, after) = at.parts();
    html! {
        p.at {
            @if draft.after.contains_key(at.file()) {
                button.to-line name=(OPEN) value={ (at.file()) ":" (line) } data-file=(at.file()) data-line=(line) data-column=(at.column()) data-length=(at.length()) {
                    @if at.file() != draft.open { (at.file()) ", " } "line " (line)
                }
            }
            @if problem.fault.is_a_doubt() { span.quiet { " may stay" } }
        }
        p { (coded(&problem.message())) }
        @if !at.line_text().trim().is_empty() {
            pre tabindex="0" role="region" aria-label={ "Line " (line) } { (before.trim_start()) mark { (if within.is_empty() { " " } else { within }) } (after) }
        }
        @if let Some(help) = problem.help() { p.right { (coded(&help)) } }
        @if let Some(second) = &problem.second {
            p.quiet { (second.file()) ", line " (second.line()) ": " (sheet::diagnostic::Fault::second(&problem.fault)) }
        }
    }
}

/// Words in which what stands between backticks is set as it is written.
fn coded(words: &str) -> Markup {
    html! {
        @for (nth, part) in words.split('`').enumerate() {
            @if nth % 2 == 1 { code { (part) } } @else { (part) }
        }
    }
}
