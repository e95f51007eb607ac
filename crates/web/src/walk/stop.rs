//! One stop: one check at one place. Phone first, one thumb.

use super::{is_made, next, stop_title, stops};
use crate::{
    app::App,
    error::PageError,
    layout::{Shell, invalid, problem_at, problems_above},
    routes,
    sent::{Sent, draft_field},
    sign::{self, Signer},
};
use axum::{
    extract::{Path, Query, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use book::OpenCar;
use journal::Seen as HowSeen;
use maud::{Markup, html};
use quantity::{Kind, Quantity};
use serde::Deserialize;
use sheet::{Check, CheckId, CheckKind, Place, Reading, State as Seen, Stop};
use workshop::{
    Assessment, Finding, Visit, What,
    form::{AtCheck, FormProblem, FromForm, SLIP},
    letter as words_of, mark, words,
};

#[derive(Deserialize, Default, Clone)]
pub struct StopForm {
    /// What the button said: `write`, or `skip`.
    #[serde(default)]
    pub act: String,
    #[serde(default)]
    pub value: Vec<String>,
    #[serde(default)]
    pub as_read: Option<String>,
    #[serde(default)]
    pub instrument: String,
    #[serde(default)]
    pub state: String,
    #[serde(default)]
    pub seen: String,
    #[serde(default)]
    pub note: String,
    #[serde(default)]
    pub reason: String,
}

impl StopForm {
    /// What stands written on this visit, to be put right where it is wrong.
    fn standing(car: &OpenCar, visit: &Visit, stop: &Stop<'_>) -> Self {
        let unit = match car.sheet.checks.get(stop.check).map(|check| &check.kind) {
            Some(CheckKind::Reading(reading)) => Some(reading.unit),
            _ => None,
        };
        // The unit stands beside the field.
        let typed = |value: &Quantity| match Some(value.unit()) == unit {
            true => value.digits().to_owned(),
            false => value.to_string(),
        };
        let Some(finding) = finding_at(visit, stop) else { return Self::default() };
        let form = Self { note: finding.note.clone().unwrap_or_default(), ..Self::default() };
        match &finding.what {
            What::Reading { values, instrument, seen } => Self {
                value: values.iter().map(typed).collect(),
                instrument: instrument.clone().unwrap_or_default(),
                seen: in_form(*seen).to_owned(),
                ..form
            },
            What::Look { state, seen } => {
                Self { state: state.to_string(), seen: in_form(*seen).to_owned(), ..form }
            }
            What::NotReached { reason } => Self { reason: reason.clone(), ..form },
        }
    }
}

/// The last that was said of a stop on a visit.
fn finding_at<'v>(visit: &'v Visit, stop: &Stop<'_>) -> Option<&'v Finding> {
    let here = |finding: &&Finding| finding.check == *stop.check && finding.place == *stop.place;
    visit.findings.iter().rev().find(here)
}

/// The stop just made, to say at once what it means.
#[derive(Deserialize, Default)]
pub struct After {
    check: Option<String>,
    place: Option<String>,
}

type At = Path<(String, String, String)>;

pub async fn get(
    State(app): State<App>,
    signer: Signer,
    Path((id, check, place)): At,
    Query(after): Query<After>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let Some(visit) = car.car.open_visit() else {
            return Ok(Redirect::to(&routes::walk(&id)).into_response());
        };
        let shell = Shell::new(app, &signer, "Walk")?.with_script().in_hand();
        let stops = stops(&car);
        let at = find(&stops, &check, &place)?;
        let assessment = car.judge().assess();
        let page = Page { shell: &shell, car: &car, visit, stops: &stops, at, assessment: &assessment };
        let standing = StopForm::standing(&car, visit, &stops[at]);
        Ok(shell.page(page.view(&standing, &[], &after)).into_response())
    })
    .await
}

pub async fn post(
    State(app): State<App>,
    signer: Signer,
    Path((id, check, place)): At,
    Sent { typed, message }: Sent<StopForm>,
) -> Result<Response, PageError> {
    app.ask(move |app| {
        let car = app.car(&id)?;
        let Some(visit) = car.car.open_visit() else {
            return Ok(Redirect::to(&routes::walk(&id)).into_response());
        };
        let shell = Shell::new(app, &signer, "Walk")?.with_script().in_hand();
        let stops = stops(&car);
        let at = find(&stops, &check, &place)?;
        let here = routes::stop(&id, &check, &place);
        let Some(by) = &shell.signer else { return Ok(Redirect::to(&routes::sign(&here)).into_response()) };
        match written(&car, visit, stops[at].check, stops[at].place, &typed) {
            Ok(known) => {
                // On disk before the next stop is shown.
                app.say(&message, &id, &by.id, [known])?;
                let car = app.car(&id)?;
                let visit = car.car.open_visit();
                let onward = visit.and_then(|visit| next(&stops, visit, at + 1)).map_or_else(
                    || routes::walk(&id),
                    |(_, stop)| {
                        let to = routes::stop(&id, stop.check.as_str(), stop.place.as_str());
                        format!("{to}?check={}&place={}", routes::escaped(&check), routes::escaped(&place))
                    },
                );
                Ok(Redirect::to(&onward).into_response())
            }
            Err(problems) => {
                let assessment = car.judge().assess();
                let page =
                    Page { shell: &shell, car: &car, visit, stops: &stops, at, assessment: &assessment };
                let page = shell.page(page.view(&typed, &problems, &After::default()));
                Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
            }
        }
    })
    .await
}

fn find(stops: &[Stop<'_>], check: &str, place: &str) -> Result<usize, PageError> {
    stops
        .iter()
        .position(|stop| stop.check.as_str() == check && stop.place.as_str() == place)
        .ok_or_else(|| PageError::NotThere("There is no such stop on the walk round this car.".into()))
}

/// What the form says, as it is written down.
pub fn written(
    car: &OpenCar,
    visit: &Visit,
    id: &CheckId,
    place: &Place,
    typed: &StopForm,
) -> FromForm<journal::Known> {
    let Some(check) = car.sheet.checks.get(id) else { return Err(vec![]) };
    let at = AtCheck { visit, id, check, place };
    match &check.kind {
        _ if typed.act == "skip" => at.not_reached(&typed.reason),
        CheckKind::Observation(_) => at.look(&typed.state, &typed.seen, &typed.note),
        _ => at.reading(&typed.value, typed.as_read.is_some(), &typed.instrument, &typed.seen, &typed.note),
    }
}

struct Page<'a> {
    shell: &'a Shell,
    car: &'a OpenCar,
    visit: &'a Visit,
    stops: &'a [Stop<'a>],
    at: usize,
    assessment: &'a Assessment,
}

impl Page<'_> {
    fn stop(&self) -> &Stop<'_> {
        &self.stops[self.at]
    }

    fn view(&self, typed: &StopForm, problems: &[FormProblem], after: &After) -> Markup {
        let stop = self.stop();
        let id = &self.car.car.id;
        let here = routes::stop(id, stop.check.as_str(), stop.place.as_str());
        let Some(check) = self.car.sheet.checks.get(stop.check) else { return html! {} };
        let made = self.stops.iter().filter(|stop| is_made(self.visit, stop)).count();
        html! {
            div.stop {
                header.walk-head {
                    a href=(routes::walk(id)) { (self.car.car.title) @if let Some(tag) = &self.car.car.tag { ", " (tag) } " · the walk" }
                    b { (self.at + 1) " of " (self.stops.len()) }
                    progress max=(self.stops.len()) value=(made) aria-label={ "Stop " (self.at + 1) " of " (self.stops.len()) ", " (made) " made" } {}
                }
                (self.just_made(after))
                h1 { (stop_title(self.car, stop)) }
                p.check { (check.title) }
                @if let Some(how) = &check.how { p.how { (how) } }
                @if let Some(caution) = &check.caution { p.caution { b { "Care: " } (caution) } }
                (self.last_time(stop))
                @if self.shell.signer.is_none() { (sign::ask(&self.shell.people, &here)) } @else {
                    (problems_above(problems))
                    form.stop-form method="post" action=(here) data-voice={ (here) "/voice" } data-stands=[problems.is_empty().then(|| self.stands())] {
                        (draft_field(&self.shell.draft))
                        @match &check.kind {
                            CheckKind::Observation(states) => (states_form(states, typed, problems)),
                            CheckKind::Reading(reading) => (self.reading_form(reading, typed, problems)),
                            _ => {}
                        }
                        (how_seen(typed, problems))
                        div.foot-acts {
                            div.voice data-says aria-live="polite" {}
                            button.go name="act" value="write" { (self.onward()) }
                        }
                    }
                    details.skip-form open[typed.act == "skip"] {
                        summary { "Skip: cannot be reached" }
                        form method="post" action=(here) {
                            (draft_field(&self.shell.draft))
                            input type="hidden" name="act" value="skip";
                            label for="reason" { "Why" }
                            input id="reason" name="reason" value=(typed.reason) aria-invalid=[invalid(problems, "reason")] aria-describedby="reason-problem";
                            (problem_at(problems, "reason", "reason-problem"))
                            button { "Write it down and go on" }
                        }
                    }
                }
                @if let Some(normal) = &check.normal { p.normal { b { "Normal: " } (normal) } }
                p.help { a href=(routes::thing(self.car.sheet.id.as_str(), "check", self.stop().check.as_str())) { "On the sheet" } }
                nav.beside aria-label="Stops beside this one" {
                    @if let Some(before) = self.at.checked_sub(1).and_then(|at| self.stops.get(at)) {
                        a href=(routes::stop(id, before.check.as_str(), before.place.as_str())) { "Back: " (self.title_from_here(before)) }
                    }
                    @if let Some(beyond) = self.stops.get(self.at + 1) {
                        a href=(routes::stop(id, beyond.check.as_str(), beyond.place.as_str())) { "Leave for later: " (self.title_from_here(beyond)) }
                    }
                }
            }
        }
    }

    /// The entry that stands written of this stop on this visit; empty where there is none.
    fn stands(&self) -> String {
        let finding = finding_at(self.visit, self.stop());
        finding.map_or_else(String::new, |finding| finding.entry.to_string())
    }

    /// What the button leads to.
    fn onward(&self) -> String {
        let later = |stop: &Stop<'_>| stop.check != self.stop().check || stop.place != self.stop().place;
        match next(self.stops, self.visit, self.at + 1).filter(|(_, stop)| later(stop)) {
            Some((_, stop)) => format!("Next: {}", self.title_from_here(&stop)),
            None => "Write it down".into(),
        }
    }

    /// Another stop as it is called from here: by its check when the part is the same.
    fn title_from_here(&self, stop: &Stop<'_>) -> String {
        let of = |stop: &Stop<'_>| self.car.sheet.checks.get(stop.check);
        let same = of(stop).map(|check| &check.component) == of(self.stop()).map(|check| &check.component);
        match of(stop) {
            Some(check) if same && stop.place == self.stop().place => check.title.clone(),
            _ => stop_title(self.car, stop),
        }
    }

    /// What the stop before means, said at once.
    fn just_made(&self, after: &After) -> Markup {
        let judged =
            after.check.as_deref().zip(after.place.as_deref()).and_then(|(check, place)| {
                self.assessment.finding(&CheckId::from(check), &Place::from(place))
            });
        html! {
            @if let Some(judged) = judged {
                div.say role="status" {
                    p { "Written: " (words_of::part_title(&self.car.sheet, judged)) ", " (words_of::what_words(&self.car.sheet, judged)) }
                    (letter::verdict(judged.verdict))
                    @let means = words_of::means(judged);
                    @if !means.is_empty() { p { (means) } }
                    @if let Some(question) = &judged.question { p.question { b { "To ask: " } (question) } }
                    p { a href=(routes::finding(&self.car.car.id, judged.check.as_str(), judged.place.as_str())) { "What it rests on" } }
                }
            }
        }
    }

    /// The last thing that was said here, with its mark.
    fn last_time(&self, stop: &Stop<'_>) -> Markup {
        let Some(judged) = self.assessment.finding(stop.check, stop.place) else {
            return html! { div.bar data-bar {} p.last { "Nothing is written here yet." } };
        };
        let again = is_made(self.visit, stop);
        html! {
            @if let Some(drawn) = mark(&self.car.sheet, judged) { div.bar data-bar { (letter::mark(&drawn)) } } @else { div.bar data-bar {} }
            p.last {
                @if again { "On this visit: " } @else { "Last time: " }
                (words_of::what_words(&self.car.sheet, judged))
                @if let Some((_, date)) = judged.seen_on.as_ref().filter(|_| !again) { ", " (words::day(*date)) }
                ". " (letter::verdict(judged.verdict))
            }
        }
    }

    fn reading_form(&self, reading: &Reading, typed: &StopForm, problems: &[FormProblem]) -> Markup {
        let first = typed.value.first().map_or("", String::as_str);
        let more = 9.min(reading.repeats.max(3) as usize - 1);
        html! {
            div.reading-field {
                label for="value" { "Value, " (reading.unit) }
                div { input id="value" name="value" inputmode="decimal" autocomplete="off" value=(first)
                    aria-invalid=[invalid(problems, "value")] aria-describedby="value-problem" data-value;
                    span.unit { (reading.unit) } }
                (problem_at(problems, "value", "value-problem"))
                @if problems.iter().any(|problem| problem.field == SLIP) {
                    label.check { input type="checkbox" name="as_read" value="yes"; "It was read like this" }
                }
            }
            div.pad data-pad hidden {
                @for key in ["7", "8", "9", "4", "5", "6", "1", "2", "3", ",", "0"] { button type="button" data-key=(key) { (key) } }
                @if goes_below_nothing(reading) { button type="button" data-key="sign" aria-label="Change the sign" { "±" } }
                button type="button" data-key="back" aria-label="Delete the last figure" { "⌫" }
            }
            details.more {
                summary { "More readings, another instrument" }
                div.repeats {
                    @for n in 0..more {
                        label { (n + 2) ". reading" input name="value" inputmode="decimal" autocomplete="off" value=(typed.value.get(n + 1).map_or("", String::as_str)); }
                    }
                }
                label for="instrument" { "Measured with" }
                select id="instrument" name="instrument" {
                    @for (id, title) in self.instruments(reading) {
                        option value=(id) selected[typed.instrument == id] { (title) }
                    }
                }
            }
        }
    }

    /// The instruments that may be used here, the check's own first: the workshop's by name, then kinds.
    fn instruments(&self, reading: &Reading) -> Vec<(String, String)> {
        let kinds: Vec<_> = std::iter::once(&reading.instrument).chain(&reading.also).collect();
        let title = |kind: &sheet::InstrumentId| {
            self.car.sheet.instruments.get(kind).map_or_else(|| kind.to_string(), |known| known.title.clone())
        };
        let mut list = Vec::new();
        for kind in kinds {
            let owned = self.car.shop.instruments.iter().filter(|(_, owned)| owned.kind == *kind);
            let before = list.len();
            for (id, owned) in owned {
                let overdue = owned.due.is_some_and(|due| due < self.car.today);
                let note = if overdue { ", calibration overdue" } else { "" };
                list.push((id.clone(), format!("{} {id}{note}", title(kind))));
            }
            if list.len() == before {
                list.push((kind.to_string(), title(kind)));
            }
        }
        list
    }
}

fn states_form(states: &[Seen], typed: &StopForm, problems: &[FormProblem]) -> Markup {
    html! {
        fieldset.states aria-describedby="state-problem" {
            legend { "What you see" }
            @for state in states {
                label {
                    input type="radio" name="state" value=(state.id) checked[typed.state == state.id.as_str()];
                    span { (state.says) }
                    div.meaning { (letter::verdict(state.means)) @if let Some(why) = &state.why { p { (why) } } }
                }
            }
            (problem_at(problems, "state", "state-problem"))
        }
    }
}

/// How well a thing was seen: as the form sends it, and in words.
const SEEN: [(HowSeen, &str, &str); 6] = [
    (HowSeen::Clear, "clear", "Clearly, in place"),
    (HowSeen::Open, "open", "Open and clean"),
    (HowSeen::Part, "part", "Only in part"),
    (HowSeen::Dirt, "dirt", "Under dirt"),
    (HowSeen::Feel, "feel", "By feel only"),
    (HowSeen::Told, "told", "Told by somebody"),
];

fn in_form(seen: HowSeen) -> &'static str {
    SEEN.iter().find(|(known, ..)| *known == seen).map_or("clear", |(_, id, _)| id)
}

fn how_seen(typed: &StopForm, problems: &[FormProblem]) -> Markup {
    let said = !typed.note.is_empty() || !["", "clear"].contains(&typed.seen.as_str());
    html! {
        details.more open[said || invalid(problems, "seen").is_some()] {
            summary { "How well seen, a note" }
            label for="seen" { "How well it could be seen" }
            select id="seen" name="seen" aria-describedby="seen-problem" {
                @for (_, id, says) in SEEN { option value=(id) selected[typed.seen == id] { (says) } }
            }
            (problem_at(problems, "seen", "seen-problem"))
            label for="note" { "Note" }
            textarea id="note" name="note" rows="2" { (typed.note) }
        }
    }
}

/// Whether a reading may well have a minus before it.
fn goes_below_nothing(reading: &Reading) -> bool {
    let limit = reading.scale.limit.as_ref();
    let known = [
        reading.scale.new.as_ref().map(|new| new.value),
        limit.and_then(|limit| limit.min),
        limit.and_then(|limit| limit.max),
    ];
    reading.unit.kind() == Kind::Temperature || known.into_iter().flatten().any(|value| value < 0.0)
}

/// Whether a check is a reading: only those have a voice while they are typed.
pub fn is_reading(check: &Check) -> bool {
    matches!(check.kind, CheckKind::Reading(_))
}
