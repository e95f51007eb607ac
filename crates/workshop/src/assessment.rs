//! What judging a car answers: every finding with its verdict, what the verdict carries and what it rests on.

use crate::odometer::NextVisit;
use crate::outlook::Outlook;
use jiff::civil::Date;
use journal::When;
use quantity::{Decision, Measurement, Unit};
use serde::Serialize;
use sheet::{CheckId, ComponentId, OperationId, PartId, Place, Scale, StateId, Verdict};

/// A car judged as of a day.
#[derive(Debug, Clone)]
pub struct Assessment {
    pub car: String,
    /// The visit that began last.
    pub visit: Option<String>,
    pub today: Date,
    pub next_visit: Option<NextVisit>,
    /// In the order of the data sheet: by system, check and place.
    pub findings: Vec<Judged>,
}

/// One finding and what it means.
#[derive(Debug, Clone)]
pub struct Judged {
    pub check: CheckId,
    pub place: Place,
    pub component: ComponentId,
    /// The visit and day on which it was seen or measured; `None` for what is looked up in the record.
    pub seen_on: Option<(String, Date)>,
    pub by: Option<String>,
    pub note: Option<String>,
    pub what: Outcome,
    /// Probability of being past the limit now, and by the next visit: past that on the value, or a further one that asks for more.
    pub p_beyond: Option<f64>,
    pub p_next: Option<f64>,
    /// What follows by the rules.
    pub computed: Verdict,
    /// What counts: the computed verdict, or a person's.
    pub verdict: Verdict,
    pub overruled: Option<Overruled>,
    /// What is to be asked about it: a reading that does not fit the ones before.
    pub question: Option<String>,
    pub carries: Carries,
    pub reasons: Vec<Reason>,
    pub outlook: Option<Outlook>,
    /// The work on the same visit that has dealt with it. Verdict and value are then those of what was found; the chances and
    /// the outlook are those of what is in now.
    pub put_right: Option<PutRight>,
}

/// What has dealt with a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub enum PutRight {
    Work(OperationId),
    /// Another part was put in, and nobody wrote down by which work.
    Part {
        part: Option<PartId>,
    },
}

impl PutRight {
    /// The work, if it was written down.
    pub fn work(&self) -> Option<&OperationId> {
        match self {
            Self::Work(operation) => Some(operation),
            Self::Part { .. } => None,
        }
    }
}

/// What was found.
#[derive(Debug, Clone)]
pub enum Outcome {
    Measured(Box<Measured>),
    Seen {
        state: StateId,
    },
    /// Looked up in the record: how far along its interval, 1 when due.
    Record {
        share: f64,
        since: Option<Date>,
    },
    NotReached {
        reason: String,
    },
    /// A part by what is written on it; without a marking, as the record says that it was fitted. `part` is `None` where the
    /// marking does not tell.
    Marked {
        reads: Option<String>,
        part: Option<PartId>,
    },
    /// What the sheet no longer describes, or a reading that cannot be worked out; the reason says why.
    Unclear,
}

/// A reading with everything that its wear bar shows.
#[derive(Debug, Clone)]
pub struct Measured {
    /// In the unit of the check.
    pub measurement: Measurement,
    pub unit: Unit,
    /// Decimals to show.
    pub decimals: i32,
    pub scale: Scale,
    pub decision: Option<Decision>,
    /// Earlier readings of the same part.
    pub earlier: Vec<(Date, f64)>,
    /// Where it will be at the next visit, nine times in ten.
    pub at_next_visit: Option<(f64, f64)>,
    /// A derived reading: the formula's id and its steps in words.
    pub formula: Option<(String, Vec<String>)>,
}

/// A person's decision against the computed verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct Overruled {
    pub by: String,
    pub reason: String,
}

/// What a verdict must carry.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Carries {
    /// *Settled*, *Not reached*: why, for an owner to read.
    pub why: Option<String>,
    /// *Look again*: when.
    pub trigger: Option<When>,
    /// *Plan it*: between which days.
    pub window: Option<(Date, Date)>,
    /// *Before it leaves*, *Stays put*: what happens otherwise, in plain words.
    pub consequence: Option<String>,
    /// *Too close to say*: what would decide it.
    pub decided_by: Option<String>,
}

/// One ground of a verdict.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reason {
    pub says: String,
    /// Where its numbers come from: a source on the data sheet, or the method.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// How its number was worked out, line by line, for who wants to open it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<String>,
    /// Whether it speaks of what is to come, rather than of what was found.
    #[serde(skip)]
    pub ahead: bool,
    /// Whether it is a line of the table of verdicts.
    #[serde(skip)]
    pub by_the_table: bool,
}

impl Reason {
    pub fn new(says: impl Into<String>) -> Self {
        Self { says: says.into(), source: None, steps: vec![], ahead: false, by_the_table: false }
    }

    /// What the table of verdicts says of what is to come.
    pub(crate) fn by_the_table(says: impl Into<String>) -> Self {
        Self { by_the_table: true, ..Self::new(says).from_source("table of verdicts").ahead() }
    }

    #[must_use]
    pub fn from_source(self, source: impl Into<String>) -> Self {
        Self { source: Some(source.into()), ..self }
    }

    /// With the way its number was worked out.
    #[must_use]
    pub fn worked_out(self, steps: Vec<String>) -> Self {
        Self { steps, ..self }
    }

    /// Of what is to come.
    #[must_use]
    pub fn ahead(self) -> Self {
        Self { ahead: true, ..self }
    }
}

impl Judged {
    /// The measured value, for a reading.
    pub fn measured(&self) -> Option<&Measured> {
        match &self.what {
            Outcome::Measured(measured) => Some(measured),
            _ => None,
        }
    }

    /// Whether it still asks for something: not sound, not settled, not yet put right.
    pub fn is_open(&self) -> bool {
        self.put_right.is_none() && !matches!(self.verdict, Verdict::Sound | Verdict::Settled)
    }
}

impl Assessment {
    pub fn finding(&self, check: &CheckId, place: &Place) -> Option<&Judged> {
        self.findings.iter().find(|judged| judged.check == *check && judged.place == *place)
    }
}
