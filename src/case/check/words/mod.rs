//! Sides and levels in free text, held against the record.
//!
//! A letter prints the clinician's own words as written, so that a side typed
//! there by mistake leaves the house beside a figure that shows the other.
//! Every text that can reach a letter is looked at ([`texts`]), in English and
//! Spanish. The way: [`token`] (sentences, quoted words left out) →
//! [`claim`] (what a sentence says of a side or level) → [`record`] (what the
//! case says of the same thing).
//!
//! It is a warning, so it must be right nearly always. A side counts only
//! where it stands with a curve, a pad over a curve, a rib hump, a shoulder,
//! the pelvis or the trunk in one of a few forms; a level only where it is
//! named as an apex or as the ends of a curve. Nothing is said of a sentence
//! that tells another's view, another person, something past, possible or
//! denied, nor where any film, reading or examination of the case agrees with
//! the words: a side that the record knows both ways contradicts nothing.
//! What is missed is the price: "it is on the left" warns of nothing.

mod claim;
mod lexicon;
mod record;
mod texts;
mod token;

use super::Check;
use crate::diag::Diagnostic;

pub(super) fn check(look: &mut Check) {
    let known = record::Record::of(look.case);
    for text in texts::texts(&look.case.tree) {
        for sentence in token::sentences(&text.words) {
            for claim in claim::claims(&sentence) {
                let Some(contradiction) = known.contradicts(&claim.what) else { continue };
                let (code, says) = contradiction.told();
                let quoted = &text.words[claim.at.clone()];
                let message =
                    format!("{}: \u{201c}{}\u{201d}, but {says}", text.path, one_line(quoted));
                let fault = Diagnostic::new(code, Some(text.place.clone()), message);
                look.report.push(fault.related(contradiction.place.clone(), "the record"));
            }
        }
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
