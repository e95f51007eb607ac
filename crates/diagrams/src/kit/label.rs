//! Lettering: a symbol in italics with its index set low, then a value.

use std::fmt::Write as _;

/// Height of the lettering, in units of the drawing.
pub const SIZE: f64 = 13.0;
/// Height of an index.
pub const INDEX: f64 = 11.0;
/// How far an index stands below the line.
const DROP: f64 = 3.0;

/// A line of lettering.
#[derive(Debug, Clone, Default)]
pub struct Label {
    runs: Vec<(Hand, String)>,
    /// A result of the formula rather than something put in.
    result: bool,
    quiet: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Hand {
    Symbol,
    Index,
    Upright,
}

impl Label {
    /// Plain words.
    pub fn words(text: impl Into<String>) -> Self {
        Self { runs: vec![(Hand::Upright, text.into())], ..Self::default() }
    }

    /// A symbol as the bench writes it: what follows `_` is an index, up to a space or a mark.
    pub fn symbol(symbol: &str) -> Self {
        let mut runs: Vec<(Hand, String)> = vec![];
        let mut hand = Hand::Symbol;
        for c in symbol.chars() {
            match c {
                '_' => hand = Hand::Index,
                _ => {
                    if hand == Hand::Index && !c.is_alphanumeric() {
                        hand = Hand::Symbol;
                    }
                    match runs.last_mut() {
                        Some((last, text)) if *last == hand => text.push(c),
                        _ => runs.push((hand, c.to_string())),
                    }
                }
            }
        }
        Self { runs, ..Self::default() }
    }

    /// The same with words behind it.
    pub fn and(mut self, text: impl AsRef<str>) -> Self {
        let gap = if self.runs.is_empty() { "" } else { " " };
        self.runs.push((Hand::Upright, format!("{gap}{}", text.as_ref())));
        self
    }

    /// The same with another label behind it.
    pub fn then(mut self, other: Label) -> Self {
        if !self.runs.is_empty() && !other.runs.is_empty() {
            self.runs.push((Hand::Upright, " ".to_owned()));
        }
        self.runs.extend(other.runs);
        self
    }

    /// Set as a result: heavier, in the accent.
    pub fn result(mut self) -> Self {
        self.result = true;
        self
    }

    /// Set as a remark: smaller and paler.
    pub fn quiet(mut self) -> Self {
        self.quiet = true;
        self
    }

    /// The value alone, without the symbol or name in front of it; nothing when there is no value.
    pub fn unnamed(mut self) -> Self {
        self.runs = self.runs.split_off(self.runs.len().saturating_sub(1).max(1).min(self.runs.len()));
        if let Some((_, text)) = self.runs.first_mut() {
            *text = text.trim_start().to_owned();
        }
        self
    }

    /// The same with another value behind its symbol.
    pub fn renamed(mut self, value: String) -> Self {
        self.runs.pop();
        self.and(value)
    }

    pub fn is_empty(&self) -> bool {
        self.runs.iter().all(|(_, text)| text.trim().is_empty())
    }

    /// Width, in units of the drawing.
    pub fn width(&self) -> f64 {
        let heavier = if self.result { 1.06 } else { 1.0 };
        let size = |hand: Hand| if hand == Hand::Index || self.quiet { INDEX } else { SIZE };
        self.runs.iter().map(|(hand, text)| width(text) * size(*hand) * heavier).sum()
    }

    /// Height above and below the line of writing.
    pub fn reach(&self) -> (f64, f64) {
        let low = self.runs.iter().any(|(hand, _)| *hand == Hand::Index);
        (if self.quiet { 8.5 } else { 10.0 }, if low { 5.5 } else { 3.0 })
    }

    /// Cut to a width, with an ellipsis.
    pub fn within(mut self, width: f64) -> Self {
        while self.width() > width {
            let Some((_, text)) = self.runs.last_mut() else { break };
            if text.ends_with('…') {
                text.pop();
            }
            text.pop();
            if text.is_empty() {
                self.runs.pop();
            } else {
                text.push('…');
            }
        }
        self
    }

    /// As plain text.
    #[cfg(test)]
    pub fn plain(&self) -> String {
        self.runs.iter().map(|(_, text)| text.as_str()).collect()
    }

    pub(super) fn class(&self) -> &'static str {
        match (self.result, self.quiet) {
            (true, _) => "res",
            (false, true) => "rem",
            (false, false) => "lab",
        }
    }

    pub(super) fn spans(&self) -> String {
        let mut svg = String::new();
        let mut low = false;
        for (hand, text) in &self.runs {
            let text = escape(text);
            let shift = match (*hand == Hand::Index, low) {
                (true, false) => format!(" dy=\"{DROP}\""),
                (false, true) => format!(" dy=\"-{DROP}\""),
                _ => String::new(),
            };
            low = *hand == Hand::Index;
            _ = match hand {
                Hand::Symbol => write!(svg, "<tspan class=\"sym\"{shift}>{text}</tspan>"),
                Hand::Index => write!(svg, "<tspan class=\"idx\"{shift}>{text}</tspan>"),
                Hand::Upright if shift.is_empty() => write!(svg, "{text}"),
                Hand::Upright => write!(svg, "<tspan{shift}>{text}</tspan>"),
            };
        }
        svg
    }
}

/// Text that may stand in a document: marks escaped, control characters left out.
pub fn escape(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).fold(String::with_capacity(text.len()), |mut out, c| {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            _ => out.push(c),
        }
        out
    })
}

/// Width of a text in parts of its size; a little wide, so that a fallback face fits too.
pub(crate) fn width(text: &str) -> f64 {
    text.chars()
        .map(|c| match c {
            ' ' | '.' | ',' | ';' | ':' | '·' | 'i' | 'l' | '\'' | '′' => 0.28,
            'f' | 'j' | 't' | 'r' | '(' | ')' | '-' | '°' | '²' | '³' => 0.38,
            'm' | 'w' | 'M' | 'W' | 'ω' | '%' => 0.88,
            '≤' | '≥' | '½' | '¼' | '…' => 0.85,
            'A'..='Z' | 'Δ' | 'Σ' | 'Ω' | 'α'..='ψ' => 0.68,
            '0'..='9' | '−' | '+' | '=' | '–' => 0.61,
            'a'..='z' | '/' | '*' => 0.55,
            '₀'..='₉' | '⁰'..='⁹' | '⁻' | '¹' => 0.42,
            _ => 1.0,
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_index_is_set_low_and_the_line_comes_back() {
        let label = Label::symbol("d_m*").and("16 mm");
        assert_eq!(
            label.spans(),
            "<tspan class=\"sym\">d</tspan><tspan class=\"idx\" dy=\"3\">m</tspan><tspan class=\"sym\" dy=\"-3\">*</tspan> 16 mm"
        );
        assert_eq!(label.plain(), "dm* 16 mm");
    }

    #[test]
    fn a_label_is_cut_to_its_room() {
        let label = Label::words("a long name of a place that nobody can letter").within(80.0);
        assert!(label.width() <= 80.0 && label.plain().ends_with('…'), "{}", label.plain());
        assert!(Label::words("x").within(0.0).is_empty());
    }

    #[test]
    fn marks_are_escaped() {
        assert_eq!(escape("<b a=\"1\">&'\u{7}"), "&lt;b a=&quot;1&quot;&gt;&amp;&#39;");
    }
}
