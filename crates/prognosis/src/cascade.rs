//! What a failure drags with it.

use crate::error::{Inspection, PrognosisError};
use std::collections::BTreeMap;

/// States that are followed at most; beyond that the answer would take too much memory.
const MOST_STATES: usize = 1 << 18;
/// Harms below one start at most.
const MOST_HARMS: usize = 128;
/// The cost that is not exceeded in nineteen cases of twenty.
const HIGH: f64 = 0.95;
/// Allowance for the last bits when probabilities are added up to [`HIGH`].
const LAST_BITS: f64 = 1e-12;

/// `to` follows from `from` with probability `p`, independently of every other link.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Link {
    pub from: usize,
    pub to: usize,
    pub p: f64,
}

/// Harms that lead to one another, never in a circle.
///
/// ```
/// use prognosis::cascade::{Harms, Link};
///
/// // A belt that lets go bends the valves in eight of ten cases, and a bent valve hits a piston in one of ten.
/// let harms = Harms::new(
///     &[120.0, 1900.0, 3500.0],
///     &[Link { from: 0, to: 1, p: 0.8 }, Link { from: 1, to: 2, p: 0.1 }],
/// )?;
/// let belt = harms.after(0)?;
/// assert!((belt.expected - (120.0 + 0.8 * 1900.0 + 0.08 * 3500.0)).abs() < 1e-9);
/// assert_eq!(belt.worst, 5520.0);
/// # Ok::<(), prognosis::PrognosisError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Harms {
    costs: Vec<f64>,
    links: Vec<Link>,
    /// Every harm after all that can lead to it.
    order: Vec<usize>,
}

/// What follows when one harm has happened for sure.
#[derive(Debug, Clone, PartialEq)]
pub struct Consequences {
    /// Probability that each harm is reached.
    pub reach: Vec<f64>,
    /// Mean cost of all that is reached.
    pub expected: f64,
    /// Cost if everything that can follow does.
    pub worst: f64,
    /// The cost that is not exceeded with probability 0.95.
    pub high: f64,
}

impl Harms {
    /// Harms by their own cost, and the links between them.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] with everything that is wrong; [`PrognosisError::Cycle`] when a harm leads back to
    /// itself.
    pub fn new(costs: &[f64], links: &[Link]) -> Result<Self, PrognosisError> {
        let mut inspection = Inspection::default();
        for (index, cost) in costs.iter().enumerate() {
            inspection.at("harm", index).not_negative("cost", *cost);
        }
        for (index, link) in links.iter().enumerate() {
            inspection
                .at("link", index)
                .index("start", link.from, costs.len())
                .index("end", link.to, costs.len())
                .probability("probability", link.p);
        }
        inspection.finish()?;
        let order = in_order(costs.len(), links)?;
        Ok(Self { costs: costs.to_vec(), links: links.to_vec(), order })
    }

    /// What follows from one harm, exactly.
    ///
    /// Harms are taken in order; what is carried along is the probability of every set of harms already reached whose
    /// own consequences are still open, with the cost so far. Shared causes are so kept in sight: multiplying along
    /// the ways to a harm would count them twice. Source: network reliability by enumeration. Checked:
    /// `reference/diagnosis.json`.
    ///
    /// # Errors
    /// [`PrognosisError::Inputs`] for a start that is not listed; [`PrognosisError::TooMany`] when the harms are too
    /// tangled to be followed exactly.
    pub fn after(&self, start: usize) -> Result<Consequences, PrognosisError> {
        Inspection::default().index("start", start, self.costs.len()).finish()?;
        let below = self.below(start);
        if below.len() > MOST_HARMS {
            return Err(PrognosisError::TooMany {
                what: "this failure",
                most: MOST_HARMS,
                found: below.len(),
            });
        }
        let place: BTreeMap<usize, usize> =
            below.iter().enumerate().map(|(place, harm)| (*harm, place)).collect();
        let mut reach = vec![0.0; self.costs.len()];
        // (set of harms reached and still to be taken, cost so far as bits) → probability
        let mut states = BTreeMap::from([((1_u128, 0_u64), 1.0)]);
        for (at, harm) in below.iter().enumerate() {
            let ways: Vec<(u128, f64)> = self
                .links
                .iter()
                .filter(|link| link.from == *harm && link.p > 0.0)
                .map(|link| (1_u128 << place[&link.to], link.p))
                .collect();
            let mut next = BTreeMap::new();
            for ((open, cost), p) in states {
                if open >> at & 1 == 0 {
                    *next.entry((open, cost)).or_insert(0.0) += p;
                    continue;
                }
                reach[*harm] += p;
                let cost = (f64::from_bits(cost) + self.costs[*harm]).to_bits();
                let open = open & !(1 << at);
                for (more, q) in follow(&ways) {
                    *next.entry((open | more, cost)).or_insert(0.0) += p * q;
                }
                if next.len() > MOST_STATES {
                    return Err(PrognosisError::TooMany {
                        what: "this failure",
                        most: MOST_STATES,
                        found: next.len(),
                    });
                }
            }
            states = next;
        }
        // Costs are never negative, so their bits are in the order of their values.
        let outcomes: Vec<(f64, f64)> =
            states.into_iter().map(|((_, cost), p)| (f64::from_bits(cost), p)).collect();
        Ok(Consequences {
            expected: self.costs.iter().zip(&reach).map(|(cost, p)| cost * p).sum(),
            worst: below.iter().map(|harm| self.costs[*harm]).sum(),
            high: quantile(&outcomes, HIGH),
            reach,
        })
    }

    /// The start and all that can follow from it, in order.
    fn below(&self, start: usize) -> Vec<usize> {
        let mut reached = vec![false; self.costs.len()];
        reached[start] = true;
        for harm in &self.order {
            if reached[*harm] {
                self.links.iter().filter(|l| l.from == *harm && l.p > 0.0).for_each(|l| reached[l.to] = true);
            }
        }
        self.order.iter().copied().filter(|harm| reached[*harm]).collect()
    }
}

/// Probability of a harm that any of several independent causes brings about: `1 − Π(1 − p)`.
///
/// Only for causes that share nothing further back; otherwise use [`Harms`]. Source: noisy-or, Pearl 1988.
pub fn noisy_or(causes: &[f64]) -> f64 {
    -causes.iter().map(|p| (-p.clamp(0.0, 1.0)).ln_1p()).sum::<f64>().exp_m1()
}

/// Each set of harms that may follow, with its probability.
fn follow(ways: &[(u128, f64)]) -> BTreeMap<u128, f64> {
    let mut sets = BTreeMap::from([(0_u128, 1.0)]);
    for (harm, p) in ways {
        let mut next = BTreeMap::new();
        for (set, q) in sets {
            *next.entry(set | harm).or_insert(0.0) += q * p;
            if *p < 1.0 {
                *next.entry(set).or_insert(0.0) += q * (1.0 - p);
            }
        }
        sets = next;
    }
    sets
}

fn quantile(outcomes: &[(f64, f64)], p: f64) -> f64 {
    let mut sorted = outcomes.to_vec();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut below = 0.0;
    for (cost, q) in &sorted {
        below += q;
        if below >= p - LAST_BITS {
            return *cost;
        }
    }
    sorted.last().map_or(0.0, |(cost, _)| *cost)
}

fn in_order(count: usize, links: &[Link]) -> Result<Vec<usize>, PrognosisError> {
    let mut waits = vec![0_usize; count];
    links.iter().for_each(|link| waits[link.to] += 1);
    let mut ready: Vec<usize> = (0..count).filter(|harm| waits[*harm] == 0).collect();
    let mut order = Vec::with_capacity(count);
    while let Some(harm) = ready.pop() {
        order.push(harm);
        for link in links.iter().filter(|link| link.from == harm) {
            waits[link.to] -= 1;
            if waits[link.to] == 0 {
                ready.push(link.to);
            }
        }
    }
    match waits.iter().position(|wait| *wait > 0) {
        None => Ok(order),
        Some(index) => Err(PrognosisError::Cycle { what: "harm", index }),
    }
}
