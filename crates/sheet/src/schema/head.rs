//! The sheet itself, variants, systems, places and stations.

use super::{shapes::*, source, title, years};
use serde_json::{Value, json};

pub(super) fn sheet() -> Value {
    table(
        "The sheet itself.",
        [
            need("id", id("The id of the sheet.")),
            title(),
            may("says", text("What is to be said wherever the sheet is named.")),
            need(
                "currency",
                json!({ "type": "string", "pattern": "^[A-Z]{3}$", "description": "ISO 4217 code of every price.", "examples": ["EUR"] }),
            ),
            need(
                "yearly-use",
                table(
                    "What a car of this type usually covers in a year.",
                    [
                        need("mean", measure("The mean.", "12000 km/a")),
                        need("variation", above(0.0, "Standard deviation between cars, over the mean.")),
                        source(),
                    ],
                ),
            ),
            need(
                "refit",
                not_negative("Hours to put a step back, as a share of the hours to take it apart."),
            ),
            may(
                "work-hours",
                table(
                    "How sure the hours of steps and operations are.",
                    [
                        need(
                            "spread",
                            above(1.0, "Nine in ten take between hours ÷ spread and hours × spread."),
                        ),
                        source(),
                    ],
                ),
            ),
        ],
    )
}

pub(super) fn layer() -> Value {
    table(
        "Says that the files of this folder lie over another sheet.",
        [
            title(),
            need("over", such_as("The folder of the sheet below, from here.", "../quarrow-lanner")),
            may(
                "drops",
                list(
                    "What of the sheet below is left out.",
                    such_as("A thing, or one key of it.", "check.front-disc-thickness.settled"),
                ),
            ),
        ],
    )
}

pub(super) fn variant() -> Value {
    table("One of the forms.", [title(), may("model-years", years())])
}

pub(super) fn system() -> Value {
    table("A system of the car.", [title()])
}

pub(super) fn places() -> Value {
    let scheme = table(
        "A usual way to number places.",
        [
            need("kind", word("Which.", ["sides", "axles", "corners", "cylinders", "valves", "numbered"])),
            may("of", such_as("Of what, for sides and numbered.", "front")),
            may("count", count("How many, for cylinders, valves and numbered.")),
            may("intake", not_negative("Intake valves of a cylinder.")),
            may("exhaust", not_negative("Exhaust valves of a cylinder.")),
        ],
    );
    let title = such_as("What a person calls the place.", "front left");
    json!({
        "type": "object",
        "description": "A set of places.",
        "properties": { "scheme": either("A scheme, or the title of a place of this name.", [scheme, title.clone()]) },
        "additionalProperties": title,
    })
}

pub(super) fn station() -> Value {
    table("A stop of the walk.", [title(), may("places", ids("The places that are looked at there."))])
}
