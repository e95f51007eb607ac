//! Acknowledged is on disk: the program is killed at many moments of writing a visit down, and the journal stays whole.

#![cfg(unix)] // `Child::kill` is SIGKILL there: nothing in the program can soften it
#![allow(clippy::unwrap_used)]

use std::{
    fmt::Write as _,
    fs,
    io::{BufRead, BufReader, Read},
    process::{Child, ChildStdout, Stdio},
    thread::sleep,
    time::{Duration, Instant},
};
use support::Desk;

mod support;

const KILLS: u32 = 50;
/// Entries of a visit as it is written here: its beginning, a reading, and these lines of fluid.
const FLUIDS: u32 = 40;
const ENTRIES: u64 = FLUIDS as u64 + 2;

/// When the program is killed.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Moment {
    /// So long after it was started, as a share of the time that it usually takes.
    AfterStart(f64),
    /// So long after the first bytes of the commit reached the disk.
    InCommit(Duration),
    /// As soon as it says that the visit is written.
    Acknowledged,
}

/// Moments spread over the whole run, and closely over the commit.
fn moment(kill: u32) -> Moment {
    let nth = kill / 5;
    match kill % 5 {
        0 => Moment::Acknowledged,
        // From the start to beyond the end, no two alike.
        half @ 1..=2 => Moment::AfterStart(1.25 * f64::from(2 * nth + half - 1) / f64::from(2 * KILLS / 5)),
        half => Moment::InCommit(Duration::from_micros(100) * (2 * nth + half - 3)),
    }
}

#[test]
fn what_was_acknowledged_outlives_the_program_and_the_rest_is_whole_or_not_there() {
    let desk = Desk::with_pip();
    let usual = (0..3).map(|visit| undisturbed(&desk, visit)).min().unwrap();
    let mut acknowledged: Vec<String> = (0..3).map(file_name).collect();
    let (mut lost, mut kept_unsaid) = (0, 0);
    for kill in 0..KILLS {
        let moment = moment(kill);
        let visit = kill + 3;
        let before = desk.entries();
        let said = killed(&desk, visit, moment, usual);
        let written = desk.entries() - before;
        assert!(
            written == ENTRIES || written == 0 && !said,
            "kill {kill}, {moment:?}: {written} of {ENTRIES} entries are there, and acknowledged is {said}"
        );
        match (said, written) {
            (true, _) => acknowledged.push(file_name(visit)),
            (false, 0) => lost += 1,
            (false, _) => kept_unsaid += 1,
        }
    }
    println!(
        "{} acknowledged, {kept_unsaid} kept and not yet acknowledged, {lost} not written",
        acknowledged.len()
    );
    // Otherwise the kills did not fall where they should, and nothing was shown.
    assert!(lost > 0 && acknowledged.len() > 3);
    assert_eq!(desk.json(&["book", "redraw"])["changed"], serde_json::json!([]));
    let again: Vec<&str> = ["record"].into_iter().chain(acknowledged.iter().map(String::as_str)).collect();
    let again = desk.json(&again);
    assert_eq!(again["written"], 0);
    assert_eq!(again["known"], ENTRIES * acknowledged.len() as u64);
}

fn file_name(visit: u32) -> String {
    format!("visit-{visit}.toml")
}

/// A visit with many lines, on a day of its own.
fn write_visit(desk: &Desk, visit: u32) -> String {
    let (year, month) = (1990 + visit / 12, 1 + visit % 12);
    let mut text = format!(
        "[visit]\ncar = \"pip\"\ndate = {year}-{month:02}-01\nodometer = \"{} km\"\nby = \"ida\"\n\
         [readings]\nfan-belt-note = \"{} Hz\"\n",
        60_000 + visit * 100,
        80 + visit % 10
    );
    for line in 0..FLUIDS {
        _ = writeln!(text, "[[fluid]]\nfluid = \"engine-oil\"\nfilled = \"0.1 L\"\nnote = \"Line {line}\"");
    }
    let name = file_name(visit);
    desk.file(&name, &text);
    name
}

fn undisturbed(desk: &Desk, visit: u32) -> Duration {
    let name = write_visit(desk, visit);
    let start = Instant::now();
    desk.done(&["record", &name]);
    start.elapsed()
}

/// Kills the program at a moment of writing a visit down; gives whether it said that the visit is written.
fn killed(desk: &Desk, visit: u32, moment: Moment, usual: Duration) -> bool {
    let name = write_visit(desk, visit);
    let mut child =
        desk.command(&["record", &name]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    let mut printed = String::new();
    match moment {
        Moment::AfterStart(share) => sleep(usual.mul_f64(share)),
        Moment::InCommit(after) => {
            wait_for_commit(desk, &mut child);
            sleep(after);
        }
        Moment::Acknowledged => _ = out.read_line(&mut printed).unwrap(),
    }
    child.kill().unwrap();
    child.wait().unwrap();
    rest(out, &mut printed);
    let mut complaint = String::new();
    child.stderr.take().unwrap().read_to_string(&mut complaint).unwrap();
    assert_eq!(complaint, "");
    printed.contains(&format!("{ENTRIES} entries written"))
}

/// What was printed before the end stays in the pipe.
fn rest(mut out: BufReader<ChildStdout>, printed: &mut String) {
    out.read_to_string(printed).unwrap();
}

/// Waits until the file that takes a commit first has something in it, or the program has ended.
fn wait_for_commit(desk: &Desk, child: &mut Child) {
    let log = desk.path("book/journal.db-wal");
    while !fs::metadata(&log).is_ok_and(|log| log.len() > 0) && child.try_wait().unwrap().is_none() {
        std::hint::spin_loop();
    }
}
