//! Work, what it obliges to and what failing leads to, in plain words.

use super::{Facts, Words, phrases::*};
use crate::model::*;

impl Words<'_> {
    pub(super) fn access(&self, of: &Access) -> Facts {
        self.only(Facts::new(), &of.only)
            .list("needs", of.needs.iter().map(|id| self.named_access(id)))
            .say("hours", number(of.hours))
            .list("obliges", of.obliges.iter().map(|id| self.named_obligation(id)))
            .may("caution", of.caution.as_ref())
    }

    pub(super) fn operation(&self, of: &Operation) -> Facts {
        let facts = Facts::new().say("component", self.named_component(&of.component));
        let step = |(n, of): (usize, &Step)| {
            let fasteners: Vec<_> = of.fasteners.iter().map(|id| self.named_fastener(id)).collect();
            let fasteners = (!fasteners.is_empty()).then(|| fasteners.join(", "));
            let hold = of.hold.as_ref().map(|hold| format!("before going on: {hold}"));
            let second = of.second_look.then(|| "a second look before going on".to_owned());
            (
                (n + 1).to_string(),
                format!(
                    "{}{}",
                    of.does.trim_end_matches('.'),
                    also(&[fasteners, hold, second, of.caution.clone()])
                ),
            )
        };
        self.only(facts, &of.only)
            .only_if("renews", of.renews, "the component is new afterwards")
            .only_if("each", of.each, "place by place")
            .list("needs", of.needs.iter().map(|id| self.named_access(id)))
            .say("hours", number(of.hours))
            .each(
                "parts",
                of.parts.iter().map(|of| {
                    (of.part.to_string(), format!("{} × {}", of.quantity, self.named_part(&of.part)))
                }),
            )
            .each(
                "fluids",
                of.fluids.iter().map(|of| {
                    (of.fluid.to_string(), format!("{} of {}", of.quantity, self.named_fluid(&of.fluid)))
                }),
            )
            .each("steps", of.steps.iter().enumerate().map(step))
            .list("with", of.with.iter().map(|id| self.named_operation(id)))
            .list("obliges", of.obliges.iter().map(|id| self.named_obligation(id)))
            .may("caution", of.caution.as_ref())
    }

    pub(super) fn consequence(&self, of: &Consequence) -> Facts {
        Facts::new()
            .say("says", &of.says)
            .say("costs", format!("{} {}", of.costs, self.sheet.currency))
            .list("warns", of.warns.iter().cloned())
            .each(
                "then",
                of.then.iter().map(|(to, probability)| {
                    let says = format!(
                        "{}, {} % of the time",
                        self.named_consequence(to),
                        number(probability * 100.0)
                    );
                    (to.to_string(), says)
                }),
            )
            .say("source", &of.source)
    }

    pub(super) fn while_apart(&self, of: &WhileApart) -> Facts {
        self.only(Facts::new(), &of.only)
            .list("apart", of.apart.iter().map(|id| self.named_access(id)))
            .each(
                "offer",
                of.offer.iter().map(|offer| {
                    let from = offer.from.as_ref().map(|from| format!("from {}", trigger(from)));
                    let says = format!(
                        "{}: {}{}",
                        self.named_operation(&offer.operation),
                        offer.why.trim_end_matches('.'),
                        also(&[from])
                    );
                    (offer.operation.to_string(), says)
                }),
            )
            .say("source", &of.source)
    }
}

pub(super) fn obligation(of: &Obligation) -> Facts {
    let due = match &of.after {
        Some(after) => format!("{} after leaving", trigger(after)),
        None => "before the keys go back".to_owned(),
    };
    Facts::new()
        .may("how", of.how.as_ref())
        .may("caution", of.caution.as_ref())
        .may(
            "guards",
            of.guards.map(|guard| format!("{}: can never be waived", guard.title().to_lowercase())),
        )
        .may(
            "value",
            of.value.as_ref().map(|of| format!("{}{}", bounds(of.min, of.max, of.unit), from(&of.source))),
        )
        .say("after", due)
        .say("source", &of.source)
}
