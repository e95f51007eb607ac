//! Why no plan keeps all that it should, in words that a person knows.

use super::{NOW, PlanFailed, money};
use crate::words;
use planner::{Choice, PinRule, PlanError, Rule};
use sheet::Sheet;

impl PlanFailed {
    /// As few rules as cannot be kept together, in words; none where something else is wrong.
    pub fn clash(&self, sheet: &Sheet, currency: &str) -> Vec<String> {
        match self {
            Self::Planner(PlanError::Infeasible { clash }) => {
                clash.iter().map(|rule| in_words(sheet, currency, rule)).collect()
            }
            _ => vec![],
        }
    }
}

/// A rule of the planner, with the names that a person knows.
fn in_words(sheet: &Sheet, currency: &str, rule: &Rule) -> String {
    let title = |job: &str| {
        let (operation, place) = job.split_once('@').unwrap_or((job, ""));
        let title = sheet.operations.get(operation).map_or(operation, |known| &known.title);
        match sheet.place_title(&place.into()) {
            "" => title.to_owned(),
            place => format!("{title}, {place}"),
        }
    };
    let occasion = |id: &str| match id.strip_prefix("agreed-") {
        Some(day) => format!("on {day}, as agreed"),
        None if id == NOW => "now".to_owned(),
        None => "at the next visit".to_owned(),
    };
    match rule {
        Rule::NotLeft { job } => format!("{}: it cannot be left", title(job)),
        Rule::By { job, occasion: by } if by == NOW => format!("{}: it must not wait", title(job)),
        Rule::By { job, .. } => format!("{}: it is to be done by the next visit", title(job)),
        Rule::Pin(pin) => match (&pin.choice, pin.rule) {
            (Choice::Leave, _) => format!("{}: it is to be left", title(&pin.job)),
            (Choice::On(id), PinRule::Must) => format!("{}: it must be {}", title(&pin.job), occasion(id)),
            (Choice::On(id), PinRule::MustNot) => format!("{}: not {}", title(&pin.job), occasion(id)),
        },
        Rule::Before { first, then } => format!("{}: only with or after {}", title(then), title(first)),
        Rule::Hours { occasion: id, limit } => format!("{} {}", words::hours(*limit), occasion(id)),
        Rule::Cash { occasion: id, limit } => {
            format!("{} {}", words::money(money(*limit), currency), occasion(id))
        }
        Rule::Together(_) | Rule::Exclusive(_) => rule.to_string(),
    }
}
