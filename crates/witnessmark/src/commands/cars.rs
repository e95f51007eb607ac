//! `witnessmark cars`: the cars of a book, with the verdicts of their last visits, or as of a day.

use super::print_json;
use crate::output::say;
use crate::{arguments::Cars, error::Failed};
use book::Book;
use serde_json::json;
use workshop::words;

pub fn run(of: &Cars) -> Result<(), Failed> {
    let book = Book::open(&of.book.folder)?;
    let cards = match of.today.today {
        Some(day) => book.cards_on(day)?,
        None => book.cards()?,
    };
    if of.output.json {
        let cars: Vec<_> = cards
            .iter()
            .map(|card| {
                json!({
                    "car": card.car,
                    "title": card.title,
                    "tag": card.tag,
                    "odometer_km": card.odometer_km,
                    "last_visit": card.last_visit,
                    "open_visit": card.open_visit,
                    "verdicts": card.verdicts,
                    "key_tags": card.tags,
                })
            })
            .collect();
        print_json(&json!(cars));
        return Ok(());
    }
    if cards.is_empty() {
        say!("The book has no car yet. Record a file with a [car]: see docs/visits.md.");
    }
    for card in cards {
        let visit = card.last_visit.map_or("never seen".into(), words::day);
        let km = card.odometer_km.map(words::km).unwrap_or_default();
        let verdicts: Vec<String> = sheet::Verdict::ALL
            .iter()
            .filter_map(|verdict| Some(format!("{} {}", card.verdicts.get(verdict.id())?, verdict.title())))
            .collect();
        say!("{:12} {:16} {:>12}  {visit}  {}", card.car, card.title, km, verdicts.join(", "));
    }
    Ok(())
}
