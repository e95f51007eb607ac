//! Cars too large to try everything on are planned as a general mixed-integer solver plans them.

mod support;

use planner::{Limits, solve};
use support::{
    cars::{Build, Room, car},
    milp,
    small::small,
};

#[test]
fn cars_of_middling_size_cost_what_a_general_solver_says() {
    for build in [Build::Zoned, Build::Coupled] {
        for room in [Room::Endless, Room::Loose, Room::Tight] {
            for seed in 0..4 {
                let instance = car(build, room, (12, 14, 3), seed);
                let plan = solve(&instance, &Limits::default()).unwrap();
                let want = milp::least_cost(&instance).unwrap();
                assert!(plan.proven);
                assert!(
                    (plan.cost - want).abs() < 1e-6,
                    "{build:?} {room:?} {seed}: {} against {want}",
                    plan.cost
                );
            }
        }
    }
}

#[test]
fn small_instances_with_every_kind_of_rule_cost_what_a_general_solver_says() {
    for seed in 10_000..10_300 {
        let instance = small(seed);
        let got = solve(&instance, &Limits::default()).ok().map(|plan| plan.cost);
        let want = instance.problems().is_empty().then(|| milp::least_cost(&instance)).flatten();
        let agree = match (got, want) {
            (Some(got), Some(want)) => (got - want).abs() < 1e-6,
            (got, want) => got == want,
        };
        assert!(agree, "seed {seed}: {got:?} against {want:?}");
    }
}
