//! Identity.

use super::Drawings;
use crate::kit::{Anchor, Canvas, Label};
use crate::values::Values;

pub const DRAWINGS: Drawings = &[("vehicle-number", vehicle_number)];

/// The seventeen characters in their groups, the check character framed.
fn vehicle_number(c: &mut Canvas, v: &Values) {
    c.height = 206.0;
    c.says("The seventeen characters in their boxes, grouped by what they tell; position nine is the check character.");
    let text: Vec<char> =
        if v.given("number") { v.text("number").chars().take(17).collect() } else { vec![] };
    let (left, wide, top) = (10.0, 20.0, 64.0);
    let x = |position: f64| left + wide * (position - 1.0);
    for i in 0..17 {
        let position = f64::from(i) + 1.0;
        let check = i == 8;
        c.rect(if check { "out-area" } else { "face" }, x(position), top, wide, 32.0);
        c.rect("edge", x(position), top, wide, 32.0);
        if let Some(character) = text.get(i as usize) {
            c.label(
                (x(position) + wide / 2.0, top + 21.0),
                Anchor::Middle,
                Label::words(character.to_string()),
            );
        }
        if matches!(i, 0 | 2 | 3 | 8 | 9 | 10 | 16) {
            c.label(
                (x(position) + wide / 2.0, top - 6.0),
                Anchor::Middle,
                Label::words((i + 1).to_string()).quiet(),
            );
        }
    }
    let groups = [(1.0, 3.0, "who made it"), (4.0, 9.0, "what it is"), (10.0, 17.0, "which one it is")];
    for (from, to, name) in groups {
        let (a, b) = (x(from) + 2.0, x(to) + wide - 2.0);
        c.open("thin", &[(a, top + 38.0), (a, top + 44.0), (b, top + 44.0), (b, top + 38.0)]);
        c.label(((a + b) / 2.0, top + 60.0), Anchor::Middle, Label::words(name).quiet());
    }
    c.label((10.0, 26.0), Anchor::Start, Label::words(v.words("region").unwrap_or_default()).within(240.0));
    let check = v.words("check-character").map(|ch| Label::words("position 9 should be").and(ch).result());
    let year = v.answered("model-year").then(|| v.out("model-year")).flatten();
    c.flow(
        158.0,
        check
            .into_iter()
            .chain(year.map(|year| Label::words("model year").and(format!("{year:.0}")).result())),
    );
    c.flow(180.0, v.words("check").map(|says| Label::words("position 9").and(says)));
}
