//! The cars of the book.

use crate::{app::App, error::PageError, layout::Shell, routes, sign::Signer};
use axum::extract::{Query, State};
use journal::Card;
use maud::{Markup, html};
use serde::Deserialize;
use sheet::Verdict;
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
        let shell = Shell::new(app, &signer, "Cars")?.here(routes::CARS);
        let wanted = find.find.trim().to_lowercase();
        let cards: Vec<Card> = app.book.cards()?.into_iter().filter(|card| matches(card, &wanted)).collect();
        Ok(shell.page(view(&cards, &find.find)))
    })
    .await
}

fn matches(card: &Card, wanted: &str) -> bool {
    let has = |text: &str| text.to_lowercase().contains(wanted);
    wanted.is_empty() || has(&card.title) || has(&card.car) || card.tag.as_deref().is_some_and(has)
}

fn view(cards: &[Card], find: &str) -> Markup {
    html! {
        h1 { "Cars" }
        form.find role="search" method="get" action=(routes::CARS) {
            label for="find" { "Find by name or key tag" }
            div { input id="find" name="find" type="search" value=(find); button { "Find" } }
        }
        @if cards.is_empty() {
            p.quiet {
                @if find.is_empty() { "The book has no car yet. Record a file with a " code { "[car]" } " to begin." }
                @else { "No car is called so." }
            }
        }
        ul.cars {
            @for card in cards {
                li {
                    div {
                        a.name href=(routes::car(&card.car)) { (card.title) @if let Some(tag) = &card.tag { ", " (tag) } }
                        p.quiet {
                            @if let Some(km) = card.odometer_km { (words::km(km)) }
                            @if let Some(date) = card.last_visit { ", last seen " (words::day(date)) }
                            @if card.open_visit.is_some() { ", in the house" }
                        }
                    }
                    ul.counts {
                        @for verdict in Verdict::ALL.iter().rev() {
                            @if let Some(n) = card.verdicts.get(verdict.id()) {
                                li { (letter::verdict(*verdict)) " " (n) }
                            }
                        }
                    }
                }
            }
        }
    }
}
