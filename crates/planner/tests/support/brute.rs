//! The answer by trying everything, written from the names alone and apart from the library's own sums.

use planner::{AccessCost, Choice, Instance, PinRule};
use std::collections::{BTreeMap, BTreeSet};

/// A plan found by trying everything.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    pub cost: f64,
    pub pick: BTreeMap<String, Choice>,
}

/// The best plan; ties go to fewer visits, then more jobs now, then the earlier choices in the order of ids.
pub fn best(instance: &Instance) -> Option<Best> {
    best_of(instance, |_| true)
}

/// The best of the plans that please.
pub fn best_of(instance: &Instance, pleases: impl Fn(&BTreeMap<String, Choice>) -> bool) -> Option<Best> {
    let mut jobs: Vec<_> = instance.jobs.iter().collect();
    jobs.sort_by(|one, other| one.id.cmp(&other.id));
    let choices: Vec<Vec<Choice>> = jobs
        .iter()
        .map(|job| {
            let occasions = instance.occasions.iter().map(|o| Choice::On(o.id.clone()));
            occasions.chain([Choice::Leave]).filter(|c| job.cost.contains_key(&c.to_string())).collect()
        })
        .collect();
    let mut best: Option<(Best, (usize, usize))> = None;
    let mut at = vec![0; jobs.len()];
    if choices.iter().any(Vec::is_empty) {
        return None;
    }
    // Counts up with the first job slowest, so that of equal plans the earlier choices come first.
    loop {
        let pick: BTreeMap<String, Choice> =
            jobs.iter().zip(&choices).zip(&at).map(|((job, c), &i)| (job.id.clone(), c[i].clone())).collect();
        if pleases(&pick)
            && let Some(cost) = cost(instance, &pick)
        {
            let visits: BTreeSet<_> = pick.values().filter(|c| **c != Choice::Leave).collect();
            let now = Choice::On(instance.occasions[0].id.clone());
            let rank = (visits.len(), jobs.len() - pick.values().filter(|c| **c == now).count());
            let better = best.as_ref().is_none_or(|(held, held_rank)| {
                cost < held.cost - 1e-9 || (cost <= held.cost + 1e-9 && rank < *held_rank)
            });
            if better {
                best = Some((Best { cost, pick }, rank));
            }
        }
        let Some(job) = (0..at.len()).rev().find(|&job| at[job] + 1 < choices[job].len()) else {
            return best.map(|(best, _)| best);
        };
        at[job] += 1;
        at[job + 1..].fill(0);
    }
}

/// What a plan costs, if it keeps every rule.
pub fn cost(instance: &Instance, pick: &BTreeMap<String, Choice>) -> Option<f64> {
    let order: BTreeMap<&str, usize> =
        instance.occasions.iter().enumerate().map(|(t, o)| (o.id.as_str(), t)).collect();
    let when = |job: &String| match &pick[job] {
        Choice::On(id) => Some(order[id.as_str()]),
        Choice::Leave => None,
    };
    let mut total = 0.0;
    for job in &instance.jobs {
        total += job.cost.get(&pick[&job.id].to_string())?;
        if let Some(by) = &job.by
            && when(&job.id).is_none_or(|t| t > order[by.as_str()])
        {
            return None;
        }
    }
    let pinned =
        instance.pins.iter().all(|pin| (pick[&pin.job] == pin.choice) == (pin.rule == PinRule::Must));
    let together = instance.together.iter().all(|group| group.iter().all(|job| pick[job] == pick[&group[0]]));
    let exclusive = instance.exclusive.iter().all(|group| group.iter().filter_map(when).count() <= 1);
    let before = instance
        .before
        .iter()
        .all(|(first, then)| when(then).is_none_or(|then| when(first).is_some_and(|first| first <= then)));
    if !(pinned && together && exclusive && before) {
        return None;
    }
    for occasion in &instance.occasions {
        let on: Vec<_> =
            instance.jobs.iter().filter(|job| pick[&job.id].to_string() == occasion.id).collect();
        let used = opened(instance, on.iter().flat_map(|job| &job.needs));
        let lies_open = instance.access.iter().filter(|step| step.open.contains(&occasion.id));
        let free = opened(instance, lies_open.map(|step| &step.id));
        let paid: Vec<_> = instance
            .access
            .iter()
            .filter(|step| used.contains(&step.id) && !free.contains(&step.id))
            .collect();
        let access: f64 = paid
            .iter()
            .map(|step| match &step.cost {
                AccessCost::Always(cost) => *cost,
                AccessCost::On(costs) => costs[&occasion.id],
            })
            .sum();
        total += access;
        let limits = instance.limits.get(&occasion.id).copied().unwrap_or_default();
        let hours: f64 = on.iter().map(|job| job.hours).chain(paid.iter().map(|step| step.hours)).sum();
        let cash = access + on.iter().map(|job| job.cash).sum::<f64>();
        if limits.hours.is_some_and(|limit| hours > limit + 1e-9)
            || limits.cash.is_some_and(|limit| cash > limit + 1e-9)
        {
            return None;
        }
    }
    Some(total)
}

/// The steps and all that they need.
fn opened<'a>(instance: &'a Instance, steps: impl Iterator<Item = &'a String>) -> BTreeSet<&'a String> {
    let mut open = BTreeSet::new();
    let mut todo: Vec<&String> = steps.collect();
    while let Some(id) = todo.pop() {
        if open.insert(id) {
            todo.extend(instance.access.iter().filter(|step| step.id == *id).flat_map(|step| &step.needs));
        }
    }
    open
}
