//! Brakes.

pub mod balance_bar;
pub mod bleeding;
pub mod fluid_boiling;
pub mod fluid_class;
pub mod heat;
pub mod run_out;
pub mod thickness_variation;
pub mod torque;
pub mod wear_left;
