//! `[explanation.springs-exchanged]`: what may be behind what was found, and what would then be found.

use super::{
    Reader, Table, Value,
    check::Components,
    derived::{Call, For, Link, call},
    only::only,
    question::{Checks, range},
    scale::{at, wide},
    sections::Sections,
    source,
    states::no_state,
};
use crate::{
    SheetFault,
    ids::*,
    model::*,
    table::{Shape, nearest},
};
use indexmap::IndexMap;
use quantity::Unit;

pub(super) fn explanations(
    reader: &Reader,
    sections: &Sections<'_>,
    components: &Components,
    checks: &Checks,
    questions: &IndexMap<QuestionId, Question>,
    links: &mut Vec<Link>,
) -> IndexMap<ExplanationId, Explanation> {
    let explanations =
        sections.explanations.read(|v| explanation(v, sections, components, checks, questions, links));
    for id in questions.keys() {
        let asked = sections.explanations.values().any(|v| v.peek("question") == Some(id.as_str()));
        if let (false, Some(at)) = (asked, sections.questions.span(id.as_str())) {
            reader.fault(SheetFault::NothingExplains { question: id.clone() }, at);
        }
    }
    explanations
}

fn explanation(
    value: Value<'_>,
    sections: &Sections<'_>,
    components: &Components,
    checks: &Checks,
    questions: &IndexMap<QuestionId, Question>,
    links: &mut Vec<Link>,
) -> Option<Explanation> {
    value.table(|t| {
        let question = t.need("question", |v| sections.questions.find(v));
        let title = t.need("title", Value::text);
        let says = t.may("says", Value::text);
        let only = only(t, sections);
        let prior = t.may("prior", |v| v.number_that(|prior| prior > 0.0, "more than 0, such as 0.2"));
        let component = t.may("component", |v| sections.components.find(v));
        super::needs_one_of(t, &["prior", "component"]);
        if let (None, Some(id), Some(value)) = (t.get("prior"), &component, t.get("component"))
            && components.get(id).is_some_and(|component| component.life.is_none())
        {
            value.fault(SheetFault::NoPrior { component: id.clone() });
        }
        let asked = question.as_ref().and_then(|id| questions.get_key_value(id));
        let shows = t.need("shows", |v| {
            v.list_of(1, "at least one sign", |v| sign(v, sections, components, checks, asked, links))
        });
        let put_right = t.may("put-right", |v| sections.operations.find(v));
        let source = source(t);
        Some(Explanation {
            question: question?,
            title: title?,
            says,
            only,
            prior,
            component,
            shows: shows?,
            put_right,
            source: source?,
        })
    })
}

fn sign(
    value: Value<'_>,
    sections: &Sections<'_>,
    components: &Components,
    checks: &Checks,
    question: Option<(&QuestionId, &Question)>,
    links: &mut Vec<Link>,
) -> Option<Sign> {
    value.table(|t| {
        let check = t.need("check", |v| sections.checks.find(v));
        let known = check.as_ref().and_then(|id| checks.get(id));
        let place = t.may("place", |v| place(v, known, components));
        let states = t.may("states", |v| states(v, known));
        let reads = t.may("reads", |v| {
            let check = check.clone()?;
            if let Some((question, asked)) = question
                && !asked.otherwise.contains_key(&check)
                && known.is_some_and(|check| check.unit().is_some())
            {
                let question = question.clone();
                v.fault(SheetFault::NoOtherwise { check: check.clone(), question });
            }
            let unit = sections.unit_of(&check);
            if unit.is_none() && known.is_some() {
                v.fault(SheetFault::InputNotNumber { check: check.clone() });
            }
            expected(v, unit, For { check, place: place.clone(), is_made: false }, sections, links)
        });
        let shows = match (t.get("states"), t.get("reads")) {
            (None, None) => {
                super::needs_one_of(t, &["states", "reads"]);
                None
            }
            (Some(_), Some(second)) => {
                let of = t.name().to_string();
                second.fault(SheetFault::Both { of, first: "states", second: "reads" });
                None
            }
            (Some(_), None) => states.map(Shows::States),
            (None, Some(_)) => reads.map(Shows::Reads),
        };
        Some(Sign { check: check?, place, shows: shows? })
    })
}

fn place(value: Value<'_>, check: Option<&Check>, components: &Components) -> Option<Place> {
    let place = value.str()?;
    let check = check?;
    let its = &components.get(&check.component)?.places;
    let found = its.iter().find(|known| known.as_str() == place).cloned();
    if found.is_none() {
        let nearest = nearest(place, its.iter().map(Place::as_str)).map(str::to_owned);
        let (place, component, places) = (place.to_owned(), check.component.clone(), its.clone());
        value.fault(SheetFault::NotAPlace { place, component, nearest, places });
    }
    found
}

/// `{ right = "never", wrong = "nearly-always" }`, or probabilities; what is left out shares the rest.
fn states(value: Value<'_>, check: Option<&Check>) -> Option<IndexMap<StateId, Likelihood>> {
    value.table(|t| {
        let mut states = IndexMap::new();
        for (id, at, value) in t.entries() {
            if let Some(check) = check
                && !check.states().iter().any(|state| state.id.as_str() == id)
            {
                t.reader().fault(no_state(id, check.states()), at);
            }
            if let Some(likelihood) = likelihood(value) {
                states.insert(StateId::from(id), likelihood);
            }
        }
        if t.entries().next().is_none() {
            return value.out_of_range("at least one state");
        }
        shares(t, &states, check);
        Some(states)
    })
}

fn likelihood(value: Value<'_>) -> Option<Likelihood> {
    if value.shape() == Shape::Text {
        return value.word(Often::WORDS).map(Likelihood::Often);
    }
    value
        .number_that(|share| share > 0.0 && share < 1.0, "a probability above 0 and below 1, or a word")
        .map(Likelihood::Share)
}

/// Probabilities leave something for the states left out, and make 1 where none is.
fn shares(t: &Table<'_>, states: &IndexMap<StateId, Likelihood>, check: Option<&Check>) {
    let shares: Option<f64> = states
        .values()
        .map(|likelihood| match likelihood {
            Likelihood::Share(share) => Some(*share),
            Likelihood::Often(_) => None,
        })
        .sum();
    let Some(sum) = shares else { return }; // words are weighed against each other
    let all = check.is_some_and(|check| check.states().len() <= states.len());
    if if all { (sum - 1.0).abs() > 1e-6 } else { sum >= 1.0 && check.is_some() } {
        t.fault(SheetFault::Likelihoods { of: t.name().to_string(), sum, all });
    }
}

/// `{ value = …, spread = … }`, `{ formula = …, inputs = …, spread = … }` or `{ from = …, to = … }`.
fn expected(
    value: Value<'_>,
    unit: Option<Unit>,
    of: For,
    sections: &Sections<'_>,
    links: &mut Vec<Link>,
) -> Option<Expected> {
    const WAYS: &[&str] = &["value", "formula", "from"];
    value.table(|t| {
        let mut ways = WAYS.iter().filter(|key| t.get(key).is_some());
        let Some(first) = ways.next() else {
            ["gives", "inputs", "onto", "spread", "to"].iter().for_each(|key| _ = t.get(key));
            super::needs_one_of(t, WAYS);
            return None;
        };
        if let Some(second) = ways.next() {
            ["gives", "inputs", "onto", "spread", "to"].iter().for_each(|key| _ = t.get(key));
            t.get(second)?.fault(SheetFault::Both { of: t.name().to_string(), first, second });
            return None;
        }
        let spread = || {
            t.need("spread", |v| {
                let spread = wide(v, unit, "spread")?;
                if spread > 0.0 { Some(spread) } else { v.out_of_range("more than 0") }
            })
        };
        match *first {
            "value" => {
                let value = t.need("value", |v| at(v, unit, "expected value"));
                let spread = spread();
                Some(Expected::Value { value: value?, spread: spread? })
            }
            "formula" => {
                let call = call(t, unit, of, sections, links);
                let onto = t.may("onto", |v| at(v, unit, "value")).unwrap_or(0.0);
                let spread = spread();
                let Call { formula, gives, inputs } = call?;
                Some(Expected::Formula { formula, gives, inputs, onto, spread: spread? })
            }
            _ => range(t, unit).map(|(from, to)| Expected::Between { from, to }),
        }
    })
}
