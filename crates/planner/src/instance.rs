//! What is to be planned: jobs, the access steps they share, the occasions and the rules between jobs.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt;

/// The word that stands for "not on any planned occasion" wherever an occasion's id may stand.
pub const LEAVE: &str = "leave";

/// Everything a plan is made from. Costs are in one currency; hours and cash in whatever unit the limits use.
///
/// As JSON:
/// ```json
/// { "occasions": [ { "id": "now", "at": 0.0 }, { "id": "next", "at": 1.0 } ],
///   "access": [ { "id": "wheels-off", "cost": 30, "hours": 0.3 } ],
///   "jobs": [ { "id": "pads", "needs": ["wheels-off"], "cost": { "now": 10, "next": 90, "leave": 400 },
///               "cash": 120, "hours": 0.5, "by": "now" } ],
///   "limits": { "now": { "cash": 900, "hours": 8.0 } } }
/// ```
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Instance {
    /// The chances to do work, in order of time; the first is now.
    pub occasions: Vec<Occasion>,
    /// Steps that jobs share; a step is paid once on each occasion it is used on.
    pub access: Vec<AccessStep>,
    pub jobs: Vec<Job>,
    /// Hours and cash that an occasion has; an occasion that is not named has no limits.
    pub limits: BTreeMap<String, OccasionLimits>,
    /// Groups of jobs that are all done on one occasion, or all left.
    pub together: Vec<Vec<String>>,
    /// Groups of jobs of which at most one is done at all.
    pub exclusive: Vec<Vec<String>>,
    /// Pairs `[first, then]`: `then` is done on the occasion of `first` or a later one, or not at all.
    pub before: Vec<(String, String)>,
    /// What a person has decided already.
    pub pins: Vec<Pin>,
}

/// A chance to do work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Occasion {
    pub id: String,
    /// When, on the clock of the timing costs (years from today, usually). Only the order is used here.
    pub at: f64,
}

/// Something that has to come off, or be drained, to reach something else.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct AccessStep {
    pub id: String,
    /// Paid once on each occasion the step is used on; counts against that occasion's cash too.
    pub cost: AccessCost,
    #[serde(default)]
    pub hours: f64,
    /// Steps that must be open first.
    #[serde(default)]
    pub needs: Vec<String>,
    /// Occasions on which the step is open already, with all it needs: there it takes no money and no hours.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub open: Vec<String>,
}

/// What an access step costs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum AccessCost {
    /// The same on every occasion.
    Always(f64),
    /// By occasion id; every occasion is named.
    On(BTreeMap<String, f64>),
}

/// One piece of work and what its choices cost.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Job {
    pub id: String,
    /// Steps that must be open; what these need follows by itself.
    #[serde(default)]
    pub needs: Vec<String>,
    /// Timing cost of each choice on offer: an occasion's id or [`LEAVE`]. A choice that is not named is not on offer.
    pub cost: BTreeMap<String, f64>,
    /// Money that the job takes on its occasion, its access steps left out.
    #[serde(default)]
    pub cash: f64,
    /// Hours that the job takes on its occasion, its access steps left out.
    #[serde(default)]
    pub hours: f64,
    /// The last occasion on which the job may be done; without it the job may be left.
    #[serde(default)]
    pub by: Option<String>,
}

/// What an occasion has to give; `None` is without limit.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct OccasionLimits {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cash: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<f64>,
}

/// A person's own decision on one job.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Pin {
    pub job: String,
    pub choice: Choice,
    pub rule: PinRule,
}

/// Whether a pinned choice is the only one or is ruled out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PinRule {
    Must,
    MustNot,
}

/// What becomes of a job: done on an occasion, or left. Written as the occasion's id or [`LEAVE`].
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(from = "String", into = "String")]
pub enum Choice {
    On(String),
    Leave,
}

impl From<String> for Choice {
    fn from(id: String) -> Self {
        if id == LEAVE { Self::Leave } else { Self::On(id) }
    }
}

impl From<&str> for Choice {
    fn from(id: &str) -> Self {
        id.to_owned().into()
    }
}

impl From<Choice> for String {
    fn from(choice: Choice) -> Self {
        match choice {
            Choice::On(id) => id,
            Choice::Leave => LEAVE.into(),
        }
    }
}

impl fmt::Display for Choice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::On(id) => f.write_str(id),
            Self::Leave => f.write_str(LEAVE),
        }
    }
}
