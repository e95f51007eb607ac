//! What can go wrong in a chore. Written out by hand, since a derive would cost more to compile than all the rest.

use std::{fmt, io, path::PathBuf};

#[derive(Debug)]
pub enum Failed {
    /// Wrong words on the command line, all of them.
    Usage(Vec<String>),
    /// A program was started and did not succeed.
    Step { name: String, command: String, code: u8, last_words: Vec<String> },
    /// A program could not be started at all.
    Start { command: String, source: io::Error },
    /// Debian packages are missing, and we may not install them.
    Packages { install: String },
    /// A compiler is missing that rustup can bring.
    Toolchain { install: String },
    /// A program is there, but too old, and installing did not help.
    TooOld { program: &'static str, found: String, wanted: String },
    /// A file could not be read or written.
    File { path: PathBuf, source: io::Error },
    /// A figure or a table that cannot be read.
    Bench(Vec<String>),
    /// Not inside the project.
    NoWorkspace,
}

impl Failed {
    /// The exit code of the whole: that of the program that failed, else 2 for what the caller can put right.
    pub fn code(&self) -> u8 {
        match self {
            Self::Step { code, .. } => *code,
            Self::Usage(_)
            | Self::Packages { .. }
            | Self::Toolchain { .. }
            | Self::TooOld { .. }
            | Self::NoWorkspace => 2,
            Self::Start { .. } | Self::File { .. } | Self::Bench(_) => 1,
        }
    }

    pub fn file(path: impl Into<PathBuf>) -> impl FnOnce(io::Error) -> Self {
        let path = path.into();
        move |source| Self::File { path, source }
    }
}

impl fmt::Display for Failed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Usage(wrong) => write!(f, "{}\n`cargo xtask help` tells what there is", wrong.join("\n")),
            Self::Step { name, command, code, last_words } => {
                if !last_words.is_empty() {
                    writeln!(f, "\n── {name}: its last words\n{}", last_words.join("\n"))?;
                }
                write!(f, "\n── {name}: FAILED with exit code {code}: {command}")
            }
            Self::Start { command, source } => write!(f, "`{command}` cannot be started: {source}"),
            Self::Packages { install } => {
                write!(f, "packages are missing, and only root may install them; run:\n\n  {install}\n")
            }
            Self::Toolchain { install } => write!(f, "a compiler is missing; run:\n\n  {install}\n"),
            Self::TooOld { program, found, wanted } => write!(
                f,
                "{program} is {found}, and {wanted} or newer is needed; Debian's own will do, or a newer one in front of it"
            ),
            Self::File { path, source } => write!(f, "{}: {source}", path.display()),
            Self::Bench(wrong) => write!(f, "{}", wrong.join("\n")),
            Self::NoWorkspace => write!(f, "the project's folder was not found; run this as `cargo xtask`"),
        }
    }
}
