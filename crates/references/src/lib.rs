//! Check values from outside the project, run through the rooms by formula id.
//!
//! A file under `reference/` holds rows: a formula id, inputs, the expected numbers with a tolerance that follows
//! from the digits printed, the source, and how we have it. [`run`] sends each row to the topic that knows its
//! formula and compares what comes back. Any file in the same form runs just as well, with other inputs.
//!
//! ```
//! let file = r#"{ "topic": "metrology", "checks": [ {
//!     "id": "half-width", "formula": "rect", "inputs": { "a": 3.0 }, "expected": { "u": 1.7320508 },
//!     "tolerance": { "rel": 1e-6 }, "source": "arithmetic", "provenance": "exact-identity" } ] }"#;
//! let outcomes = references::run(file).unwrap();
//! assert_eq!(outcomes[0].id, "half-width");
//! ```
//!
//! **Adding a formula:** give it an arm in the `evaluate` function of its topic's module, reading what it needs from
//! [`Inputs`] and answering with the same names that `expected` uses.

mod compare;
mod inputs;
mod topics;

pub use inputs::{InputError, Inputs};

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// A whole file of check values.
#[derive(Debug, Deserialize)]
pub struct File {
    /// What the rows are about; shown beside each outcome.
    pub topic: String,
    /// The rows.
    pub checks: Vec<Row>,
    /// Named inputs that several rows share; a row refers to one as `inputs.data`. A row that carries on with the inputs
    /// of another names it as `inputs.from`.
    #[serde(default)]
    pub data: Map<String, Value>,
}

/// One check value with its origin.
#[derive(Debug, Deserialize)]
pub struct Row {
    pub id: String,
    pub formula: String,
    pub inputs: Map<String, Value>,
    pub expected: Value,
    pub tolerance: Tolerance,
    pub source: String,
    /// `published`, `reference-library`, `exact-identity`, `common-practice` or `memory`.
    pub provenance: String,
}

/// How far a number may be from the one expected; the wider of the two counts.
#[derive(Debug, Clone, Copy, Default, Deserialize, Serialize)]
#[serde(default)]
pub struct Tolerance {
    pub abs: f64,
    pub rel: f64,
}

/// What became of one row.
#[derive(Debug, Clone, Serialize)]
pub struct Outcome {
    pub id: String,
    pub topic: String,
    pub formula: String,
    pub result: Result,
    /// What the rooms answered; `null` where the formula is not covered or refused its inputs.
    pub got: Value,
    pub want: Value,
    pub tolerance: Tolerance,
    pub source: String,
    pub provenance: String,
    /// Where the two part, or why the inputs were refused; empty when the row holds.
    pub remark: String,
}

/// Whether a row holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Result {
    Holds,
    Differs,
    NotCovered,
}

/// Runs every row of a file.
///
/// # Errors
/// The message of the JSON reader, when the text is not a file of this form.
pub fn run(text: &str) -> std::result::Result<Vec<Outcome>, serde_json::Error> {
    let file: File = serde_json::from_str(text)?;
    Ok(file.checks.iter().map(|row| outcome(&file, row)).collect())
}

/// The id of the bench's formula that answers rows of this name, if one does.
pub fn bench_formula(row: &str) -> Option<&'static str> {
    topics::bench_formula(row)
}

fn outcome(file: &File, row: &Row) -> Outcome {
    let inputs = Inputs::new(row, file);
    let (result, got, remark) = match topics::evaluate(&row.formula, &inputs) {
        None => (Result::NotCovered, Value::Null, String::new()),
        Some(Err(error)) => (Result::Differs, Value::Null, error.to_string()),
        Some(Ok(got)) => match compare::difference(&row.expected, &got, row.tolerance) {
            None => (Result::Holds, got, String::new()),
            Some(remark) => (Result::Differs, got, remark),
        },
    };
    Outcome {
        id: row.id.clone(),
        topic: file.topic.clone(),
        formula: row.formula.clone(),
        result,
        got,
        want: row.expected.clone(),
        tolerance: row.tolerance,
        source: row.source.clone(),
        provenance: row.provenance.clone(),
        remark,
    }
}
