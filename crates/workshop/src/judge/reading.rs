//! A measured value against its limit, now and at the next visit.

use super::doubt::{Doubt, doubt};
use super::measure::Made;
use super::{At, Judge};
use crate::ageing::{Ageing, Start};
use crate::assessment::{Judged, Measured, Outcome, Reason};
use crate::car::{Finding, Moment, Visit, km};
use crate::odometer::NextVisit;
use crate::outlook::Outlook;
use crate::verdict::{by_the_table, is_open};
use crate::words;
use jiff::civil::Date;
use prognosis::Z95;
use prognosis::wear::{self, Limits, Path};
use quantity::{AcceptedRisk, Belief, Bounds, Conformity};
use sheet::{CheckKind, Criticality, Scale, Verdict};
use std::sync::Arc;

/// Spread between new parts, as a share of the way from new to the limit, where the sheet gives no tolerance. Common
/// practice, no source.
pub(super) const NEW_SPREAD_SHARE: f64 = 0.02;
/// Two readings differ when they are further apart than so many standard uncertainties of their difference.
const MOVED: f64 = 2.0;

/// One value of a check at one place.
pub(super) struct Point {
    pub moment: Moment,
    pub date: Date,
    pub km: f64,
    pub made: Made,
}

/// The wear of a kind of part, toward one limit.
pub(super) struct WearOfKind {
    pub prior: wear::Prior,
    pub limits: Limits,
    /// The limit that it wears toward.
    pub end: f64,
    pub ageing: Ageing,
}

impl<'a> Judge<'a> {
    pub(super) fn reading(&self, at: At<'a>, visit: &'a Visit, finding: Option<&Finding>) -> Judged {
        let mut judged = self.blank(at, visit, finding);
        let made = match self.made(at, visit) {
            Some(Ok(made)) => made,
            Some(Err(unclear)) => {
                judged.carries.why = Some(unclear.clone());
                return judged
                    .with(Verdict::NotReached, Reason::new(format!("Cannot be worked out: {unclear}.")));
            }
            None => {
                return judged.not_described("The data sheet no longer describes this reading.");
            }
        };
        let scale = match &at.check.kind {
            CheckKind::Reading(reading) => &reading.scale,
            CheckKind::Derived(derived) => &derived.scale,
            CheckKind::Observation(_) | CheckKind::Interval(_) => &Scale::default(),
        };
        judged.reason(Reason::new(made.says.clone()).from_source(match &made.formula {
            Some((formula, _)) => format!("formula {formula}"),
            None => "its uncertainty: repeats, resolution, calibration".into(),
        }));
        for note in made.measurement.notes() {
            judged.reason(Reason::new(words::upper_first(&format!("{note}."))));
        }
        let (moment, date) = (self.said_at(at, visit).unwrap_or_default(), visit.date);
        let earlier = self.points(at, moment);
        let mut measured = Measured {
            measurement: made.measurement.clone(),
            unit: made.measurement.unit(),
            decimals: made.decimals,
            scale: scale.clone(),
            decision: None,
            earlier: earlier.iter().map(|point| (point.date, point.made.measurement.value())).collect(),
            at_next_visit: None,
            formula: made.formula.clone(),
        };
        let point = Point { moment, date, km: km(&visit.odometer), made };

        let conformity =
            self.against_limit(scale, &point, at.component.criticality, &mut measured, &mut judged);
        if let Some(conformity) = conformity {
            self.forecast(at, scale, &earlier, &point, &mut measured, &mut judged);
            self.decide(at, &point, finding, conformity, &measured, &mut judged);
        }
        let mut further = self.apart(at, visit, scale, &point, &mut judged);
        further.extend(self.trend(at, scale, &earlier, &point, &mut judged));
        if conformity.is_none() && further.is_empty() {
            judged.computed = Verdict::Settled;
            judged.verdict = Verdict::Settled;
            judged.carries.why = Some("Kept to compare with later readings; no limit is set.".into());
            judged.reason(Reason::new("The data sheet sets no limit: the value is kept to compare."));
        } else if conformity.is_none() {
            (judged.computed, judged.verdict) = (Verdict::Sound, Verdict::Sound);
        }
        self.settle(scale, &earlier, &point, &mut judged);
        let rests_on = self.weigh(at, further, &mut judged);
        if let Some(seen) = self.seen_at_worst(at, visit) {
            judged.only_if_seen(seen);
        }
        judged.what = Outcome::Measured(Box::new(measured));
        self.carry(at, &mut judged);
        if let Some(why) = rests_on {
            self.carry_further(why, &mut judged, at.component.criticality);
        }
        judged
    }

    /// Earlier values of the same part, oldest first.
    fn points(&self, at: At<'a>, before: Moment) -> Vec<Point> {
        let part = self.fittings.at(&at.check.component, at.place, before).from;
        self.visits()
            .filter_map(|visit| {
                let moment = self.said_at(at, visit)?;
                let same = self.fittings.at(&at.check.component, at.place, moment).from == part;
                let made = self.made(at, visit).filter(|_| moment < before && same)?.ok()?;
                Some(Point { moment, date: visit.date, km: km(&visit.odometer), made })
            })
            .collect()
    }

    /// Where the true value probably lies with respect to the limit.
    fn against_limit(
        &self,
        scale: &Scale,
        point: &Point,
        criticality: Criticality,
        measured: &mut Measured,
        judged: &mut Judged,
    ) -> Option<Conformity> {
        let limit = scale.limit.as_ref()?;
        let bounds =
            Bounds::new(limit.min.unwrap_or(f64::NEG_INFINITY), limit.max.unwrap_or(f64::INFINITY)).ok()?;
        let belief = Belief::of(&point.made.measurement).ok()?;
        // Play and run-out cannot be negative, whatever the gauge says.
        let cannot_be_negative =
            limit.min.is_none() && scale.new.as_ref().is_some_and(|new| new.value == 0.0);
        let belief =
            if cannot_be_negative { belief.bounded(0.0, f64::INFINITY).unwrap_or(belief) } else { belief };
        let conformity = Conformity::of(&belief, &bounds);
        let risk = accepted_risk(criticality);
        measured.decision = Some(conformity.decide(risk));
        judged.p_beyond = Some(conformity.beyond());
        let shown = |stated: f64| words::stated(stated, measured.decimals, measured.unit);
        let limits = match (limit.min, limit.max) {
            (Some(min), Some(max)) => format!("{} to {}", shown(min), shown(max)),
            (Some(min), None) => format!("at least {}", shown(min)),
            (None, Some(max)) => format!("at most {}", shown(max)),
            (None, None) => return None,
        };
        judged.reason(
            Reason::new(format!(
                "The limit is {limits}; the chance of being past it now is {}.",
                words::chance(conformity.beyond())
            ))
            .from_source(limit.source.clone()),
        );
        Some(conformity)
    }

    /// Where the value will be at the next visit, from this part's own readings and the life of its kind.
    fn forecast(
        &self,
        at: At<'a>,
        scale: &Scale,
        earlier: &[Point],
        point: &Point,
        measured: &mut Measured,
        judged: &mut Judged,
    ) {
        let Some(next) = &self.next_visit else { return };
        let Some((outlook, known_start, doubt)) = self.wear(at, scale, earlier, point) else { return };
        if let Some(doubt) = &doubt {
            let counts = match doubt {
                Doubt::Backwards(_) => "for less",
                Doubt::TooFast(_) => "in full",
            };
            let says = format!("{} Until that is answered the reading counts {counts}.", doubt.question());
            judged.reason(Reason::new(says).ahead());
        }
        judged.question = doubt.map(|doubt| doubt.question().to_owned());
        let Outlook::Wear { path, ageing, start, .. } = &outlook else { return };
        let levels: Vec<wear::Level> =
            next.km.iter().map(|km| path.level(ageing.since(*start, next.date, *km))).collect();
        let n = levels.len() as f64;
        let mean = levels.iter().map(|level| level.mean).sum::<f64>() / n;
        let square =
            levels.iter().map(|level| level.sd.powi(2) + (level.mean - mean).powi(2)).sum::<f64>() / n;
        let reach = Z95 * square.sqrt();
        // While a reading is in doubt its path is too: no place is drawn for the next visit.
        measured.at_next_visit = judged.question.is_none().then_some((mean - reach, mean + reach));

        if point.date < self.today {
            judged.p_beyond = Some(outlook.fails_by(self.today, self.today, &self.odometer));
        }
        // What is past its limit now will be past it then.
        let p_next =
            outlook.fails_by(next.date, self.today, &self.odometer).max(judged.p_beyond.unwrap_or(0.0));
        judged.p_next = Some(p_next);
        let rate = path.rate();
        let (per, unit) =
            if ageing.share_km >= 0.5 { (10_000.0 / ageing.km_a_year, "10 000 km") } else { (1.0, "year") };
        let digits = |rate: f64| words::value(rate * per, measured.decimals + 1, measured.unit);
        let from = match (earlier.len() + 1, known_start) {
            (1, true) => "one reading since it was new, and the life of its kind".into(),
            (1, false) => "one reading, age not known, and the life of its kind".into(),
            (n, _) => format!("{n} readings of this part and the life of its kind"),
        };
        judged.reason(
            Reason::new(format!(
                "Wear per {unit}: {}, nine times in ten between {} and {}; from {from}.",
                digits(rate.median),
                digits(rate.low),
                digits(rate.high),
            ))
            .from_source(at.component.life.as_ref().map_or(String::new(), |life| life.source.clone()))
            .ahead(),
        );
        judged.reason(next_visit_reason(next, p_next));
        judged.outlook = Some(outlook);
    }

    /// The wear path of the part, whether its start is known, and what is to be asked about the last reading.
    fn wear(
        &self,
        at: At<'a>,
        scale: &Scale,
        earlier: &[Point],
        point: &Point,
    ) -> Option<(Outlook, bool, Option<Doubt>)> {
        let WearOfKind { prior, limits, end, ageing } = self.wear_of_kind(at, scale)?;
        let fitted = self.fittings.at(&at.check.component, at.place, point.moment).start;
        let (prior, start) = match fitted {
            Some(start) => (prior, start),
            None => {
                // The age is not known: the clock starts at the first reading, from which alone comes the level there.
                let first = earlier.first().unwrap_or(point);
                let way = (end - prior.new).abs();
                let vague = wear::Prior { new: f64::midpoint(prior.new, end), new_sd: way, ..prior };
                (vague, Start { date: first.date, km: first.km })
            }
        };
        let readings: Vec<wear::Reading> = earlier
            .iter()
            .chain([point])
            .map(|point| {
                let measured = &point.made.measurement;
                let (shared, instrument) = measured
                    .shared()
                    .map(|(name, u)| (u.abs(), tag(name)))
                    .max_by(|a, b| a.0.total_cmp(&b.0))
                    .unwrap_or((0.0, 0));
                let x = ageing.since(start, point.date, point.km);
                wear::Reading::new(x, measured.value(), measured.u_e().max(f64::MIN_POSITIVE))
                    .by(instrument, shared)
            })
            .collect();
        let doubt = doubt(&prior, &readings);
        // Nothing is dropped: what looks too good is believed the less, the further off it lies.
        let path = match doubt {
            Some(Doubt::Backwards(_)) => Path::fit_robust(&prior, &readings).ok()?.0,
            _ => Path::fit(&prior, &readings).ok()?,
        };
        Some((Outlook::Wear { path: Arc::new(path), limits, ageing, start }, fitted.is_some(), doubt))
    }

    /// What is known of the wear of such a part before it was ever read.
    pub(super) fn wear_of_kind(&self, at: At<'a>, scale: &Scale) -> Option<WearOfKind> {
        let (limit, new, life) = (scale.limit.as_ref()?, scale.new.as_ref()?, at.component.life.as_ref()?);
        let limits = Limits { min: limit.min, max: limit.max };
        // With two limits nothing says which way it wears.
        let end = match (limit.min, limit.max) {
            (Some(min), None) => min,
            (None, Some(max)) => max,
            _ => return None,
        };
        let ageing = self.ageing(at.component);
        let life =
            prognosis::life::Prior { median: ageing.median(life), spread: life.spread, sure: life.sure };
        let way = (end - new.value).abs();
        let spread = new.tolerance.map_or(NEW_SPREAD_SHARE * way, |half_width| half_width / f64::sqrt(3.0));
        let prior = wear::Prior::from_life(new.value, spread, end, &life).ok()?;
        Some(WearOfKind { prior, limits, end, ageing })
    }

    /// The verdict that follows.
    fn decide(
        &self,
        at: At<'a>,
        point: &Point,
        finding: Option<&Finding>,
        conformity: Conformity,
        measured: &Measured,
        judged: &mut Judged,
    ) {
        let criticality = at.component.criticality;
        let now = judged.p_beyond.unwrap_or_else(|| conformity.beyond());
        let next = judged.p_next.unwrap_or(now);
        let by_table = by_the_table(criticality, now, next);
        let open =
            measured.decision.is_some_and(|decision| is_open(criticality, decision, now, judged.p_next));
        let settled_by = open.then(|| self.settled_by(at, point, finding)).flatten();
        let verdict = match settled_by {
            Some(how) => {
                judged.reason(Reason::new(format!("The measurement cannot decide. {how}")));
                judged.carries.decided_by = Some(how);
                Verdict::TooClose
            }
            None => by_table,
        };
        judged.computed = verdict;
        judged.verdict = verdict;
        judged.reason(self.table_reason(criticality, verdict));
    }

    /// Marked by age, explained and not moving: the sheet says which values those are.
    fn settle(&self, scale: &Scale, earlier: &[Point], point: &Point, judged: &mut Judged) {
        let Some(settled) = &scale.settled else { return };
        let measured = &point.made.measurement;
        let inside = settled.min.is_none_or(|min| measured.value() >= min)
            && settled.max.is_none_or(|max| measured.value() <= max);
        let still = earlier.last().map(|last| {
            quantity::difference(measured, &last.made.measurement)
                .is_ok_and(|moved| moved.value().abs() <= MOVED * moved.u())
        });
        // One reading shows no rest: it explains what is sound anyway, but quiets nothing.
        let explained = match judged.computed {
            Verdict::Sound => still.unwrap_or(true),
            Verdict::LookAgain => still.unwrap_or(false),
            _ => false,
        };
        if inside && explained {
            judged.computed = Verdict::Settled;
            judged.verdict = Verdict::Settled;
            judged.carries.why = Some(settled.why.clone());
            judged.reason(Reason::new(format!("Settled: {}", settled.why)));
        }
    }

    /// The line of the table that a verdict rests on.
    pub(super) fn table_reason(&self, criticality: Criticality, verdict: Verdict) -> Reason {
        let table = crate::verdict::thresholds(criticality);
        let stake = match criticality {
            Criticality::Safety => "Safety",
            Criticality::EngineLoss => "The engine",
            Criticality::Stranded => "Being stranded",
            Criticality::Comfort => "Comfort",
        };
        let asks = match verdict {
            Verdict::StaysPut => "past its limit almost certainly, the car stays put".into(),
            Verdict::BeforeLeaving => format!(
                "from {} now, or {} by the next visit, it is put right before the car leaves",
                words::chance(table.now),
                words::chance(table.next)
            ),
            Verdict::Plan => format!("from {} by the next visit it is planned", words::chance(table.plan)),
            Verdict::LookAgain => {
                format!("from {} by the next visit it is looked at again", words::chance(table.look_again))
            }
            _ => format!("below {} by the next visit nothing is asked", words::chance(table.look_again)),
        };
        Reason::by_the_table(format!("{stake} is at stake: {asks}."))
    }
}

/// The chance of being past the limit at the next visit.
pub(super) fn next_visit_reason(next: &NextVisit, p_next: f64) -> Reason {
    Reason::new(format!(
        "At the next visit, {} at {}, the chance of being past the limit is {}.",
        words::month(next.date),
        words::about_km(next.km[next.km.len() / 2]),
        words::chance(p_next)
    ))
    .ahead()
}

/// Parts that hold the car on the road pass only when nearly certain.
pub(super) fn accepted_risk(criticality: Criticality) -> AcceptedRisk {
    if criticality == Criticality::Safety { AcceptedRisk::SAFETY } else { AcceptedRisk::USUAL }
}

/// A number that stands for a name: equal names share an error. FNV-1a.
fn tag(name: &str) -> u32 {
    name.bytes().fold(0x811C_9DC5, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{SHEET, Told, told, told_of, visit};
    use Criticality::{Comfort, EngineLoss, Safety, Stranded};
    use Verdict::{BeforeLeaving, LookAgain, NotReached, Plan, Settled, Sound, StaysPut, TooClose};
    use jiff::civil::date;
    use proptest::prelude::*;

    const RENEWED: &str = "[[done]]\noperation = \"renew-discs\"\n";

    fn thickness(mm: &str) -> String {
        format!("[readings]\ndisc-thickness = {{ \"front.left\" = {mm} }}\n")
    }

    /// The left front disc, renewed at 20 000 km and read 60 000 km and five years later.
    fn worn(sheet: &str, reading: &str) -> Judged {
        let story = [visit("2020-05-01", 20_000, RENEWED), visit("2025-05-01", 80_000, reading)];
        told_of("dora", sheet, &story).judged("disc-thickness", "front.left")
    }

    /// The data sheet without what a forecast needs: only the measurement can speak.
    fn without_life() -> String {
        SHEET.replace(
            "life        = { median = \"90000 km\", spread = 1.5, source = \"invented life of discs\" }\n",
            "",
        )
    }

    fn of_criticality(sheet: &str, criticality: Criticality) -> String {
        sheet.replacen(
            "places      = \"front-sides\"\ncriticality = \"safety\"",
            &format!("places      = \"front-sides\"\ncriticality = \"{}\"", criticality.id()),
            1,
        )
    }

    /// Everything that a verdict must carry, by the glossary.
    fn carries_what_it_must(judged: &Judged) {
        let carries = &judged.carries;
        let there = match judged.verdict {
            Sound => true,
            Settled | NotReached => carries.why.as_ref().is_some_and(|why| !why.is_empty()),
            LookAgain => carries.trigger.as_ref().is_some_and(|when| !when.is_never()),
            Plan => carries.window.is_some_and(|(from, to)| from <= to),
            BeforeLeaving | StaysPut => carries.consequence.as_ref().is_some_and(|says| !says.is_empty()),
            TooClose => carries.decided_by.as_ref().is_some_and(|says| !says.is_empty()),
        };
        assert!(there, "{:?} carries {carries:?}", judged.verdict);
        assert!(!judged.reasons.is_empty());
    }

    #[test]
    fn a_disc_goes_through_the_verdicts_as_it_wears() {
        for (mm, verdict) in [
            ("24.00", Sound),
            ("23.60", Sound),
            ("23.57", LookAgain),
            ("23.50", Plan),
            ("23.30", BeforeLeaving),
            ("23.06", BeforeLeaving),
            ("23.00", BeforeLeaving),
            ("22.96", BeforeLeaving),
            ("22.90", StaysPut),
            ("21.00", StaysPut),
        ] {
            let judged = worn(SHEET, &thickness(&format!("\"{mm} mm\"")));
            let chances = (judged.p_beyond, judged.p_next);
            assert_eq!(judged.verdict, verdict, "{mm} mm: {chances:?}");
            assert_eq!(judged.computed, verdict);
            carries_what_it_must(&judged);
        }
    }

    /// Without a forecast, what the measurement says of now decides alone: near the limit of a part that the brakes hang
    /// on, it cannot.
    #[test]
    fn near_the_limit_it_is_said_what_would_decide() {
        let one_more = "1 more reading would decide it.";
        let finer = "Measured again with the micrometer, it would be decided.";
        for (reading, verdict, decided_by) in [
            ("\"23.20 mm\"", Sound, None),
            ("\"23.06 mm\"", TooClose, Some(one_more)),
            (
                "[\"23.04 mm\", \"23.04 mm\", \"23.04 mm\"]",
                TooClose,
                Some("4 more readings would decide it."),
            ),
            ("\"23.02 mm\"", TooClose, Some(finer)),
            ("\"22.98 mm\"", TooClose, Some(finer)),
            ("\"23.00 mm\"", BeforeLeaving, None), // on the limit nothing decides
            ("\"22.95 mm\"", TooClose, Some(one_more)),
            ("\"22.90 mm\"", StaysPut, None),
        ] {
            let judged = worn(&without_life(), &thickness(reading));
            assert_eq!(judged.verdict, verdict, "{reading}: {:?}", judged.p_beyond);
            assert_eq!(judged.carries.decided_by.as_deref(), decided_by, "{reading}");
            assert_eq!(judged.p_next, None);
            carries_what_it_must(&judged);
        }
    }

    #[test]
    fn an_instrument_decides_only_if_the_workshop_owns_one_that_the_check_allows() {
        let reading = thickness("\"23.02 mm\"");
        let unknown = without_life().replace(", also = [\"micrometer\"]", "");
        assert_eq!(worn(&unknown, &reading).verdict, BeforeLeaving);

        let mut shelf = crate::support::Shelf::with_sheet(&without_life());
        let end = crate::support::WORKSHOP.find("[[instrument]]").unwrap();
        let poor = &crate::support::WORKSHOP[..end];
        shelf.record(&[("workshop.toml", poor), ("dora.toml", crate::support::DORA)]).unwrap();
        shelf.record(&[("1.toml", &visit("2025-05-01", 80_000, &reading))]).unwrap();
        assert_eq!(shelf.told("dora").verdict("disc-thickness", "front.left"), BeforeLeaving);
    }

    /// The verdict of what is measured with the micrometer instead, as was asked for.
    #[test]
    fn the_finer_instrument_decides_as_was_said() {
        let with_micrometer = |mm: &str| {
            format!(
                "[[reading]]\ncheck = \"disc-thickness\"\nplace = \"front.left\"\nvalues = [\"{mm} mm\"]\ninstrument = \"mic-1\"\n"
            )
        };
        assert_eq!(worn(&without_life(), &with_micrometer("23.020")).verdict, Sound);
        assert_eq!(worn(&without_life(), &with_micrometer("22.980")).verdict, StaysPut);
    }

    #[test]
    fn what_the_measurement_says_of_now_can_ask_for_work_by_itself() {
        // Nothing that the workshop owns or would do decides at 0.01 mm from the limit with a sliding caliper.
        let sheet = without_life().replace(", also = [\"micrometer\"]", "");
        let judged = worn(&sheet, &thickness("\"23.01 mm\""));
        assert_eq!((judged.verdict, judged.p_next), (BeforeLeaving, None));
        assert!(judged.p_beyond.unwrap() > 0.05);
        assert_eq!(judged.carries.consequence.as_deref(), Some("The van may not stop when it has to."));
    }

    /// Three lines of the budget, by hand: repeatability, resolution over √12 (JCGM 100:2008 F.2.2.1), half the expanded
    /// uncertainty of the certificate (JCGM 100:2008 4.3.3); out of date the last counts double (common practice, no
    /// source).
    #[test]
    fn calibration_out_of_date_counts_double_and_is_said() {
        let with = |instrument: &str| {
            let line = format!("values = [\"24.000 mm\"]\ninstrument = \"{instrument}\"\n");
            worn(SHEET, &format!("[[reading]]\ncheck = \"disc-thickness\"\nplace = \"front.left\"\n{line}"))
        };
        let by_hand = |factor: f64| {
            let resolution = 0.001 / f64::sqrt(12.0);
            (0.002_f64.powi(2) + resolution.powi(2) + (factor * 0.002).powi(2)).sqrt()
        };
        for (instrument, factor) in [("mic-1", 1.0), ("mic-late", 2.0)] {
            let judged = with(instrument);
            let u = judged.measured().unwrap().measurement.u();
            assert!((u / by_hand(factor) - 1.0).abs() < 1e-12, "{instrument}: {u}");
            let said = judged.reasons.iter().any(|reason| reason.says.contains("alibration"));
            assert_eq!(said, factor > 1.0, "{:#?}", judged.reasons);
        }
    }

    #[test]
    fn never_sound_from_a_look_that_could_not_tell() {
        for (seen, verdict) in [
            ("open", Sound),
            ("clear", Sound),
            ("part", NotReached),
            ("dirt", NotReached),
            ("feel", NotReached),
            ("told", NotReached),
        ] {
            let reading = |check: &str, value: &str| {
                format!("[[reading]]\ncheck = \"{check}\"\nvalues = [\"{value}\"]\nseen = \"{seen}\"\n")
            };
            let thickness =
                reading("disc-thickness", "24.0 mm").replace("values", "place = \"front.left\"\nvalues");
            let judged = worn(SHEET, &thickness);
            assert_eq!(judged.verdict, verdict, "{seen}");
            carries_what_it_must(&judged);

            // One of the readings behind a derived one is enough.
            let pump =
                format!("[readings]\npump-bore = \"20.050 mm\"\n{}", reading("pump-shaft", "20.010 mm"));
            let judged = told(&[visit("2025-05-01", 80_000, &pump)]).judged("pump-play", "single");
            assert_eq!(judged.verdict, verdict, "derived, {seen}");
        }
        // What is past its limit is so, however it was seen.
        let felt = "[[reading]]\ncheck = \"disc-thickness\"\nplace = \"front.left\"\nvalues = [\"22.0 mm\"]\nseen = \"feel\"\n";
        assert_eq!(worn(SHEET, felt).verdict, StaysPut);
    }

    #[test]
    fn a_value_without_a_limit_is_kept_to_compare() {
        let judged = told(&[visit("2025-05-01", 80_000, "[readings]\nbelt-note = \"160 Hz\"")])
            .judged("belt-note", "single");
        assert_eq!((judged.verdict, judged.p_beyond), (Settled, None));
        carries_what_it_must(&judged);
    }

    #[test]
    fn play_cannot_be_negative_whatever_the_gauge_says() {
        // 0.01 mm with 0.0326 mm of uncertainty: half of an unbounded belief would lie below nothing.
        let judged = told(&[visit("2025-05-01", 80_000, "[readings]\nhinge-play = \"0.01 mm\"")])
            .judged("hinge-play", "single");
        assert_eq!(judged.verdict, Settled);
        assert!(judged.p_beyond.unwrap() < 1e-12);
    }

    #[test]
    fn values_in_the_settled_range_are_told_with_their_reason_while_they_stay() {
        let play = |mm: &str| format!("[readings]\nhinge-play = \"{mm} mm\"");
        for (name, visits, verdict) in [
            ("inside, once", vec!["1.50"], Settled),
            ("inside, and where it was", vec!["1.50", "1.52"], Settled),
            ("inside, but moved", vec!["0.50", "2.90"], Sound),
            ("above", vec!["3.40", "3.42"], Sound),
        ] {
            let visits: Vec<String> = visits
                .iter()
                .zip(["2023-05-01", "2025-05-01"])
                .map(|(mm, date)| visit(date, 80_000, &play(mm)))
                .collect();
            let judged = told(&visits).judged("hinge-play", "single");
            assert_eq!(judged.verdict, verdict, "{name}: {:#?}", judged.reasons);
            carries_what_it_must(&judged);
        }
        // What asks to be looked at again needs to have stayed where it was: one reading shows no rest.
        let sheet = SHEET.replace("median = \"30 years\"", "median = \"2.5 years\"");
        let story = |readings: &[&str]| {
            let dates = ["2025-04-24", "2025-05-01"];
            let visits: Vec<String> = readings
                .iter()
                .zip(dates[2 - readings.len()..].iter())
                .map(|(mm, date)| visit(date, 80_000, &play(mm)))
                .collect();
            told_of("dora", &sheet, &visits).judged("hinge-play", "single")
        };
        let once = story(&["2.98"]);
        assert_eq!(once.verdict, LookAgain, "{:?}", once.p_next);
        assert_eq!(story(&["2.98", "2.98"]).verdict, Settled);
    }

    /// The difference of two readings of one micrometer loses that micrometer's calibration error (JCGM 100:2008 5.2.2 with
    /// r = 1); of two, it does not.
    #[test]
    fn a_derived_reading_shares_the_error_of_one_instrument() {
        let play = |first: &str, second: &str| {
            let reading = |check: &str, mm: &str, instrument: &str| {
                format!(
                    "[[reading]]\ncheck = \"{check}\"\nvalues = [\"{mm} mm\"]\ninstrument = \"{instrument}\"\n"
                )
            };
            let both = reading("pump-bore", "20.050", first) + &reading("pump-shaft", "20.010", second);
            told(&[visit("2025-05-01", 80_000, &both)]).judged("pump-play", "single")
        };
        let own = 0.002_f64.powi(2) + 0.001_f64.powi(2) / 12.0;
        for (first, second, calibration) in [("mic-1", "mic-1", 0.0), ("mic-1", "mic-2", 0.002_f64.powi(2))] {
            let judged = play(first, second);
            let measured = judged.measured().unwrap();
            let by_hand = 1000.0 * (2.0 * (own + calibration)).sqrt(); // µm
            assert!((measured.measurement.value() - 40.0).abs() < 1e-9);
            assert!((measured.measurement.u() / by_hand - 1.0).abs() < 1e-9, "{first} {second}");
            assert_eq!(judged.verdict, Sound);
            assert!(measured.formula.as_ref().is_some_and(|(formula, _)| formula == "bearing-clearance"));
        }
    }

    #[test]
    fn a_derived_reading_needs_all_of_its_readings_on_one_visit() {
        let bore = visit("2024-05-01", 70_000, "[readings]\npump-bore = \"20.050 mm\"");
        let shaft = visit("2025-05-01", 80_000, "[readings]\npump-shaft = \"20.010 mm\"");
        assert!(told(&[bore, shaft]).find("pump-play", "single").is_none());
    }

    /// Swept volume of four cylinders of 82.0 × 82.8 mm: π/4 · 8.2² · 8.28 · 4 cm³, arithmetic.
    #[test]
    fn a_derived_reading_is_the_result_that_the_sheet_names() {
        let derived = |gives: &str| {
            format!(
                "derived   = {{ formula = \"displacement\", unit = \"mL\", gives = \"{gives}\", inputs = {{ bore = {{ check = \"pump-bore\" }}, stroke = {{ value = \"82.8 mm\" }}, cylinders = {{ value = \"4 count\" }} }} }}\n"
            )
        };
        let line = SHEET.lines().find(|line| line.contains("bearing-clearance")).unwrap();
        let volume = |gives: &str| {
            let sheet = SHEET.replace(line, derived(gives).trim_end()).replace(
                "limit     = { max = \"80 um\", source = \"invented\" }",
                "limit     = { max = \"2000 mL\", source = \"invented\" }",
            );
            let told = told_of(
                "dora",
                &sheet,
                &[visit("2025-05-01", 80_000, "[readings]\npump-bore = \"82.000 mm\"")],
            );
            told.judged("pump-play", "single").measured().unwrap().measurement.value()
        };
        let one = std::f64::consts::FRAC_PI_4 * 8.2 * 8.2 * 8.28;
        assert!((volume("cylinder") - one).abs() < 1e-6);
        assert!((volume("engine") - 4.0 * one).abs() < 1e-6);
    }

    #[test]
    fn a_part_of_unknown_age_is_judged_by_its_level_alone() {
        let judged = |mm: &str| {
            told(&[visit("2025-05-01", 80_000, &thickness(mm))]).judged("disc-thickness", "front.left")
        };
        let thick = judged("\"24.60 mm\"");
        assert_eq!(thick.verdict, Sound, "{:?}", thick.p_next);
        assert!(
            thick.reasons.iter().any(|reason| reason.says.contains("age not known")),
            "{:#?}",
            thick.reasons
        );
        let near = judged("\"23.20 mm\"");
        assert_eq!(near.verdict, BeforeLeaving, "{:?}", near.p_next);
        // The car's first use says nothing of its discs: the forecast is that of a car of which no first use is known.
        let emil = told_of(
            "emil",
            SHEET,
            &[crate::support::visit_of("emil", "2025-05-01", 80_000, &thickness("\"24.60 mm\""))],
        );
        assert_eq!(emil.judged("disc-thickness", "front.left").p_next, thick.p_next);
    }

    #[test]
    fn a_reading_that_was_corrected_after_the_work_still_comes_before_it() {
        let both = format!("{}{RENEWED}", thickness("\"23.10 mm\""));
        let judged = told(&[visit("2025-05-01", 80_000, &both)]).judged("disc-thickness", "front.left");
        assert_eq!(judged.put_right, Some(crate::PutRight::Work("renew-discs".into())));
        assert!(!judged.is_open());
    }

    #[test]
    fn an_older_reading_is_judged_as_worn_until_today() {
        let story =
            [visit("2020-05-01", 20_000, RENEWED), visit("2025-05-01", 80_000, &thickness("\"23.50 mm\""))];
        let told = told(&story);
        let on = |day: Date| {
            let judge = told.judge_on(day);
            judge.one(&"disc-thickness".into(), &"front.left".into()).unwrap()
        };
        let (then, later) = (on(date(2025, 5, 1)), on(date(2027, 5, 1)));
        assert!(later.p_beyond > then.p_beyond);
        assert!(later.verdict > then.verdict);
    }

    fn p_next_of(told: &Told) -> f64 {
        told.judged("disc-thickness", "front.left").p_next.unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

        /// Too close to say lies outside the order; what is worn more than that must not be let go.
        #[test]
        fn more_wear_is_never_a_better_verdict(
            steps in 20i32..220, more in 1i32..60, index in 0usize..4, with_life in any::<bool>(),
        ) {
            let sheet = of_criticality(
                &if with_life { SHEET.to_owned() } else { without_life() },
                [Safety, EngineLoss, Stranded, Comfort][index],
            );
            let judged = |steps: i32| {
                let hundredths = 2500 - steps;
                worn(&sheet, &thickness(&format!("\"{}.{:02} mm\"", hundredths / 100, hundredths % 100)))
            };
            let (before, after) = (judged(steps), judged(steps + more));
            match (before.verdict, after.verdict) {
                (_, TooClose) => {}
                (TooClose, after) => prop_assert!(after >= BeforeLeaving, "{:?}", after),
                (before, after) => prop_assert!(after >= before, "{:?} then {:?}", before, after),
            }
            prop_assert!(after.p_beyond >= before.p_beyond);
        }

        #[test]
        fn what_matters_more_is_never_judged_more_mildly(steps in 20i32..220) {
            let hundredths = 2500 - steps;
            let reading = thickness(&format!("\"{}.{:02} mm\"", hundredths / 100, hundredths % 100));
            let verdicts = [Comfort, Stranded, EngineLoss, Safety]
                .map(|criticality| worn(&of_criticality(SHEET, criticality), &reading).verdict);
            let decided: Vec<_> = verdicts.iter().filter(|verdict| **verdict != TooClose).collect();
            prop_assert!(decided.is_sorted(), "{:?}", verdicts);
        }

        /// 1 in = 25.4 mm and 1 mi = 1.609344 km exactly (international yard and pound agreement, 1959; from memory).
        #[test]
        fn inches_and_miles_give_the_same_verdict(thousandths in 905i32..985, miles in 30_000u32..60_000) {
            let inches = f64::from(thousandths) / 1000.0;
            let story = |reading: &str, odometer: &str| {
                let read = visit("2025-05-01", 1, &thickness(reading)).replace("\"1 km\"", odometer);
                told(&[visit("2020-05-01", 20_000, RENEWED), read]).judged("disc-thickness", "front.left")
            };
            // Written to the same resolution, so that the figures say the same of how finely it was read.
            let metric = story(
                &format!("\"{:.4} mm\"", inches * 25.4),
                &format!("\"{:.6} km\"", f64::from(miles) * 1.609344),
            );
            let imperial = story(&format!("\"{inches:.6} in\""), &format!("\"{miles} mi\""));
            prop_assert_eq!(metric.verdict, imperial.verdict);
            let near = |a: Option<f64>, b: Option<f64>| (a.unwrap() - b.unwrap()).abs() < 1e-6;
            prop_assert!(near(metric.p_next, imperial.p_next), "{:?} {:?}", metric.p_next, imperial.p_next);
        }

        #[test]
        fn a_finding_before_a_renewal_never_trends_into_the_new_part(
            old in 2310i32..2490, older in 0i32..40, new in 2420i32..2490,
        ) {
            let at = |hundredths: i32| thickness(&format!("\"{}.{:02} mm\"", hundredths / 100, hundredths % 100));
            let renewal = visit("2023-05-01", 60_000, &format!("{}{RENEWED}", at(old)));
            let read = visit("2025-05-01", 80_000, &at(new));
            let before = visit("2021-05-01", 40_000, &at((old + older).min(2500)));
            let alone = visit("2023-05-01", 60_000, RENEWED);
            let bare = visit("2021-05-01", 40_000, "");
            let (with, without) = (told(&[before, renewal, read.clone()]), told(&[bare, alone, read]));
            prop_assert_eq!(p_next_of(&with), p_next_of(&without));
            let judged = with.judged("disc-thickness", "front.left");
            prop_assert!(judged.measured().unwrap().earlier.is_empty());
        }
    }
}
