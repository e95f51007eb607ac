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

/// A number for people: four figures where it has decimals, whole where it is large.
fn figures(number: f64) -> String {
    if !number.is_finite() {
        return number.to_string();
    }
    let size = if number == 0.0 { 0 } else { number.abs().log10().floor() as i32 };
    quantity::rounding::to_decimals(number, (3 - size).max(0))
}

/// An interval as JSON: an end that is open is null.
fn ends(low: f64, high: f64) -> serde_json::Value {
    let end =
        |at: f64| if at.is_finite() && at > 0.0 { serde_json::json!(at) } else { serde_json::Value::Null };
    serde_json::json!([end(low), end(high)])
}
