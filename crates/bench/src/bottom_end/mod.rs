//! Bottom end.

pub mod bearing_clearance;
pub mod end_float;
pub mod piston_speed;
pub mod ring_gap;
pub mod shell_choice;
