//! One finding opened: what it rests on, number by number, and a person's own decision.

use crate::{
    app::App,
    error::PageError,
    layout::{Shell, car_head, invalid, problem_at, problems_above},
    routes,
    sent::{Sent, draft_field},
    sign::{self, Signer, name},
};
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use book::OpenCar;
use maud::{Markup, html};
use serde::Deserialize;
use sheet::{CheckId, Place, Verdict};
use workshop::{
    Judged, Measured, Outcome,
    explain::{Which, explain},
    form::{self, FormProblem},
    letter as words_of, mark, words,
};

#[derive(Deserialize, Default)]
pub struct OverruleForm {
    #[serde(default)]
    verdict: String,
    #[serde(default)]
    reason: String,
    #[serde(default)]
    months: String,
}

type At = Path<(String, String, String)>;

pub async fn get(
    State(app): State<App>,
    signer: Signer,
    Path((id, check, place)): At,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let judged = judged(&car, &check, &place)?;
        let shell = Shell::new(app, &signer, "Finding")?;
        Ok(shell.page(view(&shell, &car, &judged, &OverruleForm::default(), &[])))
    })
    .await
}

pub async fn post(
    State(app): State<App>,
    signer: Signer,
    Path((id, check, place)): At,
    Sent { typed, message }: Sent<OverruleForm>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let judged = judged(&car, &check, &place)?;
        let shell = Shell::new(app, &signer, "Finding")?;
        let here = routes::finding(&id, &check, &place);
        if message.is_written(app)? {
            return Ok(Redirect::to(&here).into_response());
        }
        let Some(by) = &shell.signer else { return Ok(Redirect::to(&routes::sign(&here)).into_response()) };
        let visit = car.car.last_visit().ok_or_else(not_there)?;
        let decided =
            form::overrule(visit, &judged.check, &judged.place, &typed.verdict, &typed.reason, &typed.months);
        match decided {
            Ok(known) => {
                app.say(&message, &id, &by.id, [known])?;
                Ok(Redirect::to(&here).into_response())
            }
            Err(problems) => {
                let page = shell.page(view(&shell, &car, &judged, &typed, &problems));
                Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
            }
        }
    })
    .await
}

fn judged(car: &OpenCar, check: &str, place: &str) -> Result<Judged, PageError> {
    car.judge().one(&CheckId::from(check), &Place::from(place)).ok_or_else(not_there)
}

fn not_there() -> PageError {
    PageError::NotThere("Nothing is known of this check at this place.".into())
}

fn view(
    shell: &Shell,
    car: &OpenCar,
    judged: &Judged,
    typed: &OverruleForm,
    problems: &[FormProblem],
) -> Markup {
    let check = car.sheet.checks.get(&judged.check);
    let mut asked = explain(&car.judge(), Which::Raised);
    asked.retain(|asked| asked.is_raised_by(&judged.check, &judged.place));
    html! {
        (car_head(car, "Finding"))
        h2 { (words_of::part_title(&car.sheet, judged)) }
        p.lead {
            (words_of::check_title(&car.sheet, judged))
            @if let Some((kind, id)) = on_the_sheet(car, judged) {
                " " small { a href=(routes::thing(car.sheet.id.as_str(), kind, id)) { "On the sheet" } }
            }
        }
        div.opened {
            @if let Some(drawn) = mark(&car.sheet, judged) { (letter::mark(&drawn)) }
            p.reading { (words_of::what_words(&car.sheet, judged)) }
            p { (letter::verdict(judged.verdict)) @if judged.put_right.is_some() { span.done { "put right on this visit" } } }
            p { (words_of::means(judged)) }
            @if let Some(question) = &judged.question { p.question { b { "To ask: " } (question) } }
            @if let Some((_, date)) = &judged.seen_on { p.quiet { "Seen on " (words::day(*date)) @if let Some(by) = &judged.by { " by " (name(&shell.people, by)) } } }
            @if let Some(note) = &judged.note { p { "“" (note) "”" } }
        }
        @if let Some(overruled) = &judged.overruled {
            p.panel { "Computed: " (letter::verdict(judged.computed)) ". " (name(&shell.people, &overruled.by)) " decided otherwise: " (overruled.reason) }
        }
        section {
            h2 { "What it rests on" }
            ol.reasons {
                @for reason in &judged.reasons {
                    li {
                        (reason.says)
                        @if let Some(source) = &reason.source { @if !source.is_empty() { small { "Source: " (source) } } }
                        @if !reason.steps.is_empty() {
                            details { summary { "How it was worked out" } ul.steps { @for step in &reason.steps { li { (step) } } } }
                        }
                    }
                }
            }
            @if let Some(measured) = judged.measured() { (budget(car, judged, measured)) }
            @if let Some(normal) = check.and_then(|check| check.normal.as_ref()) { p { b { "Normal although it looks odd: " } (normal) } }
        }
        (crate::behind::behind(car, &asked))
        section {
            h2 { "Decide otherwise" }
            p { "You have seen it; the tool has not. Your verdict counts, with your reason; the computed one is kept beside it." }
            @if shell.signer.is_none() { (sign::ask(&shell.people, &routes::finding(&car.car.id, judged.check.as_str(), judged.place.as_str()))) } @else {
                (problems_above(problems))
                form.plain method="post" action=(routes::finding(&car.car.id, judged.check.as_str(), judged.place.as_str())) {
                    (draft_field(&shell.draft))
                    fieldset.verdicts aria-describedby="verdict-problem" {
                        legend { "The verdict that counts" }
                        @for verdict in Verdict::ALL.iter().filter(|verdict| verdict.of_states()) {
                            label { input type="radio" name="verdict" value=(verdict.id()) checked[typed.verdict == verdict.id()]; (letter::verdict(*verdict)) }
                        }
                        (problem_at(problems, "verdict", "verdict-problem"))
                    }
                    div.field {
                        label for="reason" { "Why" }
                        textarea id="reason" name="reason" rows="2" aria-invalid=[invalid(problems, "reason")] aria-describedby="reason-problem" { (typed.reason) }
                        (problem_at(problems, "reason", "reason-problem"))
                    }
                    div.field {
                        label for="months" { "To be looked at again, or done, within so many months" }
                        input id="months" name="months" inputmode="decimal" value=(typed.months) aria-invalid=[invalid(problems, "months")] aria-describedby="months-problem";
                        (problem_at(problems, "months", "months-problem"))
                    }
                    p.acts { button.go { "Let this count" } }
                }
            }
        }
    }
}

/// Where the data sheet tells of it: its check, or the part that its marking tells of.
fn on_the_sheet<'a>(car: &OpenCar, judged: &'a Judged) -> Option<(&'static str, &'a str)> {
    match &judged.what {
        Outcome::Marked { part, .. } => part.as_ref().map(|part| ("part", part.as_str())),
        _ => car.sheet.checks.contains_key(&judged.check).then(|| ("check", judged.check.as_str())),
    }
}

/// The uncertainty as a table a person can read.
fn budget(car: &OpenCar, judged: &Judged, measured: &Measured) -> Markup {
    let budget = measured.measurement.budget();
    html! {
        details {
            summary { "Where its uncertainty comes from: " (measured.measurement) }
            div.scroll tabindex="0" role="region" aria-label="Uncertainty budget" {
                table {
                    thead { tr { th scope="col" { "Source" } th scope="col" { "Shape" } th scope="col" { "Adds, " (measured.unit) } th scope="col" { "Share" } } }
                    tbody {
                        @for row in &budget.rows {
                            tr {
                                th scope="row" { (row.source) }
                                td { (row.shape.name()) }
                                td.number { (format!("{:.4}", row.contribution.abs())) }
                                td.number { (format!("{:.0} %", 100.0 * row.share)) }
                            }
                        }
                    }
                }
            }
            @if let Some((formula, steps)) = &measured.formula {
                p { a href=(routes::on_the_bench(formula, &car.car.id, judged.check.as_str(), judged.place.as_str())) { "See it on the bench" } }
                ol { @for step in steps { li { (step) } } }
            }
        }
    }
}
