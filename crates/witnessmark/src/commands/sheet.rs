//! `witnessmark sheet check` and `sheet add`.

use super::print_json;
use crate::output::say;
use crate::{
    arguments::{SheetAdd, SheetCheck, SheetCommand},
    error::Failed,
};
use ::sheet::Sheet;
use book::{Book, BookError, Clock};
use serde_json::{Value, json};

pub fn run(command: &SheetCommand) -> Result<(), Failed> {
    match command {
        SheetCommand::Check(of) => check(of),
        SheetCommand::Add(of) => add(of),
    }
}

fn check(of: &SheetCheck) -> Result<(), Failed> {
    let sheet = ::sheet::check_dir(&of.dir).map_err(Failed::Sheet)?;
    if of.output.json {
        print_json(&summary(&sheet));
    } else {
        say!("{} is in order: {}.", sheet.title, in_words(&sheet));
    }
    Ok(())
}

fn add(of: &SheetAdd) -> Result<(), Failed> {
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

fn summary(sheet: &Sheet) -> Value {
    json!({
        "sheet": sheet.id,
        "title": sheet.title,
        "revision": sheet.revision,
        "components": sheet.components.len(),
        "checks": sheet.checks.len(),
        "operations": sheet.operations.len(),
        "access": sheet.access.len(),
        "obligations": sheet.obligations.len(),
        "consequences": sheet.consequences.len(),
        "fluids": sheet.fluids.len(),
        "parts": sheet.parts.len(),
    })
}

fn in_words(sheet: &Sheet) -> String {
    format!(
        "{} checks on {} components, {} operations over {} access steps",
        sheet.checks.len(),
        sheet.components.len(),
        sheet.operations.len(),
        sheet.access.len()
    )
}
