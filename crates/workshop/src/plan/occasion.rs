//! The occasions on which a car can be worked on: now, on days agreed with the owner, and on its next visit.

use super::{NEXT, NOW};
use crate::days::years_between;
use crate::judge::Judge;
use crate::long_job::Due;
use crate::odometer::NextVisit;
use jiff::civil::Date;
use serde::{Serialize, Serializer};

/// When an operation is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum When {
    Now,
    /// On a day for which work is agreed with the owner.
    Agreed(Date),
    NextVisit,
    Leave,
}

impl When {
    /// The word for it in documents.
    pub fn id(self) -> &'static str {
        match self {
            Self::Now => NOW,
            Self::Agreed(_) => "agreed",
            Self::NextVisit => NEXT,
            Self::Leave => planner::LEAVE,
        }
    }
}

impl Serialize for When {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.id())
    }
}

/// A chance to do work.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Occasion {
    /// The planner's name of it.
    pub id: String,
    pub when: When,
    pub date: Date,
    /// Years from today.
    pub years: f64,
}

/// In order of time, the first is now; none after the owner parts with the car.
pub(super) fn occasions(judge: &Judge<'_>, next: &NextVisit, parts_on: Option<Date>) -> Vec<Occasion> {
    let today = judge.today;
    let on = |id: String, when, date| Occasion { id, when, date, years: years_between(today, date) };
    let mut all = vec![on(NOW.into(), When::Now, today), on(NEXT.into(), When::NextVisit, next.date)];
    for (job, due) in judge.car.promised(today) {
        let Due::On(date) = due else { continue };
        let known = all.iter().any(|occasion| occasion.date == date);
        if !known && !judge.car.remaining(job).is_empty() {
            all.push(on(agreed_id(date), When::Agreed(date), date));
        }
    }
    all.retain(|occasion| occasion.when == When::Now || parts_on.is_none_or(|day| occasion.date < day));
    all.sort_by_key(|occasion| occasion.date);
    all
}

/// The planner's name of a day for which work is agreed.
fn agreed_id(date: Date) -> String {
    format!("agreed-{date}")
}
