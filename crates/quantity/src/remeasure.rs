//! What would settle a measurement that cannot tell.

use crate::conformity::NORMAL_FROM_DOF;
use crate::distribution::{normal_quantile, normal_sf, student_sf};
use crate::reading::REPEATABILITY;
use crate::standard::{finite, not_negative};
use crate::{AcceptedRisk, Bounds, Decision, Measurement, UncertaintyError};

/// Beyond what the spread alone asks for, so many more are looked at for what the doubt about it adds.
const MOST_LOOKED_FOR: u32 = 40;

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
    let more_readings = match readings_needed(gap, s, u_s, risk)? {
        // Few repeats know their own spread badly: by it alone they would decide, with its doubt they do not yet.
        Some(needed) => more_than(needed.saturating_sub(n), n, spread_dof(measured), s, u_s, gap, risk),
        None => None,
    };
    let own = measured.u_e();
    Ok(Settle {
        towards,
        gap,
        u_needed,
        more_readings,
        shared_needed: (u_needed > own).then(|| ((u_needed - own) * (u_needed + own)).sqrt()),
    })
}

/// Standard deviation of one reading, from the mean of `n`: what repeating would shrink. 0 when nothing of it is known.
pub fn spread_of_one(measured: &Measurement, n: u32) -> f64 {
    let repeats = measured.lines().iter().filter(|line| line.source == REPEATABILITY);
    repeats.map(|line| line.contribution()).fold(0.0, f64::hypot) * f64::from(n).sqrt()
}

/// The fewest further readings, at least so many, with which a distribution as wide as the spread is known would decide.
fn more_than(least: u32, n: u32, dof: f64, s: f64, u_s: f64, gap: f64, risk: f64) -> Option<u32> {
    let decides = |more: u32| {
        let all = f64::from(n) + f64::from(more);
        let averaged = s * s / all;
        let u = (u_s * u_s + averaged).sqrt();
        // Each further reading also tells of the spread; the steady part is taken as known (Welch–Satterthwaite).
        let effective = (dof + f64::from(more)) * u.powi(4) / (averaged * averaged);
        let beyond =
            if effective < NORMAL_FROM_DOF { student_sf(gap / u, effective) } else { normal_sf(gap / u) };
        beyond <= risk
    };
    (least..=least.saturating_add(MOST_LOOKED_FOR)).find(|more| decides(*more))
}

/// Degrees of freedom of the spread that repeating shrinks: the least among the own parts.
fn spread_dof(measured: &Measurement) -> f64 {
    let own = measured.lines().iter().filter(|line| line.shared.is_none());
    own.map(|line| line.dof).fold(f64::INFINITY, f64::min)
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
    fn two_repeats_that_happen_to_agree_do_not_decide_yet() {
        let instrument = crate::Instrument::new("mic", "0.001 mm".parse().unwrap());
        let repeats = ["23.10 mm", "23.08 mm"].map(|text| text.parse().unwrap());
        let measured = crate::reading(&repeats, crate::Keep::Mean, &instrument, None).unwrap();
        let limits = Bounds::new(23.0, f64::INFINITY).unwrap();
        let s = 0.01 * 2f64.sqrt();
        let settle = what_would_settle(&measured, s, 2, &limits, AcceptedRisk::SAFETY).unwrap();
        assert_eq!(settle.more_readings, Some(1), "their own spread is known to one degree of freedom only");
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
