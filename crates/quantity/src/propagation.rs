//! The uncertainty of a formula's result from that of its inputs.

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
                Some(shared) => format!("{} of {shared}", line.source),
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
