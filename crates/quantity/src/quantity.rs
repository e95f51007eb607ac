//! A value with its unit, as a person entered it.

use crate::digits::{Number, gapped, number};
use crate::{Kind, QuantityError, Unit};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::{borrow::Cow, cmp::Ordering, fmt, str::FromStr};

/// A value as entered: its digits, its unit, and the SI value that follows from both.
///
/// The digits stay as typed, since "0.490" says more than "0.49"; a decimal comma is kept as a point and thousands
/// marks are left out. Two quantities are equal when digits and unit are; [`Quantity::compare`] compares what they mean.
/// A quantity is stored as text with the UCUM code, and read from any spelling.
///
/// ```
/// use quantity::{Quantity, Unit};
/// let limit: Quantity = "0.49 in".parse()?;
/// assert_eq!(limit.value_in(Unit::MM)?, 12.446);
/// assert_eq!(limit.si(), 0.012446);
/// assert_eq!(limit.to_string(), "0.49 in");
/// # Ok::<(), quantity::QuantityError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Quantity {
    digits: String,
    unit: Unit,
    value: f64,
    si: f64,
    /// Shown as degrees, minutes and seconds, though kept in the smallest of them.
    composed: bool,
}

impl Quantity {
    /// Reads what a keypad gives: figures alone, taken to be in `expected`, or figures with a unit of the same kind.
    ///
    /// # Errors
    /// Those of parsing, and [`QuantityError::WrongKind`] when a unit of another kind was typed.
    pub fn typed_in(text: &str, expected: Unit) -> Result<Quantity, QuantityError> {
        if text.trim().is_empty() {
            return Err(QuantityError::Empty);
        }
        let figures = number(text)?;
        if figures.rest.is_empty() {
            return Self::from_number(figures, expected);
        }
        text.parse::<Quantity>()?.expect(expected.kind())
    }

    /// A computed value with so many decimals (below zero: rounded to tens, hundreds).
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`].
    pub fn with_decimals(value: f64, decimals: i32, unit: Unit) -> Result<Quantity, QuantityError> {
        let figures = crate::rounding::to_decimals(value, decimals);
        Self::from_number(number(&figures)?, unit)
    }

    /// A computed value with as many digits as it takes to get the same `f64` back.
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`].
    pub fn new(value: f64, unit: Unit) -> Result<Quantity, QuantityError> {
        let size = value.abs();
        let figures = if value == 0.0 || (1e-6..1e15).contains(&size) {
            value.to_string()
        } else {
            format!("{value:e}")
        };
        Self::from_number(number(&figures)?, unit)
    }

    fn from_number(number: Number<'_>, unit: Unit) -> Result<Quantity, QuantityError> {
        if number.looks_grouped && (unit == Unit::KM || unit == Unit::MILE) {
            let one = format!("{} {unit}", number.digits.replace('.', ""));
            let other = format!("{} {unit}", number.digits);
            return Err(QuantityError::Ambiguous { digits: number.typed.to_owned(), one, other });
        }
        let Number { digits, value, .. } = number;
        let si = unit.convert_exactly(&digits, unit.kind().si_unit()).unwrap_or_else(|| unit.to_si(value));
        if !si.is_finite() {
            return Err(QuantityError::NotFinite { found: digits });
        }
        Ok(Quantity { digits, unit, value, si, composed: false })
    }

    /// The digits as typed, thousands marks left out, a point as the decimal mark.
    pub fn digits(&self) -> &str {
        &self.digits
    }

    /// The unit as entered.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// The kind of its unit.
    pub fn kind(&self) -> Kind {
        self.unit.kind()
    }

    /// The number as entered, in its own unit.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// The value in the SI unit of its kind, rounded once.
    pub fn si(&self) -> f64 {
        self.si
    }

    /// The value in another unit of the same kind, rounded once where the factor is a decimal.
    ///
    /// # Errors
    /// [`QuantityError::WrongKind`] when the kinds differ.
    pub fn value_in(&self, unit: Unit) -> Result<f64, QuantityError> {
        if unit == self.unit {
            return Ok(self.value);
        }
        self.of_kind(unit.kind())?;
        Ok(self.unit.convert_exactly(&self.digits, unit).unwrap_or_else(|| unit.from_si(self.si)))
    }

    /// The value taken as a step or spread, in another unit: "0.1 °C" as a resolution is 0.1 K, whatever the zero.
    ///
    /// # Errors
    /// [`QuantityError::WrongKind`] when the kinds differ; a temperature and a temperature difference have the same steps.
    pub fn spread_in(&self, unit: Unit) -> Result<f64, QuantityError> {
        let steps = self.unit.steps_in(unit).map_err(|_| self.wrong_kind(unit.kind()))?;
        if self.unit.shift() == 0.0 && unit.shift() == 0.0 {
            return self.value_in(unit).or(Ok(self.value * steps));
        }
        Ok(self.value * steps)
    }

    /// One step of the last digit typed, in the unit as entered. Closing zeros of a whole number count as read.
    pub fn resolution(&self) -> f64 {
        let (figures, power) = self.digits.split_once('e').unwrap_or((&self.digits, "0"));
        let places = figures.split_once('.').map_or(0, |(_, fraction)| fraction.len());
        format!("1e{}", power.parse::<i64>().unwrap_or(0) - places as i64)
            .parse()
            .unwrap_or(f64::MIN_POSITIVE)
    }

    /// Decimals of the digits typed: 3 for "0.490", 0 for "84210".
    pub fn decimals(&self) -> i32 {
        let (figures, power) = self.digits.split_once('e').unwrap_or((&self.digits, "0"));
        let places = figures.split_once('.').map_or(0, |(_, fraction)| fraction.len());
        i32::try_from(places as i64 - power.parse::<i64>().unwrap_or(0)).unwrap_or(0)
    }

    /// Itself, when it is of the kind expected. Kelvins are a difference of
    /// temperature unless a temperature is expected.
    ///
    /// # Errors
    /// [`QuantityError::WrongKind`], with an example of what would be right.
    pub fn expect(self, kind: Kind) -> Result<Quantity, QuantityError> {
        if self.unit == Unit::K && kind == Kind::Temperature {
            return Ok(Quantity { unit: Unit::K_ABS, ..self });
        }
        self.of_kind(kind).map(|()| self)
    }

    /// Smaller, equal or larger in what it means, whatever the units.
    ///
    /// # Errors
    /// [`QuantityError::WrongKind`] when the kinds differ.
    pub fn compare(&self, other: &Quantity) -> Result<Ordering, QuantityError> {
        other.of_kind(self.kind())?;
        let (a, b) = if self.unit == other.unit { (self.value, other.value) } else { (self.si, other.si) };
        Ok(a.total_cmp(&b))
    }

    /// The digits with thin gaps between thousands, as shown in running text: "84 210 km".
    pub fn spaced(&self) -> String {
        if self.composed || self.digits.contains('e') {
            return self.to_string();
        }
        let (sign, figures) = match self.digits.strip_prefix('-') {
            Some(figures) => ("−", figures),
            None => ("", &self.digits[..]),
        };
        let (whole, fraction) = figures.split_once('.').map_or((figures, None), |(w, f)| (w, Some(f)));
        let whole = if whole.len() > 4 { gapped(whole).replace(' ', "\u{202f}") } else { whole.to_owned() };
        let fraction = fraction.map(|f| format!(".{f}")).unwrap_or_default();
        let gap = if self.unit.tight() { "" } else { "\u{a0}" };
        format!("{sign}{whole}{fraction}{gap}{}", self.unit)
    }

    fn of_kind(&self, expected: Kind) -> Result<(), QuantityError> {
        if self.kind() == expected { Ok(()) } else { Err(self.wrong_kind(expected)) }
    }

    fn wrong_kind(&self, expected: Kind) -> QuantityError {
        QuantityError::WrongKind { expected, found: self.to_string(), found_kind: self.kind() }
    }
}

/// Same digits in the same unit.
impl PartialEq for Quantity {
    fn eq(&self, other: &Self) -> bool {
        self.digits == other.digits && self.unit == other.unit
    }
}

impl Eq for Quantity {}

impl FromStr for Quantity {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(QuantityError::Empty);
        }
        // The unit of a plain ratio is itself a figure: "9.6 1".
        if let Some(figures) = text.strip_suffix(" 1")
            && let Ok(ratio) = number(figures)
            && ratio.rest.is_empty()
        {
            return Self::from_number(ratio, Unit::ONE);
        }
        let figures = number(text)?;
        if figures.rest.is_empty() {
            return Err(QuantityError::NoUnit { digits: figures.typed.to_owned(), example: Unit::MM });
        }
        if let Some(angle) = composed_angle(text, &figures)? {
            return Ok(angle);
        }
        let unit: Unit = figures.rest.parse()?;
        Self::from_number(figures, unit)
    }
}

/// Degrees and minutes, perhaps seconds: "12° 30′", "-0° 5′ 30″", "12 deg 30 '". `None` when it is not of that form.
fn composed_angle(text: &str, degrees: &Number<'_>) -> Result<Option<Quantity>, QuantityError> {
    let Some(rest) = ["°", "º", "˚", "deg"].iter().find_map(|sign| degrees.rest.strip_prefix(sign)) else {
        return Ok(None);
    };
    if !rest.trim_start().starts_with(|c: char| c.is_ascii_digit()) {
        return Ok(None);
    }
    let wrong = || QuantityError::Composed { found: text.to_owned() };
    let minutes = number(rest)?;
    let (rest, minute_sign) = strip_any(minutes.rest, &["''", "″", "\"", "'", "′", "’", "min"]);
    if !matches!(minute_sign, Some("'" | "′" | "’" | "min")) {
        return Err(wrong());
    }
    let (seconds, unit) = if rest.trim().is_empty() {
        (None, Unit::ARC_MINUTE)
    } else {
        let seconds = number(rest)?;
        let (rest, sign) = strip_any(seconds.rest, &["''", "″", "\"", "”", "s"]);
        if sign.is_none() || !rest.trim().is_empty() {
            return Err(wrong());
        }
        (Some(seconds), Unit::ARC_SECOND)
    };
    let last = seconds.as_ref().unwrap_or(&minutes);
    let whole = |n: &Number<'_>| n.digits.parse::<i64>().ok();
    let small = |n: &Number<'_>| (0.0..60.0).contains(&n.value) && !n.digits.contains(['-', 'e']);
    let (Some(degrees_whole), true, true) = (whole(degrees), small(&minutes), small(last)) else {
        return Err(wrong());
    };
    let head = match &seconds {
        None => degrees_whole.unsigned_abs().checked_mul(60),
        Some(_) => {
            let minutes = whole(&minutes).ok_or_else(wrong)?;
            degrees_whole
                .unsigned_abs()
                .checked_mul(60)
                .and_then(|d| d.checked_add(minutes.unsigned_abs())?.checked_mul(60))
        }
    }
    .ok_or_else(wrong)?;
    let (last_whole, fraction) =
        last.digits.split_once('.').map_or((&last.digits[..], None), |(w, f)| (w, Some(f)));
    let total = last_whole.parse::<u64>().ok().and_then(|last| head.checked_add(last)).ok_or_else(wrong)?;
    let sign = if degrees.digits.starts_with('-') { "-" } else { "" };
    let digits = format!("{sign}{total}{}", fraction.map(|f| format!(".{f}")).unwrap_or_default());
    let angle = Quantity::from_number(number(&digits)?, unit)?;
    Ok(Some(Quantity { composed: true, ..angle }))
}

fn strip_any<'a>(text: &'a str, signs: &[&'static str]) -> (&'a str, Option<&'static str>) {
    let text = text.trim_start();
    signs
        .iter()
        .find_map(|sign| text.strip_prefix(sign).map(|rest| (rest, Some(*sign))))
        .unwrap_or((text, None))
}

impl Quantity {
    /// Degrees, minutes and perhaps seconds with the signs given, for an angle typed so.
    fn composed_parts(&self, signs: [&str; 3]) -> String {
        let (sign, figures) = match self.digits.strip_prefix('-') {
            Some(figures) => ("-", figures),
            None => ("", &self.digits[..]),
        };
        let (whole, fraction) = figures.split_once('.').map_or((figures, None), |(w, f)| (w, Some(f)));
        let whole: u64 = whole.parse().unwrap_or(0); // made from a u64 when it was read
        let fraction = fraction.map(|f| format!(".{f}")).unwrap_or_default();
        let [d, m, s] = signs;
        if self.unit == Unit::ARC_MINUTE {
            format!("{sign}{}{d} {}{fraction}{m}", whole / 60, whole % 60)
        } else {
            format!("{sign}{}{d} {}{m} {}{fraction}{s}", whole / 3600, whole / 60 % 60, whole % 60)
        }
    }

    /// The text form that is stored: digits as typed and UCUM codes.
    pub fn ucum(&self) -> String {
        if self.composed {
            return self.composed_parts([" deg", " '", " ''"]);
        }
        format!("{} {}", self.digits, self.unit.code())
    }
}

/// The digits as entered with the unit's symbol.
impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.composed {
            return f.pad(&self.composed_parts(["°", "′", "″"]));
        }
        let gap = if self.unit.tight() { "" } else { " " };
        f.pad(&format!("{}{gap}{}", self.digits, self.unit))
    }
}

impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.ucum())
    }
}

impl<'de> Deserialize<'de> for Quantity {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Cow::<str>::deserialize(deserializer)?;
        text.parse().map_err(de::Error::custom)
    }
}
