//! Cylinders.

use super::Drawings;
use crate::curve;
use crate::figure::{number, rounded};
use crate::kit::{Anchor, Axis, Canvas, Label, P, Plot, Tone, polar, rectangle};
use crate::values::{Values, eased};
use quantity::Unit;

pub const DRAWINGS: Drawings = &[
    ("cylinder", cylinder),
    ("chamber", chamber),
    ("crank", crank),
    ("cylinders-row", cylinders_row),
    ("leak-down", leak_down),
];

fn cylinder(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "displacement" => bore_and_stroke(c, v),
        "cranking-pressure-at-height" => {
            curve::curve(c, v, "height", "gauge");
            c.says("The pressure to be expected on the gauge against height above the sea.");
            c.height += 22.0;
            c.flow(
                c.height - 8.0,
                [v.result("atmosphere"), v.result_named("at-sea-level", "reading at sea level")],
            );
        }
        _ => compression(c, v),
    }
}

/// A bore in section, the piston at the bottom and dashed at the top.
fn bore_and_stroke(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("A cylinder in section, the piston at the bottom and dashed at the top: bore and stroke.");
    let (bore, stroke) = (v.mm("bore"), v.mm("stroke"));
    let scale = 112.0 / bore.max(stroke).max(1.0);
    let (half, travel) = ((bore * scale / 2.0).max(20.0), (stroke * scale).max(22.0));
    let (x, top) = (150.0, 48.0);
    let high = 44.0;
    c.rect("fluid", x - half, top, 2.0 * half, travel);
    c.bore(x - half, x + half, top, top + travel + high + 8.0, 14.0);
    c.cut(&rectangle(x - half - 14.0, top - 12.0, 2.0 * half + 28.0, 12.0));
    c.rect("ghost", x - half, top, 2.0 * half, high);
    c.piston(x, top + travel, half, high);
    c.centre((x, top - 18.0), (x, top + travel + high + 14.0));
    c.across(x - half, x + half, top - 12.0, top - 28.0, v.label("bore"));
    c.upright(top, top + travel, x + half, x + half + 44.0, v.label("stroke"));
    c.label((x, top + travel / 2.0 + 5.0), Anchor::Middle, v.result("cylinder"));
    c.flow(242.0, [v.label("cylinders"), v.result("engine")]);
}

/// The charge before and after: the volume ratio as heights, the pressure on a gauge.
fn compression(c: &mut Canvas, v: &Values) {
    c.height = 236.0;
    c.says("A cylinder with its piston at the bottom (dashed) and at the top: the volumes are in the ratio given, the gauge shows the pressure that comes of it.");
    let ratio = v.unit("ratio").max(1.0);
    let (x, half, roof, bottom) = (104.0, 48.0, 36.0, 176.0);
    let left = ((bottom - roof) / ratio).max(4.0);
    c.rect("fluid", x - half, roof, 2.0 * half, left);
    c.bore(x - half, x + half, roof, 218.0, 12.0);
    c.cut(&rectangle(x - half - 12.0, roof - 12.0, 2.0 * half + 24.0, 12.0));
    c.line("ghost", (x - half, bottom), (x + half, bottom));
    c.piston(x, roof + left, half, 40.0);
    c.label((x, bottom - 7.0), Anchor::Middle, v.label("start"));
    if roof + left < 150.0 {
        c.arrow(Tone::Given, (x, roof + left + 84.0), (x, roof + left + 48.0));
    }
    let centre = (262.0, 92.0);
    c.open("edge", &[(x + half + 12.0, roof - 6.0), (200.0, roof - 6.0), (200.0, 92.0), (214.0, 92.0)]);
    let gauge = v.out_unit("gauge").unwrap_or(10.0);
    c.gauge(Tone::Result, centre, 48.0, gauge / round_above(gauge));
    c.label(
        (262.0, 128.0),
        Anchor::Middle,
        Label::words(format!("0 to {} bar", number(round_above(gauge)))).quiet(),
    );
    c.label((262.0, 160.0), Anchor::Middle, v.result("gauge"));
    c.label((262.0, 180.0), Anchor::Middle, v.result("absolute"));
    c.label((262.0, 204.0), Anchor::Middle, v.label("ratio"));
    c.label((262.0, 224.0), Anchor::Middle, v.label("exponent"));
}

/// The end of a dial that holds a value.
fn round_above(value: f64) -> f64 {
    [1.0, 2.5, 5.0, 10.0, 16.0, 25.0, 40.0, 60.0, 100.0, 250.0]
        .into_iter()
        .find(|end| *end >= value)
        .unwrap_or(1000.0)
}

/// Head, gasket, piston and block in section.
fn chamber(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    let skim = v.is("skimmed-volume");
    let bore = v.px("bore", 140.0).min(176.0);
    let (x, deck) = (166.0, 138.0);
    let half = bore / 2.0;
    let mouth =
        if skim { (half * v.unit("opening").clamp(0.1, 1.2).sqrt()).min(half + 10.0) } else { half * 0.9 };
    let gasket = if skim { 0.0 } else { (v.mm("gasket-thickness") / 0.65 * 9.0).clamp(0.0, 22.0) };
    let face = deck - gasket;
    let deep = if skim { 56.0 } else { v.px("chamber", 56.0).min(78.0) };
    let wall = 26.0;
    let (left, right) = (x - half - wall, x + half + wall);
    let roof: Vec<P> = (0..=24)
        .map(|i| std::f64::consts::PI * f64::from(i) / 24.0)
        .map(|t| (x - mouth * t.cos(), face - deep * t.sin().powf(0.7)))
        .collect();
    let mut head = vec![(left, face), (left, 40.0), (right, 40.0), (right, face)];
    head.extend(roof.iter().rev());
    let mut fluid = roof.clone();
    if skim {
        let r = v.px("depth", 12.0).min(18.0);
        c.closed("fluid", &fluid);
        c.cut(&head);
        let slice = [(left, face - r), (right, face - r), (right, face), (left, face)];
        c.closed("ghost", &slice);
        c.line("out", (left, face - r), (right, face - r));
        c.upright(face - r, face, right, right + 20.0, v.label("depth"));
        c.across(x - half, x + half, face, face + 44.0, v.label("bore"));
        c.across(x - mouth, x + mouth, face, face + 18.0, v.label("opening").and("of the bore's area"));
        c.label((x, face - deep * 0.45), Anchor::Middle, v.result("volume"));
        c.says("A combustion chamber in section with the depth of the skim and the chamber's opening in the head face.");
        c.height = 210.0;
        return;
    }
    c.says("Head, gasket, block and piston at top in section: what the clearance volume is made of.");
    let below = (v.mm("deck") / 0.2 * 9.0).clamp(-gasket.max(3.0) + 2.0, 30.0);
    let crown = deck + below;
    let dish = (v.unit("dish") / 1.5 * 8.0).clamp(-24.0, 22.0);
    let hole = (half * (v.mm("gasket-bore") / v.mm("bore").max(1.0))).clamp(half * 0.92, half + 22.0);
    fluid.extend([(x + half, face), (x + half, crown), (x - half, crown), (x - half, face)]);
    c.closed("fluid", &fluid);
    c.cut(&head);
    if gasket > 0.5 {
        c.rect("dark", left, face, x - hole - left, gasket);
        c.rect("dark", x + hole, face, right - x - hole, gasket);
    }
    c.cut_next(&rectangle(left, deck, wall, 84.0));
    c.cut_next(&rectangle(x + half, deck, wall, 84.0));
    let bowl: Vec<P> = (0..=20)
        .map(|i| f64::from(i) / 20.0)
        .map(|t| (x - half * 0.8 + half * 1.6 * t, crown + dish * (std::f64::consts::PI * t).sin()))
        .collect();
    let mut piston = vec![(x - half, crown)];
    piston.extend(bowl.iter());
    piston.extend([
        (x + half, crown),
        (x + half, 222.0),
        (x + half - 16.0, 222.0),
        (x + half - 16.0, crown + 34.0),
        (x - half + 16.0, crown + 34.0),
        (x - half + 16.0, 222.0),
        (x - half, 222.0),
    ]);
    c.cut(&piston);
    c.upright(face, deck, right, right + 16.0, v.label("gasket-thickness"));
    c.upright(deck, crown, left, left - 16.0, v.label("deck"));
    c.across(x - half, x + half, 222.0, 244.0, v.label("bore"));
    c.across(x - hole, x + hole, face, 24.0, v.label("gasket-bore"));
    c.label((x, face - deep * 0.42), Anchor::Middle, v.named("chamber", "chamber"));
    c.label((x, crown + 52.0), Anchor::Middle, v.named("dish", "dish"));
    c.height = 276.0;
    c.flow(268.0, [v.result("swept"), v.result("clearance"), v.result("ratio")]);
}

fn crank(c: &mut Canvas, v: &Values) {
    c.height = 262.0;
    let (stroke, rod) = (v.mm("stroke"), if v.takes("rod") { v.mm("rod") } else { v.mm("stroke") * 1.7 });
    // The rod has to pass the crank, whatever is put in.
    let ratio = (rod / stroke.max(1e-3)).clamp(0.85, 3.0);
    let throw = (176.0 / (ratio * 2.0 + 2.0)).clamp(20.0, 44.0);
    let long = throw * 2.0 * ratio;
    let degrees = match v.formula.id {
        "piston-drop" => v.degrees("crank"),
        "effective-compression" => 180.0 + v.degrees("closes"),
        "mean-piston-speed" => 55.0,
        _ => 0.0,
    };
    let (x, half) = (134.0, 40.0);
    let centre = (x, 246.0 - throw);
    let reach = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        throw * cos + (long * long - (throw * sin).powi(2)).max(0.0).sqrt()
    };
    let high = 36.0;
    let pin = (x, centre.1 - reach(degrees));
    let crown = |degrees: f64| centre.1 - reach(degrees) - high * 0.66;
    let (top, bottom) = (crown(0.0), crown(180.0));
    c.bore(x - half, x + half, (top - 14.0).max(4.0), bottom + high - 4.0, 10.0);
    c.rect("ghost", x - half, top, 2.0 * half, high);
    c.circle("hidden", centre, throw);
    c.circle("metal", centre, 9.0);
    let journal = polar(centre, throw, degrees - 90.0);
    c.line_thick("metal", centre, journal, 14.0);
    c.piston(x, crown(degrees), half, high);
    c.rod(pin, journal);
    c.circle("blank", centre, 5.0);
    c.centre((x, 2.0), (x, 258.0));
    c.line("thin", (x + half + 10.0, top), (x + half + 44.0, top));
    match v.formula.id {
        "mean-piston-speed" => {
            c.says("Piston, rod and crank: the piston runs the stroke twice in a turn.");
            c.line("thin", (x + half + 10.0, bottom), (x + half + 44.0, bottom));
            c.dimension((x + half + 34.0, top), (x + half + 34.0, bottom), 0.0, v.label("stroke"));
            let speed = eased(v.out("speed").unwrap_or(9.0), 9.0, 46.0);
            c.arrow(
                Tone::Result,
                (x - half - 24.0, pin.1 - speed / 2.0),
                (x - half - 24.0, pin.1 + speed / 2.0),
            );
            c.label((x - half - 32.0, pin.1 + 4.0), Anchor::End, v.result("speed"));
            c.turning(Tone::Given, centre, throw + 12.0, 20.0, 75.0);
            c.label((x + throw + 26.0, centre.1 + 24.0), Anchor::Start, v.label("speed"));
        }
        "piston-acceleration" => {
            c.says("The piston at top: the crank pulls it back hardest there.");
            c.upright_stroke(x + half + 60.0, top, bottom, v.label("stroke"));
            let a = eased(v.out("acceleration").unwrap_or(2e4), 2e4, 46.0);
            c.arrow(Tone::Result, (x - half - 24.0, pin.1 - 10.0), (x - half - 24.0, pin.1 - 10.0 + a));
            c.label((226.0, 160.0), Anchor::Start, v.result("acceleration"));
            c.label((x + 14.0, (pin.1 + centre.1) / 2.0 + 30.0), Anchor::Start, v.label("rod"));
            c.turning(Tone::Given, centre, throw + 12.0, 20.0, 75.0);
            c.label((x + throw + 26.0, centre.1 + 24.0), Anchor::Start, v.label("speed"));
            c.label((226.0, 200.0), Anchor::Start, v.result("pull"));
            c.label((226.0, 186.0), Anchor::Start, v.label("mass"));
        }
        _ => {
            let closes = v.is("effective-compression");
            let now = crown(degrees);
            c.line("thin", (x + half + 10.0, now), (x + half + 44.0, now));
            c.line("thin", (x - half - 10.0, top), (x - half - 38.0, top));
            c.line("thin", (x - half - 10.0, bottom), (x - half - 38.0, bottom));
            c.dimension((x - half - 32.0, top), (x - half - 32.0, bottom), 0.0, Label::default());
            c.label((x - half - 37.0, (top + bottom) / 2.0 + 4.5), Anchor::End, v.label("stroke"));
            c.dimension(
                (x + half + 34.0, top),
                (x + half + 34.0, now),
                0.0,
                v.result(if closes { "stroke-left" } else { "drop" }),
            );
            c.label((x - 14.0, (pin.1 + journal.1) / 2.0 + 18.0), Anchor::End, v.label("rod"));
            if closes {
                c.says("The piston on its way up when the inlet closes: the stroke that is left compresses.");
                c.angle(centre, throw + 12.0, 90.0, 90.0 + v.degrees("closes"), v.label("closes"));
                c.label((226.0, 180.0), Anchor::Start, v.label("bore"));
                c.label((226.0, 200.0), Anchor::Start, v.label("clearance"));
                c.label((226.0, 224.0), Anchor::Start, v.result("ratio"));
            } else {
                c.says("Piston, rod and crank at the crank angle given, the piston's top position dashed.");
                let shown = degrees % 360.0;
                c.angle(centre, throw + 12.0, -90.0, shown - 90.0, v.label("crank"));
                c.label((240.0, 232.0), Anchor::Start, v.label("pin-offset"));
            }
        }
    }
}

impl Canvas {
    /// A stroke beside the bore, with the extension line for its lower end.
    fn upright_stroke(&mut self, x: f64, top: f64, bottom: f64, label: Label) {
        self.line("thin", (x - 50.0, bottom), (x + 10.0, bottom));
        self.dimension((x, top), (x, bottom), 0.0, label);
    }
}

/// A bar for each cylinder, the reading with oil behind it, and the line below which one is low.
fn cylinders_row(c: &mut Canvas, v: &Values) {
    c.height = 236.0;
    c.says("A bar for each cylinder in the order of the block, dashed with a little oil, and the line below which a reading is low.");
    let (dry, wet) = (v.list("readings"), if v.given("wet") { v.list("wet") } else { vec![] });
    let highest = dry.iter().copied().fold(0.0, f64::max);
    let normal = v.given("normal").then(|| v.unit("normal"));
    let most = wet.iter().copied().chain(normal).fold(highest, f64::max).max(0.1);
    let count = dry.len().max(1) as f64;
    let plot = Plot::new(
        c,
        (10.0, 4.0),
        (340.0, 196.0),
        Axis::new(0.5, count + 0.5, Label::default()).bare(),
        Axis::new(0.0, most * 1.12, Label::symbol("p").and("/ bar")),
    );
    let (left, _, right, foot) = plot.field();
    let wide = ((right - left) / count * 0.5).clamp(6.0, 40.0);
    let line = highest * v.unit("low-below") / 100.0;
    for (i, reading) in dry.iter().enumerate() {
        let (x, top) = plot.at(i as f64 + 1.0, *reading);
        if let Some(oiled) = wet.get(i) {
            c.rect("hidden", x - wide / 2.0 + 5.0, plot.py(*oiled), wide, foot - plot.py(*oiled));
        }
        if *reading < line {
            c.cut(&rectangle(x - wide / 2.0, top, wide, (foot - top).max(1.0)));
        } else {
            c.bar("out-area", x, wide, foot, top);
            c.bar("edge", x, wide, foot, top);
        }
        if count <= 8.0 && v.given("readings") {
            c.label((x, top - 5.0), Anchor::Middle, Label::words(rounded(*reading, Unit::ONE)).quiet());
        }
        c.label((x, foot + 14.0), Anchor::Middle, Label::words(number(i as f64 + 1.0)).quiet());
    }
    plot.level(c, "limit", line, Label::default());
    if let Some(normal) = normal {
        plot.level(c, "other", normal, Label::default());
    }
    c.flow(c.height - 24.0, [v.named("low-below", "low below").and("of the highest")]);
    c.flow(c.height - 6.0, [v.result("lowest-to-highest"), v.result_named("average", "average")]);
}

fn leak_down(c: &mut Canvas, v: &Values) {
    if v.is("leak-tester-orifice") {
        return tester_orifice(c, v);
    }
    c.height = 240.0;
    c.says("A leak tester: supply gauge, orifice, cylinder gauge, and the cylinder with its piston at top.");
    let (pipe, x) = (88.0, 286.0);
    let (supply, cylinder) = (v.unit("supply"), v.unit("cylinder"));
    let end = round_above(supply.max(cylinder));
    c.rect("fluid", 14.0, pipe - 7.0, 262.0, 14.0);
    for y in [pipe - 7.0, pipe + 7.0] {
        c.line("edge", (14.0, y), (276.0, y));
    }
    let hole = v.px("orifice", 4.0).clamp(1.6, 6.0);
    c.cut(&rectangle(128.0, pipe - 7.0, 16.0, 7.0 - hole / 2.0));
    c.cut(&rectangle(128.0, pipe + hole / 2.0, 16.0, 7.0 - hole / 2.0));
    for (at, reading, key) in [(62.0, supply, "supply"), (192.0, cylinder, "cylinder")] {
        c.line("edge", (at, pipe - 7.0), (at, pipe - 20.0));
        c.gauge(Tone::Given, (at, pipe - 46.0), 27.0, reading / end);
        c.label((at, pipe + 26.0), Anchor::Middle, v.label(key));
    }
    c.leader((136.0, pipe + 4.0), (136.0, pipe + 54.0), v.named("orifice", "d"));
    c.bore(x - 40.0, x + 40.0, pipe + 14.0, 216.0, 9.0);
    c.cut_rings(
        &[&[
            (x - 49.0, pipe + 14.0),
            (x - 49.0, pipe + 4.0),
            (x - 12.0, pipe + 4.0),
            (x - 12.0, pipe + 14.0),
        ]],
        1.0,
    );
    c.cut_rings(
        &[&[
            (x + 12.0, pipe + 14.0),
            (x + 12.0, pipe + 4.0),
            (x + 49.0, pipe + 4.0),
            (x + 49.0, pipe + 14.0),
        ]],
        1.0,
    );
    c.rect("fluid", x - 40.0, pipe + 14.0, 80.0, 16.0);
    c.open("edge", &[(276.0, pipe - 7.0), (x + 10.0, pipe - 7.0), (x + 10.0, pipe + 14.0)]);
    c.open("edge", &[(276.0, pipe + 7.0), (276.0, pipe + 14.0)]);
    c.rect("fluid", 274.0, pipe - 6.0, 22.0, 22.0);
    c.piston(x, pipe + 30.0, 40.0, 40.0);
    let leak = v.out("leak").unwrap_or(0.2).clamp(0.0, 1.0);
    for side in [-1.0, 1.0] {
        c.arrow(Tone::Result, (x + side * 36.0, pipe + 76.0), (x + side * 36.0, pipe + 92.0 + 24.0 * leak));
    }
    c.flow(198.0, [v.result("leak")]);
    c.flow(216.0, [v.result_named("hole", "like a hole of")]);
    let other = if v.given("other-orifice") { v.label("other-orifice") } else { Label::default() };
    c.flow(234.0, [v.result("other-leak"), other]);
}

/// The orifice for every bore, and the one for this.
fn tester_orifice(c: &mut Canvas, v: &Values) {
    c.height = 200.0;
    c.says("The tester's orifice for every bore, and the one for this.");
    let drawn = v.drawn();
    let orifice = |inches: f64| {
        let metres = curve::result(v, &drawn, "bore", Unit::INCH.to_si(inches), "orifice");
        metres.map_or(f64::NAN, |metres| Unit::INCH.from_si(metres))
    };
    let sizes: Vec<P> = (20..=240).map(|i| f64::from(i) * 0.05).map(|bore| (bore, orifice(bore))).collect();
    let largest = sizes.iter().map(|(_, size)| *size).fold(0.0, f64::max);
    let y = Axis::new(0.0, largest * 1.3, Label::words("orifice / in"));
    let x = Axis::new(1.0, 12.0, Label::words("bore B / in"));
    let mut plot = Plot::new(c, (10.0, 4.0), (340.0, 190.0), x, y);
    // A step, not a slope: each size is a line of its own.
    for size in sizes.chunk_by(|a, b| a.1 == b.1) {
        plot.curve(c, "curve", size);
    }
    if let Some(orifice) = v.out_unit("orifice") {
        plot.point(c, v.unit("bore"), orifice, v.result_named("orifice", "").unnamed());
    }
}
