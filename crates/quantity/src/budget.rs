//! The uncertainty budget as a table a person can read.

use crate::{Measurement, Note, Shape, Unit};
use serde::Serialize;
use std::fmt;

/// Where a measurement's uncertainty comes from, largest share first.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget {
    /// The measured value, in `unit`.
    pub value: f64,
    /// Unit of the result.
    pub unit: Unit,
    /// Combined standard uncertainty, in `unit`.
    pub u: f64,
    /// Effective degrees of freedom.
    pub dof: f64,
    /// The sources, largest contribution first.
    pub rows: Vec<BudgetRow>,
    /// What a person should know beside the number.
    pub notes: Vec<Note>,
}

/// One source of uncertainty in the table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetRow {
    /// What it is, in words.
    pub source: String,
    /// How the error is spread.
    pub shape: Shape,
    /// Standard uncertainty of the source.
    pub u: f64,
    /// What one unit of the source does to the result.
    pub sensitivity: f64,
    /// `|c·u|`, in the unit of the result.
    pub contribution: f64,
    /// Part of the variance; the shares of a budget add up to 1.
    pub share: f64,
    /// `None` where infinite.
    pub dof: Option<f64>,
    /// What the error is shared through, if it is.
    pub shared: Option<String>,
}

impl Budget {
    pub(crate) fn of(measurement: &Measurement) -> Budget {
        let u = measurement.u();
        let share = |contribution: f64| if u > 0.0 { (contribution / u).powi(2) } else { 0.0 };
        let mut rows: Vec<BudgetRow> = measurement
            .lines()
            .iter()
            .map(|line| BudgetRow {
                source: line.source.clone(),
                shape: line.shape,
                u: line.u,
                sensitivity: line.sensitivity,
                contribution: line.contribution().abs(),
                share: share(line.contribution()),
                dof: line.dof.is_finite().then_some(line.dof),
                shared: line.shared.clone(),
            })
            .collect();
        rows.sort_by(|a, b| b.contribution.total_cmp(&a.contribution));
        Budget {
            value: measurement.value(),
            unit: measurement.unit(),
            u,
            dof: measurement.dof(),
            rows,
            notes: measurement.notes().to_vec(),
        }
    }
}

/// Three significant digits, without a power of ten where it can be read without.
fn digits(value: f64) -> String {
    let size = value.abs();
    if size == 0.0 {
        return "0".into();
    }
    if (1e-6..1e6).contains(&size) {
        return crate::rounding::to_decimals(value, crate::rounding::decimals_for(size) + 1);
    }
    format!("{value:.2e}")
}

impl fmt::Display for Budget {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let wide =
            self.rows.iter().map(|row| row.source.chars().count()).max().unwrap_or(0).max("source".len());
        writeln!(
            f,
            "{:wide$}  {:11}  {:>11}  {:>11}  {:>12}  share",
            "source", "shape", "u", "sensitivity", "contribution"
        )?;
        for row in &self.rows {
            let BudgetRow { source, u, sensitivity, contribution, share, .. } = row;
            let shape = row.shape.name();
            let (u, sensitivity, contribution) = (digits(*u), digits(*sensitivity), digits(*contribution));
            let percent = 100.0 * share;
            writeln!(
                f,
                "{source:wide$}  {shape:11}  {u:>11}  {sensitivity:>11}  {contribution:>12}  {percent:>3.0} %"
            )?;
        }
        writeln!(f, "{}", crate::measurement::plus_minus(self.value, self.u, self.unit))?;
        for note in &self.notes {
            writeln!(f, "{note}")?;
        }
        Ok(())
    }
}
