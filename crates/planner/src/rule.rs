//! The rules of an instance, named one by one, so that a broken or clashing one can be pointed at.

use crate::instance::{Choice, Instance, LEAVE, Pin, PinRule};
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt;

/// One rule that a plan has to keep.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rule {
    /// Leaving the job is not on offer.
    NotLeft {
        job: String,
    },
    By {
        job: String,
        occasion: String,
    },
    Pin(Pin),
    Together(Vec<String>),
    Exclusive(Vec<String>),
    Before {
        first: String,
        then: String,
    },
    Hours {
        occasion: String,
        limit: f64,
    },
    Cash {
        occasion: String,
        limit: f64,
    },
}

impl Instance {
    /// Every rule of the instance, in the order of its fields.
    pub fn rules(&self) -> Vec<Rule> {
        let mut rules = vec![];
        for job in &self.jobs {
            if !job.cost.contains_key(LEAVE) {
                rules.push(Rule::NotLeft { job: job.id.clone() });
            }
            if let Some(by) = &job.by {
                rules.push(Rule::By { job: job.id.clone(), occasion: by.clone() });
            }
        }
        for (occasion, limits) in &self.limits {
            let occasion = || occasion.clone();
            rules.extend(limits.cash.map(|limit| Rule::Cash { occasion: occasion(), limit }));
            rules.extend(limits.hours.map(|limit| Rule::Hours { occasion: occasion(), limit }));
        }
        rules.extend(self.together.iter().cloned().map(Rule::Together));
        rules.extend(self.exclusive.iter().cloned().map(Rule::Exclusive));
        let before = |(first, then): (String, String)| Rule::Before { first, then };
        rules.extend(self.before.iter().cloned().map(before));
        rules.extend(self.pins.iter().cloned().map(Rule::Pin));
        rules
    }

    /// Whether choices keep a rule of a single job; other rules count as kept.
    pub(crate) fn keeps_single(&self, rule: &Rule, pick: &BTreeMap<String, Choice>) -> bool {
        let place = |id: &str| self.occasions.iter().position(|occasion| occasion.id == id);
        match rule {
            Rule::By { job, occasion } => match pick.get(job) {
                Some(Choice::On(id)) => place(id) <= place(occasion),
                _ => false,
            },
            Rule::Pin(pin) => (pick.get(&pin.job) == Some(&pin.choice)) == (pin.rule == PinRule::Must),
            _ => true,
        }
    }
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotLeft { job } => write!(f, "`{job}` cannot be left"),
            Self::By { job, occasion } => write!(f, "`{job}` is due by `{occasion}`"),
            Self::Pin(Pin { job, choice, rule: PinRule::Must }) => write!(f, "`{job}` must be `{choice}`"),
            Self::Pin(Pin { job, choice, rule: PinRule::MustNot }) => {
                write!(f, "`{job}` must not be `{choice}`")
            }
            Self::Together(jobs) => write!(f, "{} are done together", listed(jobs)),
            Self::Exclusive(jobs) => write!(f, "at most one of {} is done", listed(jobs)),
            Self::Before { first, then } => write!(f, "`{then}` is done with or after `{first}`"),
            Self::Hours { occasion, limit } => write!(f, "`{occasion}` has {limit} hours"),
            Self::Cash { occasion, limit } => write!(f, "`{occasion}` has {limit} in cash"),
        }
    }
}

/// Ids in a sentence.
pub(crate) fn listed(ids: &[String]) -> String {
    ids.iter().map(|id| format!("`{id}`")).collect::<Vec<_>>().join(", ")
}
