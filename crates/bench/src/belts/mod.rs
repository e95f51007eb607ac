//! Belts and drives.

pub mod drive;
pub mod rib_wear;
pub mod span_tension;
pub mod unit_mass;
