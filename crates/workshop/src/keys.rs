//! Keys back: what the work of a visit obliges to, and whether the car may leave.

use crate::assessment::{Assessment, Judged};
use crate::car::{Car, Dealt, Visit, WorkDone};
use jiff::civil::Date;
use journal::When;
use sheet::{AccessId, Obligation, ObligationId, Sheet, Verdict};

/// One obligation of a visit and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Obliged<'a> {
    pub id: &'a ObligationId,
    pub obligation: &'a Obligation,
    /// The work that raised it, by title.
    pub raised_by: Vec<&'a str>,
    /// Who dealt with it and how; `None` while open.
    pub dealt: Option<(String, Dealt)>,
}

/// Why the keys cannot go back.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Held {
    #[error("`{title}` is neither met nor waived")]
    Open { obligation: ObligationId, title: String },
    #[error("`{title}` guards the {guards} and cannot be waived")]
    NeverWaived { obligation: ObligationId, title: String, guards: &'static str },
    #[error("`{title}` wants a value {wanted}, and has {found}")]
    Value { obligation: ObligationId, title: String, wanted: String, found: String },
    #[error("{title} is judged `{verdict}`, was not put right, and the owner's answer is not recorded")]
    Unanswered { title: String, verdict: &'static str },
}

impl Held {
    /// What to do about it.
    pub fn way_out(&self) -> &'static str {
        match self {
            Self::Open { .. } => "meet it, or waive it with a reason",
            Self::NeverWaived { .. } => "it has to be met before the car leaves",
            Self::Value { .. } => "measure again, put it right, and write the new value",
            Self::Unanswered { .. } => "put it right, or record the owner's answer to the work that would",
        }
    }
}

/// The obligations of a visit, in the order in which the work raised them; those due only after leaving left out.
pub fn obligations<'a>(sheet: &'a Sheet, visit: &Visit) -> Vec<Obliged<'a>> {
    raised(sheet, visit)
        .into_iter()
        .filter(|(_, obligation, _)| obligation.after.is_none())
        .map(|(id, obligation, raised_by)| {
            let dealt = visit.obligations.iter().rev().find(|dealt| dealt.obligation == *id);
            let dealt = dealt.map(|dealt| (dealt.by.clone(), dealt.how.clone()));
            Obliged { id, obligation, raised_by, dealt }
        })
        .collect()
}

/// A promise that the work of a visit makes, due after leaving: it becomes a key tag.
#[derive(Debug, Clone, PartialEq)]
pub struct Promise<'a> {
    pub id: &'a ObligationId,
    pub what: &'a str,
    pub why: String,
    pub when: When,
}

/// The promises of a visit.
pub fn promises<'a>(sheet: &'a Sheet, visit: &Visit) -> Vec<Promise<'a>> {
    raised(sheet, visit)
        .into_iter()
        .filter_map(|(id, obligation, raised_by)| {
            let after = obligation.after.as_ref()?;
            let when =
                When { km: after.km, years: after.years, event: after.event.clone(), ..When::default() };
            Some(Promise {
                id,
                what: &obligation.title,
                why: format!("After: {}.", raised_by.join(", ")),
                when,
            })
        })
        .collect()
}

/// Every obligation that the work of a visit raises, with the work.
fn raised<'a>(sheet: &'a Sheet, visit: &Visit) -> Vec<(&'a ObligationId, &'a Obligation, Vec<&'a str>)> {
    let mut raised: Vec<(&ObligationId, &Obligation, Vec<&str>)> = Vec::new();
    let mut raise = |id: &ObligationId, by: &'a str| {
        let Some((_, id, obligation)) = sheet.obligations.get_full(id) else { return };
        match raised.iter_mut().find(|(known, ..)| *known == id) {
            Some((_, _, titles)) if titles.contains(&by) => {}
            Some((_, _, titles)) => titles.push(by),
            None => raised.push((id, obligation, vec![by])),
        }
    };
    for work in &visit.work {
        let WorkDone::Operation { operation, .. } = &work.what else { continue };
        let Some(operation) = sheet.operations.get(operation) else { continue };
        for step in sheet.access_closure(&operation.needs) {
            for id in obliged_by(sheet, step) {
                raise(id, &operation.title);
            }
        }
        for id in &operation.obliges {
            raise(id, &operation.title);
        }
    }
    raised
}

fn obliged_by<'a>(sheet: &'a Sheet, step: &AccessId) -> &'a [ObligationId] {
    sheet.access.get(step).map_or(&[], |step| &step.obliges)
}

/// Everything that holds the keys back; empty when the car may leave.
pub fn held(sheet: &Sheet, car: &Car, visit: &Visit, assessment: &Assessment) -> Vec<Held> {
    let mut held: Vec<Held> = obligations(sheet, visit).iter().filter_map(held_by).collect();
    held.extend(assessment.findings.iter().filter_map(|judged| unanswered(sheet, car, visit, judged)));
    held
}

fn held_by(obliged: &Obliged<'_>) -> Option<Held> {
    let (obligation, title) = (obliged.id.clone(), obliged.obligation.title.clone());
    match (&obliged.dealt, obliged.obligation.guards) {
        (None, _) => Some(Held::Open { obligation, title }),
        (Some((_, Dealt::Waived { .. })), Some(guards)) => {
            Some(Held::NeverWaived { obligation, title, guards: guards.id() })
        }
        (Some((_, Dealt::Waived { .. })), None) => None,
        (Some((_, Dealt::Met { value, .. })), _) => {
            let wanted = obliged.obligation.value.as_ref()?;
            let number = value.as_ref().and_then(|value| value.value_in(wanted.unit).ok());
            let good = number.is_some_and(|number| {
                wanted.min.is_none_or(|min| number >= min) && wanted.max.is_none_or(|max| number <= max)
            });
            let found = value.as_ref().map_or("none".into(), ToString::to_string);
            (!good).then(|| Held::Value { obligation, title, wanted: wanted_words(wanted), found })
        }
    }
}

/// "from 103 N·m to 113 N·m".
pub fn wanted_words(wanted: &sheet::ObligedValue) -> String {
    let unit = wanted.unit;
    match (wanted.min, wanted.max) {
        (Some(min), Some(max)) => format!("from {min} to {max} {unit}"),
        (Some(min), None) => format!("of at least {min} {unit}"),
        (None, Some(max)) => format!("of at most {max} {unit}"),
        (None, None) => format!("in {unit}"),
    }
}

/// A finding that should not leave so needs the owner's recorded answer to the work that would put it right.
fn unanswered(sheet: &Sheet, car: &Car, visit: &Visit, judged: &Judged) -> Option<Held> {
    let grave = matches!(judged.verdict, Verdict::BeforeLeaving | Verdict::StaysPut);
    if !grave || judged.put_right.is_some() || judged.overruled.is_some() {
        return None;
    }
    let variant = car.variant.as_ref();
    let answered = sheet.operations.iter().any(|(id, operation)| {
        operation.component == judged.component
            && operation.only.includes(variant)
            && visit.answer(id).is_some()
    });
    let component = sheet.components.get(&judged.component)?;
    let place = sheet.place_title(&judged.place);
    let title = match place {
        "" => component.title.clone(),
        place => format!("{}, {place}", component.title),
    };
    (!answered).then_some(Held::Unanswered { title, verdict: judged.verdict.title() })
}

/// Whether a key tag is due on a day at an odometer reading, the car being in for `visit`.
pub fn tag_is_due(tag: &crate::car::Tag, visit: Option<&Visit>, today: Date, km: f64) -> bool {
    let later_visit = visit.is_some_and(|visit| visit.id != tag.visit && visit.date >= tag.tied);
    falls_due(&tag.when, later_visit, tag.tied, tag.tied_km, today, km)
}

/// Whether what was said on a visit is due on a day at an odometer reading, the car being in for `now`.
pub(crate) fn is_due(when: &When, said_on: &Visit, now: Option<&Visit>, today: Date, km: f64) -> bool {
    let later_visit = now.is_some_and(|now| now.id != said_on.id && now.date >= said_on.date);
    falls_due(when, later_visit, said_on.date, crate::car::km(&said_on.odometer), today, km)
}

fn falls_due(when: &When, later_visit: bool, said: Date, said_km: f64, today: Date, km: f64) -> bool {
    let When { next_visit, date, km: distance, years, event: _ } = when;
    (*next_visit && later_visit)
        || date.is_some_and(|date| date <= today)
        || distance.is_some_and(|distance| km - said_km >= distance)
        || years.is_some_and(|years| crate::days::years_between(said, today) >= years - A_WEEK)
}

/// A promise for "in a year" is due when the car comes a few days early.
const A_WEEK: f64 = 7.0 / 365.25;
