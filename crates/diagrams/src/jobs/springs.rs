//! Springs and ride.

use super::Drawings;
use crate::kit::{Anchor, Canvas, Label, Tone, turned};
use crate::values::{Values, eased};

pub const DRAWINGS: Drawings =
    &[("coil-spring", coil_spring), ("ride", ride), ("corner-weights", corner_weights)];

fn coil_spring(c: &mut Canvas, v: &Values) {
    if v.is("spring-solid-length") {
        return solid_spring(c, v);
    }
    coil_with_dimensions(c, v);
    c.says("A coil spring from the side: wire, mean diameter and active coils.");
    if v.is("spring-stress") {
        c.arrow(Tone::Given, (120.0, 6.0), (120.0, 34.0));
        c.label((130.0, 20.0), Anchor::Start, v.label("force"));
        c.height += 12.0;
        c.flow(c.height - 28.0, [v.result("index"), v.result("wahl"), v.result("stress-wahl")]);
        c.flow(c.height - 9.0, [v.result_named("stress-bergstraesser", "with Bergsträsser's factor")]);
    } else {
        c.flow(c.height - 12.0, [v.result("rate"), v.label("shear-modulus")]);
    }
}

/// A coil spring with wire, mean diameter and coils dimensioned; room is left at the foot for results.
pub fn coil_with_dimensions(c: &mut Canvas, v: &Values) {
    c.height = 244.0;
    let wide = v.px("mean-diameter", 76.0);
    // The proportion of wire to coil is the spring's own.
    let wire = (wide * v.mm("wire") / v.mm("mean-diameter").max(1e-3)).clamp(3.0, wide * 0.3);
    let turns = if v.takes("coils") { v.unit("coils") } else { 5.0 };
    let (x, top) = (120.0, 36.0);
    let bottom = top + 138.0;
    c.coil(x, top, bottom, wide / 2.0, wire, turns.clamp(3.0, 12.0));
    c.centre((x, top - 10.0), (x, bottom + 10.0));
    c.across(x - wide / 2.0, x + wide / 2.0, bottom - wire / 2.0, bottom + 22.0, v.label("mean-diameter"));
    let pitch = (138.0 - wire) / turns.clamp(3.0, 12.0).round();
    let y = top + wire / 2.0 + pitch / 2.0;
    c.leader((x + wide / 2.0 + wire / 2.0 * 0.8, y - wire / 2.0 * 0.6), (222.0, y - 16.0), v.label("wire"));
    if v.takes("coils") {
        c.upright(top + wire / 2.0, bottom - wire / 2.0, x + wide / 2.0 + wire, 222.0, v.label("coils"));
    }
}

/// A spring with its coils touching.
fn solid_spring(c: &mut Canvas, v: &Values) {
    c.height = 230.0;
    c.says("A spring with its coils touching: wire, total coils and solid length.");
    let total = v.unit("total-coils").clamp(2.0, 14.0);
    let ground = v.text("ends").contains("ground");
    let wire = (150.0 / (total + 1.0)).clamp(8.0, 22.0);
    let (x, half, top) = (130.0, 54.0, 20.0);
    let turns = total.round();
    let bottom = top + wire * (turns + if ground { 0.0 } else { 1.0 });
    let mut y = top;
    while y + wire <= bottom + 0.1 {
        c.line_thick("wire", (x - half, y + wire / 2.0), (x + half, y + wire / 2.0), wire);
        y += wire;
    }
    let mut y = top;
    while y + wire <= bottom + 0.1 {
        for side in [-1.0, 1.0] {
            c.circle("metal", (x + side * half, y + wire / 2.0), wire / 2.0);
        }
        y += wire;
    }
    if ground {
        for y in [top, bottom] {
            c.line("bold", (x - half - wire / 2.0, y), (x + half + wire / 2.0, y));
        }
    }
    c.centre((x, top - 10.0), (x, bottom + 10.0));
    c.upright(top, bottom, x + half + wire / 2.0, 226.0, v.result("solid-length"));
    c.leader((x - half - wire / 2.0 * 0.7, top + wire * 1.5 - wire * 0.35), (60.0, 24.0), v.label("wire"));
    c.label((238.0, 36.0), Anchor::Start, v.label("total-coils"));
    c.label((238.0, 180.0), Anchor::Start, v.result("active-coils"));
    c.label((x, bottom + 24.0), Anchor::Middle, Label::words(v.text("ends")).quiet());
}

fn ride(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "wheel-rate" => wheel_rate(c, v),
        "ride-height-from-spring" => ride_height(c, v),
        "springs-where" => springs_where(c, v),
        _ => ride_frequency(c, v),
    }
}

/// A wheel on an arm with its spring further in: spring travel over wheel travel.
fn wheel_rate(c: &mut Canvas, v: &Values) {
    c.height = 230.0;
    c.says("A wheel at the end of an arm, its spring nearer the pivot: the motion ratio is spring travel over wheel travel.");
    let ratio = v.unit("motion-ratio");
    let (pivot, hub) = ((44.0, 160.0), (268.0, 160.0));
    let foot = pivot.0 + (hub.0 - pivot.0) * (0.62 * eased(ratio, 0.7, 1.0)).clamp(0.22, 0.94);
    let lean = v.degrees("lean").clamp(0.0, 45.0);

    c.rect("metal", hub.0 + 10.0, hub.1 - 52.0, 34.0, 104.0);
    c.line_thick("metal", pivot, hub, 9.0);
    c.circle("metal", pivot, 9.0);
    c.circle("blank", pivot, 3.5);
    c.circle("blank", hub, 5.0);
    c.ground(10.0, 350.0, hub.1 + 52.0);
    let about = (foot, 156.0);
    c.leaning_coil(about, 108.0, -lean, 15.0, 5.0, 6.0);
    for up in [0.0, 108.0] {
        let put = |dx: f64| turned((about.0 + dx, about.1 - up), about, -lean);
        c.line("bold", put(-20.0), put(20.0));
    }
    if lean > 1.0 {
        c.centre(about, (foot, 36.0));
        c.angle(about, 100.0, 270.0 - lean, 270.0, v.label("lean"));
    }
    let (sx, sy) = turned((foot, 90.0), about, -lean);
    c.label((sx - 22.0, sy), Anchor::End, v.label("spring-rate"));
    c.label((16.0, 16.0), Anchor::Start, v.label("motion-ratio").and("= spring travel / wheel travel"));
    c.travel((hub.0 + 58.0, hub.1), 30.0);
    c.travel((foot + 22.0, 160.0), 30.0 * ratio.clamp(0.25, 1.4));
    c.label((hub.0 + 62.0, hub.1 - 58.0), Anchor::End, v.result("wheel-rate"));
}

/// A sprung mass on the rate at the wheel: how far it sinks, how it swings.
fn ride_frequency(c: &mut Canvas, v: &Values) {
    c.height = 226.0;
    c.says("The sprung mass on its spring at the wheel: dashed where it would stand without load; it swings about where it stands.");
    let mass = if v.takes("sprung-mass") { v.px("sprung-mass", 42.0) } else { 42.0 };
    let deflection = v.out("deflection").or(v.takes("deflection").then(|| v.si("deflection"))).unwrap_or(0.1);
    let sink = eased(deflection, 0.11, 44.0).min(66.0);
    let (x, floor, free) = (130.0, 206.0, 66.0);
    let top = free + sink;
    c.ground(60.0, 200.0, floor);
    c.coil(x, top, floor, 24.0, 6.0, 6.0);
    c.rect("metal", x - 48.0, top - mass.min(56.0), 96.0, mass.min(56.0));
    c.line("ghost", (x - 60.0, free), (x + 110.0, free));
    let label = if v.takes("deflection") { v.label("deflection") } else { v.result("deflection") };
    c.upright(free, top, x + 48.0, 226.0, label);
    if v.takes("sprung-mass") {
        c.label((x, top - mass.min(56.0) / 2.0 + 5.0), Anchor::Middle, v.label("sprung-mass"));
        c.label((x - 40.0, 186.0), Anchor::End, v.label("wheel-rate"));
    }
    c.travel((x - 66.0, top - 20.0), 20.0);
    c.label((20.0, 24.0), Anchor::Start, v.result("frequency"));
}

/// Two springs under one load.
fn ride_height(c: &mut Canvas, v: &Values) {
    c.height = 246.0;
    c.says("Both springs to scale, free (dashed) and under the corner's load.");
    let lengths = [
        (v.mm("free-length"), v.out("length").unwrap_or(0.2) * 1e3),
        (v.mm("other-free-length"), v.out("other-length").unwrap_or(0.2) * 1e3),
    ];
    let most = lengths.iter().map(|l| l.0.max(l.1)).fold(1.0, f64::max);
    let (scale, base) = (138.0 / most, 180.0);
    c.ground(30.0, 330.0, base);
    let load = v.result("load");
    let keys = [("free-length", "length", "rate"), ("other-free-length", "other-length", "other-rate")];
    for ((x, (free, loaded)), (free_key, length, rate)) in [84.0, 244.0].into_iter().zip(lengths).zip(keys) {
        let (free, high) = (free * scale, (loaded.min(free) * scale).max(24.0));
        c.rect("ghost", x - 26.0, base - free, 52.0, free);
        c.coil(x, base - high, base, 20.0, (high / 12.0).clamp(3.0, 7.0), 6.0);
        c.line("bold", (x - 26.0, base - high), (x + 26.0, base - high));
        c.arrow(Tone::Given, (x, base - high - 26.0), (x, base - high - 1.0));
        c.upright(base - high, base, x + 26.0, x + 40.0, v.result(length));
        c.label((x, base + 22.0), Anchor::Middle, v.label(free_key));
        c.label((x, base + 40.0), Anchor::Middle, v.label(rate));
    }
    c.label((10.0, 16.0), Anchor::Start, load);
    c.label((350.0, 16.0), Anchor::End, v.result("change"));
}

/// How likely each of the four possibilities is.
fn springs_where(c: &mut Canvas, v: &Values) {
    c.height = 236.0;
    c.says("How likely each possibility is: beforehand as an outline, and after the ride heights as a bar.");
    let rows = [
        ("as intended", "as-intended", "chance-intended"),
        ("exchanged ends", "exchanged", "chance-exchanged"),
        ("sagged", "sagged", "chance-sagged"),
        ("something else", "something-else", "chance-other"),
    ];
    let before: Vec<f64> = rows.iter().map(|(_, _, key)| v.unit(key).max(0.0)).collect();
    let sum = before.iter().sum::<f64>().max(1e-9);
    for (i, ((name, id, _), before)) in rows.into_iter().zip(before).enumerate() {
        let y = 12.0 + 42.0 * i as f64;
        let long = |part: f64| 196.0 * part.clamp(0.0, 1.0);
        let after = v.out(id).unwrap_or(0.25);
        c.label((112.0, y + 18.0), Anchor::End, Label::words(name));
        c.rect("out-area", 120.0, y + 2.0, long(after), 22.0);
        c.rect("hidden", 120.0, y + 2.0, long(before / sum), 22.0);
        c.line("axis", (120.0, y - 2.0), (120.0, y + 28.0));
        let figure = v.result_named(id, "").unnamed();
        if after > 0.6 {
            c.label((114.0 + long(after), y + 18.0), Anchor::End, figure);
        } else {
            c.label((126.0 + long(after.max(before / sum)), y + 18.0), Anchor::Start, figure);
        }
    }
    c.flow(
        196.0,
        [
            v.result_named("front-seen", "front").and("seen front"),
            v.result("front-change").and("if exchanged"),
        ],
    );
    c.flow(
        218.0,
        [v.result_named("rear-seen", "rear").and("seen rear"), v.result("rear-change").and("if exchanged")],
    );
}

/// Four scales in plan, drawn as heavy as they read, with the diagonals.
fn corner_weights(c: &mut Canvas, v: &Values) {
    c.height = 262.0;
    c.says("Four scales in plan, front at the top, each as large as its load; the diagonals are the cross weight.");
    let corners = [
        ("front-left", 86.0, 64.0),
        ("front-right", 274.0, 64.0),
        ("rear-left", 86.0, 176.0),
        ("rear-right", 274.0, 176.0),
    ];
    let loads: Vec<f64> = corners.iter().map(|(key, ..)| v.unit(key)).collect();
    let mean = loads.iter().sum::<f64>() / 4.0;
    c.line("out", (274.0, 64.0), (86.0, 176.0));
    c.line("centre", (86.0, 64.0), (274.0, 176.0));
    for ((key, x, y), load) in corners.into_iter().zip(loads) {
        // The area goes with the load; small differences are what matters, so they are drawn four times as large.
        let side =
            (82.0 * (1.0 + 2.0 * (load / mean.max(1e-9) - 1.0)).clamp(0.3, 2.2).sqrt()).clamp(44.0, 104.0);
        c.rect("metal", x - side / 2.0, y - side / 2.0, side, side);
        c.label((x, y + 5.0), Anchor::Middle, v.label(key));
    }
    c.arrow(Tone::Given, (180.0, 96.0), (180.0, 66.0));
    c.label((180.0, 60.0), Anchor::Middle, Label::words("front").quiet());
    c.label((180.0, 138.0), Anchor::Middle, v.result("cross"));
    c.flow(254.0, [v.result("front"), v.result("left"), v.result("total")]);
}
