//! The project's own chores: `cargo xtask test`, `bench`, `references`, `screens`, `deny` and `fuzz`.
//!
//! This is the first thing that a fresh machine compiles, so it stands on the standard library alone and leaves the work
//! to programs that it starts.
//!
//! **Adding a chore:** a module with a `run`, an arm in [`chore`] and its lines in [`HELP`].

mod arguments;
mod bench;
mod browser;
mod debian;
mod deny;
mod error;
mod fuzz;
mod references;
mod screens;
mod step;
mod test;
mod tools;
mod workspace;

use arguments::Arguments;
use error::Failed;
use std::process::ExitCode;
use workspace::Workspace;

const HELP: &str = "\
Chores of the project: cargo xtask <CHORE>

  test [--only PART]… [--headed]
        Formatting, lints, tests of the rooms, errands in a browser; stops at the first part that fails.
        Installs the Debian packages it needs when it may. PART is fmt, clippy, rust or browser.
        --headed shows the browser to a person at a desk.
  bench [NAME…]
        Measures, and with no NAME writes docs/benchmarks.md with the budgets beside the figures.
        NAME is a crate or one of its benches.
  references [--json] [FILE…]
        Runs check values through the rooms and tells which rows hold; all of reference/ unless files are named.
  screens
        Pictures of every page of the demo, on a phone and a desk, light and dark, into target/pictures/.
  deny [--advisories]
        Licences, sources and doubles among the dependencies; with --advisories known faults too (needs the network).
  fuzz [--seconds N]
        Odd input for everything that reads what people and files write, 60 seconds a reader unless said.
";

fn main() -> ExitCode {
    match chore(std::env::args().skip(1).collect()) {
        Ok(code) => code,
        Err(failed) => {
            eprintln!("{failed}");
            ExitCode::from(failed.code())
        }
    }
}

fn chore(mut words: Vec<String>) -> Result<ExitCode, Failed> {
    if words.is_empty() || words.iter().any(|word| word == "--help" || word == "help") {
        print!("{HELP}");
        return Ok(ExitCode::SUCCESS);
    }
    let chore = words.remove(0);
    let mut rest = Arguments::new(words);
    let workspace = Workspace::find()?;
    match chore.as_str() {
        "test" => {
            let (parts, headed) = (rest.several("--only"), rest.flag("--headed"));
            rest.nothing_more()?;
            test::run(&workspace, &test::parts(&parts)?, headed)?;
        }
        "bench" => bench::run(&workspace, &rest.names()?)?,
        "references" => {
            let json = rest.flag("--json");
            return references::run(&workspace, json, &rest.names()?);
        }
        "screens" => {
            rest.nothing_more()?;
            screens::run(&workspace)?;
        }
        "deny" => {
            let advisories = rest.flag("--advisories");
            rest.nothing_more()?;
            deny::run(&workspace, advisories)?;
        }
        "fuzz" => {
            let seconds = rest.number("--seconds")?.unwrap_or(60);
            rest.nothing_more()?;
            fuzz::run(&workspace, seconds)?;
        }
        other => return Err(Failed::Usage(vec![format!("there is no chore `{other}`")])),
    }
    Ok(ExitCode::SUCCESS)
}
