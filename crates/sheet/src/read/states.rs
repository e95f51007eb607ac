//! `states` of a check: what an observation may find, best first.

use super::{Value, needs_one_of, plain_km, plain_years, trigger};
use crate::{SheetFault, diagnostic::Span, ids::*, model::*, table::nearest};
use indexmap::IndexMap;

/// Reads the states; `component` is missing when it could not be read.
pub(super) fn states(value: Value<'_>, component: Option<(&ComponentId, &Component)>) -> Option<Vec<State>> {
    let verdicts: Vec<_> =
        Verdict::WORDS.iter().copied().filter(|(_, verdict)| verdict.of_states()).collect();
    let mut seen = IndexMap::<StateId, Span>::new();
    value.list_of(1, "at least one state", |v| {
        v.table(|t| {
            let id = t.need("id", |v| {
                let id: StateId = v.id()?;
                if let Some(first) = seen.insert(id.clone(), v.span()) {
                    v.fault_between(SheetFault::StateTwice { state: id.clone() }, first);
                }
                Some(id)
            });
            let short = t.need("short", Value::text);
            let says = t.need("says", Value::text);
            let tell = t.may("tell", Value::text);
            let means = t.need("means", |v| v.word(&verdicts));
            let why = t.may("why", Value::text);
            let after = t.may("after", trigger);
            let within = t.may("within", window);

            let means = means?;
            for (key, goes_with) in [("after", Verdict::LookAgain), ("within", Verdict::Plan)] {
                if let (true, Some(value)) = (means != goes_with, t.get(key)) {
                    let with = format!("means = \"{}\"", means.id());
                    value.fault(SheetFault::NotWith { key, with });
                }
            }
            let id = id?;
            let state = id.to_string();
            let nobody_says_what_follows =
                component.filter(|(_, component)| component.fails_as.is_none() && t.get("why").is_none());
            match (means, nobody_says_what_follows) {
                (Verdict::Settled, _) if t.get("why").is_none() => {
                    t.get("means")?.fault(SheetFault::NoWhy { state })
                }
                (Verdict::BeforeLeaving | Verdict::StaysPut, Some((component, _))) => {
                    let fault =
                        SheetFault::NoConsequence { state, means: means.id(), component: component.clone() };
                    t.get("means")?.fault(fault);
                }
                _ => {}
            }
            Some(State { id, short: short?, says: says?, tell, means, why, when: after.or(within) })
        })
    })
}

/// The window of *Plan it*: by distance or by time.
fn window(value: Value<'_>) -> Option<Trigger> {
    value.table(|t| {
        let (km, years) = (t.may("km", plain_km), t.may("years", plain_years));
        needs_one_of(t, &["km", "years"]);
        Some(Trigger { km, years, event: None })
    })
}

/// That a check has no such state.
pub(super) fn no_state(id: &str, states: &[State]) -> SheetFault {
    let known: Vec<_> = states.iter().map(|state| state.id.clone()).collect();
    let nearest = nearest(id, known.iter().map(StateId::as_str)).map(str::to_owned);
    SheetFault::NotAState { state: id.to_owned(), nearest, known }
}
