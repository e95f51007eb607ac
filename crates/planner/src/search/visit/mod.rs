//! The best visit for one occasion, when it is known what each job is worth there.
//!
//! A knapsack with two limits whose items share set-up costs. Limits are priced, set-up costs are shared out among the
//! jobs that would pay for them (a maximum flow; Rhys 1970, Balinski 1970, Picard 1976), and what is left over bounds
//! the value of every visit (`shares`). A depth-first search then takes or drops one thing at a time (`descent`).
//! Dropping a job passes its shares on to the others, so the bound keeps falling without a new flow.

mod descent;
mod improve;
mod local;
mod shares;
mod state;

use super::meter::Meter;
use super::task::Task;
use descent::Descent;
use local::Local;
use shares::Kept;
use state::State;

/// What is asked of an occasion.
pub(crate) struct Question<'a> {
    pub occasion: usize,
    /// What each job brings in when it is done on this occasion.
    pub worth: &'a [f64],
    /// Jobs that may be done on it.
    pub may: &'a dyn Fn(usize) -> bool,
    /// Jobs that are done on it whatever they are worth.
    pub must: &'a [usize],
    /// Only visits worth more than this are wanted.
    pub above: f64,
    pub want: Want<'a>,
    /// Nodes before giving up.
    pub nodes: u64,
}

/// Which of the visits worth enough are wanted.
#[derive(Clone, Copy)]
pub(crate) enum Want<'a> {
    /// Better and better ones until the best; `starts` are visits to begin with.
    Best { starts: &'a [&'a [usize]] },
    /// Every one; `gap` is how far below the best they may be worth, `most` how many before giving up.
    All { gap: f64, most: usize },
}

/// Visits found: what each brings in when its access is paid, and its jobs in order.
#[derive(Debug)]
pub(crate) struct Found {
    pub visits: Vec<(f64, Vec<usize>)>,
    /// No visit with a job is worth more, or more than was asked for if that is more.
    pub bound: f64,
    /// Whether the search came to its end.
    pub complete: bool,
}

/// What is kept from one question about an occasion to the next: where the last bound was best.
#[derive(Debug, Clone)]
pub(crate) struct VisitSearch {
    kept: Kept,
    asked: bool,
}

/// How often prices of hours and cash are bettered at the start, the first time and later.
const FIRST_ROUNDS: usize = 15;
const LATER_ROUNDS: usize = 4;

impl VisitSearch {
    pub fn new(task: &Task) -> Self {
        Self { kept: Kept::new(task), asked: false }
    }

    /// Answers a question.
    pub fn ask(&mut self, task: &Task, question: &Question<'_>, meter: &mut Meter<'_>) -> Found {
        let Some(local) = Local::new(task, question) else {
            return Found { visits: vec![], bound: f64::NEG_INFINITY, complete: true };
        };
        let state = State::new(&local, &self.kept);
        let mut descent = Descent::new(&local, question, state, meter);
        descent.record_must();
        descent.better_prices(0, if self.asked { LATER_ROUNDS } else { FIRST_ROUNDS });
        self.asked = true;
        self.kept.keep(&local, &descent.root().shares);
        if let Want::Best { starts } = question.want {
            if descent.is_settled() {
                return descent.settled();
            }
            descent.greedy();
            starts.iter().for_each(|start| descent.improve(start));
        }
        descent.run()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Model;
    use crate::solve::Limits;
    use crate::{AccessCost, AccessStep, Instance, Job, LEAVE, Occasion, OccasionLimits};

    /// Numbers in `[0, 1)` that look like chance and are always the same.
    struct Chance(u64);

    impl Chance {
        fn next(&mut self) -> f64 {
            // Knuth's multiplier, MMIX; the upper bits.
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 11) as f64 / (1_u64 << 53) as f64
        }
    }

    /// One occasion with nine jobs on six steps, limits on some, two jobs that exclude each other on some.
    fn task(chance: &mut Chance) -> Task {
        let name = |kind: &str, at: usize| format!("{kind}{at}");
        let access = (0..6).map(|a| AccessStep {
            id: name("s", a),
            cost: AccessCost::Always((chance.next() * 40.0).round()),
            hours: chance.next() * 2.0,
            needs: (0..a).filter(|_| chance.next() < 0.4).map(|q| name("s", q)).collect(),
            open: vec![],
        });
        let access: Vec<_> = access.collect();
        // Some share little and some share much.
        let density = if chance.next() < 0.5 { 0.2 } else { 0.6 };
        let jobs = (0..9).map(|j| Job {
            id: name("j", j),
            needs: (0..6).filter(|_| chance.next() < density).map(|a| name("s", a)).collect(),
            cost: [("now".into(), 0.0), (LEAVE.into(), 0.0)].into(),
            cash: chance.next() * 50.0,
            hours: chance.next() * 2.0,
            by: None,
        });
        let jobs: Vec<_> = jobs.collect();
        let mut limit = |most: f64| (chance.next() < 0.7).then(|| most * (0.1 + 0.6 * chance.next()));
        let limits = OccasionLimits { hours: limit(20.0), cash: limit(500.0) };
        let exclusive = if chance.next() < 0.3 { vec![vec![name("j", 1), name("j", 4)]] } else { vec![] };
        let instance = Instance {
            occasions: vec![Occasion { id: "now".into(), at: 0.0 }],
            access,
            jobs,
            limits: [("now".into(), limits)].into(),
            exclusive,
            ..Instance::default()
        };
        Task::new(&Model::new(&instance, &[]))
    }

    /// Every visit that can be, with its value, by trying all.
    fn all(task: &Task, worth: &[f64], must: &[usize]) -> Vec<(f64, Vec<usize>)> {
        let mut visits = vec![];
        for bits in 1_usize..1 << task.jobs() {
            let jobs: Vec<usize> = (0..task.jobs()).filter(|job| bits >> job & 1 == 1).collect();
            let mut steps: Vec<usize> =
                jobs.iter().flat_map(|&job| task.closure[job].iter().copied()).collect();
            steps.sort_unstable();
            steps.dedup();
            let sum = |of: &[f64], over: &[usize]| over.iter().map(|&at| of[at]).sum::<f64>();
            let cost: f64 = steps.iter().map(|&step| task.step_cost[step][0]).sum();
            let hours =
                sum(&task.hours, &jobs) + steps.iter().map(|&step| task.step_hours[step][0]).sum::<f64>();
            let fits = hours <= task.hours_limit[0] && sum(&task.cash, &jobs) + cost <= task.cash_limit[0];
            let clash = jobs.iter().any(|&job| task.excludes[job].iter().any(|other| jobs.contains(other)));
            if fits && !clash && must.iter().all(|job| jobs.contains(job)) {
                visits.push((sum(worth, &jobs) - cost - task.visit_cost, jobs));
            }
        }
        visits
    }

    #[test]
    fn the_best_visit_and_all_that_are_nearly_as_good_are_found() {
        let limits = Limits::default();
        for seed in 0..400 {
            let chance = &mut Chance(seed);
            let task = task(chance);
            let mut search = VisitSearch::new(&task);
            // Prices change from question to question, as they do in the search.
            for _ in 0..4 {
                let worth: Vec<f64> = (0..task.jobs()).map(|_| chance.next() * 60.0 - 10.0).collect();
                let must: Vec<usize> = if chance.next() < 0.3 { vec![3] } else { vec![] };
                let visits = all(&task, &worth, &must);
                // Staying away is worth nothing, where that is allowed.
                let above = if must.is_empty() { 0.0 } else { f64::NEG_INFINITY };
                let best = visits.iter().map(|(value, _)| *value).fold(above, f64::max);
                let ask = |search: &mut VisitSearch, above: f64, want: Want<'_>, nodes: u64| {
                    let may = |_: usize| true;
                    let question =
                        Question { occasion: 0, worth: &worth, may: &may, must: &must, above, want, nodes };
                    search.ask(&task, &question, &mut Meter::new(&limits))
                };
                let cut = ask(&mut search, above, Want::Best { starts: &[] }, 2);
                assert!(cut.bound >= best - 1e-9, "seed {seed}: {} bounds {best}", cut.bound);
                let found = ask(&mut search, above, Want::Best { starts: &[] }, u64::MAX);
                assert!(found.complete);
                let last = found.visits.last().map_or(above, |(value, _)| *value);
                assert!((last - best).abs() < 1e-9 || last == best, "seed {seed}: {last} against {best}");
                if best == f64::NEG_INFINITY {
                    continue;
                }
                assert!((found.bound - best).abs() < 1e-9, "seed {seed}: {} for {best}", found.bound);
                let gap = 25.0;
                let want = Want::All { gap, most: usize::MAX };
                let mut listed: Vec<_> = ask(&mut search, best - gap, want, u64::MAX).visits;
                listed.iter_mut().for_each(|(_, jobs)| jobs.sort_unstable());
                listed.sort_by(|one, other| one.1.cmp(&other.1));
                let mut wanted: Vec<_> =
                    visits.into_iter().filter(|(value, _)| *value > best - gap).collect();
                wanted.sort_by(|one, other| one.1.cmp(&other.1));
                let jobs = |visits: &[(f64, Vec<usize>)]| {
                    visits.iter().map(|(_, jobs)| jobs.clone()).collect::<Vec<_>>()
                };
                assert_eq!(jobs(&listed), jobs(&wanted), "seed {seed}");
            }
        }
    }
}
