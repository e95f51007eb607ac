//! `witnessmark record FILE…`: what happened, from files into the book.

use super::print_json;
use crate::output::say;
use crate::{arguments::Record, error::Failed};
use book::{Book, BookError};
use serde_json::json;
use sheet::{SourceFile, diagnostic::Problems};
use workshop::RecordFault;

pub fn run(of: &Record) -> Result<(), Failed> {
    let files = files(of)?;
    let book = Book::open(&of.book.folder)?;
    let (appended, markings) = book.record_and_tell(&files)?;
    if of.output.json {
        print_json(&json!({ "written": appended.written, "known": appended.known, "markings": markings }));
    } else {
        let words = |n| workshop::words::count(n, "entry", "entries");
        say!("{} written, {} known already.", words(appended.written), words(appended.known));
        for read in &markings {
            say!("\n{}", read.at);
            read.says.iter().for_each(|says| say!("  {says}"));
        }
    }
    Ok(())
}

/// The files that were named; what is wrong with any is told of all.
fn files(of: &Record) -> Result<Vec<SourceFile>, Failed> {
    let (mut files, mut problems) = (Vec::new(), Vec::new());
    for path in &of.files {
        match sheet::read_file::<RecordFault>(path, &path.display().to_string()) {
            Ok(file) => files.push(file),
            Err(found) => problems.extend(found),
        }
    }
    Problems::new(problems).map_or(Ok(files), |problems| Err(BookError::Files(problems).into()))
}
