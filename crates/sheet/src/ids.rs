//! Names of the things on a sheet. Each kind has its own type, so that a check is never looked up as a component.

use serde::{Deserialize, Serialize};
use std::{borrow::Borrow, fmt, sync::Arc};

macro_rules! id {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(Arc<str>);

        impl $name {
            /// The id as written on the sheet.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl From<&str> for $name {
            fn from(text: &str) -> Self {
                Self(text.into())
            }
        }

        impl From<String> for $name {
            fn from(text: String) -> Self {
                Self(text.into())
            }
        }

        impl Borrow<str> for $name {
            fn borrow(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{:?}", &*self.0)
            }
        }
    )*};
}

id! {
    /// A data sheet.
    SheetId,
    /// A variant of the type of car.
    VariantId,
    /// A system of the car: engine, brakes.
    SystemId,
    /// A place where a component sits: `front.left`, `cyl2.in1`, `single`.
    Place,
    /// A stop on the walk.
    StationId,
    /// A thing that can wear.
    ComponentId,
    /// One way to look at or measure a component.
    CheckId,
    /// One described state of an observation.
    StateId,
    /// A kind of instrument.
    InstrumentId,
    /// A fluid with its specification and capacity.
    FluidId,
    /// A part by its number.
    PartId,
    /// A step that gives access.
    AccessId,
    /// Work on a component.
    OperationId,
    /// A check that work makes necessary.
    ObligationId,
    /// What a failure leads to.
    ConsequenceId,
    /// A bolt, nut or plug.
    FastenerId,
    /// What is worth doing while something is apart.
    WhileApartId,
    /// Something to be explained.
    QuestionId,
    /// What may be behind it.
    ExplanationId,
    /// What looks alike and is not the same.
    LookAlikeId,
    /// A word of the trade.
    WordId,
}

impl Place {
    /// The place of a component that has only one.
    pub fn single() -> Self {
        "single".into()
    }
}
