//! Normal, Student and gamma distributions, right in the far tails too.
//!
//! The complementary error function is `libm`'s (good to 1e-14 here), the incomplete beta and gamma functions are
//! `statrs`'s. Small probabilities are never made by subtracting from one.

use statrs::function::{
    beta::checked_beta_reg, erf::erfc_inv, gamma::checked_gamma_lr, gamma::checked_gamma_ur,
};
use std::f64::consts::{FRAC_1_SQRT_2, PI, SQRT_2};

/// `ln √(2π)`.
const LN_SQRT_2PI: f64 = 0.918_938_533_204_672_8;

/// From so many degrees of freedom on, the Student distribution is turned into a normal one by Hill's expansion, which
/// then errs by less than 1e-12; below, the incomplete beta function is the more exact.
const HILL_FROM: f64 = 1000.0;

/// Density of the standard normal distribution.
pub fn normal_pdf(z: f64) -> f64 {
    (-0.5 * z * z - LN_SQRT_2PI).exp()
}

/// P(Z ≤ z) of the standard normal distribution.
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// P(Z > z) of the standard normal distribution.
pub fn normal_sf(z: f64) -> f64 {
    0.5 * libm::erfc(z * FRAC_1_SQRT_2)
}

/// ln P(Z > z), also where the probability itself is too small for an `f64`.
pub fn ln_normal_sf(z: f64) -> f64 {
    if z < 0.0 {
        return (-normal_sf(-z)).ln_1p();
    }
    if z < 30.0 {
        return normal_sf(z).ln();
    }
    // Mills' ratio, asymptotic; the first term left out is below 1e-11 of the last kept.
    let q = 1.0 / (z * z);
    -0.5 * z * z - LN_SQRT_2PI - z.ln() + (q * (-1.0 + q * (3.0 + q * (-15.0 + q * 105.0)))).ln_1p()
}

/// P(a < Z ≤ b) of the standard normal distribution, without cancellation in the tails.
pub fn normal_between(a: f64, b: f64) -> f64 {
    between(a, b, normal_sf)
}

/// The z with P(Z ≤ z) = p; −∞ and ∞ at 0 and 1, NaN outside.
pub fn normal_quantile(p: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) {
        return f64::NAN;
    }
    if p > 0.5 {
        return -normal_quantile(1.0 - p);
    }
    let z = -SQRT_2 * erfc_inv(2.0 * p);
    if !z.is_finite() {
        return z;
    }
    // One step of Newton's rule on ln Φ takes the 1e-11 of the start to the last bits.
    let cdf = normal_cdf(z);
    if cdf > 0.0 { z - (cdf / p).ln() * cdf / normal_pdf(z) } else { z }
}

/// Density of the Student distribution with `dof` degrees of freedom (scale 1); normal when `dof` is infinite.
pub fn student_pdf(t: f64, dof: f64) -> f64 {
    if dof.is_infinite() {
        return normal_pdf(t);
    }
    let ln_scale = libm::lgamma(0.5 * (dof + 1.0)) - libm::lgamma(0.5 * dof) - 0.5 * (dof * PI).ln();
    (ln_scale - 0.5 * (dof + 1.0) * (t * t / dof).ln_1p()).exp()
}

/// P(T > t) of the Student distribution with `dof` degrees of freedom; NaN unless `dof` is above zero.
///
/// Source: Abramowitz & Stegun 26.7.1; above 1000 degrees of freedom G. W. Hill, algorithm 395, Comm. ACM 13 (1970),
/// from memory, checked against the incomplete beta function.
pub fn student_sf(t: f64, dof: f64) -> f64 {
    if t.is_nan() || dof.is_nan() || dof <= 0.0 {
        return f64::NAN;
    }
    if dof.is_infinite() {
        return normal_sf(t);
    }
    if t.is_infinite() {
        return if t > 0.0 { 0.0 } else { 1.0 };
    }
    if t < 0.0 {
        return 1.0 - student_sf(-t, dof);
    }
    if dof > HILL_FROM {
        let a = dof - 0.5;
        let b = 48.0 * a * a;
        let y = a * (t * t / dof).ln_1p();
        let correction = (((-0.4 * y - 3.3) * y - 24.0) * y - 85.5) / (0.8 * y * y + 100.0 + b) + y + 3.0;
        return normal_sf((correction / b + 1.0) * y.sqrt());
    }
    let x = dof / (dof + t * t);
    0.5 * checked_beta_reg(0.5 * dof, 0.5, x).unwrap_or(f64::NAN)
}

/// P(T ≤ t) of the Student distribution with `dof` degrees of freedom.
pub fn student_cdf(t: f64, dof: f64) -> f64 {
    student_sf(-t, dof)
}

/// The t with P(T ≤ t) = p; NaN outside 0…1 or unless `dof` is above zero.
pub fn student_quantile(p: f64, dof: f64) -> f64 {
    if !(0.0..=1.0).contains(&p) || dof.is_nan() || dof <= 0.0 {
        return f64::NAN;
    }
    if p < 0.5 {
        return -student_upper(p, dof);
    }
    student_upper(1.0 - p, dof)
}

/// The t with P(T > t) = q, q ≤ ½. Newton's rule on ln P against ln t, where the curve bends one way only, so that every
/// step after the first comes from the same side.
fn student_upper(q: f64, dof: f64) -> f64 {
    let z = -normal_quantile(q);
    if q == 0.5 || dof.is_infinite() || z.is_infinite() {
        return z;
    }
    let mut t = z;
    for _ in 0..200 {
        let tail = student_sf(t, dof);
        let step = (tail / q).ln() * tail / (student_pdf(t, dof) * t);
        if !step.is_finite() {
            break;
        }
        // A single step never goes beyond a factor of e⁴: the start may lie in the flat part.
        let next = t * step.clamp(-4.0, 4.0).exp();
        if (next - t).abs() <= 4.0 * f64::EPSILON * t {
            return next;
        }
        t = next;
    }
    t
}

/// P(X ≤ x) of the gamma distribution.
pub fn gamma_cdf(x: f64, shape: f64, scale: f64) -> f64 {
    if x <= 0.0 { 0.0 } else { checked_gamma_lr(shape, x / scale).unwrap_or(f64::NAN) }
}

/// P(X > x) of the gamma distribution.
pub fn gamma_sf(x: f64, shape: f64, scale: f64) -> f64 {
    if x <= 0.0 { 1.0 } else { checked_gamma_ur(shape, x / scale).unwrap_or(f64::NAN) }
}

/// Density of the gamma distribution.
pub fn gamma_pdf(x: f64, shape: f64, scale: f64) -> f64 {
    if x < 0.0 || (x == 0.0 && shape > 1.0) {
        return 0.0;
    }
    let y = x / scale;
    ((shape - 1.0) * y.ln() - y - libm::lgamma(shape)).exp() / scale
}

/// P(a < X ≤ b) from the upper tail of a symmetric distribution.
pub(crate) fn between(a: f64, b: f64, sf: impl Fn(f64) -> f64) -> f64 {
    if a > 0.0 {
        sf(a) - sf(b)
    } else if b < 0.0 {
        sf(-b) - sf(-a)
    } else {
        1.0 - sf(-a) - sf(b)
    }
}

#[cfg(test)]
#[allow(clippy::excessive_precision)] // as printed by the source
mod tests {
    use super::*;

    fn close(got: f64, want: f64, rel: f64) {
        assert!((got / want - 1.0).abs() <= rel, "got {got:e}, want {want:e}");
    }

    // mpmath 1.4.1, 40 digits: erfc(z/√2)/2 and its logarithm.
    #[test]
    fn normal_tails_agree_with_forty_digit_arithmetic() {
        for (z, sf, ln_sf) in [
            (0.1, 0.460_172_162_722_971_016_33, -0.776_154_592_730_273_325_57),
            (1.0, 0.158_655_253_931_457_051_41, -1.841_021_645_009_263_505_8),
            (3.0, 0.001_349_898_031_630_094_526_7, -6.607_726_221_510_349_543_3),
            (8.0, 6.220_960_574_271_784_123_5e-16, -35.013_437_159_914_549_896),
            (20.0, 2.753_624_118_606_233_695_1e-89, -203.917_155_371_097_263_94),
            (30.0, 4.906_713_927_148_187_059_5e-198, -454.321_243_956_343_197_11),
            (37.0, 5.725_571_222_524_576_822_7e-300, -689.030_585_576_890_593_6),
        ] {
            close(normal_sf(z), sf, 2e-13);
            close(ln_normal_sf(z), ln_sf, 2e-14);
            close(-normal_quantile(sf), z, 1e-14);
        }
    }

    // mpmath 1.4.1, 40 digits: regularised incomplete beta function.
    #[test]
    fn student_tails_agree_with_forty_digit_arithmetic() {
        for (dof, t, sf) in [
            (1.0, 40.0, 0.007_956_089_912_025_813_3),
            (2.0, 1.3, 0.161_623_515_908_020_18),
            (2.5, 12.0, 0.001_418_107_515_039_162),
            (16.75, 5.0, 5.720_958_992_451_179_5e-5),
            (100.0, 12.0, 2.197_543_857_802_189e-21),
            (1000.0, 5.0, 3.383_628_182_324_315_3e-7),
            (100_000.0, 0.01, 0.496_010_653_659_411_6),
            (100_000.0, 1.3, 0.096_801_982_771_590_01),
            (100_000.0, 12.0, 1.872_252_905_978_175_5e-33),
        ] {
            close(student_sf(t, dof), sf, 1e-11);
            close(-student_quantile(sf, dof), t, 1e-11);
        }
    }

    #[test]
    fn quantiles_are_defined_on_the_whole_range_and_nowhere_else() {
        assert_eq!(normal_quantile(0.5), 0.0);
        assert_eq!(normal_quantile(0.0), f64::NEG_INFINITY);
        assert_eq!(student_quantile(1.0, 3.0), f64::INFINITY);
        assert_eq!(student_quantile(0.5, 3.0), 0.0);
        for bad in [-0.1, 1.1, f64::NAN] {
            assert!(normal_quantile(bad).is_nan());
            assert!(student_quantile(bad, 3.0).is_nan());
        }
        assert!(student_quantile(0.9, 0.0).is_nan());
    }
}
