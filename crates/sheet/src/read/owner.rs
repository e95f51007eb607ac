//! `[glossary.lash]` and `[look-alike.residue-at-push-rod]`: words for people.

use super::{Value, sections::Sections};
use crate::model::*;

pub(super) fn word(value: Value<'_>) -> Option<Word> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let also = t.list("also", Value::text);
        let says = t.need("says", Value::text);
        Some(Word { title: title?, also, says: says? })
    })
}

pub(super) fn look_alike(value: Value<'_>, sections: &Sections<'_>) -> Option<LookAlike> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let checks = t.list("checks", |v| sections.checks.find(v));
        let could_be = t.need("could-be", |v| v.list_of(2, "at least two things", Value::text));
        let told_apart = t.need("told-apart", Value::text);
        Some(LookAlike { title: title?, checks, could_be: could_be?, told_apart: told_apart? })
    })
}
