//! Whether records look like the law that was fitted to them.

use super::fit::{Fit, fit_evidence};
use super::likelihood::Evidence;
use super::npmle::{Cell, ROUGH, flats, npmle, npmle_to};
use super::{Law, Life, Record, fit};
use crate::climb;
use crate::error::PrognosisError;
use std::collections::BTreeMap;

/// Fewer failures cannot speak against a law. Common practice, no source.
pub const LEAST_FAILURES: f64 = 8.0;
/// How many data sets are drawn from the fitted law.
const REDRAWN: usize = 200;
/// Share of them that may lie as far off before the law is said not to fit.
const FALSE_ALARM: f64 = 0.05;
/// So much better, in log likelihood, must the other law be to be used. Common practice, no source.
const CLEARLY: f64 = 3.0;
/// A Weibull shape below this speaks of failures early after fitting. Common practice, no source.
const EARLY: f64 = 0.8;
/// At most so many parts are redrawn; more only make the same answer slower.
const MOST_PARTS: f64 = 5000.0;
/// Of more records every so-many-th is checked: that many show any misfit that matters, and the curve without a law takes its
/// time.
const MOST_RECORDS: usize = 500;
/// Any number; it is fixed so that the same records give the same answer.
const SEED: u64 = 0x5EED_0F11_FE00_0001;

/// How far records lie from a law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FitCheck {
    /// Greatest distance between the law and the curve that assumes none.
    pub distance: f64,
    /// The distance that one data set in twenty drawn from the law would exceed.
    pub threshold: f64,
    pub verdict: FitVerdict,
}

/// What the distance means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FitVerdict {
    Fits,
    DoesNotFit,
    /// Too few failures to speak against any law.
    TooFewToSay,
}

/// Greatest distance between a life and the curve without a law, over both ends of every stretch on which that curve
/// is known, up to the start of its last cell.
///
/// Shares are those among parts that lasted to `since`. Source: derived from the Kolmogorov distance. Checked:
/// `reference/life.json`.
pub fn distance(life: &Life, cells: &[Cell], since: f64) -> f64 {
    let failed = |t: f64| -(life.ln_survival(t) - life.ln_survival(since)).exp_m1();
    flats(cells)
        .iter()
        .flat_map(|flat| [(flat.failed, flat.from), (flat.failed, flat.to)])
        .filter(|(_, t)| *t > since)
        .map(|(share, t)| (share - failed(t)).abs())
        .fold(0.0, f64::max)
}

/// Whether records look like the law fitted to them: their distance beside that of 200 data sets drawn from the fitted
/// life under the same looks.
///
/// The draws use a fixed seed, so the answer is always the same. Of more than five hundred records every so-many-th is looked
/// at.
///
/// # Errors
/// As [`fit`].
pub fn fit_check(law: Law, records: &[Record]) -> Result<FitCheck, PrognosisError> {
    let fitted = fit(law, records)?;
    let life = fitted.life();
    let thinned: Vec<Record> =
        records.iter().step_by(records.len().div_ceil(MOST_RECORDS).max(1)).copied().collect();
    let records = thinned.as_slice();
    let since = first_entry(records);
    let exact = distance(&life, &npmle(records)?, since);
    if failures(records) < LEAST_FAILURES {
        return Ok(FitCheck { distance: exact, threshold: 1.0, verdict: FitVerdict::TooFewToSay });
    }
    let mut draw = Draw { state: SEED };
    let mut drawn: Vec<f64> =
        (0..REDRAWN).filter_map(|_| redrawn_distance(law, &life, records, &mut draw)).collect();
    drawn.sort_by(f64::total_cmp);
    let at = ((1.0 - FALSE_ALARM) * drawn.len() as f64).ceil() as usize;
    let threshold = drawn.get(at.saturating_sub(1)).copied().unwrap_or(1.0);
    // What is compared is found as closely as what it is compared with.
    let seen = distance(&life, &npmle_to(ROUGH, records)?, since);
    let verdict = if seen > threshold { FitVerdict::DoesNotFit } else { FitVerdict::Fits };
    Ok(FitCheck { distance: exact, threshold, verdict })
}

/// The law to use for these records: Weibull, unless the lognormal is clearly better.
///
/// # Errors
/// As [`fit`].
pub fn better_law(records: &[Record]) -> Result<Law, PrognosisError> {
    let weibull = fit(Law::Weibull, records)?;
    Ok(match fit(Law::Lognormal, records) {
        Ok(lognormal) if lognormal.ln_likelihood() > weibull.ln_likelihood() + CLEARLY => Law::Lognormal,
        _ => Law::Weibull,
    })
}

/// Whether failures gather early after fitting: a hazard that falls. Then two things go wrong, and one law for both
/// says little.
pub fn has_early_failures(life: &Life) -> bool {
    life.law() == Law::Weibull && life.shape() < EARLY
}

pub(crate) fn failures(records: &[Record]) -> f64 {
    records.iter().filter(|record| record.upper.is_finite()).map(|record| record.count).sum()
}

fn first_entry(records: &[Record]) -> f64 {
    records
        .iter()
        .filter(|record| record.count > 0.0)
        .map(|record| record.entry)
        .fold(f64::INFINITY, f64::min)
}

/// Distance of one data set drawn from the life; `None` where it has no best fit.
fn redrawn_distance(law: Law, life: &Life, records: &[Record], draw: &mut Draw) -> Option<f64> {
    let redrawn = redraw(life, records, draw);
    let evidence = Evidence::new(&redrawn);
    let start = (life.median().ln(), life.shape().ln());
    let near = climb::top("a life", start, |m, c| evidence.slopes(law, m, c)).ok();
    let redrawn_life = match near {
        Some(((m, c), _)) => Life::from_logs(law, m, c),
        None => fit_evidence(law, evidence).as_ref().map(Fit::life).ok()?,
    };
    Some(distance(&redrawn_life, &npmle_to(ROUGH, &redrawn).ok()?, first_entry(&redrawn)))
}

/// Lives drawn for each record from its entry on, and seen as that part would have been seen.
fn redraw(life: &Life, records: &[Record], draw: &mut Draw) -> Vec<Record> {
    let looks = Looks::of(records);
    let parts: f64 = records.iter().map(|record| record.count).sum();
    let share = (MOST_PARTS / parts).min(1.0);
    let mut redrawn: BTreeMap<[u64; 3], f64> = BTreeMap::new();
    for record in records.iter().filter(|record| record.count > 0.0) {
        for _ in 0..(record.count * share).round().max(1.0) as u64 {
            let left = life.survival(record.entry) * draw.uniform();
            let t = life.outlasted_by(left).max(record.entry);
            let (lower, upper) = looks.at(record, t);
            *redrawn.entry([lower, upper, record.entry].map(f64::to_bits)).or_insert(0.0) += 1.0;
        }
    }
    let alike = redrawn.into_iter().map(|(bits, count)| (bits.map(f64::from_bits), count));
    alike.map(|([lower, upper, entry], n)| Record::between(lower, upper).since(entry).times(n)).collect()
}

/// How parts of a book are looked at.
struct Looks {
    /// Failures are known to the moment.
    watched: bool,
    /// From one look to the next, for parts of which only one is known.
    gap: Option<f64>,
    /// The longest clock in the book; nobody looks beyond.
    end: f64,
}

impl Looks {
    fn of(records: &[Record]) -> Self {
        let mut gaps: Vec<f64> =
            records.iter().filter(|r| is_between(r)).map(|r| r.upper - r.lower).collect();
        gaps.sort_by(f64::total_cmp);
        let clocks = records.iter().map(|r| if r.upper.is_finite() { r.upper } else { r.lower });
        Self {
            watched: records.iter().any(|r| r.lower == r.upper),
            gap: gaps.get(gaps.len() / 2).copied(),
            end: clocks.fold(0.0, f64::max),
        }
    }

    /// Between which two looks a failure at `t` would have been found, had it been this part's.
    ///
    /// A part known from two looks is looked at in the same rhythm before and after; one that was bad at its first look
    /// had only that one; one that is still good was last seen when the record says.
    fn at(&self, record: &Record, t: f64) -> (f64, f64) {
        let last = if record.upper.is_infinite() { record.lower } else { f64::INFINITY };
        if t > last {
            return (last, f64::INFINITY);
        }
        if self.watched {
            return (t, t);
        }
        let gap = if is_between(record) { Some(record.upper - record.lower) } else { self.gap };
        match gap {
            Some(gap) if record.upper.is_infinite() || is_between(record) => {
                let looks = ((t - record.lower) / gap).ceil();
                let upper = record.lower + looks * gap;
                let lower = (upper - gap).max(record.entry);
                if upper > self.end.max(record.upper.min(f64::MAX)) && t > record.lower {
                    (lower, f64::INFINITY)
                } else {
                    (lower, upper)
                }
            }
            _ => {
                let only = if record.upper.is_finite() { record.upper } else { record.lower };
                if t <= only { (record.entry, only) } else { (only, f64::INFINITY) }
            }
        }
    }
}

/// Whether a record has a good look and a bad one.
fn is_between(record: &Record) -> bool {
    record.lower > record.entry && record.upper > record.lower && record.upper.is_finite()
}

/// A fixed sequence of numbers between zero and one (SplitMix64; Steele, Lea & Flood 2014, from memory).
struct Draw {
    state: u64,
}

impl Draw {
    fn uniform(&mut self) -> f64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        ((z >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn looked_at(lives: impl Iterator<Item = f64>) -> Vec<Record> {
        lives.map(|t| Record::between((t / 10.0).floor() * 10.0, (t / 10.0).floor() * 10.0 + 10.0)).collect()
    }

    #[test]
    fn lives_from_the_law_fit_and_two_mixed_makes_do_not() {
        let life = Life::weibull(100.0, 3.0).unwrap();
        let ranks = || (0..60).map(|k| (f64::from(k) + 0.5) / 60.0);
        let right = fit_check(Law::Weibull, &looked_at(ranks().map(|p| life.quantile(p)))).unwrap();
        assert_eq!(right.verdict, FitVerdict::Fits, "{right:?}");
        let (short, long) = (Life::weibull(30.0, 8.0).unwrap(), Life::weibull(200.0, 8.0).unwrap());
        let mixed =
            ranks().map(|p| if p < 0.5 { short.quantile(2.0 * p) } else { long.quantile(2.0 * p - 1.0) });
        let wrong = fit_check(Law::Weibull, &looked_at(mixed)).unwrap();
        assert_eq!(wrong.verdict, FitVerdict::DoesNotFit, "{wrong:?}");
    }

    #[test]
    fn the_same_records_give_the_same_bits_and_few_failures_say_nothing() {
        let records = looked_at([22.0, 35.0, 41.0, 58.0, 63.0, 77.0, 84.0, 96.0].into_iter());
        let (first, second) = (fit_check(Law::Weibull, &records), fit_check(Law::Weibull, &records));
        assert_eq!(first, second);
        let few = fit_check(Law::Weibull, &records[..5]).unwrap();
        assert_eq!(few.verdict, FitVerdict::TooFewToSay);
    }
}
