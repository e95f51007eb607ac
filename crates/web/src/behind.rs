//! What may be behind what was found: a question of the data sheet, as this car answers it.

use crate::routes;
use book::OpenCar;
use maud::{Markup, html};
use workshop::explain::{Asked, At, HARDLY, Look, Next, Speaks, Weighed, by_check, likely, reason};
use workshop::words;

/// So many grounds are told at once; the others when they are asked for.
const GROUNDS: usize = 3;

/// Questions with their explanations; nothing when there are none.
pub fn behind(car: &OpenCar, asked: &[Asked]) -> Markup {
    html! {
        @if !asked.is_empty() {
            section.behind {
                h2 { "What may be behind it" }
                @for asked in asked { (question(car, asked)) }
            }
        }
    }
}

fn question(car: &OpenCar, asked: &Asked) -> Markup {
    let (told, hardly): (Vec<&Weighed>, Vec<&Weighed>) =
        asked.explanations.iter().partition(|weighed| weighed.p >= HARDLY);
    html! {
        article {
            h3 { (asked.title) }
            p.quiet { "Asked because of " (links(car, &asked.raised_by)) "." }
            @if asked.unexplained {
                p.say { "None of its explanations fits what was found. Look again at what was written before anything is taken apart." }
            }
            ol.causes {
                @for weighed in &told { (cause(car, weighed)) }
                li.none { (probability("None of these", asked.none)) }
            }
            @if !hardly.is_empty() {
                details {
                    summary { "Almost certainly not: " (words::count(hardly.len(), "other explanation", "others")) }
                    ol.causes { @for weighed in hardly { (cause(car, weighed)) } }
                }
            }
            (next(car, asked))
            @if !asked.set_aside.is_empty() {
                details {
                    summary { "Not weighed: " (words::count(asked.set_aside.len(), "finding", "findings")) }
                    ul { @for aside in &asked.set_aside { li { (aside.at.title) ": " (aside.why) "." } } }
                }
            }
        }
    }
}

fn links(car: &OpenCar, raised_by: &[At]) -> Markup {
    let address = |at: &At| routes::finding(&car.car.id, at.check.as_str(), at.place.as_str());
    html! {
        @for (n, (check, places)) in by_check(raised_by).into_iter().enumerate() {
            @if n > 0 { "; " }
            @match places[..] {
                [only] if only.place_title.is_empty() => { a href=(address(only)) { (check) } },
                _ => {
                    (check) ": "
                    @for (n, at) in places.iter().enumerate() { @if n > 0 { ", " } a href=(address(at)) { (at.place_title) } }
                }
            }
        }
    }
}

fn cause(car: &OpenCar, weighed: &Weighed) -> Markup {
    html! {
        li {
            (probability(&weighed.title, weighed.p))
            @if let Some(says) = &weighed.says { p { (says) } }
            @if weighed.speaks_for.is_empty() && weighed.speaks_against.is_empty() {
                p.quiet { "Nothing that was found speaks for it or against it." }
            }
            (grounds(car, "For", &weighed.speaks_for))
            (grounds(car, "Against", &weighed.speaks_against))
            p.quiet {
                "Beforehand " (words::chance(weighed.beforehand)) " (" (weighed.beforehand_from) ")."
                @if let Some((_, title)) = &weighed.put_right { " It would be put right by: " (title) "." }
            }
        }
    }
}

/// A probability as a bar, in words and in number.
fn probability(title: &str, p: f64) -> Markup {
    let wide = format!("{:.1}", (p * 100.0).clamp(0.5, 100.0));
    html! {
        div.cause {
            b { (title) }
            span { (likely(p)) ", " (words::chance(p)) }
            svg viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true" {
                rect.all width="100" height="4" {}
                rect.share width=(wide) height="4" {}
            }
        }
    }
}

fn grounds(car: &OpenCar, side: &str, speaks: &[Speaks]) -> Markup {
    let first = &speaks[..speaks.len().min(GROUNDS)];
    let more = &speaks[first.len()..];
    html! {
        @if !speaks.is_empty() {
            div.grounds-for {
                p.side { (side) }
                ul { @for speaks in first { (ground(car, speaks)) } }
                @if !more.is_empty() {
                    details {
                        summary { (words::count(more.len(), "more", "more")) }
                        ul { @for speaks in more { (ground(car, speaks)) } }
                    }
                }
            }
        }
    }
}

fn ground(car: &OpenCar, speaks: &Speaks) -> Markup {
    let address = routes::finding(&car.car.id, speaks.at.check.as_str(), speaks.at.place.as_str());
    let rest = speaks.says.strip_prefix(&speaks.at.title);
    html! {
        li {
            @match rest {
                Some(rest) => { a href=(address) { (speaks.at.title) } (rest) },
                None => { a href=(address) { (speaks.says) } },
            }
            " " span.quiet { (reason(speaks)) ", " (words::day(speaks.seen_on)) }
        }
    }
}

fn next(car: &OpenCar, asked: &Asked) -> Markup {
    html! {
        div.next {
            @match &asked.next {
                Next::Look(look) => (next_look(car, look)),
                Next::SureEnough => p { b { "Sure enough: " } "no other check is needed to decide it. A person who has looked does." },
                Next::SameWork { title, .. } => p { b { "No need to know which: " } "whichever of the likely ones it is, the same work puts it right: " (title) "." },
                Next::NothingToLearn => p { b { "Nothing left to look at " } "would tell enough to be worth its minutes." },
            }
        }
    }
}

fn next_look(car: &OpenCar, look: &Look) -> Markup {
    let address = routes::stop(&car.car.id, look.at.check.as_str(), look.at.place.as_str());
    html! {
        p { b { "Look next: " } a href=(address) { (look.at.title) } }
        p { (look.why) @if !look.minutes_stated { " (The data sheet does not say how long it takes; five minutes are taken.)" } }
        @if let Some(how) = &look.how { p.quiet { (how) } }
        @if let Some(when) = &look.when { p.quiet { "The car: " (when) "." } }
        @if !look.opens.is_empty() { p.quiet { "First: " (look.opens.join(", then ")) "." } }
        @if let Some(caution) = &look.caution { p.caution { (caution) } }
    }
}
