//! What holds for every drawing.

use crate::kit::WIDTH;
use crate::kit::label::{INDEX, SIZE, width};
use crate::{STYLE, draw};
use bench::{Entry, Formula, Inputs, Shape};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// What a drawing is made of, read back from the document.
#[derive(Debug, Default)]
struct Read {
    height: f64,
    points: Vec<(f64, f64)>,
    lettering: Vec<Lettering>,
    classes: BTreeSet<String>,
    /// The lines alone, without lettering and description.
    lines: String,
}

#[derive(Debug)]
struct Lettering {
    text: String,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let from = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    tag[from..].split('"').next()
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("{text} is not a number"))
}

/// Reads a drawing back; panics on what is not well-formed.
fn read(svg: &str) -> Read {
    let mut read = Read::default();
    let (mut open, mut text_at): (Vec<&str>, Option<(f64, f64, f64)>) = (vec![], None);
    let (mut text, mut wide) = (String::new(), 0.0);
    for piece in svg.split('<').skip(1) {
        let (tag, content) = piece.split_once('>').unwrap_or_else(|| panic!("a tag is not closed: {piece}"));
        let name = tag.split([' ', '/']).find(|part| !part.is_empty()).unwrap_or_default();
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name), "tags are not nested: {svg}");
            if name == "text"
                && let Some((x, y, size)) = text_at.take()
            {
                let (up, down) = (size * 0.72, size * 0.2);
                let text = std::mem::take(&mut text);
                read.lettering.push(Lettering {
                    text,
                    left: x,
                    right: x + wide,
                    top: y - up,
                    bottom: y + down,
                });
                wide = 0.0;
            }
        } else if !tag.ends_with('/') {
            open.push(name);
        }
        for (key, also) in [("d", true), ("class", false)] {
            let Some(value) = attribute(tag, key) else { continue };
            if also {
                let numbers: Vec<f64> =
                    value.split(['M', 'L', 'Z', ' ']).filter(|s| !s.is_empty()).map(number).collect();
                read.points.extend(numbers.chunks_exact(2).map(|pair| (pair[0], pair[1])));
            } else {
                read.classes.insert(value.to_owned());
            }
        }
        match name {
            "svg" if !tag.starts_with('/') => {
                let numbers: Vec<f64> =
                    attribute(tag, "viewBox").expect("a view box").split(' ').map(number).collect();
                assert_eq!(numbers[..3], [0.0, 0.0, WIDTH]);
                read.height = numbers[3];
            }
            "circle" => {
                let [x, y, r] =
                    ["cx", "cy", "r"].map(|key| number(attribute(tag, key).expect("a circle's place")));
                read.points.extend([(x - r, y - r), (x + r, y + r)]);
            }
            "text" if !tag.starts_with('/') => {
                let [x, y] = ["x", "y"].map(|key| number(attribute(tag, key).expect("a text's place")));
                let size = if attribute(tag, "class") == Some("rem") { INDEX } else { SIZE };
                text_at = Some((x, y, size));
            }
            _ => {}
        }
        if let Some((.., size)) = text_at {
            let plain = content
                .replace("&lt;", "<")
                .replace("&gt;", ">")
                .replace("&quot;", "\"")
                .replace("&#39;", "'")
                .replace("&amp;", "&");
            let index = tag.contains("idx");
            wide += width(&plain) * if index { INDEX } else { size };
            text += &plain;
        }
        if matches!(name, "path" | "circle") {
            read.lines += tag;
        }
    }
    assert!(open.is_empty(), "tags are left open: {open:?}");
    read
}

/// Everything a drawing must be, whatever is put in.
fn sound(formula: &'static Formula, inputs: &Inputs) -> Result<(), String> {
    let answer = formula.evaluate(inputs).ok();
    let svg = draw(formula, inputs, answer.as_ref()).ok_or("no drawing")?;
    for wrong in ["NaN", "inf\"", "inf ", "-inf"] {
        if svg.contains(wrong) {
            return Err(format!("{wrong} in {svg}"));
        }
    }
    let read = read(&svg);
    for (x, y) in &read.points {
        let inside = (-0.1..=WIDTH + 0.1).contains(x) && (-0.1..=read.height + 0.1).contains(y);
        if !inside {
            return Err(format!("{x} {y} is outside 360 by {}", read.height));
        }
    }
    for (i, a) in read.lettering.iter().enumerate() {
        if a.left < 0.0 || a.right > WIDTH + 1.0 || a.top < 0.0 || a.bottom > read.height + 1.0 {
            return Err(format!("`{}` is outside: {a:?} in {}", a.text, read.height));
        }
        for b in &read.lettering[i + 1..] {
            let wide = a.right.min(b.right) - a.left.max(b.left);
            let high = a.bottom.min(b.bottom) - a.top.max(b.top);
            if wide > 1.0 && high > 1.0 {
                return Err(format!("`{}` lies on `{}`", a.text, b.text));
            }
        }
    }
    if svg != draw(formula, inputs, answer.as_ref()).unwrap_or_default() {
        return Err("a second drawing is another one".to_owned());
    }
    Ok(())
}

/// Runs a check over every formula and reports all that fail.
fn every(check: impl Fn(&'static Formula) -> Result<(), String>) {
    let wrong: Vec<String> = bench::formulas()
        .iter()
        .filter_map(|formula| {
            check(formula).err().map(|wrong| format!("{} ({}): {wrong}", formula.id, formula.diagram))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_formula_has_a_drawing_of_its_own() {
    every(|formula| match crate::jobs::drawing(formula.diagram) {
        Some(_) => Ok(()),
        None => Err("its diagram is not drawn".to_owned()),
    });
}

#[test]
fn drawings_of_examples_and_of_nothing_are_sound() {
    every(|formula| {
        sound(formula, &formula.example())?;
        sound(formula, &Inputs::new())
    });
}

#[test]
fn a_title_and_a_description_say_what_is_shown() {
    every(|formula| {
        let svg = draw(formula, &formula.example(), formula.evaluate(&formula.example()).ok().as_ref())
            .ok_or("none")?;
        let says = svg.split("<desc>").nth(1).and_then(|rest| rest.split('.').next()).unwrap_or_default();
        let titled = svg.contains("role=\"img\"><title>") && says.len() > 20;
        if titled { Ok(()) } else { Err(format!("says only `{says}`")) }
    });
}

#[test]
fn every_class_has_its_style() {
    let classes: BTreeSet<String> = bench::formulas()
        .iter()
        .flat_map(|formula| read(&draw(formula, &formula.example(), None).expect("a drawing")).classes)
        .collect();
    for class in classes {
        let styled = [" ", ", ", "{", ")"].iter().any(|end| STYLE.contains(&format!(".{class}{end}")));
        assert!(styled, "no style for {class}");
    }
}

#[test]
fn lettering_is_large_enough_on_a_phone() {
    for size in STYLE.split("font-size: ").skip(1) {
        let px: f64 = size.split("px").next().and_then(|n| n.parse().ok()).expect("a size in px");
        assert!(px >= 11.0);
    }
    for colour in ["#", "rgb", "hsl", "red", "green"] {
        assert!(!STYLE.contains(colour), "colours are the page's, not {colour}");
    }
}

/// The example with one input moved, within its range; of a list, one in the middle.
fn moved(formula: &'static Formula, key: &str, factor: f64) -> Option<Inputs> {
    let example = formula.example();
    let scale = formula.input(key)?.scale()?;
    let other = |x: f64| {
        let (more, less) = (x * factor, x / factor);
        let nought = if scale.high > 0.0 { scale.high * 0.2 } else { scale.low * 0.2 };
        scale.unit.to_si(if x == 0.0 {
            nought
        } else if (scale.low..=scale.high).contains(&more) {
            more
        } else {
            less
        })
    };
    let entry = match example.get(key)? {
        Entry::Number(_) => Entry::Number(other(scale.example)),
        Entry::Numbers(all) => {
            let (mut all, middle) = (all.clone(), all.len() / 2);
            all[middle] = other(scale.unit.from_si(all[middle]));
            Entry::Numbers(all)
        }
        _ => return None,
    };
    Some(example.with(key, entry))
}

/// Inputs that a drawing does not show.
const NOT_SHOWN: [(&str, &str); 4] = [
    ("engine-oil-grade", "cranking-at"),
    ("engine-oil-grade", "cranking"),
    ("engine-oil-grade", "pumping-at"),
    ("engine-oil-grade", "pumping"),
];

#[test]
fn a_drawing_changes_with_what_it_shows() {
    every(|formula| {
        let before = draw(formula, &formula.example(), formula.evaluate(&formula.example()).ok().as_ref());
        for input in formula.inputs.iter().filter(|input| !NOT_SHOWN.contains(&(formula.id, input.key))) {
            let Some(other) = moved(formula, input.key, 1.05) else { continue };
            let Ok(answer) = formula.evaluate(&other) else { continue };
            let after = draw(formula, &other, Some(&answer));
            if before == after {
                return Err(format!("is the same with another {}", input.key));
            }
        }
        Ok(())
    });
}

#[test]
fn lines_move_with_the_dimensions_they_show() {
    let cases = [
        ("valve-spring-installed", "installed-height"),
        ("valve-spring-installed", "lift"),
        ("retainer-seal-clearance", "seal-height"),
        ("shim-for-lash", "lash"),
        ("displacement", "bore"),
        ("compression-ratio", "deck"),
        ("piston-drop", "crank"),
        ("bearing-clearance", "bore"),
        ("ring-gap", "gap"),
        ("clutch-torque-uniform-wear", "inner"),
        ("brake-balance-bar", "offset"),
        ("run-out-indexed", "hub-high"),
        ("spring-rate", "wire"),
        ("corner-weights", "front-left"),
        ("tyre-geometry", "aspect"),
        ("toe-to-degrees", "difference"),
        ("thread-stress-area", "pitch"),
        ("wrench-extension", "angle"),
        ("belt-drive", "small"),
        ("coolant-exchange", "to"),
        ("lead-voltage-drop", "section"),
        ("length-comparison", "difference"),
    ];
    for (id, key) in cases {
        let formula = bench::formula(id).expect("a formula");
        let lines = |inputs: &Inputs| read(&draw(formula, inputs, None).expect("a drawing")).lines;
        let other = moved(formula, key, 1.3).expect("a number");
        assert_ne!(lines(&formula.example()), lines(&other), "{id}: {key}");
    }
}

#[test]
fn what_people_typed_is_escaped() {
    let hostile = "\"><script>alert('1')</script><b onload=x>&amp;\u{0}\u{202e}";
    every(|formula| {
        let mut inputs = formula.example().text("unknown", hostile);
        for input in &formula.inputs {
            inputs = match &input.shape {
                Shape::Text { .. } | Shape::Choice { .. } => inputs.text(input.key, hostile),
                Shape::Texts { .. } => inputs.texts(input.key, vec![hostile; 40]),
                _ => inputs,
            };
        }
        sound(formula, &inputs)?;
        let svg = draw(formula, &inputs, None).ok_or("no drawing")?;
        if svg.contains("<script") || svg.contains("<b ") || svg.contains('\u{0}') {
            return Err(svg);
        }
        Ok(())
    });
}

#[test]
fn what_is_out_of_range_is_drawn_at_a_typical_size() {
    every(|formula| {
        let blank = draw(formula, &Inputs::new(), None);
        for wild in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300, f64::MIN_POSITIVE] {
            let inputs = formula.inputs.iter().fold(Inputs::new(), |inputs, input| match &input.shape {
                Shape::Number(_) => inputs.number(input.key, wild),
                Shape::Numbers { .. } => inputs.numbers(input.key, vec![wild; 50]),
                _ => inputs.number(input.key, wild),
            });
            sound(formula, &inputs)?;
            if !(wild.is_finite()) && draw(formula, &inputs, None) != blank {
                return Err(format!("{wild} is drawn"));
            }
        }
        Ok(())
    });
}

/// Inputs of a formula by chance: left out, at an end of the range, anywhere in it, or near the example.
fn by_chance(formula: &'static Formula, dice: &[(u8, f64)]) -> Inputs {
    let mut dice = dice.iter().cycle();
    formula.inputs.iter().fold(Inputs::new(), |inputs, input| {
        let (way, part) = dice.next().copied().unwrap_or((0, 0.5));
        let Some(scale) = input.scale() else {
            return match (&input.shape, way % 2) {
                (Shape::Choice { choices, .. }, _) => {
                    inputs.text(input.key, choices[(part * choices.len() as f64) as usize % choices.len()])
                }
                (_, 0) => match formula.example().get(input.key) {
                    Some(entry) => inputs.with(input.key, entry.clone()),
                    None => inputs,
                },
                _ => inputs,
            };
        };
        let value = |way: u8, part: f64| match way % 6 {
            0 => scale.low,
            1 => scale.high,
            2 => scale.low + (scale.high - scale.low) * part,
            _ => (scale.example * (0.5 + 1.5 * part)).clamp(scale.low, scale.high),
        };
        if way % 11 == 10 {
            return inputs;
        }
        if input.list() {
            let count = 1 + (part * 30.0) as usize;
            let all: Vec<f64> = (0..count)
                .filter_map(|_| dice.next())
                .map(|(way, part)| scale.unit.to_si(value(*way, *part)))
                .collect();
            inputs.numbers(input.key, all)
        } else {
            inputs.number(input.key, scale.unit.to_si(value(way, part)))
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, max_shrink_iters: 40, ..ProptestConfig::default() })]

    #[test]
    fn any_inputs_give_a_sound_drawing(dice in proptest::collection::vec((any::<u8>(), 0.0..1.0f64), 64)) {
        // All that fail, so that one run tells what to mend.
        let wrong: Vec<String> = bench::formulas()
            .iter()
            .filter_map(|formula| {
                let inputs = by_chance(formula, &dice);
                sound(formula, &inputs).err().map(|wrong| format!("{}: {wrong}", formula.id))
            })
            .collect();
        prop_assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }
}
