//! Whatever stands in a journal is read, kept as unknown, or refused.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Ok(body) = serde_json::from_str::<journal::Body>(text) {
        let written = serde_json::to_string(&body).expect("an entry can be written");
        assert_eq!(serde_json::from_str::<journal::Body>(&written).expect("and read again"), body);
    }
});
