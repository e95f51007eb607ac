//! Questions, explanations and words for people.

use super::{checks::call, only, toml_text::Entries, unit_of};
use crate::model::*;

pub(super) fn question(question: &Question, sheet: &Sheet) -> Entries {
    let otherwise: Vec<_> = question.otherwise.iter().collect();
    only(Entries::new().text("title", &question.title), &question.only)
        .list("raised-by", &question.raised_by, |of| {
            Entries::new().text("check", of.check.as_str()).texts("states", &of.states)
        })
        .number("none", question.none)
        .list("otherwise", &otherwise, |(check, (from, to))| {
            let unit = unit_of(sheet, check);
            Entries::new().text("check", check.as_str()).measure("from", *from, unit).measure("to", *to, unit)
        })
        .text("source", &question.source)
}

pub(super) fn explanation(explanation: &Explanation, sheet: &Sheet) -> Entries {
    let entries = Entries::new()
        .text("question", explanation.question.as_str())
        .text("title", &explanation.title)
        .may_text("says", &explanation.says);
    only(entries, &explanation.only)
        .may_number("prior", explanation.prior)
        .may_text("component", &explanation.component)
        .list("shows", &explanation.shows, |of| sign(of, sheet))
        .may_text("put-right", &explanation.put_right)
        .text("source", &explanation.source)
}

pub(super) fn look_alike(of: &LookAlike) -> Entries {
    Entries::new()
        .text("title", &of.title)
        .texts("checks", &of.checks)
        .texts("could-be", &of.could_be)
        .text("told-apart", &of.told_apart)
}

pub(super) fn word(word: &Word) -> Entries {
    Entries::new().text("title", &word.title).texts("also", &word.also).text("says", &word.says)
}

fn sign(sign: &Sign, sheet: &Sheet) -> Entries {
    let unit = unit_of(sheet, &sign.check);
    let entries = Entries::new().text("check", sign.check.as_str()).may_text("place", &sign.place);
    match &sign.shows {
        Shows::States(states) => {
            let states = states.iter().fold(Entries::new(), |entries, (id, likelihood)| match likelihood {
                Likelihood::Often(often) => entries.text(id.as_str(), often.id()),
                Likelihood::Share(share) => entries.number(id.as_str(), *share),
            });
            entries.table("states", states)
        }
        Shows::Reads(Expected::Value { value, spread }) => entries
            .table("reads", Entries::new().measure("value", *value, unit).measure("spread", *spread, unit)),
        Shows::Reads(Expected::Formula { formula, gives, inputs, onto, spread }) => entries.table(
            "reads",
            call(formula, gives, inputs).measure("onto", *onto, unit).measure("spread", *spread, unit),
        ),
        Shows::Reads(Expected::Between { from, to }) => {
            entries.table("reads", Entries::new().measure("from", *from, unit).measure("to", *to, unit))
        }
    }
}
