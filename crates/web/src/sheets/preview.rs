//! Before a revision is saved: what changes on the sheet, and on which cars a verdict would be another.

use super::{
    changes,
    draft::{DO, Draft},
};
use crate::{app::App, error::PageError, layout::Shell, routes, sent::draft_field};
use book::CarOtherwise;
use maud::{Markup, html};
use sheet::{Sheet, Verdict};
use workshop::{Otherwise, words};

/// Cars that are judged for it; more would keep one waiting.
const MOST: usize = 400;
/// Grounds that are told of a verdict.
const GROUNDS: usize = 2;

pub fn view(
    app: &App,
    shell: &Shell,
    draft: &Draft,
    before: Option<&Sheet>,
    after: &Sheet,
    doubts: usize,
) -> Result<Markup, PageError> {
    let id = after.id.as_str();
    let compared = before.map(|before| compared(app, before, after)).transpose()?;
    Ok(html! {
        nav.way aria-label="Way here" { a href=(routes::sheet(id)) { (after.title) } }
        h1 { "What would change" }
        p.lead { "Nothing is saved yet." }
        @match compared {
            Some(compared) => (compared),
            None => p.panel { "The revision that this was begun from can no longer be read, so that nothing can be compared with it. It can be saved all the same." },
        }
        @if doubts > 0 { p.panel { "The checker still has " (words::count(doubts, "doubt", "doubts")) " about it. It can be saved all the same." } }
        form data-unsaved method="post" action=(routes::sheet_text(id)) {
            (draft_field(&shell.draft))
            (draft.hidden())
            input type="hidden" name=(super::draft::TEXT) value=(draft.text());
            p.acts.staying {
                button.go name=(DO) value="save" { "Save as a new revision" }
                button name=(DO) value="look" { "Back to the text" }
            }
        }
    })
}

/// What is different, on the sheet and on the cars.
fn compared(app: &App, before: &Sheet, after: &Sheet) -> Result<Markup, PageError> {
    let (cars, count) = app.book.otherwise(before, after, app.clock.today(), MOST)?;
    let judged = cars.len();
    let others: Vec<&CarOtherwise> = cars.iter().filter(|car| !car.verdicts.is_empty()).collect();
    Ok(html! {
        h2 { "On the sheet" }
        @match changes::view(before, after) {
            Some(changes) => (changes),
            None => p.quiet { "It says the same; only comments, spaces or the cut into files are others." },
        }
        h2 { "On the cars" }
        p {
            @if count == 0 { "No car of this book is of this sheet." }
            @else if others.is_empty() { "No verdict would be another on " (words::count(judged, "car", "cars")) ". " }
            @else { (words::count(others.len(), "car", "cars")) " of " (judged) " would be judged otherwise. " }
            @if count > judged { "Of " (count) " cars, the " (judged) " that were here last were looked at. " }
            @if count > 0 { span.quiet { "What was judged stays as it was judged; this counts from each car’s next visit on." } }
        }
        @for car in others {
            section.otherwise {
                h3 { (car.title) }
                ul { @for verdict in &car.verdicts { li { (verdict_line(&car.car, verdict)) } } }
            }
        }
    })
}

fn verdict_line(car: &str, told: &Otherwise) -> Markup {
    html! {
        p {
            // What is not saved yet stays where it is.
            a href=(routes::finding(car, told.check.as_str(), told.place.as_str())) target="_blank" {
                (told.part) ": " (told.title)
                span.hidden { " (opens beside this page)" }
            }
        }
        p.from-to { (said(told.was)) span { "would be" } (said(told.now)) }
        @if told.now.is_none() { p.quiet { "The sheet no longer speaks of it." } }
        @if !told.why.is_empty() {
            ul.why {
                @for reason in told.why.iter().take(GROUNDS) {
                    li { (reason.says) @if let Some(source) = &reason.source { " " small { "Source: " (source) } } }
                }
            }
        }
    }
}

fn said(verdict: Option<Verdict>) -> Markup {
    html! { @match verdict { Some(verdict) => (::letter::verdict(verdict)), None => span.quiet { "nothing said" } } }
}
