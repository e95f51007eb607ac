//! `docs/methods/bench.md` is the bench as it is: every formula with its inputs, results, source and outside checks. With
//! `WITNESSMARK_DOCUMENTS=write` in the environment it is written anew instead.

#![allow(clippy::unwrap_used)] // helpers of tests

use bench::{Formula, Input, Job, Need, Output, Shape};
use quantity::Unit;
use serde_json::Value;
use std::{collections::BTreeMap, fs, path::PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[test]
fn the_page_of_the_bench_is_the_bench() {
    let path = root().join("docs/methods/bench.md");
    let page = page();
    if std::env::var("WITNESSMARK_DOCUMENTS").is_ok_and(|what| what == "write") {
        fs::write(&path, &page).unwrap();
    }
    let there = fs::read_to_string(&path).unwrap_or_default();
    let line = there.lines().zip(page.lines()).position(|(there, now)| there != now);
    assert!(
        there == page,
        "docs/methods/bench.md is not the bench's, from line {}; write it with WITNESSMARK_DOCUMENTS=write",
        line.unwrap_or_else(|| there.lines().count().min(page.lines().count())) + 1
    );
}

const HEAD: &str = "\
# The bench

Every formula of the bench by the job it serves: what it decides, its equation, what it takes and gives, whose it is, and what
outside the project it was checked against. On the page **Bench** each takes values as a person writes them and draws what it is
about; `witnessmark calc` does the same on the command line, and a data sheet names a formula by the id in brackets.

A value may be written in any unit of its kind, with a decimal point or comma, and with its uncertainty behind it:
`172 ± 1 mm`. Outside the range an answer is refused. How an uncertainty is carried through a formula is in
[uncertainty.md](uncertainty.md).

This page is written by a test from the formulas themselves and from the check values in `reference/`. Of each check it says how we
have it: *published* (printed in the source named), *reference library* (computed with the library named), *identity* (follows
exactly), *computed* (worked out apart from the program), *common practice* or *memory*.
";

fn page() -> String {
    let mut checks: BTreeMap<&'static str, Vec<(String, String)>> = BTreeMap::new();
    for row in rows() {
        let text = |name: &str| row[name].as_str().unwrap().to_owned();
        if let Some(id) = references::bench_formula(&text("formula")) {
            checks.entry(id).or_default().push((text("source"), text("provenance")));
        }
    }
    let mut page = HEAD.to_owned();
    let jobs = Job::ALL.iter().map(|job| {
        let count = bench::formulas().iter().filter(|formula| formula.job == *job).count();
        format!("[{}](#{}) ({count})", job.title(), anchor(job.title()))
    });
    page += &format!("\n{}\n", jobs.collect::<Vec<_>>().join(" · "));
    for job in Job::ALL {
        page += &format!("\n## {}\n", job.title());
        for formula in bench::formulas().iter().filter(|formula| formula.job == job) {
            page += &told(formula, checks.get(formula.id).map_or(&[], Vec::as_slice));
        }
    }
    page
}

fn told(formula: &Formula, checks: &[(String, String)]) -> String {
    let mut told = format!("\n### {} (`{}`)\n\n{}\n\n", formula.title, formula.id, formula.says);
    told += &format!("    {}\n\n", formula.equation.replace('\n', "\n    "));
    told += "| takes | key | such as | range |\n|---|---|---|---|\n";
    for input in &formula.inputs {
        told += &format!(
            "| {} | `{}` | {} | {} |\n",
            cell(&titled(input.title, input.symbol)),
            input.key,
            cell(&example(input)),
            cell(&range(input))
        );
    }
    told += "\n| gives | id | in |\n|---|---|---|\n";
    for output in &formula.outputs {
        told += &format!(
            "| {} | `{}` | {} |\n",
            cell(&titled(output.title, output.symbol)),
            output.id,
            cell(&shown_in(output))
        );
    }
    told += &format!("\n{}\n", formula.holds);
    for caution in &formula.cautions {
        told += &format!("\n**Care:** {caution}\n");
    }
    told += &format!("\nSource: {}.\n\nChecked against:\n\n", formula.source.trim_end_matches('.'));
    // Rows of one origin make one line.
    let mut origins: Vec<(&str, String, usize)> = vec![];
    for (source, provenance) in checks {
        let how = how(provenance);
        match origins.iter_mut().find(|(known, known_how, _)| known == source && *known_how == how) {
            Some((.., count)) => *count += 1,
            None => origins.push((source, how, 1)),
        }
    }
    for (source, how, count) in origins {
        let times = if count == 1 { String::new() } else { format!(", {count} rows") };
        told += &format!("- {} (*{how}*{times})\n", source.replace('*', "\\*"));
    }
    told
}

fn titled(title: &str, symbol: &str) -> String {
    if symbol.is_empty() { title.to_owned() } else { format!("{title}, {symbol}") }
}

/// An example; of a long list its beginning.
fn example(input: &Input) -> String {
    let all = input.example();
    let mut items = all.split("; ");
    let first: Vec<&str> = items.by_ref().take(3).collect();
    let more = if items.next().is_some() { "; …" } else { "" };
    format!("{}{more}", first.join("; "))
}

fn range(input: &Input) -> String {
    let mut says = match &input.shape {
        Shape::Number(scale) => scale.range(),
        Shape::Numbers { scale, least, .. } => format!("{least} or more, each {}", scale.range()),
        Shape::Text { .. } => "a text".into(),
        Shape::Texts { .. } => "names".into(),
        Shape::Choice { choices, .. } => choices.join(", "),
    };
    says += &match input.need {
        Need::Required => String::new(),
        Need::Default(value) => {
            let unit = input.scale().map_or_else(String::new, |scale| format!(" {}", scale.unit));
            format!("; {value}{unit} if left out").replace(" 1 if", " if")
        }
        Need::Optional => "; may be left out".into(),
        Need::Alternative => "; in place of another".into(),
    };
    says
}

fn shown_in(output: &Output) -> String {
    let unit = match output.unit {
        None => "words".to_owned(),
        Some(unit) if unit == Unit::ONE => "a plain number".into(),
        Some(unit) if unit == Unit::COUNT => "a whole number".into(),
        Some(unit) => unit.to_string(),
    };
    if output.list { format!("{unit}, a list") } else { unit }
}

fn how(provenance: &str) -> String {
    match provenance {
        "exact-identity" => "identity".into(),
        other => other.replace('-', " "),
    }
}

fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('*', "\\*").replace('\n', " ")
}

fn anchor(title: &str) -> String {
    let kept = title.to_lowercase().replace(|c: char| !c.is_alphanumeric() && c != ' ', "");
    kept.replace(' ', "-")
}

/// The rows of all files under `reference/`.
fn rows() -> Vec<Value> {
    let mut paths: Vec<_> =
        fs::read_dir(root().join("reference")).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "json"));
    paths.sort();
    let read =
        |path: &PathBuf| -> Value { serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap() };
    paths.iter().flat_map(|path| read(path)["checks"].as_array().unwrap().clone()).collect()
}
