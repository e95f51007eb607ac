//! `[[calculation]]`: a formula of the bench on numbers of this car.

use super::{RecordFault, Root, Value, nearest};
use crate::calculation::kept;
use jiff::civil::Date;
use journal::Known;
use sheet::diagnostic::Span;
use sheet::table::Shape;

pub(super) fn read(t: &Root<'_>, visit: &str, on: Date) -> Option<Known> {
    let formula = t.need("formula", |value| {
        let id = value.str()?;
        bench::formula(id).ok().or_else(|| {
            let nearest = nearest(id, bench::formulas().iter().map(|formula| formula.id));
            value.fault(RecordFault::NoFormula { formula: id.to_owned(), nearest });
            None
        })
    });
    let inputs = t.need("inputs", |value| {
        let whole = value.span();
        let inputs = value.table(|inputs| {
            let typed: Vec<_> = inputs.entries().map(|(key, at, value)| (key, at, typed(value))).collect();
            typed
                .into_iter()
                .map(|(key, at, text)| Some((key.to_owned(), at, text?)))
                .collect::<Option<Vec<_>>>()
        })?;
        Some((whole, inputs))
    });
    let note = t.may("note", Value::text);
    let (formula, (whole, inputs)) = (formula?, inputs?);
    let typed = inputs.iter().map(|(key, _, text)| (key.clone(), text.clone()));
    match kept(formula, typed, Some(visit), on, note) {
        Ok(known) => Some(known),
        Err(error) => {
            for problem in error.problems() {
                let at = place_of(problem, formula, &inputs).unwrap_or_else(|| whole.clone());
                t.reader().fault(RecordFault::Formula { formula: formula.id, problem: problem.clone() }, at);
            }
            None
        }
    }
}

/// A number with its unit, a word, or a list of them.
fn typed(value: Value<'_>) -> Option<String> {
    if value.shape() == Shape::List {
        return value.list(Value::text).map(|all| all.join("\n"));
    }
    value.text()
}

/// The input that a problem is about.
fn place_of(
    problem: &bench::Problem,
    formula: &bench::Formula,
    inputs: &[(String, Span, String)],
) -> Option<Span> {
    let key = match problem {
        bench::Problem::UnknownInput { key, .. } => key.as_str(),
        other => formula.inputs.iter().find(|input| Some(input.title) == other.input())?.key,
    };
    inputs.iter().find(|(typed, ..)| typed == key).map(|(_, at, _)| at.clone())
}
