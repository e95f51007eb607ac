//! `witnessmark book redraw` and `book verify`.

use super::print_json;
use crate::output::say;
use crate::{
    arguments::{BookCommand, OfBook},
    error::Failed,
};
use ::book::Book;
use serde_json::json;
use workshop::words::count;

pub fn run(command: &BookCommand) -> Result<(), Failed> {
    match command {
        BookCommand::Redraw(of) => redraw(of),
        BookCommand::Verify(of) => verify(of),
    }
}

fn redraw(of: &OfBook) -> Result<(), Failed> {
    let redrawn = Book::open(&of.book.folder)?.redraw()?;
    if of.output.json {
        print_json(&json!(redrawn));
    } else {
        let changed = match redrawn.changed.len() {
            0 => "all as they were".to_owned(),
            n => format!("{} changed: {}", count(n, "car", "cars"), redrawn.changed.join(", ")),
        };
        say!(
            "{} and {} drawn, {changed}.",
            count(redrawn.cards, "card", "cards"),
            count(redrawn.lives, "service life", "service lives")
        );
    }
    Ok(())
}

fn verify(of: &OfBook) -> Result<(), Failed> {
    let verified = Book::open(&of.book.folder)?.verify()?;
    if of.output.json {
        print_json(&json!(verified));
    } else if verified.problems.is_empty() {
        say!(
            "The journal is whole: {} in {}.",
            count(verified.entries, "entry", "entries"),
            count(verified.streams, "stream", "streams")
        );
    }
    if verified.problems.is_empty() { Ok(()) } else { Err(Failed::NotWhole(verified.problems)) }
}
