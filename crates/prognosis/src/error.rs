//! What can be wrong with an input, told whole.

use std::fmt;

/// Why a prognosis could not be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PrognosisError {
    /// Everything that is wrong with the inputs, not only the first.
    #[error("{}", joined(.0))]
    Inputs(Vec<Problem>),
    /// The covariance of the readings has no inverse, because two of them say exactly the same or the
    /// uncertainties differ by more than a number can hold.
    #[error("the readings cannot be told apart: their covariance has no inverse")]
    Singular,
    /// The likelihood rises without end, so the data alone say nothing; a prior would.
    #[error("these data alone have no best fit for {what}; add records that bracket it, or a prior")]
    NoMaximum { what: &'static str },
    /// An iteration ended without settling.
    #[error("{what} did not settle in {steps} steps")]
    NotSettled { what: &'static str, steps: usize },
    /// There is too little to work with.
    #[error("{what} needs at least {needed}, there are {found}")]
    TooFew { what: &'static str, needed: usize, found: usize },
    /// Exact work would take more memory than is sensible.
    #[error("{what} has too many ways to go ({found}); at most {most} can be followed exactly")]
    TooMany { what: &'static str, most: usize, found: usize },
    /// A list of harms or causes leads back to where it came from.
    #[error("{what} {index} leads back to itself")]
    Cycle { what: &'static str, index: usize },
}

/// One number that cannot be used, where it stands and what would be right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Problem {
    /// The list and the position in it, counted from zero; `None` for a number that stands alone.
    pub place: Option<(&'static str, usize)>,
    pub name: &'static str,
    pub found: f64,
    pub must: Must,
}

/// What a number has to be.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Must {
    BeFinite,
    BeAboveZero,
    NotBeNegative,
    BeAboveOne,
    BeProbability,
    BeAtLeast(f64),
    BeAtMost(f64),
    Differ { from: f64 },
    BeIndexBelow(usize),
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((list, index)) = self.place {
            write!(f, "{list} {}: ", index + 1)?;
        }
        write!(f, "{} is {}, it must {}", self.name, self.found, self.must)
    }
}

impl fmt::Display for Must {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Must::BeFinite => write!(f, "be a finite number"),
            Must::BeAboveZero => write!(f, "be finite and above zero"),
            Must::NotBeNegative => write!(f, "be finite and not below zero"),
            Must::BeAboveOne => write!(f, "be a finite factor above one"),
            Must::BeProbability => write!(f, "lie between zero and one"),
            Must::BeAtLeast(least) => write!(f, "be at least {least}"),
            Must::BeAtMost(most) => write!(f, "be at most {most}"),
            Must::Differ { from } => write!(f, "differ from {from}"),
            Must::BeIndexBelow(count) => write!(f, "name one of the {count} listed"),
        }
    }
}

fn joined(problems: &[Problem]) -> String {
    problems.iter().map(Problem::to_string).collect::<Vec<_>>().join("; ")
}

/// Gathers problems, so that all of them are told at once.
#[derive(Debug, Default)]
pub(crate) struct Inspection {
    place: Option<(&'static str, usize)>,
    problems: Vec<Problem>,
}

impl Inspection {
    /// What is checked from here on stands at this position of this list.
    pub(crate) fn at(&mut self, list: &'static str, index: usize) -> &mut Self {
        self.place = Some((list, index));
        self
    }

    pub(crate) fn finite(&mut self, name: &'static str, found: f64) -> &mut Self {
        self.rule(found.is_finite(), name, found, Must::BeFinite)
    }

    pub(crate) fn above_zero(&mut self, name: &'static str, found: f64) -> &mut Self {
        self.rule(found.is_finite() && found > 0.0, name, found, Must::BeAboveZero)
    }

    pub(crate) fn not_negative(&mut self, name: &'static str, found: f64) -> &mut Self {
        self.rule(found.is_finite() && found >= 0.0, name, found, Must::NotBeNegative)
    }

    pub(crate) fn above_one(&mut self, name: &'static str, found: f64) -> &mut Self {
        self.rule(found.is_finite() && found > 1.0, name, found, Must::BeAboveOne)
    }

    pub(crate) fn probability(&mut self, name: &'static str, found: f64) -> &mut Self {
        self.rule((0.0..=1.0).contains(&found), name, found, Must::BeProbability)
    }

    pub(crate) fn at_least(&mut self, name: &'static str, found: f64, least: f64) -> &mut Self {
        self.rule(found >= least, name, found, Must::BeAtLeast(least))
    }

    pub(crate) fn at_most(&mut self, name: &'static str, found: f64, most: f64) -> &mut Self {
        self.rule(found <= most, name, found, Must::BeAtMost(most))
    }

    pub(crate) fn differs(&mut self, name: &'static str, found: f64, from: f64) -> &mut Self {
        self.rule(found != from, name, found, Must::Differ { from })
    }

    pub(crate) fn index(&mut self, name: &'static str, found: usize, count: usize) -> &mut Self {
        self.rule(found < count, name, found as f64, Must::BeIndexBelow(count))
    }

    fn rule(&mut self, holds: bool, name: &'static str, found: f64, must: Must) -> &mut Self {
        if !holds {
            self.problems.push(Problem { place: self.place, name, found, must });
        }
        self
    }

    pub(crate) fn finish(&mut self) -> Result<(), PrognosisError> {
        self.place = None;
        match std::mem::take(&mut self.problems) {
            none if none.is_empty() => Ok(()),
            problems => Err(PrognosisError::Inputs(problems)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_problem_is_told_with_its_place() {
        let mut inspection = Inspection::default();
        inspection.above_zero("spread", f64::NAN).at("reading", 1).above_zero("own uncertainty", -0.1);
        let error = inspection.finish().unwrap_err();
        assert_eq!(
            error.to_string(),
            "spread is NaN, it must be finite and above zero; \
             reading 2: own uncertainty is -0.1, it must be finite and above zero"
        );
    }
}
