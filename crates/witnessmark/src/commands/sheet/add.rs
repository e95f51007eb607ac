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
    // It can be used; what its writer would want to know all the same is told by the check.
    let doubts = ::sheet::check_dir(&of.dir).err().map_or(0, |problems| problems.count());
    if of.output.json {
        let mut document = summary(&sheet);
        document["doubts"] = json!(doubts);
        document["added"] = json!(appended.written > 0);
        print_json(&document);
    } else if appended.written > 0 {
        say!("{} is in the book: {}.", sheet.title, in_words(&sheet));
    } else {
        say!("{} was in the book already, just so.", sheet.title);
    }
    if doubts > 0 && !of.output.json {
        let things = match doubts {
            1 => "one thing in it does".into(),
            _ => format!("{doubts} things in it do"),
        };
        say!("It can be used, but {things} not come together: `witnessmark sheet check` tells all.");
    }
    Ok(())
}
