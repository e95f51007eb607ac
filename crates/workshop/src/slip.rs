//! A value that cannot well be right, since a unit or a figure may have slipped, or since a used part is thicker than a new
//! one: something to ask before it is written.

use quantity::{Kind, Plausibility, Quantity, Slip, plausibility};
use sheet::Reading;

/// How far beyond new and limit a value is still believed at once, as a multiple of the way between them. Common practice,
/// no source.
const BEYOND: f64 = 3.0;

/// How far above new a thickness is still believed at once, beyond the tolerance of a new part and as a multiple of the
/// way from new to the limit. Common practice, no source.
const BETTER: f64 = 0.5;

/// What speaks against a value, as a clause: that it would be another with a likely slip, when it lies far from where such
/// values lie, or what a new part has. `None` when there is nothing to ask.
pub(crate) fn doubt(reading: &Reading, value: &Quantity) -> Option<String> {
    let scale = &reading.scale;
    let limit = scale.limit.as_ref()?;
    let known = [scale.new.as_ref().map(|new| new.value), limit.min, limit.max];
    let known: Vec<f64> = known.into_iter().flatten().collect();
    let low = known.iter().copied().reduce(f64::min)?;
    let high = known.iter().copied().reduce(f64::max)?;
    let (way, usual) = (high - low, low..=high);
    if way <= 0.0 {
        return None; // one limit alone does not say how far is far
    }
    let end = |at: f64| Quantity::new(at, reading.unit).ok();
    let (low, high) = (end(low - BEYOND * way)?, end(high + BEYOND * way)?);
    let mut slips = match plausibility(value, &low, &high).ok()? {
        Plausibility::Slips(slips) => slips,
        Plausibility::Plausible | Plausibility::Implausible => vec![],
    };
    // Of what may have slipped, what lies between new and limit is likelier than what lies beyond.
    let beyond = |slip: &Slip| slip.meant.value_in(reading.unit).is_ok_and(|at| !usual.contains(&at));
    slips.sort_by_key(beyond);
    let slipped = slips.first().map(|slip| format!("it would be {slip}"));
    slipped.or_else(|| below_nothing(reading, value)).or_else(|| better_than_new(reading, value, way))
}

/// A length with a limit that only wear reaches is never below nothing.
fn below_nothing(reading: &Reading, value: &Quantity) -> Option<String> {
    let limit = reading.scale.limit.as_ref()?;
    let length =
        reading.unit.kind() == Kind::Length && limit.min.is_some_and(|min| min >= 0.0) && limit.max.is_none();
    (length && value.value() < 0.0).then(|| "no length is below nothing".to_owned())
}

/// Wear takes thickness away and never adds any. Of play, pressure or voltage a used part may well show less or more than a
/// new one.
fn better_than_new(reading: &Reading, value: &Quantity, way: f64) -> Option<String> {
    let (new, limit) = (reading.scale.new.as_ref()?, reading.scale.limit.as_ref()?);
    if reading.unit.kind() != Kind::Length || limit.min.is_none() || limit.max.is_some() {
        return None;
    }
    let beyond = value.value_in(reading.unit).ok()? - new.value;
    let shown = Quantity::new(new.value, reading.unit).ok()?;
    (beyond > new.tolerance.unwrap_or(0.0) + BETTER * way).then(|| format!("a new part has {shown}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Unit;
    use sheet::{Keep, Limit, New, Scale};

    fn disc() -> Reading {
        Reading {
            unit: Unit::MM,
            instrument: "micrometer".into(),
            also: vec![],
            repeats: 1,
            keep: Keep::Min,
            scale: Scale {
                new: Some(New { value: 25.0, tolerance: None }),
                limit: Some(Limit { min: Some(23.0), max: None, source: "invented".into() }),
                ..Scale::default()
            },
        }
    }

    #[test]
    fn a_likely_slip_is_asked_about_and_a_worn_part_is_not() {
        for (typed, asked) in [
            ("24.1 mm", None),
            ("22.4 mm", None),
            ("18.0 mm", None),
            ("25.0 in", Some("it would be 25.0 mm, if the unit is another")),
            ("241 mm", Some("it would be 24.1 mm, if the decimal mark has slipped")),
            ("2.41 mm", Some("it would be 24.1 mm, if the decimal mark has slipped")),
            // Better than new by a hair is a kind gauge; by more than half the way to the limit it is another part.
            ("25.8 mm", None),
            ("-3 mm", Some("no length is below nothing")),
            ("26.2 mm", Some("a new part has 25 mm")),
        ] {
            assert_eq!(doubt(&disc(), &typed.parse().unwrap()).as_deref(), asked, "{typed}");
        }
    }
}
