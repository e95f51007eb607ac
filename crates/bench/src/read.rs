//! Inputs as people write them.

use crate::formula::{Input, Shape};
use crate::inputs::{Entry, Inputs};
use crate::{BenchError, Formula, Problem};
use quantity::{Quantity, QuantityError, Unit};

impl Formula {
    /// Reads inputs as written: "172 mm", "172" (in the unit the input shows), a list as "2.60; 2.62; 2.50 mm" or one a
    /// line, a code as it is. What is blank counts as left out.
    ///
    /// # Errors
    /// [`BenchError`] with everything that cannot be read, is of the wrong kind, out of range or missing.
    pub fn read<'a>(
        &self,
        written: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Result<Inputs, BenchError> {
        let mut problems = vec![];
        let mut inputs = Inputs::new();
        let mut unread = vec![];
        for (key, text) in written {
            let text = text.trim();
            let Some(input) = self.input(key) else {
                inputs = inputs.with(key, Entry::Text(text.to_owned()));
                continue;
            };
            if text.is_empty() {
                continue;
            }
            match entry(input, text) {
                Ok(entry) => inputs = inputs.with(key, entry),
                Err(problem) => {
                    problems.push(problem);
                    unread.push(input.title);
                }
            }
        }
        if let Err(more) = self.check(&inputs) {
            // What could not be read has been named; it is not missing as well.
            let named = |problem: &Problem| matches!(problem, Problem::Missing { input, .. } if unread.contains(input));
            problems.extend(more.problems().iter().filter(|problem| !named(problem)).cloned());
        }
        BenchError::unless_empty(problems)?;
        Ok(inputs)
    }
}

fn entry(input: &Input, text: &str) -> Result<Entry, Problem> {
    match &input.shape {
        Shape::Number(scale) => Ok(Entry::Number(quantity(input, text, scale.unit)?.si())),
        Shape::Numbers { scale, .. } => {
            let all = quantities(text, scale.unit).map_err(|cause| problem(input, cause))?;
            Ok(Entry::Numbers(all.iter().map(Quantity::si).collect()))
        }
        Shape::Text { .. } | Shape::Choice { .. } => Ok(Entry::Text(text.to_owned())),
        Shape::Texts { .. } => Ok(Entry::Texts(items(text).map(str::to_owned).collect())),
    }
}

fn quantity(input: &Input, text: &str, unit: Unit) -> Result<Quantity, Problem> {
    Quantity::typed_in(text, unit).map_err(|cause| problem(input, cause))
}

/// A list; figures without a unit take that of the last one, or the usual unit when that has none either.
fn quantities(text: &str, usual: Unit) -> Result<Vec<Quantity>, QuantityError> {
    let unit =
        items(text).last().and_then(|last| Quantity::typed_in(last, usual).ok()).map_or(usual, |q| q.unit());
    items(text).map(|item| Quantity::typed_in(item, unit)).collect()
}

/// The items of a list: between semicolons or on lines of their own.
fn items(text: &str) -> impl Iterator<Item = &str> {
    text.split([';', '\n']).map(str::trim).filter(|item| !item.is_empty())
}

fn problem(input: &Input, cause: QuantityError) -> Problem {
    match &cause {
        QuantityError::WrongKind { .. } => match (input.scale(), cause) {
            (Some(scale), QuantityError::WrongKind { found, .. }) => {
                Problem::Kind { input: input.title, found, wanted: scale.kind(), example: input.example() }
            }
            (_, cause) => Problem::Unreadable { input: input.title, cause },
        },
        _ => Problem::Unreadable { input: input.title, cause },
    }
}

#[cfg(test)]
mod tests {
    use crate::{Entry, formula};

    #[test]
    fn a_list_takes_the_unit_of_its_last_item() {
        let discs = formula("disc-thickness-variation").unwrap();
        let read = discs.read([("thickness", "22.004; 22.001\n21.998 mm")]).unwrap();
        assert_eq!(read.get("thickness"), Some(&Entry::Numbers(vec![0.022004, 0.022001, 0.021998])));
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
}
