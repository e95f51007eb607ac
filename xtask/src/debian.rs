//! Debian packages that a chore needs: installed where we may, else named with the command that installs them.

use crate::{error::Failed, step};
use std::{env, path::PathBuf, process::Command};

/// Where the shell would find a program.
pub fn find(program: &str) -> Option<PathBuf> {
    env::split_paths(&env::var_os("PATH")?).map(|folder| folder.join(program)).find(|path| path.is_file())
}

/// Installs packages.
///
/// # Errors
/// [`Failed::Packages`] when we are not root or the system is another one.
pub fn install(packages: &[&str]) -> Result<(), Failed> {
    if packages.is_empty() {
        return Ok(());
    }
    if find("apt-get").is_none() || !is_root()? {
        let install =
            format!("apt-get update && apt-get install -y --no-install-recommends {}", packages.join(" "));
        return Err(Failed::Packages { install });
    }
    let purpose = format!("installs {}", packages.join(", "));
    let install = || {
        let mut command = apt_get("install");
        command.arg("--no-install-recommends").args(packages);
        step::run("packages", &purpose, &mut command)
    };
    if install().is_err() {
        println!("── packages: not found as they are listed here; the lists are read anew");
        step::run("packages", "reads the lists of packages", &mut apt_get("update"))?;
        install()?;
    }
    Ok(())
}

fn apt_get(what: &str) -> Command {
    let mut command = Command::new("apt-get");
    command.args(["-q", "-y", what]).env("DEBIAN_FRONTEND", "noninteractive");
    command
}

fn is_root() -> Result<bool, Failed> {
    Ok(step::ask("packages", Command::new("id").arg("-u"))?.trim() == "0")
}
