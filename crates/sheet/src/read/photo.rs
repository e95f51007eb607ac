//! `photos` of a check: what to look for, as a picture.

use super::{Value, sections::Sections, states::no_state};
use crate::{SheetFault, model::*};
use std::path::{Component, Path};

/// `states` are those of the check, where it has any that could be read.
pub(super) fn photo(value: Value<'_>, states: Option<&[State]>, sections: &Sections<'_>) -> Option<Photo> {
    value.table(|t| {
        let file = t.need("file", |v| {
            let file = v.text()?;
            if !is_below(&file) {
                v.fault(SheetFault::PhotoElsewhere { file });
                return None;
            }
            sections.photos.borrow_mut().push((file.clone(), v.span()));
            Some(file)
        });
        let shows = t.need("shows", Value::text);
        let state = t.may("state", |v| {
            let id = v.str()?;
            let Some(states) = states else {
                if !sections.checks.value(v.name().id()).is_some_and(|check| check.has("states")) {
                    v.fault(SheetFault::NotWith { key: "state", with: "a check without `states`".into() });
                }
                return None;
            };
            let found = states.iter().find(|state| state.id.as_str() == id);
            if found.is_none() {
                v.fault(no_state(id, states));
            }
            found.map(|state| state.id.clone())
        });
        Some(Photo { file: file?, shows: shows?, state })
    })
}

/// Whether a path leads down from the folder of the sheet.
fn is_below(file: &str) -> bool {
    !file.contains('\\') && Path::new(file).components().all(|part| matches!(part, Component::Normal(_)))
}
