//! A sheet in plain words: each thing with its facts, one a line, each under the key that says it.
//!
//! Two sheets are compared by these words too, so that what is told of a change is what a person would have read.

mod checks;
mod phrases;
mod questions;
mod stock;
mod work;

use crate::{ids::*, model::*};
use phrases::*;
use serde::Serialize;

/// A thing of a sheet in plain words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Described {
    /// The kind of table that says it.
    pub kind: &'static str,
    /// Empty for the sheet itself.
    pub id: String,
    pub title: String,
    pub facts: Vec<Fact>,
}

/// One thing that is said of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fact {
    pub key: &'static str,
    /// Which of several under this key: a state, a part.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    pub says: String,
}

/// Everything on the sheet, kind by kind, in its order.
pub fn described(sheet: &Sheet) -> Vec<Described> {
    described_as(sheet, sheet)
}

/// The same, with what it names called as another sheet calls it, as far as that has it.
pub(crate) fn described_as(sheet: &Sheet, names: &Sheet) -> Vec<Described> {
    let words = Words { sheet, names };
    let mut all = vec![Described {
        kind: "sheet",
        id: String::new(),
        title: sheet.title.clone(),
        facts: words.head().0,
    }];
    macro_rules! things {
        ($($kind:literal: $field:ident, $facts:expr;)*) => {$(
            all.extend(sheet.$field.iter().map(|(id, of)| Described {
                kind: $kind,
                id: id.to_string(),
                title: of.title.clone(),
                facts: $facts(of).0,
            }));
        )*};
    }
    things! {
        "variant": variants, |of: &Variant| Facts::new().may("model-years", of.model_years.as_ref().map(years));
        "system": systems, |_: &System| Facts::new();
        "station": stations, |of: &Station| Facts::new().list("places", of.places.iter().map(|place| words.place(place)));
        "component": components, |of| words.component(of);
        "check": checks, |of| words.check(of);
        "instrument": instruments, instrument;
        "fluid": fluids, |of| words.fluid(of);
        "fastener": fasteners, |of| words.fastener(of);
        "part": parts, |of| words.part(of);
        "access": access, |of| words.access(of);
        "operation": operations, |of| words.operation(of);
        "obligation": obligations, obligation;
        "consequence": consequences, |of| words.consequence(of);
        "while-apart": while_apart, |of| words.while_apart(of);
        "question": questions, |of| words.question(of);
        "explanation": explanations, |of| words.explanation(of);
        "look-alike": look_alikes, |of| words.look_alike(of);
        "glossary": glossary, |of: &Word| Facts::new().list("also", of.also.iter().cloned()).say("says", &of.says);
    }
    all
}

use checks::instrument;
use work::obligation;

/// Facts as they gather.
struct Facts(Vec<Fact>);

impl Facts {
    fn new() -> Self {
        Self(Vec::new())
    }

    fn say(mut self, key: &'static str, says: impl ToString) -> Self {
        self.0.push(Fact { key, item: None, says: says.to_string() });
        self
    }

    fn may(self, key: &'static str, says: Option<impl ToString>) -> Self {
        match says {
            Some(says) => self.say(key, says),
            None => self,
        }
    }

    fn only_if(self, key: &'static str, holds: bool, says: &str) -> Self {
        if holds { self.say(key, says) } else { self }
    }

    /// Several in one line.
    fn list(self, key: &'static str, of: impl IntoIterator<Item = String>) -> Self {
        let all: Vec<String> = of.into_iter().collect();
        if all.is_empty() { self } else { self.say(key, all.join(", ")) }
    }

    /// Several, each a fact of its own.
    fn each(mut self, key: &'static str, of: impl IntoIterator<Item = (String, String)>) -> Self {
        self.0.extend(of.into_iter().map(|(item, says)| Fact { key, item: Some(item), says }));
        self
    }
}

/// The words of one sheet: ids are said by the titles of what they name.
struct Words<'a> {
    sheet: &'a Sheet,
    names: &'a Sheet,
}

impl Words<'_> {
    fn head(&self) -> Facts {
        let Sheet { id, says, currency, yearly_use, refit, work_hours, .. } = self.sheet;
        Facts::new()
            .say("id", id)
            .may("says", says.as_ref())
            .say("currency", currency)
            .say(
                "yearly-use",
                format!(
                    "{} km a year, give or take {} % from car to car{}",
                    yearly_use.mean_km,
                    number(yearly_use.variation * 100.0),
                    from(&yearly_use.source)
                ),
            )
            .say("refit", format!("{} of the hours to take it apart", number(*refit)))
            .may(
                "work-hours",
                work_hours.as_ref().map(|hours| {
                    format!("nine in ten within a factor of {}{}", number(hours.spread), from(&hours.source))
                }),
            )
    }

    fn place(&self, place: &Place) -> String {
        match self.sheet.place_title(place) {
            "" => "the one place".to_owned(),
            title => title.to_owned(),
        }
    }

    fn only(&self, facts: Facts, only: &Only) -> Facts {
        let title =
            |id: &VariantId| self.sheet.variants.get(id).map_or(id.to_string(), |of| of.title.clone());
        facts
            .list("only", only.variants.iter().map(title))
            .may("model-years", only.model_years.as_ref().map(years))
    }
}

/// A reference by title, with its id.
macro_rules! named {
    ($($name:ident: $field:ident, $id:ty;)*) => {
        impl Words<'_> {$(
            fn $name(&self, id: &$id) -> String {
                match self.names.$field.get(id).or(self.sheet.$field.get(id)) {
                    Some(of) => format!("{} (`{id}`)", of.title),
                    None => format!("`{id}`"),
                }
            }
        )*}
    };
}

named! {
    named_component: components, ComponentId;
    named_check: checks, CheckId;
    named_instrument: instruments, InstrumentId;
    named_fluid: fluids, FluidId;
    named_fastener: fasteners, FastenerId;
    named_part: parts, PartId;
    named_access: access, AccessId;
    named_operation: operations, OperationId;
    named_obligation: obligations, ObligationId;
    named_consequence: consequences, ConsequenceId;
    named_question: questions, QuestionId;
}
