//! `[access.wheels-off]`, `[operation.renew-front-discs]` and `[obligation.wheel-nuts-torqued]`: work, what it needs
//! and what it obliges to.

use super::{OF_FLUIDS, Value, only, scale::bounds, sections::Sections, source, trigger};
use crate::{ids::*, model::*};
use indexmap::IndexMap;

pub(super) fn access(value: Value<'_>, sections: &Sections<'_>) -> Option<Access> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let needs = t.list("needs", |v| {
            let needed = sections.access.find(v)?;
            sections.needs.link(t.name().id(), needed.as_str(), v.span());
            Some(needed)
        });
        let hours = t.need("hours", Value::not_negative);
        let obliges = t.list("obliges", |v| sections.obligations.find(v));
        let caution = t.may("caution", Value::text);
        Some(Access { title: title?, needs, hours: hours?, obliges, caution })
    })
}

pub(super) fn operation(
    value: Value<'_>,
    sections: &Sections<'_>,
    fluids: &IndexMap<FluidId, Fluid>,
) -> Option<Operation> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let component = t.need("component", |v| sections.components.find(v));
        let only = only(t, sections);
        let renews = t.may("renews", Value::flag).unwrap_or(false);
        let each = t.may("each", Value::flag).unwrap_or(false);
        let needs = t.list("needs", |v| sections.access.find(v));
        let hours = t.need("hours", Value::not_negative);
        let parts = t.list("parts", |v| needed_part(v, sections));
        let fluids = t.list("fluids", |v| needed_fluid(v, sections, fluids));
        let with = t.list("with", |v| sections.operations.find(v));
        let obliges = t.list("obliges", |v| sections.obligations.find(v));
        let caution = t.may("caution", Value::text);
        Some(Operation {
            title: title?,
            component: component?,
            only,
            renews,
            each,
            needs,
            hours: hours?,
            parts,
            fluids,
            with,
            obliges,
            caution,
        })
    })
}

fn needed_part(value: Value<'_>, sections: &Sections<'_>) -> Option<NeededPart> {
    value.table(|t| {
        let part = t.need("part", |v| sections.parts.find(v));
        let quantity = t.need("quantity", Value::count);
        Some(NeededPart { part: part?, quantity: quantity? })
    })
}

/// Measured as its capacity is: a volume, or a mass.
fn needed_fluid(
    value: Value<'_>,
    sections: &Sections<'_>,
    fluids: &IndexMap<FluidId, Fluid>,
) -> Option<NeededFluid> {
    value.table(|t| {
        let fluid = t.need("fluid", |v| sections.fluids.find(v));
        let capacity = fluid.as_ref().and_then(|id| fluids.get(id)).map(|fluid| fluid.capacity.filled.kind());
        let quantity = t.need("quantity", |v| match capacity {
            Some(kind) => v.positive_measure(&[kind]),
            None => v.positive_measure(&OF_FLUIDS),
        });
        Some(NeededFluid { fluid: fluid?, quantity: quantity? })
    })
}

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
