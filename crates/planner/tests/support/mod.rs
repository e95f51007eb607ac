//! What the tests and the benches share: a repeatable source of numbers, instances, and an answer by trying everything.

#![allow(dead_code, reason = "each test and bench uses its own part")]
#![allow(clippy::expect_used, reason = "only tests and benches come here")]

pub mod brute;
pub mod cars;
pub mod milp;
pub mod random;
pub mod small;
