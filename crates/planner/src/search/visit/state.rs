//! Where the search stands: what is taken is paid for, what is undecided is bounded.

use super::local::Local;
use super::shares::{Kept, Shares, Walk};

#[derive(Debug, Clone, Default)]
pub(super) struct State {
    /// What the jobs taken bring in, all open steps paid.
    pub value: f64,
    /// What is left.
    pub hours: f64,
    pub cash: f64,
    pub undecided: Vec<usize>,
    pub is_undecided: Vec<bool>,
    pub open: Vec<bool>,
    /// How many jobs taken use a step, and how many open steps no job taken uses.
    uses: Vec<usize>,
    pub idle: usize,
    /// What taking a job would use.
    pub hours_of: Vec<f64>,
    pub cash_of: Vec<f64>,
    /// What the closed steps that a job needs lack together.
    pub lack: Vec<f64>,
    pub shares: Shares,
}

impl State {
    /// The state with nothing decided, at the prices and with the shares of last time.
    pub fn new(local: &Local, kept: &Kept) -> Self {
        let jobs = local.jobs.len();
        let over = |of: &[f64], job: usize| -> f64 { local.steps(job).iter().map(|&step| of[step]).sum() };
        let mut state = Self {
            value: local.base,
            hours: local.hours,
            cash: local.cash,
            undecided: (0..jobs).collect(),
            is_undecided: vec![true; jobs],
            open: vec![false; local.users.len()],
            uses: vec![0; local.users.len()],
            idle: 0,
            hours_of: (0..jobs).map(|job| local.job_hours[job] + over(&local.step_hours, job)).collect(),
            cash_of: (0..jobs).map(|job| local.job_cash[job] + over(&local.step_cost, job)).collect(),
            lack: vec![0.0; jobs],
            shares: Shares::default(),
        };
        let mut shares = kept.shares(local);
        shares.flow(local, &state, &mut Walk::default());
        state.shares = shares;
        state.count_lack(local);
        state
    }

    pub fn copy_from(&mut self, other: &Self) {
        (self.value, self.hours, self.cash, self.idle) = (other.value, other.hours, other.cash, other.idle);
        self.undecided.clone_from(&other.undecided);
        self.is_undecided.clone_from(&other.is_undecided);
        self.open.clone_from(&other.open);
        self.uses.clone_from(&other.uses);
        self.hours_of.clone_from(&other.hours_of);
        self.cash_of.clone_from(&other.cash_of);
        self.lack.clone_from(&other.lack);
        self.shares.copy_from(&other.shares);
    }

    pub fn bound(&self) -> f64 {
        self.shares.bound(self)
    }

    pub fn fits(&self, job: usize) -> bool {
        self.hours_of[job] <= self.hours && self.cash_of[job] <= self.cash
    }

    /// What is left of a job when what its steps lack is paid too.
    pub fn promise(&self, job: usize) -> f64 {
        self.shares.left[job] - self.lack[job]
    }

    pub fn count_lack(&mut self, local: &Local) {
        for &job in &self.undecided {
            let closed = local.steps(job).iter().filter(|&&step| !self.open[step]);
            self.lack[job] = closed.map(|&step| self.shares.lacks[step]).sum();
        }
    }

    /// Opens a step and what it needs.
    pub fn open(&mut self, local: &Local, step: usize) {
        for &step in &local.behind[step] {
            if std::mem::replace(&mut self.open[step], true) {
                continue;
            }
            self.idle += 1;
            self.value -= local.step_cost[step];
            self.hours -= local.step_hours[step];
            self.cash -= local.step_cost[step];
            for &(job, arc) in &local.users[step] {
                // What the job would have paid is paid now.
                self.shares.left[job] += self.shares.paid[arc];
                self.lack[job] -= self.shares.lacks[step];
                self.hours_of[job] -= local.step_hours[step];
                self.cash_of[job] -= local.step_cost[step];
            }
        }
    }

    /// Takes a job; those it excludes are dropped.
    pub fn take(&mut self, local: &Local, job: usize) {
        self.value += local.worth[job];
        self.hours -= local.job_hours[job];
        self.cash -= local.job_cash[job];
        self.undecided.retain(|other| *other != job);
        self.is_undecided[job] = false;
        for &step in local.steps(job) {
            if !self.open[step] {
                self.open(local, step);
            }
            if self.uses[step] == 0 {
                self.idle -= 1;
            }
            self.uses[step] += 1;
        }
        for &other in &local.excludes[job] {
            if self.is_undecided[other] {
                self.drop(local, other);
            }
        }
    }

    /// Decides against a job; its shares pass to those who can pay. How much the bound falls.
    pub fn drop(&mut self, local: &Local, job: usize) -> f64 {
        let shares = &mut self.shares;
        self.undecided.retain(|other| *other != job);
        self.is_undecided[job] = false;
        let mut falls = shares.left[job].max(0.0);
        for arc in local.arcs(job) {
            let step = local.step_of[arc];
            let mut amount = shares.paid[arc];
            if self.open[step] || amount <= 0.0 {
                continue;
            }
            shares.paid[arc] = 0.0;
            for &(other, arc) in &local.users[step] {
                if self.is_undecided[other] && shares.left[other] > 0.0 {
                    let pays = shares.left[other].min(amount);
                    shares.paid[arc] += pays;
                    shares.left[other] -= pays;
                    falls += pays;
                    amount -= pays;
                    if amount <= 0.0 {
                        break;
                    }
                }
            }
            if amount > 0.0 {
                shares.lacks[step] += amount;
                local.users[step].iter().for_each(|&(other, _)| self.lack[other] += amount);
            }
        }
        falls
    }

    /// Drops every undecided job that needs a step.
    pub fn close(&mut self, local: &Local, step: usize) {
        for &(job, _) in &local.users[step] {
            if self.is_undecided[job] {
                self.drop(local, job);
            }
        }
    }

    /// Drops the jobs that no longer fit, or that no visit worth more than `above` takes; the bound afterwards.
    pub fn tighten(&mut self, local: &Local, above: f64) -> f64 {
        let mut bound = self.bound();
        loop {
            let before = self.undecided.len();
            let mut at = 0;
            while let Some(&job) = self.undecided.get(at) {
                if bound <= above {
                    return bound;
                }
                let with = bound + self.shares.left[job].min(0.0) - self.lack[job];
                if with <= above || !self.fits(job) {
                    bound -= self.drop(local, job);
                } else {
                    at += 1;
                }
            }
            if self.undecided.len() == before {
                break;
            }
        }
        if self.idle > 0 && self.has_useless(local) { f64::NEG_INFINITY } else { bound }
    }

    /// Whether a step is open that no job uses or can come to use: the visit is the same without it.
    fn has_useless(&self, local: &Local) -> bool {
        let wanted = |step: usize| local.users[step].iter().any(|(job, _)| self.is_undecided[*job]);
        (0..self.open.len()).any(|step| self.open[step] && self.uses[step] == 0 && !wanted(step))
    }
}
