//! What is worked out on the bench for a car, as it is kept on its record.

use bench::{Assessed, BenchError, Formula, Found, Output};
use jiff::civil::Date;
use journal::{Computed, Known, Worked};
use quantity::rounding::{decimals_for, to_step};
use quantity::{Quantity, Unit};
use std::collections::BTreeMap;

/// A formula worked out on inputs as typed, to be kept with a visit or with the car alone. What is blank is left out.
///
/// # Errors
/// Everything that is wrong with the inputs.
pub fn kept(
    formula: &'static Formula,
    inputs: impl IntoIterator<Item = (String, String)>,
    visit: Option<&str>,
    on: Date,
    note: Option<String>,
) -> Result<Known, BenchError> {
    let inputs: BTreeMap<String, String> = inputs
        .into_iter()
        .map(|(key, text)| (key, text.trim().to_owned()))
        .filter(|(_, text)| !text.is_empty())
        .collect();
    let readings = formula.read_readings(inputs.iter().map(|(key, text)| (key.as_str(), text.as_str())))?;
    let assessment = formula.assess(&readings)?;
    let results = assessment.results.iter().map(|(output, assessed)| computed(output.id, assessed)).collect();
    let visit = visit.map(str::to_owned);
    Ok(Known::Calculation { visit, on, formula: formula.id.to_owned(), inputs, results, note })
}

fn computed(id: &str, assessed: &Assessed) -> Computed {
    let (numbers, words) = match assessed {
        Assessed::Number(found) => (worked(found).into_iter().collect(), vec![]),
        Assessed::Numbers(all) => (all.iter().filter_map(worked).collect(), vec![]),
        Assessed::Text(text) => (vec![], vec![text.clone()]),
        Assessed::Texts(texts) => (vec![], texts.clone()),
    };
    Computed { result: id.to_owned(), numbers, words }
}

/// As fine as its uncertainty tells; to six digits, or the step it is shown to, where nothing uncertain went in.
fn worked(found: &Found) -> Option<Worked> {
    let (value, u, unit) = (found.measured.value(), found.measured.u(), found.measured.unit());
    if u > 0.0 {
        let fine = |value| Quantity::with_decimals(value, decimals_for(u), unit).ok();
        return Some(Worked { value: fine(value)?, u: fine(u) });
    }
    let kept = match found.finest {
        Some(step) => to_step(value, step),
        None => format!("{value:.5e}").parse().unwrap_or(value),
    };
    Some(Worked { value: Quantity::new(kept, unit).ok()?, u: None })
}

/// A kept result in words: "266.3 ± 7.7 N", "266.3 N", "C1-I1 keeps its own; …".
///
/// `output` is what its formula says of it, where the formula is still known.
pub fn words(output: Option<&Output>, computed: &Computed) -> String {
    let finest = output.and_then(|output| output.finest);
    let number = |worked: &Worked| match &worked.u {
        // Of a plain number no unit is shown.
        Some(u) if [Unit::ONE, Unit::COUNT].contains(&u.unit()) => {
            format!("{} ± {}", worked.value.digits(), u.digits())
        }
        Some(u) => format!("{} ± {u}", worked.value.digits()),
        None => bench::written(worked.value.value(), worked.value.unit(), finest),
    };
    let numbers = computed.numbers.iter().map(number);
    numbers.chain(computed.words.iter().cloned()).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn belt(span: &str, frequency: &str) -> Result<Known, BenchError> {
        let typed = [("mass-per-length", "0,1 kg/m"), ("span", span), ("frequency", frequency)];
        let typed = typed.map(|(key, text)| (key.to_owned(), text.to_owned()));
        let formula = bench::formula("belt-span-tension")?;
        kept(formula, typed, None, jiff::civil::date(2026, 5, 18), None)
    }

    #[test]
    fn what_was_typed_and_what_came_of_it_are_kept() {
        let Known::Calculation { inputs, results, .. } = belt("172 ± 1 mm", " 150 ± 2 Hz").unwrap() else {
            panic!("a calculation")
        };
        assert_eq!(inputs["frequency"], "150 ± 2 Hz");
        let tension = results.iter().find(|result| result.result == "tension").unwrap();
        assert_eq!(words(None, tension), "266.3 ± 7.7 N");
        let Known::Calculation { results, .. } = belt("172", "150").unwrap() else { panic!("a calculation") };
        assert_eq!(words(None, &results[0]), "266.3 N");
    }

    #[test]
    fn nothing_is_kept_of_what_cannot_be_worked_out() {
        assert_eq!(belt("172 N", "").unwrap_err().problems().len(), 2);
    }
}
