//! The smallest of several equal points.

use crate::UncertaintyError;
use crate::distribution::{ln_normal_sf, normal_pdf};
use crate::quadrature::integral;
use std::sync::OnceLock;

/// Where the smallest of n independent standard normal errors lies: its mean (below zero) and standard deviation. The
/// largest lies as far above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Smallest {
    /// Below zero, except for a single point.
    pub mean: f64,
    /// Standard deviation.
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
    // Small numbers come up at every reading kept from several places; each is integrated once.
    static KNOWN: [OnceLock<Smallest>; 33] = [const { OnceLock::new() }; 33];
    Ok(match KNOWN.get(n) {
        Some(known) => *known.get_or_init(|| integrated(n)),
        None => integrated(n),
    })
}

fn integrated(n: usize) -> Smallest {
    if n == 1 {
        return Smallest { mean: 0.0, sd: 1.0 };
    }
    let count = n as f64;
    let density = |z: f64| count * ((count - 1.0) * ln_normal_sf(z)).exp() * normal_pdf(z);
    // Beyond these ends nothing is left: the smallest of n lies between −9 − √(2 ln n) and 9.
    let low = -9.0 - (2.0 * count.ln()).sqrt();
    let mean = integral(&|z| z * density(z), low, 9.0, 1e-13);
    let variance = integral(&|z| (z - mean).powi(2) * density(z), low, 9.0, 1e-13);
    Smallest { mean, sd: variance.sqrt() }
}
