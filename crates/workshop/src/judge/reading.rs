//! A measured value against its limit, now and at the next visit.

use super::doubt::doubt;
use super::measure::Made;
use super::{At, Judge};
use crate::ageing::Start;
use crate::assessment::{Judged, Measured, Outcome, Reason};
use crate::car::{Finding, Moment, Visit, What, km};
use crate::outlook::Outlook;
use crate::verdict::by_the_table;
use crate::words;
use jiff::civil::Date;
use prognosis::wear::{self, Limits, Path};
use quantity::{AcceptedRisk, Belief, Bounds, Conformity, Decision};
use sheet::{CheckKind, Criticality, Scale, Verdict};
use std::sync::Arc;

/// Spread between new parts, as a share of the way from new to the limit, where the sheet gives no tolerance. Common
/// practice, no source.
const NEW_SPREAD_SHARE: f64 = 0.02;
/// Standard deviations to either side that hold nine in ten of a normal distribution.
const NINE_IN_TEN: f64 = 1.645;
/// Two readings differ when they are further apart than so many standard uncertainties of their difference.
const MOVED: f64 = 2.0;

/// One value of a check at one place.
pub(super) struct Point {
    pub moment: Moment,
    pub date: Date,
    pub km: f64,
    pub made: Made,
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
                return judged.with(
                    Verdict::NotReached,
                    Reason::new("The data sheet no longer describes this reading."),
                );
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
            judged.reason(Reason::new(capital(&format!("{note}."))));
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
        } else {
            judged.computed = Verdict::Settled;
            judged.verdict = Verdict::Settled;
            judged.carries.why = Some("Kept to compare with later readings; no limit is set.".into());
            judged.reason(Reason::new("The data sheet sets no limit: the value is kept to compare."));
        }
        self.settle(scale, &earlier, &point, &mut judged);
        if let Some(What::Reading { seen, .. }) = finding.map(|finding| &finding.what) {
            judged.only_if_seen(*seen);
        }
        judged.what = Outcome::Measured(Box::new(measured));
        self.carry(at, &mut judged);
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
        let shown = |value: f64| words::value(value, measured.decimals, measured.unit);
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
            judged
                .reason(Reason::new(format!("{doubt} Until that is answered the reading counts for less.")));
        }
        judged.question = doubt;
        let Outlook::Wear { path, ageing, start, .. } = &outlook else { return };
        let levels: Vec<wear::Level> =
            next.km.iter().map(|km| path.level(ageing.since(*start, next.date, *km))).collect();
        let n = levels.len() as f64;
        let mean = levels.iter().map(|level| level.mean).sum::<f64>() / n;
        let square =
            levels.iter().map(|level| level.sd.powi(2) + (level.mean - mean).powi(2)).sum::<f64>() / n;
        let reach = NINE_IN_TEN * square.sqrt();
        measured.at_next_visit = Some((mean - reach, mean + reach));

        let p_next = outlook.fails_by(next.date, self.today, &self.odometer);
        judged.p_next = Some(p_next);
        if point.date < self.today {
            judged.p_beyond = Some(outlook.fails_by(self.today, self.today, &self.odometer));
        }
        let rate = path.rate();
        let (per, unit) =
            if ageing.share_km >= 0.5 { (10_000.0 / ageing.km_a_year, "10 000 km") } else { (1.0, "a year") };
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
            .from_source(at.component.life.as_ref().map_or(String::new(), |life| life.source.clone())),
        );
        judged.reason(Reason::new(format!(
            "At the next visit, {} at {}, the chance of being past the limit is {}.",
            words::month(next.date),
            words::about_km(next.km[next.km.len() / 2]),
            words::chance(p_next)
        )));
        judged.outlook = Some(outlook);
    }

    /// The wear path of the part, whether its start is known, and what is to be asked about the last reading.
    fn wear(
        &self,
        at: At<'a>,
        scale: &Scale,
        earlier: &[Point],
        point: &Point,
    ) -> Option<(Outlook, bool, Option<String>)> {
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
        let fitted = self.fittings.at(&at.check.component, at.place, point.moment).start;
        let prior = wear::Prior::from_life(new.value, spread, end, &life).ok()?;
        let (prior, start) = match fitted {
            Some(start) => (prior, start),
            None => {
                // The age is not known: the clock starts at the first reading, from which alone comes the level there.
                let first = earlier.first().unwrap_or(point);
                let vague = wear::Prior { new: f64::midpoint(new.value, end), new_sd: way, ..prior };
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
        // Nothing is dropped: what does not fit is believed the less, the further off it lies.
        let path = match doubt {
            Some(_) => Path::fit_robust(&prior, &readings).ok()?.0,
            None => Path::fit(&prior, &readings).ok()?,
        };
        Some((Outlook::Wear { path: Arc::new(path), limits, ageing, start }, fitted.is_some(), doubt))
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
        let undecided = measured.decision == Some(Decision::CannotTell) && by_table != Verdict::StaysPut;
        let settled_by = undecided.then(|| self.settled_by(at, point, finding)).flatten();
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
        let still = earlier.last().is_none_or(|last| {
            quantity::difference(measured, &last.made.measurement)
                .is_ok_and(|moved| moved.value().abs() <= MOVED * moved.u())
        });
        if inside && still && matches!(judged.computed, Verdict::Sound | Verdict::LookAgain) {
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
        Reason::new(format!("{stake} is at stake: {asks}.")).from_source("table of verdicts")
    }
}

/// Parts that hold the car on the road pass only when nearly certain.
pub(super) fn accepted_risk(criticality: Criticality) -> AcceptedRisk {
    if criticality == Criticality::Safety { AcceptedRisk::SAFETY } else { AcceptedRisk::USUAL }
}

/// A number that stands for a name: equal names share an error. FNV-1a.
fn tag(name: &str) -> u32 {
    name.bytes().fold(0x811C_9DC5, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193))
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
