//! What will happen to a car's parts and when, and how sure we are.
//!
//! - [`wear`]: a part that is measured, from its own readings and from what other cars taught.
//! - [`life`]: a part that is only seen, from a stated life and from records of good and bad looks.
//! - [`usage`]: the odometer, which turns distances into dates; [`clock`]: parts that age by both.
//! - [`diagnosis`]: which cause it is, and what to look at next.
//! - [`cascade`]: what a failure drags with it.
//!
//! Plain numbers in and out, on any clock and in any unit the caller chooses. Everything is a pure function: the same
//! numbers give the same bits, there are no random numbers and no knowledge of records, cars or dates of today.
//!
//! ```
//! use prognosis::wear::{Limits, Path, Prior, Reading, When};
//! use prognosis::life;
//!
//! // A disc of 25 mm with a limit of 23 mm; half of them last 90 (thousand km), nine in ten within a factor 1.5.
//! let prior = Prior::from_life(25.0, 0.05, 23.0, &life::Prior::new(90.0, 1.5))?;
//! let readings = [Reading::new(12.0, 24.79, 0.02), Reading::new(41.0, 24.20, 0.02)];
//! let disc = Path::fit(&prior, &readings)?;
//!
//! assert!(disc.past(Limits::min(23.0), 60.0) < 0.01);
//! let crossing = disc.crossing(Limits::min(23.0), 41.0, 300.0);
//! assert!(matches!(crossing.middle, When::At(x) if (90.0..110.0).contains(&x)));
//! # Ok::<(), prognosis::PrognosisError>(())
//! ```
//!
//! # Adding a law of life
//!
//! Give [`life::Law`] a variant and follow the compiler: a law is the distribution of a standardised logarithm of the
//! life, and needs the logarithms of its survival and density with their slopes, its quantile, its mean and what is left
//! at an age. Fitting, posterior, fit check and two clocks then know it. Add rows with its values from elsewhere to
//! `reference/life.json`, and the law to the strategies in `tests/laws/life.rs`.

pub mod cascade;
mod chebyshev;
mod climb;
pub mod clock;
pub mod diagnosis;
mod error;
mod gamma;
mod grid;
pub mod life;
mod masses;
mod minimise;
mod normal;
mod normal_table;
mod quadrature;
mod solve;
pub mod usage;
pub mod wear;

pub use error::{Must, Problem, PrognosisError};
pub use normal::Z95;
