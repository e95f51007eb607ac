//! Threads.

pub mod angle;
pub mod engagement;
pub mod extension;
pub mod measures;
pub mod stages;
pub mod stretch;
pub mod tightening;
