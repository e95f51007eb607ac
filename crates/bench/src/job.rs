//! The parts of the trade.

use std::fmt;

/// The parts of the trade, in the order in which they are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Job {
    ValveTrain,
    Cylinders,
    BottomEnd,
    Clutch,
    Brakes,
    Springs,
    Wheels,
    Threads,
    Belts,
    Fluids,
    Cooling,
    Electrics,
    RoadLimits,
    Measuring,
    Identity,
}

impl Job {
    pub const ALL: [Job; 15] = [
        Job::ValveTrain,
        Job::Cylinders,
        Job::BottomEnd,
        Job::Clutch,
        Job::Brakes,
        Job::Springs,
        Job::Wheels,
        Job::Threads,
        Job::Belts,
        Job::Fluids,
        Job::Cooling,
        Job::Electrics,
        Job::RoadLimits,
        Job::Measuring,
        Job::Identity,
    ];

    /// Kebab-case, for addresses.
    pub fn id(self) -> &'static str {
        self.words().0
    }

    pub fn title(self) -> &'static str {
        self.words().1
    }

    fn words(self) -> (&'static str, &'static str) {
        match self {
            Job::ValveTrain => ("valve-train", "Valve train"),
            Job::Cylinders => ("cylinders", "Cylinders"),
            Job::BottomEnd => ("bottom-end", "Bottom end"),
            Job::Clutch => ("clutch", "Clutch and its hydraulics"),
            Job::Brakes => ("brakes", "Brakes"),
            Job::Springs => ("springs", "Springs and ride"),
            Job::Wheels => ("wheels", "Wheels, tyres and alignment"),
            Job::Threads => ("threads", "Threads"),
            Job::Belts => ("belts", "Belts and drives"),
            Job::Fluids => ("fluids", "Fluids"),
            Job::Cooling => ("cooling", "Cooling"),
            Job::Electrics => ("electrics", "Electrics"),
            Job::RoadLimits => ("road-limits", "Limits in road use"),
            Job::Measuring => ("measuring", "Measuring"),
            Job::Identity => ("identity", "Identity"),
        }
    }
}

impl fmt::Display for Job {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.title())
    }
}
