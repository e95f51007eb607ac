//! `cargo xtask bench`: every bench of the crates, the same work by others beside it, and the budgets.
//!
//! A bench is a file `crates/<room>/benches/<name>.rs`. Its figures are read from what it prints: divan's table, or lines
//! `figure <room>/<what> <value> <unit>` for what divan does not measure, such as memory or a 99th percentile.
//! A peer, a script `benches/peers/<name>.py`, does the same work with other means. It is run without arguments, in the
//! project's folder, with the packages of `benches/peers/requirements.txt`, and prints
//! `figure <room>/<what> <value> <unit> <by what>` with the name of the figure that it stands beside.
//!
//! **Adding a budget:** a line in [`budgets`], with the figure that must keep it.

mod budgets;
mod figure;
mod machine;
mod peers;
mod report;

use crate::{error::Failed, step, workspace::Workspace};
use figure::Figure;
use std::{fs, path::Path};

/// Where the figures are kept.
const DOCUMENT: &str = "docs/benchmarks.md";

/// One file of benches.
struct Bench {
    room: String,
    package: String,
    name: String,
}

/// Runs the benches named, or all; only all of them are written down, so that the figures of one document belong together.
///
/// # Errors
/// What failed is told at the end, after all that can run has run; then nothing is written.
pub fn run(workspace: &Workspace, names: &[String]) -> Result<(), Failed> {
    let all = find(&workspace.root.join("crates"))?;
    let is_wanted = |bench: &&Bench| names.is_empty() || names.iter().any(|name| bench.is_called(name));
    let unknown: Vec<_> =
        names.iter().filter(|name| !all.iter().any(|bench| bench.is_called(name))).collect();
    if !unknown.is_empty() {
        let there_are: Vec<_> = all.iter().map(|bench| bench.room.as_str()).collect();
        let tell = |name| format!("there is no bench `{name}`; there are {}", there_are.join(", "));
        return Err(Failed::Usage(unknown.into_iter().map(tell).collect()));
    }
    let peers = peers::find(&workspace.root)?;
    let wanted_peers = peers.iter().filter(|peer| names.is_empty() || names.contains(peer));

    let (mut ours, mut theirs, mut failed) = (vec![], vec![], vec![]);
    for bench in all.iter().filter(is_wanted) {
        match bench.run(workspace) {
            Ok(figures) => ours.extend(figures),
            Err(failure) => failed.push(failure.to_string()),
        }
    }
    for peer in wanted_peers {
        match peers::run(workspace, peer) {
            Ok(figures) => theirs.extend(figures),
            Err(failure) => failed.push(failure.to_string()),
        }
    }
    if !failed.is_empty() {
        return Err(Failed::Bench(failed));
    }
    let document = report::document(&machine::Machine::this(workspace)?, &ours, &theirs);
    if !names.is_empty() {
        println!("\n{document}");
        return Ok(());
    }
    let path = workspace.root.join(DOCUMENT);
    fs::write(&path, document).map_err(Failed::file(&path))?;
    println!("── bench: the figures are in {DOCUMENT}");
    Ok(())
}

impl Bench {
    fn is_called(&self, name: &str) -> bool {
        self.room == name || self.name == name || self.package == name
    }

    fn run(&self, workspace: &Workspace) -> Result<Vec<Figure>, Failed> {
        let mut cargo = workspace.cargo(["bench", "--package", &self.package, "--bench", &self.name]);
        cargo.env("NO_COLOR", "1").env("DIVAN_COLOR", "never");
        let (_, told) = step::keep("bench", &format!("{} of {}", self.name, self.room), &mut cargo)?;
        let mut figures = figure::table(&self.room, &told);
        figures.extend(figure::lines(&told).map_err(Failed::Bench)?);
        if figures.is_empty() {
            return Err(Failed::Bench(vec![format!("{} of {} told no figure", self.name, self.room)]));
        }
        Ok(figures)
    }
}

/// The benches of all rooms, by the names of their files.
fn find(crates: &Path) -> Result<Vec<Bench>, Failed> {
    let mut benches = vec![];
    for room in names_in(crates)? {
        let folder = crates.join(&room);
        if !folder.join("benches").is_dir() {
            continue;
        }
        let manifest = folder.join("Cargo.toml");
        let text = fs::read_to_string(&manifest).map_err(Failed::file(&manifest))?;
        let package = package_name(&text).unwrap_or(&room).to_owned();
        for file in names_in(&folder.join("benches"))? {
            if let Some(name) = file.strip_suffix(".rs") {
                benches.push(Bench { room: room.clone(), package: package.clone(), name: name.into() });
            }
        }
    }
    Ok(benches)
}

/// The first `name = "…"` of a manifest, which is the package's.
fn package_name(manifest: &str) -> Option<&str> {
    let value =
        manifest.lines().find_map(|line| line.strip_prefix("name")?.trim_start().strip_prefix('='))?;
    value.split('"').nth(1)
}

/// The names in a folder, in order.
fn names_in(folder: &Path) -> Result<Vec<String>, Failed> {
    let entries = fs::read_dir(folder).map_err(Failed::file(folder))?;
    let mut names: Vec<_> = entries
        .filter_map(Result::ok)
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    Ok(names)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_name_of_a_package_is_read_from_its_manifest() {
        let manifest = "[package]\nname = \"witnessmark-sheet\"\n[lib]\nname = \"sheet\"\n";
        assert_eq!(package_name(manifest), Some("witnessmark-sheet"));
        assert_eq!(package_name("[package]\n"), None);
    }

    #[test]
    fn the_benches_of_this_project_are_found() {
        let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
        let benches = find(&crates).unwrap();
        assert!(benches.iter().any(|bench| bench.package == "witnessmark-sheet" && bench.is_called("sheet")));
    }
}
