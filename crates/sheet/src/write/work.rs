//! Work, what it obliges to and what failing leads to.

use super::{only, toml_text::Entries, trigger};
use crate::model::*;

pub(super) fn access(access: &Access) -> Entries {
    only(Entries::new().text("title", &access.title), &access.only)
        .texts("needs", &access.needs)
        .number("hours", access.hours)
        .texts("obliges", &access.obliges)
        .may_text("caution", &access.caution)
}

pub(super) fn operation(operation: &Operation) -> Entries {
    let entries =
        Entries::new().text("title", &operation.title).text("component", operation.component.as_str());
    only(entries, &operation.only)
        .flag("renews", operation.renews)
        .flag("each", operation.each)
        .texts("needs", &operation.needs)
        .number("hours", operation.hours)
        .list("parts", &operation.parts, |of| {
            Entries::new().text("part", of.part.as_str()).count("quantity", of.quantity)
        })
        .list("fluids", &operation.fluids, |of| {
            Entries::new().text("fluid", of.fluid.as_str()).text("quantity", &of.quantity.ucum())
        })
        .list("steps", &operation.steps, |of| {
            Entries::new()
                .text("do", &of.does)
                .may_text("hold", &of.hold)
                .flag("second-look", of.second_look)
                .texts("fasteners", &of.fasteners)
                .may_text("caution", &of.caution)
        })
        .texts("with", &operation.with)
        .texts("obliges", &operation.obliges)
        .may_text("caution", &operation.caution)
}

pub(super) fn obligation(obligation: &Obligation) -> Entries {
    Entries::new()
        .text("title", &obligation.title)
        .may_text("how", &obligation.how)
        .may_text("caution", &obligation.caution)
        .may_text("guards", &obligation.guards.map(Guard::id))
        .may("value", &obligation.value, |of| {
            Entries::new()
                .text("unit", of.unit.code())
                .may_measure("min", of.min, of.unit)
                .may_measure("max", of.max, of.unit)
                .text("source", &of.source)
        })
        .may("after", &obligation.after, trigger)
        .text("source", &obligation.source)
}

pub(super) fn consequence(consequence: &Consequence) -> Entries {
    Entries::new()
        .text("title", &consequence.title)
        .text("says", &consequence.says)
        .text("costs", &consequence.costs.to_string())
        .texts("warns", &consequence.warns)
        .list("then", &consequence.then, |(to, probability)| {
            Entries::new().text("to", to.as_str()).number("probability", *probability)
        })
        .text("source", &consequence.source)
}

pub(super) fn while_apart(of: &WhileApart) -> Entries {
    only(Entries::new().text("title", &of.title), &of.only)
        .texts("apart", &of.apart)
        .list("offer", &of.offer, |offer| {
            Entries::new().text("operation", offer.operation.as_str()).text("why", &offer.why).may(
                "from",
                &offer.from,
                trigger,
            )
        })
        .text("source", &of.source)
}
