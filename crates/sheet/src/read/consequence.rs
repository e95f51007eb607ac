//! `[consequence.brake-fade]`: what a failure leads to.

use super::{Value, sections::Sections, source};
use crate::{ids::*, model::Consequence};

pub(super) fn consequence(value: Value<'_>, sections: &Sections<'_>) -> Option<Consequence> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let says = t.need("says", Value::text);
        let costs = t.need("costs", Value::money);
        let warns = t.list("warns", Value::text);
        let then = t.list("then", |v| follows(v, t.name().id(), sections));
        let source = source(t);
        Some(Consequence { title: title?, says: says?, costs: costs?, warns, then, source: source? })
    })
}

fn follows(value: Value<'_>, from: &str, sections: &Sections<'_>) -> Option<(ConsequenceId, f64)> {
    value.table(|t| {
        let to = t.need("to", |v| {
            let to = sections.consequences.find(v)?;
            sections.leads_to.link(from, to.as_str(), v.span());
            Some(to)
        });
        let probability = t.need("probability", |v| {
            v.number_that(|p| (0.0..=1.0).contains(&p), "a probability from 0 to 1")
        });
        Some((to?, probability?))
    })
}
