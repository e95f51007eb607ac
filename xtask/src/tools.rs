//! Tools of a pinned version, built once into the build folder.

use crate::{error::Failed, step, workspace::Workspace};
use std::path::PathBuf;

/// The path of a cargo tool, which is built when it is not there yet.
pub fn tool(workspace: &Workspace, name: &str, version: &str) -> Result<PathBuf, Failed> {
    let folder = workspace.target.join("tools").join(format!("{name}-{version}"));
    let program = folder.join("bin").join(name);
    if !program.is_file() {
        let mut cargo = workspace.cargo(["install", "--locked", "--version", version, name, "--root"]);
        // A build folder of its own, which cargo removes, or the tool's build would be mixed with ours.
        cargo.arg(&folder).env_remove("CARGO_TARGET_DIR");
        step::run("tools", &format!("builds {name}, once; this takes minutes"), &mut cargo)?;
    }
    Ok(program)
}
