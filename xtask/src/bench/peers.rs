//! The same work by other means, in Python, in an environment of its own.

use super::{Figure, figure};
use crate::{debian, error::Failed, step, workspace::Workspace};
use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

/// The names of the peers; scripts that print no figures are for use by hand, and told so.
pub fn find(root: &Path) -> Result<Vec<String>, Failed> {
    let folder = root.join("benches/peers");
    let mut peers = vec![];
    for file in if folder.is_dir() { super::names_in(&folder)? } else { vec![] } {
        let Some(name) = file.strip_suffix(".py") else { continue };
        let path = folder.join(&file);
        if fs::read_to_string(&path).map_err(Failed::file(&path))?.contains("figure ") {
            peers.push(name.to_owned());
        } else {
            println!("── bench: benches/peers/{file} prints no line `figure …`, so it is not run");
        }
    }
    Ok(peers)
}

/// Runs one peer.
pub fn run(workspace: &Workspace, name: &str) -> Result<Vec<Figure>, Failed> {
    let mut python = workspace.command(python(workspace)?);
    // Settings of a machine for its own, older libraries would slow a peer down and flatter us.
    python.env_remove("OPENBLAS_CORETYPE").env_remove("OPENBLAS_L2_SIZE");
    python.arg(format!("benches/peers/{name}.py"));
    let (_, told) = step::keep("bench", &format!("{name} by other means"), &mut python)?;
    let figures = figure::lines(&told).map_err(Failed::Bench)?;
    if figures.is_empty() {
        return Err(Failed::Bench(vec![format!("benches/peers/{name}.py told no figure")]));
    }
    Ok(figures)
}

/// The interpreter of an environment with the packages that the peers ask for, made anew when those have changed.
fn python(workspace: &Workspace) -> Result<PathBuf, Failed> {
    let requirements = workspace.root.join("benches/peers/requirements.txt");
    let wanted = fs::read(&requirements).map_err(Failed::file(&requirements))?;
    let folder = workspace.target.join("peers");
    let (python, installed_from) = (folder.join("bin/python"), folder.join("installed-from"));
    if fs::read(&installed_from).is_ok_and(|installed| installed == wanted) {
        return Ok(python);
    }
    let has_venv = Command::new("python3").args(["-c", "import ensurepip, venv"]).output();
    if !has_venv.is_ok_and(|output| output.status.success()) {
        debian::install(&["python3", "python3-venv"])?;
    }
    let mut venv = Command::new("python3");
    step::run(
        "bench",
        "makes an environment for the peers",
        venv.args(["-m", "venv", "--clear"]).arg(&folder),
    )?;
    let mut pip = Command::new(&python);
    pip.args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-r"]).arg(&requirements);
    step::run("bench", "installs the packages of the peers", &mut pip)?;
    fs::write(&installed_from, wanted).map_err(Failed::file(&installed_from))?;
    Ok(python)
}
