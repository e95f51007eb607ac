//! Quantities, uncertainty, conformity.

mod allowance;
mod budget;
mod catalogue;
mod conformity;
mod digits;
pub mod distribution;
mod error;
mod instrument;
mod kind;
mod limit;
mod measurement;
pub mod order;
mod propagation;
mod quadrature;
mod quantity;
mod reading;
pub mod rounding;
pub mod standard;
mod unit;

pub use allowance::Allowance;
pub use budget::{Budget, BudgetRow};
pub use conformity::{AcceptedRisk, Belief, Conformity, Decision};
pub use error::{QuantityError, UncertaintyError};
pub use instrument::{Calibration, Effect, Instrument, InstrumentProblem, Spread};
pub use kind::Kind;
pub use limit::{Bounds, Limit};
pub use measurement::{Expanded, Line, Measurement, Note};
pub use propagation::{Input, difference, propagate};
pub use quantity::Quantity;
pub use reading::{Keep, Pool, reading};
pub use standard::Shape;
pub use unit::{Dimension, Unit};
