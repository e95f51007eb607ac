//! What more money would buy: the expected cost against the cash of one occasion.

use crate::error::PlanError;
use crate::instance::Instance;
use crate::plan::Plan;
use crate::solve::{Limits, best, solve};
use serde::Serialize;
use std::ops::RangeInclusive;

/// The best plans over a range of cash, the least cash first.
///
/// Between two corners the plan of the lower one stays the best. More cash never costs more.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Sweep {
    pub corners: Vec<Corner>,
    /// Whether the corners reach down to the least cash asked about, or to where there is no plan.
    pub complete: bool,
}

/// A plan and the least cash it needs on the occasion.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Corner {
    pub cash: f64,
    pub plan: Plan,
}

/// The best plan for every limit of cash on one occasion between two amounts.
///
/// Amounts that differ by less than `grain` (such as one unit of the currency) are not told apart; after `most` plans
/// the sweep stops. `limits` are for each plan.
///
/// # Errors
/// As [`solve`], for the most cash asked about; [`PlanError::Unfit`] when there is no such occasion, or `grain` is not
/// above zero.
pub fn sweep(
    instance: &Instance,
    occasion: &str,
    cash: RangeInclusive<f64>,
    grain: f64,
    most: usize,
    limits: &Limits<'_>,
) -> Result<Sweep, PlanError> {
    let Some(place) = instance.occasions.iter().position(|known| known.id == occasion) else {
        return Err(PlanError::Unfit(vec![format!("there is no occasion `{occasion}`")]));
    };
    // NaN is not above zero either.
    if !(grain > 0.0 && grain.is_finite()) {
        return Err(PlanError::Unfit(vec![format!("the grain is {grain}: it must be above zero")]));
    }
    let mut instance = instance.clone();
    let mut corners: Vec<Corner> = vec![];
    let mut limit = *cash.end();
    for _ in 0..most {
        instance.limits.entry(occasion.to_owned()).or_default().cash = Some(limit);
        let plan = match best(&instance, limits)? {
            Some(plan) => plan,
            None if corners.is_empty() => solve(&instance, limits)?, // which says why there is none
            None => return Ok(Sweep::new(corners, true)),
        };
        let used = plan.visits[place].cash;
        // A plan that costs the same with less cash takes the place of the one before.
        if corners.last().is_some_and(|corner| plan.cost <= corner.plan.cost + 1e-9) {
            corners.pop();
        }
        corners.push(Corner { cash: used, plan });
        limit = used.min(limit) - grain;
        if limit < *cash.start() || limit < 0.0 {
            return Ok(Sweep::new(corners, true));
        }
    }
    Ok(Sweep::new(corners, false))
}

impl Sweep {
    fn new(mut corners: Vec<Corner>, complete: bool) -> Self {
        corners.reverse();
        Self { corners, complete }
    }
}
