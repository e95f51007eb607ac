//! Whatever is typed into a formula is answered or refused, and no answer is NaN.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|given: (u8, Vec<String>)| {
    let formulas = bench::formulas();
    let formula = &formulas[usize::from(given.0) % formulas.len()];
    let typed: Vec<(&str, &str)> =
        formula.inputs.iter().map(|input| input.key).zip(given.1.iter().map(String::as_str)).collect();
    let Ok(inputs) = formula.read(typed) else { return };
    if let Ok(answer) = formula.evaluate(&inputs) {
        for (_, value) in &answer.results {
            if let bench::Value::Number(number) = value {
                assert!(number.si.is_finite());
            }
        }
    }
});
