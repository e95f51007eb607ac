//! `cargo xtask deny`: what may be among the dependencies, by `deny.toml`.

use crate::{error::Failed, step, workspace::Workspace};

const VERSION: &str = "0.20.2";

pub fn run(workspace: &Workspace, advisories: bool) -> Result<(), Failed> {
    let folder = workspace.target.join("tools").join(format!("cargo-deny-{VERSION}"));
    let program = folder.join("bin/cargo-deny");
    if !program.is_file() {
        let mut cargo =
            workspace.cargo(["install", "--locked", "--version", VERSION, "cargo-deny", "--root"]);
        // A build folder of its own, which cargo removes, or the tool's build would be mixed with ours.
        cargo.arg(&folder).env_remove("CARGO_TARGET_DIR");
        step::run("deny", "installs cargo-deny, once", &mut cargo)?;
    }
    let mut deny = workspace.command(&program);
    deny.args(["--workspace", "check", "bans", "licenses", "sources"]);
    if advisories {
        deny.arg("advisories"); // fetches the database of known faults
    }
    step::run("deny", "dependencies are as deny.toml allows", &mut deny)?;
    Ok(())
}
