//! `reading` of a check: a number with a unit and an instrument.

use super::{Value, sections::Sections};
use crate::{SheetFault, ids::*, model::*};
use indexmap::IndexMap;
use quantity::Unit;

pub(super) type Instruments = IndexMap<InstrumentId, Instrument>;

/// The scale is read beside it, and put in later.
pub(super) fn reading(
    value: Value<'_>,
    sections: &Sections<'_>,
    instruments: &Instruments,
) -> Option<Reading> {
    value.table(|t| {
        let unit = t.need("unit", Value::unit);
        let that_fits = |v| fitting(v, unit, sections, instruments);
        let instrument = t.need("instrument", that_fits);
        let also = t.list("also", that_fits);
        let repeats = t.may("repeats", Value::count).unwrap_or(1);
        let keep = t.may("keep", |v| v.word(Keep::WORDS)).unwrap_or(Keep::Mean);
        Some(Reading { unit: unit?, instrument: instrument?, also, repeats, keep, scale: Scale::default() })
    })
}

/// An instrument that measures in this unit.
fn fitting(
    value: Value<'_>,
    unit: Option<Unit>,
    sections: &Sections<'_>,
    instruments: &Instruments,
) -> Option<InstrumentId> {
    let id = sections.instruments.find(value)?;
    if let (Some(wanted), Some(instrument)) = (unit, instruments.get(&id))
        && instrument.statement.resolution_in(wanted).is_err()
        && let Some(there) = sections.instruments.span(id.as_str())
    {
        let found = instrument.statement.resolution.unit();
        value.fault_between(SheetFault::InstrumentUnit { instrument: id.clone(), found, wanted }, there);
    }
    Some(id)
}
