//! Figures read from what benches and peers print.

use std::fmt;

/// One measured number.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// `<room>/<what>/<argument>`.
    pub id: String,
    /// The median where there are several samples.
    pub value: Measure,
    /// The slowest sample, where the table tells it.
    pub slowest: Option<Measure>,
    /// By what means, told by peers.
    pub by: String,
}

/// A number with its unit; times are held in seconds.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    pub value: f64,
    pub unit: String,
}

/// Units of time and their length in seconds, smallest first.
const TIMES: [(&str, f64); 6] =
    [("ps", 1e-12), ("ns", 1e-9), ("µs", 1e-6), ("ms", 1e-3), ("s", 1.0), ("m", 60.0)];

impl Measure {
    /// A value above zero in a unit: a time, or any other word.
    pub fn new(value: &str, unit: &str) -> Option<Self> {
        let value: f64 = value.replace(',', "").parse().ok()?;
        let unit = if unit == "us" { "µs" } else { unit };
        let known = value.is_finite() && value >= 0.0 && !unit.is_empty();
        known.then(|| match TIMES.iter().find(|(name, _)| *name == unit) {
            Some((_, seconds)) => Self { value: value * seconds, unit: "s".into() },
            None => Self { value, unit: unit.into() },
        })
    }

    /// As printed: `1.204 µs`.
    fn read(text: &str) -> Option<Self> {
        let (value, unit) = text.trim().split_once(' ')?;
        Self::new(value, unit.trim())
    }

    /// How many times the other this is; nothing when they are not of one kind.
    pub fn over(&self, other: &Self) -> Option<f64> {
        (self.unit == other.unit && other.value > 0.0).then(|| self.value / other.value)
    }
}

impl fmt::Display for Measure {
    /// Three digits, in the unit that suits them.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let of_time = TIMES[..5].iter().rev().find(|(_, seconds)| self.value >= 0.9995 * seconds);
        let (value, unit) = match of_time.filter(|_| self.unit == "s") {
            Some((unit, seconds)) => (self.value / seconds, *unit),
            None => (self.value, self.unit.as_str()),
        };
        let digits = match value {
            value if value < 9.995 => 2,
            value if value < 99.95 => 1,
            _ => 0,
        };
        write!(f, "{value:.digits$} {unit}")
    }
}

/// The figures of a table as divan prints it: a tree of names, each leaf with its samples beside it.
pub fn table(room: &str, told: &str) -> Vec<Figure> {
    let mut path: Vec<&str> = vec![];
    let mut figures = vec![];
    for line in told.lines() {
        let Some((at, branch)) = ["├─ ", "╰─ "].iter().find_map(|branch| Some((line.find(branch)?, branch)))
        else {
            continue;
        };
        let depth = line[..at].chars().count() / 3;
        let rest = &line[at + branch.len()..];
        let (name, cells) = rest.split_once("  ").unwrap_or((rest, ""));
        path.truncate(depth);
        path.push(name.trim());
        let cells: Vec<_> = cells.split('│').map(Measure::read).collect();
        if let [_, slowest, Some(median), ..] = cells.as_slice() {
            figures.push(Figure {
                id: format!("{room}/{}", path.join("/")),
                value: median.clone(),
                slowest: slowest.clone(),
                by: String::new(),
            });
        }
    }
    figures
}

/// The lines `figure <room>/<what> <value> <unit> [<by what>]`.
///
/// # Errors
/// All lines that begin so and do not go on so.
pub fn lines(told: &str) -> Result<Vec<Figure>, Vec<String>> {
    let (mut figures, mut wrong) = (vec![], vec![]);
    for line in told.lines().filter(|line| line.starts_with("figure ")) {
        match line_figure(line) {
            Some(figure) => figures.push(figure),
            None => wrong.push(format!(
                "`{line}` is no figure; it goes `figure <room>/<what> <value> <unit> [<by what>]`"
            )),
        }
    }
    if wrong.is_empty() { Ok(figures) } else { Err(wrong) }
}

fn line_figure(line: &str) -> Option<Figure> {
    let mut words = line.split_whitespace().skip(1);
    let (id, value, unit) = (words.next()?, words.next()?, words.next()?);
    let by = words.collect::<Vec<_>>().join(" ");
    Some(Figure { id: id.into(), value: Measure::new(value, unit)?, slowest: None, by })
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = "\
Timer precision: 20 ns
read                           fastest       │ slowest       │ median        │ mean          │ samples │ iters
├─ a_sheet_that_is_right                     │               │               │               │         │
│  ├─ 150                      1.2 ms        │ 2.4 ms        │ 1.31 ms       │ 1.4 ms        │ 100     │ 100
│  │                           12 Kitem/s    │ 9 Kitem/s     │ 11 Kitem/s    │ 10 Kitem/s    │         │
│  ╰─ (40, 40, 4)              14.06 ms      │ 15 ms         │ 14.5 ms       │ 14.6 ms       │ 100     │ 100
├─ of_none                     (ignored)     │               │               │               │         │
╰─ alone                       1.204 µs      │ 5.1 µs        │ 1.3 µs        │ 1.4 µs        │ 100     │ 6400
";

    #[test]
    fn a_table_gives_the_median_of_each_leaf_under_its_whole_name() {
        let figures = table("sheet", TABLE);
        let told: Vec<_> = figures.iter().map(|figure| format!("{} {}", figure.id, figure.value)).collect();
        assert_eq!(
            told,
            [
                "sheet/a_sheet_that_is_right/150 1.31 ms",
                "sheet/a_sheet_that_is_right/(40, 40, 4) 14.5 ms",
                "sheet/alone 1.30 µs"
            ]
        );
        assert_eq!(figures[2].slowest.as_ref().unwrap().to_string(), "5.10 µs");
    }

    #[test]
    fn lines_give_figures_of_any_unit_and_all_that_is_wrong_is_told() {
        let figures =
            lines("so far\nfigure web/memory 96 MiB\nfigure planner/tight 853 ms solver 1.16\n").unwrap();
        assert_eq!(figures[0].value.to_string(), "96.0 MiB");
        assert_eq!((figures[1].value.value, figures[1].by.as_str()), (0.853, "solver 1.16"));
        let wrong =
            lines("figure web/memory much\nfigure web/p99 x ms\nfigure web/start 80 ms\n").unwrap_err();
        assert_eq!(wrong.len(), 2);
    }

    #[test]
    fn measures_are_printed_with_three_digits_and_compared_in_one_unit() {
        let seconds = |value| Measure { value, unit: "s".into() };
        assert_eq!(seconds(0.0123456).to_string(), "12.3 ms");
        assert_eq!(seconds(123.456e-9).to_string(), "123 ns");
        assert_eq!(seconds(0.9999).to_string(), "1.00 s");
        assert_eq!(seconds(90.0).to_string(), "90.0 s");
        assert_eq!(seconds(0.0).to_string(), "0.00 s");
        assert_eq!(seconds(0.003).over(&Measure::new("6", "ms").unwrap()), Some(0.5));
        assert_eq!(seconds(0.003).over(&Measure::new("6", "MiB").unwrap()), None);
    }
}
