//! What was put right on the same visit: what was found stays as it was found; what is to come is that of what is in now.

use super::observation::median_words;
use super::reading::{WearOfKind, next_visit_reason};
use super::{At, Judge};
use crate::ageing::Start;
use crate::assessment::{Judged, Outcome, PutRight, Reason};
use crate::car::{Moment, Visit};
use crate::outlook::Outlook;
use crate::words;
use prognosis::life::{self, Law, OwnRecord};
use prognosis::wear::Path;
use sheet::{CheckKind, Scale};
use std::sync::Arc;

impl<'a> Judge<'a> {
    /// Turns a finding, judged as of its own visit, into what holds after the work.
    pub(super) fn dealt_with(
        &self,
        at: At<'a>,
        visit: &Visit,
        moment: Moment,
        by: PutRight,
        judged: &mut Judged,
    ) {
        let title = match &by {
            PutRight::Work(operation) => {
                self.sheet.operations.get(operation).map_or(operation.as_str(), |known| &known.title)
            }
            PutRight::Part { .. } => "another part was fitted",
        };
        let done = format!(
            "Put right on {}: {title}. What was found stands below as it was then.",
            words::day(visit.date)
        );
        let mut reasons = vec![Reason::new(done)];
        // What was found says nothing of what is in now.
        (judged.outlook, judged.question) = (None, None);
        (judged.p_beyond, judged.p_next) = (None, None);
        if let Outcome::Measured(measured) = &mut judged.what {
            measured.at_next_visit = None;
        }
        let fitted = self.fittings.current(&at.check.component, at.place);
        let start = fitted.start.filter(|_| fitted.from > moment);
        match start.and_then(|start| self.outlook_of_new(at, start)) {
            Some((outlook, kind)) => {
                reasons.push(kind);
                judged.p_beyond = Some(outlook.fails_by(self.today, self.today, &self.odometer));
                if let Some(next) = &self.next_visit {
                    let p_next = outlook.fails_by(next.date, self.today, &self.odometer);
                    judged.p_next = Some(p_next);
                    reasons.push(next_visit_reason(next, p_next));
                }
                judged.outlook = Some(outlook);
            }
            None => reasons.push(Reason::new("Nothing is forecast of it until it is looked at again.")),
        }
        reasons.extend(judged.reasons.drain(..).filter(|reason| !reason.ahead));
        judged.reasons = reasons;
        judged.put_right = Some(by);
    }

    /// What is known of a new part that nobody has looked at: the wear or the life of its kind.
    fn outlook_of_new(&self, at: At<'a>, start: Start) -> Option<(Outlook, Reason)> {
        let stated = at.component.life.as_ref()?;
        let (outlook, gone) = match self.scale_of(at).and_then(|scale| self.wear_of_kind(at, scale)) {
            Some(WearOfKind { prior, limits, ageing, .. }) => {
                let path = Arc::new(Path::fit(&prior, &[]).ok()?);
                (Outlook::Wear { path, limits, ageing, start }, "at their limit")
            }
            None => {
                let ageing = self.ageing(at.component);
                let prior =
                    life::Prior { median: ageing.median(stated), spread: stated.spread, sure: stated.sure };
                let posterior = life::posterior(Law::Weibull, &prior, &[]).ok()?;
                let alive = Arc::new(posterior.alive_at(0.0, OwnRecord::LeftOut));
                (Outlook::Life { alive, ageing, start }, "gone")
            }
        };
        let says = format!("New since then; half of its kind are {gone} by {}.", median_words(stated));
        Some((outlook, Reason::new(says).from_source(stated.source.clone())))
    }

    fn scale_of(&self, at: At<'a>) -> Option<&'a Scale> {
        match &at.check.kind {
            CheckKind::Reading(reading) => Some(&reading.scale),
            CheckKind::Derived(derived) => Some(&derived.scale),
            CheckKind::Observation(_) | CheckKind::Interval(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{Told, told, visit};
    use jiff::civil::{Date, date};
    use sheet::Verdict;

    const RENEWED: &str = "[[done]]\noperation = \"renew-discs\"\n";

    fn disc_on(told: &Told, day: Date) -> Judged {
        told.judge_on(day).one(&"disc-thickness".into(), &"front.left".into()).unwrap()
    }

    /// A disc read worn out and renewed on the same visit, asked about on that day and much later.
    #[test]
    fn a_renewed_part_is_forecast_as_new_and_the_old_reading_stays_as_it_was_found() {
        let worn = format!("[readings]\ndisc-thickness = {{ \"front.left\" = \"23.10 mm\" }}\n{RENEWED}");
        let story = [visit("2024-05-01", 70_000, ""), visit("2025-05-01", 80_000, &worn)];
        let told = told(&story);
        let (day, later) = (date(2025, 5, 1), date(2026, 3, 1));
        let (then, now) = (disc_on(&told, day), disc_on(&told, later));
        for judged in [&then, &now] {
            assert_eq!(judged.put_right, Some(PutRight::Work("renew-discs".into())));
            assert_eq!(judged.verdict, Verdict::BeforeLeaving, "as it was found");
            assert!(judged.p_next < Some(0.01), "a new disc: {:?}", judged.p_next);
            assert_eq!(judged.measured().unwrap().at_next_visit, None);
            assert!(judged.reasons[0].says.starts_with("Put right on 1 May 2025: "), "{:#?}", judged.reasons);
            assert!(judged.reasons.iter().all(|reason| !reason.says.contains("Wear per")));
        }
        let found = |judged: &Judged| judged.reasons.iter().find(|r| r.says.contains("The limit")).cloned();
        assert_eq!(found(&then), found(&now));
        // The new disc ages as the one that no visit has seen yet.
        assert!(disc_on(&told, date(2034, 5, 1)).p_next > now.p_next);
    }

    /// What was adjusted is not new, and its old reading tells nothing of it.
    #[test]
    fn of_what_was_set_right_without_renewing_nothing_is_forecast() {
        let slack = "[looks]\nbelt-ribs = \"rounded\"\n[[done]]\noperation = \"retension-fan-belt\"\n";
        let told = told(&[visit("2025-05-01", 80_000, slack)]);
        let judged = told.judge_on(date(2025, 9, 1)).one(&"belt-ribs".into(), &"single".into()).unwrap();
        assert!(judged.put_right.is_some());
        assert_eq!((judged.p_beyond, judged.p_next), (None, None));
        assert!(judged.outlook.is_none());
    }
}
