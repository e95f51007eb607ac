//! `witnessmark sheet check` and `sheet add`.

use super::print_json;
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
    let sheet = ::sheet::read_dir(&of.dir).map_err(Failed::Sheet)?;
    if of.output.json {
        print_json(&summary(&sheet));
    } else {
        println!("{} is in order: {}.", sheet.title, in_words(&sheet));
    }
    Ok(())
}

fn add(of: &SheetAdd) -> Result<(), Failed> {
    ::sheet::read_dir(&of.dir).map_err(Failed::Sheet)?;
    let files = files_in(&of.dir)?;
    let book = Book::open_or_make(&of.book)?;
    let (sheet, appended) = book.adopt(&files, &of.by, &Clock::of_the_machine()).map_err(|error| match error {
        BookError::Sheet(problems) => Failed::Sheet(problems),
        other => other.into(),
    })?;
    if of.output.json {
        let mut document = summary(&sheet);
        document["added"] = json!(appended.written > 0);
        print_json(&document);
    } else if appended.written > 0 {
        println!("{} is in the book: {}.", sheet.title, in_words(&sheet));
    } else {
        println!("{} was in the book already, just so.", sheet.title);
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

fn files_in(dir: &std::path::Path) -> Result<Vec<::sheet::SourceFile>, Failed> {
    let mut names = vec![];
    for e in std::fs::read_dir(dir).map_err(|source| Failed::Read { path: dir.display().to_string(), source })? {
        let Ok(e) = e else { continue };
        let name = e.file_name().to_string_lossy().into_owned();
        if name.ends_with(".toml") { names.push(name); }
    }
    names.sort();
    names.iter().map(|n| ::sheet::read_file(&dir.join(n), n).map_err(Failed::Sheet)).collect()
}
