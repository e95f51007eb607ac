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
            .from_source(stated.source.clone()),
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
    fn is_measured(&self, component: &ComponentId) -> bool {
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

fn median_words(life: &sheet::Life) -> String {
    match life.median_in {
        sheet::Along::Km => words::km(life.median),
        sheet::Along::Years => words::count(life.median.round() as usize, "year", "years"),
    }
}
