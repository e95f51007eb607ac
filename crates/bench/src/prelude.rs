//! What every formula file needs.

pub(crate) use crate::guard::{above_zero, not_negative, require};
pub(crate) use crate::input::{choice, number, numbers, text, texts};
pub(crate) use crate::output::{result, results, wordlist, words};
pub(crate) use crate::run::{Given, Out, run};
pub(crate) use crate::{BenchError, Dual, Formula, Job, Problem};
pub(crate) use quantity::Unit;
