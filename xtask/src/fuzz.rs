//! `cargo xtask fuzz`: odd input thrown at every target of `fuzz/`, a while each.

use crate::{debian, error::Failed, step, tools, workspace::Workspace};
use std::fs;

const VERSION: &str = "0.13.2";
/// The compiler that can fuzz; nothing else needs it.
const TOOLCHAIN: &str = "nightly";

/// Stops at the first target that breaks; the input that broke it is kept in `fuzz/artifacts`.
pub fn run(workspace: &Workspace, seconds: u32) -> Result<(), Failed> {
    let installed = debian::find("rustup")
        .and_then(|rustup| step::ask("fuzz", workspace.command(rustup).args(["toolchain", "list"])).ok());
    if !installed.is_some_and(|list| list.lines().any(|line| line.starts_with(TOOLCHAIN))) {
        return Err(Failed::Toolchain {
            install: format!("rustup toolchain install --profile minimal {TOOLCHAIN}"),
        });
    }
    let tool = tools::tool(workspace, "cargo-fuzz", VERSION)?;
    for target in targets(workspace)? {
        let mut fuzz = workspace.command(&tool);
        fuzz.args(["run", "--target-dir"]).arg(workspace.target.join("fuzz")).arg(&target);
        fuzz.args(["--", "-verbosity=0", "-print_final_stats=1", &format!("-max_total_time={seconds}")]);
        fuzz.env("RUSTUP_TOOLCHAIN", TOOLCHAIN).env_remove("CARGO");
        step::run("fuzz", &format!("{target}, for {seconds} s"), &mut fuzz)?;
    }
    Ok(())
}

/// The targets, by the names of their files.
fn targets(workspace: &Workspace) -> Result<Vec<String>, Failed> {
    let folder = workspace.root.join("fuzz/fuzz_targets");
    let entries = fs::read_dir(&folder).map_err(Failed::file(&folder))?;
    let names = entries.filter_map(Result::ok).map(|entry| entry.file_name().to_string_lossy().into_owned());
    let mut targets: Vec<_> = names.filter_map(|name| name.strip_suffix(".rs").map(str::to_owned)).collect();
    targets.sort();
    Ok(targets)
}
