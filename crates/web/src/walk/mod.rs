//! The walk: what do I look at next, and is it all right?

pub mod stop;
pub mod voice;

use crate::{
    error::PageError,
    layout::{car_head, panel},
    of_car::OfCar,
    routes,
};
use book::OpenCar;
use maud::{Markup, html};
use sheet::{CheckKind, Stop};
use workshop::{Assessment, Visit, words};

/// The stops of a walk where something is looked at or measured, in order.
pub fn stops(car: &OpenCar) -> Vec<Stop<'_>> {
    car.sheet
        .walk(car.car.variant.as_ref())
        .into_iter()
        .filter(|stop| {
            car.sheet
                .checks
                .get(stop.check)
                .is_some_and(|check| matches!(check.kind, CheckKind::Reading(_) | CheckKind::Observation(_)))
        })
        .collect()
}

/// Whether a stop was made on a visit.
pub fn is_made(visit: &Visit, stop: &Stop<'_>) -> bool {
    visit.findings.iter().any(|finding| finding.check == *stop.check && finding.place == *stop.place)
}

/// The first stop not yet made, from a place in the walk on and then from its beginning.
pub fn next<'a>(stops: &[Stop<'a>], visit: &Visit, from: usize) -> Option<(usize, Stop<'a>)> {
    let n = stops.len();
    (0..n).map(|step| (from + step) % n).map(|at| (at, stops[at])).find(|(_, stop)| !is_made(visit, stop))
}

pub async fn get(of: OfCar) -> Result<Markup, PageError> {
    of.page("Walk", |_, car| view(car, &car.judge().assess())).await
}

fn view(car: &OpenCar, assessment: &Assessment) -> Markup {
    let stops = stops(car);
    let id = &car.car.id;
    let Some(visit) = car.car.open_visit() else {
        return html! {
            (car_head(car, "Walk"))
            (panel("The car is not in", html! {
                p { "A walk belongs to a visit. There are " (words::count(stops.len(), "stop", "stops")) " on it." }
                p.acts { a.button.go href=(routes::visit(id)) { "Begin a visit" } }
            }))
        };
    };
    let made = stops.iter().filter(|stop| is_made(visit, stop)).count();
    html! {
        (car_head(car, "Walk"))
        div.walk-head {
            p { b { (made) " of " (stops.len()) } " stops made" }
            progress max=(stops.len()) value=(made) aria-label="Stops made" {}
            p.acts {
                @match next(&stops, visit, 0) {
                    Some((_, stop)) => a.button.go href=(routes::stop(id, stop.check.as_str(), stop.place.as_str())) {
                        @if made == 0 { "Begin the walk" } @else { "Go on" } ": " (stop_title(car, &stop))
                    },
                    None => a.button.go href=(routes::letter(id)) { "All stops made: write the letter" },
                }
                a.button href=(routes::marking(id)) { "Type what is written on a part" }
            }
        }
        @for (station, known) in &car.sheet.stations {
            @let here: Vec<&Stop<'_>> = stops.iter().filter(|stop| stop.station == station).collect();
            @if !here.is_empty() {
                @let done = here.iter().filter(|stop| is_made(visit, stop)).count();
                details.system open[done > 0 && done < here.len()] {
                    summary { h2 { (known.title) } span.quiet { (done) " of " (here.len()) } }
                    ul.stops {
                        @for stop in here {
                            li {
                                a href=(routes::stop(id, stop.check.as_str(), stop.place.as_str())) { (stop_title(car, stop)) }
                                small { (car.sheet.checks.get(stop.check).map_or("", |check| &check.title)) }
                                @if is_made(visit, stop) {
                                    @match assessment.finding(stop.check, stop.place) {
                                        Some(judged) => (letter::verdict(judged.verdict)),
                                        None => span.quiet { "made" },
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

/// "Brake disc, front left".
pub fn stop_title(car: &OpenCar, stop: &Stop<'_>) -> String {
    let component =
        car.sheet.checks.get(stop.check).and_then(|check| car.sheet.components.get(&check.component));
    let component = component.map_or("", |component| &component.title);
    match car.sheet.place_title(stop.place) {
        "" => component.to_owned(),
        place => format!("{component}, {place}"),
    }
}
