//! `witnessmark sheet …`: one file a command.

mod add;
mod check;
mod diff;
mod new;
mod schema;
mod show;

use crate::{arguments::SheetCommand, error::Failed};
use ::sheet::Sheet;
use serde_json::{Value, json};
use workshop::words::count;

pub fn run(command: &SheetCommand) -> Result<(), Failed> {
    match command {
        SheetCommand::Check(of) => check::run(of),
        SheetCommand::Add(of) => add::run(of),
        SheetCommand::New(of) => new::run(of),
        SheetCommand::Show(of) => show::run(of),
        SheetCommand::Diff(of) => diff::run(of),
        SheetCommand::Schema(of) => schema::run(of),
    }
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
        "{} on {}, {} over {}",
        count(sheet.checks.len(), "check", "checks"),
        count(sheet.components.len(), "component", "components"),
        count(sheet.operations.len(), "operation", "operations"),
        count(sheet.access.len(), "access step", "access steps")
    )
}
