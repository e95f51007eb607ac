//! Cylinders.

pub mod atmosphere;
pub mod compression_pressure;
pub mod compression_ratio;
pub mod compression_test;
pub mod displacement;
pub mod leak_down;
pub mod piston_motion;
