//! `[instrument.disc-micrometer]`: a kind of instrument and what to believe of it.

use super::{Value, source};
use crate::{SheetFault, model::Instrument, table::TableFault};
use quantity::{Allowance, Calibration, Effect, Kind, Quantity, Spread};

pub(super) fn instrument(value: Value<'_>) -> Option<Instrument> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let resolution = t.need("resolution", resolution);
        let of = resolution.as_ref();
        let repeatability = t.may("repeatability", |v| size(v, of));
        let calibration = t.may("calibration", |v| calibration(v, of));
        let zero_set = t.may("zero-set", Value::flag).unwrap_or(false);
        let source = source(t);

        let mut statement = quantity::Instrument::new(t.name().id(), resolution?);
        statement.zero_set = zero_set;
        statement.calibration = calibration.unwrap_or_default();
        match repeatability {
            None => {}
            Some(Allowance::Absolute(spread)) => statement.repeatability = Some(spread),
            Some(spread @ Allowance::OfReading(_)) => statement.effects.push(Effect {
                name: "repeatability".into(),
                size: spread,
                spread: Spread::Standard,
                shared: None,
            }),
        }
        Some(Instrument { title: title?, statement, source: source? })
    })
}

fn resolution(value: Value<'_>) -> Option<Quantity> {
    let quantity = value.quantity()?;
    if quantity.value() > 0.0 { Some(quantity) } else { value.out_of_range("more than 0") }
}

/// By a certificate, or by the largest error allowed.
fn calibration(value: Value<'_>, resolution: Option<&Quantity>) -> Option<Calibration> {
    value.table(|t| {
        let expanded = t.may("expanded", |v| size(v, resolution));
        let largest = t.may("mpe", |v| size(v, resolution));
        let of = || t.name().to_string();
        match (t.get("expanded"), t.get("mpe")) {
            (None, None) => {
                t.get("k");
                t.fault(SheetFault::Neither { of: of(), keys: &["expanded", "mpe"] });
                None
            }
            (Some(_), Some(second)) => {
                t.get("k");
                second.fault(SheetFault::Both { of: of(), first: "expanded", second: "mpe" });
                None
            }
            (Some(_), None) => {
                let k = t.need("k", |v| v.number_that(|k| k > 0.0, "a factor above 0, such as 2"));
                Some(Calibration::Certificate { expanded: expanded?, k: k? })
            }
            (None, Some(_)) => Some(Calibration::MaximumPermissibleError(largest?)),
        }
    })
}

/// The size of an error: so much on the scale, or a part of the reading. A percentage is of the reading, except where
/// the scale itself is in percent.
fn size(value: Value<'_>, resolution: Option<&Quantity>) -> Option<Allowance> {
    let size: Allowance = value.parsed()?;
    let (stated, of_reading) = match &size {
        Allowance::Absolute(stated) => (stated, false),
        Allowance::OfReading(stated) => (stated, true),
    };
    if stated.value() < 0.0 {
        return value.out_of_range("0 or more");
    }
    let resolution = resolution?;
    if of_reading || stated.spread_in(resolution.unit()).is_ok() {
        return Some(size);
    }
    if stated.kind() == Kind::Ratio {
        return Some(Allowance::OfReading(stated.clone()));
    }
    let (what, found) = (value.name().to_string(), stated.unit());
    value.fault(TableFault::WrongKind { what, found, wanted: vec![resolution.kind(), Kind::Ratio] });
    None
}
