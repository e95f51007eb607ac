//! Springs and ride.

pub mod corner_weights;
pub mod rate;
pub mod ride;
pub mod ride_height;
pub mod swapped;
