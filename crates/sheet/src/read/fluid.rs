//! `[fluid.engine-oil]`: what is filled in.

use super::{OF_FLUIDS, Value, only::only, sections::Sections, source};
use crate::{SheetFault, model::*};
use quantity::Unit;

pub(super) fn fluid(value: Value<'_>, sections: &Sections<'_>) -> Option<Fluid> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let only = only(t, sections);
        let specification = t.need("specification", Value::text);
        let grade = t.may("grade", Value::text);
        let grades = t.list("grades", by_climate);
        if let (Some(_), Some(second)) = (t.get("grade"), t.get("grades")) {
            let of = t.name().to_string();
            second.fault(SheetFault::Both { of, first: "grade", second: "grades" });
        }
        let capacity = t.need("capacity", capacity);
        let drain = t.list("drain", |v| opening(v, sections));
        let fill = t.list("fill", |v| opening(v, sections));
        let caution = t.may("caution", Value::text);
        Some(Fluid {
            title: title?,
            only,
            specification: specification?,
            grade,
            grades,
            capacity: capacity?,
            drain,
            fill,
            caution,
        })
    })
}

fn capacity(value: Value<'_>) -> Option<Capacity> {
    value.table(|t| {
        let filled = t.need("filled", |v| v.positive_measure(&OF_FLUIDS));
        let dry = t.may("dry", |v| {
            let dry = match &filled {
                Some(filled) => v.positive_measure(&[filled.kind()]),
                None => v.positive_measure(&OF_FLUIDS),
            }?;
            let less = filled.as_ref().filter(|filled| dry.compare(filled).is_ok_and(|order| order.is_lt()));
            if let Some(filled) = less {
                v.fault(SheetFault::DryBelowFilled { dry: dry.to_string(), filled: filled.to_string() });
            }
            Some(dry)
        });
        let with = t.may("with", Value::text);
        let source = source(t);
        Some(Capacity { filled: filled?, dry, with, source: source? })
    })
}

fn by_climate(value: Value<'_>) -> Option<Grade> {
    value.table(|t| {
        let grade = t.need("grade", Value::text);
        let (from, to) = (t.may("from", degrees_celsius), t.may("to", degrees_celsius));
        if let (Some(min), Some(max)) = (from, to)
            && min >= max
        {
            t.fault(SheetFault::FromTo { of: t.name().to_string(), from: min, to: max, unit: Unit::CELSIUS });
        }
        Some(Grade { grade: grade?, from, to })
    })
}

fn degrees_celsius(value: Value<'_>) -> Option<f64> {
    let found = value.measure(&[Unit::CELSIUS.kind()])?;
    found.value_in(Unit::CELSIUS).ok()
}

fn opening(value: Value<'_>, sections: &Sections<'_>) -> Option<Opening> {
    value.table(|t| {
        let at = t.need("at", Value::text);
        let fastener = t.may("fastener", |v| sections.fasteners.find(v));
        let level = t.may("level", Value::text);
        Some(Opening { at: at?, fastener, level })
    })
}
