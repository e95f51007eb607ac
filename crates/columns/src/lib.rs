//! Columns of numbers from a file: comma or semicolon between them, a name over each, decimal comma where semicolons
//! separate. Everything that is wrong is told at once, each with its line.
//!
//! ```
//! use columns::Columns;
//!
//! let seen = Columns::parse("discs.csv", "unit;clock;value\na;12,5;24,1\n", &["unit", "clock", "value"])?;
//! let rows = seen.each(|row| Ok((row.text("unit").to_owned(), row.need("clock")?, row.need("value")?)))?;
//! assert_eq!(rows, [("a".to_owned(), 12.5, 24.1)]);
//! # Ok::<(), columns::ColumnsError>(())
//! ```

use std::{fmt, path::Path};

/// The largest file that is read, in bytes.
const LARGEST: u64 = 256 << 20;
/// After so many problems the rest are only counted.
const TOLD: usize = 20;

/// A table of numbers and texts by column.
#[derive(Debug)]
pub struct Columns {
    path: String,
    names: Vec<String>,
    rows: Vec<csv::StringRecord>,
    decimal_comma: bool,
}

/// Everything that is wrong with a file of columns.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{} {} in {path}", .problems.len(), if .problems.len() == 1 { "problem" } else { "problems" })]
pub struct ColumnsError {
    pub path: String,
    pub problems: Vec<Problem>,
}

/// Something wrong with a file of columns, with the line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    pub line: Option<u64>,
    pub says: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}: {}", self.says),
            None => f.write_str(&self.says),
        }
    }
}

impl Columns {
    /// Reads a file whose first line names its columns.
    ///
    /// # Errors
    /// That it cannot be read, is too large or no text, and as [`Columns::parse`].
    pub fn read(path: &Path, known: &[&str]) -> Result<Self, ColumnsError> {
        Self::parse(&path.display().to_string(), &text_of(path)?, known)
    }

    /// Reads a text whose first line names its columns.
    ///
    /// # Errors
    /// Everything wrong at once: no names, a name twice or unknown, rows of another length.
    pub fn parse(path: &str, text: &str, known: &[&str]) -> Result<Self, ColumnsError> {
        Self::table(path, text, known, |name| known.contains(&name))
    }

    fn table(
        path: &str,
        text: &str,
        known: &[&str],
        is_known: impl Fn(&str) -> bool,
    ) -> Result<Self, ColumnsError> {
        let failed = |problems| ColumnsError { path: path.to_owned(), problems };
        let text = text.trim_start_matches('\u{feff}');
        let head = text.lines().find(|line| !line.starts_with('#')).unwrap_or_default();
        let semicolons = head.matches(';').count() > head.matches(',').count();
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(if semicolons { b';' } else { b',' })
            .trim(csv::Trim::All)
            .flexible(true)
            .comment(Some(b'#'))
            .from_reader(text.as_bytes());
        let mut problems = Vec::new();
        let names: Vec<String> = match reader.headers() {
            Ok(names) if names.iter().any(|name| !name.is_empty()) => {
                names.iter().map(name_in_lower_case).collect()
            }
            _ => {
                let says = format!("the first line must name the columns: {}", known.join(", "));
                return Err(failed(vec![Problem { line: None, says }]));
            }
        };
        for (at, name) in names.iter().enumerate() {
            let says = if names[..at].contains(name) {
                format!("column `{name}` is there twice")
            } else if !is_known(name) {
                format!("no column is called `{name}`: there are {}", known.join(", "))
            } else {
                continue;
            };
            problems.push(Problem { line: Some(1), says });
        }
        let mut rows = Vec::new();
        for row in reader.records() {
            match row {
                Ok(row) if row.len() == names.len() => rows.push(row),
                Ok(row) => problems.push(Problem {
                    line: row.position().map(csv::Position::line),
                    says: format!("has {} columns, the first line names {}", row.len(), names.len()),
                }),
                Err(error) => problems.push(Problem {
                    line: error.position().map(csv::Position::line),
                    says: "cannot be read as columns".into(),
                }),
            }
        }
        if rows.is_empty() && problems.is_empty() {
            problems.push(Problem { line: None, says: "there is no row below the names".into() });
        }
        if problems.is_empty() {
            Ok(Self { path: path.to_owned(), names, rows, decimal_comma: semicolons })
        } else {
            Err(failed(problems))
        }
    }

    /// Reads every row; what is wrong in any is told together.
    ///
    /// # Errors
    /// [`ColumnsError`].
    pub fn each<T>(&self, read: impl Fn(&Row<'_>) -> Result<T, String>) -> Result<Vec<T>, ColumnsError> {
        let mut problems = Vec::new();
        let mut all = Vec::with_capacity(self.rows.len());
        for record in &self.rows {
            match read(&Row { columns: self, record }) {
                Ok(row) => all.push(row),
                Err(says) => {
                    problems.push(Problem { line: record.position().map(csv::Position::line), says });
                }
            }
        }
        if problems.is_empty() { Ok(all) } else { Err(ColumnsError { path: self.path.clone(), problems }) }
    }
}

/// One column as written, with the unit that its name may carry: "lift (mm)".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    pub unit: Option<String>,
    pub cells: Vec<String>,
}

impl Column {
    /// Reads the column of this name from a file; a file's only column may be called anything.
    ///
    /// # Errors
    /// As [`Columns::read`], and when there is no such column or a cell is empty.
    pub fn read(path: &Path, name: &str) -> Result<Self, ColumnsError> {
        Self::parse(&path.display().to_string(), &text_of(path)?, name)
    }

    /// As [`Column::read`], of a text.
    ///
    /// # Errors
    /// As [`Column::read`].
    pub fn parse(path: &str, text: &str, name: &str) -> Result<Self, ColumnsError> {
        let table = Columns::table(path, text, &[name], |_| true)?;
        let failed =
            |line, says| ColumnsError { path: path.to_owned(), problems: vec![Problem { line, says }] };
        let heads: Vec<(&str, Option<&str>)> = table.names.iter().map(|head| name_and_unit(head)).collect();
        let at = match heads.iter().position(|(head, _)| *head == name.to_lowercase()) {
            Some(at) => at,
            None if heads.len() == 1 => 0,
            None => {
                let there: Vec<&str> = heads.iter().map(|(head, _)| *head).collect();
                return Err(failed(
                    Some(1),
                    format!("no column is called `{name}`: there are {}", there.join(", ")),
                ));
            }
        };
        let unit = heads[at].1.map(str::to_owned);
        let cells = table.each(|row| match row.record.get(at) {
            Some(cell) if !cell.is_empty() => Ok(cell.to_owned()),
            _ => Err(format!("`{name}` is empty")),
        })?;
        Ok(Self { unit, cells })
    }
}

/// "Lift (Nm)" as "lift (Nm)": units mind their case.
fn name_in_lower_case(head: &str) -> String {
    let name = name_and_unit(head).0;
    head.replacen(name, &name.to_lowercase(), 1)
}

/// "lift (mm)" as "lift" and "mm".
fn name_and_unit(head: &str) -> (&str, Option<&str>) {
    let split = head.strip_suffix([')', ']']).and_then(|rest| rest.rsplit_once(['(', '[']));
    split.map_or((head, None), |(name, unit)| (name.trim(), Some(unit.trim())))
}

/// The text of a file of a size that can be worked on.
fn text_of(path: &Path) -> Result<String, ColumnsError> {
    let alone = |says: String| ColumnsError {
        path: path.display().to_string(),
        problems: vec![Problem { line: None, says }],
    };
    let size = path.metadata().map_err(|error| alone(format!("the file cannot be read: {error}")))?.len();
    if size > LARGEST {
        return Err(alone(format!("the file has more than {LARGEST} bytes: split it")));
    }
    let text = std::fs::read(path).map_err(|error| alone(format!("the file cannot be read: {error}")))?;
    String::from_utf8(text).map_err(|_| alone("the file is not UTF-8 text".into()))
}

/// One row of columns.
pub struct Row<'a> {
    columns: &'a Columns,
    record: &'a csv::StringRecord,
}

impl Row<'_> {
    /// The text of a column; empty when the file does not have it.
    pub fn text(&self, name: &str) -> &str {
        let at = self.columns.names.iter().position(|known| known == name);
        at.and_then(|at| self.record.get(at)).unwrap_or_default()
    }

    /// The number of a column; `None` when empty or absent.
    ///
    /// # Errors
    /// That it is no number, in words.
    pub fn number(&self, name: &str) -> Result<Option<f64>, String> {
        let text = self.text(name);
        if text.is_empty() {
            return Ok(None);
        }
        let plain = if self.columns.decimal_comma { text.replace(',', ".") } else { text.to_owned() };
        match plain.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(Some(number)),
            _ => Err(format!("`{name}` is `{text}`, which is no number")),
        }
    }

    /// The number of a column that must be there.
    ///
    /// # Errors
    /// That it is missing or no number, in words.
    pub fn need(&self, name: &str) -> Result<f64, String> {
        self.number(name)?.ok_or_else(|| format!("`{name}` is missing"))
    }
}

/// The problems that are told one by one, and how many more there are.
pub fn told(problems: &[Problem]) -> (&[Problem], usize) {
    let n = problems.len().min(TOLD);
    (&problems[..n], problems.len() - n)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn columns(text: &str) -> Result<Columns, ColumnsError> {
        Columns::parse("file.csv", text, &["unit", "clock", "value"])
    }

    fn numbers(text: &str) -> Vec<Option<f64>> {
        columns(text).unwrap().each(|row| row.number("value")).unwrap()
    }

    #[test]
    fn commas_or_semicolons_with_a_decimal_comma() {
        assert_eq!(numbers("unit,clock,value\na,1,2.5\na,2,\n"), [Some(2.5), None]);
        assert_eq!(numbers("unit;clock;value\na;1;2,5\n"), [Some(2.5)]);
        assert_eq!(numbers("\u{feff}Value\n# a remark\n7\n"), [Some(7.0)]);
    }

    #[test]
    fn one_column_is_taken_by_its_name_with_its_unit() {
        let lift = Column::parse("cam.csv", "Angle (deg);Lift (mm)\n0;0,00\n10;1,25\n", "lift").unwrap();
        assert_eq!(
            (lift.unit.as_deref(), lift.cells),
            (Some("mm"), vec!["0,00".to_owned(), "1,25".to_owned()])
        );
        let only = Column::parse("cam.csv", "# a; b\nmoment [N.m]\n3\n", "torque").unwrap();
        assert_eq!(only.unit.as_deref(), Some("N.m"));
        let says = |text| Column::parse("cam.csv", text, "lift").unwrap_err().problems[0].to_string();
        assert_eq!(says("a,b\n1,2\n"), "line 1: no column is called `lift`: there are a, b");
        assert_eq!(says("a,lift\n1,\n"), "line 2: `lift` is empty");
    }

    #[test]
    fn everything_wrong_is_told_with_its_line() {
        let told = |text: &str| match columns(text).and_then(|columns| columns.each(|row| row.need("value")))
        {
            Err(ColumnsError { problems, .. }) => {
                problems.iter().map(ToString::to_string).collect::<Vec<_>>()
            }
            other => panic!("{other:?}"),
        };
        assert_eq!(
            told("unit,valeu\na,1\n"),
            ["line 1: no column is called `valeu`: there are unit, clock, value"]
        );
        assert_eq!(
            told("unit,value\na,x\nb,\nc,3\n"),
            ["line 2: `value` is `x`, which is no number", "line 3: `value` is missing"]
        );
        assert_eq!(told("unit,value\na\n"), ["line 2: has 1 columns, the first line names 2"]);
        assert_eq!(told("unit,value\n"), ["there is no row below the names"]);
        assert_eq!(told(""), ["the first line must name the columns: unit, clock, value"]);
    }
}
