//! What a formula of the bench tells of itself.

use crate::evaluate::Run;
use crate::inputs::{Entry, Inputs};
use quantity::{Kind, Unit};
use std::fmt;

/// A formula of the trade: what it decides, its inputs and results with their units, where it holds, whose it is.
///
/// Get one by its id from [`formula`](crate::formula), or all of them from [`formulas`](crate::formulas).
pub struct Formula {
    /// Kebab-case; never changes once published.
    pub id: &'static str,
    pub title: &'static str,
    /// The part of the trade it serves.
    pub job: Job,
    /// "This decides …", one sentence.
    pub says: &'static str,
    /// Plain text, in the symbols of the inputs and results.
    pub equation: &'static str,
    pub inputs: Vec<Input>,
    pub outputs: Vec<Output>,
    /// Where it holds and where it does not, in a sentence.
    pub holds: &'static str,
    /// The care that the work around this formula asks for.
    pub cautions: Vec<&'static str>,
    pub source: &'static str,
    /// Which drawing shows it.
    pub diagram: &'static str,
    /// True when a constant inside carries a unit (gravity, a fitted curve, a table of a standard); the equation then
    /// holds only in the units of its source, which the bench takes care of.
    pub fitted: bool,
    pub(crate) run: Run,
}

/// The parts of the trade, in the order in which they are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Job {
    ValveTrain,
    Cylinders,
    BottomEnd,
    Clutch,
    Brakes,
    Springs,
    Wheels,
    Threads,
    Belts,
    Fluids,
    Cooling,
    Electrics,
    RoadLimits,
    Identity,
}

impl Job {
    pub const ALL: [Job; 14] = [
        Job::ValveTrain,
        Job::Cylinders,
        Job::BottomEnd,
        Job::Clutch,
        Job::Brakes,
        Job::Springs,
        Job::Wheels,
        Job::Threads,
        Job::Belts,
        Job::Fluids,
        Job::Cooling,
        Job::Electrics,
        Job::RoadLimits,
        Job::Identity,
    ];

    /// Kebab-case, for addresses.
    pub fn id(self) -> &'static str {
        self.words().0
    }

    pub fn title(self) -> &'static str {
        self.words().1
    }

    fn words(self) -> (&'static str, &'static str) {
        match self {
            Job::ValveTrain => ("valve-train", "Valve train"),
            Job::Cylinders => ("cylinders", "Cylinders"),
            Job::BottomEnd => ("bottom-end", "Bottom end"),
            Job::Clutch => ("clutch", "Clutch and its hydraulics"),
            Job::Brakes => ("brakes", "Brakes"),
            Job::Springs => ("springs", "Springs and ride"),
            Job::Wheels => ("wheels", "Wheels, tyres and alignment"),
            Job::Threads => ("threads", "Threads"),
            Job::Belts => ("belts", "Belts and drives"),
            Job::Fluids => ("fluids", "Fluids"),
            Job::Cooling => ("cooling", "Cooling"),
            Job::Electrics => ("electrics", "Electrics"),
            Job::RoadLimits => ("road-limits", "Limits in road use"),
            Job::Identity => ("identity", "Identity"),
        }
    }
}

impl fmt::Display for Job {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.title())
    }
}

/// Something a formula is given.
#[derive(Debug, Clone)]
pub struct Input {
    /// Kebab-case, unique within the formula.
    pub key: &'static str,
    /// As it stands in the equation.
    pub symbol: &'static str,
    pub title: &'static str,
    pub shape: Shape,
    pub need: Need,
}

/// What form an input takes.
#[derive(Debug, Clone)]
pub enum Shape {
    Number(Scale),
    /// Several numbers of one kind, at least `least`.
    Numbers {
        scale: Scale,
        least: usize,
        examples: Vec<f64>,
    },
    /// A code or a name.
    Text {
        example: &'static str,
    },
    /// Several names.
    Texts {
        examples: Vec<&'static str>,
    },
    /// One of a few words.
    Choice {
        choices: &'static [&'static str],
        example: &'static str,
    },
}

/// A number's unit and range. Bounds and example are in `unit`.
#[derive(Debug, Clone, Copy)]
pub struct Scale {
    /// The unit it is usually written in; any unit of the same kind may be given.
    pub unit: Unit,
    pub example: f64,
    pub low: f64,
    pub high: f64,
    pub(crate) low_si: f64,
    pub(crate) high_si: f64,
}

/// Whether an input may be left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Need {
    Required,
    /// Left out, it takes this value, in the input's unit.
    Default(f64),
    /// Left out, the formula does without, and so do the results that need it.
    Optional,
    /// Given in place of another input, as its title says.
    Alternative,
}

/// Something a formula answers.
#[derive(Debug, Clone)]
pub struct Output {
    /// Kebab-case, unique within the formula.
    pub id: &'static str,
    pub symbol: &'static str,
    pub title: &'static str,
    /// The unit to show; `None` for words.
    pub unit: Option<Unit>,
    /// Several values rather than one.
    pub list: bool,
    /// Keys of inputs with which it never falls, within the range.
    pub rises_with: Vec<&'static str>,
    /// Keys of inputs with which it never rises, within the range.
    pub falls_with: Vec<&'static str>,
}

impl Scale {
    fn new(unit: Unit, example: f64) -> Self {
        let (low, high) = (f64::NEG_INFINITY, f64::INFINITY);
        Self { unit, example, low, high, low_si: low, high_si: high }
    }

    fn between(&mut self, low: f64, high: f64) {
        (self.low, self.high) = (low, high);
        (self.low_si, self.high_si) = (self.unit.to_si(low), self.unit.to_si(high));
    }

    /// What the numbers measure.
    pub fn kind(&self) -> Kind {
        self.unit.kind()
    }

    /// The range in words: "from 20 mm to 3000 mm".
    pub fn range(&self) -> String {
        format!("from {} to {}", shown(self.low, self.unit), shown(self.high, self.unit))
    }
}

/// A number that must be given, with its usual unit and an example in that unit.
pub(crate) fn number(
    key: &'static str,
    symbol: &'static str,
    title: &'static str,
    unit: Unit,
    example: f64,
) -> Input {
    Input { key, symbol, title, shape: Shape::Number(Scale::new(unit, example)), need: Need::Required }
}

/// A list of numbers that must be given.
pub(crate) fn numbers(
    key: &'static str,
    symbol: &'static str,
    title: &'static str,
    unit: Unit,
    examples: &[f64],
) -> Input {
    let scale = Scale::new(unit, examples.first().copied().unwrap_or(1.0));
    Input {
        key,
        symbol,
        title,
        shape: Shape::Numbers { scale, least: 1, examples: examples.to_vec() },
        need: Need::Required,
    }
}

/// A text that must be given.
pub(crate) fn text(key: &'static str, title: &'static str, example: &'static str) -> Input {
    Input { key, symbol: "", title, shape: Shape::Text { example }, need: Need::Required }
}

/// A list of texts that must be given.
pub(crate) fn texts(key: &'static str, title: &'static str, examples: &[&'static str]) -> Input {
    Input {
        key,
        symbol: "",
        title,
        shape: Shape::Texts { examples: examples.to_vec() },
        need: Need::Required,
    }
}

/// One of a few words that must be given.
pub(crate) fn choice(
    key: &'static str,
    title: &'static str,
    choices: &'static [&'static str],
    example: &'static str,
) -> Input {
    Input { key, symbol: "", title, shape: Shape::Choice { choices, example }, need: Need::Required }
}

impl Input {
    /// Both bounds are in range; they are in the input's unit.
    pub(crate) fn within(mut self, low: f64, high: f64) -> Self {
        match &mut self.shape {
            Shape::Number(scale) | Shape::Numbers { scale, .. } => scale.between(low, high),
            _ => {}
        }
        self
    }

    /// The least number of values in the list.
    pub(crate) fn at_least(mut self, count: usize) -> Self {
        if let Shape::Numbers { least, .. } = &mut self.shape {
            *least = count;
        }
        self
    }

    /// What it is when left out, in the input's unit.
    pub(crate) fn or(mut self, default: f64) -> Self {
        self.need = Need::Default(default);
        self
    }

    pub(crate) fn optional(mut self) -> Self {
        self.need = Need::Optional;
        self
    }

    pub(crate) fn alternative(mut self) -> Self {
        self.need = Need::Alternative;
        self
    }

    /// Unit and range, for numbers.
    pub fn scale(&self) -> Option<&Scale> {
        match &self.shape {
            Shape::Number(scale) | Shape::Numbers { scale, .. } => Some(scale),
            _ => None,
        }
    }

    /// Whether it takes several values.
    pub fn list(&self) -> bool {
        matches!(self.shape, Shape::Numbers { .. } | Shape::Texts { .. })
    }

    /// How it may be written: "172 mm".
    pub fn example(&self) -> String {
        match &self.shape {
            Shape::Number(scale) => shown(scale.example, scale.unit),
            Shape::Numbers { scale, examples, .. } => {
                let all: Vec<String> = examples.iter().map(|x| shown(*x, scale.unit)).collect();
                all.join("; ")
            }
            Shape::Text { example } | Shape::Choice { example, .. } => (*example).to_owned(),
            Shape::Texts { examples } => examples.join("; "),
        }
    }
}

/// A value with its unit, as briefly as it can be written exactly.
pub(crate) fn shown(value: f64, unit: Unit) -> String {
    if unit == Unit::ONE || unit == Unit::COUNT {
        format!("{value}")
    } else if unit == Unit::DEG {
        format!("{value}°")
    } else {
        format!("{value} {unit}")
    }
}

/// A result that is a number.
pub(crate) fn result(id: &'static str, symbol: &'static str, title: &'static str, unit: Unit) -> Output {
    Output { id, symbol, title, unit: Some(unit), list: false, rises_with: vec![], falls_with: vec![] }
}

/// A result that is a list of numbers.
pub(crate) fn results(id: &'static str, symbol: &'static str, title: &'static str, unit: Unit) -> Output {
    Output { list: true, ..result(id, symbol, title, unit) }
}

/// A result in words.
pub(crate) fn words(id: &'static str, title: &'static str) -> Output {
    Output { id, symbol: "", title, unit: None, list: false, rises_with: vec![], falls_with: vec![] }
}

/// A result that is a list of words.
pub(crate) fn wordlist(id: &'static str, title: &'static str) -> Output {
    Output { list: true, ..words(id, title) }
}

impl Output {
    pub(crate) fn rises(mut self, keys: &[&'static str]) -> Self {
        self.rises_with.extend(keys);
        self
    }

    pub(crate) fn falls(mut self, keys: &[&'static str]) -> Self {
        self.falls_with.extend(keys);
        self
    }
}

impl fmt::Debug for Formula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Formula({})", self.id)
    }
}

impl Formula {
    pub(crate) fn new(id: &'static str, job: Job, title: &'static str, run: Run) -> Self {
        Self {
            id,
            title,
            job,
            says: "",
            equation: "",
            inputs: vec![],
            outputs: vec![],
            holds: "",
            cautions: vec![],
            source: "",
            diagram: "",
            fitted: false,
            run,
        }
    }

    pub(crate) fn says(mut self, says: &'static str) -> Self {
        self.says = says;
        self
    }

    pub(crate) fn equation(mut self, equation: &'static str) -> Self {
        self.equation = equation;
        self
    }

    pub(crate) fn takes(mut self, inputs: impl IntoIterator<Item = Input>) -> Self {
        self.inputs.extend(inputs);
        self
    }

    pub(crate) fn gives(mut self, outputs: impl IntoIterator<Item = Output>) -> Self {
        self.outputs.extend(outputs);
        self
    }

    pub(crate) fn holds(mut self, holds: &'static str) -> Self {
        self.holds = holds;
        self
    }

    pub(crate) fn caution(mut self, caution: &'static str) -> Self {
        self.cautions.push(caution);
        self
    }

    pub(crate) fn source(mut self, source: &'static str) -> Self {
        self.source = source;
        self
    }

    pub(crate) fn diagram(mut self, diagram: &'static str) -> Self {
        self.diagram = diagram;
        self
    }

    pub(crate) fn fitted(mut self) -> Self {
        self.fitted = true;
        self
    }

    /// Inputs that show the formula at work: every example, except those that stand in place of another.
    pub fn example(&self) -> Inputs {
        self.inputs.iter().filter(|input| input.need != Need::Alternative).fold(
            Inputs::new(),
            |inputs, input| {
                let entry = match &input.shape {
                    Shape::Number(scale) => Entry::Number(scale.unit.to_si(scale.example)),
                    Shape::Numbers { scale, examples, .. } => {
                        Entry::Numbers(examples.iter().map(|x| scale.unit.to_si(*x)).collect())
                    }
                    Shape::Text { example } | Shape::Choice { example, .. } => {
                        Entry::Text((*example).to_owned())
                    }
                    Shape::Texts { examples } => {
                        Entry::Texts(examples.iter().map(|text| (*text).to_owned()).collect())
                    }
                };
                inputs.with(input.key, entry)
            },
        )
    }

    /// The input with this key.
    pub fn input(&self, key: &str) -> Option<&Input> {
        self.inputs.iter().find(|input| input.key == key)
    }

    /// The result with this id.
    pub fn output(&self, id: &str) -> Option<&Output> {
        self.outputs.iter().find(|output| output.id == id)
    }
}
