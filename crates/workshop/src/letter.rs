//! What the owner reads, as content: good news first and specific, what was found, what we suggest and when, what we left
//! and why, what it costs, what we will look at next time. How it looks is left to the page.

use crate::assessment::{Assessment, Judged, Outcome};
use crate::bar::{Mark, mark};
use crate::car::Visit;
use crate::judge::Judge;
use crate::keys;
use crate::marking::marked_component;
use crate::plan::{Item, Plan, When};
use crate::words;
use jiff::civil::Date;
use sheet::{OperationId, Sheet, Verdict};

/// A letter to the owner of a car.
#[derive(Debug, Clone, PartialEq)]
pub struct Letter {
    pub workshop: String,
    pub car: String,
    pub visit: String,
    pub date: Date,
    pub odometer: String,
    pub asked_for: Option<String>,
    /// The one sentence that everything comes down to.
    pub in_short: String,
    pub fine: Vec<Fine>,
    /// Things in order when last seen, not looked at on this visit.
    pub not_looked_at: usize,
    pub done: Vec<String>,
    pub found: Vec<Found>,
    pub suggestions: Vec<Suggestion>,
    pub costs: Option<Costs>,
    /// In the order of the visits.
    pub later: Vec<Later>,
    pub left: Vec<Left>,
    pub next_time: Vec<String>,
    pub next_visit: Option<String>,
    /// What is to be said wherever the data sheet is named, such as that it is invented.
    pub says: Option<String>,
}

/// What is fine in one system.
#[derive(Debug, Clone, PartialEq)]
pub struct Fine {
    pub system: String,
    /// With its value or state: good news is specific.
    pub items: Vec<FineItem>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct FineItem {
    pub title: String,
    pub detail: String,
    /// Marked by age or use, explained.
    pub why: Option<String>,
    /// What is said, with the places of which it is said.
    places: Vec<(String, Vec<String>)>,
}

/// Something that is not as it should be.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    pub title: String,
    pub check: String,
    pub verdict: Verdict,
    pub mark: Option<Mark>,
    pub says: String,
    /// What it means for the owner, in a sentence or two.
    pub means: String,
    pub put_right: bool,
}

/// Something we suggest, for the owner to answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Suggestion {
    pub operation: OperationId,
    pub title: String,
    pub when: When,
    pub by_when: String,
    pub cost: String,
    pub why: String,
    pub must: bool,
    /// The owner's last word, if there is one.
    pub answer: Option<(journal::Answer, String)>,
}

/// What it costs together and apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Costs {
    pub together: String,
    /// What of it is for taking off what is in the way, which no line has by itself.
    pub access: Option<String>,
    pub apart: String,
    pub saved: Option<String>,
    pub hours: String,
    pub ceiling: Option<String>,
    /// What doing nothing now is expected to cost more, on average.
    pub waiting: Option<String>,
}

/// What waits for a later visit, all together.
#[derive(Debug, Clone, PartialEq)]
pub struct Later {
    /// "at the next visit, May 2027".
    pub when: String,
    pub jobs: String,
    pub cost: String,
    pub hours: String,
}

/// Something left on purpose.
#[derive(Debug, Clone, PartialEq)]
pub struct Left {
    pub title: String,
    pub why: String,
    pub until: String,
}

/// Writes the letter of a visit.
pub fn letter(judge: &Judge<'_>, visit: &Visit, assessment: &Assessment, plan: &Plan) -> Letter {
    let sheet = judge.sheet;
    let title = |judged: &Judged| part_title(sheet, judged);
    let planned = |judged: &Judged| {
        plan.items.iter().any(|item| {
            item.grounds.iter().any(|(check, place)| *check == judged.check && *place == judged.place)
        })
    };
    let found: Vec<Found> = assessment
        .findings
        .iter()
        .filter(|judged| !matches!(judged.verdict, Verdict::Sound | Verdict::Settled))
        .filter(|judged| judged.put_right.is_some() || judged.verdict != Verdict::NotReached)
        .map(|judged| Found {
            title: title(judged),
            check: check_title(sheet, judged).to_owned(),
            verdict: judged.verdict,
            mark: mark(sheet, judged),
            says: match &judged.seen_on {
                Some((seen, date)) if *seen != visit.id => {
                    format!("{} (seen {})", what_words(sheet, judged), words::day(*date))
                }
                _ => what_words(sheet, judged),
            },
            means: means(judged),
            put_right: judged.put_right.is_some(),
        })
        .collect();
    let suggestions: Vec<Suggestion> = plan
        .items
        .iter()
        .filter(|item| item.when != When::Leave)
        .map(|item| suggestion(judge, visit, plan, item))
        .collect();
    let mut left: Vec<Left> = plan
        .items
        .iter()
        .filter(|item| item.when == When::Leave)
        .map(|item| Left {
            title: item.title.clone(),
            why: item.why_to_owner.clone(),
            until: "until it asks again".into(),
        })
        .collect();
    left.extend(
        assessment.findings.iter().filter(|judged| judged.is_open() && !planned(judged)).map(|judged| Left {
            title: title(judged),
            why: means(judged),
            until: until(judged),
        }),
    );
    let now: Vec<&Item> = plan.items.iter().filter(|item| item.when == When::Now).collect();
    let money = |amount: f64| words::money(crate::plan::money(amount), &judge.shop.currency);
    let saved = plan.apart - plan.together;
    let occasion = plan.occasions.first();
    let access: f64 = occasion.map_or(0.0, |now| now.access.iter().map(|(_, cost)| cost).sum());
    let costs = (!now.is_empty()).then(|| Costs {
        together: money(plan.together),
        access: (access >= 1.0).then(|| money(access)),
        apart: money(plan.apart),
        saved: (saved >= 1.0).then(|| money(saved)),
        hours: words::hours(occasion.map_or(0.0, |now| now.hours)),
        ceiling: plan.ceiling.map(|ceiling| words::money(ceiling, &judge.shop.currency)),
        waiting: plan
            .nothing_now
            .map(|nothing| nothing - plan.expected_cost)
            .filter(|more| *more >= 1.0 && now.iter().any(|item| !item.must))
            .map(money),
    });
    let later: Vec<Later> = plan
        .occasions
        .iter()
        .filter(|occasion| occasion.when != When::Now)
        .filter_map(|occasion| {
            let jobs = plan.items.iter().filter(|item| item.when == occasion.when).count();
            (jobs > 0).then(|| Later {
                when: when_done(occasion.when, Some(occasion.date)),
                jobs: words::count(jobs, "job", "jobs"),
                cost: money(occasion.cost),
                hours: words::hours(occasion.hours),
            })
        })
        .collect();
    let mut next_time: Vec<String> = judge
        .car
        .open_tags()
        .map(|tag| format!("{}. {}", tag.what.trim_end_matches('.'), words::sentence(&tag.why)))
        .collect();
    let promises = keys::untied(sheet, judge.car, visit);
    next_time.extend(promises.iter().map(|promise| promise.what.to_owned()));
    next_time.extend(
        assessment
            .findings
            .iter()
            .filter(|judged| judged.is_open() && judged.verdict == Verdict::LookAgain)
            .map(|judged| format!("{}: {}", title(judged), until(judged))),
    );
    Letter {
        workshop: judge.shop.title.clone(),
        car: judge.car.title.clone(),
        visit: visit.id.clone(),
        date: visit.date,
        odometer: words::km(crate::car::km(&visit.odometer)),
        asked_for: visit.asked_for.clone(),
        in_short: in_short(visit, assessment, &now),
        fine: fine(sheet, visit, assessment),
        not_looked_at: good(assessment).filter(|judged| !is_of(visit, judged)).count(),
        done: done(sheet, visit),
        found,
        suggestions,
        costs,
        later,
        left,
        next_time,
        next_visit: judge.next_visit.as_ref().map(|next| {
            format!("{}, at {}", words::month(next.date), words::about_km(next.km[next.km.len() / 2]))
        }),
        says: sheet.says.clone(),
    }
}

/// "Brake disc, front, front left": a component with its place.
pub fn part_title(sheet: &Sheet, judged: &Judged) -> String {
    let component = sheet.components.get(&judged.component).map_or("", |component| &component.title);
    match sheet.place_title(&judged.place) {
        "" => component.to_owned(),
        place => format!("{component}, {place}"),
    }
}

/// What was looked at on the part: the title of its check.
pub fn check_title<'a>(sheet: &'a Sheet, judged: &Judged) -> &'a str {
    match sheet.checks.get(&judged.check) {
        Some(check) => &check.title,
        None if marked_component(&judged.check).is_some() => "What is written on the part",
        None => "",
    }
}

/// What is sound or settled.
fn good(assessment: &Assessment) -> impl Iterator<Item = &Judged> {
    assessment.findings.iter().filter(|judged| {
        matches!(judged.verdict, Verdict::Sound | Verdict::Settled) && judged.put_right.is_none()
    })
}

/// Whether something was looked at on a visit, or stands in the record whoever looks.
fn is_of(visit: &Visit, judged: &Judged) -> bool {
    judged.seen_on.as_ref().is_none_or(|(seen, _)| *seen == visit.id)
}

fn fine(sheet: &Sheet, visit: &Visit, assessment: &Assessment) -> Vec<Fine> {
    let mut fine: Vec<Fine> = Vec::new();
    let mut last: Option<&sheet::CheckId> = None;
    for judged in good(assessment).filter(|judged| is_of(visit, judged)) {
        let Some(component) = sheet.components.get(&judged.component) else { continue };
        let Some(system) = sheet.systems.get(&component.system) else { continue };
        if fine.last().is_none_or(|group| group.system != system.title) {
            fine.push(Fine { system: system.title.clone(), items: vec![] });
        }
        let Some(group) = fine.last_mut() else { continue };
        let detail = what_words(sheet, judged);
        let why = judged.carries.why.clone().filter(|_| judged.verdict == Verdict::Settled);
        let place = sheet.place_title(&judged.place);
        // One line tells all places of a check.
        match group.items.last_mut().filter(|_| last == Some(&judged.check)) {
            Some(item) => item.add(place, &detail, why),
            None => group.items.push(FineItem::new(
                fine_title(sheet, judged, &component.title),
                place,
                &detail,
                why,
            )),
        }
        last = Some(&judged.check);
    }
    fine
}

/// A number or a single word needs to be told of what; a described state speaks for itself.
fn fine_title(sheet: &Sheet, judged: &Judged, component: &str) -> String {
    let bare = matches!(judged.what, Outcome::Measured(_)) || !what_words(sheet, judged).contains(' ');
    match sheet.checks.get(&judged.check) {
        Some(check) if bare => format!("{component}, {}", words::lower_first(&check.title)),
        _ => component.to_owned(),
    }
}

impl FineItem {
    fn new(title: String, place: &str, detail: &str, why: Option<String>) -> Self {
        let mut item = Self { title, detail: String::new(), why: None, places: vec![] };
        item.add(place, detail, why);
        item
    }

    /// Tells one more place; places of which the same is to be said share it.
    fn add(&mut self, place: &str, detail: &str, why: Option<String>) {
        if self.why.is_none() {
            self.why = why;
        }
        let detail = detail.trim_end_matches('.').to_owned();
        match self.places.iter_mut().find(|(said, _)| *said == detail) {
            Some((_, places)) => places.push(place.to_owned()),
            None => self.places.push((detail, vec![place.to_owned()])),
        }
        self.detail = match &self.places[..] {
            [(said, _)] => said.clone(),
            several => several
                .iter()
                .map(|(said, places)| format!("{said} ({})", places.join(", ")))
                .collect::<Vec<_>>()
                .join("; "),
        };
    }
}

fn done(sheet: &Sheet, visit: &Visit) -> Vec<String> {
    visit
        .work
        .iter()
        .filter_map(|work| match &work.what {
            crate::car::WorkDone::Operation { operation, place } => {
                let title = &sheet.operations.get(operation)?.title;
                Some(match place.as_ref().map_or("", |place| sheet.place_title(place)) {
                    "" => title.clone(),
                    place => format!("{title}, {place}"),
                })
            }
            // A part that no work speaks of: said by itself.
            crate::car::WorkDone::Fitted { component, place, since: None, .. }
                if !keys::work_renews(sheet, visit, component, place) =>
            {
                let title = &sheet.components.get(component)?.title;
                Some(match sheet.place_title(place) {
                    "" => format!("New part: {title}"),
                    place => format!("New part: {title}, {place}"),
                })
            }
            crate::car::WorkDone::Fitted { .. } => None,
        })
        .collect()
}

fn suggestion(judge: &Judge<'_>, visit: &Visit, plan: &Plan, item: &Item) -> Suggestion {
    let by_when = when_done(item.when, plan.next_visit);
    Suggestion {
        operation: item.operation.clone(),
        title: item.title.clone(),
        when: item.when,
        by_when,
        cost: words::money(crate::plan::money(item.cost), &judge.shop.currency),
        why: item.why_to_owner.clone(),
        must: item.must,
        answer: visit.answer(&item.operation).map(|answered| (answered.says, answered.name.clone())),
    }
}

/// When work is done, for the owner.
fn when_done(when: When, next_visit: Option<Date>) -> String {
    match (when, next_visit) {
        (When::Now, _) => "on this visit".to_owned(),
        (When::Agreed(day), _) => format!("on {}, as agreed", words::day(day)),
        (_, Some(next)) => format!("at the next visit, {}", words::month(next)),
        (_, None) => "at the next visit".to_owned(),
    }
}

fn in_short(visit: &Visit, assessment: &Assessment, now: &[&Item]) -> String {
    let open = |verdict: Verdict| {
        assessment.findings.iter().filter(|judged| judged.is_open() && judged.verdict == verdict).count()
    };
    // The record is no look: only what was seen or measured on this visit counts here.
    let seen = good(assessment).filter(|judged| judged.seen_on.is_some() && is_of(visit, judged)).count();
    let looked = match seen {
        0 => "On this visit nothing was looked at yet.".to_owned(),
        1 => "One thing that we looked at is as it should be.".to_owned(),
        n => format!("{n} things that we looked at are as they should be."),
    };
    if open(Verdict::StaysPut) > 0 {
        "Your car should not be driven until the work marked below is done.".to_owned()
    } else if open(Verdict::BeforeLeaving) > 0 {
        format!("{looked} Something has to be put right before the car leaves.")
    } else if !now.is_empty() {
        format!("{looked} Nothing is dangerous; some work is worth doing now.")
    } else if open(Verdict::Plan) > 0 {
        format!("{looked} Nothing has to be done now; some work is to be planned.")
    } else {
        format!("{looked} Nothing has to be done.")
    }
}

/// What was found, in a few words.
pub fn what_words(sheet: &Sheet, judged: &Judged) -> String {
    match &judged.what {
        Outcome::Measured(measured) => {
            words::value(measured.measurement.value(), measured.decimals, measured.unit)
        }
        Outcome::Seen { state } => {
            let states = sheet.checks.get(&judged.check).and_then(|check| match &check.kind {
                sheet::CheckKind::Observation(states) => Some(states),
                _ => None,
            });
            states
                .and_then(|states| states.iter().find(|known| known.id == *state))
                .map_or_else(|| state.to_string(), |state| state.says.clone())
        }
        Outcome::Record { share, since } => {
            let used = if *share < 1.995 {
                format!("{} in 100 used", (share * 100.0).round())
            } else {
                format!("used up {} times over", share.round())
            };
            match since {
                Some(since) => format!("Renewed {}, {used}", words::month(*since)),
                None => format!("Not renewed as far as the book knows, {used}"),
            }
        }
        Outcome::NotReached { reason } => reason.clone(),
        Outcome::Marked { reads, part } => match (reads, part) {
            (Some(reads), Some(part)) => format!("Reads “{reads}”: {part}"),
            (Some(reads), None) => format!("Reads “{reads}”"),
            (None, Some(part)) => format!("Fitted: {part}"),
            (None, None) => String::new(),
        },
        Outcome::Unclear => "Cannot be worked out".into(),
    }
}

/// What a finding means, for somebody who knows nothing of cars.
pub fn means(judged: &Judged) -> String {
    let carries = &judged.carries;
    if let Some(overruled) = &judged.overruled {
        return overruled.reason.clone();
    }
    match judged.verdict {
        Verdict::Sound => "As it should be.".into(),
        Verdict::Settled | Verdict::NotReached => carries.why.clone().unwrap_or_default(),
        Verdict::LookAgain => match &carries.why {
            Some(why) => format!("{why} We look again {}.", until(judged)),
            None => format!("Left on purpose; we look again {}.", until(judged)),
        },
        Verdict::Plan => {
            let why = carries.why.as_ref().map(|why| format!("{why} ")).unwrap_or_default();
            match carries.window {
                Some((from, to))
                    if from != to && from > judged.seen_on.as_ref().map_or(from, |(_, date)| *date) =>
                {
                    format!(
                        "{why}No danger now; it will need doing between {} and {}.",
                        words::month(from),
                        words::month(to)
                    )
                }
                Some((_, to)) => format!("{why}No danger now; it will need doing by {}.", words::month(to)),
                None => format!("{why}No danger now; it will need doing."),
            }
        }
        Verdict::BeforeLeaving | Verdict::StaysPut => carries.consequence.clone().unwrap_or_default(),
        Verdict::TooClose => carries.decided_by.clone().unwrap_or_default(),
    }
}

/// When it is looked at again, in words that follow "again".
pub fn until(judged: &Judged) -> String {
    judged.carries.trigger.as_ref().map_or_else(|| "at the next visit".into(), when_words)
}

/// When something falls due, in words.
pub fn when_words(when: &journal::When) -> String {
    let mut parts = Vec::new();
    if when.next_visit {
        parts.push("at the next visit".to_owned());
    }
    if let Some(date) = when.date {
        parts.push(format!("on {}", words::day(date)));
    }
    if let Some(km) = when.km {
        parts.push(format!("after {}", words::km(km)));
    }
    if let Some(years) = when.years {
        parts.push(if years == 1.0 {
            "in a year".into()
        } else if years < 1.0 {
            format!("in {}", words::count((years * 12.0).round() as usize, "month", "months"))
        } else {
            format!("in {years} years")
        });
    }
    if let Some(event) = &when.event {
        parts.push(format!(
            "with the {}",
            words::lower_first(event.trim_start_matches("the ").trim_end_matches('.'))
        ));
    }
    parts.join(" or ")
}
