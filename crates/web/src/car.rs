//! A car: what do we know about this one?

use crate::{
    app::App,
    chart,
    error::PageError,
    layout::{Shell, car_head},
    promises, routes,
    sign::{Signer, name},
    today::tag_words,
};
use axum::extract::{Path, State};
use book::OpenCar;
use journal::Person;
use maud::{Markup, html};
use sheet::Verdict;
use workshop::{
    Assessment, Judge, Judged,
    explain::{Which, explain},
    keys, letter as words_of, mark, words,
};

pub async fn get(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let shell = Shell::new(app, &signer, &car.car.title)?;
        let judge = car.judge();
        Ok(shell.page(view(&car, &judge, &judge.assess(), &shell.people)))
    })
    .await
}

fn view(car: &OpenCar, judge: &Judge<'_>, assessment: &Assessment, people: &[Person]) -> Markup {
    let mut asking: Vec<&Judged> = assessment.findings.iter().filter(|judged| judged.is_open()).collect();
    asking.sort_by_key(|judged| std::cmp::Reverse(judged.verdict));
    html! {
        (car_head(car, "Car"))
        (promises::carried(car))
        (key_tags(car, judge))
        @match car.car.open_visit() {
            None => p.acts { a.button.go href=(routes::visit(&car.car.id)) { "Begin a visit" } },
            Some(_) => p.acts { a.button href=(routes::marking(&car.car.id)) { "Type what is written on a part" } },
        }
        section {
            h2 { "What asks for something" }
            @if asking.is_empty() {
                p.quiet { @if assessment.findings.is_empty() { "Nothing was seen on this car yet. Begin a visit and walk round it." } @else { "Nothing: everything that is known is sound or settled." } }
            }
            (findings(car, people, &asking))
        }
        (crate::behind::behind(car, &explain(judge, Which::Raised)))
        @for (id, system) in &car.sheet.systems {
            @let quiet: Vec<&Judged> = assessment.findings.iter()
                .filter(|judged| !judged.is_open())
                .filter(|judged| car.sheet.components.get(&judged.component).is_some_and(|component| component.system == *id))
                .collect();
            @if !quiet.is_empty() {
                details.system {
                    summary { h2 { (system.title) } span.quiet { (tally(&quiet)) } }
                    (findings(car, people, &quiet))
                }
            }
        }
        (fitted(car, judge))
        (crate::bench::kept(&car.car, people))
        section { h2 { "Odometer" } (chart::odometer(judge)) }
        (visits(car))
    }
}

fn tally(quiet: &[&Judged]) -> String {
    let count = |verdict| {
        quiet.iter().filter(|judged| judged.verdict == verdict && judged.put_right.is_none()).count()
    };
    let put_right = quiet.iter().filter(|judged| judged.put_right.is_some()).count();
    [(count(Verdict::Sound), "sound"), (count(Verdict::Settled), "settled"), (put_right, "put right")]
        .into_iter()
        .filter(|(n, _)| *n > 0)
        .map(|(n, word)| format!("{n} {word}"))
        .collect::<Vec<_>>()
        .join(", ")
}

fn key_tags(car: &OpenCar, judge: &Judge<'_>) -> Markup {
    let km = judge.odometer.km_on(car.today).unwrap_or(0.0);
    let visit = car.car.open_visit();
    let due = |tag: &workshop::Tag| keys::tag_is_due(tag, visit, car.today, km);
    let mut tags: Vec<_> = car.car.open_tags().collect();
    tags.sort_by_key(|tag| !due(tag));
    html! {
        @if !tags.is_empty() {
            aside.carry aria-label="Key tags" {
                h2 { "On the key tag" }
                ul {
                    @for tag in tags {
                        li {
                            b { (tag.what) } " " (tag.why)
                            span.quiet { " " @if due(tag) { b { "Due now" } } @else { (tag_words(tag)) } ", tied " (words::day(tag.tied)) }
                        }
                    }
                }
            }
        }
    }
}

/// Findings with their marks, verdicts and what they rest on.
fn findings(car: &OpenCar, people: &[Person], list: &[&Judged]) -> Markup {
    html! {
        ul.findings {
            @for judged in list {
                li {
                    div.what {
                        a href=(routes::finding(&car.car.id, judged.check.as_str(), judged.place.as_str())) {
                            (words_of::part_title(&car.sheet, judged))
                        }
                        small { (words_of::check_title(&car.sheet, judged)) }
                    }
                    div.seen {
                        @match mark(&car.sheet, judged) {
                            Some(drawn) => (letter::mark(&drawn)),
                            None => p { (words_of::what_words(&car.sheet, judged)) },
                        }
                    }
                    div.means {
                        (letter::verdict(judged.verdict))
                        @if judged.put_right.is_some() { span.done { "put right" } }
                        @if let Some(decided) = &judged.overruled { span.done { "decided by " (name(people, &decided.by)) } }
                        @let means = words_of::means(judged);
                        @if judged.verdict != Verdict::Sound && !means.is_empty() { p { (means) } }
                    }
                }
            }
        }
    }
}

fn fitted(car: &OpenCar, judge: &Judge<'_>) -> Markup {
    let rows: Vec<_> = car
        .sheet
        .components
        .iter()
        .flat_map(|(id, component)| component.places.iter().map(move |place| (id, component, place)))
        .map(|(id, component, place)| (component, place, judge.fittings.current(id, place)))
        .filter(|(_, _, fitting)| fitting.start.is_some())
        .collect();
    html! {
        @if !rows.is_empty() {
            details.system {
                summary { h2 { "What is fitted" } span.quiet { (words::count(rows.len(), "part with a record", "parts with a record")) } }
                div.scroll tabindex="0" role="region" aria-label="What is fitted" {
                    table {
                        thead { tr { th scope="col" { "Part" } th scope="col" { "Number" } th scope="col" { "Batch" } th scope="col" { "Since" } th scope="col" { "At" } } }
                        tbody {
                            @for (component, place, fitting) in rows {
                                tr {
                                    th scope="row" { (component.title) @if !car.sheet.place_title(place).is_empty() { ", " (car.sheet.place_title(place)) } }
                                    td { (fitting.part.as_ref().map_or("", |part| part.as_str())) }
                                    td { (fitting.batch.as_deref().unwrap_or_default()) @if let Some(made) = fitting.made { " made " (words::month(made)) } }
                                    td { @if let Some(start) = fitting.start { (words::day(start.date)) } }
                                    td { @if let Some(start) = fitting.start { (words::km(start.km)) } }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The revision of the sheet that judges a visit.
fn judged_by(car: &OpenCar, revision: &str) -> Markup {
    let sheet = &car.sheet.id;
    let at = car.shop.revisions(sheet).iter().position(|known| known.id == revision);
    html! {
        @if let Some(at) = at {
            ", judged by " a href=(routes::revision(sheet.as_str(), revision)) { "revision " (at + 1) " of the sheet" }
        }
    }
}

fn visits(car: &OpenCar) -> Markup {
    html! {
        section {
            h2 { "Visits" }
            ol.visits reversed {
                @for visit in car.car.visits.iter().rev() {
                    li {
                        b { (words::day(visit.date)) } ", " (words::km(visit.km()))
                        @if let Some(asked_for) = &visit.asked_for { ": “" (asked_for) "”" }
                        p.quiet {
                            (words::count(visit.findings.len(), "finding", "findings")) ", "
                            (words::count(visit.work.len(), "piece of work", "pieces of work"))
                            @if visit.closed.is_none() { ", keys not back yet" }
                            (judged_by(car, &visit.revision))
                        }
                    }
                }
            }
            @if car.car.unknown > 0 {
                p.quiet { (words::count(car.car.unknown, "entry was", "entries were")) " written by a newer version of the program; kept, but not shown here." }
            }
        }
    }
}
