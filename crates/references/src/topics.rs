//! Which topic knows which formula id.

mod bench;
mod conformity;
mod diagnosis;
mod life;
mod metrology;
mod planning;
mod usage;
mod wear;

use crate::{InputError, Inputs};
use serde_json::Value;

/// What one topic answers: `None` for a formula id it does not know.
pub(crate) type Answer = Option<Result<Value, InputError>>;

/// Asks each topic in turn.
pub(crate) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    let topics: [fn(&str, &Inputs<'_>) -> Answer; 8] = [
        bench::evaluate,
        conformity::evaluate,
        diagnosis::evaluate,
        life::evaluate,
        metrology::evaluate,
        planning::evaluate,
        usage::evaluate,
        wear::evaluate,
    ];
    topics.into_iter().find_map(|topic| topic(formula, inputs))
}

/// The formula of the bench that answers rows of this name, if one does.
pub(crate) fn bench_formula(row: &str) -> Option<&'static str> {
    bench::formula_of(row)
}
