//! Whatever a file of columns holds is read or refused.
#![no_main]

use libfuzzer_sys::fuzz_target;
use columns::Columns;

fuzz_target!(|text: &str| {
    let Ok(columns) = Columns::parse("file.csv", text, &["lower", "upper", "entry", "count"]) else { return };
    _ = columns.each(|row| Ok((row.number("lower")?, row.number("upper")?, row.text("count").len())));
});
