//! Part numbers that replaced others.

use crate::{ids::*, model::*};

impl Sheet {
    /// The newest part that a number leads to; the part itself when nothing has replaced it.
    pub fn successor<'a>(&'a self, part: &'a PartId) -> &'a PartId {
        let replaced_by =
            |old: &PartId| self.parts.iter().find(|(_, part)| part.replaces.as_ref() == Some(old));
        let mut newest = part;
        // No chain is longer than there are parts.
        for _ in 0..self.parts.len() {
            match replaced_by(newest) {
                Some((next, _)) => newest = next,
                None => break,
            }
        }
        newest
    }
}
