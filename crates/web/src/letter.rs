//! The letter: what do we tell the owner, and what do they answer?

use crate::{
    app::App,
    error::PageError,
    layout::{Shell, car_head, panel, problems_above},
    of_car::OfCar,
    routes,
    sent::{Sent, draft_field},
    sign::{self, Signer, name},
};
use ::letter::{Answers, body, page};
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use book::OpenCar;
use journal::Known;
use maud::{Markup, html};
use sheet::OperationId;
use std::collections::BTreeMap;
use workshop::{
    Visit,
    form::{self, FormProblem},
    letter::{Letter, letter},
    plan::{Wishes, plan},
    words,
};

pub async fn get(of: OfCar) -> Result<Markup, PageError> {
    of.page("Letter", |shell, car| view(shell, car, &BTreeMap::new(), &[])).await
}

/// Keeps the letter as the owner gets it.
pub async fn send(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Sent { message, .. }: Sent<BTreeMap<String, String>>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let shell = Shell::new(app, &signer, "Letter")?;
        let here = routes::letter(&id);
        if message.is_written(app)? {
            return Ok(Redirect::to(&here).into_response());
        }
        let Some(by) = &shell.signer else { return Ok(Redirect::to(&routes::sign(&here)).into_response()) };
        let visit = visit(&car)?;
        let html = page(&written(&car, visit)?);
        app.say_at(&message, &car, &by.id, [Known::Letter { visit: visit.id.clone(), html }])?;
        Ok(Redirect::to(&here).into_response())
    })
    .await
}

/// The owner's answers, by line.
pub async fn answers(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Sent { typed, message }: Sent<BTreeMap<String, String>>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let visit = visit(&car)?;
        let name = typed.get("name").cloned().unwrap_or_default();
        let lines: Vec<(OperationId, String)> = typed
            .iter()
            .filter_map(|(field, says)| Some((field.strip_prefix("answer.")?.into(), says.clone())))
            .collect();
        match form::answers(&car.sheet, visit, &name, &lines) {
            Ok(said) => {
                // The owner's word is the owner's: it is signed by them, whoever holds the device.
                let by = car.car.owner.clone().unwrap_or_else(|| "owner".into());
                app.say(&message, &id, &by, said)?;
                Ok(Redirect::to(&routes::letter(&id)).into_response())
            }
            Err(problems) => {
                let shell = Shell::new(app, &signer, "Letter")?;
                let page = shell.page(view(&shell, &car, &typed, &problems));
                Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
            }
        }
    })
    .await
}

fn visit(car: &OpenCar) -> Result<&Visit, PageError> {
    car.car.last_visit().ok_or_else(|| PageError::NotThere("This car has no visit to write of.".into()))
}

fn written(car: &OpenCar, visit: &Visit) -> Result<Letter, PageError> {
    let judge = car.judge();
    let assessment = judge.assess();
    let plan =
        plan(&judge, &assessment, &Wishes::default()).map_err(|error| PageError::Ours(error.to_string()))?;
    Ok(letter(&judge, visit, &assessment, &plan))
}

fn view(shell: &Shell, car: &OpenCar, typed: &BTreeMap<String, String>, problems: &[FormProblem]) -> Markup {
    let id = &car.car.id;
    let here = routes::letter(id);
    let content = visit(car).and_then(|visit| Ok((visit, written(car, visit)?)));
    html! {
        div.no-print { (car_head(car, "Letter")) }
        @match content {
            Err(_) => (panel("Nothing to write of yet", html! { p { "Begin a visit and walk round the car first." } })),
            Ok((visit, content)) => {
                div.no-print {
                    @match &visit.letter {
                        Some(sent) => p.quiet { "Kept as sent on " (words::day(sent.at.to_zoned_datetime(jiff::tz::TimeZone::system()).date())) " by " (name(&shell.people, &sent.by)) ". Sending again keeps both." },
                        None => p.quiet { "This is how the owner will read it. Sending keeps it just as it is." },
                    }
                    @if shell.signer.is_none() { (sign::ask(&shell.people, &here)) } @else {
                        form.acts method="post" action={ (here) "/send" } { (draft_field(&shell.draft)) button.go { "Keep as sent" } }
                    }
                    (problems_above(problems))
                }
                @let answers = if visit.closed.is_some() { Answers::Given } else {
                    Answers::ToSend {
                        action: &format!("{here}/answers"),
                        unseen: draft_field(&shell.draft),
                        typed,
                        problem: problems.iter().find(|problem| problem.field == "name").map(|problem| problem.says.as_str()),
                    }
                };
                (body(&content, answers))
            }
        }
    }
}
