//! From what a person typed into a form to what is written down, with everything that is wrong told at once.

use crate::car::{Car, Visit};
use crate::marking::Seat;
use crate::odometer::Odometer;
use crate::{keys, slip};
use jiff::civil::Date;
use journal::{Answer, Known, Seen, When};
use quantity::{Quantity, Unit};
use sheet::{
    Check, CheckId, CheckKind, ComponentId, Marked, Obligation, ObligationId, OperationId, Place, Reading,
    Sheet, Verdict,
};

/// Something wrong with one field of a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormProblem {
    /// The field's name in the form.
    pub field: &'static str,
    /// What is wrong and what would be right.
    pub says: String,
}

/// The field of a problem that is only a question: the value may be written if a person says that it was read so.
pub const SLIP: &str = "slip";

/// The field of a problem that asks which part it is.
pub const PART: &str = "part";

/// What a form became, or everything wrong with it.
pub type FromForm<T> = Result<T, Vec<FormProblem>>;

fn problem(field: &'static str, says: impl Into<String>) -> FormProblem {
    FormProblem { field, says: says.into() }
}

/// Text that was typed; `None` when blank.
pub fn typed(text: &str) -> Option<String> {
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

/// Where a finding is written down.
#[derive(Debug, Clone, Copy)]
pub struct AtCheck<'a> {
    pub visit: &'a Visit,
    pub id: &'a CheckId,
    pub check: &'a Check,
    pub place: &'a Place,
}

impl AtCheck<'_> {
    fn visit(&self) -> String {
        self.visit.id.clone()
    }

    /// A reading: one value or more, with or without their unit.
    ///
    /// # Errors
    /// What is wrong with the fields `value`, `seen`; [`SLIP`] for a value to ask about, unless it was `as_read`.
    pub fn reading(
        &self,
        values: &[String],
        as_read: bool,
        instrument: &str,
        seen: &str,
        note: &str,
    ) -> FromForm<Known> {
        let CheckKind::Reading(reading) = &self.check.kind else {
            return Err(vec![problem("value", "This check is not a reading.")]);
        };
        let mut problems = Vec::new();
        let values = read_values(reading, values, as_read).unwrap_or_else(|found| {
            problems.extend(found);
            vec![]
        });
        let seen = read_seen(seen).unwrap_or_else(|found| {
            problems.push(found);
            Seen::Clear
        });
        if !problems.is_empty() {
            return Err(problems);
        }
        Ok(Known::Reading {
            visit: self.visit(),
            check: self.id.to_string(),
            place: self.place.to_string(),
            values,
            instrument: typed(instrument),
            seen,
            note: typed(note),
        })
    }

    /// An observation.
    ///
    /// # Errors
    /// What is wrong with the fields `state`, `seen`.
    pub fn look(&self, state: &str, seen: &str, note: &str) -> FromForm<Known> {
        let CheckKind::Observation(states) = &self.check.kind else {
            return Err(vec![problem("state", "This check is not an observation.")]);
        };
        let mut problems = Vec::new();
        let state = states.iter().find(|known| known.id.as_str() == state.trim());
        if state.is_none() {
            problems.push(problem("state", "Choose what you see."));
        }
        let seen = read_seen(seen).map_err(|found| problems.push(found)).ok();
        match (state, seen) {
            (Some(state), Some(seen)) => Ok(Known::Look {
                visit: self.visit(),
                check: self.id.to_string(),
                place: self.place.to_string(),
                state: state.id.to_string(),
                seen,
                note: typed(note),
            }),
            _ => Err(problems),
        }
    }

    /// A check that could not be made.
    ///
    /// # Errors
    /// What is wrong with the field `reason`.
    pub fn not_reached(&self, reason: &str) -> FromForm<Known> {
        let reason = typed(reason).ok_or_else(|| {
            vec![problem("reason", "Say why it could not be reached, such as “plug rusted in”.")]
        })?;
        Ok(Known::NotReached {
            visit: self.visit(),
            check: self.id.to_string(),
            place: self.place.to_string(),
            reason,
        })
    }
}

/// A person's decision against the computed verdict.
///
/// # Errors
/// What is wrong with the fields `verdict`, `reason`, `months`.
pub fn overrule(
    visit: &Visit,
    check: &CheckId,
    place: &Place,
    verdict: &str,
    reason: &str,
    months: &str,
) -> FromForm<Known> {
    let mut problems = Vec::new();
    let decided = Verdict::ALL
        .iter()
        .copied()
        .filter(|known| known.of_states())
        .find(|known| known.id() == verdict.trim());
    if decided.is_none() {
        problems.push(problem("verdict", "Choose the verdict that counts."));
    }
    let reason = typed(reason);
    if reason.is_none() {
        problems.push(problem("reason", "Say why: the computed verdict is kept beside yours."));
    }
    let when = match typed(months) {
        None if matches!(decided, Some(Verdict::LookAgain | Verdict::Plan)) => {
            problems.push(problem("months", "Say in how many months: a promise without a time is lost."));
            None
        }
        None => None,
        Some(months) => match months.replace(',', ".").parse::<f64>() {
            Ok(months) if months > 0.0 && months <= 240.0 => {
                Some(When { years: Some(months / 12.0), ..When::default() })
            }
            _ => {
                problems.push(problem("months", "Write months as a number, such as 12."));
                None
            }
        },
    };
    match (decided, reason) {
        (Some(verdict), Some(reason)) if problems.is_empty() => Ok(Known::Overrule {
            visit: visit.id.clone(),
            check: check.to_string(),
            place: place.to_string(),
            verdict: verdict.id().into(),
            reason,
            when,
        }),
        _ => Err(problems),
    }
}

/// What was read on a part.
///
/// # Errors
/// What is wrong with the fields `seat`, `reads`; with [`PART`] for a marking to ask about, unless it was `as_read`.
pub fn marking(
    sheet: &Sheet,
    car: &Car,
    visit: &Visit,
    seat: Option<(&ComponentId, &Place)>,
    typed_marking: &TypedMarking<'_>,
) -> FromForm<Known> {
    let mut problems = Vec::new();
    let seat = seat.and_then(|(id, place)| {
        let (_, id, component) = sheet.components.get_full(id)?;
        let place = component.places.iter().find(|known| *known == place)?;
        Some(Seat { sheet, variant: car.variant.as_ref(), id, component, place })
    });
    if seat.is_none() {
        problems.push(problem("seat", "Say on which part of the car it was read."));
    }
    let reads = typed(typed_marking.reads);
    if reads.is_none() {
        problems.push(problem("reads", "Write what it reads: letters, figures, dots of paint."));
    }
    let (Some(seat), Some(reads)) = (seat, reads) else { return Err(problems) };
    let part = typed(typed_marking.part).and_then(|part| sheet.parts.get_key_value(part.as_str()));
    if part.is_none() && !typed_marking.as_read {
        let asked = match sheet.marked(&reads, Some(seat.id)) {
            Marked::Several(_) => {
                Some("It is on several parts. Choose which it is, or write more of what it reads.")
            }
            Marked::Perhaps(..) => {
                Some("No part reads so. Choose the one below if you misread it, or keep it as it reads.")
            }
            Marked::One(_) | Marked::Unknown => None,
        };
        if let Some(says) = asked {
            return Err(vec![problem(PART, says)]);
        }
    }
    Ok(Known::Marking {
        visit: visit.id.clone(),
        component: seat.id.to_string(),
        place: seat.place.to_string(),
        reads,
        part: part.map(|(id, _)| id.to_string()),
        note: typed(typed_marking.note),
    })
}

/// What a person typed of a marking.
#[derive(Debug, Clone, Copy, Default)]
pub struct TypedMarking<'a> {
    pub reads: &'a str,
    /// The part that was chosen where several bear it.
    pub part: &'a str,
    /// It reads so, though no part does.
    pub as_read: bool,
    pub note: &'a str,
}

fn read_values(reading: &Reading, values: &[String], as_read: bool) -> FromForm<Vec<Quantity>> {
    let mut problems = Vec::new();
    let read: Vec<Quantity> = values
        .iter()
        .filter_map(|text| typed(text))
        .filter_map(|text| {
            let value = Quantity::typed_in(&text, reading.unit);
            value.map_err(|error| problems.push(problem("value", sentence(&error.to_string())))).ok()
        })
        .collect();
    if !problems.is_empty() {
        return Err(problems);
    }
    if read.is_empty() {
        return Err(vec![problem("value", format!("Write the value in {}.", reading.unit))]);
    }
    if !as_read {
        let slips: Vec<FormProblem> = read
            .iter()
            .filter_map(|value| Some((value, slip::meant(reading, value)?)))
            .map(|(value, meant)| problem(SLIP, format!("Is {value} right? It would be {meant}. Write it so, or say that it was read like this.")))
            .collect();
        if !slips.is_empty() {
            return Err(slips);
        }
    }
    Ok(read)
}

fn read_seen(seen: &str) -> Result<Seen, FormProblem> {
    match seen.trim() {
        "" | "clear" => Ok(Seen::Clear),
        "open" => Ok(Seen::Open),
        "part" => Ok(Seen::Part),
        "dirt" => Ok(Seen::Dirt),
        "feel" => Ok(Seen::Feel),
        "told" => Ok(Seen::Told),
        _ => Err(problem("seen", "Choose how well it could be seen.")),
    }
}

/// A visit begins.
///
/// # Errors
/// What is wrong with the fields `odometer`, `ceiling`, `date`.
pub fn visit(
    car: &Car,
    sheet: &Sheet,
    date: jiff::civil::Date,
    odometer: &str,
    as_read: bool,
    asked_for: &str,
    ceiling: &str,
) -> FromForm<Known> {
    let mut problems = Vec::new();
    let known = Odometer::of(car, &sheet.yearly_use, date);
    let meant = |read: &Quantity| known.may_mean(date, read);
    let odometer = read_odometer(car, odometer, as_read, meant).map_err(|found| problems.push(found)).ok();
    let ceiling = typed(ceiling).map(|ceiling| ceiling.replace(',', "."));
    if let Some(ceiling) = &ceiling
        && !ceiling.parse::<rust_decimal::Decimal>().is_ok_and(|money| !money.is_sign_negative())
    {
        problems.push(problem("ceiling", "Write money as a number, such as 250."));
    }
    if car.open_visit().is_some() {
        problems.push(problem("date", "The car is in already: its keys have not gone back."));
    }
    let Some(odometer) = odometer.filter(|_| problems.is_empty()) else { return Err(problems) };
    let base = format!("{}-{date}", car.id);
    let mut id = base.clone();
    let mut n = 2;
    while car.visit(&id).is_some() {
        id = format!("{base}-{n}");
        n += 1;
    }
    Ok(Known::Visit {
        visit: id,
        date,
        odometer,
        revision: sheet.revision.clone(),
        asked_for: typed(asked_for),
        ceiling,
    })
}

fn read_odometer(
    car: &Car,
    text: &str,
    as_read: bool,
    meant: impl Fn(&Quantity) -> Option<String>,
) -> Result<Quantity, FormProblem> {
    let wrong = |says: String| problem("odometer", says);
    let read = Quantity::typed_in(text, Unit::KM).map_err(|error| wrong(sentence(&error.to_string())))?;
    let before = car.last_visit().map(|visit| visit.km());
    let km = crate::car::km(&read);
    if km < 0.0 {
        return Err(wrong("An odometer does not show less than nothing.".into()));
    }
    match before {
        Some(before) if km < before - 0.5 && !as_read => {
            let shown = crate::words::km(before);
            let ask = match meant(&read) {
                None => "Read it again; if the instrument was changed, say so below.".into(),
                Some(meant) => format!("{} If it was read so, say so below.", sentence(&meant)),
            };
            Err(wrong(format!("It showed {shown} last time, and an odometer does not run back. {ask}")))
        }
        _ => Ok(read),
    }
}

/// Work done, at one place or at all.
///
/// # Errors
/// What is wrong with the fields `operation`, `place`.
pub fn done(sheet: &Sheet, car: &Car, visit: &Visit, operation: &str, place: &str) -> FromForm<Known> {
    let Some((_, id, known)) = sheet.operations.get_full(operation.trim()) else {
        return Err(vec![problem("operation", "Choose what was done.")]);
    };
    if !known.only.includes(car.variant.as_ref()) {
        return Err(vec![problem("operation", "This is not done on this variant.")]);
    }
    let places = sheet.components.get(&known.component).map_or(&[][..], |component| &component.places);
    let place = typed(place);
    if let Some(place) = &place
        && !places.iter().any(|known| known.as_str() == place)
    {
        return Err(vec![problem("place", "Choose a place of this car.")]);
    }
    if place.is_none() && known.each && places.len() > 1 {
        return Err(vec![problem("place", "Say at which place it was done.")]);
    }
    Ok(Known::Done { visit: visit.id.clone(), operation: id.to_string(), place })
}

/// An obligation met.
///
/// # Errors
/// What is wrong with the field `value`.
pub fn met(
    visit: &Visit,
    id: &ObligationId,
    obligation: &Obligation,
    value: &str,
    note: &str,
) -> FromForm<Known> {
    let value = match (&obligation.value, typed(value)) {
        (None, None) => None,
        (None, Some(text)) => Some(
            text.parse::<Quantity>().map_err(|error| vec![problem("value", sentence(&error.to_string()))])?,
        ),
        (Some(wanted), None) => {
            return Err(vec![problem("value", format!("Write the value {}.", keys::wanted_words(wanted)))]);
        }
        (Some(wanted), Some(text)) => {
            let value = Quantity::typed_in(&text, wanted.unit)
                .map_err(|error| vec![problem("value", sentence(&error.to_string()))])?;
            let number = value.value_in(wanted.unit).unwrap_or(f64::NAN);
            let good =
                wanted.min.is_none_or(|min| number >= min) && wanted.max.is_none_or(|max| number <= max);
            if !good {
                let says =
                    format!("{value} is not {}: put it right and measure again.", keys::wanted_words(wanted));
                return Err(vec![problem("value", says)]);
            }
            Some(value)
        }
    };
    Ok(Known::Met { visit: visit.id.clone(), obligation: id.to_string(), value, note: typed(note) })
}

/// An obligation knowingly not met.
///
/// # Errors
/// What is wrong with the field `reason`.
pub fn waived(visit: &Visit, id: &ObligationId, obligation: &Obligation, reason: &str) -> FromForm<Known> {
    if let Some(guards) = obligation.guards {
        let says = format!("It guards the {} and cannot be waived.", guards.id());
        return Err(vec![problem("reason", says)]);
    }
    let reason = typed(reason).ok_or_else(|| vec![problem("reason", "Say why it is not met.")])?;
    Ok(Known::Waived { visit: visit.id.clone(), obligation: id.to_string(), reason })
}

/// A key tag.
///
/// # Errors
/// What is wrong with the fields `what`, `why`, `months`.
pub fn tag(
    car: &Car,
    visit: &Visit,
    what: &str,
    why: &str,
    months: &str,
    next_visit: bool,
) -> FromForm<Known> {
    let mut problems = Vec::new();
    let what = typed(what);
    if what.is_none() {
        problems.push(problem("what", "Say what to look at."));
    }
    let why = typed(why);
    if why.is_none() {
        problems.push(problem("why", "Say why: in a year nobody remembers."));
    }
    let years = match typed(months).map(|months| months.replace(',', ".").parse::<f64>()) {
        None => None,
        Some(Ok(months)) if months > 0.0 && months <= 240.0 => Some(months / 12.0),
        Some(_) => {
            problems.push(problem("months", "Write months as a number, such as 12."));
            None
        }
    };
    let when = When { next_visit, years, ..When::default() };
    if when.is_never() && problems.iter().all(|found| found.field != "months") {
        problems.push(problem("months", "Say when: at the next visit, or in so many months."));
    }
    match (what, why) {
        (Some(what), Some(why)) if problems.is_empty() => {
            let mut n = 1;
            let mut id = format!("{}-tag-{n}", visit.id);
            while car.tags.iter().any(|tag| tag.id == id) {
                n += 1;
                id = format!("{}-tag-{n}", visit.id);
            }
            Ok(Known::Tag { tag: id, visit: visit.id.clone(), what, why, when, check: None, place: None })
        }
        _ => Err(problems),
    }
}

/// A key tag settled.
///
/// # Errors
/// What is wrong with the fields `tag`, `reason`.
pub fn tag_settled(car: &Car, visit: &Visit, tag: &str, reason: &str) -> FromForm<Known> {
    if !car.open_tags().any(|known| known.id == tag) {
        return Err(vec![problem("tag", "This key tag does not wait any more.")]);
    }
    let reason = typed(reason).ok_or_else(|| vec![problem("reason", "Say how it was settled.")])?;
    Ok(Known::TagSettled { tag: tag.to_owned(), visit: visit.id.clone(), reason })
}

/// Work agreed for a later visit: on a day, or whenever the car comes next.
///
/// # Errors
/// What is wrong with the fields `operations`, `on`, `name`.
pub fn long_job(
    judge: &crate::Judge<'_>,
    operations: &[OperationId],
    on: &str,
    name: &str,
    words: &str,
) -> FromForm<Known> {
    let mut problems = Vec::new();
    let Some(visit) = judge.car.open_visit().or(judge.car.last_visit()) else {
        return Err(vec![problem("operations", "The car was never in: begin a visit first.")]);
    };
    if operations.is_empty() {
        problems.push(problem("operations", "Tick at least one piece of work."));
    }
    let known = |id: &OperationId| {
        let operation = judge.sheet.operations.get(id);
        operation.is_some_and(|operation| operation.only.includes(judge.car.variant.as_ref()))
    };
    if !operations.iter().all(known) {
        problems.push(problem("operations", "The plan has changed meanwhile: please look at it again."));
    }
    let promised = |id: &OperationId| judge.car.carried().any(|job| judge.car.remaining(job).contains(&id));
    if operations.iter().any(promised) {
        problems.push(problem("operations", "Some of this is agreed already: settle that first."));
    }
    let on = typed(on).and_then(|text| match text.parse::<Date>() {
        Ok(day) if day > judge.today && day > visit.date => Some(day),
        Ok(_) => {
            problems.push(problem("on", "Write a day that is still to come."));
            None
        }
        Err(_) => {
            problems.push(problem("on", "Write the day as 2026-09-30, or leave it empty."));
            None
        }
    });
    let name = typed(name);
    if name.is_none() {
        problems.push(problem("name", "Say who agreed, such as “the owner, by telephone”."));
    }
    let Some(name) = name.filter(|_| problems.is_empty()) else { return Err(problems) };
    let mut n = 1;
    let mut job = format!("{}-job-{n}", visit.id);
    while judge.car.long_jobs.iter().any(|known| known.id == job) {
        n += 1;
        job = format!("{}-job-{n}", visit.id);
    }
    let operations = operations.iter().map(ToString::to_string).collect();
    Ok(Known::LongJob { job, visit: visit.id.clone(), operations, on, name, words: typed(words) })
}

/// A long job that waits no longer.
///
/// # Errors
/// What is wrong with the fields `job`, `reason`.
pub fn long_job_settled(car: &Car, job: &str, reason: &str) -> FromForm<Known> {
    let visit = car.open_visit().or(car.last_visit());
    let Some(visit) = visit.filter(|_| car.carried().any(|known| known.id == job)) else {
        return Err(vec![problem("job", "This work does not wait any more.")]);
    };
    let reason = typed(reason).ok_or_else(|| vec![problem("reason", "Say why it will not be done.")])?;
    Ok(Known::LongJobSettled { job: job.to_owned(), visit: visit.id.clone(), reason })
}

/// The owner's answers, line by line; lines left open are left out.
///
/// # Errors
/// What is wrong with the fields `name`, `answer`.
pub fn answers(
    sheet: &Sheet,
    visit: &Visit,
    name: &str,
    lines: &[(OperationId, String)],
) -> FromForm<Vec<Known>> {
    let mut problems = Vec::new();
    let name = typed(name);
    if name.is_none() {
        problems.push(problem("name", "Please write your name: the answers are kept with it."));
    }
    let mut said = Vec::new();
    for (operation, says) in lines {
        let says = match says.as_str() {
            "" => continue,
            "yes" => Answer::Yes,
            "not-now" => Answer::NotNow,
            "ask-me" => Answer::AskMe,
            _ => {
                problems.push(problem("answer", "Answer yes, not now, or ask me."));
                continue;
            }
        };
        if !sheet.operations.contains_key(operation) {
            problems.push(problem("answer", "The letter has changed meanwhile: please look at it again."));
            continue;
        }
        said.push((operation.to_string(), says));
    }
    if said.is_empty() && problems.is_empty() {
        problems.push(problem("answer", "Please answer at least one line."));
    }
    let Some(name) = name.filter(|_| problems.is_empty()) else { return Err(problems) };
    Ok(said
        .into_iter()
        .map(|(operation, says)| Known::Answer {
            visit: visit.id.clone(),
            operation,
            says,
            name: name.clone(),
            words: None,
        })
        .collect())
}

/// The keys go back, with the promises of the work tied to them.
///
/// # Errors
/// Everything that holds the keys, on the field `keys`; what is wrong with `odometer`.
pub fn close(judge: &crate::Judge<'_>, visit: &Visit, odometer: &str) -> FromForm<Vec<Known>> {
    let mut problems: Vec<FormProblem> = keys::held(judge.sheet, judge.car, visit, &judge.assess())
        .into_iter()
        .map(|held| {
            problem(
                "keys",
                format!("{}: {}.", sentence(&held.to_string()).trim_end_matches('.'), held.way_out()),
            )
        })
        .collect();
    let out = match typed(odometer) {
        None => Some(visit.odometer.clone()),
        Some(text) => match Quantity::typed_in(&text, Unit::KM) {
            Err(error) => {
                problems.push(problem("odometer", sentence(&error.to_string())));
                None
            }
            Ok(out) if crate::car::km(&out) < crate::car::km(&visit.odometer) - 0.5 => {
                problems.push(problem(
                    "odometer",
                    format!("It came in at {}: it cannot leave with less.", visit.odometer),
                ));
                None
            }
            Ok(out) => Some(out),
        },
    };
    let Some(odometer) = out.filter(|_| problems.is_empty()) else { return Err(problems) };
    let mut said = crate::record::closing(judge.sheet, judge.car, &visit.id);
    said.push(Known::Closed { visit: visit.id.clone(), odometer });
    Ok(said)
}

/// A message as a sentence of its own.
fn sentence(message: &str) -> String {
    let mut chars = message.trim_end_matches('.').chars();
    if message.ends_with('?') {
        return chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect());
    }
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).chain(['.']).collect())
}
