//! Words of the command line, taken out one kind at a time.

use crate::error::Failed;

/// What has not been taken yet.
pub struct Arguments(Vec<String>);

impl Arguments {
    pub fn new(words: Vec<String>) -> Self {
        Self(words)
    }

    /// Whether the flag is there.
    pub fn flag(&mut self, name: &str) -> bool {
        let before = self.0.len();
        self.0.retain(|word| word != name);
        self.0.len() < before
    }

    /// All values of an option that may come several times, and with several values parted by commas.
    pub fn several(&mut self, name: &str) -> Vec<String> {
        let mut values = vec![];
        while let Some(at) = self.0.iter().position(|word| word == name) {
            let until = (at + 2).min(self.0.len());
            let given: Vec<String> = self.0.drain(at..until).skip(1).collect();
            match given.first() {
                Some(given) => values.extend(given.split(',').map(str::to_owned)),
                None => values.push(String::new()),
            }
        }
        values
    }

    /// The whole number above zero of an option.
    pub fn number(&mut self, name: &str) -> Result<Option<u32>, Failed> {
        let number = |text: &String| text.parse().ok().filter(|number| *number > 0);
        match self.several(name).last() {
            None => Ok(None),
            Some(text) => number(text).map(Some).ok_or_else(|| {
                Failed::Usage(vec![format!("`{name}` takes a whole number above zero, not `{text}`")])
            }),
        }
    }

    /// What is left, none of it an option.
    pub fn names(self) -> Result<Vec<String>, Failed> {
        let wrong: Vec<_> = self.0.iter().filter(|word| word.starts_with('-')).map(unknown).collect();
        if wrong.is_empty() { Ok(self.0) } else { Err(Failed::Usage(wrong)) }
    }

    pub fn nothing_more(self) -> Result<(), Failed> {
        if self.0.is_empty() { Ok(()) } else { Err(Failed::Usage(self.0.iter().map(unknown).collect())) }
    }
}

fn unknown(word: &String) -> String {
    format!("`{word}` is not known here")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arguments(words: &str) -> Arguments {
        Arguments::new(words.split_whitespace().map(str::to_owned).collect())
    }

    #[test]
    fn an_option_may_come_several_times_or_with_commas() {
        let mut given = arguments("--only fmt --headed --only clippy,rust");
        assert_eq!(given.several("--only"), ["fmt", "clippy", "rust"]);
        assert!(given.flag("--headed"));
        assert!(given.nothing_more().is_ok());
    }

    #[test]
    fn a_number_is_whole_and_above_zero() {
        assert_eq!(arguments("--seconds 5").number("--seconds").unwrap(), Some(5));
        assert_eq!(arguments("").number("--seconds").unwrap(), None);
        for wrong in ["--seconds", "--seconds 0", "--seconds 1.5"] {
            assert!(arguments(wrong).number("--seconds").is_err(), "{wrong}");
        }
    }

    #[test]
    fn everything_unknown_is_told_at_once() {
        let wrong = arguments("--onyl fmt").nothing_more().unwrap_err().to_string();
        assert!(wrong.contains("`--onyl`") && wrong.contains("`fmt`"), "{wrong}");
        assert!(arguments("planner --fast").names().is_err());
    }
}
