//! Laws that hold for any numbers.

#![expect(clippy::unwrap_used, reason = "a law whose inputs cannot be made is broken too")]

mod cascade;
mod diagnosis;
mod life;
mod odd_inputs;
mod usage;
mod wear;

/// So many cases, and no file left behind when one fails: the case is printed.
fn cases(count: u32) -> proptest::test_runner::Config {
    proptest::test_runner::Config {
        failure_persistence: None,
        ..proptest::test_runner::Config::with_cases(count)
    }
}

/// Fails unless two numbers agree to this share of the larger, or to so little that it does not matter.
#[track_caller]
fn agree(got: f64, want: f64, rel: f64) {
    let allowed = rel * got.abs().max(want.abs()) + 1e-12;
    assert!((got - want).abs() <= allowed, "got {got}, want {want}");
}
