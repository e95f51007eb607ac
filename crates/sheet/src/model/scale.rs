//! Where a reading starts, where it may go and how fast.

use super::Along;

/// New, limits and what may be settled, in the reading's own unit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scale {
    pub new: Option<New>,
    pub limit: Option<Limit>,
    pub settled: Option<Settled>,
    /// How far places may lie apart.
    pub differs: Vec<Differs>,
    /// How fast it may change.
    pub trend: Option<Trend>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct New {
    pub value: f64,
    /// Half width of the range in which a new part may be.
    pub tolerance: Option<f64>,
}

/// A limit on one side or on both.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    pub min: Option<f64>,
    pub max: Option<f64>,
    pub source: String,
}

/// Readings that are marked by age, explained and harmless while they do not move.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    pub min: Option<f64>,
    pub max: Option<f64>,
    pub why: String,
}

/// A limit on the difference between readings of one visit at different places.
#[derive(Debug, Clone, PartialEq)]
pub struct Differs {
    pub between: Between,
    /// In the unit of the reading, as a difference.
    pub max: f64,
    pub source: String,
}

/// Which places are held against each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Between {
    /// Left and right of the same axle.
    Sides,
    /// Front and rear of the same side.
    Axles,
    /// The largest and the smallest of all.
    All,
}

/// A limit on how fast a reading may change, whichever way.
#[derive(Debug, Clone, PartialEq)]
pub struct Trend {
    /// In the unit of the reading, as a difference.
    pub max: f64,
    /// Over this much of the clock.
    pub per: f64,
    pub along: Along,
    pub source: String,
}
