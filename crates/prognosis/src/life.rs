//! Lives of parts that are only seen: good at one look, bad at the next.

mod climb;
mod law;
mod likelihood;
mod posterior;
mod prior;
mod record;

pub use law::{Law, Life};
pub use posterior::{Alive, Estimate, OwnRecord, Posterior, posterior};
pub use prior::{Belief, LN_SHAPE_SD, Prior, SURE, shape_of_spread};
pub use record::Record;
