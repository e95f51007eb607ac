//! What is wrong, where, and what would be right.

use super::Location;
use serde::{Serialize, Serializer, ser::SerializeStruct};
use std::{error::Error, fmt};

/// What can be wrong in the files of one room: an enum whose messages say what was found.
pub trait Fault: Error {
    /// What would be right, in a few words; shown beside the carets.
    fn help(&self) -> Option<String>;

    /// What stands at the second place, when there is one.
    fn second(&self) -> &'static str {
        "first here"
    }

    /// Where a syntax error may hide the whole reason. While there is one that may, the fault is not reported.
    fn hidden(&self) -> Hidden;
}

/// Where text that cannot be parsed may hold what seems to be missing, or make something stand where it should not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hidden {
    Nowhere,
    InThisFile,
    Anywhere,
}

/// One thing that is wrong in a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem<F> {
    pub fault: F,
    pub at: Location,
    /// Another place that has part in it, such as the first of two equal ids.
    pub second: Option<Location>,
}

impl<F: Fault> Problem<F> {
    /// What is wrong.
    pub fn message(&self) -> String {
        self.fault.to_string()
    }

    /// What would be right.
    pub fn help(&self) -> Option<String> {
        self.fault.help()
    }
}

impl<F: Fault> fmt::Display for Problem<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        super::render::problem(self, f)
    }
}

impl<F: Fault> Serialize for Problem<F> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = serializer.serialize_struct("Problem", 7)?;
        out.serialize_field("file", self.at.file())?;
        out.serialize_field("line", &self.at.line())?;
        out.serialize_field("column", &self.at.column())?;
        out.serialize_field("length", &self.at.length())?;
        out.serialize_field("message", &self.message())?;
        out.serialize_field("help", &self.help())?;
        match &self.second {
            Some(second) => out.serialize_field("second", &Second(second, self.fault.second()))?,
            None => out.skip_field("second")?,
        }
        out.end()
    }
}

struct Second<'a>(&'a Location, &'static str);

impl Serialize for Second<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = serializer.serialize_struct("Second", 5)?;
        out.serialize_field("file", self.0.file())?;
        out.serialize_field("line", &self.0.line())?;
        out.serialize_field("column", &self.0.column())?;
        out.serialize_field("length", &self.0.length())?;
        out.serialize_field("message", self.1)?;
        out.end()
    }
}

/// Everything that is wrong in the files that were read together: at least one problem, in the order of the files.
#[derive(Debug, Clone, PartialEq)]
pub struct Problems<F>(Vec<Problem<F>>);

impl<F> Problems<F> {
    /// `None` when nothing is wrong. The order given is kept.
    pub fn new(problems: Vec<Problem<F>>) -> Option<Self> {
        (!problems.is_empty()).then_some(Self(problems))
    }

    pub fn iter(&self) -> std::slice::Iter<'_, Problem<F>> {
        self.0.iter()
    }

    /// How many; never 0.
    pub fn count(&self) -> usize {
        self.0.len()
    }
}

impl<F> From<Problem<F>> for Problems<F> {
    fn from(problem: Problem<F>) -> Self {
        Self(vec![problem])
    }
}

impl<'a, F> IntoIterator for &'a Problems<F> {
    type Item = &'a Problem<F>;
    type IntoIter = std::slice::Iter<'a, Problem<F>>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl<F> IntoIterator for Problems<F> {
    type Item = Problem<F>;
    type IntoIter = std::vec::IntoIter<Problem<F>>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<F: Fault> Serialize for Problems<F> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(&self.0)
    }
}

impl<F: Fault> fmt::Display for Problems<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        super::render::problems(&self.0, f)
    }
}

impl<F: Fault> Error for Problems<F> {}
