//! Identity.

pub mod vehicle_number;
