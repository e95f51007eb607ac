//! Ids of entries that come from files: the same words give the same id, so that a file can be recorded again.

use journal::{EntryId, Known};
use sha2::{Digest, Sha256};
use uuid::Uuid;

/// The id of an entry from what it says. `nth` tells apart equal lines of one file.
///
/// What there can be only one of (a visit's beginning and its end, a key tag, a long job) is named by what it is, not by what is said
/// of it: so a second and different telling is found.
pub(super) fn entry_id(stream: &str, known: &Known, nth: usize) -> EntryId {
    let mut digest = Sha256::new();
    digest.update(stream.as_bytes());
    digest.update([0]);
    match known {
        Known::Visit { visit, .. } => digest.update(format!("visit\0{visit}")),
        Known::Closed { visit, .. } => digest.update(format!("closed\0{visit}")),
        Known::Tag { tag, .. } => digest.update(format!("tag\0{tag}")),
        Known::LongJob { job, .. } => digest.update(format!("long-job\0{job}")),
        // What came of a formula is not what was said: a formula may be put right.
        Known::Calculation { visit, on, formula, inputs, note, .. } => {
            digest.update(format!("calculation\0{visit:?}\0{on}\0{formula}\0{inputs:?}\0{note:?}"));
        }
        // A body that can be written is always text.
        known => digest.update(serde_json::to_string(known).unwrap_or_default()),
    }
    digest.update(nth.to_be_bytes());
    let digest = digest.finalize();
    let mut bytes = [0; 16];
    bytes.copy_from_slice(&digest[..16]);
    EntryId(Uuid::new_v8(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn not_reached(reason: &str) -> Known {
        Known::NotReached {
            visit: "v".into(),
            check: "c".into(),
            place: "single".into(),
            reason: reason.into(),
        }
    }

    #[test]
    fn the_same_words_give_the_same_id_and_other_words_another() {
        let id = entry_id("car:a", &not_reached("rust"), 0);
        assert_eq!(id, entry_id("car:a", &not_reached("rust"), 0));
        assert_ne!(id, entry_id("car:a", &not_reached("dirt"), 0));
        assert_ne!(id, entry_id("car:b", &not_reached("rust"), 0));
        assert_ne!(id, entry_id("car:a", &not_reached("rust"), 1));
    }
}
