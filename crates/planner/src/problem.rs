//! What is wrong with an instance, all of it at once.

use crate::instance::{AccessCost, Choice, Instance, LEAVE};
use crate::model::Model;
use std::collections::{BTreeMap, BTreeSet};

/// The most that an amount may be, so that sums of a thousand still have their cents.
const MOST: f64 = 1e10;

/// One thing wrong with an [`Instance`].
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Problem {
    #[error("there is no occasion: name at least one, such as `now`")]
    NoOccasion,
    #[error("`leave` is the word for not doing a job and cannot be the id of an occasion")]
    LeaveIsNoOccasion,
    #[error("two {kind}s are called `{id}`: each needs an id of its own")]
    Duplicate { kind: &'static str, id: String },
    #[error(
        "occasion `{id}` is at {at}, which is not later than the one before it: list occasions in order of time"
    )]
    Order { id: String, at: f64 },
    #[error("{place} names {kind} `{id}`, which does not exist")]
    Unknown { place: String, kind: &'static str, id: String },
    #[error("{place} names `{id}` twice")]
    Twice { place: String, id: String },
    #[error("{place} is {value}: it must be a number from 0 to {MOST:e}")]
    Amount { place: String, value: f64 },
    #[error("access step `{step}` has no cost on `{occasion}`: give one number, or one for every occasion")]
    NoCost { step: String, occasion: String },
    #[error("access steps need each other in a circle: {}", steps.join(" → "))]
    Circle { steps: Vec<String> },
    #[error(
        "job `{job}` has no choice left: it needs at least one occasion, or `leave`, that no rule forbids"
    )]
    NoChoice { job: String },
    #[error("jobs {} are done together but have no choice in common", jobs.join(", "))]
    NoCommonChoice { jobs: Vec<String> },
    #[error("jobs `{one}` and `{other}` must both be done but exclude each other")]
    MustsClash { one: String, other: String },
}

impl Problem {
    /// Whether the instance says clearly what it wants but wants what cannot be; the others are slips of the pen.
    pub fn is_clash(&self) -> bool {
        matches!(self, Self::NoChoice { .. } | Self::NoCommonChoice { .. } | Self::MustsClash { .. })
    }
}

impl Instance {
    /// All that is wrong with the instance, in the order of its fields; nothing when it can be planned.
    pub fn problems(&self) -> Vec<Problem> {
        let mut found = Finder::new(self);
        found.occasions();
        found.access();
        found.jobs();
        found.limits();
        found.rules();
        if found.problems.is_empty() {
            found.circle();
            found.clashes();
        }
        found.problems
    }
}

struct Finder<'a> {
    instance: &'a Instance,
    occasions: BTreeSet<&'a str>,
    access: BTreeSet<&'a str>,
    jobs: BTreeSet<&'a str>,
    problems: Vec<Problem>,
}

impl<'a> Finder<'a> {
    fn new(instance: &'a Instance) -> Self {
        Self {
            instance,
            occasions: instance.occasions.iter().map(|o| o.id.as_str()).collect(),
            access: instance.access.iter().map(|a| a.id.as_str()).collect(),
            jobs: instance.jobs.iter().map(|j| j.id.as_str()).collect(),
            problems: vec![],
        }
    }

    fn occasions(&mut self) {
        let occasions = &self.instance.occasions;
        if occasions.is_empty() {
            self.problems.push(Problem::NoOccasion);
        }
        self.unique("occasion", occasions.iter().map(|o| o.id.as_str()));
        for (index, occasion) in occasions.iter().enumerate() {
            if occasion.id == LEAVE {
                self.problems.push(Problem::LeaveIsNoOccasion);
            }
            let later = index.checked_sub(1).is_none_or(|before| occasion.at > occasions[before].at);
            if !later || !occasion.at.is_finite() {
                self.problems.push(Problem::Order { id: occasion.id.clone(), at: occasion.at });
            }
        }
    }

    fn access(&mut self) {
        self.unique("access step", self.instance.access.iter().map(|a| a.id.as_str()));
        for step in &self.instance.access {
            let place = format!("access step `{}`", step.id);
            self.amount(format!("hours of {place}"), step.hours);
            match &step.cost {
                AccessCost::Always(cost) => self.amount(format!("cost of {place}"), *cost),
                AccessCost::On(costs) => {
                    for (occasion, cost) in costs {
                        self.known(&place, "occasion", occasion);
                        self.amount(format!("cost of {place} on `{occasion}`"), *cost);
                    }
                    for occasion in &self.instance.occasions {
                        if !costs.contains_key(&occasion.id) {
                            self.problems.push(Problem::NoCost {
                                step: step.id.clone(),
                                occasion: occasion.id.clone(),
                            });
                        }
                    }
                }
            }
            self.list(&format!("needs of {place}"), "access step", &step.needs);
            self.list(&format!("open of {place}"), "occasion", &step.open);
        }
    }

    fn jobs(&mut self) {
        self.unique("job", self.instance.jobs.iter().map(|j| j.id.as_str()));
        for job in &self.instance.jobs {
            let place = format!("job `{}`", job.id);
            self.amount(format!("hours of {place}"), job.hours);
            self.amount(format!("cash of {place}"), job.cash);
            for (choice, cost) in &job.cost {
                if choice != LEAVE {
                    self.known(&format!("cost of {place}"), "occasion", choice);
                }
                self.amount(format!("cost of {place} on `{choice}`"), *cost);
            }
            self.list(&format!("needs of {place}"), "access step", &job.needs);
            if let Some(by) = &job.by {
                self.known(&format!("by of {place}"), "occasion", by);
            }
        }
    }

    fn limits(&mut self) {
        for (occasion, limits) in &self.instance.limits {
            self.known("limits", "occasion", occasion);
            for (what, limit) in [("cash", limits.cash), ("hours", limits.hours)] {
                if let Some(limit) = limit {
                    self.amount(format!("limit of {what} on `{occasion}`"), limit);
                }
            }
        }
    }

    fn rules(&mut self) {
        for (name, groups) in [("together", &self.instance.together), ("exclusive", &self.instance.exclusive)]
        {
            for group in groups {
                self.list(name, "job", group);
            }
        }
        for (first, then) in &self.instance.before {
            self.list("before", "job", [first, then]);
        }
        for pin in &self.instance.pins {
            self.known("pins", "job", &pin.job);
            if let Choice::On(occasion) = &pin.choice {
                self.known(&format!("pin of `{}`", pin.job), "occasion", occasion);
            }
        }
    }

    /// A way round, if the steps need each other in one.
    fn circle(&mut self) {
        let needs: BTreeMap<&str, &[String]> =
            self.instance.access.iter().map(|a| (a.id.as_str(), a.needs.as_slice())).collect();
        let mut done = BTreeSet::new();
        for &start in needs.keys() {
            // The way from `start` to here, with how many needs of each step have been followed.
            let mut way: Vec<(&str, usize)> = vec![(start, 0)];
            while let Some((step, followed)) = way.pop() {
                let Some(next) = needs.get(step).and_then(|needs| needs.get(followed)) else {
                    done.insert(step);
                    continue;
                };
                way.push((step, followed + 1));
                if let Some(from) = way.iter().position(|(on_way, _)| on_way == next) {
                    let steps = way[from..].iter().map(|(step, _)| (*step).to_owned()).chain([next.clone()]);
                    self.problems.push(Problem::Circle { steps: steps.collect() });
                    return;
                }
                if !done.contains(next.as_str()) {
                    way.push((next, 0));
                }
            }
        }
    }

    /// Musts that cannot all hold, as far as single jobs and pairs show it.
    fn clashes(&mut self) {
        let model = &Model::new(self.instance, &[]);
        let names = |jobs: &[usize]| jobs.iter().map(|&job| model.jobs[job].clone()).collect::<Vec<_>>();
        let choices = |job: usize| (0..=model.leave()).filter(move |&choice| model.allows(job, choice));
        let has_choice = &|job: &usize| choices(*job).next().is_some();
        for job in (0..model.jobs.len()).filter(|job| !has_choice(job)) {
            self.problems.push(Problem::NoChoice { job: model.jobs[job].clone() });
        }
        for group in model.together.iter().filter(|group| group.iter().all(has_choice)) {
            let common = |choice| group.iter().all(|&job| model.allows(job, choice));
            if !(0..=model.leave()).any(common) {
                self.problems.push(Problem::NoCommonChoice { jobs: names(group) });
            }
        }
        for group in &model.exclusive {
            let must = |job: &usize| has_choice(job) && !model.allows(*job, model.leave());
            let musts: Vec<usize> = group.iter().copied().filter(must).collect();
            if let [one, other, ..] = names(&musts).as_slice() {
                self.problems.push(Problem::MustsClash { one: one.clone(), other: other.clone() });
            }
        }
    }

    fn unique(&mut self, kind: &'static str, ids: impl Iterator<Item = &'a str>) {
        let mut seen = BTreeSet::new();
        for id in ids {
            if !seen.insert(id) {
                self.problems.push(Problem::Duplicate { kind, id: id.to_owned() });
            }
        }
    }

    fn list<'b>(&mut self, place: &str, kind: &'static str, ids: impl IntoIterator<Item = &'b String>) {
        let mut seen = BTreeSet::new();
        for id in ids {
            self.known(place, kind, id);
            if !seen.insert(id) {
                self.problems.push(Problem::Twice { place: place.to_owned(), id: id.clone() });
            }
        }
    }

    fn known(&mut self, place: &str, kind: &'static str, id: &str) {
        let ids = match kind {
            "occasion" => &self.occasions,
            "job" => &self.jobs,
            _ => &self.access,
        };
        if !ids.contains(id) {
            self.problems.push(Problem::Unknown { place: place.to_owned(), kind, id: id.to_owned() });
        }
    }

    fn amount(&mut self, place: String, value: f64) {
        // NaN is in no range.
        if !(0.0..=MOST).contains(&value) {
            self.problems.push(Problem::Amount { place, value });
        }
    }
}
