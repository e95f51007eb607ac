//! `witnessmark sheet add DIR`: a data sheet, or its new revision, into a book.

use super::{in_words, summary};
use crate::{arguments::SheetAdd, commands::print_json, error::Failed, output::say};
use book::{Book, BookError, Clock};
use serde_json::json;

pub fn run(of: &SheetAdd) -> Result<(), Failed> {
    let files = ::sheet::files_in(&of.dir).map_err(Failed::Sheet)?;
    let book = Book::open_or_make(&of.book)?;
    let (sheet, appended) =
        book.adopt(&files, &of.by, &Clock::of_the_machine()).map_err(|error| match error {
            BookError::Sheet(problems) => Failed::Sheet(problems),
            other => other.into(),
        })?;
    if of.output.json {
        let mut document = summary(&sheet);
        document["added"] = json!(appended.written > 0);
        print_json(&document);
    } else if appended.written > 0 {
        say!("{} is in the book: {}.", sheet.title, in_words(&sheet));
    } else {
        say!("{} was in the book already, just so.", sheet.title);
    }
    Ok(())
}
