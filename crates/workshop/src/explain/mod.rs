//! What may be behind what was found: the questions of the data sheet, answered for one car.
//!
//! A question is raised by a finding. Its explanations exclude each other, and none of them may be right. Each has a chance
//! beforehand; what was found speaks for those that would show it, by Bayes' rule; and of the checks that are left, the one
//! that is expected to tell most for its minutes comes next. The method, with its sources: `docs/methods/explaining.md`.
//!
//! Nothing is concluded here. A probability comes with the findings it rests on, and a person decides.

mod expects;
mod next;
mod question;
mod words;

pub use next::{Look, Next};
pub use words::{likely, reason};

use crate::judge::Judge;
use jiff::civil::Date;
use sheet::{CheckId, ExplanationId, OperationId, Place, QuestionId};

/// When "none of these" is likelier than all explanations together, none of them fits. Common practice, no source.
pub const NONE_FITS: f64 = 0.5;
/// A finding is told for or against an explanation when it is so many times likelier under it than under the others, or less
/// likely. Common practice, no source.
pub const WORTH_TELLING: f64 = 1.5;
/// Of an explanation that is less likely than this, the grounds are told in short. Common practice, no source.
pub const HARDLY: f64 = 0.03;
/// Findings of so many usual gaps between visits before a question was raised tell nothing of it. Common practice, no source.
pub const LONG_AGO: f64 = 2.0;

/// Which questions are answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// Those that a finding raises.
    Raised,
    /// Every one that any finding bears on.
    All,
}

/// A question as this car answers it.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    pub id: QuestionId,
    pub title: String,
    /// The findings that raise it; empty when none does.
    pub raised_by: Vec<At>,
    /// Likeliest first.
    pub explanations: Vec<Weighed>,
    /// How probable it is that none of these is right, now and beforehand.
    pub none: f64,
    pub none_beforehand: f64,
    /// Whether what was found fits none of the explanations.
    pub unexplained: bool,
    /// How many findings were weighed.
    pub weighed: usize,
    /// Findings that were made, but tell nothing, each with the reason.
    pub set_aside: Vec<SetAside>,
    pub next: Next,
    pub source: String,
}

/// A check at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct At {
    pub check: CheckId,
    pub place: Place,
    /// "Road spring, front left (wheel centre to arch edge)".
    pub title: String,
    /// The same without its place, and the place: "front left", or nothing.
    pub without_place: String,
    pub place_title: String,
}

/// An explanation with its probability and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    pub id: ExplanationId,
    pub title: String,
    /// For the owner, in plain words.
    pub says: Option<String>,
    pub p: f64,
    pub beforehand: f64,
    /// Where the chance beforehand comes from.
    pub beforehand_from: String,
    /// Findings that speak for it and against it, strongest first.
    pub speaks_for: Vec<Speaks>,
    pub speaks_against: Vec<Speaks>,
    /// What would put it right.
    pub put_right: Option<(OperationId, String)>,
    pub source: String,
}

/// A finding that speaks for or against an explanation.
#[derive(Debug, Clone, PartialEq)]
pub struct Speaks {
    pub at: At,
    pub seen_on: Date,
    /// How many times likelier it is under this explanation than under the others.
    pub ratio: f64,
    /// In plain words.
    pub says: String,
}

/// A finding that tells nothing, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct SetAside {
    pub at: At,
    pub why: String,
}

/// The questions of a car's data sheet, raised ones first, in the order of the sheet.
pub fn explain(judge: &Judge<'_>, which: Which) -> Vec<Asked> {
    let ids = judge.sheet.questions.keys();
    let mut asked: Vec<Asked> = ids.filter_map(|id| question::ask(judge, id, which)).collect();
    asked.retain(|asked| asked.is_raised() || asked.weighed > 0);
    asked.sort_by_key(|asked| !asked.is_raised());
    asked
}

/// Questions that a finding raised on an earlier visit and none raises now, each as it stood at the end of the last visit
/// that raised it; latest first.
pub fn earlier(judge: &Judge<'_>) -> Vec<(Date, Asked)> {
    let open: Vec<QuestionId> = explain(judge, Which::Raised).into_iter().map(|asked| asked.id).collect();
    let mut told: Vec<(Date, Asked)> = vec![];
    for visit in judge.visits().rev() {
        let then = Judge::new(judge.shop, judge.sheet, judge.car, visit.date);
        for asked in explain(&then, Which::Raised) {
            if !open.contains(&asked.id) && told.iter().all(|(_, known)| known.id != asked.id) {
                told.push((visit.date, asked));
            }
        }
    }
    told
}

/// Places of one check told together, in their order: what it is called without its place, and the places.
pub fn by_check(all: &[At]) -> Vec<(&str, Vec<&At>)> {
    let mut checks: Vec<(&str, Vec<&At>)> = vec![];
    for at in all {
        match checks
            .iter_mut()
            .find(|(_, places)| places.first().is_some_and(|first| first.check == at.check))
        {
            Some((_, places)) => places.push(at),
            None => checks.push((&at.without_place, vec![at])),
        }
    }
    checks
}

impl Asked {
    pub fn is_raised(&self) -> bool {
        !self.raised_by.is_empty()
    }

    /// Whether a finding raises it.
    pub fn is_raised_by(&self, check: &CheckId, place: &Place) -> bool {
        self.raised_by.iter().any(|at| at.check == *check && at.place == *place)
    }
}
