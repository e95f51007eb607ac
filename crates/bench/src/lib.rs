//! The bench: the formulas of the trade, each written once, each with its source.
//!
//! Every formula is a plain function, generic over [`Dual`] numbers, and an entry in the list [`formulas`] that tells
//! what it decides, what it takes and gives with units and ranges, whose it is, and what care the work asks for.
//! Evaluated through the list, each result comes with its sensitivity to every number put in; with uncertainties put
//! in, it comes with its own and with each input's share in it.
//!
//! ```
//! use bench::Inputs;
//! let formula = bench::formula("belt-span-tension")?;
//! let inputs = Inputs::new().number("mass-per-length", 0.100).number("span", 0.172).number("frequency", 150.0);
//! let answer = formula.evaluate(&inputs)?;
//! let tension = answer.number("tension").ok_or("no tension")?;
//! assert_eq!(tension.si.round(), 266.0);                       // newtons
//! assert!((tension.gradient[2] * 150.0 / tension.si - 2.0).abs() < 1e-12); // the note counts twice
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! A dimension out of range, a missing input or a wrong unit is refused with everything that is wrong:
//!
//! ```
//! let formula = bench::formula("belt-span-tension")?;
//! let wrong = formula.read([("span", "172 N"), ("frequency", "150 Hz")]).unwrap_err();
//! assert_eq!(wrong.problems().len(), 2);
//! # Ok::<(), bench::BenchError>(())
//! ```
//!
//! **Adding a formula:** write the function in a file named after the idea, in the folder of its [`Job`], with meaning,
//! equation, units, range, errors and source in its docstring. Beside it write `formula()`, which describes it, and
//! `compute`, which binds the described inputs to the function. Name the file in the folder's `mod.rs` and the
//! entry in `registry.rs`; the tests there say what is still missing. Add rows with outside values to `reference/`.

mod answer;
mod check;
mod doubt;
mod dual;
mod error;
mod evaluate;
mod formula;
mod guard;
mod input;
mod inputs;
mod job;
#[cfg(test)]
mod laws;
mod maths;
mod output;
mod prelude;
mod read;
mod readings;
mod registry;
mod run;
mod search;
mod uncertain;
mod weights;

pub mod belts;
pub mod bottom_end;
pub mod brakes;
pub mod clutch;
pub mod cooling;
pub mod cylinders;
pub mod electrics;
pub mod fluids;
pub mod identity;
pub mod measuring;
pub mod road_limits;
pub mod springs;
pub mod threads;
pub mod valve_train;
pub mod wheels;

pub use answer::{Answer, Number, Step, Value, Variable, written};
pub use dual::{Dual, Eight, larger, smaller, with_u};
pub use error::{BenchError, Problem};
pub use formula::Formula;
pub use input::{Input, Need, Scale, Shape};
pub use inputs::{Entry, Inputs};
pub use job::Job;
pub use output::Output;
pub use readings::{Reading, Readings};
pub use registry::{formula, formulas};
pub use uncertain::{Assessed, Assessment, Found, Share};
pub use weights::Weights;
