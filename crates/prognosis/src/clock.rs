//! A clock that runs on distance, on time, or on both.

use crate::error::{Inspection, PrognosisError};

/// Distance a year that makes a year of distance equal to a year of time, where a sheet says nothing (km). Common
/// practice, no source.
pub const REFERENCE_KM_PER_YEAR: f64 = 12_000.0;

/// How a kind of part ages: `z = (1 − w)·years + w·km / K`, in reference years.
///
/// Source: Kordonsky & Gertsbakh 1993–1997; Oakes 1995; Duchesne & Lawless 2000. Checked: `reference/life.json`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mix {
    /// `w`: the share that distance has in the ageing, zero to one.
    pub km_share: f64,
    /// `K`: the distance that ages a part as much as a year does.
    pub km_per_year: f64,
}

/// An age on both clocks at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Age {
    pub years: f64,
    pub km: f64,
}

impl Mix {
    /// A mix with this share of distance.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when the share is not between zero and one or the reference not above zero.
    pub fn new(km_share: f64, km_per_year: f64) -> Result<Self, PrognosisError> {
        Inspection::default()
            .probability("share of distance", km_share)
            .above_zero("reference distance per year", km_per_year)
            .finish()?;
        Ok(Self { km_share, km_per_year })
    }

    /// The mix that a sheet states as weights of distance and of years, in any measure.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] when a weight is below zero, or both are zero, or the reference is not above zero.
    pub fn of_weights(km: f64, years: f64, km_per_year: f64) -> Result<Self, PrognosisError> {
        Inspection::default()
            .not_negative("weight of distance", km)
            .not_negative("weight of years", years)
            .above_zero("sum of both weights", km + years)
            .finish()?;
        Self::new(km / (km + years), km_per_year)
    }

    /// What the mixed clock shows, in reference years.
    pub fn reading(&self, age: Age) -> f64 {
        (1.0 - self.km_share) * age.years + self.km_share * age.km / self.km_per_year
    }

    /// How fast it runs against years, for a car of so much distance a year: `dz/dt`.
    pub fn speed(&self, km_per_year: f64) -> f64 {
        (1.0 - self.km_share) + self.km_share * km_per_year / self.km_per_year
    }
}
