//! Limits of a value.

/// The values a part may have: from `min` to `max`, either may be open.
///
/// Wear goes one way and so to one of the two; a value already past the other counts as past just the same.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Limits {
    pub min: Option<f64>,
    pub max: Option<f64>,
}

impl Limits {
    /// At least this much, such as a disc's thickness.
    pub fn min(min: f64) -> Self {
        Self { min: Some(min), max: None }
    }

    /// At most this much, such as play.
    pub fn max(max: f64) -> Self {
        Self { min: None, max: Some(max) }
    }

    /// Between the two, such as a valve's clearance.
    pub fn between(min: f64, max: f64) -> Self {
        Self { min: Some(min), max: Some(max) }
    }
}
