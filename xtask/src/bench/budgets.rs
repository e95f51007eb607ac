//! What may be spent, and the figures that show what is.

/// One promise of the architecture.
pub struct Budget {
    pub what: &'static str,
    /// The most that it may be, as value and unit.
    pub most: (&'static str, &'static str),
    /// The figures that have to keep it; none while no bench covers it.
    pub figures: &'static [&'static str],
}

pub const BUDGETS: [Budget; 12] = [
    Budget {
        what: "a 120-check visit judged, with its forecasts",
        most: ("5", "ms"),
        figures: &["workshop/judged/120"],
    },
    Budget {
        what: "a plan of 40 operations × 40 access steps × 4 occasions, proven optimal, without limits",
        most: ("10", "ms"),
        figures: &["planner/without_limits/zoned", "planner/without_limits/coupled"],
    },
    Budget {
        what: "the same with limits of hours and money on every occasion",
        most: ("250", "ms"),
        figures: &["planner/loose_limits/zoned", "planner/tight_limits/zoned", "planner/even_limits/zoned"],
    },
    Budget {
        what: "the same on a car whose parts share most of their steps",
        most: ("1", "s"),
        figures: &[
            "planner/loose_limits/coupled",
            "planner/tight_limits/coupled",
            "planner/even_limits/coupled",
        ],
    },
    Budget {
        what: "a worn car planned anew while somebody types, the first answer",
        most: ("100", "ms"),
        figures: &["workshop/answered_at_once"],
    },
    Budget {
        what: "a life fit of 100,000 interval-censored records, with its posterior",
        most: ("50", "ms"),
        figures: &["prognosis/life_posterior/100000"],
    },
    Budget {
        what: "the same of 1,000,000 records",
        most: ("500", "ms"),
        figures: &["prognosis/life_posterior/1000000"],
    },
    Budget {
        what: "a reading recorded, durable, 50 phones at once: 99th percentile",
        most: ("25", "ms"),
        figures: &[],
    },
    Budget {
        what: "any page of a book with 5,000 cars and 1,000,000 findings: 99th percentile at the server",
        most: ("50", "ms"),
        figures: &[],
    },
    Budget { what: "the letter as PDF", most: ("300", "ms"), figures: &[] },
    Budget { what: "start to first page served, existing book", most: ("150", "ms"), figures: &[] },
    Budget { what: "memory serving that book", most: ("150", "MiB"), figures: &[] },
];
