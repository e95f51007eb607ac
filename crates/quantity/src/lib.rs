//! Quantities, uncertainty, conformity.

mod catalogue;
mod digits;
mod error;
mod kind;
mod quantity;
pub mod rounding;
mod unit;

pub use error::QuantityError;
pub use kind::Kind;
pub use quantity::Quantity;
pub use unit::{Dimension, Unit};
