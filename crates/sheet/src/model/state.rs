//! What an observation may find, what it means and when it falls due.

use crate::ids::*;
use serde::{Deserialize, Serialize};

/// One described state of an observation.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    pub id: StateId,
    /// One or two words for the rule of states.
    pub short: String,
    pub says: String,
    /// What tells it from its neighbours: "the paper shows a wet ring".
    pub tell: Option<String>,
    pub means: Verdict,
    pub why: Option<String>,
    /// When to look again, or the window to plan in.
    pub when: Option<Trigger>,
}

/// What a finding means. The order is that of how much it asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    Sound,
    Settled,
    NotReached,
    LookAgain,
    TooClose,
    Plan,
    BeforeLeaving,
    StaysPut,
}

/// When something falls due, counted from the day it was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Trigger {
    pub km: Option<f64>,
    pub years: Option<f64>,
    pub event: Option<String>,
}

/// By distance or by time, whichever comes first.
#[derive(Debug, Clone, PartialEq)]
pub struct Interval {
    pub km: Option<f64>,
    pub years: Option<f64>,
    /// A limit, not advice.
    pub strict: bool,
    pub source: String,
}
