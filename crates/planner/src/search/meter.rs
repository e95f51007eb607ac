//! How much work is left.

use crate::solve::Limits;

/// Counts nodes down and asks now and then whether to stop.
pub(crate) struct Meter<'a> {
    limits: &'a Limits<'a>,
    spent: u64,
    stopped: bool,
}

/// Nodes between two questions whether to stop.
const POLL: u64 = 256;

impl<'a> Meter<'a> {
    pub fn new(limits: &'a Limits<'a>) -> Self {
        Self { limits, spent: 0, stopped: limits.stop.is_some_and(|stop| stop()) }
    }

    /// Counts one node; false when there is no room for it.
    pub fn spend(&mut self) -> bool {
        if self.is_empty() {
            return false;
        }
        self.spent += 1;
        if self.spent.is_multiple_of(POLL) {
            self.stopped = self.limits.stop.is_some_and(|stop| stop());
        }
        true
    }

    pub fn is_empty(&self) -> bool {
        self.stopped || self.spent >= self.limits.nodes
    }

    pub fn spent(&self) -> u64 {
        self.spent
    }
}
