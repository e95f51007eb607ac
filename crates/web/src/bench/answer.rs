//! What came of what was typed.

use super::{
    symbols::symbols,
    typed::{Typed, tables},
};
use ::bench::{Assessed, Assessment, Formula, Found, Output, Problem, Readings};
use maud::{Markup, PreEscaped, html};
use workshop::words;

/// What came of what was typed.
pub enum Outcome {
    /// Nothing was typed yet.
    Nothing,
    /// What is typed is right, but not yet enough: the titles of what is missing.
    Missing(Vec<&'static str>),
    Wrong(Vec<Wrong>),
    Worked(Assessment, Readings),
}

/// Something that is wrong: with a field, by its key, or with all together.
pub struct Wrong {
    pub key: Option<&'static str>,
    pub says: String,
}

impl Outcome {
    /// Works the formula out. What is missing is only wrong when the answer was `asked` for.
    pub fn of(formula: &'static Formula, typed: &Typed, asked: bool) -> Self {
        if !asked && !typed.any(formula) {
            return Self::Nothing;
        }
        let gaps = gaps(formula, typed);
        let written = typed.written(formula);
        let read = formula.read_readings(written.iter().map(|(key, text)| (*key, text.as_str())));
        let worked = match read.and_then(|readings| Ok((formula.assess(&readings)?, readings))) {
            Ok((assessment, readings)) if gaps.is_empty() => return Self::Worked(assessment, readings),
            Ok(_) => return Self::Wrong(gaps),
            Err(error) => error,
        };
        let missing: Vec<&'static str> = worked
            .problems()
            .iter()
            .filter(|problem| is_missing(problem))
            .filter_map(Problem::input)
            .collect();
        let wrong: Vec<Wrong> = worked
            .problems()
            .iter()
            .filter(|problem| asked || !is_missing(problem))
            .map(|problem| Wrong {
                key: key_of(formula, problem),
                says: words::sentence(&problem.to_string()),
            })
            .chain(gaps)
            .collect();
        if wrong.is_empty() { Self::Missing(missing) } else { Self::Wrong(wrong) }
    }

    /// What is wrong with a field.
    pub fn wrong_with(&self, key: &str) -> Vec<&str> {
        match self {
            Self::Wrong(wrong) => {
                wrong.iter().filter(|wrong| wrong.key == Some(key)).map(|wrong| wrong.says.as_str()).collect()
            }
            _ => vec![],
        }
    }
}

fn is_missing(problem: &Problem) -> bool {
    matches!(problem, Problem::Missing { .. })
}

fn key_of(formula: &Formula, problem: &Problem) -> Option<&'static str> {
    let title = problem.input()?;
    formula.inputs.iter().find(|input| input.title == title).map(|input| input.key)
}

/// Cells left blank above others: what follows would slip into another row.
fn gaps(formula: &Formula, typed: &Typed) -> Vec<Wrong> {
    let columns = tables(formula).into_iter().flatten();
    columns
        .filter_map(|column| {
            let row = typed.cells(column.key).iter().position(|cell| cell.is_empty())? + 1;
            let says = format!("{}: row {row} is empty. Fill it in, or take the row out.", column.title);
            Some(Wrong { key: Some(column.key), says })
        })
        .collect()
}

/// The drawing of a formula with what is typed so far.
pub fn drawing(formula: &'static Formula, typed: &Typed) -> Markup {
    let written = typed.written(formula);
    let inputs = formula.readable(written.iter().map(|(key, text)| (*key, text.as_str())));
    let answer = formula.evaluate(&inputs).ok();
    html! { @if let Some(svg) = diagrams::draw(formula, &inputs, answer.as_ref()) { (PreEscaped(svg)) } }
}

/// What was decided, in one line, for where there is no room for more.
pub fn in_short(outcome: &Outcome) -> Markup {
    html! {
        @if let Outcome::Worked(assessment, _) = outcome {
            @for (output, assessed) in ordered(assessment).iter().take(1) {
                span { (output.title) }
                b { @match assessed {
                    Assessed::Number(found) => (number(found)),
                    Assessed::Text(text) => (words::upper_first(text)),
                    Assessed::Numbers(all) => { (all.len()) " values" },
                    Assessed::Texts(texts) => (words::count(texts.len(), "line", "lines")),
                } }
            }
        }
    }
}

/// What is decided in words comes first, then the numbers, each as the formula orders them.
fn ordered(assessment: &Assessment) -> Vec<(&'static Output, &Assessed)> {
    let mut all: Vec<_> = assessment.results.iter().map(|(output, assessed)| (*output, assessed)).collect();
    all.sort_by_key(|(_, assessed)| !matches!(assessed, Assessed::Text(_)));
    all
}

/// A result as it is printed: with the sign of a number, not a hyphen.
fn number(found: &Found) -> String {
    signed(&found.to_string())
}

fn signed(text: &str) -> String {
    text.strip_prefix('-').map_or_else(|| text.to_owned(), |size| format!("−{size}"))
}

/// The answer whole.
pub fn view(formula: &'static Formula, typed: &Typed, outcome: &Outcome, example: &str) -> Markup {
    html! {
        @match outcome {
            Outcome::Nothing => p.quiet { "Fill in what you have measured, and the answer stands here. Or see it " a href=(example) { "with an example" } "." },
            Outcome::Missing(titles) => {
                p { b { "Still to fill in" } }
                ul.missing { @for title in titles { li { (title) } } }
            }
            Outcome::Wrong(wrong) => {
                p { b { "No answer yet" } }
                ul.wrong { @for wrong in wrong { li { (wrong.says) } } }
                p.quiet { "What you typed is kept." }
            }
            Outcome::Worked(assessment, readings) => (worked(formula, typed, assessment, readings)),
        }
    }
}

fn worked(formula: &'static Formula, typed: &Typed, assessment: &Assessment, readings: &Readings) -> Markup {
    let uncertain = assessment.results.iter().any(|(_, assessed)| match assessed {
        Assessed::Number(found) => found.measured.u() > 0.0,
        Assessed::Numbers(all) => all.iter().any(|found| found.measured.u() > 0.0),
        Assessed::Text(_) | Assessed::Texts(_) => false,
    });
    html! {
        dl.results {
            @for (output, assessed) in ordered(assessment) {
                div.wide[is_wide(assessed)] {
                    dt { (output.title) @if !output.symbol.is_empty() { " " i.symbol { (symbols(output.symbol)) } } }
                    dd { (result(formula, typed, output, assessed)) }
                }
            }
        }
        @if uncertain {
            p.quiet { "± is one standard uncertainty: about two times in three the true value lies within it." }
        } @else {
            p.quiet { "Write how sure you are behind a measurement, such as 172 ± 1 mm, and the answer says how sure it is." }
        }
        (doubts(formula, assessment, readings))
        (weights(formula, assessment, readings))
        details data-keep="steps" {
            summary { "Step by step" }
            ol.steps { @for step in &assessment.steps { li { (words::upper_first(&step.to_string())) } } }
        }
    }
}

fn result(formula: &Formula, typed: &Typed, output: &Output, assessed: &Assessed) -> Markup {
    let names = |n: usize| names(formula, typed, n);
    html! {
        @match assessed {
            Assessed::Number(found) => (number(found)),
            Assessed::Text(text) => span.words { (words::upper_first(text)) },
            Assessed::Texts(texts) if texts.len() == 1 => span.words { @for text in texts { (words::upper_first(text)) } },
            Assessed::Texts(texts) => ol { @for text in texts { li { (words::upper_first(text)) } } },
            Assessed::Numbers(all) => ul.numbers aria-label=(output.title) {
                @for (name, found) in names(all.len()).iter().zip(aligned(all)) { li { span { (name) } " " b { (signed(&found)) } } }
            },
        }
    }
}

/// A list with as many decimals throughout as the finest of it needs.
fn aligned(all: &[Found]) -> Vec<String> {
    let written: Vec<String> = all.iter().map(ToString::to_string).collect();
    if all.iter().any(|found| found.measured.u() > 0.0) {
        return written;
    }
    let figures =
        |text: &str| text.find(|c: char| !c.is_ascii_digit() && c != '.' && c != '-').unwrap_or(text.len());
    let decimals = |text: &str| {
        let (figures, _) = text.split_at(figures(text));
        figures.split_once('.').map_or(0, |(_, decimals)| decimals.len())
    };
    let most = written.iter().map(|text| decimals(text)).max().unwrap_or(0);
    let padded = |text: &String| {
        let (number, rest) = text.split_at(figures(text));
        let point = if most > 0 && !number.contains('.') { "." } else { "" };
        format!("{number}{point}{}{rest}", "0".repeat(most - decimals(text)))
    };
    written.iter().map(padded).collect()
}

/// Whether a result needs the whole width: more than fits beside its title.
fn is_wide(assessed: &Assessed) -> bool {
    match assessed {
        Assessed::Number(_) | Assessed::Text(_) => false,
        Assessed::Numbers(_) => true,
        Assessed::Texts(texts) => texts.len() != 1 || texts.iter().any(|text| text.chars().count() > 24),
    }
}

/// What the rows of a list are called: by a column of names as long as it, or by their numbers.
fn names(formula: &Formula, typed: &Typed, count: usize) -> Vec<String> {
    let named = formula.inputs.iter().filter(|input| input.list() && input.scale().is_none());
    let found = named.map(|input| typed.cells(input.key)).find(|cells| cells.len() == count);
    match found {
        Some(cells) => cells.into_iter().map(str::to_owned).collect(),
        None => (1..=count).map(|n| n.to_string()).collect(),
    }
}

/// Why the uncertainty of the first result is only rough, if it is.
fn doubts(formula: &'static Formula, assessment: &Assessment, readings: &Readings) -> Markup {
    let first = assessment.results.iter().find_map(|(output, assessed)| match assessed {
        Assessed::Number(found) if found.measured.u() > 0.0 => Some(*output),
        _ => None,
    });
    let doubts =
        first.and_then(|output| formula.doubts(readings, output.id, COVERAGE).ok()).unwrap_or_default();
    html! {
        @if !doubts.is_empty() {
            p.problem { "Take the ± as rough: within it the answer does not follow the measurements in a straight line. Measure more finely, or work out both ends of the range." }
        }
    }
}

/// The probability within which the uncertainty should hold.
const COVERAGE: f64 = 0.95;

/// What matters most to the first number among the results.
fn weights(formula: &Formula, assessment: &Assessment, readings: &Readings) -> Markup {
    let Some((output, found)) = assessment.results.iter().find_map(first_number) else { return html! {} };
    let Some(weights) = found.weights(readings).filter(|weights| weights.of.len() > 1) else {
        return html! {};
    };
    let title = |key: &'static str| formula.input(key).map_or(key, |input| input.title);
    let (silent, telling): (Vec<(&'static str, f64)>, Vec<_>) =
        weights.of.iter().copied().partition(|(_, share)| *share == 0.0);
    let silent: Vec<&str> = silent.iter().map(|(key, _)| title(key)).collect();
    html! {
        section.weights aria-label="What matters most" {
            h3 { "What matters most" }
            p.quiet {
                @if weights.stated { "Where the ± of “" (output.title) "” comes from: measure the first one better." }
                @else { "To “" (output.title) "”, if each were known equally well for its size." }
            }
            ul {
                @for (key, share) in telling {
                    li {
                        span { (title(key)) }
                        svg.share viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true" {
                            rect.whole width="100" height="10" {}
                            rect.part width=(format!("{:.1}", 100.0 * share.clamp(0.0, 1.0))) height="10" {}
                        }
                        b { (percent(share)) }
                    }
                }
            }
            @if !silent.is_empty() {
                p.quiet {
                    @if weights.stated { "Without a ± behind it, or without a say in it: " } @else { "Without a say in it: " }
                    (silent.join("; ")) "."
                }
            }
        }
    }
}

fn first_number<'a>(
    (output, assessed): &'a (&'static Output, Assessed),
) -> Option<(&'static Output, &'a Found)> {
    match assessed {
        Assessed::Number(found) => Some((output, found)),
        Assessed::Numbers(all) => all.first().map(|found| (*output, found)),
        Assessed::Text(_) | Assessed::Texts(_) => None,
    }
}

fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    if percent > 0.0 && percent < 0.5 {
        "< 1 %".into()
    } else {
        format!("{percent:.0} %").replace("-0 ", "0 ")
    }
}
