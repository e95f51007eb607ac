//! What sort of thing a unit measures.

use crate::{Dimension, Unit};
use serde::{Deserialize, Serialize};
use std::fmt;

/// The kind of a quantity. Two kinds may share a dimension and still not convert into each other: a torque is not an
/// energy, a wear rate is not a plain ratio.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    Length,
    Area,
    Volume,
    Angle,
    Time,
    Speed,
    Acceleration,
    RotationSpeed,
    Frequency,
    Mass,
    LineMass,
    Density,
    Force,
    Torque,
    Energy,
    Power,
    Pressure,
    Stiffness,
    TorsionalStiffness,
    KinematicViscosity,
    DynamicViscosity,
    /// A temperature on a scale; its zero matters.
    Temperature,
    /// A difference or a rise of temperature, in kelvin.
    TemperatureDifference,
    ThermalExpansion,
    SpecificHeat,
    Voltage,
    Current,
    Resistance,
    Charge,
    /// A part of a whole, or one quantity over another of the same kind.
    Ratio,
    /// A mass of one thing in a mass of another.
    MassFraction,
    Count,
    /// What is used up over a distance: fuel, oil.
    VolumePerDistance,
    /// Material lost over a distance.
    WearRate,
    /// Distance covered in a year.
    YearlyUse,
}

impl Kind {
    /// Every kind there is, in the order above.
    pub const ALL: [Kind; 35] = [
        Kind::Length,
        Kind::Area,
        Kind::Volume,
        Kind::Angle,
        Kind::Time,
        Kind::Speed,
        Kind::Acceleration,
        Kind::RotationSpeed,
        Kind::Frequency,
        Kind::Mass,
        Kind::LineMass,
        Kind::Density,
        Kind::Force,
        Kind::Torque,
        Kind::Energy,
        Kind::Power,
        Kind::Pressure,
        Kind::Stiffness,
        Kind::TorsionalStiffness,
        Kind::KinematicViscosity,
        Kind::DynamicViscosity,
        Kind::Temperature,
        Kind::TemperatureDifference,
        Kind::ThermalExpansion,
        Kind::SpecificHeat,
        Kind::Voltage,
        Kind::Current,
        Kind::Resistance,
        Kind::Charge,
        Kind::Ratio,
        Kind::MassFraction,
        Kind::Count,
        Kind::VolumePerDistance,
        Kind::WearRate,
        Kind::YearlyUse,
    ];

    /// The kind in words, with its article: "a length".
    pub fn phrase(self) -> &'static str {
        self.facts().phrase
    }

    /// How a quantity of this kind may be written: "23.0 mm".
    pub fn example(self) -> &'static str {
        self.facts().example
    }

    /// The coherent SI unit that [`Quantity::si`](crate::Quantity::si) is given in.
    pub fn si_unit(self) -> Unit {
        self.facts().si
    }

    /// Exponents of the base units.
    pub fn dimension(self) -> Dimension {
        self.facts().dimension
    }

    fn facts(self) -> Facts {
        // exponents of m, kg, s, K, A, rad
        let (phrase, example, exponents, si) = match self {
            Kind::Length => ("a length", "23.0 mm", [1, 0, 0, 0, 0, 0], Unit::M),
            Kind::Area => ("an area", "350 mm2", [2, 0, 0, 0, 0, 0], Unit::M2),
            Kind::Volume => ("a volume", "1.2 L", [3, 0, 0, 0, 0, 0], Unit::M3),
            Kind::Angle => ("an angle", "12° 30′", [0, 0, 0, 0, 0, 1], Unit::RAD),
            Kind::Time => ("a time", "2 years", [0, 0, 1, 0, 0, 0], Unit::S),
            Kind::Speed => ("a speed", "80 km/h", [1, 0, -1, 0, 0, 0], Unit::M_PER_S),
            Kind::Acceleration => ("an acceleration", "5.8 m/s2", [1, 0, -2, 0, 0, 0], Unit::M_PER_S2),
            Kind::RotationSpeed => ("a rotation speed", "850 rpm", [0, 0, -1, 0, 0, 1], Unit::RAD_PER_S),
            Kind::Frequency => ("a frequency", "150 Hz", [0, 0, -1, 0, 0, 0], Unit::HZ),
            Kind::Mass => ("a mass", "1.5 kg", [0, 1, 0, 0, 0, 0], Unit::KG),
            Kind::LineMass => ("a mass per length", "0.100 kg/m", [-1, 1, 0, 0, 0, 0], Unit::KG_PER_M),
            Kind::Density => ("a density", "850 kg/m3", [-3, 1, 0, 0, 0, 0], Unit::KG_PER_M3),
            Kind::Force => ("a force", "450 N", [1, 1, -2, 0, 0, 0], Unit::N),
            Kind::Torque => ("a torque", "65 N·m", [2, 1, -2, 0, 0, 0], Unit::N_M),
            Kind::Energy => ("an energy", "120 kJ", [2, 1, -2, 0, 0, 0], Unit::J),
            Kind::Power => ("a power", "1.4 kW", [2, 1, -3, 0, 0, 0], Unit::W),
            Kind::Pressure => ("a pressure", "1.2 bar", [-1, 1, -2, 0, 0, 0], Unit::PA),
            Kind::Stiffness => ("a stiffness", "35 N/mm", [0, 1, -2, 0, 0, 0], Unit::N_PER_M),
            Kind::TorsionalStiffness => {
                ("a torsional stiffness", "18 N·m/deg", [2, 1, -2, 0, 0, -1], Unit::N_M_PER_RAD)
            }
            Kind::KinematicViscosity => {
                ("a kinematic viscosity", "14.2 mm2/s", [2, 0, -1, 0, 0, 0], Unit::M2_PER_S)
            }
            Kind::DynamicViscosity => ("a dynamic viscosity", "12 mPa·s", [-1, 1, -1, 0, 0, 0], Unit::PA_S),
            Kind::Temperature => ("a temperature", "21 °C", [0, 0, 0, 1, 0, 0], Unit::K_ABS),
            Kind::TemperatureDifference => ("a temperature difference", "5 K", [0, 0, 0, 1, 0, 0], Unit::K),
            Kind::ThermalExpansion => {
                ("a thermal expansion", "11.5 µm/(m·K)", [0, 0, 0, -1, 0, 0], Unit::PER_K)
            }
            Kind::SpecificHeat => ("a specific heat", "460 J/(kg·K)", [2, 0, -2, -1, 0, 0], Unit::J_PER_KG_K),
            Kind::Voltage => ("a voltage", "12.6 V", [2, 1, -3, 0, -1, 0], Unit::V),
            Kind::Current => ("a current", "35 mA", [0, 0, 0, 0, 1, 0], Unit::A),
            Kind::Resistance => ("a resistance", "0.4 Ω", [2, 1, -3, 0, -2, 0], Unit::OHM),
            Kind::Charge => ("a charge", "70 A·h", [0, 0, 1, 0, 1, 0], Unit::A_S),
            Kind::Ratio => ("a ratio", "12 %", [0; 6], Unit::ONE),
            Kind::MassFraction => ("a mass fraction", "40 mg/kg", [0; 6], Unit::KG_PER_KG),
            Kind::Count => ("a count", "8 count", [0; 6], Unit::COUNT),
            Kind::VolumePerDistance => {
                ("a volume per distance", "0.5 L/1000 km", [2, 0, 0, 0, 0, 0], Unit::M3_PER_M)
            }
            Kind::WearRate => ("a wear rate", "0.05 mm/1000 km", [0; 6], Unit::M_PER_M),
            Kind::YearlyUse => ("a yearly use", "12000 km/a", [1, 0, -1, 0, 0, 0], Unit::M_PER_S_OF_USE),
        };
        Facts { phrase, example, dimension: Dimension(exponents), si }
    }
}

struct Facts {
    phrase: &'static str,
    example: &'static str,
    dimension: Dimension,
    si: Unit,
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.phrase())
    }
}
