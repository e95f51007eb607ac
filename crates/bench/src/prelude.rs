//! What every formula file needs.

pub(crate) use crate::evaluate::{Given, Out, run};
pub(crate) use crate::formula::{choice, number, numbers, result, results, text, texts, wordlist, words};
pub(crate) use crate::guard::{above_zero, not_negative, require};
pub(crate) use crate::{BenchError, Dual, Formula, Job, Problem};
pub(crate) use quantity::Unit;
