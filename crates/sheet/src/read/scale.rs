//! `new`, `limit`, `settled`, `differs` and `trend` of a check, in the unit of its reading.

use super::{Table, Value, km, needs_one_of, source, years};
use crate::{SheetFault, Side, ids::Place, model::*};
use quantity::{Kind, QuantityError, Unit};

/// The keys that go with a number.
const KEYS: [&str; 5] = ["new", "limit", "settled", "differs", "trend"];

/// Reads the keys; `unit` is missing when it could not be read, and so are the places of the component.
pub(super) fn scale(t: &Table<'_>, unit: Option<Unit>, places: Option<&[Place]>) -> Scale {
    let new = t.may("new", |v| new(v, unit));
    let limit = t.may("limit", |v| limit(v, unit));
    let settled = t.may("settled", |v| settled(v, unit));
    let differs = t.list("differs", |v| differs(v, unit, places));
    let trend = t.may("trend", |v| trend(v, unit));
    if let (Some(unit), Some(limit)) = (unit, &limit) {
        if let Some(new) = &new {
            new_within(t, new, limit, unit);
        }
        if let Some(settled) = &settled {
            settled_within(t, settled, limit, unit);
        }
    }
    Scale { new, limit, settled, differs, trend }
}

/// The keys have no meaning for what is not a number.
pub(super) fn no_scale(t: &Table<'_>, with: &str) -> Scale {
    for key in KEYS {
        if let (Some(_), Some(at)) = (t.get(key), t.key_span(key)) {
            t.reader().fault(SheetFault::NotWith { key, with: format!("`{with}`") }, at);
        }
    }
    Scale::default()
}

pub(super) fn new(value: Value<'_>, unit: Option<Unit>) -> Option<New> {
    if value.shape() != crate::table::Shape::Table {
        return Some(New { value: at(value, unit, "new value")?, tolerance: None });
    }
    value.table(|t| {
        let value = t.need("value", |v| at(v, unit, "new value"));
        let tolerance = t.may("tolerance", |v| wide(v, unit, "tolerance"));
        Some(New { value: value?, tolerance })
    })
}

pub(super) fn limit(value: Value<'_>, unit: Option<Unit>) -> Option<Limit> {
    value.table(|t| {
        let (min, max) = bounds(t, unit, "limit");
        let source = source(t);
        Some(Limit { min, max, source: source? })
    })
}

fn settled(value: Value<'_>, unit: Option<Unit>) -> Option<Settled> {
    value.table(|t| {
        let (min, max) = bounds(t, unit, "settled range");
        let why = t.need("why", Value::text);
        Some(Settled { min, max, why: why? })
    })
}

fn differs(value: Value<'_>, unit: Option<Unit>, places: Option<&[Place]>) -> Option<Differs> {
    value.table(|t| {
        let between = t.need("between", |v| {
            let between = v.word(Between::WORDS)?;
            if places.is_some_and(|places| between.groups(places).is_empty()) {
                v.fault(SheetFault::NothingBetween { check: v.name().id().to_owned(), between });
            }
            Some(between)
        });
        let max = t.need("max", |v| wide(v, unit, "difference"));
        let source = source(t);
        Some(Differs { between: between?, max: max?, source: source? })
    })
}

fn trend(value: Value<'_>, unit: Option<Unit>) -> Option<Trend> {
    value.table(|t| {
        let max = t.need("max", |v| wide(v, unit, "trend"));
        let per = t.need("per", |v| match v.measure(&[Kind::Length, Kind::Time])?.kind() {
            Kind::Length => Some((km(v)?, Along::Km)),
            _ => Some((years(v)?, Along::Years)),
        });
        let source = source(t);
        let (per, along) = per?;
        Some(Trend { max: max?, per, along, source: source? })
    })
}

/// `min` and `max`: one of them or both, the right way round.
pub(super) fn bounds(t: &Table<'_>, unit: Option<Unit>, what: &'static str) -> (Option<f64>, Option<f64>) {
    let min = t.may("min", |v| at(v, unit, what));
    let max = t.may("max", |v| at(v, unit, what));
    needs_one_of(t, &["min", "max"]);
    if let (Some(min), Some(max), Some(unit)) = (min, max, unit)
        && min >= max
    {
        t.fault(SheetFault::Crossed { of: t.name().to_string(), min, max, unit });
    }
    (min, max)
}

/// A point of the scale, in the unit of the reading.
pub(super) fn at(value: Value<'_>, unit: Option<Unit>, what: &'static str) -> Option<f64> {
    in_unit(value, unit, what, |quantity, unit| quantity.expect(unit.kind())?.value_in(unit))
}

/// A width on the scale, in the unit of the reading.
pub(super) fn wide(value: Value<'_>, unit: Option<Unit>, what: &'static str) -> Option<f64> {
    let width = in_unit(value, unit, what, |quantity, unit| quantity.spread_in(unit))?;
    (width >= 0.0).then_some(width).or_else(|| value.out_of_range("0 or more"))
}

fn in_unit(
    value: Value<'_>,
    unit: Option<Unit>,
    what: &'static str,
    convert: impl Fn(quantity::Quantity, Unit) -> Result<f64, QuantityError>,
) -> Option<f64> {
    let quantity = value.quantity_like(unit.unwrap_or(Unit::MM))?;
    let (wanted, found) = (unit?, quantity.unit());
    let converted = convert(quantity, wanted).ok();
    if converted.is_none() {
        let of = value.name().id().to_owned();
        value.fault(SheetFault::ReadingUnit { what, of, found, wanted });
    }
    converted
}

/// A new part lies within its limits; where only one side is limited, it has some way to go.
fn new_within(t: &Table<'_>, new: &New, limit: &Limit, unit: Unit) {
    let new = new.value;
    let past = match (limit.min, limit.max) {
        (Some(min), None) => (new <= min).then_some((Side::Min, min)),
        (None, Some(max)) => (new >= max).then_some((Side::Max, max)),
        (Some(min), Some(_)) if new < min => Some((Side::Min, min)),
        (Some(_), Some(max)) if new > max => Some((Side::Max, max)),
        _ => None,
    };
    if let (Some((side, bound)), Some(at), Some(there)) = (past, t.get("new"), t.get("limit")) {
        let of = format!("`{}`", t.name().id());
        at.fault_between(SheetFault::NewPastLimit { of, new, side, bound, unit }, there.span());
    }
}

/// What is settled is harmless, so it does not reach past a limit.
fn settled_within(t: &Table<'_>, settled: &Settled, limit: &Limit, unit: Unit) {
    let below = |bound: Option<f64>| bound.zip(limit.min).filter(|(found, bound)| found < bound);
    let above = |bound: Option<f64>| bound.zip(limit.max).filter(|(found, bound)| found > bound);
    let under = below(settled.min).or_else(|| below(settled.max)).map(|past| (Side::Min, past));
    let over = above(settled.max).or_else(|| above(settled.min)).map(|past| (Side::Max, past));
    for (side, (found, bound)) in under.into_iter().chain(over) {
        if let (Some(at), Some(there)) = (t.get("settled"), t.get("limit")) {
            let of = at.name().to_string();
            at.fault_between(SheetFault::SettledPastLimit { of, found, side, bound, unit }, there.span());
        }
    }
}
