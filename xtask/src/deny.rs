//! `cargo xtask deny`: what may be among the dependencies, by `deny.toml`.

use crate::{error::Failed, step, tools, workspace::Workspace};

const VERSION: &str = "0.20.2";

pub fn run(workspace: &Workspace, advisories: bool) -> Result<(), Failed> {
    let mut deny = workspace.command(tools::tool(workspace, "cargo-deny", VERSION)?);
    deny.args(["--workspace", "check", "bans", "licenses", "sources"]);
    if advisories {
        deny.arg("advisories"); // fetches the database of known faults
    }
    step::run("deny", "dependencies are as deny.toml allows", &mut deny)?;
    Ok(())
}
