//! Plans cars read from standard input, one instance a line, and says how long each took.
//!
//! `cargo run --release --example cars -- zoned tight 20 | cargo run --release --example plan_cars`

use planner::{Instance, Limits, solve};
use std::io::BufRead;
use std::time::Instant;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut milliseconds = vec![];
    for (number, line) in std::io::stdin().lock().lines().enumerate() {
        let instance: Instance = serde_json::from_str(&line?)?;
        let start = Instant::now();
        // A minute is long enough to wait for one car.
        let stop = || start.elapsed().as_secs() >= 60;
        let plan = solve(&instance, &Limits { nodes: u64::MAX, stop: Some(&stop) })?;
        let took = start.elapsed().as_secs_f64() * 1e3;
        milliseconds.push(took);
        let proven = if plan.proven { "proven" } else { "not proven" };
        println!(
            "{number:3} {took:10.2} ms  cost {:.4}  bound {:.4}  nodes {}  {proven}",
            plan.cost, plan.bound, plan.nodes
        );
    }
    milliseconds.sort_by(f64::total_cmp);
    if let (Some(median), Some(longest)) = (milliseconds.get(milliseconds.len() / 2), milliseconds.last()) {
        println!("median {median:.2} ms, longest {longest:.2} ms");
    }
    Ok(())
}
