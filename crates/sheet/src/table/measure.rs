//! Measures and money: text that says an amount.

use super::{Shape, TableFault, Value, value::shortened};
use crate::diagnostic::Fault;
use quantity::{Kind, Quantity, QuantityError, Unit};
use rust_decimal::Decimal;
use std::str::FromStr;

impl<'a, F: Fault + From<TableFault>> Value<'a, F> {
    /// A unit: "mm".
    pub fn unit(self) -> Option<Unit> {
        self.converted(Shape::Text, |text| text.parse())
    }

    /// A measure of any kind: "22.0 mm".
    pub fn quantity(self) -> Option<Quantity> {
        self.parsed()
    }

    /// A measure of any kind; where the unit is missing, `like` is the one to suggest.
    pub fn quantity_like(self, like: Unit) -> Option<Quantity> {
        self.converted(Shape::Measure, |text| {
            text.parse().map_err(|cause| match cause {
                QuantityError::NoUnit { digits, .. } => QuantityError::NoUnit { digits, example: like },
                other => other,
            })
        })
    }

    /// Text that the room of quantities can read as something else.
    pub fn parsed<T: FromStr<Err = QuantityError>>(self) -> Option<T> {
        self.converted(Shape::Measure, |text| text.parse())
    }

    fn converted<T>(self, shape: Shape, convert: impl FnOnce(&str) -> Result<T, QuantityError>) -> Option<T> {
        let text = self.str_for(shape)?;
        convert(text).map_or_else(|cause| self.refuse(|_| TableFault::Measure { cause }), Some)
    }

    /// A measure of one of these kinds.
    pub fn measure(self, kinds: &[Kind]) -> Option<Quantity> {
        let usual = kinds.first().and_then(|kind| kind.example().parse::<Quantity>().ok());
        self.measure_like(kinds, usual.map_or(Unit::MM, |usual| usual.unit()))
    }

    fn measure_like(self, kinds: &[Kind], like: Unit) -> Option<Quantity> {
        let quantity = self.quantity_like(like)?;
        if kinds.contains(&quantity.kind()) {
            return Some(quantity);
        }
        self.refuse(|what| TableFault::WrongKind { what, found: quantity.unit(), wanted: kinds.to_vec() })
    }

    /// A measure of one of these kinds that is above zero.
    pub fn positive_measure(self, kinds: &[Kind]) -> Option<Quantity> {
        let quantity = self.measure(kinds)?;
        if quantity.value() > 0.0 { Some(quantity) } else { self.out_of_range("more than 0") }
    }

    /// A measure of a unit's kind that is not below zero, in that unit.
    pub fn amount_in(self, unit: Unit) -> Option<f64> {
        self.in_unit(unit, |amount| amount >= 0.0, "0 or more")
    }

    /// A measure of a unit's kind that is above zero, in that unit.
    pub fn positive_in(self, unit: Unit) -> Option<f64> {
        self.in_unit(unit, |amount| amount > 0.0, "more than 0")
    }

    /// The same, or a plain number of that unit: `years = 1` is `years = "1 year"`.
    pub fn plain_or_in(self, unit: Unit) -> Option<f64> {
        match self.shape() {
            Shape::Number | Shape::WholeNumber => self.number_that(|number| number > 0.0, "more than 0"),
            _ => self.positive_in(unit),
        }
    }

    fn in_unit(self, unit: Unit, holds: impl Fn(f64) -> bool, wanted: &'static str) -> Option<f64> {
        let quantity = self.measure_like(&[unit.kind()], unit)?;
        quantity.value_in(unit).ok().filter(|value| holds(*value)).or_else(|| self.out_of_range(wanted))
    }

    /// A distance as an odometer shows it, in the unit that was written.
    pub fn odometer(self) -> Option<Quantity> {
        let shown = self.measure_like(&[Kind::Length], Unit::KM)?;
        if shown.value() >= 0.0 { Some(shown) } else { self.out_of_range("what it shows: 0 km or more") }
    }

    /// A distance, in km.
    pub fn km(self) -> Option<f64> {
        self.amount_in(Unit::KM)
    }

    /// A time, in years.
    pub fn years(self) -> Option<f64> {
        self.amount_in(Unit::YEAR)
    }

    /// An amount of money that is not below zero, in a currency said elsewhere: "84.50".
    pub fn money(self) -> Option<Decimal> {
        let text = self.str_for(Shape::Money)?;
        let plain =
            text.chars().all(|c| c.is_ascii_digit() || c == '.') && text.starts_with(|c: char| c != '.');
        let amount = plain.then(|| Decimal::from_str_exact(text).ok()).flatten();
        amount.or_else(|| self.refuse(|what| TableFault::Money { what, found: shortened(text) }))
    }
}
