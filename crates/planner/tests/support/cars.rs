//! Invented cars of workshop size: jobs that wear out, steps with hours, and visits that cannot hold everything.

use super::random::Random;
use planner::{AccessCost, AccessStep, Instance, Job, LEAVE, Occasion, OccasionLimits};
use std::collections::BTreeSet;

/// How the access steps of a car hang together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Build {
    /// Eight zones that share nothing; within a zone each step lies behind one other, and jobs need one or two steps.
    Zoned,
    /// One whole: each step lies behind one to three others anywhere, and jobs need one to four steps.
    Coupled,
}

/// What the visits have to give, and how urgent the jobs are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// No limits. Parts wear out, some soon and some late.
    Endless,
    /// The same parts; each visit has a quarter to two fifths of the hours and cash that doing everything at once takes.
    Loose,
    /// The same parts; each visit has a tenth to a fifth: about half of the jobs find a place.
    Tight,
    /// Waiting costs little, leaving much, and every visit has the same eighteen hundredths: many plans are nearly as
    /// good as the best, which is as hard as a car can be.
    Even,
}

impl Build {
    pub fn named(name: &str) -> Self {
        if name == "coupled" { Self::Coupled } else { Self::Zoned }
    }
}

impl Room {
    pub fn named(name: &str) -> Self {
        match name {
            "loose" => Self::Loose,
            "tight" => Self::Tight,
            "even" => Self::Even,
            _ => Self::Endless,
        }
    }
}

/// What an hour of work costs.
const RATE: f64 = 90.0;

/// A car with so many jobs, steps and occasions.
pub fn car(build: Build, room: Room, (jobs, steps, occasions): (usize, usize, usize), seed: u64) -> Instance {
    let r = &mut Random::new(seed);
    let zones = if build == Build::Zoned { 8.min(steps).max(1) } else { 1 };
    let zone_of_step = |a: usize| a * zones / steps;
    let mut needs: Vec<Vec<usize>> = vec![];
    for a in 0..steps {
        let earlier: Vec<usize> = (0..a).filter(|&q| zone_of_step(q) == zone_of_step(a)).collect();
        let many = match build {
            Build::Zoned => 1,
            Build::Coupled => 1 + r.below(3),
        };
        // Every tenth step of a whole car, and the first of each zone, lies open to the hand.
        let outer = earlier.is_empty() || (build == Build::Coupled && r.chance(0.1));
        let some = if outer { vec![] } else { r.some(many, earlier.len()) };
        needs.push(some.into_iter().map(|at| earlier[at]).collect());
    }
    let access: Vec<AccessStep> = (0..steps)
        .map(|a| {
            let hours = round(r.between(0.2, 1.0) * if r.chance(0.2) { 3.0 } else { 1.0 }, 0.1);
            AccessStep {
                id: format!("step-{a:02}"),
                cost: AccessCost::Always(round(hours * RATE, 1.0)),
                hours,
                needs: needs[a].iter().map(|q| format!("step-{q:02}")).collect(),
                open: vec![],
            }
        })
        .collect();
    let times: Vec<f64> = (0..occasions).map(|t| t as f64 * 0.8).collect();
    let occasion = |t: usize| if t == 0 { "now".to_owned() } else { format!("visit-{t}") };
    let listed: Vec<Job> = (0..jobs)
        .map(|j| {
            let within: Vec<usize> = (0..steps).filter(|&a| zone_of_step(a) == j * zones / jobs).collect();
            let many = match build {
                Build::Zoned => 1 + r.below(2),
                Build::Coupled => 1 + r.below(4),
            };
            let hours = round(r.between(0.2, 3.0), 0.1);
            let cash = round(hours * RATE + r.between(10.0, 400.0), 1.0);
            let mut cost = std::collections::BTreeMap::new();
            if room == Room::Even {
                let (base, waiting) = (r.between(50.0, 400.0), r.between(0.0, 25.0));
                for t in 0..occasions {
                    cost.insert(occasion(t), round(base + waiting * t as f64, 0.01));
                }
                cost.insert(LEAVE.into(), round(base + r.between(100.0, 900.0), 0.01));
            } else {
                let part = Part {
                    life: r.between(2.0, 9.0),
                    shape: r.between(1.2, 4.5),
                    age: r.between(0.5, 7.0),
                    surprise: r.between(0.3, 3.0) * cash,
                };
                for (t, &tau) in times.iter().enumerate() {
                    cost.insert(occasion(t), round(part.timing_cost(cash, tau), 0.01));
                }
                let gone = part.gone_by(times.last().copied().unwrap_or(0.0) + 0.8);
                cost.insert(LEAVE.into(), round(part.surprise * gone + 0.3 * cash * (1.0 - gone), 0.01));
            }
            Job {
                id: format!("job-{j:02}"),
                needs: r
                    .some(many, within.len())
                    .into_iter()
                    .map(|at| format!("step-{:02}", within[at]))
                    .collect(),
                cost,
                cash,
                hours,
                by: None,
            }
        })
        .collect();
    let mut instance = Instance {
        occasions: times.iter().enumerate().map(|(t, &at)| Occasion { id: occasion(t), at }).collect(),
        access,
        jobs: listed,
        ..Instance::default()
    };
    let (hours, cash) = everything_at_once(&instance);
    let share = match room {
        Room::Endless => return instance,
        Room::Loose => (0.25, 0.4),
        Room::Tight => (0.1, 0.2),
        Room::Even => (0.18, 0.18),
    };
    for t in 0..occasions {
        let limits = OccasionLimits {
            hours: Some(round(hours * r.between(share.0, share.1), 0.5)),
            cash: Some(round(cash * r.between(share.0, share.1), 10.0)),
        };
        instance.limits.insert(occasion(t), limits);
    }
    instance
}

/// A part that wears out by Weibull's law.
struct Part {
    life: f64,
    shape: f64,
    age: f64,
    /// What failing costs beyond being renewed in time.
    surprise: f64,
}

impl Part {
    /// Survival for so long from today.
    fn lasts(&self, time: f64) -> f64 {
        let hazard = |age: f64| (age / self.life).powf(self.shape);
        (hazard(self.age) - hazard(self.age + time)).exp()
    }

    fn gone_by(&self, time: f64) -> f64 {
        1.0 - self.lasts(time)
    }

    /// Risk until then and life thrown away then.
    fn timing_cost(&self, cash: f64, tau: f64) -> f64 {
        let step = self.life / 200.0;
        let remaining: f64 = (0..1_000).map(|i| self.lasts(tau + (i as f64 + 0.5) * step) * step).sum();
        self.surprise * self.gone_by(tau) + cash / self.life * remaining
    }
}

/// Hours and cash of doing every job on one visit.
fn everything_at_once(instance: &Instance) -> (f64, f64) {
    let mut used = BTreeSet::new();
    let mut todo: Vec<&String> = instance.jobs.iter().flat_map(|job| &job.needs).collect();
    while let Some(id) = todo.pop() {
        if used.insert(id) {
            todo.extend(instance.access.iter().filter(|step| step.id == *id).flat_map(|step| &step.needs));
        }
    }
    let steps = || instance.access.iter().filter(|step| used.contains(&step.id));
    let cost = |step: &AccessStep| if let AccessCost::Always(cost) = step.cost { cost } else { 0.0 };
    (
        instance.jobs.iter().map(|job| job.hours).chain(steps().map(|step| step.hours)).sum(),
        instance.jobs.iter().map(|job| job.cash).chain(steps().map(cost)).sum(),
    )
}

fn round(value: f64, to: f64) -> f64 {
    let steps = (value / to).round();
    if to < 1.0 { steps / (1.0 / to).round() } else { steps * to }
}
