//! What may be behind what was found.

use super::{Input, Only};
use crate::ids::*;
use indexmap::IndexMap;

/// Something to be explained: the explanations that name it exclude each other, and none of them may be right.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    pub title: String,
    pub only: Only,
    /// What raises it.
    pub raised_by: Vec<RaisedBy>,
    /// How likely it is beforehand that none of the explanations is right, in the measure of their own likelihoods.
    pub none: f64,
    /// Within which bounds a reading lies, any value as likely as another, when nothing that is said explains it; in the
    /// unit of the check.
    pub otherwise: IndexMap<CheckId, (f64, f64)>,
    pub source: String,
}

impl Question {
    /// The likelihood of "none of these" where the sheet says nothing. Common practice, no source.
    pub const USUAL_NONE: f64 = 0.1;
}

/// A finding that raises a question: one of these states, or without any, a reading past a limit or a state worse than
/// settled.
#[derive(Debug, Clone, PartialEq)]
pub struct RaisedBy {
    pub check: CheckId,
    pub states: Vec<StateId>,
}

/// What may be behind it, and what would then be found.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    pub question: QuestionId,
    pub title: String,
    /// For the owner, in plain words.
    pub says: Option<String>,
    pub only: Only,
    /// How likely it is beforehand, in any measure that the explanations of a question share; without it, the chance
    /// that its component has failed since it was last seen good.
    pub prior: Option<f64>,
    pub component: Option<ComponentId>,
    pub shows: Vec<Sign>,
    /// What would put it right.
    pub put_right: Option<OperationId>,
    pub source: String,
}

/// What an explanation lets one find.
#[derive(Debug, Clone, PartialEq)]
pub struct Sign {
    pub check: CheckId,
    /// Without it, wherever the check is made.
    pub place: Option<Place>,
    pub shows: Shows,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Shows {
    /// How often each state is seen; states left out share the rest alike.
    States(IndexMap<StateId, Likelihood>),
    /// Where the reading lies, in the unit of the check.
    Reads(Expected),
}

/// How often something is seen if an explanation is right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Likelihood {
    Often(Often),
    /// A probability, above 0 and below 1.
    Share(f64),
}

/// The words for how often; never "0" and never "1".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Often {
    Always,
    NearlyAlways,
    Usually,
    Half,
    Sometimes,
    Rarely,
    Never,
}

/// Where a reading lies if an explanation is right.
#[derive(Debug, Clone, PartialEq)]
pub enum Expected {
    /// Near a value of the type of car.
    Value { value: f64, spread: f64 },
    /// Near what a formula of the bench makes of other readings and of constants, added to `onto`.
    Formula { formula: String, gives: String, inputs: IndexMap<String, Input>, onto: f64, spread: f64 },
    /// Between two values, any of them as likely as another.
    Between { from: f64, to: f64 },
}
