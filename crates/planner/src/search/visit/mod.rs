//! The best visit for one occasion, when it is known what each job is worth there.
//!
//! A knapsack with two limits whose items share set-up costs. Limits are priced, set-up costs are shared out among the
//! jobs that would pay for them (a maximum flow; Rhys 1970, Balinski 1970, Picard 1976), and what is left over bounds
//! the value of every visit (`shares`). A depth-first search then takes or drops one thing at a time (`descent`).
//! Dropping a job passes its shares on to the others, so the bound keeps falling without a new flow.

mod descent;
mod improve;
mod local;
mod shares;
mod state;

use super::meter::Meter;
use super::task::Task;
use descent::Descent;
use local::Local;
use shares::Kept;
use state::State;

/// What is asked of an occasion.
pub(crate) struct Question<'a> {
    pub occasion: usize,
    /// What each job brings in when it is done on this occasion.
    pub worth: &'a [f64],
    /// Jobs that may be done on it.
    pub may: &'a dyn Fn(usize) -> bool,
    /// Jobs that are done on it whatever they are worth.
    pub must: &'a [usize],
    /// Only visits worth more than this are wanted.
    pub above: f64,
    pub want: Want<'a>,
    /// Nodes before giving up.
    pub nodes: u64,
}

/// Which of the visits worth enough are wanted.
#[derive(Clone, Copy)]
pub(crate) enum Want<'a> {
    /// Better and better ones until the best; `starts` are visits to begin with.
    Best { starts: &'a [Vec<usize>] },
    /// Every one; `gap` is how far below the best they may be worth, `most` how many before giving up.
    All { gap: f64, most: usize },
}

/// Visits found: what each brings in when its access is paid, and its jobs in order.
#[derive(Debug)]
pub(crate) struct Found {
    pub visits: Vec<(f64, Vec<usize>)>,
    /// No visit with a job is worth more, or more than was asked for if that is more.
    pub bound: f64,
    /// Whether the search came to its end.
    pub complete: bool,
}

/// What is kept from one question about an occasion to the next: where the last bound was best.
#[derive(Debug, Clone)]
pub(crate) struct VisitSearch {
    kept: Kept,
    asked: bool,
}

/// How often prices of hours and cash are bettered at the start, the first time and later.
const FIRST_ROUNDS: usize = 15;
const LATER_ROUNDS: usize = 4;

impl VisitSearch {
    pub fn new(task: &Task) -> Self {
        Self { kept: Kept::new(task), asked: false }
    }

    /// Answers a question.
    pub fn ask(&mut self, task: &Task, question: &Question<'_>, meter: &mut Meter<'_>) -> Found {
        let Some(local) = Local::new(task, question) else {
            return Found { visits: vec![], bound: f64::NEG_INFINITY, complete: true };
        };
        let state = State::new(&local, &self.kept);
        let mut descent = Descent::new(&local, question, state, meter);
        descent.record_must();
        descent.better_prices(0, if self.asked { LATER_ROUNDS } else { FIRST_ROUNDS });
        self.asked = true;
        self.kept.keep(&local, &descent.root().shares);
        if let Want::Best { starts } = question.want {
            descent.greedy();
            starts.iter().for_each(|start| descent.improve(start));
        }
        descent.run()
    }
}
