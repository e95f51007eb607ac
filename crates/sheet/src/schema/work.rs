//! Access steps, operations, obligations, consequences and what is worth doing together.

use super::{caution, only, shapes::*, source, title, trigger};
use crate::model::Guard;
use serde_json::Value;

pub(super) fn access() -> Value {
    let [only, years] = only();
    table(
        "Something that has to come off.",
        [
            title(),
            only,
            years,
            may("needs", ids("What must be open first.")),
            need("hours", not_negative("Hours to open it.")),
            may("obliges", ids("What it makes necessary before the keys go back.")),
            caution(),
        ],
    )
}

pub(super) fn operation() -> Value {
    let [only, years] = only();
    let step = either(
        "A sentence, or more.",
        [
            text("What is done."),
            table(
                "A step.",
                [
                    need("do", text("What is done.")),
                    may("hold", text("What must be there before going on.")),
                    may("second-look", flag("Whether a second person looks before going on.")),
                    may("fasteners", ids("What is tightened.")),
                    caution(),
                ],
            ),
        ],
    );
    table(
        "Work on a component.",
        [
            title(),
            need("component", id("What is worked on.")),
            only,
            years,
            may("renews", flag("The component is new afterwards, at all its places.")),
            may("each", flag("Done place by place: hours, parts and fluids are per place.")),
            may("needs", ids("Access steps that must be open.")),
            need("hours", not_negative("Hours beyond those of the access steps.")),
            may(
                "parts",
                list(
                    "What is fitted.",
                    table("A part.", [need("part", id("Its number.")), need("quantity", count("How many."))]),
                ),
            ),
            may(
                "fluids",
                list(
                    "What is filled in.",
                    table(
                        "A fluid.",
                        [need("fluid", id("Which.")), need("quantity", measure("How much.", "0.1 L"))],
                    ),
                ),
            ),
            may("steps", list("What is done, in this order.", step)),
            may("with", ids("Operations that are not worth doing apart.")),
            may("obliges", ids("What it makes necessary before the keys go back.")),
            caution(),
        ],
    )
}

pub(super) fn obligation() -> Value {
    table(
        "A check that work done makes necessary.",
        [
            title(),
            may("how", text("How it is done.")),
            caution(),
            may(
                "guards",
                word(
                    "What it guards; it can then never be waived.",
                    Guard::WORDS.iter().map(|(word, _)| *word),
                ),
            ),
            may(
                "value",
                with_some_of(
                    &["min", "max"],
                    table(
                        "The value that meets it.",
                        [
                            need("unit", such_as("Its unit.", "N.m")),
                            may("min", measure("No less than this.", "103 N.m")),
                            may("max", measure("No more than this.", "113 N.m")),
                            source(),
                        ],
                    ),
                ),
            ),
            may("after", trigger("Due this far after leaving: it becomes a key tag.")),
            source(),
        ],
    )
}

pub(super) fn consequence() -> Value {
    table(
        "What a failure leads to.",
        [
            title(),
            need("says", text("For the owner.")),
            need("costs", money("Beyond the planned repair; injury has no price.")),
            may("warns", list("How it announces itself, best first.", text("A warning."))),
            may(
                "then",
                list(
                    "What it drags with it.",
                    table(
                        "A consequence.",
                        [need("to", id("Which.")), need("probability", share("How likely."))],
                    ),
                ),
            ),
            source(),
        ],
    )
}

pub(super) fn while_apart() -> Value {
    let [only, years] = only();
    table(
        "What is worth doing while something is apart anyway.",
        [
            title(),
            only,
            years,
            need("apart", list_of_some("The steps that are open.", 1, id("An access step."))),
            need(
                "offer",
                list_of_some(
                    "What is offered then.",
                    1,
                    table(
                        "Work with its ground.",
                        [
                            need("operation", id("The work.")),
                            need("why", text("The ground.")),
                            may("from", trigger("From this age of the part on.")),
                        ],
                    ),
                ),
            ),
            source(),
        ],
    )
}
