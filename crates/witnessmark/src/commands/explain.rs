//! `witnessmark explain CAR`: what may be behind what was found, and what to look at next.

use super::{open_car, print_json, rounded};
use crate::output::say;
use crate::{arguments::Explain as Arguments, error::Failed};
use jiff::civil::Date;
use serde_json::{Value, json};
use workshop::explain::{
    Asked, At, HARDLY, Look, Next, Speaks, Weighed, Which, by_check, earlier, explain, likely, reason,
};
use workshop::words;

pub fn run(of: &Arguments) -> Result<(), Failed> {
    let car = open_car(&of.of)?;
    let judge = car.judge();
    let asked = explain(&judge, if of.all { Which::All } else { Which::Raised });
    let earlier = earlier(&judge);
    if of.of.output.json {
        let open = asked.iter().map(|asked| question(asked, judge.today, asked.is_raised()));
        let answered = earlier.iter().map(|(day, asked)| question(asked, *day, false));
        print_json(&json!({
            "car": car.car.id,
            "today": judge.today,
            "questions": open.chain(answered).collect::<Vec<_>>(),
        }));
        return Ok(());
    }
    say!("{}, as of {}", car.car.title, words::day(judge.today));
    if asked.is_empty() {
        say!(
            "{}",
            match (car.sheet.questions.is_empty(), of.all) {
                (true, _) => "The data sheet asks no questions.",
                (false, false) => "Nothing that was found raises a question of the data sheet.",
                (false, true) => "Nothing that was found bears on a question of the data sheet.",
            }
        );
    }
    asked.iter().for_each(print);
    if !earlier.is_empty() {
        say!("\nAsked before, and no longer:");
    }
    for (day, asked) in &earlier {
        let best = match asked.explanations.first() {
            Some(best) if best.p > asked.none => {
                format!("{}: {}, {}", best.title, likely(best.p), words::chance(best.p))
            }
            _ => "none of its explanations fitted".into(),
        };
        say!("  {}: {} {best}", words::day(*day), asked.title);
    }
    if let Some((day, _)) = earlier.first() {
        say!("`--today {day}` tells what spoke for it then.");
    }
    Ok(())
}

fn print(asked: &Asked) {
    say!("\n{}", asked.title);
    if !asked.is_raised() {
        say!("  nothing raises it");
    }
    for (check, places) in by_check(&asked.raised_by) {
        let places: Vec<&str> = places.iter().map(|at| at.place_title.as_str()).collect();
        match places.join(", ").as_str() {
            "" => say!("  asked because of: {check}"),
            places => say!("  asked because of: {check}: {places}"),
        }
    }
    if asked.unexplained {
        say!("  None of its explanations fits what was found.");
    }
    for weighed in &asked.explanations {
        say!("\n  {}: {}, {}", weighed.title, likely(weighed.p), words::chance(weighed.p));
        // Of what is almost certainly not so, what speaks most against it is enough.
        let (fors, againsts) = if weighed.p < HARDLY { (0, 1) } else { (usize::MAX, usize::MAX) };
        let told = |side: &str, speaks: &Speaks| say!("    {side}, {}: {}", reason(speaks), speaks.says);
        weighed.speaks_for.iter().take(fors).for_each(|speaks| told("for", speaks));
        weighed.speaks_against.iter().take(againsts).for_each(|speaks| told("against", speaks));
        say!("    beforehand {} [{}]", words::chance(weighed.beforehand), weighed.beforehand_from);
        if let Some((_, title)) = weighed.put_right.as_ref().filter(|_| weighed.p >= HARDLY) {
            say!("    put right by: {title}");
        }
    }
    say!("\n  None of these: {}, {}", likely(asked.none), words::chance(asked.none));
    match &asked.next {
        Next::Look(look) => print_look(look),
        Next::SureEnough => say!("  next: nothing; this is sure enough."),
        Next::SameWork { title, .. } => {
            say!("  next: nothing; whichever it is, the same work puts it right: {title}");
        }
        Next::NothingToLearn => say!("  next: nothing that is left to look at would tell enough."),
    }
    asked.set_aside.iter().for_each(|aside| say!("  not weighed: {}, {}", aside.at.title, aside.why));
}

fn print_look(look: &Look) {
    say!("  next: {}", look.at.title);
    say!("    {}", look.why);
    if let Some(when) = &look.when {
        say!("    {when}");
    }
    look.opens.iter().for_each(|step| say!("    first: {step}"));
    if let Some(caution) = &look.caution {
        say!("    caution: {caution}");
    }
}

/// A question as it stands on a day, or stood on one.
fn question(asked: &Asked, on: Date, open: bool) -> Value {
    let (next_check, stop) = match &asked.next {
        Next::Look(look) => (Some(next_check(look)), None),
        Next::SureEnough => (None, Some("sure-enough")),
        Next::SameWork { .. } => (None, Some("same-work")),
        Next::NothingToLearn => (None, Some("nothing-to-learn")),
    };
    json!({
        "id": asked.id,
        "open": open,
        "on": on,
        "title": asked.title,
        "raised_by": asked.raised_by.iter().map(at).collect::<Vec<_>>(),
        "explanations": asked.explanations.iter().map(explanation).collect::<Vec<_>>(),
        "none": rounded(asked.none),
        "none_beforehand": rounded(asked.none_beforehand),
        "unexplained": asked.unexplained,
        "weighed": asked.weighed,
        "set_aside": asked.set_aside.iter().map(|aside| json!({
            "check": aside.at.check,
            "place": aside.at.place,
            "why": aside.why,
        })).collect::<Vec<_>>(),
        "next_check": next_check,
        "stop": stop,
        "source": asked.source,
    })
}

fn explanation(weighed: &Weighed) -> Value {
    let each = |all: &[Speaks]| all.iter().map(speaks).collect::<Vec<_>>();
    json!({
        "id": weighed.id,
        "title": weighed.title,
        "says": weighed.says,
        "p": rounded(weighed.p),
        "beforehand": rounded(weighed.beforehand),
        "beforehand_from": weighed.beforehand_from,
        "for": each(&weighed.speaks_for),
        "against": each(&weighed.speaks_against),
        "put_right": weighed.put_right.as_ref().map(|(operation, _)| operation),
        "source": weighed.source,
    })
}

fn speaks(speaks: &Speaks) -> Value {
    json!({
        "check": speaks.at.check,
        "place": speaks.at.place,
        "seen_on": speaks.seen_on,
        "ratio": rounded(speaks.ratio),
        "says": speaks.says,
    })
}

fn next_check(look: &Look) -> Value {
    json!({
        "check": look.at.check,
        "place": look.at.place,
        "title": look.at.title,
        "bits": rounded(look.bits),
        "minutes": look.minutes,
        "minutes_stated": look.minutes_stated,
        "set_up_minutes": rounded(look.set_up_minutes),
        "opens": look.opens,
        "when": look.when,
        "why": look.why,
    })
}

fn at(at: &At) -> Value {
    json!({ "check": at.check, "place": at.place, "title": at.title })
}
