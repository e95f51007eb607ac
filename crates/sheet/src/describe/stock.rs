//! Fluids, fasteners and parts in plain words.

use super::{Facts, Words, phrases::*};
use crate::model::*;
use quantity::Unit;

impl Words<'_> {
    pub(super) fn fluid(&self, of: &Fluid) -> Facts {
        let Capacity { filled, dry, with, source } = &of.capacity;
        let dry = dry.as_ref().map(|dry| format!("{dry} when everything is empty"));
        let capacity = format!("{filled} after draining{}{}", also(&[with.clone(), dry]), from(source));
        let opening = |opening: &Opening| {
            let closed = opening.fastener.as_ref().map(|id| format!("closed by {}", self.named_fastener(id)));
            let level = opening.level.as_ref().map(|level| format!("level: {level}"));
            (opening.at.clone(), format!("{}{}", opening.at, also(&[closed, level])))
        };
        self.only(Facts::new(), &of.only)
            .say("specification", &of.specification)
            .may("grade", of.grade.as_ref())
            .each(
                "grades",
                of.grades.iter().map(|of| {
                    let degrees =
                        (of.from.is_some() || of.to.is_some()).then(|| bounds(of.from, of.to, Unit::CELSIUS));
                    (of.grade.clone(), format!("{}{}", of.grade, also(&[degrees])))
                }),
            )
            .say("capacity", capacity)
            .each("drain", of.drain.iter().map(opening))
            .each("fill", of.fill.iter().map(opening))
            .may("caution", of.caution.as_ref())
    }

    pub(super) fn fastener(&self, of: &Fastener) -> Facts {
        let facts = Facts::new().may("component", of.component.as_ref().map(|id| self.named_component(id)));
        let stages: Vec<String> = of.stages.iter().map(stage).collect();
        let reuse = format!("{}{}", of.reuse.title(), also(std::slice::from_ref(&of.reuse_if)));
        self.only(facts, &of.only)
            .may("thread", of.thread.as_ref())
            .may("count", of.count)
            .say("stages", stages.join(", then "))
            .may("sequence", of.sequence.as_ref())
            .say("reuse", reuse)
            .may("threads", of.threads.as_ref())
            .may("caution", of.caution.as_ref())
            .say("source", &of.source)
    }

    pub(super) fn part(&self, of: &Part) -> Facts {
        let both_ways =
            if of.both_ways { "the old one also fits where this one belongs" } else { "one way only" };
        let replaces = of.replaces.as_ref().map(|old| {
            format!("{}{}; {both_ways}", self.named_part(old), also(std::slice::from_ref(&of.changed)))
        });
        let facts = Facts::new().say("price", of.price);
        self.only(facts, &of.only)
            .list("marks", of.marks.iter().cloned())
            .may("component", of.component.as_ref().map(|id| self.named_component(id)))
            .list("places", of.places.iter().map(|place| self.place(place)))
            .may("replaces", replaces)
            .list("together", of.together.iter().map(|id| self.named_part(id)))
            .may("shelf-age", of.shelf_age.and_then(|years| span(None, Some(years))))
            .each(
                "alternatives",
                of.alternatives.iter().map(|of| {
                    let changes = of.changes.iter().map(|change| Some(self.change(change)));
                    let changes: Vec<Option<String>> = changes.collect();
                    (
                        of.part.to_string(),
                        format!("{}: {}{}", self.named_part(&of.part), of.says, also(&changes)),
                    )
                }),
            )
            .say("source", &of.source)
    }

    fn change(&self, change: &Change) -> String {
        let unit = self.sheet.checks.get(&change.check).and_then(Check::unit).unwrap_or(Unit::ONE);
        let new = change.new.as_ref().map(|of| format!("new {}", new(of, unit)));
        let limit = change.limit.as_ref().map(|of| limit(of, unit));
        let then: Vec<String> = new.into_iter().chain(limit).collect();
        format!("{} then {}", self.named_check(&change.check), then.join(", "))
    }
}

fn stage(stage: &Stage) -> String {
    match stage {
        Stage::Torque(torque, None) => measure(*torque, Unit::N_M),
        Stage::Torque(torque, Some(tolerance)) => {
            format!("{} ± {}", measure(*torque, Unit::N_M), measure(*tolerance, Unit::N_M))
        }
        Stage::Angle(angle) => format!("{} further", measure(*angle, Unit::DEG)),
        Stage::Loosen(angle) => format!("loosened by {}", measure(*angle, Unit::DEG)),
    }
}
