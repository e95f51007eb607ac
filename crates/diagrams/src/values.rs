//! What a drawing is made from: the values put in, typical ones where none are, and what comes out.

use crate::figure::{figure, rounded};
use crate::kit::Label;
use bench::{Answer, Entry, Formula, Input, Inputs, Need, Number, Output, Shape, Value};

/// The most values of a list that are drawn.
const MOST: usize = 24;
/// The most characters of a text that are drawn.
const LONGEST: usize = 40;

/// The values of one formula. A number is always finite and within the input's range: what is given, else the
/// formula's own default, else the input's example.
pub struct Values<'a> {
    pub formula: &'static Formula,
    inputs: &'a Inputs,
    answer: Option<&'a Answer>,
    typical: Option<Answer>,
}

impl<'a> Values<'a> {
    pub fn new(formula: &'static Formula, inputs: &'a Inputs, answer: Option<&'a Answer>) -> Self {
        let mut values = Self { formula, inputs, answer, typical: None };
        if answer.is_none() {
            let drawn = formula.evaluate(&values.drawn());
            values.typical = drawn.or_else(|_| formula.evaluate(&formula.example())).ok();
        }
        values
    }

    pub fn is(&self, id: &str) -> bool {
        self.formula.id == id
    }

    pub fn takes(&self, key: &str) -> bool {
        self.formula.input(key).is_some()
    }

    /// What the drawing is drawn for: what is given and usable, and examples of what has to be given.
    pub fn drawn(&self) -> Inputs {
        self.formula.inputs.iter().fold(Inputs::new(), |drawn, input| match self.usable(input) {
            Some(entry) => drawn.with(input.key, entry.clone()),
            None if input.need == Need::Required => match self.formula.example().get(input.key) {
                Some(entry) => drawn.with(input.key, entry.clone()),
                None => drawn,
            },
            None => drawn,
        })
    }

    /// Whether a usable value is given.
    pub fn given(&self, key: &str) -> bool {
        self.formula.input(key).is_some_and(|input| self.usable(input).is_some())
    }

    fn usable(&self, input: &Input) -> Option<&'a Entry> {
        let entry = self.inputs.get(input.key)?;
        let fits = |si: &f64| {
            let Some(scale) = input.scale() else { return false };
            let (low, high) = (scale.unit.to_si(scale.low), scale.unit.to_si(scale.high));
            let slack = 1e-9 * si.abs();
            si.is_finite() && *si >= low - slack && *si <= high + slack
        };
        let usable = match (entry, &input.shape) {
            (Entry::Number(si), Shape::Number(_)) => fits(si),
            (Entry::Numbers(all), Shape::Numbers { least, .. }) => {
                all.len() >= *least && all.iter().all(fits)
            }
            (Entry::Text(text), Shape::Text { .. }) => !text.trim().is_empty(),
            (Entry::Text(text), Shape::Choice { choices, .. }) => choices.contains(&text.as_str()),
            (Entry::Texts(texts), Shape::Texts { .. }) => !texts.is_empty(),
            _ => false,
        };
        usable.then_some(entry)
    }

    /// The value in the input's unit.
    pub fn unit(&self, key: &str) -> f64 {
        let Some(input) = self.formula.input(key) else { return 0.0 };
        let Some(scale) = input.scale() else { return 0.0 };
        match (self.usable(input), input.need) {
            (Some(Entry::Number(si)), _) => scale.unit.from_si(*si),
            (_, Need::Default(value)) => value,
            _ => scale.example,
        }
    }

    /// The value in SI.
    pub fn si(&self, key: &str) -> f64 {
        let unit = self.formula.input(key).and_then(Input::scale).map(|scale| scale.unit);
        unit.map_or(0.0, |unit| unit.to_si(self.unit(key)))
    }

    pub fn mm(&self, key: &str) -> f64 {
        self.si(key) * 1e3
    }

    pub fn degrees(&self, key: &str) -> f64 {
        self.si(key).to_degrees()
    }

    /// The values of a list in the input's unit, as many as are drawn.
    pub fn list(&self, key: &str) -> Vec<f64> {
        let Some(input) = self.formula.input(key) else { return vec![] };
        match (&input.shape, self.usable(input)) {
            (Shape::Numbers { scale, .. }, Some(Entry::Numbers(all))) => {
                all.iter().take(MOST).map(|si| scale.unit.from_si(*si)).collect()
            }
            (Shape::Numbers { examples, .. }, _) => examples.iter().copied().take(MOST).collect(),
            _ => vec![],
        }
    }

    /// A text, or the word chosen.
    pub fn text(&self, key: &str) -> String {
        let Some(input) = self.formula.input(key) else { return String::new() };
        match (self.usable(input), &input.shape) {
            (Some(Entry::Text(text)), _) => text.chars().take(LONGEST).collect(),
            (_, Shape::Text { example } | Shape::Choice { example, .. }) => (*example).to_owned(),
            _ => String::new(),
        }
    }

    /// Names, as many as are drawn; none when none are given.
    pub fn texts(&self, key: &str) -> Vec<String> {
        match self.formula.input(key).and_then(|input| self.usable(input)) {
            Some(Entry::Texts(texts)) => {
                texts.iter().take(MOST).map(|text| text.chars().take(LONGEST).collect()).collect()
            }
            _ => vec![],
        }
    }

    /// A length in the drawing for a value: `px` for the input's example, less and more without end but never below
    /// 0.4 or above 1.6 of it.
    pub fn px(&self, key: &str, px: f64) -> f64 {
        let example = self.formula.input(key).and_then(Input::scale).map_or(1.0, |scale| scale.example);
        eased(self.unit(key), example, px)
    }

    /// A length in the drawing for a value that may be below nought: `px` for the size of the input's example, never
    /// more than twice it.
    pub fn signed(&self, key: &str, px: f64) -> f64 {
        let example = self.formula.input(key).and_then(Input::scale).map_or(1.0, |scale| scale.example);
        signed(self.unit(key), if example == 0.0 { 1.0 } else { example }, px)
    }

    /// Symbol and value of an input; without a value the symbol alone, without a symbol its name.
    pub fn label(&self, key: &str) -> Label {
        self.named(key, &key.replace('-', " "))
    }

    /// As [`Values::label`], with a name of the drawing's own for an input without a symbol.
    pub fn named(&self, key: &str, name: &str) -> Label {
        let Some(input) = self.formula.input(key) else { return Label::default() };
        let label = if input.symbol.is_empty() { Label::words(name) } else { Label::symbol(input.symbol) };
        match self.shown(key) {
            Some(shown) => label.and(shown),
            None => label,
        }
    }

    /// The value alone with its unit, when one is given or taken.
    pub fn shown(&self, key: &str) -> Option<String> {
        let input = self.formula.input(key)?;
        let known = self.given(key) || matches!(input.need, Need::Default(_));
        match &input.shape {
            Shape::Number(scale) if known => Some(figure(self.unit(key), scale.unit)),
            _ => None,
        }
    }

    /// A number that comes out, in SI.
    pub fn out(&self, id: &str) -> Option<f64> {
        match self.value(id)? {
            Value::Number(number) => Some(number.si),
            _ => None,
        }
    }

    /// A number that comes out, in the unit it is shown in.
    pub fn out_unit(&self, id: &str) -> Option<f64> {
        let unit = self.formula.output(id)?.unit?;
        self.out(id).map(|si| unit.from_si(si))
    }

    /// Numbers that come out, in the unit they are shown in, as many as are drawn.
    pub fn outs(&self, id: &str) -> Vec<f64> {
        let Some(unit) = self.formula.output(id).and_then(|output| output.unit) else { return vec![] };
        match self.value(id) {
            Some(Value::Numbers(all)) => all.iter().take(MOST).map(|n: &Number| unit.from_si(n.si)).collect(),
            Some(Value::Number(one)) => vec![unit.from_si(one.si)],
            _ => vec![],
        }
    }

    /// Words that come out; none before there is an answer.
    pub fn words(&self, id: &str) -> Option<String> {
        let answer = self.answer?;
        let shorten = |text: &str| text.chars().take(2 * LONGEST).collect();
        answer.text(id).map(shorten)
    }

    /// A list of words that comes out; empty before there is an answer.
    pub fn wordlist(&self, id: &str) -> Vec<String> {
        let texts = self.answer.and_then(|answer| answer.texts(id)).unwrap_or_default();
        texts.iter().take(MOST).map(|text| text.chars().take(2 * LONGEST).collect()).collect()
    }

    /// Symbol and value of a result; without an answer the symbol alone.
    pub fn result(&self, id: &str) -> Label {
        self.result_named(id, &id.replace('-', " "))
    }

    /// As [`Values::result`], with a name of the drawing's own for a result without a symbol.
    pub fn result_named(&self, id: &str, name: &str) -> Label {
        let Some(output) = self.formula.output(id) else { return Label::default() };
        let label = if output.symbol.is_empty() { Label::words(name) } else { Label::symbol(output.symbol) };
        match self.shown_result(output) {
            Some(shown) => label.and(shown).result(),
            None => label.result(),
        }
    }

    fn shown_result(&self, output: &Output) -> Option<String> {
        self.answer?
            .number(output.id)
            .and_then(|number| Some(rounded(output.unit?.from_si(number.si), output.unit?)))
    }

    /// As [`Values::result`], with all its figures where four are too few.
    pub fn result_in_full(&self, id: &str) -> Label {
        let unit = self.formula.output(id).and_then(|output| output.unit);
        match (self.out_unit(id), unit) {
            (Some(value), Some(unit)) if self.answered(id) => self.result(id).renamed(figure(value, unit)),
            _ => self.result(id),
        }
    }

    /// Whether a result is there to be shown.
    pub fn answered(&self, id: &str) -> bool {
        self.answer.is_some_and(|answer| answer.get(id).is_some())
    }

    fn value(&self, id: &str) -> Option<&Value> {
        match self.answer {
            Some(answer) => answer.get(id),
            None => self.typical.as_ref().and_then(|answer| answer.get(id)),
        }
    }

    /// The numbers in words: what is given, then what comes out.
    pub fn said(&self) -> String {
        let given = self.formula.inputs.iter().filter_map(|input| {
            let shown = self.shown(input.key)?;
            Some(format!("{} {shown}", input.title))
        });
        let found = self.formula.outputs.iter().filter_map(|output| {
            let shown = self.shown_result(output)?;
            Some(format!("{} {shown}", output.title))
        });
        let all: Vec<String> = given.chain(found).collect();
        let lacking =
            self.formula.inputs.iter().any(|input| input.need == Need::Required && !self.given(input.key));
        let typical = if lacking { " Drawn with typical values for what is not given." } else { "" };
        if all.is_empty() { typical.trim_start().to_owned() } else { format!("{}.{typical}", all.join("; ")) }
    }
}

/// `px` for the typical value, nearer to 0.4 of it below and to 1.6 of it above.
pub fn eased(value: f64, typical: f64, px: f64) -> f64 {
    let ratio = (value / typical).max(0.0);
    let part = if ratio.is_finite() { ratio / (1.0 + ratio) } else { 1.0 };
    px * (0.4 + 1.2 * part)
}

/// `px` for the size of the typical value, with the value's sign, never more than twice it.
pub fn signed(value: f64, typical: f64, px: f64) -> f64 {
    let ratio = value / typical.abs();
    if ratio.is_finite() { px * 2.0 * ratio / (1.0 + ratio.abs()) } else { 0.0 }
}
