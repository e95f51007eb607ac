//! `witnessmark sheet diff A B`: what is different, and which verdicts on the cars of a book would change.

use crate::{arguments::SheetDiff, commands::print_json, error::Failed, output::say};
use ::sheet::{CheckId, Place, Sheet, Verdict, changes};
use book::Book;
use jiff::civil::Date;
use serde_json::json;
use std::path::Path;
use workshop::{Car, Judge, Shop};

pub fn run(of: &SheetDiff) -> Result<(), Failed> {
    let before = ::sheet::read_dir(&of.before).map_err(Failed::Sheet)?;
    let after = ::sheet::read_dir(&of.after).map_err(Failed::Sheet)?;
    let changes = changes(&before, &after);
    let today = of.today.clock().today();
    let cars = of.book.as_deref().map(|book| cars(book, &before, &after, today)).transpose()?;
    if of.output.json {
        print_json(&json!({
            "changes": changes,
            "cars": cars.map(|cars| cars.iter().map(|car| json!({
                "car": car.id,
                "title": car.title,
                "verdicts": car.verdicts.iter().map(|changed| json!({
                    "check": changed.check,
                    "place": changed.place,
                    "was": changed.was,
                    "now": changed.now,
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
        say!("\n{} ({})", car.title, car.id);
        for Changed { check, place, was, now } in &car.verdicts {
            let title = after.checks.get(check).or(before.checks.get(check)).map_or("", |check| &check.title);
            let place = after.place_title(place);
            let place = if place.is_empty() { String::new() } else { format!(", {place}") };
            let said = |verdict: &Option<Verdict>| verdict.map_or("nothing", Verdict::title);
            say!("  {title}{place}: was {}, would be {}", said(was), said(now));
        }
    }
    Ok(())
}

/// A car of the book and the verdicts on it that would be others.
struct CarChanged {
    id: String,
    title: String,
    verdicts: Vec<Changed>,
}

struct Changed {
    check: CheckId,
    place: Place,
    was: Option<Verdict>,
    now: Option<Verdict>,
}

/// The cars of a book that are of this sheet.
fn cars(book: &Path, before: &Sheet, after: &Sheet, today: Date) -> Result<Vec<CarChanged>, Failed> {
    let book = Book::open(book)?;
    let shop = book.shop()?;
    let mut cars = Vec::new();
    for card in book.cards()? {
        let Some(car) = book.car(&card.car)? else { continue };
        if car.sheet.as_ref().is_some_and(|sheet| *sheet == before.id || *sheet == after.id) {
            let verdicts =
                changed(&verdicts(&shop, before, &car, today), &verdicts(&shop, after, &car, today));
            cars.push(CarChanged { id: card.car, title: car.title.clone(), verdicts });
        }
    }
    Ok(cars)
}

type Verdicts = Vec<((CheckId, Place), Verdict)>;

fn verdicts(shop: &Shop, sheet: &Sheet, car: &Car, today: Date) -> Verdicts {
    let findings = Judge::new(shop, sheet, car, today).assess().findings;
    findings.into_iter().map(|judged| ((judged.check, judged.place), judged.verdict)).collect()
}

fn changed(before: &Verdicts, after: &Verdicts) -> Vec<Changed> {
    let of = |verdicts: &Verdicts, at: &(CheckId, Place)| {
        verdicts.iter().find(|(other, _)| other == at).map(|(_, verdict)| *verdict)
    };
    let gone = before.iter().map(|(at, _)| at).filter(|at| of(after, at).is_none());
    let all = after.iter().map(|(at, _)| at).chain(gone);
    let told = all.map(|at| Changed {
        check: at.0.clone(),
        place: at.1.clone(),
        was: of(before, at),
        now: of(after, at),
    });
    told.filter(|changed| changed.was != changed.now).collect()
}
