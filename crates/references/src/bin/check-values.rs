//! Runs files of check values and tells which rows hold: `check-values [--json] FILE…`.
//!
//! A folder stands for the `.json` files in it. Ends with 0 when no row differs, 1 when one does, and 2 when something
//! named is no file of check values; what can be read is run all the same.

use references::{Outcome, Result as Holding};
use std::{
    fs, io,
    io::Write,
    path::{Path, PathBuf},
    process::ExitCode,
};

const USAGE: &str = "check-values [--json] FILE…    a folder stands for the .json files in it";

#[derive(Debug, thiserror::Error)]
enum Unread {
    #[error("{}: {source}", path.display())]
    File { path: PathBuf, source: io::Error },
    #[error("{}: there is no .json file in this folder", path.display())]
    Empty { path: PathBuf },
    #[error("{}: no file of check values: {source}", path.display())]
    Form { path: PathBuf, source: serde_json::Error },
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let (options, names): (Vec<_>, Vec<_>) = words.into_iter().partition(|word| word.starts_with("--"));
    let unknown: Vec<_> = options.iter().filter(|option| *option != "--json").collect();
    if names.is_empty() || !unknown.is_empty() {
        unknown.iter().for_each(|option| eprintln!("`{option}` is not known here"));
        eprintln!("{USAGE}");
        return ExitCode::from(2);
    }

    let (mut outcomes, mut unread) = (vec![], vec![]);
    for name in names {
        match files(Path::new(&name)) {
            Ok(paths) => {
                paths.into_iter().for_each(|path| match run(path) {
                    Ok(rows) => outcomes.extend(rows),
                    Err(problem) => unread.push(problem),
                });
            }
            Err(problem) => unread.push(problem),
        }
    }

    // A reader that has read enough and gone away is no failure.
    _ = if options.is_empty() { tell(&outcomes) } else { tell_json(&outcomes) };
    unread.iter().for_each(|problem| eprintln!("{problem}"));
    if !unread.is_empty() {
        ExitCode::from(2)
    } else if outcomes.iter().any(|row| row.result == Holding::Differs) {
        ExitCode::from(1)
    } else {
        ExitCode::SUCCESS
    }
}

/// The file itself, or the files of check values of a folder in the order of their names.
fn files(path: &Path) -> Result<Vec<PathBuf>, Unread> {
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let cannot = |source| Unread::File { path: path.to_owned(), source };
    let mut paths = vec![];
    for entry in fs::read_dir(path).map_err(cannot)? {
        let path = entry.map_err(cannot)?.path();
        if path.extension().is_some_and(|ending| ending == "json") {
            paths.push(path);
        }
    }
    paths.sort();
    if paths.is_empty() { Err(Unread::Empty { path: path.to_owned() }) } else { Ok(paths) }
}

fn run(path: PathBuf) -> Result<Vec<Outcome>, Unread> {
    let text = match fs::read_to_string(&path) {
        Ok(text) => text,
        Err(source) => return Err(Unread::File { path, source }),
    };
    references::run(&text).map_err(|source| Unread::Form { path, source })
}

fn tell_json(outcomes: &[Outcome]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    serde_json::to_writer_pretty(&mut out, outcomes)?;
    writeln!(out)
}

/// A line a row, and below one that does not hold: what came, what should have, how far off it may be, and whose it is.
fn tell(outcomes: &[Outcome]) -> io::Result<()> {
    let mut out = io::BufWriter::new(io::stdout().lock());
    for row in outcomes {
        let result = match row.result {
            Holding::Holds => "holds",
            Holding::Differs => "differs",
            Holding::NotCovered => "not covered",
        };
        writeln!(out, "{result:11}  {} / {}  ({}; {})", row.topic, row.id, row.formula, row.provenance)?;
        match row.result {
            Holding::Holds => {}
            Holding::NotCovered => {
                writeln!(out, "             no room answers the formula `{}`", row.formula)?
            }
            Holding::Differs => {
                writeln!(out, "             {}", row.remark)?;
                writeln!(out, "             got  {}", row.got)?;
                writeln!(out, "             want {}", row.want)?;
                writeln!(
                    out,
                    "             tolerance {} absolute, {} relative",
                    row.tolerance.abs, row.tolerance.rel
                )?;
                writeln!(out, "             source: {}", row.source)?;
            }
        }
    }
    let count = |result| outcomes.iter().filter(|row| row.result == result).count();
    writeln!(
        out,
        "\n{} rows: {} hold, {} differ, {} not covered",
        outcomes.len(),
        count(Holding::Holds),
        count(Holding::Differs),
        count(Holding::NotCovered)
    )?;
    out.flush()
}
