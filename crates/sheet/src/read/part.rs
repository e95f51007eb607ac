//! `[fluid.engine-oil]` and `[part.QC-1311]`: what is filled in and fitted.

use super::{OF_FLUIDS, Value, only, sections::Sections, source, years};
use crate::{SheetFault, diagnostic::Span, ids::*, model::*};
use indexmap::IndexMap;

pub(super) fn fluid(value: Value<'_>, sections: &Sections<'_>) -> Option<Fluid> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let only = only(t, sections);
        let specification = t.need("specification", Value::text);
        let grade = t.may("grade", Value::text);
        let capacity = t.need("capacity", capacity);
        Some(Fluid { title: title?, only, specification: specification?, grade, capacity: capacity? })
    })
}

fn capacity(value: Value<'_>) -> Option<Capacity> {
    value.table(|t| {
        let filled = t.need("filled", |v| v.positive_measure(&OF_FLUIDS));
        let with = t.may("with", Value::text);
        let source = source(t);
        Some(Capacity { filled: filled?, with, source: source? })
    })
}

pub(super) fn parts(sections: &Sections<'_>) -> IndexMap<PartId, Part> {
    let mut replaced = Replaced::new();
    sections.parts.read(|v| part(v, sections, &mut replaced))
}

/// Which part takes the place of which, and where that is written.
type Replaced = IndexMap<PartId, (PartId, Span)>;

fn part(value: Value<'_>, sections: &Sections<'_>, replaced: &mut Replaced) -> Option<Part> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let price = t.need("price", Value::money);
        let replaces = t.may("replaces", |v| {
            let old = sections.parts.find(v)?;
            sections.replaces.link(t.name().id(), old.as_str(), v.span());
            let new = PartId::from(t.name().id());
            match replaced.get(&old) {
                Some((first, there)) if *first != new => {
                    v.fault_between(SheetFault::ReplacedTwice { part: old.clone() }, there.clone());
                }
                _ => {
                    replaced.insert(old.clone(), (new, v.span()));
                }
            }
            Some(old)
        });
        let changed = t.may("changed", Value::text);
        let together = t.list("together", |v| sections.parts.find(v));
        let shelf_age = t.may("shelf-age", years);
        let source = source(t);
        Some(Part { title: title?, price: price?, replaces, changed, together, shelf_age, source: source? })
    })
}
