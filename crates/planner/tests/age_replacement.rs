//! One part, nothing shared, many occasions: the plan is age replacement.
//!
//! Renewed at age `t` or when it fails before, a part costs `g(t) = (C_p S(t) + C_f F(t)) / ∫₀ᵗ S` in the long run
//! (Barlow and Proschan 1965, chapter 4; from memory); the best `t` has the least `g`.

#![allow(clippy::unwrap_used)] // helpers of tests

use planner::{Choice, Instance, Job, LEAVE, Limits, Occasion, TimingCost, cost_of_life, solve};

const PLANNED: f64 = 100.0;

struct Part {
    life: f64,
    shape: f64,
    failed: f64,
}

impl Part {
    fn survival(&self, age: f64) -> f64 {
        (-(age / self.life).powf(self.shape)).exp()
    }

    /// `∫ S` between two ages, by the middles of short steps.
    fn served(&self, from: f64, to: f64) -> f64 {
        let steps = 4_000;
        let step = (to - from) / f64::from(steps);
        (0..steps).map(|i| self.survival(from + (f64::from(i) + 0.5) * step) * step).sum()
    }

    fn long_run_cost(&self, age: f64) -> f64 {
        let alive = self.survival(age);
        (PLANNED * alive + self.failed * (1.0 - alive)) / self.served(0.0, age)
    }

    /// The age with the least cost in the long run, by golden section.
    fn best_age(&self) -> f64 {
        let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
        let (mut low, mut high) = (0.05 * self.life, 2.0 * self.life);
        while high - low > 1e-4 {
            let (one, other) = (high - golden * (high - low), low + golden * (high - low));
            if self.long_run_cost(one) < self.long_run_cost(other) { high = other } else { low = one }
        }
        0.5 * (low + high)
    }

    /// The age that the planner renews it at, among many, when a year of life costs so much.
    fn planned_age(&self, year: f64) -> f64 {
        let ages: Vec<f64> = (0..300).map(|i| f64::from(i) * self.life * 0.005).collect();
        let cost = TimingCost { surprise: self.failed - PLANNED, life: year, leaving: 0.0 };
        let horizon = 4.0 * self.life;
        let costs = ages
            .iter()
            .map(|&age| (format!("{age}"), cost.done(1.0 - self.survival(age), self.served(age, horizon))));
        let instance = Instance {
            occasions: ages.iter().map(|&at| Occasion { id: format!("{at}"), at }).collect(),
            jobs: vec![Job {
                id: "renew".into(),
                needs: vec![],
                cost: costs.chain([(LEAVE.into(), cost.left(1.0))]).collect(),
                cash: PLANNED,
                hours: 1.0,
                by: None,
            }],
            ..Instance::default()
        };
        match &solve(&instance, &Limits::default()).unwrap().pick["renew"] {
            Choice::On(age) => age.parse().unwrap(),
            Choice::Leave => f64::INFINITY,
        }
    }
}

const PARTS: [Part; 3] = [
    Part { life: 10.0, shape: 3.0, failed: 500.0 },
    Part { life: 6.0, shape: 2.0, failed: 900.0 },
    Part { life: 12.0, shape: 4.5, failed: 300.0 },
];

impl Part {
    fn mean(&self) -> f64 {
        self.served(0.0, 6.0 * self.life)
    }

    fn cost_of_life(&self) -> f64 {
        cost_of_life(PLANNED, self.failed, self.mean(), |age| self.survival(age)).unwrap()
    }
}

#[test]
fn many_occasions_and_nothing_shared_give_the_best_age() {
    for part in PARTS {
        let best = part.best_age();
        let cost = part.cost_of_life();
        assert!((cost / part.long_run_cost(best) - 1.0).abs() < 1e-3, "{cost} {}", part.long_run_cost(best));
        let planned = part.planned_age(cost);
        assert!((planned - best).abs() <= 0.006 * part.life, "planned at {planned}, best at {best}");
    }
}

/// Planned cost over mean life is what a unit of life costs if no part ever failed early: less than renewing achieves.
#[test]
fn planned_cost_over_mean_life_renews_too_early() {
    for part in PARTS {
        let (best, planned) = (part.best_age(), part.planned_age(PLANNED / part.mean()));
        assert!(planned < 0.9 * best, "{planned} against {best}");
        assert!(part.long_run_cost(planned) > 1.02 * part.long_run_cost(best));
    }
}

#[test]
fn a_part_that_does_not_age_is_never_renewed() {
    let part = Part { life: 10.0, shape: 1.0, failed: 500.0 };
    // Failing costs 500 every ten years whatever is done.
    assert!((part.cost_of_life() - 50.0).abs() < 0.05);
    assert!(part.planned_age(part.cost_of_life()).is_infinite());
}

#[test]
fn what_is_no_life_has_no_cost() {
    assert_eq!(cost_of_life(1.0, 2.0, 0.0, |_| 0.5), None);
    assert_eq!(cost_of_life(f64::NAN, 2.0, 1.0, |_| 0.5), None);
    assert_eq!(cost_of_life(1.0, 2.0, 1.0, |_| f64::NAN), None);
}
