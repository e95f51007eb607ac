//! Writes the invented cars of the benches, one instance a line, for other solvers to try.
//!
//! `cargo run --example cars -- zoned tight 20`

#[path = "../tests/support/mod.rs"]
mod support;

use support::cars::{Build, Room, car};

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let build = if words.iter().any(|word| word == "coupled") { Build::Coupled } else { Build::Zoned };
    let room = match () {
        () if words.iter().any(|word| word == "tight") => Room::Tight,
        () if words.iter().any(|word| word == "loose") => Room::Loose,
        () => Room::Endless,
    };
    let count = words.iter().find_map(|word| word.parse().ok()).unwrap_or(1);
    for seed in 0..count {
        match serde_json::to_string(&car(build, room, (40, 40, 4), seed)) {
            Ok(line) => println!("{line}"),
            Err(error) => eprintln!("{error}"),
        }
    }
}
