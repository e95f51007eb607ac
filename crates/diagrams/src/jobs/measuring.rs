//! Measuring.

use super::Drawings;
use crate::kit::{Anchor, Canvas, Label, Tone, rectangle};
use crate::values::Values;

pub const DRAWINGS: Drawings = &[("length-comparison", length_comparison)];

/// Standard and work under one comparator, their difference drawn large.
fn length_comparison(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("The standard and the work on one table under the comparator; the difference between them is drawn large.");
    let (table, tall) = (176.0, v.px("standard", 96.0).min(116.0));
    let difference = v.signed("difference", 10.0).clamp(-16.0, 16.0);
    c.cut(&rectangle(24.0, table, 250.0, 18.0));
    c.cut(&rectangle(60.0, table - tall, 64.0, tall));
    c.cut_next(&rectangle(176.0, table - tall - difference, 64.0, tall + difference));
    c.gauge(Tone::Given, (208.0, 26.0), 19.0, 0.5 + difference / 40.0);
    let tip = table - tall - difference;
    c.line_thick("metal", (208.0, 45.0), (208.0, tip), 4.0);
    c.line("thin", (124.0, table - tall), (176.0, table - tall));
    c.upright(table - tall, table, 60.0, 42.0, Label::default());
    c.label((10.0, table + 34.0), Anchor::Start, v.label("standard"));
    c.upright(tip, table, 240.0, 262.0, Label::default());
    c.label((271.0, (tip + table) / 2.0), Anchor::Start, Label::symbol("l"));
    if difference.abs() > 0.3 {
        c.dimension((150.0, table - tall), (150.0, tip), 0.0, Label::default());
    }
    c.label((150.0, (table - tall).min(tip) - 20.0), Anchor::Middle, v.label("difference"));
    c.label((92.0, table - tall / 2.0), Anchor::Middle, Label::words("standard").quiet());
    c.label((208.0, table - tall / 2.0), Anchor::Middle, Label::words("work").quiet());
    c.label((271.0, 80.0), Anchor::Start, v.label("deviation"));
    c.label((271.0, 60.0), Anchor::Start, v.label("temperature-difference"));
    c.flow(
        232.0,
        [v.label("expansion"), v.result_in_full("length"), v.result_named("grown", "growth taken off")],
    );
}
