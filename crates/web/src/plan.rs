//! The plan: what is worth doing now, with what, and what can wait?

use crate::{
    app::App,
    error::PageError,
    layout::{Shell, car_head, panel},
    routes,
    sign::Signer,
};
use axum::extract::{Path, State};
use axum_extra::extract::Query;
use book::OpenCar;
use maud::{Markup, html};
use rust_decimal::Decimal;
use serde::Deserialize;
use sheet::OperationId;
use workshop::{
    Assessment,
    form::typed,
    plan::{Item, Plan, PlanFailed, When, Wishes, money, plan},
    words,
};

#[derive(Deserialize, Default, Clone)]
pub struct Asked {
    #[serde(default)]
    budget: String,
    #[serde(default)]
    hours: String,
    #[serde(default)]
    must: Vec<String>,
    #[serde(default)]
    not: Vec<String>,
}

pub async fn get(
    State(app): State<App>,
    signer: Signer,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Markup, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let shell = Shell::new(app, &signer, "Plan")?;
        let judge = car.judge();
        let assessment = judge.assess();
        let (wishes, problems) = wishes(&asked);
        let body = match plan(&judge, &assessment, &wishes) {
            Ok(plan) => view(&car, &assessment, &plan, &asked, &problems),
            Err(failed) => no_plan(&car, &asked, &failed),
        };
        Ok(shell.page(html! { (car_head(&car, "Plan")) (body) }))
    })
    .await
}

fn wishes(asked: &Asked) -> (Wishes, Vec<String>) {
    let mut problems = Vec::new();
    let number = |text: &str| text.replace(',', ".").replace(['\u{202f}', ' '], "");
    let budget = typed(&asked.budget).and_then(|text| match number(&text).parse::<Decimal>() {
        Ok(budget) if !budget.is_sign_negative() => Some(budget),
        _ => {
            problems.push(format!("“{text}” is no amount of money: write a number, such as 250."));
            None
        }
    });
    let hours = typed(&asked.hours).and_then(|text| match number(&text).parse::<f64>() {
        Ok(hours) if hours.is_finite() && hours >= 0.0 => Some(hours),
        _ => {
            problems.push(format!("“{text}” is no number of hours: write a number, such as 6."));
            None
        }
    });
    let ids = |list: &[String]| list.iter().map(|id| OperationId::from(id.as_str())).collect();
    (
        Wishes { budget, hours, must: ids(&asked.must), must_not: ids(&asked.not), ..Wishes::default() },
        problems,
    )
}

fn no_plan(car: &OpenCar, asked: &Asked, failed: &PlanFailed) -> Markup {
    html! {
        (panel("No plan keeps all of that", html! {
            p { (failed.to_string()) "." }
            p.acts { a.button href=(routes::plan(&car.car.id)) { "Start again without wishes" } }
        }))
        @if let PlanFailed::NoVisit = failed { p.quiet { "Begin a visit first." } }
        (controls(car, asked))
    }
}

fn view(car: &OpenCar, assessment: &Assessment, plan: &Plan, asked: &Asked, problems: &[String]) -> Markup {
    let currency = &car.shop.currency;
    let sum = |amount: f64| words::money(money(amount), currency);
    html! {
        @for problem in problems { p.problem role="alert" { (problem) } }
        @if plan.over_ceiling {
            (panel("More than the ceiling", html! {
                p { "What must not wait costs more than the ceiling of " (plan.ceiling.map_or(String::new(), |c| words::money(c, currency))) ". Only that is planned now; talk to the owner." }
            }))
        }
        @if plan.items.is_empty() { p.lead { "Nothing asks for work. " @if assessment.findings.is_empty() { "Nothing was seen on this car yet." } } }
        form method="get" action=(routes::plan(&car.car.id)) {
            @for (when, title) in [(When::Now, "Now"), (When::NextVisit, "At the next visit"), (When::Leave, "Left, on purpose")] {
                @let items: Vec<&Item> = plan.items.iter().filter(|item| item.when == when).collect();
                @if !items.is_empty() {
                    section.occasion {
                        h2 { (title) }
                        @if let Some(occasion) = plan.occasions.iter().find(|occasion| occasion.when == when) {
                            p.lead { (words::day(occasion.date)) ": " b { (sum(occasion.cost)) } ", " (words::hours(occasion.hours)) }
                        }
                        ul.items { @for item in items { (self::item(car, assessment, item, asked)) } }
                        @if let Some(occasion) = plan.occasions.iter().find(|occasion| occasion.when == when && !occasion.access.is_empty()) {
                            details {
                                summary { "What comes off, once for all: " (words::count(occasion.access.len(), "step", "steps")) }
                                ol { @for (step, cost) in &occasion.access { li { (car.sheet.access.get(step).map_or(step.as_str(), |known| &known.title)) span.quiet { ", " (sum(*cost)) } } } }
                            }
                        }
                    }
                }
            }
            @if plan.apart - plan.together >= 1.0 {
                p.panel { "Done together the work of now costs " b { (sum(plan.together)) } ". One by one it would be " (sum(plan.apart)) ": sharing saves " b { (sum(plan.apart - plan.together)) } "." }
            }
            @if !plan.items.is_empty() {
                p.quiet {
                    @if plan.proven { "No plan is expected to cost less." } @else { "A better plan may cost up to " (format!("{:.1} %", 100.0 * plan.gap)) " less." }
                }
            }
            (wishes_fields(car, asked))
        }
        p.acts { a.button.go href=(routes::letter(&car.car.id)) { "Write the letter" } }
    }
}

fn item(car: &OpenCar, assessment: &Assessment, item: &Item, asked: &Asked) -> Markup {
    let sum = |amount: f64| words::money(money(amount), &car.shop.currency);
    let id = item.operation.as_str();
    let (must, not) = (asked.must.iter().any(|m| m == id), asked.not.iter().any(|n| n == id));
    html! {
        li {
            div.what {
                b { (item.title) }
                p.quiet { (sum(item.cost)) ", " (words::hours(item.hours)) " beyond its access" @if item.must { ", must not wait" } }
            }
            div.means {
                p { (item.why) }
                @if !item.shares.is_empty() {
                    details {
                        summary { "Shared: " (words::count(item.shares.len(), "step", "steps")) }
                        ul {
                            @for shared in &item.shares {
                                li {
                                    (car.sheet.access.get(&shared.step).map_or(shared.step.as_str(), |known| &known.title)) " with "
                                    (shared.with.iter().map(|id| car.sheet.operations.get(id).map_or(id.as_str(), |known| &known.title)).collect::<Vec<_>>().join(", "))
                                }
                            }
                        }
                    }
                }
                ul.grounds {
                    @for (check, place) in &item.grounds {
                        @if let Some(judged) = assessment.finding(check, place) {
                            li { a href=(routes::finding(&car.car.id, check.as_str(), place.as_str())) { (car.sheet.checks.get(check).map_or(check.as_str(), |known| &known.title)) @if !car.sheet.place_title(place).is_empty() { ", " (car.sheet.place_title(place)) } } " " (letter::verdict(judged.verdict)) }
                        }
                    }
                }
                fieldset.wish {
                    legend.hidden { "Your wish for " (item.title) }
                    label { input type="checkbox" name="must" value=(id) checked[must]; "Must be now" }
                    label { input type="checkbox" name="not" value=(id) checked[not]; "Not now" }
                }
            }
        }
    }
}

fn controls(car: &OpenCar, asked: &Asked) -> Markup {
    html! { form method="get" action=(routes::plan(&car.car.id)) { (wishes_fields(car, asked)) } }
}

fn wishes_fields(car: &OpenCar, asked: &Asked) -> Markup {
    html! {
        fieldset.wishes {
            legend { "What if" }
            div.field { label for="budget" { "Money for now (" (car.shop.currency) ")" } input id="budget" name="budget" inputmode="decimal" value=(asked.budget); }
            div.field { label for="hours" { "Hours for now" } input id="hours" name="hours" inputmode="decimal" value=(asked.hours); }
            button { "Work it out again" }
        }
    }
}
