//! Words for people.

use crate::ids::*;

/// A word of the trade, in words of an owner.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    pub title: String,
    /// Other ways in which the trade says it.
    pub also: Vec<String>,
    pub says: String,
}

/// What looks or sounds alike and is not the same.
#[derive(Debug, Clone, PartialEq)]
pub struct LookAlike {
    pub title: String,
    /// The checks at which it is shown.
    pub checks: Vec<CheckId>,
    pub could_be: Vec<String>,
    pub told_apart: String,
}
