//! Limits moved inwards or outwards, and what that does to wrong decisions over many parts.

use crate::distribution::{between, gamma_cdf, gamma_pdf, gamma_sf, normal_cdf, normal_pdf, normal_sf};
use crate::quadrature::piecewise;
use crate::standard::{above_zero, finite, not_negative};
use crate::{Bounds, UncertaintyError};

/// Measuring capability index for limits on both sides: `C_m = (T_U − T_L)/(4u)`; `None` with one limit only, infinite
/// when u is zero.
///
/// # Errors
/// [`UncertaintyError::Negative`], [`UncertaintyError::NotFinite`].
///
/// Source: JCGM 106:2012 7.6.3. Checked: `reference/conformity.json`, formula `cm`.
pub fn capability(bounds: &Bounds, u: f64) -> Result<Option<Capability>, UncertaintyError> {
    let u = not_negative("standard uncertainty", u)?;
    let width = bounds.upper() - bounds.lower();
    Ok(width.is_finite().then(|| Capability(width / (4.0 * u))))
}

/// C_m, and what it is worth.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Capability(pub f64);

impl Capability {
    /// Good from 3, usable from 1, below that the instrument cannot judge these limits. Common practice, no source.
    pub fn worth(self) -> &'static str {
        match self.0 {
            c if c >= 3.0 => "good",
            c if c >= 1.0 => "usable",
            _ => "not enough",
        }
    }
}

/// Limits with a guard band of width `w` drawn inwards: a value inside passes. `None` when nothing is left.
///
/// Source: JCGM 106:2012 8.3. Checked: `reference/conformity.json`, formula `guard`.
pub fn acceptance(bounds: &Bounds, w: f64) -> Option<Bounds> {
    Bounds::new(bounds.lower() + w, bounds.upper() - w).ok()
}

/// Limits with a guard band of width `w` drawn outwards: a value outside fails. `None` when `w` is so far below zero that
/// nothing is left.
pub fn rejection(bounds: &Bounds, w: f64) -> Option<Bounds> {
    acceptance(bounds, -w)
}

/// How true values are spread over many parts, before any is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Prior {
    /// Spread evenly about a mean, in the unit of the limits.
    Normal { mean: f64, sd: f64 },
    /// Never below zero; its mean is `shape·scale`.
    Gamma { shape: f64, scale: f64 },
}

impl Prior {
    /// A normal spread.
    ///
    /// # Errors
    /// [`UncertaintyError::NotFinite`], [`UncertaintyError::NotPositive`].
    pub fn normal(mean: f64, sd: f64) -> Result<Prior, UncertaintyError> {
        let sd = finite("prior standard deviation", above_zero("prior standard deviation", sd)?)?;
        Ok(Prior::Normal { mean: finite("prior mean", mean)?, sd })
    }

    /// A gamma spread, for what cannot be below zero.
    ///
    /// # Errors
    /// [`UncertaintyError::NotFinite`], [`UncertaintyError::NotPositive`].
    pub fn gamma(shape: f64, scale: f64) -> Result<Prior, UncertaintyError> {
        let shape = finite("prior shape", above_zero("prior shape", shape)?)?;
        let scale = finite("prior scale", above_zero("prior scale", scale)?)?;
        Ok(Prior::Gamma { shape, scale })
    }

    /// Probability density at `x`.
    pub fn pdf(&self, x: f64) -> f64 {
        match *self {
            Prior::Normal { mean, sd } => normal_pdf((x - mean) / sd) / sd,
            Prior::Gamma { shape, scale } => gamma_pdf(x, shape, scale),
        }
    }

    /// Probability of a true value past the limits.
    pub fn beyond(&self, bounds: &Bounds) -> f64 {
        match *self {
            Prior::Normal { mean, sd } => {
                normal_cdf((bounds.lower() - mean) / sd) + normal_sf((bounds.upper() - mean) / sd)
            }
            Prior::Gamma { shape, scale } => {
                let above = if bounds.upper() == f64::INFINITY {
                    0.0
                } else {
                    gamma_sf(bounds.upper(), shape, scale)
                };
                gamma_cdf(bounds.lower(), shape, scale) + above
            }
        }
    }

    /// Where all but some 1e-17 of it lies.
    fn range(&self) -> (f64, f64) {
        match *self {
            Prior::Normal { mean, sd } => (mean - 9.0 * sd, mean + 9.0 * sd),
            Prior::Gamma { shape, scale } => {
                let mut upper = shape * scale;
                while gamma_sf(upper, shape, scale) > 1e-17 && upper.is_finite() {
                    upper *= 1.5;
                }
                (0.0, upper)
            }
        }
    }
}

/// Probability that a part is past its limits and is accepted: `R_C = ∫_outside prior(x) P(accept | x) dx`. `u` is the
/// standard uncertainty of the measurement, normal about the true value.
///
/// # Errors
/// [`UncertaintyError::NotPositive`] for `u`.
///
/// Source: JCGM 106:2012 9.5. Checked: `reference/conformity.json`, formula `consumer`.
pub fn consumer_risk(
    prior: &Prior,
    u: f64,
    limits: &Bounds,
    accept: &Bounds,
) -> Result<f64, UncertaintyError> {
    let u = above_zero("standard uncertainty", u)?;
    let wrong =
        |x: f64| prior.pdf(x) * between((accept.lower() - x) / u, (accept.upper() - x) / u, normal_sf);
    let (from, to) = prior.range();
    let below = over(&wrong, from, limits.lower().min(to), u, accept);
    Ok(below + over(&wrong, limits.upper().max(from), to, u, accept))
}

/// Probability that a part keeps its limits and is rejected: `R_P = ∫_inside prior(x) P(reject | x) dx`.
///
/// # Errors
/// [`UncertaintyError::NotPositive`] for `u`.
///
/// Source: JCGM 106:2012 9.5. Checked: `reference/conformity.json`, formula `producer`.
pub fn producer_risk(
    prior: &Prior,
    u: f64,
    limits: &Bounds,
    accept: &Bounds,
) -> Result<f64, UncertaintyError> {
    let u = above_zero("standard uncertainty", u)?;
    let wrong =
        |x: f64| prior.pdf(x) * (normal_cdf((accept.lower() - x) / u) + normal_sf((accept.upper() - x) / u));
    let (from, to) = prior.range();
    Ok(over(&wrong, limits.lower().max(from), limits.upper().min(to), u, accept))
}

/// Guard band that brings the consumer's risk to `risk`, the same on every side that has a limit; below zero when the risk
/// allows more than the limits themselves.
///
/// # Errors
/// [`UncertaintyError::NoSuchLimit`] when no guard band reaches it; [`UncertaintyError::NotPositive`] for `u`;
/// [`UncertaintyError::Probability`].
pub fn guard_band(prior: &Prior, u: f64, limits: &Bounds, risk: f64) -> Result<f64, UncertaintyError> {
    let u = above_zero("standard uncertainty", u)?;
    if !(risk > 0.0 && risk < 1.0) {
        return Err(UncertaintyError::Probability { what: "accepted risk", found: risk });
    }
    let excess = |w: f64| -> Result<f64, UncertaintyError> {
        match acceptance(limits, w) {
            Some(accept) => Ok(consumer_risk(prior, u, limits, &accept)? - risk),
            None => Ok(-risk), // nothing is accepted any more
        }
    };
    // The risk falls as the guard band grows; beyond these ends nothing, or everything, is accepted.
    let (from, to) = prior.range();
    let reach = (to - from) + 10.0 * u + limits.gap(from).min(limits.gap(to)).min(to - from);
    let (mut low, mut high): (f64, f64) = (-reach, reach);
    if excess(low)? < 0.0 || excess(high)? > 0.0 {
        return Err(UncertaintyError::NoSuchLimit { risk });
    }
    while high - low > 1e-12 * reach {
        let middle = 0.5 * (low + high);
        if excess(middle)? > 0.0 { low = middle } else { high = middle }
    }
    Ok(0.5 * (low + high))
}

/// `∫ f` from a to b, parted where the chance of being accepted changes quickly.
fn over(f: &impl Fn(f64) -> f64, a: f64, b: f64, u: f64, accept: &Bounds) -> f64 {
    if a >= b {
        return 0.0;
    }
    let edges = [accept.lower(), accept.upper()].into_iter();
    let around =
        edges.flat_map(|edge| [-8.0, -2.0, 0.0, 2.0, 8.0].map(|steps| (edge + steps * u).clamp(a, b)));
    let mut points: Vec<f64> = [a, b].into_iter().chain(around).collect();
    piecewise(f, &mut points, TOLERANCE)
}

/// Absolute error of a risk.
const TOLERANCE: f64 = 1e-12;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_guard_band_brings_the_risk_where_it_is_wanted() {
        let prior = Prior::normal(0.1, 0.6).unwrap();
        let limits = Bounds::new(-1.0, 1.0).unwrap();
        let risk = 0.004;
        let w = guard_band(&prior, 0.2, &limits, risk).unwrap();
        assert!(w > 0.0);
        let accept = acceptance(&limits, w).unwrap();
        assert!((consumer_risk(&prior, 0.2, &limits, &accept).unwrap() - risk).abs() < 1e-9);
        // More than all the bad parts there are cannot be accepted.
        assert!(matches!(guard_band(&prior, 0.2, &limits, 0.5), Err(UncertaintyError::NoSuchLimit { .. })));
        assert!(guard_band(&prior, 0.0, &limits, risk).is_err());
    }

    #[test]
    fn every_part_is_good_or_bad_accepted_or_rejected() {
        // All bad ones accepted or rejected: with nothing rejected the consumer's risk is the share of bad parts.
        let prior = Prior::gamma(4.0, 0.25).unwrap();
        let limits = Bounds::new(0.0, 2.0).unwrap();
        let all = Bounds::new(-100.0, 100.0).unwrap();
        let risk = consumer_risk(&prior, 0.25, &limits, &all).unwrap();
        assert!((risk - prior.beyond(&limits)).abs() < 1e-11, "{risk}");
        assert!(producer_risk(&prior, 0.25, &limits, &all).unwrap() < 1e-12);
    }

    #[test]
    fn a_sharp_instrument_is_not_overlooked() {
        // As u → 0 only parts within some u of the limit are misjudged: R_C = R_P = prior(T)·u/√(2π).
        let prior = Prior::normal(0.0, 1.0).unwrap();
        let limits = Bounds::new(f64::NEG_INFINITY, 1.0).unwrap();
        for u in [1e-3, 1e-5, 1e-8] {
            let expected = prior.pdf(1.0) * u / std::f64::consts::TAU.sqrt();
            for risk in
                [consumer_risk(&prior, u, &limits, &limits), producer_risk(&prior, u, &limits, &limits)]
            {
                assert!((risk.unwrap() / expected - 1.0).abs() < u.max(1e-3), "{u}");
            }
        }
    }

    #[test]
    fn capability_is_judged_in_three_bands() {
        let limits = Bounds::new(9.95, 10.05).unwrap();
        for (u, worth) in [(0.008, "good"), (0.0125, "usable"), (0.03, "not enough"), (0.0, "good")] {
            assert_eq!(capability(&limits, u).unwrap().map(Capability::worth), Some(worth), "{u}");
        }
        assert_eq!(capability(&Bounds::new(23.0, f64::INFINITY).unwrap(), 0.1), Ok(None));
    }
}
