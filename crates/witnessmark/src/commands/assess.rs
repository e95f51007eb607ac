//! `witnessmark assess CAR`: what is known of a car and what it means.

use super::{open_car, print_json, rounded};
use crate::output::say;
use crate::{arguments::OfCar, error::Failed};
use serde_json::{Value, json};
use workshop::{Assessment, Judged, Outcome, letter};

pub fn run(of: &OfCar) -> Result<(), Failed> {
    let car = open_car(of)?;
    let assessment = car.judge().assess();
    if of.output.json {
        print_json(&document(&assessment));
        return Ok(());
    }
    say!("{}, as of {}", car.car.title, workshop::words::day(assessment.today));
    if let Some(next) = &assessment.next_visit {
        let km = workshop::words::about_km(next.km[next.km.len() / 2]);
        say!("next visit forecast for {}, at {km}", workshop::words::month(next.date));
    }
    for judged in &assessment.findings {
        let (part, what) = (letter::part_title(&car.sheet, judged), letter::what_words(&car.sheet, judged));
        match judged.put_right {
            None => say!("\n{}: {part}\n  {what}", judged.verdict.title()),
            Some(_) => say!("\nPut right: {part}\n  found: {what}; {}", judged.verdict.title()),
        }
        for reason in &judged.reasons {
            let source = reason.source.as_ref().map(|source| format!(" [{source}]")).unwrap_or_default();
            say!("  - {}{source}", reason.says);
        }
        if let Some(overruled) = &judged.overruled {
            say!(
                "  - {} decided otherwise than {}: {}",
                overruled.by,
                judged.computed.title(),
                overruled.reason
            );
        }
    }
    Ok(())
}

fn document(assessment: &Assessment) -> Value {
    json!({
        "car": assessment.car,
        "visit": assessment.visit,
        "today": assessment.today,
        "next_visit": assessment.next_visit.as_ref().map(|next| json!({
            "date": next.date,
            "km": next.km.map(f64::round),
        })),
        "findings": assessment.findings.iter().map(finding).collect::<Vec<_>>(),
    })
}

fn finding(judged: &Judged) -> Value {
    let (value, unit, u) = match &judged.what {
        Outcome::Measured(measured) => (
            json!(rounded(measured.measurement.value())),
            json!(measured.unit),
            json!(rounded(measured.measurement.u())),
        ),
        Outcome::Seen { state } => (json!(state), Value::Null, Value::Null),
        Outcome::Record { share, .. } => (json!(rounded(*share)), json!("1"), Value::Null),
        Outcome::Marked { reads, .. } => (json!(reads), Value::Null, Value::Null),
        Outcome::NotReached { .. } | Outcome::Unclear => (Value::Null, Value::Null, Value::Null),
    };
    let part = match &judged.what {
        Outcome::Marked { part, .. } => part.as_ref(),
        _ => None,
    };
    let carries = &judged.carries;
    json!({
        "check": judged.check,
        "place": judged.place,
        "verdict": judged.verdict,
        "computed": judged.computed,
        "overruled": judged.overruled.as_ref().map(|o| json!({ "by": o.by, "reason": o.reason })),
        "value": value,
        "part": part,
        "unit": unit,
        "u": u,
        "p_beyond": judged.p_beyond.map(rounded),
        "p_next": judged.p_next.map(rounded),
        "visit": judged.seen_on.as_ref().map(|(visit, _)| visit),
        "why": carries.why,
        "trigger": carries.trigger,
        "window": carries.window.map(|(from, to)| json!({ "from": from, "to": to })),
        "consequence": carries.consequence,
        "decided_by": carries.decided_by,
        "question": judged.question,
        "put_right": judged.put_right,
        "reasons": judged.reasons,
    })
}
