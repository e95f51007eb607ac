//! Keys back: may this car leave?

use crate::{
    app::App,
    error::PageError,
    layout::{Shell, car_head, invalid, panel, problem_at, problems_above},
    of_car::OfCar,
    promises, routes,
    sent::{Sent, draft_field},
    sign::{self, Signer, name},
    today::tag_words,
};
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use book::OpenCar;
use journal::Known;
use maud::{Markup, html};
use serde::Deserialize;
use sheet::{ObligationId, Operation, OperationId};
use workshop::{
    Dealt, Judge, Visit, WorkDone,
    form::{self, FormProblem, FromForm},
    keys::{self, Obliged},
    waiting, words,
};

/// Everything that can be sent from this page; `act` says what it is about, `of` which one.
#[derive(Deserialize, Default, Clone)]
pub struct KeysForm {
    #[serde(default)]
    act: String,
    #[serde(default)]
    of: String,
    #[serde(default)]
    place: String,
    #[serde(default)]
    value: String,
    #[serde(default)]
    note: String,
    #[serde(default)]
    reason: String,
    #[serde(default)]
    what: String,
    #[serde(default)]
    why: String,
    #[serde(default)]
    months: String,
    #[serde(default)]
    next_visit: Option<String>,
    #[serde(default)]
    odometer: String,
}

pub async fn get(of: OfCar) -> Result<Markup, PageError> {
    of.page("Keys back", |shell, car| view(shell, car, &KeysForm::default(), &[])).await
}

pub async fn post(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Sent { typed, message }: Sent<KeysForm>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let shell = Shell::new(app, &signer, "Keys back")?;
        let here = routes::keys(&id);
        if message.is_written(app)? {
            return Ok(Redirect::to(&here).into_response());
        }
        let Some(by) = &shell.signer else { return Ok(Redirect::to(&routes::sign(&here)).into_response()) };
        let Some(visit) = car.car.open_visit() else { return Ok(Redirect::to(&here).into_response()) };
        match said(&car, visit, &typed) {
            Ok(said) if typed.act == "close" => {
                // Closing depends on everything said before it.
                app.say_at(&message, &car, &by.id, said)?;
                Ok(Redirect::to(&here).into_response())
            }
            Ok(said) => {
                app.say(&message, &id, &by.id, said)?;
                Ok(Redirect::to(&here).into_response())
            }
            Err(problems) => {
                let page = shell.page(view(&shell, &car, &typed, &problems));
                Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
            }
        }
    })
    .await
}

fn said(car: &OpenCar, visit: &Visit, typed: &KeysForm) -> FromForm<Vec<Known>> {
    let obligation = || {
        let id = ObligationId::from(typed.of.as_str());
        let known = car.sheet.obligations.get(&id).cloned();
        known.map(|known| (id, known)).ok_or_else(|| {
            vec![FormProblem { field: "value", says: "The data sheet does not know this obligation.".into() }]
        })
    };
    match typed.act.as_str() {
        "done" => form::done(&car.sheet, &car.car, visit, &typed.of, &typed.place).map(|known| vec![known]),
        "met" => {
            let (id, known) = obligation()?;
            form::met(visit, &id, &known, &typed.value, &typed.note).map(|known| vec![known])
        }
        "waive" => {
            let (id, known) = obligation()?;
            form::waived(visit, &id, &known, &typed.reason).map(|known| vec![known])
        }
        "tag" => {
            let next = typed.next_visit.is_some();
            form::tag(&car.car, visit, &typed.what, &typed.why, &typed.months, next).map(|known| vec![known])
        }
        "settle" => form::tag_settled(&car.car, visit, &typed.of, &typed.reason).map(|known| vec![known]),
        "close" => form::close(&car.judge(), visit, &typed.odometer),
        _ => Err(vec![FormProblem { field: "act", says: "Choose what to do.".into() }]),
    }
}

fn view(shell: &Shell, car: &OpenCar, typed: &KeysForm, problems: &[FormProblem]) -> Markup {
    let id = &car.car.id;
    let Some(visit) = car.car.open_visit() else {
        let last = car.car.last_visit().and_then(|visit| Some((visit, visit.closed.as_ref()?)));
        return html! {
            (car_head(car, "Keys back"))
            @match last {
                Some((visit, closed)) => (panel("The keys are back", html! {
                    p { "The visit of " (words::day(visit.date)) " is closed at " (closed.odometer.spaced()) ", signed by " (name(&shell.people, &closed.by)) "." }
                    p.acts { a.button href=(routes::visit(id)) { "Begin a visit" } }
                })),
                None => (panel("The car was never in", html! { p.acts { a.button.go href=(routes::visit(id)) { "Begin a visit" } } })),
            }
        };
    };
    let judge = car.judge();
    let assessment = judge.assess();
    let held = keys::held(&car.sheet, &car.car, visit, &assessment);
    let obligations = keys::obligations(&car.sheet, visit);
    html! {
        (car_head(car, "Keys back"))
        (problems_above(problems))
        @if shell.signer.is_none() { (sign::ask(&shell.people, &routes::keys(id))) } @else {
            (promises::carried(car))
            (work(shell, car, visit, typed, problems))
            (obligations_view(shell, car, &obligations, typed, problems))
            (tags(shell, car, &judge, visit, typed, problems))
            section {
                h2 { "Hand the keys back" }
                @if held.is_empty() { p.lead { "Nothing holds the car: it may leave." } } @else {
                    p.lead { "The car cannot leave yet:" }
                    ul { @for held in &held { li { (words::upper_first(&held.to_string())) ": " (held.way_out()) "." } } }
                }
                form.plain method="post" action=(routes::keys(id)) {
                    (draft_field(&shell.draft))
                    input type="hidden" name="act" value="close";
                    div.field {
                        label for="odometer" { "Odometer out, in km" }
                        input id="odometer" name="odometer" inputmode="decimal" value=(if typed.act == "close" { typed.odometer.clone() } else { visit.odometer.digits().to_owned() })
                            aria-invalid=[invalid(problems, "odometer")] aria-describedby="odometer-problem";
                        (problem_at(problems, "odometer", "odometer-problem"))
                    }
                    @if let Some(next) = &judge.next_visit { p.quiet { "Next visit suggested for " (words::month(next.date)) "." } }
                    p.acts { button.go { "Hand the keys back" } }
                }
            }
        }
    }
}

fn work(shell: &Shell, car: &OpenCar, visit: &Visit, typed: &KeysForm, problems: &[FormProblem]) -> Markup {
    let agreed = waiting::agreed(&car.sheet, &car.car, visit, car.today);
    let variant = car.car.variant.as_ref();
    let here = routes::keys(&car.car.id);
    html! {
        section {
            h2 { "Work" }
            ul.lines {
                @for work in &visit.work {
                    @if let WorkDone::Operation { operation, place } = &work.what {
                        li { b { (title(car, operation)) } @if let Some(place) = place { ", " (car.sheet.place_title(place)) } span.quiet { " – done, " (name(&shell.people, &work.by)) } }
                    }
                }
                @for (operation, title) in &agreed {
                    @let known = car.sheet.operations.get(operation);
                    li {
                        b { (title) } span.quiet { " – the owner has said yes" }
                        @if let Some(caution) = known.and_then(|known| known.caution.as_ref()) { p.caution { b { "Care: " } (caution) } }
                        form.line method="post" action=(here) {
                            (draft_field(&shell.draft))
                            input type="hidden" name="act" value="done"; input type="hidden" name="of" value=(operation);
                            (places(car, known, operation))
                            button aria-label={ "Done: " (title) } { "Done" }
                        }
                    }
                }
            }
            details open[typed.act == "done" && !problems.is_empty()] {
                summary { "Other work was done" }
                form.plain method="post" action=(here) {
                    (draft_field(&shell.draft))
                    input type="hidden" name="act" value="done";
                    div.field {
                        label for="other" { "What was done" }
                        select id="other" name="of" aria-describedby="operation-problem" {
                            option value="" { "Choose" }
                            @for (id, operation) in car.sheet.operations.iter().filter(|(_, operation)| operation.only.includes(variant)) {
                                option value=(id) selected[typed.act == "done" && typed.of == id.as_str()] { (operation.title) }
                            }
                        }
                        (problem_at(problems, "operation", "operation-problem"))
                    }
                    div.field {
                        label for="place" { "Where, if it is done place by place" }
                        input id="place" name="place" value=(typed.place) aria-describedby="place-problem";
                        (problem_at(problems, "place", "place-problem"))
                    }
                    p.acts { button { "Write it down" } }
                }
            }
        }
    }
}

/// A choice of places for work that is done place by place.
fn places(car: &OpenCar, operation: Option<&Operation>, id: &OperationId) -> Markup {
    let Some(operation) = operation.filter(|operation| operation.each) else { return html! {} };
    let Some(component) = car.sheet.components.get(&operation.component) else { return html! {} };
    html! {
        @if component.places.len() > 1 {
            label for={ "at-" (id) } { "Where" }
            select id={ "at-" (id) } name="place" {
                @for place in &component.places { option value=(place) { (car.sheet.place_title(place)) } }
            }
        }
    }
}

fn obligations_view(
    shell: &Shell,
    car: &OpenCar,
    obligations: &[Obliged<'_>],
    typed: &KeysForm,
    problems: &[FormProblem],
) -> Markup {
    let here = routes::keys(&car.car.id);
    html! {
        section {
            h2 { "Before the keys go back" }
            @if obligations.is_empty() { p.quiet { "No work was done that obliges to a check." } }
            ul.lines {
                @for obliged in obligations {
                    @let mine = typed.of == obliged.id.as_str();
                    @let wrong: &[FormProblem] = if mine { problems } else { &[] };
                    li {
                        b { (obliged.obligation.title) }
                        p.quiet { "After: " (obliged.raised_by.join(", ")) @if let Some(guards) = obliged.obligation.guards { ". Guards the " (guards.id()) ": cannot be waived" } "." }
                        @match &obliged.dealt {
                            Some((by, Dealt::Met { value, note })) => p.met { "Met" @if let Some(value) = value { ", " b { (value) } } " – " (name(&shell.people, by)) @if let Some(note) = note { ": " (note) } },
                            Some((by, Dealt::Waived { reason })) => p.met { "Waived by " (name(&shell.people, by)) ": " (reason) },
                            None => {
                                @if let Some(how) = &obliged.obligation.how { p { (how) } }
                                @if let Some(caution) = &obliged.obligation.caution { p.caution { b { "Care: " } (caution) } }
                                form.line method="post" action=(here) {
                                    (draft_field(&shell.draft))
                                    input type="hidden" name="act" value="met"; input type="hidden" name="of" value=(obliged.id);
                                    @if let Some(wanted) = &obliged.obligation.value {
                                        label for={ "value-" (obliged.id) } { "Value " (keys::wanted_words(wanted)) }
                                        input id={ "value-" (obliged.id) } name="value" inputmode="decimal" value=(if mine { &*typed.value } else { "" })
                                            aria-invalid=[invalid(wrong, "value")] aria-describedby={ "problem-" (obliged.id) };
                                    }
                                    button aria-label={ "Met: " (obliged.obligation.title) } { "Met" }
                                    (problem_at(wrong, "value", &format!("problem-{}", obliged.id)))
                                }
                                @if obliged.obligation.guards.is_none() {
                                    details open[mine && typed.act == "waive"] {
                                        summary aria-label={ "Waive: " (obliged.obligation.title) } { "Waive" }
                                        form.line method="post" action=(here) {
                                            (draft_field(&shell.draft))
                                            input type="hidden" name="act" value="waive"; input type="hidden" name="of" value=(obliged.id);
                                            label for={ "reason-" (obliged.id) } { "Why it is not met" }
                                            input id={ "reason-" (obliged.id) } name="reason" value=(if mine { &*typed.reason } else { "" })
                                                aria-describedby={ "waive-problem-" (obliged.id) };
                                            button { "Waive under my name" }
                                            (problem_at(wrong, "reason", &format!("waive-problem-{}", obliged.id)))
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn tags(
    shell: &Shell,
    car: &OpenCar,
    judge: &Judge<'_>,
    visit: &Visit,
    typed: &KeysForm,
    problems: &[FormProblem],
) -> Markup {
    let here = routes::keys(&car.car.id);
    let km = judge.odometer.km_on(car.today).unwrap_or(0.0);
    let mine = typed.act == "tag";
    let wrong: &[FormProblem] = if mine { problems } else { &[] };
    html! {
        section {
            h2 { "Key tags" }
            ul.lines {
                @for tag in car.car.open_tags() {
                    @let settling = typed.act == "settle" && typed.of == tag.id;
                    li {
                        b { (tag.what) } " " (tag.why)
                        p.quiet { @if keys::tag_is_due(tag, Some(visit), car.today, km) { b { "Due now" } } @else { (tag_words(tag)) } }
                        details open[settling] {
                            summary aria-label={ "Settle: " (tag.what) } { "Settle" }
                            form.line method="post" action=(here) {
                                (draft_field(&shell.draft))
                                input type="hidden" name="act" value="settle"; input type="hidden" name="of" value=(tag.id);
                                label for={ "settle-" (tag.id) } { "How it was settled" }
                                input id={ "settle-" (tag.id) } name="reason" value=(if settling { &*typed.reason } else { "" });
                                button { "Take it off the key" }
                                @if settling { (problem_at(problems, "reason", "settle-problem")) }
                            }
                        }
                    }
                }
                @for promise in keys::untied(&car.sheet, &car.car, visit) {
                    li { b { (promise.what) } p.quiet { "Will be tied when the keys go back. " (promise.why) } }
                }
            }
            details open[mine && !problems.is_empty()] {
                summary { "Tie one to the key" }
                form.plain method="post" action=(here) {
                    (draft_field(&shell.draft))
                    input type="hidden" name="act" value="tag";
                    div.field { label for="what" { "What to look at" } input id="what" name="what" value=(if mine { &*typed.what } else { "" }) aria-invalid=[invalid(wrong, "what")] aria-describedby="what-problem"; (problem_at(wrong, "what", "what-problem")) }
                    div.field { label for="why" { "Why" } input id="why" name="why" value=(if mine { &*typed.why } else { "" }) aria-invalid=[invalid(wrong, "why")] aria-describedby="why-problem"; (problem_at(wrong, "why", "why-problem")) }
                    div.field { label for="months" { "In how many months" } input id="months" name="months" inputmode="decimal" value=(if mine { &*typed.months } else { "" }) aria-invalid=[invalid(wrong, "months")] aria-describedby="months-problem"; (problem_at(wrong, "months", "months-problem")) }
                    label.check { input type="checkbox" name="next_visit" value="yes" checked[mine && typed.next_visit.is_some()]; "At the next visit" }
                    p.acts { button { "Tie it" } }
                }
            }
        }
    }
}

fn title(car: &OpenCar, operation: &OperationId) -> String {
    car.sheet.operations.get(operation).map_or_else(|| operation.to_string(), |known| known.title.clone())
}
