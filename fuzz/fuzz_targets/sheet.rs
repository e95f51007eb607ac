//! Whatever a data sheet's file holds is read or refused with problems that can be printed; what is read can be written,
//! and comes back.
#![no_main]

use libfuzzer_sys::fuzz_target;
use sheet::SourceFile;

fuzz_target!(|text: &str| {
    let files = [SourceFile::new("sheet.toml", text)];
    _ = sheet::origins(&files);
    match sheet::check(&files).or_else(|_| sheet::read(&files)) {
        Ok(sheet) => {
            assert!(!sheet.checks.is_empty());
            let again = sheet::read(&[SourceFile::new("again.toml", sheet::write(&sheet))]);
            assert!(again.is_ok_and(|again| sheet::changes(&sheet, &again).is_empty()));
        }
        Err(problems) => assert!(!problems.to_string().is_empty()),
    }
});
