//! Where an answer parts from the value expected.

use crate::Tolerance;
use serde_json::Value;

/// Even an exact identity is allowed the last bits of a `f64`, and half the last of twelve printed digits.
const LAST_BITS: f64 = 5e-12;

/// The first place where `got` parts from `want`, in words; `None` when they agree. Names in `got` that `want` does
/// not ask for are let pass.
pub(crate) fn difference(want: &Value, got: &Value, tolerance: Tolerance) -> Option<String> {
    at("", want, got, tolerance)
}

fn at(path: &str, want: &Value, got: &Value, tolerance: Tolerance) -> Option<String> {
    match (want, got) {
        (Value::Object(want), Value::Object(got)) => want.iter().find_map(|(name, want)| {
            let path = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
            at(&path, want, got.get(name).unwrap_or(&Value::Null), tolerance)
        }),
        (Value::Array(want), Value::Array(got)) if want.len() == got.len() => want
            .iter()
            .zip(got)
            .enumerate()
            .find_map(|(index, (want, got))| at(&format!("{path}[{index}]"), want, got, tolerance)),
        (Value::Number(want), Value::Number(got)) => {
            let (want, got) = (want.as_f64()?, got.as_f64()?);
            let allowed = tolerance.abs.max(tolerance.rel * want.abs()).max(LAST_BITS * want.abs().max(1.0));
            let apart = (got - want).abs();
            (apart.is_nan() || apart > allowed)
                .then(|| format!("{path}: got {got}, want {want}, {apart:e} apart, {allowed:e} allowed"))
        }
        (want, got) => (want != got).then(|| format!("{path}: got {got}, want {want}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_number_may_be_off_by_the_tolerance_and_no_more() {
        let tolerance = Tolerance { abs: 0.01, rel: 0.0 };
        assert_eq!(difference(&json!({ "u": 1.0 }), &json!({ "u": 1.009 }), tolerance), None);
        assert!(difference(&json!({ "u": 1.0 }), &json!({ "u": 1.02 }), tolerance).is_some());
    }

    #[test]
    fn a_missing_name_or_another_text_is_a_difference() {
        let tolerance = Tolerance::default();
        assert!(difference(&json!({ "u": 1.0 }), &json!({}), tolerance).is_some());
        assert!(difference(&json!({ "says": "pass" }), &json!({ "says": "fail" }), tolerance).is_some());
    }
}
