//! What was typed into the fields of a formula, as it stands in the address.

use ::bench::{Formula, Input, Shape};
use std::fmt::Write as _;

use crate::routes::escaped;

/// The names of fields that are not inputs. A formula's keys have no underscore, so none can be one of these.
pub const CAR: &str = "at_car";
pub const CHECK: &str = "at_check";
pub const PLACE: &str = "at_place";
pub const DO: &str = "do_it";
pub const NOTE: &str = "a_note";
/// In front of the key of a table's first column.
pub const PASTE: &str = "paste_";

/// Most rows that a table shows; a formula takes no longer list.
const MOST_ROWS: usize = 200;

/// What was typed, field by field in the order in which it was sent.
#[derive(Debug, Clone, Default)]
pub struct Typed(Vec<(String, String)>);

impl Typed {
    /// As sent. What was pasted for a whole table is laid out in its cells.
    pub fn new(formula: &Formula, sent: Vec<(String, String)>) -> Self {
        let mut typed = Self(sent);
        for table in tables(formula) {
            let Some(first) = table.first() else { continue };
            let name = format!("{PASTE}{}", first.key);
            let pasted = typed.first(&name).to_owned();
            typed.0.retain(|(key, _)| *key != name);
            if pasted.trim().is_empty() {
                continue;
            }
            let rows: Vec<Vec<&str>> = pasted
                .lines()
                .take(MOST_ROWS)
                .map(|row| row.split(['\t', ';']).map(str::trim).collect())
                .collect();
            for (nth, column) in table.iter().enumerate() {
                typed.0.retain(|(key, _)| key != column.key);
                let cell = |row: &Vec<&str>| (*row.get(nth).unwrap_or(&"")).to_owned();
                typed.0.extend(rows.iter().map(|row| (column.key.to_owned(), cell(row))));
            }
        }
        typed
    }

    /// An example of a formula.
    pub fn example(formula: &Formula) -> Self {
        let mut all = vec![];
        for input in formula.inputs.iter().filter(|input| input.need != ::bench::Need::Alternative) {
            // In the unit that stands beside the field: bare figures will do.
            let bare = |text: &str| match input.scale() {
                Some(scale) => text.trim_end_matches(scale.unit.symbol()).trim_end().to_owned(),
                None => text.to_owned(),
            };
            let example = input.example();
            if input.list() {
                all.extend(example.split("; ").map(|item| (input.key.to_owned(), bare(item))));
            } else {
                all.push((input.key.to_owned(), bare(&example)));
            }
        }
        Self(all)
    }

    /// The only value of a field; empty when nothing was typed.
    pub fn first(&self, name: &str) -> &str {
        self.0.iter().find(|(key, _)| key == name).map_or("", |(_, text)| text)
    }

    /// The cells of a column, blank ones too, without the blank ones at its end.
    pub fn cells(&self, key: &str) -> Vec<&str> {
        let mut cells: Vec<&str> = self
            .0
            .iter()
            .filter(|(name, _)| name == key)
            .map(|(_, text)| text.trim())
            .take(MOST_ROWS)
            .collect();
        while cells.last().is_some_and(|last| last.is_empty()) {
            cells.pop();
        }
        cells
    }

    /// Each input as the bench reads it; the values of a list on lines of their own.
    pub fn written(&self, formula: &Formula) -> Vec<(&'static str, String)> {
        let text = |input: &Input| {
            if input.list() {
                self.cells(input.key).join("\n")
            } else {
                self.first(input.key).trim().to_owned()
            }
        };
        formula.inputs.iter().map(|input| (input.key, text(input))).collect()
    }

    /// Whether any input was typed.
    pub fn any(&self, formula: &Formula) -> bool {
        self.written(formula).iter().any(|(_, text)| !text.is_empty())
    }

    /// With this in place of what was typed there; a list one value a line.
    pub fn with(mut self, name: &str, text: &str) -> Self {
        self.0.retain(|(key, _)| key != name);
        self.0.extend(text.lines().map(|line| (name.to_owned(), line.to_owned())));
        self
    }

    pub fn without(mut self, name: &str) -> Self {
        self.0.retain(|(key, _)| key != name);
        self
    }

    /// The inputs alone, for an address or for hidden fields.
    pub fn inputs(&self, formula: &Formula) -> Vec<(&'static str, String)> {
        let mut all = vec![];
        for input in &formula.inputs {
            if input.list() {
                all.extend(self.cells(input.key).into_iter().map(|cell| (input.key, cell.to_owned())));
            } else if !self.first(input.key).trim().is_empty() {
                all.push((input.key, self.first(input.key).trim().to_owned()));
            }
        }
        all
    }

    /// What comes behind the address of the formula: its inputs, and the car they are of.
    pub fn query(&self, formula: &Formula) -> String {
        let car = [CAR, CHECK, PLACE].map(|name| (name, self.first(name).to_owned()));
        let car = car.into_iter().filter(|(_, text)| !text.is_empty());
        let mut query = String::new();
        for (name, text) in self.inputs(formula).into_iter().chain(car) {
            let mark = if query.is_empty() { '?' } else { '&' };
            _ = write!(query, "{mark}{name}={}", escaped(&text));
        }
        query
    }
}

/// The lists of a formula that stand beside each other, each table's columns in order.
pub fn tables(formula: &Formula) -> Vec<Vec<&Input>> {
    let mut tables: Vec<(&str, Vec<&Input>)> = vec![];
    for input in formula.inputs.iter().filter(|input| input.list()) {
        let of = input.beside.unwrap_or(input.key);
        match tables.iter_mut().find(|(known, _)| *known == of) {
            Some((_, columns)) => columns.push(input),
            None => tables.push((of, vec![input])),
        }
    }
    tables.into_iter().map(|(_, columns)| columns).collect()
}

/// How many rows a table shows: what is filled in and a little room, at least as many as the example has.
pub fn rows(table: &[&Input], typed: &Typed, more: bool) -> usize {
    let filled = table.iter().map(|column| typed.cells(column.key).len()).max().unwrap_or(0);
    let example = table.iter().map(|column| match &column.shape {
        Shape::Numbers { examples, .. } => examples.len(),
        Shape::Texts { examples } => examples.len(),
        _ => 1,
    });
    let usual = example.max().unwrap_or(1).clamp(3, 8);
    let room = if more { 8 } else { 1 };
    usual.max(filled + if filled == 0 { 0 } else { room }).min(MOST_ROWS)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sent(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect()
    }

    fn thermostat() -> &'static Formula {
        ::bench::formulas()
            .iter()
            .find(|formula| tables(formula).iter().any(|table| table.len() == 2))
            .unwrap()
    }

    #[test]
    fn what_a_spreadsheet_pastes_is_laid_out_in_columns() {
        let formula = ::bench::formula("valve-spring-load-table").unwrap();
        let pasted = "42,0\t170\r\n38,0\t290\r\n34,0\t425\r\n";
        let typed = Typed::new(formula, sent(&[("lengths", "1"), ("paste_lengths", pasted)]));
        assert_eq!(typed.cells("lengths"), ["42,0", "38,0", "34,0"]);
        assert_eq!(typed.cells("loads"), ["170", "290", "425"]);
    }

    #[test]
    fn an_example_goes_through_the_address_and_back() {
        for formula in ::bench::formulas() {
            let example = Typed::example(formula);
            let query = example.query(formula);
            let written = example.written(formula);
            let read = formula.read(written.iter().map(|(key, text)| (*key, text.as_str())));
            assert!(read.is_ok_and(|read| formula.evaluate(&read).is_ok()), "{}", formula.id);
            assert!(query.starts_with('?') && !query.contains(' '), "{query}");
        }
    }

    #[test]
    fn lists_that_stand_beside_each_other_make_one_table() {
        let columns: Vec<_> = tables(thermostat()).iter().map(Vec::len).collect();
        assert!(columns.contains(&2));
        let shims = ::bench::formula("shim-plan").unwrap();
        assert_eq!(tables(shims).iter().map(Vec::len).collect::<Vec<_>>(), [4, 1]);
    }

    #[test]
    fn a_table_has_room_for_more_than_is_filled_in() {
        let formula = ::bench::formula("valve-spring-load-table").unwrap();
        let table = &tables(formula)[0];
        assert_eq!(rows(table, &Typed::default(), false), 4);
        let ten = Typed::default().with("lengths", &"1\n".repeat(10));
        assert_eq!((rows(table, &ten, false), rows(table, &ten, true)), (11, 18));
    }
}
