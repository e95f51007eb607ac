//! The browser, Node and its two packages, and scripts of `tests/browser` run with them.

use crate::{debian, error::Failed, step, workspace::Workspace};
use std::{
    fs,
    path::PathBuf,
    process::Command,
    time::{Duration, Instant},
};

/// The oldest Node that the scripts run on: Debian 12's, for `--test-concurrency`.
const NODE: (u32, u32) = (18, 19);

/// Installs what is missing of Chromium, Node and npm.
///
/// # Errors
/// [`Failed::Packages`] names what only root may install; nothing is skipped.
pub fn needs() -> Result<(), Failed> {
    let mut packages = vec![];
    if debian::find("chromium").is_none() {
        packages.push("chromium");
    }
    if node_version().is_none_or(|version| version < NODE) {
        packages.push("nodejs");
    }
    if debian::find("npm").is_none() {
        packages.push("npm");
    }
    debian::install(&packages)?;
    match node_version() {
        Some(version) if version >= NODE => Ok(()),
        found => Err(Failed::TooOld {
            program: "node",
            found: found.map_or("missing".into(), |(major, minor)| format!("{major}.{minor}")),
            wanted: format!("{}.{}", NODE.0, NODE.1),
        }),
    }
}

/// Installs the packages of the lock file, when it has changed since or they are not there.
pub fn modules(workspace: &Workspace) -> Result<Duration, Failed> {
    let folder = workspace.root.join("tests/browser");
    let lock = folder.join("package-lock.json");
    let installed_from = folder.join("node_modules/.installed-from");
    let wanted = fs::read(&lock).map_err(Failed::file(&lock))?;
    if fs::read(&installed_from).is_ok_and(|installed| installed == wanted) {
        return Ok(Duration::ZERO);
    }
    let mut npm = Command::new("npm");
    npm.args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"]).current_dir(&folder);
    let took = step::run("browser", "installs the packages of the errands", &mut npm)?;
    fs::write(&installed_from, wanted).map_err(Failed::file(&installed_from))?;
    Ok(took)
}

/// Builds the program that the pages come from, and gives its path.
pub fn program(workspace: &Workspace, profile: &str) -> Result<PathBuf, Failed> {
    let mut cargo = workspace.cargo(["build", "--package", "witnessmark", "--profile", profile]);
    step::run("browser", "builds the program", &mut cargo)?;
    Ok(workspace.program(if profile == "dev" { "debug" } else { profile }))
}

/// Runs Node in the project's folder on a script of `tests/browser`.
pub struct Node<'a> {
    pub purpose: &'a str,
    pub program: PathBuf,
    pub arguments: Vec<String>,
    pub headed: bool,
}

impl Node<'_> {
    /// # Errors
    /// [`Failed::Step`] with Node's exit code.
    pub fn run(self, workspace: &Workspace) -> Result<Duration, Failed> {
        let begun = Instant::now();
        // Books and profiles go where they can all be thrown away, even after a browser was killed.
        let scratch = workspace.scratch("browser")?;
        let mut node = workspace.command("node");
        node.args(self.arguments)
            .env("WITNESSMARK", self.program)
            .env("PICTURES", pictures(workspace))
            .env("TMPDIR", &scratch.path)
            .env("HEADED", if self.headed { "1" } else { "0" });
        if let Some(chromium) = debian::find("chromium") {
            node.env("CHROMIUM", chromium);
        }
        step::run("browser", self.purpose, &mut node)?;
        Ok(begun.elapsed())
    }
}

/// Where pictures go; no commit has them.
pub fn pictures(workspace: &Workspace) -> PathBuf {
    workspace.target.join("pictures")
}

fn node_version() -> Option<(u32, u32)> {
    debian::find("node")?;
    read_version(&step::ask("node", Command::new("node").arg("--version")).ok()?)
}

/// `v20.20.2` as major and minor.
fn read_version(text: &str) -> Option<(u32, u32)> {
    let mut numbers = text.trim().strip_prefix('v')?.split('.').map(str::parse);
    Some((numbers.next()?.ok()?, numbers.next()?.ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_version_of_node_is_read_and_compared() {
        assert_eq!(read_version("v18.20.4\n"), Some((18, 20)));
        assert!(read_version("v18.13.0").is_some_and(|version| version < NODE));
        assert!(read_version("v20.1.0").is_some_and(|version| version >= NODE));
        assert_eq!(read_version("node"), None);
    }
}
