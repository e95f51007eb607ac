//! Laws that plans keep whatever the figures.

#![allow(clippy::unwrap_used)] // helpers of tests

mod support;

use planner::{
    AccessCost, AccessStep, Choice, Instance, Limits, Pin, PinRule, Plan, PlanError, explain, solve, weigh,
};
use proptest::prelude::*;
use std::collections::BTreeMap;
use support::brute;
use support::cars::{Build, Room, car};
use support::small::small;

fn plan(instance: &Instance) -> Option<Plan> {
    solve(instance, &Limits::default()).ok()
}

/// Small instances with every kind of rule, and cars of a dozen jobs with limits.
fn instances() -> impl Strategy<Value = Instance> {
    let rooms = prop_oneof![Just(Room::Endless), Just(Room::Loose), Just(Room::Tight), Just(Room::Even)];
    let builds = prop_oneof![Just(Build::Zoned), Just(Build::Coupled)];
    prop_oneof![
        (0_u64..1_000_000).prop_map(small),
        (builds, rooms, 0_u64..1_000_000).prop_map(|(build, room, seed)| car(build, room, (12, 12, 3), seed)),
    ]
}

/// Sharing saves so much: each job's access by itself, less all of it together.
fn saved_by_sharing(instance: &Instance, pick: &BTreeMap<String, Choice>) -> f64 {
    let (plan, _) = weigh(instance, pick).unwrap();
    let (separate, joined) = explain(instance, &plan, &Limits::default()).unwrap().separate_and_joined();
    separate - joined
}

/// A small instance with one figure of a job and the cash of every occasion replaced.
fn odd(seed: u64, cost: f64, limit: f64) -> Instance {
    let mut odd = small(seed);
    if let Some(job) = odd.jobs.first_mut() {
        job.cost.values_mut().next().into_iter().for_each(|held| *held = cost);
        job.hours = cost;
    }
    odd.limits.values_mut().for_each(|limits| limits.cash = Some(limit));
    odd
}

/// The best there is, or a refusal that says why there is none.
fn is_planned_or_refused(odd: &Instance) -> Result<(), TestCaseError> {
    match solve(odd, &Limits::default()) {
        Ok(plan) => {
            let want = brute::best(odd).unwrap();
            prop_assert!((plan.cost - want.cost).abs() <= 1e-9 * want.cost.max(1.0));
        }
        Err(PlanError::Invalid(problems)) => prop_assert!(!problems.is_empty()),
        Err(error) => {
            let infeasible = matches!(error, PlanError::Infeasible { .. });
            prop_assert!(infeasible, "{error}");
            prop_assert_eq!(brute::best(odd), None);
        }
    }
    Ok(())
}

/// Beside ten thousand millions, cents are within the error of a sum; taking that error for a gain never ended.
#[test]
fn figures_of_very_unlike_sizes_are_planned() {
    for (seed, cost, limit) in
        [(313_011, 6_029_486_170.0, 2_218_982_770.0), (829_366, 1e10, 69_183_097.091_893_63)]
    {
        is_planned_or_refused(&odd(seed, cost, limit)).unwrap();
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn one_more_shared_step_never_makes_sharing_worse(seed in 0_u64..1_000_000, cost in 0.0..100.0) {
        let instance = Instance { limits: BTreeMap::new(), ..small(seed) };
        let Some(plan) = plan(&instance) else { return Ok(()) };
        let mut more = instance.clone();
        let id = "one-more".to_owned();
        let step = AccessStep { id: id.clone(), cost: AccessCost::Always(cost), hours: 0.5, needs: vec![], open: vec![] };
        more.access.push(step);
        more.jobs.iter_mut().for_each(|job| job.needs.push(id.clone()));
        prop_assert!(saved_by_sharing(&more, &plan.pick) >= saved_by_sharing(&instance, &plan.pick) - 1e-9);
    }

    #[test]
    fn more_money_or_hours_never_cost_more(instance in instances(), factor in 1.0..2.0, at in 0_usize..3) {
        let Some(before) = plan(&instance) else { return Ok(()) };
        let mut richer = instance.clone();
        if let Some(limits) = richer.limits.values_mut().nth(at) {
            limits.cash = limits.cash.map(|cash| cash * factor);
            limits.hours = limits.hours.map(|hours| hours * factor);
        }
        prop_assert!(plan(&richer).unwrap().cost <= before.cost + 1e-9);
    }

    #[test]
    fn a_pin_is_kept_and_never_pays(
        instance in instances(),
        job in any::<prop::sample::Index>(),
        choice in 0_usize..4,
        must in any::<bool>(),
    ) {
        prop_assume!(!instance.jobs.is_empty());
        let Some(free) = plan(&instance) else { return Ok(()) };
        let id = instance.jobs[job.index(instance.jobs.len())].id.clone();
        let choice = instance.occasions.get(choice).map_or(Choice::Leave, |o| Choice::On(o.id.clone()));
        let mut pinned = instance.clone();
        let rule = if must { PinRule::Must } else { PinRule::MustNot };
        pinned.pins.push(Pin { job: id.clone(), choice: choice.clone(), rule });
        if let Some(plan) = plan(&pinned) {
            prop_assert_eq!(plan.pick[&id] == choice, must);
            prop_assert!(plan.cost >= free.cost - 1e-9);
        }
    }

    #[test]
    fn what_is_due_is_never_put_off(
        instance in instances(),
        job in any::<prop::sample::Index>(),
        by in any::<prop::sample::Index>(),
    ) {
        prop_assume!(!instance.jobs.is_empty());
        let mut due = instance.clone();
        let by = by.index(due.occasions.len());
        let at = job.index(due.jobs.len());
        due.jobs[at].by = Some(due.occasions[by].id.clone());
        if let Some(plan) = plan(&due) {
            let in_time = |occasion: &planner::Occasion| plan.pick[&due.jobs[at].id] == Choice::On(occasion.id.clone());
            prop_assert!(due.occasions[..=by].iter().any(in_time));
        }
    }

    #[test]
    fn a_plan_is_never_worse_than_doing_nothing(instance in instances()) {
        let nothing: BTreeMap<String, Choice> = instance.jobs.iter().map(|job| (job.id.clone(), Choice::Leave)).collect();
        if let Some(cost) = brute::cost(&instance, &nothing) {
            prop_assert!(plan(&instance).unwrap().cost <= cost + 1e-9);
        }
    }

    #[test]
    fn the_order_of_writing_changes_nothing(instance in instances(), turn in 1_usize..9) {
        let mut turned = instance.clone();
        for (length, rotate) in [(turned.jobs.len(), true), (turned.access.len(), false)] {
            if length > 0 {
                if rotate { turned.jobs.rotate_left(turn % length) } else { turned.access.rotate_left(turn % length) }
            }
        }
        turned.jobs.iter_mut().for_each(|job| job.needs.reverse());
        turned.together.iter_mut().chain(&mut turned.exclusive).for_each(|group| group.reverse());
        match (solve(&instance, &Limits::default()), solve(&turned, &Limits::default())) {
            (Ok(one), Ok(other)) => prop_assert_eq!(one, other),
            (one, other) => prop_assert!(one.is_err() && other.is_err()),
        }
    }

    #[test]
    fn a_step_that_lies_open_never_costs_more(
        instance in instances(),
        step in any::<prop::sample::Index>(),
        on in any::<prop::sample::Index>(),
    ) {
        prop_assume!(!instance.access.is_empty());
        let Some(before) = plan(&instance) else { return Ok(()) };
        let mut opened = instance.clone();
        let on = opened.occasions[on.index(opened.occasions.len())].id.clone();
        let step = step.index(opened.access.len());
        if !opened.access[step].open.contains(&on) {
            opened.access[step].open.push(on);
        }
        prop_assert!(plan(&opened).unwrap().cost <= before.cost + 1e-9);
    }

    #[test]
    fn a_search_cut_short_still_tells_the_truth(instance in instances(), nodes in 0_u64..400) {
        let best = solve(&instance, &Limits::default());
        match solve(&instance, &Limits { nodes, stop: None }) {
            Ok(plan) => {
                let best = best.unwrap();
                let cost = brute::cost(&instance, &plan.pick).unwrap();
                prop_assert!((plan.cost - cost).abs() < 1e-9);
                prop_assert!(plan.cost >= best.cost - 1e-9 && plan.bound <= best.cost + 1e-9);
                prop_assert!(!plan.proven || plan.cost <= best.cost + 1e-9);
                prop_assert!((0.0..=1.0).contains(&plan.gap()));
            }
            Err(PlanError::CutShort { bound, .. }) => {
                prop_assert!(best.is_err() || best.is_ok_and(|best| bound <= best.cost + 1e-9));
            }
            Err(error) => prop_assert_eq!(std::mem::discriminant(&error), std::mem::discriminant(&best.unwrap_err())),
        }
    }

    #[test]
    fn an_instance_reads_back_as_it_was_written(instance in instances()) {
        let text = serde_json::to_string(&instance).unwrap();
        prop_assert_eq!(serde_json::from_str::<Instance>(&text).unwrap(), instance);
    }

    #[test]
    fn any_figures_are_planned_or_refused(
        seed in 0_u64..1_000_000,
        cost in prop_oneof![any::<f64>(), 0.0..1e10, Just(1e10), Just(0.0), Just(f64::NAN)],
        limit in prop_oneof![any::<f64>(), Just(0.0), 0.0..1e10, Just(1e10), Just(f64::INFINITY)],
    ) {
        // Where a limit is passed by about the error of a sum, either answer is right.
        prop_assume!(!(1e-10..1e-8).contains(&cost.abs()));
        is_planned_or_refused(&odd(seed, cost, limit))?;
    }
}
