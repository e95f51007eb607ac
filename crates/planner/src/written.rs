//! An instance as somebody wrote it down, with everything that is wrong with it told at once.

use crate::instance::{AccessStep, Instance, Job, Occasion, Pin};
use crate::problem::Problem;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value, json};

/// One thing in a written instance that is not as it should be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unfit {
    /// It cannot be read; `place` is the way to it, such as ``jobs[2] `clutch`, hours``.
    #[error("{place}: {says}")]
    Unread { place: String, says: String },
    #[error(transparent)]
    Problem(Problem),
}

impl Instance {
    /// Reads an instance: its fields, or an object that has them as `instance`, and may have in `replace` the fields
    /// that take the place of some of them. What may stand beside these two (a `source`, a `remark`) is for people.
    ///
    /// Rules that cannot be kept together are no fault of the writing and are left to [`crate::solve`].
    ///
    /// # Errors
    /// Everything that is wrong. What names something that could not be read is not held against it.
    pub fn read(written: &Value) -> Result<Self, Vec<Unfit>> {
        let mut reader = Reader::default();
        let instance = reader.instance(&reader.fields(written));
        let mut unfit = reader.unfit;
        let named = |problem: &Problem| !(reader.nameless && matches!(problem, Problem::Unknown { .. }));
        let problems =
            instance.problems().into_iter().filter(|problem| !problem.is_clash() && named(problem));
        unfit.extend(problems.map(Unfit::Problem));
        if unfit.is_empty() { Ok(instance) } else { Err(unfit) }
    }
}

#[derive(Default)]
struct Reader {
    unfit: Vec<Unfit>,
    /// Whether something lacks an id that others may name.
    nameless: bool,
}

impl Reader {
    fn fields(&self, written: &Value) -> Value {
        let Some(Value::Object(fields)) = written.get("instance") else { return written.clone() };
        let mut fields = fields.clone();
        if let Some(Value::Object(replace)) = written.get("replace") {
            fields.extend(replace.clone());
        }
        Value::Object(fields)
    }

    fn instance(&mut self, written: &Value) -> Instance {
        let Value::Object(fields) = written else {
            self.unread("the instance", "it must be an object with `occasions`, `access` and `jobs`");
            return Instance::default();
        };
        let list = |name: &str| fields.get(name).cloned().unwrap_or_else(|| json!([]));
        // What has parts of its own is read part by part, the rest as it stands.
        let rest = fields.iter().filter(|(name, _)| !PARTED.contains(&name.as_str()));
        let rest = Value::Object(rest.map(|(name, value)| (name.clone(), value.clone())).collect());
        Instance {
            occasions: self.list::<Occasion>(
                "occasions",
                &list("occasions"),
                &json!({ "id": "", "at": 0.0 }),
            ),
            access: self.list::<AccessStep>("access", &list("access"), &json!({ "id": "", "cost": 0.0 })),
            jobs: self.list::<Job>("jobs", &list("jobs"), &json!({ "id": "", "cost": {} })),
            pins: self.list::<Pin>(
                "pins",
                &list("pins"),
                &json!({ "job": "", "choice": "leave", "rule": "must" }),
            ),
            ..self.part("", &rest, &json!({})).unwrap_or_default()
        }
    }

    fn list<T: DeserializeOwned>(&mut self, name: &str, written: &Value, needed: &Value) -> Vec<T> {
        let Value::Array(items) = written else {
            self.nameless = true;
            self.unread(name, "it must be a list");
            return vec![];
        };
        let mut read = vec![];
        for (at, item) in items.iter().enumerate() {
            let id = item.get("id").or(item.get("job")).and_then(Value::as_str);
            let place = format!("{name}[{at}]{}", id.map(|id| format!(" `{id}`")).unwrap_or_default());
            self.nameless |= id.is_none();
            // What has no id has nothing that others could rest on.
            read.extend(self.part(&place, item, needed).filter(|_| id.is_some()));
        }
        read
    }

    /// Reads an object field by field; `needed` has the fields that it must have, with values that stand in.
    fn part<T: DeserializeOwned>(&mut self, place: &str, written: &Value, needed: &Value) -> Option<T> {
        let (Value::Object(fields), Value::Object(needed)) = (written, needed) else {
            self.unread(place, "it must be an object");
            return None;
        };
        for name in needed.keys().filter(|name| !fields.contains_key(*name)) {
            self.unread(place, &format!("it has no `{name}`"));
        }
        let mut good = needed.clone();
        for (name, value) in fields {
            let place = if place.is_empty() { name.clone() } else { format!("{place}, {name}") };
            let read = |value: &Value| {
                let mut alone = needed.clone();
                alone.insert(name.clone(), value.clone());
                T::deserialize(Value::Object(alone)).map(drop).map_err(|error| in_words(&error.to_string()))
            };
            good.extend(self.readable(&place, value, &read).map(|value| (name.clone(), value)));
        }
        T::deserialize(Value::Object(good)).ok()
    }

    /// As much of a value as can be read, going into objects and lists for it.
    fn readable(
        &mut self,
        place: &str,
        value: &Value,
        read: &dyn Fn(&Value) -> Result<(), String>,
    ) -> Option<Value> {
        let Err(says) = read(value) else { return Some(value.clone()) };
        match value {
            Value::Object(entries) if read(&json!({})).is_ok() => {
                let mut good = Map::new();
                for (name, value) in entries {
                    let alone = |value: &Value| read(&json!({ name: value }));
                    let kept = self.readable(&format!("{place}, {name}"), value, &alone);
                    good.extend(kept.map(|value| (name.clone(), value)));
                }
                Some(Value::Object(good))
            }
            Value::Array(items) if read(&json!([])).is_ok() => {
                let mut good = vec![];
                for (at, value) in items.iter().enumerate() {
                    let alone = |value: &Value| read(&json!([value]));
                    good.extend(self.readable(&format!("{place}[{at}]"), value, &alone));
                }
                Some(Value::Array(good))
            }
            _ => {
                self.unread(place, &says);
                None
            }
        }
    }

    fn unread(&mut self, place: &str, says: &str) {
        self.unfit.push(Unfit::Unread { place: place.to_owned(), says: says.to_owned() });
    }
}

const PARTED: [&str; 4] = ["occasions", "access", "jobs", "pins"];

/// What the reader of JSON says, in words of whoever writes it.
fn in_words(says: &str) -> String {
    if says.contains("untagged") {
        return "it must be a number, or one number for every occasion".into();
    }
    says.replace("expected f64", "expected a number")
        .replace("expected a tuple of size 2", "expected the pair [first, then]")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wrong(written: Value) -> Vec<String> {
        Instance::read(&written).unwrap_err().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn everything_wrong_is_told_at_once_with_its_place() {
        let told = wrong(json!({
            "occasions": [{ "id": "now", "at": "today" }, { "at": 1 }],
            "access": [{ "id": "wheels-off", "cost": { "now": "cheap" }, "hours": -1 }],
            "jobs": [{ "id": "pads", "cost": { "now": true, "leave": "dear" }, "needs": ["wheels-off", 7] }, 3],
            "limits": { "now": { "cash": "much", "hours": [] } },
            "before": [["pads"]],
            "colour": "blue",
        }));
        for (place, says) in [
            ("occasions[0] `now`, at", "expected a number"),
            ("occasions[1]", "it has no `id`"),
            ("access[0] `wheels-off`, cost, now", "it must be a number"),
            ("hours of access step `wheels-off`", "from 0"),
            ("jobs[0] `pads`, cost, now", "expected a number"),
            ("jobs[0] `pads`, cost, leave", "expected a number"),
            ("jobs[0] `pads`, needs[1]", "expected a string"),
            ("jobs[1]", "it must be an object"),
            ("limits, now, cash", "expected a number"),
            ("limits, now, hours", "expected a number"),
            ("before[0]", "expected the pair [first, then]"),
            ("colour", "unknown field"),
        ] {
            assert!(
                told.iter().any(|told| told.starts_with(place) && told.contains(says)),
                "{place}: {says} in {told:#?}"
            );
        }
    }

    #[test]
    fn a_name_that_could_not_be_read_is_not_missed_elsewhere() {
        let told = wrong(json!({
            "occasions": [{ "id": "now", "at": 0 }],
            "access": [{ "id": 5, "cost": 1 }],
            "jobs": [{ "id": "pads", "needs": ["wheels-off"], "cost": { "leave": 0 } }],
        }));
        assert_eq!(told, ["access[0], id: invalid type: integer `5`, expected a string"]);
    }

    #[test]
    fn fields_are_replaced_and_remarks_passed_over() {
        let written = json!({
            "source": "invented",
            "instance": { "occasions": [{ "id": "now", "at": 0 }], "jobs": [] },
            "replace": { "jobs": [{ "id": "pads", "cost": { "leave": 4 }, "by": null }] },
        });
        assert_eq!(Instance::read(&written).unwrap().jobs[0].id, "pads");
    }

    #[test]
    fn what_is_written_out_reads_as_it_was() {
        let written = json!({
            "occasions": [{ "id": "now", "at": 0.0 }, { "id": "next", "at": 1.0 }],
            "access": [{ "id": "wheels-off", "cost": { "now": 3.0, "next": 4.0 }, "hours": 0.3, "needs": [] }],
            "jobs": [{ "id": "pads", "needs": ["wheels-off"], "cost": { "now": 1.0, "leave": 9.0 } }],
            "limits": { "now": { "cash": 100.0 } },
            "pins": [{ "job": "pads", "choice": "now", "rule": "must" }],
        });
        let instance = Instance::read(&written).unwrap();
        let again = serde_json::to_value(&instance).unwrap();
        assert_eq!(Instance::read(&again).unwrap(), instance);
    }
}
