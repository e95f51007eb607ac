//! Reading a data sheet of the size that a workshop writes for one type of car. Budget: a sheet of 150 checks is looked
//! through in 50 ms, files included.

use divan::{Bencher, black_box};
use sheet::{SourceFile, changes, check_dir, read, read_dir, write};
use std::{fmt::Write, path::PathBuf};

fn main() {
    divan::main();
}

/// So many checks, half of them readings, with states, access and operations as an ordinary sheet has them.
fn files(checks: usize) -> Vec<SourceFile> {
    let head = r#"
[sheet]
id         = "bench"
title      = "Bench"
currency   = "EUR"
yearly-use = { mean = "10000 km/a", variation = 0.5, source = "invented" }
refit      = 0.9
[system.engine]
title = "Engine"
[places.corners]
"front.left"  = "front left"
"front.right" = "front right"
"rear.left"   = "rear left"
"rear.right"  = "rear right"
[station.round]
title  = "Round the car"
places = ["front.left", "front.right", "rear.left", "rear.right"]
[instrument.caliper]
title         = "Caliper"
resolution    = "0.01 mm"
repeatability = "0.015 mm"
calibration   = { expanded = "0.02 mm", k = 2 }
source        = "invented"
[consequence.stops]
title  = "It stops"
says   = "The car stops."
costs  = "100"
source = "invented"
[access.step-0]
title = "Step 0"
hours = 0.1
"#;
    let mut body = String::new();
    for n in 0..checks {
        let kind = if n % 2 == 0 {
            r#"reading   = { unit = "mm", instrument = "caliper", repeats = 8, keep = "min" }
new       = { value = "22.0 mm", tolerance = "0.1 mm" }
limit     = { min = "20.0 mm", source = "invented" }"#
        } else {
            r#"states    = [
  { id = "dry",  short = "dry",   says = "Dry",                          means = "sound" },
  { id = "film", short = "film",  says = "Dusty film, paper stays dry",  means = "settled",    why = "Dust sticks." },
  { id = "damp", short = "damp",  says = "Damp again after one turn",    means = "look-again", after = { km = "2000 km" } },
  { id = "drop", short = "drop",  says = "A drop hangs",                 means = "before-leaving" },
]"#
        };
        _ = write!(
            body,
            r#"
[component.part-{n}]
title       = "Part {n}"
system      = "engine"
places      = "corners"
criticality = "stranded"
ages-by     = {{ km = 0.7, years = 0.3 }}
life        = {{ median = "90000 km", spread = 1.5, source = "invented" }}
fails-as    = "stops"

[check.check-{n}]
component = "part-{n}"
title     = "Check {n}"
how       = "Clean the lip, measure 10 mm in from the edge, eight points around; keep the smallest."
normal    = "A light lip at the edge and fine rings are normal."
needs     = ["step-{n}"]
minutes   = 2
{kind}

[access.step-{next}]
title = "Step {next}"
needs = ["step-{n}"]
hours = 0.2

[operation.renew-{n}]
title     = "Renew part {n}"
component = "part-{n}"
renews    = true
needs     = ["step-{next}"]
hours     = 0.8
"#,
            next = n + 1
        );
    }
    vec![SourceFile::new("a-head.toml", head), SourceFile::new("body.toml", body)]
}

#[divan::bench(args = [150, 1500])]
fn a_sheet_that_is_right(bencher: Bencher, checks: usize) {
    let files = files(checks);
    bencher.bench(|| read(black_box(&files)));
}

fn demonstration() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../sheets/quarrow-lanner")
}

#[divan::bench]
fn the_demonstration_looked_through() {
    _ = black_box(check_dir(&demonstration()));
}

#[divan::bench]
fn the_demonstration_written(bencher: Bencher) {
    let sheet = read_dir(&demonstration()).ok();
    bencher.bench(|| sheet.as_ref().map(write));
}

#[divan::bench]
fn the_demonstration_compared_with_itself(bencher: Bencher) {
    let sheet = read_dir(&demonstration()).ok();
    bencher.bench(|| sheet.as_ref().map(|sheet| changes(sheet, black_box(sheet))));
}

/// Every reference to the instrument and the consequence leads nowhere.
#[divan::bench(args = [150, 1500])]
fn a_sheet_full_of_problems(bencher: Bencher, checks: usize) {
    let mut files = files(checks);
    files[0].text =
        files[0].text.replace("[instrument.caliper]", "[instrument.calliper]").replace(".stops]", ".stop]");
    bencher.bench(|| read(black_box(&files)).map_err(|problems| problems.to_string()));
}
