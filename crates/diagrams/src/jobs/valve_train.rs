//! Valve train.

use super::Drawings;
use super::springs::coil_with_dimensions;
use crate::figure::number;
use crate::kit::{Anchor, Axis, Canvas, Label, P, Plot, Tone, polar, rectangle, turned};
use crate::values::{Values, eased};
use bench::cylinders::piston_motion::piston_drop;

pub const DRAWINGS: Drawings = &[
    ("valve-spring", valve_spring),
    ("valve-row", valve_row),
    ("cam-nose", cam_nose),
    ("cam-lift", cam_lift),
    ("lash", lash),
    ("piston-to-valve", piston_to_valve),
];

fn valve_spring(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "valve-spring-load-table" => spring_tester(c, v),
        "valve-spring-shim" => spring_shim(c, v),
        "retainer-seal-clearance" => retainer_and_seal(c, v),
        "valve-spring-surge" => {
            coil_with_dimensions(c, v);
            c.says("A valve spring from the side: wire, mean diameter and active coils.");
            c.flow(
                c.height - 12.0,
                [v.result("active-mass"), v.result("held"), v.result_named("free", "one end free")],
            );
        }
        _ => spring_lengths(c, v),
    }
}

/// One spring four times on one base: free, on the seat, at full lift, coils touching.
fn spring_lengths(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("One valve spring to scale: free, on the seat, at full lift and with its coils touching.");
    let (free, seat, lift, solid) =
        (v.mm("free-length"), v.mm("installed-height"), v.mm("lift"), v.mm("solid-length"));
    let scale = 130.0 / free.max(seat).max(solid).max(1.0);
    let base = 196.0;
    let tall = |mm: f64| (mm * scale).max(16.0);
    let open = seat - lift;
    c.ground(8.0, 352.0, base);
    let columns = [(46.0, free), (138.0, seat), (230.0, open), (318.0, solid)];
    for (x, length) in columns {
        let high = tall(length);
        let wire = (high / 7.0).clamp(2.5, 7.0);
        c.coil(x, base - high, base, 15.0, wire, 6.0);
        c.line("edge", (x - 24.0, base - high), (x + 24.0, base - high));
    }
    let names = [
        v.label("free-length"),
        v.label("installed-height"),
        Label::words("full lift"),
        v.label("solid-length"),
    ];
    for ((x, _), name) in columns.into_iter().zip(names) {
        c.label((x, base + 22.0), Anchor::Middle, name);
    }
    for (x, length) in [(8.0, free), (100.0, seat), (282.0, solid)] {
        c.dimension((x + 8.0, base - tall(length)), (x + 8.0, base), 0.0, Label::default());
    }
    for ((x, length), id) in columns.into_iter().skip(1).zip(["seat-load", "open-load"]) {
        let load = v.out(id).unwrap_or(300.0);
        let long = eased(load, 400.0, 22.0);
        let top = base - tall(length);
        c.arrow(Tone::Result, (x, top - 2.0 - long), (x, top - 1.0));
        c.label((x, top - long - 7.0), Anchor::Middle, v.result_named(id, "").unnamed());
    }
    c.line("thin", (162.0, base - tall(seat)), (206.0, base - tall(seat)));
    c.dimension((186.0, base - tall(seat)), (186.0, base - tall(open)), 0.0, Label::default());
    c.label((186.0, base - tall(seat) - 20.0), Anchor::Middle, v.label("lift"));
    c.line("thin", (254.0, base - tall(open)), (290.0, base - tall(open)));
    if (tall(open) - tall(solid)).abs() > 1.0 {
        c.line("out", (272.0, base - tall(open)), (272.0, base - tall(solid)));
    }
    c.flow(
        base + 46.0,
        [
            v.result_named("coil-bind-margin", "coil-bind margin"),
            v.result_named("open-length", "length at full lift"),
        ],
    );
}

/// What the tester read, and the loads it gives at the two lengths of the valve.
fn spring_tester(c: &mut Canvas, v: &Values) {
    c.height = 240.0;
    c.says("Loads read on the tester against length, with the loads on the seat and at full lift.");
    let mut points: Vec<P> = v.list("lengths").into_iter().zip(v.list("loads")).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (seat, open) = (v.mm("installed-height"), v.mm("installed-height") - v.mm("lift"));
    let (seat_load, open_load) =
        (v.out("seat-load").unwrap_or(f64::NAN), v.out("open-load").unwrap_or(f64::NAN));
    let x = Axis::around(points.iter().map(|p| p.0).chain([seat, open]), Label::words("length / mm"));
    let y = Axis::around(points.iter().map(|p| p.1).chain([seat_load, open_load]), Label::words("load / N"));
    let mut plot = Plot::new(c, (10.0, 4.0), (340.0, 206.0), x, y);
    plot.curve(c, "other", &points);
    for (length, load) in &points {
        c.circle("blank", plot.at(*length, *load), 3.5);
    }
    for (length, load, id) in [(seat, seat_load, "seat-load"), (open, open_load, "open-load")] {
        if load.is_finite() {
            plot.point(c, length, load, v.result(id));
        }
    }
    c.flow(234.0, [v.label("installed-height"), v.label("lift"), v.result("rate")]);
}

/// A spring pocket in section: head, shim, spring, retainer.
fn spring_shim(c: &mut Canvas, v: &Values) {
    c.height = 230.0;
    c.says("Spring pocket in section with a shim under the spring: installed height from the head, and from the shim.");
    let (seat, middle) = (178.0, 180.0);
    let high = v.px("measured", 112.0).min(128.0);
    let top = seat - high;
    let change = v.mm("measured") - v.mm("wanted");
    let shim = if change > 0.0 { eased(change, 0.5, 15.0) } else { 0.0 };
    c.cut(&[
        (60.0, seat - 26.0),
        (112.0, seat - 26.0),
        (112.0, seat),
        (248.0, seat),
        (248.0, seat - 26.0),
        (300.0, seat - 26.0),
        (300.0, seat + 26.0),
        (60.0, seat + 26.0),
    ]);
    stem(c, middle, top - 24.0, seat + 44.0);
    if shim > 0.0 {
        c.rect("out-area", 118.0, seat - shim, 124.0, shim);
        c.rect("edge", 118.0, seat - shim, 124.0, shim);
    }
    c.coil(middle, top, seat - shim, 42.0, 11.0, 4.0);
    retainer(c, middle, top, 60.0, 14.0);
    c.upright(top, seat, 124.0, 40.0, v.label("measured"));
    c.upright(top, seat - shim.max(1.0), 236.0, 322.0, v.label("wanted"));
    c.leader((150.0, seat - shim / 2.0), (92.0, 222.0), v.result("shim"));
    let load = v.result("load");
    c.arrow(Tone::Result, (216.0, top - 44.0), (216.0, top - 16.0));
    c.label((224.0, top - 30.0), Anchor::Start, load);
}

/// A valve stem from the side.
fn stem(c: &mut Canvas, x: f64, top: f64, bottom: f64) {
    c.rect("metal", x - 7.0, top, 14.0, bottom - top);
    c.centre((x, top - 6.0), (x, bottom + 4.0));
}

/// A spring retainer in section, its spring face at `face`.
fn retainer(c: &mut Canvas, x: f64, face: f64, radius: f64, thick: f64) {
    for side in [-1.0, 1.0] {
        c.cut(&[
            (x + side * 7.0, face - thick),
            (x + side * radius, face - thick),
            (x + side * radius, face),
            (x + side * 22.0, face),
            (x + side * 18.0, face + 6.0),
            (x + side * 7.0, face + 6.0),
        ]);
    }
}

/// Spring seat, guide with its seal, and the retainer closed and at full lift.
fn retainer_and_seal(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("Valve guide with its seal, and the retainer above it, closed and dashed at full lift; the clearance is what is left between the retainer's boss and the seal.");
    let (h, b, e, s) = (v.mm("installed-height"), v.mm("boss"), v.mm("seal-height"), v.mm("lift"));
    let scale = 158.0 / h.max(e + b).max(1.0);
    let (seat, x) = (218.0, 168.0);
    let closed = seat - (h * scale).clamp(30.0, 176.0);
    let boss = (b * scale).clamp(0.0, 60.0).min(seat - closed - 6.0);
    let seal = seat - (e * scale).clamp(14.0, 170.0);
    let lifted = (closed + s * scale).min(seat - 4.0 - boss).max(closed);
    c.cut(&rectangle(70.0, seat, 200.0, 24.0));
    for side in [-1.0, 1.0] {
        c.cut_next(&[
            (x + side * 8.0, seat),
            (x + side * 26.0, seat),
            (x + side * 22.0, seal + 12.0),
            (x + side * 8.0, seal + 12.0),
        ]);
        c.closed(
            "dark",
            &[
                (x + side * 7.0, seal),
                (x + side * 20.0, seal),
                (x + side * 24.0, seal + 14.0),
                (x + side * 7.0, seal + 14.0),
            ],
        );
        c.cut(&[
            (x + side * 7.0, closed - 12.0),
            (x + side * 56.0, closed - 12.0),
            (x + side * 56.0, closed),
            (x + side * 24.0, closed),
            (x + side * 24.0, closed + boss),
            (x + side * 7.0, closed + boss),
        ]);
        c.open(
            "ghost",
            &[
                (x + side * 7.0, lifted - 12.0),
                (x + side * 56.0, lifted - 12.0),
                (x + side * 56.0, lifted),
                (x + side * 24.0, lifted),
                (x + side * 24.0, lifted + boss),
                (x + side * 7.0, lifted + boss),
            ],
        );
    }
    c.rect("metal", x - 7.0, closed - 22.0, 14.0, seat + 24.0 - closed + 22.0);
    c.centre((x, closed - 30.0), (x, 248.0));
    c.upright(closed, seat, x - 56.0, 52.0, v.label("installed-height"));
    c.upright(closed, lifted, x - 56.0, 90.0, v.label("lift"));
    c.upright(seal, seat, x + 24.0, 268.0, v.label("seal-height"));
    if boss > 0.0 {
        c.upright(closed, closed + boss, x + 24.0, 244.0, v.label("boss"));
    }
    if seal - lifted - boss > 1.0 {
        c.line("out", (x + 36.0, lifted + boss), (x + 36.0, seal));
        c.line("thin", (x + 22.0, lifted + boss), (x + 46.0, lifted + boss));
    }
    c.line("thin", (x + 20.0, seal), (x + 46.0, seal));
    c.label((x + 44.0, (lifted + boss + seal) / 2.0 + 5.0), Anchor::Start, v.result("clearance"));
}

/// Every tip of the row against the median, with the band that counts as ordinary.
fn valve_row(c: &mut Canvas, v: &Values) {
    let both = v.given("above-head");
    c.height = if both { 344.0 } else { 200.0 };
    c.says("Every place of the row against the median; those outside the band stand out.");
    let names = v.texts("places");
    row(c, v, (4.0, 158.0), ("above-retainer", "scores", "median"), "tip above the retainer / mm", &names);
    let mut last = 178.0;
    if both {
        row(
            c,
            v,
            (158.0, 138.0),
            ("above-head", "scores-head", "median-head"),
            "tip above the head face / mm",
            &names,
        );
        last = 336.0;
    }
    if both {
        c.flow(last - 18.0, [v.result("median"), v.result("deviation")]);
        c.flow(
            last,
            [v.result_named("median-head", "head face"), v.result_named("deviation-head", "deviation")],
        );
    } else {
        c.flow(last + 14.0, [v.result("median"), v.result("deviation")]);
    }
}

fn row(
    c: &mut Canvas,
    v: &Values,
    (top, high): P,
    (key, scores, median): (&str, &str, &str),
    title: &str,
    names: &[String],
) {
    let heights = v.list(key);
    let scores = v.outs(scores);
    let threshold = v.unit("threshold");
    let axis = Axis::around(heights.iter().copied(), Label::words(title));
    let count = heights.len() as f64;
    let plot =
        Plot::new(c, (10.0, top), (340.0, high), Axis::new(0.5, count + 0.5, Label::default()).bare(), axis);
    let middle = v.out_unit(median).unwrap_or(0.0);
    // A score is a distance in deviations, so any place that is off the median tells how wide the band is.
    let apart =
        heights.iter().zip(&scores).filter(|(_, z)| z.abs() > 1e-9).map(|(x, z)| ((x - middle) / z).abs());
    let deviation = apart.fold(f64::NAN, f64::max);
    if deviation.is_finite() {
        plot.band(c, middle - threshold * deviation, middle + threshold * deviation);
    }
    plot.level(c, "centre", middle, Label::default());
    for (i, height) in heights.iter().enumerate() {
        let out = scores.get(i).is_some_and(|z| z.abs() > threshold);
        let (x, y) = plot.at(i as f64 + 1.0, *height);
        if out {
            c.rect("out-dot", x - 5.0, y - 5.0, 10.0, 10.0);
            let name = names.get(i).map_or_else(|| number(i as f64 + 1.0), Clone::clone);
            let down = if *height > middle { 17.0 } else { 4.0 };
            c.label((x - 9.0, y + down), Anchor::End, Label::words(name).result().within(90.0));
        } else {
            c.circle("blank", (x, y), 4.0);
        }
    }
}

/// A cam with its nose on the follower: the spring holds it there, the moved mass would fly on.
fn cam_nose(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("A cam with its nose on the follower at full lift: the spring pushes back, the moved mass would go on.");
    let lift = v.px("lift", 26.0).min(40.0);
    let duration = if v.takes("duration") { v.degrees("duration") } else { 260.0 };
    let half = (duration / 4.0).clamp(36.0, 98.0);
    let (x, base) = (136.0, 34.0);
    let centre = (x, 64.0);
    c.closed("metal", &cam(centre, base, lift, half, 90.0));
    c.circle("hidden", centre, base);
    c.circle("blank", centre, 6.0);
    c.cross(centre, base + 8.0);
    let face = centre.1 + base + lift;
    c.cut(&[
        (x - 34.0, face),
        (x + 34.0, face),
        (x + 34.0, face + 40.0),
        (x + 28.0, face + 40.0),
        (x + 28.0, face + 9.0),
        (x - 28.0, face + 9.0),
        (x - 28.0, face + 40.0),
        (x - 34.0, face + 40.0),
    ]);
    c.rect("metal", x - 5.0, face + 9.0, 10.0, 240.0 - face - 9.0);
    let coils = 234.0 - face - 14.0;
    c.coil(x, face + 12.0, face + 12.0 + coils, 18.0, (coils / 10.0).clamp(4.0, 7.0), 5.0);
    c.ground(x - 40.0, x + 40.0, 240.0);
    c.line("thin", (x + base + 4.0, centre.1 + base), (226.0, centre.1 + base));
    c.line("thin", (x + 34.0, face), (226.0, face));
    c.dimension((222.0, centre.1 + base), (222.0, face), 0.0, v.label("lift"));
    c.turning(Tone::Given, centre, base + 10.0, 200.0, 250.0);
    let speed = if v.takes("speed") { v.label("speed") } else { Label::default() };
    c.label((10.0, 16.0), Anchor::Start, speed);
    if v.takes("duration") {
        c.angle(centre, base + 20.0, 90.0 - half, 90.0 + half, Label::default());
        c.label((10.0, 36.0), Anchor::Start, v.label("duration"));
        c.arrow(Tone::Result, (x - 54.0, face + 60.0), (x - 54.0, face + 14.0));
        c.label((x - 62.0, face + 44.0), Anchor::End, v.result("deceleration"));
        return;
    }
    let (load, needed) = if v.is("valve-spring-margin") {
        (v.out("spring-load").unwrap_or(1.0), v.out("inertia").unwrap_or(1.0))
    } else {
        (
            v.out("open-load").unwrap_or(1.0),
            v.out("open-load").unwrap_or(1.0) / (1.0 + v.out("margin").unwrap_or(0.0)).max(0.05),
        )
    };
    let long = |force: f64| eased(force, load.max(needed).max(1.0), 44.0);
    c.arrow(Tone::Result, (x - 54.0, face + 74.0), (x - 54.0, face + 74.0 - long(load)));
    c.arrow(Tone::Given, (x + 54.0, face + 26.0), (x + 54.0, face + 26.0 + long(needed)));
    if v.is("valve-spring-margin") {
        c.label((x - 62.0, face + 58.0), Anchor::End, v.result("spring-load"));
        c.label((x + 64.0, face + 46.0), Anchor::Start, v.result("inertia"));
        stack(
            c,
            240.0,
            16.0,
            [v.label("seat-load"), v.label("rate"), v.label("mass"), v.label("deceleration")],
        );
        stack(c, 240.0, 218.0, [v.result("margin"), v.result("ratio")]);
    } else {
        c.label((x - 62.0, face + 58.0), Anchor::End, v.result("open-load"));
        c.label((x + 64.0, face + 46.0), Anchor::Start, Label::words("inertia"));
        stack(c, 240.0, 16.0, [v.label("seat-load"), v.label("rate"), v.label("mass"), v.label("curvature")]);
        stack(c, 232.0, 200.0, [v.result("float-speed"), v.result("margin")]);
    }
}

/// A cam's outline with its nose in a direction, its lobe so wide to both sides of it, in degrees. The lobe is a cosine
/// hill: a drawing's cam, not a cam's law.
fn cam(centre: P, base: f64, lift: f64, half: f64, nose: f64) -> Vec<P> {
    (-90..90)
        .map(|i| f64::from(i) * 2.0)
        .map(|degrees| {
            let hill = (1.0 + (std::f64::consts::PI * degrees / half).cos()) / 2.0;
            let lift = if degrees.abs() < half { lift * hill } else { 0.0 };
            polar(centre, base + lift, nose + degrees)
        })
        .collect()
}

/// Labels below one another.
fn stack(c: &mut Canvas, x: f64, y: f64, labels: impl IntoIterator<Item = Label>) {
    for (i, label) in labels.into_iter().enumerate() {
        c.label((x, y + 19.0 * i as f64), Anchor::Start, label);
    }
}

/// The measured lift and the angle at which the spring gives way first.
fn cam_lift(c: &mut Canvas, v: &Values) {
    c.height = 244.0;
    c.says("Measured lift against cam angle, with the place where the spring gives way first.");
    let ratio = v.unit("ratio");
    let points: Vec<P> =
        v.list("angles").into_iter().zip(v.list("lifts")).map(|(a, y)| (a, y * ratio)).collect();
    let x = Axis::around(points.iter().map(|p| p.0), Label::words("cam angle φ / °"));
    let y = Axis::around(points.iter().map(|p| p.1), Label::words("lift at the valve, r y / mm"));
    let mut plot = Plot::new(c, (10.0, 4.0), (340.0, 200.0), x, y);
    plot.curve(c, "curve", &points);
    for (angle, lift) in &points {
        c.circle("blank", plot.at(*angle, *lift), 3.5);
    }
    if let (Some(angle), Some(lift)) = (v.out_unit("angle"), v.out_unit("lift")) {
        plot.point(c, angle, lift, v.result("angle"));
    }
    c.flow(220.0, [v.result("float-speed"), v.result_named("load", "spring load"), v.result("margin")]);
}

fn lash(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "lash-screw-turn" => lash_screw(c, v),
        "shim-plan" => shim_plan(c, v),
        _ => lash_shim(c, v),
    }
}

/// Cam, gap, shim and bucket in section.
fn lash_shim(c: &mut Canvas, v: &Values) {
    c.height = 226.0;
    c.says("The cam's back over the shim in its bucket: the lash, drawn large, and the shim fitted.");
    let gap = v.px("lash", 18.0).min(30.0);
    let thick = v.px("fitted", 26.0).min(40.0);
    let (x, back) = (150.0, 90.0);
    let centre = (x, 62.0);
    c.closed("metal", &cam(centre, back - centre.1, 24.0, 60.0, 270.0));
    c.circle("blank", centre, 7.0);
    c.cross(centre, 34.0);
    let shim = back + gap;
    let bucket = shim + thick;
    c.cut_next(&rectangle(x - 44.0, shim, 88.0, thick));
    c.cut(&[
        (x - 60.0, shim + thick * 0.4),
        (x - 44.0, shim + thick * 0.4),
        (x - 44.0, bucket),
        (x + 44.0, bucket),
        (x + 44.0, shim + thick * 0.4),
        (x + 60.0, shim + thick * 0.4),
        (x + 60.0, bucket + 46.0),
        (x + 51.0, bucket + 46.0),
        (x + 51.0, bucket + 12.0),
        (x - 51.0, bucket + 12.0),
        (x - 51.0, bucket + 46.0),
        (x - 60.0, bucket + 46.0),
    ]);
    c.rect("metal", x - 6.0, bucket + 12.0, 12.0, 216.0 - bucket - 12.0);
    c.line("thin", (x + 6.0, back), (x + 90.0, back));
    c.upright(back, shim, x + 44.0, x + 84.0, v.label("lash"));
    c.upright(shim, bucket, x - 44.0, x - 78.0, v.label("fitted"));
    stack(c, 236.0, 18.0, [v.label("target"), v.label("step")]);
    stack(
        c,
        224.0,
        176.0,
        [v.result("exact"), v.result_named("stocked", "nearest"), v.result_named("lash-then", "lash then")],
    );
}

/// A lash screw from the side and from above: its pitch and its turn.
fn lash_screw(c: &mut Canvas, v: &Values) {
    c.height = 220.0;
    c.says("An adjusting screw in its rocker, from the side and from above: one turn moves it by its pitch.");
    let pitch = v.px("pitch", 15.0).min(24.0);
    let (x, top) = (92.0, 40.0);
    c.cut(&rectangle(40.0, 76.0, 30.0, 62.0));
    c.cut(&rectangle(114.0, 76.0, 30.0, 62.0));
    let mut left = vec![];
    let mut right = vec![];
    let mut y = top;
    while y < 172.0 {
        left.extend([(x - 22.0, y), (x - 16.0, y + pitch / 2.0)]);
        right.extend([(x + 22.0, y + pitch / 2.0), (x + 16.0, y + pitch)]);
        y += pitch;
    }
    let last = y;
    let mut outline = left.clone();
    outline.extend([(x - 14.0, last), (x, last + 12.0), (x + 14.0, last)]);
    outline.extend(right.iter().rev().copied());
    c.closed("metal", &outline);
    for pair in left.chunks_exact(2) {
        if let [a, b] = pair {
            c.line("thin", *a, (x + 22.0, a.1 + pitch / 2.0));
            c.line("thin", *b, (x + 16.0, b.1 + pitch / 2.0));
        }
    }
    c.centre((x, top - 10.0), (x, (last + 20.0).min(218.0)));
    c.upright(
        top + pitch * 3.0 + pitch / 2.0,
        top + pitch * 4.0 + pitch / 2.0,
        x + 22.0,
        170.0,
        v.label("pitch"),
    );
    let centre = (270.0, 96.0);
    c.circle("metal", centre, 40.0);
    let turn = v.out("turn").unwrap_or(0.6).to_degrees();
    let shown = turn.signum() * turn.abs().clamp(8.0, 330.0);
    for degrees in [270.0, 270.0 + shown] {
        let class = if degrees == 270.0 { "hidden" } else { "bold" };
        c.line(class, polar(centre, 34.0, degrees + 180.0), polar(centre, 34.0, degrees));
    }
    c.turning(Tone::Result, centre, 52.0, 270.0, 270.0 + shown);
    c.label((270.0, 176.0), Anchor::Middle, v.result("turn"));
    c.label((270.0, 198.0), Anchor::Middle, v.label("change"));
}

/// Lash at every place against what is wanted: as found, and with the plan.
fn shim_plan(c: &mut Canvas, v: &Values) {
    c.height = 240.0;
    c.says("Lash at every place less the lash wanted, as found and with the plan, in the band allowed.");
    let (found, targets, then) = (v.list("lash"), v.list("target"), v.outs("lash-then"));
    let band = v.mm("band");
    let target = |i: usize| targets.get(i).or(targets.first()).copied().unwrap_or(0.0);
    let off = |all: &[f64]| -> Vec<f64> { all.iter().enumerate().map(|(i, l)| l - target(i)).collect() };
    let (before, after) = (off(&found), off(&then));
    let all = before.iter().chain(&after).copied().chain([-band * 1.4, band * 1.4]);
    let y = Axis::around(all, Label::words("lash less the lash wanted / mm"));
    let x = Axis::new(0.5, found.len() as f64 + 0.5, Label::default()).bare();
    let plot = Plot::new(c, (10.0, 4.0), (340.0, 192.0), x, y);
    plot.band(c, -band, band);
    plot.level(c, "centre", 0.0, Label::default());
    for (i, l) in before.iter().enumerate() {
        let at = plot.at(i as f64 + 1.0, *l);
        if let Some(then) = after.get(i) {
            c.line("guide", at, plot.at(i as f64 + 1.0, *then));
        }
        c.circle("blank", at, 4.0);
    }
    for (i, l) in after.iter().enumerate() {
        c.circle("out-dot", plot.at(i as f64 + 1.0, *l), 4.0);
    }
    let (_, _, _, foot) = plot.field();
    c.circle("blank", (16.0, foot + 18.0), 4.0);
    c.label((25.0, foot + 22.0), Anchor::Start, Label::words("as found").quiet());
    c.circle("out-dot", (96.0, foot + 18.0), 4.0);
    c.label((105.0, foot + 22.0), Anchor::Start, Label::words("with the plan").quiet());
    c.flow(
        c.height - 22.0,
        [
            v.label("band"),
            v.result_named("out-of-band", "out of band now"),
            v.result_named("bought", "to buy"),
        ],
    );
}

fn piston_to_valve(c: &mut Canvas, v: &Values) {
    if v.is("piston-to-valve") { valve_and_piston_curves(c, v) } else { valve_over_piston(c, v) }
}

/// The piston's way along the valve, and the valve's lift: the least gap between them counts.
fn valve_and_piston_curves(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("The piston's place along the valve's axis and the valve's lift against crank angle; the least gap between the two curves is the clearance.");
    let drop = |degrees: f64| {
        piston_drop(v.mm("stroke"), v.mm("rod"), degrees.to_radians(), 0.0).unwrap_or(f64::NAN)
    };
    let (gap, lean, later) = (v.mm("closed-gap"), v.si("valve-angle").cos(), v.degrees("later"));
    let mut lifts: Vec<P> =
        v.list("angles").into_iter().zip(v.list("lifts")).map(|(a, y)| (a + later, y)).collect();
    lifts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (from, to) = (lifts.first().map_or(-20.0, |p| p.0), lifts.last().map_or(30.0, |p| p.0));
    let piston: Vec<P> = (0..=60)
        .map(|i| from + (to - from) * f64::from(i) / 60.0)
        .map(|a| (a, gap + drop(a) * lean))
        .collect();
    let y = Axis::around(
        lifts.iter().chain(&piston).map(|p| p.1).chain([0.0]),
        Label::words("along the valve / mm"),
    );
    let mut plot =
        Plot::new(c, (10.0, 4.0), (340.0, 204.0), Axis::new(from, to, Label::words("crank angle θ / °")), y);
    plot.curve(c, "other", &piston);
    plot.curve(c, "curve", &lifts);
    for (angle, lift) in &lifts {
        c.circle("blank", plot.at(*angle, *lift), 3.0);
    }
    let near = |points: &[P], x: f64| {
        points
            .iter()
            .zip(points.iter().skip(1))
            .find(|(a, b)| a.0 <= x && x <= b.0)
            .map(|(a, b)| if b.0 > a.0 { a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0) } else { a.1 })
    };
    if let Some(at) = v.out("at").map(f64::to_degrees)
        && let (Some(low), Some(high)) = (near(&lifts, at), near(&piston, at))
    {
        let (a, b) = (plot.at(at, low), plot.at(at, high));
        c.line("out", a, b);
        c.circle("out-dot", a, 4.0);
        c.circle("out-dot", b, 4.0);
    }
    if let (Some(p), Some(l)) = (piston.first(), lifts.first()) {
        let (a, b) = (plot.at(p.0, p.1), plot.at(l.0, l.1));
        c.label((a.0 + 10.0, a.1 - 10.0), Anchor::Start, Label::words("piston").quiet());
        c.label((b.0 + 10.0, b.1 - 10.0), Anchor::Start, Label::words("valve").quiet());
    }
    c.flow(
        226.0,
        [
            v.result("clearance"),
            v.result("at"),
            v.label("closed-gap"),
            v.label("valve-angle"),
            v.label("later"),
        ],
    );
}

/// A valve leaning over its pocket in the piston's crown near top.
fn valve_over_piston(c: &mut Canvas, v: &Values) {
    c.height = 246.0;
    c.says(
        "A valve over its pocket in the piston near top: the clearance measured along the valve, and dashed where the valve comes to after the changes.",
    );
    let lean = v.degrees("valve-angle").clamp(0.0, 40.0);
    let gap = v.px("measured", 34.0).min(50.0);
    let left = eased((v.out("clearance").unwrap_or(1e-3) * 1e3).max(0.0), v.mm("measured").max(0.01), 34.0)
        .min(60.0);
    let crown = 156.0;
    let (sin, cos) = lean.to_radians().sin_cos();
    let face = (138.0, crown + 6.0 + 44.0 * sin - gap * cos);
    // Along the valve's axis towards its stem, and across it.
    let put = |across: f64, up: f64| turned((face.0 + across, face.1 - up), face, lean);
    let (a, b) = (put(-44.0, -gap), put(44.0, -gap));
    c.cut(&[(34.0, crown), (a.0, crown), a, b, (b.0, crown), (250.0, crown), (250.0, 232.0), (34.0, 232.0)]);
    for x in [28.0, 256.0] {
        c.line("edge", (x, 40.0), (x, 236.0));
    }
    let profile = [
        (-36.0, 0.0),
        (36.0, 0.0),
        (36.0, 4.0),
        (26.0, 14.0),
        (7.0, 28.0),
        (6.0, 92.0),
        (-6.0, 92.0),
        (-7.0, 28.0),
        (-26.0, 14.0),
        (-36.0, 4.0),
    ];
    let valve = |lower: f64| -> Vec<P> { profile.iter().map(|(x, up)| put(*x, up - lower)).collect() };
    c.closed("metal", &valve(0.0));
    c.closed("ghost", &valve((gap - left).clamp(-30.0, gap - 2.0)));
    c.centre(put(0.0, 102.0), put(0.0, -gap - 20.0));
    if lean > 1.0 {
        c.centre((face.0, 24.0), (face.0, crown - 10.0));
        c.angle(face, 76.0, 270.0, 270.0 + lean, Label::default());
        c.label((face.0 - 6.0, 30.0), Anchor::End, v.label("valve-angle"));
    }
    c.dimension(put(-36.0, 0.0), put(-36.0, -gap), 0.0, Label::default());
    let (x, y) = put(-36.0, -gap / 2.0);
    c.label((x - 8.0, y), Anchor::End, v.label("measured"));
    stack(
        c,
        268.0,
        60.0,
        [v.label("added-lift"), v.label("removed"), v.label("timing"), v.label("per-degree")],
    );
    c.label((268.0, 160.0), Anchor::Start, v.result("clearance"));
}
