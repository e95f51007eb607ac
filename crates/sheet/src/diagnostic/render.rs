//! Problems as text for a terminal or a page of fixed width:
//!
//! ```text
//! limit of `front-disc-thickness` is in N·m, its reading is in mm
//! brakes.toml:14:17   limit = { min = "23.0 Nm" }
//!                                     ^^^^^^^^^ write a length, such as "23.0 mm"
//! ```

use super::{Fault, Location, Problem};
use std::fmt::{self, Write};

/// Characters of a long line that are shown before and after the start of what is pointed at.
const BEFORE: usize = 60;
const AFTER: usize = 80;

pub(super) fn problems<F: Fault>(problems: &[Problem<F>], f: &mut fmt::Formatter<'_>) -> fmt::Result {
    for problem in problems {
        writeln!(f, "{problem}\n")?;
    }
    match problems.len() {
        1 => f.write_str("1 problem"),
        n => write!(f, "{n} problems"),
    }
}

pub(super) fn problem<F: Fault>(problem: &Problem<F>, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    write_plain(f, &problem.message())?;
    place(f, &problem.at, problem.help().as_deref())?;
    problem.second.as_ref().map_or(Ok(()), |second| place(f, second, Some(problem.fault.second())))
}

fn place(f: &mut fmt::Formatter<'_>, at: &Location, remark: Option<&str>) -> fmt::Result {
    if at.is_whole() {
        f.write_char('\n')?;
        return write_plain(f, format!("{}   {}", at.file(), remark.unwrap_or_default()).trim_end());
    }
    let place = format!("{}:{}:{}   ", at.file(), at.line(), at.column());
    let (before, within, after) = at.parts();
    let before = last(before.trim_start(), BEFORE);
    let within = first(within, AFTER);
    let after = first(after, AFTER.saturating_sub(within.text.chars().count()));
    f.write_char('\n')?;
    write_plain(f, &place)?;
    write_plain(f, &format!("{before}{within}"))?;
    if !within.cut {
        write_plain(f, after.to_string().trim_end())?;
    }
    f.write_char('\n')?;
    // A tab is as wide here as in the line above.
    let blank = |c: char| if c == '\t' { '\t' } else { ' ' };
    let indent: String = place.chars().chain(before.to_string().chars()).map(blank).collect();
    write!(f, "{indent}{}", "^".repeat(within.text.chars().count().max(1)))?;
    match remark {
        Some(remark) => {
            f.write_char(' ')?;
            write_plain(f, remark)
        }
        None => Ok(()),
    }
}

/// A piece of a line, and whether there was more of it.
struct Piece<'a> {
    text: &'a str,
    cut: bool,
    at_start: bool,
}

fn first(text: &str, count: usize) -> Piece<'_> {
    let end = text.char_indices().nth(count).map_or(text.len(), |(at, _)| at);
    Piece { text: &text[..end], cut: end < text.len(), at_start: false }
}

fn last(text: &str, count: usize) -> Piece<'_> {
    let start = count.checked_sub(1).and_then(|n| text.char_indices().rev().nth(n)).map_or(0, |(at, _)| at);
    Piece { text: &text[start..], cut: start > 0, at_start: true }
}

impl fmt::Display for Piece<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.cut, self.at_start) {
            (true, true) => write!(f, "…{}", self.text),
            (true, false) => write!(f, "{}…", self.text),
            (false, _) => f.write_str(self.text),
        }
    }
}

/// Text of others, with every control character made visible, so that it cannot steer a terminal.
fn write_plain(f: &mut fmt::Formatter<'_>, text: &str) -> fmt::Result {
    text.chars().try_for_each(|c| f.write_char(if c.is_control() && c != '\t' { '\u{fffd}' } else { c }))
}
