//! The plain linear path, exactly: what the grid is checked against.

use super::Direction;
use super::reading::{self, Reading};
use crate::error::{Inspection, PrognosisError};
use crate::{normal, solve};

/// Crossings are found to this share of the clock.
const PRECISION: f64 = 1e-9;
/// A clock beyond any life, as a multiple of the mean one; a crossing later than that is told as infinite.
const LONGEST: f64 = 1e6;

/// A straight path `y = a + b·x` with normally distributed `a` and `b`: means, and covariance `[aa, ab, bb]`.
///
/// Unlike [`super::Prior`] the rate may take either sign; with a prior that says little, or few readings, some of its
/// probability lies on wear that mends itself. Source: normal linear model, conjugate; Lu & Meeker 1993. Checked:
/// `reference/wear.json`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    pub mean: [f64; 2],
    pub covariance: [f64; 3],
}

impl Line {
    /// The path after readings: `V = (S⁻¹ + XᵀR⁻¹X)⁻¹`, `mean = V (S⁻¹m + XᵀR⁻¹y)`. Only the readings' own
    /// uncertainties count.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong; [`PrognosisError::Singular`] when the covariance has
    /// no inverse.
    pub fn after(&self, readings: &[Reading]) -> Result<Self, PrognosisError> {
        reading::check(readings)?;
        self.check()?;
        if readings.is_empty() {
            return Ok(*self);
        }
        let [aa, ab, bb] = inverse(self.covariance)?;
        let mut precision = [aa, ab, bb];
        let mut pull = [aa * self.mean[0] + ab * self.mean[1], ab * self.mean[0] + bb * self.mean[1]];
        for reading in readings {
            let weight = 1.0 / reading.own_variance();
            precision[0] += weight;
            precision[1] += weight * reading.x;
            precision[2] += weight * reading.x * reading.x;
            pull[0] += weight * reading.y;
            pull[1] += weight * reading.x * reading.y;
        }
        let covariance = inverse(precision)?;
        let [aa, ab, bb] = covariance;
        Ok(Self { mean: [aa * pull[0] + ab * pull[1], ab * pull[0] + bb * pull[1]], covariance })
    }

    /// The likeliest path when reading errors have Student's distribution, so that a wild one hardly counts; with the
    /// weight each reading ends up with.
    ///
    /// Source: Lange, Little & Taylor 1989. Checked: `reference/wear.json`.
    ///
    /// # Errors
    /// As [`Line::after`]; [`PrognosisError::NotSettled`] when the weights do not settle.
    pub fn robust(&self, readings: &[Reading]) -> Result<(Self, Vec<f64>), PrognosisError> {
        super::student::settle(readings, |weighed| {
            let line = self.after(weighed)?;
            let off = weighed.iter().map(|r| r.y - line.mean[0] - line.mean[1] * r.x).collect();
            Ok((line, off))
        })
    }

    /// Probability that the limit was reached at or before `x`, given that the wear goes its way at all:
    /// `P(d(a + bx) ≥ dD, db > 0) / P(db > 0)`. Zero where it cannot go that way.
    pub fn reached(&self, limit: f64, direction: Direction, x: f64) -> f64 {
        let sign = direction.sign();
        let [aa, ab, bb] = self.covariance;
        let sd = (aa + 2.0 * x * ab + x * x * bb).max(0.0).sqrt();
        let rate_sd = bb.sqrt();
        let rho = ((ab + x * bb) / (sd * rate_sd)).clamp(-1.0, 1.0);
        let level = sign * (self.mean[0] + self.mean[1] * x - limit) / sd;
        let rate = sign * self.mean[1] / rate_sd;
        let goes = normal::cdf(rate);
        if goes > 0.0 { (normal::joint_cdf(level, rate, rho) / goes).clamp(0.0, 1.0) } else { 0.0 }
    }

    /// The clock at which [`Line::reached`] is `p`; zero when it is so from the start, infinite when it never is.
    pub fn reached_at(&self, limit: f64, direction: Direction, p: f64) -> f64 {
        if self.reached(limit, direction, 0.0) >= p {
            return 0.0;
        }
        let guess = ((limit - self.mean[0]) / self.mean[1]).abs();
        let longest = LONGEST * guess.clamp(f64::MIN_POSITIVE, f64::MAX / LONGEST);
        if self.reached(limit, direction, longest) < p {
            return f64::INFINITY;
        }
        solve::increasing_root(0.0, longest, guess, PRECISION, |x| self.reached(limit, direction, x) - p)
    }

    fn check(&self) -> Result<(), PrognosisError> {
        let [aa, ab, bb] = self.covariance;
        Inspection::default()
            .finite("mean as-new value", self.mean[0])
            .finite("mean rate", self.mean[1])
            .above_zero("variance of the as-new value", aa)
            .above_zero("variance of the rate", bb)
            .finite("covariance", ab)
            .finish()
    }
}

/// Inverse of a symmetric positive 2×2 matrix `[11, 12, 22]`.
pub(crate) fn inverse([aa, ab, bb]: [f64; 3]) -> Result<[f64; 3], PrognosisError> {
    let determinant = aa * bb - ab * ab;
    if determinant.is_nan() || determinant <= 0.0 || determinant.is_infinite() {
        return Err(PrognosisError::Singular);
    }
    Ok([bb / determinant, -ab / determinant, aa / determinant])
}
