//! Clutch and its hydraulics.

use super::Drawings;
use crate::kit::{Anchor, Canvas, FALLING, Label, P, RISING, Tone, arc_points, polar, rectangle, turned};
use crate::values::{Values, eased};

pub const DRAWINGS: Drawings =
    &[("clutch-release", clutch_release), ("hydraulic-pair", hydraulic_pair), ("clutch-disc", clutch_disc)];

fn clutch_release(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "clutch-lining-wear" => lining_wear(c, v),
        "clutch-pair-compared" => pair_compared(c, v),
        _ => pedal_to_bearing(c, v),
    }
}

/// A pedal hung from its pivot, pushing a master cylinder; gives where the push rod meets it.
fn pedal(c: &mut Canvas, pivot: P, ratio: f64, foot: f64, axis_x: f64) -> P {
    let reach = foot - pivot.1;
    let arm = (reach / ratio.clamp(1.6, 9.0)).clamp(16.0, reach * 0.6);
    let rod = (pivot.0, pivot.1 + arm);
    c.line_thick("metal", (pivot.0, pivot.1 - 4.0), (pivot.0, foot), 7.0);
    c.rect("metal", pivot.0 - 9.0, foot, 6.0, 30.0);
    c.rect("metal", pivot.0 - 6.0, foot, 10.0, 6.0);
    c.line_thick("metal", rod, (axis_x, rod.1), 5.0);
    for at in [pivot, rod] {
        c.circle("metal", at, 6.0);
        c.circle("blank", at, 2.5);
    }
    rod
}

/// Pedal, master, line, slave, fork and bearing in one view.
fn pedal_to_bearing(c: &mut Canvas, v: &Values) {
    c.height = 262.0;
    c.says("From the pedal through master cylinder, line and slave cylinder to the fork and the release bearing.");
    let effort = v.is("clutch-pedal-effort");
    let (master, slave) = (
        v.px("master-bore", 22.0),
        v.px("master-bore", 22.0) * (v.mm("slave-bore") / v.mm("master-bore").max(1e-3)).clamp(0.5, 2.2),
    );
    let slave = slave.min(46.0);
    let pivot = (40.0, 26.0);
    let rod = pedal(c, pivot, v.unit("pedal-ratio"), 146.0, 112.0);
    let axis = rod.1;
    let (closed, open) = (184.0, 104.0);
    c.hydraulic(axis, master, closed, open, 128.0);
    // The line runs over to the slave, which pushes the fork.
    let low = 166.0;
    c.open("bold", &[(closed + 6.0, axis), (204.0, axis), (204.0, low), (226.0, low)]);
    c.hydraulic(low, slave, 232.0, 292.0, 250.0);
    c.line_thick("metal", (264.0, low), (316.0, low), 5.0);
    let ratio = if v.takes("fork-ratio") { v.unit("fork-ratio").clamp(0.5, 3.5) } else { 1.8 };
    let fork_pivot = (320.0, low + 58.0 * ratio / (1.0 + ratio));
    let bearing = low + 58.0;
    c.line_thick("metal", (320.0, low - 8.0), (320.0, bearing + 8.0), 7.0);
    c.circle("metal", (320.0, low), 5.0);
    c.circle("blank", fork_pivot, 4.0);
    c.rect("metal", 300.0, bearing - 8.0, 14.0, 16.0);
    c.line("centre", (270.0, bearing), (350.0, bearing));
    c.label((188.0, axis - 16.0), Anchor::Start, v.label("master-bore"));
    c.label((232.0, low - slave / 2.0 - 14.0), Anchor::Start, v.label("slave-bore"));
    c.label((56.0, 22.0), Anchor::Start, v.label("pedal-ratio"));
    if v.given("fork-ratio") || effort {
        c.label((312.0, low - 22.0), Anchor::Start, v.label("fork-ratio"));
    }
    if effort {
        c.arrow(Tone::Result, (6.0, 160.0), (30.0, 160.0));
        c.label((6.0, 194.0), Anchor::Start, v.result("effort"));
        c.arrow(Tone::Result, (262.0, low), (284.0, low));
        c.label((232.0, low + slave / 2.0 + 22.0), Anchor::Start, v.result("slave-force"));
        c.arrow(Tone::Given, (300.0, bearing), (268.0, bearing));
        c.label((262.0, bearing + 4.0), Anchor::End, v.label("bearing-force"));
        c.flow(256.0, [v.named("friction", "lost to friction")]);
        return;
    }
    let (play, stroke) = (v.px("free-play", 8.0), v.px("pedal-stroke", 40.0));
    c.line("ghost", pivot, turned((pivot.0, 176.0), pivot, -stroke * 0.5));
    let swing = |degrees: f64| polar(pivot, 162.0, 90.0 - degrees);
    let free = play * 0.5;
    c.open("thin", &arc_points(pivot, 162.0, 90.0, 90.0 - stroke * 0.5));
    c.arrowhead("tip", swing(stroke * 0.5), (1.0, -0.2));
    c.line("thin", polar(pivot, 156.0, 90.0 - free), polar(pivot, 168.0, 90.0 - free));
    c.height = 282.0;
    let bearing_travel = v.result_named("bearing-travel", "bearing");
    c.label((294.0, bearing + 5.0), Anchor::End, bearing_travel);

    c.dimension(
        (128.0, axis + master / 2.0 + 6.0),
        (166.0, axis + master / 2.0 + 6.0),
        12.0,
        Label::default(),
    );
    c.label((147.0, axis + master / 2.0 + 34.0), Anchor::Middle, v.result("master-travel"));
    c.label((232.0, low + slave / 2.0 + 24.0), Anchor::Start, v.result("slave-travel"));

    c.flow(256.0, [v.label("pedal-stroke"), v.label("free-play"), v.label("loss")]);
    c.flow(275.0, [v.named("needed", "needed"), v.result("spare")]);
}

/// The pair fitted and the pair intended, one above the other.
fn pair_compared(c: &mut Canvas, v: &Values) {
    c.height = 256.0;
    c.says(
        "Master and slave cylinder as fitted and as intended, bores to scale, with the travel of each slave.",
    );
    let keys = [
        ("fitted", "master-bore", "slave-bore", "travel", 60.0),
        ("intended", "intended-master-bore", "intended-slave-bore", "intended-travel", 160.0),
    ];
    let most = keys.iter().map(|k| v.mm(k.1).max(v.mm(k.2))).fold(1.0, f64::max);
    let travel = |id: &str| v.out(id).unwrap_or(0.015) * 1e3;
    let furthest = travel("travel").max(travel("intended-travel")).max(v.mm("needed")).max(1.0);
    for (name, master, slave, id, y) in keys {
        let (m, s) = ((v.mm(master) / most * 44.0).max(9.0), (v.mm(slave) / most * 44.0).max(9.0));
        c.hydraulic(y, m, 150.0, 60.0, 96.0);
        c.line_thick("metal", (30.0, y), (82.0, y), 5.0);
        c.line("bold", (156.0, y), (194.0, y));
        let went = (travel(id) / furthest * 52.0).clamp(2.0, 52.0);
        c.hydraulic(y, s, 200.0, 300.0, 208.0 + went);
        c.line_thick("metal", (222.0 + went, y), (330.0, y), 5.0);
        c.line("hidden", (208.0, y - s / 2.0), (208.0, y + s / 2.0));
        c.label((8.0, y - 38.0), Anchor::Start, Label::words(name).quiet());
        c.label((96.0, y + m / 2.0 + 20.0), Anchor::Middle, v.label(master));
        c.label((248.0, y + s / 2.0 + 20.0), Anchor::End, v.label(slave));
        c.label((350.0, y + s / 2.0 + 20.0), Anchor::End, v.result(id));
        c.arrow(Tone::Result, (304.0, y - 16.0), (334.0, y - 16.0));
    }
    c.flow(228.0, [v.named("needed", "needed"), v.result("spare")]);
    c.flow(248.0, [v.result_named("effort", "effort against the intended")]);
}

/// Slave, fork, fingers and plate: the slave rests further back as the lining wears.
fn lining_wear(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says(
        "Slave cylinder, fork, diaphragm fingers and clutch plate: as the lining wears, the fingers come out and the slave rests further back.",
    );
    let retreat = v.signed("retreat", 16.0).clamp(-14.0, 26.0);
    let (axis, shaft) = (56.0, 166.0);
    c.hydraulic(axis, 28.0, 18.0, 122.0, 62.0 - retreat);
    c.line("ghost", (62.0, axis - 22.0), (62.0, axis + 22.0));
    c.across(62.0 - retreat, 62.0, axis + 22.0, axis + 40.0, v.label("retreat"));
    // The fork turns about its foot; the bearing is pushed between foot and slave.
    let ratio = v.unit("fork-ratio").clamp(1.05, 3.2);
    let foot = (168.0, shaft + ((shaft - axis) / (ratio - 1.0).max(0.55)).clamp(20.0, 52.0));
    let top = (150.0 - retreat, axis);
    let along = |y: f64| (foot.0 + (top.0 - foot.0) * (foot.1 - y) / (foot.1 - top.1), y);
    c.line_thick("metal", (76.0 - retreat, axis), top, 5.0);
    c.line_thick("metal", (along(axis - 10.0).0, axis - 10.0), foot, 7.0);
    c.circle("metal", top, 5.0);
    c.circle("metal", foot, 6.0);
    c.circle("blank", foot, 2.5);
    let bearing = along(shaft - 12.0).0 + 4.0;
    c.rect("metal", bearing, shaft - 22.0, 13.0, 20.0);
    let ring = (252.0, 84.0);
    c.line_thick("metal", (bearing + 15.0, shaft - 12.0), ring, 5.0);
    c.line_thick("metal", ring, (264.0, 58.0), 5.0);
    c.circle("blank", ring, 4.0);
    let lining = 5.0 + 8.0 * v.out("left").unwrap_or(0.5).clamp(0.0, 1.0);
    c.cut(&rectangle(262.0, 38.0, 15.0, 70.0));
    for left in [277.0, 277.0 + lining + 5.0] {
        c.rect("dark", left, 42.0, lining, 60.0);
    }
    c.rect("metal", 277.0 + lining, 40.0, 5.0, shaft - 40.0);
    c.cut_next(&rectangle(282.0 + 2.0 * lining, 28.0, 18.0, shaft - 24.0));
    c.centre((136.0, shaft), (352.0, shaft));
    c.label((100.0, 132.0), Anchor::Middle, v.label("fork-ratio"));
    c.label((240.0, 146.0), Anchor::Middle, v.label("finger-ratio"));
    c.label((352.0, 20.0), Anchor::End, v.label("allowed"));
    c.flow(242.0, [v.result("worn"), v.result("left")]);
}

fn hydraulic_pair(c: &mut Canvas, v: &Values) {
    if v.is("line-pressure") { line_pressure(c, v) } else { slave_force(c, v) }
}

/// A pedal on a master cylinder, its line with a gauge.
fn line_pressure(c: &mut Canvas, v: &Values) {
    c.height = 226.0;
    c.says("A pedal pushing a master cylinder: the force on the push rod over the bore's area is the pressure in the line.");
    let pivot = (66.0, 24.0);
    let rod = pedal(c, pivot, v.unit("pedal-ratio"), 150.0, 150.0);
    let master = v.px("master-bore", 34.0).min(48.0);
    c.hydraulic(rod.1, master, 230.0, 132.0, 164.0);
    c.open("bold", &[(236.0, rod.1), (286.0, rod.1), (286.0, 112.0)]);
    let pressure = v.out_unit("pressure").unwrap_or(80.0);
    c.gauge(Tone::Result, (286.0, 146.0), 34.0, pressure / 200.0);
    c.label((286.0, 200.0), Anchor::Middle, v.result("pressure"));
    c.arrow(Tone::Given, (14.0, 166.0), (54.0, 166.0));
    c.label((10.0, 200.0), Anchor::Start, v.label("pedal-force"));
    c.label((82.0, 20.0), Anchor::Start, v.label("pedal-ratio"));
    c.arrow(Tone::Result, (84.0, rod.1), (122.0, rod.1));
    c.label((100.0, rod.1 + master / 2.0 + 34.0), Anchor::Start, v.result("push"));
    c.upright(rod.1 - master / 2.0, rod.1 + master / 2.0, 206.0, 206.0, Label::default());
    c.label((214.0, rod.1 - master / 2.0 - 12.0), Anchor::Start, v.label("master-bore"));
}

/// Master and slave joined by their line: travel divides, force multiplies by the areas.
fn slave_force(c: &mut Canvas, v: &Values) {
    c.height = 196.0;
    c.says(
        "Master and slave cylinder joined by a line, bores to scale: the areas share out travel and force.",
    );
    let (m, s) = (v.mm("master-bore"), v.mm("slave-bore"));
    let scale = 58.0 / m.max(s).max(1.0);
    let (master, slave) = ((m * scale).max(10.0), (s * scale).max(10.0));
    let axis = 84.0;
    let went = v.px("master-travel", 28.0).min(44.0);
    c.hydraulic(axis, master, 138.0, 48.0, 66.0 + went - 28.0);
    c.line_thick("metal", (14.0, axis), (52.0 + went - 28.0, axis), 6.0);
    c.line("bold", (144.0, axis), (216.0, axis));
    c.hydraulic(axis, slave, 222.0, 306.0, 250.0);
    c.line_thick("metal", (264.0, axis), (318.0, axis), 6.0);
    c.label((180.0, axis - 8.0), Anchor::Middle, v.label("pressure"));
    c.label((94.0, axis - 46.0), Anchor::Middle, v.label("master-bore"));
    c.label((264.0, axis - 46.0), Anchor::Middle, v.label("slave-bore"));
    c.arrow(Tone::Given, (14.0, axis + 48.0), (14.0 + went, axis + 48.0));
    c.label((20.0 + went, axis + 52.0), Anchor::Start, v.label("master-travel"));
    let travel = eased(v.out("travel").unwrap_or(0.02), 0.02, 28.0).min(44.0);
    c.arrow(Tone::Result, (214.0, axis + 48.0), (214.0 + travel, axis + 48.0));
    c.label((222.0 + travel, axis + 52.0), Anchor::Start, v.result("travel"));
    c.arrow(Tone::Result, (318.0, axis), (346.0, axis));
    c.label((350.0, axis - 14.0), Anchor::End, v.result("force"));
    c.flow(182.0, [v.label("pistons"), v.result("area-ratio")]);
}

/// A facing from the front and, beside it, the clamped plate in section.
fn clutch_disc(c: &mut Canvas, v: &Values) {
    c.height = 246.0;
    c.says("A clutch facing from the front, inner and outer diameter to scale, and the plate clamped between its faces.");
    let centre = (116.0, 108.0);
    let outer = 84.0;
    let inner = (outer * v.mm("inner") / v.mm("outer").max(1e-3)).clamp(12.0, outer - 4.0);
    c.cut_rings(&[&arc_points(centre, outer, 0.0, 356.0), &arc_points(centre, inner, 0.0, 356.0)], RISING);
    c.circle("metal", centre, 11.0);
    c.cross(centre, outer + 8.0);
    c.dimension(polar(centre, inner, 205.0), polar(centre, inner, 25.0), 0.0, Label::default());
    c.label((centre.0, centre.1 + 24.0), Anchor::Middle, v.label("inner"));
    c.across(centre.0 - outer, centre.0 + outer, centre.1, centre.1 + outer + 22.0, v.label("outer"));
    let x = 276.0;
    for side in [-1.0, 1.0] {
        let y = |r: f64| centre.1 + side * r;
        let (top, high) = (y(outer).min(y(inner)), outer - inner);
        c.rect("dark", x - 12.0, top, 8.0, high);
        c.rect("dark", x + 4.0, top, 8.0, high);
        c.cut_rings(&[&rectangle(x - 30.0, top, 18.0, high)], RISING);
        c.cut_rings(&[&rectangle(x + 12.0, top, 18.0, high)], FALLING);
        let middle = top + high / 2.0;
        c.arrow(Tone::Given, (x - 60.0, middle), (x - 32.0, middle));
        c.arrow(Tone::Given, (x + 60.0, middle), (x + 32.0, middle));
    }
    c.rect("metal", x - 4.0, centre.1 - outer, 8.0, 2.0 * outer);
    c.centre((x - 50.0, centre.1), (x + 60.0, centre.1));
    let clamp = if v.given("peak-pressure") { v.label("peak-pressure") } else { v.label("clamp") };
    c.label((350.0, centre.1 - 8.0), Anchor::End, clamp);
    c.label((350.0, centre.1 + 22.0), Anchor::End, v.label("friction"));
    c.label((350.0, centre.1 + outer + 22.0), Anchor::End, v.label("faces"));
    c.flow(c.height - 8.0, [v.result("torque"), v.result("reserve")]);
}
