//! `[question.sits-low]`: something to be explained.

use super::{Table, Value, only::only, scale::at, sections::Sections, source, states::no_state};
use crate::{SheetFault, ids::*, model::*};
use indexmap::IndexMap;
use quantity::Unit;

pub(super) type Checks = IndexMap<CheckId, Check>;

pub(super) fn question(value: Value<'_>, sections: &Sections<'_>, checks: &Checks) -> Option<Question> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let only = only(t, sections);
        let raised_by =
            t.need("raised-by", |v| v.list_of(1, "at least one check", |v| raised_by(v, sections, checks)));
        let none = t.may("none", |v| v.number_that(|none| none > 0.0, "more than 0, such as 0.1"));
        let otherwise = t.list("otherwise", |v| anything(v, sections, checks));
        let source = source(t);
        Some(Question {
            title: title?,
            only,
            raised_by: raised_by?,
            none: none.unwrap_or(Question::USUAL_NONE),
            otherwise: otherwise.into_iter().collect(),
            source: source?,
        })
    })
}

fn raised_by(value: Value<'_>, sections: &Sections<'_>, checks: &Checks) -> Option<RaisedBy> {
    value.table(|t| {
        let check = t.need("check", |v| sections.checks.find(v));
        let known = check.as_ref().and_then(|id| checks.get(id));
        let states = t.list("states", |v| state(v, known));
        Some(RaisedBy { check: check?, states })
    })
}

/// A state of a check, where the check could be read.
fn state(value: Value<'_>, check: Option<&Check>) -> Option<StateId> {
    let id = value.str()?;
    let states = check?.states();
    let found = states.iter().find(|state| state.id.as_str() == id).map(|state| state.id.clone());
    if found.is_none() {
        value.fault(no_state(id, states));
    }
    found
}

/// `{ check = "ride-height", from = "300 mm", to = "400 mm" }`.
fn anything(value: Value<'_>, sections: &Sections<'_>, checks: &Checks) -> Option<(CheckId, (f64, f64))> {
    value.table(|t| {
        let check = t.need("check", |v| sections.checks.find(v));
        let unit = check.as_ref().and_then(|id| sections.unit_of(id));
        if let (Some(id), None, Some(value)) = (&check, unit, t.get("check"))
            && checks.contains_key(id)
        {
            value.fault(SheetFault::InputNotNumber { check: id.clone() });
        }
        let range = range(t, unit);
        Some((check?, range?))
    })
}

/// `from` and `to`, the right way round.
pub(super) fn range(t: &Table<'_>, unit: Option<Unit>) -> Option<(f64, f64)> {
    let from = t.need("from", |v| at(v, unit, "range"));
    let to = t.need("to", |v| at(v, unit, "range"));
    let (from, to) = (from?, to?);
    if let (true, Some(unit)) = (from >= to, unit) {
        t.fault(SheetFault::FromTo { of: t.name().to_string(), from, to, unit });
    }
    Some((from, to))
}
