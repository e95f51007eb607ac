//! What can be wrong with the files of a workshop, its cars and visits.

use crate::keys::Held;
use jiff::civil::Date;
use quantity::{Kind, QuantityError, Unit};
use sheet::diagnostic::{Fault, Hidden};
use sheet::table::TableFault;
use sheet::{CheckId, ComponentId, ObligationId, OperationId, Place, StateId};

/// What can be wrong with a file that is recorded, beyond what can be wrong with any table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RecordFault {
    #[error(transparent)]
    Table(#[from] TableFault),

    // files
    #[error("the file has none of `[workshop]`, `[car]` and `[visit]`")]
    Nothing,
    #[error("{what} stands without `[visit]`")]
    WithoutVisit { what: &'static str },
    #[error("the book has no workshop yet")]
    NoWorkshop,

    // cars and people
    #[error("there is no car `{id}`, neither in the book nor in these files")]
    NoCar { id: String, nearest: Option<String> },
    #[error("the book has no data sheet `{id}`")]
    NoSheet { id: String, some: Vec<String> },
    #[error("there is no person `{id}`, neither in the book nor in these files")]
    NoPerson { id: String, nearest: Option<String> },
    #[error("`{found}` is not a currency code")]
    Currency { found: String },
    #[error("`{found}` cannot be an id")]
    BadId { found: String },

    // visits
    #[error("visit `{visit}` is already in the book with other words")]
    VisitDiffers { visit: String, there: String },
    #[error("visit `{visit}` is written in two files")]
    VisitTwice { visit: String },
    #[error("the keys have gone back already, at {there}")]
    ClosedDiffers { there: String },
    #[error("key tag `{tag}` is already tied with other words")]
    TagDiffers { tag: String, there: String },
    #[error("long job `{job}` is already agreed with other words")]
    LongJobDiffers { job: String, there: String },
    #[error("this is already in the book, signed by `{there}`")]
    OtherSigner { there: String },
    #[error("{found} on {date} does not fit {other} on {other_date}: an odometer does not run back")]
    OdometerBack { found: String, date: Date, other: String, other_date: Date, meant: Option<String> },
    #[error("{found} on {date} is far from {other} on {other_date}")]
    OdometerLeaps { found: String, date: Date, other: String, other_date: Date, meant: String },
    #[error("{found} is more than an odometer shows")]
    OdometerNever { found: String },
    #[error("{date} is no day of the calendar")]
    NoDate { date: String },

    // the bench
    #[error("the bench has no formula `{formula}`")]
    NoFormula { formula: String, nearest: Option<String> },
    #[error("formula `{formula}`: {problem}")]
    Formula { formula: &'static str, problem: bench::Problem },

    // checks
    /// `found` is what the check is, and what to do then.
    #[error("check `{check}` is {}, not {wanted}", .found.0)]
    OtherKind { check: CheckId, found: (&'static str, &'static str), wanted: &'static str },
    #[error("check `{check}` is not made on this variant")]
    OtherVariant { check: CheckId },
    #[error("`{of}` has several places")]
    PlaceMissing { of: String, places: Vec<Place> },
    #[error("`{place}` is no place of `{of}`")]
    NoPlace { place: String, of: String, nearest: Option<String>, places: Vec<Place> },
    #[error("{0}")]
    Measure(QuantityError),
    #[error("{found} is {}, and `{check}` reads {}", .found_kind.phrase(), .wanted.kind().phrase())]
    ReadingUnit { check: CheckId, found: String, found_kind: Kind, wanted: Unit },
    #[error("{found} can hardly be right for `{check}`: {doubt}")]
    Slip { check: CheckId, found: String, doubt: String },
    #[error("no value was read")]
    NoValues,
    #[error("check `{check}` has no state `{state}`")]
    NoState { check: CheckId, state: String, nearest: Option<StateId>, states: Vec<StateId> },
    #[error("`{instrument}` does not read {}", .wanted.kind().phrase())]
    InstrumentUnit { instrument: String, wanted: Unit },
    #[error("`{id}` is neither an instrument that the workshop owns nor a kind on the data sheet")]
    NoInstrument { id: String, nearest: Option<String> },
    #[error("a person cannot decide `{verdict}`")]
    NotDecided { verdict: &'static str },
    #[error("`{verdict}` needs a `when`")]
    NoWhen { verdict: &'static str },
    #[error("`when` says nothing")]
    Never,

    // work
    #[error("operation `{operation}` is not done on this variant")]
    OperationVariant { operation: OperationId },
    #[error("component `{component}` is not in this variant")]
    ComponentVariant { component: ComponentId },
    #[error("`{date}` lies after the visit")]
    LiesAhead { date: Date },
    #[error("{date} lies before the car: it was first used on {first_used}")]
    BeforeTheCar { date: Date, first_used: Date },
    #[error("{found} lies beyond the visit, which is at {visit}")]
    BeyondTheVisit { found: String, visit: String },
    #[error("`odometer` says at what distance a part was fitted before the visit, and `since` is missing")]
    NoSince,
    #[error("`{what}` is in {found}, a fluid is measured as a volume")]
    NotAVolume { what: &'static str, found: String },
    #[error("neither `drained` nor `filled` is said")]
    NoAmount,
    #[error("“{reads}” is on several parts: {}", .parts.join(", "))]
    OnSeveralParts { reads: String, parts: Vec<String> },
    #[error("“{reads}” is on no part of the data sheet")]
    OnNoPart { reads: String, nearest: String, part: String },
    #[error("nothing done on this visit raises the obligation `{obligation}`")]
    NotRaised { obligation: ObligationId, raised: Vec<String> },
    #[error("obligation `{obligation}` wants a value {wanted}")]
    NoValue { obligation: ObligationId, wanted: String },
    #[error("there is no key tag `{tag}` on this car")]
    NoTag { tag: String, nearest: Option<String> },
    #[error("there is no long job `{job}` on this car")]
    NoLongJob { job: String, nearest: Option<String> },
    #[error("{date} is not after the visit")]
    NotLater { date: Date },
    #[error("neither `tag` nor `long-job` says what is settled, or both do")]
    SettlesWhat,
    #[error("the keys cannot go back: {0}")]
    Held(Held),
}

impl Fault for RecordFault {
    fn hidden(&self) -> Hidden {
        match self {
            // What a data sheet names is in the book, never in these files.
            Self::Table(TableFault::Dangling { .. }) => Hidden::Nowhere,
            Self::Table(fault) => fault.hidden(),
            Self::Nothing | Self::WithoutVisit { .. } => Hidden::InThisFile,
            // A car, a person or a line of work may stand behind a mistake in the writing of any file.
            Self::NoCar { .. }
            | Self::NoPerson { .. }
            | Self::NoWorkshop
            | Self::NotRaised { .. }
            | Self::Held(_) => Hidden::Anywhere,
            _ => Hidden::Nowhere,
        }
    }

    fn help(&self) -> Option<String> {
        let near = |nearest: &Option<String>| nearest.as_ref().map(|near| format!("did you mean `{near}`?"));
        let list =
            |ids: &[Place]| ids.iter().take(8).map(|id| format!("`{id}`")).collect::<Vec<_>>().join(", ");
        match self {
            Self::Table(fault) => fault.help(),
            Self::Nothing => Some("see docs/visits.md for the form of each".into()),
            Self::WithoutVisit { .. } => Some("add `[visit]` with the car, date, odometer and who".into()),
            Self::NoWorkshop => {
                Some("record a file with `[workshop]` first, or together with this one".into())
            }
            Self::NoCar { nearest, .. } => {
                near(nearest).or_else(|| Some("record a file with its `[car]`, or write the id right".into()))
            }
            Self::NoSheet { some, .. } if some.is_empty() => {
                Some("add one with `witnessmark sheet add DIR --book DIR`".into())
            }
            Self::NoSheet { some, .. } => Some(format!("it has `{}`", some.join("`, `"))),
            Self::NoPerson { nearest, .. } => {
                near(nearest).or_else(|| Some("add them as `[[person]]` with id, name and role".into()))
            }
            Self::Currency { .. } => Some("write three capital letters, such as \"EUR\" (ISO 4217)".into()),
            Self::BadId { .. } => Some("use small letters, digits, `-`, `_` and `.`".into()),
            Self::VisitDiffers { there, .. } => Some(format!(
                "there it says {there}; an entry is never changed: give a second visit of the day an `id` of its own"
            )),
            Self::ClosedDiffers { .. } => Some(
                "an entry is never changed: write it as it was, and what came later as a visit of its own"
                    .into(),
            ),
            Self::TagDiffers { there, .. } => {
                Some(format!("there it says “{there}”; give this one an `id` of its own"))
            }
            Self::LongJobDiffers { there, .. } => {
                Some(format!("there it is `{there}`; give this one an `id` of its own"))
            }
            Self::NoLongJob { nearest, .. } => {
                near(nearest).or_else(|| Some("it has none of that name".into()))
            }
            Self::NotLater { .. } => Some("what is done on this visit needs no long job".into()),
            Self::SettlesWhat => Some("write one of them: `tag = \"…\"` or `long-job = \"…\"`".into()),
            Self::OtherSigner { there } => {
                Some(format!("an entry is never changed: write `by = \"{there}\"`, or say something new"))
            }
            Self::VisitTwice { .. } => {
                Some("make them one file, or give one of them an `id` of its own".into())
            }
            Self::OdometerBack { meant: Some(meant), .. } => {
                Some(format!("{meant} If it was read so, add `odometer-as-read = true`"))
            }
            Self::OdometerLeaps { meant, .. } => {
                Some(format!("{meant} If it was read so, add `odometer-as-read = true`"))
            }
            Self::OdometerBack { meant: None, .. } => {
                Some("read it again; if the instrument was changed, add `odometer-as-read = true`".into())
            }
            Self::OdometerNever { .. } => Some("read it again".into()),
            Self::BeforeTheCar { .. } => {
                Some("write the day right, or leave out `since` where nobody knows; `made` may be earlier".into())
            }
            Self::BeyondTheVisit { .. } => Some("write what the odometer showed when it was fitted".into()),
            Self::NoDate { .. } => Some("write it as 2026-05-18".into()),
            Self::OtherKind { found, .. } => Some(found.1.into()),
            Self::OtherVariant { .. } | Self::OperationVariant { .. } | Self::ComponentVariant { .. } => {
                Some("see the `variant` of the car, and `only` on the data sheet".into())
            }
            Self::PlaceMissing { places, .. } => Some(format!("say at which: {}", list(places))),
            Self::NoPlace { nearest, places, .. } => {
                near(nearest).or_else(|| Some(format!("it has {}", list(places))))
            }
            Self::Measure(_) => Some("write a number and its unit, such as \"23.62 mm\"".into()),
            Self::ReadingUnit { wanted, .. } => Some(format!("write it in {wanted}")),
            Self::Slip { .. } => {
                Some("write it right; if it was read so, write a `[[reading]]` with `as-read = true`".into())
            }
            Self::NoValues => Some("write at least one value, such as \"23.62 mm\"".into()),
            Self::NoState { nearest, states, .. } => {
                nearest.as_ref().map(|near| format!("did you mean `{near}`?")).or_else(|| {
                    let states: Vec<_> = states.iter().map(|id| format!("`{id}`")).collect();
                    Some(format!("it has {}", states.join(", ")))
                })
            }
            Self::InstrumentUnit { .. } => Some("name the instrument that was used".into()),
            Self::NoInstrument { nearest, .. } => near(nearest)
                .or_else(|| Some("add it to the workshop's instruments, or name its kind".into())),
            Self::NotDecided { .. } => Some(
                "decide on `sound`, `settled`, `look-again`, `plan`, `before-leaving` or `stays-put`".into(),
            ),
            Self::NoWhen { .. } => Some("add `when = { years = 1 }`, or km, date, event, next-visit".into()),
            Self::Never => Some("say one of next-visit = true, date, km, years, event".into()),
            Self::LiesAhead { .. } => Some("read the date again".into()),
            Self::NoSince => Some("add `since = …`, or leave `odometer` out".into()),
            Self::NotAVolume { .. } => Some("write it in L or mL".into()),
            Self::NoAmount => Some("say `drained`, `filled` or both, such as \"4.8 L\"".into()),
            Self::OnSeveralParts { .. } => Some(
                "say which with `part = …`, or write more of what it reads; `as-read = true` keeps it as it was seen".into(),
            ),
            Self::OnNoPart { nearest, part, .. } => {
                Some(format!("did you mean “{nearest}”, on `{part}`? If it reads so, add `as-read = true`"))
            }
            Self::NotRaised { raised, .. } if raised.is_empty() => {
                Some("the work of this visit raises none; see what is `[[done]]`".into())
            }
            Self::NotRaised { raised, .. } => Some(format!("it raises `{}`", raised.join("`, `"))),
            Self::NoValue { .. } => Some("add `value = …` as it was measured".into()),
            Self::NoTag { nearest, .. } => near(nearest).or_else(|| Some("it has none of that name".into())),
            Self::NoFormula { nearest, .. } => {
                near(nearest).or_else(|| Some("docs/methods/bench.md lists them all".into()))
            }
            Self::Formula { .. } => None,
            Self::Held(held) => Some(held.way_out().into()),
        }
    }
}
