//! What a marking that was read on a part tells: which part it is, whether it is made for where it sits, and what has
//! replaced it.

use crate::assessment::Reason;
use sheet::{CheckId, Component, ComponentId, Marked, Misfit, Part, PartId, Place, Sheet, VariantId};

/// Parts that are named where several would fit. More nobody reads.
const NAMED: usize = 4;
/// No data sheet has a check of such an id.
const PREFIX: &str = "marking:";

/// The id under which the marking on a component's part is judged, beside its checks.
pub fn marking_of(component: &ComponentId) -> CheckId {
    format!("{PREFIX}{component}").into()
}

/// The component whose marking is judged under an id; `None` for a check of the data sheet.
pub fn marked_component(check: &CheckId) -> Option<ComponentId> {
    check.as_str().strip_prefix(PREFIX).map(Into::into)
}

/// Where a part was seen.
#[derive(Debug, Clone, Copy)]
pub struct Seat<'a> {
    pub sheet: &'a Sheet,
    pub variant: Option<&'a VariantId>,
    pub id: &'a ComponentId,
    pub component: &'a Component,
    pub place: &'a Place,
}

/// A part that was seen: what its marking tells.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenPart<'a> {
    /// What the data sheet or a person says it is.
    pub marked: Marked<'a>,
    /// Why it is not made for where it sits.
    pub misfit: Option<Misfit<'a>>,
    /// The number that has replaced it.
    pub newest: Option<&'a PartId>,
    /// The grounds, the marking first.
    pub reasons: Vec<Reason>,
}

impl<'a> Seat<'a> {
    /// What a marking tells. `part` is what a person says it is.
    pub fn seen(&self, reads: &str, part: Option<&PartId>) -> SeenPart<'a> {
        let by_person =
            part.and_then(|part| self.sheet.parts.get_key_value(part)).map(|(id, _)| Marked::One(id));
        let marked = by_person.unwrap_or_else(|| self.sheet.marked(reads, Some(self.id)));
        let mut seen = SeenPart { marked, misfit: None, newest: None, reasons: vec![] };
        let quoted = format!("It reads “{}”", reads.trim());
        match &seen.marked {
            Marked::One(id) => {
                let id = *id;
                let says = format!("{quoted}: {}.", self.named(id));
                self.known(id, says, &mut seen);
            }
            Marked::Several(parts) => {
                let parts: Vec<String> = parts.iter().map(|part| self.named_with_marks(part)).collect();
                let says = format!(
                    "{quoted}, which is on {}: more of what it reads tells which.",
                    listed(&parts, "and")
                );
                seen.reasons.push(Reason::new(says));
            }
            Marked::Perhaps(part, mark) => {
                let says = format!(
                    "{quoted}, which is on no part of the data sheet; the nearest is “{mark}”, on {}.",
                    self.named(part)
                );
                seen.reasons.push(Reason::new(says));
            }
            Marked::Unknown => {
                seen.reasons.push(Reason::new(format!("{quoted}, which is on no part of the data sheet.")));
            }
        }
        seen
    }

    /// What the record says is fitted here.
    pub fn fitted(&self, part: &PartId) -> Option<SeenPart<'a>> {
        let (id, _) = self.sheet.parts.get_key_value(part)?;
        let mut seen = SeenPart { marked: Marked::One(id), misfit: None, newest: None, reasons: vec![] };
        self.known(id, format!("Fitted: {}.", self.named(id)), &mut seen);
        Some(seen)
    }

    fn known(&self, id: &'a PartId, says: String, seen: &mut SeenPart<'a>) {
        let Some(part) = self.sheet.parts.get(id) else { return };
        seen.reasons.push(Reason::new(says).from_source(part.source.clone()));
        seen.misfit = self.sheet.fits(part, self.id, self.place, self.variant).err();
        match &seen.misfit {
            Some(misfit) => {
                seen.reasons.push(Reason::new(self.misfit_words(misfit)).from_source(part.source.clone()));
                seen.reasons.extend(self.belongs_here());
            }
            None => {
                let newer = self.replaced_by(id);
                seen.newest = newer.last().map(|(id, _)| *id);
                seen.reasons.extend(newer.into_iter().map(|(id, newer)| self.replaces_words(id, newer)));
                seen.reasons.extend(part.alternatives.iter().map(|other| {
                    Reason::new(format!(
                        "May be fitted instead: {}. {}.",
                        self.named(&other.part),
                        dotless(&other.says)
                    ))
                    .from_source(part.source.clone())
                }));
            }
        }
    }

    /// "It is made for rear left and rear right, not for front left."
    pub fn misfit_words(&self, misfit: &Misfit<'_>) -> String {
        let here = match self.sheet.place_title(self.place) {
            "" => self.component.title.clone(),
            place => place.to_owned(),
        };
        match misfit {
            Misfit::Component(own) => {
                let own = self.sheet.components.get(*own).map_or(own.as_str(), |known| &known.title);
                format!("It is a part of another thing, {own}, not of {}.", self.component.title)
            }
            Misfit::Places(places) => {
                let places: Vec<String> =
                    places.iter().map(|place| self.sheet.place_title(place).to_owned()).collect();
                format!("It is made for {}, not for {here}.", listed(&places, "and"))
            }
            Misfit::Variants(variants) => {
                let title = |id: &VariantId| {
                    self.sheet
                        .variants
                        .get(id)
                        .map_or_else(|| id.to_string(), |variant| variant.title.clone())
                };
                let made_for: Vec<String> = variants.iter().map(title).collect();
                let this = self.variant.map(|id| format!(", {}", title(id))).unwrap_or_default();
                format!("It is made for {}, not for this one{this}.", listed(&made_for, "and"))
            }
        }
    }

    /// What is made for this place, in its newest form.
    fn belongs_here(&self) -> Option<Reason> {
        let fits = |part: &Part| {
            part.component.as_ref() == Some(self.id)
                && self.sheet.fits(part, self.id, self.place, self.variant).is_ok()
        };
        let parts: Vec<String> = self
            .sheet
            .parts
            .iter()
            .filter(|(id, part)| fits(part) && self.sheet.successor(id) == *id)
            .take(NAMED)
            .map(|(id, _)| self.named_with_marks(id))
            .collect();
        (!parts.is_empty()).then(|| Reason::new(format!("Made for this place: {}.", listed(&parts, "or"))))
    }

    /// The numbers that have replaced a part, one after the other.
    fn replaced_by(&self, part: &PartId) -> Vec<(&'a PartId, &'a Part)> {
        let mut chain: Vec<(&PartId, &Part)> = Vec::new();
        let mut old = part;
        while let Some((id, newer)) =
            self.sheet.parts.iter().find(|(_, newer)| newer.replaces.as_ref() == Some(old))
        {
            if chain.len() >= self.sheet.parts.len() {
                break;
            }
            chain.push((id, newer));
            old = id;
        }
        chain
    }

    fn replaces_words(&self, id: &PartId, newer: &Part) -> Reason {
        let old = newer.replaces.as_ref().map_or("", |old| old.as_str());
        let changed =
            newer.changed.as_ref().map(|changed| format!(" {}.", dotless(changed))).unwrap_or_default();
        let with: Vec<String> = newer.together.iter().map(|part| self.named(part)).collect();
        let with =
            if with.is_empty() { String::new() } else { format!(" With it goes {}.", listed(&with, "and")) };
        Reason::new(format!("{id} has replaced {old}.{changed}{with}")).from_source(newer.source.clone())
    }

    /// "QL-6301, Road spring, front".
    fn named(&self, id: &PartId) -> String {
        self.sheet.parts.get(id).map_or_else(|| id.to_string(), |part| format!("{id}, {}", part.title))
    }

    /// "QL-6301 (K1, one white dot)".
    fn named_with_marks(&self, id: &PartId) -> String {
        match self.sheet.parts.get(id).map(|part| part.marks.join(", ")) {
            Some(marks) if !marks.is_empty() => format!("{id} ({marks})"),
            _ => id.to_string(),
        }
    }
}

/// "a, b and c".
fn listed(names: &[String], and: &str) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} {and} {last}", first.join(", ")),
    }
}

fn dotless(text: &str) -> &str {
    text.trim_end_matches('.')
}
