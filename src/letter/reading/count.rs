//! Sentences, words and syllables of a passage.
//!
//! Sentences end where Unicode's rules end them (UAX 29), never inside a
//! given name. Words are Unicode's too, except that parts joined by a hyphen
//! are one word. Syllables come from the list of exceptions, then from a
//! pronouncing dictionary, then from a rule of thumb for words it does not
//! know; a figure is one syllable, however many digits it has; so is a name,
//! which its reader knows by sight.

use std::ops::Range;

use unicode_segmentation::UnicodeSegmentation;

use super::exceptions::TradeWords;
use super::prose::Passage;

/// Sentences, words and syllables.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counts {
    /// Words.
    pub words: usize,
    /// Sentences that hold a word.
    pub sentences: usize,
    /// Syllables.
    pub syllables: usize,
}

impl Counts {
    /// Both together.
    pub fn plus(self, other: Counts) -> Counts {
        Counts {
            words: self.words + other.words,
            sentences: self.sentences + other.sentences,
            syllables: self.syllables + other.syllables,
        }
    }
}

/// A sentence with its counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentence {
    /// As printed.
    pub text: String,
    /// One sentence, its words, their syllables.
    pub counts: Counts,
}

/// The sentences of a passage that hold a word.
pub fn sentences(passage: &Passage, trade: &TradeWords) -> Vec<Sentence> {
    let counted = |range: Range<usize>| {
        let words = words(&passage.text[range.clone()]);
        let name = |at: &Range<usize>| {
            let at = range.start + at.start..range.start + at.end;
            passage.names.iter().any(|n| n.start < at.end && at.start < n.end)
        };
        let one = |word: &(Range<usize>, &str)| match name(&word.0) && begins_high(word.1) {
            true => 1,
            false => syllables(word.1, trade),
        };
        let syllables = words.iter().map(one).sum();
        let text = passage.text[range].trim().to_string();
        Sentence { text, counts: Counts { words: words.len(), sentences: 1, syllables } }
    };
    let found = bounds(passage).into_iter().map(counted);
    found.filter(|sentence| sentence.counts.words > 0).collect()
}

/// Where the sentences of a passage lie: an end inside a name is none.
fn bounds(passage: &Passage) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for (start, part) in passage.text.split_sentence_bound_indices() {
        let inside = passage.names.iter().any(|n| n.start < start && start < n.end);
        match found.last_mut().filter(|_| inside) {
            Some(last) => last.end = start + part.len(),
            None => found.push(start..start + part.len()),
        }
    }
    found
}

fn begins_high(word: &str) -> bool {
    word.chars().next().is_some_and(char::is_uppercase)
}

/// The words of a text and where they lie; what a hyphen joins is one word.
pub fn words(text: &str) -> Vec<(Range<usize>, &str)> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for (start, word) in text.unicode_word_indices() {
        let joined =
            |last: &Range<usize>| matches!(&text[last.end..start], "-" | "\u{2010}" | "\u{2011}");
        match found.last_mut().filter(|last| joined(last)) {
            Some(last) => last.end = start + word.len(),
            None => found.push(start..start + word.len()),
        }
    }
    found.into_iter().map(|range| (range.clone(), &text[range])).collect()
}

/// The syllables of one word.
pub fn syllables(word: &str, trade: &TradeWords) -> usize {
    let word = word.to_lowercase().replace('\u{2019}', "'");
    if let Some(counted) = trade.counted(&word) {
        return counted;
    }
    if word.chars().any(char::is_numeric) {
        return 1;
    }
    match word.split(['-', '\u{2010}', '\u{2011}']).collect::<Vec<_>>()[..] {
        [one] => spoken(one, trade),
        ref parts => parts.iter().map(|part| syllables(part, trade)).sum(),
    }
}

/// A word without hyphen: by the dictionary with its apostrophe, without a
/// possessive, or by rule.
fn spoken(word: &str, trade: &TradeWords) -> usize {
    if let Some(found) = syllarust::try_count_syllables(word) {
        return found;
    }
    let Some(owner) = word.strip_suffix("'s") else {
        return by_rule(&word.replace('\'', ""));
    };
    // "Grace's" has a syllable more than "Grace", "Mira's" has not.
    let hisses = ["s", "x", "z", "ch", "sh", "ce", "ge", "se", "ze"];
    syllables(owner, trade) + usize::from(hisses.iter().any(|end| owner.ends_with(end)))
}

/// A word that the dictionary does not know: the crate's rule of thumb, or
/// its runs of vowels where those are more, so that no hard word looks easy.
fn by_rule(word: &str) -> usize {
    let vowel = |c: &char| "aeiouyáéíóúü".contains(*c);
    let letters: Vec<bool> = word.chars().map(|c| vowel(&c)).collect();
    let begins = |at: usize| letters[at] && !(at > 0 && letters[at - 1]);
    let runs = (0..letters.len()).filter(|at| begins(*at)).count();
    let silent = word.ends_with('e') && !word.ends_with("le");
    let runs = runs.saturating_sub(usize::from(silent));
    syllarust::count_syllables(word).max(runs).max(1)
}
