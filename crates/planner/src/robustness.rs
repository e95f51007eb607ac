//! How firm the decisions are when the figures are not.

use crate::error::PlanError;
use crate::instance::{Choice, Instance};
use crate::plan::Plan;
use crate::solve::{Limits, best};
use serde::Serialize;
use std::collections::BTreeMap;

/// In what share of the scenarios each job takes each choice.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Robustness {
    /// Scenarios with a plan, and without one.
    pub planned: usize,
    pub without_plan: usize,
    /// By job, the share of the scenarios with a plan in which it is done on their first occasion.
    pub now: BTreeMap<String, f64>,
    /// By job, the choices it takes, the most frequent first, with their shares.
    pub choices: BTreeMap<String, Vec<(Choice, f64)>>,
    /// Mean cost of the plans; zero without any.
    pub mean_cost: f64,
}

/// Plans each scenario, which is the same question with other figures, and counts. `limits` are for each.
///
/// # Errors
/// As [`solve`], but a scenario without a plan is counted, not an error.
pub fn robustness<'a>(
    scenarios: impl IntoIterator<Item = &'a Instance>,
    limits: &Limits<'_>,
) -> Result<Robustness, PlanError> {
    let mut plans: Vec<(Plan, Choice)> = vec![];
    let mut without_plan = 0;
    for scenario in scenarios {
        match best(scenario, limits)? {
            Some(plan) => plans.push((plan, Choice::On(scenario.occasions[0].id.clone()))),
            None => without_plan += 1,
        }
    }
    let share = |count: usize| count as f64 / plans.len().max(1) as f64;
    let (mut now, mut choices) =
        (BTreeMap::<String, usize>::new(), BTreeMap::<String, BTreeMap<Choice, usize>>::new());
    for (plan, first) in &plans {
        for (job, choice) in &plan.pick {
            *now.entry(job.clone()).or_default() += usize::from(choice == first);
            *choices.entry(job.clone()).or_default().entry(choice.clone()).or_default() += 1;
        }
    }
    let ranked = |counts: BTreeMap<Choice, usize>| {
        let mut ranked: Vec<_> = counts.into_iter().map(|(choice, count)| (choice, share(count))).collect();
        ranked.sort_by(|one, other| other.1.total_cmp(&one.1));
        ranked
    };
    Ok(Robustness {
        planned: plans.len(),
        without_plan,
        now: now.into_iter().map(|(job, count)| (job, share(count))).collect(),
        choices: choices.into_iter().map(|(job, counts)| (job, ranked(counts))).collect(),
        mean_cost: plans.iter().map(|(plan, _)| plan.cost).sum::<f64>() / plans.len().max(1) as f64,
    })
}
