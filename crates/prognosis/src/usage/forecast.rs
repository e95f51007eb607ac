//! Where the odometer will stand.

use super::rate::{Distance, Prior, QUANTILES, Stretch, Usage};
use crate::error::{Inspection, PrognosisError};
use crate::{normal, solve};

/// A date is found to this share of the years ahead.
const PRECISION: f64 = 1e-9;

/// Forecast of one car's odometer from its last reading.
///
/// ```
/// use prognosis::usage::{Forecast, Prior, Stretch};
///
/// let shop = Prior::new(6000.0, 0.7);
/// let seen = [Stretch { km: 6500.0, years: 1.6, age_years: 0.0 }];
/// let car = Forecast::new(&shop, &seen, 162_400.0)?;
/// assert!(car.mean(1.0) > 166_000.0 && car.quantile(1.0, 0.95) < 172_000.0);
/// assert!(car.years_until(175_000.0, 0.5).is_some_and(|years| years > 2.0));
/// # Ok::<(), prognosis::PrognosisError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forecast {
    usage: Usage,
    last_km: f64,
}

impl Forecast {
    /// A forecast from what other cars do, this car's stretches and where its odometer stood last.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong.
    pub fn new(prior: &Prior, stretches: &[Stretch], last_km: f64) -> Result<Self, PrognosisError> {
        Self::from_usage(Usage::learn(prior, stretches)?, last_km)
    }

    /// A forecast from what is already known of the car's use.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when the last reading is not a number.
    pub fn from_usage(usage: Usage, last_km: f64) -> Result<Self, PrognosisError> {
        Inspection::default().finite("last reading", last_km).finish()?;
        Ok(Self { usage, last_km })
    }

    pub fn usage(&self) -> Usage {
        self.usage
    }

    pub fn last_km(&self) -> f64 {
        self.last_km
    }

    /// Mean reading after so many active years; the last reading when none pass.
    pub fn mean(&self, years: f64) -> f64 {
        self.last_km + self.ahead(years).mean()
    }

    /// Reading that is not exceeded with probability `p`.
    pub fn quantile(&self, years: f64, p: f64) -> f64 {
        self.last_km + self.ahead(years).quantile(p)
    }

    /// Nine equally probable readings, at probabilities 1/18, 3/18 … 17/18: a small stand-in for the whole
    /// distribution.
    pub fn quantiles(&self, years: f64) -> [f64; QUANTILES] {
        let ahead = self.ahead(years);
        std::array::from_fn(|q| self.last_km + ahead.quantile((q as f64 + 0.5) / QUANTILES as f64))
    }

    /// The distance ahead over so many active years.
    pub fn ahead(&self, years: f64) -> Distance {
        self.usage.over(years.max(0.0))
    }

    /// Active years until the reading that is not exceeded with probability `p` is at `km`; zero when it is there
    /// already, `None` when it will not be within a thousand years or `p` is not strictly between zero and one.
    pub fn years_until(&self, km: f64, p: f64) -> Option<f64> {
        const LONGEST: f64 = 1000.0;
        if !(p > 0.0 && p < 1.0) || km.is_nan() {
            return None;
        }
        let way = km - self.last_km;
        if way <= 0.0 {
            return Some(0.0);
        }
        if self.ahead(LONGEST).quantile(p) < way {
            return None;
        }
        // Over a short time the quantile may lie far below the mean, but it only ever grows with time.
        let z = normal::quantile(p);
        let guess = way / self.usage.mean() * (1.0 - 0.2 * z.clamp(-2.0, 2.0));
        let off = |years: f64| self.ahead(years).quantile(p).ln() - way.ln();
        Some(solve::increasing_root(0.0, LONGEST, guess, PRECISION, off))
    }
}
