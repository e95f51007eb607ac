//! The odometer: how far a car goes, how far it will have gone, and what a reading that cannot be may mean.
//!
//! Distances are in any unit, here called km; times in years of 365.25 days.

mod forecast;
mod rate;

pub use forecast::Forecast;
pub use rate::{Distance, HALF_LIFE, Prior, QUANTILES, Stretch, Usage, YEAR_CV};
