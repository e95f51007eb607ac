//! The figures as a document.

use super::{
    budgets::{BUDGETS, Budget},
    figure::{Figure, Measure},
    machine::Machine,
};
use std::fmt::Write;

/// Everything measured, with the budgets and the peers beside it.
pub fn document(machine: &Machine, ours: &[Figure], theirs: &[Figure]) -> String {
    let Machine { processor, cores, memory, rustc, date } = machine;
    let mut text = format!(
        "# Benchmarks\n\nWritten by `cargo xtask bench` on {date}; another run writes it anew.\n\n\
         Measured on {processor}, {cores} cores, {memory} of memory, with {rustc}. Figures are medians unless the name says \
         otherwise.\n\n## Budgets\n\n| what | budget | measured | share | figure |\n|---|--:|--:|--:|---|\n"
    );
    BUDGETS.iter().for_each(|budget| text += &budget_rows(budget, ours));
    if !theirs.is_empty() {
        text += "\n## The same work by other means\n\n| figure | here | there | there over here | by |\n|---|--:|--:|--:|---|\n";
        theirs.iter().for_each(|figure| text += &peer_row(figure, ours));
    }
    text += "\n## All figures\n\n| figure | median | slowest |\n|---|--:|--:|\n";
    for Figure { id, value, slowest, .. } in ours {
        let slowest = slowest.as_ref().map(Measure::to_string).unwrap_or_default();
        _ = writeln!(text, "| `{id}` | {value} | {slowest} |");
    }
    text
}

fn budget_rows(Budget { what, most: (value, unit), figures }: &Budget, ours: &[Figure]) -> String {
    let mut rows = String::new();
    let most = Measure::new(value, unit);
    for id in *figures {
        let figure = ours.iter().find(|figure| figure.id == *id);
        let share = figure.zip(most.as_ref()).and_then(|(figure, most)| figure.value.over(most));
        let share = match share {
            Some(share) if share > 1.0 => format!("**{:.0} %, over**", share * 100.0),
            Some(share) => format!("{:.0} %", (share * 100.0).max(1.0)),
            None => String::new(),
        };
        let measured = figure.map_or("not run".into(), |figure| figure.value.to_string());
        _ = writeln!(rows, "| {what} | {value} {unit} | {measured} | {share} | `{id}` |");
    }
    if figures.is_empty() {
        _ = writeln!(rows, "| {what} | {value} {unit} | no bench yet | | |");
    }
    rows
}

fn peer_row(Figure { id, value, by, .. }: &Figure, ours: &[Figure]) -> String {
    let here = ours.iter().find(|figure| figure.id == *id);
    let ratio = here.and_then(|here| value.over(&here.value)).map(|ratio| match ratio {
        ratio if ratio < 9.95 => format!("{ratio:.1}"),
        ratio => format!("{ratio:.0}"),
    });
    let here = here.map_or("no such figure".into(), |here| here.value.to_string());
    format!("| `{id}` | {here} | {value} | {} | {by} |\n", ratio.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(id: &str, value: &str, unit: &str, by: &str) -> Figure {
        Figure { id: id.into(), value: Measure::new(value, unit).unwrap(), slowest: None, by: by.into() }
    }

    fn machine() -> Machine {
        let word = String::from;
        Machine {
            processor: word("P"),
            cores: 2,
            memory: word("24 GiB"),
            rustc: word("rustc 1"),
            date: word("2026-05-18"),
        }
    }

    #[test]
    fn a_budget_stands_beside_its_figure_and_one_that_is_not_kept_says_so() {
        let budget = Budget { what: "a fit", most: ("50", "ms"), figures: &["prognosis/fit"] };
        let kept = budget_rows(&budget, &[figure("prognosis/fit", "15", "ms", "")]);
        assert_eq!(kept, "| a fit | 50 ms | 15.0 ms | 30 % | `prognosis/fit` |\n");
        let over = budget_rows(&budget, &[figure("prognosis/fit", "75", "ms", "")]);
        assert!(over.contains("**150 %, over**"), "{over}");
        assert!(budget_rows(&budget, &[]).contains("not run"));
        assert!(budget_rows(&Budget { figures: &[], ..budget }, &[]).contains("no bench yet"));
    }

    #[test]
    fn a_peer_stands_beside_our_figure_of_the_same_name() {
        let text = document(
            &machine(),
            &[figure("planner/tight", "20", "ms", "")],
            &[
                figure("planner/tight", "0.5", "s", "solver 1.16"),
                figure("planner/other", "1", "s", "solver 1.16"),
            ],
        );
        assert!(text.contains("| `planner/tight` | 20.0 ms | 500 ms | 25 | solver 1.16 |"), "{text}");
        assert!(text.contains("| `planner/other` | no such figure | 1.00 s |  | solver 1.16 |"), "{text}");
    }
}
