//! Every small instance is answered as trying everything answers it.

mod support;

use planner::{Limits, PlanError, solve};
use support::{brute, small::small};

#[test]
fn the_best_plan_of_thousands_of_small_instances_is_found() {
    let mut without_plan = 0;
    for seed in 0..3_000 {
        let instance = small(seed);
        let want = brute::best(&instance);
        match (solve(&instance, &Limits::default()), want) {
            (Ok(plan), Some(want)) => {
                assert!(
                    (plan.cost - want.cost).abs() < 1e-9,
                    "seed {seed}: {} against {}",
                    plan.cost,
                    want.cost
                );
                let costs = brute::cost(&instance, &plan.pick);
                assert!(costs.is_some_and(|cost| (cost - plan.cost).abs() < 1e-9), "seed {seed}: {costs:?}");
                assert!(plan.proven, "seed {seed}");
                assert_eq!(plan.pick, want.pick, "seed {seed}: of equal plans another one");
            }
            (Err(PlanError::Infeasible { .. }), None) => without_plan += 1,
            (Err(PlanError::Invalid(problems)), None) if problems.iter().all(planner::Problem::is_clash) => {
                without_plan += 1;
            }
            (got, want) => panic!("seed {seed}: got {got:?}, want {want:?}"),
        }
    }
    assert!((100..1_500).contains(&without_plan), "{without_plan} instances without a plan");
}
