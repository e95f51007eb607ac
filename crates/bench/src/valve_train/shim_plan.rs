//! Shims for a whole engine: those that are in it are shared out anew, and as few as can be are bought.

use crate::maths::assignment::cheapest;
use crate::prelude::*;

/// Sizes that can be bought: every `step` from `smallest` to `largest` (m).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    pub step: f64,
    pub smallest: f64,
    pub largest: f64,
}

impl Sizes {
    /// The size so many steps above the smallest (m).
    pub fn size(&self, steps: u32) -> f64 {
        self.smallest + self.step * f64::from(steps)
    }
}

/// Where a place's shim comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum From {
    /// The shim that was fitted at the place with this index; its own index: it stays.
    Place(usize),
    /// The shim with this index in the stock.
    Stock(usize),
    /// Bought: so many steps above the smallest size.
    Bought(u32),
}

/// A plan: for each place where its shim comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    pub from: Vec<From>,
    pub bought: usize,
}

/// The plan that buys the fewest shims, and among those comes nearest to the wanted sizes in sum.
///
/// `wanted` size at each place, `fitted` sizes that came out, `stock` sizes on the shelf, `band` how far a shim may
/// be off the wanted size (m). Exact: an assignment of shims to places. Where nothing is gained a shim stays in its
/// place.
///
/// # Errors
/// [`Problem::Impossible`] when a place can be served neither from what there is nor by what is sold.
///
/// Source: linear assignment. Checked: `reference/worked.json`, and against trying every way in this file.
pub fn shim_plan(
    wanted: &[f64],
    fitted: &[f64],
    stock: &[f64],
    band: f64,
    sizes: Sizes,
) -> Result<Plan, BenchError> {
    const UNREACHABLE: i64 = 1 << 50;
    const BUYING: i64 = 1 << 36; // dearer than all distances and moves of one engine together
    let all =
        wanted.iter().chain(fitted).chain(stock).chain([&band, &sizes.step, &sizes.smallest, &sizes.largest]);
    require(all.into_iter().all(|x| x.abs() < 1.0), "shims are thinner than a metre")?;
    require(sizes.step > 0.0, "the step of the sizes must be above zero")?;
    let micro = |x: f64| (x * 1e7).round() as i64; // tenths of a micrometre: no band is missed by the last bits
    // Number of steps and how far the size is off.
    let buyable = |wanted: f64| {
        let steps = ((wanted - sizes.smallest) / sizes.step).round().clamp(0.0, 1e6) as u32;
        let size = sizes.size(steps);
        let off = micro((size - wanted).abs());
        (micro(size) <= micro(sizes.largest) && off <= micro(band)).then_some((steps, off))
    };
    let cost: Vec<Vec<i64>> = wanted
        .iter()
        .enumerate()
        .map(|(place, want)| {
            let reuse = |(at, size): (usize, &f64)| {
                let off = micro((size - want).abs());
                let moved = i64::from(at != place);
                if off <= micro(band) { 2 * off + moved } else { UNREACHABLE }
            };
            let buy = buyable(*want).map_or(UNREACHABLE, |(_, off)| BUYING + 2 * off);
            fitted.iter().chain(stock).enumerate().map(reuse).chain(wanted.iter().map(|_| buy)).collect()
        })
        .collect();
    let nothing = || {
        BenchError::from(Problem::Impossible {
            rule: "a place needs a shim thinner or thicker than any there is",
        })
    };
    let columns = cheapest(&cost).ok_or_else(nothing)?;
    let mut from = Vec::with_capacity(wanted.len());
    for ((column, want), row) in columns.iter().zip(wanted).zip(&cost) {
        if row.get(*column).is_none_or(|cost| *cost >= UNREACHABLE) {
            return Err(nothing());
        }
        from.push(if *column < fitted.len() {
            From::Place(*column)
        } else if *column < fitted.len() + stock.len() {
            From::Stock(*column - fitted.len())
        } else {
            From::Bought(buyable(*want).ok_or_else(nothing)?.0)
        });
    }
    let bought = from.iter().filter(|from| matches!(from, From::Bought(_))).count();
    Ok(Plan { from, bought })
}

const PLACES: [&str; 16] = [
    "C1-I1", "C1-I2", "C1-E1", "C1-E2", "C2-I1", "C2-I2", "C2-E1", "C2-E2", "C3-I1", "C3-I2", "C3-E1",
    "C3-E2", "C4-I1", "C4-I2", "C4-E1", "C4-E2",
];
const FITTED: [f64; 16] =
    [2.60, 2.62, 2.50, 2.52, 2.64, 2.58, 2.46, 2.54, 2.62, 2.66, 2.48, 2.44, 2.60, 2.56, 2.52, 2.50];
const LASH: [f64; 16] =
    [0.17, 0.15, 0.25, 0.23, 0.13, 0.19, 0.27, 0.21, 0.15, 0.13, 0.23, 0.29, 0.16, 0.22, 0.22, 0.24];
const TARGET: [f64; 16] =
    [0.21, 0.21, 0.29, 0.29, 0.21, 0.21, 0.29, 0.29, 0.21, 0.21, 0.29, 0.29, 0.21, 0.21, 0.29, 0.29];

pub(crate) fn formula() -> Formula {
    Formula::new("shim-plan", Job::ValveTrain, "Shims for a whole engine, buying the fewest", run!(compute))
        .says("This decides which shim goes where and which have to be bought.")
        .equation("t = t₀ + l − l* at each place; fewest bought, then nearest to t, each within the band")
        .takes([
            texts("places", "Names of the places", &PLACES).beside("fitted").optional(),
            numbers("fitted", "t₀", "Shims fitted, as measured", Unit::MM, &FITTED).within(0.5, 15.0),
            numbers("lash", "l", "Lash measured", Unit::MM, &LASH).beside("fitted").within(0.0, 3.0),
            numbers("target", "l*", "Lash wanted, one or one a place", Unit::MM, &TARGET)
                .beside("fitted")
                .within(0.0, 2.0),
            number("band", "", "How far the lash may be off", Unit::MM, 0.03).within(0.0, 0.5),
            number("margin", "", "Part of the band kept free in the careful plan", Unit::MM, 0.01)
                .within(0.0, 0.5)
                .or(0.01),
            numbers("stock", "", "Shims on the shelf", Unit::MM, &[2.55]).within(0.5, 15.0).optional(),
            number("step", "", "Step of the sizes sold", Unit::MM, 0.01).within(0.001, 0.5),
            number("smallest", "", "Smallest size sold", Unit::MM, 2.0).within(0.5, 15.0),
            number("largest", "", "Largest size sold", Unit::MM, 3.0).within(0.5, 15.0),
        ])
        .gives([
            result("out-of-band", "", "Places out of band now", Unit::COUNT),
            results("wanted", "t", "Sizes wanted", Unit::MM),
            result("bought", "", "Shims to buy", Unit::COUNT),
            wordlist("plan", "Plan that buys the fewest"),
            results("lash-then", "", "Lash with that plan", Unit::MM),
            result("bought-careful", "", "Shims to buy, margin kept", Unit::COUNT),
            wordlist("plan-careful", "Plan that keeps the margin"),
            results("lash-then-careful", "", "Lash with the careful plan", Unit::MM),
        ])
        .holds(
            "Holds for shims between cam and valve at a ratio of 1, all of one diameter. Other \
             plans may buy as few. Measure every shim: the printed size is not the worn one.",
        )
        .caution(
            "Measure cold, cam on its base circle, engine turned by hand with the plugs out. The \
             maker's lash rules.",
        )
        .source("definition of lash; linear assignment")
        .diagram("lash")
        .fitted()
}

fn compute<D: Dual>(given: &Given<'_, D>, out: &mut Out<D>) -> Result<(), BenchError> {
    given.equally_long(&["fitted", "lash", "places"])?;
    let (fitted, lash, target) = (given.numbers("fitted"), given.numbers("lash"), given.numbers("target"));
    if target.len() > 1 {
        given.equally_long(&["fitted", "target"])?;
    }
    let target: Vec<D> = target.iter().copied().cycle().take(fitted.len()).collect();
    let stock = given.numbers("stock");
    let (step, smallest) =
        (above_zero("step of the sizes", given.number("step"))?.re(), given.number("smallest").re());
    let sizes = Sizes { step, smallest, largest: given.number("largest").re() };
    let (band, margin) = (given.number("band").re(), given.number("margin").re());
    require(margin <= band, "the margin must not be more than the band")?;

    let wanted: Vec<D> = fitted.iter().zip(lash).zip(&target).map(|((t, l), want)| *t + *l - *want).collect();
    let out_of_band =
        lash.iter().zip(&target).filter(|(l, want)| (l.re() - want.re()).abs() > band + 1e-9).count();
    out.number("out-of-band", D::from(out_of_band as f64));

    let plain = |all: &[D]| all.iter().map(D::re).collect::<Vec<f64>>();
    let (want, had, shelf) = (plain(&wanted), plain(fitted), plain(stock));
    let place =
        |at: usize| given.texts("places").get(at).cloned().unwrap_or_else(|| format!("place {}", at + 1));
    let size = |from: From, at: usize| {
        match from {
            From::Place(other) => fitted.get(other).copied(),
            From::Stock(shelf) => stock.get(shelf).copied(),
            From::Bought(steps) => Some(given.number("smallest") + given.number("step") * f64::from(steps)),
        }
        .map(|size| wanted.get(at).zip(target.get(at)).map(|(wanted, target)| *target + *wanted - size))
    };
    let told = |plan: &Plan| {
        let line = |(at, from): (usize, &From)| match from {
            From::Place(other) if *other == at => format!("{} keeps its own", place(at)),
            From::Place(other) => format!("{} takes the one from {}", place(at), place(*other)),
            From::Stock(shelf) => format!("{} takes number {} of the shelf", place(at), shelf + 1),
            From::Bought(steps) => format!("{}: buy {:.3} mm", place(at), sizes.size(*steps) * 1e3),
        };
        plan.from.iter().enumerate().map(line).collect::<Vec<String>>()
    };
    let lash_then = |plan: &Plan| {
        plan.from.iter().enumerate().filter_map(|(at, from)| size(*from, at)?).collect::<Vec<D>>()
    };

    let fewest = shim_plan(&want, &had, &shelf, band, sizes)?;
    out.numbers("wanted", wanted.clone());
    out.number("bought", D::from(fewest.bought as f64));
    out.texts("plan", told(&fewest));
    out.numbers("lash-then", lash_then(&fewest));
    match shim_plan(&want, &had, &shelf, band - margin, sizes) {
        Ok(careful) => {
            out.number("bought-careful", D::from(careful.bought as f64));
            out.texts("plan-careful", told(&careful));
            out.numbers("lash-then-careful", lash_then(&careful));
        }
        Err(_) => out.remark(|| "the sizes sold are too coarse to keep the margin".into()),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SIZES: Sizes = Sizes { step: 1e-5, smallest: 2e-3, largest: 3e-3 };

    /// The fewest to buy, by trying every way to serve the places from the pool.
    fn fewest(wanted: &[f64], pool: &mut Vec<f64>, band: f64) -> usize {
        let Some((want, rest)) = wanted.split_first() else { return 0 };
        let mut least = 1 + fewest(rest, pool, band);
        for at in 0..pool.len() {
            if (pool[at] - want).abs() <= band + 1e-9 {
                let taken = pool.remove(at);
                least = least.min(fewest(rest, pool, band));
                pool.insert(at, taken);
            }
        }
        least
    }

    proptest! {
        #[test]
        fn no_way_buys_fewer_and_every_place_is_in_band(
            cells in prop::collection::vec((0i32..20, 0i32..20), 1..6),
            stock in prop::collection::vec(0i32..20, 0..2),
        ) {
            let at = |steps: &i32| 2.5e-3 + 1e-5 * f64::from(*steps);
            let wanted: Vec<f64> = cells.iter().map(|(w, _)| at(w)).collect();
            let fitted: Vec<f64> = cells.iter().map(|(_, f)| at(f)).collect();
            let stock: Vec<f64> = stock.iter().map(at).collect();
            let band = 3e-5;
            let plan = shim_plan(&wanted, &fitted, &stock, band, SIZES).unwrap();
            let mut pool = [fitted.clone(), stock.clone()].concat();
            prop_assert_eq!(plan.bought, fewest(&wanted, &mut pool, band));
            let mut used = vec![];
            for (from, want) in plan.from.iter().zip(&wanted) {
                let size = match from {
                    From::Place(place) => fitted[*place],
                    From::Stock(shelf) => stock[*shelf],
                    From::Bought(steps) => SIZES.size(*steps),
                };
                prop_assert!((size - want).abs() <= band + 1e-9);
                if !matches!(from, From::Bought(_)) {
                    prop_assert!(!used.contains(&format!("{from:?}")), "one shim cannot be in two places");
                    used.push(format!("{from:?}"));
                }
            }
        }
    }

    #[test]
    fn an_engine_in_band_is_left_alone() {
        let fitted = [2.5e-3, 2.6e-3];
        let plan = shim_plan(&fitted, &fitted, &[], 1e-5, SIZES).unwrap();
        assert_eq!(plan, Plan { from: vec![From::Place(0), From::Place(1)], bought: 0 });
    }

    #[test]
    fn sizes_that_cannot_be_are_refused() {
        assert!(shim_plan(&[f64::NAN], &[2.5e-3], &[], 1e-5, SIZES).is_err());
        assert!(shim_plan(&[1e300], &[2.5e-3], &[], 1e-5, SIZES).is_err());
        assert!(shim_plan(&[2.5e-3], &[2.5e-3], &[], 1e-5, Sizes { step: 0.0, ..SIZES }).is_err());
    }

    #[test]
    fn a_place_that_nothing_fits_is_refused() {
        assert!(shim_plan(&[4e-3], &[2.5e-3], &[], 1e-5, SIZES).is_err());
    }
}
