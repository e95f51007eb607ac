//! A visit begins, and ends when the keys go back.

use super::{FormProblem, FromForm, free_id, money, problem, typed};
use crate::car::{Car, Visit};
use crate::keys;
use crate::odometer::{MOST_KM, Odometer};
use crate::words::sentence;
use jiff::civil::Date;
use journal::Known;
use quantity::{Quantity, Unit};
use sheet::Sheet;

/// A visit begins.
///
/// # Errors
/// What is wrong with the fields `odometer`, `ceiling`, `date`.
pub fn visit(
    car: &Car,
    sheet: &Sheet,
    date: Date,
    odometer: &str,
    as_read: bool,
    asked_for: &str,
    ceiling: &str,
) -> FromForm<Known> {
    let mut problems = Vec::new();
    let known = Odometer::of(car, &sheet.yearly_use, date);
    let odometer =
        read_odometer(car, &known, date, odometer, as_read).map_err(|found| problems.push(found)).ok();
    let ceiling = typed(ceiling)
        .and_then(|text| money(&text).map_err(|says| problems.push(problem("ceiling", says))).ok())
        .map(|money| money.to_string());
    if car.open_visit().is_some() {
        problems.push(problem("date", "The car is in already: its keys have not gone back."));
    }
    let Some(odometer) = odometer.filter(|_| problems.is_empty()) else { return Err(problems) };
    let base = format!("{}-{date}", car.id);
    let counted = |n| if n == 1 { base.clone() } else { format!("{base}-{n}") };
    let id = free_id(counted, |id| car.visit(id).is_some());
    Ok(Known::Visit {
        visit: id,
        date,
        odometer,
        revision: sheet.revision.clone(),
        asked_for: typed(asked_for),
        ceiling,
    })
}

fn read_odometer(
    car: &Car,
    known: &Odometer,
    date: Date,
    text: &str,
    as_read: bool,
) -> Result<Quantity, FormProblem> {
    let wrong = |says: String| problem("odometer", says);
    let read = Quantity::typed_in(text, Unit::KM).map_err(|error| wrong(sentence(&error.to_string())))?;
    let before = car.last_visit().map(|visit| visit.km());
    let km = crate::car::km(&read);
    if km < 0.0 {
        return Err(wrong("An odometer does not show less than nothing.".into()));
    }
    if km > MOST_KM {
        return Err(wrong("No odometer shows so much: read it again.".into()));
    }
    match before {
        Some(before) if km < before - 0.5 && !as_read => {
            let shown = crate::words::km(before);
            let ask = match known.may_mean(date, &read) {
                None => "Read it again; if the instrument was changed, say so below.".into(),
                Some(meant) => format!("{} If it was read so, say so below.", sentence(&meant)),
            };
            Err(wrong(format!("It showed {shown} last time, and an odometer does not run back. {ask}")))
        }
        Some(before) if !as_read => match known.leaps(date, &read) {
            None => Ok(read),
            Some(meant) => {
                let (shown, ask) = (crate::words::km(before), sentence(&meant));
                Err(wrong(format!("It showed {shown} last time. {ask} If it was read so, say so below.")))
            }
        },
        _ => Ok(read),
    }
}

/// The keys go back, with the promises of the work tied to them.
///
/// # Errors
/// Everything that holds the keys, on the field `keys`; what is wrong with `odometer`.
pub fn close(judge: &crate::Judge<'_>, visit: &Visit, odometer: &str) -> FromForm<Vec<Known>> {
    let mut problems: Vec<FormProblem> = keys::held(judge.sheet, judge.car, visit, &judge.assess())
        .into_iter()
        .map(|held| {
            problem(
                "keys",
                format!("{}: {}.", sentence(&held.to_string()).trim_end_matches('.'), held.way_out()),
            )
        })
        .collect();
    let out = match typed(odometer) {
        None => Some(visit.odometer.clone()),
        Some(text) => match Quantity::typed_in(&text, Unit::KM) {
            Err(error) => {
                problems.push(problem("odometer", sentence(&error.to_string())));
                None
            }
            Ok(out) if crate::car::km(&out) < crate::car::km(&visit.odometer) - 0.5 => {
                problems.push(problem(
                    "odometer",
                    format!("It came in at {}: it cannot leave with less.", visit.odometer),
                ));
                None
            }
            Ok(out) => Some(out),
        },
    };
    let Some(odometer) = out.filter(|_| problems.is_empty()) else { return Err(problems) };
    let mut said = crate::record::closing(judge.sheet, judge.car, &visit.id);
    said.push(Known::Closed { visit: visit.id.clone(), odometer });
    Ok(said)
}
