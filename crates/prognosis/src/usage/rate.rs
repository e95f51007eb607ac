//! How far this car goes in a year, and how far it will have gone.

use crate::error::{Inspection, PrognosisError};
use crate::normal;

/// Coefficient of variation of one year of one car, where a sheet says nothing: distance comes in lumps of
/// `0.4² · km_per_year`. Common practice, no source.
pub const YEAR_CV: f64 = 0.4;
/// Age in years at which a stretch counts half. Common practice, no source.
pub const HALF_LIFE: f64 = 6.0;
/// How many equally probable values stand for a forecast distance.
pub const QUANTILES: usize = 9;

/// What the shop's cars say of a car not yet known. Distances in any unit, here called km.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Mean distance per active year.
    pub km_per_year: f64,
    /// Coefficient of variation between cars.
    pub cv: f64,
    /// `κ`, the lump in which distance comes: the variance of a year's distance over its mean.
    pub lump: f64,
}

impl Prior {
    /// A mean and its variation between cars, with the usual variation from year to year ([`YEAR_CV`]).
    pub fn new(km_per_year: f64, cv: f64) -> Self {
        Self { km_per_year, cv, lump: YEAR_CV * YEAR_CV * km_per_year }
    }
}

/// The distance between two readings of an odometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    pub km: f64,
    /// Years of use it took: time off the road by habit is not counted, see [`super::Season`].
    pub years: f64,
    /// How long ago it ended.
    pub age_years: f64,
}

/// What is known of one car's use: a gamma distribution of its distance per active year.
///
/// Source: derived; a gamma rate with a Poisson number of lumps, older stretches counting less. Checked:
/// `reference/usage.json`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usage {
    /// Shape `a` of the gamma distribution.
    pub a: f64,
    /// Rate `b` of the gamma distribution, years per lump.
    pub b: f64,
    /// The lump `κ`.
    pub lump: f64,
}

impl Usage {
    /// What stretches of use teach: `a = 1/c² + Σ w ΔK/κ`, `b = 1/(c² m) + Σ w A/κ`, `w = ½^(age/6 years)`.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong. A stretch that goes backwards is to be explained
    /// first, see [`super::explain`].
    pub fn learn(prior: &Prior, stretches: &[Stretch]) -> Result<Self, PrognosisError> {
        Self::learn_with(prior, stretches, HALF_LIFE)
    }

    /// The same with another half-life of what a stretch counts, in years.
    ///
    /// # Errors
    /// As [`Usage::learn`].
    pub fn learn_with(prior: &Prior, stretches: &[Stretch], half_life: f64) -> Result<Self, PrognosisError> {
        let mut inspection = Inspection::default();
        inspection
            .above_zero("distance per year", prior.km_per_year)
            .above_zero("variation between cars", prior.cv)
            .above_zero("lump of distance", prior.lump)
            .above_zero("half-life", half_life);
        for (index, stretch) in stretches.iter().enumerate() {
            inspection
                .at("stretch", index)
                .not_negative("distance", stretch.km)
                .not_negative("years", stretch.years)
                .finite("age", stretch.age_years);
        }
        inspection.finish()?;
        let alone = prior.cv.powi(-2);
        let weight = |stretch: &Stretch| 0.5_f64.powf(stretch.age_years / half_life) / prior.lump;
        Ok(Self {
            a: alone + stretches.iter().map(|s| weight(s) * s.km).sum::<f64>(),
            b: alone / prior.km_per_year + stretches.iter().map(|s| weight(s) * s.years).sum::<f64>(),
            lump: prior.lump,
        })
    }

    /// Mean distance per active year.
    pub fn mean(&self) -> f64 {
        self.a / self.b
    }

    /// Standard deviation of the distance per active year, as known; a single year varies more.
    pub fn sd(&self) -> f64 {
        self.a.sqrt() / self.b
    }

    /// The distance covered over so many active years: lognormal with the right mean `m = A a/b` and variance
    /// `κ m + sd² A²`.
    pub fn over(&self, years: f64) -> Distance {
        Distance::with_moments(
            self.mean() * years,
            self.lump * self.mean() * years + (self.sd() * years).powi(2),
        )
    }
}

/// A distance not yet driven: lognormal, or none at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distance {
    mean: f64,
    /// Mean and standard deviation of the logarithm; `None` when no time passes.
    log: Option<(f64, f64)>,
}

impl Distance {
    pub(crate) fn with_moments(mean: f64, variance: f64) -> Self {
        if mean.is_nan() || mean <= 0.0 {
            return Self { mean: 0.0, log: None };
        }
        let spread = (variance / (mean * mean)).ln_1p();
        Self { mean, log: Some((mean.ln() - 0.5 * spread, spread.sqrt())) }
    }

    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Distance that is not exceeded with probability `p`.
    pub fn quantile(&self, p: f64) -> f64 {
        self.log.map_or(0.0, |(mu, s)| (mu + normal::quantile(p) * s).exp())
    }

    /// Probability of going at most this far.
    pub fn at_most(&self, km: f64) -> f64 {
        match self.log {
            None => f64::from(u8::from(km >= 0.0)),
            Some(_) if km <= 0.0 => 0.0,
            Some((mu, s)) => normal::cdf((km.ln() - mu) / s),
        }
    }

    /// Density of the logarithm of the distance at this one; zero at and below zero.
    pub(crate) fn density_of_log(&self, km: f64) -> f64 {
        match self.log {
            Some((mu, s)) if km > 0.0 => normal::pdf((km.ln() - mu) / s) / s,
            _ => 0.0,
        }
    }

    /// Standard deviation of the logarithm of the distance.
    pub(crate) fn log_sd(&self) -> Option<f64> {
        self.log.map(|(_, s)| s)
    }
}
