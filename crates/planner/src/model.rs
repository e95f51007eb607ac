//! An instance with its names turned into numbers, in an order that does not depend on how it was written down.

use crate::instance::{AccessCost, Choice, Instance, LEAVE, Pin, PinRule};
use crate::rule::Rule;
use std::collections::BTreeMap;

/// A sum may pass a limit by this much, relative to a limit above one: the last bits of its terms.
pub(crate) const SLACK: f64 = 1e-9;

/// The instance by index. Jobs and steps are sorted by id; choice `leave()` is leaving, the smaller ones are occasions.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    pub occasions: Vec<String>,
    pub jobs: Vec<String>,
    pub steps: Vec<String>,
    /// Timing cost by job and choice; infinite where the choice is not on offer or a rule forbids it.
    pub cost: Vec<Vec<f64>>,
    pub job_hours: Vec<f64>,
    pub job_cash: Vec<f64>,
    /// By step and occasion; zero where the step is open already. What a step costs is also its cash.
    pub step_cost: Vec<Vec<f64>>,
    pub step_hours: Vec<Vec<f64>>,
    /// All steps a job needs, the needs of needs with them, in order.
    pub closure: Vec<Vec<usize>>,
    /// All that a step needs and itself, in order.
    pub step_closure: Vec<Vec<usize>>,
    /// By occasion; infinite where there is none.
    pub hours_limit: Vec<f64>,
    pub cash_limit: Vec<f64>,
    pub together: Vec<Vec<usize>>,
    pub exclusive: Vec<Vec<usize>>,
    pub before: Vec<(usize, usize)>,
}

impl Model {
    /// Numbers an instance whose names all exist, leaving out the rules `dropped`. A job whose leaving a dropped rule
    /// had forbidden can be left at no cost.
    pub fn new(instance: &Instance, dropped: &[Rule]) -> Self {
        let keeps = |rule: &Rule| !dropped.contains(rule);
        let occasions: Vec<String> = instance.occasions.iter().map(|o| o.id.clone()).collect();
        let mut jobs: Vec<_> = instance.jobs.iter().collect();
        jobs.sort_by(|one, other| one.id.cmp(&other.id));
        let mut access: Vec<_> = instance.access.iter().collect();
        access.sort_by(|one, other| one.id.cmp(&other.id));
        let job_at: BTreeMap<&str, usize> =
            jobs.iter().enumerate().map(|(j, job)| (job.id.as_str(), j)).collect();
        let step_at: BTreeMap<&str, usize> =
            access.iter().enumerate().map(|(a, step)| (step.id.as_str(), a)).collect();
        let occasion_at = |id: &str| occasions.iter().position(|known| known == id);
        let steps_of = |ids: &[String]| -> Vec<usize> {
            ids.iter().filter_map(|id| step_at.get(id.as_str()).copied()).collect()
        };
        let jobs_of = |ids: &[String]| -> Vec<usize> {
            ids.iter().filter_map(|id| job_at.get(id.as_str()).copied()).collect()
        };

        let step_needs: Vec<Vec<usize>> = access.iter().map(|step| steps_of(&step.needs)).collect();
        let open: Vec<Vec<usize>> = occasions
            .iter()
            .map(|id| {
                let open: Vec<usize> = (0..access.len()).filter(|&a| access[a].open.contains(id)).collect();
                closure(&open, &step_needs)
            })
            .collect();
        let on_each = |a: usize, value: &dyn Fn(&str) -> f64| -> Vec<f64> {
            let open = |t: usize| open[t].binary_search(&a).is_ok();
            occasions.iter().enumerate().map(|(t, id)| if open(t) { 0.0 } else { value(id) }).collect()
        };
        let step_cost = |a: usize| {
            on_each(a, &|id| match &access[a].cost {
                AccessCost::Always(cost) => *cost,
                AccessCost::On(costs) => costs.get(id).copied().unwrap_or(f64::INFINITY),
            })
        };

        let leave = occasions.len();
        let mut cost: Vec<Vec<f64>> = jobs
            .iter()
            .map(|job| {
                let mut cost: Vec<f64> =
                    occasions.iter().map(|id| job.cost.get(id).copied().unwrap_or(f64::INFINITY)).collect();
                let free = !keeps(&Rule::NotLeft { job: job.id.clone() });
                let unoffered = if free { 0.0 } else { f64::INFINITY };
                cost.push(job.cost.get(LEAVE).copied().unwrap_or(unoffered));
                if let Some(by) = &job.by
                    && keeps(&Rule::By { job: job.id.clone(), occasion: by.clone() })
                {
                    let last = occasion_at(by).unwrap_or(0);
                    cost[last + 1..].fill(f64::INFINITY);
                }
                cost
            })
            .collect();
        for pin in instance.pins.iter().filter(|pin| keeps(&Rule::Pin((*pin).clone()))) {
            let choice = match &pin.choice {
                Choice::Leave => Some(leave),
                Choice::On(id) => occasion_at(id),
            };
            if let (Some(&job), Some(pinned)) = (job_at.get(pin.job.as_str()), choice) {
                for (choice, cost) in cost[job].iter_mut().enumerate() {
                    if (choice == pinned) == (pin.rule == PinRule::MustNot) {
                        *cost = f64::INFINITY;
                    }
                }
            }
        }

        let limit =
            |t: usize, of: &dyn Fn(&crate::OccasionLimits) -> Option<f64>, rule: &dyn Fn(f64) -> Rule| {
                let limit = instance.limits.get(&occasions[t]).and_then(of);
                limit.filter(|&limit| keeps(&rule(limit))).unwrap_or(f64::INFINITY)
            };
        let named = |t: usize| occasions[t].clone();
        Self {
            hours_limit: (0..leave)
                .map(|t| limit(t, &|l| l.hours, &|limit| Rule::Hours { occasion: named(t), limit }))
                .collect(),
            cash_limit: (0..leave)
                .map(|t| limit(t, &|l| l.cash, &|limit| Rule::Cash { occasion: named(t), limit }))
                .collect(),
            cost,
            job_hours: jobs.iter().map(|job| job.hours).collect(),
            job_cash: jobs.iter().map(|job| job.cash).collect(),
            step_cost: (0..access.len()).map(step_cost).collect(),
            step_hours: (0..access.len()).map(|a| on_each(a, &|_| access[a].hours)).collect(),
            closure: jobs.iter().map(|job| closure(&steps_of(&job.needs), &step_needs)).collect(),
            step_closure: (0..access.len()).map(|a| closure(&[a], &step_needs)).collect(),
            together: instance
                .together
                .iter()
                .filter(|group| keeps(&Rule::Together((*group).clone())))
                .map(|group| jobs_of(group))
                .collect(),
            exclusive: instance
                .exclusive
                .iter()
                .filter(|group| keeps(&Rule::Exclusive((*group).clone())))
                .map(|group| jobs_of(group))
                .collect(),
            before: instance
                .before
                .iter()
                .filter(|(first, then)| keeps(&Rule::Before { first: first.clone(), then: then.clone() }))
                .filter_map(|(first, then)| Some((*job_at.get(first.as_str())?, *job_at.get(then.as_str())?)))
                .collect(),
            jobs: jobs.iter().map(|job| job.id.clone()).collect(),
            steps: access.iter().map(|step| step.id.clone()).collect(),
            occasions,
        }
    }

    /// The choice that stands for leaving a job.
    pub fn leave(&self) -> usize {
        self.occasions.len()
    }

    /// Whether a job may take a choice, other jobs and limits apart.
    pub fn allows(&self, job: usize, choice: usize) -> bool {
        self.cost[job][choice].is_finite()
    }

    /// A choice by name.
    pub fn choice(&self, choice: usize) -> Choice {
        self.occasions.get(choice).map_or(Choice::Leave, |id| Choice::On(id.clone()))
    }

    /// Choices by index; what does not fit this model, in words, when they are not the choices of its jobs.
    pub fn picks(&self, pick: &BTreeMap<String, Choice>) -> Result<Vec<usize>, Vec<String>> {
        let mut unfit: Vec<String> = pick
            .keys()
            .filter(|job| self.jobs.binary_search(job).is_err())
            .map(|job| format!("there is no job `{job}`"))
            .collect();
        let mut picks = vec![];
        for job in &self.jobs {
            let choice = pick.get(job);
            match choice.and_then(|choice| (0..=self.leave()).find(|&known| self.choice(known) == *choice)) {
                Some(choice) => picks.push(choice),
                None if choice.is_none() => unfit.push(format!("job `{job}` has no choice")),
                None => unfit.push(format!("job `{job}` takes a choice that does not exist")),
            }
        }
        if unfit.is_empty() { Ok(picks) } else { Err(unfit) }
    }

    /// What the choices of all jobs come to.
    pub fn tally(&self, picks: &[usize]) -> Tally {
        let occasions = self.occasions.len();
        let mut tally = Tally {
            timing: picks.iter().zip(&self.cost).map(|(&choice, cost)| cost[choice]).sum(),
            access: 0.0,
            steps: vec![vec![]; occasions],
            hours: vec![0.0; occasions],
            cash: vec![0.0; occasions],
        };
        for t in 0..occasions {
            let mut used = vec![false; self.steps.len()];
            for job in (0..picks.len()).filter(|&job| picks[job] == t) {
                tally.hours[t] += self.job_hours[job];
                tally.cash[t] += self.job_cash[job];
                for &step in &self.closure[job] {
                    used[step] = true;
                }
            }
            for step in (0..used.len()).filter(|&step| used[step]) {
                tally.steps[t].push(step);
                tally.access += self.step_cost[step][t];
                tally.hours[t] += self.step_hours[step][t];
                tally.cash[t] += self.step_cost[step][t];
            }
        }
        tally
    }

    /// Every rule that the choices break, those of single jobs with them.
    pub fn broken(&self, picks: &[usize]) -> Vec<Rule> {
        let leave = self.leave();
        let tally = self.tally(picks);
        let names = |jobs: &[usize]| jobs.iter().map(|&job| self.jobs[job].clone()).collect();
        let mut broken = vec![];
        for (job, &choice) in picks.iter().enumerate().filter(|&(job, &choice)| !self.allows(job, choice)) {
            let pin =
                Pin { job: self.jobs[job].clone(), choice: self.choice(choice), rule: PinRule::MustNot };
            broken.push(Rule::Pin(pin));
        }
        for t in 0..leave {
            let occasion = || self.occasions[t].clone();
            if !within(tally.cash[t], self.cash_limit[t]) {
                broken.push(Rule::Cash { occasion: occasion(), limit: self.cash_limit[t] });
            }
            if !within(tally.hours[t], self.hours_limit[t]) {
                broken.push(Rule::Hours { occasion: occasion(), limit: self.hours_limit[t] });
            }
        }
        for group in &self.together {
            if group.windows(2).any(|pair| picks[pair[0]] != picks[pair[1]]) {
                broken.push(Rule::Together(names(group)));
            }
        }
        for group in &self.exclusive {
            if group.iter().filter(|&&job| picks[job] != leave).count() > 1 {
                broken.push(Rule::Exclusive(names(group)));
            }
        }
        for &(first, then) in &self.before {
            if picks[then] != leave && picks[first] > picks[then] {
                broken.push(Rule::Before { first: self.jobs[first].clone(), then: self.jobs[then].clone() });
            }
        }
        broken
    }
}

/// What the choices of all jobs come to.
#[derive(Debug, Clone)]
pub(crate) struct Tally {
    /// Timing cost of all jobs.
    pub timing: f64,
    /// Cost of all steps on all occasions.
    pub access: f64,
    /// Steps used, by occasion, in order.
    pub steps: Vec<Vec<usize>>,
    pub hours: Vec<f64>,
    pub cash: Vec<f64>,
}

impl Tally {
    pub fn total(&self) -> f64 {
        self.timing + self.access
    }
}

/// Whether a sum keeps a limit.
pub(crate) fn within(sum: f64, limit: f64) -> bool {
    sum <= limit + SLACK * limit.max(1.0)
}

/// The steps and all that they need, in order.
fn closure(steps: &[usize], needs: &[Vec<usize>]) -> Vec<usize> {
    let mut found = vec![false; needs.len()];
    let mut todo = steps.to_vec();
    while let Some(step) = todo.pop() {
        if !std::mem::replace(&mut found[step], true) {
            todo.extend(&needs[step]);
        }
    }
    (0..needs.len()).filter(|&step| found[step]).collect()
}
