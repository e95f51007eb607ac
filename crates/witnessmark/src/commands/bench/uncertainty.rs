//! `witnessmark uncertainty`: the budget of a formula's result, and whether first order is good enough for it.

use super::{formula, given, print_json, rounded};
use crate::arguments::Uncertainty;
use crate::error::{Failed, WrongArgument};
use crate::output::say;
use ::bench::{Assessed, Formula, Found, Output, Readings};
use quantity::rounding::{decimals_for, to_decimals};
use quantity::{Comparison, Doubt, Expanded, Sampled, Trials, UncertaintyError};
use serde_json::{Value, json};

/// JCGM 101:2008 8.1 compares to one or two significant digits of u; one is what a workshop reads.
const DIGITS: u32 = 1;

/// A number among the results with all that is known of its uncertainty.
struct Told {
    output: &'static Output,
    found: Found,
    expanded: Expanded,
    doubts: Vec<Doubt>,
    drawn: Option<Drawn>,
}

/// The result drawn from whole distributions, beside the first-order one.
struct Drawn {
    sampled: Sampled,
    interval: (f64, f64),
    shortest: (f64, f64),
    comparison: Comparison,
}

pub fn run(of: &Uncertainty) -> Result<(), Failed> {
    let p = of.coverage;
    if !(p > 0.0 && p < 1.0) {
        return Err(WrongArgument::new("coverage", &p.to_string(), "write a probability such as 0.95").into());
    }
    let formula = formula(&of.formula)?;
    let readings = given::readings(formula, &of.given)?;
    let assessment = formula.assess(&readings).map_err(given::refused(formula))?;
    let mut all = vec![];
    for (output, assessed) in assessment.results {
        if let Assessed::Number(found) = assessed {
            all.push(told(of, formula, &readings, output, found)?);
        }
    }
    if of.output.json {
        let results: Vec<Value> = all.iter().map(|told| told.json(p)).collect();
        print_json(&json!({ "formula": formula.id, "results": results, "source": formula.source }));
    } else {
        say!("{}\n{}", formula.title, formula.equation);
        all.iter().for_each(|told| told.print(p));
    }
    Ok(())
}

fn told(
    of: &Uncertainty,
    formula: &'static Formula,
    readings: &Readings,
    output: &'static Output,
    found: Found,
) -> Result<Told, Failed> {
    let p = of.coverage;
    let refused = |error: UncertaintyError| {
        Failed::from(WrongArgument::new("uncertainty that can be worked with", output.title, error))
    };
    let expanded = found.measured.expanded(p).map_err(refused)?;
    let doubts = formula.doubts(readings, output.id, p).map_err(given::refused(formula))?;
    let drawn = match of.monte_carlo {
        None => None,
        Some(count) => {
            let trials = Trials { count, ..Trials::default() };
            let sampled = formula.sampled(readings, output.id, trials).map_err(given::refused(formula))?;
            Some(Drawn {
                interval: sampled.interval(p).map_err(refused)?,
                shortest: sampled.shortest_interval(p).map_err(refused)?,
                comparison: sampled.compare(&found.measured, p, DIGITS).map_err(refused)?,
                sampled,
            })
        }
    };
    Ok(Told { output, found, expanded, doubts, drawn })
}

impl Told {
    fn json(&self, p: f64) -> Value {
        let measured = &self.found.measured;
        json!({
            "id": self.output.id,
            "value": measured.value(),
            "unit": measured.unit(),
            "u": rounded(measured.u()),
            "dof": measured.dof().is_finite().then(|| rounded(measured.dof())),
            "coverage": p,
            "k": rounded(self.expanded.k),
            "expanded": rounded(self.expanded.half_width),
            "budget": super::super::budget::rows(measured),
            "doubts": self.doubts.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "monte_carlo": self.drawn.as_ref().map(Drawn::json),
        })
    }

    fn print(&self, p: f64) {
        let measured = &self.found.measured;
        say!("\n{}", self.output.title);
        say!("{}", measured.budget().to_string().trim_end());
        if measured.u() > 0.0 {
            let dof = if measured.dof().is_finite() {
                format!(", {:.1} degrees of freedom", measured.dof())
            } else {
                String::new()
            };
            let per = format!("{:.4}", 100.0 * p);
            let per = per.trim_end_matches('0').trim_end_matches('.');
            say!(
                "{per} % within ± {} (k = {:.2}{dof})",
                quantity_of(self.expanded.half_width, measured.unit()),
                self.expanded.k
            );
        }
        self.doubts.iter().for_each(|doubt| say!("{}", workshop::words::upper_first(&doubt.to_string())));
        if let Some(drawn) = &self.drawn {
            drawn.print(measured.unit());
        }
    }
}

/// Two significant digits, as an uncertainty is written.
fn quantity_of(value: f64, unit: quantity::Unit) -> String {
    format!("{} {unit}", to_decimals(value, decimals_for(value)))
}

impl Drawn {
    fn json(&self) -> Value {
        let Comparison { low_apart, high_apart, tolerance } = self.comparison;
        json!({
            "trials": self.sampled.trials(),
            "mean": self.sampled.mean(),
            "u": rounded(self.sampled.u()),
            "interval": [self.interval.0, self.interval.1],
            "shortest": [self.shortest.0, self.shortest.1],
            "tolerance": rounded(tolerance),
            "low_apart": rounded(low_apart),
            "high_apart": rounded(high_apart),
            "agrees": self.comparison.agrees(),
        })
    }

    fn print(&self, unit: quantity::Unit) {
        let Comparison { low_apart, high_apart, tolerance } = self.comparison;
        let q = |value| quantity_of(value, unit);
        say!(
            "Drawn {} times: u {}, its ends {} and {} from those of first order",
            self.sampled.trials(),
            q(self.sampled.u()),
            q(low_apart),
            q(high_apart)
        );
        if self.comparison.agrees() {
            say!("That is within {}, half a step of the first digit of u: it is good enough", q(tolerance));
        } else {
            let (low, high) = self.interval;
            let end = |at| to_decimals(at, decimals_for(self.sampled.u()));
            say!(
                "That is more than {}: take what was drawn, {} to {} {unit}",
                q(tolerance),
                end(low),
                end(high)
            );
        }
    }
}
