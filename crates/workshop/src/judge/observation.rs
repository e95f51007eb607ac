//! A described state, and the life of what was seen.

use super::{At, Judge, seen_words};
use crate::assessment::{Judged, Outcome, Reason};
use crate::car::{Finding, Moment, Visit, km};
use crate::outlook::Outlook;
use crate::verdict::{by_the_table, stands_for};
use crate::words;
use jiff::civil::Date;
use journal::Seen;
use prognosis::life::{self, Law, OwnRecord};
use sheet::{CheckKind, ComponentId, Derived, Reading, State, StateId, Verdict};
use std::sync::Arc;

impl<'a> Judge<'a> {
    pub(super) fn observation(
        &self,
        at: At<'a>,
        visit: &'a Visit,
        finding: &Finding,
        states: &[State],
        state: &StateId,
        seen: Seen,
    ) -> Judged {
        let mut judged = self.blank(at, visit, Some(finding));
        judged.what = Outcome::Seen { state: state.clone() };
        let Some(state) = states.iter().find(|known| known.id == *state) else {
            let says = format!("The data sheet does not describe the state `{state}`.");
            judged.carries.why = Some(says.clone());
            return judged.with(Verdict::NotReached, Reason::new(says));
        };
        judged.reason(Reason::new(format!("Seen {}: {}.", seen_words(seen), state.says)));
        judged.computed = state.means;
        judged.verdict = state.means;
        judged.carries.why.clone_from(&state.why);
        if let Some(why) = &state.why {
            judged.reason(Reason::new(why.clone()));
        }
        if let Some(p) = stands_for(at.component.criticality, state.means) {
            let years = self.next_visit.as_ref().map_or(self.shop.gap_years, |next| next.years);
            judged.outlook = Some(Outlook::steady(p, years));
        } else {
            self.life(at, finding.moment, visit, &mut judged);
        }
        judged.only_if_seen(seen);
        self.carry(at, &mut judged);
        judged
    }

    /// For a part seen good: the life of its kind, given that it is alive. A part that was seen to be good is never condemned
    /// by its age: the most that age asks for is a plan.
    fn life(&self, at: At<'a>, moment: Moment, visit: &Visit, judged: &mut Judged) {
        let Some(stated) = &at.component.life else { return };
        if self.is_measured(&at.check.component) {
            return; // its readings tell more than the life of its kind
        }
        let Some(start) = self.fittings.at(&at.check.component, at.place, moment).start else {
            judged.reason(Reason::new("When it was fitted is not known, so nothing is said of its age."));
            return;
        };
        let Some(next) = &self.next_visit else { return };
        let ageing = self.ageing(at.component);
        let prior = life::Prior { median: ageing.median(stated), spread: stated.spread, sure: stated.sure };
        let age = ageing.since(start, visit.date, km(&visit.odometer));
        let Ok(posterior) = life::posterior(Law::Weibull, &prior, &[]) else { return };
        let alive = Arc::new(posterior.alive_at(age, OwnRecord::LeftOut));
        let outlook = Outlook::Life { alive, ageing, start };
        let p_next = outlook.fails_by(next.date, self.today, &self.odometer);
        judged.p_beyond = Some(outlook.fails_by(self.today, self.today, &self.odometer));
        judged.p_next = Some(p_next);
        judged.reason(
            Reason::new(format!(
                "Fitted {}; half of its kind are gone by {}. Being good then, the chance that it fails before {} is {}.",
                words::month(start.date),
                median_words(stated),
                words::month(next.date),
                words::chance(p_next)
            ))
            .from_source(stated.source.clone())
            .ahead(),
        );
        let by_age = by_the_table(at.component.criticality, 0.0, p_next).min(Verdict::Plan);
        if by_age > judged.computed {
            judged.computed = by_age;
            judged.verdict = by_age;
            judged.carries.why =
                Some(format!("It is good, but of an age: fitted {}.", words::month(start.date)));
            judged.reason(self.table_reason(at.component.criticality, by_age));
        }
        judged.outlook = Some(outlook);
    }

    /// Whether a component has a reading that shows its wear.
    pub(super) fn is_measured(&self, component: &ComponentId) -> bool {
        self.sheet.checks.values().filter(|check| check.component == *component).any(|check| {
            match &check.kind {
                CheckKind::Reading(Reading { scale, .. }) | CheckKind::Derived(Derived { scale, .. }) => {
                    scale.new.is_some() && scale.limit.is_some()
                }
                CheckKind::Observation(_) | CheckKind::Interval(_) => false,
            }
        })
    }

    /// The first day, up to ten years ahead, on which the chance of being past the limit is `p`.
    pub(super) fn day_when(&self, outlook: &Outlook, p: f64) -> Option<Date> {
        const HORIZON_YEARS: f64 = 10.0;
        let chance = |years: f64| {
            outlook.fails_by(crate::days::years_after(self.today, years), self.today, &self.odometer)
        };
        if chance(HORIZON_YEARS) < p {
            return None;
        }
        let (mut early, mut late) = (0.0, HORIZON_YEARS);
        while late - early > 1.0 / 52.0 {
            let middle = f64::midpoint(early, late);
            if chance(middle) >= p { late = middle } else { early = middle }
        }
        Some(crate::days::years_after(self.today, if chance(0.0) >= p { 0.0 } else { late }))
    }
}

pub(super) fn median_words(life: &sheet::Life) -> String {
    match life.median_in {
        sheet::Along::Km => words::km(life.median),
        sheet::Along::Years => words::count(life.median.round() as usize, "year", "years"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{SHEET, Told, told, told_of, visit};
    use Verdict::{BeforeLeaving, LookAgain, NotReached, Plan, Settled, Sound, StaysPut};
    use jiff::civil::date;

    fn seen(check: &str, place: &str, state: &str, seen: &str) -> String {
        format!(
            "[[look]]\ncheck = \"{check}\"\nplace = \"{place}\"\nstate = \"{state}\"\nseen = \"{seen}\"\n"
        )
    }

    fn hose(state: &str, how: &str) -> Judged {
        told(&[visit("2025-05-01", 80_000, &seen("hose-look", "front.left", state, how))])
            .judged("hose-look", "front.left")
    }

    #[test]
    fn a_state_means_what_the_sheet_says_and_carries_what_it_must() {
        for (state, verdict) in [
            ("sound", Sound),
            ("scuffed", Settled),
            ("crazed", LookAgain),
            ("stiff", Plan),
            ("damp", BeforeLeaving),
            ("bulge", StaysPut),
        ] {
            let judged = hose(state, "clear");
            assert_eq!((judged.computed, judged.verdict), (verdict, verdict), "{state}");
            let carries = &judged.carries;
            match verdict {
                Settled => assert_eq!(
                    carries.why.as_deref(),
                    Some("The clip has left its mark, no deeper than paint.")
                ),
                LookAgain => assert_eq!(carries.trigger.as_ref().unwrap().km, Some(5000.0)),
                Plan => assert_eq!(carries.window, Some((date(2025, 5, 1), date(2026, 5, 1)))),
                BeforeLeaving | StaysPut => {
                    assert_eq!(carries.consequence.as_deref(), Some("The van may not stop when it has to."));
                }
                _ => {}
            }
        }
    }

    #[test]
    fn a_look_that_could_not_tell_calls_nothing_sound_and_hides_nothing_bad() {
        for (how, sound, settled) in [
            ("open", Sound, Settled),
            ("clear", Sound, Settled),
            ("part", NotReached, Settled),
            ("dirt", NotReached, NotReached),
            ("feel", NotReached, NotReached),
            ("told", NotReached, NotReached),
        ] {
            for (state, verdict) in
                [("sound", sound), ("scuffed", settled), ("bulge", StaysPut), ("damp", BeforeLeaving)]
            {
                let judged = hose(state, how);
                assert_eq!(judged.verdict, verdict, "{state} seen {how}");
                assert!(verdict != NotReached || judged.carries.why.is_some(), "{state} seen {how} says why");
            }
        }
    }

    /// The fan belt: half are gone after eight years, nine in ten within a factor 1.4.
    fn belt(age_years: i32, state: &str) -> Judged {
        let fitted =
            visit(&format!("{}-05-01", 2025 - age_years), 20_000, "[[done]]\noperation = \"renew-fan-belt\"");
        let look = visit("2025-05-01", 80_000, &seen("belt-ribs", "single", state, "clear"));
        let story = if age_years == 0 { vec![look] } else { vec![fitted, look] };
        told(&story).judged("belt-ribs", "single")
    }

    #[test]
    fn what_is_seen_good_is_planned_by_its_age_and_never_condemned_by_it() {
        let verdicts: Vec<Verdict> = [1, 3, 5, 7].map(|years| belt(years, "sharp").verdict).into();
        assert_eq!(
            verdicts,
            [Sound, Sound, LookAgain, Plan],
            "{:?}",
            [1, 3, 5, 7].map(|y| belt(y, "sharp").p_next)
        );
        // However old: it was seen to be good, and a person has looked.
        let ancient = told_of(
            "dora",
            &SHEET.replace("median = \"8 years\"", "median = \"1 years\""),
            &[
                visit("2018-05-01", 20_000, "[[done]]\noperation = \"renew-fan-belt\""),
                visit("2025-05-01", 80_000, &seen("belt-ribs", "single", "sharp", "clear")),
            ],
        );
        let judged = ancient.judged("belt-ribs", "single");
        assert!(judged.p_next.unwrap() > 0.5);
        assert_eq!(judged.verdict, Plan);
        assert!(judged.carries.why.as_ref().is_some_and(|why| why.contains("fitted May 2018")));
        assert!(judged.carries.window.is_some());
    }

    #[test]
    fn a_state_that_asks_for_more_than_age_does_stands() {
        assert_eq!(belt(1, "missing").verdict, BeforeLeaving);
        assert_eq!(belt(7, "missing").verdict, BeforeLeaving);
    }

    #[test]
    fn of_an_unknown_age_nothing_is_said() {
        let judged = belt(0, "sharp");
        assert_eq!((judged.verdict, judged.p_next), (Sound, None));
        assert!(judged.reasons.iter().any(|reason| reason.says.contains("not known")));
    }

    #[test]
    fn a_component_with_readings_of_its_wear_is_not_judged_by_the_life_of_its_kind() {
        // With a value for new the tension shows wear; the ribs then say nothing of age.
        let sheet = SHEET.replace(
            "limit     = { min = \"260 N\", max = \"450 N\", source = \"invented band\" }",
            "new       = \"400 N\"\nlimit     = { min = \"260 N\", source = \"invented band\" }",
        );
        let told = told_of(
            "dora",
            &sheet,
            &[
                visit("2018-05-01", 20_000, "[[done]]\noperation = \"renew-fan-belt\""),
                visit("2025-05-01", 80_000, &seen("belt-ribs", "single", "sharp", "clear")),
            ],
        );
        let judged = told.judged("belt-ribs", "single");
        assert_eq!((judged.verdict, judged.p_next), (Sound, None));
    }

    /// The chance of failing by the next visit of a part of known age is the survival of its kind from then to there:
    /// `1 − E S(t+Δ)/E S(t)`, over the same posterior asked directly.
    #[test]
    fn the_chance_is_that_of_the_life_model_asked_directly() {
        let judged = belt(7, "sharp");
        let prior = life::Prior { median: 8.0, spread: 1.4, sure: 1.6 };
        let posterior = life::posterior(Law::Weibull, &prior, &[]).unwrap();
        let years = |from: Date, to: Date| f64::from(from.until(to).unwrap().get_days()) / 365.25;
        let (fitted, seen) = (date(2018, 5, 1), date(2025, 5, 1));
        // The workshop's usual gap of twelve months ahead; years alone make this clock, so the distance does not count.
        let next = crate::days::years_after(seen, 1.0);
        let alive = posterior.alive_at(years(fitted, seen), OwnRecord::LeftOut);
        let direct = alive.fails_by(years(fitted, next));
        assert!((judged.p_next.unwrap() / direct - 1.0).abs() < 1e-9, "{:?} {direct}", judged.p_next);
    }

    #[test]
    fn a_state_that_the_sheet_no_longer_knows_is_not_sound() {
        let told = told(&[visit("2025-05-01", 80_000, &seen("hose-look", "front.left", "sound", "clear"))]);
        let renamed = SHEET.replace(
            "id = \"sound\",   short = \"sound\",   says = \"Smooth",
            "id = \"smooth\",  short = \"smooth\",  says = \"Smooth",
        );
        let sheet = sheet::read(&[sheet::SourceFile::new("sheet.toml", renamed)]).unwrap();
        let judge = Judge::new(&told.shop, &sheet, &told.car, date(2025, 5, 1));
        let judged = judge.one(&"hose-look".into(), &"front.left".into()).unwrap();
        assert_eq!(judged.verdict, NotReached);
        assert!(judged.carries.why.as_ref().is_some_and(|why| why.contains("`sound`")));
    }

    #[test]
    fn the_day_on_which_a_chance_is_reached_lies_between_less_and_more() {
        let told: Told = told(&[
            visit("2018-05-01", 20_000, "[[done]]\noperation = \"renew-fan-belt\""),
            visit("2025-05-01", 80_000, &seen("belt-ribs", "single", "sharp", "clear")),
        ]);
        let judge = told.judge();
        let judged = judge.one(&"belt-ribs".into(), &"single".into()).unwrap();
        let outlook = judged.outlook.unwrap();
        let chance = |day| outlook.fails_by(day, judge.today, &judge.odometer);
        for p in [0.1, 0.3, 0.5, 0.9] {
            let day = judge.day_when(&outlook, p).unwrap();
            let weeks = jiff::ToSpan::weeks(2);
            assert!(chance(day) >= p && chance(day.saturating_sub(weeks)) < p, "{p} {day}");
        }
        assert_eq!(judge.day_when(&outlook, 0.0), Some(judge.today));
        assert_eq!(judge.day_when(&outlook, 1.0), None, "nothing is certain within ten years");
    }
}
