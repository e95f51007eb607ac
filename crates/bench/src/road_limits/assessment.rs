//! How grave a roadside test calls it.

/// Gravity of a shortcoming in the words of the European roadworthiness directive.
///
/// Source: Directive 2014/45/EU Annex I, from memory, not re-read. Checked: `reference/in_use_limits.json`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Assessment {
    None,
    Major,
    Dangerous,
}

impl Assessment {
    pub fn word(self) -> &'static str {
        match self {
            Assessment::None => "none",
            Assessment::Major => "major",
            Assessment::Dangerous => "dangerous",
        }
    }

    /// Service brake: major below the efficiency asked for, dangerous below half of it.
    pub fn of_service_brake(efficiency: f64, required: f64) -> Self {
        Self::stepped(efficiency, required, required / 2.0)
    }

    /// Brakes of one axle: major when the weaker wheel gives less than 70 % of the stronger, dangerous below 50 %
    /// on a steered axle.
    pub fn of_imbalance(weaker_over_stronger: f64, steered: bool) -> Self {
        match Self::stepped(weaker_over_stronger, 0.7, 0.5) {
            Assessment::Dangerous if !steered => Assessment::Major,
            other => other,
        }
    }

    /// Tread: major below the depth asked for, dangerous below four fifths of it.
    pub fn of_tread(depth: f64, required: f64) -> Self {
        Self::stepped(depth, required, 0.8 * required)
    }

    /// A value on a line has not passed it, whatever unit it came in.
    fn stepped(value: f64, major_below: f64, dangerous_below: f64) -> Self {
        let near = 1e-9 * major_below.abs();
        if value >= major_below - near {
            Assessment::None
        } else if value >= dangerous_below - near {
            Assessment::Major
        } else {
            Assessment::Dangerous
        }
    }
}
