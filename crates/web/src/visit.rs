//! A visit begins.

use crate::{
    app::App,
    error::PageError,
    layout::{Shell, car_head, invalid, problem_at, problems_above},
    of_car::OfCar,
    routes,
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
use workshop::form::{self, FormProblem};

#[derive(Deserialize, Default)]
pub struct VisitForm {
    #[serde(default)]
    odometer: String,
    #[serde(default)]
    as_read: Option<String>,
    #[serde(default)]
    asked_for: String,
    #[serde(default)]
    ceiling: String,
}

pub async fn get(of: OfCar) -> Result<Markup, PageError> {
    of.page("Begin a visit", |shell, car| view(shell, car, &VisitForm::default(), &[])).await
}

pub async fn post(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Sent { typed, message }: Sent<VisitForm>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        if message.is_written(app)? {
            return Ok(Redirect::to(&routes::walk(&id)).into_response());
        }
        let shell = Shell::new(app, &signer, "Begin a visit")?;
        let Some(by) = &shell.signer else {
            return Ok(Redirect::to(&routes::sign(&routes::visit(&id))).into_response());
        };
        // A visit is judged by the data sheet in use today.
        let sheet = car
            .car
            .sheet
            .as_ref()
            .and_then(|sheet| car.shop.sheet(sheet))
            .unwrap_or_else(|| car.sheet.clone());
        let as_read = typed.as_read.is_some();
        match form::visit(
            &car.car,
            &sheet,
            car.today,
            &typed.odometer,
            as_read,
            &typed.asked_for,
            &typed.ceiling,
        ) {
            Ok(known) => {
                app.say_at(&message, &car, &by.id, [known])?;
                Ok(Redirect::to(&routes::walk(&id)).into_response())
            }
            Err(problems) => {
                let page = shell.page(view(&shell, &car, &typed, &problems));
                Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
            }
        }
    })
    .await
}

fn view(shell: &Shell, car: &OpenCar, typed: &VisitForm, problems: &[FormProblem]) -> Markup {
    let here = routes::visit(&car.car.id);
    html! {
        (car_head(car, "Begin a visit"))
        @if shell.signer.is_none() { (sign::ask(&shell.people, &here)) } @else {
            (problems_above(problems))
            form.plain method="post" action=(here) {
                (draft_field(&shell.draft))
                h2 { "Begin a visit" }
                div.field {
                    label for="odometer" { "Odometer, in km" }
                    input id="odometer" name="odometer" inputmode="decimal" value=(typed.odometer) required
                        aria-invalid=[invalid(problems, "odometer")] aria-describedby="odometer-problem odometer-help";
                    (problem_at(problems, "odometer", "odometer-problem"))
                    p.help #odometer-help { "Miles are read too: write the unit, such as 26 812 mi." }
                    @if invalid(problems, "odometer").is_some() {
                        label.check { input type="checkbox" name="as_read" value="yes"; "It shows this: the instrument was changed, or the car went that far" }
                    }
                }
                div.field {
                    label for="asked_for" { "What the owner asks for, in their words" }
                    textarea id="asked_for" name="asked_for" rows="3" { (typed.asked_for) }
                }
                div.field {
                    label for="ceiling" { "What the owner is ready to spend, if said (" (car.shop.currency) ")" }
                    input id="ceiling" name="ceiling" inputmode="decimal" value=(typed.ceiling) aria-invalid=[invalid(problems, "ceiling")] aria-describedby="ceiling-problem";
                    (problem_at(problems, "ceiling", "ceiling-problem"))
                }
                (problem_at(problems, "date", "date-problem"))
                p.acts { button.go { "Begin the visit" } }
            }
        }
    }
}
