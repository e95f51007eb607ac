//! What a failure drags with it, step by step.

use super::{Plan, costs::Costs};
use crate::judge::Judge;
use crate::plan::When;
use sheet::{ComponentId, ConsequenceId};
use std::collections::BTreeMap;

/// What follows when a component fails.
#[derive(Debug, Clone, PartialEq)]
pub struct Cascade {
    pub component: ComponentId,
    pub title: String,
    /// When the plan renews it.
    pub when: When,
    /// What can follow, each after all that leads to it; the failure itself is the first.
    pub harms: Vec<Harm>,
    /// From one harm to another, by their place above, with the probability.
    pub links: Vec<(usize, usize, f64)>,
    /// Money beyond the planned repair: on average, and if everything that can follow does.
    pub expected: f64,
    pub worst: f64,
    /// The likeliest way to the dearest harm, by place above, and the probability of that way.
    pub way: (Vec<usize>, f64),
}

/// One harm of a cascade.
#[derive(Debug, Clone, PartialEq)]
pub struct Harm {
    pub id: ConsequenceId,
    pub title: String,
    pub says: String,
    pub costs: f64,
    /// Probability that it is reached, once the component has failed.
    pub reach: f64,
    /// How it announces itself, best first.
    pub warns: Vec<String>,
    /// Steps from the failure, by the longest way.
    pub depth: usize,
}

/// The cascades of a plan's components, the dearest in expectation first.
pub(super) fn cascades(judge: &Judge<'_>, costs: &Costs<'_>, plan: &Plan) -> Vec<Cascade> {
    let mut found: BTreeMap<ConsequenceId, Cascade> = BTreeMap::new();
    for item in &plan.items {
        let Some(operation) = judge.sheet.operations.get(&item.operation) else { continue };
        let Some(component) = judge.sheet.components.get(&operation.component) else { continue };
        let Some(start) = &component.fails_as else { continue };
        if found.contains_key(start) {
            continue;
        }
        if let Some(cascade) = cascade(judge, costs, start) {
            let cascade = Cascade {
                component: operation.component.clone(),
                title: component.title.clone(),
                when: item.when,
                ..cascade
            };
            found.insert(start.clone(), cascade);
        }
    }
    let mut all: Vec<Cascade> = found.into_values().collect();
    all.sort_by(|one, other| {
        other.expected.total_cmp(&one.expected).then(one.component.cmp(&other.component))
    });
    all
}

fn cascade(judge: &Judge<'_>, costs: &Costs<'_>, start: &ConsequenceId) -> Option<Cascade> {
    let consequences = &judge.sheet.consequences;
    let after = costs.after(start)?;
    // The sheet sees to it that consequences lead nowhere in a circle, so that depths settle.
    let mut depth: BTreeMap<&ConsequenceId, usize> =
        BTreeMap::from([(consequences.get_key_value(start)?.0, 0)]);
    let mut waiting: Vec<&ConsequenceId> = depth.keys().copied().collect();
    while let Some(id) = waiting.pop() {
        let at = depth.get(id).copied().unwrap_or(0);
        if at > consequences.len() {
            return None;
        }
        for (to, p) in &consequences.get(id)?.then {
            if *p > 0.0 && depth.get(to).is_none_or(|known| *known <= at) {
                depth.insert(to, at + 1);
                waiting.push(to);
            }
        }
    }
    let mut order: Vec<&ConsequenceId> = depth.keys().copied().collect();
    order.sort_by_key(|id| (depth.get(id).copied(), consequences.get_index_of(*id)));
    let place = |id: &ConsequenceId| order.iter().position(|known| *known == id);
    let harms = order
        .iter()
        .filter_map(|id| {
            let harm = consequences.get(*id)?;
            Some(Harm {
                id: (*id).clone(),
                title: harm.title.clone(),
                says: harm.says.clone(),
                costs: costs.of_harm(id),
                reach: after.reach.get(consequences.get_index_of(*id)?).copied()?,
                warns: harm.warns.clone(),
                depth: depth.get(id).copied().unwrap_or(0),
            })
        })
        .collect::<Vec<_>>();
    let links: Vec<(usize, usize, f64)> = order
        .iter()
        .enumerate()
        .flat_map(|(from, id)| {
            let then = consequences.get(*id).map_or(&[][..], |harm| &harm.then);
            then.iter().filter_map(move |(to, p)| Some((from, place(to)?, *p)))
        })
        .collect();
    let way = likeliest_way_to_the_dearest(&harms, &links);
    Some(Cascade {
        component: "".into(),
        title: String::new(),
        when: When::Leave,
        harms,
        links,
        expected: after.expected,
        worst: after.worst,
        way,
    })
}

/// Harms stand after all that leads to them, so that one pass over the links finds the way.
fn likeliest_way_to_the_dearest(harms: &[Harm], links: &[(usize, usize, f64)]) -> (Vec<usize>, f64) {
    let mut best: Vec<(f64, Option<usize>)> = vec![(0.0, None); harms.len()];
    if let Some(start) = best.first_mut() {
        start.0 = 1.0;
    }
    for (from, to, p) in links {
        let reached = best[*from].0 * p;
        if reached > best[*to].0 {
            best[*to] = (reached, Some(*from));
        }
    }
    let dearest = (0..harms.len()).max_by(|one, other| {
        harms[*one].costs.total_cmp(&harms[*other].costs).then(other.cmp(one)) // the first of equals
    });
    let Some(dearest) = dearest else { return (vec![], 0.0) };
    let mut way = vec![dearest];
    while let Some(before) = way.last().and_then(|at| best[*at].1) {
        way.push(before);
    }
    way.reverse();
    (way, best[dearest].0)
}
