//! Electrics.

pub mod battery;
pub mod charging;
pub mod parasitic;
pub mod voltage_drop;
