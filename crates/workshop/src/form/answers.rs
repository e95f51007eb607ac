//! What the owner answers to the letter.

use super::{FromForm, problem, typed};
use crate::car::Visit;
use journal::{Answer, Known};
use sheet::{OperationId, Sheet};

/// The owner's answers, line by line; lines left open are left out.
///
/// # Errors
/// What is wrong with the fields `name`, `answer`.
pub fn answers(
    sheet: &Sheet,
    visit: &Visit,
    name: &str,
    lines: &[(OperationId, String)],
) -> FromForm<Vec<Known>> {
    let mut problems = Vec::new();
    let name = typed(name);
    if name.is_none() {
        problems.push(problem("name", "Please write your name: the answers are kept with it."));
    }
    let mut said = Vec::new();
    for (operation, says) in lines {
        let says = match says.as_str() {
            "" => continue,
            "yes" => Answer::Yes,
            "not-now" => Answer::NotNow,
            "ask-me" => Answer::AskMe,
            _ => {
                problems.push(problem("answer", "Answer yes, not now, or ask me."));
                continue;
            }
        };
        if !sheet.operations.contains_key(operation) {
            problems.push(problem("answer", "The letter has changed meanwhile: please look at it again."));
            continue;
        }
        said.push((operation.to_string(), says));
    }
    if said.is_empty() && problems.is_empty() {
        problems.push(problem("answer", "Please answer at least one line."));
    }
    let Some(name) = name.filter(|_| problems.is_empty()) else { return Err(problems) };
    Ok(said
        .into_iter()
        .map(|(operation, says)| Known::Answer {
            visit: visit.id.clone(),
            operation,
            says,
            name: name.clone(),
            words: None,
        })
        .collect())
}
