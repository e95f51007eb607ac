//! Random instances small enough to try everything, with every kind of rule.

use super::random::Random;
use planner::{AccessCost, AccessStep, Instance, Job, LEAVE, Occasion, OccasionLimits, Pin, PinRule};
use std::collections::BTreeMap;

/// An instance with none to six jobs, five steps and three occasions. Every other one has small whole costs, so that
/// ties are common. It may have no plan at all.
pub fn small(seed: u64) -> Instance {
    let r = &mut Random::new(seed);
    let whole = r.chance(0.5);
    let occasions = 1 + r.below(3);
    let steps = r.below(6);
    let jobs = r.below(7);
    let occasion = |t: usize| ["now", "next", "later"][t].to_owned();
    let step = |a: usize| format!("s{a}");
    // Ids do not sort in the order of writing.
    let job = |j: usize| format!("j{}", (j * 7 + 3) % 10);
    let amount = |r: &mut Random, high: f64| {
        let value = r.between(0.0, high);
        if whole { (value / high * 6.0).floor() } else { value }
    };

    let access = (0..steps)
        .map(|a| AccessStep {
            id: step(a),
            cost: if r.chance(0.7) {
                AccessCost::Always(amount(r, 60.0))
            } else {
                AccessCost::On((0..occasions).map(|t| (occasion(t), amount(r, 60.0))).collect())
            },
            hours: amount(r, 3.0),
            needs: (0..a).filter(|_| r.chance(0.35)).map(step).collect(),
            open: (0..occasions).filter(|_| r.chance(0.08)).map(occasion).collect(),
        })
        .collect();
    let listed = (0..jobs)
        .map(|j| {
            let mut cost = BTreeMap::new();
            for t in 0..occasions {
                if r.chance(0.93) {
                    cost.insert(occasion(t), amount(r, 80.0));
                }
            }
            if r.chance(0.9) || cost.is_empty() {
                cost.insert(LEAVE.into(), amount(r, 120.0));
            }
            Job {
                id: job(j),
                needs: (0..steps).filter(|_| r.chance(0.4)).map(step).collect(),
                cost,
                cash: amount(r, 90.0),
                hours: amount(r, 2.0),
                by: r.chance(0.12).then(|| occasion(r.below(occasions))),
            }
        })
        .collect();
    let mut instance = Instance {
        occasions: (0..occasions).map(|t| Occasion { id: occasion(t), at: t as f64 }).collect(),
        access,
        jobs: listed,
        ..Instance::default()
    };
    for t in 0..occasions {
        let hours = r.chance(0.5).then(|| amount(r, 9.0));
        let cash = r.chance(0.5).then(|| amount(r, 300.0));
        instance.limits.insert(occasion(t), OccasionLimits { cash, hours });
    }
    let group = |r: &mut Random| -> Vec<String> {
        let size = 2 + r.below(2);
        r.some(size, jobs).into_iter().map(job).collect()
    };
    if jobs >= 2 {
        instance.together.extend(r.chance(0.2).then(|| group(r)));
        instance.exclusive.extend(r.chance(0.25).then(|| group(r)));
        for _ in 0..2 {
            if r.chance(0.2) {
                let pair = r.some(2, jobs);
                let (one, other) = if r.chance(0.5) { (0, 1) } else { (1, 0) };
                instance.before.push((job(pair[one]), job(pair[other])));
            }
        }
    }
    if jobs >= 1 && r.chance(0.15) {
        let choice = r.below(occasions + 1);
        instance.pins.push(Pin {
            job: job(r.below(jobs)),
            choice: if choice == occasions { LEAVE.into() } else { occasion(choice).as_str().into() },
            rule: if r.chance(0.5) { PinRule::Must } else { PinRule::MustNot },
        });
    }
    instance
}
