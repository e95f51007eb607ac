//! `cargo xtask test`: everything that has to hold, in the order in which it is soonest known.

use crate::{
    browser::{self, Node},
    error::Failed,
    step,
    workspace::Workspace,
};
use std::{fs, thread, time::Duration};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    Fmt,
    Clippy,
    Rust,
    Browser,
}

const ALL: [(&str, Part); 4] =
    [("fmt", Part::Fmt), ("clippy", Part::Clippy), ("rust", Part::Rust), ("browser", Part::Browser)];

/// The parts named, in their own order; all when none is named.
pub fn parts(names: &[String]) -> Result<Vec<Part>, Failed> {
    let is_part = |name: &String| ALL.iter().any(|(known, _)| known == name);
    let wrong: Vec<_> = names.iter().filter(|name| !is_part(name)).collect();
    if !wrong.is_empty() {
        let tell = |name| format!("there is no part `{name}`; there are fmt, clippy, rust and browser");
        return Err(Failed::Usage(wrong.into_iter().map(tell).collect()));
    }
    let wanted = |name: &str| names.is_empty() || names.iter().any(|wanted| wanted == name);
    Ok(ALL.iter().filter(|(name, _)| wanted(name)).map(|(_, part)| *part).collect())
}

pub fn run(workspace: &Workspace, parts: &[Part], headed: bool) -> Result<(), Failed> {
    if parts.contains(&Part::Browser) {
        browser::needs()?; // what is missing is better told before the long part than after it
    }
    let mut took = vec![];
    for part in parts {
        let (name, time) = match part {
            Part::Fmt => ("fmt", fmt(workspace)?),
            Part::Clippy => ("clippy", clippy(workspace)?),
            Part::Rust => ("rust", rust(workspace)?),
            Part::Browser => ("browser", errands(workspace, headed)?),
        };
        took.push((name, time));
    }
    println!("\n── all of it holds");
    for (name, time) in &took {
        println!("{name:>10} {:7.1} s", time.as_secs_f64());
    }
    Ok(())
}

fn fmt(workspace: &Workspace) -> Result<Duration, Failed> {
    let mut cargo = workspace.cargo(["fmt", "--all", "--check"]);
    step::run("fmt", "every file is formatted; `cargo fmt --all` puts it right", &mut cargo)
}

fn clippy(workspace: &Workspace) -> Result<Duration, Failed> {
    let every = ["clippy", "--workspace", "--all-targets", "--keep-going", "--", "-D", "warnings"];
    step::run("clippy", "no lint has anything to say of any target", &mut workspace.cargo(every))
}

fn rust(workspace: &Workspace) -> Result<Duration, Failed> {
    let every = ["test", "--workspace", "--no-fail-fast"];
    step::run("rust", "tests and examples of every crate", &mut workspace.cargo(every))
}

fn errands(workspace: &Workspace, headed: bool) -> Result<Duration, Failed> {
    let installing = browser::modules(workspace)?;
    let program = browser::program(workspace, "dev")?;
    let pictures = browser::pictures(workspace).join("journeys");
    if pictures.exists() {
        fs::remove_dir_all(&pictures).map_err(Failed::file(&pictures))?;
    }
    // A person at a desk follows one errand at a time.
    let at_once = if headed { 1 } else { thread::available_parallelism().map_or(1, usize::from) };
    let mut arguments =
        vec!["--test".into(), "--test-reporter=spec".into(), format!("--test-concurrency={at_once}")];
    arguments.extend(errand_files(workspace)?);
    let node = Node { purpose: "errands of people in a browser", program, arguments, headed };
    let took = node.run(workspace)?;
    println!("── browser: pictures are in {}", pictures.display());
    Ok(installing + took)
}

fn errand_files(workspace: &Workspace) -> Result<Vec<String>, Failed> {
    let folder = workspace.root.join("tests/browser");
    let entries = fs::read_dir(&folder).map_err(Failed::file(&folder))?;
    let mut files: Vec<String> = entries
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.to_string_lossy().ends_with(".test.mjs"))
        .map(|path| path.to_string_lossy().into_owned())
        .collect();
    files.sort();
    Ok(files)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_run_in_their_own_order() {
        assert_eq!(parts(&["rust".into(), "fmt".into()]).unwrap(), [Part::Fmt, Part::Rust]);
        assert_eq!(parts(&[]).unwrap().len(), 4);
    }

    #[test]
    fn every_unknown_part_is_told() {
        let wrong = parts(&["lint".into(), "fmt".into(), "".into()]).unwrap_err().to_string();
        assert!(wrong.contains("`lint`") && wrong.contains("``"), "{wrong}");
    }
}
