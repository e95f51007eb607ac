//! Belts and drives.

pub mod span_tension;
