//! What the car's own readings answer of a formula: the data sheet says which of its checks are which inputs.

use super::{At, Judge};
use crate::car::Visit;
use jiff::civil::Date;
use quantity::Quantity;
use sheet::{CheckId, CheckKind, Derived, Input, Place};

/// A derived reading of the car that a formula makes.
#[derive(Debug, Clone, PartialEq)]
pub struct Taking {
    pub check: CheckId,
    pub place: Place,
    /// "Tension of the long span", with its place where there are several.
    pub title: String,
}

/// The inputs of a formula as the car answers them.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// The visit whose readings they are; `None` when none of them was ever read.
    pub visit: Option<Date>,
    pub inputs: Vec<FilledInput>,
}

/// One input as the car answers it.
#[derive(Debug, Clone, PartialEq)]
pub struct FilledInput {
    pub key: String,
    /// As a person would type it, with its uncertainty; `None` when it was not read on that visit.
    pub text: Option<String>,
    /// What answers it: "Frequency of the long span", "the data sheet".
    pub from: String,
}

impl<'a> Judge<'a> {
    /// The derived readings of this car that a formula makes, in the order of the data sheet.
    pub fn takings(&self, formula: &str) -> Vec<Taking> {
        let made_by = |at: &At<'a>| matches!(&at.check.kind, CheckKind::Derived(of) if of.formula == formula);
        let taking =
            |at: At<'a>| Taking { check: at.id.clone(), place: at.place.clone(), title: self.titled(at) };
        self.checks().filter(made_by).map(taking).collect()
    }

    /// What the car answers of the inputs of a derived reading, from the last visit on which any of them was read;
    /// `None` when there is no such derived reading.
    pub fn filled(&self, check: &CheckId, place: &Place) -> Option<Filled> {
        let at = self.checks().find(|at| at.id == check && at.place == place)?;
        let CheckKind::Derived(derived) = &at.check.kind else { return None };
        let visit = self.visits().rev().find(|visit| self.answers_any(derived, place, visit));
        let input = |(key, input): (&String, &Input)| {
            let (text, from) = match input {
                Input::Word(word) => (Some(word.clone()), "the data sheet".to_owned()),
                Input::Value(value) => (Some(value.to_string()), "the data sheet".to_owned()),
                Input::Check { check, place: named } => {
                    let at = self.at(check, named.as_ref().unwrap_or(place))?;
                    (visit.and_then(|visit| self.typed(at, visit)), self.titled(at))
                }
            };
            Some(FilledInput { key: key.clone(), text, from })
        };
        Some(Filled {
            visit: visit.map(|visit| visit.date),
            inputs: derived.inputs.iter().filter_map(input).collect(),
        })
    }

    fn answers_any(&self, derived: &Derived, place: &Place, visit: &'a Visit) -> bool {
        derived.inputs.values().any(|input| match input {
            Input::Check { check, place: named } => self
                .at(check, named.as_ref().unwrap_or(place))
                .is_some_and(|at| self.typed(at, visit).is_some()),
            Input::Value(_) | Input::Word(_) => false,
        })
    }

    /// A reading as a person would type it; `None` when it was not read then, or cannot be worked out.
    fn typed(&self, at: At<'a>, visit: &'a Visit) -> Option<String> {
        let measured = self.made(at, visit)?.ok()?.measurement;
        if measured.u() > 0.0 {
            return Some(measured.to_string());
        }
        Quantity::new(measured.value(), measured.unit()).ok().map(|value| value.to_string())
    }

    fn titled(&self, at: At<'a>) -> String {
        match self.sheet.place_title(at.place) {
            "" => at.check.title.clone(),
            place => format!("{}, {place}", at.check.title),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{told, visit};

    #[test]
    fn the_last_readings_fill_in_what_the_sheet_says_they_are() {
        let told = told(&[
            visit("2024-05-01", 70_000, "[readings]\nbelt-note = \"164 Hz\""),
            visit("2025-05-01", 80_000, "[readings]\nbelt-note = \"158 Hz\""),
            visit("2026-05-01", 90_000, "[looks]\nbelt-ribs = \"sharp\""),
        ]);
        let judge = told.judge();
        let takings = judge.takings("belt-span-tension");
        assert_eq!(
            takings.iter().map(|t| t.title.as_str()).collect::<Vec<_>>(),
            ["Tension of the long span"]
        );
        let filled = judge.filled(&takings[0].check, &takings[0].place).unwrap();
        assert_eq!(filled.visit, Some(jiff::civil::date(2025, 5, 1)));
        let text =
            |key: &str| filled.inputs.iter().find(|input| input.key == key).unwrap().text.clone().unwrap();
        assert_eq!((text("span").as_str(), text("mass-per-length").as_str()), ("172 mm", "0.100 kg/m"));
        assert!(
            text("frequency").starts_with("158") && text("frequency").ends_with(" Hz"),
            "{}",
            text("frequency")
        );
        // What is filled in is read again, and gives what the car's own page says.
        let written =
            filled.inputs.iter().map(|input| (input.key.as_str(), input.text.as_deref().unwrap_or("")));
        let formula = bench::formula("belt-span-tension").unwrap();
        let again = formula.assess(&formula.read_readings(written).unwrap()).unwrap();
        let made = judge.one(&takings[0].check, &takings[0].place).unwrap();
        let (again, made) =
            (&again.number("tension").unwrap().measured, &made.measured().unwrap().measurement);
        assert!(
            (again.value() / made.value() - 1.0).abs() < 1e-3 && (again.u() / made.u() - 1.0).abs() < 0.05
        );
    }

    #[test]
    fn what_was_never_read_stays_open() {
        let told = told(&[visit("2025-05-01", 80_000, "[readings]\npump-bore = \"20.050 mm\"")]);
        let judge = told.judge();
        let takings = judge.takings("bearing-clearance");
        let filled = judge.filled(&takings[0].check, &takings[0].place).unwrap();
        let open: Vec<&str> = filled
            .inputs
            .iter()
            .filter(|input| input.text.is_none())
            .map(|input| input.key.as_str())
            .collect();
        assert_eq!(open, ["journal"]);
        assert_eq!(judge.takings("displacement"), []);
        assert_eq!(judge.filled(&"pump-bore".into(), &Place::single()), None);
    }
}
