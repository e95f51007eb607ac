//! What can be wrong with a data sheet.

use crate::{
    diagnostic::{Fault, Hidden},
    ids::*,
    table::TableFault,
};
use quantity::{Kind, Unit};

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

    // chains
    #[error("{what}: {}", way(.path))]
    Cycle { what: &'static str, path: Vec<String> },
    #[error("part `{part}` is replaced twice")]
    ReplacedTwice { part: PartId },
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
        Some(match self {
            Self::Table(TableFault::MissingKey { key, .. }) => match example(key) {
                Some(example) => format!("add it, for example {key} = {example}"),
                None => format!("add `{key}`"),
            },
            Self::Table(fault) => return fault.help(),
            Self::NoFiles => "write the sheet as files that end in .toml".into(),
            Self::NoSheet => "add [sheet] with id, title, currency, yearly-use and refit".into(),
            Self::NoChecks => "add a table such as [check.front-disc-thickness]".into(),
            Self::NoSource { .. } => "say where it comes from, such as source = \"maker's manual\"".into(),
            Self::Currency { .. } => "write three capitals, such as \"EUR\"".into(),
            Self::SingleIsTaken => "a component without `places` has it by itself".into(),
            Self::TwoTitles { .. } => "call a place the same wherever it is listed".into(),
            Self::TwoStations { .. } => {
                "leave it at one station; a check may name another with `station`".into()
            }
            Self::NoStation { place, .. } => {
                format!("add `station`, or list `{place}` at a station")
            }
            Self::NotAPlace { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
            Self::NotAPlace { places, .. } => format!("write {}", one_of(places)),
            Self::Shares { .. } => "let the shares make 1, such as { km = 0.7, years = 0.3 }".into(),
            Self::NoKind { .. } => "add one of `reading`, `derived`, `states`, `interval`".into(),
            Self::TwoKinds { .. } => "make two checks of it".into(),
            Self::NotWith { .. } => "leave it out".into(),
            Self::Neither { keys, .. } => format!("add {}", one_of(keys)),
            Self::Both { .. } => "leave one of them out".into(),
            Self::ReadingUnit { wanted, .. } => write_a(wanted.kind()),
            Self::Crossed { .. } => "turn them round, or leave one out".into(),
            Self::NewPastLimit { side: Side::Min, .. } => "is the limit a `max`?".into(),
            Self::NewPastLimit { side: Side::Max, .. } => "is the limit a `min`?".into(),
            Self::SettledPastLimit { .. } => "what is past the limit cannot be settled".into(),
            Self::InstrumentUnit { wanted, .. } => {
                format!("name an instrument that measures {}", wanted.kind().phrase())
            }
            Self::StateTwice { .. } => "give it another id".into(),
            Self::NoWhy { .. } => "add a `why` that the owner can read".into(),
            Self::NoConsequence { component, .. } => {
                format!("add a `why`, or say how `{component}` fails with `fails-as`")
            }
            Self::NoFormula { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
            Self::NoFormula { .. } => "see the bench for the formulas there are".into(),
            Self::NoInput { nearest: Some(near), .. } => format!("did you mean `{near}`?"),
            Self::NoInput { known, .. } => format!("write {}", one_of(known)),
            Self::InputMissing { input, example, .. } => {
                format!("add {input} = {{ value = \"{example}\" }}, or {{ check = \"…\" }}")
            }
            Self::InputKind { wanted, .. } => write_a(wanted.kind()),
            Self::InputRange { .. } => "see whether number and unit are right".into(),
            Self::InputList { .. } => "use this formula on the bench instead".into(),
            Self::InputWords { example, .. } => format!("write {{ value = \"{example}\" }}"),
            Self::InputNotNumber { .. } => "name a check that has a `reading` or is `derived`".into(),
            Self::InputPlace { places, .. } => format!("add place = …: {}", one_of(places)),
            Self::NoOutput { gives, .. } => format!("it gives {}", gives.join(", ")),
            Self::ManyOutputs { gives, .. } => format!("add gives = …: {}", one_of(gives)),
            Self::Cycle { .. } => "take one of these links out".into(),
            Self::ReplacedTwice { .. } => "only one part can be its successor".into(),
        })
    }

    fn second(&self) -> &'static str {
        match self {
            Self::TwoKinds { .. } => "the other",
            Self::InstrumentUnit { .. } => "the instrument",
            Self::NewPastLimit { .. } | Self::SettledPastLimit { .. } => "the limit",
            _ => "first here",
        }
    }

    fn hidden(&self) -> Hidden {
        match self {
            Self::Table(fault) => fault.hidden(),
            Self::NoSheet | Self::NoChecks | Self::NoStation { .. } | Self::NotAPlace { .. } => {
                Hidden::Anywhere
            }
            Self::NoConsequence { .. } | Self::InputPlace { .. } => Hidden::Anywhere,
            Self::NoSource { .. } | Self::NoKind { .. } | Self::Neither { .. } | Self::NoWhy { .. } => {
                Hidden::InThisFile
            }
            Self::InputMissing { .. } => Hidden::InThisFile,
            _ => Hidden::Nowhere,
        }
    }
}

/// A way from thing to thing; of a long one, both ends.
fn way(path: &[String]) -> String {
    match path {
        [a, b, c, .., y, z] if path.len() > 12 => [a, b, c, "…", y, z].join(" → "),
        _ => path.join(" → "),
    }
}

fn write_a(kind: Kind) -> String {
    format!("write {}, such as \"{}\"", kind.phrase(), kind.example())
}

fn one_of(names: &[impl std::fmt::Display]) -> String {
    let mut shown: Vec<_> = names.iter().take(20).map(|name| format!("`{name}`")).collect();
    match shown.pop() {
        Some(last) if !shown.is_empty() => format!("{} or {last}", shown.join(", ")),
        Some(only) => only,
        None => String::new(),
    }
}

/// How a key may be written.
fn example(key: &str) -> Option<&'static str> {
    Some(match key {
        "id" => "\"tern-courier\"",
        "title" => "\"Brakes\"",
        "currency" => "\"EUR\"",
        "yearly-use" => "{ mean = \"12000 km/a\", variation = 0.5, source = \"own cars\" }",
        "mean" => "\"12000 km/a\"",
        "variation" => "0.5",
        "refit" => "0.9",
        "system" => "\"brakes\"",
        "places" => "[\"front.left\"]",
        "criticality" => "\"safety\"",
        "ages-by" => "{ km = 1.0 }",
        "median" => "\"90000 km\"",
        "spread" => "1.5",
        "component" => "\"front-disc\"",
        "unit" => "\"mm\"",
        "instrument" => "\"caliper\"",
        "value" => "\"22.0 mm\"",
        "why" => "\"Dust sticks where a seal breathes.\"",
        "short" => "\"dry\"",
        "says" => "\"Dry\"",
        "means" => "\"sound\"",
        "formula" => "\"belt-span-tension\"",
        "inputs" => "{ span = { value = \"172 mm\" } }",
        "resolution" => "\"0.01 mm\"",
        "k" => "2",
        "specification" => "\"maker's approval, see the handbook\"",
        "capacity" => "{ filled = \"4.8 L\", source = \"handbook\" }",
        "filled" => "\"4.8 L\"",
        "price" => "\"14.50\"",
        "hours" => "0.3",
        "quantity" => "2",
        "costs" => "\"0\"",
        "to" => "\"disc-breaks\"",
        "probability" => "0.1",
        _ => return None,
    })
}
