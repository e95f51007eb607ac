//! From the model back to a file: a sheet that was made by a program, or read and changed by one.
//!
//! What comes out reads as the sheet that went in, its revision apart: a revision is that of the files. Comments, the
//! division into files and the sets of places by their names are not part of the model, and are lost.

mod toml_text;

use crate::{ids::*, model::*};
use quantity::{Allowance, Calibration, Quantity, Unit};
use toml_text::{Entries, Text};

/// The sheet as one file.
pub fn write(sheet: &Sheet) -> String {
    let mut text = Text::default();
    text.table("sheet", None, head(sheet));
    macro_rules! tables {
        ($($kind:literal: $field:ident, $entries:expr;)*) => {$(
            for (id, thing) in &sheet.$field {
                text.table($kind, Some(id.as_str()), $entries(thing));
            }
        )*};
    }
    tables! {
        "variant": variants, variant;
        "system": systems, |system: &System| Entries::new().text("title", &system.title);
    }
    let sets = sets(sheet);
    for (id, places) in &sets {
        let titles = places.iter().filter_map(|place| Some((place, sheet.places.get(place)?)));
        let entries =
            titles.fold(Entries::new(), |entries, (place, title)| entries.text(place.as_str(), title));
        text.table("places", Some(id), entries);
    }
    tables! {
        "station": stations, station;
        "component": components, |of| component(of, &sets);
        "check": checks, check;
        "instrument": instruments, instrument;
        "fluid": fluids, fluid;
        "fastener": fasteners, fastener;
    }
    for (id, of) in &sheet.parts {
        text.table("part", Some(id.as_str()), part(of, sheet));
    }
    tables! {
        "access": access, access;
        "operation": operations, operation;
        "obligation": obligations, obligation;
        "consequence": consequences, consequence;
        "while-apart": while_apart, while_apart;
    }
    for (id, of) in &sheet.questions {
        text.table("question", Some(id.as_str()), question(of, sheet));
    }
    for (id, of) in &sheet.explanations {
        text.table("explanation", Some(id.as_str()), explanation(of, sheet));
    }
    tables! {
        "look-alike": look_alikes, look_alike;
        "glossary": glossary, word;
    }
    text.finish()
}

fn head(sheet: &Sheet) -> Entries {
    let YearlyUse { mean_km, variation, source } = &sheet.yearly_use;
    let yearly_use = Entries::new()
        .measure("mean", *mean_km, Unit::KM_PER_YEAR)
        .number("variation", *variation)
        .text("source", source);
    Entries::new()
        .text("id", sheet.id.as_str())
        .text("title", &sheet.title)
        .may_text("says", &sheet.says)
        .text("currency", &sheet.currency)
        .table("yearly-use", yearly_use)
        .number("refit", sheet.refit)
}

fn variant(variant: &Variant) -> Entries {
    Entries::new().text("title", &variant.title).may("model-years", &variant.model_years, years)
}

fn years(years: &Years) -> Entries {
    Entries::new().may_count("from", years.from).may_count("to", years.to)
}

fn only(entries: Entries, only: &Only) -> Entries {
    entries.texts("only", &only.variants).may("model-years", &only.model_years, years)
}

/// All places in their order, and then each list of places that a component has, under names of our own.
fn sets(sheet: &Sheet) -> Vec<(String, Vec<Place>)> {
    let all: Vec<_> = sheet.places.keys().cloned().collect();
    if all.is_empty() {
        return vec![];
    }
    let mut sets = vec![("all".to_owned(), all)];
    for component in sheet.components.values() {
        let single = *component.places == [Place::single()];
        if !single && !sets.iter().any(|(_, places)| *places == component.places) {
            sets.push((format!("set-{}", sets.len()), component.places.clone()));
        }
    }
    sets
}

fn station(station: &Station) -> Entries {
    Entries::new().text("title", &station.title).texts("places", &station.places)
}

fn component(component: &Component, sets: &[(String, Vec<Place>)]) -> Entries {
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

fn life(life: &Life) -> Entries {
    Entries::new()
        .measure("median", life.median, along(life.median_in))
        .number("spread", life.spread)
        .number("sure", life.sure)
        .text("source", &life.source)
}

fn along(along: Along) -> Unit {
    match along {
        Along::Km => Unit::KM,
        Along::Years => Unit::YEAR,
    }
}

fn check(check: &Check) -> Entries {
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

fn photo(photo: &Photo) -> Entries {
    Entries::new().text("file", &photo.file).text("shows", &photo.shows).may_text("state", &photo.state)
}

fn call(formula: &str, gives: &str, inputs: &indexmap::IndexMap<String, Input>) -> Entries {
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

fn new(new: &New, unit: Unit) -> Entries {
    Entries::new().measure("value", new.value, unit).may_measure("tolerance", new.tolerance, unit)
}

fn limit(limit: &Limit, unit: Unit) -> Entries {
    Entries::new()
        .may_measure("min", limit.min, unit)
        .may_measure("max", limit.max, unit)
        .text("source", &limit.source)
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

fn trigger(trigger: &Trigger) -> Entries {
    Entries::new()
        .may_measure("km", trigger.km, Unit::KM)
        .may_measure("years", trigger.years, Unit::YEAR)
        .may_text("event", &trigger.event)
}

fn interval(interval: &Interval) -> Entries {
    Entries::new()
        .may_measure("km", interval.km, Unit::KM)
        .may_measure("years", interval.years, Unit::YEAR)
        .flag("strict", interval.strict)
        .text("source", &interval.source)
}

fn instrument(instrument: &Instrument) -> Entries {
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

fn allowance(allowance: &Allowance) -> String {
    match allowance {
        Allowance::Absolute(size) => size.ucum(),
        Allowance::OfReading(share) => format!("{} of reading", share.ucum()),
    }
}

fn fluid(fluid: &Fluid) -> Entries {
    let Capacity { filled, dry, with, source } = &fluid.capacity;
    let capacity = Entries::new()
        .text("filled", &filled.ucum())
        .may_text("dry", &dry.as_ref().map(Quantity::ucum))
        .may_text("with", with)
        .text("source", source);
    only(Entries::new().text("title", &fluid.title), &fluid.only)
        .text("specification", &fluid.specification)
        .may_text("grade", &fluid.grade)
        .list("grades", &fluid.grades, |of| {
            Entries::new().text("grade", &of.grade).may_measure("from", of.from, Unit::CELSIUS).may_measure(
                "to",
                of.to,
                Unit::CELSIUS,
            )
        })
        .table("capacity", capacity)
        .list("drain", &fluid.drain, opening)
        .list("fill", &fluid.fill, opening)
        .may_text("caution", &fluid.caution)
}

fn opening(opening: &Opening) -> Entries {
    Entries::new()
        .text("at", &opening.at)
        .may_text("fastener", &opening.fastener)
        .may_text("level", &opening.level)
}

fn fastener(fastener: &Fastener) -> Entries {
    let entries = Entries::new().text("title", &fastener.title).may_text("component", &fastener.component);
    only(entries, &fastener.only)
        .may_text("thread", &fastener.thread)
        .may_count("count", fastener.count)
        .list("stages", &fastener.stages, |stage| match stage {
            Stage::Torque(torque, None) => Entries::new().measure("torque", *torque, Unit::N_M),
            Stage::Torque(torque, Some(tolerance)) => Entries::new().table(
                "torque",
                Entries::new().measure("value", *torque, Unit::N_M).measure(
                    "tolerance",
                    *tolerance,
                    Unit::N_M,
                ),
            ),
            Stage::Angle(angle) => Entries::new().measure("angle", *angle, Unit::DEG),
            Stage::Loosen(angle) => Entries::new().measure("loosen", *angle, Unit::DEG),
        })
        .may_text("sequence", &fastener.sequence)
        .text("reuse", fastener.reuse.id())
        .may_text("reuse-if", &fastener.reuse_if)
        .may_text("threads", &fastener.threads)
        .may_text("caution", &fastener.caution)
        .text("source", &fastener.source)
}

fn part(part: &Part, sheet: &Sheet) -> Entries {
    only(Entries::new().text("title", &part.title).text("price", &part.price.to_string()), &part.only)
        .texts("marks", &part.marks)
        .may_text("component", &part.component)
        .texts("places", &part.places)
        .may_text("replaces", &part.replaces)
        .may_text("changed", &part.changed)
        .flag("both-ways", part.both_ways)
        .texts("together", &part.together)
        .may_measure("shelf-age", part.shelf_age, Unit::YEAR)
        .list("alternatives", &part.alternatives, |of| {
            Entries::new().text("part", of.part.as_str()).text("says", &of.says).list(
                "changes",
                &of.changes,
                |change| {
                    let unit = unit_of(sheet, &change.check);
                    Entries::new()
                        .text("check", change.check.as_str())
                        .may("new", &change.new, |of| new(of, unit))
                        .may("limit", &change.limit, |of| limit(of, unit))
                },
            )
        })
        .text("source", &part.source)
}

/// Where numbers are said of a check, it is one that gives numbers.
fn unit_of(sheet: &Sheet, check: &CheckId) -> Unit {
    sheet.checks.get(check).and_then(Check::unit).unwrap_or(Unit::ONE)
}

fn access(access: &Access) -> Entries {
    only(Entries::new().text("title", &access.title), &access.only)
        .texts("needs", &access.needs)
        .number("hours", access.hours)
        .texts("obliges", &access.obliges)
        .may_text("caution", &access.caution)
}

fn operation(operation: &Operation) -> Entries {
    let entries =
        Entries::new().text("title", &operation.title).text("component", operation.component.as_str());
    only(entries, &operation.only)
        .flag("renews", operation.renews)
        .flag("each", operation.each)
        .texts("needs", &operation.needs)
        .number("hours", operation.hours)
        .list("parts", &operation.parts, |of| {
            Entries::new().text("part", of.part.as_str()).count("quantity", of.quantity)
        })
        .list("fluids", &operation.fluids, |of| {
            Entries::new().text("fluid", of.fluid.as_str()).text("quantity", &of.quantity.ucum())
        })
        .list("steps", &operation.steps, |of| {
            Entries::new()
                .text("do", &of.does)
                .may_text("hold", &of.hold)
                .flag("second-look", of.second_look)
                .texts("fasteners", &of.fasteners)
                .may_text("caution", &of.caution)
        })
        .texts("with", &operation.with)
        .texts("obliges", &operation.obliges)
        .may_text("caution", &operation.caution)
}

fn obligation(obligation: &Obligation) -> Entries {
    Entries::new()
        .text("title", &obligation.title)
        .may_text("how", &obligation.how)
        .may_text("caution", &obligation.caution)
        .may_text("guards", &obligation.guards.map(Guard::id))
        .may("value", &obligation.value, |of| {
            Entries::new()
                .text("unit", of.unit.code())
                .may_measure("min", of.min, of.unit)
                .may_measure("max", of.max, of.unit)
                .text("source", &of.source)
        })
        .may("after", &obligation.after, trigger)
        .text("source", &obligation.source)
}

fn consequence(consequence: &Consequence) -> Entries {
    Entries::new()
        .text("title", &consequence.title)
        .text("says", &consequence.says)
        .text("costs", &consequence.costs.to_string())
        .texts("warns", &consequence.warns)
        .list("then", &consequence.then, |(to, probability)| {
            Entries::new().text("to", to.as_str()).number("probability", *probability)
        })
        .text("source", &consequence.source)
}

fn while_apart(of: &WhileApart) -> Entries {
    only(Entries::new().text("title", &of.title), &of.only)
        .texts("apart", &of.apart)
        .list("offer", &of.offer, |offer| {
            Entries::new().text("operation", offer.operation.as_str()).text("why", &offer.why).may(
                "from",
                &offer.from,
                trigger,
            )
        })
        .text("source", &of.source)
}

fn question(question: &Question, sheet: &Sheet) -> Entries {
    let otherwise: Vec<_> = question.otherwise.iter().collect();
    only(Entries::new().text("title", &question.title), &question.only)
        .list("raised-by", &question.raised_by, |of| {
            Entries::new().text("check", of.check.as_str()).texts("states", &of.states)
        })
        .number("none", question.none)
        .list("otherwise", &otherwise, |(check, (from, to))| {
            let unit = unit_of(sheet, check);
            Entries::new().text("check", check.as_str()).measure("from", *from, unit).measure("to", *to, unit)
        })
        .text("source", &question.source)
}

fn explanation(explanation: &Explanation, sheet: &Sheet) -> Entries {
    let entries = Entries::new()
        .text("question", explanation.question.as_str())
        .text("title", &explanation.title)
        .may_text("says", &explanation.says);
    only(entries, &explanation.only)
        .may_number("prior", explanation.prior)
        .may_text("component", &explanation.component)
        .list("shows", &explanation.shows, |of| sign(of, sheet))
        .may_text("put-right", &explanation.put_right)
        .text("source", &explanation.source)
}

fn sign(sign: &Sign, sheet: &Sheet) -> Entries {
    let unit = unit_of(sheet, &sign.check);
    let entries = Entries::new().text("check", sign.check.as_str()).may_text("place", &sign.place);
    match &sign.shows {
        Shows::States(states) => {
            let states = states.iter().fold(Entries::new(), |entries, (id, likelihood)| match likelihood {
                Likelihood::Often(often) => entries.text(id.as_str(), often.id()),
                Likelihood::Share(share) => entries.number(id.as_str(), *share),
            });
            entries.table("states", states)
        }
        Shows::Reads(Expected::Value { value, spread }) => entries
            .table("reads", Entries::new().measure("value", *value, unit).measure("spread", *spread, unit)),
        Shows::Reads(Expected::Formula { formula, gives, inputs, onto, spread }) => entries.table(
            "reads",
            call(formula, gives, inputs).measure("onto", *onto, unit).measure("spread", *spread, unit),
        ),
        Shows::Reads(Expected::Between { from, to }) => {
            entries.table("reads", Entries::new().measure("from", *from, unit).measure("to", *to, unit))
        }
    }
}

fn look_alike(of: &LookAlike) -> Entries {
    Entries::new()
        .text("title", &of.title)
        .texts("checks", &of.checks)
        .texts("could-be", &of.could_be)
        .text("told-apart", &of.told_apart)
}

fn word(word: &Word) -> Entries {
    Entries::new().text("title", &word.title).texts("also", &word.also).text("says", &word.says)
}
