//! Wheels, tyres and alignment.

use super::Drawings;
use crate::curve;
use crate::kit::{
    Anchor, Canvas, FALLING, Label, P, RISING, Tone, arc_points, polar, rectangle, smooth, turned,
};
use crate::values::{Values, signed};

pub const DRAWINGS: Drawings = &[
    ("tyre-size", tyre_size),
    ("tyre-code", tyre_code),
    ("tread", tread),
    ("gearing", gearing),
    ("toe", toe),
    ("camber", camber),
    ("thrust-angle", thrust_angle),
    ("caster", caster),
];

fn tyre_size(c: &mut Canvas, v: &Values) {
    if v.is("tyre-diameter-change") { two_diameters(c, v) } else { tyre(c, v) }
}

/// A tyre on its rim, in section and from the side, to scale.
fn tyre(c: &mut Canvas, v: &Values) {
    c.height = 246.0;
    c.says("A tyre on its rim in section and from the side, to scale: section width and height, rim and overall diameter.");
    let (width, aspect, rim) = marked(v);
    let diameter = rim + 2.0 * width * aspect;
    let scale = 176.0 / diameter.max(1.0);
    let (w, h, r) = ((width * scale).clamp(18.0, 110.0), (width * aspect * scale).clamp(8.0, 74.0), 88.0);
    let (x, y) = (84.0, 112.0);
    for side in [-1.0, 1.0] {
        // The carcass as a horseshoe, crown outwards, open at the rim.
        let (crown, bead) = (y + side * r, y + side * (r - h));
        let outer = [
            (x - w * 0.36, bead),
            (x - w * 0.5, bead + side * h * 0.45),
            (x - w * 0.46, crown - side * h * 0.14),
            (x - w * 0.38, crown),
            (x + w * 0.38, crown),
            (x + w * 0.46, crown - side * h * 0.14),
            (x + w * 0.5, bead + side * h * 0.45),
            (x + w * 0.36, bead),
        ];
        let wall = (w * 0.09).clamp(3.0, 8.0);
        let inner = [
            (x + w * 0.36 - wall, bead),
            (x + w * 0.5 - wall, bead + side * h * 0.45),
            (x + w * 0.36, crown - side * wall * 1.7),
            (x - w * 0.36, crown - side * wall * 1.7),
            (x - w * 0.5 + wall, bead + side * h * 0.45),
            (x - w * 0.36 + wall, bead),
        ];
        c.cut_rings(&[&smooth(&[&outer[..], &inner[..]].concat())], RISING);
        c.open(
            "bold",
            &[
                (x - w * 0.42, bead),
                (x - w * 0.2, bead),
                (x - w * 0.12, bead - side * 6.0),
                (x + w * 0.12, bead - side * 6.0),
                (x + w * 0.2, bead),
                (x + w * 0.42, bead),
            ],
        );
    }
    c.centre((x, 14.0), (x, 212.0));
    c.centre((x - w * 0.5 - 14.0, y), (340.0, y));
    let wheel = (250.0, y);
    c.circle("metal", wheel, r);
    c.circle("blank", wheel, r - h);
    c.circle("edge", wheel, 9.0);
    c.cross(wheel, r + 8.0);
    let (size, section) = if v.takes("size") {
        (Label::words(v.text("size").chars().take(24).collect::<String>()), false)
    } else {
        (Label::default(), true)
    };
    if section {
        c.across(x - w / 2.0, x + w / 2.0, y + r - h * 0.5, 224.0, v.label("width"));
        c.upright(y - r, y - r + h, x + w / 2.0, x + w / 2.0 + 16.0, v.result("section-height"));
        c.dimension(polar(wheel, r - h, 200.0), polar(wheel, r - h, 20.0), 0.0, Label::default());
        c.label((wheel.0, y + 26.0), Anchor::Middle, v.label("rim"));
        c.across(wheel.0 - r, wheel.0 + r, y, 218.0, v.result("diameter"));
        c.flow(242.0, [v.label("aspect"), v.result("circumference")]);
    } else {
        c.across(wheel.0 - r, wheel.0 + r, y, 218.0, v.result("diameter"));
        c.label((wheel.0, y - r + h / 2.0 + 4.0), Anchor::Middle, size);
        c.height = 284.0;
        c.flow(240.0, [v.result("load"), v.result("speed"), v.label("rolling")]);
        c.flow(259.0, [v.result("rolling-circumference")]);
        c.flow(278.0, [v.result_named("revolutions", "turns in 1 km")]);
    }
}

/// Width and rim in mm, aspect as a ratio: as given, or worked back from the marking's own figures.
fn marked(v: &Values) -> (f64, f64, f64) {
    if v.takes("width") {
        return (v.mm("width"), v.si("aspect"), v.mm("rim"));
    }
    let figures: Vec<f64> =
        v.text("size").split(|ch: char| !ch.is_ascii_digit()).filter_map(|part| part.parse().ok()).collect();
    match figures.as_slice() {
        [width, aspect, rim, ..] if *width > 0.0 && *aspect > 0.0 && *rim > 0.0 => {
            (width.clamp(80.0, 400.0), (aspect / 100.0).clamp(0.15, 1.1), (rim * 25.4).clamp(200.0, 800.0))
        }
        _ => (205.0, 0.5, 406.4),
    }
}

/// The wheel meant and the wheel fitted, standing on one floor.
fn two_diameters(c: &mut Canvas, v: &Values) {
    c.height = 236.0;
    c.says("The diameter meant (dashed) and the diameter fitted, standing on one floor; the difference is drawn large.");
    let (meant, fitted) = (v.mm("reference"), v.mm("fitted"));
    let floor = 190.0;
    let r = 78.0;
    // A per cent is hardly to be seen; ten times as much is.
    let other = (r * (1.0 + (fitted / meant.max(1.0) - 1.0) * 10.0)).clamp(40.0, 88.0);
    let x = 150.0;
    c.ground(20.0, 340.0, floor);
    c.circle("metal", (x, floor - other), other);
    c.circle("blank", (x, floor - other), other * 0.62);
    c.circle("ghost", (x, floor - r), r);
    c.line("centre", (x - 100.0, floor - r), (x + 124.0, floor - r));
    c.line("thin", (x, floor - other), (x + 124.0, floor - other));
    c.dimension((x + 116.0, floor - r), (x + 116.0, floor - other), 0.0, Label::default());
    c.label((x + 126.0, floor - (r + other) / 2.0 - 10.0), Anchor::Start, v.result("height"));
    c.leader(polar((x, floor - r), r, 215.0), (62.0, 36.0), v.label("reference"));
    c.leader(polar((x, floor - other), other, 315.0), (244.0, 36.0), v.label("fitted"));
    c.flow(228.0, [v.result_named("error", "true speed above shown")]);
}

fn tyre_code(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "tyre-age" => date_code(c, v),
        "tyre-load-index" => {
            curve::curve(c, v, "index", "load");
            c.says("The greatest load of one tyre against its load index.");
            c.height += 22.0;
            c.flow(c.height - 8.0, [v.label("axle-load"), v.result_named("spare", "to spare on the axle")]);
        }
        _ => speed_symbols(c, v),
    }
}

/// The stamp on the sidewall, its two halves read.
fn date_code(c: &mut Canvas, v: &Values) {
    c.height = 200.0;
    c.says("The date code in its frame on the sidewall: two figures for the week, then the year.");
    let centre = (180.0, 300.0);
    c.arc("edge", centre, 286.0, 237.0, 303.0);
    c.arc("thin", centre, 276.0, 238.0, 302.0);
    let (x, y, wide, high) = (180.0, 76.0, 92.0, 34.0);
    let mut oval = arc_points((x + wide / 2.0, y), high / 2.0, -90.0, 90.0);
    oval.extend(arc_points((x - wide / 2.0, y), high / 2.0, 90.0, 270.0));
    c.closed("blank", &oval);
    let code: String = v.text("code").chars().filter(|ch| ch.is_ascii_digit()).take(4).collect();
    c.label(
        (x, y + 5.0),
        Anchor::Middle,
        Label::words("DOT ·").and(if v.given("code") || code.len() > 2 { code } else { "WWYY".into() }),
    );
    c.leader((x + 12.0, y + 9.0), (128.0, 140.0), v.result("week"));
    c.leader(
        (x + 28.0, y + 9.0),
        (244.0, 140.0),
        if v.answered("years") { years(v) } else { Label::words("year").result() },
    );
    c.flow(192.0, [v.result_named("age", "age")]);
}

fn years(v: &Values) -> Label {
    let all: Vec<String> = v.outs("years").iter().map(|year| format!("{year:.0}")).collect();
    Label::words(all.join(" or ")).result().within(100.0)
}

/// The ladder of speed symbols.
fn speed_symbols(c: &mut Canvas, v: &Values) {
    c.height = 226.0;
    c.says("Speed symbols in order of the speed they allow, the one marked on this tyre filled.");
    let chosen = v.text("symbol");
    let ladder = symbols(v);
    let most = ladder.iter().map(|(_, speed)| *speed).fold(1.0, f64::max);
    let step = 336.0 / ladder.len().max(1) as f64;
    for (i, (symbol, speed)) in ladder.iter().enumerate() {
        let x = 12.0 + step * (i as f64 + 0.5);
        let top = 176.0 - 146.0 * speed / most;
        let is = *symbol == chosen;
        c.bar(if is { "out-area" } else { "face" }, x, step * 0.7, 176.0, top);
        c.bar("edge", x, step * 0.7, 176.0, top);
        let label = Label::words(*symbol);
        c.label((x, 192.0), Anchor::Middle, if is { label.result() } else { label.quiet() });
    }
    c.line("axis", (8.0, 176.0), (352.0, 176.0));
    c.flow(218.0, [Label::words("symbol").and(&chosen), v.result("speed")]);
}

/// The symbols with their speeds in km/h, as the bench has them.
fn symbols(v: &Values) -> Vec<(&'static str, f64)> {
    let Some(bench::Shape::Choice { choices, .. }) = v.formula.input("symbol").map(|input| &input.shape)
    else {
        return vec![];
    };
    let of = |symbol: &&'static str| {
        let answer = v.formula.evaluate(&bench::Inputs::new().text("symbol", *symbol)).ok()?;
        Some((*symbol, v.formula.output("speed")?.unit?.from_si(answer.number("speed")?.si)))
    };
    choices.iter().filter_map(of).collect()
}

/// A tyre's face in section, grooves as deep as they are.
fn tread(c: &mut Canvas, v: &Values) {
    c.height = 220.0;
    let grooves: Vec<(f64, &str)> = if v.takes("middle") {
        vec![(80.0, "inner"), (180.0, "middle"), (280.0, "outer")]
    } else {
        vec![(180.0, "depth")]
    };
    let limit_key = if v.takes("limit") { "limit" } else { "required" };
    c.says("The tyre's face in section: the depth of its grooves and, as a line, the least depth allowed.");
    let deepest =
        grooves.iter().map(|(_, key)| v.mm(key)).chain([v.mm(limit_key) * 1.5, 8.0]).fold(0.0, f64::max);
    let scale = 92.0 / deepest;
    let floor = 150.0;
    // The bottoms of the grooves are one line; the face stands over them as high as the tread is deep.
    let face = |key: &str| floor - (v.mm(key) * scale).max(2.0);
    let half = 17.0;
    let heights: Vec<(f64, f64)> = grooves.iter().map(|(x, key)| (*x, face(key))).collect();
    let (first, last) = (heights.first().map_or(100.0, |g| g.1), heights.last().map_or(100.0, |g| g.1));
    let mut outline = vec![(24.0, 186.0), (24.0, first + 14.0), (34.0, first)];
    for (x, top) in &heights {
        outline.extend([
            (x - half, *top),
            (x - half + 4.0, floor),
            (x + half - 4.0, floor),
            (x + half, *top),
        ]);
    }
    outline.extend([(326.0, last), (336.0, last + 14.0), (336.0, 186.0)]);
    c.cut(&outline);
    let limit = floor - v.mm(limit_key) * scale;
    c.line("limit", (18.0, limit), (342.0, limit));
    c.label(
        (34.0, floor + 26.0),
        Anchor::Start,
        v.named(limit_key, if limit_key == "limit" { "line at" } else { "asked for" }),
    );
    for ((x, key), (_, top)) in grooves.iter().zip(&heights) {
        c.dimension((*x, *top), (*x, floor), 0.0, Label::default());
        c.label((*x, top.min(limit) - 22.0), Anchor::Middle, v.label(key));
    }
    if v.takes("middle") {
        c.flow(212.0, [v.result("least"), v.result("left"), v.result("spread")]);
    } else {
        c.flow(212.0, [v.result("above")]);
    }
}

/// Engine, gearbox, axle and wheel in a row.
fn gearing(c: &mut Canvas, v: &Values) {
    c.height = 216.0;
    c.says("Engine, gear pair, axle pair and wheel in a row: speed is divided by both ratios and rolled off by the wheel.");
    let axis = 92.0;
    let pair = |c: &mut Canvas, x: f64, ratio: f64, sum: f64| {
        let share = 1.0 / (1.0 + ratio.clamp(0.35, 6.0));
        let (small, large) = (sum * share, sum * (1.0 - share));
        for (r, y) in [(small, axis), (large, axis + sum)] {
            c.circle("metal", (x, y), r);
            c.circle("hidden", (x, y), (r - 3.0).max(1.0));
            c.circle("blank", (x, y), 3.5);
        }
    };
    c.rect("metal", 14.0, axis - 30.0, 54.0, 60.0);
    c.line("edge", (14.0, axis - 12.0), (68.0, axis - 12.0));
    c.line("bold", (68.0, axis), (120.0, axis));
    pair(c, 122.0, v.unit("gear"), 44.0);
    c.line("bold", (126.0, axis + 44.0), (190.0, axis + 44.0));
    let down = 44.0;
    let share = 1.0 / (1.0 + v.unit("axle").clamp(0.8, 6.0));
    for (r, y) in [(48.0 * share, axis + down), (48.0 * (1.0 - share), axis + down - 48.0)] {
        c.circle("metal", (194.0, y), r);
        c.circle("hidden", (194.0, y), (r - 3.0).max(1.0));
        c.circle("blank", (194.0, y), 3.5);
    }
    let hub = axis + down - 48.0;
    c.line("bold", (198.0, hub), (298.0, hub));
    let r = v.px("circumference", 44.0).min(58.0);
    let wheel = (298.0, hub);
    c.circle("metal", wheel, r);
    c.circle("blank", wheel, r * 0.6);
    c.circle("edge", wheel, 6.0);
    c.ground(226.0, 352.0, hub + r);
    c.turning(Tone::Given, wheel, r * 0.8, 200.0, 250.0);
    c.label((122.0, 30.0), Anchor::Middle, v.label("gear"));
    c.label((194.0, 30.0), Anchor::Middle, v.label("axle"));
    c.label((352.0, 30.0), Anchor::End, v.label("circumference"));
    let (engine, road) = if v.takes("engine") {
        (v.label("engine"), v.result("speed"))
    } else {
        (v.result("engine"), v.label("road"))
    };
    c.label((12.0, axis + 52.0), Anchor::Start, engine);
    let tone = if v.takes("engine") { Tone::Result } else { Tone::Given };
    c.arrow(tone, (250.0, 184.0), (330.0, 184.0));
    c.label((242.0, 188.0), Anchor::End, road);
    if v.takes("seen") {
        c.flow(210.0, [v.label("seen"), v.result("slip")]);
    }
}

/// A pair of wheels from above, turned by the toe, much enlarged; gives the turn in degrees.
fn wheels_from_above(c: &mut Canvas, toe: f64, y: f64) -> (P, P) {
    let (left, right) = ((92.0, y), (268.0, y));
    for (at, turn) in [(left, toe), (right, -toe)] {
        let corners: Vec<P> = rectangle(at.0 - 17.0, at.1 - 58.0, 34.0, 116.0)
            .into_iter()
            .map(|p| turned(p, at, turn))
            .collect();
        c.closed("metal", &corners);
        c.centre(turned((at.0, at.1 - 78.0), at, turn), turned((at.0, at.1 + 72.0), at, turn));
        c.line("thin", (at.0, at.1 - 78.0), (at.0, at.1 + 72.0));
    }
    c.line("edge", left, right);
    c.circle("blank", left, 4.0);
    c.circle("blank", right, 4.0);
    (left, right)
}

fn toe(c: &mut Canvas, v: &Values) {
    if v.is("side-slip") {
        return side_slip(c, v);
    }
    c.height = 240.0;
    let service = v.is("toe-service-limit");
    c.says("Both wheels of an axle from above, front at the top, their toe drawn large.");
    let amount = if service {
        signed(v.unit("maker"), 2.0, 7.0)
    } else if v.takes("toe") {
        signed(v.degrees("toe"), 0.2, 7.0)
    } else {
        v.signed("difference", 7.0)
    };
    let amount = amount.clamp(-13.0, 13.0);
    let (left, right) = wheels_from_above(c, amount, 116.0);
    let front = |at: P, turn: f64| turned((at.0, at.1 - 58.0), at, turn);
    let rear = |at: P, turn: f64| turned((at.0, at.1 + 58.0), at, turn);
    c.angle(left, 72.0, 270.0, 270.0 + amount, Label::default());
    let (a, b) = (front(left, amount), front(right, -amount));
    let (p, q) = (rear(left, amount), rear(right, -amount));
    c.dimension(a, b, -12.0, Label::words("front").quiet());
    c.dimension(p, q, 12.0, Label::words("rear").quiet());
    c.arrow(Tone::Given, (180.0, 92.0), (180.0, 66.0));
    if service {
        c.flow(232.0, [v.named("maker", "maker's toe"), v.result_named("limit", "allowed in use")]);
        return;
    }
    let (toe, difference) = if v.takes("toe") {
        (v.label("toe"), v.result("difference"))
    } else {
        (v.result("toe"), v.label("difference"))
    };
    c.label((92.0, 24.0), Anchor::Middle, toe);
    c.upright(58.0, 174.0, 285.0, 318.0, Label::default());
    c.label((352.0, 196.0), Anchor::End, v.label("diameter"));
    c.flow(232.0, [difference.and("= rear less front")]);
}

/// A toed wheel rolls straight on and slips sideways.
fn side_slip(c: &mut Canvas, v: &Values) {
    c.height = 220.0;
    c.says("A toed wheel from above: it points one way and is drawn another; the difference is side slip.");
    let turn = signed(v.degrees("toe"), 0.2, 12.0).clamp(-20.0, 20.0);
    let at = (130.0, 140.0);
    let corners: Vec<P> =
        rectangle(at.0 - 18.0, at.1 - 60.0, 36.0, 120.0).into_iter().map(|p| turned(p, at, turn)).collect();
    c.closed("metal", &corners);
    c.centre((at.0, 20.0), (at.0, 214.0));
    let end = turned((at.0, 26.0), at, turn);
    c.line("thin", at, end);
    c.arrow(Tone::Given, (at.0, 60.0), (at.0, 26.0));
    if (end.0 - at.0).abs() > 3.0 {
        c.line("out", (at.0, end.1), end);
    }
    c.angle(at, 92.0, 270.0, 270.0 + turn, Label::default());
    c.label((200.0, 60.0), Anchor::Start, v.label("toe"));
    c.label((200.0, 96.0), Anchor::Start, v.result("slip"));
    c.label((200.0, 118.0), Anchor::Start, v.result_named("per-kilometre", "in a kilometre"));
}

/// A wheel from the front, leaning.
fn camber(c: &mut Canvas, v: &Values) {
    if v.is("camber-shim") {
        return camber_shim(c, v);
    }
    c.height = 240.0;
    c.says(
        "A wheel from the front, its lean drawn large: the rim is read at top and bottom against an upright.",
    );
    let lean = signed(v.out("camber").unwrap_or(0.015).to_degrees(), 0.85, 8.0).clamp(-15.0, 15.0);
    let (floor, at) = (204.0, (150.0, 116.0));
    let fall = signed(v.degrees("floor"), 1.0, 5.0).clamp(-8.0, 8.0);
    c.line("edge", (30.0, floor - fall), (330.0, floor + fall));
    // The outside of the car is on the right.
    let put = |dx: f64, dy: f64| turned((at.0 + dx, at.1 + dy), at, lean);
    c.closed("metal", &[put(-26.0, -86.0), put(26.0, -86.0), put(26.0, 86.0), put(-26.0, 86.0)]);
    c.open("edge", &[put(26.0, -54.0), put(14.0, -54.0), put(14.0, 54.0), put(26.0, 54.0)]);
    c.centre(put(0.0, -100.0), put(0.0, 98.0));
    c.line("thin", (at.0, 14.0), (at.0, 214.0));
    c.angle(at, 98.0, 270.0, 270.0 + lean, Label::default());
    c.label((10.0, 20.0), Anchor::Start, v.result("camber"));
    let (top, bottom) = (put(26.0, -54.0), put(26.0, 54.0));
    let plumb = 236.0;
    c.line("edge", (plumb, top.1 - 12.0), (plumb, bottom.1 + 12.0));
    for end in [top, bottom] {
        c.dimension(end, (plumb, end.1), 0.0, Label::default());
    }
    c.upright(top.1, bottom.1, plumb, 262.0, v.label("diameter"));

    c.label((350.0, 20.0), Anchor::End, Label::words("outside").quiet());
    c.flow(232.0, [v.label("difference").and("= lower less upper"), v.named("floor", "floor's fall")]);
}

/// A shim between two faces turns the upright about its pivot.
fn camber_shim(c: &mut Canvas, v: &Values) {
    c.height = 230.0;
    c.says(
        "An upright bolted through a shim above its pivot: the shim over the lever is the change of camber.",
    );
    let shim = v.signed("shim", 14.0).clamp(-20.0, 24.0);
    let lever = v.px("lever", 124.0).min(150.0);
    let pivot = (92.0, 196.0);
    let top = pivot.1 - lever;
    let out = shim.max(0.0);
    c.cut(&rectangle(40.0, top - 20.0, 50.0, lever + 40.0));
    let lean = (shim / lever).atan().to_degrees();
    let put = |dx: f64, dy: f64| turned((pivot.0 + dx, pivot.1 + dy), pivot, lean);
    if shim > 0.5 {
        c.rect("out-area", 90.0, top - 14.0, out, 28.0);
        c.rect("edge", 90.0, top - 14.0, out, 28.0);
    }
    c.cut_rings(
        &[&[put(-2.0, -lever - 16.0), put(24.0, -lever - 16.0), put(24.0, 8.0), put(-2.0, 8.0)]],
        FALLING,
    );
    let plain = rectangle(90.0, top - 16.0, 26.0, lever + 24.0);
    c.closed("ghost", &plain);
    c.circle("blank", (pivot.0 + 11.0, pivot.1), 4.0);
    c.upright(top, pivot.1, 130.0, 190.0, v.label("lever"));
    c.line("thin", (90.0, top - 16.0), (90.0, 12.0));
    c.across(90.0, 90.0 + shim, top - 14.0, 18.0, v.label("shim"));
    c.label((206.0, 206.0), Anchor::Start, v.result("change"));
}

/// A rear axle from above, each wheel by its own toe, and the line they push along.
fn thrust_angle(c: &mut Canvas, v: &Values) {
    c.height = 246.0;
    c.says("The rear axle from above, front at the top: each wheel by its own toe, and the line along which the axle pushes.");
    let draw = |degrees: f64| signed(degrees, 0.2, 8.0).clamp(-14.0, 14.0);
    let (l, r) = (draw(v.degrees("left")), draw(v.degrees("right")));
    let y = 150.0;
    for (x, turn) in [(84.0, l), (276.0, -r)] {
        let at = (x, y);
        let corners: Vec<P> =
            rectangle(x - 16.0, y - 52.0, 32.0, 104.0).into_iter().map(|p| turned(p, at, turn)).collect();
        c.closed("metal", &corners);
        c.centre(turned((x, y - 76.0), at, turn), turned((x, y + 64.0), at, turn));
        c.line("thin", (x, y - 76.0), (x, y + 64.0));
    }
    c.line("edge", (84.0, y), (276.0, y));
    c.centre((180.0, 20.0), (180.0, 216.0));
    let thrust = (l - r) / 2.0;
    let tip = turned((180.0, 34.0), (180.0, y), thrust);
    c.arrow(Tone::Result, (180.0, y), tip);
    c.label((84.0, 62.0), Anchor::Middle, v.label("left"));
    c.label((276.0, 62.0), Anchor::Middle, v.label("right"));
    c.label((188.0, 24.0), Anchor::Start, v.result("thrust"));
    c.flow(238.0, [v.result_named("total", "total toe")]);
}

/// The steering axis from the side, and how far the wheel is turned from above.
fn caster(c: &mut Canvas, v: &Values) {
    c.height = 246.0;
    c.says("A wheel from the side with its steering axis leaning back, and from above turned each way.");
    let lean = signed(v.out("caster").unwrap_or(0.1).to_degrees(), 6.0, 12.0).clamp(-22.0, 22.0);
    let (at, floor) = ((92.0, 128.0), 204.0);
    c.ground(10.0, 190.0, floor);
    c.circle("metal", at, 76.0);
    c.circle("blank", at, 46.0);
    c.circle("edge", at, 6.0);
    c.line("thin", (at.0, 20.0), (at.0, floor));
    // The car goes to the left; caster leans the axis back at the top.
    c.line("out", turned((at.0, 24.0), at, lean), turned((at.0, floor), at, lean));
    c.angle(at, 96.0, 270.0, 270.0 + lean, Label::default());
    c.label((124.0, 22.0), Anchor::Start, v.result("caster"));
    let plan = (278.0, 116.0);
    let turn = v.degrees("turn").clamp(5.0, 45.0);
    for degrees in [turn, -turn] {
        let corners: Vec<P> = rectangle(plan.0 - 12.0, plan.1 - 48.0, 24.0, 96.0)
            .into_iter()
            .map(|p| turned(p, plan, degrees))
            .collect();
        c.closed(if degrees > 0.0 { "ghost" } else { "metal" }, &corners);
    }
    c.centre((plan.0, 34.0), (plan.0, 190.0));
    c.angle(plan, 66.0, 270.0 - turn, 270.0, v.label("turn"));
    c.angle(plan, 66.0, 270.0, 270.0 + turn, Label::default());
    c.flow(236.0, [v.label("camber-in"), v.label("camber-out")]);
}
