//! Bottom end.

use super::Drawings;
use crate::figure::rounded;
use crate::kit::{Anchor, Canvas, FALLING, Label, P, RISING, arc_points, polar, rectangle};
use crate::values::{Values, eased};
use quantity::Unit;

pub const DRAWINGS: Drawings =
    &[("bearing", bearing), ("thrust-washers", thrust_washers), ("ring-gap", ring_gap)];

/// Points of a whole circle.
fn ring(centre: P, radius: f64) -> Vec<P> {
    arc_points(centre, radius, 0.0, 356.0)
}

/// Housing, shells and journal in section, the clearance drawn large.
fn bearing(c: &mut Canvas, v: &Values) {
    c.height = 262.0;
    c.says(
        "A bearing in section: the journal in its bore, the clearance drawn large and gathered at the top.",
    );
    let centre = (126.0, 132.0);
    let shells = !v.is("bearing-clearance");
    let clearance = eased(v.out("clearance").unwrap_or(45e-6).max(0.0), 45e-6, 11.0);
    let bore = 74.0;
    let journal = bore - clearance / 2.0;
    let lies = (centre.0, centre.1 + clearance / 2.0);
    let thick = if v.takes("shell") { v.px("shell", 15.0).clamp(8.0, 24.0) } else { 15.0 };
    let housing = if shells { bore + thick } else { bore };
    c.cut_rings(&[&ring(centre, 108.0), &ring(centre, housing)], RISING);
    c.closed("fluid", &ring(centre, bore));
    if shells {
        c.cut_rings(&[&ring(centre, housing), &ring(centre, bore)], FALLING);
        for side in [-1.0, 1.0] {
            c.line("bold", (centre.0 + side * bore, centre.1), (centre.0 + side * housing, centre.1));
        }
    } else {
        c.circle("edge", centre, bore);
    }
    c.closed("metal", &ring(lies, journal));
    c.cross(lies, journal + 6.0);
    let edge = |degrees: f64, radius: f64| polar(centre, radius, degrees);
    c.dimension(polar(lies, journal, 200.0), polar(lies, journal, 20.0), 0.0, Label::default());
    c.label((lies.0, lies.1 + 30.0), Anchor::Middle, v.label("journal"));
    let bore_key = if shells { "housing" } else { "bore" };
    let radius = if shells { housing } else { bore };
    c.leader(edge(-38.0, radius), (244.0, 44.0), v.label(bore_key));
    let top = centre.1 - bore;
    c.line("thin", (centre.0 - 6.0, top), (16.0, top));
    c.line("thin", (centre.0 - 20.0, top + clearance), (16.0, top + clearance));
    c.dimension((24.0, top), (24.0, top + clearance), 0.0, Label::default());
    c.label((6.0, top - 18.0), Anchor::Start, v.result("clearance"));
    if v.takes("shell") {
        c.leader(edge(28.0, bore + thick * 0.5), (244.0, 204.0), v.label("shell"));
        c.flow(256.0, [v.label("warming")]);
    }
    if v.is("bearing-clearance") {
        c.flow(256.0, [v.result("relative")]);
    }
    if v.is("shell-choice") {
        let shells = v.wordlist("shells");
        for (i, (shell, degrees)) in shells.iter().zip([-12.0, 28.0]).enumerate() {
            let at = if i == 0 { 98.0 } else { 176.0 };
            c.leader(
                edge(degrees, bore + thick * 0.5),
                (244.0, at),
                Label::words(shell).result().within(108.0),
            );
        }
        let sizes = v.list("sizes");
        let (least, most) = sizes.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), t| (a.min(*t), b.max(*t)));
        let choice =
            format!("{} sizes, {} to {}", sizes.len(), rounded(least, Unit::ONE), rounded(most, Unit::MM));
        c.flow(256.0, [v.label("wanted"), Label::words(choice)]);
    }
}

/// A main bearing with thrust washers at both sides, the float drawn large at one.
fn thrust_washers(c: &mut Canvas, v: &Values) {
    c.height = 240.0;
    c.says("A main bearing in section between the crank's thrust faces, a washer at each side; the float is drawn large.");
    let float = eased(v.out("float").unwrap_or(2e-4).max(0.0), 2e-4, 10.0);
    let washer = v.px("washer", 20.0);
    let housing = v.px("housing", 112.0);
    let width = housing + 2.0 * washer + float;
    let left = 180.0 - width / 2.0;
    let right = left + width;
    let (axis, journal, web) = (176.0, 34.0, 96.0);
    c.cut(&rectangle((left - 44.0).max(4.0), axis - web, 44.0f64.min(left - 4.0), web + 40.0));
    c.cut(&rectangle(right, axis - web, 44.0f64.min(356.0 - right), web + 40.0));
    c.rect("metal", left, axis - journal, width, journal * 2.0);
    c.centre((8.0, axis), (352.0, axis));
    let start = left + washer;
    c.cut_next(&rectangle(start, axis - journal - 74.0, housing, 74.0));
    c.rect("out-area", left, axis - journal - 46.0, washer, 46.0);
    c.rect("edge", left, axis - journal - 46.0, washer, 46.0);
    c.rect("out-area", start + housing, axis - journal - 46.0, washer, 46.0);
    c.rect("edge", start + housing, axis - journal - 46.0, washer, 46.0);
    let top = axis - journal - 74.0;
    c.across(left, right, axis - web, 24.0, v.label("between-faces"));
    c.across(start, start + housing, top, top - 12.0, v.label("housing"));
    c.across(left, left + washer, axis + journal, axis + journal + 18.0, Label::default());
    c.label((left + washer + 20.0, axis + journal + 23.0), Anchor::Start, v.label("washer"));
    c.leader((right - float / 2.0, axis - journal - 22.0), (right - 24.0, axis - 10.0), Label::default());
    c.label((right - 30.0, axis - 6.0), Anchor::End, v.result("float"));
    c.height = 256.0;
    c.flow(250.0, [v.label("wanted"), v.result("washer-wanted")]);
}

/// A ring square in its bore, its gap at the top; dashed the worn bore.
fn ring_gap(c: &mut Canvas, v: &Values) {
    c.height = 262.0;
    c.says("A piston ring pushed square into its bore, the gap drawn large; the worn bore is dashed.");
    let centre = (120.0, 146.0);
    let bore = 86.0;
    let wear = (v.mm("wear") / 0.05 * 6.0).clamp(0.0, 14.0);
    let gap = eased(v.mm("gap"), 0.3, 24.0) / bore * 180.0 / std::f64::consts::PI;
    c.cut_rings(&[&ring(centre, 112.0), &ring(centre, bore)], RISING);
    if wear > 0.3 {
        c.circle("ghost", centre, bore + wear);
    }
    let (from, to) = (270.0 + gap / 2.0, 630.0 - gap / 2.0);
    let mut outline = arc_points(centre, bore, from, to);
    outline.extend(arc_points(centre, bore - 15.0, to, from));
    c.closed("blank", &outline);
    c.cross(centre, 40.0);
    c.dimension(polar(centre, bore, 200.0), polar(centre, bore, 20.0), 0.0, Label::default());
    c.label((centre.0, centre.1 - 14.0), Anchor::Middle, v.label("bore"));
    let (a, b) =
        (polar(centre, bore - 15.0, 270.0 - gap / 2.0), polar(centre, bore - 15.0, 270.0 + gap / 2.0));
    c.line("thin", (a.0, a.1 + 2.0), (a.0, 18.0));
    c.line("thin", (b.0, b.1 + 2.0), (b.0, 18.0));
    c.dimension((a.0, 22.0), (b.0, 22.0), 0.0, v.label("gap"));
    let x = 240.0;
    c.label((x, 92.0), Anchor::Start, v.result("relative"));
    for (i, label) in [
        v.result_named("in-worn-bore", "worn"),
        v.result_named("closes-by", "closes"),
        v.result_named("hot", "hot"),
    ]
    .into_iter()
    .enumerate()
    {
        c.label((x, 114.0 + 20.0 * i as f64), Anchor::Start, label);
    }
    c.label((x, 190.0), Anchor::Start, v.label("wear"));
    c.label((x, 210.0), Anchor::Start, v.label("hotter"));
}
