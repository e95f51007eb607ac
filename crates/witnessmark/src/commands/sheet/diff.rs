//! `witnessmark sheet diff A B`: what is different, and which verdicts on the cars of a book would change.

use crate::{arguments::SheetDiff, commands::print_json, error::Failed, output::say};
use ::sheet::{Verdict, changes};
use book::Book;
use serde_json::json;
use workshop::Otherwise;

pub fn run(of: &SheetDiff) -> Result<(), Failed> {
    let before = ::sheet::read_dir(&of.before).map_err(Failed::Sheet)?;
    let after = ::sheet::read_dir(&of.after).map_err(Failed::Sheet)?;
    let changes = changes(&before, &after);
    let today = of.today.clock().today();
    let cars = match &of.book {
        Some(book) => Some(Book::open(book)?.otherwise(&before, &after, today, usize::MAX)?.0),
        None => None,
    };
    if of.output.json {
        print_json(&json!({
            "changes": changes,
            "cars": cars.map(|cars| cars.iter().map(|car| json!({
                "car": car.car,
                "title": car.title,
                "verdicts": car.verdicts.iter().map(|changed| json!({
                    "check": changed.check,
                    "place": changed.place,
                    "was": changed.was,
                    "now": changed.now,
                    "why": changed.why,
                })).collect::<Vec<_>>(),
            })).collect::<Vec<_>>()),
        }));
        return Ok(());
    }
    if changes.is_empty() {
        say!("Both say the same.");
    }
    changes.iter().for_each(|change| say!("{change}"));
    let Some(cars) = cars else { return Ok(()) };
    if cars.iter().all(|car| car.verdicts.is_empty()) {
        say!("\nNo verdict changes on {}.", workshop::words::count(cars.len(), "car", "cars"));
    }
    for car in cars.iter().filter(|car| !car.verdicts.is_empty()) {
        say!("\n{} ({})", car.title, car.car);
        for Otherwise { part, title, was, now, .. } in &car.verdicts {
            let said = |verdict: &Option<Verdict>| verdict.map_or("nothing", Verdict::title);
            say!("  {part} ({title}): was {}, would be {}", said(was), said(now));
        }
    }
    Ok(())
}
