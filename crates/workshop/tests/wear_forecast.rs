//! The forecast that reaches a verdict, against the model worked out afresh: from the visit files to the chance, nothing is
//! lost or counted twice on the way.

#![allow(clippy::unwrap_used)]

use jiff::civil::Date;
use serde_json::Value;
use statrs::distribution::{ContinuousCDF, Normal};
use support::{SHEET, told_of, visit};

mod support;

/// A path of wear by the equations of the method alone, on a grid so fine that nothing needs to be laid anew:
/// `L(x) = a − b x + σ_B W(x)`, `a ~ N(new, new_sd²)`, `ln b ~ N(ln_rate, ln_rate_sd²)`, readings with own errors and one
/// error that the readings of one instrument share.
struct Model {
    new: f64,
    new_variance: f64,
    ln_rate: f64,
    ln_rate_sd: f64,
    wander_variance: f64,
    x: Vec<f64>,
    y: Vec<f64>,
    own_variance: Vec<f64>,
    shared_variance: f64,
}

impl Model {
    /// Probability of being below `limit` at `x`.
    fn past(&self, limit: f64, at: f64) -> f64 {
        let n = self.x.len();
        let normal = Normal::standard();
        let shared_path = |a: f64, b: f64| self.new_variance + self.wander_variance * a.min(b);
        let covariance: Vec<Vec<f64>> = (0..n)
            .map(|i| {
                let own = |j: usize| if i == j { self.own_variance[i] } else { 0.0 };
                (0..n).map(|j| shared_path(self.x[i], self.x[j]) + self.shared_variance + own(j)).collect()
            })
            .collect();
        let reach: Vec<f64> = self.x.iter().map(|x| shared_path(*x, at)).collect();
        let weights = solve(&covariance, &reach);
        let sd = (self.new_variance + self.wander_variance * at - dot(&weights, &reach)).sqrt();
        const NODES: i32 = 20_001;
        let (mut most, mut terms) = (f64::NEG_INFINITY, Vec::new());
        for node in 0..NODES {
            let z = self.ln_rate + self.ln_rate_sd * (-8.0 + 16.0 * f64::from(node) / f64::from(NODES - 1));
            let rest: Vec<f64> = (0..n).map(|i| self.y[i] - self.new + z.exp() * self.x[i]).collect();
            let misfit = dot(&rest, &solve(&covariance, &rest));
            let weight = -0.5 * (((z - self.ln_rate) / self.ln_rate_sd).powi(2) + misfit);
            let mean = self.new - z.exp() * at + dot(&weights, &rest);
            most = most.max(weight);
            terms.push((weight, normal.cdf((limit - mean) / sd)));
        }
        let total: f64 = terms.iter().map(|(weight, _)| (weight - most).exp()).sum();
        terms.iter().map(|(weight, past)| (weight - most).exp() * past).sum::<f64>() / total
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Gaussian elimination; the matrices here are positive definite and need no pivots.
fn solve(matrix: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let n = right.len();
    let mut rows: Vec<Vec<f64>> =
        matrix.iter().zip(right).map(|(row, r)| [&row[..], &[*r]].concat()).collect();
    for i in 0..n {
        for j in i + 1..n {
            let (above, below) = rows.split_at_mut(j);
            let factor = below[0][i] / above[i][i];
            below[0].iter_mut().zip(&above[i]).for_each(|(low, high)| *low -= factor * high);
        }
    }
    let mut x = vec![0.0; n];
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|j| rows[i][j] * x[j]).sum();
        x[i] = (rows[i][n] - known) / rows[i][i];
    }
    x
}

/// The equations above are those of the published check values: `reference/wear.json`, formulas `log-slope` and `wander`.
#[test]
fn the_model_worked_out_afresh_meets_the_check_values() {
    let rows: Value = serde_json::from_str(include_str!("../../../reference/wear.json")).unwrap();
    let mut checked = 0;
    for row in rows["checks"].as_array().unwrap() {
        let inputs = &row["inputs"];
        if !["log-slope", "wander"].iter().any(|formula| row["formula"] == **formula) || inputs["d"] != -1 {
            continue;
        }
        let number = |key: &str| inputs[key].as_f64();
        let list = |key: &str| {
            inputs[key].as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect::<Vec<_>>()
        };
        let model = Model {
            new: number("ma").unwrap(),
            new_variance: number("sa").unwrap().powi(2),
            ln_rate: number("ml").unwrap(),
            ln_rate_sd: number("sl").unwrap(),
            wander_variance: number("sB2").unwrap_or(0.0),
            x: list("x"),
            y: list("y"),
            own_variance: list("R"),
            shared_variance: 0.0,
        };
        let found = model.past(number("D").unwrap(), number("at").unwrap());
        let wanted = row["expected"]["P"].as_f64().unwrap();
        assert!((found / wanted - 1.0).abs() < 2e-4, "{}: {found} for {wanted}", row["id"]);
        checked += 1;
    }
    assert!(checked >= 8, "{checked}");
}

/// Nine equally probable odometer readings a year ahead: gamma–Poisson use learnt from the car's stretches, moment-matched
/// lognormal. Prior of the sheet 12 000 km/a with variation 0.5; lump 0.16 of the mean; a stretch counts half after six
/// years.
fn odometers(stretches: &[(f64, f64, f64)], last: f64, years: f64) -> Vec<f64> {
    let (mean, variation) = (12_000.0, 0.5_f64);
    let lump = 0.16 * mean;
    let weight = |age: f64| 0.5_f64.powf(age / 6.0) / lump;
    let a = variation.powi(-2) + stretches.iter().map(|(km, _, age)| weight(*age) * km).sum::<f64>();
    let b = variation.powi(-2) / mean + stretches.iter().map(|(_, y, age)| weight(*age) * y).sum::<f64>();
    let ahead = a / b * years;
    let variance = lump * ahead + (a.sqrt() / b * years).powi(2);
    let s2 = (1.0 + variance / ahead.powi(2)).ln();
    let normal = Normal::standard();
    (0..9)
        .map(|q| {
            last + (ahead.ln() - s2 / 2.0 + s2.sqrt() * normal.inverse_cdf((f64::from(q) + 0.5) / 9.0)).exp()
        })
        .collect()
}

#[test]
fn a_disc_is_forecast_as_the_model_says() {
    let read = |mm: &str| format!("[readings]\ndisc-thickness = {{ \"front.left\" = \"{mm} mm\" }}");
    let days =
        ["2020-05-01", "2021-06-01", "2023-04-20", "2025-05-01"].map(|day| day.parse::<Date>().unwrap());
    let story = [
        visit("2020-05-01", 20_000, "[[done]]\noperation = \"renew-discs\""),
        visit("2021-06-01", 32_000, &read("24.76")),
        visit("2023-04-20", 61_000, &read("24.12")),
        visit("2025-05-01", 88_000, &read("23.50")),
    ];
    let judged = told_of("dora", SHEET, &story).judged("disc-thickness", "front.left");

    let km = [20_000.0, 32_000.0, 61_000.0, 88_000.0];
    let years = |from: Date, to: Date| f64::from(from.until(to).unwrap().get_days()) / 365.25;
    let stretches: Vec<(f64, f64, f64)> =
        (1..4).map(|i| (km[i] - km[i - 1], years(days[i - 1], days[i]), years(days[i], days[3]))).collect();
    // Two gaps of more than a year and one of two: the middle one is the habit, and the day is a whole one.
    let mut gaps: Vec<f64> = (1..4).map(|i| years(days[i - 1], days[i])).collect();
    gaps.sort_by(f64::total_cmp);
    let ahead = (gaps[1] * 365.25).round() / 365.25;

    // The caliper of the sheet: 0.03 mm repeatability and 0.02/√12 mm resolution of its own, 0.02/√3 mm shared.
    let model = Model {
        new: 25.0,
        new_variance: 0.1_f64.powi(2) / 3.0,
        ln_rate: (2.0_f64 / 90.0).ln(),
        ln_rate_sd: (1.5_f64.ln() / 1.645).hypot(1.6_f64.ln() / 1.645),
        wander_variance: (0.03_f64 * 2.0).powi(2) / 90.0,
        x: vec![12.0, 41.0, 68.0],
        y: vec![24.76, 24.12, 23.50],
        own_variance: vec![0.03_f64.powi(2) + 0.02_f64.powi(2) / 12.0; 3],
        shared_variance: 0.02_f64.powi(2) / 3.0,
    };
    let chances = odometers(&stretches, 88_000.0, ahead)
        .into_iter()
        .map(|km| model.past(23.0, (km - 20_000.0) / 1000.0));
    let by_hand = chances.sum::<f64>() / 9.0;
    let p_next = judged.p_next.unwrap();
    assert!((0.01..0.9).contains(&by_hand), "{by_hand} tells nothing");
    // Half the engine's promise for chances, and that 1.645 is a rounded quantile.
    assert!((p_next / by_hand - 1.0).abs() < 1e-3, "{p_next} for {by_hand}");
}
