//! `only` and `model-years`: the cars something is limited to.

use super::{Table, Value, sections::Sections};
use crate::{SheetFault, ids::*, model::*};

/// The variants that are named, less those that were not made in the model years.
pub(super) fn only(t: &Table<'_>, sections: &Sections<'_>) -> Only {
    let named = t.list("only", |v| sections.variants.find(v));
    let Some(years) = t.may("model-years", years) else { return Only { variants: named, model_years: None } };
    let all = &sections.known_variants;
    let among: Vec<VariantId> = if named.is_empty() { all.keys().cloned().collect() } else { named.clone() };
    let made_then = |id: &VariantId| {
        all.get(id).and_then(|variant| variant.model_years).is_none_or(|made| made.overlap(&years))
    };
    let left: Vec<VariantId> = among.iter().filter(|id| made_then(id)).cloned().collect();
    if left.is_empty()
        && !among.is_empty()
        && let Some(value) = t.get("model-years")
    {
        value.fault(SheetFault::NoCarThen { of: t.name().to_string() });
    }
    let everyone = named.is_empty() && left.len() == all.len();
    Only { variants: if everyone { vec![] } else { left }, model_years: Some(years) }
}

/// `{ from = 2006, to = 2010 }`; either may be left out.
pub(super) fn years(value: Value<'_>) -> Option<Years> {
    value.table(|t| {
        let year = |v: Value<'_>| {
            let year = v.count()?;
            if (1880..=2200).contains(&year) { Some(year) } else { v.out_of_range("a year, such as 2006") }
        };
        let (from, to) = (t.may("from", year), t.may("to", year));
        super::needs_one_of(t, &["from", "to"]);
        if let (Some(from), Some(to)) = (from, to)
            && from > to
        {
            t.fault(SheetFault::YearsCrossed { of: t.name().to_string(), from, to });
        }
        Some(Years { from, to })
    })
}
