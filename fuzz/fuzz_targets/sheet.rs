//! Whatever a data sheet's file holds is read or refused with problems that can be printed.
#![no_main]

use libfuzzer_sys::fuzz_target;
use sheet::SourceFile;

fuzz_target!(|text: &str| {
    match sheet::read(&[SourceFile::new("sheet.toml", text)]) {
        Ok(sheet) => assert!(!sheet.checks.is_empty()),
        Err(problems) => assert!(!problems.to_string().is_empty()),
    }
});
