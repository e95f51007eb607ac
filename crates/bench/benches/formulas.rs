//! What a value costs, what its exact slopes add, and what the list with its checks and words adds to that.

use bench::belts::span_tension::belt_span_tension;
use bench::cylinders::compression_ratio::{Chamber, compression_ratio};
use bench::fluids::viscosity::ViscosityLine;
use bench::threads::angle::joint_stiffness;
use bench::threads::tightening::torque_for_preload;
use bench::valve_train::float_speed::float_speed_from_table;
use bench::{BenchError, Dual, Eight, Entry, Formula, Inputs, Readings};
use divan::{Bencher, black_box};
use quantity::Measurement;

fn main() {
    divan::main();
}

/// The five formulas that stand beside a general uncertainty library, as plain functions of their inputs in SI.
macro_rules! function {
    ($name:ident, $id:literal, [$($input:ident),*], $body:expr) => {
        mod $name {
            use super::*;

            fn function<D: Dual>([$($input),*]: [D; COUNT]) -> Result<D, BenchError> {
                $body
            }
            const COUNT: usize = [$(stringify!($input)),*].len();

            fn inputs() -> [f64; COUNT] {
                let inputs = bench::formula($id).map(Formula::example).unwrap_or_default();
                let mut numbers = bench::formula($id).into_iter().flat_map(|formula| &formula.inputs).filter_map(
                    |input| match inputs.get(input.key) {
                        Some(Entry::Number(si)) => Some(*si),
                        _ => None,
                    });
                std::array::from_fn(|_| numbers.next().unwrap_or(f64::NAN))
            }

            /// The value alone.
            #[divan::bench]
            fn plain(bencher: Bencher) {
                let inputs = inputs();
                bencher.bench(|| function(black_box(inputs)));
            }

            /// With its slopes and its standard uncertainty, each input known to one part in a hundred.
            #[divan::bench]
            fn with_u(bencher: Bencher) {
                let inputs = inputs().map(|si| (si, 0.01 * si.abs()));
                bencher.bench(|| bench::with_u(black_box(inputs), function));
            }
        }
    };
}

function!(belt_span_tension, "belt-span-tension", [m, l, f], belt_span_tension(m, l, f));
function!(
    compression_ratio,
    "compression-ratio",
    [bore, stroke, chamber, gasket_bore, gasket_thickness, deck, dish],
    compression_ratio(Chamber { bore, stroke, chamber, gasket_bore, gasket_thickness, deck, dish })
        .map(|compression| compression.ratio)
);
function!(
    torque_long_form,
    "torque-long-form",
    [preload, pitch, thread_radius, bearing_radius, half_angle, thread, bearing],
    torque_for_preload(preload, pitch, thread_radius, bearing_radius, half_angle, thread, bearing)
        .map(|parts| parts.torque)
);
function!(joint_stiffness, "joint-stiffness", [e, d, l], joint_stiffness(e, d, l));
function!(
    viscosity_at_temperature,
    "viscosity-at-temperature",
    [first, at_first, second, at_second, wanted],
    ViscosityLine::through(first, at_first, second, at_second).map(|line| line.at(wanted))
);

/// Thirty-three points of a lift table through a spline: 69 inputs.
mod lift_table {
    use super::*;

    fn table() -> (Vec<f64>, Vec<f64>) {
        let angles: Vec<f64> = (-16..=16).map(|i| f64::from(i) * 0.07).collect();
        let lifts = angles.iter().map(|a| 0.008 * (1.3 * a).cos().max(0.0).powi(2)).collect();
        (angles, lifts)
    }

    #[divan::bench]
    fn plain(bencher: Bencher) {
        let (angles, lifts) = table();
        bencher
            .bench(|| float_speed_from_table(black_box(&angles), black_box(&lifts), 1.3, 32e3, 230.0, 0.11));
    }

    #[divan::bench]
    fn with_eight_slopes(bencher: Bencher) {
        let (angles, lifts) = table();
        let angles: Vec<Eight> = angles.iter().map(|a| Eight::from_re(*a)).collect();
        let lifts: Vec<Eight> =
            lifts.iter().enumerate().map(|(i, y)| Eight::from_re(*y).derivative(i % 8)).collect();
        let number = Eight::from_re;
        bencher.bench(|| {
            let (ratio, rate, seat, mass) = (number(1.3), number(32e3), number(230.0), number(0.11));
            float_speed_from_table(black_box(&angles), black_box(&lifts), ratio, rate, seat, mass)
        });
    }
}

const IDS: [&str; 6] = [
    "belt-span-tension",
    "compression-ratio",
    "valve-heights-compared",
    "float-speed-from-lift-table",
    "springs-where",
    "shim-plan",
];

fn example(id: &str) -> Option<(&'static Formula, Inputs)> {
    bench::formula(id).ok().map(|formula| (formula, formula.example()))
}

/// Through the list: ranges checked, values alone.
#[divan::bench(args = IDS)]
fn values(bencher: Bencher, id: &str) {
    if let Some((formula, inputs)) = example(id) {
        bencher.bench(|| formula.values(black_box(&inputs)));
    }
}

/// Through the list: ranges checked, values, slopes and steps in words.
#[divan::bench(args = IDS)]
fn evaluate(bencher: Bencher, id: &str) {
    if let Some((formula, inputs)) = example(id) {
        bencher.bench(|| formula.evaluate(black_box(&inputs)));
    }
}

const ASSESSED: [&str; 5] = [
    "belt-span-tension",
    "compression-ratio",
    "torque-long-form",
    "joint-stiffness",
    "viscosity-at-temperature",
];

/// The example, each number known to one part in a hundred.
fn measured(formula: &Formula) -> Readings {
    formula.inputs.iter().filter_map(|input| Some((input, input.scale()?))).fold(
        Readings::new(),
        |readings, (input, scale)| {
            let (value, u) = (scale.example, 0.01 * scale.example.abs());
            match Measurement::with_u(value, u, f64::INFINITY, scale.unit) {
                Ok(measured) => readings.number(input.key, measured),
                Err(_) => readings,
            }
        },
    )
}

/// With uncertainties in and out, and each input's share; a general uncertainty library stands beside it.
#[divan::bench(args = ASSESSED)]
fn assess(bencher: Bencher, id: &str) {
    if let Ok(formula) = bench::formula(id) {
        let readings = measured(formula);
        bencher.bench(|| formula.assess(black_box(&readings)));
    }
}
