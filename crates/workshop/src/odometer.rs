//! Where the odometer has been and where it will be.

use crate::car::{Car, km};
use crate::days::{years_after, years_between};
use crate::words;
use jiff::civil::Date;
use prognosis::usage::{
    Counter, Explanation, ExplanationPriors, Forecast, KM_PER_MILE, Prior, QUANTILES, Stretch, explain,
    is_doubtful,
};
use quantity::{Quantity, Unit};
use sheet::YearlyUse;

/// Visits nearer than this are one errand, not a habit. Common practice, no source.
pub(crate) const ONE_ERRAND_YEARS: f64 = 0.25;
/// So many gaps make a habit. Common practice, no source.
const HABIT: usize = 3;
/// From here on something else is rather asked about than the reading believed. Common practice, no source.
const LIKELIER_THAN_NOT: f64 = 0.5;
/// Half a day: two readings of one day tell nothing of the pace.
const SHORTEST_STRETCH_YEARS: f64 = 0.5 / 365.25;

/// No odometer of a car shows more, in km. Common practice, no source.
pub(crate) const MOST_KM: f64 = 9_999_999.0;

/// A car's odometer: readings by date, and the forecast that follows from them.
#[derive(Debug, Clone)]
pub struct Odometer {
    /// Dates with km, in order of the dates.
    pub readings: Vec<(Date, f64)>,
    forecast: Option<Forecast>,
}

/// The car's next visit as forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct NextVisit {
    pub date: Date,
    /// Years from today.
    pub years: f64,
    /// Nine equally probable odometer readings on that day, in km.
    pub km: [f64; QUANTILES],
}

impl Odometer {
    /// The readings of a car up to a day, and what they teach beyond what cars of its type usually do.
    pub fn of(car: &Car, usual: &YearlyUse, today: Date) -> Odometer {
        let mut readings: Vec<(Date, f64)> = Vec::new();
        let mut note = |date: Date, odometer: &Quantity| {
            if date <= today {
                readings.push((date, km(odometer)));
            }
        };
        for visit in &car.visits {
            note(visit.date, &visit.odometer);
            if let Some(closed) = &visit.closed {
                note(visit.date, &closed.odometer);
            }
        }
        readings.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let stretches: Vec<Stretch> = readings
            .windows(2)
            .map(|pair| Stretch {
                km: pair[1].1 - pair[0].1,
                years: years_between(pair[0].0, pair[1].0),
                age_years: years_between(pair[1].0, today),
            })
            .filter(|stretch| stretch.km >= 0.0 && stretch.years > SHORTEST_STRETCH_YEARS)
            .collect();
        let prior = Prior::new(usual.mean_km, usual.variation);
        let forecast = readings.last().and_then(|(_, last)| Forecast::new(&prior, &stretches, *last).ok());
        Odometer { readings, forecast }
    }

    /// The last reading.
    pub fn last(&self) -> Option<(Date, f64)> {
        self.readings.last().copied()
    }

    /// Mean km a year, as known.
    pub fn yearly_km(&self) -> Option<f64> {
        self.forecast.as_ref().map(|forecast| forecast.usage().mean())
    }

    /// The km on a day: as read, in between by a straight line, beyond the last reading the middle forecast.
    pub fn km_on(&self, day: Date) -> Option<f64> {
        let (last_day, last_km) = self.last()?;
        if day >= last_day {
            let years = years_between(last_day, day);
            return Some(self.forecast.as_ref().map_or(last_km, |forecast| forecast.quantile(years, 0.5)));
        }
        let after = self.readings.partition_point(|(date, _)| *date <= day);
        let (to_day, to_km) = self.readings[after];
        let Some((from_day, from_km)) = after.checked_sub(1).map(|before| self.readings[before]) else {
            return Some(to_km);
        };
        let share = years_between(from_day, day) / years_between(from_day, to_day);
        Some(from_km + share * (to_km - from_km))
    }

    /// What may have been meant by a reading on a day, where something is likelier than that it is right: "was 84 210 km meant,
    /// with two figures the other way round?". It is asked, never put right in silence.
    pub fn may_mean(&self, day: Date, reading: &Quantity) -> Option<String> {
        let (last_day, last_km) = self.last()?;
        let expected = self.forecast.as_ref()?.ahead(years_between(last_day, day));
        let miles = reading.unit() == Unit::MILE;
        let (here, there) = if miles { (Unit::MILE, Unit::KM) } else { (Unit::KM, Unit::MILE) };
        let other_unit = if miles { 1.0 / KM_PER_MILE } else { KM_PER_MILE };
        let counter = Counter { other_unit, ..Counter::default() };
        let read = km(reading);
        let all = explain(last_km, read, &expected, &counter, &ExplanationPriors::default()).ok()?;
        let likeliest = all.first().filter(|told| told.probability >= LIKELIER_THAN_NOT)?;
        match likeliest.explanation {
            Explanation::AsWritten | Explanation::InstrumentReplaced => None,
            Explanation::OtherUnit => {
                let meant = Quantity::typed_in(reading.digits(), there).ok()?;
                Some(format!("was {} meant, not {}?", meant.spaced(), here))
            }
            Explanation::EarlierInOtherUnit => {
                Some(format!("was the reading before it, {}, taken in {there}?", words::km(last_km)))
            }
            Explanation::RolledOver { at } => {
                Some(format!("has the counter gone past {} and begun again?", words::km(at)))
            }
            // The figures that were typed are those of km alone.
            Explanation::DigitsSwapped { .. } | Explanation::DigitAdded { .. } if miles => None,
            Explanation::DigitsSwapped { meant } => {
                Some(format!("was {} meant, with two figures the other way round?", words::km(meant)))
            }
            Explanation::DigitAdded { meant } => {
                Some(format!("was {} meant, with a figure less?", words::km(meant)))
            }
        }
    }

    /// The same for a reading that lies further on than the car can well have gone.
    pub fn leaps(&self, day: Date, reading: &Quantity) -> Option<String> {
        let (last_day, last_km) = self.last()?;
        let expected = self.forecast.as_ref()?.ahead(years_between(last_day, day));
        let distance = km(reading) - last_km;
        let too_far = is_doubtful(distance, &expected) && expected.at_most(distance) > 0.5;
        too_far.then(|| self.may_mean(day, reading)).flatten()
    }

    /// Nine equally probable readings on a day not before the last reading.
    pub fn quantiles_on(&self, day: Date) -> Option<[f64; QUANTILES]> {
        let (last_day, last_km) = self.last()?;
        let years = years_between(last_day, day).max(0.0);
        Some(self.forecast.as_ref().map_or([last_km; QUANTILES], |forecast| forecast.quantiles(years)))
    }

    /// The reading on a day that is not exceeded with probability `p`.
    pub fn quantile_on(&self, day: Date, p: f64) -> Option<f64> {
        let (last_day, last_km) = self.last()?;
        let years = years_between(last_day, day).max(0.0);
        Some(self.forecast.as_ref().map_or(last_km, |forecast| forecast.quantile(years, p)))
    }

    /// When the car is likely to come next: its own habit once it has one, the workshop's usual gap before.
    pub fn next_visit(&self, car: &Car, usual_gap_years: f64, today: Date) -> Option<NextVisit> {
        let mut days: Vec<Date> =
            car.visits.iter().map(|visit| visit.date).filter(|date| *date <= today).collect();
        days.dedup();
        let mut gaps: Vec<f64> = days
            .windows(2)
            .map(|pair| years_between(pair[0], pair[1]))
            .filter(|gap| *gap >= ONE_ERRAND_YEARS)
            .collect();
        gaps.sort_by(f64::total_cmp);
        let gap = if gaps.len() >= HABIT { gaps[gaps.len() / 2] } else { usual_gap_years };
        // A car that is late is expected a usual gap from today: it must last that long from here.
        let years = gap;
        let date = years_after(today, years);
        Some(NextVisit { date, years, km: self.quantiles_on(date)? })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::support::{SHEET, Told, told, told_of, visit, visit_of};
    use jiff::civil::date;

    fn yearly(years: &[(i16, u32)]) -> Told {
        told(&years.iter().map(|(year, km)| visit(&format!("{year}-05-01"), *km, "")).collect::<Vec<_>>())
    }

    #[test]
    fn readings_stand_in_order_and_the_way_out_counts() {
        let visits = [
            visit_of("emil", "2025-05-01", 30_000, "[closed]\nodometer = \"30020 km\""),
            visit_of("emil", "2024-05-01", 20_000, ""),
        ];
        let told = told_of("emil", SHEET, &visits);
        let readings = &told.judge().odometer.readings;
        assert_eq!(
            *readings,
            [(date(2024, 5, 1), 20_000.0), (date(2025, 5, 1), 30_000.0), (date(2025, 5, 1), 30_020.0)]
        );
        let then = told.judge_on(date(2024, 12, 1));
        assert_eq!(then.odometer.readings.len(), 1, "what comes later is not known yet");
    }

    #[test]
    fn between_two_readings_it_goes_evenly_and_before_the_first_it_is_the_first() {
        let told = yearly(&[(2024, 20_000), (2025, 30_000)]);
        let odometer = &told.judge().odometer;
        assert_eq!(odometer.km_on(date(2020, 1, 1)), Some(20_000.0));
        assert_eq!(odometer.km_on(date(2024, 5, 1)), Some(20_000.0));
        let middle = odometer.km_on(date(2024, 10, 31)).unwrap();
        assert!((middle - 25_000.0).abs() < 30.0, "{middle}");
        assert_eq!(odometer.km_on(date(2025, 5, 1)), Some(30_000.0));
        assert!(odometer.km_on(date(2026, 5, 1)).unwrap() > 35_000.0);
    }

    #[test]
    fn a_cars_own_pace_is_learnt_from_its_readings() {
        let pace = |years: &[(i16, u32)]| yearly(years).judge().odometer.yearly_km().unwrap();
        assert!((pace(&[(2025, 30_000)]) - 12_000.0).abs() < 1e-6, "of one reading: as cars of its type do");
        let few = pace(&[(2024, 20_000), (2025, 23_000)]);
        let many = pace(&[
            (2020, 8_000),
            (2021, 11_000),
            (2022, 14_000),
            (2023, 17_000),
            (2024, 20_000),
            (2025, 23_000),
        ]);
        assert!(3_000.0 < many && many < few && few < 12_000.0, "{few} {many}");
    }

    #[test]
    fn an_odometer_that_was_changed_teaches_no_pace_and_forecasts_from_where_it_stands() {
        let back = "odometer-as-read = true\n";
        let told = told(&[visit("2024-05-01", 90_000, ""), visit("2025-05-01", 400, back)]);
        let odometer = &told.judge().odometer;
        assert_eq!(odometer.last(), Some((date(2025, 5, 1), 400.0)));
        assert!((odometer.yearly_km().unwrap() - 12_000.0).abs() < 1e-6);
        assert!(odometer.km_on(date(2026, 5, 1)).unwrap() < 30_000.0);
    }

    /// A van of 12 000 km a year, known for five of them and read again a year later.
    #[test]
    fn a_reading_that_runs_back_is_asked_about_with_what_may_have_been_meant() {
        let steady =
            |last: u32| (0..6).map(|n| (2020 + n, last - 12_000 * (5 - n) as u32)).collect::<Vec<_>>();
        let asked = |last: u32, reading: &str| {
            let told = yearly(&steady(last));
            told.judge().odometer.may_mean(date(2026, 5, 1), &reading.parse().unwrap())
        };
        for (last, reading, expected) in [
            // 84 210 with its first two figures the other way round.
            (72_300, "48210 km", Some("was 84 210 km meant, with two figures the other way round?")),
            // 167 900 km are 104 328 miles.
            (155_900, "104328 km", Some("was 104 328 mi meant, not km?")),
            (95_900, "7900 km", Some("has the counter gone past 100 000 km and begun again?")),
            (72_300, "841200 km", Some("was 84 100 km meant, with a figure less?")),
            (72_300, "84210 km", None),
            (72_300, "110000 km", None), // far, and it may be
            (60_500, "400 km", None),    // as another instrument shows
        ] {
            let plain = asked(last, reading).map(|says| says.replace(['\u{202f}', '\u{a0}'], " "));
            assert_eq!(plain.as_deref(), expected, "{reading} after {last}");
        }
    }

    #[test]
    fn the_next_visit_follows_the_cars_habit_once_it_has_one() {
        let gap = |days: &[&str]| {
            let visits: Vec<_> =
                days.iter().enumerate().map(|(n, day)| visit(day, 20_000 + 100 * n as u32, "")).collect();
            let told = told(&visits);
            told.judge().next_visit.unwrap().years
        };
        assert_eq!(gap(&["2025-05-01"]), 1.0, "the workshop's usual gap");
        assert_eq!(gap(&["2023-05-01", "2024-05-01", "2025-05-01"]), 1.0, "two gaps are no habit");
        let twice_a_year = gap(&["2023-11-01", "2024-05-01", "2024-11-01", "2025-05-01"]);
        assert!((0.48..0.52).contains(&twice_a_year), "{twice_a_year}");
        let errands = gap(&["2024-05-01", "2025-04-20", "2025-04-24", "2025-04-28", "2025-05-01"]);
        assert_eq!(errands, 1.0, "coming back within days is one errand");
    }

    #[test]
    fn nine_readings_ahead_are_in_order_and_never_behind_the_last() {
        let told = yearly(&[(2024, 20_000), (2025, 30_000)]);
        let next = told.judge().next_visit.unwrap();
        assert!(next.km.is_sorted() && next.km[0] >= 30_000.0, "{:?}", next.km);
        let odometer = &told.judge().odometer;
        assert_eq!(odometer.quantiles_on(date(2025, 5, 1)), Some([30_000.0; QUANTILES]));
        assert!(odometer.quantile_on(next.date, 0.9) > odometer.quantile_on(next.date, 0.1));
    }

    #[test]
    fn without_a_visit_there_is_no_forecast() {
        let told = told_of("emil", SHEET, &[]);
        let odometer = Odometer::of(&told.car, &told.sheet.yearly_use, date(2025, 5, 1));
        assert_eq!(
            (odometer.last(), odometer.km_on(date(2025, 5, 1)), odometer.yearly_km()),
            (None, None, None)
        );
        assert_eq!(odometer.next_visit(&told.car, 1.0, date(2025, 5, 1)), None);
    }
}
