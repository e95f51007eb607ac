//! `witnessmark plan CAR`: what is worth doing now, next time, or not at all.

use super::{instance, open_car_of, print_json};
use crate::output::say;
use crate::{
    arguments::Plan as Arguments,
    error::{Failed, WrongArgument, WrongArguments},
};
use rust_decimal::Decimal;
use serde_json::{Value, json};
use workshop::plan::{Item, Plan, When, Wishes, money, plan};
use workshop::words;

pub fn run(of: &Arguments) -> Result<(), Failed> {
    if let Some(file) = &of.instance {
        return instance::run(file, of.output.json);
    }
    let mut wrong = WrongArguments::default();
    if let Some(hours) = of.hours.filter(|hours| !(hours.is_finite() && *hours >= 0.0)) {
        let cause = "hours are a number from 0 up";
        _ = wrong.keep::<()>(Err(WrongArgument::new("number of hours", &hours.to_string(), cause)));
    }
    if let Some(budget) = of.budget.filter(Decimal::is_sign_negative) {
        let cause = "money is a number from 0 up";
        _ = wrong.keep::<()>(Err(WrongArgument::new("budget", &budget.to_string(), cause)));
    }
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
        budget: of.budget,
        hours: of.hours,
        must: of.must.clone(),
        must_not: of.not.clone(),
        horizon: of.horizon,
        next_visit: of.at,
    };
    let plan = plan(&judge, &judge.assess(), &wishes)?;
    if of.output.json {
        print_json(&document(&plan));
        return Ok(());
    }
    let currency = &car.shop.currency;
    for occasion in &plan.occasions {
        let items: Vec<&Item> = plan.items.iter().filter(|item| item.when == occasion.when).collect();
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
        items.into_iter().for_each(print);
    }
    let left: Vec<&Item> = plan.items.iter().filter(|item| item.when == When::Leave).collect();
    if !left.is_empty() {
        say!("{}", when_words(When::Leave));
        left.into_iter().for_each(print);
    }
    if plan.items.is_empty() {
        say!("Nothing asks for work.");
    }
    if plan.over_ceiling {
        say!("What must not wait costs more than the ceiling; only that is planned now.");
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

fn print(item: &Item) {
    say!("  {}\n    {}", item.title, item.why);
}

fn when_words(when: When) -> &'static str {
    match when {
        When::Now => "Now",
        When::NextVisit => "At the next visit",
        When::Leave => "Left",
    }
}

fn document(plan: &Plan) -> Value {
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
        "items": plan.items.iter().map(|item| json!({
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
        })).collect::<Vec<_>>(),
    })
}

fn hours(hours: f64) -> f64 {
    (hours * 100.0).round() / 100.0
}
