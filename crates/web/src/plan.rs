//! The plan: what is worth doing now, with what, and what can wait?

pub mod agree;
mod budget;
mod cascade;

use crate::{
    error::PageError,
    layout::{Shell, car_head, invalid, panel},
    of_car::OfCar,
    routes,
};
use agree::Agreed;
use axum_extra::extract::Query;
use book::OpenCar;
use jiff::civil::Date;
use maud::{Markup, html};
use rust_decimal::Decimal;
use serde::Deserialize;
use sheet::OperationId;
use std::time::Duration;
use workshop::{
    Assessment,
    form::{self, FormProblem, typed},
    plan::{
        FIRM, Item, Plan, PlanError, PlanFailed, Study, TOSS_UP, When, Wishes, money, plan_within, study,
    },
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
    #[serde(default)]
    at: String,
    #[serde(default)]
    horizon: String,
    #[serde(default)]
    rate: String,
    /// Numbers of parts, one after another.
    #[serde(default)]
    lacking: String,
    /// Anything: what can be told at once is wanted first, and the rest is asked for next.
    #[serde(default)]
    first: String,
}

/// Time for an answer while somebody types; the whole one follows.
const AT_ONCE: Duration = Duration::from_millis(60);

pub async fn get(of: OfCar, Query(asked): Query<Asked>) -> Result<Markup, PageError> {
    of.page("Plan", move |shell, car| {
        html! { (car_head(car, "Plan")) (page(shell, car, &asked, &Agreed::default(), &[])) }
    })
    .await
}

/// The plan with wishes, and below it what is agreed for later; `agreed` and its problems where a form comes back.
fn page(shell: &Shell, car: &OpenCar, asked: &Asked, agreed: &Agreed, wrong: &[FormProblem]) -> Markup {
    let judge = car.judge();
    let assessment = judge.assess();
    let (wishes, problems) = wishes(asked, car);
    if !asked.first.is_empty() {
        return match plan_within(&judge, &assessment, &wishes, AT_ONCE) {
            Ok(plan) => view(car, &assessment, &plan, None, asked, &problems),
            // It takes longer: the answer before stays until then.
            Err(PlanFailed::Planner(PlanError::CutShort { .. })) => html! {},
            Err(failed) => no_plan(car, asked, &failed, &problems),
        };
    }
    let study = study(&judge, &assessment, &wishes);
    html! {
        @match &study {
            Ok(study) => (view(car, &assessment, &study.plan, Some(study), asked, &problems)),
            Err(failed) => (no_plan(car, asked, failed, &problems)),
        }
        (agree::section(shell, car, study.as_ref().ok().map(|study| &study.plan), agreed, wrong))
    }
}

fn wishes(asked: &Asked, car: &OpenCar) -> (Wishes, Vec<FormProblem>) {
    let today = car.today;
    let mut problems = Vec::new();
    let mut wrong = |field, says| problems.push(FormProblem { field, says });
    // What was typed stands in the field; what is wrong with it beside it.
    let budget =
        typed(&asked.budget).and_then(|text| form::money(&text).map_err(|says| wrong("budget", says)).ok());
    let rate =
        typed(&asked.rate).and_then(|text| form::money(&text).map_err(|says| wrong("rate", says)).ok());
    let hours =
        typed(&asked.hours).and_then(|text| form::hours(&text).map_err(|says| wrong("hours", says)).ok());
    let mut day = |field, text: &str| {
        typed(text).and_then(|text| match text.parse::<Date>() {
            Ok(day) if day > today => Some(day),
            Ok(day) => {
                wrong(
                    field,
                    format!("{} is past: write a day after {}.", words::day(day), words::day(today)),
                );
                None
            }
            Err(_) => {
                wrong(field, format!("“{text}” is no day: write it as 2026-09-30."));
                None
            }
        })
    };
    let (horizon, next_visit) = (day("horizon", &asked.horizon), day("at", &asked.at));
    let mut part = |text: &str| {
        let known = car.sheet.parts.keys().find(|id| id.as_str().eq_ignore_ascii_case(text));
        if known.is_none() {
            problems.push(FormProblem {
                field: "lacking",
                says: format!("“{text}” is no part of this data sheet: write its number as it stands there."),
            });
        }
        known.cloned()
    };
    let lacking = asked.lacking.split([' ', ',', ';']).filter(|text| !text.is_empty());
    let lacking = lacking.filter_map(&mut part).collect();
    let ids = |list: &[String]| list.iter().map(|id| OperationId::from(id.as_str())).collect();
    let (must, must_not) = (ids(&asked.must), ids(&asked.not));
    (Wishes { budget, hours, must, must_not, lacking, horizon, next_visit, rate }, problems)
}

fn no_plan(car: &OpenCar, asked: &Asked, failed: &PlanFailed, problems: &[FormProblem]) -> Markup {
    let clash = failed.clash(&car.sheet, &car.shop.currency);
    let says = match failed {
        PlanFailed::BothWays(ids) => {
            let titles: Vec<&str> = ids.iter().map(|id| title(car, id)).collect();
            format!(
                "Both “Must be now” and “Not now” are said of {}; take one of them back",
                titles.join(", ")
            )
        }
        _ => words::sentence(&failed.to_string()).trim_end_matches('.').to_owned(),
    };
    let answer = html! {
        (panel("No plan keeps all of that", html! {
            @if clash.is_empty() { p { (says) "." } } @else {
                p { "These cannot be kept together; loosen any one of them:" }
                ul { @for rule in &clash { li { (rule) } } }
            }
            (ticked(car, asked))
            p.acts { a.button href=(routes::plan(&car.car.id)) { "Start again without wishes" } }
        }))
        @if let PlanFailed::NoVisit = failed { p.quiet { "Begin a visit first." } }
    };
    form(car, asked, problems, answer)
}

/// What an operation is called.
fn title<'t>(car: &'t OpenCar, id: &'t str) -> &'t str {
    car.sheet.operations.get(id).map_or(id, |known| &known.title)
}

/// The wishes that are ticked, to be taken back one by one.
fn ticked(car: &OpenCar, asked: &Asked) -> Markup {
    let sides = [("must", "Must be now", &asked.must), ("not", "Not now", &asked.not)];
    html! {
        @for (name, says, ids) in sides.iter().filter(|(.., ids)| !ids.is_empty()) {
            fieldset.wish {
                legend { (says) }
                @for id in *ids { label { input type="checkbox" name=(name) value=(id) checked; (title(car, id)) } }
            }
        }
    }
}

/// The wishes, and below them what they lead to; the script draws anew what is in `answer` while one types.
fn form(car: &OpenCar, asked: &Asked, problems: &[FormProblem], answer: Markup) -> Markup {
    html! {
        form.plan method="get" action=(routes::plan(&car.car.id)) data-plan {
            (wishes_fields(car, asked, problems))
            div #answer { (answer) }
        }
        script src="/assets/plan.js" defer {}
    }
}

/// A plan; what stands behind it is left open where it is not known yet.
fn view(
    car: &OpenCar,
    assessment: &Assessment,
    plan: &Plan,
    study: Option<&Study>,
    asked: &Asked,
    problems: &[FormProblem],
) -> Markup {
    let currency = &car.shop.currency;
    let sum = |amount: f64| words::money(money(amount).round(), currency);
    let mut groups: Vec<(When, String)> = plan
        .occasions
        .iter()
        .map(|occasion| {
            let title = match occasion.when {
                When::Agreed(day) => format!("On {}, as agreed", words::day(day)),
                When::NextVisit => "At the next visit".to_owned(),
                _ => "Now".to_owned(),
            };
            (occasion.when, title)
        })
        .collect();
    groups.push((When::Leave, "Left, on purpose".to_owned()));
    let answer = html! {
        @if plan.over_ceiling {
            (panel("More than the ceiling", html! {
                p { "What must not wait goes beyond what there is" @if let Some(ceiling) = plan.ceiling { ": the ceiling is " (words::money(ceiling, currency)) } ". Only that is planned now; talk to the owner." }
            }))
        }
        @if plan.items.is_empty() { p.lead { "Nothing asks for work. " @if assessment.findings.is_empty() { "Nothing was seen on this car yet." } } }
        @else { p.lead role="status" { (in_short(plan, &sum)) } }
        @for (when, title) in &groups {
            @let items: Vec<usize> = (0..plan.items.len()).filter(|at| plan.items[*at].when == *when).collect();
            @if !items.is_empty() {
                section.occasion {
                    h2 { (title) }
                    @let occasion = plan.occasions.iter().find(|occasion| occasion.when == *when);
                    @if let Some(occasion) = occasion {
                        p { (words::day(occasion.date)) ": " b { (sum(occasion.cost)) } ", " (words::hours(occasion.hours)) }
                    }
                    ul.items { @for at in items { (self::item(car, assessment, plan, study, at, asked)) } }
                    @if let Some(occasion) = occasion.filter(|occasion| !occasion.access.is_empty()) {
                        details data-keep=(format!("off-{title}")) {
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
            div data-later="behind" {
                @if let Some(study) = study {
                    (how_firm(study))
                    (budget::chart(study, currency, |money| routes::plan_with(&car.car.id, &asked.with_budget(money))))
                    (cascade::all(&study.cascades, currency))
                }
            }
        }
        p.acts { a.button.go href=(routes::letter(&car.car.id)) { "Write the letter" } }
    };
    form(car, asked, problems, answer)
}

/// The plan in one sentence, which is also what is said aloud when it changes.
fn in_short(plan: &Plan, sum: &dyn Fn(f64) -> String) -> String {
    let count = |when: When| plan.items.iter().filter(|item| item.when == when).count();
    let now = plan.occasions.iter().find(|occasion| occasion.when == When::Now);
    let (cost, hours) = now.map_or((0.0, 0.0), |now| (now.cost, now.hours));
    let says = match count(When::Now) {
        0 => "Nothing now".to_owned(),
        n => {
            format!("{} now for {} in {}", words::count(n, "job", "jobs"), sum(cost), words::hours(hours))
        }
    };
    let agreed = plan.items.iter().filter(|item| matches!(item.when, When::Agreed(_))).count();
    let agreed = if agreed > 0 { format!(" {agreed} as agreed,") } else { String::new() };
    format!("{says};{agreed} {} at the next visit, {} left.", count(When::NextVisit), count(When::Leave))
}

/// Which decisions stand whatever the estimates, and which do not.
fn how_firm(study: &Study) -> Markup {
    let open = || study.plan.items.iter().zip(&study.decisions).filter(|(_, made)| made.instead.is_some());
    let titles = |from: f64, to: f64| {
        let titles = open().filter(|(_, made)| made.firm >= from && made.firm < to);
        titles.map(|(item, _)| item.title.as_str()).collect::<Vec<_>>()
    };
    let groups = [
        ("Firm", titles(FIRM, f64::INFINITY)),
        ("Likely", titles(TOSS_UP, FIRM)),
        ("A toss-up", titles(0.0, TOSS_UP)),
    ];
    html! {
        @if open().next().is_some() {
            section {
                h2 { "How firm it is" }
                p.quiet { "Lives, hours and costs of failures are estimates. The car was planned " (study.scenes) " times with others, drawn from what is believed of each: firm is what came out the same in nine of ten, a toss-up what did in less than two of three." }
                dl.firm {
                    @for (says, titles) in groups.iter().filter(|(_, titles)| !titles.is_empty()) {
                        div { dt { (says) } dd { (titles.join("; ")) } }
                    }
                }
            }
        }
    }
}

fn item(
    car: &OpenCar,
    assessment: &Assessment,
    plan: &Plan,
    study: Option<&Study>,
    at: usize,
    asked: &Asked,
) -> Markup {
    let sum = |amount: f64| words::money(money(amount), &car.shop.currency);
    let item = &plan.items[at];
    let id = item.operation.as_str();
    let why = format!("why-{id}-{}", item.place.as_ref().map_or("", |place| place.as_str()));
    let (must, not) = (asked.must.iter().any(|m| m == id), asked.not.iter().any(|n| n == id));
    html! {
        li {
            div.what {
                b { (item.title) }
                p.quiet { (sum(item.cost)) ", " (words::hours(item.hours)) " beyond its access" @if item.must { ", must not wait" } }
            }
            div.means {
                p { (item.why) }
                details data-keep=(why) {
                    summary { "What would change this" @if !item.shares.is_empty() { ", and what it shares" } }
                    ul data-later=(why) {
                        @for says in study.map_or_else(Vec::new, |study| study.says(at, &car.shop.currency)) { li { (says) } }
                        @for (with, steps) in shared_with(car, item) { li { "Shares with " (with) ": " (steps) "." } }
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

/// The steps that an item shares, by those it shares them with.
fn shared_with(car: &OpenCar, item: &Item) -> Vec<(String, String)> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for shared in &item.shares {
        let mut with: Vec<&str> = shared.with.iter().map(|id| title(car, id.as_str())).collect();
        with.dedup();
        let with = with.join(", ");
        let step = car.sheet.access.get(&shared.step).map_or(shared.step.as_str(), |known| &known.title);
        match groups.iter_mut().find(|(known, _)| *known == with) {
            Some((_, steps)) => steps.push(step),
            None => groups.push((with, vec![step])),
        }
    }
    groups.into_iter().map(|(with, steps)| (with, steps.join(", "))).collect()
}

/// What is typed into a field.
#[derive(Clone, Copy, PartialEq)]
enum Typed {
    Number,
    Day,
    Words,
}

fn wishes_fields(car: &OpenCar, asked: &Asked, problems: &[FormProblem]) -> Markup {
    let currency = &car.shop.currency;
    let ceiling = car.car.open_visit().and_then(|visit| visit.ceiling);
    let money = |amount: Decimal| words::money(amount, currency);
    let fields = [
        (
            "budget",
            format!("Money now ({currency})"),
            &asked.budget,
            Typed::Number,
            ceiling.map_or("no limit".to_owned(), |ceiling| format!("the ceiling, {}", money(ceiling))),
        ),
        ("hours", "Hours now".to_owned(), &asked.hours, Typed::Number, "no limit".to_owned()),
        (
            "rate",
            format!("An hour’s work ({currency})"),
            &asked.rate,
            Typed::Number,
            format!("the workshop’s rate, {}", money(car.shop.rate)),
        ),
        ("at", "Next visit".to_owned(), &asked.at, Typed::Day, "as agreed or forecast".to_owned()),
        ("horizon", "Owner sells on".to_owned(), &asked.horizon, Typed::Day, "keeps it".to_owned()),
        (
            "lacking",
            "Parts not in hand".to_owned(),
            &asked.lacking,
            Typed::Words,
            "all are to be had".to_owned(),
        ),
    ];
    html! {
        fieldset.wishes {
            legend { "What if" }
            @for (name, label, value, typed, unless) in &fields {
                div.field {
                    label for=(name) { (label) }
                    input id=(name) name=(name) type=[(*typed == Typed::Day).then_some("date")] inputmode=[(*typed == Typed::Number).then_some("decimal")] value=(value)
                        aria-invalid=[invalid(problems, name)] aria-describedby={ (name) "-help " (name) "-problem" };
                    p.help id={ (name) "-help" } { "Empty: " (unless) }
                    div id={ (name) "-problem" } data-problem=(name) role="alert" {
                        @for problem in problems.iter().filter(|problem| problem.field == *name) { p.problem { (problem.says) } }
                    }
                }
            }
            button { "Work it out again" }
        }
    }
}

impl Asked {
    /// The same question with other money now, for an address.
    fn with_budget(&self, budget: &str) -> Vec<(&'static str, String)> {
        let said = [
            ("hours", &self.hours),
            ("rate", &self.rate),
            ("at", &self.at),
            ("horizon", &self.horizon),
            ("lacking", &self.lacking),
        ];
        let said = said.into_iter().filter(|(_, text)| !text.is_empty());
        let must = self.must.iter().map(|id| ("must", id));
        let not = self.not.iter().map(|id| ("not", id));
        let rest = said.chain(must).chain(not).map(|(name, text)| (name, text.clone()));
        [("budget", budget.to_owned())].into_iter().chain(rest).collect()
    }
}
