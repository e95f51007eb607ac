//! Why each item of a plan is where it is, in a sentence computed from the plan itself.

use super::candidates::Candidate;
use super::question::Question;
use super::{Item, NOW, Shared, When, costs::Costs};
use crate::assessment::Outcome;
use crate::judge::Judge;
use crate::odometer::NextVisit;
use crate::words;
use jiff::civil::Date;
use planner::{Choice, Instance, Pin, PinRule};
use sheet::{OperationId, Verdict};
use std::collections::BTreeMap;

/// A person counts savings from this much money on.
const WORTH_SAYING: f64 = 0.5;

/// What an operation is called, with its place where it is done place by place.
pub(super) fn title(judge: &Judge<'_>, candidate: &Candidate<'_>) -> String {
    let place = candidate.place.as_ref().map_or("", |place| judge.sheet.place_title(place));
    match place {
        "" => candidate.operation.title.clone(),
        place => format!("{}, {place}", candidate.operation.title),
    }
}

pub(super) struct Whys<'a> {
    pub question: &'a Question<'a>,
    pub instance: &'a Instance,
    pub solved: &'a planner::Plan,
    /// By candidate done now that nobody has decided on, what not doing it now would cost more.
    pub waiting: &'a BTreeMap<String, f64>,
    /// Whether only what must not wait is done now, for want of money or hours.
    pub over: bool,
}

/// Who reads a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Reader {
    Workshop,
    Owner,
}

impl Reader {
    fn has(self) -> &'static str {
        match self {
            Self::Workshop => "The owner has",
            Self::Owner => "You have",
        }
    }
}

impl<'a> Whys<'a> {
    fn judge(&self) -> &'a Judge<'a> {
        self.question.judge
    }

    fn costs(&self) -> &'a Costs<'a> {
        &self.question.costs
    }

    fn next(&self) -> &'a NextVisit {
        &self.question.next
    }

    /// The item that a candidate became; `None` for a sound part that is simply left.
    pub(super) fn item(&self, candidate: &Candidate<'a>) -> Option<Item> {
        let when = self.question.when(self.solved.pick.get(&candidate.id)?);
        if when == When::Leave && candidate.grounds.is_empty() {
            return None;
        }
        let shares = self.shares(candidate);
        let sharing_saves = shares.iter().map(|shared| self.costs().step(&shared.step)).sum();
        let p_next = candidate.fails_by(self.judge(), self.next().date);
        let waiting_costs = (when == When::Now).then(|| self.cost_without(candidate)).flatten();
        let must = candidate.by == Some(NOW);
        let why = |to| self.why(to, candidate, when, p_next, waiting_costs, sharing_saves, &shares);
        let (why, why_to_owner) = (why(Reader::Workshop), why(Reader::Owner));
        Some(Item {
            operation: candidate.operation_id.clone(),
            place: candidate.place.clone(),
            title: title(self.judge(), candidate),
            when,
            cost: candidate.cash,
            hours: candidate.hours,
            must,
            why,
            why_to_owner,
            shares,
            sharing_saves,
            waiting_costs,
            p_next,
            grounds: candidate
                .grounds
                .iter()
                .map(|judged| (judged.check.clone(), judged.place.clone()))
                .collect(),
        })
    }

    /// Money of its life that waiting for the next visit uses up, and doing it now would throw away.
    fn used_up(&self, candidate: &Candidate<'a>) -> f64 {
        let unused_now = candidate.unused_years(self.judge(), 0.0);
        let thrown_away =
            |unused| super::thrown_away(candidate.cash, candidate.cost_a_year, unused_now, unused);
        thrown_away(unused_now) - thrown_away(candidate.unused_years(self.judge(), self.next().years))
    }

    /// Whether it could be done now within the limits of now.
    fn has_room_for(&self, candidate: &Candidate<'a>) -> bool {
        if self.over {
            return false;
        }
        let Some(limits) = self.instance.limits.get(NOW) else { return true };
        let Some(now) = self.solved.visits.first() else { return true };
        let closure = self.judge().sheet.access_closure(&candidate.operation.needs);
        let closed: Vec<_> =
            closure.into_iter().filter(|step| !now.access.iter().any(|id| id == step.as_str())).collect();
        let cash = candidate.cash + closed.iter().map(|step| self.costs().step(step)).sum::<f64>();
        let hours = candidate.hours + closed.iter().map(|step| self.costs().step_hours(step)).sum::<f64>();
        limits.cash.is_none_or(|limit| now.cash + cash <= limit)
            && limits.hours.is_none_or(|limit| now.hours + hours <= limit)
    }

    /// The end of the window in which what was seen wants doing, where the car is not expected again before.
    fn too_late(&self, candidate: &Candidate<'a>) -> Option<Date> {
        let seen = candidate.grounds.iter().filter(|judged| matches!(judged.what, Outcome::Seen { .. }));
        let ends = seen.filter_map(|judged| judged.carries.window).map(|(_, end)| end).min();
        ends.filter(|end| *end < self.next().date && !candidate.declined)
    }

    /// When it falls due, in words that follow a sentence's head.
    fn due_words(&self, due: Option<Date>) -> String {
        match due {
            Some(due) => format!("; it falls due in {}", words::month(due)),
            None => String::new(),
        }
    }

    /// Who agreed to it, when, and for when.
    fn promise_words(&self, candidate: &Candidate<'a>) -> String {
        let Some((job, _)) = candidate.promise else { return String::new() };
        let on = job.on.map_or_else(|| "the next visit".to_owned(), words::day);
        format!("Agreed for {on} by {}, on {}.", job.name, words::day(job.agreed))
    }

    /// What not doing it now would cost more, everything else planned anew; `None` when that is not allowed.
    fn cost_without(&self, candidate: &Candidate<'a>) -> Option<f64> {
        if let Some(cost) = self.waiting.get(&candidate.id) {
            return Some(cost.max(0.0));
        }
        if !self.instance.pins.iter().any(|pin| pin.job == candidate.id) {
            return None;
        }
        // What a person has decided on is weighed as if it were open.
        let mut without = self.instance.clone();
        without.pins.retain(|pin| pin.job != candidate.id);
        without.pins.push(Pin { job: candidate.id.clone(), choice: NOW.into(), rule: PinRule::MustNot });
        let plan = planner::solve(&without, &self.question.limits).ok()?;
        Some((plan.cost - self.solved.cost).max(0.0))
    }

    /// The steps it shares with other items of the same occasion.
    fn shares(&self, candidate: &Candidate<'a>) -> Vec<Shared> {
        let Some(Choice::On(occasion)) = self.solved.pick.get(&candidate.id) else { return vec![] };
        let others: Vec<(&String, &planner::Job)> = self
            .solved
            .pick
            .iter()
            .filter(|(id, choice)| **id != candidate.id && **choice == Choice::On(occasion.clone()))
            .filter_map(|(id, _)| Some((id, self.instance.jobs.iter().find(|job| job.id == *id)?)))
            .collect();
        let closure = |needs: &[String]| {
            let needs: Vec<_> = needs.iter().map(|id| id.as_str().into()).collect();
            self.judge().sheet.access_closure(&needs)
        };
        let others: Vec<_> = others.into_iter().map(|(id, job)| (id, closure(&job.needs))).collect();
        self.judge()
            .sheet
            .access_closure(&candidate.operation.needs)
            .into_iter()
            .filter_map(|step| {
                let with: Vec<OperationId> = others
                    .iter()
                    .filter(|(_, steps)| steps.contains(&step))
                    .map(|(id, _)| id.split('@').next().unwrap_or(id).into())
                    .collect();
                (!with.is_empty()).then_some(Shared { step: step.clone(), with })
            })
            .collect()
    }

    #[expect(clippy::too_many_arguments, reason = "what a sentence is made of, worked out once")]
    fn why(
        &self,
        to: Reader,
        candidate: &Candidate<'a>,
        when: When,
        p_next: f64,
        waiting_costs: Option<f64>,
        sharing_saves: f64,
        shares: &[Shared],
    ) -> String {
        let currency = &self.judge().shop.currency;
        let money = |amount: f64| words::money(super::money(amount), currency);
        let worst = candidate.grounds.iter().map(|judged| judged.verdict).max().unwrap_or(Verdict::Sound);
        let chance = words::chance(p_next);
        let next = words::month(self.next().date);
        let due = candidate
            .grounds
            .iter()
            .filter(|judged| matches!(judged.what, Outcome::Record { .. }))
            .find_map(|judged| judged.carries.window)
            .filter(|_| candidate.grounds.len() == 1)
            .map(|(_, due)| due);
        let wishes = self.question.wishes;
        let wished = |ids: &[OperationId]| ids.contains(candidate.operation_id);
        let mut says = match when {
            When::Now if candidate.agreed && candidate.promise.is_some() => self.promise_words(candidate),
            When::Now if wished(&wishes.must) && candidate.by != Some(NOW) => {
                format!("Now, as wished. Until {next} it would fail with a chance of {chance}.")
            }
            When::Now if candidate.grounds.is_empty() && !candidate.agreed => {
                "It is not worth doing apart from the work beside it.".to_owned()
            }
            When::Now
                if candidate.by != Some(NOW)
                    && !candidate.agreed
                    && due.is_some_and(|due| due < self.next().date) =>
            {
                match due.filter(|due| *due > self.judge().today) {
                    Some(due) => format!("It falls due before the next visit, in {}.", words::month(due)),
                    None => "It is due now.".to_owned(),
                }
            }
            When::NextVisit | When::Leave if wished(&wishes.must_not) => {
                let though = if candidate.agreed { ", though the owner has said yes" } else { "" };
                format!("Not now, as wished{though}. Until {next} it fails with a chance of {chance}.")
            }
            When::NextVisit | When::Leave if let Some(part) = candidate.lacks => {
                format!("{part} is not in hand. Until {next} it fails with a chance of {chance}.")
            }
            When::NextVisit | When::Agreed(_) if candidate.promise.is_some() && !candidate.declined => {
                self.promise_words(candidate)
            }
            When::Agreed(day) => {
                let chance = words::chance(candidate.fails_by(self.judge(), day));
                format!(
                    "It rides along with the work agreed for {}; until then it fails with a chance of {chance}.",
                    words::day(day)
                )
            }
            When::NextVisit if !candidate.declined && due.is_some_and(|due| due < self.next().date) => {
                let head = match due {
                    Some(due) if due > self.judge().today => {
                        format!("It falls due before then, in {}", words::month(due))
                    }
                    _ => "It is due now".into(),
                };
                if self.has_room_for(candidate) {
                    format!("{head}; until then waiting is expected to cost less than doing it now.")
                } else {
                    format!("{head}, but within the limits there is no room for it now.")
                }
            }
            When::NextVisit if !candidate.declined && !self.over && due.is_some() => {
                format!("It can wait until {next}{}.", self.due_words(due))
            }
            When::Now if candidate.by == Some(NOW) => match worst {
                Verdict::StaysPut => "The car stays put until this is done.".to_owned(),
                _ => "The car must not leave like this.".to_owned(),
            },
            When::Now if candidate.agreed => format!("{} said yes.", to.has()),
            When::Now => match waiting_costs {
                Some(cost) if cost >= WORTH_SAYING => {
                    format!(
                        "Fails before {next} with a chance of {chance}; waiting would cost {} more.",
                        money(cost)
                    )
                }
                Some(_) => format!("Fails before {next} with a chance of {chance}; now is as good as later."),
                None => format!("Fails before {next} with a chance of {chance}."),
            },
            When::NextVisit if candidate.declined => {
                format!(
                    "{} said not now; next chance {next}. Until then it fails with a chance of {chance}.",
                    to.has()
                )
            }
            When::NextVisit if !self.has_room_for(candidate) => format!(
                "Within the limits there is no room for it now. Until {next} it fails with a chance of {chance}."
            ),
            When::NextVisit | When::Leave if let Some(by) = self.too_late(candidate) => {
                let by = words::month(by);
                let ask = match to {
                    Reader::Workshop => "ask for the car earlier, or do it now",
                    Reader::Owner => "come earlier, or have it done now",
                };
                format!(
                    "It wants doing by {by}, before the car is expected again in {next}: {ask}. Until then it fails with a chance of {chance}."
                )
            }
            When::NextVisit => format!(
                "It can wait until {next}: until then it fails with a chance of {chance}, and done now {} of its life would be thrown away.",
                money(self.used_up(candidate))
            ),
            When::Leave if candidate.declined => {
                format!("{} said not now. Until {next} it fails with a chance of {chance}.", to.has())
            }
            When::Leave => format!(
                "Left on purpose: until {next} it fails with a chance of {chance}, and doing it would cost {} with its access.",
                money(candidate.cash + self.costs().closure(&candidate.operation.needs))
            ),
        };
        if sharing_saves >= WORTH_SAYING {
            let steps: Vec<&str> = shares
                .iter()
                .filter_map(|shared| self.judge().sheet.access.get(&shared.step))
                .map(|step| step.title.as_str())
                .collect();
            let shared = match to {
                Reader::Owner => "what has to come off".to_owned(),
                Reader::Workshop => words::count(steps.len(), "step", "steps"),
            };
            let among = match to {
                Reader::Owner => String::new(),
                Reader::Workshop => {
                    format!(" ({} among them)", steps.last().copied().unwrap_or_default())
                }
            };
            let saves = money(sharing_saves);
            says.push_str(&format!(
                " It shares {shared} with other work{among}: {saves} less than by itself."
            ));
        }
        says
    }
}
