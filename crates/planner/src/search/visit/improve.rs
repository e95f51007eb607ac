//! Bettering a visit by small changes.

use super::descent::Descent;
use super::local::Local;

/// Gains below this, or below this part of all that is at stake, are none: sums may be off by so much, and what is
/// gained by an error in a sum could be gained for ever.
const GAIN: f64 = 1e-9;
const GAIN_PART: f64 = 1e-13;

impl Descent<'_, '_, '_> {
    /// Adds, drops and swaps single jobs of a visit as long as that helps, and keeps it if it is wanted.
    pub fn improve(&mut self, start: &[usize]) {
        let Some(mut visit) = Visit::new(self.local, start) else { return };
        while visit.better() {}
        if visit.value > self.above {
            let jobs: Vec<usize> = (0..visit.has.len()).filter(|&job| visit.has[job]).collect();
            if !jobs.is_empty() {
                self.keep(visit.value, jobs);
            }
        }
    }
}

struct Visit<'a> {
    local: &'a Local,
    has: Vec<bool>,
    /// How many of its jobs use a step.
    uses: Vec<usize>,
    value: f64,
    /// The least gain that is one.
    least: f64,
    /// What is left.
    hours: f64,
    cash: f64,
}

/// A job out, a job in, or both.
#[derive(Clone, Copy)]
struct Change {
    gain: f64,
    out: Option<usize>,
    new: Option<usize>,
}

impl<'a> Visit<'a> {
    /// `None` when the jobs that matter do not fit, which is when others must be done now.
    fn new(local: &'a Local, jobs: &[usize]) -> Option<Self> {
        let has = vec![false; local.jobs.len()];
        let uses = vec![0; local.users.len()];
        let amounts = local.worth.iter().chain(&local.step_cost).map(|amount| amount.abs());
        let least = GAIN + GAIN_PART * (local.base.abs() + amounts.sum::<f64>());
        let (value, hours, cash) = (local.base, local.hours, local.cash);
        let mut visit = Self { local, has, uses, value, least, hours, cash };
        let known = jobs.iter().filter_map(|job| local.jobs.binary_search(job).ok());
        known.for_each(|job| visit.add(job));
        (visit.hours >= 0.0 && visit.cash >= 0.0).then_some(visit)
    }

    fn add(&mut self, job: usize) {
        let (value, hours, cash) = self.local.change(job, |step| self.uses[step] > 0);
        (self.value, self.hours, self.cash) = (self.value + value, self.hours - hours, self.cash - cash);
        self.has[job] = true;
        self.local.steps(job).iter().for_each(|&step| self.uses[step] += 1);
    }

    /// Takes a job out; what that loses.
    fn remove(&mut self, job: usize) -> f64 {
        self.has[job] = false;
        self.local.steps(job).iter().for_each(|&step| self.uses[step] -= 1);
        let (value, hours, cash) = self.local.change(job, |step| self.uses[step] > 0);
        (self.value, self.hours, self.cash) = (self.value - value, self.hours + hours, self.cash + cash);
        value
    }

    /// Makes the best change; false when none gains.
    fn better(&mut self) -> bool {
        let mut best = Change { gain: self.least, out: None, new: None };
        self.best_addition(0.0, None, &mut best);
        for out in (0..self.has.len()).filter(|&job| self.has[job]).collect::<Vec<_>>() {
            let lost = self.remove(out);
            if -lost > best.gain {
                best = Change { gain: -lost, out: Some(out), new: None };
            }
            self.best_addition(lost, Some(out), &mut best);
            self.add(out);
        }
        if let Some(job) = best.out {
            self.remove(job);
        }
        best.new.into_iter().for_each(|job| self.add(job));
        best.out.or(best.new).is_some()
    }

    /// The best job to add, after one has been taken out at a loss.
    fn best_addition(&self, lost: f64, out: Option<usize>, best: &mut Change) {
        for job in (0..self.has.len()).filter(|&job| !self.has[job] && Some(job) != out) {
            if self.local.worth[job] - lost <= best.gain {
                continue;
            }
            let (value, hours, cash) = self.local.change(job, |step| self.uses[step] > 0);
            let fits = hours <= self.hours && cash <= self.cash;
            if value - lost > best.gain
                && fits
                && !self.local.excludes[job].iter().any(|&other| self.has[other])
            {
                *best = Change { gain: value - lost, out, new: Some(job) };
            }
        }
    }
}
