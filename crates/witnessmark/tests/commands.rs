//! The command line as programs and people rely on it: exit codes, JSON, and everything wrong told at once.

#![allow(clippy::unwrap_used, clippy::panic)]

use serde_json::{Value, json};
use std::{collections::BTreeSet, fs, net::TcpListener};
use support::{Desk, path};

mod support;

const TODAY: [&str; 2] = ["--today", "2026-05-04"];

fn snapshot(name: &str, told: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_omit_expression(true);
    settings.set_prepend_module_to_snapshot(false);
    settings.bind(|| insta::assert_snapshot!(name, told));
}

/// The keys of an object.
fn keys(value: &Value) -> BTreeSet<&str> {
    value.as_object().unwrap().keys().map(String::as_str).collect()
}

fn assert_keys(value: &Value, expected: &[&str]) {
    assert_eq!(keys(value), expected.iter().copied().collect());
}

#[test]
fn the_help_lists_every_command() {
    let help = Desk::bare().done(&["--help"]);
    let commands = help.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap();
    let names: Vec<&str> =
        commands.lines().filter_map(|line| line.strip_prefix("  ")?.split(' ').next()).collect();
    let expected = [
        "demo",
        "serve",
        "record",
        "sheet",
        "book",
        "cars",
        "assess",
        "explain",
        "plan",
        "calendar",
        "letter",
        "judge",
        "calc",
        "uncertainty",
        "fit",
        "help",
    ];
    assert_eq!(names, expected);
}

/// What a person can put right is 2, and is told in words and in JSON, on standard error alone.
#[test]
fn wrong_use_and_wrong_input_exit_with_2() {
    let desk = Desk::with_a_visit();
    desk.file("wrong.toml", "[visit]\ncar = \"pipp\"\n");
    desk.file("numbers.csv", "lower,upper\n1,none\n");
    fs::create_dir(desk.path("no-book")).unwrap();
    fs::create_dir(desk.path("other")).unwrap();
    desk.file(
        "other/journal.db",
        "A shopping list, long enough to be taken for something else: bread, salt.",
    );
    let cases: &[&[&str]] = &[
        &["frobnicate"],
        &["calc", "no-such-formula"],
        &["calc", "list", "no-such-word"],
        &["calc", "belt-span-tension", "span=172 N", "frequency"],
        &["calc", "disc-thickness-variation", "thickness=@nowhere.csv"],
        &["uncertainty", "belt-span-tension", "span=nonsense"],
        &["uncertainty", "belt-span-tension", "--coverage", "2"],
        &["uncertainty", "belt-span-tension", "--monte-carlo", "many"],
        &["cars", "--frobnicate"],
        &["record"],
        &["cars", "--book", "nowhere"],
        &["cars", "--book", "no-book"],
        &["cars", "--book", "other"],
        &["cars", "--today", "2026-02-30"],
        &["assess", "pipp"],
        &["letter", "pipp", "--html", "letter.html"],
        &["plan", "pip", "--must", "renew-everything", "--not", "nothing"],
        &["plan", "pip", "--hours", "-1", "--budget", "-1"],
        &["plan", "pip", "--budget", "much"],
        &["record", "wrong.toml"],
        &["record", "not-there.toml", "nor-this.toml"],
        &["sheet", "check", "nowhere"],
        &["sheet", "add", "no-book", "--book", "book"],
        &["judge", "--limit", "min 23.0 mm", "--reading", "twenty"],
        &["judge", "--limit", "min 23.0 mm", "--reading", "65 Nm"],
        &["judge", "--limit", "about 23", "--reading", "23.0"],
        &["fit", "life", "numbers.csv"],
        &["fit", "wear", "numbers.csv", "--limit", "2.6 mm"],
    ];
    let before = (desk.entries(), desk.json(&["cars"]));
    for arguments in cases {
        let told = desk.run(arguments);
        assert_eq!((told.code, &*told.stdout), (2, ""), "{arguments:?}");
        assert!(!told.stderr.trim().is_empty(), "{arguments:?}");
        let told = desk.run(&[arguments, &["--json"][..]].concat());
        assert_eq!((told.code, &*told.stdout), (2, ""), "{arguments:?} --json");
        let error: Value = serde_json::from_str(&told.stderr)
            .unwrap_or_else(|error| panic!("{arguments:?}: {error}\n{}", told.stderr));
        assert_keys(&error, &["error", "help", "problems"]);
        assert!(!error["error"].as_str().unwrap().is_empty(), "{arguments:?}");
        for problem in error["problems"].as_array().unwrap() {
            assert!(!problem["message"].as_str().unwrap().is_empty(), "{arguments:?}");
        }
    }
    assert_eq!((desk.entries(), desk.json(&["cars"])), before, "nothing was written");
}

/// What the machine or the program cannot do is 1.
#[test]
fn what_fails_exits_with_1() {
    let desk = Desk::with_a_visit();
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let taken = taken.local_addr().unwrap().to_string();
    let cases: &[(&[&str], &str)] = &[
        (&["letter", "pip", "--html", "book"], "cannot be written"), // a folder
        (&["serve", "--listen", &taken], "nothing can be served at"),
    ];
    for (arguments, says) in cases {
        let told = desk.run(arguments);
        assert_eq!((told.code, &*told.stdout), (1, ""), "{arguments:?}");
        assert!(told.stderr.contains(says), "{arguments:?}: {}", told.stderr);
    }
}

#[test]
fn a_journal_that_was_altered_is_told_and_exits_with_1() {
    let desk = Desk::with_a_visit();
    let journal = desk.path("book/journal.db");
    let mut bytes = fs::read(&journal).unwrap();
    let before = b"Opens a millimetre on the outside";
    let at = bytes.windows(before.len()).position(|window| window == before).unwrap();
    bytes[at..at + 6].copy_from_slice(b"Shuts ");
    fs::write(&journal, bytes).unwrap();
    let told = desk.run(&["book", "verify", "--json"]);
    assert_eq!(told.code, 1);
    let verified: Value = serde_json::from_str(&told.stdout).unwrap();
    assert!(verified["problems"].to_string().contains("car:pip: entry 12 was altered"), "{verified}");
    let error: Value = serde_json::from_str(&told.stderr).unwrap();
    assert!(error["error"].as_str().unwrap().starts_with("the journal is not whole"), "{error}");
}

/// A good file among bad ones is not written either, and the good part of a bad file neither.
#[test]
fn everything_wrong_in_any_file_is_told_at_once_and_nothing_is_written() {
    let desk = Desk::with_a_visit();
    let visit = |rest: &str| {
        format!("[visit]\ncar = \"pip\"\ndate = 2026-06-01\nodometer = \"71400 km\"\nby = \"ida\"\n{rest}")
    };
    desk.file("good.toml", &visit("[looks]\nfan-belt-look = \"clean\"\n"));
    desk.file(
        "bad.toml",
        &visit("id = \"pip-again\"\n[looks]\nfan-belt-look = \"crased\"\n[readings]\nkingpin-play = \"0.4 Nm\"\n[[done]]\noperation = \"renew-front-hoses\"\n"),
    );
    desk.file("worse.toml", "[car\nid = \"pip\"\n");
    let before = (desk.entries(), desk.json(&["cars"]), desk.json(&["assess", "pip"]));
    let told = desk.run(&["record", "good.toml", "bad.toml", "worse.toml"]);
    assert_eq!((told.code, &*told.stdout), (2, ""));
    snapshot("record_bad_files", &told.stderr);
    let after = (desk.entries(), desk.json(&["cars"]), desk.json(&["assess", "pip"]));
    assert_eq!(after, before);
    let told = desk.run(&["record", "good.toml", "bad.toml", "worse.toml", "--json"]);
    let error: Value = serde_json::from_str(&told.stderr).unwrap();
    let problems = error["problems"].as_array().unwrap();
    let places: Vec<(&str, u64)> = problems
        .iter()
        .map(|problem| (problem["file"].as_str().unwrap(), problem["line"].as_u64().unwrap()))
        .collect();
    assert_eq!(
        places,
        [("bad.toml", 8), ("bad.toml", 10), ("bad.toml", 10), ("bad.toml", 12), ("worse.toml", 1)]
    );
    problems
        .iter()
        .for_each(|problem| assert_keys(problem, &["column", "file", "help", "length", "line", "message"]));
    assert_eq!(desk.json(&["record", "good.toml"]), json!({ "written": 2, "known": 0, "markings": [] }));
    assert_eq!(desk.json(&["record", "good.toml"]), json!({ "written": 0, "known": 2, "markings": [] }));
}

#[test]
fn what_is_wrong_with_a_data_sheet_is_told_at_once_and_it_is_not_added() {
    let desk = Desk::with_sheet();
    let before = desk.entries();
    fs::create_dir(desk.path("sheet")).unwrap();
    let sheet = fs::read_to_string(path("tallow-nuthatch/sheet.toml")).unwrap();
    let work = fs::read_to_string(path("tallow-nuthatch/work.toml")).unwrap();
    desk.file(
        "sheet/sheet.toml",
        &sheet
            .replace("\"2.0 mm\"", "\"2.0 Nm\"")
            .replace("component = \"kingpin\"", "component = \"kingpinn\""),
    );
    desk.file("sheet/work.toml", &work);
    let told = desk.run(&["sheet", "add", "sheet", "--book", "book"]);
    assert_eq!((told.code, &*told.stdout), (2, ""));
    snapshot("add_bad_sheet", &told.stderr);
    assert_eq!(desk.run(&["sheet", "check", "sheet"]).stderr, told.stderr);
    assert_eq!(desk.entries(), before);
}

#[test]
fn several_arguments_that_are_wrong_are_told_at_once() {
    let desk = Desk::bare();
    let told =
        desk.run(&["judge", "--limit", "about 23", "--reading", "23.1", "--reading", "x", "--prior", "23"]);
    snapshot("judge_wrong_arguments", &told.stderr);
}

/// The limit says what is measured; a reading of another kind is what does not fit.
#[test]
fn a_reading_of_another_kind_than_the_limit_is_what_is_wrong() {
    let told = Desk::bare().run(&["judge", "--limit", "min 23 mm", "--reading", "23 Nm"]);
    assert!(told.stderr.contains("it is a torque, and the limit is a length"), "{}", told.stderr);
}

#[test]
fn an_angle_keeps_its_degrees_and_minutes() {
    let arguments =
        ["judge", "--limit", "max 13 deg", "--reading", "12° 30′", "--prior", "12.5 deg ± 0.1 deg"];
    let told = Desk::bare().run(&arguments).stdout;
    assert!(told.starts_with("12° 30.00′ ± ") && told.contains("beforehand 12° 30.00′, "), "{told}");
}

// ---------------------------------------------------------------- JSON, by the names that programs read

#[test]
fn cars_in_json() {
    let cars = Desk::with_a_visit().json(&["cars"]);
    let [car] = &cars.as_array().unwrap()[..] else { panic!("{cars}") };
    assert_keys(
        car,
        &["car", "title", "tag", "odometer_km", "last_visit", "open_visit", "verdicts", "key_tags"],
    );
    assert_eq!(
        (&car["car"], &car["tag"], &car["odometer_km"], &car["last_visit"]),
        (&json!("pip"), &json!("QL-01"), &json!(71240.0), &json!("2026-05-04"))
    );
    assert_eq!((&car["open_visit"], &car["key_tags"]), (&json!("pip-2026-05-04"), &json!(1)));
}

#[test]
fn an_assessment_in_json() {
    let desk = Desk::with_a_visit();
    let assessment = desk.json(&["assess", "pip", TODAY[0], TODAY[1]]);
    assert_keys(&assessment, &["car", "visit", "today", "next_visit", "findings"]);
    assert_eq!((&assessment["car"], &assessment["today"]), (&json!("pip"), &json!("2026-05-04")));
    assert_keys(&assessment["next_visit"], &["date", "km"]);
    let findings = assessment["findings"].as_array().unwrap();
    let fields = [
        "check",
        "place",
        "verdict",
        "computed",
        "overruled",
        "value",
        "part",
        "unit",
        "u",
        "p_beyond",
        "p_next",
        "visit",
        "why",
        "trigger",
        "window",
        "consequence",
        "decided_by",
        "question",
        "put_right",
        "reasons",
    ];
    findings.iter().for_each(|finding| assert_keys(finding, &fields));
    let of = |check: &str, place: &str| {
        findings.iter().find(|finding| finding["check"] == check && finding["place"] == place).unwrap()
    };
    let hose = of("front-hose-look", "front.right");
    assert_eq!((&hose["verdict"], &hose["value"]), (&json!("before-leaving"), &json!("cracked")));
    assert!(hose["consequence"].is_string(), "`before-leaving` carries a plain consequence");
    let lining = of("front-lining-thickness", "front.left");
    assert_eq!((&lining["value"], &lining["unit"]), (&json!(3.1), &json!("mm")));
    let p = lining["p_beyond"].as_f64().unwrap();
    assert!((0.0..0.5).contains(&p), "3.1 mm is above the limit of 2.0 mm: {p}");
    // The counts of the list are those of the assessment.
    let cards = desk.json(&["cars"]);
    for (verdict, n) in cards[0]["verdicts"].as_object().unwrap() {
        let found = findings.iter().filter(|finding| finding["verdict"] == **verdict).count();
        assert_eq!(json!(found), *n, "{verdict}");
    }
}

#[test]
fn explanations_in_json_and_read_aloud() {
    let desk = Desk::bare();
    desk.done(&["demo", "--no-serve", "--book", "book"]);
    let day = ["explain", "marl", "--today", "2025-05-09"];
    let answer = desk.json(&day);
    assert_keys(&answer, &["car", "questions", "today"]);
    let question = &answer["questions"][0];
    let expected = [
        "explanations",
        "id",
        "next_check",
        "none",
        "none_beforehand",
        "on",
        "open",
        "raised_by",
        "set_aside",
        "source",
        "stop",
        "title",
        "unexplained",
        "weighed",
    ];
    assert_keys(question, &expected);
    let explanations = question["explanations"].as_array().unwrap();
    assert_eq!(explanations[0]["id"], "lowering-kit-exchanged");
    let sum: f64 = explanations.iter().map(|each| each["p"].as_f64().unwrap()).sum();
    assert!((sum + question["none"].as_f64().unwrap() - 1.0).abs() < 1e-5);
    assert_keys(&explanations[0]["for"][0], &["check", "place", "ratio", "says", "seen_on"]);
    assert_eq!((&question["open"], &question["on"]), (&json!(true), &json!("2025-05-09")));
    assert_eq!((&question["stop"], &question["next_check"]), (&json!("sure-enough"), &Value::Null));
    assert!(desk.done(&day).contains("and with this it should be 342 ± 5 mm."));

    // A question with a check still worth making, one without any question, and one that nothing raises.
    let open = desk.json(&["explain", "bracken", "--today", "2024-04-12"]);
    let next = &open["questions"][0]["next_check"];
    let expected = [
        "bits",
        "check",
        "minutes",
        "minutes_stated",
        "opens",
        "place",
        "set_up_minutes",
        "title",
        "when",
        "why",
    ];
    assert_keys(next, &expected);
    assert_eq!(next["check"], "clutch-fluid-look");
    // A year later the springs are where they belong: nothing asks any more, and what was asked is told as it stood.
    let later = desk.json(&["explain", "marl", "--today", "2026-05-18"]);
    let [answered] = later["questions"].as_array().unwrap().as_slice() else { panic!("{later}") };
    assert_eq!((&answered["open"], &answered["on"]), (&json!(false), &json!("2025-05-09")));
    assert_eq!(answered["explanations"][0]["id"], "lowering-kit-exchanged");
    let all = desk.json(&["explain", "marl", "--all", "--today", "2026-05-18"]);
    let standing =
        all["questions"].as_array().unwrap().iter().find(|each| each["id"] == "stands-oddly").unwrap();
    assert_eq!(standing["raised_by"], json!([]));
    assert_eq!(standing["explanations"][0]["id"], "lowering-kit-as-meant");

    let ran = desk.run(&["explain", "marll"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (2, ""));
    assert!(ran.stderr.contains("did you mean `marl`?"), "{}", ran.stderr);
}

#[test]
fn a_plan_in_json() {
    let desk = Desk::with_a_visit();
    let plan = desk.json(&["plan", "pip", TODAY[0], TODAY[1]]);
    assert_keys(
        &plan,
        &[
            "proven",
            "gap",
            "expected_cost",
            "nothing_now",
            "together",
            "apart",
            "ceiling",
            "over_ceiling",
            "occasions",
            "items",
            "scenes",
            "by_budget",
            "failures",
        ],
    );
    assert_eq!(plan["proven"], json!(true));
    assert_eq!(plan["ceiling"], json!("400.00"), "money is text");
    for occasion in plan["occasions"].as_array().unwrap() {
        assert_keys(occasion, &["occasion", "date", "hours", "cost", "access"]);
        let cost = occasion["cost"].as_str().unwrap();
        assert_eq!(cost.split_once('.').map(|(_, hundredths)| hundredths.len()), Some(2), "{cost}");
        occasion["access"].as_array().unwrap().iter().for_each(|step| assert_keys(step, &["step", "cost"]));
    }
    let items = plan["items"].as_array().unwrap();
    for item in items {
        assert_keys(
            item,
            &[
                "operation",
                "place",
                "title",
                "occasion",
                "cost",
                "hours",
                "must",
                "why",
                "shares",
                "sharing_saves",
                "waiting_costs",
                "p_next",
                "grounds",
                "instead",
                "now_costs_more",
                "turns_at",
                "matters_most",
                "firm",
                "says",
            ],
        );
        assert!(!item["why"].as_str().unwrap().is_empty());
    }
    let hose =
        items.iter().find(|item| item["operation"] == "renew-front-hose" && item["must"] == true).unwrap();
    assert_eq!((&hose["occasion"], &hose["place"]), (&json!("now"), &json!("front.right")));
    let left = desk.json(&["plan", "pip", "--not", "change-engine-oil", TODAY[0], TODAY[1]]);
    let oil = left["items"].as_array().unwrap().iter().find(|item| item["operation"] == "change-engine-oil");
    assert!(oil.is_none_or(|oil| oil["occasion"] != "now"));
}

#[test]
fn a_plan_with_nothing_to_do_costs_nothing_without_a_sign() {
    let desk = Desk::with_pip();
    desk.file("visit.toml", "[visit]\ncar = \"pip\"\ndate = 2026-05-04\nodometer = \"71240 km\"\nby = \"ida\"\n[looks]\nfan-belt-look = \"clean\"\n");
    desk.done(&["record", "visit.toml"]);
    let plan = desk.json(&["plan", "pip", TODAY[0], TODAY[1]]);
    for sum in ["together", "apart"] {
        assert!(!plan[sum].as_str().unwrap().starts_with('-'), "{sum}: {}", plan[sum]);
    }
}

#[test]
fn a_letter_in_json() {
    let desk = Desk::with_a_visit();
    let letter = desk.json(&["letter", "pip", "--html", "letter.html", TODAY[0], TODAY[1]]);
    assert_keys(&letter, &["car", "visit", "html", "bytes"]);
    let html = fs::read_to_string(desk.path("letter.html")).unwrap();
    assert_eq!(letter["bytes"], json!(html.len()));
    assert!(html.contains("Pip") && !html.contains("<script"));
}

#[test]
fn a_judgement_in_json() {
    let desk = Desk::bare();
    let arguments = ["judge", "--limit", "min 23.0 mm", "--reading", "23.10 mm", "--budget"];
    let judged = desk.json(&arguments);
    assert_keys(
        &judged,
        &["value", "unit", "u", "weighed", "p_beyond", "conformity", "verdict", "more_readings", "budget"],
    );
    assert_eq!((&judged["unit"], &judged["verdict"]), (&json!("mm"), &json!("sound")));
    for row in judged["budget"].as_array().unwrap() {
        assert_keys(row, &["source", "distribution", "u", "sensitivity", "contribution", "share", "dof"]);
    }
    // Two normal beliefs of equal weight meet in the middle.
    let arguments = [
        "judge",
        "--limit",
        "min 1 mm",
        "--reading",
        "2.0 mm",
        "--resolution",
        "0.001 mm",
        "--calibration-u",
        "0.2 mm",
    ];
    let weighed = desk.json(&[&arguments[..], &["--prior", "3.0 mm ± 0.2 mm"]].concat());
    assert!((weighed["weighed"]["median"].as_f64().unwrap() - 2.5).abs() < 1e-4, "{weighed}");
    let on_the_limit = desk.json(&["judge", "--limit", "min 23.0 mm", "--reading", "23.0 mm"]);
    assert_eq!(on_the_limit["p_beyond"], json!(0.5));
}
