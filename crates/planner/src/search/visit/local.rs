//! The question by the numbers of the jobs and steps that matter to it.

use super::{Question, Want};
use crate::model::SLACK;
use crate::search::task::Task;
use std::ops::Range;

#[derive(Debug)]
pub(super) struct Local {
    /// Value with only the jobs that must be.
    pub base: f64,
    /// Hours and cash that are left for the jobs here; at most the greatest number, so that a price of zero counts.
    pub hours: f64,
    pub cash: f64,
    /// Whether all jobs fit together.
    pub hours_free: bool,
    pub cash_free: bool,
    /// Jobs of the task that must be, and those to decide on.
    must: Vec<usize>,
    pub jobs: Vec<usize>,
    pub worth: Vec<f64>,
    pub job_hours: Vec<f64>,
    pub job_cash: Vec<f64>,
    pub step_cost: Vec<f64>,
    pub step_hours: Vec<f64>,
    /// Arcs from a job to the steps it needs that the jobs that must be do not open.
    arcs: Vec<Range<usize>>,
    /// Job and step of each arc, and the step's place in the job's closure.
    pub job_of: Vec<usize>,
    pub step_of: Vec<usize>,
    pub place_of: Vec<usize>,
    /// Jobs that need a step, with the arc.
    pub users: Vec<Vec<(usize, usize)>>,
    /// Steps that open with a step, itself included.
    pub behind: Vec<Vec<usize>>,
    /// Whom each job excludes.
    pub excludes: Vec<Vec<usize>>,
}

impl Local {
    /// `None` when the jobs that must be done do not fit.
    pub fn new(task: &Task, question: &Question<'_>) -> Option<Self> {
        let t = question.occasion;
        let must = question.must;
        // Half of what a plan may pass its limits by, so that what is found here passes there.
        let limit = |limit: f64| limit + 0.5 * SLACK * limit.max(1.0);
        let (mut hours, mut cash) = (limit(task.hours_limit[t]), limit(task.cash_limit[t]));
        let mut base = -task.visit_cost;
        let mut open = vec![false; task.step_cost.len()];
        for &job in must {
            base += question.worth[job];
            hours -= task.hours[job];
            cash -= task.cash[job];
            for &step in &task.closure[job] {
                if !std::mem::replace(&mut open[step], true) {
                    base -= task.step_cost[step][t];
                    hours -= task.step_hours[step][t];
                    cash -= task.step_cost[step][t];
                }
            }
        }
        let clashes = |job: usize| task.excludes[job].iter().any(|other| must.contains(other));
        if hours < 0.0 || cash < 0.0 || must.iter().any(|&job| clashes(job)) {
            return None;
        }
        let fits = |job: usize| {
            let new = || task.closure[job].iter().filter(|step| !open[**step]);
            task.hours[job] + new().map(|&step| task.step_hours[step][t]).sum::<f64>() <= hours
                && task.cash[job] + new().map(|&step| task.step_cost[step][t]).sum::<f64>() <= cash
        };
        // A job that brings in nothing only makes a visit worse, but may be in one that is nearly the best.
        let from = match question.want {
            Want::Best { .. } => 0.0,
            Want::All { gap, .. } => -gap,
        };
        let jobs: Vec<usize> = (0..task.jobs())
            .filter(|&job| question.worth[job] > from && (question.may)(job) && !must.contains(&job))
            .filter(|&job| !clashes(job) && fits(job))
            .collect();

        let mut number = vec![None; task.step_cost.len()];
        let mut steps = vec![];
        let mut users: Vec<Vec<(usize, usize)>> = vec![];
        let (mut arcs, mut job_of, mut step_of, mut place_of) = (vec![], vec![], vec![], vec![]);
        for (local, &job) in jobs.iter().enumerate() {
            let start = step_of.len();
            for (place, &step) in task.closure[job].iter().enumerate().filter(|(_, step)| !open[**step]) {
                let local_step = *number[step].get_or_insert_with(|| {
                    steps.push(step);
                    users.push(vec![]);
                    steps.len() - 1
                });
                users[local_step].push((local, step_of.len()));
                job_of.push(local);
                step_of.push(local_step);
                place_of.push(place);
            }
            arcs.push(start..step_of.len());
        }
        let job_hours: Vec<f64> = jobs.iter().map(|&job| task.hours[job]).collect();
        let job_cash: Vec<f64> = jobs.iter().map(|&job| task.cash[job]).collect();
        let step_hours: Vec<f64> = steps.iter().map(|&step| task.step_hours[step][t]).collect();
        let step_cost: Vec<f64> = steps.iter().map(|&step| task.step_cost[step][t]).collect();
        let behind =
            steps.iter().map(|&step| task.step_closure[step].iter().filter_map(|&s| number[s]).collect());
        let place = |job: &usize| jobs.binary_search(job).ok();
        Some(Self {
            base,
            hours_free: job_hours.iter().chain(&step_hours).sum::<f64>() <= hours,
            cash_free: job_cash.iter().chain(&step_cost).sum::<f64>() <= cash,
            hours: hours.min(f64::MAX),
            cash: cash.min(f64::MAX),
            must: must.to_vec(),
            worth: jobs.iter().map(|&job| question.worth[job]).collect(),
            behind: behind.collect(),
            excludes: jobs.iter().map(|&job| task.excludes[job].iter().filter_map(place).collect()).collect(),
            jobs,
            job_hours,
            job_cash,
            step_cost,
            step_hours,
            arcs,
            job_of,
            step_of,
            place_of,
            users,
        })
    }

    pub fn arcs(&self, job: usize) -> Range<usize> {
        self.arcs[job].clone()
    }

    /// The steps a job needs.
    pub fn steps(&self, job: usize) -> &[usize] {
        &self.step_of[self.arcs(job)]
    }

    /// What taking a job adds to value, hours and cash when the steps `in_use` are open.
    pub fn change(&self, job: usize, in_use: impl Fn(usize) -> bool) -> (f64, f64, f64) {
        let (mut value, mut hours, mut cash) = (self.worth[job], self.job_hours[job], self.job_cash[job]);
        for &step in self.steps(job).iter().filter(|step| !in_use(**step)) {
            value -= self.step_cost[step];
            hours += self.step_hours[step];
            cash += self.step_cost[step];
        }
        (value, hours, cash)
    }

    /// The jobs of the task in order, those that must be with them.
    pub fn visit(&self, jobs: &[usize]) -> Vec<usize> {
        let mut visit: Vec<usize> =
            jobs.iter().map(|&job| self.jobs[job]).chain(self.must.iter().copied()).collect();
        visit.sort_unstable();
        visit
    }

    pub fn has_must(&self) -> bool {
        !self.must.is_empty()
    }
}
