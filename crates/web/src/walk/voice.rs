//! What a value would mean, said while it is typed: a fragment of a page.

use super::stop::{StopForm, is_reading, written};
use crate::{app::App, error::PageError};
use axum::extract::{Path, State};
use axum_extra::extract::Query;
use journal::Known;
use maud::{Markup, html};
use sheet::{CheckId, Place, Verdict};
use workshop::{What, letter as words_of, mark};

pub async fn get(
    State(app): State<App>,
    Path((id, check, place)): Path<(String, String, String)>,
    Query(typed): Query<StopForm>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let (check, place) = (CheckId::from(check), Place::from(place));
        let Some(visit) = car.car.open_visit() else { return Ok(html! {}) };
        if !car.sheet.checks.get(&check).is_some_and(is_reading) {
            return Ok(html! {});
        }
        let (values, instrument, seen) = match written(&car, visit, &check, &place, &typed) {
            Ok(Known::Reading { values, instrument, seen, .. }) => (values, instrument, seen),
            Ok(_) => return Ok(html! {}),
            // Half a number is no mistake yet: nothing is said while it is typed.
            Err(_) => return Ok(html! {}),
        };
        let supposed = car.car.supposing(
            &visit.id,
            check.clone(),
            place.clone(),
            What::Reading { values, instrument, seen },
        );
        let judge = workshop::Judge::new(&car.shop, &car.sheet, &supposed, car.today);
        let Some(judged) = judge.one(&check, &place) else { return Ok(html! {}) };
        Ok(html! {
            @if let Some(drawn) = mark(&car.sheet, &judged) { div data-for="bar" { (letter::mark(&drawn)) } }
            div.say { (letter::verdict(judged.verdict)) @let means = words_of::means(&judged); @if judged.verdict != Verdict::Sound && !means.is_empty() { p { (means) } }
                    @if let Some(question) = &judged.question { p.question { b { "To ask: " } (question) } } }
        })
    })
    .await
}
