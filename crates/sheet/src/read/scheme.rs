//! `scheme` of a set of places: the usual ways to number them, so that nobody has to write them out.

use super::{Table, Value};
use crate::{SheetFault, ids::Place, table::is_id};

/// The schemes by their words.
#[derive(Clone, Copy, PartialEq)]
enum Scheme {
    Sides,
    Axles,
    Corners,
    Cylinders,
    Valves,
    Numbered,
}

const SCHEMES: &[(&str, Scheme)] = &[
    ("sides", Scheme::Sides),
    ("axles", Scheme::Axles),
    ("corners", Scheme::Corners),
    ("cylinders", Scheme::Cylinders),
    ("valves", Scheme::Valves),
    ("numbered", Scheme::Numbered),
];

/// The most of anything that is numbered.
const MOST: u32 = 64;

/// The places of a scheme with their titles, in the order in which they are counted.
pub(super) fn scheme(value: Value<'_>) -> Option<Vec<(Place, String)>> {
    value.table(|t| {
        let kind = t.need("kind", |v| v.word(SCHEMES));
        let of = t.may("of", |v| {
            let of = v.text()?;
            if !is_id(&of, false) {
                return v.out_of_range("an id, such as \"front\"");
            }
            Some(of)
        });
        let count = t.may("count", few);
        let intake = t.may("intake", none_or_few);
        let exhaust = t.may("exhaust", none_or_few);
        let kind = kind?;
        let counted = matches!(kind, Scheme::Cylinders | Scheme::Valves | Scheme::Numbered);
        goes_with(t, kind, "of", matches!(kind, Scheme::Sides | Scheme::Numbered));
        goes_with(t, kind, "count", counted);
        goes_with(t, kind, "intake", kind == Scheme::Valves);
        goes_with(t, kind, "exhaust", kind == Scheme::Valves);
        if counted && t.get("count").is_none() {
            t.need("count", few);
        }
        if kind == Scheme::Numbered && t.get("of").is_none() {
            t.need("of", Value::text);
        }
        if kind == Scheme::Valves {
            super::needs_one_of(t, &["intake", "exhaust"]);
        }
        Some(match kind {
            Scheme::Sides => sides(of.as_deref()),
            Scheme::Axles => vec![named("front", "front"), named("rear", "rear")],
            Scheme::Corners => [sides(Some("front")), sides(Some("rear"))].concat(),
            Scheme::Cylinders => (1..=count?).map(|n| named(&format!("cyl{n}"), &cylinder(n))).collect(),
            Scheme::Valves => valves(count?, intake.unwrap_or(0), exhaust.unwrap_or(0)),
            Scheme::Numbered => {
                let of = of?;
                let title = of.replace(['.', '-', '_'], " ");
                (1..=count?).map(|n| named(&format!("{of}{n}"), &format!("{title} {n}"))).collect()
            }
        })
    })
}

fn goes_with(t: &Table<'_>, kind: Scheme, key: &'static str, fits: bool) {
    if let (false, Some(at)) = (fits, t.key_span(key)) {
        let word = SCHEMES.iter().find(|(_, scheme)| *scheme == kind).map_or("", |(word, _)| word);
        t.reader().fault(SheetFault::NotWith { key, with: format!("kind = \"{word}\"") }, at);
    }
}

fn named(id: &str, title: &str) -> (Place, String) {
    (id.into(), title.to_owned())
}

/// Left and right as seen sitting in the car; `of` says of what.
fn sides(of: Option<&str>) -> Vec<(Place, String)> {
    let side = |side: &str| match of {
        Some(of) => named(&format!("{of}.{side}"), &format!("{} {side}", of.replace(['.', '-', '_'], " "))),
        None => named(side, side),
    };
    vec![side("left"), side("right")]
}

fn cylinder(n: u32) -> String {
    format!("cylinder {n}")
}

/// Cylinder by cylinder, of each the intake valves first; of several of a kind, 1 is nearer the end where counting starts.
fn valves(cylinders: u32, intake: u32, exhaust: u32) -> Vec<(Place, String)> {
    let of = |n: u32, short: &'static str, long: &'static str, count: u32| {
        (1..=count).map(move |valve| {
            named(&format!("cyl{n}.{short}{valve}"), &format!("{}, {long} {valve}", cylinder(n)))
        })
    };
    (1..=cylinders)
        .flat_map(|n| of(n, "in", "intake", intake).chain(of(n, "ex", "exhaust", exhaust)))
        .collect()
}

fn few(value: Value<'_>) -> Option<u32> {
    let count = value.count()?;
    if count <= MOST { Some(count) } else { value.out_of_range("a whole number from 1 to 64") }
}

fn none_or_few(value: Value<'_>) -> Option<u32> {
    let count = value.number()?;
    // A count from 0 to 64 is exact as a float.
    match count.fract() == 0.0 && (0.0..=f64::from(MOST)).contains(&count) {
        true => Some(count as u32),
        false => value.out_of_range("a whole number from 0 to 64"),
    }
}
