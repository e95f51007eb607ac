//! Whatever is typed as a value is read or refused; what is read can be written and read again.
#![no_main]

use libfuzzer_sys::fuzz_target;
use quantity::{PlusMinus, Quantity, Unit};

fuzz_target!(|text: &str| {
    if let Ok(read) = text.parse::<Quantity>() {
        assert!(read.si().is_finite());
        for written in [read.to_string(), read.ucum()] {
            let again: Quantity = written.parse().expect("what was written can be read");
            assert_eq!(again.si().to_bits(), read.si().to_bits(), "{text:?} became {written:?}");
        }
    }
    _ = Quantity::typed_in(text, Unit::MM);
    _ = text.parse::<PlusMinus>();
    _ = text.parse::<Unit>();
});
