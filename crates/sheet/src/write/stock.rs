//! Fluids, fasteners and parts.

use super::{
    checks::{limit, new},
    only,
    toml_text::Entries,
    unit_of,
};
use crate::model::*;
use quantity::{Quantity, Unit};

pub(super) fn fluid(fluid: &Fluid) -> Entries {
    let Capacity { filled, dry, with, source } = &fluid.capacity;
    let capacity = Entries::new()
        .text("filled", &filled.ucum())
        .may_text("dry", &dry.as_ref().map(Quantity::ucum))
        .may_text("with", with)
        .text("source", source);
    only(Entries::new().text("title", &fluid.title), &fluid.only)
        .text("specification", &fluid.specification)
        .may_text("grade", &fluid.grade)
        .list("grades", &fluid.grades, |of| {
            Entries::new().text("grade", &of.grade).may_measure("from", of.from, Unit::CELSIUS).may_measure(
                "to",
                of.to,
                Unit::CELSIUS,
            )
        })
        .table("capacity", capacity)
        .list("drain", &fluid.drain, opening)
        .list("fill", &fluid.fill, opening)
        .may_text("caution", &fluid.caution)
}

pub(super) fn fastener(fastener: &Fastener) -> Entries {
    let entries = Entries::new().text("title", &fastener.title).may_text("component", &fastener.component);
    only(entries, &fastener.only)
        .may_text("thread", &fastener.thread)
        .may_count("count", fastener.count)
        .list("stages", &fastener.stages, |stage| match stage {
            Stage::Torque(torque, None) => Entries::new().measure("torque", *torque, Unit::N_M),
            Stage::Torque(torque, Some(tolerance)) => Entries::new().table(
                "torque",
                Entries::new().measure("value", *torque, Unit::N_M).measure(
                    "tolerance",
                    *tolerance,
                    Unit::N_M,
                ),
            ),
            Stage::Angle(angle) => Entries::new().measure("angle", *angle, Unit::DEG),
            Stage::Loosen(angle) => Entries::new().measure("loosen", *angle, Unit::DEG),
        })
        .may_text("sequence", &fastener.sequence)
        .text("reuse", fastener.reuse.id())
        .may_text("reuse-if", &fastener.reuse_if)
        .may_text("threads", &fastener.threads)
        .may_text("caution", &fastener.caution)
        .text("source", &fastener.source)
}

pub(super) fn part(part: &Part, sheet: &Sheet) -> Entries {
    only(Entries::new().text("title", &part.title).text("price", &part.price.to_string()), &part.only)
        .texts("marks", &part.marks)
        .may_text("component", &part.component)
        .texts("places", &part.places)
        .may_text("replaces", &part.replaces)
        .may_text("changed", &part.changed)
        .flag("both-ways", part.both_ways)
        .texts("together", &part.together)
        .may_measure("shelf-age", part.shelf_age, Unit::YEAR)
        .list("alternatives", &part.alternatives, |of| {
            Entries::new().text("part", of.part.as_str()).text("says", &of.says).list(
                "changes",
                &of.changes,
                |change| {
                    let unit = unit_of(sheet, &change.check);
                    Entries::new()
                        .text("check", change.check.as_str())
                        .may("new", &change.new, |of| new(of, unit))
                        .may("limit", &change.limit, |of| limit(of, unit))
                },
            )
        })
        .text("source", &part.source)
}

fn opening(opening: &Opening) -> Entries {
    Entries::new()
        .text("at", &opening.at)
        .may_text("fastener", &opening.fastener)
        .may_text("level", &opening.level)
}
