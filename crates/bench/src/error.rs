//! What a formula refuses, and why.

use quantity::{Kind, QuantityError};
use std::fmt;

/// Everything that is wrong with the inputs of a formula, at once.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchError {
    problems: Vec<Problem>,
}

/// One thing that is wrong: what, and what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Problem {
    #[error("{input} is missing; write it like {example}")]
    Missing { input: &'static str, example: String },
    #[error("no input is called `{key}`{}", near(.nearest))]
    UnknownInput { key: String, nearest: Option<&'static str> },
    #[error("{input} must be {wanted}, like {example}")]
    Shape { input: &'static str, wanted: &'static str, example: String },
    #[error("{input} is {found}; it must be {wanted}, like {example}")]
    Kind { input: &'static str, found: String, wanted: Kind, example: String },
    #[error("{input} is `{found}`, which does not begin with a number; write it like {example}")]
    NoNumber { input: &'static str, found: String, example: String },
    #[error("{input} cannot be read: {cause}")]
    Unreadable { input: &'static str, cause: QuantityError },
    #[error("{input} is {found}; the formula holds {range}{}", .meant.as_ref().map(|meant| format!(". Was {meant} meant?")).unwrap_or_default())]
    OutOfRange { input: &'static str, found: String, range: String, meant: Option<String> },
    #[error("{input} is `{found}`; it must be one of {choices}")]
    NotAChoice { input: &'static str, found: String, choices: String },
    #[error("{input} has {found} values; at least {least} are needed")]
    TooFew { input: &'static str, found: usize, least: usize },
    #[error("{input} has {found} values and {other} has {wanted}; they must be equally many")]
    UnlikeLengths { input: &'static str, found: usize, other: &'static str, wanted: usize },
    #[error("{input} has {found} values; at most {most} are allowed")]
    TooMany { input: &'static str, found: usize, most: usize },
    #[error("{what} must be above zero")]
    NotPositive { what: &'static str },
    #[error("{what} must not be below zero")]
    Negative { what: &'static str },
    #[error("{rule}")]
    Impossible { rule: &'static str },
    #[error("`{found}` is not {right}")]
    NotACode { found: String, right: &'static str },
    #[error("no finite {output} comes of these inputs")]
    NoAnswer { output: &'static str },
    #[error("no formula is called `{id}`{}", near(.nearest))]
    UnknownFormula { id: String, nearest: Option<&'static str> },
}

impl Problem {
    /// The title of the input that it is about, if it is about one.
    pub fn input(&self) -> Option<&'static str> {
        match self {
            Self::Missing { input, .. }
            | Self::Shape { input, .. }
            | Self::Kind { input, .. }
            | Self::NoNumber { input, .. }
            | Self::Unreadable { input, .. }
            | Self::OutOfRange { input, .. }
            | Self::NotAChoice { input, .. }
            | Self::TooFew { input, .. }
            | Self::UnlikeLengths { input, .. }
            | Self::TooMany { input, .. } => Some(input),
            _ => None,
        }
    }
}

fn near(nearest: &Option<&'static str>) -> String {
    nearest.map_or_else(String::new, |nearest| format!("; the nearest is `{nearest}`"))
}

impl BenchError {
    /// The problems, in the order of the inputs.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// `Ok` when nothing is wrong, otherwise all of it.
    pub(crate) fn unless_empty(problems: Vec<Problem>) -> Result<(), BenchError> {
        if problems.is_empty() { Ok(()) } else { Err(BenchError { problems }) }
    }
}

impl From<Problem> for BenchError {
    fn from(problem: Problem) -> Self {
        Self { problems: vec![problem] }
    }
}

impl fmt::Display for BenchError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.problems.iter().enumerate() {
            if index > 0 {
                f.write_str("; ")?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for BenchError {}
