//! The kinds of entries. Ids of checks, components and operations are kept as they were written: a journal outlives
//! the data sheet that named them.

use jiff::civil::Date;
use quantity::Quantity;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};
use serde_json::Value;
use std::collections::BTreeMap;

/// The version of the form in which entries are written now.
const VERSION: u64 = 1;

/// What an entry says.
#[derive(Debug, Clone, PartialEq)]
pub enum Body {
    Known(Known),
    /// From a newer version of the program: kept whole and shown as such.
    Unknown(Value),
}

/// The kinds of entries this version writes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case", rename_all_fields = "kebab-case", deny_unknown_fields)]
pub enum Known {
    // the workshop's stream
    /// The workshop itself; the latest counts.
    Workshop {
        title: String,
        currency: String,
        /// Money for an hour of work.
        rate: String,
        /// Usual months between two visits of a car.
        gap_months: f64,
    },
    /// An instrument the workshop owns; the latest for an id counts.
    Instrument {
        id: String,
        /// The kind of instrument, as data sheets name it.
        instrument: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        due: Option<Date>,
    },
    /// A data sheet, whole; the latest revision of an id is the one in use.
    Sheet { sheet: String, revision: String, files: BTreeMap<String, String> },

    // a car's stream
    /// The car itself; the latest counts.
    Car {
        title: String,
        sheet: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        tag: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        variant: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        first_used: Option<Date>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        owner: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// A visit begins.
    Visit {
        visit: String,
        date: Date,
        odometer: Quantity,
        /// The revision of the data sheet that judges this visit.
        revision: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        asked_for: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        ceiling: Option<String>,
    },
    /// A reading: one value, or repeats of one.
    Reading {
        visit: String,
        check: String,
        place: String,
        values: Vec<Quantity>,
        /// An instrument the workshop owns, or a kind from the data sheet; the check's own when absent.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instrument: Option<String>,
        seen: Seen,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// An observation: one of the described states.
    Look {
        visit: String,
        check: String,
        place: String,
        state: String,
        seen: Seen,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// A check that could not be made.
    NotReached { visit: String, check: String, place: String, reason: String },
    /// A person decides otherwise than the computed verdict.
    Overrule {
        visit: String,
        check: String,
        place: String,
        verdict: String,
        reason: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        when: Option<When>,
    },
    /// A part was put into a place; what was there is out. With `since`, papers show that it has been in since then.
    Fitted {
        visit: String,
        component: String,
        place: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        part: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        batch: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        made: Option<Date>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        since: Option<Date>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        odometer: Option<Quantity>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// What was read on a part that was seen in a place.
    Marking {
        visit: String,
        component: String,
        place: String,
        /// As it reads: letters, figures, paint.
        reads: String,
        /// Which part of the data sheet it is, where a person said so; else the data sheet tells.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        part: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// A fluid drained, filled, or both.
    Fluid {
        visit: String,
        fluid: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        drained: Option<Quantity>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        filled: Option<Quantity>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lot: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// An operation was done, at one place or at all.
    Done {
        visit: String,
        operation: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        place: Option<String>,
    },
    /// An obligation met.
    Met {
        visit: String,
        obligation: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        value: Option<Quantity>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// An obligation knowingly not met, with the reason.
    Waived { visit: String, obligation: String, reason: String },
    /// A key tag tied to the car.
    Tag {
        tag: String,
        visit: String,
        what: String,
        why: String,
        when: When,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        check: Option<String>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        place: Option<String>,
    },
    /// A key tag settled.
    TagSettled { tag: String, visit: String, reason: String },
    /// Bigger work agreed with the owner for a later visit.
    LongJob {
        job: String,
        /// The visit on which it was agreed, or the last one before.
        visit: String,
        operations: Vec<String>,
        /// The day it is agreed for; the next visit when absent.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        on: Option<Date>,
        name: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        words: Option<String>,
    },
    /// A long job waits no longer, though not all of it was done.
    LongJobSettled { job: String, visit: String, reason: String },
    /// A formula of the bench on numbers of this car, as it was worked out then.
    Calculation {
        /// Kept with a visit, or with the car alone.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        visit: Option<String>,
        on: Date,
        formula: String,
        /// As typed, by the formula's names of its inputs; the values of a list stand on lines of their own.
        inputs: BTreeMap<String, String>,
        /// What came of it that day, though the formula may be put right later.
        results: Vec<Computed>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// A letter as the owner got it.
    Letter { visit: String, html: String },
    /// The owner's word on one line of the letter.
    Answer {
        visit: String,
        operation: String,
        says: Answer,
        name: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        words: Option<String>,
    },
    /// The keys went back.
    Closed { visit: String, odometer: Quantity },
}

/// How well something could be seen, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Seen {
    /// Part off or fully in view, clean.
    Open,
    /// In view, in place.
    Clear,
    /// Some of it.
    Part,
    /// Covered.
    Dirt,
    /// By hand only.
    Feel,
    /// The owner's or another shop's word.
    Told,
}

/// The owner's word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    Yes,
    NotNow,
    AskMe,
}

/// One result of a formula: numbers or words, one or several.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Computed {
    /// The formula's name of it.
    pub result: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub numbers: Vec<Worked>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub words: Vec<String>,
}

/// A computed number with its standard uncertainty, where something uncertain went in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Worked {
    pub value: Quantity,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub u: Option<Quantity>,
}

/// When something falls due; whichever comes first of what is given.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct When {
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub next_visit: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<Date>,
    /// km from the day it was said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub km: Option<f64>,
    /// Years from the day it was said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub years: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub event: Option<String>,
}

impl When {
    /// Whether nothing is given: such a promise would be lost.
    pub fn is_never(&self) -> bool {
        *self == Self::default()
    }
}

impl From<Known> for Body {
    fn from(known: Known) -> Self {
        Self::Known(known)
    }
}

impl Body {
    /// The known body, unless it comes from a newer version.
    pub fn known(&self) -> Option<&Known> {
        match self {
            Self::Known(known) => Some(known),
            Self::Unknown(_) => None,
        }
    }
}

impl Serialize for Body {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Known(known) => Written { v: VERSION, known }.serialize(serializer),
            Self::Unknown(value) => value.serialize(serializer),
        }
    }
}

#[derive(Serialize)]
struct Written<'a> {
    v: u64,
    #[serde(flatten)]
    known: &'a Known,
}

impl<'de> Deserialize<'de> for Body {
    /// A kind or a version that this program does not know is kept; one that it knows must read.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let mut value = Value::deserialize(deserializer)?;
        let version = value.get("v").and_then(Value::as_u64);
        if version != Some(VERSION) {
            return Ok(Self::Unknown(value));
        }
        let whole = value.clone();
        if let Some(fields) = value.as_object_mut() {
            fields.remove("v");
        }
        match serde_json::from_value(value) {
            Ok(known) => Ok(Self::Known(known)),
            Err(error) if error.to_string().starts_with("unknown variant") => Ok(Self::Unknown(whole)),
            Err(error) => Err(D::Error::custom(error)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_body_reads_back_as_it_was_written() {
        let body = Body::from(Known::Look {
            visit: "v".into(),
            check: "output-seal".into(),
            place: "left".into(),
            state: "film".into(),
            seen: Seen::Clear,
            note: None,
        });
        let text = serde_json::to_string(&body).unwrap();
        assert_eq!(
            text,
            r#"{"v":1,"kind":"look","visit":"v","check":"output-seal","place":"left","state":"film","seen":"clear"}"#
        );
        assert_eq!(serde_json::from_str::<Body>(&text).unwrap(), body);
    }

    #[test]
    fn a_kind_or_version_from_the_future_is_kept_as_it_is() {
        for text in [r#"{"v":1,"kind":"smell","of":"fuel"}"#, r#"{"v":9,"kind":"look","far":true}"#] {
            let body: Body = serde_json::from_str(text).unwrap();
            assert!(matches!(body, Body::Unknown(_)));
            assert_eq!(serde_json::to_value(&body).unwrap(), serde_json::from_str::<Value>(text).unwrap());
        }
    }

    #[test]
    fn a_known_kind_with_a_missing_field_is_an_error() {
        assert!(serde_json::from_str::<Body>(r#"{"v":1,"kind":"look","visit":"v"}"#).is_err());
    }
}
