//! Today: what is in the house and what does each car wait for?

use crate::{
    app::App,
    error::PageError,
    layout::{Shell, panel},
    routes,
    sign::Signer,
};
use axum::extract::State;
use journal::Card;
use maud::{Markup, html};
use workshop::{
    Tag, keys,
    letter::when_words,
    long_job::Due,
    plan::{Wishes, plan},
    waiting::Waiting,
    words, years_after, years_between,
};

/// So far ahead cars are listed as due.
const SOON_YEARS: f64 = 8.0 / 52.0;

/// A car in the house.
struct Here {
    id: String,
    title: String,
    tag: Option<String>,
    asked_for: Option<String>,
    waits: Waiting,
    due: Vec<Tag>,
    /// Work agreed before for now.
    promised: Vec<String>,
}

pub async fn get(State(app): State<App>, signer: Signer) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let shell = Shell::new(app, &signer, "Today")?.here(routes::TODAY);
        let cards = app.book.cards()?;
        let here = cards
            .iter()
            .filter(|card| card.open_visit.is_some())
            .map(|card| here(app, &card.car))
            .collect::<Result<Vec<_>, _>>()?;
        let gap = app.book.shop()?.gap_years;
        Ok(shell.page(view(app, &here, &expected(app, &cards, gap), cards.is_empty())))
    })
    .await
}

fn here(app: &App, id: &str) -> Result<Here, PageError> {
    let car = app.car(id)?;
    let judge = car.judge();
    let assessment = judge.assess();
    let plan = plan(&judge, &assessment, &Wishes::default()).ok();
    let visit = car.car.open_visit();
    let waits =
        visit.map_or(Waiting::Nothing, |visit| Waiting::of(&judge, visit, &assessment, plan.as_ref()));
    let km = judge.odometer.km_on(car.today).unwrap_or(0.0);
    let due =
        car.car.open_tags().filter(|tag| keys::tag_is_due(tag, visit, car.today, km)).cloned().collect();
    let promised = car.car.promised(car.today).filter(|(_, due)| *due == Due::Now).map(|(job, _)| {
        let title = |id: &&sheet::OperationId| {
            car.sheet.operations.get(*id).map_or_else(|| id.to_string(), |known| known.title.clone())
        };
        let titles: Vec<String> = car.car.remaining(job).iter().map(title).collect();
        format!("{}, agreed on {} by {}", titles.join("; "), words::day(job.agreed), job.name)
    });
    Ok(Here {
        promised: promised.collect(),
        id: id.to_owned(),
        title: car.car.title.clone(),
        tag: car.car.tag.clone(),
        asked_for: visit.and_then(|visit| visit.asked_for.clone()),
        waits,
        due,
    })
}

/// Cars that are not in the house and expected within weeks, the most overdue first.
fn expected<'a>(app: &App, cards: &'a [Card], gap: f64) -> Vec<(&'a Card, jiff::civil::Date)> {
    let today = app.clock.today();
    let mut expected: Vec<_> = cards
        .iter()
        .filter(|card| card.open_visit.is_none())
        .filter_map(|card| Some((card, card.agreed_for.unwrap_or(years_after(card.last_visit?, gap)))))
        .filter(|(_, day)| years_between(today, *day) < SOON_YEARS)
        .collect();
    expected.sort_by_key(|(_, day)| *day);
    expected
}

fn view(app: &App, here: &[Here], expected: &[(&Card, jiff::civil::Date)], empty: bool) -> Markup {
    let today = app.clock.today();
    html! {
        h1 { "Today, " (words::day(today)) }
        @if empty {
            (panel("An empty book", html! {
                p { "Add a data sheet with " code { "witnessmark sheet add DIR --book DIR" } ", then record the workshop and the first car: "
                    code { "witnessmark record --book DIR FILE…" } ". The forms of both are in the guide." }
            }))
        }
        section {
            h2 { "In the house" }
            @if here.is_empty() && !empty { p.quiet { "No car is in. Open a car from " a href=(routes::CARS) { "the list" } " to begin a visit." } }
            ul.cars {
                @for car in here {
                    li {
                        div {
                            a.name href=(routes::car(&car.id)) { (car.title) @if let Some(tag) = &car.tag { ", " (tag) } }
                            @if let Some(asked_for) = &car.asked_for { p.quiet { "“" (asked_for) "”" } }
                        }
                        p.waits { a href=(way(&car.id, &car.waits)) { (car.waits.says()) } }
                        @if !car.promised.is_empty() {
                            div.tags {
                                p { b { "Agreed before" } }
                                ul { @for says in &car.promised { li { (says) } } }
                            }
                        }
                        @if !car.due.is_empty() {
                            div.tags {
                                p { b { "On the key tag" } }
                                ul { @for tag in &car.due { li { (tag.what) span.quiet { " – " (tag.why) } } } }
                            }
                        }
                    }
                }
            }
        }
        @if !empty { p { a href=(routes::WEEKS) { "Hours in the weeks ahead" } } }
        @if !expected.is_empty() {
            section {
                h2 { "Expected in the next weeks" }
                ul.cars {
                    @for (card, day) in expected {
                        li {
                            a.name href=(routes::car(&card.car)) { (card.title) @if let Some(tag) = &card.tag { ", " (tag) } }
                            p.waits {
                                @if card.agreed_for == Some(*day) { "Agreed for " (words::day(*day)) } @else if *day < today { "Was expected about " (words::month(*day)) } @else { "About " (words::day(*day)) }
                                @if card.tags > 0 { span.quiet { ", " (words::count(card.tags as usize, "key tag", "key tags")) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Where to go to deal with what a car waits for.
fn way(car: &str, waits: &Waiting) -> String {
    match waits {
        Waiting::Walk { .. } => routes::walk(car),
        Waiting::Work { .. } | Waiting::Checks { .. } | Waiting::Nothing => routes::keys(car),
        Waiting::Telling | Waiting::Letter | Waiting::OwnersWord { .. } => routes::letter(car),
    }
}

/// When a key tag falls due, in words.
pub fn tag_words(tag: &Tag) -> String {
    when_words(&tag.when)
}
