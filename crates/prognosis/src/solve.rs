//! Roots of increasing functions.

/// How many evaluations are made at most; halving alone needs fewer for any pair of numbers a visit can hold.
const MOST: u32 = 100;

/// The place between `low` and `high` where the increasing function `f` passes zero, to a relative `precision`.
///
/// Secant steps from `guess`, kept inside the bracket; a step that does not shrink the bracket is followed by a
/// halving, so a wrong guess or a flat stretch costs a few evaluations and never the answer. Where `f` is NaN the
/// upper part is given up.
pub(crate) fn increasing_root(
    mut low: f64,
    mut high: f64,
    guess: f64,
    precision: f64,
    mut f: impl FnMut(f64) -> f64,
) -> f64 {
    let mut last: Option<(f64, f64)> = None;
    let mut at = if guess > low && guess < high { guess } else { 0.5 * (low + high) };
    let mut width = high - low;
    for count in 1..=MOST {
        let value = f(at);
        if value == 0.0 {
            return at;
        }
        if value < 0.0 {
            low = at;
        } else {
            high = at;
        }
        let enough = precision * at.abs();
        if high - low <= enough {
            break;
        }
        let secant = last.map(|(before, was)| at - value * (at - before) / (value - was));
        last = Some((at, value));
        let stalled = count % 3 == 0 && high - low > 0.5 * std::mem::replace(&mut width, high - low);
        at = match secant {
            Some(next) if next > low && next < high && !stalled => {
                if (next - at).abs() <= 0.5 * enough {
                    return next;
                }
                next
            }
            // The first step has no secant yet: try a little to the side the root is on.
            None if !stalled => {
                let aside = if value < 0.0 { at + 0.02 * (high - low) } else { at - 0.02 * (high - low) };
                aside.max(low).min(high)
            }
            _ => 0.5 * (low + high),
        };
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_root_is_found_from_any_guess() {
        for guess in [f64::NAN, -5.0, 0.1, 1.9, 9.0] {
            let root = increasing_root(0.0, 10.0, guess, 1e-12, |x| x * x * x - 2.0);
            assert!((root - 2f64.cbrt()).abs() < 1e-11, "{guess}: {root}");
        }
    }

    #[test]
    fn a_jump_is_found_and_a_function_that_is_no_number_ends() {
        let root = increasing_root(0.0, 10.0, 1.0, 1e-9, |x| if x < 3.0 { -1.0 } else { 1.0 });
        assert!((root - 3.0).abs() < 1e-8);
        assert!(increasing_root(0.0, 1.0, 0.5, 1e-9, |_| f64::NAN).is_finite());
    }
}
