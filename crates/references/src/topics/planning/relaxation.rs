//! What a plan would cost if jobs and steps could be done in part: the bound that a general solver starts from.

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use planner::{AccessCost, AccessStep, Choice, Instance, LEAVE, PinRule};
use std::collections::{BTreeMap, BTreeSet};

type Row = Vec<(Variable, f64)>;

/// The least cost in parts of an instance that nothing is wrong with; `None` when even parts keep no rules.
pub(super) fn relaxed_cost(instance: &Instance) -> Option<f64> {
    Program::new(instance).problem.solve().ok()?.into_solution().ok().map(|solution| solution.objective())
}

struct Program<'a> {
    instance: &'a Instance,
    problem: Problem,
    /// How much of a job takes a choice, and of a step is open on an occasion.
    done: BTreeMap<(&'a str, &'a str), Variable>,
    open: BTreeMap<(&'a str, &'a str), Variable>,
    /// By occasion, the steps that lie open already.
    free: BTreeMap<&'a str, BTreeSet<&'a str>>,
}

impl<'a> Program<'a> {
    fn new(instance: &'a Instance) -> Self {
        let free = instance.occasions.iter().map(|o| (o.id.as_str(), lies_open(instance, &o.id))).collect();
        let problem = Problem::new(OptimizationDirection::Minimize);
        let mut program = Self { instance, problem, done: BTreeMap::new(), open: BTreeMap::new(), free };
        program.columns();
        program.access();
        program.limits();
        program.rules();
        program
    }

    fn columns(&mut self) {
        let place = |id: &str| self.instance.occasions.iter().position(|occasion| occasion.id == id);
        for job in &self.instance.jobs {
            let last = job.by.as_deref().and_then(place);
            for (choice, &cost) in &job.cost {
                let late = last.is_some_and(|last| place(choice).is_none_or(|t| t > last));
                let mut pins = self.instance.pins.iter().filter(|pin| pin.job == job.id);
                let named = Choice::from(choice.as_str());
                if !late && pins.all(|pin| (pin.choice == named) == (pin.rule == PinRule::Must)) {
                    self.done.insert((&job.id, choice), self.problem.add_var(cost, (0.0, 1.0)));
                }
            }
        }
        for step in &self.instance.access {
            for occasion in &self.instance.occasions {
                let cost = self.cost(step, &occasion.id);
                self.open.insert((&step.id, &occasion.id), self.problem.add_var(cost, (0.0, 1.0)));
            }
        }
    }

    fn is_free(&self, step: &AccessStep, occasion: &str) -> bool {
        self.free.get(occasion).is_some_and(|free| free.contains(step.id.as_str()))
    }

    fn cost(&self, step: &AccessStep, occasion: &str) -> f64 {
        match &step.cost {
            _ if self.is_free(step, occasion) => 0.0,
            AccessCost::Always(cost) => *cost,
            AccessCost::On(costs) => costs.get(occasion).copied().unwrap_or_default(),
        }
    }

    /// A part of a job, or of a step, is done only with as large a part of each step it needs.
    fn access(&mut self) {
        for occasion in &self.instance.occasions {
            let on = occasion.id.as_str();
            let jobs =
                self.instance.jobs.iter().map(|job| (self.done.get(&(job.id.as_str(), on)), &job.needs));
            let steps =
                self.instance.access.iter().map(|step| (self.open.get(&(step.id.as_str(), on)), &step.needs));
            let rows: Vec<Row> = jobs
                .chain(steps)
                .filter_map(|(part, needs)| Some((*part?, needs)))
                .flat_map(|(part, needs)| needs.iter().map(move |step| (part, step)))
                .filter_map(|(part, step)| {
                    Some(vec![(part, 1.0), (*self.open.get(&(step.as_str(), on))?, -1.0)])
                })
                .collect();
            rows.into_iter().for_each(|row| self.problem.add_constraint(row, ComparisonOp::Le, 0.0));
        }
    }

    fn limits(&mut self) {
        for (occasion, limits) in &self.instance.limits {
            let on = occasion.as_str();
            let sum =
                |of_job: &dyn Fn(&planner::Job) -> f64, of_step: &dyn Fn(&AccessStep) -> f64| -> Row {
                    let jobs = self.instance.jobs.iter();
                    let steps = self.instance.access.iter();
                    jobs.filter_map(|job| Some((*self.done.get(&(job.id.as_str(), on))?, of_job(job))))
                        .chain(steps.filter_map(|step| {
                            Some((*self.open.get(&(step.id.as_str(), on))?, of_step(step)))
                        }))
                        .collect()
                };
            let hours = sum(&|job| job.hours, &|step| if self.is_free(step, on) { 0.0 } else { step.hours });
            let cash = sum(&|job| job.cash, &|step| self.cost(step, on));
            for (row, limit) in [(hours, limits.hours), (cash, limits.cash)] {
                if let Some(limit) = limit {
                    self.problem.add_constraint(row, ComparisonOp::Le, limit);
                }
            }
        }
    }

    fn rules(&mut self) {
        let occasions: Vec<&str> =
            self.instance.occasions.iter().map(|occasion| occasion.id.as_str()).collect();
        let parts = |job: &str, choices: &[&str], factor: f64| -> Row {
            choices.iter().filter_map(|choice| Some((*self.done.get(&(job, *choice))?, factor))).collect()
        };
        let choices: Vec<&str> = occasions.iter().copied().chain([LEAVE]).collect();
        let mut rows: Vec<(Row, ComparisonOp, f64)> = vec![];
        for job in &self.instance.jobs {
            rows.push((parts(&job.id, &choices, 1.0), ComparisonOp::Eq, 1.0));
        }
        for pair in self.instance.together.iter().flat_map(|group| group.windows(2)) {
            for choice in &choices {
                let same = [parts(&pair[0], &[choice], 1.0), parts(&pair[1], &[choice], -1.0)].concat();
                rows.push((same, ComparisonOp::Eq, 0.0));
            }
        }
        for group in &self.instance.exclusive {
            let done = group.iter().flat_map(|job| parts(job, &occasions, 1.0)).collect();
            rows.push((done, ComparisonOp::Le, 1.0));
        }
        for (first, then) in &self.instance.before {
            for until in 1..=occasions.len() {
                let done =
                    [parts(then, &occasions[..until], 1.0), parts(first, &occasions[..until], -1.0)].concat();
                rows.push((done, ComparisonOp::Le, 0.0));
            }
        }
        rows.into_iter().for_each(|(row, op, right)| self.problem.add_constraint(row, op, right));
    }
}

/// The steps that lie open on an occasion, with what they need.
fn lies_open<'a>(instance: &'a Instance, occasion: &str) -> BTreeSet<&'a str> {
    let marked = |step: &&AccessStep| step.open.iter().any(|on| on == occasion);
    let mut todo: Vec<&str> = instance.access.iter().filter(marked).map(|step| step.id.as_str()).collect();
    let mut open = BTreeSet::new();
    while let Some(id) = todo.pop() {
        if open.insert(id) {
            let needs = instance.access.iter().filter(|step| step.id == id).flat_map(|step| &step.needs);
            todo.extend(needs.map(String::as_str));
        }
    }
    open
}
