//! The checked model of a data sheet: every reference resolves, every measure fits, every order is that of the files.

use crate::ids::*;
use indexmap::IndexMap;
use quantity::{Quantity, Unit};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// What is known of one type of car.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    pub id: SheetId,
    /// SHA-256 over the files' names and texts, in hexadecimal: a visit keeps the revision that judged it.
    pub revision: String,
    pub title: String,
    /// What is to be said wherever the sheet is named, such as that it is invented.
    pub says: Option<String>,
    /// ISO 4217 code of every price on the sheet.
    pub currency: String,
    pub yearly_use: YearlyUse,
    /// Hours to put a step back, as a share of the hours to take it apart.
    pub refit: f64,
    pub variants: IndexMap<VariantId, Variant>,
    pub systems: IndexMap<SystemId, System>,
    /// Titles of all places that any component has, `single` left out.
    pub places: IndexMap<Place, String>,
    pub stations: IndexMap<StationId, Station>,
    pub components: IndexMap<ComponentId, Component>,
    pub checks: IndexMap<CheckId, Check>,
    pub instruments: IndexMap<InstrumentId, Instrument>,
    pub fluids: IndexMap<FluidId, Fluid>,
    pub parts: IndexMap<PartId, Part>,
    pub access: IndexMap<AccessId, Access>,
    pub operations: IndexMap<OperationId, Operation>,
    pub obligations: IndexMap<ObligationId, Obligation>,
    pub consequences: IndexMap<ConsequenceId, Consequence>,
}

/// Distance a car of this type usually covers in a year, before the car itself is known.
#[derive(Debug, Clone, PartialEq)]
pub struct YearlyUse {
    /// km a year.
    pub mean_km: f64,
    /// Standard deviation between cars over the mean.
    pub variation: f64,
    pub source: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Variant {
    pub title: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct System {
    pub title: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    pub title: String,
    pub places: Vec<Place>,
}

/// The variants something is limited to; empty means all.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Only(pub Vec<VariantId>);

impl Only {
    /// Whether it holds for a car of this variant; a car whose variant is unknown has everything.
    pub fn includes(&self, variant: Option<&VariantId>) -> bool {
        self.0.is_empty() || variant.is_none_or(|variant| self.0.contains(variant))
    }
}

/// A thing that can wear, and where it sits.
#[derive(Debug, Clone, PartialEq)]
pub struct Component {
    pub title: String,
    pub system: SystemId,
    /// At least one; `single` when the sheet names none.
    pub places: Vec<Place>,
    pub only: Only,
    pub criticality: Criticality,
    pub ages_by: Clock,
    pub life: Option<Life>,
    pub fails_as: Option<ConsequenceId>,
}

/// What is at stake when a component fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Criticality {
    Comfort,
    Stranded,
    EngineLoss,
    Safety,
}

/// The clock a component ages by: `share_km` of it is distance, the rest is time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clock {
    /// From 0 (years only) to 1 (km only).
    pub share_km: f64,
}

/// How long a component lasts, as a person states it.
#[derive(Debug, Clone, PartialEq)]
pub struct Life {
    /// Half are gone by then; in km or in years as `median_in` says.
    pub median: f64,
    pub median_in: Along,
    /// Nine in ten go between median ÷ spread and median × spread.
    pub spread: f64,
    /// The median is known within this factor, nine times in ten.
    pub sure: f64,
    pub source: String,
}

/// What a life or interval is counted along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Along {
    Km,
    Years,
}

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
    pub kind: CheckKind,
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

/// Which of the repeated values counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Keep {
    Mean,
    Min,
    Max,
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

/// New, limits and what may be settled, in the reading's own unit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scale {
    pub new: Option<New>,
    pub limit: Option<Limit>,
    pub settled: Option<Settled>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct New {
    pub value: f64,
    /// Half width of the range in which a new part may be.
    pub tolerance: Option<f64>,
}

/// A limit on one side or on both.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    pub min: Option<f64>,
    pub max: Option<f64>,
    pub source: String,
}

/// Readings that are marked by age, explained and harmless while they do not move.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    pub min: Option<f64>,
    pub max: Option<f64>,
    pub why: String,
}

/// One described state of an observation.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    pub id: StateId,
    /// One or two words for the rule of states.
    pub short: String,
    pub says: String,
    pub means: Verdict,
    pub why: Option<String>,
    /// When to look again, or the window to plan in.
    pub when: Option<Trigger>,
}

/// What a finding means. The order is that of how much it asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    Sound,
    Settled,
    NotReached,
    LookAgain,
    TooClose,
    Plan,
    BeforeLeaving,
    StaysPut,
}

/// When something falls due, counted from the day it was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Trigger {
    pub km: Option<f64>,
    pub years: Option<f64>,
    pub event: Option<String>,
}

/// By distance or by time, whichever comes first.
#[derive(Debug, Clone, PartialEq)]
pub struct Interval {
    pub km: Option<f64>,
    pub years: Option<f64>,
    /// A limit, not advice.
    pub strict: bool,
    pub source: String,
}

/// A kind of instrument and what to believe of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    pub title: String,
    /// Its uncertainty as stated; the id is that of this kind, until an instrument the workshop owns puts in its own.
    pub statement: quantity::Instrument,
    pub source: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Fluid {
    pub title: String,
    pub only: Only,
    pub specification: String,
    pub grade: Option<String>,
    pub capacity: Capacity,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Capacity {
    pub filled: Quantity,
    /// Under which condition, such as "with filter".
    pub with: Option<String>,
    pub source: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    pub title: String,
    pub price: Decimal,
    pub replaces: Option<PartId>,
    pub changed: Option<String>,
    pub together: Vec<PartId>,
    /// Years.
    pub shelf_age: Option<f64>,
    pub source: String,
}

/// Something that has to come off or be drained to reach something else.
#[derive(Debug, Clone, PartialEq)]
pub struct Access {
    pub title: String,
    pub needs: Vec<AccessId>,
    /// Hours to open it.
    pub hours: f64,
    pub obliges: Vec<ObligationId>,
    pub caution: Option<String>,
}

/// Work on a component.
#[derive(Debug, Clone, PartialEq)]
pub struct Operation {
    pub title: String,
    pub component: ComponentId,
    pub only: Only,
    /// The component is new afterwards.
    pub renews: bool,
    /// Done place by place: hours, parts and fluids are per place. Otherwise once for all places together.
    pub each: bool,
    pub needs: Vec<AccessId>,
    pub hours: f64,
    pub parts: Vec<NeededPart>,
    pub fluids: Vec<NeededFluid>,
    pub with: Vec<OperationId>,
    pub obliges: Vec<ObligationId>,
    pub caution: Option<String>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct NeededPart {
    pub part: PartId,
    pub quantity: u32,
}

#[derive(Debug, Clone, PartialEq)]
pub struct NeededFluid {
    pub fluid: FluidId,
    pub quantity: Quantity,
}

/// A check that work done makes necessary.
#[derive(Debug, Clone, PartialEq)]
pub struct Obligation {
    pub title: String,
    pub how: Option<String>,
    pub caution: Option<String>,
    /// What it guards; such an obligation can never be waived.
    pub guards: Option<Guard>,
    pub value: Option<ObligedValue>,
    /// Due this far after leaving; without it, due before the keys go back.
    pub after: Option<Trigger>,
    pub source: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Guard {
    Wheels,
    Brakes,
    Steering,
    Fuel,
    Restraints,
}

/// The value that meets an obligation.
#[derive(Debug, Clone, PartialEq)]
pub struct ObligedValue {
    pub unit: Unit,
    pub min: Option<f64>,
    pub max: Option<f64>,
    pub source: String,
}

/// What a failure leads to.
#[derive(Debug, Clone, PartialEq)]
pub struct Consequence {
    pub title: String,
    /// For the owner, in plain words.
    pub says: String,
    /// Money beyond the planned repair.
    pub costs: Decimal,
    pub then: Vec<(ConsequenceId, f64)>,
    pub source: String,
}
