//! The odometer: how far a car goes, how far it will have gone, and what a reading that cannot be may mean.
//!
//! Distances are in any unit, here called km; times in years of 365.25 days.

mod explain;
mod forecast;
mod rate;
mod season;
mod theil_sen;

pub use explain::{Counter, Explained, Explanation, ExplanationPriors, KM_PER_MILE, explain, is_doubtful};
pub use forecast::Forecast;
pub use rate::{Distance, HALF_LIFE, Prior, QUANTILES, Stretch, Usage, YEAR_CV};
pub use season::{Arrival, DAYS_PER_YEAR, Season};
pub use theil_sen::{Line, theil_sen};
