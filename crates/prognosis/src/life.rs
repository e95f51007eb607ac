//! Lives of parts that are only seen: good at one look, bad at the next.

mod bins;
mod fit;
mod fit_check;
mod law;
mod likelihood;
mod lives;
mod npmle;
mod posterior;
mod prior;
mod record;
mod replacement;
mod two_clocks;

pub use fit::{Fit, Interval, fit};
pub use fit_check::{
    FitCheck, FitVerdict, LEAST_FAILURES, better_law, distance, fit_check, has_early_failures,
};
pub use law::{Law, Life};
pub use npmle::{Cell, Flat, flats, npmle};
pub use posterior::{Alive, Estimate, OwnRecord, Posterior, Third, posterior};
pub use prior::{Belief, LN_SHAPE_SD, Prior, SURE, shape_of_spread};
pub use record::Record;
pub use replacement::{Replacement, best_renewal_age};
pub use two_clocks::{Sighting, TwoClocks, scatter_at_failure};
