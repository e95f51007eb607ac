//! Brakes.

pub mod thickness_variation;
pub mod wear_left;
