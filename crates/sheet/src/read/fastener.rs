//! `[fastener.head-bolt]`: what holds parts together, and how it is tightened.

use super::{Value, only::only, sections::Sections, source};
use crate::{
    SheetFault,
    model::*,
    table::{Shape, TableFault},
};
use quantity::{Kind, Unit};

pub(super) fn fastener(value: Value<'_>, sections: &Sections<'_>) -> Option<Fastener> {
    value.table(|t| {
        let title = t.need("title", Value::text);
        let component = t.may("component", |v| sections.components.find(v));
        let only = only(t, sections);
        let thread = t.may("thread", Value::text);
        let count = t.may("count", Value::count);
        let torque = t.may("torque", torque);
        let stages = t.may("stages", |v| v.list_of(1, "at least one stage", stage));
        match (t.get("torque"), t.get("stages")) {
            (None, None) => super::needs_one_of(t, &["torque", "stages"]),
            (Some(_), Some(second)) => {
                let of = t.name().to_string();
                second.fault(SheetFault::Both { of, first: "torque", second: "stages" });
            }
            _ => {}
        }
        let sequence = t.may("sequence", Value::text);
        let reuse = t.need("reuse", |v| v.word(Reuse::WORDS));
        let reuse_if = t.may("reuse-if", Value::text);
        match (reuse, t.get("reuse-if")) {
            (Some(Reuse::Checked), None) => {
                t.fault(TableFault::MissingKey { key: "reuse-if", of: t.name().to_string() })
            }
            (Some(reuse @ (Reuse::Again | Reuse::Never)), Some(value)) => {
                let with = format!("reuse = \"{}\"", reuse.id());
                value.fault(SheetFault::NotWith { key: "reuse-if", with });
            }
            _ => {}
        }
        let threads = t.may("threads", Value::text);
        let caution = t.may("caution", Value::text);
        let source = source(t);
        Some(Fastener {
            title: title?,
            component,
            only,
            thread,
            count,
            stages: torque.map(|stage| vec![stage]).or(stages)?,
            sequence,
            reuse: reuse?,
            reuse_if,
            threads,
            caution,
            source: source?,
        })
    })
}

/// `"108 N.m"`, or `{ value = "108 N.m", tolerance = "5 N.m" }`.
fn torque(value: Value<'_>) -> Option<Stage> {
    if value.shape() != Shape::Table {
        return newton_metres(value).map(|torque| Stage::Torque(torque, None));
    }
    value.table(|t| {
        let torque = t.need("value", newton_metres);
        let tolerance = t.may("tolerance", newton_metres);
        Some(Stage::Torque(torque?, tolerance))
    })
}

/// One of `torque`, `angle` and `loosen`.
fn stage(value: Value<'_>) -> Option<Stage> {
    value.table(|t| {
        let stages = [
            ("torque", t.may("torque", torque)),
            ("angle", t.may("angle", degrees).map(Stage::Angle)),
            ("loosen", t.may("loosen", degrees).map(Stage::Loosen)),
        ];
        let mut given = stages.into_iter().filter(|(key, _)| t.get(key).is_some());
        let Some((first, stage)) = given.next() else {
            super::needs_one_of(t, &["torque", "angle", "loosen"]);
            return None;
        };
        for (second, _) in given {
            t.get(second)?.fault(SheetFault::Both { of: t.name().to_string(), first, second });
        }
        stage
    })
}

fn newton_metres(value: Value<'_>) -> Option<f64> {
    value.positive_in(Unit::N_M)
}

fn degrees(value: Value<'_>) -> Option<f64> {
    value.positive_measure(&[Kind::Angle])?.value_in(Unit::DEG).ok()
}
