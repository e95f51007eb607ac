//! The catalogue against an independent implementation of UCUM (`ucum-units` 0.1) and against itself.

use quantity::{Kind, Quantity, Unit};
use std::collections::BTreeMap;

/// Our SI unit of a kind as UCUM writes it; where our code carries an annotation it is left off.
fn plain_code(unit: Unit) -> String {
    let code = unit.code();
    let mut out = code.split('{').next().unwrap_or_default().to_owned();
    out.push_str(code.split('}').nth(1).unwrap_or_default());
    if out.is_empty() { "1".to_owned() } else { out }
}

#[test]
fn every_factor_agrees_with_another_implementation_of_ucum() {
    for unit in Unit::all() {
        let (code, si) = (plain_code(unit), plain_code(unit.kind().si_unit()));
        if unit == Unit::RPM {
            // A revolution counts as 1 in UCUM; here it is a whole turn, so that rpm and rad/s convert.
            let per_second = ucum::convert(1.0, "/min", "/s").unwrap();
            assert!((unit.factor() / (per_second * std::f64::consts::TAU) - 1.0).abs() < 1e-12);
            continue;
        }
        for value in [1.0, 21.5, -3.25] {
            let theirs = ucum::convert(value, &code, &si).unwrap_or_else(|error| panic!("{code}: {error}"));
            let ours = unit.to_si(value);
            assert!((ours - theirs).abs() <= 1e-12 * theirs.abs(), "{code}: {ours:e}, {theirs:e}");
        }
    }
}

#[test]
fn the_units_of_a_kind_have_its_dimension() {
    for unit in Unit::all() {
        let kind = unit.kind();
        let comparable = ucum::is_comparable(&plain_code(unit), &plain_code(kind.si_unit())).unwrap();
        assert_eq!(comparable, unit != Unit::RPM, "{unit}"); // UCUM counts a revolution as 1, not as an angle
        assert_eq!(kind.si_unit().kind(), kind);
        assert_eq!(kind.si_unit().factor(), 1.0, "{kind}");
        assert_eq!(kind.si_unit().shift(), 0.0, "{kind}");
    }
    // Exponents of the base units, from UCUM's own analysis: two kinds agree here exactly when they do there.
    for a in Kind::ALL {
        for b in Kind::ALL {
            let theirs = ucum::is_comparable(&plain_code(a.si_unit()), &plain_code(b.si_unit())).unwrap();
            let rotation = [a, b].contains(&Kind::RotationSpeed);
            assert!(rotation || theirs == (a.dimension() == b.dimension()), "{a}, {b}");
        }
    }
}

#[test]
fn every_spelling_leads_to_one_unit_only() {
    let mut seen: BTreeMap<String, Unit> = BTreeMap::new();
    for unit in Unit::all() {
        for spelling in unit.spellings() {
            assert_eq!(Unit::find(spelling), Some(unit), "{spelling}");
            if let Some(other) = seen.insert(spelling.to_owned(), unit) {
                assert_eq!(other, unit, "{spelling}");
            }
        }
    }
    assert_eq!(
        Unit::all().count(),
        Unit::all().map(Unit::code).collect::<std::collections::BTreeSet<_>>().len()
    );
}

#[test]
fn every_kind_has_an_example_that_is_of_that_kind() {
    for kind in Kind::ALL {
        let example: Quantity = kind.example().parse().unwrap_or_else(|error| panic!("{kind}: {error}"));
        assert_eq!(example.kind(), kind);
        assert!(Unit::of_kind(kind).count() >= 1);
    }
}

/// Conversions as the standards define them; the standards are named from memory.
#[test]
fn printed_conversion_factors_come_out() {
    for (text, unit, expected) in [
        ("1 in", Unit::MM, 25.4),                                  // international inch, 1959
        ("0.49 in", Unit::MM, 12.446),                             // arithmetic
        ("1 mile", Unit::KM, 1.609_344),                           // international mile, 1959
        ("1/32 in", Unit::MM, 0.793_75),                           // arithmetic
        ("1 lbf", Unit::N, 4.448_221_615_260_5),                   // pound × standard gravity, exact
        ("1 kgf", Unit::N, 9.806_65),                              // standard gravity, 3rd CGPM 1901
        ("1 lbf.ft", Unit::N_M, 1.355_817_948_331_400_4),          // NIST SP 811, exact product
        ("1 psi", Unit::KPA, 6.894_757_293_168_361),               // NIST SP 811: 6.894757
        ("70 °F", Unit::CELSIUS, 190.0 / 9.0),                     // 38 × 5/9
        ("-40 °F", Unit::CELSIUS, -40.0),                          // where the scales meet
        ("100 °C", Unit::FAHRENHEIT, 212.0), // boiling water, by definition of the scale
        ("60 mph", Unit::KM_PER_H, 96.560_64), // arithmetic
        ("1 a", Unit::DAY, 365.25),          // UCUM, Julian year
        ("12° 30′", Unit::DEG, 12.5),        // arithmetic
        ("1 cSt", Unit::MM2_PER_S, 1.0),     // SI Brochure: 1 St = 1 cm²/s
        ("12000 km/a", Unit::MILES_PER_YEAR, 12000.0 / 1.609_344), // arithmetic
        ("850 rpm", Unit::RAD_PER_S, 850.0 * std::f64::consts::PI / 30.0), // arithmetic
        ("1.2 g/cm3", Unit::KG_PER_M3, 1200.0), // arithmetic
    ] {
        let got = text.replace("1/32", "1 /32").parse::<Quantity>().unwrap().value_in(unit).unwrap();
        assert!((got / expected - 1.0).abs() <= 2.0 * f64::EPSILON, "{text}: {got:?}, {expected:?}");
    }
    // Exact decimals come out to the last bit.
    assert_eq!("0.49 in".parse::<Quantity>().unwrap().si(), 0.012446);
    assert_eq!("0.1 bar".parse::<Quantity>().unwrap().value_in(Unit::KPA).unwrap(), 10.0);
}
