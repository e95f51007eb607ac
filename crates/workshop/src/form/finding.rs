//! What was read, seen or not reached at a check, and a person's decision on it.

use super::{FormProblem, FromForm, in_months, problem, typed};
use crate::car::Visit;
use crate::slip;
use crate::words::sentence;
use journal::{Known, Seen, When};
use quantity::Quantity;
use sheet::{Check, CheckId, CheckKind, Place, Reading, Verdict};

/// The field of a problem that is only a question: the value may be written if a person says that it was read so.
pub const SLIP: &str = "slip";

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
    let years = in_months(months).unwrap_or_else(|found| {
        problems.push(found);
        None
    });
    let promises = matches!(decided, Some(Verdict::LookAgain | Verdict::Plan));
    if promises && typed(months).is_none() {
        problems.push(problem("months", "Say in how many months: a promise without a time is lost."));
    }
    let when = years.map(|years| When { years: Some(years), ..When::default() });
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
            .filter_map(|value| Some((value, slip::doubt(reading, value)?)))
            .map(|(value, doubt)| {
                let says = format!(
                    "Is {value} right? {} Write what is right, or say that it was read like this.",
                    sentence(&doubt)
                );
                problem(SLIP, says)
            })
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
