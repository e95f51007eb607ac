//! Numbers shown with no more digits than they deserve.

/// `value` with so many decimals, halves away from an exact binary tie going to the even digit as printed; below zero
/// decimals, whole tens, hundreds. Nothing is rounded to `-0`.
pub fn to_decimals(value: f64, decimals: i32) -> String {
    if decimals >= 0 {
        let text = format!("{value:.*}", decimals.unsigned_abs().min(300) as usize);
        return if text.bytes().any(|b| b.is_ascii_digit() && b != b'0') {
            text
        } else {
            text.replace('-', "")
        };
    }
    let step = 10f64.powi(decimals.saturating_neg().min(300));
    let text = format!("{:.0}", (value / step).round_ties_even() * step);
    if text == "-0" { "0".to_owned() } else { text }
}

/// Decimals that show `u` with two significant digits: 3 for 0.0123, 0 for 12, -1 for 123.
pub fn decimals_for(u: f64) -> i32 {
    if !(u.is_finite() && u > 0.0) {
        return 0;
    }
    // The printed form knows when two digits round up to three: 0.0996 → "1.0e-1".
    let printed = format!("{u:.1e}");
    let power = printed.split_once('e').and_then(|(_, power)| power.parse::<i32>().ok()).unwrap_or(0);
    1 - power
}

/// `value` to the nearest step of an instrument: 12.447 with a step of 0.005 is 12.445.
pub fn to_step(value: f64, step: f64) -> f64 {
    if step > 0.0 && step.is_finite() { clean((value / step).round_ties_even() * step, step) } else { value }
}

/// Takes off the binary dust that a multiplication leaves beyond the step's own decimals.
fn clean(value: f64, step: f64) -> f64 {
    let decimals = decimals_for(step) + 3;
    to_decimals(value, decimals.max(0)).parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_shows_as_many_decimals_as_its_uncertainty_deserves() {
        for (u, decimals) in [
            (0.0123, 3),
            (0.0996, 2),
            (0.1, 2),
            (1.0, 1),
            (9.96, 0),
            (12.0, 0),
            (123.0, -1),
            (0.0, 0),
            (f64::NAN, 0),
        ] {
            assert_eq!(decimals_for(u), decimals, "{u}");
        }
        assert_eq!(to_decimals(23.0246, 3), "23.025");
        assert_eq!(to_decimals(-0.0004, 3), "0.000");
        assert_eq!(to_decimals(84_215.0, -1), "84220");
        assert_eq!(to_decimals(-4.0, -1), "0");
    }

    #[test]
    fn a_value_is_rounded_to_the_step_of_an_instrument() {
        for (value, step, expected) in [
            (12.447, 0.005, 12.445),
            (0.1234, 0.02, 0.12),
            (7.3, 0.5, 7.5),
            (17.0, 5.0, 15.0),
            (17.0, 0.0, 17.0),
        ] {
            assert_eq!(to_step(value, step), expected, "{value} in steps of {step}");
        }
    }
}
