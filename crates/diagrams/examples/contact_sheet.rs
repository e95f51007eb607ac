//! Every drawing on one page, in light and in dark: `cargo run -p witnessmark-diagrams --example contact_sheet > sheet.html`.
//!
//! Arguments choose: ids of drawings, of formulas or of jobs; `blank` draws without values, `less` and `more` with numbers well below and above the examples;
//! `light` or `dark` gives one theme alone.

use bench::{Entry, Formula, Inputs};

const LIGHT: &str = "--paper:#f7f4ec;--card:#fffdf8;--line:#d9d3c3;--ink-3:#6f6a5d;--ink-2:#5d594e;--ink:#22211d;--blue-1:#dfe6f2;--blue-2:#9db3d6;--blue-3:#3f66a8;--blue-4:#17356f;--on-blue:#ffffff";
const DARK: &str = "--paper:#15171b;--card:#1d2026;--line:#343944;--ink-3:#9aa0ad;--ink-2:#b3b8c2;--ink:#eef0f3;--blue-1:#22304a;--blue-2:#3f5f97;--blue-3:#7ea2df;--blue-4:#b9cff5;--on-blue:#10131a";

fn main() {
    let wanted: Vec<String> = std::env::args().skip(1).collect();
    let (flags, wanted): (Vec<_>, Vec<_>) =
        wanted.into_iter().partition(|w| ["blank", "less", "more", "dark", "light"].contains(&w.as_str()));
    let [blank, less, more] = ["blank", "less", "more"].map(|name| flags.iter().any(|f| f == name));
    println!(
        "<!doctype html><meta charset=utf-8><title>Drawings</title><style>\
         body{{margin:0;font:13px \"Atkinson Hyperlegible Next\",system-ui,sans-serif}}\
         section{{display:grid;grid-template-columns:repeat(4,360px);gap:14px;padding:14px;background:var(--paper);color:var(--ink)}}\
         figure{{margin:0}}figcaption{{color:var(--ink-2)}}{}</style>",
        diagrams::STYLE
    );
    for (name, theme) in [("light", LIGHT), ("dark", DARK)] {
        if ["light", "dark"].iter().any(|t| flags.iter().any(|f| f == t)) && !flags.iter().any(|f| f == name)
        {
            continue;
        }
        println!("<section style=\"{theme}\">");
        for formula in bench::formulas() {
            let names = [formula.id, formula.diagram, formula.job.id()];
            if !wanted.is_empty() && !wanted.iter().any(|w| names.contains(&w.as_str())) {
                continue;
            }
            let factor = if less {
                0.55
            } else if more {
                1.8
            } else {
                1.0
            };
            let inputs = if blank { Inputs::new() } else { scaled(formula, factor) };
            let answer = formula.evaluate(&inputs).ok();
            let svg = diagrams::draw(formula, &inputs, answer.as_ref()).unwrap_or_default();
            println!("<figure>{svg}<figcaption>{} · {}</figcaption></figure>", formula.diagram, formula.id);
        }
        println!("</section>");
    }
}

/// The formula's examples, every number times a factor as far as its range allows.
fn scaled(formula: &Formula, factor: f64) -> Inputs {
    let example = formula.example();
    formula.inputs.iter().fold(example.clone(), |inputs, input| {
        let Some(scale) = input.scale() else { return inputs };
        let si = |si: &f64| scale.unit.to_si((scale.unit.from_si(*si) * factor).clamp(scale.low, scale.high));
        match example.get(input.key) {
            Some(Entry::Number(x)) => inputs.number(input.key, si(x)),
            Some(Entry::Numbers(all)) => inputs.numbers(input.key, all.iter().map(si).collect::<Vec<_>>()),
            _ => inputs,
        }
    })
}
