//! The program run as a person runs it, on a book with the invented van of the guide.

#![allow(dead_code)] // each test uses what it needs
#![allow(clippy::unwrap_used)]

use serde_json::Value;
use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_witnessmark");

/// A folder of the guide's example.
pub fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/example").join(name)
}

/// A folder that is thrown away, in which the program runs; its book, once there is one, is in `book`.
pub struct Desk {
    folder: TempDir,
}

impl Desk {
    /// Without a book.
    pub fn bare() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// With the data sheet of the guide, and nothing else.
    pub fn with_sheet() -> Self {
        let desk = Self::bare();
        desk.done(&["sheet", "add", example("tallow-nuthatch").to_str().unwrap(), "--book", "book"]);
        desk
    }

    /// With the workshop and the van, never seen yet.
    pub fn with_pip() -> Self {
        let desk = Self::with_sheet();
        desk.done(&["record", path("workshop.toml").as_str(), path("pip.toml").as_str()]);
        desk
    }

    /// With the van's first visit, in the morning.
    pub fn with_a_visit() -> Self {
        let desk = Self::with_pip();
        desk.done(&["record", path("pip-2026-05-04.toml").as_str()]);
        desk
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file beside the book; gives its name.
    pub fn file<'n>(&self, name: &'n str, text: &str) -> &'n str {
        fs::write(self.path(name), text).unwrap();
        name
    }

    /// The program, on the desk's book unless the arguments name another.
    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(PROGRAM);
        command
            .args(arguments)
            .current_dir(self.folder.path())
            .env("WITNESSMARK_BOOK", "book")
            .env("COLUMNS", "100");
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Ran {
        Ran::of(self.command(arguments).output().unwrap())
    }

    /// What it prints when it must succeed.
    pub fn done(&self, arguments: &[&str]) -> String {
        let ran = self.run(arguments);
        assert_eq!(ran.code, 0, "{arguments:?}\n{}", ran.stderr);
        assert_eq!(ran.stderr, "", "{arguments:?}");
        ran.stdout
    }

    /// Its answer in JSON when it must succeed.
    pub fn json(&self, arguments: &[&str]) -> Value {
        serde_json::from_str(&self.done(&[arguments, &["--json"]].concat())).unwrap()
    }

    /// How many entries the journal has; it must be whole.
    pub fn entries(&self) -> u64 {
        let verified = self.json(&["book", "verify"]);
        assert_eq!(verified["problems"], serde_json::json!([]));
        verified["entries"].as_u64().unwrap()
    }
}

/// A file of the guide's example, as an argument.
pub fn path(name: &str) -> String {
    example(name).to_str().unwrap().to_owned()
}

/// What a run of the program left.
#[derive(Debug)]
pub struct Ran {
    pub code: i32,
    pub stdout: String,
    pub stderr: String,
}

impl Ran {
    fn of(output: Output) -> Self {
        Self {
            code: output.status.code().unwrap(),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}
