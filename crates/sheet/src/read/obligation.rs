//! `[obligation.wheel-nuts-torqued]`: a check that work done makes necessary.

use super::{Value, scale::bounds, source, trigger};
use crate::model::*;

pub(super) fn obligation(value: Value<'_>) -> Option<Obligation> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let how = t.may("how", Value::text);
        let caution = t.may("caution", Value::text);
        let guards = t.may("guards", |v| v.word(Guard::WORDS));
        let value = t.may("value", obliged_value);
        let after = t.may("after", trigger);
        let source = source(t);
        Some(Obligation { title: title?, how, caution, guards, value, after, source: source? })
    })
}

fn obliged_value(value: Value<'_>) -> Option<ObligedValue> {
    value.table(|t| {
        let unit = t.need("unit", Value::unit);
        let (min, max) = bounds(t, unit, "value");
        let source = source(t);
        Some(ObligedValue { unit: unit?, min, max, source: source? })
    })
}
