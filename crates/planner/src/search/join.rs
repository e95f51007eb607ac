//! Puts one visit for each occasion together into a plan.

use super::incumbent::Incumbent;
use super::meter::Meter;
use super::task::Task;

/// A visit that may be part of a plan.
#[derive(Debug, Clone)]
pub(crate) struct Part {
    /// How much worse than the best visit to its occasion it is, at the prices in force.
    pub regret: f64,
    jobs: Vec<usize>,
    /// The jobs again, one bit each.
    bits: Vec<u64>,
}

impl Part {
    pub fn new(task: &Task, jobs: &[usize], regret: f64) -> Self {
        let mut bits = vec![0; task.jobs().div_ceil(64)];
        jobs.iter().for_each(|job| bits[job / 64] |= 1 << (job % 64));
        Self { regret: regret.max(0.0), jobs: jobs.to_vec(), bits }
    }
}

pub(crate) struct Join<'a, 'l> {
    task: &'a Task,
    /// By occasion, the least regret first.
    parts: &'a [Vec<Part>],
    /// What leaving a job costs above its price.
    leaving: &'a [f64],
    /// A plan costs at least this and the regrets of its parts.
    bound: f64,
    tries: u64,
    meter: &'a mut Meter<'l>,
    best: &'a mut Incumbent,
    /// Occasions in the order they are filled.
    order: Vec<usize>,
    choices: Vec<usize>,
    taken: Vec<u64>,
}

impl<'a, 'l> Join<'a, 'l> {
    pub fn new(
        task: &'a Task,
        parts: &'a [Vec<Part>],
        leaving: &'a [f64],
        bound: f64,
        tries: u64,
        meter: &'a mut Meter<'l>,
        best: &'a mut Incumbent,
    ) -> Self {
        let mut order: Vec<usize> = (0..task.occasions).collect();
        order.sort_by_key(|&t| parts[t].len());
        let choices = vec![task.leave(); task.jobs()];
        let taken = vec![0; task.jobs().div_ceil(64)];
        Self { task, parts, leaving, bound, tries, meter, best, order, choices, taken }
    }

    /// Offers every plan that could be the best; false when there was no room to try them all.
    pub fn run(&mut self) -> bool {
        self.fill(0, self.bound)
    }

    /// Fills the occasions from this place in the order on; plans cost at least `bound`.
    fn fill(&mut self, place: usize, bound: f64) -> bool {
        let Some(&occasion) = self.order.get(place) else {
            let leave = self.task.leave();
            let left = self.choices.iter().zip(self.leaving).filter(|(choice, _)| **choice == leave);
            let regret: f64 = left.map(|(_, leaving)| leaving).sum();
            // Without a plan so far there is room for any, but not for leaving what must not be left.
            if regret.is_finite() && bound + regret <= self.room() {
                self.best.offer(self.task, &self.choices);
            }
            return true;
        };
        for part in &self.parts[occasion] {
            if bound + part.regret > self.room() {
                break;
            }
            if part.bits.iter().zip(&self.taken).any(|(part, taken)| part & taken != 0) {
                continue;
            }
            if self.tries == 0 || !self.meter.spend() {
                return false;
            }
            self.tries -= 1;
            self.place(part, occasion);
            let whole = self.fill(place + 1, bound + part.regret);
            self.place(part, self.task.leave());
            if !whole {
                return false;
            }
        }
        true
    }

    /// Gives the jobs of a part a choice; an occasion takes them and leaving lets them go.
    fn place(&mut self, part: &Part, choice: usize) {
        part.jobs.iter().for_each(|&job| self.choices[job] = choice);
        self.taken.iter_mut().zip(&part.bits).for_each(|(taken, part)| *taken ^= part);
    }

    fn room(&self) -> f64 {
        self.best.cost + self.task.preferences
    }
}
