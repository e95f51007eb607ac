//! A marking read on a part: which part is it, and does it belong there?

use crate::{
    app::App,
    error::PageError,
    layout::{Shell, car_head, invalid, panel, problem_at, problems_above},
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
use sheet::{ComponentId, Marked, PartId, Place};
use workshop::{
    form::{self, FormProblem, PART, TypedMarking},
    marking::marking_of,
};

#[derive(Deserialize, Default)]
pub struct MarkingForm {
    /// A component and a place: "spring front.left".
    #[serde(default)]
    seat: String,
    #[serde(default)]
    reads: String,
    /// The part that was chosen; [`AS_READ`] for none of those that were offered.
    #[serde(default)]
    part: String,
    #[serde(default)]
    note: String,
}

/// No part has such an id: it reads so, whatever the data sheet knows.
const AS_READ: &str = "as read";

impl MarkingForm {
    fn seat(&self) -> Option<(ComponentId, Place)> {
        let (component, place) = self.seat.split_once(' ')?;
        Some((component.into(), place.into()))
    }
}

pub async fn get(of: OfCar) -> Result<Markup, PageError> {
    of.page("Marking on a part", |shell, car| view(shell, car, &MarkingForm::default(), &[])).await
}

pub async fn post(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Sent { typed, message }: Sent<MarkingForm>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let shell = Shell::new(app, &signer, "Marking on a part")?;
        let here = routes::marking(&id);
        let Some(by) = &shell.signer else { return Ok(Redirect::to(&routes::sign(&here)).into_response()) };
        let Some(visit) = car.car.open_visit() else { return Ok(Redirect::to(&here).into_response()) };
        let seat = typed.seat();
        let as_read = typed.part == AS_READ;
        let part = if as_read { "" } else { &typed.part };
        let said = TypedMarking { reads: &typed.reads, part, as_read, note: &typed.note };
        let at = seat.as_ref().map(|(component, place)| (component, place));
        match (form::marking(&car.sheet, &car.car, visit, at, &said), &seat) {
            (Ok(known), Some((component, place))) => {
                app.say(&message, &id, &by.id, [known])?;
                let check = marking_of(component);
                Ok(Redirect::to(&routes::finding(&id, check.as_str(), place.as_str())).into_response())
            }
            (refused, _) => {
                let problems = refused.err().unwrap_or_default();
                let page = shell.page(view(&shell, &car, &typed, &problems));
                Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
            }
        }
    })
    .await
}

fn view(shell: &Shell, car: &OpenCar, typed: &MarkingForm, problems: &[FormProblem]) -> Markup {
    let here = routes::marking(&car.car.id);
    if car.car.open_visit().is_none() {
        return html! {
            (car_head(car, "Marking"))
            (panel("The car is not in", html! {
                p { "What is read on a part belongs to a visit." }
                p.acts { a.button.go href=(routes::visit(&car.car.id)) { "Begin a visit" } }
            }))
        };
    }
    html! {
        (car_head(car, "Marking"))
        h2 { "What is written on a part" }
        p { "The data sheet knows what is written, cast or painted on many parts. Type what you read: it says which part that is, whether it is made for where it sits, and what has replaced it." }
        @if shell.signer.is_none() { (sign::ask(&shell.people, &here)) } @else {
            (problems_above(problems))
            form.plain method="post" action=(here) {
                (draft_field(&shell.draft))
                div.field {
                    label for="seat" { "Read on" }
                    select id="seat" name="seat" required aria-invalid=[invalid(problems, "seat")] aria-describedby="seat-problem" {
                        option value="" { "Choose the part of the car" }
                        @for (system, seats) in seats(car) {
                            optgroup label=(system) {
                                @for (value, title) in seats { option value=(value) selected[typed.seat == value] { (title) } }
                            }
                        }
                    }
                    (problem_at(problems, "seat", "seat-problem"))
                }
                div.field {
                    label for="reads" { "It reads" }
                    input id="reads" name="reads" value=(typed.reads) required autocomplete="off" autocapitalize="off" spellcheck="false"
                        aria-invalid=[invalid(problems, "reads")] aria-describedby="reads-problem reads-help";
                    (problem_at(problems, "reads", "reads-problem"))
                    p.help #reads-help { "Letters, figures, dots of paint, or the part’s number; several with commas between them." }
                }
                @if invalid(problems, PART).is_some() { (choices(car, typed, problems)) }
                div.field {
                    label for="note" { "Note" }
                    textarea id="note" name="note" rows="2" { (typed.note) }
                }
                p.acts { button.go { "Write it down" } }
            }
        }
    }
}

/// Which part it may be, for a person to say.
fn choices(car: &OpenCar, typed: &MarkingForm, problems: &[FormProblem]) -> Markup {
    let component = typed.seat().map(|(component, _)| component);
    let parts: Vec<&PartId> = match car.sheet.marked(&typed.reads, component.as_ref()) {
        Marked::Several(parts) => parts,
        Marked::Perhaps(part, _) | Marked::One(part) => vec![part],
        Marked::Unknown => vec![],
    };
    html! {
        fieldset.states aria-describedby="part-problem" {
            legend { "Which part it is" }
            @for id in parts {
                @if let Some(part) = car.sheet.parts.get(id) {
                    label {
                        input type="radio" name="part" value=(id) checked[typed.part == id.as_str()];
                        span { b { (id) } ", " (part.title) @if !part.marks.is_empty() { " · reads " (part.marks.join(", ")) } }
                    }
                }
            }
            label { input type="radio" name="part" value=(AS_READ) checked[typed.part == AS_READ]; span { "None of these, or nobody knows: keep it as it reads" } }
            (problem_at(problems, PART, "part-problem"))
        }
    }
}

/// Where a part may sit on this car, by system.
fn seats(car: &OpenCar) -> Vec<(&str, Vec<(String, String)>)> {
    let variant = car.car.variant.as_ref();
    let of_system = |system: &sheet::SystemId| {
        let components = car
            .sheet
            .components
            .iter()
            .filter(|(_, component)| component.system == *system && component.only.includes(variant));
        components
            .flat_map(|(id, component)| {
                component.places.iter().map(move |place| {
                    let title = match car.sheet.place_title(place) {
                        "" => component.title.clone(),
                        place => format!("{}, {place}", component.title),
                    };
                    (format!("{id} {place}"), title)
                })
            })
            .collect::<Vec<_>>()
    };
    let systems = car.sheet.systems.iter().map(|(id, system)| (system.title.as_str(), of_system(id)));
    systems.filter(|(_, seats)| !seats.is_empty()).collect()
}
