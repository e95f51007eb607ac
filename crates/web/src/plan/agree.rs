//! Agreeing with the owner on work for a later visit, and settling what will not be done.

use super::Asked;
use crate::{
    app::App,
    error::PageError,
    layout::{Shell, car_head, invalid, problem_at, problems_above},
    promises, routes,
    sent::{Sent, draft_field},
    sign::{self, Signer},
};
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use book::OpenCar;
use maud::{Markup, html};
use serde::Deserialize;
use sheet::OperationId;
use workshop::{
    form::{self, FormProblem},
    plan::Plan,
};

/// What can be sent: `act` says what it is about.
#[derive(Deserialize, Default, Clone)]
pub struct Agreed {
    #[serde(default)]
    act: String,
    /// The long job that is settled.
    #[serde(default)]
    of: String,
    #[serde(default)]
    operations: Vec<String>,
    #[serde(default)]
    on: String,
    #[serde(default)]
    name: String,
    #[serde(default)]
    words: String,
    #[serde(default)]
    reason: String,
}

pub async fn post(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Sent { typed, message }: Sent<Agreed>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let shell = Shell::new(app, &signer, "Plan")?;
        let here = routes::plan(&id);
        if message.is_written(app)? {
            return Ok(Redirect::to(&here).into_response());
        }
        let Some(by) = &shell.signer else { return Ok(Redirect::to(&routes::sign(&here)).into_response()) };
        let said = match typed.act.as_str() {
            "settle" => form::long_job_settled(&car.car, &typed.of, &typed.reason),
            _ => {
                let ids: Vec<OperationId> = typed.operations.iter().map(|id| id.as_str().into()).collect();
                form::long_job(&car.judge(), &ids, &typed.on, &typed.name, &typed.words)
            }
        };
        match said {
            Ok(known) => {
                // What is agreed rests on what was agreed before.
                app.say_at(&message, &car, &by.id, [known])?;
                Ok(Redirect::to(&here).into_response())
            }
            Err(problems) => {
                let page = super::page(&shell, &car, &Asked::default(), &typed, &problems);
                let page = shell.page(html! { (car_head(&car, "Plan")) (problems_above(&problems)) (page) });
                Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
            }
        }
    })
    .await
}

/// What is agreed already, and a form to agree on more.
pub fn section(
    shell: &Shell,
    car: &OpenCar,
    plan: Option<&Plan>,
    typed: &Agreed,
    problems: &[FormProblem],
) -> Markup {
    let here = routes::plan(&car.car.id);
    let jobs: Vec<_> = car.car.promised(car.today).collect();
    let mut offered: Vec<(&OperationId, &str)> = Vec::new();
    for item in plan.into_iter().flat_map(|plan| &plan.items) {
        let promised = jobs.iter().any(|(job, _)| car.car.remaining(job).contains(&&item.operation));
        if !promised && !offered.iter().any(|(id, _)| **id == item.operation) {
            let title = car.sheet.operations.get(&item.operation).map_or("", |known| &known.title);
            offered.push((&item.operation, title));
        }
    }
    let settles = |id: &str| typed.act == "settle" && typed.of == id;
    let agrees = typed.act == "agree";
    let wrong: &[FormProblem] = if agrees { problems } else { &[] };
    html! {
        @if !jobs.is_empty() {
            section #agreed {
                h2 { "Agreed with the owner" }
                ul.lines {
                    @for (job, due) in &jobs {
                        li {
                            (promises::line(car, job, *due))
                            @if shell.signer.is_some() {
                                details open[settles(&job.id)] {
                                    summary { "It will not be done" }
                                    form.line method="post" action=(here) {
                                        (draft_field(&shell.draft))
                                        input type="hidden" name="act" value="settle"; input type="hidden" name="of" value=(job.id);
                                        label for={ "settle-" (job.id) } { "Why" }
                                        input id={ "settle-" (job.id) } name="reason" value=(if settles(&job.id) { &*typed.reason } else { "" });
                                        button { "Settle it" }
                                        @if settles(&job.id) { (problem_at(problems, "reason", "settle-problem")) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
        @if !offered.is_empty() {
            details.agree open[agrees] {
                summary { "Agree on work for a later visit" }
                @if shell.signer.is_none() { (sign::ask(&shell.people, &here)) } @else {
                    form.plain method="post" action=(here) {
                        (draft_field(&shell.draft))
                        input type="hidden" name="act" value="agree";
                        p.quiet { "It is then carried on this car until it is done or settled. The plan counts on that visit: what it opens is open for the rest." }
                        fieldset {
                            legend { "What is agreed" }
                            @for (id, title) in &offered {
                                label.check { input type="checkbox" name="operations" value=(id) checked[typed.operations.iter().any(|one| one == id.as_str())]; (title) }
                            }
                            (problem_at(wrong, "operations", "operations-problem"))
                        }
                        div.field {
                            label for="on" { "For which day" }
                            input id="on" name="on" type="date" value=(if agrees { &*typed.on } else { "" }) aria-invalid=[invalid(wrong, "on")] aria-describedby="on-help on-problem";
                            p.help #on-help { "Empty: whenever the car comes next" }
                            (problem_at(wrong, "on", "on-problem"))
                        }
                        div.field {
                            label for="name" { "Who agreed" }
                            input id="name" name="name" value=(if agrees { &*typed.name } else { "" }) aria-invalid=[invalid(wrong, "name")] aria-describedby="name-problem";
                            (problem_at(wrong, "name", "name-problem"))
                        }
                        div.field {
                            label for="words" { "In their words, if it matters" }
                            input id="words" name="words" value=(if agrees { &*typed.words } else { "" });
                        }
                        p.acts { button { "Keep the agreement" } }
                    }
                }
            }
        }
    }
}
