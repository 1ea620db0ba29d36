//! The Flesch–Kincaid grade: school years a reader needs, from the length of
//! sentences and of words. Nothing here counts; see [`super::count`].

use super::count::Counts;
use crate::evidence::{Constant, Source, works};
use crate::quantity::{Reported, Unit};

const fn coefficient(value: f64, note: &'static str) -> Constant {
    Constant { value, unit: Unit::One, source: Source::read(&works::KINCAID_1975, note) }
}

/// Weight of the words a sentence.
pub const A_SENTENCE: Constant = coefficient(0.39, "0.39 x words / sentences");
/// Weight of the syllables a word.
pub const A_WORD: Constant = coefficient(11.8, "11.8 x syllables / words");
/// What is taken off.
pub const LESS: Constant = coefficient(15.59, "less 15.59");

/// 0.39 x words / sentences + 11.8 x syllables / words - 15.59, unrounded;
/// `None` without a word or a sentence. Short one-syllable sentences come out
/// below zero.
pub fn grade(counts: &Counts) -> Option<f64> {
    if counts.words == 0 || counts.sentences == 0 {
        return None;
    }
    let (words, sentences) = (counts.words as f64, counts.sentences as f64);
    let syllables = counts.syllables as f64;
    Some(A_SENTENCE.value * words / sentences + A_WORD.value * syllables / words - LESS.value)
}

/// The grade as told and as held against a budget: one decimal.
pub fn reported(counts: &Counts) -> Option<Reported> {
    grade(counts).map(|grade| Reported::round(grade, 1, Unit::One))
}
