//! What each verdict must carry: a reason, a trigger, a window, a consequence, or what would decide it.

use super::{At, Judge};
use crate::ageing::Start;
use crate::assessment::Judged;
use crate::car::Visit;
use crate::days::years_after;
use crate::outlook::Outlook;
use jiff::civil::Date;
use journal::When;
use sheet::{CheckKind, Component, Interval, State, Trigger, Verdict};

/// The window of a plan opens when the chance of being past the limit is this, and closes at one in two.
const WINDOW_OPENS: f64 = 0.05;
const WINDOW_CLOSES: f64 = 0.5;

impl<'a> Judge<'a> {
    pub(super) fn carry(&self, at: At<'a>, judged: &mut Judged) {
        let state = seen_state(at, judged);
        let said = state.and_then(|state| state.when.as_ref());
        match judged.computed {
            Verdict::LookAgain => {
                judged.carries.trigger =
                    Some(said.map_or(When { next_visit: true, ..When::default() }, |trigger| When {
                        km: trigger.km,
                        years: trigger.years,
                        event: trigger.event.clone(),
                        ..When::default()
                    }));
            }
            Verdict::Plan => judged.carries.window = self.window(said, judged),
            Verdict::BeforeLeaving | Verdict::StaysPut => {
                judged.carries.consequence = self
                    .consequence(at.component)
                    .or_else(|| state.and_then(|state| state.why.clone()))
                    .or_else(|| judged.carries.why.clone())
                    .or_else(|| Some(format!("{} can fail at any time.", at.component.title)));
            }
            Verdict::Sound | Verdict::Settled | Verdict::TooClose | Verdict::NotReached => {}
        }
    }

    /// What the data sheet says happens when a component fails, for the owner.
    pub(super) fn consequence(&self, component: &Component) -> Option<String> {
        let consequence = self.sheet.consequences.get(component.fails_as.as_ref()?)?;
        Some(consequence.says.clone())
    }

    /// Between which days it should be done.
    fn window(&self, said: Option<&Trigger>, judged: &Judged) -> Option<(Date, Date)> {
        let next = self.next_visit.as_ref().map(|next| next.date);
        if let Some(years) = said.and_then(|trigger| trigger.years) {
            return Some((self.today, years_after(self.today, years)));
        }
        if let Some(km) = said.and_then(|trigger| trigger.km) {
            let pace = self.odometer.yearly_km().filter(|pace| *pace > 0.0)?;
            return Some((self.today, years_after(self.today, km / pace)));
        }
        let outlook = judged.outlook.as_ref()?;
        if let Outlook::Due { interval, start, .. } = outlook {
            return self.due_window(interval, *start);
        }
        let opens = self.day_when(outlook, WINDOW_OPENS).or(next)?;
        let closes = self.day_when(outlook, WINDOW_CLOSES).or(next)?;
        Some((opens, closes.max(opens)))
    }
}

impl Judge<'_> {
    /// From the visit to the day that a person named for a plan.
    pub(super) fn window_of(&self, when: &When, visit: &Visit) -> Option<(Date, Date)> {
        let by_years = when.years.map(|years| years_after(visit.date, years));
        let by_km = when.km.and_then(|km| {
            let pace = self.odometer.yearly_km().filter(|pace| *pace > 0.0)?;
            Some(years_after(visit.date, km / pace))
        });
        let by_visit = when.next_visit.then(|| self.next_visit.as_ref().map(|next| next.date)).flatten();
        // With nothing but an event, the next visit is when somebody sees whether it came.
        let until = [when.date, by_years, by_km, by_visit].into_iter().flatten().min();
        let until = until.or_else(|| self.next_visit.as_ref().map(|next| next.date))?;
        Some((visit.date.min(until), until))
    }

    /// From today to the day on which something falls due, or today when it is.
    fn due_window(&self, interval: &Interval, start: Start) -> Option<(Date, Date)> {
        let by_years = interval.years.map(|years| years_after(start.date, years));
        let by_km = interval.km.and_then(|km| {
            let pace = self.odometer.yearly_km().filter(|pace| *pace > 0.0)?;
            let left = start.km + km - self.odometer.km_on(self.today)?;
            Some(years_after(self.today, left / pace))
        });
        let due = [by_years, by_km].into_iter().flatten().min()?;
        Some((self.today, due.max(self.today)))
    }
}

/// The described state that was seen.
fn seen_state<'a>(at: At<'a>, judged: &Judged) -> Option<&'a State> {
    let CheckKind::Observation(states) = &at.check.kind else { return None };
    let crate::assessment::Outcome::Seen { state } = &judged.what else { return None };
    states.iter().find(|known| known.id == *state)
}
