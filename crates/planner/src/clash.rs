//! As few rules as cannot be kept together.

use crate::instance::Instance;
use crate::model::Model;
use crate::rule::Rule;
use crate::search::{Search, Task};
use crate::solve::Limits;

/// The smallest set of rules that no plan keeps all of, of an instance without a plan; empty when `limits` did not
/// allow finding any. When they allow less than finding the smallest, the set is at least free of rules that do not
/// matter.
///
/// Rules that a plan can keep together lack at least one rule of each clash. So the smallest set that has a rule from
/// everything that was ever lacking is either a clash, and the smallest, or can be kept, and then what it lacks once it
/// has been added to as far as possible is one set more to choose from (implicit hitting sets).
pub fn smallest_clash(instance: &Instance, limits: &Limits<'_>) -> Vec<Rule> {
    let mut kept = Keeping { instance, rules: instance.rules(), limits: *limits, sure: true };
    let Some(clash) = kept.reduce((0..kept.rules.len()).collect()) else { return vec![] };
    let clash = kept.smaller_than(&clash).unwrap_or(clash);
    clash.into_iter().map(|at| kept.rules[at].clone()).collect()
}

/// Rounds after which a clash that may not be the smallest will do.
const ROUNDS: usize = 200;

struct Keeping<'a> {
    instance: &'a Instance,
    rules: Vec<Rule>,
    limits: Limits<'a>,
    /// Whether every question so far was answered.
    sure: bool,
}

impl Keeping<'_> {
    /// Whether some plan keeps these rules, whatever becomes of the others.
    fn can_keep(&mut self, kept: &[usize]) -> bool {
        let dropped: Vec<Rule> =
            (0..self.rules.len()).filter(|at| !kept.contains(at)).map(|at| self.rules[at].clone()).collect();
        let mut model = Model::new(self.instance, &dropped);
        // Any plan will do, so what is done when costs nothing.
        model.cost.iter_mut().flatten().filter(|cost| cost.is_finite()).for_each(|cost| *cost = 0.0);
        let task = Task::new(&model);
        let outcome = Search::new(&task, &self.limits).best();
        self.limits.nodes = self.limits.nodes.saturating_sub(outcome.nodes);
        self.sure &= outcome.proven || outcome.choices.is_some();
        outcome.choices.is_some() || !outcome.proven
    }

    /// Leaves out the rules that a clash does not need; `None` when it is none.
    fn reduce(&mut self, mut clash: Vec<usize>) -> Option<Vec<usize>> {
        if self.can_keep(&clash) {
            return None;
        }
        let mut at = 0;
        while at < clash.len() {
            let mut fewer = clash.clone();
            fewer.remove(at);
            if self.can_keep(&fewer) { at += 1 } else { clash = fewer }
        }
        Some(clash)
    }

    /// A clash of fewer rules; `None` when there is none, or none was found in time.
    fn smaller_than(&mut self, clash: &[usize]) -> Option<Vec<usize>> {
        let mut lacking: Vec<Vec<usize>> = vec![];
        for _ in 0..ROUNDS {
            let mut kept = fewest_that_meet(&lacking, clash.len())?;
            if !self.can_keep(&kept) {
                return Some(kept);
            }
            for at in 0..self.rules.len() {
                if !kept.contains(&at) {
                    kept.push(at);
                    if !self.can_keep(&kept) {
                        kept.pop();
                    }
                }
            }
            if !self.sure {
                return None;
            }
            lacking.push((0..self.rules.len()).filter(|at| !kept.contains(at)).collect());
        }
        None
    }
}

/// The fewest members, fewer than `below`, such that each set has one of them.
fn fewest_that_meet(sets: &[Vec<usize>], below: usize) -> Option<Vec<usize>> {
    fn meet(sets: &[Vec<usize>], chosen: &mut Vec<usize>, best: &mut Option<Vec<usize>>, below: usize) {
        if chosen.len() >= best.as_ref().map_or(below, Vec::len) {
            return;
        }
        let Some(missed) = sets.iter().find(|set| !set.iter().any(|member| chosen.contains(member))) else {
            *best = Some(chosen.clone());
            return;
        };
        for &member in missed {
            chosen.push(member);
            meet(sets, chosen, best, below);
            chosen.pop();
        }
    }
    let mut best = None;
    meet(sets, &mut vec![], &mut best, below);
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_member_of_each_set_and_no_more_than_needed() {
        let sets = [vec![0, 1], vec![1, 2], vec![3]];
        assert_eq!(fewest_that_meet(&sets, 9), Some(vec![1, 3]));
        assert_eq!(fewest_that_meet(&sets, 2), None);
        assert_eq!(fewest_that_meet(&[], 1), Some(vec![]));
    }
}
