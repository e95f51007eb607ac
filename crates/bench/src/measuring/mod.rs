//! Measuring.

pub mod length_comparison;
