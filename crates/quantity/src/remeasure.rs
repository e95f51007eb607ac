//! What would settle a measurement that cannot tell.

use crate::distribution::normal_quantile;
use crate::standard::{finite, not_negative};
use crate::{AcceptedRisk, Bounds, Decision, Measurement, UncertaintyError};

/// Smallest number of readings with `|T − y| ≥ z_{1−α} √(u_s² + s²/n)`; `None` when the part `u_s` that repeating does not
/// shrink is already too large: another instrument is needed.
///
/// `gap` distance from value to limit, `s` standard deviation of one reading, `u_s`, all in one unit; `risk` α.
///
/// # Errors
/// [`UncertaintyError::Negative`], [`UncertaintyError::NotFinite`], [`UncertaintyError::Risk`] unless 0 < α ≤ ½.
///
/// Source: derived from JCGM 106:2012 8.3. Checked: `reference/conformity.json`, formula `readings-needed`.
pub fn readings_needed(gap: f64, s: f64, u_s: f64, risk: f64) -> Result<Option<u32>, UncertaintyError> {
    let (gap, s, u_s) =
        (not_negative("gap", gap)?, not_negative("repeatability", s)?, not_negative("steady part", u_s)?);
    let allowed = allowed_u(gap, risk)?;
    if allowed <= u_s {
        return Ok(None);
    }
    let n = (s * s / ((allowed - u_s) * (allowed + u_s))).ceil().max(1.0);
    Ok((n <= f64::from(u32::MAX)).then_some(n as u32))
}

/// What it would take to decide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settle {
    /// What would be decided if the value stays where it is.
    pub towards: Decision,
    /// Distance to the nearer limit.
    pub gap: f64,
    /// Standard uncertainty with which the value would decide.
    pub u_needed: f64,
    /// Readings needed beyond those already taken; `None` when no number of them does it.
    pub more_readings: Option<u32>,
    /// How small the shared part (the instrument's own error) would have to be with the readings as they are; `None` when
    /// that alone does not do it.
    pub shared_needed: Option<f64>,
}

/// Looks for what would settle a measurement against limits: more repeats, or a better instrument.
///
/// `s` standard deviation of one reading and `n` the repeats already in the mean; limits in the unit of the measurement.
/// The nearer limit is counted alone and the value is taken to stay where it is.
///
/// # Errors
/// As [`readings_needed`]; [`UncertaintyError::NoReadings`] for n = 0.
pub fn what_would_settle(
    measured: &Measurement,
    s: f64,
    n: u32,
    limits: &Bounds,
    accepted: AcceptedRisk,
) -> Result<Settle, UncertaintyError> {
    if n == 0 {
        return Err(UncertaintyError::NoReadings);
    }
    let inside = limits.contain(measured.value());
    let (towards, risk) =
        if inside { (Decision::Pass, accepted.pass()) } else { (Decision::Fail, accepted.fail()) };
    let gap = finite("gap", limits.gap(measured.value()))?;
    let u_needed = allowed_u(gap, risk)?;
    let averaged = not_negative("repeatability", s)? / f64::from(n).sqrt();
    let u_s = (measured.u().powi(2) - averaged.powi(2)).max(0.0).sqrt();
    let needed = readings_needed(gap, s, u_s, risk)?;
    let own = measured.u_e();
    Ok(Settle {
        towards,
        gap,
        u_needed,
        more_readings: needed.map(|needed| needed.saturating_sub(n)),
        shared_needed: (u_needed > own).then(|| ((u_needed - own) * (u_needed + own)).sqrt()),
    })
}

/// Largest standard uncertainty that decides at this distance: `gap / z_{1−α}`.
fn allowed_u(gap: f64, risk: f64) -> Result<f64, UncertaintyError> {
    if !(risk > 0.0 && risk <= 0.5) {
        return Err(UncertaintyError::Risk { found: risk });
    }
    let z = -normal_quantile(risk);
    Ok(if z > 0.0 { gap / z } else { f64::INFINITY })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Line, Shape, Unit};

    #[test]
    fn the_number_of_readings_asked_for_is_just_enough() {
        let (gap, s, u_s) = (0.02, 0.03, 0.005);
        let n = readings_needed(gap, s, u_s, 0.05).unwrap().unwrap();
        let z = normal_quantile(0.95);
        let wide = |n: u32| z * (u_s * u_s + s * s / f64::from(n)).sqrt();
        assert!(wide(n) <= gap && wide(n - 1) > gap);
        assert_eq!(readings_needed(gap, 0.0, u_s, 0.05), Ok(Some(1)));
        assert_eq!(readings_needed(0.0, s, u_s, 0.05), Ok(None));
        assert!(readings_needed(gap, s, u_s, 0.7).is_err());
    }

    #[test]
    fn more_readings_or_a_better_instrument_settle_it() {
        let measured = |shared: f64| {
            Measurement::new(23.02, Unit::MM)
                .unwrap()
                .with(Line::own("repeatability", Shape::Normal, 0.03 / 2f64.sqrt()))
                .unwrap()
                .with(Line::shared("calibration", Shape::Normal, shared, "mic"))
                .unwrap()
        };
        let limits = Bounds::new(23.0, f64::INFINITY).unwrap();
        let settle =
            |shared| what_would_settle(&measured(shared), 0.03, 2, &limits, AcceptedRisk::USUAL).unwrap();
        assert_eq!((settle(0.005).towards, settle(0.005).more_readings), (Decision::Pass, Some(6)));
        assert_eq!(settle(0.005).shared_needed, None, "the repeats alone spread too far");
        assert_eq!(settle(0.02).more_readings, None);
        let below = Bounds::new(23.03, f64::INFINITY).unwrap();
        assert_eq!(
            what_would_settle(&measured(0.0), 0.03, 2, &below, AcceptedRisk::USUAL).unwrap().towards,
            Decision::Fail
        );
        assert!(what_would_settle(&measured(0.0), 0.03, 0, &below, AcceptedRisk::USUAL).is_err());
    }
}
