//! From what an instrument showed to a measured value with its uncertainty.

use crate::standard::{Repeats, above_zero, from_resolution, not_negative, pooled};
use crate::{Instrument, Line, Measurement, Note, Quantity, Shape, UncertaintyError, Unit, order};
use serde::{Deserialize, Serialize};

/// What the line of repeated readings is called in a budget.
pub(crate) const REPEATABILITY: &str = "repeatability";

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

impl Keep {
    /// All of them by their ids.
    pub const WORDS: &[(&'static str, Keep)] =
        &[("mean", Keep::Mean), ("min", Keep::Min), ("max", Keep::Max)];

    /// As files write it.
    pub fn id(self) -> &'static str {
        match self {
            Keep::Mean => "mean",
            Keep::Min => "min",
            Keep::Max => "max",
        }
    }

    /// Which value of several, in words.
    pub fn title(self) -> &'static str {
        match self {
            Keep::Mean => "mean",
            Keep::Min => "smallest",
            Keep::Max => "largest",
        }
    }
}

/// Repeatability learnt from other readings of the same check with the same kind of instrument.
#[derive(Debug, Clone, PartialEq)]
pub struct Pool {
    /// Names the estimate; measurements that lean on the same one count its degrees of freedom once.
    pub name: String,
    /// Pooled standard deviation of one reading, in `unit`.
    pub s: f64,
    /// Unit of `s`.
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
        ..Line::own(REPEATABILITY, Shape::Normal, spread.s / (taken as f64).sqrt()).dof(spread.dof)
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Allowance, Calibration, Effect, Spread};

    fn read(texts: &[&str]) -> Vec<Quantity> {
        texts.iter().map(|text| text.parse().unwrap()).collect()
    }

    fn micrometer() -> Instrument {
        let expanded = Allowance::Absolute("0.004 mm".parse().unwrap());
        let calibration = Calibration::Certificate { expanded, k: 2.0 };
        Instrument { calibration, ..Instrument::new("mic-2", "0.01 mm".parse().unwrap()) }
    }

    fn close(got: f64, want: f64) {
        assert!((got - want).abs() <= 1e-12 * want.abs().max(1e-3), "{got} {want}");
    }

    #[test]
    fn four_repeats_speak_for_themselves() {
        let m = reading(
            &read(&["23.02 mm", "23.05 mm", "23.00 mm", "23.03 mm"]),
            Keep::Mean,
            &micrometer(),
            None,
        )
        .unwrap();
        close(m.value(), 23.025);
        // s² = (0.005² + 0.025² + 0.025² + 0.005²)/3
        let s = (0.0013f64 / 3.0).sqrt();
        close(m.u_e(), (s * s / 4.0 + 1e-4 / 12.0).sqrt());
        close(m.u_b(), 0.002);
        assert_eq!(m.shared().collect::<Vec<_>>(), [("mic-2", 0.002)]);
        assert!(m.dof() > 3.0 && m.dof_e() < m.dof());
        assert!(m.notes().is_empty());
    }

    #[test]
    fn fewer_repeats_lean_on_the_pool_and_that_on_the_statement() {
        let two = read(&["23.02 mm", "23.06 mm"]);
        let pool = Pool { name: "disc".into(), s: 20.0, unit: Unit::UM, dof: 9.0 };
        let pooled = reading(&two, Keep::Mean, &micrometer(), Some(&pool)).unwrap();
        let s2 = (9.0 * 0.02f64.powi(2) + 0.0008) / 10.0;
        close(pooled.lines()[0].u, (s2 / 2.0).sqrt());
        assert_eq!((pooled.lines()[0].dof, pooled.lines()[0].estimate.as_deref()), (10.0, Some("disc")));

        let stated = Instrument { repeatability: Some("0.015 mm".parse().unwrap()), ..micrometer() };
        let m = reading(&two, Keep::Mean, &stated, None).unwrap();
        close(m.lines()[0].u, 0.015 / 2f64.sqrt());
        assert_eq!(m.lines()[0].dof, f64::INFINITY);

        let alone = reading(&two[..1], Keep::Mean, &micrometer(), None).unwrap();
        assert_eq!(alone.notes(), [Note::RepeatabilityUnknown { instrument: "mic-2".into() }]);
    }

    #[test]
    fn repeats_too_alike_count_as_the_resolution() {
        let m = reading(&read(&["23.02 mm"; 5]), Keep::Mean, &micrometer(), None).unwrap();
        close(m.lines()[0].u, 0.01 / 12f64.sqrt() / 5f64.sqrt());
        assert_eq!(m.notes(), [Note::RepeatsTooAlike]);
    }

    #[test]
    fn the_smallest_of_several_places_is_one_reading_and_says_that_it_lies_low() {
        let stated = Instrument { repeatability: Some("0.005 mm".parse().unwrap()), ..micrometer() };
        let m = reading(&read(&["23.02 mm", "23.20 mm", "22.99 mm", "23.4 mm"]), Keep::Min, &stated, None)
            .unwrap();
        assert_eq!(m.value(), 22.99);
        close(m.lines()[0].u, 0.005);
        // c₄ = 1.0294, from tables of normal order statistics
        let [Note::CoarserThanInstrument { written, .. }, Note::ExtremeOfSeveral { places: 4, bias }] =
            m.notes()
        else {
            panic!("{:?}", m.notes())
        };
        assert_eq!(*written, 0.1);
        assert!((bias / m.u_e() - 1.0294).abs() < 1e-4);
        assert_eq!(reading(&read(&["1 mm", "3 mm"]), Keep::Max, &stated, None).unwrap().value(), 3.0);
    }

    #[test]
    fn an_instrument_out_of_date_counts_double_and_one_without_certificate_by_its_largest_error() {
        let late = Instrument { overdue: true, ..micrometer() };
        let m = reading(&read(&["23.02 mm"]), Keep::Mean, &late, None).unwrap();
        close(m.u_b(), 0.004);
        assert!(m.notes().contains(&Note::CalibrationOverdue { instrument: "mic-2".into() }));

        let wrench = Instrument {
            calibration: Calibration::MaximumPermissibleError("4 % of reading".parse().unwrap()),
            ..Instrument::new("wrench-1", "1 N.m".parse().unwrap())
        };
        let m = reading(&read(&["65 Nm"]), Keep::Mean, &wrench, None).unwrap();
        close(m.u_b(), 2.6 / 3f64.sqrt());
        let unknown = Instrument { calibration: Calibration::Unknown, ..micrometer() };
        let m = reading(&read(&["23.02 mm"]), Keep::Mean, &unknown, None).unwrap();
        assert!(m.notes().contains(&Note::CalibrationUnknown { instrument: "mic-2".into() }));
    }

    #[test]
    fn zero_setting_and_stated_effects_enter_and_units_may_mix() {
        let effect = Effect {
            name: "hand".into(),
            size: "0.006 mm".parse().unwrap(),
            spread: Spread::Expanded(2.0),
            shared: Some("hand of the visit".into()),
        };
        let dial = Instrument { zero_set: true, effects: vec![effect], ..micrometer() };
        let m = reading(&read(&["1.00 in", "25.40 mm"]), Keep::Mean, &dial, None).unwrap();
        assert_eq!((m.value(), m.unit()), (1.0, Unit::INCH));
        close(m.in_unit(Unit::MM).unwrap().u_b(), 0.002f64.hypot(0.003));
        assert_eq!(m.lines().iter().filter(|line| line.source == "zero setting").count(), 1);
    }

    #[test]
    fn a_thermometer_reads_a_scale_and_errs_in_kelvin() {
        let mut thermometer = Instrument::new("tc-1", "0.1 °C".parse().unwrap());
        thermometer.calibration = Calibration::MaximumPermissibleError("2 K".parse().unwrap());
        let m = reading(&read(&["70.0 °F"]), Keep::Mean, &thermometer, None).unwrap();
        close(m.in_unit(Unit::CELSIUS).unwrap().u_b(), 2.0 / 3f64.sqrt());
    }

    #[test]
    fn what_does_not_fit_is_refused() {
        assert_eq!(reading(&[], Keep::Mean, &micrometer(), None).unwrap_err(), UncertaintyError::NoReadings);
        assert!(reading(&read(&["23 mm", "3 N"]), Keep::Mean, &micrometer(), None).is_err());
        assert!(reading(&read(&["3 N"]), Keep::Mean, &micrometer(), None).is_err());
        let pool = Pool { name: "x".into(), s: -1.0, unit: Unit::MM, dof: 3.0 };
        assert!(reading(&read(&["23 mm"]), Keep::Mean, &micrometer(), Some(&pool)).is_err());
    }
}
