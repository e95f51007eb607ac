//! The question as the search sees it: jobs that go together are one, and doing less breaks ties.

use crate::model::Model;

/// Part of the whole cost that all preferences among equal plans may come to.
const TIES: f64 = 1e-9;

/// The model with jobs that are done together merged.
#[derive(Debug, Clone)]
pub(crate) struct Task {
    pub occasions: usize,
    /// Which jobs of the model each job here stands for.
    pub members: Vec<Vec<usize>>,
    /// Which job here stands for each job of the model.
    pub number: Vec<usize>,
    /// By job and choice, the preferences among equal plans included; infinite where the choice is not allowed.
    pub cost: Vec<Vec<f64>>,
    pub hours: Vec<f64>,
    pub cash: Vec<f64>,
    pub closure: Vec<Vec<usize>>,
    /// What a step needs, itself included.
    pub step_closure: Vec<Vec<usize>>,
    pub step_cost: Vec<Vec<f64>>,
    pub step_hours: Vec<Vec<f64>>,
    pub hours_limit: Vec<f64>,
    pub cash_limit: Vec<f64>,
    pub exclusive: Vec<Vec<usize>>,
    pub before: Vec<(usize, usize)>,
    /// Both kinds of rule once more, as rows.
    pub rows: Vec<Row>,
    /// Whom each job excludes.
    pub excludes: Vec<Vec<usize>>,
    /// Added for each occasion that is used at all, so that of equal plans the one with fewer visits is best.
    pub visit_cost: f64,
    /// Taken off for each job done now, so that of equal plans the one with more jobs now is best.
    pub now_worth: f64,
    /// More than all these preferences come to in any plan.
    pub preferences: f64,
    /// Costs that differ by no more than this are the same.
    pub same: f64,
}

/// A rule over several jobs as a row: the factors of the jobs that are done come to no more than `room`.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub terms: Vec<Term>,
    pub room: f64,
}

/// The factor a job has when it is done on an occasion up to `until`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Term {
    pub job: usize,
    pub until: usize,
    pub factor: f64,
}

impl Task {
    pub fn new(model: &Model) -> Self {
        let occasions = model.leave();
        let leader = leaders(model);
        let mut number = vec![usize::MAX; leader.len()];
        let mut members: Vec<Vec<usize>> = vec![];
        for job in 0..leader.len() {
            let lead = leader[job];
            if number[lead] == usize::MAX {
                number[lead] = members.len();
                members.push(vec![]);
            }
            number[job] = number[lead];
            members[number[job]].push(job);
        }
        let sum = |of: &[f64]| members.iter().map(|jobs| jobs.iter().map(|&job| of[job]).sum()).collect();
        let mut cost: Vec<Vec<f64>> = members
            .iter()
            .map(|jobs| (0..=occasions).map(|c| jobs.iter().map(|&job| model.cost[job][c]).sum()).collect())
            .collect();

        let mut exclusive = vec![];
        for group in &model.exclusive {
            let mut jobs: Vec<usize> = group.iter().map(|&job| number[job]).collect();
            jobs.sort_unstable();
            // Jobs that go together and exclude each other are left.
            for pair in jobs.windows(2).filter(|pair| pair[0] == pair[1]) {
                cost[pair[0]][..occasions].fill(f64::INFINITY);
            }
            jobs.dedup();
            if jobs.len() > 1 {
                exclusive.push(jobs);
            }
        }
        let before: Vec<(usize, usize)> = model
            .before
            .iter()
            .map(|&(first, then)| (number[first], number[then]))
            .filter(|(first, then)| first != then)
            .collect();

        // Small enough that all of it together stays below what two plans must differ by to be different in cost. A
        // cost that only stands for "never" must not count, so each job counts with its least.
        let least = |costs: &Vec<f64>| costs.iter().copied().filter(|cost| cost.is_finite()).reduce(f64::min);
        let timing: f64 = model.cost.iter().filter_map(least).sum();
        let access: f64 = model.step_cost.iter().map(|costs| costs.iter().copied().fold(0.0, f64::max)).sum();
        let scale = (timing + access).max(1.0);
        let jobs = model.jobs.len().max(1) as f64;
        let now_worth = TIES * scale / ((jobs + 1.0) * (occasions as f64 + 1.0));
        for (cost, members) in cost.iter_mut().zip(&members) {
            cost[0] -= now_worth * members.len() as f64;
        }
        Self {
            occasions,
            hours: sum(&model.job_hours),
            cash: sum(&model.job_cash),
            closure: members.iter().map(|jobs| union(jobs.iter().map(|&job| &model.closure[job]))).collect(),
            cost,
            step_closure: model.step_closure.clone(),
            step_cost: model.step_cost.clone(),
            step_hours: model.step_hours.clone(),
            hours_limit: model.hours_limit.clone(),
            cash_limit: model.cash_limit.clone(),
            rows: rows(&exclusive, &before, occasions),
            excludes: excludes(&exclusive, members.len()),
            exclusive,
            before,
            members,
            number,
            visit_cost: now_worth * (jobs + 1.0),
            now_worth,
            preferences: TIES * scale,
            same: now_worth / 4.0,
        }
    }

    pub fn jobs(&self) -> usize {
        self.members.len()
    }

    pub fn leave(&self) -> usize {
        self.occasions
    }

    /// More than any plan costs.
    pub fn more_than_any(&self) -> f64 {
        let largest =
            |costs: &Vec<f64>| costs.iter().copied().filter(|cost| cost.is_finite()).fold(0.0, f64::max);
        let access: f64 = self.step_cost.iter().flatten().sum();
        1.0 + self.cost.iter().map(largest).sum::<f64>() + access + self.visit_cost * self.occasions as f64
    }

    /// The choices of the model's jobs.
    pub fn picks(&self, choices: &[usize]) -> Vec<usize> {
        let mut picks = vec![self.leave(); self.members.iter().map(Vec::len).sum()];
        for (members, &choice) in self.members.iter().zip(choices) {
            for &job in members {
                picks[job] = choice;
            }
        }
        picks
    }
}

fn rows(exclusive: &[Vec<usize>], before: &[(usize, usize)], occasions: usize) -> Vec<Row> {
    let last = occasions.saturating_sub(1);
    let one_of = exclusive.iter().map(|group| Row {
        terms: group.iter().map(|&job| Term { job, until: last, factor: 1.0 }).collect(),
        room: 1.0,
    });
    // By each occasion the later job is done only if the earlier one is.
    let in_order = before.iter().flat_map(|&(first, then)| {
        (0..occasions).map(move |until| Row {
            terms: vec![Term { job: then, until, factor: 1.0 }, Term { job: first, until, factor: -1.0 }],
            room: 0.0,
        })
    });
    one_of.chain(in_order).collect()
}

fn excludes(exclusive: &[Vec<usize>], jobs: usize) -> Vec<Vec<usize>> {
    let mut excludes = vec![vec![]; jobs];
    for group in exclusive {
        for &job in group {
            excludes[job].extend(group.iter().copied().filter(|&other| other != job));
        }
    }
    excludes
}

/// For each job the first job of its group, groups that share a job being one.
fn leaders(model: &Model) -> Vec<usize> {
    let mut leader: Vec<usize> = (0..model.jobs.len()).collect();
    for group in &model.together {
        for pair in group.windows(2) {
            let (one, other) = (leader[pair[0]], leader[pair[1]]);
            let (first, last) = (one.min(other), one.max(other));
            for of in &mut leader {
                if *of == last {
                    *of = first;
                }
            }
        }
    }
    leader
}

/// The members of several ordered lists, in order.
fn union<'a>(lists: impl Iterator<Item = &'a Vec<usize>>) -> Vec<usize> {
    let mut all: Vec<usize> = lists.flatten().copied().collect();
    all.sort_unstable();
    all.dedup();
    all
}
