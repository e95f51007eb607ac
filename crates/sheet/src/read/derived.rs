//! A formula of the bench with its inputs: `derived` of a check, or what an explanation lets one read.

use super::{Reader, Table, Value, check::Components, sections::Sections};
use crate::{SheetFault, diagnostic::Span, ids::*, model::*, table::nearest};
use bench::{Formula, Need, Shape};
use indexmap::IndexMap;
use quantity::Unit;

/// An input taken from another check, to be settled when all checks are read.
pub(super) struct Link {
    /// For which check the formula is.
    of: CheckId,
    /// At which of its places; without it, at all of them.
    of_place: Option<Place>,
    formula: &'static str,
    input: &'static bench::Input,
    check: CheckId,
    place: Option<Place>,
    at: Span,
}

/// For which check a formula is, and at which of its places.
pub(super) struct For {
    pub check: CheckId,
    pub place: Option<Place>,
    /// Whether the check is made of what the formula takes, so that none of it may be made of the check in turn.
    pub is_made: bool,
}

/// A formula, which of its results is meant, and what it takes.
pub(super) struct Call {
    pub formula: String,
    pub gives: String,
    pub inputs: IndexMap<String, Input>,
}

/// The scale is read beside it, and put in later.
pub(super) fn derived(value: Value<'_>, sections: &Sections<'_>, links: &mut Vec<Link>) -> Option<Derived> {
    value.table(|t| {
        let unit = t.need("unit", Value::unit);
        let of = For { check: value.name().id().into(), place: None, is_made: true };
        let Call { formula, gives, inputs } = call(t, unit, of, sections, links)?;
        Some(Derived { formula, gives, unit: unit?, inputs, scale: Scale::default() })
    })
}

/// `formula`, `gives` and `inputs`; the result is to be in `unit`.
pub(super) fn call(
    t: &Table<'_>,
    unit: Option<Unit>,
    of: For,
    sections: &Sections<'_>,
    links: &mut Vec<Link>,
) -> Option<Call> {
    let formula = t.need("formula", formula);
    let gives = output(t, formula, unit);
    let inputs = t.need("inputs", |v| inputs(v, formula, &of, sections, links));
    Some(Call { formula: formula?.id.to_owned(), gives: gives?, inputs: inputs? })
}

fn formula(value: Value<'_>) -> Option<&'static Formula> {
    let id = value.str()?;
    bench::formula(id).ok().or_else(|| {
        let nearest = nearest(id, bench::formulas().iter().map(|formula| formula.id));
        value.fault(SheetFault::NoFormula { id: crate::table::shortened(id), nearest });
        None
    })
}

/// Which of the formula's results is in this unit; `gives` says it when there are several.
fn output(t: &Table<'_>, formula: Option<&'static Formula>, unit: Option<Unit>) -> Option<String> {
    let named = t.get("gives");
    let (formula, unit) = (formula?, unit?);
    let in_unit =
        |output: &&bench::Output| !output.list && output.unit.is_some_and(|u| u.kind() == unit.kind());
    let fitting: Vec<&'static str> = formula.outputs.iter().filter(in_unit).map(|output| output.id).collect();
    match (named, &fitting[..]) {
        (_, []) => {
            let in_units = |o: &bench::Output| o.unit.map(|unit| format!("`{}` in {unit}", o.id));
            let gives = formula.outputs.iter().filter(|output| !output.list).filter_map(in_units).collect();
            t.get("unit").or_else(|| t.get("formula"))?.fault(SheetFault::NoOutput {
                formula: formula.id,
                unit,
                gives,
            });
            None
        }
        (Some(named), _) => named.word(&same(&fitting)).map(str::to_owned),
        (None, [only]) => Some((*only).to_owned()),
        (None, _) => {
            t.get("formula")?.fault(SheetFault::ManyOutputs { formula: formula.id, unit, gives: fitting });
            None
        }
    }
}

fn inputs(
    value: Value<'_>,
    formula: Option<&'static Formula>,
    of: &For,
    sections: &Sections<'_>,
    links: &mut Vec<Link>,
) -> Option<IndexMap<String, Input>> {
    value.table(|t| {
        let mut inputs = IndexMap::new();
        for (key, at, value) in t.entries() {
            let wanted = formula.and_then(|formula| formula.inputs.iter().find(|input| input.key == key));
            if let (Some(formula), None) = (formula, wanted) {
                let known: Vec<_> = formula.inputs.iter().map(|input| input.key).collect();
                let nearest = nearest(key, known.iter().copied());
                let fault =
                    SheetFault::NoInput { formula: formula.id, input: key.to_owned(), nearest, known };
                t.reader().fault(fault, at);
                continue;
            }
            if let Some(listed) = wanted.filter(|wanted| wanted.list()) {
                t.reader().fault(SheetFault::InputList { input: listed.key }, at);
                continue;
            }
            let input = input(value, formula.zip(wanted), sections, |check, place| {
                if of.is_made {
                    sections.made_from.link(of.check.as_str(), check.as_str(), value.span());
                }
                if let (Some(formula), Some(input)) = (formula, wanted) {
                    let (of_place, of, at) = (of.place.clone(), of.check.clone(), value.span());
                    links.push(Link {
                        of,
                        of_place,
                        formula: formula.id,
                        input,
                        check: check.clone(),
                        place: place.cloned(),
                        at,
                    });
                }
            });
            inputs.extend(input.map(|input| (key.to_owned(), input)));
        }
        for needed in formula.iter().flat_map(|formula| &formula.inputs) {
            let given = t.entries().any(|(key, ..)| key == needed.key);
            if let (Need::Required, false, Some(formula)) = (needed.need, given, formula) {
                let example = needed.example();
                t.fault(SheetFault::InputMissing { formula: formula.id, input: needed.key, example });
            }
        }
        Some(inputs)
    })
}

/// `{ value = … }` or `{ check = …, place = … }`.
fn input(
    value: Value<'_>,
    wanted: Option<(&'static Formula, &'static bench::Input)>,
    sections: &Sections<'_>,
    mut link: impl FnMut(&CheckId, Option<&Place>),
) -> Option<Input> {
    value.table(|t| {
        let constant = t.may("value", |v| constant(v, wanted));
        let check = t.may("check", |v| sections.checks.find(v));
        let place = t.may("place", Value::text).map(Place::from);
        match (t.get("value"), t.get("check")) {
            (None, None) => {
                t.fault(SheetFault::Neither { of: t.name().to_string(), keys: &["value", "check"] });
                None
            }
            (Some(_), Some(second)) => {
                second.fault(SheetFault::Both { of: t.name().to_string(), first: "value", second: "check" });
                None
            }
            (Some(_), None) => {
                if let (Some(_), Some(at)) = (t.get("place"), t.key_span("place")) {
                    t.reader().fault(SheetFault::NotWith { key: "place", with: "`value`".into() }, at);
                }
                constant
            }
            (None, Some(_)) => {
                let check = check?;
                link(&check, place.as_ref());
                Some(Input::Check { check, place })
            }
        }
    })
}

fn constant(value: Value<'_>, wanted: Option<(&'static Formula, &'static bench::Input)>) -> Option<Input> {
    let Some((formula, input)) = wanted else {
        return value.text().map(Input::Word); // of a formula that is not known
    };
    let scale = match &input.shape {
        Shape::Number(scale) | Shape::Numbers { scale, .. } => scale,
        Shape::Choice { choices, .. } => {
            return value.word(&same(choices)).map(|word| Input::Word(word.to_owned()));
        }
        Shape::Text { .. } | Shape::Texts { .. } => return value.text().map(Input::Word),
    };
    let quantity = value.quantity_like(scale.unit)?;
    let found = quantity.unit();
    let Ok(quantity) = quantity.expect(scale.kind()) else {
        let (formula, input) = (formula.id, input.key);
        value.fault(SheetFault::InputKind { formula, input, found, wanted: scale.unit });
        return None;
    };
    if quantity.value_in(scale.unit).is_ok_and(|number| !(scale.low..=scale.high).contains(&number)) {
        let (formula, input, range) = (formula.id, input.key, scale.range());
        value.fault(SheetFault::InputRange { formula, input, found: quantity.to_string(), range });
        return None;
    }
    Some(Input::Value(quantity))
}

/// Words that stand for themselves.
fn same(words: &[&'static str]) -> Vec<(&'static str, &'static str)> {
    words.iter().map(|word| (*word, *word)).collect()
}

/// Whether each check that is taken as an input gives the right kind of number at the right place.
pub(super) fn settle(
    links: Vec<Link>,
    checks: &IndexMap<CheckId, Check>,
    components: &Components,
    reader: &Reader,
) {
    let places_of = |check: &Check| components.get(&check.component).map(|component| &component.places);
    for Link { of, of_place, formula, input, check, place, at } in links {
        let (Some(owner), Some(taken)) = (checks.get(&of), checks.get(&check)) else { continue };
        let found = match &taken.kind {
            CheckKind::Reading(reading) => reading.unit,
            CheckKind::Derived(derived) => derived.unit,
            CheckKind::Observation(_) | CheckKind::Interval(_) => {
                reader.fault(SheetFault::InputNotNumber { check }, at);
                continue;
            }
        };
        match input.scale() {
            None => {
                let fault = SheetFault::InputWords {
                    input: input.key,
                    check: check.clone(),
                    example: input.example(),
                };
                reader.fault(fault, at.clone());
            }
            Some(scale) if scale.kind() != found.kind() => {
                let fault = SheetFault::InputKind { formula, input: input.key, found, wanted: scale.unit };
                reader.fault(fault, at.clone());
            }
            Some(_) => {}
        }
        let (Some(own), Some(its)) = (places_of(owner), places_of(taken)) else { continue };
        match place {
            Some(place) if !its.contains(&place) => {
                let nearest = nearest(place.as_str(), its.iter().map(Place::as_str)).map(str::to_owned);
                let (place, component, places) = (place.to_string(), taken.component.clone(), its.clone());
                reader.fault(SheetFault::NotAPlace { place, component, nearest, places }, at);
            }
            None => {
                let meant = |place: &&Place| of_place.as_ref().is_none_or(|only| only == *place);
                if let Some(place) = own.iter().filter(meant).find(|place| !its.contains(place)) {
                    reader.fault(
                        SheetFault::InputPlace { check, place: place.clone(), places: its.clone() },
                        at,
                    );
                }
            }
            Some(_) => {}
        }
    }
}
