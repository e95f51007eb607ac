//! `[car]`.

use super::{RecordFault, Recorder, Root, Value, day, id};
use journal::{Known, Stream};
use sheet::SheetId;

impl<'a> Recorder<'a> {
    pub(super) fn read_car(&mut self, root: &Root<'a>) {
        let said = root.may("car", |value| {
            value.named("the car").table(|t| {
                let id = t.need("id", id);
                let title = t.need("title", Value::text);
                let tag = t.may("tag", Value::text);
                let sheet = t.need("sheet", |v| self.sheet(v));
                let variant = t.may("variant", Value::text);
                let first_used = t.may("first-used", day);
                let owner = t.may("owner", |v| self.person(v));
                let note = t.may("note", Value::text);
                let sheet = sheet?;
                if let (Some(variant), Some(known)) = (&variant, self.shop.sheet(&sheet)) {
                    let ids = known.variants.keys();
                    if !known.variants.contains_key(variant.as_str()) {
                        t.fault(sheet::table::dangling("variant", variant, ids));
                    }
                }
                let sheet = sheet.to_string();
                Some((id?, Known::Car { title: title?, sheet, tag, variant, first_used, owner, note }))
            })
        });
        let Some((id, known)) = said else {
            self.unread.extend(root.get("car").and_then(|value| value.peek("id")));
            return;
        };
        _ = self.car(&id); // what the book knows comes before what the file says
        let on = jiff::civil::date(2000, 1, 1);
        self.say(&Stream::Car(id), on, "workshop", [known.into()]);
    }

    fn sheet(&self, value: Value<'a>) -> Option<SheetId> {
        let id: SheetId = value.str()?.into();
        if self.shop.sheet(&id).is_some() {
            return Some(id);
        }
        let some = self.shop.sheets().map(|sheet| sheet.id.to_string()).collect();
        value.fault(RecordFault::NoSheet { id: id.to_string(), some });
        None
    }
}
