//! What a plan must keep, on the invented van and on sheets made at random.

#![allow(clippy::unwrap_used, clippy::panic)]

use jiff::civil::date;
use proptest::prelude::*;
use rust_decimal::{Decimal, prelude::ToPrimitive};
use sheet::{AccessId, Criticality, OperationId, Sheet, Verdict};
use std::{collections::BTreeSet, time::Duration};
use support::{SHEET, Told, told_of, visit_of};
use workshop::plan::{Item, Plan, PlanError, PlanFailed, When, Wishes, plan_within, study};

mod support;

fn van(body: &str) -> Told {
    told_of("emil", SHEET, &[visit_of("emil", "2025-05-01", 80_000, body)])
}

fn wishes(must: &[&str], must_not: &[&str]) -> Wishes {
    let ids = |names: &[&str]| names.iter().map(|name| OperationId::from(*name)).collect();
    Wishes { must: ids(must), must_not: ids(must_not), ..Wishes::default() }
}

fn item<'p>(plan: &'p Plan, operation: &str) -> &'p Item {
    plan.items.iter().find(|item| item.operation.as_str() == operation).unwrap_or_else(|| panic!("{plan:#?}"))
}

fn when(plan: &Plan, operation: &str) -> When {
    item(plan, operation).when
}

const DAMP_HOSE: &str = "[looks]\nhose-look = { \"front.left\" = \"damp\" }\n";
const WORN_DISCS: &str = "[readings]\ndisc-thickness = { \"front.left\" = \"22.80 mm\" }\n";
const PLANNED_BELT: &str = "[looks]\nbelt-ribs = \"rounded\"\n";

#[test]
fn nothing_is_offered_without_a_ground() {
    let plan = van("[looks]\nhose-look = { \"front.left\" = \"sound\", \"front.right\" = \"scuffed\" }")
        .plan(&Wishes::default())
        .unwrap();
    assert_eq!(plan.items, []);
    assert_eq!((plan.expected_cost, plan.together, plan.apart), (0.0, 0.0, 0.0));
    assert!(plan.proven);
}

#[test]
fn a_car_without_a_visit_has_no_plan() {
    let told = told_of("emil", SHEET, &[]);
    let judge = told.judge_on(jiff::civil::date(2025, 5, 1));
    let failed = workshop::plan::plan(&judge, &judge.assess(), &Wishes::default()).unwrap_err();
    assert!(matches!(failed, PlanFailed::NoVisit));
}

#[test]
fn what_safety_hangs_on_is_done_now_and_only_the_owner_defers_it() {
    let told = van(DAMP_HOSE);
    let plan = told.plan(&Wishes::default()).unwrap();
    let hose = item(&plan, "renew-hose");
    assert!(hose.must && hose.when == When::Now && hose.why.contains("must not leave"), "{hose:#?}");
    assert_eq!(hose.place.as_ref().map(|place| place.as_str()), Some("front.left"));
    assert_eq!(hose.title, "Renew a brake hose, front left");

    let refused = told.plan(&wishes(&[], &["renew-hose"]));
    assert!(
        matches!(refused, Err(PlanFailed::Planner(_))),
        "a workshop's wish defers no safety: {refused:?}"
    );

    let answer = "[[answer]]\noperation = \"renew-hose\"\nsays = \"not-now\"\nname = \"Emil's owner\"\n";
    let plan = van(&format!("{DAMP_HOSE}{answer}")).plan(&Wishes::default()).unwrap();
    let hose = item(&plan, "renew-hose");
    assert!(hose.when != When::Now && !hose.must && hose.why.contains("not now"), "{hose:#?}");
}

#[test]
fn a_yes_is_done_now() {
    let yes = "[[answer]]\noperation = \"renew-fan-belt\"\nsays = \"yes\"\nname = \"Emil's owner\"\n";
    let plan = van(&format!("{PLANNED_BELT}{yes}")).plan(&Wishes::default()).unwrap();
    assert_eq!(when(&plan, "renew-fan-belt"), When::Now);
    assert_eq!(item(&plan, "renew-fan-belt").why, "The owner has said yes.");
}

#[test]
fn wishes_are_kept() {
    let told = van(PLANNED_BELT);
    for (must, must_not, expected) in
        [(&["renew-fan-belt"][..], &[][..], Some(When::Now)), (&[], &["renew-fan-belt"], None)]
    {
        let plan = told.plan(&wishes(must, must_not)).unwrap();
        match expected {
            Some(now) => assert_eq!(when(&plan, "renew-fan-belt"), now),
            None => assert_ne!(when(&plan, "renew-fan-belt"), When::Now),
        }
    }
    // By name, without any ground: once for all, or at every place where it is done place by place.
    let plan = told.plan(&wishes(&["change-coolant", "renew-hose"], &[])).unwrap();
    assert_eq!(when(&plan, "change-coolant"), When::Now);
    let hoses: Vec<&Item> =
        plan.items.iter().filter(|item| item.operation.as_str() == "renew-hose").collect();
    assert_eq!(hoses.len(), 2, "{plan:#?}");
    assert!(hoses.iter().all(|hose| hose.when == When::Now));
}

#[test]
fn what_is_not_on_the_sheet_or_not_on_this_variant_cannot_be_wished_for() {
    let told = van(PLANNED_BELT);
    for unknown in ["renew-everything", "bush-hinge"] {
        let failed = told.plan(&wishes(&[unknown], &[])).unwrap_err();
        assert!(matches!(&failed, PlanFailed::UnknownOperations(ids) if *ids == [unknown]), "{failed}");
    }
}

#[test]
fn what_needs_a_part_that_is_not_in_hand_waits() {
    let told = van(PLANNED_BELT);
    let lacking = |part: &str| Wishes { lacking: vec![part.into()], ..wishes(&["renew-fan-belt"], &[]) };
    assert_eq!(when(&told.plan(&lacking("PV-10")).unwrap(), "renew-fan-belt"), When::Now);
    let failed = told.plan(&lacking("PV-30")).unwrap_err();
    assert!(matches!(failed, PlanFailed::Lacking { .. }), "{failed}");
    let plan = told.plan(&Wishes { must: vec![], ..lacking("PV-30") }).unwrap();
    let belt = item(&plan, "renew-fan-belt");
    assert_ne!(belt.when, When::Now);
    assert!(belt.why.contains("PV-30 is not in hand"), "{}", belt.why);
    assert!(
        matches!(told.plan(&lacking("PV-99")).unwrap_err(), PlanFailed::UnknownParts(parts) if parts == ["PV-99"])
    );
}

#[test]
fn what_is_wished_for_and_wished_away_is_asked_back() {
    let told = van("");
    let failed = told.plan(&wishes(&["renew-hose", "renew-discs"], &["renew-discs"])).unwrap_err();
    assert!(matches!(&failed, PlanFailed::BothWays(ids) if *ids == ["renew-discs"]), "{failed}");
}

#[test]
fn what_is_not_worth_doing_apart_comes_along_unless_a_person_parts_it() {
    let told = van("");
    let plan = told.plan(&wishes(&["renew-cam-belt"], &[])).unwrap();
    assert_eq!(when(&plan, "renew-pump"), When::Now);
    assert!(item(&plan, "renew-pump").why.starts_with("It is not worth doing apart"));
    let plan = told.plan(&wishes(&["renew-cam-belt"], &["renew-pump"])).unwrap();
    assert_eq!(when(&plan, "renew-cam-belt"), When::Now);
    assert!(plan.items.iter().all(|item| item.operation.as_str() != "renew-pump" || item.when != When::Now));
}

#[test]
fn what_must_not_wait_goes_over_the_ceiling_and_nothing_else_does() {
    let body = format!("ceiling = \"50\"\n{DAMP_HOSE}belt-ribs = \"rounded\"\n");
    let plan = van(&body).plan(&Wishes::default()).unwrap();
    assert!(plan.over_ceiling);
    assert_eq!(plan.ceiling, Some(Decimal::from(50)));
    assert_eq!(when(&plan, "renew-hose"), When::Now);
    assert_ne!(when(&plan, "renew-fan-belt"), When::Now);
    assert!(plan.together > 50.0);
    // A wish for more money counts before the visit's own ceiling.
    let generous = Wishes { budget: Some(Decimal::from(5000)), ..Wishes::default() };
    let plan = van(&body).plan(&generous).unwrap();
    assert!(!plan.over_ceiling && plan.together <= 5000.0);
}

/// The cam belt must be done, and goes with a pump that has a ground of its own: over the ceiling both stay planned.
#[test]
fn over_the_ceiling_what_must_be_done_first_comes_along() {
    let sheet = SHEET.replacen("criticality = \"engine-loss\"", "criticality = \"safety\"", 1);
    let body = "ceiling = \"50\"\n[readings]\npump-bore = \"20.095 mm\"\npump-shaft = \"20.010 mm\"\n";
    let told = told_of("dora", &sheet, &[visit_of("dora", "2025-05-01", 80_000, body)]);
    assert_eq!(told.verdict("pump-play", "single"), Verdict::BeforeLeaving);
    assert_eq!(told.verdict("cam-belt-due", "single"), Verdict::StaysPut);
    let plan = told.plan(&Wishes::default()).unwrap();
    assert!(plan.over_ceiling);
    assert_eq!((when(&plan, "renew-cam-belt"), when(&plan, "renew-pump")), (When::Now, When::Now));
}

#[test]
fn an_owner_who_sells_soon_does_less_and_nothing_after_the_sale() {
    let told = van(PLANNED_BELT);
    let kept = told.plan(&Wishes::default()).unwrap();
    assert_ne!(when(&kept, "renew-fan-belt"), When::Leave, "what is to be planned is done by the next visit");
    let sold = Wishes { horizon: Some(date(2025, 6, 1)), ..Wishes::default() };
    let sold = told.plan(&sold).unwrap();
    assert!(sold.items.iter().all(|item| item.when != When::NextVisit), "{sold:#?}");
    assert_eq!(when(&sold, "renew-fan-belt"), When::Leave);
    // Safety is no matter of who owns the car.
    let told = van(WORN_DISCS);
    let sold = told.plan(&Wishes { horizon: Some(date(2025, 6, 1)), ..Wishes::default() }).unwrap();
    assert!(sold.items.iter().filter(|item| item.must).all(|item| item.when == When::Now));
}

#[test]
fn the_day_of_the_next_visit_can_be_said() {
    let told = van(PLANNED_BELT);
    let day = date(2025, 11, 1);
    let plan = told.plan(&Wishes { next_visit: Some(day), ..Wishes::default() }).unwrap();
    assert_eq!(plan.next_visit, Some(day));
    let soon = item(&plan, "renew-fan-belt").p_next;
    let plan = told.plan(&Wishes { next_visit: Some(date(2028, 5, 1)), ..Wishes::default() }).unwrap();
    assert!(item(&plan, "renew-fan-belt").p_next > soon, "more can happen until then");
    for wishes in [
        Wishes { next_visit: Some(date(2025, 5, 1)), ..Wishes::default() },
        Wishes { horizon: Some(date(2024, 5, 1)), ..Wishes::default() },
    ] {
        assert!(matches!(told.plan(&wishes), Err(PlanFailed::NotAhead { .. })));
    }
}

/// However long a part may still last, doing its work early throws away no more than a new one costs.
#[test]
fn no_more_is_thrown_away_than_a_new_part_costs() {
    let told = van("[looks]\nbelt-ribs = \"rounded\"\n");
    for must in ["renew-fan-belt", "renew-cam-belt", "change-coolant"] {
        let free = told.plan(&Wishes::default()).unwrap();
        let forced = told.plan(&wishes(&[must], &[])).unwrap();
        let most: f64 = forced.items.iter().map(|item| item.cost).sum::<f64>()
            + forced.occasions.iter().flat_map(|on| &on.access).map(|(_, cost)| cost).sum::<f64>();
        assert!(forced.expected_cost - free.expected_cost <= most + 1e-6, "{must}: {forced:#?}");
    }
}

/// What must not leave is done now though no safety hangs on it; the owner's word or a wish puts it off.
#[test]
fn what_must_not_leave_is_done_now_unless_somebody_says_no() {
    let worn = "[looks]\nbelt-ribs = \"missing\"\n";
    let plan = van(worn).plan(&Wishes::default()).unwrap();
    assert!(item(&plan, "renew-fan-belt").must && when(&plan, "renew-fan-belt") == When::Now);
    let wished = van(worn).plan(&wishes(&[], &["renew-fan-belt"])).unwrap();
    let belt = item(&wished, "renew-fan-belt");
    assert!(!belt.must && belt.when != When::Now && belt.why.starts_with("Not now, as wished."), "{belt:#?}");
    let no = "[[answer]]\noperation = \"renew-fan-belt\"\nsays = \"not-now\"\nname = \"Emil's owner\"\n";
    assert_ne!(
        when(&van(&format!("{worn}{no}")).plan(&Wishes::default()).unwrap(), "renew-fan-belt"),
        When::Now
    );
}

/// Who waits for an answer gets the plan itself, or hears that there was no time.
#[test]
fn an_answer_in_time_is_the_plan() {
    let told = van(&format!("ceiling = \"900\"\n{DAMP_HOSE}belt-ribs = \"rounded\"\n"));
    let (judge, wishes) = (told.judge(), Wishes::default());
    let assessment = judge.assess();
    let within = |time| plan_within(&judge, &assessment, &wishes, time);
    assert_eq!(within(Duration::from_secs(600)).unwrap(), told.plan(&wishes).unwrap());
    let failed = within(Duration::ZERO).unwrap_err();
    assert!(matches!(failed, PlanFailed::Planner(PlanError::CutShort { .. })), "{failed}");
}

/// What stands behind each decision is computed from the plan, and the words follow the figures.
#[test]
fn a_study_looks_into_the_plan_it_studies() {
    let told = van(&format!("ceiling = \"900\"\n{DAMP_HOSE}belt-ribs = \"rounded\"\n"));
    let (judge, wishes) = (told.judge(), Wishes::default());
    let assessment = judge.assess();
    let study = study(&judge, &assessment, &wishes).unwrap();
    assert_eq!(study.plan, told.plan(&wishes).unwrap());
    assert_eq!(study.decisions.len(), study.plan.items.len());
    let at = |id: &str| study.plan.items.iter().position(|item| item.operation.as_str() == id).unwrap();
    let hose = &study.decisions[at("renew-hose")];
    assert_eq!((hose.instead, hose.firm), (None, 1.0), "safety has no other choice");
    assert_eq!(
        study.says(at("renew-hose"), "EUR"),
        ["Settled: a rule, an answer or a limit leaves no other choice."]
    );
    let (belt, item) = (&study.decisions[at("renew-fan-belt")], &study.plan.items[at("renew-fan-belt")]);
    let (saves, _) = belt.instead.unwrap();
    assert!(saves >= 0.0);
    match item.when {
        When::Now => assert_eq!(belt.turns_at, Some(item.cost + saves)),
        _ => assert!(belt.turns_at.is_none_or(|price| price < item.cost)),
    }
    assert!(study.says(at("renew-fan-belt"), "EUR").iter().any(|says| says.contains("of 100 plans drawn")));
}

#[test]
fn a_study_follows_a_failure_to_its_end() {
    let told = van("[looks]\nbelt-ribs = \"rounded\"\n");
    let (judge, wishes) = (told.judge(), wishes(&["renew-cam-belt"], &[]));
    let assessment = judge.assess();
    let study = study(&judge, &assessment, &wishes).unwrap();
    let cascade = study.cascades.iter().find(|one| one.component.as_str() == "cam-belt").unwrap();
    assert_eq!((cascade.harms[0].reach, cascade.harms[0].depth), (1.0, 0));
    let expected: f64 = cascade.harms.iter().map(|harm| harm.reach * harm.costs).sum();
    let worst: f64 = cascade.harms.iter().map(|harm| harm.costs).sum();
    assert!(near(cascade.expected, expected) && near(cascade.worst, worst), "{cascade:#?}");
    let (way, p) = &cascade.way;
    assert_eq!(way[0], 0);
    let followed: f64 = way
        .windows(2)
        .map(|pair| cascade.links.iter().find(|link| (link.0, link.1) == (pair[0], pair[1])).unwrap().2)
        .product();
    assert!(near(followed, *p));
    assert!(cascade.links.iter().all(|(from, to, _)| cascade.harms[*from].depth < cascade.harms[*to].depth));
}

#[test]
fn one_component_is_answered_for_by_what_renews_it() {
    let plan = van("[looks]\nbelt-ribs = \"missing\"").plan(&Wishes::default()).unwrap();
    let operations: Vec<&str> = plan.items.iter().map(|item| item.operation.as_str()).collect();
    assert_eq!(operations, ["renew-fan-belt"]);
}

#[test]
fn items_say_which_findings_they_stand_on_and_which_steps_they_share() {
    let plan = van(&format!("{DAMP_HOSE}{}", WORN_DISCS)).plan(&Wishes::default()).unwrap();
    let discs = item(&plan, "renew-discs");
    assert_eq!(discs.grounds, [("disc-thickness".into(), "front.left".into())]);
    let shared: Vec<(&str, Vec<&str>)> = discs
        .shares
        .iter()
        .map(|shared| (shared.step.as_str(), shared.with.iter().map(|id| id.as_str()).collect()))
        .collect();
    assert_eq!(shared, [("on-lift", vec!["renew-hose"]), ("wheels-off", vec!["renew-hose"])]);
    // (0.2 + 0.4) h to open, half as much to close, at 100 an hour; discs 1 h and two of 40; a hose 0.5 h and 25.
    assert!((discs.sharing_saves - 90.0).abs() < 1e-9);
    assert!((plan.together - (90.0 + 180.0 + 75.0)).abs() < 1e-9, "{}", plan.together);
    assert!((plan.apart - (90.0 + 180.0 + 90.0 + 75.0)).abs() < 1e-9, "{}", plan.apart);
    assert!(discs.why.contains("2 steps") && discs.why.contains("90 EUR less"), "{}", discs.why);
}

#[test]
fn a_shared_step_can_make_now_the_cheaper_time() {
    // The belt alone can wait; with the covers off for the cam belt it need not be opened twice.
    let sheet = SHEET
        .replace("price     = \"18.00\"", "price     = \"400.00\"")
        .replace("costs  = \"250\"", "costs  = \"0\"")
        .replace("then   = [{ to = \"engine-lost\", probability = 0.1 }]\n", "");
    let told = told_of("emil", &sheet, &[visit_of("emil", "2025-05-01", 80_000, PLANNED_BELT)]);
    let alone = told.plan(&Wishes::default()).unwrap();
    let beside = told.plan(&wishes(&["renew-cam-belt"], &[])).unwrap();
    assert_eq!(
        (when(&alone, "renew-fan-belt"), when(&beside, "renew-fan-belt")),
        (When::NextVisit, When::Now)
    );
    let belt = item(&beside, "renew-fan-belt");
    assert!(
        belt.waiting_costs.is_some_and(|cost| cost > 0.0) && belt.why.contains("waiting would cost"),
        "{}",
        belt.why
    );
}

// ---------------------------------------------------------------- sheets made at random

const COMPONENTS: usize = 4;
const STEPS: usize = 4;

#[derive(Debug, Clone)]
struct Piece {
    criticality: Criticality,
    life_years: Option<u32>,
    /// Of the states, `None` when it was not looked at.
    seen: Option<usize>,
    answer: Option<bool>,
    needs: Vec<usize>,
    hours: f64,
    price: u32,
    with: Option<usize>,
    harm: Option<u32>,
}

#[derive(Debug, Clone)]
struct Made {
    pieces: Vec<Piece>,
    /// Hours of each step, and which of the steps before it must be open first.
    steps: Vec<(f64, Vec<usize>)>,
    ceiling: Option<u32>,
    hours: Option<f64>,
    must: Option<usize>,
    must_not: Option<usize>,
}

const STATES: [&str; 5] = ["good", "look", "soon", "now", "stop"];

fn pieces() -> impl Strategy<Value = Piece> {
    (
        prop::sample::select(Criticality::ALL),
        prop::option::of(2u32..20),
        prop::option::weighted(0.9, 0usize..5),
        prop::option::weighted(0.3, any::<bool>()),
        prop::sample::subsequence((0..STEPS).collect::<Vec<_>>(), 0..3),
        (1u32..30, 0u32..500, prop::option::weighted(0.3, 0usize..COMPONENTS), prop::option::of(0u32..4000)),
    )
        .prop_map(|(criticality, life_years, seen, answer, needs, (tenths, price, with, harm))| Piece {
            criticality,
            life_years,
            seen,
            answer,
            needs,
            hours: f64::from(tenths) / 10.0,
            price,
            with,
            harm,
        })
}

fn made() -> impl Strategy<Value = Made> {
    let step = |n: usize| (1u32..20, prop::sample::subsequence((0..n).collect::<Vec<_>>(), 0..=n.min(2)));
    (
        prop::collection::vec(pieces(), COMPONENTS),
        (step(0), step(1), step(2), step(3)),
        prop::option::of(0u32..1500),
        prop::option::weighted(0.3, 0.0..8.0_f64),
        prop::option::weighted(0.3, 0usize..COMPONENTS),
        prop::option::weighted(0.3, 0usize..COMPONENTS),
    )
        .prop_map(|(pieces, (a, b, c, d), ceiling, hours, must, must_not)| {
            let steps = [a, b, c, d].map(|(tenths, needs)| (f64::from(tenths) / 10.0, needs)).into();
            Made { pieces, steps, ceiling, hours, must, must_not }
        })
}

fn list(prefix: &str, of: &[usize]) -> String {
    of.iter().map(|n| format!("\"{prefix}{n}\"")).collect::<Vec<_>>().join(", ")
}

impl Made {
    fn sheet(&self) -> String {
        let mut text = SHEET[..SHEET.find("[places.front-sides]").unwrap()].to_owned();
        text += "[station.all]\ntitle = \"All\"\n";
        for (n, (hours, needs)) in self.steps.iter().enumerate() {
            text += &format!(
                "[access.a{n}]\ntitle = \"Step {n}\"\nhours = {hours:.1}\nneeds = [{}]\n",
                list("a", needs)
            );
        }
        for (n, piece) in self.pieces.iter().enumerate() {
            let life = piece.life_years.map_or(String::new(), |years| {
                format!("life = {{ median = \"{years} years\", spread = 1.6, source = \"invented\" }}\n")
            });
            let harm = piece.harm.map_or(String::new(), |_| format!("fails-as = \"h{n}\"\n"));
            text += &format!(
                "[component.c{n}]\ntitle = \"Thing {n}\"\nsystem = \"body\"\ncriticality = \"{}\"\nages-by = {{ years = 1.0 }}\n{life}{harm}",
                piece.criticality.id()
            );
            let states = [
                ("sound", ""),
                ("look-again", ""),
                ("plan", ""),
                ("before-leaving", ", why = \"It breaks.\""),
                ("stays-put", ", why = \"It breaks.\""),
            ];
            let states: Vec<String> = STATES
                .iter()
                .zip(states)
                .map(|(id, (means, why))| {
                    format!(
                        "{{ id = \"{id}\", short = \"{id}\", says = \"{id}\", means = \"{means}\"{why} }}"
                    )
                })
                .collect();
            text += &format!(
                "[check.k{n}]\ncomponent = \"c{n}\"\ntitle = \"Look {n}\"\nstation = \"all\"\nstates = [{}]\n",
                states.join(", ")
            );
            text += &format!(
                "[part.P{n}]\ntitle = \"Part {n}\"\nprice = \"{}\"\nsource = \"invented\"\n",
                piece.price
            );
            let with = piece
                .with
                .filter(|with| *with != n)
                .map_or(String::new(), |with| format!("with = [\"o{with}\"]\n"));
            text += &format!(
                "[operation.o{n}]\ntitle = \"Work {n}\"\ncomponent = \"c{n}\"\nrenews = true\nhours = {:.1}\nparts = [{{ part = \"P{n}\", quantity = 1 }}]\nneeds = [{}]\n{with}",
                piece.hours,
                list("a", &piece.needs)
            );
            if let Some(harm) = piece.harm {
                text += &format!(
                    "[consequence.h{n}]\ntitle = \"Harm\"\nsays = \"It breaks.\"\ncosts = \"{harm}\"\nsource = \"invented\"\n"
                );
            }
        }
        text
    }

    fn visit(&self) -> String {
        let mut text = self.ceiling.map_or(String::new(), |ceiling| format!("ceiling = \"{ceiling}\"\n"));
        text += "[looks]\n";
        for (n, piece) in self.pieces.iter().enumerate() {
            if let Some(seen) = piece.seen {
                text += &format!("k{n} = \"{}\"\n", STATES[seen]);
            }
        }
        for (n, piece) in self.pieces.iter().enumerate() {
            if let Some(yes) = piece.answer {
                let says = if yes { "yes" } else { "not-now" };
                text += &format!("[[answer]]\noperation = \"o{n}\"\nsays = \"{says}\"\nname = \"Owner\"\n");
            }
        }
        visit_of("emil", "2025-05-01", 80_000, &text)
    }

    fn told(&self) -> Told {
        // Old enough that lives count.
        let fitted: String = (0..COMPONENTS).map(|n| format!("[[done]]\noperation = \"o{n}\"\n")).collect();
        told_of("emil", &self.sheet(), &[visit_of("emil", "2019-05-01", 20_000, &fitted), self.visit()])
    }

    fn wishes(&self) -> Wishes {
        let id = |n: &Option<usize>| n.iter().map(|n| OperationId::from(format!("o{n}").as_str())).collect();
        // Nobody is let wish for a thing and wish it away.
        let must_not = self.must_not.filter(|_| self.must_not != self.must);
        Wishes { hours: self.hours, must: id(&self.must), must_not: id(&must_not), ..Wishes::default() }
    }

    fn piece(&self, operation: &OperationId) -> &Piece {
        &self.pieces[operation.as_str()[1..].parse::<usize>().unwrap()]
    }
}

/// Everything that must be open, by following the sheet.
fn opened(sheet: &Sheet, needs: &[AccessId]) -> BTreeSet<AccessId> {
    let mut all = BTreeSet::new();
    let mut left = needs.to_vec();
    while let Some(step) = left.pop() {
        left.extend(sheet.access[&step].needs.iter().cloned());
        all.insert(step);
    }
    all
}

const RATE: f64 = 100.0;

fn cost_of_steps(sheet: &Sheet, steps: &BTreeSet<AccessId>) -> f64 {
    steps.iter().map(|step| sheet.access[step].hours * (1.0 + sheet.refit) * RATE).sum()
}

fn cost_of_work(sheet: &Sheet, id: &OperationId) -> f64 {
    let operation = &sheet.operations[id];
    let parts: f64 = operation
        .parts
        .iter()
        .map(|needed| sheet.parts[&needed.part].price.to_f64().unwrap() * f64::from(needed.quantity))
        .sum();
    operation.hours * RATE + parts
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6 * (1.0 + a.abs().max(b.abs()))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_plan_keeps_what_it_must(made in made()) {
        let told = made.told();
        let judge = told.judge();
        let assessment = judge.assess();
        let wishes = made.wishes();
        let planned = workshop::plan::plan(&judge, &assessment, &wishes);
        let again = workshop::plan::plan(&judge, &assessment, &wishes);
        prop_assert_eq!(format!("{planned:?}"), format!("{again:?}"), "the same question, the same answer");
        let sheet = &told.sheet;

        let grave = |n: usize| {
            let piece = &made.pieces[n];
            piece.seen.is_some_and(|seen| {
                STATES[seen] == "stop" || (STATES[seen] == "now" && piece.criticality == Criticality::Safety)
            })
        };
        let studied = workshop::plan::study(&judge, &assessment, &wishes);
        prop_assert_eq!(
            format!("{studied:?}"),
            format!("{:?}", workshop::plan::study(&judge, &assessment, &wishes)),
            "a study draws the same each time"
        );
        if let (Ok(plan), Ok(study)) = (&planned, &studied) {
            prop_assert_eq!(plan, &study.plan);
            for decision in &study.decisions {
                prop_assert!((0.0..=1.0).contains(&decision.firm));
                prop_assert!(decision.instead.is_none_or(|(saves, _)| saves > -1e-6), "{decision:?}");
            }
            for pair in study.corners.windows(2) {
                prop_assert!(pair[0].money < pair[1].money, "more money");
                prop_assert!(pair[0].expected_cost >= pair[1].expected_cost - 1e-9, "never costs more");
            }
        }
        let plan = match planned {
            Ok(plan) => plan,
            // Only a person's own wish against what must be can leave no plan.
            Err(failed) => {
                let refused = made.must_not.is_some_and(|n| grave(n) || made.pieces[n].answer == Some(true));
                prop_assert!(refused, "{failed}");
                return Ok(());
            }
        };
        prop_assert!(plan.proven);

        for (n, piece) in made.pieces.iter().enumerate() {
            let id = format!("o{n}");
            let item = plan.items.iter().find(|item| item.operation.as_str() == id);
            let now = item.is_some_and(|item| item.when == When::Now);
            if grave(n) && piece.answer != Some(false) {
                prop_assert!(now && item.unwrap().must, "{id} must not wait");
            }
            if piece.answer == Some(false) && made.must != Some(n) {
                prop_assert!(!now, "{id} was declined");
            }
            if made.must == Some(n) {
                prop_assert!(now, "{id} was wished for");
            } else if made.must_not == Some(n) {
                prop_assert!(!now, "{id} was wished away");
            }
            let open = piece.seen.is_some_and(|seen| seen > 0);
            let company = made.pieces.iter().any(|other| other.with == Some(n));
            prop_assert!(item.is_none() || open || company || made.must == Some(n) || piece.answer == Some(true) || piece.life_years.is_some(), "{id} has no ground");
        }

        for occasion in &plan.occasions {
            let here: Vec<&Item> = plan.items.iter().filter(|item| item.when == occasion.when).collect();
            let steps: BTreeSet<AccessId> =
                here.iter().flat_map(|item| opened(sheet, &sheet.operations[&item.operation].needs)).collect();
            let listed: BTreeSet<AccessId> = occasion.access.iter().map(|(step, _)| step.clone()).collect();
            prop_assert_eq!(&listed, &steps);
            let cost = cost_of_steps(sheet, &steps) + here.iter().map(|item| cost_of_work(sheet, &item.operation)).sum::<f64>();
            prop_assert!(near(occasion.cost, cost), "{} {cost}", occasion.cost);
            let hours: f64 = steps.iter().map(|step| sheet.access[step].hours * (1.0 + sheet.refit)).sum::<f64>()
                + here.iter().map(|item| sheet.operations[&item.operation].hours).sum::<f64>();
            prop_assert!(near(occasion.hours, hours));
        }
        let now: Vec<&Item> = plan.items.iter().filter(|item| item.when == When::Now).collect();
        let apart: f64 = now
            .iter()
            .map(|item| cost_of_work(sheet, &item.operation) + cost_of_steps(sheet, &opened(sheet, &sheet.operations[&item.operation].needs)))
            .sum();
        prop_assert!(near(plan.apart, apart));
        prop_assert!(near(plan.together, plan.occasions[0].cost) && plan.together <= plan.apart + 1e-6);

        for item in &plan.items {
            prop_assert!(!item.why.is_empty() && (0.0..=1.0).contains(&item.p_next));
            let own = opened(sheet, &sheet.operations[&item.operation].needs);
            for shared in &item.shares {
                prop_assert!(own.contains(&shared.step) && !shared.with.is_empty());
                for with in &shared.with {
                    let other = plan.items.iter().find(|other| other.operation == *with).unwrap();
                    prop_assert!(other.when == item.when && *with != item.operation);
                    prop_assert!(opened(sheet, &sheet.operations[with].needs).contains(&shared.step));
                }
            }
            let saves: f64 = item.shares.iter().map(|shared| cost_of_steps(sheet, &BTreeSet::from([shared.step.clone()]))).sum();
            prop_assert!(near(item.sharing_saves, saves));
            prop_assert!(item.waiting_costs.is_none_or(|cost| cost >= 0.0));
        }

        let forced = |item: &Item| {
            let n: usize = item.operation.as_str()[1..].parse().unwrap();
            item.must || made.piece(&item.operation).answer == Some(true) || made.must == Some(n)
        };
        if plan.over_ceiling {
            // What comes along with what must be is either a mate of it, or what must come first.
            for item in now.iter().filter(|item| !forced(item)) {
                let n: usize = item.operation.as_str()[1..].parse().unwrap();
                prop_assert!(made.pieces.iter().any(|other| other.with == Some(n)), "{} is not forced", item.operation);
            }
        } else {
            prop_assert!(plan.ceiling.is_none_or(|ceiling| plan.together <= ceiling.to_f64().unwrap() + 1e-6));
            prop_assert!(made.hours.is_none_or(|hours| plan.occasions[0].hours <= hours + 1e-6));
            if !now.iter().any(|item| forced(item)) {
                let nothing = plan.nothing_now.unwrap();
                prop_assert!(plan.expected_cost <= nothing + 1e-6, "{} {nothing}", plan.expected_cost);
            }
        }
    }
}

/// A visit that ends with work agreed for later.
fn agreed(on: &str, rest: &str) -> String {
    format!(
        "{rest}[[long-job]]\nid = \"belt\"\noperations = [\"renew-cam-belt\"]\nname = \"Emil's owner\"\n{on}\n"
    )
}

#[test]
fn work_agreed_for_a_day_is_planned_for_it_and_other_work_may_ride_along() {
    let told = van(&agreed("on = 2025-09-15", PLANNED_BELT));
    let plan = told.plan(&Wishes::default()).unwrap();
    let day = When::Agreed(date(2025, 9, 15));
    let belt = item(&plan, "renew-cam-belt");
    assert_eq!(belt.when, day);
    assert!(belt.why.starts_with("Agreed for 15 September 2025 by Emil's owner, on 1 May 2025."));
    // The covers are off that day anyway, so the fan belt behind them costs no opening.
    let fan = item(&plan, "renew-fan-belt");
    assert_eq!(fan.when, day, "{plan:#?}");
    assert!(fan.why.contains("rides along with the work agreed for 15 September 2025"), "{}", fan.why);
    let occasion = plan.occasions.iter().find(|on| on.when == day).unwrap();
    assert_eq!(occasion.access.len(), 2);
    // A person may still want it now.
    let plan = told.plan(&wishes(&["renew-cam-belt"], &[])).unwrap();
    assert_eq!(when(&plan, "renew-cam-belt"), When::Now);
}

#[test]
fn work_agreed_for_about_the_next_visit_makes_that_day_the_next_visit() {
    let told = van(&agreed("on = 2026-03-20", PLANNED_BELT));
    let plan = told.plan(&Wishes::default()).unwrap();
    assert_eq!(plan.next_visit, Some(date(2026, 3, 20)));
    assert_eq!(when(&plan, "renew-cam-belt"), When::NextVisit);
    assert_eq!(plan.occasions.len(), 2);
    // Whenever it comes next: the same, on the day that is forecast.
    let plan = van(&agreed("", PLANNED_BELT)).plan(&Wishes::default()).unwrap();
    assert_eq!(when(&plan, "renew-cam-belt"), When::NextVisit);
}

#[test]
fn a_car_that_comes_back_has_its_promise_to_be_done_now() {
    let first = visit_of("emil", "2025-05-01", 80_000, &agreed("on = 2025-09-15", ""));
    let again = |rest: &str| {
        let back = visit_of("emil", "2025-09-14", 84_000, rest);
        told_of("emil", SHEET, &[first.clone(), back])
    };
    let plan = again("").plan(&Wishes::default()).unwrap();
    assert_eq!(when(&plan, "renew-cam-belt"), When::Now);
    let refused = "[[answer]]\noperation = \"renew-cam-belt\"\nsays = \"not-now\"\nname = \"Emil's owner\"\n";
    let plan = again(refused).plan(&Wishes::default()).unwrap();
    assert!(plan.items.iter().all(|item| item.when != When::Now), "{plan:#?}");
    let done = again("[[done]]\noperation = \"renew-cam-belt\"\n");
    assert_eq!(done.car.carried().count(), 0);
}

#[test]
fn safety_does_not_wait_for_an_agreed_day() {
    let later = "[[long-job]]\nid = \"hose\"\noperations = [\"renew-hose\"]\nname = \"Emil's owner\"\non = 2025-09-15\n";
    let plan = van(&format!("{DAMP_HOSE}{later}")).plan(&Wishes::default()).unwrap();
    let hose =
        plan.items.iter().find(|item| item.place.as_ref().is_some_and(|at| at.as_str() == "front.left"));
    assert!(hose.is_some_and(|hose| hose.must && hose.when == When::Now), "{plan:#?}");
}

#[test]
fn the_rate_moves_what_work_costs() {
    let told = van(PLANNED_BELT);
    let at = |rate: u32| {
        let wishes = Wishes { rate: Some(Decimal::from(rate)), ..wishes(&["renew-fan-belt"], &[]) };
        told.plan(&wishes).unwrap().together
    };
    // Covers and belt off and on again, and the work itself.
    assert!(near(at(200) - at(100), 100.0 * (0.8 * 1.5 + 0.2)), "{} {}", at(200), at(100));
}

/// The shipped data sheet, whole, as one text.
fn lanner() -> String {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sheets/quarrow-lanner");
    let files = sheet::files_in(&folder).unwrap();
    files.iter().map(|file| file.text.as_str()).collect::<Vec<_>>().join("\n")
}

/// A car of the shipped data sheet that was looked at once.
fn lanner_car(body: &str) -> Told {
    let mut shelf = support::Shelf::with_sheet(&lanner());
    let car = "[car]\nid = \"fern\"\ntitle = \"Fern\"\nsheet = \"quarrow-lanner\"\nvariant = \"q4\"\n";
    shelf.record(&[("workshop.toml", support::WORKSHOP), ("car.toml", car)]).unwrap();
    let visit = visit_of("fern", "2026-04-02", 70_840, body);
    shelf.record(&[("visit.toml", &visit)]).unwrap_or_else(|problems| panic!("{problems}"));
    shelf.told("fern")
}

/// Hours of one gearbox out, from the sheet's steps (each put back in 0.9 of its hours) and operations: the clutch and its
/// bearing 8.59 h, the crank seal a year later 9.15 h, all three in one go 9.95 h. Worked by hand from the sheet's tables.
#[test]
fn a_gearbox_comes_out_once_for_all_that_lies_behind_it() {
    let told = lanner_car("");
    let plan = |must: &[&str]| told.plan(&wishes(must, &[])).unwrap();
    let hours = |must: &[&str]| plan(must).occasions[0].hours;
    let (clutch, seal) = (["renew-clutch", "renew-release-bearing"], ["renew-rear-main-seal"]);
    let all = [&clutch[..], &seal].concat();
    for (must, expected) in [(&clutch[..], 8.59), (&seal, 9.15), (&all, 9.95)] {
        assert!((hours(must) - expected).abs() < 1e-9, "{must:?}: {}", hours(must));
    }
    // What sharing saves is all the dismantling that would be done a second time: 7.79 h.
    assert!((hours(&clutch) + hours(&seal) - hours(&all) - 7.79).abs() < 1e-9);
}

/// The clutch is agreed; without it now, the seal behind the same gearbox no longer pays for its opening alone.
#[test]
fn without_the_biggest_item_the_rest_is_planned_anew() {
    let yes = "[looks]\nrear-main-seal-lip = \"damp\"\n[[answer]]\noperation = \"renew-clutch\"\nsays = \"yes\"\nname = \"Fern's owner\"\n";
    let told = lanner_car(yes);
    let whole = told.plan(&Wishes::default()).unwrap();
    assert_eq!(when(&whole, "renew-clutch"), When::Now);
    let without = told.plan(&wishes(&[], &["renew-clutch"])).unwrap();
    assert!(
        without.items.iter().all(|item| item.operation.as_str() != "renew-clutch" || item.when != When::Now)
    );
    assert!(without.together < whole.together - 500.0, "{} {}", without.together, whole.together);
    assert!(without.proven);
}
