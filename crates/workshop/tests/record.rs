//! Files of a workshop, its cars and visits: what is wrong is told whole, what is right is written once.

#![allow(clippy::unwrap_used, clippy::panic)]

use journal::{Body, Known};
use proptest::prelude::*;
use proptest::sample::Index;
use support::{DORA, EMIL, SHEET, Shelf, WORKSHOP, visit, visit_of};

mod support;

/// A book in which Dora has been once and has gone again.
fn book() -> Shelf {
    let mut shelf = Shelf::new();
    shelf.record(&[("first.toml", &first())]).unwrap();
    shelf
}

fn first() -> String {
    let tag = "[[key-tag]]\nid = \"hose\"\nwhat = \"Look along the left hose\"\nwhy = \"Scuffed.\"\nwhen = { next-visit = true }\n";
    visit("2019-05-01", 20_000, &format!("{}{tag}[closed]\nodometer = \"20010 km\"", look("scuffed")))
}

fn look(state: &str) -> String {
    format!("[looks]\nhose-look = {{ \"front.left\" = \"{state}\" }}\n")
}

fn second(body: &str) -> String {
    visit("2020-05-01", 30_000, body)
}

/// The cases under their names, each with what a person is told.
fn told_of(cases: &[(&str, String)]) -> String {
    let mut told = String::new();
    for (name, text) in cases {
        let mut shelf = book();
        let before = shelf.clone();
        let problems = match shelf.record(&[("file.toml", text)]) {
            Err(problems) => problems.to_string(),
            Ok(written) => panic!("{name}: {written} entries were written"),
        };
        assert_eq!(shelf, before, "{name}: nothing is written when anything is wrong");
        told += &format!("---- {name}\n{problems}\n");
    }
    told
}

macro_rules! cases {
    ($($name:literal => $text:expr,)*) => { [$(($name, $text.to_string())),*] };
}

fn snapshot(name: &str, told: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_omit_expression(true);
    settings.set_prepend_module_to_snapshot(false);
    settings.bind(|| insta::assert_snapshot!(name, told));
}

#[test]
fn what_is_wrong_with_a_workshop_or_a_car() {
    let cases = cases! {
        "nothing that is known" => "",
        "not TOML" => "[car\nid = \"fritz\"\n",
        "a key that is not known" => format!("{EMIL}colour = \"green\"\n"),
        "a table that is not known" => format!("{EMIL}[wheels]\n"),
        "a currency by its sign" => WORKSHOP.replace("\"EUR\"", "\"€\""),
        "a rate that is no money" => WORKSHOP.replace("\"100.00\"", "\"a lot\""),
        "a gap that is no time" => WORKSHOP.replace("\"12 months\"", "\"12 mm\""),
        "a role that is not known" => WORKSHOP.replace("role = \"apprentice\"", "role = \"aprentice\""),
        "an id with capitals" => DORA.replace("\"dora\"", "\"Dora\""),
        "a data sheet that is not there" => DORA.replace("\"plover-carrier\"", "\"plover-courier\""),
        "a variant that is not there" => DORA.replace("\"van\"", "\"vann\""),
        "an owner that is not known" => DORA.replace("\"dora-owner\"", "\"dora-ower\""),
        "a first use that is no day" => DORA.replace("2018-01-01", "2018-02-30"),
        "a first use long before cars" => DORA.replace("2018-01-01", "0218-01-01"),
        "lines without a visit" => format!("{DORA}{}", look("sound")),
    };
    snapshot("wrong_workshops_and_cars", &told_of(&cases));
}

#[test]
fn what_is_wrong_with_a_visit() {
    let reading = |rest: &str| second(&format!("[[reading]]\ncheck = \"disc-thickness\"\n{rest}\n"));
    let cases = cases! {
        "a car that is not known" => visit_of("dorra", "2020-05-01", 30_000, ""),
        "who looked is not known" => second("").replace("\"tess\"", "\"tes\""),
        "nothing that must be said" => "[visit]\n",
        "an odometer in the wrong kind" => second("").replace("30000 km", "30000 Nm"),
        "an odometer below nothing" => second("").replace("30000 km", "-30000 km"),
        "the first odometer below nothing" => visit_of("emil", "2020-05-01", 30_000, "").replace("30000 km", "-30000 km"),
        "an odometer that runs back" => visit("2020-05-01", 19_000, ""),
        "an odometer with a figure too many" => visit("2020-05-01", 225_000, ""),
        "more than an odometer shows" => second("").replace("30000 km", "1e9 km"),
        "an odometer that a later visit does not fit" => visit("2018-05-01", 25_000, ""),
        "the keys back with less" => second("[closed]\nodometer = \"29000 km\""),
        "a visit of the same day with other words" => visit("2019-05-01", 21_000, ""),
        "a visit signed by another" => first().replace("\"tess\"", "\"arno\""),
        "the keys back at another distance" => first().replace("20010", "20015"),
        "a check that is not there" => second("[readings]\ndisc-thicknes = \"24.0 mm\""),
        "a check of another variant" => visit_of("emil", "2020-05-01", 30_000, "[readings]\nhinge-play = \"1.0 mm\""),
        "lines of a visit whose head is wrong" => second(&look("crased")).replace("2020-05-01", "0020-05-01").replace("30000 km", "30000").replace("\"tess\"", "\"tes\""),
        "the keys back after a line that is wrong" => second("[[done]]\noperation = \"renew-disks\"\n[[met]]\nobligation = \"pedal-firm\"\n[closed]"),
        "a place that is not said" => second("[readings]\ndisc-thickness = \"24.0 mm\""),
        "a place that is not there" => second("[readings]\ndisc-thickness = { \"front.lef\" = \"24.0 mm\" }"),
        "a value without its unit" => second("[readings]\ndisc-thickness = { \"front.left\" = \"24.0\" }"),
        "a value of another kind" => second("[readings]\ndisc-thickness = { \"front.left\" = \"24.0 Nm\" }"),
        "a value that a slip explains" => second("[readings]\ndisc-thickness = { \"front.left\" = \"240 mm\" }"),
        "a disc thicker than a new one" => second("[readings]\ndisc-thickness = { \"front.left\" = \"27.0 mm\" }"),
        "no value" => second("[readings]\ndisc-thickness = { \"front.left\" = [] }"),
        "a reading of an observation" => second("[readings]\nhose-look = { \"front.left\" = \"24.0 mm\" }"),
        "a reading of what is worked out" => second("[readings]\nbelt-tension = \"300 N\""),
        "a look at what is in the record" => second("[looks]\ncoolant-due = \"fine\""),
        "a state that is not described" => second(&look("crased")),
        "an instrument that is not known" => reading("place = \"front.left\"\nvalues = [\"24.0 mm\"]\ninstrument = \"calliper-1\""),
        "an instrument of another kind" => reading("place = \"front.left\"\nvalues = [\"24.0 mm\"]\ninstrument = \"ear\""),
        "a way of seeing that is not known" => reading("place = \"front.left\"\nvalues = [\"24.0 mm\"]\nseen = \"glanced\""),
        "not reached, without a reason" => second("[[not-reached]]\ncheck = \"hose-look\"\nplace = \"front.left\""),
        "a decision that only measuring makes" => second(&format!("{}[[overrule]]\ncheck = \"hose-look\"\nplace = \"front.left\"\nverdict = \"too-close\"\nreason = \"so\"", look("sound"))),
        "a plan without a time" => second(&format!("{}[[overrule]]\ncheck = \"hose-look\"\nplace = \"front.left\"\nverdict = \"plan\"\nreason = \"so\"", look("sound"))),
        "a time that says nothing" => second("[[key-tag]]\nid = \"t\"\nwhat = \"w\"\nwhy = \"y\"\nwhen = {}"),
        "a time that lies behind" => second("[[key-tag]]\nid = \"t\"\nwhat = \"w\"\nwhy = \"y\"\nwhen = { years = -1 }"),
        "a ceiling below nothing" => second("ceiling = \"-5\""),
    };
    snapshot("wrong_visits", &told_of(&cases));
}

#[test]
fn what_is_wrong_with_work_and_promises() {
    let discs = "[[done]]\noperation = \"renew-discs\"\n";
    let fitted = |rest: &str| second(&format!("[[fitted]]\ncomponent = \"hose\"\n{rest}\n"));
    let cases = cases! {
        "an operation that is not there" => second("[[done]]\noperation = \"renew-disks\""),
        "an operation of another variant" => visit_of("emil", "2020-05-01", 30_000, "[[done]]\noperation = \"bush-hinge\""),
        "where it was done is not said" => second("[[done]]\noperation = \"renew-hose\""),
        "a part that is not there" => fitted("place = \"front.left\"\npart = \"PV-21\""),
        "a part made after it was fitted" => fitted("place = \"front.left\"\nmade = 2021-01-01"),
        "papers of a time to come" => fitted("place = \"front.left\"\nsince = 2021-01-01"),
        "a part fitted before its car" => fitted("place = \"front.left\"\nsince = 1950-01-01"),
        "a part fitted beyond the visit" => fitted("place = \"front.left\"\nsince = 2020-01-01\nodometer = \"40000 km\""),
        "a distance without its day" => fitted("place = \"front.left\"\nodometer = \"12000 km\""),
        "a fluid by its weight" => second("[[fluid]]\nfluid = \"coolant\"\nfilled = \"7 kg\""),
        "a fluid without an amount" => second("[[fluid]]\nfluid = \"coolant\""),
        "an obligation that nothing raised" => second("[[met]]\nobligation = \"pedal-firm\""),
        "an obligation that other work raises" => second(&format!("{discs}[[met]]\nobligation = \"turned-by-hand\"")),
        "a value that is missing" => second(&format!("{discs}[[met]]\nobligation = \"nuts-torqued\"")),
        "a value in another unit" => second(&format!("{discs}[[met]]\nobligation = \"nuts-torqued\"\nvalue = \"11 kg\"")),
        "a waiver of what guards" => second(&format!("{discs}[[waived]]\nobligation = \"pedal-firm\"\nreason = \"late\"")),
        "a waiver without a reason" => second("[[done]]\noperation = \"renew-fan-belt\"\n[[waived]]\nobligation = \"covers-quiet\""),
        "keys back with open obligations" => second(&format!("{discs}[closed]")),
        "keys back with a torque out of its range" => second(&format!("{discs}[[met]]\nobligation = \"pedal-firm\"\n[[met]]\nobligation = \"nuts-torqued\"\nvalue = \"90 Nm\"\n[closed]")),
        "keys back with what stays put" => second(&format!("{}[closed]", look("bulge"))),
        "a key tag that is not tied" => second("[[settle]]\ntag = \"hoze\"\nreason = \"seen\""),
        "a key tag tied with other words" => second("[[key-tag]]\nid = \"hose\"\nwhat = \"Look along both hoses\"\nwhy = \"Scuffed.\"\nwhen = { years = 1 }"),
        "a formula that the bench has not" => second("[[calculation]]\nformula = \"belt-span-tensoin\"\ninputs = { span = \"172 mm\" }"),
        "a calculation with wrong inputs" => second("[[calculation]]\nformula = \"belt-span-tension\"\ninputs = { span = \"172 N\", note = \"150 Hz\" }"),
        "an answer that is none" => second("[[answer]]\noperation = \"renew-discs\"\nsays = \"maybe\"\nname = \"Dora's owner\""),
        "an answer to no work" => second("[[answer]]\noperation = \"renew-disc\"\nsays = \"yes\"\nname = \"Dora's owner\""),
    };
    snapshot("wrong_work_and_promises", &told_of(&cases));
}

#[test]
fn everything_that_is_wrong_in_any_file_is_told_at_once() {
    let mut shelf = Shelf::empty();
    let before = shelf.clone();
    let visit = "
[visit]
car      = \"emil\"
date     = 2020-05-01
odometer = \"30000\"
by       = \"tesss\"

[readings]
disc-thickness = { \"front.left\" = \"24 Nm\", \"front.middle\" = \"24 mm\" }

[looks]
hose-look = { \"front.left\" = \"crased\" }

[[done]]
operation = \"renew-disks\"

[[met]]
obligation = \"pedal-form\"

[[key-tag]]
id   = \"One\"
what = \"x\"
when = { km = 0 }
";
    let files = [
        (
            "workshop.toml",
            WORKSHOP.replace("\"EUR\"", "\"euro\"").replace("role = \"apprentice\"", "role = \"aprentice\""),
        ),
        ("emil.toml", EMIL.into()),
        ("fritz.toml", EMIL.replace("\"emil\"", "\"fritz\"").replace("\"flat\"", "\"flatt\"")),
        ("visit.toml", visit.into()),
        ("visit-of-fritz.toml", visit_of("fritz", "2020-05-01", 30_000, &look("sound"))),
        (
            "visit-by-arno.toml",
            visit_of("emil", "2020-05-02", 30_000, &look("sound")).replace("tess", "arno"),
        ),
        ("empty.toml", String::new()),
    ];
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let problems = shelf.record(&files).unwrap_err();
    assert_eq!(shelf, before);
    snapshot("many_at_once", &problems.to_string());
}

#[test]
fn a_book_without_a_workshop_takes_no_visit() {
    let mut shelf = Shelf::empty();
    let files = [
        ("emil.toml", EMIL),
        ("visit.toml", &*visit_of("emil", "2020-05-01", 30_000, "").replace("tess", "ida")),
    ];
    let person = "[[person]]\nid = \"ida\"\nname = \"Ida\"\nrole = \"technician\"\n";
    let problems = shelf.record(&[files[0], files[1], ("person.toml", person)]).unwrap_err();
    snapshot("no_workshop", &problems.to_string());
}

#[test]
fn one_visit_is_one_file() {
    let mut shelf = Shelf::new();
    let text = visit("2020-05-01", 30_000, "");
    let problems = shelf.record(&[("a.toml", &text), ("b.toml", &text)]).unwrap_err();
    snapshot("visit_in_two_files", &problems.to_string());
}

// ---------------------------------------------------------------- writing once

/// A visit with a line of every kind.
fn whole_visit() -> String {
    visit(
        "2020-05-01",
        30_000,
        "asked-for = \"Squeals when cold\"
ceiling = \"400\"

[readings]
belt-note = \"160 Hz\"
disc-thickness = { \"front.left\" = [\"24.10 mm\", \"24.12 mm\"], \"front.right\" = \"0.95 in\" }

[looks]
hose-look = { \"front.left\" = \"damp\", \"front.right\" = \"scuffed\" }

[[reading]]
check = \"hinge-play\"
values = [\"1.20 mm\"]
instrument = \"caliper-1\"
seen = \"part\"
note = \"By hand.\"
by = \"arno\"

[[look]]
check = \"belt-ribs\"
state = \"sharp\"
seen = \"open\"

[[not-reached]]
check = \"pump-bore\"
reason = \"Behind the cover.\"

[[overrule]]
check = \"cam-belt-due\"
verdict = \"look-again\"
reason = \"Renewed elsewhere, papers follow.\"
when = { years = 1 }

[[done]]
operation = \"renew-hose\"
place = \"front.left\"

[[fitted]]
component = \"hose\"
place = \"front.left\"
part = \"PV-20\"
batch = \"7\"
made = 2020-01-01

[[fluid]]
fluid = \"coolant\"
drained = \"0.5 L\"
filled = \"0.6 L\"
lot = \"A\"

[[look]]
check = \"hose-look\"
place = \"front.left\"
state = \"sound\"
after-work = true

[[met]]
obligation = \"nuts-torqued\"
value = \"110 Nm\"

[[met]]
obligation = \"pedal-firm\"

[[key-tag]]
id = \"belt\"
what = \"Listen to the belt\"
why = \"Squeals when cold.\"
check = \"belt-note\"
when = { km = 2000 }

[[settle]]
tag = \"hose\"
reason = \"Renewed.\"

[[calculation]]
formula = \"disc-thickness-variation\"
inputs = { thickness = [\"22.004\", \"22.001\", \"21.998 mm\"] }
note = \"Left disc.\"

[[answer]]
operation = \"renew-discs\"
says = \"not-now\"
name = \"Dora's owner\"
words = \"Next year.\"

[closed]
odometer = \"30004 km\"",
    )
}

#[test]
fn every_kind_of_line_is_written() {
    let mut shelf = book();
    shelf.record(&[("visit.toml", &whole_visit())]).unwrap();
    let kinds: Vec<String> = shelf.cars["dora"]
        .iter()
        .map(|entry| serde_json::to_value(&entry.body).unwrap()["kind"].as_str().unwrap().to_owned())
        .collect();
    let second = &kinds[5..]; // behind the car, its first visit, a look, a tag and the end of that visit
    let expected = [
        "visit",
        "reading",
        "reading",
        "reading",
        "look",
        "look",
        "reading",
        "look",
        "not-reached",
        "overrule",
        "done",
        "fitted",
        "fluid",
        "look",
        "met",
        "met",
        "tag",
        "tag-settled",
        "calculation",
        "answer",
        "tag",
        "closed",
    ];
    assert_eq!(second, expected);
    let signed: Vec<&str> = shelf.cars["dora"].iter().map(|entry| entry.by.as_str()).collect();
    assert_eq!(signed.iter().filter(|by| **by == "arno").count(), 1);
    let car = shelf.car("dora");
    assert_eq!(car.open_visit(), None);
    let tags: Vec<&str> = car.open_tags().map(|tag| tag.id.as_str()).collect();
    assert_eq!(
        tags,
        ["belt", "dora-2020-05-01-nuts-again"],
        "a promise of the work is tied when the keys go back"
    );
}

#[test]
fn what_was_worked_out_is_kept_as_typed_with_what_came_of_it() {
    let mut shelf = book();
    shelf.record(&[("visit.toml", &whole_visit())]).unwrap();
    let car = shelf.car("dora");
    let kept = &car.calculations[0];
    assert_eq!(kept.visit.as_deref(), Some("dora-2020-05-01"));
    assert_eq!(kept.inputs["thickness"], "22.004\n22.001\n21.998 mm");
    let results: Vec<String> =
        kept.results.iter().map(|computed| workshop::calculation::words(None, computed)).collect();
    // 22.004 − 21.998 mm, by hand
    assert!(results.contains(&"6 µm".to_owned()), "{results:?}");
}

#[test]
fn recording_again_writes_nothing() {
    let mut shelf = book();
    let files = [
        ("workshop.toml", WORKSHOP),
        ("dora.toml", DORA),
        ("emil.toml", EMIL),
        ("first.toml", &*first()),
        ("second.toml", &*whole_visit()),
    ];
    assert!(shelf.record(&files).unwrap() > 0);
    let before = shelf.clone();
    assert_eq!(shelf.record(&files).unwrap(), 0);
    for file in files {
        assert_eq!(shelf.record(&[file]).unwrap(), 0, "{} alone", file.0);
    }
    assert_eq!(shelf, before);
}

#[test]
fn recording_with_more_in_it_writes_only_what_is_new() {
    let mut shelf = Shelf::new();
    let mut text = visit_of("emil", "2020-05-01", 30_000, "");
    let mut length = |text: &str, expected: usize, what: &str| {
        let known = shelf.cars["emil"].clone();
        assert_eq!(shelf.record(&[("visit.toml", text)]).unwrap(), expected, "{what}");
        assert_eq!(shelf.cars["emil"][..known.len()], known[..], "{what}: what was there stays");
    };
    length(&text, 1, "the visit");
    text += "[looks]\nhose-look = { \"front.left\" = \"sound\" }\n";
    length(&text, 1, "a look");
    text += "[[done]]\noperation = \"renew-fan-belt\"\n[[met]]\nobligation = \"covers-quiet\"\n";
    length(&text, 2, "work");
    text += "[closed]\n";
    length(&text, 1, "the end");
    // Work that was forgotten. What it promises is tied to the key; what the other work tied stays as it is.
    text = text.replace("[closed]", "[[done]]\noperation = \"change-coolant\"\n[closed]");
    length(&text, 2, "work, and the tag that it ties");
    text = text.replace(
        "[closed]",
        "[[done]]\noperation = \"renew-pump\"\n[[met]]\nobligation = \"covers-quiet\"\n[closed]",
    );
    length(
        &text,
        2,
        "work that makes an obligation again, and that it was met again; its promise is tied already",
    );
}

#[test]
fn the_same_line_twice_is_two_lines() {
    let mut shelf = Shelf::new();
    let one = "[[fluid]]\nfluid = \"coolant\"\nfilled = \"1 L\"\n";
    let once = visit_of("emil", "2020-05-01", 30_000, one);
    let twice = visit_of("emil", "2020-05-01", 30_000, &format!("{one}{one}"));
    assert_eq!(shelf.record(&[("visit.toml", &once)]).unwrap(), 2);
    assert_eq!(shelf.record(&[("visit.toml", &twice)]).unwrap(), 1);
    assert_eq!(shelf.record(&[("visit.toml", &twice)]).unwrap(), 0);
}

#[test]
fn a_workshop_that_changes_its_mind_twice_is_believed_twice() {
    let mut shelf = Shelf::new();
    let dearer = WORKSHOP.replace("\"100.00\"", "\"110.00\"");
    for (text, rate) in [(&*dearer, "110.00"), (WORKSHOP, "100.00"), (&*dearer, "110.00")] {
        assert_eq!(shelf.record(&[("workshop.toml", text)]).unwrap(), 1);
        assert_eq!(shelf.shop().rate.to_string(), rate);
        assert_eq!(shelf.record(&[("workshop.toml", text)]).unwrap(), 0);
    }
    let renamed = DORA.replace("title      = \"Dora\"", "title      = \"Old Dora\"");
    for (text, title) in [(&*renamed, "Old Dora"), (DORA, "Dora"), (&*renamed, "Old Dora")] {
        assert_eq!(shelf.record(&[("dora.toml", text)]).unwrap(), 1);
        assert_eq!(shelf.car("dora").title, title);
    }
}

#[test]
fn who_is_known_first_changes_no_entry() {
    let mut alone = Shelf::new();
    let mut crowded = Shelf::empty();
    let more = "[[person]]\nid = \"aaron\"\nname = \"Aaron\"\nrole = \"owner\"\n";
    crowded.record(&[("aaron.toml", more)]).unwrap();
    for shelf in [&mut alone, &mut crowded] {
        shelf.record(&[("workshop.toml", WORKSHOP), ("dora.toml", DORA), ("emil.toml", EMIL)]).unwrap();
    }
    assert_eq!(alone.cars, crowded.cars);
    assert_eq!(crowded.record(&[("dora.toml", DORA)]).unwrap(), 0);
}

#[test]
fn a_visit_keeps_the_data_sheet_that_judged_it() {
    let mut shelf = book();
    let renamed = SHEET.replace("[check.hose-look]", "[check.hose-bent]");
    shelf.adopt(&renamed);
    assert_eq!(shelf.record(&[("first.toml", &first())]).unwrap(), 0, "read by the sheet of its day");
    let problems = shelf.record(&[("second.toml", &second(&look("sound")))]).unwrap_err();
    assert!(problems.to_string().contains("hose-bent"), "{problems}");
    let later = second("[looks]\nhose-bent = { \"front.left\" = \"sound\" }");
    shelf.record(&[("second.toml", &later)]).unwrap();
    let car = shelf.car("dora");
    assert_ne!(car.visits[0].revision, car.visits[1].revision);
}

#[test]
fn two_visits_of_one_day_stand_by_their_odometers() {
    let early = visit("2020-05-01", 30_000, "id = \"dora-in\"");
    let late = visit("2020-05-01", 30_050, "id = \"dora-back\"");
    for files in [[("a", &early), ("b", &late)], [("a", &late), ("b", &early)]] {
        let mut shelf = Shelf::new();
        shelf.record(&files.map(|(name, text)| (name, text.as_str()))).unwrap();
        let ids: Vec<String> = shelf.car("dora").visits.into_iter().map(|visit| visit.id).collect();
        assert_eq!(ids, ["dora-in", "dora-back"]);
    }
}

#[test]
fn a_visit_begun_at_the_desk_goes_on_in_a_file() {
    let mut shelf = Shelf::new();
    let opened = visit("2020-05-01", 30_000, "");
    let mut elsewhere = shelf.clone();
    elsewhere.record(&[("visit.toml", &opened)]).unwrap();
    let Body::Known(begun @ Known::Visit { .. }) = elsewhere.cars["dora"][1].body.clone() else { panic!() };
    // The same beginning under an id that the desk gave it.
    shelf.append(vec![support::draft(77, journal::Stream::Car("dora".into()), begun)]);
    assert_eq!(shelf.record(&[("visit.toml", &visit("2020-05-01", 30_000, &look("sound")))]).unwrap(), 1);
    assert_eq!(shelf.car("dora").visits.len(), 1);
}

fn all_files() -> Vec<(&'static str, String)> {
    vec![
        ("workshop.toml", WORKSHOP.into()),
        ("dora.toml", DORA.into()),
        ("emil.toml", EMIL.into()),
        ("first.toml", first()),
        ("second.toml", whole_visit()),
        ("emil-1.toml", visit_of("emil", "2019-07-01", 5_000, &look("crazed"))),
        (
            "emil-2.toml",
            visit_of(
                "emil",
                "2020-07-01",
                15_000,
                "[[done]]\noperation = \"renew-hose\"\nplace = \"front.left\"\n",
            ),
        ),
    ]
}

fn borrowed<'a>(files: &'a [(&'static str, String)]) -> Vec<(&'static str, &'a str)> {
    files.iter().map(|(name, text)| (*name, text.as_str())).collect::<Vec<_>>()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn files_in_any_order_make_the_same_book(files in Just(all_files()).prop_shuffle()) {
        let (mut shuffled, mut sorted) = (Shelf::empty(), Shelf::empty());
        shuffled.record(&borrowed(&files)).unwrap();
        sorted.record(&borrowed(&all_files())).unwrap();
        prop_assert_eq!(shuffled, sorted);
    }

    /// Files one after the other, in an order in which each finds what it needs, make the same cars as all at once.
    #[test]
    fn files_in_steps_make_the_same_cars(cut in 1usize..6) {
        let (mut whole, mut steps) = (Shelf::empty(), Shelf::empty());
        let files = all_files();
        whole.record(&borrowed(&files)).unwrap();
        for some in files.chunks(cut) {
            steps.record(&borrowed(some)).unwrap();
        }
        for car in ["dora", "emil"] {
            prop_assert_eq!(steps.car(car), whole.car(car));
        }
    }

    /// Whatever a slip of the hand does to a file: it is read or refused with a place, and the book stays whole.
    #[test]
    fn a_damaged_file_is_read_or_refused(
        which in any::<Index>(), cuts in prop::collection::vec((any::<Index>(), 0usize..40, any::<Index>()), 1..5),
    ) {
        let mut files = all_files();
        let pieces = ["", "\"", "]", "[[", "= ", "\n", "9", "-1", "{", "}", "front.left", "tess", "é", "\u{0}", "'''", "2020-13-45", "nan", "1e999"];
        let n = which.index(files.len());
        let text = &mut files[n].1;
        for (at, length, piece) in &cuts {
            let boundary = |mut at: usize| { while !text.is_char_boundary(at) { at -= 1; } at };
            let from = boundary(at.index(text.len() + 1));
            let to = boundary((from + length).min(text.len()));
            text.replace_range(from..to, pieces[piece.index(pieces.len())]);
        }
        let mut shelf = Shelf::empty();
        let before = shelf.clone();
        match shelf.record(&borrowed(&files)) {
            Ok(_) => {
                let again = shelf.clone();
                prop_assert_eq!(shelf.record(&borrowed(&files)).unwrap(), 0);
                prop_assert_eq!(&shelf, &again);
                for car in shelf.cars.keys() {
                    shelf.told(car).assess();
                }
            }
            Err(problems) => {
                prop_assert!(problems.count() > 0 && problems.to_string().contains(".toml"));
                prop_assert_eq!(shelf, before);
            }
        }
    }
}
