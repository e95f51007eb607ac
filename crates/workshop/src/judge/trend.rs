//! How fast a reading changes, against the limit on that: from this part's own readings since it was renewed or worked on.
//!
//! Where the wear of the part is forecast along the clock that the limit is told in, the rate is that of the forecast; else
//! it is a straight line through the readings, whose shared errors cancel as far as they are shared.

use super::apart::{law, short};
use super::further::Further;
use super::reading::{NEW_SPREAD_SHARE, Point, accepted_risk};
use super::record::MORE_LIKELY_THAN_NOT;
use super::{At, Judge};
use crate::ageing::Start;
use crate::assessment::{Judged, Reason};
use crate::days::years_between;
use crate::outlook::Outlook;
use crate::verdict::{TREND_AT_MOST, UNDECIDED_TREND};
use crate::words;
use jiff::civil::Date;
use quantity::{
    AcceptedRisk, Belief, Bounds, Conformity, Decision, Input, Line, Measurement, Shape, propagate,
};
use sheet::{Along, Scale, Trend, Verdict};

/// The share of what is believed that is told: nine in ten.
const NINE_TENTHS: f64 = 0.9;

/// How fast a reading changes, over what the limit is told for.
struct Change {
    middle: f64,
    low: f64,
    high: f64,
    /// Probability of changing faster than the limit.
    p: f64,
    decision: Decision,
    from: String,
    steps: Vec<String>,
}

impl<'a> Judge<'a> {
    /// Holds the trend of a reading against its limit; `None` without one, or with too few readings to see any.
    pub(super) fn trend(
        &self,
        at: At<'a>,
        scale: &Scale,
        earlier: &[Point],
        point: &Point,
        judged: &mut Judged,
    ) -> Option<Further> {
        let trend = scale.trend.as_ref()?;
        let untouched: Vec<&Point> = earlier
            .iter()
            .filter(|before| !self.worked_between(&at.check.component, at.place, before.moment, point.moment))
            .chain([point])
            .collect();
        let accepted = accepted_risk(at.component.criticality);
        let start = self.fittings.at(&at.check.component, at.place, point.moment).start;
        let all = untouched.len() > earlier.len();
        let by_wear = (all && (start.is_some() || untouched.len() > 1))
            .then(|| by_wear(trend, judged, untouched.len(), accepted))
            .flatten();
        let new = start.filter(|_| all).and_then(|start| Some((start, as_new(scale, point)?)));
        let change = by_wear.or_else(|| by_line(trend, &untouched, new, accepted))?;
        let unit = point.made.measurement.unit();
        let finely = |value: f64| words::value(value, point.made.decimals + 1, unit);
        let (max, per) = (words::stated(trend.max, point.made.decimals, unit), per_words(trend));
        let says = format!(
            "It changes by {} over {per}, nine times in ten between {} and {}; from {}. At most {max} is allowed; the chance \
             that it is faster is {}.",
            finely(change.middle),
            finely(change.low),
            finely(change.high),
            change.from,
            words::chance(change.p),
        );
        judged.reasons.push(Reason::new(says).from_source(trend.source.clone()).worked_out(change.steps));
        Some(Further {
            p: change.p,
            decision: change.decision,
            at_most: match change.decision {
                Decision::Fail => TREND_AT_MOST,
                // What a few readings cannot rule out is no ground yet: they lie too near to each other for it.
                _ if change.p < MORE_LIKELY_THAN_NOT => Verdict::Sound,
                _ => UNDECIDED_TREND,
            },
            why: format!(
                "It changes by {} over {per}; at most {max} is allowed.",
                words::value(change.middle.abs(), point.made.decimals, unit)
            ),
            settled_by: None,
        })
    }
}

/// The rate of the part's forecast, where it runs along the clock of the limit and no reading of it is in doubt.
fn by_wear(trend: &Trend, judged: &Judged, readings: usize, accepted: AcceptedRisk) -> Option<Change> {
    let Some(Outlook::Wear { path, ageing, .. }) = &judged.outlook else { return None };
    let per = match (trend.along, ageing.share_km) {
        (Along::Km, 1.0) => trend.per / ageing.km_a_year,
        (Along::Years, 0.0) => trend.per,
        _ => return None,
    };
    if judged.question.is_some() {
        return None;
    }
    let rate = path.rate();
    let p = path.faster_than(trend.max / per);
    let decision = if p <= accepted.pass() {
        Decision::Pass
    } else if 1.0 - p <= accepted.fail() {
        Decision::Fail
    } else {
        Decision::CannotTell
    };
    let readings = words::count(readings, "reading of this part", "readings of this part");
    Some(Change {
        middle: rate.median * per,
        low: rate.low * per,
        high: rate.high * per,
        p,
        decision,
        from: format!("{readings} and the life of its kind"),
        steps: vec![
            "L(x) = a + d·b·x + σ W(x), the rate b summed over a grid of its logarithm".into(),
            format!("P(b > {} over {}) = {}", short(trend.max), per_words(trend), words::chance(p)),
        ],
    })
}

/// A straight line through the readings, each weighed by its own uncertainty.
fn by_line(
    trend: &Trend,
    points: &[&Point],
    new: Option<(Start, Measurement)>,
    accepted: AcceptedRisk,
) -> Option<Change> {
    let first = points.first()?.date;
    let along = |date: Date, km: f64| match trend.along {
        Along::Km => km / trend.per,
        Along::Years => years_between(first, date) / trend.per,
    };
    let from_new = new.is_some();
    let new = new.map(|(start, new)| (along(start.date, start.km), new));
    let read = points.iter().map(|point| (along(point.date, point.km), point.made.measurement.clone()));
    let all: Vec<(f64, Measurement)> = new.into_iter().chain(read).collect();
    let line = slope(&all)?;
    let size = Belief::new(line.value().abs(), line.u(), line.dof()).ok()?;
    // One-sided, the way it was measured: what is hardly known is then never taken to be past the limit.
    let conformity = Conformity::of(&size, &Bounds::new(f64::NEG_INFINITY, trend.max).ok()?);
    let p = conformity.beyond();
    let readings = words::count(points.len(), "reading of this part", "readings of this part");
    let reach = line.expanded(NINE_TENTHS).ok()?.half_width;
    Some(Change {
        middle: line.value(),
        low: line.value() - reach,
        high: line.value() + reach,
        p,
        decision: conformity.decide(accepted),
        from: if from_new { format!("{readings} and its value when new") } else { readings },
        steps: vec![
            "b = Σ w (x − x̄) y / Σ w (x − x̄)², w = 1/u² of what readings do not share: the straight line through them".into(),
            format!("b = {line} over {}", per_words(trend)),
            format!(
                "P(|b| > {max}) = 1 − {}(({max} − |b|)/u) = {}",
                law(line.dof()),
                words::chance(p),
                max = short(trend.max)
            ),
        ],
    })
}

/// The slope of the straight line through values, weighed by what they do not share; with its uncertainty, shared errors
/// added before they are squared, and wider where the values scatter more than they should. `None` when all stand at one `x`.
fn slope(values: &[(f64, Measurement)]) -> Option<Measurement> {
    let exact = values.iter().any(|(_, y)| y.u_e() <= 0.0);
    let weights: Vec<f64> = values.iter().map(|(_, y)| if exact { 1.0 } else { y.u_e().powi(-2) }).collect();
    let sum = |of: &dyn Fn(usize) -> f64| (0..values.len()).map(|i| weights[i] * of(i)).sum::<f64>();
    let total = sum(&|_| 1.0);
    let middle = sum(&|i| values[i].0) / total;
    let squares = sum(&|i| (values[i].0 - middle).powi(2));
    if !(squares > 0.0 && squares.is_finite()) {
        return None;
    }
    let share = |i: usize| weights[i] * (values[i].0 - middle) / squares;
    let (b, unit) =
        ((0..values.len()).map(|i| share(i) * values[i].1.value()).sum::<f64>(), values.first()?.1.unit());
    let names: Vec<String> = (1..=values.len()).map(|n| format!("reading {n}")).collect();
    let inputs: Vec<Input<'_>> = names
        .iter()
        .enumerate()
        .map(|(i, name)| Input { name, measured: &values[i].1, sensitivity: share(i) })
        .collect();
    let line = propagate(b, unit, &inputs).ok()?;
    // What readings scatter beyond their own uncertainty the path has wandered: the slope is known the worse for it.
    let height = sum(&|i| values[i].1.value()) / total;
    let left = sum(&|i| (values[i].1.value() - height - b * (values[i].0 - middle)).powi(2));
    let dof = values.len() as f64 - 2.0;
    if dof < 1.0 {
        return Some(line);
    }
    // By its scatter alone, and what of that its own uncertainty does not account for. Two readings less than there are
    // tell of it, so that with three it is hardly known.
    let by_scatter = left / dof / squares;
    let more = (by_scatter - line.u_e().powi(2)).max(0.0).sqrt();
    line.with(Line::own("scatter about the line", Shape::Normal, more).dof(dof)).ok()
}

/// The value of a new part, as the sheet states it.
fn as_new(scale: &Scale, point: &Point) -> Option<Measurement> {
    let new = scale.new.as_ref()?;
    let limit = scale.limit.as_ref();
    let end = limit.and_then(|limit| limit.min.or(limit.max));
    let u = match new.tolerance {
        Some(half_width) => half_width / f64::sqrt(3.0),
        None => NEW_SPREAD_SHARE * (end? - new.value).abs(),
    };
    Measurement::with_u(new.value, u, f64::INFINITY, point.made.measurement.unit()).ok()
}

fn per_words(trend: &Trend) -> String {
    match trend.along {
        Along::Km => words::km(trend.per),
        Along::Years if trend.per == 1.0 => "a year".into(),
        Along::Years if trend.per.fract() == 0.0 => words::count(trend.per as usize, "year", "years"),
        Along::Years => words::count((12.0 * trend.per).round() as usize, "month", "months"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{SHEET, Told, told_of, visit};
    use Verdict::{LookAgain, Plan, Settled, Sound};
    use proptest::prelude::*;
    use quantity::Unit;

    /// Play at the hinge may grow by 0.4 mm in a year; it is measured with the micrometer.
    fn sheet(trend: &str) -> String {
        SHEET.replace(
            "reading   = { unit = \"mm\", instrument = \"caliper\", keep = \"max\" }",
            &format!(
                "reading   = {{ unit = \"mm\", instrument = \"micrometer\", keep = \"max\" }}\ntrend     = {{ {trend}, source = \"invented, other vans\" }}"
            ),
        )
    }

    const A_YEAR: &str = "max = \"0.4 mm\", per = \"1 year\"";

    fn hinge(sheet: &str, story: &[(&str, u32, &str)]) -> Judged {
        told_hinge(sheet, story).judged("hinge-play", "single")
    }

    fn told_hinge(sheet: &str, story: &[(&str, u32, &str)]) -> Told {
        let visits: Vec<String> = story
            .iter()
            .map(|(date, km, play)| visit(date, *km, &format!("[readings]\nhinge-play = \"{play} mm\"\n")))
            .collect();
        told_of("dora", sheet, &visits)
    }

    fn of_trend(judged: &Judged) -> &Reason {
        judged.reasons.iter().find(|reason| reason.says.starts_with("It changes by")).unwrap()
    }

    /// Ordinary least squares by hand: 0, 1.3, 1.0 at 0, 1, 2 leave 0.4267 about the line of slope 0.5, which with one degree
    /// of freedom and Σ(x − x̄)² = 2 is a standard error of 0.4619. Source: textbook regression.
    #[test]
    fn three_scattered_readings_hardly_know_their_slope() {
        let reading = |value: f64, u: f64| Measurement::with_u(value, u, f64::INFINITY, Unit::MM).unwrap();
        for u in [0.0, 1e-4] {
            let line =
                slope(&[(0.0, reading(0.0, u)), (1.0, reading(1.3, u)), (2.0, reading(1.0, u))]).unwrap();
            assert!((line.value() - 0.5).abs() < 1e-9 && (line.u() - 0.4619).abs() < 1e-4, "{line}");
            assert!((line.dof() - 1.0).abs() < 1e-3, "{}", line.dof());
        }
        let straight = [(0.0, reading(0.0, 0.1)), (1.0, reading(0.5, 0.1)), (2.0, reading(1.0, 0.1))];
        let line = slope(&straight).unwrap();
        assert!((line.u() - 0.1 / 2f64.sqrt()).abs() < 1e-12 && line.dof().is_infinite());
    }

    #[test]
    fn one_reading_of_a_part_of_unknown_age_shows_no_trend() {
        let judged = hinge(&sheet(A_YEAR), &[("2024-05-01", 70_000, "1.500")]);
        assert!(judged.reasons.iter().all(|reason| !reason.says.starts_with("It changes")));
    }

    #[test]
    fn a_trend_past_its_limit_is_planned_though_the_value_is_within_its_own() {
        // Without a life there is no forecast: the straight line through the readings counts.
        let sheet = sheet(A_YEAR).replace(
            "life        = { median = \"30 years\", spread = 1.6, source = \"invented life of hinges\" }\n",
            "",
        );
        let slow = hinge(&sheet, &[("2024-05-01", 70_000, "3.500"), ("2025-05-01", 80_000, "3.700")]);
        assert_eq!(slow.verdict, Sound, "{:#?}", slow.reasons);
        let fast = hinge(&sheet, &[("2024-05-01", 70_000, "3.500"), ("2025-05-01", 80_000, "4.200")]);
        assert_eq!(fast.verdict, Plan, "{:#?}", fast.reasons);
        assert_eq!(of_trend(&fast).source.as_deref(), Some("invented, other vans"));
        assert!(of_trend(&fast).says.contains("from 2 readings of this part. At most 0.400 mm is allowed"));
        assert!(fast.carries.why.as_deref().is_some_and(|why| why.starts_with("It changes by 0.70")));
        assert!(fast.carries.window.is_some());
        assert!(fast.p_beyond.is_some_and(|p| p > 0.99));
    }

    /// By hand: u of a slope over one year from two readings of one micrometer is √2·√(0.002² + 0.001²/12) = 0.00287 mm, over
    /// a tenth of a year ten times that.
    #[test]
    fn the_slope_of_two_readings_is_their_difference_over_their_distance() {
        let of = |value: f64| {
            Measurement::new(value, Unit::MM)
                .and_then(|m| m.with(Line::own("own", Shape::Normal, 0.0020)))
                .and_then(|m| m.with(Line::shared("calibration", Shape::Normal, 0.05, "mic-1")))
                .unwrap()
        };
        let line = slope(&[(1.0, of(3.5)), (1.5, of(3.7))]).unwrap();
        assert!((line.value() - 0.4).abs() < 1e-12);
        assert!(
            (line.u() - 2.0 * 0.0020 * f64::sqrt(2.0)).abs() < 1e-12,
            "calibration cancels: {}",
            line.u()
        );
        assert!(slope(&[(1.0, of(3.5)), (1.0, of(3.7))]).is_none());
        assert!(slope(&[(1.0, of(3.5))]).is_none());
    }

    /// Anscombe's first data set (1973): slope 0.500 09, of which the standard error is 0.117 91 (published widely; both from
    /// memory). With errors far too small the scatter about the line counts instead, and gives the same error.
    #[test]
    fn scatter_beyond_the_readings_own_errors_counts() {
        let xs = [10.0, 8.0, 13.0, 9.0, 11.0, 14.0, 6.0, 4.0, 12.0, 7.0, 5.0];
        let ys = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];
        let values: Vec<(f64, Measurement)> = xs
            .iter()
            .zip(ys)
            .map(|(x, y)| (*x, Measurement::with_u(y, 0.01, f64::INFINITY, Unit::MM).unwrap()))
            .collect();
        let line = slope(&values).unwrap();
        assert!((line.value() - 0.500_09).abs() < 5e-6, "{}", line.value());
        assert!((line.u() - 0.117_91).abs() < 5e-6, "{}", line.u());
    }

    #[test]
    fn where_wear_is_forecast_the_trend_is_the_forecast_s_own_rate() {
        let judged =
            hinge(&sheet(A_YEAR), &[("2023-05-01", 60_000, "3.100"), ("2025-05-01", 80_000, "4.100")]);
        assert!(
            of_trend(&judged).says.contains("2 readings of this part and the life of its kind"),
            "{:#?}",
            judged.reasons
        );
        assert_eq!(judged.verdict, Plan);
    }

    #[test]
    fn what_was_said_before_work_on_the_part_is_no_part_of_its_trend() {
        let story = |work: &str| {
            let line = |mm: &str| format!("[readings]\nbelt-note = \"{mm} Hz\"\n");
            let sheet = SHEET.replace(
                "reading   = { unit = \"Hz\", instrument = \"ear\", keep = \"mean\" }",
                "reading   = { unit = \"Hz\", instrument = \"ear\", keep = \"mean\" }\ntrend     = { max = \"10 Hz\", per = \"10000 km\", source = \"invented\" }",
            );
            let visits = [
                visit("2023-05-01", 60_000, &format!("{}{work}", line("160"))),
                visit("2025-05-01", 80_000, &line("120")),
            ];
            told_of("dora", &sheet, &visits).judged("belt-note", "single")
        };
        let slack = story("");
        assert_eq!(slack.verdict, Plan, "{:#?}", slack.reasons);
        let tightened = story("[[done]]\noperation = \"retension-fan-belt\"\n");
        assert_eq!(tightened.verdict, Settled, "kept to compare: {:#?}", tightened.reasons);
    }

    #[test]
    fn a_trend_that_cannot_be_decided_is_looked_at_again() {
        let sheet = sheet(A_YEAR)
            .replace("life        = { median = \"30 years\", spread = 1.6, source = \"invented life of hinges\" }\n", "")
            .replace("criticality = \"comfort\"\nages-by     = { years = 1.0 }\n", "criticality = \"safety\"\nages-by     = { years = 1.0 }\n");
        // Six days apart little can be told of a year: 0.6 ± 0.17 mm, then 0.3 ± 0.17 mm.
        let of = |mm: &str| hinge(&sheet, &[("2025-04-25", 80_000, "3.500"), ("2025-05-01", 80_100, mm)]);
        assert_eq!(of("3.510").verdict, LookAgain, "{:#?}", of("3.510").reasons);
        assert_eq!(of("3.505").verdict, Sound, "{:#?}", of("3.505").reasons);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

        /// 1 mi = 1.609344 km, 1 in = 25.4 mm exactly (international yard and pound agreement, 1959; from memory).
        #[test]
        fn miles_and_inches_give_the_same_trend(a in 120i32..180, more in 0i32..40, miles in 3_000u32..20_000) {
            let sheet = sheet("max = \"0.4 mm\", per = \"10000 km\"");
            let inch = |thousandths: i32| f64::from(thousandths) / 1000.0;
            let mm = |thousandths: i32| format!("{:.4}", inch(thousandths) * 25.4);
            let story = |first: &str, second: &str, odometer: &str| {
                let visits = [("2024-05-01", "\"30000 km\"", first), ("2025-05-01", odometer, second)].map(|(date, km, play)| {
                    visit(date, 1, &format!("[readings]\nhinge-play = \"{play}\"\n")).replace("\"1 km\"", km)
                });
                told_of("dora", &sheet, &visits).judged("hinge-play", "single")
            };
            let km = 30_000.0 + f64::from(miles) * 1.609344;
            let metric = story(&format!("{} mm", mm(a)), &format!("{} mm", mm(a + more)), &format!("\"{km:.6} km\""));
            let imperial = story(
                &format!("{:.6} in", inch(a)),
                &format!("{:.6} in", inch(a + more)),
                &format!("\"{:.8} mi\"", km / 1.609344),
            );
            prop_assert_eq!(metric.verdict, imperial.verdict);
            prop_assert!((metric.p_beyond.unwrap() - imperial.p_beyond.unwrap()).abs() < 1e-6);
            prop_assert_eq!(of_trend(&metric).steps.len(), of_trend(&imperial).steps.len());
        }

        /// What lies within the limit may become undecided when it is known less well, never past it.
        #[test]
        fn less_certainty_never_takes_what_is_within_for_past(rate in 0.0..0.4_f64, u in 1e-4..10.0_f64) {
            let at = |x: f64| (x, Measurement::with_u(3.0 + rate * x, u, f64::INFINITY, Unit::MM).unwrap());
            let line = slope(&[at(0.0), at(1.0), at(2.5)]).unwrap();
            let size = Belief::new(line.value().abs(), line.u(), line.dof()).unwrap();
            let conformity = Conformity::of(&size, &Bounds::new(f64::NEG_INFINITY, 0.4).unwrap());
            prop_assert_ne!(conformity.decide(AcceptedRisk::USUAL), Decision::Fail);
        }

        #[test]
        fn adding_the_same_to_all_readings_changes_no_slope(a in 0.0..5.0_f64, b in 0.0..5.0_f64, more in -3.0..3.0_f64) {
            let at = |x: f64, y: f64| (x, Measurement::with_u(y, 0.02, f64::INFINITY, Unit::MM).unwrap());
            let line = slope(&[at(0.0, a), at(2.0, b)]).unwrap();
            let moved = slope(&[at(0.0, a + more), at(2.0, b + more)]).unwrap();
            prop_assert!((line.value() - moved.value()).abs() < 1e-9 && (line.u() - moved.u()).abs() < 1e-12);
        }
    }

    #[test]
    fn a_trend_asks_for_no_more_than_a_plan() {
        let sheet = sheet(A_YEAR).replace("criticality = \"comfort\"\nages-by     = { years = 1.0 }\nlife        = { median = \"30 years\", spread = 1.6, source = \"invented life of hinges\" }\n", "criticality = \"safety\"\nages-by     = { years = 1.0 }\n");
        let judged = hinge(&sheet, &[("2024-05-01", 70_000, "1.500"), ("2025-05-01", 80_000, "3.500")]);
        assert_eq!(judged.verdict, Plan, "{:#?}", judged.reasons);
    }
}
