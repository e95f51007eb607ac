//! What the tests and the benches share: a repeatable source of numbers, instances, and an answer by trying everything.

#![allow(dead_code, reason = "each test and bench uses its own part")]

pub mod brute;
pub mod random;
pub mod small;
