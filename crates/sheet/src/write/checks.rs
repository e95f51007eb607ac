//! Components, checks and instruments.

use super::{along, only, toml_text::Entries, trigger};
use crate::{ids::*, model::*};
use indexmap::IndexMap;
use quantity::{Allowance, Calibration, Quantity, Unit};

pub(super) fn component(component: &Component, sets: &[(String, Vec<Place>)]) -> Entries {
    let set = sets.iter().find(|(_, places)| *places == component.places);
    let km = component.ages_by.share_km;
    let clock = Entries::new();
    let clock = if km > 0.0 { clock.number("km", km) } else { clock };
    let clock = if km < 1.0 { clock.number("years", 1.0 - km) } else { clock };
    let entries = Entries::new()
        .text("title", &component.title)
        .text("system", component.system.as_str())
        .may_text("places", &set.map(|(id, _)| id));
    only(entries, &component.only)
        .text("criticality", component.criticality.id())
        .table("ages-by", clock)
        .may("life", &component.life, life)
        .may_text("fails-as", &component.fails_as)
}

pub(super) fn check(check: &Check) -> Entries {
    let entries = Entries::new()
        .text("component", check.component.as_str())
        .text("title", &check.title)
        .may_text("how", &check.how)
        .may_text("normal", &check.normal)
        .may_text("caution", &check.caution)
        .may_text("station", &check.station);
    let entries = only(entries, &check.only)
        .texts("needs", &check.needs)
        .may_number("minutes", check.minutes)
        .may_text("when", &check.when)
        .texts("tools", &check.tools)
        .list("photos", &check.photos, photo);
    let entries =
        if check.order == Check::USUAL_ORDER { entries } else { entries.count("order", check.order) };
    match &check.kind {
        CheckKind::Reading(reading) => {
            let of = Entries::new()
                .text("unit", reading.unit.code())
                .text("instrument", reading.instrument.as_str())
                .texts("also", &reading.also)
                .count("repeats", reading.repeats)
                .text("keep", reading.keep.id());
            scale(entries.table("reading", of), &reading.scale, reading.unit)
        }
        CheckKind::Derived(derived) => {
            let of =
                call(&derived.formula, &derived.gives, &derived.inputs).text("unit", derived.unit.code());
            scale(entries.table("derived", of), &derived.scale, derived.unit)
        }
        CheckKind::Observation(states) => entries.list("states", states, state),
        CheckKind::Interval(interval) => entries.table("interval", self::interval(interval)),
    }
}

pub(super) fn instrument(instrument: &Instrument) -> Entries {
    let statement = &instrument.statement;
    let absolute = statement.repeatability.as_ref().map(Quantity::ucum);
    let of_reading = statement.effects.first().map(|effect| allowance(&effect.size));
    let entries = Entries::new()
        .text("title", &instrument.title)
        .text("resolution", &statement.resolution.ucum())
        .may_text("repeatability", &absolute.or(of_reading));
    let entries = match &statement.calibration {
        Calibration::Unknown => entries,
        Calibration::Certificate { expanded, k } => entries
            .table("calibration", Entries::new().text("expanded", &allowance(expanded)).number("k", *k)),
        Calibration::MaximumPermissibleError(largest) => {
            entries.table("calibration", Entries::new().text("mpe", &allowance(largest)))
        }
    };
    entries.flag("zero-set", statement.zero_set).text("source", &instrument.source)
}

pub(super) fn call(formula: &str, gives: &str, inputs: &IndexMap<String, Input>) -> Entries {
    let inputs = inputs.iter().fold(Entries::new(), |entries, (key, input)| {
        entries.table(
            key,
            match input {
                Input::Check { check, place } => {
                    Entries::new().text("check", check.as_str()).may_text("place", place)
                }
                Input::Value(quantity) => Entries::new().text("value", &quantity.ucum()),
                Input::Word(word) => Entries::new().text("value", word),
            },
        )
    });
    Entries::new().text("formula", formula).text("gives", gives).table("inputs", inputs)
}

pub(super) fn new(new: &New, unit: Unit) -> Entries {
    Entries::new().measure("value", new.value, unit).may_measure("tolerance", new.tolerance, unit)
}

pub(super) fn limit(limit: &Limit, unit: Unit) -> Entries {
    Entries::new()
        .may_measure("min", limit.min, unit)
        .may_measure("max", limit.max, unit)
        .text("source", &limit.source)
}

fn life(life: &Life) -> Entries {
    Entries::new()
        .measure("median", life.median, along(life.median_in))
        .number("spread", life.spread)
        .number("sure", life.sure)
        .text("source", &life.source)
}

fn photo(photo: &Photo) -> Entries {
    Entries::new().text("file", &photo.file).text("shows", &photo.shows).may_text("state", &photo.state)
}

fn scale(entries: Entries, scale: &Scale, unit: Unit) -> Entries {
    let bounds = |min, max| Entries::new().may_measure("min", min, unit).may_measure("max", max, unit);
    entries
        .may("new", &scale.new, |of| new(of, unit))
        .may("limit", &scale.limit, |of| limit(of, unit))
        .may("settled", &scale.settled, |of| bounds(of.min, of.max).text("why", &of.why))
        .list("differs", &scale.differs, |of| {
            Entries::new()
                .text("between", of.between.id())
                .measure("max", of.max, unit)
                .text("source", &of.source)
        })
        .may("trend", &scale.trend, |of| {
            Entries::new()
                .measure("max", of.max, unit)
                .measure("per", of.per, along(of.along))
                .text("source", &of.source)
        })
}

fn state(state: &State) -> Entries {
    let key = if state.means == Verdict::Plan { "within" } else { "after" };
    Entries::new()
        .text("id", state.id.as_str())
        .text("short", &state.short)
        .text("says", &state.says)
        .may_text("tell", &state.tell)
        .text("means", state.means.id())
        .may_text("why", &state.why)
        .may(key, &state.when, trigger)
}

fn interval(interval: &Interval) -> Entries {
    Entries::new()
        .may_measure("km", interval.km, Unit::KM)
        .may_measure("years", interval.years, Unit::YEAR)
        .flag("strict", interval.strict)
        .text("source", &interval.source)
}

fn allowance(allowance: &Allowance) -> String {
    match allowance {
        Allowance::Absolute(size) => size.ucum(),
        Allowance::OfReading(share) => format!("{} of reading", share.ucum()),
    }
}
