//! `interval` of a check: by distance or by time, whichever comes first.

use super::{Value, km, needs_one_of, source, years};
use crate::model::Interval;

pub(super) fn interval(value: Value<'_>) -> Option<Interval> {
    value.table(|t| {
        let (km, years) = (t.may("km", km), t.may("years", years));
        needs_one_of(t, &["km", "years"]);
        let strict = t.may("strict", Value::flag).unwrap_or(false);
        let source = source(t);
        Some(Interval { km, years, strict, source: source? })
    })
}
