//! Phrases that many things share.

use crate::model::*;
use quantity::{Quantity, Unit};

/// A number as briefly as it can be written, a computed one without digits that only rounding made.
pub(super) fn number(number: f64) -> String {
    let rounded = (number * 1e9).round() / 1e9;
    if rounded.is_finite() && number.abs() < 1e6 { rounded.to_string() } else { number.to_string() }
}

/// A number in a unit.
pub(super) fn measure(value: f64, unit: Unit) -> String {
    Quantity::new(value, unit).map_or_else(|_| format!("{value} {unit}"), |quantity| quantity.to_string())
}

/// ", from the maker's manual" as people read it.
pub(super) fn from(source: &str) -> String {
    format!(" (source: {source})")
}

/// "at least 20 mm", "at most 0.1 mm", "from 260 N to 450 N".
pub(super) fn bounds(min: Option<f64>, max: Option<f64>, unit: Unit) -> String {
    match (min, max) {
        (Some(min), Some(max)) => format!("from {} to {}", measure(min, unit), measure(max, unit)),
        (Some(min), None) => format!("at least {}", measure(min, unit)),
        (None, Some(max)) => format!("at most {}", measure(max, unit)),
        (None, None) => "any".to_owned(),
    }
}

pub(super) fn limit(limit: &Limit, unit: Unit) -> String {
    format!("{}{}", bounds(limit.min, limit.max, unit), from(&limit.source))
}

pub(super) fn new(new: &New, unit: Unit) -> String {
    let tolerance = new.tolerance.map(|width| format!(" ± {}", measure(width, unit))).unwrap_or_default();
    format!("{}{tolerance}", measure(new.value, unit))
}

pub(super) fn years(years: &Years) -> String {
    match (years.from, years.to) {
        (Some(from), Some(to)) => format!("{from} to {to}"),
        (Some(from), None) => format!("from {from}"),
        (None, Some(to)) => format!("up to {to}"),
        (None, None) => "any".to_owned(),
    }
}

/// "2000 km or 1 year, whichever comes first".
pub(super) fn span(km: Option<f64>, years: Option<f64>) -> Option<String> {
    let km = km.map(|km| format!("{} km", number(km)));
    let years = years
        .map(|years| if years == 1.0 { "1 year".to_owned() } else { format!("{} years", number(years)) });
    match (km, years) {
        (Some(km), Some(years)) => Some(format!("{km} or {years}, whichever comes first")),
        (one, other) => one.or(other),
    }
}

pub(super) fn trigger(trigger: &Trigger) -> String {
    let event = trigger.event.as_ref().map(|event| format!("at {event}"));
    [span(trigger.km, trigger.years), event].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// What more is said, behind the main words.
pub(super) fn also(words: &[Option<String>]) -> String {
    words.iter().flatten().map(|words| format!("; {words}")).collect()
}
