//! Threads.

use super::Drawings;
use crate::curve;
use crate::figure::{number, rounded};
use crate::kit::{Anchor, Axis, Canvas, FALLING, Label, P, Plot, Tone, polar, rectangle};
use crate::values::Values;
use quantity::Unit;

pub const DRAWINGS: Drawings = &[
    ("thread", thread),
    ("bolt", bolt),
    ("screw", screw),
    ("wrench", wrench),
    ("stages", stages),
    ("engagement", engagement),
];

/// The basic profile with its diameters, pitch and flanks.
fn thread(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("Half a bolt in section along its axis: nominal, pitch and core diameter, and the pitch.");
    let (d, p) = (v.mm("diameter"), v.mm("pitch"));
    let axis = 214.0;
    let scale = 168.0 / (d / 2.0).max(1e-3);
    // The pitch is drawn to scale as far as a few turns still fit.
    let pitch = (p * scale).clamp(14.0, 84.0);
    let crest = 46.0;
    // From the major diameter to the core 0.6134 P, to the pitch line 0.3248 P: half of what the bench takes off.
    let (depth, middle) = ((pitch * 0.613_4).clamp(9.0, 70.0), pitch * 0.324_75);
    let root = crest + depth;
    let mut outline = vec![(30.0, axis), (30.0, root)];
    let mut x = 30.0 + pitch * 0.25;
    while x + pitch * 0.75 <= 250.0 {
        outline.extend([
            (x, root),
            (x + depth * 0.577, crest),
            (x + depth * 0.577 + pitch / 8.0, crest),
            (x + 2.0 * depth * 0.577 + pitch / 8.0, root),
        ]);
        x += pitch;
    }
    let last = outline.last().map_or(250.0, |p| p.0) + 8.0;
    outline.extend([(last, root), (last, axis)]);
    c.cut(&outline);
    c.centre((14.0, axis), (346.0, axis));
    let first = 30.0 + pitch * 0.25 + depth * 0.577 + pitch / 16.0;
    if first + pitch < 250.0 {
        c.across(first, first + pitch, crest, crest - 18.0, v.label("pitch"));
    }
    for (y, x) in [(root, 266.0), (crest + middle, 300.0), (crest, 334.0)] {
        c.line("thin", (last.min(250.0), y), (x + 4.0, y));
        c.line("thin", (x, y), (x, axis));
        c.arrowhead("tip", (x, y), (0.0, -1.0));
    }
    c.label((262.0, 108.0), Anchor::End, v.result("core-diameter"));
    c.label((296.0, 138.0), Anchor::End, v.result("pitch-diameter"));
    c.label((330.0, 168.0), Anchor::End, v.label("diameter"));
    c.flow(242.0, [v.result("stress-area")]);
}

fn bolt(c: &mut Canvas, v: &Values) {
    match v.formula.id {
        "preload-scatter" => scatter(c, v),
        "angle-to-preload" => angle(c, v),
        "bolt-stiffness" => bolt_lengths(c, v),
        "joint-stiffness" => joint(c, v),
        "head-bolt-stretch" => stretch(c, v),
        "torque-long-form" => long_form(c, v),
        _ => clamped(c, v),
    }
}

/// A bolt through two plates in section: head, shank, thread below; `wide` is its diameter.
struct Bolt {
    x: f64,
    head: f64,
    wide: f64,
    grip: f64,
    below: f64,
}

impl Bolt {
    /// Plates hatched against each other, the lower one threaded.
    fn through(&self, c: &mut Canvas, split: f64) {
        let r = self.wide / 2.0;
        let (left, right) = (self.x - 96.0, self.x + 96.0);
        let bottom = self.head + self.grip + self.below;
        for side in [-1.0, 1.0] {
            let edge = if side < 0.0 { left } else { right };
            let hole = self.x + side * (r + 3.0);
            c.cut(&[(edge, self.head), (hole, self.head), (hole, split), (edge, split)]);
            let tapped = self.x + side * r;
            c.cut_rings(
                &[&[(edge, split), (hole, split), (tapped, split + 6.0), (tapped, bottom), (edge, bottom)]],
                FALLING,
            );
        }
        self.draw(c, split + 6.0);
    }

    /// The bolt alone, threaded from a height down.
    fn draw(&self, c: &mut Canvas, threaded: f64) {
        let r = self.wide / 2.0;
        let end = self.head + self.grip + self.below;
        let head = self.wide * 0.64;
        c.rect("metal", self.x - self.wide * 0.85, self.head - head, self.wide * 1.7, head);
        c.line("thin", (self.x - self.wide * 0.42, self.head - head), (self.x - self.wide * 0.42, self.head));
        c.line("thin", (self.x + self.wide * 0.42, self.head - head), (self.x + self.wide * 0.42, self.head));
        c.closed(
            "metal",
            &[
                (self.x - r, self.head),
                (self.x + r, self.head),
                (self.x + r, end - 4.0),
                (self.x + r - 4.0, end),
                (self.x - r + 4.0, end),
                (self.x - r, end - 4.0),
            ],
        );
        let mut y = threaded;
        while y + 4.0 < end {
            c.line("thin", (self.x - r, y), (self.x + r, y + 3.0));
            y += 6.0;
        }
        c.centre((self.x, self.head - head - 8.0), (self.x, end + 8.0));
    }
}

/// A bolt holding two plates: torque at its head, preload along it.
fn clamped(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("A bolt through two plates in section: torque at its head, preload along it.");
    let key = ["diameter", "stress-area"].into_iter().find(|key| v.takes(key)).unwrap_or("diameter");
    let wide = v.px(key, 34.0);
    let bolt = Bolt { x: 130.0, head: 74.0, wide, grip: 80.0, below: 62.0 };
    bolt.through(c, 154.0);
    let (x, y) = (bolt.x, bolt.head);
    let preload = if v.takes("preload") && !v.is("assembly-preload") {
        (v.label("preload"), Tone::Given)
    } else {
        (v.result("preload"), Tone::Result)
    };
    for (from, to) in [((x + 70.0, 120.0), (x + 70.0, 92.0)), ((x + 70.0, 180.0), (x + 70.0, 208.0))] {
        c.arrow(preload.1, from, to);
    }
    c.label((x + 106.0, 150.0), Anchor::Start, preload.0);
    if v.takes("torque") || v.formula.output("torque").is_some() {
        let (torque, tone) = if v.takes("torque") {
            (v.label("torque"), Tone::Given)
        } else {
            (v.result("torque"), Tone::Result)
        };
        c.turning(tone, (x, y - wide * 0.32), wide * 0.85 + 14.0, 200.0, 330.0);
        c.label((x + wide * 0.85 + 26.0, 34.0), Anchor::Start, torque);
    }
    if v.takes("diameter") {
        c.across(x - wide / 2.0, x + wide / 2.0, 216.0, 228.0, Label::default());
        c.label((x + wide / 2.0 + 22.0, 238.0), Anchor::Start, v.label("diameter"));
    }
    let rest: Vec<Label> = [
        "nut-factor",
        "pitch",
        "stress-area",
        "proof-stress",
        "thread-friction",
        "head-friction",
        "yield",
        "head-diameter",
    ]
    .into_iter()
    .filter(|key| v.takes(key))
    .map(|key| v.label(key))
    .collect();
    for (i, label) in rest.into_iter().enumerate() {
        c.label((240.0, 64.0 + 19.0 * i as f64 + if i > 3 { 26.0 } else { 0.0 }), Anchor::Start, label);
    }
    c.label((240.0, 202.0), Anchor::Start, v.result("proof-load"));
    c.label((240.0, 222.0), Anchor::Start, v.result("share"));
}

/// Where the torque goes: three parts of one bar, and the radii they work at.
fn long_form(c: &mut Canvas, v: &Values) {
    c.height = 262.0;
    c.says("A bolt with the radii at which friction works, and the torque as a bar in three parts: stretching, thread, under the head.");
    let bolt = Bolt { x: 112.0, head: 50.0, wide: 40.0, grip: 44.0, below: 66.0 };
    bolt.through(c, 94.0);
    let x = bolt.x;
    let (thread, bearing) =
        (18.0, (18.0 * v.mm("bearing-radius") / v.mm("thread-radius").max(1e-3)).clamp(21.0, 34.0));
    c.dimension((x, 50.0), (x + bearing, 50.0), -40.0, v.label("bearing-radius"));
    c.dimension((x, 160.0), (x + thread, 160.0), 18.0, v.label("thread-radius"));
    let rows = [
        v.label("preload"),
        v.label("pitch"),
        v.label("half-angle"),
        v.label("thread-friction"),
        v.label("bearing-friction"),
    ];
    for (i, label) in rows.into_iter().enumerate() {
        c.label((240.0, 62.0 + 20.0 * i as f64), Anchor::Start, label);
    }
    c.label((240.0, 172.0), Anchor::Start, v.result("torque"));
    let shares = [
        ("pitch-share", "stretch", "out-area"),
        ("thread-share", "thread", "deep"),
        ("bearing-share", "head", "face"),
    ];
    let mut left = 12.0;
    for (id, name, class) in shares {
        let part = v.out(id).unwrap_or(0.33).clamp(0.0, 1.0);
        let wide = 336.0 * part;
        c.rect(class, left, 208.0, wide, 20.0);
        c.rect("edge", left, 208.0, wide, 20.0);
        if v.answered(id) {
            let label = Label::words(name).and(rounded(part * 100.0, Unit::PERCENT)).quiet();
            c.label((left + wide / 2.0, 244.0), Anchor::Middle, label);
        } else {
            c.label((left + wide / 2.0, 244.0), Anchor::Middle, Label::words(name).quiet());
        }
        left += wide;
    }
}

/// What a tool's scatter leaves of the greatest preload.
fn scatter(c: &mut Canvas, v: &Values) {
    c.height = 170.0;
    c.says("The greatest preload and the least to count on, and all that lies between.");
    let factor = v.unit("tightening-factor").max(1.0);
    let (left, long) = (20.0, 300.0);
    let least = long / factor;
    for (y, wide, class) in [(52.0, long, "face"), (102.0, least, "out-area")] {
        c.rect(class, left, y, wide, 24.0);
        c.rect("edge", left, y, wide, 24.0);
    }
    c.line("thin", (left + least, 46.0), (left + least, 132.0));
    c.cut(&rectangle(left + least, 52.0, long - least, 24.0));
    c.label((left, 42.0), Anchor::Start, v.label("greatest"));
    c.label((left, 148.0), Anchor::Start, v.result("least"));
    c.label((left + long, 148.0), Anchor::End, v.label("tightening-factor"));
}

/// Preload rising with the angle after snug.
fn angle(c: &mut Canvas, v: &Values) {
    c.says("The preload gained against the angle turned after snug.");
    curve::curve(c, v, "angle", "preload");
    c.height += 42.0;
    c.flow(c.height - 28.0, [v.label("pitch"), v.label("bolt-stiffness")]);
    c.flow(c.height - 8.0, [v.label("joint-stiffness")]);
}

/// The parts of a bolt in the grip.
fn bolt_lengths(c: &mut Canvas, v: &Values) {
    c.height = 220.0;
    c.says(
        "A bolt lying on its side: the plain and the threaded length within the grip, drawn in proportion.",
    );
    let (plain, threaded) = (v.mm("plain"), v.mm("threaded"));
    let sum = (plain + threaded).max(1e-3);
    let (a, b) = ((206.0 * plain / sum).clamp(8.0, 198.0), (206.0 * threaded / sum).clamp(8.0, 198.0));
    let (left, axis, r) = (64.0, 96.0, v.px("shank", 22.0).min(32.0));
    let thread = r * 0.86;
    c.rect("metal", left - 30.0, axis - r * 1.7, 30.0, r * 3.4);
    c.rect("metal", left, axis - r, a, 2.0 * r);
    c.rect("metal", left + a, axis - thread, b + 26.0, 2.0 * thread);
    let mut x = left + a + 3.0;
    while x + 4.0 < left + a + b + 26.0 {
        c.line("thin", (x, axis - thread), (x + 3.0, axis + thread));
        x += 6.0;
    }
    c.rect("hidden", left + a + b, axis - r * 1.6, 26.0, r * 3.2);
    c.centre((left - 42.0, axis), (344.0, axis));
    c.across(left, left + a, axis - r, axis - r * 1.7 - 16.0, v.label("plain"));
    c.across(left + a, left + a + b, axis - r, axis - r * 1.7 - 16.0, v.label("threaded"));
    c.upright(axis - r, axis + r, left + a * 0.4, left + a * 0.4, Label::default());
    c.label((left + a * 0.4 + 6.0, axis - 6.0), Anchor::Start, v.label("shank"));
    c.label((left + a + b + 18.0, axis + r * 1.7 + 22.0), Anchor::End, v.label("stress-area"));
    c.flow(212.0, [v.label("modulus"), v.result("stiffness")]);
}

/// The cone of clamped material under the head.
fn joint(c: &mut Canvas, v: &Values) {
    c.height = 250.0;
    c.says("Clamped parts under a bolt: the pressed material widens from head and nut to the middle of the grip.");
    let x = 170.0;
    let grip = v.px("grip", 112.0).min(140.0);
    let wide = (v.px("grip", 112.0) * v.mm("diameter") / v.mm("grip").max(1e-3)).clamp(14.0, 54.0);
    let (top, head) = (122.0 - grip / 2.0, wide * 0.6);
    let bottom = top + grip;
    let middle = (top + bottom) / 2.0;
    let spread = grip / 2.0 * 0.577_4;
    for side in [-1.0, 1.0] {
        let edge = x + side * 140.0;
        let hole = x + side * (wide / 2.0 + 2.0);
        c.cut(&[(hole, top), (edge, top), (edge, middle), (hole, middle)]);
        c.cut_rings(&[&[(hole, middle), (edge, middle), (edge, bottom), (hole, bottom)]], FALLING);
        let from = x + side * wide * 0.75;
        c.open("out", &[(from, top), (from + side * spread, middle), (from, bottom)]);
    }
    c.rect("metal", x - wide * 0.75, top - head, wide * 1.5, head);
    c.rect("metal", x - wide * 0.75, bottom, wide * 1.5, head);
    c.rect("metal", x - wide / 2.0, top, wide, grip);
    c.centre((x, top - head - 8.0), (x, bottom + head + 8.0));
    c.upright(top, bottom, x - 140.0, 18.0, Label::default());
    c.label((24.0, top - 10.0), Anchor::Start, v.label("grip"));
    c.across(x - wide / 2.0, x + wide / 2.0, middle, middle, Label::default());
    c.label((x + wide * 0.75 + 12.0, top - 12.0), Anchor::Start, v.label("diameter"));
    c.flow(244.0, [v.label("modulus"), v.result("stiffness")]);
}

/// A head bolt new, now, and what it may grow.
fn stretch(c: &mut Canvas, v: &Values) {
    c.height = 236.0;
    c.says("The same head bolt when new and now, growth drawn large, with the growth that is allowed.");
    let growth = v.mm("length") - v.mm("new-length");
    let allowed = v.mm("allowed");
    let most = growth.abs().max(allowed).max(1e-3);
    let big = |mm: f64| mm / most * 44.0;
    let (left, end) = (40.0, 262.0);
    let long = end + big(growth).clamp(-44.0, 44.0);
    for (y, to) in [(52.0, end), (128.0, long)] {
        c.rect("metal", left - 22.0, y - 20.0, 22.0, 40.0);
        c.rect("metal", left, y - 11.0, to - left, 22.0);
        let mut x = to - 74.0;
        while x + 4.0 < to {
            c.line("thin", (x, y - 11.0), (x + 3.0, y + 11.0));
            x += 6.0;
        }
        c.centre((left - 30.0, y), (to + 14.0, y));
    }
    c.across(left, end, 41.0, 22.0, v.label("new-length"));
    c.across(left, long, 139.0, 166.0, v.label("length"));
    c.line("thin", (end, 64.0), (end, 120.0));
    let limit = end + big(allowed);
    c.line("limit", (limit, 96.0), (limit, 152.0));
    c.across(end, limit, 92.0, 92.0, Label::default());
    c.label(((end + limit) / 2.0, 84.0), Anchor::Middle, v.label("allowed"));
    c.flow(206.0, [v.label("preload"), v.label("stiffness"), v.result("stretch")]);
    c.flow(228.0, [v.result("growth"), v.result("left")]);
}

/// A power screw with its collar.
fn screw(c: &mut Canvas, v: &Values) {
    c.height = 268.0;
    c.says("A screw carrying a load on its collar: mean diameters of thread and collar, and the lead.");
    let x = 130.0;
    let mean = v.px("mean-diameter", 58.0).min(84.0);
    let collar = (mean * v.mm("collar-diameter") / v.mm("mean-diameter").max(1e-3)).clamp(mean * 0.8, 190.0);
    let lead = v.px("lead", 22.0);
    let (top, bottom) = (84.0, 200.0);
    let (outer, root) = (mean / 2.0 + 5.0, mean / 2.0 - 5.0);
    c.rect("metal", x - root, top, 2.0 * root, bottom - top + 10.0);
    let mut y = top + 6.0;
    while y + lead * 1.1 < bottom + 8.0 {
        c.closed(
            "metal",
            &[
                (x - outer, y),
                (x + outer, y + lead / 2.0),
                (x + outer, y + lead / 2.0 + lead * 0.32),
                (x - outer, y + lead * 0.32),
            ],
        );
        y += lead;
    }
    for side in [-1.0, 1.0] {
        c.cut(&[
            (x + side * (outer + 2.0), 120.0),
            (x + side * (outer + 34.0), 120.0),
            (x + side * (outer + 34.0), 176.0),
            (x + side * (outer + 2.0), 176.0),
        ]);
    }
    c.rect("metal", x - collar / 2.0 - 8.0, top - 14.0, collar + 16.0, 14.0);
    c.rect("dark", x - collar / 2.0 - 8.0, top - 19.0, collar + 16.0, 5.0);
    c.centre((x, 20.0), (x, 222.0));
    c.arrow(Tone::Given, (x, 26.0), (x, top - 22.0));
    c.label((x + 10.0, 26.0), Anchor::Start, v.label("load"));
    c.across(x - collar / 2.0, x + collar / 2.0, top - 16.0, 50.0, Label::default());
    c.label((x + collar / 2.0 + 16.0, 56.0), Anchor::Start, v.label("collar-diameter"));
    c.across(x - mean / 2.0, x + mean / 2.0, bottom + 10.0, bottom + 34.0, v.label("mean-diameter"));
    let first = top + 6.0 + lead / 2.0;
    c.upright(first, first + lead, x + outer, x + outer + 46.0, v.label("lead"));
    for (i, label) in [v.label("thread-friction"), v.label("half-angle"), v.label("collar-friction")]
        .into_iter()
        .enumerate()
    {
        c.label((350.0, 150.0 + 20.0 * i as f64), Anchor::End, label);
    }
    c.flow(
        262.0,
        [
            v.result_named("thread-torque", "thread"),
            v.result_named("collar-torque", "collar"),
            v.result("torque"),
        ],
    );
}

/// A torque wrench with an extension, from above.
fn wrench(c: &mut Canvas, v: &Values) {
    c.height = 236.0;
    c.says("A torque wrench from above with an extension between its square and the fastener, at the angle given.");
    let (wrench, extension) = (v.mm("wrench"), v.mm("extension"));
    let angle = v.degrees("angle");
    let sum = wrench + extension;
    let scale = 262.0 / sum.max(1.0);
    let (l, e) = ((wrench * scale).max(70.0), (extension * scale).clamp(0.0, 170.0));
    // With the extension straight on, fastener, square and grip lie in a row.
    let grip = (330.0, 150.0);
    let square = (grip.0 - l, grip.1);
    let fastener = polar(square, e, 180.0 + angle);
    let fastener = (fastener.0.clamp(36.0, 322.0), fastener.1.clamp(46.0, 188.0));
    c.line_thick("metal", square, (grip.0 + 16.0, grip.1), 9.0);
    c.rect("dark", grip.0 - 22.0, grip.1 - 8.0, 44.0, 16.0);
    if e > 1.0 {
        c.line_thick("metal", fastener, square, 12.0);
    }
    c.circle("metal", square, 11.0);
    c.rect("blank", square.0 - 4.0, square.1 - 4.0, 8.0, 8.0);
    let hex: Vec<P> = (0..6).map(|i| polar(fastener, 9.0, 60.0 * f64::from(i))).collect();
    c.circle("metal", fastener, 14.0);
    c.closed("blank", &hex);
    c.dimension(square, grip, -64.0, v.label("wrench"));
    if e > 8.0 {
        let away = if fastener.1 <= square.1 + 1.0 { 40.0 } else { -40.0 };
        c.dimension(fastener, square, away, v.label("extension"));
    } else {
        c.label((square.0, square.1 + 40.0), Anchor::Middle, v.label("extension"));
    }
    c.turning(Tone::Given, fastener, 26.0, 215.0, 320.0);
    c.label((fastener.0 - 10.0, fastener.1 - 36.0), Anchor::Middle, v.label("torque"));
    c.arrow(Tone::Result, (grip.0, grip.1 + 56.0), (grip.0, grip.1 + 12.0));
    c.label((350.0, 228.0), Anchor::End, v.result("setting"));
    c.label((10.0, 228.0), Anchor::Start, v.label("angle"));
}

/// The stages as steps, and the angle after the last.
fn stages(c: &mut Canvas, v: &Values) {
    c.height = 226.0;
    c.says("The torque of each stage as a step up to the final torque, and the angle after the last.");
    let parts = v.list("stages");
    let torque = v.unit("torque");
    let count = parts.len().max(1) as f64;
    let y = Axis::new(0.0, torque.max(1e-6) * 1.15, Label::words("torque / N·m"));
    let plot = Plot::new(
        c,
        (10.0, 4.0),
        (340.0, 190.0),
        Axis::new(0.5, count + 0.5, Label::words("stage")).bare(),
        y,
    );
    let (left, _, right, foot) = plot.field();
    let wide = (right - left) / count;
    for (i, part) in parts.iter().enumerate() {
        let at = torque * part / 100.0;
        let (x, top) = plot.at(i as f64 + 1.0, at);
        c.bar("out-area", x, wide * 0.7, foot, top);
        c.bar("edge", x, wide * 0.7, foot, top);
        if count <= 6.0 && v.answered("torques") {
            c.label((x, top - 6.0), Anchor::Middle, Label::words(rounded(at, Unit::N_M)).result());
        }
        c.label((x, foot + 15.0), Anchor::Middle, Label::words(number(i as f64 + 1.0)).quiet());
    }
    c.flow(220.0, [v.label("torque"), v.label("angle")]);
}

/// A bolt in its hole: how far it has to go in.
fn engagement(c: &mut Canvas, v: &Values) {
    c.height = 256.0;
    c.says("A bolt in a threaded hole in section: the engagement that lets the bolt break before the thread strips.");
    let x = 140.0;
    let d = 46.0;
    let ratio = v.out("diameters").unwrap_or(1.5);
    let deep = (d * ratio).clamp(18.0, 120.0);
    let mouth = 86.0;
    let r = d / 2.0;
    let bottom = mouth + 140.0;
    c.cut(&[
        (34.0, mouth),
        (x - r, mouth),
        (x - r, mouth + deep + 8.0),
        (x, mouth + deep + 17.0),
        (x + r, mouth + deep + 8.0),
        (x + r, mouth),
        (246.0, mouth),
        (246.0, bottom),
        (34.0, bottom),
    ]);
    let bolt = Bolt { x, head: 40.0, wide: d, grip: mouth - 40.0, below: deep };
    let pitch = (d * v.mm("pitch") / v.mm("diameter").max(1e-3)).clamp(3.0, 14.0);
    bolt.draw(c, 1e9);
    let mut y = mouth - 8.0;
    while y + pitch / 2.0 < mouth + deep - 2.0 {
        c.line("thin", (x - r, y), (x + r, y + pitch / 2.0));
        y += pitch;
    }
    c.upright(mouth, mouth + deep, x + r, 270.0, v.result("engagement"));
    c.across(x - r, x + r, 40.0, 62.0, Label::default());
    c.label((x + r + 22.0, 67.0), Anchor::Start, v.label("diameter"));
    c.label((20.0, 67.0), Anchor::Start, v.label("pitch"));
    c.label((46.0, bottom - 10.0), Anchor::Start, v.label("hole-strength"));
    c.label((x + r + 24.0, 30.0), Anchor::Start, v.label("bolt-strength"));
    c.flow(248.0, [v.result("diameters"), v.result("turns")]);
}
