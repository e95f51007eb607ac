//! The sweep over cash and the count over scenarios say what planning each case by itself says.

mod support;

use planner::{Choice, Instance, Limits, PlanError, robustness, solve, sweep};
use support::small::small;

fn with_cash(instance: &Instance, cash: f64) -> Instance {
    let mut limited = instance.clone();
    limited.limits.entry("now".into()).or_default().cash = Some(cash);
    limited
}

#[test]
fn between_two_corners_the_lower_plan_stays_the_best() {
    let limits = Limits::default();
    let mut corners = 0;
    for seed in 0..120 {
        let instance = small(seed);
        let swept = match sweep(&instance, "now", 0.0..=400.0, 0.01, 100, &limits) {
            Ok(swept) => swept,
            Err(PlanError::Infeasible { .. } | PlanError::Invalid(_)) => continue,
            Err(error) => panic!("{error}"),
        };
        assert!(swept.complete);
        corners += swept.corners.len();
        assert!(swept.corners.windows(2).all(|pair| pair[0].cash < pair[1].cash));
        assert!(swept.corners.windows(2).all(|pair| pair[0].plan.cost > pair[1].plan.cost));
        for cash in (0..=40).map(|step| f64::from(step) * 10.0 + 0.005) {
            let at = swept.corners.iter().rev().find(|corner| corner.cash <= cash);
            match (solve(&with_cash(&instance, cash), &limits), at) {
                (Ok(plan), Some(corner)) => {
                    assert!((plan.cost - corner.plan.cost).abs() < 1e-9, "seed {seed} {cash}")
                }
                (Err(PlanError::Infeasible { .. }), None) => {}
                (got, want) => panic!("seed {seed} {cash}: {got:?} {want:?}"),
            }
        }
    }
    assert!(corners > 100, "{corners} corners");
}

#[test]
fn a_sweep_that_cannot_be_is_refused() {
    let (instance, limits) = (small(2), Limits::default());
    assert!(matches!(sweep(&instance, "never", 0.0..=1.0, 1.0, 9, &limits), Err(PlanError::Unfit(_))));
    assert!(matches!(sweep(&instance, "now", 0.0..=1.0, 0.0, 9, &limits), Err(PlanError::Unfit(_))));
    assert!(matches!(sweep(&instance, "now", 0.0..=1.0, f64::NAN, 9, &limits), Err(PlanError::Unfit(_))));
    assert!(!sweep(&instance, "now", 0.0..=400.0, 1.0, 0, &limits).unwrap().complete);
}

#[test]
fn shares_count_the_scenarios_with_a_plan() {
    let base: Instance = serde_json::from_str(
        r#"{ "occasions": [ { "id": "now", "at": 0 }, { "id": "next", "at": 1 } ],
             "jobs": [ { "id": "belt", "cost": { "now": 20, "next": 30, "leave": 90 }, "cash": 50, "by": "next" } ] }"#,
    )
    .unwrap();
    let dear_now = |cost: f64| {
        let mut scenario = base.clone();
        scenario.jobs[0].cost.insert("now".into(), cost);
        scenario
    };
    let mut poor = with_cash(&base, 10.0);
    poor.limits.insert("next".into(), planner::OccasionLimits { cash: Some(10.0), hours: None });
    let scenarios = [base.clone(), dear_now(25.0), dear_now(31.0), dear_now(10.0), poor];
    let count = robustness(&scenarios, &Limits::default()).unwrap();
    assert_eq!((count.planned, count.without_plan), (4, 1));
    assert_eq!(count.now["belt"], 0.75);
    assert_eq!(count.choices["belt"], [(Choice::from("now"), 0.75), (Choice::from("next"), 0.25)]);
    assert_eq!(count.mean_cost, (20.0 + 25.0 + 30.0 + 10.0) / 4.0);
    assert_eq!(robustness(&[], &Limits::default()).unwrap(), planner::Robustness::default());
}
