//! The frame around every page.

use crate::{app::App, error::PageError, routes, sign::Signer};
use book::OpenCar;
use journal::Person;
use maud::{DOCTYPE, Markup, html};
use workshop::{form::FormProblem, words};

#[derive(Clone)]
/// What the frame shows of the book, the day and the signer.
pub struct Shell {
    title: String,
    workshop: String,
    /// Said on every page when the clock is not the real one.
    day: Option<String>,
    pub people: Vec<Person>,
    pub signer: Option<Person>,
    /// Carried by the forms of this page.
    pub draft: String,
    here: &'static str,
    script: Option<&'static str>,
    styles: &'static [&'static str],
    in_hand: bool,
}

impl Shell {
    pub fn new(app: &App, signer: &Signer, title: &str) -> Result<Self, PageError> {
        let people = app.book.people()?;
        Ok(Self {
            title: title.to_owned(),
            workshop: app.book.shop()?.title.clone(),
            day: app.clock.stands_still().then(|| words::day(app.clock.today())),
            signer: signer.known(&people),
            people,
            draft: app.clock.new_id().to_string(),
            here: routes::CARS,
            script: None,
            styles: &[],
            in_hand: false,
        })
    }

    /// Which part of the book is open, for the navigation.
    #[must_use]
    pub fn here(self, here: &'static str) -> Self {
        Self { here, ..self }
    }

    /// With the script that makes the walk quicker.
    #[must_use]
    pub fn with_script(self) -> Self {
        Self { script: Some("/assets/walk.js"), ..self }
    }

    /// With drawings, and the script that answers while one types.
    #[must_use]
    pub fn with_bench(self) -> Self {
        let styles = &["/assets/diagrams.css", "/assets/bench.css"];
        Self { script: Some("/assets/bench.js"), styles, ..self }
    }

    /// With what the pages of data sheets look like.
    #[must_use]
    pub fn with_sheets(self) -> Self {
        Self { script: Some("/assets/sheets.js"), styles: &["/assets/sheets.css"], ..self }
    }

    /// For one hand in the bay: nothing above the work but where one is.
    #[must_use]
    pub fn in_hand(self) -> Self {
        Self { in_hand: true, ..self }
    }

    pub fn page(&self, body: Markup) -> Markup {
        frame(
            &format!("{} · Witness Mark", self.title),
            self.script,
            self.styles,
            html! {
                a.skip href="#main" { "To the content" }
                header {
                @if let Some(day) = &self.day {
                    p.day { "The clock of this book stands at " b { (day) } "." }
                }
                div.top.in-hand[self.in_hand] {
                    a.logo href=(routes::TODAY) {
                        svg width="22" height="22" viewBox="0 0 22 22" aria-hidden="true" {
                            path d="M1 17H21M4 17V13M8 17V14M12 17V13M16 17V14M11 12L8 3H14Z" fill="none" stroke="currentColor" stroke-width="1.6" {}
                        }
                        span { "Witness Mark" }
                    }
                    nav aria-label="Book" {
                        @for (address, name) in [(routes::TODAY, "Today"), (routes::CARS, "Cars"), (routes::BENCH, "Bench"), (routes::SHEETS, "Sheets")] {
                            a href=(address) aria-current=[(address == self.here).then_some("page")] { (name) }
                        }
                    }
                    a.signer href=(routes::sign(routes::TODAY)) {
                        @match &self.signer {
                            Some(person) => { span.hidden { "Signing as " } (person.name) }
                            None => "Who signs?",
                        }
                    }
                }
                }
                main #main { (body) }
                footer.foot {
                    p {
                        (self.workshop) ". Witness Mark remembers, computes and reminds; a person who has looked decides and signs. "
                        "The maker’s data, local law and licensed practice come first."
                    }
                }
            },
        )
    }
}

/// A page without the book: for what goes wrong.
pub fn bare(title: &str, body: Markup) -> Markup {
    frame(title, None, &[], html! { main #main { (body) } })
}

fn frame(title: &str, script: Option<&str>, styles: &[&str], body: Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                link rel="icon" href="/assets/icon.svg" type="image/svg+xml";
                link rel="preload" href="/assets/screen.woff2" as="font" type="font/woff2" crossorigin;
                link rel="stylesheet" href="/assets/marks.css";
                link rel="stylesheet" href="/assets/app.css";
                link rel="stylesheet" href="/assets/letter.css";
                @for style in styles { link rel="stylesheet" href=(style); }
                @if let Some(script) = script { script src=(script) defer {} }
            }
            body { (::letter::bar_defs()) (body) }
        }
    }
}

/// The head of a car's pages: who it is, and where one can go.
pub fn car_head(car: &OpenCar, here: &str) -> Markup {
    let id = &car.car.id;
    let judge = car.judge();
    let km = judge.odometer.last().map(|(_, km)| words::km(km));
    let next = judge.next_visit.as_ref().map(|next| {
        format!("forecast {} by {}", words::about_km(next.km[next.km.len() / 2]), words::month(next.date))
    });
    let variant = car
        .car
        .variant
        .as_ref()
        .and_then(|id| car.sheet.variants.get(id))
        .map(|variant| variant.title.clone());
    let year = car.car.first_used.map(|date| date.year().to_string());
    let facts: Vec<String> = [variant, year, km, next].into_iter().flatten().collect();
    let places = [
        (routes::car(id), "Car"),
        (routes::walk(id), "Walk"),
        (routes::plan(id), "Plan"),
        (routes::letter(id), "Letter"),
        (routes::keys(id), "Keys back"),
    ];
    html! {
        div.head {
            h1 { (car.car.title) @if let Some(tag) = &car.car.tag { ", " (tag) } }
            p { (facts.join(" · ")) @if let Some(note) = &car.car.note { " · " (note) } }
        }
        nav.of-car aria-label="This car" {
            @for (address, name) in &places {
                a href=(address) aria-current=[(*name == here).then_some("page")] { (name) }
            }
        }
    }
}

/// A box that stands out.
pub fn panel(title: &str, body: Markup) -> Markup {
    html! { section.panel { h2 { (title) } (body) } }
}

/// What is wrong with a field, beside it; `id` ties the two for those who do not see.
pub fn problem_at(problems: &[FormProblem], field: &str, id: &str) -> Markup {
    html! {
        @for problem in problems.iter().filter(|problem| problem.field == field) {
            p.problem id=(id) { (problem.says) }
        }
    }
}

/// Whether a field has a problem, as a screen reader is told.
pub fn invalid(problems: &[FormProblem], field: &str) -> Option<&'static str> {
    problems.iter().any(|problem| problem.field == field).then_some("true")
}

/// That something is wrong with the form, above it.
pub fn problems_above(problems: &[FormProblem]) -> Markup {
    html! {
        @if !problems.is_empty() {
            div.problems role="alert" {
                p { b { "Not written yet." } " What you typed is still here; " (words::count(problems.len(), "thing is", "things are")) " to be put right:" }
                ul { @for problem in problems { li { (problem.says) } } }
            }
        }
    }
}
