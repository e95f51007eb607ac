//! The upper tail of the gamma distribution.

use crate::normal;
use statrs::function::gamma::checked_gamma_ur;

/// From this shape on the distribution is all but normal, and the library's series would not end in sight.
const LARGE: f64 = 1e5;

/// Probability that a gamma distributed value of this shape and scale one exceeds `x`; NaN where there is none.
///
/// Large shapes by the cube root of Wilson & Hilferty 1931, then good to 10⁻⁶.
pub(crate) fn upper_tail(shape: f64, x: f64) -> f64 {
    if shape > LARGE && x > 0.0 {
        let ninth = 1.0 / (9.0 * shape);
        return normal::cdf((1.0 - ninth - (x / shape).cbrt()) / ninth.sqrt());
    }
    checked_gamma_ur(shape, x).unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_ways_meet_and_no_shape_takes_for_ever() {
        for x in [0.98, 1.0, 1.01] {
            let (below, above) = (upper_tail(LARGE, x * LARGE), upper_tail(LARGE + 1e-6, x * LARGE));
            assert!((below - above).abs() < 2e-6, "{x}: {below} {above}");
        }
        assert!((upper_tail(1.0, 2.0) - (-2.0_f64).exp()).abs() < 1e-12);
        assert!(upper_tail(1e300, 1e300).is_finite() && upper_tail(-1.0, 1.0).is_nan());
    }
}
