//! `interval` of a check: by distance or by time, whichever comes first.

use super::{Value, needs_one_of, source};
use crate::model::Interval;
use quantity::Unit;

pub(super) fn interval(value: Value<'_>) -> Option<Interval> {
    value.table(|t| {
        let km = t.may("km", |v| v.positive_in(Unit::KM));
        let years = t.may("years", |v| v.positive_in(Unit::YEAR));
        needs_one_of(t, &["km", "years"]);
        let strict = t.may("strict", Value::flag).unwrap_or(false);
        let source = source(t);
        Some(Interval { km, years, strict, source: source? })
    })
}
