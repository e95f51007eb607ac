//! Work, what it needs and what it obliges to.

use super::{Only, Trigger};
use crate::ids::*;
use quantity::{Quantity, Unit};
use serde::{Deserialize, Serialize};

/// Something that has to come off or be drained to reach something else.
#[derive(Debug, Clone, PartialEq)]
pub struct Access {
    pub title: String,
    pub only: Only,
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
    /// What is done, in this order.
    pub steps: Vec<Step>,
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

/// One thing to do in the course of an operation.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is done.
    pub does: String,
    /// What must be shown before going on.
    pub hold: Option<String>,
    /// Whether a second person looks before going on.
    pub second_look: bool,
    pub fasteners: Vec<FastenerId>,
    pub caution: Option<String>,
}

/// What is worth doing while something is apart anyway.
#[derive(Debug, Clone, PartialEq)]
pub struct WhileApart {
    pub title: String,
    pub only: Only,
    /// The steps that are open.
    pub apart: Vec<AccessId>,
    pub offer: Vec<Offer>,
    pub source: String,
}

/// Work that is offered then, with its ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    pub operation: OperationId,
    pub why: String,
    /// From this age of the part on; without it, always.
    pub from: Option<Trigger>,
}
