//! Where no plan keeps all the rules, the clash named is one, and no smaller one exists.

mod support;

use planner::{Choice, Instance, LEAVE, Limits, Pin, PinRule, PlanError, Problem, Rule, solve};
use support::{brute, small::small};

/// The instance with only these rules.
fn with_only(instance: &Instance, rules: &[Rule]) -> Instance {
    let mut only = instance.clone();
    for job in &mut only.jobs {
        let keeps = |wanted: &dyn Fn(&Rule) -> bool| rules.iter().any(wanted);
        if !keeps(&|rule| matches!(rule, Rule::NotLeft { job: id } if *id == job.id)) {
            job.cost.entry(LEAVE.into()).or_insert(0.0);
        }
        if !keeps(&|rule| matches!(rule, Rule::By { job: id, .. } if *id == job.id)) {
            job.by = None;
        }
    }
    for (id, limits) in &mut only.limits {
        let cash = |rule: &Rule| matches!(rule, Rule::Cash { occasion, .. } if occasion == id);
        let hours = |rule: &Rule| matches!(rule, Rule::Hours { occasion, .. } if occasion == id);
        limits.cash = limits.cash.filter(|_| rules.iter().any(cash));
        limits.hours = limits.hours.filter(|_| rules.iter().any(hours));
    }
    only.together.retain(|group| rules.contains(&Rule::Together(group.clone())));
    only.exclusive.retain(|group| rules.contains(&Rule::Exclusive(group.clone())));
    only.before
        .retain(|(first, then)| rules.contains(&Rule::Before { first: first.clone(), then: then.clone() }));
    only.pins.retain(|pin| rules.contains(&Rule::Pin(pin.clone())));
    only
}

fn can_be_kept(instance: &Instance, rules: &[Rule]) -> bool {
    brute::best(&with_only(instance, rules)).is_some()
}

#[test]
fn a_clash_is_one_and_no_smaller_one_exists() {
    let mut seen = 0;
    for seed in 0..1_500 {
        let instance = small(seed);
        let Err(PlanError::Infeasible { clash }) = solve(&instance, &Limits::default()) else { continue };
        seen += 1;
        assert!(!clash.is_empty(), "seed {seed}");
        assert!(!can_be_kept(&instance, &clash), "seed {seed}: {clash:?} can be kept");
        let rules = instance.rules();
        for (at, one) in rules.iter().enumerate() {
            if clash.len() > 1 {
                assert!(can_be_kept(&instance, std::slice::from_ref(one)), "seed {seed}: {one:?} alone");
            }
            if clash.len() > 2 {
                for other in &rules[at + 1..] {
                    assert!(
                        can_be_kept(&instance, &[one.clone(), other.clone()]),
                        "seed {seed}: {one:?} {other:?}"
                    );
                }
            }
        }
    }
    assert!(seen > 40, "{seen} clashes");
}

#[test]
fn the_clash_of_a_short_purse_names_the_purse_and_the_job() {
    let instance: Instance = serde_json::from_str(
        r#"{ "occasions": [ { "id": "now", "at": 0 }, { "id": "next", "at": 1 } ],
             "access": [ { "id": "wheels-off", "cost": 30, "hours": 0.3 } ],
             "jobs": [
               { "id": "discs", "needs": ["wheels-off"], "cost": { "now": 25, "next": 60, "leave": 180 }, "cash": 260 },
               { "id": "pads", "needs": ["wheels-off"], "cost": { "now": 10, "next": 90, "leave": 400 }, "cash": 120,
                 "by": "now" } ],
             "limits": { "now": { "cash": 100, "hours": 8 } } }"#,
    )
    .unwrap();
    let error = solve(&instance, &Limits::default()).unwrap_err();
    let clash = vec![
        Rule::By { job: "pads".into(), occasion: "now".into() },
        Rule::Cash { occasion: "now".into(), limit: 100.0 },
    ];
    assert_eq!(error, PlanError::Infeasible { clash });
    assert_eq!(
        error.to_string(),
        "no plan keeps all the rules: `pads` is due by `now`; `now` has 100 in cash"
    );
}

#[test]
fn everything_wrong_is_told_at_once() {
    let instance: Instance = serde_json::from_str(
        r#"{ "occasions": [ { "id": "now", "at": 1 }, { "id": "leave", "at": 0 } ],
             "access": [ { "id": "a", "cost": -1, "needs": ["b", "b"] },
                         { "id": "a", "cost": { "now": 1, "then": 2 }, "open": ["never"] } ],
             "jobs": [ { "id": "j", "needs": ["c"], "cost": { "someday": 1 }, "hours": -2, "by": "tomorrow" } ],
             "limits": { "yesterday": { "cash": -5 } },
             "together": [["j", "j"]], "exclusive": [["k"]], "before": [["j", "l"]],
             "pins": [ { "job": "m", "choice": "soon", "rule": "must" } ] }"#,
    )
    .unwrap();
    let Err(PlanError::Invalid(problems)) = solve(&instance, &Limits::default()) else { panic!("accepted") };
    let told: Vec<String> = problems.iter().map(Problem::to_string).collect();
    for word in [
        "not later than",
        "`leave` is the word",
        "cost of access step `a` is -1",
        "`b`, which does not exist",
        "`b` twice",
        "two access steps are called `a`",
        "`then`, which",
        "no cost on `leave`",
        "`never`",
        "`c`",
        "`someday`",
        "hours of job `j` is -2",
        "`tomorrow`",
        "`yesterday`",
        "limit of cash on `yesterday` is -5",
        "`j` twice",
        "`k`",
        "`l`",
        "`m`",
        "`soon`",
    ] {
        assert!(told.iter().any(|told| told.contains(word)), "nothing says {word:?} in {told:#?}");
    }
}

#[test]
fn musts_that_clash_and_steps_that_go_round_are_told() {
    let valid = |fields: &str| -> Vec<Problem> {
        let text = format!(
            r#"{{ "occasions": [ {{ "id": "now", "at": 0 }}, {{ "id": "next", "at": 1 }} ],
                  "jobs": [ {{ "id": "p", "cost": {{ "now": 1, "next": 1 }} }},
                            {{ "id": "q", "cost": {{ "now": 1, "next": 1, "leave": 1 }} }} ], {fields} }}"#
        );
        serde_json::from_str::<Instance>(&text).unwrap().problems()
    };
    assert_eq!(valid(r#""exclusive": [["p", "q"]]"#), []);
    let must = r#"{ "job": "q", "choice": "now", "rule": "must" }"#;
    let both = Problem::MustsClash { one: "p".into(), other: "q".into() };
    assert_eq!(valid(&format!(r#""exclusive": [["p", "q"]], "pins": [{must}]"#)), [both]);
    let must_not = r#"{ "job": "q", "choice": "now", "rule": "must-not" }"#;
    assert_eq!(valid(&format!(r#""pins": [{must}, {must_not}]"#)), [Problem::NoChoice { job: "q".into() }]);
    let leave = Pin { job: "q".into(), choice: Choice::Leave, rule: PinRule::Must };
    let leave = serde_json::to_string(&leave).unwrap();
    let none = Problem::NoCommonChoice { jobs: vec!["p".into(), "q".into()] };
    assert_eq!(valid(&format!(r#""together": [["p", "q"]], "pins": [{leave}]"#)), [none]);
    let round =
        r#""access": [ { "id": "a", "cost": 1, "needs": ["b"] }, { "id": "b", "cost": 1, "needs": ["a"] } ]"#;
    assert_eq!(valid(round), [Problem::Circle { steps: vec!["a".into(), "b".into(), "a".into()] }]);
}
