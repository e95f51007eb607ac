//! `[while-apart.gearbox-out]`: what is worth doing while something is apart anyway.

use super::{Value, only::only, sections::Sections, source, trigger};
use crate::model::*;

pub(super) fn while_apart(value: Value<'_>, sections: &Sections<'_>) -> Option<WhileApart> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let only = only(t, sections);
        let apart = t.need("apart", |v| v.list_of(1, "at least one step", |v| sections.access.find(v)));
        let offer = t.need("offer", |v| v.list_of(1, "at least one operation", |v| offer(v, sections)));
        let source = source(t);
        Some(WhileApart { title: title?, only, apart: apart?, offer: offer?, source: source? })
    })
}

fn offer(value: Value<'_>, sections: &Sections<'_>) -> Option<Offer> {
    value.table(|t| {
        let operation = t.need("operation", |v| sections.operations.find(v));
        let why = t.need("why", Value::text);
        let from = t.may("from", trigger);
        Some(Offer { operation: operation?, why: why?, from })
    })
}
