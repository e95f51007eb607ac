//! One formula: its drawing, its fields, and the answer as it is typed.

use super::{
    answer::{self, Outcome},
    fields,
    from_car::FromCar,
    keep,
    symbols::symbols,
    typed::{CHECK, DO, PLACE, Typed},
};
use crate::{app::App, error::PageError, layout::Shell, routes, sign::Signer};
use ::bench::{Formula, formulas};
use axum::{
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};
use axum_extra::extract::Query;
use maud::{Markup, html};

pub async fn get(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Query(sent): Query<Vec<(String, String)>>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let formula = formula_of(&id)?;
        let typed = Typed::new(formula, sent);
        let to =
            |typed: &Typed| Redirect::to(&format!("{}{}", routes::formula(formula.id), typed.query(formula)));
        match typed.first(DO) {
            "load" => {
                if let Some(loaded) = loaded(app, formula, &typed)? {
                    return Ok(to(&loaded).into_response());
                }
            }
            "paste" => return Ok(to(&typed).into_response()),
            _ => {}
        }
        let shell = Shell::new(app, &signer, formula.title)?.here(routes::BENCH).with_bench();
        let asked = typed.first(DO) == "work";
        Ok(shell.page(View::of(app, formula, typed, asked)?.page(&shell)).into_response())
    })
    .await
}

/// The parts of the page that change while one types, each with the id of what it takes the place of.
pub async fn fragment(
    State(app): State<App>,
    Path(id): Path<String>,
    Query(sent): Query<Vec<(String, String)>>,
) -> Result<Markup, PageError> {
    app.ask(move |_| {
        let formula = formula_of(&id)?;
        let typed = Typed::new(formula, sent);
        let outcome = Outcome::of(formula, &typed, false);
        let worked = matches!(outcome, Outcome::Worked(..));
        Ok(html! {
            div data-into="drawing" { (answer::drawing(formula, &typed)) }
            div data-into="answer" { (answer::view(formula, &typed, &outcome, &example(formula))) }
            div data-into="in-short" { (answer::in_short(&outcome)) }
            div data-into="kept-inputs" { (keep::hidden(formula, &typed)) }
            @if worked { div data-worked {} }
            @for input in &formula.inputs {
                @let wrong = outcome.wrong_with(input.key);
                @if !wrong.is_empty() { p data-wrong=(input.key) { (wrong.join(" ")) } }
            }
        })
    })
    .await
}

/// The formula of this id.
pub fn formula_of(id: &str) -> Result<&'static Formula, PageError> {
    ::bench::formula(id).map_err(|error| PageError::NotThere(format!("On the bench {error}.")))
}

fn loaded(app: &App, formula: &'static Formula, typed: &Typed) -> Result<Option<Typed>, PageError> {
    let from = FromCar::of(app, formula, typed)?;
    if let Some(loaded) = from.load(typed) {
        return Ok(Some(loaded));
    }
    let Some(only) = from.only() else { return Ok(None) };
    let typed = typed.clone().with(CHECK, only.check.as_str()).with(PLACE, only.place.as_str());
    Ok(FromCar::of(app, formula, &typed)?.load(&typed))
}

fn example(formula: &'static Formula) -> String {
    format!("{}{}", routes::formula(formula.id), Typed::example(formula).query(formula))
}

/// A formula with what was typed.
pub struct View {
    formula: &'static Formula,
    typed: Typed,
    outcome: Outcome,
    from: FromCar,
    /// Why it was not kept, apart from what is wrong with the inputs.
    pub not_kept: Option<String>,
}

impl View {
    pub fn of(app: &App, formula: &'static Formula, typed: Typed, asked: bool) -> Result<Self, PageError> {
        let outcome = Outcome::of(formula, &typed, asked);
        let from = FromCar::of(app, formula, &typed)?;
        Ok(Self { formula, typed, outcome, from, not_kept: None })
    }

    pub fn page(&self, shell: &Shell) -> Markup {
        let Self { formula, typed, outcome, from, .. } = self;
        let here = routes::formula(formula.id);
        let more = typed.first(DO) == "more";
        let example = example(formula);
        html! {
            p.way { a href=(routes::BENCH) { "Bench" } " › " a href={ (routes::BENCH) "#" (formula.job.id()) } { (formula.job) } }
            h1 { (formula.title) }
            p.lead { (formula.says) }
            @for caution in &formula.cautions { p.caution { (caution) } }
            div.bench {
                div.drawn {
                    figure {
                        div #drawing { (answer::drawing(formula, typed)) }
                        figcaption.equation { (symbols(formula.equation)) }
                    }
                }
                form.inputs method="get" action=(here) data-bench={ (here) "/answer" } novalidate {
                    (from.view(formula, typed))
                    h2 { "Your numbers" }
                    (fields::view(formula, typed, outcome, &|key| from.came(key, typed), more))
                    p.acts {
                        button.go name=(DO) value="work" { "Work it out" }
                        a.button href=(example) { "Example" }
                        a.button href=(here) { "Clear" }
                    }
                }
                section.answer aria-labelledby="answer-title" {
                    h2 id="answer-title" { "Answer" }
                    div #answer { (answer::view(formula, typed, outcome, &example)) }
                }
                div.after {
                    (keep::view(shell, formula, typed, matches!(outcome, Outcome::Worked(..)), from.cards(), self.not_kept.as_deref()))
                    h2 { "Where it holds" }
                    p { (formula.holds) }
                    p.quiet { "Source: " (formula.source.trim_end_matches('.')) "." }
                    (from.not_taken())
                    (neighbours(formula))
                }
            }
            p.in-short #in-short role="status" { (answer::in_short(outcome)) }
        }
    }
}

fn neighbours(formula: &'static Formula) -> Markup {
    let others = formulas().iter().filter(|other| other.job == formula.job && other.id != formula.id);
    let others: Vec<_> = others.collect();
    html! {
        @if !others.is_empty() {
            details {
                summary { "More on " (formula.job.title().to_lowercase()) }
                ul.neighbours { @for other in others { li { a href=(routes::formula(other.id)) { (other.title) } } } }
            }
        }
    }
}
