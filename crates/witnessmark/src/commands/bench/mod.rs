//! The bench on the command line: the formulas of the trade by their ids.

pub mod calc;
mod given;
mod list;
pub mod uncertainty;

use super::{print_json, rounded};
use crate::error::{Failed, WrongFormula};
use ::bench::{Formula, Output};
use serde_json::{Value, json};

/// The formula of this id, or that there is none.
fn formula(id: &str) -> Result<&'static Formula, Failed> {
    ::bench::formula(id).map_err(|error| {
        Failed::Formula(WrongFormula {
            problems: error.problems().iter().map(ToString::to_string).collect(),
            help: "`witnessmark calc list` names every formula".into(),
        })
    })
}

/// A unit in JSON: its UCUM code, or null for words.
fn unit(output: &Output) -> Value {
    output.unit.map_or(Value::Null, |unit| json!(unit))
}
