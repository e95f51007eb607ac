//! `witnessmark record FILE…`: what happened, from files into the book.

use super::{print_json, read_file};
use crate::{arguments::Record, error::Failed};
use book::Book;
use serde_json::json;

pub fn run(of: &Record) -> Result<(), Failed> {
    let files = of.files.iter().map(|path| read_file(path)).collect::<Result<Vec<_>, _>>()?;
    let book = Book::open(&of.book.folder)?;
    let appended = book.record(&files)?;
    if of.output.json {
        print_json(&json!({ "written": appended.written, "known": appended.known }));
    } else {
        let words = |n| workshop::words::count(n, "entry", "entries");
        println!("{} written, {} known already.", words(appended.written), words(appended.known));
    }
    Ok(())
}
