//! The limits a value has to keep.

use crate::{Quantity, QuantityError, UncertaintyError, Unit};
use serde::{Deserialize, Serialize};
use std::{cmp::Ordering, fmt};

/// A limit as published: a minimum, a maximum or both, of one kind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Written", into = "Written")]
pub struct Limit {
    min: Option<Quantity>,
    max: Option<Quantity>,
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
        match (&min, &max) {
            (None, None) => return Err(UncertaintyError::NoLimit),
            (Some(min), Some(max)) if min.compare(max)? != Ordering::Less => {
                let (lower, upper) = (min.value_in(max.unit())?, max.value());
                return Err(UncertaintyError::LimitsCrossed { lower, upper });
            }
            _ => {}
        }
        Ok(Limit { min, max })
    }

    /// A minimum alone.
    pub fn at_least(min: Quantity) -> Limit {
        Limit { min: Some(min), max: None }
    }

    /// A maximum alone.
    pub fn at_most(max: Quantity) -> Limit {
        Limit { min: None, max: Some(max) }
    }

    pub fn min(&self) -> Option<&Quantity> {
        self.min.as_ref()
    }

    pub fn max(&self) -> Option<&Quantity> {
        self.max.as_ref()
    }

    /// The unit in which the limit was published; comparisons are made in it. `None` never occurs for a limit with an end.
    pub fn unit(&self) -> Option<Unit> {
        self.min.as_ref().or(self.max.as_ref()).map(Quantity::unit)
    }

    /// The limit as numbers in a unit.
    ///
    /// # Errors
    /// [`QuantityError::WrongKind`].
    pub fn bounds_in(&self, unit: Unit) -> Result<Bounds, QuantityError> {
        let end = |end: &Option<Quantity>, absent| end.as_ref().map_or(Ok(absent), |q| q.value_in(unit));
        Ok(Bounds { lower: end(&self.min, f64::NEG_INFINITY)?, upper: end(&self.max, f64::INFINITY)? })
    }
}

impl TryFrom<Written> for Limit {
    type Error = UncertaintyError;

    fn try_from(written: Written) -> Result<Limit, UncertaintyError> {
        Limit::new(written.min, written.max)
    }
}

impl From<Limit> for Written {
    fn from(Limit { min, max }: Limit) -> Written {
        Written { min, max }
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.min, &self.max) {
            (Some(min), Some(max)) => write!(f, "{min} to {max}"),
            (Some(min), None) => write!(f, "at least {min}"),
            (None, Some(max)) => write!(f, "at most {max}"),
            (None, None) => Ok(()),
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

    pub fn lower(&self) -> f64 {
        self.lower
    }

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
