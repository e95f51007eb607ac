//! Mistakes in the writing itself, as the TOML parser finds them.

use super::{Reader, TableFault, value::shortened};
use crate::diagnostic::{Fault, Span};
use std::{collections::HashSet, ops::Range};
use toml::de::{DeTable, DeValue, Error};

/// A file with more mistakes than this is probably no TOML at all.
const MOST: usize = 100;

/// Records the mistakes of one file, and gives the places where they are, in order.
pub(super) fn record<F: Fault + From<TableFault>>(
    file: usize,
    text: &str,
    tree: &DeTable<'_>,
    errors: &[Error],
    reader: &Reader<F>,
) -> Vec<Range<usize>> {
    if errors.is_empty() {
        return Vec::new();
    }
    let layout = Layout::of(text, tree);
    let twice: HashSet<usize> =
        errors.iter().filter(|e| is_duplicate(e)).filter_map(|e| layout.header_around(&place(e))).collect();
    // Keys of a table that is itself there twice need no mention of their own.
    let told = errors.iter().filter(|error| {
        let at = place(error);
        let own_header = layout.header_around(&at);
        !(is_duplicate(error)
            && own_header.is_none()
            && layout.header_above(at.start).is_some_and(|n| twice.contains(&n)))
    });
    let mut count = 0;
    for error in told {
        let at = place(error);
        let mut first = None;
        let fault = if is_duplicate(error) {
            let what;
            (what, first) = layout.duplicate(&at, tree);
            TableFault::Duplicate { what: format!("`{}`", shortened(what)) }
        } else {
            if !layout.within_a_line(&at) {
                reader.damaged(file);
            }
            mistake(text, error)
        };
        count += 1;
        if count > MOST {
            continue;
        }
        let at = Span { file, bytes: at };
        match first {
            Some(first) => reader.fault_between(fault, at, Span { file, bytes: first }),
            None => reader.fault(fault, at),
        }
    }
    if count > MOST {
        let end = text.len();
        reader.fault(TableFault::MoreSyntax { count: count - MOST }, Span { file, bytes: end..end });
    }
    let mut places: Vec<_> = errors.iter().map(place).collect();
    places.sort_by_key(|place| place.end);
    places
}

fn place(error: &Error) -> Range<usize> {
    error.span().unwrap_or(0..0)
}

fn is_duplicate(error: &Error) -> bool {
    error.message() == "duplicate key"
}

/// The parser's words, with its expectation as the help; the commonest mistake in plainer words.
fn mistake(text: &str, error: &Error) -> TableFault {
    let (message, expected) = match error.message().split_once(", expected ") {
        Some((message, expected)) => (message, Some(expected)),
        None => (error.message(), None),
    };
    let written = text.get(place(error)).unwrap_or_default().trim();
    let (message, help) = match message {
        "string values must be quoted" if written.is_empty() => {
            ("a value is missing", Some("write one behind the `=`".to_owned()))
        }
        "string values must be quoted" => {
            ("text stands without quotes", Some(format!("write \"{}\"", shortened(written))))
        }
        _ => (message, expected.filter(|expected| *expected != "nothing").map(|e| format!("expected {e}"))),
    };
    TableFault::Syntax { message: message.to_owned(), help }
}

/// Where the headers and the values of a file stand.
struct Layout<'t> {
    text: &'t str,
    /// Each line that looks like a header: where it is and what it says.
    headers: Vec<(usize, &'t str)>,
    /// Values that begin and end in one line: a mistake inside one leaves everything after it in place.
    values: Vec<Range<usize>>,
}

impl<'t> Layout<'t> {
    fn of(text: &'t str, tree: &DeTable<'_>) -> Self {
        let lines = text.split_inclusive('\n').scan(0, |at, line| {
            let start = *at + line.len() - line.trim_start().len();
            *at += line.len();
            Some((start, line.trim_start()))
        });
        let headers = lines
            .filter(|(_, line)| line.starts_with('['))
            .filter_map(|(start, line)| Some((start, &line[..=line.find(']')?])))
            .collect();
        let mut values = Vec::new();
        single_line_values(tree, text, &mut values);
        values.sort_by_key(|value| value.start);
        Self { text, headers, values }
    }

    /// Whether the place lies in a value that begins and ends in one line.
    fn within_a_line(&self, at: &Range<usize>) -> bool {
        let before = self.values.partition_point(|value| value.start <= at.start);
        before.checked_sub(1).and_then(|n| self.values.get(n)).is_some_and(|value| at.end <= value.end)
    }

    /// The number of the header in which a place lies.
    fn header_around(&self, at: &Range<usize>) -> Option<usize> {
        let above = self.header_above(at.start)?;
        let (start, header) = self.headers[above];
        (at.end <= start + header.len()).then_some(above)
    }

    /// The number of the last header that starts before a place.
    fn header_above(&self, at: usize) -> Option<usize> {
        self.headers.partition_point(|(start, _)| *start < at).checked_sub(1)
    }

    /// What is there a second time, and where it was first.
    fn duplicate(&self, at: &Range<usize>, tree: &DeTable<'_>) -> (&'t str, Option<Range<usize>>) {
        match self.header_around(at) {
            Some(second) => {
                let (_, header) = self.headers[second];
                let first = self.headers[..second].iter().find(|(_, earlier)| *earlier == header);
                (header, first.map(|(start, _)| *start..start + header.len()))
            }
            None => {
                let key = self.text.get(at.clone()).unwrap_or_default().trim_matches(['"', '\'']);
                (key, key_before(tree, key, at.start))
            }
        }
    }
}

fn single_line_values(table: &DeTable<'_>, text: &str, out: &mut Vec<Range<usize>>) {
    for (key, value) in table {
        let at = value.span();
        if at.start > key.span().end && text.get(at.clone()).is_some_and(|written| !written.contains('\n')) {
            out.push(at);
        } else {
            tables_in(value.get_ref()).into_iter().for_each(|table| single_line_values(table, text, out));
        }
    }
}

/// The last key of this name before a place, in a table that is still open there.
fn key_before(table: &DeTable<'_>, name: &str, before: usize) -> Option<Range<usize>> {
    let own = table.iter().map(|(key, _)| key).find(|key| **key.get_ref() == *name).map(|key| key.span());
    let open = table.iter().filter(|(key, value)| {
        let closed = value.span().start > key.span().end && value.span().end <= before;
        !closed
    });
    let inner =
        open.flat_map(|(_, value)| tables_in(value.get_ref())).filter_map(|t| key_before(t, name, before));
    inner.chain(own).filter(|key| key.end <= before).max_by_key(|key| key.start)
}

fn tables_in<'a, 'i>(value: &'a DeValue<'i>) -> Vec<&'a DeTable<'i>> {
    match value {
        DeValue::Table(table) => vec![table],
        DeValue::Array(values) => values.iter().flat_map(|value| tables_in(value.get_ref())).collect(),
        _ => Vec::new(),
    }
}
