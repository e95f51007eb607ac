//! What a visit leaves for later, and the owner's word.

use super::{Lines, when};
use crate::record::{RecordFault, Root, Said, Value, id, nearest};
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

    pub(super) fn settle(&self, t: &Root<'a>) -> Option<Said> {
        let tag = t.need("tag", |v| {
            let id = v.str()?;
            if self.car.tags.iter().any(|tag| tag.id == id) {
                return Some(id.to_owned());
            }
            let nearest = nearest(id, self.car.tags.iter().map(|tag| tag.id.as_str()));
            v.fault(RecordFault::NoTag { tag: id.to_owned(), nearest });
            None
        });
        let reason = t.need("reason", Value::text);
        let known = Known::TagSettled { tag: tag?, visit: self.visit(), reason: reason? };
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
