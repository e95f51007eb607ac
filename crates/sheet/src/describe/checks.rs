//! Components, checks and instruments in plain words.

use super::{Facts, Words, phrases::*};
use crate::model::*;
use indexmap::IndexMap;
use quantity::{Allowance, Calibration, Unit};

impl Words<'_> {
    pub(super) fn component(&self, of: &Component) -> Facts {
        let system = self.sheet.systems.get(&of.system);
        let places = of.places.iter().map(|place| self.sheet.place_title(place).to_owned());
        let facts = Facts::new()
            .say("system", system.map_or(of.system.as_str(), |system| &system.title))
            .list("places", places.filter(|title| !title.is_empty()));
        self.only(facts, &of.only)
            .say("criticality", format!("at stake: {}", of.criticality.title().to_lowercase()))
            .say("ages-by", clock(&of.ages_by))
            .may("life", of.life.as_ref().map(life))
            .may("fails-as", of.fails_as.as_ref().map(|id| self.named_consequence(id)))
    }

    pub(super) fn check(&self, of: &Check) -> Facts {
        let facts = Facts::new()
            .say("component", self.named_component(&of.component))
            .may("how", of.how.as_ref())
            .may("normal", of.normal.as_ref())
            .may("caution", of.caution.as_ref());
        let station = of.station.as_ref().and_then(|id| self.sheet.stations.get(id));
        let facts = self
            .only(facts.may("station", station.map(|station| &station.title)), &of.only)
            .list("needs", of.needs.iter().map(|id| self.named_access(id)))
            .may("minutes", of.minutes.map(number))
            .may("when", of.when.as_ref())
            .list("tools", of.tools.iter().cloned())
            .may("order", Some(of.order).filter(|order| *order != Check::USUAL_ORDER))
            .each(
                "photos",
                of.photos.iter().map(|photo| {
                    let state = photo.state.as_ref().map(|state| format!("state `{state}`"));
                    (photo.file.clone(), format!("{}{}", photo.shows, also(&[state])))
                }),
            );
        match &of.kind {
            CheckKind::Reading(reading) => {
                scale(facts.say("reading", self.reading(reading)), &reading.scale, reading.unit)
            }
            CheckKind::Derived(derived) => {
                let inputs = self.inputs(&derived.inputs);
                let formula = format!(
                    "in {}, by the formula `{}` ({}) from {inputs}",
                    derived.unit, derived.formula, derived.gives
                );
                scale(facts.say("derived", formula), &derived.scale, derived.unit)
            }
            CheckKind::Observation(states) => {
                facts.each("states", states.iter().map(|state| (state.id.to_string(), self::state(state))))
            }
            CheckKind::Interval(interval) => {
                let strict = if interval.strict { "a limit" } else { "advice" };
                let due = span(interval.km, interval.years).unwrap_or_default();
                facts.say("interval", format!("{due}; {strict}{}", from(&interval.source)))
            }
        }
    }

    fn reading(&self, reading: &Reading) -> String {
        let repeats = (reading.repeats > 1)
            .then(|| format!("{} times, the {} counts", reading.repeats, reading.keep.title()));
        let others: Vec<_> = reading.also.iter().map(|id| self.named_instrument(id)).collect();
        let others = (!others.is_empty()).then(|| format!("or with {}", others.join(", ")));
        format!(
            "in {}, with {}{}",
            reading.unit,
            self.named_instrument(&reading.instrument),
            also(&[others, repeats])
        )
    }

    /// "span 172 mm, frequency from …".
    pub(super) fn inputs(&self, inputs: &IndexMap<String, Input>) -> String {
        let words = inputs.iter().map(|(key, input)| match input {
            Input::Check { check, place: None } => format!("{key} from {}", self.named_check(check)),
            Input::Check { check, place: Some(place) } => {
                format!("{key} from {}, {}", self.named_check(check), self.place(place))
            }
            Input::Value(quantity) => format!("{key} {quantity}"),
            Input::Word(word) => format!("{key} {word}"),
        });
        words.collect::<Vec<_>>().join(", ")
    }
}

fn clock(clock: &Clock) -> String {
    match clock.share_km {
        km if km >= 1.0 => "distance".to_owned(),
        km if km <= 0.0 => "time".to_owned(),
        km => format!("{} % distance, {} % time", number(km * 100.0), number((1.0 - km) * 100.0)),
    }
}

fn life(life: &Life) -> String {
    let (km, years) = match life.median_in {
        Along::Km => (Some(life.median), None),
        Along::Years => (None, Some(life.median)),
    };
    let median = span(km, years).unwrap_or_default();
    format!(
        "half are gone after {median}, nine in ten between that ÷ {0} and × {0}; known within a factor of {1}{2}",
        number(life.spread),
        number(life.sure),
        from(&life.source)
    )
}

fn scale(facts: Facts, scale: &Scale, unit: Unit) -> Facts {
    let differs = scale.differs.iter().map(|of| {
        let says =
            format!("at most {} between {}{}", measure(of.max, unit), of.between.title(), from(&of.source));
        (of.between.id().to_owned(), says)
    });
    let trend = scale.trend.as_ref().map(|of| {
        let per = match of.along {
            Along::Km => span(Some(of.per), None),
            Along::Years => span(None, Some(of.per)),
        };
        format!("at most {} in {}{}", measure(of.max, unit), per.unwrap_or_default(), from(&of.source))
    });
    facts
        .may("new", scale.new.as_ref().map(|of| new(of, unit)))
        .may("limit", scale.limit.as_ref().map(|of| limit(of, unit)))
        .may(
            "settled",
            scale
                .settled
                .as_ref()
                .map(|of| format!("{} while it does not move: {}", bounds(of.min, of.max, unit), of.why)),
        )
        .each("differs", differs)
        .may("trend", trend)
}

fn state(state: &State) -> String {
    let when = state.when.as_ref().map(|when| match state.means {
        Verdict::Plan => format!("within {}", trigger(when)),
        _ => format!("again after {}", trigger(when)),
    });
    let tell = state.tell.as_ref().map(|tell| format!("told by: {tell}"));
    format!(
        "{} (in short: {}): {}{}",
        state.says,
        state.short,
        state.means.title(),
        also(&[tell, when, state.why.clone()])
    )
}

pub(super) fn instrument(of: &Instrument) -> Facts {
    let statement = &of.statement;
    let share = statement.effects.first().map(|effect| size(&effect.size));
    let repeatability = statement.repeatability.as_ref().map(ToString::to_string).or(share);
    let calibration = match &statement.calibration {
        Calibration::Unknown => None,
        Calibration::Certificate { expanded, k } => {
            Some(format!("{} by its certificate, k = {}", size(expanded), number(*k)))
        }
        Calibration::MaximumPermissibleError(largest) => Some(format!("{} at most", size(largest))),
    };
    Facts::new()
        .say("resolution", &statement.resolution)
        .may("repeatability", repeatability)
        .may("calibration", calibration)
        .only_if("zero-set", statement.zero_set, "set to zero before each use")
        .say("source", &of.source)
}

fn size(size: &Allowance) -> String {
    match size {
        Allowance::Absolute(size) => size.to_string(),
        Allowance::OfReading(share) => format!("{share} of the reading"),
    }
}
