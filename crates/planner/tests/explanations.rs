//! Every figure of an explanation is what planning anew with one decision turned comes to, by trying everything.

mod support;

use planner::{Choice, Instance, Limits, PlanError, explain, solve, waiting, weigh};
use std::collections::BTreeMap;
use support::brute::{self, best_of};
use support::cars::{Build, Room, car};
use support::small::small;

fn planned(seeds: std::ops::Range<u64>) -> impl Iterator<Item = (Instance, planner::Plan)> {
    seeds.filter_map(|seed| {
        let instance = small(seed);
        let plan = solve(&instance, &Limits::default()).ok()?;
        Some((instance, plan))
    })
}

fn close(got: Option<f64>, want: Option<f64>) -> bool {
    match (got, want) {
        (Some(got), Some(want)) => (got - want).abs() < 1e-9,
        (got, want) => got.is_none() && want.is_none(),
    }
}

#[test]
fn what_a_decision_saves_is_what_turning_it_would_cost() {
    for (instance, plan) in planned(0..600) {
        let why = explain(&instance, &plan, &Limits::default()).unwrap();
        let now = Choice::On(instance.occasions[0].id.clone());
        assert!(why.proven);
        let saves: BTreeMap<_, _> =
            why.now.iter().filter_map(|(job, why)| Some((job.clone(), why.saves?))).collect();
        assert_eq!(waiting(&instance, &plan, &Limits::default()).unwrap(), saves);
        // Cut short, it tells less and nothing else.
        let told = waiting(&instance, &plan, &Limits { nodes: 60, stop: None }).unwrap();
        assert!(
            told.iter().all(|(job, cost)| close(Some(*cost), saves.get(job).copied())),
            "{told:?} {saves:?}"
        );
        assert_eq!(why.now.len() + why.not_now.len(), instance.jobs.len());
        for (job, why) in &why.now {
            assert_eq!(plan.pick[job], now);
            let other = best_of(&instance, |pick| pick[job] != now);
            assert!(
                close(why.saves, other.as_ref().map(|other| other.cost - plan.cost)),
                "{job} {why:?} {other:?}"
            );
            assert_eq!(why.otherwise, other.map(|other| other.pick[job].clone()));
        }
        for (job, why) in &why.not_now {
            assert_eq!(plan.pick[job], why.choice);
            let forced = best_of(&instance, |pick| pick[job] == now);
            assert!(close(why.price, forced.map(|forced| forced.cost - plan.cost)), "{job} {why:?}");
            let other = best_of(&instance, |pick| pick[job] != why.choice);
            assert!(close(why.saves, other.as_ref().map(|other| other.cost - plan.cost)), "{job} {why:?}");
            assert_eq!(why.otherwise, other.map(|other| other.pick[job].clone()));
        }
        let second = best_of(&instance, |pick| *pick != plan.pick);
        assert!(close(why.next_best, second.map(|second| second.cost - plan.cost)));
    }
}

#[test]
fn a_decision_turns_where_the_explanation_says() {
    let set = |instance: &Instance, job: &str, choice: &Choice, cost: f64| {
        let mut changed = instance.clone();
        let known = changed.jobs.iter_mut().find(|known| known.id == job).unwrap();
        known.cost.insert(choice.to_string(), cost);
        solve(&changed, &Limits::default()).unwrap().pick.remove(job).unwrap()
    };
    for (instance, plan) in planned(0..250) {
        let why = explain(&instance, &plan, &Limits::default()).unwrap();
        let now = Choice::On(instance.occasions[0].id.clone());
        for (job, why) in &why.now {
            if let Some(at) = why.turns_above {
                assert_eq!(set(&instance, job, &now, (at - 1e-3).max(0.0)), now);
                assert_ne!(set(&instance, job, &now, at + 1e-3), now);
            }
        }
        for (job, why) in &why.not_now {
            if let Some(at) = why.turns_above {
                assert_eq!(set(&instance, job, &why.choice, (at - 1e-3).max(0.0)), why.choice);
                assert_ne!(set(&instance, job, &why.choice, at + 1e-3), why.choice);
            }
            if let Some(at) = why.now_below {
                assert_ne!(set(&instance, job, &now, at + 1e-3), now);
                if at > 1e-3 {
                    assert_eq!(set(&instance, job, &now, at - 1e-3), now);
                }
            }
        }
    }
}

#[test]
fn sharing_counts_each_step_once_for_all_and_once_for_each() {
    for (instance, plan) in planned(0..300) {
        let why = explain(&instance, &plan, &Limits::default()).unwrap();
        let (separate, joined) = why.separate_and_joined();
        assert!((plan.timing + joined - plan.cost).abs() < 1e-9);
        // Each job by itself on its occasion, all others left out.
        let alone: f64 = instance
            .jobs
            .iter()
            .map(|job| {
                let mut only = Instance {
                    occasions: instance.occasions.clone(),
                    access: instance.access.clone(),
                    ..Instance::default()
                };
                let choice = &plan.pick[&job.id];
                let timing = job.cost[&choice.to_string()];
                only.jobs.push(planner::Job { by: None, ..job.clone() });
                brute::cost(&only, &BTreeMap::from([(job.id.clone(), choice.clone())])).unwrap() - timing
            })
            .sum();
        assert!((separate - alone).abs() < 1e-9);
        for (visit, sharing) in plan.visits.iter().zip(&why.sharing) {
            assert_eq!(visit.occasion, sharing.occasion);
            assert!((visit.access_cost - sharing.joined).abs() < 1e-9);
            assert!(sharing.joined <= sharing.separate + 1e-9);
            assert!(sharing.joined_hours <= sharing.separate_hours + 1e-9);
        }
        for why in why.now.values() {
            assert!(why.own_steps.iter().all(|step| !why.shared.contains_key(step)));
        }
    }
}

#[test]
fn a_whole_car_is_explained_and_proven() {
    let instance = car(Build::Zoned, Room::Tight, (20, 24, 3), 1);
    let plan = solve(&instance, &Limits::default()).unwrap();
    let why = explain(&instance, &plan, &Limits::default()).unwrap();
    assert!(why.proven);
    assert!(why.now.values().all(|why| why.saves.is_some_and(|saves| saves >= -1e-9)));
    assert!(why.not_now.values().all(|why| why.saves.is_some_and(|saves| saves >= -1e-9)));
    let least = why.now.values().map(|why| why.saves).chain(why.not_now.values().map(|why| why.saves));
    assert_eq!(why.next_best, least.flatten().reduce(f64::min));
}

#[test]
fn choices_made_by_hand_are_weighed_and_judged() {
    for (instance, plan) in planned(0..300) {
        let (weighed, broken) = weigh(&instance, &plan.pick).unwrap();
        assert!(broken.is_empty());
        assert_eq!((weighed.cost, &weighed.visits), (plan.cost, &plan.visits));
        assert!(!weighed.proven);
        let all_left: BTreeMap<String, Choice> =
            instance.jobs.iter().map(|job| (job.id.clone(), Choice::Leave)).collect();
        match weigh(&instance, &all_left) {
            Ok((weighed, broken)) => {
                let want = brute::cost(&instance, &all_left);
                assert_eq!(broken.is_empty(), want.is_some(), "{broken:?}");
                assert!(want.is_none_or(|want| (want - weighed.cost).abs() < 1e-9));
            }
            Err(PlanError::Unfit(unfit)) => {
                let unoffered = |job: &&planner::Job| !job.cost.contains_key(planner::LEAVE);
                assert_eq!(unfit.len(), instance.jobs.iter().filter(unoffered).count());
            }
            Err(error) => panic!("{error}"),
        }
    }
}

#[test]
fn a_plan_of_another_instance_is_refused() {
    let (one, other) =
        (car(Build::Zoned, Room::Loose, (6, 5, 2), 1), car(Build::Zoned, Room::Loose, (7, 5, 3), 1));
    let plan = solve(&other, &Limits::default()).unwrap();
    assert!(matches!(explain(&one, &plan, &Limits::default()), Err(PlanError::Unfit(_))));
}
