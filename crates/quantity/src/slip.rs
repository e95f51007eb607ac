//! What a person may have meant by a value that cannot well be right.

use crate::{Quantity, QuantityError, Unit};
use std::cmp::Ordering;
use std::fmt;

/// Units that are taken for one another: on the same scale, in the same drawer, or one prefix apart.
/// Common practice, no source.
const CONFUSED: &[(Unit, Unit)] = &[
    (Unit::MM, Unit::INCH),
    (Unit::MM, Unit::THOU),
    (Unit::INCH, Unit::THOU),
    (Unit::MM, Unit::UM),
    (Unit::MM, Unit::INCH_32ND),
    (Unit::KM, Unit::MILE),
    (Unit::KM_PER_H, Unit::MPH),
    (Unit::KM_PER_YEAR, Unit::MILES_PER_YEAR),
    (Unit::BAR, Unit::PSI),
    (Unit::BAR, Unit::KPA),
    (Unit::BAR, Unit::MBAR),
    (Unit::KPA, Unit::PSI),
    (Unit::N_M, Unit::LBF_FT),
    (Unit::N_M, Unit::LBF_IN),
    (Unit::N_M, Unit::KGF_M),
    (Unit::LBF_FT, Unit::LBF_IN),
    (Unit::N, Unit::KGF),
    (Unit::N, Unit::LBF),
    (Unit::N_PER_MM, Unit::LBF_PER_IN),
    (Unit::N_PER_MM, Unit::KGF_PER_MM),
    (Unit::KG, Unit::LB),
    (Unit::KG, Unit::G),
    (Unit::L, Unit::ML),
    (Unit::L, Unit::CL),
    (Unit::CELSIUS, Unit::FAHRENHEIT),
    (Unit::DEG, Unit::ARC_MINUTE),
    (Unit::V, Unit::MV),
    (Unit::A, Unit::MA),
    (Unit::OHM, Unit::MOHM),
];

/// Whether a value lies where it may be expected, and if not, what would put it there.
#[derive(Debug, Clone, PartialEq)]
pub enum Plausibility {
    /// It lies in the range.
    Plausible,
    /// It does not, but would if it had been mistyped in one of these ways. To be asked, never applied.
    Slips(Vec<Slip>),
    /// It does not, and no likely slip explains it.
    Implausible,
}

/// One way in which a value may have been mistyped.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// What went wrong.
    pub how: How,
    /// What would have been written.
    pub meant: Quantity,
}

/// The sort of slip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum How {
    /// Right figures, wrong unit.
    Unit,
    /// The decimal mark so many places off; above zero when the value meant is larger.
    DecimalMark { places: i32 },
    /// Two neighbouring figures swapped.
    SwappedFigures,
    /// The sign lost or added.
    Sign,
}

impl fmt::Display for Slip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let why = match self.how {
            How::Unit => "the unit is another",
            How::DecimalMark { .. } => "the decimal mark has slipped",
            How::SwappedFigures => "two figures are swapped",
            How::Sign => "the sign is the other one",
        };
        write!(f, "{}, if {why}", self.meant)
    }
}

/// Looks at a value against the range in which such a value plausibly lies, both ends included.
///
/// ```
/// use quantity::{How, Plausibility, Quantity, plausibility};
/// let read = |text: &str| text.parse::<Quantity>();
/// let Plausibility::Slips(slips) = plausibility(&read("25.0 in")?, &read("20 mm")?, &read("30 mm")?)? else { panic!() };
/// assert_eq!(slips[0].how, How::Unit);
/// assert_eq!(slips[0].meant.to_string(), "25.0 mm");
/// # Ok::<(), quantity::QuantityError>(())
/// ```
///
/// # Errors
/// [`QuantityError::WrongKind`] when the kinds differ.
pub fn plausibility(
    written: &Quantity,
    low: &Quantity,
    high: &Quantity,
) -> Result<Plausibility, QuantityError> {
    let fits = |q: &Quantity| -> Result<bool, QuantityError> {
        Ok(low.compare(q)? != Ordering::Greater && high.compare(q)? != Ordering::Less)
    };
    if fits(written)? {
        return Ok(Plausibility::Plausible);
    }
    let mut slips: Vec<Slip> = Vec::new();
    for slip in candidates(written) {
        let known = slips.iter().any(|have| have.meant.compare(&slip.meant) == Ok(Ordering::Equal));
        if !known && fits(&slip.meant)? {
            slips.push(slip);
        }
    }
    Ok(if slips.is_empty() { Plausibility::Implausible } else { Plausibility::Slips(slips) })
}

/// Every slip worth a thought, the likelier sorts first.
fn candidates(written: &Quantity) -> impl Iterator<Item = Slip> {
    let (digits, unit) = (written.digits(), written.unit());
    let again = move |how: How, digits: String, unit: Unit| {
        Quantity::typed_in(&digits, unit).ok().map(|meant| Slip { how, meant })
    };
    let units = CONFUSED
        .iter()
        .filter_map(move |&(a, b)| if a == unit { Some(b) } else { (b == unit).then_some(a) })
        .filter_map(move |other| again(How::Unit, digits.to_owned(), other));
    let shifted = move |places: i32| again(How::DecimalMark { places }, moved(digits, places)?, unit);
    let swapped =
        swaps(digits).into_iter().filter_map(move |figures| again(How::SwappedFigures, figures, unit));
    let sign = digits.strip_prefix('-').map_or_else(|| format!("-{digits}"), str::to_owned);
    units
        .chain([1, -1].into_iter().filter_map(shifted))
        .chain(swapped)
        .chain([2, -2, 3, -3].into_iter().filter_map(shifted))
        .chain(again(How::Sign, sign, unit))
}

/// Digits with the decimal mark moved: right above zero, left below. Figures written in powers of ten are left alone.
fn moved(digits: &str, places: i32) -> Option<String> {
    let (sign, figures) = digits.strip_prefix('-').map_or(("", digits), |figures| ("-", figures));
    if figures.contains('e') {
        return None;
    }
    let (whole, fraction) = figures.split_once('.').unwrap_or((figures, ""));
    let mut all = format!("{whole}{fraction}");
    let mark = whole.len() as i64 + i64::from(places);
    if mark <= 0 {
        all.insert_str(0, &"0".repeat(usize::try_from(1 - mark).ok()?));
    }
    let mark = usize::try_from(mark.max(1)).ok()?;
    while all.len() < mark {
        all.push('0');
    }
    let (whole, fraction) = all.split_at(mark);
    let whole = whole.trim_start_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    Some(if fraction.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{fraction}") })
}

/// Digits with each pair of differing neighbours swapped, the decimal mark staying where it is.
fn swaps(digits: &str) -> Vec<String> {
    let end = digits.find('e').unwrap_or(digits.len());
    let at: Vec<usize> =
        digits[..end].char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(i, _)| i).collect();
    let bytes = digits.as_bytes();
    at.windows(2)
        .filter(|pair| bytes[pair[0]] != bytes[pair[1]])
        .map(|pair| {
            let mut figures: Vec<char> = digits.chars().collect(); // plain ASCII by construction
            figures.swap(pair[0], pair[1]);
            figures.into_iter().collect()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(written: &str, low: &str, high: &str) -> String {
        let read = |text: &str| text.parse::<Quantity>().unwrap();
        match plausibility(&read(written), &read(low), &read(high)).unwrap() {
            Plausibility::Plausible => "plausible".into(),
            Plausibility::Implausible => "implausible".into(),
            Plausibility::Slips(slips) => slips.iter().map(Slip::to_string).collect::<Vec<_>>().join("; "),
        }
    }

    #[test]
    fn a_likely_slip_is_found_and_a_plausible_value_left_in_peace() {
        for (written, low, high, expected) in [
            ("23.5 mm", "20 mm", "30 mm", "plausible"),
            ("0.98 in", "20 mm", "30 mm", "plausible"),
            ("25 in", "20 mm", "30 mm", "25 mm, if the unit is another"),
            ("0.98 mm", "20 mm", "30 mm", "0.98 in, if the unit is another"),
            ("52000 km", "83000 km", "84000 km", "52000 mi, if the unit is another"),
            ("32 bar", "1.8 bar", "2.6 bar", "32 psi, if the unit is another"),
            ("65 lbf.ft", "60 N.m", "70 N.m", "65 N·m, if the unit is another"),
            ("2.35 mm", "20 mm", "30 mm", "23.5 mm, if the decimal mark has slipped"),
            ("2350 mm", "20 mm", "30 mm", "23.50 mm, if the decimal mark has slipped"),
            ("48210 km", "84000 km", "84999 km", "84210 km, if two figures are swapped"),
            ("1.5°", "-2°", "-1°", "-1.5°, if the sign is the other one"),
            ("777 mm", "20 mm", "30 mm", "implausible"),
        ] {
            let got = asked(written, low, high);
            assert_eq!(got, expected, "{written}");
        }
    }

    #[test]
    fn the_decimal_mark_moves_without_losing_a_figure() {
        for (digits, places, expected) in [
            ("2.35", 1, "23.5"),
            ("-235", -1, "-23.5"),
            ("5", -2, "0.05"),
            ("0.05", 2, "5"),
            ("5", 3, "5000"),
            ("0.5", -1, "0.05"),
        ] {
            assert_eq!(moved(digits, places).as_deref(), Some(expected), "{digits} by {places}");
        }
    }

    #[test]
    fn a_range_of_another_kind_is_refused() {
        let read = |text: &str| text.parse::<Quantity>().unwrap();
        assert!(plausibility(&read("5 N"), &read("1 mm"), &read("2 mm")).is_err());
    }
}
