//! Where the project is, and where it builds.

use crate::error::Failed;
use std::{
    env, fs,
    path::{Path, PathBuf},
    process::Command,
};

pub struct Workspace {
    pub root: PathBuf,
    /// The build folder, wherever cargo was told to keep it.
    pub target: PathBuf,
}

impl Workspace {
    /// From what cargo tells a program that it runs, and from where that program lies: `<target>/debug/xtask`.
    pub fn find() -> Result<Self, Failed> {
        let own = env::var_os("CARGO_MANIFEST_DIR").map(PathBuf::from).ok_or(Failed::NoWorkspace)?;
        let program = env::current_exe().map_err(|_| Failed::NoWorkspace)?;
        let root = own.parent().ok_or(Failed::NoWorkspace)?.to_owned();
        let target = program.ancestors().nth(2).ok_or(Failed::NoWorkspace)?.to_owned();
        Ok(Self { root, target })
    }

    /// Cargo, as we were started by it, in the project's folder.
    pub fn cargo<'a>(&self, arguments: impl IntoIterator<Item = &'a str>) -> Command {
        let mut cargo = Command::new(env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        cargo.args(arguments).current_dir(&self.root);
        cargo
    }

    /// A program in the project's folder.
    pub fn command(&self, program: impl AsRef<Path>) -> Command {
        let mut command = Command::new(program.as_ref());
        command.current_dir(&self.root);
        command
    }

    /// The product's own program once it is built.
    pub fn program(&self, profile: &str) -> PathBuf {
        self.target.join(profile).join("witnessmark")
    }

    /// An empty folder under the build folder, gone when it is dropped.
    pub fn scratch(&self, name: &str) -> Result<Scratch, Failed> {
        let path = self.target.join("scratch").join(format!("{name}-{}", std::process::id()));
        fs::create_dir_all(&path).map_err(Failed::file(&path))?;
        Ok(Scratch { path })
    }
}

/// A folder that is thrown away with all that is in it, whoever left it there.
pub struct Scratch {
    pub path: PathBuf,
}

impl Drop for Scratch {
    fn drop(&mut self) {
        _ = fs::remove_dir_all(&self.path);
    }
}
