//! What can be wrong with a data sheet.

mod help;

use crate::{
    diagnostic::{Fault, Hidden},
    ids::*,
    model::Between,
    table::TableFault,
};
use quantity::Unit;

/// What can be wrong with a data sheet, beyond what can be wrong with any table. Names of tables come ready for a
/// sentence: "`limit` of check `front-disc-thickness`".
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SheetFault {
    #[error(transparent)]
    Table(#[from] TableFault),

    // the sheet as a whole
    #[error("the folder holds no data sheet: no file ends in .toml")]
    NoFiles,
    #[error("no file has the table `[sheet]`")]
    NoSheet,
    #[error("the sheet has no check")]
    NoChecks,
    #[error("{of} has no source")]
    NoSource { of: String },
    #[error("`{found}` is no currency")]
    Currency { found: String },
    #[error("{of} holds for no car: none of its variants was made in its model years")]
    NoCarThen { of: String },
    #[error("{of} goes from {from} to {to}")]
    YearsCrossed { of: String, from: u32, to: u32 },
    #[error("{of} goes from {from} {unit} to {to} {unit}")]
    FromTo { of: String, from: f64, to: f64, unit: Unit },

    // layers
    #[error("`{over}` does not lead on from this folder")]
    OverFromRoot { over: String },
    #[error("there is no data sheet in `{over}`")]
    NothingBelow { over: String },
    #[error("going down from here through `{over}` leads back here")]
    LayersInARing { over: String },
    #[error("this file is in a folder that no layer lies over")]
    StrayFile,
    #[error("the sheet below has no `{what}` to leave out")]
    NothingToDrop { what: String, nearest: Option<String> },

    // places and stations
    #[error("`single` cannot be written as a place")]
    SingleIsTaken,
    #[error("place `{place}` is called \"{title}\" here and \"{first}\" elsewhere")]
    TwoTitles { place: Place, title: String, first: String },
    #[error("place `{place}` is listed by two stations, `{station}` and `{first}`")]
    TwoStations { place: Place, station: StationId, first: StationId },
    #[error("check `{check}` has no station at `{place}`")]
    NoStation { check: CheckId, place: Place },
    #[error("`{place}` is no place of component `{component}`")]
    NotAPlace { place: String, component: ComponentId, nearest: Option<String>, places: Vec<Place> },

    // components
    #[error("the shares of {of} make {}", (.sum * 1e6).round() / 1e6)]
    Shares { of: String, sum: f64 },

    // checks
    #[error("check `{check}` says neither reading nor derived, states or interval")]
    NoKind { check: String },
    #[error("check `{check}` has both `{first}` and `{second}`")]
    TwoKinds { check: String, first: &'static str, second: &'static str },
    #[error("`{key}` does not go with {with}")]
    NotWith { key: &'static str, with: String },
    #[error("{of} has neither `{}`", .keys.join("` nor `"))]
    Neither { of: String, keys: &'static [&'static str] },
    #[error("{of} has both `{first}` and `{second}`")]
    Both { of: String, first: &'static str, second: &'static str },
    #[error("{what} of `{of}` is in {found}, its reading is in {wanted}")]
    ReadingUnit { what: &'static str, of: String, found: Unit, wanted: Unit },
    #[error("{of} has a `min` of {min} {unit}, which is not below its `max` of {max} {unit}")]
    Crossed { of: String, min: f64, max: f64, unit: Unit },
    #[error("the new value of {of} is {new} {unit}, already at or past its `{side}` of {bound} {unit}")]
    NewPastLimit { of: String, new: f64, side: Side, bound: f64, unit: Unit },
    #[error("{of} reaches {found} {unit}, past the `{side}` of {bound} {unit}")]
    SettledPastLimit { of: String, found: f64, side: Side, bound: f64, unit: Unit },
    #[error("instrument `{instrument}` reads {found}, the reading is in {wanted}")]
    InstrumentUnit { instrument: InstrumentId, found: Unit, wanted: Unit },
    #[error("component of `{check}` has no two places that are {}", .between.phrase())]
    NothingBetween { check: String, between: Between },
    #[error("photo `{file}` is not below the folder of the sheet")]
    PhotoElsewhere { file: String },
    #[error("there is no state `{state}`")]
    NotAState { state: String, nearest: Option<String>, known: Vec<StateId> },
    #[error("state `{state}` is written twice")]
    StateTwice { state: StateId },
    #[error("state `{state}` means \"settled\" and says no `why`")]
    NoWhy { state: String },
    #[error("state `{state}` means \"{means}\", but nobody says what follows")]
    NoConsequence { state: String, means: &'static str, component: ComponentId },

    // derived readings
    #[error("there is no formula `{id}`")]
    NoFormula { id: String, nearest: Option<&'static str> },
    #[error("formula `{formula}` has no input `{input}`")]
    NoInput { formula: &'static str, input: String, nearest: Option<&'static str>, known: Vec<&'static str> },
    #[error("formula `{formula}` needs `{input}`")]
    InputMissing { formula: &'static str, input: &'static str, example: String },
    #[error("input `{input}` is in {found}, {}; formula `{formula}` takes {}", .found.kind().phrase(), .wanted.kind().phrase())]
    InputKind { formula: &'static str, input: &'static str, found: Unit, wanted: Unit },
    #[error("input `{input}` is {found}; formula `{formula}` holds {range}")]
    InputRange { formula: &'static str, input: &'static str, found: String, range: String },
    #[error("input `{input}` takes several values, which a data sheet cannot give")]
    InputList { input: &'static str },
    #[error("input `{input}` takes words, check `{check}` gives a number")]
    InputWords { input: &'static str, check: CheckId, example: String },
    #[error("check `{check}` gives no number")]
    InputNotNumber { check: CheckId },
    #[error("check `{check}` is not made at `{place}`")]
    InputPlace { check: CheckId, place: Place, places: Vec<Place> },
    #[error("formula `{formula}` gives nothing in {unit}")]
    NoOutput { formula: &'static str, unit: Unit, gives: Vec<String> },
    #[error("formula `{formula}` gives several results in {unit}")]
    ManyOutputs { formula: &'static str, unit: Unit, gives: Vec<&'static str> },

    // parts and fluids
    #[error("part `{part}` has places and no component")]
    PlacesOfWhat { part: String },
    #[error("`{key}` stands without `{with}`")]
    OnlyWith { key: &'static str, with: &'static str },
    #[error("part `{part}` is no alternative to itself")]
    InsteadOfItself { part: PartId },
    #[error("the dry filling is {dry}, less than the {filled} that go in after draining")]
    DryBelowFilled { dry: String, filled: String },

    // explanations
    #[error("question `{question}` has no explanation")]
    NothingExplains { question: QuestionId },
    #[error("component `{component}` has no `life` to tell how likely it has failed")]
    NoPrior { component: ComponentId },
    #[error("question `{question}` does not say where `{check}` lies otherwise")]
    NoOtherwise { check: CheckId, question: QuestionId },
    #[error("the probabilities of {of} make {}", (.sum * 1e6).round() / 1e6)]
    Likelihoods { of: String, sum: f64, all: bool },

    // chains
    #[error("{what}: {}", way(.path))]
    Cycle { what: &'static str, path: Vec<String> },
    #[error("part `{part}` is replaced twice")]
    ReplacedTwice { part: PartId },

    // what does not come together
    #[error("{what} is for no car that has {of}")]
    Apart { what: String, of: String },
    #[error("variant `{variant}` has no check")]
    NothingToCheck { variant: VariantId },
    #[error("{of}: {needs} is not for variant `{variant}`")]
    Elsewhere { of: String, needs: String, variant: VariantId },
    #[error("check `{check}` can ask for work{}, and no operation does any on component `{component}`", on(.variant))]
    NoOperation { check: CheckId, component: ComponentId, variant: Option<VariantId> },
    #[error("half of component `{component}` are gone after {life}, before the interval of {interval} is up")]
    LifeBelowInterval { component: ComponentId, life: String, interval: String },
    #[error("state `{state}` asks for less than the one before it")]
    StatesOutOfOrder { state: StateId },
    #[error("there is no photo `{file}`")]
    NoPhoto { file: String },
}

/// On which cars, where it is not on all.
fn on(variant: &Option<VariantId>) -> String {
    variant.as_ref().map(|variant| format!(" on variant `{variant}`")).unwrap_or_default()
}

/// A side of a scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    Min,
    Max,
}

impl std::fmt::Display for Side {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Self::Min => "min",
            Self::Max => "max",
        })
    }
}

impl Fault for SheetFault {
    fn help(&self) -> Option<String> {
        help::help(self)
    }

    fn second(&self) -> &'static str {
        match self {
            Self::TwoKinds { .. } => "the other",
            Self::InstrumentUnit { .. } => "the instrument",
            Self::NewPastLimit { .. } | Self::SettledPastLimit { .. } => "the limit",
            Self::Apart { .. } => "the other",
            Self::LifeBelowInterval { .. } => "the life",
            Self::StatesOutOfOrder { .. } => "the one before it",
            _ => "first here",
        }
    }

    fn hidden(&self) -> Hidden {
        match self {
            Self::Table(fault) => fault.hidden(),
            Self::StrayFile | Self::NothingToDrop { .. } => Hidden::Anywhere,
            Self::NoSheet | Self::NoChecks | Self::NoStation { .. } | Self::NotAPlace { .. } => {
                Hidden::Anywhere
            }
            Self::NoConsequence { .. } | Self::InputPlace { .. } => Hidden::Anywhere,
            Self::NothingExplains { .. } | Self::NoPrior { .. } | Self::NoOtherwise { .. } => {
                Hidden::Anywhere
            }
            Self::NothingBetween { .. } | Self::NoCarThen { .. } => Hidden::Anywhere,
            fault if fault.is_a_doubt() => Hidden::Anywhere,
            Self::NoSource { .. } | Self::NoKind { .. } | Self::Neither { .. } | Self::NoWhy { .. } => {
                Hidden::InThisFile
            }
            Self::InputMissing { .. } | Self::PlacesOfWhat { .. } | Self::OnlyWith { .. } => {
                Hidden::InThisFile
            }
            _ => Hidden::Nowhere,
        }
    }
}

impl SheetFault {
    /// Whether a sheet can be used in spite of it: what it says is whole, and does not come together. Checking a sheet
    /// tells it; reading one does not ask.
    pub fn is_a_doubt(&self) -> bool {
        matches!(
            self,
            Self::Apart { .. }
                | Self::NothingToCheck { .. }
                | Self::Elsewhere { .. }
                | Self::NoOperation { .. }
                | Self::LifeBelowInterval { .. }
                | Self::StatesOutOfOrder { .. }
                | Self::NoPhoto { .. }
        )
    }
}

/// A way from thing to thing; of a long one, both ends.
fn way(path: &[String]) -> String {
    match path {
        [a, b, c, .., y, z] if path.len() > 12 => [a, b, c, "…", y, z].join(" → "),
        _ => path.join(" → "),
    }
}
