//! The one place where the time of day is read.

use crate::time_ordered_id;
use jiff::{Timestamp, ZonedDateTime, civil::Date, tz::TimeZone};
use journal::EntryId;

/// Tells the time: the machine's, or that of a day on which a demonstration or a question stands still.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Clock {
    fixed: Option<Date>,
}

impl Clock {
    /// The machine's clock.
    pub fn of_the_machine() -> Self {
        Self::default()
    }

    /// Stands still on a day; the time of day goes on, so that what is done stays in order.
    pub fn on(day: Date) -> Self {
        Self { fixed: Some(day) }
    }

    /// Whether the day is not the real one.
    pub fn stands_still(&self) -> bool {
        self.fixed.is_some()
    }

    /// Today, where the machine stands.
    pub fn today(&self) -> Date {
        self.fixed.unwrap_or_else(|| machine_now().date())
    }

    /// Now.
    pub fn now(&self) -> Timestamp {
        let now = machine_now();
        match self.fixed {
            None => now.timestamp(),
            Some(day) => {
                let then = day.to_datetime(now.time());
                TimeZone::UTC.to_timestamp(then).unwrap_or_else(|_| now.timestamp())
            }
        }
    }

    /// The day on which something was written, where the machine stands. A clock that stands still and files tell their days in
    /// universal time, so the earlier of the two days counts: nothing is hidden on the day on which it is written.
    pub fn day_of(at: Timestamp) -> Date {
        let day_in = |zone: TimeZone| zone.to_datetime(at).date();
        day_in(TimeZone::system()).min(day_in(TimeZone::UTC))
    }

    /// An id for something that is written now.
    pub fn new_id(&self) -> EntryId {
        // Ids are ordered by real time, whatever day the book shows.
        time_ordered_id(machine_now().timestamp())
    }
}

#[expect(clippy::disallowed_methods, reason = "the clock is read here and handed on from here")]
fn machine_now() -> ZonedDateTime {
    ZonedDateTime::now()
}
