//! Writes the invented cars of the benches, one instance a line, for other solvers to try.
//!
//! `cargo run --example cars -- zoned tight 20`: build (`zoned`, `coupled`), room (`endless`, `loose`, `tight`, `even`),
//! count.

#[path = "../tests/support/mod.rs"]
mod support;

use support::cars::{Build, Room, car};

fn main() -> Result<(), serde_json::Error> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let (build, room) = (words.first().map_or("", String::as_str), words.get(1).map_or("", String::as_str));
    let count = words.get(2).and_then(|count| count.parse().ok()).unwrap_or(1);
    for seed in 0..count {
        println!(
            "{}",
            serde_json::to_string(&car(Build::named(build), Room::named(room), (40, 40, 4), seed))?
        );
    }
    Ok(())
}
