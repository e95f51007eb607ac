//! The exact search: branch and price.
//!
//! A plan is one *visit* (a set of jobs, perhaps none) for each occasion; no job is in two. Put a price on having each
//! job done and the occasions fall apart: each asks for the visit that brings in the most beyond its access, within its
//! own hours and cash (`visit`). The sum of what they bring in bounds every plan, and because limits are kept to the
//! letter in each visit the bound is tight. The prices come from a linear program over the visits thought of so far
//! (`master`, `relax`). When the bound is close to the best plan, every visit that could be part of a better one is
//! listed and they are put together in all ways (`join`); otherwise the question is split in two (`tree`).

mod incumbent;
mod join;
mod master;
mod meter;
mod node;
mod pool;
mod prices;
mod relax;
mod task;
mod tree;
mod visit;

pub(crate) use node::Node;
pub(crate) use task::Task;
pub(crate) use tree::{Outcome, Search};
