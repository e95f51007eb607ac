//! What must hold for any quantity, any measurement and any limit.

#![allow(clippy::unwrap_used)] // helpers of tests

use proptest::prelude::*;
use quantity::{
    AcceptedRisk, Belief, Bounds, Conformity, Decision, Input, Instrument, Keep, Limit, Line, Measurement,
    PlusMinus, Pool, Quantity, Shape, Unit, difference, distribution, plausibility, propagate, reading,
};

fn any_unit() -> impl Strategy<Value = Unit> {
    let units: Vec<Unit> = Unit::all().collect();
    proptest::sample::select(units)
}

fn any_figures() -> impl Strategy<Value = String> {
    "-?(0|[1-9][0-9]{0,7})(\\.[0-9]{1,6})?(e-?[1-9])?"
}

fn any_quantity() -> impl Strategy<Value = Quantity> {
    (any_figures(), any_unit()).prop_map(|(figures, unit)| Quantity::typed_in(&figures, unit).unwrap())
}

fn shape() -> impl Strategy<Value = Shape> {
    proptest::sample::select(vec![Shape::Normal, Shape::Rectangular, Shape::Triangular, Shape::Arcsine])
}

fn lines() -> impl Strategy<Value = Vec<Line>> {
    let line = (shape(), 1e-6..1.0f64, 1.0..100.0f64, -3.0..3.0f64, 0..4usize).prop_map(
        |(shape, u, dof, c, sharing)| {
            let line = match sharing {
                0 | 1 => Line::own("own", shape, u),
                2 => Line::shared("calibration", shape, u, "mic-1"),
                _ => Line::shared("calibration", shape, u, "mic-2"),
            };
            Line { sensitivity: c, ..line.dof(dof) }
        },
    );
    proptest::collection::vec(line, 1..7)
}

fn measured(value: f64, lines: Vec<Line>) -> Measurement {
    lines.into_iter().fold(Measurement::new(value, Unit::MM).unwrap(), |m, line| m.with(line).unwrap())
}

fn limits() -> impl Strategy<Value = Bounds> {
    (-5.0..5.0f64, 0.01..5.0f64, 0..3usize).prop_map(|(at, width, sides)| {
        let lower = if sides == 1 { f64::NEG_INFINITY } else { at };
        let upper = if sides == 2 { f64::INFINITY } else { at + width };
        Bounds::new(lower, upper).unwrap()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_shown_or_stored_reads_back_the_same(quantity in any_quantity()) {
        prop_assert_eq!(&quantity.to_string().parse::<Quantity>().unwrap(), &quantity);
        let json = serde_json::to_string(&quantity).unwrap();
        let back: Quantity = serde_json::from_str(&json).unwrap();
        prop_assert_eq!(&back, &quantity);
        prop_assert_eq!(back.si().to_bits(), quantity.si().to_bits());
    }

    #[test]
    fn a_composed_angle_reads_back_the_same(sign in "-?", d in 0u32..400, m in 0u32..60, s in proptest::option::of(0u32..60)) {
        let text = match s {
            None => format!("{sign}{d}° {m}′"),
            Some(s) => format!("{sign}{d}° {m}′ {s}″"),
        };
        let angle: Quantity = text.parse().unwrap();
        prop_assert_eq!(angle.to_string(), text);
        let back: Quantity = serde_json::from_str(&serde_json::to_string(&angle).unwrap()).unwrap();
        prop_assert_eq!(back.to_string(), angle.to_string());
        let degrees = f64::from(d) + f64::from(m) / 60.0 + f64::from(s.unwrap_or(0)) / 3600.0;
        prop_assert!((angle.value_in(Unit::DEG).unwrap().abs() - degrees).abs() < 1e-9);
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,30}") {
        let _ = text.parse::<Quantity>();
        let _ = text.parse::<PlusMinus>();
        let _ = text.parse::<quantity::Allowance>();
        let _ = Quantity::typed_in(&text, Unit::MM);
    }

    #[test]
    fn any_text_of_the_usual_signs_is_read_or_refused(text in "[-+0-9., '°′″±()k=e/%]{0,14}(mm|in|deg|N\\.m|)") {
        let _ = text.parse::<Quantity>();
        let _ = text.parse::<PlusMinus>();
        let _ = Quantity::typed_in(&text, Unit::DEG);
    }

    #[test]
    fn converting_there_and_back_changes_nothing(quantity in any_quantity(), which in 0..20usize) {
        let others: Vec<Unit> = Unit::of_kind(quantity.kind()).collect();
        let to = others[which % others.len()];
        let there = quantity.value_in(to).unwrap();
        let back = to.convert(there, quantity.unit()).unwrap();
        let zero_of_to = to.shift() * to.factor() / quantity.unit().factor();
        let size = quantity.value().abs().max(quantity.unit().shift()).max(zero_of_to);
        prop_assert!((back - quantity.value()).abs() <= 1e-12 * size, "{} {}", back, quantity);
    }

    #[test]
    fn comparing_does_not_depend_on_the_unit(a in any_quantity(), b in any_quantity()) {
        match a.compare(&b) {
            Ok(order) => prop_assert_eq!(b.compare(&a).unwrap(), order.reverse()),
            Err(_) => prop_assert_ne!(a.kind(), b.kind()),
        }
    }

    #[test]
    fn a_slip_is_only_asked_about_when_it_would_fit(quantity in any_quantity(), low in -100.0..100.0f64, width in 0.0..50.0f64) {
        let end = |value: f64| Quantity::with_decimals(value, 2, quantity.unit()).unwrap();
        let (low, high) = (end(low), end(low + width));
        if let quantity::Plausibility::Slips(slips) = plausibility(&quantity, &low, &high).unwrap() {
            for slip in slips {
                prop_assert_ne!(&slip.meant, &quantity);
                prop_assert!(low.compare(&slip.meant).unwrap().is_le() && high.compare(&slip.meant).unwrap().is_ge());
            }
        }
    }

    #[test]
    fn the_shares_of_a_budget_add_up_to_one(lines in lines()) {
        let m = measured(10.0, lines);
        prop_assume!(m.u() > 0.0);
        let shares: f64 = m.budget().rows.iter().map(|row| row.share).sum();
        prop_assert!((shares - 1.0).abs() < 1e-12);
        prop_assert!((m.u().powi(2) - m.u_e().powi(2) - m.u_b().powi(2)).abs() < 1e-12);
        prop_assert!(m.dof() > 0.0);
    }

    #[test]
    fn units_do_not_change_what_is_concluded(value in -5.0..5.0f64, lines in lines(), limits in limits()) {
        let in_mm = measured(value, lines);
        let in_inches = in_mm.in_unit(Unit::INCH).unwrap();
        let end = |x: f64| x.is_finite().then(|| Quantity::new(x, Unit::MM).unwrap());
        let limit = Limit::new(end(limits.lower()), end(limits.upper())).unwrap();
        let a = Conformity::with_limit(&in_mm, &limit).unwrap();
        let b = Conformity::with_limit(&in_inches, &limit).unwrap();
        prop_assert!((a.beyond() - b.beyond()).abs() < 1e-9, "{} {}", a.beyond(), b.beyond());
        prop_assert!((in_mm.dof() / in_inches.dof() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn probabilities_of_conformity_are_probabilities(
        y in -10.0..10.0f64, u in 0.0..3.0f64, dof in 0.5..60.0f64, limits in limits(), floor in proptest::option::of(-6.0..2.0f64)
    ) {
        let mut belief = Belief::new(y, u, dof).unwrap();
        if let Some(floor) = floor {
            match belief.bounded(floor, f64::INFINITY) {
                Ok(bounded) => belief = bounded,
                Err(_) => return Ok(()),
            }
        }
        let c = Conformity::of(&belief, &limits);
        for p in [c.within, c.below, c.above] {
            prop_assert!((0.0..=1.0).contains(&p), "{c:?}");
        }
        prop_assert!((c.within + c.below + c.above - 1.0).abs() < 1e-9, "{c:?}");
        prop_assert!(c.beyond() == 0.0 || (c.ln_beyond - c.beyond().ln()).abs() < 1e-9);
    }

    #[test]
    fn a_better_value_is_never_judged_worse(
        y in 20.0..26.0f64, more in 0.0..2.0f64, u in 0.001..1.0f64, dof in 1.0..60.0f64, risk in 0.001..0.5f64
    ) {
        let limit = Bounds::new(23.0, f64::INFINITY).unwrap();
        let accepted = AcceptedRisk::new(risk, 0.05).unwrap();
        let rank = |decision| match decision { Decision::Fail => 0, Decision::CannotTell => 1, Decision::Pass => 2 };
        let at = |y: f64| Conformity::of(&Belief::new(y, u, dof).unwrap(), &limit).decide(accepted);
        prop_assert!(rank(at(y + more)) >= rank(at(y)));
    }

    #[test]
    fn nothing_passes_and_fails_at_once_and_less_risk_decides_less(
        y in -6.0..6.0f64, u in 0.001..3.0f64, limits in limits(), a in 0.001..0.5f64, b in 0.001..0.5f64
    ) {
        let c = Conformity::of(&Belief::new(y, u, f64::INFINITY).unwrap(), &limits);
        let (small, large) = (a.min(b), a.max(b));
        let strict = c.decide(AcceptedRisk::new(small, small).unwrap());
        let loose = c.decide(AcceptedRisk::new(large, large).unwrap());
        prop_assert!(strict == Decision::CannotTell || strict == loose);
    }

    #[test]
    fn more_repeats_of_the_same_spread_never_widen_the_own_part(n in 1u32..30, s in 0.0..0.1f64) {
        let micrometer = Instrument::new("mic-1", "0.01 mm".parse().unwrap());
        let pool = Pool { name: "pool".into(), s, unit: Unit::MM, dof: 1e9 };
        // All repeats alike: the pooled spread is the same whatever their number.
        let u_e = |n: u32| {
            let repeats = vec!["23.02 mm".parse::<Quantity>().unwrap(); n as usize];
            let m = reading(&repeats, Keep::Mean, &micrometer, Some(&pool)).unwrap();
            m.u_e()
        };
        prop_assert!(u_e(n + 1) <= u_e(n) + 1e-9 * u_e(n));
    }

    #[test]
    fn a_shared_error_cancels_in_a_difference_and_adds_up_in_a_sum(a in lines(), b in lines()) {
        let (first, second) = (measured(3.0, a), measured(5.0, b));
        let apart = difference(&second, &first).unwrap();
        let inputs = |c| [
            Input { name: "first", measured: &first, sensitivity: c },
            Input { name: "second", measured: &second, sensitivity: 1.0 },
        ];
        let together = propagate(8.0, Unit::MM, &inputs(1.0)).unwrap();
        let alone = first.u().powi(2) + second.u().powi(2);
        let shared = 2.0 * first.covariance(&second);
        prop_assert!((apart.u().powi(2) - (alone - shared)).abs() < 1e-9 * alone.max(1e-9));
        prop_assert!((together.u().powi(2) - (alone + shared)).abs() < 1e-9 * alone.max(1e-9));
        let itself = difference(&first, &first).unwrap();
        prop_assert!((itself.u_b()).abs() < 1e-12);
    }

    #[test]
    fn quantiles_undo_probabilities(p in 1e-12..0.999_999f64, dof in 0.5..5000.0f64) {
        let z = distribution::normal_quantile(p);
        prop_assert!((distribution::normal_cdf(z) / p - 1.0).abs() < 1e-11);
        let t = distribution::student_quantile(p, dof);
        prop_assert!((distribution::student_cdf(t, dof) / p - 1.0).abs() < 1e-9, "{} {}", t, dof);
    }
}
