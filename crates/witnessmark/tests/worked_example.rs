//! The worked example of the guide, from an empty folder to the keys of the first visit and the return a year later, with
//! nothing but the commands and the files under `docs/example`.

#![expect(clippy::unwrap_used, reason = "a test that cannot read its own files has nothing to say")]

use serde_json::Value;
use std::{
    path::{Path, PathBuf},
    process::{Command, Output},
};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_witnessmark");
const FIRST_DAY: &str = "2026-05-04";
const A_YEAR_LATER: &str = "2027-05-10";

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/example").join(name)
}

/// A garage with an empty folder for its book.
struct Garage {
    folder: TempDir,
}

impl Garage {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn book(&self) -> PathBuf {
        self.folder.path().join("book")
    }

    fn run(&self, words: &[&str], files: &[&str]) -> Output {
        let files = files.iter().map(|name| example(name));
        Command::new(PROGRAM)
            .args(words)
            .args(files)
            .env("WITNESSMARK_BOOK", self.book())
            .current_dir(self.folder.path())
            .output()
            .unwrap()
    }

    fn does(&self, words: &[&str], files: &[&str]) -> String {
        let output = self.run(words, files);
        let (said, complained) = (text(output.stdout), text(output.stderr));
        assert!(output.status.success(), "{words:?} {files:?}: {said}{complained}");
        said
    }

    fn asks(&self, words: &[&str]) -> Value {
        let words = [words, &["--json"]].concat();
        serde_json::from_str(&self.does(&words, &[])).unwrap()
    }

    /// As the guide has it: the sheet, the workshop, the car, its first morning.
    fn in_the_morning() -> Self {
        let garage = Self::new();
        let book = garage.book().display().to_string();
        garage.does(&["sheet", "add", "--book", &book], &["tallow-nuthatch"]);
        garage.does(&["record"], &["workshop.toml", "pip.toml", "pip-2026-05-04.toml"]);
        garage
    }

    fn in_the_evening() -> Self {
        let garage = Self::in_the_morning();
        garage.does(&["record"], &["pip-2026-05-04-work.toml"]);
        garage
    }

    fn verdict(&self, day: &str, check: &str, place: &str) -> String {
        let assessment = self.asks(&["assess", "pip", "--today", day]);
        let findings = assessment["findings"].as_array().unwrap();
        let finding = findings.iter().find(|finding| finding["check"] == check && finding["place"] == place);
        finding.unwrap()["verdict"].as_str().unwrap().to_owned()
    }

    /// The operations that the plan has on an occasion.
    fn planned(&self, day: &str, occasion: &str) -> Vec<String> {
        let plan = self.asks(&["plan", "pip", "--today", day]);
        assert_eq!(plan["proven"], true);
        let items = plan["items"].as_array().unwrap();
        let there = items.iter().filter(|item| item["occasion"] == occasion);
        there.map(|item| item["operation"].as_str().unwrap().to_owned()).collect()
    }
}

fn text(bytes: Vec<u8>) -> String {
    String::from_utf8(bytes).unwrap()
}

#[test]
fn the_sheet_written_from_the_guide_is_in_order() {
    let garage = Garage::new();
    let said = garage.does(&["sheet", "check"], &["tallow-nuthatch"]);
    assert!(said.starts_with("Tallow Nuthatch is in order: 8 checks on 5 components"), "{said}");
}

#[test]
fn the_first_morning_is_judged_and_planned() {
    let garage = Garage::in_the_morning();
    for (check, place, verdict) in [
        ("front-lining-thickness", "front.left", "look-again"),
        ("front-lining-thickness", "front.right", "before-leaving"),
        ("front-hose-look", "front.left", "settled"),
        ("front-hose-look", "front.right", "before-leaving"),
        ("kingpin-play", "front.right", "sound"),
        ("fan-belt-tension", "single", "sound"),
        ("engine-oil-age", "single", "plan"),
    ] {
        assert_eq!(garage.verdict(FIRST_DAY, check, place), verdict, "{check} {place}");
    }
    assert_eq!(garage.planned(FIRST_DAY, "now"), ["renew-front-linings", "renew-front-hose"]);
    assert_eq!(garage.planned(FIRST_DAY, "leave"), ["renew-fan-belt", "renew-kingpins"]);
}

#[test]
fn the_letter_stands_by_itself_and_tells_what_was_left() {
    let garage = Garage::in_the_morning();
    garage.does(&["letter", "pip", "--html", "pip.html", "--today", FIRST_DAY], &[]);
    let letter = std::fs::read_to_string(garage.folder.path().join("pip.html")).unwrap();
    assert!(letter.contains("What should I know before the summer?"));
    assert!(letter.contains("Front brake linings") && letter.contains("Left on purpose"));
    assert!(!letter.contains("<script") && !letter.contains("http"), "nothing is fetched");
}

#[test]
fn the_keys_go_back_in_the_evening_and_the_same_file_again_changes_nothing() {
    let garage = Garage::in_the_evening();
    let cars = garage.asks(&["cars"]);
    assert_eq!(cars[0]["open_visit"], Value::Null);
    assert_eq!(cars[0]["key_tags"], 2);
    let again = garage.does(&["record"], &["pip-2026-05-04-work.toml"]);
    assert!(again.starts_with("0 entries written"), "{again}");
    assert_eq!(garage.asks(&["book", "verify"])["problems"], Value::Array(vec![]));
}

#[test]
fn the_keys_stay_while_the_wheel_nuts_are_not_torqued() {
    let garage = Garage::in_the_morning();
    let file = std::fs::read_to_string(example("pip-2026-05-04-work.toml")).unwrap();
    let forgotten = file.replace("obligation = \"wheel-nuts-torqued\"\nvalue      = \"80 Nm\"", "");
    assert_ne!(file, forgotten);
    let forgotten = forgotten.replacen("[[met]]\n", "", 1);
    let path = garage.folder.path().join("forgotten.toml");
    std::fs::write(&path, forgotten).unwrap();
    let output = garage.run(&["record", path.to_str().unwrap()], &[]);
    assert_eq!(output.status.code(), Some(2));
    let complained = text(output.stderr);
    assert!(complained.contains("“Wheel nuts torqued crosswise” is neither met nor waived"), "{complained}");
}

#[test]
fn a_year_later_the_trend_speaks() {
    let garage = Garage::in_the_evening();
    garage.does(&["record"], &["pip-2027-05-10.toml"]);
    for (check, place, verdict) in [
        ("front-lining-thickness", "front.right", "sound"),
        ("front-hose-look", "front.right", "sound"),
        ("kingpin-play", "front.left", "sound"),
        ("kingpin-play", "front.right", "before-leaving"),
    ] {
        assert_eq!(garage.verdict(A_YEAR_LATER, check, place), verdict, "{check} {place}");
    }
    assert_eq!(garage.planned(A_YEAR_LATER, "now"), ["renew-kingpins"]);
    assert_eq!(garage.asks(&["cars"])[0]["key_tags"], 0);
}
