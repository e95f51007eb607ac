//! From the model back to a file: a sheet that was made by a program, or read and changed by one.
//!
//! What comes out reads as the sheet that went in, its revision apart: a revision is that of the files. Comments, the
//! division into files and the sets of places by their names are not part of the model, and are lost.

mod checks;
mod questions;
mod stock;
mod toml_text;
mod work;

use crate::{ids::*, model::*};
use checks::{check, component, instrument};
use quantity::Unit;
use questions::{explanation, look_alike, question, word};
use stock::{fastener, fluid, part};
use toml_text::{Entries, Text};
use work::{access, consequence, obligation, operation, while_apart};

/// The sheet as one file.
pub fn write(sheet: &Sheet) -> String {
    let mut text = Text::default();
    text.table("sheet", None, head(sheet));
    macro_rules! tables {
        ($($kind:literal: $field:ident, $entries:expr;)*) => {$(
            for (id, thing) in &sheet.$field {
                text.table($kind, Some(id.as_str()), $entries(thing));
            }
        )*};
    }
    tables! {
        "variant": variants, variant;
        "system": systems, |system: &System| Entries::new().text("title", &system.title);
    }
    let sets = sets(sheet);
    for (id, places) in &sets {
        let titles = places.iter().filter_map(|place| Some((place, sheet.places.get(place)?)));
        let entries =
            titles.fold(Entries::new(), |entries, (place, title)| entries.text(place.as_str(), title));
        text.table("places", Some(id), entries);
    }
    tables! {
        "station": stations, station;
        "component": components, |of| component(of, &sets);
        "check": checks, check;
        "instrument": instruments, instrument;
        "fluid": fluids, fluid;
        "fastener": fasteners, fastener;
    }
    for (id, of) in &sheet.parts {
        text.table("part", Some(id.as_str()), part(of, sheet));
    }
    tables! {
        "access": access, access;
        "operation": operations, operation;
        "obligation": obligations, obligation;
        "consequence": consequences, consequence;
        "while-apart": while_apart, while_apart;
    }
    for (id, of) in &sheet.questions {
        text.table("question", Some(id.as_str()), question(of, sheet));
    }
    for (id, of) in &sheet.explanations {
        text.table("explanation", Some(id.as_str()), explanation(of, sheet));
    }
    tables! {
        "look-alike": look_alikes, look_alike;
        "glossary": glossary, word;
    }
    text.finish()
}

fn head(sheet: &Sheet) -> Entries {
    let YearlyUse { mean_km, variation, source } = &sheet.yearly_use;
    let yearly_use = Entries::new()
        .measure("mean", *mean_km, Unit::KM_PER_YEAR)
        .number("variation", *variation)
        .text("source", source);
    Entries::new()
        .text("id", sheet.id.as_str())
        .text("title", &sheet.title)
        .may_text("says", &sheet.says)
        .text("currency", &sheet.currency)
        .table("yearly-use", yearly_use)
        .number("refit", sheet.refit)
        .may("work-hours", &sheet.work_hours, |hours| {
            Entries::new().number("spread", hours.spread).text("source", &hours.source)
        })
}

fn variant(variant: &Variant) -> Entries {
    Entries::new().text("title", &variant.title).may("model-years", &variant.model_years, years)
}

fn years(years: &Years) -> Entries {
    Entries::new().may_count("from", years.from).may_count("to", years.to)
}

fn only(entries: Entries, only: &Only) -> Entries {
    entries.texts("only", &only.variants).may("model-years", &only.model_years, years)
}

/// All places in their order, and then each list of places that a component has, under names of our own.
fn sets(sheet: &Sheet) -> Vec<(String, Vec<Place>)> {
    let all: Vec<_> = sheet.places.keys().cloned().collect();
    if all.is_empty() {
        return vec![];
    }
    let mut sets = vec![("all".to_owned(), all)];
    for component in sheet.components.values() {
        let single = *component.places == [Place::single()];
        if !single && !sets.iter().any(|(_, places)| *places == component.places) {
            sets.push((format!("set-{}", sets.len()), component.places.clone()));
        }
    }
    sets
}

fn station(station: &Station) -> Entries {
    Entries::new().text("title", &station.title).texts("places", &station.places)
}

fn along(along: Along) -> Unit {
    match along {
        Along::Km => Unit::KM,
        Along::Years => Unit::YEAR,
    }
}

fn trigger(trigger: &Trigger) -> Entries {
    Entries::new()
        .may_measure("km", trigger.km, Unit::KM)
        .may_measure("years", trigger.years, Unit::YEAR)
        .may_text("event", &trigger.event)
}

/// Where numbers are said of a check, it is one that gives numbers.
fn unit_of(sheet: &Sheet, check: &CheckId) -> Unit {
    sheet.checks.get(check).and_then(Check::unit).unwrap_or(Unit::ONE)
}
