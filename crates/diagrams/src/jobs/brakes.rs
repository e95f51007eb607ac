//! Brakes.

use super::Drawings;
use crate::curve;
use crate::figure::{number, rounded};
use crate::kit::{Anchor, Axis, Canvas, Label, P, Plot, Tone, polar, rectangle};
use crate::values::Values;
use bench::{Inputs, Shape};
use quantity::Unit;

pub const DRAWINGS: Drawings = &[
    ("pad", wear_left),
    ("disc", disc),
    ("run-out", run_out),
    ("disc-brake", disc_brake),
    ("balance-bar", balance_bar),
    ("brake-fluid", brake_fluid),
    ("brake-lines", brake_lines),
];

/// Two readings, the limit, and the line that joins them; beside it where to measure.
fn wear_left(c: &mut Canvas, v: &Values) {
    c.height = 244.0;
    let (first, second, limit) = (v.mm("first"), v.mm("second"), v.mm("limit"));
    let (from, to) = (v.si("first-at") / 1e3, v.si("second-at") / 1e3);
    let reached = v.out("reached-at").map(|m| m / 1e3).filter(|at| *at > to);
    let pad = v.is("pad-wear-left");
    c.says(if pad {
        "The pad's two thickness readings over the distance, carried on to the limit; beside it the pad on its plate."
    } else {
        "The disc's two thickness readings over the distance, carried on to the limit; beside it the disc in section."
    });
    thickness_sketch(c, v, pad);
    let end =
        reached.map_or(to + (to - from).abs() * 0.5, |at| at.min(to + 8.0 * (to - from).abs().max(1.0)));
    let x = Axis::new(from.min(to), end + (end - from).abs() * 0.05, Label::words("odometer / km"));
    let y = Axis::around([first, second, limit], Label::words("t / mm"));
    let mut plot = Plot::new(c, (96.0, 4.0), (254.0, 204.0), x, y);
    plot.curve(c, "curve", &[(from, first), (to, second)]);
    if let Some(at) = reached {
        let cut = at.min(end);
        let part = (cut - to) / (at - to).max(1e-9);
        plot.curve(c, "ghost", &[(to, second), (cut, second + (limit - second) * part)]);
    }
    plot.level(c, "limit", limit, Label::default());
    let (field, ..) = plot.field();
    c.label((field + 6.0, plot.py(limit) - 5.0), Anchor::Start, v.label("limit"));
    for (at, t, key) in [(from, first, "first"), (to, second, "second")] {
        let (px, py) = plot.at(at, t);
        c.circle("blank", (px, py), 4.0);
        c.label((px + 8.0, py - 6.0), Anchor::Start, v.label(key));
    }
    c.flow(222.0, [v.result("left"), v.result("rate")]);
    c.flow(240.0, [v.result_named("distance", "distance left"), v.result_named("reached-at", "limit at")]);
}

/// Where the thickness is taken.
fn thickness_sketch(c: &mut Canvas, v: &Values, pad: bool) {
    let now = v.px("second", 26.0).min(38.0);
    let least = (now * v.mm("limit") / v.mm("second").max(0.01)).clamp(2.0, now);
    let (top, tall) = (40.0, 118.0);
    if pad {
        c.cut(&rectangle(12.0, top, 12.0, tall));
        c.cut_next(&rectangle(24.0, top + 6.0, now, tall - 12.0));
        c.line("limit", (24.0 + least, top - 2.0), (24.0 + least, top + tall + 2.0));
        c.across(24.0, 24.0 + now, top + tall - 6.0, top + tall + 22.0, Label::default());
        c.label((24.0 + now / 2.0, top + tall + 42.0), Anchor::Middle, Label::symbol("t"));
    } else {
        let left = 44.0 - now / 2.0;
        c.cut(&[
            (left, top),
            (left + now, top),
            (left + now, top + 84.0),
            (left + now + 16.0, top + 84.0),
            (left + now + 16.0, top + tall),
            (left, top + tall),
        ]);
        c.across(left, left + now, top, top - 12.0, Label::default());
        c.label((left + now / 2.0, top - 18.0), Anchor::Middle, Label::symbol("t"));
        c.line("hidden", (44.0 - least / 2.0, top), (44.0 - least / 2.0, top + 84.0));
        c.line("hidden", (44.0 + least / 2.0, top), (44.0 + least / 2.0, top + 84.0));
    }
}

fn disc(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "disc-thickness-variation" => thickness_variation(c, v),
        "disc-heat-rise" => heat_rise(c, v),
        "repeated-stops" => repeated_stops(c, v),
        _ => wear_left(c, v),
    }
}

/// A disc from the front with the measuring points, and the readings in turn.
fn thickness_variation(c: &mut Canvas, v: &Values) {
    c.height = 226.0;
    c.says("A brake disc with its measuring points around one radius, and the thickness at each.");
    let readings = v.list("thickness");
    let centre = (62.0, 104.0);
    c.circle("metal", centre, 54.0);
    c.circle("edge", centre, 30.0);
    c.circle("blank", centre, 12.0);
    c.circle("centre", centre, 43.0);
    let count = readings.len().max(1) as f64;
    for i in 0..readings.len() {
        c.circle("out-dot", polar(centre, 43.0, 270.0 + 360.0 * i as f64 / count), 3.0);
    }
    c.label((centre.0, 40.0), Anchor::Middle, Label::words("1").quiet());
    c.turning(Tone::Given, centre, 62.0, 285.0, 315.0);
    let (low, high) =
        readings.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| (a.min(*t), b.max(*t)));
    let spread = (high - low).max(1e-3);
    let y = Axis::new(low - spread * 0.4, high + spread * 0.4, Label::symbol("t").and("/ mm"));
    let x = Axis::new(0.5, count + 0.5, Label::words("point")).bare();
    let mut plot = Plot::new(c, (132.0, 4.0), (218.0, 190.0), x, y);
    plot.band(c, low, high);
    let points: Vec<P> = readings.iter().enumerate().map(|(i, t)| (i as f64 + 1.0, *t)).collect();
    plot.curve(c, "other", &points);
    for (i, t) in &points {
        c.circle("out-dot", plot.at(*i, *t), 3.5);
    }
    c.flow(218.0, [v.result("variation"), v.result("least")]);
}

/// Speed before and after as the height of the energy that goes into the discs.
fn heat_rise(c: &mut Canvas, v: &Values) {
    c.says("The rise of temperature against the speed before the stop, with the present stop on it.");
    curve::curve(c, v, "from", "rise");
    c.height += 24.0;
    c.flow(c.height - 8.0, [v.result("energy"), v.label("car"), v.label("discs"), v.label("share")]);
}

/// Rise after rise, cooling between, up to the plateau.
fn repeated_stops(c: &mut Canvas, v: &Values) {
    c.height = 236.0;
    c.says("Temperature above the air over time: a rise at each stop, cooling between, nearing a plateau.");
    let (rise, interval, tau) = (v.unit("rise"), v.si("interval"), v.si("time-constant"));
    let keep = (-interval / tau.max(1e-9)).exp();
    let plateau = v.out_unit("plateau").unwrap_or(rise / (1.0 - keep).max(1e-6));
    // As many stops as it takes to be near the plateau, as far as they can be told apart.
    let stops = (3.0 * tau / interval.max(1e-9)).ceil().clamp(4.0, 24.0) as u32;
    let mut points: Vec<P> = vec![(0.0, 0.0)];
    let mut level = 0.0;
    for stop in 0..stops {
        let start = f64::from(stop) * interval;
        level += rise;
        points.push((start, level));
        for i in 1..=6 {
            let t = interval * f64::from(i) / 6.0;
            points.push((start + t, level * (-t / tau.max(1e-9)).exp()));
        }
        level *= keep;
    }
    let end = f64::from(stops) * interval;
    let y = Axis::new(0.0, plateau * 1.15, Label::words("above the air / K"));
    let mut plot =
        Plot::new(c, (10.0, 4.0), (340.0, 204.0), Axis::new(0.0, end, Label::words("time / s")), y);
    plot.curve(c, "curve", &points);
    plot.level(c, "other", plateau, v.result("plateau"));
    c.flow(228.0, [v.label("rise"), v.label("interval"), v.label("time-constant")]);
}

/// Run-out of hub and disc as arrows, end to end; the open dots are the other stud positions.
fn run_out(c: &mut Canvas, v: &Values) {
    c.height = 262.0;
    c.says("Run-out of the hub and of the disc as arrows by size and direction; together they give the run-out, dots show what the other stud positions would give.");
    let centre = (150.0, 126.0);
    let (hub, disc) = (v.unit("hub"), v.unit("disc"));
    let scale = 92.0 / (hub + disc).max(1e-9);
    let studs = v.unit("studs").round().clamp(1.0, 12.0);
    for part in [0.5, 1.0] {
        c.circle("grid", centre, 100.0 * part);
    }
    c.cross(centre, 106.0);
    // Angles are read counter-clockwise from stud one, at the top.
    let towards = |degrees: f64| -90.0 - degrees;
    let hub_end = polar(centre, hub * scale, towards(v.degrees("hub-high")));
    let at = |stud: f64| polar(hub_end, disc * scale, towards(v.degrees("disc-high") + 360.0 / studs * stud));
    let best = (v.out("stud").unwrap_or(1.0) - 1.0).max(0.0);
    c.line("ghost", hub_end, at(best));
    for stud in 0..studs as u32 {
        c.circle("blank", at(f64::from(stud)), 4.0);
    }
    c.circle("out-dot", at(best), 5.0);
    c.line("out", centre, at(0.0));
    c.arrow(Tone::Given, centre, hub_end);
    c.arrow(Tone::Given, hub_end, at(0.0));
    c.label((centre.0, 16.0), Anchor::Middle, Label::words("stud one").quiet());
    c.label((254.0, 40.0), Anchor::Start, v.label("hub"));
    c.label((254.0, 60.0), Anchor::Start, v.label("disc"));
    let middle = |a: P, b: P| ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
    let (h, d) = (middle(centre, hub_end), middle(hub_end, at(0.0)));
    c.label((h.0 + 8.0, h.1), Anchor::Start, Label::symbol("H"));
    c.label((d.0, d.1 - 8.0), Anchor::Middle, Label::symbol("D"));
    c.label((254.0, 96.0), Anchor::Start, v.result("as-it-is"));
    c.label((254.0, 132.0), Anchor::Start, v.result("least"));
    c.label((254.0, 152.0), Anchor::Start, v.result_named("stud", "on stud"));
    c.flow(256.0, [v.named("hub-high", "hub high at"), v.named("disc-high", "disc high at")]);
}

/// Disc and caliper in section: pistons press both pads, friction acts at the effective radius.
fn disc_brake(c: &mut Canvas, v: &Values) {
    c.height = 256.0;
    c.says("Disc and caliper in section: the piston presses the pads on the disc, friction pulls at the effective radius.");
    let axis = 222.0;
    let radius = v.px("radius", 130.0).min(160.0);
    let bore = v.px("bore", 48.0).min(66.0);
    let (x, y) = (180.0, axis - radius);
    c.cut(&rectangle(x - 10.0, y - 34.0, 20.0, radius + 14.0));
    c.cut(&rectangle(x - 10.0, axis - 20.0, 66.0, 14.0));
    for side in [-1.0, 1.0] {
        let pad = if side < 0.0 { x - 24.0 } else { x + 10.0 };
        c.rect("dark", pad, y - 24.0, 14.0, 48.0);
        let plate = if side < 0.0 { x - 30.0 } else { x + 24.0 };
        c.rect("metal", plate, y - 27.0, 6.0, 54.0);
    }
    let top = (y - bore / 2.0 - 12.0).min(y - 44.0);
    let outline = [
        (x - 92.0, top),
        (x + 56.0, top),
        (x + 56.0, y + 34.0),
        (x + 30.0, y + 34.0),
        (x + 30.0, y - 36.0),
        (x - 30.0, y - 36.0),
        (x - 30.0, y - bore / 2.0),
        (x - 78.0, y - bore / 2.0),
        (x - 78.0, y + bore / 2.0),
        (x - 30.0, y + bore / 2.0),
        (x - 30.0, y + bore / 2.0 + 12.0),
        (x - 92.0, y + bore / 2.0 + 12.0),
    ];
    c.cut_next(&outline);
    c.rect("fluid", x - 78.0, y - bore / 2.0, 22.0, bore);
    c.rect("metal", x - 56.0, y - bore / 2.0, 26.0, bore);
    c.centre((40.0, axis), (330.0, axis));
    c.centre((x - 110.0, y), (x + 70.0, y));
    c.arrow(Tone::Result, (x - 54.0, y), (x - 26.0, y));
    c.arrow(Tone::Result, (x + 56.0, y), (x + 26.0, y));
    c.label((x + 64.0, y + 22.0), Anchor::Start, v.result("clamp"));
    c.upright(y, axis, x + 70.0, 292.0, v.label("radius"));
    c.upright(y - bore / 2.0, y + bore / 2.0, x - 92.0, 66.0, v.label("bore"));
    c.label((66.0, y + bore / 2.0 + 36.0), Anchor::Middle, v.label("pressure"));
    c.label((66.0, y + bore / 2.0 + 56.0), Anchor::Middle, v.label("pistons"));
    c.label((10.0, 248.0), Anchor::Start, v.label("friction"));
    c.label((350.0, 248.0), Anchor::End, v.result("torque"));
}

/// The bar between its clevises, the pedal's push at the pivot, a master behind each end.
fn balance_bar(c: &mut Canvas, v: &Values) {
    c.height = 256.0;
    c.says("A balance bar from above: the pedal pushes at the pivot, each end on its own master; nearer the pivot, harder the push.");
    let width = v.px("width", 112.0).min(150.0);
    let half = width / 2.0;
    let share = (v.mm("offset") / v.mm("width").max(1.0)).clamp(-0.48, 0.48);
    let (middle, bar) = (116.0, 92.0);
    let (front, rear) = (middle - half, middle + half);
    let pivot = middle - share * width;
    c.line_thick("metal", (bar, front - 12.0), (bar, rear + 12.0), 9.0);
    for (y, key, id, name) in
        [(front, "front-bore", "front-pressure", "front"), (rear, "rear-bore", "rear-pressure", "rear")]
    {
        let bore = v.px(key, 26.0).min(38.0);
        c.line_thick("metal", (bar, y), (168.0, y), 5.0);
        c.circle("metal", (bar, y), 7.0);
        c.circle("blank", (bar, y), 2.5);
        c.hydraulic(y, bore, 226.0, 152.0, 182.0);
        c.label((252.0, y - 4.0), Anchor::Start, v.result(id));
        c.label((252.0, y + 15.0), Anchor::Start, v.label(key));
        c.label((190.0, y - bore / 2.0 - 12.0), Anchor::Middle, Label::words(name).quiet());
    }
    c.circle("blank", (bar, pivot), 8.0);
    c.circle("dot", (bar, pivot), 3.0);
    c.arrow(Tone::Given, (20.0, pivot), (bar - 10.0, pivot));
    c.label((8.0, pivot - 22.0), Anchor::Start, v.label("pedal-force"));
    c.label((8.0, pivot - 6.0), Anchor::Start, v.label("pedal-ratio"));
    c.line("centre", (bar - 30.0, middle), (bar + 30.0, middle));
    c.upright(front, rear, bar - 10.0, 126.0, v.label("width"));
    if (middle - pivot).abs() > 0.5 {
        c.dimension((bar - 24.0, middle), (bar - 24.0, pivot), 0.0, Label::default());
    }
    c.label((8.0, middle + 34.0), Anchor::Start, v.label("offset"));
    c.flow(250.0, [v.result_named("front-push", "front share of the push")]);
}

fn brake_fluid(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "brake-fluid-boiling-margin" => boiling_margin(c, v),
        "brake-fluid-stability" => {
            curve::curve(c, v, "boiling", "allowance");
            c.says("The change that is allowed against the boiling point.");
        }
        _ => fluid_classes(c, v),
    }
}

/// Boiling point falling with water, the hottest fluid expected below it.
fn boiling_margin(c: &mut Canvas, v: &Values) {
    c.height = 240.0;
    c.says("Boiling point against water in the fluid, from the dry to the wet value of its class, over the hottest fluid expected.");
    let (dry, wet, hottest) = (v.unit("dry"), v.unit("wet"), v.unit("hottest"));
    let boiling = v.out_unit("boiling").unwrap_or(wet);
    let y = Axis::around([dry, wet, hottest, boiling], Label::words("boiling point / °C"));
    let mut plot =
        Plot::new(c, (10.0, 4.0), (340.0, 206.0), Axis::new(0.0, 4.0, Label::words("water / %")), y);
    plot.curve(c, "curve", &[(0.0, dry), (3.7, wet)]);
    plot.level(c, "limit", hottest, v.label("hottest"));
    let falls = dry - wet;
    let water = if v.given("water") {
        v.unit("water")
    } else if falls.abs() > 1e-9 {
        ((dry - boiling) / falls * 3.7).clamp(0.0, 3.7)
    } else {
        0.0
    };
    plot.point(c, water, boiling, v.result("boiling"));
    let foot = plot.at(water, hottest);
    let head = plot.at(water, boiling);
    if foot.1 - head.1 > 12.0 {
        c.line("out", (head.0, head.1 + 6.0), foot);
    }
    c.flow(234.0, [v.label("dry"), v.label("wet"), v.result("margin")]);
}

/// Dry against wet boiling points that the classes ask for, and the fluid in hand.
fn fluid_classes(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("The dry and wet boiling points that each class asks for; a fluid meets a class that lies to the left of it and below.");
    let chosen = v.text("class");
    let y = Axis::new(190.0, 300.0, Label::words("dry boiling point / °C"));
    let x = Axis::new(122.0, 210.0, Label::words("wet boiling point / °C"));
    let plot = Plot::new(c, (10.0, 4.0), (340.0, 220.0), x, y);
    let (_, _, right, _) = plot.field();
    for (class, dry, wet) in classes(&chosen) {
        let at = plot.at(wet, dry);
        if class.split(", ").any(|one| one == chosen) {
            c.open("guide", &[(right, at.1), at, plot.at(wet, 190.0)]);
            c.circle("out-dot", at, 5.5);
            c.label((at.0 - 8.0, at.1 - 6.0), Anchor::End, Label::words(class).result());
        } else {
            c.circle("blank", at, 4.0);
            c.label((at.0 - 7.0, at.1 + 4.0), Anchor::End, Label::words(class).quiet());
        }
    }
    if v.takes("class") {
        c.flow(244.0, [v.result("dry"), v.result("wet"), v.result_named("viscosity-cold", "at −40 °C ≤")]);
    } else {
        let (wet, dry) = (v.unit("wet"), v.unit("dry"));
        let (px, py) = plot.at(wet, dry);
        let (left, _, _, bottom) = plot.field();
        c.rect("ghost", left, py, px - left, bottom - py);
        c.rect("out-dot", px - 5.0, py - 5.0, 10.0, 10.0);
        c.label((px + 9.0, py - 6.0), Anchor::Start, Label::words("this fluid").result());
        c.flow(244.0, [v.label("dry"), v.label("wet")]);
    }
}

/// The classes with the boiling points they ask for, in °C, as the bench has them; those that ask for the same stand
/// together, but for the one that is chosen.
fn classes(chosen: &str) -> Vec<(String, f64, f64)> {
    let Ok(limits) = bench::formula("brake-fluid-limits") else { return vec![] };
    let Some(Shape::Choice { choices, .. }) = limits.input("class").map(|input| &input.shape) else {
        return vec![];
    };
    let mut classes: Vec<(String, f64, f64)> = vec![];
    for class in *choices {
        let Ok(answer) = limits.evaluate(&Inputs::new().text("class", *class)) else { continue };
        let celsius = |id: &str| Some(limits.output(id)?.unit?.from_si(answer.number(id)?.si));
        let (Some(dry), Some(wet)) = (celsius("dry"), celsius("wet")) else { continue };
        let same = classes
            .iter_mut()
            .find(|(had, a, b)| (*a, *b) == (dry, wet) && had != chosen && *class != chosen);
        match same {
            Some((had, ..)) => *had += &format!(", {class}"),
            None => classes.push(((*class).to_owned(), dry, wet)),
        }
    }
    classes
}

/// Four lines as long as they are, with their calipers, volumes and turns.
fn brake_lines(c: &mut Canvas, v: &Values) {
    c.height = 216.0;
    c.says(
        "The four brake lines as long as they are, each with its caliper, the volume to draw and its turn.",
    );
    let (lengths, calipers, volumes) = (v.list("lengths"), v.list("calipers"), v.outs("volumes"));
    let names = ["front left", "front right", "rear left", "rear right"];
    let order = v.wordlist("order");
    let longest = lengths.iter().copied().fold(0.1, f64::max);
    let most = calipers.iter().copied().fold(1.0, f64::max);
    c.rect("metal", 84.0, 16.0, 20.0, 158.0);
    c.label((94.0, 190.0), Anchor::Middle, Label::words("master").quiet());
    for (i, name) in names.into_iter().enumerate() {
        let y = 32.0 + 42.0 * i as f64;
        let long = 24.0 + 96.0 * lengths.get(i).copied().unwrap_or(1.0) / longest;
        let size = 7.0 + 7.0 * (calipers.get(i).copied().unwrap_or(1.0) / most).max(0.0).sqrt();
        c.label((78.0, y + 4.0), Anchor::End, Label::words(name).quiet());
        c.line("bold", (104.0, y), (104.0 + long, y));
        c.circle("fluid", (104.0 + long + size, y), size);
        c.circle("edge", (104.0 + long + size, y), size);
        if let Some(turn) = order.iter().position(|at| at == name) {
            c.label(
                (104.0 + long + size, y + 4.5),
                Anchor::Middle,
                Label::words(number(turn as f64 + 1.0)).result(),
            );
        }
        if let Some(length) = lengths.get(i).filter(|_| v.given("lengths")) {
            c.label(
                (104.0 + long / 2.0, y - 5.0),
                Anchor::Middle,
                Label::words(rounded(*length, Unit::M)).quiet(),
            );
        }
        if v.answered("volumes")
            && let Some(volume) = volumes.get(i)
        {
            c.label(
                (350.0, y + 4.5),
                Anchor::End,
                Label::words(format!("{} mL", number(volume.round()))).result(),
            );
        }
    }
    c.flow(210.0, [v.label("bore"), v.label("times"), v.result("total")]);
}
