//! `witnessmark plan CAR`: what is worth doing now, next time, or not at all.

use super::{instance, open_car_of, print_json};
use crate::output::say;
use crate::{
    arguments::Plan as Arguments,
    error::{Failed, WrongArgument, WrongArguments},
};
use serde_json::{Value, json};
use workshop::plan::{Cascade, Decision, Item, Study, When, Wishes, money, study};
use workshop::{form, words};

pub fn run(of: &Arguments) -> Result<(), Failed> {
    if let Some(file) = &of.instance {
        return instance::run(file, of.output.json);
    }
    let mut wrong = WrongArguments::default();
    let budget = typed(&mut wrong, "budget", of.budget.as_deref(), form::money);
    let rate = typed(&mut wrong, "rate", of.rate.as_deref(), form::money);
    let hours = typed(&mut wrong, "number of hours", of.hours.as_deref(), form::hours);
    let today = of.today.clock().today();
    for (what, day) in [("horizon", of.horizon), ("day of the next visit", of.at)] {
        if let Some(day) = day.filter(|day| *day <= today) {
            let cause = format!("it must lie after the day planned from, {today}");
            _ = wrong.keep::<()>(Err(WrongArgument::new(what, &day.to_string(), cause)));
        }
    }
    // The program sees to it that both are there when no instance is.
    let (folder, id) = wrong.tell(of.folder.as_deref().zip(of.car.as_deref()))?;
    let car = open_car_of(folder, id, &of.today)?;
    let judge = car.judge();
    let wishes = Wishes {
        budget,
        hours,
        must: of.must.clone(),
        must_not: of.not.clone(),
        lacking: of.lacking.iter().map(|part| part.as_str().into()).collect(),
        horizon: of.horizon,
        next_visit: of.at,
        rate,
    };
    let study = study(&judge, &judge.assess(), &wishes).map_err(|failed| {
        // In the names that a person knows.
        match failed.clash(&car.sheet, &car.shop.currency) {
            clash if clash.is_empty() => Failed::from(failed),
            clash => Failed::Wishes { car: car.car.title.clone(), clash },
        }
    })?;
    let plan = &study.plan;
    if of.output.json {
        print_json(&document(&study, &car.shop.currency));
        return Ok(());
    }
    let currency = &car.shop.currency;
    for occasion in &plan.occasions {
        let items = items_on(&study, occasion.when);
        if items.is_empty() {
            continue;
        }
        say!(
            "{}, {}: {}, {}",
            when_words(occasion.when),
            words::day(occasion.date),
            words::hours(occasion.hours),
            words::money(money(occasion.cost), currency)
        );
        items.into_iter().for_each(|at| print(&study, at, currency));
    }
    let left = items_on(&study, When::Leave);
    if !left.is_empty() {
        say!("{}", when_words(When::Leave));
        left.into_iter().for_each(|at| print(&study, at, currency));
    }
    if plan.items.is_empty() {
        say!("Nothing asks for work.");
    }
    if plan.over_ceiling {
        say!(
            "What must not wait goes beyond the money or the hours that there are; only that is planned now."
        );
    }
    if plan.apart - plan.together >= 1.0 {
        say!(
            "Done together it costs {}, one by one {}.",
            words::money(money(plan.together), currency),
            words::money(money(plan.apart), currency)
        );
    }
    if !plan.proven {
        say!("Not proven: a better plan may cost up to {:.1} % less.", 100.0 * plan.gap);
    }
    Ok(())
}

/// The places of a plan's items that it has on an occasion.
/// What was typed for an option, as forms read it; what is wrong with it is told with all the rest.
fn typed<T>(
    wrong: &mut WrongArguments,
    what: &'static str,
    text: Option<&str>,
    read: impl Fn(&str) -> Result<T, String>,
) -> Option<T> {
    let text = text?;
    wrong.keep(
        read(text)
            .map_err(|says| WrongArgument::new(what, text, words::lower_first(says.trim_end_matches('.')))),
    )
}

fn items_on(study: &Study, when: When) -> Vec<usize> {
    let items = study.plan.items.iter().enumerate();
    items.filter(|(_, item)| item.when == when).map(|(at, _)| at).collect()
}

fn print(study: &Study, at: usize, currency: &str) {
    let item = &study.plan.items[at];
    say!("  {}\n    {}", item.title, item.why);
    study.says(at, currency).iter().for_each(|says| say!("    {says}"));
}

fn when_words(when: When) -> &'static str {
    match when {
        When::Now => "Now",
        When::Agreed(_) => "As agreed",
        When::NextVisit => "At the next visit",
        When::Leave => "Left",
    }
}

fn document(study: &Study, currency: &str) -> Value {
    let plan = &study.plan;
    json!({
        "proven": plan.proven,
        "gap": plan.gap,
        "expected_cost": money(plan.expected_cost),
        "nothing_now": plan.nothing_now.map(money),
        "together": money(plan.together),
        "apart": money(plan.apart),
        "ceiling": plan.ceiling,
        "over_ceiling": plan.over_ceiling,
        "occasions": plan.occasions.iter().map(|occasion| json!({
            "occasion": occasion.when,
            "date": occasion.date,
            "hours": hours(occasion.hours),
            "cost": money(occasion.cost),
            "access": occasion.access.iter().map(|(step, cost)| json!({
                "step": step,
                "cost": money(*cost),
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "items": plan.items.iter().zip(&study.decisions).enumerate().map(|(at, (one, decision))| {
            item(one, decision, study.says(at, currency))
        }).collect::<Vec<_>>(),
        "scenes": study.scenes,
        "by_budget": study.corners.iter().map(|corner| json!({
            "budget": money(corner.money),
            "expected_cost": money(corner.expected_cost),
            "now": corner.now,
        })).collect::<Vec<_>>(),
        "failures": study.cascades.iter().map(failure).collect::<Vec<_>>(),
    })
}

fn item(item: &Item, decision: &Decision, says: Vec<String>) -> Value {
    json!({
        "operation": item.operation,
        "place": item.place,
        "title": item.title,
        "occasion": item.when,
        "cost": money(item.cost),
        "hours": hours(item.hours),
        "must": item.must,
        "why": item.why,
        "shares": item.shares,
        "sharing_saves": money(item.sharing_saves),
        "waiting_costs": item.waiting_costs.map(money),
        "p_next": super::rounded(item.p_next),
        "grounds": item.grounds.iter().map(|(check, place)| json!({
            "check": check,
            "place": place,
        })).collect::<Vec<_>>(),
        "instead": decision.instead.map(|(costs_more, occasion)| json!({
            "occasion": occasion,
            "costs_more": money(costs_more),
        })),
        "now_costs_more": decision.now_costs_more.map(money),
        "turns_at": decision.turns_at.map(money),
        "matters_most": decision.matters_most.map(|matter| json!({
            "figure": matter.figure,
            "saves": [money(matter.saves.0), money(matter.saves.1)],
            "turns": matter.turns(),
        })),
        "firm": super::rounded(decision.firm),
        "says": says,
    })
}

fn failure(cascade: &Cascade) -> Value {
    let id = |at: &usize| cascade.harms.get(*at).map(|harm| &harm.id);
    json!({
        "component": cascade.component,
        "expected": money(cascade.expected),
        "worst": money(cascade.worst),
        "way": cascade.way.0.iter().map(id).collect::<Vec<_>>(),
        "way_p": super::rounded(cascade.way.1),
        "harms": cascade.harms.iter().map(|harm| json!({
            "consequence": harm.id,
            "title": harm.title,
            "p": super::rounded(harm.reach),
            "cost": money(harm.costs),
            "warns": harm.warns,
        })).collect::<Vec<_>>(),
        "links": cascade.links.iter().map(|(from, to, p)| json!({
            "from": id(from),
            "to": id(to),
            "p": p,
        })).collect::<Vec<_>>(),
    })
}

fn hours(hours: f64) -> f64 {
    (hours * 100.0).round() / 100.0
}
