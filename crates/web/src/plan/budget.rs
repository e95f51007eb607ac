//! What more money now would buy: the expected cost against it, with the plans at its corners.

use crate::chart::ticks;
use maud::{Markup, html};
use std::fmt::Write as _;
use workshop::{
    plan::{Corner, Study, When, money},
    words,
};

const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 210.0;
const LEFT: f64 = 46.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = 44.0;

/// The chart and its corners as a table; nothing when money changes nothing. `to` gives the address of the plan with so
/// much money.
pub fn chart(study: &Study, currency: &str, to: impl Fn(&str) -> String) -> Markup {
    let corners = &study.corners;
    let (Some(first), Some(last)) = (corners.first(), corners.last()) else { return html! {} };
    if corners.len() < 2 {
        return html! {};
    }
    let sum = |amount: f64| words::money(money(amount).round(), currency);
    let now = study.plan.occasions.iter().find(|occasion| occasion.when == When::Now);
    let here = now.map_or(0.0, |now| now.cost);
    // The axes begin where plans do: what must be done now takes most of the money, and shows nothing.
    let (least, span) = (first.money, (last.money - first.money).max(1.0));
    let (left, most) = ((least - 0.12 * span).max(0.0), last.money + 0.2 * span);
    let fall = (first.expected_cost - last.expected_cost).max(1.0);
    let (low, high) = ((last.expected_cost - 0.15 * fall).max(0.0), first.expected_cost + 0.05 * fall);
    let x = |money: f64| LEFT + (WIDTH - LEFT - RIGHT) * (money - left) / (most - left);
    let y = |cost: f64| HEIGHT - BOTTOM - (HEIGHT - BOTTOM - TOP) * (cost - low) / (high - low);
    let mut stairs = String::new();
    for (at, corner) in corners.iter().enumerate() {
        let until = corners.get(at + 1).map_or(most, |next| next.money);
        let (from, to, level) = (x(corner.money), x(until), y(corner.expected_cost));
        _ = write!(stairs, "{}{from:.1} {level:.1}H{to:.1}", if at == 0 { 'M' } else { 'L' });
    }
    let says = format!(
        "From {} now to {}, the expected cost falls from {} to {}. More money than that buys nothing.",
        sum(first.money),
        sum(last.money),
        sum(first.expected_cost),
        sum(last.expected_cost),
    );
    html! {
        section {
            h2 { "What more money now would buy" }
            div.budget {
                figure.chart {
                    svg viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label=(says) {
                        @for cost in ticks(low, high) {
                            line.grid x1=(LEFT) x2=(WIDTH - RIGHT) y1=(at(y(cost))) y2=(at(y(cost))) {}
                            text.lab x=(LEFT - 6.0) y=(at(y(cost) + 4.0)) text-anchor="end" { (bare(cost)) }
                        }
                        @for money in ticks(left, most) {
                            line.grid x1=(at(x(money))) x2=(at(x(money))) y1=(TOP) y2=(HEIGHT - BOTTOM) {}
                            text.lab x=(at(x(money))) y=(HEIGHT - BOTTOM + 16.0) text-anchor="middle" { (bare(money)) }
                        }
                        text.lab x=(LEFT) y=(TOP - 10.0) text-anchor="start" { "Expected cost (" (currency) ")" }
                        text.lab x=((LEFT + WIDTH - RIGHT) / 2.0) y=(HEIGHT - 8.0) text-anchor="middle" { "Money now (" (currency) ")" }
                        path.driven d=(stairs) {}
                        @for corner in corners {
                            circle.dot.here[is(corner, here)] cx=(at(x(corner.money))) cy=(at(y(corner.expected_cost))) r=(if is(corner, here) { 6 } else { 3 }) {}
                        }
                    }
                    figcaption { (says) " Expected cost is opening up on every visit, the risk of failures, and life thrown away; parts and work come on top once, whenever they are done." }
                }
                div.scroll tabindex="0" role="region" aria-label="Plans by the money there is now" {
                    table {
                        thead { tr { th { "Money now" } th { "Expected cost" } th { "Comes in" } } }
                        tbody {
                            @for (n, corner) in corners.iter().enumerate() {
                                tr aria-current=[is(corner, here).then_some("true")] {
                                    th scope="row" { a href=(to(&money(corner.money).ceil().to_string())) { (sum(corner.money)) } @if is(corner, here) { span.quiet { "this plan" } } }
                                    td { (sum(corner.expected_cost)) }
                                    td { (change(n.checked_sub(1).and_then(|before| corners.get(before)), corner)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn is(corner: &Corner, here: f64) -> bool {
    (corner.money - here).abs() < 0.5
}

/// What a corner does that the one below does not, and what it no longer does.
fn change(before: Option<&Corner>, corner: &Corner) -> String {
    let known = before.map_or(&[][..], |before| &before.now);
    let more: Vec<&str> = corner.now.iter().filter(|one| !known.contains(one)).map(String::as_str).collect();
    let less: Vec<&str> = known.iter().filter(|one| !corner.now.contains(one)).map(String::as_str).collect();
    match (more.as_slice(), less.as_slice()) {
        ([], []) => "Nothing".to_owned(),
        (more, []) => more.join("; "),
        ([], less) => format!("Without {}", less.join("; ")),
        (more, less) => format!("{}, instead of {}", more.join("; "), less.join("; ")),
    }
}

fn at(position: f64) -> String {
    format!("{position:.1}")
}

/// An amount on an axis.
fn bare(amount: f64) -> String {
    words::km(amount).trim_end_matches(" km").to_owned()
}
