//! The weeks ahead: how many hours the planned visits ask for, and how sure that is.
//!
//! A car that is in asks for what its plan does now, in this week. Work agreed for a day asks for its hours in that day's week.
//! Any other car is expected by its own habit: the gaps between its visits, with what is usual where there are few. The
//! hours of a week are those of the cars that may come in it, each with its chance; what is only found then is not in them.

use crate::days::years_between;
use crate::judge::Judge;
use crate::long_job::Due;
use crate::odometer::ONE_ERRAND_YEARS;
use crate::plan::{Plan, When};
use jiff::{Span, civil::Date};
use prognosis::{Z95, life::Life};
use sheet::OperationId;

/// Gaps between visits differ by this standard deviation of their logarithm. Common practice, no source: nine in ten yearly
/// visits come after six to twenty-three months.
const GAPS_DIFFER: f64 = 0.4;
/// What is usual counts as much as so many gaps of the car's own. Common practice, no source.
const USUAL_COUNTS: f64 = 3.0;
/// A car that has stayed away for so many usual gaps is no longer expected. Common practice, no source.
pub const STAYS_AWAY: f64 = 3.0;
/// Steps in which hours are added up. Common practice, no source.
const GRAIN: f64 = 0.25;
/// With more chances than this, their sum is as good as normal. Common practice, no source.
const MANY: usize = 200;
/// A smaller chance is not worth a name. Common practice, no source.
const LEAST: f64 = 0.005;
/// Hours are spread over so many standard deviations of their logarithm to either side.
const REACH: f64 = 4.0;

/// A visit that is to come, or has begun.
#[derive(Debug, Clone, PartialEq)]
pub struct Coming {
    pub car: String,
    pub title: String,
    pub on: On,
    /// Hours of the work planned for it.
    pub hours: f64,
    /// Nine in ten pieces of work take between their hours divided by this and multiplied by it.
    pub within: f64,
    pub operations: Vec<OperationId>,
}

/// When a car comes.
#[derive(Debug, Clone, PartialEq)]
pub enum On {
    /// It is in.
    Here,
    Agreed(Date),
    /// What was agreed is due, and the car has not come: it is taken to come this week.
    Overdue,
    Expected(Habit),
}

/// When a car comes by itself: the gap since its last visit is lognormal, and has lasted until today.
#[derive(Debug, Clone, PartialEq)]
pub struct Habit {
    gap: Life,
    last: Date,
}

/// One week, from Monday (ISO 8601).
#[derive(Debug, Clone, PartialEq)]
pub struct Week {
    pub from: Date,
    pub to: Date,
    /// Mean hours, and the band that holds nine in ten.
    pub hours: f64,
    pub low: f64,
    pub high: f64,
    /// Cars expected, in the mean.
    pub visits: f64,
    /// The likeliest and longest first.
    pub cars: Vec<Share>,
}

/// A car's part in a week.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// Its place in the list of what comes.
    pub coming: usize,
    /// Probability that it comes in that week.
    pub p: f64,
}

/// What a car with a plan asks for in the weeks ahead; nothing where it is no longer expected.
pub fn coming(judge: &Judge<'_>, plan: &Plan) -> Vec<Coming> {
    let (car, today) = (judge.car, judge.today);
    let asks = |when: When, on: On| {
        let of = plan.occasions.iter().find(|occasion| occasion.when == when);
        let items = plan.items.iter().filter(|item| item.when == when);
        Coming {
            car: car.id.clone(),
            title: car.title.clone(),
            on,
            hours: of.map_or(0.0, |of| of.hours),
            within: judge.sheet.hours_within(),
            operations: items.map(|item| item.operation.clone()).collect(),
        }
    };
    let mut all = Vec::new();
    let is_in = car.open_visit().is_some_and(|visit| visit.date <= today);
    let overdue = !is_in && car.promised(today).any(|(_, due)| due == Due::Now);
    if is_in || overdue {
        all.push(asks(When::Now, if is_in { On::Here } else { On::Overdue }));
    }
    // A day agreed for about the time of the next visit is that visit.
    let next_is_agreed =
        car.promised(today).any(|(_, due)| matches!(due, Due::On(day) if Some(day) == plan.next_visit));
    for occasion in &plan.occasions {
        match occasion.when {
            When::Agreed(day) => all.push(asks(occasion.when, On::Agreed(day))),
            When::NextVisit if next_is_agreed => all.push(asks(occasion.when, On::Agreed(occasion.date))),
            _ => {}
        }
    }
    let agreed = all.iter().any(|coming| matches!(coming.on, On::Agreed(_)));
    // After an agreed visit its habit begins anew.
    if !agreed
        && !overdue
        && let Some(habit) = Habit::of(judge)
    {
        all.push(asks(When::NextVisit, On::Expected(habit)));
    }
    all
}

impl Habit {
    /// From the gaps between a car's visits; `None` for a car that was never in or stays away.
    pub fn of(judge: &Judge<'_>) -> Option<Self> {
        let mut days: Vec<Date> = judge.car.visits.iter().map(|visit| visit.date).collect();
        days.retain(|day| *day <= judge.today);
        let last = days.iter().copied().max()?;
        let usual = judge.shop.gap_years;
        if years_between(last, judge.today) > STAYS_AWAY * usual {
            return None;
        }
        let gaps = days.windows(2).map(|pair| years_between(pair[0], pair[1]));
        let logs: Vec<f64> = gaps.filter(|gap| *gap >= ONE_ERRAND_YEARS).map(f64::ln).collect();
        // A normal prior on the mean and a scaled chi-squared one on the spread, each worth `USUAL_COUNTS` gaps.
        let n = logs.len() as f64;
        let worth = USUAL_COUNTS + n;
        let mean = (USUAL_COUNTS * usual.ln() + logs.iter().sum::<f64>()) / worth;
        let squares: f64 = logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>()
            + USUAL_COUNTS * (usual.ln() - mean).powi(2);
        let spread = ((USUAL_COUNTS * GAPS_DIFFER.powi(2) + squares) / worth * (1.0 + 1.0 / worth)).sqrt();
        Some(Self { gap: Life::lognormal(mean, spread).ok()?, last })
    }

    /// Probability that it comes from one day to before another, given that it has not come until today.
    fn within(&self, today: Date, from: Date, to: Date) -> f64 {
        let ln_survival = |day: Date| self.gap.ln_survival(years_between(self.last, day.max(today)));
        let until_now = ln_survival(today);
        (ln_survival(from) - until_now).exp() - (ln_survival(to) - until_now).exp()
    }
}

impl Coming {
    /// Probability that it asks for its hours from one day to before another.
    fn within_days(&self, today: Date, from: Date, to: Date) -> f64 {
        let holds = |day: Date| if (from..to).contains(&day) { 1.0 } else { 0.0 };
        match &self.on {
            On::Here | On::Overdue => holds(today),
            On::Agreed(day) => holds(*day),
            On::Expected(habit) => habit.within(today, from, to),
        }
    }

    /// The steps of the grid that its hours may take, each with its probability: a lognormal about the planned hours.
    fn spread(&self) -> Spread {
        let sd = self.within.ln() / Z95;
        let cells = |hours: f64| (hours / GRAIN).round() as usize;
        let surely = || Spread(vec![(cells(self.hours), 1.0)]);
        let Ok(life) = Life::lognormal(self.hours.ln(), sd) else { return surely() };
        let end = |side: f64| cells(self.hours * (side * REACH * sd).exp());
        let (least, most) = (end(-1.0), end(1.0));
        if least == most {
            return surely();
        }
        // What lies beyond an end counts at that end.
        let longer =
            |cell: usize| if cell == most { 0.0 } else { life.survival((cell as f64 + 0.5) * GRAIN) };
        let mut before = 1.0;
        let mass = |cell| {
            let p = before - longer(cell);
            before -= p;
            (cell, p)
        };
        Spread((least..=most).map(mass).collect())
    }
}

/// So many weeks from the one that today is in.
pub fn weeks(today: Date, weeks: usize, coming: &[Coming]) -> Vec<Week> {
    let monday = today.saturating_sub(Span::new().days(i64::from(today.weekday().to_monday_zero_offset())));
    let start = |n: usize| monday.saturating_add(Span::new().weeks(i64::try_from(n).unwrap_or(0)));
    (0..weeks).map(|n| week(today, start(n), start(n + 1), coming)).collect()
}

fn week(today: Date, from: Date, to: Date, coming: &[Coming]) -> Week {
    let shares =
        coming.iter().enumerate().map(|(at, one)| Share { coming: at, p: one.within_days(today, from, to) });
    let mut cars: Vec<Share> = shares.filter(|share| share.p > 0.0).collect();
    let asks: Vec<(f64, Spread)> =
        cars.iter().map(|share| (share.p, coming[share.coming].spread())).collect();
    let (low, high) = if asks.len() > MANY { normal_band(&asks) } else { band(&asks) };
    let mean = |one: &Coming| one.hours * (0.5 * (one.within.ln() / Z95).powi(2)).exp();
    // From nothing up: an empty sum is −0.
    let hours = cars.iter().fold(0.0, |sum, share| sum + share.p * mean(&coming[share.coming]));
    let visits = cars.iter().fold(0.0, |sum, share| sum + share.p);
    cars.retain(|share| share.p >= LEAST);
    let weight = |share: &Share| share.p * (coming[share.coming].hours + GRAIN);
    cars.sort_by(|one, other| weight(other).total_cmp(&weight(one)).then(one.coming.cmp(&other.coming)));
    Week { from, to: to.saturating_sub(Span::new().days(1)), hours, low, high, visits, cars }
}

/// Steps of the grid, in order, each with its probability.
struct Spread(Vec<(usize, f64)>);

impl Spread {
    fn most(&self) -> usize {
        self.0.last().map_or(0, |(cell, _)| *cell)
    }

    /// Mean of a power of the hours.
    fn mean(&self, power: i32) -> f64 {
        self.0.iter().map(|(cell, p)| p * (*cell as f64 * GRAIN).powi(power)).sum()
    }
}

/// The band that holds nine in ten of a sum of chances, added up one by one on a grid.
fn band(asks: &[(f64, Spread)]) -> (f64, f64) {
    let most: usize = asks.iter().map(|(_, spread)| spread.most()).sum();
    let mut mass = vec![0.0; most + 1];
    mass[0] = 1.0;
    let mut filled = 0;
    for (p, spread) in asks {
        let mut next = vec![0.0; filled + spread.most() + 1];
        for (at, mass) in mass.iter().take(filled + 1).enumerate() {
            next[at] += (1.0 - p) * mass;
            for (cells, of_it) in &spread.0 {
                next[at + cells] += p * of_it * mass;
            }
        }
        filled = next.len() - 1;
        mass[..next.len()].copy_from_slice(&next);
    }
    let quantile = |share: f64| {
        let mut sum = 0.0;
        let at = mass.iter().position(|mass| {
            sum += mass;
            sum >= share - 1e-12
        });
        at.unwrap_or(most) as f64 * GRAIN
    };
    (quantile(0.05), quantile(0.95))
}

fn normal_band(asks: &[(f64, Spread)]) -> (f64, f64) {
    let (mut mean, mut variance) = (0.0, 0.0);
    for (p, spread) in asks {
        let here = p * spread.mean(1);
        mean += here;
        variance += p * spread.mean(2) - here * here;
    }
    let half = Z95 * variance.max(0.0).sqrt();
    ((mean - half).max(0.0), mean + half)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Wishes, plan};
    use crate::support::{Told, told, visit};
    use jiff::civil::date;

    fn here(hours: f64, within: f64) -> Coming {
        Coming { car: "dora".into(), title: "Dora".into(), on: On::Here, hours, within, operations: vec![] }
    }

    fn of(told: &Told, today: Date) -> Vec<Coming> {
        let judge = told.judge_on(today);
        let plan = plan(&judge, &judge.assess(), &Wishes::default()).unwrap();
        coming(&judge, &plan)
    }

    #[test]
    fn weeks_begin_on_monday_and_the_first_is_this_one() {
        let all = weeks(date(2026, 5, 20), 3, &[here(4.0, 1.001)]);
        // 18 May 2026 is a Monday (ISO 8601 calendar).
        assert_eq!((all[0].from, all[0].to), (date(2026, 5, 18), date(2026, 5, 24)));
        assert_eq!(all[2].from, date(2026, 6, 1));
        assert!((all[0].hours - 4.0).abs() < 0.01 && all[1].hours == 0.0);
        assert_eq!((all[0].low, all[0].high), (4.0, 4.0));
    }

    /// Two cars with even chances of 2 and 4 hours: the sum is 0, 2, 4 or 6 with a quarter each.
    #[test]
    fn a_band_is_that_of_the_sum() {
        let surely = |hours: f64| Spread(vec![((hours / GRAIN) as usize, 1.0)]);
        assert_eq!(band(&[(0.5, surely(2.0)), (0.5, surely(4.0))]), (0.0, 6.0));
        assert_eq!(band(&[(0.04, surely(8.0))]), (0.0, 0.0));
        assert_eq!(band(&[(0.06, surely(8.0))]), (0.0, 8.0));
        assert_eq!(band(&[]), (0.0, 0.0));
        // Many like chances: as the normal distribution has it.
        let many: Vec<_> = (0..150).map(|_| (0.3, surely(1.0))).collect();
        let (grid, normal) = (band(&many), normal_band(&many));
        assert!((grid.0 - normal.0).abs() <= 1.0 && (grid.1 - normal.1).abs() <= 1.0, "{grid:?} {normal:?}");
    }

    /// Nine in ten of one job's hours lie between them divided and multiplied by its factor: 10 h within 1.3 from 7.69 to 13.
    #[test]
    fn one_job_has_the_band_of_its_own_spread() {
        let one = here(10.0, 1.3);
        let this = &weeks(date(2026, 5, 20), 1, &[one])[0];
        assert!((this.low - 10.0 / 1.3).abs() <= GRAIN && (this.high - 13.0).abs() <= GRAIN, "{this:?}");
        // Mean of a lognormal: exp(½ (ln 1.3 / 1.6449)²) times its median.
        assert!((this.hours - 10.1280).abs() < 1e-3, "{}", this.hours);
        let spread = here(10.0, 1.3).spread();
        assert!((spread.0.iter().map(|(_, p)| p).sum::<f64>() - 1.0).abs() < 1e-12);
        assert!((spread.mean(1) - this.hours).abs() < 0.02);
    }

    #[test]
    fn a_car_that_has_not_come_for_what_was_agreed_is_not_in_and_is_counted_once() {
        let agreed = "[[long-job]]\nid = \"belt\"\noperations = [\"renew-cam-belt\"]\nname = \"Dora's owner\"\non = 2020-07-10\n[closed]\n";
        let told = told(&[visit("2020-05-01", 20_000, agreed)]);
        let coming = of(&told, date(2020, 7, 20));
        let [one] = &coming[..] else { panic!("{coming:#?}") };
        assert_eq!(one.on, On::Overdue);
        assert!(one.operations.iter().any(|id| id.as_str() == "renew-cam-belt"));
    }

    #[test]
    fn a_car_comes_once_sooner_or_later() {
        let visits: Vec<_> =
            (0..5).map(|n| visit(&format!("{}-05-01", 2021 + n), 10_000 * (n + 1), "")).collect();
        let told = told(&visits);
        let judge = told.judge_on(date(2026, 3, 1));
        let habit = Habit::of(&judge).unwrap();
        let p = |from: Date, to: Date| habit.within(judge.today, from, to);
        let years: f64 = (0..40).map(|n| p(date(2026 + n, 3, 1), date(2027 + n, 3, 1))).sum();
        assert!((years - 1.0).abs() < 1e-6, "{years}");
        assert!(
            p(date(2026, 4, 1), date(2026, 7, 1)) > p(date(2026, 9, 1), date(2026, 12, 1)),
            "it keeps its habit"
        );
        assert_eq!(p(date(2025, 6, 1), date(2026, 3, 1)), 0.0, "what is past did not happen");
        assert!(Habit::of(&told.judge_on(date(2029, 1, 1))).is_none(), "it stays away");
    }

    #[test]
    fn work_agreed_for_a_day_asks_for_its_hours_in_that_week_and_nothing_else_does() {
        let agreed = "[[long-job]]\nid = \"belt\"\noperations = [\"renew-cam-belt\"]\nname = \"Dora's owner\"\non = 2020-07-10\n[closed]\n";
        let told = told(&[visit("2020-05-01", 20_000, agreed)]);
        let today = date(2020, 5, 6);
        let coming = of(&told, today);
        let [one] = &coming[..] else { panic!("{coming:#?}") };
        assert_eq!(one.on, On::Agreed(date(2020, 7, 10)));
        assert!(one.operations.iter().any(|id| id.as_str() == "renew-cam-belt"));
        // Covers and fan belt off and on again, the cam belt, and the pump that is not worth doing apart.
        assert!((one.hours - (0.8 * 1.5 + 1.5 + 0.8)).abs() < 1e-9, "{}", one.hours);
        let weeks = weeks(today, 12, &coming);
        let at = weeks.iter().position(|week| week.hours > 0.0).unwrap();
        assert_eq!(weeks[at].from, date(2020, 7, 6));
        assert!((weeks[at].visits - 1.0).abs() < 1e-9);
        assert!(weeks[at].low < one.hours && one.hours < weeks[at].high);
        assert!(weeks.iter().enumerate().all(|(n, week)| n == at || week.hours == 0.0));
    }

    #[test]
    fn a_car_that_is_in_asks_for_what_its_plan_does_now() {
        let told =
            told(&[visit("2020-05-01", 20_000, "[looks]\nhose-look = { \"front.left\" = \"damp\" }\n")]);
        let coming = of(&told, date(2020, 5, 1));
        assert_eq!(coming[0].on, On::Here);
        assert!(coming[0].operations.iter().any(|id| id.as_str() == "renew-hose"));
        let this = &weeks(date(2020, 5, 1), 1, &coming)[0];
        assert!(this.hours > 0.9 * coming[0].hours && this.cars[0].p == 1.0);
    }
}
