//! The normal distribution, exact far into both tails.

use libm::erfc;
use statrs::function::erf::erfc_inv;
use std::f64::consts::{FRAC_1_SQRT_2, SQRT_2};

/// `ln √(2π)`.
const LN_ROOT_TWO_PI: f64 = 0.918_938_533_204_672_7;
/// Beyond this many standard deviations the continued fraction of the tail takes over from `erfc`.
const FAR: f64 = 20.0;
/// Terms of that fraction; at [`FAR`] the last one is below the last bit.
const TERMS: u32 = 30;

/// `z` with 95 % below it; nine in ten lie within ± this.
pub const Z95: f64 = 1.644_853_626_951_472_6;

/// Probability that a standard normal value is at most `z`.
pub fn cdf(z: f64) -> f64 {
    0.5 * erfc(-z * FRAC_1_SQRT_2)
}

/// Density of the standard normal distribution.
pub fn pdf(z: f64) -> f64 {
    ln_pdf(z).exp()
}

/// Logarithm of [`pdf`].
pub fn ln_pdf(z: f64) -> f64 {
    -0.5 * z * z - LN_ROOT_TWO_PI
}

/// Logarithm of [`cdf`], also where `cdf` itself is too small for a number.
pub fn ln_cdf(z: f64) -> f64 {
    if z > 0.0 {
        (-cdf(-z)).ln_1p()
    } else if z > -FAR {
        cdf(z).ln()
    } else {
        ln_pdf(z) - inverse_mills(-z).ln()
    }
}

/// Hazard of the standard normal distribution: density over what is still above `z`.
pub fn hazard(z: f64) -> f64 {
    if z < FAR { pdf(z) / cdf(-z) } else { inverse_mills(z) }
}

/// `z` with probability `p` below it; infinite at 0 and 1, NaN outside.
pub fn quantile(p: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    let z = -SQRT_2 * erfc_inv(2.0 * p);
    if !z.is_finite() {
        return z;
    }
    // The library's inverse is good to ten digits; one step of Halley's rule takes it to the last bits. The nearer
    // tail keeps its digits.
    let off = if z > 0.0 { (1.0 - p) - cdf(-z) } else { cdf(z) - p };
    let step = off / pdf(z);
    if step.is_finite() { z - step / (1.0 + 0.5 * z * step) } else { z }
}

/// `x + 1/(x + 2/(x + 3/…))`, the density over the tail, for `x` well above zero (Laplace's continued fraction).
fn inverse_mills(x: f64) -> f64 {
    (1..=TERMS).rev().fold(x, |below, term| x + f64::from(term) / below)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, want: f64, rel: f64) {
        assert!((got - want).abs() <= rel * want.abs(), "got {got:e}, want {want:e}");
    }

    /// Abramowitz & Stegun 1964, table 26.1 and 26.2 (from memory), and 25-digit values of mpmath 1.4.1.
    #[test]
    fn the_distribution_is_right_in_the_middle_and_in_both_tails() {
        close(cdf(0.0), 0.5, 1e-16);
        close(cdf(1.0), 0.841_344_746_068_542_9, 1e-15);
        close(cdf(-3.0), 0.001_349_898_031_630_094_6, 1e-14);
        close(cdf(-10.0), 7.619_853_024_160_527e-24, 1e-13);
        close(ln_cdf(-40.0), -804.608_442_013_754_2, 1e-14);
        close(ln_cdf(-20.000_001), ln_cdf(-19.999_999), 1e-5);
        close(ln_cdf(9.0), -1.128_588_405_953_840_6e-19, 1e-13);
        close(hazard(30.0), 30.033_259_667_433_677, 1e-14);
        close(hazard(-1.0), 0.287_599_970_939_178_4, 1e-14);
    }

    #[test]
    fn the_quantile_undoes_the_distribution() {
        close(quantile(0.95), Z95, 1e-15);
        close(quantile(0.975), 1.959_963_984_540_054, 1e-15);
        for z in [-8.0, -5.0, -1.5, -1e-3, 0.25, 2.0, 5.0] {
            close(quantile(cdf(z)), z, 1e-9);
        }
        assert_eq!(quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(quantile(1.0), f64::INFINITY);
        assert!(quantile(f64::NAN).is_nan() && quantile(1.5).is_nan());
    }
}
