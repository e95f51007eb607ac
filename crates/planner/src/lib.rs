//! Now, next time or leave it: the plan of least expected cost when jobs share dismantling.
//!
//! A job can be done on one of a few occasions, or left. Each choice has a *timing cost*: what doing it then costs
//! beyond doing it once, at its last useful moment (the risk of waiting, the life thrown away). Jobs need access steps,
//! which need others; a step is paid once on each occasion it is used on, whoever uses it. Occasions may have limits of
//! hours and cash, and jobs may have rules among them. [`solve`] finds the best plan and proves that it is.
//!
//! ```
//! use planner::{Choice, Instance, Limits, solve};
//!
//! let instance: Instance = serde_json::from_str(r#"{
//!     "occasions": [ { "id": "now", "at": 0.0 }, { "id": "next", "at": 1.0 } ],
//!     "access": [ { "id": "gearbox-out", "cost": 320, "hours": 4.0 } ],
//!     "jobs": [
//!         { "id": "clutch", "needs": ["gearbox-out"], "cost": { "now": 40, "next": 150, "leave": 700 } },
//!         { "id": "crank-seal", "needs": ["gearbox-out"], "cost": { "now": 12, "next": 55, "leave": 240 } } ] }"#)?;
//! let plan = solve(&instance, &Limits::default())?;
//! assert_eq!(plan.pick["crank-seal"], Choice::from("now"));
//! assert_eq!(plan.cost, 40.0 + 12.0 + 320.0); // the gearbox comes out once for both
//! assert!(plan.proven);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! **Adding a kind of rule:** a field of [`Instance`], checked in `problem.rs` and named in [`Rule`]; its index form in
//! `model.rs` with the test that a plan keeps it (`Model::broken`); then what the search makes of it.

mod clash;
mod error;
mod explain;
mod instance;
mod model;
mod plan;
mod problem;
mod robustness;
mod rule;
mod search;
mod solve;
mod sweep;
mod timing;
mod written;

pub use clash::smallest_clash;
pub use error::PlanError;
pub use explain::{Explanation, Sharing, WhyNotNow, WhyNow, explain, waiting};
pub use instance::{
    AccessCost, AccessStep, Choice, Instance, Job, LEAVE, Occasion, OccasionLimits, Pin, PinRule,
};
pub use plan::{Plan, Visit};
pub use problem::Problem;
pub use robustness::{Robustness, robustness};
pub use rule::Rule;
pub use solve::{Limits, solve, weigh};
pub use sweep::{Corner, Sweep, sweep};
pub use timing::{TimingCost, cost_of_life};
pub use written::Unfit;
