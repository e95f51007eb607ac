//! Fluids.

use super::Drawings;
use crate::curve;
use crate::figure::{number, rounded};
use crate::kit::{Anchor, Canvas, Label, P, rectangle};
use crate::values::Values;
use quantity::Unit;
use std::sync::LazyLock;

pub const DRAWINGS: Drawings = &[
    ("viscosity-line", viscosity_line),
    ("oil-grades", oil_grades),
    ("coolant", coolant),
    ("fluid-account", fluid_account),
];

fn viscosity_line(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "oil-blend" => blend(c, v),
        "dynamic-viscosity" => {
            curve::curve(c, v, "kinematic", "dynamic");
            c.says("Dynamic against kinematic viscosity at this density.");
            c.height += 20.0;
            c.flow(c.height - 8.0, [v.label("density")]);
        }
        "viscosity-index" => {
            let points =
                [(40.0, v.unit("at-40"), v.label("at-40")), (100.0, v.unit("at-100"), v.label("at-100"))];
            let to = chart(c, &points, None, Label::default());
            c.says("Viscosity against temperature on scales that make it a straight line: the flatter, the higher the index.");
            c.flow(to, [v.result("index")]);
        }
        _ => {
            let points = [
                (v.unit("at-first"), v.unit("first"), v.label("first")),
                (v.unit("at-second"), v.unit("second"), v.label("second")),
            ];
            let wanted = v.out_unit("viscosity").map(|found| (v.unit("wanted"), found));
            let to = chart(c, &points, wanted, v.result("viscosity"));
            c.says("Viscosity against temperature on scales that make it a straight line through the two given points.");
            c.flow(to, [v.label("at-first"), v.label("at-second"), v.label("wanted")]);
        }
    }
}

/// Viscosity in mm²/s against temperature in °C on the scales that make an oil's line straight; gives the height of
/// the line below it.
fn chart(c: &mut Canvas, points: &[(f64, f64, Label); 2], wanted: Option<P>, label: Label) -> f64 {
    c.height = 246.0;
    let tall = |nu: f64| (nu.max(0.3) + 0.7).log10().log10();
    let wide = |celsius: f64| (celsius + 273.15).max(100.0).log10();
    let temperatures = || points.iter().map(|p| p.0).chain(wanted.map(|w| w.0));
    let viscosities = || points.iter().map(|p| p.1).chain(wanted.map(|w| w.1));
    let range = |all: &mut dyn Iterator<Item = f64>| {
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)))
    };
    let (cold, hot) = range(&mut temperatures());
    let (thin, thick) = range(&mut viscosities());
    let (low, high) = (tall((thin * 0.7).max(0.4)), tall(thick * 1.6));
    let (from, to) = (wide(cold - 12.0), wide(hot + 12.0));
    let field = (54.0, 24.0, 346.0, 190.0);
    let px =
        |celsius: f64| field.0 + (field.2 - field.0) * ((wide(celsius) - from) / (to - from)).clamp(0.0, 1.0);
    let py =
        |nu: f64| field.3 - (field.3 - field.1) * ((tall(nu) - low) / (high - low).max(1e-9)).clamp(0.0, 1.0);
    let mut above = f64::INFINITY;
    for nu in [0.5, 1.0, 2.0, 3.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1e3, 2e3, 5e3, 1e4, 1e5] {
        let y = py(nu);
        if (low..=high).contains(&tall(nu)) && above - y > 15.0 {
            above = y;
            c.line("grid", (field.0, y), (field.2, y));
            c.label((field.0 - 5.0, y + 4.0), Anchor::End, Label::words(number(nu)).quiet());
        }
    }
    let mut before = f64::NEG_INFINITY;
    for step in -3..13 {
        let celsius = f64::from(step) * 20.0;
        let x = px(celsius);
        if (from..=to).contains(&wide(celsius)) && x - before > 34.0 {
            before = x;
            c.line("grid", (x, field.1), (x, field.3));
            c.label((x, field.3 + 13.0), Anchor::Middle, Label::words(number(celsius)).quiet());
        }
    }
    c.open("axis", &[(field.0, field.1 - 4.0), (field.0, field.3), (field.2, field.3)]);
    c.label((10.0, 14.0), Anchor::Start, Label::symbol("ν").and("/ mm²/s"));
    c.label((350.0, 220.0), Anchor::End, Label::symbol("T").and("/ °C"));
    let [a, b] = [(px(points[0].0), py(points[0].1)), (px(points[1].0), py(points[1].1))];
    if (b.0 - a.0).abs() > 1.0 {
        // The line goes on to both sides, as far as the field does.
        let slope = (b.1 - a.1) / (b.0 - a.0);
        let inside = |x: f64| (x, a.1 + slope * (x - a.0));
        let ends: Vec<P> = (0..=80)
            .map(|i| inside(field.0 + (field.2 - field.0) * f64::from(i) / 80.0))
            .filter(|p| (field.1..=field.3).contains(&p.1))
            .collect();
        c.open("curve", &ends);
    }
    if let Some((celsius, nu)) = wanted {
        let at = (px(celsius), py(nu));
        c.open("guide", &[(field.0, at.1), at, (at.0, field.3)]);
        c.circle("out-dot", at, 4.5);
        c.label((at.0 - 8.0, at.1 + 17.0), Anchor::End, label);
    }
    for ((x, y), (.., name)) in [a, b].into_iter().zip(points) {
        c.circle("blank", (x, y), 4.0);
        if x + 9.0 + name.width() < field.2 {
            c.label((x + 7.0, y - 9.0), Anchor::Start, name.clone());
        } else {
            c.label((x - 8.0, y + 16.0), Anchor::End, name.clone());
        }
    }
    240.0
}

/// The parts of a blend as layers of one glass, beside their viscosities.
fn blend(c: &mut Canvas, v: &Values) {
    c.height = 226.0;
    c.says("The parts of the blend as layers of one glass, each with its viscosity, and the blend's.");
    let (shares, viscosities) = (v.list("shares"), v.list("viscosities"));
    let sum = shares.iter().sum::<f64>().max(1e-9);
    let (left, right, top, bottom) = (40.0, 130.0, 24.0, 204.0);
    let mut y = bottom;
    for (i, share) in shares.iter().enumerate() {
        let high = (bottom - top - 10.0) * share / sum;
        let class = if i % 2 == 0 { "fluid" } else { "deep" };
        c.rect(class, left, y - high, right - left, high);
        c.line("thin", (left, y - high), (right, y - high));
        if high > 13.0
            && v.given("viscosities")
            && let Some(nu) = viscosities.get(i)
        {
            c.label(
                ((left + right) / 2.0, y - high / 2.0 + 4.0),
                Anchor::Middle,
                Label::words(rounded(*share, Unit::PERCENT)).quiet(),
            );
            c.label(
                (right + 14.0, y - high / 2.0 + 4.0),
                Anchor::Start,
                Label::symbol("ν").and(rounded(*nu, Unit::MM2_PER_S)),
            );
        }
        y -= high;
    }
    c.open("bold", &[(left, top), (left, bottom), (right, bottom), (right, top)]);
    c.label((350.0, 210.0), Anchor::End, v.result("viscosity"));
}

/// The grades' ranges at 100 °C, and the oil in hand.
fn oil_grades(c: &mut Canvas, v: &Values) {
    c.says("The ranges of viscosity at 100 °C that the grades name, with this oil's viscosity marked.");
    let gear = v.is("gear-oil-grade");
    let bands = if gear { &*GEAR } else { &*ENGINE };
    let now = v.unit("at-100");
    let first = bands.first().map_or(2.0, |b| b.1).min(now);
    let last = bands.last().map_or(30.0, |b| b.2).max(now);
    let (left, right) = (16.0, 344.0);
    // A scale by ratio gives every grade a like width.
    let px =
        |nu: f64| left + (right - left) * ((nu / first).ln() / (last / first).ln().max(1e-9)).clamp(0.0, 1.0);
    let y = 104.0;
    for (i, (name, low, high)) in bands.iter().enumerate() {
        let row = if i % 2 == 0 { y - 26.0 } else { y };
        let (a, b) = (px(*low), px(*high));
        let inside = (*low..*high).contains(&now);
        c.rect(if inside { "out-area" } else { "face" }, a, row, b - a, 26.0);
        c.rect("edge", a, row, b - a, 26.0);
        let label = Label::words(name.as_str()).within((b - a - 2.0).max(24.0));
        c.label(((a + b) / 2.0, row + 17.5), Anchor::Middle, if inside { label.result() } else { label });
    }
    c.line("axis", (left, y + 34.0), (right, y + 34.0));
    let mut until = f64::NEG_INFINITY;
    for nu in
        [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 60.0, 100.0, 200.0]
    {
        if (first..=last).contains(&nu) && px(nu) - until > 24.0 {
            until = px(nu);
            c.line("thin", (until, y + 34.0), (until, y + 40.0));
            c.label((until, y + 53.0), Anchor::Middle, Label::words(number(nu)).quiet());
        }
    }
    c.label((350.0, y + 72.0), Anchor::End, Label::words("viscosity at 100 °C / mm²/s").quiet());
    let x = px(now);
    c.line("out", (x, y - 40.0), (x, y + 34.0));
    c.closed("out-tip", &[(x, y - 30.0), (x - 5.0, y - 42.0), (x + 5.0, y - 42.0)]);
    let grade = if gear { v.words("grade").map(|g| Label::words("grade").and(g)) } else { None };
    let here = v.named("at-100", "at 100 °C");
    c.label(
        (x, y - 50.0),
        Anchor::Middle,
        if v.given("at-100") { Label::words(rounded(now, Unit::MM2_PER_S)) } else { here },
    );
    c.height = 200.0;
    let found = grade.or_else(|| {
        let grades = v.wordlist("grades");
        (!grades.is_empty()).then(|| Label::words("grade").and(grades.join(", ")))
    });
    let winter = v.words("winter-grade").map(|grade| Label::words("winter").and(grade).result());
    c.flow(194.0, found.map(Label::result).into_iter().chain(winter));
}

static ENGINE: LazyLock<Vec<Grade>> = LazyLock::new(|| grades("engine-oil-grade", "grades"));
static GEAR: LazyLock<Vec<Grade>> = LazyLock::new(|| grades("gear-oil-grade", "grade"));

/// A grade with the ends of its range.
type Grade = (String, f64, f64);

/// Grades with the ranges over which the bench's own rule names them, in mm²/s.
fn grades(formula: &str, id: &str) -> Vec<Grade> {
    let Ok(formula) = bench::formula(formula) else { return vec![] };
    let name = |nu: f64| {
        let inputs = bench::Inputs::new().number("at-100", Unit::MM2_PER_S.to_si(nu));
        let answer = formula.evaluate(&inputs).ok()?;
        answer.text(id).map(str::to_owned).or_else(|| answer.texts(id)?.first().cloned())
    };
    let mut grades: Vec<Grade> = vec![];
    // A twentieth of a unit is finer than any of the limits is given.
    for step in 70..900 {
        let nu = f64::from(step) * 0.05;
        let Some(name) = name(nu).filter(|name| name.chars().next().is_some_and(|ch| ch.is_ascii_digit()))
        else {
            continue;
        };
        match grades.last_mut() {
            Some((last, _, high)) if *last == name => *high = nu + 0.05,
            _ => grades.push((name, nu, nu + 0.05)),
        }
    }
    grades
}

fn coolant(c: &mut Canvas, v: &Values) {
    let share = if v.given("by-volume") && !v.given("by-mass") { "by-volume" } else { "by-mass" };
    match v.formula.id {
        "coolant-freezing" => {
            curve::curve(c, v, share, "freezing");
            c.says("The freezing point against the share of glycol.");
            c.height += 20.0;
            c.flow(c.height - 8.0, [v.result("mass-share")]);
        }
        "coolant-density" => {
            curve::curve(c, v, "by-mass", "density");
            c.says("The density against the share of glycol at this temperature.");
            c.height += 20.0;
            c.flow(c.height - 8.0, [v.label("temperature")]);
        }
        "glycol-by-mass" => shares(c, v),
        "coolant-exchange" => exchange(c, v),
        _ => {
            let plot = curve::curve(c, v, "cap", "boiling");
            c.says("The boiling point against the pressure of the cap.");
            if let Some(plot) = plot.filter(|_| v.given("hottest")) {
                plot.level(c, "limit", v.unit("hottest"), v.label("hottest"));
            }
            if v.takes("hottest") {
                c.height += 20.0;
                c.flow(c.height - 8.0, [v.result("margin"), v.label("by-mass")]);
            }
        }
    }
}

/// The same glycol as a part of the volume and of the mass.
fn shares(c: &mut Canvas, v: &Values) {
    c.height = 220.0;
    c.says("The same mixture twice: glycol as a part of the volume, and as a part of the mass.");
    let parts = [
        (86.0, v.si("by-volume"), v.label("by-volume"), "by volume"),
        (232.0, v.out("by-mass").unwrap_or(0.5), v.result("by-mass"), "by mass"),
    ];
    for (x, part, label, name) in parts {
        let (top, bottom) = (26.0, 176.0);
        let level = bottom - (bottom - top) * part.clamp(0.0, 1.0);
        c.rect("fluid", x - 42.0, top, 84.0, bottom - top);
        c.rect("deep", x - 42.0, level, 84.0, bottom - level);
        c.line("thin", (x - 42.0, level), (x + 42.0, level));
        c.open(
            "bold",
            &[(x - 42.0, top - 10.0), (x - 42.0, bottom), (x + 42.0, bottom), (x + 42.0, top - 10.0)],
        );
        c.upright(level, bottom, x + 42.0, x + 54.0, Label::default());
        c.label((x, bottom - 8.0), Anchor::Middle, label);
        c.label((x, 196.0), Anchor::Middle, Label::words(name).quiet());
    }
    c.label((160.0, 214.0), Anchor::Middle, Label::words("the lower part is glycol").quiet());
}

/// A vessel: what is drained is replaced with neat.
fn exchange(c: &mut Canvas, v: &Values) {
    c.height = 226.0;
    c.says("The system's content, and the part of it that is drained and replaced with neat glycol.");
    let content = v.si("content").max(1e-9);
    let part = (v.out("exchange").unwrap_or(0.0) / content).clamp(0.0, 1.0);
    let (left, right, top, bottom) = (60.0, 190.0, 28.0, 188.0);
    let level = top + (bottom - top) * part;
    c.rect("fluid", left, level, right - left, bottom - level);
    c.rect("deep", left, top, right - left, level - top);
    c.line("edge", (left, level), (right, level));
    c.open("bold", &[(left, top - 12.0), (left, bottom), (right, bottom), (right, top - 12.0)]);
    c.upright(top, level, right, right + 18.0, v.result_named("exchange", "replace"));
    c.upright(top, bottom, left, left - 14.0, Label::default());
    c.label((8.0, 206.0), Anchor::Start, v.label("content"));
    c.label(((left + right) / 2.0, (level + bottom) / 2.0 + 4.0), Anchor::Middle, v.label("from"));
    c.label((222.0, 150.0), Anchor::Start, v.label("to").and("after"));
}

/// Where the fluid went: content, drained, stayed in, lost.
fn fluid_account(c: &mut Canvas, v: &Values) {
    c.height = 246.0;
    c.says("Two columns: what was there after the last fill, and where it went; what was filled now, and what had stayed in.");
    let (content, drained, filled) = (v.unit("content"), v.unit("drained"), v.unit("filled"));
    let (left_in, lost) = (v.out_unit("left-in").unwrap_or(0.0), v.out_unit("lost").unwrap_or(0.0));
    let most = [content, drained + left_in.max(0.0) + lost.max(0.0), filled + left_in.max(0.0)]
        .into_iter()
        .fold(1e-6, f64::max);
    let (foot, high) = (190.0, 164.0);
    let scale = high / most;
    c.line("axis", (10.0, foot), (350.0, foot));
    let columns = [
        (
            58.0,
            "then",
            vec![
                (left_in, "fluid", v.result("left-in")),
                (drained, "deep", v.label("drained")),
                (lost, "face", v.result("lost")),
            ],
        ),
        (228.0, "now", vec![(left_in, "fluid", Label::default()), (filled, "deep", v.label("filled"))]),
    ];
    for (x, name, parts) in columns {
        let mut y = foot;
        for (litres, class, label) in parts {
            let tall = litres.max(0.0) * scale;
            if class == "face" && tall > 1.0 {
                c.cut(&rectangle(x - 32.0, y - tall, 64.0, tall));
            } else {
                c.rect(class, x - 32.0, y - tall, 64.0, tall);
                c.rect("edge", x - 32.0, y - tall, 64.0, tall);
            }
            c.label((x + 40.0, y - tall / 2.0 + 4.0), Anchor::Start, label);
            y -= tall;
        }
        c.label((x, foot + 16.0), Anchor::Middle, Label::words(name).quiet());
    }
    let mark = foot - content * scale;
    c.line("limit", (14.0, mark), (346.0, mark));
    c.label((346.0, mark - 4.0), Anchor::End, v.label("content"));
    c.height = c.flow(226.0, [v.result("over").and("against the mark"), v.result("rate")]) + 9.0;
}
