//! The list of exceptions: words of the trade that a letter cannot do without.
//!
//! A line is `word, spoken, counted` with an optional `# why`: the syllables
//! of the word as spoken, and those it counts for. A family that comes to a
//! spine clinic reads such a word in every letter; there is no shorter one,
//! and it should not make the sentence around it look hard. Words that the
//! dictionary does not know stand here too, counted as spoken. Plurals are
//! words of their own.

use std::collections::BTreeMap;

use crate::diag::{Code, Diagnostic, Place, Report};

/// Words with the syllables they count for.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TradeWords {
    words: BTreeMap<String, usize>,
}

impl TradeWords {
    /// Reads the list; a line that cannot be read is reported and left out.
    pub fn read(text: &str, file: &str, report: &mut Report) -> TradeWords {
        let mut words = BTreeMap::new();
        let mut start = 0;
        for (at, line) in text.split_inclusive('\n').enumerate() {
            let said = line.split('#').next().unwrap_or_default().trim();
            match entry(said) {
                Some((word, counted)) => {
                    words.insert(word, counted);
                }
                None if said.is_empty() => {}
                None => report.push(unreadable(file, at + 1, start, said)),
            }
            start += line.len();
        }
        TradeWords { words }
    }

    /// What a word counts for, in lower case, with a plain apostrophe; its
    /// possessive counts alike.
    pub fn counted(&self, word: &str) -> Option<usize> {
        let own = word.strip_suffix("'s").unwrap_or(word);
        self.words.get(word).or_else(|| self.words.get(own)).copied()
    }
}

/// A word and what it counts for: at least one syllable, never more than are
/// spoken.
fn entry(line: &str) -> Option<(String, usize)> {
    let parts: Vec<&str> = line.split(',').map(str::trim).collect();
    let [word, spoken, counted] = parts[..] else { return None };
    let (spoken, counted): (usize, usize) = (spoken.parse().ok()?, counted.parse().ok()?);
    let sound = !word.is_empty() && (1..=spoken).contains(&counted);
    sound.then(|| (word.to_lowercase().replace('\u{2019}', "'"), counted))
}

fn unreadable(file: &str, line: usize, start: usize, said: &str) -> Diagnostic {
    let end = start + said.len();
    let place = Place { file: file.into(), line: line as u32, column: 1, start, end };
    let message = format!("`{said}` is no line of the list of words");
    Diagnostic::new(Code::TradeWordForm, Some(place), message)
}
