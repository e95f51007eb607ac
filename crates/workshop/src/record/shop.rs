//! `[workshop]`, `[[person]]` and `[[instrument]]`.

use super::{RecordFault, Recorder, Root, Value, day, id};
use jiff::civil::date;
use journal::{Known, Person, Stream};
use quantity::{Kind, Unit};
use sheet::table::Shape;

/// Days do not matter to what a workshop is; its entries stand at the beginning.
const BEGINNING: jiff::civil::Date = date(2000, 1, 1);

/// Stands for the workshop among what could not be read; no id has brackets.
pub(super) const TABLE: &str = "[workshop]";

impl<'a> Recorder<'a> {
    pub(super) fn read_shop(&mut self, root: &Root<'a>) {
        let people = root.list("person", |value| self.person_told(value));
        let instruments = root.list("instrument", instrument);
        let workshop = root.may("workshop", |value| {
            value.named("the workshop").table(|t| {
                let title = t.need("title", Value::text);
                let currency = t.need("currency", currency);
                let rate = t.need("rate", Value::money);
                let gap = t.may("gap", |v| {
                    let gap = v.measure(&[Kind::Time])?;
                    gap.value_in(Unit::YEAR).ok().map(|years| years * 12.0)
                });
                Some(Known::Workshop {
                    title: title?,
                    currency: currency?,
                    rate: rate?.to_string(),
                    gap_months: gap.unwrap_or(12.0),
                })
            })
        });
        if workshop.is_none() && root.get("workshop").is_some() {
            self.unread.insert(TABLE);
        }
        let by = people.first().map_or_else(|| "workshop".to_owned(), |person| person.id.clone());
        self.say(&Stream::Workshop, BEGINNING, &by, workshop.into_iter().chain(instruments).map(Into::into));
        for person in people {
            self.people.retain(|known| known.id != person.id);
            self.people.push(person.clone());
            self.recording.people.push(person);
        }
    }

    fn person_told(&mut self, value: Value<'a>) -> Option<Person> {
        let read = value.named("the person").table(|t| {
            let id = t.need("id", id);
            let name = t.need("name", Value::text);
            let role =
                t.need("role", |v| v.word(&["technician", "apprentice", "owner"].map(|role| (role, role))));
            Some(Person { id: id?, name: name?, role: role?.to_owned() })
        });
        if read.is_none() {
            self.unread.extend(value.peek("id"));
        }
        read
    }
}

fn instrument(value: Value<'_>) -> Option<Known> {
    value.named("the instrument").table(|t| {
        let id = t.need("id", id);
        let kind = t.need("kind", Value::text);
        let due = t.may("due", day);
        Some(Known::Instrument { id: id?, instrument: kind?, due })
    })
}

fn currency(value: Value<'_>) -> Option<String> {
    if value.shape() != Shape::Text {
        return value.text();
    }
    let found = value.text()?;
    if found.len() == 3 && found.chars().all(|c| c.is_ascii_uppercase()) {
        return Some(found);
    }
    value.fault(RecordFault::Currency { found });
    None
}
