//! The answer: what becomes of each job, and what that comes to.

use crate::instance::Choice;
use crate::model::{Model, Tally};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A plan that keeps every rule of its instance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Plan {
    /// The choice for each job, by id.
    pub pick: BTreeMap<String, Choice>,
    /// What each occasion is used for, in order of time.
    pub visits: Vec<Visit>,
    /// Expected cost: timing cost of every job and the access steps of every occasion.
    pub cost: f64,
    /// The part of `cost` that is timing cost.
    pub timing: f64,
    /// No plan costs less than this.
    pub bound: f64,
    /// Whether no plan is better: `bound` meets `cost`.
    pub proven: bool,
    /// How much work the answer took: nodes of the search tree looked at.
    pub nodes: u64,
}

/// What one occasion is used for; everything is empty or zero when it is not used.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Visit {
    pub occasion: String,
    /// Jobs done, by id.
    pub jobs: Vec<String>,
    /// Access steps used, by id, those open already with them.
    pub access: Vec<String>,
    /// Cost of the access steps.
    pub access_cost: f64,
    pub hours: f64,
    /// Money for jobs and access steps.
    pub cash: f64,
}

impl Plan {
    /// How far the plan may be from the best, as a part of its cost; zero when proven.
    pub fn gap(&self) -> f64 {
        if self.proven || self.cost <= 0.0 { 0.0 } else { ((self.cost - self.bound) / self.cost).max(0.0) }
    }

    /// The jobs that take a choice, by id.
    pub fn jobs(&self, choice: &Choice) -> impl Iterator<Item = &str> {
        self.pick.iter().filter(move |(_, picked)| *picked == choice).map(|(job, _)| job.as_str())
    }

    /// The plan that choices by index make; `bound` is what the solver has proven.
    pub(crate) fn new(model: &Model, picks: &[usize], bound: f64, proven: bool, nodes: u64) -> Self {
        let tally = model.tally(picks);
        let cost = tally.total();
        Self {
            pick: model
                .jobs
                .iter()
                .zip(picks)
                .map(|(job, &choice)| (job.clone(), model.choice(choice)))
                .collect(),
            visits: (0..model.leave()).map(|t| Visit::new(model, picks, &tally, t)).collect(),
            cost,
            timing: tally.timing,
            bound: if proven { cost } else { bound.min(cost) },
            proven,
            nodes,
        }
    }
}

impl Visit {
    fn new(model: &Model, picks: &[usize], tally: &Tally, t: usize) -> Self {
        let jobs = (0..picks.len()).filter(|&job| picks[job] == t);
        Self {
            occasion: model.occasions[t].clone(),
            jobs: jobs.map(|job| model.jobs[job].clone()).collect(),
            access: tally.steps[t].iter().map(|&step| model.steps[step].clone()).collect(),
            access_cost: tally.steps[t].iter().map(|&step| model.step_cost[step][t]).sum(),
            hours: tally.hours[t],
            cash: tally.cash[t],
        }
    }
}
