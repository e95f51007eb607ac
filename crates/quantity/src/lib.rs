//! A value with its unit as entered, how sure it is, and whether it keeps its limits.
//!
//! From what a person types to an honest answer, in four steps:
//!
//! 1. [`Quantity`]: digits and unit as typed, read from any usual spelling ([`Unit`]); [`plausibility`] asks about slips.
//! 2. [`reading`]: repeats of one [`Instrument`] become a [`Measurement`], with a [`Budget`] that names every source.
//! 3. [`propagate`]: the uncertainty of a formula's result; errors that readings share (one instrument's calibration) are
//!    added before they are squared. [`doubts`] says when first derivatives are not enough, [`monte_carlo`] then draws.
//! 4. [`Conformity`]: the probability of lying past a [`Limit`], and a [`Decision`] for the risk accepted: pass, fail, or
//!    cannot tell; [`remeasure`] says what would settle it, [`risk`] what a rule does over many parts.
//!
//! ```
//! use quantity::{AcceptedRisk, Conformity, Decision, Instrument, Keep, Limit, Quantity, Unit, reading};
//!
//! let micrometer: Instrument = serde_json::from_str(r#"{
//!     "id": "mic-2", "resolution": "0.01 mm", "repeatability": "0.006 mm",
//!     "calibration": { "certificate": { "expanded": "0.004 mm", "k": 2.0 } } }"#)?;
//! let typed = ["23.02", "23,03", "23.01"].map(|figures| Quantity::typed_in(figures, Unit::MM));
//! let repeats = typed.into_iter().collect::<Result<Vec<_>, _>>()?;
//!
//! let disc = reading(&repeats, Keep::Mean, &micrometer, None)?;
//! assert_eq!(disc.to_string(), "23.0200 ± 0.0049 mm");
//!
//! let limit = Limit::at_least("23.0 mm".parse()?);
//! let conformity = Conformity::with_limit(&disc, &limit)?;
//! assert_eq!(conformity.decide(AcceptedRisk::SAFETY), Decision::Pass);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Everything is pure and deterministic: no clock, no random numbers but those of a fixed sequence, same bits for the same
//! input. Nothing panics; what cannot be worked out is an error that says what would be right.
//!
//! **Adding a unit:** one line in `catalogue.rs`, with its kind, UCUM code, symbol, exact factor and spellings (in plain
//! signs: `.` for a dot, `2` for a square, `u` for micro). The tests compare the factor with an independent implementation
//! of UCUM and see that no spelling is taken twice. A new kind also needs its line in [`Kind`].

mod allowance;
mod budget;
mod catalogue;
mod conformity;
mod digits;
pub mod distribution;
mod error;
mod instrument;
mod kind;
mod limit;
mod linearity;
mod measurement;
mod monte_carlo;
pub mod order;
mod plus_minus;
mod propagation;
mod quadrature;
mod quantity;
mod reading;
pub mod remeasure;
pub mod risk;
pub mod rounding;
mod slip;
pub mod standard;
mod unit;

pub use allowance::Allowance;
pub use budget::{Budget, BudgetRow};
pub use conformity::{AcceptedRisk, Belief, Conformity, Decision};
pub use error::{QuantityError, UncertaintyError};
pub use instrument::{Calibration, Effect, Instrument, InstrumentProblem, Spread};
pub use kind::Kind;
pub use limit::{Bounds, Limit};
pub use linearity::{Curvature, Denominator, Doubt, LinearityQuestion, doubts};
pub use measurement::{Expanded, Line, Measurement, Note};
pub use monte_carlo::{Comparison, Sampled, TRIALS, Trials, monte_carlo, numerical_tolerance};
pub use plus_minus::PlusMinus;
pub use propagation::{Input, difference, propagate};
pub use quantity::Quantity;
pub use reading::{Keep, Pool, reading};
pub use slip::{How, Plausibility, Slip, plausibility};
pub use standard::Shape;
pub use unit::{Dimension, Unit};
