//! The limits a value has to keep.

use crate::{Kind, Quantity, QuantityError, UncertaintyError, Unit};
use serde::{Deserialize, Serialize};
use std::{cmp::Ordering, fmt};

/// A limit as published: a minimum, a maximum or both, of one kind. Written `{ min = "23.0 mm" }`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Written", into = "Written")]
pub struct Limit(Ends);

#[derive(Debug, Clone, PartialEq)]
enum Ends {
    Min(Quantity),
    Max(Quantity),
    Both(Quantity, Quantity),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    min: Option<Quantity>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    max: Option<Quantity>,
}

impl Limit {
    /// A limit with the ends given.
    ///
    /// # Errors
    /// [`UncertaintyError::NoLimit`] without either; [`UncertaintyError::Quantity`] when the kinds differ;
    /// [`UncertaintyError::LimitsCrossed`] unless the minimum is below the maximum.
    pub fn new(min: Option<Quantity>, max: Option<Quantity>) -> Result<Limit, UncertaintyError> {
        Ok(Limit(match (min, max) {
            (None, None) => return Err(UncertaintyError::NoLimit),
            (Some(min), None) => Ends::Min(min),
            (None, Some(max)) => Ends::Max(max),
            (Some(min), Some(max)) => {
                if min.compare(&max)? != Ordering::Less {
                    let upper = max.value_in(min.unit())?;
                    return Err(UncertaintyError::LimitsCrossed { lower: min.value(), upper });
                }
                Ends::Both(min, max)
            }
        }))
    }

    /// A minimum alone.
    pub fn at_least(min: Quantity) -> Limit {
        Limit(Ends::Min(min))
    }

    /// A maximum alone.
    pub fn at_most(max: Quantity) -> Limit {
        Limit(Ends::Max(max))
    }

    /// The minimum, if there is one.
    pub fn min(&self) -> Option<&Quantity> {
        match &self.0 {
            Ends::Min(min) | Ends::Both(min, _) => Some(min),
            Ends::Max(_) => None,
        }
    }

    /// The maximum, if there is one.
    pub fn max(&self) -> Option<&Quantity> {
        match &self.0 {
            Ends::Max(max) | Ends::Both(_, max) => Some(max),
            Ends::Min(_) => None,
        }
    }

    /// The unit in which the limit was published (that of the minimum, if there is one); comparisons are made in it.
    pub fn unit(&self) -> Unit {
        match &self.0 {
            Ends::Min(end) | Ends::Both(end, _) | Ends::Max(end) => end.unit(),
        }
    }

    /// What the limit is a limit of.
    pub fn kind(&self) -> Kind {
        self.unit().kind()
    }

    /// The limit as numbers in a unit.
    ///
    /// # Errors
    /// [`QuantityError::WrongKind`].
    pub fn bounds_in(&self, unit: Unit) -> Result<Bounds, QuantityError> {
        let end = |end: Option<&Quantity>, absent| end.map_or(Ok(absent), |end| end.value_in(unit));
        Ok(Bounds { lower: end(self.min(), f64::NEG_INFINITY)?, upper: end(self.max(), f64::INFINITY)? })
    }
}

impl TryFrom<Written> for Limit {
    type Error = UncertaintyError;

    fn try_from(written: Written) -> Result<Limit, UncertaintyError> {
        Limit::new(written.min, written.max)
    }
}

impl From<Limit> for Written {
    fn from(limit: Limit) -> Written {
        match limit.0 {
            Ends::Min(min) => Written { min: Some(min), max: None },
            Ends::Max(max) => Written { min: None, max: Some(max) },
            Ends::Both(min, max) => Written { min: Some(min), max: Some(max) },
        }
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Ends::Min(min) => write!(f, "at least {min}"),
            Ends::Max(max) => write!(f, "at most {max}"),
            Ends::Both(min, max) => write!(f, "{min} to {max}"),
        }
    }
}

/// An interval of plain numbers; an end that is absent is infinite.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    pub(crate) lower: f64,
    pub(crate) upper: f64,
}

impl Bounds {
    /// From a lower and an upper end, −∞ or ∞ where absent.
    ///
    /// # Errors
    /// [`UncertaintyError::LimitsCrossed`] unless lower < upper (NaN is not); [`UncertaintyError::NoLimit`] when both are
    /// absent.
    pub fn new(lower: f64, upper: f64) -> Result<Bounds, UncertaintyError> {
        if lower == f64::NEG_INFINITY && upper == f64::INFINITY {
            return Err(UncertaintyError::NoLimit);
        }
        if lower < upper {
            Ok(Bounds { lower, upper })
        } else {
            Err(UncertaintyError::LimitsCrossed { lower, upper })
        }
    }

    /// Lower end, −∞ where absent.
    pub fn lower(&self) -> f64 {
        self.lower
    }

    /// Upper end, ∞ where absent.
    pub fn upper(&self) -> f64 {
        self.upper
    }

    /// Whether a value lies within, ends included.
    pub fn contain(&self, value: f64) -> bool {
        (self.lower..=self.upper).contains(&value)
    }

    /// Distance from a value to the nearer end.
    pub fn gap(&self, value: f64) -> f64 {
        (value - self.lower).abs().min((self.upper - value).abs())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_is_read_from_a_sheet_and_shown_in_words() {
        let both: Limit = serde_json::from_str(r#"{ "min": "0.49 in", "max": "13 mm" }"#).unwrap();
        assert_eq!(both.to_string(), "0.49 in to 13 mm");
        assert_eq!(both.unit(), Unit::INCH);
        assert_eq!(both.bounds_in(Unit::MM).unwrap(), Bounds::new(12.446, 13.0).unwrap());
        assert_eq!(serde_json::to_string(&both).unwrap(), r#"{"min":"0.49 [in_i]","max":"13 mm"}"#);
        let min: Limit = serde_json::from_str(r#"{ "min": "23.0 mm" }"#).unwrap();
        assert_eq!((min.to_string(), min.max()), ("at least 23.0 mm".to_owned(), None));
        assert!(min.bounds_in(Unit::N).is_err());
    }

    #[test]
    fn a_limit_that_bounds_nothing_or_crosses_is_refused() {
        for json in [
            "{}",
            r#"{ "min": "3 mm", "max": "2 mm" }"#,
            r#"{ "min": "3 mm", "max": "4 N" }"#,
            r#"{ "mim": "3 mm" }"#,
        ] {
            assert!(serde_json::from_str::<Limit>(json).is_err(), "{json}");
        }
        assert!(Bounds::new(f64::NAN, 1.0).is_err());
        assert!(Bounds::new(1.0, 1.0).is_err());
    }
}
