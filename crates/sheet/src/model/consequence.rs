//! What a failure takes with it.

use crate::ids::*;
use rust_decimal::Decimal;

/// What a failure leads to.
#[derive(Debug, Clone, PartialEq)]
pub struct Consequence {
    pub title: String,
    /// For the owner, in plain words.
    pub says: String,
    /// Money beyond the planned repair.
    pub costs: Decimal,
    /// How it announces itself, best first.
    pub warns: Vec<String>,
    pub then: Vec<(ConsequenceId, f64)>,
    pub source: String,
}
