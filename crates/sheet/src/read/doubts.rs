//! What does not come together, although each part of the sheet can be read: told when a sheet is checked.
//!
//! A thing that could not be read has its problem already; nothing is held against another for its sake.

use super::{Reader, sections::Sections};
use crate::{SheetFault, diagnostic::Span, ids::*, model::*};

pub(super) fn doubts(sheet: &Sheet, sections: &Sections<'_>, reader: &Reader) {
    let look = Look { sheet, sections, reader, variants: sheet.variants.keys().collect() };
    look.variants();
    look.checks();
    look.operations();
    look.lives();
    look.states();
}

struct Look<'a, 's> {
    sheet: &'a Sheet,
    sections: &'a Sections<'s>,
    reader: &'a Reader,
    variants: Vec<&'a VariantId>,
}

impl Look<'_, '_> {
    /// Whether a component is on a car; `None` stands for a sheet without variants.
    fn has(&self, component: &ComponentId, variant: Option<&VariantId>) -> bool {
        self.sheet.components.get(component).is_none_or(|component| component.only.includes(variant))
    }

    fn makes(&self, check: &Check, variant: Option<&VariantId>) -> bool {
        check.only.includes(variant) && self.has(&check.component, variant)
    }

    /// The variants for which something holds; of a sheet without variants, the one car there is.
    fn cars(&self, holds: impl Fn(Option<&VariantId>) -> bool) -> Vec<Option<&VariantId>> {
        let all: Vec<Option<&VariantId>> = match &self.variants[..] {
            [] => vec![None],
            variants => variants.iter().copied().map(Some).collect(),
        };
        all.into_iter().filter(|variant| holds(*variant)).collect()
    }

    fn variants(&self) {
        if self.sheet.checks.len() < self.sections.checks.len() {
            return;
        }
        for variant in &self.variants {
            let any = self.sheet.checks.values().any(|check| self.makes(check, Some(variant)));
            if let (false, Some(at)) = (any, self.sections.variants.span(variant.as_str())) {
                self.reader.fault(SheetFault::NothingToCheck { variant: (*variant).clone() }, at);
            }
        }
    }

    fn checks(&self) {
        for (id, check) in &self.sheet.checks {
            let Some(at) = self.sections.checks.span(id.as_str()) else { continue };
            let cars = self.cars(|variant| self.makes(check, variant));
            if cars.is_empty() {
                self.apart(format!("check `{id}`"), &check.component, at);
                continue;
            }
            for (input, taken) in self.inputs(check) {
                let missing = cars.iter().flatten().find(|car| !self.makes(taken, Some(car)));
                self.elsewhere(format!("check `{id}`"), format!("check `{input}`"), missing, &at);
            }
            self.reach(&format!("check `{id}`"), &check.needs, &cars, &at);
            self.answered(id, check, &cars);
        }
    }

    fn inputs<'c>(&'c self, check: &'c Check) -> Vec<(&'c CheckId, &'c Check)> {
        let CheckKind::Derived(derived) = &check.kind else { return vec![] };
        let inputs = derived.inputs.values().filter_map(|input| match input {
            Input::Check { check, .. } => self.sheet.checks.get_key_value(check),
            Input::Value(_) | Input::Word(_) => None,
        });
        inputs.collect()
    }

    /// What a check can ask for, some operation can do.
    fn answered(&self, id: &CheckId, check: &Check, cars: &[Option<&VariantId>]) {
        let of = check.component.as_str();
        if !asks_for_work(check) {
            return;
        }
        // An operation that could not be read may be the one.
        let may_be_unread = self.sections.operations.ids().any(|operation| {
            let told = || self.sections.operations.value(operation.as_str())?.peek("component");
            !self.sheet.operations.contains_key(operation) && told().is_none_or(|component| component == of)
        });
        let done = |variant: Option<&VariantId>| {
            let mut operations = self.sheet.operations.values();
            operations.any(|work| work.component == check.component && work.only.includes(variant))
        };
        let without: Vec<_> = cars.iter().copied().filter(|car| !done(*car)).collect();
        if let (false, Some(first), Some(at)) =
            (may_be_unread, without.first(), self.sections.checks.span(id.as_str()))
        {
            let variant = if without.len() < cars.len() { first.cloned() } else { None };
            let component = check.component.clone();
            self.reader.fault(SheetFault::NoOperation { check: id.clone(), component, variant }, at);
        }
    }

    fn operations(&self) {
        for (id, work) in &self.sheet.operations {
            let Some(at) = self.sections.operations.span(id.as_str()) else { continue };
            let cars = self.cars(|variant| work.only.includes(variant) && self.has(&work.component, variant));
            if cars.is_empty() {
                self.apart(format!("operation `{id}`"), &work.component, at);
                continue;
            }
            let of = format!("operation `{id}`");
            let not_for = |only: &Only| cars.iter().flatten().find(|car| !only.includes(Some(car)));
            for needed in &work.fluids {
                let missing = self.sheet.fluids.get(&needed.fluid).and_then(|fluid| not_for(&fluid.only));
                self.elsewhere(of.clone(), format!("fluid `{}`", needed.fluid), missing, &at);
            }
            for needed in &work.parts {
                let missing = self.sheet.parts.get(&needed.part).and_then(|part| not_for(&part.only));
                self.elsewhere(of.clone(), format!("part `{}`", needed.part), missing, &at);
            }
            self.reach(&of, &work.needs, &cars, &at);
        }
    }

    /// Every step on the way is there on every car.
    fn reach(&self, of: &str, needs: &[AccessId], cars: &[Option<&VariantId>], at: &Span) {
        for step in self.sheet.access_closure(needs) {
            let only = self.sheet.access.get(step).map(|step| &step.only);
            let missing =
                cars.iter().flatten().find(|car| only.is_some_and(|only| !only.includes(Some(car))));
            self.elsewhere(of.to_owned(), format!("access step `{step}`"), missing, at);
        }
    }

    fn apart(&self, what: String, component: &ComponentId, at: Span) {
        let of = format!("component `{component}`");
        if let Some(there) = self.sections.components.span(component.as_str()) {
            self.reader.fault_between(SheetFault::Apart { what, of }, at, there);
        }
    }

    fn elsewhere(&self, of: String, needs: String, variant: Option<&&VariantId>, at: &Span) {
        if let Some(variant) = variant {
            let variant = (*variant).clone();
            self.reader.fault(SheetFault::Elsewhere { of, needs, variant }, at.clone());
        }
    }

    fn lives(&self) {
        for (id, check) in &self.sheet.checks {
            let CheckKind::Interval(interval) = &check.kind else { continue };
            let component = &check.component;
            let Some(life) = self.sheet.components.get(component).and_then(|of| of.life.as_ref()) else {
                continue;
            };
            let (due, unit) = match life.median_in {
                Along::Km => (interval.km, "km"),
                Along::Years => (interval.years, "years"),
            };
            let span = |value: Option<super::Value<'_>>, key| value?.key_span(key);
            let at = span(self.sections.checks.value(id.as_str()), "interval");
            let there = span(self.sections.components.value(component.as_str()), "life");
            if let (Some(due), Some(at), Some(there)) = (due.filter(|due| life.median < *due), at, there) {
                let (life, interval) = (format!("{} {unit}", life.median), format!("{due} {unit}"));
                let component = component.clone();
                let fault = SheetFault::LifeBelowInterval { component, life, interval };
                self.reader.fault_between(fault, at, there);
            }
        }
    }

    /// The states of an observation get worse, never better.
    fn states(&self) {
        for (id, check) in &self.sheet.checks {
            let better = |pair: &[State]| matches!(pair, [before, after] if after.means < before.means);
            let Some(before) = check.states().windows(2).position(better) else { continue };
            let after = check.states().get(before + 1);
            let state = |n| self.sections.checks.value(id.as_str())?.element("states", n);
            if let (Some(after), Some(first), Some(second)) = (after, state(before), state(before + 1)) {
                second.fault_between(SheetFault::StatesOutOfOrder { state: after.id.clone() }, first.span());
            }
        }
    }
}

/// Whether a check can find something that is then to be done.
fn asks_for_work(check: &Check) -> bool {
    let past = |scale: &Scale| scale.limit.is_some() || !scale.differs.is_empty() || scale.trend.is_some();
    match &check.kind {
        CheckKind::Interval(_) => true,
        CheckKind::Observation(states) => states.iter().any(|state| state.means >= Verdict::Plan),
        CheckKind::Reading(Reading { scale, .. }) | CheckKind::Derived(Derived { scale, .. }) => past(scale),
    }
}
