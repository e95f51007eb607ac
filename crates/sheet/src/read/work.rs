//! `[access.wheels-off]` and `[operation.renew-front-discs]`: work and what it needs.

use super::{OF_FLUIDS, Value, only::only, sections::Sections};
use crate::{ids::*, model::*, table::Shape};
use indexmap::IndexMap;

pub(super) fn access(value: Value<'_>, sections: &Sections<'_>) -> Option<Access> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let only = only(t, sections);
        let needs = t.list("needs", |v| {
            let needed = sections.access.find(v)?;
            sections.needs.link(t.name().id(), needed.as_str(), v.span());
            Some(needed)
        });
        let hours = t.need("hours", Value::not_negative);
        let obliges = t.list("obliges", |v| sections.obligations.find(v));
        let caution = t.may("caution", Value::text);
        Some(Access { title: title?, only, needs, hours: hours?, obliges, caution })
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
        let steps = t.list("steps", |v| step(v, sections));
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
            steps,
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

/// A sentence, or a table that says more.
fn step(value: Value<'_>, sections: &Sections<'_>) -> Option<Step> {
    if value.shape() != Shape::Table {
        let does = value.text()?;
        return Some(Step { does, hold: None, second_look: false, fasteners: vec![], caution: None });
    }
    value.table(|t| {
        let does = t.need("do", Value::text);
        let hold = t.may("hold", Value::text);
        let second_look = t.may("second-look", Value::flag).unwrap_or(false);
        let fasteners = t.list("fasteners", |v| sections.fasteners.find(v));
        let caution = t.may("caution", Value::text);
        Some(Step { does: does?, hold, second_look, fasteners, caution })
    })
}
