//! The weeks ahead: how many hours do the planned visits ask for, and how sure is that?

use crate::{app::App, error::PageError, layout::Shell, routes, sign::Signer};
use axum::extract::State;
use maud::{Markup, html};
use workshop::{
    calendar::{Coming, On, Share, Week, weeks},
    words,
};

/// A quarter of a year.
const WEEKS: usize = 13;
/// Cars planned for one page; the likeliest to come are planned, the others are told.
const MOST_CARS: usize = 60;
/// From this chance on a car is named in a week; the others are counted.
const NAMED: f64 = 0.05;

pub async fn get(State(app): State<App>, signer: Signer) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let shell = Shell::new(app, &signer, "Weeks ahead")?.here(routes::TODAY);
        let today = app.clock.today();
        let (all, left_out) = app.book.coming(app.book.cards()?, today, MOST_CARS)?;
        Ok(shell.page(view(&weeks(today, WEEKS, &all), &all, left_out)))
    })
    .await
}

fn view(weeks: &[Week], coming: &[Coming], left_out: usize) -> Markup {
    let most = weeks.iter().map(|week| week.high.max(week.hours)).fold(1.0, f64::max);
    let hours: f64 = weeks.iter().map(|week| week.hours).sum();
    html! {
        h1 { "Weeks ahead" }
        p.lead { "About " (format!("{hours:.0} h")) " of planned work in the next " (weeks.len()) " weeks." }
        p.quiet {
            "Cars that are in, days agreed with owners, and cars expected by their own habit, each with its chance. The bar is nine in ten, the stroke the mean. What is only found when a car is in is not counted."
            @if left_out > 0 { " " (words::count(left_out, "car", "cars")) " more are not planned here." }
        }
        ol.weeks {
            @for week in weeks {
                li {
                    div.when {
                        b { "Week from " (words::day(week.from)) }
                        p.quiet { (about(week)) }
                    }
                    (bar(week, most))
                    (cars(week, coming))
                }
            }
        }
        p.acts { a.button href=(routes::TODAY) { "Back to today" } }
    }
}

fn about(week: &Week) -> String {
    let (mean, high) = (round(week.hours), words::hours(round(week.high)));
    let high = high.replace(' ', "\u{a0}"); // a number and its unit stay together
    match (mean > 0.0, round(week.high) > 0.0) {
        (false, false) => "next to nothing".to_owned(),
        (false, true) => format!("most likely nothing; nine times in ten up to {high}"),
        _ => format!("about {}; nine times in ten {} to {high}", words::hours(mean), round(week.low)),
    }
}

/// Hours ahead are known to the half at best.
fn round(hours: f64) -> f64 {
    (2.0 * hours).round() / 2.0
}

fn bar(week: &Week, most: f64) -> Markup {
    const WIDTH: f64 = 240.0;
    let x = |hours: f64| format!("{:.1}", 4.0 + (WIDTH - 8.0) * hours / most);
    let width = format!("{:.1}", ((WIDTH - 8.0) * (week.high - week.low) / most).max(0.0));
    html! {
        svg.hours viewBox={ "0 0 " (WIDTH) " 24" } role="img" aria-label=(about(week)) {
            line.axis x1=(x(0.0)) x2=(x(most)) y1="12" y2="12" {}
            rect.band x=(x(week.low)) y="6" width=(width) height="12" rx="2" {}
            line.mean x1=(x(week.hours)) x2=(x(week.hours)) y1="2" y2="22" {}
        }
    }
}

fn cars(week: &Week, coming: &[Coming]) -> Markup {
    let named: Vec<&Share> = week.cars.iter().filter(|share| share.p >= NAMED).collect();
    let others = week.cars.len() - named.len();
    html! {
        ul {
            @for share in &named { @if let Some(one) = coming.get(share.coming) { li { (car(share, one)) } } }
            @if others > 0 { li.quiet { @if named.is_empty() { (words::count(others, "car", "cars")) } @else { (words::count(others, "other car", "other cars")) } ", each with a small chance" } }
        }
    }
}

fn car(share: &Share, one: &Coming) -> Markup {
    html! {
        a href=(routes::plan(&one.car)) { (one.title) }
        span.quiet {
            ", "
            @match &one.on {
                On::Here => "in now",
                On::Overdue => "agreed, and not here yet",
                On::Agreed(day) => { "agreed for " (words::day(*day)) },
                On::Expected(_) => { (words::chance(share.p)) },
            }
            @if one.hours >= 0.05 { ", " (words::hours(one.hours)) } @else { ", nothing planned" }
        }
    }
}
