//! The depth-first search for visits.

use super::local::Local;
use super::shares::{Shares, Walk};
use super::state::State;
use super::{Found, Question, Want};
use crate::search::meter::Meter;

pub(super) struct Descent<'a, 'm, 'l> {
    pub local: &'a Local,
    /// Only visits worth more than this are of interest.
    pub above: f64,
    all: bool,
    most: usize,
    nodes: u64,
    meter: &'m mut Meter<'l>,
    /// By depth; what lies deeper than the search is room to use again.
    states: Vec<State>,
    taken: Vec<usize>,
    found: Vec<(f64, Vec<usize>)>,
    /// The best bound of what was not looked at.
    unseen: f64,
    /// Whether steps are shared by so many jobs that they are decided first.
    steps_first: bool,
    /// How often the prices are bettered at each node.
    rounds: usize,
    walk: Walk,
    trial: Shares,
}

/// What is decided next.
#[derive(Clone, Copy)]
enum Next {
    Step(usize),
    Job(usize),
}

/// Steps are decided first when they are needed by more jobs than this, on average.
const MANY_USERS: usize = 4;
/// How often the prices are bettered at each node when steps are decided first.
const NODE_ROUNDS: usize = 2;
/// Bounds that differ by this part are equal.
const LAST_BITS: f64 = 1e-12;
/// Jobs worth bettering the prices for.
const ENOUGH_JOBS: usize = 3;

impl<'a, 'm, 'l> Descent<'a, 'm, 'l> {
    pub fn new(local: &'a Local, question: &Question<'_>, root: State, meter: &'m mut Meter<'l>) -> Self {
        let steps_first = local.step_of.len() > MANY_USERS * local.users.len();
        let limited = !(local.hours_free && local.cash_free);
        Self {
            local,
            above: question.above,
            all: matches!(question.want, Want::All { .. }),
            most: if let Want::All { most, .. } = question.want { most } else { usize::MAX },
            nodes: question.nodes,
            meter,
            states: vec![root],
            taken: vec![],
            found: vec![],
            unseen: f64::NEG_INFINITY,
            steps_first,
            rounds: if steps_first && limited { NODE_ROUNDS } else { 0 },
            walk: Walk::default(),
            trial: Shares::default(),
        }
    }

    pub fn root(&self) -> &State {
        &self.states[0]
    }

    /// Whether the bound says that nothing better is to be found, but for the last bits.
    pub fn is_settled(&self) -> bool {
        self.root().bound() <= self.above + LAST_BITS * self.above.abs().max(1.0)
    }

    /// The answer then.
    pub fn settled(self) -> Found {
        let bound = self.root().bound().max(self.above);
        Found { bound, ..self.answer() }
    }

    pub fn run(mut self) -> Found {
        self.descend(0);
        self.answer()
    }

    fn answer(self) -> Found {
        Found {
            bound: self.above.max(self.unseen),
            complete: self.unseen == f64::NEG_INFINITY,
            visits: self.found.iter().map(|(value, jobs)| (*value, self.local.visit(jobs))).collect(),
        }
    }

    /// Looks at every way on from the state at this depth.
    fn descend(&mut self, depth: usize) {
        let local = self.local;
        loop {
            let mut bound = self.states[depth].tighten(local, self.above);
            if bound > self.above && self.rounds > 0 && self.states[depth].undecided.len() >= ENOUGH_JOBS {
                self.better_prices(depth, self.rounds);
                bound = self.states[depth].tighten(local, self.above);
            }
            if bound <= self.above {
                return;
            }
            let Some(next) = self.next(depth) else { return };
            if self.nodes == 0 || self.found.len() >= self.most || !self.meter.spend() {
                self.unseen = self.unseen.max(bound);
                return;
            }
            self.nodes -= 1;
            self.copy_down(depth);
            match next {
                Next::Job(job) => {
                    self.states[depth + 1].take(local, job);
                    self.taken.push(job);
                    self.record(depth + 1);
                    self.descend(depth + 1);
                    self.taken.pop();
                    self.states[depth].drop(local, job);
                }
                Next::Step(step) => {
                    self.states[depth + 1].open(local, step);
                    self.descend(depth + 1);
                    self.states[depth].close(local, step);
                }
            }
        }
    }

    /// The step that would be missed the most, or the job that promises the most.
    fn next(&self, depth: usize) -> Option<Next> {
        let state = &self.states[depth];
        if self.steps_first {
            let mut most: Option<(f64, usize)> = None;
            for step in (0..state.open.len()).filter(|&step| !state.open[step]) {
                let users = || self.local.users[step].iter().filter(|(job, _)| state.is_undecided[*job]);
                let missed: f64 = users().map(|&(job, _)| state.shares.left[job].max(0.0)).sum();
                if most.is_none_or(|(held, _)| missed > held) && users().nth(1).is_some() {
                    most = Some((missed, step));
                }
            }
            if let Some((_, step)) = most {
                return Some(Next::Step(step));
            }
        }
        let by_promise = |a: &usize, b: &usize| state.promise(*a).total_cmp(&state.promise(*b));
        state.undecided.iter().copied().max_by(by_promise).map(Next::Job)
    }

    fn copy_down(&mut self, depth: usize) {
        if self.states.len() == depth + 1 {
            self.states.push(State::default());
        }
        let (upper, lower) = self.states.split_at_mut(depth + 1);
        lower[0].copy_from(&upper[depth]);
    }

    /// Keeps the visit of the jobs that must be alone, if it is wanted.
    pub fn record_must(&mut self) {
        if self.local.has_must() {
            self.record(0);
        }
    }

    /// Keeps what is taken, if it is wanted and every step that is open is used.
    fn record(&mut self, depth: usize) {
        let state = &self.states[depth];
        if state.idle == 0 && state.value > self.above {
            self.keep(state.value, self.taken.clone());
        }
    }

    pub fn keep(&mut self, value: f64, jobs: Vec<usize>) {
        self.found.push((value, jobs));
        if !self.all {
            self.above = value;
        }
    }

    /// Takes the most promising job as long as there is one, from the start.
    pub fn greedy(&mut self) {
        self.states[0].tighten(self.local, self.above);
        self.copy_down(0);
        loop {
            let state = &self.states[1];
            let by_promise = |a: &usize, b: &usize| state.promise(*a).total_cmp(&state.promise(*b));
            let fitting = state.undecided.iter().copied().filter(|&job| state.fits(job));
            let Some(job) = fitting.max_by(by_promise) else { break };
            self.states[1].take(self.local, job);
            self.taken.push(job);
            self.record(1);
        }
        self.taken.clear();
    }

    /// Betters the prices of hours and cash for what is left to decide, by steps against the subgradient (Polyak).
    pub fn better_prices(&mut self, depth: usize, rounds: usize) {
        let local = self.local;
        let mut best = self.states[depth].bound();
        let mut stretch = 1.0;
        self.trial.copy_from(&self.states[depth].shares);
        for _ in 0..rounds {
            let state = &self.states[depth];
            // The way leads over worse prices too, or it would end at the first edge.
            let bound = self.trial.bound(state);
            let reached = self.trial.reached(local, state, &mut self.walk);
            let value = state.value + reached.value;
            let fits = reached.hours <= state.hours && reached.cash <= state.cash && state.idle == 0;
            if !self.all && fits && value > self.above && !self.walk.jobs.is_empty() && !self.clashes() {
                self.keep(value, self.taken.iter().chain(&self.walk.jobs).copied().collect());
            }
            if best <= self.above {
                break;
            }
            let state = &mut self.states[depth];
            let over =
                |used: f64, limit: f64, free: bool| if free { 0.0 } else { (used - limit) / limit.max(1e-9) };
            let over_hours = over(reached.hours, state.hours, local.hours_free);
            let over_cash = over(reached.cash, state.cash, local.cash_free);
            let rests = |over: f64, price: f64| over == 0.0 || (over < 0.0 && price == 0.0);
            if rests(over_hours, self.trial.price_hours) && rests(over_cash, self.trial.price_cash) {
                break;
            }
            let target = if self.above.is_finite() { self.above } else { bound - 0.1 * (bound.abs() + 1.0) };
            let step = stretch * (bound - target) / (over_hours * over_hours + over_cash * over_cash);
            let moved = |price: f64, over: f64, limit: f64| (price + step * over / limit.max(1e-9)).max(0.0);
            self.trial.price_hours = moved(self.trial.price_hours, over_hours, state.hours);
            self.trial.price_cash = moved(self.trial.price_cash, over_cash, state.cash);
            self.trial.flow(local, state, &mut self.walk);
            let bound = self.trial.bound(state);
            if bound < best {
                best = bound;
                state.shares.copy_from(&self.trial);
            } else {
                stretch *= 0.5;
            }
        }
        self.states[depth].count_lack(local);
    }

    /// Whether the jobs of the last walk exclude each other.
    fn clashes(&self) -> bool {
        let jobs = &self.walk.jobs;
        jobs.iter().any(|&job| self.local.excludes[job].iter().any(|other| jobs.contains(other)))
    }
}
