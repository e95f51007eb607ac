//! Cooling.

use super::Drawings;
use crate::kit::{Anchor, Axis, Canvas, Label, P, Plot};
use crate::values::Values;

pub const DRAWINGS: Drawings = &[("pressure-hold", pressure_hold), ("thermostat", thermostat)];

/// Pressure over the time of the test: what temperature alone would leave, and what was found.
fn pressure_hold(c: &mut Canvas, v: &Values) {
    c.height = 244.0;
    c.says("Pressure over the time of the test: dashed what temperature alone would leave, full what was found; the difference leaked.");
    let (start, end, minutes) = (v.unit("start"), v.unit("end"), v.unit("time"));
    let expected = v.out_unit("expected").unwrap_or(start);
    let y = Axis::around([start, end, expected], Label::words("p / bar, on the gauge"));
    let mut plot =
        Plot::new(c, (10.0, 4.0), (340.0, 204.0), Axis::new(0.0, minutes * 1.3, Label::words("t / min")), y);
    plot.curve(c, "other", &[(0.0, start), (minutes, expected)]);
    plot.curve(c, "curve", &[(0.0, start), (minutes, end)]);
    c.circle("blank", plot.at(0.0, start), 4.0);
    let (a, b) = (plot.at(minutes, expected), plot.at(minutes, end));
    if (a.1 - b.1).abs() > 3.0 {
        c.line("out", a, b);
    }
    c.circle("blank", a, 4.0);
    c.circle("out-dot", b, 4.5);
    let (x, y) = plot.at(0.0, start);
    c.label((x + 8.0, if expected > start { y + 16.0 } else { y - 8.0 }), Anchor::Start, v.label("start"));
    c.label((a.0 + 8.0, a.1 + 4.0), Anchor::Start, v.result("expected"));
    c.label((b.0 + 8.0, b.1 + 4.0), Anchor::Start, v.label("end"));
    c.flow(220.0, [v.result("leaked"), v.result_named("in-ten-minutes", "in ten minutes")]);
    c.flow(238.0, [v.result_named("coolant-out", "coolant out")]);
}

/// Lift against temperature, where it counts as open, and the rating.
fn thermostat(c: &mut Canvas, v: &Values) {
    c.height = 240.0;
    c.says("A thermostat's lift against temperature, the place where it opens, and the temperature stamped on it.");
    let mut points: Vec<P> = v.list("temperatures").into_iter().zip(v.list("lifts")).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (rating, threshold) = (v.unit("rating"), v.unit("threshold"));
    let full = v.given("full-lift").then(|| v.unit("full-lift"));
    let x = Axis::around(points.iter().map(|p| p.0).chain([rating]), Label::words("T / °C"));
    let y = Axis::around(
        points.iter().map(|p| p.1).chain(full).chain([0.0, threshold]),
        Label::words("lift s / mm"),
    );
    let mut plot = Plot::new(c, (10.0, 4.0), (340.0, 206.0), x, y);
    plot.curve(c, "curve", &points);
    for (t, lift) in &points {
        c.circle("blank", plot.at(*t, *lift), 3.5);
    }
    plot.stand(c, "limit", rating, v.label("rating"));
    if let Some(full) = full {
        plot.level(c, "other", full, Label::default());
        let (left, ..) = plot.field();
        c.label((left + 6.0, plot.py(full) - 5.0), Anchor::Start, v.label("full-lift"));
    }
    if let Some(opens) = v.out_unit("opens") {
        plot.point(c, opens, threshold, v.result("opens"));
    }
    c.flow(234.0, [v.result_named("off", "above its rating by"), v.result_named("fully-open", "full at")]);
}
