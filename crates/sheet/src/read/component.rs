//! `[component.front-disc]`: a thing that can wear.

use super::{Value, only::only, places::Places, sections::Sections, source};
use crate::{SheetFault, ids::*, model::*};
use quantity::{Kind, Unit};

/// Within which factor the median of a life is known, unless it is said.
const SURE: f64 = 1.6;

pub(super) fn component(value: Value<'_>, sections: &Sections<'_>, places: &Places) -> Option<Component> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let system = t.need("system", |v| sections.systems.find(v));
        let places =
            t.may("places", |v| sections.places.find(v)).and_then(|set| places.sets.get(&set).cloned());
        let only = only(t, sections);
        let criticality = t.need("criticality", |v| v.word(Criticality::WORDS));
        let ages_by = t.need("ages-by", clock);
        let life = t.may("life", life);
        let fails_as = t.may("fails-as", |v| sections.consequences.find(v));
        Some(Component {
            title: title?,
            system: system?,
            places: places.unwrap_or_else(|| vec![Place::single()]),
            only,
            criticality: criticality?,
            ages_by: ages_by?,
            life,
            fails_as,
        })
    })
}

fn clock(value: Value<'_>) -> Option<Clock> {
    value.table(|t| {
        let share =
            |key| t.may(key, |v| v.number_that(|share| (0.0..=1.0).contains(&share), "a share from 0 to 1"));
        let (km, years) = (share("km"), share("years"));
        if t.get("km").is_none() && t.get("years").is_none() {
            t.fault(SheetFault::Neither { of: t.name().to_string(), keys: &["km", "years"] });
            return None;
        }
        let (km, years) = (km.unwrap_or(0.0), years.unwrap_or(0.0));
        if ((km + years) - 1.0).abs() > 1e-9 {
            t.fault(SheetFault::Shares { of: t.name().to_string(), sum: km + years });
        }
        Some(Clock { share_km: km })
    })
}

fn life(value: Value<'_>) -> Option<Life> {
    value.table(|t| {
        let median = t.need("median", median);
        let spread = t.need("spread", factor);
        let sure = t.may("sure", factor).unwrap_or(SURE);
        let source = source(t);
        let (median, median_in) = median?;
        Some(Life { median, median_in, spread: spread?, sure, source: source? })
    })
}

fn median(value: Value<'_>) -> Option<(f64, Along)> {
    let (unit, along) = match value.measure(&[Kind::Length, Kind::Time])?.kind() {
        Kind::Length => (Unit::KM, Along::Km),
        _ => (Unit::YEAR, Along::Years),
    };
    Some((value.positive_in(unit)?, along))
}

fn factor(value: Value<'_>) -> Option<f64> {
    value.number_that(|factor| factor > 1.0, "a factor above 1, such as 1.5")
}
