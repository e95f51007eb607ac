//! The ids of verdicts and the like as files write them, and their titles as people read them.

use crate::model::*;

/// Gives an enum its words: for each variant the id and the title.
macro_rules! words {
    ($($kind:ident { $($variant:ident = $id:literal, $title:literal;)* })*) => {$(
        impl $kind {
            /// All of them, in their order.
            pub const ALL: &[$kind] = &[$($kind::$variant),*];

            /// All of them by their ids.
            pub const WORDS: &[(&'static str, $kind)] = &[$(($id, $kind::$variant)),*];

            /// As files write it.
            pub fn id(self) -> &'static str {
                match self { $(Self::$variant => $id,)* }
            }

            /// As people read it.
            pub fn title(self) -> &'static str {
                match self { $(Self::$variant => $title,)* }
            }
        }

        impl std::fmt::Display for $kind {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.title())
            }
        }
    )*};
}

words! {
    Verdict {
        Sound = "sound", "Sound";
        Settled = "settled", "Settled";
        NotReached = "not-reached", "Not reached";
        LookAgain = "look-again", "Look again";
        TooClose = "too-close", "Too close to say";
        Plan = "plan", "Plan it";
        BeforeLeaving = "before-leaving", "Before it leaves";
        StaysPut = "stays-put", "Stays put";
    }
    Criticality {
        Comfort = "comfort", "Comfort";
        Stranded = "stranded", "Stranded";
        EngineLoss = "engine-loss", "Engine loss";
        Safety = "safety", "Safety";
    }
    Guard {
        Wheels = "wheels", "Wheels";
        Brakes = "brakes", "Brakes";
        Steering = "steering", "Steering";
        Fuel = "fuel", "Fuel";
        Restraints = "restraints", "Restraints";
    }
    Between {
        Sides = "sides", "left and right";
        Axles = "axles", "front and rear";
        All = "all", "largest and smallest";
    }
    Reuse {
        Again = "again", "used again";
        Checked = "checked", "used again if it passes";
        Never = "never", "new every time";
    }
    Often {
        Always = "always", "always";
        NearlyAlways = "nearly-always", "nearly always";
        Usually = "usually", "usually";
        Half = "half", "half the time";
        Sometimes = "sometimes", "sometimes";
        Rarely = "rarely", "rarely";
        Never = "never", "never";
    }
}

impl Verdict {
    /// Whether a described state may mean it: *Too close to say* comes of measuring, *Not reached* of the visit.
    pub fn of_states(self) -> bool {
        !matches!(self, Self::TooClose | Self::NotReached)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_those_of_the_stored_form() {
        for verdict in Verdict::ALL {
            assert_eq!(serde_json::to_value(verdict).unwrap(), verdict.id());
        }
        for criticality in Criticality::ALL {
            assert_eq!(serde_json::to_value(criticality).unwrap(), criticality.id());
        }
        for guard in Guard::ALL {
            assert_eq!(serde_json::to_value(guard).unwrap(), guard.id());
        }
    }

    #[test]
    fn words_stand_in_the_order_of_the_type() {
        assert!(Verdict::ALL.is_sorted());
        assert!(Criticality::ALL.is_sorted());
    }
}
