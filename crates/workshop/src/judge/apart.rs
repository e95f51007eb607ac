//! How far the readings of one visit lie apart between places, against the limit on that.
//!
//! Readings of one instrument share its calibration error, which cancels in their difference. Of two places the one that
//! stands out carries the verdict; the other one tells of it.

use super::further::Further;
use super::measure::Made;
use super::reading::{Point, accepted_risk};
use super::{At, Judge};
use crate::assessment::{Judged, Reason};
use crate::car::Visit;
use crate::verdict::DIFFERENCE_AT_MOST;
use crate::words;
use quantity::{Belief, Bounds, Conformity, Measurement};
use sheet::{Between, Differs, Limit, Scale, Verdict};

/// So many times as far from the middle of all as the other one: it is the odd one out. Common practice, no source.
const ODD_ONE_OUT: f64 = 2.0;
/// Below this chance of being past the limit nobody asks which of the two it is.
const WORTH_NAMING: f64 = 0.01;

/// The reading at another place of the same visit.
struct There<'a> {
    at: At<'a>,
    made: Made,
}

impl There<'_> {
    fn value(&self) -> f64 {
        self.made.measurement.value()
    }
}

/// Which of two readings stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Out {
    Here,
    There,
    /// Nothing tells them apart: either may be the one.
    Either,
}

impl<'a> Judge<'a> {
    /// Holds a reading against those of the places that it is not to lie far apart from.
    pub(super) fn apart(
        &self,
        at: At<'a>,
        visit: &'a Visit,
        scale: &Scale,
        point: &Point,
        judged: &mut Judged,
    ) -> Vec<Further> {
        let mut further = Vec::new();
        for differs in &scale.differs {
            let groups = differs.between.groups(&at.component.places);
            let Some(group) = groups.into_iter().find(|group| group.contains(&at.place)) else { continue };
            let others: Vec<There<'a>> =
                group.into_iter().filter_map(|place| self.beside(at, place, visit, point)).collect();
            further.extend(self.furthest(at, visit, differs, point, &others, judged));
        }
        further
    }

    /// The reading at another place on the same visit, if both speak of what was in at one time.
    fn beside(
        &self,
        at: At<'a>,
        place: &'a sheet::Place,
        visit: &'a Visit,
        point: &Point,
    ) -> Option<There<'a>> {
        let there = At { place, ..at };
        if place == at.place {
            return None;
        }
        let said = self.said_at(there, visit)?;
        let later = said.max(point.moment);
        let stood = |at: At<'_>, since| !self.worked_between(&at.check.component, at.place, since, later);
        let made = (stood(at, point.moment) && stood(there, said)).then(|| self.made(there, visit))??.ok()?;
        Some(There { at: there, made })
    }

    /// The difference to the reading that lies furthest away.
    fn furthest(
        &self,
        at: At<'a>,
        visit: &'a Visit,
        differs: &Differs,
        point: &Point,
        others: &[There<'a>],
        judged: &mut Judged,
    ) -> Option<Further> {
        let here = &point.made.measurement;
        let gap = |there: &&There<'_>| (there.value() - here.value()).abs();
        // Of several as far away the first one is named.
        let there = others.iter().rev().max_by(|a, b| gap(a).total_cmp(&gap(b)))?;
        let apart = if here.value() >= there.value() {
            quantity::difference(here, &there.made.measurement)
        } else {
            quantity::difference(&there.made.measurement, here)
        }
        .ok()?;
        // One-sided, the way it was measured: what is hardly known is then never taken to be past the limit.
        let bounds = Bounds::new(f64::NEG_INFINITY, differs.max).ok()?;
        let conformity = Conformity::of(&Belief::of(&apart).ok()?, &bounds);
        let p = conformity.beyond();
        let decision = conformity.decide(accepted_risk(at.component.criticality));

        let all: Vec<f64> = others.iter().map(There::value).chain([here.value()]).collect();
        let out = stands_out(at.check.scale()?, here.value(), there.value(), &all);
        let shown = |value: f64| words::value(value, point.made.decimals, here.unit());
        let (name, max) = (
            self.sheet.place_title(there.at.place),
            words::stated(differs.max, point.made.decimals, here.unit()),
        );
        let which = match out {
            _ if p < WORTH_NAMING => String::new(),
            Out::Here => " This is the one that stands out.".into(),
            Out::There => format!(" The one that stands out is {name}."),
            Out::Either => " Which of the two stands out, nothing tells.".into(),
        };
        let says = format!(
            "It lies {} from {name}, {}; at most {max} is allowed {}. The chance of more than that is {}.{which}",
            shown(apart.value()),
            shown(there.value()),
            between(differs.between),
            words::chance(p),
        );
        let steps = steps(here, &there.made.measurement, &apart, differs.max, p);
        judged.reasons.push(Reason::new(says).from_source(differs.source.clone()).worked_out(steps));
        let carries = out != Out::There;
        Some(Further {
            p: if carries { p } else { 0.0 },
            decision,
            at_most: if carries { DIFFERENCE_AT_MOST } else { Verdict::Sound },
            why: format!(
                "It lies {} from {name}; at most {max} is allowed {}.",
                shown(apart.value()),
                between(differs.between)
            ),
            settled_by: self.difference_settled_by(at, there.at, visit, &apart, &bounds),
        })
    }
}

/// Which of two readings is the odd one out: the one further from the middle of all, by far; else the one nearer to a limit
/// on one side; else the one further from new.
fn stands_out(scale: &Scale, here: f64, there: f64, all: &[f64]) -> Out {
    let worse = |here: f64, there: f64| match here.total_cmp(&there) {
        std::cmp::Ordering::Greater => Some(Out::Here),
        std::cmp::Ordering::Less => Some(Out::There),
        std::cmp::Ordering::Equal => None,
    };
    let by_middle = || {
        let middle = median(all)?;
        let (here, there) = ((here - middle).abs(), (there - middle).abs());
        let odd = all.len() > 2 && here.max(there) >= ODD_ONE_OUT * here.min(there);
        odd.then(|| worse(here, there)).flatten()
    };
    let by_limit = || match scale.limit.as_ref()? {
        Limit { min: Some(_), max: None, .. } => worse(there, here),
        Limit { min: None, max: Some(_), .. } => worse(here, there),
        Limit { .. } => None,
    };
    let by_new = || {
        let new = scale.new.as_ref()?.value;
        worse((here - new).abs(), (there - new).abs())
    };
    by_middle().or_else(by_limit).or_else(by_new).unwrap_or(Out::Either)
}

fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let (upper, lower) = (sorted.get(sorted.len() / 2)?, sorted.get(sorted.len().checked_sub(1)? / 2)?);
    Some(f64::midpoint(*lower, *upper))
}

fn between(between: Between) -> &'static str {
    match between {
        Between::Sides => "between left and right",
        Between::Axles => "between front and rear",
        Between::All => "between any two of them",
    }
}

/// How the chance was worked out.
fn steps(here: &Measurement, there: &Measurement, apart: &Measurement, max: f64, p: f64) -> Vec<String> {
    let unit = here.unit();
    let in_common: Vec<&str> = here
        .shared()
        .map(|(name, _)| name)
        .filter(|name| there.shared().any(|(other, _)| other == *name))
        .collect();
    let errors = match &in_common[..] {
        [] => "u(d) = √(u₁² + u₂²): the two readings share no error".to_owned(),
        names => format!(
            "u(d) = √(u₁² + u₂² − 2 u₁₂): both were read with {}, whose calibration error cancels",
            names.join(" and ")
        ),
    };
    let law = law(apart.dof());
    let max = short(max);
    let u = quantity::rounding::to_decimals(apart.u(), quantity::rounding::decimals_for(apart.u()).max(0));
    vec![
        format!("d = |{here} − {there}|"),
        errors,
        format!("d = {apart}"),
        format!(
            "P(d > {max} {unit}) = 1 − {law}(({max} − {})/{u}) = {}",
            short(apart.value()),
            words::chance(p)
        ),
    ]
}

/// The distribution that a chance is from: normal, or Student's where the uncertainty is not well known itself.
pub(super) fn law(dof: f64) -> String {
    if dof < 30.0 { format!("F, Student's with {dof:.0} degrees of freedom, ") } else { "Φ".to_owned() }
}

pub(super) fn short(value: f64) -> String {
    let rounded = format!("{value:.4}");
    rounded.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{SHEET, Told, told_of, visit};
    use Verdict::{BeforeLeaving, NotReached, Settled, Sound, TooClose};
    use proptest::prelude::*;

    const LIFE: &str =
        "life        = { median = \"90000 km\", spread = 1.5, source = \"invented life of discs\" }\n";
    const LIMIT: &str = "limit     = { min = \"23.0 mm\", source = \"invented, cast into the disc\" }\n";

    /// The discs may lie 0.30 mm apart; nothing is known of their life, so that only the readings speak.
    fn sheet() -> String {
        let differs = "differs   = [{ between = \"sides\", max = \"0.30 mm\", source = \"invented, a stuck caliper\" }]\n";
        SHEET.replace(LIFE, "").replace(LIMIT, &format!("{LIMIT}{differs}"))
    }

    fn discs(left: &str, right: &str) -> Told {
        read(&sheet(), &[("front.left", left, "caliper-1"), ("front.right", right, "caliper-1")])
    }

    fn read(sheet: &str, readings: &[(&str, &str, &str)]) -> Told {
        let lines: Vec<String> = readings
            .iter()
            .map(|(place, value, instrument)| {
                format!("[[reading]]\ncheck = \"disc-thickness\"\nplace = \"{place}\"\nvalues = [\"{value}\"]\ninstrument = \"{instrument}\"\n")
            })
            .collect();
        told_of("dora", sheet, &[visit("2025-05-01", 80_000, &lines.concat())])
    }

    fn left(told: &Told) -> Judged {
        told.judged("disc-thickness", "front.left")
    }

    fn right(told: &Told) -> Judged {
        told.judged("disc-thickness", "front.right")
    }

    fn of_difference(judged: &Judged) -> &Reason {
        judged.reasons.iter().find(|reason| reason.says.contains("It lies ")).unwrap()
    }

    /// By hand: each caliper reading has √(0.03² + 0.02²/12) = 0.0306 mm of its own; the same calibration cancels, that of
    /// two instruments does not. Φ((0.40 − 0.30)/u): 0.98968 and 0.99886 (CPython 3.11, `statistics.NormalDist`).
    #[test]
    fn one_instrument_cancels_its_own_error_and_two_do_not() {
        let same = right(&discs("24.50 mm", "24.10 mm"));
        assert!((same.p_beyond.unwrap() - 0.989_68).abs() < 5e-5, "{:?}", same.p_beyond);
        let across =
            read(&sheet(), &[("front.left", "24.50 mm", "mic-1"), ("front.right", "24.10 mm", "caliper-1")]);
        assert!((right(&across).p_beyond.unwrap() - 0.998_86).abs() < 5e-5, "{:?}", right(&across).p_beyond);
        let steps = |judged: &Judged| of_difference(judged).steps.join("\n");
        assert!(steps(&same).contains("caliper-1, whose calibration error cancels"), "{}", steps(&same));
        assert!(steps(&right(&across)).contains("share no error"));
    }

    #[test]
    fn the_one_that_stands_out_carries_the_verdict_and_the_other_tells_of_it() {
        let told = discs("24.50 mm", "24.00 mm");
        let (sound, out) = (left(&told), right(&told));
        assert_eq!((sound.verdict, out.verdict), (Sound, BeforeLeaving));
        assert!(of_difference(&sound).says.ends_with("The one that stands out is front right."));
        assert!(of_difference(&out).says.ends_with("This is the one that stands out."));
        assert_eq!(of_difference(&out).source.as_deref(), Some("invented, a stuck caliper"));
        assert_eq!(
            out.carries.consequence.as_deref(),
            Some(
                "It lies 0.50 mm from front left; at most 0.30 mm is allowed between left and right. The van may not stop when it has to."
            )
        );
        assert_eq!(
            out.reasons.iter().filter(|r| r.source.as_deref() == Some("table of verdicts")).count(),
            1
        );
        // On a part that is only there for comfort, what is past it for certain is still put right; what may be, is not.
        let comfort = sheet().replacen(
            "places      = \"front-sides\"\ncriticality = \"safety\"",
            "places      = \"front-sides\"\ncriticality = \"comfort\"",
            1,
        );
        let told =
            read(&comfort, &[("front.left", "24.50 mm", "mic-1"), ("front.right", "24.21 mm", "mic-1")]);
        assert_eq!(right(&told).verdict, Sound);
    }

    #[test]
    fn a_difference_alone_never_keeps_a_car_from_being_driven() {
        let told = discs("25.00 mm", "23.30 mm");
        assert_eq!(right(&told).verdict, BeforeLeaving, "{:?}", right(&told).p_beyond);
    }

    #[test]
    fn what_the_readings_cannot_decide_names_what_would() {
        let told = discs("24.50 mm", "24.22 mm");
        let judged = right(&told);
        assert_eq!(judged.verdict, TooClose, "{:#?}", judged.reasons);
        assert_eq!(
            judged.carries.decided_by.as_deref(),
            Some("Measured again at both places with the micrometer, it would be decided.")
        );
        // Nothing at hand would do better: the table counts.
        let alone = sheet().replace(", also = [\"micrometer\"]", "").replace("repeats = 3", "keep = \"min\"");
        let told = read(
            &alone,
            &[("front.left", "24.50 mm", "caliper-1"), ("front.right", "24.22 mm", "caliper-1")],
        );
        assert_eq!(right(&told).verdict, BeforeLeaving);
    }

    #[test]
    fn readings_of_different_parts_are_not_held_against_each_other() {
        let worn = |place: &str, value: &str, after: bool| {
            format!(
                "[[reading]]\ncheck = \"disc-thickness\"\nplace = \"{place}\"\nvalues = [\"{value} mm\"]\nafter-work = {after}\n"
            )
        };
        let done = "[[done]]\noperation = \"renew-discs\"\n";
        let told =
            |lines: &[String]| told_of("dora", &sheet(), &[visit("2025-05-01", 80_000, &lines.concat())]);
        // Both worn, both renewed, and only the left one measured again: its neighbour's reading is of a disc that is gone.
        let one = told(&[
            worn("front.left", "24.00", false),
            worn("front.right", "23.90", false),
            done.into(),
            worn("front.left", "25.02", true),
        ]);
        assert_eq!(left(&one).verdict, Sound);
        assert!(left(&one).reasons.iter().all(|reason| !reason.says.contains("apart")));
        let both =
            told(&[done.into(), worn("front.left", "25.02", true), worn("front.right", "24.10", true)]);
        assert_eq!(right(&both).verdict, BeforeLeaving);
        // As found, both before the work: that is how it was, and it is dealt with.
        let before =
            told(&[worn("front.left", "24.80", false), worn("front.right", "24.00", false), done.into()]);
        assert_eq!((right(&before).verdict, right(&before).is_open()), (BeforeLeaving, false));
        let alone = told(&[worn("front.left", "24.00", false)]);
        assert!(left(&alone).reasons.iter().all(|reason| !reason.says.contains("apart")));
    }

    #[test]
    fn a_difference_without_a_limit_on_the_value_is_judged_by_itself() {
        let only = sheet()
            .replace(LIMIT, "")
            .replace("new       = { value = \"25.0 mm\", tolerance = \"0.1 mm\" }\n", "");
        let told = |left: &str, right: &str| {
            read(&only, &[("front.left", left, "mic-1"), ("front.right", right, "mic-1")])
        };
        let near = told("24.50 mm", "24.40 mm");
        assert_eq!((left(&near).verdict, right(&near).verdict), (Sound, Sound));
        assert!(left(&near).p_beyond.is_some_and(|p| p < 1e-6));
        // Nothing says which way it wears: either may be the one.
        let far = told("24.50 mm", "24.00 mm");
        assert_eq!((left(&far).verdict, right(&far).verdict), (BeforeLeaving, BeforeLeaving));
        assert!(of_difference(&left(&far)).says.contains("Which of the two"));
        assert!(left(&far).outlook.is_some(), "the plan knows how likely it fails");
        let alone = read(&only, &[("front.left", "24.50 mm", "mic-1")]);
        assert_eq!(left(&alone).verdict, Settled, "nothing to hold it against");
    }

    #[test]
    fn never_sound_from_a_look_that_could_not_tell_though_it_lies_near_the_others() {
        let line = |place: &str, seen: &str| {
            format!(
                "[[reading]]\ncheck = \"disc-thickness\"\nplace = \"{place}\"\nvalues = [\"24.5 mm\"]\nseen = \"{seen}\"\n"
            )
        };
        let body = line("front.left", "feel") + &line("front.right", "clear");
        let told = told_of("dora", &sheet(), &[visit("2025-05-01", 80_000, &body)]);
        assert_eq!((left(&told).verdict, right(&told).verdict), (NotReached, Sound));
    }

    /// Four cylinders, compression in bar, of which two neighbours are low: the middle of all lies between, the limit tells.
    /// Of ten valves, two retainers that have climbed: the middle tells.
    #[test]
    fn the_odd_one_out_is_told_by_the_middle_and_else_by_the_limit() {
        let min = Scale {
            limit: Some(Limit { min: Some(11.0), max: None, source: String::new() }),
            ..Scale::default()
        };
        let four = [12.9, 8.1, 8.3, 12.7];
        assert_eq!(stands_out(&min, 12.9, 8.1, &four), Out::There);
        assert_eq!(stands_out(&min, 8.3, 12.9, &four), Out::Here);
        let ten = [1.52, 1.55, 1.50, 1.54, 1.53, 1.17, 1.56, 1.51, 1.52, 1.02];
        assert_eq!(stands_out(&Scale::default(), 1.17, 1.56, &ten), Out::Here);
        assert_eq!(stands_out(&Scale::default(), 1.50, 1.02, &ten), Out::There);
        // One that is better than all others stands out as well, whatever the limit.
        assert_eq!(stands_out(&min, 12.0, 14.5, &[12.0, 12.1, 11.9, 14.5]), Out::There);
        assert_eq!(stands_out(&Scale::default(), 2.0, 1.0, &[2.0, 1.0]), Out::Either);
    }

    fn verdicts(told: &Told) -> [Verdict; 2] {
        [left(told).verdict, right(told).verdict]
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

        /// 1 in = 25.4 mm exactly (international yard and pound agreement, 1959; from memory). Written to one resolution.
        #[test]
        fn inches_give_the_same_verdict(a in 930i32..980, b in 930i32..980) {
            let inch = |thousandths: i32| f64::from(thousandths) / 1000.0;
            let metric = discs(&format!("{:.4} mm", inch(a) * 25.4), &format!("{:.4} mm", inch(b) * 25.4));
            let imperial = discs(&format!("{:.6} in", inch(a)), &format!("{:.6} in", inch(b)));
            prop_assert_eq!(verdicts(&metric), verdicts(&imperial));
            for (m, i) in [(left(&metric), left(&imperial)), (right(&metric), right(&imperial))] {
                prop_assert!((m.p_beyond.unwrap() - i.p_beyond.unwrap()).abs() < 1e-6);
            }
        }

        #[test]
        fn adding_the_same_to_all_places_changes_nothing(a in 2400i32..2450, b in 2400i32..2450, more in 0i32..40) {
            let at = |more: i32| {
                let mm = |hundredths: i32| format!("{}.{:02} mm", (hundredths + more) / 100, (hundredths + more) % 100);
                discs(&mm(a), &mm(b))
            };
            prop_assert_eq!(verdicts(&at(0)), verdicts(&at(more)));
        }

        /// What lies within the limit may become undecided when it is known less well, never past it.
        #[test]
        fn less_certainty_never_takes_what_is_within_for_past(apart in 0.0..0.3_f64, u in 1e-4..100.0_f64) {
            let known = Measurement::with_u(apart, u, f64::INFINITY, quantity::Unit::MM).unwrap();
            let bounds = Bounds::new(f64::NEG_INFINITY, 0.3).unwrap();
            let conformity = Conformity::of(&Belief::of(&known).unwrap(), &bounds);
            prop_assert_ne!(conformity.decide(quantity::AcceptedRisk::SAFETY), quantity::Decision::Fail);
            let coarse = sheet().replace("repeatability = \"0.03 mm\"", &format!("repeatability = \"{:.4} mm\"", u.min(3.0)));
            let readings = ("24.50 mm".to_owned(), format!("{:.2} mm", 24.50 - apart));
            let told = read(&coarse, &[("front.left", &readings.0, "caliper-1"), ("front.right", &readings.1, "caliper-1")]);
            let decided = of_difference(&right(&told)).says.contains("more than 99");
            prop_assert!(!decided);
        }

        #[test]
        fn further_apart_is_never_a_better_verdict(apart in 0i32..80, more in 1i32..20) {
            let of = |apart: i32| right(&discs("24.90 mm", &format!("{:.2} mm", 24.90 - f64::from(apart) / 100.0))).verdict;
            let (before, after) = (of(apart), of(apart + more));
            // Too close to say lies outside the order, as for a value: right at the limit no further reading would decide.
            match (before, after) {
                (_, TooClose) => {}
                (TooClose, after) => prop_assert!(after >= BeforeLeaving, "{:?}", after),
                (before, after) => prop_assert!(after >= before, "{:?} then {:?}", before, after),
            }
        }
    }
}
