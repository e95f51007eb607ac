//! What is wrong with the inputs, before a formula sees them.

use crate::answer::four_digits;
use crate::input::{Input, Need, Shape};
use crate::inputs::{Entry, Inputs};
use crate::output::shown;
use crate::{BenchError, Formula, Problem};

impl Formula {
    /// Everything that is wrong with the inputs, before the formula sees them.
    pub(crate) fn check(&self, inputs: &Inputs) -> Result<(), BenchError> {
        let mut problems: Vec<Problem> = vec![];
        for (key, _) in &inputs.entries {
            if self.input(key).is_none() {
                let nearest = nearest(key, self.inputs.iter().map(|input| input.key));
                problems.push(Problem::UnknownInput { key: key.clone(), nearest });
            }
        }
        for input in &self.inputs {
            match inputs.get(input.key) {
                None if input.need == Need::Required => {
                    problems.push(Problem::Missing { input: input.title, example: input.example() });
                }
                None => {}
                Some(entry) => check_entry(input, entry, &mut problems),
            }
        }
        BenchError::unless_empty(problems)
    }
}

fn check_entry(input: &Input, entry: &Entry, problems: &mut Vec<Problem>) {
    let shape = |wanted| Problem::Shape { input: input.title, wanted, example: input.example() };
    match (&input.shape, entry) {
        (Shape::Number(_), Entry::Number(si)) => problems.extend(check_range(input, *si)),
        (Shape::Numbers { least, .. }, Entry::Numbers(all)) => {
            if all.len() < *least {
                problems.push(Problem::TooFew { input: input.title, found: all.len(), least: *least });
            }
            if all.len() > MOST {
                problems.push(Problem::TooMany { input: input.title, found: all.len(), most: MOST });
            }
            // One such message is enough: a list in the wrong unit is wrong throughout.
            problems.extend(all.iter().find_map(|si| check_range(input, *si)));
        }
        (Shape::Choice { choices, .. }, Entry::Text(found)) => {
            if !choices.contains(&found.as_str()) {
                let choices = choices.join(", ");
                problems.push(Problem::NotAChoice { input: input.title, found: found.clone(), choices });
            }
        }
        (Shape::Text { .. }, Entry::Text(_)) => {}
        (Shape::Texts { .. }, Entry::Texts(all)) => {
            if all.len() > MOST {
                problems.push(Problem::TooMany { input: input.title, found: all.len(), most: MOST });
            }
        }
        (Shape::Number(_), _) => problems.push(shape("one number")),
        (Shape::Numbers { .. }, _) => problems.push(shape("a list of numbers")),
        (Shape::Text { .. }, _) => problems.push(shape("a text")),
        (Shape::Texts { .. }, _) => problems.push(shape("a list of names")),
        (Shape::Choice { choices, .. }, _) => problems.push(Problem::NotAChoice {
            input: input.title,
            found: "a number".into(),
            choices: choices.join(", "),
        }),
    }
}

/// Longest list that a formula takes.
const MOST: usize = 200;

fn check_range(input: &Input, si: f64) -> Option<Problem> {
    let scale = input.scale()?;
    if si >= scale.low_si && si <= scale.high_si {
        return None;
    }
    // A bound written in its own unit may miss itself by the last bits in SI.
    let shown_value = scale.unit.from_si(si);
    if shown_value >= scale.low && shown_value <= scale.high {
        return None;
    }
    let found = shown(four_digits(shown_value), scale.unit);
    Some(Problem::OutOfRange { input: input.title, found, range: scale.range(), meant: None })
}

/// The known word nearest to the one given, if one is near.
pub(crate) fn nearest(word: &str, known: impl Iterator<Item = &'static str>) -> Option<&'static str> {
    known
        .map(|known| (strsim::damerau_levenshtein(known, word), known))
        .filter(|(distance, known)| *distance <= 1 + known.len() / 4)
        .min()
        .map(|(_, known)| known)
}
