//! Which input matters most to a result.

use crate::readings::{Reading, Readings};
use crate::uncertain::{Assessed, Assessment, Found};

/// Each input's part in a result, the largest first.
#[derive(Debug, Clone, PartialEq)]
pub struct Weights {
    /// True when uncertainties were stated: parts of the variance. Otherwise parts of it were each input known equally
    /// well for its size.
    pub stated: bool,
    /// By input key; a list counts as one.
    pub of: Vec<(&'static str, f64)>,
}

impl Weights {
    /// What the parts are parts of.
    pub fn title(&self) -> &'static str {
        if self.stated {
            "Where the uncertainty comes from"
        } else {
            "What matters most, each known equally well for its size"
        }
    }
}

impl Assessment {
    /// What matters most to the first number among the results; `None` when there is none or nothing moves it.
    pub fn weights(&self, readings: &Readings) -> Option<Weights> {
        let found = self.results.iter().find_map(|(_, assessed)| match assessed {
            Assessed::Number(found) => Some(found),
            Assessed::Numbers(all) => all.first(),
            Assessed::Text(_) | Assessed::Texts(_) => None,
        })?;
        found.weights(readings)
    }
}

impl Found {
    /// What matters most to this number.
    pub fn weights(&self, readings: &Readings) -> Option<Weights> {
        let stated = self.measured.u() > 0.0;
        let part = |share: &crate::Share| {
            if stated {
                return share.share;
            }
            let value = readings.get(share.key).and_then(|reading| match (reading, share.index) {
                (Reading::Number(measured), _) => Some(measured.value()),
                (Reading::Numbers(all), Some(index)) => all.get(index).map(|measured| measured.value()),
                _ => None,
            });
            (share.sensitivity * value.unwrap_or(0.0)).powi(2)
        };
        let mut of: Vec<(&'static str, f64)> = vec![];
        for share in &self.shares {
            match of.iter_mut().find(|(key, _)| *key == share.key) {
                Some((_, sum)) => *sum += part(share),
                None => of.push((share.key, part(share))),
            }
        }
        let whole: f64 = of.iter().map(|(_, part)| part).sum();
        if !(whole > 0.0 && whole.is_finite()) {
            return None;
        }
        of.iter_mut().for_each(|(_, part)| *part /= whole);
        of.sort_by(|a, b| b.1.total_cmp(&a.1));
        Some(Weights { stated, of })
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn what_is_squared_weighs_four_times_what_is_not() {
        let belt = crate::formula("belt-span-tension").unwrap();
        let weights = |written: [(&str, &str); 3]| {
            let readings = belt.read_readings(written).unwrap();
            belt.assess(&readings).unwrap().weights(&readings).unwrap()
        };
        let equal = weights([("mass-per-length", "0.1 kg/m"), ("span", "172 mm"), ("frequency", "150 Hz")]);
        assert!(!equal.stated);
        for (key, part) in equal.of {
            let want = if key == "mass-per-length" { 1.0 / 9.0 } else { 4.0 / 9.0 };
            assert!((part - want).abs() < 1e-12, "{key} {part}");
        }
        let stated =
            weights([("mass-per-length", "0.1 kg/m"), ("span", "172 mm"), ("frequency", "150 ± 2 Hz")]);
        assert!(stated.stated && stated.of[0] == ("frequency", 1.0), "{stated:?}");
    }
}
