//! Limits in road use.

use super::Drawings;
use crate::figure::number;
use crate::kit::{Anchor, Axis, Canvas, Label, P, Plot, Tone, arc_points, polar};
use crate::values::{Values, eased};
use bench::road_limits::defects::defect_score;

pub const DRAWINGS: Drawings =
    &[("roller-test", roller_test), ("defects", defects), ("steering-play", steering_play)];

fn roller_test(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "brake-imbalance" => imbalance(c, v),
        "service-brake-assessed" => against_required(c, v),
        _ => efficiency(c, v),
    }
}

/// A wheel on a pair of rollers; gives nothing but the picture.
fn on_rollers(c: &mut Canvas, at: P, radius: f64) {
    let (x, y) = at;
    c.circle("metal", (x, y), radius);
    c.circle("blank", (x, y), radius * 0.6);
    c.circle("edge", (x, y), 4.0);
    let roller = radius * 0.34;
    for degrees in [128.0, 52.0] {
        let centre = polar((x, y), radius + roller, degrees);
        c.circle("metal", centre, roller);
        c.circle("blank", centre, 2.5);
    }
}

/// The force of each wheel, and what they come to against the car's weight.
fn efficiency(c: &mut Canvas, v: &Values) {
    c.height = 246.0;
    c.says("A wheel on the rollers, the braking force of each wheel as a bar, and the efficiency against what is asked.");
    on_rollers(c, (58.0, 70.0), 42.0);
    c.arrow(Tone::Given, (58.0, 112.0), (24.0, 112.0));
    let forces = v.list("forces");
    let most = forces.iter().copied().fold(1.0, f64::max);
    let count = forces.len().max(1) as f64;
    let plot = Plot::new(
        c,
        (126.0, 4.0),
        (224.0, 146.0),
        Axis::new(0.5, count + 0.5, Label::default()).bare(),
        Axis::new(0.0, most * 1.1, Label::symbol("F").and("/ N")),
    );
    let (left, _, right, foot) = plot.field();
    let wide = ((right - left) / count * 0.55).min(36.0);
    for (i, force) in forces.iter().enumerate() {
        let (x, top) = plot.at(i as f64 + 1.0, *force);
        c.bar("out-area", x, wide, foot, top);
        c.bar("edge", x, wide, foot, top);
        if count <= 8.0 {
            c.label((x, foot + 14.0), Anchor::Middle, Label::words(number(i as f64 + 1.0)).quiet());
        }
    }
    let found = v.out("efficiency").unwrap_or(0.6);
    scale_bar(c, 190.0, found, v.si("required"));
    c.label((10.0, 182.0), Anchor::Start, v.result("efficiency"));
    c.label((350.0, 182.0), Anchor::End, v.named("required", "asked for"));
    c.flow(238.0, [v.label("mass")]);
}

/// A bar to 100 % with the value filled in and a limit across it.
fn scale_bar(c: &mut Canvas, y: f64, part: f64, limit: f64) {
    let (left, long) = (12.0, 336.0);
    let most = part.max(limit).max(1.0);
    c.rect("face", left, y, long, 22.0);
    c.rect("out-area", left, y, long * (part / most).clamp(0.0, 1.0), 22.0);
    c.rect("edge", left, y, long, 22.0);
    let x = left + long * (limit / most).clamp(0.0, 1.0);
    c.line("limit", (x, y - 5.0), (x, y + 27.0));
}

/// The efficiency found against what is asked for and half of it.
fn against_required(c: &mut Canvas, v: &Values) {
    c.height = 150.0;
    c.says("The efficiency found as a bar, with what is asked for and half of it marked.");
    let (found, required) = (v.si("efficiency"), v.si("required"));
    scale_bar(c, 58.0, found, required);
    let most = found.max(required).max(1.0);
    let half = 12.0 + 336.0 * required / 2.0 / most;
    c.line("other", (half, 53.0), (half, 85.0));
    c.label((half, 102.0), Anchor::Middle, Label::words("half of it").quiet());
    c.label((12.0 + 336.0 * required / most, 44.0), Anchor::Middle, v.named("required", "asked for"));
    c.label((12.0, 26.0), Anchor::Start, v.label("efficiency"));
    c.flow(140.0, [v.result_named("share", "of what is asked")]);
}

/// Both wheels of an axle on the rollers, their forces as arrows.
fn imbalance(c: &mut Canvas, v: &Values) {
    c.height = 226.0;
    c.says("Both wheels of an axle from behind, braking force of each as a bar.");
    let (a, b) = (v.unit("left"), v.unit("right"));
    let most = a.max(b).max(1e-6);
    let foot = 170.0;
    let tall = |force: f64| (128.0 * force / most).max(1.0);
    c.line("axis", (40.0, foot), (320.0, foot));
    for (x, force, key) in [(116.0, a, "left"), (244.0, b, "right")] {
        c.bar("out-area", x, 62.0, foot, foot - tall(force));
        c.bar("edge", x, 62.0, foot, foot - tall(force));
        c.label((x, foot - tall(force) - 8.0), Anchor::Middle, v.label(key));
        c.label((x, foot + 16.0), Anchor::Middle, Label::words(key).quiet());
    }
    let (high, low) = (foot - 128.0, foot - tall(a.min(b)));
    if low - high > 2.0 {
        c.line("thin", (150.0, high), (194.0, high));
        c.line("thin", (166.0, low), (210.0, low));
        c.line("out", (180.0, high), (180.0, low));
    }
    c.flow(218.0, [v.result("difference"), v.result("weaker")]);
}

/// What the year's defects weigh.
fn defects(c: &mut Canvas, v: &Values) {
    c.height = 196.0;
    c.says("Deficiencies by kind, each bar as long as the kind weighs in the score.");
    // What one of a kind adds to a single check.
    let of_one = |dangerous, major, minor| defect_score(dangerous, major, minor, 1.0).unwrap_or(0.0);
    let rows = [
        ("dangerous", of_one(1.0, 0.0, 0.0)),
        ("major", of_one(0.0, 1.0, 0.0)),
        ("minor", of_one(0.0, 0.0, 1.0)),
    ];
    let weigh = |key: &str, weight: f64| v.unit(key) * weight;
    let most = rows.iter().map(|(key, weight)| weigh(key, *weight)).fold(1e-9, f64::max);
    for (i, (key, weight)) in rows.into_iter().enumerate() {
        let y = 14.0 + 44.0 * i as f64;
        c.label((92.0, y + 17.0), Anchor::End, Label::words(key));
        let long = 130.0 * weigh(key, weight) / most;
        c.rect("out-area", 100.0, y, long, 24.0);
        c.line("axis", (100.0, y - 4.0), (100.0, y + 28.0));
        if v.given(key) {
            let sum = format!("{} × {}", number(v.unit(key)), number(weight));
            c.label((108.0 + long, y + 17.0), Anchor::Start, Label::words(sum));
        }
    }
    c.flow(166.0, [v.named("checks", "checks")]);
    c.flow(188.0, [v.result("score")]);
}

fn steering_play(c: &mut Canvas, v: &Values) {
    if v.is("linkage-play-limit") {
        return linkage(c, v);
    }
    c.height = 246.0;
    c.says("A steering wheel: the play allowed is measured along the rim while the road wheels stand still.");
    let r = v.px("diameter", 84.0).min(100.0);
    let centre = (150.0, 130.0);
    c.circle("edge", centre, r);
    c.circle("edge", centre, r - 11.0);
    c.circle("metal", centre, 20.0);
    for degrees in [0.0, 90.0, 180.0] {
        let (a, b) = (polar(centre, 20.0, degrees), polar(centre, r - 11.0, degrees));
        c.line_thick("metal", a, b, 9.0);
    }
    let play = eased(v.out("limit").unwrap_or(0.05), 0.05, 26.0) / r * 57.3;
    let mut zone = arc_points(centre, r, 270.0 - play / 2.0, 270.0 + play / 2.0);
    zone.extend(arc_points(centre, r - 11.0, 270.0 + play / 2.0, 270.0 - play / 2.0));
    c.closed("out-area", &zone);
    c.arc("out", centre, r + 9.0, 270.0 - play / 2.0, 270.0 + play / 2.0);
    c.label((centre.0 + 20.0, 18.0), Anchor::Start, v.result_named("limit", "play at the rim"));
    c.across(centre.0 - r, centre.0 + r, centre.1, 238.0, v.named("diameter", "diameter"));
}

/// A wheel rocked by hand at its sides: the play is read at the tread.
fn linkage(c: &mut Canvas, v: &Values) {
    c.height = 232.0;
    c.says("A lifted wheel from above, rocked by hand: the play of the linkage is read at the tread.");
    let at = (130.0, 112.0);
    let half = v.px("rim", 62.0).min(84.0);
    let shown = eased(v.out("limit").unwrap_or(0.006), 0.006_35, 5.0).clamp(2.0, 9.0);
    for turn in [-shown, shown] {
        let corners: Vec<P> = crate::kit::rectangle(at.0 - 22.0, at.1 - half, 44.0, 2.0 * half)
            .into_iter()
            .map(|p| crate::kit::turned(p, at, turn))
            .collect();
        c.closed(if turn > 0.0 { "ghost" } else { "metal" }, &corners);
    }
    c.line_thick("metal", (at.0 + 22.0, at.1 + 26.0), (at.0 + 150.0, at.1 + 26.0), 7.0);
    c.circle("metal", (at.0 + 30.0, at.1 + 26.0), 7.0);
    c.circle("metal", (at.0 + 150.0, at.1 + 26.0), 7.0);
    c.circle("dot", at, 3.0);
    let (a, b) = (
        crate::kit::turned((at.0, at.1 - half), at, -shown),
        crate::kit::turned((at.0, at.1 - half), at, shown),
    );
    c.dimension((a.0, a.1.min(b.1)), (b.0, a.1.min(b.1)), -10.0, Label::default());
    c.label((at.0 + 40.0, at.1 - half - 6.0), Anchor::Start, v.result_named("limit", "play at the tread"));
    c.label((at.0 + 60.0, at.1 - 14.0), Anchor::Start, v.named("rim", "rim"));
    c.flow(224.0, [Label::words(v.text("vehicle")).and("vehicle").quiet()]);
}
