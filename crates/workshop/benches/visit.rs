//! What a visit costs to judge with its forecasts, and to plan.
//!
//! Three visits of the demonstration's sheet, a year apart, with every reading a little nearer to its limit each time and every
//! look as it should be. Budget: 120 checks in 5 ms.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a bench whose inputs are wrong has nothing to measure"
)]

#[path = "../tests/support/mod.rs"]
mod support;

use divan::{Bencher, black_box};
use jiff::civil::{Date, date};
use sheet::{Check, CheckId, CheckKind, Place, Sheet, Verdict};
use std::{path::Path, time::Duration};
use support::{Shelf, Told};
use workshop::{
    Car, Judge,
    explain::{Which, explain},
    plan,
};

fn main() {
    divan::main();
}

const TODAY: Date = date(2026, 6, 1);
const WORKSHOP: &str = "[workshop]\ntitle = \"Bench\"\ncurrency = \"EUR\"\nrate = \"100.00\"\ngap = \"12 months\"\n\
     [[person]]\nid = \"tess\"\nname = \"Tess\"\nrole = \"technician\"\n";
const YEARS: [i16; 3] = [2024, 2025, 2026];

/// A car after three visits with the same so many checks, each at one place or wherever the sheet has it.
fn told(checks: usize, everywhere: bool) -> Told {
    shelf(checks, everywhere, false).told("bench")
}

/// A car on which whatever was looked at is to be planned, or nearly so.
fn worn(checks: usize) -> Told {
    shelf(checks, false, true).told("bench")
}

fn shelf(checks: usize, everywhere: bool, worn: bool) -> Shelf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sheets/quarrow-lanner");
    let files = sheet::files_in(&folder).unwrap();
    let sheet = sheet::read(&files).unwrap();
    let mut shelf = Shelf::default();
    shelf.adopt_files(&files);
    let variant = sheet.variants.keys().next().unwrap();
    let car = format!(
        "[car]\nid = \"bench\"\ntitle = \"Bench\"\nsheet = \"{}\"\nvariant = \"{variant}\"\nfirst-used = 2012-05-02\n",
        sheet.id
    );
    let visits = YEARS.map(|year| visit(&sheet, year, checks, everywhere, worn));
    let mut texts = vec![("workshop.toml", WORKSHOP), ("car.toml", car.as_str())];
    texts.extend(["1.toml", "2.toml", "3.toml"].into_iter().zip(visits.iter().map(String::as_str)));
    shelf.record(&texts).unwrap_or_else(|problems| panic!("{problems}"));
    shelf
}

/// A visit file.
fn visit(sheet: &Sheet, year: i16, wanted: usize, everywhere: bool, worn: bool) -> String {
    let variant = sheet.variants.keys().next();
    let share = if worn { 0.7 } else { 0.2 } + 0.1 * f64::from(year - YEARS[0]);
    let said = sheet
        .checks
        .iter()
        .filter(|(_, check)| {
            check.only.includes(variant) && sheet.components[&check.component].only.includes(variant)
        })
        .filter_map(|(id, check)| Some((id, check, found(check, share, worn)?)))
        .take(wanted)
        .flat_map(|(id, check, found)| {
            let places = if everywhere { usize::MAX } else { 1 };
            sheet.places_of(id).iter().take(places).map(move |place| entry(id, place, check, &found))
        });
    let odometer = 60_000 + 6000 * i32::from(year - YEARS[0]);
    let head = format!(
        "[visit]\ncar = \"bench\"\ndate = {year}-05-20\nodometer = \"{odometer} km\"\nby = \"tess\"\n"
    );
    head + &said.collect::<String>()
}

/// A reading so far from new to its limit, or the first of the states, on a worn car the first that asks for work in time.
fn found(check: &Check, share: f64, worn: bool) -> Option<String> {
    match &check.kind {
        CheckKind::Reading(reading) => {
            let limit = reading.scale.limit.as_ref()?;
            let new = reading.scale.new.as_ref().map(|new| new.value);
            let (from, to) = match (new, limit.min, limit.max) {
                (Some(new), Some(min), _) => (new, min),
                (Some(new), _, Some(max)) => (new, max),
                (None, Some(min), Some(max)) => (0.5 * (min + max), max),
                (_, min, max) => (min.or(max)?, min.or(max)?),
            };
            let value = format!("\"{:.3} {}\"", from + share * (to - from), reading.unit.code());
            Some(format!("values = [{}]", vec![value; reading.repeats.max(1) as usize].join(", ")))
        }
        CheckKind::Observation(states) => {
            let asks = states.iter().find(|state| worn && state.means == Verdict::Plan);
            Some(format!("state = \"{}\"", asks.or(states.first())?.id))
        }
        CheckKind::Derived(_) | CheckKind::Interval(_) => None,
    }
}

fn entry(id: &CheckId, place: &Place, check: &Check, found: &str) -> String {
    let table = if matches!(check.kind, CheckKind::Reading(_)) { "reading" } else { "look" };
    format!("[[{table}]]\ncheck = \"{id}\"\nplace = \"{place}\"\n{found}\n")
}

/// The budget's visit: 120 checks.
#[divan::bench(args = [12, 120])]
fn judged(bencher: Bencher, checks: usize) {
    let told = told(checks, false);
    let said = told.judge_on(TODAY).assess().findings.len();
    assert!(said >= checks, "{said} of {checks} judged");
    bencher.bench_local(|| Judge::new(black_box(&told.shop), &told.sheet, &told.car, TODAY).assess());
}

/// Every check of the sheet wherever it is made.
#[divan::bench]
fn judged_whole_car(bencher: Bencher) {
    let told = told(usize::MAX, true);
    bencher.bench_local(|| Judge::new(black_box(&told.shop), &told.sheet, &told.car, TODAY).assess());
}

/// What was judged, as a plan with its reasons.
#[divan::bench(sample_count = 10)]
fn planned_whole_car(bencher: Bencher) {
    let told = told(usize::MAX, true);
    let judge = told.judge_on(TODAY);
    let assessment = judge.assess();
    bencher.bench_local(|| plan::plan(black_box(&judge), &assessment, &plan::Wishes::default()).unwrap());
}

/// Checks of a worn car whose plan has some two dozen pieces of work in question.
const WORN: usize = 30;

/// What is shown first while somebody types, on a worn car.
#[divan::bench]
fn answered_at_once(bencher: Bencher) {
    let told = worn(WORN);
    let judge = told.judge_on(TODAY);
    let assessment = judge.assess();
    let wishes = plan::Wishes { budget: Some(1500.into()), ..plan::Wishes::default() };
    let planned = plan::plan(&judge, &assessment, &wishes).unwrap();
    assert!((20..30).contains(&planned.items.len()), "{} pieces of work", planned.items.len());
    let time = Duration::from_millis(60);
    bencher.bench_local(|| plan::plan_within(black_box(&judge), &assessment, &wishes, time).unwrap());
}

/// The same with all that is behind it, which follows.
#[divan::bench(sample_count = 20)]
fn answered_whole(bencher: Bencher) {
    let told = worn(WORN);
    let judge = told.judge_on(TODAY);
    let assessment = judge.assess();
    let wishes = plan::Wishes { budget: Some(1500.into()), ..plan::Wishes::default() };
    bencher.bench_local(|| plan::study(black_box(&judge), &assessment, &wishes).unwrap());
}

/// Every question of the sheet that any finding bears on.
#[divan::bench]
fn explained_whole_car(bencher: Bencher) {
    let told = told(usize::MAX, true);
    let judge = told.judge_on(TODAY);
    assert!(explain(&judge, Which::All).len() > 5);
    bencher.bench_local(|| explain(black_box(&judge), Which::All));
}

/// Entries turned into a car.
#[divan::bench]
fn folded(bencher: Bencher) {
    let entries = shelf(usize::MAX, true, false).cars["bench"].clone();
    bencher.bench_local(|| Car::fold("bench", black_box(&entries)).unwrap());
}
