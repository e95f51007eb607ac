//! Rows about codes, tables and shapes of input that no plain table of names can say.

use super::{refused, shown, table};
use crate::topics::Answer;
use crate::{InputError, Inputs};
use bench::identity::vehicle_number;
use quantity::Unit;
use serde_json::{Map, Value, json};

/// Row names answered here, and the formula of the bench that stands behind each.
const NAMES: [(&str, &str); 17] = [
    ("vin_check_digit", "vehicle-number"),
    ("vin_characters", "vehicle-number"),
    ("vin_model_year", "vehicle-number"),
    ("vin_model_year_candidates", "vehicle-number"),
    ("tyre_date_code", "tyre-age"),
    ("fmvss116_limits", "brake-fluid-limits"),
    ("iso4925_limits", "brake-fluid-limits"),
    ("crank_drop_budget", "cranking-drop-budget"),
    ("cable_drop", "lead-voltage-drop"),
    ("j300_w_grade", "engine-oil-grade"),
    ("j306_grade", "gear-oil-grade"),
    ("walther_two_point", "viscosity-at-temperature"),
    ("nut_factor", "torque-to-preload"),
    ("screw_torque_exact", "screw-torque"),
    ("eu_imbalance", "brake-imbalance"),
    ("linkage_play_limit", "linkage-play-limit"),
    ("spring_solid_length", "spring-solid-length"),
];

pub(super) fn formula_of(row: &str) -> Option<&'static str> {
    NAMES.iter().find(|(name, _)| *name == row).map(|(_, id)| *id)
}

pub(super) fn evaluate(formula: &str, inputs: &Inputs<'_>) -> Answer {
    Some(match formula {
        "vin_check_digit" => check_digit(inputs),
        "vin_characters" => characters(inputs),
        "vin_model_year" => model_year(inputs),
        "vin_model_year_candidates" => model_years(inputs),
        "tyre_date_code" => date_code(inputs),
        "fmvss116_limits" => fluid_limits(inputs, "grade", ""),
        "iso4925_limits" => fluid_limits(inputs, "class", "ISO "),
        "crank_drop_budget" => drop_budget(inputs),
        "cable_drop" => cable_drop(inputs),
        "j300_w_grade" => winter_grade(inputs),
        "j306_grade" => gear_grade(inputs),
        "walther_two_point" => two_point(inputs),
        "nut_factor" => nut_factor(inputs),
        "screw_torque_exact" => screw_torque(inputs),
        "eu_imbalance" => imbalance(inputs),
        "linkage_play_limit" => linkage(inputs),
        "spring_solid_length" => solid_length(inputs),
        "celsius_to_fahrenheit" => {
            convert(inputs, "temperature_c", Unit::CELSIUS, "temperature_f", Unit::FAHRENHEIT)
        }
        "inch_to_mm" => convert(inputs, "length_in", Unit::INCH, "length_mm", Unit::MM),
        "tread_32nds" => convert(inputs, "depth_32nds_in", Unit::INCH_32ND, "depth_mm", Unit::MM),
        _ => return None,
    })
}

fn convert(inputs: &Inputs<'_>, from: &str, unit: Unit, to: &str, other: Unit) -> Result<Value, InputError> {
    let value = unit.convert(inputs.num(from)?, other).map_err(InputError::refused)?;
    Ok(json!({ to: value }))
}

fn check_digit(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let number: String = inputs.read("vin")?;
    let (sum, character) = vehicle_number::check_character(&number)
        .ok_or_else(|| InputError::refused("a check digit needs 17 valid characters"))?;
    let matches = number.chars().nth(8) == Some(character);
    Ok(
        json!({ "weighted_sum": sum, "check_character": character.to_string(), "matches_position_9": matches }),
    )
}

fn characters(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let number: String = inputs.read("vin")?;
    let invalid = vehicle_number::invalid_positions(&number);
    Ok(json!({ "length_ok": number.chars().count() == 17, "invalid_positions": invalid }))
}

fn model_year(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (tenth, seventh): (char, char) = (inputs.read("position_10")?, inputs.read("position_7")?);
    let year = vehicle_number::model_year(tenth, seventh).ok_or_else(|| not_a_year(tenth))?;
    Ok(json!({ "model_year": year }))
}

fn model_years(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let tenth: char = inputs.read("position_10")?;
    let years = vehicle_number::model_years(tenth).ok_or_else(|| not_a_year(tenth))?;
    Ok(json!({ "model_years": years }))
}

fn not_a_year(character: char) -> InputError {
    InputError::refused(format!("`{character}` is no model-year code"))
}

fn date_code(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let code: String = inputs.read("code")?;
    let code = bench::wheels::tyre_age::date_code(&code).map_err(refused)?;
    Ok(json!({ "week": code.week, "years": code.years, "also_possible_1970s": code.earlier }))
}

fn fluid_limits(inputs: &Inputs<'_>, key: &str, prefix: &str) -> Result<Value, InputError> {
    let class: String = inputs.read(key)?;
    let given = bench::Inputs::new().text("class", format!("{prefix}{class}"));
    table::answer(
        "brake-fluid-limits",
        &given,
        &[
            ("dry_erbp_min_c", "dry", Some(Unit::CELSIUS)),
            ("wet_erbp_min_c", "wet", Some(Unit::CELSIUS)),
            ("kv_minus40_max_mm2_s", "viscosity-cold", Some(Unit::MM2_PER_S)),
            ("kv_100_min_mm2_s", "viscosity-hot", Some(Unit::MM2_PER_S)),
        ],
    )
}

fn drop_budget(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let parts: Vec<String> = inputs.read("parts")?;
    let words = parts.iter().map(|part| match part.as_str() {
        "cable_under_3ft" => "cable under 3 ft".to_owned(),
        "cable_3_to_6ft" => "cable 3 to 6 ft".to_owned(),
        other => other.replace('_', " "),
    });
    let given = bench::Inputs::new().texts("parts", words);
    table::answer("cranking-drop-budget", &given, &[("budget_v", "budget", Some(Unit::V))])
}

/// The row brings its own resistivity, at the temperature of the lead.
fn cable_drop(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let (length, current) = (inputs.num("length_m")?, inputs.num("current_a")?);
    let section = Unit::MM2.to_si(inputs.num("area_mm2")?);
    let resistivity = 1e-6 * inputs.maybe::<f64>("resistivity_ohm_mm2_m")?.unwrap_or(1.0 / 58.0);
    let at_20 = Unit::CELSIUS.to_si(20.0);
    let drop = bench::electrics::voltage_drop::lead_drop((resistivity, 0.0), length, section, current, at_20);
    let (resistance, drop) = drop.map_err(refused)?;
    Ok(json!({ "resistance_ohm": resistance, "drop_v": drop }))
}

fn winter_grade(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let readings = |key: &str| -> Result<Vec<(f64, f64)>, InputError> {
        let map: Map<String, Value> = inputs.read(key)?;
        map.iter()
            .map(|(at, value)| match (at.parse(), value.as_f64()) {
                (Ok(at), Some(value)) => Ok((at, value)),
                _ => Err(InputError::refused(format!("`{key}` must map temperatures to viscosities"))),
            })
            .collect()
    };
    let (cranking, pumping) = (readings("ccs_mpa_s_at_c")?, readings("mrv_mpa_s_at_c")?);
    let grade = bench::fluids::grades::winter_grade(inputs.num("kv_100_mm2_s")?, &cranking, &pumping);
    Ok(json!({ "w_grade": grade }))
}

fn gear_grade(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    Ok(json!({ "grade": bench::fluids::grades::gear_grade(inputs.num("kv_100_mm2_s")?) }))
}

/// The row may count kelvins from another zero than 273.15, as printed sheets do.
fn two_point(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let zero = inputs.maybe::<f64>("kelvin_offset")?.unwrap_or(273.15);
    let kelvin = |key: &str| inputs.num(key).map(|celsius| celsius + zero);
    let viscosity = |key: &str| inputs.num(key).map(|value| Unit::MM2_PER_S.to_si(value));
    let given = bench::Inputs::new()
        .number("first", viscosity("kv_1_mm2_s")?)
        .number("at-first", kelvin("t_1_c")?)
        .number("second", viscosity("kv_2_mm2_s")?)
        .number("at-second", kelvin("t_2_c")?)
        .number("wanted", kelvin("t_c")?);
    table::answer(
        "viscosity-at-temperature",
        &given,
        &[("a", "a", None), ("b", "b", None), ("kv_mm2_s", "viscosity", Some(Unit::MM2_PER_S))],
    )
}

fn nut_factor(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let given = bench::Inputs::new()
        .number("nut-factor", inputs.num("nut_factor")?)
        .number("diameter", Unit::MM.to_si(inputs.num("diameter_mm")?));
    match inputs.maybe::<f64>("torque_nm")? {
        Some(torque) => {
            let given = given.number("torque", torque);
            table::answer("torque-to-preload", &given, &[("preload_n", "preload", Some(Unit::N))])
        }
        None => {
            let given = given.number("preload", inputs.num("preload_n")?);
            table::answer("preload-to-torque", &given, &[("torque_nm", "torque", Some(Unit::N_M))])
        }
    }
}

/// Any one consistent set of units, as the rows say.
fn screw_torque(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let half_angle = inputs.num("half_angle_deg")?.to_radians();
    let (mean, lead, friction) =
        (inputs.num("mean_diameter")?, inputs.num("lead")?, inputs.num("mu_thread")?);
    let (collar_friction, collar) = (inputs.num("mu_collar")?, inputs.num("collar_diameter")?);
    let load = inputs.num("load")?;
    let torque = bench::threads::tightening::screw_torque(
        load,
        mean,
        lead,
        friction,
        half_angle,
        collar_friction,
        collar,
    );
    let (thread, collar) = torque.map_err(refused)?;
    Ok(json!({ "thread_torque": thread, "collar_torque": collar, "torque": thread + collar }))
}

fn imbalance(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let steered: bool = inputs.read("steered_axle")?;
    let given = bench::Inputs::new()
        .number("left", inputs.num("left_n")?)
        .number("right", inputs.num("right_n")?)
        .text("axle", if steered { "steered" } else { "not steered" });
    table::answer("brake-imbalance", &given, &[("assessment", "assessment", None)])
}

fn linkage(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let given =
        bench::Inputs::new().number("rim", Unit::INCH.to_si(inputs.num("rim_in")?)).text("vehicle", "heavy");
    table::answer(
        "linkage-play-limit",
        &given,
        &[("play_limit_in", "limit", Some(Unit::INCH)), ("play_limit_mm", "limit", Some(Unit::MM))],
    )
}

fn solid_length(inputs: &Inputs<'_>) -> Result<Value, InputError> {
    let ends: String = inputs.read("ends")?;
    let ends = ends.replace("squared", "closed").replace("_ground", " and ground");
    let given = bench::Inputs::new()
        .number("wire", Unit::MM.to_si(inputs.num("wire_mm")?))
        .number("total-coils", inputs.num("total_coils")?)
        .text("ends", ends);
    table::answer(
        "spring-solid-length",
        &given,
        &[("solid_length_mm", "solid-length", Some(Unit::MM)), ("active_coils", "active-coils", None)],
    )
}

impl table::Expected for bench::Answer {
    fn named(&self, id: &str, unit: Option<Unit>) -> Value {
        self.get(id).map_or(Value::Null, |value| shown(value, unit))
    }
}
