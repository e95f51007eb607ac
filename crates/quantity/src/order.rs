//! The smallest of several equal points.

use crate::UncertaintyError;
use crate::distribution::{ln_normal_sf, normal_pdf};
use crate::quadrature::integral;

/// Where the smallest of n independent standard normal errors lies: its mean (below zero) and standard deviation. The
/// largest lies as far above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Smallest {
    pub mean: f64,
    pub sd: f64,
}

/// Mean and standard deviation of the smallest of `n` normal order statistics, in units of the standard deviation of one.
///
/// # Errors
/// [`UncertaintyError::NoReadings`] for n = 0.
///
/// Source: standard theory of order statistics. Checked: `reference/conformity.json`, formula `min-of-n`.
pub fn smallest_of(n: usize) -> Result<Smallest, UncertaintyError> {
    if n == 0 {
        return Err(UncertaintyError::NoReadings);
    }
    if n == 1 {
        return Ok(Smallest { mean: 0.0, sd: 1.0 });
    }
    let count = n as f64;
    let density = |z: f64| count * ((count - 1.0) * ln_normal_sf(z)).exp() * normal_pdf(z);
    // Beyond these ends nothing is left: the smallest of n lies between −9 − √(2 ln n) and 9.
    let low = -9.0 - (2.0 * count.ln()).sqrt();
    let mean = integral(&|z| z * density(z), low, 9.0, 1e-13);
    let variance = integral(&|z| (z - mean).powi(2) * density(z), low, 9.0, 1e-13);
    Ok(Smallest { mean, sd: variance.sqrt() })
}
