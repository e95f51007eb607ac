//! The letter itself, part by part, in the order in which an owner wants to know.

use crate::{mark, verdict};
use journal::Answer;
use maud::{Markup, html};
use std::collections::BTreeMap;
use workshop::letter::{Fine, Found, Left, Letter, Suggestion};
use workshop::words;

/// How the owner answers.
pub enum Answers<'a> {
    /// On paper: boxes to tick and a line to sign.
    ToWrite,
    /// On the page: where the answers are sent, what goes with them unseen, and what had been typed, by field, when they were
    /// refused.
    ToSend { action: &'a str, unseen: Markup, typed: &'a BTreeMap<String, String>, problem: Option<&'a str> },
    /// As they were given.
    Given,
}

/// The letter as one article.
pub fn body(letter: &Letter, answers: Answers<'_>) -> Markup {
    html! {
        article.letter {
            header {
                p.from { (letter.workshop) }
                h1 { (letter.car) }
                p.meta { (words::day(letter.date)) " · " (letter.odometer) }
                @if let Some(asked_for) = &letter.asked_for { p.asked { "You asked: “" (asked_for) "”" } }
                p.short { (letter.in_short) }
            }
            (fine(&letter.fine))
            @if letter.not_looked_at > 0 {
                p.why { (words::count(letter.not_looked_at, "thing", "things")) " that were in order when last seen were not looked at this time." }
            }
            @if !letter.done.is_empty() {
                section { h2 { "What we did" } ul { @for done in &letter.done { li { (done) } } } }
            }
            (found(&letter.found))
            (suggestions(letter, &answers))
            (left(&letter.left))
            (next_time(letter))
            footer {
                @if let Some(says) = &letter.says { p.small { (says) } }
                p.small {
                    "Chances are worked out from what was measured on this car, the life of its kind and how far it is driven. "
                    "They help to choose; a person has looked and decided. The maker’s data and the law of your country come first."
                }
            }
        }
    }
}

fn fine(groups: &[Fine]) -> Markup {
    let count: usize = groups.iter().map(|group| group.items.len()).sum();
    html! {
        @if count > 0 {
            section.fine {
                h2 { "What is fine" }
                @for group in groups {
                    div.group {
                        h3 { (group.system) }
                        p {
                            @for (i, item) in group.items.iter().enumerate() {
                                @if i > 0 { "; " }
                                span { (item.title) ": " (first_lower(&item.detail)) }
                                @if let Some(why) = &item.why { span.why { " – " (first_lower(why.trim_end_matches('.'))) } }
                            }
                            "."
                        }
                    }
                }
            }
        }
    }
}

fn found(found: &[Found]) -> Markup {
    html! {
        @if !found.is_empty() {
            section.found {
                h2 { "What we found" }
                @for found in found {
                    div.finding {
                        h3 { (found.title) }
                        p.check { (found.check) ": " b { (first_lower(&found.says)) } }
                        @if let Some(drawn) = &found.mark { (mark(drawn)) }
                        p { (verdict(found.verdict)) @if found.put_right { span.done { "put right on this visit" } } }
                        p { (found.means) }
                    }
                }
            }
        }
    }
}

fn suggestions(letter: &Letter, answers: &Answers<'_>) -> Markup {
    let suggestions = &letter.suggestions;
    let lines = html! {
        @for (i, suggestion) in suggestions.iter().enumerate() {
            div.suggestion {
                h3 { (suggestion.title) }
                p.when { (suggestion.by_when) ", " b { (suggestion.cost) } @if suggestion.must { " · must not wait" } }
                p { (suggestion.why) }
                // The owner answers once to work that is done at several places.
                @match suggestions[..i].iter().find(|before| before.operation == suggestion.operation) {
                    Some(before) => p.given { "Goes with your answer on: " (before.title) },
                    None => (answer(suggestion, answers)),
                }
            }
        }
        @if letter.costs.is_some() || !letter.later.is_empty() { div.costs { (costs(letter)) } }
    };
    html! {
        @if !suggestions.is_empty() {
            section.suggest {
                h2 { "What we suggest" }
                @match answers {
                    Answers::ToSend { action, unseen, typed, problem } => {
                        form method="post" action=(action) {
                            (unseen)
                            (lines)
                            div.sign {
                                @if let Some(problem) = problem { p.problem role="alert" id="name-problem" { (problem) } }
                                label for="name" { "Your name" }
                                input id="name" name="name" value=(typed.get("name").map_or("", String::as_str)) autocomplete="name" required
                                    aria-invalid=[problem.map(|_| "true")] aria-describedby=[problem.map(|_| "name-problem")];
                                button.go { "Send my answers" }
                            }
                        }
                    }
                    Answers::ToWrite => { (lines) p.sign { "Name, date: ____________________________" } }
                    Answers::Given => (lines)
                }
            }
        }
    }
}

/// What it comes to: now, later, together and apart.
fn costs(letter: &Letter) -> Markup {
    html! {
        @if let Some(costs) = &letter.costs {
            p { "Everything for now, done together: " b { (costs.together) } " (" (costs.hours) " of work and the parts)." }
            @if let Some(access) = &costs.access {
                p { b { (access) } " of that is for taking off what is in the way and putting it back, once for everything; the lines above are without it." }
            }
            @if let Some(saved) = &costs.saved {
                p { "One by one, if all of it were needed later, it would be " (costs.apart) ": sharing the work saves " b { (saved) } "." }
            }
            @if let Some(waiting) = &costs.waiting {
                p { "Doing none of it now is expected to cost about " b { (waiting) } " more, for what may fail first and for opening up twice. That is an average: many cars pay little, a few a great deal." }
            }
            @if let Some(ceiling) = &costs.ceiling { p { "You set a ceiling of " (ceiling) "." } }
        }
        @for later in &letter.later {
            p { "What waits: " (later.jobs) " " (later.when) ", then about " b { (later.cost) } " (" (later.hours) ") at today’s prices." }
        }
    }
}

const CHOICES: [(Answer, &str, &str); 3] = [
    (Answer::Yes, "yes", "Yes"),
    (Answer::NotNow, "not-now", "Not now"),
    (Answer::AskMe, "ask-me", "Ask me"),
];

fn answer(suggestion: &Suggestion, answers: &Answers<'_>) -> Markup {
    let given = suggestion.answer.as_ref();
    html! {
        @if let Some((says, name)) = given {
            @let word = CHOICES.iter().find(|(answer, ..)| answer == says).map_or("", |(.., word)| word);
            p.given { "Answer: " b { (word) } ", " (name) }
        }
        @match answers {
            Answers::ToSend { typed, .. } => {
                @let field = format!("answer.{}", suggestion.operation);
                fieldset.answer {
                    legend { "Your answer" span.hidden { " on: " (suggestion.title) } }
                    @for (answer, id, word) in CHOICES {
                        label {
                            input type="radio" name=(field) value=(id)
                                checked[match typed.get(&field) { Some(says) => says == id, None => given.is_some_and(|(says, _)| *says == answer) }];
                            (word)
                        }
                    }
                }
            }
            Answers::ToWrite if given.is_none() => {
                p.boxes { @for (.., word) in CHOICES { span { i aria-hidden="true" {} (word) } } }
            }
            _ => {}
        }
    }
}

fn left(left: &[Left]) -> Markup {
    html! {
        @if !left.is_empty() {
            section.left {
                h2 { "What we left, and why" }
                ul { @for left in left { li { b { (left.title) } ": " (left.why) } } }
            }
        }
    }
}

fn next_time(letter: &Letter) -> Markup {
    html! {
        @if !letter.next_time.is_empty() || letter.next_visit.is_some() {
            section.next {
                h2 { "Next time" }
                @if let Some(next) = &letter.next_visit { p { "We expect you about " (next) "." } }
                @if !letter.next_time.is_empty() {
                    p { "Then we look at:" }
                    ul { @for item in &letter.next_time { li { (item) } } }
                }
            }
        }
    }
}

/// What follows a colon begins small, unless it is a number or a name in capitals.
fn first_lower(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), chars.next()) {
        (Some(first), Some(second)) if second.is_uppercase() => {
            format!("{first}{}", &text[first.len_utf8()..])
        }
        (Some(first), _) => first.to_lowercase().chain(text.chars().skip(1)).collect(),
        (None, _) => String::new(),
    }
}
