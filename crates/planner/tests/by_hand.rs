//! The two instances of docs/methods/planning.md, whose every plan is weighed there by hand.

#![allow(clippy::unwrap_used)]

use planner::{Choice, Instance, Limits, explain, solve};

fn read(occasions: &str, b: &str, a: &str, pins: &str) -> Instance {
    let text = format!(
        r#"{{ "occasions": {occasions}, "access": [{{ "id": "off", "cost": 400 }}],
            "jobs": [{{ "id": "a", "needs": ["off"], "cost": {a} }}, {{ "id": "b", "needs": ["off"], "cost": {b} }}],
            "pins": {pins} }}"#
    );
    serde_json::from_str(&text).unwrap()
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-6
}

#[test]
fn two_parts_behind_one_opening_are_done_together() {
    let instance = read(
        r#"[{ "id": "now", "at": 0 }, { "id": "next", "at": 1 }]"#,
        r#"{ "now": 60, "next": 50, "leave": 300 }"#,
        r#"{ "now": 0, "next": 500, "leave": 900 }"#,
        "[]",
    );
    let plan = solve(&instance, &Limits::default()).unwrap();
    assert!(plan.proven && near(plan.cost, 460.0), "{}", plan.cost);
    assert!(plan.pick.values().all(|choice| *choice == Choice::from("now")));
    let why = explain(&instance, &plan, &Limits::default()).unwrap();
    assert!(near(why.now["a"].saves.unwrap(), 490.0) && near(why.now["b"].saves.unwrap(), 240.0));
}

#[test]
fn what_is_agreed_for_a_day_opens_the_way_for_the_rest() {
    let instance = read(
        r#"[{ "id": "now", "at": 0 }, { "id": "june", "at": 0.4 }, { "id": "next", "at": 1 }]"#,
        r#"{ "now": 60, "june": 55, "next": 50, "leave": 300 }"#,
        r#"{ "now": 0, "june": 100, "next": 500, "leave": 900 }"#,
        r#"[{ "job": "a", "choice": "june", "rule": "must" }]"#,
    );
    let plan = solve(&instance, &Limits::default()).unwrap();
    assert!(plan.proven && near(plan.cost, 555.0), "{}", plan.cost);
    assert!(plan.pick.values().all(|choice| *choice == Choice::from("june")));
    let why = explain(&instance, &plan, &Limits::default()).unwrap();
    assert!(near(why.not_now["b"].saves.unwrap(), 245.0));
}
