//! Finding a formula by words.

use crate::Formula;

impl Formula {
    /// Whether every one of the words, in lower case, occurs in what the formula tells of itself.
    pub fn has(&self, words: &[impl AsRef<str>]) -> bool {
        let inputs = self.inputs.iter().map(|input| input.title);
        let outputs = self.outputs.iter().map(|output| output.title);
        let own = [self.id, self.title, self.says, self.job.title()];
        let told: String =
            own.into_iter().chain(inputs).chain(outputs).collect::<Vec<_>>().join("\n").to_lowercase();
        words.iter().all(|word| told.contains(word.as_ref()))
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn all_words_must_occur_anywhere() {
        let found = |words: &[&str]| crate::formulas().iter().filter(|formula| formula.has(words)).count();
        assert!(found(&["spring", "coil"]) < found(&["spring"]));
        assert_eq!(found(&["no-such-word"]), 0);
        assert_eq!(found(&[]), crate::formulas().len());
    }
}
