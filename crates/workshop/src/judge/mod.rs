//! What was found on a car and what it means, as of a day.
//!
//! Each check at each place of the car is judged from the last thing that was said of it: a measured value against its
//! limit now and at the next visit, a described state, or the record. The verdict follows by one table; a person may
//! decide otherwise, and both are kept.

mod apart;
mod carries;
mod dealt_with;
mod doubt;
mod evidence;
mod filled;
mod further;
mod marking;
mod measure;
mod observation;
mod reading;
mod record;
mod settling;
mod trend;

pub(crate) use evidence::{Evidence, Tells, call};
pub use filled::{Filled, FilledInput, Taking};

use crate::ageing::Ageing;
use crate::assessment::{Assessment, Judged, Outcome, Overruled, PutRight, Reason};
use crate::car::{Car, Finding, Moment, Overrule, Visit, What, WorkDone};
use crate::fittings::Fittings;
use crate::keys;
use crate::marking::marked_component;
use crate::odometer::{NextVisit, Odometer};
use crate::shop::Shop;
use jiff::civil::Date;
use journal::{Seen, When};
use sheet::{Check, CheckId, CheckKind, Component, ComponentId, Place, Sheet, Verdict};

/// Everything that judging a car rests on.
#[derive(Debug)]
pub struct Judge<'a> {
    pub shop: &'a Shop,
    pub sheet: &'a Sheet,
    pub car: &'a Car,
    pub today: Date,
    pub odometer: Odometer,
    pub fittings: Fittings,
    pub next_visit: Option<NextVisit>,
}

/// One check at one place, with the component it looks at.
#[derive(Clone, Copy)]
pub(crate) struct At<'a> {
    pub id: &'a CheckId,
    pub check: &'a Check,
    pub component: &'a Component,
    pub place: &'a Place,
}

impl<'a> Judge<'a> {
    pub fn new(shop: &'a Shop, sheet: &'a Sheet, car: &'a Car, today: Date) -> Self {
        let odometer = Odometer::of(car, &sheet.yearly_use, today);
        let next_visit = odometer.next_visit(car, shop.gap_years, today);
        Self { shop, sheet, car, today, odometer, fittings: Fittings::of(car, sheet, today), next_visit }
    }

    /// Judges everything that is known of the car.
    pub fn assess(&self) -> Assessment {
        Assessment {
            car: self.car.id.clone(),
            visit: self.visits().last().map(|visit| visit.id.clone()),
            today: self.today,
            next_visit: self.next_visit.clone(),
            findings: self.findings(),
        }
    }

    /// In the order of the systems: checks as the sheet has them, then what is written on the parts.
    fn findings(&self) -> Vec<Judged> {
        let mut findings: Vec<Judged> = self.checks().filter_map(|at| self.finding(at)).collect();
        let checks = findings.len();
        findings.extend(self.markings());
        if findings.len() > checks {
            findings.sort_by_key(|judged| {
                let component = self.sheet.components.get(&judged.component);
                component.and_then(|known| self.sheet.systems.get_index_of(&known.system))
            });
        }
        findings
    }

    /// Judges one check at one place; `None` when nothing is known of it.
    pub fn one(&self, check: &CheckId, place: &Place) -> Option<Judged> {
        if let Some(component) = marked_component(check) {
            let (_, id, component) = self.sheet.components.get_full(&component)?;
            let place = component.places.iter().find(|known| *known == place)?;
            return self.marking(id, component, place);
        }
        self.checks().find(|at| at.id == check && at.place == place).and_then(|at| self.finding(at))
    }

    /// Every check of the car's variant at every place, in the order of systems, then of the sheet.
    fn checks(&self) -> impl Iterator<Item = At<'a>> {
        let variant = self.car.variant.as_ref();
        let mut checks: Vec<_> = self
            .sheet
            .checks
            .iter()
            .filter_map(|(id, check)| Some((id, check, self.sheet.components.get(&check.component)?)))
            .filter(|(_, check, component)| check.only.includes(variant) && component.only.includes(variant))
            .collect();
        checks.sort_by_key(|(_, _, component)| self.sheet.systems.get_index_of(&component.system));
        checks.into_iter().flat_map(|(id, check, component)| {
            component.places.iter().map(move |place| At { id, check, component, place })
        })
    }

    /// Visits up to today, in order.
    pub(crate) fn visits(&self) -> impl DoubleEndedIterator<Item = &'a Visit> {
        let today = self.today;
        self.car.visits.iter().filter(move |visit| visit.date <= today)
    }

    pub(crate) fn ageing(&self, component: &Component) -> Ageing {
        Ageing::new(component.ages_by, &self.sheet.yearly_use)
    }

    fn finding(&self, at: At<'a>) -> Option<Judged> {
        if let CheckKind::Interval(interval) = &at.check.kind {
            return self.record(at, interval);
        }
        let (visit, moment) = self.last_word(at)?;
        let put_right = self.put_right(&at.check.component, at.place, visit, moment);
        let renewed = self.fittings.current(&at.check.component, at.place).from > moment;
        let of_last_visit = self.visits().next_back().is_some_and(|last| last.id == visit.id);
        if (renewed || put_right.is_some()) && !of_last_visit {
            return None; // it speaks of a part that is gone, or of what was dealt with then
        }
        let mut judged = match put_right {
            None => self.found(at, visit)?,
            Some(by) => {
                // What was found is judged as of the day on which it was dealt with.
                let then = Judge::new(self.shop, self.sheet, self.car, visit.date);
                let mut judged = then.found(at, visit)?;
                self.dealt_with(at, visit, moment, by, &mut judged);
                judged
            }
        };
        self.overrule(at, &mut judged, moment);
        Some(judged)
    }

    /// What was said of a check on a visit, judged by itself.
    fn found(&self, at: At<'a>, visit: &'a Visit) -> Option<Judged> {
        let said = said_on(visit, at);
        Some(match (said.map(|finding| (finding, &finding.what)), &at.check.kind) {
            (Some((finding, What::NotReached { reason })), _) => {
                let mut judged = self.blank(at, visit, Some(finding));
                judged.carries.why = Some(reason.clone());
                judged.what = Outcome::NotReached { reason: reason.clone() };
                judged.with(Verdict::NotReached, Reason::new(format!("Not reached: {reason}")))
            }
            (Some((finding, What::Look { state, seen })), CheckKind::Observation(states)) => {
                self.observation(at, visit, finding, states, state, *seen)
            }
            (finding, CheckKind::Reading(_) | CheckKind::Derived(_)) => {
                self.reading(at, visit, finding.map(|(finding, _)| finding))
            }
            (Some((finding, _)), _) => self
                .blank(at, visit, Some(finding))
                .not_described("The data sheet no longer describes what was written here."),
            (None, _) => return None,
        })
    }

    /// The visit on which a check was last made at a place, and where in the story that stands.
    fn last_word(&self, at: At<'a>) -> Option<(&'a Visit, Moment)> {
        self.visits().rev().find_map(|visit| Some((visit, self.said_at(at, visit)?)))
    }

    /// Where in the story a check was last made on a visit.
    fn said_at(&self, at: At<'a>, visit: &'a Visit) -> Option<Moment> {
        match &at.check.kind {
            CheckKind::Derived(derived) => self.derived_at(derived, at.place, visit),
            _ => said_on(visit, at).map(|finding| finding.moment),
        }
    }

    /// Whether the component was worked on at a place between two moments: what was said before says nothing after.
    fn worked_between(&self, id: &ComponentId, at: &Place, after: Moment, until: Moment) -> bool {
        self.visits().flat_map(|visit| &visit.work).any(|work| {
            let (component, place) = match &work.what {
                WorkDone::Operation { operation, place } => {
                    (self.sheet.operations.get(operation).map(|known| &known.component), place.as_ref())
                }
                WorkDone::Fitted { since: Some(_), .. } => (None, None), // it had been in before
                WorkDone::Fitted { component, place, .. } => (Some(component), Some(place)),
            };
            (after < work.moment && work.moment < until)
                && component == Some(id)
                && place.is_none_or(|place| place == at)
        })
    }

    /// The work on the same visit, after the finding, that has dealt with it.
    fn put_right(&self, id: &ComponentId, at: &Place, visit: &Visit, moment: Moment) -> Option<PutRight> {
        let after = || visit.work.iter().filter(|work| work.moment > moment);
        let operation = after().find_map(|work| match &work.what {
            WorkDone::Operation { operation, place } => {
                let deals = self.sheet.operations.get(operation)?.component == *id
                    && place.as_ref().is_none_or(|place| place == at);
                deals.then(|| PutRight::Work(operation.clone()))
            }
            WorkDone::Fitted { .. } => None,
        });
        // Another part is in, whoever wrote down by which work: what was found is of the one that is out.
        operation.or_else(|| {
            after().find_map(|work| match &work.what {
                WorkDone::Fitted { component, place, part, since: None, .. } => {
                    let here = component == id && place == at;
                    here.then(|| PutRight::Part { part: part.clone() })
                }
                _ => None,
            })
        })
    }

    /// The last decision of a person, on this visit or a later one, on what was said at a moment. The computed verdict is
    /// kept beside it.
    fn overrule(&self, at: At<'a>, judged: &mut Judged, moment: Moment) {
        let holds = |decided: &Overrule, visit: &Visit| self.still_holds(at, decided, visit);
        self.overrule_by(judged, moment, holds, || self.consequence(at.component));
    }

    fn overrule_by(
        &self,
        judged: &mut Judged,
        moment: Moment,
        still_holds: impl Fn(&Overrule, &Visit) -> bool,
        consequence: impl Fn() -> Option<String>,
    ) {
        let decided = self
            .visits()
            .flat_map(|visit| visit.overrules.iter().map(move |decided| (visit, decided)))
            .filter(|(_, o)| o.check == judged.check && o.place == judged.place && o.moment > moment)
            .rev()
            .find(|(visit, decided)| still_holds(decided, visit));
        let Some((visit, decided)) = decided else { return };
        judged.verdict = decided.verdict;
        judged.overruled = Some(Overruled { by: decided.by.clone(), reason: decided.reason.clone() });
        if let Some(when) = &decided.when {
            judged.carries.trigger = Some(when.clone());
            judged.carries.window =
                (decided.verdict == Verdict::Plan).then(|| self.window_of(when, visit)).flatten();
        }
        match decided.verdict {
            Verdict::Settled | Verdict::NotReached => judged.carries.why = Some(decided.reason.clone()),
            Verdict::BeforeLeaving | Verdict::StaysPut => {
                judged.carries.consequence = Some(consequence().unwrap_or_else(|| decided.reason.clone()));
            }
            _ => {}
        }
    }

    /// Whether a decision still holds. On what was seen or measured it does until somebody looks again. What stands in the
    /// record is never looked at, so a decision on it holds on its own visit, and beyond until the time it named.
    fn still_holds(&self, at: At<'a>, decided: &Overrule, visit: &Visit) -> bool {
        if !matches!(at.check.kind, CheckKind::Interval(_)) {
            return true;
        }
        let Some(now) = self.visits().next_back() else { return false };
        let due = decided.when.as_ref().is_none_or(|when| {
            // Nobody reports an event to the book, so it alone keeps nothing quiet beyond the visit.
            let untimed = When { event: None, ..when.clone() }.is_never();
            let km_now = self.odometer.km_on(self.today).unwrap_or(0.0);
            untimed || keys::is_due(when, visit, Some(now), self.today, km_now)
        });
        now.id == visit.id || !due
    }

    /// A judgement with nothing in it yet.
    fn blank(&self, at: At<'_>, visit: &Visit, finding: Option<&Finding>) -> Judged {
        Judged {
            check: at.id.clone(),
            place: at.place.clone(),
            component: at.check.component.clone(),
            seen_on: Some((visit.id.clone(), visit.date)),
            by: finding.map(|finding| finding.by.clone()),
            note: finding.and_then(|finding| finding.note.clone()),
            what: Outcome::Unclear,
            p_beyond: None,
            p_next: None,
            computed: Verdict::NotReached,
            verdict: Verdict::NotReached,
            overruled: None,
            question: None,
            carries: crate::assessment::Carries::default(),
            reasons: vec![],
            outlook: None,
            put_right: None,
        }
    }
}

impl Judged {
    /// With a computed verdict and one more ground.
    fn with(mut self, verdict: Verdict, reason: Reason) -> Self {
        self.computed = verdict;
        self.verdict = verdict;
        self.reasons.push(reason);
        self
    }

    /// What the data sheet has no words for: looked at or measured, but nothing follows.
    fn not_described(mut self, says: &str) -> Self {
        self.carries.why = Some(says.into());
        self.with(Verdict::NotReached, Reason::new(says))
    }

    fn reason(&mut self, reason: Reason) {
        self.reasons.push(reason);
    }

    /// *Sound* and *Settled* need a look that could tell.
    fn only_if_seen(&mut self, seen: Seen) {
        let enough = match self.computed {
            Verdict::Sound => matches!(seen, Seen::Open | Seen::Clear),
            Verdict::Settled => matches!(seen, Seen::Open | Seen::Clear | Seen::Part),
            _ => true,
        };
        if !enough {
            let how = seen_words(seen);
            self.carries.why = Some(format!("It could not be seen well enough to call it sound: {how}."));
            self.computed = Verdict::NotReached;
            self.verdict = Verdict::NotReached;
            self.reason(Reason::new(format!("Seen {how}: that is not enough for Sound.")));
        }
    }
}

/// What was last said of a check at a place on a visit.
fn said_on<'v>(visit: &'v Visit, at: At<'_>) -> Option<&'v Finding> {
    visit
        .findings
        .iter()
        .filter(|finding| finding.check == *at.id && finding.place == *at.place)
        .max_by_key(|finding| finding.moment)
}

/// How well something was seen, in words that follow "seen".
pub(crate) fn seen_words(seen: Seen) -> &'static str {
    match seen {
        Seen::Open => "open and clean",
        Seen::Clear => "clearly, in place",
        Seen::Part => "only in part",
        Seen::Dirt => "only under dirt",
        Seen::Feel => "by feel only",
        Seen::Told => "by somebody else, as told",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{SHEET, Told, told, told_of, visit, visit_of};
    use Verdict::{BeforeLeaving, LookAgain, NotReached, Plan, Settled, Sound, StaysPut};
    use jiff::civil::date;

    fn look(state: &str) -> String {
        format!("[looks]\nhose-look = {{ \"front.left\" = \"{state}\" }}\n")
    }

    fn hose(told: &Told) -> Judged {
        told.judged("hose-look", "front.left")
    }

    fn overrule(verdict: &str, rest: &str) -> String {
        format!(
            "[[overrule]]\ncheck = \"hose-look\"\nplace = \"front.left\"\nverdict = \"{verdict}\"\nreason = \"I bent it.\"\nby = \"arno\"\n{rest}\n"
        )
    }

    #[test]
    fn only_what_somebody_said_is_judged() {
        let told = told(&[visit("2025-05-01", 80_000, &look("sound"))]);
        let checks: Vec<String> = told
            .assess()
            .findings
            .iter()
            .map(|judged| format!("{}@{}", judged.check, judged.place))
            .collect();
        // What was seen, and what stands in the record; in the order of the systems.
        assert_eq!(checks, ["hose-look@front.left", "cam-belt-due@single", "coolant-due@single"]);
    }

    #[test]
    fn what_this_variant_does_not_have_is_not_judged() {
        let play = "[readings]\nhinge-play = \"1.00 mm\"";
        let dora = told(&[visit("2025-05-01", 80_000, play)]);
        assert!(dora.find("hinge-play", "single").is_some());
        let flat = SHEET.replace("only        = [\"van\"]", "only        = [\"flat\"]");
        let sheet = sheet::read(&[sheet::SourceFile::new("sheet.toml", flat)]).unwrap();
        let judge = Judge::new(&dora.shop, &sheet, &dora.car, date(2025, 5, 1));
        assert!(judge.one(&"hinge-play".into(), &"single".into()).is_none());
    }

    #[test]
    fn the_last_word_counts_and_the_future_does_not() {
        let story =
            [visit("2024-05-01", 70_000, &look("damp")), visit("2025-05-01", 80_000, &look("crazed"))];
        let told = told(&story);
        assert_eq!(hose(&told).verdict, LookAgain);
        let judge = told.judge_on(date(2024, 12, 1));
        let then = judge.one(&"hose-look".into(), &"front.left".into()).unwrap();
        assert_eq!(then.verdict, BeforeLeaving);
        assert_eq!(judge.assess().visit.as_deref(), Some("dora-2024-05-01"));
        assert!(told.judge_on(date(2020, 1, 1)).assess().findings.is_empty());
    }

    #[test]
    fn not_reached_carries_its_reason() {
        let line = "[[not-reached]]\ncheck = \"hose-look\"\nplace = \"front.left\"\nreason = \"Under a guard that is riveted on.\"";
        let judged = hose(&told(&[visit("2025-05-01", 80_000, line)]));
        assert_eq!(judged.verdict, NotReached);
        assert_eq!(judged.carries.why.as_deref(), Some("Under a guard that is riveted on."));
        assert!(judged.is_open());
    }

    #[test]
    fn a_person_may_decide_otherwise_and_both_stay() {
        for (verdict, rest) in [
            ("sound", ""),
            ("settled", ""),
            ("look-again", "when = { years = 1 }"),
            ("plan", "when = { km = 5000 }"),
            ("plan", "when = { event = \"next oil change\" }"),
            ("before-leaving", ""),
            ("stays-put", ""),
        ] {
            let story =
                [visit("2025-05-01", 80_000, &format!("{}{}", look("crazed"), overrule(verdict, rest)))];
            let judged = hose(&told(&story));
            assert_eq!(judged.computed, LookAgain);
            assert_eq!(judged.verdict.id(), verdict);
            let overruled = Overruled { by: "arno".into(), reason: "I bent it.".into() };
            assert_eq!(judged.overruled, Some(overruled));
            let carries = &judged.carries;
            match judged.verdict {
                Settled => assert_eq!(carries.why.as_deref(), Some("I bent it.")),
                LookAgain => assert_eq!(carries.trigger.as_ref().and_then(|when| when.years), Some(1.0)),
                Plan => assert!(carries.window.is_some_and(|(from, to)| from < to), "{rest}"),
                BeforeLeaving | StaysPut => {
                    assert_eq!(carries.consequence.as_deref(), Some("The van may not stop when it has to."));
                }
                _ => {}
            }
        }
    }

    #[test]
    fn without_a_consequence_on_the_sheet_the_reason_is_the_consequence() {
        let sheet = SHEET.replace(
            "ages-by     = { years = 1.0 }\nfails-as    = \"brakes-fade\"",
            "ages-by     = { years = 1.0 }",
        );
        let sheet = sheet.replace(
            "means = \"before-leaving\" },\n  { id = \"bulge\"",
            "means = \"before-leaving\", why = \"It leaks.\" },\n  { id = \"bulge\"",
        );
        let sheet =
            sheet.replace("means = \"stays-put\" }", "means = \"stays-put\", why = \"It will burst.\" }");
        let story = |body: String| told_of("dora", &sheet, &[visit("2025-05-01", 80_000, &body)]);
        let overruled = hose(&story(format!("{}{}", look("crazed"), overrule("stays-put", ""))));
        assert_eq!(overruled.carries.consequence.as_deref(), Some("I bent it."));
        assert_eq!(hose(&story(look("bulge"))).carries.consequence.as_deref(), Some("It will burst."));
    }

    #[test]
    fn a_decision_on_a_later_visit_counts_until_somebody_looks_again() {
        let decided = [
            visit("2024-05-01", 70_000, &look("crazed")),
            visit("2025-05-01", 80_000, &overrule("plan", "when = { years = 1 }")),
        ];
        let judged = hose(&told(&decided));
        assert_eq!((judged.computed, judged.verdict), (LookAgain, Plan));
        let looked_again = [&decided[..], &[visit("2026-05-01", 90_000, &look("crazed"))]].concat();
        let judged = hose(&told(&looked_again));
        assert_eq!((judged.verdict, judged.overruled), (LookAgain, None));
    }

    #[test]
    fn work_after_a_finding_has_dealt_with_it_and_a_look_after_the_work_counts_anew() {
        let renewed = "[[done]]\noperation = \"renew-hose\"\nplace = \"front.left\"\n";
        let told_with =
            |rest: &str| told(&[visit("2025-05-01", 80_000, &format!("{}{renewed}{rest}", look("bulge")))]);
        let put_right = hose(&told_with(""));
        assert_eq!(put_right.verdict, StaysPut, "what was found stays found");
        assert_eq!(put_right.put_right, Some(PutRight::Work("renew-hose".into())));
        assert!(!put_right.is_open());

        let after =
            "[[look]]\ncheck = \"hose-look\"\nplace = \"front.left\"\nstate = \"damp\"\nafter-work = true\n";
        let again = hose(&told_with(after));
        assert_eq!((again.verdict, again.put_right), (BeforeLeaving, None));
        assert!(told_with(after).judged("hose-look", "front.left").is_open());
    }

    #[test]
    fn work_at_another_place_deals_with_nothing_here() {
        let other = "[[done]]\noperation = \"renew-hose\"\nplace = \"front.right\"\n";
        let judged = hose(&told(&[visit("2025-05-01", 80_000, &format!("{}{other}", look("bulge")))]));
        assert!(judged.is_open());
    }

    /// A part was put in, and nobody said by which work: what was found is of the one that is out. What any such work obliges
    /// to is asked for all the same; see [`keys`].
    #[test]
    fn a_part_that_was_fitted_has_dealt_with_what_was_found_on_the_one_before() {
        let fitted = |place: &str, rest: &str| {
            format!("[[fitted]]\ncomponent = \"hose\"\nplace = \"{place}\"\npart = \"PV-20\"\n{rest}\n")
        };
        let on = |body: String| hose(&told(&[visit("2025-05-01", 80_000, &body)]));
        let found = on(format!("{}{}", look("bulge"), fitted("front.left", "")));
        assert!(!found.is_open());
        assert_eq!(found.verdict, StaysPut, "what was found stays found");
        assert_eq!(found.put_right, Some(PutRight::Part { part: Some("PV-20".into()) }));
        // Not at another place, and not by papers of what had been in before.
        assert!(on(format!("{}{}", look("bulge"), fitted("front.right", ""))).is_open());
        assert!(on(format!("{}{}", look("bulge"), fitted("front.left", "since = 2020-01-01"))).is_open());
        // And what is seen on the new one counts anew.
        let after =
            "[[look]]\ncheck = \"hose-look\"\nplace = \"front.left\"\nstate = \"damp\"\nafter-work = true\n";
        let again = on(format!("{}{}{after}", look("bulge"), fitted("front.left", "")));
        assert_eq!((again.verdict, again.put_right), (BeforeLeaving, None));
    }

    #[test]
    fn what_was_found_after_the_work_can_be_decided_otherwise_as_well() {
        let renewed = "[[done]]\noperation = \"renew-hose\"\nplace = \"front.left\"\n";
        let after =
            "[[look]]\ncheck = \"hose-look\"\nplace = \"front.left\"\nstate = \"damp\"\nafter-work = true\n";
        let told_with = |decided: &str| {
            told(&[visit("2025-05-01", 80_000, &format!("{}{renewed}{after}{decided}", look("bulge")))])
        };
        assert_eq!(hose(&told_with(&overrule("sound", ""))).verdict, BeforeLeaving, "decided on the old one");
        let judged = hose(&told_with(&overrule("sound", "after-work = true")));
        assert_eq!((judged.computed, judged.verdict), (BeforeLeaving, Sound));
    }

    #[test]
    fn on_later_visits_nothing_is_said_of_a_part_that_is_gone() {
        let renewed =
            format!("{}[[done]]\noperation = \"renew-hose\"\nplace = \"front.left\"\n", look("bulge"));
        let story = [visit("2024-05-01", 70_000, &renewed), visit("2025-05-01", 80_000, "")];
        assert!(told(&story).find("hose-look", "front.left").is_none());
    }

    #[test]
    fn judging_twice_gives_the_same() {
        let story = [
            visit("2024-05-01", 70_000, "[readings]\ndisc-thickness = { \"front.left\" = \"23.9 mm\" }"),
            visit("2025-05-01", 80_000, &look("stiff")),
        ];
        let told = told(&story);
        assert_eq!(format!("{:?}", told.assess()), format!("{:?}", told.assess()));
    }

    #[test]
    fn a_car_without_a_visit_has_nothing_to_judge() {
        let emil = told_of("emil", SHEET, &[]);
        let judge = emil.judge_on(date(2025, 5, 1));
        assert!(judge.next_visit.is_none());
        assert!(judge.assess().findings.is_empty());
        let seen = told_of("emil", SHEET, &[visit_of("emil", "2025-05-01", 80_000, &look("sound"))]);
        assert_eq!(seen.verdict("hose-look", "front.left"), Sound);
    }
}
