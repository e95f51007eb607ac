//! What has to come off to reach something.

use crate::{ids::*, model::*};
use indexmap::IndexSet;

impl Sheet {
    /// These steps and all that they need, each once, in an order in which they can be opened. Steps that are not on
    /// the sheet are left out.
    pub fn access_closure(&self, wanted: &[AccessId]) -> Vec<&AccessId> {
        let mut open = IndexSet::new();
        let mut begun = IndexSet::new();
        // Deepest last: a step is opened when everything above it on the pile has been.
        let mut pile: Vec<(&AccessId, bool)> = wanted.iter().rev().map(|id| (id, false)).collect();
        while let Some((id, needs_are_open)) = pile.pop() {
            let Some((id, step)) = self.access.get_key_value(id) else { continue };
            if needs_are_open {
                open.insert(id);
            } else if begun.insert(id) {
                pile.push((id, true));
                pile.extend(step.needs.iter().rev().map(|id| (id, false)));
            }
        }
        open.into_iter().collect()
    }
}
