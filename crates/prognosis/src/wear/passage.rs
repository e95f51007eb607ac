//! First passage of a limit, where a path wanders so much that being past now and having been past are not the same.

use super::path::Path;
use super::rates::Side;
use super::{Direction, Limits};
use crate::error::{Inspection, PrognosisError};
use crate::{gamma, normal, quadrature, solve};
use statrs::function::gamma::digamma;

/// The level of today is summed over this many standard deviations to either side.
const WIDTH: f64 = 6.0;
/// Panels to either side of the limit.
const PANELS: u32 = 3;

/// Probability that Brownian motion with drift first reaches a level by `t`: inverse Gaussian, with `mean` the level
/// over the drift and `shape` the squared level over the variance per clock.
///
/// `P = Φ(√(λ/t)(t/μ − 1)) + e^(2λ/μ) Φ(−√(λ/t)(t/μ + 1))`, the second term in logarithms. Checked:
/// `reference/wear.json`.
pub fn inverse_gaussian(mean: f64, shape: f64, t: f64) -> f64 {
    if !(mean > 0.0 && shape > 0.0) {
        return f64::NAN;
    }
    if t <= 0.0 {
        return 0.0;
    }
    let root = (shape / t).sqrt();
    let over = normal::cdf(root * (t / mean - 1.0));
    let back = (2.0 * shape / mean + normal::ln_cdf(-root * (t / mean + 1.0))).exp();
    (over + back).min(1.0)
}

impl Path {
    /// Probability that the limit wear goes to has been passed at least once between `now` and `x`.
    ///
    /// For a path that cannot come back, such as a disc's, [`Path::past`] already is this. Where the wander is large
    /// against the way left (its standard deviation over that way more than about a seventh of it) a path may be past
    /// its limit and back again, and this is the larger. Averaged over the rate and today's level.
    pub fn first_passed(&self, limits: Limits, now: f64, x: f64) -> f64 {
        let (bound, side) = match self.prior().direction {
            Direction::Up => (limits.max, Side::Above),
            Direction::Down => (limits.min, Side::Below),
        };
        let Some(bound) = bound else { return 0.0 };
        let now = now.max(0.0);
        let variance = self.prior().wander * self.prior().wander;
        if x <= now || variance == 0.0 {
            return self.past(limits, x.max(now));
        }
        let sign = if side == Side::Above { 1.0 } else { -1.0 };
        let (given, ahead) = (self.given(now), x - now);
        let scatter = (variance * ahead).sqrt();
        // Being past at `x` is summed with care for limits that fall between two rates; what comes on top of it, having
        // been past and being back, is smooth: nothing where the wander is small.
        let back = self.rates().average(|rate| {
            // How far the level of today is from the limit, on the way wear goes.
            let way = sign * (bound - given.base - given.per_rate * rate);
            let over = |z: f64| (way - z * given.sd - rate * ahead) / scatter;
            let returned = |z: f64| normal::cdf(over(z));
            let mirrored = |z: f64| {
                let left = way - z * given.sd;
                (2.0 * rate * left / variance + normal::ln_cdf(-(left + rate * ahead) / scatter)).exp()
            };
            if given.sd == 0.0 {
                return if way > 0.0 { mirrored(0.0) } else { returned(0.0) };
            }
            let edge = (way / given.sd).clamp(-WIDTH, WIDTH);
            quadrature::panels(-WIDTH, edge, PANELS, |z| normal::pdf(z) * mirrored(z))
                + quadrature::panels(edge, WIDTH, PANELS, |z| normal::pdf(z) * returned(z))
        });
        (self.rates().probability(self.given(x), side, bound) + back).min(1.0)
    }
}

/// Wear that only ever goes one way, in lumps: the wear over a stretch `x` of the clock is gamma distributed with mean
/// `rate·x` and variance `lump·rate·x`. Shim recession and stretching chains are of this kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LumpyWear {
    pub rate: f64,
    pub lump: f64,
}

impl LumpyWear {
    /// The process that fits steps of wear best: pairs of clock and wear, both above zero.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong; [`PrognosisError::TooFew`] for fewer than two steps;
    /// [`PrognosisError::NoMaximum`] when all steps show the very same rate.
    pub fn fit(steps: &[(f64, f64)]) -> Result<Self, PrognosisError> {
        let mut inspection = Inspection::default();
        for (index, (clock, wear)) in steps.iter().enumerate() {
            inspection.at("step", index).above_zero("clock", *clock).above_zero("wear", *wear);
        }
        inspection.finish()?;
        if steps.len() < 2 {
            return Err(PrognosisError::TooFew { what: "lumpy wear", needed: 2, found: steps.len() });
        }
        let (clock, wear) = steps.iter().fold((0.0, 0.0), |(x, y), (dx, dy)| (x + dx, y + dy));
        let rate = wear / clock;
        // With the mean rate fixed by the totals, the score in the lump crosses zero once.
        let score = |ln_lump: f64| {
            let per_clock = rate / ln_lump.exp();
            let each = steps.iter().map(|(dx, dy)| dx * (dy.ln() - ln_lump - digamma(per_clock * dx)));
            each.sum::<f64>()
        };
        let middle = (wear / steps.len() as f64).ln();
        let (low, high) = (middle - 25.0, middle + 25.0);
        if score(low).is_nan() || score(low) >= 0.0 || score(high) <= 0.0 {
            return Err(PrognosisError::NoMaximum { what: "lumpy wear" });
        }
        Ok(Self { rate, lump: solve::increasing_root(low, high, middle, 1e-12, score).exp() })
    }

    /// Probability that the wear has gone so far within this stretch of the clock; passed is passed for good.
    pub fn passed(&self, way: f64, x: f64) -> f64 {
        if way <= 0.0 {
            return 1.0;
        }
        let shape = self.rate * x / self.lump;
        if shape.is_nan() || shape <= 0.0 { 0.0 } else { gamma::upper_tail(shape, way / self.lump) }
    }
}

/// Drift and variance per clock of a wandering path read without error: maximum likelihood, `b = Σdy/Σdx`,
/// `σ² = Σ (dy − b dx)²/dx / n`. Readings in order of their clock.
///
/// # Errors
/// [`PrognosisError::Inputs`] for steps that do not go forward; [`PrognosisError::TooFew`] for fewer than two readings.
pub fn wiener_fit(points: &[(f64, f64)]) -> Result<(f64, f64), PrognosisError> {
    if points.len() < 2 {
        return Err(PrognosisError::TooFew { what: "a wandering path", needed: 2, found: points.len() });
    }
    let steps: Vec<(f64, f64)> = points.windows(2).map(|p| (p[1].0 - p[0].0, p[1].1 - p[0].1)).collect();
    let mut inspection = Inspection::default();
    for (index, (dx, dy)) in steps.iter().enumerate() {
        inspection.at("step", index).above_zero("clock", *dx).finite("wear", *dy);
    }
    inspection.finish()?;
    let rate = steps.iter().map(|s| s.1).sum::<f64>() / steps.iter().map(|s| s.0).sum::<f64>();
    let squares = steps.iter().map(|(dx, dy)| (dy - rate * dx).powi(2) / dx);
    Ok((rate, squares.sum::<f64>() / steps.len() as f64))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wear::{Prior, Reading};

    #[test]
    fn first_passage_is_at_least_being_past_and_equals_it_without_wander() {
        let limit = Limits::max(2.0);
        let prior = |wander| Prior {
            new: 0.0,
            new_sd: 0.02,
            direction: Direction::Up,
            ln_rate: 0.02_f64.ln(),
            ln_rate_sd: 0.3,
            wander,
        };
        let readings = [Reading::new(20.0, 0.41, 0.03), Reading::new(40.0, 0.83, 0.03)];
        let straight = Path::fit(&prior(0.0), &readings).unwrap();
        assert_eq!(straight.first_passed(limit, 40.0, 90.0), straight.past(limit, 90.0));
        for wander in [0.01, 0.1] {
            let path = Path::fit(&prior(wander), &readings).unwrap();
            let mut before = 0.0;
            for x in [50.0, 70.0, 90.0, 110.0, 150.0, 300.0] {
                let (first, past) = (path.first_passed(limit, 40.0, x), path.past(limit, x));
                assert!(
                    first >= past - 1e-6 && first >= before && first <= 1.0 + 1e-6,
                    "{wander} {x}: {first} {past}"
                );
                before = first;
            }
        }
    }

    /// Steps of equal clock: the gamma shape then is that of a plain sample; 1, 2, 3 have mean 2 and a shape k
    /// with ln k − ψ(k) = ln 2 − ln 6/3.
    #[test]
    fn lumpy_wear_is_fitted_and_passes_for_good() {
        let fitted = LumpyWear::fit(&[(10.0, 1.0), (10.0, 2.0), (10.0, 3.0)]).unwrap();
        assert!((fitted.rate - 0.2).abs() < 1e-12);
        let shape = fitted.rate * 10.0 / fitted.lump;
        assert!((shape.ln() - digamma(shape) - (2.0_f64.ln() - 6.0_f64.ln() / 3.0)).abs() < 1e-9);
        assert!(fitted.passed(2.0, 5.0) < fitted.passed(2.0, 10.0));
        assert_eq!((fitted.passed(0.0, 1.0), fitted.passed(1.0, 0.0)), (1.0, 0.0));
        assert!(LumpyWear::fit(&[(10.0, 1.0), (10.0, 1.0)]).is_err());
    }
}
