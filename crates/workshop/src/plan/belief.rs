//! How long a part lasts, by all that is believed of it or by one third of that.

use super::candidates::Candidate;
use crate::assessment::Judged;
use crate::days::{years_after, years_between};
use crate::judge::Judge;
use crate::outlook::Outlook;
use crate::verdict::stands_for;
use jiff::civil::Date;
use prognosis::{Z95, life::Third};
use sheet::{Criticality, Place};
use std::sync::Arc;

/// A state in words, and an interval of the record, say nothing of how sure their times are: nine in ten are taken to lie
/// within this factor of them. Common practice, no source.
const STATED_TIMES_WITHIN: f64 = 1.4;

/// The geometric mean of a third of what is believed of a figure, as a share of the figure; nine in ten lie within `spread`
/// of it.
pub(crate) fn factor(spread: f64, third: Third) -> f64 {
    spread.powf(third.mean_of_normal() / Z95)
}

/// What is believed of how long a candidate's places last.
pub(crate) struct Belief<'a> {
    judge: &'a Judge<'a>,
    grounds: Vec<Ground<'a>>,
    /// In order; one for each.
    places: Vec<&'a Place>,
}

/// A finding with what is believed of it.
struct Ground<'a> {
    judged: &'a Judged,
    third: Option<Third>,
    /// The life of its kind in that third.
    life: Option<Outlook>,
}

impl<'a> Belief<'a> {
    /// The whole of what is believed, or a third of it. A life is divided by the posterior of the median of its kind; a time at
    /// which wear reaches a limit is uncertain mostly because its rate is, and is divided itself.
    pub fn of(judge: &'a Judge<'a>, candidate: &Candidate<'a>, third: Option<Third>) -> Self {
        let ground = |judged: &&'a Judged| {
            let life = match (&judged.outlook, third) {
                (Some(Outlook::Life { alive, ageing, start }), Some(third)) => Some(Outlook::Life {
                    alive: Arc::new(alive.in_third(third)),
                    ageing: *ageing,
                    start: *start,
                }),
                _ => None,
            };
            Ground { judged, third, life }
        };
        let grounds: Vec<Ground<'a>> = candidate.grounds.iter().map(ground).collect();
        let mut places: Vec<&Place> = candidate.grounds.iter().map(|judged| &judged.place).collect();
        places.sort();
        places.dedup();
        Self { judge, grounds, places }
    }

    /// Probability that at least one of its places has failed by a day.
    pub fn fails_by(&self, day: Date) -> f64 {
        let mut good = 1.0;
        for place in &self.places {
            let here = self.grounds.iter().filter(|ground| ground.judged.place == **place);
            good *= 1.0 - here.map(|ground| ground.fails_by(self.judge, day)).fold(0.0, f64::max);
        }
        1.0 - good
    }

    /// Expected years for which it would still have lasted from so many years ahead on: `E[(T − τ)⁺] = ∫ S(u) du`.
    pub fn unused_years(&self, from: f64) -> f64 {
        /// Steps grow with the time ahead: what lies far off need not be told finely.
        const FIRST_STEP: f64 = 0.25;
        const GROWTH: f64 = 1.3;
        /// Nothing on a car is planned further.
        const FURTHEST: f64 = 60.0;
        let (mut at, mut width, mut sum) = (from, FIRST_STEP, 0.0);
        while at < FURTHEST {
            let alive = 1.0 - self.fails_by(years_after(self.judge.today, at + width / 2.0));
            sum += alive * width;
            if alive < 1e-3 {
                break;
            }
            at += width;
            width *= GROWTH;
        }
        sum
    }

    /// Years that it has been in, where that is known.
    pub fn years_in(&self) -> f64 {
        let start = |ground: &Ground<'_>| match &ground.judged.outlook {
            Some(Outlook::Wear { start, .. } | Outlook::Life { start, .. } | Outlook::Due { start, .. }) => {
                Some(years_between(start.date, self.judge.today).max(0.0))
            }
            _ => None,
        };
        self.grounds.iter().filter_map(start).fold(0.0, f64::max)
    }
}

impl Ground<'_> {
    fn fails_by(&self, judge: &Judge<'_>, day: Date) -> f64 {
        let Some(third) = self.third else { return fails_by(judge, self.judged, day) };
        match (&self.life, &self.judged.outlook) {
            (Some(life), _) => life.fails_by(day, judge.today, &judge.odometer),
            (None, Some(Outlook::Wear { .. })) => {
                let (from, to) = third.shares();
                ((fails_by(judge, self.judged, day) - from) / (to - from)).clamp(0.0, 1.0)
            }
            // A life that is so much longer reaches a day as the estimate would reach an earlier one.
            (None, _) => {
                let years = years_between(judge.today, day) / factor(STATED_TIMES_WITHIN, third);
                fails_by(judge, self.judged, years_after(judge.today, years))
            }
        }
    }
}

/// Probability of having failed by a day, as well as a finding can tell.
fn fails_by(judge: &Judge<'_>, judged: &Judged, day: Date) -> f64 {
    match &judged.outlook {
        Some(outlook) => outlook.fails_by(day, judge.today, &judge.odometer),
        None => judged.p_beyond.unwrap_or_else(|| {
            let criticality =
                judge.sheet.components.get(&judged.component).map_or(Criticality::Comfort, |c| c.criticality);
            stands_for(criticality, judged.verdict).unwrap_or(0.0)
        }),
    }
}
