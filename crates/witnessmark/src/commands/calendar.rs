//! `witnessmark calendar`: hours that planned visits ask for, week by week.

use super::print_json;
use crate::output::say;
use crate::{
    arguments::Calendar,
    error::{Failed, WrongArgument, WrongArguments},
};
use book::Book;
use serde_json::json;
use workshop::{
    calendar::{On, weeks},
    plan::money,
    words,
};

pub fn run(of: &Calendar) -> Result<(), Failed> {
    let mut wrong = WrongArguments::default();
    let known = (1..=104).contains(&of.weeks);
    if !known {
        let cause = "weeks are a number from 1 to 104";
        _ = wrong.keep::<()>(Err(WrongArgument::new("number of weeks", &of.weeks.to_string(), cause)));
    }
    wrong.tell(known.then_some(()))?;
    let book = Book::open(&of.book.folder)?;
    let today = of.today.clock().today();
    let (all, _) = book.coming(book.cards_on(today)?, today, usize::MAX)?;
    let weeks = weeks(today, of.weeks, &all);
    if of.output.json {
        let weeks: Vec<_> = weeks
            .iter()
            .map(|week| {
                json!({
                    "from": week.from,
                    "to": week.to,
                    "hours": money(week.hours),
                    "low": money(week.low),
                    "high": money(week.high),
                    "visits": super::rounded(week.visits),
                    "cars": week.cars.iter().filter_map(|share| {
                        let one = all.get(share.coming)?;
                        Some(json!({
                            "car": one.car,
                            "because": because(&one.on),
                            "p": super::rounded(share.p),
                            "hours": money(one.hours),
                            "operations": one.operations,
                        }))
                    }).collect::<Vec<_>>(),
                })
            })
            .collect();
        print_json(&json!(weeks));
        return Ok(());
    }
    for week in &weeks {
        let cars: Vec<String> = week
            .cars
            .iter()
            .filter_map(|share| {
                let one = all.get(share.coming)?;
                let sure = match one.on {
                    On::Expected(_) => words::chance(share.p),
                    _ => because(&one.on).to_owned(),
                };
                let asks = match one.hours {
                    hours if hours < 0.05 => "nothing planned".to_owned(),
                    hours => words::hours(hours),
                };
                Some(format!("{} ({sure}, {asks})", one.title))
            })
            .collect();
        say!(
            "{:>17}  {:>5.1} h  ({:.1} to {:.1})  {}",
            words::day(week.from),
            week.hours,
            week.low,
            week.high,
            cars.join("; ")
        );
    }
    Ok(())
}

fn because(on: &On) -> &'static str {
    match on {
        On::Here => "in",
        On::Agreed(_) => "agreed",
        On::Overdue => "overdue",
        On::Expected(_) => "expected",
    }
}
