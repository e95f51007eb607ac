//! letter
