//! What a formula is given on the command line: KEY=VALUE, KEY="a; b; c" or KEY=@FILE.csv.

use crate::error::{Failed, WrongFormula};
use ::bench::{Formula, Input, Need, Readings};
use columns::Column;
use std::path::Path;

/// Reads everything given.
///
/// # Errors
/// Everything that is wrong with it at once, and what the formula needs.
pub fn readings(formula: &Formula, given: &[String]) -> Result<Readings, Failed> {
    let mut problems = vec![];
    let mut written: Vec<(&str, String)> = vec![];
    for part in given {
        let Some((key, text)) = part.split_once('=') else {
            problems.push(format!("`{part}` names no input; write KEY=VALUE"));
            continue;
        };
        let key = key.trim();
        if written.iter().any(|(known, _)| *known == key) {
            problems.push(format!("`{key}` is given twice"));
            continue;
        }
        match text.trim().strip_prefix('@').map(|path| column(key, path)) {
            None => written.push((key, text.to_owned())),
            Some(Ok(text)) => written.push((key, text)),
            Some(Err(says)) => {
                problems.extend(says);
                // An input of which the file cannot be read is not missing as well.
                let example = formula.input(key).map(Input::example).unwrap_or_default();
                written.push((key, example));
            }
        }
    }
    let read = formula.read_readings(written.iter().map(|(key, text)| (*key, text.as_str())));
    match read {
        Ok(readings) if problems.is_empty() => Ok(readings),
        read => {
            if let Err(error) = read {
                problems.extend(error.problems().iter().map(ToString::to_string));
            }
            Err(wrong(formula, problems))
        }
    }
}

/// A refusal by the formula itself.
pub fn refused(formula: &Formula) -> impl Fn(::bench::BenchError) -> Failed {
    move |error| wrong(formula, error.problems().iter().map(ToString::to_string).collect())
}

fn wrong(formula: &Formula, problems: Vec<String>) -> Failed {
    Failed::Formula(WrongFormula { problems, help: needs(formula) })
}

/// A column of a file as it would be typed.
fn column(key: &str, path: &str) -> Result<String, Vec<String>> {
    let column = Column::read(Path::new(path), key).map_err(|error| {
        error.problems.iter().map(|problem| format!("{path}: {problem}")).collect::<Vec<_>>()
    })?;
    let cells = column.cells.join("; ");
    Ok(column.unit.map_or(cells.clone(), |unit| format!("{cells} {unit}")))
}

/// What a formula takes, one input a line.
pub fn needs(formula: &Formula) -> String {
    let wide = formula.inputs.iter().map(|input| input.key.len()).max().unwrap_or(0);
    let lines = formula.inputs.iter().map(|input| {
        let need = match input.need {
            Need::Required => String::new(),
            Need::Default(_) | Need::Optional => " May be left out.".into(),
            Need::Alternative => " In place of another.".into(),
        };
        let range = input.scale().map(|scale| format!(", {}", scale.range())).unwrap_or_default();
        format!(
            "  {:wide$}  {}{range}.{need} Such as {}={:?}",
            input.key,
            input.title,
            input.key,
            input.example()
        )
    });
    let lines: Vec<String> = lines.collect();
    format!("`{}` takes\n{}", formula.id, lines.join("\n"))
}
