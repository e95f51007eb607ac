//! Belts and drives.

use super::Drawings;
use crate::kit::{Anchor, Canvas, FALLING, P, Tone, arc_points, polar};
use crate::values::Values;

pub const DRAWINGS: Drawings =
    &[("belt-span", belt_span), ("belt-drive", belt_drive), ("ribbed-belt", ribbed_belt)];

/// A span between two pulleys, swinging at its lowest note; or, for a weighed belt, a piece of it from its edge.
fn belt_span(c: &mut Canvas, v: &Values) {
    if v.is("belt-unit-mass") {
        return weighed_belt(c, v);
    }
    c.height = 190.0;
    c.says("A belt span between two pulleys, plucked in the middle; the free span is measured between the points where the belt leaves the pulleys.");
    let half = v.px("span", 105.0).min(120.0);
    let (left, right, y, r) = (180.0 - half, 180.0 + half, 78.0, 34.0);
    for x in [left, right] {
        c.circle("metal", (x, y + r), r);
        c.circle("metal", (x, y + r), 5.0);
        c.cross((x, y + r), r + 6.0);
    }
    // The belt comes off each pulley and goes on down outside the drawing.
    c.open("bold", &arc_points((left, y + r), r, 180.0, 270.0));
    c.open("bold", &arc_points((right, y + r), r, 270.0, 360.0));
    c.line("bold", (left, y), (right, y));
    c.line("bold", (left - r, y + r), (left - r, y + r + 40.0));
    c.line("bold", (right + r, y + r), (right + r, y + r + 40.0));
    // A slack span swings wide, a tight one hardly.
    let swing =
        if v.takes("frequency") { 26.0 - v.px("frequency", 10.0) } else { 26.0 - v.px("tension", 10.0) };
    for side in [1.0, -1.0] {
        let wave: Vec<P> = (0..=40)
            .map(|i| f64::from(i) / 40.0)
            .map(|t| (left + (right - left) * t, y - side * swing * (std::f64::consts::PI * t).sin()))
            .collect();
        c.open("ghost", &wave);
    }
    c.travel((180.0, y), swing);
    c.dimension((left, y), (right, y), -46.0, v.label("span"));
    let note = if v.takes("frequency") { v.label("frequency") } else { v.result("frequency") };
    c.label((180.0, y + swing + 18.0), Anchor::Middle, note);
    let tension = if v.takes("tension") { v.label("tension") } else { v.result("tension") };
    let tone = if v.takes("tension") { Tone::Given } else { Tone::Result };
    c.arrow(tone, (left - r, y + r + 40.0), (left - r, y + r + 66.0));
    c.label((left - r + 10.0, y + r + 68.0), Anchor::Start, tension);
    c.label((right + r - 8.0, y + r + 68.0), Anchor::End, v.label("mass-per-length"));
}

/// A length of ribbed belt: its ribs in section, its length along.
fn weighed_belt(c: &mut Canvas, v: &Values) {
    c.height = 190.0;
    c.says(
        "A belt laid out flat, with its section: the mass of the whole over its length, and over its ribs.",
    );
    let ribs = v.unit("ribs").round().clamp(1.0, 12.0);
    let pitch = (150.0 / ribs).clamp(12.0, 40.0);
    let (left, top, back, deep) = (180.0 - pitch * ribs / 2.0, 34.0, 12.0, pitch * 0.75);
    let mut outline = vec![(left, top), (left + pitch * ribs, top), (left + pitch * ribs, top + back)];
    for i in (0..ribs as u32).rev() {
        let x = left + pitch * f64::from(i);
        outline.extend([
            (x + pitch * 0.72, top + back + deep),
            (x + pitch * 0.28, top + back + deep),
            (x, top + back),
        ]);
    }
    c.cut_rings(&[&outline], FALLING);
    c.label((left + pitch * ribs + 14.0, top + 14.0), Anchor::Start, v.label("ribs"));
    c.label((left - 14.0, top + 14.0), Anchor::End, v.label("mass"));
    let half = v.px("length", 120.0).min(165.0);
    let y = 108.0;
    c.rect("metal", 180.0 - half, y, 2.0 * half, 12.0);
    for i in 1..4 {
        c.line("thin", (180.0 - half, y + 3.0 * f64::from(i)), (180.0 + half, y + 3.0 * f64::from(i)));
    }
    c.dimension((180.0 - half, y + 12.0), (180.0 + half, y + 12.0), 26.0, v.label("length"));
    c.label((172.0, 178.0), Anchor::End, v.result("unit-mass"));
    c.label((188.0, 178.0), Anchor::Start, v.result("per-rib"));
}

/// Two pulleys and their belt, to scale.
fn belt_drive(c: &mut Canvas, v: &Values) {
    c.height = 230.0;
    c.says("Two pulleys to scale: centre distance, diameters at the belt's pitch line, the free span and the wrap of each.");
    let (centres, large, small) = (v.mm("centres"), v.mm("large"), v.mm("small"));
    let scale = (300.0 / (centres + (large + small) / 2.0)).min(116.0 / large.max(small));
    let (big, little) = ((large / 2.0 * scale).max(9.0), (small / 2.0 * scale).max(9.0));
    let distance = (centres * scale).clamp((big - little).abs() + 4.0, 346.0 - big - little);
    let left = 180.0 - (distance + big + little) / 2.0 + big;
    let (a, b) = ((left, 104.0), (left + distance, 104.0));
    let lean = ((big - little) / distance).clamp(-1.0, 1.0).asin().to_degrees();
    for (at, r) in [(a, big), (b, little)] {
        c.circle("metal", at, r - 1.5);
        c.circle("metal", at, (r * 0.16).max(2.5));
        c.cross(at, r + 7.0);
    }
    // The belt touches where the radius stands square to the span.
    let (up, down) = (270.0 + lean, 90.0 - lean);
    c.open("bold", &arc_points(a, big, down, up));
    c.open("bold", &arc_points(b, little, up - 360.0, down));
    c.line("bold", polar(a, big, up), polar(b, little, up));
    c.line("bold", polar(a, big, down), polar(b, little, down));
    c.arc("out", b, little + 7.0, up - 360.0, down);
    c.arc("out", a, big + 7.0, down, up);
    c.dimension(polar(a, big, up), polar(b, little, up), -16.0, v.result("span"));
    c.dimension(a, b, 88.0, v.label("centres"));
    c.leader(polar(a, big, 125.0), (a.0 - big * 0.5 - 6.0, 186.0), v.label("large"));
    c.leader(polar(b, little, 55.0), (b.0 + little * 0.5, 176.0), v.label("small"));
    c.label((10.0, 16.0), Anchor::Start, v.result_named("large-wrap", "wrap of D"));
    c.label((350.0, 16.0), Anchor::End, v.result_named("small-wrap", "wrap of d"));
    c.label((180.0, 224.0), Anchor::Middle, v.result("ratio"));
}

/// A pin lying in a groove: it stands above the ribs when new and sinks as the flanks wear.
fn ribbed_belt(c: &mut Canvas, v: &Values) {
    c.height = 240.0;
    c.says("Section of a ribbed belt with a pin in the groove: how far the pin stands above the ribs, new and now.");
    let half_angle = (v.degrees("angle") / 2.0).clamp(10.0, 45.0);
    let (pitch, flat, ribs_at) = (96.0, 30.0, 118.0);
    let deep = (((pitch - flat) / 2.0 - 6.0) / half_angle.to_radians().tan()).clamp(30.0, 70.0);
    let run = deep * half_angle.to_radians().tan();
    let middle = 180.0;
    let mut outline = vec![(20.0, 205.0), (20.0, ribs_at)];
    for groove in [middle - pitch, middle, middle + pitch] {
        outline.extend([
            (groove - run - 4.0, ribs_at),
            (groove - 4.0, ribs_at + deep),
            (groove + 4.0, ribs_at + deep),
            (groove + run + 4.0, ribs_at),
        ]);
    }
    outline.extend([(340.0, ribs_at), (340.0, 205.0)]);
    c.cut(&outline);
    let r = 24.0;
    let (new, now) =
        (v.signed("stands-new", 40.0).clamp(-20.0, 44.0), v.signed("stands", 23.3).clamp(-34.0, 44.0));
    c.circle("ghost", (middle, ribs_at - new + r), r);
    c.circle("blank", (middle, ribs_at - now + r), r);
    c.cross((middle, ribs_at - now + r), r + 5.0);
    c.upright(ribs_at - new, ribs_at, middle, middle - 112.0, v.label("stands-new"));
    c.upright(ribs_at - now, ribs_at, middle, middle + 112.0, v.label("stands"));
    c.angle(
        (middle + pitch, ribs_at + deep + 4.0 / half_angle.to_radians().tan()),
        deep * 0.82,
        270.0 - half_angle,
        270.0 + half_angle,
        v.label("angle"),
    );
    c.dimension(
        (middle - pitch, ribs_at + deep),
        (middle, ribs_at + deep),
        222.0 - ribs_at - deep,
        v.label("pitch"),
    );
    c.label((10.0, 16.0), Anchor::Start, v.result("widening").then(v.result_named("share", "=")));
    c.label((10.0, 36.0), Anchor::Start, v.result("deeper"));
}
