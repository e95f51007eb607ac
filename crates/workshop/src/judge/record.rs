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
const MORE_LIKELY_THAN_NOT: f64 = 0.5;

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
