//! The formulas of the trade.
//!
//! A row may name a formula of the bench by its id and write its inputs as people do ("172 mm", a list, a name);
//! what it expects is then in the unit that the formula shows. Or it may use one of the names of [`table`], which
//! say the unit in each key.

mod by_id;
mod codes;
mod table;

use super::Answer;
use crate::{InputError, Inputs};
use bench::{BenchError, Number};
use quantity::Unit;
use serde_json::{Value, json};

pub(crate) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    codes::evaluate(formula, inputs)
        .or_else(|| table::evaluate(formula, inputs))
        .or_else(|| bench::formula(formula).ok().map(|known| by_id::evaluate(known, inputs)))
}

/// The formula of the bench that answers rows of this name, if one does.
pub(crate) fn formula_of(row: &str) -> Option<&'static str> {
    bench::formula(row)
        .ok()
        .map(|formula| formula.id)
        .or_else(|| table::formula_of(row))
        .or_else(|| codes::formula_of(row))
}

fn refused(error: BenchError) -> InputError {
    InputError::refused(error)
}

/// A result as a row expects it, in `unit`.
fn shown(value: &bench::Value, unit: Option<Unit>) -> Value {
    let number = |number: &Number| json!(unit.map_or(number.si, |unit| unit.from_si(number.si)));
    match value {
        bench::Value::Number(one) => number(one),
        bench::Value::Numbers(all) => all.iter().map(number).collect(),
        bench::Value::Text(text) => json!(text),
        bench::Value::Texts(texts) => json!(texts),
    }
}
