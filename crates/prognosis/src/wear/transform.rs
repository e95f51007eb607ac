//! Clocks and values on which a bent path is straight.

use super::{Limits, Reading};

/// How a sheet says that a kind of part is to be looked at so that its wear goes straight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Transform {
    /// As it is.
    #[default]
    Straight,
    /// The logarithm of the value: wear that grows on itself.
    LogValue,
    /// The square root of the clock: wear that slows down.
    RootClock,
}

impl Transform {
    pub fn clock(self, x: f64) -> f64 {
        match self {
            Transform::RootClock => x.max(0.0).sqrt(),
            Transform::Straight | Transform::LogValue => x,
        }
    }

    pub fn clock_back(self, x: f64) -> f64 {
        match self {
            Transform::RootClock => x * x,
            Transform::Straight | Transform::LogValue => x,
        }
    }

    pub fn value(self, y: f64) -> f64 {
        match self {
            Transform::LogValue => y.ln(),
            Transform::Straight | Transform::RootClock => y,
        }
    }

    pub fn value_back(self, y: f64) -> f64 {
        match self {
            Transform::LogValue => y.exp(),
            Transform::Straight | Transform::RootClock => y,
        }
    }

    pub fn limits(self, limits: Limits) -> Limits {
        Limits { min: limits.min.map(|min| self.value(min)), max: limits.max.map(|max| self.value(max)) }
    }

    /// A reading with its uncertainties; on the logarithm they are relative ones.
    pub fn reading(self, reading: &Reading) -> Reading {
        let per_unit = if self == Transform::LogValue { 1.0 / reading.y.abs() } else { 1.0 };
        Reading {
            x: self.clock(reading.x),
            y: self.value(reading.y),
            own_u: reading.own_u * per_unit,
            shared_u: reading.shared_u * per_unit,
            ..*reading
        }
    }
}

/// Readings from when a part had bedded in, on a clock that starts there: what it lost in bedding says nothing of how
/// fast it wears. The as-new value of its prior is then that of a bedded part.
pub fn after_bedding(readings: &[Reading], bedding: f64) -> Vec<Reading> {
    readings.iter().filter(|r| r.x >= bedding).map(|r| Reading { x: r.x - bedding, ..*r }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_transformed_comes_back() {
        for transform in [Transform::Straight, Transform::LogValue, Transform::RootClock] {
            assert!((transform.clock_back(transform.clock(49.0)) - 49.0).abs() < 1e-12);
            assert!((transform.value_back(transform.value(2.5)) - 2.5).abs() < 1e-12);
        }
        let log = Transform::LogValue.reading(&Reading::new(10.0, 4.0, 0.02));
        assert!((log.own_u - 0.005).abs() < 1e-15 && log.x == 10.0);
        assert!(Transform::LogValue.limits(Limits::max(1.0)).max == Some(0.0));
    }

    #[test]
    fn readings_before_bedding_are_left_out() {
        let readings = [Reading::new(0.5, 10.0, 0.1), Reading::new(3.0, 9.0, 0.1)];
        assert_eq!(after_bedding(&readings, 1.0), [Reading::new(2.0, 9.0, 0.1)]);
    }
}
