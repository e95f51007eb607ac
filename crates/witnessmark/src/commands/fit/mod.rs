//! `witnessmark fit`: the mathematics of lives and wear on a person's own numbers.

mod life;
mod wear;

pub use life::KM_PER_YEAR;

use crate::{arguments::FitCommand, error::Failed};

pub fn run(command: &FitCommand) -> Result<(), Failed> {
    match command {
        FitCommand::Life(of) => life::run(of),
        FitCommand::Wear(of) => wear::run(of),
    }
}

/// A refusal by the mathematics, of a file.
fn refused(path: &std::path::Path) -> impl Fn(prognosis::PrognosisError) -> Failed {
    move |error| Failed::Refused { path: path.display().to_string(), cause: error.to_string() }
}

/// An interval as JSON: an end that is open is null.
fn ends(low: f64, high: f64) -> serde_json::Value {
    let end =
        |at: f64| if at.is_finite() && at > 0.0 { serde_json::json!(at) } else { serde_json::Value::Null };
    serde_json::json!([end(low), end(high)])
}
