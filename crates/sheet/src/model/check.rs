//! Ways to look at or measure a component.

use super::{Interval, Only, Scale, State};
use crate::ids::*;
use indexmap::IndexMap;
pub use quantity::Keep;
use quantity::{Quantity, Unit};

/// One way to look at or measure a component.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    pub component: ComponentId,
    pub title: String,
    pub how: Option<String>,
    /// What is normal although it looks odd.
    pub normal: Option<String>,
    pub caution: Option<String>,
    /// Where on the walk, when the place does not say it.
    pub station: Option<StationId>,
    pub only: Only,
    /// What must be off to look at all.
    pub needs: Vec<AccessId>,
    pub minutes: Option<f64>,
    /// In which state the car is to be: "cold, before the first start".
    pub when: Option<String>,
    /// What to bring: a mirror, a lamp.
    pub tools: Vec<String>,
    pub photos: Vec<Photo>,
    /// Its turn at a station; checks of the same turn come in the order of the files.
    pub order: u32,
    pub kind: CheckKind,
}

impl Check {
    /// The turn of a check that says none.
    pub const USUAL_ORDER: u32 = 100;

    /// The unit of its numbers; `None` for what is not a number.
    pub fn unit(&self) -> Option<Unit> {
        match &self.kind {
            CheckKind::Reading(reading) => Some(reading.unit),
            CheckKind::Derived(derived) => Some(derived.unit),
            CheckKind::Observation(_) | CheckKind::Interval(_) => None,
        }
    }

    /// New, limits and what may be settled; `None` for what is not a number.
    pub fn scale(&self) -> Option<&Scale> {
        match &self.kind {
            CheckKind::Reading(reading) => Some(&reading.scale),
            CheckKind::Derived(derived) => Some(&derived.scale),
            CheckKind::Observation(_) | CheckKind::Interval(_) => None,
        }
    }

    /// The described states of an observation; empty for anything else.
    pub fn states(&self) -> &[State] {
        match &self.kind {
            CheckKind::Observation(states) => states,
            _ => &[],
        }
    }
}

/// A picture of what to look for.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// From the folder of the file that names it.
    pub file: String,
    pub shows: String,
    /// The state that it shows.
    pub state: Option<StateId>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum CheckKind {
    Reading(Reading),
    Derived(Derived),
    Observation(Vec<State>),
    Interval(Interval),
}

/// A number with a unit and an instrument.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Everything about this reading is computed and shown in this unit.
    pub unit: Unit,
    pub instrument: InstrumentId,
    /// Other instruments that may be used.
    pub also: Vec<InstrumentId>,
    pub repeats: u32,
    pub keep: Keep,
    pub scale: Scale,
}

/// A number that a formula of the bench makes from other readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Derived {
    pub formula: String,
    /// Which of the formula's results it is.
    pub gives: String,
    pub unit: Unit,
    pub inputs: IndexMap<String, Input>,
    pub scale: Scale,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Input {
    /// The reading of another check; at the same place unless one is named.
    Check { check: CheckId, place: Option<Place> },
    /// A constant of the type of car.
    Value(Quantity),
    /// A word of the type of car, such as the code of a thread.
    Word(String),
}

/// A kind of instrument and what to believe of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    pub title: String,
    /// Its uncertainty as stated; the id is that of this kind, until an instrument the workshop owns puts in its own.
    pub statement: quantity::Instrument,
    pub source: String,
}
