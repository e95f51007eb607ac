//! The example of the guide, read whole. The vehicle is invented.

#![allow(clippy::unwrap_used, clippy::panic)]

use quantity::{Calibration, Quantity, Unit};
use sheet::*;
use std::collections::BTreeSet;
use support::{files, folder};

mod support;

fn example() -> Sheet {
    read_dir(&folder()).unwrap_or_else(|problems| panic!("{problems}"))
}

fn check(id: &str) -> Check {
    example().checks[id].clone()
}

#[test]
fn the_head_is_read() {
    let sheet = example();
    assert_eq!(sheet.id, "tern-courier".into());
    assert_eq!(sheet.title, "Tern Courier");
    assert_eq!(sheet.currency, "EUR");
    assert_eq!((sheet.yearly_use.mean_km, sheet.yearly_use.variation, sheet.refit), (12000.0, 0.5, 0.9));
    assert_eq!(sheet.revision.len(), 64);
}

#[test]
fn things_stand_in_the_order_of_the_files() {
    let sheet = example();
    let checks: Vec<_> = sheet.checks.keys().map(CheckId::as_str).collect();
    assert_eq!(
        checks,
        [
            "front-disc-thickness",
            "front-pad-thickness",
            "wheel-nut-seats",
            "output-seal",
            "ride-height",
            "spring-mark",
            "belt-frequency",
            "belt-tension",
            "timing-belt-age",
            "belt-squeal"
        ]
    );
    assert_eq!(
        sheet.systems.keys().map(SystemId::as_str).collect::<Vec<_>>(),
        ["brakes", "engine", "driveline"]
    );
}

#[test]
fn a_reading_is_in_its_own_unit() {
    let sheet = example();
    let CheckKind::Reading(disc) = &sheet.checks["front-disc-thickness"].kind else { panic!("a reading") };
    assert_eq!((disc.unit, disc.repeats, disc.keep), (Unit::MM, 8, Keep::Min));
    assert_eq!(disc.also, ["caliper".into()]);
    assert_eq!(disc.scale.new, Some(New { value: 22.0, tolerance: Some(0.1) }));
    let limit = disc.scale.limit.as_ref().unwrap();
    assert_eq!((limit.min, limit.max, limit.source.as_str()), (Some(20.0), None, "stamped on the disc"));
    let CheckKind::Reading(pad) = &sheet.checks["front-pad-thickness"].kind else { panic!("a reading") };
    // 0.47 in × 25.4 mm/in (exact by the definition of the inch, 1959)
    assert_eq!(pad.scale.new, Some(New { value: 11.938, tolerance: None }));
    assert_eq!((pad.repeats, pad.keep), (1, Keep::Mean));
}

#[test]
fn a_derived_reading_names_its_formula_and_inputs() {
    let CheckKind::Derived(tension) = check("belt-tension").kind else { panic!("derived") };
    assert_eq!((tension.formula.as_str(), tension.gives.as_str()), ("belt-span-tension", "tension"));
    let span: Quantity = "172 mm".parse().unwrap();
    assert_eq!(tension.inputs["span"], Input::Value(span));
    assert_eq!(tension.inputs["frequency"], Input::Check { check: "belt-frequency".into(), place: None });
}

#[test]
fn states_carry_what_their_verdict_must() {
    let CheckKind::Observation(states) = check("output-seal").kind else { panic!("an observation") };
    assert_eq!(
        states.iter().map(|state| state.means).collect::<Vec<_>>(),
        [Verdict::Sound, Verdict::Settled, Verdict::LookAgain, Verdict::BeforeLeaving]
    );
    assert_eq!(states[2].when, Some(Trigger { km: Some(2000.0), years: None, event: None }));
    let CheckKind::Observation(nuts) = check("wheel-nut-seats").kind else { panic!("an observation") };
    assert_eq!(nuts[1].when, Some(Trigger { km: None, years: Some(0.5), event: None })); // six months are half a year
}

/// As in a file of a visit, a plain number stands for km or years.
#[test]
fn a_trigger_takes_plain_numbers_as_well() {
    let mut files = files();
    for file in &mut files {
        file.text =
            file.text.replace("km = \"2000 km\"", "km = 2000").replace("years = \"6 months\"", "years = 0.5");
    }
    let plain = read(&files).unwrap_or_else(|problems| panic!("{problems}"));
    let (as_text, plain) = (&example().checks, &plain.checks);
    assert_eq!(as_text["output-seal"], plain["output-seal"]);
    assert_eq!(as_text["wheel-nut-seats"], plain["wheel-nut-seats"]);
    let below =
        files.iter().map(|file| SourceFile::new(&*file.name, file.text.replace("km = 2000", "km = -1")));
    assert!(read(&below.collect::<Vec<_>>()).is_err());
}

#[test]
fn an_interval_counts_km_and_years() {
    let interval =
        Interval { km: Some(100_000.0), years: Some(7.0), strict: true, source: "maker's schedule".into() };
    assert_eq!(check("timing-belt-age").kind, CheckKind::Interval(interval));
}

#[test]
fn lives_are_known_within_a_factor_unless_it_is_said() {
    let sheet = example();
    let disc = sheet.components["front-disc"].life.clone().unwrap();
    assert_eq!((disc.median, disc.median_in, disc.spread, disc.sure), (90_000.0, Along::Km, 1.5, 1.6));
    let seal = sheet.components["final-drive-output-seal"].life.clone().unwrap();
    assert_eq!((seal.median, seal.median_in, seal.sure), (12.0, Along::Years, 2.0));
}

#[test]
fn a_percentage_of_an_instrument_is_of_its_reading() {
    let sheet = example();
    for instrument in sheet.instruments.values() {
        assert_eq!(instrument.statement.problems(), []);
    }
    let microphone = &sheet.instruments["belt-microphone"].statement;
    // 1.5 % of 150 Hz is 2.25 Hz; a certificate of 1 % with k = 2 is 1.5 Hz expanded
    assert!((microphone.effects[0].size.at(150.0, Unit::HZ).unwrap() - 2.25).abs() < 1e-12);
    let Calibration::Certificate { expanded, k } = &microphone.calibration else { panic!("a certificate") };
    assert!((expanded.at(150.0, Unit::HZ).unwrap() - 1.5).abs() < 1e-12);
    assert_eq!(*k, 2.0);
}

#[test]
fn the_walk_goes_from_station_to_station() {
    let sheet = example();
    let stops = |variant: Option<&str>| -> Vec<String> {
        let variant = variant.map(VariantId::from);
        let stops = sheet.walk(variant.as_ref());
        stops.iter().map(|stop| format!("{} {} {}", stop.station, stop.check, stop.place)).collect()
    };
    assert_eq!(
        stops(Some("van")),
        [
            "engine-bay belt-frequency single",
            "left-front wheel-nut-seats front.left", // its turn comes first
            "left-front front-disc-thickness front.left",
            "left-front front-pad-thickness front.left",
            "left-front ride-height front.left",
            "left-front spring-mark front.left",
            "right-front wheel-nut-seats front.right",
            "right-front front-disc-thickness front.right",
            "right-front front-pad-thickness front.right",
            "right-front ride-height front.right",
            "right-front spring-mark front.right",
            "left-rear ride-height rear.left",
            "left-rear spring-mark rear.left",
            "right-rear ride-height rear.right",
            "right-rear spring-mark rear.right",
            "underside output-seal left",
            "underside output-seal right",
        ]
    );
    assert_eq!(stops(Some("box"))[1], "engine-bay belt-squeal single");
    assert_eq!(stops(None), stops(Some("box")));
}

#[test]
fn places_are_numbered_by_a_scheme() {
    let sheet = example();
    let titles: Vec<_> = sheet.places.iter().map(|(place, title)| format!("{place}: {title}")).collect();
    assert_eq!(
        titles,
        [
            "front.left: front left",
            "front.right: front right",
            "left: left",
            "right: right",
            "rear.left: rear left",
            "rear.right: rear right",
            "cyl1: cylinder 1",
            "cyl2: cylinder 2",
            "cyl3: cylinder 3",
            "cyl4: cylinder 4",
        ]
    );
    let scheme = |scheme: &str| -> Vec<String> {
        let mut files = files();
        files.push(SourceFile::new("z.toml", format!("[places.more]\nscheme = {scheme}\n")));
        let more = read(&files).unwrap_or_else(|problems| panic!("{problems}"));
        more.places.keys().skip(sheet.places.len()).map(ToString::to_string).collect()
    };
    assert_eq!(
        scheme("{ kind = \"valves\", count = 2, intake = 2, exhaust = 1 }"),
        ["cyl1.in1", "cyl1.in2", "cyl1.ex1", "cyl2.in1", "cyl2.in2", "cyl2.ex1"]
    );
    assert_eq!(scheme("{ kind = \"axles\" }"), ["front", "rear"]);
    assert_eq!(scheme("{ kind = \"sides\", of = \"fork\" }"), ["fork.left", "fork.right"]);
    assert_eq!(scheme("{ kind = \"numbered\", of = \"cap\", count = 3 }"), ["cap1", "cap2", "cap3"]);
}

#[test]
fn model_years_leave_the_variants_that_were_made_then() {
    let sheet = example();
    let vented = &sheet.parts["QC-7310-V"];
    assert_eq!(vented.only.variants, ["van".into()]);
    assert_eq!(vented.only.model_years, Some(Years { from: Some(2002), to: None }));
    let mut files = files();
    files[0].text = files[0]
        .text
        .replace("title = \"Courier with a box body\"", "title = \"Box\"\nmodel-years = { to = 2000 }");
    files.push(SourceFile::new(
        "z.toml",
        "[access.late]\ntitle = \"Late\"\nhours = 0.1\nmodel-years = { from = 2003 }\n",
    ));
    let late = read(&files).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(late.access["late"].only.variants, ["van".into()]);
    assert!(!late.access["late"].only.includes(Some(&"box".into())));
}

#[test]
fn limits_lie_between_places_and_in_time() {
    let sheet = example();
    let disc = sheet.checks["front-disc-thickness"].scale().unwrap();
    assert_eq!(
        disc.differs,
        [Differs { between: Between::Sides, max: 0.3, source: "common practice".into() }]
    );
    let trend = disc.trend.as_ref().unwrap();
    assert_eq!((trend.max, trend.per, trend.along), (0.4, 10_000.0, Along::Km));
}

#[test]
fn fasteners_are_tightened_in_stages() {
    let sheet = example();
    assert_eq!(sheet.fasteners["wheel-nut"].stages, [Stage::Torque(108.0, Some(5.0))]);
    let bolt = &sheet.fasteners["caliper-bolt"];
    assert_eq!(
        bolt.stages,
        [Stage::Torque(40.0, None), Stage::Loosen(90.0), Stage::Torque(60.0, None), Stage::Angle(60.0)]
    );
    assert_eq!(bolt.reuse, Reuse::Never);
}

#[test]
fn an_alternative_says_what_is_then_judged_otherwise() {
    let sheet = example();
    let change = &sheet.parts["QC-7310"].alternatives[0].changes[0];
    assert_eq!(change.check, "front-disc-thickness".into());
    assert_eq!(change.new, Some(New { value: 26.0, tolerance: None }));
    assert_eq!(change.limit.as_ref().and_then(|limit| limit.min), Some(24.0));
}

#[test]
fn an_explanation_says_what_would_be_found() {
    let sheet = example();
    let question = &sheet.questions["sits-crooked"];
    assert_eq!((question.none, question.otherwise["ride-height"]), (0.15, (290.0, 400.0)));
    let exchanged = &sheet.explanations["springs-exchanged"];
    assert_eq!((exchanged.prior, exchanged.put_right.clone()), (Some(0.05), Some("renew-spring".into())));
    let Shows::States(states) = &exchanged.shows[0].shows else { panic!("states") };
    assert_eq!(states["yellow"], Likelihood::Often(Often::NearlyAlways));
    let Shows::Reads(Expected::Formula { formula, gives, onto, spread, .. }) = &exchanged.shows[1].shows
    else {
        panic!("a formula")
    };
    assert_eq!((formula.as_str(), gives.as_str()), ("ride-height-from-spring", "change"));
    assert_eq!((*onto, *spread), (352.0, 4.0));
    let tired = &sheet.explanations["spring-tired"];
    assert_eq!((tired.prior, tired.component.clone()), (None, Some("spring".into())));
}

#[test]
fn steps_are_sentences_or_say_more() {
    let steps = &example().operations["renew-front-discs"].steps;
    assert_eq!(steps[0].does, "Clean the hub face to bright metal.");
    assert_eq!(steps[1].hold.as_deref(), Some("the run-out, written down"));
    assert!(steps[2].second_look && steps[2].fasteners == ["caliper-bolt".into()]);
}

#[test]
fn places_have_titles() {
    let sheet = example();
    assert_eq!(sheet.places_of(&"front-disc-thickness".into()), ["front.left".into(), "front.right".into()]);
    assert_eq!(sheet.place_title(&"front.left".into()), "front left");
    assert_eq!(sheet.place_title(&Place::single()), "");
    assert!(sheet.places_of(&"no-such-check".into()).is_empty());
}

#[test]
fn a_shared_step_is_opened_once_and_after_what_it_needs() {
    let sheet = example();
    let closure = |wanted: &[&str]| -> Vec<String> {
        let wanted: Vec<AccessId> = wanted.iter().copied().map(AccessId::from).collect();
        sheet.access_closure(&wanted).iter().map(ToString::to_string).collect()
    };
    let all = ["on-lift", "wheels-off", "front-calipers-off"];
    assert_eq!(closure(&["wheels-off", "front-calipers-off"]), all);
    assert_eq!(closure(&["front-calipers-off", "on-lift", "wheels-off"]), all);
    assert!(closure(&[]).is_empty());
    assert!(closure(&["no-such-step"]).is_empty());
}

#[test]
fn a_part_number_leads_to_the_newest() {
    let sheet = example();
    let successor = |part: &str| sheet.successor(&part.into()).to_string();
    assert_eq!(successor("QC-1204"), "QC-1311");
    assert_eq!(successor("QC-1311"), "QC-1311");
    assert_eq!(successor("not-on-the-sheet"), "not-on-the-sheet");
}

#[test]
fn the_order_in_which_files_are_handed_in_does_not_matter() {
    let mut files = files();
    let forward = read(&files).unwrap();
    files.reverse();
    assert_eq!(read(&files).unwrap(), forward);
    assert_eq!(forward, example());
}

#[test]
fn another_letter_anywhere_is_another_revision() {
    let files = files();
    let revision = |files: &[SourceFile]| read(files).unwrap().revision;
    let mut renamed = files.clone();
    renamed[1].name = "brake.toml".into();
    let mut commented = files.clone();
    commented[1].text.push('#');
    let revisions = BTreeSet::from([revision(&files), revision(&renamed), revision(&commented)]);
    assert_eq!(revisions.len(), 3);
}
