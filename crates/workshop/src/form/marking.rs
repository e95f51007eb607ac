//! What is written on a part.

use super::{FromForm, problem, typed};
use crate::car::{Car, Visit};
use crate::marking::Seat;
use journal::Known;
use sheet::{ComponentId, Marked, Place, Sheet};

/// The field of a problem that asks which part it is.
pub const PART: &str = "part";

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
            Marked::Perhaps(..) => Some(
                "No part reads so. Choose the one that is offered if you misread it, or keep it as it reads.",
            ),
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
