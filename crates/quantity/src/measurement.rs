//! A measured value with everything known of its uncertainty.

use crate::rounding::{decimals_for, to_decimals};
use crate::standard::{above_zero, coverage_factor, effective_dof, finite, not_negative};
use crate::{Quantity, QuantityError, Shape, UncertaintyError, Unit};
use std::{collections::BTreeMap, fmt};

/// One source of uncertainty and what it does to the result: a line of the budget.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is, in words: "resolution", "bore · repeatability".
    pub source: String,
    /// How the error is spread.
    pub shape: Shape,
    /// Standard uncertainty of the source, in its own unit.
    pub u: f64,
    /// What one unit of the source does to the result, with its sign.
    pub sensitivity: f64,
    /// Degrees of freedom; infinite where the uncertainty itself is taken as known.
    pub dof: f64,
    /// The error that this line shares with other measurements: same text, same error. An instrument's id stands for its
    /// calibration. `None` where the error is this measurement's own.
    pub shared: Option<String>,
    /// The estimate of a standard deviation that this line leans on together with others (a pooled one); their degrees
    /// of freedom then count once. `None` for one of its own.
    pub estimate: Option<String>,
}

/// The source of an uncertainty that came as one number.
pub(crate) const AS_STATED: &str = "as stated";

impl Line {
    /// An own line with sensitivity 1 and infinite degrees of freedom.
    pub fn own(source: impl Into<String>, shape: Shape, u: f64) -> Line {
        let source = source.into();
        Line { source, shape, u, sensitivity: 1.0, dof: f64::INFINITY, shared: None, estimate: None }
    }

    /// A line whose error other measurements share.
    pub fn shared(source: impl Into<String>, shape: Shape, u: f64, with: impl Into<String>) -> Line {
        Line { shared: Some(with.into()), ..Line::own(source, shape, u) }
    }

    /// With so many degrees of freedom.
    pub fn dof(self, dof: f64) -> Line {
        Line { dof, ..self }
    }

    /// `c·u`, with the sign of the sensitivity: what the source adds to the result.
    pub fn contribution(&self) -> f64 {
        self.sensitivity * self.u
    }
}

/// Something a person should know beside the number.
#[derive(Debug, Clone, PartialEq)]
pub enum Note {
    /// The instrument's calibration is out of date; its part was doubled.
    CalibrationOverdue { instrument: String },
    /// Nothing is known of the instrument's calibration; nothing was counted for it.
    CalibrationUnknown { instrument: String },
    /// Nothing is known of the repeatability; only the floor of the resolution was counted.
    RepeatabilityUnknown { instrument: String },
    /// The repeats agree better than the resolution allows to see; its `r/√12` was taken.
    RepeatsTooAlike,
    /// The smallest (largest) of several places lies about so far beyond a single one on a flat part; the kept value was
    /// not corrected.
    ExtremeOfSeveral { places: usize, bias: f64 },
    /// A reading was written with fewer digits than the instrument shows.
    CoarserThanInstrument { written: f64, resolution: f64 },
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Note::CalibrationOverdue { instrument } => {
                write!(f, "calibration of {instrument} is out of date: its part is doubled")
            }
            Note::CalibrationUnknown { instrument } => {
                write!(f, "no calibration of {instrument} is known: nothing is counted for it")
            }
            Note::RepeatabilityUnknown { instrument } => {
                write!(f, "no repeatability of {instrument} is known: only its resolution is counted")
            }
            Note::RepeatsTooAlike => f.write_str(
                "the repeats agree better than the instrument can show: its resolution is counted instead",
            ),
            Note::ExtremeOfSeveral { places, bias } => {
                write!(
                    f,
                    "kept from {places} places: on a flat part about {} beyond a single one",
                    significant(*bias)
                )
            }
            Note::CoarserThanInstrument { written, resolution } => {
                write!(
                    f,
                    "written in steps of {}, though the instrument shows steps of {}",
                    significant(*written),
                    significant(*resolution)
                )
            }
        }
    }
}

/// A measured value: the number, its unit and the budget of its uncertainty, from which everything else follows.
///
/// ```
/// use quantity::{Line, Measurement, Shape, Unit};
/// let disc = Measurement::new(23.02, Unit::MM)?
///     .with(Line::own("repeatability", Shape::Normal, 0.003).dof(9.0))?
///     .with(Line::own("resolution", Shape::Rectangular, 0.0029))?
///     .with(Line::shared("calibration", Shape::Normal, 0.002, "mic-2"))?;
/// assert_eq!(disc.to_string(), "23.0200 ± 0.0046 mm");
/// assert!(disc.u_e() > disc.u_b());
/// # Ok::<(), quantity::UncertaintyError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Measurement {
    value: f64,
    unit: Unit,
    lines: Vec<Line>,
    notes: Vec<Note>,
}

impl Measurement {
    /// A value without uncertainty, to which lines are added.
    ///
    /// # Errors
    /// [`UncertaintyError::NotFinite`].
    pub fn new(value: f64, unit: Unit) -> Result<Measurement, UncertaintyError> {
        Ok(Measurement { value: finite("value", value)?, unit, lines: Vec::new(), notes: Vec::new() })
    }

    /// A value with a standard uncertainty of its own, known to `dof` degrees of freedom.
    ///
    /// # Errors
    /// [`UncertaintyError::NotFinite`], [`UncertaintyError::Negative`], [`UncertaintyError::NotPositive`].
    pub fn with_u(value: f64, u: f64, dof: f64, unit: Unit) -> Result<Measurement, UncertaintyError> {
        Measurement::new(value, unit)?.with(Line::own(AS_STATED, Shape::Normal, u).dof(dof))
    }

    /// Adds a source. A shared one joins the line it has in common; an own one that adds nothing is left out.
    ///
    /// # Errors
    /// [`UncertaintyError::NotFinite`], [`UncertaintyError::Negative`], [`UncertaintyError::NotPositive`].
    pub fn with(mut self, line: Line) -> Result<Measurement, UncertaintyError> {
        self.add(line)?;
        Ok(self)
    }

    /// Adds a note.
    #[must_use]
    pub fn noting(mut self, note: Note) -> Measurement {
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
        self
    }

    pub(crate) fn add(&mut self, line: Line) -> Result<(), UncertaintyError> {
        not_negative("standard uncertainty", line.u)?;
        finite("sensitivity", line.sensitivity)?;
        finite("contribution", line.contribution())?;
        above_zero("degrees of freedom", line.dof)?;
        if line.u == 0.0 {
            return Ok(());
        }
        let same =
            line.shared.as_ref().and_then(|_| self.lines.iter_mut().find(|have| have.shared == line.shared));
        match same {
            // Like sources are added with their signs before anything is squared.
            Some(have) => {
                have.sensitivity += line.contribution() / have.u;
                have.dof = have.dof.min(line.dof);
            }
            None => self.lines.push(line),
        }
        Ok(())
    }

    /// The measured value, in its unit.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// The unit of value and uncertainty.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// The sources, as they were added.
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// What a person should know beside the number.
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }

    /// Combined standard uncertainty: `u² = u_e² + u_b²`.
    pub fn u(&self) -> f64 {
        root_sum_square(self.lines.iter().map(Line::contribution))
    }

    /// The part that no other measurement shares.
    pub fn u_e(&self) -> f64 {
        root_sum_square(self.lines.iter().filter(|line| line.shared.is_none()).map(Line::contribution))
    }

    /// The part shared with other measurements.
    pub fn u_b(&self) -> f64 {
        root_sum_square(self.lines.iter().filter(|line| line.shared.is_some()).map(Line::contribution))
    }

    /// The shared parts by the name of what is shared, each with its sign.
    pub fn shared(&self) -> impl Iterator<Item = (&str, f64)> {
        self.lines.iter().filter_map(|line| Some((line.shared.as_deref()?, line.contribution())))
    }

    /// Covariance with another measurement through the errors they share, in the product of their units.
    pub fn covariance(&self, other: &Measurement) -> f64 {
        self.shared()
            .map(|(name, mine)| {
                mine * other.shared().filter(|(also, _)| *also == name).map(|(_, c)| c).sum::<f64>()
            })
            .sum()
    }

    /// Effective degrees of freedom of `u` (Welch–Satterthwaite); estimates used by several lines count once.
    pub fn dof(&self) -> f64 {
        effective(&self.lines, |_| true)
    }

    /// Effective degrees of freedom of the part that is not shared.
    pub fn dof_e(&self) -> f64 {
        effective(&self.lines, |line| line.shared.is_none())
    }

    /// Expanded uncertainty for a two-sided interval of probability `p`, and its coverage factor.
    ///
    /// # Errors
    /// [`UncertaintyError::Probability`] unless 0 < p < 1.
    pub fn expanded(&self, p: f64) -> Result<Expanded, UncertaintyError> {
        let k = coverage_factor(p, self.dof())?;
        Ok(Expanded { half_width: k * self.u(), k, p })
    }

    /// The same measurement in another unit.
    ///
    /// # Errors
    /// [`QuantityError::Convert`] when the kinds differ.
    pub fn in_unit(&self, unit: Unit) -> Result<Measurement, QuantityError> {
        let value = self.unit.convert(self.value, unit)?;
        let steps = self.unit.steps_in(unit)?;
        let mut lines = self.lines.clone();
        for line in &mut lines {
            line.sensitivity *= steps;
        }
        Ok(Measurement { value, unit, lines, notes: self.notes.clone() })
    }

    /// The budget as a table, the largest source first.
    pub fn budget(&self) -> crate::Budget {
        crate::Budget::of(self)
    }

    /// `23.020 ± 0.009 mm (k=2)`: the value with an expanded uncertainty, both to the second digit of that.
    pub fn with_coverage(&self, k: f64) -> String {
        let wide = k * self.u();
        format!("{} (k={k})", plus_minus(self.value, wide, self.unit))
    }
}

/// An interval about a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expanded {
    /// U, in the unit of the measurement.
    pub half_width: f64,
    /// Coverage factor.
    pub k: f64,
    /// Coverage probability.
    pub p: f64,
}

/// The value with its standard uncertainty, to the second significant digit of the latter; an angle in minutes or seconds with
/// its degrees: "12° 30.00′ ± 0.29′".
impl fmt::Display for Measurement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&plus_minus(self.value, self.u(), self.unit))
    }
}

pub(crate) fn plus_minus(value: f64, u: f64, unit: Unit) -> String {
    let gap = if unit.tight() { "" } else { " " };
    if u == 0.0 {
        return format!("{value} ± 0{gap}{unit}");
    }
    let decimals = decimals_for(u);
    format!("{} ± {}{gap}{unit}", composed(value, decimals, unit), to_decimals(u, decimals))
}

/// The figures of a value; of an angle with its degrees apart, the whole of it.
fn composed(value: f64, decimals: i32, unit: Unit) -> String {
    let shown = Quantity::with_decimals(value, decimals, unit).ok().filter(Quantity::is_composed);
    shown.map_or_else(|| to_decimals(value, decimals), |angle| angle.to_string())
}

fn significant(value: f64) -> String {
    to_decimals(value, decimals_for(value.abs()))
}

fn effective(lines: &[Line], wanted: impl Fn(&Line) -> bool) -> f64 {
    let mut by_estimate: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
    let mut parts = Vec::with_capacity(lines.len());
    for line in lines.iter().filter(|line| wanted(line)) {
        match &line.estimate {
            None => parts.push((line.contribution(), line.dof)),
            Some(name) => {
                let sum = by_estimate.entry(name).or_insert((0.0, line.dof));
                *sum = (sum.0.hypot(line.contribution()), sum.1.min(line.dof));
            }
        }
    }
    parts.extend(by_estimate.into_values());
    effective_dof(&parts).unwrap_or(f64::INFINITY) // every line was checked when it was added
}

/// `√Σx²` without overflow.
pub(crate) fn root_sum_square(parts: impl Iterator<Item = f64>) -> f64 {
    parts.fold(0.0, f64::hypot)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_angle_of_many_minutes_is_told_with_its_degrees() {
        for (value, u, unit, expected) in [
            (750.0, 0.29, Unit::ARC_MINUTE, "12° 30.00′ ± 0.29′"),
            (-750.5, 2.0, Unit::ARC_MINUTE, "-12° 30.5′ ± 2.0′"),
            (59.2, 0.29, Unit::ARC_MINUTE, "59.20 ± 0.29′"),
            (59.999, 0.29, Unit::ARC_MINUTE, "1° 0.00′ ± 0.29′"),
            (45_015.0, 1.0, Unit::ARC_SECOND, "12° 30′ 15.0″ ± 1.0″"),
            (12.5, 0.005, Unit::DEG, "12.5000 ± 0.0050°"),
        ] {
            assert_eq!(plus_minus(value, u, unit), expected);
        }
    }

    #[test]
    fn estimates_used_twice_count_their_freedom_once() {
        let line = |name: &str| Line {
            estimate: Some("pool".into()),
            ..Line::own(name, Shape::Normal, 1.0).dof(6.0)
        };
        let leaning =
            Measurement::new(1.0, Unit::MM).unwrap().with(line("a")).unwrap().with(line("b")).unwrap();
        assert!((leaning.dof() - 6.0).abs() < 1e-12, "{}", leaning.dof());
        let own = |name: &str| Line::own(name, Shape::Normal, 1.0).dof(6.0);
        let apart = Measurement::new(1.0, Unit::MM).unwrap().with(own("a")).unwrap().with(own("b")).unwrap();
        assert!((apart.dof() - 12.0).abs() < 1e-12);
    }

    #[test]
    fn a_measurement_is_shown_to_the_second_digit_of_its_uncertainty() {
        let m = Measurement::with_u(23.02461, 0.004_62, 9.0, Unit::MM).unwrap();
        assert_eq!(m.to_string(), "23.0246 ± 0.0046 mm");
        assert_eq!(m.with_coverage(2.0), "23.0246 ± 0.0092 mm (k=2)");
        let exact = Measurement::new(8.0, Unit::COUNT).unwrap();
        assert_eq!(exact.to_string(), "8 ± 0 count");
        assert_eq!(exact.dof(), f64::INFINITY);
        // t₀.₉₇₅(9) = 2.262, from any table of Student's distribution
        assert!((m.expanded(0.95).unwrap().k - 2.262).abs() < 5e-4);
        assert!(m.expanded(1.0).is_err());
    }

    #[test]
    fn what_is_no_uncertainty_is_refused() {
        let m = || Measurement::new(1.0, Unit::MM).unwrap();
        assert!(Measurement::new(f64::NAN, Unit::MM).is_err());
        assert!(m().with(Line::own("x", Shape::Normal, -1.0)).is_err());
        assert!(m().with(Line::own("x", Shape::Normal, f64::INFINITY)).is_err());
        assert!(m().with(Line::own("x", Shape::Normal, 1.0).dof(0.0)).is_err());
        assert!(m().in_unit(Unit::N).is_err());
    }

    #[test]
    fn the_budget_is_a_table_a_person_can_read() {
        let m = Measurement::new(23.02, Unit::MM)
            .unwrap()
            .with(Line::own("resolution", Shape::Rectangular, 0.003))
            .unwrap()
            .with(Line::shared("calibration", Shape::Normal, 0.004, "mic-2"))
            .unwrap()
            .noting(Note::CalibrationOverdue { instrument: "mic-2".into() });
        let expected = "\
source       shape                  u  sensitivity  contribution  share
calibration  normal           0.00400         1.00       0.00400   64 %
resolution   rectangular      0.00300         1.00       0.00300   36 %
23.0200 ± 0.0050 mm
calibration of mic-2 is out of date: its part is doubled
";
        assert_eq!(m.budget().to_string(), expected);
    }
}
