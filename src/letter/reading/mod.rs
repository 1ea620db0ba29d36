//! How hard a letter is to read, for readers who are no clinicians.
//!
//! Works on blocks, after values took their places, so that what is counted
//! is what is read. The way: [`prose`] (which words count) → [`count`]
//! (sentences, words, syllables, with the [`exceptions`]) → [`formula`]. For
//! letters in English only: formula and dictionary know no other language.
//! Nothing is refused for its grade; the clinic is told, with the sentence
//! that is hardest to read.

pub mod count;
pub mod exceptions;
pub mod formula;
pub mod prose;

use count::{Counts, Sentence, sentences};
use exceptions::TradeWords;

use super::block::Block;
use crate::diag::{Code, Diagnostic, Place};
use crate::facts::Facts;
use crate::quantity::{Reported, Unit};

/// How many sentences a complaint names.
const NAMED: usize = 2;

/// What was counted in one letter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// The template's sentences, in the letter's order.
    pub sentences: Vec<Sentence>,
    /// The clinician's own words.
    pub own: Counts,
}

/// Counts the body of a letter.
pub fn read(blocks: &[Block], facts: &Facts, trade: &TradeWords) -> Reading {
    let prose = prose::prose(blocks, facts);
    let all = |passages: &[prose::Passage]| -> Vec<Sentence> {
        passages.iter().flat_map(|passage| sentences(passage, trade)).collect()
    };
    Reading { sentences: all(&prose.passages), own: total(&all(&prose.own)) }
}

fn total(sentences: &[Sentence]) -> Counts {
    sentences.iter().fold(Counts::default(), |sum, one| sum.plus(one.counts))
}

impl Reading {
    /// The template's words.
    pub fn counts(&self) -> Counts {
        total(&self.sentences)
    }

    /// The grade of the template's words; `None` if there are none.
    pub fn grade(&self) -> Option<Reported> {
        formula::reported(&self.counts())
    }

    /// The sentences that make the letter hard, the worst first: those whose
    /// own grade lies furthest above the letter's, each word counting, so that
    /// a long sentence outweighs a short one with a single hard word.
    pub fn hardest(&self) -> Vec<&Sentence> {
        let mean = formula::grade(&self.counts()).unwrap_or_default();
        let excess = |s: &Sentence| {
            formula::grade(&s.counts).map_or(0.0, |own| s.counts.words as f64 * (own - mean))
        };
        let mut sorted: Vec<&Sentence> = self.sentences.iter().collect();
        sorted.sort_by(|a, b| excess(b).total_cmp(&excess(a)));
        sorted
    }

    /// The complaint about a letter that reads above a grade; `at` is its
    /// entry in the case.
    pub fn complaint(&self, letter: &str, budget: u32, at: &Place) -> Option<Diagnostic> {
        let limit = Reported::whole(i64::from(budget), Unit::One);
        let grade = self.grade().filter(|grade| grade.compare(limit).is_gt())?;
        let quoted: Vec<String> = self.hardest().into_iter().take(NAMED).map(quoted).collect();
        let mut message = format!(
            "letter `{letter}` reads at grade {}, the limit is {budget}; hardest: {}",
            grade.digits(),
            quoted.join("; ")
        );
        if let Some(own) = formula::reported(&self.own) {
            message += &format!("; the clinician's own words, not counted, at {}", own.digits());
        }
        Some(Diagnostic::new(Code::ReadingGrade, Some(at.clone()), message))
    }
}

fn quoted(sentence: &Sentence) -> String {
    let grade = formula::reported(&sentence.counts).map_or(String::new(), |g| g.digits());
    format!("\u{201c}{}\u{201d} (grade {grade})", sentence.text)
}
