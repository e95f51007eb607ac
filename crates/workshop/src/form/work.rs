//! Work done, and the checks that it made necessary.

use super::{FromForm, problem, typed};
use crate::car::{Car, Visit};
use crate::keys;
use crate::words::sentence;
use journal::Known;
use quantity::Quantity;
use sheet::{Obligation, ObligationId, Sheet};

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
