//! Questions, explanations and words for people, in plain words.

use super::{Facts, Words, phrases::*};
use crate::model::*;
use quantity::Unit;

impl Words<'_> {
    pub(super) fn question(&self, of: &Question) -> Facts {
        let raised_by = of.raised_by.iter().map(|of| {
            let what = match &of.states[..] {
                [] => "past a limit, or worse than settled".to_owned(),
                states => states.iter().map(|id| format!("`{id}`")).collect::<Vec<_>>().join(" or "),
            };
            (of.check.to_string(), format!("{}: {what}", self.named_check(&of.check)))
        });
        let otherwise = of.otherwise.iter().map(|(check, (low, high))| {
            let range = bounds(Some(*low), Some(*high), self.unit(check));
            (check.to_string(), format!("{}: {range}", self.named_check(check)))
        });
        self.only(Facts::new(), &of.only)
            .each("raised-by", raised_by)
            .say("none", format!("none of the explanations, {}", number(of.none)))
            .each("otherwise", otherwise)
            .say("source", &of.source)
    }

    pub(super) fn explanation(&self, of: &Explanation) -> Facts {
        let facts =
            Facts::new().say("question", self.named_question(&of.question)).may("says", of.says.as_ref());
        self.only(facts, &of.only)
            .may("prior", of.prior.map(number))
            .may("component", of.component.as_ref().map(|id| self.named_component(id)))
            .each(
                "shows",
                of.shows.iter().map(|sign| {
                    let at = sign
                        .place
                        .as_ref()
                        .map(|place| format!(", {}", self.place(place)))
                        .unwrap_or_default();
                    let item =
                        sign.place.as_ref().map_or(sign.check.to_string(), |p| format!("{} {p}", sign.check));
                    (item, format!("{}{at}: {}", self.named_check(&sign.check), self.shows(sign)))
                }),
            )
            .may("put-right", of.put_right.as_ref().map(|id| self.named_operation(id)))
            .say("source", &of.source)
    }

    fn shows(&self, sign: &Sign) -> String {
        let unit = self.unit(&sign.check);
        match &sign.shows {
            Shows::States(states) => {
                let words = states.iter().map(|(id, likelihood)| match likelihood {
                    Likelihood::Often(often) => format!("`{id}` {}", often.title()),
                    Likelihood::Share(share) => format!("`{id}` {} % of the time", number(share * 100.0)),
                });
                words.collect::<Vec<_>>().join(", ")
            }
            Shows::Reads(Expected::Value { value, spread }) => {
                format!("near {}, give or take {}", measure(*value, unit), measure(*spread, unit))
            }
            Shows::Reads(Expected::Formula { formula, gives, inputs, onto, spread }) => {
                let onto = match *onto {
                    0.0 => String::new(),
                    onto => format!("{} and ", measure(onto, unit)),
                };
                format!(
                    "near {onto}what the formula `{formula}` ({gives}) makes of {}, give or take {}",
                    self.inputs(inputs),
                    measure(*spread, unit)
                )
            }
            Shows::Reads(Expected::Between { from, to }) => bounds(Some(*from), Some(*to), unit),
        }
    }

    pub(super) fn look_alike(&self, of: &LookAlike) -> Facts {
        Facts::new()
            .list("checks", of.checks.iter().map(|id| self.named_check(id)))
            .list("could-be", of.could_be.iter().cloned())
            .say("told-apart", &of.told_apart)
    }

    fn unit(&self, check: &crate::ids::CheckId) -> Unit {
        self.sheet.checks.get(check).and_then(Check::unit).unwrap_or(Unit::ONE)
    }
}
