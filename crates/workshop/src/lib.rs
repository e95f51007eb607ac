//! The job itself: a car folded from its journal, judged against its data sheet, planned, explained, and handed back.
//!
//! Everything here is a pure function of four things: the data sheet, the journal, the workshop and today. Nothing reads a
//! clock, a disk or a network; nothing downstream is kept as truth.
//!
//! ```text
//! files ─ record ─▶ entries ─ Car::fold ─▶ car ─ Judge ─▶ assessment ─ plan ─▶ plan ─ letter ─▶ letter
//!                                           ├─ explain: what may be behind it?                   │
//!                                           └──────────────── keys: may it leave? ───────────────┘
//! ```
//!
//! **Adding a ground to a verdict:** compute it in `judge/`, give it a [`Reason`] with its numbers and source, and let the
//! verdict follow from the table in [`verdict`]; nothing else may set a computed verdict.

// The stories of the tests are told in the words that other rooms use.
#[cfg(test)]
extern crate self as workshop;

mod ageing;
mod assessment;
mod bar;
pub mod calculation;
pub mod calendar;
mod car;
mod days;
pub mod explain;
mod fittings;
pub mod form;
mod judge;
pub mod keys;
pub mod letter;
pub mod long_job;
pub mod marking;
mod odometer;
mod otherwise;
mod outlook;
pub mod plan;
mod record;
mod rows;
mod shop;
mod slip;
#[cfg(test)]
#[path = "../tests/support/mod.rs"]
mod support;
pub mod verdict;
pub mod waiting;
pub mod words;

pub use ageing::{Ageing, Start};
pub use assessment::{Assessment, Carries, Judged, Measured, Outcome, Overruled, PutRight, Reason};
pub use bar::{Bar, End, Mark, Stops, mark};
pub use car::{
    Answered, Calculation, Car, Closed, Dealt, Finding, FluidMoved, Marking, Moment, ObligationDealt,
    Overrule, SentLetter, Tag, Visit, What, Work, WorkDone,
};
pub use days::{days_between, years_after, years_between};
pub use fittings::{Fitting, Fittings};
pub use judge::{Filled, FilledInput, Judge, Taking};
pub use odometer::{NextVisit, Odometer};
pub use otherwise::{Otherwise, otherwise};
pub use outlook::Outlook;
pub use record::{Book, MarkingRead, RecordFault, Recording, record};
pub use rows::{Drawer, card_on, rows};
pub use shop::{Owned, Revision, Shop};
