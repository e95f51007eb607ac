//! What can be wrong with a quantity as written.

use crate::{Kind, Unit};

/// A quantity that cannot be read, or that is not of the kind wanted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    #[error("nothing is written; write a number and its unit, such as \"23.0 mm\"")]
    Empty,
    #[error("`{found}` does not begin with a number; write a number and its unit, such as \"23.0 mm\"")]
    NoNumber { found: String },
    #[error("`{digits}` has no unit; write one behind the number, such as \"{digits} {example}\"")]
    NoUnit { digits: String, example: Unit },
    #[error("`{digits}` can be read in two ways; write {one} or {other}")]
    Ambiguous { digits: String, one: String, other: String },
    #[error("`{digits}` has more than one decimal mark; write {}", meant.as_deref().unwrap_or("one only, and no mark between thousands"))]
    ManyMarks { digits: String, meant: Option<String> },
    #[error("`{digits}` is more than one number; write one at a time")]
    SeveralNumbers { digits: String },
    #[error("`{digits}` is not grouped in threes; write the figures without gaps, or 84 210 for 84210")]
    Grouping { digits: String },
    #[error("unit `{found}` is not known{}", nearest.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default())]
    UnknownUnit { found: String, nearest: Option<&'static str> },
    #[error("`{found}` is not a finite number; write plain figures, such as 23.0")]
    NotFinite { found: String },
    #[error(
        "`{found}` is not an angle in degrees and minutes; write minutes and seconds below 60, such as 12° 30′"
    )]
    Composed { found: String },
    #[error("expected {} such as {}, found {found}, {}", expected.phrase(), expected.example(), found_kind.phrase())]
    WrongKind { expected: Kind, found: String, found_kind: Kind },
    #[error("{from} is {}, {to} is {}: they do not convert", from.kind().phrase(), to.kind().phrase())]
    Convert { from: Unit, to: Unit },
    #[error("`{found}` has no ±; write a value, its uncertainty and the unit, such as \"10.02 ± 0.03 mm\"")]
    NoUncertainty { found: String },
    #[error("the uncertainty in `{found}` is below zero; write it without a sign")]
    NegativeUncertainty { found: String },
    #[error(
        "what stands behind the uncertainty in `{found}` is not understood; write (k=2), (dof=8), (rectangular), (triangular) or (arcsine)"
    )]
    Coverage { found: String },
}

/// An uncertainty, a limit or a risk that cannot be worked out from what was given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum UncertaintyError {
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    #[error("no reading is given; at least one is needed")]
    NoReadings,
    #[error(
        "too few groups to tell within from between; give two or more, one of them with two readings or more"
    )]
    TooFewGroups,
    #[error("{what} is {found}; it must be a finite number")]
    NotFinite { what: &'static str, found: f64 },
    #[error("{what} is {found}; it must be zero or above")]
    Negative { what: &'static str, found: f64 },
    #[error("{what} is {found}; it must be above zero")]
    NotPositive { what: &'static str, found: f64 },
    #[error("{what} is {found}; it must lie between 0 and 1")]
    Probability { what: &'static str, found: f64 },
    #[error("accepted risk is {found}; it must be above 0 and at most 0.5")]
    Risk { found: f64 },
    #[error("a limit needs a minimum, a maximum or both")]
    NoLimit,
    #[error("the lower limit {lower} is not below the upper limit {upper}")]
    LimitsCrossed { lower: f64, upper: f64 },
    #[error("nothing the measurement allows lies on the possible side of the bound {bound}")]
    BoundExcludesAll { bound: f64 },
    #[error("{what} has {found} entries where {wanted} are needed")]
    Length { what: &'static str, found: usize, wanted: usize },
    #[error("the formula has no finite value at {share:.1} % of the trial points")]
    FormulaFails { share: f64 },
    #[error("no acceptance limit reaches the risk {risk}")]
    NoSuchLimit { risk: f64 },
}
