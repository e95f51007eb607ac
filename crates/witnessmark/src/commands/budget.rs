//! An uncertainty budget in JSON.

use super::rounded;
use quantity::Measurement;
use serde_json::{Value, json};

/// The budget, row by row, the largest contribution first.
pub fn rows(measured: &Measurement) -> Vec<Value> {
    let rows = measured.budget().rows;
    rows.iter()
        .map(|row| {
            json!({
                "source": row.source, "distribution": row.shape.name(), "u": rounded(row.u),
                "sensitivity": rounded(row.sensitivity), "contribution": rounded(row.contribution),
                "share": rounded(row.share), "dof": row.dof,
            })
        })
        .collect()
}
