//! What is found, expected and worth doing, in sentences that can be read aloud.

use super::expects::Expects;
use super::{HARDLY, Speaks};
use crate::judge::{self, Judge, Tells};
use crate::words;
use quantity::rounding::{decimals_for, to_decimals};

/// A probability in a word: "probably". The steps are common practice, no source.
pub fn likely(p: f64) -> &'static str {
    match p {
        p if p >= 0.97 => "almost certainly",
        p if p >= 0.85 => "very probably",
        p if p >= 0.6 => "probably",
        p if p >= 0.4 => "about as likely as not",
        p if p >= 0.15 => "possibly",
        p if p >= HARDLY => "unlikely",
        _ => "almost certainly not",
    }
}

/// "Road spring, front left (wheel centre to arch edge)".
pub(super) fn named(judge: &Judge<'_>, at: judge::At<'_>) -> String {
    match judge.sheet.place_title(at.place) {
        "" => without_place(at),
        place => format!("{}, {place} ({})", at.component.title, words::lower_first(&at.check.title)),
    }
}

/// "Road spring (wheel centre to arch edge)".
pub(super) fn without_place(at: judge::At<'_>) -> String {
    format!("{} ({})", at.component.title, words::lower_first(&at.check.title))
}

/// What was found, and how it goes with what an explanation expects. `ratio` is how many times likelier it is under this
/// explanation than under the others.
pub(super) fn finding(
    judge: &Judge<'_>,
    at: judge::At<'_>,
    tells: &Tells,
    expects: &Expects,
    ratio: f64,
) -> String {
    let named = named(judge, at);
    match (tells, expects) {
        (Tells::State(state), Expects::States(shares)) => {
            let says = at.check.states().get(*state).map_or("", |state| &state.says);
            let share = shares.get(*state).copied().unwrap_or(0.0);
            format!(
                "{named}: “{says}”. So in {} of 100 such cases, in {} of 100 of the others.",
                hundredths(share),
                hundredths(share / ratio)
            )
        }
        (Tells::Value(measured, decimals), expects) => {
            let unit = measured.unit();
            let shown = |value: f64| words::value(value, *decimals, unit);
            let plain = |value: f64, decimals: i32| to_decimals(value, decimals).replace('-', "−");
            let lies = match expects {
                Expects::Near { mean, sd } => {
                    let decimals = (*decimals).min(decimals_for(*sd));
                    format!(
                        "{} ± {}",
                        plain(*mean, decimals),
                        words::value(sd.hypot(measured.u()), decimals, unit)
                    )
                }
                Expects::Between { from, to } => format!("{} to {}", plain(*from, *decimals), shown(*to)),
                Expects::States(_) => String::new(),
            };
            let goes = if ratio >= 1.0 { "and" } else { "but" };
            format!("{named}: {}, {goes} with this it should be {lies}.", shown(measured.value()))
        }
        (Tells::State(_), _) => named,
    }
}

/// Why a check comes next.
pub(super) fn why_next(bits: f64, minutes: f64, of: usize) -> String {
    let tells = match bits {
        bits if bits >= 0.8 => "it is likely to decide the matter",
        bits if bits >= 0.3 => "it is likely to tell much",
        _ => "it tells a little",
    };
    let minutes = words::count(minutes.round().max(1.0) as usize, "minute", "minutes");
    if of == 1 {
        format!("The one check that is left: {tells}, in about {minutes}.")
    } else {
        format!("Of {of} checks that are left it tells most for its minutes: {tells}, in about {minutes}.")
    }
}

/// A ground with how much it weighs: "12 to 1".
pub fn reason(speaks: &Speaks) -> String {
    let odds = if speaks.ratio >= 1.0 { speaks.ratio } else { 1.0 / speaks.ratio };
    let odds = if odds < 9.5 { format!("{odds:.1}") } else { format!("{odds:.0}") };
    let odds = odds.strip_suffix(".0").unwrap_or(&odds);
    if speaks.ratio >= 1.0 { format!("{odds} to 1") } else { format!("1 to {odds}") }
}

/// Whole hundredths, and never none or all of them.
fn hundredths(p: f64) -> String {
    format!("{:.0}", (p * 100.0).clamp(1.0, 99.0))
}
