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

    /// A computed value with so many decimals (below zero: rounded to tens, hundreds). Minutes and seconds of a degree or more are
    /// shown with their degrees, as nobody reads 750′.
    ///
    /// # Errors
    /// [`QuantityError::NotFinite`].
    pub fn with_decimals(value: f64, decimals: i32, unit: Unit) -> Result<Quantity, QuantityError> {
        let figures = crate::rounding::to_decimals(value, decimals);
        let computed = Self::from_number(number(&figures)?, unit)?;
        let degree = match unit {
            _ if unit == Unit::ARC_MINUTE => 60.0,
            _ if unit == Unit::ARC_SECOND => 3600.0,
            _ => f64::INFINITY,
        };
        Ok(Quantity { composed: computed.value.abs() >= degree, ..computed })
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

    /// Whether it is shown as degrees, minutes and perhaps seconds.
    pub(crate) fn is_composed(&self) -> bool {
        self.composed
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
    let (minutes, rest) = figures_alone(rest)?;
    let (rest, minute_sign) = strip_any(rest, &["''", "″", "\"", "'", "′", "’", "min"]);
    if !matches!(minute_sign, Some("'" | "′" | "’" | "min")) {
        return Err(wrong());
    }
    let (seconds, unit) = if rest.trim().is_empty() {
        (None, Unit::ARC_MINUTE)
    } else {
        let (seconds, rest) = figures_alone(rest)?;
        let (rest, sign) = strip_any(rest, &["''", "″", "\"", "”", "s"]);
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

/// A number without thousands marks, and what follows: in 30'15" the apostrophe marks minutes.
fn figures_alone(text: &str) -> Result<(Number<'_>, &str), QuantityError> {
    let text = text.trim_start();
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(text.len());
    Ok((number(&text[..end])?, &text[end..]))
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

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Quantity {
        text.parse().unwrap_or_else(|error| panic!("{text}: {error}"))
    }

    #[test]
    fn what_people_type_is_read_as_they_mean_it() {
        for (text, shown, stored) in [
            ("0.49 in", "0.49 in", "0.49 [in_i]"),
            ("12,5 mm", "12.5 mm", "12.5 mm"),
            ("65 Nm", "65 N·m", "65 N.m"),
            ("65 N·m", "65 N·m", "65 N.m"),
            ("48 lb-ft", "48 lbf·ft", "48 [ft_i].[lbf_av]"),
            ("1.2 bar", "1.2 bar", "1.2 bar"),
            ("84 210 km", "84210 km", "84210 km"),
            ("12° 30′", "12° 30′", "12 deg 30 '"),
            ("12°30'15\"", "12° 30′ 15″", "12 deg 30 ' 15 ''"),
            ("-0° 5.5'", "-0° 5.5′", "-0 deg 5.5 '"),
            ("1.5e-3 m", "1.5e-3 m", "1.5e-3 m"),
            ("35 thou", "35 thou", "35 [mil_i]"),
            ("7 a", "7 a", "7 a"),
            ("7 years", "7 a", "7 a"),
            ("25.0mm", "25.0 mm", "25.0 mm"),
            ("6/32 in", "6 /32 in", "6 [in_i]/32"),
            ("0.490\"", "0.490 in", "0.490 [in_i]"),
            ("21 °C", "21 °C", "21 Cel"),
            ("21 C", "21 °C", "21 Cel"),
            ("9.6:1", "9.6:1", "9.6 1"),
            ("9.6 1", "9.6:1", "9.6 1"),
            ("0.5 l / 1000 km", "0.5 L/1000 km", "0.5 L/(1000.km)"),
            ("850 1/min", "850 rpm", "850 {rev}/min"),
            ("0,4 Ω", "0.4 Ω", "0.4 Ohm"),
            ("30 μm", "30 µm", "30 um"),
            ("460 J/(kg K)", "460 J/(kg·K)", "460 J/(kg.K)"),
        ] {
            let quantity = read(text);
            assert_eq!(quantity.to_string(), shown, "{text}");
            assert_eq!(quantity.ucum(), stored, "{text}");
            assert_eq!(read(shown), quantity, "{text}");
            assert_eq!(read(stored), quantity, "{text}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_refused_with_what_would_be_right() {
        for (text, says) in [
            ("", "nothing is written; write a number and its unit, such as \"23.0 mm\""),
            ("12.5", "`12.5` has no unit; write one behind the number, such as \"12.5 mm\""),
            ("12.5 mn", "unit `mn` is not known; did you mean `mm`?"),
            ("12.5 Mm", "unit `Mm` is not known; did you mean `mm`?"),
            ("12.5 inn", "unit `inn` is not known; did you mean `in`?"),
            ("65 NM", "unit `NM` is not known; did you mean `Nm`?"),
            ("3 furlongs", "unit `furlongs` is not known"),
            ("84,210 km", "`84,210` can be read in two ways; write 84210 km or 84.210 km"),
            (
                "12° 75′",
                "`12° 75′` is not an angle in degrees and minutes; write minutes and seconds below 60, such as 12° 30′",
            ),
            (
                "12.5° 30′",
                "`12.5° 30′` is not an angle in degrees and minutes; write minutes and seconds below 60, such as 12° 30′",
            ),
            (
                "12° 30",
                "`12° 30` is not an angle in degrees and minutes; write minutes and seconds below 60, such as 12° 30′",
            ),
        ] {
            assert_eq!(text.parse::<Quantity>().unwrap_err().to_string(), says, "{text}");
        }
        let error = read("23.0 N.m").expect(Kind::Length).unwrap_err();
        assert_eq!(error.to_string(), "expected a length such as 23.0 mm, found 23.0 N·m, a torque");
        assert!(
            read("12,345 mm").value() == 12.345,
            "three decimals of a millimetre are an ordinary reading"
        );
    }

    #[test]
    fn a_torque_is_not_an_energy_and_a_degree_of_difference_not_a_temperature() {
        assert!(read("65 N.m").value_in(Unit::J).is_err());
        assert!(read("5 K").value_in(Unit::CELSIUS).is_err());
        assert_eq!(read("294.15 K").expect(Kind::Temperature).unwrap().value_in(Unit::CELSIUS), Ok(21.0));
        assert_eq!(read("0.1 °C").spread_in(Unit::K), Ok(0.1));
        assert_eq!(read("0.9 °F").spread_in(Unit::CELSIUS), Ok(0.5));
    }

    #[test]
    fn a_keypad_gives_figures_alone() {
        assert_eq!(Quantity::typed_in("22,4", Unit::MM).unwrap(), read("22.4 mm"));
        assert_eq!(Quantity::typed_in("0.88 in", Unit::MM).unwrap(), read("0.88 in"));
        assert!(matches!(Quantity::typed_in("65 Nm", Unit::MM), Err(QuantityError::WrongKind { .. })));
        assert_eq!(Quantity::typed_in(" ", Unit::MM), Err(QuantityError::Empty));
    }

    #[test]
    fn digits_carry_the_resolution() {
        for (text, resolution, decimals) in [
            ("0.490 in", 0.001, 3),
            ("84210 km", 1.0, 0),
            ("1.5e-3 m", 1e-4, 4),
            ("2e3 m", 1000.0, -3),
            ("12° 30′", 1.0, 0),
        ] {
            assert_eq!((read(text).resolution(), read(text).decimals()), (resolution, decimals), "{text}");
        }
        assert_ne!(read("0.490 in"), read("0.49 in"));
    }

    #[test]
    fn order_follows_the_meaning() {
        assert_eq!(read("1 in").compare(&read("25.4 mm")), Ok(Ordering::Equal));
        assert_eq!(read("2 bar").compare(&read("30 psi")), Ok(Ordering::Less));
        assert!(read("2 bar").compare(&read("30 mm")).is_err());
    }

    #[test]
    fn long_numbers_are_shown_in_threes() {
        assert_eq!(read("84210 km").spaced(), "84\u{202f}210\u{a0}km");
        assert_eq!(read("-1234567.5 g").spaced(), "−1\u{202f}234\u{202f}567.5\u{a0}g");
        assert_eq!(read("2026 mm").spaced(), "2026\u{a0}mm");
        assert_eq!(read("12.5°").spaced(), "12.5°");
    }

    #[test]
    fn a_computed_value_is_written_with_the_decimals_asked_for() {
        assert_eq!(Quantity::with_decimals(22.4449, 2, Unit::MM).unwrap(), read("22.44 mm"));
        assert_eq!(Quantity::with_decimals(84_213.0, -2, Unit::KM).unwrap(), read("84200 km"));
        assert_eq!(Quantity::new(1e-9, Unit::M).unwrap(), read("1e-9 m"));
        assert!(Quantity::new(f64::NAN, Unit::M).is_err());
        assert!(Quantity::with_decimals(f64::INFINITY, 2, Unit::M).is_err());
    }
}
