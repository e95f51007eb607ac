//! Running a formula: inputs checked whole, value and sensitivities out.

use crate::formula::{Input, Need, Output, Shape, shown};
use crate::inputs::{Entry, Inputs};
use crate::{BenchError, Dual, Eight, Formula, Problem};
use quantity::Unit;

/// The two ways a formula is run, from one generic function.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Run {
    pub plain: fn(&Given<'_, f64>, &mut Out<f64>) -> Result<(), BenchError>,
    pub dual: fn(&Given<'_, Eight>, &mut Out<Eight>) -> Result<(), BenchError>,
}

/// `run!(function)`: a generic function as a [`Run`].
macro_rules! run {
    ($function:ident) => {
        $crate::evaluate::Run { plain: $function::<f64>, dual: $function::<$crate::Eight> }
    };
}
pub(crate) use run;

/// The inputs as a formula sees them.
pub(crate) struct Given<'a, D> {
    formula: &'a Formula,
    slots: Vec<Slot<'a, D>>,
}

enum Slot<'a, D> {
    Absent,
    Number(D),
    Numbers(Vec<D>),
    Text(&'a str),
    Texts(&'a [String]),
}

impl<'a, D: Dual> Given<'a, D> {
    /// A number; NaN, which no check lets pass, for a key the formula does not have.
    pub fn number(&self, key: &str) -> D {
        self.maybe(key).unwrap_or_else(|| D::from(f64::NAN))
    }

    /// A number that may be left out.
    pub fn maybe(&self, key: &str) -> Option<D> {
        match self.slot(key) {
            Some(Slot::Number(number)) => Some(*number),
            _ => None,
        }
    }

    /// A list of numbers; empty when left out.
    pub fn numbers(&self, key: &str) -> &[D] {
        match self.slot(key) {
            Some(Slot::Numbers(numbers)) => numbers,
            _ => &[],
        }
    }

    /// A text; empty when left out.
    pub fn text(&self, key: &str) -> &'a str {
        match self.slot(key) {
            Some(Slot::Text(text)) => text,
            _ => "",
        }
    }

    /// A list of texts; empty when left out.
    pub fn texts(&self, key: &str) -> &'a [String] {
        match self.slot(key) {
            Some(Slot::Texts(texts)) => texts,
            _ => &[],
        }
    }

    /// Refuses lists of unlike length; an empty optional one is let pass.
    pub fn equally_long(&self, keys: &[&str]) -> Result<(), BenchError> {
        let mut problems = vec![];
        let lengths: Vec<(&'static str, usize)> = keys.iter().filter_map(|key| self.length(key)).collect();
        if let Some(((first, wanted), rest)) = lengths.split_first() {
            for (input, found) in rest {
                if found != wanted {
                    problems.push(Problem::UnlikeLengths {
                        input,
                        found: *found,
                        other: first,
                        wanted: *wanted,
                    });
                }
            }
        }
        BenchError::unless_empty(problems)
    }

    fn length(&self, key: &str) -> Option<(&'static str, usize)> {
        let title = self.formula.input(key)?.title;
        match self.slot(key)? {
            Slot::Numbers(numbers) => Some((title, numbers.len())),
            Slot::Texts(texts) => Some((title, texts.len())),
            _ => None,
        }
    }

    fn slot(&self, key: &str) -> Option<&Slot<'a, D>> {
        let index = self.formula.inputs.iter().position(|input| input.key == key)?;
        self.slots.get(index)
    }
}

/// What a formula hands back.
pub(crate) struct Out<D> {
    results: Vec<(&'static str, Made<D>)>,
    steps: Vec<Step>,
    telling: bool,
}

enum Made<D> {
    Number(D),
    Numbers(Vec<D>),
    Text(String),
    Texts(Vec<String>),
}

impl<D: Dual> Out<D> {
    pub(crate) fn new(telling: bool) -> Self {
        Self { results: vec![], steps: vec![], telling }
    }

    pub fn number(&mut self, id: &'static str, value: D) {
        self.results.push((id, Made::Number(value)));
    }

    pub fn numbers(&mut self, id: &'static str, values: Vec<D>) {
        self.results.push((id, Made::Numbers(values)));
    }

    pub fn text(&mut self, id: &'static str, text: impl Into<String>) {
        if self.telling {
            self.results.push((id, Made::Text(text.into())));
        }
    }

    pub fn texts(&mut self, id: &'static str, texts: Vec<String>) {
        if self.telling {
            self.results.push((id, Made::Texts(texts)));
        }
    }

    /// A value on the way, for the reader.
    pub fn step(&mut self, label: &'static str, value: D, unit: Unit) {
        if self.telling {
            self.steps.push(Step::Value { label, si: value.re(), unit });
        }
    }

    /// A sentence on the way; only made when somebody reads it.
    pub fn remark(&mut self, says: impl FnOnce() -> String) {
        if self.telling {
            self.steps.push(Step::Words(says()));
        }
    }
}

#[cfg(test)]
impl Out<f64> {
    /// The numbers in the order in which they were handed back; lists number by number.
    pub(crate) fn plain_numbers(self) -> Vec<(&'static str, f64)> {
        let spread = |(id, made): (&'static str, Made<f64>)| match made {
            Made::Number(number) => vec![(id, number)],
            Made::Numbers(all) => all.into_iter().map(|number| (id, number)).collect(),
            Made::Text(_) | Made::Texts(_) => vec![],
        };
        self.results.into_iter().flat_map(spread).collect()
    }
}

/// One step of the way from inputs to results.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// "free span between the tangent points L = 172 mm": what was given.
    Given {
        title: &'static str,
        symbol: &'static str,
        si: f64,
        unit: Unit,
    },
    /// "thickness at points around one radius: 8 values from 21.998 mm to 22.006 mm".
    GivenList {
        title: &'static str,
        count: usize,
        least_si: f64,
        most_si: f64,
        unit: Unit,
    },
    /// "density of the wire taken as 7850 kg/m³": an input that was left out.
    Taken {
        title: &'static str,
        si: f64,
        unit: Unit,
    },
    /// "piston area 2.85 cm²"; the value is in SI, to be shown in `unit`.
    Value {
        label: &'static str,
        si: f64,
        unit: Unit,
    },
    Words(String),
}

impl std::fmt::Display for Step {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let shown = |si: f64, unit: Unit| shown(readable(unit.from_si(si), unit), unit);
        match self {
            Step::Given { title, symbol: "", si, unit } => write!(f, "{title} {}", shown(*si, *unit)),
            Step::Given { title, symbol, si, unit } => write!(f, "{title} {symbol} = {}", shown(*si, *unit)),
            Step::GivenList { title, count, least_si, most_si, unit } => {
                write!(
                    f,
                    "{title}: {count} values from {} to {}",
                    shown(*least_si, *unit),
                    shown(*most_si, *unit)
                )
            }
            Step::Taken { title, si, unit } => {
                write!(f, "{title} taken as {}", shown(*si, *unit))
            }
            Step::Value { label, si, unit } => {
                write!(f, "{label} {}", shown(*si, *unit))
            }
            Step::Words(words) => f.write_str(words),
        }
    }
}

/// Rounded for reading: to four significant digits, millimetres at least to the micrometre.
fn readable(value: f64, unit: Unit) -> f64 {
    if unit == Unit::MM && value.abs() >= 10.0 && value.abs() < 1e9 {
        return (value * 1e3).round() / 1e3;
    }
    four_digits(value)
}

/// Rounded to four significant digits.
fn four_digits(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let places = (3.0 - value.abs().log10().floor()) as i32;
    if !(-15..=15).contains(&places) {
        return value;
    }
    let scale = 10f64.powi(places.abs());
    if places >= 0 { (value * scale).round() / scale } else { (value / scale).round() * scale }
}

/// What came of an evaluation.
#[derive(Debug, Clone)]
pub struct Answer {
    pub formula: &'static Formula,
    /// In the order of the formula's outputs; an output that these inputs do not reach is absent.
    pub results: Vec<(&'static Output, Value)>,
    /// The inputs that the sensitivities belong to, in their order.
    pub variables: Vec<Variable>,
    pub steps: Vec<Step>,
}

/// One number among the inputs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Variable {
    pub key: &'static str,
    /// Its place, when the input is a list.
    pub index: Option<usize>,
    /// Its value in SI.
    pub si: f64,
}

/// A result.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    Number(Number),
    Numbers(Vec<Number>),
    Text(String),
    Texts(Vec<String>),
}

/// A number in SI with its sensitivities, one for each of the answer's variables; SI of the result for each SI of the
/// input.
#[derive(Debug, Clone, PartialEq)]
pub struct Number {
    pub si: f64,
    pub gradient: Vec<f64>,
}

impl Answer {
    /// The result with this id.
    pub fn get(&self, id: &str) -> Option<&Value> {
        self.results.iter().find(|(output, _)| output.id == id).map(|(_, value)| value)
    }

    /// The number with this id.
    pub fn number(&self, id: &str) -> Option<&Number> {
        match self.get(id)? {
            Value::Number(number) => Some(number),
            _ => None,
        }
    }

    /// The list of numbers with this id.
    pub fn numbers(&self, id: &str) -> Option<&[Number]> {
        match self.get(id)? {
            Value::Numbers(numbers) => Some(numbers),
            _ => None,
        }
    }

    /// The text with this id.
    pub fn text(&self, id: &str) -> Option<&str> {
        match self.get(id)? {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The list of texts with this id.
    pub fn texts(&self, id: &str) -> Option<&[String]> {
        match self.get(id)? {
            Value::Texts(texts) => Some(texts),
            _ => None,
        }
    }
}

impl Formula {
    /// Value and sensitivities for inputs in SI.
    ///
    /// # Errors
    /// [`BenchError`] with everything that is wrong with the inputs; an answer is never NaN or infinite.
    pub fn evaluate(&'static self, inputs: &Inputs) -> Result<Answer, BenchError> {
        self.check(inputs)?;
        self.evaluate_checked(inputs)
    }

    /// The numbers alone, in SI, without sensitivities or words; for lists the values follow one another.
    ///
    /// # Errors
    /// As [`Formula::evaluate`].
    pub fn values(&'static self, inputs: &Inputs) -> Result<Vec<(&'static str, Vec<f64>)>, BenchError> {
        self.check(inputs)?;
        self.values_checked(inputs)
    }

    /// As [`Formula::values`], for inputs whose ranges are known to hold.
    pub(crate) fn values_checked(
        &'static self,
        inputs: &Inputs,
    ) -> Result<Vec<(&'static str, Vec<f64>)>, BenchError> {
        let mut out = Out::new(false);
        (self.run.plain)(&self.given(inputs, |si, _| si), &mut out)?;
        let values = out.results.into_iter().filter_map(|(id, made)| match made {
            Made::Number(number) => Some((id, vec![number])),
            Made::Numbers(numbers) => Some((id, numbers)),
            Made::Text(_) | Made::Texts(_) => None,
        });
        let values: Vec<_> = values.collect();
        for (id, numbers) in &values {
            self.finite(id, numbers.iter().all(|number| number.is_finite()))?;
        }
        Ok(values)
    }

    /// As [`Formula::evaluate`], for inputs whose ranges are known to hold.
    pub(crate) fn evaluate_checked(&'static self, inputs: &Inputs) -> Result<Answer, BenchError> {
        let variables = self.variables(inputs);
        // Words and values come with the first eight sensitivities; what is left only adds to the gradients.
        let mut answer = Answer { formula: self, results: vec![], variables: vec![], steps: vec![] };
        let mut first = 0;
        loop {
            let mut out = Out::new(first == 0);
            let seed = |si: f64, at: usize| {
                let number = Eight::from_re(si);
                if (first..first + 8).contains(&at) { number.derivative(at - first) } else { number }
            };
            (self.run.dual)(&self.given(inputs, seed), &mut out)?;
            let width = variables.len().saturating_sub(first).min(8);
            if first == 0 {
                answer.steps = self.given_steps(inputs).chain(out.steps).collect();
                answer.results = self.results(out.results, width)?;
            } else {
                add_sensitivities(&mut answer.results, out.results, width);
            }
            first += 8;
            if first >= variables.len() {
                break;
            }
        }
        for (output, value) in &answer.results {
            let finite =
                |number: &Number| number.si.is_finite() && number.gradient.iter().all(|c| c.is_finite());
            let all = match value {
                Value::Number(number) => finite(number),
                Value::Numbers(numbers) => numbers.iter().all(finite),
                Value::Text(_) | Value::Texts(_) => true,
            };
            self.finite(output.id, all)?;
        }
        answer.variables = variables;
        Ok(answer)
    }

    /// What was given, and what was taken for inputs that were left out.
    fn given_steps(&self, inputs: &Inputs) -> impl Iterator<Item = Step> {
        self.inputs.iter().filter_map(|input| {
            let (title, symbol) = (input.title, input.symbol);
            let unit = input.scale()?.unit;
            Some(match (inputs.get(input.key), input.need) {
                (Some(Entry::Number(si)), _) => Step::Given { title, symbol, si: *si, unit },
                (Some(Entry::Numbers(all)), _) => {
                    let least_si = all.iter().copied().fold(f64::INFINITY, f64::min);
                    let most_si = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                    Step::GivenList { title, count: all.len(), least_si, most_si, unit }
                }
                (None, Need::Default(value)) => Step::Taken { title, si: unit.to_si(value), unit },
                _ => return None,
            })
        })
    }

    fn finite(&self, id: &str, finite: bool) -> Result<(), BenchError> {
        let output = self.output(id).map_or("result", |output| output.title);
        if finite { Ok(()) } else { Err(Problem::NoAnswer { output }.into()) }
    }

    fn results(
        &'static self,
        made: Vec<(&'static str, Made<Eight>)>,
        width: usize,
    ) -> Result<Vec<(&'static Output, Value)>, BenchError> {
        let number = |x: Eight| Number { si: x.re, gradient: sensitivities(&x).take(width).collect() };
        let mut results = vec![];
        for output in &self.outputs {
            for (_, value) in made.iter().filter(|(id, _)| *id == output.id) {
                let value = match value {
                    Made::Number(x) => Value::Number(number(*x)),
                    Made::Numbers(all) => Value::Numbers(all.iter().copied().map(number).collect()),
                    Made::Text(text) => Value::Text(text.clone()),
                    Made::Texts(texts) => Value::Texts(texts.clone()),
                };
                results.push((output, value));
            }
        }
        Ok(results)
    }

    /// Everything that is wrong with the inputs, before the formula sees them.
    pub(crate) fn check(&self, inputs: &Inputs) -> Result<(), BenchError> {
        let mut problems: Vec<Problem> = vec![];
        for (key, _) in &inputs.entries {
            if self.input(key).is_none() {
                let nearest = nearest(key, self.inputs.iter().map(|input| input.key));
                problems.push(Problem::UnknownInput { key: key.clone(), nearest });
            }
        }
        for input in &self.inputs {
            match inputs.get(input.key) {
                None if input.need == Need::Required => {
                    problems.push(Problem::Missing { input: input.title, example: input.example() });
                }
                None => {}
                Some(entry) => check_entry(input, entry, &mut problems),
            }
        }
        BenchError::unless_empty(problems)
    }

    /// The numbers among the inputs, in the order of the formula's inputs.
    pub(crate) fn variables(&self, inputs: &Inputs) -> Vec<Variable> {
        let mut variables = vec![];
        for input in &self.inputs {
            match inputs.get(input.key) {
                Some(Entry::Number(si)) => variables.push(Variable { key: input.key, index: None, si: *si }),
                Some(Entry::Numbers(all)) => {
                    variables.extend(all.iter().enumerate().map(|(at, si)| Variable {
                        key: input.key,
                        index: Some(at),
                        si: *si,
                    }))
                }
                _ => {}
            }
        }
        variables
    }

    /// The inputs as the formula sees them; `seed` makes a number of a value in SI and its place among the variables.
    pub(crate) fn given<'a, D: Dual>(
        &'a self,
        inputs: &'a Inputs,
        seed: impl Fn(f64, usize) -> D,
    ) -> Given<'a, D> {
        let mut at = 0;
        let mut next = |si: f64| {
            at += 1;
            seed(si, at - 1)
        };
        let slot = |input: &'a Input| match (inputs.get(input.key), input.need) {
            (Some(Entry::Number(si)), _) => Slot::Number(next(*si)),
            (Some(Entry::Numbers(all)), _) => Slot::Numbers(all.iter().map(|si| next(*si)).collect()),
            (Some(Entry::Text(text)), _) => Slot::Text(text),
            (Some(Entry::Texts(texts)), _) => Slot::Texts(texts),
            (None, Need::Default(value)) => {
                Slot::Number(D::from(input.scale().map_or(value, |scale| scale.unit.to_si(value))))
            }
            (None, _) => Slot::Absent,
        };
        Given { formula: self, slots: self.inputs.iter().map(slot).collect() }
    }
}

/// The eight sensitivities a number carries.
fn sensitivities(x: &Eight) -> impl Iterator<Item = f64> {
    let eps = x.eps.0;
    (0..8).map(move |at| eps.map_or(0.0, |eps| eps[at]))
}

fn add_sensitivities(
    results: &mut [(&'static Output, Value)],
    made: Vec<(&'static str, Made<Eight>)>,
    width: usize,
) {
    let extend = |number: &mut Number, x: &Eight| number.gradient.extend(sensitivities(x).take(width));
    for (output, value) in results {
        match (value, made.iter().find(|(id, _)| *id == output.id).map(|(_, made)| made)) {
            (Value::Number(number), Some(Made::Number(x))) => extend(number, x),
            (Value::Numbers(numbers), Some(Made::Numbers(all))) => {
                numbers.iter_mut().zip(all).for_each(|(number, x)| extend(number, x));
            }
            _ => {}
        }
    }
}

fn check_entry(input: &Input, entry: &Entry, problems: &mut Vec<Problem>) {
    let shape = |wanted| Problem::Shape { input: input.title, wanted, example: input.example() };
    match (&input.shape, entry) {
        (Shape::Number(_), Entry::Number(si)) => problems.extend(check_range(input, *si)),
        (Shape::Numbers { least, .. }, Entry::Numbers(all)) => {
            if all.len() < *least {
                problems.push(Problem::TooFew { input: input.title, found: all.len(), least: *least });
            }
            if all.len() > MOST {
                problems.push(Problem::TooMany { input: input.title, found: all.len(), most: MOST });
            }
            // One such message is enough: a list in the wrong unit is wrong throughout.
            problems.extend(all.iter().find_map(|si| check_range(input, *si)));
        }
        (Shape::Choice { choices, .. }, Entry::Text(found)) => {
            if !choices.contains(&found.as_str()) {
                let choices = choices.join(", ");
                problems.push(Problem::NotAChoice { input: input.title, found: found.clone(), choices });
            }
        }
        (Shape::Text { .. }, Entry::Text(_)) => {}
        (Shape::Texts { .. }, Entry::Texts(all)) => {
            if all.len() > MOST {
                problems.push(Problem::TooMany { input: input.title, found: all.len(), most: MOST });
            }
        }
        (Shape::Number(_), _) => problems.push(shape("one number")),
        (Shape::Numbers { .. }, _) => problems.push(shape("a list of numbers")),
        (Shape::Text { .. }, _) => problems.push(shape("a text")),
        (Shape::Texts { .. }, _) => problems.push(shape("a list of names")),
        (Shape::Choice { choices, .. }, _) => problems.push(Problem::NotAChoice {
            input: input.title,
            found: "a number".into(),
            choices: choices.join(", "),
        }),
    }
}

/// Longest list that a formula takes.
const MOST: usize = 200;

fn check_range(input: &Input, si: f64) -> Option<Problem> {
    let scale = input.scale()?;
    if si >= scale.low_si && si <= scale.high_si {
        return None;
    }
    // A bound written in its own unit may miss itself by the last bits in SI.
    let shown_value = scale.unit.from_si(si);
    if shown_value >= scale.low && shown_value <= scale.high {
        return None;
    }
    let found = shown(four_digits(shown_value), scale.unit);
    Some(Problem::OutOfRange { input: input.title, found, range: scale.range() })
}

/// The known word nearest to the one given, if one is near.
pub(crate) fn nearest(word: &str, known: impl Iterator<Item = &'static str>) -> Option<&'static str> {
    known
        .map(|known| (strsim::damerau_levenshtein(known, word), known))
        .filter(|(distance, known)| *distance <= 1 + known.len() / 4)
        .min()
        .map(|(_, known)| known)
}
