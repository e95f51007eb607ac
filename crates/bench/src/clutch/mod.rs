//! Clutch and its hydraulics.

pub mod line;
pub mod lining_wear;
pub mod pair_compared;
pub mod release;
pub mod torque_capacity;
