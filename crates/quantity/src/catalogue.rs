//! The units that the workshop's trade writes, with their exact factors.
//!
//! Sources of the factors: the SI Brochure (9th edition) for SI, prefixes, litre, minute, hour, day, degree and bar;
//! the international yard and pound (1959: inch 0.0254 m, pound 0.45359237 kg) and standard gravity 9.80665 m/s²
//! (3rd CGPM, 1901) for inch, mile, pound-force and kilogram-force; UCUM for the year of 365.25 days, its twelfth part
//! as the month, and the codes. Named from memory; every factor is checked against an implementation of UCUM.

use crate::Kind::*;
use crate::unit::{Row, Unit};
use rust_decimal::Decimal;

/// `digits · 10^-places`.
const fn dec(digits: u64, places: u32) -> Decimal {
    Decimal::from_parts(digits as u32, (digits >> 32) as u32, 0, false, places)
}

/// A line with factor `digits · 10^-places`.
const fn exact(
    kind: crate::Kind,
    code: &'static str,
    symbol: &'static str,
    (digits, places): (u64, u32),
    spellings: &'static [&'static str],
) -> Row {
    Row { kind, code, symbol, spellings, num: dec(digits, places), den: dec(1, 0), pi: 0, shift: dec(0, 0) }
}

impl Row {
    /// Divides the factor, for those that no decimal holds.
    const fn over(self, digits: u64, places: u32) -> Row {
        Row { den: dec(digits, places), ..self }
    }

    /// Multiplies the factor by π.
    const fn times_pi(self) -> Row {
        Row { pi: 1, ..self }
    }

    /// Divides the factor by π.
    const fn over_pi(self) -> Row {
        Row { pi: -1, ..self }
    }

    /// Moves the zero of the scale.
    const fn shifted(self, digits: u64, places: u32) -> Row {
        Row { shift: dec(digits, places), ..self }
    }
}

macro_rules! catalogue {
    ($($name:ident = $row:expr;)*) => {
        /// The lines by their number.
        #[allow(non_camel_case_types, clippy::upper_case_acronyms)]
        enum Line { $($name),* }

        /// The catalogue, unit by unit.
        impl Unit {
            $(
                #[doc = concat!("`", stringify!($name), "`, one line of the catalogue.")]
                pub const $name: Unit = Unit(Line::$name as u16);
            )*
        }
        pub(crate) static ROWS: &[Row] = &[$($row),*];
    };
}

catalogue! {
    // length
    M = exact(Length, "m", "m", (1, 0), &["metre", "metres", "meter", "meters"]);
    KM = exact(Length, "km", "km", (1000, 0), &["kilometre", "kilometres", "kilometer", "kilometers", "kms"]);
    CM = exact(Length, "cm", "cm", (1, 2), &["centimetre", "centimetres", "centimeter", "centimeters"]);
    MM = exact(Length, "mm", "mm", (1, 3), &["millimetre", "millimetres", "millimeter", "millimeters"]);
    UM = exact(Length, "um", "µm", (1, 6), &["micrometre", "micrometres", "micrometer", "micrometers", "micron", "microns"]);
    NM = exact(Length, "nm", "nm", (1, 9), &["nanometre", "nanometres", "nanometer", "nanometers"]);
    INCH = exact(Length, "[in_i]", "in", (254, 4), &["in", "inch", "inches", "\""]);
    INCH_32ND = exact(Length, "[in_i]/32", "/32 in", (79375, 8), &["/32 in", "/32in", "/32\"", "32nds in", "32nds"]);
    THOU = exact(Length, "[mil_i]", "thou", (254, 7), &["thou", "mil", "mils"]);
    FOOT = exact(Length, "[ft_i]", "ft", (3048, 4), &["ft", "foot", "feet"]);
    MILE = exact(Length, "[mi_i]", "mi", (1_609_344, 3), &["mi", "mile", "miles"]);
    // area
    M2 = exact(Area, "m2", "m²", (1, 0), &["sq m", "square metres"]);
    CM2 = exact(Area, "cm2", "cm²", (1, 4), &["sq cm", "square centimetres"]);
    MM2 = exact(Area, "mm2", "mm²", (1, 6), &["sq mm", "square millimetres"]);
    // volume
    M3 = exact(Volume, "m3", "m³", (1, 0), &["cubic metres"]);
    L = exact(Volume, "L", "L", (1, 3), &["l", "litre", "litres", "liter", "liters", "dm3"]);
    CL = exact(Volume, "cL", "cL", (1, 5), &["cl", "centilitre", "centilitres"]);
    ML = exact(Volume, "mL", "mL", (1, 6), &["ml", "millilitre", "millilitres", "milliliter", "milliliters"]);
    CM3 = exact(Volume, "cm3", "cm³", (1, 6), &["cc", "ccm", "cubic centimetres"]);
    MM3 = exact(Volume, "mm3", "mm³", (1, 9), &["cubic millimetres"]);
    // angle
    RAD = exact(Angle, "rad", "rad", (1, 0), &["radian", "radians"]);
    DEG = exact(Angle, "deg", "°", (1, 0), &["°", "degree", "degrees"]).over(180, 0).times_pi();
    ARC_MINUTE = exact(Angle, "'", "′", (1, 0), &["arcmin", "min of arc", "arc minute", "arc minutes"]).over(10_800, 0).times_pi();
    ARC_SECOND = exact(Angle, "''", "″", (1, 0), &["arcsec", "sec of arc", "arc second", "arc seconds"]).over(648_000, 0).times_pi();
    TURN = exact(Angle, "circ", "turn", (2, 0), &["turn", "turns", "rev", "revolution", "revolutions"]).times_pi();
    // time
    S = exact(Time, "s", "s", (1, 0), &["sec", "second", "seconds"]);
    MS = exact(Time, "ms", "ms", (1, 3), &["millisecond", "milliseconds"]);
    MIN = exact(Time, "min", "min", (60, 0), &["mins", "minute", "minutes"]);
    H = exact(Time, "h", "h", (3600, 0), &["hr", "hrs", "hour", "hours"]);
    DAY = exact(Time, "d", "d", (86_400, 0), &["day", "days"]);
    WEEK = exact(Time, "wk", "wk", (604_800, 0), &["week", "weeks"]);
    MONTH = exact(Time, "mo", "mo", (2_629_800, 0), &["month", "months"]);
    YEAR = exact(Time, "a", "a", (31_557_600, 0), &["y", "yr", "yrs", "year", "years"]);
    // motion
    M_PER_S = exact(Speed, "m/s", "m/s", (1, 0), &["m.s-1"]);
    KM_PER_H = exact(Speed, "km/h", "km/h", (10, 0), &["kph", "kmh", "km/hr", "km.h-1"]).over(36, 0);
    MPH = exact(Speed, "[mi_i]/h", "mph", (44704, 5), &["mph", "mi/h", "miles/h", "miles per hour"]);
    M_PER_S2 = exact(Acceleration, "m/s2", "m/s²", (1, 0), &["m.s-2"]);
    GRAVITY = exact(Acceleration, "[g]", "g₀", (980_665, 5), &["g₀", "g0", "gn"]);
    RAD_PER_S = exact(RotationSpeed, "rad/s", "rad/s", (1, 0), &["rad.s-1"]);
    RPM = exact(RotationSpeed, "{rev}/min", "rpm", (1, 0), &["rpm", "/min", "1/min", "min-1", "rev/min", "r/min"]).over(30, 0).times_pi();
    HZ = exact(Frequency, "Hz", "Hz", (1, 0), &["hertz", "/s", "1/s", "s-1"]);
    KHZ = exact(Frequency, "kHz", "kHz", (1000, 0), &["kilohertz"]);
    // mass
    KG = exact(Mass, "kg", "kg", (1, 0), &["kilogram", "kilograms", "kilo", "kilos"]);
    G = exact(Mass, "g", "g", (1, 3), &["gram", "grams"]);
    MG = exact(Mass, "mg", "mg", (1, 6), &["milligram", "milligrams"]);
    TONNE = exact(Mass, "t", "t", (1000, 0), &["tonne", "tonnes"]);
    LB = exact(Mass, "[lb_av]", "lb", (45_359_237, 8), &["lb", "lbs", "pound", "pounds"]);
    KG_PER_M = exact(LineMass, "kg/m", "kg/m", (1, 0), &["kg.m-1"]);
    G_PER_M = exact(LineMass, "g/m", "g/m", (1, 3), &["g.m-1"]);
    KG_PER_M3 = exact(Density, "kg/m3", "kg/m³", (1, 0), &["kg.m-3", "g/L", "g/l"]);
    G_PER_ML = exact(Density, "g/mL", "g/mL", (1000, 0), &["g/ml", "g/cm3", "g/cc", "kg/L", "kg/l", "kg/dm3"]);
    // force and what comes of it
    N = exact(Force, "N", "N", (1, 0), &["newton", "newtons"]);
    KN = exact(Force, "kN", "kN", (1000, 0), &["kilonewton", "kilonewtons"]);
    LBF = exact(Force, "[lbf_av]", "lbf", (44_482_216_152_605, 13), &["lbf", "pounds force"]);
    KGF = exact(Force, "kgf", "kgf", (980_665, 5), &["kp", "kilogram force"]);
    N_M = exact(Torque, "N.m", "N·m", (1, 0), &["Nm", "N-m", "N m", "newton metre", "newton metres"]);
    N_CM = exact(Torque, "N.cm", "N·cm", (1, 2), &["Ncm", "N-cm", "N cm"]);
    LBF_FT = exact(Torque, "[ft_i].[lbf_av]", "lbf·ft", (13_558_179_483_314_004, 16),
        &["lbf.ft", "ft.lbf", "lbf-ft", "ft-lbf", "lbf ft", "ft lbf", "lb.ft", "ft.lb", "lb-ft", "ft-lb", "lb ft", "ft lb", "lbft", "ftlb", "lbs.ft", "lbs ft", "ft lbs", "ft-lbs"]);
    LBF_IN = exact(Torque, "[in_i].[lbf_av]", "lbf·in", (1_129_848_290_276_167, 16),
        &["lbf.in", "in.lbf", "lbf-in", "in-lbf", "lbf in", "in lbf", "lb.in", "in.lb", "lb-in", "in-lb", "lb in", "in lb", "inlb", "in lbs", "in-lbs"]);
    KGF_M = exact(Torque, "kgf.m", "kgf·m", (980_665, 5), &["kgfm", "kgf-m", "kgf m", "mkgf", "m.kgf", "kp.m", "mkp"]);
    J = exact(Energy, "J", "J", (1, 0), &["joule", "joules"]);
    KJ = exact(Energy, "kJ", "kJ", (1000, 0), &["kilojoule", "kilojoules"]);
    W = exact(Power, "W", "W", (1, 0), &["watt", "watts"]);
    KW = exact(Power, "kW", "kW", (1000, 0), &["kilowatt", "kilowatts"]);
    PA = exact(Pressure, "Pa", "Pa", (1, 0), &["pascal", "pascals"]);
    HPA = exact(Pressure, "hPa", "hPa", (100, 0), &["hectopascal"]);
    KPA = exact(Pressure, "kPa", "kPa", (1000, 0), &["kilopascal", "kilopascals"]);
    MPA = exact(Pressure, "MPa", "MPa", (1_000_000, 0), &["N/mm2", "megapascal", "megapascals"]);
    BAR = exact(Pressure, "bar", "bar", (100_000, 0), &["bars"]);
    MBAR = exact(Pressure, "mbar", "mbar", (100, 0), &["millibar", "millibars"]);
    PSI = exact(Pressure, "[psi]", "psi", (44_482_216_152_605, 13), &["psi", "lbf/in2"]).over(64516, 8);
    N_PER_M = exact(Stiffness, "N/m", "N/m", (1, 0), &["N.m-1"]);
    N_PER_MM = exact(Stiffness, "N/mm", "N/mm", (1000, 0), &["N.mm-1"]);
    KGF_PER_MM = exact(Stiffness, "kgf/mm", "kgf/mm", (980_665, 2), &["kp/mm"]);
    LBF_PER_IN = exact(Stiffness, "[lbf_av]/[in_i]", "lbf/in", (44_482_216_152_605, 13), &["lbf/in", "lb/in", "lbs/in"]).over(254, 4);
    N_M_PER_RAD = exact(TorsionalStiffness, "N.m/rad", "N·m/rad", (1, 0), &["Nm/rad"]);
    N_M_PER_DEG = exact(TorsionalStiffness, "N.m/deg", "N·m/°", (180, 0), &["Nm/deg", "Nm/°", "N.m/°"]).over_pi();
    M2_PER_S = exact(KinematicViscosity, "m2/s", "m²/s", (1, 0), &["m2.s-1"]);
    MM2_PER_S = exact(KinematicViscosity, "mm2/s", "mm²/s", (1, 6), &["cSt", "centistokes", "mm2.s-1"]);
    PA_S = exact(DynamicViscosity, "Pa.s", "Pa·s", (1, 0), &["Pa s"]);
    MPA_S = exact(DynamicViscosity, "mPa.s", "mPa·s", (1, 3), &["mPa s", "cP", "centipoise"]);
    // heat
    K_ABS = exact(Temperature, "K{abs}", "K abs", (1, 0), &["K abs", "kelvin absolute"]);
    CELSIUS = exact(Temperature, "Cel", "°C", (1, 0), &["°C", "C", "degC", "deg C", "celsius"]).shifted(27315, 2);
    FAHRENHEIT = exact(Temperature, "[degF]", "°F", (5, 0), &["°F", "F", "degF", "deg F", "fahrenheit"]).over(9, 0).shifted(45967, 2);
    K = exact(TemperatureDifference, "K", "K", (1, 0), &["kelvin", "kelvins"]);
    PER_K = exact(ThermalExpansion, "/K", "/K", (1, 0), &["1/K", "K-1"]);
    UM_PER_M_K = exact(ThermalExpansion, "um/(m.K)", "µm/(m·K)", (1, 6), &["um/m/K", "um/mK", "um/(m K)"]);
    J_PER_KG_K = exact(SpecificHeat, "J/(kg.K)", "J/(kg·K)", (1, 0), &["J/kg/K", "J/kgK", "J/kg.K", "J/(kg K)"]);
    KJ_PER_KG_K = exact(SpecificHeat, "kJ/(kg.K)", "kJ/(kg·K)", (1000, 0), &["kJ/kg/K", "kJ/kgK", "kJ/kg.K", "kJ/(kg K)"]);
    // electricity
    V = exact(Voltage, "V", "V", (1, 0), &["volt", "volts"]);
    MV = exact(Voltage, "mV", "mV", (1, 3), &["millivolt", "millivolts"]);
    A = exact(Current, "A", "A", (1, 0), &["amp", "amps", "ampere", "amperes"]);
    MA = exact(Current, "mA", "mA", (1, 3), &["milliamp", "milliamps"]);
    OHM = exact(Resistance, "Ohm", "Ω", (1, 0), &["ohm", "ohms"]);
    MOHM = exact(Resistance, "mOhm", "mΩ", (1, 3), &["mohm", "milliohm", "milliohms"]);
    KOHM = exact(Resistance, "kOhm", "kΩ", (1000, 0), &["kohm", "kiloohm", "kiloohms"]);
    A_S = exact(Charge, "A.s", "A·s", (1, 0), &["As"]);
    A_H = exact(Charge, "A.h", "A·h", (3600, 0), &["Ah", "amp hours"]);
    MA_H = exact(Charge, "mA.h", "mA·h", (36, 1), &["mAh"]);
    // parts of a whole
    ONE = exact(Ratio, "1", ":1", (1, 0), &[":1", "ratio"]);
    PERCENT = exact(Ratio, "%", "%", (1, 2), &["percent", "per cent", "pct"]);
    PPM = exact(Ratio, "[ppm]", "ppm", (1, 6), &["ppm"]);
    KG_PER_KG = exact(MassFraction, "kg/kg", "kg/kg", (1, 0), &["g/g"]);
    MG_PER_G = exact(MassFraction, "mg/g", "mg/g", (1, 3), &["g/kg"]);
    MG_PER_KG = exact(MassFraction, "mg/kg", "mg/kg", (1, 6), &["ug/g"]);
    COUNT = exact(Count, "{count}", "count", (1, 0), &["count", "counts", "pcs", "pieces"]);
    // over distance and over years
    M3_PER_M = exact(VolumePerDistance, "m3/m", "m³/m", (1, 0), &[]);
    L_PER_1000_KM = exact(VolumePerDistance, "L/(1000.km)", "L/1000 km", (1, 9), &["L/1000 km", "l/1000 km", "L/1000km", "l/1000km"]);
    L_PER_100_KM = exact(VolumePerDistance, "L/(100.km)", "L/100 km", (1, 8), &["L/100 km", "l/100 km", "L/100km", "l/100km"]);
    ML_PER_1000_KM = exact(VolumePerDistance, "mL/(1000.km)", "mL/1000 km", (1, 12), &["mL/1000 km", "ml/1000 km", "mL/1000km", "ml/1000km"]);
    M_PER_M = exact(WearRate, "m/m", "m/m", (1, 0), &[]);
    MM_PER_1000_KM = exact(WearRate, "mm/(1000.km)", "mm/1000 km", (1, 9), &["mm/1000 km", "mm/1000km", "um/km"]);
    M_PER_S_OF_USE = exact(YearlyUse, "m/s{of use}", "m/s of use", (1, 0), &["m/s of use"]);
    KM_PER_YEAR = exact(YearlyUse, "km/a", "km/a", (1000, 0), &["km/y", "km/yr", "km/year", "km a year", "km per year", "km a-1"]).over(31_557_600, 0);
    MILES_PER_YEAR = exact(YearlyUse, "[mi_i]/a", "mi/a", (1_609_344, 3), &["mi/a", "mi/y", "mi/yr", "mi/year", "miles/year", "miles a year", "miles per year"]).over(31_557_600, 0);
}
