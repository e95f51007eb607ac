//! `cargo xtask screens`: pictures of every page, so that people look at what they built.

use crate::{
    browser::{self, Node},
    error::Failed,
    workspace::Workspace,
};
use std::fs;

pub fn run(workspace: &Workspace) -> Result<(), Failed> {
    browser::needs()?;
    browser::modules(workspace)?;
    let program = browser::program(workspace, "release")?;
    let pictures = browser::pictures(workspace).join("screens");
    if pictures.exists() {
        fs::remove_dir_all(&pictures).map_err(Failed::file(&pictures))?;
    }
    let purpose = "pictures of every page, on a phone and a desk, light and dark, and of what is printed";
    let arguments = vec!["tests/browser/screens.mjs".into()];
    Node { purpose, program, arguments, headed: false }.run(workspace)?;
    println!("── pictures are in {}", pictures.display());
    Ok(())
}
