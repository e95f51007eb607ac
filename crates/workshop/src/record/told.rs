//! What can be told only once, or counts as it was told last.

use super::RecordFault;
use journal::{Entry, Known};

/// The last entry that tells of the same thing, where there is only one: a workshop, a car, an instrument, a visit's beginning
/// and its end, a key tag, a long job.
pub(super) fn before<'e>(entries: &'e [Entry], known: &Known) -> Option<&'e Entry> {
    entries.iter().rev().find(|entry| entry.body.known().is_some_and(|there| is_of_the_same(there, known)))
}

fn is_of_the_same(one: &Known, other: &Known) -> bool {
    match (one, other) {
        (Known::Workshop { .. }, Known::Workshop { .. }) | (Known::Car { .. }, Known::Car { .. }) => true,
        (Known::Instrument { id: one, .. }, Known::Instrument { id: other, .. })
        | (Known::Visit { visit: one, .. }, Known::Visit { visit: other, .. })
        | (Known::Closed { visit: one, .. }, Known::Closed { visit: other, .. })
        | (Known::Tag { tag: one, .. }, Known::Tag { tag: other, .. })
        | (Known::LongJob { job: one, .. }, Known::LongJob { job: other, .. }) => one == other,
        _ => false,
    }
}

/// What is wrong with telling it again in other words; `None` for what may change.
pub(super) fn once(there: &Known) -> Option<RecordFault> {
    match there {
        Known::Closed { odometer, .. } => Some(RecordFault::ClosedDiffers { there: odometer.to_string() }),
        Known::Tag { tag, what, .. } => {
            Some(RecordFault::TagDiffers { tag: tag.clone(), there: what.clone() })
        }
        Known::LongJob { job, operations, .. } => {
            Some(RecordFault::LongJobDiffers { job: job.clone(), there: operations.join("`, `") })
        }
        _ => None,
    }
}
