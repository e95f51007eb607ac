//! The checked model of a data sheet: every reference resolves, every measure fits, every order is that of the files.

mod check;
mod component;
mod consequence;
mod fastener;
mod fluid;
mod owner;
mod part;
mod question;
mod scale;
mod state;
mod work;

pub use check::*;
pub use component::*;
pub use consequence::*;
pub use fastener::*;
pub use fluid::*;
pub use owner::*;
pub use part::*;
pub use question::*;
pub use scale::*;
pub use state::*;
pub use work::*;

use crate::ids::*;
use indexmap::IndexMap;

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
    /// How sure the hours of work are, where the sheet says so.
    pub work_hours: Option<WorkHours>,
    pub variants: IndexMap<VariantId, Variant>,
    pub systems: IndexMap<SystemId, System>,
    /// Titles of all places that any component has, `single` left out.
    pub places: IndexMap<Place, String>,
    pub stations: IndexMap<StationId, Station>,
    pub components: IndexMap<ComponentId, Component>,
    pub checks: IndexMap<CheckId, Check>,
    pub instruments: IndexMap<InstrumentId, Instrument>,
    pub fluids: IndexMap<FluidId, Fluid>,
    pub fasteners: IndexMap<FastenerId, Fastener>,
    pub parts: IndexMap<PartId, Part>,
    pub access: IndexMap<AccessId, Access>,
    pub operations: IndexMap<OperationId, Operation>,
    pub obligations: IndexMap<ObligationId, Obligation>,
    pub consequences: IndexMap<ConsequenceId, Consequence>,
    /// What is worth doing while something is apart anyway.
    pub while_apart: IndexMap<WhileApartId, WhileApart>,
    pub questions: IndexMap<QuestionId, Question>,
    pub explanations: IndexMap<ExplanationId, Explanation>,
    pub look_alikes: IndexMap<LookAlikeId, LookAlike>,
    pub glossary: IndexMap<WordId, Word>,
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

/// How sure the hours of steps and operations are.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkHours {
    /// Nine in ten take between hours ÷ spread and hours × spread.
    pub spread: f64,
    pub source: String,
}

impl Sheet {
    /// Nine in ten pieces of work take between their hours divided by this and multiplied by it. Where the sheet does not say,
    /// 1.3: common practice, no source.
    pub fn hours_within(&self) -> f64 {
        self.work_hours.as_ref().map_or(1.3, |hours| hours.spread)
    }
}

/// One of the forms in which the type of car was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Variant {
    pub title: String,
    pub model_years: Option<Years>,
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

/// The cars something is limited to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Only {
    /// The variants that are meant; empty means all. Variants that were not made in the model years are left out.
    pub variants: Vec<VariantId>,
    pub model_years: Option<Years>,
}

impl Only {
    /// Whether it holds for a car of this variant; a car whose variant is unknown has everything.
    pub fn includes(&self, variant: Option<&VariantId>) -> bool {
        self.variants.is_empty() || variant.is_none_or(|variant| self.variants.contains(variant))
    }
}

/// Model years, the first and the last included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Years {
    pub from: Option<u32>,
    pub to: Option<u32>,
}

impl Years {
    /// Whether any year belongs to both.
    pub fn overlap(&self, other: &Years) -> bool {
        let not_after = |from: Option<u32>, to: Option<u32>| from.zip(to).is_none_or(|(from, to)| from <= to);
        not_after(self.from, other.to) && not_after(other.from, self.to)
    }
}
