//! Things that can wear.

use super::Only;
use crate::ids::*;
use serde::{Deserialize, Serialize};

/// A thing that can wear, and where it sits.
#[derive(Debug, Clone, PartialEq)]
pub struct Component {
    pub title: String,
    pub system: SystemId,
    /// At least one; `single` when the sheet names none.
    pub places: Vec<Place>,
    pub only: Only,
    pub criticality: Criticality,
    pub ages_by: Clock,
    pub life: Option<Life>,
    pub fails_as: Option<ConsequenceId>,
}

/// What is at stake when a component fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Criticality {
    Comfort,
    Stranded,
    EngineLoss,
    Safety,
}

/// The clock a component ages by: `share_km` of it is distance, the rest is time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clock {
    /// From 0 (years only) to 1 (km only).
    pub share_km: f64,
}

/// How long a component lasts, as a person states it.
#[derive(Debug, Clone, PartialEq)]
pub struct Life {
    /// Half are gone by then; in km or in years as `median_in` says.
    pub median: f64,
    pub median_in: Along,
    /// Nine in ten go between median ÷ spread and median × spread.
    pub spread: f64,
    /// The median is known within this factor, nine times in ten.
    pub sure: f64,
    pub source: String,
}

/// What a life or interval is counted along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Along {
    Km,
    Years,
}
