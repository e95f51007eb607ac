//! Laws that hold for every formula of the list, and what each must say of itself.

use crate::run::{Given, Out};
use crate::{Assessed, Entry, Formula, Inputs, Job, Need, Reading, Readings, Shape, Value, formulas};
use proptest::prelude::*;
use quantity::{Measurement, Unit};
use std::collections::BTreeSet;

/// Plain values by output and place, without any check of ranges.
fn unchecked(formula: &'static Formula, inputs: &Inputs) -> Option<Vec<(&'static str, f64)>> {
    let mut out = Out::new(false);
    let given: Given<'_, f64> = formula.given(inputs, |si, _| si);
    (formula.run.plain)(&given, &mut out).ok()?;
    Some(out.plain_numbers())
}

/// The examples, each number moved: `spread` 0 stays, 1 reaches the ends of its range.
fn moved(formula: &Formula, spread: f64, shifts: &[f64]) -> Inputs {
    let mut at = 0;
    let mut next = |example: f64, low: f64, high: f64| {
        let shift = shifts[at % shifts.len()] * spread;
        at += 1;
        // Towards the lower or the upper end, never quite to it.
        example + 0.999 * shift * if shift < 0.0 { example - low } else { high - example }
    };
    let mut inputs = formula.example();
    for input in &formula.inputs {
        let Some(scale) = input.scale() else { continue };
        let entry = match inputs.get(input.key) {
            Some(Entry::Number(si)) if scale.unit == Unit::COUNT => {
                Entry::Number(next(*si, scale.low_si, scale.high_si).round())
            }
            Some(Entry::Number(si)) => Entry::Number(next(*si, scale.low_si, scale.high_si)),
            // Shares of a whole must go on adding up.
            Some(Entry::Numbers(_)) if scale.unit == Unit::PERCENT => continue,
            Some(Entry::Numbers(all)) => {
                // Lists keep their order, so that angles and temperatures that rise go on rising; no two are alike.
                let factor = if scale.unit.shift() == 0.0 { next(1.0, 0.5, 2.0) } else { 1.0 };
                let moved = all
                    .iter()
                    .zip([0.0, 3e-5, 7e-5, 1e-5, 5e-5].iter().cycle())
                    .map(|(si, odd)| si * factor * (1.0 + odd));
                Entry::Numbers(moved.map(|si| si.clamp(scale.low_si, scale.high_si)).collect())
            }
            _ => continue,
        };
        inputs = inputs.with(input.key, entry);
    }
    inputs
}

/// All but the shim plan, whose shims of like size may change places at the smallest step: its slopes are those of
/// the plan as made.
fn any_smooth_formula() -> impl Strategy<Value = &'static Formula> {
    any_formula().prop_filter("its plan jumps", |formula| formula.id != "shim-plan")
}

fn any_formula() -> impl Strategy<Value = &'static Formula> {
    (0..formulas().len()).prop_map(|at| &formulas()[at])
}

fn kebab(id: &str) -> bool {
    !id.is_empty()
        && id.split('-').all(|part| {
            !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        })
}

#[test]
fn every_formula_says_all_it_must() {
    let mut ids = BTreeSet::new();
    for formula in formulas() {
        let id = formula.id;
        assert!(kebab(id) && ids.insert(id), "{id} is not kebab-case, or there twice");
        assert!(
            formula.says.starts_with("This decides ") && formula.says.ends_with('.'),
            "{id}: {}",
            formula.says
        );
        for (what, text) in
            [("title", formula.title), ("equation", formula.equation), ("source", formula.source)]
        {
            assert!(!text.is_empty(), "{id} has no {what}");
        }
        assert!(
            formula.holds.ends_with('.') || formula.holds.ends_with(')'),
            "{id} does not say where it holds"
        );
        assert!(kebab(formula.diagram), "{id} names no drawing");
        assert!(!formula.inputs.is_empty() && !formula.outputs.is_empty(), "{id} takes or gives nothing");
        let mut keys = BTreeSet::new();
        for input in &formula.inputs {
            assert!(kebab(input.key) && keys.insert(input.key), "{id}: input {}", input.key);
            assert!(!input.title.is_empty(), "{id}: {} has no title", input.key);
            if let Some(other) = input.beside {
                let beside = formula.input(other).is_some_and(|other| other.list() && other.beside.is_none());
                assert!(beside && input.list(), "{id}: {} stands beside {other}, no list", input.key);
            }
            let titled = formula.inputs.iter().filter(|known| known.title == input.title).count();
            assert_eq!(titled, 1, "{id}: two inputs are called {}", input.title);
            let Some(scale) = input.scale() else { continue };
            let range = scale.low..=scale.high;
            assert!(
                scale.low.is_finite() && scale.high.is_finite() && scale.low < scale.high,
                "{id}: {} has no range",
                input.key
            );
            assert!(range.contains(&scale.example), "{id}: example of {} is out of range", input.key);
            if let Shape::Numbers { examples, least, .. } = &input.shape {
                assert!(
                    examples.len() >= *least && examples.iter().all(|x| range.contains(x)),
                    "{id}: {}",
                    input.key
                );
            }
            if let Need::Default(value) = input.need {
                assert!(range.contains(&value), "{id}: default of {} is out of range", input.key);
            }
        }
        let mut outputs = BTreeSet::new();
        for output in &formula.outputs {
            assert!(kebab(output.id) && outputs.insert(output.id), "{id}: output {}", output.id);
            assert!(!output.title.is_empty(), "{id}: {} has no title", output.id);
            for key in output.rises_with.iter().chain(&output.falls_with) {
                assert!(keys.contains(key), "{id}: {} moves with unknown {key}", output.id);
            }
        }
    }
}

#[test]
fn the_list_goes_through_the_jobs_in_their_order() {
    assert!(formulas().is_sorted_by_key(|formula| formula.job));
    for job in Job::ALL {
        assert!(kebab(job.id()) && formulas().iter().any(|formula| formula.job == job), "{job}");
    }
}

#[test]
fn every_example_is_answered_and_tells_its_way() {
    for formula in formulas() {
        let answer =
            formula.evaluate(&formula.example()).unwrap_or_else(|error| panic!("{}: {error}", formula.id));
        assert!(!answer.results.is_empty(), "{}", formula.id);
        for (output, value) in &answer.results {
            let words = matches!(value, Value::Text(_) | Value::Texts(_));
            assert_eq!(output.unit.is_none(), words, "{}: {}", formula.id, output.id);
            assert_eq!(
                output.list,
                matches!(value, Value::Numbers(_) | Value::Texts(_)),
                "{}: {}",
                formula.id,
                output.id
            );
        }
        assert!(
            !answer.steps.is_empty() || formula.inputs.iter().all(|input| input.scale().is_none()),
            "{}",
            formula.id
        );
        for step in &answer.steps {
            let said = step.to_string();
            assert!(
                !said.is_empty() && !said.contains("NaN") && !said.contains("inf"),
                "{}: {said}",
                formula.id
            );
        }
    }
}

#[test]
fn examples_read_as_they_are_written() {
    for formula in formulas() {
        let written: Vec<(&str, String)> = formula
            .inputs
            .iter()
            .filter(|i| i.need != Need::Alternative)
            .map(|i| (i.key, i.example()))
            .collect();
        let read = formula.read(written.iter().map(|(key, text)| (*key, text.as_str())));
        let read = read.unwrap_or_else(|error| panic!("{}: {error}", formula.id));
        let (read, example) = (formula.evaluate(&read), formula.evaluate(&formula.example()));
        let numbers = |answer: Result<crate::Answer, _>| {
            let answer: crate::Answer =
                answer.unwrap_or_else(|error: crate::BenchError| panic!("{}: {error}", formula.id));
            answer.results.iter().map(|(o, v)| format!("{} {}", o.id, rounded(v))).collect::<Vec<_>>()
        };
        assert_eq!(numbers(read), numbers(example), "{}", formula.id);
    }
}

fn rounded(value: &Value) -> String {
    match value {
        Value::Number(number) => format!("{:.6e}", number.si),
        Value::Numbers(all) => all.iter().map(|number| format!("{:.6e} ", number.si)).collect(),
        other => format!("{other:?}"),
    }
}

#[test]
fn a_missing_input_is_named_with_an_example() {
    for formula in formulas() {
        let required: Vec<_> = formula.inputs.iter().filter(|input| input.need == Need::Required).collect();
        match formula.evaluate(&Inputs::new()) {
            Err(error) => {
                let said = error.to_string();
                for input in required {
                    assert!(
                        said.contains(input.title) && said.contains(&input.example()),
                        "{}: {said}",
                        formula.id
                    );
                }
            }
            Ok(_) => assert!(required.is_empty(), "{}", formula.id),
        }
    }
}

#[test]
fn out_of_range_is_refused_with_the_range() {
    for formula in formulas() {
        for input in &formula.inputs {
            let Some(scale) = input.scale() else { continue };
            let beyond = scale.unit.to_si(scale.high + 0.01 * (scale.high - scale.low));
            let entry = if input.list() { Entry::Numbers(vec![beyond; 4]) } else { Entry::Number(beyond) };
            let error = formula.evaluate(&formula.example().with(input.key, entry)).unwrap_err();
            assert!(error.to_string().contains(&scale.range()), "{}: {error}", formula.id);
        }
    }
}

/// Slopes of the plain function on both sides of a number, by small steps; `None` at the edge of where it answers.
fn slopes(
    formula: &'static Formula,
    inputs: &Inputs,
    key: &str,
    index: Option<usize>,
    step: f64,
) -> Option<Vec<[f64; 2]>> {
    let shifted = |by: f64| {
        let entry = match (inputs.get(key)?, index) {
            (Entry::Number(si), None) => Entry::Number(si + by),
            (Entry::Numbers(all), Some(index)) => {
                let mut all = all.clone();
                *all.get_mut(index)? += by;
                Entry::Numbers(all)
            }
            _ => return None,
        };
        unchecked(formula, &inputs.clone().with(key, entry))
    };
    let (below, here, above) = (shifted(-step)?, unchecked(formula, inputs)?, shifted(step)?);
    if below.len() != here.len() || above.len() != here.len() {
        return None;
    }
    let both = below.iter().zip(&here).zip(&above);
    Some(both.map(|((b, h), a)| [(h.1 - b.1) / step, (a.1 - h.1) / step]).collect())
}

#[test]
fn moved_examples_are_mostly_answered() {
    // Else the laws below would pass by having nothing to look at.
    for formula in formulas() {
        let tries = (0..40)
            .map(|n| (0..24).map(|k| (f64::from(n * 37 + k * 101) * 0.618).sin()).collect::<Vec<f64>>());
        let answered = tries.filter(|shifts| formula.evaluate(&moved(formula, 0.02, shifts)).is_ok()).count();
        assert!(answered >= 10, "{}: {answered} of 40", formula.id);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    /// At a kink the exact slope lies between those of the two sides; elsewhere all three agree.
    #[test]
    fn exact_slopes_agree_with_small_steps(
        formula in any_smooth_formula(),
        spread in prop_oneof![Just(0.02), Just(0.15)],
        shifts in prop::collection::vec(-1.0f64..1.0, 24),
    ) {
        let inputs = moved(formula, spread, &shifts);
        let Ok(answer) = formula.evaluate(&inputs) else { return Ok(()) };
        let exact: Vec<_> = answer.results.iter().flat_map(|(output, value)| match value {
            Value::Number(number) => vec![(output.id, number.clone())],
            Value::Numbers(all) => all.iter().map(|number| (output.id, number.clone())).collect(),
            _ => vec![],
        }).collect();
        for (place, variable) in answer.variables.iter().enumerate() {
            let scale = formula.input(variable.key).and_then(|input| input.scale());
            let range = scale.map_or(1.0, |scale| scale.high_si - scale.low_si);
            let step = 1e-6 * variable.si.abs().max(1e-3 * range);
            let Some(slopes) = slopes(formula, &inputs, variable.key, variable.index, step) else { continue };
            // The plain function lists its results in the order of the code, the answer in that of the outputs.
            let plain = unchecked(formula, &inputs).unwrap_or_default();
            // A temperature's 300 K hide in a margin of a few.
            let largest = plain.iter().map(|(_, value)| value.abs()).fold(0.0, f64::max);
            for (id, number) in &exact {
                let mut alike = exact.iter().filter(|(other, _)| other == id);
                let at = alike.position(|(_, other)| std::ptr::eq(other, number)).unwrap_or(0);
                let mut both = plain.iter().zip(&slopes).filter(|((other, _), _)| other == id);
                let Some((_, [left, right])) = both.nth(at) else { continue };
                let noise = 1e-14 * largest / step + 1e-4 * left.abs().max(right.abs()) + 1e-12;
                let slope = number.gradient[place];
                prop_assert!(
                    slope >= left.min(*right) - noise && slope <= left.max(*right) + noise,
                    "{}: d {id} / d {} is {slope}, small steps give {left} and {right}", formula.id, variable.key
                );
            }
        }
    }

    #[test]
    fn results_move_the_way_they_say(
        formula in any_formula(),
        spread in prop_oneof![Just(0.02), Just(0.15), Just(0.6), Just(1.0)],
        shifts in prop::collection::vec(-1.0f64..1.0, 24),
    ) {
        let inputs = moved(formula, spread, &shifts);
        let Ok(answer) = formula.evaluate(&inputs) else { return Ok(()) };
        for (output, value) in &answer.results {
            let numbers: Vec<_> = match value {
                Value::Number(number) => vec![number],
                Value::Numbers(all) => all.iter().collect(),
                _ => continue,
            };
            for (variable, place) in answer.variables.iter().zip(0..) {
                for number in &numbers {
                    let slope = number.gradient[place];
                    let noise = 1e-9 * number.si.abs() / variable.si.abs().max(1e-9) + 1e-15;
                    let rises = output.rises_with.contains(&variable.key);
                    let falls = output.falls_with.contains(&variable.key);
                    let of = format!("{}: {} moves with {} by {slope}", formula.id, output.id, variable.key);
                    prop_assert!(!rises || slope >= -noise, "{of}");
                    prop_assert!(!falls || slope <= noise, "{of}");
                }
            }
        }
    }

    /// Measured with other units of length, mass, time, temperature and current, the same comes out.
    #[test]
    fn formulas_are_homogeneous_in_their_units(
        formula in any_formula(),
        shifts in prop::collection::vec(-1.0f64..1.0, 24),
        factors in prop::array::uniform5(0.5f64..2.0),
    ) {
        if formula.fitted { return Ok(()) }
        let inputs = moved(formula, 0.1, &shifts);
        let factor = |unit: Unit| {
            let powers = unit.dimension().0;
            powers.iter().zip(factors).map(|(power, factor)| factor.powi(i32::from(*power))).product::<f64>()
        };
        let scaled = formula.inputs.iter().fold(inputs.clone(), |all, input| {
            let Some(scale) = input.scale() else { return all };
            let by = factor(scale.unit);
            let entry = match inputs.get(input.key) {
                Some(Entry::Number(si)) => Entry::Number(si * by),
                Some(Entry::Numbers(list)) => Entry::Numbers(list.iter().map(|si| si * by).collect()),
                _ => return all,
            };
            all.with(input.key, entry)
        });
        let both = unchecked(formula, &inputs).zip(unchecked(formula, &scaled));
        let Some((plain, other)) = both else { return Ok(()) };
        prop_assert_eq!(plain.len(), other.len(), "{}", formula.id);
        for ((id, value), (_, scaled)) in plain.iter().zip(&other) {
            let Some(unit) = formula.output(id).and_then(|output| output.unit) else { continue };
            let wanted = value * factor(unit);
            let size = wanted.abs().max(scaled.abs());
            let agree = (wanted - scaled).abs() <= 1e-7 * size + 1e-12;
            prop_assert!(agree, "{}: {id} is {scaled}, wanted {wanted}", formula.id);
        }
    }

    /// A reading written in another unit of its kind is the same reading.
    #[test]
    fn another_unit_makes_no_other_answer(
        formula in any_formula(),
        picks in prop::collection::vec(0usize..40, 26),
    ) {
        let example = formula.example();
        let mut readings = Readings::new();
        for (input, pick) in formula.inputs.iter().zip(&picks) {
            let Some(entry) = example.get(input.key) else { continue };
            let units: Vec<Unit> = input.scale().map_or(vec![], |scale| Unit::of_kind(scale.kind()).collect());
            let other = |si: &f64| {
                let unit = units[pick % units.len()];
                Measurement::new(unit.from_si(*si), unit).unwrap()
            };
            readings = readings.with(input.key, match entry {
                Entry::Number(si) => Reading::Number(other(si)),
                Entry::Numbers(all) => Reading::Numbers(all.iter().map(other).collect()),
                Entry::Text(text) => Reading::Text(text.clone()),
                Entry::Texts(texts) => Reading::Texts(texts.clone()),
            });
        }
        let plain = formula.evaluate(&example).unwrap();
        let other = formula.assess(&readings).unwrap_or_else(|error| panic!("{}: {error}", formula.id));
        prop_assert_eq!(plain.results.len(), other.results.len());
        for ((output, value), (_, assessed)) in plain.results.iter().zip(&other.results) {
            let pairs: Vec<(f64, f64)> = match (value, assessed) {
                (Value::Number(a), Assessed::Number(b)) => vec![(a.si, b.measured.unit().to_si(b.measured.value()))],
                (Value::Numbers(a), Assessed::Numbers(b)) => {
                    a.iter().zip(b).map(|(a, b)| (a.si, b.measured.unit().to_si(b.measured.value()))).collect()
                }
                _ => continue,
            };
            let width: f64 = pairs.iter().map(|(a, _)| a.abs()).fold(1e-9, f64::max);
            for (a, b) in pairs {
                prop_assert!((a - b).abs() <= 1e-7 * width, "{}: {} is {a} or {b}", formula.id, output.id);
            }
        }
    }

    /// Own uncertainties add as squares through the slopes, and the shares make up the whole.
    #[test]
    fn uncertainties_add_through_the_slopes(
        formula in any_formula(),
        parts in prop::collection::vec(0.0f64..0.01, 26),
        shifts in prop::collection::vec(-1.0f64..1.0, 24),
    ) {
        let inputs = moved(formula, 0.02, &shifts);
        let Ok(answer) = formula.evaluate(&inputs) else { return Ok(()) };
        let mut readings = Readings::new();
        for (input, part) in formula.inputs.iter().zip(&parts) {
            let Some(entry) = inputs.get(input.key) else { continue };
            let measured = |si: &f64| {
                let unit = input.scale().map_or(Unit::ONE, |scale| scale.unit.kind().si_unit());
                Measurement::with_u(*si, part * si.abs(), f64::INFINITY, unit).unwrap()
            };
            readings = readings.with(input.key, match entry {
                Entry::Number(si) => Reading::Number(measured(si)),
                Entry::Numbers(all) => Reading::Numbers(all.iter().map(measured).collect()),
                Entry::Text(text) => Reading::Text(text.clone()),
                Entry::Texts(texts) => Reading::Texts(texts.clone()),
            });
        }
        let assessed = formula.assess(&readings).unwrap();
        for ((output, value), (_, found)) in answer.results.iter().zip(&assessed.results) {
            let (Value::Number(number), Assessed::Number(found)) = (value, found) else { continue };
            let unit = found.measured.unit();
            let parts = answer.variables.iter().zip(&number.gradient).map(|(variable, c)| {
                let place = formula.inputs.iter().position(|input| input.key == variable.key).unwrap();
                (c * parts[place] * variable.si / unit.factor()).powi(2)
            });
            let u = parts.sum::<f64>().sqrt();
            prop_assert!((found.measured.u() - u).abs() <= 1e-9 * u, "{}: {}", formula.id, output.id);
            let shares: f64 = found.shares.iter().map(|share| share.share).sum();
            prop_assert!(u == 0.0 || (shares - 1.0).abs() < 1e-9, "{}: {} shares {shares}", formula.id, output.id);
        }
    }

    /// What is shown of any answer, with uncertainties typed or not, is words and finite numbers.
    #[test]
    fn whatever_is_typed_is_shown_without_a_nan(
        formula in any_formula(),
        which in 0usize..30,
        text in prop_oneof![
            ".{0,24}",
            "-?[0-9]{1,4}([.,][0-9]{1,3})? ?± ?[0-9]{1,3}([.,][0-9])?( ?(mm|bar|N|°C|%|kg|V|L|in))?( \\(k=[0-3]\\))?",
            "([0-9]{1,2},[0-9]{2}[\t\n]){1,6}",
        ],
    ) {
        let field = which % formula.inputs.len();
        let written: Vec<(&str, String)> = formula
            .inputs
            .iter()
            .enumerate()
            .map(|(at, input)| (input.key, if at == field { text.clone() } else { input.example() }))
            .collect();
        let written = || written.iter().map(|(key, text)| (*key, text.as_str()));
        let half_filled = formula.readable(written());
        prop_assert!(half_filled.entries.len() <= formula.inputs.len());
        let mut shown: Vec<String> = vec![];
        match formula.read_readings(written()).and_then(|readings| Ok((formula.assess(&readings)?, readings))) {
            Ok((assessment, readings)) => {
                for (_, assessed) in &assessment.results {
                    match assessed {
                        Assessed::Number(found) => shown.push(found.to_string()),
                        Assessed::Numbers(all) => shown.extend(all.iter().map(ToString::to_string)),
                        Assessed::Text(_) | Assessed::Texts(_) => {}
                    }
                }
                shown.extend(assessment.steps.iter().map(ToString::to_string));
                let weights = assessment.weights(&readings);
                shown.extend(weights.iter().flat_map(|weights| &weights.of).map(|(_, part)| format!("{part:.2}")));
            }
            Err(error) => {
                prop_assert!(!error.problems().is_empty());
                prop_assert!(error.problems().iter().all(|problem| !problem.to_string().is_empty()));
            }
        }
        for said in shown {
            prop_assert!(!said.is_empty() && !said.contains("NaN") && !said.contains("inf "), "{}: {said}", formula.id);
        }
    }

    #[test]
    fn whatever_is_typed_is_answered_or_refused(
        formula in any_formula(),
        texts in prop::collection::vec(
            prop_oneof![
                ".{0,24}",
                "-?[0-9]{1,4}([.,][0-9]{1,3})?( ?(mm|bar|N|°C|%|kg|V|rpm|L|))?",
                "(-?[0-9]{1,3}(\\.[0-9])? ?(mm|bar|°C|%|); ?){1,9}",
                Just(String::from("1e308")), Just(String::from("-0")), Just(String::from("0")),
                Just(String::from("∞")), Just(String::from("NaN")), Just(String::new()),
            ], 26),
    ) {
        let written = formula.inputs.iter().map(|input| input.key).zip(texts.iter().map(String::as_str));
        match formula.read(written).and_then(|inputs| formula.evaluate(&inputs)) {
            Ok(answer) => finite(&answer),
            Err(error) => prop_assert!(!error.problems().is_empty() && !error.to_string().is_empty()),
        }
    }

    /// Every corner of the ranges, and lists of any length.
    #[test]
    fn corners_of_the_ranges_are_answered_or_refused(
        formula in any_formula(),
        ends in prop::collection::vec(0u8..3, 26),
        length in 0usize..12,
    ) {
        let mut inputs = formula.example();
        for (input, end) in formula.inputs.iter().zip(&ends) {
            let Some(scale) = input.scale() else { continue };
            let si = scale.unit.to_si([scale.low, scale.high, scale.example][usize::from(*end)]);
            let list = |si: f64| (0..length).map(|n| si + (scale.high_si - si) * n as f64 / 12.0).collect();
            let entry = if input.list() { Entry::Numbers(list(si)) } else { Entry::Number(si) };
            inputs = inputs.with(input.key, entry);
        }
        match formula.evaluate(&inputs) {
            Ok(answer) => finite(&answer),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
}

fn finite(answer: &crate::Answer) {
    for (_, value) in &answer.results {
        let numbers: Vec<_> = match value {
            Value::Number(number) => vec![number],
            Value::Numbers(all) => all.iter().collect(),
            _ => continue,
        };
        for number in numbers {
            assert!(number.si.is_finite() && number.gradient.iter().all(|c| c.is_finite()));
            assert_eq!(number.gradient.len(), answer.variables.len());
        }
    }
}
