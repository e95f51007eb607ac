//! Cooling.

pub mod boiling;
pub mod pressure_hold;
pub mod thermostat;
