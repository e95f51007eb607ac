//! The wear bar: what it shows, in shares of its rule. How it is drawn is left to the page.

use crate::assessment::{Judged, Measured, Outcome};
use crate::words;
use quantity::rounding::to_decimals;
use sheet::{CheckKind, Sheet};

/// What a finding looks like on a rule.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A measured value between new and limit.
    Bar(Bar),
    /// A described state among its neighbours.
    Stops(Stops),
}

/// A value on its way from new to the limit. Positions are shares of the rule, 0 at its left end; they may lie a little
/// outside.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    pub value: f64,
    /// Expanded uncertainty, nine times in ten and a half: the value ± 2 u.
    pub band: (f64, f64),
    /// Nine times in ten at the next visit.
    pub ghost: Option<(f64, f64)>,
    pub earlier: Vec<f64>,
    /// Where the limits are, with what they read; hatched beyond.
    pub limits: Vec<End>,
    pub new: Option<End>,
    pub says: String,
    /// Everything in one sentence, for those who do not see it.
    pub in_words: String,
}

/// A marked place on the rule.
#[derive(Debug, Clone, PartialEq)]
pub struct End {
    pub at: f64,
    pub label: String,
    /// Whether what lies beyond is to the right.
    pub beyond_right: bool,
}

/// The described states along the rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Stops {
    pub labels: Vec<String>,
    pub seen: usize,
    pub in_words: String,
}

/// Where limits stand on the rule: beyond them is room for what is past.
const LIMIT_AT: f64 = 0.86;
const NEW_AT: f64 = 0.02;

/// What a finding looks like on a rule; `None` for what was looked up or not reached.
pub fn mark(sheet: &Sheet, judged: &Judged) -> Option<Mark> {
    match &judged.what {
        Outcome::Measured(measured) => bar(measured).map(Mark::Bar),
        Outcome::Seen { state } => {
            let CheckKind::Observation(states) = &sheet.checks.get(&judged.check)?.kind else { return None };
            let seen = states.iter().position(|known| known.id == *state)?;
            let labels: Vec<String> = states.iter().map(|state| state.short.clone()).collect();
            let in_words = format!(
                "Seen: {}; described from {} to {}.",
                states[seen].says,
                labels[0],
                labels[labels.len() - 1]
            );
            Some(Mark::Stops(Stops { labels, seen, in_words }))
        }
        Outcome::Record { .. } | Outcome::Marked { .. } | Outcome::NotReached { .. } | Outcome::Unclear => {
            None
        }
    }
}

fn bar(measured: &Measured) -> Option<Bar> {
    let limit = measured.scale.limit.as_ref()?;
    let new = measured.scale.new.as_ref().map(|new| new.value);
    let value = measured.measurement.value();
    // Two points fix the scale: new and the limit, or the two limits.
    let (from, to, at_from, at_to) = match (limit.min, limit.max, new) {
        (Some(min), Some(max), _) => (min, max, 1.0 - LIMIT_AT, LIMIT_AT),
        (Some(end), None, Some(new)) | (None, Some(end), Some(new)) => (new, end, NEW_AT, LIMIT_AT),
        (Some(end), None, None) => {
            (end + 2.0 * (value - end).abs().max(f64::MIN_POSITIVE), end, NEW_AT, LIMIT_AT)
        }
        (None, Some(end), None) => {
            (end - 2.0 * (value - end).abs().max(f64::MIN_POSITIVE), end, NEW_AT, LIMIT_AT)
        }
        (None, None, _) => return None,
    };
    if from == to {
        return None;
    }
    let place = |value: f64| at_from + (value - from) / (to - from) * (at_to - at_from);
    let span = |low: f64, high: f64| {
        let (a, b) = (place(low), place(high));
        (a.min(b), a.max(b))
    };
    let plain = |value: f64, decimals: i32| to_decimals(value, decimals).replace('-', "−");
    let shown = |value: f64| plain(value, measured.decimals);
    let stated = |value: f64| plain(value, words::decimals_of(value, measured.decimals));
    let end = |value: f64, label: &str, beyond_right| End {
        at: place(value),
        label: format!("{label} {}", stated(value)),
        beyond_right,
    };
    let limits = match (limit.min, limit.max) {
        (Some(min), Some(max)) => vec![end(min, "min", false), end(max, "max", true)],
        (Some(only), None) | (None, Some(only)) => vec![end(only, "limit", true)],
        (None, None) => vec![],
    };
    let u = 2.0 * measured.measurement.u();
    let says = words::value(value, measured.decimals, measured.unit);
    let mut in_words = says.clone();
    if let Some(new) = new {
        in_words.push_str(&format!(", new {}", stated(new)));
    }
    for limit in &limits {
        in_words.push_str(&format!(", {}", limit.label));
    }
    if let Some((low, high)) = measured.at_next_visit {
        in_words.push_str(&format!(", at the next visit between {} and {}", shown(low), shown(high)));
    }
    let two_sided = limits.len() == 2;
    Some(Bar {
        value: place(value),
        band: span(value - u, value + u),
        ghost: measured.at_next_visit.map(|(low, high)| span(low, high)),
        earlier: measured.earlier.iter().map(|(_, value)| place(*value)).collect(),
        new: new.map(|new| end(new, "new", false)).filter(|new| !two_sided || (0.2..0.8).contains(&new.at)),
        limits,
        says,
        in_words,
    })
}
