//! `witnessmark letter CAR --html FILE`: the letter to the owner.

use super::{open_car, print_json};
use crate::output::say;
use crate::{arguments::Letter, error::Failed};
use serde_json::json;
use workshop::plan::{Wishes, plan};

pub fn run(of: &Letter) -> Result<(), Failed> {
    let car = open_car(&of.of)?;
    let judge = car.judge();
    let visit = judge.car.last_visit().ok_or_else(|| Failed::NoVisit(of.of.car.clone()))?;
    let assessment = judge.assess();
    let plan = plan(&judge, &assessment, &Wishes::default())?;
    let html = letter::page(&workshop::letter::letter(&judge, visit, &assessment, &plan));
    let path = of.html.display().to_string();
    std::fs::write(&of.html, html.as_bytes())
        .map_err(|source| Failed::Write { path: path.clone(), source })?;
    if of.of.output.json {
        print_json(&json!({ "car": of.of.car, "visit": visit.id, "html": path, "bytes": html.len() }));
    } else {
        say!("The letter is in {path}.");
    }
    Ok(())
}
