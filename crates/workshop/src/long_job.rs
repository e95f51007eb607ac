//! Long jobs: bigger work agreed with the owner for a later visit. It is carried on the car until it is done, or settled with a
//! reason.

use crate::car::{Car, Moment, Visit, WorkDone};
use crate::days::years_between;
use jiff::civil::Date;
use sheet::OperationId;

/// A car that comes within a month of the agreed day comes for it. Common practice, no source.
const SAME_APPOINTMENT_YEARS: f64 = 1.0 / 12.0;

/// Bigger work agreed for a later visit.
#[derive(Debug, Clone, PartialEq)]
pub struct LongJob {
    pub id: String,
    /// The visit on which it was agreed, and its day.
    pub visit: String,
    pub agreed: Date,
    /// Its place in the car's stream.
    pub seq: u64,
    pub operations: Vec<OperationId>,
    /// The day it is agreed for; the next visit where none is said.
    pub on: Option<Date>,
    /// Who agreed, and in which words.
    pub name: String,
    pub words: Option<String>,
    /// Why it waits no longer, though not all of it was done.
    pub settled: Option<String>,
}

/// When a long job is to be done, seen from a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Due {
    /// On this visit, or its day has passed.
    Now,
    On(Date),
    NextVisit,
}

impl LongJob {
    /// When it is to be done, seen from a day on which the car is in for a visit, or not.
    pub fn due(&self, visit: Option<&Visit>, today: Date) -> Due {
        let came_back = visit.is_some_and(|visit| visit.id != self.visit);
        match self.on {
            None if came_back => Due::Now,
            None => Due::NextVisit,
            Some(on) if on <= today => Due::Now,
            Some(on) if came_back && years_between(today, on) <= SAME_APPOINTMENT_YEARS => Due::Now,
            Some(on) => Due::On(on),
        }
    }
}

impl Car {
    /// What of a long job is not done yet. Work that is done place by place counts as done once it was done at any.
    pub fn remaining<'j>(&self, job: &'j LongJob) -> Vec<&'j OperationId> {
        let visit = self.visits.iter().position(|visit| visit.id == job.visit).unwrap_or(0);
        let since = Moment { visit, seq: job.seq };
        let done = |wanted: &OperationId| {
            self.visits.iter().flat_map(|visit| &visit.work).any(|work| {
                work.moment > since
                    && matches!(&work.what, WorkDone::Operation { operation, .. } if operation == wanted)
            })
        };
        job.operations.iter().filter(|operation| !done(operation)).collect()
    }

    /// Long jobs that are carried: neither done nor settled, in the order in which they were agreed.
    pub fn carried(&self) -> impl Iterator<Item = &LongJob> {
        self.long_jobs.iter().filter(|job| job.settled.is_none() && !self.remaining(job).is_empty())
    }

    /// Long jobs that are carried, each with when it is to be done.
    pub fn promised(&self, today: Date) -> impl Iterator<Item = (&LongJob, Due)> {
        // What is written of a visit after a day is not known on it.
        let visit = self.open_visit().filter(|visit| visit.date <= today);
        self.carried().filter(move |job| job.agreed <= today).map(move |job| (job, job.due(visit, today)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{told, visit};
    use jiff::civil::date;

    fn agreed(rest: &str) -> String {
        format!(
            "[[long-job]]\nid = \"belt\"\noperations = [\"renew-cam-belt\", \"renew-pump\"]\nname = \"Dora's owner\"\n{rest}\n"
        )
    }

    const DONE: &str = "[[done]]\noperation = \"renew-pump\"\n";
    const CLOSED: &str = "[closed]\n";

    #[test]
    fn a_long_job_is_carried_until_all_of_it_is_done() {
        let first = visit("2020-05-01", 20_000, &format!("{}{CLOSED}", agreed("on = 2020-09-02")));
        let again = visit("2020-09-01", 24_000, DONE);
        let both = visit("2020-09-01", 24_000, &format!("{DONE}[[done]]\noperation = \"renew-cam-belt\"\n"));
        let waiting = told(std::slice::from_ref(&first));
        let job = &waiting.car.long_jobs[0];
        assert_eq!((job.agreed, job.on), (date(2020, 5, 1), Some(date(2020, 9, 2))));
        assert_eq!(waiting.car.carried().count(), 1);
        assert_eq!(job.due(None, date(2020, 6, 1)), Due::On(date(2020, 9, 2)));
        let half = told(&[first.clone(), again]);
        assert_eq!(half.car.remaining(&half.car.long_jobs[0]), [&OperationId::from("renew-cam-belt")]);
        assert_eq!(half.car.promised(date(2020, 9, 1)).map(|(_, due)| due).collect::<Vec<_>>(), [Due::Now]);
        assert_eq!(told(&[first, both]).car.carried().count(), 0);
    }

    #[test]
    fn work_that_was_done_before_it_was_agreed_does_not_count() {
        let before = visit("2020-05-01", 20_000, DONE);
        let told = told(&[before, visit("2020-06-01", 21_000, &agreed(""))]);
        assert_eq!(told.car.remaining(&told.car.long_jobs[0]).len(), 2);
    }

    #[test]
    fn the_next_visit_is_any_other_visit_and_a_day_has_a_month_about_it() {
        let at_next = told(&[visit("2020-05-01", 20_000, &agreed(""))]);
        let job = at_next.car.long_jobs[0].clone();
        assert_eq!(job.due(at_next.car.open_visit(), date(2020, 5, 1)), Due::NextVisit);
        let back = told(&[visit("2020-05-01", 20_000, &agreed("")), visit("2020-08-01", 22_000, "")]);
        assert_eq!(job.due(back.car.open_visit(), date(2020, 8, 1)), Due::Now);
        let on = LongJob { on: Some(date(2020, 9, 2)), ..job };
        assert_eq!(on.due(back.car.open_visit(), date(2020, 8, 1)), Due::On(date(2020, 9, 2)));
        assert_eq!(on.due(back.car.open_visit(), date(2020, 8, 10)), Due::Now, "it came for that");
        assert_eq!(on.due(None, date(2020, 9, 3)), Due::Now, "its day has passed");
    }

    #[test]
    fn it_can_be_settled_with_a_reason() {
        let settle = "[[settle]]\nlong-job = \"belt\"\nreason = \"The owner sells the van.\"\n";
        let told = told(&[visit("2020-05-01", 20_000, &agreed("")), visit("2020-08-01", 22_000, settle)]);
        assert_eq!(told.car.carried().count(), 0);
        assert_eq!(told.car.long_jobs[0].settled.as_deref(), Some("The owner sells the van."));
    }
}
