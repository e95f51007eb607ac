//! What is due by distance or time: looked up in the record, never forgotten.

use super::{At, Judge};
use crate::ageing::{Start, interval_share};
use crate::assessment::{Carries, Judged, Outcome, Reason};
use crate::days::years_between;
use crate::outlook::{Outlook, per_year};
use crate::verdict::{by_the_table, stands_for};
use crate::words;
use sheet::{Interval, Verdict};

/// Advice is *Plan it* once it is more likely than not that it falls due before the next visit.
pub(super) const MORE_LIKELY_THAN_NOT: f64 = 0.5;

impl<'a> Judge<'a> {
    pub(super) fn record(&self, at: At<'a>, interval: &Interval) -> Option<Judged> {
        let km_now = self.odometer.km_on(self.today)?;
        let fitting = self.fittings.current(&at.check.component, at.place);
        let mut judged = Judged {
            check: at.id.clone(),
            place: at.place.clone(),
            component: at.check.component.clone(),
            seen_on: None,
            by: None,
            note: None,
            what: Outcome::Unclear,
            p_beyond: None,
            p_next: None,
            computed: Verdict::NotReached,
            verdict: Verdict::NotReached,
            overruled: None,
            question: None,
            carries: Carries::default(),
            reasons: vec![],
            outlook: None,
            put_right: None,
        };
        let start = match (fitting.start, self.car.first_used) {
            (Some(start), _) => {
                judged.reason(Reason::new(format!(
                    "Renewed {} at {}.",
                    words::month(start.date),
                    words::km(start.km)
                )));
                // Rubber ages on the shelf too: years count from when it was made.
                match fitting.made {
                    Some(made) if made < start.date && interval.years.is_some() => {
                        judged.reason(Reason::new(format!(
                            "Made {}: its years count from then.",
                            words::month(made)
                        )));
                        Start { date: made, km: start.km }
                    }
                    _ => start,
                }
            }
            (None, Some(first_used)) => {
                judged.reason(Reason::new(
                    "No record says when it was last renewed: counted from the car's first use.",
                ));
                Start { date: first_used, km: 0.0 }
            }
            (None, None) => {
                let why = "No record says when it was last renewed, nor when the car was first used.";
                judged.what = Outcome::NotReached { reason: why.into() };
                judged.carries.why = Some(why.into());
                return Some(judged.with(Verdict::NotReached, Reason::new(why)));
            }
        };
        let share = interval_share(interval, km_now - start.km, years_between(start.date, self.today));
        let since = fitting.start.map(|start| start.date);
        judged.what = Outcome::Record { share, since };
        let now = if share >= 1.0 { 1.0 } else { 0.0 };
        let next = self
            .next_visit
            .as_ref()
            .map_or(now, |next| Outlook::due_by(interval, start, next.date, &self.odometer).max(now));
        (judged.p_beyond, judged.p_next) = (Some(now), Some(next));
        judged.reason(
            Reason::new(format!(
                "Due every {}; {} in 100 of that are used.",
                interval_words(interval),
                (share * 100.0).round()
            ))
            .from_source(interval.source.clone()),
        );
        let verdict = if interval.strict {
            judged.reason(Reason::new("The interval is a limit, not advice."));
            let verdict = by_the_table(at.component.criticality, now, next);
            judged.reason(self.table_reason(at.component.criticality, verdict));
            verdict
        } else if next >= MORE_LIKELY_THAN_NOT {
            Verdict::Plan
        } else {
            Verdict::Sound
        };
        judged.computed = verdict;
        judged.verdict = verdict;
        let grave = if interval.strict { Verdict::BeforeLeaving } else { Verdict::Plan };
        let p = stands_for(at.component.criticality, grave).unwrap_or(0.0);
        let years = self.next_visit.as_ref().map_or(self.shop.gap_years, |next| next.years);
        judged.outlook =
            Some(Outlook::Due { interval: interval.clone(), start, per_year: per_year(p, years) });
        self.carry(at, &mut judged);
        // A decision is one on the part that was in when it was made.
        self.overrule(at, &mut judged, fitting.from);
        Some(judged)
    }
}

/// "100 000 km or 7 years, whichever comes first".
pub(crate) fn interval_words(interval: &Interval) -> String {
    let years = |years: f64| {
        if years.fract() == 0.0 {
            words::count(years as usize, "year", "years")
        } else {
            words::count((years * 12.0).round() as usize, "month", "months")
        }
    };
    match (interval.km, interval.years) {
        (Some(km), Some(y)) => format!("{} or {}, whichever comes first", words::km(km), years(y)),
        (Some(km), None) => words::km(km),
        (None, Some(y)) => years(y),
        (None, None) => "no interval".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{SHEET, Told, told, told_of, visit, visit_of};
    use Verdict::{BeforeLeaving, LookAgain, NotReached, Plan, Sound};
    use jiff::civil::{Date, date};

    /// The cam belt: a limit of 100 000 km or six years. Dora was first used on 1 January 2018 and comes once a year.
    fn cam_belt(story: &[String]) -> Judged {
        told(story).judged("cam-belt-due", "single")
    }

    fn share(judged: &Judged) -> f64 {
        match judged.what {
            Outcome::Record { share, .. } => share,
            ref other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_is_due_is_told_from_the_record_by_whichever_comes_first() {
        for (name, date, km, used, verdict) in [
            ("young", "2020-01-01", 20_000, 2.0 / 6.0, Sound),
            ("near by years: due before the next visit", "2023-03-01", 60_000, 5.16 / 6.0, BeforeLeaving),
            ("over by years", "2024-03-01", 60_000, 6.16 / 6.0, BeforeLeaving),
            ("over by km", "2021-01-01", 101_000, 1.01, BeforeLeaving),
            (
                "by km before years: the fastest ninth of its years ahead would pass it",
                "2020-01-01",
                80_000,
                0.8,
                Plan,
            ),
        ] {
            let judged = cam_belt(&[visit(date, km, "")]);
            assert!((share(&judged) - used).abs() < 2e-3, "{name}: {}", share(&judged));
            assert_eq!(judged.verdict, verdict, "{name}: {:?}", judged.p_next);
            assert!(judged.seen_on.is_none(), "nobody looked");
            if verdict == BeforeLeaving {
                assert_eq!(
                    judged.carries.consequence.as_deref(),
                    Some("The valves meet the pistons and the engine is gone.")
                );
            }
        }
    }

    #[test]
    fn an_interval_that_is_no_limit_advises() {
        let coolant = |date: &str| told(&[visit(date, 20_000, "")]).judged("coolant-due", "single");
        assert_eq!(coolant("2019-06-01").verdict, Sound);
        let due = coolant("2025-05-01");
        assert_eq!((due.verdict, due.p_beyond), (Plan, Some(1.0)));
        assert_eq!(
            due.carries.window,
            Some((date(2025, 5, 1), date(2025, 5, 1))),
            "due already: from today to today"
        );
        let soon = coolant("2020-06-01");
        assert_eq!(soon.verdict, Plan, "falls due before the next visit");
        // Three years from first use, in days of mean length.
        assert_eq!(soon.carries.window, Some((date(2020, 6, 1), date(2021, 1, 1))));
    }

    #[test]
    fn a_renewal_begins_it_anew_and_shelf_years_count() {
        let renewed = "[[done]]\noperation = \"renew-cam-belt\"\n";
        let fitted = "[[fitted]]\ncomponent = \"cam-belt\"\npart = \"PV-40\"\nmade = 2020-03-01\n";
        let fresh = cam_belt(&[visit("2024-03-01", 60_000, renewed)]);
        assert_eq!((fresh.verdict, share(&fresh)), (Sound, 0.0));
        let shelved = cam_belt(&[visit("2024-03-01", 60_000, &format!("{renewed}{fitted}"))]);
        assert!((share(&shelved) - 4.0 / 6.0).abs() < 1e-3, "{}", share(&shelved));
        assert!(shelved.reasons.iter().any(|reason| reason.says.contains("Made March 2020")));
        // km count from the fitting, whenever it was made.
        let driven = cam_belt(&[
            visit("2024-03-01", 60_000, &format!("{renewed}{fitted}")),
            visit("2024-04-01", 130_000, ""),
        ]);
        assert!((share(&driven) - 0.7).abs() < 1e-2, "{}", share(&driven));
    }

    #[test]
    fn without_any_record_nothing_is_said_of_when() {
        let told = told_of("emil", SHEET, &[visit_of("emil", "2025-05-01", 80_000, "")]);
        let judged = told.judged("cam-belt-due", "single");
        assert_eq!(judged.verdict, NotReached);
        assert!(judged.carries.why.as_ref().is_some_and(|why| why.contains("No record")));
    }

    fn decided(verdict: &str, rest: &str) -> String {
        format!(
            "[[overrule]]\ncheck = \"cam-belt-due\"\nverdict = \"{verdict}\"\nreason = \"Papers are on their way.\"\n{rest}\n"
        )
    }

    fn on(told: &Told, day: Date) -> Judged {
        told.judge_on(day).one(&"cam-belt-due".into(), &"single".into()).unwrap()
    }

    #[test]
    fn a_decision_on_the_record_holds_until_the_time_it_named() {
        for (name, rest, expected) in [
            ("a year", "when = { years = 1 }", [LookAgain, LookAgain, BeforeLeaving]),
            ("a distance", "when = { km = 4000 }", [LookAgain, LookAgain, BeforeLeaving]),
            ("the next visit", "when = { next-visit = true }", [LookAgain, BeforeLeaving, BeforeLeaving]),
            (
                "an event: nobody reports it",
                "when = { event = \"oil change\" }",
                [LookAgain, BeforeLeaving, BeforeLeaving],
            ),
        ] {
            let story = [
                visit("2024-03-01", 60_000, &decided("look-again", rest)),
                visit("2024-09-01", 63_000, ""),
                visit("2025-03-02", 66_000, ""),
            ];
            let verdicts: Vec<Verdict> = (1..=3)
                .map(|n| {
                    let judged = cam_belt(&story[..n]);
                    assert_eq!(judged.computed, BeforeLeaving);
                    judged.verdict
                })
                .collect();
            assert_eq!(verdicts, expected, "{name}");
        }
    }

    #[test]
    fn a_decision_without_a_time_holds_on_its_visit() {
        let story = [visit("2024-03-01", 60_000, &decided("sound", "")), visit("2024-09-01", 63_000, "")];
        let told = told(&story);
        assert_eq!(on(&told, date(2024, 3, 1)).verdict, Sound);
        assert_eq!(on(&told, date(2024, 9, 1)).verdict, BeforeLeaving);
    }

    #[test]
    fn a_decision_on_the_old_part_says_nothing_of_the_new_one() {
        let both = format!("{}[[done]]\noperation = \"renew-cam-belt\"\n", decided("stays-put", ""));
        let judged = cam_belt(&[visit("2024-03-01", 60_000, &both)]);
        assert_eq!((judged.verdict, judged.overruled), (Sound, None));
    }
}
