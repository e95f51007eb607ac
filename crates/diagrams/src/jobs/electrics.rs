//! Electrics.

use super::Drawings;
use crate::curve;
use crate::figure::rounded;
use crate::kit::{Anchor, Axis, Canvas, Label, P, Plot};
use crate::values::Values;
use quantity::Unit;

pub const DRAWINGS: Drawings = &[("battery", battery), ("voltage-drop", voltage_drop)];

fn battery(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "acid-gravity" => hydrometer(c, v),
        "charging-voltage" => charging(c, v),
        "standing-draw" => standing(c, v),
        _ => rest(c, v),
    }
}

/// State of charge against rest voltage.
fn rest(c: &mut Canvas, v: &Values) {
    c.height = 244.0;
    c.says("The state of charge against the rest voltage, with the battery's own.");
    let points: Vec<P> = (0..=80)
        .map(|i| 11.6 + 1.4 * f64::from(i) / 80.0)
        .map(|u| (u, curve::result(v, &v.drawn(), "voltage", u, "state").map_or(f64::NAN, |s| s * 100.0)))
        .collect();
    let y = Axis::new(0.0, 108.0, Label::words("state of charge / %"));
    let mut plot = Plot::new(
        c,
        (10.0, 4.0),
        (340.0, 204.0),
        Axis::new(11.6, 13.0, Label::words("rest voltage U / V")),
        y,
    );
    plot.curve(c, "curve", &points);
    if let Some(state) = v.out("state") {
        plot.point(c, v.unit("voltage"), state * 100.0, v.result_named("state", "").unnamed());
    }
    c.flow(220.0, [v.label("voltage"), v.label("temperature"), v.result("usable")]);
    c.flow(238.0, [v.result("charge"), v.result_named("freezes", "acid freezes at")]);
}

/// A hydrometer floating: read where the surface cuts the stem.
fn hydrometer(c: &mut Canvas, v: &Values) {
    c.height = 246.0;
    c.says("A hydrometer floating in acid, read where the surface cuts its stem, and the reading brought to 80 °F.");
    let (x, surface) = (110.0, 108.0);
    let gravity = v.unit("gravity");
    c.rect("fluid", x - 46.0, surface, 92.0, 122.0);
    c.open("edge", &[(x - 46.0, 24.0), (x - 46.0, 230.0), (x + 46.0, 230.0), (x + 46.0, 24.0)]);
    c.line("edge", (x - 46.0, surface), (x + 46.0, surface));
    // Denser acid lifts the float: higher figures stand lower on the stem.
    let per = 520.0;
    let y = |s: f64| surface + (s - gravity) * per;
    let bulb = y(1.32).clamp(surface + 18.0, 168.0);
    c.rect("blank", x - 8.0, 24.0, 16.0, bulb - 24.0);
    let mut outline = vec![(x - 8.0, bulb)];
    outline.extend(crate::kit::arc_points((x, bulb + 24.0), 20.0, 240.0, -60.0));
    outline.push((x + 8.0, bulb));
    c.closed("blank", &outline);
    c.circle("dark", (x, bulb + 34.0), 8.0);
    for hundredth in 100..=140 {
        let s = f64::from(hundredth) / 100.0;
        let at = y(s);
        if (28.0..bulb - 2.0).contains(&at) {
            let long = if hundredth % 5 == 0 { 8.0 } else { 4.0 };
            c.line("thin", (x + 8.0 - long, at), (x + 8.0, at));
            if hundredth % 5 == 0 && (at - surface).abs() > 14.0 {
                c.label((x + 14.0, at + 4.0), Anchor::Start, Label::words(format!("{s:.2}")).quiet());
            }
        }
    }
    c.leader((x + 8.0, surface), (214.0, 84.0), v.label("gravity"));
    c.label((214.0, 140.0), Anchor::Start, v.label("temperature"));
    c.label((214.0, 176.0), Anchor::Start, v.result_named("at-80f", "at 80 °F"));
}

/// The window of charging voltage against temperature, and the reading.
fn charging(c: &mut Canvas, v: &Values) {
    c.height = 236.0;
    c.says("The window of charging voltage, falling with temperature, and the voltage read.");
    let drawn = v.drawn();
    let (now, at) = (v.unit("voltage"), v.unit("temperature"));
    let (cold, hot) = ((at - 30.0).clamp(-40.0, -10.0), (at + 30.0).clamp(50.0, 80.0));
    let edge = |id: &str| -> Vec<P> {
        (0..=30)
            .map(|i| cold + (hot - cold) * f64::from(i) / 30.0)
            .map(|t| {
                (t, curve::result(v, &drawn, "temperature", Unit::CELSIUS.to_si(t), id).unwrap_or(f64::NAN))
            })
            .collect()
    };
    let (low, high) = (edge("low"), edge("high"));
    let y = Axis::around(low.iter().chain(&high).map(|p| p.1).chain([now]), Label::words("U / V"));
    let mut plot =
        Plot::new(c, (10.0, 4.0), (340.0, 204.0), Axis::new(cold, hot, Label::words("battery T / °C")), y);
    let band: Vec<P> =
        low.iter().chain(high.iter().rev()).filter(|p| p.1.is_finite()).map(|p| plot.at(p.0, p.1)).collect();
    c.closed("band", &band);
    plot.curve(c, "curve", &low);
    plot.curve(c, "curve", &high);
    plot.point(c, at, now, v.label("voltage"));
    c.flow(230.0, [v.result_named("low", "from"), v.result_named("high", "to"), v.result("inside")]);
}

/// Charge running down while the car stands.
fn standing(c: &mut Canvas, v: &Values) {
    c.height = 236.0;
    c.says("The state of charge running down while the car stands, to the state that must be left.");
    let (state, needed) = (v.unit("state"), v.unit("needed"));
    let days = |id: &str| v.out(id).map(|s| s / 86_400.0).filter(|d| d.is_finite());
    let (flat, stands) = (days("flat").unwrap_or(30.0).max(1e-3), days("stands").unwrap_or(15.0));
    let end = flat * 1.1;
    let y = Axis::new(0.0, 108.0, Label::words("state of charge / %"));
    let mut plot =
        Plot::new(c, (10.0, 4.0), (340.0, 204.0), Axis::new(0.0, end, Label::words("days it stands")), y);
    plot.curve(c, "curve", &[(0.0, state), (flat, 0.0)]);
    plot.level(c, "limit", needed, v.label("needed"));
    if stands >= 0.0 {
        plot.point(c, stands, needed.min(state), v.result("stands"));
    }
    if v.given("days") {
        plot.stand(c, "other", v.si("days") / 86_400.0, Label::words(rounded(v.unit("days"), Unit::DAY)));
    }
    c.flow(230.0, [v.label("draw"), v.named("capacity", "capacity"), v.result("used")]);
}

fn voltage_drop(c: &mut Canvas, v: &Values) {
    if v.is("lead-voltage-drop") { lead(c, v) } else { budget(c, v) }
}

impl Canvas {
    /// A battery as its two plates.
    fn battery_sign(&mut self, (x, y): P) {
        self.line("bold", (x - 14.0, y - 4.0), (x + 14.0, y - 4.0));
        self.line("bold", (x - 7.0, y + 4.0), (x + 7.0, y + 4.0));
    }

    /// A voltmeter.
    fn voltmeter(&mut self, at: P) {
        self.circle("blank", at, 14.0);
        self.label((at.0, at.1 + 4.5), Anchor::Middle, Label::words("V"));
    }
}

/// Where to put the voltmeter: along the lead, with the current flowing.
fn lead(c: &mut Canvas, v: &Values) {
    c.height = 240.0;
    c.says("Battery, lead and load; the voltmeter lies along the lead while the current flows.");
    let (left, right, top, bottom) = (52.0, 300.0, 104.0, 186.0);
    let thick = v.px("section", 10.0);
    c.line("edge", (left, top), (90.0, top));
    c.line("edge", (262.0, top), (right, top));
    c.rect("deep", 90.0, top - thick / 2.0, 172.0, thick);
    c.rect("edge", 90.0, top - thick / 2.0, 172.0, thick);
    c.open("edge", &[(left, top), (left, 140.0)]);
    c.open("edge", &[(left, 150.0), (left, bottom), (right, bottom), (right, 166.0)]);
    c.battery_sign((left, 145.0));
    c.line("edge", (right, top), (right, 126.0));
    c.circle("blank", (right, 146.0), 20.0);
    c.label((right, 150.5), Anchor::Middle, Label::words("M"));
    c.open("thin", &[(90.0, top), (90.0, 48.0), (162.0, 48.0)]);
    c.open("thin", &[(190.0, 48.0), (262.0, 48.0), (262.0, top)]);
    for x in [90.0, 262.0] {
        c.circle("dot", (x, top), 3.0);
    }
    c.voltmeter((176.0, 48.0));
    c.label((176.0, 26.0), Anchor::Middle, v.result("drop"));
    c.across(90.0, 262.0, top, top + 26.0, v.label("length"));
    c.label((176.0, top - 10.0), Anchor::Middle, v.label("section"));
    c.arrow(crate::kit::Tone::Given, (196.0, bottom), (150.0, bottom));
    c.label((176.0, bottom - 8.0), Anchor::Middle, v.label("current"));
    c.flow(214.0, [v.result("resistance"), v.label("temperature")]);
    c.flow(233.0, [v.named("measured", "measured"), v.result_named("joints", "joints and switches")]);
}

/// The drop allowed and the drop measured, as bars.
fn budget(c: &mut Canvas, v: &Values) {
    c.height = 216.0;
    c.says("The way from battery to starter with the voltmeter along it; the drop allowed and the drop measured as bars.");
    let top = 88.0;
    c.line("bold", (52.0, top), (300.0, top));
    c.open("edge", &[(52.0, top), (52.0, 104.0)]);
    c.battery_sign((52.0, 108.0));
    c.circle("blank", (318.0, top), 18.0);
    c.label((318.0, top + 4.5), Anchor::Middle, Label::words("M"));
    for x in [130.0, 214.0] {
        c.circle("blank", (x, top), 4.0);
    }
    c.open("thin", &[(60.0, top), (60.0, 40.0), (162.0, 40.0)]);
    c.open("thin", &[(190.0, 40.0), (292.0, 40.0), (292.0, top)]);
    c.voltmeter((176.0, 40.0));
    let (allowed, measured) =
        (v.out("budget").unwrap_or(0.5), if v.given("measured") { v.si("measured") } else { 0.0 });
    let scale = 210.0 / allowed.max(measured).max(1e-6);
    let rows = [
        (136.0, allowed, v.result_named("budget", "allowed"), "face"),
        (168.0, measured, v.label("measured"), "deep"),
    ];
    for (y, volts, label, class) in rows {
        if volts > 0.0 {
            c.rect(class, 16.0, y, volts * scale, 20.0);
            c.rect("edge", 16.0, y, volts * scale, 20.0);
        }
        c.label((350.0, y + 15.0), Anchor::End, label);
    }
    c.line("limit", (16.0 + allowed * scale, 130.0), (16.0 + allowed * scale, 194.0));
    c.flow(210.0, [v.result("spare")]);
}
