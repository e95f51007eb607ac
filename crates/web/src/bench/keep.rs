//! Keeping what was worked out on a car's record.

use super::{
    answer::Outcome,
    from_car,
    page::{View, formula_of},
    typed::{CAR, NOTE, Typed},
};
use crate::{
    app::App,
    error::PageError,
    layout::Shell,
    routes,
    sent::{Sent, draft_field},
    sign::{Signer, name},
};
use ::bench::Formula;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use journal::Card;
use maud::{Markup, html};
use workshop::{calculation, words};

pub async fn post(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Sent { typed, message }: Sent<Vec<(String, String)>>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let formula = formula_of(&id)?;
        let typed = Typed::new(formula, typed);
        let here = format!("{}{}", routes::formula(formula.id), typed.query(formula));
        let shell = Shell::new(app, &signer, formula.title)?.here(routes::BENCH).with_bench();
        let Some(by) = &shell.signer else { return Ok(Redirect::to(&routes::sign(&here)).into_response()) };
        let cards = app.book.cards()?;
        let again = |says: Option<String>| -> Result<Response, PageError> {
            let mut view = View::of(app, formula, typed.clone(), true)?;
            view.not_kept = says;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, shell.page(view.page(&shell))).into_response())
        };
        let Some(card) = from_car::card(&cards, typed.first(CAR).trim()) else {
            return again(Some("Choose the car whose record it belongs to.".into()));
        };
        if !matches!(Outcome::of(formula, &typed, true), Outcome::Worked(..)) {
            return again(None);
        }
        let car = app.car(&card.car)?;
        let visit = car.car.open_visit().map(|visit| visit.id.as_str());
        let note = Some(typed.first(NOTE).trim().to_owned()).filter(|note| !note.is_empty());
        let written = typed.written(formula).into_iter().map(|(key, text)| (key.to_owned(), text));
        match calculation::kept(formula, written, visit, car.today, note) {
            Ok(known) => {
                app.say(&message, &card.car, &by.id, [known])?;
                Ok(Redirect::to(&format!("{}#worked-out", routes::car(&card.car))).into_response())
            }
            Err(_) => again(None),
        }
    })
    .await
}

/// The form that keeps an answer. What is kept is what was worked out: its inputs stand in it hidden.
pub fn view(
    shell: &Shell,
    formula: &'static Formula,
    typed: &Typed,
    worked: bool,
    cards: &[Card],
    not_kept: Option<&str>,
) -> Markup {
    html! {
        @if !cards.is_empty() {
            section.keep #keep hidden[!worked && not_kept.is_none()] {
                h2 { "Keep on a car’s record" }
                @if let Some(says) = not_kept { p.problem role="alert" id="keep-wrong" { (says) } }
                form.plain method="post" action=(routes::formula(formula.id)) {
                    (draft_field(&shell.draft))
                    div #kept-inputs { (hidden(formula, typed)) }
                    div.field { (from_car::field(cards, typed.first(CAR), "keep-car", CAR)) }
                    div.field {
                        label for="keep-note" { "Note" }
                        textarea id="keep-note" name=(NOTE) rows="2" { (typed.first(NOTE)) }
                    }
                    p.help {
                        "What you typed and what came of it are kept under "
                        @match &shell.signer { Some(person) => { b { (person.name) } ", today’s date" }, None => "your name and today’s date" }
                        @if cards.iter().any(|card| card.open_visit.is_some()) { " and, if the car is in the house, its visit" } "."
                    }
                    p.acts { button.go { "Keep it" } }
                }
            }
        }
    }
}

/// The inputs as they were worked out.
pub fn hidden(formula: &'static Formula, typed: &Typed) -> Markup {
    html! { @for (key, text) in typed.inputs(formula) { input type="hidden" name=(key) value=(text); } }
}

/// So many letters stand beside the name of a result; more go below it.
const FITS_BESIDE: usize = 24;

/// What was worked out for a car, as its page shows it.
pub fn kept(car: &workshop::Car, people: &[journal::Person]) -> Markup {
    html! {
        @if !car.calculations.is_empty() {
            section #worked-out {
                h2 { "Worked out on the bench" }
                ul.worked-out {
                    @for kept in car.calculations.iter().rev() {
                        @let formula = ::bench::formula(&kept.formula).ok();
                        li {
                            @match formula {
                                Some(formula) => {
                                    @let typed = kept.inputs.iter().fold(Typed::default().with(CAR, &car.id), |typed, (key, text)| typed.with(key, text));
                                    a href={ (routes::formula(formula.id)) (typed.query(formula)) } { (formula.title) }
                                }
                                None => b { (kept.formula) },
                            }
                            ul.kept-results {
                                @for computed in &kept.results {
                                    @let output = formula.and_then(|formula| formula.output(&computed.result));
                                    @let told = calculation::words(output, computed);
                                    li.long[told.chars().count() > FITS_BESIDE] { span { (output.map_or(computed.result.as_str(), |output| output.title)) } " " b { (told) } }
                                }
                            }
                            @if let Some(note) = &kept.note { p { "“" (note) "”" } }
                            p.quiet { (words::day(kept.on)) ", " (name(people, &kept.by)) @if kept.visit.is_none() { ", between visits" } }
                        }
                    }
                }
            }
        }
    }
}
