//! The uncertainty of a formula's result from that of its inputs.

use crate::measurement::AS_STATED;
use crate::{Line, Measurement, UncertaintyError, Unit};

/// One input of a formula.
#[derive(Debug, Clone, Copy)]
pub struct Input<'a> {
    /// Names the input in the budget of the result.
    pub name: &'a str,
    /// What was measured.
    pub measured: &'a Measurement,
    /// `∂f/∂x` at the measured values, in the unit of the result over that of the input.
    pub sensitivity: f64,
}

/// The result of a formula with its uncertainty to first order: `u_c² = Σ_i Σ_j c_i c_j r_ij u_i u_j`.
///
/// `value` is `f` at the measured values, in `unit`. Errors that inputs share are added with their signs before squaring
/// (r = 1), all others are independent (r = 0). So the difference of two readings of one micrometer loses its calibration
/// part; across instruments it does not. Whether first order is enough is another question: [`crate::doubts`].
///
/// # Errors
/// [`UncertaintyError::NotFinite`] for a value or a sensitivity.
///
/// Source: JCGM 100:2008 5.1.2, 5.2.2. Checked: `reference/metrology.json`, formulas `propagate`, `difference`.
pub fn propagate(value: f64, unit: Unit, inputs: &[Input<'_>]) -> Result<Measurement, UncertaintyError> {
    let mut result = Measurement::new(value, unit)?;
    for input in inputs {
        let c = crate::standard::finite("sensitivity", input.sensitivity)?;
        for line in input.measured.lines() {
            let source = match &line.shared {
                // Named already when the input is itself a result.
                Some(shared) if line.source.ends_with(shared.as_str()) => line.source.clone(),
                Some(shared) => format!("{} of {shared}", line.source),
                None if line.source == AS_STATED => input.name.to_owned(),
                None => format!("{} · {}", input.name, line.source),
            };
            result.add(Line { source, sensitivity: c * line.sensitivity, ..line.clone() })?;
        }
        for note in input.measured.notes() {
            result = result.noting(note.clone());
        }
    }
    Ok(result)
}

/// A difference of two measurements, `later − earlier`, in the unit of the first.
///
/// # Errors
/// [`UncertaintyError::Quantity`] when the kinds differ.
pub fn difference(later: &Measurement, earlier: &Measurement) -> Result<Measurement, UncertaintyError> {
    let earlier = earlier.in_unit(later.unit())?;
    let inputs = [
        Input { name: "later", measured: later, sensitivity: 1.0 },
        Input { name: "earlier", measured: &earlier, sensitivity: -1.0 },
    ];
    propagate(later.value() - earlier.value(), later.unit(), &inputs)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Note, Shape};

    fn read(value: f64, instrument: &str) -> Measurement {
        Measurement::new(value, Unit::MM)
            .and_then(|m| m.with(Line::own("repeatability", Shape::Normal, 0.003)))
            .and_then(|m| m.with(Line::shared("calibration", Shape::Normal, 0.004, instrument)))
            .unwrap()
            .noting(Note::CalibrationOverdue { instrument: instrument.into() })
    }

    #[test]
    fn wear_between_two_readings_of_one_instrument_is_free_of_its_calibration() {
        let wear = difference(&read(24.61, "mic-2"), &read(25.0, "mic-2")).unwrap();
        assert!((wear.value() + 0.39).abs() < 1e-12);
        assert!((wear.u() - 0.003 * 2f64.sqrt()).abs() < 1e-15);
        assert_eq!(wear.notes().len(), 1, "what holds of both is said once");
        let across = difference(&read(24.61, "mic-2"), &read(25.0, "mic-3")).unwrap();
        assert!((across.u() - 0.005 * 2f64.sqrt()).abs() < 1e-15);
    }

    #[test]
    fn a_result_can_be_an_input_again() {
        let first = difference(&read(24.61, "mic-2"), &read(25.0, "mic-3")).unwrap();
        let again = Input { name: "wear", measured: &first, sensitivity: 0.5 };
        let half = propagate(0.5 * first.value(), Unit::MM, &[again]).unwrap();
        let sources: Vec<&str> = half.lines().iter().map(|line| line.source.as_str()).collect();
        assert_eq!(
            sources,
            [
                "wear · later · repeatability",
                "calibration of mic-2",
                "wear · earlier · repeatability",
                "calibration of mic-3"
            ]
        );
        assert!((half.u() - 0.5 * first.u()).abs() < 1e-15);
    }

    #[test]
    fn a_difference_across_kinds_is_refused() {
        let force = Measurement::new(5.0, Unit::N).unwrap();
        assert!(difference(&read(24.61, "mic-2"), &force).is_err());
        let wild = Input { name: "x", measured: &force, sensitivity: f64::NAN };
        assert!(propagate(1.0, Unit::N, &[wild]).is_err());
    }
}
