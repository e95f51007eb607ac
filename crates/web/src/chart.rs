//! The odometer over time: readings, the pace, and the forecast with its band.

use jiff::civil::Date;
use maud::{Markup, html};
use std::fmt::Write as _;
use workshop::{Judge, words, years_after, years_between};

const WIDTH: f64 = 560.0;
const HEIGHT: f64 = 220.0;
const LEFT: f64 = 64.0;
const BOTTOM: f64 = 28.0;
const TOP: f64 = 12.0;
const RIGHT: f64 = 12.0;
/// Points of the forecast.
const STEPS: u32 = 12;

/// The plot; nothing when the car has no reading.
pub fn odometer(judge: &Judge<'_>) -> Markup {
    let readings = &judge.odometer.readings;
    let (Some(first), Some((last_date, last_km)), Some(next)) =
        (readings.first(), judge.odometer.last(), &judge.next_visit)
    else {
        return html! {};
    };
    let ahead = years_between(last_date, next.date);
    let forecast: Vec<(Date, [f64; 3])> = (0..=STEPS)
        .filter_map(|step| {
            let day = years_after(last_date, ahead * f64::from(step) / f64::from(STEPS));
            let at = |p| judge.odometer.quantile_on(day, p);
            Some((day, [at(0.05)?, at(0.5)?, at(0.95)?]))
        })
        .collect();
    let from = first.0;
    let span = years_between(from, next.date).max(0.1);
    let low = first.1;
    let high = forecast.last().map_or(last_km, |(_, band)| band[2]).max(low + 1.0);
    let x = |day: Date| LEFT + (WIDTH - LEFT - RIGHT) * years_between(from, day) / span;
    let y = |km: f64| HEIGHT - BOTTOM - (HEIGHT - BOTTOM - TOP) * (km - low) / (high - low);
    let line = |points: &mut dyn Iterator<Item = (Date, f64)>| {
        points.enumerate().fold(String::new(), |mut path, (i, (day, km))| {
            _ = write!(path, "{}{:.1} {:.1}", if i == 0 { 'M' } else { 'L' }, x(day), y(km));
            path
        })
    };
    let mut band = line(&mut forecast.iter().map(|(day, band)| (*day, band[2])));
    for (day, edges) in forecast.iter().rev() {
        _ = write!(band, "L{:.1} {:.1}", x(*day), y(edges[0]));
    }
    band.push('Z');
    let says = format!(
        "From {} in {} to {} in {}; {} forecast for {}, nine times in ten between {} and {}.",
        words::km(first.1),
        words::month(from),
        words::km(last_km),
        words::month(last_date),
        words::about_km(forecast.last().map_or(last_km, |(_, band)| band[1])),
        words::month(next.date),
        words::about_km(forecast.last().map_or(last_km, |(_, band)| band[0])),
        words::about_km(high),
    );
    html! {
        figure.chart {
            svg viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label=(says) {
                @for km in ticks(low, high) {
                    line.grid x1=(LEFT) x2=(WIDTH - RIGHT) y1=(format!("{:.1}", y(km))) y2=(format!("{:.1}", y(km))) {}
                    text.lab x=(LEFT - 8.0) y=(format!("{:.1}", y(km) + 4.0)) text-anchor="end" { (words::km(km).trim_end_matches(" km")) }
                }
                @for year in (from.year() + 1)..=next.date.year() {
                    @let day = Date::new(year, 1, 1).unwrap_or(from);
                    line.grid x1=(format!("{:.1}", x(day))) x2=(format!("{:.1}", x(day))) y1=(TOP) y2=(HEIGHT - BOTTOM) {}
                    text.lab x=(format!("{:.1}", x(day))) y=(HEIGHT - 8.0) text-anchor="middle" { (year) }
                }
                path.fan d=(band) {}
                path.ahead d=(line(&mut forecast.iter().map(|(day, band)| (*day, band[1])))) {}
                path.driven d=(line(&mut readings.iter().copied())) {}
                @for (day, km) in readings { circle.dot cx=(format!("{:.1}", x(*day))) cy=(format!("{:.1}", y(*km))) r="3" {} }
            }
            figcaption { (says) }
        }
    }
}

/// Three to six round numbers in a range.
pub fn ticks(low: f64, high: f64) -> Vec<f64> {
    let raw = (high - low) / 4.0;
    let power = 10f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 2.5, 5.0, 10.0].iter().map(|m| m * power).find(|step| *step >= raw).unwrap_or(raw);
    let mut at = (low / step).ceil() * step;
    let mut ticks = Vec::new();
    while at <= high {
        ticks.push(at);
        at += step;
    }
    ticks
}
