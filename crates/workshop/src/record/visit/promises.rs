//! What a visit leaves for later, and the owner's word.

use super::{Lines, when};
use crate::record::{RecordFault, Root, Said, Value, day, id, nearest};
use journal::{Answer, Known};

impl<'a> Lines<'_, 'a, '_> {
    pub(super) fn key_tag(&self, t: &Root<'a>) -> Option<Said> {
        let id = t.need("id", id);
        let what = t.need("what", Value::text);
        let why = t.need("why", Value::text);
        let when = t.need("when", when);
        let check = t.may("check", |v| self.check(v));
        let place = match check {
            Some(_) => self.place(t, check),
            None => t.may("place", Value::text),
        };
        let known = Known::Tag {
            tag: id?,
            visit: self.visit(),
            what: what?,
            why: why?,
            when: when?,
            check: check.map(|(id, _)| id.to_owned()),
            place,
        };
        Some(self.said(t, known))
    }

    pub(super) fn long_job(&self, t: &Root<'a>) -> Option<Said> {
        let job = t.need("id", id);
        let operations = t.need("operations", |v| {
            v.list_of(1, "at least one operation", |v| self.operation(v).and(v.str()).map(str::to_owned))
        });
        let on = t.may("on", |v| {
            let date = day(v)?;
            if date <= self.heading.date {
                v.fault(RecordFault::NotLater { date });
                return None;
            }
            Some(date)
        });
        let name = t.need("name", Value::text);
        let words = t.may("words", Value::text);
        let known = Known::LongJob {
            job: job?,
            visit: self.visit(),
            operations: operations?,
            on,
            name: name?,
            words,
        };
        Some(self.said(t, known))
    }

    /// A key tag or a long job that waits no longer.
    pub(super) fn settle(&self, t: &Root<'a>) -> Option<Said> {
        if t.get("tag").is_some() == t.get("long-job").is_some() {
            t.fault(RecordFault::SettlesWhat);
        }
        let job = t.may("long-job", |v| {
            let id = v.str()?;
            if self.car.long_jobs.iter().any(|job| job.id == id) {
                return Some(id.to_owned());
            }
            let nearest = nearest(id, self.car.long_jobs.iter().map(|job| job.id.as_str()));
            v.fault(RecordFault::NoLongJob { job: id.to_owned(), nearest });
            None
        });
        let tag = t.may("tag", |v| {
            let id = v.str()?;
            if self.car.tags.iter().any(|tag| tag.id == id) {
                return Some(id.to_owned());
            }
            let nearest = nearest(id, self.car.tags.iter().map(|tag| tag.id.as_str()));
            v.fault(RecordFault::NoTag { tag: id.to_owned(), nearest });
            None
        });
        let reason = t.need("reason", Value::text);
        let (visit, reason) = (self.visit(), reason?);
        let known = match (tag, job) {
            (Some(tag), None) => Known::TagSettled { tag, visit, reason },
            (None, Some(job)) => Known::LongJobSettled { job, visit, reason },
            _ => return None,
        };
        Some(self.said(t, known))
    }

    pub(super) fn answer(&self, t: &Root<'a>) -> Option<Said> {
        let operation = t.need("operation", |v| self.operation(v).and(v.str()));
        let says = t.need("says", |v| {
            v.word(&[("yes", Answer::Yes), ("not-now", Answer::NotNow), ("ask-me", Answer::AskMe)])
        });
        let name = t.need("name", Value::text);
        let words = t.may("words", Value::text);
        let known = Known::Answer {
            visit: self.visit(),
            operation: operation?.to_owned(),
            says: says?,
            name: name?,
            words,
        };
        Some(self.said(t, known))
    }
}
