//! The wear bar: a rule from new to limit, the reading with its uncertainty, earlier readings as ticks, a ghost where it
//! will be at the next visit. For described states: stops along a rule, the seen one filled.

use maud::{Markup, html};
use workshop::{Bar, Mark, Stops};

/// Width of a drawing, in its own units; pages scale it.
const WIDTH: f64 = 320.0;
/// Divisions of the rule between new and limit.
const DIVISIONS: usize = 20;
/// The ends of the rule, left clear so that strokes are not cut.
const MARGIN: f64 = 2.0;
/// About the width of a figure in a label, to keep words inside the drawing.
const FIGURE: f64 = 6.6;

/// The hatching beyond a limit; once in a page that shows bars.
pub fn bar_defs() -> Markup {
    html! {
        svg width="0" height="0" aria-hidden="true" focusable="false" class="defs" {
            defs {
                pattern id="beyond" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    line x1="0" y1="0" x2="0" y2="6" class="hatch" {}
                }
            }
        }
    }
}

/// A finding on its rule.
pub fn mark(mark: &Mark) -> Markup {
    match mark {
        Mark::Bar(bar) => wear_bar(bar),
        Mark::Stops(stops) => stops_on_a_rule(stops),
    }
}

/// The same with the hatching in the drawing itself, for a drawing that stands alone.
pub fn mark_for_print(mark_: &Mark) -> Markup {
    html! { (bar_defs()) (mark(mark_)) }
}

fn wear_bar(bar: &Bar) -> Markup {
    let x = |share: f64| MARGIN + share.clamp(0.0, 1.0) * (WIDTH - 2.0 * MARGIN);
    let n = |number: f64| format!("{number:.1}");
    let (left, right) = match (&bar.new, &bar.limits[..]) {
        (_, [low, high]) => (low.at, high.at),
        (Some(new), [limit]) => (new.at, limit.at),
        _ => (0.0, 1.0),
    };
    let division = |i: usize| x(left + (right - left) * i as f64 / DIVISIONS as f64);
    let value = x(bar.value);
    // Words are kept inside the drawing, wherever the mark is.
    let inside = |at: f64, words: &str| {
        let half = FIGURE * words.chars().count() as f64 / 2.0;
        at.clamp(half.min(WIDTH / 2.0), (WIDTH - half).max(WIDTH / 2.0))
    };
    html! {
        svg.wb viewBox={ "0 0 " (WIDTH) " 58" } role="img" aria-label=(bar.in_words) {
            @for limit in &bar.limits {
                @if limit.beyond_right {
                    rect.beyond x=(n(x(limit.at))) y="21" width=(n(x(1.0) - x(limit.at))) height="18" {}
                } @else {
                    rect.beyond x=(n(x(0.0))) y="21" width=(n(x(limit.at) - x(0.0))) height="18" {}
                }
            }
            line.rule x1=(n(x(0.0))) y1="39" x2=(n(x(1.0))) y2="39" {}
            @for i in 0..=DIVISIONS {
                @let height = if i % 10 == 0 { 9.0 } else if i % 5 == 0 { 6.0 } else { 3.5 };
                line.grad x1=(n(division(i))) y1="39" x2=(n(division(i))) y2=(n(39.0 - height)) {}
            }
            @for limit in &bar.limits {
                line.limit x1=(n(x(limit.at))) y1="18" x2=(n(x(limit.at))) y2="42" {}
            }
            @for earlier in &bar.earlier {
                line.past x1=(n(x(*earlier))) y1="27" x2=(n(x(*earlier))) y2="39" {}
            }
            @if let Some((from, to)) = bar.ghost {
                rect.ghost x=(n(x(from))) y="23" width=(n((x(to) - x(from)).max(2.0))) height="14" rx="2" {}
            }
            rect.band x=(n(x(bar.band.0))) y="21" width=(n((x(bar.band.1) - x(bar.band.0)).max(1.0))) height="18" {}
            path.mark d=(format!("M{value:.1} 39 L{:.1} 18 L{:.1} 18 Z", value - 5.0, value + 5.0)) {}
            text.val x=(n(inside(value, &bar.says))) y="13" text-anchor="middle" { (bar.says) }
            @if let Some(new) = &bar.new {
                text.lab x=(n(x(new.at).max(MARGIN))) y="55" text-anchor=(if new.at < 0.1 { "start" } else { "middle" }) { (new.label) }
            }
            @for limit in &bar.limits {
                text.lab x=(n(inside(x(limit.at), &limit.label))) y="55" text-anchor="middle" { (limit.label) }
            }
        }
    }
}

fn stops_on_a_rule(stops: &Stops) -> Markup {
    let last = stops.labels.len().saturating_sub(1).max(1);
    let x = |i: usize| 8.0 + (WIDTH - 16.0) * i as f64 / last as f64;
    let n = |number: f64| format!("{number:.1}");
    let anchor = |i: usize| {
        if i == 0 {
            "start"
        } else if i == last {
            "end"
        } else {
            "middle"
        }
    };
    let label_at = |i: usize| {
        if i == 0 {
            0.0
        } else if i == last {
            WIDTH
        } else {
            x(i)
        }
    };
    // Only as many words as there is room for: the ends, and the one that was seen.
    let room =
        stops.labels.iter().map(|label| label.chars().count() + 2).sum::<usize>() as f64 * FIGURE <= WIDTH;
    html! {
        svg.wb viewBox={ "0 0 " (WIDTH) " 46" } role="img" aria-label=(stops.in_words) {
            line.rule x1=(n(x(0))) y1="14" x2=(n(x(last))) y2="14" {}
            @for (i, label) in stops.labels.iter().enumerate() {
                @let seen = i == stops.seen;
                circle class=(if seen { "stop seen" } else { "stop" }) cx=(n(x(i))) cy="14" r=(if seen { 7 } else { 4 }) {}
                @if seen || (room || (i == 0 || i == last)) && clear(stops, i, room) {
                    text class=(if seen { "val" } else { "lab" }) x=(n(label_at(i))) y="40" text-anchor=(anchor(i)) { (label) }
                }
            }
        }
    }
}

/// Whether a label beside the seen one can be written without running into it.
fn clear(stops: &Stops, i: usize, room: bool) -> bool {
    if room {
        return true;
    }
    let last = stops.labels.len().saturating_sub(1).max(1) as f64;
    let width = |i: usize| stops.labels[i].chars().count() as f64 * FIGURE;
    let gap = (i as f64 - stops.seen as f64).abs() / last * (WIDTH - 16.0);
    gap > width(i) + width(stops.seen) / 2.0 + 8.0
}
