//! The bench: what do these numbers mean? All formulas by the job they serve.

mod answer;
mod fields;
mod from_car;
mod keep;
mod page;
mod symbols;
mod typed;

pub use keep::{kept, post};
pub use page::{fragment, get as formula};

use crate::{app::App, error::PageError, layout::Shell, routes, sign::Signer};
use ::bench::{Formula, Job, formulas};
use axum::extract::{Query, State};
use maud::{Markup, html};
use serde::Deserialize;
use workshop::words;

#[derive(Deserialize)]
pub struct Find {
    #[serde(default)]
    find: String,
}

pub async fn get(
    State(app): State<App>,
    signer: Signer,
    Query(find): Query<Find>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let shell = Shell::new(app, &signer, "Bench")?.here(routes::BENCH).with_bench();
        let wanted: Vec<String> = find.find.to_lowercase().split_whitespace().map(str::to_owned).collect();
        let found: Vec<&Formula> = formulas().iter().filter(|formula| formula.has(&wanted)).collect();
        Ok(shell.page(view(&found, &find.find)))
    })
    .await
}

fn view(found: &[&'static Formula], find: &str) -> Markup {
    let jobs: Vec<(Job, Vec<&&Formula>)> = Job::ALL
        .iter()
        .map(|job| (*job, found.iter().filter(|formula| formula.job == *job).collect::<Vec<_>>()))
        .filter(|(_, of_job)| !of_job.is_empty())
        .collect();
    html! {
        h1 { "Bench" }
        p.lead { "What your numbers mean: " (formulas().len()) " formulas of the trade, each with its drawing, its uncertainty and its source." }
        form.find role="search" method="get" action=(routes::BENCH) {
            label for="find" { "What do you want to know?" }
            div { input id="find" name="find" type="search" value=(find) placeholder="spring, torque, toe" autocomplete="off"; button { "Find" } }
        }
        @if !find.trim().is_empty() {
            p.quiet role="status" {
                @if found.is_empty() { "No formula speaks of “" (find.trim()) "”. Try a plainer word, or " a href=(routes::BENCH) { "see all" } "." }
                @else { (words::count(found.len(), "formula speaks", "formulas speak")) " of “" (find.trim()) "”. " a href=(routes::BENCH) { "See all" } }
            }
        }
        @if jobs.len() > 3 {
            nav.jobs aria-label="Jobs" {
                @for (job, of_job) in &jobs { a href={ "#" (job.id()) } { (job) span.quiet { " " (of_job.len()) } } }
            }
        }
        @for (job, of_job) in &jobs {
            section.job id=(job.id()) {
                h2 { (job) }
                ul.formulas {
                    @for formula in of_job {
                        li {
                            a href=(routes::formula(formula.id)) { (formula.title) }
                            p.quiet { (answers(formula)) }
                        }
                    }
                }
            }
        }
    }
}

/// What a formula decides, as a line of a list.
fn answers(formula: &Formula) -> String {
    let says = formula.says.strip_prefix("This decides ").unwrap_or(formula.says);
    words::upper_first(says)
}
