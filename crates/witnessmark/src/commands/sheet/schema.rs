//! `witnessmark sheet schema`: the format as a JSON Schema.

use crate::{arguments::SheetSchema, commands::print_json, error::Failed};
use ::sheet::schema::{Part, schema};

pub fn run(of: &SheetSchema) -> Result<(), Failed> {
    print_json(&schema(if of.layer { Part::Layer } else { Part::Sheet }));
    Ok(())
}
