//! The fields of a formula: one for each input, and a small table where lists stand beside each other.

use super::{
    answer::Outcome,
    symbols::symbols,
    typed::{DO, PASTE, Typed, rows, tables},
};
use ::bench::{Formula, Input, Need, Shape};
use maud::{Markup, html};
use quantity::Unit;
use workshop::words;

/// All fields in the order of the formula; `came` says where a field's value came from.
pub fn view(
    formula: &'static Formula,
    typed: &Typed,
    outcome: &Outcome,
    came: &dyn Fn(&str) -> Option<String>,
    more: bool,
) -> Markup {
    let tables = tables(formula);
    let begins =
        |input: &Input| tables.iter().find(|table| table.first().is_some_and(|first| first.key == input.key));
    html! {
        @for input in &formula.inputs {
            @if let Some(table) = begins(input) { (grid(table, typed, outcome, more)) }
            @else if !input.list() { (field(input, typed, outcome, came(input.key))) }
        }
    }
}

fn field(input: &Input, typed: &Typed, outcome: &Outcome, came: Option<String>) -> Markup {
    let id = format!("in-{}", input.key);
    let wrong = outcome.wrong_with(input.key);
    let described = format!("{id}-wrong {id}-help");
    let invalid = (!wrong.is_empty()).then_some("true");
    let value = typed.first(input.key);
    html! {
        div.field {
            label for=(id) { (label(input)) }
            @match &input.shape {
                Shape::Choice { choices, .. } => {
                    select id=(id) name=(input.key) aria-invalid=[invalid] aria-describedby=(described) {
                        option value="" { "–" }
                        @for choice in *choices { option value=(choice) selected[value == *choice] { (choice) } }
                    }
                }
                _ => {
                    div.measure.own-unit[value.chars().any(char::is_alphabetic)] {
                        input id=(id) name=(input.key) value=(value) autocomplete="off" autocapitalize="off" spellcheck="false"
                            inputmode=[input.scale().map(|_| "text")] aria-invalid=[invalid] aria-describedby=(described);
                        @if let Some(unit) = unit(input) { span.unit aria-hidden="true" { (unit) } }
                    }
                }
            }
            (wrongs(&id, &wrong))
            p.help id={ (id) "-help" } {
                (help(input))
                @if let Some(came) = came { " " span.came { (came) } }
            }
        }
    }
}

/// What is wrong with a field; there, though empty, for the script to fill.
fn wrongs(id: &str, wrong: &[&str]) -> Markup {
    html! { p.problem id={ (id) "-wrong" } hidden[wrong.is_empty()] { (wrong.join(" ")) } }
}

fn label(input: &Input) -> Markup {
    html! { (input.title) @if !input.symbol.is_empty() { " " i.symbol { (symbols(input.symbol)) } } }
}

/// The unit that a bare figure is taken to be in.
fn unit(input: &Input) -> Option<Unit> {
    input.scale().map(|scale| scale.unit).filter(|unit| *unit != Unit::ONE && *unit != Unit::COUNT)
}

fn help(input: &Input) -> String {
    let mut says = match &input.shape {
        Shape::Number(scale) => words::upper_first(&scale.range()),
        Shape::Numbers { scale, least, .. } if *least > 1 => {
            format!("At least {least}, each {}", scale.range())
        }
        Shape::Numbers { scale, .. } => format!("Each {}", scale.range()),
        Shape::Text { example } => format!("Such as {example}"),
        Shape::Texts { .. } | Shape::Choice { .. } => String::new(),
    };
    let need = match input.need {
        Need::Required => String::new(),
        Need::Default(value) => match unit(input) {
            Some(unit) if unit == Unit::DEG => format!("{value}° if left blank"),
            Some(unit) => format!("{value} {unit} if left blank"),
            None => format!("{value} if left blank"),
        },
        Need::Optional => "may be left blank".into(),
        Need::Alternative => "in place of another".into(),
    };
    if says.is_empty() {
        says = words::upper_first(&need);
    } else if !need.is_empty() {
        says += &format!("; {need}");
    }
    says
}

/// Lists beside each other, a row of cells for each place.
fn grid(table: &[&Input], typed: &Typed, outcome: &Outcome, more: bool) -> Markup {
    let Some(first) = table.first() else { return html! {} };
    let rows = rows(table, typed, more);
    let cells: Vec<Vec<&str>> = table.iter().map(|column| typed.cells(column.key)).collect();
    let cell =
        |column: usize, row: usize| cells.get(column).and_then(|cells| cells.get(row)).copied().unwrap_or("");
    let title = table.iter().map(|column| column.title).collect::<Vec<_>>().join(", ");
    html! {
        fieldset.grid data-grid {
            legend { @if table.len() == 1 { (label(first)) } @else { span.hidden { (title) } } }
            div.scroll {
                table aria-label=(title) {
                    thead {
                        tr {
                            th scope="col" { span.hidden { "Row" } }
                            @for column in table {
                                th scope="col" id={ "in-" (column.key) } {
                                    @if table.len() > 1 { (label(column)) }
                                    @if let Some(unit) = unit(column) { span.unit { @if table.len() > 1 { ", " } (unit) } }
                                }
                            }
                        }
                    }
                    tbody {
                        @for row in 0..rows {
                            tr {
                                th scope="row" { (row + 1) }
                                @for (nth, column) in table.iter().enumerate() {
                                    @let invalid = (!outcome.wrong_with(column.key).is_empty()).then_some("true");
                                    td { input name=(column.key) value=(cell(nth, row)) autocomplete="off" autocapitalize="off" spellcheck="false"
                                        aria-label={ (column.title) ", row " (row + 1) } aria-invalid=[invalid]; }
                                }
                            }
                        }
                    }
                }
            }
            @for column in table {
                (wrongs(&format!("in-{}", column.key), &outcome.wrong_with(column.key)))
            }
            @for column in table { p.help { @if table.len() > 1 { (column.title) ": " (words::lower_first(&help(column))) } @else { (help(column)) } } }
            div.grid-acts {
                button name=(DO) value="more" formnovalidate { "More rows" }
                details.paste {
                    summary { "Paste from a spreadsheet" }
                    label for={ "paste-" (first.key) } {
                        @if table.len() > 1 { "Columns in the order of the table: " (title.to_lowercase()) } @else { "One value a line" }
                    }
                    textarea id={ "paste-" (first.key) } name={ (PASTE) (first.key) } rows="3" spellcheck="false" {}
                    button name=(DO) value="paste" { "Fill the table" }
                }
            }
        }
    }
}
