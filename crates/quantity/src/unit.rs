//! A unit of the catalogue: what it measures, how it is written, how it turns into SI.

use crate::catalogue::ROWS;
use crate::{Kind, QuantityError};
use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::{borrow::Cow, fmt, str::FromStr, sync::LazyLock};
use strsim::damerau_levenshtein;

/// Exponents of metre, kilogram, second, kelvin, ampere and radian.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Dimension(pub [i8; 6]);

/// A unit of measurement; the associated constants are the whole catalogue.
///
/// A unit is read from any of its spellings, shown by its symbol, and stored by its UCUM code.
///
/// ```
/// use quantity::{Kind, Unit};
/// let unit: Unit = "lbf·ft".parse()?;
/// assert_eq!(unit, Unit::LBF_FT);
/// assert_eq!(unit.code(), "[ft_i].[lbf_av]");
/// assert_eq!(unit.kind(), Kind::Torque);
/// # Ok::<(), quantity::QuantityError>(())
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Unit(
    /// Its line of the catalogue.
    pub(crate) u16,
);

/// One line of the catalogue. `SI value = (shown + shift) · num / den`, times π to the power `pi`.
pub(crate) struct Row {
    pub kind: Kind,
    pub code: &'static str,
    pub symbol: &'static str,
    pub spellings: &'static [&'static str],
    pub num: Decimal,
    pub den: Decimal,
    pub pi: i8,
    pub shift: Decimal,
}

/// Factor and shift of each line as the nearest `f64`, worked out once: every value shown is divided by one.
static STEPS: LazyLock<Vec<(f64, f64)>> =
    LazyLock::new(|| ROWS.iter().map(|row| (row.factor(), nearest(row.shift))).collect());

impl Row {
    fn factor(&self) -> f64 {
        let Self { num, den, pi, .. } = self;
        let plain = num.checked_div(*den).map_or_else(|| nearest(*num) / nearest(*den), nearest);
        plain * std::f64::consts::PI.powi(i32::from(*pi))
    }
}

impl Unit {
    /// Every unit of the catalogue.
    pub fn all() -> impl Iterator<Item = Unit> {
        (0..ROWS.len()).map(|line| Unit(line as u16))
    }

    /// The units of one kind, the SI unit among them.
    pub fn of_kind(kind: Kind) -> impl Iterator<Item = Unit> {
        Self::all().filter(move |unit| unit.kind() == kind)
    }

    /// The unit written so, if the catalogue has it. Dots, superscripts and spaces may be typed in any usual way; upper
    /// and lower case count, since `mm` and `Mm` differ.
    pub fn find(spelling: &str) -> Option<Unit> {
        let spelling = plain(spelling);
        Self::all().find(|unit| unit.spelled(&spelling))
    }

    fn row(self) -> &'static Row {
        &ROWS[self.0 as usize]
    }

    /// The UCUM code, the form in which a unit is stored.
    pub fn code(self) -> &'static str {
        self.row().code
    }

    /// The form in which a unit is shown to people.
    pub fn symbol(self) -> &'static str {
        self.row().symbol
    }

    /// What the unit measures.
    pub fn kind(self) -> Kind {
        self.row().kind
    }

    /// Exponents of the base units.
    pub fn dimension(self) -> Dimension {
        self.kind().dimension()
    }

    /// SI units in one of this unit; for a temperature, kelvins in one degree.
    pub fn factor(self) -> f64 {
        STEPS[self.0 as usize].0
    }

    /// Zero of SI, seen from this unit, with its sign turned: 273.15 for degrees Celsius, 0 for nearly all others.
    pub fn shift(self) -> f64 {
        STEPS[self.0 as usize].1
    }

    /// A value in this unit, in SI.
    pub fn to_si(self, value: f64) -> f64 {
        (value + self.shift()) * self.factor()
    }

    /// An SI value, in this unit.
    pub fn from_si(self, si: f64) -> f64 {
        si / self.factor() - self.shift()
    }

    /// How many of `to` one step of this unit makes; for steps, spreads and slopes, where the zero of a scale has no part.
    ///
    /// # Errors
    /// [`QuantityError::Convert`] when the kinds differ; a temperature and a temperature difference have the same steps.
    pub fn steps_in(self, to: Unit) -> Result<f64, QuantityError> {
        let step = |kind| if kind == Kind::Temperature { Kind::TemperatureDifference } else { kind };
        if step(self.kind()) != step(to.kind()) {
            return Err(QuantityError::Convert { from: self, to });
        }
        Ok(self.ratio(to).map_or_else(|| self.factor() / to.factor(), |(a, b)| nearest_ratio(a, b)))
    }

    /// A value in this unit, in another unit of the same kind.
    ///
    /// # Errors
    /// [`QuantityError::Convert`] when the kinds differ.
    pub fn convert(self, value: f64, to: Unit) -> Result<f64, QuantityError> {
        if self.kind() != to.kind() {
            return Err(QuantityError::Convert { from: self, to });
        }
        if self == to {
            return Ok(value);
        }
        if self.shift() == 0.0 && to.shift() == 0.0 {
            return Ok(value * self.steps_in(to)?);
        }
        Ok(to.from_si(self.to_si(value)))
    }

    /// Exact decimal digits in this unit, converted without leaving decimals, then rounded once to the nearest `f64`.
    /// `None` where decimals do not reach: π is in the factor, or the number is too large or too small for them.
    pub(crate) fn convert_exactly(self, digits: &str, to: Unit) -> Option<f64> {
        let (a, b) = self.ratio(to)?;
        let from_zero = decimal(digits)?.checked_add(self.row().shift)?;
        let scaled = from_zero.checked_mul(a)?.checked_div(b)?;
        // Decimals hold 28 places: below this bound fewer than 18 significant digits would be left.
        let precise = from_zero.is_zero() || scaled.abs() > ONE_TEN_BILLIONTH;
        precise.then(|| scaled.checked_sub(to.row().shift).map(nearest)).flatten()
    }

    /// Numerator and denominator of the step ratio, where π cancels.
    fn ratio(self, to: Unit) -> Option<(Decimal, Decimal)> {
        if self.row().pi != to.row().pi {
            return None;
        }
        Some((self.row().num.checked_mul(to.row().den)?, self.row().den.checked_mul(to.row().num)?))
    }

    /// Whether the symbol follows the number without a space: 12°, 9.6:1.
    pub(crate) fn tight(self) -> bool {
        matches!(self.code(), "deg" | "'" | "''" | "1")
    }

    fn spelled(self, spelling: &str) -> bool {
        self.row().code == spelling || self.row().spellings.contains(&spelling)
    }

    /// All the ways this unit may be written.
    pub fn spellings(self) -> impl Iterator<Item = &'static str> {
        [self.row().code, self.row().symbol].into_iter().chain(self.row().spellings.iter().copied())
    }
}

const ONE_TEN_BILLIONTH: Decimal = Decimal::from_parts(1, 0, 0, false, 10);

/// A spelling with the ways of typing a dot, a power, a micro sign or a space reduced to one.
pub(crate) fn plain(spelling: &str) -> Cow<'_, str> {
    let spelling = spelling.trim();
    let usual = |c: char| c.is_ascii_graphic() && c != '*';
    if spelling.chars().all(usual) {
        return Cow::Borrowed(spelling);
    }
    let mut out = String::with_capacity(spelling.len());
    for c in spelling.chars() {
        match c {
            '·' | '⋅' | '∙' | '•' | '×' | '*' => out.push('.'),
            '²' => out.push('2'),
            '³' => out.push('3'),
            '⁻' => out.push('-'),
            '¹' => out.push('1'),
            '\u{b5}' | '\u{3bc}' => out.push('u'),
            '\u{3a9}' | '\u{2126}' => out.push_str("Ohm"),
            '′' | '’' | 'ʹ' => out.push('\''),
            '″' => out.push_str("''"),
            '“' | '”' => out.push('"'),
            'º' | '˚' => out.push('°'),
            c if c.is_whitespace() => {
                // Words keep one space between them; beside a sign a space says nothing.
                let word = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric());
                if word(out.chars().last()) {
                    out.push(' ');
                }
            }
            c => {
                if !c.is_alphanumeric() && out.ends_with(' ') {
                    out.pop();
                }
                out.push(c);
            }
        }
    }
    Cow::Owned(out)
}

/// A decimal number as `Decimal`; `None` when it has more places or powers than that holds.
fn decimal(digits: &str) -> Option<Decimal> {
    if digits.contains('e') {
        Decimal::from_scientific(digits).ok()
    } else {
        Decimal::from_str_exact(digits).ok()
    }
}

/// The `f64` nearest to a decimal.
fn nearest(decimal: Decimal) -> f64 {
    // Powers of ten up to here are exact, so one division rounds once.
    const EXACT_POWERS: [f64; 23] = [
        1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17,
        1e18, 1e19, 1e20, 1e21, 1e22,
    ];
    let mantissa = decimal.mantissa();
    match EXACT_POWERS.get(decimal.scale() as usize) {
        Some(power) if mantissa.unsigned_abs() < 1 << 53 => mantissa as f64 / power,
        _ => decimal.to_string().parse().unwrap_or(f64::NAN), // a decimal's text is always a number
    }
}

fn nearest_ratio(num: Decimal, den: Decimal) -> f64 {
    match num.checked_div(den) {
        Some(ratio) if ratio > ONE_TEN_BILLIONTH => nearest(ratio),
        _ => nearest(num) / nearest(den),
    }
}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Unit({})", self.code())
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.symbol())
    }
}

impl FromStr for Unit {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, QuantityError> {
        if text.trim().is_empty() {
            return Err(QuantityError::Empty);
        }
        Unit::find(text).ok_or_else(|| QuantityError::UnknownUnit {
            found: text.trim().to_owned(),
            nearest: nearest_spelling(text),
        })
    }
}

/// The known spelling that differs least from the text, if any comes near.
fn nearest_spelling(text: &str) -> Option<&'static str> {
    let text = plain(text);
    let length = text.chars().count();
    if length > 24 {
        return None; // no spelling is that long
    }
    let allowed = (length / 2).clamp(1, 3);
    let lower_text = text.to_lowercase();
    let likeness = |spelling: &str| {
        let edits = damerau_levenshtein(&spelling.to_lowercase(), &lower_text);
        let wrong_case = damerau_levenshtein(spelling, &text).abs_diff(edits);
        // Wrong letters weigh more than letters in the wrong case, and those more than a letter too many.
        (edits, wrong_case, spelling.chars().count().abs_diff(length))
    };
    Unit::all()
        .flat_map(Unit::spellings)
        .map(|spelling| (likeness(spelling), spelling))
        .filter(|((edits, ..), spelling)| *edits <= allowed && *edits < spelling.chars().count())
        .min_by_key(|(likeness, _)| *likeness)
        .map(|(_, spelling)| spelling)
}

impl Serialize for Unit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.code())
    }
}

impl<'de> Deserialize<'de> for Unit {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Cow::<str>::deserialize(deserializer)?;
        text.parse().map_err(de::Error::custom)
    }
}
