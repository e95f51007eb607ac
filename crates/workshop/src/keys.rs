//! Keys back: what the work of a visit obliges to, and whether the car may leave.

use crate::assessment::{Assessment, Judged};
use crate::car::{Car, Dealt, Moment, Visit, WorkDone};
use crate::verdict::thresholds;
use jiff::civil::Date;
use journal::{Answer, When};
use sheet::{AccessId, ComponentId, Criticality, Obligation, ObligationId, Operation, Place, Sheet, Verdict};

/// One obligation of a visit and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Obliged<'a> {
    pub id: &'a ObligationId,
    pub obligation: &'a Obligation,
    /// The work that raised it, by title.
    pub raised_by: Vec<&'a str>,
    /// Who dealt with it and how; `None` while open.
    pub dealt: Option<(String, Dealt)>,
    /// It was dealt with once, and work done since has made it necessary again.
    pub again: bool,
}

/// Why the keys cannot go back.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Held {
    #[error("“{title}” is neither met nor waived")]
    Open { obligation: ObligationId, title: String, guarded: bool },
    #[error("“{title}” was dealt with before “{work}” made it necessary again")]
    Again { obligation: ObligationId, title: String, work: String },
    #[error("“{title}” guards the {guards} and cannot be waived")]
    NeverWaived { obligation: ObligationId, title: String, guards: &'static str },
    #[error("“{title}” wants a value {wanted}, and has {found}")]
    Value { obligation: ObligationId, title: String, wanted: String, found: String },
    #[error("{title} is judged “{verdict}”, was not put right, and the owner's answer is not recorded")]
    Unanswered { title: String, verdict: &'static str },
    #[error("{title} is judged “{verdict}”; the owner has said yes to “{work}”, and it is not done")]
    NotDone { title: String, verdict: &'static str, work: String },
    #[error(
        "{title} may be past the limit that the car's safety hangs on, and the measurement cannot decide"
    )]
    Undecided { title: String },
}

impl Held {
    /// What to do about it.
    pub fn way_out(&self) -> &'static str {
        match self {
            Self::Open { guarded: false, .. } => "meet it, or waive it with a reason",
            Self::Open { guarded: true, .. } | Self::NeverWaived { .. } => {
                "it has to be met before the car leaves"
            }
            Self::Again { .. } => "do it once more and write it down once more",
            Self::Value { .. } => "measure again, put it right, and write the new value",
            Self::NotDone { .. } => "do the work, or record that the owner has thought otherwise",
            Self::Unanswered { .. } => "put it right, or record the owner's answer to the work that would",
            Self::Undecided { .. } => "measure it as was said, or do as if it were past",
        }
    }
}

/// The obligations of a visit, in the order in which the work raised them; those due only after leaving left out.
pub fn obligations<'a>(sheet: &'a Sheet, visit: &Visit) -> Vec<Obliged<'a>> {
    raised(sheet, visit)
        .into_iter()
        .filter(|raised| raised.obligation.after.is_none())
        .map(|Raised { id, obligation, by, last }| {
            let dealt = visit.obligations.iter().rev().find(|dealt| dealt.obligation == *id);
            // Wheels that came off again are to be torqued again.
            let counts = dealt.filter(|dealt| dealt.moment > last);
            let again = dealt.is_some() && counts.is_none();
            let dealt = counts.map(|dealt| (dealt.by.clone(), dealt.how.clone()));
            Obliged { id, obligation, raised_by: by, dealt, again }
        })
        .collect()
}

/// A promise that the work of a visit makes, due after leaving: it becomes a key tag.
#[derive(Debug, Clone, PartialEq)]
pub struct Promise<'a> {
    pub id: &'a ObligationId,
    pub what: &'a str,
    pub why: String,
    pub when: When,
}

/// The promises of a visit.
pub fn promises<'a>(sheet: &'a Sheet, visit: &Visit) -> Vec<Promise<'a>> {
    raised(sheet, visit)
        .into_iter()
        .filter_map(|Raised { id, obligation, by, .. }| {
            let after = obligation.after.as_ref()?;
            let when =
                When { km: after.km, years: after.years, event: after.event.clone(), ..When::default() };
            Some(Promise { id, what: &obligation.title, why: format!("After: {}.", by.join(", ")), when })
        })
        .collect()
}

impl Promise<'_> {
    /// The id of the key tag that it becomes.
    pub fn tag(&self, visit: &Visit) -> String {
        format!("{}-{}", visit.id, self.id)
    }
}

/// The promises of a visit that are not tied to the key yet.
pub fn untied<'a>(sheet: &'a Sheet, car: &Car, visit: &Visit) -> Vec<Promise<'a>> {
    let mut promises = promises(sheet, visit);
    promises.retain(|promise| {
        let tag = promise.tag(visit);
        !car.tags.iter().any(|tied| tied.id == tag)
    });
    promises
}

/// An obligation with the work of a visit that raises it.
struct Raised<'a> {
    id: &'a ObligationId,
    obligation: &'a Obligation,
    /// Titles, in the order in which the work was last done.
    by: Vec<&'a str>,
    /// When it was raised last.
    last: Moment,
}

/// Every obligation that the work of a visit raises.
fn raised<'a>(sheet: &'a Sheet, visit: &Visit) -> Vec<Raised<'a>> {
    let mut raised: Vec<Raised<'a>> = Vec::new();
    let mut raise = |id: &ObligationId, by: &'a str, last: Moment| {
        let Some((_, id, obligation)) = sheet.obligations.get_full(id) else { return };
        match raised.iter_mut().find(|known| known.id == id) {
            Some(known) => {
                known.last = known.last.max(last);
                known.by.retain(|title| *title != by);
                known.by.push(by);
            }
            None => raised.push(Raised { id, obligation, by: vec![by], last }),
        }
    };
    for work in &visit.work {
        match &work.what {
            WorkDone::Operation { operation, .. } => {
                let Some(operation) = sheet.operations.get(operation) else { continue };
                for id in obliges(sheet, operation) {
                    raise(id, &operation.title, work.moment);
                }
            }
            WorkDone::Fitted { component, place, since: None, .. } => {
                let Some(fitted) = sheet.components.get(component) else { continue };
                if !work_renews(sheet, visit, component, place) {
                    for id in obliged_by_any_renewal(sheet, component) {
                        raise(id, &fitted.title, work.moment);
                    }
                }
            }
            WorkDone::Fitted { .. } => {} // it had been in before
        }
    }
    raised
}

/// What an operation obliges to, by the steps it needs and by itself.
fn obliges<'a>(sheet: &'a Sheet, operation: &'a Operation) -> Vec<&'a ObligationId> {
    let steps = sheet.access_closure(&operation.needs);
    steps.into_iter().flat_map(|step| obliged_by(sheet, step)).chain(&operation.obliges).collect()
}

/// Whether work of a visit that is written down has renewed what sits at a place.
pub(crate) fn work_renews(sheet: &Sheet, visit: &Visit, component: &ComponentId, at: &Place) -> bool {
    visit.work.iter().any(|work| match &work.what {
        WorkDone::Operation { operation, place } => {
            place.as_ref().is_none_or(|place| place == at)
                && sheet.operations.get(operation).is_some_and(|known| known.component == *component)
        }
        WorkDone::Fitted { .. } => false,
    })
}

/// What a part obliges to that was fitted by work which nobody wrote down: what each way of renewing it does.
fn obliged_by_any_renewal<'a>(sheet: &'a Sheet, component: &ComponentId) -> Vec<&'a ObligationId> {
    let mut ways = sheet
        .operations
        .values()
        .filter(|operation| operation.renews && operation.component == *component)
        .map(|operation| obliges(sheet, operation));
    let Some(mut common) = ways.next() else { return vec![] };
    for way in ways {
        common.retain(|id| way.contains(id));
    }
    common
}

fn obliged_by<'a>(sheet: &'a Sheet, step: &AccessId) -> &'a [ObligationId] {
    sheet.access.get(step).map_or(&[], |step| &step.obliges)
}

/// Everything that holds the keys back; empty when the car may leave.
pub fn held(sheet: &Sheet, car: &Car, visit: &Visit, assessment: &Assessment) -> Vec<Held> {
    let mut held: Vec<Held> = obligations(sheet, visit).iter().filter_map(held_by).collect();
    let open = assessment.findings.iter().filter(|judged| judged.put_right.is_none());
    held.extend(open.filter_map(|judged| unanswered(sheet, car, visit, judged)));
    held
}

fn held_by(obliged: &Obliged<'_>) -> Option<Held> {
    let (obligation, title) = (obliged.id.clone(), obliged.obligation.title.clone());
    match (&obliged.dealt, obliged.obligation.guards) {
        (None, _) if obliged.again => {
            let work = obliged.raised_by.last().copied().unwrap_or_default().to_owned();
            Some(Held::Again { obligation, title, work })
        }
        (None, guards) => Some(Held::Open { obligation, title, guarded: guards.is_some() }),
        (Some((_, Dealt::Waived { .. })), Some(guards)) => {
            Some(Held::NeverWaived { obligation, title, guards: guards.id() })
        }
        (Some((_, Dealt::Waived { .. })), None) => None,
        (Some((_, Dealt::Met { value, .. })), _) => {
            let wanted = obliged.obligation.value.as_ref()?;
            let number = value.as_ref().and_then(|value| value.value_in(wanted.unit).ok());
            let good = number.is_some_and(|number| {
                wanted.min.is_none_or(|min| number >= min) && wanted.max.is_none_or(|max| number <= max)
            });
            let found = value.as_ref().map_or("none".into(), ToString::to_string);
            (!good).then(|| Held::Value { obligation, title, wanted: wanted_words(wanted), found })
        }
    }
}

/// "from 103 N·m to 113 N·m".
pub fn wanted_words(wanted: &sheet::ObligedValue) -> String {
    let unit = wanted.unit;
    match (wanted.min, wanted.max) {
        (Some(min), Some(max)) => format!("from {min} to {max} {unit}"),
        (Some(min), None) => format!("of at least {min} {unit}"),
        (None, Some(max)) => format!("of at most {max} {unit}"),
        (None, None) => format!("in {unit}"),
    }
}

/// A finding that should not leave so needs the owner's recorded answer to the work that would put it right. On what safety
/// hangs on, a measurement that cannot decide is acted on as one that has.
fn unanswered(sheet: &Sheet, car: &Car, visit: &Visit, judged: &Judged) -> Option<Held> {
    let component = sheet.components.get(&judged.component)?;
    let undecided = judged.verdict == Verdict::TooClose
        && component.criticality == Criticality::Safety
        && judged.p_beyond.is_some_and(|p| p >= thresholds(Criticality::Safety).now);
    if !undecided && !matches!(judged.verdict, Verdict::BeforeLeaving | Verdict::StaysPut) {
        return None;
    }
    let variant = car.variant.as_ref();
    let answers = sheet
        .operations
        .iter()
        .filter(|(_, operation)| operation.component == judged.component && operation.only.includes(variant));
    let answers: Vec<_> =
        answers.filter_map(|(id, operation)| Some((operation, visit.answer(id)?.says))).collect();
    let title = match sheet.place_title(&judged.place) {
        "" => component.title.clone(),
        place => format!("{}, {place}", component.title),
    };
    let verdict = judged.verdict.title();
    // A yes is a promise to put it right; only a no lets the car go as it is.
    if let Some((operation, _)) = answers.iter().find(|(_, says)| *says == Answer::Yes) {
        return Some(Held::NotDone { title, verdict, work: operation.title.clone() });
    }
    if answers.iter().any(|(_, says)| *says == Answer::NotNow) {
        return None;
    }
    Some(if undecided { Held::Undecided { title } } else { Held::Unanswered { title, verdict } })
}

/// Whether a key tag is due on a day at an odometer reading, the car being in for `visit`.
pub fn tag_is_due(tag: &crate::car::Tag, visit: Option<&Visit>, today: Date, km: f64) -> bool {
    let later_visit = visit.is_some_and(|visit| visit.id != tag.visit && visit.date >= tag.tied);
    falls_due(&tag.when, later_visit, tag.tied, tag.tied_km, today, km)
}

/// Whether what was said on a visit is due on a day at an odometer reading, the car being in for `now`.
pub(crate) fn is_due(when: &When, said_on: &Visit, now: Option<&Visit>, today: Date, km: f64) -> bool {
    let later_visit = now.is_some_and(|now| now.id != said_on.id && now.date >= said_on.date);
    falls_due(when, later_visit, said_on.date, crate::car::km(&said_on.odometer), today, km)
}

fn falls_due(when: &When, later_visit: bool, said: Date, said_km: f64, today: Date, km: f64) -> bool {
    let When { next_visit, date, km: distance, years, event: _ } = when;
    (*next_visit && later_visit)
        || date.is_some_and(|date| date <= today)
        || distance.is_some_and(|distance| km - said_km >= distance)
        || years.is_some_and(|years| crate::days::years_between(said, today) >= years - A_WEEK)
}

/// A promise for "in a year" is due when the car comes a few days early.
const A_WEEK: f64 = 7.0 / 365.25;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{SHEET, Told, told_of, visit_of};
    use jiff::civil::date;
    use proptest::prelude::*;

    /// Emil on one visit; nothing is due by the record of a car of which nothing is known.
    fn story(body: &str) -> Told {
        told_of("emil", SHEET, &[visit_of("emil", "2025-05-01", 80_000, body)])
    }

    fn done(operation: &str) -> String {
        format!("[[done]]\noperation = \"{operation}\"\n")
    }

    fn met(obligation: &str, value: &str) -> String {
        let value = if value.is_empty() { String::new() } else { format!("value = \"{value}\"\n") };
        format!("[[met]]\nobligation = \"{obligation}\"\n{value}")
    }

    fn waived(obligation: &str) -> String {
        format!("[[waived]]\nobligation = \"{obligation}\"\nreason = \"Owner waits outside.\"\n")
    }

    fn held_back(told: &Told) -> Vec<String> {
        let visit = told.car.last_visit().unwrap();
        held(&told.sheet, &told.car, visit, &told.assess()).iter().map(ToString::to_string).collect()
    }

    /// The wheel was off and the brakes were open, whoever wrote down by which work.
    #[test]
    fn a_part_obliges_to_what_every_way_of_renewing_it_does() {
        let raised = |body: &str| -> Vec<String> {
            let told = story(body);
            let visit = told.car.last_visit().unwrap();
            obligations(&told.sheet, visit).iter().map(|obliged| obliged.id.to_string()).collect()
        };
        let fitted = "[[fitted]]\ncomponent = \"disc\"\nplace = \"front.left\"\n";
        assert_eq!(raised(fitted), raised(&done("renew-discs")));
        assert!(!raised(fitted).is_empty());
        // With its work it is one renewal; what papers show of it was no work of this visit.
        assert_eq!(raised(&format!("{}{fitted}", done("renew-discs"))), raised(&done("renew-discs")));
        assert!(raised(&format!("{fitted}since = 2020-01-01\n")).is_empty());
    }

    #[test]
    fn work_obliges_through_every_step_it_opens() {
        for (operations, expected) in [
            (&[][..], vec![]),
            (&["retension-fan-belt"], vec![]),
            // Fan belt off stands on covers off; both steps are opened.
            (&["renew-fan-belt"], vec![("covers-quiet", vec!["Renew the fan belt"])]),
            (
                &["renew-discs"],
                vec![
                    ("nuts-torqued", vec!["Renew the brake discs"]),
                    ("pedal-firm", vec!["Renew the brake discs"]),
                ],
            ),
            (
                &["renew-fan-belt", "renew-cam-belt"],
                vec![
                    ("covers-quiet", vec!["Renew the fan belt", "Renew the cam belt"]),
                    ("turned-by-hand", vec!["Renew the cam belt"]),
                ],
            ),
        ] {
            let body: String = operations.iter().map(|operation| done(operation)).collect();
            let told = story(&body);
            let obliged = obligations(&told.sheet, told.car.last_visit().unwrap());
            let found: Vec<(&str, Vec<&str>)> =
                obliged.iter().map(|obliged| (obliged.id.as_str(), obliged.raised_by.clone())).collect();
            assert_eq!(found, expected, "{operations:?}");
            assert!(obliged.iter().all(|obliged| obliged.dealt.is_none()));
        }
    }

    #[test]
    fn an_obligation_due_after_leaving_is_a_promise() {
        let told = story(&(done("renew-discs") + &done("renew-pump")));
        let promised = promises(&told.sheet, told.car.last_visit().unwrap());
        let found: Vec<(&str, &str)> =
            promised.iter().map(|promise| (promise.what, promise.why.as_str())).collect();
        assert_eq!(
            found,
            [
                ("Wheel nuts checked again", "After: Renew the brake discs."),
                ("Coolant level looked at again", "After: Renew the water pump."),
            ]
        );
        assert_eq!(promised[0].when, When { km: Some(60.0), ..When::default() });
        assert_eq!(
            (promised[1].when.years, promised[1].when.event.as_deref()),
            (Some(0.1), Some("first warm-up"))
        );
    }

    #[test]
    fn what_holds_the_keys_is_named() {
        let discs = done("renew-discs");
        let belt = done("renew-fan-belt");
        for (name, body, expected) in [
            ("no work", String::new(), vec![]),
            ("open", belt.clone(), vec!["“Covers quiet at idle” is neither met nor waived"]),
            ("met", belt.clone() + &met("covers-quiet", ""), vec![]),
            ("waived", belt.clone() + &waived("covers-quiet"), vec![]),
            (
                "guarded and open",
                discs.clone(),
                vec![
                    "“Wheel nuts torqued in a star” is neither met nor waived",
                    "“Pedal held firm for half a minute” is neither met nor waived",
                ],
            ),
            ("in the range", discs.clone() + &met("nuts-torqued", "110 Nm") + &met("pedal-firm", ""), vec![]),
            ("at its ends", discs.clone() + &met("nuts-torqued", "100 Nm") + &met("pedal-firm", ""), vec![]),
            (
                "in another unit: 88.5 lbf ft are 120 Nm",
                discs.clone() + &met("nuts-torqued", "88.5 lbf.ft") + &met("pedal-firm", ""),
                vec![],
            ),
            (
                "out of the range",
                discs.clone() + &met("nuts-torqued", "95 Nm") + &met("pedal-firm", ""),
                vec!["“Wheel nuts torqued in a star” wants a value from 100 to 120 N·m, and has 95 N·m"],
            ),
            (
                "put right: the last word counts",
                discs.clone()
                    + &met("nuts-torqued", "95 Nm")
                    + &met("nuts-torqued", "112 Nm")
                    + &met("pedal-firm", ""),
                vec![],
            ),
        ] {
            assert_eq!(held_back(&story(&body)), expected, "{name}");
        }
    }

    /// A guarded obligation that came to be waived all the same, as in a book that another program wrote, holds the keys.
    #[test]
    fn what_guards_wheels_brakes_steering_fuel_or_restraints_is_never_waived() {
        let told = story(&(done("renew-discs") + &met("nuts-torqued", "110 Nm") + &met("pedal-firm", "")));
        let mut visit = told.car.last_visit().unwrap().clone();
        for dealt in &mut visit.obligations {
            dealt.how = Dealt::Waived { reason: "no time".into() };
        }
        let held = held(&told.sheet, &told.car, &visit, &told.assess());
        assert_eq!(held.len(), 2);
        assert!(held.iter().all(|held| matches!(held, Held::NeverWaived { .. })), "{held:?}");
        assert!(held[0].way_out().contains("has to be met"));
    }

    #[test]
    fn a_guarded_obligation_that_is_open_offers_no_waiver() {
        let told = story(&done("renew-discs"));
        let held = held(&told.sheet, &told.car, told.car.last_visit().unwrap(), &told.assess());
        assert!(held.iter().all(|held| !held.way_out().contains("waive")), "{held:?}");
    }

    /// Wheels that came off again after the nuts were torqued.
    #[test]
    fn what_was_met_before_the_work_that_calls_for_it_is_to_be_met_again() {
        let first = done("renew-discs") + &met("nuts-torqued", "110 Nm") + &met("pedal-firm", "");
        let mut shelf = crate::support::Shelf::new();
        shelf.record(&[("1.toml", &visit_of("emil", "2025-05-01", 80_000, &first))]).unwrap();
        assert!(held_back(&shelf.told("emil")).is_empty());

        let hose = "[[done]]\noperation = \"renew-hose\"\nplace = \"front.left\"\n";
        let more = format!("{first}{hose}");
        shelf.record(&[("1.toml", &visit_of("emil", "2025-05-01", 80_000, &more))]).unwrap();
        assert_eq!(
            held_back(&shelf.told("emil")),
            [
                "“Wheel nuts torqued in a star” was dealt with before “Renew a brake hose” made it necessary again",
                "“Pedal held firm for half a minute” was dealt with before “Renew a brake hose” made it necessary again",
            ]
        );

        let again = format!("{more}{}{}", met("nuts-torqued", "111 Nm"), met("pedal-firm", ""));
        shelf.record(&[("1.toml", &visit_of("emil", "2025-05-01", 80_000, &again))]).unwrap();
        assert!(held_back(&shelf.told("emil")).is_empty());
    }

    fn hose(state: &str) -> String {
        format!("[looks]\nhose-look = {{ \"front.left\" = \"{state}\" }}\n")
    }

    fn answer(operation: &str, says: &str) -> String {
        format!("[[answer]]\noperation = \"{operation}\"\nsays = \"{says}\"\nname = \"Emil's owner\"\n")
    }

    fn overrule(verdict: &str) -> String {
        format!(
            "[[overrule]]\ncheck = \"hose-look\"\nplace = \"front.left\"\nverdict = \"{verdict}\"\nreason = \"Bent it.\"\nwhen = {{ years = 1 }}\n"
        )
    }

    #[test]
    fn what_should_not_leave_needs_work_or_the_owners_answer() {
        let renewed = "[[done]]\noperation = \"renew-hose\"\nplace = \"front.left\"\n".to_owned()
            + &met("nuts-torqued", "110 Nm")
            + &met("pedal-firm", "");
        for (name, body, free) in [
            ("stays put", hose("bulge"), false),
            ("before leaving", hose("damp"), false),
            ("to be planned", hose("stiff"), true),
            ("answered", hose("bulge") + &answer("renew-hose", "not-now"), true),
            ("to be asked", hose("bulge") + &answer("renew-hose", "ask-me"), false),
            ("agreed and not done", hose("bulge") + &answer("renew-hose", "yes"), false),
            (
                "agreed, then thought otherwise",
                hose("bulge") + &answer("renew-hose", "yes") + &answer("renew-hose", "not-now"),
                true,
            ),
            ("answered on other work", hose("bulge") + &answer("renew-discs", "not-now"), false),
            ("put right", hose("bulge") + &renewed, true),
            ("agreed and put right", hose("bulge") + &renewed + &answer("renew-hose", "yes"), true),
            ("a person lets it go", hose("bulge") + &overrule("look-again"), true),
            ("a person holds it back", hose("crazed") + &overrule("stays-put"), false),
            ("a person agrees with what was computed", hose("bulge") + &overrule("stays-put"), false),
        ] {
            let told = story(&body);
            let held = held_back(&told);
            assert_eq!(held.is_empty(), free, "{name}: {held:?}");
            if !free {
                assert!(held[0].starts_with("Brake hose, front left is judged"), "{name}: {held:?}");
            }
        }
    }

    /// Undecided on a brake is acted on as past until it is measured again; undecided on comfort is not.
    #[test]
    fn a_measurement_that_cannot_decide_on_safety_holds_the_keys() {
        let life =
            "life        = { median = \"90000 km\", spread = 1.5, source = \"invented life of discs\" }\n";
        let without_life = SHEET.replace(life, "");
        let comfort = without_life.replacen(
            "places      = \"front-sides\"\ncriticality = \"safety\"",
            "places      = \"front-sides\"\ncriticality = \"comfort\"",
            1,
        );
        let read = |sheet: &str, mm: &str, rest: &str| {
            let body = format!("[readings]\ndisc-thickness = {{ \"front.left\" = \"{mm} mm\" }}\n{rest}");
            told_of("emil", sheet, &[visit_of("emil", "2025-05-01", 80_000, &body)])
        };
        let told = read(&without_life, "23.02", "");
        assert_eq!(told.verdict("disc-thickness", "front.left"), Verdict::TooClose);
        let held = held_back(&told);
        assert_eq!(held.len(), 1);
        assert!(held[0].contains("cannot decide"), "{held:?}");
        assert!(held_back(&read(&without_life, "23.02", &answer("renew-discs", "not-now"))).is_empty());
        // Most likely inside: one reading too few to be sure, and no ground to keep the van.
        let likely = read(&without_life, "23.06", "");
        assert_eq!(likely.verdict("disc-thickness", "front.left"), Verdict::TooClose);
        assert!(held_back(&likely).is_empty());
        let told = read(&comfort, "23.02", "");
        assert_eq!(told.verdict("disc-thickness", "front.left"), Verdict::TooClose);
        assert!(held_back(&told).is_empty());
    }

    #[test]
    fn a_key_tag_falls_due_by_visit_date_distance_or_years_whichever_comes_first() {
        let tag = |when: &str| {
            let line = format!("[[key-tag]]\nid = \"t\"\nwhat = \"w\"\nwhy = \"y\"\nwhen = {{ {when} }}\n");
            story(&line).car.tags[0].clone()
        };
        let later = story("").car.last_visit().unwrap().clone();
        let later = Visit { id: "later".into(), date: date(2025, 8, 1), ..later };
        let own = story("").car.last_visit().unwrap().clone();
        for (when, visit, day, km, due) in [
            ("next-visit = true", Some(&own), date(2025, 5, 1), 80_000.0, false),
            ("next-visit = true", None, date(2030, 5, 1), 200_000.0, false),
            ("next-visit = true", Some(&later), date(2025, 8, 1), 80_000.0, true),
            ("date = 2025-10-01", None, date(2025, 9, 30), 80_000.0, false),
            ("date = 2025-10-01", None, date(2025, 10, 1), 80_000.0, true),
            ("km = 2000", None, date(2025, 5, 2), 81_999.0, false),
            ("km = 2000", None, date(2025, 5, 2), 82_000.0, true),
            ("years = 1", None, date(2026, 4, 1), 80_000.0, false),
            ("years = 1", None, date(2026, 4, 28), 80_000.0, true), // a few days early is the yearly visit
            ("years = \"12 months\"", None, date(2026, 4, 28), 80_000.0, true),
            ("km = \"2000 km\"", None, date(2025, 5, 2), 81_999.0, false),
            ("km = \"2000 km\"", None, date(2025, 5, 2), 82_000.0, true),
            ("km = 2000, years = 1", None, date(2025, 6, 1), 82_500.0, true),
            ("km = 2000, years = 1", None, date(2026, 5, 1), 80_500.0, true),
            ("event = \"oil change\"", Some(&later), date(2030, 5, 1), 200_000.0, false),
        ] {
            assert_eq!(tag_is_due(&tag(when), visit, day, km), due, "{when} on {day} at {km}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

        /// Whatever was done, met and waived: while a guarded obligation is not met in its range, the keys stay.
        #[test]
        fn no_car_leaves_with_an_open_obligation_that_guards(
            work in prop::collection::vec(0usize..5, 1..4), torque in prop::option::of(80u32..140), pedal in any::<bool>(),
        ) {
            let operations = ["renew-discs", "renew-fan-belt", "renew-cam-belt", "retension-fan-belt", "change-coolant"];
            let mut body: String = work.iter().map(|n| done(operations[*n])).collect();
            let wheels = work.contains(&0);
            if wheels {
                if let Some(torque) = torque { body += &met("nuts-torqued", &format!("{torque} Nm")); }
                if pedal { body += &met("pedal-firm", ""); }
            }
            let told = story(&body);
            let visit = told.car.last_visit().unwrap();
            let held = held(&told.sheet, &told.car, visit, &told.assess());
            let guarded = held.iter().any(|held| match held {
                Held::Open { guarded, .. } => *guarded,
                Held::Value { .. } => true,
                _ => false,
            });
            let good = torque.is_some_and(|torque| (100..=120).contains(&torque)) && pedal;
            prop_assert_eq!(guarded, wheels && !good);
        }
    }
}
