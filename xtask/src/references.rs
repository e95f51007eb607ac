//! `cargo xtask references`: check values from outside, run through the rooms by the `check-values` program.

use crate::{error::Failed, step, workspace::Workspace};
use std::process::{Command, ExitCode};

/// Gives the exit code of the program: 0 when no row differs, 1 when one does, 2 when a file cannot be read.
pub fn run(workspace: &Workspace, json: bool, files: &[String]) -> Result<ExitCode, Failed> {
    let mut cargo = Command::new(workspace.cargo([]).get_program());
    cargo.args([
        "run",
        "--quiet",
        "--release",
        "--package",
        "witnessmark-references",
        "--bin",
        "check-values",
    ]);
    // Not in the project's folder: files are named from where the caller stands.
    cargo.arg("--manifest-path").arg(workspace.root.join("Cargo.toml")).arg("--");
    if json {
        cargo.arg("--json");
    }
    if files.is_empty() {
        cargo.arg(workspace.root.join("reference"));
    }
    let status = cargo
        .args(files)
        .status()
        .map_err(|source| Failed::Start { command: step::shown(&cargo), source })?;
    Ok(ExitCode::from(status.code().and_then(|code| u8::try_from(code).ok()).unwrap_or(1)))
}
