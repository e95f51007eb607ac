//! Names of rows and of their inputs, each with its unit, against the formulas of the bench.

use super::refused;
use crate::topics::Answer;
use crate::{InputError, Inputs};
use bench::Entry;
use quantity::Unit;
use serde_json::{Map, Value};

/// One kind of row.
struct Row {
    /// As rows call it.
    name: &'static str,
    /// The formula of the bench.
    formula: &'static str,
    /// The row's name of an input, the bench's key, the row's unit; `None` for words. What the row leaves out is
    /// left out.
    takes: &'static [(&'static str, &'static str, Option<Unit>)],
    /// The row's name of a result, the bench's id, the row's unit; `None` for words.
    gives: &'static [(&'static str, &'static str, Option<Unit>)],
}

/// An answer from which results are taken by name.
pub(super) trait Expected {
    fn named(&self, id: &str, unit: Option<Unit>) -> Value;
}

pub(super) fn formula_of(row: &str) -> Option<&'static str> {
    ROWS.iter().find(|known| known.name == row).map(|known| known.formula)
}

pub(super) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    let row = ROWS.iter().find(|row| row.name == formula)?;
    // A name may be the id of its formula as well; the inputs tell which is meant.
    let by_id =
        row.name == row.formula && row.takes.first().is_some_and(|(name, ..)| inputs.get(name).is_none());
    (!by_id).then(|| run(row, inputs))
}

fn run(row: &Row, inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let mut given = bench::Inputs::new();
    for (name, key, unit) in row.takes {
        let entry = match (inputs.get(name), unit) {
            (None, _) => continue,
            (Some(Value::Array(_)), Some(unit)) => {
                Entry::Numbers(inputs.nums(name)?.iter().map(|value| unit.to_si(*value)).collect())
            }
            (Some(_), Some(unit)) => Entry::Number(unit.to_si(inputs.num(name)?)),
            (Some(_), None) => Entry::Text(inputs.read(name)?),
        };
        given = given.with(key, entry);
    }
    answer(row.formula, &given, row.gives)
}

/// Evaluates a formula of the bench and names its results as the row does.
pub(super) fn answer(
    formula: &str,
    given: &bench::Inputs,
    gives: &[(&str, &str, Option<Unit>)],
) -> Result<Value, InputError> {
    let answer = bench::formula(formula).and_then(|formula| formula.evaluate(given)).map_err(refused)?;
    let results: Map<String, Value> =
        gives.iter().map(|(name, id, unit)| ((*name).to_owned(), answer.named(id, *unit))).collect();
    Ok(Value::Object(results))
}

const MM: Option<Unit> = Some(Unit::MM);
const INCH: Option<Unit> = Some(Unit::INCH);
const M: Option<Unit> = Some(Unit::M);
const KM: Option<Unit> = Some(Unit::KM);
const MM2: Option<Unit> = Some(Unit::MM2);
const CM3: Option<Unit> = Some(Unit::CM3);
const N: Option<Unit> = Some(Unit::N);
const KN: Option<Unit> = Some(Unit::KN);
const N_M: Option<Unit> = Some(Unit::N_M);
const N_PER_MM: Option<Unit> = Some(Unit::N_PER_MM);
const MPA: Option<Unit> = Some(Unit::MPA);
const BAR: Option<Unit> = Some(Unit::BAR);
const PSI: Option<Unit> = Some(Unit::PSI);
const KPA: Option<Unit> = Some(Unit::KPA);
const KG: Option<Unit> = Some(Unit::KG);
const HZ: Option<Unit> = Some(Unit::HZ);
const RPM: Option<Unit> = Some(Unit::RPM);
const DEG: Option<Unit> = Some(Unit::DEG);
const CELSIUS: Option<Unit> = Some(Unit::CELSIUS);
const KELVIN: Option<Unit> = Some(Unit::K);
const S: Option<Unit> = Some(Unit::S);
const ONE: Option<Unit> = Some(Unit::ONE);
const PERCENT: Option<Unit> = Some(Unit::PERCENT);
const MM2_PER_S: Option<Unit> = Some(Unit::MM2_PER_S);
const M_PER_S: Option<Unit> = Some(Unit::M_PER_S);
const M_PER_S2: Option<Unit> = Some(Unit::M_PER_S2);
const KG_PER_M: Option<Unit> = Some(Unit::KG_PER_M);
const KG_PER_M3: Option<Unit> = Some(Unit::KG_PER_M3);
const WORDS: Option<Unit> = None;

const ROWS: &[Row] = &[
    // valve train
    Row {
        name: "installed_height",
        formula: "valve-spring-installed",
        takes: &[
            ("installed_height_mm", "installed-height", MM),
            ("lift_mm", "lift", MM),
            ("solid_length_mm", "solid-length", MM),
            ("rate_n_mm", "rate", N_PER_MM),
            ("free_length_mm", "free-length", MM),
        ],
        gives: &[
            ("open_length_mm", "open-length", MM),
            ("coil_bind_margin_mm", "coil-bind-margin", MM),
            ("seat_force_n", "seat-load", N),
            ("open_force_n", "open-load", N),
        ],
    },
    Row {
        name: "valve_spring_margin",
        formula: "valve-spring-margin",
        takes: &[
            ("seat_force_n", "seat-load", N),
            ("rate_n_mm", "rate", N_PER_MM),
            ("lift_mm", "lift", MM),
            ("mass_kg", "mass", KG),
            ("deceleration_m_s2", "deceleration", M_PER_S2),
        ],
        gives: &[
            ("spring_force_n", "spring-load", N),
            ("inertia_n", "inertia", N),
            ("margin_n", "margin", N),
            ("ratio", "ratio", ONE),
        ],
    },
    Row {
        name: "harmonic_nose_acceleration",
        formula: "harmonic-nose-deceleration",
        takes: &[
            ("lift_mm", "lift", MM),
            ("duration_crank_deg", "duration", DEG),
            ("speed_rpm", "speed", RPM),
        ],
        gives: &[("deceleration_m_s2", "deceleration", M_PER_S2)],
    },
    Row {
        name: "shim_selection",
        formula: "shim-for-lash",
        takes: &[
            ("fitted_shim_mm", "fitted", MM),
            ("measured_clearance_mm", "lash", MM),
            ("target_clearance_mm", "target", MM),
            ("step_mm", "step", MM),
            ("smallest_shim_mm", "smallest", MM),
        ],
        gives: &[
            ("exact_shim_mm", "exact", MM),
            ("stocked_shim_mm", "stocked", MM),
            ("resulting_clearance_mm", "lash-then", MM),
        ],
    },
    Row {
        name: "spring_surge",
        formula: "valve-spring-surge",
        takes: &[
            ("wire_mm", "wire", MM),
            ("mean_diameter_mm", "mean-diameter", MM),
            ("active_coils", "coils", ONE),
            ("shear_modulus_mpa", "shear-modulus", MPA),
            ("density_kg_m3", "density", KG_PER_M3),
        ],
        gives: &[
            ("active_mass_kg", "active-mass", KG),
            ("fixed_fixed_hz", "held", HZ),
            ("fixed_free_hz", "free", HZ),
        ],
    },
    // cylinders and bottom end
    Row {
        name: "displacement",
        formula: "displacement",
        takes: &[("bore_mm", "bore", MM), ("stroke_mm", "stroke", MM), ("cylinders", "cylinders", ONE)],
        gives: &[("cylinder_cm3", "cylinder", CM3), ("engine_cm3", "engine", CM3)],
    },
    Row {
        name: "compression_ratio",
        formula: "compression-ratio",
        takes: &[
            ("bore_mm", "bore", MM),
            ("stroke_mm", "stroke", MM),
            ("gasket_bore_mm", "gasket-bore", MM),
            ("gasket_thickness_mm", "gasket-thickness", MM),
            ("deck_clearance_mm", "deck", MM),
            ("chamber_cm3", "chamber", CM3),
            ("piston_dish_cm3", "dish", CM3),
        ],
        gives: &[
            ("swept_cm3", "swept", CM3),
            ("clearance_cm3", "clearance", CM3),
            ("compression_ratio", "ratio", ONE),
        ],
    },
    Row {
        name: "piston_drop",
        formula: "piston-drop",
        takes: &[
            ("stroke_mm", "stroke", MM),
            ("rod_mm", "rod", MM),
            ("crank_deg", "crank", DEG),
            ("pin_offset_mm", "pin-offset", MM),
        ],
        gives: &[("drop_mm", "drop", MM)],
    },
    Row {
        name: "effective_compression",
        formula: "effective-compression",
        takes: &[
            ("bore_mm", "bore", MM),
            ("stroke_mm", "stroke", MM),
            ("rod_mm", "rod", MM),
            ("intake_close_deg_abdc", "closes", DEG),
            ("clearance_cm3", "clearance", CM3),
        ],
        gives: &[("effective_stroke_mm", "stroke-left", MM), ("effective_ratio", "ratio", ONE)],
    },
    Row {
        name: "polytropic_pressure",
        formula: "compression-pressure",
        takes: &[
            ("start_pressure_bar_abs", "start", BAR),
            ("volume_ratio", "ratio", ONE),
            ("exponent", "exponent", ONE),
            ("atmosphere_bar", "atmosphere", BAR),
        ],
        gives: &[("pressure_bar_abs", "absolute", BAR), ("pressure_bar_gauge", "gauge", BAR)],
    },
    Row {
        name: "compression_spread",
        formula: "compression-test",
        takes: &[("readings_psi", "readings", PSI)],
        gives: &[
            ("spread_psi", "spread", PSI),
            ("lowest_to_highest", "lowest-to-highest", ONE),
            ("average_psi", "average", PSI),
            ("lowest_cylinder", "lowest-cylinder", ONE),
            ("lowest_below_average", "lowest-below-average", ONE),
        ],
    },
    Row {
        name: "leak_percent",
        formula: "leak-down",
        takes: &[("supply_psi", "supply", PSI), ("cylinder_psi", "cylinder", PSI)],
        gives: &[("leak_percent", "leak", PERCENT)],
    },
    Row {
        name: "differential_orifice",
        formula: "leak-tester-orifice",
        takes: &[("bore_in", "bore", INCH)],
        gives: &[("orifice_in", "orifice", INCH)],
    },
    Row {
        name: "mean_piston_speed",
        formula: "mean-piston-speed",
        takes: &[("stroke_mm", "stroke", MM), ("speed_rpm", "speed", RPM)],
        gives: &[("speed_m_s", "speed", M_PER_S)],
    },
    Row {
        name: "piston_acceleration_tdc",
        formula: "piston-acceleration",
        takes: &[("stroke_mm", "stroke", MM), ("rod_mm", "rod", MM), ("speed_rpm", "speed", RPM)],
        gives: &[("acceleration_m_s2", "acceleration", M_PER_S2)],
    },
    // clutch and brakes
    Row {
        name: "line_pressure",
        formula: "line-pressure",
        takes: &[
            ("pedal_force_n", "pedal-force", N),
            ("pedal_ratio", "pedal-ratio", ONE),
            ("master_bore_mm", "master-bore", MM),
        ],
        gives: &[("pushrod_force_n", "push", N), ("pressure_mpa", "pressure", MPA)],
    },
    Row {
        name: "slave_force_travel",
        formula: "slave-force-travel",
        takes: &[
            ("pressure_mpa", "pressure", MPA),
            ("master_bore_mm", "master-bore", MM),
            ("slave_bore_mm", "slave-bore", MM),
            ("master_travel_mm", "master-travel", MM),
            ("slave_pistons", "pistons", ONE),
        ],
        gives: &[
            ("slave_force_n", "force", N),
            ("slave_travel_mm", "travel", MM),
            ("area_ratio", "area-ratio", ONE),
        ],
    },
    Row {
        name: "clutch_uniform_wear",
        formula: "clutch-torque-uniform-wear",
        takes: CLUTCH_TAKES,
        gives: &[("axial_force_n", "clamp-load", N), ("torque_nm", "torque", N_M)],
    },
    Row {
        name: "clutch_uniform_pressure",
        formula: "clutch-torque-uniform-pressure",
        takes: CLUTCH_TAKES,
        gives: &[("axial_force_n", "clamp-load", N), ("torque_nm", "torque", N_M)],
    },
    Row {
        name: "disc_brake_torque",
        formula: "disc-brake-torque",
        takes: &[
            ("pressure_mpa", "pressure", MPA),
            ("pistons_one_side", "pistons", ONE),
            ("piston_bore_mm", "bore", MM),
            ("mu", "friction", ONE),
            ("effective_radius_mm", "radius", MM),
        ],
        gives: &[("clamp_force_n", "clamp", N), ("torque_nm", "torque", N_M)],
    },
    Row {
        name: "wear_remaining_distance",
        formula: "pad-wear-left",
        takes: &[
            ("first_mm", "first", MM),
            ("first_km", "first-at", KM),
            ("second_mm", "second", MM),
            ("second_km", "second-at", KM),
            ("minimum_mm", "limit", MM),
        ],
        gives: &[
            ("wear_rate_mm_per_1000km", "rate", Some(Unit::MM_PER_1000_KM)),
            ("remaining_km", "distance", KM),
        ],
    },
    Row {
        name: "disc_temperature_rise",
        formula: "disc-heat-rise",
        takes: &[
            ("vehicle_mass_kg", "car", KG),
            ("speed_m_s", "from", M_PER_S),
            ("speed_km_h", "from", Some(Unit::KM_PER_H)),
            ("end_speed_m_s", "to", M_PER_S),
            ("share_to_discs", "share", ONE),
            ("disc_mass_total_kg", "discs", KG),
            ("specific_heat_j_kg_k", "specific-heat", Some(Unit::J_PER_KG_K)),
        ],
        gives: &[("energy_kj", "energy", Some(Unit::KJ)), ("rise_k", "rise", KELVIN)],
    },
    Row {
        name: "repeated_stop_limit",
        formula: "repeated-stops",
        takes: &[
            ("rise_per_stop_k", "rise", KELVIN),
            ("interval_s", "interval", S),
            ("time_constant_s", "time-constant", S),
        ],
        gives: &[("plateau_rise_k", "plateau", KELVIN)],
    },
    Row {
        name: "thickness_variation",
        formula: "disc-thickness-variation",
        takes: &[("thickness_mm", "thickness", MM)],
        gives: &[("variation_mm", "variation", MM), ("minimum_mm", "least", MM)],
    },
    Row {
        name: "fmvss116_grades_met",
        formula: "brake-fluid-classes-met",
        takes: FLUID_TAKES,
        gives: &[("grades", "fmvss-116", WORDS)],
    },
    Row {
        name: "iso4925_classes_met",
        formula: "brake-fluid-classes-met",
        takes: FLUID_TAKES,
        gives: &[("classes", "iso-4925", WORDS)],
    },
    Row {
        name: "erbp_stability_allowance",
        formula: "brake-fluid-stability",
        takes: &[("erbp_c", "boiling", CELSIUS)],
        gives: &[("max_change_c", "allowance", KELVIN)],
    },
    // springs
    Row {
        name: "spring_rate",
        formula: "spring-rate",
        takes: &[
            ("wire_mm", "wire", MM),
            ("mean_diameter_mm", "mean-diameter", MM),
            ("active_coils", "coils", ONE),
            ("shear_modulus_mpa", "shear-modulus", MPA),
        ],
        gives: &[("rate_n_mm", "rate", N_PER_MM)],
    },
    Row {
        name: "spring_stress",
        formula: "spring-stress",
        takes: &[("wire_mm", "wire", MM), ("mean_diameter_mm", "mean-diameter", MM), ("force_n", "force", N)],
        gives: &[
            ("uncorrected_mpa", "uncorrected", MPA),
            ("wahl_mpa", "stress-wahl", MPA),
            ("bergstraesser_mpa", "stress-bergstraesser", MPA),
        ],
    },
    Row {
        name: "spring_factors",
        formula: "spring-stress",
        takes: &[("wire_mm", "wire", MM), ("mean_diameter_mm", "mean-diameter", MM)],
        gives: &[("index", "index", ONE), ("wahl", "wahl", ONE), ("bergstraesser", "bergstraesser", ONE)],
    },
    Row {
        name: "wheel_rate",
        formula: "wheel-rate",
        takes: &[
            ("spring_rate_n_mm", "spring-rate", N_PER_MM),
            ("motion_ratio", "motion-ratio", ONE),
            ("spring_angle_deg", "lean", DEG),
        ],
        gives: &[("wheel_rate_n_mm", "wheel-rate", N_PER_MM)],
    },
    Row {
        name: "ride_frequency",
        formula: "ride-frequency",
        takes: &[("wheel_rate_n_mm", "wheel-rate", N_PER_MM), ("sprung_mass_kg", "sprung-mass", KG)],
        gives: &[("frequency_hz", "frequency", HZ), ("static_deflection_mm", "deflection", MM)],
    },
    Row {
        name: "frequency_from_deflection",
        formula: "ride-frequency-from-deflection",
        takes: &[("static_deflection_mm", "deflection", MM)],
        gives: &[("frequency_hz", "frequency", HZ)],
    },
    // wheels
    Row {
        name: "tyre_geometry",
        formula: "tyre-geometry",
        takes: &[("section_mm", "width", MM), ("aspect_percent", "aspect", PERCENT), ("rim_in", "rim", INCH)],
        gives: &[
            ("section_height_mm", "section-height", MM),
            ("overall_diameter_mm", "diameter", MM),
            ("overall_diameter_in", "diameter", INCH),
            ("circumference_mm", "circumference", MM),
        ],
    },
    Row {
        name: "tyre_load_index",
        formula: "tyre-load-index",
        takes: &[("load_index", "index", ONE)],
        gives: &[("max_load_kg", "load", KG)],
    },
    Row {
        name: "tyre_speed_symbol",
        formula: "tyre-speed-symbol",
        takes: &[("symbol", "symbol", WORDS)],
        gives: &[("max_speed_km_h", "speed", Some(Unit::KM_PER_H))],
    },
    Row {
        name: "diameter_change",
        formula: "tyre-diameter-change",
        takes: &[("reference_diameter_mm", "reference", MM), ("new_diameter_mm", "fitted", MM)],
        gives: &[("speedometer_error_percent", "error", PERCENT)],
    },
    Row {
        name: "toe_to_degrees",
        formula: "toe-to-degrees",
        takes: &[("toe_mm", "difference", MM), ("reference_diameter_mm", "diameter", MM)],
        gives: &[("toe_deg", "toe", DEG)],
    },
    Row {
        name: "toe_to_mm",
        formula: "toe-to-millimetres",
        takes: &[("toe_deg", "toe", DEG), ("reference_diameter_mm", "diameter", MM)],
        gives: &[("toe_mm", "difference", MM)],
    },
    Row {
        name: "thrust_angle",
        formula: "thrust-angle",
        takes: &[("rear_left_toe_deg", "left", DEG), ("rear_right_toe_deg", "right", DEG)],
        gives: &[("thrust_deg", "thrust", DEG), ("total_toe_deg", "total", DEG)],
    },
    Row {
        name: "camber_shim",
        formula: "camber-shim",
        takes: &[("shim_mm", "shim", MM), ("lever_mm", "lever", MM)],
        gives: &[("camber_change_deg", "change", DEG)],
    },
    Row {
        name: "caster_from_camber_swing",
        formula: "caster-from-swing",
        takes: &[
            ("camber_wheel_in_deg", "camber-in", DEG),
            ("camber_wheel_out_deg", "camber-out", DEG),
            ("turn_deg", "turn", DEG),
        ],
        gives: &[("caster_deg", "caster", DEG)],
    },
    Row {
        name: "side_slip",
        formula: "side-slip",
        takes: &[("toe_deg", "toe", DEG)],
        gives: &[("slip_m_per_km", "per-kilometre", M)],
    },
    // threads
    Row {
        name: "thread_stress_area",
        formula: "thread-stress-area",
        takes: &[("diameter_mm", "diameter", MM), ("pitch_mm", "pitch", MM)],
        gives: &[
            ("pitch_diameter_mm", "pitch-diameter", MM),
            ("minor_diameter_d3_mm", "core-diameter", MM),
            ("stress_area_mm2", "stress-area", MM2),
        ],
    },
    Row {
        name: "proof_load",
        formula: "proof-load",
        takes: &[("stress_area_mm2", "stress-area", MM2), ("proof_stress_mpa", "proof-stress", MPA)],
        gives: &[("proof_load_n", "proof-load", N)],
    },
    Row {
        name: "vdi_preload_90",
        formula: "assembly-preload",
        takes: &[
            ("diameter_mm", "diameter", MM),
            ("pitch_mm", "pitch", MM),
            ("mu_thread", "thread-friction", ONE),
            ("mu_head", "head-friction", ONE),
            ("rp02_mpa", "yield", MPA),
            ("head_friction_diameter_mm", "head-diameter", MM),
        ],
        gives: &[("preload_kn", "preload", KN), ("torque_nm", "torque", N_M)],
    },
    Row {
        name: "preload_scatter",
        formula: "preload-scatter",
        takes: &[("maximum_preload_kn", "greatest", KN), ("tightening_factor", "tightening-factor", ONE)],
        gives: &[("minimum_preload_kn", "least", KN)],
    },
    Row {
        name: "torque_long_form",
        formula: "torque-long-form",
        takes: &[
            ("preload_n", "preload", N),
            ("pitch_mm", "pitch", MM),
            ("thread_radius_mm", "thread-radius", MM),
            ("bearing_radius_mm", "bearing-radius", MM),
            ("half_angle_deg", "half-angle", DEG),
            ("mu_thread", "thread-friction", ONE),
            ("mu_bearing", "bearing-friction", ONE),
        ],
        gives: &[
            ("torque_nm", "torque", N_M),
            ("pitch_share", "pitch-share", ONE),
            ("thread_share", "thread-share", ONE),
            ("bearing_share", "bearing-share", ONE),
        ],
    },
    Row {
        name: "extension_setting",
        formula: "wrench-extension",
        takes: &[
            ("target_torque", "torque", N_M),
            ("wrench_length", "wrench", MM),
            ("extension_length", "extension", MM),
            ("angle_deg", "angle", DEG),
        ],
        gives: &[("wrench_setting", "setting", N_M)],
    },
    Row {
        name: "angle_preload",
        formula: "angle-to-preload",
        takes: &[
            ("angle_deg", "angle", DEG),
            ("pitch_mm", "pitch", MM),
            ("bolt_stiffness_n_mm", "bolt-stiffness", N_PER_MM),
            ("joint_stiffness_n_mm", "joint-stiffness", N_PER_MM),
        ],
        gives: &[("preload_n", "preload", N)],
    },
    Row {
        name: "bolt_stiffness",
        formula: "bolt-stiffness",
        takes: &[
            ("modulus_mpa", "modulus", MPA),
            ("stress_area_mm2", "stress-area", MM2),
            ("diameter_mm", "shank", MM),
            ("threaded_length_in_grip_mm", "threaded", MM),
            ("shank_length_mm", "plain", MM),
        ],
        gives: &[("bolt_stiffness_n_mm", "stiffness", N_PER_MM)],
    },
    Row {
        name: "member_stiffness_frusta",
        formula: "joint-stiffness",
        takes: &[("modulus_mpa", "modulus", MPA), ("diameter_mm", "diameter", MM), ("grip_mm", "grip", MM)],
        gives: &[("joint_stiffness_n_mm", "stiffness", N_PER_MM)],
    },
    // belts
    Row {
        name: "belt_tension",
        formula: "belt-span-tension",
        takes: &[
            ("mass_kg_m", "mass-per-length", KG_PER_M),
            ("span_mm", "span", MM),
            ("frequency_hz", "frequency", HZ),
        ],
        gives: &[("tension_n", "tension", N)],
    },
    Row {
        name: "belt_frequency",
        formula: "belt-span-frequency",
        takes: &[
            ("mass_kg_m", "mass-per-length", KG_PER_M),
            ("span_mm", "span", MM),
            ("tension_n", "tension", N),
        ],
        gives: &[("frequency_hz", "frequency", HZ)],
    },
    Row {
        name: "belt_unit_mass",
        formula: "belt-unit-mass",
        takes: &[("belt_mass_kg", "mass", KG), ("belt_length_m", "length", M), ("ribs", "ribs", ONE)],
        gives: &[("mass_kg_m", "unit-mass", KG_PER_M), ("mass_per_rib_kg_m", "per-rib", KG_PER_M)],
    },
    Row {
        name: "tangent_span",
        formula: "belt-drive",
        takes: &[
            ("centre_distance_mm", "centres", MM),
            ("large_diameter_mm", "large", MM),
            ("small_diameter_mm", "small", MM),
        ],
        gives: &[("span_mm", "span", MM)],
    },
    // fluids and cooling
    Row {
        name: "j300_high_temperature_grades",
        formula: "engine-oil-grade",
        takes: &[
            ("kv_100_mm2_s", "at-100", MM2_PER_S),
            ("hths_150_mpa_s", "high-shear", Some(Unit::MPA_S)),
            ("w_grade", "winter", WORDS),
        ],
        gives: &[("grades", "grades", WORDS)],
    },
    Row {
        name: "viscosity_index",
        formula: "viscosity-index",
        takes: &[("kv_40_mm2_s", "at-40", MM2_PER_S), ("kv_100_mm2_s", "at-100", MM2_PER_S)],
        gives: &[("viscosity_index", "index", ONE)],
    },
    Row {
        name: "astm_blend",
        formula: "oil-blend",
        takes: &[("volume_fractions", "shares", ONE), ("kv_mm2_s", "viscosities", MM2_PER_S)],
        gives: &[("blend_kv_mm2_s", "viscosity", MM2_PER_S)],
    },
    Row {
        name: "dynamic_viscosity",
        formula: "dynamic-viscosity",
        takes: &[("kv_mm2_s", "kinematic", MM2_PER_S), ("density_kg_m3", "density", KG_PER_M3)],
        gives: &[("dynamic_viscosity_mpa_s", "dynamic", Some(Unit::MPA_S))],
    },
    Row {
        name: "meg_freezing",
        formula: "coolant-freezing",
        takes: &[("glycol_mass_fraction", "by-mass", ONE)],
        gives: &[("freezing_c", "freezing", CELSIUS)],
    },
    Row {
        name: "meg_density",
        formula: "coolant-density",
        takes: &[("glycol_mass_fraction", "by-mass", ONE), ("temperature_c", "temperature", CELSIUS)],
        gives: &[("density_kg_m3", "density", KG_PER_M3)],
    },
    Row {
        name: "glycol_volume_to_mass",
        formula: "glycol-by-mass",
        takes: &[
            ("glycol_volume_fraction", "by-volume", ONE),
            ("glycol_density_kg_m3", "glycol-density", KG_PER_M3),
            ("water_density_kg_m3", "water-density", KG_PER_M3),
        ],
        gives: &[("glycol_mass_fraction", "by-mass", ONE)],
    },
    Row {
        name: "water_boiling_at_cap",
        formula: "water-boiling-under-cap",
        takes: &[("cap_gauge_bar", "cap", BAR), ("atmosphere_kpa", "atmosphere", KPA)],
        gives: &[("boiling_c", "boiling", CELSIUS)],
    },
    Row {
        name: "mixture_boiling_raoult",
        formula: "coolant-boiling",
        takes: &[
            ("glycol_mass_fraction", "by-mass", ONE),
            ("cap_gauge_bar", "cap", BAR),
            ("atmosphere_kpa", "atmosphere", KPA),
        ],
        gives: &[("boiling_c", "boiling", CELSIUS)],
    },
    // electrics
    Row {
        name: "state_of_charge",
        formula: "battery-rest-voltage",
        takes: &[("open_circuit_v", "voltage", Some(Unit::V))],
        gives: &[("state_of_charge_percent", "state", PERCENT)],
    },
    Row {
        name: "gravity_correction",
        formula: "acid-gravity",
        takes: &[("gravity", "gravity", ONE), ("electrolyte_f", "temperature", Some(Unit::FAHRENHEIT))],
        gives: &[("gravity_at_80f", "at-80f", ONE)],
    },
    // road limits
    Row {
        name: "steering_lash_limit",
        formula: "steering-play-limit",
        takes: &[("wheel_diameter_in", "diameter", INCH)],
        gives: &[("lash_limit_in", "limit", INCH), ("lash_limit_mm", "limit", MM)],
    },
    Row {
        name: "toe_service_limit",
        formula: "toe-service-limit",
        takes: &[("maker_toe_mm", "maker", MM)],
        gives: &[("limit_mm", "limit", MM)],
    },
    Row {
        name: "brake_efficiency",
        formula: "brake-efficiency",
        takes: &[("wheel_forces_n", "forces", N), ("vehicle_mass_kg", "mass", KG)],
        gives: &[("efficiency_percent", "efficiency", PERCENT)],
    },
    Row {
        name: "brake_imbalance",
        formula: "brake-imbalance",
        takes: &[("left_n", "left", N), ("right_n", "right", N)],
        gives: &[
            ("difference_percent_of_higher", "difference", PERCENT),
            ("lower_percent_of_higher", "weaker", PERCENT),
        ],
    },
    Row {
        name: "eu_service_brake",
        formula: "service-brake-assessed",
        takes: &[("efficiency_percent", "efficiency", PERCENT), ("required_percent", "required", PERCENT)],
        gives: &[("assessment", "assessment", WORDS)],
    },
    Row {
        name: "eu_tread",
        formula: "tread-assessed",
        takes: &[("depth_mm", "depth", MM), ("required_mm", "required", MM)],
        gives: &[("assessment", "assessment", WORDS)],
    },
    Row {
        name: "annual_defect_score",
        formula: "defect-score",
        takes: &[
            ("dangerous", "dangerous", ONE),
            ("major", "major", ONE),
            ("minor", "minor", ONE),
            ("checks", "checks", ONE),
        ],
        gives: &[("score", "score", ONE)],
    },
];

const CLUTCH_TAKES: &[(&str, &str, Option<Unit>)] = &[
    ("outer_diameter_mm", "outer", MM),
    ("inner_diameter_mm", "inner", MM),
    ("mu", "friction", ONE),
    ("friction_faces", "faces", ONE),
    ("axial_force_n", "clamp", N),
    ("max_pressure_mpa", "peak-pressure", MPA),
];

const FLUID_TAKES: &[(&str, &str, Option<Unit>)] = &[
    ("dry_erbp_c", "dry", CELSIUS),
    ("wet_erbp_c", "wet", CELSIUS),
    ("kv_minus40_mm2_s", "viscosity-cold", MM2_PER_S),
    ("kv_100_mm2_s", "viscosity-hot", MM2_PER_S),
];
