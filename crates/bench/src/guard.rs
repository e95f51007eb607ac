//! What a formula checks before it computes; NaN passes none of these.

use crate::{BenchError, Dual, Problem};

/// `x`, when it is above zero.
pub(crate) fn above_zero<D: Dual>(what: &'static str, x: D) -> Result<D, BenchError> {
    if x.re() > 0.0 { Ok(x) } else { Err(Problem::NotPositive { what }.into()) }
}

/// `x`, when it is not below zero.
pub(crate) fn not_negative<D: Dual>(what: &'static str, x: D) -> Result<D, BenchError> {
    if x.re() >= 0.0 { Ok(x) } else { Err(Problem::Negative { what }.into()) }
}

/// Nothing, when the rule holds.
pub(crate) fn require(holds: bool, rule: &'static str) -> Result<(), BenchError> {
    if holds { Ok(()) } else { Err(Problem::Impossible { rule }.into()) }
}
