//! What is filled in.

use super::Only;
use crate::ids::*;
use quantity::Quantity;

/// What is filled in: what is demanded of it, how thick it is, how much of it there is. The three are different things.
#[derive(Debug, Clone, PartialEq)]
pub struct Fluid {
    pub title: String,
    pub only: Only,
    pub specification: String,
    pub grade: Option<String>,
    /// Grades by climate, when one does not do for all.
    pub grades: Vec<Grade>,
    pub capacity: Capacity,
    pub drain: Vec<Opening>,
    pub fill: Vec<Opening>,
    pub caution: Option<String>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Capacity {
    /// What goes in after it was drained.
    pub filled: Quantity,
    /// What goes in when everything is empty, as after an overhaul.
    pub dry: Option<Quantity>,
    /// Under which condition, such as "with filter".
    pub with: Option<String>,
    pub source: String,
}

/// A grade and the outside temperatures it is for, in °C.
#[derive(Debug, Clone, PartialEq)]
pub struct Grade {
    pub grade: String,
    pub from: Option<f64>,
    pub to: Option<f64>,
}

/// Where a fluid goes in or out.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    pub at: String,
    /// The plug that closes it.
    pub fastener: Option<FastenerId>,
    /// How the level is read.
    pub level: Option<String>,
}
