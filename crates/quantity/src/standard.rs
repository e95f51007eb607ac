//! Standard uncertainties from what is known: repeats, half widths, certificates.

use crate::UncertaintyError;
use crate::distribution::student_quantile;
use serde::{Deserialize, Serialize};

/// How an error is spread over the values it may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// Bell-shaped; Student's when its degrees of freedom are few.
    Normal,
    /// Anywhere within the half width alike.
    Rectangular,
    /// Most likely in the middle, never beyond the half width.
    Triangular,
    /// A cyclic influence, mostly near its ends.
    Arcsine,
}

impl Shape {
    pub const ALL: [Shape; 4] = [Shape::Normal, Shape::Rectangular, Shape::Triangular, Shape::Arcsine];

    /// Half width over standard uncertainty; 1 for the normal shape, which has no half width.
    ///
    /// Source: JCGM 100:2008 4.3.7 (√3), 4.3.9 (√6), H.1.3.4 (√2).
    pub fn half_widths(self) -> f64 {
        match self {
            Shape::Normal => 1.0,
            Shape::Rectangular => 3f64.sqrt(),
            Shape::Triangular => 6f64.sqrt(),
            Shape::Arcsine => 2f64.sqrt(),
        }
    }

    /// Standard uncertainty of an error with this half width: `u = a/√3`, `a/√6`, `a/√2`; for the normal shape `a` is
    /// taken to be the standard uncertainty itself.
    ///
    /// # Errors
    /// [`UncertaintyError::Negative`].
    pub fn standard(self, half_width: f64) -> Result<f64, UncertaintyError> {
        Ok(not_negative("half width", half_width)? / self.half_widths())
    }

    /// The shape in words.
    pub fn name(self) -> &'static str {
        match self {
            Shape::Normal => "normal",
            Shape::Rectangular => "rectangular",
            Shape::Triangular => "triangular",
            Shape::Arcsine => "arcsine",
        }
    }
}

/// Standard uncertainty from the smallest step an instrument shows: `u = r/√12`.
///
/// # Errors
/// [`UncertaintyError::Negative`].
///
/// Source: JCGM 100:2008 F.2.2.1. Checked: `reference/metrology.json`, formula `resolution`.
pub fn from_resolution(step: f64) -> Result<f64, UncertaintyError> {
    Ok(not_negative("resolution", step)? / 12f64.sqrt())
}

/// Standard uncertainty from a certificate: `u = U/k`.
///
/// # Errors
/// [`UncertaintyError::Negative`], [`UncertaintyError::NotPositive`].
///
/// Source: JCGM 100:2008 4.3.3. Checked: `reference/metrology.json`, formula `cert`.
pub fn from_certificate(expanded: f64, k: f64) -> Result<f64, UncertaintyError> {
    Ok(not_negative("expanded uncertainty", expanded)? / above_zero("coverage factor", k)?)
}

/// Repeated readings of one thing, in figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeats {
    /// How many.
    pub n: usize,
    /// Their mean.
    pub mean: f64,
    /// Standard deviation of one reading; `None` for a single one.
    pub s: Option<f64>,
    /// `n − 1`.
    pub dof: f64,
}

impl Repeats {
    /// Mean and standard deviation: `s² = Σ(x − x̄)²/(n − 1)`.
    ///
    /// # Errors
    /// [`UncertaintyError::NoReadings`], [`UncertaintyError::NotFinite`].
    ///
    /// Source: JCGM 100:2008 4.2. Checked: `reference/metrology.json`, formula `type-a`.
    pub fn of(readings: &[f64]) -> Result<Repeats, UncertaintyError> {
        if readings.is_empty() {
            return Err(UncertaintyError::NoReadings);
        }
        for reading in readings {
            finite("reading", *reading)?;
        }
        let n = readings.len();
        // Sums of differences from the first reading keep the digits that large offsets would eat.
        let origin = readings[0];
        let mean = origin + readings.iter().map(|x| x - origin).sum::<f64>() / n as f64;
        let squares: f64 = readings.iter().map(|x| (x - mean).powi(2)).sum();
        let dof = (n - 1) as f64;
        Ok(Repeats { n, mean, s: (n > 1).then(|| (squares / dof).sqrt()), dof })
    }

    /// Standard uncertainty of the mean, `s/√n`; `None` for a single reading.
    pub fn u(&self) -> Option<f64> {
        self.s.map(|s| s / (self.n as f64).sqrt())
    }
}

/// Several estimates of one standard deviation made into one: `s_p² = Σ ν s² / Σ ν`. Gives `s_p` and `Σ ν`.
///
/// # Errors
/// [`UncertaintyError::NoReadings`] without estimates, [`UncertaintyError::Negative`], [`UncertaintyError::NotPositive`]
/// for degrees of freedom.
///
/// Source: JCGM 100:2008 4.2.4, H.3.6. Checked: `reference/metrology.json`, formula `pooled`.
pub fn pooled(estimates: &[(f64, f64)]) -> Result<(f64, f64), UncertaintyError> {
    let mut sums = (0.0, 0.0);
    for &(s, dof) in estimates {
        let (s, dof) = (not_negative("standard deviation", s)?, above_zero("degrees of freedom", dof)?);
        sums = (sums.0 + dof * s * s, sums.1 + finite("degrees of freedom", dof)?);
    }
    if sums.1 == 0.0 {
        return Err(UncertaintyError::NoReadings);
    }
    Ok(((sums.0 / sums.1).sqrt(), sums.1))
}

/// One-way analysis of variance: how much readings differ within a group and between groups.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anova {
    /// Sum of squares between groups.
    pub ss_between: f64,
    /// Sum of squares within groups.
    pub ss_within: f64,
    /// Groups less one.
    pub dof_between: f64,
    /// Readings less groups.
    pub dof_within: f64,
    /// Mean square between over mean square within; infinite when nothing varies within.
    pub f: f64,
    /// Standard deviation within a group, `√MS_within`.
    pub s_within: f64,
    /// Standard deviation between groups, `√max(0, (MS_between − MS_within)/n₀)`, `n₀` the readings in a group (for
    /// groups of unequal size `(N − Σnᵢ²/N)/(k − 1)`).
    pub s_between: f64,
}

/// Splits the variance of readings taken in groups (days, hands, instruments).
///
/// # Errors
/// [`UncertaintyError::TooFewGroups`] with fewer than two groups or no group of two; [`UncertaintyError::NoReadings`] for
/// an empty group; [`UncertaintyError::NotFinite`].
///
/// Source: JCGM 100:2008 H.5. Checked: `reference/metrology.json`, formula `anova` (NIST StRD).
pub fn anova(groups: &[Vec<f64>]) -> Result<Anova, UncertaintyError> {
    let each = groups.iter().map(|group| Repeats::of(group)).collect::<Result<Vec<_>, _>>()?;
    let (k, n) = (groups.len(), groups.iter().map(Vec::len).sum::<usize>());
    if k < 2 || n == k {
        return Err(UncertaintyError::TooFewGroups);
    }
    let (n_all, dof_between, dof_within) = (n as f64, (k - 1) as f64, (n - k) as f64);
    let origin = each[0].mean;
    let mean = origin + each.iter().map(|g| g.n as f64 * (g.mean - origin)).sum::<f64>() / n_all;
    let ss_between: f64 = each.iter().map(|g| g.n as f64 * (g.mean - mean).powi(2)).sum();
    let ss_within: f64 = each.iter().map(|g| g.s.map_or(0.0, |s| s * s * g.dof)).sum();
    let (ms_between, ms_within) = (ss_between / dof_between, ss_within / dof_within);
    let n0 = (n_all - each.iter().map(|g| (g.n as f64).powi(2)).sum::<f64>() / n_all) / dof_between;
    let f = if ms_within > 0.0 { ms_between / ms_within } else { f64::INFINITY };
    let s_between = ((ms_between - ms_within) / n0).max(0.0).sqrt();
    Ok(Anova { ss_between, ss_within, dof_between, dof_within, f, s_within: ms_within.sqrt(), s_between })
}

/// Coverage factor for a two-sided interval of probability `p`: `k = t_p(ν)`.
///
/// # Errors
/// [`UncertaintyError::NotPositive`] for the degrees of freedom, [`UncertaintyError::Probability`] unless 0 < p < 1.
///
/// Source: JCGM 100:2008 G.3, G.6.4. Checked: `reference/metrology.json`, formula `expand`.
pub fn coverage_factor(p: f64, dof: f64) -> Result<f64, UncertaintyError> {
    if !(p > 0.0 && p < 1.0) {
        return Err(UncertaintyError::Probability { what: "coverage probability", found: p });
    }
    Ok(-student_quantile(0.5 * (1.0 - p), above_zero("degrees of freedom", dof)?))
}

/// Effective degrees of freedom of a sum of independent parts: `ν_eff = u_c⁴ / Σ uᵢ⁴/νᵢ`. Each part is its contribution
/// `cᵢuᵢ` with its own degrees of freedom; infinite when no part has finite ones.
///
/// # Errors
/// [`UncertaintyError::NotFinite`], [`UncertaintyError::NotPositive`] for degrees of freedom.
///
/// Source: Welch–Satterthwaite, JCGM 100:2008 G.4.1. Checked: `reference/metrology.json`, formula `welch`.
pub fn effective_dof(parts: &[(f64, f64)]) -> Result<f64, UncertaintyError> {
    // Relative to the largest part, so that no fourth power overflows or vanishes.
    let mut largest: f64 = 0.0;
    for &(u, dof) in parts {
        finite("contribution", u)?;
        above_zero("degrees of freedom", dof)?;
        largest = largest.max(u.abs());
    }
    if largest == 0.0 {
        return Ok(f64::INFINITY);
    }
    let scaled = || parts.iter().map(|(u, dof)| ((u / largest).powi(2), *dof));
    let total: f64 = scaled().map(|(v, _)| v).sum();
    let weighed: f64 = scaled().map(|(v, dof)| v * v / dof).sum();
    Ok(if weighed > 0.0 { total * total / weighed } else { f64::INFINITY })
}

pub(crate) fn finite(what: &'static str, value: f64) -> Result<f64, UncertaintyError> {
    if value.is_finite() { Ok(value) } else { Err(UncertaintyError::NotFinite { what, found: value }) }
}

pub(crate) fn not_negative(what: &'static str, value: f64) -> Result<f64, UncertaintyError> {
    if finite(what, value)? >= 0.0 {
        Ok(value)
    } else {
        Err(UncertaintyError::Negative { what, found: value })
    }
}

/// Infinity passes: degrees of freedom may be infinite.
pub(crate) fn above_zero(what: &'static str, value: f64) -> Result<f64, UncertaintyError> {
    if value > 0.0 { Ok(value) } else { Err(UncertaintyError::NotPositive { what, found: value }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_is_refused() {
        assert!(Shape::Rectangular.standard(-1.0).is_err());
        assert!(from_resolution(f64::NAN).is_err());
        assert!(from_certificate(1.0, 0.0).is_err());
        assert_eq!(Repeats::of(&[]), Err(UncertaintyError::NoReadings));
        assert!(Repeats::of(&[1.0, f64::INFINITY]).is_err());
        assert!(pooled(&[]).is_err());
        assert!(pooled(&[(1.0, f64::INFINITY)]).is_err());
        assert!(anova(&[vec![1.0, 2.0]]).is_err());
        assert!(anova(&[vec![1.0], vec![2.0]]).is_err());
        assert!(coverage_factor(0.95, 0.0).is_err());
        assert!(effective_dof(&[(1.0, 0.0)]).is_err());
    }

    #[test]
    fn one_reading_has_no_spread_and_a_large_offset_no_influence() {
        assert_eq!(Repeats::of(&[5.0]).unwrap().u(), None);
        // In the manner of NIST StRD NumAcc4 (from memory): values 10⁷ + 0.2, 0.1, 0.3; s = 0.1, arithmetic.
        let s = Repeats::of(&[10_000_000.2, 10_000_000.1, 10_000_000.3]).unwrap().s.unwrap();
        assert!((s - 0.1).abs() < 1e-8, "{s}");
        assert_eq!(effective_dof(&[]), Ok(f64::INFINITY));
        assert_eq!(effective_dof(&[(3.0, 7.0), (4.0, f64::INFINITY)]), Ok(7.0 * 625.0 / 81.0));
    }
}
