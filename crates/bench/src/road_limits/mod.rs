//! Limits in road use that regulations print.

pub mod assessment;
pub mod brakes;
pub mod defects;
pub mod steering;
