//! The normal distribution, exact far into both tails; one variable and two.

use crate::quadrature;
use quantity::distribution::{ln_normal_sf, normal_sf};
pub(crate) use quantity::distribution::{normal_cdf as cdf, normal_pdf as pdf, normal_quantile as quantile};
use std::f64::consts::{FRAC_PI_2, TAU};

/// `ln √(2π)`.
const LN_ROOT_TWO_PI: f64 = 0.918_938_533_204_672_7;
/// Beyond this many standard deviations the continued fraction of the tail takes over.
const FAR: f64 = 20.0;
/// Terms of that fraction; at [`FAR`] the last one is below the last bit.
const TERMS: u32 = 30;

/// `z` with 95 % below it; nine in ten lie within ± this.
pub const Z95: f64 = 1.644_853_626_951_472_6;

/// Logarithm of the density.
pub(crate) fn ln_pdf(z: f64) -> f64 {
    -0.5 * z * z - LN_ROOT_TWO_PI
}

/// Logarithm of the probability of at most `z`, also where that is too small for a number.
pub(crate) fn ln_cdf(z: f64) -> f64 {
    ln_normal_sf(-z)
}

/// Density over what is still above `z`.
pub(crate) fn hazard(z: f64) -> f64 {
    if z < FAR {
        return pdf(z) / normal_sf(z);
    }
    // Laplace's continued fraction `z + 1/(z + 2/(z + 3/…))`.
    (1..=TERMS).rev().fold(z, |below, term| z + f64::from(term) / below)
}

/// Probability that two standard normal values with correlation `rho` are at most `h` and `k`.
///
/// Plackett's identity: `Φ(h)Φ(k) + ∫ exp(−(h² + k² − 2hk sin θ)/(2 cos² θ)) dθ / 2π` from 0 to `asin ρ`, over panels
/// that halve toward the end where the integrand turns sharply.
pub(crate) fn joint_cdf(h: f64, k: f64, rho: f64) -> f64 {
    // Counted from θ = ±π/2, where nothing is lost when the correlation is nearly complete.
    let end = rho.abs().min(1.0).acos();
    let (k, sign) = if rho < 0.0 { (-k, -1.0) } else { (k, 1.0) };
    let density = |from_end: f64| {
        let (cos, sin) = from_end.sin_cos();
        (-0.5 * (h * h + k * k - 2.0 * h * k * sin) / (cos * cos)).exp()
    };
    let (mut far, mut turned) = (FRAC_PI_2, 0.0);
    while far > end {
        let near = end.max(0.7 * far);
        turned += quadrature::panel(near, far, density);
        if near < 1e-9 {
            break;
        }
        far = near;
    }
    // P(X ≤ h, Y ≤ −k) = Φ(h) − P(X ≤ h, −Y ≤ k).
    let joint = cdf(h) * cdf(k) + turned / TAU;
    if sign < 0.0 { (cdf(h) - joint).max(0.0) } else { joint }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, want: f64, rel: f64) {
        assert!((got - want).abs() <= rel * want.abs(), "got {got:e}, want {want:e}");
    }

    /// 25-digit values of mpmath 1.4.1.
    #[test]
    fn the_distribution_is_right_in_the_middle_and_in_both_tails() {
        close(cdf(1.0), 0.841_344_746_068_542_9, 1e-15);
        close(cdf(-10.0), 7.619_853_024_160_527e-24, 1e-13);
        close(ln_cdf(-40.0), -804.608_442_013_754_2, 1e-12);
        close(ln_cdf(9.0), -1.128_588_405_953_840_6e-19, 1e-13);
        close(hazard(30.0), 30.033_259_667_433_677, 1e-14);
        close(hazard(-1.0), 0.287_599_970_939_178_4, 1e-14);
        close(quantile(0.95), Z95, 1e-15);
    }

    #[test]
    fn two_variables_meet_their_known_cases() {
        // P(X ≤ 0, Y ≤ 0) = 1/4 + asin ρ / 2π (Sheppard 1899); independent; one and the same.
        for rho in [-0.99, -0.5, 0.0, 0.3, 0.9, 0.999_999] {
            close(joint_cdf(0.0, 0.0, rho), 0.25 + rho.asin() / TAU, 1e-9);
        }
        close(joint_cdf(0.7, -0.4, 0.0), cdf(0.7) * cdf(-0.4), 1e-13);
        close(joint_cdf(0.7, -0.4, 1.0), cdf(-0.4), 1e-9);
        close(joint_cdf(0.7, -0.4, -1.0), cdf(0.7) - cdf(0.4), 1e-9);
        // Symmetric in its arguments, and whole when one has no bound.
        close(joint_cdf(1.1, 0.2, -0.8), joint_cdf(0.2, 1.1, -0.8), 1e-12);
        close(joint_cdf(40.0, 0.2, 0.5), cdf(0.2), 1e-13);
    }
}
