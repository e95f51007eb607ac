//! `witnessmark sheet check DIR`: everything that is wrong with a data sheet.

use super::{in_words, summary};
use crate::{arguments::SheetCheck, commands::print_json, error::Failed, output::say};

pub fn run(of: &SheetCheck) -> Result<(), Failed> {
    let sheet = ::sheet::check_dir(&of.dir).map_err(Failed::Sheet)?;
    if of.output.json {
        print_json(&summary(&sheet));
    } else {
        say!("{} is in order: {}.", sheet.title, in_words(&sheet));
    }
    Ok(())
}
