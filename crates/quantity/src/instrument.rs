//! What is known of a measuring instrument.

use crate::standard::{from_certificate, from_resolution};
use crate::{Allowance, Kind, Line, Note, Quantity, QuantityError, Shape, UncertaintyError, Unit};
use serde::{Deserialize, Serialize};

/// A calibration out of date counts so many times over. Common practice, no source.
pub const OVERDUE_FACTOR: f64 = 2.0;

/// An instrument as its owner states it.
///
/// ```
/// # use quantity::Instrument;
/// let micrometer: Instrument = serde_json::from_str(r#"{
///     "id": "mic-2", "resolution": "0.01 mm", "zero-set": true, "repeatability": "0.003 mm",
///     "calibration": { "certificate": { "expanded": "0.004 mm", "k": 2.0 } },
///     "effects": [{ "name": "contact and hand", "size": "0.006 mm", "spread": { "expanded": 2.0 } }]
/// }"#)?;
/// assert!(micrometer.problems().is_empty());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Instrument {
    /// Names the instrument; readings with the same id share its calibration error.
    pub id: String,
    /// Smallest step read: of the display, or the fraction of a division that is read on an analogue scale.
    pub resolution: Quantity,
    /// Whether it is set to zero before reading (comparators, stacked feelers): the resolution then enters twice.
    #[serde(default)]
    pub zero_set: bool,
    /// Standard deviation of one reading of the same thing, where the repeats themselves are too few to tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeatability: Option<Quantity>,
    /// Readings less one that the stated repeatability rests on; taken as known when absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeatability_dof: Option<f64>,
    #[serde(default)]
    /// How its own error is known.
    pub calibration: Calibration,
    /// Whether the calibration is out of date.
    #[serde(default)]
    pub overdue: bool,
    /// Other influences: the hand, the contact, the temperature.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub effects: Vec<Effect>,
}

/// How the instrument's own error is known.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Calibration {
    /// Not at all: nothing is counted, and it is said.
    #[default]
    Unknown,
    /// By a certificate with an expanded uncertainty and its coverage factor.
    Certificate { expanded: Allowance, k: f64 },
    /// Only by the largest error its maker or a standard allows.
    MaximumPermissibleError(Allowance),
}

/// One more influence on a reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Effect {
    /// Names the line in the budget.
    pub name: String,
    /// How large it is.
    pub size: Allowance,
    /// What the size means.
    #[serde(default)]
    pub spread: Spread,
    /// The error that this effect shares with other readings ("temperature of the visit"); its own when absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shared: Option<String>,
}

/// What a stated size says of the spread.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Spread {
    /// It is a standard uncertainty.
    #[default]
    Standard,
    /// It is an expanded uncertainty with this coverage factor.
    Expanded(f64),
    /// It is a half width, of an error of this shape.
    HalfWidth(Shape),
}

/// Something wrong in an instrument's statement, by the name of the field.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{field}: {cause}")]
pub struct InstrumentProblem {
    pub field: String,
    pub cause: UncertaintyError,
}

impl Instrument {
    /// An instrument of which only the resolution is known.
    pub fn new(id: impl Into<String>, resolution: Quantity) -> Instrument {
        Instrument {
            id: id.into(),
            resolution,
            zero_set: false,
            repeatability: None,
            repeatability_dof: None,
            calibration: Calibration::Unknown,
            overdue: false,
            effects: Vec::new(),
        }
    }

    /// The kind of quantity it measures; for a thermometer whose resolution is stated in kelvin, a temperature difference.
    pub fn kind(&self) -> Kind {
        self.resolution.kind()
    }

    /// Everything wrong in the statement, all at once; empty when it can be used.
    pub fn problems(&self) -> Vec<InstrumentProblem> {
        let mut problems = Vec::new();
        let unit = self.resolution.unit();
        let mut see = |field: String, result: Result<f64, UncertaintyError>| {
            if let Err(cause) = result {
                problems.push(InstrumentProblem { field, cause });
            }
        };
        see(
            "resolution".into(),
            self.resolution_in(unit).and_then(|r| crate::standard::above_zero("resolution", r)),
        );
        see("repeatability".into(), self.repeatability_in(unit).map(|s| s.unwrap_or(0.0)));
        if let Some(dof) = self.repeatability_dof {
            see("repeatability-dof".into(), crate::standard::above_zero("degrees of freedom", dof));
        }
        see("calibration".into(), self.calibration_u(0.0, unit).map(|line| line.map_or(0.0, |(_, u)| u)));
        for effect in &self.effects {
            see(format!("effect `{}`", effect.name), effect.u(0.0, unit).map(|(_, u)| u));
        }
        problems
    }

    /// Resolution in a unit.
    ///
    /// # Errors
    /// [`UncertaintyError::Quantity`] for another kind, [`UncertaintyError::Negative`].
    pub fn resolution_in(&self, unit: Unit) -> Result<f64, UncertaintyError> {
        crate::standard::not_negative("resolution", self.resolution.spread_in(unit)?)
    }

    /// Stated repeatability in a unit, if there is one.
    ///
    /// # Errors
    /// [`UncertaintyError::Quantity`] for another kind, [`UncertaintyError::Negative`].
    pub fn repeatability_in(&self, unit: Unit) -> Result<Option<f64>, UncertaintyError> {
        let stated = self.repeatability.as_ref().map(|s| s.spread_in(unit)).transpose()?;
        stated.map(|s| crate::standard::not_negative("repeatability", s)).transpose()
    }

    /// The lines of the budget at a reading, all but the repeatability; and what is to be said of them.
    pub(crate) fn lines_at(
        &self,
        reading: f64,
        unit: Unit,
    ) -> Result<(Vec<Line>, Vec<Note>), UncertaintyError> {
        let (mut lines, mut notes) = (Vec::new(), Vec::new());
        let step = from_resolution(self.resolution_in(unit)?)?;
        lines.push(Line::own("resolution", Shape::Rectangular, step));
        if self.zero_set {
            lines.push(Line::own("zero setting", Shape::Rectangular, step));
        }
        match self.calibration_u(reading, unit)? {
            None => notes.push(Note::CalibrationUnknown { instrument: self.id.clone() }),
            Some((shape, u)) => {
                let u = if self.overdue { OVERDUE_FACTOR * u } else { u };
                lines.push(Line::shared("calibration", shape, u, self.id.clone()));
                if self.overdue {
                    notes.push(Note::CalibrationOverdue { instrument: self.id.clone() });
                }
            }
        }
        for effect in &self.effects {
            let (shape, u) = effect.u(reading, unit)?;
            let line = Line::own(effect.name.clone(), shape, u);
            lines.push(Line { shared: effect.shared.clone(), ..line });
        }
        Ok((lines, notes))
    }

    fn calibration_u(&self, reading: f64, unit: Unit) -> Result<Option<(Shape, f64)>, UncertaintyError> {
        Ok(match &self.calibration {
            Calibration::Unknown => None,
            Calibration::Certificate { expanded, k } => {
                Some((Shape::Normal, from_certificate(checked(expanded, reading, unit)?, *k)?))
            }
            Calibration::MaximumPermissibleError(largest) => {
                let u = Shape::Rectangular.standard(checked(largest, reading, unit)?)?;
                Some((Shape::Rectangular, u))
            }
        })
    }
}

impl Effect {
    fn u(&self, reading: f64, unit: Unit) -> Result<(Shape, f64), UncertaintyError> {
        let size = checked(&self.size, reading, unit)?;
        Ok(match self.spread {
            Spread::Standard => (Shape::Normal, Shape::Normal.standard(size)?),
            Spread::Expanded(k) => (Shape::Normal, from_certificate(size, k)?),
            Spread::HalfWidth(shape) => (shape, shape.standard(size)?),
        })
    }
}

/// Size at a reading; a negative statement is refused even where the reading is zero.
fn checked(size: &Allowance, reading: f64, unit: Unit) -> Result<f64, UncertaintyError> {
    let stated = size.stated().value();
    if stated < 0.0 {
        return Err(UncertaintyError::Negative { what: "stated size", found: stated });
    }
    size.at(reading, unit).map_err(|error: QuantityError| error.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_wrong_in_a_statement_is_said_at_once() {
        let statement: Instrument = serde_json::from_str(
            r#"{ "id": "x", "resolution": "0 mm", "repeatability": "3 N", "repeatability-dof": -1.0,
                 "calibration": { "certificate": { "expanded": "0.004 mm", "k": 0.0 } },
                 "effects": [{ "name": "hand", "size": "-0.006 mm" }] }"#,
        )
        .unwrap();
        let fields: Vec<String> = statement.problems().into_iter().map(|problem| problem.field).collect();
        assert_eq!(
            fields,
            ["resolution", "repeatability", "repeatability-dof", "calibration", "effect `hand`"]
        );
    }

    #[test]
    fn a_statement_survives_being_stored() {
        let wrench = Instrument {
            zero_set: true,
            calibration: Calibration::MaximumPermissibleError("4 % of reading".parse().unwrap()),
            effects: vec![Effect {
                name: "pull".into(),
                size: "1 N.m".parse().unwrap(),
                spread: Spread::HalfWidth(Shape::Triangular),
                shared: None,
            }],
            ..Instrument::new("wrench-1", "1 N.m".parse().unwrap())
        };
        let json = serde_json::to_string(&wrench).unwrap();
        assert_eq!(serde_json::from_str::<Instrument>(&json).unwrap(), wrench, "{json}");
    }
}
