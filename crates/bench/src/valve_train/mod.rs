//! Valve train.

pub mod installed_height;
