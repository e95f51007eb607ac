//! From what an instrument showed to a measured value with its uncertainty.

use crate::standard::{Repeats, above_zero, from_resolution, not_negative, pooled};
use crate::{Instrument, Line, Measurement, Note, Quantity, Shape, UncertaintyError, Unit, order};
use serde::{Deserialize, Serialize};

/// From so many repeats on, their own spread is taken; below, it is pooled with that of others.
pub const OWN_SPREAD_FROM: usize = 4;

/// Which value of several is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Keep {
    /// The mean of repeats at one place.
    #[default]
    Mean,
    /// The smallest of readings at several places.
    Min,
    /// The largest of readings at several places.
    Max,
}

/// Repeatability learnt from other readings of the same check with the same kind of instrument.
#[derive(Debug, Clone, PartialEq)]
pub struct Pool {
    /// Names the estimate; measurements that lean on the same one count its degrees of freedom once.
    pub name: String,
    /// Pooled standard deviation of one reading, in `unit`.
    pub s: f64,
    pub unit: Unit,
    /// Degrees of freedom behind it, the present readings not among them.
    pub dof: f64,
}

/// The measured value that an instrument's readings give.
///
/// Repeats at one place (`Keep::Mean`) give their mean with `s/√n`. The spread `s` is their own from four readings on;
/// with fewer it is pooled with `pool`, or, where there is none, taken from the instrument's stated repeatability; and never
/// less than `r/√12`, since repeats taken without lifting off agree too well. Readings at several places (`Keep::Min`,
/// `Keep::Max`) tell nothing of repeatability: the kept one has the uncertainty of a single reading, and lies low (high)
/// by what [`Note::ExtremeOfSeveral`] says, uncorrected.
///
/// ```
/// use quantity::{Instrument, Keep, Quantity, reading};
/// let read = |text: &str| text.parse::<Quantity>();
/// let micrometer = Instrument::new("mic-2", read("0.01 mm")?);
/// let repeats = [read("23.02 mm")?, read("23.03 mm")?, read("23.01 mm")?, read("23.02 mm")?];
/// let disc = reading(&repeats, Keep::Mean, &micrometer, None)?;
/// assert_eq!(disc.to_string(), "23.0200 ± 0.0050 mm");
/// # Ok::<(), quantity::UncertaintyError>(())
/// ```
///
/// # Errors
/// [`UncertaintyError::NoReadings`]; [`UncertaintyError::Quantity`] when kinds differ; what is wrong in the instrument's
/// statement or the pool.
///
/// Source: JCGM 100:2008 4.2, 4.3, F.2.2.1; pooling 4.2.4.
pub fn reading(
    readings: &[Quantity],
    keep: Keep,
    instrument: &Instrument,
    pool: Option<&Pool>,
) -> Result<Measurement, UncertaintyError> {
    let unit = readings.first().ok_or(UncertaintyError::NoReadings)?.unit();
    let values = readings.iter().map(|reading| reading.value_in(unit)).collect::<Result<Vec<f64>, _>>()?;
    let repeats = Repeats::of(&values)?;
    let value = match keep {
        Keep::Mean => repeats.mean,
        Keep::Min => values.iter().copied().fold(f64::INFINITY, f64::min),
        Keep::Max => values.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    };

    let spread = spread_of_one(&repeats, keep, instrument, pool, unit)?;
    let taken = if keep == Keep::Mean { repeats.n } else { 1 };
    let mut measured = Measurement::new(value, unit)?.with(Line {
        estimate: spread.estimate,
        ..Line::own("repeatability", Shape::Normal, spread.s / (taken as f64).sqrt()).dof(spread.dof)
    })?;
    let (lines, notes) = instrument.lines_at(value, unit)?;
    for line in lines {
        measured.add(line)?;
    }

    let resolution = instrument.resolution_in(unit)?;
    for note in notes.into_iter().chain(spread.note) {
        measured = measured.noting(note);
    }
    for reading in readings {
        let written = reading.resolution() * reading.unit().steps_in(unit)?;
        if written > 1.5 * resolution {
            measured = measured.noting(Note::CoarserThanInstrument { written, resolution });
            break;
        }
    }
    if keep != Keep::Mean && repeats.n > 1 {
        let bias = -order::smallest_of(repeats.n)?.mean * measured.u_e();
        measured = measured.noting(Note::ExtremeOfSeveral { places: repeats.n, bias });
    }
    Ok(measured)
}

/// Standard deviation of one reading, and where it comes from.
struct SpreadOfOne {
    s: f64,
    dof: f64,
    estimate: Option<String>,
    note: Option<Note>,
}

fn spread_of_one(
    repeats: &Repeats,
    keep: Keep,
    instrument: &Instrument,
    pool: Option<&Pool>,
    unit: Unit,
) -> Result<SpreadOfOne, UncertaintyError> {
    // Places differ among themselves; only repeats at one place tell of repeatability.
    let own = if keep == Keep::Mean { repeats.s.map(|s| (s, repeats.dof)) } else { None };
    let stated = instrument.repeatability_in(unit)?;
    let floor = from_resolution(instrument.resolution_in(unit)?)?;

    let (s, dof, estimate, note) = match (own, pool, stated) {
        (Some((s, dof)), _, _) if repeats.n >= OWN_SPREAD_FROM => (s, dof, None, None),
        (own, Some(pool), _) => {
            let others =
                (not_negative("pooled standard deviation", pool.s * pool.unit.steps_in(unit)?)?, pool.dof);
            let (s, dof) = pooled(&own.into_iter().chain([others]).collect::<Vec<_>>())?;
            (s, dof, Some(pool.name.clone()), None)
        }
        (_, None, Some(stated)) => {
            let dof =
                above_zero("degrees of freedom", instrument.repeatability_dof.unwrap_or(f64::INFINITY))?;
            (stated, dof, dof.is_finite().then(|| format!("stated for {}", instrument.id)), None)
        }
        (Some((s, dof)), None, None) => (s, dof, None, None),
        (None, None, None) => {
            let note = Note::RepeatabilityUnknown { instrument: instrument.id.clone() };
            return Ok(SpreadOfOne { s: floor, dof: f64::INFINITY, estimate: None, note: Some(note) });
        }
    };
    if s < floor {
        let note = (repeats.n > 1 && keep == Keep::Mean).then_some(Note::RepeatsTooAlike);
        return Ok(SpreadOfOne { s: floor, dof: f64::INFINITY, estimate: None, note });
    }
    Ok(SpreadOfOne { s, dof, estimate, note })
}
