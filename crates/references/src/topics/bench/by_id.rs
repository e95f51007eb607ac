//! Rows that name a formula of the bench by its id.

use super::{refused, shown};
use crate::{InputError, Inputs};
use bench::Formula;
use serde_json::{Map, Value};

pub(super) fn evaluate(formula: &'static Formula, inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let mut written: Vec<(&str, String)> = vec![];
    for input in &formula.inputs {
        if let Some(value) = inputs.get(input.key) {
            written.push((input.key, text(input.key, value)?));
        }
    }
    let read = formula.read(written.iter().map(|(key, text)| (*key, text.as_str()))).map_err(refused)?;
    let answer = formula.evaluate(&read).map_err(refused)?;
    let results: Map<String, Value> = answer
        .results
        .iter()
        .map(|(output, value)| (output.id.to_owned(), shown(value, output.unit)))
        .collect();
    Ok(Value::Object(results))
}

/// What a person would have typed.
fn text(key: &str, value: &Value) -> Result<String, InputError> {
    match value {
        Value::String(text) => Ok(text.clone()),
        Value::Number(number) => Ok(number.to_string()),
        Value::Array(items) => {
            let items: Result<Vec<String>, InputError> = items.iter().map(|item| text(key, item)).collect();
            Ok(items?.join("; "))
        }
        _ => Err(InputError::refused(format!("input `{key}` must be text, a number or a list of them"))),
    }
}
