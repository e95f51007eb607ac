//! Fluids, fasteners and parts.

use super::{
    caution,
    checks::{limit, new},
    only,
    shapes::*,
    source, title,
};
use crate::model::Reuse;
use serde_json::Value;

pub(super) fn fluid() -> Value {
    let [only, years] = only();
    let opening = |says| {
        list(
            says,
            table(
                "An opening.",
                [
                    need("at", such_as("Where it is.", "plug at the rear of the pan")),
                    may("fastener", id("What closes it.")),
                    may("level", text("How the level is read.")),
                ],
            ),
        )
    };
    table(
        "What is filled in.",
        [
            title(),
            only,
            years,
            need("specification", text("What is demanded of it.")),
            may("grade", such_as("How thick it is.", "5W-40")),
            may(
                "grades",
                list(
                    "Grades by climate.",
                    table(
                        "A grade.",
                        [
                            need("grade", such_as("How thick it is.", "5W-40")),
                            may("from", measure("From this outside temperature.", "-10 °C")),
                            may("to", measure("Up to this outside temperature.", "35 °C")),
                        ],
                    ),
                ),
            ),
            need(
                "capacity",
                table(
                    "How much of it.",
                    [
                        need("filled", measure("What goes in after draining.", "4.8 L")),
                        may("dry", measure("What goes in when everything is empty.", "5.4 L")),
                        may("with", such_as("Under which condition.", "with filter")),
                        source(),
                    ],
                ),
            ),
            may("drain", opening("Where it comes out.")),
            may("fill", opening("Where it goes in.")),
            caution(),
        ],
    )
}

pub(super) fn fastener() -> Value {
    let [only, years] = only();
    let torque = |says| {
        either(
            says,
            [
                measure("The torque.", "108 N.m"),
                table(
                    "The torque and its tolerance.",
                    [
                        need("value", measure("The torque.", "108 N.m")),
                        may("tolerance", measure("Give or take.", "5 N.m")),
                    ],
                ),
            ],
        )
    };
    let stage = with_one_of(
        &["torque", "angle", "loosen"],
        table(
            "A stage.",
            [
                may("torque", torque("To this torque.")),
                may("angle", measure("By this angle further.", "90 deg")),
                may("loosen", measure("Loosened by this angle.", "90 deg")),
            ],
        ),
    );
    with_one_of(
        &["torque", "stages"],
        table(
            "A bolt, nut or plug.",
            [
                title(),
                may("component", id("What it holds.")),
                only,
                years,
                may("thread", such_as("As the trade writes it.", "M12 x 1.5")),
                may("count", count("How many of them.")),
                may("torque", torque("Tightened in one go.")),
                may(
                    "stages",
                    list_of_some("Tightened in stages, each at every fastener before the next.", 1, stage),
                ),
                may("sequence", such_as("In which order.", "from the middle outwards")),
                need(
                    "reuse",
                    word("Whether it may be used again.", Reuse::WORDS.iter().map(|(word, _)| *word)),
                ),
                may("reuse-if", text("What decides, where it is checked.")),
                may("threads", such_as("What goes on the threads.", "clean and dry")),
                caution(),
                source(),
            ],
        ),
    )
}

pub(super) fn part() -> Value {
    let [only, years] = only();
    let change = with_some_of(
        &["new", "limit"],
        table(
            "What a check is then held against.",
            [need("check", id("The check.")), may("new", new()), may("limit", limit())],
        ),
    );
    table(
        "A part by its number.",
        [
            title(),
            need("price", money("In the currency of the sheet.")),
            only,
            years,
            may(
                "marks",
                list("What is written, cast or painted on it.", such_as("A mark.", "one white dot")),
            ),
            may("component", id("What it is a part of.")),
            may("places", ids("Where it may sit; all places of the component unless said.")),
            may("replaces", id("The number that it took the place of.")),
            may("changed", text("What is different from the one it replaced.")),
            may("both-ways", flag("Whether the old one also fits where this one belongs.")),
            may("together", ids("Parts that must be fitted with it.")),
            may("shelf-age", measure("Do not fit an older one.", "5 years")),
            may(
                "alternatives",
                list(
                    "What may be fitted instead.",
                    table(
                        "Another part.",
                        [
                            need("part", id("Its number.")),
                            need("says", text("What it is good for, and what one gives up.")),
                            may("changes", list("What is then judged otherwise.", change)),
                        ],
                    ),
                ),
            ),
            source(),
        ],
    )
}
