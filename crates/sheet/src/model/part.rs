//! What is fitted.

use super::{Limit, New, Only};
use crate::ids::*;
use rust_decimal::Decimal;

/// A part by its number.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    pub title: String,
    pub price: Decimal,
    pub only: Only,
    /// What is written, cast or painted on it.
    pub marks: Vec<String>,
    /// What it is a part of.
    pub component: Option<ComponentId>,
    /// The places of the component that it is made for; empty means all of them.
    pub places: Vec<Place>,
    pub replaces: Option<PartId>,
    pub changed: Option<String>,
    /// Whether the one it replaces also fits where this one belongs.
    pub both_ways: bool,
    pub together: Vec<PartId>,
    /// Years.
    pub shelf_age: Option<f64>,
    /// What may be fitted instead.
    pub alternatives: Vec<Alternative>,
    pub source: String,
}

/// Another part that may be fitted in place of one.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    pub part: PartId,
    /// What it is good for, and what one gives up.
    pub says: String,
    /// What is then judged otherwise.
    pub changes: Vec<Change>,
}

/// What a check is held against while another part is fitted, in its unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    pub check: CheckId,
    pub new: Option<New>,
    pub limit: Option<Limit>,
}
