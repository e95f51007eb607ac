//! The list of all formulas.

use crate::evaluate::nearest;
use crate::{BenchError, Formula, Problem};
use crate::{belts, brakes, valve_train};
use std::sync::LazyLock;

static FORMULAS: LazyLock<Vec<Formula>> = LazyLock::new(|| {
    vec![
        valve_train::installed_height::formula(),
        brakes::wear_left::pad(),
        brakes::wear_left::disc(),
        brakes::thickness_variation::formula(),
        belts::span_tension::tension(),
        belts::span_tension::frequency(),
    ]
});

/// All formulas, by job.
pub fn formulas() -> &'static [Formula] {
    &FORMULAS
}

/// The formula with this id.
///
/// # Errors
/// [`Problem::UnknownFormula`] with the nearest id that exists.
pub fn formula(id: &str) -> Result<&'static Formula, BenchError> {
    FORMULAS.iter().find(|formula| formula.id == id).ok_or_else(|| {
        let nearest = nearest(id, FORMULAS.iter().map(|formula| formula.id));
        Problem::UnknownFormula { id: id.to_owned(), nearest }.into()
    })
}
