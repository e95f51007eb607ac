//! Wheels, tyres and alignment.

pub mod alignment;
pub mod gearing;
pub mod tread;
pub mod tyre_age;
pub mod tyre_ratings;
pub mod tyre_size;
