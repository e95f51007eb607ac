//! What a failure drags with it, drawn downwards from the failure.

use maud::{Markup, html};
use workshop::{
    plan::{Cascade, When, money},
    words,
};

const WIDTH: f64 = 360.0;
const ROW: f64 = 52.0;
const INDENT: f64 = 22.0;
const LEFT: f64 = 14.0;
const TOP: f64 = 20.0;
/// A box for a harm, filled as it grows likelier.
const BOX: f64 = 14.0;

/// All of them; the dearest is open.
pub fn all(cascades: &[Cascade], currency: &str) -> Markup {
    html! {
        @if !cascades.is_empty() {
            section {
                h2 { "If it fails first" }
                @for (n, cascade) in cascades.iter().enumerate() { (one(cascade, n == 0, currency)) }
            }
        }
    }
}

fn one(cascade: &Cascade, open: bool, currency: &str) -> Markup {
    let sum = |amount: f64| words::money(money(amount).round(), currency);
    let title = |at: &usize| cascade.harms.get(*at).map(|harm| harm.title.as_str());
    let way: Vec<&str> = cascade.way.0.iter().filter_map(title).collect();
    html! {
        details.cascade open[open] data-keep=(format!("fails-{}", cascade.component)) {
            summary {
                span {
                    b { (cascade.title) }
                    @if cascade.worst >= 0.5 {
                        ": on average " (sum(cascade.expected)) ", at worst " (sum(cascade.worst)) " beyond the repair"
                    } @else if let Some(harm) = cascade.harms.first() {
                        ": " (harm.says.trim_end_matches('.'))
                    }
                    span.quiet { @match cascade.when { When::Now => " (planned now)", When::Agreed(_) => " (planned for the agreed day)", When::NextVisit => " (planned for the next visit)", When::Leave => " (left)" } }
                }
            }
            div.fails {
                (drawing(cascade, currency))
                div {
                    @if way.len() > 1 {
                        p { b { "The way to the dearest end: " } (way.join(", then ")) ". It goes that way in " (words::chance(cascade.way.1)) "." }
                    }
                    dl.harms {
                        @for harm in &cascade.harms {
                            div {
                                dt { (harm.title) }
                                dd {
                                    (harm.says)
                                    @if !harm.warns.is_empty() { span.quiet { " Signs: " (harm.warns.join("; ")) "." } }
                                }
                            }
                        }
                    }
                    @if cascade.harms.iter().all(|harm| harm.warns.is_empty()) { p.quiet { "It gives no sign beforehand that the data sheet knows of." } }
                }
            }
        }
    }
}

fn drawing(cascade: &Cascade, currency: &str) -> Markup {
    let sum = |amount: f64| words::money(money(amount).round(), currency);
    let x = |at: usize| LEFT + INDENT * cascade.harms.get(at).map_or(0.0, |harm| harm.depth as f64);
    let y = |at: usize| TOP + ROW * at as f64;
    let height = ROW * cascade.harms.len() as f64;
    let on_the_way = |from: usize, to: usize| cascade.way.0.windows(2).any(|pair| pair == [from, to]);
    let says = cascade
        .harms
        .iter()
        .map(|harm| format!("{}: {}, {}", harm.title, words::chance(harm.reach), sum(harm.costs)))
        .collect::<Vec<_>>()
        .join(". ");
    html! {
        svg viewBox={ "0 0 " (WIDTH) " " (height) } role="img" aria-label=(says) {
            @for (from, to, _) in &cascade.links {
                // Down from the cause, then across to what follows.
                path.link.way[on_the_way(*from, *to)] d=(format!("M{:.1} {:.1}V{:.1}H{:.1}", x(*from), y(*from) + BOX / 2.0, y(*to), x(*to) - BOX / 2.0)) {}
            }
            @for (at, harm) in cascade.harms.iter().enumerate() {
                rect.harm x=(x(at) - BOX / 2.0) y=(y(at) - BOX / 2.0) width=(BOX) height=(BOX) rx="2" {}
                rect.reach x=(x(at) - BOX / 2.0) y=(y(at) + BOX / 2.0 - BOX * harm.reach) width=(BOX) height=(BOX * harm.reach) rx="1" {}
                text.title x=(x(at) + 16.0) y=(y(at) + 1.0) { (harm.title) }
                text.lab x=(x(at) + 16.0) y=(y(at) + 18.0) {
                    @if at == 0 { "once it fails" } @else { (words::chance(harm.reach)) }
                    @if harm.costs > 0.0 { ", " (sum(harm.costs)) }
                }
            }
        }
    }
}
