//! A value that cannot well be right, and would be if a unit or a figure had slipped: something to ask before it is written.

use quantity::{Plausibility, Quantity, plausibility};
use sheet::Reading;

/// How far beyond new and limit a value is still believed at once, as a multiple of the way between them. Common practice,
/// no source.
const BEYOND: f64 = 3.0;

/// What may have been meant by a value, when it lies far from where such values lie and a likely slip would explain it.
/// `None` when there is nothing to ask.
pub(crate) fn meant(reading: &Reading, value: &Quantity) -> Option<String> {
    let scale = &reading.scale;
    let limit = scale.limit.as_ref()?;
    let known = [scale.new.as_ref().map(|new| new.value), limit.min, limit.max];
    let known: Vec<f64> = known.into_iter().flatten().collect();
    let low = known.iter().copied().reduce(f64::min)?;
    let high = known.iter().copied().reduce(f64::max)?;
    let way = high - low;
    if way <= 0.0 {
        return None; // one limit alone does not say how far is far
    }
    let end = |at: f64| Quantity::new(at, reading.unit).ok();
    let (low, high) = (end(low - BEYOND * way)?, end(high + BEYOND * way)?);
    match plausibility(value, &low, &high).ok()? {
        Plausibility::Slips(slips) => slips.first().map(|slip| slip.to_string()),
        Plausibility::Plausible | Plausibility::Implausible => None,
    }
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
            ("25.0 in", Some("25.0 mm, if the unit is another")),
            ("241 mm", Some("24.1 mm, if the decimal mark has slipped")),
            ("2.41 mm", Some("24.1 mm, if the decimal mark has slipped")),
        ] {
            assert_eq!(meant(&disc(), &typed.parse().unwrap()).as_deref(), asked, "{typed}");
        }
    }
}
