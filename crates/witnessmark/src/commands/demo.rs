//! `witnessmark demo`: a book built from the invented demonstration, through the very importer users have.

use super::serve::serve;
use crate::output::say;
use crate::{arguments::Demo, error::Failed};
use ::sheet::SourceFile;
use book::{Book, Clock};
use jiff::civil::{Date, date};
use journal::Appended;
use rust_embed::RustEmbed;
use std::{path::Path, sync::Arc};

/// The day on which the demonstration opens.
const OPENS_ON: Date = date(2026, 5, 18);
/// Marks a folder as the demonstration's: only such a one is ever thrown away.
const MARK: &str = "this-is-the-demonstration";

pub fn run(of: &Demo) -> Result<(), Failed> {
    if of.fresh {
        throw_away(&of.book)?;
    }
    let new = !Book::is_at(&of.book);
    let book = Book::open_or_make(&of.book)?;
    let clock = Clock::on(OPENS_ON);
    if new {
        let mark = of.book.join(MARK);
        std::fs::write(&mark, "Invented. `witnessmark demo --fresh` throws this folder away.\n")
            .map_err(|source| Failed::Write { path: mark.display().to_string(), source })?;
    }
    let (sheet, _) = book.adopt(&files_of::<DataSheet>(), "technician", &clock)?;
    // What was built before stands, with what was entered since.
    let appended =
        if book.cards()?.is_empty() { book.record(&files_of::<Cars>())? } else { Appended::default() };
    say!(
        "The {} and everything about it is invented: no real maker, car, workshop or person is meant.",
        sheet.title
    );
    if new {
        say!(
            "A book was built in {}: {} entries on {} cars.",
            of.book.display(),
            appended.written,
            book.cards()?.len()
        );
    } else {
        say!("The book in {} was opened; what was entered before is still there.", of.book.display());
    }
    say!("The demonstration's clock stands at {}.", workshop::words::day(OPENS_ON));
    if of.no_serve { Ok(()) } else { serve(Arc::new(book), clock, of.listen) }
}

/// Throws a book of the demonstration away, and nothing else.
fn throw_away(folder: &Path) -> Result<(), Failed> {
    if !folder.exists() {
        return Ok(());
    }
    let shown = folder.display().to_string();
    if !folder.join(MARK).is_file() {
        return Err(Failed::NotTheDemo { folder: shown });
    }
    std::fs::remove_dir_all(folder).map_err(|source| Failed::Write { path: shown, source })
}

/// The invented data sheet, as it stands in the project.
#[derive(RustEmbed)]
#[folder = "../../sheets/quarrow-lanner"]
#[include = "*.toml"]
struct DataSheet;

/// The invented workshop, its cars and their visits.
#[derive(RustEmbed)]
#[folder = "../../demo"]
#[include = "*.toml"]
struct Cars;

/// Files that the program carries with it, in the order of their names.
fn files_of<T: RustEmbed>() -> Vec<SourceFile> {
    let mut names: Vec<_> = T::iter().collect();
    names.sort();
    names
        .iter()
        .filter_map(|name| {
            let file = T::get(name)?;
            Some(SourceFile {
                name: name.to_string(),
                text: String::from_utf8_lossy(&file.data).into_owned(),
            })
        })
        .collect()
}
