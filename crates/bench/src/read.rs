//! Inputs as people write them.

use crate::input::{Input, Shape};
use crate::inputs::{Entry, Inputs};
use crate::readings::{Reading, Readings};
use crate::{BenchError, Formula, Problem};
use quantity::{How, Measurement, Plausibility, PlusMinus, Quantity, QuantityError, Unit};

impl Formula {
    /// Reads inputs as written: "172 mm", "172" (in the unit the input shows), a list as "2.60; 2.62; 2.50 mm",
    /// one a line or as a spreadsheet's cells, a code as it is. What is blank counts as left out.
    ///
    /// # Errors
    /// [`BenchError`] with everything that cannot be read, is of the wrong kind, out of range or missing.
    pub fn read<'a>(
        &self,
        written: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Result<Inputs, BenchError> {
        self.read_readings(written).and_then(|readings| self.si(&readings))
    }

    /// As [`Formula::read`], with uncertainties where they are written: "172 ± 1 mm", "172 ± 2 mm (k=2)".
    ///
    /// # Errors
    /// As [`Formula::read`].
    pub fn read_readings<'a>(
        &self,
        written: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Result<Readings, BenchError> {
        let written: Vec<(&str, &str)> = written.into_iter().collect();
        let (mut problems, mut unread) = (vec![], vec![]);
        let (mut readings, mut inputs) = (Readings::new(), Inputs::new());
        for &(key, text) in &written {
            let text = text.trim();
            let Some(input) = self.input(key) else {
                inputs = inputs.with(key, Entry::Text(text.to_owned()));
                continue;
            };
            if text.is_empty() {
                continue;
            }
            match reading(input, text) {
                Ok(reading) => {
                    inputs = inputs.with(key, reading.si());
                    readings = readings.with(key, reading);
                }
                Err(problem) => {
                    problems.push(problem);
                    unread.push(input.title);
                }
            }
        }
        if let Err(more) = self.check(&inputs) {
            // What could not be read has been named; it is not missing as well.
            let named = |problem: &Problem| matches!(problem, Problem::Missing { input, .. } if unread.contains(input));
            let asked = |problem: &Problem| self.asking(problem.clone(), &written);
            problems.extend(more.problems().iter().filter(|problem| !named(problem)).map(asked));
        }
        BenchError::unless_empty(problems).map(|()| readings)
    }

    /// What of the written inputs can be read, for a drawing of a form that is half filled in; the rest is left out.
    pub fn readable<'a>(&self, written: impl IntoIterator<Item = (&'a str, &'a str)>) -> Inputs {
        written.into_iter().fold(Inputs::new(), |inputs, (key, text)| {
            let read = self.input(key).filter(|_| !text.trim().is_empty());
            match read.and_then(|input| reading(input, text.trim()).ok()) {
                Some(reading) => inputs.with(key, reading.si()),
                None => inputs,
            }
        })
    }

    /// Asks for what was likely meant: inches for millimetres, a decimal mark that has slipped.
    fn asking(&self, mut problem: Problem, written: &[(&str, &str)]) -> Problem {
        if let Problem::OutOfRange { input, meant, .. } = &mut problem
            && let Some(input) = self.inputs.iter().find(|known| known.title == *input)
            && let Some((_, text)) = written.iter().find(|(key, _)| *key == input.key)
        {
            *meant = likely_meant(input, text);
        }
        problem
    }
}

/// The same figures in another unit, or with the decimal mark elsewhere.
fn likely_meant(input: &Input, text: &str) -> Option<String> {
    let scale = input.scale()?;
    let typed = Quantity::typed_in(text, scale.unit).ok()?;
    let bound = |value| Quantity::new(value, scale.unit).ok();
    match quantity::plausibility(&typed, &bound(scale.low)?, &bound(scale.high)?).ok()? {
        Plausibility::Slips(slips) => {
            let is_mark = |how| matches!(how, How::DecimalMark { .. });
            let unit = slips.iter().find(|slip| slip.how == How::Unit);
            let mark = slips.iter().find(|slip| is_mark(slip.how));
            let meant: Vec<String> =
                unit.into_iter().chain(mark).map(|slip| slip.meant.to_string()).collect();
            (!meant.is_empty()).then(|| meant.join(" or "))
        }
        _ => None,
    }
}

fn reading(input: &Input, text: &str) -> Result<Reading, Problem> {
    match &input.shape {
        Shape::Number(scale) => {
            measurement(text, scale.unit).map(Reading::Number).map_err(|cause| problem(input, cause))
        }
        Shape::Numbers { scale, .. } => {
            // Figures without a unit take that of the last one, or the usual unit when that has none either.
            let last = items(text).last().and_then(|last| measurement(last, scale.unit).ok());
            let unit = last.map_or(scale.unit, |last| last.unit());
            let all: Result<Vec<_>, _> = items(text).map(|item| measurement(item, unit)).collect();
            all.map(Reading::Numbers).map_err(|cause| problem(input, cause))
        }
        Shape::Text { .. } | Shape::Choice { .. } => Ok(Reading::Text(text.to_owned())),
        Shape::Texts { .. } => Ok(Reading::Texts(items(text).map(str::to_owned).collect())),
    }
}

/// One number with its unit, and its uncertainty where one is written.
fn measurement(text: &str, usual: Unit) -> Result<Measurement, QuantityError> {
    let not_finite = || QuantityError::NotFinite { found: text.to_owned() };
    if !["±", "+/-", "+-"].iter().any(|sign| text.contains(sign)) {
        let quantity = Quantity::typed_in(text, usual)?;
        return Measurement::new(quantity.value(), quantity.unit()).map_err(|_| not_finite());
    }
    let stated: PlusMinus = match text.parse() {
        // "172 ± 1" is in the usual unit, like "172".
        Err(QuantityError::NoUnit { .. }) => format!("{text} {usual}").parse()?,
        other => other?,
    };
    stated.value().clone().expect(usual.kind())?;
    stated.measurement().map_err(|_| not_finite())
}

/// The items of a list: between semicolons, on lines of their own, or in the cells of a spreadsheet.
fn items(text: &str) -> impl Iterator<Item = &str> {
    text.split([';', '\n', '\t']).map(str::trim).filter(|item| !item.is_empty())
}

fn problem(input: &Input, cause: QuantityError) -> Problem {
    match (cause, input.scale()) {
        (QuantityError::WrongKind { found, .. }, Some(scale)) => {
            Problem::Kind { input: input.title, found, wanted: scale.kind(), example: input.example() }
        }
        (QuantityError::NoNumber { found }, _) => {
            Problem::NoNumber { input: input.title, found, example: input.example() }
        }
        (cause, _) => Problem::Unreadable { input: input.title, cause },
    }
}

#[cfg(test)]
mod tests {
    use crate::{Entry, formula};

    #[test]
    fn a_list_takes_the_unit_of_its_last_item() {
        let discs = formula("disc-thickness-variation").unwrap();
        let read = discs.read([("thickness", "22.004; 22.001\n21.998 mm")]).unwrap();
        let Some(Entry::Numbers(read)) = read.get("thickness") else { panic!("a list") };
        for (read, meant) in read.iter().zip([0.022004, 0.022001, 0.021998]) {
            assert!((read - meant).abs() < 1e-15);
        }
    }

    #[test]
    fn everything_wrong_is_named_at_once() {
        let belt = formula("belt-span-tension").unwrap();
        let error = belt.read([("span", "172 N"), ("frequency", "9000 Hz"), ("sag", "2 mm")]).unwrap_err();
        let said = error.to_string();
        assert_eq!(error.problems().len(), 4, "{said}");
        for part in [
            "must be a length",
            "from 5 Hz to 600 Hz",
            "no input is called `sag`",
            "Mass per length of the belt is missing",
        ] {
            assert!(said.contains(part), "{said}");
        }
    }

    #[test]
    fn what_is_no_number_is_answered_with_an_example_of_its_own() {
        let springs = formula("springs-where").unwrap();
        let said = springs.read([("front-mass", "heavy")]).unwrap_err().problems()[0].to_string();
        assert_eq!(
            said,
            "Sprung mass on a front corner is `heavy`, which does not begin with a number; write it like 242 kg"
        );
    }

    #[test]
    fn a_likely_unit_slip_is_asked_about() {
        let belt = formula("belt-span-tension").unwrap();
        let written = [("mass-per-length", "0.1 kg/m"), ("span", "172 in"), ("frequency", "150 Hz")];
        let said = belt.read(written).unwrap_err().to_string();
        assert!(said.contains("Was 172 mm or 17.2 in meant?"), "{said}");
    }

    #[test]
    fn an_uncertainty_may_be_written_behind_the_value() {
        let belt = formula("belt-span-tension").unwrap();
        let written =
            [("mass-per-length", "0.100 kg/m"), ("span", "172 ± 1"), ("frequency", "150 ± 4 Hz (k=2)")];
        let assessed = belt.assess(&belt.read_readings(written).unwrap()).unwrap();
        assert_eq!(assessed.number("tension").unwrap().measured.to_string(), "266.3 ± 7.7 N");
    }
}
