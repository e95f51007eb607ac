//! Who pays how much for which step, at given prices of hours and cash.
//!
//! Each job has its worth less the price of its own hours and cash; each step asks for its cost and the price of its
//! hours and cash. Paying as much as can be paid is a maximum flow, and what the jobs have left then is the value of
//! the best visit without limits (its minimum cut). With limits it is a bound, the better the better the prices.

use super::local::Local;
use super::state::State;
use crate::search::task::Task;

#[derive(Debug, Clone, Default)]
pub(super) struct Shares {
    pub price_hours: f64,
    pub price_cash: f64,
    /// By arc.
    pub paid: Vec<f64>,
    /// What each job has left; negative when it is not worth its own hours and cash.
    pub left: Vec<f64>,
    /// What each step still lacks.
    pub lacks: Vec<f64>,
}

/// Prices and shares by the numbers of the task.
#[derive(Debug, Clone)]
pub(super) struct Kept {
    price_hours: f64,
    price_cash: f64,
    /// By job and place in its closure.
    paid: Vec<Vec<f64>>,
}

/// Room for the walks through the shares.
#[derive(Debug, Default)]
pub(super) struct Walk {
    /// The arc by which a step was reached.
    to_step: Vec<usize>,
    /// The arc whose payer was relieved and so reached.
    to_job: Vec<usize>,
    seen: Vec<bool>,
    /// Jobs reached, in the order of reaching.
    pub jobs: Vec<usize>,
}

/// What a visit would use and bring in beyond what is taken already.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Reached {
    pub hours: f64,
    pub cash: f64,
    pub value: f64,
}

const NONE: usize = usize::MAX;
/// Shares below this are none.
const TINY: f64 = 1e-10;

impl Shares {
    pub fn copy_from(&mut self, other: &Self) {
        (self.price_hours, self.price_cash) = (other.price_hours, other.price_cash);
        self.paid.clone_from(&other.paid);
        self.left.clone_from(&other.left);
        self.lacks.clone_from(&other.lacks);
    }

    /// No visit that starts as `state` does is worth more.
    pub fn bound(&self, state: &State) -> f64 {
        let left: f64 = state.undecided.iter().map(|&job| self.left[job].max(0.0)).sum();
        state.value + self.price_hours * state.hours + self.price_cash * state.cash + left
    }

    /// Shares out as much as can be at these prices among what is undecided, starting from the shares as they are.
    pub fn flow(&mut self, local: &Local, state: &State, walk: &mut Walk) {
        self.fit(local, state);
        for &job in &state.undecided {
            for arc in local.arcs(job) {
                let step = local.step_of[arc];
                let pays = self.left[job].min(self.lacks[step]);
                if pays > 0.0 && !state.open[step] {
                    self.paid[arc] += pays;
                    self.left[job] -= pays;
                    self.lacks[step] -= pays;
                }
            }
        }
        while self.augment(local, state, walk) {}
    }

    /// Scales the shares down to what steps ask for and jobs have; counts what is left and lacking.
    fn fit(&mut self, local: &Local, state: &State) {
        for step in (0..local.users.len()).filter(|&step| !state.open[step]) {
            let asks =
                local.step_cost[step] * (1.0 + self.price_cash) + local.step_hours[step] * self.price_hours;
            let mut total = 0.0;
            for &(job, arc) in &local.users[step] {
                if state.is_undecided[job] {
                    total += self.paid[arc];
                } else {
                    self.paid[arc] = 0.0;
                }
            }
            if total > asks {
                local.users[step].iter().for_each(|&(_, arc)| self.paid[arc] *= asks / total);
            }
            self.lacks[step] = asks;
        }
        for &job in &state.undecided {
            let own = self.price_hours * local.job_hours[job] + self.price_cash * local.job_cash[job];
            let has = local.worth[job] - own;
            let arcs = || local.arcs(job).filter(|&arc| !state.open[local.step_of[arc]]);
            let mut total: f64 = arcs().map(|arc| self.paid[arc]).sum();
            if total > has.max(0.0) {
                let part = has.max(0.0) / total;
                arcs().for_each(|arc| self.paid[arc] *= part);
                total *= part;
            }
            self.left[job] = if has > 0.0 { (has - total).max(0.0) } else { has };
            arcs().for_each(|arc| self.lacks[local.step_of[arc]] -= self.paid[arc]);
        }
        self.lacks.iter_mut().for_each(|lacks| *lacks = lacks.max(0.0));
    }

    /// Lets a job with something left pay for a step, by way of jobs that then pay for another; false when none can.
    fn augment(&mut self, local: &Local, state: &State, walk: &mut Walk) -> bool {
        walk.start(local, state, self);
        let mut at = 0;
        while let Some(&job) = walk.jobs.get(at) {
            at += 1;
            for arc in local.arcs(job) {
                let step = local.step_of[arc];
                if state.open[step] || walk.to_step[step] != NONE {
                    continue;
                }
                walk.to_step[step] = arc;
                if self.lacks[step] > TINY {
                    self.shift(local, step, walk);
                    return true;
                }
                walk.relieve(local, self, step);
            }
        }
        false
    }

    /// Pays for the step at the end of a walk, back along the way it was reached.
    fn shift(&mut self, local: &Local, end: usize, walk: &Walk) {
        let mut amount = self.lacks[end];
        let mut step = end;
        let start = loop {
            let job = local.job_of[walk.to_step[step]];
            match walk.to_job[job] {
                NONE => break job,
                relieved => {
                    amount = amount.min(self.paid[relieved]);
                    step = local.step_of[relieved];
                }
            }
        };
        amount = amount.min(self.left[start]);
        self.lacks[end] -= amount;
        self.left[start] -= amount;
        step = end;
        loop {
            let arc = walk.to_step[step];
            self.paid[arc] += amount;
            match walk.to_job[local.job_of[arc]] {
                NONE => break,
                relieved => {
                    self.paid[relieved] -= amount;
                    step = local.step_of[relieved];
                }
            }
        }
    }

    /// The visit that takes the jobs for which something is left when all they need is paid. Its jobs stay in `walk`.
    pub fn reached(&self, local: &Local, state: &State, walk: &mut Walk) -> Reached {
        walk.start(local, state, self);
        let mut reached = Reached::default();
        let mut at = 0;
        while let Some(&job) = walk.jobs.get(at) {
            at += 1;
            reached.value += local.worth[job];
            reached.hours += local.job_hours[job];
            reached.cash += local.job_cash[job];
            for arc in local.arcs(job) {
                let step = local.step_of[arc];
                if state.open[step] || walk.to_step[step] != NONE {
                    continue;
                }
                walk.to_step[step] = arc;
                reached.value -= local.step_cost[step];
                reached.hours += local.step_hours[step];
                reached.cash += local.step_cost[step];
                walk.relieve(local, self, step);
            }
        }
        reached
    }
}

impl Walk {
    fn start(&mut self, local: &Local, state: &State, shares: &Shares) {
        self.to_step.clear();
        self.to_step.resize(local.users.len(), NONE);
        self.to_job.clear();
        self.to_job.resize(local.jobs.len(), NONE);
        self.seen.clear();
        self.seen.resize(local.jobs.len(), false);
        self.jobs.clear();
        for &job in state.undecided.iter().filter(|&&job| shares.left[job] > TINY) {
            self.seen[job] = true;
            self.jobs.push(job);
        }
    }

    /// Goes on to the jobs that pay for a step.
    fn relieve(&mut self, local: &Local, shares: &Shares, step: usize) {
        for &(job, arc) in &local.users[step] {
            if shares.paid[arc] > TINY && !std::mem::replace(&mut self.seen[job], true) {
                self.to_job[job] = arc;
                self.jobs.push(job);
            }
        }
    }
}

impl Kept {
    pub fn new(task: &Task) -> Self {
        let paid = task.closure.iter().map(|steps| vec![0.0; steps.len()]).collect();
        Self { price_hours: 0.0, price_cash: 0.0, paid }
    }

    /// What was kept, as shares to start from.
    pub fn shares(&self, local: &Local) -> Shares {
        let paid = |arc: usize| self.paid[local.jobs[local.job_of[arc]]][local.place_of[arc]];
        Shares {
            price_hours: if local.hours_free { 0.0 } else { self.price_hours },
            price_cash: if local.cash_free { 0.0 } else { self.price_cash },
            paid: (0..local.step_of.len()).map(paid).collect(),
            left: vec![0.0; local.jobs.len()],
            lacks: vec![0.0; local.users.len()],
        }
    }

    pub fn keep(&mut self, local: &Local, shares: &Shares) {
        (self.price_hours, self.price_cash) = (shares.price_hours, shares.price_cash);
        for (arc, paid) in shares.paid.iter().enumerate() {
            self.paid[local.jobs[local.job_of[arc]]][local.place_of[arc]] = *paid;
        }
    }
}
