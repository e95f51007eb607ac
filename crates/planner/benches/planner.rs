//! What it costs to plan a car of 40 jobs, 40 access steps and 4 occasions, the plan proven.
//!
//! Budgets: 10 ms without limits; with limits of hours and cash on every occasion 250 ms for cars in zones and 1 s for
//! cars that hang together. Each sample is another invented car, so the median is that of the cars. For a general
//! solver on the very same cars see `benches/peers/planner.py`.

#![expect(clippy::unwrap_used, reason = "a bench whose inputs are wrong has nothing to measure")]

#[path = "../tests/support/mod.rs"]
mod support;

use divan::Bencher;
use planner::{Instance, Limits, explain, solve};
use std::cell::Cell;
use support::cars::{Build, Room, car};

fn main() {
    divan::main();
}

/// The invented cars of a kind, one after the other.
fn cars(build: &str, room: Room) -> impl Fn() -> Instance {
    let (build, seed) = (Build::named(build), Cell::new(0));
    move || {
        let number = seed.replace((seed.get() + 1) % CARS);
        car(build, room, (40, 40, 4), number)
    }
}

const CARS: u64 = 20;
const BUILDS: [&str; 2] = ["zoned", "coupled"];

fn plan(bencher: Bencher<'_, '_>, build: &str, room: Room) {
    bencher.with_inputs(cars(build, room)).bench_local_values(|car| {
        let plan = solve(&car, &Limits::default()).unwrap();
        assert!(plan.proven);
        plan
    });
}

#[divan::bench(args = BUILDS, sample_count = 20, sample_size = 1)]
fn without_limits(bencher: Bencher<'_, '_>, build: &str) {
    plan(bencher, build, Room::Endless);
}

#[divan::bench(args = BUILDS, sample_count = 20, sample_size = 1)]
fn loose_limits(bencher: Bencher<'_, '_>, build: &str) {
    plan(bencher, build, Room::Loose);
}

#[divan::bench(args = BUILDS, sample_count = 20, sample_size = 1)]
fn tight_limits(bencher: Bencher<'_, '_>, build: &str) {
    plan(bencher, build, Room::Tight);
}

#[divan::bench(args = BUILDS, sample_count = 20, sample_size = 1)]
fn even_limits(bencher: Bencher<'_, '_>, build: &str) {
    plan(bencher, build, Room::Even);
}

/// All turned decisions of a plan.
#[divan::bench(args = BUILDS, sample_count = 10, sample_size = 1)]
fn explanation(bencher: Bencher<'_, '_>, build: &str) {
    let cars = cars(build, Room::Tight);
    let planned = || {
        let car = cars();
        let plan = solve(&car, &Limits::default()).unwrap();
        (car, plan)
    };
    bencher
        .with_inputs(planned)
        .bench_local_refs(|(car, plan)| explain(car, plan, &Limits::default()).unwrap());
}
