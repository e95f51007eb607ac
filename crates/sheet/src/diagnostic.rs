//! Problems of text files, each pointing at the characters it is about.
//!
//! A room that reads files names what can be wrong in an enum of its own, gives it a [`Fault`] implementation, and hands
//! out [`Problems`] of it: located, sorted, ready to print or to serialise.

mod problem;
mod render;
mod source;

pub use problem::{Fault, Hidden, Problem, Problems};
pub use source::{Location, Source, SourceFile, Span};
